//! Permanent magnets: the flux density anywhere around and inside them.
//!
//! One file a shape; [`MagnetGroup`] adds shapes up. All are uniformly polarized, a good model of sintered magnets whose
//! recoil permeability is close to 1 (Furlani, *Permanent Magnet and Electromechanical Devices*, 2001, ch. 3 and 4).

mod block;
mod block_kernel;
mod cylinder;
mod cylinder_kernel;
mod cylinder_kernel_exact;
mod group;
mod ring;
mod round;

pub use block::Block;
pub use cylinder::Cylinder;
pub use group::{Magnet, MagnetGroup};
pub use ring::Ring;

use nalgebra::{Isometry3, Point3, Vector3};

use crate::error::{Result, within};

/// The farthest coordinate of a point or magnet, m: a million times the largest magnet.
const MAX_COORDINATE: f64 = 1e6;
/// Polarization that no permanent magnet exceeds, T (the best sintered grades stay below 1.5 T).
const MAX_POLARIZATION: f64 = 2.5;

/// Flux densities at many points, same length and order as the points.
#[derive(Debug, Clone, PartialEq)]
pub struct Fields {
    /// Flux density B, T; NaN in the rows that have none.
    pub values: Vec<Vector3<f64>>,
    /// Whether the row has a value: `false` on an edge of a magnet, for a point that is not finite or
    /// that lies more than 1e6 m out.
    pub valid: Vec<bool>,
}

impl Fields {
    /// Adds up what `add` writes for each magnet and marks the rows without a value.
    ///
    /// In stretches that stay in the second-level cache, so that marking costs no second pass through memory.
    fn collect(points: &[Point3<f64>], add: impl Fn(&[Point3<f64>], &mut [Vector3<f64>])) -> Self {
        const STRETCH: usize = 4096;
        let mut values = vec![Vector3::zeros(); points.len()];
        let mut valid = Vec::with_capacity(points.len());
        for (points, values) in points.chunks(STRETCH).zip(values.chunks_mut(STRETCH)) {
            add(points, values);
            valid.extend(points.iter().zip(values).map(|(point, value)| {
                // Only an edge or a point that is no point makes the sum of the components not finite.
                let reach = point.x.abs().max(point.y.abs()).max(point.z.abs());
                let ok = reach <= MAX_COORDINATE && (value.x + value.y + value.z).is_finite();
                if !ok {
                    *value = Vector3::repeat(f64::NAN);
                }
                ok
            }));
        }
        Self { values, valid }
    }
}

fn check_point(point: &Point3<f64>) -> Result<()> {
    for (name, value) in ["point x", "point y", "point z"]
        .into_iter()
        .zip(point.iter())
    {
        within(name, *value, -MAX_COORDINATE, MAX_COORDINATE, "m")?;
    }
    Ok(())
}

fn check_polarization(polarization: &Vector3<f64>) -> Result<()> {
    let max = MAX_POLARIZATION;
    let names = ["polarization x", "polarization y", "polarization z"];
    for (name, value) in names.into_iter().zip(polarization.iter()) {
        within(name, *value, -max, max, "T")?;
    }
    within("polarization", polarization.norm(), 0.0, max, "T")?;
    Ok(())
}

fn check_pose(pose: &Isometry3<f64>) -> Result<()> {
    let names = ["position x", "position y", "position z"];
    for (name, value) in names.into_iter().zip(pose.translation.vector.iter()) {
        within(name, *value, -MAX_COORDINATE, MAX_COORDINATE, "m")?;
    }
    // A unit quaternion that has lost its length (by hand, or by a long chain of products) would scale the field.
    let norm = pose.rotation.quaternion().norm();
    within(
        "norm of the rotation",
        norm,
        1.0 - 1e-9,
        1.0 + 1e-9,
        "(no unit)",
    )?;
    Ok(())
}
