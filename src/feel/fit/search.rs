//! The search behind [`Control::fit_springs`](crate::feel::Control::fit_springs): what does not hang on the springs sought is
//! worked out once.

use std::f64::consts::FRAC_PI_2;

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned, Point3, Vector3};

use crate::error::{Error, Result, counted, finite, within};
use crate::feel::body::{Anchor, Bearing, Body, Scene};
use crate::feel::control::Control;
use crate::feel::elements::{AlongLine, CapturedSpring, Element, Load};
use crate::feel::equilibrium::Track;
use crate::feel::fit::{FitSpec, SpringChoice, SpringFit, SpringLayout, TargetValue};
use crate::spring::{LineSpring, LinearSpringState, SpringAction};
use crate::{observer, parallel};

/// Demands at once, and combinations of springs.
const DEMANDS: [usize; 2] = [1, 8];
const COMBINATIONS: [usize; 2] = [1, 10_000];
/// Places of the gate at which springs are held within their limits during the search: along the only angle, and along
/// each of two.
const PLACES: [usize; 2] = [9, 5];
/// Places for each axis on which the answer is judged, before they are refined: those of `line_spans` unless asked
/// otherwise in Python.
const JUDGED: usize = 41;
/// A length beyond a spring's limits by this counts as much as a wanted value missed by its tolerance, m: in the first
/// round, then ten times less each.
const TOO_LONG: f64 = 1e-4;
/// Rounds in which the limits grow steeper and the worst places are added, until an answer keeps them.
const ROUNDS: usize = 6;
/// A round that leaves more than this share of what was beyond a limit or a tolerance brings nothing.
const STUCK: f64 = 0.5;
/// How far within its limits the search keeps a spring, m: nothing that can be built, but enough that a sum of squares
/// ends within.
const MARGIN: f64 = 1e-6;
/// Tolerances by which a wanted value may be missed in the rounds after the first: a little less than one, so that a
/// sum of squares ends within.
const ALLOWED: f64 = 0.999;
/// Tolerances beyond those allowed that count as much in those rounds as one does in the first.
const SHARP: f64 = 1e-2;
/// How much a parameter at the edge of its range counts against values wanted, so that of many answers the search takes
/// one in the open.
const TOWARDS_THE_MIDDLE: f64 = 1e-3;
/// Step of the differences that give the derivatives of the search, in the angle that stands for a parameter.
const STEP: f64 = 1e-6;
/// Relative change of the sum at which a search ends: a wanted value is then met to a ten-thousandth of its tolerance.
const CLOSE_ENOUGH: f64 = 1e-8;
/// Evaluations for each parameter after which a search ends.
const PATIENCE: usize = 10;
/// Starts of one combination that are tried before it is looked whether one of them meets the demand.
const WAVE: usize = 8;
/// A greatest miss of this many tolerances is none.
const MET: f64 = 1e-3;

/// A place at which the force is wanted, with what the control does there without the springs sought.
struct Place<const N: usize> {
    scene: Scene<N>,
    side: [f64; N],
    slope: f64,
}

/// A plane by one of its points and its unit normal.
struct Mirror {
    point: Point3<f64>,
    normal: Vector3<f64>,
}

impl Mirror {
    fn image(&self, point: Point3<f64>) -> Point3<f64> {
        point - self.normal * (2.0 * self.normal.dot(&(point - self.point)))
    }
}

/// One demand, with what all its candidates share.
struct Set<'a, const N: usize> {
    spec: &'a FitSpec,
    mirror: Option<Mirror>,
    axis: usize,
    arm: f64,
    /// The stops that lie off the center, and the sign of the force there.
    stops: Vec<(Place<N>, f64)>,
    center: Place<N>,
    /// Stiffness and friction at the center without the springs sought.
    bend: f64,
    friction: f64,
}

