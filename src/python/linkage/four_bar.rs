//! The planar four-bar.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{
    self, CenteredFourBar, DeadCenter, DeadCenterKind, FourBar, FourBarColumns, FourBarDemand,
    FourBarFit, FourBarMotion, FourBarPose, FourBarSolutions, Range, ThreePointFourBar,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Table, TableParts, View};
use crate::python::gate::convert::{Count, Floats1, Floats2, Mask, Numbers, Rows, Triple};
use crate::python::gate::long::long;
use crate::python::gate::out::Given;
use crate::python::gate::sequence::{Few, room_for};
use crate::python::gate::value::Parts;
use crate::python::linkage::{
    BranchName, PyTransfer, PyTransfers, point2_out, points2_out, travels_out, vector2_out,
};
use crate::python::search::PySearchResult;

/// A planar four-bar: crank (input) and rocker (output) turn about pivots in the ground, a coupler joins their ends.
///
/// Lengths in m. Frame: origin at the crank pivot, x along the ground line to the rocker pivot; angles in rad count
/// from x, counterclockwise. branch: "open" with the rocker joint to the left of the line from the crank joint to the
/// rocker pivot, "crossed" to the right.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> linkage = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
/// >>> print(f"{linkage.pose(60 * deg, 'open').rocker_angle / deg:.2f} deg")
/// 64.94 deg
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FourBar")]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyFourBar(pub(in crate::python) FourBar);

