//! A smooth function as polynomials in pieces, so that it can be looked at thousands of times for the cost of some
//! dozens of evaluations.
//!
//! Crates of polynomials interpolate at places that are given; here the places follow from the function, until its
//! series has died away.

use std::f64::consts::PI;

use crate::error::Result;
use crate::observer;

/// Degrees tried on a piece before it is halved: each twice the one before, so that the nodes of one are among those of
/// the next.
pub(crate) const DEGREES: &[usize] = &[32, 64];
/// The same for what is as smooth as a rule as the field of a magnet far away.
pub(crate) const DEGREES_FROM_AFAR: &[usize] = &[16, 32, 64];
/// Coefficients at the end of a series that must be small: two, since those of an even or an odd function vanish by
/// turns, and one more.
const TAIL: usize = 3;
/// Places between the nodes, as parts of half the piece from its middle, where the polynomial is held against the
/// function: none of them is a node of any degree.
const CHECKS: [f64; 3] = [-0.713_249_1, 0.127_384_6, 0.864_173_2];
/// How often a piece is halved: beside a root, where a polynomial gains half a bit by it, down to its last digits.
const HALVINGS: u32 = 48;
/// Most evaluations altogether.
const MOST: usize = 60_000;
/// Roundings of a place, and of what is computed from it before the function is.
const PLACE: f64 = 4.0;
/// A rest that halving does not lessen, and that is this many times the tolerance at most, is noise.
const NOISE: f64 = 100.0;

/// A function over a stretch.
#[derive(Clone)]
pub(crate) struct Chebyshev {
    pieces: Vec<Piece>,
}

/// A polynomial over a piece: its series c0/2 + c1 T1 + c2 T2 ..., and that of its derivative.
#[derive(Clone)]
struct Piece {
    lower: f64,
    upper: f64,
    values: Vec<f64>,
    series: Vec<f64>,
    slopes: Vec<f64>,
}

/// A piece that is not settled yet, of one of several functions, with what its parent left.
struct Open {
    of: usize,
    lower: f64,
    upper: f64,
    halvings: u32,
    rest: f64,
}

impl Chebyshev {
    /// The function whose values at many places, in any order, `function` returns, over a stretch cut into so many
    /// pieces to begin with.
    ///
    /// The rest of each series is brought below `tolerance` (least and greatest value so far -> what may be left);
    /// where the function is not smooth, below what half a hundred halvings leave.
    ///
    /// # Errors
    /// What `function` gives; that the work was stopped.
    pub(crate) fn of(
        stretch: [f64; 2],
        pieces: usize,
        tolerance: impl Fn([f64; 2]) -> f64,
        mut function: impl FnMut(&[f64]) -> Result<Vec<f64>>,
    ) -> Result<Self> {
        let one = [(stretch, pieces)];
        let found = Self::of_many(&one, DEGREES, tolerance, |places| {
            let places: Vec<f64> = places.iter().map(|(_, place)| *place).collect();
            function(&places)
        })?;
        let pieces = found.into_iter().flat_map(|one| one.pieces).collect();
        Ok(Self { pieces })
    }

