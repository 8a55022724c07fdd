//! Where a magnet works on its demagnetization curve, and how far that is from losing flux for good.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::magnet::material::{Grade, MU_0, REFERENCE_CELSIUS, RatedBound};

/// What acts on a magnet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// Demagnetizing factor along the polarization: 1e-12 (all but closed circuit) to 1 (infinite plate). See
    /// [`demagnetizing`](crate::magnet::material::demagnetizing).
    pub demagnetizing_factor: f64,
    /// Temperature of the magnet, degC.
    pub celsius: f64,
    /// Mean field strength from outside, A/m, positive along the polarization; a neighbor that opposes counts negative.
    /// -1e7 to 1e7.
    pub external_field: f64,
}

impl Load {
    /// Nothing but the magnet's own field, at 20 degC.
    #[must_use]
    pub fn alone(demagnetizing_factor: f64) -> Self {
        Self {
            demagnetizing_factor,
            celsius: REFERENCE_CELSIUS,
            external_field: 0.0,
        }
    }
}

/// The end of the straight part of the demagnetization curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Knee {
    /// Field strength H, A/m; negative.
    pub field_strength: f64,
    /// Flux density B, T; below zero if the knee lies in the third quadrant, as it does for the high coercivity
    /// classes.
    pub flux_density: f64,
}

/// Whether the working point lies on the straight part of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Condition {
    /// Above the knee: what the temperature takes away, it gives back.
    Reversible,
    /// Past the knee: flux is lost for good.
    Irreversible,
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Reversible => "above the knee: all losses are reversible",
            Self::Irreversible => {
                "past the knee: the magnet loses flux for good, and its true polarization is lower than computed; \
                 choose a thicker magnet, a higher temperature class, or a cooler place"
            }
        })
    }
}

/// A field strength that some magnet could see: ten times what takes the hardest grade to zero.
fn within_strongest(quantity: &'static str, strength: f64) -> Result<f64> {
    within(quantity, strength, -1e7, 1e7, "A/m")
}

/// The working point of a magnet: where its recoil line meets its load line.
///
/// # Equations
/// | line | |
/// | --- | --- |
/// | recoil line | J = Br + mu0 (mu_rec - 1) H, that is B = Br + mu0 mu_rec H |
/// | load line | H = H_ext - N J / mu0 |
/// | together | J = [Br + (mu_rec - 1) mu0 H_ext] / [1 + (mu_rec - 1) N], B = mu0 H + J |
/// | permeance coefficient | -B / (mu0 H) = (1 - N) / N without outer field |
///
/// N is the magnetometric factor, so H, B and J are means over the volume. The knee is that of [`Grade::knee_at`]. The
/// middle of a pole face and the corners feel more than the mean: on a long bar, whose N is small, the pole face has H
/// = -J / (2 mu0) whatever the length. A positive margin of the mean therefore does not rule out a small loss there.
///
/// # References
/// IEC 60404-8-1 (terms and coefficients). E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic
/// Press 2001, ch. 1 (load line).
///
/// # Example
/// ```
/// use yokewright::magnet::material::{RatedBound, Condition, Grade, Load, WorkingPoint, demagnetizing};
/// use yokewright::units::MM;
///
/// // A disk of 20 x 1.5 mm: flat, so it stands near its knee already at 20 degC, and past it in a hot car.
/// let load = Load::alone(demagnetizing::cylinder(20.0 * MM, 1.5 * MM)?.z);
/// let n42 = Grade::named("N42")?;
/// assert_eq!(WorkingPoint::new(&n42, RatedBound::Nominal, load)?.condition(), Condition::Reversible);
/// let hot = Load { celsius: 70.0, ..load };
/// assert_eq!(WorkingPoint::new(&n42, RatedBound::Nominal, hot)?.condition(), Condition::Irreversible);
/// let n42sh = Grade::named("N42SH")?;
/// assert_eq!(WorkingPoint::new(&n42sh, RatedBound::Nominal, hot)?.condition(), Condition::Reversible);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkingPoint {
    grade: Grade,
    bound: RatedBound,
    load: Load,
    recoil_permeability: f64,
    remanence: f64,
    field_strength: f64,
    polarization: f64,
    flux_density: f64,
    knee: Knee,
    reversible_loss: f64,
    reversible_celsius: Option<[f64; 2]>,
}

