//! Bench sweeps, calibrations and firmware of any curve; files of any text.

use proptest::prelude::*;
use yokewright::axis::{
    BenchFormat, BenchLog, BenchSweep, CalibrationCurve, CalibrationForm, CalibrationSpec,
    Firmware, FirmwareSpec, KnotPlacement,
};
use yokewright::units::DEG;

use crate::strategies::anything;

/// A curve that rises or falls: points between which it goes on, count and angle.
fn curves() -> impl Strategy<Value = (Vec<[f64; 2]>, bool)> {
    let steps = prop::collection::vec((1.0..60.0_f64, 0.05..3.0_f64), 2..14);
    (10.0..200.0_f64, steps, any::<bool>()).prop_map(|(first, steps, rising)| {
        let whole: f64 = steps.iter().map(|(_, angle)| angle).sum();
        let mut point = [first, -0.5 * whole];
        let mut points = vec![point];
        for (count, angle) in steps {
            point = [point[0] + count, point[1] + angle];
            points.push(point);
        }
        let sign = if rising { DEG } else { -DEG };
        (
            points
                .iter()
                .map(|[count, angle]| [*count, sign * angle])
                .collect(),
            rising,
        )
    })
}

proptest! {
    /// Through every point, between them never beyond, and in one direction.
    #[test]
    fn curves_go_through_their_points((points, rising) in curves()) {
        for curve in [CalibrationCurve::table(&points).unwrap(), CalibrationCurve::monotone_cubic(&points).unwrap()] {
            prop_assert_eq!(curve.is_rising(), rising);
            for [count, angle] in &points {
                prop_assert!((curve.position(*count).unwrap() - angle).abs() < 1e-14);
            }
            let [from, to] = curve.counts();
            let told: Vec<f64> = (0..=1000).map(|i| {
                curve.position(from + (to - from) * f64::from(i) / 1000.0).unwrap()
            }).collect();
            let sign = if rising { 1.0 } else { -1.0 };
            prop_assert!(told.windows(2).all(|pair| sign * (pair[1] - pair[0]) >= -1e-15));
        }
    }

    /// All 1024 codes: never further from the curve than is said, in one direction, within full output, still in the
    /// dead zone.
    #[test]
    fn firmware_keeps_its_word(
        (points, rising) in curves(), cubic in any::<bool>(), knots in 2_usize..40, bits in 8_u32..=16,
        zones in (0.0..0.2_f64, 0.0..0.2_f64), center in -0.3..0.3_f64,
    ) {
        let curve = if cubic { CalibrationCurve::monotone_cubic(&points) } else { CalibrationCurve::table(&points) };
        let [lower, upper] = curve.as_ref().unwrap().positions_range();
        let half = 0.5 * (upper - lower);
        let spec = FirmwareSpec {
            knots,
            output_bits: bits,
            center: 0.5 * (lower + upper) + center * half,
            dead_zone: zones.0 * half,
            end_zone: zones.1 * half,
            ..FirmwareSpec::new("any", [lower, upper])
        };
        let made = Firmware::new(curve.unwrap(), 10, spec.clone());
        let firmware = match made {
            Ok(firmware) => firmware,
            // Of codes that all fall into one dead zone, or a table that no shift is fine enough for.
            Err(error) => {
                prop_assert!(!error.to_string().is_empty());
                return Ok(());
            }
        };
        let sign = if rising { 1 } else { -1 };
        let full = firmware.full_output();
        let mut before = None;
        for code in 0..1024 {
            let output = firmware.output(code);
            prop_assert!(output.abs() <= full);
            let error = (f64::from(output) - firmware.model(code)).abs();
            prop_assert!(error <= firmware.worst_error());
            prop_assert!(before.is_none_or(|before| sign * (output - before) >= 0));
            before = Some(output);
            let position = firmware.curve().position(f64::from(code));
            if let Ok(position) = position
                && (position - spec.center).abs() < spec.dead_zone
            {
                prop_assert_eq!(output, 0);
            }
        }
        let at = firmware.worst_code();
        prop_assert_eq!((f64::from(firmware.output(at)) - firmware.model(at)).abs(), firmware.worst_error());
        prop_assert_eq!(firmware.output(5000), firmware.output(1023));
    }

    /// However a spreadsheet writes them, the rows are the same.
    #[test]
    fn rows_are_read_as_they_were_written(
        rows in prop::collection::vec((-45_000_i32..45_000, 0_u32..4096), 2..60),
        separator in prop::sample::select(vec![",", ";", "\t"]), line in prop::sample::select(vec!["\n", "\r\n"]),
        swapped in any::<bool>(),
    ) {
        let decimal = if separator == "," { '.' } else { ',' };
        let heading = ["angle_deg", "count"];
        let mut lines = vec![heading];
        let cells: Vec<[String; 2]> = rows.iter().map(|(angle, count)| {
            let angle = format!("{:.3}", f64::from(*angle) / 1000.0).replace('.', &decimal.to_string());
            [angle, count.to_string()]
        }).collect();
        lines.extend(cells.iter().map(|[a, c]| [a.as_str(), c.as_str()]));
        let text: String = lines.iter().map(|[a, c]| {
            let [a, c] = if swapped { [c, a] } else { [a, c] };
            format!("{a}{separator}{c}{line}")
        }).collect();
        let log = BenchLog::read(&text, &BenchFormat::new(12)).unwrap();
        prop_assert_eq!(log.rows().len(), rows.len());
        for (row, (angle, count)) in log.rows().iter().zip(&rows) {
            let expected = f64::from(*angle) / 1000.0 * DEG;
            let angle = row.angle.unwrap();
            prop_assert!((angle - expected).abs() < 1e-15, "{angle} {expected}");
            prop_assert_eq!(row.count, Some(f64::from(*count)));
        }
    }

    /// Text of any kind is read or refused.
    #[test]
    fn files_of_garbage(
        text in "(angle[_ ](deg|rad)?[,;\t]count\n)?([-0-9.,;eE\t\"\n ]|[a-z]|NaN|inf|°){0,200}",
        bits in 0_u32..40,
    ) {
        if let Ok(log) = BenchLog::read(&text, &BenchFormat::new(bits)) {
            let _ = log.sweep(&[]);
        }
    }

    /// Numbers of any kind are a sweep or an error, and what is made of the sweep is finite.
    #[test]
    fn sweeps_of_garbage(rows in prop::collection::vec((anything(), anything()), 0..30), bits in 0_u32..40) {
        let (angles, counts): (Vec<f64>, Vec<f64>) = rows.into_iter().unzip();
        if let Ok(log) = BenchLog::of(&angles, &counts, bits) {
            let _ = log.sweep(&[]);
        }
        if let Ok(sweep) = BenchSweep::new(bits, angles, counts) {
            let form = CalibrationForm::MonotoneCubic { knots: 3 };
            if let Ok(calibration) = sweep.calibrate(&CalibrationSpec::new(form)) {
                prop_assert!(calibration.after().rms.is_finite());
            }
        }
    }
}