/// The springs of one demand, where they hang.
struct Hung {
    law: AlongLine,
    ends: Vec<[Anchor; 2]>,
    /// Shortest and longest length allowed.
    range: [f64; 2],
    may_be_slack: bool,
}

impl Hung {
    /// How far one of them is beyond its limits less a margin, m; 0 if it is not.
    fn excess<const N: usize>(&self, scene: &Scene<N>, ends: &[Anchor; 2], margin: f64) -> f64 {
        let ([shortest, longest], length) = (self.range, distance(scene, ends));
        // Room for less than both margins is used from its middle.
        let margin = margin.min(0.5 * (longest - shortest));
        (shortest + margin - length)
            .max(length - longest + margin)
            .max(0.0)
    }
}

/// What a candidate measures on the angle of one demand.
struct LayoutCandidate {
    ends: Vec<f64>,
    gradient: f64,
    breakout: f64,
}

/// Springs for all demands that keep their limits.
struct Answer {
    fits: Vec<SpringFit>,
    /// Greatest miss of all demands.
    miss: f64,
}

/// What one start has led to.
enum Outcome {
    Keeps(Answer),
    /// How far the worst spring is beyond its limits, m.
    Beyond(f64),
}

/// What the starts of one combination have led to.
struct Tally {
    best: Option<Answer>,
    /// Of those that do not keep their limits: the least that one is beyond, m.
    beyond: f64,
    refused: Option<Error>,
}

impl Default for Tally {
    fn default() -> Self {
        Self {
            best: None,
            beyond: f64::INFINITY,
            refused: None,
        }
    }
}

impl Tally {
    fn take(&mut self, outcome: Result<Outcome>) {
        let least = self.best.as_ref().map_or(f64::INFINITY, |best| best.miss);
        match outcome {
            Ok(Outcome::Keeps(answer)) if answer.miss < least || self.best.is_none() => {
                self.best = Some(answer);
            }
            Ok(Outcome::Keeps(_)) => {}
            Ok(Outcome::Beyond(beyond)) => self.beyond = self.beyond.min(beyond),
            Err(error) => self.refused = self.refused.take().or(Some(error)),
        }
    }

    fn is_met(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.miss <= MET)
    }
}

pub(in crate::feel) struct Search<'a, const N: usize> {
    control: &'a Control,
    sets: Vec<Set<'a, N>>,
    gate: Vec<Scene<N>>,
    combinations: usize,
    starts: usize,
}

impl<'a, const N: usize> Set<'a, N> {
    fn new(control: &'a Control, spec: &'a FitSpec) -> Result<Self> {
        check(spec)?;
        let track = Track::new(control, spec.way)?;
        let place = |q: f64, side: f64| -> Result<Place<N>> {
            Ok(Place {
                scene: control.scene(track.place(q))?,
                side: [side; N],
                slope: track.at(q, side)?.slope,
            })
        };
        let [least, greatest] = track.travel;
        let center = 0.0_f64.clamp(least, greatest);
        let mut stops = Vec::new();
        if least < center {
            stops.push((place(least, 1.0)?, -1.0));
        }
        if greatest > center {
            stops.push((place(greatest, -1.0)?, 1.0));
        }
        Ok(Self {
            spec,
            mirror: mirror(control, spec)?,
            axis: track.axis,
            arm: track.arm,
            stops,
            center: place(center, 1.0)?,
            bend: track.with_stiffness(center, 1.0)?.bend,
            friction: track.friction(center)?,
        })
    }

    /// The lower and upper bounds of the parameters: both anchors, and the preload of a captured spring.
    fn bounds(&self, choice: &SpringChoice) -> Vec<[f64; 2]> {
        let corners = [&self.spec.on_body, &self.spec.on_ground];
        let edges = corners.into_iter().flat_map(|[a, b]| {
            let pairs = a.iter().zip(b.iter());
            pairs.map(|(a, b)| [a.min(*b), a.max(*b)])
        });
        let preload = match choice {
            SpringChoice::Captured { preload, .. } => Some(*preload),
            SpringChoice::Spring(_) => None,
        };
        edges.chain(preload).collect()
    }

