//! A stick axis to test on.

use nalgebra::{Isometry3, Vector3};
use yokewright::axis::{Arrangement, Axis, Moving, SwungLayout, SwungLayoutSpec};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::Block;
use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};

/// The hand check: cube 5 mm, 1.3 T along the tangent, arm 12 mm, sensor 2 mm outside its outer face.
pub(crate) fn layout() -> SwungLayout {
    SwungLayout::new(layout_spec()).expect("a plausible layout")
}

pub(crate) fn layout_spec() -> SwungLayoutSpec {
    let cube = cube(Vector3::new(0.0, 1300.0 * MT, 0.0));
    SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM)
}

/// A cube of 5 mm.
pub(crate) fn cube(polarization: Vector3<f64>) -> Block {
    let size = Vector3::repeat(5.0 * MM);
    Block::new(size, polarization, Isometry3::identity()).expect("a plausible magnet")
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
