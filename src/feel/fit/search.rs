//! The search behind [`Control::search_springs`](crate::feel::Control::search_springs): what does not hang on the
//! springs sought is worked out once.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point3, Vector3};

use crate::error::{Error, Result, counted, finite, within};
use crate::feel::body::{Anchor, Bearing, Body, Scene};
use crate::feel::control::Control;
use crate::feel::elements::{AlongLine, CapturedSpring, Element, Load};
use crate::feel::equilibrium::Track;
use crate::feel::fit::demand::{SpringChoice, SpringDemand, SpringFit, SpringLayout, TargetValue};
use crate::feel::requirement;
use crate::numeric::least_squares::{LeastSquares, Parameter, spread_place};
use crate::parallel;
use crate::search::{Requirement, SearchResult, Shortfall, Shortfalls, Tally};
use crate::spring::{LineSpring, LinearSpringState, SpringAction};

/// Demands at once, and combinations of springs.
const DEMANDS: [usize; 2] = [1, 8];
const COMBINATIONS: [usize; 2] = [1, 10_000];
/// Places of the gate at which springs are held within their limits during the search: along the only angle, and along
/// each of two.
const PLACES: [usize; 2] = [9, 5];
/// Places for each axis on which the answer is judged, before they are refined: those of `spring_envelopes` unless
/// asked otherwise in Python.
const JUDGED: usize = 41;
/// A length beyond a spring's limits by this counts as much as a wanted value missed by its tolerance, m: in the first
/// round, then ten times less each.
const TOO_LONG: f64 = 1e-4;
/// Rounds in which the limits grow steeper and the worst places are added, until an answer keeps them.
const ROUNDS: usize = 12;
/// A round that leaves more than this share of what was beyond a limit or a tolerance brings nothing.
const STUCK: f64 = 0.5;
/// Less than this beyond a limit is worth all rounds, m: where springs have hardly any room, the first ones come nearer
/// by little.
const NEAR: f64 = 1e-3;
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
/// How far one round goes down: variables are angles, and where the sum changes by less, a wanted value is met to a
/// ten-thousandth of its tolerance.
const ROUND: LeastSquares = LeastSquares {
    tolerance: Some(1e-8),
    patience: 10,
    step: 1e-6,
};
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
    spec: &'a SpringDemand,
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
struct Figures {
    ends: Vec<f64>,
    gradient: f64,
    breakout: f64,
}

/// Springs for all demands that keep their limits.
struct Answer {
    fits: Vec<SpringFit>,
    /// Greatest miss of all demands.
    miss: f64,
    /// The wanted values that are missed by more than their tolerance.
    shortfalls: Shortfalls,
}

/// What one start has led to.
enum Outcome {
    Keeps(Answer),
    /// How far the worst spring is beyond its limits, m.
    Beyond(f64),
}

pub(in crate::feel) struct Search<'a, const N: usize> {
    control: &'a Control,
    sets: Vec<Set<'a, N>>,
    gate: Vec<Scene<N>>,
    combinations: usize,
    starts: usize,
}

