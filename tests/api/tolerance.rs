//! Tolerances and yield: closed forms, bits, hostile values, texts.

use yokewright::axis::{
    Distribution, FigureName, FormulaDesign, ImportanceDemand, Sampling, Tolerance, TolerancedAs,
    TolerantDesignDemand, VariedInput, Yield, YieldDemand, YieldStudy, YieldTarget,
    allocate_tolerances, search_tolerant_designs, study_importance, study_what_if, study_yield,
};
use yokewright::{Error, Observer};

/// A length of parts in a row, and twice the first: linear, so that normal parts give a normal sum.
fn stack() -> FormulaDesign {
    let figures = [
        FigureName::new("height", "m"),
        FigureName::new("twice", "m"),
    ];
    FormulaDesign::new([("a", 5.0), ("b", 3.0), ("c", 2.0)], figures, |x, y| {
        y[0] = x[0] + 2.0 * x[1] - x[2];
        y[1] = 2.0 * x[0];
        if x[0] > 5.35 {
            // What a builder could not put together.
            return Err(Error::NeverCloses {
                linkage: "stack",
                gap: x[0] - 5.35,
            });
        }
        Ok(())
    })
    .unwrap()
}

fn demand() -> YieldDemand {
    let tolerances = [("a", 0.2), ("b", 0.1), ("c", 0.3)];
    let tolerances = tolerances.map(|(input, p)| Tolerance::plus_minus(input, p).unwrap());
    YieldDemand {
        targets: vec![
            YieldTarget::within("height", 8.8, 9.25).unwrap(),
            YieldTarget::at_most("twice", 10.1).unwrap(),
        ],
        ..YieldDemand::new(tolerances.to_vec())
    }
}

/// Standard deviation of the height: hypot(0.1, 2 x 0.05, 0.15).
const SPREAD: f64 = 0.206_155_281_280_883_03;

#[test]
fn a_linear_chain_has_the_normal_answer() {
    for (sampling, errors) in [
        (Sampling::Random, 4.5),
        (Sampling::Sobol { replicates: 16 }, 0.4),
    ] {
        let demand = YieldDemand {
            builds: 1 << 17,
            sampling,
            ..demand()
        };
        let study = study_yield(&stack(), &demand).unwrap();
        // So many standard errors of random builds; the seed is fixed. Quasi-random builds are nearer.
        let root = (demand.builds as f64).sqrt();
        let height = study.spread("height").unwrap();
        // Builds beyond 3.5 standard deviations of a are not there: 0.02 % of them, which takes 0.4 thousandths.
        let taken = 4e-4;
        let mean = height.mean().unwrap();
        assert!(
            (mean - 9.0).abs() < errors * SPREAD / root + taken * SPREAD,
            "{mean}"
        );
        let deviation = height.standard_deviation().unwrap();
        assert!((deviation / SPREAD - 1.0).abs() < errors / (2.0 * root).min(root) + 5.0 * taken);
        // Phi((9.25 - 9) / sd) - Phi((8.8 - 9) / sd), SciPy; P(a < 5.05) = Phi(0.5), table.
        for (target, expected) in study.targets().iter().zip([0.721_385_8, 0.691_462_5]) {
            let error = (expected * (1.0 - expected) / demand.builds as f64).sqrt();
            let share = target.share();
            assert!(
                (share - expected).abs() < errors * error + 2.0 * taken,
                "{share} {expected}"
            );
            let interval = target.interval;
            assert!(
                interval.low < expected + 2.0 * taken && expected - 2.0 * taken < interval.high
            );
            assert!(interval.low <= share && share <= interval.high);
        }
        assert_eq!(study.failures().len(), 1);
        let failure = &study.failures()[0];
        assert_eq!(failure.reason, "cannot be assembled");
        // Beyond 3.5 standard deviations: 2.33e-4.
        let expected = 2.326e-4 * demand.builds as f64;
        assert!((failure.count as f64 - expected).abs() < 5.0 * expected.sqrt());
        assert_eq!(height.missing(), failure.count);
    }
}

