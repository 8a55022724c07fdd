//! What a gradient costs beside a field: blocks at many points. `cargo bench --bench gradients`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{Block, FieldSource};

/// One component of the polarization needs two of the three sets of edges, more need all.
const POLARIZATIONS: [(&str, [f64; 3]); 3] = [
    ("one component", [0.0, 0.0, 1.3]),
    ("two components", [0.0, 0.7, 1.1]),
    ("three components", [0.5, -0.7, 0.9]),
];
const POINTS: usize = 10_000;

/// Points spread evenly over the box of three half sides around the block (additive recurrence with the powers of the
/// root of x^4 = x + 1, which needs no generator).
fn points() -> Vec<Point3<f64>> {
    let step = Vector3::new(0.819_172_513, 0.671_043_607, 0.549_700_478);
    let half = Vector3::new(10e-3, 7.5e-3, 5e-3);
    let point = |i: usize| {
        let share = (step * i as f64).map(f64::fract);
        Point3::from((share.map(|s| 6.0 * s - 3.0)).component_mul(&half))
    };
    (1..=POINTS).map(point).collect()
}

fn block(c: &mut Criterion) {
    let points = points();
    let mut group = c.benchmark_group("block");
    group.throughput(Throughput::Elements(points.len() as u64));
    for (name, polarization) in POLARIZATIONS {
        let size = Vector3::new(20e-3, 15e-3, 10e-3);
        let block = Block::new(size, polarization.into(), Isometry3::identity())
            .expect("a plausible block");
        group.bench_function(format!("field, {name}"), |b| {
            b.iter(|| block.fields_at(black_box(&points)));
        });
        group.bench_function(format!("gradient, {name}"), |b| {
            b.iter(|| block.gradients_at(black_box(&points)));
        });
        group.bench_function(format!("gradient, {name}, point by point"), |b| {
            b.iter(|| {
                for point in &points {
                    black_box(block.gradient_at(black_box(point)).expect("not on an edge"));
                }
            });
        });
    }
    group.finish();
}

criterion_group!(benches, block);
criterion_main!(benches);
