//! What more than one file of the property tests draws its cases from.

use std::f64::consts::PI;
use std::ops::RangeInclusive;

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::linkage::Obstacle;

pub(crate) fn decades(range: RangeInclusive<f64>) -> impl Strategy<Value = f64> {
    range.prop_map(|exponent| 10_f64.powf(exponent))
}

/// Any direction, and often along an axis or in a plane of the block, which other code serves.
pub(crate) fn polarizations() -> impl Strategy<Value = Vector3<f64>> {
    let part = prop_oneof![1 => Just(0.0), 2 => -1.4..=1.4_f64];
    prop::array::uniform3(part).prop_map(Vector3::from)
}

pub(crate) fn signs() -> impl Strategy<Value = f64> {
    prop::sample::select(vec![-1.0, 1.0])
}

pub(crate) fn rotations() -> impl Strategy<Value = UnitQuaternion<f64>> {
    prop::array::uniform3(-PI..=PI).prop_map(|turn| UnitQuaternion::from_scaled_axis(turn.into()))
}

/// Poses within ten sides of a block 1 m long.
pub(crate) fn poses() -> impl Strategy<Value = Isometry3<f64>> {
    let position = prop::array::uniform3(-10.0..=10.0_f64);
    (position, rotations()).prop_map(|(position, rotation)| {
        Isometry3::from_parts(Translation3::from(position), rotation)
    })
}

/// Numbers of any kind and size, and those that are none.
pub(crate) fn anything() -> impl Strategy<Value = f64> {
    let special = [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e300,
        1e6,
        f64::MIN_POSITIVE,
        5e-324,
        0.0,
        -0.0,
    ];
    prop_oneof![
        any::<f64>(),
        -2.0..2.0_f64,
        prop::sample::select(special.to_vec())
    ]
}

pub(crate) fn points() -> impl Strategy<Value = Point3<f64>> {
    prop::array::uniform3(-1.0..1.0_f64).prop_map(Point3::from)
}

pub(crate) fn obstacles() -> impl Strategy<Value = Obstacle> {
    let pose = || {
        (points(), rotations()).prop_map(|(point, turn)| Isometry3::from_parts(point.into(), turn))
    };
    prop_oneof![
        (prop::array::uniform3(0.01..0.5_f64), pose())
            .prop_map(|(size, pose)| { Obstacle::block(Vector3::from(size), pose).unwrap() }),
        (0.01..0.5_f64, 0.01..0.5_f64, pose()).prop_map(|(diameter, length, pose)| {
            Obstacle::cylinder(diameter, length, pose).unwrap()
        }),
        (points(), points(), 0.01..0.3_f64)
            .prop_map(|(from, to, radius)| Obstacle::capsule(from, to, radius).unwrap()),
    ]
}
