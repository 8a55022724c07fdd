//! The gimbal against direction cosines, its own inverse, and samples of its gate.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Isometry3, Point3, Rotation3, Vector3};
use proptest::prelude::*;
use yokewright::linkage::{
    Gate, Gimbal, GimbalAxis, GimbalSpec, InnerSensor, Obstacle, Pivot, UniversalJoint,
};
use yokewright::units::{DEG, MM};

use crate::strategies::{anything, obstacles, points, rotations};

/// Some thirty roundings of rotations and lengths of up to 3 m.
const ROUNDING: f64 = 5e-14;
/// An angle from a cosine near an extreme loses half its digits; away from it as the inverse of the sine.
const STEEP: f64 = 1e-7;

fn pivot(point: Point3<f64>, direction: Vector3<f64>) -> Pivot {
    Pivot::new(point, direction).unwrap()
}

/// Outer axis y, inner axis x, crossing in the origin, turned and moved as a whole.
fn square_gimbal(length: f64, pose: &Isometry3<f64>) -> Gimbal {
    let origin = pose * Point3::origin();
    Gimbal::new(GimbalSpec {
        outer: pivot(origin, pose * Vector3::y()),
        inner: pivot(origin, pose * Vector3::x()),
        stick: vec![origin, pose * Point3::new(0.0, 0.0, length)],
        stick_radius: 0.01,
        grip_radius: 0.05,
    })
    .unwrap()
}

fn poses() -> impl Strategy<Value = Isometry3<f64>> {
    (points(), rotations()).prop_map(|(point, turn)| Isometry3::from_parts(point.into(), turn))
}

/// Axes 40 to 140 degrees apart that pass each other, a stick that is cranked and not square to them.
fn any_gimbals() -> impl Strategy<Value = Gimbal> {
    let crooked = prop::array::uniform3(-0.3..0.3_f64).prop_map(Vector3::from);
    let apart = prop::array::uniform3(-0.05..0.05_f64).prop_map(Vector3::from);
    (
        poses(),
        -50.0..50.0_f64,
        apart,
        crooked.clone(),
        crooked,
        0.2..0.6_f64,
    )
        .prop_map(|(pose, skew, apart, lean, crank, length)| {
            let inner = Rotation3::from_axis_angle(&Vector3::z_axis(), skew * DEG) * Vector3::x();
            let foot = Point3::origin() + 0.3 * apart;
            let bend = foot + length * (Vector3::z() + 0.5 * lean);
            let stick = [foot, bend, bend + length * (0.5 * Vector3::z() + crank)];
            Gimbal::new(GimbalSpec {
                outer: pivot(pose * Point3::origin(), pose * Vector3::y()),
                inner: pivot(pose * (Point3::origin() + apart), pose * inner),
                stick: stick.map(|corner| pose * corner).to_vec(),
                stick_radius: 0.01,
                grip_radius: 0.05,
            })
            .unwrap()
        })
}

fn gates() -> impl Strategy<Value = Gate> {
    let limit = || 3.0..30.0_f64;
    prop_oneof![
        (3.0..25.0_f64).prop_map(|tilt| Gate::round(tilt * DEG).unwrap()),
        (limit(), limit(), limit(), limit()).prop_map(|(a, b, c, d)| {
            Gate::square([-a * DEG, b * DEG], [-c * DEG, d * DEG]).unwrap()
        }),
        prop::collection::vec(limit(), 3..9).prop_map(|reaches| {
            // A star about neutral.
            let count = reaches.len() as f64;
            let corner = |(i, reach): (usize, &f64)| {
                let (sin, cos) = (2.0 * PI * i as f64 / count).sin_cos();
                [reach * DEG * cos, reach * DEG * sin]
            };
            Gate::polygon(reaches.iter().enumerate().map(corner).collect()).unwrap()
        }),
    ]
}

fn shares() -> impl Strategy<Value = Vec<[f64; 2]>> {
    prop::collection::vec(prop::array::uniform2(-30.0..30.0_f64), 300)
        .prop_map(|rows| rows.into_iter().map(|row| row.map(|x| x * DEG)).collect())
}

