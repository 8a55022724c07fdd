//! The map out of a measured sweep of both axes.

use yokewright::Error;
use yokewright::axis::{CorrectionTerms, TwoAxisCalibration, TwoAxisFormat, TwoAxisSweep};
use yokewright::units::DEG;

/// Roundings of angles of some tenths of a radian through coefficients of counts up to 4095^2.
const ROUNDING: f64 = 1e-12;

/// Positions of a spiral, four turns out to 0.3 rad.
fn spiral(rows: usize) -> Vec<[f64; 2]> {
    let at = |i: usize| {
        let share = i as f64 / (rows - 1) as f64;
        let (sin, cos) = (share * 8.0 * std::f64::consts::PI).sin_cos();
        [0.3 * share * cos, 0.2 * share * sin]
    };
    (0..rows).map(at).collect()
}

/// Angles that are a polynomial of the readings: the readings are chosen, the angles follow.
fn bent(readings: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let angles = |&[a, b]: &[f64; 2]| {
        let (x, y) = ((a - 2000.0) / 1500.0, (b - 2100.0) / 1400.0);
        [
            0.3 * x + 0.02 * y + 0.01 * x * y + 0.015 * x * x,
            -0.2 * y + 0.03 * x - 0.02 * y * y,
        ]
    };
    readings.iter().map(angles).collect()
}

fn readings(rows: usize) -> Vec<[f64; 2]> {
    let at = |[x, y]: [f64; 2]| [2000.0 + 4800.0 * x, 2100.0 + 6800.0 * y];
    spiral(rows).into_iter().map(at).collect()
}

#[test]
fn a_map_of_its_own_terms_is_found_and_holds_for_rows_that_it_has_not_seen() {
    let counts = readings(400);
    let sweep = TwoAxisSweep::new(bent(&counts), counts.clone()).unwrap();
    let found = sweep.calibration(CorrectionTerms::Quadratic, 0.25).unwrap();
    assert_eq!((found.fitted_rows, found.held_back_rows), (300, 100));
    let held_back = found.held_back.unwrap();
    for i in [0, 1] {
        assert!(found.after.worst[i] < ROUNDING, "{}", found.after.worst[i]);
        assert!(held_back.worst[i] < ROUNDING, "{}", held_back.worst[i]);
        assert!(found.before.worst[i] > 0.01);
        assert!(found.before.rms[i] < found.before.worst[i]);
    }
    // The map itself, at a reading that is in no row.
    let [outer, inner] = found.map.angles_for(2750.0, 1400.0).unwrap();
    let [expected] = bent(&[[2750.0, 1400.0]]).try_into().unwrap();
    assert!((outer - expected[0]).abs() < ROUNDING && (inner - expected[1]).abs() < ROUNDING);
    // Fewer terms leave more.
    let rms = |terms| sweep.calibration(terms, 0.0).unwrap().after.rms;
    let [linear, bilinear, quadratic] = CorrectionTerms::ALL.map(rms);
    assert!(linear[0] > bilinear[0] && bilinear[0] > 1e6 * quadratic[0]);
}

/// By hand: a straight reading of 4000 counts a radian, a tenth of it the other axis.
#[test]
fn what_is_left_is_told_in_counts() {
    let angles = spiral(200);
    let counts: Vec<[f64; 2]> = angles
        .iter()
        .map(|[a, b]| [2000.0 + 4000.0 * a, 2000.0 - 3000.0 * b])
        .collect();
    let sweep = TwoAxisSweep::new(angles, counts).unwrap();
    let found = sweep.calibration(CorrectionTerms::Linear, 0.0).unwrap();
    assert_eq!(
        (found.held_back, found.held_back_rows, found.fitted_rows),
        (None, 0, 200)
    );
    let [outer, inner] = found.counts_per_radian;
    assert!((outer / 4000.0 - 1.0).abs() < ROUNDING && (inner / 3000.0 - 1.0).abs() < ROUNDING);
    let counts = found.in_counts([0.01, 0.01]);
    assert!((counts[0] - 40.0).abs() < 1e-9 && (counts[1] - 30.0).abs() < 1e-9);
    assert!((found.map.outer[1] * 4000.0 - 1.0).abs() < 1e-9);
}

#[test]
fn rows_held_back_are_out_of_step_with_a_grid() {
    let at = |i: usize| i as f64 * 0.05;
    let angles: Vec<[f64; 2]> = (0..100).map(|i| [at(i % 10), at(i / 10)]).collect();
    let counts: Vec<[f64; 2]> = angles
        .iter()
        .map(|[a, b]| [1000.0 * a, 1000.0 * b])
        .collect();
    let sweep = TwoAxisSweep::new(angles, counts).unwrap();
    // A tenth of ten by ten would be a column: then neither slope nor offset of it were judged.
    let found = sweep.calibration(CorrectionTerms::Linear, 0.1).unwrap();
    assert_eq!(found.held_back_rows, 10);
    assert!(found.after.worst[0] < ROUNDING);
}

