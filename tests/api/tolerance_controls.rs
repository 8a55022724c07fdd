//! Controls and parts under tolerances: each build is what its own constructors make of it.

use yokewright::axis::{
    Arrangement, BuildRecord, CalibrationMethod, ControlDesign, ControlDesignSpec, ControlFigure,
    Distribution, FigureName, Measure, Moving, PartDesign, SwungLayout, SwungLayoutSpec, Tolerance,
    TolerancedAs, YieldDemand, YieldStudy, YieldTarget, study_yield,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Arm, BallRod, Pedal, PedalPair};
use yokewright::magnet::Block;
use yokewright::nalgebra::{Isometry3, Point3, Vector3};
use yokewright::spring::{CoilDiameter, CompressionSpring, CompressionSpringSpec, Turns, Wire};
use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};

fn layout() -> SwungLayout {
    let j = Vector3::new(0.0, 1300.0 * MT, 0.0);
    let cube = Block::new(Vector3::repeat(5.0 * MM), j, Isometry3::identity()).unwrap();
    SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM)).unwrap()
}

fn sensor(sensitivity: f64) -> LinearHall {
    LinearHall::new(LinearHallSpec {
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.15 * MV,
        ..LinearHallSpec::new(5.0, sensitivity)
    })
    .unwrap()
}

const THROW: [f64; 2] = [-6.0 * DEG, 6.0 * DEG];

/// The stick of the sailplane club's two-seat training rig.
fn stick() -> ControlDesign {
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
    ControlDesign::new(ControlDesignSpec::new(
        layout(),
        THROW,
        sensor(25.0 * MV_PER_MT),
        converter,
    ))
    .unwrap()
}

fn demand() -> YieldDemand {
    let share = |input, p| Tolerance::plus_minus_share(input, p).unwrap();
    let length = |input, p| Tolerance::plus_minus(input, p).unwrap();
    YieldDemand {
        builds: 40,
        targets: vec![YieldTarget::at_least("range used", 0.8).unwrap()],
        keep: 40,
        ..YieldDemand::new(vec![
            length("gap", 0.3 * MM),
            length("arm", 0.2 * MM),
            length("tangential offset", 0.3 * MM),
            length("magnet tilt about axial", 3.0 * DEG),
            share("polarization", 0.05),
            share("sensor.sensitivity", 0.1),
            length("sensor.quiescent", 0.05),
        ])
    }
}

/// By hand: every build through `with_measure`, `LinearHall::new` and `Axis::figures`.
#[test]
fn a_build_is_the_axis_that_its_parts_make() {
    let design = stick();
    let study = YieldStudy::new(&design, &demand()).unwrap();
    for record in study.records(0, 40).unwrap() {
        let v = &record.inputs;
        let arranged = [
            (Measure::Gap, v[0]),
            (Measure::Arm, v[1]),
            (Measure::TangentialOffset, v[2]),
            (Measure::MagnetTiltAboutAxial, v[3]),
            (Measure::Polarization, v[4]),
        ]
        .into_iter()
        .fold(layout(), |layout, (measure, value)| {
            layout.with_measure(measure, value).unwrap()
        });
        let part = LinearHall::new(LinearHallSpec {
            quiescent: v[6],
            ..sensor(v[5]).spec().clone()
        })
        .unwrap();
        let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
        let axis = arranged
            .axis(THROW, part, converter, Moving::Magnets)
            .unwrap();
        let by_hand = axis.figures(1001).unwrap();
        let of = |figure: ControlFigure| {
            let at = ControlFigure::ALL
                .iter()
                .position(|one| *one == figure)
                .unwrap();
            record.figures[at].unwrap()
        };
        // What the vector units and the followed curve leave: parts in 1e9 of a figure, a count at a rounding edge.
        let close = |a: f64, b: f64| assert!((a - b).abs() <= 1e-6 * b.abs() + 1e-9, "{a} {b}");
        close(of(ControlFigure::FluxSpan), by_hand.flux_span().unwrap());
        close(of(ControlFigure::OutputSpan), by_hand.volts_span().unwrap());
        close(of(ControlFigure::Gain), by_hand.gain_counts().abs());
        close(of(ControlFigure::Clearance), by_hand.clearance());
        assert!((of(ControlFigure::RangeUsed) - by_hand.range_used()).abs() < 1.5 / 4095.0);
        let straight = by_hand.linearity().unwrap();
        // From 41 places: what lies between them is at most a percent more of a departure.
        let same = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 + 1e-2 * b, "{a} {b} {record:?}");
        same(
            of(ControlFigure::IndependentLinearity),
            straight.independent(),
        );
        same(
            of(ControlFigure::TerminalLinearity),
            straight.terminal_based(),
        );
        assert!((of(ControlFigure::ClippedShare) - by_hand.clipped_share()).abs() < 1e-4);
        assert!(
            (of(ControlFigure::EffectiveBits) - by_hand.effective_bits().unwrap()).abs() < 1e-5
        );
        let step = by_hand.step_quantization_worst().unwrap();
        let own = of(ControlFigure::WorstQuantizationStep);
        assert!((own / step - 1.0).abs() < 1e-2, "{own} {step} {record:?}");
    }
}

