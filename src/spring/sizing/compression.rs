//! From a wanted force, a space and a life to the springs that do it.
//!
//! Every wire diameter in which a wire is sold is tried with many coil diameters; what fails is counted by what it
//! fails in, so that "nothing fits" says why and by how much.

use serde::{Deserialize, Serialize};

use crate::error::{Result, choices, within, within_computed};
use crate::numeric::spacing::spaced_at;
use crate::observer;
use crate::search::{ROUNDING, SearchResult, Shortfall, Shortfalls};
use crate::spring::helical::compression::{
    CoilEnds, CompressionSpring, CompressionSpringSpec, EndFixity, LONGEST, Presetting,
    RECOMMENDED, Service, Turns, en_least_gap,
};
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::helical::helix::{CoilDiameter, CurvatureFactor, DesignCode, rate};
use crate::spring::requirement;
use crate::spring::sizing::grid::{
    Part, SAFETY_RANGE, check_steps, check_wires, coils, interval, search,
};
use crate::spring::sizing::life::{LifeDemand, Wear};
use crate::spring::wire::types::Wire;
use crate::units::MM;

const FORCE_RANGE: [f64; 2] = [0.0, 1e5];
const LENGTH_RANGE: [f64; 2] = [0.01 * MM, 5.0];

/// What a compression spring shall do.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum SizingTarget {
    /// A rate, starting from a force.
    Rate {
        /// Force for a change of length, N/m: 1e-3 to 1e7.
        rate: f64,
        /// Force at the beginning of the travel, N: 0 to 1e5.
        preload: f64,
        /// Length at the beginning of the travel, m, if it is given; else the shortest that leaves room between the
        /// coils.
        start_length: Option<f64>,
    },
    /// A force at the end of the travel, whatever the rate.
    Force {
        /// Force at the end of the travel, N: 0 to 1e5.
        force: f64,
        /// Length there, m.
        length: f64,
    },
}

/// By what the springs that fit are ranked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum RankBy {
    /// The lightest first: the least wire.
    #[default]
    Mass,
    /// The shortest first, without load.
    FreeLength,
    /// The shortest first, pressed solid.
    SolidLength,
    /// The narrowest first.
    OuterDiameter,
    /// The one that can be pressed solid with the largest safety first.
    SolidSafety,
}

impl RankBy {
    /// Less is better.
    fn score(self, spring: &CompressionSpring) -> f64 {
        match self {
            Self::Mass => spring.mass(),
            Self::FreeLength => spring.free_length(),
            Self::SolidLength => spring.solid_length(),
            Self::OuterDiameter => spring.outer_diameter(),
            Self::SolidSafety => -spring.solid_safety(),
        }
    }
}

choices!(RankBy, "rank_by", {
    Mass => "mass",
    FreeLength => "free length",
    SolidLength => "solid length",
    OuterDiameter => "outer diameter",
    SolidSafety => "solid safety",
});

/// What is wanted of a compression spring, the room for it, and the limits it shall keep. [`CompressionDemand::new`]
/// fills in the usual ones.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CompressionDemand {
    /// Wires to try, each in every diameter in which it is sold.
    pub wires: Vec<Wire>,
    /// What it shall do.
    pub wanted: SizingTarget,
    /// How far it is compressed in use, m.
    pub travel: f64,
    /// The hole that it must fit into even when pressed solid, m, if there is one.
    pub bore: Option<f64>,
    /// The rod that must pass through it, m, if there is one.
    pub rod: Option<f64>,
    /// The longest it may be without load, m.
    pub longest_free: Option<f64>,
    /// The longest it may be when pressed solid, m.
    pub longest_solid: Option<f64>,
    /// How its ends are held; `None` if it is guided all along and cannot buckle.
    pub end_fixity: Option<EndFixity>,
    /// How long it shall last; `None` if it is moved seldom.
    pub life: Option<LifeDemand>,
    /// Least and greatest spring index.
    pub index: [f64; 2],
    /// Fewest and most active turns.
    pub active_turns: [f64; 2],
    /// Least clash allowance at the end of the travel. By [`DesignCode::En13906`] the gaps that EN 13906-1 asks for are
    /// kept as well.
    pub clash_allowance: f64,
    /// Least safety against yielding when pressed solid.
    pub solid_safety: f64,
    /// How the ends are made.
    pub ends: CoilEnds,
    /// Whether the set is removed.
    pub presetting: Presetting,
    /// Whose curvature factor.
    pub curvature: CurvatureFactor,
    /// Whose rules.
    pub design_code: DesignCode,
    /// How many coil diameters to try for each wire diameter: 2 to 10,000.
    pub coil_steps: usize,
    /// How many numbers of turns to try for each coil where the rate is free: 2 to 10,000.
    pub turn_steps: usize,
    /// By what those that fit are ranked.
    pub rank_by: RankBy,
}

