//! From a wanted rate, a space and a life to the torsion springs that do it.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::error::{Result, within, within_computed};
use crate::observer;
use crate::search::{SearchResult, Shortfall, Shortfalls};
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::helical::helix::{CoilDiameter, DesignCode};
use crate::spring::helical::torsion::{
    TorsionSpring, TorsionSpringSpec, torque_per_turn, turns_in_legs,
};
use crate::spring::requirement;
use crate::spring::sizing::grid::{
    INDEX, Part, check_steps, check_wires, coils, limit, search, shape,
};
use crate::spring::sizing::life::{LifeDemand, Wear};
use crate::spring::wire::types::Wire;

/// What is wanted of a torsion spring; [`TorsionDemand::new`] fills in the usual limits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorsionDemand {
    /// Wires to try, each in every diameter in which it is sold.
    pub wires: Vec<Wire>,
    /// Rate, N m/rad: 1e-6 to 1e5.
    pub rate: f64,
    /// Torque at the beginning of the travel, N m: 0 to 1e5.
    pub preload: f64,
    /// How far it is wound up from there, rad.
    pub travel: f64,
    /// Lengths of the legs to where they bear, m.
    pub legs: [f64; 2],
    /// Diameter of the arbor inside, m, if there is one.
    pub arbor: Option<f64>,
    /// Share of the arbor's diameter that must be left between it and the coils at the end of the travel: 0 to 10.
    pub clearance_share: f64,
    /// The greatest outer diameter that fits, m, if there is a limit.
    pub bore: Option<f64>,
    /// The greatest length of the body at the end of the travel, m, if there is a limit.
    pub longest_body: Option<f64>,
    /// How long it shall last; `None` if it is moved seldom.
    pub life: Option<LifeDemand>,
    /// Least safety against yielding at the end of the travel: 0.1 to 100.
    pub static_safety: f64,
    /// Least and greatest spring index.
    pub index: [f64; 2],
    /// Fewest and most turns of the body.
    pub body_turns: [f64; 2],
    /// Whose rules.
    pub design_code: DesignCode,
    /// How many coil diameters to try for each wire diameter: 2 to 10,000.
    pub coil_steps: usize,
}

/// A torsion spring that fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SizedTorsion {
    /// The spring.
    pub spring: TorsionSpring,
    /// Angles by which it is wound up at the beginning and at the end of the travel, rad.
    pub angles: [f64; 2],
    /// Torque there, N m.
    pub torques: [f64; 2],
    /// Safety against yielding at the end of the travel.
    pub static_safety: f64,
    /// Safety against breaking within the cycles asked for, if a life was.
    pub life_safety: Option<f64>,
}

/// The torsion springs that do what is wanted, the best of each wire diameter, the lightest first. Turns follow from
/// the rate.
///
/// # Caution
/// What fits on paper is not yet safe in the hand: see [`TorsionSpring`].
///
/// # Errors
/// As [`search_extension_springs`](crate::spring::search_extension_springs).
///
/// # Example
/// ```
/// use yokewright::spring::{TorsionDemand, Wire, search_torsion_springs};
/// use yokewright::units::{DEG, MM};
///
/// // A lever that shall come back: 0.2 N m at rest, 0.6 N m/rad more over 50 degrees, on a bolt of 8 mm.
/// let wires = vec![Wire::named("EN 10270-1 SH")?];
/// let demand = TorsionDemand {
///     legs: [30.0 * MM, 30.0 * MM],
///     arbor: Some(8.0 * MM),
///     ..TorsionDemand::new(wires, 0.6, 0.2, 50.0 * DEG)
/// };
/// let springs = search_torsion_springs(&demand)?;
/// let best = springs.best()?;
/// assert!((best.spring.rate() - 0.6).abs() < 1e-9);
/// assert!(best.spring.state_at(best.angles[1])?.clearance.is_some_and(|left| left >= 0.799 * MM));
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_torsion_springs(demand: &TorsionDemand) -> Result<SearchResult<SizedTorsion>> {
    demand.check()?;
    search("torsion springs", &demand.wires, |wire, d| {
        demand.try_diameter(wire, d)
    })
}

impl TorsionDemand {
    /// What is wanted, without legs, arbor, limit of room or life, an index of 4 to 12, 2 to 50 turns, a tenth of the
    /// arbor as clearance, and no safety beyond what the share of the strength holds.
    #[must_use]
    pub fn new(wires: Vec<Wire>, rate: f64, preload: f64, travel: f64) -> Self {
        Self {
            wires,
            rate,
            preload,
            travel,
            legs: [0.0, 0.0],
            arbor: None,
            clearance_share: 0.1,
            bore: None,
            longest_body: None,
            life: None,
            static_safety: 1.0,
            index: INDEX,
            body_turns: [2.0, 50.0],
            design_code: DesignCode::default(),
            coil_steps: 200,
        }
    }