/// Side by side and one after the other: a tolerance that nobody notices on the converter's reference sends all builds
/// the long way. The sensors reach from far within the rails to far beyond both, or beyond what the converter reads, or
/// one only.
#[test]
fn both_ways_agree() {
    for (sensitivity, quiescent, reference) in [
        (15.0, 2.5, 5.0),
        (25.0, 2.5, 5.0),
        (60.0, 2.5, 5.0),
        (25.0, 1.0, 5.0),
        (25.0, 4.0, 5.0),
        (25.0, 2.5, 3.3),
        (25.0, 3.6, 3.3),
    ] {
        let mut spec = stick().spec().clone();
        let part = LinearHallSpec {
            quiescent,
            ..sensor(sensitivity * MV_PER_MT).spec().clone()
        };
        spec.sensor = LinearHall::new(part).unwrap().into();
        spec.converter = Some(Converter::new(12, reference, Rounding::Nearest, 0.0).unwrap());
        let mut tolerances = demand().tolerances;
        tolerances.pop();
        let of = format!("{sensitivity} mV/mT about {quiescent} V to {reference} V");
        assert_eq!(agreed(&spec, tolerances, &of, 1e-8), 60);
    }
}

/// 60 builds side by side and, as a reference that differs from build to build makes them go, one by one.
fn both_ways(design: &ControlDesign, mut tolerances: Vec<Tolerance>) -> [Vec<BuildRecord>; 2] {
    let records = |tolerances: &[Tolerance]| {
        let demand = YieldDemand::new(tolerances.to_vec());
        let study = YieldStudy::new(design, &demand).unwrap();
        study.records(0, 60).unwrap()
    };
    let side_by_side = records(&tolerances);
    tolerances.push(Tolerance::plus_minus("converter.reference", 1e-13).unwrap());
    [side_by_side, records(&tolerances)]
}

/// Builds 60 both ways and compares them, what has no reason to differ to a share `close`; gives how many can be.
fn agreed(spec: &ControlDesignSpec, tolerances: Vec<Tolerance>, of: &str, close: f64) -> usize {
    let design = stack_of(spec);
    let [side_by_side, one_by_one] = both_ways(&design, tolerances);
    let mut apart = Vec::new();
    for (a, b) in side_by_side.iter().zip(&one_by_one) {
        assert_eq!(a.inputs, b.inputs[..a.inputs.len()]);
        let [reason, expected] =
            [a, b].map(|record| record.failure.as_ref().map(|failure| &failure.reason));
        assert_eq!(reason, expected, "{of}: {a:?}");
        for (i, figure) in ControlFigure::ALL.into_iter().enumerate() {
            let (a, b) = (a.figures[i], b.figures[i]);
            assert_eq!(a.is_some(), b.is_some(), "{figure}: {a:?} {b:?}");
            let (Some(a), Some(b)) = (a, b) else {
                continue;
            };
            let allowed = match figure {
                // Of 41 places: a departure of the fifth order (Chebyshev's) is 0.9 % higher midway between two.
                ControlFigure::IndependentLinearity
                | ControlFigure::TerminalLinearity
                | ControlFigure::ErrorBeforeCalibration
                | ControlFigure::ErrorAfterCalibration => 1e-2,
                // The flattest place likewise, where the slope hardly changes.
                ControlFigure::WorstQuantizationStep | ControlFigure::WorstNoiseStep => 1e-3,
                // From the cubic between two places, and from the straight line between their slopes.
                ControlFigure::ClippedShare => 1e-5,
                ControlFigure::MonotonicShare => 1e-3,
                // A voltage that rounds to the other code.
                ControlFigure::LowestCode | ControlFigure::HighestCode => 1.0 / b.max(1.0),
                ControlFigure::RangeUsed => 1.0 / 4095.0 / b,
                _ => close,
            };
            if (a - b).abs() > allowed * b.abs() + 1e-9 {
                apart.push(format!("{figure}: {a} {b}"));
            }
        }
    }
    assert!(apart.is_empty(), "{of}: {apart:#?}");
    side_by_side
        .iter()
        .filter(|record| record.failure.is_none())
        .count()
}

