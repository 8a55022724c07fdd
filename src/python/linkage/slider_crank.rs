//! The slider-crank.

use numpy::PyUntypedArrayMethods;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::linkage::{
    SlideDeadCenter, SlideTransfer, SliderCrank, SliderCrankMotion, SliderCrankPose,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Table, TableParts, View};
use crate::python::gate::convert::{Floats1, Numbers};
use crate::python::gate::long::long;
use crate::python::gate::value::Parts;
use crate::python::linkage::{BranchName, point2_out, travels_out};

/// A slider-crank: a crank turns about a pivot, a rod joins its end to a slide.
///
/// crank, rod: lengths, m. offset: y of the line along which the slide travels in +x, m; the crank pivot is the origin,
/// the crank angle (rad) counts from x, counterclockwise. branch: "open" with the rod pointing forward, toward +x, from
/// crank to slide, "crossed" backward.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> print(f"{yw.linkage.SliderCrank(40 * mm, 120 * mm).transfer(0.5, 'open').position / mm:.2f} mm")
/// 153.56 mm
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "SliderCrank")]
#[derive(Clone, Copy, PartialEq)]
pub(in crate::python) struct PySliderCrank(SliderCrank);

attributes! {
    impl PySliderCrank {
        /// Length of the crank, m.
        crank(): f64,
        /// Length of the rod, m.
        rod(): f64,
        /// The y of the line along which the slide travels, m.
        offset(): f64,
        /// Crank angles (from, to), rad, at which the rod reaches the slide: one or two stretches, or the full turn
        /// from -pi to pi.
        crank_travel: Vec<(f64, f64)> = |v| travels_out(v.crank_travel()),
    }

    #[new]
    #[pyo3(signature = (crank, rod, offset = 0.0))]
    fn new(crank: f64, rod: f64, offset: f64) -> PyResult<Self> {
        Ok(Self(SliderCrank::new(crank, rod, offset)?))
    }

    /// All angles and joints at a crank angle (rad).
    fn pose(&self, crank_angle: f64, branch: BranchName) -> PyResult<PySliderCrankPose> {
        Ok(PySliderCrankPose(self.0.pose(crank_angle, branch.0)?))
    }

    /// Slide position (m) with its first and second derivative by the crank angle (rad).
    fn transfer(&self, crank_angle: f64, branch: BranchName) -> PyResult<PySlideTransfer> {
        Ok(PySlideTransfer(self.0.transfer(crank_angle, branch.0)?))
    }

    /// Slide positions with first and second derivative at many crank angles (N,).
    fn transfers(
        &self,
        py: Python<'_>,
        crank_angles: Numbers<'_>,
        branch: BranchName,
    ) -> PyResult<PySlideTransfers> {
        let angles = crank_angles.to_vec();
        let found = long(py, || self.0.transfers(&angles, branch.0))?;
        let columns = [found.position, found.ratio, found.curvature];
        let shape = [found.valid.len()];
        Ok(PySlideTransfers(Table::of(
            py,
            columns,
            found.valid,
            &shape,
        )))
    }

    /// Velocities and accelerations of rod and slide, from those of the crank (rad/s, rad/s^2).
    #[pyo3(signature = (crank_angle, branch, velocity, acceleration = 0.0))]
    fn motion(
        &self,
        crank_angle: f64,
        branch: BranchName,
        velocity: f64,
        acceleration: f64,
    ) -> PyResult<PySliderCrankMotion> {
        let motion = self
            .0
            .motion(crank_angle, branch.0, velocity, acceleration)?;
        Ok(PySliderCrankMotion(motion))
    }

    /// Force of the slide along x for a torque of 1 at the crank, without friction, 1/m.
    fn force_ratio(&self, crank_angle: f64, branch: BranchName) -> PyResult<f64> {
        Ok(self.0.force_ratio(crank_angle, branch.0)?)
    }

    /// The two poses that a slide position (m) leaves: crank joint to the left of the line from pivot to slide, then to
    /// the right.
    fn driven_by_slide(&self, position: f64) -> PyResult<(PySliderCrankPose, PySliderCrankPose)> {
        let poses = self.0.driven_by_slide(position)?;
        Ok(poses.map(PySliderCrankPose).into())
    }

    /// Slide positions (from, to), m, that each stretch of crank_travel gives on a branch.
    fn slide_travel(&self, branch: BranchName) -> Vec<(f64, f64)> {
        travels_out(self.0.slide_travel(branch.0))
    }

    /// All positions in which crank and rod are in line.
    #[getter]
    fn dead_centers(&self) -> Vec<PySlideDeadCenter> {
        let found = self.0.dead_centers().into_iter();
        found.map(PySlideDeadCenter).collect()
    }

    fn __repr__(&self) -> String {
        format!(
            "SliderCrank(crank={:?}, rod={:?}, offset={:?})",
            self.crank(),
            self.rod(),
            self.offset()
        )
    }
}