attributes! {
    impl PyFourBar {
        /// Distance of the pivots, m.
        ground(): f64,
        /// Length of the crank, the input, m.
        crank(): f64,
        /// Length of the coupler, m.
        coupler(): f64,
        /// Length of the rocker, the output, m.
        rocker(): f64,
        /// Link ratios (K1, K2, K3) of K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker).
        freudenstein: (f64, f64, f64) = |v| v.freudenstein().into(),
        /// Which links can turn around: "crank-rocker", "double-crank", "double-rocker", "rocker-crank",
        /// "triple-rocker" or "change point".
        grashof_class: String = |v| v.grashof().class.to_string(),
        /// Sum of the middle lengths less that of the shortest and the longest, m: positive where a link can turn
        /// around.
        grashof_margin: f64 = |v| v.grashof().margin,
        /// Crank angles (from, to), rad, at which the linkage closes: one or two stretches, or the full turn from -pi
        /// to pi. Where the crank joint comes to lie on the rocker pivot a stretch ends at 0.
        crank_travel: Vec<(f64, f64)> = |v| travels_out(v.crank_travel()),
        /// All positions in which two links are in line.
        dead_centers: Vec<PyDeadCenter> = |v| v.dead_centers().into_iter().map(PyDeadCenter).collect(),
    }

    #[new]
    #[pyo3(signature = (*, ground, crank, coupler, rocker))]
    fn new(ground: f64, crank: f64, coupler: f64, rocker: f64) -> PyResult<Self> {
        Ok(Self(FourBar::new(ground, crank, coupler, rocker)?))
    }

    /// All angles and joints at a crank angle (rad).
    fn pose(&self, crank_angle: f64, branch: BranchName) -> PyResult<PyFourBarPose> {
        Ok(PyFourBarPose(self.0.pose(crank_angle, branch.0)?))
    }

    /// Rocker angle (rad) with its first and second derivative by the crank angle (rad).
    fn transfer(&self, crank_angle: f64, branch: BranchName) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(crank_angle, branch.0)?))
    }

    /// Coupler and rocker angles of both branches at many crank angles (N,).
    ///
    /// out: arrays (N,) to be filled instead of new ones: (open_coupler, open_rocker, crossed_coupler, crossed_rocker,
    /// valid), None for what is not wanted; it is given back. A call that is interrupted leaves them filled in part.
    #[pyo3(signature = (crank_angles, *, out = None))]
    fn solve_many<'py>(
        &self,
        py: Python<'py>,
        crank_angles: Numbers<'py>,
        out: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        if let Some(out) = out {
            let names = [
                "open_coupler",
                "open_rocker",
                "crossed_coupler",
                "crossed_rocker",
            ];
            let mut given = Given::of(&out, names, &[crank_angles.len()], &[])?;
            let ([open_coupler, open_rocker, crossed_coupler, crossed_rocker], valid) =
                given.columns()?;
            let columns = FourBarColumns {
                open_coupler,
                open_rocker,
                crossed_coupler,
                crossed_rocker,
                valid,
            };
            crank_angles.with(py, |angles| self.0.solve_many_into(angles, columns))??;
            return Ok(out);
        }
        let solutions = crank_angles.with(py, |angles| self.0.solve_many(angles))?;
        let shape = [solutions.valid.len()];
        let solutions = PyFourBarSolutions::of(py, solutions, &shape);
        Ok(Bound::new(py, solutions)?.into_any())
    }

    /// Coupler and rocker angles (N,) of one branch without jumps along a sweep of the crank (N,), and a mask of the
    /// rows that close and that the crank gets to. A row beyond angles at which the linkage does not close, and that
    /// the sweep steps over, is NaN until the sweep comes back.
    fn track<'py>(
        &self,
        py: Python<'py>,
        crank_angles: Numbers<'py>,
        branch: BranchName,
    ) -> PyResult<(Floats1<'py>, Floats1<'py>, Mask<'py>)> {
        let angles = crank_angles.to_vec();
        let track = long(py, || self.0.track(&angles, branch.0))?;
        Ok((
            track.coupler.into_pyarray(py),
            track.rocker.into_pyarray(py),
            track.valid.into_pyarray(py),
        ))
    }

    /// Rocker angles with first and second derivative at many crank angles (N,).
    fn transfers(
        &self,
        py: Python<'_>,
        crank_angles: Numbers<'_>,
        branch: BranchName,
    ) -> PyResult<PyTransfers> {
        let angles = crank_angles.to_vec();
        Ok(PyTransfers::of(
            py,
            long(py, || self.0.transfers(&angles, branch.0))?,
        ))
    }

    /// Angular velocities and accelerations of coupler and rocker, from those of the crank (rad/s, rad/s^2).
    #[pyo3(signature = (crank_angle, branch, velocity, acceleration = 0.0))]
    fn motion(
        &self,
        crank_angle: f64,
        branch: BranchName,
        velocity: f64,
        acceleration: f64,
    ) -> PyResult<PyFourBarMotion> {
        let motion = self
            .0
            .motion(crank_angle, branch.0, velocity, acceleration)?;
        Ok(PyFourBarMotion(motion))
    }

    /// Torque at the rocker for a torque of 1 at the crank, without friction.
    fn mechanical_advantage(&self, crank_angle: f64, branch: BranchName) -> PyResult<f64> {
        Ok(self.0.mechanical_advantage(crank_angle, branch.0)?)
    }

    /// Where a point of the coupler is, m, shape (2,): along it from the crank joint, and across to the left (m).
    fn coupler_point<'py>(
        &self,
        py: Python<'py>,
        crank_angle: f64,
        branch: BranchName,
        along: f64,
        across: f64,
    ) -> PyResult<Floats1<'py>> {
        let point = self.0.coupler_point(crank_angle, branch.0, along, across)?;
        Ok(point2_out(py, &point))
    }

    /// The path of a point of the coupler at many crank angles (N,): m, shape (N, 2), and a mask of the rows that
    /// close.
    fn coupler_curve<'py>(
        &self,
        py: Python<'py>,
        crank_angles: Numbers<'py>,
        branch: BranchName,
        along: f64,
        across: f64,
    ) -> PyResult<(Floats2<'py>, Mask<'py>)> {
        let angles = crank_angles.to_vec();
        let curve = long(py, || {
            self.0.coupler_curve(&angles, branch.0, along, across)
        })??;
        Ok((points2_out(py, curve.points), curve.valid.into_pyarray(py)))
    }

    /// Position (m), velocity (m/s) and acceleration (m/s^2) of a point of the coupler, each of shape (2,).
    #[pyo3(signature = (crank_angle, branch, along, across, velocity, acceleration = 0.0))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn coupler_point_motion<'py>(
        &self,
        py: Python<'py>,
        crank_angle: f64,
        branch: BranchName,
        along: f64,
        across: f64,
        velocity: f64,
        acceleration: f64,
    ) -> PyResult<(Floats1<'py>, Floats1<'py>, Floats1<'py>)> {
        let offset = [along, across];
        let motion =
            self.0
                .coupler_point_motion(crank_angle, branch.0, offset, velocity, acceleration)?;
        Ok((
            point2_out(py, &motion.position),
            vector2_out(py, &motion.velocity),
            vector2_out(py, &motion.acceleration),
        ))
    }

    /// The two poses that a rocker angle (rad) leaves, when the rocker drives the crank.
    fn driven_by_rocker(&self, rocker_angle: f64) -> PyResult<(PyFourBarPose, PyFourBarPose)> {
        let poses = self.0.driven_by_rocker(rocker_angle)?;
        Ok(poses.map(PyFourBarPose).into())
    }

    /// Rocker angles (from, to), rad, that each stretch of crank_travel gives on a branch; continuous, so maybe beyond
    /// pi.
    fn rocker_travel(&self, branch: BranchName) -> Vec<(f64, f64)> {
        travels_out(self.0.rocker_travel(branch.0))
    }

    /// The least transmission angle (rad) while the crank moves from one angle to another, or at a single angle (rad).
    #[pyo3(signature = (start, end))]
    fn min_transmission_angle(&self, start: f64, end: f64) -> PyResult<f64> {
        Ok(self.0.min_transmission_angle(start, end)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "FourBar(ground={:?}, crank={:?}, coupler={:?}, rocker={:?})",
            self.ground(),
            self.crank(),
            self.coupler(),
            self.rocker()
        )
    }
}

