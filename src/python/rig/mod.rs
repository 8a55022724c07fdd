//! Design files and their evaluation.

pub(in crate::python) mod feel;
pub(in crate::python) mod magnets;
pub(in crate::python) mod mechanics;
pub(in crate::python) mod verdict;

use std::path::PathBuf;

use pyo3::PyClass;
use pyo3::prelude::*;

use crate::python::axis::arrangement::PyArrangement;
use crate::python::axis::budget::{PyComparison, PyErrorBudget};
use crate::python::axis::control::{PyAxis, PyAxisFigures, PySweep};
use crate::python::axis::correction::PyCorrection;
use crate::python::axis::crosstalk::PyCrosstalk;
use crate::python::axis::latency::PyLatencyBudget;
use crate::python::axis::stick::PyTwoAxis;
use crate::python::axis::tolerance::sampling_of;
use crate::python::gate::convert::{Count, Times};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::value::Parts;
use crate::python::rig::builds::{PyRigYield, PySlotEvaluation};
use crate::python::rig::costs::{PyCost, PySupply};
use crate::python::rig::feel::PyFeelEvaluation;
use crate::python::rig::magnets::PyHandling;
use crate::python::rig::mechanics::{PyGateEvaluation, PyLinkageEvaluation};
use crate::python::rig::verdict::PyVerdict;
use crate::rig::{
    self, AxisEvaluation, BrokenControl, Design, Evaluation, RigYieldDemand, StickEvaluation,
    ToleranceShape,
};

pub(in crate::python) mod builds;
pub(in crate::python) mod costs;

/// A JSON Schema (draft 2020-12) of design files, as text: by it editors complete and check one as it is written.
///
/// It holds a file to the same keys, kinds, words and ranges as Design.load; words as DESIGN_KEYS has them. Whether a
/// part exists and whether values go together, only reading knows.
#[pyfunction]
pub(in crate::python) fn design_schema() -> String {
    rig::design_schema()
}

/// A whole design, checked.
#[pyclass(frozen, module = "yokewright.rig", name = "Design")]
pub(in crate::python) struct PyDesign(Design);

#[pymethods]
impl PyDesign {
    /// Reads a design file; raises DesignFileError with file, line, column, key, value and allowed range.
    #[staticmethod]
    fn load(path: PathBuf) -> PyResult<Self> {
        Ok(Self(Design::load(path)?))
    }

    /// Reads a design from text; name stands for the file in messages.
    #[staticmethod]
    #[pyo3(signature = (text, name = "design"), text_signature = "(text, name='design')")]
    fn parse(text: &str, name: &str) -> PyResult<Self> {
        Ok(Self(Design::parse(text, name)?))
    }

    /// What the design is called.
    #[getter]
    fn title(&self) -> &str {
        self.0.title()
    }

    /// The file it was read from, or the name given in its place, as messages have it.
    #[getter]
    fn name(&self) -> &str {
        self.0.file()
    }

    /// The text that it was read from.
    #[getter]
    fn text(&self) -> &str {
        self.0.text()
    }

    /// What prices are in; None if the file does not say.
    #[getter]
    fn currency(&self) -> Option<&str> {
        self.0.currency()
    }

    /// The variants that the file has, in its order.
    #[getter]
    fn variants(&self) -> Vec<String> {
        self.0.variants().to_vec()
    }

    /// Which of them it is; None of the file itself.
    #[getter]
    fn variant_name(&self) -> Option<&str> {
        self.0.variant_name()
    }

    /// The same file as one of its variants has it; raises InvalidValueError for one that there is not.
    fn variant(&self, name: &str) -> PyResult<Self> {
        Ok(Self(self.0.variant(name)?))
    }

    /// The numbers that have a tolerance: (name as in the file, line, distribution in a word).
    #[getter]
    fn tolerances(&self) -> Vec<(String, usize, String)> {
        let all = self.0.tolerances().iter();
        let word = |shape: Option<ToleranceShape>| match shape {
            Some(shape) => shape.to_string(),
            None => "measured sample".to_owned(),
        };
        all.map(|one| (one.input().to_owned(), one.line(), word(one.shape())))
            .collect()
    }

    /// What moves several numbers together: (name, line, numbers).
    #[getter]
    fn causes(&self) -> Vec<(String, usize, Vec<String>)> {
        let all = self.0.causes().iter();
        all.map(|one| (one.name().to_owned(), one.line(), one.moves().to_vec()))
            .collect()
    }

