//! Spring wire over its whole range, and garbage.

use proptest::prelude::*;
use yokewright::spring::{
    ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireSpec, WireStrength,
};

use crate::strategies::anything;

/// Share that a handful of roundings may change.
const ROUNDING: f64 = 8.0 * f64::EPSILON;

fn strengths() -> impl Strategy<Value = WireStrength> {
    let power =
        (anything(), anything(), anything(), anything()).prop_map(|(from, to, a, exponent)| {
            PowerBand {
                diameters: [from, to],
                strength_at_1_mm: a,
                exponent,
            }
        });
    let listed = (anything(), anything(), anything()).prop_map(|(diameter, least, greatest)| {
        ListedStrength {
            diameter,
            min: least,
            max: greatest,
        }
    });
    let step =
        (anything(), anything()).prop_map(|(up_to, least)| StrengthStep { up_to, min: least });
    prop_oneof![
        prop::collection::vec(power, 0..3).prop_map(WireStrength::Power),
        prop::collection::vec(listed, 0..3).prop_map(WireStrength::Listed),
        (anything(), prop::collection::vec(step, 0..3))
            .prop_map(|(from, steps)| WireStrength::Steps { from, steps }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Inside its range every wire has a strength between those of its ends, and a row of the table where there is one.
    #[test]
    fn between_its_ends(wire in prop::sample::select(Wire::all().to_vec()), share in 0.0..=1.0_f64) {
        let [min, max] = wire.diameter_range();
        let diameter = (min * (max / min).powf(share)).clamp(min, max);
        let strength = wire.tensile_strength(diameter).unwrap();
        let [strong, weak] = [min, max].map(|d| wire.tensile_strength(d).unwrap());
        // Interpolating between equal strengths rounds.
        let (weak, strong) = (weak * (1.0 - ROUNDING), strong * (1.0 + ROUNDING));
        prop_assert!((weak..=strong).contains(&strength), "{} {}", wire, diameter);
        let (e, g) = (wire.elastic_modulus(diameter).unwrap(), wire.shear_modulus(diameter).unwrap());
        prop_assert!(e > 2.0 * g && e < 3.0 * g);
    }

    #[test]
    fn any_diameter(wire in prop::sample::select(Wire::all().to_vec()), diameter in anything()) {
        let [min, max] = wire.diameter_range();
        let strength = wire.tensile_strength(diameter);
        prop_assert_eq!(strength.is_ok(), diameter >= min * (1.0 - 1e-9) && diameter <= max * (1.0 + 1e-9));
        prop_assert_eq!(wire.shear_modulus(diameter).is_ok(), strength.is_ok());
        prop_assert!(strength.is_ok_and(f64::is_finite) || wire.elastic_modulus(diameter).is_err());
    }

    #[test]
    fn any_name(name in ".{0,20}") {
        let found = Wire::named(&name);
        prop_assert!(found.is_ok() || found.unwrap_err().to_string().contains("nearest to it"));
    }

    #[test]
    fn wires_of_garbage(strength in strengths(), moduli in prop::collection::vec((anything(), anything(), anything()),
        0..3), density in anything(), max in anything(), diameter in anything()) {
        let band = |(up_to, elastic, shear)| ModuliBand { up_to, elastic, shear };
        let own = Wire::named("ASTM A228").unwrap().spec().clone();
        let wires = [
            WireSpec { strength, standard_diameters: vec![], ..own.clone() },
            WireSpec { moduli: moduli.into_iter().map(band).collect(), ..own.clone() },
            WireSpec { density, max_celsius: max, standard_diameters: vec![diameter], ..own },
        ];
        for wire in wires.into_iter().flat_map(Wire::new) {
            let [min, max] = wire.diameter_range();
            prop_assert!(min <= max);
            for diameter in [diameter, min, max] {
                let known = wire.tensile_strength(diameter).and_then(|_| wire.shear_modulus(diameter));
                prop_assert!(known.is_ok_and(f64::is_finite) || !(min..=max).contains(&diameter));
            }
        }
    }
}
