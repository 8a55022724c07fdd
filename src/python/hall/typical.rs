//! Typical parts.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::hall::{TypicalDevice, TypicalPart};
use crate::python::hall::angle::PyAngleSensor;
use crate::python::hall::converter::PyConverter;
use crate::python::hall::linear::PyLinearHall;
use crate::python::hall::potentiometer::PyPotentiometer;
use crate::python::source::{SourceTuple, sources_out};

/// A typical part of its class, and where its figures come from: to begin with before a part is chosen.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> part = yw.hall.TypicalPart.named("chopped 3.3 V 30 mV/mT")
/// >>> part.device.sensitivity
/// 30.0
/// >>> [part.name for part in yw.hall.TypicalPart.all() if isinstance(part.device, yw.hall.Converter)]
/// ['10 bit 5 V', '12 bit 3.3 V', '16 bit 5 V']
#[pyclass(frozen, eq, module = "yokewright.hall", name = "TypicalPart")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTypicalPart(TypicalPart);

#[pymethods]
impl PyTypicalPart {
    /// A part by its name; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(TypicalPart::named(name)?))
    }

    /// Every part.
    #[staticmethod]
    fn all() -> Vec<Self> {
        TypicalPart::all().iter().cloned().map(Self).collect()
    }

    /// Its name here.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// What it is: a LinearHall, an AngleSensor, a Potentiometer or a Converter.
    #[getter]
    fn device<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        Ok(match &self.0.device {
            TypicalDevice::LinearHall(one) => Bound::new(py, PyLinearHall::of(one))?.into_any(),
            TypicalDevice::Angle(one) => Bound::new(py, PyAngleSensor(one.clone()))?.into_any(),
            TypicalDevice::Potentiometer(one) => {
                Bound::new(py, PyPotentiometer(one.clone()))?.into_any()
            }
            TypicalDevice::Converter(one) => Bound::new(py, PyConverter(one.clone()))?.into_any(),
        })
    }

    /// Where its figures come from: (what it covers, text, provenance).
    #[getter]
    fn sources(&self) -> Vec<SourceTuple> {
        sources_out(&self.0.sources)
    }

    fn __repr__(&self) -> String {
        format!("TypicalPart.named({:?})", self.name())
    }
}
