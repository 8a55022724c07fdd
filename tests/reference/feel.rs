//! Published control-force figures: that the table holds what the sources print, in SI.

use yokewright::feel::{
    ControlKind, ControlMeasurements, FlyingQualityLevel, GradientRule, GuidanceBound,
    GuidanceFigure, GuidanceMotion, GuidanceQuantity, LBF, PrintedUnit, compare_with_guidance,
    gradient_limits, gradient_rules, guides, min_maneuver_force, noticeable_steps, weight_rules,
};
use yokewright::source::Provenance;

use crate::cases::{Case, Cases, Provenance as Known};

const ROWS: &str = include_str!("feel.toml");

/// Rounding of a product with a unit's factor.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

fn named(name: &str) -> Vec<&'static GuidanceFigure> {
    guides().iter().filter(|guide| guide.name == name).collect()
}

/// The name of a figure in the table, and the unit that its key carries.
fn name_and_unit(key: &str) -> (&str, PrintedUnit) {
    let suffixes = [
        ("_lbf_in_per_D", PrintedUnit::LbfInPerIn),
        ("_lbf", PrintedUnit::Lbf),
        ("_daN", PrintedUnit::Decanewton),
        ("_deg", PrintedUnit::Degree),
        ("_mm", PrintedUnit::Millimeter),
        ("_in", PrintedUnit::Inch),
        ("_N", PrintedUnit::Newton),
    ];
    suffixes
        .iter()
        .find_map(|(suffix, unit)| key.strip_suffix(suffix).map(|name| (name, *unit)))
        .unwrap_or((key, PrintedUnit::Fraction))
}

/// Every figure of a case is in the table, as printed, with the provenance of the case.
fn check_printed(case: &Case) {
    let mut values = Vec::new();
    for key in case.expected.keys() {
        let (name, unit) = name_and_unit(key);
        let found = named(&format!("{}/{name}", case.id));
        assert!(!found.is_empty(), "{}: {key} is not in the table", case.id);
        for guide in found {
            assert_eq!(guide.printed_unit, unit, "{}: {key}", case.id);
            let seen = matches!(case.provenance, Known::Seen);
            assert_eq!(
                guide.provenance == Provenance::Seen,
                seen,
                "{}: {key}",
                case.id
            );
            values.push((key.as_str(), guide.printed));
        }
    }
    case.check(&values);
}

fn si(name: &str) -> f64 {
    named(name).first().expect("a figure of that name").value()
}

#[test]
fn every_row_is_tested() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("feel.rs"));
}

#[test]
fn figures_as_printed() {
    let cases = Cases::parse(ROWS);
    let printed = [
        "cfr23_143_temporary",
        "cfr23_143_yaw_prolonged",
        "cfr25_143",
        "cfr23_397",
        "cfr25_397",
        "mil_f_18372_pedals",
        "mil8785_breakout_I_IIC_IV",
        "mil8785_breakout_IIL_III",
        "mil8785_roll_force",
        "mil1472_pedal_displacement",
        "mil1472_pedal_resistance",
        "mil1472_lever",
        "mil1472_displacement_stick",
        "cs22_143",
        "hfds_grip",
        "brake_pedal_angle",
        "jnd_stiffness",
        "jnd_compliance",
    ];
    for id in printed {
        check_printed(cases.get(id));
    }
    // And nothing but these.
    for guide in guides() {
        let case = guide.name.split('/').next().unwrap_or_default();
        assert!(printed.contains(&case), "{}", guide.name);
    }
}

