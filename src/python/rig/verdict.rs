//! Targets and whether they are met.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::rig::Verdict;

/// One target beside the figure that answers it.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "Verdict")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyVerdict(pub(super) Verdict);

#[pymethods]
impl PyVerdict {
    /// What was asked.
    #[getter]
    fn target(&self) -> &'static str {
        self.0.target().name()
    }

    /// The unit of wanted and got.
    #[getter]
    fn unit(&self) -> &'static str {
        self.0.target().unit()
    }

    /// "at least" or "at most".
    #[getter]
    fn sense(&self) -> String {
        self.0.target().sense().to_string()
    }

    /// The value wanted.
    #[getter]
    fn wanted(&self) -> f64 {
        self.0.wanted()
    }

    /// The value that the design reaches; None where the figure has no value.
    #[getter]
    fn got(&self) -> Option<f64> {
        self.0.got()
    }

    /// How much there is to spare; negative if the target is not met.
    #[getter]
    fn margin(&self) -> Option<f64> {
        self.0.margin()
    }

    /// The unit of margin: "points" between two percentages, else unit.
    #[getter]
    fn margin_unit(&self) -> &'static str {
        self.0.margin_unit()
    }

    /// What the figure hides, such as the clipping of a throw that uses much of the range; None if nothing.
    #[getter]
    fn qualification(&self) -> Option<&str> {
        self.0.qualification()
    }

    /// "met", "not studied" (a yield that only a study of builds tells), "close" (missed by no more than a tenth of
    /// what was wanted) or "missed".
    #[getter]
    fn state(&self) -> String {
        self.0.state().to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Verdict {}>", self.0)
    }
}