/// A slider-crank at one crank angle. Angles in rad, joints in m, in the frame of the slider-crank.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "SliderCrankPose")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySliderCrankPose(SliderCrankPose);

attributes! {
    impl PySliderCrankPose {
        /// How it is put together: "open" or "crossed".
        branch: String = |v| v.branch.to_string(),
        /// Crank angle, rad.
        crank_angle: f64,
        /// Direction from the crank joint to the slide, rad.
        rod_angle: f64,
        /// Acute angle between the rod and the perpendicular to the slide, 0 to pi/2 rad.
        transmission_angle: f64,
    }

    /// End of the crank, m, shape (2,).
    #[getter]
    fn crank_joint<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        point2_out(py, &self.0.crank_joint)
    }

    /// End of the rod on the slide, m, shape (2,).
    #[getter]
    fn slide_joint<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        point2_out(py, &self.0.slide_joint)
    }

    fn __repr__(&self) -> String {
        format!(
            "<SliderCrankPose {}: crank {:?} rad, slide {:?} m>",
            self.0.branch, self.0.crank_angle, self.0.slide_joint.x
        )
    }
}

/// A slide position and how it follows the crank angle.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "SlideTransfer")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySlideTransfer(SlideTransfer);

attributes! {
    impl PySlideTransfer {
        /// Slide position, m.
        position: f64,
        /// First derivative of the position by the crank angle, m/rad: the lever arm on which a force on the slide
        /// turns the crank.
        ratio: f64,
        /// Second derivative of the position by the crank angle, m/rad^2.
        curvature: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<SlideTransfer {:?} m, {:?} m/rad, {:?} m/rad^2>",
            self.0.position, self.0.ratio, self.0.curvature
        )
    }
}

/// Slide positions at many crank angles (N,), in their order, with first and second derivative; NaN where there are
/// none.
#[pyclass(frozen, module = "yokewright.linkage", name = "SlideTransfers")]
pub(in crate::python) struct PySlideTransfers(Table<3>);

#[pymethods]
impl PySlideTransfers {
    /// Slide positions, m, shape (N,).
    #[getter]
    fn position<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 0)
    }

    /// First derivatives of the position by the crank angle, m/rad, shape (N,).
    #[getter]
    fn ratio<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 1)
    }

    /// Second derivatives of the position by the crank angle, m/rad^2, shape (N,).
    #[getter]
    fn curvature<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.0.column(py, 2)
    }

    /// Whether the rod reaches the slide there and the position has derivatives, shape (N,).
    #[getter]
    fn valid<'py>(&self, py: Python<'py>) -> PyResult<View<'py, bool>> {
        self.0.valid(py)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!(
            "<SlideTransfers at {} angles>",
            self.valid(py)?.len()
        ))
    }
}

impl Parts for PySlideTransfers {
    type Parts = TableParts;

    fn parts(&self, py: Python<'_>) -> PyResult<TableParts> {
        self.0.parts(py)
    }

    fn of_parts(py: Python<'_>, parts: TableParts) -> PyResult<Self> {
        Ok(Self(Table::of_parts(py, parts)?))
    }
}

/// Velocities and accelerations of a slider-crank.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "SliderCrankMotion")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySliderCrankMotion(SliderCrankMotion);

attributes! {
    impl PySliderCrankMotion {
        /// Angular velocity of the rod, rad/s.
        rod_velocity: f64,
        /// Angular acceleration of the rod, rad/s^2.
        rod_acceleration: f64,
        /// Velocity of the slide, m/s.
        slide_velocity: f64,
        /// Acceleration of the slide, m/s^2.
        slide_acceleration: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<SliderCrankMotion rod {:?} rad/s, slide {:?} m/s>",
            self.0.rod_velocity, self.0.slide_velocity
        )
    }
}

/// A crank in line with its rod, where the slide turns back and no force on it turns the crank.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "SlideDeadCenter")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PySlideDeadCenter(SlideDeadCenter);

attributes! {
    impl PySlideDeadCenter {
        /// Whether crank and rod lie one after the other, or folded over one another.
        stretched: bool,
        /// Where all parts are.
        pose: PySliderCrankPose = |v| PySliderCrankPose(v.pose),
    }

    fn __repr__(&self) -> String {
        let how = if self.0.stretched {
            "stretched"
        } else {
            "folded"
        };
        format!("<SlideDeadCenter, {how}: {}>", self.pose().__repr__())
    }
}
