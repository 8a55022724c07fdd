use statrs::function::beta::beta_reg;

use super::{beta_share, clopper_pearson};

/// From SciPy 1.17.1: `beta.ppf(0.025, k, n - k + 1)` and `beta.ppf(0.975, k + 1, n - k)` of `scipy.stats`.
const SCIPY: [(u64, u64, f64, f64); 6] = [
    (0, 10, 0.0, 0.3084971078187607),
    (3, 10, 0.06673951117773447, 0.6524528500599973),
    (10, 10, 0.6915028921812392, 1.0),
    (43, 100, 0.3313910166313832, 0.5328662616751536),
    (950, 1_000, 0.9346095120845064, 0.9626646023953382),
    (999_000, 1_000_000, 0.9989360818926848, 0.9990609987920499),
];

#[test]
fn known_intervals() {
    for (passed, trials, least, most) in SCIPY {
        let [low, high] = clopper_pearson(passed, trials, 0.95);
        assert!(
            (low - least).abs() < 1e-9 && (high - most).abs() < 1e-9,
            "{passed} of {trials}: {low} {high}"
        );
    }
    // Closed form: none of n leaves 1 - (alpha / 2)^(1/n).
    for n in [1_u64, 7, 100_000_000] {
        let expected = -(0.025f64.ln() / n as f64).exp_m1();
        let [low, high] = clopper_pearson(0, n, 0.95);
        assert!(
            low == 0.0 && (high / expected - 1.0).abs() < 1e-7,
            "{n}: {high} {expected}"
        );
    }
}

/// Of a hundred million: the interval of the normal approximation, which is off by about 1 / n.
#[test]
fn very_many_trials() {
    let n = 100_000_000_u64;
    for k in [50_000_000_u64, 95_000_000, 99_999_000] {
        let p = k as f64 / n as f64;
        let half = 1.959_963_984_540_054 * (p * (1.0 - p) / n as f64).sqrt();
        let [low, high] = clopper_pearson(k, n, 0.95);
        for (value, expected) in [(low, p - half), (high, p + half)] {
            assert!(
                (value - expected).abs() < 4.0 / n as f64,
                "{k}: {value} {expected}"
            );
        }
    }
}

#[test]
fn the_integral_is_that_of_the_library_where_that_has_terms_enough() {
    for a in [1.0, 2.0, 5.5, 40.0, 300.0] {
        for b in [1.0, 3.0, 17.0, 250.0] {
            for i in 1..20 {
                let x = f64::from(i) / 20.0;
                assert!(
                    (beta_share(a, b, x) - beta_reg(a, b, x)).abs() < 1e-12,
                    "{a} {b} {x}"
                );
            }
        }
    }
}

/// The two ends mirror one another, and more confidence or fewer trials widen it.
#[test]
fn it_is_symmetric_and_nested() {
    for (k, n) in [(1, 3), (20, 41), (1, 1000)] {
        let [low, high] = clopper_pearson(k, n, 0.9);
        let [other_low, other_high] = clopper_pearson(n - k, n, 0.9);
        assert!(
            (low - (1.0 - other_high)).abs() < 1e-12 && (high - (1.0 - other_low)).abs() < 1e-12
        );
        let [wider_low, wider_high] = clopper_pearson(k, n, 0.99);
        assert!(wider_low < low && high < wider_high);
        let share = k as f64 / n as f64;
        assert!(low < share && share < high);
    }
}
