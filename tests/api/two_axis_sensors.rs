//! A stick whose sensors are any: angle sensors, potentiometers, active areas, filters, temperature. Each against the
//! single axis or the field of magnets that are moved by hand.

use std::f64::consts::{PI, TAU};

use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use yokewright::axis::{
    Axis, AxisSpec, CarriedMagnets, CarriedSensor, Carrier, CorrectionTerms, CrosstalkCause,
    Moving, ReadBy, TwoAxis, TwoAxisSpec,
};
use yokewright::hall::{
    AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, HallVariation, LinearHall,
    LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, RotationSense, Rounding, Sensor,
};
use yokewright::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Pivot};
use yokewright::magnet::{ActiveArea, Block, Cylinder, Ring, Sphere};
use yokewright::units::{DEG, KHZ, MM, MT, MV, MV_PER_MT};
use yokewright::{Error, Result};

use crate::two_axis::field_by_hand;

/// Two routes to one flux density, T: places rounded to 1e-17 m in gradients of some 100 T/m, and the fields.
const FLUX: f64 = 1e-13;
/// The same as an angle, rad, in a field of 10 mT and more, or as a voltage, V, at 10 V/T.
const ANGLE: f64 = 1e-11;

const AXES: [GimbalAxis; 2] = [GimbalAxis::Outer, GimbalAxis::Inner];
const EDGE: f64 = 15.0 * DEG;

fn gimbal() -> Gimbal {
    Gimbal::new(GimbalSpec::new(
        Pivot::new(
            Point3::new(0.002, 0.0, -0.003),
            Vector3::new(0.1, 1.0, -0.2),
        )
        .unwrap(),
        Pivot::new(Point3::new(0.0, 0.004, 0.006), Vector3::new(1.0, -0.3, 0.1)).unwrap(),
        vec![Point3::origin(), Point3::new(0.02, -0.03, 0.4)],
    ))
    .unwrap()
}

fn gate() -> Gate {
    Gate::square([-EDGE, EDGE], [-EDGE, EDGE]).unwrap()
}

fn converter() -> Converter {
    Converter::new(12, 5.0, Rounding::Nearest, 0.4 * MV).unwrap()
}

fn posed(place: [f64; 3], turn: [f64; 3]) -> Isometry3<f64> {
    Isometry3::from_parts(
        (Vector3::from(place) * MM).into(),
        UnitQuaternion::from_scaled_axis(Vector3::from(turn)),
    )
}

fn magnet(which: GimbalAxis) -> Cylinder {
    let (place, j) = match which {
        GimbalAxis::Outer => ([-20.0, 50.0, 2.0], [0.4, 0.2, 1.1]),
        GimbalAxis::Inner => ([12.0, 3.0, -20.0], [0.3, 1.2, -0.1]),
    };
    Cylinder::new(
        6.0 * MM,
        4.0 * MM,
        Vector3::from(j),
        posed(place, [0.3, -0.2, 0.4]),
    )
    .unwrap()
}

fn sensor_pose(which: GimbalAxis) -> Isometry3<f64> {
    match which {
        GimbalAxis::Outer => posed([-29.0, 51.0, 1.0], [0.1, 1.5, -0.2]),
        GimbalAxis::Inner => posed([11.0, 2.0, -29.0], [0.2, -0.1, 0.3]),
    }
}

fn linear(change: impl Fn(&mut LinearHallSpec)) -> Sensor {
    let mut spec = LinearHallSpec {
        noise: 0.5 * MV,
        bandwidth: Some(20.0 * KHZ),
        depth: 0.4 * MM,
        direction: Vector3::new(0.2, -0.1, 1.0),
        ..LinearHallSpec::new(5.0, 10.0 * MV_PER_MT)
    };
    change(&mut spec);
    LinearHall::new(spec).unwrap().into()
}

fn angle(output: AngleOutput, change: impl Fn(&mut AngleSensorSpec)) -> Sensor {
    let mut spec = AngleSensorSpec {
        depth: 0.3 * MM,
        offsets: [0.2 * MT, -0.3 * MT],
        gain_mismatch: 0.02,
        nonorthogonality: 0.01,
        noise: 0.05 * MT,
        sense: RotationSense::Reverse,
        zero: 0.4,
        ..AngleSensorSpec::new(output)
    };
    change(&mut spec);
    AngleSensor::new(spec).unwrap().into()
}

const DIGITAL: AngleOutput = AngleOutput::Digital { bits: 14 };
const ANALOG: AngleOutput = AngleOutput::Analog {
    supply: 5.0,
    low: 0.5,
    high: 4.5,
    range: TAU,
};

fn pot() -> Potentiometer {
    Potentiometer::new(PotentiometerSpec {
        load: Some(47e3),
        noise: 0.3 * MV,
        center: 155.0 * DEG,
        ..PotentiometerSpec::new(300.0 * DEG, 5.0)
    })
    .unwrap()
}

/// A sensor for each axis, past the magnet of its own where both belong; the other reads a potentiometer.
fn carried(which: GimbalAxis, sensor: Sensor) -> CarriedSensor {
    let on = match which {
        GimbalAxis::Outer => Carrier::Frame,
        GimbalAxis::Inner => Carrier::Ring,
    };
    let digital = !sensor.is_analog();
    CarriedSensor::new(sensor, sensor_pose(which), on, (!digital).then(converter))
}

