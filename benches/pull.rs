//! How long force and torque take, by the way they are found. `cargo bench --bench pull`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use yokewright::magnet::{
    Block, Cylinder, Magnet, MagnetGroup, Sphere, SteelPlate, pull, pull_within,
};
use yokewright::units::MM;

fn pose(x: f64, z: f64, turn: f64) -> Isometry3<f64> {
    Isometry3::from_parts(
        Translation3::new(x * MM, 0.0, z * MM),
        UnitQuaternion::from_scaled_axis(Vector3::z() * turn),
    )
}

fn cube(j: Vector3<f64>, pose: Isometry3<f64>) -> Magnet {
    let size = Vector3::repeat(10.0 * MM);
    Block::new(size, j, pose).expect("a plausible block").into()
}

fn disc(pose: Isometry3<f64>) -> Magnet {
    let j = Vector3::new(0.0, 0.0, 1.2);
    Cylinder::new(10.0 * MM, 5.0 * MM, j, pose)
        .expect("a plausible disc")
        .into()
}

fn pairs(c: &mut Criterion) {
    let mut group = c.benchmark_group("pull");
    let (axial, oblique) = (Vector3::new(0.0, 0.0, 1.2), Vector3::new(0.3, -0.2, 1.2));
    let here = pose(0.0, 0.0, 0.0);
    let ball = Sphere::new(10.0 * MM, axial, pose(3.0, 14.0, 0.0)).expect("a plausible ball");
    let cases = [
        (
            "parallel blocks, axial",
            cube(axial, here),
            cube(axial, pose(3.0, 12.0, 0.0)),
        ),
        (
            "parallel blocks, oblique",
            cube(oblique, here),
            cube(oblique, pose(3.0, 12.0, 0.0)),
        ),
        (
            "parallel blocks, touching",
            cube(oblique, here),
            cube(oblique, pose(3.0, 10.0, 0.0)),
        ),
        (
            "blocks askew",
            cube(axial, here),
            cube(axial, pose(3.0, 14.0, 0.6)),
        ),
        (
            "blocks far",
            cube(axial, here),
            cube(axial, pose(100.0, 150.0, 0.6)),
        ),
        ("discs in line", disc(here), disc(pose(0.0, 7.0, 0.0))),
        ("discs out of line", disc(here), disc(pose(3.0, 7.0, 0.0))),
        ("disc and ball", disc(here), ball.into()),
    ];
    for (name, a, b) in &cases {
        group.bench_function(*name, |bencher| {
            bencher
                .iter(|| pull(black_box(a), black_box(b), Point3::origin()).expect("no overlap"));
        });
    }
    group.sample_size(10);
    let (a, b) = (cube(axial, here), cube(axial, pose(3.0, 10.0, 0.6)));
    for tolerance in [1e-3, 1e-6, 1e-9] {
        group.bench_function(
            format!("blocks touching askew, to {tolerance:e}"),
            |bencher| {
                bencher.iter(|| {
                    pull_within(black_box(&a), black_box(&b), Point3::origin(), tolerance)
                });
            },
        );
    }
    let plate = SteelPlate::new(Point3::origin(), Vector3::z()).expect("a plausible plate");
    let magnets = MagnetGroup::from(disc(pose(0.0, 3.0, 0.0)));
    group.bench_function("disc to a plate", |bencher| {
        bencher.iter(|| {
            plate
                .pull(black_box(&magnets), Point3::origin())
                .expect("in front")
        });
    });
    group.bench_function("thickness of a plate", |bencher| {
        bencher.iter(|| {
            plate
                .thickness_for(black_box(&magnets), 2.0)
                .expect("in front")
        });
    });
    group.finish();
}

criterion_group!(benches, pairs);
criterion_main!(benches);
