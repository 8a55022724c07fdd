//! Arrays that come out of frozen values: made once, given out as read-only views, without a copy for each access.

use numpy::{Element, PyArrayDyn, PyArrayMethods};
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;

use crate::python::gate::convert::grid_out;
use crate::python::gate::errors::InvalidValueError;

/// An array of a frozen value, made when it is first asked for. It is no part of what a value is compared by, since it
/// holds only what the value holds anyway.
pub(in crate::python) struct Column<T = f64>(PyOnceLock<Py<PyArrayDyn<T>>>);

/// A read-only view of a column.
pub(in crate::python) type View<'py, T = f64> = Bound<'py, PyArrayDyn<T>>;

impl<T> Default for Column<T> {
    fn default() -> Self {
        Self(PyOnceLock::new())
    }
}

impl<T> Clone for Column<T> {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl<T> PartialEq for Column<T> {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl<T: Element + Clone + Default> Column<T> {
    /// Of values that nobody else needs: they are moved into the array.
    fn of(py: Python<'_>, values: Vec<T>, shape: &[usize]) -> Self {
        let column = Self::default();
        column.array(py, || grid_out(py, values, shape, &[]));
        column
    }

    /// Of an array that somebody else may change: of a copy of it.
    fn of_array(array: &View<'_, T>) -> PyResult<Self> {
        let column = Self::default();
        let copy = array.call_method0("copy")?.cast_into::<PyArrayDyn<T>>()?;
        column.array(array.py(), || copy);
        Ok(column)
    }

    /// The array: that of the slice when first asked for, afterwards the same.
    pub(in crate::python) fn view<'py>(
        &self,
        py: Python<'py>,
        values: &[T],
    ) -> PyResult<View<'py, T>> {
        self.table(py, values, &[values.len()])
    }

    /// The same with the axes of one value last.
    pub(in crate::python) fn table<'py>(
        &self,
        py: Python<'py>,
        values: &[T],
        shape: &[usize],
    ) -> PyResult<View<'py, T>> {
        view_of(
            self.array(py, || grid_out(py, values.to_vec(), shape, &[])),
            py,
        )
    }

    fn array<'py>(
        &self,
        py: Python<'py>,
        make: impl FnOnce() -> Bound<'py, PyArrayDyn<T>>,
    ) -> &Py<PyArrayDyn<T>> {
        self.0.get_or_init(py, || {
            let array = make();
            // Nobody else has seen it yet.
            if let Ok(own) = array.try_readwrite() {
                own.make_nonwriteable();
            }
            array.unbind()
        })
    }
}

/// A view of its own, which cannot be made writeable again as an array that owns its numbers can.
fn view_of<'py, T: Element>(array: &Py<PyArrayDyn<T>>, py: Python<'py>) -> PyResult<View<'py, T>> {
    let view = array.bind(py).call_method0("view")?;
    Ok(view.cast_into::<PyArrayDyn<T>>()?)
}

/// Numbers in N columns with a mask, all of one shape: what a call for many gives.
pub(in crate::python) struct Table<const N: usize> {
    columns: [Column; N],
    valid: Column<bool>,
}

/// As pickle takes them.
pub(in crate::python) type TableParts = (Vec<Py<PyArrayDyn<f64>>>, Py<PyArrayDyn<bool>>);

impl<const N: usize> Table<N> {
    pub(in crate::python) fn of(
        py: Python<'_>,
        columns: [Vec<f64>; N],
        valid: Vec<bool>,
        shape: &[usize],
    ) -> Self {
        Self {
            columns: columns.map(|values| Column::of(py, values, shape)),
            valid: Column::of(py, valid, shape),
        }
    }

    pub(in crate::python) fn column<'py>(
        &self,
        py: Python<'py>,
        number: usize,
    ) -> PyResult<View<'py>> {
        self.columns[number].view(py, &[])
    }

    pub(in crate::python) fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.valid.view(py, &[])
    }

    pub(in crate::python) fn parts(&self, py: Python<'_>) -> PyResult<TableParts> {
        let columns = self
            .columns
            .iter()
            .map(|one| Ok(one.view(py, &[])?.unbind()));
        Ok((columns.collect::<PyResult<_>>()?, self.valid(py)?.unbind()))
    }

    pub(in crate::python) fn of_parts(
        py: Python<'_>,
        (columns, valid): TableParts,
    ) -> PyResult<Self> {
        let columns = columns.iter().map(|array| Column::of_array(array.bind(py)));
        let columns: Vec<_> = columns.collect::<PyResult<_>>()?;
        let missing = |_| InvalidValueError::new_err("not a pickle of this class: no such columns");
        Ok(Self {
            columns: columns.try_into().map_err(missing)?,
            valid: Column::of_array(valid.bind(py))?,
        })
    }
}