fn magnets(which: GimbalAxis) -> CarriedMagnets {
    let (on, read_by) = match which {
        GimbalAxis::Outer => (Carrier::Ring, ReadBy::Outer),
        GimbalAxis::Inner => (Carrier::Stick, ReadBy::Inner),
    };
    CarriedMagnets::new(magnet(which), on, read_by)
}

fn stick(magnets: Vec<CarriedMagnets>, outer: CarriedSensor, inner: CarriedSensor) -> TwoAxisSpec {
    TwoAxisSpec::new(gimbal(), gate(), magnets, outer, inner)
}

/// Both axes with one kind of sensor and both magnets.
fn both(sensor: &Sensor) -> TwoAxisSpec {
    let [outer, inner] = AXES.map(|axis| carried(axis, sensor.clone()));
    stick(AXES.map(magnets).to_vec(), outer, inner)
}

fn place(axis: GimbalAxis) -> usize {
    usize::from(axis == GimbalAxis::Inner)
}

/// Every sensor with whatever else an axis takes.
fn every() -> Vec<CarriedSensor> {
    let plain = |sensor| carried(GimbalAxis::Outer, sensor);
    let filtered = CarriedSensor {
        filter: Some(LowPass::new(1.0 * KHZ).unwrap()),
        averaging: Some(Averaging::new(8, 0.5e-3).unwrap()),
        ..plain(linear(|_| ()))
    };
    let disc = CarriedSensor {
        area: Some(ActiveArea::disc(1.2 * MM, posed([0.1, 0.0, 0.05], [0.1, 0.2, 0.0])).unwrap()),
        ..plain(linear(|_| ()))
    };
    let drifts = HallVariation {
        sensitivity_drift: 4e-4,
        quiescent_drift: 0.1 * MV,
        ..HallVariation::default()
    };
    let warm = CarriedSensor {
        celsius: Some(45.0),
        ..plain(linear(|spec| spec.variation = drifts))
    };
    vec![
        plain(linear(|_| ())),
        plain(linear(|spec| spec.area = [0.8 * MM, 0.5 * MM])),
        disc,
        filtered,
        warm,
        plain(angle(DIGITAL, |_| ())),
        CarriedSensor {
            filter: Some(LowPass::new(0.5 * KHZ).unwrap()),
            ..plain(angle(ANALOG, |_| ()))
        },
        CarriedSensor::on_shaft(pot(), converter()),
    ]
}

/// The axis by itself.
fn alone(which: GimbalAxis, sensor: &CarriedSensor, magnets: &CarriedMagnets) -> Axis {
    let spec = gimbal().spec().clone();
    let pivot = match which {
        GimbalAxis::Outer => spec.outer,
        GimbalAxis::Inner => spec.inner,
    };
    Axis::new(AxisSpec {
        pivot: pivot.point(),
        direction: pivot.direction(),
        area: sensor.area.clone(),
        filter: sensor.filter,
        averaging: sensor.averaging,
        remanence_drift: magnets.remanence_drift,
        reference_celsius: magnets.reference_celsius,
        celsius: sensor.celsius,
        moving: Moving::Magnets,
        ..AxisSpec::new(
            [-EDGE, EDGE],
            magnets.magnets.clone(),
            sensor.sensor.clone(),
            sensor.pose,
            sensor.converter.clone(),
        )
    })
    .unwrap()
}

