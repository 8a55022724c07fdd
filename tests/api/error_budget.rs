//! Error budget and comparison, against hand calculation and dense sweeps.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Isometry3, Vector3, vector};
use yokewright::axis::{
    Arrangement as _, Axis, AxisSpec, CalibrationMethod, ComparedAxis, Comparison, ErrorBudget,
    ErrorBudgetSpec, ErrorCause, ErrorDistribution, compare,
};
use yokewright::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, HallVariation, LinearHall,
    LinearHallSpec, Potentiometer, PotentiometerSpec, Rounding,
};
use yokewright::linkage::{AnyTransmission, FixedRatio, UniversalJoint};
use yokewright::magnet::{AnySource, Block};
use yokewright::units::{DEG, MM, MV, MV_PER_MT};
use yokewright::{Error, Result};

use crate::axis_sources::Uniform;
use crate::common;

const END: f64 = 6.0 * DEG;

/// Curves hold to 1e-11 of their span, and a budget to a few of those.
const CURVE: f64 = 1e-10;

/// What two roundings of one product may differ by.
const ROUNDING: f64 = 1e-12;

/// Steps of a dense sweep over a throw of some degrees, and what an arch between two of its points may hide, as a share
/// of the throw: an eighth of the square of a step, by a curvature of some tens.
const DENSE: usize = 20_001;
const BETWEEN: f64 = 1e-7;
/// The same beside a rail, where the departure has a corner: its slope is the change of the gain, some tenth.
const CORNER: f64 = 0.15 / (DENSE - 1) as f64;

#[track_caller]
fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found:e} is not {expected:e} to {tolerance:e}"
    );
}

/// A sensor turned in a uniform field of 100 mT reads a sine, which over six degrees is all but straight.
fn sine(variation: HallVariation, remanence_drift: f64) -> Axis {
    let sensor = LinearHall::new(LinearHallSpec {
        variation,
        ..LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)
    });
    Axis::new(AxisSpec {
        sensor_pose: Isometry3::rotation(Vector3::y() * FRAC_PI_2),
        remanence_drift,
        ..AxisSpec::new(
            [-END, END],
            AnySource::custom(Uniform(vector![0.0, -0.1, 0.0])),
            sensor.unwrap(),
            Isometry3::identity(),
            Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap(),
        )
    })
    .unwrap()
}

fn warm() -> ErrorBudgetSpec {
    ErrorBudgetSpec {
        celsius: Some([0.0, 40.0]),
        ..ErrorBudgetSpec::default()
    }
}

fn angle(budget: &ErrorBudget, cause: ErrorCause) -> f64 {
    budget.of(cause).angle
}

#[test]
fn drifts_by_hand() {
    let sensitivity_drift = 0.0012;
    let quiescent_drift = 0.1 * MV;
    let axis = sine(
        HallVariation {
            sensitivity_drift,
            quiescent_drift,
            ..HallVariation::default()
        },
        -0.0011,
    );
    let budget = axis.error_budget(&warm()).unwrap();
    // The gain is off by b dT: the ends of the throw are told b dT of themselves too far out. The sensor is given at 25
    // degC, so that 0 degC is the farther; the magnets at 20 degC.
    close(
        angle(&budget, ErrorCause::SensitivityDrift),
        0.0012 * 25.0 * END,
        CURVE,
    );
    close(
        angle(&budget, ErrorCause::RemanenceDrift),
        0.0011 * 20.0 * END,
        CURVE,
    );
    let slope = 25.0 * 0.1 * END.sin() / END;
    close(
        angle(&budget, ErrorCause::QuiescentDrift),
        0.1 * MV * 25.0 / slope,
        CURVE,
    );
    // All together, at an end: (1 + b dT)(1 - a dT) - 1 and the offset with it.
    let all = |celsius: f64| {
        let gain = (1.0 + 0.0012 * (celsius - 25.0)) * (1.0 - 0.0011 * (celsius - 20.0)) - 1.0;
        let offset = 0.1 * MV * (celsius - 25.0) / slope;
        (gain * END).abs() + offset.abs()
    };
    close(budget.drift(), all(0.0).max(all(40.0)), CURVE);
    // A sine departs most from the line through its ends where it is parallel to it.
    let line = END.sin() / END;
    let worst = line.acos();
    close(
        angle(&budget, ErrorCause::Nonlinearity),
        worst.sin() / line - worst,
        CURVE,
    );
    // By the tangent at the center the ends are the worst.
    let tangent = ErrorBudgetSpec {
        calibration: CalibrationMethod::None,
        ..warm()
    };
    let tangent = axis.error_budget(&tangent).unwrap();
    close(
        angle(&tangent, ErrorCause::Nonlinearity),
        END - END.sin(),
        CURVE,
    );
    let none = axis.error_budget(&ErrorBudgetSpec::default()).unwrap();
    for cause in [
        ErrorCause::SensitivityDrift,
        ErrorCause::RemanenceDrift,
        ErrorCause::QuiescentDrift,
        ErrorCause::Supply,
        ErrorCause::Backlash,
        ErrorCause::Friction,
        ErrorCause::Crosstalk,
        ErrorCause::ConverterNonlinearity,
        ErrorCause::PotentiometerLinearity,
        ErrorCause::PotentiometerLoading,
        ErrorCause::WiperContact,
    ] {
        assert_eq!(angle(&none, cause), 0.0, "{cause}");
    }
    assert_eq!(none.drift(), 0.0);
}

