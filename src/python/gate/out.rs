//! Arrays of the caller's, filled in place of new ones as NumPy does with `out=`.

use numpy::{
    BorrowError, Element, PyArrayDyn, PyArrayMethods, PyReadwriteArrayDyn, PyUntypedArrayMethods,
};
use pyo3::prelude::*;
use pyo3::types::PyTuple;

use crate::python::gate::errors::{InvalidTypeError, InvalidValueError, shown};

type Values<'a, const N: usize> = [Option<&'a mut [f64]>; N];
type Valid<'a> = Option<&'a mut [bool]>;

/// N arrays of numbers and one mask; `None` for what is not wanted.
pub(in crate::python) struct Given<'py, const N: usize> {
    values: [Option<PyReadwriteArrayDyn<'py, f64>>; N],
    valid: Option<PyReadwriteArrayDyn<'py, bool>>,
}

impl<'py, const N: usize> Given<'py, N> {
    /// The tuple of arrays with these names, then the mask, for a grid of that shape; `each`: the axes of one value.
    ///
    /// What the arguments of the call have borrowed must be borrowed still, so that no array among these overlaps it.
    pub(in crate::python) fn of(
        out: &Bound<'py, PyAny>,
        names: [&str; N],
        grid: &[usize],
        each: &[usize],
    ) -> PyResult<Self> {
        let Ok(arrays) = out.cast::<PyTuple>() else {
            return Err(refused(out, &names, "a tuple"));
        };
        if arrays.len() != N + 1 {
            return Err(refused(out, &names, &format!("a tuple of {}", N + 1)));
        }
        let mut values = [const { None }; N];
        for ((place, array), name) in values.iter_mut().zip(arrays.iter()).zip(names) {
            *place = writable(&array, name, &[grid, each].concat())?;
        }
        let valid = writable(&arrays.get_item(N)?, "valid", grid)?;
        Ok(Self { values, valid })
    }

    /// The memory of the arrays.
    pub(in crate::python) fn columns(&mut self) -> PyResult<(Values<'_, N>, Valid<'_>)> {
        let mut columns = [const { None }; N];
        for (column, array) in columns.iter_mut().zip(&mut self.values) {
            *column = array
                .as_mut()
                .map(|array| array.as_slice_mut())
                .transpose()?;
        }
        let valid = self.valid.as_mut().map(|array| array.as_slice_mut());
        Ok((columns, valid.transpose()?))
    }
}

fn refused(out: &Bound<'_, PyAny>, names: &[&str], needed: &str) -> PyErr {
    let names = names.join(", ");
    let got = shown(out.as_borrowed());
    InvalidTypeError::new_err(format!(
        "out must be {needed}: {names}, valid (None for what is not wanted), got {got}"
    ))
}

/// The array, borrowed for writing; `None` for None.
fn writable<'py, T: Element + TypeName>(
    array: &Bound<'py, PyAny>,
    name: &str,
    shape: &[usize],
) -> PyResult<Option<PyReadwriteArrayDyn<'py, T>>> {
    if array.is_none() {
        return Ok(None);
    }
    let masked = array.py().import("numpy")?.getattr("ma")?;
    let array = match array.cast::<PyArrayDyn<T>>() {
        Ok(plain) if !array.is_instance(&masked.getattr("MaskedArray")?)? => plain,
        _ => {
            let (kind, got) = (T::NAME, shown(array.as_borrowed()));
            return Err(InvalidTypeError::new_err(format!(
                "out: {name} must be a {kind} array, got {got}"
            )));
        }
    };
    let wrong = |what: String| Err(InvalidValueError::new_err(format!("out: {name} {what}")));
    if array.shape() != shape {
        let [got, needed] = [array.shape(), shape].map(|shape| PyTuple::new(array.py(), shape));
        return wrong(format!("has shape {}; {} is needed", got?, needed?));
    }
    if !array.is_c_contiguous() {
        return wrong("is not C-contiguous".to_owned());
    }
    match array.try_readwrite() {
        Ok(array) => Ok(Some(array)),
        Err(BorrowError::NotWriteable) => wrong("is read-only".to_owned()),
        Err(_) => wrong("overlaps an argument or another array of out".to_owned()),
    }
}

trait TypeName {
    const NAME: &str;
}

impl TypeName for f64 {
    const NAME: &str = "float64";
}

impl TypeName for bool {
    const NAME: &str = "bool";
}
