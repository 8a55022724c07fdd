//! What turns one angle into another.

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use crate::linkage::{AnyTransmission, FixedRatio, Transmission, TransmissionChain};
use crate::python::gate::convert::Numbers;
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::gate::sequence::Many;
use crate::python::linkage::ball_rod::PyBallRod;
use crate::python::linkage::driven::{Ends, ends, many, travel};
use crate::python::linkage::four_bar::PyCenteredFourBar;
use crate::python::linkage::pedals::PyPedalTransmission;
use crate::python::linkage::universal_joint::PyUniversalJoint;
use crate::python::linkage::{PyTransfer, PyTransfers};

/// Any transmission: FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or TransmissionChain.
pub(in crate::python) struct AnyDrive(pub(in crate::python) AnyTransmission);

impl FromPyObject<'_, '_> for AnyDrive {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        let transmission = if let Ok(ratio) = value.cast::<PyFixedRatio>() {
            ratio.get().0.into()
        } else if let Ok(rod) = value.cast::<PyBallRod>() {
            rod.get().0.into()
        } else if let Ok(four_bar) = value.cast::<PyCenteredFourBar>() {
            four_bar.get().0.into()
        } else if let Ok(joint) = value.cast::<PyUniversalJoint>() {
            joint.get().0.into()
        } else if let Ok(pedal) = value.cast::<PyPedalTransmission>() {
            pedal.get().0.into()
        } else if let Ok(chain) = value.cast::<PyTransmissionChain>() {
            chain.get().0.clone().into()
        } else {
            return Err(InvalidTypeError::new_err(format!(
                "a transmission is needed (FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or \
                 TransmissionChain), got {}",
                shown(value)
            )));
        };
        Ok(Self(transmission))
    }
}

/// The object of a transmission; None for the identity.
pub(in crate::python) fn drive_out<'py>(
    py: Python<'py>,
    transmission: &AnyTransmission,
) -> PyResult<Bound<'py, PyAny>> {
    Ok(match transmission {
        AnyTransmission::Ratio(ratio) => Bound::new(py, PyFixedRatio(*ratio))?.into_any(),
        AnyTransmission::BallRod(rod) => Bound::new(py, PyBallRod(**rod))?.into_any(),
        AnyTransmission::FourBar(bar) => Bound::new(py, PyCenteredFourBar(**bar))?.into_any(),
        AnyTransmission::UniversalJoint(joint) => {
            Bound::new(py, PyUniversalJoint(*joint))?.into_any()
        }
        AnyTransmission::Pedal(pedal) => Bound::new(py, PyPedalTransmission(**pedal))?.into_any(),
        AnyTransmission::Chain(chain) => {
            Bound::new(py, PyTransmissionChain(chain.clone()))?.into_any()
        }
        // One of another crate has no class here and does not come in.
        _ => py.None().into_bound(py),
    })
}

/// An output angle in proportion to the input angle: gears, a parallelogram of rods, a shaft.
///
/// ratio: output angle over input angle, 0.01 to 100 in size.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "FixedRatio")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyFixedRatio(pub(in crate::python) FixedRatio);

#[pymethods]
impl PyFixedRatio {
    #[new]
    fn new(ratio: f64) -> PyResult<Self> {
        Ok(Self(FixedRatio::new(ratio)?))
    }

    /// Output angle over input angle.
    #[getter]
    fn ratio(&self) -> f64 {
        self.0.ratio()
    }

    /// Output angle (rad) at an input angle (rad), with first and second derivative.
    fn transfer(&self, angle: f64) -> PyResult<PyTransfer> {
        Ok(PyTransfer(self.0.transfer(angle)?))
    }

    /// The same at many input angles (N,), rad; rows that are refused are NaN and False.
    fn transfers(&self, py: Python<'_>, angles: Numbers<'_>) -> PyResult<PyTransfers> {
        many(py, &self.0, &angles)
    }

    fn __repr__(&self) -> String {
        format!("FixedRatio({:?})", self.ratio())
    }
}

/// Transmissions in a row, each driven by the one before it.
///
/// parts: 1 to 100 of FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or TransmissionChain,
/// from the control on.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "TransmissionChain")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyTransmissionChain(pub(in crate::python) TransmissionChain);

#[pymethods]
impl PyTransmissionChain {
    #[new]
    fn new(parts: Many<AnyDrive>) -> PyResult<Self> {
        let parts = parts.into_iter().map(|part| part.0).collect();
        Ok(Self(TransmissionChain::new(parts)?))
    }

    /// The transmissions, from the control on.
    #[getter]
    fn parts<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let parts: PyResult<Vec<_>> = self
            .0
            .parts()
            .iter()
            .map(|part| drive_out(py, part))
            .collect();
        PyTuple::new(py, parts?)
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

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!("TransmissionChain({})", self.parts(py)?.repr()?))
    }
}
