//! Both angles from both readings: a map that takes crosstalk out, and what is left.

use nalgebra::{DMatrix, DVector};
use serde::{Deserialize, Serialize};

use crate::axis::grid::even_angles;
use crate::axis::stick::fields::grid;
use crate::axis::stick::readings::GRID;
use crate::axis::stick::two_axis::{TwoAxis, number};
use crate::error::{Error, Result, choices, counted, finite, within, within_computed};
use crate::hall::Converter;
use crate::linkage::GimbalAxis;
use crate::observer;
use crate::stored::checked_when_read;

/// Singular values below this share of the greatest leave a direction of the coefficients open: the readings do not
/// tell the terms apart. Readings are scaled to -1 .. 1 before.
const OPEN: f64 = 1e-9;

/// The terms of a [`CorrectionMap`] in the readings a of the sensor of the outer axis and b of that of the inner one,
/// in counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum CorrectionTerms {
    /// 1, a, b.
    Linear,
    /// 1, a, b, a b.
    #[default]
    Bilinear,
    /// 1, a, b, a b, a^2, b^2.
    Quadratic,
}

choices!(CorrectionTerms, "terms of the correction", {
    Linear => "linear",
    Bilinear => "bilinear",
    Quadratic => "quadratic",
});

impl CorrectionTerms {
    /// How many coefficients there are for each angle.
    #[must_use]
    pub fn count(self) -> usize {
        match self {
            Self::Linear => 3,
            Self::Bilinear => 4,
            Self::Quadratic => 6,
        }
    }

    fn row(self, [a, b]: [f64; 2]) -> impl Iterator<Item = f64> {
        [1.0, a, b, a * b, a * a, b * b]
            .into_iter()
            .take(self.count())
    }

    fn value(self, coefficients: &[f64], readings: [f64; 2]) -> f64 {
        let terms = coefficients.iter().zip(self.row(readings));
        terms.map(|(coefficient, term)| coefficient * term).sum()
    }
}

checked_when_read! {
    /// Both angles as polynomials of both readings.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct CorrectionMap {
        /// Which terms there are.
        pub terms: CorrectionTerms,
        /// Coefficients of the outer angle in the order of the terms, rad for a power of counts.
        pub outer: Vec<f64>,
        /// Coefficients of the inner angle.
        pub inner: Vec<f64>,
    }
}

impl CorrectionMap {
    fn check(&self) -> Result<()> {
        for coefficients in [&self.outer, &self.inner] {
            let count = self.terms.count();
            counted("coefficients", coefficients.len(), [count, count])?;
            for &coefficient in coefficients {
                finite("coefficient", coefficient, "rad")?;
            }
        }
        Ok(())
    }

    /// Outer and inner angle (rad) for the readings of both sensors (counts).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for what no converter gives.
    pub fn angles_for(&self, outer: f64, inner: f64) -> Result<[f64; 2]> {
        let most = Converter::MAX_CODE as f64;
        let readings = [
            within("outer reading", outer, 0.0, most, "counts")?,
            within("inner reading", inner, 0.0, most, "counts")?,
        ];
        Ok(self.angles(readings))
    }

    pub(super) fn angles(&self, readings: [f64; 2]) -> [f64; 2] {
        [&self.outer, &self.inner].map(|one| self.terms.value(one, readings))
    }
}

/// How far angles by a map are from those that the gimbal stands at, the outer angle first; over the grid of a gate, or
/// over the rows of a measured sweep.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct AngleResiduals {
    /// Root of the mean square, rad.
    pub rms: [f64; 2],
    /// Greatest magnitude, along the edge of a gate too, rad.
    pub worst: [f64; 2],
    /// The same as a fraction of the axis's travel.
    pub rms_of_travel: [f64; 2],
    /// The same as a fraction of the axis's travel.
    pub worst_of_travel: [f64; 2],
    /// Outer and inner angle where each is worst, rad.
    pub worst_at: [[f64; 2]; 2],
}

checked_when_read! {
    /// A map fitted to the readings over a gate, and what is left with it and without.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct Correction {
        /// The map.
        pub map: CorrectionMap,
        /// With a straight line for each axis by its own reading alone, fitted to the same grid.
        pub before: AngleResiduals,
        /// With the map.
        pub after: AngleResiduals,
        /// The share of the grid at which a sensor is at a rail or a converter at the end of its range: there no map
        /// helps.
        pub clipped_share: f64,
    }
}

impl Correction {
    fn check(&self) -> Result<()> {
        within("clipped share", self.clipped_share, 0.0, 1.0, "of the grid")?;
        self.before.check()?;
        self.after.check()
    }
}

