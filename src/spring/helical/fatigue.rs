//! Whether a spring lasts: endurance under a stress that goes up and down.
//!
//! Zimmerli found that the endurance of springs of steel wire thinner than 10 mm depends neither on material nor on
//! size nor on strength, only on whether they are shot-peened. Between a load that breaks a spring in a thousand cycles
//! and the one that it stands for a million, life follows a straight line in logarithms, as Shigley draws it for any
//! steel part (section 6-8); below a thousand cycles the stress at a thousand counts.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Hint, Result, choices, within};
use crate::spring::helical::compression::CompressionSpring;
use crate::spring::wire::types::{Wire, WireFamily};
use crate::stored::stored_by_its_constructor;
use crate::units::MM;

/// One kpsi, in which Zimmerli's round figures stand, Pa.
const KPSI: f64 = 6.894_757_293_168e6;
/// Zimmerli's components of the endurance strength: alternating and mean, Pa, as wound and shot-peened (Shigley, eq.
/// 10-28). The book prints 398 MPa beside 57.5 kpsi, which are 396.
const UNPEENED: [f64; 2] = [35.0 * KPSI, 55.0 * KPSI];
const PEENED: [f64; 2] = [57.5 * KPSI, 77.5 * KPSI];
/// Zimmerli tested wire thinner than 3/8 inch, about 10 mm.
const THICKEST: f64 = 10.0 * MM;
/// Ultimate strength in shear as a share of the tensile strength (Shigley, eq. 10-30, after Joerres).
const SHEAR_SHARE: f64 = 0.67;
/// Share of the ultimate strength that is left after a thousand cycles: the least that Shigley's figure 6-18 shows, for
/// strong steel (from memory).
const LOW_CYCLE_SHARE: f64 = 0.77;
/// Share of the ultimate strength that the mean stress of an endurance test may reach: beyond, nothing is left.
const MOST_MEAN: f64 = 0.99;
/// Where the line of finite life begins and ends, cycles.
const LOW_CYCLES: f64 = 1e3;
const ENDLESS_CYCLES: f64 = 1e6;
/// Shear over normal strength by distortion energy.
const DISTORTION: f64 = 0.577;
/// Stresses that make sense, Pa.
const MOST_STRESS: f64 = 1e10;

/// The surface of the wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WireSurface {
    /// As drawn.
    Unpeened,
    /// Shot-peened.
    Peened,
}

choices!(WireSurface, "surface", {
    Unpeened => "unpeened",
    Peened => "peened",
});

/// How a mean stress takes from the alternating stress that a spring endures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[non_exhaustive]
pub enum FatigueCriterion {
    /// A parabola through the mean: a / S + (m / U)^2 = 1. Close to what tests of ductile parts show.
    #[default]
    Gerber,
    /// A straight line: a / S + m / U = 1.
    Goodman,
    /// No influence of the mean at all: a = S.
    Sines,
}

choices!(FatigueCriterion, "criterion", {
    Gerber => "Gerber",
    Goodman => "Goodman",
    Sines => "Sines",
});

impl FatigueCriterion {
    /// The least ultimate strength for which a line from a test's point (Pa) to zero mean stress stays below where the
    /// line of finite life begins, Pa.
    fn least_ultimate(self, alternating: f64, mean: f64) -> f64 {
        let low = alternating / LOW_CYCLE_SHARE;
        let least = match self {
            // alternating / (1 - (mean / U)^2) = 0.77 U.
            Self::Gerber => 0.5 * (low + low.hypot(2.0 * mean)),
            // alternating / (1 - mean / U) = 0.77 U.
            Self::Goodman => mean + low,
            Self::Sines => low,
        };
        least.max(mean / MOST_MEAN)
    }
}

