//! How long a linkage takes: one angle, many angles, many linkages. `cargo bench --bench linkages`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use yokewright::linkage::{Branch, FourBar, FourBarGoal, fit_four_bar};

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
    let goal = FourBarGoal::ratio(1.5, -0.5, 0.5, 0.1).expect("a plausible goal");
    c.bench_function("four-bar fitted to a ratio, 16 starts", |b| {
        b.iter(|| fit_four_bar(black_box(&goal)))
    });
}

criterion_group!(benches, solve, synthesis);
criterion_main!(benches);