/// With the other axis at zero each reads what it reads by itself.
#[test]
fn an_axis_of_a_stick_reads_as_the_single_axis() {
    for given in every() {
        for axis in AXES {
            let sensor = CarriedSensor {
                pose: sensor_pose(axis),
                carrier: carried(axis, given.sensor.clone()).carrier,
                ..given.clone()
            };
            let magnets = CarriedMagnets {
                remanence_drift: -1.1e-3,
                celsius: sensor.celsius,
                ..magnets(axis)
            };
            let single = alone(axis, &sensor, &magnets);
            let other = CarriedSensor::on_shaft(pot(), converter());
            let two = match axis {
                GimbalAxis::Outer => stick(vec![magnets], sensor, other),
                GimbalAxis::Inner => stick(vec![magnets], other, sensor),
            };
            let two = TwoAxis::new(two).unwrap();
            let sweep = single.sweep(31).unwrap();
            let zeros = vec![0.0; 31];
            let many = match axis {
                GimbalAxis::Outer => two.readings_at(sweep.angle(), &zeros),
                GimbalAxis::Inner => two.readings_at(&zeros, sweep.angle()),
            }
            .unwrap();
            let k = place(axis);
            for (i, &angle) in sweep.angle().iter().enumerate() {
                let [outer, inner] = if k == 0 { [angle, 0.0] } else { [0.0, angle] };
                let one = two.reading_at(outer, inner).unwrap();
                let said = format!("{:?} {axis} {angle}", given.sensor);
                assert!(many.valid[i], "{said}");
                for (found, column, expected, close) in [
                    (one.flux[k], many.flux[i][k], sweep.flux(), FLUX),
                    (
                        one.read_angle[k],
                        many.read_angle.as_ref().map_or(f64::NAN, |all| all[i][k]),
                        sweep.read_angle(),
                        ANGLE,
                    ),
                    (one.volts[k], many.volts[i][k], sweep.volts(), ANGLE),
                ] {
                    let Some(expected) = expected else {
                        assert!(found.is_none() && column.is_nan(), "{said}");
                        continue;
                    };
                    assert!((found.unwrap() - expected[i]).abs() < close, "{said}");
                    assert!((column - expected[i]).abs() < close, "{said}");
                }
                // A voltage at a step may round either way.
                assert!((one.counts[k] - sweep.counts()[i]).abs() <= 1, "{said}");
                assert!((many.counts[i][k] - sweep.counts()[i]).abs() <= 1, "{said}");
                assert_eq!(one.clipped[k], sweep.clipped()[i], "{said}");
                assert_eq!(many.clipped[i][k], sweep.clipped()[i], "{said}");
                let field = two.field_at(outer, inner).unwrap()[k];
                assert!(
                    (field - single.field_at(angle).unwrap()).norm() < FLUX,
                    "{said}"
                );
            }
            // The noise of the single axis is told as a step at the center.
            let figures = single.figures(31).unwrap();
            let noise = two.noise_at(0.0, 0.0).unwrap()[k].random();
            let output = figures.gain_counts() * single_step(&given);
            let step = figures.step_noise_center().unwrap();
            assert!(
                (noise / (output.abs() * step) - 1.0).abs() < 1e-9,
                "{:?}",
                given.sensor
            );
            // What both see of their own travel.
            let span = two.crosstalk(21).unwrap().of(axis).span_counts;
            let [low, high] = figures.code_range();
            assert!(
                (span - (high - low) as f64).abs() <= 1.0,
                "{:?}",
                given.sensor
            );
        }
    }
}

/// One step of what is behind a sensor, V, or rad of a digital one.
fn single_step(sensor: &CarriedSensor) -> f64 {
    sensor
        .converter
        .as_ref()
        .map_or(TAU / 16384.0, Converter::lsb)
}

/// A potentiometer knows its own axis only: readings by the closed form of its divider, no crosstalk at all, and a map
/// that leaves the steps of the converter.
#[test]
fn a_potentiometer_has_no_crosstalk() -> Result<()> {
    let wiper = |own: f64| {
        let x = (own / DEG + 155.0) / 300.0;
        5.0 * x / (1.0 + x * (1.0 - x) * 10e3 / 47e3)
    };
    let shaft = || CarriedSensor::on_shaft(pot(), converter());
    let two = TwoAxis::new(stick(Vec::new(), shaft(), shaft()))?;
    for (outer, inner) in [(0.0, 0.0), (EDGE, -EDGE), (-0.1, 0.2)] {
        let reading = two.reading_at(outer, inner)?;
        for (volts, own) in reading.volts.into_iter().zip([outer, inner]) {
            assert!((volts.unwrap() - wiper(own)).abs() < ANGLE);
        }
        assert_eq!((reading.flux, reading.read_angle), ([None; 2], [None; 2]));
    }
    assert!(matches!(two.flux_at(0.0, 0.0), Err(Error::Absent { .. })));
    assert!(matches!(
        two.fluxes_at(&[0.0], &[0.0]),
        Err(Error::Absent { .. })
    ));
    // Beside an outer axis whose magnets are all about it.
    let hall = carried(GimbalAxis::Outer, linear(|_| ()));
    let mixed = TwoAxis::new(stick(AXES.map(magnets).to_vec(), hall, shaft()))?;
    let span = wiper(EDGE) - wiper(-EDGE);
    for found in [two.crosstalk(9)?.outer, mixed.crosstalk(9)?.inner] {
        assert_eq!((found.worst.counts, found.center.counts), (0.0, 0.0));
        assert_eq!(
            (found.worst.volts, found.worst.of_span),
            (Some(0.0), Some(0.0))
        );
        assert_eq!(
            (found.worst.flux, found.own_flux, found.own_angle),
            (None, None, None)
        );
        assert_eq!(found.cause, CrosstalkCause::Negligible);
        assert!((found.span_volts.unwrap() - span).abs() < ANGLE);
        assert!((found.span_counts - span / (5.0 / 4096.0)).abs() < 1e-6);
    }
    // Nothing is near it.
    assert_eq!(two.clearance()?, [100.0; 2]);
    assert!(mixed.clearance()?[0] < 10.0 * MM);
    // A step is worth 300 degrees / 4096, less the 5 % that the load flattens the middle by: half of one by rounding,
    // and no more by what rounding does to the fit.
    let left = two.correction(CorrectionTerms::Quadratic, 31)?.after.worst;
    assert!(
        left.iter().all(|left| *left < 300.0 * DEG / 4096.0 / 0.95),
        "{left:?}"
    );
    // Its stops are nearer than the gate.
    let short = Potentiometer::new(PotentiometerSpec::new(20.0 * DEG, 5.0))?;
    let short = CarriedSensor::on_shaft(short, converter());
    let refused = TwoAxis::new(stick(Vec::new(), shaft(), short));
    assert!(matches!(refused, Err(Error::OutOfRange { .. })));
    Ok(())
}