    /// The same of several functions, each over a stretch of its own that is cut into pieces of its own; their values
    /// are asked for together, by the number of the function and the place. Each is tried by polynomials of so many
    /// `degrees`.
    ///
    /// # Errors
    /// As [`Chebyshev::of`].
    pub(crate) fn of_many(
        stretches: &[([f64; 2], usize)],
        degrees: &[usize],
        tolerance: impl Fn([f64; 2]) -> f64,
        mut functions: impl FnMut(&[(usize, f64)]) -> Result<Vec<f64>>,
    ) -> Result<Vec<Self>> {
        let mut open = Vec::new();
        for (of, ([lower, upper], pieces)) in stretches.iter().enumerate() {
            let cut = |i: usize| {
                let part = i as f64 / *pieces as f64;
                lower * (1.0 - part) + upper * part
            };
            open.extend((0..*pieces).map(|i| Open {
                of,
                lower: cut(i),
                upper: cut(i + 1),
                halvings: 0,
                rest: f64::INFINITY,
            }));
        }
        let first = degrees[0];
        let mut settled: Vec<Vec<Piece>> = stretches.iter().map(|_| Vec::new()).collect();
        let mut range = vec![[f64::INFINITY, f64::NEG_INFINITY]; stretches.len()];
        let mut used = vec![0; stretches.len()];
        while !open.is_empty() {
            observer::check()?;
            // All pieces of one round together: the functions are quicker at many places.
            let places = open.iter().flat_map(|piece| piece.first_places(first));
            let places: Vec<(usize, f64)> = places.collect();
            let values = functions(&places)?;
            for ((of, _), value) in places.iter().zip(&values) {
                used[*of] += 1;
                range[*of] = [range[*of][0].min(*value), range[*of][1].max(*value)];
            }
            let allowed: Vec<f64> = range.iter().map(|range| tolerance(*range)).collect();
            let mut tried = Vec::with_capacity(open.len());
            for (piece, values) in open
                .iter()
                .zip(values.chunks_exact(first + 1 + CHECKS.len()))
            {
                let (nodes, checks) = values.split_at(first + 1);
                let polynomial = Piece::through(piece.lower, piece.upper, nodes.to_vec());
                let rest = polynomial.rest(checks);
                tried.push((polynomial, rest, checks));
            }
            for &degree in &degrees[1..] {
                // Twice the degree: half of its nodes are known.
                let wanting: Vec<usize> = (0..open.len())
                    .filter(|&i| tried[i].1 > allowed[open[i].of])
                    .collect();
                if wanting.is_empty() {
                    break;
                }
                let places = wanting.iter().flat_map(|&i| open[i].places_between(degree));
                let places: Vec<(usize, f64)> = places.collect();
                let values = functions(&places)?;
                for (&i, between) in wanting.iter().zip(values.chunks_exact(degree / 2)) {
                    let piece = &open[i];
                    used[piece.of] += between.len();
                    let (polynomial, rest, checks) = &mut tried[i];
                    let mut all = Vec::with_capacity(degree + 1);
                    for (i, node) in polynomial.values.iter().enumerate() {
                        all.push(*node);
                        all.extend(between.get(i));
                    }
                    *polynomial = Piece::through(piece.lower, piece.upper, all);
                    *rest = polynomial.rest(checks);
                }
            }
            let mut next = Vec::new();
            for (piece, (polynomial, rest, _)) in open.iter().zip(tried) {
                let allowed = allowed[piece.of];
                let noise = rest > 0.5 * piece.rest && rest <= NOISE * allowed;
                let allowed = allowed.max(polynomial.rounding());
                let enough = piece.halvings == HALVINGS || used[piece.of] > MOST;
                if rest <= allowed || noise || enough {
                    settled[piece.of].push(polynomial);
                } else {
                    let middle = 0.5 * (piece.lower + piece.upper);
                    for (lower, upper) in [(piece.lower, middle), (middle, piece.upper)] {
                        next.push(Open {
                            of: piece.of,
                            lower,
                            upper,
                            halvings: piece.halvings + 1,
                            rest,
                        });
                    }
                }
            }
            open = next;
        }
        let sorted = |mut pieces: Vec<Piece>| {
            pieces.sort_by(|a, b| a.lower.total_cmp(&b.lower));
            Self { pieces }
        };
        Ok(settled.into_iter().map(sorted).collect())
    }

    /// The places at which the function was taken, ascending, with its values; those of neighbors once.
    pub(crate) fn nodes(&self) -> (Vec<f64>, Vec<f64>) {
        let (mut places, mut values) = (Vec::new(), Vec::new());
        for piece in &self.pieces {
            let degree = piece.values.len() - 1;
            for (i, value) in piece.values.iter().enumerate() {
                if i > 0 || places.is_empty() {
                    places.push(piece.node(i, degree));
                    values.push(*value);
                }
            }
        }
        (places, values)
    }

    /// The value at a place of the stretch.
    pub(crate) fn value(&self, place: f64) -> f64 {
        let piece = self.piece(place);
        sum(&piece.series, piece.part(place))
    }

    /// The derivative at a place of the stretch.
    pub(crate) fn slope(&self, place: f64) -> f64 {
        let piece = self.piece(place);
        sum(&piece.slopes, piece.part(place))
    }

    fn piece(&self, place: f64) -> &Piece {
        let after = self.pieces.partition_point(|piece| piece.lower <= place);
        &self.pieces[after.max(1) - 1]
    }
}

