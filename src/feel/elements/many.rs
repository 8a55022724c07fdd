//! All that acts, but for magnets, at many angles at a time: the fast path of a curve.
//!
//! While one angle of a control moves, a point of a body goes on a circle, a + b cos t + c sin t with constant vectors,
//! where t is that angle or the one about the body's own pivot that follows it. The way between two such points is a
//! sum of circles. A spring between them, and all weights together, are then a handful of products a place, which the
//! vector units take eight at a time.

use nalgebra::Vector3;

use crate::error::Result;
use crate::feel::body::{Body, Scene};
use crate::feel::elements::circle::{Between, Circle, circle};
use crate::feel::elements::line::{AT_JUMP, COINCIDE, apart};
use crate::feel::elements::{AlongLine, Element};
use crate::feel::followers::{Followers, LANES, Lanes};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::simd::lanes::{cos_sin, dot, select};
use crate::spring::{LineSpring, LinearSpring};

/// Energy, first and second derivative by the one angle at each of so many places; NaN where a spring is off its range
/// or at the very length at which its force jumps.
pub(in crate::feel) type Sums = [[f64; LANES]; 3];

/// What acts on a control while one angle moves, to be summed up here, and the rest.
pub(in crate::feel) struct Many<'a> {
    followers: Followers<'a>,
    /// The greatest number of the angles that anything goes with.
    last: usize,
    lines: Vec<Pulling<'a>>,
    /// Energy of all weights by each of the angles, J, and of what stands still with the first.
    weights: Vec<Circle<f64>>,
    /// What acts on an angle itself: torsion springs, stops in the middle and cams, with the number of the angle.
    turning: Vec<(usize, &'a Element)>,
    pub(in crate::feel) rest: Vec<&'a Element>,
}

/// What acts along the way between two points.
struct Pulling<'a> {
    law: &'a AlongLine,
    way: Between,
}

impl<'a> Many<'a> {
    /// From the control with the moving angle at zero.
    pub(in crate::feel) fn new<const N: usize>(
        elements: &'a [Element],
        gravity: &Vector3<f64>,
        followers: Followers<'a>,
        scene: &Scene<N>,
    ) -> Self {
        let none = Circle {
            a: 0.0,
            b: 0.0,
            c: 0.0,
        };
        let mut weights = vec![none];
        let (mut lines, mut turning, mut rest) = (Vec::new(), Vec::new(), Vec::new());
        let (mut last, mut still) = (0, 0.0);
        let energy = |held: Result<Option<[f64; 3]>>| {
            held.map_or(f64::NAN, |held| held.map_or(0.0, |[energy, ..]| energy))
        };
        for element in elements {
            let mut on = |body: Body| match followers.number(body, scene) {
                Some(number) => {
                    last = last.max(number);
                    turning.push((number, element));
                }
                // It stands still while that one moves.
                None => {
                    let turned = scene.of(body).turned();
                    let held = turned.map(|turned| element.held(turned.transfer.angle, true));
                    still += held.map_or(0.0, energy);
                }
            };
            match element {
                Element::Line { law, a, b } => {
                    let way = Between::new(&followers, scene, [a, b]);
                    last = last.max(way.last());
                    lines.push(Pulling { law, way });
                }
                Element::Mass { mass, at } => {
                    let (number, place) = circle(&followers, scene, at);
                    let weight = gravity * *mass;
                    if weights.len() <= number {
                        weights.resize(number + 1, none);
                    }
                    weights[number].a -= weight.dot(&place.a);
                    weights[number].b -= weight.dot(&place.b);
                    weights[number].c -= weight.dot(&place.c);
                }
                Element::Torsion { body, .. } => on(*body),
                Element::Breakout(breakout) => on(breakout.body()),
                Element::Cam(cam) => on(cam.body()),
                Element::Inertia { .. } | Element::Damper { .. } | Element::Friction(_) => {}
                Element::Magnets(_) => rest.push(element),
            }
        }
        weights[0].a += still;
        Self {
            last: last.max(weights.len() - 1),
            followers,
            lines,
            weights,
            turning,
            rest,
        }
    }

    /// The sums over all but the rest at so many places, each an angle with the side from which it is approached, +1 or
    /// -1. Lanes beyond the places hold nothing of worth.
    pub(in crate::feel) fn sums(&self, places: &[(f64, f64)]) -> Sums {
        let mut angles = [0.0; LANES];
        for (angle, (q, _)) in angles.iter_mut().zip(places) {
            *angle = *q;
        }
        let lanes = self.followers.at(&angles, self.last);
        let mut sums = [[0.0; LANES]; 3];
        let mut lengths = vec![[[0.0; LANES]; 3]; self.lines.len()];
        dispatch(Summing {
            many: self,
            lanes: &lanes,
            sums: &mut sums,
            lengths: &mut lengths,
        });
        for (Pulling { law, .. }, [length, growing, turning]) in self.lines.iter().zip(&lengths) {
            if straight(law).is_some() {
                continue;
            }
            for (i, (_, side)) in places.iter().enumerate().take(LANES) {
                // Refused one by one.
                let held = pulled(law, length[i], growing[i] * side >= 0.0);
                add(held.ok(), [growing[i], turning[i]], i, &mut sums);
            }
        }
        for (number, element) in &self.turning {
            let Lanes {
                angle,
                ratio,
                curvature,
            } = &lanes[*number];
            for (i, (_, side)) in places.iter().enumerate().take(LANES) {
                let held = element.held(angle[i], ratio[i] * side >= 0.0);
                let held = held.ok().map(Option::unwrap_or_default);
                add(held, [ratio[i], curvature[i]], i, &mut sums);
            }
        }
        sums
    }
}

