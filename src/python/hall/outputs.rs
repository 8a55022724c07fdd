//! What several sensors have in common on their way out.

use numpy::IntoPyArray;
use pyo3::prelude::*;

use crate::hall::SensorOutputs;
use crate::python::gate::convert::{Floats1, Mask};
use crate::python::gate::long::long;

/// A number or None, as Python writes it.
pub(super) fn optional(value: Option<f64>) -> String {
    value.map_or_else(|| "None".to_owned(), |value| format!("{value:?}"))
}

pub(super) fn outputs_out<'py>(
    py: Python<'py>,
    outputs: impl FnOnce() -> SensorOutputs + Send,
) -> PyResult<(Floats1<'py>, Mask<'py>)> {
    let outputs = long(py, outputs)?;
    Ok((
        outputs.values.into_pyarray(py),
        outputs.valid.into_pyarray(py),
    ))
}