/// The notes of the rows give newtons and millimetres to three digits.
#[test]
fn figures_in_si() {
    for (name, newtons) in [
        ("cfr23_143_temporary/stick_pitch", 267.0),
        ("cfr23_143_temporary/stick_roll", 133.0),
        ("cfr23_143_temporary/wheel_two_hands_pitch", 334.0),
        ("cfr23_143_temporary/wheel_two_hands_roll", 222.0),
        ("cfr23_143_temporary/wheel_one_hand_roll", 111.0),
    ] {
        assert!((si(name) - newtons).abs() <= 0.5, "{name}: {}", si(name));
    }
    assert!((si("mil_f_18372_pedals/travel_aft") - 0.1016).abs() <= 1e-15);
    assert!((si("mil_f_18372_pedals/adjust_aft") - 0.0762).abs() <= 1e-15);
    // 4, 20, 10, 20, 10, 10 and 180 lbf, which the standard rounds to 18, 90, 45, 90, 45, 45 and 800 N.
    let in_pounds = [
        ("foot_off_min", 4.0),
        ("foot_off_max", 20.0),
        ("foot_on_min", 10.0),
        ("foot_on_max", 20.0),
        ("ankle_only_max", 10.0),
        ("leg_min", 10.0),
        ("leg_max", 180.0),
    ];
    for (key, pounds) in in_pounds {
        let value = si(&format!("mil1472_pedal_resistance/{key}"));
        assert!(
            (value / (pounds * LBF) - 1.0).abs() < 0.02,
            "{key}: {value}"
        );
    }
}

#[test]
fn units() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("unit_lbf");
    case.check(&[
        ("F_N", case.input("F_lbf") * PrintedUnit::Lbf.factor()),
        (
            "F_daN_N",
            case.input("F_daN") * PrintedUnit::Decanewton.factor(),
        ),
    ]);
}

fn rule(operated: ControlKind, level: FlyingQualityLevel) -> &'static GradientRule {
    gradient_rules()
        .iter()
        .find(|rule| rule.operated == operated && rule.level == level)
        .expect("a rule for every level")
}

#[test]
fn gradients_as_printed() {
    let cases = Cases::parse(ROWS);
    let [one, two, three] = [
        FlyingQualityLevel::One,
        FlyingQualityLevel::Two,
        FlyingQualityLevel::Three,
    ]
    .map(|l| rule(ControlKind::Stick, l));
    cases.get("mil8785_gradient_stick").check(&[
        ("L1_max_coeff", one.max_coefficient.unwrap()),
        ("L1_max_cap_lbf_per_g", one.max_cap),
        ("L1_max_floor_coeff", one.max_floor_coefficient.unwrap()),
        ("L1_min_coeff", one.min_coefficient.unwrap()),
        ("L1_min_floor_lbf_per_g", one.min_floor.unwrap()),
        ("L2_max_coeff", two.max_coefficient.unwrap()),
        ("L2_max_cap_lbf_per_g", two.max_cap),
        ("L2_max_floor_coeff", two.max_floor_coefficient.unwrap()),
        ("L2_min_coeff", two.min_coefficient.unwrap()),
        ("L3_max_lbf_per_g", three.max_cap),
        ("L3_min_coeff", three.min_coefficient.unwrap()),
        ("L3_min_floor_lbf_per_g", three.min_floor.unwrap()),
    ]);
    let [one, two, three] = [
        FlyingQualityLevel::One,
        FlyingQualityLevel::Two,
        FlyingQualityLevel::Three,
    ]
    .map(|l| rule(ControlKind::Wheel, l));
    cases.get("mil8785_gradient_wheel").check(&[
        ("L1_max_coeff", one.max_coefficient.unwrap()),
        ("L1_max_cap_lbf_per_g", one.max_cap),
        ("L1_max_floor_coeff", one.max_floor_coefficient.unwrap()),
        ("L1_min_coeff", one.min_coefficient.unwrap()),
        ("L1_min_floor_lbf_per_g", one.min_floor.unwrap()),
        ("L2_max_coeff", two.max_coefficient.unwrap()),
        ("L2_max_cap_lbf_per_g", two.max_cap),
        ("L2_min_coeff", two.min_coefficient.unwrap()),
        ("L3_max_lbf_per_g", three.max_cap),
    ]);
}

