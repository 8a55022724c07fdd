//! What callers of the spring wires rely on.

use yokewright::source::{Provenance, Source};
use yokewright::spring::{
    ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily, WireSpec, WireStrength,
};
use yokewright::units::MM;
use yokewright::{Error, Result};

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.expect_err("this must be refused").to_string()
}

fn wire_with(change: impl FnOnce(&mut WireSpec)) -> Result<Wire> {
    let mut spec = Wire::named("ASTM A228").unwrap().spec().clone();
    change(&mut spec);
    Wire::new(spec)
}

#[test]
fn every_row_of_the_table_stands() {
    // Seven ASTM wires, five classes of EN 10270-1, one of EN 10270-3: a row that failed its checks would be missing.
    assert_eq!(Wire::all().len(), 13);
    for wire in Wire::all() {
        assert_eq!(Wire::named(wire.name()).as_ref(), Ok(wire));
        assert_eq!(Wire::new(wire.spec().clone()).as_ref(), Ok(wire));
        let [min, max] = wire.diameter_range();
        assert!(min < max);
        assert!(wire.standard_diameters().len() >= 10, "{wire}");
        for &diameter in wire.standard_diameters().iter().chain(&[min, max]) {
            let least = wire.tensile_strength(diameter).unwrap();
            assert!((4e8..4e9).contains(&least), "{wire}: {diameter} {least}");
            if let Some(greatest) = wire.max_tensile_strength(diameter).unwrap() {
                assert!(greatest > least);
            }
            assert!(
                wire.elastic_modulus(diameter).unwrap() > wire.shear_modulus(diameter).unwrap()
            );
        }
        for outside in [0.999 * min, 1.001 * max] {
            let error = wire.tensile_strength(outside).unwrap_err();
            assert!(
                matches!(error, Error::WireDiameter { .. }),
                "{wire}: {error}"
            );
        }
        assert!(!wire.sources().is_empty());
    }
}

#[test]
fn thicker_wire_is_never_stronger() {
    for wire in Wire::all() {
        let [min, max] = wire.diameter_range();
        let mut last = f64::INFINITY;
        for step in 0..=2000 {
            let diameter = min * (max / min).powf(f64::from(step) / 2000.0);
            let strength = wire.tensile_strength(diameter).unwrap();
            // Where two bands of a power law meet they differ by the rounding of their constants: 1.2 % at most.
            assert!(strength <= 1.012 * last, "{wire}: {diameter}");
            last = strength;
        }
    }
}

#[test]
fn diameters_outside_the_table_name_its_range() {
    let wire = Wire::named("ASTM A228").unwrap();
    assert_eq!(
        text(wire.tensile_strength(0.05 * MM)),
        "wire ASTM A228 has no strength at a diameter of 0.05 mm: its table runs from 0.1 to 6.5 mm; choose a diameter \
            within, or another wire"
    );
    assert!(text(wire.shear_modulus(2.0)).contains("did you mean 2 * MM?"));
    assert!(text(wire.elastic_modulus(f64::NAN)).contains("NaN"));
    // Gauge 0.1 mm came by way of inches.
    assert!(wire.tensile_strength(0.1 / 25.4 * (25.4 * MM)).is_ok());
}

#[test]
fn an_unknown_wire_lists_the_nearest() {
    let message = text(Wire::named("ASTM A288"));
    assert!(
        message.starts_with("spring wire 'ASTM A288' is not known; nearest to it: ASTM A228"),
        "{message}"
    );
    assert!(text(ModuliBand::named("B 197", 1.0 * MM)).contains("ASTM B197"));
}

