//! A grade of magnet material: its figures at 20 degC, how they change with temperature, and where they come from.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, counted, finite, within};
use crate::magnet::Block;
use crate::magnet::material::{MU_0, REFERENCE_CELSIUS, RatedBound, RatedValue};
use crate::source::{Provenance, Source};
use crate::stored::stored_as_spec;

/// The kind of material, which decides the shape of the demagnetization curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum MagnetFamily {
    /// Sintered neodymium-iron-boron.
    NdFeB,
    /// Sintered hard ferrite (ceramic).
    Ferrite,
    /// Sintered samarium-cobalt 1:5.
    SmCo5,
    /// Sintered samarium-cobalt 2:17.
    Sm2Co17,
    /// Aluminum-nickel-cobalt, whose demagnetization curve is far from straight.
    AlNiCo,
    /// Any other material with a straight curve above its knee.
    Other,
}

choices!(MagnetFamily, "family", {
    NdFeB => "sintered NdFeB",
    Ferrite => "sintered ferrite",
    SmCo5 => "sintered SmCo5",
    Sm2Co17 => "sintered Sm2Co17",
    AlNiCo => "AlNiCo",
    Other => "other",
});

/// The figures of a grade, to be checked by [`Grade::new`]. All magnetic ones at 20 degC.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GradeSpec {
    /// Trade or standard designation.
    pub name: String,
    /// Kind of material.
    pub family: MagnetFamily,
    /// Remanence Br, T: 0.01 to 2.
    pub remanence: RatedValue,
    /// Coercivity HcB, where B becomes zero, A/m, if printed.
    pub normal_coercivity: Option<RatedValue>,
    /// Intrinsic coercivity HcJ, where the polarization becomes zero, A/m: 1e3 to 1e7.
    pub intrinsic_coercivity: RatedValue,
    /// Largest energy product (BH)max, J/m3, if printed.
    pub energy_product: Option<RatedValue>,
    /// Temperature coefficient of the remanence, 1/K (-0.12 %/K is -0.0012): -0.01 to 0.01.
    pub remanence_coefficient: f64,
    /// Temperature coefficient of the intrinsic coercivity, 1/K; a range where the tables give one.
    pub coercivity_coefficient: RatedValue,
    /// Relative recoil permeability: 1 to 10.
    pub recoil_permeability: f64,
    /// Squareness: the field strength of the knee as a share of HcJ, above 0 up to 1. Makers give it as Hk / HcJ.
    pub squareness: f64,
    /// Density, kg/m3: 1000 to 20,000.
    pub density: RatedValue,
    /// Lowest temperature for which the coefficients hold, degC.
    pub min_celsius: f64,
    /// Maximum working temperature, degC.
    pub max_celsius: f64,
    /// Curie temperature, degC, if printed.
    pub curie_celsius: Option<RatedValue>,
    /// Where the figures come from; the first source is that of the magnetic figures.
    pub sources: Vec<Source>,
}

/// A grade of magnet material.
///
/// # Temperature
/// Br and HcJ change linearly with the temperature, by the coefficients of IEC 60404-8-1:
/// X(T) = X(20 degC) [1 + alpha (T - 20 degC)]. The tables give the coefficients for 20 to about 100 degC, or to the
/// maximum working temperature. A straight line is a chord there: between its ends HcJ is lower than the line by some
/// percent (the curve sags).
///
/// # Example
/// ```
/// use yokewright::magnet::material::{RatedBound, Grade};
///
/// let grade = Grade::named("N42SH")?;
/// assert_eq!(grade.max_celsius(), 150.0);
/// assert!((grade.remanence_at(80.0, RatedBound::Nominal)? - 1.3 * (1.0 - 0.0012 * 60.0)).abs() < 1e-12);
/// let error = grade.remanence_at(160.0, RatedBound::Nominal).unwrap_err();
/// assert!(error.to_string().contains("maximum working temperature of 150 degC"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Grade(GradeSpec);

stored_as_spec!(Grade, GradeSpec);