    /// The springs with the given parameters.
    fn hang(&self, choice: &SpringChoice, values: &[f64]) -> Result<Hung> {
        let point = |from: usize| Point3::from_slice(&values[from..from + 3]);
        let ends = [point(0), point(3)];
        let law: AlongLine = match choice {
            SpringChoice::Spring(spring) => spring.clone().into(),
            SpringChoice::Captured { rate, stroke, .. } => {
                let length = (ends[0] - ends[1]).norm();
                CapturedSpring::new(length, values[6], *rate, *stroke)?.into()
            }
        };
        let anchors = |[on_body, on_ground]: [Point3<f64>; 2]| -> Result<[Anchor; 2]> {
            Ok([
                Anchor::new(self.spec.body, on_body)?,
                Anchor::new(Body::Ground, on_ground)?,
            ])
        };
        let mut all = vec![anchors(ends)?];
        if let Some(mirror) = &self.mirror {
            all.push(anchors(ends.map(|point| mirror.image(point)))?);
        }
        Ok(Hung {
            range: self.limits(&law),
            may_be_slack: self.spec.may_be_slack,
            law,
            ends: all,
        })
    }

    /// Shortest and longest length that a spring may have.
    fn limits(&self, law: &AlongLine) -> [f64; 2] {
        let [shortest, longest] = law.length_range();
        match law {
            AlongLine::Spring(LineSpring::Straight(straight)) if !self.spec.may_be_slack => {
                let free = straight.spec().free_length;
                match straight.spec().works {
                    // At the free length itself it is slack.
                    SpringAction::Above => [shortest.max(free.next_up()), longest],
                    SpringAction::Below => [shortest, longest.min(free.next_down())],
                    SpringAction::Both => [shortest, longest],
                }
            }
            _ => [shortest, longest],
        }
    }

    /// What the control measures on this angle with all springs that are hung.
    fn measure(&self, all: &[Hung]) -> Result<LayoutCandidate> {
        let add = |place: &Place<N>| -> Result<Load<N>> {
            let mut load = Load::ZERO;
            for hung in all {
                for [a, b] in &hung.ends {
                    let ends = [place.scene.point(a), place.scene.point(b)];
                    // Off a table the force at its end counts, so that the search finds back to it.
                    load.add_line(&hung.law, &ends, &place.side, |length| {
                        hung.law.nearest(length)
                    })?;
                }
            }
            Ok(load)
        };
        let mut ends = Vec::with_capacity(2);
        for (place, sign) in &self.stops {
            ends.push(sign * (place.slope + add(place)?.slope[self.axis]) / self.arm);
        }
        let load = add(&self.center)?;
        let slope = self.center.slope + load.slope[self.axis];
        Ok(LayoutCandidate {
            ends,
            gradient: (self.bend + load.bend[self.axis][self.axis]) / (self.arm * self.arm),
            breakout: (slope + self.friction) / self.arm,
        })
    }

    /// By how many tolerances each wanted value is missed.
    fn misses(&self, found: &LayoutCandidate) -> Vec<f64> {
        let miss = |wanted: Option<TargetValue>, value: f64| {
            wanted.map(|wanted| (value - wanted.value) / wanted.tolerance)
        };
        let ends = found.ends.iter();
        let mut misses: Vec<f64> = ends
            .filter_map(|force| miss(self.spec.full_force, *force))
            .collect();
        misses.extend(miss(self.spec.gradient, found.gradient));
        misses.extend(miss(self.spec.breakout, found.breakout));
        misses
    }

