//! Time of the field of cylinder and ring: one point, and per point of many, near and far.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::magnet::{Cylinder, FieldSource, MagnetGroup, Ring};
use yokewright::units::MM;

const POINTS: usize = 100_000;
const OUTER: f64 = 10.0 * MM;
const LENGTH: f64 = 7.0 * MM;

/// Points in a box of `reach` half sizes, without those in the material; the same on every run.
fn cloud(reach: f64) -> Vec<Point3<f64>> {
    let mut state = 1_u64;
    let mut share = || {
        // The multiplier of D. E. Knuth's MMIX generator.
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    };
    let half = Vector3::new(OUTER, OUTER, LENGTH) * 0.5;
    let points = std::iter::repeat_with(|| {
        let shares = Vector3::new(share(), share(), share()) * reach;
        Point3::from(shares.component_mul(&half))
    });
    let outside = |p: &Point3<f64>| p.x.hypot(p.y) > half.x || p.z.abs() > half.z;
    points.filter(outside).take(POINTS).collect()
}

fn magnets() -> Vec<(&'static str, MagnetGroup)> {
    let pose = Isometry3::identity();
    let cylinder = |j: [f64; 3]| Cylinder::new(OUTER, LENGTH, j.into(), pose).unwrap().into();
    let ring = |bore, j: [f64; 3]| {
        Ring::new(OUTER, bore, LENGTH, j.into(), pose)
            .unwrap()
            .into()
    };
    vec![
        ("cylinder axial", cylinder([0.0, 0.0, 1.3])),
        ("cylinder across", cylinder([1.3, 0.0, 0.0])),
        ("cylinder oblique", cylinder([0.7, 0.2, 0.9])),
        ("ring axial", ring(0.4 * OUTER, [0.0, 0.0, 1.3])),
        ("ring across", ring(0.4 * OUTER, [1.3, 0.0, 0.0])),
        ("thin ring axial", ring(0.999 * OUTER, [0.0, 0.0, 1.3])),
    ]
}

fn many_points(c: &mut Criterion) {
    for (place, reach) in [("near", 3.0), ("far", 30.0)] {
        let points = cloud(reach);
        let mut group = c.benchmark_group(format!("many points, {place}"));
        group.throughput(Throughput::Elements(POINTS as u64));
        for (name, magnet) in magnets() {
            group.bench_function(name, |b| b.iter(|| magnet.fields_at(black_box(&points))));
        }
        group.finish();
    }
}

fn one_point(c: &mut Criterion) {
    let mut group = c.benchmark_group("one point");
    for (place, reach) in [("near", 3.0), ("far", 30.0)] {
        // Several in turn, because the form of the calculation depends on the point.
        let points = &cloud(reach)[..1000];
        group.throughput(Throughput::Elements(1000));
        for (name, magnet) in magnets() {
            group.bench_function(format!("{name}, {place}"), |b| {
                b.iter(|| {
                    for point in points {
                        black_box(magnet.field_at(black_box(point)).unwrap());
                    }
                });
            });
        }
    }
    group.finish();
}

criterion_group!(benches, many_points, one_point);
criterion_main!(benches);
