//! Numbers of every size in every place: what is finite gives what is finite or an error, and what is no number gives
//! an error.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::Result;
use yokewright::axis::{
    Arrangement, ArrangementDemand, Axis, AxisSpec, Measure, Mounting, Moving, SwungLayout,
    SwungLayoutSpec, VariedMeasure, linearity, search_arrangements,
};
use yokewright::hall::{
    AngleError, AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, LinearHall,
    LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, Rounding, SignalChain,
    bits_from_snr_db, noise_from_density,
};
use yokewright::magnet::Block;

use crate::common;

const FINITE: [f64; 17] = [
    0.0,
    -0.0,
    1e-320,
    -1e-320,
    1e-160,
    -1e-160,
    1e-3,
    0.3,
    -0.3,
    1.0,
    5.0,
    1e155,
    -1e155,
    1e160,
    1e308,
    -1e308,
    f64::MAX,
];
const NONE: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

/// Puts every number into every place of a call that returns what it computes.
fn sweep<const N: usize>(good: [f64; N], call: impl Fn([f64; N]) -> Result<Vec<f64>>) {
    let all_finite = |results: &[f64]| results.iter().all(|value| value.is_finite());
    assert!(
        call(good).is_ok_and(|results| all_finite(&results)),
        "the start is good"
    );
    for place in 0..N {
        let with = |value: f64| {
            let mut numbers = good;
            numbers[place] = value;
            call(numbers)
        };
        for value in FINITE {
            if let Ok(results) = with(value) {
                assert!(all_finite(&results), "{value:e} at {place}: {results:?}");
            }
        }
        for value in NONE {
            assert!(with(value).is_err(), "{value} at {place}");
        }
    }
}

#[test]
fn sensors() {
    sweep(
        [
            5.0, 5.0, 2.5, 25.0, 0.2, 0.3, 1e-3, 5e-4, 0.0, 0.0, 1.0, 0.02,
        ],
        |n| {
            let sensor = LinearHall::new(LinearHallSpec {
                supply: n[0],
                nominal_supply: n[1],
                quiescent: n[2],
                sensitivity: n[3],
                rail_low: n[4],
                rail_headroom: n[5],
                noise: n[6],
                depth: n[7],
                direction: Vector3::new(n[8], n[9], n[10]),
                ..LinearHallSpec::new(5.0, 25.0)
            })?;
            assert_eq!(sensor.outputs(&[n[11]]).valid, [n[11].is_finite()]);
            let mut out = vec![sensor.output(n[11])?, sensor.unclipped_output(n[11])?];
            out.extend([
                sensor.gain(),
                sensor.output_noise(),
                sensor.quiescent_output(),
            ]);
            out.extend(sensor.flux_range().iter().chain(&sensor.output_range()));
            out.extend(sensor.direction().iter());
            assert!((sensor.direction().norm() - 1.0).abs() < 1e-15);
            Ok(out)
        },
    );
}

