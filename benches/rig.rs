//! How long the evaluation of the example rig takes, and a study of its builds. `cargo bench --bench rig`

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use yokewright::rig::{Design, RigYieldDemand};

fn rig(c: &mut Criterion) {
    let mut group = c.benchmark_group("training rig");
    group.sample_size(10);
    let text = include_str!("../examples/training_rig.toml");
    group.bench_function("read", |b| {
        b.iter(|| Design::parse(black_box(text), "rig").unwrap());
    });
    let design = Design::parse(text, "rig").unwrap();
    group.bench_function("evaluate, 1001 points", |b| {
        b.iter(|| black_box(&design).evaluate(1001).unwrap());
    });
    group.bench_function("slots at both ends", |b| {
        b.iter(|| black_box(&design).evaluate_slots().unwrap());
    });
    let demand = RigYieldDemand {
        builds: 1000,
        ..RigYieldDemand::default()
    };
    group.bench_function("yields of 1000 rigs", |b| {
        b.iter(|| black_box(&design).study_yields(&demand).unwrap());
    });
    group.finish();
}

criterion_group!(benches, rig);
criterion_main!(benches);
