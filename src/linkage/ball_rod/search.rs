//! Arm lengths for a ball-joint rod: the wanted turn of a sensor for the travel of a pedal, as evenly as can be.

use std::f64::consts::FRAC_PI_2;

use serde::{Deserialize, Serialize};

use crate::error::{Result, ascending, counted, within};
use crate::linkage::ball_rod::figures::BallRodFigures;
use crate::linkage::{Arm, BallRod, requirement};
use crate::numeric::least_squares::{LeastSquares, Parameter};
use crate::numeric::spacing::spaced;
use crate::parallel;
use crate::search::{Requirement, SearchResult, Shortfall, Shortfalls, Tally};
use crate::units::{DEG, MM};

/// Shortest and longest arm, m.
const RADIUS_RANGE: [f64; 2] = [1.0 * MM, 2.0];
/// How far an arm may be clocked to either side, rad.
const MAX_CLOCKING: f64 = 90.0 * DEG;
/// Longest travel to either side, wanted turn, and margins, rad.
const MAX_TRAVEL: f64 = 120.0 * DEG;
/// Holes in an arm.
const HOLES: [usize; 2] = [1, 100];
/// Designs that may be asked for.
const COUNTS: [usize; 2] = [1, 100];
/// Places over the travel at which a linkage is looked at while searching, and when it is judged.
const PLACES: [usize; 2] = [15, 101];
/// Lengths, and clockings, to start from where they are free.
const STARTS: [usize; 2] = [7, 3];
/// Of the starts, how many are refined.
const REFINED: usize = 16;
/// How much the turn over the whole travel counts against the evenness of the ratio.
const SPAN_WEIGHT: f64 = 3.0;
/// Of the other starts, how many are brought within the limits if none of the refined ones is.
const RESTORED: usize = 64;
/// How far inside its limits a design is brought, rad: less where the limits leave less room than that.
const MARGINS: [f64; 3] = [1e-7, 1e-10, 0.0];
/// How much a radian beyond a limit counts.
const LIMIT_WEIGHT: f64 = 30.0;
/// Limits that a design has to keep.
const LIMITS: usize = 5;
/// What stands for a linkage that does not close: worse than any that does.
const HOPELESS: f64 = 1e3;
/// Designs whose lengths and clockings differ by less, m or rad, are one.
const SAME: f64 = 1e-5;

/// Evaluations for each variable after which a search from one start ends.
const PATIENCE: usize = 50;

/// The lengths that an arm may have.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum ArmLengths {
    /// Any between two, m.
    Between([f64; 2]),
    /// Those of a row of holes, m.
    Holes(Vec<f64>),
}

/// An arm with what is free about it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FreeArm {
    /// Pivot, direction of the arm and stud (its limit counts) at neutral; its length is replaced.
    pub arm: Arm,
    /// The lengths to choose from, 1 mm to 2 m; up to 100 holes.
    pub lengths: ArmLengths,
    /// How far the arm may be clocked on its pivot at neutral, from least to greatest angle within 90 degrees to either
    /// side, rad; zeros for an arm that stands where it stands.
    pub clocking: [f64; 2],
}

/// What a ball-joint rod should do; [`search_ball_rods`] finds the arms.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BallRodDemand {
    /// The arm that drives: the pedal.
    pub input: FreeArm,
    /// The arm that is driven: the crank with the sensor.
    pub output: FreeArm,
    /// Least and greatest input angle, rad, which hold zero, up to 120 degrees to either side.
    pub travel: [f64; 2],
    /// How far the output should turn over the whole travel, in either sense, rad, up to 240 degrees.
    pub output_span: f64,
    /// By how much that may be missed, rad.
    pub span_tolerance: f64,
    /// The least transmission angle over the travel, rad, 0 to 85 degrees.
    pub min_transmission_angle: f64,
    /// How much input travel must be left up to a lock at either end, rad.
    pub lock_margin: f64,
    /// How many designs to return at most, 1 to 100.
    pub count: usize,
}