/// The calibration is made where the axis stands: warm, and the cold room is what is off.
#[test]
fn a_warm_axis_drifts_from_its_own_temperature() {
    let variation = HallVariation {
        sensitivity_drift: 0.0012,
        ..HallVariation::default()
    };
    let axis = sine(variation, -0.002).at_temperature(40.0).unwrap();
    let budget = axis.error_budget(&warm()).unwrap();
    // Of 1.018 at 40 degC to 0.97 at 0, and of 0.96 to 1.04.
    let sensitivity = (1.0 - 0.97 / 1.018) * END;
    close(
        angle(&budget, ErrorCause::SensitivityDrift),
        sensitivity,
        CURVE,
    );
    close(
        angle(&budget, ErrorCause::RemanenceDrift),
        (1.04 / 0.96 - 1.0) * END,
        CURVE,
    );
}

/// A block past a sensor, with every drift, whose rail is met when cold.
fn bent() -> Axis {
    let sensor = LinearHall::new(LinearHallSpec {
        variation: HallVariation {
            sensitivity_drift: -0.0015,
            quiescent_drift: 1.0 * MV,
            ..HallVariation::default()
        },
        ..common::sensor_spec()
    });
    let block = Block::new(
        Vector3::repeat(5.0 * MM),
        vector![0.0, 1.3, 0.0],
        Isometry3::translation(12.0 * MM, 0.0, 0.0),
    );
    let pose = common::layout().sensor_pose();
    Axis::new(AxisSpec {
        remanence_drift: -0.0011,
        ..AxisSpec::new(
            [-5.0 * DEG, 6.0 * DEG],
            yokewright::magnet::MagnetGroup::from(block.unwrap()),
            sensor.unwrap(),
            pose,
            common::converter(),
        )
    })
    .unwrap()
}

/// What a table through even readings tells of volts, by a search from below.
fn told(knots: &[(f64, f64)], volts: f64) -> f64 {
    let rising = knots[knots.len() - 1].0 > knots[0].0;
    let mut i = 0;
    while i + 2 < knots.len() && ((volts > knots[i + 1].0) == rising) {
        i += 1;
    }
    let ((v0, a0), (v1, a1)) = (knots[i], knots[i + 1]);
    a0 + (a1 - a0) * (volts - v0) / (v1 - v0)
}

fn volts(axis: &Axis) -> (Vec<f64>, Vec<f64>) {
    let sweep = axis.sweep(DENSE).unwrap();
    (sweep.angle().to_vec(), sweep.volts().unwrap().to_vec())
}

