//! Helical torsion springs of round wire.

use std::f64::consts::{PI, TAU};

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, within, within_computed};
use crate::spring::helical::coil::{Coil, bend_inside};
use crate::spring::helical::fatigue::{Cycle, Endurance, FatigueCriterion, WireSurface, not_steel};
use crate::spring::helical::helix::{CoilDiameter, DesignCode};
use crate::spring::law::{LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction};
use crate::spring::wire::types::{Wire, WireFamily};
use crate::stored::stored_as_spec;

/// The thinnest arbor, m: less passes no coil.
const THINNEST_ARBOR: f64 = 1e-5;
/// EN 13906-3: share of the tensile strength that the bending stress under static load may reach (from memory).
const EN_SHARE: f64 = 0.7;

/// What a torsion spring is made of; [`TorsionSpring::new`] checks it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorsionSpringSpec {
    /// The wire.
    pub wire: Wire,
    /// Wire diameter d, m.
    pub wire_diameter: f64,
    /// Diameter of the coils when nothing loads it.
    pub coil: CoilDiameter,
    /// Turns of the body Nb, wound close; parts of a turn set the angle between the legs.
    pub body_turns: f64,
    /// Lengths of the legs l1 and l2 from the body to where they bear, m.
    pub legs: [f64; 2],
    /// Diameter of the pin or arbor inside, m; `None` if there is none.
    pub arbor: Option<f64>,
    /// Textbook or standard.
    pub design_code: DesignCode,
}

impl TorsionSpringSpec {
    /// Without legs that bend and without an arbor, by Shigley.
    #[must_use]
    pub fn new(wire: Wire, wire_diameter: f64, coil: CoilDiameter, body_turns: f64) -> Self {
        Self {
            wire,
            wire_diameter,
            coil,
            body_turns,
            legs: [0.0; 2],
            arbor: None,
            design_code: DesignCode::default(),
        }
    }
}

/// What stops a torsion spring from being wound up further.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TorsionLimit {
    /// The stress at the inside of the coils.
    Stress,
    /// The coils close on the arbor.
    Arbor,
}

choices!(TorsionLimit, "limit of a torsion spring", {
    Stress => "stress",
    Arbor => "arbor",
});

/// A torsion spring wound up by some angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TorsionState {
    /// Angle of one leg against the other from where nothing loads them, rad.
    pub angle: f64,
    /// Torque, N m.
    pub torque: f64,
    /// Bending stress at the inside of the coils, Pa.
    pub stress: f64,
    /// Inner diameter of the coils, m.
    pub inner_diameter: f64,
    /// Inner diameter less that of the arbor, m; `None` without an arbor.
    pub clearance: Option<f64>,
    /// Length of the body along its axis, m: it grows by one wire for each turn.
    pub body_length: f64,
}

/// Whether a torsion spring lasts, and how well.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TorsionLife {
    /// Bending stresses of the cycle at the inside of the coils, Pa.
    pub cycle: Cycle,
    /// What it endures for the cycles asked for.
    pub endurance: Endurance,
    /// The cycles asked for.
    pub cycles: f64,
    /// Safety against breaking within them.
    pub safety: f64,
    /// Safety against yielding under the greatest torque.
    pub static_safety: f64,
}

impl TorsionLife {
    /// Whether it neither breaks nor yields.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.safety >= 1.0 && self.static_safety >= 1.0
    }
}