/// A crank that locks, with a rod 14 mm longer, at the upper end of the throw; before that the joint on the pedal
/// swivels further than it is rated for.
fn behind_a_rod() -> ControlDesignSpec {
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let pedal = Arm::new(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 100.0)).unwrap();
    let pedal = pedal.with_stud(Vector3::y(), 12.0 * DEG).unwrap();
    let crank = Arm::new(
        at(200.0, -60.0, 100.0),
        Vector3::z(),
        at(238.3, -27.9, 100.0),
    );
    let crank = crank.unwrap().with_stud(Vector3::z(), None).unwrap();
    let mut spec = stick().spec().clone();
    spec.drive = BallRod::new(pedal, crank).unwrap().into();
    spec.throw = [-3.0 * DEG, 3.0 * DEG];
    // Within the rails, as the widest turn of any build needs it.
    spec.sensor = sensor(4.0 * MV_PER_MT).into();
    spec
}

/// What rods turn the magnet away from the middle leaves of the curve: its last coefficients, 1e-8 of the span, in a
/// slope, and of the clearance what the parabola through three of 41 places misses beside an edge of the block.
const TURNED_AWAY: f64 = 1e-5;

#[test]
fn both_ways_agree_behind_a_rod() {
    let close = |input: &str| Tolerance::plus_minus(input, 0.3 * MM).unwrap();
    let joints = ["drive.input.joint.0", "drive.output.joint.1"].map(close);
    let pivots = ["drive.input.pivot.point.2", "drive.output.pivot.point.0"].map(close);
    let askew = Tolerance::plus_minus("drive.output.pivot.direction.1", 0.01).unwrap();
    let rod = close("drive.rod_length");
    let all = [
        &joints[..],
        &pivots[..],
        &[askew, rod.clone(), close("gap")],
    ]
    .concat();
    for moving in [Moving::Magnets, Moving::Sensor] {
        let spec = ControlDesignSpec {
            moving,
            ..behind_a_rod()
        };
        assert_eq!(
            agreed(&spec, all.clone(), "all of the rod", TURNED_AWAY),
            60
        );
        assert_eq!(
            agreed(&spec, vec![rod.clone()], "the rod's length", TURNED_AWAY),
            60
        );
        // No number of the rod: the same turns in all builds.
        assert_eq!(agreed(&spec, vec![close("gap")], "the gap", 1e-8), 60);
    }
}

/// Rods too short and too long: some builds lock, or swivel further than rated, within the throw, some cannot be put
/// together. Each way says the same of each.
#[test]
fn rods_that_cannot_be_are_told_alike() {
    let wide = |input, by: f64| {
        let within = Distribution::uniform(-by, by).unwrap();
        Tolerance::of(input, within, TolerancedAs::Departure).unwrap()
    };
    let spec = behind_a_rod();
    let tolerances = [
        vec![wide("drive.rod_length", 22.0 * MM)],
        vec![wide("drive.input.stud.limit", 8.0 * DEG)],
        vec![
            wide("drive.rod_length", 6.0 * MM),
            wide("drive.input.stud.direction.0", 0.2),
        ],
    ];
    for tolerances in tolerances {
        let of = format!("{tolerances:?}");
        let built = agreed(&spec, tolerances, &of, TURNED_AWAY);
        assert!((6..=54).contains(&built), "{built} of {of}");
    }
}

