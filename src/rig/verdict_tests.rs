use serde_json::{Value, json};

use super::*;
use crate::axis::ErrorBudget;
use crate::rig::answers::Mechanics;
use crate::units::{DEG, MM};

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

/// What answers targets where there are figures alone.
fn answers(figures: &AxisFigures) -> Answers<'_> {
    Answers {
        figures: Some(figures),
        ..Answers::default()
    }
}

#[test]
fn each_target_is_answered_by_its_figure_in_its_unit() {
    let figures = figures(&[("clipped_share", json!(0.25))]);
    let with_lever = |changes| {
        let mut value = serde_json::to_value(self::figures(changes)).expect("numbers");
        value["lever"] = json!(0.5);
        serde_json::from_value::<AxisFigures>(value).expect("possible figures")
    };
    let figures_at_grip = with_lever(&[]);
    let cases = [
        (Target::RangeUsed, 50.0, "%"),
        (Target::Counts, 2000.0, "counts"),
        (Target::Linearity, 0.8, "%"),
        (Target::TerminalBasedLinearity, 2.0, "%"),
        (Target::Clipped, 25.0, "%"),
        (Target::Step, 4.0, "deg"),
        (Target::Noise, 4.0, "deg"),
        // The noise at the center, 3 deg, along a circle of half a metre.
        (Target::StepAtGrip, 500.0 * 3.0 * DEG, "mm"),
        (Target::Gain, 8192.0 * DEG, "counts/deg"),
        (Target::GainAtGrip, 8192.0 / 500.0, "counts/mm"),
        (Target::FluxSpan, 100.0, "mT"),
        (Target::OutputSpan, 2.0, "V"),
        (Target::EffectiveBits, 9.5, "bits"),
        (Target::Clearance, 2.0, "mm"),
        (Target::Price, 12.5, ""),
        (Target::Corrected, 0.5, "deg"),
    ];
    for (target, expected, unit) in cases {
        let figures = match target {
            Target::StepAtGrip | Target::GainAtGrip => &figures_at_grip,
            _ => &figures,
        };
        let answers = Answers {
            corrected: Some(0.5 * DEG),
            price: Some(12.5),
            ..answers(figures)
        };
        let got = target.figure(&answers).expect("it has a value");
        // A few roundings.
        assert!(
            (got - expected).abs() < 1e-12 * (1.0 + expected),
            "{target:?}: {got}"
        );
        let verdict = Verdict::new(target, expected, &answers);
        assert_eq!(target.unit(), unit);
        let margin = if unit == "%" { "points" } else { unit };
        assert_eq!(verdict.margin_unit(), margin);
        assert_eq!(
            (verdict.target(), verdict.wanted(), verdict.got()),
            (target, expected, Some(got))
        );
    }
    for target in [
        Target::StepAtGrip,
        Target::GainAtGrip,
        Target::Error,
        Target::Crosstalk,
    ] {
        assert_eq!(target.figure(&answers(&figures)), None, "{target:?}");
    }
}

#[test]
fn mechanics_answer_in_the_unit_of_their_target() {
    let figures = figures(&[]);
    let answers = Answers {
        mechanics: Mechanics {
            end_forces: Some([30.0, 20.0]),
            breakout: Some([3.0, 4.0]),
            centering: Some(0.5 * DEG),
            spring_life: Some(1.5),
            spring_safety: Some(1.25),
            lock_margin: Some(12.0 * DEG),
            swivel_share: Some(0.75),
            rod_force: Some(900.0),
            clearance: Some(25.0 * MM),
        },
        ..answers(&figures)
    };
    for (target, expected) in [
        (Target::EndForceMin, 20.0),
        (Target::EndForceMax, 30.0),
        (Target::BreakoutMin, 3.0),
        (Target::BreakoutMax, 4.0),
        (Target::Centering, 0.5),
        (Target::CenteringCounts, 0.5 * DEG * 8192.0),
        (Target::SpringLife, 1.5),
        (Target::SpringSafety, 1.25),
        (Target::LockMargin, 12.0),
        (Target::Swivel, 75.0),
        (Target::RodForce, 900.0),
        (Target::ObstacleClearance, 25.0),
    ] {
        let got = target.figure(&answers).expect("it has a value");
        assert!((got - expected).abs() < 1e-12, "{target:?}: {got}");
        assert_eq!(target.figure(&self::answers(&figures)), None, "{target:?}");
    }
    // A stick as a whole has no figures of an axis.
    let of_stick = Answers {
        figures: None,
        ..answers
    };
    assert_eq!(Target::ObstacleClearance.figure(&of_stick), Some(25.0));
    assert_eq!(Target::CenteringCounts.figure(&of_stick), None);
    assert_eq!(Target::Counts.figure(&of_stick), None);
}

