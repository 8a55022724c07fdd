//! From a wanted rate, a space and a life to the extension and torsion springs that do it, as `sizing` does for
//! compression springs.

use std::f64::consts::TAU;

use serde::Serialize;

use crate::error::{Result, within, within_computed};
use crate::observer;
use crate::search::{SearchResult, Shortfall, Shortfalls};
use crate::spring::helical::extension::{ExtensionSpring, ExtensionSpringSpec, HookShape};
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::helical::helix::{CoilDiameter, DesignCode, rate};
use crate::spring::helical::torsion::{
    TorsionSpring, TorsionSpringSpec, torque_per_turn, turns_in_legs,
};
use crate::spring::requirement;
use crate::spring::sizing::compression::{
    LifeDemand, Part, check_steps, check_wires, interval, search, spread,
};
use crate::spring::wire::types::Wire;

/// Spring indices that are wound without trouble (Shigley sec. 10-8).
const INDEX: [f64; 2] = [4.0, 12.0];
const SAFETY: [f64; 2] = [0.1, 100.0];

/// What is wanted of an extension spring; [`ExtensionDemand::new`] fills in the usual limits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ExtensionDemand {
    /// Wires to try, each in every diameter in which it is sold.
    pub wires: Vec<Wire>,
    /// Rate, N/m: 1e-3 to 1e7.
    pub rate: f64,
    /// Tension at the beginning of the travel, N: 0 to 1e5.
    pub preload: f64,
    /// How far it is stretched from there, m.
    pub travel: f64,
    /// The greatest outer diameter that fits, m, if there is a limit.
    pub bore: Option<f64>,
    /// The greatest length inside the hooks at the beginning of the travel, m, if there is a limit.
    pub longest_start: Option<f64>,
    /// How long it shall last; `None` if it is moved seldom.
    pub life: Option<LifeDemand>,
    /// Least safety of body and hooks against yielding at the end of the travel: 0.1 to 100.
    pub static_safety: f64,
    /// Least and greatest spring index.
    pub index: [f64; 2],
    /// Fewest and most turns of the body.
    pub body_turns: [f64; 2],
    /// Shape of the hooks.
    pub hook: HookShape,
    /// Whose rules.
    pub practice: DesignCode,
    /// How many coil diameters to try for each wire diameter: 2 to 10,000.
    pub coil_steps: usize,
}

/// An extension spring that fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SizedExtension {
    /// The spring.
    pub spring: ExtensionSpring,
    /// Length inside the hooks at the beginning and at the end of the travel, m.
    pub lengths: [f64; 2],
    /// Tension at the beginning and at the end of the travel, N.
    pub tensions: [f64; 2],
    /// Safety of body and hooks against yielding at the end of the travel.
    pub static_safety: f64,
    /// Safety against breaking within the cycles asked for, if a life was: of body and hooks the least.
    pub life_safety: Option<f64>,
}

/// The extension springs that do what is wanted, the best of each wire diameter, the lightest first.
///
/// Turns follow from the rate. The initial tension is the middle of what is usual for the index, or the preload if that
/// is less.
///
/// # Caution
/// What fits on paper is not yet safe in the hand: see [`ExtensionSpring`].
///
/// # Errors
/// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::OutOfRange`](crate::Error::OutOfRange),
/// [`Error::NotAscending`](crate::Error::NotAscending) or [`Error::Count`](crate::Error::Count) for a demand that makes
/// no sense. That nothing fits is no error here; [`SearchResult::best`] makes it one.
///
/// # Example
/// ```
/// use yokewright::spring::{ExtensionDemand, Wire, search_extension_springs};
/// use yokewright::units::MM;
///
/// // 0.5 N/mm from 5 N on, over 40 mm.
/// let wires = vec![Wire::named("EN 10270-1 SH")?];
/// let springs = search_extension_springs(&ExtensionDemand::new(wires, 500.0, 5.0, 40.0 * MM))?;
/// let best = springs.best()?;
/// assert!((best.spring.rate() - 500.0).abs() < 1e-6);
/// assert!((best.tensions[1] - 25.0).abs() < 1e-9);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_extension_springs(demand: &ExtensionDemand) -> Result<SearchResult<SizedExtension>> {
    demand.check()?;
    search("extension springs", &demand.wires, |wire, d| {
        demand.try_diameter(wire, d)
    })
}

