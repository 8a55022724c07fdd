//! The sum of delays whose densities are straight in parts: exact, as polynomials in pieces.
//!
//! With F the distribution function of the sum so far and a density that is straight over s .. s + w, from a at its
//! start to e at its end, integration by parts gives what that part adds to the new one:
//!
//! a F1(x - s) - e F1(x - s - w) + (e - a)/w (F2(x - s) - F2(x - s - w)),
//!
//! where F1 is the integral of F and F2 that of F1. Between two places at which any argument meets a knot this is a
//! polynomial, of one degree more than F for an even density and of two more otherwise. Delays are taken in the order
//! of their spread: then F1 is never much greater than the spread that it is divided by, and no digit is lost.
//!
//! Polynomials are series of Chebyshev: over its own piece each is as good as its values.

use std::f64::consts::PI;

use crate::axis::latency::delay::Ramp;
use crate::error::Result;
use crate::observer;

/// Knots at most: a dozen delays whose knots nowhere meet.
const MOST: usize = 2048;
/// Knots nearer to each other than this share of the whole are one: some roundings of a sum of twenty times.
const MEET: f64 = 1e-13;
/// A slope that rises within less of its delay's spread loses too many digits by the differences of F2.
const STEEP: f64 = 1e-3;
/// Pieces between two looks at the observer.
const BLOCK: usize = 128;

/// A distribution function from its first knot, at 0, to its last one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pieces {
    knots: Vec<f64>,
    parts: Vec<Part>,
    /// First and second integral up to each knot.
    areas: Vec<[f64; 2]>,
}

/// The distribution function over one piece, and its first and second integral from the start of the piece: series
/// c0 + c1 T1 + c2 T2 ...
#[derive(Debug, Clone, PartialEq)]
struct Part {
    value: Vec<f64>,
    once: Vec<f64>,
    twice: Vec<f64>,
}

/// Whether the exact sum keeps its digits with a delay of such a density.
pub(super) fn feasible(ramps: &[Ramp]) -> bool {
    let whole: f64 = ramps.iter().map(|ramp| ramp.width).sum();
    let sloping = |ramp: &Ramp| ramp.ends[0] != ramp.ends[1];
    ramps
        .iter()
        .all(|ramp| !sloping(ramp) || ramp.width >= STEEP * whole)
}

impl Pieces {
    /// A sum of nothing: a step at 0.
    pub(super) fn step() -> Self {
        Self {
            knots: vec![0.0],
            parts: Vec::new(),
            areas: vec![[0.0; 2]],
        }
    }

    /// Where the last knot lies.
    pub(super) fn end(&self) -> f64 {
        self.knots[self.knots.len() - 1]
    }

    /// With one more delay; `None` if that makes too many knots.
    ///
    /// # Errors
    /// That the work was stopped.
    pub(super) fn plus(&self, ramps: &[Ramp]) -> Result<Option<Self>> {
        let Some(knots) = self.knots_with(ramps) else {
            return Ok(None);
        };
        let sloping = ramps.iter().any(|ramp| ramp.ends[0] != ramp.ends[1]);
        let before = self.parts.first().map_or(1, |part| part.value.len());
        let count = before + if sloping { 2 } else { 1 };
        let nodes = Nodes::of(count);
        let mut sum = Self::step();
        for (i, ends) in knots.windows(2).enumerate() {
            if i % BLOCK == 0 {
                observer::check()?;
            }
            let (middle, half) = (0.5 * (ends[0] + ends[1]), 0.5 * (ends[1] - ends[0]));
            // The pieces that the arguments lie in are the same over the whole of the new piece.
            let places: Vec<[Place<'_>; 2]> = ramps
                .iter()
                .map(|ramp| {
                    [ramp.start, ramp.start + ramp.width]
                        .map(|shift| self.place(middle - shift, shift))
                })
                .collect();
            let value = |x: f64| -> f64 {
                let parts = ramps.iter().zip(&places).map(|(ramp, [from, to])| {
                    let slope = (ramp.ends[1] - ramp.ends[0]) / ramp.width;
                    let ([from, from_twice], [to, to_twice]) = (from.areas(x), to.areas(x));
                    ramp.ends[0] * from - ramp.ends[1] * to + slope * (from_twice - to_twice)
                });
                parts.sum()
            };
            sum.push(ends[1], half, nodes.series(|u| value(middle + half * u)));
        }
        Ok(Some(sum))
    }

    fn knots_with(&self, ramps: &[Ramp]) -> Option<Vec<f64>> {
        let mut shifts: Vec<f64> = ramps.iter().map(|ramp| ramp.start).collect();
        shifts.extend(ramps.last().map(|ramp| ramp.start + ramp.width));
        let end = self.end() + shifts[shifts.len() - 1];
        let all = self.knots.iter();
        let mut all: Vec<f64> = all
            .flat_map(|knot| shifts.iter().map(move |shift| knot + shift))
            .collect();
        all.sort_by(f64::total_cmp);
        let mut knots: Vec<f64> = Vec::with_capacity(all.len());
        for knot in all {
            if knots.last().is_none_or(|last| knot - last > MEET * end) {
                knots.push(knot);
            }
        }
        (knots.len() <= MOST).then_some(knots)
    }

    fn push(&mut self, end: f64, half: f64, value: Vec<f64>) {
        let once = integral(&value, half);
        let twice = integral(&once, half);
        let [first, second] = self.areas[self.areas.len() - 1];
        let (whole, whole_twice) = (series(&once, 1.0), series(&twice, 1.0));
        self.areas
            .push([first + whole, second + first * 2.0 * half + whole_twice]);
        self.knots.push(end);
        self.parts.push(Part { value, once, twice });
    }

    /// The piece that a place lies in, for arguments that are `shift` less.
    fn place(&self, at: f64, shift: f64) -> Place<'_> {
        let after = self.knots.partition_point(|knot| *knot <= at);
        match after.checked_sub(1) {
            None => Place::Before,
            Some(i) if i == self.parts.len() => Place::Behind {
                end: self.end() + shift,
                areas: self.areas[i],
            },
            Some(i) => Place::On {
                part: &self.parts[i],
                start: self.knots[i] + shift,
                half: 0.5 * (self.knots[i + 1] - self.knots[i]),
                areas: self.areas[i],
            },
        }
    }

