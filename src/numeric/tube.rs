//! The polygon with the fewest pieces that keeps within a tolerance of given points, and the least tolerance for so
//! many pieces: the continuous piecewise straight line with the least greatest departure, its corners free.
//!
//! No crate at hand places corners; spline fitters take them as given.
//!
//! Each point with its tolerance is an upright segment. A line through all segments so far exists as long as the
//! steepest and the shallowest of them do; where a segment lies wholly beyond one of those two, that line is taken as
//! far as it goes, and the next piece may leave it anywhere behind the last segment end that it touches. Taking each
//! piece as far as it goes loses nothing, since what can be reached beyond is reached from it.
//!
//! # References
//! H. Imai and M. Iri, "An optimal algorithm for approximating a piecewise linear function", J. Inf. Process. 9 (1986)
//! 159-162; J. O'Rourke, "An on-line algorithm for fitting straight lines between data ranges", Comm. ACM 24 (1981)
//! 574-578 (from memory).

use crate::error::Result;
use crate::observer;

/// Halvings of the bracket about the least tolerance at most, and its width, as a part of it, at which they end.
const HALVINGS: usize = 100;
const WIDTH: f64 = 1e-10;

/// A polygon through points of ascending x, and how far it departs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Polygon {
    pub(crate) corners: Vec<[f64; 2]>,
    /// No polygon of so few pieces departs less.
    pub(crate) bound: f64,
    /// It departs no more at the points.
    pub(crate) departure: f64,
}

/// The polygon of so many pieces at most, one or more, that departs least from the points, which are two or more, x
/// strictly ascending, all finite.
pub(crate) fn least_departure(x: &[f64], y: &[f64], pieces: usize) -> Result<Polygon> {
    let all = y.iter();
    let [least, most] = all.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], &v| {
        [least.min(v), most.max(v)]
    });
    let middle = 0.5 * (least + most);
    let mut best = Polygon {
        corners: vec![[x[0], middle], [x[x.len() - 1], middle]],
        bound: 0.0,
        departure: 0.5 * (most - least),
    };
    if let Some(corners) = within(x, y, 0.0, pieces) {
        return Ok(Polygon {
            corners,
            bound: 0.0,
            departure: 0.0,
        });
    }
    for _ in 0..HALVINGS {
        observer::check()?;
        if best.departure - best.bound <= WIDTH * best.departure {
            break;
        }
        let tolerance = 0.5 * (best.bound + best.departure);
        match within(x, y, tolerance, pieces) {
            Some(corners) => {
                best.corners = corners;
                best.departure = tolerance;
            }
            None => best.bound = tolerance,
        }
    }
    Ok(best)
}

/// Corners of a polygon within a tolerance of all points, if so many pieces are enough.
pub(crate) fn within(x: &[f64], y: &[f64], tolerance: f64, pieces: usize) -> Option<Vec<[f64; 2]>> {
    let (lower, upper) = (
        |i: usize| [x[i], y[i] - tolerance],
        |i: usize| [x[i], y[i] + tolerance],
    );
    let mut corners: Vec<[f64; 2]> = Vec::new();
    // The piece before: its line, and where the next one may leave it.
    let mut before: Option<(Ray, [f64; 2])> = None;
    let mut fan = Fan::default();
    let mut taken = 1;
    for i in 0..x.len() {
        let over = fan.shallowest.filter(|line| line.at(x[i]) > upper(i)[1]);
        let under = fan.steepest.filter(|line| line.at(x[i]) < lower(i)[1]);
        if let Some(line) = over.or(under) {
            taken += 1;
            if taken > pieces {
                return None;
            }
            corners.push(corner(before, line, x[0]));
            before = Some((line, [x[line.touched], x[i]]));
            fan = Fan::default();
            for j in line.touched..i {
                if over.is_some() {
                    fan.above(j, lower(j));
                } else {
                    fan.below(j, upper(j));
                }
            }
        }
        fan.below(i, upper(i));
        fan.above(i, lower(i));
    }
    let last = x.len() - 1;
    let line = match (fan.steepest, fan.shallowest) {
        (Some(a), Some(b)) => Ray {
            x: x[last],
            y: 0.5 * (a.at(x[last]) + b.at(x[last])),
            slope: 0.5 * (a.slope + b.slope),
            touched: last,
        },
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => Ray {
            x: x[last],
            y: y[last],
            slope: 0.0,
            touched: last,
        },
    };
    corners.push(corner(before, line, x[0]));
    corners.push([x[last], line.at(x[last])]);
    Some(corners)
}

