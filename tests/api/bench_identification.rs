//! Which dimension is off: invented truths are found again inside the errors told, and what cannot be told is named.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::Error;
use yokewright::axis::{
    AnyArrangement, Arrangement, AxisUnknown, BenchSweep, Identification, IdentificationSpec,
    Measure, Moving, RodUnknown, Sought, SwungLayout, SwungLayoutSpec, identify_axis, identify_rod,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Arm, BallRod};
use yokewright::magnet::Block;
use yokewright::units::{DEG, MM, MV_PER_MT};

use crate::noise::noise;

const THROW: [f64; 2] = [-6.0 * DEG, 6.0 * DEG];

fn layout() -> SwungLayout {
    let cube = Block::new(
        Vector3::repeat(5.0 * MM),
        Vector3::new(0.0, 1.3, 0.0),
        Isometry3::identity(),
    );
    SwungLayout::new(SwungLayoutSpec::new(cube.unwrap(), 12.0 * MM, 2.0 * MM)).unwrap()
}

fn sensor(quiescent: f64) -> LinearHall {
    let spec = LinearHallSpec::new(5.0, 20.0 * MV_PER_MT);
    LinearHall::new(LinearHallSpec { quiescent, ..spec }).unwrap()
}

fn converter() -> Converter {
    Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap()
}

fn gap(value: f64) -> (AxisUnknown, f64) {
    (AxisUnknown::Measure(Measure::Gap), value)
}

/// A sweep of what was built: measures that are off, another quiescent output, noise on every reading.
fn sweep(
    built: &[(Measure, f64)],
    quiescent: f64,
    rows: usize,
    sd: f64,
    random: &mut impl FnMut() -> f64,
) -> BenchSweep {
    let mut arrangement = AnyArrangement::from(layout());
    for (measure, value) in built {
        arrangement = arrangement.with_measure(*measure, *value).unwrap();
    }
    let axis = arrangement
        .axis(THROW, sensor(quiescent), converter(), Moving::Magnets)
        .unwrap();
    let angles: Vec<f64> = (0..rows)
        .map(|i| THROW[0] + (THROW[1] - THROW[0]) * i as f64 / (rows - 1) as f64)
        .collect();
    let (flux, _) = axis.fluxes_at(&angles);
    let volts = sensor(quiescent).outputs(&flux).values;
    let counts = volts
        .iter()
        .map(|volts| (volts / converter().lsb() + sd * random()).round());
    let counts = counts.map(|count| count.clamp(0.0, 4095.0)).collect();
    BenchSweep::new(12, angles, counts).unwrap()
}

fn spec(sought: Vec<Sought<AxisUnknown>>) -> IdentificationSpec {
    IdentificationSpec::new(layout(), THROW, sensor(2.5), converter(), sought)
}

fn measure(measure: Measure, bounds: [f64; 2]) -> Sought<AxisUnknown> {
    Sought::within(AxisUnknown::Measure(measure), bounds)
}

/// Gap, offset of the sensor along the tangent, its quiescent output.
fn three() -> Vec<Sought<AxisUnknown>> {
    vec![
        measure(Measure::Gap, [1.0 * MM, 4.0 * MM]),
        measure(Measure::TangentialOffset, [-MM, 1.0 * MM]),
        Sought::within(AxisUnknown::Quiescent, [2.3, 2.7]),
    ]
}

/// Truths drawn anew for each sweep, and how many of each quantity lie within their 95 % interval.
fn covered(sweeps: usize, seed: u64) -> [usize; 3] {
    let mut random = noise(seed);
    let mut inside = [0; 3];
    for _ in 0..sweeps {
        let truth = [
            2.2 * MM + 0.1 * MM * random(),
            0.1 * MM * random(),
            2.5 + 0.02 * random(),
        ];
        let off = [
            (Measure::Gap, truth[0]),
            (Measure::TangentialOffset, truth[1]),
        ];
        let sweep = sweep(&off, truth[2], 31, 2.0, &mut random);
        let spec = IdentificationSpec {
            noise: Some(2.0),
            ..spec(three())
        };
        let (found, _) = identify_axis(&sweep, &spec).unwrap();
        assert_eq!(found.cannot_tell, Vec::<String>::new());
        for ((quantity, truth), inside) in found.quantities.iter().zip(truth).zip(&mut inside) {
            let [low, high] = quantity.interval().unwrap();
            *inside += usize::from((low..=high).contains(&truth));
        }
    }
    inside
}