    fn fit(&self, choice: usize, hung: &Hung, found: &LayoutCandidate) -> SpringFit {
        let most = |values: &[f64]| values.iter().copied().map(f64::abs).fold(0.0, f64::max);
        let line = |[a, b]: &[Anchor; 2]| Element::line(hung.law.clone(), *a, *b);
        SpringFit {
            choice,
            elements: hung.ends.iter().map(line).collect(),
            full_force: most(&found.ends),
            gradient: found.gradient,
            breakout: found.breakout,
            miss: most(&self.misses(found)),
        }
    }
}

impl<'a, const N: usize> Search<'a, N> {
    pub(in crate::feel) fn new(control: &'a Control, specs: &'a [FitSpec]) -> Result<Self> {
        counted("demands for springs", specs.len(), DEMANDS)?;
        let mut combinations: usize = 1;
        for spec in specs {
            counted("springs to choose from", spec.choices.len(), COMBINATIONS)?;
            combinations = combinations.saturating_mul(spec.choices.len());
        }
        counted("combinations of springs", combinations, COMBINATIONS)?;
        let sets: Result<Vec<_>> = specs.iter().map(|spec| Set::new(control, spec)).collect();
        let gate: Result<Vec<_>> = control
            .grid(PLACES[N - 1])
            .map(|q| control.scene(q))
            .collect();
        Ok(Self {
            control,
            sets: sets?,
            gate: gate?,
            combinations,
            starts: specs.iter().map(|spec| spec.starts).max().unwrap_or(1),
        })
    }

    /// The answers, best first, one for each combination of springs.
    pub(in crate::feel) fn best(&self) -> Result<Vec<Vec<SpringFit>>> {
        let mut tallies: Vec<Tally> = Vec::new();
        tallies.resize_with(self.combinations, Tally::default);
        for first in (0..self.starts).step_by(WAVE) {
            // Where every wanted value is met already there is nothing better to find.
            let open = |(number, tally): (usize, &Tally)| (!tally.is_met()).then_some(number);
            let open = tallies.iter().enumerate().filter_map(open);
            let wave = first..(first + WAVE).min(self.starts);
            let pieces: Vec<(usize, usize)> = open
                .flat_map(|number| wave.clone().map(move |start| (number, start)))
                .collect();
            let found = parallel::map(&pieces, |&(number, start)| self.from(number, start))?;
            for ((number, _), outcome) in pieces.iter().zip(found) {
                tallies[*number].take(outcome);
            }
        }
        let beyond = tallies.iter().map(|tally| tally.beyond);
        let beyond = beyond.fold(f64::INFINITY, f64::min);
        let refused = tallies.iter_mut().find_map(|tally| tally.refused.take());
        let mut best: Vec<Answer> = tallies.into_iter().filter_map(|one| one.best).collect();
        best.sort_by(|a, b| a.miss.total_cmp(&b.miss));
        match (best.first(), refused) {
            (Some(first), _) if first.miss > 1.0 => return Err(self.nearest(first)),
            (Some(_), _) => {}
            (None, Some(error)) if beyond.is_infinite() => return Err(error),
            (None, _) => {
                let quantity = "length of a spring beyond its limits";
                return Err(self.nothing(quantity, beyond, 0.0, "m"));
            }
        }
        let good = best.into_iter().filter(|answer| answer.miss <= 1.0);
        Ok(good.map(|answer| answer.fits).collect())
    }

    /// Which spring each demand takes in a combination; the last demand changes fastest.
    fn choices(&self, combination: usize) -> Vec<usize> {
        let mut rest = combination;
        let mut choices: Vec<usize> = Vec::with_capacity(self.sets.len());
        for set in self.sets.iter().rev() {
            let count = set.spec.choices.len();
            choices.push(rest % count);
            rest /= count;
        }
        choices.reverse();
        choices
    }

