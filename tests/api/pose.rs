//! Poses from what people have at hand, and what is refused.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Isometry3, Point3, Rotation3, Unit, Vector3, vector};
use yokewright::error::Hint;
use yokewright::pose::{
    MAX_ROTATION, from_axis_angle, from_directions, from_quaternion, from_rotation_vector, place,
};
use yokewright::{Error, Result};

fn origin() -> Vector3<f64> {
    Vector3::zeros()
}

/// A rotation by its matrix of Rodrigues, which shares no step with quaternions.
fn turned(axis: Vector3<f64>, angle: f64, v: Vector3<f64>) -> Vector3<f64> {
    let k = axis.normalize();
    v * angle.cos() + k.cross(&v) * angle.sin() + k * (k.dot(&v) * (1.0 - angle.cos()))
}

#[test]
fn an_axis_and_an_angle() {
    let at = vector![0.1, 0.2, -0.3];
    let v = vector![0.4, -0.5, 0.7];
    for (axis, angle) in [
        (vector![0.0, 0.0, 2.0], FRAC_PI_2),
        (vector![1.0, -2.0, 0.5], 0.3),
        (vector![1.0, -2.0, 0.5], -3.0),
        (vector![1e160, -2e160, 5e159], 0.3),
        (vector![1e-160, -2e-160, 5e-161], 0.3),
        (vector![0.3, 0.1, 0.9], 10.0),
    ] {
        let pose = from_axis_angle(at, axis, angle).unwrap();
        // An ulp or two of the angle, or of the vector.
        let rounding = 1e-15 * (1.0 + angle.abs());
        let expected = turned(axis / axis.amax(), angle, v);
        assert!(
            (pose.rotation * v - expected).norm() < rounding,
            "{axis} {angle}"
        );
        assert_eq!(pose.translation.vector, at);
        let vector = (axis / axis.amax()).normalize() * angle;
        let same = from_rotation_vector(at, vector).unwrap();
        assert!((same.rotation * v - expected).norm() < rounding);
    }
    assert_eq!(
        from_axis_angle(at, origin(), 1.0).unwrap_err().to_string(),
        "axis of the rotation has length zero, so it points nowhere; give a vector with a direction"
    );
}

#[test]
fn a_quaternion() {
    // A third of a turn about (1, 1, 1) takes x to y, y to z, z to x.
    let pose = from_quaternion(origin(), [0.5, 0.5, 0.5, 0.5]).unwrap();
    assert!((pose.rotation * Vector3::x() - Vector3::y()).norm() < 1e-15);
    let minus = from_quaternion(origin(), [-0.5; 4]).unwrap();
    assert!((minus.rotation * Vector3::x() - Vector3::y()).norm() < 1e-15);
    // A tenth of a billionth off is rounding, and mended; more is not.
    let near = from_quaternion(origin(), [1.0 + 1e-10, 0.0, 0.0, 0.0]).unwrap();
    assert_eq!(near, Isometry3::identity());
    for slip in [1.0 + 1e-8, 0.0, 1e-160, 1e155] {
        let refused = from_quaternion(origin(), [slip, 0.0, 0.0, 0.0]).unwrap_err();
        assert!(
            matches!(refused, Error::OutOfRange { quantity: "length of the quaternion", value, .. } if value == slip),
            "{refused}"
        );
    }
}

#[test]
fn one_direction_onto_another() {
    let directions = [
        vector![1.0, 0.0, 0.0],
        vector![0.0, -3.0, 0.0],
        vector![0.2, 0.3, -0.9],
        vector![1.0, 1e-9, 0.0],
        vector![-1.0, 1e-4, 0.0],
        vector![1e160, 2e160, 1e160],
        vector![1e-160, 2e-160, 1e-160],
    ];
    for (a, b) in directions.iter().flat_map(|a| directions.map(|b| (a, b))) {
        let pose = from_directions(origin(), *a, b).unwrap();
        let [a, b] = [*a, b].map(|v| (v / v.amax()).normalize());
        assert!((pose.rotation * a - b).norm() < 1e-15, "{a} {b}");
        // The shortest turn leaves what is at right angles to both.
        if let Some(axis) = Unit::try_new(a.cross(&b), 1e-3) {
            assert!((pose.rotation * axis.into_inner() - axis.into_inner()).norm() < 1e-15);
            let nalgebra_way = Rotation3::rotation_between(&a, &b).unwrap();
            assert!(
                (pose.rotation * vector![0.3, 0.2, 0.1] - nalgebra_way * vector![0.3, 0.2, 0.1])
                    .norm()
                    < 1e-14
            );
        }
    }
    for opposite in [vector![-2.0, 0.0, 0.0], vector![-1.0, 1e-7, 0.0]] {
        assert_eq!(
            from_directions(origin(), Vector3::x(), opposite).unwrap_err(),
            Error::NoDirection {
                quantity: "the axis that turns a direction onto its opposite"
            }
        );
    }
    assert!(from_directions(origin(), origin(), Vector3::x()).is_err());
}

#[test]
fn what_no_pose_is_made_of() {
    let bad = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];
    let slot = |k: usize, value: f64| Vector3::from_fn(|i, _| if i == k { value } else { 1.0 });
    let refused = |pose: Result<Isometry3<f64>>| matches!(pose, Err(Error::NotFinite { .. }));
    for (value, k) in bad
        .into_iter()
        .flat_map(|value| (0..3).map(move |k| (value, k)))
    {
        assert!(refused(from_rotation_vector(slot(k, value), origin())));
        assert!(refused(from_rotation_vector(origin(), slot(k, value))));
        assert!(refused(from_axis_angle(origin(), slot(k, value), 1.0)));
        assert!(refused(from_axis_angle(origin(), Vector3::x(), value)));
        assert!(refused(from_directions(
            origin(),
            slot(k, value),
            Vector3::x()
        )));
        assert!(refused(from_directions(
            origin(),
            Vector3::x(),
            slot(k, value)
        )));
        let point = Point3::from(slot(k, value));
        assert!(place(&Isometry3::identity(), &[Point3::origin(), point]).is_err());
    }
    for value in bad {
        assert!(refused(from_quaternion(origin(), [0.0, value, 0.0, 1.0])));
    }
    // So great that its square overflows: no angle is left of it. And the usual slip.
    for angle in [1e155, 90.0, -180.0, MAX_ROTATION * (1.0 + 1e-15)] {
        assert!(matches!(
            from_rotation_vector(origin(), Vector3::x() * angle),
            Err(Error::OutOfRange {
                quantity: "rotation x",
                unit: "rad",
                ..
            })
        ));
        assert!(from_axis_angle(origin(), Vector3::x(), angle).is_err());
    }
    assert!(matches!(
        from_axis_angle(origin(), Vector3::x(), 90.0),
        Err(Error::OutOfRange {
            hint: Hint::Degrees(_),
            ..
        })
    ));
    // Small ones are no turn, and no trouble.
    for small in [-0.0, 1e-320, 1e-160, 1e-20] {
        let pose = from_rotation_vector(origin(), Vector3::x() * small).unwrap();
        assert!((pose.rotation * Vector3::y() - Vector3::y()).norm() < 1e-15);
    }
    // A place that is finite, and would not be where the part stands.
    let far = from_rotation_vector(Vector3::repeat(1e308), Vector3::z() * PI).unwrap();
    let error = place(&far, &[Point3::new(-1e308, -1e308, 1e308)]).unwrap_err();
    assert!(error.to_string().starts_with("placed point "), "{error}");
}
