//! What cylinder and ring share: distance to a body of revolution, one point, many points.

use crate::error::Result;
use crate::magnet::kernel::cylinder::{self, Placed};
use crate::magnet::{check_point, defined};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::units::MU_0;
use nalgebra::{Matrix3, Point3, Vector3};

/// Distance from a rectangle in the half plane (rho, z), from the distances beyond its sides: positive outside.
pub(in crate::magnet) fn distance(beyond_rho: f64, beyond_z: f64) -> f64 {
    beyond_rho.max(0.0).hypot(beyond_z.max(0.0)) + beyond_rho.max(beyond_z).min(0.0)
}

pub(in crate::magnet) fn field_at(placed: &Placed, point: &Point3<f64>) -> Result<Vector3<f64>> {
    check_point(point)?;
    // Only a rim makes the kernel return anything but numbers.
    defined(cylinder::field(placed, point), point)
}

pub(in crate::magnet) fn gradient_at(placed: &Placed, point: &Point3<f64>) -> Result<Matrix3<f64>> {
    check_point(point)?;
    // Only a rim makes the kernel return anything but numbers.
    defined(cylinder::gradient(placed, point), point)
}

pub(in crate::magnet) fn h_at(placed: &Placed, point: &Point3<f64>) -> Result<Vector3<f64>> {
    check_point(point)?;
    let strength = defined(cylinder::strength(placed, point), point)?;
    Ok(strength / MU_0)
}

/// Adds the flux density at each point to `values`; NaN where there is none.
pub(in crate::magnet) fn add_fields(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    dispatch(AddFields {
        placed,
        points,
        values,
    });
}

/// Adds the gradient at each point to `values`; NaN where there is none.
pub(in crate::magnet) fn add_gradients(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    for (point, value) in points.iter().zip(values) {
        *value += cylinder::gradient(placed, point);
    }
}

struct AddFields<'a> {
    placed: &'a Placed,
    points: &'a [Point3<f64>],
    values: &'a mut [Vector3<f64>],
}

impl Loop for AddFields<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        cylinder::add_fields::<FMA>(self.placed, self.points, self.values);
    }
}
