//! Curves fitted to the rows of a sweep.

use crate::axis::bench::calibration::curve::{CalibrationCurve, chebyshev_values};
use crate::error::{Error, Result};
use crate::numeric::linear_fit::{huber, least_squares};
use crate::numeric::tube;

/// Knots of a table or a cubic.
pub(super) const KNOTS: [usize; 2] = [2, 257];
/// Rows of which a knot's own polynomial is made at least, where there are so many.
const FEWEST: usize = 5;
/// Knots of the curve that stands for the readings: one for so many rows, within limits.
const ROWS_PER_KNOT: usize = 4;
const REFERENCE_KNOTS: [usize; 2] = [3, 33];
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

    /// The curve that stands for the readings.
    pub(super) fn reference(&self) -> Result<CalibrationCurve> {
        let counts = self.rows.chunk_by(|a, b| a[0] == b[0]).count();
        let most = (self.rows.len().min(2 * counts) / ROWS_PER_KNOT)
            .clamp(REFERENCE_KNOTS[0], REFERENCE_KNOTS[1]);
        self.monotone_cubic(most)
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
