//! How long a field takes: one point, many points, a sweep of an axis. `cargo bench --bench fields`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{Block, FieldSource};
use yokewright::rig::Design;

/// Every further component of the polarization costs a logarithm or an angle.
const POLARIZATIONS: [(&str, [f64; 3]); 3] = [
    ("one component", [0.0, 0.0, 1.3]),
    ("two components", [0.0, 0.7, 1.1]),
    ("three components", [0.5, -0.7, 0.9]),
];

fn block(polarization: [f64; 3]) -> Block {
    let size = Vector3::new(20e-3, 15e-3, 10e-3);
    Block::new(size, polarization.into(), Isometry3::identity()).expect("a plausible block")
}

/// Points spread evenly over the box of three half sides around the block (additive recurrence with the powers of the
/// root of x^4 = x + 1, which needs no generator).
fn points(n: usize) -> Vec<Point3<f64>> {
    let step = Vector3::new(0.819_172_513, 0.671_043_607, 0.549_700_478);
    let half = Vector3::new(10e-3, 7.5e-3, 5e-3);
    let point = |i: usize| {
        let share = (step * i as f64).map(f64::fract);
        Point3::from((share.map(|s| 6.0 * s - 3.0)).component_mul(&half))
    };
    (1..=n).map(point).collect()
}

fn one_point(c: &mut Criterion) {
    let mut group = c.benchmark_group("block, one point");
    let points = points(1000);
    group.throughput(Throughput::Elements(points.len() as u64));
    for (name, polarization) in POLARIZATIONS {
        let block = block(polarization);
        group.bench_function(name, |b| {
            b.iter(|| {
                for point in &points {
                    black_box(block.field_at(black_box(point)).expect("not on an edge"));
                }
            });
        });
    }
    group.finish();
}

fn many_points(c: &mut Criterion) {
    let mut group = c.benchmark_group("block, many points");
    for n in [1_000, 100_000] {
        let points = points(n);
        group.throughput(Throughput::Elements(n as u64));
        for (name, polarization) in POLARIZATIONS {
            let block = block(polarization);
            group.bench_with_input(BenchmarkId::new(name, n), &points, |b, points| {
                b.iter(|| block.fields_at(black_box(points)));
            });
        }
    }
    group.finish();
}

fn sweep(c: &mut Criterion) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/trainer_stick.toml");
    let design = Design::load(path).expect("the example is well formed");
    let evaluation = design.evaluate(3).expect("the example can be built");
    let axis = evaluation.axes()[0].axis();
    let mut group = c.benchmark_group("axis");
    group.throughput(Throughput::Elements(1001));
    group.bench_function("sweep of 1001 angles", |b| {
        b.iter(|| black_box(axis).sweep(1001).expect("no collision"));
    });
    group.finish();
}

criterion_group!(benches, one_point, many_points, sweep);
criterion_main!(benches);