impl Open {
    /// The places where its function is wanted first: the nodes of a degree and the checks.
    fn first_places(&self, degree: usize) -> impl Iterator<Item = (usize, f64)> {
        let nodes = (0..=degree).map(move |i| node(i, degree));
        let at = |part: f64| (self.of, place(self.lower, self.upper, part));
        nodes.chain(CHECKS).map(at)
    }

    /// The nodes of a degree that half of it has not.
    fn places_between(&self, degree: usize) -> impl Iterator<Item = (usize, f64)> {
        let odd = (0..degree).filter(|i| i % 2 == 1);
        odd.map(move |i| (self.of, place(self.lower, self.upper, node(i, degree))))
    }
}

impl Piece {
    /// Through the values at the nodes, from the lower end on.
    fn through(lower: f64, upper: f64, values: Vec<f64>) -> Self {
        let degree = values.len() - 1;
        // On the second half turn they come back.
        let mut cosines: Vec<f64> = (0..=degree).map(|i| -node(i, degree)).collect();
        cosines.extend_from_within(1..degree);
        cosines[degree + 1..].reverse();
        let coefficient = |k: usize| {
            let ends = 0.5
                * (values[degree]
                    + if k.is_multiple_of(2) {
                        values[0]
                    } else {
                        -values[0]
                    });
            let mut sum = ends;
            // T_k at the j-th node counted from the upper end: the cosine (degree - j) k steps on, of 2 degree a turn.
            let mut at = (degree * k) % (2 * degree);
            for value in &values[1..degree] {
                at = if at >= k { at - k } else { at + 2 * degree - k };
                sum += value * cosines[at];
            }
            let weight = if k == degree { 1.0 } else { 2.0 };
            weight * sum / degree as f64
        };
        let series: Vec<f64> = (0..=degree).map(coefficient).collect();
        // c'_(k-1) = c'_(k+1) + 2 k c_k, and half the length of the piece (textbook).
        let mut slopes = vec![0.0; degree + 2];
        for k in (1..=degree).rev() {
            slopes[k - 1] = slopes[k + 1] + 2.0 * k as f64 * series[k];
        }
        slopes.truncate(degree);
        let half = 0.5 * (upper - lower);
        slopes.iter_mut().for_each(|slope| *slope /= half);
        Self {
            lower,
            upper,
            values,
            series,
            slopes,
        }
    }

    /// What the series leaves: its last coefficients, or the departure at the checks.
    fn rest(&self, checks: &[f64]) -> f64 {
        let tail = self.series[self.series.len() - TAIL..].iter();
        let tail = tail.map(|c| c.abs()).fold(0.0, f64::max);
        let departures = CHECKS.iter().zip(checks);
        departures
            .map(|(part, value)| (sum(&self.series, *part) - value).abs())
            .fold(tail, f64::max)
    }

    /// What the rounding of a place is worth where the function is steep, at an end.
    fn rounding(&self) -> f64 {
        let steepest = sum(&self.slopes, -1.0)
            .abs()
            .max(sum(&self.slopes, 1.0).abs());
        PLACE * f64::EPSILON * self.lower.abs().max(self.upper.abs()) * steepest
    }

    fn node(&self, i: usize, degree: usize) -> f64 {
        place(self.lower, self.upper, node(i, degree))
    }

    fn part(&self, place: f64) -> f64 {
        ((place - self.lower) - (self.upper - place)) / (self.upper - self.lower)
    }
}

/// The i-th node of a degree from -1 to 1: minus the cosine, zero in the middle.
fn node(i: usize, degree: usize) -> f64 {
    (PI * (i as f64 / degree as f64 - 0.5)).sin()
}

/// The place at a part of half the piece from its middle, both ends exact.
fn place(lower: f64, upper: f64, part: f64) -> f64 {
    let share = 0.5 * (1.0 + part);
    lower * (1.0 - share) + upper * share
}

/// c0/2 + c1 T1(x) + c2 T2(x) + ... by Clenshaw's recurrence.
///
/// # References
/// C. W. Clenshaw, Mathematical Tables and Other Aids to Computation 9 (1955) 118-120 (from memory, confirmed by the
/// tests).
fn sum(series: &[f64], x: f64) -> f64 {
    let (mut b1, mut b2) = (0.0, 0.0);
    for c in series[1..].iter().rev() {
        (b1, b2) = (2.0 * x * b1 - b2 + c, b1);
    }
    x * b1 - b2 + 0.5 * series[0]
}

#[cfg(test)]
#[path = "chebyshev_tests.rs"]
mod tests;