/// A helical torsion spring of round wire, wound close, loaded so that it winds up.
///
/// With C = D / d, for a torque M:
///
/// | | |
/// | --- | --- |
/// | turns that deflect | Na = Nb + (l1 + l2) / (3 pi D): the legs bend, too |
/// | torque for a turn | d^4 E / (10.8 D Na), found by test with the friction between the coils |
/// | bending stress at the inside | Ki 32 M / (pi d^3), Ki = (4 C^2 - C - 1) / (4 C (C - 1)) |
/// | mean diameter when the body has turned by t turns | D Nb / (Nb + t) |
/// | body | (Nb + 1 + t) d |
///
/// By [`DesignCode::En13906`] the torque for a turn is that of theory, d^4 E / (64/(2 pi) D Na) with 64/(2 pi) =
/// 10.186, and Ki is q = (C + 0.07) / (C - 0.75).
///
/// Loaded the other way, so that it opens, its inside is stressed by the residual stress of winding on top: this is not
/// computed here.
///
/// # Caution
/// A wound-up leg that slips strikes: wear eye protection, keep fingers out of its way, let it down with a tool. For
/// simulators only.
///
/// # Example
/// ```
/// use yokewright::spring::{CoilDiameter, DesignCode, TorsionSpring, TorsionSpringSpec, Wire};
/// use yokewright::units::{DEG, MM};
///
/// let spring = TorsionSpring::new(TorsionSpringSpec {
///     wire: Wire::named("ASTM A228")?,
///     wire_diameter: 1.8 * MM,
///     coil: CoilDiameter::Mean(15.0 * MM),
///     body_turns: 4.25,
///     legs: [25.0 * MM, 25.0 * MM],
///     arbor: Some(11.0 * MM),
///     design_code: DesignCode::Shigley,
/// })?;
/// let wound = spring.state_at(40.0 * DEG)?;
/// assert!((wound.torque - 0.3073).abs() < 0.001);
/// assert!(wound.clearance.is_some_and(|clearance| clearance > 1.7 * MM));
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*, McGraw-Hill, sec. 10-12, eq. 10-42 to
/// 10-57; EN 13906-3 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct TorsionSpring {
    spec: TorsionSpringSpec,
    coil: Coil,
    /// N m/rad
    rate: f64,
    max_angle: f64,
    limit: TorsionLimit,
}

stored_as_spec!(TorsionSpring, TorsionSpringSpec);

impl TorsionSpring {
    /// Checks what the spring is made of.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::WireDiameter`], [`Error::OutOfRange`]: if the index D / d is not within 2 to 50,
    /// the turns not within 1 to 1000, a leg not within 0 to 1 m, the arbor does not pass through the unloaded coils,
    /// or the rate is not that of a [`LinearTorsionSpring`].
    pub fn new(mut spec: TorsionSpringSpec) -> Result<Self> {
        let coil = Coil::new(&spec.wire, spec.wire_diameter, spec.coil, spec.body_turns)?;
        // The same spring however its diameter was measured.
        spec.coil = CoilDiameter::Mean(coil.mean);
        let Coil { d, mean, .. } = coil;
        for leg in spec.legs {
            within("leg of the torsion spring", leg, 0.0, 1.0, "m")?;
        }
        if let Some(arbor) = spec.arbor {
            within("arbor", arbor, THINNEST_ARBOR, 2.0, "m")?;
            let quantity = "arbor, with the inner diameter of the coils";
            within_computed(quantity, arbor, THINNEST_ARBOR, mean - d, "m")?;
        }
        let active = active_turns(&spec, &coil);
        let rate = torque_per_turn(spec.design_code, coil.elastic, d, mean, active) / TAU;
        let mut spring = Self {
            spec,
            coil,
            rate,
            max_angle: 0.0,
            limit: TorsionLimit::Stress,
        };
        spring.max_angle = spring.max_torque() / rate;
        if let Some(gripped) = spring.gripping_angle()
            && gripped < spring.max_angle
        {
            spring.max_angle = gripped;
            spring.limit = TorsionLimit::Arbor;
        }
        // Its rate is one that a law takes.
        spring.linear_torsion_spring(0.0, SpringAction::Above)?;
        Ok(spring)
    }

    /// What it was made of, the diameter of the coils as the mean one.
    #[must_use]
    pub fn spec(&self) -> &TorsionSpringSpec {
        &self.spec
    }

    /// Diameter of the unloaded coils from the middle of the wire to the middle of the wire D, m.
    #[must_use]
    pub fn mean_diameter(&self) -> f64 {
        self.coil.mean
    }

    /// Spring index C = D / d.
    #[must_use]
    pub fn index(&self) -> f64 {
        self.coil.index()
    }

