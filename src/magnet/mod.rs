//! Permanent magnets: the flux density anywhere around and inside them.
//!
//! One file a shape; [`MagnetGroup`] adds shapes up. All are uniformly polarized, a good model of sintered magnets
//! whose recoil permeability is close to 1 (Furlani, *Permanent Magnet and Electromechanical Devices*, 2001, ch. 3
//! and 4).

mod any_source;
mod area;
mod force;
mod group;
mod kernel;
pub mod material;
mod plate;
mod shape;
mod source;
mod values;

pub use any_source::AnySource;
pub use area::{ActiveArea, AreaMean, AreaOutline};
pub use force::{PULL_TOLERANCE, Pull, contact_force, interaction_energy, pull, pull_within};
pub use group::MagnetGroup;
pub(crate) use kernel::block::local_field as block_field;
pub use plate::{MagnetsOverPlate, SteelPlate};
pub(crate) use shape::overlap::separation;
pub use shape::{Block, Cylinder, Magnet, Ring, Sphere};
pub use source::{FieldSource, MovedSource};
pub use values::{FieldColumns, Fields, Gradients};

use nalgebra::{Isometry3, Point3, SMatrix, Vector3};

use crate::error::{Error, Result, parts_within, within};

/// The farthest coordinate of a point or magnet, m: a million times the largest magnet.
const MAX_COORDINATE: f64 = 1e6;
/// Polarization that no permanent magnet exceeds, T (the best sintered grades stay below 1.5 T).
const MAX_POLARIZATION: f64 = 2.5;
/// How far two bodies that touch may seem to reach into each other, as a share of their size: less than the size of an
/// atom.
const TOUCHING: f64 = 1e-9;

fn check_point(point: &Point3<f64>) -> Result<()> {
    parts_within(
        ["point x", "point y", "point z"],
        point.iter(),
        -MAX_COORDINATE,
        MAX_COORDINATE,
        "m",
    )?;
    Ok(())
}

fn check_polarization(polarization: &Vector3<f64>) -> Result<()> {
    let max = MAX_POLARIZATION;
    let names = ["polarization x", "polarization y", "polarization z"];
    parts_within(names, polarization.iter(), -max, max, "T")?;
    within("polarization", polarization.norm(), 0.0, max, "T")?;
    Ok(())
}

/// What a kernel returned, or the error if it has no value at this point.
fn defined<const C: usize>(
    value: SMatrix<f64, 3, C>,
    point: &Point3<f64>,
) -> Result<SMatrix<f64, 3, C>> {
    if value.iter().all(|part| part.is_finite()) {
        Ok(value)
    } else {
        Err(Error::OnEdge {
            x: point.x,
            y: point.y,
            z: point.z,
        })
    }
}

fn check_pose(pose: &Isometry3<f64>) -> Result<()> {
    let names = ["position x", "position y", "position z"];
    parts_within(
        names,
        pose.translation.vector.iter(),
        -MAX_COORDINATE,
        MAX_COORDINATE,
        "m",
    )?;
    // A unit quaternion that has lost its length (by hand, or by a long chain of products) would scale the field.
    let norm = pose.rotation.quaternion().norm();
    within(
        "norm of the rotation",
        norm,
        1.0 - 1e-12,
        1.0 + 1e-12,
        "(no unit)",
    )?;
    Ok(())
}
