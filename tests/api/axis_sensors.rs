//! An axis with any sensor: angle sensors and potentiometers against closed forms, filters, temperature.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Vector3};
use yokewright::axis::{
    Arrangement, Axis, AxisSpec, Measure, Moving, ShaftEndLayout, ShaftEndLayoutSpec,
};
use yokewright::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, HallVariation, LinearHall,
    LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, RotationSense, Rounding, Sensor,
    SignalChain,
};
use yokewright::linkage::FixedRatio;
use yokewright::magnet::{Cylinder, FieldSource};
use yokewright::units::{DEG, MM, MT, MV};
use yokewright::{Error, Result};

use crate::common;

/// A few roundings of angles up to half a turn, through a field.
const ANGLE: f64 = 1e-13;

fn converter(bits: u32) -> Converter {
    Converter::new(bits, 5.0, Rounding::Nearest, 0.0).unwrap()
}

fn pot(spec: PotentiometerSpec, throw: [f64; 2], bits: u32) -> Axis {
    let pot = Potentiometer::new(spec).unwrap();
    Axis::new(AxisSpec::on_shaft(throw, pot, converter(bits))).unwrap()
}

/// A disc polarized across on the shaft, under an angle sensor.
fn shaft_end() -> ShaftEndLayout {
    let across = Vector3::new(1.2, 0.0, 0.0);
    let disc = Cylinder::new(6.0 * MM, 2.5 * MM, across, Isometry3::identity()).unwrap();
    ShaftEndLayout::new(ShaftEndLayoutSpec::new(disc, 2.0 * MM)).unwrap()
}

fn angle_sensor(change: impl Fn(&mut AngleSensorSpec)) -> AngleSensor {
    // The face looks down the shaft, so that the field turns backward in its frame.
    let mut spec = AngleSensorSpec {
        sense: RotationSense::Reverse,
        ..AngleSensorSpec::new(AngleOutput::Digital { bits: 12 })
    };
    change(&mut spec);
    AngleSensor::new(spec).unwrap()
}

fn on_shaft(throw: [f64; 2], change: impl Fn(&mut AngleSensorSpec)) -> Axis {
    let axis = shaft_end().axis(throw, angle_sensor(change), None, Moving::Magnets);
    axis.unwrap().zeroed().unwrap()
}

/// Common practice: 12 degrees of a 300-degree potentiometer give under half a volt of five.
#[test]
fn a_potentiometer_uses_little_of_its_range() -> Result<()> {
    let axis = pot(
        PotentiometerSpec::new(300.0 * DEG, 5.0),
        [-6.0 * DEG, 6.0 * DEG],
        10,
    );
    let figures = axis.figures(101)?;
    let span = figures.volts_span().expect("it gives a voltage");
    assert!((span - 5.0 * 12.0 / 300.0).abs() < ANGLE && span < 0.5);
    // Half of 1024 codes is the middle; 0.1 V either way are 20.48 of them.
    assert_eq!(figures.code_range(), [492, 532]);
    assert!(figures.linearity().expect("it changes").independent() < 1e-12);
    let step = figures.step_quantization_center().expect("it changes") / DEG;
    assert!((step - 300.0 / 1024.0).abs() < 1e-12);
    assert_eq!(
        figures.step_quantization_worst(),
        figures.step_quantization_center()
    );
    assert_eq!(
        (
            figures.flux_span(),
            figures.gain_flux(),
            figures.field_range()
        ),
        (None, None, None)
    );
    assert_eq!(figures.linearity_flux(), None);
    assert_eq!(figures.clipped_share(), 0.0);
    assert!(figures.monotonic());
    let sweep = axis.sweep(13)?;
    assert_eq!((sweep.flux(), sweep.read_angle()), (None, None));
    assert!((sweep.volts().expect("a voltage")[0] - 2.4).abs() < ANGLE);
    assert!(matches!(axis.flux_at(0.0), Err(Error::Absent { .. })));
    assert_eq!(axis.fluxes_at(&[0.0, 0.1]).1, [false, false]);
    Ok(())
}