impl ExtensionDemand {
    /// What is wanted, with no limit of room and no life asked for, an index of 4 to 12, 3 to 200 turns, full hooks,
    /// and no safety beyond what the shares of the strength hold.
    #[must_use]
    pub fn new(wires: Vec<Wire>, rate: f64, preload: f64, travel: f64) -> Self {
        Self {
            wires,
            rate,
            preload,
            travel,
            bore: None,
            longest_start: None,
            life: None,
            static_safety: 1.0,
            index: INDEX,
            body_turns: [3.0, 200.0],
            hook: HookShape::Full,
            practice: DesignCode::default(),
            coil_steps: 200,
        }
    }

    fn check(&self) -> Result<()> {
        check_wires(&self.wires)?;
        check_steps("coil diameters to try", self.coil_steps)?;
        within("wanted rate", self.rate, 1e-3, 1e7, "N/m")?;
        within("preload", self.preload, 0.0, 1e5, "N")?;
        within("travel of the spring", self.travel, 1e-5, 5.0, "m")?;
        limit("bore for the spring", self.bore)?;
        limit("longest length at the beginning", self.longest_start)?;
        shape(self.index, self.body_turns, self.static_safety)?;
        if let Some(life) = &self.life {
            life.check()?;
        }
        Ok(())
    }

    fn try_diameter(&self, wire: &Wire, d: f64) -> Result<Part<SizedExtension>> {
        let mut part = Part::default();
        let shear = wire.shear_modulus(d)?;
        let hooks = match self.practice {
            DesignCode::Shigley => shear / wire.elastic_modulus(d)?,
            DesignCode::En13906 => 0.0,
        };
        let life = Wear::new(self.life, |life| {
            let shear = Endurance::zimmerli(wire, d, life.surface, life.criterion)?;
            let bending = shear.in_bending(wire.tensile_strength(d)?)?;
            let at =
                |endurance: Endurance| Ok((endurance, endurance.fully_reversed_at(life.cycles)?));
            Ok([at(shear)?, at(bending)?])
        });
        for mean in coils(
            self.index,
            d,
            self.coil_steps,
            [self.bore.map(|bore| bore - d), None],
        ) {
            observer::check()?;
            let turns = rate(shear, d, mean, 1.0) / self.rate - hooks;
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
        life: &Wear<[(Endurance, f64); 2]>,
        part: &mut Part<SizedExtension>,
    ) {
        let mut shortfalls = Shortfalls::default();
        shortfalls.at_least(requirement::FEW_TURNS, turns, self.body_turns[0]);
        shortfalls.at_most(requirement::MANY_TURNS, turns, self.body_turns[1]);
        shortfalls.at_most(requirement::BORE, mean + d, self.bore);
        let spec = ExtensionSpringSpec {
            wire: wire.clone(),
            wire_diameter: d,
            coil: CoilDiameter::Mean(mean),
            body_turns: turns,
            initial_tension: 0.0,
            hook: self.hook,
            bend_radius: None,
            side_radius: None,
            hook_reach: None,
            practice: self.practice,
        };
        // The loose spring of this shape knows which initial tension is usual.
        let spring = ExtensionSpring::new(spec.clone()).and_then(|loose| {
            let [low, high] = loose.usual_initial_tension();
            shortfalls.at_most(requirement::INITIAL_TENSION, low, self.preload);
            let initial_tension = (0.5 * (low + high)).min(self.preload);
            ExtensionSpring::new(ExtensionSpringSpec {
                initial_tension,
                ..spec
            })
        });
        let Ok(spring) = spring else {
            let unbuilt = Shortfall::new(requirement::YIELD, 0.0, self.static_safety);
            part.tally.reject(shortfalls.or(unbuilt), || None);
            return;
        };
        let tensions = [self.preload, self.preload + self.rate * self.travel];
        let initial = spring.spec().initial_tension;
        let lengths =
            tensions.map(|tension| spring.free_length() + (tension - initial) / spring.rate());
        shortfalls.at_most(requirement::TOO_LONG, lengths[0], self.longest_start);
        let static_safety = spring.greatest_tension() / tensions[1];
        shortfalls.at_least(requirement::YIELD, static_safety, self.static_safety);
        let life_safety = life.judge(&mut shortfalls, |[shear, bending]| {
            let [one, two] = tensions.map(|tension| spring.stresses(tension));
            let (one, two) = (one?, two?);
            let safety = |(endurance, reversed): &(Endurance, f64), a, b| {
                Ok(endurance.raw_safety(&Cycle::between(a, b)?, *reversed))
            };
            let body = safety(shear, one.body, two.body)?;
            let bend = safety(bending, one.hook_bending, two.hook_bending)?;
            let twist = safety(shear, one.hook_torsion, two.hook_torsion)?;
            Ok(f64::min(body, f64::min(bend, twist)))
        });
        part.judge(shortfalls, spring.mass(), || SizedExtension {
            lengths,
            tensions,
            static_safety,
            life_safety,
            spring,
        });
    }
}

/// What is wanted of a torsion spring; [`TorsionDemand::new`] fills in the usual limits.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
    pub clearance: f64,
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
    pub practice: DesignCode,
    /// How many coil diameters to try for each wire diameter: 2 to 10,000.
    pub coil_steps: usize,
}

