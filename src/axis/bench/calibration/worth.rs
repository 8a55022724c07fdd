//! How many points a calibration is worth.

use serde::Serialize;

use crate::axis::bench::calibration::curve::CalibrationCurve;
use crate::axis::bench::calibration::smooth::{KNOTS, best_table, looks};
use crate::axis::linearity::Linearity;
use crate::error::{Result, counted, within};
use crate::numeric::root;
use crate::stored::checked_when_read;

checked_when_read! {
    /// What a calibration of so many points leaves, straight between them, of a curve without noise.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct PointsWorth {
        /// Number of points.
        pub points: usize,
        /// Greatest error with the points at evenly spaced angles, both ends among them, rad.
        pub even: f64,
        /// The same as a part of the travel.
        pub even_share: f64,
        /// Independent linearity (IEC 61298-2) of the position by the angle with those points, as a part of its span.
        pub even_linearity: f64,
        /// Greatest error with the points where it becomes least, rad.
        pub placed: f64,
        /// The same as a part of the travel.
        pub placed_share: f64,
    }
}

impl PointsWorth {
    fn check(&self) -> Result<()> {
        counted("points of a calibration", self.points, KNOTS)?;
        for (value, unit) in [
            (self.even, "rad"),
            (self.even_share, "of travel"),
            (self.even_linearity, "of span"),
            (self.placed, "rad"),
            (self.placed_share, "of travel"),
        ] {
            within("error of a calibration", value, 0.0, f64::MAX, unit)?;
        }
        Ok(())
    }

    pub(super) fn of(reference: &CalibrationCurve, points: usize) -> Result<Self> {
        counted("points of a calibration", points, KNOTS)?;
        let [lower, upper] = reference.positions_range();
        let [least, most] = reference.counts();
        let at = |i: usize| {
            let part = i as f64 / (points - 1) as f64;
            let angle = lower * (1.0 - part) + upper * part;
            let count = match i {
                0 if reference.is_rising() => least,
                0 => most,
                _ if i + 1 == points && reference.is_rising() => most,
                _ if i + 1 == points => least,
                _ => root::between(|count| reference.value(count) - angle, least, most),
            };
            [count, angle]
        };
        let mut table: Vec<[f64; 2]> = (0..points).map(at).collect();
        table.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let table = CalibrationCurve::table(&table)?;
        let even = greatest_departure(&table, reference);
        let mut told: Vec<[f64; 2]> = looks(reference)
            .map(|(count, angle)| [angle, table.value(count)])
            .collect();
        told.sort_by(|a, b| a[0].total_cmp(&b[0]));
        told.dedup_by(|a, b| a[0] == b[0]);
        let (angles, positions): (Vec<f64>, Vec<f64>) = told.iter().map(|[a, p]| (*a, *p)).unzip();
        let linearity = Linearity::of(&angles, &positions);
        let (placed, _) = best_table(reference, points)?;
        let placed = greatest_departure(&placed, reference);
        Ok(Self {
            points,
            even,
            even_share: even / (upper - lower),
            even_linearity: linearity.map_or(0.0, |linearity| linearity.independent()),
            placed,
            placed_share: placed / (upper - lower),
        })
    }
}

/// How far a curve departs from another at most, at many places over its counts, rad.
pub(super) fn greatest_departure(curve: &CalibrationCurve, from: &CalibrationCurve) -> f64 {
    let departures = looks(from).map(|(count, position)| (curve.value(count) - position).abs());
    departures.fold(0.0, f64::max)
}
