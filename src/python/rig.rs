//! Design files and their evaluation.

use std::path::PathBuf;

use pyo3::PyClass;
use pyo3::prelude::*;

use crate::python::axis::arrangement::PySwungLayout;
use crate::python::axis::control::{PyAxis, PyAxisFigures, PySweep};
use crate::python::gate::convert::Count;
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::value::Parts;
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
    fn axes(slf: &Bound<'_, Self>) -> Vec<PyAxisEvaluation> {
        each(slf, slf.get().evaluation.axes())
            .map(PyAxisEvaluation)
            .collect()
    }

    /// The axes that cannot be swept, such as one that collides, in the order of the file.
    #[getter]
    fn broken(slf: &Bound<'_, Self>) -> Vec<PyBrokenAxis> {
        each(slf, slf.get().evaluation.broken())
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

/// One of several things that an evaluated value holds, which is kept alive with it and pickled as its place there.
struct Part<O, T> {
    owner: Py<O>,
    number: usize,
    part: T,
}

/// All of the parts.
fn each<O: PyClass, T: Clone>(
    owner: &Bound<'_, O>,
    parts: &[T],
) -> impl Iterator<Item = Part<O, T>> {
    parts
        .iter()
        .cloned()
        .enumerate()
        .map(|(number, part)| Part {
            owner: owner.clone().unbind(),
            number,
            part,
        })
}

impl<O, T> Part<O, T> {
    fn place(&self, py: Python<'_>) -> (Py<O>, usize) {
        (self.owner.clone_ref(py), self.number)
    }
}

impl<O, T: Clone> Part<O, T> {
    fn of(owner: Py<O>, number: usize, parts: &[T]) -> PyResult<Self> {
        let missing = || InvalidValueError::new_err(format!("there is no part {number}"));
        let part = parts.get(number).ok_or_else(missing)?.clone();
        Ok(Self {
            owner,
            number,
            part,
        })
    }
}

/// An axis that cannot be swept, and why.
#[pyclass(frozen, module = "yokewright.rig", name = "BrokenAxis")]
pub(super) struct PyBrokenAxis(Part<PyEvaluation, BrokenAxis>);

impl Parts for PyBrokenAxis {
    type Parts = (Py<PyEvaluation>, usize);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        Ok(self.0.place(py))
    }

    fn of_parts(py: Python<'_>, (owner, number): Self::Parts) -> PyResult<Self> {
        let own = owner.clone_ref(py);
        Ok(Self(Part::of(
            own,
            number,
            owner.get().evaluation.broken(),
        )?))
    }
}

#[pymethods]
impl PyBrokenAxis {
    /// What the axis is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.part.name()
    }

    /// The line of the design file at which it begins.
    #[getter]
    fn line(&self) -> usize {
        self.0.part.line()
    }

    /// Why it cannot be swept.
    #[getter]
    fn reason(&self) -> String {
        self.0.part.reason().to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "<BrokenAxis \"{}\": {}>",
            self.0.part.name(),
            self.0.part.reason()
        )
    }
}

/// One evaluated axis.
#[pyclass(frozen, module = "yokewright.rig", name = "AxisEvaluation")]
pub(super) struct PyAxisEvaluation(Part<PyEvaluation, AxisEvaluation>);

impl Parts for PyAxisEvaluation {
    type Parts = (Py<PyEvaluation>, usize);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        Ok(self.0.place(py))
    }

    fn of_parts(py: Python<'_>, (owner, number): Self::Parts) -> PyResult<Self> {
        let own = owner.clone_ref(py);
        Ok(Self(Part::of(own, number, owner.get().evaluation.axes())?))
    }
}

#[pymethods]
impl PyAxisEvaluation {
    /// What the axis is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.part.name()
    }

    /// How magnet and sensor stand.
    #[getter]
    fn layout<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        PySwungLayout::object(py, self.0.part.layout())
    }

    /// The axis itself.
    #[getter]
    fn axis(&self) -> PyResult<PyAxis> {
        PyAxis::of(self.0.part.axis())
    }

    /// Its curve.
    #[getter]
    fn sweep(&self) -> PySweep {
        PySweep::of(self.0.part.sweep().clone())
    }

    /// Its figures.
    #[getter]
    fn figures(&self) -> PyAxisFigures {
        PyAxisFigures(self.0.part.figures().clone())
    }

    /// Its targets, each with a verdict.
    #[getter]
    fn verdicts(slf: &Bound<'_, Self>) -> Vec<PyVerdict> {
        each(slf, slf.get().0.part.verdicts())
            .map(PyVerdict)
            .collect()
    }

    /// What a builder should know whatever the targets are: clipping, a reading that turns back or stands still, an
    /// input driven too high.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.part.notes().to_vec()
    }

    fn __repr__(&self) -> String {
        format!("<AxisEvaluation \"{}\">", self.0.part.name())
    }
}

/// One target beside the figure that answers it.
#[pyclass(frozen, module = "yokewright.rig", name = "Verdict")]
pub(super) struct PyVerdict(Part<PyAxisEvaluation, Verdict>);

impl Parts for PyVerdict {
    type Parts = (Py<PyAxisEvaluation>, usize);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        Ok(self.0.place(py))
    }

    fn of_parts(py: Python<'_>, (owner, number): Self::Parts) -> PyResult<Self> {
        let own = owner.clone_ref(py);
        Ok(Self(Part::of(own, number, owner.get().0.part.verdicts())?))
    }
}

#[pymethods]
impl PyVerdict {
    /// What was asked.
    #[getter]
    fn target(&self) -> &'static str {
        self.0.part.target().name()
    }

    /// The unit of wanted and got.
    #[getter]
    fn unit(&self) -> &'static str {
        self.0.part.target().unit()
    }

    /// "at least" or "at most".
    #[getter]
    fn sense(&self) -> String {
        self.0.part.target().sense().to_string()
    }

    /// The value wanted.
    #[getter]
    fn wanted(&self) -> f64 {
        self.0.part.wanted()
    }

    /// The value that the design reaches; None where the figure has no value.
    #[getter]
    fn got(&self) -> Option<f64> {
        self.0.part.got()
    }

    /// How much there is to spare; negative if the target is not met.
    #[getter]
    fn margin(&self) -> Option<f64> {
        self.0.part.margin()
    }

    /// The unit of margin: "points" between two percentages, else unit.
    #[getter]
    fn margin_unit(&self) -> &'static str {
        self.0.part.margin_unit()
    }

    /// What the figure hides, such as the clipping of a throw that uses much of the range; None if nothing.
    #[getter]
    fn qualification(&self) -> Option<&str> {
        self.0.part.qualification()
    }

    /// "met", "close" (missed by no more than a tenth of what was wanted) or "missed".
    #[getter]
    fn state(&self) -> String {
        self.0.part.state().to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Verdict {}>", self.0.part)
    }
}
