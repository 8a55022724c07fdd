//! Where to anchor which spring, for a wanted feel.

use std::f64::consts::FRAC_PI_2;

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned, Point3, Unit, Vector3};
use serde::Serialize;

use super::body::{Anchor, Bearing, Body};
use super::control::Control;
use super::element::{AlongLine, CapturedSpring, Element};
use super::track::{Track, Way};
use crate::error::{Error, Result, counted, finite, within};
use crate::parallel;
use crate::spring::{LineSpring, Works};

/// Places along the travel at which springs must keep within their limits.
const PLACES: usize = 9;
/// A length beyond a spring's limits by this counts as much as a wanted value missed by its tolerance, m.
const TOO_LONG: f64 = 1e-4;
/// How much a parameter at the edge of its range counts against values wanted, so that of many answers the search takes one in the open.
const TOWARDS_THE_MIDDLE: f64 = 1e-3;
/// Step of the differences that give the derivatives of the search, in the angle that stands for a parameter.
const STEP: f64 = 1e-6;
/// Relative change of the sum at which a search ends: a wanted value is then met to a ten-thousandth of its tolerance.
const CLOSE_ENOUGH: f64 = 1e-8;
/// Evaluations for each parameter after which a search ends.
const PATIENCE: usize = 10;
/// A length that is over a limit by no more than this is within it, m: rounding.
const ON_THE_LIMIT: f64 = 1e-9;

/// A value and how far off it may be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wanted {
    /// The value.
    pub value: f64,
    /// How far off it may be, above 0.
    pub tolerance: f64,
}

/// How many springs, and how they stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum SpringLayout {
    /// One.
    Single,
    /// Two of a kind, mirror images of each other in the plane through the pivot with this normal (at zero angle).
    Mirrored(Vector3<f64>),
}

/// A spring to choose from.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum SpringChoice {
    /// As it is; its preload follows from where it is anchored.
    Spring(LineSpring),
    /// One between collars, which sits on both of them at angle zero; its preload (N) is sought between two values.
    Captured {
        /// N/m.
        rate: f64,
        /// How far it goes either way, m.
        stroke: f64,
        /// Least and greatest preload, N.
        preload: [f64; 2],
    },
}

/// What is sought; [`Control::fit_springs`] finds it.
#[derive(Debug, Clone, PartialEq)]
pub struct FitSpec {
    /// Which angle moves.
    pub way: Way,
    /// On which body the springs pull; the other end is on the ground.
    pub body: Body,
    /// Two corners of the box in which the anchor on the body may be, m.
    pub on_body: [Point3<f64>; 2],
    /// Two corners of the box in which the anchor on the ground may be, m.
    pub on_ground: [Point3<f64>; 2],
    /// How many springs.
    pub layout: SpringLayout,
    /// The springs to choose from, 1 to 10000.
    pub choices: Vec<SpringChoice>,
    /// Whether a spring may hang slack somewhere in the travel.
    pub may_be_slack: bool,
    /// Force at the grip at the stops, N (only at those that lie off the center).
    pub full_force: Option<Wanted>,
    /// Growth of the force at the grip on leaving the center, N/m.
    pub gradient: Option<Wanted>,
    /// Force at the grip that sets it in motion upward from the center, friction included, N.
    pub breakout: Option<Wanted>,
    /// From how many places to search for each spring, 1 to 1000.
    pub starts: usize,
}

/// Springs that give the wanted feel.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringFit {
    /// Number of the spring among the choices.
    pub choice: usize,
    /// The elements to add to the control: one or two springs.
    pub elements: Vec<Element>,
    /// Greatest force at the grip at the stops, N.
    pub full_force: f64,
    /// Growth of the force at the grip on leaving the center, N/m.
    pub gradient: f64,
    /// Force at the grip that sets it in motion upward from the center, N.
    pub breakout: f64,
    /// Greatest miss of a wanted value, in its tolerances: 1 is just good enough.
    pub miss: f64,
}

impl SpringFit {
    /// Preload of a captured spring, N; `None` for others.
    #[must_use]
    pub fn preload(&self) -> Option<f64> {
        match self.elements.first()? {
            Element::Line {
                law: AlongLine::Captured(spring),
                ..
            } => Some(spring.preload()),
            _ => None,
        }
    }
}

