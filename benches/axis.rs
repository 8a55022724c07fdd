//! How long the figures of one axis and the search over arrangements take. `cargo bench --bench axis`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::{Isometry3, Vector3};
use yokewright::axis::{
    AnyArrangement, Arrangement, ArrangementDemand, Axis, Measure, Moving, PairLayout,
    PairLayoutSpec, SwungLayout, SwungLayoutSpec, VariedMeasure, search_arrangements,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::Block;
use yokewright::units::{DEG, MM, MV_PER_MT};

/// Degrees to each side.
const THROW: f64 = 6.0;
const WIDE: f64 = 25.0;
/// Magnets to choose from.
const MAGNETS: usize = 20;

fn cube(side: f64, polarization: Vector3<f64>) -> Block {
    Block::new(Vector3::repeat(side), polarization, Isometry3::identity()).expect("plausible")
}

fn swung(side: f64) -> AnyArrangement {
    let cube = cube(side, Vector3::new(0.0, 1.3, 0.0));
    let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM));
    layout.expect("plausible").into()
}

fn pair(side: f64) -> AnyArrangement {
    let cube = cube(side, Vector3::new(1.3, 0.0, 0.0));
    let spec = PairLayoutSpec::new(cube, 12.0 * MM, 4.0 * MM, 2.0 * MM);
    PairLayout::new(spec.expect("plausible"))
        .expect("plausible")
        .into()
}

fn sensor() -> LinearHall {
    LinearHall::new(LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)).expect("plausible")
}

fn converter() -> Converter {
    Converter::new(12, 5.0, Rounding::Nearest, 0.0).expect("plausible")
}

fn axis() -> Axis {
    let throw = [-THROW * DEG, THROW * DEG];
    let axis = swung(5.0 * MM).axis(throw, sensor(), converter(), Moving::Magnets);
    axis.expect("plausible")
}

fn demand(arrangements: Vec<AnyArrangement>, throw: f64) -> ArrangementDemand {
    ArrangementDemand::new(
        arrangements,
        vec![sensor().into()],
        converter(),
        [-throw * DEG, throw * DEG],
        vec![
            VariedMeasure::new(Measure::Arm, [8.0 * MM, 20.0 * MM]),
            VariedMeasure::new(Measure::Gap, [1.0 * MM, 8.0 * MM]),
        ],
    )
}

/// One cube swung past its sensor.
fn one_axis(c: &mut Criterion) {
    let mut group = c.benchmark_group("one axis");
    let axis = axis();
    group.bench_function("figures, 1001 points", |b| {
        b.iter(|| black_box(&axis).figures(1001));
    });
    group.bench_function("sweep, 1001 points", |b| {
        b.iter(|| black_box(&axis).sweep(1001));
    });
    let angles: Vec<f64> = (0..1001).map(|i| f64::from(i) * 2e-4 - 0.1).collect();
    group.bench_function("flux densities at 1001 angles", |b| {
        b.iter(|| black_box(&axis).fluxes_at(black_box(&angles)));
    });
    group.finish();
}

fn search(c: &mut Criterion) {
    let mut group = c.benchmark_group("search for an arrangement");
    group.sample_size(10);
    let sides = (0..MAGNETS).map(|i| swung((3.0 + 0.4 * i as f64) * MM));
    let twenty = demand(sides.collect(), THROW);
    group.bench_function("20 magnets, arm and gap", |b| {
        b.iter(|| search_arrangements(black_box(&twenty)));
    });
    let mut two = demand(vec![pair(10.0 * MM)], WIDE);
    two.vary
        .push(VariedMeasure::new(Measure::Spacing, [0.0, 12.0 * MM]));
    group.bench_function("a pair: arm, gap and spacing", |b| {
        b.iter(|| search_arrangements(black_box(&two)));
    });
    group.finish();
}

criterion_group!(benches, one_axis, search);
criterion_main!(benches);
