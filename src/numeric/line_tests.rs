use proptest::prelude::*;

use super::*;

/// Samples of y = x^2 on 0 to 1 on a grid with the points between which the deviations of the three lines balance.
fn parabola() -> (Vec<f64>, Vec<f64>) {
    let mut x: Vec<f64> = (0..=100).map(|i| f64::from(i) / 100.0).collect();
    x.push(2_f64.sqrt() - 1.0);
    x.sort_by(f64::total_cmp);
    let y = x.iter().map(|x| x * x).collect();
    (x, y)
}

/// Some roundings of numbers up to 1.
const ROUNDING: f64 = 1e-15;

fn assert_line((line, deviation): (Line, f64), offset: f64, slope: f64, expected: f64) {
    assert!((line.offset - offset).abs() < ROUNDING, "{line:?}");
    assert!((line.slope - slope).abs() < ROUNDING, "{line:?}");
    assert!((deviation - expected).abs() < ROUNDING, "{deviation}");
}

#[test]
fn minimax_of_a_parabola() {
    // x^2 - (x - 1/8) is +1/8 at 0 and 1 and -1/8 at 1/2: three equal deviations in turn, so no line does better.
    let (x, y) = parabola();
    assert_line(minimax(&x, &y), -0.125, 1.0, 0.125);
}

#[test]
fn terminal_of_a_parabola() {
    // x^2 - x is least at 1/2.
    let (x, y) = parabola();
    assert_line(terminal(&x, &y), 0.0, 1.0, 0.25);
}

#[test]
fn zero_based_of_a_parabola() {
    // x^2 - b x is least at b/2, -b^2/4, and 1 - b at the end. A larger b makes the first worse and the second better,
    // so the best b makes them equal: b^2 + 4 b - 4 = 0, b = 2 sqrt 2 - 2, with 1 - b = 3 - 2 sqrt 2 left at x = sqrt 2
    // - 1 and at x = 1.
    let (x, y) = parabola();
    let root = 2_f64.sqrt();
    assert_line(zero_based(&x, &y), 0.0, 2.0 * root - 2.0, 3.0 - 2.0 * root);
}

#[test]
fn two_points_lie_on_their_line() {
    let (x, y) = ([-1.0, 3.0], [2.0, 10.0]);
    for fit in [minimax, terminal, zero_based] {
        assert_line(fit(&x, &y), 4.0, 2.0, 0.0);
    }
}

#[test]
fn a_single_step_is_halved() {
    // The hull has the edges (0, 0)-(2, 1) and (1, 0)-(3, 1), both of slope 1/2 and 1/2 apart along y; the level strip
    // and the ones along the other two edges are taller.
    let (x, y) = ([0.0, 1.0, 2.0, 3.0], [0.0, 0.0, 1.0, 1.0]);
    assert_line(minimax(&x, &y), -0.25, 0.5, 0.25);
    // Through (0, 0): b at x = 1, 1 - 2 b at x = 2, balanced at b = 1/3, where x = 3 is met exactly.
    assert_line(zero_based(&x, &y), 0.0, 1.0 / 3.0, 1.0 / 3.0);
}

#[test]
fn spacing_lost_beside_the_first_point_does_no_harm() {
    // Beside x = -1 the middle two are one place, a unit on, with values 1 and 0. Through (-1, 0) with slope b the
    // deviations are 1 - b, b and, at x = 1, 2 - 2 b; the last two balance at b = 2/3.
    let (x, y) = ([-1.0, 1e-20, 2e-20, 1.0], [0.0, 1.0, 0.0, 2.0]);
    assert_line(zero_based(&x, &y), 2.0 / 3.0, 2.0 / 3.0, 2.0 / 3.0);
}

#[test]
fn overflow_is_not_reported_as_a_perfect_line() {
    let (x, y) = ([0.0, 1.0, 2.0], [-1e308, 1e308, -1e308]);
    for fit in [minimax, terminal, zero_based] {
        let (_, deviation) = fit(&x, &y);
        assert!(deviation.is_nan() || deviation > 1e307, "{deviation}");
    }
}

/// Points with a strictly ascending x from first differences and values.
fn points() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    // Steps over three decades; values on a coarse grid as well, for points in line and for level runs.
    let value = prop_oneof![-1.0..1.0_f64, (-3..=3_i8).prop_map(f64::from)];
    let step = prop_oneof![0.001..1.0_f64, Just(0.5)];
    let start = -2.0..2.0_f64;
    (start, prop::collection::vec((step, value), 2..14)).prop_map(|(start, rows)| {
        let ascend = |sum: &mut f64, (step, y): (f64, f64)| {
            *sum += step;
            Some((*sum, y))
        };
        rows.into_iter().scan(start, ascend).unzip()
    })
}

/// Height of the narrowest strip among all directions that two points give; the best is one of them.
fn brute_minimax(x: &[f64], y: &[f64]) -> f64 {
    let height = |b: f64| {
        let rest = || x.iter().zip(y).map(|(x, y)| y - b * x);
        rest().fold(f64::MIN, f64::max) - rest().fold(f64::MAX, f64::min)
    };
    let pairs = (0..x.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
    let heights = pairs.map(|(i, j)| height((y[i] - y[j]) / (x[i] - x[j])));
    0.5 * heights.fold(f64::MAX, f64::min)
}

/// Largest deviation of the best among all slopes at which two deviations, or a deviation and its opposite, are equal;
/// the best is one of them.
fn brute_zero_based(x: &[f64], y: &[f64]) -> f64 {
    let n = x.len();
    let u: Vec<f64> = x[1..].iter().map(|v| v - x[0]).collect();
    let v: Vec<f64> = y[1..].iter().map(|v| v - y[0]).collect();
    let worst = |b: f64| {
        u.iter()
            .zip(&v)
            .fold(0.0, |m, (u, v)| f64::max(m, (v - b * u).abs()))
    };
    let pairs = (0..n - 1).flat_map(|i| (0..=i).map(move |j| (i, j)));
    let slopes =
        pairs.flat_map(|(i, j)| [(v[i] + v[j]) / (u[i] + u[j]), (v[i] - v[j]) / (u[i] - u[j])]);
    slopes
        .filter(|b| b.is_finite())
        .map(worst)
        .fold(f64::MAX, f64::min)
}

proptest! {
    #[test]
    fn the_best_lines_are_those_of_the_long_search((x, y) in points()) {
        // Slopes reach 6 / 0.001 and x reaches 16: a rounding error is 1e5 times that of 1.
        let rounding = 1e5 * f64::EPSILON;
        let (_, best) = minimax(&x, &y);
        prop_assert!((best - brute_minimax(&x, &y)).abs() < rounding);
        let (line, best) = zero_based(&x, &y);
        prop_assert!((best - brute_zero_based(&x, &y)).abs() < rounding);
        prop_assert!((line.value(x[0]) - y[0]).abs() < rounding);
    }

    #[test]
    fn no_line_beats_minimax_and_more_freedom_never_hurts((x, y) in points()) {
        let rounding = 1e5 * f64::EPSILON;
        let (independent, zero, terminal) = (minimax(&x, &y).1, zero_based(&x, &y).1, terminal(&x, &y).1);
        prop_assert!(independent <= zero + rounding);
        prop_assert!(zero <= terminal + rounding);
    }
}