impl WorkingPoint {
    /// The working point of a magnet of `grade`, with the remanence that `bound` picks.
    ///
    /// The knee always comes from the least coercivity printed. [`RatedBound::Nominal`] is for the field to expect,
    /// [`RatedBound::Lowest`] and [`RatedBound::Highest`] for its spread; the strongest magnet opposes itself most, so
    /// [`RatedBound::Highest`] gives the least margin.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the load is
    /// outside the ranges that [`Load`] gives, or so strong that the straight line leaves a polarization below 1 mT;
    /// [`Error::WorkingTemperature`](crate::Error::WorkingTemperature) if the grade has no figures at the temperature;
    /// [`Error::CurvedDemagnetization`](crate::Error::CurvedDemagnetization) for AlNiCo, whose working point depends on
    /// how it was magnetized.
    pub fn new(grade: &Grade, bound: RatedBound, load: Load) -> Result<Self> {
        within(
            "demagnetizing factor",
            load.demagnetizing_factor,
            1e-12,
            1.0,
            "(no unit)",
        )?;
        within_strongest("external field", load.external_field)?;
        grade.check_celsius(load.celsius)?;
        grade.check_straight()?;
        let excess = grade.recoil_permeability() - 1.0;
        let polarization = |celsius: f64| {
            let remanence = grade.remanence_inside(celsius, bound);
            (remanence + excess * MU_0 * load.external_field)
                / (1.0 + excess * load.demagnetizing_factor)
        };
        let strength = |celsius: f64| {
            load.external_field - load.demagnetizing_factor * polarization(celsius) / MU_0
        };

        for celsius in [REFERENCE_CELSIUS, load.celsius] {
            within(
                "effective polarization",
                polarization(celsius),
                1e-3,
                1e3,
                "T",
            )?;
        }
        let (remanence, celsius) = (grade.remanence_inside(load.celsius, bound), load.celsius);
        let (field_strength, now) = (strength(celsius), polarization(celsius));
        let knee = -grade.knee_inside(celsius);
        let margin = |celsius: f64| strength(celsius) + grade.knee_inside(celsius);
        let ends = [grade.min_celsius(), grade.max_celsius()];
        Ok(Self {
            grade: grade.clone(),
            bound,
            load,
            recoil_permeability: grade.recoil_permeability(),
            remanence,
            field_strength,
            polarization: now,
            flux_density: MU_0 * field_strength + now,
            knee: Knee {
                field_strength: knee,
                flux_density: remanence + MU_0 * grade.recoil_permeability() * knee,
            },
            reversible_loss: 1.0 - now / polarization(REFERENCE_CELSIUS),
            reversible_celsius: (margin(REFERENCE_CELSIUS) >= 0.0)
                .then(|| ends.map(|end| last_positive(margin, end))),
        })
    }

    /// What the magnet is made of.
    #[must_use]
    pub fn grade(&self) -> &Grade {
        &self.grade
    }

    /// Which remanence of the grade it has.
    #[must_use]
    pub fn bound(&self) -> RatedBound {
        self.bound
    }

    /// What acts on the magnet.
    #[must_use]
    pub fn load(&self) -> Load {
        self.load
    }

    /// Remanence at the temperature, T: the recoil line at H = 0.
    #[must_use]
    pub fn remanence(&self) -> f64 {
        self.remanence
    }

    /// Effective polarization J, T: what to build the magnet with.
    #[must_use]
    pub fn polarization(&self) -> f64 {
        self.polarization
    }

    /// Mean flux density B inside the magnet, T.
    #[must_use]
    pub fn flux_density(&self) -> f64 {
        self.flux_density
    }

    /// Mean field strength H inside the magnet, A/m; negative as it opposes the polarization.
    #[must_use]
    pub fn field_strength(&self) -> f64 {
        self.field_strength
    }

