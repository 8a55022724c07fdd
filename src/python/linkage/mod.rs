//! What all linkages share.

pub(super) mod ball_rod;
pub(super) mod ball_rod_figures;
pub(super) mod ball_rod_search;
pub(super) mod driven;
pub(super) mod four_bar;
pub(super) mod lever;
pub(super) mod pedals;
pub(super) mod rod;
pub(super) mod slider_crank;
pub(super) mod stick;
pub(super) mod transmission;
pub(super) mod universal_joint;

use bytemuck::allocation::cast_vec;
use nalgebra::{Point2, Vector2};
use numpy::{PyArray1, PyUntypedArrayMethods};
use pyo3::prelude::*;

use crate::linkage::{Branch, Range, Transfer, Transfers};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Table, TableParts, View};
use crate::python::gate::convert::{Floats1, Floats2, table_out};
use crate::python::gate::value::Parts;

/// "open" or "crossed".
#[derive(Clone, Copy)]
pub(super) struct BranchName(pub(super) Branch);

impl FromPyObject<'_, '_> for BranchName {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let text: &str = value.extract()?;
        Ok(Self(text.parse::<Branch>()?))
    }
}

/// An output angle and how it follows the input angle.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Transfer")]
#[derive(Clone, PartialEq)]
pub(super) struct PyTransfer(pub(super) Transfer);

attributes! {
    impl PyTransfer {
        /// Output angle, rad.
        angle: f64,
        /// First derivative of the output angle by the input angle: ratio of angular velocities.
        ratio: f64,
        /// Second derivative of the output angle by the input angle, 1/rad.
        curvature: f64,
    }

    #[new]
    fn new(angle: f64, ratio: f64, curvature: f64) -> PyResult<Self> {
        Ok(Self(Transfer::new(angle, ratio, curvature)?))
    }

    fn __repr__(&self) -> String {
        let Transfer {
            angle,
            ratio,
            curvature,
        } = self.0;
        format!("Transfer(angle={angle:?}, ratio={ratio:?}, curvature={curvature:?})")
    }
}

/// Output angles at many input angles (N,), in their order, with first and second derivative; NaN where there are none.
#[pyclass(frozen, module = "yokewright.linkage", name = "Transfers")]
pub(super) struct PyTransfers(Table<3>);

impl PyTransfers {
    pub(super) fn of(py: Python<'_>, found: Transfers) -> Self {
        let (columns, shape) = (
            [found.angles, found.ratios, found.curvatures],
            [found.valid.len()],
        );
        Self(Table::of(py, columns, found.valid, &shape))
    }
}

#[pymethods]
impl PyTransfers {
    /// Output angles, rad, shape (N,).
    #[getter]
    fn angles<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 0)
    }

    /// First derivatives of the output angle by the input angle, shape (N,).
    #[getter]
    fn ratios<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 1)
    }

    /// Second derivatives of the output angle by the input angle, 1/rad, shape (N,).
    #[getter]
    fn curvatures<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 2)
    }

    /// Whether the linkage closes there and has a ratio, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.0.valid(py)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("<Transfers at {} angles>", self.valid(py)?.len()))
    }
}

impl Parts for PyTransfers {
    type Parts = TableParts;

    fn parts(&self, py: Python<'_>) -> PyResult<TableParts> {
        self.0.parts(py)
    }

    fn of_parts(py: Python<'_>, parts: TableParts) -> PyResult<Self> {
        Ok(Self(Table::of_parts(py, parts)?))
    }
}

pub(super) fn point2_out<'py>(py: Python<'py>, point: &Point2<f64>) -> Floats1<'py> {
    PyArray1::from_slice(py, point.coords.as_slice())
}

pub(super) fn vector2_out<'py>(py: Python<'py>, vector: &Vector2<f64>) -> Floats1<'py> {
    PyArray1::from_slice(py, vector.as_slice())
}

pub(super) fn points2_out(py: Python<'_>, points: Vec<Point2<f64>>) -> Floats2<'_> {
    let count = points.len();
    let flat = cast_vec::<Point2<f64>, [f64; 2]>(points).into_flattened();
    table_out(py, flat, (count, 2))
}

pub(super) fn travels_out(travels: Vec<Range>) -> Vec<(f64, f64)> {
    let pair = |Range {
                    lower: from,
                    upper: to,
                }| (from, to);
    travels.into_iter().map(pair).collect()
}
