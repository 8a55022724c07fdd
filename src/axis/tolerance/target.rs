//! What a build has to meet.

use std::fmt;

use serde::Serialize;

use crate::error::{Error, Result, ascending, finite};
use crate::stored::checked_when_read;

checked_when_read! {
    /// A limit, or two, for one figure of a build.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct YieldTarget {
        figure: String,
        min: Option<f64>,
        max: Option<f64>,
    }
}

impl YieldTarget {
    /// The figure may not be less, in its SI unit.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn at_least(figure: impl Into<String>, min: f64) -> Result<Self> {
        Self::new(figure, Some(min), None)
    }

    /// The figure may not be more.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn at_most(figure: impl Into<String>, max: f64) -> Result<Self> {
        Self::new(figure, None, Some(max))
    }

    /// The figure lies within both limits.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::NotAscending`].
    pub fn within(figure: impl Into<String>, min: f64, max: f64) -> Result<Self> {
        Self::new(figure, Some(min), Some(max))
    }

    /// Any of them.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::NotAscending`]; [`Error::Absent`] without a limit.
    pub fn new(figure: impl Into<String>, min: Option<f64>, max: Option<f64>) -> Result<Self> {
        let target = Self {
            figure: figure.into(),
            min,
            max,
        };
        target.check()?;
        Ok(target)
    }

    fn check(&self) -> Result<()> {
        for limit in [self.min, self.max].into_iter().flatten() {
            finite("limit of a target", limit, "(unit of the figure)")?;
        }
        match (self.min, self.max) {
            (Some(min), Some(max)) => {
                ascending("limits of a target", [min, max], "(unit of the figure)")?;
            }
            (None, None) => {
                return Err(Error::Absent {
                    quantity: "limit",
                    of: "a target",
                    advice: "say what the figure may be at least, at most, or both",
                });
            }
            _ => {}
        }
        Ok(())
    }

    /// The name of the figure.
    #[must_use]
    pub fn figure(&self) -> &str {
        &self.figure
    }

    /// The least that it may be, if there is such a limit.
    #[must_use]
    pub fn min(&self) -> Option<f64> {
        self.min
    }

    /// The most that it may be, if there is such a limit.
    #[must_use]
    pub fn max(&self) -> Option<f64> {
        self.max
    }

    /// By how much a figure misses its target, as a share of the width between the limits, or of the only one (of 1,
    /// where that is zero). Negative where it is met with something to spare; infinite where there is no figure.
    #[must_use]
    pub fn miss(&self, value: f64) -> f64 {
        if !value.is_finite() {
            return f64::INFINITY;
        }
        let below = self.min.map_or(f64::NEG_INFINITY, |min| min - value);
        let above = self.max.map_or(f64::NEG_INFINITY, |max| value - max);
        let width = match (self.min, self.max) {
            (Some(min), Some(max)) => max - min,
            (Some(only), None) | (None, Some(only)) if only != 0.0 => only.abs(),
            _ => 1.0,
        };
        below.max(above) / width
    }
}

impl fmt::Display for YieldTarget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let figure = &self.figure;
        match (self.min, self.max) {
            (Some(min), Some(max)) => write!(f, "{figure} within {min:?} to {max:?}"),
            (Some(min), None) => write!(f, "{figure} at least {min:?}"),
            (None, Some(max)) => write!(f, "{figure} at most {max:?}"),
            (None, None) => write!(f, "{figure}"),
        }
    }
}