/// What a candidate measures.
#[derive(Debug, Clone, Copy)]
struct Found {
    /// At the stops that lie off the center.
    ends: [Option<f64>; 2],
    gradient: f64,
    breakout: f64,
    /// How far the worst spring is beyond its limits, m.
    beyond: f64,
}

impl Control {
    /// Searches for springs and anchors that give a wanted force at the stops, gradient and breakout, beside all that the control has already.
    ///
    /// For every spring of the list the anchors (and the preload of a captured spring) are sought by least squares from several places spread evenly over their
    /// boxes, the bounds by a smooth change of variables, the limits of the spring over the whole travel as part of the sum. The same input gives the
    /// same answer. The answers come best first, one for each spring that reaches every wanted value within its tolerance.
    ///
    /// # Errors
    /// [`Error::NothingFits`] with the nearest there is if no spring does; [`Error::Count`], [`Error::NotFinite`], [`Error::OutOfRange`] for values outside the ranges
    /// named in [`FitSpec`]; [`Error::NotAChoice`] for a body that does not move. As [`Control::new`].
    ///
    /// # References
    /// Levenberg-Marquardt as in MINPACK (J. J. More, 1978); start places by the additive recurrence of the generalized golden ratio (M. Roberts, 2018).
    pub fn fit_springs(&self, spec: &FitSpec) -> Result<Vec<SpringFit>> {
        let search = Search::new(self, spec)?;
        let tries: Vec<(usize, usize)> = (0..spec.choices.len())
            .flat_map(|choice| (0..spec.starts).map(move |start| (choice, start)))
            .collect();
        let found = parallel::map(&tries, |&(choice, start)| search.from(choice, start))?;
        let mut best: Vec<SpringFit> = Vec::new();
        let (mut nearest, mut refused) = (f64::INFINITY, None);
        for one in found {
            match (one, best.last_mut()) {
                (Err(error), _) => refused = refused.or(Some(error)),
                (Ok((_, beyond)), _) if beyond > ON_THE_LIMIT => nearest = nearest.min(beyond),
                // Those of one choice come in a row.
                (Ok((fit, _)), Some(last)) if last.choice == fit.choice => {
                    if fit.miss < last.miss {
                        *last = fit;
                    }
                }
                (Ok((fit, _)), _) => best.push(fit),
            }
        }
        best.sort_by(|a, b| a.miss.total_cmp(&b.miss));
        match (best.first(), refused) {
            (Some(first), _) if first.miss > 1.0 => return Err(search.nearest(first)),
            (Some(_), _) => {}
            (None, Some(error)) if nearest.is_infinite() => return Err(error),
            (None, _) => {
                let quantity = "length of a spring beyond its limits";
                return Err(search.nothing(quantity, nearest, 0.0, "m"));
            }
        }
        best.retain(|fit| fit.miss <= 1.0);
        Ok(best)
    }
}

/// A search, with what all its candidates share.
struct Search<'a> {
    control: &'a Control,
    spec: &'a FitSpec,
    /// A point of the mirror plane, and its normal.
    mirror: Option<(Point3<f64>, Unit<Vector3<f64>>)>,
}