fn allowed(gimbal: &Gimbal, gate: &Gate, [outer, inner]: [f64; 2]) -> bool {
    gimbal.allows(gate, outer, inner).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn square_axes_by_direction_cosines(pose in poses(), length in 0.05..1.0_f64, outer in -PI..PI, inner in -PI..PI) {
        let gimbal = square_gimbal(length, &pose);
        let ((so, co), (si, ci)) = (outer.sin_cos(), inner.sin_cos());
        let grip = gimbal.grip_at(outer, inner).unwrap();
        let expected = pose * Point3::new(length * so * ci, -length * si, length * co * ci);
        prop_assert!((grip.translation.vector - expected.coords).norm() <= ROUNDING);
        let turn = Rotation3::from_axis_angle(&Vector3::y_axis(),
            outer) * Rotation3::from_axis_angle(&Vector3::x_axis(), inner);
        let turn = pose.rotation.to_rotation_matrix() * turn * pose.rotation.inverse().to_rotation_matrix();
        prop_assert!((grip.rotation.to_rotation_matrix().matrix() - turn.matrix()).norm() <= ROUNDING);
        // The cosine of the tilt is known to rounding, the tilt near 0 and pi to its root.
        prop_assert!((gimbal.tilt(outer, inner).unwrap().cos() - co * ci).abs() <= ROUNDING);
        if inner.abs() < FRAC_PI_2 - 0.01 {
            let back = gimbal.angles_for_direction(grip.rotation * gimbal.stick_direction()).unwrap();
            prop_assert!((back[1] - inner).abs() <= ROUNDING / ci);
            let turns = ((back[0] - outer) / (2.0 * PI)).round();
            prop_assert!((back[0] - outer - 2.0 * PI * turns).abs() <= ROUNDING / ci);
        }
    }

    /// Whatever the inverse gives brings stick and grip there.
    #[test]
    fn inverses_lead_there(gimbal in any_gimbals(), outer in -1.2..1.2_f64, inner in -1.2..1.2_f64) {
        let grip = gimbal.grip_at(outer, inner).unwrap();
        let direction = grip.rotation * gimbal.stick_direction();
        let [o, i] = gimbal.angles_for_direction(3.0 * direction).unwrap();
        let there = gimbal.grip_at(o, i).unwrap().rotation * gimbal.stick_direction();
        prop_assert!((there - direction).norm() <= STEEP);
        let point = Point3::from(grip.translation.vector);
        let ([o, i], miss) = gimbal.angles_for_grip(point).unwrap();
        let there = gimbal.grip_at(o, i).unwrap().translation.vector;
        prop_assert!(((there - point.coords).norm() - miss).abs() <= ROUNDING);
        // Heights agree, and so does the distance of the origin of the pose where the axes cross; here they need not.
        let axis = gimbal.spec().outer;
        prop_assert!(axis.direction().dot(&(there - point.coords)).abs() <= STEEP);
        // The angle may lie beyond a fold of the height, so that it is not the one on the side of neutral, be they ever
        // so near each other: the grip then misses the point by no more than its way from one to the other.
        let from_axis = |axis: Pivot, point: Point3<f64>| axis.direction().cross(&(point - axis.point())).norm();
        let way = from_axis(gimbal.spec().inner, gimbal.grip()) * (i - inner).abs() + STEEP;
        if way < 1e-3 {
            prop_assert!(miss <= way);
            // As seen from the outer axis the way is asin(way / radius) wide at most.
            let radius = from_axis(axis, point);
            prop_assert!(radius < way || (o - outer).abs() <= 2.0 * way / radius);
        }
    }

    /// On the side of neutral the inverse is the inverse: near neutral it always is.
    #[test]
    fn near_neutral_the_inverse_gives_the_angles_back(gimbal in any_gimbals(), outer in -0.1..0.1_f64,
        inner in -0.1..0.1_f64) {
        let grip = gimbal.grip_at(outer, inner).unwrap();
        let [o, i] = gimbal.angles_for_direction(grip.rotation * gimbal.stick_direction()).unwrap();
        prop_assert!((o - outer).abs() <= STEEP && (i - inner).abs() <= STEEP);
    }

    /// Steps of the path add up to the arc: a polygon of n sides falls short by (angle / n)^2 / 24 of it.
    #[test]
    fn travel_is_measured_along_the_path(gimbal in any_gimbals(), lower in -0.8..0.0_f64, width in 0.1..0.8_f64,
        other in -0.5..0.5_f64) {
        for axis in [GimbalAxis::Outer, GimbalAxis::Inner] {
            let at = |angle| {
                let (outer, inner) = if axis == GimbalAxis::Outer { (angle, other) } else { (other, angle) };
                gimbal.grip_at(outer, inner).unwrap().translation.vector
            };
            let travel = gimbal.travel(axis, [lower, lower + width], other).unwrap();
            let path: f64 = (0..200).map(|i| {
                let angle = |i: i32| lower + width * f64::from(i) / 200.0;
                (at(angle(i + 1)) - at(angle(i))).norm()
            }).sum();
            prop_assert!((path - travel.arc).abs() <= 2e-6 * travel.arc + ROUNDING);
            prop_assert!(((at(lower + width) - at(lower)).norm() - travel.chord).abs() <= ROUNDING);
        }
    }

    #[test]
    fn sensors_on_the_frame_follow_the_universal_joint(pose in poses(), outer in -1.2..1.2_f64,
        inner in -3.0..3.0_f64) {
        let gimbal = square_gimbal(0.3, &pose);
        let bend = outer.abs();
        for (drive, phase) in [(InnerSensor::JointAcross, 0.0), (InnerSensor::JointAlongOuter, FRAC_PI_2)] {
            let [first, second] = gimbal.sensor_angles(outer, inner, drive).unwrap();
            let joint = UniversalJoint::new(bend, phase).unwrap();
            prop_assert_eq!(first, outer);
            prop_assert!((second - joint.transfer(inner).unwrap().angle).abs() <= 4.0 * ROUNDING / bend.cos());
        }
        prop_assert_eq!(gimbal.sensor_angles(outer, inner, InnerSensor::OnOuterBody).unwrap(), [outer, inner]);
    }

    #[test]
    fn a_round_gate_holds_what_tilts_less(pose in poses(), tilt in 1.0..80.0_f64, outer in -1.5..1.5_f64,
        inner in -1.5..1.5_f64) {
        let gimbal = square_gimbal(0.3, &pose);
        let gate = Gate::round(tilt * DEG).unwrap();
        let spare = outer.cos() * inner.cos() - (tilt * DEG).cos();
        prop_assume!(spare.abs() > 1e-9);
        prop_assert_eq!(allowed(&gimbal, &gate, [outer, inner]), spare > 0.0);
    }

    #[test]
    fn four_corners_make_a_square_gate(limits in prop::array::uniform4(0.05..1.0_f64), outer in -1.2..1.2_f64,
        inner in -1.2..1.2_f64) {
        let gimbal = square_gimbal(0.3, &Isometry3::identity());
        let [a, b, c, d] = limits;
        let corners = vec![[-a, -c], [b, -c], [b, d], [-a, d]];
        let (square, polygon) = (Gate::square([-a, b], [-c, d]).unwrap(), Gate::polygon(corners).unwrap());
        prop_assert_eq!(allowed(&gimbal, &square, [outer, inner]), allowed(&gimbal, &polygon, [outer, inner]));
    }

}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// No sampled position lies beyond the extremes, and each extreme is the coordinate at an allowed position.
    #[test]
    fn the_envelope_holds_every_position(gimbal in any_gimbals(), gate in gates(), samples in shares()) {
        let tolerance = 0.01 * MM;
        let envelope = gimbal.envelope(&gate, 4.0 * DEG, tolerance).unwrap();
        prop_assert!(!envelope.edge.is_empty() && envelope.edge.iter().all(|&angles| allowed(&gimbal, &gate, angles)));
        prop_assert!(envelope.inside.iter().all(|&angles| allowed(&gimbal, &gate, angles)));
        prop_assert!(envelope.inside.contains(&[0.0, 0.0]));
        let sampled = samples.into_iter().filter(|&angles| allowed(&gimbal, &gate, angles));
        for [outer, inner] in sampled.chain(envelope.edge.clone()) {
            let grip = gimbal.grip_at(outer, inner).unwrap().translation.vector;
            for axis in 0..3 {
                prop_assert!(grip[axis] >= envelope.lowest[axis].coordinate - tolerance);
                prop_assert!(grip[axis] <= envelope.highest[axis].coordinate + tolerance);
            }
        }
        for extremes in [&envelope.lowest, &envelope.highest] {
            for (axis, extreme) in extremes.iter().enumerate() {
                let [outer, inner] = extreme.angles;
                prop_assert!(allowed(&gimbal, &gate, extreme.angles));
                let grip = gimbal.grip_at(outer, inner).unwrap().translation.vector;
                prop_assert!((grip[axis] - extreme.coordinate).abs() <= ROUNDING);
            }
        }
    }

    /// The certified clearance is never above a sampled distance by more than its tolerance, and it is the distance
    /// where it says.
    #[test]
    fn no_sample_is_nearer_than_the_clearance(gimbal in any_gimbals(), gate in gates(),
        around in prop::collection::vec(obstacles(), 1..4), samples in shares()) {
        let tolerance = 0.2 * MM;
        let clearance = gimbal.clearance(&gate, &around, tolerance).unwrap();
        let [outer, inner] = clearance.angles;
        prop_assert!(allowed(&gimbal, &gate, clearance.angles));
        let there = gimbal.clearance_at(outer, inner, &around).unwrap();
        prop_assert_eq!(&there, &clearance);
        prop_assert_eq!(clearance.collides(), clearance.distance <= 0.0);
        let sampled: Vec<_> = samples.into_iter().filter(|&angles| allowed(&gimbal, &gate, angles)).collect();
        let (outer, inner): (Vec<_>, Vec<_>) = sampled.iter().map(|row| (row[0], row[1])).unzip();
        for distance in gimbal.clearances_at(&outer, &inner, &around).unwrap().values {
            prop_assert!(distance >= clearance.distance - tolerance);
        }
    }

    #[test]
    fn a_gimbal_of_anything_is_a_gimbal_or_an_error(values in prop::array::uniform8(anything()),
        more in prop::array::uniform8(anything())) {
        let [x, y, z, dx, dy, dz, r, g] = values;
        let [sx, sy, sz, outer, inner, tilt, step, tolerance] = more;
        let sound = square_gimbal(0.4, &Isometry3::identity());
        let spec = sound.spec();
        let mut tries = vec![Ok(sound.clone())];
        if let Ok(axis) = Pivot::new(Point3::new(x, y, z), Vector3::new(dx, dy, dz)) {
            tries.push(Gimbal::new(GimbalSpec { outer: axis, ..spec.clone() }));
            tries.push(Gimbal::new(GimbalSpec { inner: axis, ..spec.clone() }));
        }
        let stick = vec![Point3::origin(), Point3::new(x, y, z), Point3::new(sx, sy, sz)];
        tries.push(Gimbal::new(GimbalSpec { stick, ..spec.clone() }));
        tries.push(Gimbal::new(GimbalSpec { stick: vec![], ..spec.clone() }));
        tries.push(Gimbal::new(GimbalSpec { stick_radius: r, grip_radius: g, ..spec.clone() }));
        let gates = [Gate::round(tilt), Gate::round(0.3), Gate::square([outer, inner], [tilt, step]),
            Gate::polygon(vec![[outer, inner], [tilt, 0.1], [0.2, step]])];
        for gimbal in tries.into_iter().flatten() {
            let one = gimbal.grip_at(outer, inner);
            let many = gimbal.grips_at(&[outer, 0.1], &[inner, 0.1]).unwrap();
            prop_assert_eq!(many.valid, vec![one.is_ok(), true]);
            prop_assert_eq!(many.poses[0].translation.x.is_nan(), one.is_err());
            if let Ok(grip) = one {
                prop_assert!(grip.translation.vector.iter().all(|x| x.is_finite()));
                prop_assert!(gimbal.tilt(outer, inner).unwrap().is_finite());
            }
            if let Ok([o, i]) = gimbal.angles_for_direction(Vector3::new(dx, dy, dz)) {
                prop_assert!(o.is_finite() && i.is_finite());
            }
            if let Ok(([o, i], miss)) = gimbal.angles_for_grip(Point3::new(sx, sy, sz)) {
                prop_assert!(o.is_finite() && i.is_finite() && miss.is_finite());
            }
            for drive in [InnerSensor::JointAcross, InnerSensor::JointAlongOuter] {
                if let Ok([o, i]) = gimbal.sensor_angles(outer, inner, drive) {
                    prop_assert!(o.is_finite() && i.is_finite());
                }
            }
            for gate in gates.iter().flatten() {
                let _ = gimbal.allows(gate, outer, inner);
                if let Ok(envelope) = gimbal.envelope(gate, step.max(0.1), tolerance.max(1e-3)) {
                    prop_assert!(envelope.lowest.iter().zip(&envelope.highest).all(|(low,
                        high)| low.coordinate <= high.coordinate));
                }
            }
        }
    }
}