/// The divider by hand: the wiper's share x of a track R, loaded by R_in from wiper to ground.
#[test]
fn a_loaded_potentiometer_bends_and_stops_at_its_ends() -> Result<()> {
    let spec = PotentiometerSpec {
        load: Some(47e3),
        center: 30.0 * DEG,
        mechanical_travel: 320.0 * DEG,
        ..PotentiometerSpec::new(300.0 * DEG, 5.0)
    };
    let axis = pot(spec, [-36.0 * DEG, 60.0 * DEG], 12);
    let sweep = axis.sweep(97)?;
    for (angle, volts) in sweep.angle().iter().zip(sweep.volts().expect("a voltage")) {
        let x = ((angle / DEG + 30.0) / 300.0).clamp(0.0, 1.0);
        let expected = 5.0 * x / (1.0 + x * (1.0 - x) * 10e3 / 47e3);
        assert!((volts - expected).abs() < 1e-13, "{angle}");
    }
    let figures = axis.figures(101)?;
    // Six degrees of 96 lie beyond the start of the track.
    assert!((figures.clipped_share() - 6.0 / 96.0).abs() < 1e-9);
    assert!(sweep.clipped()[..6].iter().all(|clipped| *clipped) && !sweep.clipped()[6]);
    // Brute force: the least greatest departure over lines of many slopes and the samples of a dense sweep.
    let dense = axis.sweep(20_001)?;
    let volts = dense.volts().expect("a voltage");
    let departure = |slope: f64| {
        let rests = volts.iter().zip(dense.angle()).map(|(v, a)| v - slope * a);
        let (least, most) = rests.fold((f64::MAX, f64::MIN), |(l, m), r| (l.min(r), m.max(r)));
        0.5 * (most - least)
    };
    let (mut a, mut b) = (0.0, 2.0);
    for _ in 0..100 {
        let (c, d) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
        if departure(c) < departure(d) {
            b = d
        } else {
            a = c
        }
    }
    let span = volts.iter().fold(0.0_f64, |most, v| most.max(*v));
    let brute = departure(a) / span;
    let found = figures.linearity().expect("it changes").independent();
    // A dense sweep misses the kink by half a step of 5e-3 degrees at most.
    assert!((found - brute).abs() < 1e-5, "{found} {brute}");
    // Beyond the mechanical travel there is nothing.
    let spec = axis.spec().clone();
    assert!(
        Axis::new(AxisSpec {
            throw: [-41.0 * DEG, 0.0],
            ..spec
        })
        .is_err()
    );
    Ok(())
}

#[test]
fn a_potentiometer_behind_a_drive_reads_the_pivot() -> Result<()> {
    let sensor = Potentiometer::new(PotentiometerSpec::new(300.0 * DEG, 5.0))?;
    let spec = AxisSpec::on_shaft([-30.0 * DEG, 30.0 * DEG], sensor, converter(10));
    let axis = Axis::new(AxisSpec {
        drive: FixedRatio::new(-4.0)?.into(),
        lever: Some(100.0 * MM),
        ..spec
    })?;
    let figures = axis.figures(101)?;
    assert!((figures.volts_span().expect("a voltage") - 4.0).abs() < 1e-12);
    let gain = figures.gain_volts().expect("a voltage");
    assert!((gain + 4.0 * 5.0 / (300.0 * DEG)).abs() < 1e-12);
    // 0.5 V and 4.5 V of 5 are 102.4 and 921.6 codes.
    assert_eq!(figures.code_range(), [102, 922]);
    let pivot = figures
        .at_pivot()
        .expect("it turns")
        .gain_volts
        .expect("a voltage");
    assert!((pivot - 5.0 / (300.0 * DEG)).abs() < 1e-12);
    let grip = figures
        .at_grip()
        .expect("it has a lever")
        .gain_volts
        .expect("a voltage");
    assert!((grip - gain / 0.1).abs() < 1e-11);
    Ok(())
}

/// On its axis the field of a disc polarized across turns with it, of one size.
#[test]
fn an_angle_sensor_on_the_axis_reads_the_angle() -> Result<()> {
    let axis = on_shaft([-30.0 * DEG, 30.0 * DEG], |_| ());
    let sweep = axis.sweep(61)?;
    let read = sweep.read_angle().expect("it reads an angle");
    for (turned, read) in sweep.angle().iter().zip(read) {
        assert!((turned - read).abs() < ANGLE, "{turned} {read}");
    }
    assert_eq!((sweep.volts(), sweep.flux()), (None, None));
    // A turn of 4096 steps: 60 degrees are 682.7 of them.
    let figures = axis.figures(101)?;
    assert_eq!(figures.code_range(), [2048 - 341, 2048 + 341]);
    assert!((figures.range_used() - 682.0 / 4095.0).abs() < 1e-12);
    assert!(figures.linearity().expect("it changes").independent() < 1e-12);
    assert_eq!(
        (
            figures.volts_span(),
            figures.gain_volts(),
            figures.linearity_volts()
        ),
        (None, None, None)
    );
    assert!((figures.gain_counts() - 4096.0 / (2.0 * PI)).abs() < 1e-9);
    // The size of the field by the magnet itself, 2 mm over the disc.
    let magnet = shaft_end().source();
    let there = magnet
        .field_at(&nalgebra::Point3::new(0.0, 0.0, 3.25 * MM))?
        .norm();
    let [least, most] = figures.field_range().expect("of an angle sensor");
    assert!((least / there - 1.0).abs() < 1e-12 && (most / there - 1.0).abs() < 1e-12);
    assert!(axis.angle_error(64)?.worst() < ANGLE);
    Ok(())
}

