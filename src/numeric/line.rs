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
/// The points lie in a strip between two parallels: at any slope the strip is as tall (along y) as the farthest points
/// above and below are apart, and the line runs midway. Exact but for rounding, see [`best_slope`].
pub(crate) fn minimax(x: &[f64], y: &[f64]) -> (Line, f64) {
    let apart = |_, [above, below]: [usize; 2]| Bound::between(x, y, below, above);
    let Found { slope, ends, bound } = best_slope(x, y, apart);
    let [_, below] = ends;
    let line = Line::through(x[below], y[below] + 0.5 * bound.at(slope), slope);
    (line, line.largest_deviation(x, y))
}

/// The line through the first and the last point, and the largest deviation from it.
pub(crate) fn terminal(x: &[f64], y: &[f64]) -> (Line, f64) {
    let line = Line::through(x[0], y[0], terminal_slope(x, y));
    (line, line.largest_deviation(x, y))
}

/// The line through the first point with the smallest largest deviation, and that deviation.
///
/// At any slope the deviation is that of the farthest point above or below. Exact but for rounding, see
/// [`best_slope`].
pub(crate) fn zero_based(x: &[f64], y: &[f64]) -> (Line, f64) {
    let farther = |slope, [above, below]: [usize; 2]| {
        let up = Bound::between(x, y, 0, above);
        let down = Bound::between(x, y, below, 0);
        if up.at(slope) > down.at(slope) {
            up
        } else {
            down
        }
    };
    let line = Line::through(x[0], y[0], best_slope(x, y, farther).slope);
    (line, line.largest_deviation(x, y))
}

/// What two points say about every slope: that the figure sought is no less than `rise` - slope `run`.
#[derive(Clone, Copy)]
struct Bound {
    rise: f64,
    run: f64,
}

impl Bound {
    /// How far one point lies above a line through another.
    fn between(x: &[f64], y: &[f64], from: usize, to: usize) -> Self {
        Self {
            rise: y[to] - y[from],
            run: x[to] - x[from],
        }
    }

    fn at(self, slope: f64) -> f64 {
        self.rise - slope * self.run
    }

    /// What is left of the difference where it cancels.
    fn rounding(self, slope: f64) -> f64 {
        4.0 * f64::EPSILON * (self.rise.abs() + (slope * self.run).abs())
    }
}

/// A slope, and the farthest points above and below there.
struct Found {
    slope: f64,
    ends: [usize; 2],
    bound: Bound,
}

/// Passes over the points in [`best_slope`]. Smooth characteristics take three to six, points at random ten or so.
const PASSES: usize = 64;

/// The slope at which a figure of the farthest points above and below is least. The figure is a convex function of the
/// slope, the greatest of the bounds that its points give, and `bound` says which of them is met at a slope.
///
/// Of a slope that is too small and one that is too large the bounds cross between them. If the figure is no greater
/// there, it is the least; otherwise its bound takes the place of the one on its side, so that no bound comes back
/// (exchange, as in Remez's method). Exact but for rounding.
fn best_slope(x: &[f64], y: &[f64], bound: impl Fn(f64, [usize; 2]) -> Bound) -> Found {
    let met = |slope| {
        let ends = farthest(x, y, slope);
        let bound = bound(slope, ends);
        Found { slope, ends, bound }
    };
    let through = terminal_slope(x, y);
    let mut best = met(through);
    let mut least = best.bound.at(through);
    let first = best.bound;
    if first.run == 0.0 || least <= first.rounding(through) {
        return best;
    }
    // There the ends of the points alone are farther apart, twice as far as all are here.
    let length = x[x.len() - 1] - x[0];
    let other = through + (2.0 * least / length).copysign(first.run);
    let mut known = [first, met(other).bound];
    for _ in 0..PASSES {
        let slope = (known[0].rise - known[1].rise) / (known[0].run - known[1].run);
        let found = met(slope);
        let (bound, figure) = (found.bound, found.bound.at(slope));
        if figure < least {
            (best, least) = (found, figure);
        }
        let [one, two] = known;
        let rounding = [one, two, bound].map(|bound| bound.rounding(slope));
        if bound.run == 0.0 || figure <= one.at(slope) + rounding.iter().sum::<f64>() {
            break;
        }
        known[usize::from(bound.run.signum() != first.run.signum())] = bound;
    }
    best
}

/// The points that lie farthest above and below a line of a slope.
fn farthest(x: &[f64], y: &[f64], slope: f64) -> [usize; 2] {
    let mut ends = [(0, 0.0); 2];
    for (i, (x1, y1)) in x.iter().zip(y).enumerate() {
        let above = (y1 - y[0]) - slope * (x1 - x[0]);
        if above > ends[0].1 {
            ends[0] = (i, above);
        }
        if above < ends[1].1 {
            ends[1] = (i, above);
        }
    }
    ends.map(|(i, _)| i)
}

fn terminal_slope(x: &[f64], y: &[f64]) -> f64 {
    let last = x.len() - 1;
    (y[last] - y[0]) / (x[last] - x[0])
}

#[cfg(test)]
#[path = "line_tests.rs"]
mod tests;
