//! Calibrations of sweeps: what they leave, what their knots are worth, what is refused.

use yokewright::Error;
use yokewright::axis::{
    BenchSweep, Calibration, CalibrationCurve, CalibrationForm, CalibrationSpec, KnotPlacement,
};
use yokewright::units::DEG;

use crate::noise::noise;

const TRAVEL: f64 = 10.0 * DEG;

/// A characteristic that bends at both ends: 80 % of the counts of 12 bits.
fn count_at(angle: f64) -> f64 {
    2048.0 + 1900.0 * (6.0 * angle).sin()
}

/// There and back in so many rows each way, with noise.
fn sweep(rows: usize, sd: f64, count: impl Fn(f64) -> f64) -> BenchSweep {
    let mut random = noise(5);
    let up = (0..rows).map(|i| TRAVEL * (2.0 * i as f64 / (rows - 1) as f64 - 1.0));
    let up: Vec<f64> = up.collect();
    let angles: Vec<f64> = up.iter().chain(up.iter().rev()).copied().collect();
    let counts = angles
        .iter()
        .map(|angle| (count(*angle) + sd * random()).round());
    let counts = counts.collect();
    BenchSweep::new(12, angles, counts).unwrap()
}

fn calibrate(sweep: &BenchSweep, form: CalibrationForm) -> Calibration {
    sweep.calibrate(&CalibrationSpec::new(form)).unwrap()
}

fn table(knots: usize, placement: KnotPlacement) -> CalibrationForm {
    CalibrationForm::Table { knots, placement }
}

/// Greatest departure of a curve from the invented truth, over the counts that it was made of.
fn error(curve: &CalibrationCurve) -> f64 {
    let angles = (-1000..=1000).map(|i| TRAVEL * f64::from(i) / 1000.0);
    let errors = angles.map(|angle| (curve.position(count_at(angle)).unwrap() - angle).abs());
    errors.fold(0.0, f64::max)
}

#[test]
fn every_form_finds_the_truth_beneath_the_noise() {
    let sweep = sweep(1001, 2.0, count_at);
    for form in [
        CalibrationForm::Polynomial { degree: 9 },
        CalibrationForm::MonotoneCubic { knots: 17 },
        table(33, KnotPlacement::LeastError),
        table(65, KnotPlacement::Even),
    ] {
        let calibration = calibrate(&sweep, form);
        // A count is 0.005 deg in the middle and 0.01 deg at the ends; what is left are means of dozens of readings,
        // and at an end the readings that noise carries beyond the travel.
        let error = error(calibration.curve()) / DEG;
        assert!(error < 0.03, "{form:?}: {error} deg");
        let (before, after) = (calibration.before(), calibration.after());
        assert_eq!(before.rows, 2002);
        assert!(before.greatest > 0.5 * DEG, "{form:?}: {before:?}");
        // Noise of 2 counts and rounding, at most 0.011 deg a count.
        assert!(
            after.rms < 2.1 * 0.011 * DEG && after.rms > 2.0 * 0.005 * DEG,
            "{form:?}: {after:?}"
        );
        assert!((after.greatest_share - after.greatest / (20.0 * DEG)).abs() < 1e-15);
        let held = calibration.held_back().unwrap();
        assert_eq!((held.rows, after.rows), (400, 1602));
        assert!(
            (held.rms / after.rms - 1.0).abs() < 0.2,
            "{held:?} {after:?}"
        );
    }
}

#[test]
fn a_falling_characteristic_is_as_good() {
    let rising = sweep(401, 0.0, count_at);
    let falling = sweep(401, 0.0, |angle| count_at(-angle));
    let form = table(9, KnotPlacement::LeastError);
    let [rising, falling] = [&rising, &falling].map(|sweep| calibrate(sweep, form));
    assert!(rising.curve().is_rising() && !falling.curve().is_rising());
    for count in [200.0, 1000.0, 2048.0, 3333.3] {
        let [a, b] = [&rising, &falling].map(|one| one.curve().position(count).unwrap());
        // Held-back rows and halves that are rounded are not mirrored.
        assert!((a + b).abs() < 0.01 * DEG, "{a} {b}");
    }
}

