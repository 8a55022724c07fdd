//! Straight springs, weights and what acts on the angle itself, at many angles at a time: the fast path of a curve.
//!
//! While one angle q of a control moves, a point of a body that turns with it goes on a circle, a + b cos q + c sin q
//! with constant vectors, and so does the way between two such points. A spring between them, and all weights together,
//! are then a handful of products a place, which the vector units take eight at a time.

use nalgebra::Vector3;

use crate::feel::body::{Body, Scene};
use crate::feel::elements::circle::{Circle, circle, way_between};
use crate::feel::elements::line::{AT_JUMP, COINCIDE};
use crate::feel::elements::{AlongLine, Element};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::simd::lanes::{cos_sin, select};
use crate::spring::{LineSpring, LinearSpring};

/// Places worked on at a time: their sums fit the first-level cache.
pub(in crate::feel) const LANES: usize = 64;

/// Energy, first and second derivative by the one angle at each of so many places; NaN where a spring is off its range
/// or at the very length at which its force jumps.
pub(in crate::feel) type Sums = [[f64; LANES]; 3];

/// What acts on a control while one angle moves: straight springs and weights, to be summed up here, and the rest.
pub(in crate::feel) struct Many<'a> {
    springs: Vec<Pulling>,
    /// Energy of all weights, J.
    weights: Circle<f64>,
    /// What acts on the moving angle itself: torsion springs, stops in the middle and cams on a body that turns with
    /// it.
    pub(in crate::feel) turning: Vec<&'a Element>,
    pub(in crate::feel) rest: Vec<&'a Element>,
}

/// A straight spring between two points that turn with the moving angle or stand still.
struct Pulling {
    spring: LinearSpring,
    /// Length at which its force jumps; infinite if it never does.
    jump: f64,
    way: Circle<Vector3<f64>>,
}

impl<'a> Many<'a> {
    /// From the control with the moving angle at zero.
    pub(in crate::feel) fn new<const N: usize>(
        elements: &'a [Element],
        gravity: &Vector3<f64>,
        scene: &Scene<N>,
        axis: usize,
    ) -> Self {
        let mut weights = Circle {
            a: 0.0,
            b: 0.0,
            c: 0.0,
        };
        let (mut springs, mut turning, mut rest) = (Vec::new(), Vec::new(), Vec::new());
        let moved = |body: Body| {
            let turned = scene.of(body).turned();
            !matches!(body, Body::Driven(_)) && turned.is_some_and(|turned| turned.axis == axis)
        };
        for element in elements {
            match element {
                Element::Line {
                    law: law @ AlongLine::Spring(LineSpring::Straight(spring)),
                    a,
                    b,
                } => match way_between(scene, [a, b], axis) {
                    Some(way) => springs.push(Pulling {
                        spring: *spring,
                        jump: law.jump().unwrap_or(f64::INFINITY),
                        way,
                    }),
                    None => rest.push(element),
                },
                Element::Mass { mass, at } => match circle(scene, at, axis) {
                    Some(place) => {
                        let weight = gravity * *mass;
                        weights.a -= weight.dot(&place.a);
                        weights.b -= weight.dot(&place.b);
                        weights.c -= weight.dot(&place.c);
                    }
                    None => rest.push(element),
                },
                Element::Torsion { body, .. } if moved(*body) => turning.push(element),
                Element::Breakout(breakout) if moved(breakout.body()) => turning.push(element),
                Element::Cam(cam) if moved(cam.body()) => turning.push(element),
                Element::Inertia { .. } | Element::Damper { .. } | Element::Friction(_) => {}
                _ => rest.push(element),
            }
        }
        Self {
            springs,
            weights,
            turning,
            rest,
        }
    }

    /// The sums over springs and weights at so many angles.
    pub(in crate::feel) fn sums(&self, angles: &[f64; LANES], sums: &mut Sums) {
        dispatch(Summing {
            many: self,
            angles,
            sums,
        });
    }
}

struct Summing<'a, 'b> {
    many: &'a Many<'b>,
    angles: &'a [f64; LANES],
    sums: &'a mut Sums,
}

impl Loop for Summing<'_, '_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        let (mut cos, mut sin) = ([0.0; LANES], [0.0; LANES]);
        for i in 0..LANES {
            [cos[i], sin[i]] = cos_sin::<FMA>(self.angles[i]);
        }
        let [energy, slope, bend] = self.sums;
        let Circle { a, b, c } = self.many.weights;
        for i in 0..LANES {
            let (along, across) = (b * cos[i] + c * sin[i], c * cos[i] - b * sin[i]);
            (energy[i], slope[i], bend[i]) = (a + along, across, -along);
        }
        for Pulling { spring, jump, way } in &self.many.springs {
            let (jump, Circle { a, b, c }) = (*jump, way);
            let [_, longest] = LinearSpring::LENGTH;
            for i in 0..LANES {
                let (cos, sin) = (cos[i], sin[i]);
                let along = [
                    b.x * cos + c.x * sin,
                    b.y * cos + c.y * sin,
                    b.z * cos + c.z * sin,
                ];
                let way = [a.x + along[0], a.y + along[1], a.z + along[2]];
                let first = [
                    c.x * cos - b.x * sin,
                    c.y * cos - b.y * sin,
                    c.z * cos - b.z * sin,
                ];
                let length = dot(way, way).sqrt();
                let inverse = 1.0 / length;
                let growing = dot(way, first) * inverse;
                let turning = (dot(first, first) - growing * growing - dot(way, along)) * inverse;
                let (working, force, stored) = spring.line(length);
                let at_jump = (length - jump).abs() <= AT_JUMP;
                let possible = (length >= COINCIDE) & (length <= longest) & !at_jump;
                let force = select(possible, select(working, force, 0.0), f64::NAN);
                let rate = select(working, spring.spec().rate, 0.0);
                energy[i] += select(working, stored, 0.0);
                slope[i] += force * growing;
                bend[i] += rate * (growing * growing) + force * turning;
            }
        }
    }
}

#[inline(always)]
fn dot(x: [f64; 3], y: [f64; 3]) -> f64 {
    x[0] * y[0] + x[1] * y[1] + x[2] * y[2]
}
