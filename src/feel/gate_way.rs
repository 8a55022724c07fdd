//! The way between two points of a control at any of its angles, without all that turns along with them.

use std::array::from_fn;

use nalgebra::Vector3;

use crate::feel::body::{Anchor, Bearing, Body};
use crate::numeric::direction::turning;

/// What stands still of a vector as it turns, goes with the cosine, with the sine.
type Turning = [Vector3<f64>; 3];

/// The sum of w\[i\]\[j\] f\[i\](q0) f\[j\](q1) with f = (1, cos, sin): each angle turns what the next one has turned.
#[derive(Debug, Clone)]
pub(super) struct GateWay {
    parts: [Turning; 3],
}

impl GateWay {
    /// From one point to another; none if a linkage drives the body of either, which then turns unevenly.
    pub(super) fn new(bearing: &Bearing, [from, to]: &[Anchor; 2]) -> Option<Self> {
        let (from, to) = (parts(bearing, from)?, parts(bearing, to)?);
        Some(Self {
            parts: from_fn(|i| from_fn(|j| to[i][j] - from[i][j])),
        })
    }

    /// How long it is at the angles, m.
    pub(super) fn length<const N: usize>(&self, q: [f64; N]) -> f64 {
        let of = |angle: f64| {
            let (sin, cos) = angle.sin_cos();
            [1.0, cos, sin]
        };
        let ring = of(q[0]);
        let turned = |j: usize| {
            let [still, cos, sin] = self.parts.map(|part| part[j]);
            still + cos * ring[1] + sin * ring[2]
        };
        if N == 1 {
            return turned(0).norm();
        }
        let lever = of(q[N - 1]);
        (turned(0) + turned(1) * lever[1] + turned(2) * lever[2]).norm()
    }
}

fn parts(bearing: &Bearing, anchor: &Anchor) -> Option<[Turning; 3]> {
    let point = anchor.point();
    let zero = Vector3::zeros();
    match (bearing, anchor.body()) {
        (_, Body::Ground) => Some([[point.coords, zero, zero], [zero; 3], [zero; 3]]),
        (Bearing::Single(pivot), Body::Lever)
        | (Bearing::Gimbal { outer: pivot, .. }, Body::Ring) => {
            Some(pivot.circle(&point).map(|part| [part, zero, zero]))
        }
        (Bearing::Gimbal { outer, inner }, Body::Lever) => {
            let [center, cos, sin] = inner.circle(&point);
            let center = outer.circle(&center.into());
            let [cos, sin] = [cos, sin].map(|vector| turning(vector, &outer.direction()));
            Some(from_fn(|i| [center[i], cos[i], sin[i]]))
        }
        (Bearing::Single(_), Body::Ring) | (_, Body::Driven(_)) => None,
    }
}
