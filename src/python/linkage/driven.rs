//! What every transmission answers: where it ends, how far it goes, and many angles at a time.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{Range, Transmission, TransmissionEnd};
use crate::python::gate::convert::Numbers;
use crate::python::gate::long::long;
use crate::python::linkage::PyTransfers;

/// One end of the travel of a transmission.
#[pyclass(
    frozen,
    eq,
    get_all,
    module = "yokewright.linkage",
    name = "TransmissionEnd"
)]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTransmissionEnd {
    /// Input angle there, rad.
    input: f64,
    /// What is reached there first: "lock", "left stop", "output swivel", ...
    limit: String,
}

impl From<TransmissionEnd> for PyTransmissionEnd {
    fn from(TransmissionEnd { input, limit }: TransmissionEnd) -> Self {
        Self { input, limit }
    }
}

#[pymethods]
impl PyTransmissionEnd {
    fn __repr__(&self) -> String {
        format!(
            "<TransmissionEnd input {:?} rad: {}>",
            self.input, self.limit
        )
    }
}

pub(super) type Ends = (Option<PyTransmissionEnd>, Option<PyTransmissionEnd>);

pub(super) fn ends(py: Python<'_>, transmission: &dyn Transmission) -> PyResult<Ends> {
    let reach = long(py, || transmission.reach())?;
    Ok((reach.lower.map(Into::into), reach.upper.map(Into::into)))
}

pub(super) fn travel(py: Python<'_>, transmission: &dyn Transmission) -> PyResult<(f64, f64)> {
    let Range { lower, upper } = long(py, || transmission.travel())?;
    Ok((lower, upper))
}

pub(super) fn many(
    py: Python<'_>,
    transmission: &dyn Transmission,
    angles: &Numbers<'_>,
) -> PyResult<PyTransfers> {
    Ok(PyTransfers::of(
        py,
        angles.with(py, |angles| transmission.transfers(angles))?,
    ))
}
