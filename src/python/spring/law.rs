//! What springs do between two points and about a pivot.

use numpy::PyArray1;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{Floats1, Numbers};
use crate::python::gate::long::long;
use crate::spring::{
    BelowTable, ForceTable, LineSpring, LinearSpring, LinearSpringSpec, LinearTorsionSpring,
    LinearTorsionSpringSpec, SpringResponse, SpringResponses, TorsionResponse,
};

/// A spring whose force grows in proportion: tension = initial tension + rate (length - free length) where it works,
/// zero where slack.
///
/// rate: N/m. free_length: distance of its ends without load, m. action: "above" its free length (an extension spring),
/// "below" (a compression spring) or "both" (held at both ends). initial_tension: that must be overcome before an
/// extension spring opens, N. shortest and longest: length below which it is solid and above which it is
/// over-stretched, m. Past them the line goes on and the state says so.
///
/// Springs under load hurt: wear eye protection, let a spring down before you open what holds it.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "LinearSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyLinearSpring(pub(in crate::python) LinearSpring);

attributes! {
    impl PyLinearSpring {
        /// Force for a change of length, N/m.
        rate: f64 = |v| v.spec().rate,
        /// Distance of its ends without load, m.
        free_length: f64 = |v| v.spec().free_length,
        /// "above", "below" or "both".
        action: String = |v| v.spec().action.to_string(),
        /// Tension that must be overcome before it opens, N.
        initial_tension: f64 = |v| v.spec().initial_tension,
        /// Length below which it is solid, m; None if there is no limit.
        shortest: Option<f64> = |v| v.spec().shortest,
        /// Length above which it is over-stretched, m; None if there is no limit.
        longest: Option<f64> = |v| v.spec().longest,
        /// Shortest and longest length that it stands, m; where no limit was given, 0 and 10 m.
        length_range: (f64, f64) = |v| v.length_range().into(),
    }

    #[new]
    #[pyo3(signature = (*, rate, free_length, action, initial_tension = 0.0, shortest = None, longest = None))]
    fn new(
        rate: f64,
        free_length: f64,
        action: &str,
        initial_tension: f64,
        shortest: Option<f64>,
        longest: Option<f64>,
    ) -> PyResult<Self> {
        Ok(Self(LinearSpring::new(LinearSpringSpec {
            rate,
            free_length,
            initial_tension,
            action: action.parse()?,
            shortest,
            longest,
        })?))
    }

    /// Tension, stiffness, energy and state at a length (m, 0 to 10).
    fn response(&self, length: f64) -> PyResult<PySpringResponse> {
        Ok(PySpringResponse(self.0.response(length)?))
    }

    /// Responses at many lengths (N,), m.
    fn responses<'py>(
        &self,
        py: Python<'py>,
        lengths: Numbers<'py>,
    ) -> PyResult<PySpringResponses> {
        let (spring, lengths) = (LineSpring::from(self.0), lengths.to_vec());
        Ok(PySpringResponses::of(long(py, || {
            spring.responses(&lengths)
        })?))
    }

    fn __repr__(&self) -> String {
        format!(
            "LinearSpring(rate={:?}, free_length={:?}, action='{}', initial_tension={:?}, shortest={}, longest={})",
            self.rate(),
            self.free_length(),
            self.action(),
            self.initial_tension(),
            option(self.shortest()),
            option(self.longest()),
        )
    }
}

/// As Python writes it.
pub(in crate::python) fn option(value: Option<f64>) -> String {
    value.map_or_else(|| "None".to_owned(), |value| format!("{value:?}"))
}

/// An elastic cord, a gas strut or anything else known by its tension (N, negative where it pushes) at ascending
/// lengths (m).
///
/// Between the points runs the monotone cubic curve of Fritsch and Carlson, and the energy is its exact integral.
/// Outside the table nothing is guessed: it is refused, or slack below the first length with slack_below=True, as a
/// cord is.
///
/// A stretched cord or a compressed strut lets go all at once: wear eye protection, keep out of its line, never open a
/// strut.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "ForceTable")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyForceTable(pub(in crate::python) ForceTable);