/// The angle that a sensor reads of moved magnets, by its own formula.
fn angle_by_hand(
    spec: &TwoAxisSpec,
    axis: GimbalAxis,
    angles: [f64; 2],
    chosen: impl Fn(&CarriedMagnets) -> bool,
) -> f64 {
    let Sensor::Angle(sensor) = &spec.sensor(axis).sensor else {
        panic!("an angle sensor");
    };
    let part = sensor.spec();
    let point = Point3::new(0.0, 0.0, -part.depth);
    let b = field_by_hand(spec, axis, angles, &point, chosen);
    let [u1, u2] = part.directions;
    let d = part.nonorthogonality;
    let c1 = part.offsets[0] + b.dot(&u1);
    let c2 = part.offsets[1] + (1.0 + part.gain_mismatch) * b.dot(&(u2 * d.cos() + u1 * d.sin()));
    let read = c2.atan2(c1) - part.zero;
    if part.sense == RotationSense::Reverse {
        -read
    } else {
        read
    }
}

/// Greatest less least of angles that go on from one to the next.
fn change(angles: impl Iterator<Item = f64>) -> f64 {
    let mut last: Option<f64> = None;
    let ends = angles.fold([f64::MAX, f64::MIN], |[low, high], angle| {
        let near = last.map_or(angle, |last| angle + TAU * ((last - angle) / TAU).round());
        last = Some(near);
        [low.min(near), high.max(near)]
    });
    ends[1] - ends[0]
}

/// Brute force: the field of magnets that are moved by hand, on a grid of both angles.
#[test]
fn crosstalk_of_an_angle_sensor_is_that_of_a_grid() {
    const SIDE: i32 = 40;
    for (output, moved, edge) in [(DIGITAL, false, EDGE), (ANALOG, true, 5.0 * DEG)] {
        let grid = || (-SIDE..=SIDE).map(|i| edge * f64::from(i) / f64::from(SIDE));
        let mut spec = both(&angle(output, |_| ()));
        spec.gate = Gate::square([-edge, edge], [-edge, edge]).unwrap();
        if moved {
            // So that the outer magnet goes past its sensor with both axes.
            spec.magnets[0].carrier = Carrier::Stick;
        }
        let two = TwoAxis::new(spec.clone()).unwrap();
        let crosstalk = two.crosstalk(41).unwrap();
        for axis in AXES {
            let pair = |own: f64, other: f64| match axis {
                GimbalAxis::Outer => [own, other],
                GimbalAxis::Inner => [other, own],
            };
            let own = |source: &CarriedMagnets| source.read_by.reads(axis);
            let all_at = |at| angle_by_hand(&spec, axis, at, |_| true);
            let own_at = |at| angle_by_hand(&spec, axis, at, own);
            let over = |held: f64, of: &dyn Fn([f64; 2]) -> f64| {
                change(grid().map(|turned| of(pair(held, turned))))
            };
            let most = |of: &dyn Fn([f64; 2]) -> f64| {
                grid().map(|held| over(held, of)).fold(0.0, f64::max)
            };
            let found = crosstalk.of(axis);
            // A step of 0.375 degrees misses a fraction (step / width)^2 / 8 of an extreme that is 10 degrees wide,
            // and by a share of the worst held angle alike.
            let close =
                |found: f64, expected: f64| (found - expected).abs() < 2e-3 * expected + ANGLE;
            let worst = found.worst.read_angle.unwrap();
            assert!(
                close(worst, most(&all_at)),
                "{axis} {worst} {}",
                most(&all_at)
            );
            let center = found.center.read_angle.unwrap();
            assert!(close(center, over(0.0, &all_at)), "{axis} {center}");
            let (by_own, by_others) = (found.own_angle.unwrap(), found.stray_angle.unwrap());
            assert!(close(by_own, most(&own_at)), "{axis} {by_own}");
            let rest = |at| all_at(at) - own_at(at);
            assert!(close(by_others, most(&rest)), "{axis} {by_others}");
            let span = change(grid().map(|turned| all_at(pair(turned, 0.0))));
            let per_step = match output {
                DIGITAL => TAU / 16384.0,
                _ => TAU / 4.0 * 5.0 / 4096.0,
            };
            assert!(close(found.span_counts * per_step, span), "{axis} {span}");
            assert!(
                close(found.worst.counts * per_step, worst),
                "{axis} {worst}"
            );
            assert_eq!((found.worst.flux, found.own_flux), (None, None));
            assert_eq!(found.worst.volts.is_some(), output == ANALOG);
            if axis == GimbalAxis::Outer {
                let mounting = found.cause == CrosstalkCause::Mounting;
                assert_eq!(mounting, moved, "{}", found.cause);
                assert_eq!(by_own > 1e-9, moved, "{by_own}");
            }
        }
    }
}

