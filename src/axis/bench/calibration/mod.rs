//! From a measured sweep to the position that a count stands for.

mod curve;
mod residuals;
mod smooth;
mod worth;

use serde::{Deserialize, Serialize};

use crate::axis::bench::sweep::BenchSweep;
use crate::error::{Result, choices, counted, finite, within};
use crate::stored::checked_when_read;

pub use curve::CalibrationCurve;
pub use residuals::CalibrationResiduals;
pub use worth::PointsWorth;

use smooth::{KNOTS, Rows, best_table, even_table};

/// Degrees of a polynomial.
const DEGREES: [usize; 2] = [1, 15];
/// Greatest share of the rows that may be held back.
const MOST_HELD_BACK: f64 = 0.5;

/// Where the knots of a table stand.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum KnotPlacement {
    /// Where its greatest error becomes least.
    #[default]
    LeastError,
    /// Evenly over the counts.
    Even,
}

choices!(KnotPlacement, "placement of the knots", {
    LeastError => "least error",
    Even => "even",
});

/// The form of a calibration.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CalibrationForm {
    /// A polynomial, fitted to all rows.
    Polynomial {
        /// Its degree, 1 to 15.
        degree: usize,
    },
    /// Straight between knots.
    Table {
        /// How many, 2 to 257.
        knots: usize,
        /// Where they stand.
        placement: KnotPlacement,
    },
    /// Monotone cubics between knots that are evenly spaced over the counts.
    MonotoneCubic {
        /// How many, 2 to 257.
        knots: usize,
    },
}

/// How a sweep is made a calibration.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CalibrationSpec {
    /// Its form.
    pub form: CalibrationForm,
    /// Whether outliers that were kept are to count with their size, not its square (Huber).
    pub robust: bool,
    /// Share of the rows, 0 to 0.5, evenly spread, that is not fitted but kept to judge the fit.
    pub held_back: f64,
}

impl CalibrationSpec {
    /// Robust, with a fifth of the rows held back.
    #[must_use]
    pub fn new(form: CalibrationForm) -> Self {
        Self {
            form,
            robust: true,
            held_back: 0.2,
        }
    }

    fn check(&self) -> Result<()> {
        match self.form {
            CalibrationForm::Polynomial { degree } => {
                counted("degree of the calibration", degree, DEGREES)?;
            }
            CalibrationForm::Table { knots, .. } | CalibrationForm::MonotoneCubic { knots } => {
                counted("knots of the calibration", knots, KNOTS)?;
            }
        }
        let of = "share of the rows that is held back";
        within(of, self.held_back, 0.0, MOST_HELD_BACK, "(no unit)")?;
        Ok(())
    }

    /// Whether a row is held back: evenly spread, the first row never.
    fn holds_back(&self, row: usize) -> bool {
        let part = |row: usize| (row as f64 * self.held_back + 0.5).floor();
        part(row + 1) > part(row)
    }
}

checked_when_read! {
    /// A calibration: the curve from count to position, and what it leaves of the errors of the sweep.
    ///
    /// A polynomial is fitted to the rows, by least squares or robustly; a monotone cubic goes through the values of
    /// parabolas fitted about its knots. A table stands for such a cubic of up to 33 knots: its own knots are placed so
    /// that it departs least from it. Rows of there and back are fitted together, so that the position lies midway
    /// between them; half the hysteresis is in every residual.
    ///
    /// # Example
    /// ```
    /// use yokewright::axis::{BenchSweep, CalibrationForm, CalibrationSpec, KnotPlacement};
    /// use yokewright::units::DEG;
    ///
    /// let angles: Vec<f64> = (-100..=100).map(|i| 0.1 * f64::from(i) * DEG).collect();
    /// let counts = angles.iter().map(|a| (2048.0 + 1900.0 * (6.0 * a).sin()).round());
    /// let sweep = BenchSweep::new(12, angles.clone(), counts.collect())?;
    ///
    /// let form = CalibrationForm::Table { knots: 9, placement: KnotPlacement::LeastError };
    /// let calibration = sweep.calibrate(&CalibrationSpec::new(form))?;
    /// assert!(calibration.before().greatest > 0.5 * DEG);
    /// assert!(calibration.after().greatest < 0.06 * DEG);
    /// assert!(calibration.held_back().unwrap().greatest < 0.06 * DEG);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct Calibration {
        spec: CalibrationSpec,
        bits: u32,
        travel: [f64; 2],
        curve: CalibrationCurve,
        reference: CalibrationCurve,
        table_error: Option<f64>,
        table_bound: Option<f64>,
        before: CalibrationResiduals,
        after: CalibrationResiduals,
        held_back: Option<CalibrationResiduals>,
    }
}