    /// Outer diameter D + d when nothing loads it, m.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.coil.mean + self.coil.d
    }

    /// Turns that deflect: Na = Nb + (l1 + l2) / (3 pi D).
    #[must_use]
    pub fn active_turns(&self) -> f64 {
        active_turns(&self.spec, &self.coil)
    }

    /// Rate, N m/rad.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Torque for a whole turn, N m: 2 pi times the rate.
    #[must_use]
    pub fn torque_per_turn(&self) -> f64 {
        TAU * self.rate
    }

    /// Bending stress at the inside of the coils for a torque (N m, 0 to 1e5), Pa.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn stress(&self, torque: f64) -> Result<f64> {
        within("torque of the torsion spring", torque, 0.0, 1e5, "N m")?;
        Ok(self.stress_per_newton_metre() * torque)
    }

    /// Bending stress that it bears under static load, Pa: a share of the least tensile strength.
    ///
    /// [`DesignCode::Shigley`]: the yield strength, 0.78 for cold-drawn, 0.87 for tempered, 0.61 for stainless and
    /// copper wire (eq. 10-57).
    /// [`DesignCode::En13906`]: 0.7 for all (EN 13906-3, from memory). The standard sets it against the stress without
    /// q (from memory); here it is set against [`stress`](Self::stress), which has q, on the safe side.
    #[must_use]
    pub fn allowable(&self) -> f64 {
        let share = match self.spec.design_code {
            DesignCode::Shigley => self.spec.wire.shares().bending,
            DesignCode::En13906 => EN_SHARE,
        };
        share * self.coil.strength
    }

    /// The torque at which the stress reaches what it bears under static load, N m.
    #[must_use]
    pub fn max_torque(&self) -> f64 {
        self.allowable() / self.stress_per_newton_metre()
    }

    /// How far it may be wound up, rad: to [`max_torque`](Self::max_torque), or to where it grips the arbor if that
    /// comes first.
    #[must_use]
    pub fn max_angle(&self) -> f64 {
        self.max_angle
    }

    /// What stops it there.
    #[must_use]
    pub fn limit(&self) -> TorsionLimit {
        self.limit
    }

    /// The angle at which the coils close on the arbor, rad; `None` without an arbor.
    #[must_use]
    pub fn gripping_angle(&self) -> Option<f64> {
        let closed = self.spec.arbor? + self.coil.d;
        // The body closes when it has turned by Nb (D / closed - 1), and the legs bend on top.
        Some(TAU * self.active_turns() * (self.coil.mean / closed - 1.0))
    }

    /// What it is like when wound up by an angle (rad) from where nothing loads it.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] if the angle is negative, more than 100 rad, or more than it takes
    /// to grip the arbor.
    pub fn state_at(&self, angle: f64) -> Result<TorsionState> {
        within(
            "angle by which the torsion spring is wound up",
            angle,
            0.0,
            100.0,
            "rad",
        )?;
        if let Some(gripped) = self.gripping_angle() {
            let quantity =
                "angle by which the torsion spring is wound up before it grips its arbor";
            within_computed(quantity, angle, 0.0, gripped, "rad")?;
        }
        let Coil { d, mean, turns, .. } = self.coil;
        let torque = self.rate * angle;
        let body_turned = angle / TAU * turns / self.active_turns();
        let inner_diameter = mean * turns / (turns + body_turned) - d;
        Ok(TorsionState {
            angle,
            torque,
            stress: self.stress_per_newton_metre() * torque,
            inner_diameter,
            clearance: self.spec.arbor.map(|arbor| inner_diameter - arbor),
            body_length: self.coil.body_length(body_turned),
        })
    }

    /// Safety against yielding under a torque (N m): allowable over actual stress, infinite without torque.
    ///
    /// # Errors
    /// As [`stress`](Self::stress).
    pub fn static_safety(&self, torque: f64) -> Result<f64> {
        // The stress of a torque of -0 is -0.
        Ok(self.allowable() / self.stress(torque)?.abs())
    }

    /// Whether it lasts a number of cycles between two torques (N m, in any order).
    ///
    /// By Shigley's Table 10-10: the bending stress that may be repeated from zero, as a share of the tensile strength,
    /// for a hundred thousand and for a million cycles; straight in the logarithm of the cycles between them, constant
    /// beyond either, as the table has nothing there. The Gerber line through that point is Shigley's (eq. 10-58 to
    /// 10-61).
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for a wire that is not of steel; [`Error::NotFinite`], [`Error::OutOfRange`] for a torque
    /// outside 0 to 1e5 N m, or cycles outside 1 to 1e12.
    pub fn fatigue(
        &self,
        torques: [f64; 2],
        surface: WireSurface,
        criterion: FatigueCriterion,
        cycles: f64,
    ) -> Result<TorsionLife> {
        let endurance = Self::endurance(&self.spec.wire, self.coil.d, surface, criterion, cycles)?;
        let cycle = Cycle::between(self.stress(torques[0])?, self.stress(torques[1])?)?;
        Ok(TorsionLife {
            cycle,
            endurance,
            cycles,
            safety: endurance.raw_safety(&cycle, endurance.fully_reversed()),
            static_safety: self.allowable() / cycle.greatest(),
        })
    }

    /// Length of the wire, legs included, m.
    #[must_use]
    pub fn wire_length(&self) -> f64 {
        self.coil.wire_length(0.0) + self.spec.legs.iter().sum::<f64>()
    }

    /// Mass, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.coil.mass_of(self.wire_length())
    }

    /// What it does about a pivot, for a spring whose legs are free at `free_angle` (rad) of the turning part and that
    /// is wound up from there by growing or by falling angles; wound up further than [`max_angle`](Self::max_angle) it
    /// is overwound.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for the free angle; [`Error::NotAChoice`] for
    /// [`SpringAction::Both`]: its legs push only one way.
    pub fn linear_torsion_spring(
        &self,
        free_angle: f64,
        action: SpringAction,
    ) -> Result<LinearTorsionSpring> {
        // Springs of very many turns stand more than a law covers.
        let end = |by: f64| Some(free_angle + by).filter(|end| end.abs() <= 100.0);
        let (least, greatest) = match action {
            SpringAction::Above => (None, end(self.max_angle)),
            SpringAction::Below => (end(-self.max_angle), None),
            SpringAction::Both => {
                return Err(Error::NotAChoice {
                    quantity: "side on which the torsion spring works",
                    given: action.to_string(),
                    choices: format!("{}, {}", SpringAction::Above, SpringAction::Below),
                });
            }
        };
        LinearTorsionSpring::new(LinearTorsionSpringSpec {
            rate: self.rate,
            free_angle,
            action,
            min_angle: least,
            max_angle: greatest,
        })
    }

    /// What a torsion spring of a wire endures for a number of cycles.
    pub(in crate::spring) fn endurance(
        wire: &Wire,
        d: f64,
        surface: WireSurface,
        criterion: FatigueCriterion,
        cycles: f64,
    ) -> Result<Endurance> {
        let tensile = wire.tensile_strength(d)?;
        let half = 0.5 * repeated_share(wire, surface, cycles)? * tensile;
        Endurance::new(half, half, tensile, criterion)
    }

    fn stress_per_newton_metre(&self) -> f64 {
        let index = self.index();
        let factor = match self.spec.design_code {
            DesignCode::Shigley => bend_inside(index),
            DesignCode::En13906 => (index + 0.07) / (index - 0.75),
        };
        factor * self.coil.bending_per_moment()
    }
}

