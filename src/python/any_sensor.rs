//! Any sensor that has a class here.

use pyo3::prelude::*;

use crate::hall::Sensor;
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::hall::{PyAngleSensor, PyLinearHall, PyPotentiometer};

/// A sensor as it was given, so that it can be given back to the last bit.
#[derive(Clone, PartialEq)]
pub(super) enum PySensor {
    Linear(PyLinearHall),
    Angle(PyAngleSensor),
    Potentiometer(PyPotentiometer),
}

impl PySensor {
    pub(super) fn of(sensor: &Sensor) -> Self {
        match sensor {
            Sensor::Linear(sensor) => Self::Linear(PyLinearHall::of(sensor)),
            Sensor::Angle(sensor) => Self::Angle(PyAngleSensor(sensor.clone())),
            Sensor::Potentiometer(sensor) => Self::Potentiometer(PyPotentiometer(sensor.clone())),
        }
    }

    pub(super) fn sensor(&self) -> Sensor {
        match self {
            Self::Linear(sensor) => sensor.sensor.clone().into(),
            Self::Angle(sensor) => sensor.0.clone().into(),
            Self::Potentiometer(sensor) => sensor.0.clone().into(),
        }
    }

    pub(super) fn object<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        Ok(match self.clone() {
            Self::Linear(sensor) => Bound::new(py, sensor)?.into_any(),
            Self::Angle(sensor) => Bound::new(py, sensor)?.into_any(),
            Self::Potentiometer(sensor) => Bound::new(py, sensor)?.into_any(),
        })
    }

    pub(super) fn repr(&self) -> String {
        match self {
            Self::Linear(sensor) => sensor.__repr__(),
            Self::Angle(sensor) => sensor.__repr__(),
            Self::Potentiometer(sensor) => sensor.__repr__(),
        }
    }
}

impl FromPyObject<'_, '_> for PySensor {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(sensor) = value.cast::<PyLinearHall>() {
            return Ok(Self::Linear(sensor.get().clone()));
        }
        if let Ok(sensor) = value.cast::<PyAngleSensor>() {
            return Ok(Self::Angle(sensor.get().clone()));
        }
        if let Ok(sensor) = value.cast::<PyPotentiometer>() {
            return Ok(Self::Potentiometer(sensor.get().clone()));
        }
        let got = shown(value);
        let text = format!("a LinearHall, an AngleSensor or a Potentiometer is needed, got {got}");
        Err(InvalidTypeError::new_err(text))
    }
}