/// Half a turn either way, where the angle begins anew: the reading goes on.
#[test]
fn a_whole_turn_is_read_through() -> Result<()> {
    let axis = on_shaft([-PI, PI], |_| ());
    let sweep = axis.sweep(721)?;
    let read = sweep.read_angle().expect("it reads an angle");
    for (turned, read) in sweep.angle().iter().zip(read) {
        assert!((turned - read).abs() < ANGLE, "{turned} {read}");
    }
    assert_eq!((sweep.counts()[0], sweep.counts()[720]), (0, 4095));
    let figures = axis.figures(101)?;
    // Half a step at the end has no code of its own.
    assert!(
        figures.clipped_share() < 1.0 / 4096.0,
        "{}",
        figures.clipped_share()
    );
    assert!(figures.monotonic());
    Ok(())
}

/// The closed forms of small errors; what is left is of second order.
#[test]
fn errors_of_an_angle_sensor_are_their_closed_forms() -> Result<()> {
    let axis = on_shaft([-30.0 * DEG, 30.0 * DEG], |_| ());
    let [size, _] = axis.figures(3)?.field_range().expect("of an angle sensor");
    let offset = 0.01 * size;
    let second_order = 3.0 * 0.01 * 0.01;
    let error = on_shaft([-1.0, 1.0], |spec| spec.offsets = [offset, 0.0]).angle_error(360)?;
    assert!(
        (error.worst() - 0.01).abs() < second_order,
        "{}",
        error.worst()
    );
    let harmonics = error.harmonics().expect("a whole turn");
    assert!((harmonics.first.amplitude - 0.01).abs() < second_order);
    assert!(harmonics.second.amplitude < second_order);
    let error = on_shaft([-1.0, 1.0], |spec| spec.gain_mismatch = 0.02).angle_error(360)?;
    let harmonics = error.harmonics().expect("a whole turn");
    assert!((harmonics.second.amplitude - 0.01).abs() < second_order);
    assert!(harmonics.first.amplitude < ANGLE);
    // The same over the throw, as a departure of its codes from a line.
    let axis = on_shaft([-90.0 * DEG, 90.0 * DEG], |spec| spec.gain_mismatch = 0.02);
    let error = axis
        .figures(101)?
        .linearity()
        .expect("it changes")
        .terminal_based();
    // 0.01 sin 2t is zero at the ends, and 0.01 of half a turn at the worst.
    assert!((error - 0.01 / PI).abs() < second_order, "{error}");
    Ok(())
}

/// A die beside the axis: the field is even about its center, so the error grows with the square of the distance. A
/// magnet beside the axis carries its field round with it: to a die on the axis it only turns, without an error.
#[test]
fn a_die_off_the_axis_makes_an_error_of_second_order() -> Result<()> {
    let worst = |measure: Measure, distance: f64| -> Result<f64> {
        let layout = shaft_end().with_measure(measure, distance)?;
        let sensor = angle_sensor(|_| ());
        let axis = layout.axis([-1.0, 1.0], sensor, None, Moving::Magnets)?;
        Ok(axis.angle_error(360)?.worst())
    };
    let offset = |distance: f64| worst(Measure::RadialOffset, distance);
    let (half, whole) = (offset(0.1 * MM)?, offset(0.2 * MM)?);
    // Terms of fourth order: (0.2 mm / 3 mm)^2.
    assert!((whole / half - 4.0).abs() < 0.1, "{half} {whole}");
    assert!(offset(0.0)? < ANGLE && whole > 1e-4);
    assert!(worst(Measure::EccentricityX, 0.2 * MM)? < ANGLE);
    Ok(())
}

