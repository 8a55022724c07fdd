use super::*;
use crate::hall::AngleError;

/// A few roundings of angles up to pi.
const ROUNDING: f64 = 8.0 * f64::EPSILON;

/// A fine analog output over a quarter of a turn.
fn quarter() -> AngleOutput {
    AngleOutput::Analog {
        supply: 5.0,
        low: 0.5,
        high: 4.5,
        range: 0.5 * PI,
    }
}

fn twelve_bits() -> AngleSensorSpec {
    AngleSensorSpec::new(AngleOutput::Digital { bits: 12 })
}

fn flux_at(angle: f64, size: f64) -> Vector3<f64> {
    let (sin, cos) = angle.sin_cos();
    Vector3::new(size * cos, size * sin, 0.0)
}

/// A part with every error, beside the shaft: it reads z and x.
fn flawed() -> AngleSensor {
    AngleSensor::new(AngleSensorSpec {
        directions: [3.0 * Vector3::z(), 0.2 * Vector3::x()],
        depth: 0.6e-3,
        offsets: [1e-3, -2e-3],
        gain_mismatch: 0.1,
        nonorthogonality: 0.05,
        noise: 20e-6,
        working_flux: [0.02, 0.09],
        ..twelve_bits()
    })
    .unwrap()
}

#[test]
fn an_ideal_sensor_reads_the_angle_of_the_field() {
    let sensor = AngleSensor::new(twelve_bits()).unwrap();
    for i in -17..=18 {
        let angle = f64::from(i) * PI / 18.0;
        let read = sensor.angle(&flux_at(angle, 0.04)).unwrap();
        assert!((read - angle).abs() < ROUNDING, "{angle}: {read}");
    }
    // What does not lie in the plane counts for nothing.
    let field = Vector3::new(0.01, 0.01, 7.0);
    assert_eq!(sensor.angle(&field).unwrap(), 0.25 * PI);
    assert_eq!(sensor.active_point(), Point3::origin());
}

#[test]
fn the_components_are_those_of_the_definition() {
    let sensor = flawed();
    let field = Vector3::new(0.03, 5.0, 0.04);
    let [c1, c2] = sensor.components(&field);
    // u1 = z, u2 = x: c1 = o1 + Bz, c2 = o2 + (1 + g)(cos d Bx + sin d Bz).
    assert!((c1 - 0.041).abs() < ROUNDING);
    let second = -0.002 + 1.1 * (0.05_f64.cos() * 0.03 + 0.05_f64.sin() * 0.04);
    assert!((c2 - second).abs() < ROUNDING);
    assert_eq!(sensor.angle(&field).unwrap(), c2.atan2(c1));
    assert_eq!(sensor.noise_angle(&field).unwrap(), 20e-6 / c1.hypot(c2));
    assert_eq!(sensor.active_point(), Point3::new(0.0, 0.0, -0.6e-3));
    assert_eq!(sensor.spec().directions, [Vector3::z(), Vector3::x()]);
}

#[test]
fn small_errors_are_those_of_the_closed_form() {
    let size = 0.05;
    // Each alone, small enough that its square does not show.
    let small = 1e-6;
    for part in 0..4 {
        let mut spec = twelve_bits();
        match part {
            0 => spec.offsets = [small * size, 0.0],
            1 => spec.offsets = [0.0, small * size],
            2 => spec.gain_mismatch = small,
            _ => spec.nonorthogonality = small,
        }
        let sensor = AngleSensor::new(spec).unwrap();
        let closed = sensor.first_order_error(size).unwrap();
        let turned: Vec<f64> = (0..48).map(|i| f64::from(i) * TAU / 48.0).collect();
        let fields: Vec<_> = turned.iter().map(|t| flux_at(*t, size)).collect();
        let read = sensor.angles(&fields);
        assert!(read.valid.iter().all(|valid| *valid));
        let error = AngleError::of(&turned, &read.values).unwrap();
        for (turned, error) in turned.iter().zip(error.error()) {
            // Some squares of the small number, and roundings of angles.
            let expected = match part {
                0 => -small * turned.sin(),
                1 => small * turned.cos(),
                2 => 0.5 * small * (2.0 * turned).sin(),
                _ => 0.5 * small * (1.0 + (2.0 * turned).cos()),
            };
            assert!((error - expected).abs() < 2.0 * small * small + 1e-15);
            assert!((closed.at(*turned) - expected).abs() < 1e-15);
        }
        let found = error.harmonics().unwrap();
        assert!((found.mean - closed.mean).abs() < 2.0 * small * small);
        assert!((found.first.amplitude - closed.first.amplitude).abs() < 2.0 * small * small);
        assert!((found.second.amplitude - closed.second.amplitude).abs() < 2.0 * small * small);
    }
}

