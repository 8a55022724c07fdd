//! Arrays and sequences in and out. Shapes are checked here; values are the core's business.

use bytemuck::allocation::cast_vec;
use nalgebra::{Matrix3, Point3, Vector3};
use numpy::ndarray::{Array2, ArrayD};
use numpy::{
    AllowTypeChange, IntoPyArray, PyArray1, PyArray2, PyArrayDyn, PyArrayLike1, PyArrayLike2,
};
use numpy::{PyArrayDescrMethods, PyArrayMethods, PyUntypedArray, PyUntypedArrayMethods};
use pyo3::PyTypeInfo;
use pyo3::exceptions::PyRuntimeError;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::magnet::{Fields, Gradients};
use crate::python::gate::errors::{InvalidTypeError, InvalidValueError, shown};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Many, few, honest, is_real, room_for};

pub(in crate::python) type Floats1<'py> = Bound<'py, PyArray1<f64>>;
pub(in crate::python) type Floats2<'py> = Bound<'py, PyArray2<f64>>;
pub(in crate::python) type Mask<'py> = Bound<'py, PyArray1<bool>>;
/// Of the shape of a grid, with more axes for what stands at each of its points.
pub(in crate::python) type GridFloats<'py> = Bound<'py, PyArrayDyn<f64>>;
pub(in crate::python) type GridMask<'py> = Bound<'py, PyArrayDyn<bool>>;

/// The argument as an array of real numbers. NumPy would also read digits out of text and drop imaginary parts.
fn real_array<'py>(value: Borrowed<'_, 'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    let py = value.py();
    let array = match value.cast::<PyUntypedArray>() {
        Ok(array) => array.to_owned(),
        Err(_) => {
            honest(value)?;
            let asarray = py.import("numpy")?.getattr("asarray")?;
            asarray.call1((value,))?.cast_into::<PyUntypedArray>()?
        }
    };
    room_for(array.len())?;
    match array.dtype().kind() {
        kind if is_real(kind) => unmasked(array.into_any()),
        // An empty list has no type of its own.
        _ if array.is_empty() => Ok(array.into_any()),
        _ => Err(InvalidTypeError::new_err(format!(
            "an array of real numbers is needed, got dtype {}",
            array.dtype()
        ))),
    }
}
/// A masked array with NaN for what is masked, so that it is refused or marked like any value that is not there; else
/// the array itself.
fn unmasked<'py>(array: Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    let py = array.py();
    if array.get_type().is(PyUntypedArray::type_object(py)) {
        return Ok(array);
    }
    let masked = py.import("numpy")?.getattr("ma")?;
    if !array.is_instance(&masked.getattr("MaskedArray")?)? {
        return Ok(array);
    }
    let floats = array.call_method1("astype", ("float64",))?;
    floats.call_method1("filled", (f64::NAN,))
}

/// Many numbers: a one-dimensional array of any real type and memory layout.
pub(in crate::python) struct Numbers<'py>(PyArrayLike1<'py, f64, AllowTypeChange>);

impl<'a, 'py> FromPyObject<'a, 'py> for Numbers<'py> {
    type Error = PyErr;

    fn extract(value: Borrowed<'a, 'py, PyAny>) -> PyResult<Self> {
        let array = real_array(value)?;
        array
            .extract()
            .map(Self)
            .map_err(|_| wrong_shape(&array, "(N,)"))
    }
}

impl Numbers<'_> {
    pub(in crate::python) fn len(&self) -> usize {
        self.0.len()
    }

    /// A copy, so that the lock can be released.
    pub(in crate::python) fn to_vec(&self) -> Vec<f64> {
        self.0.as_array().to_vec()
    }

    /// Calls `use_numbers` with the numbers, without the interpreter lock; they are copied only if not contiguous.
    pub(in crate::python) fn with<T: Send>(
        &self,
        py: Python<'_>,
        use_numbers: impl FnOnce(&[f64]) -> T + Send,
    ) -> PyResult<T> {
        match self.0.as_slice() {
            Ok(numbers) => long(py, || use_numbers(numbers)),
            Err(_) => {
                let copy = self.to_vec();
                long(py, || use_numbers(&copy))
            }
        }
    }
}

fn wrong_shape(array: &Bound<'_, PyAny>, needed: &str) -> PyErr {
    let shape = array
        .getattr("shape")
        .map_or_else(|_| "?".to_owned(), |shape| shape.to_string());
    InvalidValueError::new_err(format!("array has shape {shape}; {needed} is needed"))
}