attributes! {
    impl PyForceTable {
        /// Whether it hangs slack below the first length.
        slack_below: bool = |v| v.below() == BelowTable::Slack,
        /// Shortest and longest length that have a value, m.
        length_range: (f64, f64) = |v| v.length_range().into(),
    }

    #[new]
    #[pyo3(signature = (lengths, tensions, *, slack_below = false))]
    fn new(lengths: Numbers<'_>, tensions: Numbers<'_>, slack_below: bool) -> PyResult<Self> {
        let below = if slack_below {
            BelowTable::Slack
        } else {
            BelowTable::Refused
        };
        let (lengths, tensions) = (lengths.to_vec(), tensions.to_vec());
        Ok(Self(ForceTable::new(&lengths, &tensions, below)?))
    }

    /// The lengths given, m, shape (N,).
    #[getter]
    fn lengths<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        PyArray1::from_slice(py, self.0.lengths())
    }

    /// The tensions given, N, shape (N,).
    #[getter]
    fn tensions<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        PyArray1::from_slice(py, self.0.tensions())
    }

    /// Tension, stiffness, energy and state at a length (m) within length_range.
    fn response(&self, length: f64) -> PyResult<PySpringResponse> {
        Ok(PySpringResponse(self.0.response(length)?))
    }

    /// Responses at many lengths (N,), m; rows outside length_range are NaN and False in the mask.
    fn responses<'py>(
        &self,
        py: Python<'py>,
        lengths: Numbers<'py>,
    ) -> PyResult<PySpringResponses> {
        let (spring, lengths) = (LineSpring::from(self.0.clone()), lengths.to_vec());
        Ok(PySpringResponses::of(long(py, || {
            spring.responses(&lengths)
        })?))
    }

    fn __repr__(&self) -> String {
        format!(
            "ForceTable({:?}, {:?}, slack_below={})",
            self.0.lengths(),
            self.0.tensions(),
            if self.slack_below() { "True" } else { "False" },
        )
    }
}

/// What a spring along a line does at one length.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "SpringResponse")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySpringResponse(pub(in crate::python) SpringResponse);

attributes! {
    impl PySpringResponse {
        /// Force along the line, N: positive pulls the ends together, negative pushes them apart.
        tension: f64,
        /// Derivative of the tension by the length, N/m.
        stiffness: f64,
        /// Energy stored, J: zero where unloaded.
        energy: f64,
        /// "slack", "working", "solid" or "overstretched".
        state: String = |v| v.state.to_string(),
    }

    fn __repr__(&self) -> String {
        let SpringResponse {
            tension,
            stiffness,
            energy,
            state,
        } = self.0;
        format!("<SpringResponse {tension:?} N, {stiffness:?} N/m, {energy:?} J, {state}>")
    }
}

/// What a spring along a line does at many lengths, in their order.
#[pyclass(frozen, module = "yokewright.spring", name = "SpringResponses")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PySpringResponses {
    value: SpringResponses,
    #[serde(skip)]
    columns: [Column; 3],
    #[serde(skip)]
    valid: Column<bool>,
}

impl PySpringResponses {
    pub(in crate::python) fn of(value: SpringResponses) -> Self {
        Self {
            value,
            columns: Default::default(),
            valid: Column::default(),
        }
    }
}

