//! A tolerance study of one control: all figures of a build at 41 angles, yield and moments; a divider by the builds
//! gives the time of one. `YOKEWRIGHT_THREADS=1` for one core.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use yokewright::axis::{
    ControlDesign, ControlDesignSpec, SwungLayout, SwungLayoutSpec, Tolerance,
    TolerantDesignDemand, VariedInput, YieldDemand, YieldTarget, search_tolerant_designs,
    study_yield,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Arm, BallRod};
use yokewright::magnet::Block;
use yokewright::nalgebra::{Isometry3, Point3, Vector3};
use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};

fn stick() -> ControlDesignSpec {
    let j = Vector3::new(0.0, 1300.0 * MT, 0.0);
    let cube = Block::new(Vector3::repeat(5.0 * MM), j, Isometry3::identity()).unwrap();
    let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM)).unwrap();
    let sensor = LinearHall::new(LinearHallSpec {
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.15 * MV,
        ..LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)
    });
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
    ControlDesignSpec::new(layout, [-6.0 * DEG, 6.0 * DEG], sensor.unwrap(), converter)
}

/// A pedal of 100 mm that turns a crank of 50 mm, which the magnet is on.
fn behind_a_rod() -> ControlDesignSpec {
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let pedal = Arm::new(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 100.0)).unwrap();
    let pedal = pedal.with_stud(Vector3::y(), 25.0 * DEG).unwrap();
    let pivot = at(200.0, -60.0, 100.0);
    let crank = Arm::new(pivot, Vector3::z(), at(200.0, -10.0, 100.0)).unwrap();
    let mut spec = stick();
    spec.drive = BallRod::new(pedal, crank).unwrap().into();
    spec.throw = [-3.0 * DEG, 3.0 * DEG];
    spec
}

/// Ten toleranced inputs.
fn demand(builds: u64) -> YieldDemand {
    let lengths = [
        ("gap", 0.3),
        ("arm", 0.2),
        ("radial offset", 0.2),
        ("tangential offset", 0.3),
        ("axial offset", 0.3),
        ("magnet width", 0.1),
        ("magnet depth", 0.1),
    ];
    let shares = [
        ("polarization", 0.05),
        ("sensor.sensitivity", 0.1),
        ("sensor.quiescent", 0.02),
    ];
    let lengths = lengths.map(|(input, p)| Tolerance::plus_minus(input, p * MM).unwrap());
    let shares = shares.map(|(input, p)| Tolerance::plus_minus_share(input, p).unwrap());
    YieldDemand {
        builds,
        targets: vec![
            YieldTarget::at_least("range used", 0.8).unwrap(),
            YieldTarget::at_most("clipped share", 0.0).unwrap(),
            YieldTarget::at_most("independent linearity", 0.005).unwrap(),
            YieldTarget::at_least("clearance", 1.5 * MM).unwrap(),
        ],
        ..YieldDemand::new([lengths.to_vec(), shares.to_vec()].concat())
    }
}

fn tolerance(c: &mut Criterion) {
    let mut group = c.benchmark_group("tolerance");
    group.sample_size(10);
    let design = ControlDesign::new(stick()).unwrap();
    let builds = 1 << 17;
    group.throughput(Throughput::Elements(builds));
    group.bench_function("direct axis", |b| {
        b.iter(|| study_yield(black_box(&design), &demand(builds)).unwrap());
    });
    let few = 1 << 12;
    group.throughput(Throughput::Elements(few));
    // Any other input goes the long way of `Axis::figures`.
    let mut long = demand(few);
    long.tolerances
        .push(Tolerance::plus_minus_share("converter.reference", 0.01).unwrap());
    group.bench_function("the long way", |b| {
        b.iter(|| study_yield(black_box(&design), &long).unwrap());
    });
    // Behind a rod: the same in all builds, another one in each, and that one after the other.
    let driven = ControlDesign::new(behind_a_rod()).unwrap();
    group.throughput(Throughput::Elements(builds));
    group.bench_function("behind a ball-joint rod", |b| {
        b.iter(|| study_yield(black_box(&driven), &demand(builds)).unwrap());
    });
    let mut rods = demand(builds);
    let of_rod = [
        "rod_length",
        "input.joint.2",
        "output.joint.0",
        "output.pivot.point.1",
    ];
    rods.tolerances.extend(
        of_rod.map(|number| Tolerance::plus_minus(format!("drive.{number}"), 0.2 * MM).unwrap()),
    );
    group.bench_function("behind ball-joint rods that differ", |b| {
        b.iter(|| study_yield(black_box(&driven), &rods).unwrap());
    });
    rods.builds = few;
    rods.tolerances
        .push(long.tolerances[long.tolerances.len() - 1].clone());
    group.throughput(Throughput::Elements(few));
    group.bench_function("behind ball-joint rods that differ, the long way", |b| {
        b.iter(|| study_yield(black_box(&driven), &rods).unwrap());
    });
    group.throughput(Throughput::Elements(200 * 10_000));
    let varied = [("arm", 10.0, 16.0), ("gap", 1.0, 4.0)];
    let varied = varied.map(|(input, min, max)| VariedInput {
        input: input.to_owned(),
        min: min * MM,
        max: max * MM,
    });
    let search = TolerantDesignDemand::new(demand(10_000), varied.to_vec());
    group.bench_function("200 placements of 10,000 builds, and the climbs", |b| {
        b.iter(|| search_tolerant_designs(black_box(&design), &search).unwrap());
    });
    group.finish();
}

criterion_group!(benches, tolerance);
criterion_main!(benches);
