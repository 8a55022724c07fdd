//! Straight lines laid through a characteristic, for the three linearities of the trade.
//!
//! Statistics libraries fit by least squares; the lines of IEC 61298-2 have the least greatest departure.
//!
//! All fits take at least two samples, `x` strictly ascending, `x` and `y` finite and of one length; the caller checks.
//! Where differences or slopes of the samples overflow, the deviation returned is infinite or NaN.

use serde::Serialize;

use crate::error::{Result, finite};
use crate::stored::checked_when_read;

checked_when_read! {
    /// The line y = offset + slope x.
    ///
    /// One that is read back (serde) has finite figures, as one that was laid has.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    pub struct Line {
        /// y at x = 0, in the unit of y.
        pub offset: f64,
        /// Change of y for one unit of x.
        pub slope: f64,
    }
}

impl Line {
    fn check(&self) -> Result<()> {
        finite("offset of the line", self.offset, "its unit")?;
        finite("slope of the line", self.slope, "its unit")?;
        Ok(())
    }

    /// y at `x`.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) if `x`, the line or y is not a finite number.
    pub fn at(&self, x: f64) -> Result<f64> {
        finite("x on the line", x, "its unit")?;
        finite("y of the line", self.value(x), "its unit")
    }

    /// y at `x`, unchecked.
    pub(crate) fn value(&self, x: f64) -> f64 {
        self.offset + self.slope * x
    }

    fn through(x: f64, y: f64, slope: f64) -> Self {
        Self {
            offset: y - slope * x,
            slope,
        }
    }

    fn largest_deviation(&self, x: &[f64], y: &[f64]) -> f64 {
        let deviations = x.iter().zip(y).map(|(&x, &y)| (y - self.value(x)).abs());
        // Unlike `f64::max`, this passes a NaN on.
        deviations.fold(
            0.0,
            |most, d| {
                if most.is_nan() || d <= most { most } else { d }
            },
        )
    }
}

/// The line with the smallest largest deviation, and that deviation.
///
/// The points lie in a strip between two parallels; the narrowest one (measured along y) has an edge of the convex
/// hull on one side and, where the hull is tallest, a vertex on the other. The line runs midway. Exact but for
/// rounding; two passes.
pub(crate) fn minimax(x: &[f64], y: &[f64]) -> (Line, f64) {
    let lower = lower_hull(x, y, 1.0);
    let upper = lower_hull(x, y, -1.0);
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

/// Indices of the lower half of the convex hull of (x, sign y), left to right (Andrew's monotone chain). Of points at
/// the same x, which the mirroring of [`zero_based`] can round together, the lowest counts.
fn lower_hull(x: &[f64], y: &[f64], sign: f64) -> Vec<usize> {
    let point = |i: usize| (x[i], sign * y[i]);
    let mut hull: Vec<usize> = Vec::new();
    for next in 0..x.len() {
        if let [.., last] = hull[..]
            && x[last] == x[next]
        {
            if point(last).1 <= point(next).1 {
                continue;
            }
            hull.pop();
        }
        while let [.., before, last] = hull[..]
            && slope(point(before), point(last)) >= slope(point(last), point(next))
        {
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