    /// Permeance coefficient of the shape, (1 - N) / N: minus the slope of the load line, in units of mu0. Without an
    /// outer field it is -B / (mu0 H).
    #[must_use]
    pub fn permeance_coefficient(&self) -> f64 {
        (1.0 - self.load.demagnetizing_factor) / self.load.demagnetizing_factor
    }

    /// Flux density on the recoil line at a field strength (A/m), T: B = Br + mu0 mu_rec H. It holds down to the knee.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the field
    /// strength is not within +-1e7 A/m.
    pub fn recoil_line(&self, field_strength: f64) -> Result<f64> {
        let h = within_strongest("field strength", field_strength)?;
        Ok(self.remanence + MU_0 * self.recoil_permeability * h)
    }

    /// Flux density on the load line at a field strength (A/m), T: B = mu0 H + mu0 (H_ext - H) / N.
    ///
    /// # Errors
    /// As [`WorkingPoint::recoil_line`].
    pub fn load_line(&self, field_strength: f64) -> Result<f64> {
        let h = within_strongest("field strength", field_strength)?;
        let opposing = self.load.external_field - h;
        Ok(MU_0 * (h + opposing / self.load.demagnetizing_factor))
    }

    /// The knee at the temperature.
    #[must_use]
    pub fn knee(&self) -> Knee {
        self.knee
    }

    /// How much further H inside may fall before the knee, A/m; negative past it.
    #[must_use]
    pub fn margin(&self) -> f64 {
        self.field_strength - self.knee.field_strength
    }

    /// How much more opposing field from outside the magnet bears before the knee, A/m; negative past it.
    ///
    /// A little more than the margin, as the magnet's own opposition weakens: dH / dH_ext = 1 / [1 + (mu_rec - 1) N].
    #[must_use]
    pub fn opposing_field_left(&self) -> f64 {
        let excess = self.recoil_permeability - 1.0;
        self.margin() * (1.0 + excess * self.load.demagnetizing_factor)
    }

    /// Share of the polarization lost against 20 degC under the same load; negative if it is colder. It returns with
    /// the temperature, as long as the knee is not passed. The field all around shrinks by the same share.
    #[must_use]
    pub fn reversible_loss(&self) -> f64 {
        self.reversible_loss
    }

    /// Lowest and highest temperature, degC, between which this magnet stays above its knee under the same load, within
    /// the grade's range; `None` if it is past the knee at 20 degC. NdFeB and SmCo lose in the heat, ferrite in the
    /// cold.
    #[must_use]
    pub fn reversible_celsius(&self) -> Option<[f64; 2]> {
        self.reversible_celsius
    }

    /// Whether the working point lies above the knee. The text of [`Condition::Irreversible`] is the warning to show.
    #[must_use]
    pub fn condition(&self) -> Condition {
        if self.margin() >= 0.0 {
            Condition::Reversible
        } else {
            Condition::Irreversible
        }
    }
}

/// The temperature farthest from 20 degC towards `end` at which `margin`, which is linear on that side and not negative
/// at 20 degC, is not negative.
fn last_positive(margin: impl Fn(f64) -> f64, end: f64) -> f64 {
    let (here, there) = (margin(REFERENCE_CELSIUS), margin(end));
    if there >= 0.0 {
        return end;
    }
    REFERENCE_CELSIUS + (end - REFERENCE_CELSIUS) * here / (here - there)
}

/// What is read is the grade, the bound and the load, from which the figures follow.
impl<'de> Deserialize<'de> for WorkingPoint {
    fn deserialize<D: serde::Deserializer<'de>>(
        deserializer: D,
    ) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        struct Made {
            grade: Grade,
            bound: RatedBound,
            load: Load,
        }
        let Made { grade, bound, load } = Made::deserialize(deserializer)?;
        Self::new(&grade, bound, load).map_err(serde::de::Error::custom)
    }
}

/// The figures in the trade's units, and the condition.
impl fmt::Display for WorkingPoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "J {:.4} T, B {:.4} T, H {:.1} kA/m, permeance coefficient {:.3}, margin {:.1} kA/m at {} degC; {}",
            self.polarization,
            self.flux_density,
            self.field_strength / 1e3,
            self.permeance_coefficient(),
            self.margin() / 1e3,
            self.load.celsius,
            self.condition(),
        )
    }
}
