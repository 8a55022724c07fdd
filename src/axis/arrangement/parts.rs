//! The parts of an arrangement where they stand when the control is centered.

use nalgebra::{
    Isometry3, Matrix3, Point3, Rotation3, Translation3, Unit, UnitQuaternion, Vector3,
};

use crate::axis::arrangement::mounting::{Mounting, PlateHolder, SensorPackage};
use crate::axis::clearance::magnet_name;
use crate::error::{Error, Result, within};
use crate::magnet::{AnySource, Magnet, MagnetGroup, SteelPlate, separation};
use crate::units::DEG;

/// Overlap below which two parts count as touching, m: far above rounding, far below anything printed.
const TOUCHING: f64 = 1e-9;

/// What an arrangement says of its places; the mounting says the rest.
pub(super) struct Standing {
    /// The magnets without tilt.
    pub(super) magnets: Vec<Magnet>,
    /// What they are tilted about.
    pub(super) center: Point3<f64>,
    /// A point that the sensor faces, offset apart.
    pub(super) faced: Point3<f64>,
    /// From the magnets to the sensor; a unit vector.
    pub(super) facing: Vector3<f64>,
    /// The x axis of the package; a unit vector at right angles to it.
    pub(super) across: Vector3<f64>,
    /// Nearest face of the magnets to the face of the package, m.
    pub(super) gap: f64,
}

/// The parts of an arrangement where they stand when the control is centered.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrangedParts {
    magnets: MagnetGroup,
    plate: Option<SteelPlate>,
    source: AnySource,
    sensor_pose: Isometry3<f64>,
    facing: Unit<Vector3<f64>>,
    package: Option<SensorPackage>,
    /// Whether the plate goes where the magnets go.
    plate_with_magnets: bool,
}

impl ArrangedParts {
    /// The magnets, without a plate that they may stand before.
    #[must_use]
    pub fn magnets(&self) -> &MagnetGroup {
        &self.magnets
    }

    /// The plate behind them.
    #[must_use]
    pub fn plate(&self) -> Option<&SteelPlate> {
        self.plate.as_ref()
    }

    /// The magnets with their plate: what the sensor reads.
    #[must_use]
    pub fn source(&self) -> &AnySource {
        &self.source
    }

    /// The sensor's package: origin at the center of its face, +z out of the face.
    #[must_use]
    pub fn sensor_pose(&self) -> Isometry3<f64> {
        self.sensor_pose
    }

    /// The direction from the magnets to the sensor, along which the gap is measured.
    #[must_use]
    pub fn facing(&self) -> Unit<Vector3<f64>> {
        self.facing
    }

    pub(super) fn new(standing: Standing, mounting: &Mounting) -> Result<Self> {
        mounting.check()?;
        let Standing {
            magnets: upright,
            center,
            faced,
            facing,
            across,
            gap,
        } = standing;
        let tilt = UnitQuaternion::from_scaled_axis(mounting.magnet_tilt);
        let tilted_at = |at: Vector3<f64>| tilt * (at - center.coords) + center.coords;
        let tilted = upright.iter().map(|magnet| {
            let pose = magnet.pose();
            magnet.placed(Isometry3::from_parts(
                Translation3::from(tilted_at(pose.translation.vector)),
                tilt * pose.rotation,
            ))
        });
        let magnets: Vec<Magnet> = tilted.collect::<Result<_>>()?;

        let front = farthest(&magnets, &facing);
        let aside = faced.coords - faced.coords.dot(&facing) * facing;
        let place = aside + (front + gap) * facing;
        let columns = Matrix3::from_columns(&[across, across.cross(&facing), -facing]);
        let rotation = Rotation3::from_matrix_unchecked(columns);
        let sensor_pose = Isometry3::from_parts(
            Translation3::from(place + mounting.offset),
            UnitQuaternion::from_scaled_axis(mounting.sensor_tilt)
                * UnitQuaternion::from_rotation_matrix(&rotation),
        );

        let plate_with_magnets = mounting
            .plate
            .is_some_and(|plate| plate.holder == PlateHolder::Magnets);
        let plate = mounting.plate.map(|plate| {
            let behind = if plate_with_magnets {
                &upright
            } else {
                &magnets
            };
            let back = farthest(behind, &-facing) + plate.distance;
            let on_face = aside - back * facing;
            if plate_with_magnets {
                SteelPlate::new(tilted_at(on_face).into(), tilt * facing)
            } else {
                SteelPlate::new(on_face.into(), facing)
            }
        });
        let plate = plate.transpose()?;
        let magnets = MagnetGroup::new(magnets)?;
        let source = match &plate {
            Some(plate) => plate.over(&magnets)?.into(),
            None => magnets.clone().into(),
        };
        let parts = Self {
            magnets,
            plate,
            source,
            sensor_pose,
            facing: Unit::new_unchecked(facing),
            package: mounting.package,
            plate_with_magnets,
        };
        parts.check_package(&Isometry3::identity(), 0.0)?;
        Ok(parts)
    }