#[test]
fn drift_and_nonlinearity_as_a_dense_sweep_has_them() {
    let axis = bent();
    let (angles, now) = volts(&axis);
    let hot = volts(&axis.at_temperature(60.0).unwrap()).1;
    let cold = volts(&axis.at_temperature(-20.0).unwrap()).1;
    let (mut clipped, top) = (0, 4.7);
    for (calibration, points) in [
        (CalibrationMethod::TwoPoint, 2),
        (CalibrationMethod::Table { points: 5 }, 5),
        (CalibrationMethod::Table { points: 41 }, 41),
    ] {
        let knots: Vec<(f64, f64)> = (0..points)
            .map(|i| i * (DENSE - 1) / (points - 1))
            .map(|i| (now[i], angles[i]))
            .collect();
        let mut worst = [0.0_f64; 2];
        for (i, angle) in angles.iter().enumerate() {
            let here = told(&knots, now[i]);
            worst[0] = worst[0].max((here - angle).abs());
            for other in [&hot, &cold] {
                worst[1] = worst[1].max((told(&knots, other[i]) - here).abs());
                clipped += usize::from(other[i] >= top || other[i] <= 0.2);
            }
        }
        let budget = axis
            .error_budget(&ErrorBudgetSpec {
                celsius: Some([-20.0, 60.0]),
                calibration,
                ..ErrorBudgetSpec::default()
            })
            .unwrap();
        let travel = budget.travel();
        let bend = angle(&budget, ErrorCause::Nonlinearity);
        // Never below what the sweep has seen.
        assert!(bend >= worst[0] - ROUNDING && budget.drift() >= worst[1] - ROUNDING);
        close(bend, worst[0], BETWEEN * travel);
        close(budget.drift(), worst[1], CORNER * travel);
    }
    assert!(clipped > 0, "no rail was met");
}

#[test]
fn supply_by_hand() {
    let axis = sine(HallVariation::default(), 0.0);
    let ask = |sensor, converter| {
        let spec = ErrorBudgetSpec {
            supply_tolerance: 0.02,
            ratiometric_sensor: sensor,
            ratiometric_converter: converter,
            ..ErrorBudgetSpec::default()
        };
        angle(&axis.error_budget(&spec).unwrap(), ErrorCause::Supply)
    };
    close(ask(true, true), 0.0, CURVE);
    close(ask(false, false), 0.0, CURVE);
    // The output is 2 % off, offset and all; it is greatest at the upper end, and the converter reads no more than 5 V.
    let slope = 25.0 * 0.1 * END.sin() / END;
    let top = 2.5 + 2.5 * END.sin();
    close(ask(true, false), 0.02 * top / slope, CURVE);
    close(ask(false, true), top * (1.0 / 0.98 - 1.0) / slope, CURVE);
}

/// A rail keeps its distance to ground at any supply, so that not even a ratiometric pair is free of it.
#[test]
fn a_rail_is_not_ratiometric() {
    let spec = ErrorBudgetSpec {
        supply_tolerance: 0.05,
        ..ErrorBudgetSpec::default()
    };
    let sensor = LinearHallSpec {
        rail_low: 1.0,
        ..LinearHallSpec::new(5.0, 200.0 * MV_PER_MT)
    };
    let axis = Axis::new(AxisSpec {
        sensor: LinearHall::new(sensor).unwrap().into(),
        ..sine(HallVariation::default(), 0.0).spec().clone()
    })
    .unwrap();
    let budget = axis.error_budget(&spec).unwrap();
    // Ends at 2.5 -+ 20 sin(6 deg), the lower one beyond the rail: the code there is that of 1 V over a supply of 4.75
    // or 5.25 V.
    let top = 2.5 + 20.0 * END.sin();
    let slope = (top - 1.0) / (2.0 * END);
    close(
        angle(&budget, ErrorCause::Supply),
        (1.0 / 0.95 - 1.0) / slope,
        CURVE,
    );
}