/// The rule of the row's note: max = coefficient / (n/alpha), held between floor / (n_L - 1) and the cap; min = the
/// higher of two.
#[test]
fn gradients_by_hand() {
    let limits = |n_per_alpha, limit| {
        gradient_limits(
            ControlKind::Stick,
            FlyingQualityLevel::One,
            n_per_alpha,
            limit,
        )
        .unwrap()
        .map(|value| value.unwrap() / LBF)
    };
    for (n_per_alpha, limit, expected) in [
        (20.0, 7.0, [3.5, 12.0]),       // 21 / 6 and 240 / 20
        (5.0, 7.0, [3.5, 28.0]),        // 48 is held at the cap
        (60.0, 7.0, [3.5, 56.0 / 6.0]), // 4 is held at the floor
        (20.0, 11.0, [3.0, 12.0]),      // 2.1 is held at the floor
    ] {
        let found = limits(n_per_alpha, limit);
        for (found, expected) in found.iter().zip(expected) {
            assert!(
                (found - expected).abs() <= ROUNDING * expected,
                "{found} {expected}"
            );
        }
    }
    assert!(gradient_limits(ControlKind::Pedals, FlyingQualityLevel::One, 20.0, 7.0).is_err());
}

#[test]
fn least_force_by_weight() {
    let cases = Cases::parse(ROWS);
    let rule = |operated| {
        weight_rules()
            .iter()
            .find(|rule| rule.operated == operated)
            .unwrap()
    };
    let (wheel, stick) = (rule(ControlKind::Wheel), rule(ControlKind::Stick));
    cases.get("cfr23_155").check(&[
        ("wheel_weight_divisor", wheel.divisor),
        ("wheel_floor_lbf", wheel.floor),
        ("wheel_cap_lbf", wheel.cap),
        ("stick_weight_divisor", stick.divisor),
        ("stick_floor_lbf", stick.floor),
        ("stick_cap_lbf", stick.cap),
    ]);
    for (pounds, expected) in [(1000.0, 15.0), (2800.0, 20.0), (9000.0, 35.0)] {
        let force = min_maneuver_force(ControlKind::Stick, pounds * LBF).unwrap() / LBF;
        assert!((force - expected).abs() <= ROUNDING * expected, "{force}");
    }
}

/// What is asked of a stick in roll, and where 100 N lies: above 20 lbf of level 1 and below 10 daN by nothing.
#[test]
fn a_curve_set_beside() {
    let measured = ControlMeasurements {
        force: Some(100.0),
        breakout: Some(2.0),
        ..ControlMeasurements::default()
    };
    let standings =
        compare_with_guidance(ControlKind::Stick, GuidanceMotion::Roll, &measured).unwrap();
    let standing = |name: &str| {
        *standings
            .iter()
            .find(|one| one.guide.name == name)
            .expect("a figure for a stick in roll")
    };
    let level_one = standing("mil8785_roll_force/L1_stick_I_IIC_IV");
    assert_eq!(level_one.on_the_side_meant(), Some(false));
    assert!((level_one.above.unwrap() - (100.0 - 20.0 * LBF)).abs() < 1e-12);
    assert_eq!(
        standing("cs22_143/roll_temporary").on_the_side_meant(),
        Some(true)
    );
    let breakout = standing("mil8785_breakout_I_IIC_IV/roll_stick_min");
    assert_eq!(breakout.on_the_side_meant(), Some(false));
    assert_eq!(breakout.guide.bound, GuidanceBound::Least);
    let text = breakout.to_string();
    for words in [
        "at least 2.224 N",
        "0.5 lbf",
        "this control: 2 N, below it",
        "from memory, to be checked",
    ] {
        assert!(text.contains(words), "{words} not in: {text}");
    }
    // Nothing is said of what was not measured, nor of strength.
    for one in &standings {
        let compared = matches!(
            one.guide.quantity,
            GuidanceQuantity::TemporaryForce | GuidanceQuantity::Breakout
        );
        assert_eq!(one.value.is_some(), compared, "{}", one.guide.name);
    }
}

/// A change by one just noticeable difference is one step, in either direction.
#[test]
fn steps_that_are_felt() {
    let fraction = si("jnd_stiffness/weber_fraction_matching");
    for (a, b) in [
        (10.0, 10.0 * (1.0 + fraction)),
        (10.0 * (1.0 + fraction), 10.0),
    ] {
        let steps = noticeable_steps(a, b, fraction).unwrap();
        assert!((steps - 1.0).abs() <= 16.0 * f64::EPSILON, "{steps}");
    }
}
