//! Curves fitted to the rows of a sweep.

use crate::axis::bench::calibration::curve::{CalibrationCurve, chebyshev_values};
use crate::error::{Error, Result};
use crate::numeric::linear_fit::{huber, least_squares};
use crate::numeric::tube;
use crate::observer;

/// Knots of a table or a cubic.
pub(super) const KNOTS: [usize; 2] = [2, 257];
/// Rows of which a knot's own polynomial is made at least, where there are so many.
const FEWEST: usize = 5;
/// Knots of the curve that stands for the readings: one for so many rows at least, and the numbers that are tried.
const ROWS_PER_KNOT: usize = 4;
const REFERENCE_KNOTS: [usize; 6] = [3, 5, 9, 13, 17, 33];
/// Rows beyond which noise is averaged out with any of these numbers.
const MANY: usize = 20_000;
/// How much more than the least may be left by fewer knots, and what is rounding, rad.
const AS_WELL: f64 = 1.02;
const NOTHING: f64 = 1e-12;
/// Places at which a curve is looked at for its best knots.
const LOOKS: usize = 8193;

/// Rows with which a curve is fitted.
pub(super) struct Rows {
    /// Count and angle, counts ascending.
    rows: Vec<[f64; 2]>,
    /// The ends of the counts of the curve.
    counts: [f64; 2],
    robust: bool,
}

impl Rows {
    /// Of rows of count and angle in any order.
    pub(super) fn new(mut rows: Vec<[f64; 2]>, counts: [f64; 2], robust: bool) -> Self {
        rows.sort_by(|a, b| a[0].total_cmp(&b[0]));
        Self {
            rows,
            counts,
            robust,
        }
    }

    fn fit(
        &self,
        rows: &[[f64; 2]],
        terms: usize,
        x: impl Fn(f64) -> f64,
    ) -> Result<Option<Vec<f64>>> {
        let row = |i: usize, values: &mut [f64]| {
            let [count, angle] = rows[i];
            chebyshev_values(x(count), values);
            angle
        };
        if self.robust {
            huber(rows.len(), terms, row)
        } else {
            least_squares(rows.len(), terms, |_| 1.0, row)
        }
    }

    /// The polynomial of a degree.
    pub(super) fn polynomial(&self, degree: usize) -> Result<CalibrationCurve> {
        let [least, most] = self.counts;
        let x = |count: f64| 2.0 * (count - least) / (most - least) - 1.0;
        let found = self.fit(&self.rows, degree + 1, x)?;
        let coefficients = found.ok_or_else(|| self.too_few(degree + 1))?;
        CalibrationCurve::polynomial(self.counts, coefficients)
    }

    /// Monotone cubics through so many knots, evenly spaced over the counts; at each the value of the parabola through
    /// the rows up to the next knots, so that neither noise nor the bend of the curve shifts it.
    pub(super) fn monotone_cubic(&self, knots: usize) -> Result<CalibrationCurve> {
        let [least, most] = self.counts;
        let step = (most - least) / (knots - 1) as f64;
        let mut points = Vec::with_capacity(knots);
        for knot in 0..knots {
            let part = knot as f64 / (knots - 1) as f64;
            let count = least * (1.0 - part) + most * part;
            points.push([count, self.value_near(count, step)?]);
        }
        CalibrationCurve::monotone_cubic(&points)
    }

    /// The curve that stands for the readings: with the fewest knots that tell either half of the rows from the other
    /// as well as any number does, so that neither its bend is lost nor noise is taken for bends.
    pub(super) fn reference(&self) -> Result<CalibrationCurve> {
        let counts = self.rows.chunk_by(|a, b| a[0] == b[0]).count();
        let most = (self.rows.len().min(2 * counts) / ROWS_PER_KNOT).max(REFERENCE_KNOTS[0]);
        if self.rows.len() > MANY {
            return self.monotone_cubic(most.min(REFERENCE_KNOTS[REFERENCE_KNOTS.len() - 1]));
        }
        let halves = [0, 1].map(|half| Self {
            rows: self.rows.iter().skip(half).step_by(2).copied().collect(),
            ..*self
        });
        let mut judged: Vec<(usize, f64)> = Vec::new();
        for knots in REFERENCE_KNOTS.into_iter().filter(|knots| *knots <= most) {
            observer::check()?;
            // Of too few rows, or with noise for bends, a half may give no curve: no reason to refuse them all.
            if let Ok(left) = Self::left_by_halves(&halves, knots) {
                judged.push((knots, left));
            }
        }
        let least = judged
            .iter()
            .map(|(_, left)| *left)
            .fold(f64::INFINITY, f64::min);
        let enough = judged
            .iter()
            .find(|(_, left)| *left <= AS_WELL * least + NOTHING);
        self.monotone_cubic(enough.map_or(REFERENCE_KNOTS[0], |(knots, _)| *knots))
    }

