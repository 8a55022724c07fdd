//! What a call for many positions gives: a value for each, and which of them have one.

use serde::{Deserialize, Serialize};

use crate::error::Result;

/// Values in the order of what was asked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Masked<T> {
    /// The values; NaN where there is none.
    pub values: Vec<T>,
    /// Whether the row has a value.
    pub valid: Vec<bool>,
}

impl<T: Clone> Masked<T> {
    /// `missing` stands where a row was refused.
    pub(in crate::linkage) fn of(rows: impl IntoIterator<Item = Result<T>>, missing: T) -> Self {
        let (values, valid) = rows
            .into_iter()
            .map(|row| (row.is_ok(), row))
            .map(|(valid, row)| (row.unwrap_or_else(|_| missing.clone()), valid))
            .unzip();
        Self { values, valid }
    }
}