    /// The best from one start.
    fn from(&self, combination: usize, start: usize) -> Result<Outcome> {
        let choices = self.choices(combination);
        let bounds: Vec<[f64; 2]> = (self.sets.iter().zip(&choices))
            .flat_map(|(set, choice)| set.bounds(&set.spec.choices[*choice]))
            .collect();
        let mut problem = Problem {
            search: self,
            choices: &choices,
            angles: start_angles(bounds.len(), start),
            bounds,
            too_long: TOO_LONG,
            within_tolerance: false,
            worst: Vec::new(),
        };
        let solver = LevenbergMarquardt::new()
            .with_tol(CLOSE_ENOUGH)
            .with_patience(PATIENCE);
        let (mut best, mut beyond_before, mut miss_before): (Option<Answer>, _, _) =
            (None, f64::INFINITY, f64::INFINITY);
        for _ in 0..ROUNDS {
            problem = solver.minimize(problem).0;
            observer::check()?;
            let all = problem.hang(&problem.angles)?;
            let (beyond, worst) = self.beyond(&all)?;
            let stuck = if beyond == 0.0 {
                let fits = self.fits(&choices, &all)?;
                let miss = fits.iter().map(|fit| fit.miss).fold(0.0, f64::max);
                let least = best.as_ref().map_or(f64::INFINITY, |best| best.miss);
                if miss < least || best.is_none() {
                    best = Some(Answer { fits, miss });
                }
                let stuck = miss <= 1.0 || miss - 1.0 > STUCK * (miss_before - 1.0);
                miss_before = miss;
                stuck
            } else {
                // What was found between the places of the search is new to it.
                let stuck = worst.is_empty() && beyond > STUCK * beyond_before;
                beyond_before = beyond;
                stuck
            };
            if stuck {
                break;
            }
            problem.within_tolerance = true;
            problem.too_long *= 0.1;
            problem.worst.extend(worst);
        }
        Ok(best.map_or(Outcome::Beyond(beyond_before), Outcome::Keeps))
    }

    fn fits(&self, choices: &[usize], all: &[Hung]) -> Result<Vec<SpringFit>> {
        let sets = self.sets.iter().zip(choices).zip(all);
        sets.map(|((set, choice), hung)| Ok(set.fit(*choice, hung, &set.measure(all)?)))
            .collect()
    }

    /// How far the worst spring is beyond its limits anywhere in the gate, m, 0 if none is; and where that is, if not
    /// at one of the places that the search looks at.
    fn beyond(&self, all: &[Hung]) -> Result<(f64, Vec<Scene<N>>)> {
        let mut beyond: f64 = 0.0;
        for hung in all {
            for scene in &self.gate {
                for ends in &hung.ends {
                    beyond = beyond.max(hung.excess(scene, ends, 0.0));
                }
            }
        }
        let mut worst = Vec::new();
        if beyond > 0.0 {
            return Ok((beyond, worst));
        }
        for hung in all {
            for ends in &hung.ends {
                let length = |q: [f64; N]| Ok(distance(&self.control.scene(q)?, ends));
                for (length, q) in self.control.extremes(JUDGED, length)? {
                    let scene = self.control.scene(q)?;
                    let excess = hung.excess(&scene, ends, 0.0);
                    // By the state too, so that what a last bit decides is decided as everywhere else.
                    let state = hung.law.at(hung.law.nearest(length), true)?.state;
                    let good = match state {
                        LinearSpringState::Working => true,
                        LinearSpringState::Slack => hung.may_be_slack,
                        LinearSpringState::Solid | LinearSpringState::Overstretched => false,
                    };
                    if excess > 0.0 || !good {
                        beyond = beyond.max(excess).max(f64::MIN_POSITIVE);
                        worst.push(scene);
                    }
                }
            }
        }
        Ok((beyond, worst))
    }

