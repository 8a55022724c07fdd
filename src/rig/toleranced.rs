//! Numbers of a design file with their tolerances.

use serde::{Deserialize, Serialize};

use crate::axis::Distribution;
use crate::error::{Result, choices};
use crate::rig::keys::Key;

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

/// The tolerance that a design file gives to one of its numbers, such as `gap_mm = { value = 3.3, plus_minus = 0.3 }`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeyTolerance {
    key: String,
    line: usize,
    shape: ToleranceShape,
    distribution: Distribution,
}

impl KeyTolerance {
    /// The key with its section, as the file has it: `axis.gap_mm`.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The line of the file at which it stands.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// How the number is distributed, in words.
    #[must_use]
    pub fn shape(&self) -> ToleranceShape {
        self.shape
    }

    /// How the number is distributed, in SI.
    #[must_use]
    pub fn distribution(&self) -> &Distribution {
        &self.distribution
    }
}

/// A number in the unit of its key, with its tolerance if it has one.
#[derive(Debug, Clone, Copy)]
pub(super) struct Toleranced {
    pub(super) value: f64,
    plus_minus: f64,
    shape: ToleranceShape,
}

impl Toleranced {
    pub(super) fn exact(value: f64) -> Self {
        Self {
            value,
            plus_minus: 0.0,
            shape: ToleranceShape::Normal,
        }
    }

    /// With a distribution by its word; none of a word that is none.
    pub(super) fn new(value: f64, plus_minus: f64, word: Option<&str>) -> Option<Self> {
        let shape = match word {
            Some(word) => word.parse().ok()?,
            None => ToleranceShape::default(),
        };
        Some(Self {
            value,
            plus_minus,
            shape,
        })
    }

    /// What is kept of it; nothing of one that is exact.
    pub(super) fn tolerance(
        self,
        key: &Key,
        path: String,
        line: usize,
    ) -> Option<Result<KeyTolerance>> {
        if self.plus_minus == 0.0 {
            return None;
        }
        // Every unit of a key is a factor, so that a difference has it too.
        let (value, plus_minus) = (key.in_si(self.value), key.in_si(self.plus_minus));
        let [low, high] = [value - plus_minus, value + plus_minus];
        let distribution = match self.shape {
            ToleranceShape::Normal => Distribution::plus_minus(value, plus_minus),
            ToleranceShape::Uniform => Distribution::uniform(low, high),
            ToleranceShape::Triangular => Distribution::triangular(low, value, high),
        };
        Some(distribution.map(|distribution| KeyTolerance {
            key: path,
            line,
            shape: self.shape,
            distribution,
        }))
    }
}
