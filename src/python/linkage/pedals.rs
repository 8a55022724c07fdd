//! Coupled pedals.

use nalgebra::Vector3;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{
    FootSide, PadPose, Pedal, PedalEnd, PedalFigures, PedalLoads, PedalMember, PedalPair,
    PedalPose, PedalPoses, PedalTransmission, Transmission,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{Count, Floats1, Numbers, Triple, vector_out};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::python::linkage::ball_rod::{PyArm, PyBallRod, travel_out};
use crate::python::linkage::driven::{Ends, ends, many, travel};
use crate::python::linkage::{PyTransfer, PyTransfers};

/// "left", "right" or "crank".
pub(in crate::python) struct MemberName(pub(in crate::python) PedalMember);

impl FromPyObject<'_, '_> for MemberName {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let text: &str = value.extract()?;
        Ok(Self(text.parse::<PedalMember>()?))
    }
}

/// "left" or "right".
struct FootName(FootSide);

impl FromPyObject<'_, '_> for FootName {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let text: &str = value.extract()?;
        Ok(Self(text.parse::<FootSide>()?))
    }
}

fn stops_text(name: &str, stops: Option<(f64, f64)>) -> String {
    stops.map_or_else(String::new, |stops| format!(", {name}={stops:?}"))
}

/// A pedal: an arm on its hinge that carries the rod's joint and the pad.
///
/// arm: hinge and rod joint. pad: the middle of the pad at neutral, m. push: direction of the foot's push, any length,
/// fixed in space. stops: angles of the hinge (rad) on either side of neutral, or None.
#[pyclass(
    frozen,
    eq,
    from_py_object,
    module = "yokewright.linkage",
    name = "Pedal"
)]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyPedal(Pedal);

attributes! {
    impl PyPedal {
        /// Hinge and rod joint.
        arm: PyArm = |v| PyArm(v.arm()),
        /// Angles of the stops, rad; None if there are none.
        stops: Option<(f64, f64)> = |v| v.stops().map(travel_out),
        /// Distance of the pad from the hinge's axis, m.
        pad_radius(): f64,
    }

    #[new]
    #[pyo3(signature = (arm, pad, push, *, stops = None))]
    fn new(arm: PyArm, pad: Triple, push: Triple, stops: Option<Few<2>>) -> PyResult<Self> {
        let pedal = Pedal::new(arm.0, pad.point(), push.vector())?;
        Ok(Self(match stops {
            Some(Few([lower, upper])) => pedal.with_stops(lower, upper)?,
            None => pedal,
        }))
    }

    /// Middle of the pad at neutral, m, shape (3,).
    #[getter]
    fn pad<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.pad().coords)
    }

    /// Direction of the foot's push, of length 1, shape (3,).
    #[getter]
    fn push<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.push())
    }

    /// Its mirror image in the plane y = 0, with the same angles.
    fn mirrored(&self) -> PyResult<Self> {
        Ok(Self(self.0.mirrored()?))
    }

    fn __repr__(&self) -> String {
        let plain = |v: &Vector3<f64>| format!("({:?}, {:?}, {:?})", v.x, v.y, v.z);
        format!(
            "Pedal(arm={}, pad={}, push={}{})",
            self.arm().__repr__(),
            plain(&self.0.pad().coords),
            plain(&self.0.push()),
            stops_text("stops", self.stops())
        )
    }
}

/// Two pedals, each with a ball-joint rod to an arm of one center crank.
///
/// left_crank, right_crank: the arms of the crank on one and the same pivot. crank_stops: angles (rad) on either side
/// of neutral, or None. All angles are zero at neutral. For simulators only: a foot in an emergency presses with more
/// than a kilonewton.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09))
/// >>> crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
/// >>> pedal = yw.linkage.Pedal(hinge, (-0.01, 0.12, 0.18), (1, 0, 0), stops=(-15 * deg, 15 * deg))
/// >>> pair = yw.linkage.PedalPair.mirrored(pedal, crank)
/// >>> pose = pair.pose("left", 10 * deg)
/// >>> print(f"right {pose.right.angle / deg:.2f} deg, crank {pose.crank.angle / deg:.2f} deg")
/// right -9.93 deg, crank -20.25 deg
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalPair")]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyPedalPair(pub(in crate::python) PedalPair);

fn stopped(pair: PedalPair, stops: Option<Few<2>>) -> PyResult<PyPedalPair> {
    Ok(PyPedalPair(match stops {
        Some(Few([lower, upper])) => pair.with_crank_stops(lower, upper)?,
        None => pair,
    }))
}