/// The mean of a flux density over an area, from a dense grid of points that are moved by hand.
#[test]
fn an_active_area_reads_the_mean_of_the_field() -> Result<()> {
    const SIDE: usize = 40;
    let sensor = linear(|spec| spec.area = [1.6 * MM, 1.0 * MM]);
    let spec = both(&sensor);
    let two = TwoAxis::new(spec.clone())?;
    for angles in [[0.0, 0.0], [9.0 * DEG, -12.0 * DEG], [-EDGE, EDGE]] {
        let found = two.field_at(angles[0], angles[1])?;
        let flux = two.flux_at(angles[0], angles[1])?;
        for axis in AXES {
            let mean = |side: usize| {
                let across = |i: usize, width: f64| ((i as f64 + 0.5) / side as f64 - 0.5) * width;
                let mut sum = Vector3::zeros();
                for i in 0..side {
                    for k in 0..side {
                        let point =
                            Point3::new(across(i, 1.6 * MM), across(k, 1.0 * MM), -0.4 * MM);
                        sum += field_by_hand(&spec, axis, angles, &point, |_| true);
                    }
                }
                sum / (side * side) as f64
            };
            // Middles of cells are off by the square of their size: two sizes tell by how much, and take it out.
            let (coarse, fine) = (mean(SIDE / 2), mean(SIDE));
            let expected = (4.0 * fine - coarse) / 3.0;
            let error = (found[place(axis)] - expected).norm();
            assert!(error < 1e-7 * expected.norm(), "{axis} {error}");
            let along = sensor.linear().unwrap().direction();
            assert!((flux[place(axis)] - along.dot(&expected)).abs() < 1e-7 * expected.norm());
            // And it is not what a point reads.
            let at_point = field_by_hand(
                &spec,
                axis,
                angles,
                &Point3::new(0.0, 0.0, -0.4 * MM),
                |_| true,
            );
            assert!((at_point - expected).norm() > 1e-4 * expected.norm());
        }
    }
    // An area that a magnet cuts on the way has no value there, and the rest keeps theirs.
    let mut spec = both(&linear(|spec| spec.area = [0.5 * MM; 2]));
    let bar = Block::new(
        Vector3::new(12.0, 12.0, 60.0) * MM,
        Vector3::x(),
        posed([-24.0, 51.0, 36.0], [0.0; 3]),
    )?;
    spec.magnets
        .push(CarriedMagnets::new(bar, Carrier::Stick, ReadBy::Neither));
    spec.outer.pose = posed([-24.0, 51.0, 2.0], [0.0; 3]);
    spec.magnets.remove(0);
    let two = TwoAxis::new(spec)?;
    let angles: Vec<f64> = (-60..=60).map(|i| f64::from(i) * 1.5 * DEG).collect();
    let read = two.readings_at(&angles, &vec![0.0; angles.len()])?;
    let cut: Vec<bool> = angles
        .iter()
        .map(|angle| matches!(two.reading_at(*angle, 0.0), Err(Error::AreaCut { .. })))
        .collect();
    assert!(cut.contains(&true) && cut.contains(&false));
    for (valid, cut) in read.valid.iter().zip(&cut) {
        assert_eq!(*valid, !cut);
    }
    Ok(())
}

/// Each magnet follows its own drift, and the sensor its own.
#[test]
fn a_warm_stick_reads_less() -> Result<()> {
    let variation = HallVariation {
        sensitivity_drift: 6e-4,
        quiescent_drift: 0.2 * MV,
        ..HallVariation::default()
    };
    let mut spec = both(&linear(|spec| spec.variation = variation));
    spec.magnets[0].remanence_drift = -1.2e-3;
    spec.magnets[1].remanence_drift = -2e-3;
    spec.magnets[1].reference_celsius = 25.0;
    let (here, warm) = (
        TwoAxis::new(spec.clone())?,
        TwoAxis::new(spec.clone())?.at_temperature(60.0)?,
    );
    let shares = [1.0 - 1.2e-3 * 40.0, 1.0 - 2e-3 * 35.0];
    let angles = [0.12, -0.2];
    let (cold, hot) = (
        here.reading_at(angles[0], angles[1])?,
        warm.reading_at(angles[0], angles[1])?,
    );
    for axis in AXES {
        let part = spec.sensor(axis).sensor.linear().unwrap();
        let by = |k: usize| {
            let only = |source: &CarriedMagnets| source == &spec.magnets[k];
            field_by_hand(&spec, axis, angles, &part.active_point(), only).dot(&part.direction())
        };
        let k = place(axis);
        assert!((cold.flux[k].unwrap() - by(0) - by(1)).abs() < FLUX);
        let expected = shares[0] * by(0) + shares[1] * by(1);
        assert!((hot.flux[k].unwrap() - expected).abs() < FLUX);
        let sensitivity = 10.0 * (1.0 + 6e-4 * 35.0);
        let volts = 2.5 + 0.2e-3 * 35.0 + sensitivity * expected;
        assert!((hot.volts[k].unwrap() - volts).abs() < ANGLE);
    }
    for bad in [f64::NAN, -61.0, 201.0, 1e160] {
        assert!(here.at_temperature(bad).is_err());
        let mut on_shaft = spec.clone();
        on_shaft.inner = CarriedSensor {
            celsius: Some(bad),
            ..CarriedSensor::on_shaft(pot(), converter())
        };
        assert!(TwoAxis::new(on_shaft).is_err());
        let mut drift = spec.clone();
        drift.magnets[0].remanence_drift = bad;
        assert!(TwoAxis::new(drift).is_err());
    }
    Ok(())
}

