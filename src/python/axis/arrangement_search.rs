//! The search over magnets, sensors and the measures of arrangements.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::axis::{
    self, ArrangementCandidate, ArrangementDemand, ArrangementSummary, BestOfKind, JustOutside,
    ParetoRow, VariedMeasure,
};
use crate::python::any_sensor::PySensor;
use crate::python::axis::arrangement::PyArrangement;
use crate::python::axis::control::{PyAxis, PyAxisFigures, drive_or_none, throw_of};
use crate::python::gate::errors::InvalidTypeError;
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::gate::value::Parts;
use crate::python::hall::PyConverter;
use crate::python::linkage::transmission::AnyDrive;
use crate::python::search::{PySearchResult, PyShortfall};

/// An arrangement in a few figures. SI; fractions of 1.
#[pyclass(
    frozen,
    eq,
    module = "yokewright.axis",
    name = "ArrangementSummary",
    get_all
)]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyArrangementSummary {
    /// Span of the output, as a share of the sensor's output range.
    span: f64,
    /// Independent linearity of the output; 1 where it does not change.
    linearity: f64,
    /// The angle that a count or the rms noise, whichever is worth more, is worth where it is worth most, rad; None
    /// where the reading turns back.
    step: Option<f64>,
    /// The longest side of the smallest box that holds pivot, magnets and the package's face when centered, m.
    size: f64,
    /// Of all magnets, m^3.
    magnet_volume: f64,
    /// Least distance of the package's face from magnets and their plate over the throw, m.
    clearance: f64,
    /// The part of the throw at which the output is clipped.
    clipped_share: f64,
}

impl From<ArrangementSummary> for PyArrangementSummary {
    fn from(summary: ArrangementSummary) -> Self {
        let ArrangementSummary {
            span,
            linearity,
            step,
            size,
            magnet_volume,
            clearance,
            clipped_share,
        } = summary;
        Self {
            span,
            linearity,
            step,
            size,
            magnet_volume,
            clearance,
            clipped_share,
        }
    }
}

#[pymethods]
impl PyArrangementSummary {
    fn __repr__(&self) -> String {
        format!(
            "<ArrangementSummary span {:?}, linearity {:?}, size {:?} m>",
            self.span, self.linearity, self.size
        )
    }
}

/// An arrangement that search_arrangements found, or came near to. Its figures are those on which it was judged.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ArrangementCandidate")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyArrangementCandidate(ArrangementCandidate);

#[pymethods]
impl PyArrangementCandidate {
    /// The arrangement with its measures.
    #[getter]
    fn arrangement<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        PyArrangement::object(py, &self.0.arrangement)
    }

    /// Which of the arrangements that were given it is, from 0.
    #[getter]
    fn start(&self) -> usize {
        self.0.start
    }

    /// Which of the sensors it has, from 0.
    #[getter]
    fn sensor(&self) -> usize {
        self.0.sensor
    }

    /// Its axis.
    #[getter]
    fn axis(&self) -> PyResult<PyAxis> {
        PyAxis::of(&self.0.axis)
    }

    /// Its figures.
    #[getter]
    fn figures(&self) -> PyAxisFigures {
        PyAxisFigures(self.0.figures.clone())
    }

    /// Its figures in short.
    #[getter]
    fn summary(&self) -> PyArrangementSummary {
        self.0.summary.into()
    }

    /// In what it excels among the answers: "widest span", "straightest", "finest step", "smallest magnet", "widest
    /// gap", "smallest"; nothing of one that is simply the next best.
    #[getter]
    fn characters(&self) -> Vec<String> {
        self.0.characters.iter().map(ToString::to_string).collect()
    }

    fn __repr__(&self) -> String {
        let ArrangementSummary {
            span, linearity, ..
        } = self.0.summary;
        format!("<ArrangementCandidate span {span:?}, linearity {linearity:?}>")
    }
}

/// One line of the table of what can be had of span, linearity and size: no arrangement that was tried and keeps the
/// limits is at least as good in all three and better in one.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ParetoRow")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyParetoRow(ParetoRow);

