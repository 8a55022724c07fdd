//! Complete elliptic integrals by Bulirsch's iteration, in the combination that circles of charge and current need.
//!
//! No library has them: those at hand give K, E and Pi one by one, which cancel here, and are calls that no vector unit
//! can run.
//!
//! cel(kc, p, a, b) is the integral over phi from 0 to pi/2 of
//!
//! (a cos^2 + b sin^2) / ((cos^2 + p sin^2) sqrt(cos^2 + kc^2 sin^2)).
//!
//! | in the paper | here | meaning |
//! | --- | --- | --- |
//! | kc | `kc` | complementary modulus, becoming the second mean |
//! | m (em) | `mean` | the arithmetic mean, doubled at each step |
//! | e | `product` | kc m |
//! | p | 1 / `inverse` | root of the parameter |
//! | a, b | `a`, `b` for p = 1; p `a`, p `b` else | the numerator |
//!
//! Differences from the printed procedure: the integrals needed together share one iteration; the parameter is carried
//! as its reciprocal and the numerator divided by it, so that p = 0 is an ordinary value (there general libraries
//! refuse, because cel diverges unless b vanishes like the root of p; on the mantle of a cylinder it does); and
//! the number of steps is fixed beforehand, so that a loop over points becomes vector code.
//!
//! # References
//! R. Bulirsch, Numerical calculation of elliptic integrals and elliptic functions III, Numerische Mathematik 13 (1969)
//! 305-315.

use crate::numeric::pair::Real;

/// Three integrals of one modulus kc, each divided by pi/2.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Integrals<T> {
    /// K: cel(kc, 1, 1, 1).
    pub(crate) first_kind: T,
    /// cel(kc, 1, -1, 1), positive and accurate however small the modulus.
    pub(crate) difference: T,
    /// cel(kc, p, a, b).
    pub(crate) third_kind: T,
}

/// Steps that make the two means agree in double precision: their difference is squared at each step.
///
/// The share that is left was measured: below 2e-16 from the kc named up.
pub(crate) fn steps(kc: f64) -> usize {
    match kc {
        kc if kc >= 1e-3 => 6,
        kc if kc >= 1e-6 => 7,
        kc if kc >= 1e-12 => 8,
        kc if kc >= 1e-24 => 9,
        _ => 12,
    }
}

/// The integrals for `kc` > 0, k^2 = 1 - kc^2 given separately, the root of p >= 0, `a`, and b given as b / root of p.
#[inline(always)]
pub(crate) fn integrals<const FMA: bool, T: Real>(
    steps: usize,
    kc: T,
    k2: T,
    root_p: T,
    a: T,
    b_by_root: T,
) -> Integrals<T> {
    // The first step, written out: with p = 0 the numbers that it starts from would be infinite.
    let mut mean = kc + 1.0;
    let [inverse_mean, scale] = both_reciprocals(mean, root_p.mul_add::<FMA>(root_p, kc));
    let mut p_a = a.mul_add::<FMA>(root_p, b_by_root) * scale;
    let mut p_b = b_by_root.mul_add::<FMA>(root_p, a * kc) * scale * 2.0;
    let mut inverse = root_p * scale;
    // From a = -1 and b = 1 come 0 and 2 (1 - kc).
    let mut d_a = T::constant(0.0);
    let mut d_b = k2 * inverse_mean * 2.0;
    let mut kc = kc.sqrt() * 2.0;
    for _ in 1..steps {
        let product = kc * mean;
        let slip = product * inverse;
        let [inverse_mean, scale] =
            both_reciprocals(mean, slip.mul_add::<FMA>(inverse, T::constant(1.0)));
        (d_a, d_b) = (
            d_b.mul_add::<FMA>(inverse_mean, d_a),
            d_a.mul_add::<FMA>(kc, d_b) * 2.0,
        );
        (p_a, p_b) = (
            p_b.mul_add::<FMA>(inverse, p_a) * scale,
            p_a.mul_add::<FMA>(slip, p_b) * scale * 2.0,
        );
        inverse = inverse * scale;
        mean = mean + kc;
        kc = product.sqrt() * 2.0;
    }
    let [inverse_mean, scale] =
        both_reciprocals(mean, mean.mul_add::<FMA>(inverse, T::constant(1.0)));
    let doublings = f64::from(1_u32 << steps);
    Integrals {
        first_kind: inverse_mean * doublings,
        difference: d_a.mul_add::<FMA>(mean, d_b) * inverse_mean * inverse_mean * 0.5,
        third_kind: p_a.mul_add::<FMA>(mean, p_b) * inverse_mean * scale,
    }
}

/// 1/x and 1/y by one division.
#[inline(always)]
fn both_reciprocals<T: Real>(x: T, y: T) -> [T; 2] {
    let inverse = (x * y).reciprocal();
    [inverse * y, inverse * x]
}

#[cfg(test)]
#[path = "elliptic_tests.rs"]
mod tests;
