//! Sensors and converter against published values.

use nalgebra::Vector3;
use yokewright::hall::{
    Averaging, Converter, LinearHall, LinearHallSpec, LowPass, Potentiometer, PotentiometerSpec,
    Rounding, bits_from_averaging, bits_from_snr_db, noise_from_density, ratiometry_error,
};
use yokewright::units::{DEG, GAUSS, KHZ, MT, MV, MV_PER_MT, UT, UV};

use crate::cases::Cases;

const ROWS: &str = include_str!("hall.toml");

fn rows() -> Cases {
    Cases::parse(ROWS)
}

/// The 5 V part that the data sheet rows speak of; each test sets what its row gives.
fn part() -> LinearHallSpec {
    LinearHallSpec {
        supply: 5.0,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 25.0 * MV_PER_MT,
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.0,
        depth: 0.0,
        direction: Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    }
}

fn converter(bits: f64, reference: f64) -> Converter {
    Converter::new(bits as u32, reference, Rounding::Nearest, 0.0).unwrap()
}

#[test]
fn every_row_is_used() {
    rows().assert_all_used_in(include_str!("hall.rs"));
}

#[test]
fn ratiometric_scaling() {
    let rows = rows();
    let case = rows.get("ratiometric_example");
    let sensor = LinearHall::new(LinearHallSpec {
        supply: case.input("supply_V"),
        nominal_supply: case.input("supply_ref_V"),
        quiescent: case.input("quiescent_ref_V"),
        sensitivity: case.input("sens_ref_mV_per_G") * (MV / GAUSS),
        ..part()
    });
    let sensor = sensor.unwrap();
    case.check(&[
        ("quiescent_V", sensor.quiescent_output()),
        ("sens_mV_per_G", sensor.gain() / (MV / GAUSS)),
    ]);
}

#[test]
fn noise_as_flux_density() {
    let rows = rows();
    let case = rows.get("noise_field_equiv");
    let noise = case.input("noise_uV_rms") * UV;
    let sensitivity = case.input("sens_mV_per_mT") * MV_PER_MT;
    // At any supply: it is the flux density that stays.
    for supply in [4.5, 5.0, 5.5] {
        let sensor = LinearHall::new(LinearHallSpec {
            supply,
            noise,
            sensitivity,
            ..part()
        });
        let sensor = sensor.unwrap();
        case.check(&[("noise_uT_rms", sensor.output_noise() / sensor.gain() / UT)]);
    }
}

#[test]
fn usable_flux_span() {
    let rows = rows();
    let case = rows.get("saturation_span");
    let spec = LinearHallSpec {
        quiescent: case.input("quiescent_V"),
        sensitivity: case.input("sens_mV_per_mT") * MV_PER_MT,
        rail_low: case.input("out_low_V"),
        ..part()
    };
    let rail_headroom = spec.supply - case.input("out_high_V");
    let sensor = LinearHall::new(LinearHallSpec {
        rail_headroom,
        ..spec
    })
    .unwrap();
    let [low, high] = sensor.flux_range();
    case.check(&[("B_plus_mT", high / MT), ("B_minus_mT", low / MT)]);
}

#[test]
fn ideal_signal_to_noise_ratio() {
    let rows = rows();
    for id in ["adc_snr_8", "adc_snr_10", "adc_snr_12", "adc_snr_14"] {
        let case = rows.get(id);
        let converter = converter(case.input("bits"), 5.0);
        case.check(&[("SNR_dB", converter.ideal_snr_db())]);
    }
}

#[test]
fn step_and_quantization_noise() {
    let rows = rows();
    let case = rows.get("adc_12bit_3v3");
    let converter = converter(case.input("bits"), case.input("reference_V"));
    case.check(&[
        ("lsb_mV", converter.lsb() / MV),
        ("noise_mV_rms", converter.quantization_noise() / MV),
    ]);
}

#[test]
fn effective_bits_of_a_measured_ratio() {
    let rows = rows();
    let case = rows.get("adc_enob");
    case.check(&[("ENOB", bits_from_snr_db(case.input("SINAD_dB")).unwrap())]);
}

#[test]
fn effective_bits_of_a_measured_noise() {
    let rows = rows();
    let case = rows.get("adc_enob_1241");
    let converter = converter(case.input("bits"), 3.3);
    let noise = case.input("NAD_lsb_rms") * converter.lsb();
    case.check(&[("ENOB", converter.effective_bits(noise).unwrap())]);
}