#[pymethods]
impl PyParetoRow {
    /// The arrangement.
    #[getter]
    fn arrangement<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        PyArrangement::object(py, &self.0.arrangement)
    }

    /// Which of the arrangements that were given it is, from 0.
    #[getter]
    fn start(&self) -> usize {
        self.0.start
    }

    /// Which of the sensors it has, from 0.
    #[getter]
    fn sensor(&self) -> usize {
        self.0.sensor
    }

    /// Its figures.
    #[getter]
    fn summary(&self) -> PyArrangementSummary {
        self.0.summary.into()
    }

    fn __repr__(&self) -> String {
        let ArrangementSummary {
            span,
            linearity,
            size,
            ..
        } = self.0.summary;
        format!("<ParetoRow span {span:?}, linearity {linearity:?}, size {size:?} m>")
    }
}

/// An arrangement that misses one limit by little and would give far more; str() of it says so in words.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "JustOutside")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyJustOutside(JustOutside);

#[pymethods]
impl PyJustOutside {
    /// What was sought: "span", "linearity" or "step".
    #[getter]
    fn objective(&self) -> String {
        self.0.objective.to_string()
    }

    /// The arrangement.
    #[getter]
    fn candidate(&self) -> PyArrangementCandidate {
        PyArrangementCandidate(self.0.candidate.clone())
    }

    /// The one limit that it misses.
    #[getter]
    fn shortfall(&self) -> PyShortfall {
        PyShortfall(self.0.shortfall)
    }

    /// The best that keeps all limits, or that comes nearest to them; None if there is nothing to compare with.
    #[getter]
    fn instead_of(&self) -> Option<PyArrangementSummary> {
        self.0.instead_of.map(Into::into)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<JustOutside {}>", self.0)
    }
}

impl Parts for PyJustOutside {
    type Parts = (
        String,
        Py<PyArrangementCandidate>,
        Py<PyShortfall>,
        Option<Py<PyArrangementSummary>>,
    );

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        let instead_of = self.instead_of().map(|one| Py::new(py, one));
        Ok((
            self.objective(),
            Py::new(py, self.candidate())?,
            Py::new(py, self.shortfall())?,
            instead_of.transpose()?,
        ))
    }

    fn of_parts(_: Python<'_>, parts: Self::Parts) -> PyResult<Self> {
        let (objective, candidate, shortfall, instead_of) = parts;
        Ok(Self(JustOutside {
            objective: objective.parse()?,
            candidate: candidate.get().0.clone(),
            shortfall: shortfall.get().0,
            instead_of: instead_of.map(|one| one.get().core()),
        }))
    }
}

impl PyArrangementSummary {
    fn core(&self) -> ArrangementSummary {
        ArrangementSummary {
            span: self.span,
            linearity: self.linearity,
            step: self.step,
            size: self.size,
            magnet_volume: self.magnet_volume,
            clearance: self.clearance,
            clipped_share: self.clipped_share,
        }
    }
}

/// The best of one kind of arrangement.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BestOfKind")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyBestOfKind(BestOfKind);

#[pymethods]
impl PyBestOfKind {
    /// "swung", "pair", "head-on" or "shaft end".
    #[getter]
    fn kind(&self) -> String {
        self.0.kind.to_string()
    }

    /// The best of it; if none keeps the limits, the one that comes nearest.
    #[getter]
    fn candidate(&self) -> PyArrangementCandidate {
        PyArrangementCandidate(self.0.candidate.clone())
    }

    /// What that one falls short in, the worst first.
    #[getter]
    fn shortfalls(&self) -> Vec<PyShortfall> {
        self.0.shortfalls.iter().copied().map(PyShortfall).collect()
    }

    fn __repr__(&self) -> String {
        format!("<BestOfKind {}>", self.0.kind)
    }
}

impl Parts for PyBestOfKind {
    type Parts = (String, Py<PyArrangementCandidate>, Vec<Py<PyShortfall>>);

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        let shortfalls = self.shortfalls().into_iter().map(|one| Py::new(py, one));
        Ok((
            self.kind(),
            Py::new(py, self.candidate())?,
            shortfalls.collect::<PyResult<_>>()?,
        ))
    }

    fn of_parts(_: Python<'_>, (kind, candidate, shortfalls): Self::Parts) -> PyResult<Self> {
        Ok(Self(BestOfKind {
            kind: kind.parse()?,
            candidate: candidate.get().0.clone(),
            shortfalls: shortfalls.iter().map(|one| one.get().0).collect(),
        }))
    }
}

