use super::*;

type Plain = Pair<f64>;

/// x and every operation on it, at two places and as a pair.
fn formula<T: Real>(x: T) -> T {
    let root = (x * x + 2.0).sqrt();
    let quotient = (x * 3.0 - root) * (root + x).reciprocal();
    -quotient.mul_add::<false>(root, quotient * quotient) + T::constant(0.5) * x
}

fn argument(first: f64, second: f64) -> Plain {
    Pair {
        first,
        second,
        slope: 1.0,
    }
}

#[test]
fn a_wide_step_is_the_difference() {
    for (one, two) in [(0.1, 7.0), (-3.0, 2.0), (5.0, 5.5)] {
        let pair = formula(argument(one, two));
        assert_eq!((pair.first, pair.second), (formula(one), formula(two)));
        let slope = (formula(two) - formula(one)) / (two - one);
        // Some ten roundings of values up to about 30.
        assert!((pair.slope - slope).abs() < 1e-13, "{} {slope}", pair.slope);
    }
}

/// d/dx by hand: r' = x / r, q = (3 x - r) / (r + x), q' = (3 - r') / (r + x) - q (r' + 1) / (r + x).
#[test]
fn a_step_of_nothing_is_the_derivative() {
    for x in [0.1, 0.9, 4.0_f64] {
        let r = (x * x + 2.0).sqrt();
        let slope_r = x / r;
        let q = (3.0 * x - r) / (r + x);
        let slope_q = (3.0 - slope_r - q * (slope_r + 1.0)) / (r + x);
        let derivative = -(slope_q * r + q * slope_r + 2.0 * q * slope_q) + 0.5;
        assert!((formula(argument(x, x)).slope - derivative).abs() < 1e-14);
    }
}

/// f(x, y) = 1 / sqrt(x^2 + y^2): the difference across both, against the four values.
#[test]
fn pairs_of_pairs() {
    let (x, y) = ([1.0, 1.5], [2.0, 3.0]);
    let both: Pair<Plain> = Pair {
        first: Pair::constant(y[0]),
        second: Pair::constant(y[1]),
        slope: Pair::constant(1.0),
    };
    let along = Pair::same(argument(x[0], x[1]));
    let value = (along * along + both * both).sqrt().reciprocal();
    let f = |i: usize, k: usize| 1.0 / f64::hypot(x[i], y[k]);
    let expected = (f(1, 1) - f(0, 1) - f(1, 0) + f(0, 0)) / (0.5 * 1.0);
    assert!((value.slope.slope - expected).abs() < 1e-15);
}