/// A spring that fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SizedSpring {
    /// The spring.
    pub spring: CompressionSpring,
    /// Length at the beginning and at the end of the travel, m.
    pub lengths: [f64; 2],
    /// Force at the beginning and at the end of the travel, N.
    pub forces: [f64; 2],
    /// Safety against breaking within the cycles asked for, if a life was.
    pub life_safety: Option<f64>,
}

/// The compression springs that do what is wanted, the best of each wire and wire diameter, ranked by
/// [`rank_by`](CompressionDemand::rank_by).
///
/// Coil diameters are spread evenly over the spring indices allowed, and the narrowest that passes the rod is tried
/// too. Where a rate is wanted the turns follow from it; else they are spread evenly as well.
///
/// # Caution
/// What fits on paper is not yet safe in the hand: see [`CompressionSpring`].
///
/// # Errors
/// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::OutOfRange`](crate::Error::OutOfRange),
/// [`Error::NotAscending`](crate::Error::NotAscending) or [`Error::Count`](crate::Error::Count) for a demand that makes
/// no sense. That nothing fits is no error here; [`SearchResult::best`] makes it one.
///
/// # Example
/// ```
/// use yokewright::spring::{CompressionDemand, SizingTarget, Wire, search_compression_springs};
/// use yokewright::units::MM;
///
/// // 20 N at rest, 2 N/mm more over 15 mm, in a tube of 20 mm.
/// let wanted = SizingTarget::Rate { rate: 2000.0, preload: 20.0, start_length: None };
/// let demand = CompressionDemand {
///     bore: Some(20.0 * MM),
///     ..CompressionDemand::new(vec![Wire::named("EN 10270-1 SM")?], wanted, 15.0 * MM)
/// };
/// let springs = search_compression_springs(&demand)?;
/// let best = springs.best()?;
/// assert!((best.spring.rate() - 2000.0).abs() < 1e-6);
/// assert!(best.spring.outer_diameter() < 20.0 * MM);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_compression_springs(demand: &CompressionDemand) -> Result<SearchResult<SizedSpring>> {
    demand.check()?;
    search("compression springs", &demand.wires, |wire, diameter| {
        demand.try_diameter(wire, diameter)
    })
}

impl CompressionDemand {
    /// What is wanted, with the limits that Shigley recommends ([`RECOMMENDED`]), squared and ground ends between
    /// plates, as wound, no limit of room and no life asked for.
    #[must_use]
    pub fn new(wires: Vec<Wire>, wanted: SizingTarget, travel: f64) -> Self {
        Self {
            wires,
            wanted,
            travel,
            bore: None,
            rod: None,
            longest_free: None,
            longest_solid: None,
            end_fixity: Some(EndFixity::FixedFixed),
            life: None,
            index: RECOMMENDED.index,
            active_turns: RECOMMENDED.active_turns,
            clash_allowance: RECOMMENDED.clash_allowance,
            solid_safety: RECOMMENDED.solid_safety,
            ends: CoilEnds::SquaredGround,
            presetting: Presetting::default(),
            curvature: CurvatureFactor::default(),
            design_code: DesignCode::default(),
            coil_steps: 200,
            turn_steps: 25,
            rank_by: RankBy::default(),
        }
    }

