//! Force and torque against a table in high precision and against textbook formulas.

use std::array::from_fn;

use nalgebra::{Isometry3, Point3, Translation3, Vector3, vector};
use yokewright::magnet::{Block, Magnet, contact_force, pull};
use yokewright::units::MM;

use crate::cases::Cases;

/// Made by `pull_blocks.py`, which says how.
const TABLE: &str = include_str!("pull_blocks.csv");
const ROWS: &str = include_str!("pull.toml");

/// Share of |F|, and of the torque or |F| times the larger side: what `pull` promises.
const TABLE_TOLERANCE: f64 = 1e-9;

fn block(size: Vector3<f64>, polarization: Vector3<f64>, offset: Vector3<f64>) -> Magnet {
    let pose = Translation3::from(offset).into();
    Block::new(size, polarization, pose).unwrap().into()
}

fn cube(side: f64, polarization: Vector3<f64>, offset: Vector3<f64>) -> Magnet {
    block(Vector3::repeat(side), polarization, offset)
}

#[test]
fn parallel_blocks_table() {
    let mut rows = 0;
    for line in TABLE.lines().skip(1) {
        let numbers: Vec<f64> = line.split(',').map(|text| text.parse().unwrap()).collect();
        let [size_a, ja, size_b, jb, offset, force, torque] =
            from_fn(|part| Vector3::from_column_slice(&numbers[3 * part..3 * part + 3]));
        // Not at the origin, so that the difference of the places is not the place.
        let shift = vector![0.125, -0.25, 0.5];
        let first = block(size_a, ja, shift);
        let second = block(size_b, jb, shift + offset);
        let got = pull(&first, &second, Point3::from(shift + offset)).unwrap();
        // The places are rounded when they are shifted: by a few 1e-17 m, over distances of a millimetre and more.
        let allowed = TABLE_TOLERANCE * force.norm();
        let error = (got.force - force).norm();
        assert!(error <= allowed, "force {error:e} > {allowed:e} in {line}");
        assert!(
            error <= got.force_error + 1e-13 * force.norm(),
            "estimate {:e} < {error:e} in {line}",
            got.force_error
        );
        if torque.x.is_finite() {
            let error = (got.torque - torque).norm();
            let allowed = TABLE_TOLERANCE * (torque.norm() + force.norm() * size_b.max());
            assert!(error <= allowed, "torque {error:e} > {allowed:e} in {line}");
        }
        rows += 1;
    }
    assert_eq!(rows, 17, "the whole table");
}

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("pull.rs"));
}

/// Yung, Landecker and Villani 1998.
#[test]
fn far_cubes_are_dipoles() {
    let cases = Cases::parse(ROWS);
    for (id, offset) in [
        ("dipoles_in_line", Vector3::z()),
        ("dipoles_side_by_side", Vector3::x()),
    ] {
        let case = cases.get(id);
        let side = case.input("side_mm") * MM;
        let j = case.input("J_T") * Vector3::z();
        let offset = offset * case.input("distance_m");
        let (first, second) = (cube(side, j, Vector3::zeros()), cube(side, j, offset));
        let pull = pull(&first, &second, Point3::from(offset)).unwrap();
        let away = pull.force.dot(&offset.normalize());
        // In line they attract, side by side they repel.
        assert_eq!(away < 0.0, offset.z > 0.0);
        case.check(&[("F_N", away.abs())]);
    }
}

/// Maxwell's stress B^2 / (2 mu0) between the poles.
#[test]
fn long_bars_hold_with_the_stress_of_their_field() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("long_bars_touching");
    let side = case.input("side_mm") * MM;
    let size = vector![side, side, case.input("length_mm") * MM];
    let bar = block(size, case.input("J_T") * Vector3::z(), Vector3::zeros());
    let force = contact_force(&bar).unwrap();
    case.check(&[("F_N", force)]);
    // B between the ends stays below J.
    assert!(force < case.expected("F_N"));
}

/// Akoun and Yonnet 1984.
#[test]
fn geometry_of_the_paper() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("akoun_yonnet_geometry");
    let j = case.input("J_T") * Vector3::z();
    let first = block(vector![20.0, 12.0, 6.0] * MM, j, Vector3::zeros());
    let second = block(
        vector![12.0, 20.0, 6.0] * MM,
        j,
        vector![-4.0, -4.0, 8.0] * MM,
    );
    let force = pull(&first, &second, Point3::origin()).unwrap().force;
    case.check(&[("Fx_N", force.x), ("Fy_N", force.y), ("Fz_N", force.z)]);
}

/// The same pair in any of the 24 orientations that keep the blocks parallel, each turned as a whole or by turning one
/// of them: the closed form must know which side lies where.
#[test]
fn a_block_turned_by_right_angles_is_the_same_block() {
    let size = vector![6.0, 8.0, 4.0] * MM;
    let (j, offset) = (vector![0.3, 0.2, 1.1], vector![7.0, 9.0, 11.0] * MM);
    let first = block(
        vector![10.0, 5.0, 8.0] * MM,
        vector![0.4, 1.0, 0.2],
        Vector3::zeros(),
    );
    let expected = pull(&first, &block(size, j, offset), Point3::from(offset)).unwrap();
    let quarter = std::f64::consts::FRAC_PI_2;
    for turns in 0..64 {
        let turn =
            |axis: Vector3<f64>, n: i32| Isometry3::rotation(axis * (f64::from(n) * quarter));
        let rotation = turn(Vector3::x(), turns % 4)
            * turn(Vector3::y(), turns / 4 % 4)
            * turn(Vector3::z(), turns / 16);
        let own = |v: Vector3<f64>| rotation.inverse() * v;
        let pose = Isometry3::from_parts(Translation3::from(offset), rotation.rotation);
        let turned = Block::new(own(size).abs(), own(j), pose).unwrap();
        let pull = pull(&first, &Magnet::from(turned), Point3::from(offset)).unwrap();
        assert!((pull.force - expected.force).norm() < TABLE_TOLERANCE * expected.force.norm());
        assert!((pull.torque - expected.torque).norm() < TABLE_TOLERANCE * expected.torque.norm());
    }
}
