//! Both angles from both readings of a stick that was measured: the map, and what is left of rows that it has not seen.

use std::f64::consts::PI;

use serde::Serialize;

use crate::axis::stick::correction::{
    AngleResiduals, CorrectionMap, CorrectionTerms, Samples, fitted, line, residuals, scale,
};
use crate::error::{Error, Result, counted, within, within_computed};
use crate::hall::Converter;
use crate::linkage::GimbalAxis;
use crate::observer;
use crate::stored::checked_when_read;

/// Rows of a sweep: more than the greatest number of terms, so that something is left to be judged.
const ROWS: [usize; 2] = [8, 1_000_000];
/// Share of the rows that is held back.
const HELD_BACK: [f64; 2] = [0.0, 0.5];
/// Least travel of either axis, rad: a tenth of a minute of arc.
const TRAVEL: f64 = 3e-5;
/// The fraction of the golden section: its multiples fall evenly and keep step with the lines of no grid.
const GOLDEN: f64 = 0.618_033_988_749_894_9;
/// Rows between two looks at the observer.
const BLOCK: usize = 1 << 16;

checked_when_read! {
    /// What both sensors of a built stick read where it was held: a sweep of both axes, as a grid, a spiral or anyhow.
    ///
    /// # Example
    /// ```
    /// use yokewright::axis::{CorrectionTerms, TwoAxisSweep};
    /// // Seven by seven positions, each reading with a twentieth of the other axis in it.
    /// let at = |i: i32| f64::from(i - 3) * 0.1;
    /// let angles: Vec<[f64; 2]> = (0..49).map(|i| [at(i % 7), at(i / 7)]).collect();
    /// let counts = |[a, b]: &[f64; 2]| [2048.0 + 4000.0 * (a + 0.05 * b), 2048.0 + 4000.0 * (b - 0.05 * a)];
    /// let sweep = TwoAxisSweep::new(angles.clone(), angles.iter().map(counts).collect())?;
    /// let calibration = sweep.calibration(CorrectionTerms::Linear, 0.2)?;
    /// assert!(calibration.before.worst[0] > 0.01);
    /// assert!(calibration.after.worst[0] < 1e-12);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct TwoAxisSweep {
        angles: Vec<[f64; 2]>,
        counts: Vec<[f64; 2]>,
    }
}

checked_when_read! {
    /// A map fitted to a measured sweep, and what is left with it and without. In counts by the gain that each reading
    /// has over the sweep.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct TwoAxisCalibration {
        /// The map.
        pub map: CorrectionMap,
        /// Over the rows that it was fitted to, with a straight line for each axis by its own reading alone.
        pub before: AngleResiduals,
        /// Over the same rows, with the map.
        pub after: AngleResiduals,
        /// Over the rows that were held back, with the map; `None` if there are none.
        pub held_back: Option<AngleResiduals>,
        /// How many rows the map was fitted to.
        pub fitted_rows: usize,
        /// How many were held back.
        pub held_back_rows: usize,
        /// Gain of each reading over the sweep, counts/rad, positive: what turns an angle into counts.
        pub counts_per_radian: [f64; 2],
    }
}

impl TwoAxisSweep {
    /// Of outer and inner angles (rad) and the readings of the sensors of the outer and the inner axis there (counts;
    /// means of several need not be whole), 8 to a million rows.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`], [`Error::Count`], [`Error::NotFinite`], [`Error::OutOfRange`], also if an axis hardly
    /// turns over all rows or its reading changes by less than a count.
    pub fn new(angles: Vec<[f64; 2]>, counts: Vec<[f64; 2]>) -> Result<Self> {
        let sweep = Self { angles, counts };
        sweep.check()?;
        Ok(sweep)
    }

    fn check(&self) -> Result<()> {
        if self.angles.len() != self.counts.len() {
            return Err(Error::LengthMismatch {
                first: "angles of the sweep",
                first_len: self.angles.len(),
                second: "readings of the sweep",
                second_len: self.counts.len(),
            });
        }
        counted("rows of the sweep", self.angles.len(), ROWS)?;
        let most = Converter::MAX_CODE as f64;
        for (i, ([outer, inner], [a, b])) in self.angles.iter().zip(&self.counts).enumerate() {
            if i % BLOCK == 0 {
                observer::check()?;
            }
            within("outer angle", *outer, -PI, PI, "rad")?;
            within("inner angle", *inner, -PI, PI, "rad")?;
            within("outer reading", *a, 0.0, most, "counts")?;
            within("inner reading", *b, 0.0, most, "counts")?;
        }
        let names = [
            "travel of the outer axis in the sweep",
            "travel of the inner axis in the sweep",
        ];
        for (name, travel) in names.into_iter().zip(travel(&self.angles)) {
            within_computed(name, travel, TRAVEL, 2.0 * PI, "rad")?;
        }
        scale(&self.counts, GimbalAxis::Outer)?;
        scale(&self.counts, GimbalAxis::Inner)?;
        Ok(())
    }