#[test]
fn quantiles_and_histograms_are_those_of_the_normal_distribution() {
    for builds in [60_000, 400_000] {
        let demand = YieldDemand { builds, ..demand() };
        let study = study_yield(&stack(), &demand).unwrap();
        let height = study.spread("height").unwrap();
        for (share, deviates) in [
            (0.05, -1.644_853_6),
            (0.5, 0.0),
            (0.9, 1.281_551_6),
            (0.999, 3.090_232_3),
        ] {
            let value = height.quantile(share).unwrap().unwrap();
            let density =
                (-0.5_f64 * deviates * deviates).exp() / (2.0 * std::f64::consts::PI).sqrt();
            let error = (share * (1.0 - share) / builds as f64).sqrt() / density;
            // Five standard errors, and a cell of a long stream.
            let off = (value - 9.0) / SPREAD - deviates;
            assert!(
                off.abs() < 5.0 * error + 0.004,
                "{builds} {share}: {off} {error}"
            );
        }
        let [least, most] = height.ends().unwrap();
        assert_eq!(height.quantile(0.0).unwrap(), Some(least));
        assert_eq!(height.quantile(1.0).unwrap(), Some(most));
        let (edges, counts) = height.histogram(40).unwrap();
        assert_eq!((edges.len(), counts.len()), (41, 40));
        assert_eq!((edges[0], edges[40]), (least, most));
        assert_eq!(counts.iter().sum::<u64>(), height.count());
        let middle: u64 = counts[10..30].iter().sum();
        assert!(middle as f64 > 0.9 * builds as f64);
        assert!(height.quantile(1.5).is_err() && height.quantile(f64::NAN).is_err());
        assert!(height.histogram(0).is_err() && height.histogram(1001).is_err());
    }
}

/// The same bits however a study is cut, and of a study that is stopped and gone on with.
#[test]
fn pieces_change_nothing() {
    for sampling in [Sampling::Random, Sampling::Sobol { replicates: 5 }] {
        let demand = YieldDemand {
            builds: 100_000,
            sampling,
            ..demand()
        };
        let design = stack();
        let whole = study_yield(&design, &demand).unwrap();
        let mut pieces = YieldStudy::new(&design, &demand).unwrap();
        for builds in [1, 7, 4095, 4096, 4097, 8191, 33_333, 99_999, 100_000, 7] {
            pieces.run_to(builds).unwrap();
            assert_eq!(pieces.done(), builds.max(pieces.done()));
        }
        assert_eq!(pieces.result().unwrap(), whole);
    }
}

#[test]
fn a_stop_keeps_what_is_done() {
    let design = stack();
    let demand = YieldDemand {
        builds: 1_000_000_000,
        ..demand()
    };
    let observer = Observer::with_poll(|_| std::ops::ControlFlow::Break(()));
    let mut study = YieldStudy::new(&design, &demand).unwrap();
    study.run_to(5000).unwrap();
    assert_eq!(observer.run(|| study.run()), Err(Error::Stopped));
    let done = study.done();
    assert!(done >= 5000 && done < demand.builds, "{done}");
    let result = study.result().unwrap();
    assert_eq!(result.builds(), done);
    // What was done is what a study of as many builds gives.
    let mut again = YieldStudy::new(&design, &demand).unwrap();
    again.run_to(done).unwrap();
    assert_eq!(again.result().unwrap(), result);
}

/// Shares, values and departures of several causes on one input, in their order whatever that of the list.
#[test]
fn causes_add_up() {
    let design = FormulaDesign::new(
        [("x", 10.0), ("y", 4.0)],
        [FigureName::new("x", "m"), FigureName::new("y", "m")],
        |x, y| {
            y.copy_from_slice(x);
            Ok(())
        },
    )
    .unwrap();
    let narrow = |low: f64, high: f64| Distribution::uniform(low, high).unwrap();
    let scale = Tolerance::common(
        "scale",
        narrow(0.01, 0.01 + 1e-12),
        [
            ("x", 1.0, TolerancedAs::Share),
            ("y", -2.0, TolerancedAs::Share),
        ],
    )
    .unwrap();
    let value = Tolerance::of("x", narrow(20.0, 20.0 + 1e-12), TolerancedAs::Value).unwrap();
    let shift = Tolerance::of("x", narrow(0.5, 0.5 + 1e-12), TolerancedAs::Departure).unwrap();
    for tolerances in [
        [&shift, &scale, &value],
        [&value, &scale, &shift],
        [&scale, &value, &shift],
    ] {
        let demand = YieldDemand::new(tolerances.map(Clone::clone).to_vec());
        let study = study_yield(&design, &demand).unwrap();
        let mean = |name: &str| study.spread(name).unwrap().mean().unwrap();
        assert!((mean("x") - (20.0 * 1.01 + 0.5)).abs() < 1e-9);
        assert!((mean("y") - 4.0 * 0.98).abs() < 1e-9);
        assert_eq!(study.spread("x").unwrap().nominal(), Some(10.0));
        assert_eq!(study.share(), 1.0);
    }
}

