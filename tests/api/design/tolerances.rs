//! Numbers with tolerances.

use yokewright::axis::{Distribution, DistributionSpec};
use yokewright::rig::{Design, KEYS, Problem, ToleranceShape};

const GOOD: &str = include_str!("../../../examples/trainer_stick.toml");

fn with(line: &str, other: &str) -> String {
    assert!(GOOD.contains(line), "{line}");
    GOOD.replacen(line, other, 1)
}

#[test]
fn a_number_keeps_its_tolerance() {
    let plain = Design::parse(GOOD, "stick.toml").expect("it is good");
    assert!(plain.tolerances().is_empty());
    let text = with("gap_mm = 3.3", "gap_mm = { value = 3.3, plus_minus = 0.3 }")
        .replacen(
            "arm_mm = 12.0",
            "arm_mm = { value = 12, plus_minus = 0.2, distribution = \"Uniform\" }",
            1,
        )
        .replacen(
            "depth_mm = 0.5",
            "depth_mm = { value = 0.5, plus_minus = 0.1, distribution = \"triangular\" }",
            1,
        )
        .replacen(
            "noise_mV = 1.0",
            "noise_mV = { value = 1.0, plus_minus = 0.0 }",
            1,
        );
    let design = Design::parse(&text, "stick.toml").unwrap_or_else(|error| panic!("{error}"));
    // The number itself is what it was.
    assert_eq!(design.axes(), plain.axes());
    let told: Vec<(&str, Option<ToleranceShape>)> = design
        .tolerances()
        .iter()
        .map(|tolerance| (tolerance.key(), tolerance.shape()))
        .collect();
    assert_eq!(
        told,
        [
            ("sensor.linear.depth_mm", Some(ToleranceShape::Triangular)),
            ("axis.gap_mm", Some(ToleranceShape::Normal)),
            ("axis.arm_mm", Some(ToleranceShape::Uniform)),
        ]
    );
    let gap = &design.tolerances()[1];
    assert_eq!(
        gap.line(),
        1 + GOOD[..GOOD.find("gap_mm = 3.3").expect("there")]
            .matches('\n')
            .count()
    );
    let by_hand = Distribution::plus_minus(3.3, 0.3).expect("a tolerance");
    assert_eq!(gap.distribution(), &by_hand);
    // Two standard deviations for the plus-minus.
    assert!((gap.distribution().standard_deviation() - 0.15).abs() < 1e-15);
    let arm = design.tolerances()[2].distribution();
    assert!((arm.standard_deviation() - 0.2 / 3_f64.sqrt()).abs() < 1e-12);
    assert!((arm.mean() - 12.0).abs() < 1e-12);
}

#[test]
fn a_plus_minus_may_be_of_any_distribution() {
    let read = |value: &str| {
        let text = with("gap_mm = 3.3", &format!("gap_mm = {value}"));
        let design = Design::parse(&text, "stick.toml").expect("a tolerance");
        let [gap] = design.tolerances() else {
            panic!("{value}: one tolerance");
        };
        (gap.shape(), gap.distribution().clone())
    };
    let (shape, three) = read("{ value = 3.3, plus_minus = 0.3, coverage_factor = 3 }");
    assert_eq!(shape, Some(ToleranceShape::Normal));
    assert!((three.standard_deviation() - 0.1).abs() < 1e-15);

    let (shape, cut) =
        read("{ value = 3.3, plus_minus = 0.3, distribution = \"truncated normal\" }");
    assert_eq!(shape, Some(ToleranceShape::TruncatedNormal));
    // A normal distribution that is cut at two standard deviations has the variance 1 - 2 a phi(a) / (2 Phi(a) - 1),
    // 0.7737413035 at a = 2 (SciPy: truncnorm(-2, 2).var()).
    let sd = 0.15 * 0.773_741_303_5_f64.sqrt();
    assert!(
        (cut.standard_deviation() / sd - 1.0).abs() < 1e-8,
        "{cut:?}"
    );
    let ends = [1e-12, 1.0 - 1e-12].map(|share| cut.quantile(share).unwrap());
    assert!(
        (ends[0] - 3.0).abs() < 1e-9 && (ends[1] - 3.6).abs() < 1e-9,
        "{ends:?}"
    );

    let (shape, sample) = read("{ value = 3.3, sample = [3.5, 3.1, 3.2] }");
    assert_eq!(shape, None);
    let by_hand = Distribution::new(DistributionSpec::Sample {
        values: vec![3.1, 3.2, 3.5],
    });
    assert_eq!(sample, by_hand.unwrap());
}

