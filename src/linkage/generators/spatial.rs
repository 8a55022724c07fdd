//! Ball-joint rods and pedal pairs.

use std::f64::consts::{FRAC_PI_2, TAU};

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;

use crate::linkage::{Arm, BallRod, FootSide, Pedal, PedalPair, Range};
use crate::units::{DEG, MM};

/// Directions, evenly over the sphere.
pub fn directions() -> impl Strategy<Value = Vector3<f64>> + Clone {
    (-1.0..=1.0_f64, 0.0..TAU).prop_map(|(z, turn)| {
        let rho = (1.0 - z * z).sqrt();
        Vector3::new(rho * turn.cos(), rho * turn.sin(), z)
    })
}

/// Points within half a meter of the origin along each axis.
pub fn points() -> impl Strategy<Value = Point3<f64>> + Clone {
    prop::array::uniform3(-0.5..0.5_f64).prop_map(Point3::from)
}

/// Placings and turnings of a whole linkage, within half a meter.
pub fn poses() -> impl Strategy<Value = Isometry3<f64>> + Clone {
    (points(), directions(), 0.0..TAU).prop_map(|(point, axis, turn)| {
        let rotation = UnitQuaternion::from_scaled_axis(axis * turn);
        Isometry3::from_parts(Translation3::from(point.coords), rotation)
    })
}

/// Arms from 1 mm to half a meter on pivots that stand anyhow; the pivot's point lies anywhere along its axis.
pub fn arms() -> impl Strategy<Value = Arm> + Clone {
    let length = (0.0..=2.7_f64).prop_map(|decades| MM * 10.0_f64.powf(decades));
    let along = -0.5..0.5_f64;
    (points(), directions(), directions(), length, along).prop_filter_map(
        "an arm",
        |(foot, direction, other, length, along)| {
            let across = direction.cross(&other).try_normalize(1e-3)?;
            Arm::new(foot + direction * along, direction, foot + across * length).ok()
        },
    )
}

/// Ball-joint rods of every kind: axes skew, arms and rod of any proportion.
pub fn ball_rods() -> impl Strategy<Value = BallRod> + Clone {
    (arms(), arms()).prop_filter_map("not locked at neutral", |(input, output)| {
        BallRod::new(input, output).ok()
    })
}

/// Ball-joint rods with axes that are parallel, cross or coincide, square to each other or not, and joints in special
/// places.
pub fn special_ball_rods() -> impl Strategy<Value = BallRod> + Clone {
    let axis = || prop::sample::select(vec![Vector3::x(), Vector3::y(), Vector3::z()]);
    let steps = || prop::array::uniform3(-4..=4_i32);
    let place = |steps: [i32; 3]| Point3::from(steps.map(|n| f64::from(n) * 25.0 * MM));
    let arm = move || {
        (steps(), axis(), steps()).prop_filter_map("an arm", move |(pivot, direction, joint)| {
            Arm::new(place(pivot), direction, place(joint)).ok()
        })
    };
    (arm(), arm()).prop_filter_map("not locked at neutral", |(input, output)| {
        BallRod::new(input, output).ok()
    })
}

/// A ball-joint rod and an input angle on its way from neutral that is within `closeness` (rad) of a lock.
pub fn nearly_locking_ball_rods(closeness: f64) -> impl Strategy<Value = (BallRod, f64)> + Clone {
    (ball_rods(), any::<bool>(), 0.0..=1.0_f64).prop_filter_map(
        "a rod that locks",
        move |(rod, upper, share)| {
            let Range {
                lower: from,
                upper: to,
            } = rod.travel()?;
            let (end, inward) = if upper { (to, -1.0) } else { (from, 1.0) };
            Some((rod, (end + inward * closeness * share).clamp(from, to)))
        },
    )
}

