//! Design files and their evaluation.

use std::path::PathBuf;

use pyo3::prelude::*;

use crate::python::axis::{PyArmLayout, PyAxis, PyAxisFigures, PySweep};
use crate::python::gate::convert::Count;
use crate::python::gate::long::long;
use crate::rig::{AxisEvaluation, BrokenAxis, Design, Evaluation, Verdict};

/// A whole design, checked.
#[pyclass(frozen, module = "yokewright.rig", name = "Design")]
pub(super) struct PyDesign {
    design: Design,
    text: String,
    name: String,
}

impl PyDesign {
    fn read(text: String, name: String) -> PyResult<Self> {
        let design = Design::parse(&text, &name)?;
        Ok(Self { design, text, name })
    }
}

#[pymethods]
impl PyDesign {
    /// Reads a design file; raises DesignFileError with file, line, key, value and allowed range.
    #[staticmethod]
    fn load(path: PathBuf) -> PyResult<Self> {
        let (text, name) = Design::read_file(&path)?;
        Self::read(text, name)
    }

    /// Reads a design from text; name stands for the file in messages.
    #[staticmethod]
    #[pyo3(signature = (text, name = "design".to_owned()), text_signature = "(text, name='design')")]
    fn parse(text: String, name: String) -> PyResult<Self> {
        Self::read(text, name)
    }

    /// What the design is called.
    #[getter]
    fn title(&self) -> &str {
        self.design.title()
    }

    /// The file it was read from, or the name given in its place, as messages have it.
    #[getter]
    fn name(&self) -> &str {
        &self.name
    }

    /// Sweeps every axis at this many angles and holds the figures against the targets.
    #[pyo3(signature = (points = Count(1001)), text_signature = "($self, points=1001)")]
    fn evaluate(slf: &Bound<'_, Self>, points: Count) -> PyResult<PyEvaluation> {
        let (design, points) = (&slf.get().design, points.0);
        Ok(PyEvaluation {
            evaluation: long(slf.py(), || design.evaluate(points))??,
            design: slf.clone().unbind(),
            points,
        })
    }

    fn __repr__(&self) -> String {
        format!(
            "<Design \"{}\", {} axes>",
            self.design.title(),
            self.design.axes().len()
        )
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, (String, String))> {
        let this = slf.get();
        Ok((
            slf.getattr("parse")?,
            (this.text.clone(), this.name.clone()),
        ))
    }
}

/// An evaluated design. str() gives the verdict as a person reads it.
#[pyclass(frozen, module = "yokewright.rig", name = "Evaluation")]
pub(super) struct PyEvaluation {
    evaluation: Evaluation,
    /// What made it, to make it again when unpickled.
    design: Py<PyDesign>,
    points: usize,
}

#[pymethods]
impl PyEvaluation {
    /// What the design is called.
    #[getter]
    fn title(&self) -> &str {
        self.evaluation.title()
    }

    /// The design that was evaluated.
    #[getter]
    fn design(&self, py: Python<'_>) -> Py<PyDesign> {
        self.design.clone_ref(py)
    }

    /// The axes that can be swept, in the order of the file.
    #[getter]
    fn axes(&self) -> Vec<PyAxisEvaluation> {
        self.evaluation
            .axes()
            .iter()
            .cloned()
            .map(PyAxisEvaluation)
            .collect()
    }

    /// The axes that cannot be swept, such as one that collides, in the order of the file.
    #[getter]
    fn broken(&self) -> Vec<PyBrokenAxis> {
        self.evaluation
            .broken()
            .iter()
            .cloned()
            .map(PyBrokenAxis)
            .collect()
    }

    /// The worst of all verdicts: "met", "close" or "missed"; "missed" if an axis cannot be swept, else "met" if there
    /// are no targets.
    #[getter]
    fn state(&self) -> String {
        self.evaluation.state().to_string()
    }

    /// The result as JSON; SI units, except the verdicts, which carry theirs.
    fn to_json(&self) -> PyResult<String> {
        Ok(self.evaluation.to_json()?)
    }

    fn __str__(&self) -> String {
        self.evaluation.to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "<Evaluation of \"{}\": {}>",
            self.evaluation.title(),
            self.evaluation.state()
        )
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (usize,))> {
        Ok((self.design.bind(py).getattr("evaluate")?, (self.points,)))
    }
}

/// An axis that cannot be swept, and why.
#[pyclass(frozen, module = "yokewright.rig", name = "BrokenAxis")]
pub(super) struct PyBrokenAxis(BrokenAxis);

#[pymethods]
impl PyBrokenAxis {
    /// What the axis is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.name()
    }

    /// The line of the design file at which it begins.
    #[getter]
    fn line(&self) -> usize {
        self.0.line()
    }

    /// Why it cannot be swept.
    #[getter]
    fn reason(&self) -> String {
        self.0.reason().to_string()
    }

    fn __repr__(&self) -> String {
        format!("<BrokenAxis \"{}\": {}>", self.0.name(), self.0.reason())
    }
}

/// One evaluated axis.
#[pyclass(frozen, module = "yokewright.rig", name = "AxisEvaluation")]
pub(super) struct PyAxisEvaluation(AxisEvaluation);

#[pymethods]
impl PyAxisEvaluation {
    /// What the axis is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.name()
    }

    /// How magnet and sensor stand.
    #[getter]
    fn layout(&self) -> PyArmLayout {
        PyArmLayout(self.0.layout().clone())
    }

    /// The axis itself.
    #[getter]
    fn axis(&self) -> PyResult<PyAxis> {
        PyAxis::of(self.0.axis())
    }

    /// Its curve.
    #[getter]
    fn sweep(&self) -> PySweep {
        PySweep(self.0.sweep().clone())
    }

    /// Its figures.
    #[getter]
    fn figures(&self) -> PyAxisFigures {
        PyAxisFigures(self.0.figures().clone())
    }

    /// Its targets, each with a verdict.
    #[getter]
    fn verdicts(&self) -> Vec<PyVerdict> {
        self.0.verdicts().iter().cloned().map(PyVerdict).collect()
    }

    /// What a builder should know whatever the targets are: clipping, a reading that turns back or stands still, an
    /// input driven too high.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.notes().to_vec()
    }

    fn __repr__(&self) -> String {
        format!("<AxisEvaluation \"{}\">", self.0.name())
    }
}

/// One target beside the figure that answers it.
#[pyclass(frozen, module = "yokewright.rig", name = "Verdict")]
pub(super) struct PyVerdict(Verdict);

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

    /// "met", "close" (missed by no more than a tenth of what was wanted) or "missed".
    #[getter]
    fn state(&self) -> String {
        self.0.state().to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Verdict {}>", self.0)
    }
}