/// A ball-joint rod found for a [`BallRodDemand`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BallRodDesign {
    /// The linkage.
    pub rod: BallRod,
    /// By how much the arms were clocked, input and output, rad.
    pub clocking: [f64; 2],
    /// What it does.
    pub figures: BallRodFigures,
}

/// Finds the arm lengths, and the clocking where it is free, that turn the output by the wanted angle with the least
/// variation of the ratio. The rod is as long as the joints are then apart at neutral.
///
/// A grid of starts (all pairs of holes) is ranked, and the best are refined by least squares (Levenberg-Marquardt)
/// where something is free to vary continuously. The sum of squares is that of ratio over wanted ratio less 1 over the
/// travel, of the same for the whole turn, and of what goes beyond a limit; an even ratio about neutral is also what
/// makes left and right alike when the linkage is mirrored for the other foot. The optimum of such a sum lies a little
/// beyond a limit that it would gain by crossing; from there, and where that fails from the start itself, the design is
/// brought within the limits by their excess alone. It is a search among many starts: better designs far from all of
/// them are not excluded. Where nothing varies continuously, all designs are judged.
///
/// The designs that keep every limit, by the very figures that are returned, come out, the least variation of the ratio
/// first; of those that hardly differ one. Counted is what was judged: each start that was refined, by the best that
/// came of it.
///
/// # Caution
/// Rods and arms between pedals carry a foot: a press in an emergency passes a kilonewton. See
/// [`Rod`](crate::linkage::Rod) for what a rod bears. For simulators only.
///
/// # Errors
/// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::OutOfRange`](crate::Error::OutOfRange),
/// [`Error::NotAscending`](crate::Error::NotAscending) or [`Error::Count`](crate::Error::Count) for what lies outside
/// the ranges that [`BallRodDemand`] and [`FreeArm`] give. That no design keeps the limits is no error here;
/// [`SearchResult::best`] makes it one.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Arm, ArmLengths, BallRodDemand, FreeArm, search_ball_rods};
/// use yokewright::units::{DEG, MM};
///
/// // A pedal hinged about y pulls a crank that turns about z; holes every 10 mm in the crank, any place on the pedal.
/// let pedal = Arm::new(Point3::origin(), Vector3::y(), Point3::new(0.0, 0.0, 100.0 * MM))?;
/// let center = Point3::new(0.25, 0.1, 0.08);
/// let crank = Arm::new(center, Vector3::z(), center - Vector3::y() * (50.0 * MM))?;
/// let holes = (3..=8).map(|i| f64::from(i) * 10.0 * MM).collect();
/// let found = search_ball_rods(&BallRodDemand {
///     input: FreeArm { arm: pedal, lengths: ArmLengths::Between([60.0 * MM, 160.0 * MM]), clocking: [0.0, 0.0] },
///     output: FreeArm { arm: crank, lengths: ArmLengths::Holes(holes), clocking: [-0.3, 0.3] },
///     travel: [-15.0 * DEG, 15.0 * DEG],
///     output_span: 50.0 * DEG,
///     span_tolerance: 1.0 * DEG,
///     min_transmission_angle: 45.0 * DEG,
///     lock_margin: 10.0 * DEG,
///     count: 3,
/// })?;
/// let best = &found.best()?.figures;
/// assert!((best.output_span.abs() - 50.0 * DEG).abs() <= 1.0 * DEG && best.ratio_variation.is_some_and(|x| x < 0.1));
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_ball_rods(demand: &BallRodDemand) -> Result<SearchResult<BallRodDesign>> {
    demand.check()?;
    let mut starts = parallel::map(&demand.starts(), |candidate| Start {
        cost: sum_of_squares(&candidate.residuals()),
        beyond: sum_of_squares(&candidate.beyond(PLACES[0], 0.0)),
        candidate: candidate.clone(),
    })?;
    starts.sort_by(|one, other| one.cost.total_cmp(&other.cost));
    // Where nothing varies there is nothing to refine, and all are judged.
    let first = if starts.iter().all(|start| start.candidate.is_fixed()) {
        starts.len()
    } else {
        REFINED.max(2 * demand.count).min(starts.len())
    };
    let mut rest = starts.split_off(first);
    let mut judged = judged(&starts)?;
    if judged.iter().all(|one| !one.shortfalls.is_empty()) {
        // What is most even need not be near what keeps the limits.
        rest.sort_by(|one, other| one.beyond.total_cmp(&other.beyond));
        rest.truncate(RESTORED);
        judged.extend(self::judged(&rest)?);
    }
    let mut tally = Tally::default();
    let mut fitting = Vec::new();
    for Judged { design, shortfalls } in judged {
        match design {
            Some(design) if shortfalls.is_empty() => {
                tally.accept();
                let variation = design.figures.ratio_variation;
                fitting.push((variation.unwrap_or(f64::INFINITY), design));
            }
            _ => tally.reject(shortfalls, || design),
        }
    }
    fitting.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut designs: Vec<(f64, BallRodDesign)> = Vec::new();
    for (variation, design) in fitting {
        if designs.len() < demand.count && !designs.iter().any(|(_, other)| same(&design, other)) {
            designs.push((variation, design));
        }
    }
    Ok(tally.result("pairs of arms with a ball-joint rod", designs))
}