#[test]
fn what_is_said_by_hand() {
    let mut spec = sine(HallVariation::default(), 0.0).spec().clone();
    let sensor = LinearHall::new(LinearHallSpec {
        noise: 3.0 * MV,
        ..LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)
    });
    let converter = Converter::new(10, 5.0, Rounding::Nearest, 4.0 * MV).unwrap();
    spec.sensor = sensor.unwrap().into();
    spec.converter = Some(converter.with_nonlinearity(2.0).unwrap());
    spec.averaging = Some(Averaging::new(4, 1e-3).unwrap());
    let axis = Axis::new(spec).unwrap();
    let budget = axis
        .error_budget(&ErrorBudgetSpec {
            control_backlash: 0.2 * DEG,
            pivot_backlash: 0.1 * DEG,
            friction_band: 0.3 * DEG,
            crosstalk: 5.0,
            ..ErrorBudgetSpec::default()
        })
        .unwrap();
    // Flattest at the ends.
    let step = 5.0 / 1024.0 / (2.5 * END.cos());
    let root3 = 3_f64.sqrt();
    for (cause, expected, deviation) in [
        // Five millivolts, more than a step: the mean of four has hardly any error of quantization beside noise.
        (ErrorCause::Quantization, 0.5 * step, None),
        (
            ErrorCause::Noise,
            3.0 * 2.5e-3 / (2.5 * END.cos()),
            Some(2.5e-3 / (2.5 * END.cos())),
        ),
        (ErrorCause::Backlash, 0.15 * DEG, Some(0.15 * DEG)),
        (ErrorCause::Friction, 0.15 * DEG, Some(0.15 * DEG / root3)),
        (ErrorCause::Crosstalk, 5.0 * step, Some(5.0 * step / root3)),
        (
            ErrorCause::ConverterNonlinearity,
            2.0 * step,
            Some(2.0 * step / root3),
        ),
    ] {
        let line = budget.of(cause);
        close(line.angle, expected, CURVE);
        if let Some(deviation) = deviation {
            close(line.standard_deviation, deviation, CURVE);
        }
        close(line.share, line.angle / (2.0 * END), ROUNDING);
        let counts = 2.0 * 2.5 * END.sin() / (5.0 / 1024.0);
        close(line.counts, line.angle / (2.0 * END) * counts, 1e-6);
        assert!(!line.remedy().is_empty());
    }
    // Without averaging it is lsb / sqrt(12).
    let alone = Axis::new(AxisSpec {
        averaging: None,
        ..axis.spec().clone()
    });
    let alone = alone.unwrap().error_budget(&ErrorBudgetSpec::default());
    let quantization = *alone.unwrap().of(ErrorCause::Quantization);
    close(quantization.standard_deviation, step / 12_f64.sqrt(), CURVE);
    assert!(budget.of(ErrorCause::Quantization).standard_deviation < 0.6 * step / 12_f64.sqrt());
    assert_eq!(quantization.distribution(), ErrorDistribution::Rectangular);

    let lines = budget.contributions();
    assert!(lines.iter().map(|line| line.cause).eq(ErrorCause::ALL));
    let sum: f64 = lines.iter().map(|line| line.angle).sum();
    let squares = lines.iter().map(|line| line.standard_deviation.powi(2));
    close(budget.worst_case(), sum, ROUNDING);
    close(
        budget.root_sum_square(),
        squares.sum::<f64>().sqrt(),
        ROUNDING,
    );
    assert_eq!(budget.largest().cause, ErrorCause::Crosstalk);
    let text = budget.to_string();
    assert_eq!(text.lines().count(), lines.len() + 2);
    assert!(text.contains("hysteresis by backlash"), "{text}");
    let width = text.lines().next().unwrap().len();
    assert!(text.lines().all(|line| line.len() == width), "{text}");

    let stored = serde_json::to_string(&budget).unwrap();
    assert_eq!(
        serde_json::from_str::<ErrorBudget>(&stored).unwrap(),
        budget
    );
    let broken = stored.replacen("quantization", "noise", 1);
    assert!(serde_json::from_str::<ErrorBudget>(&broken).is_err());
    let negative = stored.replacen("\"travel\":", "\"travel\":-", 1);
    assert!(serde_json::from_str::<ErrorBudget>(&negative).is_err());
}

#[test]
fn play_at_the_pivot_goes_through_the_drive() {
    let at = |drive: AnyTransmission, throw| {
        let axis = Axis::new(AxisSpec {
            drive,
            throw,
            ..sine(HallVariation::default(), 0.0).spec().clone()
        });
        let spec = ErrorBudgetSpec {
            pivot_backlash: 0.3 * DEG,
            ..ErrorBudgetSpec::default()
        };
        let budget = axis.unwrap().error_budget(&spec).unwrap();
        angle(&budget, ErrorCause::Backlash)
    };
    let third = FixedRatio::new(3.0).unwrap();
    close(at(third.into(), [-END, END]), 0.05 * DEG, ROUNDING);
    // A joint bent by 30 degrees turns by cos 30 of the input where it is slowest.
    let joint = UniversalJoint::new(30.0 * DEG, FRAC_PI_2).unwrap();
    let throw = [-1.0, 1.0];
    let slowest = (0..=20_000)
        .map(|i| -1.0 + 1e-4 * f64::from(i))
        .map(|angle| joint.transfer(angle).unwrap().ratio)
        .fold(f64::INFINITY, f64::min);
    close(at(joint.into(), throw), 0.15 * DEG / slowest, 1e-9);
}

fn pot(spec: PotentiometerSpec) -> Axis {
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
    let pot = Potentiometer::new(spec).unwrap();
    Axis::new(AxisSpec::on_shaft(
        [-60.0 * DEG, 90.0 * DEG],
        pot,
        converter,
    ))
    .unwrap()
}

