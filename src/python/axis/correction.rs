//! Both angles of a stick from both readings: a map, and what is left.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{AngleResiduals, Correction, CorrectionMap};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{from_json, to_json};
use crate::units::DEG;

/// Both angles of a stick as polynomials of both readings, in counts.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CorrectionMap")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyCorrectionMap {
    value: CorrectionMap,
    #[serde(skip)]
    columns: [Column; 2],
}

impl PyCorrectionMap {
    pub(in crate::python) fn of(value: CorrectionMap) -> Self {
        Self {
            value,
            columns: Default::default(),
        }
    }
}

#[pymethods]
impl PyCorrectionMap {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self::of)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.value)
    }

    /// "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2), a being the outer reading.
    #[getter]
    fn terms(&self) -> String {
        self.value.terms.to_string()
    }

    /// Coefficients of the outer angle in the order of the terms, rad for a power of counts.
    #[getter]
    fn outer<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[0].view(py, &self.value.outer)
    }

    /// Coefficients of the inner angle.
    #[getter]
    fn inner<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.columns[1].view(py, &self.value.inner)
    }

    /// Outer and inner angle, rad, for the readings of both sensors, counts.
    fn angles_for(&self, outer: f64, inner: f64) -> PyResult<(f64, f64)> {
        Ok(self.value.angles_for(outer, inner)?.into())
    }

    fn __repr__(&self) -> String {
        format!(
            "<CorrectionMap {}: outer {:?}, inner {:?}>",
            self.value.terms, self.value.outer, self.value.inner
        )
    }
}

/// How far angles by a map are from those that the stick stands at; pairs have the outer axis first.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "AngleResiduals")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyAngleResiduals(pub(in crate::python) AngleResiduals);

attributes! {
    impl PyAngleResiduals {
        /// Root of the mean square, rad.
        rms: (f64, f64) = |left| left.rms.into(),
        /// Greatest magnitude, along the edge of a gate too, rad.
        worst: (f64, f64) = |left| left.worst.into(),
        /// rms as a fraction of the axis's travel.
        rms_of_travel: (f64, f64) = |left| left.rms_of_travel.into(),
        /// worst as a fraction of the axis's travel.
        worst_of_travel: (f64, f64) = |left| left.worst_of_travel.into(),
        /// Outer and inner angle where each is worst, rad.
        worst_at: ((f64, f64), (f64, f64)) = |left| left.worst_at.map(Into::into).into(),
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.worst.map(|angle| angle / DEG);
        format!("<AngleResiduals outer {outer:.4}, inner {inner:.4} deg at worst>")
    }
}

/// A map fitted to the readings over a gate, and what is left with it and without.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Correction")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCorrection(pub(in crate::python) Correction);

attributes! {
    json impl PyCorrection {
        /// The map.
        map: PyCorrectionMap = |done| PyCorrectionMap::of(done.map.clone()),
        /// With a straight line for each axis by its own reading alone.
        before: PyAngleResiduals = |done| PyAngleResiduals(done.before),
        /// With the map.
        after: PyAngleResiduals = |done| PyAngleResiduals(done.after),
        /// The share of the grid at which a sensor is at a rail or a converter at the end of its range: there no map
        /// helps.
        clipped_share: f64,
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.after.worst.map(|angle| angle / DEG);
        format!("<Correction leaves outer {outer:.4}, inner {inner:.4} deg at worst>")
    }
}