#[test]
fn a_tolerance_that_is_none_is_told() {
    for (value, key) in [
        ("{ value = 3.3 }", ""),
        ("{ plus_minus = 0.3 }", ""),
        ("{ value = 3.3, plus_minus = -0.3 }", ".plus_minus"),
        ("{ value = 3.3, plus_minus = nan }", ".plus_minus"),
        ("{ value = 3.3, plus_minus = inf }", ".plus_minus"),
        ("{ value = 3.3, plus_minus = 1e160 }", ".plus_minus"),
        ("{ value = 3.3, plus_minus = 300.0 }", ".plus_minus"),
        ("{ value = 300.0, plus_minus = 0.3 }", ".value"),
        ("{ value = \"3.3\", plus_minus = 0.3 }", ".value"),
        (
            "{ value = 3.3, plus_minus = 0.3, distribution = \"flat\" }",
            ".distribution",
        ),
        (
            "{ value = 3.3, plus_minus = 0.3, distribution = 7 }",
            ".distribution",
        ),
        ("{ value = 3.3, plus_minus = 0.3, sigma = 7 }", ".sigma"),
        (
            "{ value = { value = 3.3, plus_minus = 0.3 }, plus_minus = 0.3 }",
            ".value",
        ),
        (
            "{ value = 3.3, plus_minus = 0.3, coverage_factor = 0.0 }",
            ".coverage_factor",
        ),
        (
            "{ value = 3.3, plus_minus = 0.3, coverage_factor = 11 }",
            ".coverage_factor",
        ),
        (
            "{ value = 3.3, plus_minus = 0.3, distribution = \"uniform\", coverage_factor = 2 }",
            ".coverage_factor",
        ),
        (
            "{ value = 3.3, slot = [3.0, 4.0], coverage_factor = 2 }",
            ".coverage_factor",
        ),
        (
            "{ value = 3.3, sample = [3.2, 3.3], plus_minus = 0.3 }",
            ".sample",
        ),
        (
            "{ value = 3.3, sample = [3.2, 3.3], distribution = \"normal\" }",
            ".distribution",
        ),
        ("{ value = 3.3, sample = [3.2] }", ".sample"),
        ("{ value = 3.3, sample = [3.2, 300.0] }", ".sample"),
        ("{ value = 3.3, sample = [3.2, nan] }", ".sample"),
        ("{ value = 3.3, sample = 3.2 }", ".sample"),
        ("{ value = 3.3, slot = [4.0, 3.0] }", ".slot"),
    ] {
        let text = with("gap_mm = 3.3", &format!("gap_mm = {value}"));
        let error = Design::parse(&text, "stick.toml").expect_err(value);
        assert_eq!(error.key, format!("axis.gap_mm{key}"), "{error}");
        assert!(
            matches!(*error.problem, Problem::NotAllowed { .. }),
            "{value}: {error}"
        );
    }
    // What is asked for has none.
    let text = with(
        "step_max_deg = 0.05",
        "step_max_deg = { value = 0.05, plus_minus = 0.01 }",
    );
    assert!(Design::parse(&text, "stick.toml").is_err());
}

#[test]
fn every_number_of_a_part_may_have_one() {
    use yokewright::rig::Allowed;
    let told = ["part", "latency", "cause", "supply", "targets"];
    for key in KEYS.iter() {
        let asked = key.section.ends_with("targets") || key.section.ends_with("error_budget");
        let asked = asked || told.contains(&key.section);
        let number = match key.allowed {
            Allowed::Number(..) => true,
            // A direction is no dimension.
            Allowed::Numbers(..) => !key.unit().is_empty(),
            _ => false,
        };
        let told = [
            "price",
            "current_mA",
            "conversion_ms",
            "foot_force_N",
            "cycles",
        ]
        .contains(&key.name);
        assert_eq!(key.may_vary(), number && !asked && !told, "{}", key.path());
    }
}