/// A four-bar at one crank angle. Angles in rad, joints in m, in the frame of the four-bar.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FourBarPose")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFourBarPose(pub(in crate::python) FourBarPose);

attributes! {
    impl PyFourBarPose {
        /// How it is put together: "open" or "crossed".
        branch: String = |v| v.branch.to_string(),
        /// Crank angle as given, rad.
        crank_angle: f64,
        /// Direction from the crank joint to the rocker joint, rad.
        coupler_angle: f64,
        /// Direction from the rocker pivot to the rocker joint, rad.
        rocker_angle: f64,
        /// Acute angle between the lines of coupler and rocker, 0 to pi/2 rad.
        transmission_angle: f64,
    }

    /// End of the crank, m, shape (2,).
    #[getter]
    fn crank_joint<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        point2_out(py, &self.0.crank_joint)
    }

    /// End of the rocker, m, shape (2,).
    #[getter]
    fn rocker_joint<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        point2_out(py, &self.0.rocker_joint)
    }

    fn __repr__(&self) -> String {
        format!(
            "<FourBarPose {}: crank {:?}, coupler {:?}, rocker {:?} rad>",
            self.0.branch, self.0.crank_angle, self.0.coupler_angle, self.0.rocker_angle
        )
    }
}

/// Angular velocities (rad/s) and accelerations (rad/s^2) of a four-bar.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FourBarMotion")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFourBarMotion(FourBarMotion);

attributes! {
    impl PyFourBarMotion {
        /// Angular velocity of the coupler, rad/s.
        coupler_velocity: f64,
        /// Angular acceleration of the coupler, rad/s^2.
        coupler_acceleration: f64,
        /// Angular velocity of the rocker, rad/s.
        rocker_velocity: f64,
        /// Angular acceleration of the rocker, rad/s^2.
        rocker_acceleration: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<FourBarMotion coupler {:?} rad/s, rocker {:?} rad/s>",
            self.0.coupler_velocity, self.0.rocker_velocity
        )
    }
}

/// A position in which two links of a four-bar are in line: a toggle.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "DeadCenter")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyDeadCenter(DeadCenter);

