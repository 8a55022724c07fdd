//! Euler's load and effective lengths against published figures.

use yokewright::linkage::{Buckling, Rod, RodEnds, RodMaterial, RodSection};
use yokewright::units::MM;

use crate::cases::Cases;

const ROWS: &str = include_str!("rods.toml");

/// Exact by definition: one inch in m, one pound-force in N.
const INCH: f64 = 25.4 * MM;
const POUND: f64 = 4.448_221_615_260_5;
const PSI: f64 = POUND / (INCH * INCH);

/// Yield strength where the source gives none; Euler's load does not depend on it.
const SOME_YIELD: f64 = 324e6;

fn pinned(section: RodSection, length: f64, modulus: f64) -> Rod {
    let material = RodMaterial::new(modulus, SOME_YIELD).unwrap();
    Rod::new(section, material, length, RodEnds::PinnedPinned, 1.0).unwrap()
}

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("rods.rs"));
}

#[test]
fn euler_loads() {
    let rows = Cases::parse(ROWS);

    let case = rows.get("euler_tube_1p5");
    let section = RodSection::tube(case.input("outer_d_mm") * MM, case.input("wall_mm") * MM);
    let modulus = case.input("E_GPa") * 1e9;
    let tube = pinned(section.unwrap(), case.input("length_mm") * MM, modulus);
    case.check(&[("P_kN", tube.euler_load() / 1e3)]);
    // The note's squash load, to the digits it prints. More than half of it, so that Johnson's parabola limits this
    // strut.
    assert!((tube.yield_load() - 106.9e3).abs() < 50.0);
    assert_eq!(tube.buckling(), Buckling::Johnson);
    assert!(tube.critical_load() < tube.euler_load());

    let case = rows.get("euler_column_0p5");
    let section = RodSection::round(case.input("diameter_m")).unwrap();
    let column = pinned(section, case.input("length_m"), case.input("E_Pa"));
    case.check(&[("P_N", column.euler_load())]);

    let case = rows.get("euler_rod_half_inch");
    let section = RodSection::round(case.input("diameter_in") * INCH).unwrap();
    let length = case.input("length_in") * INCH;
    let rod = pinned(section, length, case.input("E_psi") * PSI);
    case.check(&[("P_lbf", rod.euler_load() / POUND)]);
    assert_eq!(rod.buckling(), Buckling::Euler);
}

#[test]
fn effective_lengths() {
    let rows = Cases::parse(ROWS);
    for (id, ends) in [
        ("euler_K_pinned_pinned", RodEnds::PinnedPinned),
        ("euler_K_fixed_fixed", RodEnds::FixedFixed),
        ("euler_K_fixed_pinned", RodEnds::FixedPinned),
    ] {
        rows.get(id).check(&[("K", ends.theoretical_factor())]);
    }
    // The note's six digits.
    assert!((RodEnds::FixedPinned.theoretical_factor() - 0.699_156).abs() < 5e-7);
}