/// How many points: any integer, so that a negative one is told as what it is.
pub(in crate::python) struct Count(pub(in crate::python) usize);

impl FromPyObject<'_, '_> for Count {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let Times(count) = value.extract()?;
        room_for(count)?;
        Ok(Self(count))
    }
}

/// How often: any integer, of what takes no room, such as the builds of a stream, or a seed.
pub(in crate::python) struct Times(pub(in crate::python) usize);

impl FromPyObject<'_, '_> for Times {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let count: i64 = value.extract()?;
        let count = usize::try_from(count)
            .map_err(|_| InvalidValueError::new_err(format!("a count cannot be {count}")))?;
        Ok(Self(count))
    }
}

/// Three numbers, from any sequence or array of length three.
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct Triple(pub(in crate::python) [f64; 3]);

impl FromPyObject<'_, '_> for Triple {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        // Asking NumPy what a tuple is costs a fifth of a call.
        if !value.is_instance_of::<PyTuple>() && value.cast::<PyUntypedArray>().is_ok() {
            let array = unmasked(value.to_owned())?;
            if let Ok(array) = array.cast::<PyArray1<f64>>()
                && array.len() == 3
            {
                // Number by number: a borrowed view costs more than the field.
                let number = |i| array.get_owned([i]).unwrap_or(f64::NAN);
                return Ok(Self([number(0), number(1), number(2)]));
            }
        }
        few(value).map(Self)
    }
}

impl Triple {
    pub(in crate::python) fn point(self) -> Point3<f64> {
        Point3::from(self.0)
    }

    pub(in crate::python) fn vector(self) -> Vector3<f64> {
        Vector3::from(self.0)
    }
}

/// Points on a grid of any shape, (..., 3): one point (3,), many (N, 3), a plane of them (M, N, 3); any numeric type
/// and memory layout.
pub(in crate::python) struct Points<'py> {
    rows: PyArrayLike2<'py, f64, AllowTypeChange>,
    /// That of the grid, without the three coordinates.
    grid: Vec<usize>,
}

impl<'a, 'py> FromPyObject<'a, 'py> for Points<'py> {
    type Error = PyErr;

    fn extract(value: Borrowed<'a, 'py, PyAny>) -> PyResult<Self> {
        let array = real_array(value)?;
        let shape = array.cast::<PyUntypedArray>()?.shape().to_vec();
        let Some((3, grid)) = shape.split_last().map(|(last, grid)| (*last, grid)) else {
            return Err(wrong_shape(&array, "(..., 3)"));
        };
        let count: usize = grid.iter().product();
        let rows = array.call_method1("reshape", ((count, 3),))?;
        Ok(Self {
            rows: rows.extract()?,
            grid: grid.to_vec(),
        })
    }
}

impl Points<'_> {
    /// The shape of the grid that the points stand on: what is found at each comes back in it.
    pub(in crate::python) fn grid(&self) -> &[usize] {
        &self.grid
    }

    /// Calls `use_points` with the points, without the interpreter lock; they are copied only if not contiguous.
    pub(in crate::python) fn with<T: Send>(
        &self,
        py: Python<'_>,
        use_points: impl FnOnce(&[Point3<f64>]) -> T + Send,
    ) -> PyResult<T> {
        match self.rows.as_slice() {
            // A slice is also given of a transposed array, in the wrong order.
            Ok(flat) if self.rows.is_c_contiguous() => {
                long(py, || use_points(bytemuck::cast_slice(flat)))
            }
            _ => {
                let rows = self.rows.as_array();
                let copy: Vec<_> = rows
                    .rows()
                    .into_iter()
                    .map(|row| Point3::new(row[0], row[1], row[2]))
                    .collect();
                long(py, || use_points(&copy))
            }
        }
    }
}

/// Rows of N numbers: an (M, N) array of any numeric type and memory layout.
pub(in crate::python) struct Rows<'py, const N: usize>(PyArrayLike2<'py, f64, AllowTypeChange>);

impl<'a, 'py, const N: usize> FromPyObject<'a, 'py> for Rows<'py, N> {
    type Error = PyErr;

    fn extract(value: Borrowed<'a, 'py, PyAny>) -> PyResult<Self> {
        let array = real_array(value)?;
        match array.extract::<PyArrayLike2<'py, f64, AllowTypeChange>>() {
            Ok(rows) if rows.shape()[1] == N => Ok(Self(rows)),
            _ => Err(wrong_shape(&array, &format!("(N, {N})"))),
        }
    }
}

