//! How a toleranced number of a design file is distributed, by a word.

use crate::axis::{Distribution, DistributionSpec};
use crate::error::{Result, choices};

/// How a toleranced number of a design file is distributed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ToleranceShape {
    /// Normal, with twice its standard deviation for the plus-minus where no other factor is given: 95 % of the parts
    /// are within.
    #[default]
    Normal,
    /// The same with what is beyond the plus-minus taken out, as parts that were sorted.
    TruncatedNormal,
    /// Anywhere within the plus-minus with one probability.
    Uniform,
    /// Two straight flanks from the value down to either end of the plus-minus.
    Triangular,
}

choices!(ToleranceShape, "distribution of a tolerance", {
    Normal => "normal",
    TruncatedNormal => "truncated normal",
    Uniform => "uniform",
    Triangular => "triangular",
});

impl ToleranceShape {
    /// Whether it has a standard deviation by its plus-minus.
    pub(super) fn is_normal(self) -> bool {
        matches!(self, Self::Normal | Self::TruncatedNormal)
    }

    /// The distribution of a value with its plus-minus, which is so many standard deviations of a normal one.
    pub(super) fn distributed(
        self,
        value: f64,
        plus_minus: f64,
        coverage_factor: f64,
    ) -> Result<Distribution> {
        let [low, high] = [value - plus_minus, value + plus_minus];
        match self {
            Self::Normal => Distribution::plus_minus_covering(value, plus_minus, coverage_factor),
            Self::TruncatedNormal => Distribution::new(DistributionSpec::TruncatedNormal {
                mean: value,
                standard_deviation: plus_minus / coverage_factor,
                low,
                high,
            }),
            Self::Uniform => Distribution::uniform(low, high),
            Self::Triangular => Distribution::triangular(low, value, high),
        }
    }
}