#[test]
fn the_worst_builds_are_kept_and_can_be_drawn_again() {
    let design = stack();
    let study = study_yield(&design, &demand()).unwrap();
    let again = YieldStudy::new(&design, &demand()).unwrap();
    assert_eq!(study.worst().len(), 20);
    let mut before = f64::INFINITY;
    for one in study.worst() {
        let same = &again.records(one.build, 1).unwrap()[0];
        assert_eq!(same, one);
        assert!(!one.passed && one.inputs.len() == 3);
        let miss = one.miss.unwrap_or(f64::INFINITY);
        assert!(miss <= before);
        before = miss;
        if let Some(failure) = &one.failure {
            assert!(
                one.inputs[0] > 5.35 && one.figures == [None, None],
                "{failure:?}"
            );
        } else {
            let height = one.inputs[0] + 2.0 * one.inputs[1] - one.inputs[2];
            assert!((one.figures[0].unwrap() - height).abs() < 1e-12);
        }
    }
    // Brute force over all builds says the same.
    let all = again.records(0, 10_000).unwrap();
    let passed = all.iter().filter(|one| one.passed).count() as u64;
    assert_eq!(passed, study.passed());
    let worst = all.iter().filter_map(|one| one.miss).fold(0.0, f64::max);
    let kept = study
        .worst()
        .iter()
        .filter_map(|one| one.miss)
        .fold(0.0, f64::max);
    assert_eq!(worst, kept);
}

#[test]
fn distributions_have_their_moments_and_limits() {
    let sample = Distribution::sample([3.0, 1.0, 2.0]).unwrap();
    // The second: mean and deviation by hand, of the cut normal by SciPy's truncnorm(-1, 2).
    let all = [
        (Distribution::normal(2.0, 0.5).unwrap(), 2.0, 0.5),
        (Distribution::plus_minus(2.0, 0.5).unwrap(), 2.0, 0.25),
        (
            Distribution::plus_minus_covering(2.0, 0.6, 3.0).unwrap(),
            2.0,
            0.2,
        ),
        (
            Distribution::uniform(1.0, 4.0).unwrap(),
            2.5,
            0.866_025_403_784_438_6,
        ),
        (
            Distribution::triangular(0.0, 1.0, 2.0).unwrap(),
            1.0,
            0.408_248_290_463_863,
        ),
        (
            Distribution::truncated_normal(0.0, 1.0, [-1.0, 2.0]).unwrap(),
            TRUNCATED[0],
            TRUNCATED[1],
        ),
        (
            Distribution::truncated_normal(0.0, 1.0, [-2.0, 1.0]).unwrap(),
            -TRUNCATED[0],
            TRUNCATED[1],
        ),
        // So close that it is uniform.
        (
            Distribution::truncated_normal(0.0, 1.0, [1.0, 1.000_01]).unwrap(),
            1.000_005,
            1e-5 / 12f64.sqrt(),
        ),
        (sample.clone(), 2.0, (2.0_f64 / 3.0).sqrt()),
    ];
    for (distribution, mean, deviation) in all {
        assert!(
            (distribution.mean() - mean).abs() < 1e-9 * (1.0 + mean.abs()),
            "{distribution:?}"
        );
        let own = distribution.standard_deviation();
        assert!(
            (own / deviation - 1.0).abs() < 1e-5,
            "{distribution:?} {own}"
        );
        // By their quantiles, midpoint rule: to a thousandth of the deviation.
        let n = 200_000;
        let values: Vec<f64> = (0..n)
            .map(|i| {
                distribution
                    .quantile((f64::from(i) + 0.5) / f64::from(n))
                    .unwrap()
            })
            .collect();
        assert!(values.windows(2).all(|pair| pair[0] <= pair[1]));
        let by_quantiles = values.iter().sum::<f64>() / f64::from(n);
        assert!(
            (by_quantiles - mean).abs() < 1e-3 * deviation,
            "{distribution:?} {by_quantiles}"
        );
        let squares: f64 = values.iter().map(|v| (v - by_quantiles).powi(2)).sum();
        assert!(((squares / f64::from(n)).sqrt() / deviation - 1.0).abs() < 1e-3);
        let wide = distribution.scaled(2.0).unwrap();
        assert!(
            (wide.mean() - mean).abs() < 1e-9
                && (wide.standard_deviation() / own - 2.0).abs() < 1e-6
        );
        let text = serde_json::to_string(&distribution).unwrap();
        assert_eq!(
            serde_json::from_str::<Distribution>(&text).unwrap(),
            distribution
        );
    }
    assert_eq!(sample.quantile(0.34).unwrap(), 2.0);
}

