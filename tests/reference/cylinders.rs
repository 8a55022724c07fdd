//! The fields of cylinder and ring against a table in high precision and against published values.

use std::array::from_fn;

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::Result;
use yokewright::magnet::{Cylinder, FieldSource, MagnetGroup, Ring};
use yokewright::units::{MM, MT};

use crate::cases::Cases;

/// Made by `cylinder_field.py`, which says how.
const TABLE: &str = include_str!("cylinder_field.csv");
const ROWS_IN_TABLE: usize = 973;
/// Made by `ring_nulls.py`, which says how.
const NULLS: &str = include_str!("ring_nulls.csv");
const ROWS: &str = include_str!("cylinders.toml");
/// Where the rows about elliptic integrals are tested, which are not public.
const ELLIPTIC_TESTS: &str = include_str!("../../src/numeric/elliptic_tests.rs");

/// What `Cylinder` and `Ring` promise, as a share of |B|, and of the larger |M| |J| for an oblique polarization.
const TABLE_TOLERANCE: f64 = 1e-12;
/// Below this share of |M| |J| the field of a pure polarization counts as a change of sign.
const NEARLY_NOTHING: f64 = 1e-5;

struct Row {
    region: &'static str,
    outer: f64,
    inner: f64,
    length: f64,
    polarization: Vector3<f64>,
    point: Point3<f64>,
    b: Vector3<f64>,
    scale: f64,
}

fn table() -> Vec<Row> {
    let row = |line: &'static str| {
        let (region, numbers) = line.split_once(',').expect("a region, then numbers");
        let numbers = numbers.split(',').map(|text| text.parse().unwrap());
        let numbers: [f64; 13] = numbers.collect::<Vec<f64>>().try_into().unwrap();
        let vector = |first: usize| Vector3::from(from_fn::<f64, 3, _>(|i| numbers[first + i]));
        Row {
            region,
            outer: numbers[0],
            inner: numbers[1],
            length: numbers[2],
            polarization: vector(3),
            point: vector(6).into(),
            b: vector(9),
            scale: numbers[12],
        }
    };
    TABLE.lines().skip(1).map(row).collect()
}

fn magnet(row: &Row) -> Result<MagnetGroup> {
    let pose = Isometry3::identity();
    let (outer, inner, length, j) = (row.outer, row.inner, row.length, row.polarization);
    Ok(if inner > 0.0 {
        Ring::new(outer, inner, length, j, pose)?.into()
    } else {
        Cylinder::new(outer, length, j, pose)?.into()
    })
}

#[test]
fn cylinder_field_table() {
    let table = table();
    assert_eq!(table.len(), ROWS_IN_TABLE, "the whole table");
    let alike = |a: &Row, b: &Row| {
        (a.outer, a.inner, a.length, a.polarization) == (b.outer, b.inner, b.length, b.polarization)
    };
    for rows in table.chunk_by(alike) {
        let magnet = magnet(&rows[0]).unwrap();
        let points: Vec<_> = rows.iter().map(|row| row.point).collect();
        let batch = magnet.fields_at(&points);
        for (i, row) in rows.iter().enumerate() {
            let single = magnet.field_at(&row.point).unwrap();
            assert!(batch.valid[i]);
            // Where the field of an axial ring changes sign, or the parts of an oblique one cancel, little of |B| is
            // left.
            let pure = row.polarization.z == 0.0 || row.polarization.xy().norm() == 0.0;
            let nearly_nothing = row.b.norm() < NEARLY_NOTHING * row.scale;
            let size = if pure && !nearly_nothing {
                row.b.norm()
            } else {
                row.scale
            };
            for (path, value) in [("field_at", single), ("fields_at", batch.values[i])] {
                let error = (value - row.b).norm() / size;
                assert!(
                    error <= TABLE_TOLERANCE,
                    "{path}, {}: {error:e} at {} of {magnet:?}",
                    row.region,
                    row.point,
                );
            }
        }
    }
}