#[test]
fn truths_lie_in_their_intervals_in_the_right_share() {
    // 95 % of 60: 57 with a standard deviation of 1.7; fewer than 51 come about once in 1000 such tests, and the seed
    // is fixed.
    for inside in covered(60, 1) {
        assert!((51..=60).contains(&inside), "{inside}");
    }
}

#[test]
fn truths_lie_in_their_intervals_in_the_right_share_of_a_thousand() {
    // 950 with a standard deviation of 6.9; three of them either way.
    for inside in covered(1000, 2) {
        assert!((929..=971).contains(&inside), "{inside}");
    }
}

#[test]
fn a_gap_that_is_off_is_found_and_mended_in_words() {
    let mut random = noise(4);
    let sweep = sweep(&[(Measure::Gap, 2.3 * MM)], 2.5, 121, 2.0, &mut random);
    let (found, advice) = identify_axis(&sweep, &spec(three())).unwrap();
    let gap = found.quantity("gap").unwrap();
    let error = gap.standard_error.unwrap();
    assert!(
        (gap.value - 2.3 * MM).abs() < 4.0 * error && error < 0.02 * MM,
        "{gap:?}"
    );
    // 2 counts of noise and rounding, from 118 degrees of freedom: 7 % and three times that.
    assert!(
        (found.reading_sd - 4.083_f64.sqrt()).abs() < 0.45,
        "{}",
        found.reading_sd
    );
    assert!((found.misfit() - 1.0).abs() < 0.05);
    assert_eq!(advice.len(), 1, "{advice:?}");
    let one = &advice[0];
    assert!(
        one.text.starts_with("move the sensor 0.30 mm") && one.text.contains(" closer ("),
        "{}",
        one.text
    );
    assert!(one.range_used_then > one.range_used + 0.03, "{one:?}");
    // As designed the range used is that of the design.
    let designed = layout()
        .axis(THROW, sensor(2.5), converter(), Moving::Magnets)
        .unwrap();
    let wanted = designed.figures(1001).unwrap().range_used();
    assert!(
        (one.range_used_then - wanted).abs() < 0.01,
        "{one:?} {wanted}"
    );
    assert!(one.interval[0] < one.change && one.change < one.interval[1]);
}

#[test]
fn what_moves_together_is_named_and_has_no_error() {
    // More remanence and more sensitivity are one and the same to a sweep.
    let mut random = noise(9);
    let sweep = sweep(&[(Measure::Polarization, 1.25)], 2.5, 121, 1.0, &mut random);
    let sought = vec![
        measure(Measure::Polarization, [1.0, 1.6]),
        Sought::within(
            AxisUnknown::Sensitivity,
            [15.0 * MV_PER_MT, 25.0 * MV_PER_MT],
        ),
        Sought::within(AxisUnknown::Quiescent, [2.3, 2.7]),
    ];
    let (found, _) = identify_axis(&sweep, &spec(sought)).unwrap();
    assert_eq!(found.cannot_tell.len(), 1, "{found:?}");
    let text = &found.cannot_tell[0];
    assert!(
        text.contains("polarization") && text.contains("sensor gain"),
        "{text}"
    );
    assert!(
        text.ends_with("move together: -1.00; measure one of them"),
        "{text}"
    );
    let error = |name: &str| found.quantity(name).unwrap().standard_error;
    assert_eq!((error("polarization"), error("sensor gain")), (None, None));
    assert!(error("sensor offset").unwrap() < 1e-3);
    // With one of them measured the other is told: the product of both is.
    let known = vec![
        Sought::plus_minus(AxisUnknown::Sensitivity, 20.0 * MV_PER_MT, 0.02 * MV_PER_MT),
        measure(Measure::Polarization, [1.0, 1.6]),
    ];
    let (found, _) = identify_axis(&sweep, &spec(known)).unwrap();
    let j = found.quantity("polarization").unwrap();
    assert!((j.value - 1.25).abs() < 0.005, "{found:?}");
}

