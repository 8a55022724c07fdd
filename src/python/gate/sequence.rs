//! Sequences in: of any length, and of a known few numbers.
//!
//! PyO3 reads a `Vec` too, but takes the caller's word for its length, and for a tuple accepts nothing else.

use std::ops::Deref;

use numpy::{PyArrayDescrMethods, PyUntypedArray, PyUntypedArrayMethods};
use pyo3::conversion::FromPyObjectOwned;
use pyo3::exceptions::{PyMemoryError, PyTypeError, PyValueError};
use pyo3::prelude::*;
use pyo3::types::{PyBytes, PyFloat, PyInt, PyList, PyMapping, PyMemoryView, PyString, PyTuple};

use crate::python::gate::errors::{InvalidTypeError, InvalidValueError, shown, told};

/// Values between two looks at the signals, so that Ctrl-C ends the reading of very many.
const SIGNALS: usize = 1 << 16;

/// Any number of values, from a list, a tuple, an array or any other sequence.
pub(in crate::python) struct Many<T>(Vec<T>);

impl<T> Many<T> {
    pub(in crate::python) fn none() -> Self {
        Self(Vec::new())
    }

    pub(in crate::python) fn into_vec(self) -> Vec<T> {
        self.0
    }
}

impl<T> Deref for Many<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.0
    }
}

impl<T> IntoIterator for Many<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'py, T: FromPyObjectOwned<'py>> FromPyObject<'_, 'py> for Many<T> {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        if !is_sequence(value)? {
            let kind = value.get_type();
            let text = format!("a sequence is needed, got {}", kind.qualname()?);
            return Err(InvalidTypeError::new_err(text));
        }
        let mut items = Vec::new();
        each_item(value, |item| {
            // As they come, and not as many as are told of: a length may be anything.
            let full = |_| PyMemoryError::new_err("the sequence does not fit into memory");
            items.try_reserve(1).map_err(full)?;
            let read = item.extract::<T>().map_err(Into::into);
            items.push(read.map_err(|error| in_item(items.len(), error, &item))?);
            Ok(())
        })?;
        Ok(Self(items))
    }
}

/// Whether there are values one after the other. Letters, bytes and keys are so too, but are not what anybody means.
fn is_sequence(value: Borrowed<'_, '_, PyAny>) -> PyResult<bool> {
    let letters = value.is_instance_of::<PyString>() || value.is_instance_of::<PyBytes>();
    let indexed = value.hasattr("__getitem__")? && value.hasattr("__len__")?;
    Ok(indexed && !letters && value.cast::<PyMapping>().is_err())
}

/// Calls `use_item` with as many values as the sequence says that it has; any other number of them is refused.
fn each_item<'py>(
    value: Borrowed<'_, 'py, PyAny>,
    mut use_item: impl FnMut(Bound<'py, PyAny>) -> PyResult<()>,
) -> PyResult<()> {
    let told = value.len()?;
    room_for(told)?;
    let mut count = 0;
    for item in value.try_iter()? {
        let item = item?;
        if count == told {
            return Err(miscounted(told, "more"));
        }
        if count % SIGNALS == SIGNALS - 1 {
            value.py().check_signals()?;
        }
        use_item(item)?;
        count += 1;
    }
    if count < told {
        return Err(miscounted(told, "fewer"));
    }
    Ok(())
}

/// Axes an array may have, in NumPy too; nothing is read deeper.
const AXES: usize = 64;

/// Refuses sequences that give more or fewer values than they say, at any depth: NumPy would read one without an end
/// for ever.
pub(in crate::python) fn honest(value: Borrowed<'_, '_, PyAny>) -> PyResult<()> {
    honest_within(value, AXES)
}

fn honest_within(value: Borrowed<'_, '_, PyAny>, axes: usize) -> PyResult<()> {
    // Numbers, lists and tuples first, since there may be very many.
    let number = value.is_exact_instance_of::<PyFloat>() || value.is_exact_instance_of::<PyInt>();
    if number || axes == 0 {
        return Ok(());
    }
    let plain = value.is_exact_instance_of::<PyList>() || value.is_exact_instance_of::<PyTuple>();
    if !plain && (is_array(value)? || !is_sequence(value)?) {
        return Ok(());
    }
    each_item(value, |item| honest_within(item.as_borrowed(), axes - 1))
}

fn miscounted(told: usize, given: &str) -> PyErr {
    InvalidValueError::new_err(format!(
        "a sequence says that it has {told} values and gives {given}"
    ))
}

/// The same error with the place in front; only where the type is wrong, since values are told with their names.
fn in_item(place: usize, error: PyErr, item: &Bound<'_, PyAny>) -> PyErr {
    if !error.is_instance_of::<PyTypeError>(item.py()) {
        return error;
    }
    let text = told(&error.value(item.py()).to_string());
    InvalidTypeError::new_err(format!("item {place} (counted from 0): {text}"))
}

/// Whether NumPy takes it whole, with the size that it has.
fn is_array(value: Borrowed<'_, '_, PyAny>) -> PyResult<bool> {
    Ok(value.is_instance_of::<PyMemoryView>()
        || value.hasattr("__array__")?
        || value.hasattr("__array_interface__")?)
}

/// So many numbers, from a tuple, a list, an array or any other sequence.
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct Few<const N: usize>(pub(in crate::python) [f64; N]);

impl<const N: usize> From<Few<N>> for [f64; N] {
    fn from(few: Few<N>) -> Self {
        few.0
    }
}

impl<const N: usize> FromPyObject<'_, '_> for Few<N> {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        few(value).map(Self)
    }
}

pub(in crate::python) fn few<const N: usize>(value: Borrowed<'_, '_, PyAny>) -> PyResult<[f64; N]> {
    let refused = |value: Borrowed<'_, '_, PyAny>| {
        let word = ["no", "one", "two", "three", "four"]
            .get(N)
            .unwrap_or(&"more");
        let got = shown(value);
        InvalidTypeError::new_err(format!("{word} numbers needed, got {got}"))
    };
    // Asking NumPy what a tuple is costs a fifth of a call; numbers of an array that are not real would lose a part.
    if !value.is_instance_of::<PyTuple>()
        && value
            .cast::<PyUntypedArray>()
            .is_ok_and(|array| !is_real(array.dtype().kind()))
    {
        return Err(refused(value));
    }
    value.extract().map_err(|error: PyErr| {
        let py = value.py();
        if error.is_instance_of::<PyTypeError>(py) || error.is_instance_of::<PyValueError>(py) {
            refused(value)
        } else {
            error
        }
    })
}

/// Whether an array of NumPy's kind holds real numbers.
pub(in crate::python) fn is_real(kind: u8) -> bool {
    matches!(kind, b'i' | b'u' | b'f')
}

/// Numbers up to which nobody asks for memory beforehand.
const MODEST: usize = 1_000_000;
/// Bytes for each number that comes in: for a copy of it, for what comes out, and for what is between.
const BYTES: usize = 96;

/// An ordinary `MemoryError` where work on so many numbers finds no room: an allocation that fails in the core would
/// end the process.
pub(in crate::python) fn room_for(numbers: usize) -> PyResult<()> {
    if numbers <= MODEST {
        return Ok(());
    }
    // Given back at once, untouched.
    let room = Vec::<u8>::new().try_reserve_exact(numbers.saturating_mul(BYTES));
    room.map_err(|_| {
        let text = format!(
            "work on {numbers} numbers needs more memory than there is; do fewer at a time"
        );
        PyMemoryError::new_err(text)
    })
}
