use statrs::function::erf::{erfc, erfc_inv};

use super::{quantile, quantiles};

/// Two published approximations, each to some units of the last place.
const SOME_ULP: f64 = 4e-15;

/// The middle, both tails, and both joins from either side.
fn probabilities() -> Vec<f64> {
    let mut all: Vec<f64> = (1..4000).map(|i| f64::from(i) / 4000.0).collect();
    all.extend((1..53).flat_map(|k| {
        let p = 0.5f64.powi(k);
        [p, 1.0 - p, 1.3 * p.min(0.5)]
    }));
    for join in [0.075, 0.925, (-25.0f64).exp()] {
        all.extend([join, join * (1.0 - 1e-15), join * (1.0 + 1e-15)]);
    }
    all
}

#[test]
fn it_is_the_one_of_the_library() {
    for p in probabilities() {
        let expected = -std::f64::consts::SQRT_2 * erfc_inv(2.0 * p);
        let (fused, plain) = (quantile::<true>(p), quantile::<false>(p));
        // The library's own, taken at 2 p above one, loses what 1 - p has lost.
        let lost = 1e-16 / p.min(1.0 - p) / (1.0 + expected.abs());
        let allowed = SOME_ULP * (1.0 + expected.abs()) + if p > 0.5 { 4.0 * lost } else { 0.0 };
        assert!(
            (fused - expected).abs() <= allowed,
            "{p:e}: {fused} {expected}"
        );
        assert!(
            (plain - expected).abs() <= allowed,
            "{p:e}: {plain} {expected}"
        );
    }
    // From a table: 97.5 % and 99.9 % of the standard normal distribution.
    assert!((quantile::<true>(0.975) - 1.959_963_984_540_054).abs() < 1e-14);
    assert!((quantile::<true>(0.999) - 3.090_232_306_167_813_5).abs() < 1e-14);
}

#[test]
fn it_is_odd_and_ascends_and_inverts_the_integral() {
    let mut all: Vec<f64> = probabilities()
        .into_iter()
        .map(|p| p.min(1.0 - p))
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    let mut before = f64::NEG_INFINITY;
    for p in all {
        let x = quantile::<true>(p);
        // But for the last digit, since neighbors stand closer than that.
        assert!(x >= before - 1e-15 * x.abs(), "{p:e}");
        before = x;
        if 1.0 - (1.0 - p) == p {
            assert_eq!(quantile::<true>(1.0 - p), -x, "{p:e}");
        }
        // The library's integral has ten digits.
        let back = 0.5 * erfc(-x / std::f64::consts::SQRT_2);
        assert!((back / p - 1.0).abs() <= 1e-9, "{p:e} {back:e}");
    }
}

#[test]
fn many_are_each_by_itself() {
    let mut many = probabilities();
    let single: Vec<f64> = many.iter().map(|p| quantile::<true>(*p)).collect();
    quantiles(&mut many);
    for (many, single) in many.iter().zip(&single) {
        assert!((many - single).abs() <= SOME_ULP * (1.0 + single.abs()));
    }
}
