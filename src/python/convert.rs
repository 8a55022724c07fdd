//! Arrays and sequences in and out. Shapes are checked here; values are the core's business.

use bytemuck::allocation::cast_vec;
use nalgebra::{Point3, Vector3};
use numpy::ndarray::Array2;
use numpy::{AllowTypeChange, IntoPyArray, PyArray1, PyArray2, PyArrayLike1, PyArrayLike2};
use numpy::{PyArrayMethods, PyUntypedArrayMethods};
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;

use super::errors::InvalidValueError;
use crate::magnet::Fields;

pub(super) type Floats1<'py> = Bound<'py, PyArray1<f64>>;
pub(super) type Floats2<'py> = Bound<'py, PyArray2<f64>>;
pub(super) type Mask<'py> = Bound<'py, PyArray1<bool>>;
pub(super) type NumbersIn<'py> = PyArrayLike1<'py, f64, AllowTypeChange>;

/// Three numbers, from any sequence or array of length three.
pub(super) struct Triple(pub(super) [f64; 3]);

impl FromPyObject<'_, '_> for Triple {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(array) = value.cast::<PyArray1<f64>>()
            && array.len() == 3
        {
            let array = array.readonly();
            let view = array.as_array();
            return Ok(Self([view[0], view[1], view[2]]));
        }
        let text = || {
            value
                .repr()
                .map_or_else(|_| "?".to_owned(), |text| text.to_string())
        };
        value
            .extract()
            .map(Self)
            .map_err(|_| PyTypeError::new_err(format!("three numbers needed, got {}", text())))
    }
}

impl Triple {
    pub(super) fn point(&self) -> Point3<f64> {
        Point3::from(self.0)
    }

    pub(super) fn vector(&self) -> Vector3<f64> {
        Vector3::from(self.0)
    }
}

/// Many points: an (N, 3) array of any numeric type and memory layout.
pub(super) struct Points<'py>(PyArrayLike2<'py, f64, AllowTypeChange>);

impl<'a, 'py> FromPyObject<'a, 'py> for Points<'py> {
    type Error = PyErr;

    fn extract(value: Borrowed<'a, 'py, PyAny>) -> PyResult<Self> {
        let array: PyArrayLike2<'py, f64, AllowTypeChange> = value.extract()?;
        if array.shape()[1] != 3 {
            let [rows, columns] = [array.shape()[0], array.shape()[1]];
            let text = format!("points have shape ({rows}, {columns}); (N, 3) is needed");
            return Err(InvalidValueError::new_err(text));
        }
        Ok(Self(array))
    }
}

impl Points<'_> {
    /// Calls `use_points` with the points, without the interpreter lock; they are copied only if not contiguous.
    pub(super) fn with<T: Send>(
        &self,
        py: Python<'_>,
        use_points: impl Fn(&[Point3<f64>]) -> T + Send + Sync,
    ) -> T {
        match self.0.as_slice() {
            Ok(flat) => py.detach(|| use_points(bytemuck::cast_slice(flat))),
            Err(_) => {
                let rows = self.0.as_array();
                let copy: Vec<_> = rows
                    .rows()
                    .into_iter()
                    .map(|row| Point3::new(row[0], row[1], row[2]))
                    .collect();
                py.detach(|| use_points(&copy))
            }
        }
    }
}

/// A one-dimensional array as a list, copied so that the lock can be released.
pub(super) fn list(numbers: &NumbersIn<'_>) -> Vec<f64> {
    numbers.as_array().to_vec()
}

pub(super) fn vector_out<'py>(py: Python<'py>, v: &Vector3<f64>) -> Floats1<'py> {
    PyArray1::from_slice(py, v.as_slice())
}

pub(super) fn rows_out(py: Python<'_>, rows: Vec<Vector3<f64>>) -> Floats2<'_> {
    let count = rows.len();
    let flat = cast_vec::<Vector3<f64>, [f64; 3]>(rows).into_flattened();
    match Array2::from_shape_vec((count, 3), flat) {
        Ok(array) => array.into_pyarray(py),
        // Three numbers a row is what the cast above has made.
        Err(_) => Array2::zeros((0, 3)).into_pyarray(py),
    }
}

pub(super) fn fields_out(py: Python<'_>, fields: Fields) -> (Floats2<'_>, Mask<'_>) {
    (rows_out(py, fields.values), fields.valid.into_pyarray(py))
}
