//! What an identification tells, in figures and in words.

use serde::Serialize;

use crate::axis::bench::identification::engine::Fit;
use crate::axis::bench::identification::unknown::Unknown;
use crate::error::{Result, finite, within};
use crate::stored::checked_when_read;

/// Two quantities move together from this correlation on.
const TOGETHER: f64 = 0.9;
/// Standard deviations about a normally distributed value that hold 95 %.
pub(super) const COVERS_95: f64 = 1.959_963_985;

checked_when_read! {
    /// One quantity that was identified, in its SI unit.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct IdentifiedQuantity {
        /// Its name.
        pub name: String,
        /// Its unit.
        pub unit: String,
        /// As designed.
        pub designed: f64,
        /// As it explains the readings best.
        pub value: f64,
        /// Standard error; none if the readings do not tell it from another.
        pub standard_error: Option<f64>,
    }
}

impl IdentifiedQuantity {
    fn check(&self) -> Result<()> {
        finite("designed value", self.designed, "its unit")?;
        finite("identified value", self.value, "its unit")?;
        if let Some(error) = self.standard_error {
            within("standard error", error, 0.0, f64::MAX, "its unit")?;
        }
        Ok(())
    }

    /// Least and greatest value that 95 of 100 such sweeps would be right about; none without a standard error.
    #[must_use]
    pub fn interval(&self) -> Option<[f64; 2]> {
        let error = self.standard_error?;
        Some([
            self.value - COVERS_95 * error,
            self.value + COVERS_95 * error,
        ])
    }
}

checked_when_read! {
    /// Which values explain measured readings, how well each is known, and what the readings cannot tell apart.
    ///
    /// Least squares on the exact model within the bounds, with the tolerances as further residuals. Standard errors
    /// and correlations follow from the derivatives at the fit. A direction in which the readings alone tell the
    /// quantities no better than to half of what was known before is named, and what takes part in it has no standard
    /// error.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct Identification {
        /// The quantities, in the order asked for.
        pub quantities: Vec<IdentifiedQuantity>,
        /// Correlation of each two by the readings alone.
        pub correlation: Vec<Vec<f64>>,
        /// What the readings cannot tell apart, in words.
        pub cannot_tell: Vec<String>,
        /// What of it is told, but moves together, in words.
        pub moves_together: Vec<String>,
        /// Root mean square of what the fit leaves, in the unit of the readings.
        pub residual_rms: f64,
        /// Standard deviation of a reading that was used: as given, or by what the fit leaves.
        pub reading_sd: f64,
        /// Unit of the readings.
        pub reading_unit: String,
        /// Number of readings.
        pub readings: usize,
    }
}

impl Identification {
    fn check(&self) -> Result<()> {
        let count = self.quantities.len();
        let even = self.correlation.len() == count
            && self.correlation.iter().all(|row| row.len() == count);
        if !even {
            return Err(crate::Error::LengthMismatch {
                first: "quantities",
                first_len: count,
                second: "correlations",
                second_len: self.correlation.len(),
            });
        }
        for part in self.correlation.iter().flatten() {
            within("correlation", *part, -1.0, 1.0, "(no unit)")?;
        }
        within("residual", self.residual_rms, 0.0, f64::MAX, "its unit")?;
        within(
            "standard deviation of a reading",
            self.reading_sd,
            0.0,
            f64::MAX,
            "its unit",
        )?;
        Ok(())
    }

    /// What of the standard deviation of a reading the fit leaves: far above 1, something is off that was not sought.
    #[must_use]
    pub fn misfit(&self) -> f64 {
        self.residual_rms / self.reading_sd
    }

    /// The quantity of a name.
    #[must_use]
    pub fn quantity(&self, name: &str) -> Option<&IdentifiedQuantity> {
        self.quantities
            .iter()
            .find(|quantity| quantity.name == name)
    }

    pub(super) fn of(unknowns: &[Unknown], fit: &Fit, readings: usize, unit: &str) -> Self {
        let quantities = unknowns.iter().zip(&fit.values).zip(&fit.errors);
        let quantities = quantities.map(|((unknown, value), error)| IdentifiedQuantity {
            name: unknown.name.clone(),
            unit: unknown.unit.to_owned(),
            designed: unknown.designed,
            value: *value,
            standard_error: *error,
        });
        let names: Vec<&str> = unknowns
            .iter()
            .map(|unknown| unknown.name.as_str())
            .collect();
        let cannot_tell = fit
            .unseen
            .iter()
            .map(|parts| cannot_tell(parts, &names, fit));
        let mut moves_together = Vec::new();
        for (i, row) in fit.correlation.iter().enumerate() {
            for (j, correlation) in row.iter().enumerate().skip(i + 1) {
                let told = fit.errors[i].is_some() && fit.errors[j].is_some();
                if told && correlation.abs() >= TOGETHER {
                    moves_together.push(format!(
                        "{} and {} move together: {correlation:.2}",
                        names[i], names[j]
                    ));
                }
            }
        }
        Self {
            quantities: quantities.collect(),
            correlation: fit.correlation.clone(),
            cannot_tell: cannot_tell.collect(),
            moves_together,
            residual_rms: fit.rms,
            reading_sd: fit.sd,
            reading_unit: unit.to_owned(),
            readings,
        }
    }
}

fn cannot_tell(parts: &[usize], names: &[&str], fit: &Fit) -> String {
    match parts {
        [one] => format!("the sweep does not tell {}; measure it", names[*one]),
        [a, b] => format!(
            "{} and {} move together: {:.2}; measure one of them",
            names[*a], names[*b], fit.correlation[*a][*b]
        ),
        many => {
            let names: Vec<&str> = many.iter().map(|i| names[*i]).collect();
            let (last, others) = names
                .split_last()
                .map_or(("", &[][..]), |(last, o)| (*last, o));
            format!(
                "{} and {last} move together; measure all but one of them",
                others.join(", ")
            )
        }
    }
}
