//! A value made by one of several named constructors, together with what it was made of, so that it can be printed and
//! pickled.

use pyo3::prelude::*;
use pyo3::types::{PyString, PyTuple};

/// The constructor and its arguments, in order.
pub(in crate::python) struct Recorded {
    constructor: &'static str,
    arguments: Vec<(&'static str, Py<PyAny>)>,
}

impl Recorded {
    pub(in crate::python) fn new(
        constructor: &'static str,
        arguments: impl IntoIterator<Item = (&'static str, Py<PyAny>)>,
    ) -> Self {
        Self {
            constructor,
            arguments: arguments.into_iter().collect(),
        }
    }

    pub(in crate::python) fn name(&self) -> &'static str {
        self.constructor
    }

    /// Text that makes the value again.
    pub(in crate::python) fn text(&self, py: Python<'_>, class: &str) -> PyResult<String> {
        let mut texts = Vec::new();
        for (name, value) in &self.arguments {
            texts.push(format!("{name}={}", value.bind(py).repr()?));
        }
        Ok(format!(
            "{class}.{}({})",
            self.constructor,
            texts.join(", ")
        ))
    }

    /// What pickle calls to make the value again.
    pub(in crate::python) fn reduce<'py>(
        &self,
        class: &Bound<'py, PyAny>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let py = class.py();
        let values = self.arguments.iter().map(|(_, value)| value.bind(py));
        let constructor = class.getattr(PyString::new(py, self.constructor))?;
        Ok((constructor, PyTuple::new(py, values)?))
    }
}