/// What is too weak for Zimmerli's data, and what can be done about it.
fn too_weak(surface: WireSurface, criterion: FatigueCriterion) -> &'static str {
    match (criterion, surface) {
        (FatigueCriterion::Goodman, WireSurface::Peened) => {
            "strength of the wire in shear, for Goodman's line through Zimmerli's data of peened wire (else take \
                Gerber's, unpeened wire, or a thinner or \
             stronger one)"
        }
        (FatigueCriterion::Goodman, WireSurface::Unpeened) => {
            "strength of the wire in shear, for Goodman's line through Zimmerli's data (else take Gerber's, or a \
                thinner or stronger wire)"
        }
        (_, WireSurface::Peened) => {
            "strength of the wire in shear, for Zimmerli's data of peened wire (else take unpeened wire, or a thinner \
                or stronger one)"
        }
        (_, WireSurface::Unpeened) => {
            "strength of the wire in shear, for Zimmerli's data (else take a thinner or stronger wire)"
        }
    }
}

/// How many cycles a part stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Life {
    /// Fewer than a thousand: the line of finite life does not reach there.
    Short,
    /// About so many cycles. A factor of two or three either way is usual among equal springs.
    Cycles(f64),
    /// At least a million, which tests of springs take for endless.
    Endless,
}

impl Life {
    /// Cycles that can be counted on: 0 for [`Life::Short`], infinity for [`Life::Endless`].
    #[must_use]
    pub fn cycles(self) -> f64 {
        match self {
            Self::Short => 0.0,
            Self::Cycles(cycles) => cycles,
            Self::Endless => f64::INFINITY,
        }
    }
}

/// The greatest and the least stress of a cycle as mean and alternating part, Pa.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Cycle {
    /// Half the sum.
    pub mean: f64,
    /// Half the difference.
    pub alternating: f64,
}

impl Cycle {
    /// A cycle between two stresses (Pa) of the same direction, in any order.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a stress that is not within 0 to 1e10 Pa.
    pub fn between(one: f64, other: f64) -> Result<Self> {
        within("stress of the cycle", one, 0.0, MOST_STRESS, "Pa")?;
        within("stress of the cycle", other, 0.0, MOST_STRESS, "Pa")?;
        Ok(Self {
            mean: 0.5 * (one + other),
            alternating: 0.5 * (one - other).abs(),
        })
    }

    /// The greatest stress, Pa.
    #[must_use]
    pub fn greatest(&self) -> f64 {
        self.mean + self.alternating
    }
}

/// What a part endures: a point of endless life that tests gave, the ultimate strength, and the line drawn between
/// them.
///
/// # Example
/// ```
/// use yokewright::spring::{FatigueCriterion, Cycle, Endurance, Life, WireSurface, Wire};
/// use yokewright::units::MM;
///
/// let wire = Wire::named("ASTM A228")?;
/// let endurance = Endurance::zimmerli(&wire, 2.0 * MM, WireSurface::Unpeened, FatigueCriterion::Gerber)?;
/// let cycle = Cycle::between(100e6, 500e6)?;
/// assert!(endurance.safety(&cycle, 1e6)? > 1.2);
/// assert_eq!(endurance.life(&cycle)?, Life::Endless);
/// assert!(endurance.life(&Cycle::between(100e6, 1000e6)?)?.cycles() < 1e6);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// F. P. Zimmerli, Human failures in spring applications, *The Mainspring* 17 (1957); Shigley, sections 6-8, 6-12,
/// 10-9.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Endurance {
    alternating: f64,
    mean: f64,
    ultimate: f64,
    criterion: FatigueCriterion,
}

stored_by_its_constructor!(Endurance {
    alternating: f64,
    mean: f64,
    ultimate: f64,
    criterion: FatigueCriterion
} => Self::new(alternating, mean, ultimate, criterion));