/// A figure of a design and its limit.
#[derive(Clone, Copy)]
struct Judgment {
    requirement: Requirement,
    value: f64,
    limit: f64,
    /// How far beyond the limit, rad; zero or below for one that is kept.
    excess: f64,
}

/// What came of a start.
struct Judged {
    /// None if nothing closes over the travel.
    design: Option<BallRodDesign>,
    shortfalls: Shortfalls,
}

struct Start<'a> {
    candidate: Candidate<'a>,
    /// Sum of squares of what the search makes small.
    cost: f64,
    /// The same of what lies beyond the limits alone.
    beyond: f64,
}

/// The best that comes of each start.
fn judged(starts: &[Start<'_>]) -> Result<Vec<Judged>> {
    let each = parallel::map(starts, |start| start.candidate.best())?;
    each.into_iter().collect()
}

fn sum_of_squares(residuals: &[f64]) -> f64 {
    residuals.iter().map(|residual| residual * residual).sum()
}

impl BallRodDemand {
    /// Five designs that keep 40 degrees of transmission angle and 5 degrees of travel to a lock.
    #[must_use]
    pub fn new(
        input: FreeArm,
        output: FreeArm,
        travel: [f64; 2],
        output_span: f64,
        span_tolerance: f64,
    ) -> Self {
        Self {
            input,
            output,
            travel,
            output_span,
            span_tolerance,
            min_transmission_angle: 40.0 * DEG,
            lock_margin: 5.0 * DEG,
            count: 5,
        }
    }

    fn check(&self) -> Result<()> {
        let [low, high] = self.travel;
        within(
            "lower end of the input travel",
            low,
            -MAX_TRAVEL,
            0.0,
            "rad",
        )?;
        within(
            "upper end of the input travel",
            high,
            0.0,
            MAX_TRAVEL,
            "rad",
        )?;
        ascending("travel of the input", self.travel, "rad")?;
        within(
            "wanted turn of the output",
            self.output_span,
            0.1 * DEG,
            2.0 * MAX_TRAVEL,
            "rad",
        )?;
        within(
            "tolerance of the turn",
            self.span_tolerance,
            1e-9,
            MAX_TRAVEL,
            "rad",
        )?;
        within(
            "least transmission angle",
            self.min_transmission_angle,
            0.0,
            85.0 * DEG,
            "rad",
        )?;
        within(
            "margin to the lock",
            self.lock_margin,
            0.0,
            MAX_TRAVEL,
            "rad",
        )?;
        counted("designs", self.count, COUNTS)?;
        self.input.check()?;
        self.output.check()
    }

    fn starts(&self) -> Vec<Candidate<'_>> {
        let (input, output) = (self.input.starts(), self.output.starts());
        let pair = |&(first, one): &([f64; 2], Free)| {
            let with = move |&(second, other): &([f64; 2], Free)| Candidate {
                demand: self,
                values: [first, second],
                free: [one, other],
            };
            output.iter().map(with)
        };
        input.iter().flat_map(pair).collect()
    }

    /// The figures of a design beside their limits.
    fn judgments(&self, figures: &BallRodFigures) -> [Judgment; LIMITS] {
        let above = |requirement, value: f64, limit: f64| Judgment {
            requirement,
            value,
            limit,
            excess: limit - value,
        };
        let span = figures.output_span.abs();
        let off = span - self.output_span;
        let [first, second] = [
            (&self.input, requirement::INPUT_SWIVEL, 0),
            (&self.output, requirement::OUTPUT_SWIVEL, 1),
        ]
        .map(|(free, requirement, joint)| {
            let value = figures.swivels[joint].unwrap_or(0.0);
            let limit = free.arm.stud().and_then(|stud| stud.limit());
            let limit = limit.unwrap_or(FRAC_PI_2);
            Judgment {
                requirement,
                value,
                limit,
                excess: value - limit,
            }
        });
        [
            Judgment {
                requirement: requirement::OUTPUT_SPAN,
                value: span,
                limit: self.output_span + self.span_tolerance.copysign(off),
                excess: off.abs() - self.span_tolerance,
            },
            above(
                requirement::TRANSMISSION_ANGLE,
                figures.min_transmission_angle,
                self.min_transmission_angle,
            ),
            above(
                requirement::LOCK_MARGIN,
                figures.lock_margin,
                self.lock_margin,
            ),
            first,
            second,
        ]
    }
}

