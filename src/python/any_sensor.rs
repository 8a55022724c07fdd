//! Any sensor that has a class here.

use pyo3::prelude::*;

use crate::hall::Sensor;
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::hall::PyLinearHall;

/// A sensor as it was given, so that it can be given back to the last bit.
#[derive(Clone, PartialEq)]
pub(super) enum PySensor {
    Linear(PyLinearHall),
}

impl PySensor {
    pub(super) fn of(sensor: &Sensor) -> Self {
        match sensor {
            Sensor::Linear(sensor) => Self::Linear(PyLinearHall::of(sensor)),
        }
    }

    pub(super) fn sensor(&self) -> Sensor {
        match self {
            Self::Linear(sensor) => sensor.sensor.clone().into(),
        }
    }

    pub(super) fn object<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        Ok(match self.clone() {
            Self::Linear(sensor) => Bound::new(py, sensor)?.into_any(),
        })
    }

    pub(super) fn repr(&self) -> String {
        match self {
            Self::Linear(sensor) => sensor.__repr__(),
        }
    }
}

impl FromPyObject<'_, '_> for PySensor {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        match value.cast::<PyLinearHall>() {
            Ok(sensor) => Ok(Self::Linear(sensor.get().clone())),
            Err(_) => {
                let got = shown(value);
                let text = format!("a LinearHall is needed, got {got}");
                Err(InvalidTypeError::new_err(text))
            }
        }
    }
}