    /// Share of the sum that is at most `x`.
    pub(super) fn distribution(&self, x: f64) -> f64 {
        match self.place(x, 0.0) {
            Place::Before => 0.0,
            Place::Behind { .. } => 1.0,
            Place::On {
                part, start, half, ..
            } => series(&part.value, (x - start) / half - 1.0).clamp(0.0, 1.0),
        }
    }

    /// Density at `x`; at a jump what it is behind it.
    pub(super) fn density(&self, x: f64) -> f64 {
        match self.place(x, 0.0) {
            Place::Before | Place::Behind { .. } => 0.0,
            Place::On {
                part, start, half, ..
            } => {
                let slope = series(&derivative(&part.value), (x - start) / half - 1.0);
                (slope / half).max(0.0)
            }
        }
    }
}

/// Where an argument lies.
enum Place<'a> {
    Before,
    On {
        part: &'a Part,
        start: f64,
        half: f64,
        areas: [f64; 2],
    },
    Behind {
        end: f64,
        areas: [f64; 2],
    },
}

impl Place<'_> {
    /// First and second integral.
    fn areas(&self, x: f64) -> [f64; 2] {
        match self {
            Self::Before => [0.0; 2],
            Self::On {
                part,
                start,
                half,
                areas: [first, second],
            } => {
                let t = x - start;
                let u = t / half - 1.0;
                [
                    first + series(&part.once, u),
                    second + first * t + series(&part.twice, u),
                ]
            }
            Self::Behind {
                end,
                areas: [first, second],
            } => {
                let t = x - end;
                [first + t, second + t * (first + 0.5 * t)]
            }
        }
    }
}

/// Nodes on a piece, and what makes a series of the values there: the same for all pieces of one degree.
struct Nodes {
    places: Vec<f64>,
    /// A row for each term of the series.
    weights: Vec<Vec<f64>>,
}

impl Nodes {
    fn of(count: usize) -> Self {
        let angle = |node: usize| PI * (node as f64 + 0.5) / count as f64;
        let row = |k: usize| {
            let share = if k == 0 { 1.0 } else { 2.0 } / count as f64;
            let weight = |node: usize| share * (k as f64 * angle(node)).cos();
            (0..count).map(weight).collect()
        };
        Self {
            places: (0..count).map(|node| angle(node).cos()).collect(),
            weights: (0..count).map(row).collect(),
        }
    }

    /// The series through the values of a polynomial.
    fn series(&self, value: impl Fn(f64) -> f64) -> Vec<f64> {
        let values: Vec<f64> = self.places.iter().map(|&place| value(place)).collect();
        let term = |row: &Vec<f64>| row.iter().zip(&values).map(|(a, b)| a * b).sum();
        self.weights.iter().map(term).collect()
    }
}

/// The value of a series, by Clenshaw's recurrence.
fn series(terms: &[f64], u: f64) -> f64 {
    let Some((first, rest)) = terms.split_first() else {
        return 0.0;
    };
    let [next, after] = rest.iter().rev().fold([0.0; 2], |[next, after], term| {
        [term + 2.0 * u * next - after, next]
    });
    first + u * next - after
}

/// The integral of a series from the start of its piece.
fn integral(terms: &[f64], half: f64) -> Vec<f64> {
    let term = |k: usize| terms.get(k).copied().unwrap_or(0.0);
    let mut sum = vec![0.0, half * (term(0) - 0.5 * term(2))];
    for k in 2..=terms.len() {
        sum.push(half * (term(k - 1) - term(k + 1)) / (2.0 * k as f64));
    }
    // T_k(-1) = (-1)^k.
    sum[0] = -series(&sum, -1.0);
    sum
}

/// The derivative of a series, for the whole piece as 2.
fn derivative(terms: &[f64]) -> Vec<f64> {
    let count = terms.len().max(2) - 1;
    let mut slopes = vec![0.0; count + 2];
    for k in (1..terms.len()).rev() {
        slopes[k - 1] = slopes[k + 1] + 2.0 * k as f64 * terms[k];
    }
    slopes[0] *= 0.5;
    slopes.truncate(count);
    slopes
}
