//! Where the grip goes as the stick is moved all over its gate.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::linkage::stick::branch_and_bound::{Look, least};
use crate::linkage::stick::gate::Gate;
use crate::linkage::stick::gate::Region;
use crate::linkage::stick::gimbal::Gimbal;
use crate::units::{DEG, MM, UM};

/// Finest and coarsest step, rad: half a degree makes a picture, and a hundredth a table of some megabytes.
const STEP_RANGE: [f64; 2] = [0.01 * DEG, 45.0 * DEG];
/// To what extents may be asked for, m.
const TOLERANCE_RANGE: [f64; 2] = [0.1 * UM, 10.0 * MM];

/// Where the grip goes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Envelope {
    /// Outer and inner angle around the edge of the gate, rad.
    pub edge: Vec<[f64; 2]>,
    /// Where the grip point is there, m.
    pub edge_grips: Vec<Point3<f64>>,
    /// Outer and inner angle in the gate, rad: whole steps from zero.
    pub inside: Vec<[f64; 2]>,
    /// Where the grip point is there, m.
    pub inside_grips: Vec<Point3<f64>>,
    /// Least x, y and z of the grip point.
    pub lowest: [EnvelopeExtreme; 3],
    /// Greatest x, y and z of the grip point.
    pub highest: [EnvelopeExtreme; 3],
}

/// How far the grip point goes along one axis of the rig.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct EnvelopeExtreme {
    /// Coordinate, m.
    pub coordinate: f64,
    /// Outer and inner angle at which it is reached, rad.
    pub angles: [f64; 2],
}

impl Gimbal {
    /// Where the grip point goes as the stick is moved all over a gate: samples `step` (rad) apart, and the extreme
    /// coordinates, none of which is exceeded by more than `tolerance` (m).
    ///
    /// The extremes do not come from the samples but from a branch-and-bound search, whose bounds (slope, and the
    /// greatest curvature that the distances from the axes allow) leave nothing out.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the step is
    /// not within 0.01 to 45 degrees or the tolerance not within 0.1 micrometre to 10 mm, or if the gate is round and
    /// the gimbal cannot tilt that far in every direction.
    pub fn envelope(&self, gate: &Gate, step: f64, tolerance: f64) -> Result<Envelope> {
        let [min, max] = STEP_RANGE;
        within("step of the envelope", step, min, max, "rad")?;
        let [min, max] = TOLERANCE_RANGE;
        within("tolerance of the extents", tolerance, min, max, "m")?;
        let region = self.region(gate)?;
        let edge = region.edge(step);
        let steps = region.bounds.map(|[low, high]| {
            let (first, last) = ((low / step).ceil(), (high / step).floor());
            first as i64..=last as i64
        });
        let mut inside = Vec::new();
        for i in steps[0].clone() {
            for j in steps[1].clone() {
                let angles = [i as f64 * step, j as f64 * step];
                if region.contains(angles) {
                    inside.push(angles);
                }
            }
        }
        let extreme = |along: Vector3<f64>| {
            let found = least(
                "extent of the envelope",
                &region,
                tolerance,
                |center, half| self.look_along(&along, &region, center, half),
            )?;
            Ok(EnvelopeExtreme {
                coordinate: along.sum() * found.value,
                angles: found.angles,
            })
        };
        let [x, y, z] = [Vector3::x(), Vector3::y(), Vector3::z()];
        Ok(Envelope {
            lowest: [extreme(x)?, extreme(y)?, extreme(z)?],
            highest: [extreme(-x)?, extreme(-y)?, extreme(-z)?],
            edge_grips: edge.iter().map(|&angles| self.grip_point(angles)).collect(),
            inside_grips: inside
                .iter()
                .map(|&angles| self.grip_point(angles))
                .collect(),
            edge,
            inside,
        })
    }

    fn grip_point(&self, angles: [f64; 2]) -> Point3<f64> {
        self.turned(angles).both * self.grip()
    }

    /// The grip's coordinate along a direction in a cell: by its slope, less what the curvature may take.
    ///
    /// In a cell that the edge of the gate cuts the coordinate may fall on outside the gate, where it does not count.
    /// With a limit g, nowhere positive in the gate, it is no less than itself plus any positive multiple of g; the
    /// multiple that takes one of the slopes away leaves the best bound. Without this a coordinate that is the same all
    /// along the edge would need cells as small as the tolerance all along it.
    fn look_along(
        &self,
        along: &Vector3<f64>,
        region: &Region<'_>,
        center: [f64; 2],
        half: [f64; 2],
    ) -> Look {
        let (outer, inner) = (self.spec.outer, self.spec.inner);
        let turned = self.turned(center);
        let grip = turned.both * self.grip();
        let value = along.dot(&grip.coords);
        let inner_point = turned.outer * inner.point();
        let inner_direction = turned.outer * inner.direction();
        let slopes = [
            along.dot(&outer.direction().cross(&(grip - outer.point()))),
            along.dot(&inner_direction.cross(&(grip - inner_point))),
        ];
        let inner_radius = inner.radius(&self.grip());
        // As the inner angle changes, the grip may get this far from the outer axis.
        let outer_radius = outer.radius(&grip) + inner_radius * half[1];
        let bend =
            outer_radius * half[0].powi(2) + inner_radius * (2.0 * half[0] + half[1]) * half[1];
        let fall = |slopes: [f64; 2]| slopes[0].abs() * half[0] + slopes[1].abs() * half[1];
        let mut floor = value - fall(slopes) - 0.5 * bend;
        for limit in region.limits(center, half) {
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
        let lowest = [0, 1].map(|i| center[i] - half[i].copysign(slopes[i]));
        Look {
            value,
            floor,
            lowest: Some(lowest),
        }
    }
}