#[test]
fn knots_for_the_least_error_beat_even_ones_and_meet_their_bound() {
    let sweep = sweep(1001, 0.0, |angle| 2048.0 + 1900.0 * (8.9 * angle).sin());
    for knots in [3, 5, 9, 17] {
        let best = calibrate(&sweep, table(knots, KnotPlacement::LeastError));
        let even = calibrate(&sweep, table(knots, KnotPlacement::Even));
        let (error, bound) = (best.table_error().unwrap(), best.table_bound().unwrap());
        // The polygon is judged at the places between which its corners were found.
        assert!(
            (error - bound).abs() < 1e-6 * bound,
            "{knots}: {error} {bound}"
        );
        assert!(even.table_error().unwrap() > 1.5 * error, "{knots}");
        assert_eq!(even.table_bound(), None);
        assert!(best.curve().points().unwrap().len() <= knots);
    }
}

#[test]
fn outliers_that_were_kept_move_the_robust_fit_little() {
    let clean = sweep(501, 1.0, count_at);
    let mut counts = clean.count().to_vec();
    for (i, count) in counts.iter_mut().enumerate() {
        // One row in 40, within the counts of the others.
        if i % 40 == 13 {
            *count = (*count + 300.0).min(3600.0);
        }
    }
    let stained = BenchSweep::new(12, clean.angle().to_vec(), counts).unwrap();
    let form = CalibrationForm::Polynomial { degree: 9 };
    let fit = |robust| {
        let spec = CalibrationSpec {
            robust,
            ..CalibrationSpec::new(form)
        };
        error(stained.calibrate(&spec).unwrap().curve()) / DEG
    };
    let (robust, plain) = (fit(true), fit(false));
    assert!(robust < 0.05 && plain > 2.0 * robust, "{robust} {plain}");
}

#[test]
fn points_are_worth_what_a_parabola_says() {
    // Angles t from -a to a, counts bent so that the position by the count is nearly u + e (1 - u^2) a: straight
    // pieces of 2 / n of the travel leave e (2 / n)^2 / 4 of a, half of that the best placed.
    let e = 0.02;
    let count = |angle: f64| {
        // Inverse of p(u) = u + e (1 - u^2).
        let t = angle / TRAVEL;
        let u = (1.0 - (1.0 - 4.0 * e * (t - e)).sqrt()) / (2.0 * e);
        2048.0 + 1900.0 * u
    };
    let calibration = calibrate(
        &sweep(4001, 0.0, count),
        table(9, KnotPlacement::LeastError),
    );
    let worth = calibration.points_worth(&[2, 3, 5, 9, 17]).unwrap();
    for row in &worth {
        let n = (row.points - 1) as f64;
        let chord = e / (n * n) * TRAVEL;
        // Rounded counts (0.005 deg) are averaged by the fit; evenly spaced angles are not quite evenly spaced counts.
        let allowed = 0.05 * chord + 5e-4 * DEG;
        assert!((row.even - chord).abs() < allowed, "{row:?} {chord}");
        assert!(
            (row.placed - chord / 2.0).abs() < allowed,
            "{row:?} {chord}"
        );
        assert!((row.even_share - row.even / (2.0 * TRAVEL)).abs() < 1e-4 * row.even_share);
        assert!(
            row.even_linearity <= row.even_share * (1.0 + 1e-9),
            "{row:?}"
        );
    }
    // Of two points the independent linearity is half the chord.
    assert!(
        (worth[0].even_linearity / worth[0].even_share - 0.5).abs() < 0.02,
        "{:?}",
        worth[0]
    );
    assert!(matches!(
        calibration.points_worth(&[1]),
        Err(Error::Count { .. })
    ));
}

#[test]
fn noise_is_not_taken_for_bends() {
    // 3 counts of noise are 0.019 deg of a straight characteristic; 242 rows tell it to a tenth of that. Of 33 knots
    // each would follow its own seven rows.
    let straight = sweep(121, 3.0, |angle| 2048.0 + 9000.0 * angle);
    let calibration = calibrate(&straight, table(9, KnotPlacement::LeastError));
    let worth = calibration.points_worth(&[2]).unwrap()[0];
    assert!(worth.even < 0.008 * DEG, "{} deg", worth.even / DEG);
}