/// The height of the grip is the same all along the edge of a round gate, and all along a side of a polygon that
/// follows an axis.
#[test]
fn extents_that_lie_all_along_an_edge() {
    let tolerance = 1.12e-7;
    let gimbal = square_gimbal(0.7, &Isometry3::identity());
    let tilt = 20.0 * DEG;
    let round = gimbal
        .envelope(&Gate::round(tilt).unwrap(), 10.0 * DEG, tolerance)
        .unwrap();
    let [x, y, z] = round.lowest.map(|extreme| extreme.coordinate);
    // A cone of this half angle, in closed form.
    assert!((z - 0.7 * tilt.cos()).abs() <= tolerance);
    assert!((x + 0.7 * tilt.sin()).abs() <= tolerance && (y + 0.7 * tilt.sin()).abs() <= tolerance);
    let octagon = (0..8).map(|i| {
        let (sin, cos) = (PI * (0.25 * f64::from(i) + 0.125)).sin_cos();
        [tilt * cos, tilt * sin]
    });
    let polygon = gimbal
        .envelope(
            &Gate::polygon(octagon.collect()).unwrap(),
            10.0 * DEG,
            tolerance,
        )
        .unwrap();
    // y = -length sin(inner), and its inner angle goes up to the side.
    let side = tilt * (PI / 8.0).cos();
    assert!((polygon.lowest[1].coordinate + 0.7 * side.sin()).abs() <= tolerance);
    let square = Gate::square([-tilt, tilt], [-tilt, tilt]).unwrap();
    let square = gimbal.envelope(&square, 10.0 * DEG, tolerance).unwrap();
    assert!((square.highest[1].coordinate - 0.7 * tilt.sin()).abs() <= tolerance);
}

