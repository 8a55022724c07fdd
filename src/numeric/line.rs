//! Straight lines laid through a characteristic, for the three linearities of the trade.
//!
//! All fits take at least two samples, `x` strictly ascending, `x` and `y` finite and of one length; the caller checks.

use serde::Serialize;

/// The line y = offset + slope x.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Line {
    /// y at x = 0, in the unit of y.
    pub offset: f64,
    /// Change of y for one unit of x.
    pub slope: f64,
}

impl Line {
    /// y at `x`.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.offset + self.slope * x
    }

    fn through(x: f64, y: f64, slope: f64) -> Self {
        Self {
            offset: y - slope * x,
            slope,
        }
    }

    fn largest_deviation(&self, x: &[f64], y: &[f64]) -> f64 {
        let deviations = x.iter().zip(y).map(|(&x, &y)| (y - self.at(x)).abs());
        deviations.fold(0.0, f64::max)
    }
}

/// The line with the smallest largest deviation, and that deviation.
///
/// The points lie in a strip between two parallels; the narrowest one (measured along y) has an edge of the convex
/// hull on one side and, where the hull is tallest, a vertex on the other. The line runs midway. Exact but for
/// rounding; two passes.
pub(crate) fn minimax(x: &[f64], y: &[f64]) -> (Line, f64) {
    let lower = hull(x, y, |slope, next| slope >= next);
    let upper = hull(x, y, |slope, next| slope <= next);
    let point = |i: usize| (x[i], y[i]);

    let (mut line, _) = terminal(x, y);
    let mut tallest = 0.0;
    for (vertices, edges) in [(&lower, &upper), (&upper, &lower)] {
        let mut edge = 0;
        for &vertex in vertices {
            let (xv, yv) = point(vertex);
            while edge + 2 < edges.len() && x[edges[edge + 1]] < xv {
                edge += 1;
            }
            let (x0, y0) = point(edges[edge]);
            let slope = slope((x0, y0), point(edges[edge + 1]));
            let opposite = y0 + slope * (xv - x0);
            let height = (opposite - yv).abs();
            if height > tallest {
                tallest = height;
                line = Line::through(xv, 0.5 * (yv + opposite), slope);
            }
        }
    }
    (line, line.largest_deviation(x, y))
}

/// The line through the first and the last point, and the largest deviation from it.
pub(crate) fn terminal(x: &[f64], y: &[f64]) -> (Line, f64) {
    let last = x.len() - 1;
    let slope = slope((x[0], y[0]), (x[last], y[last]));
    let line = Line::through(x[0], y[0], slope);
    (line, line.largest_deviation(x, y))
}

/// The line through the first point with the smallest largest deviation, and that deviation.
///
/// Mirrored through the first point, the points form a symmetric set whose minimax line must run through the center of
/// symmetry: the same answer, by the same exact method.
pub(crate) fn zero_based(x: &[f64], y: &[f64]) -> (Line, f64) {
    let mirrored = |v: &[f64]| -> Vec<f64> {
        let back = v[1..].iter().rev().map(|value| v[0] - value);
        back.chain(v.iter().map(|value| value - v[0])).collect()
    };
    let (symmetric, _) = minimax(&mirrored(x), &mirrored(y));
    let line = Line::through(x[0], y[0], symmetric.slope);
    (line, line.largest_deviation(x, y))
}

/// Indices of one half of the convex hull, left to right (Andrew's monotone chain): a point goes when `bent` says that
/// the slopes before and after it turn the wrong way.
fn hull(x: &[f64], y: &[f64], bent: impl Fn(f64, f64) -> bool) -> Vec<usize> {
    let point = |i: usize| (x[i], y[i]);
    let mut hull: Vec<usize> = Vec::new();
    for next in 0..x.len() {
        while let [.., before, last] = hull[..] {
            if !bent(
                slope(point(before), point(last)),
                slope(point(last), point(next)),
            ) {
                break;
            }
            hull.pop();
        }
        hull.push(next);
    }
    hull
}

fn slope(from: (f64, f64), to: (f64, f64)) -> f64 {
    (to.1 - from.1) / (to.0 - from.0)
}

#[cfg(test)]
#[path = "line_tests.rs"]
mod tests;
