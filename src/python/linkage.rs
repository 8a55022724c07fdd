//! What all linkages share.

use numpy::PyArray1;
use pyo3::prelude::*;

use super::convert::Floats1;
use crate::Error;
use crate::linkage::{Branch, Transfer};
use nalgebra::Point2;

/// "open" or "crossed".
#[derive(Clone, Copy)]
pub(super) struct BranchName(pub(super) Branch);

impl FromPyObject<'_, '_> for BranchName {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let text: &str = value.extract()?;
        Ok(Self(Error::choose("branch", text, &Branch::BOTH)?))
    }
}

/// An output angle and how it follows the input angle.
#[pyclass(frozen, eq, module = "yokewright", name = "Transfer")]
#[derive(Clone, PartialEq)]
pub(super) struct PyTransfer(pub(super) Transfer);

#[pymethods]
impl PyTransfer {
    #[new]
    fn new(angle: f64, ratio: f64, curvature: f64) -> Self {
        Self(Transfer {
            angle,
            ratio,
            curvature,
        })
    }

    /// Output angle, rad.
    #[getter]
    fn angle(&self) -> f64 {
        self.0.angle
    }

    /// First derivative of the output angle by the input angle: ratio of angular velocities.
    #[getter]
    fn ratio(&self) -> f64 {
        self.0.ratio
    }

    /// Second derivative of the output angle by the input angle, 1/rad.
    #[getter]
    fn curvature(&self) -> f64 {
        self.0.curvature
    }

    fn __repr__(&self) -> String {
        let Transfer {
            angle,
            ratio,
            curvature,
        } = self.0;
        format!("Transfer(angle={angle:?}, ratio={ratio:?}, curvature={curvature:?})")
    }

    fn __getnewargs__(&self) -> (f64, f64, f64) {
        (self.0.angle, self.0.ratio, self.0.curvature)
    }
}

pub(super) fn point2_out<'py>(py: Python<'py>, point: &Point2<f64>) -> Floats1<'py> {
    PyArray1::from_slice(py, point.coords.as_slice())
}
