//! How the magnets of a rig are to be handled.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::python::gate::attributes::attributes;
use crate::rig::{Handling, MagnetHandling, MagnetPull};

/// How the magnets of a rig are to be handled. str() gives it as a person reads it.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "Handling")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyHandling(pub(super) Handling);

attributes! {
    impl PyHandling {
        /// The magnets of the file, by their names.
        magnets: Vec<PyMagnetHandling> = |v| v.magnets().iter().cloned().map(PyMagnetHandling).collect(),
        /// The forces that holders of magnets have to bear.
        pulls: Vec<PyMagnetPull> = |v| v.pulls().iter().cloned().map(PyMagnetPull).collect(),
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Handling of {} magnets>", self.0.magnets().len())
    }
}

/// How one magnet of a design file is to be handled.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "MagnetHandling")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyMagnetHandling(MagnetHandling);

attributes! {
    impl PyMagnetHandling {
        /// Its name in the design file.
        name: String = |v| v.name.clone(),
        /// The axes that use it.
        axes: Vec<String> = |v| v.axes.clone(),
        /// Force with which two of them hold together, or one to thick steel, N.
        contact_force: f64,
        /// Its grade; None if the file does not say.
        grade: Option<String> = |v| v.grade.clone(),
        /// The hottest temperature of the error budgets of its axes, degC; 20 degC if none says one.
        hottest: f64,
        /// How much further the field strength inside may fall there until the magnet loses flux for good, A/m, of the
        /// strongest magnet of its grade in free air; None without a grade that tells it.
        margin: Option<f64>,
        /// Lowest and highest temperature, degC, between which it loses nothing for good, in free air.
        reversible_celsius: Option<(f64, f64)> = |v| v.reversible_celsius.map(Into::into),
        /// What to mind.
        notes: Vec<String> = |v| v.notes.clone(),
    }

    fn __repr__(&self) -> String {
        format!("<MagnetHandling {:?}: {:?} N at contact>", self.0.name, self.0.contact_force)
    }
}

/// A force that a holder of magnets has to bear, the control centered.
#[pyclass(frozen, eq, module = "yokewright.rig", name = "MagnetPull")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyMagnetPull(MagnetPull);

attributes! {
    impl PyMagnetPull {
        /// The axis.
        axis: String = |v| v.axis.clone(),
        /// Between what: the two magnets of a pair, or magnets and their steel plate.
        between: String = |v| v.between.clone(),
        /// The force, N.
        force: f64,
    }

    fn __repr__(&self) -> String {
        format!("<MagnetPull {:?}, {}: {:?} N>", self.0.axis, self.0.between, self.0.force)
    }
}