#[test]
fn bits_gained_by_averaging() {
    let rows = rows();
    for id in [
        "adc_oversample_2",
        "adc_oversample_4",
        "adc_oversample_16",
        "adc_oversample_64",
        "adc_oversample_256",
    ] {
        let case = rows.get(id);
        let bits = bits_from_averaging(case.input("ratio") as usize).unwrap();
        // The decibels that those bits are worth, by the library's own decibels per bit.
        let per_bit =
            (converter(24.0, 5.0).ideal_snr_db() - converter(6.0, 5.0).ideal_snr_db()) / 18.0;
        case.check(&[("extra_bits", bits), ("SNR_gain_dB", bits * per_bit)]);
    }
}

#[test]
fn a_short_throw_leaves_little_of_a_potentiometer() {
    let rows = rows();
    let case = rows.get("turn_pot_300");
    let supply = case.input("supply_V");
    let sensor = Potentiometer::new(PotentiometerSpec::new(
        case.input("travel_deg") * DEG,
        supply,
    ))
    .unwrap();
    let volts = sensor.output(case.input("throw_deg") * DEG).unwrap();
    assert!(
        volts > 0.0 && volts < case.expected("output_below_V"),
        "{volts}"
    );
}

#[test]
fn a_short_throw_uses_little_of_a_half_turn() {
    let rows = rows();
    let case = rows.get("turn_half");
    let supply = case.input("supply_V");
    let sensor = Potentiometer::new(PotentiometerSpec::new(
        case.input("travel_deg") * DEG,
        supply,
    ))
    .unwrap();
    let percent = 100.0 * sensor.share(case.input("throw_deg") * DEG).unwrap();
    let allowed = case.expected("share_above_pct")..case.expected("share_below_pct");
    assert!(allowed.contains(&percent), "{percent}");
}

fn typical(name: &str) -> LinearHall {
    LinearHall::named(name).unwrap()
}

#[test]
fn the_continuous_class_is_that_of_its_data_sheet() {
    let rows = rows();
    let case = rows.get("class_continuous_25mV_mT");
    let sensor = typical("continuous 5 V 25 mV/mT");
    assert_eq!(sensor.supply(), case.input("supply_V"));
    let variation = sensor.variation();
    assert_eq!(variation.reference_celsius, case.input("T_C"));
    let spread = variation.sensitivity_tolerance;
    let gain = sensor.sensitivity() / MV_PER_MT;
    let (quiescent, offset) = (sensor.quiescent(), variation.quiescent_tolerance);
    let [low, high] = sensor.output_range();
    // Up to 10 kHz, of white noise, as it was measured.
    let density = sensor.noise_density().unwrap();
    let noise = density * sensor.sensitivity() * (10.0 * KHZ).sqrt();
    case.check(&[
        ("sensitivity_mV_per_mT", gain),
        ("sensitivity_min_mV_per_mT", gain * (1.0 - spread)),
        ("sensitivity_max_mV_per_mT", gain * (1.0 + spread)),
        ("quiescent_V", quiescent),
        ("quiescent_min_V", quiescent - offset),
        ("quiescent_max_V", quiescent + offset),
        ("out_high_typ_V", high),
        ("out_low_typ_V", low),
        ("bandwidth_kHz", sensor.bandwidth().unwrap() / KHZ),
        ("noise_uV_rms_10kHz", noise / UV),
    ]);
}

#[test]
fn the_other_continuous_parts_are_those_of_their_data_sheets() {
    let rows = rows();
    let case = rows.get("class_continuous_13mV_mT");
    let sensor = typical("continuous 5 V 13 mV/mT");
    let gain = sensor.sensitivity() / MV_PER_MT;
    case.check(&[
        ("sensitivity_mV_per_mT", gain),
        (
            "sensitivity_min_mV_per_mT",
            gain * (1.0 - sensor.variation().sensitivity_tolerance),
        ),
    ]);
    let case = rows.get("class_50mV_mT");
    let sensor = typical("continuous 5 V 50 mV/mT");
    case.check(&[
        ("sensitivity_mV_per_mT", sensor.sensitivity() / MV_PER_MT),
        ("quiescent_V", sensor.quiescent_output()),
    ]);
}

#[test]
fn the_class_with_a_fixed_output_is_that_of_its_data_sheet() {
    let rows = rows();
    let case = rows.get("class_fixed_output");
    let sensors = [11, 23, 45, 90].map(|gain| typical(&format!("fixed output {gain} mV/mT")));
    let allowed = case.input("supply_min_V")..=case.input("supply_max_V");
    let gain = |i: usize| sensors[i].gain() / MV_PER_MT;
    for sensor in &sensors {
        assert!(allowed.contains(&sensor.supply()));
        let [low, high] = sensor.output_range();
        // From 25 to 125 degC.
        let hot = sensor.at_temperature(125.0).unwrap();
        case.check(&[
            ("quiescent_V", sensor.quiescent_output()),
            ("out_low_V", low),
            ("out_high_V", high),
            ("sensitivity_a_mV_per_mT", gain(0)),
            ("sensitivity_b_mV_per_mT", gain(1)),
            ("sensitivity_c_mV_per_mT", gain(2)),
            ("sensitivity_d_mV_per_mT", gain(3)),
            (
                "sensitivity_drift_over_T_pct",
                100.0 * (hot.gain() / sensor.gain() - 1.0),
            ),
        ]);
    }
}