impl BenchSweep {
    /// The calibration of a form.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) for a degree beyond 1 to 15, knots beyond 2 to 257, or too few different
    /// counts for them; [`Error::NotFinite`](crate::Error::NotFinite),
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for the share that is held back;
    /// [`Error::TurnsBack`](crate::Error::TurnsBack) for a curve whose positions do not go one way;
    /// [`Error::Stopped`](crate::Error::Stopped).
    pub fn calibrate(&self, spec: &CalibrationSpec) -> Result<Calibration> {
        spec.check()?;
        let all: Vec<[f64; 2]> = self
            .count()
            .iter()
            .zip(self.angle())
            .map(|(count, angle)| [*count, *angle])
            .collect();
        let numbered = all.iter().copied().enumerate();
        let (held, fitted): (Vec<_>, Vec<_>) = numbered.partition(|(row, _)| spec.holds_back(*row));
        let plain = |rows: Vec<(usize, [f64; 2])>| -> Vec<[f64; 2]> {
            rows.into_iter().map(|(_, row)| row).collect()
        };
        let (held, fitted) = (plain(held), plain(fitted));
        let counts = self.count_range();
        let rows = Rows::new(fitted.clone(), counts, spec.robust);
        let reference = rows.reference()?;
        let (curve, error, bound) = match spec.form {
            CalibrationForm::Polynomial { degree } => (rows.polynomial(degree)?, None, None),
            CalibrationForm::MonotoneCubic { knots } => (rows.monotone_cubic(knots)?, None, None),
            CalibrationForm::Table { knots, placement } => {
                let (table, bound) = match placement {
                    KnotPlacement::LeastError => {
                        let (table, bound) = best_table(&reference, knots)?;
                        (table, Some(bound))
                    }
                    KnotPlacement::Even => (even_table(&reference, knots)?, None),
                };
                let error = worth::greatest_departure(&table, &reference);
                (table, Some(error), bound)
            }
        };
        let travel = self.angle_range();
        let [from, to] = if self.is_rising() {
            travel
        } else {
            [travel[1], travel[0]]
        };
        let ends = CalibrationCurve::table(&[[counts[0], from], [counts[1], to]])?;
        let residuals = |curve, rows: &[[f64; 2]]| CalibrationResiduals::of(curve, rows, travel);
        Ok(Calibration {
            spec: *spec,
            bits: self.bits(),
            travel,
            before: residuals(&ends, &all),
            after: residuals(&curve, &fitted),
            held_back: (!held.is_empty()).then(|| residuals(&curve, &held)),
            curve,
            reference,
            table_error: error,
            table_bound: bound,
        })
    }
}

impl Calibration {
    fn check(&self) -> Result<()> {
        self.spec.check()?;
        counted(
            "converter bits",
            self.bits as usize,
            crate::axis::bench::sweep::CONVERTER_BITS,
        )?;
        crate::error::ascending("travel of the calibration", self.travel, "rad")?;
        for error in self.table_error.iter().chain(&self.table_bound) {
            finite("error of the table", *error, "rad")?;
        }
        Ok(())
    }

    /// How it was made.
    #[must_use]
    pub fn spec(&self) -> &CalibrationSpec {
        &self.spec
    }

    /// Bits of the converter.
    #[must_use]
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// Least and greatest angle of the sweep, rad.
    #[must_use]
    pub fn travel(&self) -> [f64; 2] {
        self.travel
    }

    /// The position by the count.
    #[must_use]
    pub fn curve(&self) -> &CalibrationCurve {
        &self.curve
    }

    /// The cubic that stands for the readings: what a table is made of, and what points are worth is judged on.
    #[must_use]
    pub fn reference(&self) -> &CalibrationCurve {
        &self.reference
    }

    /// How far a table departs from [`Calibration::reference`] at most, rad; none of another form.
    #[must_use]
    pub fn table_error(&self) -> Option<f64> {
        self.table_error
    }

    /// What no table of so many knots is below, wherever they stand, rad; none unless they were placed for the least
    /// error.
    #[must_use]
    pub fn table_bound(&self) -> Option<f64> {
        self.table_bound
    }

    /// What a straight line from the least to the greatest count leaves, over all rows: a firmware that knows the ends
    /// only.
    #[must_use]
    pub fn before(&self) -> &CalibrationResiduals {
        &self.before
    }

    /// What the calibration leaves of the rows that were fitted.
    #[must_use]
    pub fn after(&self) -> &CalibrationResiduals {
        &self.after
    }

    /// What it leaves of those that were held back; none if none were.
    #[must_use]
    pub fn held_back(&self) -> Option<&CalibrationResiduals> {
        self.held_back.as_ref()
    }

    /// What calibrations of so many points would leave, straight between them: which number of points is worth taking.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) for numbers beyond 2 to 257; [`Error::Stopped`](crate::Error::Stopped).
    pub fn points_worth(&self, numbers: &[usize]) -> Result<Vec<PointsWorth>> {
        let worth = |number: &usize| PointsWorth::of(&self.reference, *number);
        numbers.iter().map(worth).collect()
    }
}
