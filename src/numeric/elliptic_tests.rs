use std::f64::consts::FRAC_PI_2;

use super::super::pair::Pair;
use super::*;

/// cel as Bulirsch defines it, by the iteration under test; for p < 0 the principal value, by his transformation.
fn cel(kc: f64, p: f64, a: f64, b: f64) -> f64 {
    let (root_p, a, b_by_root) = if p > 0.0 {
        (p.sqrt(), a, b / p.sqrt())
    } else {
        let g = 1.0 - p;
        let root = ((kc * kc - p) / g).sqrt();
        let new_a = (a - b) / g;
        let rest = (1.0 - kc * kc) * (b - a * p);
        (root, new_a, new_a * root - rest / (g * g * root))
    };
    FRAC_PI_2 * both(kc, root_p, a, b_by_root).third_kind
}

fn both(kc: f64, root_p: f64, a: f64, b_by_root: f64) -> Integrals<f64> {
    let k2 = (1.0 - kc) * (1.0 + kc);
    integrals::<false, f64>(steps(kc), kc, k2, root_p, a, b_by_root)
}

/// Six steps add up some twenty roundings, which mostly average out; 8 ulp is twice the worst seen.
const ROUNDING: f64 = 8.0 * f64::EPSILON;

/// Bulirsch 1969, sec. 4.2, the two values printed there.
#[test]
fn printed_values() {
    let rows = include_str!("../../tests/reference/cylinders.toml");
    let rows: toml::Value = toml::from_str(rows).unwrap();
    for id in ["cel_bulirsch_p_pos", "cel_bulirsch_p_neg"] {
        let case = rows["case"].as_array().unwrap().iter();
        let case = case
            .into_iter()
            .find(|case| case["id"].as_str() == Some(id))
            .unwrap();
        let input = |key: &str| case["inputs"][key].as_float().unwrap();
        let expected = case["expected"]["cel"].as_float().unwrap();
        let value = cel(input("kc"), input("p"), input("a"), input("b"));
        let tolerance = case["rel_tol"].as_float().unwrap() * expected.abs();
        assert!(
            (value - expected).abs() <= tolerance,
            "{id}: {value}, not {expected}"
        );
    }
}

/// Against an independent implementation, relative to the terms (a and b may cancel).
#[test]
fn agrees_with_a_library() {
    for i in 0..=80 {
        let kc = 10_f64.powf(-0.1 * f64::from(i));
        for p in [1e-6_f64, 0.01, 0.3, 1.0, 2.5, 40.0] {
            for (a, b) in [
                (1.0_f64, 1.0_f64),
                (1.0, p.sqrt()),
                (1.0, -p.sqrt()),
                (-1.0, 1.0),
                (0.0, 1.0),
            ] {
                let size = ellip::cel(kc, p, a.abs(), b.abs()).unwrap();
                let error = cel(kc, p, a, b) - ellip::cel(kc, p, a, b).unwrap();
                assert!(
                    error.abs() <= ROUNDING * size,
                    "{kc} {p} {a} {b}: {error:e} of {size}"
                );
            }
        }
        let one = both(kc, 1.0, 1.0, 1.0);
        let k = ellip::cel(kc, 1.0, 1.0, 1.0).unwrap();
        assert!((FRAC_PI_2 * one.first_kind - k).abs() <= ROUNDING * k);
        assert!((FRAC_PI_2 * one.third_kind - k).abs() <= ROUNDING * k);
        let difference = ellip::cel(kc, 1.0, -1.0, 1.0).unwrap();
        assert!((FRAC_PI_2 * one.difference - difference).abs() <= ROUNDING * k);
    }
}

/// On the continuation of a mantle p = 0, which libraries refuse. With b = +-(root of p) the limit is K +- pi / (2 kc):
/// the even part becomes the integral of 1 / sqrt(...), the odd part all comes from phi near pi / 2, where the root is
/// kc.
#[test]
fn the_parameter_may_be_zero() {
    for kc in [1e-7, 1e-3, 0.2, 0.9, 1.0] {
        assert!(
            ellip::cel(kc, 0.0, 1.0, 0.0).is_err(),
            "a library serves now"
        );
        let k = ellip::cel(kc, 1.0, 1.0, 1.0).unwrap();
        for sign in [1.0, -1.0] {
            let value = FRAC_PI_2 * both(kc, 0.0, 1.0, sign).third_kind;
            let expected = k + sign * FRAC_PI_2 / kc;
            assert!(
                (value - expected).abs() <= ROUNDING * (k + FRAC_PI_2 / kc),
                "{kc} {sign}"
            );
        }
    }
}

/// For a small modulus the two halves of cel(kc, 1, -1, 1) nearly cancel: pi / 16 (k^2 + 3/4 k^4 + 75/128 k^6 + ...),
/// from the binomial series of 1 / sqrt(1 - k^2 sin^2).
#[test]
fn the_difference_keeps_its_digits() {
    for k in [1e-12_f64, 1e-8, 1e-5, 1e-3] {
        let k2 = k * k;
        let kc = (1.0 - k2).sqrt();
        let value = integrals::<false, f64>(6, kc, k2, 1.0, 1.0, 1.0).difference;
        let expected = k2 / 8.0 * (1.0 + k2 * (0.75 + 75.0 / 128.0 * k2));
        assert!(
            (value / expected - 1.0).abs() <= ROUNDING,
            "{k}: {value} {expected}"
        );
    }
}

/// Where the number of steps changes, one more changes nothing.
#[test]
fn the_steps_are_enough() {
    for kc in [1e-3, 1e-6, 1e-12, 1e-24, 1e-150] {
        let k2 = 1.0 - kc * kc;
        for (root_p, a, b) in [
            (1.0, 1.0, 1.0),
            (0.3, 1.0, -1.0),
            (1e-3, 1.0, 1.0),
            (0.0, 1.0, -1.0),
        ] {
            let values = |steps| {
                let i = integrals::<false, f64>(steps, kc, k2, root_p, a, b);
                [i.first_kind, i.difference, i.third_kind]
            };
            let (enough, more) = (values(steps(kc)), values(steps(kc) + 1));
            for (one, two) in enough.into_iter().zip(more) {
                assert!(
                    (one / two - 1.0).abs() <= ROUNDING,
                    "{kc} {root_p}: {one} {two}"
                );
            }
        }
    }
}

/// The divided difference against the subtraction it replaces, for moduli far apart, and against the derivative
/// dK/dkc = (kc^2 K - E) / (kc (1 - kc^2)) for moduli close together.
#[test]
fn differences_of_integrals() {
    let pair = |one: f64, two: f64| Pair {
        first: one,
        second: two,
        slope: 1.0,
    };
    let first_kind = |one, two| {
        let kc: Pair = pair(one, two);
        let k2 = -(kc * kc) + 1.0;
        let same = Pair::same;
        integrals::<false, Pair>(8, kc, k2, same(1.0), same(1.0), same(1.0)).first_kind
    };
    let k = |kc: f64| both(kc, 1.0, 1.0, 1.0).first_kind;
    let far = first_kind(0.2, 0.7).slope;
    assert!((far - (k(0.7) - k(0.2)) / 0.5).abs() <= ROUNDING * k(0.2));
    let kc = 0.4;
    let near = first_kind(kc, kc + 1e-18).slope;
    let e = cel(kc, 1.0, 1.0, kc * kc) / FRAC_PI_2;
    let derivative = (kc * kc * k(kc) - e) / (kc * (1.0 - kc * kc));
    assert!(
        (near / derivative - 1.0).abs() <= 2.0 * ROUNDING,
        "{near} {derivative}"
    );
}