/// What search_arrangements gives.
///
/// result: several good answers of different character, best first; the nearest if nothing fits; and the counts.
#[pyclass(frozen, module = "yokewright.axis", name = "ArrangementSearch")]
pub(in crate::python) struct PyArrangementSearch {
    result: Py<PySearchResult>,
    pareto: Vec<ParetoRow>,
    just_outside: Option<JustOutside>,
    kinds: Vec<BestOfKind>,
}

#[pymethods]
impl PyArrangementSearch {
    /// The answers, a SearchResult: best first; the nearest if nothing fits; and the counts.
    #[getter]
    fn result(&self, py: Python<'_>) -> Py<PySearchResult> {
        self.result.clone_ref(py)
    }

    /// What can be had of span, linearity and size, the widest span first.
    #[getter]
    fn pareto(&self) -> Vec<PyParetoRow> {
        self.pareto.iter().cloned().map(PyParetoRow).collect()
    }

    /// What misses one limit by little and would give far more, if there is such a thing.
    #[getter]
    fn just_outside(&self) -> Option<PyJustOutside> {
        self.just_outside.clone().map(PyJustOutside)
    }

    /// The best of each kind of arrangement that was asked for, the best kind first.
    #[getter]
    fn kinds(&self) -> Vec<PyBestOfKind> {
        self.kinds.iter().cloned().map(PyBestOfKind).collect()
    }

    /// Which kind of arrangement is better, and why, in words; None if only one kind was asked for.
    fn kinds_in_words(&self) -> Option<String> {
        let (better, others) = self.kinds.split_first()?;
        let texts: Vec<String> = others.iter().map(|other| better.beside(other)).collect();
        (!texts.is_empty()).then(|| texts.join("\n"))
    }

    fn __eq__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<bool> {
        let results = self.result.bind(py).eq(other.result.bind(py))?;
        Ok(results
            && self.pareto == other.pareto
            && self.just_outside == other.just_outside
            && self.kinds == other.kinds)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let result = self.result.bind(py).repr()?;
        Ok(format!(
            "<ArrangementSearch {result}, {} rows>",
            self.pareto.len()
        ))
    }
}

impl Parts for PyArrangementSearch {
    type Parts = (
        Py<PySearchResult>,
        Vec<Py<PyParetoRow>>,
        Option<Py<PyJustOutside>>,
        Vec<Py<PyBestOfKind>>,
    );

    fn parts(&self, py: Python<'_>) -> PyResult<Self::Parts> {
        let rows = self.pareto().into_iter().map(|row| Py::new(py, row));
        let kinds = self.kinds().into_iter().map(|kind| Py::new(py, kind));
        let outside = self.just_outside().map(|one| Py::new(py, one));
        Ok((
            self.result(py),
            rows.collect::<PyResult<_>>()?,
            outside.transpose()?,
            kinds.collect::<PyResult<_>>()?,
        ))
    }

    fn of_parts(_: Python<'_>, parts: Self::Parts) -> PyResult<Self> {
        let (result, pareto, just_outside, kinds) = parts;
        Ok(Self {
            result,
            pareto: pareto.iter().map(|row| row.get().0.clone()).collect(),
            just_outside: just_outside.map(|one| one.get().0.clone()),
            kinds: kinds.iter().map(|kind| kind.get().0.clone()).collect(),
        })
    }
}

/// The measures that vary, from their names and their bounds with or without a step.
fn varied(vary: &Bound<'_, PyDict>) -> PyResult<Vec<VariedMeasure>> {
    let one = |(name, bounds): (Bound<'_, PyAny>, Bound<'_, PyAny>)| {
        let measure = name.extract::<String>()?.parse()?;
        if let Ok(stepped) = bounds.extract::<Few<3>>() {
            let [lower, upper, step]: [f64; 3] = stepped.into();
            return Ok(VariedMeasure::new(measure, [lower, upper]).stepped(step));
        }
        match bounds.extract::<Few<2>>() {
            Ok(bounds) => Ok(VariedMeasure::new(measure, bounds.into())),
            Err(_) => {
                let text = format!("{measure}: (lower, upper) or (lower, upper, step) is needed");
                Err(InvalidTypeError::new_err(text))
            }
        }
    };
    vary.iter().map(one).collect()
}