attributes! {
    impl PyPedalPair {
        /// The left pedal.
        left: PyPedal = |v| PyPedal(v.pedal(FootSide::Left)),
        /// The right pedal.
        right: PyPedal = |v| PyPedal(v.pedal(FootSide::Right)),
        /// The arm of the crank for the left rod.
        left_crank: PyArm = |v| PyArm(v.crank_arm(FootSide::Left)),
        /// The arm of the crank for the right rod.
        right_crank: PyArm = |v| PyArm(v.crank_arm(FootSide::Right)),
        /// Angles of the stops of the crank, rad; None if there are none.
        crank_stops: Option<(f64, f64)> = |v| v.crank_stops().map(travel_out),
    }

    #[new]
    #[pyo3(signature = (left, right, left_crank, right_crank, *, crank_stops = None))]
    fn new(
        left: PyPedal,
        right: PyPedal,
        left_crank: PyArm,
        right_crank: PyArm,
        crank_stops: Option<Few<2>>,
    ) -> PyResult<Self> {
        let pair = PedalPair::new(left.0, right.0, left_crank.0, right_crank.0)?;
        stopped(pair, crank_stops)
    }

    /// The left pedal and the left arm of the crank with their mirror images in the plane y = 0 (x forward, y left, z
    /// up).
    #[staticmethod]
    #[pyo3(signature = (left, left_crank, *, crank_stops = None))]
    fn mirrored(left: PyPedal, left_crank: PyArm, crank_stops: Option<Few<2>>) -> PyResult<Self> {
        stopped(PedalPair::mirrored(left.0, left_crank.0)?, crank_stops)
    }

    /// The angle of a member ("left", "right", "crank") as it follows that of a given one: what an axis or a driven
    /// body hangs on.
    fn transmission(&self, given: MemberName, driven: MemberName) -> PyPedalTransmission {
        PyPedalTransmission(self.0.transmission(given.0, driven.0))
    }

    /// The rod of a pedal ("left" or "right"), driven by the pedal.
    fn rod(&self, foot: FootName) -> PyBallRod {
        PyBallRod(self.0.rod(foot.0))
    }

    /// All three angles, given that of "left", "right" or "crank" (rad), each with its derivatives by the given one.
    fn pose(&self, given: MemberName, angle: f64) -> PyResult<PyPedalPose> {
        Ok(PyPedalPose(self.0.pose(given.0, angle)?))
    }

    /// pose for many angles (N,); rows that it refuses are NaN and False in the mask.
    fn poses(
        &self,
        py: Python<'_>,
        given: MemberName,
        angles: Numbers<'_>,
    ) -> PyResult<PyPedalPoses> {
        Ok(PyPedalPoses::of(
            angles.with(py, |angles| self.0.poses(given.0, angles))?,
        ))
    }

    /// Where the travel ends for negative and for positive angles of the crank: a stop, a lock or the swivel of a ball
    /// joint; None where nothing ends it.
    fn reach(&self, py: Python<'_>) -> PyResult<(Option<PyPedalEnd>, Option<PyPedalEnd>)> {
        let pair = self.0;
        let reach = long(py, || pair.reach())?;
        Ok((reach.lower.map(Into::into), reach.upper.map(Into::into)))
    }

    /// Ranges, ratios and likeness of both sides over the travel, from so many angles of the crank.
    #[pyo3(signature = (points = Count(201)), text_signature = "($self, points=201)")]
    fn figures(&self, py: Python<'_>, points: Count) -> PyResult<PyPedalFigures> {
        let pair = self.0;
        Ok(PyPedalFigures(long(py, || pair.figures(points.0))??))
    }

    /// Where the pad of a pedal ("left" or "right") is at an angle of its hinge (rad).
    fn pad(&self, foot: FootName, angle: f64) -> PyResult<PyPadPose> {
        Ok(PyPadPose(self.0.pad(foot.0, angle)?))
    }

    /// Forces when a foot ("left" or "right") pushes with a force (N) with its pedal at an angle (rad) and the other
    /// foot holds still.
    fn loads(&self, foot: FootName, angle: f64, force: f64) -> PyResult<PyPedalLoads> {
        Ok(PyPedalLoads(self.0.loads(foot.0, angle, force)?))
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "PedalPair(left={}, right={}, left_crank={}, right_crank={}{})",
            self.left().__repr__(),
            self.right().__repr__(),
            self.left_crank().__repr__(),
            self.right_crank().__repr__(),
            stops_text("crank_stops", self.crank_stops())
        )
    }
}

