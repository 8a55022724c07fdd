//! Sensors and converter over their whole domain.

use nalgebra::Vector3;
use proptest::prelude::*;
use yokewright::hall::{
    Converter, LinearHall, LinearHallSpec, Potentiometer, PotentiometerSpec, Rounding,
    bits_from_averaging, bits_from_snr_db, noise_from_density,
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
    fn a_turn_sensor_is_proportional(travel in 0.1..60.0_f64, supply in 0.5..40.0_f64, share in 0.0..=1.0_f64) {
        let sensor = Potentiometer::new(PotentiometerSpec::new(travel, supply)).unwrap();
        let angle = share * travel;
        // A few roundings.
        prop_assert!((sensor.share(angle).unwrap() - share).abs() < 4.0 * f64::EPSILON);
        prop_assert!((sensor.output(angle).unwrap() - share * supply).abs() < 4.0 * supply * f64::EPSILON);
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
        prop_assert!(Potentiometer::new(PotentiometerSpec::new(bad, 5.0)).is_err());
        prop_assert!(Potentiometer::new(PotentiometerSpec::new(5.0, bad)).is_err());
        let turn = Potentiometer::new(PotentiometerSpec::new(5.0, 5.0)).unwrap();
        prop_assert!(turn.output(bad).is_err() && turn.share(bad).is_err());
    }

    #[test]
    fn averaging_gains_half_a_bit_a_doubling(samples in 1..500_000_000_usize) {
        let gain = bits_from_averaging(2 * samples).unwrap() - bits_from_averaging(samples).unwrap();
        // Rounding of bits up to 15.
        prop_assert!((gain - 0.5).abs() < 15.0 * f64::EPSILON);
    }
}
