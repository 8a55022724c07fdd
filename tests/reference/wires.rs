//! Strength and moduli of spring wire against published values.

use yokewright::spring::{ModuliBand, Wire, WireFamily, WireStrength};
use yokewright::units::MM;

use crate::cases::{Case, Cases};

const MPA: f64 = 1e6;
const GPA: f64 = 1e9;
const INCH: f64 = 25.4 * MM;
const KPSI: f64 = 6.894_757_293_168e6;

fn rows() -> Cases {
    Cases::parse(include_str!("wires.toml"))
}

#[test]
fn every_row_is_used() {
    rows().assert_all_used_in(include_str!("wires.rs"));
}

#[test]
fn strength_constants() {
    let rows = rows();
    for (id, name) in [
        ("Am_A228", "ASTM A228"),
        ("Am_A229", "ASTM A229"),
        ("Am_A227", "ASTM A227"),
        ("Am_A232", "ASTM A232"),
        ("Am_A401", "ASTM A401"),
        ("Am_A313_a", "ASTM A313"),
        ("Am_A313_b", "ASTM A313"),
        ("Am_A313_c", "ASTM A313"),
        ("Am_B159_a", "ASTM B159"),
        ("Am_B159_b", "ASTM B159"),
        ("Am_B159_c", "ASTM B159"),
    ] {
        let case = rows.get(id);
        let wire = Wire::named(name).unwrap();
        let WireStrength::Power(bands) = &wire.spec().strength else {
            panic!("{name} follows a power law");
        };
        let ends = ["d_min_mm", "d_max_mm"].map(|key| case.input(key) * MM);
        let band = bands.iter().find(|band| band.diameters == ends);
        let band = band.unwrap_or_else(|| panic!("{id}: no band of these diameters"));
        let (a, m) = (band.strength_at_1_mm, band.exponent);
        case.check(&[
            ("m", m),
            ("A_MPa_mm", a / MPA),
            ("A_kpsi_in", a / KPSI / (INCH / MM).powf(m)),
        ]);
        // The middle of the band obeys its own constants.
        let middle = 0.5 * (ends[0] + ends[1]);
        let strength = wire.tensile_strength(middle).unwrap();
        assert!((strength / (a / (middle / MM).powf(m)) - 1.0).abs() < 1e-14);
    }
}

#[test]
fn strength_of_music_wire() {
    let rows = rows();
    let wire = Wire::named("astm a228").unwrap();
    for id in [
        "sut_A228_0p5",
        "sut_A228_1",
        "sut_A228_2",
        "sut_A228_4",
        "sut_A228_5",
    ] {
        let case = rows.get(id);
        let strength = wire.tensile_strength(case.input("wire_d_mm") * MM).unwrap();
        case.check(&[("Sut_MPa", strength / MPA)]);
    }
}

fn check_moduli(case: &Case, moduli: &ModuliBand) {
    let mut values = vec![
        ("E_Mpsi", moduli.elastic / (1e3 * KPSI)),
        ("E_GPa", moduli.elastic / GPA),
        ("G_Mpsi", moduli.shear / (1e3 * KPSI)),
        ("G_GPa", moduli.shear / GPA),
    ];
    values.retain(|(key, _)| case.expected.contains_key(*key));
    case.check(&values);
}

/// Each row at both ends of the diameters it speaks of, in inches.
#[test]
fn elastic_moduli() {
    let rows = rows();
    let any = [0.004, 0.5];
    for (id, name, inches) in [
        ("EG_A228_a", "ASTM A228", [0.004, 0.032]),
        ("EG_A228_b", "ASTM A228", [0.033, 0.063]),
        ("EG_A228_c", "ASTM A228", [0.064, 0.125]),
        ("EG_A228_d", "ASTM A228", [0.1251, 0.25]),
        ("EG_A227_a", "ASTM A227", [0.028, 0.032]),
        ("EG_A227_b", "ASTM A227", [0.033, 0.063]),
        ("EG_A227_c", "ASTM A227", [0.064, 0.125]),
        ("EG_A227_d", "ASTM A227", [0.1251, 0.5]),
        ("EG_A229", "ASTM A229", any),
        ("EG_A230", "ASTM A230", any),
        ("EG_A232", "ASTM A232", any),
        ("EG_A401", "ASTM A401", any),
        ("EG_A313", "ASTM A313", any),
        ("EG_17_7PH_G", "17-7PH", any),
        ("EG_B159", "ASTM B159", any),
        ("EG_B197", "ASTM B197", any),
        ("EG_X750", "Inconel X-750", any),
    ] {
        for end in inches {
            let moduli = ModuliBand::named(name, end * INCH).unwrap();
            check_moduli(rows.get(id), &moduli);
            if let Ok(wire) = Wire::named(name)
                && wire.tensile_strength(end * INCH).is_ok()
            {
                assert_eq!(wire.elastic_modulus(end * INCH), Ok(moduli.elastic));
                assert_eq!(wire.shear_modulus(end * INCH), Ok(moduli.shear));
            }
        }
    }
}