/// A pedal pair in one position; derivatives are by the angle that was given.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalPose")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPedalPose(PedalPose);

attributes! {
    impl PyPedalPose {
        /// Left pedal.
        left: PyTransfer = |v| PyTransfer(v.left),
        /// Right pedal.
        right: PyTransfer = |v| PyTransfer(v.right),
        /// Center crank: what a sensor on its pivot reads.
        crank: PyTransfer = |v| PyTransfer(v.crank),
    }

    fn __repr__(&self) -> String {
        let PedalPose { left, right, crank } = self.0;
        format!(
            "<PedalPose left {:?}, right {:?}, crank {:?} rad>",
            left.angle, right.angle, crank.angle
        )
    }
}

/// A pedal pair in many positions, in the order of the angles given; ratios are by the given angle.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalPoses")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyPedalPoses {
    value: PedalPoses,
    #[serde(skip)]
    columns: [Column; 6],
    #[serde(skip)]
    valid: Column<bool>,
}

impl PyPedalPoses {
    pub(in crate::python) fn of(value: PedalPoses) -> Self {
        Self {
            value,
            columns: Default::default(),
            valid: Column::default(),
        }
    }
}

#[pymethods]
impl PyPedalPoses {
    /// Angles of the left pedal, rad, shape (N,).
    #[getter]
    fn left<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.left.angles)
    }

    /// Angles of the right pedal, rad, shape (N,).
    #[getter]
    fn right<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.right.angles)
    }

    /// Angles of the center crank, rad, shape (N,).
    #[getter]
    fn crank<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[2].view(py, &self.value.crank.angles)
    }

    /// Left pedal per given angle, shape (N,).
    #[getter]
    fn left_ratio<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[3].view(py, &self.value.left.ratios)
    }

    /// Right pedal per given angle, shape (N,).
    #[getter]
    fn right_ratio<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[4].view(py, &self.value.right.ratios)
    }

    /// Center crank per given angle, shape (N,).
    #[getter]
    fn crank_ratio<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[5].view(py, &self.value.crank.ratios)
    }

    /// Whether all three have an angle there, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.valid.view(py, &self.value.valid)
    }

    fn __len__(&self) -> usize {
        self.value.valid.len()
    }

    fn __repr__(&self) -> String {
        format!("<PedalPoses of {} angles>", self.value.valid.len())
    }
}

/// One end of the travel of a pedal pair: all three angles, rad.
#[pyclass(frozen, eq, get_all, module = "yokewright.linkage", name = "PedalEnd")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPedalEnd {
    /// Left pedal, rad.
    left: f64,
    /// Right pedal, rad.
    right: f64,
    /// Center crank, rad.
    crank: f64,
    /// What is reached there first: "stop", "lock", "pedal swivel" or "crank swivel".
    limit: String,
    /// At which pedal, its rod or its joints, or at the "crank".
    member: String,
}

impl From<PedalEnd> for PyPedalEnd {
    fn from(end: PedalEnd) -> Self {
        Self {
            left: end.left,
            right: end.right,
            crank: end.crank,
            limit: end.limit.kind.to_string(),
            member: end.limit.member.to_string(),
        }
    }
}

#[pymethods]
impl PyPedalEnd {
    fn __repr__(&self) -> String {
        format!(
            "<PedalEnd left {:?}, right {:?}, crank {:?} rad: {} {}>",
            self.left, self.right, self.crank, self.member, self.limit
        )
    }
}

/// A pedal pair in figures over its travel.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalFigures")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPedalFigures(PedalFigures);