#[test]
fn a_quantity_that_nothing_reads_is_told_so() {
    // A small offset along the pivot's axis does nothing to first order.
    let mut random = noise(12);
    let sweep = sweep(&[], 2.5, 61, 2.0, &mut random);
    let sought = vec![
        measure(Measure::AxialOffset, [-0.05 * MM, 0.05 * MM]),
        measure(Measure::Gap, [1.0 * MM, 4.0 * MM]),
    ];
    let (found, advice) = identify_axis(&sweep, &spec(sought)).unwrap();
    assert_eq!(
        found.cannot_tell,
        ["the sweep does not tell axial offset; measure it"]
    );
    assert_eq!(found.quantities[0].standard_error, None);
    assert!(found.quantities[1].standard_error.is_some());
    assert!(advice.iter().all(|one| one.measure != "axial offset"));
}

#[test]
fn tolerances_hold_what_the_readings_leave_open() {
    // Gap and remanence: nearly one, and the tolerance of the remanence decides between them.
    let mut random = noise(21);
    let sweep = sweep(&[(Measure::Gap, 2.2 * MM)], 2.5, 61, 2.0, &mut random);
    let tight = vec![
        measure(Measure::Gap, [1.0 * MM, 4.0 * MM]),
        Sought::plus_minus(AxisUnknown::Measure(Measure::Polarization), 1.3, 0.002),
    ];
    let (found, _) = identify_axis(&sweep, &spec(tight)).unwrap();
    let [gap, j] = [0, 1].map(|i| &found.quantities[i]);
    assert!((gap.value - 2.2 * MM).abs() < 0.02 * MM, "{gap:?}");
    assert!((j.value - 1.3).abs() < 0.004, "{j:?}");
}

#[test]
fn wrong_wishes_are_refused() {
    let mut random = noise(1);
    let sweep = sweep(&[], 2.5, 31, 1.0, &mut random);
    let refused =
        |sought: Vec<Sought<AxisUnknown>>| identify_axis(&sweep, &spec(sought)).unwrap_err();
    assert!(matches!(refused(vec![]), Error::Count { .. }));
    let twice = vec![three()[0], three()[0]];
    assert!(matches!(refused(twice), Error::NameTaken { .. }));
    let beyond = vec![measure(Measure::Gap, [3.0 * MM, 4.0 * MM])];
    assert!(matches!(refused(beyond), Error::OutOfRange { .. }));
    let round = vec![measure(Measure::Gap, [4.0 * MM, 1.0 * MM])];
    assert!(matches!(refused(round), Error::NotAscending { .. }));
    let none = vec![measure(Measure::Spacing, [0.0, 1.0 * MM])];
    assert!(matches!(refused(none), Error::NotAChoice { .. }));
    for bad in [f64::NAN, f64::INFINITY, 1e160] {
        let (quantity, _) = gap(bad);
        assert!(
            identify_axis(&sweep, &spec(vec![Sought::within(quantity, [0.0, bad])])).is_err(),
            "{bad}"
        );
        let sd = Sought {
            prior_sd: Some(bad),
            ..three()[0]
        };
        assert!(identify_axis(&sweep, &spec(vec![sd])).is_err(), "{bad}");
        let noise = IdentificationSpec {
            noise: Some(bad),
            ..spec(three())
        };
        assert!(identify_axis(&sweep, &noise).is_err(), "{bad}");
    }
    let other = IdentificationSpec {
        converter: Converter::new(10, 5.0, Rounding::Nearest, 0.0).unwrap(),
        ..spec(three())
    };
    assert!(matches!(
        identify_axis(&sweep, &other),
        Err(Error::Count { .. })
    ));
    assert!("gap".parse::<AxisUnknown>().is_ok() && "sensor gain".parse::<AxisUnknown>().is_ok());
    assert!(matches!(
        "weight".parse::<AxisUnknown>(),
        Err(Error::NotAChoice { .. })
    ));
}

