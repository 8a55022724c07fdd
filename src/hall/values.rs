//! What a sensor gives for many fields or angles.

use serde::{Deserialize, Serialize};

/// Outputs in the order of what they were asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SensorOutputs {
    /// Output, V, or angle, rad; NaN where there is none.
    pub values: Vec<f64>,
    /// Whether there is one.
    pub valid: Vec<bool>,
}

impl SensorOutputs {
    pub(super) fn of<T>(given: &[T], output: impl Fn(&T) -> Option<f64>) -> Self {
        let rows = given.iter().map(|one| {
            let value = output(one);
            (value.unwrap_or(f64::NAN), value.is_some())
        });
        let (values, valid) = rows.unzip();
        Self { values, valid }
    }
}
