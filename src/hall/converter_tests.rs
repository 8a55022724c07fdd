use super::*;
use crate::Error;

/// 64 steps of exactly 1/16 V.
fn six_bits(rounding: Rounding) -> Converter {
    Converter::new(6, 4.0, rounding, 0.0).unwrap()
}

#[test]
fn a_code_covers_its_step_from_the_lower_end_on() {
    let below = |x: f64| x.next_down();
    let nearest = six_bits(Rounding::Nearest);
    let down = six_bits(Rounding::Down);
    for k in 1..64 {
        let volts = k as f64 / 16.0;
        assert_eq!(down.code(volts).unwrap(), k);
        assert_eq!(down.code(below(volts)).unwrap(), k - 1);
        assert_eq!(nearest.code(volts - 1.0 / 32.0).unwrap(), k);
        assert_eq!(nearest.code(below(volts - 1.0 / 32.0)).unwrap(), k - 1);
    }
}

#[test]
fn beyond_the_ends_the_code_is_held_and_clips() {
    let step = 1.0 / 16.0;
    let ends = [
        (Rounding::Nearest, -0.5 * step, 63.5 * step),
        (Rounding::Down, 0.0, 64.0 * step),
    ];
    for (rounding, first, end) in ends {
        let converter = six_bits(rounding);
        assert!(converter.clips(first - 1e-12) && !converter.clips(first));
        assert!(!converter.clips(end - 1e-12) && converter.clips(end));
        assert_eq!(converter.code(-1e300).unwrap(), 0);
        assert_eq!(converter.code(1e300).unwrap(), 63);
        assert_eq!(converter.code(f64::MAX).unwrap(), 63);
    }
}

#[test]
fn a_voltage_that_is_not_finite_is_refused_or_masked() {
    let converter = six_bits(Rounding::Nearest);
    for volts in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(matches!(
            converter.code(volts),
            Err(Error::NotFinite {
                quantity: "converter input",
                unit: "V",
                ..
            })
        ));
        assert!(converter.clips(volts));
    }
    let codes = converter.codes(&[1.0, f64::NAN, 9.0, f64::NEG_INFINITY]);
    assert_eq!(codes.values, [16, -1, 63, -1]);
    assert_eq!(codes.valid, [true, false, true, false]);
}

#[test]
fn each_slip_is_named() {
    for bits in [0, 5, 25, u32::MAX] {
        let error = Converter::new(bits, 3.3, Rounding::Down, 0.0).unwrap_err();
        assert!(matches!(
            error,
            Error::Count {
                min: 6,
                max: 24,
                ..
            }
        ));
    }
    for (reference, noise, name) in [
        (0.4, 0.0, "converter reference"),
        (f64::NAN, 0.0, "converter reference"),
        (3.3, -1e-6, "converter noise"),
        (3.3, 150.0, "converter noise"),
    ] {
        let error = Converter::new(12, reference, Rounding::Down, noise).unwrap_err();
        assert!(error.to_string().starts_with(name), "{error}");
    }
}

#[test]
fn the_ends_of_each_range_are_allowed_and_nothing_beyond() {
    let new = |bits, reference, noise| Converter::new(bits, reference, Rounding::Down, noise);
    assert!(new(6, 0.5, 0.0).is_ok() && new(24, 20.0, 0.1).is_ok());
    for (reference, noise) in [
        (0.5_f64.next_down(), 0.0),
        (20.0_f64.next_up(), 0.0),
        (3.3, 0.1_f64.next_up()),
    ] {
        assert!(matches!(
            new(12, reference, noise),
            Err(Error::OutOfRange { .. })
        ));
    }
    let converter = new(16, 5.0, 0.0).unwrap();
    for (noise, allowed) in [
        (1e-12, true),
        (1e-12_f64.next_down(), false),
        (5.0, true),
        (5.0_f64.next_up(), false),
    ] {
        assert_eq!(converter.effective_bits(noise).is_ok(), allowed, "{noise}");
    }
    for (ratio, allowed) in [
        (-100.0, true),
        ((-100.0_f64).next_down(), false),
        (300.0, true),
        (300.0_f64.next_up(), false),
    ] {
        assert_eq!(bits_from_snr_db(ratio).is_ok(), allowed, "{ratio}");
    }
    assert!(bits_from_averaging(1_000_000_000).is_ok());
    assert!(bits_from_averaging(1_000_000_001).is_err());
}

#[test]
fn the_highest_code_is_that_of_24_bits() {
    let finest = Converter::new(24, 5.0, Rounding::Nearest, 0.0).unwrap();
    assert_eq!(
        (finest.max_code(), Converter::MAX_CODE),
        (16_777_215, 16_777_215)
    );
    assert_eq!(finest.code(5.0).unwrap(), 16_777_215);
}

#[test]
fn the_input_range_runs_from_the_first_step_to_the_last() {
    // Steps of exactly 1/16 V.
    let range = |rounding| six_bits(rounding).input_range();
    assert_eq!(range(Rounding::Nearest), [-0.03125, 3.96875]);
    assert_eq!(range(Rounding::Down), [0.0, 4.0]);
}

#[test]
fn a_converter_is_told_as_it_was_given() {
    let converter = Converter::new(12, 3.3, Rounding::Down, 1e-3).unwrap();
    assert_eq!((converter.bits(), converter.reference()), (12, 3.3));
    assert_eq!(
        (converter.rounding(), converter.noise()),
        (Rounding::Down, 1e-3)
    );
}

