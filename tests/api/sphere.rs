//! The sphere: every refusal by variant and text, and what the surface itself gives.

use nalgebra::{Isometry3, Matrix3, Point3, Translation3, Vector3, vector};
use yokewright::error::Hint;
use yokewright::magnet::{FieldSource, Sphere};
use yokewright::units::{MM, MU_0};
use yokewright::{Error, Result};

fn ball() -> Sphere {
    Sphere::new(8.0 * MM, vector![0.3, 0.0, 1.2], Isometry3::identity()).unwrap()
}

fn new(diameter: f64) -> Result<Sphere> {
    Sphere::new(diameter, Vector3::z(), Isometry3::identity())
}

#[test]
fn it_has_what_it_was_made_of() {
    let pose = Isometry3::new(vector![1.0, 2.0, 3.0] * MM, vector![0.1, 0.2, 0.3]);
    let ball = Sphere::new(8.0 * MM, vector![0.3, 0.0, 1.2], pose).unwrap();
    assert_eq!(ball.diameter(), 8.0 * MM);
    assert_eq!(ball.polarization(), vector![0.3, 0.0, 1.2]);
    assert_eq!(ball.pose(), pose);
    let motion = Isometry3::translation(5.0 * MM, 0.0, 0.0);
    assert_eq!(ball.moved(&motion).unwrap().pose(), motion * pose);
}

#[test]
fn the_diameter_has_its_limits() {
    assert!(new(1e-5).is_ok() && new(1.0).is_ok());
    let error = new(8.0).unwrap_err();
    assert_eq!(
        error,
        Error::OutOfRange {
            quantity: "sphere diameter",
            value: 8.0,
            min: 1e-5,
            max: 1.0,
            unit: "m",
            hint: Hint::Millimetres(8.0),
        }
    );
    assert_eq!(
        error.to_string(),
        "sphere diameter = 8 m is outside 0.00001 to 1 m; did you mean 8 * MM?"
    );
    assert_eq!(
        new(f64::NAN).unwrap_err().to_string(),
        "sphere diameter is NaN, not a finite number; give it in m"
    );
    assert_eq!(
        new(-5.0 * MM).unwrap_err().to_string(),
        "sphere diameter = -0.005 m is outside 0.00001 to 1 m"
    );
}

#[test]
fn polarization_and_pose_have_theirs() {
    let refused = |polarization, pose| {
        Sphere::new(8.0 * MM, polarization, pose)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        refused(vector![0.0, 1300.0, 0.0], Isometry3::identity()),
        "polarization y = 1300 T is outside -2.5 to 2.5 T; did you mean 1300 * MT?"
    );
    assert_eq!(
        refused(
            Vector3::z(),
            Translation3::new(0.0, 0.0, f64::INFINITY).into()
        ),
        "position z is inf, not a finite number; give it in m"
    );
    let motion = Isometry3::translation(2e6, 0.0, 0.0);
    assert_eq!(
        ball().moved(&motion).unwrap_err().to_string(),
        "position x = 2000000 m is outside -1000000 to 1000000 m"
    );
}

#[test]
fn a_point_has_its_limits() {
    let point = Point3::new(0.0, f64::NAN, 0.0);
    let texts = [
        ball().field_at(&point).unwrap_err().to_string(),
        ball().gradient_at(&point).unwrap_err().to_string(),
        ball().h_at(&point).unwrap_err().to_string(),
        ball().polarization_at(&point).unwrap_err().to_string(),
        ball().distance(&point).unwrap_err().to_string(),
    ];
    for text in texts {
        assert_eq!(text, "point y is NaN, not a finite number; give it in m");
    }
}

#[test]
fn the_surface_belongs_to_the_outside() {
    let pole = Point3::new(0.0, 0.0, 4.0 * MM);
    let ball = ball();
    assert_eq!(ball.distance(&pole).unwrap(), 0.0);
    assert_eq!(ball.polarization_at(&pole).unwrap(), Vector3::zeros());
    let b = ball.field_at(&pole).unwrap();
    assert!((b - vector![-0.1, 0.0, 0.8]).norm() < 1e-15);
    assert_eq!(ball.h_at(&pole).unwrap(), b / MU_0);
    assert!(ball.gradient_at(&pole).unwrap() != Matrix3::zeros());
}

#[test]
fn the_inside_is_uniform() {
    let ball = ball();
    for point in [
        Point3::origin(),
        Point3::new(1.0, -2.0, 3.0) * MM,
        Point3::new(0.0, 0.0, 3.999) * MM,
    ] {
        let b = ball.field_at(&point).unwrap();
        assert!((b - vector![0.2, 0.0, 0.8]).norm() < 1e-15);
        assert_eq!(ball.gradient_at(&point).unwrap(), Matrix3::zeros());
        assert_eq!(ball.polarization_at(&point).unwrap(), ball.polarization());
    }
    assert_eq!(ball.distance(&Point3::origin()).unwrap(), -4.0 * MM);
}