    /// Sweeps every axis at this many angles and holds the figures against the targets; with a study of its builds also
    /// the yields.
    #[pyo3(signature = (points = Count(1001), *, yields = None),
           text_signature = "($self, points=1001, *, yields=None)")]
    fn evaluate(
        slf: &Bound<'_, Self>,
        points: Count,
        yields: Option<Py<PyRigYield>>,
    ) -> PyResult<PyEvaluation> {
        let (design, points) = (&slf.get().0, points.0);
        let evaluation = long(slf.py(), || design.evaluate(points))??;
        Ok(PyEvaluation {
            evaluation: match &yields {
                Some(yields) => evaluation.with_yields(&yields.get().0)?,
                None => evaluation,
            },
            design: slf.clone().unbind(),
            points,
            yields,
        })
    }

    /// How its magnets are to be handled: contact forces, margins against losing flux in the heat, pulls that holders
    /// have to bear. Forces of magnets in contact may take some milliseconds.
    fn handling(&self, py: Python<'_>) -> PyResult<PyHandling> {
        Ok(PyHandling(long(py, || self.0.handling())??))
    }

    /// Builds the rig as strangers do, by the tolerances of its file, and counts those that work: each control by
    /// itself and all of them together.
    ///
    /// builds: how many; seed: the same gives the same builds. replicates: with a number (4 to 256) the builds are
    /// scrambled Sobol' points in so many replicates, which tell the error. confidence: of the intervals. keep: how
    /// many of the worst builds of each control are kept. importance_rows: with a number, 256 or more, what decides is
    /// studied too, by so many rows. route: "side by side" or "read anew" holds all to one way of computing them; both
    /// give the same.
    #[pyo3(signature = (builds = Times(10_000), *, seed = Times(1), replicates = None, confidence = 0.95,
                        keep = Count(20), importance_rows = None, route = None),
           text_signature = "($self, builds=10000, *, seed=1, replicates=None, confidence=0.95, keep=20, \
                             importance_rows=None, route=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn study_yields(
        &self,
        py: Python<'_>,
        builds: Times,
        seed: Times,
        replicates: Option<Count>,
        confidence: f64,
        keep: Count,
        importance_rows: Option<Times>,
        route: Option<&str>,
    ) -> PyResult<PyRigYield> {
        let demand = RigYieldDemand {
            builds: builds.0 as u64,
            seed: seed.0 as u64,
            sampling: sampling_of(replicates),
            confidence,
            keep: keep.0,
            importance_rows: importance_rows.map(|rows| rows.0 as u64),
            route: route.map(str::parse).transpose()?,
        };
        Ok(PyRigYield(long(py, || self.0.study_yields(&demand))??))
    }

    /// What each slot does to each control that its number reaches, at both of its ends.
    fn evaluate_slots(&self, py: Python<'_>) -> PyResult<Vec<PySlotEvaluation>> {
        let slots = long(py, || self.0.evaluate_slots())??;
        Ok(slots.into_iter().map(PySlotEvaluation).collect())
    }

    fn __repr__(&self) -> String {
        format!(
            "<Design \"{}\", {} axes, {} sticks>",
            self.0.title(),
            self.0.axes().len(),
            self.0.sticks().len()
        )
    }

    /// With which variant of a text, for pickle.
    #[staticmethod]
    fn _restore(text: &str, name: &str, variant: Option<&str>) -> PyResult<Self> {
        let design = Design::parse(text, name)?;
        Ok(Self(match variant {
            Some(variant) => design.variant(variant)?,
            None => design,
        }))
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Restored)> {
        let this = &slf.get().0;
        let variant = this.variant_name().map(ToOwned::to_owned);
        let file = (this.text().to_owned(), this.file().to_owned(), variant);
        Ok((slf.getattr("_restore")?, file))
    }
}

/// Text, name and variant of a design.
type Restored = (String, String, Option<String>);

/// An evaluated design. str() gives the verdict as a person reads it.
#[pyclass(frozen, module = "yokewright.rig", name = "Evaluation")]
pub(in crate::python) struct PyEvaluation {
    evaluation: Evaluation,
    /// What made it, to make it again when unpickled.
    design: Py<PyDesign>,
    points: usize,
    yields: Option<Py<PyRigYield>>,
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

    /// What prices are in; None if the file does not say.
    #[getter]
    fn currency(&self) -> Option<&str> {
        self.evaluation.currency()
    }

    /// The axes that can be evaluated, those of sticks too, in the order of the file.
    #[getter]
    fn axes(slf: &Bound<'_, Self>) -> Vec<PyAxisEvaluation> {
        each(slf, slf.get().evaluation.axes())
            .map(PyAxisEvaluation)
            .collect()
    }