    /// The error that tells of the nearest there is: what it misses most.
    fn nearest(&self, answer: &Answer) -> Error {
        let miss = |wanted: Option<TargetValue>, value: f64| {
            wanted.map_or(0.0, |wanted| {
                ((value - wanted.value) / wanted.tolerance).abs()
            })
        };
        let rows = self.sets.iter().zip(&answer.fits).flat_map(|(set, fit)| {
            let spec = set.spec;
            [
                ("force at the stops", spec.full_force, fit.full_force, "N"),
                ("gradient", spec.gradient, fit.gradient, "N/m"),
                ("breakout force", spec.breakout, fit.breakout, "N"),
            ]
        });
        let worst = rows.max_by(|a, b| miss(a.1, a.2).total_cmp(&miss(b.1, b.2)));
        let (quantity, wanted, value, unit) = worst.unwrap_or(("force", None, f64::NAN, "N"));
        // The end of what is allowed that it fails to reach.
        let limit = wanted.map_or(f64::NAN, |wanted| {
            wanted.value + wanted.tolerance.copysign(value - wanted.value)
        });
        self.nothing(quantity, value, limit, unit)
    }

    fn nothing(&self, quantity: &'static str, value: f64, limit: f64, unit: &'static str) -> Error {
        Error::NothingFits {
            what: "arrangements of springs",
            tried: self.combinations * self.starts,
            quantity,
            value,
            limit,
            unit,
        }
    }
}

/// Distance of two anchors at one position, m.
fn distance<const N: usize>(scene: &Scene<N>, [a, b]: &[Anchor; 2]) -> f64 {
    (scene.point(b).at - scene.point(a).at).norm()
}

/// Checks the values of a demand.
fn check(spec: &FitSpec) -> Result<()> {
    counted("places to search from", spec.starts, [1, 1000])?;
    for corner in spec.on_body.iter().chain(&spec.on_ground) {
        crate::feel::body::check_place("corner of the space for an anchor", corner)?;
    }
    let wanted = [
        ("wanted force at the stops", spec.full_force, "N"),
        ("wanted gradient", spec.gradient, "N/m"),
        ("wanted breakout force", spec.breakout, "N"),
    ];
    let asked = wanted.iter().filter(|(_, one, _)| one.is_some()).count();
    counted("wanted values", asked, [1, 3])?;
    for (name, one, unit) in wanted {
        if let Some(TargetValue { value, tolerance }) = one {
            finite(name, value, unit)?;
            within(
                "tolerance of a wanted value",
                tolerance,
                f64::MIN_POSITIVE,
                f64::MAX,
                unit,
            )?;
        }
    }
    for choice in &spec.choices {
        if let SpringChoice::Captured {
            rate,
            stroke,
            preload: [least, most],
        } = choice
        {
            CapturedSpring::new(1.0, *most, *rate, *stroke)?;
            within(
                "least preload of a captured spring",
                *least,
                0.0,
                *most,
                "N",
            )?;
        }
    }
    Ok(())
}

/// The plane of the mirror of a demand, for which its body must be one of the control that moves.
fn mirror(control: &Control, spec: &FitSpec) -> Result<Option<Mirror>> {
    let pivot = match (&control.spec().bearing, spec.body) {
        (_, Body::Ground) => None,
        (_, Body::Driven(number)) => control.spec().driven.get(number).map(|d| d.pivot()),
        (Bearing::Single(pivot), Body::Lever) => Some(*pivot),
        (Bearing::Single(_), Body::Ring) => None,
        (Bearing::Gimbal { outer, .. }, Body::Ring) => Some(*outer),
        (Bearing::Gimbal { inner, .. }, Body::Lever) => Some(*inner),
    };
    let Some(pivot) = pivot else {
        return Err(Error::NotAChoice {
            quantity: "body on which the springs pull",
            given: spec.body.to_string(),
            choices: "a body of the control that moves".to_owned(),
        });
    };
    match spec.layout {
        SpringLayout::Single => Ok(None),
        SpringLayout::Mirrored(normal) => {
            let normal = crate::numeric::direction::unit("normal of the mirror plane", &normal)?;
            let point = pivot.point();
            Ok(Some(Mirror { point, normal }))
        }
    }
}