#[test]
fn the_slope_is_the_difference_quotient() {
    let sensor = flawed();
    let field = Vector3::new(0.03, 5.0, -0.04);
    let change = Vector3::new(-0.2, 0.5, 0.7);
    let slope = sensor.angle_slope(&field, &change).unwrap();
    let step = 1e-6;
    let at = |step: f64| sensor.angle(&(field + step * change)).unwrap();
    let quotient = (at(step) - at(-step)) / (2.0 * step);
    // The third derivative times the square of the step, and roundings of the angle over the step.
    assert!((slope - quotient).abs() < 1e-8 * slope.abs() + 1e-9);
    // Offsets do not change. A field that grows keeps its angle where there are none.
    let clean = AngleSensor::new(twelve_bits()).unwrap();
    assert_eq!(clean.angle_slope(&field, &(2.0 * field)).unwrap(), 0.0);
    // A turning field: the angle turns with it, also where squares vanish.
    for size in [1e-170, 1.0, 1e170] {
        let field = Vector3::new(size, 0.0, 0.0);
        let turning = Vector3::new(0.0, size, 0.0);
        assert_eq!(clean.angle_slope(&field, &turning).unwrap(), 1.0);
    }
    assert!(
        clean
            .angle_slope(&Vector3::x(), &Vector3::repeat(f64::NAN))
            .is_err()
    );
}

#[test]
fn where_both_components_vanish_there_is_no_angle() {
    let sensor = flawed();
    // The field that makes up for the offsets: c1 = 0 at Bz = -o1, c2 = 0 at the Bx that follows.
    let spec = sensor.spec();
    let plain = AngleSensor::new(AngleSensorSpec {
        offsets: [1e-3, -2e-3],
        working_flux: spec.working_flux,
        ..twelve_bits()
    })
    .unwrap();
    let dead = Vector3::new(-1e-3, 2e-3, 0.3);
    let text = "flux density in the plane of the angle sensor = 0 T is outside 0.02 to 0.09 T";
    for error in [
        plain.angle(&dead).unwrap_err(),
        plain.read(&dead).unwrap_err(),
        plain.noise_angle(&dead).unwrap_err(),
        plain.angle_slope(&dead, &Vector3::x()).unwrap_err(),
    ] {
        assert_eq!(error.to_string(), text);
    }
    let many = plain.angles(&[
        dead,
        Vector3::x(),
        Vector3::repeat(f64::NAN),
        Vector3::repeat(1e308),
    ]);
    assert_eq!(many.valid, [false, true, false, true]);
    assert!(many.values[0].is_nan() && many.values[2].is_nan());
    let error = plain.angle(&Vector3::repeat(f64::MAX)).unwrap_err();
    assert!(
        error.to_string().starts_with("flux density is inf"),
        "{error}"
    );
}

#[test]
fn the_working_range_is_that_of_the_flux_in_the_plane() {
    let sensor = flawed();
    let works = |x: f64, z: f64| sensor.works_in(&Vector3::new(x, 1.0, z));
    assert!(works(0.02, 0.0) && works(0.0, -0.09) && works(0.03, 0.04));
    assert!(!works(0.0199, 0.0) && !works(0.0, 0.0901) && !works(f64::NAN, 0.03));
}

