use super::*;

/// A rule with n points sums n products of order one.
const RULE_ROUNDING: f64 = 8.0 * f64::EPSILON;

#[test]
fn kronrod_is_exact_to_degree_31_and_gauss_to_19() {
    for degree in 0..=32 {
        let exact = if degree % 2 == 0 {
            2.0 / f64::from(degree + 1)
        } else {
            0.0
        };
        let (mut kronrod, mut gauss) = (0.0, 0.0);
        for i in 0..POINTS {
            let (x, w, g) = node(i);
            kronrod += w * x.powi(degree);
            gauss += g * x.powi(degree);
        }
        assert_eq!(
            (kronrod - exact).abs() < RULE_ROUNDING,
            degree < 32,
            "Kronrod, degree {degree}"
        );
        assert_eq!(
            (gauss - exact).abs() < RULE_ROUNDING,
            degree < 20 || degree % 2 == 1,
            "Gauss, degree {degree}"
        );
    }
}

#[test]
fn gauss_legendre_is_exact_to_degree_2n_minus_1() {
    for n in 1..=12 {
        let rule = gauss_legendre(n);
        assert_eq!(rule.len(), n);
        for degree in 0..=2 * n as i32 {
            let exact = if degree % 2 == 0 {
                2.0 / f64::from(degree + 1)
            } else {
                0.0
            };
            let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(degree)).sum();
            assert_eq!(
                (sum - exact).abs() < RULE_ROUNDING,
                degree < 2 * n as i32,
                "{n} points, degree {degree}"
            );
        }
    }
}

/// ln|x - c| has a singularity inside the interval, the hardest thing that the field of a magnet has on offer.
#[test]
fn a_logarithm_is_found_and_the_error_is_honest() {
    for c in [0.0, 0.3, 1.0] {
        let exact = {
            let term = |d: f64| if d == 0.0 { 0.0 } else { d * (d.ln() - 1.0) };
            term(c) + term(1.0 - c)
        };
        for tolerance in [1e-4, 1e-8, 1e-12] {
            let sum = adaptive(0.0, 1.0, &[1.0 / tolerance, 0.0], |nodes, values| {
                values.extend(nodes.iter().map(|x| [(x - c).abs().ln(), 1.0]));
                true
            });
            let error = (sum.values[0] - exact).abs();
            assert!(
                error <= tolerance && sum.errors[0] <= 2.0 * tolerance,
                "{error:e}"
            );
            assert!(error <= sum.errors[0], "{error:e} > {:e}", sum.errors[0]);
            assert!((sum.values[1] - 1.0).abs() < 1e-14);
        }
    }
}

#[test]
fn it_stops_when_told_and_shows_it_in_the_error() {
    let mut calls = 0;
    let sum = adaptive(0.0, 1.0, &[1e15], |nodes, values| {
        calls += 1;
        values.extend(nodes.iter().map(|x| [(x - 0.3).abs().sqrt()]));
        calls < 3
    });
    assert_eq!(calls, 3);
    assert!(sum.errors[0] > 1e-6);
}

/// Noise has no integral to any accuracy below its own: the rule has to give up by itself, and say so.
#[test]
fn noise_comes_to_an_end_and_shows_in_the_error() {
    let noise = |x: f64| (x.to_bits().wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 11) as f64 * 1e-16;
    let mut values_spent = 0;
    let sum = adaptive(0.0, 1.0, &[1e12], |nodes, values| {
        values_spent += nodes.len();
        values.extend(nodes.iter().map(|x| [noise(*x)]));
        assert!(values_spent < 20 * MOST_INTERVALS * POINTS, "without end");
        true
    });
    assert!(sum.errors[0] > 1e-12 && sum.errors[0].is_finite());
}
