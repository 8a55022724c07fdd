//! Sensors and converter against published values.

use nalgebra::Vector3;
use yokewright::hall::{
    Converter, LinearHall, LinearHallSpec, Potentiometer, PotentiometerSpec, Rounding,
    bits_from_averaging, bits_from_snr_db,
};
use yokewright::units::{DEG, GAUSS, MT, MV, MV_PER_MT, UT, UV};

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