/// Programmed in its place a sensor reads zero at neutral, and elsewhere what it read before less that.
#[test]
fn a_zeroed_angle_sensor_reads_from_neutral() -> Result<()> {
    let two = TwoAxis::new(both(&angle(DIGITAL, |_| ())))?;
    for axis in AXES {
        let zeroed = two.zeroed(axis)?;
        let k = place(axis);
        let center = zeroed.reading_at(0.0, 0.0)?;
        assert!(center.read_angle[k].unwrap().abs() < ANGLE);
        assert_eq!(center.counts[k], 8192);
        let before = two.reading_at(0.0, 0.0)?.read_angle[k].unwrap();
        for (outer, inner) in [(0.1, -0.2), (-EDGE, EDGE)] {
            let (a, b) = (
                two.reading_at(outer, inner)?,
                zeroed.reading_at(outer, inner)?,
            );
            let off = a.read_angle[k].unwrap() - b.read_angle[k].unwrap() - before;
            assert!(off.abs() < ANGLE, "{off}");
            assert_eq!(a.read_angle[1 - k], b.read_angle[1 - k]);
        }
    }
    let hall = TwoAxis::new(both(&linear(|_| ())))?;
    assert!(matches!(
        hall.zeroed(GimbalAxis::Outer),
        Err(Error::Absent { .. })
    ));
    Ok(())
}

/// A reading goes on where the angle of the field begins anew, whichever way it goes from neutral.
#[test]
fn readings_go_on_over_the_end_of_a_turn() -> Result<()> {
    let plain = TwoAxis::new(both(&angle(ANALOG, |spec| spec.zero = 0.0)))?;
    let neutral = plain.reading_at(0.0, 0.0)?.read_angle[0].unwrap();
    for from_end in [1e-3, -1e-3] {
        // Reverse: the reading is the zero less the angle of the field.
        let zero = (PI - from_end - neutral + PI).rem_euclid(TAU) - PI;
        let two = TwoAxis::new(both(&angle(ANALOG, |spec| spec.zero = zero)))?;
        let map = two.map(41, 41)?;
        let read = map.readings.read_angle.as_ref().unwrap();
        let offset = two.reading_at(0.0, 0.0)?.read_angle[0].unwrap() - neutral;
        let mut beyond = 0;
        for (i, read) in read.iter().enumerate() {
            let at = [map.outer[i / 41], map.inner[i % 41]];
            let whole = plain.reading_at(at[0], at[1])?.read_angle[0].unwrap();
            assert!((read[0] - whole - offset).abs() < ANGLE, "{at:?}");
            let one = two.reading_at(at[0], at[1])?.read_angle[0].unwrap();
            assert!((read[0] - one).abs() < ANGLE);
            beyond += usize::from(read[0].abs() > PI);
            // Held at the end of the range, and told.
            assert_eq!(map.readings.clipped[i][0], read[0].abs() > PI);
        }
        assert!(beyond > 100 && beyond < 41 * 41 - 100, "{beyond}");
        let (a, b) = (plain.crosstalk(21)?.outer, two.crosstalk(21)?.outer);
        let worst = |a: &yokewright::axis::AxisCrosstalk| a.center.read_angle.unwrap();
        assert!((worst(&a) - worst(&b)).abs() < 1e-9);
    }
    Ok(())
}

#[test]
fn many_positions_of_any_sensors_are_read_as_one_by_one() -> Result<()> {
    let spec = stick(
        AXES.map(magnets).to_vec(),
        carried(GimbalAxis::Outer, angle(DIGITAL, |_| ())),
        CarriedSensor::on_shaft(pot(), converter()),
    );
    let two = TwoAxis::new(spec)?;
    let count = 5000;
    let outer: Vec<f64> = (0..count)
        .map(|i| f64::from(i % 97) * 0.005 - 0.24)
        .collect();
    let mut inner: Vec<f64> = (0..count)
        .map(|i| f64::from(i % 89) * 0.005 - 0.2)
        .collect();
    // The last one is beyond the stops of the potentiometer.
    for (row, bad) in [(3, f64::NAN), (4500, f64::INFINITY), (4900, 2.8)] {
        inner[row] = bad;
    }
    let all = two.readings_at(&outer, &inner)?;
    let read = all.read_angle.as_ref().unwrap();
    assert_eq!(all.valid.iter().filter(|valid| !**valid).count(), 3);
    for i in (0..outer.len()).step_by(171).chain([3, 4500, 4900]) {
        let Ok(one) = two.reading_at(outer[i], inner[i]) else {
            assert!(!all.valid[i] && read[i][0].is_nan() && all.volts[i][1].is_nan());
            assert_eq!((all.counts[i], all.clipped[i]), ([-1; 2], [false; 2]));
            continue;
        };
        assert!((one.read_angle[0].unwrap() - read[i][0]).abs() < ANGLE);
        assert!((one.volts[1].unwrap() - all.volts[i][1]).abs() < ANGLE);
        assert!(
            all.flux[i]
                .iter()
                .chain([&read[i][1], &all.volts[i][0]])
                .all(|v| v.is_nan())
        );
        assert_eq!(one.counts, all.counts[i]);
    }
    assert!(matches!(two.flux_at(0.0, 0.0), Err(Error::Absent { .. })));
    let text = serde_json::to_string(&two).unwrap();
    assert_eq!(serde_json::from_str::<TwoAxis>(&text).unwrap(), two);
    let crosstalk = two.crosstalk(5)?;
    let text = serde_json::to_string(&crosstalk).unwrap();
    assert_eq!(
        serde_json::from_str::<yokewright::axis::Crosstalk>(&text).unwrap(),
        crosstalk
    );
    let mut stored = serde_json::to_value(&crosstalk).unwrap();
    stored["outer"]["worst"]["read_angle"] = serde_json::json!(-1.0);
    assert!(serde_json::from_value::<yokewright::axis::Crosstalk>(stored).is_err());
    Ok(())
}

