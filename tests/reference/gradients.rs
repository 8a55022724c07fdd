//! The gradient of the field against a table in high precision.

use std::array::from_fn;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
use yokewright::magnet::Block;

/// Made by `block_gradient.py`, which says how.
const TABLE: &str = include_str!("block_gradient.csv");

/// Share of the Frobenius norm: what `Block` promises. The chain of some forty roundings costs up to 2e-15 (the worst of 30,000 points
/// spread over aspect ratios to 1e4, close and far).
const TOLERANCE: f64 = 1e-13;

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
