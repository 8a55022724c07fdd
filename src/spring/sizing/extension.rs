//! From a wanted rate, a space and a life to the extension springs that do it.

use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::observer;
use crate::search::{SearchResult, Shortfall, Shortfalls};
use crate::spring::helical::extension::{ExtensionSpring, ExtensionSpringSpec, HookShape};
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::helical::helix::{CoilDiameter, DesignCode, rate};
use crate::spring::requirement;
use crate::spring::sizing::grid::{
    INDEX, Part, check_steps, check_wires, coils, limit, search, shape,
};
use crate::spring::sizing::life::{LifeDemand, Wear};
use crate::spring::wire::types::Wire;

/// What is wanted of an extension spring; [`ExtensionDemand::new`] fills in the usual limits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
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
    pub design_code: DesignCode,
    /// How many coil diameters to try for each wire diameter: 2 to 10,000.
    pub coil_steps: usize,
}

/// An extension spring that fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
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
            design_code: DesignCode::default(),
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
        let hooks = match self.design_code {
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
            design_code: self.design_code,
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
        let static_safety = spring.max_tension() / tensions[1];
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
