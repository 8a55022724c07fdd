//! What a sensor gives for many fields or angles.

use serde::{Deserialize, Serialize};

use crate::observer;

/// Rows between two looks at the observer.
const BLOCK: usize = 10_000;

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
        // Whoever observes drops what there is when the work is stopped.
        let blocks = given
            .chunks(BLOCK)
            .take_while(|_| observer::check().is_ok());
        let rows = blocks.flatten().map(|one| {
            let value = output(one);
            (value.unwrap_or(f64::NAN), value.is_some())
        });
        let (values, valid) = rows.unzip();
        Self { values, valid }
    }
}
