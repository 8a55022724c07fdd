//! The field of a block and its gradient.

mod field;
mod gradient;

pub(in crate::magnet) use field::Placed;
/// For builds side by side, each lane a block of its own.
pub(crate) use field::local_field;

use nalgebra::{Matrix3, Point3, Vector3};

use crate::magnet::kernel::Kernel;

impl Kernel for Placed {
    fn field<const MATERIAL: bool>(&self, point: &Point3<f64>) -> Vector3<f64> {
        field::field::<MATERIAL>(self, point)
    }

    fn gradient(&self, point: &Point3<f64>) -> Matrix3<f64> {
        gradient::gradient(self, point)
    }

    fn is_inside(&self, point: &Point3<f64>) -> bool {
        field::is_inside(self, point)
    }

    #[inline(always)]
    fn add_fields<const FMA: bool, const MATERIAL: bool>(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    ) {
        field::add_fields::<FMA, MATERIAL>(self, points, values);
    }

    #[inline(always)]
    fn add_gradients<const FMA: bool>(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
        gradient::add_gradients::<FMA>(self, points, values);
    }
}
