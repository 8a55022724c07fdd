//! What cylinder and ring share: distance to a body of revolution, one point, many points.

use nalgebra::{Point3, Vector3};
use pulp::{Arch, NullaryFnOnce};

use super::check_point;
use super::cylinder_kernel::{self, Placed};
use crate::error::{Error, Result};

/// Distance from a rectangle in the half plane (rho, z), from the distances beyond its sides: positive outside.
pub(super) fn distance(beyond_rho: f64, beyond_z: f64) -> f64 {
    beyond_rho.max(0.0).hypot(beyond_z.max(0.0)) + beyond_rho.max(beyond_z).min(0.0)
}

pub(super) fn field_at(placed: &Placed, point: &Point3<f64>) -> Result<Vector3<f64>> {
    check_point(point)?;
    let b = cylinder_kernel::field(placed, point);
    // Only a rim makes the kernel return anything but numbers.
    if b.iter().all(|v| v.is_finite()) {
        Ok(b)
    } else {
        Err(Error::OnEdge {
            x: point.x,
            y: point.y,
            z: point.z,
        })
    }
}

/// Adds the flux density at each point to `values`; NaN where there is none.
pub(super) fn add_fields(placed: &Placed, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
    match Arch::new() {
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        Arch::V4(simd) => pulp::Simd::vectorize(simd, batch::<true>(placed, points, values)),
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        Arch::V3(simd) => pulp::Simd::vectorize(simd, batch::<true>(placed, points, values)),
        // NEON is part of the aarch64 baseline and has fused multiply-add.
        _ if cfg!(target_arch = "aarch64") => batch::<true>(placed, points, values).call(),
        _ => batch::<false>(placed, points, values).call(),
    }
}

fn batch<'a, const FMA: bool>(
    placed: &'a Placed,
    points: &'a [Point3<f64>],
    values: &'a mut [Vector3<f64>],
) -> Batch<'a, FMA> {
    Batch {
        placed,
        points,
        values,
    }
}

/// The batch loop as a value, so that `pulp` can compile it once for each instruction set.
struct Batch<'a, const FMA: bool> {
    placed: &'a Placed,
    points: &'a [Point3<f64>],
    values: &'a mut [Vector3<f64>],
}

impl<const FMA: bool> NullaryFnOnce for Batch<'_, FMA> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        cylinder_kernel::add_fields::<FMA>(self.placed, self.points, self.values);
    }
}