#[test]
fn a_few_rows_are_enough_for_a_few_knots() {
    let angles = [-10.0, -5.0, 0.0, 5.0, 10.0].map(|angle| angle * DEG);
    let counts = angles.map(|angle| 2048.0 + 100.0 * angle / DEG);
    let sweep = BenchSweep::new(12, angles.to_vec(), counts.to_vec()).unwrap();
    for form in [
        CalibrationForm::Polynomial { degree: 1 },
        CalibrationForm::MonotoneCubic { knots: 3 },
        table(2, KnotPlacement::LeastError),
    ] {
        let spec = CalibrationSpec {
            held_back: 0.0,
            ..CalibrationSpec::new(form)
        };
        let calibration = sweep.calibrate(&spec).unwrap();
        assert_eq!(calibration.held_back(), None);
        // What is straight stays straight, but for rounding.
        assert!(calibration.after().greatest < 1e-12, "{form:?}");
    }
    let degree = CalibrationForm::Polynomial { degree: 7 };
    let error = sweep.calibrate(&CalibrationSpec::new(degree)).unwrap_err();
    assert!(matches!(error, Error::Count { min: 8, .. }), "{error}");
}

#[test]
fn wrong_wishes_are_refused() {
    let sweep = sweep(101, 0.0, count_at);
    for form in [
        CalibrationForm::Polynomial { degree: 0 },
        CalibrationForm::Polynomial { degree: 16 },
        CalibrationForm::MonotoneCubic { knots: 1 },
        table(258, KnotPlacement::Even),
    ] {
        let error = sweep.calibrate(&CalibrationSpec::new(form)).unwrap_err();
        assert!(matches!(error, Error::Count { .. }), "{form:?}");
    }
    for held_back in [-0.1, 0.6, f64::NAN, f64::INFINITY] {
        let spec = CalibrationSpec {
            held_back,
            ..CalibrationSpec::new(table(5, KnotPlacement::Even))
        };
        assert!(sweep.calibrate(&spec).is_err(), "{held_back}");
    }
}

#[test]
fn curves_are_checked_and_held_at_their_ends() {
    let points = [[100.0, -0.2], [2000.0, 0.0], [3900.0, 0.2]];
    for curve in [
        CalibrationCurve::table(&points).unwrap(),
        CalibrationCurve::monotone_cubic(&points).unwrap(),
        CalibrationCurve::polynomial([100.0, 3900.0], vec![0.0, 0.2]).unwrap(),
    ] {
        assert_eq!(curve.counts(), [100.0, 3900.0]);
        for (count, position) in [(100.0, -0.2), (3900.0, 0.2), (-1e160, -0.2), (1e160, 0.2)] {
            assert!((curve.position(count).unwrap() - position).abs() < 1e-15);
        }
        assert!(curve.position(f64::NAN).is_err());
        let (positions, valid) = curve.positions(&[2000.0, f64::INFINITY]);
        assert!(positions[0].abs() < 1e-15 && positions[1].is_nan());
        assert_eq!(valid, [true, false]);
        let text = serde_json::to_string(&curve).unwrap();
        assert_eq!(
            serde_json::from_str::<CalibrationCurve>(&text).unwrap(),
            curve
        );
    }
    let back = [[100.0, -0.2], [2000.0, 0.3], [3900.0, 0.2]];
    assert!(matches!(
        CalibrationCurve::table(&back),
        Err(Error::TurnsBack { .. })
    ));
    assert!(matches!(
        CalibrationCurve::monotone_cubic(&back),
        Err(Error::TurnsBack { .. })
    ));
    // T2 alone falls and rises.
    let turned = CalibrationCurve::polynomial([0.0, 100.0], vec![0.0, 0.0, 0.2]);
    assert!(matches!(turned, Err(Error::TurnsBack { .. })));
    let equal = [[100.0, -0.2], [100.0, 0.0], [3900.0, 0.2]];
    assert!(matches!(
        CalibrationCurve::table(&equal),
        Err(Error::NotAscending { .. })
    ));
    assert!(matches!(
        CalibrationCurve::table(&points[..1]),
        Err(Error::Count { .. })
    ));
    for bad in [f64::NAN, f64::INFINITY, 1e160] {
        assert!(CalibrationCurve::table(&[[0.0, 0.0], [bad, 0.1]]).is_err());
        assert!(CalibrationCurve::table(&[[0.0, 0.0], [1.0, bad]]).is_err());
        assert!(CalibrationCurve::polynomial([0.0, bad], vec![0.0, 1.0]).is_err());
        assert!(CalibrationCurve::polynomial([0.0, 1.0], vec![0.0, bad]).is_err() || bad == 1e160);
    }
}

#[test]
fn a_calibration_is_stored() {
    let calibration = calibrate(
        &sweep(101, 1.0, count_at),
        table(9, KnotPlacement::LeastError),
    );
    let text = serde_json::to_string(&calibration).unwrap();
    assert_eq!(
        serde_json::from_str::<Calibration>(&text).unwrap(),
        calibration
    );
}