impl Endurance {
    /// A point of endless life: an alternating stress (Pa) borne for a million cycles at a mean stress (Pa), and the
    /// ultimate strength (Pa) of the same kind of stress, shear or bending. For a test at a stress that goes down to
    /// zero, both are half of its greatest.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] unless 0 < alternating < 0.77 ultimate and 0 <= mean < ultimate,
    /// and what is left without mean stress stays below 0.77 of the ultimate strength, where the line of finite life
    /// begins.
    pub fn new(
        alternating: f64,
        mean: f64,
        ultimate: f64,
        criterion: FatigueCriterion,
    ) -> Result<Self> {
        within("ultimate strength", ultimate, 1e6, MOST_STRESS, "Pa")?;
        let most = LOW_CYCLE_SHARE * ultimate;
        within(
            "alternating endurance strength",
            alternating,
            1e3,
            most,
            "Pa",
        )?;
        within(
            "mean stress of the endurance test",
            mean,
            0.0,
            MOST_MEAN * ultimate,
            "Pa",
        )?;
        let endurance = Self {
            alternating,
            mean,
            ultimate,
            criterion,
        };
        let reversed = endurance.fully_reversed();
        within(
            "fully reversed endurance strength",
            reversed,
            1e3,
            most,
            "Pa",
        )?;
        Ok(endurance)
    }

    /// In shear, for a wire (diameter in m) by Zimmerli's data: 241 MPa about a mean of 379 MPa, shot-peened 396 about
    /// 534 MPa. The ultimate strength in shear is 0.67 of the tensile strength.
    ///
    /// The data do not depend on the strength, so a weak wire may have too little for them: drawn to a mean of zero,
    /// the line of the criterion must stay below 0.77 of the ultimate strength. Goodman's rises most steeply and needs
    /// the strongest wire, for peened wire 1049 MPa in shear or a tensile strength of 1566 MPa; Gerber's needs 851 and
    /// 1270 MPa, Sines' 540 and 806 MPa.
    ///
    /// # Errors
    /// [`Error::WireDiameter`], and [`Error::OutOfRange`] for wire thicker than 10 mm, or too weak for the data, with
    /// what can be done about it; [`Error::NotAChoice`] for a wire that is not of steel.
    pub fn zimmerli(
        wire: &Wire,
        diameter: f64,
        surface: WireSurface,
        criterion: FatigueCriterion,
    ) -> Result<Self> {
        let tensile = wire.tensile_strength(diameter)?;
        within(
            "wire diameter for Zimmerli's data",
            diameter,
            0.0,
            THICKEST,
            "m",
        )?;
        if wire.family() == WireFamily::NonFerrous {
            return Err(not_steel("steel wire for Zimmerli's data", wire));
        }
        let [alternating, mean] = match surface {
            WireSurface::Unpeened => UNPEENED,
            WireSurface::Peened => PEENED,
        };
        let ultimate = SHEAR_SHARE * tensile;
        let least = criterion.least_ultimate(alternating, mean);
        if ultimate < least {
            // To the tenth of a megapascal.
            let round = |stress: f64| (1e-5 * stress).round() * 1e5;
            return Err(Error::OutOfRange {
                quantity: too_weak(surface, criterion),
                value: round(ultimate),
                min: round(least),
                max: MOST_STRESS,
                unit: "Pa",
                hint: Hint::None,
            });
        }
        Self::new(alternating, mean, ultimate, criterion)
    }