/// SciPy 1.17.1: `truncnorm(-1, 2).mean()` and `.std()`.
const TRUNCATED: [f64; 2] = [0.229_637_179_091_329, 0.720_945_586_859_046];

#[test]
fn nonsense_is_refused() {
    let hostile = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e160, -1e160];
    for bad in hostile {
        assert!(Distribution::normal(bad, 1.0).is_err());
        assert!(Distribution::normal(0.0, bad).is_err());
        assert!(Distribution::uniform(bad, 1.0).is_err());
        assert!(Distribution::uniform(0.0, bad).is_err());
        assert!(Distribution::triangular(0.0, bad, 1.0).is_err());
        assert!(Distribution::truncated_normal(0.0, 1.0, [bad, 1.0]).is_err());
        assert!(Distribution::sample([1.0, bad]).is_err());
        assert!(Tolerance::plus_minus("gap", bad).is_err());
    }
    for zero in [0.0, -0.0, -1.0] {
        assert!(Distribution::normal(0.0, zero).is_err());
        assert!(Tolerance::plus_minus_share("gap", zero).is_err());
        assert!(Distribution::plus_minus_covering(0.0, 1.0, zero).is_err());
        assert!(
            Distribution::normal(0.0, 1.0)
                .unwrap()
                .scaled(zero)
                .is_err()
        );
    }
    assert!(
        Distribution::normal(0.0, 1e-160).is_ok() && Distribution::uniform(-0.0, 1e-160).is_ok()
    );
    assert!(Distribution::uniform(1.0, 1.0).is_err() && Distribution::uniform(2.0, 1.0).is_err());
    assert!(Distribution::triangular(0.0, 3.0, 2.0).is_err());
    assert!(
        Distribution::triangular(0.0, 0.0, 2.0).is_ok()
            && Distribution::triangular(0.0, 2.0, 2.0).is_ok()
    );
    assert!(Distribution::truncated_normal(0.0, 1.0, [8.0, 9.0]).is_err());
    assert!(Distribution::truncated_normal(0.0, 1e-160, [-1.0, 1.0]).is_ok());
    assert!(Distribution::sample(vec![1.0]).is_err());
    assert!(
        Distribution::normal(0.0, 1.0)
            .unwrap()
            .quantile(0.0)
            .is_err()
    );
    let exact = Distribution::normal(0.0, 1.0).unwrap();
    let none: [(&str, f64, TolerancedAs); 0] = [];
    assert!(Tolerance::common("nothing", exact.clone(), none).is_err());
    for factor in [0.0, f64::NAN, 1e160] {
        assert!(
            Tolerance::common("x", exact.clone(), [("x", factor, TolerancedAs::Share)]).is_err()
        );
    }
    assert!(YieldTarget::new("x", None, None).is_err());
    assert!(
        YieldTarget::within("x", 1.0, 1.0).is_err()
            && YieldTarget::at_least("x", f64::NAN).is_err()
    );
    assert!(serde_json::from_str::<YieldTarget>(r#"{"figure":"x","min":2.0,"max":1.0}"#).is_err());
}

#[test]
fn demands_that_make_no_sense_are_refused() {
    let design = stack();
    let refused = |change: fn(&mut YieldDemand)| {
        let mut bad = demand();
        change(&mut bad);
        study_yield(&design, &bad).unwrap_err().to_string()
    };
    let texts = [
        refused(|d| d.tolerances.clear()),
        refused(|d| d.builds = 0),
        refused(|d| d.confidence = 1.0),
        refused(|d| d.confidence = f64::NAN),
        refused(|d| d.keep = 10_001),
        refused(|d| d.sampling = Sampling::Sobol { replicates: 3 }),
        refused(|d| d.targets.push(YieldTarget::at_least("hight", 1.0).unwrap())),
        refused(|d| {
            d.tolerances
                .push(Tolerance::plus_minus("gap", 0.1).unwrap())
        }),
    ];
    assert_eq!(texts[0], "tolerances of a study: 0 given, 1 to 1000 needed");
    assert_eq!(
        texts[6],
        "figure of a build 'hight' is not known; nearest to it: height, twice"
    );
    assert!(
        texts[7].starts_with("input of the design 'gap' is not known"),
        "{}",
        texts[7]
    );
}

#[test]
fn a_result_is_written_and_read() {
    let study = study_yield(
        &stack(),
        &YieldDemand {
            builds: 1000,
            ..demand()
        },
    )
    .unwrap();
    let text = serde_json::to_string(&study).unwrap();
    assert_eq!(serde_json::from_str::<Yield>(&text).unwrap(), study);
    let words = study.to_string();
    assert!(
        words.contains("of 1000 builds meet every target")
            && words.contains("height within 8.8 to 9.25"),
        "{words}"
    );
}

/// Of a sum every index is its share of the variance, first order and total alike; the words name the greatest.
#[test]
fn a_linear_chain_has_the_shares_of_its_variances() {
    let YieldDemand {
        tolerances,
        targets,
        ..
    } = demand();
    let demand = ImportanceDemand {
        targets,
        sampling: Sampling::Sobol { replicates: 8 },
        rows: 1 << 13,
        ..ImportanceDemand::new(tolerances)
    };
    let found = study_importance(&stack(), &demand).unwrap();
    assert_eq!(found.builds(), (1 << 13) * 5);
    let height = found.figure("height").unwrap();
    assert!((height.variance.sqrt() / SPREAD - 1.0).abs() < 0.01);
    // Builds that cannot be take their rows with them.
    assert!(height.rows > 8100 && height.rows < 1 << 13);
    for (one, variance) in height.tolerances.iter().zip([0.01, 0.01, 0.0225]) {
        let exact = variance / (SPREAD * SPREAD);
        for share in [one.first_order, one.total] {
            assert!((share.value - exact).abs() < 0.01, "{one:?} {exact}");
        }
    }
    assert_eq!(height.words(), "c decides: 53 % of the variance of height");
    let twice = found.figure("twice").unwrap();
    assert_eq!(twice.deciding().unwrap().tolerance, "a");
    // What only one moves does not depend on the others at all.
    assert_eq!(twice.tolerances[1].total.value, 0.0);
    let passes = found.of_yield().unwrap();
    assert_eq!(passes.figure.name, "meets every target");
    assert_eq!(passes.rows, 1 << 13);
    assert!(
        passes
            .tolerances
            .iter()
            .all(|one| one.total.value >= one.first_order.value - 0.02)
    );
}

#[test]
fn what_does_not_vary_has_no_importance() {
    let constant = FormulaDesign::new(
        [("a", 5.0)],
        [FigureName::new("y", "m"), FigureName::new("none", "m")],
        |_, y| {
            y[0] = 0.1;
            Ok(())
        },
    )
    .unwrap();
    let demand = ImportanceDemand::new(vec![Tolerance::plus_minus("a", 0.1).unwrap()]);
    let found = study_importance(&constant, &demand).unwrap();
    for name in ["y", "none", "meets every target"] {
        let figure = found.figure(name).unwrap();
        assert!(
            figure.tolerances.is_empty() && figure.deciding().is_none(),
            "{figure:?}"
        );
        assert_eq!(
            figure.words(),
            format!("nothing decides: {name} does not vary")
        );
    }
    for rows in [0, 255, u64::MAX] {
        assert!(
            study_importance(
                &constant,
                &ImportanceDemand {
                    rows,
                    ..demand.clone()
                }
            )
            .is_err()
        );
    }
}

/// With c exact or halved the yield is that of a narrower normal distribution.
#[test]
fn a_closer_tolerance_gains_what_the_integral_says() {
    let demand = YieldDemand {
        builds: 100_000,
        targets: vec![YieldTarget::within("height", 8.8, 9.2).unwrap()],
        ..demand()
    };
    let found = study_what_if(&stack(), &demand, 0.5).unwrap();
    let share = |squares: f64| {
        // 1 - 2 Q(0.2 / sd), by the exact integral of the library's tables below.
        let deviates = 0.2 / squares.sqrt();
        2.0 * normal_share(deviates) - 1.0
    };
    assert!((found.share - share(0.0425)).abs() < 0.006);
    for (row, squares) in found.rows.iter().zip([0.035, 0.035, 0.025_625]) {
        let gain = share(squares) - share(0.0425);
        assert!(
            (row.gain - gain).abs() < 5.0 * row.gain_error + 4e-4,
            "{row:?} {gain}"
        );
        assert!((row.share - found.share - row.gain).abs() < 1e-12);
        assert!(row.gain_error < 0.0015);
    }
    assert_eq!(found.best().unwrap().tolerance, "c");
    let importance = ImportanceDemand::new(demand.tolerances.clone());
    let importance = study_importance(&stack(), &importance).unwrap();
    let words = importance.figure("height").unwrap().words_with(&found);
    let end = "at 0.5 of its tolerance the yield goes from 67 to 79 %";
    assert!(
        words.starts_with("c decides: 5") && words.ends_with(end),
        "{words}"
    );
    assert!(found.to_string().contains("with c at 0.5 of its tolerance"));
    for factor in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(study_what_if(&stack(), &demand, factor).is_err());
    }
}

