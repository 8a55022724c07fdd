//! Gradient, field strength and polarization of blocks: refusals, and what the surface itself gives.

use nalgebra::{Isometry3, Point3, Vector3, vector};
use yokewright::Error;
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::{MM, MU_0};

/// The roll magnet of the training rig: half sides 5, 4 and 2 mm.
fn bar() -> Block {
    Block::new(
        vector![10.0, 8.0, 4.0] * MM,
        vector![0.2, 0.0, 1.2],
        Isometry3::identity(),
    )
    .unwrap()
}

/// On the axis only the diagonal is left, and the field falls as its own difference over 0.02 mm says.
#[test]
fn above_the_pole_face() {
    let bar = Block::new(
        vector![10.0, 8.0, 4.0] * MM,
        Vector3::z() * 1.2,
        Isometry3::identity(),
    )
    .unwrap();
    let at = |z: f64| Point3::new(0.0, 0.0, z * MM);
    let g = bar.gradient_at(&at(4.0)).unwrap();
    let fall = bar.field_at(&at(4.01)).unwrap().z - bar.field_at(&at(3.99)).unwrap().z;
    assert!((g.m33 - fall / (0.02 * MM)).abs() < 1e-3);
    assert!(fall < 0.0);
    assert_eq!((g.m12, g.m13, g.m23), (0.0, 0.0, 0.0));
    assert!((g.m11 + g.m22 + g.m33).abs() < 1e-13 * g.norm());
}

#[test]
fn on_an_edge_there_is_none() {
    let bar = bar();
    let edge = Point3::new(5.0, 4.0, 1.0) * MM;
    let corner = Point3::new(-5.0, 4.0, -2.0) * MM;
    for point in [edge, corner] {
        let on_edge = Error::OnEdge {
            x: point.x,
            y: point.y,
            z: point.z,
        };
        assert_eq!(bar.gradient_at(&point).unwrap_err(), on_edge);
        assert_eq!(bar.h_at(&point).unwrap_err(), on_edge);
        assert_eq!(bar.polarization_at(&point).unwrap(), Vector3::zeros());
    }
    let many = bar.gradients_at(&[edge, Point3::new(5.0, 4.0, 2.5) * MM, corner]);
    assert_eq!(many.valid, [false, true, false]);
    assert!(many.values[0].iter().all(|part| part.is_nan()));
    assert!(many.values[1].iter().all(|part| part.is_finite()));
}

/// B jumps there, its gradient does not.
#[test]
fn on_a_face_it_is_that_of_either_side() {
    let bar = bar();
    for (on, step) in [
        (vector![5.0, 1.0, -1.5], Vector3::x()),
        (vector![3.0, 4.0, 0.5], Vector3::y()),
        (vector![-2.0, 1.0, 2.0], Vector3::z()),
    ] {
        let at = |gap: f64| Point3::from((on + step * gap) * MM);
        let g = bar.gradient_at(&at(0.0)).unwrap();
        for side in [-1e-9, 1e-9] {
            let beside = bar.gradient_at(&at(side)).unwrap();
            assert!((g - beside).norm() < 1e-7 * g.norm());
        }
        assert_eq!(bar.polarization_at(&at(0.0)).unwrap(), Vector3::zeros());
        assert_eq!(bar.polarization_at(&at(-1e-9)).unwrap(), bar.polarization());
        let (h, b) = (bar.h_at(&at(0.0)), bar.field_at(&at(0.0)));
        assert_eq!(h.unwrap(), b.unwrap() / MU_0, "the limit from outside");
    }
}

#[test]
fn a_point_has_its_limits() {
    let point = Point3::new(0.0, 0.0, 2e6);
    let texts = [
        bar().gradient_at(&point).unwrap_err().to_string(),
        bar().h_at(&point).unwrap_err().to_string(),
        bar().polarization_at(&point).unwrap_err().to_string(),
    ];
    for text in texts {
        assert_eq!(text, "point z = 2000000 m is outside -1000000 to 1000000 m");
    }
}

/// In a needle of 1 : 2000 along the polarization H is some 1e-7 of J / mu0; (B - J) / mu0 would keep nine digits.
#[test]
fn h_of_a_needle_is_exact() {
    let size = vector![0.01, 0.01, 20.0] * MM;
    let needle = Block::new(size, Vector3::z(), Isometry3::identity()).unwrap();
    let middle = Point3::origin();
    let h = needle.h_at(&middle).unwrap() * MU_0;
    // Two square poles seen from the middle: a solid angle each of 4 atan(a^2 / (c sqrt(2 a^2 + c^2))), over 4 pi.
    let (a, c) = (0.005_f64, 10.0_f64);
    let angle = 4.0 * (a * a / (c * (2.0 * a * a + c * c).sqrt())).atan();
    let expected = -2.0 * angle / (4.0 * std::f64::consts::PI);
    assert!((h.z / expected - 1.0).abs() < 1e-13, "{}", h.z);
    assert_eq!((h.x, h.y), (0.0, 0.0));
}
