use serde_json::{Value, json};

use super::*;

/// Figures of an invented axis, some of them changed.
fn figures(changes: &[(&str, Value)]) -> AxisFigures {
    let line = json!({"offset": 0.0, "slope": 1.0});
    let mut value = json!({
        "code_range": [1000, 3000], "max_code": 4000,
        "flux_span": 0.1, "volts_span": 2.0, "gain_flux": 0.5, "gain_volts": 10.0, "gain_counts": 8192.0,
        "linearity_flux": null,
        "linearity": {
            "independent": 0.008, "terminal_based": 0.02, "zero_based": 0.01,
            "independent_line": line, "terminal_based_line": line, "zero_based_line": line,
        },
        "monotonic_range": [-0.1, 0.1], "monotonic": true, "clipped_share": 0.0, "ratio": 1.0, "lever": null,
        "step_quantization_center": 1.0 * DEG, "step_quantization_worst": 2.0 * DEG,
        "step_noise_center": 3.0 * DEG, "step_noise_worst": 4.0 * DEG,
        "effective_bits": 9.5, "clearance": 2.0 * MM,
    });
    for (key, change) in changes {
        value[key] = change.clone();
    }
    serde_json::from_value(value).expect("possible figures")
}

#[test]
fn each_target_is_answered_by_its_figure_in_its_unit() {
    let figures = figures(&[("clipped_share", json!(0.25))]);
    let cases = [
        (Target::RangeUsed, 50.0, "%", TargetSense::AtLeast, "points"),
        (Target::Linearity, 0.8, "%", TargetSense::AtMost, "points"),
        (Target::Clipped, 25.0, "%", TargetSense::AtMost, "points"),
        (Target::Step, 4.0, "deg", TargetSense::AtMost, "deg"),
        (
            Target::EffectiveBits,
            9.5,
            "bits",
            TargetSense::AtLeast,
            "bits",
        ),
        (Target::Clearance, 2.0, "mm", TargetSense::AtLeast, "mm"),
    ];
    assert_eq!(cases.len(), Target::KEYS.len());
    for ((target, expected, unit, sense, margin), (keyed, key)) in
        cases.into_iter().zip(Target::KEYS)
    {
        assert_eq!(target, keyed);
        // The key tells unit and sense as well.
        let words = match (sense, unit) {
            (TargetSense::AtLeast, "%") => "min_percent".to_owned(),
            (TargetSense::AtMost, "%") => "max_percent".to_owned(),
            (TargetSense::AtLeast, "bits") => "bits_min".to_owned(),
            (TargetSense::AtLeast, unit) => format!("min_{unit}"),
            (TargetSense::AtMost, unit) => format!("max_{unit}"),
        };
        assert!(key.ends_with(&words), "{key}");
        let got = target.figure(&figures).expect("it has a value");
        // A few roundings.
        assert!((got - expected).abs() < 1e-12, "{target:?}: {got}");
        let verdict = Verdict::new(target, expected, &figures);
        assert_eq!(
            (target.unit(), target.sense(), verdict.margin_unit()),
            (unit, sense, margin)
        );
        assert_eq!(
            (verdict.target(), verdict.wanted(), verdict.got()),
            (target, expected, Some(got))
        );
    }
}

#[test]
fn the_worse_of_count_and_noise_is_the_step() {
    let step = |count: f64, noise: f64| {
        let changes = [
            ("step_quantization_worst", json!(count * DEG)),
            ("step_noise_worst", json!(noise * DEG)),
        ];
        Target::Step
            .figure(&figures(&changes))
            .expect("it has a value")
    };
    assert!((step(2.0, 0.5) - 2.0).abs() < 1e-15);
    assert!((step(0.5, 2.0) - 2.0).abs() < 1e-15);
    assert_eq!(
        Target::Step.figure(&figures(&[("step_noise_worst", json!(null))])),
        None
    );
    assert_eq!(
        Target::Step.figure(&figures(&[("step_quantization_worst", json!(null))])),
        None
    );
}