impl<'a> Search<'a> {
    fn new(control: &'a Control, spec: &'a FitSpec) -> Result<Self> {
        counted("springs to choose from", spec.choices.len(), [1, 10_000])?;
        counted("places to search from", spec.starts, [1, 1000])?;
        for corner in spec.on_body.iter().chain(&spec.on_ground) {
            super::body::check_place("corner of the space for an anchor", corner)?;
        }
        let wanted = [
            ("wanted force at the stops", spec.full_force, "N"),
            ("wanted gradient", spec.gradient, "N/m"),
            ("wanted breakout force", spec.breakout, "N"),
        ];
        let asked = wanted.iter().filter(|(_, one, _)| one.is_some()).count();
        counted("wanted values", asked, [1, 3])?;
        for (name, one, unit) in wanted {
            if let Some(Wanted { value, tolerance }) = one {
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
        // The moving body must be one of this control, and its springs possible somewhere.
        let track = Track::new(control, spec.way)?;
        track.at(track.travel[0].max(0.0).min(track.travel[1]), 1.0)?;
        let pivot = match (&control.spec().bearing, spec.body) {
            (_, Body::Driven(number)) => control.spec().driven.get(number).map(|d| d.pivot()),
            (Bearing::Single(pivot), _) => Some(*pivot),
            (Bearing::Gimbal { outer, .. }, Body::Ring) => Some(*outer),
            (Bearing::Gimbal { inner, .. }, _) => Some(*inner),
        };
        let (Some(pivot), true) = (pivot, spec.body != Body::Ground) else {
            return Err(Error::NotAChoice {
                quantity: "body on which the springs pull",
                given: spec.body.to_string(),
                choices: "a body of the control that moves".to_owned(),
            });
        };
        let mirror = match spec.layout {
            SpringLayout::Single => None,
            SpringLayout::Mirrored(normal) => {
                let normal =
                    crate::numeric::direction::unit("normal of the mirror plane", &normal)?;
                Some((pivot.point(), Unit::new_unchecked(normal)))
            }
        };
        Ok(Self {
            control,
            spec,
            mirror,
        })
    }

    /// The lower and upper bounds of the parameters: both anchors, and the preload of a captured spring.
    fn bounds(&self, choice: &SpringChoice) -> Vec<[f64; 2]> {
        let edges = |[a, b]: &[Point3<f64>; 2]| {
            let edges: Vec<[f64; 2]> = a
                .iter()
                .zip(b.iter())
                .map(|(a, b)| [a.min(*b), a.max(*b)])
                .collect();
            edges
        };
        let mut bounds = edges(&self.spec.on_body);
        bounds.extend(edges(&self.spec.on_ground));
        if let SpringChoice::Captured { preload, .. } = choice {
            bounds.push(*preload);
        }
        bounds
    }

    /// The best from one start, and by how much its worst spring is beyond its limits, m.
    fn from(&self, number: usize, start: usize) -> Result<(SpringFit, f64)> {
        let choice = &self.spec.choices[number];
        let bounds = self.bounds(choice);
        let problem = Problem {
            search: self,
            choice,
            angles: start_angles(bounds.len(), start),
            bounds,
        };
        let solver = LevenbergMarquardt::new()
            .with_tol(CLOSE_ENOUGH)
            .with_patience(PATIENCE);
        let (problem, _) = solver.minimize(problem);
        let (elements, found) = self.measure(choice, &problem.values(&problem.angles))?;
        let most = |values: &mut dyn Iterator<Item = f64>| values.map(f64::abs).fold(0.0, f64::max);
        let fit = SpringFit {
            choice: number,
            elements,
            full_force: most(&mut found.ends.into_iter().flatten()),
            gradient: found.gradient,
            breakout: found.breakout,
            miss: most(&mut self.misses(&found).into_iter()),
        };
        Ok((fit, found.beyond))
    }

    /// By how many tolerances each wanted value is missed.
    fn misses(&self, found: &Found) -> Vec<f64> {
        let miss = |wanted: Option<Wanted>, value: f64| {
            wanted.map(|wanted| (value - wanted.value) / wanted.tolerance)
        };
        let ends = found.ends.into_iter().flatten();
        let mut misses: Vec<f64> = ends
            .filter_map(|force| miss(self.spec.full_force, force))
            .collect();
        misses.extend(miss(self.spec.gradient, found.gradient));
        misses.extend(miss(self.spec.breakout, found.breakout));
        misses
    }

    /// The springs with the given parameters, and what the control then measures.
    fn measure(&self, choice: &SpringChoice, values: &[f64]) -> Result<(Vec<Element>, Found)> {
        let point = |from: usize| Point3::from_slice(&values[from..from + 3]);
        let ends = [point(0), point(3)];
        let law: AlongLine = match choice {
            SpringChoice::Spring(spring) => spring.clone().into(),
            SpringChoice::Captured { rate, stroke, .. } => {
                let length = (ends[0] - ends[1]).norm();
                CapturedSpring::new(length, values[6], *rate, *stroke)?.into()
            }
        };
        let line = |[on_body, on_ground]: [Point3<f64>; 2]| -> Result<Element> {
            let a = Anchor::new(self.spec.body, on_body)?;
            let b = Anchor::new(Body::Ground, on_ground)?;
            Ok(Element::line(law.clone(), a, b))
        };
        let mut springs = vec![line(ends)?];
        if let Some((point, normal)) = self.mirror {
            let normal = normal.into_inner();
            let mirrored = |p: Point3<f64>| p - normal * (2.0 * normal.dot(&(p - point)));
            springs.push(line(ends.map(mirrored))?);
        }
        let mut all = self.control.spec().elements.clone();
        all.extend(springs.iter().cloned());
        let control = self.control.with_elements(all)?;
        let track = Track::new(&control, self.spec.way)?;
        let [least, greatest] = track.travel;
        let (center, arm) = (0.0_f64.clamp(least, greatest), track.arm);
        let here = track.with_stiffness(center, 1.0)?;
        let mut ends = [None; 2];
        if least < center {
            ends[0] = Some(-track.at(least, 1.0)?.slope / arm);
        }
        if greatest > center {
            ends[1] = Some(track.at(greatest, -1.0)?.slope / arm);
        }
        let mut beyond: f64 = 0.0;
        let [shortest, longest] = self.limits(&law);
        for q in super::track::steps(least, greatest, PLACES - 1) {
            for spring in &springs {
                if let Some(length) = track.length(spring, q)? {
                    beyond = beyond.max(shortest - length).max(length - longest);
                }
            }
        }
        let found = Found {
            ends,
            gradient: here.bend / (arm * arm),
            breakout: (here.slope + track.friction(center)?) / arm,
            beyond,
        };
        Ok((springs, found))
    }

    /// Shortest and longest length that a spring may have.
    fn limits(&self, law: &AlongLine) -> [f64; 2] {
        match law {
            AlongLine::Captured(spring) => {
                let (length, stroke) = (spring.neutral_length(), spring.stroke());
                [length - stroke, length + stroke]
            }
            AlongLine::Spring(spring) => {
                let [shortest, longest] = spring.length_range();
                match spring {
                    LineSpring::Straight(straight) if !self.spec.may_be_slack => {
                        let free = straight.spec().free_length;
                        match straight.spec().works {
                            Works::Above => [shortest.max(free), longest],
                            Works::Below => [shortest, longest.min(free)],
                            Works::Both => [shortest, longest],
                        }
                    }
                    _ => [shortest, longest],
                }
            }
        }
    }

    /// The error that tells of the nearest there is: what it misses most.
    fn nearest(&self, fit: &SpringFit) -> Error {
        let miss = |wanted: Option<Wanted>, value: f64| {
            wanted.map_or(0.0, |wanted| {
                ((value - wanted.value) / wanted.tolerance).abs()
            })
        };
        let spec = self.spec;
        let rows = [
            ("force at the stops", spec.full_force, fit.full_force, "N"),
            ("gradient", spec.gradient, fit.gradient, "N/m"),
            ("breakout force", spec.breakout, fit.breakout, "N"),
        ];
        let worst = rows
            .into_iter()
            .max_by(|a, b| miss(a.1, a.2).total_cmp(&miss(b.1, b.2)));
        let (quantity, wanted, value, unit) = worst.unwrap_or(rows[0]);
        // The end of what is allowed that it fails to reach.
        let limit = wanted.map_or(f64::NAN, |wanted| {
            wanted.value + wanted.tolerance.copysign(value - wanted.value)
        });
        self.nothing(quantity, value, limit, unit)
    }

    fn nothing(&self, quantity: &'static str, value: f64, limit: f64, unit: &'static str) -> Error {
        Error::NothingFits {
            what: "arrangements of springs",
            tried: self.spec.choices.len() * self.spec.starts,
            quantity,
            value,
            limit,
            unit,
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
struct Problem<'a> {
    search: &'a Search<'a>,
    choice: &'a SpringChoice,
    bounds: Vec<[f64; 2]>,
    angles: DVector<f64>,
}

impl Problem<'_> {
    fn values(&self, angles: &DVector<f64>) -> Vec<f64> {
        let value = |([low, high], angle): (&[f64; 2], &f64)| {
            0.5 * (low + high) + 0.5 * (high - low) * angle.sin()
        };
        self.bounds.iter().zip(angles.iter()).map(value).collect()
    }

    fn residuals_at(&self, angles: &DVector<f64>) -> Option<DVector<f64>> {
        let (_, found) = self
            .search
            .measure(self.choice, &self.values(angles))
            .ok()?;
        let mut all = self.search.misses(&found);
        all.push(found.beyond.max(0.0) / TOO_LONG);
        all.extend(
            angles
                .iter()
                .map(|angle| TOWARDS_THE_MIDDLE * angle / FRAC_PI_2),
        );
        all.iter()
            .all(|one| one.is_finite())
            .then(|| DVector::from_vec(all))
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
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
