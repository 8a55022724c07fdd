//! A cell of positions about one: how far a coordinate of a point of the stick falls within it.

use nalgebra::{Point3, Vector3};

use crate::linkage::stick::gate::{Limit, Region};
use crate::linkage::stick::gimbal::{Gimbal, Turned};

/// A gimbal in the middle of a cell.
pub(super) struct Around<'a> {
    gimbal: &'a Gimbal,
    half: [f64; 2],
    turned: Turned,
    /// The inner axis there.
    inner_point: Point3<f64>,
    inner_direction: Vector3<f64>,
    limits: Vec<Limit>,
}

/// A coordinate of a point of the stick over a cell, m.
pub(super) struct Slide {
    /// In the middle.
    pub(super) value: f64,
    /// What it does not fall below anywhere in the cell.
    pub(super) floor: f64,
    /// Its change by either angle in the middle, m/rad.
    pub(super) slopes: [f64; 2],
}

impl<'a> Around<'a> {
    /// All positions that a gate allows within `half` of `center`, each angle by itself.
    pub(super) fn new(
        gimbal: &'a Gimbal,
        region: &Region<'_>,
        center: [f64; 2],
        half: [f64; 2],
    ) -> Self {
        let turned = gimbal.turned(center);
        let inner = gimbal.spec.inner;
        Self {
            gimbal,
            half,
            inner_point: turned.outer * inner.point(),
            inner_direction: turned.outer * inner.direction(),
            limits: region.limits(center, half),
            turned,
        }
    }

    /// Where a point of the stick, given at neutral, is in the middle.
    pub(super) fn moved(&self, neutral: &Point3<f64>) -> Point3<f64> {
        self.turned.both * neutral
    }

    /// The most that such a point moves, m: by its distance from an axis for each radian about it, first about the
    /// outer axis, from where it stands at the inner angle of the middle, then about the inner one.
    pub(super) fn way(&self, neutral: &Point3<f64>) -> f64 {
        let spec = &self.gimbal.spec;
        spec.outer.radius(&self.moved(neutral)) * self.half[0]
            + spec.inner.radius(neutral) * self.half[1]
    }

    /// The coordinate of a point along a unit vector: by its slope, less what the curvature may take.
    ///
    /// In a cell that the edge of the gate cuts the coordinate may fall on outside the gate, where it does not count.
    /// With a limit g, nowhere positive in the gate, it is no less than itself plus any positive multiple of g; the
    /// multiple that takes one of the slopes away leaves the best bound. Without this a coordinate that is the same all
    /// along the edge would need cells as small as the tolerance all along it.
    pub(super) fn slide(&self, along: &Vector3<f64>, neutral: &Point3<f64>) -> Slide {
        let (outer, inner, half) = (self.gimbal.spec.outer, self.gimbal.spec.inner, self.half);
        let point = self.moved(neutral);
        let value = along.dot(&point.coords);
        let slopes = [
            along.dot(&outer.direction().cross(&(point - outer.point()))),
            along.dot(&self.inner_direction.cross(&(point - self.inner_point))),
        ];
        let inner_radius = inner.radius(neutral);
        // As the inner angle changes, the point may get this far from the outer axis.
        let outer_radius = outer.radius(&point) + inner_radius * half[1];
        let bend =
            outer_radius * half[0].powi(2) + inner_radius * (2.0 * half[0] + half[1]) * half[1];
        let fall = |slopes: [f64; 2]| slopes[0].abs() * half[0] + slopes[1].abs() * half[1];
        let mut floor = value - fall(slopes) - 0.5 * bend;
        for limit in &self.limits {
            let limit_bend = limit.bend * (half[0] + half[1]).powi(2);
            for axis in [0, 1] {
                let times = -slopes[axis] / limit.slopes[axis];
                if times > 0.0 && times.is_finite() {
                    let left = [0, 1].map(|i| slopes[i] + times * limit.slopes[i]);
                    let with = value + times * limit.value - fall(left);
                    floor = floor.max(with - 0.5 * (bend + times * limit_bend));
                }
            }
        }
        Slide {
            value,
            floor,
            slopes,
        }
    }
}
