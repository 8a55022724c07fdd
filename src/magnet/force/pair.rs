//! Two magnets that do not overlap, and what one does to the other: what all solvers take and give.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Vector3};

use crate::error::{Error, Result};
use crate::magnet::Magnet;
use crate::magnet::shape::overlap;

pub(super) use crate::units::MU_0 as MU0;
pub(super) const FOUR_PI_MU0: f64 = 4.0 * PI * MU0;

/// What one magnet does to another: the force, and the torque about the center of the latter.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Action {
    pub(super) energy: f64,
    pub(super) force: Vector3<f64>,
    pub(super) torque: Vector3<f64>,
    pub(super) energy_error: f64,
    pub(super) force_error: f64,
    pub(super) torque_error: f64,
}

impl Action {
    /// The same in a frame turned by the rotation of `pose`, with the torque about another point, `arm` away from the
    /// center (both given in the new frame).
    pub(super) fn seen_from(mut self, pose: &Isometry3<f64>, arm: &Vector3<f64>) -> Self {
        self.force = pose.rotation * self.force;
        self.torque = pose.rotation * self.torque + arm.cross(&self.force);
        self.torque_error += arm.norm() * self.force_error;
        self
    }

    /// What the other magnet feels.
    pub(super) fn reversed(mut self) -> Self {
        self.force = -self.force;
        self.torque = -self.torque;
        self
    }
}

/// Two magnets that do not overlap, the second seen from the first, so that no digit is lost to where they stand.
pub(super) struct Pair {
    /// In its own frame.
    pub(super) source: Magnet,
    /// In its own frame, too.
    pub(super) target: Magnet,
    /// Where the target stands in the frame of the source.
    pub(super) relative: Isometry3<f64>,
    /// How far two faces that touch may be on the wrong side of each other, by rounding, m.
    pub(super) slack: f64,
}

impl Pair {
    pub(super) fn new(source: &Magnet, target: &Magnet, indices: [usize; 2]) -> Result<Self> {
        let standing = overlap::Placement::new(source, target)?;
        if standing.overlap() {
            return Err(Error::Overlap {
                first: indices[0],
                second: indices[1],
                depth: standing.depth,
            });
        }
        Ok(Self {
            source: standing.first,
            target: standing.second,
            relative: standing.relative,
            slack: standing.rounding + 2.0 * standing.depth,
        })
    }

    /// Whether to ask for the field of the target instead: that of the larger varies little over the smaller.
    pub(super) fn target_is_larger(&self) -> bool {
        self.source.radius() < 0.5 * self.target.radius()
    }

    pub(super) fn reversed(&self) -> Self {
        Self {
            source: self.target.clone(),
            target: self.source.clone(),
            relative: self.relative.inverse(),
            slack: self.slack,
        }
    }
}
