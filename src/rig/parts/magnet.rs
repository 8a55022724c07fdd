//! Magnets and the steel plates behind them.

use nalgebra::{Isometry3, Vector3};

use crate::axis::BackPlate;
use crate::magnet::material::Grade;
use crate::magnet::{Block, Cylinder, Magnet, Ring, Sphere};
use crate::numeric::direction::unit;
use crate::pose;
use crate::rig::design_error::DesignError;
use crate::rig::document::Section;
use crate::rig::keys::MagnetShapeKind;
use crate::rig::reading::{Reading, kind_of};

/// Temperature at which remanences are given as a rule, degC.
const ROOM: f64 = 20.0;

/// A magnet as it is oriented, at the origin, and how it changes with temperature.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rig) struct MagnetPart {
    pub(in crate::rig) magnet: Magnet,
    /// Of the remanence, 1/K.
    pub(in crate::rig) drift: f64,
    /// At which the polarization is given, degC.
    pub(in crate::rig) reference_celsius: f64,
    /// What it is made of, if the file says so.
    pub(in crate::rig) grade: Option<Grade>,
}

pub(super) fn read(section: &Section<'_>) -> Result<MagnetPart, DesignError> {
    let shape = kind_of(section, "shape", MagnetShapeKind::Block)?;
    let section = section.of_kind(shape);
    let mut reading = Reading::new(&section);
    reading.excludes("polarization_mT", "grade");
    reading.excludes("direction", "polarization_mT");
    let given = reading.maybe_vector("polarization_mT");
    let grade = reading.maybe_text("grade");
    let grade = grade.and_then(|name| reading.check("grade", Grade::named(&name)));
    let direction = reading.maybe_vector("direction");
    if reading.has("grade") && !reading.has("polarization_mT") {
        reading.needs("direction");
    }
    let direction = direction.and_then(|direction| {
        reading.check(
            "direction",
            unit("direction of the polarization", &direction),
        )
    });
    let of_grade = |grade: &Grade| {
        let remanence = grade.remanence().nominal();
        direction.map(|direction| remanence * direction)
    };
    let polarization = given.or_else(|| grade.as_ref().and_then(of_grade));
    let share = reading.number_or("remanence_percent", 1.0);
    let drift = reading.maybe("remanence_drift_percent_per_K");
    let of_grade = grade
        .as_ref()
        .map(|grade| grade.spec().remanence_coefficient);
    let reference = reading.number_or("reference_degC", ROOM);

    let [diameter, bore, length] =
        ["diameter_mm", "bore_mm", "length_mm"].map(|name| match (shape, name) {
            (MagnetShapeKind::Block, _)
            | (MagnetShapeKind::Cylinder, "bore_mm")
            | (MagnetShapeKind::Sphere, "bore_mm" | "length_mm") => 0.0,
            _ => reading.number(name),
        });
    let size = match shape {
        MagnetShapeKind::Block => reading.vector("size_mm"),
        _ => Vector3::zeros(),
    };
    let pose = match shape {
        MagnetShapeKind::Cylinder | MagnetShapeKind::Ring => {
            let axis = reading.maybe_vector("axis");
            axis.and_then(|axis| reading.check("axis", along(axis)))
        }
        _ => None,
    };
    reading.done()?;

    let pose = pose.unwrap_or_else(Isometry3::identity);
    // Given as it stands, and kept by the magnet in its own frame.
    let polarization = polarization.unwrap_or_else(Vector3::zeros);
    let polarization = if share == 1.0 {
        polarization
    } else {
        share * polarization
    };
    let j = if pose == Isometry3::identity() {
        polarization
    } else {
        pose.rotation.inverse_transform_vector(&polarization)
    };
    let magnet = match shape {
        MagnetShapeKind::Block => Block::new(size, j, pose).map(Magnet::from),
        MagnetShapeKind::Cylinder => Cylinder::new(diameter, length, j, pose).map(Magnet::from),
        MagnetShapeKind::Ring => Ring::new(diameter, bore, length, j, pose).map(Magnet::from),
        MagnetShapeKind::Sphere => Sphere::new(diameter, j, pose).map(Magnet::from),
    };
    Ok(MagnetPart {
        magnet: magnet.map_err(|error| section.refused(error))?,
        drift: drift.or(of_grade).unwrap_or(0.0),
        reference_celsius: reference,
        grade,
    })
}

/// The pose that turns the axis of a round body, z, into a direction; which way round makes no difference to the body.
fn along(axis: Vector3<f64>) -> crate::Result<Isometry3<f64>> {
    let axis = unit("axis of the magnet", &axis)?;
    let upward = if axis.z < 0.0 { -axis } else { axis };
    if upward == Vector3::z() {
        return Ok(Isometry3::identity());
    }
    pose::from_directions(Vector3::zeros(), Vector3::z(), upward)
}

pub(super) fn read_plate(section: &Section<'_>) -> Result<BackPlate, DesignError> {
    let mut reading = Reading::new(section);
    let plate = BackPlate {
        distance: reading.number("distance_mm"),
        holder: reading.maybe_word("holder").unwrap_or_default(),
    };
    reading.done().map(|()| plate)
}
