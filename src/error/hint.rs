//! What a person may have meant by a value that is out of its range.

use std::fmt;

use super::text::{TYPED_DIGITS, significant_digits, tidy};
use crate::units;

/// What the user may have meant, as a phrase that follows the error.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Hint {
    /// Nothing to suggest.
    None,
    /// A length that would be plausible in millimetres.
    Millimetres(f64),
    /// An angle that would be plausible in degrees.
    Degrees(f64),
    /// A flux density that would be plausible in millitesla.
    Millitesla(f64),
    /// A flux density that would be plausible in gauss.
    Gauss(f64),
    /// A voltage that would be plausible in millivolts.
    Millivolts(f64),
    /// A time that would be plausible in milliseconds.
    Milliseconds(f64),
}

impl fmt::Display for Hint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (value, factor) = match self {
            Hint::None => return Ok(()),
            Hint::Millimetres(v) => (v, "MM"),
            Hint::Degrees(v) => (v, "DEG"),
            Hint::Millitesla(v) => (v, "MT"),
            Hint::Gauss(v) => (v, "GAUSS"),
            Hint::Millivolts(v) => (v, "MV"),
            Hint::Milliseconds(v) => (v, "MS"),
        };
        write!(f, "; did you mean {} * {factor}?", tidy(*value))
    }
}

impl Hint {
    /// What the number may have meant in a smaller unit; only for numbers as people type them, where the size is
    /// plausible in the smaller unit and not in the one that was taken.
    pub(super) fn suggest(value: f64, unit: &str, fits: impl Fn(f64) -> bool) -> Self {
        let size = value.abs();
        if significant_digits(value) > TYPED_DIGITS {
            return Self::None;
        }
        match unit {
            // Parts of a control are smaller than 300 mm, or so; no drawing in mm has a number above 10,000.
            "m" if (0.3..=1e4).contains(&size) && fits(units::MM) => Self::Millimetres(value),
            "rad" if (1.0..=3600.0).contains(&size) && fits(units::DEG) => Self::Degrees(value),
            "T" if (10.0..=1e4).contains(&size) && fits(units::MT) => Self::Millitesla(value),
            "T" if (100.0..=1e5).contains(&size) && fits(units::GAUSS) => Self::Gauss(value),
            // A voltage just beyond its limit is what it says.
            "V" if (0.01..=1e5).contains(&size) && fits(units::MV) && !fits(0.2) => {
                Self::Millivolts(value)
            }
            // Stages of some seconds are stages of some milliseconds.
            "s" if (1.0..=1e4).contains(&size) && fits(units::MS) => Self::Milliseconds(value),
            _ => Self::None,
        }
    }
}