#[test]
fn noise_that_is_all_there_is_has_no_angle() {
    let sensor = AngleSensor::new(AngleSensorSpec {
        noise: 1e-4,
        ..twelve_bits()
    })
    .unwrap();
    assert!((sensor.noise_angle(&flux_at(1.0, 0.05)).unwrap() - 2e-3).abs() < ROUNDING);
    assert!(sensor.noise_angle(&flux_at(1.0, 1e-5)).is_err());
}

#[test]
fn an_analog_output_runs_over_its_range_about_the_zero_position() {
    let spec = AngleSensorSpec {
        zero: 0.3,
        ..AngleSensorSpec::new(quarter())
    };
    let sensor = AngleSensor::new(spec.clone()).unwrap();
    let output = |angle: f64| sensor.output(angle).unwrap();
    assert_eq!(output(0.3), 2.5);
    assert!((output(0.3 + PI / 8.0) - 3.5).abs() < 4.0 * ROUNDING);
    assert!((output(0.3 - PI / 4.0) - 0.5).abs() < 4.0 * ROUNDING);
    assert_eq!((output(0.3 + 1.0), output(0.3 - 3.0)), (4.5, 0.5));
    // A turn further it is the same; half a turn away it jumps from one end to the other.
    assert!((output(0.4 - TAU) - output(0.4)).abs() < 4.0 * ROUNDING);
    assert_eq!((output(0.3 + 3.13), output(0.3 + 3.15)), (4.5, 0.5));
    assert!(!sensor.clips(0.3 + 0.785) && sensor.clips(0.3 + 0.786) && sensor.clips(f64::NAN));
    assert!((sensor.gain() - 8.0 / PI).abs() < ROUNDING);
    assert_eq!(sensor.output_range(), [0.5, 4.5]);
    assert_eq!((sensor.step(), sensor.code(0.1).unwrap()), (None, None));
    let back = AngleSensor::new(AngleSensorSpec {
        sense: RotationSense::Reverse,
        ..spec
    })
    .unwrap();
    assert!((back.output(0.5).unwrap() - output(0.1)).abs() < 4.0 * ROUNDING);
    assert_eq!(back.gain(), -sensor.gain());
}

#[test]
fn a_digital_output_has_its_own_steps() {
    let sensor = AngleSensor::new(AngleSensorSpec::new(AngleOutput::Digital { bits: 6 })).unwrap();
    let step = TAU / 64.0;
    assert_eq!(sensor.step(), Some(step));
    let code = |angle: f64| sensor.code(angle).unwrap().unwrap();
    assert_eq!((code(0.0), code(0.49 * step), code(0.51 * step)), (0, 0, 1));
    assert_eq!(
        (code(-0.49 * step), code(-0.51 * step), code(-PI)),
        (0, 63, 32)
    );
    assert_eq!((code(PI), code(PI - 0.51 * step), code(TAU)), (32, 31, 0));
    for i in -64..=64 {
        let angle = (f64::from(i) + 0.2) * step;
        let output = sensor.output(angle).unwrap();
        assert!((-PI..PI).contains(&output));
        assert!((wrapped(output - angle) + 0.2 * step).abs() < 4.0 * ROUNDING);
        assert_eq!(
            (code(angle) as f64 * step - output).rem_euclid(TAU) % TAU,
            0.0
        );
    }
    assert_eq!(sensor.output_range(), [-PI, PI - step]);
    assert_eq!(
        (
            sensor.gain(),
            sensor.clips(3.0),
            sensor.clips(f64::INFINITY)
        ),
        (1.0, false, true)
    );
    let back = AngleSensor::new(AngleSensorSpec {
        sense: RotationSense::Reverse,
        zero: 0.5 * PI,
        ..sensor.spec().clone()
    })
    .unwrap();
    assert_eq!(
        (back.code(0.5 * PI), back.code(0.0)),
        (Ok(Some(0)), Ok(Some(16)))
    );
    assert_eq!(back.gain(), -1.0);
    assert_eq!(back.read(&flux_at(0.0, 0.03)).unwrap(), 0.5 * PI);
    assert!(back.output(1.1e6).is_err() && back.code(f64::NAN).is_err());
}