/// Where a line begins: at the first point, or where it leaves the one before.
fn corner(before: Option<(Ray, [f64; 2])>, line: Ray, first: f64) -> [f64; 2] {
    let Some((before, [from, to])) = before else {
        return [first, line.at(first)];
    };
    let place = before.x + (before.y - line.at(before.x)) / (line.slope - before.slope);
    // Lines that are one line but for rounding meet anywhere.
    let place = if place.is_nan() {
        to
    } else {
        place.clamp(from, to)
    };
    [place, before.at(place)]
}

/// A line through a point.
#[derive(Debug, Clone, Copy)]
struct Ray {
    x: f64,
    y: f64,
    slope: f64,
    /// The last point whose segment it touches an end of.
    touched: usize,
}

impl Ray {
    fn at(&self, x: f64) -> f64 {
        self.y + self.slope * (x - self.x)
    }
}

/// All lines through the segments so far.
#[derive(Default)]
struct Fan {
    steepest: Option<Ray>,
    shallowest: Option<Ray>,
    /// Lower ends, those of their upper hull.
    lower: Vec<[f64; 2]>,
    /// Upper ends, those of their lower hull.
    upper: Vec<[f64; 2]>,
}

impl Fan {
    /// Lines must pass below an end to the right of all so far.
    fn below(&mut self, touched: usize, end: [f64; 2]) {
        if self.steepest.is_none_or(|line| line.at(end[0]) > end[1])
            && let Some(slope) = tangent(&self.lower, end, 1.0)
        {
            let [x, y] = end;
            self.steepest = Some(Ray {
                x,
                y,
                slope,
                touched,
            });
        }
        extend(&mut self.upper, end, 1.0);
    }

    /// Lines must pass above an end to the right of all so far.
    fn above(&mut self, touched: usize, end: [f64; 2]) {
        if self.shallowest.is_none_or(|line| line.at(end[0]) < end[1])
            && let Some(slope) = tangent(&self.upper, end, -1.0)
        {
            let [x, y] = end;
            self.shallowest = Some(Ray {
                x,
                y,
                slope,
                touched,
            });
        }
        extend(&mut self.lower, end, -1.0);
    }
}

/// Slope of the line from a point back to a hull that touches it: the least slope (sign 1, back to the upper hull of
/// lower ends) or the greatest (sign -1). Along the hull the slope has one extreme.
fn tangent(hull: &[[f64; 2]], [x, y]: [f64; 2], sign: f64) -> Option<f64> {
    let left = hull.partition_point(|end| end[0] < x);
    let hull = &hull[..left];
    let slope = |i: usize| (y - hull[i][1]) / (x - hull[i][0]);
    if hull.is_empty() {
        return None;
    }
    let (mut low, mut high) = (0, hull.len() - 1);
    while low < high {
        let middle = usize::midpoint(low, high);
        if sign * slope(middle) <= sign * slope(middle + 1) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Some(slope(low))
}

/// Adds a point at the right to a hull (sign 1: the lower hull, -1: the upper).
fn extend(hull: &mut Vec<[f64; 2]>, end: [f64; 2], sign: f64) {
    let slope = |a: [f64; 2], b: [f64; 2]| sign * (b[1] - a[1]) / (b[0] - a[0]);
    while let [.., before, last] = hull[..]
        && slope(before, last) >= slope(last, end)
    {
        hull.pop();
    }
    hull.push(end);
}

#[cfg(test)]
#[path = "tube_tests.rs"]
mod tests;