    /// The same in bending, by distortion energy: for the bent part of a hook. `tensile` is the tensile strength, Pa.
    /// As in Shigley's Example 10-7 what is converted is the fully reversed strength, and the mean then counts against
    /// the tensile strength.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn in_bending(&self, tensile: f64) -> Result<Self> {
        let reversed = self.fully_reversed() / DISTORTION;
        Self::new(reversed, 0.0, tensile, self.criterion)
    }

    /// Alternating stress of endless life at the mean stress of the test, Pa.
    #[must_use]
    pub fn alternating(&self) -> f64 {
        self.alternating
    }

    /// Mean stress of the test, Pa.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Ultimate strength in the same kind of stress, Pa.
    #[must_use]
    pub fn ultimate(&self) -> f64 {
        self.ultimate
    }

    /// How the mean stress counts.
    #[must_use]
    pub fn criterion(&self) -> FatigueCriterion {
        self.criterion
    }

    /// Alternating stress of endless life without mean stress, Pa: what is left at zero mean of the line through the
    /// test's point.
    #[must_use]
    pub fn fully_reversed(&self) -> f64 {
        self.alternating / self.left(self.mean)
    }

    /// Alternating stress without mean stress that is borne for a number of cycles, Pa: a N^b from 0.77 of the ultimate
    /// strength at a thousand cycles to the endless one at a million; constant beyond either.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a number of cycles that is not within 1 to 1e12.
    pub fn fully_reversed_at(&self, cycles: f64) -> Result<f64> {
        within("number of cycles", cycles, 1.0, 1e12, "cycles")?;
        let (low, endless) = (LOW_CYCLE_SHARE * self.ultimate, self.fully_reversed());
        let cycles = cycles.clamp(LOW_CYCLES, ENDLESS_CYCLES);
        let share = (cycles / LOW_CYCLES).log10() / (ENDLESS_CYCLES / LOW_CYCLES).log10();
        Ok(low * (endless / low).powf(share))
    }

    /// Alternating stress that is borne for a number of cycles at a mean stress (Pa), Pa; zero at the ultimate
    /// strength.
    ///
    /// # Errors
    /// As [`fully_reversed_at`](Self::fully_reversed_at), and for a mean stress that is not within 0 to the ultimate
    /// strength.
    pub fn alternating_at(&self, mean: f64, cycles: f64) -> Result<f64> {
        within("mean stress", mean, 0.0, self.ultimate, "Pa")?;
        Ok(self.fully_reversed_at(cycles)? * self.left(mean))
    }

    /// Factor by which a cycle may grow, mean and alternating part together, before it breaks the part in that many
    /// cycles; infinite for a stress of zero.
    ///
    /// Sines lets the mean aside. The factor says nothing of yielding.
    ///
    /// # Errors
    /// As [`fully_reversed_at`](Self::fully_reversed_at); [`Error::NotFinite`] or [`Error::OutOfRange`] for stresses
    /// that are none.
    pub fn safety(&self, cycle: &Cycle, cycles: f64) -> Result<f64> {
        cycle.check()?;
        Ok(self.raw_safety(cycle, self.fully_reversed_at(cycles)?))
    }

    pub(in crate::spring) fn raw_safety(&self, cycle: &Cycle, reversed: f64) -> f64 {
        // A stress of -0 is none.
        let (a, m) = (
            cycle.alternating.abs() / reversed,
            cycle.mean.abs() / self.ultimate,
        );
        match self.criterion {
            FatigueCriterion::Sines => 1.0 / a,
            FatigueCriterion::Goodman => 1.0 / (a + m),
            // The root of (n m)^2 + n a = 1, in the form that loses no digit where the mean is small.
            FatigueCriterion::Gerber => 2.0 / (a + (a * a + 4.0 * m * m).sqrt()),
        }
    }

    /// The greatest mean stress at which a cycle of this alternating stress has a safety, with what is endured fully
    /// reversed, Pa; negative infinity where the alternating stress alone is too much. The inverse of
    /// [`raw_safety`](Self::raw_safety).
    pub(in crate::spring) fn greatest_mean(
        &self,
        alternating: f64,
        reversed: f64,
        safety: f64,
    ) -> f64 {
        let left = 1.0 - safety * alternating / reversed;
        if left < 0.0 {
            return f64::NEG_INFINITY;
        }
        self.ultimate / safety
            * match self.criterion {
                FatigueCriterion::Sines => f64::INFINITY,
                FatigueCriterion::Goodman => left,
                FatigueCriterion::Gerber => left.sqrt(),
            }
    }

    /// How many such cycles the part stands.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for stresses that are none.
    pub fn life(&self, cycle: &Cycle) -> Result<Life> {
        cycle.check()?;
        // The stress without mean that does as much harm; at or beyond the ultimate strength none does.
        let left = self.left(cycle.mean);
        let (low, endless) = (LOW_CYCLE_SHARE * self.ultimate, self.fully_reversed());
        if left <= 0.0 || cycle.alternating > low * left {
            return Ok(Life::Short);
        }
        let equal = cycle.alternating / left;
        if equal <= endless {
            return Ok(Life::Endless);
        }
        let share = (equal / low).ln() / (endless / low).ln();
        let decades = (ENDLESS_CYCLES / LOW_CYCLES).log10();
        Ok(Life::Cycles(LOW_CYCLES * 10.0_f64.powf(share * decades)))
    }

    /// Share of the alternating strength that a mean stress leaves.
    fn left(&self, mean: f64) -> f64 {
        let m = mean / self.ultimate;
        match self.criterion {
            FatigueCriterion::Gerber => 1.0 - m * m,
            FatigueCriterion::Goodman => 1.0 - m,
            FatigueCriterion::Sines => 1.0,
        }
    }
}