/// A ball-joint rod that nearly is a parallelogram: its two assemblies come close to each other with the arms in line,
/// by a share `closeness` of its size or less.
pub fn nearly_changing_ball_rods(closeness: f64) -> impl Strategy<Value = BallRod> + Clone {
    let start = 0.2..=(FRAC_PI_2 - 0.2);
    (
        30.0..60.0_f64,
        80.0..200.0_f64,
        start,
        -1.0..=1.0_f64,
        poses(),
    )
        .prop_filter_map(
            "not locked at neutral",
            move |(arm, base, start, share, pose)| {
                let radius = Vector3::new(start.cos(), start.sin(), 0.0) * (arm * MM);
                let pivot = Point3::new(base * MM, 0.0, 0.0);
                let axis = pose * Vector3::z();
                let input =
                    Arm::new(pose * Point3::origin(), axis, pose * Point3::from(radius)).ok()?;
                let output = Arm::new(pose * pivot, axis, pose * (pivot + radius)).ok()?;
                let length = base * MM * (1.0 + closeness * share);
                BallRod::new(input, output)
                    .ok()?
                    .with_rod_length(length)
                    .ok()
            },
        )
}

/// Mirrored pedal pairs, floor-hinged and hanging, hinges canted by up to some 20 deg, some with stops; x forward, y
/// left, z up.
pub fn pedal_pairs() -> impl Strategy<Value = PedalPair> + Clone {
    let lengths = (
        80.0..180.0_f64,
        30.0..70.0_f64,
        40.0..140.0_f64,
        25.0..80.0_f64,
    );
    let places = (80.0..250.0_f64, -30.0..30.0_f64, -20.0..20.0_f64);
    let cant = (-0.4..0.4_f64, -0.4..0.4_f64);
    let stop = prop::option::of(5.0..40.0_f64);
    (lengths, places, cant, any::<bool>(), stop).prop_filter_map(
        "not locked at neutral",
        |((apart, inboard, arm, crank), (back, rise, lead), cant, hanging, stop)| {
            let up = if hanging { -1.0 } else { 1.0 };
            let hinge = Point3::new(0.0, apart * MM, if hanging { 0.3 } else { 0.0 });
            let direction = Vector3::new(cant.0, 1.0, cant.1);
            let joint = hinge + Vector3::new(lead, -inboard, up * arm) * MM;
            let pad = hinge + Vector3::z() * (up * 0.18);
            let pedal =
                Pedal::new(Arm::new(hinge, direction, joint).ok()?, pad, Vector3::x()).ok()?;
            let pedal = match stop {
                Some(stop) => pedal.with_stops(-stop * DEG, stop * DEG).ok()?,
                None => pedal,
            };
            let pivot = Point3::new(-back * MM, 0.0, joint.z + rise * MM);
            let tip = pivot + Vector3::y() * (crank * MM);
            PedalPair::mirrored(pedal, Arm::new(pivot, Vector3::z(), tip).ok()?).ok()
        },
    )
}

/// Pedal pairs whose right side is built up to 5 mm off: hinge, joint and crank.
pub fn lopsided_pedal_pairs() -> impl Strategy<Value = PedalPair> + Clone {
    let off = || prop::array::uniform3(-5.0..5.0_f64).prop_map(|off| Vector3::from(off) * MM);
    (pedal_pairs(), off(), off(), off()).prop_filter_map(
        "not locked at neutral",
        |(pair, hinge, joint, tip)| {
            let [left, right] = FootSide::ALL.map(|foot| pair.pedal(foot));
            let [left_crank, right_crank] = FootSide::ALL.map(|foot| pair.crank_arm(foot));
            let moved = |arm: Arm, pivot: Vector3<f64>, joint: Vector3<f64>| {
                Arm::new(arm.pivot() + pivot, arm.direction(), arm.joint() + joint).ok()
            };
            let arm = moved(right.arm(), hinge, hinge + joint)?;
            let right = Pedal::new(arm, right.pad() + hinge, right.push()).ok()?;
            let crank = moved(right_crank, Vector3::zeros(), tip)?;
            PedalPair::new(left, right, left_crank, crank).ok()
        },
    )
}