#[test]
fn rows_that_tell_too_little_are_refused() {
    let good = spiral(50);
    let counts = readings(50);
    let calibration = |angles: Vec<[f64; 2]>, counts: Vec<[f64; 2]>| {
        TwoAxisSweep::new(angles, counts)?.calibration(CorrectionTerms::Bilinear, 0.2)
    };
    assert!(calibration(good.clone(), counts.clone()).is_ok());
    // Both readings follow one axis.
    let same: Vec<[f64; 2]> = counts.iter().map(|[a, _]| [*a, *a]).collect();
    let refused = calibration(good.clone(), same).unwrap_err().to_string();
    assert!(
        refused.contains("tells the terms of the correction apart"),
        "{refused}"
    );
    let still: Vec<[f64; 2]> = counts.iter().map(|[a, _]| [*a, 7.0]).collect();
    assert!(matches!(
        calibration(good.clone(), still),
        Err(Error::OutOfRange { .. })
    ));
    let locked: Vec<[f64; 2]> = good.iter().map(|[a, _]| [*a, 0.1]).collect();
    assert!(matches!(
        calibration(locked, counts.clone()),
        Err(Error::OutOfRange { .. })
    ));
    let short = calibration(good[..7].to_vec(), counts[..7].to_vec());
    assert!(matches!(short, Err(Error::Count { count: 7, .. })));
    let uneven = calibration(good.clone(), counts[1..].to_vec());
    assert!(matches!(uneven, Err(Error::LengthMismatch { .. })));
    for bad in [f64::NAN, f64::INFINITY, -1e-160, 1e160, 1e10] {
        let mut wrong = counts.clone();
        wrong[9][1] = bad;
        assert!(calibration(good.clone(), wrong).is_err(), "{bad}");
    }
    for bad in [f64::NAN, f64::INFINITY, 3.2, -1e160] {
        let mut wrong = good.clone();
        wrong[9][0] = bad;
        assert!(calibration(wrong, counts.clone()).is_err(), "{bad}");
    }
    let sweep = TwoAxisSweep::new(good, counts).unwrap();
    for bad in [f64::NAN, -1e-160, 0.51, 1.0] {
        assert!(sweep.calibration(CorrectionTerms::Linear, bad).is_err());
    }
}

#[test]
fn eight_rows_are_enough_for_a_linear_map_alone() {
    let counts = readings(8);
    let sweep = TwoAxisSweep::new(spiral(8), counts).unwrap();
    assert!(sweep.calibration(CorrectionTerms::Linear, 0.2).is_ok());
    // Six terms, and of eight rows half are held back.
    let refused = sweep.calibration(CorrectionTerms::Quadratic, 0.5);
    assert!(matches!(refused, Err(Error::Count { min: 7, .. })));
}

#[test]
fn a_calibration_is_stored_and_checked_when_read() {
    let counts = readings(30);
    let sweep = TwoAxisSweep::new(bent(&counts), counts).unwrap();
    let text = serde_json::to_string(&sweep).unwrap();
    assert_eq!(serde_json::from_str::<TwoAxisSweep>(&text).unwrap(), sweep);
    let found = sweep.calibration(CorrectionTerms::Bilinear, 0.2).unwrap();
    let text = serde_json::to_string(&found).unwrap();
    assert_eq!(
        serde_json::from_str::<TwoAxisCalibration>(&text).unwrap(),
        found
    );
    let wrong = text.replace(
        &format!("\"fitted_rows\":{}", found.fitted_rows),
        "\"fitted_rows\":1",
    );
    assert!(serde_json::from_str::<TwoAxisCalibration>(&wrong).is_err());
}

#[test]
fn a_sweep_is_read_as_spreadsheets_write_it() {
    let rows: String = (0..12)
        .map(|i| {
            format!(
                "{i};{},5;{};{};{}\r\n",
                i % 4,
                i / 4,
                1000 + 100 * (i % 4),
                900 + 50 * (i / 4)
            )
        })
        .collect();
    let text = format!("\u{feff}row;outer_deg;inner_deg;outer_counts;inner_counts\r\n\r\n{rows}");
    let sweep = TwoAxisSweep::read(&text, &TwoAxisFormat::new(12)).unwrap();
    assert_eq!(sweep.angles().len(), 12);
    assert_eq!(sweep.angles()[7], [3.5 * DEG, 1.0 * DEG]);
    assert_eq!(sweep.counts()[7], [1300.0, 950.0]);
    for (right, wrong, told) in [
        (
            "7;3,5;1;1300;950",
            "7;3,5;;1300;950",
            "line 10, column 'inner_deg, inner_counts'",
        ),
        (
            "7;3,5;1;1300;950",
            "7;3,5;1;high;950",
            "line 10, column 'outer_deg, outer_counts'",
        ),
        ("7;3,5;1;1300;950", "7;3,5;1;1300;9500", "impossible"),
        ("inner_counts", "inner", "inner_counts"),
    ] {
        let wrong = text.replace(right, wrong);
        let said = TwoAxisSweep::read(&wrong, &TwoAxisFormat::new(12))
            .unwrap_err()
            .to_string();
        assert!(said.contains(told), "{said}");
    }
    assert!(TwoAxisSweep::read("", &TwoAxisFormat::new(12)).is_err());
}