impl Grade {
    /// A grade of your own.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::NotAscending`] if a figure is outside the range that
    /// [`GradeSpec`] gives, its values are not in order, HcB exceeds HcJ or Br / mu0, or Br or HcJ vanishes within the
    /// range of temperature; [`Error::Count`] if there is no name or no source.
    pub fn new(spec: GradeSpec) -> Result<Self> {
        check_given("letters of the grade's name", spec.name.trim().len())?;
        check_given("sources of the grade", spec.sources.len())?;
        spec.remanence.check("remanence", 0.01, 2.0, "T")?;
        let intrinsic = &spec.intrinsic_coercivity;
        intrinsic.check("intrinsic coercivity", 1e3, 1e7, "A/m")?;
        if let Some(normal) = &spec.normal_coercivity {
            // At HcB the polarization mu0 HcB is still positive and below Br, so the curve J(H) has further to go.
            let most = intrinsic
                .highest()
                .min(spec.remanence.highest() / MU_0)
                .max(1e3);
            within("coercivity HcB", normal.lowest(), 1e3, most, "A/m")?;
            normal.check("coercivity HcB", 1e3, 1e7, "A/m")?;
        }
        if let Some(product) = &spec.energy_product {
            product.check("energy product", 100.0, 1e6, "J/m3")?;
        }
        let coefficient = [-0.01, 0.01];
        within(
            "temperature coefficient of the remanence",
            spec.remanence_coefficient,
            coefficient[0],
            coefficient[1],
            "1/K",
        )?;
        spec.coercivity_coefficient.check(
            "temperature coefficient of the coercivity",
            coefficient[0],
            coefficient[1],
            "1/K",
        )?;
        let permeability = spec.recoil_permeability;
        within("recoil permeability", permeability, 1.0, 10.0, "(no unit)")?;
        within("squareness", spec.squareness, 0.01, 1.0, "(no unit)")?;
        spec.density.check("density", 1e3, 2e4, "kg/m3")?;
        let (min, max) = (spec.min_celsius, spec.max_celsius);
        let reference = REFERENCE_CELSIUS;
        within("lowest temperature", min, -273.15, reference, "degC")?;
        within("maximum working temperature", max, reference, 1e3, "degC")?;
        if let Some(curie) = &spec.curie_celsius {
            curie.check("Curie temperature", max, 2e3, "degC")?;
        }
        let grade = Self(spec);
        for celsius in [min, max] {
            let share = 1.0 + grade.0.remanence_coefficient * (celsius - reference);
            within(
                "share of the remanence left at the end of the temperature range",
                share,
                0.01,
                10.0,
                "(no unit)",
            )?;
            let share = grade.coercivity_factor(celsius, RatedBound::Lowest);
            within(
                "share of the coercivity left at the end of the temperature range",
                share,
                0.01,
                10.0,
                "(no unit)",
            )?;
        }
        Ok(grade)
    }

    /// All figures.
    #[must_use]
    pub fn spec(&self) -> &GradeSpec {
        &self.0
    }

    /// Trade or standard designation.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// Kind of material.
    #[must_use]
    pub fn family(&self) -> MagnetFamily {
        self.0.family
    }

    /// Where the figures come from.
    #[must_use]
    pub fn sources(&self) -> &[Source] {
        &self.0.sources
    }

    /// How well the source of the magnetic figures is known.
    #[must_use]
    pub fn provenance(&self) -> Provenance {
        self.0.sources[0].provenance
    }

    /// Remanence at 20 degC, T.
    #[must_use]
    pub fn remanence(&self) -> RatedValue {
        self.0.remanence
    }

    /// Intrinsic coercivity HcJ at 20 degC, A/m.
    #[must_use]
    pub fn intrinsic_coercivity(&self) -> RatedValue {
        self.0.intrinsic_coercivity
    }

    /// Coercivity HcB at 20 degC, A/m, if printed.
    #[must_use]
    pub fn normal_coercivity(&self) -> Option<RatedValue> {
        self.0.normal_coercivity
    }

    /// Relative recoil permeability.
    #[must_use]
    pub fn recoil_permeability(&self) -> f64 {
        self.0.recoil_permeability
    }

    /// Density, kg/m3.
    #[must_use]
    pub fn density(&self) -> RatedValue {
        self.0.density
    }

    /// Lowest temperature for which the coefficients hold, degC.
    #[must_use]
    pub fn min_celsius(&self) -> f64 {
        self.0.min_celsius
    }

    /// Maximum working temperature, degC. Makers state it for a compact magnet (length of 0.7 diameters, say); a flat
    /// one reaches its knee earlier, which [`WorkingPoint`](crate::magnet::material::WorkingPoint) tells.
    #[must_use]
    pub fn max_celsius(&self) -> f64 {
        self.0.max_celsius
    }

    /// Remanence at a temperature, T.
    ///
    /// # Errors
    /// [`Error::WorkingTemperature`] outside the grade's range, [`Error::NotFinite`] if the temperature is not finite.
    pub fn remanence_at(&self, celsius: f64, bound: RatedBound) -> Result<f64> {
        self.check_celsius(celsius)?;
        Ok(self.remanence_inside(celsius, bound))
    }

    /// Intrinsic coercivity HcJ at a temperature, A/m. Where the coefficient is a range, [`RatedBound::Lowest`] takes
    /// the end that leaves least.
    ///
    /// # Errors
    /// As [`Grade::remanence_at`].
    pub fn intrinsic_coercivity_at(&self, celsius: f64, bound: RatedBound) -> Result<f64> {
        self.check_celsius(celsius)?;
        Ok(self.0.intrinsic_coercivity.at(bound) * self.coercivity_factor(celsius, bound))
    }