#[test]
fn a_potentiometer_by_hand() {
    let spec = PotentiometerSpec {
        linearity: 0.01,
        noise_resistance: 100.0,
        load: Some(50e3),
        ..PotentiometerSpec::new(300.0 * DEG, 5.0)
    };
    let axis = pot(spec);
    let budget = axis.error_budget(&ErrorBudgetSpec::default()).unwrap();
    // Nodal analysis by hand.
    let output = |angle: f64| {
        let x = (angle / DEG + 150.0) / 300.0;
        let (below, above) = (10e3 * x, 10e3 * (1.0 - x));
        let loaded = below * 50e3 / (below + 50e3);
        5.0 * loaded / (loaded + above)
    };
    let [lower, upper] = [-60.0 * DEG, 90.0 * DEG];
    let angle_at = |i: u32| lower + (upper - lower) * f64::from(i) / 20_000.0;
    let mean = (output(upper) - output(lower)) / (upper - lower);
    let bend = (0..=20_000)
        .map(angle_at)
        .map(|angle| (lower + (output(angle) - output(lower)) / mean - angle).abs());
    let bend = bend.fold(0.0, f64::max);
    assert!(bend > 0.5 * DEG);
    close(angle(&budget, ErrorCause::PotentiometerLoading), bend, 1e-7);
    close(angle(&budget, ErrorCause::Nonlinearity), 0.0, CURVE);
    let slopes = (0..20_000).map(|i| {
        let [a, b] = [angle_at(i), angle_at(i + 1)];
        (output(b) - output(a)) / (b - a)
    });
    let flattest = slopes.fold(f64::INFINITY, f64::min);
    // Of a difference quotient over a small step.
    let near = 1e-4;
    let expected = 0.05 / flattest;
    close(
        angle(&budget, ErrorCause::PotentiometerLinearity),
        expected,
        near * expected,
    );
    let expected = 100.0 * output(upper) / 50e3 / flattest;
    close(
        angle(&budget, ErrorCause::WiperContact),
        expected,
        near * expected,
    );
    // Its output follows the supply, whatever is said of sensors.
    for ratiometric_sensor in [false, true] {
        let spec = |ratiometric_converter| ErrorBudgetSpec {
            supply_tolerance: 0.01,
            ratiometric_sensor,
            ratiometric_converter,
            ..ErrorBudgetSpec::default()
        };
        let supply = |converter| {
            let budget = axis.error_budget(&spec(converter)).unwrap();
            angle(&budget, ErrorCause::Supply)
        };
        close(supply(true), 0.0, CURVE);
        close(supply(false), 0.01 * output(upper) / mean, CURVE);
    }
    let unloaded = pot(PotentiometerSpec {
        load: None,
        ..potentiometer_spec(&axis)
    });
    let unloaded = unloaded.error_budget(&ErrorBudgetSpec::default()).unwrap();
    assert_eq!(angle(&unloaded, ErrorCause::PotentiometerLoading), 0.0);
    assert_eq!(angle(&unloaded, ErrorCause::WiperContact), 0.0);
}

fn potentiometer_spec(axis: &Axis) -> PotentiometerSpec {
    match axis.sensor() {
        yokewright::hall::Sensor::Potentiometer(pot) => pot.spec().clone(),
        other => panic!("{other:?}"),
    }
}

fn angle_axis(output: AngleOutput, zero: f64, throw: [f64; 2]) -> Axis {
    let sensor = AngleSensor::new(AngleSensorSpec {
        offsets: [2e-3, 0.0],
        zero,
        ..AngleSensorSpec::new(output)
    });
    let spec = AxisSpec {
        remanence_drift: -0.002,
        ..AxisSpec::new(
            throw,
            AnySource::custom(Uniform(vector![0.0, 0.05, 0.0])),
            sensor.unwrap(),
            Isometry3::identity(),
            None,
        )
    };
    let converter = match output {
        AngleOutput::Digital { .. } => None,
        AngleOutput::Analog { .. } => {
            Some(Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap())
        }
    };
    Axis::new(AxisSpec { converter, ..spec }).unwrap()
}

