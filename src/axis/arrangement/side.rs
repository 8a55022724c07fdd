//! On which side of a magnet the sensor stands.

use nalgebra::Vector3;

use crate::error::choices;

/// On which side of the magnet the sensor stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum MagnetSide {
    /// Farther from the pivot than the magnet, looking back at the pivot.
    #[default]
    Outer,
    /// Between pivot and magnet, looking outward.
    Inner,
    /// Beside the magnet along the pivot's axis, looking down that axis.
    Axial,
}

choices!(MagnetSide, "side of the sensor", {
    Outer => "outer",
    Inner => "inner",
    Axial => "axial",
});

impl MagnetSide {
    /// The direction from the magnet to the sensor.
    pub(super) fn facing(self) -> Vector3<f64> {
        match self {
            Self::Outer => Vector3::x(),
            Self::Inner => -Vector3::x(),
            Self::Axial => Vector3::z(),
        }
    }
}
