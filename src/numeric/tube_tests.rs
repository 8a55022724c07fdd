use super::{Polygon, least_departure, within};
use crate::numeric::line;

fn samples(count: usize, f: impl Fn(f64) -> f64) -> (Vec<f64>, Vec<f64>) {
    let x = (0..count).map(|i| i as f64 / (count - 1) as f64);
    x.map(|x| (x, f(x))).unzip()
}

/// The greatest departure of the corners' polygon from the points.
fn departure(corners: &[[f64; 2]], x: &[f64], y: &[f64]) -> f64 {
    let mut piece = 0;
    let mut most = 0.0_f64;
    for (x, y) in x.iter().zip(y) {
        while piece + 2 < corners.len() && corners[piece + 1][0] < *x {
            piece += 1;
        }
        let [a, b] = [corners[piece], corners[piece + 1]];
        let told = a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]);
        most = most.max((told - y).abs());
    }
    most
}

fn check(polygon: &Polygon, x: &[f64], y: &[f64], pieces: usize) {
    assert!(polygon.corners.len() <= pieces + 1);
    assert!(
        polygon
            .corners
            .windows(2)
            .all(|pair| pair[0][0] < pair[1][0])
    );
    // Corners are computed with a few roundings of values of order 1.
    let most = departure(&polygon.corners, x, y);
    assert!(most <= polygon.departure + 1e-13, "{most} {polygon:?}");
    assert!(polygon.bound <= polygon.departure);
}

#[test]
fn a_parabola_is_cut_into_equal_pieces() {
    // On a piece of width h the chord of x^2 departs by h^2 / 4, the best line by half of it, and lines shifted by it
    // meet at the corners: 1 / (8 n^2), alternating 2 n + 1 times.
    let (x, y) = samples(24_001, |x| x * x);
    for pieces in [1, 2, 3, 5, 8, 16] {
        let polygon = least_departure(&x, &y, pieces).unwrap();
        check(&polygon, &x, &y, pieces);
        let wanted = 1.0 / (8.0 * (pieces * pieces) as f64);
        // All extremes lie on samples; what is left is the width of the bracket and rounding.
        assert!(
            (polygon.departure - wanted).abs() < 2e-9,
            "{pieces}: {polygon:?}"
        );
        for (i, corner) in polygon.corners.iter().enumerate() {
            // A corner may move with the square root of what the departure may.
            assert!(
                (corner[0] - i as f64 / pieces as f64).abs() < 2e-3,
                "{polygon:?}"
            );
        }
    }
}

#[test]
fn one_piece_is_the_best_line() {
    let (x, y) = samples(301, |x| (3.0 * x).sin() + 0.1 * (40.0 * x).cos());
    let (_, wanted) = line::minimax(&x, &y);
    let polygon = least_departure(&x, &y, 1).unwrap();
    check(&polygon, &x, &y, 1);
    assert!((polygon.departure - wanted).abs() < 1e-9 * wanted);
}

/// The least departure of polygons with corners at the points and on a fine grid of values, by dynamic programming.
fn brute_force(x: &[f64], y: &[f64], pieces: usize, levels: &[f64]) -> f64 {
    let inf = f64::INFINITY;
    let error = |i: usize, yi: f64, j: usize, yj: f64| {
        let told = |k: usize| yi + (yj - yi) * (x[k] - x[i]) / (x[j] - x[i]);
        (i..=j).map(|k| (told(k) - y[k]).abs()).fold(0.0, f64::max)
    };
    let last = x.len() - 1;
    let mut best = vec![vec![inf; levels.len()]; x.len()];
    best[0].fill(0.0);
    let mut least = inf;
    for _ in 0..pieces {
        let mut next = vec![vec![inf; levels.len()]; x.len()];
        for j in 1..=last {
            for (b, yj) in levels.iter().enumerate() {
                if (y[j] - yj).abs() >= least {
                    continue;
                }
                for (i, before) in best.iter().enumerate().take(j) {
                    for (a, yi) in levels.iter().enumerate() {
                        if before[a] < next[j][b] {
                            let most = before[a].max(error(i, *yi, j, *yj));
                            next[j][b] = next[j][b].min(most);
                        }
                    }
                }
            }
        }
        least = next[last].iter().copied().fold(least, f64::min);
        best = next;
    }
    least
}

#[test]
fn no_polygon_of_a_brute_force_departs_less() {
    let curves: [fn(f64) -> f64; 3] = [
        |x| (4.0 * x).sin(),
        |x| x * x * x - 0.5 * x,
        |x| (x - 0.4).abs() + 0.2 * (9.0 * x).sin(),
    ];
    for curve in curves {
        let (x, y) = samples(11, curve);
        let step = 0.02;
        let levels: Vec<f64> = (-70..=70).map(|i| step * f64::from(i)).collect();
        for pieces in [1, 2, 3] {
            let polygon = least_departure(&x, &y, pieces).unwrap();
            check(&polygon, &x, &y, pieces);
            let brute = brute_force(&x, &y, pieces, &levels);
            // Corners of the one are free, those of the other on points and levels: never better, and worse by the
            // coarse corners only.
            assert!(
                polygon.departure <= brute + 1e-9,
                "{pieces}: {brute} {polygon:?}"
            );
            assert!(
                polygon.departure > 0.3 * brute - step,
                "{pieces}: {brute} {polygon:?}"
            );
        }
    }
}

#[test]
fn the_bound_is_one() {
    // Below the bound no polygon of so few pieces is found, above it there is one.
    let (x, y) = samples(400, |x| (5.0 * x).sin() + 0.3 * x);
    for pieces in [2, 4, 7] {
        let polygon = least_departure(&x, &y, pieces).unwrap();
        check(&polygon, &x, &y, pieces);
        assert!(within(&x, &y, polygon.bound * (1.0 - 1e-9), pieces).is_none());
        assert!(within(&x, &y, polygon.departure, pieces).is_some());
        // One piece more does better.
        assert!(least_departure(&x, &y, pieces + 1).unwrap().departure < polygon.bound);
    }
}

#[test]
fn what_is_straight_needs_few_corners() {
    let (x, y) = samples(100, |x| 2.0 * x - 1.0);
    let polygon = least_departure(&x, &y, 6).unwrap();
    check(&polygon, &x, &y, 6);
    assert!(polygon.departure < 1e-12);
    let still = least_departure(&[0.0, 1.0], &[3.0, 3.0], 3).unwrap();
    assert_eq!(still.departure, 0.0);
    let two = least_departure(&[0.0, 1.0], &[3.0, 4.0], 1).unwrap();
    assert_eq!(two.corners, [[0.0, 3.0], [1.0, 4.0]]);
}