#[test]
fn close_ends_at_a_tenth_of_what_was_wanted() {
    let state = |target, wanted, key, value: f64| {
        let verdict = Verdict::new(target, wanted, &figures(&[(key, json!(value))]));
        (verdict.state(), verdict.margin().expect("it has a value"))
    };
    // Whole numbers in bits, so that the edge itself can be hit: a tenth of 10 is 1.
    let bits = |got| state(Target::EffectiveBits, 10.0, "effective_bits", got);
    assert_eq!(bits(11.0), (VerdictState::Met, 1.0));
    assert_eq!(bits(10.0), (VerdictState::Met, 0.0));
    assert_eq!(bits(9.75), (VerdictState::Close, -0.25));
    assert_eq!(bits(9.0), (VerdictState::Close, -1.0));
    assert_eq!(bits(8.9999).0, VerdictState::Missed);
    // The other way round, with parts that a double holds: at most 20 %, close up to 22 %.
    let clipped = |got| state(Target::Clipped, 20.0, "clipped_share", got);
    assert_eq!(clipped(0.1875), (VerdictState::Met, 1.25));
    assert_eq!(clipped(0.21875), (VerdictState::Close, -1.875));
    assert_eq!(clipped(0.25), (VerdictState::Missed, -5.0));
    // Nothing is close to a target of zero.
    assert_eq!(
        state(Target::Clipped, 0.0, "clipped_share", 1e-9).0,
        VerdictState::Missed
    );
    assert_eq!(
        state(Target::Clipped, 0.0, "clipped_share", 0.0).0,
        VerdictState::Met
    );
    let none = Verdict::new(
        Target::EffectiveBits,
        1.0,
        &figures(&[("effective_bits", json!(null))]),
    );
    assert_eq!(
        (none.state(), none.got(), none.margin()),
        (VerdictState::Missed, None, None)
    );
    assert!(
        none.to_string().contains("no value   at least 1 bits"),
        "{none}"
    );
    assert!(VerdictState::Met < VerdictState::Close && VerdictState::Close < VerdictState::Missed);
}

#[test]
fn a_verdict_in_words() {
    let figures = figures(&[]);
    let text = |target, wanted| Verdict::new(target, wanted, &figures).to_string();
    let words = |target, wanted| {
        let text: String = text(target, wanted);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        words(Target::RangeUsed, 45.0),
        "met range used 50 % at least 45 % 5 points to spare"
    );
    assert_eq!(
        words(Target::RangeUsed, 52.0),
        "close range used 50 % at least 52 % 2 points short of it"
    );
    assert_eq!(
        words(Target::Linearity, 0.5),
        "missed independent linearity 0.8 % at most 0.5 % 0.3 points too much"
    );
    assert_eq!(
        words(Target::Step, 5.0),
        "met smallest step 4 deg at most 5 deg 1 deg to spare"
    );
    assert_eq!(
        words(Target::Clipped, 0.0),
        "met clipped part of the throw 0 % at most 0 % 0 points to spare"
    );
    assert_eq!(
        words(Target::Clearance, 1.5),
        "met clearance 2 mm at least 1.5 mm 0.5 mm to spare"
    );
    // Columns stand one under the other.
    assert_eq!(
        text(Target::RangeUsed, 45.0).find(" %"),
        text(Target::Linearity, 0.5).find(" %")
    );
}

#[test]
fn what_the_curve_hides_is_said() {
    let of = |target, changes: &[(&str, Value)]| {
        Verdict::new(target, 1.0, &figures(changes))
            .qualification()
            .map(str::to_owned)
    };
    let clipped = [("clipped_share", json!(0.125))];
    let turning = [("monotonic", json!(false))];
    for target in [Target::RangeUsed, Target::EffectiveBits] {
        assert_eq!(of(target, &[]), None);
        assert_eq!(
            of(target, &clipped).as_deref(),
            Some("12.5 % of the throw is clipped")
        );
        assert_eq!(
            of(target, &turning).as_deref(),
            Some("the reading turns back")
        );
    }
    assert_eq!(of(Target::Clearance, &clipped), None);
    assert_eq!(of(Target::Linearity, &turning), None);
}

#[test]
fn three_digits_count() {
    for (value, text) in [
        (0.0, "0"),
        (1.0, "1"),
        (0.5, "0.5"),
        (12.345, "12.3"),
        (99.94, "99.9"),
        (99.96, "100"),
        (123.4, "123"),
        (999.6, "1000"),
        (1234.0, "1234"),
        (9999.4, "9999"),
        (9999.6, "10000"),
        (0.012_345, "0.0123"),
        (-0.25, "-0.25"),
        (1e-6, "0.000001"),
        (1e-9, "0"),
        (100.0, "100"),
        (2000.0, "2000"),
    ] {
        assert_eq!(figure(value), text);
    }
    assert_eq!(percent(0.125), "12.5 %");
    assert_eq!(percent(0.0), "0 %");
    assert_eq!(percent(1e-12), "less than 0.000001 %");
}