#[test]
fn converters_and_shaft_sensors() {
    sweep([5.0, 1e-3, 2.0, 1e-3], |n| {
        let converter = Converter::new(12, n[0], Rounding::Nearest, n[1])?;
        assert_eq!(converter.codes(&[n[2]]).valid, [n[2].is_finite()]);
        let code = converter.code(n[2])?;
        assert!((0..=4095).contains(&code));
        let [low, high] = converter.input_range();
        Ok(vec![
            low,
            high,
            converter.lsb(),
            converter.effective_bits(n[3])?,
        ])
    });
    sweep([1.0, 5.0, 0.5, 0.5], |n| {
        let sensor = Potentiometer::new(PotentiometerSpec::new(n[0], n[1]))?;
        Ok(vec![sensor.output(n[2])?, sensor.share(n[3])?])
    });
    sweep([300.0, 1e4, 20.0, 1e5, 2.0, 1.0, 2.0], |n| {
        let pot = Potentiometer::new(PotentiometerSpec {
            mechanical_travel: 5.5,
            resistance: n[1],
            end_resistances: [n[2], 10.0],
            noise_resistance: n[0],
            load: Some(n[3]),
            center: n[4],
            ..PotentiometerSpec::new(5.0, 5.0)
        })?;
        Ok(vec![
            pot.output(n[5])?,
            pot.slope(n[5])?,
            pot.angle_for(n[6])?,
            pot.loading_error(n[5])?,
            pot.max_loading_error(),
            pot.contact_error(n[5])?,
            pot.source_resistance(n[5])?,
        ])
    });
    sweep(
        [0.03, 0.04, 1e-3, 0.1, 0.05, 1e-5, 0.02, 0.3, 1.0, 0.05],
        |n| {
            let sensor = AngleSensor::new(AngleSensorSpec {
                offsets: [n[2], -n[2]],
                gain_mismatch: n[3],
                nonorthogonality: n[4],
                noise: n[5],
                working_flux: [n[6], 0.5],
                zero: n[7],
                ..AngleSensorSpec::new(AngleOutput::Digital { bits: 14 })
            })?;
            let field = Vector3::new(n[0], n[1], 0.3);
            let first = sensor.first_order_error(n[9])?;
            Ok(vec![
                sensor.angle(&field)?,
                sensor.angle_slope(&field, &Vector3::new(n[1], n[0], 0.0))?,
                sensor.noise_angle(&field)?,
                sensor.read(&field)?,
                sensor.output(n[8])?,
                first.at(1.0),
            ])
        },
    );
    sweep([1e3, 1e-8, 50.0, 1e-3, 1e-3, 1e-4, 1e4], |n| {
        let filter = LowPass::from_rc(n[0], n[1])?;
        let averaging = Averaging::new(9, n[3])?;
        let chain = SignalChain {
            filter: Some(filter),
            averaging: Some(averaging),
            ..SignalChain::new(Converter::new(12, 5.0, Rounding::Nearest, n[4])?)
        };
        let noise = chain.noise(n[5], Some(n[6]))?;
        Ok(vec![
            filter.gain(n[2])?,
            filter.phase(n[2])?,
            averaging.gain(n[2])?,
            averaging.noise_factor_behind(&filter)?,
            filter.settling_time(n[3])?,
            noise.total(),
            noise.random(),
            chain.group_delay(),
        ])
    });
    sweep([0.2, 2.5, 1.0, 3.0, 3.0], |n| {
        let error = AngleError::of(&[0.0, n[0], n[1]], &[n[2], n[3], n[4]])?;
        Ok(vec![error.mean(), error.worst(), error.worst_at()])
    });
    sweep([1e-7, 25.0, 1e4], |n| {
        noise_from_density(n[0], n[1], n[2]).map(|noise| vec![noise])
    });
    sweep([62.0], |n| bits_from_snr_db(n[0]).map(|bits| vec![bits]));
}

/// What an axis gives, sweep and figures and all.
fn results(axis: &Axis, angle: f64) -> Result<Vec<f64>> {
    let sweep = axis.sweep(7)?;
    let figures = axis.figures(7)?;
    let (flux, valid) = axis.fluxes_at(&[angle]);
    assert_eq!(flux[0].is_finite(), valid[0]);
    assert_eq!(axis.flux_at(angle).is_ok(), valid[0]);
    let mut out = vec![
        axis.flux_at(angle)?,
        figures.gain_flux().unwrap(),
        figures.gain_counts(),
        figures.clipped_share(),
    ];
    out.extend([
        figures.flux_span().unwrap(),
        figures.volts_span().unwrap(),
        figures.clearance(),
        sweep.clearance(),
    ]);
    out.extend(
        sweep
            .flux()
            .unwrap()
            .iter()
            .chain(sweep.volts().unwrap())
            .chain(sweep.angle()),
    );
    out.extend(figures.monotonic_range());
    for value in [
        figures.step_quantization_center(),
        figures.step_quantization_worst(),
        figures.step_noise_center(),
        figures.step_noise_worst(),
        figures.effective_bits(),
    ] {
        out.extend(value);
    }
    for linearity in figures
        .linearity_flux()
        .iter()
        .chain(&figures.linearity_volts())
    {
        out.extend([
            linearity.independent(),
            linearity.terminal_based(),
            linearity.zero_based(),
        ]);
        out.extend([
            linearity.independent_line().at(0.1)?,
            linearity.zero_based_line().at(0.1)?,
        ]);
    }
    out.extend(axis.turn(angle)?.translation.vector.iter());
    out.extend(axis.sensor_pose_at(angle)?.translation.vector.iter());
    axis.magnets_at(angle)?;
    Ok(out)
}