impl<'a, const N: usize> Set<'a, N> {
    fn new(control: &'a Control, spec: &'a SpringDemand) -> Result<Self> {
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

    /// The parameters and their bounds: both anchors, and the preload of a captured spring.
    fn parameters(&self, choice: &SpringChoice) -> Vec<Parameter> {
        let corners = [&self.spec.on_body, &self.spec.on_ground];
        let edges = corners.into_iter().flat_map(|[a, b]| {
            let pairs = a.iter().zip(b.iter());
            pairs.map(|(a, b)| [a.min(*b), a.max(*b)])
        });
        let preload = match choice {
            SpringChoice::Captured { preload, .. } => Some(*preload),
            SpringChoice::Spring(_) => None,
        };
        edges.chain(preload).map(Parameter::Even).collect()
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
                match straight.spec().action {
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
    fn measure(&self, all: &[Hung]) -> Result<Figures> {
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
        Ok(Figures {
            ends,
            gradient: (self.bend + load.bend[self.axis][self.axis]) / (self.arm * self.arm),
            breakout: (slope + self.friction) / self.arm,
        })
    }

    /// Each wanted value beside what is found.
    fn wanted(&self, found: &Figures) -> Vec<(Requirement, TargetValue, f64)> {
        let ends = found.ends.iter();
        let ends = ends.map(|force| (requirement::FULL_FORCE, self.spec.full_force, *force));
        let others = [
            (requirement::GRADIENT, self.spec.gradient, found.gradient),
            (requirement::BREAKOUT, self.spec.breakout, found.breakout),
        ];
        ends.chain(others)
            .filter_map(|(requirement, wanted, value)| Some((requirement, wanted?, value)))
            .collect()
    }

    /// By how many tolerances each wanted value is missed.
    fn misses(&self, found: &Figures) -> impl Iterator<Item = f64> {
        let wanted = self.wanted(found).into_iter();
        wanted.map(|(_, wanted, value)| (value - wanted.value) / wanted.tolerance)
    }

    /// Which wanted values are missed by more than their tolerance; the tolerances tell what comes nearest.
    fn shortfalls(&self, found: &Figures, shortfalls: &mut Shortfalls) {
        for (requirement, wanted, value) in self.wanted(found) {
            let off = value - wanted.value;
            if (off / wanted.tolerance).abs() > 1.0 {
                let limit = wanted.value + wanted.tolerance.copysign(off);
                shortfalls.push(Shortfall::by(requirement, value, limit, wanted.tolerance));
            }
        }
    }

    fn fit(&self, choice: usize, hung: &Hung, found: &Figures) -> SpringFit {
        let most = |one: f64, other: f64| one.max(other.abs());
        let line = |[a, b]: &[Anchor; 2]| Element::line(hung.law.clone(), *a, *b);
        SpringFit {
            choice,
            elements: hung.ends.iter().map(line).collect(),
            full_force: found.ends.iter().copied().fold(0.0, most),
            gradient: found.gradient,
            breakout: found.breakout,
            miss: self.misses(found).fold(0.0, most),
        }
    }
}

impl<'a, const N: usize> Search<'a, N> {
    pub(in crate::feel) fn new(control: &'a Control, specs: &'a [SpringDemand]) -> Result<Self> {
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
    pub(in crate::feel) fn result(&self) -> Result<SearchResult<Vec<SpringFit>>> {
        let mut tally = Tally::default();
        let mut best: Vec<Option<Answer>> = Vec::new();
        best.resize_with(self.combinations, || None);
        let mut refused = None;
        for first in (0..self.starts).step_by(WAVE) {
            // Where every wanted value is met already there is nothing better to find.
            let is_open = |best: &Option<Answer>| best.as_ref().is_none_or(|best| best.miss > MET);
            let open = best.iter().enumerate().filter(|(_, best)| is_open(best));
            let wave = first..(first + WAVE).min(self.starts);
            let pieces: Vec<(usize, usize)> = open
                .flat_map(|(number, _)| wave.clone().map(move |start| (number, start)))
                .collect();
            let outcomes = parallel::map(&pieces, |&(number, start)| self.from(number, start))?;
            for ((number, _), outcome) in pieces.iter().zip(outcomes) {
                match outcome {
                    Ok(Outcome::Keeps(answer)) if answer.shortfalls.is_empty() => {
                        tally.accept();
                        let best = &mut best[*number];
                        if best.as_ref().is_none_or(|best| answer.miss < best.miss) {
                            *best = Some(answer);
                        }
                    }
                    Ok(Outcome::Keeps(Answer {
                        fits, shortfalls, ..
                    })) => {
                        tally.reject(shortfalls, || Some(fits));
                    }
                    Ok(Outcome::Beyond(beyond)) => {
                        let beyond = Shortfall::of_no_use(requirement::SPRING_LENGTH, beyond, 0.0);
                        tally.reject(beyond.into(), || None);
                    }
                    Err(error) => refused = refused.or(Some(error)),
                }
            }
        }
        let best = best.into_iter().flatten();
        let found = best.map(|answer| (answer.miss, answer.fits)).collect();
        let result = tally.result("arrangements of springs", found);
        // Where none could be computed there is nothing to tell but why.
        match refused {
            Some(error) if result.tried == 0 => Err(error),
            _ => Ok(result),
        }
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
        let parameters: Vec<Parameter> = (self.sets.iter().zip(&choices))
            .flat_map(|(set, choice)| set.parameters(&set.spec.choices[*choice]))
            .collect();
        let mut variables = start_variables(parameters.len(), start);
        let mut round = Round {
            search: self,
            choices: &choices,
            parameters,
            too_long: TOO_LONG,
            within_tolerance: false,
            worst: Vec::new(),
        };
        let (mut best, mut beyond_before, mut miss_before): (Option<Answer>, _, _) =
            (None, f64::INFINITY, f64::INFINITY);
        for _ in 0..ROUNDS {
            variables = ROUND.minimize(variables, |variables| round.residuals(variables))?;
            let all = round.hang(&variables)?;
            let (beyond, worst) = self.beyond(&all)?;
            let stuck = if beyond == 0.0 {
                let answer = self.answer(&choices, &all)?;
                let miss = answer.miss;
                if best.as_ref().is_none_or(|best| miss < best.miss) {
                    best = Some(answer);
                }
                let stuck = miss <= 1.0 || miss - 1.0 > STUCK * (miss_before - 1.0);
                miss_before = miss;
                stuck
            } else {
                // What was found between the places of the search is new to it.
                let stuck = worst.is_empty() && beyond > NEAR && beyond > STUCK * beyond_before;
                beyond_before = beyond;
                stuck
            };
            if stuck {
                break;
            }
            round.within_tolerance = true;
            round.too_long *= 0.1;
            round.worst.extend(worst);
        }
        Ok(best.map_or(Outcome::Beyond(beyond_before), Outcome::Keeps))
    }

    fn answer(&self, choices: &[usize], all: &[Hung]) -> Result<Answer> {
        let mut shortfalls = Shortfalls::default();
        let mut fits = Vec::with_capacity(all.len());
        for ((set, choice), hung) in self.sets.iter().zip(choices).zip(all) {
            let found = set.measure(all)?;
            set.shortfalls(&found, &mut shortfalls);
            fits.push(set.fit(*choice, hung, &found));
        }
        Ok(Answer {
            miss: fits.iter().map(|fit| fit.miss).fold(0.0, f64::max),
            fits,
            shortfalls,
        })
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
}

/// Distance of two anchors at one position, m.
fn distance<const N: usize>(scene: &Scene<N>, [a, b]: &[Anchor; 2]) -> f64 {
    (scene.point(b).at - scene.point(a).at).norm()
}

/// Checks the values of a demand.
fn check(spec: &SpringDemand) -> Result<()> {
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
fn mirror(control: &Control, spec: &SpringDemand) -> Result<Option<Mirror>> {
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

/// Where a search starts: variables of parameters spread evenly over their ranges; the first in the middle.
fn start_variables(parameters: usize, start: usize) -> Vec<f64> {
    let shares = spread_place(&vec![0.5; parameters], start).into_iter();
    // Not too near to the edges, where the change of variables stands still.
    shares.map(|share| (1.8 * share - 0.9).asin()).collect()
}

/// One round of the search from one start.
struct Round<'a, const N: usize> {
    search: &'a Search<'a, N>,
    /// Number of the spring that each demand takes.
    choices: &'a [usize],
    parameters: Vec<Parameter>,
    /// A length beyond a spring's limits by this counts as much as a wanted value missed by its tolerance, m.
    too_long: f64,
    /// Whether a wanted value counts only where it is missed by more than its tolerance: the least sum of squares may
    /// miss one of them by more, while another has tolerance to spare.
    within_tolerance: bool,
    /// Places beside those of the search at which a spring was beyond its limits.
    worst: Vec<Scene<N>>,
}

impl<const N: usize> Round<'_, N> {
    /// The springs of all demands for given variables.
    fn hang(&self, variables: &[f64]) -> Result<Vec<Hung>> {
        let both = self.parameters.iter().zip(variables);
        let values: Vec<f64> = both.map(|(parameter, own)| parameter.value(*own)).collect();
        let mut rest = values.as_slice();
        let mut all = Vec::with_capacity(self.choices.len());
        for (set, number) in self.search.sets.iter().zip(self.choices) {
            let choice = &set.spec.choices[*number];
            let (own, after) = rest.split_at(set.parameters(choice).len());
            all.push(set.hang(choice, own)?);
            rest = after;
        }
        Ok(all)
    }

    fn residuals(&self, variables: &[f64]) -> Option<Vec<f64>> {
        let hung = self.hang(variables).ok()?;
        let mut all = Vec::new();
        for set in &self.search.sets {
            let found = set.measure(&hung).ok()?;
            let counted = |miss: f64| {
                let over = (miss.abs() - ALLOWED).max(0.0);
                if self.within_tolerance {
                    over.copysign(miss) / SHARP
                } else {
                    miss
                }
            };
            all.extend(set.misses(&found).map(counted));
        }
        for one in &hung {
            for scene in self.search.gate.iter().chain(&self.worst) {
                let excess = one.ends.iter().map(|ends| one.excess(scene, ends, MARGIN));
                all.extend(excess.map(|excess| excess / self.too_long));
            }
        }
        let middle = variables
            .iter()
            .map(|angle| TOWARDS_THE_MIDDLE * angle / FRAC_PI_2);
        all.extend(middle);
        all.iter().all(|one| one.is_finite()).then_some(all)
    }
}
