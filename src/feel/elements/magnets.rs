//! Magnets on two bodies that attract or repel each other.

use nalgebra::Point3;
use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::feel::body::{Body, Scene};
use crate::magnet::{FieldSource, MagnetGroup, interaction_energy, pull};

/// Step of the differences that give the stiffness of magnets, rad: their torque is known to 1e-9, so the stiffness to
/// about 1e-5 of torque per rad; the error of the second-order difference is (step / width of the detent)^2, less than
/// that.
pub(super) const MAGNET_STEP: f64 = 1e-4;

/// Magnets on one body and magnets on another: a detent without contact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MagnetPair {
    first: Body,
    by: MagnetGroup,
    second: Body,
    on: MagnetGroup,
}

impl MagnetPair {
    /// Magnets `by` on the body `first` and `on` on the body `second`, all placed as they stand when every angle is
    /// zero.
    #[must_use]
    pub fn new(first: Body, by: MagnetGroup, second: Body, on: MagnetGroup) -> Self {
        Self {
            first,
            by,
            second,
            on,
        }
    }

    /// The two bodies.
    #[must_use]
    pub fn bodies(&self) -> [Body; 2] {
        [self.first, self.second]
    }

    /// Magnets on the first and on the second body.
    #[must_use]
    pub fn magnets(&self) -> [&MagnetGroup; 2] {
        [&self.by, &self.on]
    }

    /// First derivatives of the energy by the angles.
    pub(super) fn slope<const N: usize>(&self, scene: &Scene<N>) -> Result<[f64; N]> {
        let (first, second) = (scene.of(self.first), scene.of(self.second));
        let by = self.by.moved(&first.isometry())?;
        let on = self.on.moved(&second.isometry())?;
        let action = pull(&by, &on, Point3::origin())?;
        let mut slope = [0.0; N];
        for (axis, slope) in slope.iter_mut().enumerate() {
            // What the force and the torque about the origin do when the two bodies move; each feels the opposite of
            // the other.
            let spin = second.spin[axis] - first.spin[axis];
            let slide = second.slide[axis] - first.slide[axis];
            *slope = -(spin.dot(&action.torque) + slide.dot(&action.force));
        }
        Ok(slope)
    }

    pub(super) fn energy<const N: usize>(&self, scene: &Scene<N>) -> Result<f64> {
        let by = self.by.moved(&scene.of(self.first).isometry())?;
        let on = self.on.moved(&scene.of(self.second).isometry())?;
        interaction_energy(&by, &on)
    }
}
