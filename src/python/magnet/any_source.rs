//! Any source of field that has a class here.

use pyo3::prelude::*;

use crate::magnet::AnySource;
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::magnet::plate::PyMagnetsOverPlate;
use crate::python::magnet::{PyMagnet, PyMagnetGroup};

/// A source of field as it was given, so that it can be given back to the last bit.
#[derive(Clone, PartialEq)]
pub(in crate::python) enum PySource {
    Empty,
    Magnets(PyMagnetGroup),
    OverPlate(Box<PyMagnetsOverPlate>),
}

impl PySource {
    pub(in crate::python) fn of(source: &AnySource) -> PyResult<Self> {
        Ok(match source {
            AnySource::Empty => Self::Empty,
            AnySource::Magnets(group) => Self::Magnets(PyMagnetGroup::of(group)?),
            AnySource::OverPlate(over) => Self::OverPlate(Box::new(PyMagnetsOverPlate::of(over)?)),
            AnySource::Custom(_) => {
                let text = "a source of field of another crate has no class here";
                return Err(InvalidTypeError::new_err(text));
            }
        })
    }

    pub(in crate::python) fn source(&self) -> AnySource {
        match self {
            Self::Empty => AnySource::Empty,
            Self::Magnets(magnets) => magnets.group.clone().into(),
            Self::OverPlate(over) => over.over.clone().into(),
        }
    }

    pub(in crate::python) fn object<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        Ok(match self.clone() {
            Self::Empty => py.None().into_bound(py),
            Self::Magnets(magnets) => magnets.into_object(py)?.into_any(),
            Self::OverPlate(over) => over.into_object(py)?.into_any(),
        })
    }

    pub(in crate::python) fn repr(&self) -> String {
        match self {
            Self::Empty => "None".to_owned(),
            Self::Magnets(magnets) => magnets.__repr__(),
            Self::OverPlate(over) => over.__repr__(),
        }
    }
}

impl FromPyObject<'_, '_> for PySource {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(over) = value.cast::<PyMagnetsOverPlate>() {
            return Ok(Self::OverPlate(Box::new(over.get().clone())));
        }
        if let Ok(group) = value.cast::<PyMagnetGroup>() {
            return Ok(Self::Magnets(group.get().clone()));
        }
        match value.cast::<PyMagnet>() {
            Ok(magnet) => Ok(Self::Magnets(PyMagnetGroup::from(magnet.get().clone()))),
            Err(_) => {
                let got = shown(value);
                let text =
                    format!("a Magnet, a MagnetGroup or MagnetsOverPlate is needed, got {got}");
                Err(InvalidTypeError::new_err(text))
            }
        }
    }
}