/// Searches arrangements, sensors and measures for the best that keeps its limits; several good answers of different
/// character, and the table of what can be had of span, linearity and size.
///
/// arrangements: to start from, one for each magnet of a list, of one kind or of several; whatever does not vary is
/// taken from them. sensors: to choose from. vary: {measure: (lower, upper)} or, for drilled holes and printed slots,
/// (lower, upper, step), SI, by the names of Arrangement.measures; each is varied of the arrangements that have it.
/// objective: "span" (less the linearity, so that of two equally wide sweeps the straighter is better), "linearity"
/// (needs a min_span) or "step". max_linearity: of span. max_clipped: of the throw. range_margin: share of the output
/// range to keep free at each rail. min_span: of the output range. min_clearance, max_size: m. answers: how many at
/// most.
///
/// Every trial is judged by the figures of its axis, which are those that are returned. If nothing would do but what
/// misses one limit by a twentieth of it at most is 1.5 times as good, just_outside tells so.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm
/// >>> def swung(side):
/// ...     cube = yw.magnet.Block((side, side, side), (0, 1.3, 0))
/// ...     return yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=3 * mm)
/// >>> search = yw.axis.search_arrangements(
/// ...     [swung(4 * mm), swung(5 * mm)],
/// ...     sensors=[yw.hall.LinearHall(supply=5.0, sensitivity=25.0)],
/// ...     converter=yw.hall.Converter(bits=12, reference=5.0),
/// ...     throw=(-6 * deg, 6 * deg),
/// ...     vary={"arm": (8 * mm, 20 * mm, 0.5 * mm), "gap": (1 * mm, 6 * mm)},
/// ... )
/// >>> best = search.result.best()
/// >>> best.summary.span > 0.9 and best.summary.linearity <= 0.01
/// True
/// >>> "widest span" in best.characters
/// True
#[pyfunction]
#[pyo3(signature = (arrangements, *, sensors, converter = None, throw = None, vary, drive = None, lever = None,
                    moving = "magnets", objective = "span", max_linearity = 0.01, max_clipped = 0.0,
                    range_margin = 0.0, min_span = 0.0, min_clearance = 0.0, max_size = None, answers = 6))]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_arrangements(
    py: Python<'_>,
    arrangements: Many<Py<PyArrangement>>,
    sensors: Many<PySensor>,
    converter: Option<&PyConverter>,
    throw: Option<Few<2>>,
    vary: &Bound<'_, PyDict>,
    drive: Option<AnyDrive>,
    lever: Option<f64>,
    moving: &str,
    objective: &str,
    max_linearity: f64,
    max_clipped: f64,
    range_margin: f64,
    min_span: f64,
    min_clearance: f64,
    max_size: Option<f64>,
    answers: usize,
) -> PyResult<PyArrangementSearch> {
    let drive = drive_or_none(drive);
    let starts = arrangements.iter().map(|one| one.get().arrangement.clone());
    let demand = ArrangementDemand {
        lever,
        moving: moving.parse()?,
        objective: objective.parse()?,
        max_linearity,
        max_clipped,
        range_margin,
        min_span,
        min_clearance,
        max_size,
        answers,
        ..ArrangementDemand::new(
            starts.collect(),
            sensors.iter().map(PySensor::sensor).collect(),
            converter.map(|converter| converter.0.clone()),
            throw_of(throw, &drive)?,
            varied(vary)?,
        )
    };
    let demand = ArrangementDemand { drive, ..demand };
    let found = long(py, || axis::search_arrangements(&demand))??;
    let result = PySearchResult::of(py, found.result, PyArrangementCandidate)?;
    Ok(PyArrangementSearch {
        result: Py::new(py, result)?,
        pareto: found.pareto,
        just_outside: found.just_outside,
        kinds: found.kinds,
    })
}