proptest! {
    // Each places the knots of four tables.
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// More knots placed for the least error never leave more; no table beats its own bound.
    #[test]
    fn knots_are_placed_for_the_least_error(bend in -0.8..0.8_f64, wave in -0.1..0.1_f64, rows in 60_usize..200) {
        let at = |i: usize| -1.0 + 2.0 * i as f64 / (rows - 1) as f64;
        let angles: Vec<f64> = (0..rows).map(|i| 10.0 * DEG * at(i)).collect();
        let counts: Vec<f64> = (0..rows).map(|i| {
            let x = at(i);
            (2048.0 + 1500.0 * (x + bend * (x * x * x - x) * 0.4 + wave * (4.0 * x).sin() * 0.2)).round()
        }).collect();
        let sweep = BenchSweep::new(12, angles, counts).unwrap();
        let mut last = f64::INFINITY;
        for knots in [2, 3, 5, 9] {
            let form = |placement| CalibrationForm::Table { knots, placement };
            let made = |placement| sweep.calibrate(&CalibrationSpec::new(form(placement)));
            let (best, even) = (made(KnotPlacement::LeastError), made(KnotPlacement::Even));
            let (Ok(best), Ok(even)) = (best, even) else {
                return Ok(());
            };
            let (error, bound) = (best.table_error().unwrap(), best.table_bound().unwrap());
            // A straight sweep leaves roundings of its angles, of 0.2 rad at most.
            let no_more = |error: f64, than: f64| error <= than * (1.0 + 1e-9) + f64::EPSILON;
            prop_assert!(no_more(bound, error), "{error:e} {bound:e}");
            prop_assert!(no_more(error, last), "{knots}: {error:e} after {last:e}");
            prop_assert!(even.table_error().is_none_or(|even| no_more(error, even)));
            last = error;
        }
    }
}