impl AngleResiduals {
    pub(super) fn check(&self) -> Result<()> {
        let both = [self.rms, self.worst];
        for &residual in both.iter().flatten() {
            within("residual", residual, 0.0, f64::MAX, "rad")?;
        }
        let shares = [self.rms_of_travel, self.worst_of_travel];
        for &share in shares.iter().flatten() {
            within("residual", share, 0.0, f64::MAX, "of the travel")?;
        }
        for &angle in self.worst_at.iter().flatten() {
            finite("angle of the worst residual", angle, "rad")?;
        }
        Ok(())
    }
}

/// Positions with the codes there.
pub(super) struct Samples {
    pub(super) angles: Vec<[f64; 2]>,
    pub(super) codes: Vec<[f64; 2]>,
    pub(super) clipped: usize,
}

impl Samples {
    pub(super) fn none() -> Self {
        Self {
            angles: Vec::new(),
            codes: Vec::new(),
            clipped: 0,
        }
    }
}

impl TwoAxis {
    /// The map from the codes of both sensors to both angles that is nearest, by least squares over the gate, and what
    /// it leaves.
    ///
    /// The grid has `points` (3 to 501) by `points` positions, of which those that the gate allows count. Greatest
    /// residuals are also looked for where its lines meet the edge of the gate. Codes are whole, so that what is left
    /// holds the steps of the converter.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count); [`Error::OutOfRange`] if a reading changes by less than a count over the
    /// gate, or if the two do not tell the terms apart (both follow one magnet in the same way); as
    /// [`TwoAxis::clearance`] and [`TwoAxis::reading_at`].
    pub fn correction(&self, terms: CorrectionTerms, points: usize) -> Result<Correction> {
        counted("points of the grid", points, [GRID[0], 501])?;
        self.check_clear()?;
        let lines = self.travel().map(|range| even_angles(range, points));
        let mut inside = grid(&lines[0], &lines[1]);
        let mut allowed = self.allowed(&inside)?.into_iter();
        inside.retain(|_| allowed.next().unwrap_or(false));
        let inside = self.samples(inside)?;
        let edge = self.samples(self.edge_points(&lines)?)?;

        let map = fitted(terms, &inside)?;
        let alone = Self::AXES.map(|axis| line(&inside, axis));
        let by_line = |codes: [f64; 2]| [0, 1].map(|i| alone[i][0] + alone[i][1] * codes[i]);
        let travel = self.travel().map(|[low, high]| high - low);
        Ok(Correction {
            before: residuals(&inside, &edge, travel, by_line),
            after: residuals(&inside, &edge, travel, |codes| map.angles(codes)),
            map,
            clipped_share: inside.clipped as f64 / inside.angles.len() as f64,
        })
    }

    /// Where the lines of a grid meet the edge of the gate.
    fn edge_points(&self, lines: &[Vec<f64>; 2]) -> Result<Vec<[f64; 2]>> {
        let spec = self.spec();
        let mut points = Vec::new();
        for (free, held) in [
            (GimbalAxis::Inner, &lines[0]),
            (GimbalAxis::Outer, &lines[1]),
        ] {
            for &held in held {
                observer::check()?;
                let ends = spec.gimbal.gate_stretches(&spec.gate, free, held)?;
                points.extend(ends.into_iter().flatten().map(|end| match free {
                    GimbalAxis::Outer => [end, held],
                    GimbalAxis::Inner => [held, end],
                }));
            }
        }
        Ok(points)
    }

    fn samples(&self, angles: Vec<[f64; 2]>) -> Result<Samples> {
        let (outer, inner): (Vec<_>, Vec<_>) = angles.iter().map(|pair| (pair[0], pair[1])).unzip();
        let readings = self.readings_at(&outer, &inner)?;
        observer::check()?;
        if let Some(bad) = readings.valid.iter().position(|valid| !valid) {
            // The call for one position knows the reason.
            self.reading_at(outer[bad], inner[bad])?;
        }
        let whole = |codes: &[i64; 2]| codes.map(|code| code as f64);
        let clipped = readings.clipped.iter().filter(|[a, b]| *a || *b);
        Ok(Samples {
            codes: readings.counts.iter().map(whole).collect(),
            clipped: clipped.count(),
            angles,
        })
    }
}

/// The map that is nearest to samples by least squares.
pub(super) fn fitted(terms: CorrectionTerms, samples: &Samples) -> Result<CorrectionMap> {
    let scales = TwoAxis::AXES.map(|axis| scale(&samples.codes, axis));
    let [a, b] = scales;
    let [outer, inner] = fit(terms, samples, [a?, b?])?;
    Ok(CorrectionMap {
        terms,
        outer,
        inner,
    })
}

