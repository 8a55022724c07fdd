//! One property of a material as a table prints it.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};

/// What a table prints of one property: a least, a typical, a greatest value, or two of them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum RatedValue {
    /// Only the least value; what is delivered lies above.
    Min(f64),
    /// Only the typical (nominal) value.
    Typical(f64),
    /// The least and the typical value.
    MinTypical(f64, f64),
    /// The least and the greatest value.
    MinMax(f64, f64),
}

/// Which of the values that a [`RatedValue`] holds, or stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RatedBound {
    /// The least value printed; if there is none, the typical one.
    Lowest,
    /// The typical value printed; if there is none, the middle of least and greatest, or the least as the only one
    /// known.
    Nominal,
    /// The greatest value printed; if there is none, the typical one, or the least as the only one known.
    Highest,
}

impl RatedValue {
    /// The same figure, if its values are numbers and in order.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if a value is not within +-1e12 (in SI units no property of a
    /// magnet comes near), [`Error::NotAscending`] if the values are not in order.
    pub fn checked(self) -> Result<Self> {
        self.check("figure of a material", -1e12, 1e12, "(its SI unit)")?;
        Ok(self)
    }

    /// The value for a bound, as [`RatedBound`] says.
    #[must_use]
    pub fn at(&self, bound: RatedBound) -> f64 {
        match (*self, bound) {
            (Self::Min(only) | Self::Typical(only), _)
            | (Self::MinTypical(only, _) | Self::MinMax(only, _), RatedBound::Lowest)
            | (Self::MinTypical(_, only), RatedBound::Nominal | RatedBound::Highest)
            | (Self::MinMax(_, only), RatedBound::Highest) => only,
            (Self::MinMax(min, max), RatedBound::Nominal) => 0.5 * (min + max),
        }
    }

    /// [`RatedBound::Lowest`].
    #[must_use]
    pub fn lowest(&self) -> f64 {
        self.at(RatedBound::Lowest)
    }

    /// [`RatedBound::Nominal`].
    #[must_use]
    pub fn nominal(&self) -> f64 {
        self.at(RatedBound::Nominal)
    }

    /// [`RatedBound::Highest`].
    #[must_use]
    pub fn highest(&self) -> f64 {
        self.at(RatedBound::Highest)
    }

    /// The figure in words, each value divided by `unit`.
    pub(super) fn text(&self, unit: f64, name: &str) -> String {
        // Tables print no more than four digits; a fifth would be the rounding of the units.
        let value = |v: f64| {
            let v = v / unit;
            let digits = 3 - (v.abs().log10().floor() as i32).clamp(-3, 3);
            let scale = 10_f64.powi(digits);
            (v * scale).round() / scale
        };
        match *self {
            Self::Min(min) => format!("at least {} {name}", value(min)),
            Self::Typical(typical) => format!("about {} {name}", value(typical)),
            Self::MinTypical(min, typical) => {
                format!("{} {name} (at least {})", value(typical), value(min))
            }
            Self::MinMax(min, max) => format!("{} to {} {name}", value(min), value(max)),
        }
    }

    /// All values within `min..=max` and in order, or the error that says how not.
    pub(super) fn check(
        &self,
        quantity: &'static str,
        min: f64,
        max: f64,
        unit: &'static str,
    ) -> Result<()> {
        let (lower, upper) = match *self {
            Self::Min(only) | Self::Typical(only) => (only, only),
            Self::MinTypical(lower, upper) | Self::MinMax(lower, upper) => (lower, upper),
        };
        within(quantity, lower, min, max, unit)?;
        within(quantity, upper, min, max, unit)?;
        if lower > upper {
            return Err(Error::NotAscending {
                quantity,
                lower,
                upper,
                unit,
            });
        }
        Ok(())
    }
}
