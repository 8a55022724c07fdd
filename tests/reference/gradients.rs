//! Gradient and field strength against tables in high precision.

use std::array::from_fn;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, Ring};
use yokewright::units::MU_0;

/// Made by `block_gradient.py`, which says how.
const TABLE: &str = include_str!("block_gradient.csv");

/// Share of the Frobenius norm: what `Block` promises. The chain of some forty roundings costs up to 2e-15 (the worst
/// of 30,000 points spread over aspect ratios to 1e4, close and far).
const TOLERANCE: f64 = 1e-13;

/// Made by `cylinder_gradient.py`, which says how.
const ROUND_TABLE: &str = include_str!("cylinder_gradient.csv");
/// Share of |T| |J|, the parts that the gradient is summed from: what `Cylinder` and `Ring` promise. The worst row has
/// 2e-14.
const ROUND_TOLERANCE: f64 = 1e-12;

/// Made by `block_strength.py` and `cylinder_strength.py`, which say how.
const BLOCK_STRENGTHS: &str = include_str!("block_strength.csv");
const ROUND_STRENGTHS: &str = include_str!("cylinder_strength.csv");
/// Shares of |H|: what `Block`, and what `Cylinder` and `Ring` promise.
const BLOCK_STRENGTH_TOLERANCE: f64 = 1e-13;
const ROUND_STRENGTH_TOLERANCE: f64 = 1e-12;

struct Row {
    region: &'static str,
    size: Vector3<f64>,
    polarization: Vector3<f64>,
    point: Point3<f64>,
    gradient: Matrix3<f64>,
}

fn table() -> Vec<Row> {
    let row = |line: &'static str| {
        let (region, numbers) = line.split_once(',').expect("a region, then numbers");
        let numbers = numbers.split(',').map(|text| text.parse().unwrap());
        let numbers: [f64; 15] = numbers.collect::<Vec<f64>>().try_into().unwrap();
        let vector = |first: usize| Vector3::from(from_fn::<f64, 3, _>(|i| numbers[first + i]));
        let [xx, xy, xz, yy, yz, zz] = from_fn(|i| numbers[9 + i]);
        Row {
            region,
            size: vector(0),
            polarization: vector(3),
            point: vector(6).into(),
            gradient: Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz),
        }
    };
    TABLE.lines().skip(1).map(row).collect()
}

#[test]
fn block_gradient_table() {
    let table = table();
    assert_eq!(table.len(), 537, "the whole table");
    for rows in table.chunk_by(|a, b| a.size == b.size && a.polarization == b.polarization) {
        let block = Block::new(rows[0].size, rows[0].polarization, Isometry3::identity()).unwrap();
        let points: Vec<_> = rows.iter().map(|row| row.point).collect();
        let batch = block.gradients_at(&points);
        for (i, row) in rows.iter().enumerate() {
            let single = block.gradient_at(&row.point).unwrap();
            assert!(batch.valid[i]);
            for (path, value) in [("gradient_at", single), ("gradients_at", batch.values[i])] {
                let error = (value - row.gradient).norm() / row.gradient.norm();
                assert!(
                    error <= TOLERANCE,
                    "{path}, {}: {error:e} at {} of the block {:?}",
                    row.region,
                    row.point,
                    row.size
                );
            }
        }
    }
}

/// `N` numbers from a line, from the column `first` on.
fn numbers<const N: usize>(line: &str, first: usize) -> [f64; N] {
    let texts: Vec<&str> = line.split(',').skip(first).collect();
    assert_eq!(texts.len(), N, "{line}");
    from_fn(|i| texts[i].parse().unwrap())
}

/// A cylinder, or with an inner diameter a ring.
fn round(diameters: [f64; 2], length: f64, polarization: [f64; 3]) -> Magnet {
    let ([outer, inner], j, pose) = (diameters, polarization.into(), Isometry3::identity());
    if inner > 0.0 {
        Ring::new(outer, inner, length, j, pose).unwrap().into()
    } else {
        Cylinder::new(outer, length, j, pose).unwrap().into()
    }
}

#[test]
fn cylinder_and_ring_gradient_table() {
    let mut rows = 0;
    for line in ROUND_TABLE.lines().skip(1) {
        let n: [f64; 16] = numbers(line, 1);
        let magnet = round([n[0], n[1]], n[2], [n[3], n[4], n[5]]);
        let point = Point3::new(n[6], n[7], n[8]);
        let [xx, xy, xz, yy, yz, zz] = from_fn(|i| n[9 + i]);
        let expected = Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz);
        let single = magnet.gradient_at(&point).unwrap();
        let batch = magnet.gradients_at(&[point]);
        assert!(batch.valid[0]);
        for (path, value) in [("gradient_at", single), ("gradients_at", batch.values[0])] {
            let error = (value - expected).norm() / n[15];
            assert!(error <= ROUND_TOLERANCE, "{path}: {error:e}: {line}");
        }
        rows += 1;
    }
    assert_eq!(rows, 956, "the whole table");
}

#[test]
fn strength_tables() {
    let mut rows = [0, 0];
    for line in BLOCK_STRENGTHS.lines().skip(1) {
        let n: [f64; 12] = numbers(line, 0);
        let vector = |first: usize| Vector3::from(from_fn::<f64, 3, _>(|i| n[first + i]));
        let block = Block::new(vector(0), vector(3), Isometry3::identity()).unwrap();
        let h = block.h_at(&Point3::from(vector(6))).unwrap();
        let error = (h * MU_0 - vector(9)).norm() / vector(9).norm();
        assert!(error <= BLOCK_STRENGTH_TOLERANCE, "{error:e}: {line}");
        rows[0] += 1;
    }
    for line in ROUND_STRENGTHS.lines().skip(1) {
        let n: [f64; 12] = numbers(line, 0);
        let magnet = round([n[0], n[1]], n[2], [n[3], n[4], n[5]]);
        let h = magnet.h_at(&Point3::new(n[6], n[7], n[8])).unwrap();
        let expected = Vector3::new(n[9], n[10], n[11]);
        let error = (h * MU_0 - expected).norm() / expected.norm();
        assert!(error <= ROUND_STRENGTH_TOLERANCE, "{error:e}: {line}");
        rows[1] += 1;
    }
    assert_eq!(rows, [84, 39], "the whole tables");
}