    fn check(&self) -> Result<()> {
        check_wires(&self.wires)?;
        check_steps("coil diameters to try", self.coil_steps)?;
        within("wanted rate", self.rate, 1e-6, 1e5, "N m/rad")?;
        within("preload", self.preload, 0.0, 1e5, "N m")?;
        within(
            "travel of the torsion spring",
            self.travel,
            1e-4,
            50.0,
            "rad",
        )?;
        within_computed(
            "angle at the beginning of the travel",
            self.preload / self.rate,
            0.0,
            50.0,
            "rad",
        )?;
        for leg in self.legs {
            within("leg of the torsion spring", leg, 0.0, 1.0, "m")?;
        }
        limit("arbor in the torsion spring", self.arbor)?;
        within(
            "clearance on the arbor",
            self.clearance_share,
            0.0,
            10.0,
            "(no unit)",
        )?;
        limit("bore for the torsion spring", self.bore)?;
        limit("longest body of the torsion spring", self.longest_body)?;
        shape(self.index, self.body_turns, self.static_safety)?;
        if let Some(life) = &self.life {
            life.check()?;
        }
        Ok(())
    }

    fn try_diameter(&self, wire: &Wire, d: f64) -> Result<Part<SizedTorsion>> {
        let mut part = Part::default();
        let elastic = wire.elastic_modulus(d)?;
        let life = Wear::new(self.life, |life| {
            TorsionSpring::endurance(wire, d, life.surface, life.criterion, life.cycles)
        });
        let edges = [
            self.bore.map(|bore| bore - d),
            self.arbor
                .map(|arbor| arbor * (1.0 + self.clearance_share) + d),
        ];
        for mean in coils(self.index, d, self.coil_steps, edges) {
            observer::check()?;
            let active =
                torque_per_turn(self.design_code, elastic, d, mean, 1.0) / (TAU * self.rate);
            let turns = active - turns_in_legs(self.legs, mean);
            self.try_coil(wire, d, mean, turns, &life, &mut part);
        }
        Ok(part)
    }

    fn try_coil(
        &self,
        wire: &Wire,
        d: f64,
        mean: f64,
        turns: f64,
        life: &Wear<Endurance>,
        part: &mut Part<SizedTorsion>,
    ) {
        let mut shortfalls = Shortfalls::default();
        shortfalls.at_least(requirement::FEW_TURNS, turns, self.body_turns[0]);
        shortfalls.at_most(requirement::MANY_TURNS, turns, self.body_turns[1]);
        shortfalls.at_most(requirement::BORE, mean + d, self.bore);
        let spring = TorsionSpring::new(TorsionSpringSpec {
            wire: wire.clone(),
            wire_diameter: d,
            coil: CoilDiameter::Mean(mean),
            body_turns: turns,
            legs: self.legs,
            // The clearance is judged here, so that a spring too narrow for it can be told.
            arbor: None,
            design_code: self.design_code,
        });
        let torques = [self.preload, self.preload + self.rate * self.travel];
        let angles = torques.map(|torque| torque / self.rate);
        let least_inner = self.arbor.map(|arbor| arbor * (1.0 + self.clearance_share));
        let wound = spring.and_then(|spring| Ok((spring.state_at(angles[1])?, spring)));
        let Ok((wound, spring)) = wound else {
            let unbuilt = Shortfall::new(requirement::YIELD, 0.0, self.static_safety);
            part.tally.reject(shortfalls.or(unbuilt), || None);
            return;
        };
        shortfalls.at_least(requirement::ARBOR, wound.inner_diameter, least_inner);
        shortfalls.at_most(
            requirement::BODY_LENGTH,
            wound.body_length,
            self.longest_body,
        );
        let static_safety = spring.max_torque() / torques[1];
        shortfalls.at_least(requirement::YIELD, static_safety, self.static_safety);
        let life_safety = life.judge(&mut shortfalls, |endurance| {
            let cycle = Cycle::between(spring.stress(torques[0])?, spring.stress(torques[1])?)?;
            Ok(endurance.raw_safety(&cycle, endurance.fully_reversed()))
        });
        // As it will be: on its arbor.
        let arbor = self.arbor;
        let spec = TorsionSpringSpec {
            arbor,
            ..spring.spec().clone()
        };
        let Ok(spring) = TorsionSpring::new(spec) else {
            let (inner, least) = (wound.inner_diameter, least_inner.unwrap_or_default());
            let unbuilt = Shortfall::new(requirement::ARBOR, inner, least);
            part.tally.reject(shortfalls.or(unbuilt), || None);
            return;
        };
        part.judge(shortfalls, spring.mass(), || SizedTorsion {
            angles,
            torques,
            static_safety,
            life_safety,
            spring,
        });
    }
}