/// Where no field is left in its plane an angle sensor has no reading.
#[test]
fn an_angle_sensor_without_a_field_is_told() -> Result<()> {
    let ideal = AngleSensor::new(AngleSensorSpec::new(DIGITAL))?;
    let mut spec = both(&ideal.into());
    // Two alike, one of them the other way round, in one place: nothing is left.
    let first = magnet(GimbalAxis::Outer);
    let against = Cylinder::new(
        6.0 * MM,
        4.0 * MM,
        -Vector3::new(0.4, 0.2, 1.1),
        posed([-20.0, 50.0, 2.0], [0.3, -0.2, 0.4]),
    )?;
    spec.magnets = [first, against]
        .map(|magnet| CarriedMagnets::new(magnet, Carrier::Ring, ReadBy::Outer))
        .to_vec();
    let two = TwoAxis::new(spec)?;
    assert!(matches!(
        two.reading_at(0.1, 0.1),
        Err(Error::OutOfRange { .. })
    ));
    let none = two.readings_at(&[0.1], &[0.1])?;
    assert_eq!((none.valid[0], none.counts[0]), (false, [-1; 2]));
    assert!(two.noise_at(0.0, 0.0).is_err());
    Ok(())
}

/// All over the gate and between the angles of any grid: the least is no more and the greatest no less than on a much
/// finer one, and by no more than the field changes on its steps.
#[test]
fn the_field_of_an_angle_sensor_is_followed_over_the_gate() -> Result<()> {
    const POINTS: i32 = 240;
    let sensor: Sensor = angle(DIGITAL, |_| ());
    let Sensor::Angle(device) = &sensor else {
        unreachable!()
    };
    let [u, v] = device.spec().directions;
    let mut spec = both(&sensor);
    spec.inner = CarriedSensor::on_shaft(pot(), converter());
    let round = Gate::round(14.0 * DEG)?;
    for gate in [gate(), round] {
        spec.gate = gate;
        let two = TwoAxis::new(spec.clone())?;
        let [found, none] = two.field_ranges()?;
        assert_eq!(none, None);
        let [least, greatest] = found.expect("an angle sensor sees a field");
        let mut fine = [f64::INFINITY, 0.0];
        let [outer, inner] = two.travel();
        let at =
            |[low, high]: [f64; 2], i: i32| low + (high - low) * f64::from(i) / f64::from(POINTS);
        for (i, j) in (0..=POINTS).flat_map(|i| (0..=POINTS).map(move |j| (i, j))) {
            let [a, b] = [at(outer, i), at(inner, j)];
            if !spec.gimbal.allows(&spec.gate, a, b)? {
                continue;
            }
            let field = two.field_at(a, b)?[0];
            let size = field.dot(&u).hypot(field.dot(&v));
            fine = [fine[0].min(size), fine[1].max(size)];
        }
        // A 240th of the change over the gate, several times over where it is steep; it is smooth.
        let step = 5.0 * (fine[1] - fine[0]) / f64::from(POINTS);
        assert!(
            least <= fine[0] + FLUX && least >= fine[0] - step,
            "{least} {fine:?}"
        );
        assert!(
            greatest >= fine[1] - FLUX && greatest <= fine[1] + step,
            "{greatest} {fine:?}"
        );
    }
    Ok(())
}

/// A ball under the crossing of both axes, magnetized along the stick, over a sensor that reads across: straight above
/// one another nothing is left to read, wherever in the gate that is.
#[test]
fn a_field_that_vanishes_inside_the_gate_is_found() -> Result<()> {
    let device = AngleSensor::new(AngleSensorSpec::new(DIGITAL))?;
    let ball = Sphere::new(
        6.0 * MM,
        Vector3::z() * 1.2,
        posed([0.0, 0.0, -20.0], [0.0; 3]),
    )?;
    let axes = [Vector3::y(), Vector3::x()];
    let [outer, inner] = axes.map(|axis| Pivot::new(Point3::origin(), axis).unwrap());
    let path = vec![Point3::origin(), Point3::new(0.0, 0.0, 0.3)];
    let sensor = CarriedSensor::new(
        device,
        posed([0.0, 0.0, -30.0], [0.0; 3]),
        Carrier::Frame,
        None,
    );
    let two = TwoAxis::new(TwoAxisSpec::new(
        Gimbal::new(GimbalSpec::new(outer, inner, path))?,
        Gate::square([-9.13 * DEG, 11.0 * DEG], [-7.71 * DEG, 12.0 * DEG])?,
        vec![CarriedMagnets::new(ball, Carrier::Stick, ReadBy::Outer)],
        sensor,
        CarriedSensor::on_shaft(pot(), converter()),
    ))?;
    let [found, _] = two.field_ranges()?;
    let [least, greatest] = found.expect("an angle sensor sees a field");
    // Half a degree, a million times halved, in a field of some 0.1 T/rad.
    assert!(least < 1e-8 && greatest > 5.0 * MT, "{least} {greatest}");
    Ok(())
}

