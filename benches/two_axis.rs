//! How long both readings of a stick take over a whole gate. `cargo bench --bench two_axis`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use yokewright::axis::{CarriedMagnets, CarriedSensor, Carrier, ReadBy, TwoAxis, TwoAxisSpec};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Gate, Gimbal, GimbalSpec, Pivot};
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::{DEG, MM, MV_PER_MT};

/// Angles along each axis.
const SIDE: usize = 101;
const THROW: f64 = 15.0 * DEG;

fn block(polarization: Vector3<f64>, at: Vector3<f64>) -> Block {
    let size = Vector3::repeat(5.0 * MM);
    Block::new(size, polarization, Isometry3::from(at)).expect("a plausible block")
}

fn pitch() -> Block {
    block(
        Vector3::new(0.0, 0.0, 1.2),
        Vector3::new(-0.020, 0.050, 0.0),
    )
}

fn rig(pitch_on: Carrier, sensors_on: [Carrier; 2]) -> TwoAxis {
    let roll = block(
        Vector3::new(0.0, 1.2, 0.0),
        Vector3::new(0.010, 0.0, -0.020),
    );
    let pivot = |direction| Pivot::new(Point3::origin(), direction).expect("a direction");
    let stick = vec![Point3::origin(), Point3::new(0.0, 0.0, 0.4)];
    let gimbal = Gimbal::new(GimbalSpec::new(
        pivot(Vector3::y()),
        pivot(Vector3::x()),
        stick,
    ));
    let sensor = LinearHall::new(LinearHallSpec::new(5.0, 10.0 * MV_PER_MT)).expect("plausible");
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).expect("plausible");
    let facing = UnitQuaternion::from_scaled_axis(Vector3::y() * (90.0 * DEG));
    TwoAxis::new(TwoAxisSpec::new(
        gimbal.expect("a plausible gimbal"),
        Gate::square([-THROW, THROW], [-THROW, THROW]).expect("a plausible gate"),
        vec![
            CarriedMagnets::new(pitch(), pitch_on, ReadBy::Outer),
            CarriedMagnets::new(roll, Carrier::Stick, ReadBy::Inner),
        ],
        CarriedSensor::new(
            sensor.clone(),
            Isometry3::from_parts(Vector3::new(-0.029, 0.050, 0.0).into(), facing),
            sensors_on[0],
            converter.clone(),
        ),
        CarriedSensor::new(
            sensor,
            Isometry3::translation(0.010, 0.0, -0.030),
            sensors_on[1],
            converter,
        ),
    ))
    .expect("a plausible rig")
}

/// Both readings all over a gate, beside the four fields that they are made of.
fn gate(c: &mut Criterion) {
    let mut group = c.benchmark_group("stick, 101 x 101 positions, two blocks, two sensors");
    group.throughput(Throughput::Elements((SIDE * SIDE) as u64));
    let angle = |i: usize| THROW * (2.0 * i as f64 / (SIDE - 1) as f64 - 1.0);
    let outer: Vec<f64> = (0..SIDE * SIDE).map(|i| angle(i / SIDE)).collect();
    let inner: Vec<f64> = (0..SIDE * SIDE).map(|i| angle(i % SIDE)).collect();
    // Where one sensor stands on the frame and the other on the ring, one of the four pairs does not move.
    let usual = rig(Carrier::Ring, [Carrier::Frame, Carrier::Ring]);
    let all_move = rig(Carrier::Stick, [Carrier::Frame, Carrier::Frame]);
    for (name, two) in [
        ("parts as they belong", &usual),
        ("all pairs move", &all_move),
    ] {
        group.bench_function(format!("flux densities, {name}"), |b| {
            b.iter(|| two.fluxes_at(black_box(&outer), black_box(&inner)));
        });
    }
    group.bench_function("readings, all pairs move", |b| {
        b.iter(|| all_move.readings_at(black_box(&outer), black_box(&inner)));
    });
    let points: Vec<Point3<f64>> = outer
        .iter()
        .zip(&inner)
        .map(|(o, i)| Point3::new(-0.029 + 0.02 * o, 0.050 + 0.02 * i, 0.01 * o * i))
        .collect();
    let block = pitch();
    group.bench_function("four times the field of one block", |b| {
        b.iter(|| {
            for _ in 0..4 {
                black_box(block.fields_at(black_box(&points)));
            }
        });
    });
    group.finish();
}

/// Figures over a gate.
fn figures(c: &mut Criterion) {
    let mut group = c.benchmark_group("stick, figures over a gate");
    group.sample_size(20);
    let two = rig(Carrier::Stick, [Carrier::Frame, Carrier::Ring]);
    group.bench_function("clearance", |b| b.iter(|| black_box(&two).clearance()));
    group.bench_function("crosstalk, 41 points", |b| {
        b.iter(|| black_box(&two).crosstalk(41));
    });
    group.bench_function("correction, 41 x 41 points", |b| {
        b.iter(|| black_box(&two).correction(Default::default(), 41));
    });
    group.finish();
}

criterion_group!(benches, gate, figures);
criterion_main!(benches);