#[test]
fn a_wire_of_your_own() {
    let wire = Wire::new(WireSpec {
        name: "drawn bar".to_owned(),
        family: WireFamily::Tempered,
        strength: WireStrength::Steps {
            from: 1.0 * MM,
            steps: vec![
                StrengthStep {
                    up_to: 2.0 * MM,
                    min: 1.5e9,
                },
                StrengthStep {
                    up_to: 3.0 * MM,
                    min: 1.4e9,
                },
            ],
        },
        moduli: vec![ModuliBand {
            up_to: f64::INFINITY,
            elastic: 206e9,
            shear: 79.5e9,
        }],
        density: 7850.0,
        min_celsius: None,
        max_celsius: 150.0,
        standard_diameters: vec![1.0 * MM, 2.0 * MM],
        sources: vec![Source {
            covers: "strength".to_owned(),
            text: "certificate of the coil".to_owned(),
            provenance: Provenance::Seen,
        }],
    })
    .unwrap();
    assert_eq!(wire.standard_diameters(), [1.0 * MM, 2.0 * MM]);
    assert_eq!(wire.tensile_strength(2.0 * MM), Ok(1.5e9));
    assert_eq!(wire.tensile_strength(2.001 * MM), Ok(1.4e9));
    assert_eq!(wire.max_tensile_strength(2.0 * MM), Ok(None));
    assert!(wire.to_string().contains("certificate of the coil (seen)"));
}

#[test]
fn figures_that_no_wire_has_are_refused() {
    let listed = |rows: &[(f64, f64, f64)]| {
        let row = |&(d, least, greatest): &(f64, f64, f64)| ListedStrength {
            diameter: d * MM,
            min: least,
            max: greatest,
        };
        WireStrength::Listed(rows.iter().map(row).collect())
    };
    let power = |bands: &[([f64; 2], f64)]| {
        let band = |&(ends, exponent): &([f64; 2], f64)| PowerBand {
            diameters: ends.map(|d| d * MM),
            strength_at_1_mm: 2e9,
            exponent,
        };
        WireStrength::Power(bands.iter().map(band).collect())
    };
    let refusals: [(Result<Wire>, &str); 16] = [
        (
            wire_with(|s| s.name = " ".to_owned()),
            "letters of the wire's name",
        ),
        (wire_with(|s| s.sources.clear()), "sources of the wire"),
        (
            wire_with(|s| s.moduli.clear()),
            "bands of the elastic moduli",
        ),
        (
            wire_with(|s| s.moduli[0].up_to = f64::NAN),
            "diameter of a band of moduli is NaN",
        ),
        (wire_with(|s| s.moduli[0].shear = 210e9), "E / (2 G)"),
        (
            wire_with(|s| s.moduli.swap(0, 1)),
            "diameters of the bands of moduli",
        ),
        (wire_with(|s| s.density = 7.85), "density = 7.85 kg/m3"),
        (
            wire_with(|s| s.max_celsius = f64::INFINITY),
            "highest temperature of use",
        ),
        (
            wire_with(|s| s.min_celsius = Some(130.0)),
            "lowest temperature of use",
        ),
        (
            wire_with(|s| s.standard_diameters = vec![1.0 * MM, 1.0 * MM]),
            "standard diameters",
        ),
        (
            wire_with(|s| s.standard_diameters = vec![1.0 * MM, 20.0 * MM]),
            "no strength at a diameter of 20 mm",
        ),
        (
            wire_with(|s| s.strength = listed(&[])),
            "rows of the tensile strength: 0 given",
        ),
        (
            wire_with(|s| s.strength = listed(&[(1.0, 2e9, 1e9)])),
            "least and greatest strength",
        ),
        (
            wire_with(|s| s.strength = listed(&[(1.0, 1e9, 2e9), (0.5, 1e9, 2e9)])),
            "diameters of the strengths",
        ),
        (
            wire_with(|s| s.strength = power(&[([0.1, 1.0], 0.1), ([1.1, 2.0], 0.1)])),
            "start of a band of strength",
        ),
        (
            wire_with(|s| s.strength = power(&[([0.1, 1.0], -0.1)])),
            "exponent of the strength",
        ),
    ];
    for (result, words) in refusals {
        let message = text(result);
        assert!(message.contains(words), "{message} lacks: {words}");
    }
}