#[test]
fn chains_that_cannot_be_are_refused() {
    let refused = |outer: CarriedSensor| {
        let inner = CarriedSensor::on_shaft(pot(), converter());
        TwoAxis::new(stick(AXES.map(magnets).to_vec(), outer, inner)).unwrap_err()
    };
    let without =
        |sensor| CarriedSensor::new(sensor, sensor_pose(GimbalAxis::Outer), Carrier::Frame, None);
    for sensor in [linear(|_| ()), angle(ANALOG, |_| ()), pot().into()] {
        assert!(matches!(refused(without(sensor)), Error::Absent { .. }));
    }
    let digital = || without(angle(DIGITAL, |_| ()));
    let with = CarriedSensor {
        converter: Some(converter()),
        ..digital()
    };
    assert!(matches!(
        refused(with),
        Error::Surplus {
            quantity: "converter",
            ..
        }
    ));
    let with = CarriedSensor {
        filter: Some(LowPass::new(1.0 * KHZ).unwrap()),
        ..digital()
    };
    assert!(matches!(
        refused(with),
        Error::Surplus {
            quantity: "filter",
            ..
        }
    ));
    let none = stick(
        Vec::new(),
        carried(GimbalAxis::Outer, linear(|_| ())),
        CarriedSensor::on_shaft(pot(), converter()),
    );
    assert!(matches!(TwoAxis::new(none), Err(Error::Count { .. })));
}

/// A sensor inside a magnet is refused where it is built, by a stick and by a single axis; in its face, and in the bore
/// of a ring, it may stand.
#[test]
fn a_sensor_inside_a_magnet_is_refused_where_it_is_built() {
    let cube = Block::new(
        Vector3::repeat(10.0 * MM),
        Vector3::z(),
        Isometry3::translation(0.02, 0.0, 0.0),
    )
    .unwrap();
    let ring = Ring::new(
        20.0 * MM,
        10.0 * MM,
        8.0 * MM,
        Vector3::z(),
        Isometry3::translation(0.02, 0.0, 0.0),
    )
    .unwrap();
    let at = |x: f64| Isometry3::translation(x, 0.0, 0.0);
    let single = |x: f64, depth: f64| {
        let sensor = linear(|spec| spec.depth = depth);
        Axis::new(AxisSpec::new(
            [-0.1, 0.1],
            cube.clone(),
            sensor,
            at(x),
            converter(),
        ))
    };
    let two = |x: f64, depth: f64| {
        let sensor = linear(|spec| spec.depth = depth);
        let sensor = CarriedSensor::new(sensor, at(x), Carrier::Frame, converter());
        let magnets = CarriedMagnets::new(cube.clone(), Carrier::Ring, ReadBy::Outer);
        TwoAxis::new(stick(
            vec![magnets],
            sensor,
            CarriedSensor::on_shaft(pot(), converter()),
        ))
    };
    // Its face from 15 to 25 mm.
    for x in [16.0, 20.0, 24.0] {
        let Err(Error::Collision {
            angle_deg, overlap, ..
        }) = single(x * MM, 0.0)
        else {
            panic!("{x}");
        };
        let deep = (5.0 - f64::abs(x - 20.0)) * MM;
        assert!(angle_deg == 0.0 && (overlap - deep).abs() < 1e-12);
        let Err(Error::TwoAxisCollision {
            part,
            outer,
            inner,
            overlap,
            ..
        }) = two(x * MM, 0.0)
        else {
            panic!("{x}");
        };
        assert!(part.contains("outer") && [outer, inner] == [0.0; 2]);
        assert!((overlap - deep).abs() < 1e-12);
    }
    for x in [10.0, 15.0, 25.0, 30.0] {
        assert!(
            single(x * MM, 0.0).is_ok() && two(x * MM, 0.0).is_ok(),
            "{x}"
        );
    }
    // The face is clear above the cube, and what reads lies below it, in the cube.
    let sensor = linear(|spec| spec.depth = 2.0 * MM);
    let over = Isometry3::translation(0.02, 0.0, 6.0 * MM);
    let spec = AxisSpec::new([-0.1, 0.1], cube.clone(), sensor.clone(), over, converter());
    assert!(
        matches!(Axis::new(spec), Err(Error::Collision { part, .. }) if part.contains("active point"))
    );
    let looking = CarriedSensor::new(sensor, over, Carrier::Frame, converter());
    let magnets = CarriedMagnets::new(cube, Carrier::Ring, ReadBy::Outer);
    let spec = stick(
        vec![magnets],
        looking,
        CarriedSensor::on_shaft(pot(), converter()),
    );
    assert!(matches!(
        TwoAxis::new(spec),
        Err(Error::TwoAxisCollision { .. })
    ));
    let in_bore = AxisSpec::new([-0.1, 0.1], ring, linear(|_| ()), at(0.02), converter());
    assert!(Axis::new(in_bore).is_ok());
}
