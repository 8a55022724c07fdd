//! How a toleranced number of a design file is distributed, by a word.

use crate::axis::Distribution;
use crate::error::{Result, choices};

/// How a toleranced number of a design file is distributed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum ToleranceShape {
    /// Normal, with twice its standard deviation for the plus-minus: 95 % of the parts are within.
    #[default]
    Normal,
    /// Anywhere within the plus-minus with one probability.
    Uniform,
    /// Two straight flanks from the value down to either end of the plus-minus.
    Triangular,
}

choices!(ToleranceShape, "distribution of a tolerance", {
    Normal => "normal",
    Uniform => "uniform",
    Triangular => "triangular",
});

impl ToleranceShape {
    /// The distribution of a value with its plus-minus.
    pub(super) fn distributed(self, value: f64, plus_minus: f64) -> Result<Distribution> {
        let [low, high] = [value - plus_minus, value + plus_minus];
        match self {
            Self::Normal => Distribution::plus_minus(value, plus_minus),
            Self::Uniform => Distribution::uniform(low, high),
            Self::Triangular => Distribution::triangular(low, value, high),
        }
    }
}