    /// Outer and inner angle of each row, rad.
    #[must_use]
    pub fn angles(&self) -> &[[f64; 2]] {
        &self.angles
    }

    /// Readings of each row, counts.
    #[must_use]
    pub fn counts(&self) -> &[[f64; 2]] {
        &self.counts
    }

    /// The map from both readings to both angles that is nearest by least squares to the rows that are not held back,
    /// and what it leaves of them and of those that are.
    ///
    /// The share `held_back` (0 to 0.5) of the rows is kept out of the fit: a row is, if the fraction of its number
    /// (from 1) times the golden section is below that share. They are spread evenly so, and in step with no line of a
    /// grid.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], also if the rows do not tell the terms apart: a spiral on one
    /// circle, two readings that follow one another.
    pub fn calibration(
        &self,
        terms: CorrectionTerms,
        held_back: f64,
    ) -> Result<TwoAxisCalibration> {
        let [least, most] = HELD_BACK;
        let quantity = "share of rows held back";
        let share = within(quantity, held_back, least, most, "(no unit)")?;
        let kept_back = |i: usize| ((i + 1) as f64 * GOLDEN).fract() < share;
        let rows = |back: bool| {
            let chosen = (0..self.angles.len()).filter(move |&i| kept_back(i) == back);
            let (angles, codes) = chosen.map(|i| (self.angles[i], self.counts[i])).unzip();
            Samples {
                angles,
                codes,
                clipped: 0,
            }
        };
        let (fit, back) = (rows(false), rows(true));
        // At least as many as there are terms, and one to be judged by.
        counted(
            "rows to be fitted",
            fit.angles.len(),
            [terms.count() + 1, ROWS[1]],
        )?;
        let map = fitted(terms, &fit)?;
        observer::check()?;
        let alone = [GimbalAxis::Outer, GimbalAxis::Inner].map(|axis| line(&fit, axis));
        let by_line = |codes: [f64; 2]| [0, 1].map(|i| alone[i][0] + alone[i][1] * codes[i]);
        let travel = travel(&self.angles);
        let none = Samples::none();
        let left = |rows: &Samples| residuals(rows, &none, travel, |codes| map.angles(codes));
        Ok(TwoAxisCalibration {
            before: residuals(&fit, &none, travel, by_line),
            after: left(&fit),
            held_back: (!back.angles.is_empty()).then(|| left(&back)),
            fitted_rows: fit.angles.len(),
            held_back_rows: back.angles.len(),
            counts_per_radian: gains(&fit),
            map,
        })
    }
}

impl TwoAxisCalibration {
    /// Two angles (rad) in counts of the readings of their axes.
    #[must_use]
    pub fn in_counts(&self, angles: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| angles[i] * self.counts_per_radian[i])
    }

    fn check(&self) -> Result<()> {
        let all = [
            Some(&self.before),
            Some(&self.after),
            self.held_back.as_ref(),
        ];
        for residuals in all.into_iter().flatten() {
            residuals.check()?;
        }
        for gain in self.counts_per_radian {
            within("gain", gain, 0.0, f64::MAX, "counts/rad")?;
        }
        counted(
            "rows to be fitted",
            self.fitted_rows,
            [self.map.terms.count() + 1, ROWS[1]],
        )?;
        let most = ROWS[1] - self.fitted_rows;
        counted("rows held back", self.held_back_rows, [0, most])?;
        Ok(())
    }
}

/// From the least to the greatest angle of each axis.
fn travel(angles: &[[f64; 2]]) -> [f64; 2] {
    [0, 1].map(|i| {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let [low, high] = angles.iter().fold(none, |[low, high], pair| {
            [low.min(pair[i]), high.max(pair[i])]
        });
        high - low
    })
}

/// Counts to a radian of the axis's own angle by least squares, without a sign.
fn gains(samples: &Samples) -> [f64; 2] {
    let count = samples.angles.len() as f64;
    [0, 1].map(|i| {
        let mean = |pairs: &[[f64; 2]]| pairs.iter().map(|pair| pair[i]).sum::<f64>() / count;
        let (angle, code) = (mean(&samples.angles), mean(&samples.codes));
        let (mut squares, mut products) = (0.0, 0.0);
        for (angles, codes) in samples.angles.iter().zip(&samples.codes) {
            squares += (angles[i] - angle).powi(2);
            products += (angles[i] - angle) * (codes[i] - code);
        }
        if squares > 0.0 {
            f64::abs(products / squares)
        } else {
            0.0
        }
    })
}