/// As much nearer to the magnet and on as much longer an arm as a search goes: the lanes read such builds at more nodes
/// than the design needs.
#[test]
fn both_ways_agree_far_from_the_design() {
    let value = |input, low: f64, high: f64| {
        let within = Distribution::uniform(low * MM, high * MM).unwrap();
        Tolerance::of(input, within, TolerancedAs::Value).unwrap()
    };
    let tolerances = vec![value("gap", 1.0, 1.6), value("arm", 13.0, 16.0)];
    let mut spec = stick().spec().clone();
    // Within the rails: where a steep curve meets one, only the long way follows it to the last digits.
    spec.sensor = sensor(3.0 * MV_PER_MT).into();
    let design = stack_of(&spec);
    let [side_by_side, one_by_one] = both_ways(&design, tolerances);
    for (a, b) in side_by_side.iter().zip(&one_by_one) {
        for figure in [
            ControlFigure::FluxSpan,
            ControlFigure::OutputSpan,
            ControlFigure::Gain,
            ControlFigure::Clearance,
            ControlFigure::QuantizationStep,
        ] {
            let at = ControlFigure::ALL.iter().position(|one| *one == figure);
            let [a, b] = [a, b].map(|record| record.figures[at.unwrap()].unwrap());
            // What the last coefficients of the curve leave, 1e-8 of the span, in a slope.
            assert!((a - b).abs() <= 1e-6 * b.abs(), "{figure}: {a} {b}");
        }
    }
}

/// A calibration of one's own mends what the constants of the design leave.
#[test]
fn builders_calibrate() {
    let mut spec = stick().spec().clone();
    // Away from the rails, whose bend no line mends.
    spec.sensor = sensor(15.0 * MV_PER_MT).into();
    let ends = study_yield(&stack_of(&spec), &demand()).unwrap();
    spec.calibration = CalibrationMethod::Table { points: 9 };
    let table = study_yield(&stack_of(&spec), &demand()).unwrap();
    let mean =
        |study: &yokewright::axis::Yield, name: &str| study.spread(name).unwrap().mean().unwrap();
    let (before, after) = ("error before calibration", "error after calibration");
    assert!(mean(&ends, after) < 0.3 * mean(&ends, before));
    assert!(mean(&table, after) < 0.5 * mean(&ends, after));
    assert!((mean(&table, before) / mean(&ends, before) - 1.0).abs() < 0.3);
    let nominal = ends.spread(after).unwrap().nominal().unwrap();
    let designed = ends.spread(before).unwrap().nominal().unwrap();
    assert!((designed - nominal).abs() < 1e-12, "{designed} {nominal}");
}

fn stack_of(spec: &ControlDesignSpec) -> ControlDesign {
    ControlDesign::new(spec.clone()).unwrap()
}

/// A wide tolerance drives the magnet into the sensor; such builds are named, not hidden.
#[test]
fn builds_that_collide_are_counted() {
    let wide = Distribution::uniform(-MM, 1.5 * MM).unwrap();
    let demand = YieldDemand {
        builds: 200,
        ..YieldDemand::new(vec![
            Tolerance::of("gap", wide, TolerancedAs::Departure).unwrap(),
        ])
    };
    let mut spec = stick().spec().clone();
    spec.arrangement = layout()
        .with_measure(Measure::Gap, 0.5 * MM)
        .unwrap()
        .into();
    let study = study_yield(&stack_of(&spec), &demand).unwrap();
    // Below zero the gap is none: a fifth of the range. Next to it a corner of the magnet meets the sensor when it
    // swings.
    let reasons: Vec<&str> = study
        .failures()
        .iter()
        .map(|one| one.reason.as_str())
        .collect();
    assert_eq!(reasons, ["gap out of range", "parts collide"], "{study}");
    let count = |at: usize| study.failures()[at].count;
    assert!(count(0).abs_diff(40) < 20 && count(1) > 0, "{study}");
    assert_eq!(study.passed() + count(0) + count(1), 200);
    assert!(study.failures()[1].text.contains("the parts collide"));
}

