//! How long a linkage takes: one angle, many angles, many linkages. `cargo bench --bench linkages`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use nalgebra::{Point3, Vector3};
use yokewright::linkage::{
    Arm, BallRod, Branch, FourBar, FourBarDemand, Pedal, PedalMember, PedalPair, search_four_bars,
};

fn four_bar() -> FourBar {
    FourBar::new(0.1, 0.04, 0.12, 0.08).expect("plausible lengths")
}

fn angles(count: usize) -> Vec<f64> {
    (0..count)
        .map(|i| (i as f64 * 0.618_034).fract() * 6.0 - 3.0)
        .collect()
}

/// Some microseconds long, so below the number from which the work is shared out among the cores.
const ONE_CORE: usize = 4096;

fn solve(c: &mut Criterion) {
    let bar = four_bar();
    let mut group = c.benchmark_group("four-bar");
    group.throughput(Throughput::Elements(1));
    group.bench_function("one pose", |b| {
        b.iter(|| bar.pose(black_box(0.7), Branch::Open))
    });
    group.bench_function("one transfer", |b| {
        b.iter(|| bar.transfer(black_box(0.7), Branch::Open))
    });
    let one_core = angles(ONE_CORE);
    group.throughput(Throughput::Elements(ONE_CORE as u64));
    group.bench_function("both branches, many angles, one core", |b| {
        b.iter(|| bar.solve_many(black_box(&one_core)));
    });
    let lengths: Vec<_> = (0..64)
        .map(|i| [0.1 + f64::from(i) * 1e-5, 0.04, 0.12, 0.08])
        .collect();
    let few = angles(64);
    group.bench_function("both branches, 64 linkages at 64 angles, one core", |b| {
        b.iter(|| FourBar::solve_grid(black_box(&lengths), black_box(&few)));
    });
    let single = angles(1);
    let lengths: Vec<_> = (0..ONE_CORE)
        .map(|i| [0.1 + i as f64 * 1e-6, 0.04, 0.12, 0.08])
        .collect();
    group.bench_function("both branches, 4096 linkages at one angle, one core", |b| {
        b.iter(|| FourBar::solve_grid(black_box(&lengths), black_box(&single)));
    });
    let all_cores = angles(1_000_000);
    group.throughput(Throughput::Elements(1_000_000));
    group.bench_function("both branches, a million angles, all cores", |b| {
        b.iter(|| bar.solve_many(black_box(&all_cores)));
    });
    group.finish();
}

fn synthesis(c: &mut Criterion) {
    let goal = FourBarDemand::ratio(1.5, -0.5, 0.5, 0.1).expect("a plausible goal");
    c.bench_function("four-bar fitted to a ratio, 16 starts", |b| {
        b.iter(|| search_four_bars(black_box(&goal)))
    });
}

/// A pedal that swings about y and a crank about z.
fn arms() -> [Arm; 2] {
    let hinge = Point3::new(0.0, 0.12, 0.0);
    let pedal = Arm::new(hinge, Vector3::y(), Point3::new(0.0, 0.06, 0.09));
    let pivot = Point3::new(-0.15, 0.0, 0.085);
    let crank = Arm::new(pivot, Vector3::z(), pivot + Vector3::y() * 0.045);
    [pedal, crank].map(|arm| arm.expect("a plausible arm"))
}

fn ball_rod(c: &mut Criterion) {
    let [pedal, crank] = arms();
    let rod = BallRod::new(pedal, crank).expect("not locked");
    let mut group = c.benchmark_group("ball-joint rod");
    group.throughput(Throughput::Elements(1));
    group.bench_function("new, with its locks", |b| {
        b.iter(|| BallRod::new(black_box(pedal), black_box(crank)));
    });
    group.bench_function("one transfer", |b| b.iter(|| rod.transfer(black_box(0.2))));
    let one_core: Vec<_> = angles(ONE_CORE).iter().map(|angle| 0.1 * angle).collect();
    group.throughput(Throughput::Elements(ONE_CORE as u64));
    group.bench_function("both assemblies, many angles, one core", |b| {
        b.iter(|| rod.solve_many(black_box(&one_core)));
    });
    group.bench_function("transfers, many angles, one core", |b| {
        b.iter(|| rod.transfers(black_box(&one_core)));
    });
    let rods: Vec<_> = (0..ONE_CORE)
        .map(|i| rod.with_rod_length(rod.rod_length() + i as f64 * 1e-7))
        .collect::<Result<_, _>>()
        .expect("a little longer");
    group.bench_function(
        "both assemblies, 4096 linkages at one angle, one core",
        |b| b.iter(|| BallRod::solve_grid(black_box(&rods), black_box(&[0.2]))),
    );
    let pad = Point3::new(0.0, 0.12, 0.18);
    let pedal = Pedal::new(pedal, pad, Vector3::x()).expect("a plausible pedal");
    let pair = PedalPair::mirrored(pedal, crank).expect("not locked");
    group.bench_function("pedal pair, many positions, one core", |b| {
        b.iter(|| pair.poses(PedalMember::Left, black_box(&one_core)));
    });
    group.finish();
}

criterion_group!(benches, solve, synthesis, ball_rod);
criterion_main!(benches);