#[test]
fn the_key_of_a_target_tells_unit_and_sense() {
    for target in Target::ALL {
        let way = match target.sense() {
            TargetSense::AtLeast => "min",
            TargetSense::AtMost => "max",
        };
        let unit = match target.unit() {
            "" => String::new(),
            "%" => "percent".to_owned(),
            unit => unit.replace('/', "_per_"),
        };
        let key = target.key();
        assert!(key.contains(&format!("_{way}")), "{key}");
        let ends = key.ends_with(&unit) || key.ends_with(&format!("{unit}_{way}"));
        assert!(ends, "{key}");
        let [least, most] = target.bounds();
        assert!(least < most, "{key}");
    }
}

#[test]
fn errors_answer_by_the_budget() {
    use crate::axis::ErrorCause;
    let line = |cause: ErrorCause| {
        let angle = match cause {
            ErrorCause::Nonlinearity => 0.25 * DEG,
            ErrorCause::Backlash => 0.5 * DEG,
            _ => 0.0,
        };
        json!({"cause": cause, "angle": angle, "standard_deviation": angle, "share": 0.0, "counts": 0.0})
    };
    let budget: ErrorBudget = serde_json::from_value(json!({
        "contributions": ErrorCause::ALL.map(line).to_vec(),
        "travel": 20.0 * DEG, "counts_per_radian": 100.0, "drift": 0.1 * DEG,
    }))
    .expect("a possible budget");
    let figures = figures(&[]);
    let answers = Answers {
        budget: Some(&budget),
        bend: Some(0.25 * DEG),
        ..answers(&figures)
    };
    let root = 0.25_f64.hypot(0.5);
    for (target, expected) in [
        (Target::Nonlinearity, 0.25),
        (Target::Error, root),
        (Target::ErrorOfThrow, 5.0 * root),
        (Target::WorstError, 0.75),
        (Target::Drift, 0.1),
        (Target::DriftOfThrow, 0.5),
    ] {
        let got = target.figure(&answers).expect("it has a value");
        assert!((got - expected).abs() < 1e-12, "{target:?}: {got}");
    }
}

#[test]
fn a_verdict_is_read_back_as_it_was() {
    let figures = figures(&[("clipped_share", json!(0.125))]);
    for target in Target::ALL {
        let verdict = Verdict::new(target, 7.0, &answers(&figures));
        let mut stored = serde_json::to_value(&verdict).expect("numbers");
        let read: Verdict = serde_json::from_value(stored.clone()).expect("as it was");
        assert_eq!(read, verdict);
        // One whose parts do not agree is none.
        stored["state"] = json!(if verdict.state() == VerdictState::Met {
            "missed"
        } else {
            "met"
        });
        assert!(serde_json::from_value::<Verdict>(stored).is_err());
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
            .figure(&answers(&figures(&changes)))
            .expect("it has a value")
    };
    assert!((step(2.0, 0.5) - 2.0).abs() < 1e-15);
    assert!((step(0.5, 2.0) - 2.0).abs() < 1e-15);
    assert_eq!(
        Target::Step.figure(&answers(&figures(&[("step_noise_worst", json!(null))]))),
        None
    );
    assert_eq!(
        Target::Step.figure(&answers(&figures(&[(
            "step_quantization_worst",
            json!(null)
        )]))),
        None
    );
}

#[test]
fn close_ends_at_a_tenth_of_what_was_wanted() {
    let state = |target, wanted, key, value: f64| {
        let verdict = Verdict::new(target, wanted, &answers(&figures(&[(key, json!(value))])));
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
        &answers(&figures(&[("effective_bits", json!(null))])),
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
    let text = |target, wanted| Verdict::new(target, wanted, &answers(&figures)).to_string();
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
        Verdict::new(target, 1.0, &answers(&figures(changes)))
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