attributes! {
    impl PyDeadCenter {
        /// Whether the two lie one after the other, or folded over one another.
        stretched: bool,
        /// Where all links are; at an input limit the branches meet, and the pose is given as open.
        pose: PyFourBarPose = |v| PyFourBarPose(v.pose),
    }

    /// "input" where coupler and rocker are in line and the crank can go no farther, "output" where crank and coupler
    /// are and the rocker can not.
    #[getter]
    fn limit(&self) -> &'static str {
        match self.0.kind {
            DeadCenterKind::InputLimit => "input",
            DeadCenterKind::OutputLimit => "output",
        }
    }

    fn __repr__(&self) -> String {
        let how = if self.0.stretched {
            "stretched"
        } else {
            "folded"
        };
        format!(
            "<DeadCenter of the {}, {how}: crank {:?}, rocker {:?} rad>",
            self.limit(),
            self.0.pose.crank_angle,
            self.0.pose.rocker_angle
        )
    }
}

/// Both branches of a four-bar at many crank angles (N,), or of N four-bars at M angles (N, M). Angles in rad, NaN
/// where it does not close.
#[pyclass(frozen, module = "yokewright.linkage", name = "FourBarSolutions")]
pub(in crate::python) struct PyFourBarSolutions(Table<4>);

impl PyFourBarSolutions {
    fn of(py: Python<'_>, found: FourBarSolutions, shape: &[usize]) -> Self {
        let (open, crossed) = (found.open, found.crossed);
        let columns = [open.coupler, open.rocker, crossed.coupler, crossed.rocker];
        Self(Table::of(py, columns, found.valid, shape))
    }
}

#[pymethods]
impl PyFourBarSolutions {
    /// Coupler angles of the open branch.
    #[getter]
    fn open_coupler<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 0)
    }

    /// Rocker angles of the open branch.
    #[getter]
    fn open_rocker<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 1)
    }

    /// Coupler angles of the crossed branch.
    #[getter]
    fn crossed_coupler<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 2)
    }

    /// Rocker angles of the crossed branch.
    #[getter]
    fn crossed_rocker<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 3)
    }

    /// Whether the linkage closes there.
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.0.valid(py)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let shape = self.valid(py)?.getattr("shape")?;
        Ok(format!("<FourBarSolutions of shape {shape}>"))
    }
}

impl Parts for PyFourBarSolutions {
    type Parts = TableParts;

    fn parts(&self, py: Python<'_>) -> PyResult<TableParts> {
        self.0.parts(py)
    }

    fn of_parts(py: Python<'_>, parts: TableParts) -> PyResult<Self> {
        Ok(Self(Table::of_parts(py, parts)?))
    }
}

/// Both branches of many four-bars at many crank angles (M,), for tolerance studies.
///
/// lengths: (N, 4), rows of ground, crank, coupler, rocker in m. Results have shape (N, M); impossible lengths are NaN
/// and False.
#[pyfunction]
pub(in crate::python) fn solve_four_bars<'py>(
    py: Python<'py>,
    lengths: Rows<'py, 4>,
    crank_angles: Numbers<'py>,
) -> PyResult<PyFourBarSolutions> {
    let (rows, angles) = (lengths.to_vec(), crank_angles.to_vec());
    room_for(rows.len().saturating_mul(angles.len()))?;
    let solutions = long(py, || FourBar::solve_grid(&rows, &angles))?;
    Ok(PyFourBarSolutions::of(
        py,
        solutions,
        &[rows.len(), angles.len()],
    ))
}

/// A four-bar as it is built in: put together one way, angles from the pose in which the control is centered.
///
/// crank_center: angle of the centered crank from the ground line, rad.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> linkage = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
/// >>> built = yw.linkage.CenteredFourBar(linkage, "open", 90 * deg)
/// >>> print(f"ratio {built.transfer(10 * deg).ratio:.4f}")
/// ratio 0.5396
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "CenteredFourBar")]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PyCenteredFourBar(pub(in crate::python) CenteredFourBar);