/// Adds an energy of a quantity with its two derivatives, and those of the quantity, to place `i`.
fn add(held: Option<[f64; 3]>, [first, second]: [f64; 2], i: usize, sums: &mut Sums) {
    let [energy, by, twice] = held.unwrap_or([f64::NAN; 3]);
    sums[0][i] += energy;
    sums[1][i] += by * first;
    sums[2][i] += twice * (first * first) + by * second;
}

/// Energy, tension and stiffness at a length.
fn pulled(law: &AlongLine, length: f64, above: bool) -> Result<[f64; 3]> {
    let pulled = law.at(apart(length)?, above)?;
    Ok([pulled.energy, pulled.tension, pulled.stiffness])
}

/// The straight spring that it is, whose law the vector units know.
fn straight(law: &AlongLine) -> Option<&LinearSpring> {
    match law {
        AlongLine::Spring(LineSpring::Straight(spring)) => Some(spring),
        _ => None,
    }
}

struct Summing<'a, 'b> {
    many: &'a Many<'b>,
    lanes: &'a [Lanes],
    sums: &'a mut Sums,
    /// Of each line its length with the two derivatives.
    lengths: &'a mut [[[f64; LANES]; 3]],
}

impl Loop for Summing<'_, '_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        let [energy, slope, bend] = self.sums;
        let mut turned = vec![[[0.0; LANES]; 2]; self.lanes.len()];
        for (lanes, turned) in self.lanes.iter().zip(&mut turned) {
            let [cos, sin] = turned;
            for i in 0..LANES {
                [cos[i], sin[i]] = cos_sin::<FMA>(lanes.angle[i]);
            }
        }
        let angles = self.lanes.iter().zip(&turned);
        for (Circle { a, b, c }, (lanes, [cos, sin])) in self.many.weights.iter().zip(angles) {
            let (ratio, curvature) = (&lanes.ratio, &lanes.curvature);
            for i in 0..LANES {
                let (along, across) = (b * cos[i] + c * sin[i], c * cos[i] - b * sin[i]);
                energy[i] += a + along;
                slope[i] += across * ratio[i];
                bend[i] += across * curvature[i] - along * (ratio[i] * ratio[i]);
            }
        }
        for (Pulling { law, way }, lengths) in self.many.lines.iter().zip(self.lengths) {
            // The way between the ends with its two derivatives.
            let mut ways = [[[0.0; LANES]; 3]; 3];
            for (number, Circle { a, b, c }) in &way.parts {
                let [cos, sin] = &turned[*number];
                let (ratio, curvature) =
                    (&self.lanes[*number].ratio, &self.lanes[*number].curvature);
                for (k, ways) in ways.iter_mut().enumerate() {
                    let (a, b, c) = (a[k], b[k], c[k]);
                    let [way, first, second] = ways;
                    for i in 0..LANES {
                        let (along, across) = (b * cos[i] + c * sin[i], c * cos[i] - b * sin[i]);
                        way[i] += a + along;
                        first[i] += across * ratio[i];
                        second[i] += across * curvature[i] - along * (ratio[i] * ratio[i]);
                    }
                }
            }
            let [x, y, z] = &ways;
            let [lengths, growths, turns] = lengths;
            for i in 0..LANES {
                let way = [x[0][i], y[0][i], z[0][i]];
                let first = [x[1][i], y[1][i], z[1][i]];
                let second = [x[2][i], y[2][i], z[2][i]];
                let length = dot(way, way).sqrt();
                let inverse = 1.0 / length;
                let growing = dot(way, first) * inverse;
                let across = dot(first, first) - growing * growing;
                lengths[i] = length;
                growths[i] = growing;
                turns[i] = (across + dot(way, second)) * inverse;
            }
            if let Some(spring) = straight(law) {
                let jump = law.jump().unwrap_or(f64::INFINITY);
                let [_, longest] = LinearSpring::LENGTH;
                for i in 0..LANES {
                    let (length, growing) = (lengths[i], growths[i]);
                    let (working, force, stored) = spring.line(length);
                    let at_jump = (length - jump).abs() <= AT_JUMP;
                    let possible = (length >= COINCIDE) & (length <= longest) & !at_jump;
                    let force = select(possible, select(working, force, 0.0), f64::NAN);
                    let rate = select(working, spring.spec().rate, 0.0);
                    energy[i] += select(working, stored, 0.0);
                    slope[i] += force * growing;
                    bend[i] += rate * (growing * growing) + force * turns[i];
                }
            }
        }
    }
}
