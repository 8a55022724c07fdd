//! Values as text and as bytes, as the core stores them (serde).
//!
//! Serde makes a reader and a writer of each format for each type. Here all types share those of `erased_serde`, which
//! look up at run time what a value consists of: a fourth of the wheel's code less.

use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error};

use crate::python::gate::errors::InvalidValueError;

/// A value that is read by the code that all types share.
struct Shared<T>(T);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Shared<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let mut erased = <dyn erased_serde::Deserializer<'_>>::erase(deserializer);
        let value = erased_serde::deserialize(&mut erased);
        value.map(Self).map_err(D::Error::custom)
    }
}

pub(in crate::python) fn to_json(value: &dyn erased_serde::Serialize) -> PyResult<String> {
    serde_json::to_string(value).map_err(|error| PyRuntimeError::new_err(error.to_string()))
}

pub(in crate::python) fn from_json<T: DeserializeOwned>(text: &str) -> PyResult<T> {
    let refused = |error| InvalidValueError::new_err(format!("not the JSON of this type: {error}"));
    let Shared(value) = serde_json::from_str(text).map_err(refused)?;
    Ok(value)
}

/// For a pickle: numbers to the last bit, NaN and infinity too.
pub(in crate::python) fn to_bytes(value: &dyn erased_serde::Serialize) -> PyResult<Vec<u8>> {
    let mut bytes = Vec::new();
    ciborium::into_writer(value, &mut bytes)
        .map_err(|error| InvalidValueError::new_err(error.to_string()))?;
    Ok(bytes)
}

pub(in crate::python) fn from_bytes<T: DeserializeOwned>(bytes: &[u8]) -> PyResult<T> {
    let Shared(value) = ciborium::from_reader(bytes).map_err(|error| {
        InvalidValueError::new_err(format!("not a pickle of this class: {error}"))
    })?;
    Ok(value)
}