#[test]
fn patented_cold_drawn_wire() {
    let rows = rows();
    let limits = |id: &str, names: &[&str]| {
        let case = rows.get(id);
        let diameter = case.input("wire_d_mm") * MM;
        for name in names {
            let wire = Wire::named(name).unwrap();
            let greatest = wire.max_tensile_strength(diameter).unwrap().unwrap();
            case.check(&[
                ("Rm_min_MPa", wire.tensile_strength(diameter).unwrap() / MPA),
                ("Rm_max_MPa", greatest / MPA),
            ]);
        }
    };
    for id in [
        "en10270_SM_0p3",
        "en10270_SM_0p4",
        "en10270_SM_0p5",
        "en10270_SM_0p6",
        "en10270_SM_0p8",
        "en10270_SM_1p0",
        "en10270_SM_1p2",
        "en10270_SM_1p5",
        "en10270_SM_1p6",
        "en10270_SM_2p0",
        "en10270_SM_2p5",
        "en10270_SM_3p0",
        "en10270_SM_3p5",
        "en10270_SM_4p0",
        "en10270_SM_5p0",
        "en10270_SM_6p0",
        "en10270_SM_8p0",
        "en10270_SM_10p0",
        "en10270_SM_12p0",
        "en10270_SM_20p0",
    ] {
        limits(id, &["EN 10270-1 SM", "EN 10270-1 DM"]);
    }
    for id in [
        "en10270_SHDH_0p30",
        "en10270_SHDH_0p35",
        "en10270_SHDH_0p40",
        "en10270_SHDH_0p45",
        "en10270_SHDH_1p0",
        "en10270_SHDH_2p0",
        "en10270_SHDH_3p0",
        "en10270_SHDH_4p0",
        "en10270_SHDH_5p0",
    ] {
        limits(id, &["EN 10270-1 SH", "EN 10270-1 DH"]);
    }
}

/// The list of class SM is the fit 1980 - 740 log10(d) (MPa, mm) rounded to 10 MPa, which a chord may add to at either
/// end.
#[test]
fn between_listed_diameters_the_logarithm_holds() {
    let wire = Wire::named("EN 10270-1 SM").unwrap();
    let rounding = 12.0 * MPA;
    let mut diameter = 0.3;
    while diameter < 20.0 {
        let fit = (1980.0 - 740.0 * f64::log10(diameter)) * MPA;
        let strength = wire.tensile_strength(diameter * MM).unwrap();
        assert!(
            (strength - fit).abs() < rounding,
            "{diameter} mm: {strength}"
        );
        diameter *= 1.013;
    }
}

#[test]
fn moduli_of_patented_cold_drawn_wire() {
    let rows = rows();
    let case = rows.get("en10270_moduli");
    for class in ["SL", "SM", "DM", "SH", "DH"] {
        let wire = Wire::named(&format!("EN 10270-1 {class}")).unwrap();
        case.check(&[
            ("E_GPa", wire.elastic_modulus(2.0 * MM).unwrap() / GPA),
            ("G_GPa", wire.shear_modulus(2.0 * MM).unwrap() / GPA),
            ("density_kg_per_dm3", wire.density() / 1e3),
            ("T_min_C", wire.min_celsius().unwrap()),
            ("T_max_C", wire.max_celsius()),
        ]);
    }
}

#[test]
fn static_allowables() {
    let percent = |family: WireFamily| 100.0 * family.shares().shear;
    let set_removed = |family: WireFamily| family.shares().shear_set_removed.map(|s| 100.0 * s);
    let (drawn, tempered) = (WireFamily::ColdDrawn, WireFamily::Tempered);
    rows().get("allowable_static").check(&[
        ("music_before_set", percent(drawn)),
        ("qt_before_set", percent(tempered)),
        ("austenitic_before_set", percent(WireFamily::Austenitic)),
        ("nonferrous_before_set", percent(WireFamily::NonFerrous)),
        ("music_after_set_low", set_removed(drawn)[0]),
        ("music_after_set_high", set_removed(drawn)[1]),
        ("qt_after_set_low", set_removed(tempered)[0]),
        ("qt_after_set_high", set_removed(tempered)[1]),
    ]);
}