#[test]
fn each_slip_is_named() {
    type Slip = (&'static str, fn(&mut AngleSensorSpec));
    let analog = |s: &mut AngleSensorSpec, low, high, range| {
        s.output = AngleOutput::Analog {
            supply: 5.0,
            low,
            high,
            range,
        };
    };
    let cases: [Slip; 20] = [
        ("first direction", |s| s.directions[0] = Vector3::zeros()),
        ("second direction", |s| s.directions[1].x = f64::NAN),
        ("cosine of the angle between the two directions", |s| {
            s.directions[1] = Vector3::new(1e-6, 1.0, 0.0);
        }),
        ("depth of the sensitive point", |s| s.depth = 0.5),
        ("depth of the sensitive point", |s| s.depth = -1e-9),
        ("offset of the first component", |s| s.offsets[0] = 0.11),
        ("offset of the second component", |s| s.offsets[1] = -0.11),
        ("gain mismatch", |s| s.gain_mismatch = -0.51),
        ("nonorthogonality", |s| s.nonorthogonality = 0.51),
        ("noise of a component", |s| s.noise = -1e-9),
        ("noise of a component", |s| s.noise = 0.011),
        ("end of the working range", |s| s.working_flux[0] = 0.0),
        ("end of the working range", |s| s.working_flux[1] = 11.0),
        ("working range", |s| s.working_flux = [0.05, 0.05]),
        ("zero position", |s| s.zero = 3.2),
        ("bits of the angle sensor", |s| {
            s.output = AngleOutput::Digital { bits: 5 }
        }),
        ("bits of the angle sensor", |s| {
            s.output = AngleOutput::Digital { bits: 25 }
        }),
        ("sensor supply", |s| {
            s.output = AngleOutput::Analog {
                supply: 0.4,
                low: 0.0,
                high: 0.4,
                range: 1.0,
            };
        }),
        ("nonorthogonality", |s| s.nonorthogonality = f64::NAN),
        ("gain mismatch", |s| s.gain_mismatch = f64::INFINITY),
    ];
    for (name, spoil) in cases {
        let mut spec = twelve_bits();
        spoil(&mut spec);
        let text = AngleSensor::new(spec).unwrap_err().to_string();
        assert!(text.starts_with(name), "{name}: {text}");
    }
    for (low, high, range, name) in [
        (-0.1, 4.5, 1.0, "low end of the output"),
        (0.5, 5.1, 1.0, "high end of the output"),
        (2.5, 2.5, 1.0, "output: lower end"),
        (0.5, 4.5, 0.009, "range of the output"),
        (0.5, 4.5, 6.3, "range of the output"),
    ] {
        let mut spec = twelve_bits();
        analog(&mut spec, low, high, range);
        let text = AngleSensor::new(spec).unwrap_err().to_string();
        assert!(text.starts_with(name), "{name}: {text}");
    }
    // The ends themselves are allowed.
    let mut spec = twelve_bits();
    (spec.offsets, spec.gain_mismatch, spec.nonorthogonality) = ([0.1, -0.1], -0.5, 0.5);
    (spec.working_flux, spec.noise, spec.depth) = ([1e-6, 10.0], 0.01, 5e-3);
    analog(&mut spec, 0.0, 5.0, TAU);
    assert!(AngleSensor::new(spec).is_ok());
}

#[test]
fn the_first_order_needs_a_flux_density() {
    let sensor = flawed();
    for flux in [0.0, -0.01, 11.0, f64::NAN] {
        assert!(sensor.first_order_error(flux).is_err());
    }
    // Both offsets: hypot of the two over the flux density.
    let first = sensor.first_order_error(0.1).unwrap().first;
    assert!((first.amplitude - 0.01 * 5_f64.sqrt()).abs() < ROUNDING);
}

#[test]
fn the_sense_reads_back_what_it_writes() {
    for sense in RotationSense::ALL {
        assert_eq!(sense.to_string().parse::<RotationSense>().unwrap(), sense);
    }
    assert_eq!(RotationSense::default().sign(), 1.0);
    assert_eq!(RotationSense::Reverse.sign(), -1.0);
}
