//! The planar four-bar.

use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::convert::Floats1;
use super::linkage::{BranchName, PyTransfer, point2_out};
use crate::linkage::{FourBar, FourBarPose};

/// A planar four-bar: crank (input) and rocker (output) turn about pivots in the ground, a coupler joins their ends.
///
/// Lengths in m. Frame: origin at the crank pivot, x along the ground line to the rocker pivot; angles in rad count from x, counterclockwise.
/// branch: "open" with the rocker joint to the left of the line from the crank joint to the rocker pivot, "crossed" to the right.
#[pyclass(frozen, eq, module = "yokewright", name = "FourBar")]
#[derive(Clone, Copy, PartialEq)]
pub(super) struct PyFourBar(pub(super) FourBar);

#[pymethods]
impl PyFourBar {
    #[new]
    #[pyo3(signature = (*, ground, crank, coupler, rocker))]
    fn new(ground: f64, crank: f64, coupler: f64, rocker: f64) -> PyResult<Self> {
        Ok(Self(FourBar::new(ground, crank, coupler, rocker)?))
    }

    /// Distance of the pivots, m.
    #[getter]
    fn ground(&self) -> f64 {
        self.0.ground()
    }

    /// Length of the crank, the input, m.
    #[getter]
    fn crank(&self) -> f64 {
        self.0.crank()
    }

    /// Length of the coupler, m.
    #[getter]
    fn coupler(&self) -> f64 {
        self.0.coupler()
    }

    /// Length of the rocker, the output, m.
    #[getter]
    fn rocker(&self) -> f64 {
        self.0.rocker()
    }

    /// Link ratios (K1, K2, K3) of K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker).
    #[getter]
    fn freudenstein(&self) -> (f64, f64, f64) {
        self.0.freudenstein().into()
    }

    /// All angles and joints at a crank angle (rad).
    fn pose(&self, crank_angle: f64, branch: BranchName) -> PyResult<PyFourBarPose> {
        Ok(PyFourBarPose(self.0.pose(crank_angle, branch.0)?))
    }

    /// Rocker angle (rad) with its first and second derivative by the crank angle (rad).
    fn transfer(&self, crank_angle: f64, branch: BranchName) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(crank_angle, branch.0)?))
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

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let named = PyDict::new(py);
        named.set_item("ground", self.ground())?;
        named.set_item("crank", self.crank())?;
        named.set_item("coupler", self.coupler())?;
        named.set_item("rocker", self.rocker())?;
        Ok(((), named))
    }
}

/// A four-bar at one crank angle. Angles in rad, joints in m, in the frame of the four-bar.
#[pyclass(frozen, eq, module = "yokewright", name = "FourBarPose")]
#[derive(Clone, PartialEq)]
pub(super) struct PyFourBarPose(pub(super) FourBarPose);

#[pymethods]
impl PyFourBarPose {
    /// How it is put together: "open" or "crossed".
    #[getter]
    fn branch(&self) -> String {
        self.0.branch.to_string()
    }

    /// Crank angle as given, rad.
    #[getter]
    fn crank_angle(&self) -> f64 {
        self.0.crank_angle
    }

    /// Direction from the crank joint to the rocker joint, rad.
    #[getter]
    fn coupler_angle(&self) -> f64 {
        self.0.coupler_angle
    }

    /// Direction from the rocker pivot to the rocker joint, rad.
    #[getter]
    fn rocker_angle(&self) -> f64 {
        self.0.rocker_angle
    }

    /// Acute angle between the lines of coupler and rocker, 0 to pi/2 rad.
    #[getter]
    fn transmission_angle(&self) -> f64 {
        self.0.transmission_angle
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
