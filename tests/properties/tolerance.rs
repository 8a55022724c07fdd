//! Tolerances of any kind and size: distributions beside their own moments, studies in any pieces.

use proptest::prelude::*;
use yokewright::axis::{
    Distribution, DistributionSpec, FigureName, FormulaDesign, Sampling, Tolerance, TolerancedAs,
    YieldDemand, YieldStudy, YieldTarget, study_yield,
};

use crate::strategies::{anything, decades};

/// Midpoints of the shares at which a quantile is looked at.
const MIDPOINTS: usize = 20_000;
/// What their sum leaves of a standard deviation: a normal distribution has 1.5e-4 of its variance beyond the last
/// midpoint's cell.
const LEFT: f64 = 1e-3;

fn distributions() -> impl Strategy<Value = Distribution> {
    let at = (
        -1e3..1e3_f64,
        decades(-6.0..=3.0),
        0.0..=1.0_f64,
        0.3..3.0_f64,
    );
    let sample = prop::collection::vec(-5.0..5.0_f64, 2..50);
    (0..5_usize, at, sample).prop_filter_map("none", |(kind, (center, size, part, cut), values)| {
        let (low, high) = (center - size, center + size);
        let spec = match kind {
            0 => DistributionSpec::Normal {
                mean: center,
                standard_deviation: size,
            },
            1 => DistributionSpec::Uniform { low, high },
            2 => DistributionSpec::TruncatedNormal {
                mean: center + (part - 0.5) * size,
                standard_deviation: cut * size,
                low,
                high,
            },
            3 => DistributionSpec::Triangular {
                low,
                mode: (low + 2.0 * part * size).min(high),
                high,
            },
            _ => DistributionSpec::Sample {
                values: values.iter().map(|v| center + v * size).collect(),
            },
        };
        Distribution::new(spec).ok()
    })
}