    /// How far the magnets reach along a direction, from the origin, m.
    pub(in crate::axis) fn reach(&self, direction: &Vector3<f64>) -> f64 {
        farthest(self.magnets.magnets(), direction)
    }

    /// Whether the package has a body.
    pub(super) fn has_package(&self) -> bool {
        self.package.is_some()
    }

    /// Refuses a package that reaches into a magnet or the plate where the sensor's side has moved as seen from the
    /// magnets, when the control stands at `angle`, rad. Tells how far it is from all of them at least, m; zero where
    /// that is not told.
    pub(super) fn check_package(&self, moved: &Isometry3<f64>, angle: f64) -> Result<f64> {
        let Some(package) = &self.package else {
            return Ok(f64::INFINITY);
        };
        let pose = moved * self.sensor_pose;
        let gap = self.gap(package, &pose)?;
        if gap > TOUCHING {
            return Ok(gap);
        }
        match self.overlap(package, &pose)? {
            Some((other, overlap)) => Err(Error::Collision {
                part: "the sensor's package",
                other,
                angle_deg: angle / DEG,
                overlap,
            }),
            None => Ok(0.0),
        }
    }

    /// How far the corners of the package are from an axis at most, m: so far it goes for a radian about that.
    pub(super) fn package_reach(&self, pivot: &Point3<f64>, direction: &Vector3<f64>) -> f64 {
        let corners = self.package.iter().flat_map(SensorPackage::corners);
        let reaches = corners.map(|corner| {
            let arm = self.sensor_pose * corner - pivot;
            direction.cross(&arm).norm() / direction.norm()
        });
        reaches.fold(0.0, f64::max)
    }

    /// How far a package is from magnets and plate at least, m; not positive where that takes a closer look.
    fn gap(&self, package: &SensorPackage, pose: &Isometry3<f64>) -> Result<f64> {
        let body = Magnet::from(package.body(pose)?);
        let mut gap = f64::INFINITY;
        for magnet in self.magnets.magnets() {
            gap = gap.min(separation(magnet, &body)?);
        }
        let heights = self.heights(package, pose)?;
        Ok(heights.into_iter().fold(gap, f64::min))
    }

    /// How high the corners of a package stand over the plate, m; none without one.
    fn heights(&self, package: &SensorPackage, pose: &Isometry3<f64>) -> Result<Vec<f64>> {
        let Some(plate) = &self.plate else {
            return Ok(Vec::new());
        };
        let pose = if self.plate_with_magnets {
            pose
        } else {
            &self.sensor_pose
        };
        let corners = package.corners();
        corners
            .map(|corner| plate.distance(&(pose * corner)))
            .collect()
    }

    /// What a package reaches into, and how deep, m.
    fn overlap(
        &self,
        package: &SensorPackage,
        pose: &Isometry3<f64>,
    ) -> Result<Option<(String, f64)>> {
        let body = MagnetGroup::from(package.body(pose)?);
        if let Err(error) = MagnetGroup::new([self.magnets.clone(), body]) {
            return match error {
                Error::GroupOverlap {
                    first,
                    second,
                    depth,
                } => {
                    let count = self.magnets.magnets().len();
                    Ok(Some((magnet_name(first.min(second), count), depth)))
                }
                other => Err(other),
            };
        }
        let heights = self.heights(package, pose)?.into_iter();
        let mut below = heights.filter(|height| *height < -TOUCHING);
        Ok(below.next().map(|height| ("the plate".to_owned(), -height)))
    }
}

/// How far the magnets reach along a direction, from the origin, m.
fn farthest(magnets: &[Magnet], direction: &Vector3<f64>) -> f64 {
    let reaches = magnets.iter().map(|magnet| {
        let pose = magnet.pose();
        let own = pose.rotation.inverse_transform_vector(direction);
        pose.translation.vector.dot(direction) + magnet.reach(&own)
    });
    reaches.fold(f64::NEG_INFINITY, f64::max)
}

/// A magnet that an arrangement places: it comes with its orientation only.
///
/// # Errors
/// If it stands anywhere but at the origin.
pub(super) fn check_magnet(magnet: &Magnet) -> Result<()> {
    let names = [
        "position x of a magnet that an arrangement places",
        "position y of a magnet that an arrangement places",
        "position z of a magnet that an arrangement places",
    ];
    for (name, part) in names.into_iter().zip(&magnet.pose().translation.vector) {
        within(name, *part, 0.0, 0.0, "m")?;
    }
    Ok(())
}

/// The magnet at a place, turned there about the axial direction by `turn`, rad.
pub(super) fn placed(magnet: &Magnet, at: Vector3<f64>, turn: f64) -> Result<Magnet> {
    let turn = UnitQuaternion::from_scaled_axis(Vector3::z() * turn);
    let rotation = turn * magnet.pose().rotation;
    magnet.placed(Isometry3::from_parts(Translation3::from(at), rotation))
}