#[test]
fn effective_bits_fall_by_one_when_the_noise_doubles() {
    let converter = Converter::new(16, 5.0, Rounding::Nearest, 0.0).unwrap();
    let ideal = converter.quantization_noise();
    assert_eq!(converter.effective_bits(ideal).unwrap(), 16.0);
    assert_eq!(converter.effective_bits(8.0 * ideal).unwrap(), 13.0);
    for noise in [0.0, -ideal, f64::NAN, 5.1] {
        assert!(converter.effective_bits(noise).is_err());
    }
}

#[test]
fn the_decibel_rule_inverts_itself() {
    for bits in 6..=24 {
        let converter = Converter::new(bits, 1.0, Rounding::Down, 0.0).unwrap();
        let back = bits_from_snr_db(converter.ideal_snr_db()).unwrap();
        // Some roundings of numbers up to 150.
        assert!((back - f64::from(bits)).abs() < 1e-13);
    }
    assert!(bits_from_snr_db(f64::INFINITY).is_err());
    assert!(bits_from_snr_db(1e300).is_err());
}

#[test]
fn averaging_needs_at_least_one_sample() {
    assert_eq!(bits_from_averaging(1).unwrap(), 0.0);
    assert!(matches!(
        bits_from_averaging(0),
        Err(Error::Count { count: 0, .. })
    ));
    assert!(bits_from_averaging(usize::MAX).is_err());
}

#[test]
fn rounding_reads_back_what_it_writes() {
    for rounding in [Rounding::Nearest, Rounding::Down] {
        assert_eq!(rounding.to_string().parse::<Rounding>().unwrap(), rounding);
        let json = serde_json::to_value(rounding).unwrap();
        assert_eq!(json, rounding.to_string());
        assert_eq!(serde_json::from_value::<Rounding>(json).unwrap(), rounding);
    }
    assert_eq!(
        "up".parse::<Rounding>().unwrap_err().to_string(),
        "converter rounding: 'up' is not known; choose one of: nearest, down"
    );
}

#[test]
fn nonlinearity_and_oversampling_are_none_unless_given() {
    let plain = Converter::new(12, 4.096, Rounding::Nearest, 0.8e-3).unwrap();
    assert_eq!((plain.nonlinearity(), plain.oversampling()), (0.0, 1));
    assert_eq!(
        (plain.code_noise(), plain.nonlinearity_noise()),
        (0.8e-3, 0.0)
    );
    let both = plain
        .clone()
        .with_nonlinearity(3.0)
        .unwrap()
        .with_oversampling(16)
        .unwrap();
    assert_eq!((both.nonlinearity(), both.oversampling()), (3.0, 16));
    assert_eq!((both.noise(), both.code_noise()), (0.8e-3, 0.2e-3));
    // 3 lsb of 1 mV over sqrt 3.
    assert!((both.nonlinearity_noise() - 3_f64.sqrt() * 1e-3).abs() < 1e-18);
    // Codes are those of the straight line.
    assert_eq!(both.code(1.2345).unwrap(), plain.code(1.2345).unwrap());
    for lsb in [-1e-9, 1000.1, f64::NAN] {
        let error = plain
            .clone()
            .with_nonlinearity(lsb)
            .unwrap_err()
            .to_string();
        assert!(error.starts_with("integral nonlinearity"), "{error}");
    }
    for count in [0, 65_537] {
        let error = plain
            .clone()
            .with_oversampling(count)
            .unwrap_err()
            .to_string();
        assert!(error.starts_with("conversions for one code"), "{error}");
    }
    assert!(plain.clone().with_nonlinearity(1000.0).is_ok());
    assert!(plain.with_oversampling(65_536).is_ok());
}

#[test]
fn noise_and_distortion_add_by_their_squares() {
    let converter = Converter::new(12, 4.096, Rounding::Nearest, 0.6e-3).unwrap();
    let converter = converter
        .with_nonlinearity(1.5)
        .unwrap()
        .with_oversampling(4)
        .unwrap();
    // In squares of 1 mV: 0.4^2 given, 0.3^2 its own, 1/12 of a step, 2.25/3 of the nonlinearity.
    let total = converter.total_noise(0.4e-3).unwrap();
    assert!((total - 1e-3 * (0.25_f64 + 1.0 / 12.0 + 0.75).sqrt()).abs() < 1e-18);
    // 13/12 are 13 times quantization alone: half of log2 13 bits less.
    let bits = converter.effective_bits(total).unwrap();
    assert!((bits - (12.0 - 0.5 * 13_f64.log2())).abs() < 1e-13);
    for noise in [-1e-9, 4.1, f64::NAN] {
        assert!(converter.total_noise(noise).is_err());
    }
}

#[test]
fn the_nonlinearity_is_near_that_of_a_bow() {
    // The bow of least greatest error, 2 x^2 - 1 over -1 to 1, about its mean and about zero, by the midpoint rule.
    let places = 10_000;
    let bow = |i: i32| 2.0 * (2.0 * (f64::from(i) + 0.5) / f64::from(places) - 1.0).powi(2) - 1.0;
    let mean = (0..places).map(bow).sum::<f64>() / f64::from(places);
    let square = (0..places).map(|i| bow(i).powi(2)).sum::<f64>() / f64::from(places);
    let (about_mean, about_zero) = ((square - mean * mean).sqrt(), square.sqrt());
    // The digits of the docs.
    assert!((about_mean - 0.60).abs() < 0.005 && (about_zero - 0.68).abs() < 0.005);
    assert!((about_mean / (1.0 / 3_f64.sqrt()) - 1.0).abs() < 0.05);
}
