//! Rods over their whole domain, and garbage.

use proptest::prelude::*;
use yokewright::linkage::{Buckling, Rod, RodEnds, RodMaterial, RodSection};

use crate::strategies::{anything, decades};

/// A few roundings of products and powers.
const ROUNDING: f64 = 32.0 * f64::EPSILON;

fn ends() -> impl Strategy<Value = RodEnds> {
    prop::sample::select(vec![
        RodEnds::PinnedPinned,
        RodEnds::FixedPinned,
        RodEnds::FixedFixed,
        RodEnds::FixedFree,
    ])
}

fn rods() -> impl Strategy<Value = Rod> {
    let section = (decades(-3.0..=-0.5), prop::option::of(0.011..0.49_f64));
    let material = (decades(9.0..=11.5), decades(-3.5..=-2.0));
    (section, material, decades(0.1..=3.5), ends(), 1.0..2.0_f64).prop_map(
        |((outer, wall), (modulus, strain), aspect, ends, margin)| {
            let section = match wall {
                Some(share) => RodSection::tube(outer, share * outer),
                None => RodSection::round(outer),
            };
            let material = RodMaterial::new(modulus, strain * modulus).unwrap();
            let length = (aspect * outer).clamp(1e-3, 50.0);
            let factor = margin * ends.theoretical_factor();
            Rod::new(section.unwrap(), material, length, ends, factor).unwrap()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn a_tube_is_a_bar_less_its_bore(outer in decades(-3.0..=-0.5), share in 0.011..0.49_f64) {
        let tube = RodSection::tube(outer, share * outer).unwrap();
        let bar = RodSection::round(outer).unwrap();
        prop_assert!((tube.inner_diameter() - outer * (1.0 - 2.0 * share)).abs() <= ROUNDING * outer);
        if let Ok(bore) = RodSection::round(tube.inner_diameter()) {
            prop_assert!((tube.area() - (bar.area() - bore.area())).abs() <= ROUNDING * bar.area());
            let difference = bar.second_moment() - bore.second_moment();
            prop_assert!((tube.second_moment() - difference).abs() <= ROUNDING * bar.second_moment());
        }
        let gyration = (tube.second_moment() / tube.area()).sqrt();
        prop_assert!((tube.radius_of_gyration() - gyration).abs() <= ROUNDING * gyration);
    }

    /// The formulas by slenderness, as texts print them: Euler pi^2 E A / s^2, Johnson A (Sy - (Sy s / (2 pi))^2 / E).
    #[test]
    fn critical_stress_by_slenderness(rod in rods()) {
        let (e, sy, s) = (rod.material().modulus(), rod.material().yield_strength(), rod.slenderness());
        let area = rod.section().area();
        let pi = std::f64::consts::PI;
        let euler = pi * pi * e * area / (s * s);
        let johnson = area * (sy - (sy * s / (2.0 * pi)).powi(2) / e);
        prop_assert!((rod.euler_load() - euler).abs() <= ROUNDING * euler);
        prop_assert!((rod.johnson_load() - johnson).abs() <= ROUNDING * (rod.yield_load() + johnson.abs()));
        let slender = rod.buckling() == Buckling::Euler;
        prop_assert_eq!(rod.critical_load(), if slender { rod.euler_load() } else { rod.johnson_load() });
        // Euler's hyperbola lies above the parabola everywhere but where they touch.
        prop_assert!(rod.euler_load() >= rod.johnson_load() * (1.0 - ROUNDING));
        prop_assert!(rod.critical_load() > 0.0 && rod.critical_load() <= rod.yield_load());
        if slender {
            prop_assert!(rod.critical_load() <= 0.5 * rod.yield_load() * (1.0 + ROUNDING));
        } else {
            prop_assert!(rod.critical_load() >= 0.5 * rod.yield_load() * (1.0 - ROUNDING));
        }
    }

    #[test]
    fn loads_and_safety(rod in rods(), safety in 1.0..10.0_f64) {
        let allowed = rod.allowable_load(safety).unwrap();
        let pressed = rod.loaded_by(-allowed).unwrap();
        prop_assert!((pressed.safety - safety).abs() <= ROUNDING * safety);
        let pulled = rod.loaded_by(rod.yield_load()).unwrap();
        prop_assert!((pulled.safety - 1.0).abs() <= ROUNDING);
        prop_assert!((pulled.stress - rod.material().yield_strength()).abs() <= ROUNDING * pulled.stress);
        prop_assert_eq!(rod.loaded_by(0.0).unwrap().safety, f64::INFINITY);
    }

    /// The bar of the least diameter bears the load with just that safety, whichever formula holds for it.
    #[test]
    fn the_least_diameter_bears_the_load(rod in rods(), share in decades(-2.0..=0.0), safety in 1.0..5.0_f64) {
        let press = share * rod.critical_load();
        if let Ok(diameter) = rod.min_diameter(press, safety) {
            let bar = RodSection::round(diameter).unwrap();
            let bar = Rod::new(bar, rod.material(), rod.length(), rod.ends(), rod.factor()).unwrap();
            // The load grows with the second to fourth power of the diameter.
            let bears = bar.critical_load() / (press * safety);
            prop_assert!((bears - 1.0).abs() <= 8.0 * ROUNDING || (diameter == 1e-4 && bears > 1.0));
        } else {
            // None thinner than the rod is long.
            let bar = RodSection::round(rod.length().min(1.0)).unwrap();
            let bar = Rod::new(bar, rod.material(), rod.length(), rod.ends(), rod.factor()).unwrap();
            prop_assert!(bar.critical_load() < press * safety * (1.0 + ROUNDING));
        }
    }

    #[test]
    fn a_rod_of_anything_is_a_rod_or_an_error(values in prop::array::uniform8(anything()), ends in ends()) {
        let [outer, wall, modulus, strength, length, factor, force, safety] = values;
        let sound = (RodSection::round(0.01).unwrap(), RodMaterial::new(2e11, 2e8).unwrap());
        let sections = [RodSection::round(outer), RodSection::tube(outer, wall), RodSection::tube(0.02, wall),
            Ok(sound.0)];
        for section in sections.into_iter().flatten() {
            prop_assert!(section.area().is_finite() && section.second_moment() > 0.0);
            for material in [RodMaterial::new(modulus, strength), Ok(sound.1)].into_iter().flatten() {
                for (length, factor) in [(length, factor), (1.5, factor), (length, ends.theoretical_factor()), (1.5,
                    ends.theoretical_factor())] {
                    let Ok(rod) = Rod::new(section, material, length, ends, factor) else { continue };
                    prop_assert!(rod.critical_load() > 0.0 && rod.critical_load().is_finite());
                    if let Ok(load) = rod.loaded_by(force) {
                        prop_assert!(load.stress.is_finite() && load.safety >= 0.0);
                    }
                    if let Ok(load) = rod.allowable_load(safety) {
                        prop_assert!(load > 0.0 && load.is_finite());
                    }
                    if let Ok(diameter) = rod.min_diameter(force, safety) {
                        prop_assert!(diameter > 0.0 && diameter <= rod.length());
                    }
                }
            }
        }
    }
}