#[test]
fn what_a_control_does_not_have_is_named() {
    for input in ["spacing", "sensor.sensitivty", "gap_mm", "plate distance"] {
        let demand = YieldDemand::new(vec![Tolerance::plus_minus(input, 1e-4).unwrap()]);
        let error = study_yield(&stick(), &demand).unwrap_err().to_string();
        assert!(
            error.starts_with(&format!("input of the design '{input}' is not known")),
            "{error}"
        );
    }
}

/// Rate and solid safety over wire and free length, beside the formula G d^4 / (8 D^3 n).
#[test]
fn a_spring_is_a_part() {
    let spring = CompressionSpring::new(CompressionSpringSpec::new(
        Wire::named("EN 10270-1 SM").unwrap(),
        2.0 * MM,
        CoilDiameter::Outer(18.0 * MM),
        Turns::Active(8.0),
        50.0 * MM,
    ))
    .unwrap();
    let figures = [
        FigureName::new("rate", "N/m"),
        FigureName::new("solid safety", "(no unit)"),
    ];
    let design = PartDesign::new(&spring, figures, |spring: &CompressionSpring, figures| {
        figures[0] = spring.rate();
        figures[1] = spring.solid_safety();
        Ok(())
    })
    .unwrap();
    let tolerances = [
        ("wire_diameter", 0.02 * MM),
        ("coil", 0.2 * MM),
        ("free_length", 1.0 * MM),
    ];
    let tolerances = tolerances.map(|(input, p)| Tolerance::plus_minus(input, p).unwrap());
    let demand = YieldDemand {
        builds: 2000,
        targets: vec![YieldTarget::within("rate", 4800.0, 5150.0).unwrap()],
        ..YieldDemand::new(tolerances.to_vec())
    };
    let study = study_yield(&design, &demand).unwrap();
    let rate = study.spread("rate").unwrap();
    // To first order: 4 sd(d)/d and 3 sd(D)/D, with D - d in place of D and d in both.
    let [d, mean_diameter] = [2.0, 16.0];
    let by_wire = (4.0 / d + 3.0 / mean_diameter) * 0.01;
    let by_coil = 3.0 / mean_diameter * 0.1;
    let expected = rate.nominal().unwrap() * f64::hypot(by_wire, by_coil);
    let deviation = rate.standard_deviation().unwrap();
    assert!(
        (deviation / expected - 1.0).abs() < 0.08,
        "{deviation} {expected}"
    );
    assert!(
        study
            .spread("solid safety")
            .unwrap()
            .standard_deviation()
            .unwrap()
            > 0.0
    );
    assert!(study.share() > 0.3 && study.share() < 1.0);
}

/// Pedals: a common cause moves both lengths of the arm; some pairs cannot be put together.
#[test]
fn pedals_are_a_part() {
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 43.0, 90.0)).unwrap();
    let left = Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x()).unwrap();
    let left = left.with_stops(-15.0 * DEG, 15.0 * DEG).unwrap();
    let crank = Arm::new(at(-150.0, 0.0, 85.0), Vector3::z(), at(-150.0, 45.0, 85.0)).unwrap();
    let pedals = PedalPair::mirrored(left, crank).unwrap();
    let figures = [FigureName::new("crank", "rad")];
    let design = PartDesign::new(&pedals, figures, |pair: &PedalPair, figures| {
        figures[0] = pair
            .pose(yokewright::linkage::PedalMember::Left, 10.0 * DEG)?
            .crank
            .angle
            .abs();
        Ok(())
    })
    .unwrap();
    let text = serde_json::to_string(&pedals).unwrap();
    let tolerances = ["left_crank.joint.1"].map(|input| Tolerance::plus_minus(input, 1.0 * MM));
    let demand = YieldDemand {
        builds: 500,
        targets: vec![YieldTarget::at_least("crank", 18.0 * DEG).unwrap()],
        ..YieldDemand::new(tolerances.into_iter().collect::<Result<_, _>>().unwrap())
    };
    let study = study_yield(&design, &demand).unwrap_or_else(|error| panic!("{error} in {text}"));
    assert!(
        study.spread("crank").unwrap().standard_deviation().unwrap() > 1e-4,
        "{study}"
    );
}