/// Where the field of a ring polarized across vanishes, nothing is left of |B| to promise a share of: 1e-12 of |M| |J|
/// holds, and not of |B|.
#[test]
fn nulls_of_a_ring_polarized_across() {
    let mut nearest = f64::INFINITY;
    let rows = NULLS.lines().skip(1).map(|line| {
        let numbers = line.split(',').map(|text| text.parse().unwrap());
        <[f64; 8]>::try_from(numbers.collect::<Vec<f64>>()).unwrap()
    });
    let rows: Vec<_> = rows.collect();
    assert_eq!(rows.len(), 60, "the whole table");
    for [outer, inner, length, j, y, z, b, scale] in rows {
        let ring = Ring::new(
            outer,
            inner,
            length,
            Vector3::x() * j,
            Isometry3::identity(),
        );
        let (ring, point) = (ring.unwrap(), Point3::new(0.0, y, z));
        let batch = ring.fields_at(&[point]);
        assert!(batch.valid[0]);
        for value in [ring.field_at(&point).unwrap(), batch.values[0]] {
            let error = (value - Vector3::x() * b).norm();
            assert!(
                error <= TABLE_TOLERANCE * scale,
                "{error:e} at {point} of {ring:?}"
            );
        }
        nearest = nearest.min(b.abs() / scale);
    }
    // They are nulls: a double's rounding of the place is all that is left.
    assert!(nearest < 1e-14, "{nearest:e}");
}

#[test]
fn every_row_is_used() {
    let tests = [include_str!("cylinders.rs"), ELLIPTIC_TESTS].concat();
    Cases::parse(ROWS).assert_all_used_in(&tests);
}

/// Furlani 2001, closed form on the axis of a disc.
#[test]
fn on_the_axis_of_a_disc() {
    let rows = Cases::parse(ROWS);
    for id in [
        "disc_axis_10x4_z0",
        "disc_axis_10x4_z2",
        "disc_axis_10x4_z5",
        "disc_axis_10x4_z10",
        "disc_axis_10x4_z20",
    ] {
        let case = rows.get(id);
        let [diameter, length] = ["diameter_mm", "thickness_mm"].map(|key| case.input(key) * MM);
        let j = Vector3::z() * case.input("Br_T");
        let disc = Cylinder::new(diameter, length, j, Isometry3::identity()).unwrap();
        let z = 0.5 * length + case.input("distance_mm") * MM;
        case.check(&[(
            "B_mT",
            disc.field_at(&Point3::new(0.0, 0.0, z)).unwrap().z / MT,
        )]);
    }
}

/// The difference of two discs.
#[test]
fn on_the_axis_of_a_ring() {
    let rows = Cases::parse(ROWS);
    for id in [
        "ring_axis_12_5_2_z2",
        "ring_axis_12_5_2_z5",
        "ring_axis_12_5_2_z10",
    ] {
        let case = rows.get(id);
        let keys = ["outer_d_mm", "inner_d_mm", "thickness_mm"];
        let [outer, inner, length] = keys.map(|key| case.input(key) * MM);
        let j = Vector3::z() * case.input("Br_T");
        let ring = Ring::new(outer, inner, length, j, Isometry3::identity()).unwrap();
        let z = 0.5 * length + case.input("distance_mm") * MM;
        case.check(&[(
            "B_mT",
            ring.field_at(&Point3::new(0.0, 0.0, z)).unwrap().z / MT,
        )]);
    }
}

/// Derby and Olbert 2010.
#[test]
fn around_an_axial_cylinder() {
    let rows = Cases::parse(ROWS);
    for id in [
        "cyl_axial_r0_z4",
        "cyl_axial_r3_z4",
        "cyl_axial_r7_z0",
        "cyl_axial_r10_z5",
    ] {
        let case = rows.get(id);
        let [radius, length] = ["radius_mm", "length_mm"].map(|key| case.input(key) * MM);
        let j = Vector3::z() * case.input("Br_T");
        let cylinder = Cylinder::new(2.0 * radius, length, j, Isometry3::identity()).unwrap();
        let [rho, z] = ["rho_mm", "z_mm"].map(|key| case.input(key) * MM);
        let b = cylinder.field_at(&Point3::new(0.0, rho, z)).unwrap();
        case.check(&[("Brho_T", b.y), ("Bz_T", b.z)]);
    }
}

/// Caciagli and others 2018.
#[test]
fn around_a_cylinder_polarized_across() {
    let rows = Cases::parse(ROWS);
    for id in [
        "cyl_transverse_0_0_6",
        "cyl_transverse_8_0_0",
        "cyl_transverse_0_8_0",
    ] {
        let case = rows.get(id);
        let [radius, length] = ["radius_mm", "length_mm"].map(|key| case.input(key) * MM);
        let j = Vector3::x() * case.input("Br_T");
        let cylinder = Cylinder::new(2.0 * radius, length, j, Isometry3::identity()).unwrap();
        let point = ["x_mm", "y_mm", "z_mm"].map(|key| case.input(key) * MM);
        let b = cylinder.field_at(&point.into()).unwrap();
        case.check(&[("Bx_T", b.x), ("By_T", b.y), ("Bz_T", b.z)]);
    }
}