/// By its series (Abramowitz and Stegun 26.2.10).
fn normal_share(x: f64) -> f64 {
    let (mut term, mut sum) = (x, x);
    for n in 1..60 {
        let n = f64::from(n);
        term *= -x * x / (2.0 * n);
        sum += term / (2.0 * n + 1.0);
    }
    0.5 + sum / (2.0 * std::f64::consts::PI).sqrt()
}

/// Loosened until the yield is just kept: by brute force no single tolerance can be loosened by another step.
#[test]
fn the_loosest_tolerances_keep_the_yield() {
    let demand = YieldDemand {
        builds: 20_000,
        targets: vec![YieldTarget::within("height", 8.8, 9.2).unwrap()],
        ..demand()
    };
    let found = allocate_tolerances(&stack(), &demand, 0.95).unwrap();
    assert!(found.share >= 0.95 && found.share < 0.96 && found.share_before < 0.7);
    // a and b count alike in the height, c half as much again: none is forgotten.
    assert!(
        found
            .factors
            .iter()
            .all(|factor| *factor > 0.1 && *factor < 4.0 * 1.1)
    );
    let check = YieldDemand {
        tolerances: found.tolerances.clone(),
        ..demand.clone()
    };
    assert_eq!(study_yield(&stack(), &check).unwrap().share(), found.share);
    for number in 0..3 {
        let mut looser = check.clone();
        looser.tolerances[number] = demand.tolerances[number]
            .scaled(found.factors[number] * 1.1)
            .unwrap();
        let share = study_yield(&stack(), &looser).unwrap().share();
        assert!(
            share < 0.95 || found.factors[number] * 1.1 > 4.0,
            "{number} {share}"
        );
    }
    // No tolerance makes a design good whose own height is off.
    let off = YieldDemand {
        targets: vec![YieldTarget::at_least("height", 9.5).unwrap()],
        ..demand
    };
    assert!(matches!(
        allocate_tolerances(&stack(), &off, 0.95),
        Err(Error::OutOfRange { .. })
    ));
}