    /// The sticks that can be evaluated, in the order of the file.
    #[getter]
    fn sticks(slf: &Bound<'_, Self>) -> Vec<PyStickEvaluation> {
        each(slf, slf.get().evaluation.sticks())
            .map(PyStickEvaluation)
            .collect()
    }

    /// The axes, sticks, feels and springs that cannot be evaluated, such as one that collides, in the order of the
    /// file.
    #[getter]
    fn broken(slf: &Bound<'_, Self>) -> Vec<PyBrokenControl> {
        each(slf, slf.get().evaluation.broken())
            .map(PyBrokenControl)
            .collect()
    }

    /// All axes in one table, each with the error budget that it is asked for; None if there are none.
    #[getter]
    fn comparison(&self) -> Option<PyComparison> {
        let table = self.evaluation.comparison();
        table.cloned().map(PyComparison)
    }

    /// The bill of materials, and where the money goes.
    #[getter]
    fn cost(&self) -> PyCost {
        PyCost(self.evaluation.cost().clone())
    }

    /// The current that the rig draws; None if its file tells no current.
    #[getter]
    fn supply(&self) -> Option<PySupply> {
        self.evaluation.supply().cloned().map(PySupply)
    }

    /// The study of builds that it was evaluated with; None without one.
    #[getter]
    fn yields(&self, py: Python<'_>) -> Option<Py<PyRigYield>> {
        self.yields.as_ref().map(|yields| yields.clone_ref(py))
    }

    /// The targets of the whole rig, each with a verdict; the limit of the supply is one.
    #[getter]
    fn verdicts(&self) -> Vec<PyVerdict> {
        let all = self.evaluation.verdicts().iter();
        all.cloned().map(PyVerdict).collect()
    }

    /// What a builder should know of the whole rig whatever the targets are.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.evaluation.notes().to_vec()
    }

    /// The worst of all verdicts: "met", "not studied" (a yield that only a study of builds tells), "close" or
    /// "missed"; "missed" if a control cannot be evaluated, else "met" if there are no targets.
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

    /// As evaluated with a study of builds or without, for pickle.
    #[staticmethod]
    fn _restore(
        design: &Bound<'_, PyDesign>,
        points: usize,
        yields: Option<Py<PyRigYield>>,
    ) -> PyResult<Self> {
        PyDesign::evaluate(design, Count(points), yields)
    }

    fn __reduce__<'py>(slf: &Bound<'py, Self>) -> PyResult<(Bound<'py, PyAny>, Evaluated)> {
        let (this, py) = (slf.get(), slf.py());
        let yields = this.yields.as_ref().map(|yields| yields.clone_ref(py));
        let made_of = (this.design.clone_ref(py), this.points, yields);
        Ok((slf.getattr("_restore")?, made_of))
    }
}

/// What an evaluation was made of.
type Evaluated = (Py<PyDesign>, usize, Option<Py<PyRigYield>>);

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

/// An axis, a stick, the feel of one or a spring that cannot be evaluated, and why.
#[pyclass(frozen, module = "yokewright.rig", name = "BrokenControl")]
pub(in crate::python) struct PyBrokenControl(Part<PyEvaluation, BrokenControl>);

impl Parts for PyBrokenControl {
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
impl PyBrokenControl {
    /// What the axis or the stick is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.part.name()
    }

    /// The line of the design file at which it begins.
    #[getter]
    fn line(&self) -> usize {
        self.0.part.line()
    }

    /// Why it cannot be evaluated.
    #[getter]
    fn reason(&self) -> &str {
        self.0.part.reason()
    }

    fn __repr__(&self) -> String {
        format!(
            "<BrokenControl \"{}\": {}>",
            self.0.part.name(),
            self.0.part.reason()
        )
    }
}