/// An offset of 2 mT in 50 mT is worth more where the magnet is weaker; also where the zero position is half a turn
/// away, so that the angle read jumps by a turn there.
#[test]
fn an_angle_sensor_drifts_by_its_offsets() {
    let spec = ErrorBudgetSpec {
        celsius: Some([20.0, 120.0]),
        calibration: CalibrationMethod::Table { points: 2 },
        ..ErrorBudgetSpec::default()
    };
    let throw = [-0.4, 0.5];
    // The field from 90 degrees on: atan2(B cos t, o - B sin t), by hand; B at 120 degC is 0.8 of that at 20.
    let read = |angle: f64, strength: f64| {
        let b = 0.05 * strength;
        (b * angle.cos()).atan2(2e-3 - b * angle.sin())
    };
    let scale = (read(throw[1], 1.0) - read(throw[0], 1.0)) / (throw[1] - throw[0]);
    let expected = (0..=20_000)
        .map(|i| throw[0] + 0.9 * f64::from(i) / 20_000.0)
        .map(|angle| ((read(angle, 0.8) - read(angle, 1.0)) / scale).abs())
        .fold(0.0, f64::max);
    assert!(expected > 0.3 * DEG);
    for zero in [FRAC_PI_2, 0.0] {
        let axis = angle_axis(AngleOutput::Digital { bits: 14 }, zero, throw);
        let budget = axis.error_budget(&spec).unwrap();
        close(angle(&budget, ErrorCause::RemanenceDrift), expected, 1e-8);
        close(budget.drift(), expected, 1e-8);
    }
    // Half a turn away the centered control reads just above -180 degrees when calibrated and just below when warm,
    // which is told as +180: the budget stays on its turn. Further down the code is held at its end.
    let axis = angle_axis(
        AngleOutput::Digital { bits: 14 },
        read(0.0, 1.0) - PI - 0.005,
        throw,
    );
    let budget = axis.error_budget(&spec).unwrap();
    let code =
        |angle: f64, strength: f64| (read(angle, strength) - read(0.0, 1.0) + 0.005).max(0.0);
    assert!(read(0.0, 0.8) - read(0.0, 1.0) < -0.006 && code(throw[0], 1.0) == 0.0);
    let scale = code(throw[1], 1.0) / (throw[1] - throw[0]);
    let expected = (0..=20_000)
        .map(|i| throw[0] + 0.9 * f64::from(i) / 20_000.0)
        .map(|angle| ((code(angle, 0.8) - code(angle, 1.0)) / scale).abs())
        .fold(0.0, f64::max);
    // A corner between two of the angles, of a slope of about one.
    close(budget.drift(), expected, 0.9 / 20_000.0);
    // Its own code knows no supply; a voltage does.
    let off = ErrorBudgetSpec {
        supply_tolerance: 0.1,
        ratiometric_converter: false,
        ..ErrorBudgetSpec::default()
    };
    let digital = angle_axis(AngleOutput::Digital { bits: 14 }, FRAC_PI_2, throw);
    let digital = digital.error_budget(&off).unwrap();
    assert_eq!(angle(&digital, ErrorCause::Supply), 0.0);
    let analog = AngleOutput::Analog {
        supply: 4.0,
        low: 0.4,
        high: 3.6,
        range: 2.0,
    };
    let analog = angle_axis(analog, FRAC_PI_2, throw);
    let budget = analog.error_budget(&off).unwrap();
    // A tenth of the greatest output, over the slope of the line through the ends.
    let volts = |angle: f64| 2.0 + 3.2 * (read(angle, 1.0) - FRAC_PI_2) / 2.0;
    let slope = (volts(throw[1]) - volts(throw[0])) / (throw[1] - throw[0]);
    close(
        angle(&budget, ErrorCause::Supply),
        0.1 * volts(throw[1]) / slope,
        CURVE,
    );
}

