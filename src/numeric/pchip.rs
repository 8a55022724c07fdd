//! A curve through given points that rises and falls only where they do: piecewise cubic Hermite polynomials.
//!
//! The interpolation crates at hand have no monotone cubics with an exact integral, which is the energy of a spring
//! here.
//!
//! # References
//! F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM J. Numer. Anal. 17 (1980) 238-246,
//! for the condition; F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic
//! interpolants", SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, for the slopes (weighted harmonic mean); at the ends the
//! three-point formula, held to the shape of the data (C. Moler, *Numerical Computing with MATLAB*, SIAM 2004, ch. 3).

use crate::numeric::simd::lanes::select;

/// The curve; its value and its slope are continuous.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pchip {
    knots: Vec<Knot>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    x: f64,
    y: f64,
    slope: f64,
    /// Integral from the first knot.
    area: f64,
}

/// What the curve has at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct At {
    pub(crate) value: f64,
    pub(crate) slope: f64,
    /// Second derivative; it jumps at the points.
    pub(crate) bend: f64,
    /// Integral from the first point.
    pub(crate) area: f64,
}

impl Pchip {
    /// Through the points, whose x must be finite and strictly ascend; `None` for fewer than two.
    pub(crate) fn new(points: &[[f64; 2]]) -> Option<Self> {
        if points.len() < 2 {
            return None;
        }
        let steps: Vec<[f64; 2]> = points
            .windows(2)
            .map(|pair| {
                let width = pair[1][0] - pair[0][0];
                [width, (pair[1][1] - pair[0][1]) / width]
            })
            .collect();
        let mut knots: Vec<Knot> = Vec::with_capacity(points.len());
        for (i, &[x, y]) in points.iter().enumerate() {
            let slope = match (i.checked_sub(1).and_then(|i| steps.get(i)), steps.get(i)) {
                (Some(before), Some(after)) => inner_slope(*before, *after),
                (None, Some(first)) => end_slope(*first, steps.get(1)),
                (Some(last), None) => end_slope(*last, i.checked_sub(2).and_then(|i| steps.get(i))),
                (None, None) => 0.0,
            };
            let mut knot = Knot {
                x,
                y,
                slope,
                area: 0.0,
            };
            if let Some(before) = knots.last() {
                knot.area = before.area + whole(before, &knot);
            }
            knots.push(knot);
        }
        Some(Self { knots })
    }

    /// At a place between the first and the last point; beyond them the end pieces go on.
    pub(crate) fn at(&self, x: f64) -> At {
        let after = self.knots.partition_point(|knot| knot.x <= x);
        let i = after.clamp(1, self.knots.len() - 1);
        let (a, b) = (&self.knots[i - 1], &self.knots[i]);
        let width = b.x - a.x;
        // Coefficients of the cubic in t = x - a.x.
        let chord = (b.y - a.y) / width;
        let third = (a.slope + b.slope - 2.0 * chord) / (width * width);
        let second = (3.0 * chord - 2.0 * a.slope - b.slope) / width;
        let t = x - a.x;
        At {
            // At the last knot to the last bit, too.
            value: select(
                x == b.x,
                b.y,
                a.y + t * (a.slope + t * (second + t * third)),
            ),
            slope: a.slope + t * (2.0 * second + t * 3.0 * third),
            bend: 2.0 * second + 6.0 * third * t,
            area: a.area + t * (a.y + t * (a.slope / 2.0 + t * (second / 3.0 + t * third / 4.0))),
        }
    }
}

/// Integral over a whole piece.
fn whole(a: &Knot, b: &Knot) -> f64 {
    let width = b.x - a.x;
    width * (0.5 * (a.y + b.y) + width * (a.slope - b.slope) / 12.0)
}

/// Weighted harmonic mean of the slopes on either side, zero where the data turn.
fn inner_slope([h0, m0]: [f64; 2], [h1, m1]: [f64; 2]) -> f64 {
    if m0 * m1 <= 0.0 {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / m0 + w1 / m1)
}

/// Three-point slope at an end, held so that the piece keeps the shape of the data.
fn end_slope([h0, m0]: [f64; 2], next: Option<&[f64; 2]>) -> f64 {
    let Some(&[h1, m1]) = next else { return m0 };
    let slope = ((2.0 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
    if slope * m0 <= 0.0 {
        0.0
    } else if m0 * m1 <= 0.0 && slope.abs() > 3.0 * m0.abs() {
        3.0 * m0
    } else {
        slope
    }
}

#[cfg(test)]
#[path = "pchip_tests.rs"]
mod tests;
