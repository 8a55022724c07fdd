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
