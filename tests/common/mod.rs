//! A stick axis to test on.

use nalgebra::Vector3;
use yokewright::axis::{ArmLayout, ArmLayoutSpec, Axis, MagnetSide, Moving};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};

/// The hand check: cube 5 mm, 1.3 T along the tangent, arm 12 mm, sensor 2 mm outside its outer face.
pub(crate) fn layout() -> ArmLayout {
    ArmLayout::new(layout_spec()).expect("a plausible layout")
}

pub(crate) fn layout_spec() -> ArmLayoutSpec {
    ArmLayoutSpec {
        magnet_size: Vector3::repeat(5.0 * MM),
        polarization: Vector3::new(0.0, 1300.0 * MT, 0.0),
        arm: 12.0 * MM,
        gap: 2.0 * MM,
        side: MagnetSide::Outer,
        offset: Vector3::zeros(),
    }
}

/// A five-volt sensor of the continuous-time class, its active area at the face.
pub(crate) fn sensor_spec() -> LinearHallSpec {
    LinearHallSpec {
        supply: 5.0,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 25.0 * MV_PER_MT,
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.15 * MV,
        depth: 0.0,
        direction: Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

pub(crate) fn sensor() -> LinearHall {
    LinearHall::new(sensor_spec()).expect("a plausible sensor")
}

pub(crate) fn converter() -> Converter {
    Converter::new(12, 5.0, Rounding::Nearest, 0.0).expect("a plausible converter")
}

pub(crate) const THROW: [f64; 2] = [-6.0 * DEG, 6.0 * DEG];

pub(crate) fn axis() -> Axis {
    layout()
        .axis(THROW, sensor(), converter(), Moving::Magnets)
        .expect("a plausible axis")
}
