//! The universal joint.

use pyo3::prelude::*;

use crate::linkage::UniversalJoint;
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::Numbers;
use crate::python::gate::long::long;
use crate::python::linkage::{PyTransfer, PyTransfers};

/// A universal joint (Cardan or Hooke's joint) between two shafts at an angle.
///
/// bend: angle by which the shafts leave a straight line, rad. phase: angle of the input fork's pins from the plane of
/// the shafts when the control is centered, rad. Input and output angle are zero there.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> joint = yw.linkage.UniversalJoint(bend=20 * deg)
/// >>> print(f"ratio at center {joint.transfer(0.0).ratio:.3f}")
/// ratio at center 1.064
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "UniversalJoint")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyUniversalJoint(pub(in crate::python) UniversalJoint);

attributes! {
    impl PyUniversalJoint {
        /// Angle between the shafts, rad.
        bend(): f64,
        /// Angle of the input fork's pins from the plane of the shafts when centered, rad.
        phase(): f64,
        /// Least and greatest ratio over a turn.
        ratio_range: (f64, f64) = |v| v.ratio_range().into(),
        /// Fork angle in the first quarter turn at which the ratio is 1, rad from the plane of the shafts.
        unit_ratio_angle(): f64,
        /// Fork angle (rad) at which the second derivative is greatest, and how great (1/rad): times input speed
        /// squared the angular acceleration.
        max_curvature(): (f64, f64),
    }

    #[new]
    #[pyo3(signature = (bend, phase = 0.0))]
    fn new(bend: f64, phase: f64) -> PyResult<Self> {
        Ok(Self(UniversalJoint::new(bend, phase)?))
    }

    /// Output angle (rad) at an input angle (rad), with first and second derivative.
    fn transfer(&self, angle: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(angle)?))
    }

    /// The same at many input angles (N,), rad; rows that are refused are NaN and False.
    fn transfers(&self, py: Python<'_>, angles: Numbers<'_>) -> PyResult<PyTransfers> {
        let angles = angles.to_vec();
        Ok(PyTransfers::of(py, long(py, || self.0.transfers(&angles))?))
    }

    fn __repr__(&self) -> String {
        format!(
            "UniversalJoint(bend={:?}, phase={:?})",
            self.bend(),
            self.phase()
        )
    }
}