/// A torsion spring that fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
/// As [`search_extension_springs`].
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
/// assert!(best.spring.wound_up(best.angles[1])?.clearance.is_some_and(|left| left >= 0.799 * MM));
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
            clearance: 0.1,
            bore: None,
            longest_body: None,
            life: None,
            static_safety: 1.0,
            index: INDEX,
            body_turns: [2.0, 50.0],
            practice: DesignCode::default(),
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
            self.clearance,
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
            self.arbor.map(|arbor| arbor * (1.0 + self.clearance) + d),
        ];
        for mean in coils(self.index, d, self.coil_steps, edges) {
            observer::check()?;
            let active = torque_per_turn(self.practice, elastic, d, mean, 1.0) / (TAU * self.rate);
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
            practice: self.practice,
        });
        let torques = [self.preload, self.preload + self.rate * self.travel];
        let angles = torques.map(|torque| torque / self.rate);
        let least_inner = self.arbor.map(|arbor| arbor * (1.0 + self.clearance));
        let wound = spring.and_then(|spring| Ok((spring.wound_up(angles[1])?, spring)));
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
        let static_safety = spring.greatest_torque() / torques[1];
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

/// How the life of candidates of one wire diameter is judged; `E` is what they endure.
struct Wear<E> {
    demand: Option<LifeDemand>,
    /// `None`: the data do not hold for this wire, and it fails.
    endurance: Option<E>,
}

impl<E> Wear<E> {
    fn new(demand: Option<LifeDemand>, endurance: impl FnOnce(LifeDemand) -> Result<E>) -> Self {
        Self {
            demand,
            endurance: demand.and_then(|life| endurance(life).ok()),
        }
    }

    /// The safety against breaking, if a life was asked for.
    fn judge(
        &self,
        shortfalls: &mut Shortfalls,
        safety: impl FnOnce(&E) -> Result<f64>,
    ) -> Option<f64> {
        let life = self.demand?;
        let safety = self
            .endurance
            .as_ref()
            .map_or(0.0, |e| safety(e).unwrap_or(0.0));
        shortfalls.at_least(requirement::LIFE, safety, life.safety);
        Some(safety)
    }
}

/// Mean diameters to try: evenly over the indices, and those that just fit.
fn coils(
    index: [f64; 2],
    d: f64,
    steps: usize,
    edges: [Option<f64>; 2],
) -> impl Iterator<Item = f64> {
    let [least, most] = index.map(|index| index * d);
    let edges = edges.into_iter().flatten();
    let inside = edges.filter(move |mean| (least..=most).contains(mean));
    (0..steps)
        .map(move |i| spread(least, most, i, steps))
        .chain(inside)
}

fn limit(quantity: &'static str, value: Option<f64>) -> Result<()> {
    value.map_or(Ok(()), |value| {
        within(quantity, value, 1e-5, 5.0, "m").map(|_| ())
    })
}

fn shape(index: [f64; 2], turns: [f64; 2], safety: f64) -> Result<()> {
    interval("spring index", index, 2.0, 50.0, "(no unit)")?;
    interval("turns of the body", turns, 1.0, 1000.0, "turns")?;
    let [least, most] = SAFETY;
    within("safety against yielding", safety, least, most, "(no unit)")?;
    Ok(())
}