#[test]
fn an_identification_is_stored() {
    let mut random = noise(1);
    let sweep = sweep(&[], 2.5, 31, 1.0, &mut random);
    let (found, _) = identify_axis(&sweep, &spec(three())).unwrap();
    let text = serde_json::to_string(&found).unwrap();
    assert_eq!(
        serde_json::from_str::<Identification>(&text).unwrap(),
        found
    );
    let text = serde_json::to_string(&spec(three())).unwrap();
    assert_eq!(
        serde_json::from_str::<IdentificationSpec>(&text).unwrap(),
        spec(three())
    );
}

fn rod() -> BallRod {
    let pedal = Arm::new(
        Point3::origin(),
        Vector3::y(),
        Point3::new(0.0, 0.0, 100.0 * MM),
    )
    .unwrap();
    let pivot = Point3::new(200.0 * MM, -60.0 * MM, 100.0 * MM);
    let crank = Arm::new(pivot, Vector3::z(), pivot + Vector3::y() * (50.0 * MM)).unwrap();
    BallRod::new(pedal, crank).unwrap()
}

#[test]
fn the_stud_of_a_pedal_that_is_too_low_is_found() {
    let drawn = rod();
    let low = Arm::new(
        Point3::origin(),
        Vector3::y(),
        Point3::new(0.0, 0.0, 97.0 * MM),
    )
    .unwrap();
    // The same rod on a lower stud.
    let built = BallRod::new(low, drawn.output())
        .unwrap()
        .with_rod_length(drawn.rod_length())
        .unwrap();
    let mut random = noise(8);
    let pedal: Vec<f64> = (-30..=30).map(|i| 0.4 * f64::from(i) * DEG).collect();
    let zero = built.transfer(0.0).unwrap().angle;
    let sd = 0.1 * DEG;
    let crank = pedal
        .iter()
        .map(|a| built.transfer(*a).unwrap().angle - zero + sd * random());
    let crank: Vec<f64> = crank.collect();
    let sought = [
        Sought::within(RodUnknown::StudHeight, [90.0 * MM, 110.0 * MM]),
        Sought::within(RodUnknown::CrankZero, [-10.0 * DEG, 10.0 * DEG]),
    ];
    let found = identify_rod(&drawn, &pedal, &crank, &sought, Some(sd)).unwrap();
    let stud = found.quantity("stud height").unwrap();
    let error = stud.standard_error.unwrap();
    assert!(
        (stud.value - 97.0 * MM).abs() < 3.0 * error && error < 0.5 * MM,
        "{stud:?}"
    );
    assert!((found.misfit() - 1.0).abs() < 0.3, "{}", found.misfit());
    assert_eq!(found.reading_unit, "rad");
    // Not known, it follows from what is left.
    let again = identify_rod(&drawn, &pedal, &crank, &sought, None).unwrap();
    assert!((again.reading_sd / sd - 1.0).abs() < 0.3);
    for bad in [f64::NAN, f64::INFINITY, 1e160] {
        assert!(identify_rod(&drawn, &[bad; 61], &crank, &sought, None).is_err());
        assert!(identify_rod(&drawn, &pedal, &[bad; 61], &sought, None).is_err());
        assert!(identify_rod(&drawn, &pedal, &crank, &sought, Some(bad)).is_err());
    }
    assert!(identify_rod(&drawn, &pedal[..3], &crank, &sought, None).is_err());
    assert!(identify_rod(&drawn, &pedal[..2], &crank[..2], &sought, None).is_err());
}