#[pymethods]
impl PySpringResponses {
    /// Forces along the line, N, shape (N,): positive pulls the ends together; NaN where the length is refused.
    #[getter]
    fn tensions<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.tensions)
    }

    /// Derivatives of the tension by the length, N/m, shape (N,).
    #[getter]
    fn stiffnesses<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.stiffnesses)
    }

    /// Energies stored, J, shape (N,).
    #[getter]
    fn energies<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[2].view(py, &self.value.energies)
    }

    /// "slack", "working", "solid", "overstretched", or None where the length is refused: a list of N.
    #[getter]
    fn states(&self) -> Vec<Option<String>> {
        let text =
            |state: &Option<crate::spring::LinearSpringState>| state.map(|state| state.to_string());
        self.value.states.iter().map(text).collect()
    }

    /// Whether the length has a value, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.valid.view(py, &self.value.valid)
    }

    fn __len__(&self) -> usize {
        self.value.valid.len()
    }

    fn __repr__(&self) -> String {
        format!("<SpringResponses at {} lengths>", self.value.valid.len())
    }
}

/// A spring about a pivot: torque = rate (angle - free angle) where it works, zero where its legs are loose.
///
/// rate: N m/rad. free_angle: angle of the turning part at which nothing loads it, rad. action: "above", "below" or
/// "both". least and max_angle: angles that it stands, rad; past them the line goes on and the state says so.
///
/// The legs of a wound torsion spring strike when they slip: wear eye protection, keep fingers out of their way.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "LinearTorsionSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyLinearTorsionSpring(pub(in crate::python) LinearTorsionSpring);

attributes! {
    impl PyLinearTorsionSpring {
        /// Torque for a change of angle, N m/rad.
        rate: f64 = |v| v.spec().rate,
        /// Angle at which nothing loads it, rad.
        free_angle: f64 = |v| v.spec().free_angle,
        /// "above", "below" or "both".
        action: String = |v| v.spec().action.to_string(),
        /// Least angle that it stands, rad; None if there is no limit.
        min_angle: Option<f64> = |v| v.spec().min_angle,
        /// Greatest angle that it stands, rad; None if there is no limit.
        max_angle: Option<f64> = |v| v.spec().max_angle,
        /// Least and greatest angle that it stands, rad; where no limit was given, -100 and 100 rad.
        angle_range: (f64, f64) = |v| v.angle_range().into(),
    }

    #[new]
    #[pyo3(signature = (*, rate, free_angle, action, min_angle = None, max_angle = None))]
    fn new(
        rate: f64,
        free_angle: f64,
        action: &str,
        min_angle: Option<f64>,
        max_angle: Option<f64>,
    ) -> PyResult<Self> {
        Ok(Self(LinearTorsionSpring::new(LinearTorsionSpringSpec {
            rate,
            free_angle,
            action: action.parse()?,
            min_angle,
            max_angle,
        })?))
    }

    /// Torque, stiffness, energy and state at an angle (rad) of the turning part.
    fn response(&self, angle: f64) -> PyResult<PyTorsionResponse> {
        Ok(PyTorsionResponse(self.0.response(angle)?))
    }

    fn __repr__(&self) -> String {
        format!(
            "LinearTorsionSpring(rate={:?}, free_angle={:?}, action='{}', min_angle={}, max_angle={})",
            self.rate(),
            self.free_angle(),
            self.action(),
            option(self.min_angle()),
            option(self.max_angle()),
        )
    }
}

/// What a spring at a pivot does at one angle.
#[pyclass(frozen, eq, module = "yokewright.spring", name = "TorsionResponse")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTorsionResponse(TorsionResponse);

attributes! {
    impl PyTorsionResponse {
        /// Torque that holds it there, N m: positive towards greater angles; the spring acts on the turning part with
        /// the opposite.
        torque: f64,
        /// Derivative of the torque by the angle, N m/rad.
        stiffness: f64,
        /// Energy stored, J: zero where unloaded.
        energy: f64,
        /// "slack", "working" or "overwound".
        state: String = |v| v.state.to_string(),
    }

    fn __repr__(&self) -> String {
        let TorsionResponse {
            torque,
            stiffness,
            energy,
            state,
        } = self.0;
        format!("<TorsionResponse {torque:?} N m, {stiffness:?} N m/rad, {energy:?} J, {state}>")
    }
}
