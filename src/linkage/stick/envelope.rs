//! Where the grip goes as the stick is moved all over its gate.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::linkage::stick::branch_and_bound::{Look, Plain, least};
use crate::linkage::stick::cell::Around;
use crate::linkage::stick::gate::Gate;
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
            let look = Plain(|center: [f64; 2], half: [f64; 2]| {
                let around = Around::new(self, &region, center, half);
                let slide = around.slide(&along, &self.grip());
                let lowest = [0, 1].map(|i| center[i] - half[i].copysign(slide.slopes[i]));
                Look {
                    value: slide.value,
                    floor: slide.floor,
                    lowest: Some(lowest),
                }
            });
            let found = least("extent of the envelope", &region, tolerance, &look)?;
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
}