impl<const N: usize> Rows<'_, N> {
    /// A copy, so that the lock can be released.
    pub(in crate::python) fn to_vec(&self) -> Vec<[f64; N]> {
        let rows = self.0.as_array();
        let row = |row: numpy::ndarray::ArrayView1<'_, f64>| std::array::from_fn(|i| row[i]);
        rows.rows().into_iter().map(row).collect()
    }
}

pub(in crate::python) fn vector_out<'py>(py: Python<'py>, v: &Vector3<f64>) -> Floats1<'py> {
    PyArray1::from_slice(py, v.as_slice())
}

pub(in crate::python) fn rows_out(py: Python<'_>, rows: Vec<Vector3<f64>>) -> Floats2<'_> {
    let count = rows.len();
    let flat = cast_vec::<Vector3<f64>, [f64; 3]>(rows).into_flattened();
    // Three numbers a row is what the cast above has made.
    let array = Array2::from_shape_vec((count, 3), flat).unwrap_or_default();
    array.into_pyarray(py)
}

/// Numbers row by row as a table of that shape, which is how many there are.
pub(in crate::python) fn table_out<T: numpy::Element + Default>(
    py: Python<'_>,
    values: Vec<T>,
    shape: (usize, usize),
) -> Bound<'_, PyArray2<T>> {
    let array = Array2::from_shape_vec(shape, values).unwrap_or_default();
    array.into_pyarray(py)
}

/// A matrix, row by row.
pub(in crate::python) fn matrix_out<'py>(py: Python<'py>, m: &Matrix3<f64>) -> Floats2<'py> {
    let row = |i: usize| m.row(i).transpose();
    rows_out(py, vec![row(0), row(1), row(2)])
}

/// What stands at the points of a grid, with the axes of one of them last; as many as the points that came in.
pub(in crate::python) fn grid_out<'py, T: numpy::Element + Default>(
    py: Python<'py>,
    values: Vec<T>,
    grid: &[usize],
    each: &[usize],
) -> Bound<'py, PyArrayDyn<T>> {
    let array = ArrayD::from_shape_vec([grid, each].concat(), values);
    array.unwrap_or_default().into_pyarray(py)
}

pub(in crate::python) fn grid_points_out<'py>(
    py: Python<'py>,
    points: Vec<Point3<f64>>,
    grid: &[usize],
) -> GridFloats<'py> {
    let flat = cast_vec::<Point3<f64>, [f64; 3]>(points).into_flattened();
    grid_out(py, flat, grid, &[3])
}

pub(in crate::python) fn gradients_out<'py>(
    py: Python<'py>,
    gradients: Gradients,
    grid: &[usize],
) -> (GridFloats<'py>, GridMask<'py>) {
    // Symmetric, so that the column order of the core is the row order of NumPy.
    let flat = cast_vec::<Matrix3<f64>, [f64; 9]>(gradients.values).into_flattened();
    let values = grid_out(py, flat, grid, &[3, 3]);
    (values, grid_out(py, gradients.valid, grid, &[]))
}

pub(in crate::python) fn fields_out<'py>(
    py: Python<'py>,
    fields: Fields,
    grid: &[usize],
) -> (GridFloats<'py>, GridMask<'py>) {
    let flat = cast_vec::<Vector3<f64>, [f64; 3]>(fields.values).into_flattened();
    let values = grid_out(py, flat, grid, &[3]);
    (values, grid_out(py, fields.valid, grid, &[]))
}

pub(in crate::python) fn to_json<T: Serialize>(value: &T) -> PyResult<String> {
    serde_json::to_string(value).map_err(|error| PyRuntimeError::new_err(error.to_string()))
}

pub(in crate::python) fn from_json<T: DeserializeOwned>(text: &str) -> PyResult<T> {
    let refused = |error| InvalidValueError::new_err(format!("not the JSON of this type: {error}"));
    serde_json::from_str(text).map_err(refused)
}

/// Two points, each of three numbers.
pub(in crate::python) struct TwoPoints(pub(in crate::python) [Triple; 2]);

impl TwoPoints {
    pub(in crate::python) fn points(self) -> [Point3<f64>; 2] {
        self.0.map(Triple::point)
    }
}

impl FromPyObject<'_, '_> for TwoPoints {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let many = Many::<Triple>::extract(value)?.into_vec();
        let needed =
            || InvalidTypeError::new_err(format!("two points needed, got {}", shown(value)));
        many.try_into().map(Self).map_err(|_| needed())
    }
}
