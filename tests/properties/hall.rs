//! Sensors and converter over their whole domain.

use std::f64::consts::{PI, TAU};

use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;
use yokewright::hall::{
    AngleError, AngleOutput, AngleSensor, AngleSensorSpec, Averaging, Converter, LinearHall,
    LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec, RotationSense, Rounding,
    SignalChain, bits_from_averaging, bits_from_snr_db, noise_from_density,
};

/// Every sensor that the constructor takes: supplies, rails and quiescent output anywhere they can be.
fn sensors() -> impl Strategy<Value = LinearHall> {
    let supplies = (1.5..=40.0_f64, 1.5..=40.0_f64);
    let rails = (0.0..0.49_f64, 0.0..0.49_f64, 0.0..=1.0_f64);
    let rest = (-1.0..=3.3_f64, 0.0..=0.1_f64, 0.0..=5e-3_f64);
    let direction = prop::array::uniform3(-1.0..1.0_f64)
        .prop_filter("a direction", |d| d.iter().any(|c| *c != 0.0));
    (supplies, rails, rest, direction).prop_map(
        |((supply, nominal_supply), (low, headroom, center), (decade, noise, depth), direction)| {
            let (rail_low, rail_headroom) = (low * supply, headroom * supply);
            // Within the rails by a hair, against rounding.
            let center = 0.001 + 0.998 * center;
            let quiescent = rail_low + center * (supply - rail_headroom - rail_low);
            LinearHall::new(LinearHallSpec {
                supply,
                nominal_supply,
                quiescent: quiescent * nominal_supply / supply,
                sensitivity: 10_f64.powf(decade),
                rail_low,
                rail_headroom,
                noise,
                depth,
                direction: Vector3::from(direction),
                ..LinearHallSpec::new(5.0, 25.0)
            })
            .expect("within the ranges that the data sheet struct gives")
        },
    )
}

fn converters() -> impl Strategy<Value = Converter> {
    let rounding = prop_oneof![Just(Rounding::Nearest), Just(Rounding::Down)];
    (6..=24_u32, 0.5..=20.0_f64, rounding, 0.0..=0.1_f64).prop_map(
        |(bits, reference, rounding, noise)| {
            Converter::new(bits, reference, rounding, noise).expect("within the ranges")
        },
    )
}

/// Every potentiometer that the constructor takes, with a load that it can drive.
fn potentiometers() -> impl Strategy<Value = Potentiometer> {
    let travels = (0.1..60.0_f64, 1.0..1.05_f64, 0.0..=1.0_f64);
    let track = (1.0..=7.0_f64, 0.0..=0.5_f64, 0.0..=0.5_f64);
    let load = prop::option::of(-1.0..6.0_f64);
    (travels, track, load, 0.5..=40.0_f64).prop_map(
        |((travel, beyond, center), (decade, low, high), load, supply)| {
            let resistance = 10_f64.powf(decade);
            Potentiometer::new(PotentiometerSpec {
                mechanical_travel: travel * beyond,
                resistance,
                end_resistances: [low * resistance, high * resistance],
                // From a tenth of the track to a million times it, within what there is.
                load: load.map(|load| (resistance * 10_f64.powf(load)).clamp(10.0, 1e12)),
                center: center * travel,
                ..PotentiometerSpec::new(travel, supply)
            })
            .expect("within the ranges")
        },
    )
}

/// Angle sensors with errors of any size, any two directions at right angles, any output.
fn angle_sensors() -> impl Strategy<Value = AngleSensor> {
    let output = prop_oneof![
        (6..=24_u32).prop_map(|bits| AngleOutput::Digital { bits }),
        (0.5..=40.0_f64, 0.0..0.49_f64, 0.51..=1.0_f64, 0.01..=TAU).prop_map(
            |(supply, low, high, range)| AngleOutput::Analog {
                supply,
                low: low * supply,
                high: high * supply,
                range,
            }
        ),
    ];
    let errors = (
        -0.01..0.01_f64,
        -0.01..0.01_f64,
        -0.5..0.5_f64,
        -0.5..0.5_f64,
    );
    let sense = prop::sample::select(RotationSense::ALL.to_vec());
    let turn = prop::array::uniform3(-3.0..3.0_f64);
    (output, errors, sense, turn, -PI..=PI, 0.0..0.01_f64).prop_map(
        |(output, (o1, o2, gain_mismatch, nonorthogonality), sense, turn, zero, noise)| {
            let turn = Rotation3::new(Vector3::from(turn));
            AngleSensor::new(AngleSensorSpec {
                directions: [turn * Vector3::x(), turn * Vector3::y()],
                offsets: [o1, o2],
                gain_mismatch,
                nonorthogonality,
                noise,
                sense,
                zero,
                ..AngleSensorSpec::new(output)
            })
            .expect("within the ranges")
        },
    )
}