    /// Field strength of the knee at a temperature, A/m, positive: where the straight part of the curve ends.
    ///
    /// # Model
    /// The knee is the point of the recoil line J = Br + mu0 (mu_rec - 1) H at H = -Hk, with Hk = squareness x HcJ,
    /// from the least HcJ printed. If the printed HcB falls short of the straight line's Br / (mu0 mu_rec) by more than
    /// 5 %, the curve has left the line before HcB, and Hk is no more than 0.9 HcB. Both coercivities change with
    /// temperature by the coefficient of HcJ, at the end of its range that leaves least.
    ///
    /// Pessimistic: a delivered magnet has more than the least coercivity and often a squareness of 0.95; tables print
    /// a cautious HcB; and just behind the knee little is lost. Optimistic: the curve bends gently before the knee and
    /// loses some tenths of a percent there; coercivity sags below the linear law between 20 degC and the maximum
    /// temperature.
    ///
    /// # Errors
    /// As [`Grade::remanence_at`]; [`Error::CurvedDemagnetization`] for AlNiCo.
    pub fn knee_at(&self, celsius: f64) -> Result<f64> {
        self.check_celsius(celsius)?;
        self.check_straight()?;
        Ok(self.knee_inside(celsius))
    }

    /// The largest energy product that a straight line through the nominal remanence gives at 20 degC, Br^2 / (4 mu0
    /// mu_rec), J/m3.
    ///
    /// # Errors
    /// [`Error::CurvedDemagnetization`] for AlNiCo.
    pub fn straight_energy_product(&self) -> Result<f64> {
        self.check_straight()?;
        Ok(self.0.remanence.nominal().powi(2) / (4.0 * MU_0 * self.0.recoil_permeability))
    }

    /// Mass of a volume (m3), kg, at the nominal density.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the volume is not within 1e-15 to 1 m3.
    pub fn mass(&self, volume: f64) -> Result<f64> {
        within("volume", volume, 1e-15, 1.0, "m3")?;
        Ok(self.0.density.nominal() * volume)
    }

    /// Mass of a block made of this grade, kg.
    #[must_use]
    pub fn block_mass(&self, block: &Block) -> f64 {
        self.0.density.nominal() * block.size().product()
    }

    pub(super) fn check_celsius(&self, celsius: f64) -> Result<()> {
        finite("temperature", celsius, "degC")?;
        let (min, max) = (self.0.min_celsius, self.0.max_celsius);
        if (min..=max).contains(&celsius) {
            return Ok(());
        }
        Err(Error::WorkingTemperature {
            grade: self.0.name.clone(),
            celsius,
            min,
            max,
        })
    }

    pub(super) fn check_straight(&self) -> Result<()> {
        if self.0.family == MagnetFamily::AlNiCo {
            return Err(Error::CurvedDemagnetization {
                grade: self.0.name.clone(),
            });
        }
        Ok(())
    }

    pub(super) fn remanence_inside(&self, celsius: f64, bound: RatedBound) -> f64 {
        let change = self.0.remanence_coefficient * (celsius - REFERENCE_CELSIUS);
        self.0.remanence.at(bound) * (1.0 + change)
    }

    pub(super) fn knee_inside(&self, celsius: f64) -> f64 {
        let spec = &self.0;
        let mut knee = spec.squareness * spec.intrinsic_coercivity.lowest();
        if let Some(normal) = &spec.normal_coercivity {
            let straight = spec.remanence.lowest() / (MU_0 * spec.recoil_permeability);
            if normal.lowest() < 0.95 * straight {
                knee = knee.min(0.9 * normal.lowest());
            }
        }
        knee * self.coercivity_factor(celsius, RatedBound::Lowest)
    }

    /// HcJ at the temperature as a share of HcJ at 20 degC.
    fn coercivity_factor(&self, celsius: f64, bound: RatedBound) -> f64 {
        let coefficient = &self.0.coercivity_coefficient;
        let at = |b: RatedBound| 1.0 + coefficient.at(b) * (celsius - REFERENCE_CELSIUS);
        match bound {
            RatedBound::Lowest => at(RatedBound::Lowest).min(at(RatedBound::Highest)),
            RatedBound::Nominal => at(RatedBound::Nominal),
            RatedBound::Highest => at(RatedBound::Lowest).max(at(RatedBound::Highest)),
        }
    }
}

fn check_given(quantity: &'static str, count: usize) -> Result<usize> {
    counted(quantity, count, [1, 1000])
}

/// Name, the figures that matter most, and where they come from.
impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let spec = &self.0;
        write!(
            f,
            "{} ({}): Br {}, HcJ {}, {} to {} degC",
            spec.name,
            spec.family,
            spec.remanence.text(1.0, "T"),
            spec.intrinsic_coercivity.text(1e3, "kA/m"),
            spec.min_celsius,
            spec.max_celsius,
        )?;
        for source in &spec.sources {
            write!(f, "; {source}")?;
        }
        Ok(())
    }
}

impl GradeSpec {
    /// Without checks, for the rows of the table, which a test checks.
    pub(super) fn trusted(self) -> Grade {
        Grade(self)
    }
}