impl Cycle {
    fn check(&self) -> Result<()> {
        within("mean stress", self.mean, 0.0, MOST_STRESS, "Pa")?;
        within(
            "alternating stress",
            self.alternating,
            0.0,
            MOST_STRESS,
            "Pa",
        )?;
        Ok(())
    }
}

/// Data for steel are asked of a wire that is none.
pub(in crate::spring) fn not_steel(quantity: &'static str, wire: &Wire) -> Error {
    let steels = Wire::all()
        .iter()
        .filter(|w| w.family() != WireFamily::NonFerrous);
    let names: Vec<_> = steels.map(Wire::name).collect();
    Error::NotAChoice {
        quantity,
        given: wire.name().to_owned(),
        choices: names.join(", "),
    }
}

/// Whether a spring lasts, and how well.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LifeVerdict {
    /// Shear stresses of the cycle with the curvature factor, Pa.
    pub cycle: Cycle,
    /// What the spring endures.
    pub endurance: Endurance,
    /// The cycles asked for.
    pub cycles: f64,
    /// Safety against breaking within the cycles asked for.
    pub safety: f64,
    /// Safety against yielding under the greatest force.
    pub static_safety: f64,
    /// How many cycles it stands.
    pub life: Life,
}

impl LifeVerdict {
    /// Whether it neither breaks nor yields.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.safety >= 1.0 && self.static_safety >= 1.0
    }
}

impl CompressionSpring {
    /// Whether it lasts a number of cycles between two forces (N, in any order), by Zimmerli's data.
    ///
    /// # Caution
    /// A broken spring throws its pieces; what it held lets go. Have nothing depend on one spring that could hurt when
    /// it breaks.
    ///
    /// # Errors
    /// As [`Endurance::zimmerli`] and [`Endurance::safety`]; [`Error::NotFinite`] or [`Error::OutOfRange`] for a force
    /// that is not within zero to what closes the coils.
    pub fn fatigue(
        &self,
        forces: [f64; 2],
        surface: WireSurface,
        criterion: FatigueCriterion,
        cycles: f64,
    ) -> Result<LifeVerdict> {
        for force in forces {
            self.length(force)?;
        }
        let [one, other] = forces;
        let cycle = Cycle::between(self.stress(one)?, self.stress(other)?)?;
        let diameter = self.wire_diameter();
        let endurance = Endurance::zimmerli(self.wire(), diameter, surface, criterion)?;
        Ok(LifeVerdict {
            safety: endurance.safety(&cycle, cycles)?,
            static_safety: self.static_safety(one.max(other))?,
            life: endurance.life(&cycle)?,
            cycle,
            endurance,
            cycles,
        })
    }
}