/// Where a search starts: angles that stand for parameters, spread evenly over their ranges; the first in the middle.
///
/// The fractional parts of 1/2 + start / g^(i + 1), with g the positive root of g^(n + 1) = g + 1.
fn start_angles(parameters: usize, start: usize) -> DVector<f64> {
    let mut golden: f64 = 1.5;
    for _ in 0..64 {
        golden = (1.0 + golden).powf(1.0 / (parameters as f64 + 1.0));
    }
    DVector::from_fn(parameters, |i, _| {
        let share = (0.5 + start as f64 / golden.powi(i as i32 + 1)).fract();
        // Not too near to the edges, where the change of variables stands still.
        (1.8 * share - 0.9).asin()
    })
}

/// One search from one start; every parameter is its middle plus half its range times the sine of an angle.
struct Problem<'a, const N: usize> {
    search: &'a Search<'a, N>,
    /// Number of the spring that each demand takes.
    choices: &'a [usize],
    bounds: Vec<[f64; 2]>,
    angles: DVector<f64>,
    /// A length beyond a spring's limits by this counts as much as a wanted value missed by its tolerance, m.
    too_long: f64,
    /// Whether a wanted value counts only where it is missed by more than its tolerance: the least sum of squares may
    /// miss one of them by more, while another has tolerance to spare.
    within_tolerance: bool,
    /// Places beside those of the search at which a spring was beyond its limits.
    worst: Vec<Scene<N>>,
}

impl<const N: usize> Problem<'_, N> {
    /// The springs of all demands for given angles.
    fn hang(&self, angles: &DVector<f64>) -> Result<Vec<Hung>> {
        let value = |([low, high], angle): (&[f64; 2], &f64)| {
            0.5 * (low + high) + 0.5 * (high - low) * angle.sin()
        };
        let values: Vec<f64> = self.bounds.iter().zip(angles.iter()).map(value).collect();
        let mut rest = values.as_slice();
        let mut all = Vec::with_capacity(self.choices.len());
        for (set, number) in self.search.sets.iter().zip(self.choices) {
            let choice = &set.spec.choices[*number];
            let (own, after) = rest.split_at(set.bounds(choice).len());
            all.push(set.hang(choice, own)?);
            rest = after;
        }
        Ok(all)
    }

    fn residuals_at(&self, angles: &DVector<f64>) -> Option<DVector<f64>> {
        observer::check().ok()?;
        let hung = self.hang(angles).ok()?;
        let mut all = Vec::new();
        for set in &self.search.sets {
            let misses = set.misses(&set.measure(&hung).ok()?);
            let counted = |miss: f64| {
                let over = (miss.abs() - ALLOWED).max(0.0);
                if self.within_tolerance {
                    over.copysign(miss) / SHARP
                } else {
                    miss
                }
            };
            all.extend(misses.into_iter().map(counted));
        }
        for one in &hung {
            for scene in self.search.gate.iter().chain(&self.worst) {
                let excess = one.ends.iter().map(|ends| one.excess(scene, ends, MARGIN));
                all.extend(excess.map(|excess| excess / self.too_long));
            }
        }
        let middle = angles
            .iter()
            .map(|angle| TOWARDS_THE_MIDDLE * angle / FRAC_PI_2);
        all.extend(middle);
        all.iter()
            .all(|one| one.is_finite())
            .then(|| DVector::from_vec(all))
    }
}

impl<const N: usize> LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_, N> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, angles: &DVector<f64>) {
        self.angles.copy_from(angles);
    }

    fn params(&self) -> DVector<f64> {
        self.angles.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.residuals_at(&self.angles)
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut columns = Vec::with_capacity(self.angles.len());
        for i in 0..self.angles.len() {
            let at = |step: f64| {
                let mut moved = self.angles.clone();
                moved[i] += step;
                self.residuals_at(&moved)
            };
            columns.push((at(STEP)? - at(-STEP)?) / (2.0 * STEP));
        }
        Some(DMatrix::from_columns(&columns))
    }
}
