//! What every search gives.

use pyo3::prelude::*;
use pyo3::types::{PyIterator, PyList};
use pyo3::{IntoPyObject, IntoPyObjectExt};

use crate::search::{NearMiss, Rejection, SearchResult, Shortfall};

/// A figure of a candidate that misses its limit.
#[pyclass(frozen, eq, module = "yokewright", name = "Shortfall")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyShortfall(Shortfall);

#[pymethods]
impl PyShortfall {
    /// In words, what is wrong.
    #[getter]
    fn reason(&self) -> &'static str {
        self.0.requirement.reason()
    }

    /// The quantity that falls short.
    #[getter]
    fn quantity(&self) -> &'static str {
        self.0.requirement.quantity()
    }

    /// Its value.
    #[getter]
    fn value(&self) -> f64 {
        self.0.value
    }

    /// The limit that it misses.
    #[getter]
    fn limit(&self) -> f64 {
        self.0.limit
    }

    /// The unit of both.
    #[getter]
    fn unit(&self) -> &'static str {
        self.0.requirement.unit()
    }

    /// By how much it misses, for a comparison of what has different units: a share of the limit unless the search says
    /// otherwise.
    #[getter]
    fn share(&self) -> f64 {
        self.0.share
    }

    fn __repr__(&self) -> String {
        format!("<Shortfall {}>", self.0)
    }
}

/// How many candidates fall short in one thing, and how near the nearest of them came.
#[pyclass(frozen, eq, module = "yokewright", name = "Rejection")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyRejection(Rejection);

#[pymethods]
impl PyRejection {
    /// In words, what is wrong with them.
    #[getter]
    fn reason(&self) -> &'static str {
        self.0.nearest.requirement.reason()
    }

    /// How many. One that falls short in several things counts in each.
    #[getter]
    fn count(&self) -> usize {
        self.0.count
    }

    /// The one that misses by least.
    #[getter]
    fn nearest(&self) -> PyShortfall {
        PyShortfall(self.0.nearest)
    }

    fn __repr__(&self) -> String {
        format!("<Rejection {} {}>", self.0.count, self.reason())
    }
}

/// A candidate that nearly keeps its limits.
#[pyclass(frozen, module = "yokewright", name = "NearMiss")]
pub(in crate::python) struct PyNearMiss {
    candidate: Option<Py<PyAny>>,
    shortfalls: Vec<Shortfall>,
}

#[pymethods]
impl PyNearMiss {
    /// The candidate; None if nothing can be built as it would have to be.
    #[getter]
    fn candidate(&self, py: Python<'_>) -> Option<Py<PyAny>> {
        self.candidate.as_ref().map(|one| one.clone_ref(py))
    }

    /// What it falls short in, the worst first.
    #[getter]
    fn shortfalls(&self) -> Vec<PyShortfall> {
        self.shortfalls.iter().copied().map(PyShortfall).collect()
    }

    fn __eq__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<bool> {
        let candidates = (self.candidate(py), other.candidate(py));
        let (own, others) = (
            candidates.0.into_pyobject(py)?,
            candidates.1.into_pyobject(py)?,
        );
        Ok(self.shortfalls == other.shortfalls && own.eq(others)?)
    }

    fn __repr__(&self) -> String {
        let texts: Vec<String> = self.shortfalls.iter().map(ToString::to_string).collect();
        format!("<NearMiss {}>", texts.join("; "))
    }
}

/// What a search found: best first; true if it found anything, and to be looped over. str() of it says what the others
/// fall short in.
#[pyclass(frozen, module = "yokewright", name = "SearchResult")]
pub(in crate::python) struct PySearchResult(SearchResult<Py<PyAny>>);

impl PySearchResult {
    pub(in crate::python) fn of<T, P>(
        py: Python<'_>,
        result: SearchResult<T>,
        wrap: impl Fn(T) -> P,
    ) -> PyResult<Self>
    where
        P: for<'py> IntoPyObject<'py>,
    {
        let wrap = |one| wrap(one).into_py_any(py);
        let nearest = result.nearest.map(|near| {
            Ok::<_, PyErr>(NearMiss {
                candidate: near.candidate.map(wrap).transpose()?,
                shortfalls: near.shortfalls,
            })
        });
        Ok(Self(SearchResult {
            what: result.what,
            nearest: nearest.transpose()?,
            found: result
                .found
                .into_iter()
                .map(wrap)
                .collect::<PyResult<_>>()?,
            rejected: result.rejected,
            tried: result.tried,
            fitting: result.fitting,
        }))
    }
}

#[pymethods]
impl PySearchResult {
    /// What was searched for.
    #[getter]
    fn what(&self) -> &'static str {
        self.0.what
    }

    /// Those that keep every limit, best first.
    #[getter]
    fn found<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        PyList::new(py, self.0.found.iter().map(|one| one.bind(py)))
    }

    /// The best of all; raises NothingFoundError, which says what the nearest falls short in.
    fn best(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        Ok(self.0.best()?.clone_ref(py))
    }

    /// If none was found: the candidate whose worst shortfall is least.
    #[getter]
    fn nearest(&self, py: Python<'_>) -> Option<PyNearMiss> {
        self.0.nearest.as_ref().map(|near| PyNearMiss {
            candidate: near.candidate.as_ref().map(|one| one.clone_ref(py)),
            shortfalls: near.shortfalls.clone(),
        })
    }

    /// What the candidates that were tried fall short in, the most frequent first.
    #[getter]
    fn rejected(&self) -> Vec<PyRejection> {
        self.0.rejected.iter().copied().map(PyRejection).collect()
    }

    /// How many candidates were tried.
    #[getter]
    fn tried(&self) -> usize {
        self.0.tried
    }

    /// How many of them keep every limit.
    #[getter]
    fn fitting(&self) -> usize {
        self.0.fitting
    }

    fn __len__(&self) -> usize {
        self.0.found.len()
    }

    fn __iter__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyIterator>> {
        self.found(py)?.try_iter()
    }

    fn __eq__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<bool> {
        let (one, two) = (&self.0, &other.0);
        let counts = |result: &SearchResult<_>| (result.what, result.tried, result.fitting);
        let nearest = (
            self.nearest(py).into_pyobject(py)?,
            other.nearest(py).into_pyobject(py)?,
        );
        Ok(counts(one) == counts(two)
            && one.rejected == two.rejected
            && self.found(py)?.eq(other.found(py)?)?
            && nearest.0.eq(nearest.1)?)
    }

    fn __repr__(&self) -> String {
        let (fitting, tried, what) = (self.0.fitting, self.0.tried, self.0.what);
        format!("<SearchResult: {fitting} of {tried} {what} fit>")
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }
}