    fn check(&self) -> Result<()> {
        check_wires(&self.wires)?;
        for (quantity, count) in [
            ("coil diameters to try", self.coil_steps),
            ("numbers of turns to try", self.turn_steps),
        ] {
            check_steps(quantity, count)?;
        }
        let [shortest, longest] = LENGTH_RANGE;
        let length = |quantity, value| within(quantity, value, shortest, longest, "m");
        length("travel of the spring", self.travel)?;
        let force = |quantity, value| within(quantity, value, FORCE_RANGE[0], FORCE_RANGE[1], "N");
        match self.wanted {
            SizingTarget::Rate {
                rate,
                preload,
                start_length,
            } => {
                within("wanted rate", rate, 1e-3, 1e7, "N/m")?;
                force("preload", preload)?;
                if let Some(start) = start_length {
                    length("length at the beginning of the travel", start)?;
                    let travel = self.travel;
                    let quantity = "travel of the spring, with its length at the beginning";
                    within_computed(quantity, travel, shortest, start, "m")?;
                }
            }
            SizingTarget::Force {
                force: wanted,
                length: at,
            } => {
                force("wanted force", wanted)?;
                length("length at which the force is wanted", at)?;
            }
        }
        for (quantity, limit) in [
            ("bore for the spring", self.bore),
            ("rod through the spring", self.rod),
            ("longest free length", self.longest_free),
            ("longest solid length", self.longest_solid),
        ] {
            if let Some(limit) = limit {
                length(quantity, limit)?;
            }
        }
        interval("spring index", self.index, 2.0, 50.0, "(no unit)")?;
        interval("active turns", self.active_turns, 0.5, 1000.0, "turns")?;
        within(
            "clash allowance",
            self.clash_allowance,
            0.0,
            10.0,
            "(no unit)",
        )?;
        let [least, most] = SAFETY_RANGE;
        let solid = self.solid_safety;
        within("safety when pressed solid", solid, least, most, "(no unit)")?;
        if let Some(life) = &self.life {
            life.check()?;
        }
        Ok(())
    }

    /// The room to leave between all coils together at the end of the travel, m.
    fn least_gap(&self, d: f64, mean: f64, turns: f64, deflection: f64) -> f64 {
        let gap = self.clash_allowance * deflection;
        match self.design_code {
            DesignCode::Shigley => gap,
            DesignCode::En13906 => {
                let service = match self.life {
                    None => Service::Static,
                    Some(_) => Service::Dynamic,
                };
                gap.max(en_least_gap(d, mean, turns, service))
            }
        }
    }

    /// All coils of one wire diameter.
    fn try_diameter(&self, wire: &Wire, d: f64) -> Result<Part<SizedSpring>> {
        let life = Wear::new(self.life, |life| {
            let endurance = Endurance::zimmerli(wire, d, life.surface, life.criterion)?;
            Ok((endurance, endurance.fully_reversed_at(life.cycles)?))
        });
        let mut part = Part::default();
        let shear_modulus = wire.shear_modulus(d)?;
        for mean in coils(
            self.index,
            d,
            self.coil_steps,
            [self.rod.map(|rod| rod + d), None],
        ) {
            observer::check()?;
            let mut attempt = |turns, deflections, free_length| {
                let candidate = Candidate {
                    wire,
                    d,
                    mean,
                    turns,
                    deflections,
                    free_length,
                };
                self.try_coil(&candidate, &life, &mut part);
            };
            match self.wanted {
                SizingTarget::Rate {
                    rate: wanted,
                    preload,
                    start_length,
                } => {
                    let start = preload / wanted;
                    let turns = rate(shear_modulus, d, mean, 1.0) / wanted;
                    let free = start_length.map(|length| length + start);
                    attempt(turns, [start, start + self.travel], free);
                }
                SizingTarget::Force { force, length } => {
                    let [few, many] = self.active_turns;
                    for i in 0..self.turn_steps {
                        let turns = spaced_at([few, many], i, self.turn_steps - 1);
                        let end = force / rate(shear_modulus, d, mean, turns);
                        attempt(turns, [end - self.travel, end], Some(length + end));
                    }
                }
            }
        }
        Ok(part)
    }

