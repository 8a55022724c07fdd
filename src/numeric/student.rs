//! Student's t and the power of its test.
//!
//! The incomplete beta function and the error function are a library's. Its quantile of the beta distribution is not
//! taken: it stops at some ten digits. Of the noncentral t no crate at hand has anything.

use std::f64::consts::FRAC_1_SQRT_2;

use statrs::function::beta::beta_reg;
use statrs::function::erf::erfc;

use crate::numeric::{quadrature, root};

/// Standard deviations of the spread's own distribution on either side of its mode that are looked at: what is beyond
/// is below 1e-18.
const REACH: f64 = 13.0;
/// Error of an integral that is allowed, of 1.
const FINE: f64 = 1e-13;
/// Doublings of a bracket.
const DOUBLINGS: usize = 60;

/// Probability that |t| is exceeded, for `freedom` degrees of freedom, at least 1.
///
/// # References
/// I_x(freedom / 2, 1 / 2) at x = freedom / (freedom + t^2), I the regularized incomplete beta function (textbook).
pub(crate) fn both_tails(t: f64, freedom: f64) -> f64 {
    let square = t * t;
    if square.is_infinite() {
        return 0.0;
    }
    beta_reg(0.5 * freedom, 0.5, freedom / (freedom + square))
}

/// The t that is exceeded either way with the probability `tails`, in (0, 1).
pub(crate) fn critical(tails: f64, freedom: f64) -> f64 {
    let over = |t: f64| both_tails(t, freedom) - tails;
    root::between(over, 0.0, beyond(|t| over(t) < 0.0))
}

/// A value at which a property holds that holds from some value on.
fn beyond(holds: impl Fn(f64) -> bool) -> f64 {
    let mut upper = 1.0;
    for _ in 0..DOUBLINGS {
        if holds(upper) {
            break;
        }
        upper *= 2.0;
    }
    upper
}

/// Probability that a test of two sides rejects at `limit`, for a t with the noncentrality `shift`.
///
/// t = (z + shift) / s with z standard normal and s the root of chi^2 / freedom: the mean over s of the probability of
/// z, the density of s normalized by its own integral.
fn rejected(limit: f64, freedom: f64, shift: f64) -> f64 {
    let mode = ((freedom - 1.0) / freedom).max(0.0).sqrt();
    let reach = REACH / (2.0 * freedom).sqrt();
    let density = |s: f64| {
        let powers = if freedom > 1.0 {
            (freedom - 1.0) * (s / mode).ln()
        } else {
            0.0
        };
        (powers - 0.5 * freedom * (s - mode) * (s + mode)).exp()
    };
    let above = |x: f64| 0.5 * erfc(x * FRAC_1_SQRT_2);
    // Either of the two is of the order of the width.
    let weight = (FINE * reach).recip();
    let integrals = quadrature::adaptive(
        (mode - reach).max(0.0),
        mode + reach,
        &[weight; 2],
        |places, values| {
            values.extend(places.iter().map(|&s| {
                let density = density(s);
                let beyond = above(limit * s - shift) + above(limit * s + shift);
                [density, density * beyond]
            }));
            true
        },
    );
    integrals.values[1] / integrals.values[0]
}

/// Power of the two-sided t-test of two devices with so many runs each, for a difference of `effect` standard
/// deviations.
///
/// # References
/// J. Cohen, *Statistical Power Analysis for the Behavioral Sciences*, 2nd ed., ch. 2: noncentral t with 2 n - 2
/// degrees of freedom and the noncentrality effect sqrt(n / 2) (from memory).
pub(crate) fn power(runs: usize, effect: f64, significance: f64) -> f64 {
    let freedom = 2.0 * (runs as f64 - 1.0);
    let limit = critical(significance, freedom);
    rejected(limit, freedom, effect * (0.5 * runs as f64).sqrt())
}

/// The effect, in standard deviations, that so many runs each find with a power.
pub(crate) fn detectable(runs: usize, wanted: f64, significance: f64) -> f64 {
    let freedom = 2.0 * (runs as f64 - 1.0);
    let limit = critical(significance, freedom);
    let short = |shift: f64| rejected(limit, freedom, shift) - wanted;
    let shift = root::between(short, 0.0, beyond(|shift| short(shift) > 0.0));
    shift / (0.5 * runs as f64).sqrt()
}