/// Which of length and clocking may vary continuously, and between which ends.
type Free = [Option<Parameter>; 2];

impl FreeArm {
    /// An error for a length or a clocking outside the ranges that the fields give.
    pub(crate) fn check(&self) -> Result<()> {
        let [min, max] = RADIUS_RANGE;
        match &self.lengths {
            ArmLengths::Between(lengths) => {
                for length in lengths {
                    within("length of the arm", *length, min, max, "m")?;
                }
                ascending("length of the arm", *lengths, "m")?;
            }
            ArmLengths::Holes(holes) => {
                counted("holes of the arm", holes.len(), HOLES)?;
                for hole in holes {
                    within("hole of the arm", *hole, min, max, "m")?;
                }
            }
        }
        let [low, high] = self.clocking;
        within(
            "least clocking of the arm",
            low,
            -MAX_CLOCKING,
            MAX_CLOCKING,
            "rad",
        )?;
        within(
            "greatest clocking of the arm",
            high,
            low,
            MAX_CLOCKING,
            "rad",
        )?;
        Ok(())
    }

    /// Lengths and clockings to start from, with what is free about each.
    fn starts(&self) -> Vec<([f64; 2], Free)> {
        let [lengths, clockings] = STARTS;
        let (lengths, free_length) = match &self.lengths {
            ArmLengths::Between(range) => (
                spaced(*range, lengths - 1).collect(),
                Some(Parameter::Even(*range)),
            ),
            ArmLengths::Holes(holes) => (holes.clone(), None),
        };
        let clocked = self.clocking[0] < self.clocking[1];
        let (clockings, free_clocking) = if clocked {
            (
                spaced(self.clocking, clockings - 1).collect(),
                Some(Parameter::Even(self.clocking)),
            )
        } else {
            (vec![self.clocking[0]], None)
        };
        let free = [free_length, free_clocking];
        let with = |length: f64| {
            clockings
                .iter()
                .map(move |&clocking| ([length, clocking], free))
        };
        lengths.into_iter().flat_map(with).collect()
    }