/// A full study of each place of a grid: the search finds one that is no worse, and gives each with the figures that
/// its own study has.
#[test]
fn a_search_loses_to_no_grid() {
    let with = |x: f64, y: f64| {
        let figure = FigureName::new("gain", "(no unit)");
        FormulaDesign::new([("x", x), ("y", y)], [figure], |x, y| {
            y[0] = (3.0 * x[0]).sin() * (2.0 * x[1]).cos() + 0.2 * x[0] - 0.1 * x[1];
            Ok(())
        })
        .unwrap()
    };
    let range = [-1.0, 2.0];
    let varied = ["x", "y"].map(|input| VariedInput {
        input: input.to_owned(),
        min: range[0],
        max: range[1],
    });
    let tolerances = ["x", "y"].map(|input| Tolerance::plus_minus(input, 0.3).unwrap());
    let of_each = YieldDemand {
        builds: 2000,
        targets: vec![YieldTarget::at_least("gain", 0.9).unwrap()],
        ..YieldDemand::new(tolerances.to_vec())
    };
    let demand = TolerantDesignDemand::new(of_each.clone(), varied.to_vec());
    let found = search_tolerant_designs(&with(0.0, 0.0), &demand).unwrap();
    let share = |x: f64, y: f64| study_yield(&with(x, y), &of_each).unwrap().share();
    let steps = 30;
    let at = |i: u32| range[0] + (range[1] - range[0]) * f64::from(i) / f64::from(steps);
    let grid = (0..=steps).flat_map(|i| (0..=steps).map(move |j| (i, j)));
    let best = grid.map(|(i, j)| share(at(i), at(j))).fold(0.0, f64::max);
    assert!(best > 0.4 && best < 1.0, "{best}");
    assert!(
        found.designs.best().unwrap().share >= best,
        "{found:?} {best}"
    );
    assert_eq!(found.designs.found.len(), 20);
    for one in &found.designs.found {
        let own = study_yield(&with(one.values[0], one.values[1]), &of_each).unwrap();
        let (interval, at) = (own.interval(), &one.values);
        assert_eq!(one.share, own.share(), "{at:?}");
        assert_eq!(one.interval, [interval.low, interval.high], "{at:?}");
    }
}