attributes! {
    impl PyPedalFigures {
        /// Angles of the left pedal, rad.
        left: (f64, f64) = |v| travel_out(v.left),
        /// Angles of the right pedal, rad.
        right: (f64, f64) = |v| travel_out(v.right),
        /// Angles of the crank, rad: what a sensor on its pivot sees.
        crank: (f64, f64) = |v| travel_out(v.crank),
        /// Advance of the left pad along its push, m.
        left_advance: (f64, f64) = |v| travel_out(v.left_advance),
        /// Advance of the right pad along its push, m.
        right_advance: (f64, f64) = |v| travel_out(v.right_advance),
        /// Crank per left pedal at neutral.
        crank_ratio: f64,
        /// Least and greatest crank per left pedal over the travel.
        crank_ratios: (f64, f64) = |v| travel_out(v.crank_ratios),
        /// Right per left pedal at neutral.
        other_ratio: f64,
        /// Least and greatest right per left pedal over the travel.
        other_ratios: (f64, f64) = |v| travel_out(v.other_ratios),
        /// How much the advances of the left pad and, with the crank as far on the other side, of the right pad differ
        /// at most, m.
        asymmetry: f64,
        /// Least and greatest mean of both pads' advances, m: how much less or more one foot comes back than the other
        /// goes.
        mean_advance: (f64, f64) = |v| travel_out(v.mean_advance),
    }

    fn __repr__(&self) -> String {
        let ((a, b), (c, d)) = (self.left(), self.crank());
        format!("<PedalFigures left {a:?} to {b:?} rad, crank {c:?} to {d:?} rad>")
    }
}

/// Where a pad is and how it got there from neutral.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PadPose")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPadPose(PadPose);

attributes! {
    impl PyPadPose {
        /// Way along the circle about the hinge, m, signed as the hinge's angle.
        arc: f64,
        /// Straight distance from neutral, m.
        chord: f64,
        /// How far the pad has gone along the push, m.
        advance: f64,
        /// How far it goes along the push for a small turn, m/rad.
        advance_per_angle: f64,
    }

    /// Middle of the pad, m, shape (3,).
    #[getter]
    fn point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.point.coords)
    }

    fn __repr__(&self) -> String {
        let (advance, arc) = (self.0.advance, self.0.arc);
        format!("<PadPose advance {advance:?} m, arc {arc:?} m>")
    }
}

/// What one foot's push does, the other foot holding still; without friction and weight.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalLoads")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPedalLoads(PedalLoads);

attributes! {
    impl PyPedalLoads {
        /// Torque of the push about the hinge, N m.
        torque: f64,
        /// Force in the rod of the pushed pedal, N: positive pulls, negative pushes.
        rod_force: f64,
        /// Torque of that rod on the crank, N m.
        crank_torque: f64,
        /// Force in the rod of the other pedal, N.
        other_rod_force: f64,
        /// Torque of its rod on the other pedal about its hinge, N m.
        other_torque: f64,
        /// Push of the other foot that holds still, N; negative if it would have to pull.
        other_force: f64,
    }

    /// Force of the crank's bearings on the crank, N, shape (3,).
    #[getter]
    fn crank_reaction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.crank_reaction)
    }

    fn __repr__(&self) -> String {
        let (rod, other) = (self.0.rod_force, self.0.other_force);
        format!("<PedalLoads rod {rod:?} N, other foot {other:?} N>")
    }
}

/// What one member of a pedal pair ("left", "right", "crank") gives for the angle of another: PedalPair.transmission
/// makes it.
///
/// All angles are zero where the pair is neutral. The pair goes as far as all three members go.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "PedalTransmission")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyPedalTransmission(pub(in crate::python) PedalTransmission);

attributes! {
    impl PyPedalTransmission {
        /// The pair.
        pair: PyPedalPair = |v| PyPedalPair(v.pair()),
        /// The member whose angle is given.
        given: String = |v| v.given().to_string(),
        /// The member whose angle follows.
        driven: String = |v| v.driven().to_string(),
    }

    #[new]
    fn new(pair: &PyPedalPair, given: MemberName, driven: MemberName) -> Self {
        Self(pair.0.transmission(given.0, driven.0))
    }

    /// Output angle (rad) at an input angle (rad), with first and second derivative.
    fn transfer(&self, angle: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(angle)?))
    }

    /// The same at many input angles (N,), rad; rows that are refused are NaN and False.
    fn transfers(&self, py: Python<'_>, angles: Numbers<'_>) -> PyResult<PyTransfers> {
        many(py, &self.0, &angles)
    }

    /// What ends the travel below and above neutral, by name; None where nothing does within a turn.
    fn reach(&self, py: Python<'_>) -> PyResult<Ends> {
        ends(py, &self.0)
    }

    /// Input angles from end to end, rad; half a turn to a side that has no end.
    #[getter]
    fn travel(&self, py: Python<'_>) -> PyResult<(f64, f64)> {
        travel(py, &self.0)
    }

    fn __repr__(&self) -> String {
        format!(
            "PedalTransmission({}, '{}', '{}')",
            self.pair().__repr__(),
            self.given(),
            self.driven()
        )
    }
}
