//! The field of the block against a table in high precision and against published values.

use std::array::from_fn;

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::{MM, MT};

use crate::cases::Cases;

/// Made by `block_field.py`, which says how.
const TABLE: &str = include_str!("block_field.csv");
const ROWS: &str = include_str!("magnets.toml");

/// Share of |B|: what `Block` promises. The chain of some fifty roundings costs up to 7e-15 (the worst that a search
/// for bad points could find).
const TABLE_TOLERANCE: f64 = 1e-13;

struct Row {
    region: &'static str,
    size: Vector3<f64>,
    polarization: Vector3<f64>,
    point: Point3<f64>,
    b: Vector3<f64>,
}

fn table() -> Vec<Row> {
    let row = |line: &'static str| {
        let (region, numbers) = line.split_once(',').expect("a region, then numbers");
        let numbers = numbers.split(',').map(|text| text.parse().unwrap());
        let numbers: [f64; 12] = numbers.collect::<Vec<f64>>().try_into().unwrap();
        let vector = |first: usize| Vector3::from(from_fn::<f64, 3, _>(|i| numbers[first + i]));
        Row {
            region,
            size: vector(0),
            polarization: vector(3),
            point: vector(6).into(),
            b: vector(9),
        }
    };
    TABLE.lines().skip(1).map(row).collect()
}

fn block(size: Vector3<f64>, polarization: Vector3<f64>) -> Block {
    Block::new(size, polarization, Isometry3::identity()).unwrap()
}

#[test]
fn block_field_table() {
    let table = table();
    assert_eq!(table.len(), 568, "the whole table");
    for rows in table.chunk_by(|a, b| a.size == b.size && a.polarization == b.polarization) {
        let block = block(rows[0].size, rows[0].polarization);
        let points: Vec<_> = rows.iter().map(|row| row.point).collect();
        let batch = block.fields_at(&points);
        for (i, row) in rows.iter().enumerate() {
            let single = block.field_at(&row.point).unwrap();
            assert!(batch.valid[i]);
            for (path, value) in [("field_at", single), ("fields_at", batch.values[i])] {
                let error = (value - row.b).norm() / row.b.norm();
                assert!(
                    error <= TABLE_TOLERANCE,
                    "{path}, {}: {error:e} at {} of the block {:?}",
                    row.region,
                    row.point,
                    row.size
                );
            }
        }
    }
}

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("magnets.rs"));
}

/// Furlani 2001, closed form on the axis of a block.
#[test]
fn on_the_axis() {
    let rows = Cases::parse(ROWS);
    for id in [
        "block_axis_10x8x4_z0",
        "block_axis_10x8x4_z2",
        "block_axis_10x8x4_z5",
        "block_axis_10x8x4_z10",
        "block_axis_10x8x4_z20",
    ] {
        on_axis(&rows, id);
    }
}

/// The figure of a catalog, so with the spread of a remanence range.
#[test]
fn catalog_flux_density_at_the_pole_face() {
    on_axis(&Cases::parse(ROWS), "catalogue_block_42x20x5");
}

fn on_axis(rows: &Cases, id: &str) {
    let case = rows.get(id);
    let sides = ["length_mm", "width_mm", "thickness_mm"].map(|key| case.input(key) * MM);
    let block = block(sides.into(), Vector3::z() * case.input("Br_T"));
    let z = 0.5 * sides[2] + case.input("distance_mm") * MM;
    let b = block.field_at(&Point3::new(0.0, 0.0, z)).unwrap();
    assert_eq!((b.x, b.y), (0.0, 0.0));
    case.check(&[("B_mT", b.z / MT)]);
}

/// Engel-Herbert and Hesjedal 2005, off the axis.
#[test]
fn in_the_open() {
    let rows = Cases::parse(ROWS);
    for id in ["block_0_0_5", "block_7_3_5"] {
        let case = rows.get(id);
        let sides = ["a_mm", "b_mm", "c_mm"].map(|key| case.input(key) * MM);
        let block = block(sides.into(), Vector3::z() * case.input("Br_T"));
        let point = ["x_mm", "y_mm", "z_mm"].map(|key| case.input(key) * MM);
        let b = block.field_at(&point.into()).unwrap();
        case.check(&[("Bx_T", b.x), ("By_T", b.y), ("Bz_T", b.z)]);
    }
}

/// Aharoni 1998: the demagnetizing factor is the mean of -mu0 H / J over the block, that is 1 minus the mean of B / J.
#[test]
fn demagnetizing_factors_of_prisms() {
    let rows = Cases::parse(ROWS);
    for id in [
        "prism_cube",
        "prism_1_1_0p5",
        "prism_1_1_2",
        "prism_1_1_5",
        "prism_1_1_10",
        "prism_2_3_1",
    ] {
        let case = rows.get(id);
        let half = Vector3::from(["a", "b", "c"].map(|key| case.input(key) * MM));
        case.check(&[("Nz", 1.0 - mean_of_b(half))]);
    }
}

/// Mean over the block of B_z for a polarization of 1 T along z, by Gauss-Legendre quadrature of one octant.
///
/// B jumps with direction around an edge. The substitution 1 - x = (1 - u)^4 crowds the points towards the faces, and
/// 40 a side then leave less than 1e-12 (measured against 120).
fn mean_of_b(half: Vector3<f64>) -> f64 {
    let rule = gauss_legendre(40);
    let graded = rule.iter().map(|&(u, weight)| {
        let rest = 1.0 - u;
        (1.0 - rest.powi(4), 4.0 * rest.powi(3) * weight)
    });
    let graded: Vec<_> = graded.collect();
    let mut points = Vec::new();
    let mut weights = Vec::new();
    for &(x, wx) in &graded {
        for &(y, wy) in &graded {
            for &(z, wz) in &graded {
                points.push(Vector3::new(x, y, z).component_mul(&half).into());
                weights.push(wx * wy * wz);
            }
        }
    }
    let fields = block(2.0 * half, Vector3::z()).fields_at(&points);
    let values = fields.values.iter().zip(&weights);
    values.map(|(b, weight)| b.z * weight).sum()
}

/// Nodes and weights on [0, 1]: roots of the Legendre polynomial by Newton's method from the usual cosine guess.
fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    let node = |i: usize| {
        let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..8 {
            let (mut before, mut p) = (1.0, x);
            for k in 2..=n {
                let k = k as f64;
                (before, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k);
            }
            slope = n as f64 * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..n).map(node).collect()
}