/// One evaluated axis.
#[pyclass(frozen, module = "yokewright.rig", name = "AxisEvaluation")]
pub(in crate::python) struct PyAxisEvaluation(Part<PyEvaluation, AxisEvaluation>);

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

    /// What the stick is called that it is an axis of; None of an axis by itself.
    #[getter]
    fn stick(&self) -> Option<&str> {
        self.0.part.stick()
    }

    /// How magnet and sensor stand; None with a potentiometer on the shaft.
    #[getter]
    fn arrangement<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        let arrangement = self.0.part.arrangement();
        arrangement
            .map(|arrangement| PyArrangement::object(py, arrangement))
            .transpose()
    }

    /// The axis itself; of a stick as if the other axis stood at zero and had no magnet.
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

    /// What the errors of the position told add up to; None where the reading turns back or stands still, or where
    /// notes says why.
    #[getter]
    fn error_budget(&self) -> Option<PyErrorBudget> {
        self.0.part.error_budget().cloned().map(PyErrorBudget)
    }

    /// What goes to it of the cost of the rig; None if nothing that it uses has a price.
    #[getter]
    fn price(&self) -> Option<f64> {
        self.0.part.price()
    }

    /// How slow it is, from hand to screen: the stages that follow from its own chain, then those that all controls
    /// share. None of a file without stages.
    #[getter]
    fn latency(&self) -> Option<PyLatencyBudget> {
        self.0.part.latency().cloned().map(PyLatencyBudget)
    }

    /// Its targets, each with a verdict.
    #[getter]
    fn verdicts(&self) -> Vec<PyVerdict> {
        let all = self.0.part.verdicts().iter();
        all.cloned().map(PyVerdict).collect()
    }

    /// What its drive does; None where the control sits on the pivot with the sensor.
    #[getter]
    fn linkage(&self) -> Option<PyLinkageEvaluation> {
        self.0.part.linkage().cloned().map(PyLinkageEvaluation)
    }

    /// What hand or foot feels; None where the file does not say what acts on it. Of an axis of a stick the stick has
    /// it.
    #[getter]
    fn feel(&self) -> Option<PyFeelEvaluation> {
        self.0.part.feel().cloned().map(PyFeelEvaluation)
    }

    /// What a builder should know whatever the targets are: clipping, a reading that turns back or stands still, an
    /// input driven too high, parts that touch, a linkage at its end, a field that the sensor does not work in.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.part.notes().to_vec()
    }

    fn __repr__(&self) -> String {
        format!("<AxisEvaluation \"{}\">", self.0.part.name())
    }
}

/// One evaluated stick: what its two axes do to each other.
#[pyclass(frozen, module = "yokewright.rig", name = "StickEvaluation")]
pub(in crate::python) struct PyStickEvaluation(Part<PyEvaluation, StickEvaluation>);

impl Parts for PyStickEvaluation {
    type Parts = (Py<PyEvaluation>, usize);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        Ok(self.0.place(py))
    }

    fn of_parts(py: Python<'_>, (owner, number): Self::Parts) -> PyResult<Self> {
        let own = owner.clone_ref(py);
        let sticks = owner.get().evaluation.sticks();
        Ok(Self(Part::of(own, number, sticks)?))
    }
}

#[pymethods]
impl PyStickEvaluation {
    /// What the stick is called.
    #[getter]
    fn name(&self) -> &str {
        self.0.part.name()
    }

    /// What its outer and its inner axis are called.
    #[getter]
    fn axes(&self) -> (String, String) {
        let [outer, inner] = self.0.part.axes();
        (outer.to_owned(), inner.to_owned())
    }

    /// Both sensors among all magnets, at the temperature at which everything is given.
    #[getter]
    fn two_axis(&self) -> PyResult<PyTwoAxis> {
        PyTwoAxis::of(self.0.part.two_axis())
    }

    /// Least distance of either sensor's face from any magnet over the gate, the outer one first, m.
    #[getter]
    fn clearance(&self) -> (f64, f64) {
        self.0.part.clearance().into()
    }

    /// What each axis does to the reading of the other.
    #[getter]
    fn crosstalk(&self) -> PyCrosstalk {
        PyCrosstalk(self.0.part.crosstalk().clone())
    }

    /// The bilinear map of both readings to both angles, and what it leaves; None where the readings do not tell the
    /// angles apart, as notes then says.
    #[getter]
    fn correction(&self) -> Option<PyCorrection> {
        self.0.part.correction().cloned().map(PyCorrection)
    }

    /// Where it may be, how far its grip goes, and what it comes near to.
    #[getter]
    fn gate(&self) -> PyGateEvaluation {
        PyGateEvaluation(self.0.part.gate().clone())
    }

    /// What the hand feels along both axes; None where the file does not say what acts on it.
    #[getter]
    fn feel(&self) -> Option<PyFeelEvaluation> {
        self.0.part.feel().cloned().map(PyFeelEvaluation)
    }

    /// What is asked of it as a whole, each with a verdict; what is asked of its axes they have themselves.
    #[getter]
    fn verdicts(&self) -> Vec<PyVerdict> {
        self.0
            .part
            .verdicts()
            .iter()
            .cloned()
            .map(PyVerdict)
            .collect()
    }

    /// What a builder should know whatever the targets are.
    #[getter]
    fn notes(&self) -> Vec<String> {
        self.0.part.notes().to_vec()
    }

    fn __repr__(&self) -> String {
        format!("<StickEvaluation \"{}\">", self.0.part.name())
    }
}
