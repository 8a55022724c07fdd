//! What every search gives.

use pyo3::prelude::*;
use pyo3::types::{PyIterator, PyList};
use pyo3::{IntoPyObject, IntoPyObjectExt};
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::value::Parts;
use crate::search::words::kept;
use crate::search::{NearMiss, Rejection, SearchResult, Shortfall};

/// A figure of a candidate that misses its limit.
#[pyclass(frozen, eq, module = "yokewright", name = "Shortfall")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyShortfall(pub(in crate::python) Shortfall);

attributes! {
    impl PyShortfall {
        /// In words, what is wrong.
        reason: &'static str = |v| v.requirement.reason(),
        /// The quantity that falls short.
        quantity: &'static str = |v| v.requirement.quantity(),
        /// Its value.
        value: f64,
        /// The limit that it misses.
        limit: f64,
        /// The unit of both.
        unit: &'static str = |v| v.requirement.unit(),
        /// By how much it misses, for a comparison of what has different units: a share of the limit unless the search
        /// says otherwise.
        share: f64,
    }

    fn __repr__(&self) -> String {
        format!("<Shortfall {}>", self.0)
    }
}

/// How many candidates fall short in one thing, and how near the nearest of them came.
#[pyclass(frozen, eq, module = "yokewright", name = "Rejection")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRejection(Rejection);

attributes! {
    impl PyRejection {
        /// In words, what is wrong with them.
        reason: &'static str = |v| v.nearest.requirement.reason(),
        /// How many. One that falls short in several things counts in each.
        count: usize,
        /// The one that misses by least.
        nearest: PyShortfall = |v| PyShortfall(v.nearest),
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

impl Parts for PyNearMiss {
    type Parts = (Option<Py<PyAny>>, Vec<Py<PyShortfall>>);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        let shortfalls = self.shortfalls().into_iter().map(|one| Py::new(py, one));
        Ok((self.candidate(py), shortfalls.collect::<PyResult<_>>()?))
    }

    fn of_parts(_: Python<'_>, (candidate, shortfalls): Self::Parts) -> PyResult<Self> {
        Ok(Self {
            candidate,
            shortfalls: shortfalls.iter().map(|one| one.get().0).collect(),
        })
    }
}

/// What a search found: best first; true if it found anything, and to be looped over. str() of it says what the others
/// fall short in.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> springs = yw.spring.search_compression_springs(
/// ...     ["EN 10270-1 SM"], rate=2000.0, preload=10.0, travel=15 * mm
/// ... )
/// >>> print(f"{springs.fitting} of {springs.tried} fit; {len(springs)} are shown")
/// 1301 of 14800 fit; 26 are shown
/// >>> print(f"{springs.best().spring.wire_diameter / mm:.1f} mm wire")
/// 1.2 mm wire
/// >>> springs.rejected[0].reason
/// 'too many active turns'
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

attributes! {
    impl PySearchResult {
        /// What was searched for.
        what: &'static str,
        /// What the candidates that were tried fall short in, the most frequent first.
        rejected: Vec<PyRejection> = |v| v.rejected.iter().copied().map(PyRejection).collect(),
        /// How many candidates were tried.
        tried: usize,
        /// How many of them keep every limit.
        fitting: usize,
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

impl Parts for PySearchResult {
    /// What was searched for, what was found, the nearest, the rejected; how many tried and fitting.
    type Parts = (
        (String, Vec<Py<PyAny>>),
        (Option<Py<PyNearMiss>>, Vec<Py<PyRejection>>),
        (usize, usize),
    );

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        let found = self.0.found.iter().map(|one| one.clone_ref(py)).collect();
        let nearest = self.nearest(py).map(|one| Py::new(py, one)).transpose()?;
        let rejected = self.rejected().into_iter().map(|one| Py::new(py, one));
        Ok((
            (self.0.what.to_owned(), found),
            (nearest, rejected.collect::<PyResult<_>>()?),
            (self.0.tried, self.0.fitting),
        ))
    }

    fn of_parts(py: Python<'_>, parts: Self::Parts) -> PyResult<Self> {
        let ((what, found), (nearest, rejected), (tried, fitting)) = parts;
        let nearest = nearest.map(|near| NearMiss {
            candidate: near.get().candidate(py),
            shortfalls: near.get().shortfalls.clone(),
        });
        Ok(Self(SearchResult {
            what: kept(&what).map_err(InvalidValueError::new_err)?,
            found,
            nearest,
            rejected: rejected.iter().map(|one| one.get().0).collect(),
            tried,
            fitting,
        }))
    }
}