#[test]
fn the_chopped_class_is_that_of_its_data_sheet() {
    let rows = rows();
    let case = rows.get("class_modern_3V3_5V");
    let sensors =
        ["100", "50", "25", "12.5"].map(|gain| typical(&format!("chopped 5 V {gain} mV/mT")));
    let gain = |i: usize| sensors[i].gain() / MV_PER_MT;
    for sensor in &sensors {
        assert_eq!(sensor.supply(), case.input("supply_V"));
        let variation = sensor.variation();
        assert_eq!(variation.reference_celsius, case.input("T_C"));
        let warmer = sensor.at_temperature(26.0).unwrap();
        assert_eq!(sensor.rail_low(), sensor.rail_headroom());
        case.check(&[
            ("sensitivity_a_mV_per_mT", gain(0)),
            ("sensitivity_b_mV_per_mT", gain(1)),
            ("sensitivity_c_mV_per_mT", gain(2)),
            ("sensitivity_d_mV_per_mT", gain(3)),
            (
                "sensitivity_tol_pct",
                100.0 * variation.sensitivity_tolerance,
            ),
            ("bandwidth_kHz", sensor.bandwidth().unwrap() / KHZ),
            (
                "noise_density_nT_per_sqrtHz",
                sensor.noise_density().unwrap() / (1e-3 * UT),
            ),
            ("rail_margin_V", sensor.rail_low()),
            (
                "sens_tempco_pct_per_K",
                100.0 * (warmer.gain() / sensor.gain() - 1.0),
            ),
        ]);
    }
    let case = rows.get("class_modern_3V3");
    let sensors =
        ["60", "30", "15", "7.5"].map(|gain| typical(&format!("chopped 3.3 V {gain} mV/mT")));
    let gain = |i: usize| sensors[i].gain() / MV_PER_MT;
    for sensor in &sensors {
        assert_eq!(sensor.supply(), case.input("supply_V"));
        case.check(&[
            ("sensitivity_a_mV_per_mT", gain(0)),
            ("sensitivity_b_mV_per_mT", gain(1)),
            ("sensitivity_c_mV_per_mT", gain(2)),
            ("sensitivity_d_mV_per_mT", gain(3)),
            ("quiescent_V", sensor.quiescent_output()),
        ]);
    }
}

#[test]
fn ratiometry_error_by_its_definition() {
    let rows = rows();
    let case = rows.get("ratiometry_error_def");
    let (supply, nominal) = (case.input("Vdd_V"), 5.0);
    let error = ratiometry_error(case.input("Vout_V"), supply, case.input("Vout_5V"), nominal);
    case.check(&[("err_pct", 100.0 * error.unwrap())]);
}

/// Textbook figures of the filter and of the mean, written out.
#[test]
fn filter_and_mean_have_their_textbook_figures() {
    // 10 kilohm and 100 nF: 159.2 Hz, 1 ms, 250 Hz of noise bandwidth (1 / (4 R C)).
    let filter = LowPass::from_rc(10e3, 100e-9).unwrap();
    assert!((filter.cutoff() - 159.2).abs() < 0.05);
    assert!((filter.noise_bandwidth() - 250.0).abs() < 1e-9);
    // 100 nT/sqrt(Hz) at 50 V/T up to 250 Hz of noise bandwidth: 5 uV/sqrt(Hz) sqrt(250 Hz) = 79.06 uV.
    let noise = noise_from_density(100e-9, 50.0, filter.cutoff()).unwrap();
    assert!((noise - 79.06 * UV).abs() < 0.005 * UV);
    let mean = Averaging::new(64, 1e-3).unwrap();
    assert_eq!(mean.noise_factor(), 0.125);
    assert_eq!(mean.group_delay(), 31.5e-3);
}

/// 10 kilohm into 100 kilohm: 4/27 of a tenth is 1.48 %, by the exact divider 1.45 %.
#[test]
fn a_loaded_potentiometer_bows_by_its_rule() {
    let spec = PotentiometerSpec {
        load: Some(100e3),
        ..PotentiometerSpec::new(300.0 * DEG, 5.0)
    };
    let pot = Potentiometer::new(spec).unwrap();
    let percent = 100.0 * pot.max_loading_error() / 5.0;
    // At two thirds: 2/3 - 1 / (1.5 + 1/30) = 1.449 %, and hardly more where it is worst.
    assert!((percent - 1.45).abs() < 0.005, "{percent}");
}
