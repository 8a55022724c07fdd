//! How long a search for springs takes. `cargo bench --bench springs`, one core: `RAYON_NUM_THREADS=1`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use yokewright::spring::{
    CompressionDemand, Criterion as MeanStress, LifeDemand, Surface, Wanted, Wire,
};
use yokewright::units::MM;

fn demand(wanted: Wanted, candidates: usize) -> CompressionDemand {
    let wire = Wire::named("EN 10270-1 SM").expect("a wire of the table");
    let diameters = wire.standard_diameters().len();
    let base = CompressionDemand::new(vec![wire], wanted, 20.0 * MM);
    let turns = match wanted {
        Wanted::Force { .. } => base.turn_steps,
        _ => 1,
    };
    CompressionDemand {
        bore: Some(30.0 * MM),
        rod: Some(8.0 * MM),
        life: Some(LifeDemand {
            cycles: 1e6,
            surface: Surface::Unpeened,
            criterion: MeanStress::Gerber,
            safety: 1.2,
        }),
        coil_steps: candidates.div_ceil(diameters * turns),
        ..base
    }
}

fn sizing(c: &mut Criterion) {
    let mut group = c.benchmark_group("compression springs, 1e5 candidates");
    group.sample_size(20);
    let rate = Wanted::Rate {
        rate: 2000.0,
        preload: 20.0,
        start_length: None,
    };
    let force = Wanted::Force {
        force: 60.0,
        length: 50.0 * MM,
    };
    for (name, wanted) in [("a rate", rate), ("a force at a length", force)] {
        let demand = demand(wanted, 100_000);
        let sizing = demand.search().expect("a demand that makes sense");
        assert!(sizing.tried >= 100_000 && sizing.fitting > 0);
        group.bench_function(name, |b| b.iter(|| black_box(&demand).search()));
    }
    group.finish();
}

criterion_group!(benches, sizing);
criterion_main!(benches);
