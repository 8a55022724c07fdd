//! How magnets and sensor are mounted, in every arrangement alike: out of place, askew, before a plate, in a package.

use nalgebra::{Isometry3, Point3, Translation3, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::measure::{Measure, Slot};
use crate::axis::{Moving, PlateMount};
use crate::error::{Result, choices, within};
use crate::magnet::Block;

/// The smallest and the largest side of a sensor's package, m.
const PACKAGE_SIDE: [f64; 2] = [1e-4, 0.05];

/// How the parts of an arrangement are mounted, besides the measures that are its own. The default: everything in its
/// place, no plate, nothing known of the package but its face.
///
/// Vectors are (radial, tangential, axial). A tilt is a rotation vector: its direction is the axis, its length the
/// angle; of small tilts each part is the turn about that direction.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mounting {
    /// How far the sensor stands out of its place, m.
    pub offset: Vector3<f64>,
    /// How the magnets are turned out of their place, rad: one about its center, two together about the middle between
    /// them.
    pub magnet_tilt: Vector3<f64>,
    /// How the sensor's package is turned out of its place about the center of its face, rad.
    pub sensor_tilt: Vector3<f64>,
    /// A steel plate behind the magnets.
    pub plate: Option<BackPlate>,
    /// The size of the sensor's package; with it the whole package must keep clear, without it the center of its face
    /// and what reads.
    pub package: Option<SensorPackage>,
}

impl Default for Mounting {
    fn default() -> Self {
        Self {
            offset: Vector3::zeros(),
            magnet_tilt: Vector3::zeros(),
            sensor_tilt: Vector3::zeros(),
            plate: None,
            package: None,
        }
    }
}

impl Mounting {
    /// The measures of the mounting.
    pub(super) fn slots(&mut self) -> Vec<Slot<'_>> {
        let [ox, oy, oz] = self.offset.data.0[0].each_mut();
        let [mx, my, mz] = self.magnet_tilt.data.0[0].each_mut();
        let [sx, sy, sz] = self.sensor_tilt.data.0[0].each_mut();
        let numbers = [
            (Measure::RadialOffset, ox),
            (Measure::TangentialOffset, oy),
            (Measure::AxialOffset, oz),
            (Measure::MagnetTiltAboutRadial, mx),
            (Measure::MagnetTiltAboutTangential, my),
            (Measure::MagnetTiltAboutAxial, mz),
            (Measure::SensorTiltAboutRadial, sx),
            (Measure::SensorTiltAboutTangential, sy),
            (Measure::SensorTiltAboutAxial, sz),
        ];
        let plate = self.plate.as_mut();
        let plate = plate.map(|plate| (Measure::PlateDistance, &mut plate.distance));
        let numbers = numbers.into_iter().chain(plate);
        numbers.map(|(m, value)| Slot::Number(m, value)).collect()
    }

    /// Refuses a package of no plausible size; the measures are checked as such.
    pub(super) fn check(&self) -> Result<()> {
        if let Some(package) = &self.package {
            package.check()?;
        }
        Ok(())
    }
}

/// What a steel plate behind magnets is fixed to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum PlateHolder {
    /// To what carries the magnets: it goes where they go, and is tilted with them.
    #[default]
    Magnets,
    /// To what carries the sensor: the magnets move past both.
    Sensor,
}

choices!(PlateHolder, "holder of the plate", {
    Magnets => "magnets",
    Sensor => "sensor",
});

/// A thick steel plate behind the magnets, on the side away from the sensor, at right angles to the line between them.
///
/// See [`SteelPlate`](crate::magnet::SteelPlate) for what the method of images leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BackPlate {
    /// Back of the magnets to the face of the plate, m; 0 where they lie on it.
    pub distance: f64,
    /// What it is fixed to.
    pub holder: PlateHolder,
}

impl BackPlate {
    /// The same in the words of an axis.
    pub(super) fn mount(&self, moving: Moving) -> PlateMount {
        match (self.holder, moving) {
            (PlateHolder::Magnets, Moving::Magnets) | (PlateHolder::Sensor, Moving::Sensor) => {
                PlateMount::Moving
            }
            _ => PlateMount::Frame,
        }
    }
}

/// The body of a sensor: a box behind the center of its face.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SensorPackage {
    /// Along the package's x, m, 0.1 to 50 mm.
    pub width: f64,
    /// Along the package's y, m, 0.1 to 50 mm.
    pub height: f64,
    /// Face to back, m, 0.1 to 50 mm.
    pub thickness: f64,
}

impl SensorPackage {
    fn check(&self) -> Result<()> {
        let [min, max] = PACKAGE_SIDE;
        within("width of the package", self.width, min, max, "m")?;
        within("height of the package", self.height, min, max, "m")?;
        within("thickness of the package", self.thickness, min, max, "m")?;
        Ok(())
    }

    /// The package as a body without polarization, for the check that keeps magnets out of one another.
    pub(super) fn body(&self, pose: &Isometry3<f64>) -> Result<Block> {
        let middle = Translation3::new(0.0, 0.0, -0.5 * self.thickness);
        let size = Vector3::new(self.width, self.height, self.thickness);
        Block::new(size, Vector3::zeros(), pose * middle)
    }

    /// Its corners, in its own frame.
    pub(super) fn corners(&self) -> impl Iterator<Item = Point3<f64>> {
        let (x, y) = (0.5 * self.width, 0.5 * self.height);
        let across = [[-x, -y], [-x, y], [x, -y], [x, y]];
        let depths = [0.0, -self.thickness];
        depths
            .into_iter()
            .flat_map(move |z| across.map(|[x, y]| Point3::new(x, y, z)))
    }
}
