//! How long a search for springs takes. `cargo bench --bench springs`, one core: `YOKEWRIGHT_THREADS=1`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use yokewright::spring::{
    CompressionDemand, ExtensionDemand, FatigueCriterion as MeanStress, LifeDemand, SizingTarget,
    StockArrangement, StockColumn, StockDemand, StockFormat, StockKind, StockList, StockQuantity,
    TorsionDemand, Wire, WireSurface, search_compression_springs, search_extension_springs,
    search_stock, search_torsion_springs,
};
use yokewright::units::{DEG, MM};

fn demand(wanted: SizingTarget, candidates: usize) -> CompressionDemand {
    let wire = Wire::named("EN 10270-1 SM").expect("a wire of the table");
    let diameters = wire.standard_diameters().len();
    let base = CompressionDemand::new(vec![wire], wanted, 20.0 * MM);
    let turns = match wanted {
        SizingTarget::Force { .. } => base.turn_steps,
        _ => 1,
    };
    CompressionDemand {
        bore: Some(30.0 * MM),
        rod: Some(8.0 * MM),
        life: Some(LifeDemand {
            cycles: 1e6,
            surface: WireSurface::Unpeened,
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
    let rate = SizingTarget::Rate {
        rate: 2000.0,
        preload: 20.0,
        start_length: None,
    };
    let force = SizingTarget::Force {
        force: 60.0,
        length: 50.0 * MM,
    };
    for (name, wanted) in [("a rate", rate), ("a force at a length", force)] {
        let demand = demand(wanted, 100_000);
        let sizing = search_compression_springs(&demand).expect("a demand that makes sense");
        assert!(sizing.tried >= 100_000 && sizing.fitting > 0);
        group.bench_function(name, |b| {
            b.iter(|| search_compression_springs(black_box(&demand)))
        });
    }
    group.finish();
}

const LIFE: LifeDemand = LifeDemand {
    cycles: 1e6,
    surface: WireSurface::Unpeened,
    criterion: MeanStress::Gerber,
    safety: 1.2,
};

fn coils(c: &mut Criterion) {
    let mut group = c.benchmark_group("extension and torsion springs, 1e5 candidates");
    group.sample_size(20);
    let wires = || vec![Wire::named("EN 10270-1 SM").expect("a wire of the table")];
    let coil_steps = 100_000_usize.div_ceil(wires()[0].standard_diameters().len());
    let extension = ExtensionDemand {
        life: Some(LIFE),
        coil_steps,
        ..ExtensionDemand::new(wires(), 500.0, 5.0, 40.0 * MM)
    };
    let torsion = TorsionDemand {
        life: Some(LIFE),
        coil_steps,
        arbor: Some(8.0 * MM),
        ..TorsionDemand::new(wires(), 0.6, 0.2, 50.0 * DEG)
    };
    assert!(search_extension_springs(&extension).is_ok_and(|found| found.fitting > 0));
    assert!(search_torsion_springs(&torsion).is_ok_and(|found| found.fitting > 0));
    group.bench_function("extension", |b| {
        b.iter(|| search_extension_springs(black_box(&extension)))
    });
    group.bench_function("torsion", |b| {
        b.iter(|| search_torsion_springs(black_box(&torsion)))
    });
    group.finish();
}

/// 447 springs make 1e5 pairs.
fn stock(c: &mut Criterion) {
    let mut text = "no,od,wire,free,longest,rate,initial\n".to_owned();
    for i in 0..447 {
        let (outer, rate) = (8.0 + 0.02 * f64::from(i), 0.1 + 0.002 * f64::from(i));
        text += &format!(
            "s{i},{outer},1.2,{},{},{rate},2\n",
            4.0 * outer,
            10.0 * outer
        );
    }
    let column = |quantity, heading: &str, unit: &str| StockColumn {
        quantity,
        heading: heading.to_owned(),
        unit: unit.to_owned(),
    };
    let columns = vec![
        column(StockQuantity::Name, "no", ""),
        column(StockQuantity::OuterDiameter, "od", "mm"),
        column(StockQuantity::WireDiameter, "wire", "mm"),
        column(StockQuantity::FreeLength, "free", "mm"),
        column(StockQuantity::LimitLength, "longest", "mm"),
        column(StockQuantity::Rate, "rate", "N/mm"),
        column(StockQuantity::InitialTension, "initial", "N"),
    ];
    let format = StockFormat {
        kind: StockKind::Extension,
        columns,
        delimiter: ',',
        decimal_comma: false,
        wire: Wire::named("EN 10270-1 SM").ok(),
    };
    let list = StockList::read(&text, &format).expect("a list");
    let demand = StockDemand {
        rate: 1000.0,
        rate_tolerance: 0.02,
        force: 12.0,
        force_tolerance: 0.1,
        travel: 15.0 * MM,
        room: [30.0 * MM, 200.0 * MM],
        bore: None,
        life: Some(LIFE),
        arrangements: vec![StockArrangement::Parallel],
    };
    assert!(search_stock(&list, &demand).is_ok_and(|found| found.tried > 100_000));
    let mut group = c.benchmark_group("stock list, 1e5 pairs");
    group.sample_size(20);
    group.bench_function("parallel", |b| {
        b.iter(|| search_stock(&list, black_box(&demand)))
    });
    group.finish();
}

criterion_group!(benches, sizing, coils, stock);
criterion_main!(benches);