attributes! {
    impl PyCenteredFourBar {
        /// The lengths.
        linkage: PyFourBar = |v| PyFourBar(v.linkage()),
        /// How it is put together: "open" or "crossed".
        branch: String = |v| v.branch().to_string(),
        /// Angle of the centered crank from the ground line, rad.
        crank_center(): f64,
        /// Angle of the centered rocker from the ground line, rad.
        rocker_center(): f64,
        /// Direction of the ground line in the drawing, from crank pivot to rocker pivot, rad.
        ground_angle(): f64,
    }

    #[new]
    #[pyo3(signature = (linkage, branch, crank_center, crank_pivot = Few([0.0; 2]), ground_angle = 0.0),
           text_signature = "(linkage, branch, crank_center, crank_pivot=(0.0, 0.0), ground_angle=0.0)")]
    fn new(
        linkage: &PyFourBar,
        branch: BranchName,
        crank_center: f64,
        crank_pivot: Few<2>,
        ground_angle: f64,
    ) -> PyResult<Self> {
        let centered = CenteredFourBar::new(linkage.0, branch.0, crank_center)?;
        Ok(Self(centered.drawn_at(crank_pivot.0.into(), ground_angle)?))
    }

    /// The linkage whose joints are at these points (2,) of a drawing, m, when the control is centered.
    #[staticmethod]
    fn from_joints(
        crank_pivot: Few<2>,
        crank_joint: Few<2>,
        rocker_joint: Few<2>,
        rocker_pivot: Few<2>,
    ) -> PyResult<Self> {
        let joints = [crank_pivot, crank_joint, rocker_joint, rocker_pivot];
        let [a, b, c, d] = joints.map(|joint| joint.0.into());
        Ok(Self(CenteredFourBar::from_joints(a, b, c, d)?))
    }

    /// Where the crank pivot is in the drawing, m, shape (2,).
    #[getter]
    fn crank_pivot<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        point2_out(py, &self.0.crank_pivot())
    }

    /// Turn of the rocker (rad) for a turn of the crank from its center (rad), with first and second derivative.
    fn transfer(&self, turn: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(turn)?))
    }

    /// Turns of the rocker for many turns of the crank (N,), with first and second derivative.
    fn transfers(&self, py: Python<'_>, turns: Numbers<'_>) -> PyResult<PyTransfers> {
        let turns = turns.to_vec();
        Ok(PyTransfers::of(py, long(py, || self.0.transfers(&turns))?))
    }

    /// All angles, from the ground line, and joints, in the frame of the linkage, at a turn of the crank from its
    /// center (rad).
    fn pose(&self, turn: f64) -> PyResult<PyFourBarPose> {
        Ok(PyFourBarPose(self.0.pose(turn)?))
    }

    /// The four joints in the drawing, m, shape (4, 2): crank pivot, crank joint, rocker joint, rocker pivot.
    fn joints<'py>(&self, py: Python<'py>, turn: f64) -> PyResult<Floats2<'py>> {
        Ok(points2_out(py, self.0.joints(turn)?.to_vec()))
    }

    /// How far the crank can turn from its center without being taken apart: (from, to), rad.
    #[getter]
    fn travel(&self) -> (f64, f64) {
        let Range {
            lower: from,
            upper: to,
        } = self.0.travel();
        (from, to)
    }

    fn __repr__(&self) -> String {
        format!(
            "CenteredFourBar({}, {:?}, crank_center={:?}, crank_pivot={:?}, ground_angle={:?})",
            self.linkage().__repr__(),
            self.branch(),
            self.crank_center(),
            self.0.crank_pivot().coords.as_slice(),
            self.ground_angle()
        )
    }
}

/// The middles of count equal sectors of a half circle over a range, shape (count,): where a function is best met
/// exactly.
#[pyfunction]
#[pyo3(signature = (start, end, count = Count(3)), text_signature = "(start, end, count=3)")]
pub(in crate::python) fn chebyshev_spacing<'py>(
    py: Python<'py>,
    start: f64,
    end: f64,
    count: Count,
) -> PyResult<Floats1<'py>> {
    let points = linkage::chebyshev_spacing(start, end, count.0)?;
    Ok(points.into_pyarray(py))
}

/// A four-bar that passes through three wanted pairs of angles.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "ThreePointFourBar")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyThreePointFourBar(ThreePointFourBar);