#[test]
fn a_code_takes_no_converter_and_a_voltage_needs_one() {
    let throw = [-0.5, 0.5];
    let (layout, sensor) = (shaft_end(), angle_sensor(|_| ()));
    let with = layout.axis(throw, sensor.clone(), converter(10), Moving::Magnets);
    assert!(matches!(
        with,
        Err(Error::Surplus {
            quantity: "converter",
            ..
        })
    ));
    let without = layout.axis(throw, common::sensor(), None, Moving::Magnets);
    assert!(matches!(
        without,
        Err(Error::Absent {
            quantity: "converter",
            ..
        })
    ));
    let mut spec = layout.axis_spec(throw, sensor, None, Moving::Magnets);
    spec.averaging = Some(Averaging::new(4, 1e-3).unwrap());
    assert!(matches!(
        Axis::new(spec),
        Err(Error::Surplus {
            quantity: "averaging",
            ..
        })
    ));
    assert!(matches!(common::axis().zeroed(), Err(Error::Absent { .. })));
    assert!(matches!(
        common::axis().angle_error(64),
        Err(Error::Absent { .. })
    ));
}

#[test]
fn an_analog_angle_sensor_runs_over_its_range() -> Result<()> {
    let analog = AngleOutput::Analog {
        supply: 5.0,
        low: 0.5,
        high: 4.5,
        range: 90.0 * DEG,
    };
    let sensor = angle_sensor(|spec| spec.output = analog);
    let axis = shaft_end().axis(
        [-60.0 * DEG, 30.0 * DEG],
        sensor,
        converter(12),
        Moving::Magnets,
    )?;
    let axis = axis.zeroed()?;
    let figures = axis.figures(101)?;
    let gain = figures.gain_volts().expect("a voltage");
    assert!((gain - 4.0 / (90.0 * DEG)).abs() < 1e-10);
    // From 45 degrees on it is held at its lower end: 15 of 90 degrees.
    assert!((figures.clipped_share() - 15.0 / 90.0).abs() < 1e-9);
    let top = 2.5 + 4.0 * 30.0 / 90.0;
    assert!((figures.volts_span().expect("a voltage") - (top - 0.5)).abs() < 1e-12);
    Ok(())
}

/// Noise of the components over the size of the field, as an angle.
#[test]
fn the_noise_of_an_angle_sensor_follows_the_field() -> Result<()> {
    let axis = on_shaft([-0.5, 0.5], |spec| spec.noise = 0.05 * MT);
    let figures = axis.figures(3)?;
    let [size, _] = figures.field_range().expect("of an angle sensor");
    let step = figures.step_noise_center().expect("it changes");
    assert!((step / (0.05 * MT / size) - 1.0).abs() < 1e-12);
    assert!((figures.step_noise_worst().expect("it changes") / step - 1.0).abs() < 1e-9);
    let noise = (step * step + (2.0 * PI / 4096.0_f64).powi(2) / 12.0).sqrt();
    let bits = (1.0 / (12f64.sqrt() * noise)).log2();
    assert!((figures.effective_bits().expect("it changes") - bits).abs() < 1e-9);
    Ok(())
}

#[test]
fn filter_and_averaging_lower_the_noise_as_the_chain_says() -> Result<()> {
    let sensor = LinearHall::new(LinearHallSpec {
        noise: 2.0 * MV,
        bandwidth: Some(20e3),
        ..common::sensor_spec()
    })?;
    let plain = common::axis();
    let spec = AxisSpec {
        sensor: sensor.into(),
        filter: Some(LowPass::new(500.0)?),
        averaging: Some(Averaging::new(8, 1e-3)?),
        ..plain.spec().clone()
    };
    let chain = SignalChain {
        filter: spec.filter,
        converter: spec.converter.clone().expect("it has one"),
        averaging: spec.averaging,
    };
    let figures = Axis::new(spec)?.figures(3)?;
    let noise = chain.noise(2.0 * MV, Some(20e3))?.random();
    let expected = noise / figures.gain_volts().expect("a voltage").abs();
    let step = figures.step_noise_center().expect("it changes");
    assert!((step / expected - 1.0).abs() < 1e-12 && noise < 0.3 * MV);
    Ok(())
}

