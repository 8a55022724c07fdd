use super::*;
use crate::units::{DEG, MM};

fn text(quantity: &'static str, value: f64, min: f64, max: f64, unit: &'static str) -> String {
    within(quantity, value, min, max, unit)
        .unwrap_err()
        .to_string()
}

#[test]
fn hints_where_the_smaller_unit_is_plausible() {
    for (value, min, max, unit, hint) in [
        (5.0, 0.0, 1.0, "m", "; did you mean 5 * MM?"),
        (0.5, 0.0, 0.01, "m", "; did you mean 0.5 * MM?"),
        (-6.0, -3.1, 3.1, "rad", "; did you mean -6 * DEG?"),
        (1300.0, 0.0, 2.5, "T", "; did you mean 1300 * MT?"),
        (13000.0, 0.0, 2.5, "T", "; did you mean 13000 * GAUSS?"),
        (1.0, 0.0, 0.1, "V", "; did you mean 1 * MV?"),
        // Plausible as it is, or not plausible in the smaller unit either.
        (0.015, 1e-5, 0.014, "m", ""),
        (2e6, -1e6, 1e6, "m", ""),
        (3.0, -2.5, 2.5, "T", ""),
        // Calculated, not typed.
        (90.0 * DEG, -1.5, 1.5, "rad", ""),
        (70.0 * DEG, 0.0, 60.0 * DEG, "rad", ""),
        (8.0_f64.sqrt(), 0.0, 2.5, "T", ""),
        (5.0, 0.0, 1.0, "N", ""),
    ] {
        let text = text("thing", value, min, max, unit);
        assert!(text.ends_with(&format!(" {unit}{hint}")), "{text}");
    }
}

#[test]
fn values_are_told_in_few_digits_but_on_their_side_of_the_limit() {
    let limit = 20.0 * MM;
    assert_eq!(
        text("gap", 0.1 + 0.2, 0.0, limit, "m"),
        "gap = 0.3 m is outside 0 to 0.02 m; did you mean 0.3 * MM?"
    );
    assert_eq!(
        text("turn", 90.0 * DEG, 0.0, 60.0 * DEG, "rad"),
        "turn = 1.5708 rad is outside 0 to 1.0472 rad"
    );
    // Six digits would say that the limit itself is refused.
    let just_over = limit * (1.0 + 1e-9);
    assert!(text("gap", just_over, 0.0, limit, "m").starts_with("gap = 0.02000000002 m"));
    let next = f64::from_bits(limit.to_bits() + 8);
    assert_eq!(
        text("gap", next, 0.0, limit, "m"),
        "gap = 0.02000000000000003 m is outside 0 to 0.02 m"
    );
    assert_eq!(
        text("gap", 1e160, 0.0, 1.0, "m"),
        "gap = 1e160 m is outside 0 to 1 m"
    );
    assert_eq!(
        text("gap", -1e-160, 0.0, 1.0, "m"),
        "gap = -1e-160 m is outside 0 to 1 m"
    );
    assert_eq!(
        text("gap", 1e-5, 1e-4, 1.0, "m"),
        "gap = 0.00001 m is outside 0.0001 to 1 m"
    );
}

#[test]
fn a_reversed_pair_is_called_so() {
    let text = |pair| ascending("throw", pair, "rad").unwrap_err().to_string();
    assert_eq!(
        text([0.5, -0.5]),
        "throw: lower end 0.5 rad is not below upper end -0.5 rad; the two look exchanged"
    );
    assert_eq!(
        text([0.5, 0.5]),
        "throw: lower end 0.5 rad is not below upper end 0.5 rad"
    );
}

#[test]
fn what_was_given_is_quoted_on_one_line_and_cut() {
    assert_eq!(echo("N42 mm\u{b2}"), "N42 mm\u{b2}");
    assert_eq!(echo("a\nb\u{1b}[31m"), "a\\nb\\u{1b}[31m");
    let long = echo(&"x".repeat(100_000));
    assert_eq!(long, format!("{}...", "x".repeat(60)));
}