/// A stick whose nearest point hardly moves, 8 mm from both pivots, and that goes nearly straight away from there: by
/// its far end alone two million cells do not tell what it keeps clear of.
#[test]
fn the_clearance_of_what_is_nearest_beside_its_pivot_is_found() {
    let outer = pivot(
        Point3::new(0.0, -0.813_094_119_769_138_6, -0.803_326_364_942_308_4),
        Vector3::new(
            0.978_188_588_073_978_9,
            0.156_970_355_843_789_82,
            -0.136_041_881_595_741_3,
        ),
    );
    let inner = pivot(
        Point3::new(
            0.004_754_484_997_338_897,
            -0.801_547_391_707_916_4,
            -0.801_003_428_709_263_6,
        ),
        Vector3::new(
            0.549_661_805_578_348_3,
            0.834_937_058_540_913_4,
            0.027_422_759_952_227_62,
        ),
    );
    let gimbal = Gimbal::new(GimbalSpec {
        outer,
        inner,
        stick: vec![
            Point3::new(
                0.001_426_345_499_201_669,
                -0.809_630_101_350_772,
                -0.802_629_484_072_394_9,
            ),
            Point3::new(
                -0.091_505_192_735_288_36,
                -0.729_539_163_300_709_2,
                -1.378_427_658_933_934_6,
            ),
            Point3::new(
                -0.137_970_961_852_533_38,
                -0.689_493_694_275_677_9,
                -1.666_326_746_364_704_5,
            ),
        ],
        stick_radius: 0.01,
        grip_radius: 0.05,
    })
    .unwrap();
    let pose = Isometry3::translation(-0.878_737_643_122_784, 0.0, 0.0);
    let around = [Obstacle::block(Vector3::repeat(0.01), pose).unwrap()];
    let gate = Gate::round(0.379_684_416_201_386_65).unwrap();
    let clearance = gimbal.clearance(&gate, &around, 0.2 * MM).unwrap();
    // Brute force over a grid of the gate's square.
    let mut least = f64::INFINITY;
    for i in -60..=60 {
        for j in -60..=60 {
            let angles = [i, j].map(|k| 0.007 * f64::from(k));
            if allowed(&gimbal, &gate, angles) {
                let there = gimbal.clearance_at(angles[0], angles[1], &around).unwrap();
                least = least.min(there.distance);
            }
        }
    }
    assert!(
        (-0.2 * MM..=0.2 * MM).contains(&(least - clearance.distance)),
        "{least} {clearance:?}"
    );
}