    /// Mean absolute departure of the rows of each half from the curve through the other.
    fn left_by_halves(halves: &[Self; 2], knots: usize) -> Result<f64> {
        let (mut sum, mut rows) = (0.0, 0.0);
        for [fitted, judged] in [[&halves[0], &halves[1]], [&halves[1], &halves[0]]] {
            let curve = fitted.monotone_cubic(knots)?;
            for [count, angle] in &judged.rows {
                sum += (curve.value(*count) - angle).abs();
                rows += 1.0;
            }
        }
        Ok(sum / rows)
    }

    fn value_near(&self, count: f64, step: f64) -> Result<f64> {
        let mut from = self.rows.partition_point(|row| row[0] < count - step);
        let mut to = self.rows.partition_point(|row| row[0] <= count + step);
        // Where rows are sparse the nearest others join.
        let enough = |from: usize, to: usize| {
            let counts = self.rows[from..to].chunk_by(|a, b| a[0] == b[0]);
            to - from >= FEWEST && counts.take(3).count() == 3
        };
        while !enough(from, to) && (from > 0 || to < self.rows.len()) {
            let below = from.checked_sub(1).map(|i| count - self.rows[i][0]);
            let above = self.rows.get(to).map(|row| row[0] - count);
            match (below, above) {
                (Some(below), Some(above)) if below <= above => from -= 1,
                (Some(_), None) => from -= 1,
                _ => to += 1,
            }
        }
        let rows = &self.rows[from..to];
        let reach = rows
            .iter()
            .map(|row| (row[0] - count).abs())
            .fold(0.0, f64::max);
        for terms in [3, 2, 1] {
            let x = |other: f64| {
                if reach > 0.0 {
                    (other - count) / reach
                } else {
                    0.0
                }
            };
            if let Some(found) = self.fit(rows, terms, x)? {
                // T0 - T2 at the middle.
                return Ok(found[0] - found.get(2).unwrap_or(&0.0));
            }
        }
        Err(self.too_few(2))
    }

    fn too_few(&self, min: usize) -> Error {
        Error::Count {
            quantity: "different counts of the sweep for this calibration",
            count: self.rows.chunk_by(|a, b| a[0] == b[0]).count(),
            min,
            max: usize::MAX,
        }
    }
}

/// The table of so many knots that departs least from a curve, and the departure that none of so many is below, rad.
pub(super) fn best_table(
    curve: &CalibrationCurve,
    knots: usize,
) -> Result<(CalibrationCurve, f64)> {
    let (counts, positions): (Vec<f64>, Vec<f64>) = looks(curve).unzip();
    let polygon = tube::least_departure(&counts, &positions, knots - 1)?;
    Ok((CalibrationCurve::table(&polygon.corners)?, polygon.bound))
}

/// The table of so many knots on a curve, evenly spaced over its counts.
pub(super) fn even_table(curve: &CalibrationCurve, knots: usize) -> Result<CalibrationCurve> {
    let [least, most] = curve.counts();
    let points = (0..knots).map(|knot| {
        let part = knot as f64 / (knots - 1) as f64;
        let count = least * (1.0 - part) + most * part;
        [count, curve.value(count)]
    });
    CalibrationCurve::table(&points.collect::<Vec<_>>())
}

/// Counts, evenly spaced over a curve, with its positions.
pub(super) fn looks(curve: &CalibrationCurve) -> impl Iterator<Item = (f64, f64)> + '_ {
    let [least, most] = curve.counts();
    (0..LOOKS).map(move |i| {
        let part = i as f64 / (LOOKS - 1) as f64;
        let count = least * (1.0 - part) + most * part;
        (count, curve.value(count))
    })
}