/// A sum with weights, and its square.
fn sum(weights: [f64; 3]) -> FormulaDesign {
    let figures = [FigureName::new("sum", "m"), FigureName::new("square", "m2")];
    FormulaDesign::new(
        [("a", 1.0), ("b", 2.0), ("c", 3.0)],
        figures,
        move |x, y| {
            y[0] = x.iter().zip(weights).map(|(x, w)| x * w).sum();
            y[1] = y[0] * y[0];
            Ok(())
        },
    )
    .unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Mean and standard deviation are those of the quantiles, which ascend.
    #[test]
    fn quantiles_have_the_moments(distribution in distributions()) {
        let shares = (0..MIDPOINTS).map(|i| (i as f64 + 0.5) / MIDPOINTS as f64);
        let values: Vec<f64> = shares.map(|share| distribution.quantile(share).unwrap()).collect();
        prop_assert!(values.windows(2).all(|pair| pair[0] <= pair[1]));
        let n = MIDPOINTS as f64;
        let mean = values.iter().map(|v| v / n).sum::<f64>();
        let variance = values.iter().map(|v| (v - mean) * (v - mean) / n).sum::<f64>();
        let deviation = distribution.standard_deviation();
        // Values of 1e3 round to 1e-13.
        let rounding = 1e-12 * mean.abs();
        prop_assert!((mean - distribution.mean()).abs() < LEFT * deviation + rounding);
        prop_assert!((variance.sqrt() - deviation).abs() < LEFT * deviation + rounding);
    }

    /// Whatever is asked of a distribution, it is one or an error.
    #[test]
    fn distributions_of_garbage(parts in prop::array::uniform4(anything()), kind in 0..5_usize, share in anything()) {
        let [a, b, c, d] = parts;
        let spec = match kind {
            0 => DistributionSpec::Normal { mean: a, standard_deviation: b },
            1 => DistributionSpec::Uniform { low: a, high: b },
            2 => DistributionSpec::TruncatedNormal { mean: a, standard_deviation: b, low: c, high: d },
            3 => DistributionSpec::Triangular { low: a, mode: b, high: c },
            _ => DistributionSpec::Sample { values: parts.to_vec() },
        };
        if let Ok(distribution) = Distribution::new(spec) {
            prop_assert!(distribution.mean().is_finite() && distribution.standard_deviation().is_finite());
            if let Ok(value) = distribution.quantile(share) {
                prop_assert!(value.is_finite());
            }
        }
    }

    /// In any pieces the same study to the last bit, and what it counts adds up.
    #[test]
    fn pieces_change_nothing(
        weights in prop::array::uniform3(-2.0..2.0_f64),
        sizes in prop::array::uniform3(0.01..0.5_f64),
        mut cuts in prop::collection::vec(1_u64..9000, 0..4),
        seed in any::<u64>(),
        replicates in prop::option::of(2_usize..8),
        limit in -8.0..8.0_f64,
    ) {
        let design = sum(weights);
        let tolerances = ["a", "b", "c"].into_iter().zip(sizes);
        let tolerances = tolerances.map(|(input, p)| Tolerance::plus_minus(input, p).unwrap());
        let demand = YieldDemand {
            builds: 9000,
            seed,
            sampling: replicates.map_or(Sampling::Random, |replicates| Sampling::Sobol { replicates }),
            targets: vec![
                YieldTarget::at_least("sum", limit).unwrap(),
                YieldTarget::at_most("square", 30.0).unwrap(),
            ],
            keep: 7,
            ..YieldDemand::new(tolerances.collect())
        };
        let whole = match study_yield(&design, &demand) {
            Ok(whole) => whole,
            // So many builds do not go into the replicates.
            Err(yokewright::Error::Count { .. } | yokewright::Error::OutOfRange { .. }) => return Ok(()),
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        };
        let mut study = YieldStudy::new(&design, &demand).unwrap();
        cuts.sort_unstable();
        for cut in cuts {
            study.run_to(cut).unwrap();
            prop_assert_eq!(study.done(), cut);
        }
        study.run().unwrap();
        prop_assert_eq!(study.result().unwrap(), whole.clone());

        let by_target: Vec<u64> = whole.targets().iter().map(|target| target.passed).collect();
        prop_assert!(by_target.iter().all(|passed| whole.passed() <= *passed && *passed <= 9000));
        prop_assert!(whole.passed() + 9000 >= by_target.iter().sum::<u64>());
        prop_assert!(whole.interval().low <= whole.share() && whole.share() <= whole.interval().high);
        // Counted again one by one.
        let records = study.records(0, 9000).unwrap();
        prop_assert_eq!(records.iter().filter(|record| record.passed).count() as u64, whole.passed());
        for record in &records[..50] {
            let expected: f64 = record.inputs.iter().zip(weights).map(|(x, w)| x * w).sum();
            prop_assert_eq!(record.figures[0], Some(expected));
            prop_assert_eq!(record.passed, expected >= limit && expected * expected <= 30.0);
        }
        let misses: Vec<f64> = whole.worst().iter().map(|record| record.miss.unwrap()).collect();
        prop_assert!(misses.windows(2).all(|pair| pair[0] >= pair[1]));
        let all = records.iter().map(|record| record.miss.unwrap());
        // Those that miss nothing are not kept.
        let most = all.fold(f64::NEG_INFINITY, f64::max);
        prop_assert_eq!(misses.first().copied(), (whole.passed() < 9000).then_some(most));
    }

    /// Mean and standard deviation of a sum of independent parts; six standard errors of 20,000 builds happen to one
    /// study in 5e8.
    #[test]
    fn a_sum_has_the_moments_of_its_parts(
        weights in prop::array::uniform3(0.1..2.0_f64), parts in prop::array::uniform3(distributions()),
        seed in any::<u64>(),
    ) {
        let names = ["a", "b", "c"];
        let tolerances = names.into_iter().zip(&parts);
        let tolerances = tolerances.map(|(input, part)| {
            Tolerance::of(input, part.clone(), TolerancedAs::Value).unwrap()
        });
        let demand = YieldDemand { builds: 20_000, seed, ..YieldDemand::new(tolerances.collect()) };
        let study = study_yield(&sum(weights), &demand).unwrap();
        let height = study.spread("sum").unwrap();
        let mean: f64 = parts.iter().zip(weights).map(|(part, w)| w * part.mean()).sum();
        let squares = parts.iter().zip(weights).map(|(part, w)| (w * part.standard_deviation()).powi(2));
        let deviation = squares.sum::<f64>().sqrt();
        let (errors, rounding) = (6.0 / 20_000_f64.sqrt(), 1e-9);
        prop_assert!((height.mean().unwrap() - mean).abs() < errors * deviation + rounding);
        // The fourth moment of none of these is above that of the normal distribution by more than a factor of 25 (a
        // sample of 49 equal values and another), so that the error of the deviation is at most five times as large.
        let found = height.standard_deviation().unwrap();
        prop_assert!((found - deviation).abs() < 5.0 * errors * deviation + rounding, "{found} {deviation}");
    }
}