/// The middle and half the range of a reading, counts.
pub(super) fn scale(codes: &[[f64; 2]], axis: GimbalAxis) -> Result<[f64; 2]> {
    let ends = codes
        .iter()
        .map(|pair| pair[number(axis)])
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], code| {
            [low.min(code), high.max(code)]
        });
    let quantity = match axis {
        GimbalAxis::Outer => "change of the outer reading over all positions",
        GimbalAxis::Inner => "change of the inner reading over all positions",
    };
    let most = Converter::MAX_CODE as f64;
    let change = within_computed(quantity, ends[1] - ends[0], 1.0, most, "counts")?;
    Ok([0.5 * (ends[0] + ends[1]), 0.5 * change])
}

/// Coefficients of both angles, in counts.
fn fit(terms: CorrectionTerms, samples: &Samples, scales: [[f64; 2]; 2]) -> Result<[Vec<f64>; 2]> {
    let scaled = |codes: &[f64; 2]| [0, 1].map(|i| (codes[i] - scales[i][0]) / scales[i][1]);
    let rows = samples
        .codes
        .iter()
        .flat_map(|codes| terms.row(scaled(codes)));
    let matrix = DMatrix::from_row_iterator(samples.codes.len(), terms.count(), rows);
    observer::check()?;
    // By the triangular factor, which has the same singular values and is small.
    let factors = matrix.qr();
    let triangle = factors.r();
    let singular = triangle.singular_values();
    let share = singular.min() / singular.max();
    within_computed(
        "least part of the readings that tells the terms of the correction apart",
        share,
        OPEN,
        1.0,
        "of the greatest",
    )?;
    let solved = |axis: usize| {
        let angles = samples.angles.iter().map(|pair| pair[axis]);
        let mut right = DVector::from_iterator(samples.angles.len(), angles);
        factors.q_tr_mul(&mut right);
        let right = right.rows(0, terms.count()).into_owned();
        let solution = triangle.solve_upper_triangular(&right);
        let solution = solution.ok_or(Error::NotConverged {
            quantity: "correction of the readings",
            reached: share,
            wanted: OPEN,
            unit: "of the greatest",
        })?;
        Ok::<_, Error>(in_counts(terms, solution.as_slice(), scales))
    };
    Ok([solved(0)?, solved(1)?])
}

/// Coefficients for readings in counts from those for x = (a - middle) / half and y alike.
fn in_counts(
    terms: CorrectionTerms,
    scaled: &[f64],
    [[ma, ha], [mb, hb]]: [[f64; 2]; 2],
) -> Vec<f64> {
    let part = |i: usize| scaled.get(i).copied().unwrap_or(0.0);
    let (x, y) = (part(1) / ha, part(2) / hb);
    let (xy, xx, yy) = (
        part(3) / (ha * hb),
        part(4) / (ha * ha),
        part(5) / (hb * hb),
    );
    let all = [
        part(0) - x * ma - y * mb + xy * ma * mb + xx * ma * ma + yy * mb * mb,
        x - xy * mb - 2.0 * xx * ma,
        y - xy * ma - 2.0 * yy * mb,
        xy,
        xx,
        yy,
    ];
    all[..terms.count()].to_vec()
}

/// Offset and slope of the straight line by an axis's own reading that is nearest by least squares.
pub(super) fn line(samples: &Samples, axis: GimbalAxis) -> [f64; 2] {
    let i = number(axis);
    let count = samples.angles.len() as f64;
    let mean = |values: &[[f64; 2]]| values.iter().map(|pair| pair[i]).sum::<f64>() / count;
    let (code, angle) = (mean(&samples.codes), mean(&samples.angles));
    let (mut squares, mut products) = (0.0, 0.0);
    for (codes, angles) in samples.codes.iter().zip(&samples.angles) {
        let away = codes[i] - code;
        squares += away * away;
        products += away * (angles[i] - angle);
    }
    // The reading changes by a count at least, so that there is a slope.
    let slope = products / squares;
    [angle - slope * code, slope]
}

pub(super) fn residuals(
    inside: &Samples,
    edge: &Samples,
    travel: [f64; 2],
    angles_for: impl Fn([f64; 2]) -> [f64; 2],
) -> AngleResiduals {
    let (mut squares, mut worst, mut worst_at) = ([0.0; 2], [0.0; 2], [[0.0; 2]; 2]);
    for (samples, counts) in [(inside, true), (edge, false)] {
        for (angles, &codes) in samples.angles.iter().zip(&samples.codes) {
            let found = angles_for(codes);
            for i in [0, 1] {
                let residual = f64::abs(found[i] - angles[i]);
                if counts {
                    squares[i] += residual * residual;
                }
                if residual > worst[i] {
                    (worst[i], worst_at[i]) = (residual, *angles);
                }
            }
        }
    }
    let count = inside.angles.len() as f64;
    let rms = squares.map(|sum: f64| (sum / count).sqrt());
    AngleResiduals {
        rms,
        worst,
        rms_of_travel: [0, 1].map(|i| rms[i] / travel[i]),
        worst_of_travel: [0, 1].map(|i| worst[i] / travel[i]),
        worst_at,
    }
}
