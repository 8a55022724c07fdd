//! What every shape has in common.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::Result;
use crate::magnet::kernel::Kernel;

/// What a shape writes; all that can be asked of it as a source of field follows, once for all shapes.
pub(super) trait Shape: Sized {
    /// Its arithmetic.
    type Kernel: Kernel;

    /// The shape where it stands.
    fn kernel(&self) -> &Self::Kernel;

    /// Polarization in its own frame, T.
    fn polarization(&self) -> Vector3<f64>;

    /// Where it stands.
    fn pose(&self) -> Isometry3<f64>;

    /// The same shape with another polarization at another place.
    ///
    /// # Errors
    /// As the constructor, for the two.
    fn remade(&self, polarization: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self>;

    /// How far a point of the frame in which it stands lies outside its surface, m.
    fn beyond(&self, point: &Point3<f64>) -> f64;
}