#[test]
fn axes() {
    let good = common::axis();
    let [lower, upper] = common::THROW;
    sweep(
        [
            0.0, 0.0, 0.0, 0.0, 0.0, 1.0, lower, upper, 0.0165, 0.0, 0.0, 0.05,
        ],
        |n| {
            let pose = good.spec().sensor_pose.rotation;
            let axis = Axis::new(AxisSpec {
                pivot: Point3::new(n[0], n[1], n[2]),
                direction: Vector3::new(n[3], n[4], n[5]),
                throw: [n[6], n[7]],
                sensor_pose: Isometry3::from_parts(Vector3::new(n[8], n[9], n[10]).into(), pose),
                ..good.spec().clone()
            })?;
            results(&axis, n[11])
        },
    );
}

#[test]
fn layouts_and_their_search() {
    let spec = |n: &[f64]| -> Result<SwungLayoutSpec> {
        let size = Vector3::new(n[0], n[1], n[2]);
        let magnet = Block::new(size, Vector3::new(n[3], n[4], n[5]), Isometry3::identity())?;
        Ok(SwungLayoutSpec {
            mounting: Mounting {
                offset: Vector3::new(n[8], n[9], n[10]),
                ..Mounting::default()
            },
            ..SwungLayoutSpec::new(magnet, n[6], n[7])
        })
    };
    let [lower, upper] = common::THROW;
    sweep(
        [
            5e-3, 5e-3, 5e-3, 0.0, 1.3, 0.0, 0.012, 0.002, 0.0, 0.0, 0.0, lower, upper,
        ],
        |n| {
            let layout = SwungLayout::new(spec(&n)?)?;
            let throw = [n[11], n[12]];
            let axis = layout.axis(
                throw,
                common::sensor(),
                common::converter(),
                Moving::Magnets,
            )?;
            results(&axis, 0.01)
        },
    );
}

#[test]
fn search_limits_that_are_no_numbers() {
    let [lower, upper] = common::THROW;
    let good = [0.008, 0.02, 0.001, 0.006, 0.01, 0.0, lower, upper];
    for place in 0..good.len() {
        for value in NONE.into_iter().chain([1e308, -1e308]) {
            let mut n = good;
            n[place] = value;
            let search = ArrangementDemand {
                max_linearity: n[4],
                range_margin: n[5],
                ..ArrangementDemand::new(
                    vec![common::layout().into()],
                    vec![common::sensor().into()],
                    common::converter(),
                    [n[6], n[7]],
                    vec![
                        VariedMeasure::new(Measure::Arm, [n[0], n[1]]),
                        VariedMeasure::new(Measure::Gap, [n[2], n[3]]),
                    ],
                )
            };
            assert!(search_arrangements(&search).is_err(), "{value} at {place}");
        }
    }
}

#[test]
fn lines() {
    sweep([0.0, 1.0, 2.0, 0.0, 1.0, 3.0, 0.5], |n| {
        let l = linearity(&n[..3], &n[3..6])?;
        let mut out = vec![l.independent(), l.terminal_based(), l.zero_based()];
        for line in [
            l.independent_line(),
            l.terminal_based_line(),
            l.zero_based_line(),
        ] {
            out.extend([line.offset, line.slope, line.at(n[6])?]);
        }
        Ok(out)
    });
}
