//! The exact interval of a share that was counted.
//!
//! The incomplete beta function of statistics libraries stops after some hundred terms of its continued fraction; of a
//! million trials it needs a thousand, of a hundred million ten thousand.

use statrs::function::gamma::ln_gamma;

use crate::numeric::root;

/// Terms of the continued fraction: about the square root of the number of trials is needed, so that 1e12 are covered.
const TERMS: usize = 3_000_000;
/// What ends it: a term that changes nothing any more.
const LAST: f64 = 1e-15;

/// The interval about `passed` of `trials` that holds the true share with a probability of at least `confidence`, both
/// ends sharing the rest: the values at which the binomial distribution gives just (1 - confidence) / 2 to what was
/// counted or beyond. The caller checks: 0 <= passed <= trials, trials > 0, 0 < confidence < 1.
///
/// # References
/// C. J. Clopper, E. S. Pearson, *The use of confidence or fiducial limits illustrated in the case of the binomial*,
/// Biometrika 26 (1934) 404-413; through the beta distribution: NIST/SEMATECH e-Handbook of Statistical Methods,
/// 7.2.4.1 (from memory, confirmed by the tests).
pub(crate) fn clopper_pearson(passed: u64, trials: u64, confidence: f64) -> [f64; 2] {
    let tail = 0.5 * (1.0 - confidence);
    let (k, n) = (passed as f64, trials as f64);
    // From the other end the same again, with its small shares exact.
    let least = |k: f64| {
        if k == 0.0 {
            return 0.0;
        }
        root::between(|x| beta_share(k, n - k + 1.0, x) - tail, 0.0, 1.0)
    };
    [least(k), 1.0 - least(n - k)]
}

/// The regularized incomplete beta function I_x(a, b), for a and b not below one.
///
/// # References
/// Continued fraction by the modified method of Lentz: NIST Digital Library of Mathematical Functions, 8.17.22.
fn beta_share(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    // Beyond the mean the fraction of the other end converges.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - below(b, a, 1.0 - x, x);
    }
    below(a, b, x, 1.0 - x)
}

fn below(a: f64, b: f64, x: f64, rest: f64) -> f64 {
    let front = ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * rest.ln();
    let away = |value: f64| {
        if value.abs() < f64::MIN_POSITIVE {
            f64::MIN_POSITIVE
        } else {
            value
        }
    };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut fraction = d;
    for m in 1..TERMS {
        let m = m as f64;
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away(1.0 + even * d);
        c = away(1.0 + even / c);
        fraction *= d * c;
        d = 1.0 / away(1.0 + odd * d);
        c = away(1.0 + odd / c);
        fraction *= d * c;
        if (d * c - 1.0).abs() <= LAST {
            break;
        }
    }
    (front.exp() * fraction / a).clamp(0.0, 1.0)
}

#[cfg(test)]
#[path = "binomial_tests.rs"]
mod tests;
