//! The circles on which points go while one angle of a control moves.

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;

use crate::feel::body::{Anchor, Scene};
use crate::feel::followers::{Followers, LANES, Lanes};

/// a + b cos q + c sin q.
#[derive(Debug, Clone, Copy)]
pub(in crate::feel) struct Circle<T> {
    pub(in crate::feel) a: T,
    pub(in crate::feel) b: T,
    pub(in crate::feel) c: T,
}

/// The circle on which a point goes, and by which of the angles that turn. The moving angle of the scene is zero.
pub(super) fn circle<const N: usize>(
    followers: &Followers<'_>,
    scene: &Scene<N>,
    anchor: &Anchor,
) -> (usize, Circle<Vector3<f64>>) {
    let number = followers.number(anchor.body(), scene).unwrap_or(0);
    if let Some(drive) = followers.drive(number) {
        // With its angle at zero a point of a driven body is where it was given.
        let [a, b, c] = drive.pivot().circle(&anchor.point());
        return (number, Circle { a, b, c });
    }
    let axis = followers.axis();
    let at = scene.point(anchor);
    // At q = 0 the derivative is c = u x b, with the unit vector u along the axis.
    let c = at.first[axis];
    let b = -scene.of(anchor.body()).spin[axis].cross(&c);
    (0, Circle { a: at.at - b, b, c })
}

/// The way from one point to another, each of which turns on a circle: a sum of one circle for each angle by which
/// either turns.
#[derive(Debug, Clone)]
pub(in crate::feel) struct Between {
    pub(super) parts: Vec<(usize, Circle<Vector3<f64>>)>,
}

impl Between {
    pub(in crate::feel) fn new<const N: usize>(
        followers: &Followers<'_>,
        scene: &Scene<N>,
        [from, to]: [&Anchor; 2],
    ) -> Self {
        let (by, from) = circle(followers, scene, from);
        let (number, to) = circle(followers, scene, to);
        let less = |to: Circle<Vector3<f64>>| Circle {
            a: to.a - from.a,
            b: to.b - from.b,
            c: to.c - from.c,
        };
        // A point that stands still goes with whatever the other one goes with.
        let parts = if by == number || from.is_still() {
            vec![(number, less(to))]
        } else if to.is_still() {
            vec![(by, less(to))]
        } else {
            let none = Circle {
                a: Vector3::zeros(),
                b: Vector3::zeros(),
                c: Vector3::zeros(),
            };
            vec![(number, to), (by, less(none))]
        };
        Self { parts }
    }

    /// The greatest number of the angles that it goes with.
    pub(in crate::feel) fn last(&self) -> usize {
        let numbers = self.parts.iter().map(|(number, _)| *number);
        numbers.max().unwrap_or(0)
    }

    /// Its circle, if it goes with the moving angle alone.
    pub(in crate::feel) fn even(&self) -> Option<&Circle<Vector3<f64>>> {
        match self.parts.as_slice() {
            [(0, circle)] => Some(circle),
            _ => None,
        }
    }

    /// Its lengths at so many places.
    pub(in crate::feel) fn lengths(&self, lanes: &[Lanes]) -> [f64; LANES] {
        std::array::from_fn(|i| {
            let parts = self.parts.iter();
            let along = parts.map(|(number, circle)| circle.at(lanes[*number].angle[i]));
            along.sum::<Vector3<f64>>().norm()
        })
    }
}

impl Circle<Vector3<f64>> {
    fn is_still(&self) -> bool {
        self.b == Vector3::zeros() && self.c == Vector3::zeros()
    }

    fn at(&self, angle: f64) -> Vector3<f64> {
        let (sin, cos) = angle.sin_cos();
        self.a + self.b * cos + self.c * sin
    }

    /// Distance from the origin at an angle.
    pub(in crate::feel) fn length(&self, q: f64) -> f64 {
        self.at(q).norm()
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
