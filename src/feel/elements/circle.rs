//! The circles on which points go while one angle of a control moves.

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;

use crate::feel::body::{Anchor, Body, Scene};

/// a + b cos q + c sin q.
#[derive(Debug, Clone, Copy)]
pub(in crate::feel) struct Circle<T> {
    pub(in crate::feel) a: T,
    pub(in crate::feel) b: T,
    pub(in crate::feel) c: T,
}

/// The circle on which a point goes; `None` for a body that a linkage drives, which turns unevenly. The moving angle of
/// the scene is zero.
pub(super) fn circle<const N: usize>(
    scene: &Scene<N>,
    anchor: &Anchor,
    axis: usize,
) -> Option<Circle<Vector3<f64>>> {
    let motion = scene.of(anchor.body());
    let uneven = matches!(anchor.body(), Body::Driven(_));
    if uneven && motion.turned().is_none_or(|turned| turned.axis == axis) {
        return None;
    }
    let at = scene.point(anchor);
    // At q = 0 the derivative is c = u x b, with the unit vector u along the axis.
    let c = at.first[axis];
    let b = -motion.spin[axis].cross(&c);
    Some(Circle { a: at.at - b, b, c })
}

/// The way from one point to another, which goes on a circle if both do: they turn about the same axis.
pub(in crate::feel) fn way_between<const N: usize>(
    scene: &Scene<N>,
    [from, to]: [&Anchor; 2],
    axis: usize,
) -> Option<Circle<Vector3<f64>>> {
    let (from, to) = (circle(scene, from, axis)?, circle(scene, to, axis)?);
    Some(Circle {
        a: to.a - from.a,
        b: to.b - from.b,
        c: to.c - from.c,
    })
}

impl Circle<Vector3<f64>> {
    /// Distance from the origin at an angle.
    pub(in crate::feel) fn length(&self, q: f64) -> f64 {
        let (sin, cos) = q.sin_cos();
        (self.a + self.b * cos + self.c * sin).norm()
    }

    /// Angles within the travel, ascending, at which the distance from the origin turns from growing to falling or
    /// back: its square is one cosine of the angle, as b and c are equal and at right angles.
    pub(in crate::feel) fn turning(&self, [least, greatest]: [f64; 2]) -> Vec<f64> {
        let at = self.a.dot(&self.c).atan2(self.a.dot(&self.b));
        let halves = [-TAU, -PI, 0.0, PI, TAU].map(|by| at + by);
        let inside = |q: &f64| least < *q && *q < greatest;
        halves.into_iter().filter(inside).collect()
    }
}