    fn try_coil(
        &self,
        candidate: &Candidate<'_>,
        life: &Wear<(Endurance, f64)>,
        part: &mut Part<SizedSpring>,
    ) {
        let Candidate {
            wire,
            d,
            mean,
            turns,
            deflections,
            free_length,
        } = *candidate;
        let mut shortfalls = Shortfalls::default();
        let [few, many] = self.active_turns;
        // To the last bit, as a spring takes them.
        if turns < few {
            shortfalls.push(Shortfall::new(requirement::FEW_TURNS, turns, few));
        } else if turns > many {
            shortfalls.push(Shortfall::new(requirement::MANY_TURNS, turns, many));
        }
        let total = turns + self.ends.inactive_turns();
        let solid = self.ends.solid_length(d, total, self.design_code);
        let end = deflections[1];
        let gap = self.least_gap(d, mean, turns, end);
        let free = free_length.unwrap_or(solid + end + gap);
        shortfalls.at_most(requirement::LOOSE, free - deflections[0], free);
        shortfalls.at_most(requirement::SOLID_LENGTH, solid, self.longest_solid);
        shortfalls.at_most(
            requirement::FREE_LENGTH,
            free,
            self.longest_free.unwrap_or(LONGEST),
        );
        shortfalls.at_least(requirement::ROD, mean - d, self.rod);
        // Of the whole room, not of the allowance: this may be zero, and then met only but for rounding.
        let (room, needed) = ((free - solid) / end, 1.0 + gap / end);
        let clash = Shortfall::new(requirement::CLASH, room - 1.0, gap / end);
        if room < needed * (1.0 - ROUNDING) {
            shortfalls.push(clash);
        }
        // With turns or lengths that no spring has there is nothing more to find out.
        let spring = CompressionSpring::new(CompressionSpringSpec {
            wire: wire.clone(),
            wire_diameter: d,
            coil: CoilDiameter::Mean(mean),
            turns: Turns::Active(turns),
            free_length: free,
            ends: self.ends,
            presetting: self.presetting,
            curvature: self.curvature,
            design_code: self.design_code,
        });
        let Ok(spring) = spring else {
            // Its outer diameter is known all the same.
            shortfalls.at_most(requirement::BORE, mean + d, self.bore);
            // What is left is a spring with hardly any room between its coils.
            part.tally.reject(shortfalls.or(clash), || None);
            return;
        };
        let solid = spring.solid_length();
        let swollen = spring.outer_diameter_at(solid).unwrap_or(mean + d);
        shortfalls.at_most(requirement::BORE, swollen, self.bore);
        shortfalls.at_least(requirement::SOLID, spring.solid_safety(), self.solid_safety);
        if let Some(critical) = self
            .end_fixity
            .and_then(|end_fixity| spring.critical_deflection(end_fixity))
        {
            shortfalls.at_least(requirement::BUCKLING, critical, end);
        }
        let forces = deflections.map(|deflection| spring.rate() * deflection);
        let life_safety = life.judge(&mut shortfalls, |(endurance, reversed)| {
            let [start, end] = forces.map(|force| spring.stress(force.max(0.0)));
            Ok(endurance.raw_safety(&Cycle::between(start?, end?)?, *reversed))
        });
        let score = self.rank_by.score(&spring);
        part.judge(shortfalls, score, || SizedSpring {
            lengths: deflections.map(|deflection| free - deflection),
            forces,
            life_safety,
            spring,
        });
    }
}

/// A spring to try. Without a free length it gets the shortest that keeps the clash allowance.
struct Candidate<'a> {
    wire: &'a Wire,
    d: f64,
    mean: f64,
    turns: f64,
    deflections: [f64; 2],
    free_length: Option<f64>,
}