fn active_turns(spec: &TorsionSpringSpec, coil: &Coil) -> f64 {
    coil.turns + turns_in_legs(spec.legs, coil.mean)
}

/// Turns that would deflect as much as the legs do.
pub(in crate::spring) fn turns_in_legs(legs: [f64; 2], mean: f64) -> f64 {
    (legs[0] + legs[1]) / (3.0 * PI * mean)
}

/// Torque for a turn, N m.
pub(in crate::spring) fn torque_per_turn(
    design_code: DesignCode,
    elastic: f64,
    d: f64,
    mean: f64,
    active_turns: f64,
) -> f64 {
    let constant = match design_code {
        DesignCode::Shigley => 10.8,
        DesignCode::En13906 => 64.0 / TAU,
    };
    d.powi(4) * elastic / (constant * mean * active_turns)
}

/// Bending stress that may be repeated from zero, as a share of the tensile strength, for 1e5 and for 1e6 cycles
/// (Shigley Table 10-10; tempered peened wire from memory).
fn repeated_share(wire: &Wire, surface: WireSurface, cycles: f64) -> Result<f64> {
    within("number of cycles", cycles, 1.0, 1e12, "cycles")?;
    let [at_1e5, at_1e6] = match (wire.family(), surface) {
        (WireFamily::ColdDrawn | WireFamily::Austenitic, WireSurface::Unpeened) => [0.53, 0.50],
        (WireFamily::ColdDrawn | WireFamily::Austenitic, WireSurface::Peened) => [0.62, 0.60],
        (WireFamily::Tempered, WireSurface::Unpeened) => [0.55, 0.53],
        (WireFamily::Tempered, WireSurface::Peened) => [0.66, 0.64],
        (WireFamily::NonFerrous, _) => {
            return Err(not_steel(
                "steel wire for the fatigue of torsion springs",
                wire,
            ));
        }
    };
    let decades = (cycles.log10() - 5.0).clamp(0.0, 1.0);
    Ok(at_1e5 + decades * (at_1e6 - at_1e5))
}