/// The best nominal place stands beside a cliff, the best yield away from it.
#[test]
fn the_tolerant_design_keeps_away_from_the_cliff() {
    let design = FormulaDesign::new(
        [("x", 1.0), ("y", 0.0)],
        [FigureName::new("gain", "(no unit)")],
        |x, y| {
            if x[0] > 2.0 {
                return Err(Error::Collision {
                    part: "package",
                    other: "the magnet".to_owned(),
                    angle_deg: 0.0,
                    overlap: x[0] - 2.0,
                });
            }
            y[0] = x[0] - x[1] * x[1];
            Ok(())
        },
    )
    .unwrap();
    let of_each = YieldDemand {
        builds: 4000,
        targets: vec![YieldTarget::at_least("gain", 1.0).unwrap()],
        ..YieldDemand::new(vec![Tolerance::plus_minus("x", 0.6).unwrap()])
    };
    let varied = [("x", 0.5, 2.0), ("y", -1.0, 1.0)];
    let varied = varied.map(|(input, min, max)| VariedInput {
        input: input.to_owned(),
        min,
        max,
    });
    let demand = TolerantDesignDemand::new(of_each, varied.to_vec());
    let found = search_tolerant_designs(&design, &demand).unwrap();
    let best = found.designs.best().unwrap();
    // Half way between the target and the cliff, and y in the middle: within 1.667 deviations either way, 90.4 %.
    assert!(
        (best.values[0] - 1.5).abs() < 0.05 && best.values[1].abs() < 0.15,
        "{best:?}"
    );
    assert!((best.share - 0.904).abs() < 0.02, "{best:?}");
    let nominal = found.nominal_best.unwrap();
    assert!(
        nominal.values[0] > 1.95 && nominal.share < 0.6,
        "{nominal:?}"
    );
    assert!(nominal.nominal_miss < best.nominal_miss);
    assert!(
        found
            .designs
            .found
            .windows(2)
            .all(|pair| pair[0].share >= pair[1].share)
    );
    assert_eq!(found.designs.tried, found.designs.fitting);
    // A yield that no design gives is none found, and the nearest is told.
    let none = search_tolerant_designs(
        &design,
        &TolerantDesignDemand {
            min_yield: 0.99,
            ..demand.clone()
        },
    )
    .unwrap();
    assert!(none.designs.found.is_empty());
    let nearest = none.designs.nearest.unwrap();
    assert_eq!(nearest.candidate.unwrap().share, best.share);
    assert_eq!(nearest.shortfalls[0].requirement.quantity(), "yield");
    // What makes no sense.
    let refused = |change: fn(&mut TolerantDesignDemand)| {
        let mut bad = demand.clone();
        change(&mut bad);
        assert!(search_tolerant_designs(&design, &bad).is_err());
    };
    refused(|d| d.varied.clear());
    refused(|d| d.places = 0);
    refused(|d| d.min_yield = 1.1);
    refused(|d| d.varied[0].max = 0.5);
    refused(|d| d.varied[0].min = f64::NAN);
    refused(|d| d.varied[0].input = "z".to_owned());
}