    /// The arm with a length and a clocking, its joint with its rated swivel or free, so that it can be told by how
    /// much the limit is missed.
    fn built(&self, [length, clocking]: [f64; 2], limited: bool) -> Result<Arm> {
        let foot = self.arm.foot();
        let joint = foot + (self.arm.joint() - foot) * (length / self.arm.length());
        let joint = self.arm.carried(&joint, clocking);
        let arm = Arm::new(self.arm.pivot(), self.arm.direction(), joint)?;
        match self.arm.stud() {
            Some(stud) => {
                let direction = self.arm.turned(&stud.direction(), clocking);
                arm.with_stud(direction, stud.limit().filter(|_| limited))
            }
            None => Ok(arm),
        }
    }
}

/// A pair of arms: length and clocking of each, and what of it is free.
#[derive(Clone)]
struct Candidate<'a> {
    demand: &'a BallRodDemand,
    values: [[f64; 2]; 2],
    free: [Free; 2],
}

impl Candidate<'_> {
    fn built(&self, limited: bool) -> Result<BallRod> {
        let [input, output] = self.values;
        let input = self.demand.input.built(input, limited)?;
        let output = self.demand.output.built(output, limited)?;
        BallRod::new(input, output)
    }

    fn is_fixed(&self) -> bool {
        self.free.as_flattened().iter().all(Option::is_none)
    }

    fn residuals(&self) -> Vec<f64> {
        let demand = self.demand;
        let [count, _] = PLACES;
        let attempt = || -> Result<Vec<f64>> {
            let rod = self.built(false)?;
            let figures = rod.figures_at(demand.travel, count)?;
            let wanted = demand.output_span / (demand.travel[1] - demand.travel[0]);
            let even = spaced(demand.travel, count - 1).map(|angle| {
                Ok((rod.transfer(angle)?.ratio.abs() / wanted - 1.0) / (count as f64).sqrt())
            });
            let mut all = even.collect::<Result<Vec<f64>>>()?;
            all.push(SPAN_WEIGHT * (figures.output_span.abs() / demand.output_span - 1.0));
            // The turn itself has its own term.
            let judgments = demand.judgments(&figures).into_iter().skip(1);
            all.extend(judgments.map(|one| LIMIT_WEIGHT * one.excess.max(0.0)));
            Ok(all)
        };
        attempt().unwrap_or_else(|_| vec![HOPELESS; count + LIMITS])
    }

    /// By how much each limit, brought in by a margin (rad), is exceeded; zeros for a design that keeps them all.
    fn beyond(&self, count: usize, margin: f64) -> Vec<f64> {
        let demand = self.demand;
        let figures = self
            .built(false)
            .and_then(|rod| rod.figures_at(demand.travel, count));
        let Ok(figures) = figures else {
            return vec![HOPELESS; LIMITS];
        };
        let judgments = demand.judgments(&figures).into_iter();
        judgments
            .map(|one| (one.excess + margin).max(0.0))
            .collect()
    }

    /// The variables of what is free. Not quite at an end of a range, where they stand still: `inset` takes from 0 to 1
    /// the share of the way from the middle.
    fn variables(&self, inset: impl Fn(f64) -> f64) -> Vec<f64> {
        let free = self.free.as_flattened().iter();
        let both = self.values.as_flattened().iter().zip(free);
        let variables = both.filter_map(|(value, parameter)| {
            let share = (*parameter)?.variable(*value).sin();
            Some(inset(share).asin())
        });
        variables.collect()
    }

    fn with(&self, variables: &[f64]) -> Self {
        let mut moved = self.clone();
        let free = self.free.as_flattened().iter();
        let all = moved.values.as_flattened_mut().iter_mut().zip(free);
        let free = all.filter_map(|(value, parameter)| Some((value, (*parameter)?)));
        for ((value, parameter), variable) in free.zip(variables) {
            *value = parameter.value(*variable);
        }
        moved
    }

    /// The most even design near this one, a little beyond its limits where that pays.
    fn refined(&self) -> Result<Self> {
        let refined = self.minimized(self.variables(|share| 0.98 * share), Self::residuals)?;
        // A start at the end of a range was moved in from it; never end up worse.
        let [one, other] = [&refined, self].map(|one| sum_of_squares(&one.residuals()));
        Ok(if one <= other { refined } else { self.clone() })
    }

    /// The nearest design that keeps the limits, by their excess alone.
    fn restored(&self, margin: f64) -> Result<Self> {
        const END: f64 = 0.9999;
        let variables = self.variables(|share| share.clamp(-END, END));
        self.minimized(variables, |candidate| candidate.beyond(PLACES[1], margin))
    }

    fn minimized(
        &self,
        variables: Vec<f64>,
        residuals: impl Fn(&Self) -> Vec<f64>,
    ) -> Result<Self> {
        let solver = LeastSquares {
            patience: PATIENCE,
            ..LeastSquares::default()
        };
        let found = solver.minimize(variables, |variables| {
            Some(residuals(&self.with(variables)))
        })?;
        Ok(self.with(&found))
    }

    /// The best design that comes of this one: the most even one if it keeps the limits, else the nearest to it or to
    /// this one that does; if none does, the one that falls short by least.
    fn best(&self) -> Result<Judged> {
        if self.is_fixed() {
            return Ok(self.judged());
        }
        let refined = self.refined()?;
        let mut best = refined.judged();
        for from in [&refined, self] {
            for margin in MARGINS {
                if best.shortfalls.is_empty() {
                    return Ok(best);
                }
                let next = from.restored(margin)?.judged();
                if next.shortfalls.worst() < best.shortfalls.worst() {
                    best = next;
                }
            }
        }
        Ok(best)
    }

    /// The design with what it falls short in.
    fn judged(&self) -> Judged {
        let travel = self.demand.travel;
        let attempt = || -> Result<(BallRodDesign, Shortfalls)> {
            let figures = self.built(false)?.figures(travel)?;
            let mut shortfalls = Shortfalls::default();
            for one in self.demand.judgments(&figures) {
                if one.excess > 0.0 {
                    // All are angles, and compared as such.
                    let shortfall = Shortfall::by(one.requirement, one.value, one.limit, 1.0);
                    shortfalls.push(shortfall);
                }
            }
            let [[_, first], [_, second]] = self.values;
            let design = BallRodDesign {
                rod: self.built(shortfalls.is_empty())?,
                clocking: [first, second],
                figures,
            };
            Ok((design, shortfalls))
        };
        match attempt() {
            Ok((design, shortfalls)) => Judged {
                design: Some(design),
                shortfalls,
            },
            Err(_) => Judged {
                design: None,
                shortfalls: self.gap().into(),
            },
        }
    }

    /// How far it closes, of one that does not over the whole travel.
    fn gap(&self) -> Shortfall {
        let [low, high] = self.demand.travel;
        let locks = self.built(false).ok().and_then(|rod| rod.travel());
        let (lower, upper) = locks.map_or((0.0, 0.0), |locks| (locks.lower, locks.upper));
        let (value, limit) = if lower - low > high - upper {
            (lower, low)
        } else {
            (upper, high)
        };
        Shortfall::of_no_use(requirement::CLOSES, value, limit)
    }
}

fn same(one: &BallRodDesign, other: &BallRodDesign) -> bool {
    let sizes = |design: &BallRodDesign| {
        let [first, second] = design.clocking;
        [
            design.rod.input().length(),
            design.rod.output().length(),
            first,
            second,
        ]
    };
    let both = sizes(one).into_iter().zip(sizes(other));
    both.into_iter().all(|(a, b)| (a - b).abs() < SAME)
}