#[test]
fn refusals() {
    let axis = sine(HallVariation::default(), 0.0);
    let default = ErrorBudgetSpec::default;
    let out_of_range = |spec: ErrorBudgetSpec| match axis.error_budget(&spec) {
        Err(Error::OutOfRange { quantity, .. } | Error::NotFinite { quantity, .. }) => quantity,
        other => panic!("{other:?}"),
    };
    for bad in [f64::NAN, f64::INFINITY, -1e-160, 1e160, -1.0] {
        let spec = ErrorBudgetSpec {
            supply_tolerance: bad,
            ..default()
        };
        assert_eq!(out_of_range(spec), "tolerance of the supply");
        let spec = ErrorBudgetSpec {
            control_backlash: bad,
            ..default()
        };
        assert_eq!(out_of_range(spec), "backlash at the control");
        let spec = ErrorBudgetSpec {
            pivot_backlash: bad,
            ..default()
        };
        assert_eq!(out_of_range(spec), "backlash at the pivot");
        let spec = ErrorBudgetSpec {
            friction_band: bad,
            ..default()
        };
        assert_eq!(out_of_range(spec), "friction band");
        let spec = ErrorBudgetSpec {
            crosstalk: bad,
            ..default()
        };
        assert_eq!(out_of_range(spec), "crosstalk");
    }
    for (celsius, quantity) in [
        ([f64::NAN, 20.0], "coldest temperature"),
        ([-61.0, 20.0], "coldest temperature"),
        ([20.0, f64::NAN], "hottest temperature"),
        ([20.0, 19.0], "hottest temperature"),
        ([20.0, 201.0], "hottest temperature"),
    ] {
        let spec = ErrorBudgetSpec {
            celsius: Some(celsius),
            ..default()
        };
        assert_eq!(out_of_range(spec), quantity);
    }
    for points in [0, 1, 1026, usize::MAX] {
        let spec = ErrorBudgetSpec {
            calibration: CalibrationMethod::Table { points },
            ..default()
        };
        assert!(matches!(axis.error_budget(&spec), Err(Error::Count { .. })));
    }
    for tiny in [-0.0, 1e-160] {
        let spec = ErrorBudgetSpec {
            supply_tolerance: tiny,
            control_backlash: tiny,
            pivot_backlash: tiny,
            friction_band: tiny,
            crosstalk: tiny,
            celsius: Some([20.0, 20.0]),
            ..default()
        };
        assert!(axis.error_budget(&spec).unwrap().worst_case() < 0.5 * DEG);
    }
    // A sine over more than a quarter of a turn turns back.
    let back = Axis::new(AxisSpec {
        throw: [-0.1, 2.0],
        ..axis.spec().clone()
    })
    .unwrap();
    assert!(matches!(
        back.error_budget(&default()),
        Err(Error::Absent { .. })
    ));
    // Its output held, two points of a table are the same.
    let held = LinearHall::new(LinearHallSpec::new(5.0, 500.0 * MV_PER_MT)).unwrap();
    let held = Axis::new(AxisSpec {
        sensor: held.into(),
        ..axis.spec().clone()
    })
    .unwrap();
    let table = |points| ErrorBudgetSpec {
        calibration: CalibrationMethod::Table { points },
        ..default()
    };
    assert!(held.error_budget(&table(3)).is_ok());
    let error = held.error_budget(&table(9)).unwrap_err();
    assert!(matches!(error, Error::NotAscending { .. }), "{error}");
}

