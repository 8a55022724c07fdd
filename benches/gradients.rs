//! What a gradient costs beside a field: every shape at many points. `cargo bench --bench gradients`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, Ring, Sphere};

const POINTS: usize = 10_000;
/// Half the outer measures of all magnets, m.
const HALF: [f64; 3] = [10e-3, 10e-3, 7e-3];

/// Points spread evenly over a box of so many half measures around the magnet, without those in the material (additive
/// recurrence with the powers of the root of x^4 = x + 1, which needs no generator).
fn points(magnet: &Magnet, reach: f64) -> Vec<Point3<f64>> {
    let step = Vector3::new(0.819_172_513, 0.671_043_607, 0.549_700_478);
    let half = Vector3::from(HALF) * reach;
    let point = |i: usize| {
        let share = (step * i as f64).map(f64::fract);
        Point3::from((share.map(|s| 2.0 * s - 1.0)).component_mul(&half))
    };
    let outside = |p: &Point3<f64>| magnet.distance(p).expect("not far") > 0.0;
    (1..).map(point).filter(outside).take(POINTS).collect()
}

/// Polarized along the axis, across and askew: of a block one component needs two of the three sets of edges, more
/// need all; of a round magnet each needs other functions.
fn magnets() -> Vec<(&'static str, Magnet)> {
    let pose = Isometry3::identity();
    let size = 2.0 * Vector3::from(HALF);
    let axial = Vector3::new(0.0, 0.0, 1.3);
    let across = Vector3::new(1.3, 0.0, 0.0);
    let askew = Vector3::new(0.5, -0.7, 0.9);
    let block = |j| Block::new(size, j, pose).expect("plausible").into();
    let cylinder = |j| {
        Cylinder::new(size.x, size.z, j, pose)
            .expect("plausible")
            .into()
    };
    let ring = |bore: f64, j| {
        Ring::new(size.x, bore * size.x, size.z, j, pose)
            .expect("plausible")
            .into()
    };
    vec![
        ("block, one component", block(axial)),
        ("block, three components", block(askew)),
        ("cylinder, axial", cylinder(axial)),
        ("cylinder, across", cylinder(across)),
        ("cylinder, askew", cylinder(askew)),
        ("ring, axial", ring(0.4, axial)),
        ("ring, across", ring(0.4, across)),
        ("thin ring, axial", ring(0.999, axial)),
        (
            "sphere",
            Sphere::new(size.x, askew, pose).expect("plausible").into(),
        ),
    ]
}

fn many_points(c: &mut Criterion) {
    for (place, reach) in [("near", 3.0), ("far", 30.0)] {
        for (name, magnet) in magnets() {
            let points = points(&magnet, reach);
            let mut group = c.benchmark_group(format!("{place}, {name}"));
            group.throughput(Throughput::Elements(points.len() as u64));
            group.bench_function("field", |b| b.iter(|| magnet.fields_at(black_box(&points))));
            group.bench_function("strength", |b| b.iter(|| magnet.hs_at(black_box(&points))));
            group.bench_function("gradient", |b| {
                b.iter(|| magnet.gradients_at(black_box(&points)))
            });
            group.bench_function("gradient, point by point", |b| {
                b.iter(|| {
                    for point in &points {
                        black_box(
                            magnet
                                .gradient_at(black_box(point))
                                .expect("not on an edge"),
                        );
                    }
                });
            });
            group.finish();
        }
    }
}

criterion_group!(benches, many_points);
criterion_main!(benches);