/// Everything scales by its own share: remanence x (1 + a dT), sensitivity x (1 + b dT), quiescent output + c dT.
#[test]
fn a_warm_axis_is_the_parts_at_their_temperatures() -> Result<()> {
    let sensor = LinearHall::new(LinearHallSpec {
        variation: HallVariation {
            sensitivity_drift: 0.0012,
            quiescent_drift: 0.5 * MV,
            reference_celsius: 25.0,
            ..HallVariation::default()
        },
        ..common::sensor_spec()
    })?;
    let cold = Axis::new(AxisSpec {
        sensor: sensor.into(),
        remanence_drift: -0.0011,
        ..common::axis().spec().clone()
    })?;
    assert_eq!(cold.remanence_share(), 1.0);
    let warm = cold.at_temperature(45.0)?;
    let share = 1.0 - 0.0011 * 25.0;
    assert!((warm.remanence_share() - share).abs() < 1e-15);
    let (a, b) = (cold.figures(3)?, warm.figures(3)?);
    let flux = b.gain_flux().expect("of a linear sensor") / a.gain_flux().expect("the same");
    assert!((flux - share).abs() < 1e-12);
    let volts = b.gain_volts().expect("a voltage") / a.gain_volts().expect("a voltage");
    assert!((volts - share * (1.0 + 0.0012 * 20.0)).abs() < 1e-12);
    // At the center the flux density vanishes, and the quiescent output is read.
    let center = |axis: &Axis| {
        axis.sweep(3)
            .map(|sweep| sweep.volts().expect("a voltage")[1])
    };
    assert!((center(&warm)? - center(&cold)? - 10.0 * MV).abs() < 1e-12);
    // At the reference temperatures nothing changes that has that reference.
    assert_eq!(cold.at_temperature(20.0)?.remanence_share(), 1.0);
    for celsius in [f64::NAN, -61.0, 201.0, 1e160] {
        assert!(cold.at_temperature(celsius).is_err(), "{celsius}");
    }
    for drift in [f64::NAN, 0.011, -0.011] {
        let spec = AxisSpec {
            remanence_drift: drift,
            ..cold.spec().clone()
        };
        assert!(Axis::new(spec).is_err(), "{drift}");
    }
    Ok(())
}

#[test]
fn the_field_at_the_sensor_is_that_of_the_moved_magnets() -> Result<()> {
    let layout = shaft_end().with_measure(Measure::EccentricityY, 0.4 * MM)?;
    let sensor = angle_sensor(|spec| spec.depth = 0.5 * MM);
    for moving in [Moving::Magnets, Moving::Sensor] {
        let axis = layout.axis([-1.0, 1.0], sensor.clone(), None, moving)?;
        for angle in [-0.7, 0.0, 0.4] {
            let pose = axis.sensor_pose_at(angle)?;
            let point = pose * sensor.active_point();
            let field = pose.inverse() * axis.magnets_at(angle)?.field_at(&point)?;
            // Roundings of positions of some millimetres in a field of some 10 T/m.
            assert!((axis.field_at(angle)? - field).norm() < 1e-15);
        }
    }
    Ok(())
}

/// The slope of an angle sensor's reading, against differences of it off the axis, where it is not one.
#[test]
fn the_gain_off_the_axis_is_the_slope_of_the_reading() -> Result<()> {
    let mut layout = shaft_end().with_measure(Measure::RadialOffset, 0.7 * MM)?;
    layout = layout.with_measure(Measure::SensorTiltAboutTangential, 5.0 * DEG)?;
    let axis = layout
        .axis([-0.5, 0.5], angle_sensor(|_| ()), None, Moving::Magnets)?
        .zeroed()?;
    let sweep = axis.sweep(1001)?;
    let read = sweep.read_angle().expect("it reads an angle");
    let slope = (8.0 * (read[501] - read[499]) - (read[502] - read[498])) / 12e-3;
    let gain = axis.figures(3)?.gain_counts() * 2.0 * PI / 4096.0;
    // A difference over steps of 1e-3 rad, of fourth order; rounding adds 1e-16 / 1e-3.
    assert!(
        (gain - slope).abs() < 1e-10 && (gain - 1.0).abs() > 1e-3,
        "{gain} {slope}"
    );
    Ok(())
}

#[test]
fn an_axis_with_any_sensor_comes_back_from_its_text() -> Result<()> {
    let axes = [
        on_shaft([-0.5, 0.5], |spec| spec.noise = 0.05 * MT),
        pot(PotentiometerSpec::new(300.0 * DEG, 5.0), [-0.1, 0.1], 10),
    ];
    for axis in axes {
        let text = serde_json::to_string(&axis).unwrap();
        assert_eq!(serde_json::from_str::<Axis>(&text).unwrap(), axis);
        let figures = axis.figures(5)?;
        let text = serde_json::to_string(&figures).unwrap();
        assert_eq!(
            serde_json::from_str::<yokewright::axis::AxisFigures>(&text).unwrap(),
            figures
        );
        let sweep = axis.sweep(5)?;
        let text = serde_json::to_string(&sweep).unwrap();
        assert_eq!(
            serde_json::from_str::<yokewright::axis::Sweep>(&text).unwrap(),
            sweep
        );
        assert!(matches!(
            axis.sensor(),
            Sensor::Angle(_) | Sensor::Potentiometer(_)
        ));
    }
    Ok(())
}
