//! The sphere against published values.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{FieldSource, Sphere};
use yokewright::units::{MM, MT, MU_0};

use crate::cases::Cases;

const ROWS: &str = include_str!("spheres.toml");

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("spheres.rs"));
}

/// Furlani 2001: a dipole from the surface on.
#[test]
fn on_the_axis() {
    let rows = Cases::parse(ROWS);
    for id in [
        "sphere_axis_10_z0",
        "sphere_axis_10_z5",
        "sphere_axis_10_z20",
    ] {
        let case = rows.get(id);
        let diameter = case.input("diameter_mm") * MM;
        let polarization = Vector3::z() * case.input("Br_T");
        let sphere = Sphere::new(diameter, polarization, Isometry3::identity()).unwrap();
        let z = 0.5 * diameter + case.input("distance_mm") * MM;
        let b = sphere.field_at(&Point3::new(0.0, 0.0, z)).unwrap();
        assert_eq!((b.x, b.y), (0.0, 0.0));
        case.check(&[("B_mT", b.z / MT)]);
    }
}

/// Osborn 1945: H = -N J / mu0 is uniform inside an ellipsoid, here one whose axes are equal.
#[test]
fn demagnetizing_factor() {
    let rows = Cases::parse(ROWS);
    let case = rows.get("sphere_N");
    assert_eq!(case.input("axis_ratio"), 1.0);
    let j = Vector3::new(0.3, -0.5, 1.1);
    let sphere = Sphere::new(8.0 * MM, j, Isometry3::identity()).unwrap();
    for point in [[0.0, 0.0, 0.0], [1.0, -2.0, 3.0], [0.0, 3.999, 0.0]] {
        let h = sphere.h_at(&Point3::from(point.map(|at| at * MM))).unwrap();
        for axis in 0..3 {
            case.check(&[("N", -MU_0 * h[axis] / j[axis])]);
        }
    }
}

/// The measured constant lies where 4 pi 1e-7 was exact by definition until 2019 (SI Brochure, 9th edition).
#[test]
fn magnetic_constant() {
    assert!((MU_0 / (4e-7 * PI) - 1.0).abs() < 1e-9);
}