attributes! {
    impl PyThreePointFourBar {
        /// The lengths.
        linkage: PyFourBar = |v| PyFourBar(v.linkage),
        /// What to add to a wanted crank angle to get that of the linkage, rad: 0, or pi where the crank is drawn the
        /// other way.
        crank_offset: f64,
        /// The same for the rocker.
        rocker_offset: f64,
        /// On which branch each of the three pairs lies.
        branches: (String, String, String) = |v| v.branches.map(|branch| branch.to_string()).into(),
        /// Whether the linkage gets from the first pair to the last without being taken apart, all on one branch. If
        /// not, it is of no use.
        connected: bool,
    }

    fn __repr__(&self) -> String {
        let how = if self.0.connected {
            "connected"
        } else {
            "not connected"
        };
        format!("<ThreePointFourBar, {how}: {}>", self.linkage().__repr__())
    }
}

/// The four-bar on a ground link (m) that passes through three pairs of crank and rocker angles (3,), rad, from the
/// ground line.
#[pyfunction]
pub(in crate::python) fn three_point_four_bar(
    crank_angles: Triple,
    rocker_angles: Triple,
    ground: f64,
) -> PyResult<PyThreePointFourBar> {
    let found = linkage::three_point_four_bar(crank_angles.0, rocker_angles.0, ground)?;
    Ok(PyThreePointFourBar(found))
}

/// The best four-bar found for wanted pairs of turns.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FourBarFit")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFourBarFit(FourBarFit);

attributes! {
    impl PyFourBarFit {
        /// The linkage with its branch and the angle of its centered crank.
        built: PyCenteredFourBar = |v| PyCenteredFourBar(v.built),
        /// Angle of the rocker, from the ground line, that serves as zero of its turns, rad.
        rocker_zero: f64,
        /// Root of the mean square of rocker turn less wanted turn, rad.
        rms_error: f64,
        /// The largest such difference, rad.
        largest_error: f64,
        /// The least transmission angle over the range of the crank, rad.
        min_transmission_angle: f64,
        /// rms_error of the best linkage through three of the wanted points that keeps the limits, rad; None if none
        /// was found.
        three_point_rms_error: Option<f64>,
    }

    fn __repr__(&self) -> String {
        format!(
            "<FourBarFit within {:?} rad: {}>",
            self.0.largest_error,
            self.built().__repr__()
        )
    }
}

/// The four-bar that comes nearest to wanted pairs of turns (N,), rad, in the least-squares sense, within limits.
///
/// crank_turns ascend; rocker_turns count from any zero. ground: distance of the pivots, m. lengths: the shortest and
/// the longest that crank, coupler and rocker may be, m; without, 0.1 to 3 times the ground. min_transmission_angle:
/// over the whole range, rad; without, 40 degrees. The search begins at so many seeded starts; the best found is not
/// proven to be the best there is.
#[pyfunction]
#[pyo3(signature = (crank_turns, rocker_turns, *, ground, lengths = None, min_transmission_angle = None,
    starts = Count(16), seed = 0),
       text_signature = "(crank_turns, rocker_turns, *, ground, lengths=None, min_transmission_angle=None, starts=16, \
           seed=0)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_four_bars(
    py: Python<'_>,
    crank_turns: Numbers<'_>,
    rocker_turns: Numbers<'_>,
    ground: f64,
    lengths: Option<Few<2>>,
    min_transmission_angle: Option<f64>,
    starts: Count,
    seed: u64,
) -> PyResult<PySearchResult> {
    let usual = FourBarDemand::new(crank_turns.to_vec(), rocker_turns.to_vec(), ground)?;
    let demand = FourBarDemand {
        lengths: lengths.map_or(usual.lengths, |few| few.0),
        min_transmission_angle: min_transmission_angle.unwrap_or(usual.min_transmission_angle),
        starts: starts.0,
        seed,
        ..usual
    };
    let result = long(py, || linkage::search_four_bars(&demand))??;
    PySearchResult::of(py, result, PyFourBarFit)
}