/// Common practice: a few degrees of a part that is made for many leave most of its range unused.
#[test]
fn twelve_degrees_of_a_part_for_more() -> Result<()> {
    let ten_bit = || Converter::new(10, 5.0, Rounding::Nearest, 0.0);
    let throw = [-END, END];
    let pot = Potentiometer::new(PotentiometerSpec::new(300.0 * DEG, 5.0))?;
    let pot = Axis::new(AxisSpec::on_shaft(throw, pot, ten_bit()?))?;
    let analog = |range: f64| {
        let sensor = AngleSensor::new(AngleSensorSpec {
            zero: FRAC_PI_2,
            ..AngleSensorSpec::new(AngleOutput::Analog {
                supply: 5.0,
                low: 0.0,
                high: 5.0,
                range,
            })
        })?;
        Axis::new(AxisSpec::new(
            throw,
            AnySource::custom(Uniform(vector![0.0, 0.05, 0.0])),
            sensor,
            Isometry3::identity(),
            ten_bit()?,
        ))
    };
    let controls = [
        ComparedAxis {
            price: Some(1.2),
            crosstalk: Some(3.0),
            ..ComparedAxis::new("potentiometer", pot)
        },
        ComparedAxis::new("half-turn sensor", analog(PI)?),
        ComparedAxis::new("all of it", analog(12.0 * DEG)?),
    ];
    let table = compare(&controls, &ErrorBudgetSpec::default())?;
    let [pot, half, all] = [0, 1, 2].map(|i| &table.controls()[i]);
    // Under half a volt of five.
    close(pot.figures.volts_span().unwrap(), 0.2, 1e-9);
    // 6 to 7 % of the range.
    assert!((0.06..0.07).contains(&half.figures.range_used()));
    close(half.figures.volts_span().unwrap(), 5.0 / 15.0, 1e-9);
    // 1024 codes over twelve degrees.
    assert_eq!(all.figures.counts() + 1, 1024);
    let step = all.figures.step_quantization_worst().unwrap();
    close(step, 12.0 * DEG / 1024.0, 1e-9);
    assert_eq!(pot.figures.counts(), 40);
    // Straight, and nothing drifts.
    // Of a throw that uses all of the range, the last half of a step lies beyond the last code.
    for (control, departure) in [(pot, 0.0), (half, 0.0), (all, 0.5 / 1024.0)] {
        close(control.departure_uncalibrated.unwrap(), departure, 1e-9);
        close(control.departure_calibrated.unwrap(), departure, 1e-9);
        assert_eq!(control.budget.as_ref().unwrap().drift(), 0.0);
    }
    let budget = pot.budget.as_ref().unwrap();
    let step = pot.figures.step_quantization_worst().unwrap();
    close(budget.of(ErrorCause::Crosstalk).angle, 3.0 * step, ROUNDING);
    assert_eq!(
        half.budget
            .as_ref()
            .unwrap()
            .of(ErrorCause::Crosstalk)
            .angle,
        0.0
    );

    let text = table.to_string();
    let header: Vec<&str> = text.lines().collect();
    assert!(header[0].contains("potentiometer  half-turn sensor  all of it"));
    let width = header[0].len();
    assert!(header.iter().all(|line| line.len() == width), "{text}");
    let row = |name: &str| {
        let line = header.iter().find(|line| line.starts_with(name)).unwrap();
        line[name.len()..].split_whitespace().collect::<Vec<_>>()
    };
    assert_eq!(row("counts over the throw"), ["40", "68", "1023"]);
    assert_eq!(row("range used, %"), ["3.9", "6.6", "100.0"]);
    assert_eq!(row("output span, V"), ["0.200", "0.333", "5.000"]);
    assert_eq!(
        row("step of one count, worst, deg"),
        ["0.2930", "0.1758", "0.0117"]
    );
    assert_eq!(row("crosstalk, counts"), ["3.0", "-", "-"]);
    assert_eq!(row("price"), ["1.20", "-", "-"]);

    let stored = serde_json::to_string(&table).unwrap();
    assert_eq!(serde_json::from_str::<Comparison>(&stored).unwrap(), table);
    assert!(serde_json::from_str::<Comparison>("{\"controls\":[]}").is_err());
    Ok(())
}

#[test]
fn a_control_that_tells_no_position_stays_in_the_table() {
    let back = Axis::new(AxisSpec {
        throw: [-0.1, 2.0],
        ..sine(HallVariation::default(), 0.0).spec().clone()
    });
    let controls = [
        ComparedAxis::new("turns back", back.unwrap()),
        ComparedAxis::new("block", bent()),
    ];
    let spec = ErrorBudgetSpec {
        celsius: Some([0.0, 40.0]),
        ..ErrorBudgetSpec::default()
    };
    let table = compare(&controls, &spec).unwrap();
    let [back, block] = [0, 1].map(|i| &table.controls()[i]);
    assert!(back.budget.is_none() && back.departure_calibrated.is_none());
    let alone = bent().error_budget(&spec).unwrap();
    assert_eq!(block.budget.as_ref(), Some(&alone));
    // A two-point calibration leaves the terminal-based departure, which the linearity gives as a share of the span.
    let terminal = block.figures.linearity().unwrap().terminal_based();
    close(block.departure_calibrated.unwrap(), terminal, 1e-9);
    let (angles, volts) = volts(&bent());
    let at_center = 2.5 + 25.0 * bent().flux_at(0.0).unwrap();
    let gain = block.figures.gain_volts().unwrap();
    let departures = angles.iter().zip(&volts);
    let departures = departures.map(|(angle, volts)| ((volts - at_center) / gain - angle).abs());
    let worst = departures.fold(0.0, f64::max) / (angles[DENSE - 1] - angles[0]);
    close(block.departure_uncalibrated.unwrap(), worst, BETWEEN);

    for (count, name) in [(0, "a"), (65, "a"), (1, ""), (1, &"a".repeat(61))] {
        let controls = vec![ComparedAxis::new(name, bent()); count];
        let error = compare(&controls, &spec).unwrap_err();
        assert!(matches!(error, Error::Count { .. }), "{error}");
    }
    for price in [f64::NAN, -1.0, 1e160] {
        let control = ComparedAxis {
            price: Some(price),
            ..ComparedAxis::new("a", bent())
        };
        assert!(compare(&[control], &spec).is_err());
    }
}