/// A flux density of a size in the plane of a sensor, at an angle from its first direction.
fn in_plane(sensor: &AngleSensor, size: f64, angle: f64) -> Vector3<f64> {
    let [u1, u2] = sensor.spec().directions;
    size * (angle.cos() * u1 + angle.sin() * u2)
}

/// Numbers of any kind and size, and those that are none.
fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        prop::sample::select(vec![
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            1e300,
            -1e300,
            f64::MIN_POSITIVE,
            0.0,
            -0.0,
        ]),
    ]
}

/// What no quantity of these models can be.
fn garbage() -> impl Strategy<Value = f64> {
    prop::sample::select(vec![
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e300,
    ])
}

proptest! {
    #[test]
    fn more_flux_never_lowers_the_output(sensor in sensors(), a in -0.5..1.5_f64, b in -0.5..1.5_f64) {
        let [first, last] = sensor.flux_range();
        let output = |share: f64| sensor.output(first + share * (last - first)).unwrap();
        prop_assert!(output(a.min(b)) <= output(a.max(b)));
    }

    #[test]
    fn the_output_stays_between_the_rails(sensor in sensors(), flux in anything()) {
        let [low, high] = sensor.output_range();
        prop_assert_eq!(sensor.output(flux).is_ok(), flux.is_finite());
        if let Ok(volts) = sensor.output(flux) {
            prop_assert!((low..=high).contains(&volts));
            prop_assert_eq!(sensor.clips(flux), sensor.unclipped_output(flux) != Ok(volts));
        }
    }

    #[test]
    fn inside_the_flux_range_the_output_is_straight(sensor in sensors(), share in 0.001..0.999_f64) {
        let ([b0, b1], [v0, v1]) = (sensor.flux_range(), sensor.output_range());
        let flux = b0 + share * (b1 - b0);
        prop_assert!(b0 <= 0.0 && b1 >= 0.0 && !sensor.clips(flux));
        // A few roundings of voltages up to 40.
        let volts = sensor.output(flux).unwrap();
        prop_assert!((volts - (v0 + share * (v1 - v0))).abs() < 8.0 * 40.0 * f64::EPSILON);
    }

    #[test]
    fn many_are_as_one(
        sensor in sensors(),
        converter in converters(),
        row in prop::collection::vec(anything(), 0..20),
    ) {
        let outputs = sensor.outputs(&row);
        let codes = converter.codes(&row);
        prop_assert_eq!((outputs.values.len(), outputs.valid.len()), (row.len(), row.len()));
        prop_assert_eq!((codes.values.len(), codes.valid.len()), (row.len(), row.len()));
        for (i, &value) in row.iter().enumerate() {
            prop_assert_eq!(outputs.valid[i].then_some(outputs.values[i]), sensor.output(value).ok());
            prop_assert_eq!(outputs.values[i].is_nan(), !outputs.valid[i]);
            prop_assert_eq!(codes.valid[i].then_some(codes.values[i]), converter.code(value).ok());
            prop_assert_eq!(codes.values[i] == -1, !codes.valid[i]);
        }
    }

    #[test]
    fn a_code_tells_its_voltage_within_one_step(converter in converters(), share in 0.0..1.0_f64) {
        let volts = share * converter.reference();
        let code = converter.code(volts).unwrap();
        prop_assert!((0..=converter.max_code()).contains(&code));
        // Nearest: half a step, but a whole one above the last code.
        let error = (volts - code as f64 * converter.lsb()) / converter.lsb();
        let (least, most) = match converter.rounding() {
            Rounding::Nearest if converter.clips(volts) => (0.5, 1.0),
            Rounding::Nearest => (-0.5, 0.5),
            Rounding::Down => (0.0, 1.0),
        };
        // Rounding of a voltage in steps, of which there are up to 2^24.
        let rounding = 2_f64.powi(24) * 2.0 * f64::EPSILON;
        prop_assert!((least - rounding..=most + rounding).contains(&error), "{error}");
    }

    #[test]
    fn the_middle_of_a_code_gives_the_code(converter in converters(), share in 0.0..1.0_f64) {
        let code = (share * converter.max_code() as f64).round() as i64;
        let middle = match converter.rounding() {
            Rounding::Nearest => code as f64,
            Rounding::Down => code as f64 + 0.5,
        };
        let volts = middle * converter.lsb();
        prop_assert_eq!(converter.code(volts).unwrap(), code);
        prop_assert!(!converter.clips(volts));
    }

    #[test]
    fn more_volts_never_lower_the_code(converter in converters(), a in -0.5..1.5_f64, b in -0.5..1.5_f64) {
        let code = |share: f64| converter.code(share * converter.reference()).unwrap();
        prop_assert!(code(a.min(b)) <= code(a.max(b)));
    }

    #[test]
    fn an_ideal_potentiometer_is_proportional(
        travel in 0.1..60.0_f64,
        supply in 0.5..40.0_f64,
        share in 0.0..=1.0_f64,
    ) {
        let sensor = Potentiometer::new(PotentiometerSpec::new(travel, supply)).unwrap();
        let angle = share * travel;
        // A few roundings.
        prop_assert!((sensor.share(angle).unwrap() - share).abs() < 4.0 * f64::EPSILON);
        prop_assert!((sensor.output(angle).unwrap() - share * supply).abs() < 8.0 * supply * f64::EPSILON);
    }

    #[test]
    fn turning_a_potentiometer_on_never_lowers_its_output(
        pot in potentiometers(),
        a in 0.0..=1.0_f64,
        b in 0.0..=1.0_f64,
    ) {
        let [first, last] = pot.mechanical_range();
        let at = |share: f64| (first + share * (last - first)).clamp(first, last);
        let output = |share: f64| pot.output(at(share)).unwrap();
        let [low, high] = pot.output_range();
        prop_assert!(output(a.min(b)) <= output(a.max(b)) + 8.0 * f64::EPSILON * high);
        let rounding = 8.0 * f64::EPSILON * high;
        prop_assert!((low - rounding..=high + rounding).contains(&output(a)));
        prop_assert!(low >= 0.0 && high <= pot.spec().supply);
        prop_assert!(pot.slope(at(a)).unwrap() >= 0.0);
        prop_assert!(pot.loading_error(at(a)).unwrap() <= pot.max_loading_error() * (1.0 + 1e-12));
    }

    #[test]
    fn the_angle_of_a_potentiometer_is_found_again(pot in potentiometers(), share in 0.0..=1.0_f64) {
        let angle = share * pot.spec().travel;
        let volts = pot.output(angle).unwrap();
        let found = pot.angle_for(volts).unwrap();
        // Some roundings of the voltage, over the slope.
        let lost = pot.spec().supply / pot.slope(angle).unwrap() + pot.spec().travel;
        prop_assert!((found - angle).abs() < 64.0 * f64::EPSILON * lost);
    }

    #[test]
    fn without_load_a_potentiometer_is_its_own_mirror(pot in potentiometers(), share in 0.0..=1.0_f64) {
        let spec = pot.spec().clone();
        let unloaded = PotentiometerSpec { load: None, ..spec.clone() };
        let [low, high] = spec.end_resistances;
        let other = PotentiometerSpec { end_resistances: [high, low], ..unloaded.clone() };
        let output = |spec: PotentiometerSpec, share: f64| {
            Potentiometer::new(spec).unwrap().output(share * pot.spec().travel).unwrap()
        };
        let mirrored = spec.supply - output(other, 1.0 - share);
        prop_assert!((output(unloaded, share) - mirrored).abs() < 16.0 * f64::EPSILON * spec.supply);
    }

    #[test]
    fn an_angle_sensor_turned_with_the_field_reads_the_same(
        sensor in angle_sensors(),
        size in 0.02..0.5_f64,
        angle in -PI..PI,
        turn in prop::array::uniform3(-3.0..3.0_f64),
    ) {
        let turn = Rotation3::new(Vector3::from(turn));
        let field = in_plane(&sensor, size, angle);
        let spec = sensor.spec().clone();
        let directions = spec.directions.map(|u| turn * u);
        let turned = AngleSensor::new(AngleSensorSpec { directions, ..spec }).unwrap();
        let [c1, c2] = sensor.components(&field);
        let [t1, t2] = turned.components(&(turn * field));
        // Roundings of three products each, of fields up to 0.5 T at gains up to 1.5.
        prop_assert!((c1 - t1).hypot(c2 - t2) < 32.0 * f64::EPSILON * size);
    }

    #[test]
    fn without_offsets_half_a_turn_is_half_a_turn(
        sensor in angle_sensors(),
        size in 1e-3..0.5_f64,
        angle in -PI..PI,
    ) {
        let spec = AngleSensorSpec { offsets: [0.0; 2], ..sensor.spec().clone() };
        let clean = AngleSensor::new(spec).unwrap();
        let field = in_plane(&clean, size, angle);
        let (here, there) = (clean.angle(&field).unwrap(), clean.angle(&-field).unwrap());
        prop_assert!(((here - there).abs() - PI).abs() < 8.0 * f64::EPSILON);
    }

    #[test]
    fn the_slope_of_an_angle_goes_with_the_turn(
        sensor in angle_sensors(),
        size in 0.1..0.5_f64,
        angle in -PI..PI,
    ) {
        let field = in_plane(&sensor, size, angle);
        let turning = in_plane(&sensor, size, angle + 0.5 * PI);
        let slope = sensor.angle_slope(&field, &turning).unwrap();
        // The field turns around the origin and the offsets stay within it: the reading goes the same way.
        prop_assert!(slope > 0.0);
        let step = 1e-5;
        let at = |turn: f64| sensor.angle(&in_plane(&sensor, size, angle + turn)).unwrap();
        let difference = at(step) - at(-step);
        let quotient = (difference - TAU * (difference / TAU).round()) / (2.0 * step);
        // Third derivatives of some hundred times the square of the step, and roundings of pi over it.
        prop_assert!((slope - quotient).abs() < 1e-6 * (1.0 + slope.powi(3)));
    }

    #[test]
    fn an_output_stays_in_its_range_and_turns_with_the_angle(
        sensor in angle_sensors(),
        angle in -10.0..10.0_f64,
    ) {
        let output = sensor.output(angle).unwrap();
        let [low, high] = sensor.output_range();
        prop_assert!((low..=high).contains(&output));
        // A whole turn on, but for an angle at the edge of a step or of the turn.
        let again = sensor.output(angle + TAU).unwrap();
        let jump = (again - output).abs();
        let step = sensor.step().unwrap_or(0.0) + 1e-9 * (high - low);
        prop_assert!(jump <= step || jump >= (high - low) * (1.0 - 1e-9));
        prop_assert_eq!(sensor.code(angle).unwrap().is_some(), sensor.step().is_some());
    }

    #[test]
    fn small_errors_of_an_angle_are_those_of_the_closed_form(
        size in 0.02..0.5_f64,
        parts in prop::array::uniform4(-1.0..1.0_f64),
        from in -PI..PI,
    ) {
        let small = 1e-4;
        let [o1, o2, gain_mismatch, nonorthogonality] = parts.map(|part| small * part);
        let sensor = AngleSensor::new(AngleSensorSpec {
            offsets: [o1 * size, o2 * size],
            gain_mismatch,
            nonorthogonality,
            ..AngleSensorSpec::new(AngleOutput::Digital { bits: 24 })
        }).unwrap();
        let turned: Vec<f64> = (0..32).map(|i| from + f64::from(i) * TAU / 32.0).collect();
        let fields: Vec<_> = turned.iter().map(|t| in_plane(&sensor, size, *t)).collect();
        let error = AngleError::of(&turned, &sensor.angles(&fields).values).unwrap();
        let closed = sensor.first_order_error(size).unwrap();
        // Squares and products of four errors.
        let second_order = 10.0 * small * small;
        for (turned, error) in turned.iter().zip(error.error()) {
            prop_assert!((closed.at(*turned) - error).abs() < second_order);
        }
        let found = error.harmonics().unwrap();
        prop_assert!((found.first.amplitude - closed.first.amplitude).abs() < second_order);
        prop_assert!((found.second.amplitude - closed.second.amplitude).abs() < second_order);
    }

    #[test]
    fn the_error_of_an_angle_is_that_of_any_turns_more(
        read in prop::collection::vec(-3.0..3.0_f64, 2..50),
        turns in prop::collection::vec(-5..=5_i32, 50),
    ) {
        let turned: Vec<f64> = (0..read.len()).map(|i| 0.1 * i as f64).collect();
        let more: Vec<f64> = read.iter().zip(&turns).map(|(read, turns)| read + TAU * f64::from(*turns)).collect();
        let (one, other) = (AngleError::of(&turned, &read), AngleError::of(&turned, &more));
        let (one, other) = (one.unwrap(), other.unwrap());
        for (a, b) in one.error().iter().zip(other.error()) {
            // Up to rounding, but for a step of just half a turn.
            let turns = (a - b) / TAU;
            prop_assert!((turns - turns.round()).abs() < 1e-12);
        }
        for steps in one.error().windows(2) {
            prop_assert!((steps[1] - steps[0]).abs() <= PI * (1.0 + 1e-12));
        }
        prop_assert!(one.error()[0].abs() <= PI);
    }

    #[test]
    fn more_samples_further_apart_never_add_noise(
        samples in 1..200_usize,
        cutoff in 0.0..5.0_f64,
        interval in -6.0..0.0_f64,
    ) {
        let filter = LowPass::new(10_f64.powf(cutoff)).unwrap();
        let factor = |samples, interval| {
            let mean = Averaging::new(samples, interval).unwrap();
            mean.noise_factor_behind(&filter).unwrap()
        };
        let interval = 10_f64.powf(interval);
        let here = factor(samples, interval);
        // Between white noise and none averaged at all; sums of a few hundred terms.
        let white = (samples as f64).sqrt().recip();
        prop_assert!(here >= white * (1.0 - 1e-12) && here <= 1.0 + 1e-12);
        prop_assert!(factor(samples + 1, interval) <= here * (1.0 + 1e-12));
        prop_assert!(factor(samples, 2.0 * interval) <= here * (1.0 + 1e-12));
    }

    #[test]
    fn a_chain_never_adds_to_the_noise_of_its_parts(
        converter in converters(),
        noise in 0.0..=0.1_f64,
        bandwidth in prop::option::of(0.0..6.0_f64),
        cutoff in prop::option::of(0.0..6.0_f64),
        averaging in prop::option::of((1..300_usize, -6.0..0.0_f64)),
    ) {
        let chain = SignalChain {
            filter: cutoff.map(|cutoff| LowPass::new(10_f64.powf(cutoff)).unwrap()),
            averaging: averaging.map(|(samples, interval)| {
                Averaging::new(samples, 10_f64.powf(interval)).unwrap()
            }),
            ..SignalChain::new(converter.clone())
        };
        let bandwidth = bandwidth.map(|bandwidth| 10_f64.powf(bandwidth));
        let found = chain.noise(noise, bandwidth).unwrap();
        prop_assert!(found.sensor <= noise * (1.0 + 1e-12));
        prop_assert!(found.converter <= converter.noise());
        prop_assert!(found.quantization <= converter.quantization_noise() * (1.0 + 1e-12));
        prop_assert!(found.total() >= found.random());
        prop_assert!(chain.group_delay() >= 0.0);
        // Nothing is lower than white noise averaged.
        let count = chain.averaging.map_or(1.0, |mean| mean.samples() as f64);
        let passed = match (chain.filter, bandwidth) {
            (Some(filter), Some(bandwidth)) => filter.noise_share(bandwidth).unwrap(),
            _ => 1.0,
        };
        prop_assert!(found.sensor >= noise * passed / count.sqrt() * (1.0 - 1e-12));
    }

    #[test]
    fn any_numbers_give_a_sensor_or_an_error(values in prop::array::uniform11(anything())) {
        let [supply, nominal_supply, quiescent, sensitivity, rail_low, rail_headroom, noise, depth, x, y, z] = values;
        let sensor = LinearHall::new(LinearHallSpec {
            supply, nominal_supply, quiescent, sensitivity, rail_low, rail_headroom, noise, depth,
            direction: Vector3::new(x, y, z),
            ..LinearHallSpec::new(5.0, 25.0)
        });
        if let Ok(sensor) = sensor {
            prop_assert!(sensor.flux_range().iter().all(|b| b.is_finite()));
        }
    }

    #[test]
    fn one_bad_number_spoils_the_sensor(sensor in sensors(), bad in garbage(), place in 0..8_usize) {
        let mut values = [
            sensor.supply(), sensor.nominal_supply(), sensor.quiescent(), sensor.sensitivity(),
            sensor.rail_low(), sensor.rail_headroom(), sensor.noise(), sensor.depth(),
        ];
        let build = |v: [f64; 8]| LinearHall::new(LinearHallSpec {
            supply: v[0], nominal_supply: v[1], quiescent: v[2], sensitivity: v[3],
            rail_low: v[4], rail_headroom: v[5], noise: v[6], depth: v[7],
            direction: sensor.direction(),
            ..LinearHallSpec::new(5.0, 25.0)
        });
        prop_assert_eq!(build(values), Ok(sensor.clone()));
        values[place] = bad;
        prop_assert!(build(values).is_err());
    }

    #[test]
    fn garbage_is_refused_everywhere_else(bad in garbage(), converter in converters(), bits in any::<u32>()) {
        prop_assert!(Converter::new(12, bad, Rounding::Down, 0.0).is_err());
        prop_assert!(Converter::new(12, 3.3, Rounding::Down, bad).is_err());
        prop_assert_eq!(Converter::new(bits, 3.3, Rounding::Down, 0.0).is_ok(), (6..=24).contains(&bits));
        prop_assert!(converter.effective_bits(bad).is_err());
        prop_assert!(bits_from_snr_db(bad).is_err());
        prop_assert!(noise_from_density(bad, 25.0, 1e3).is_err());
        prop_assert!(noise_from_density(1e-7, bad, 1e3).is_err());
        prop_assert!(noise_from_density(1e-7, 25.0, bad).is_err());
        prop_assert!(LowPass::new(bad).is_err() && LowPass::from_rc(bad, 1e-6).is_err());
        prop_assert!(Averaging::new(4, bad).is_err() && AngleError::of(&[0.0, bad], &[0.0, 0.1]).is_err());
        prop_assert!(SignalChain::new(converter).noise(bad, None).is_err());
    }

    #[test]
    fn one_bad_number_spoils_the_potentiometer(pot in potentiometers(), bad in garbage(), place in 0..9_usize) {
        let mut spec = pot.spec().clone();
        prop_assert_eq!(Potentiometer::new(spec.clone()), Ok(pot.clone()));
        *match place {
            0 => &mut spec.travel,
            1 => &mut spec.mechanical_travel,
            2 => &mut spec.resistance,
            3 => &mut spec.end_resistances[1],
            4 => &mut spec.linearity,
            5 => &mut spec.noise,
            6 => &mut spec.noise_resistance,
            7 => &mut spec.supply,
            _ => &mut spec.center,
        } = bad;
        prop_assert!(Potentiometer::new(spec.clone()).is_err());
        let spec = PotentiometerSpec { load: Some(bad), ..pot.spec().clone() };
        prop_assert!(Potentiometer::new(spec).is_err());
        prop_assert!(pot.output(bad).is_err() && pot.share(bad).is_err() && pot.angle_for(bad).is_err());
    }

    #[test]
    fn one_bad_number_spoils_the_angle_sensor(sensor in angle_sensors(), bad in garbage(), place in 0..8_usize) {
        let mut spec = sensor.spec().clone();
        prop_assert_eq!(AngleSensor::new(spec.clone()), Ok(sensor.clone()));
        *match place {
            0 => &mut spec.directions[0].y,
            1 => &mut spec.depth,
            2 => &mut spec.offsets[1],
            3 => &mut spec.gain_mismatch,
            4 => &mut spec.nonorthogonality,
            5 => &mut spec.noise,
            6 => &mut spec.working_flux[1],
            _ => &mut spec.zero,
        } = bad;
        // A direction of any length is one, but it is no longer at right angles.
        prop_assert!(AngleSensor::new(spec).is_err() || (place == 0 && bad.is_finite()));
        prop_assert_eq!(sensor.output(bad).is_err(), true);
        prop_assert_eq!(sensor.angle(&Vector3::new(bad, 0.0, 0.0)).is_ok(), bad.is_finite());
    }

    #[test]
    fn averaging_gains_half_a_bit_a_doubling(samples in 1..500_000_000_usize) {
        let gain = bits_from_averaging(2 * samples).unwrap() - bits_from_averaging(samples).unwrap();
        // Rounding of bits up to 15.
        prop_assert!((gain - 0.5).abs() < 15.0 * f64::EPSILON);
    }
}
