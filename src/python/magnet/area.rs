//! The mean over a sensor's flat active area.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::magnet::{ActiveArea, AreaMean, AreaOutline};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, vector_out};
use crate::python::gate::long::long;
use crate::python::magnet::source::PyFieldSource;
use crate::python::pose::PyPose;

/// A sensor's flat active area: a rectangle or a disc in the xy plane of its pose, its normal along +z.
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "ActiveArea")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyActiveArea {
    pub(in crate::python) area: ActiveArea,
    pose: PyPose,
}

impl PyActiveArea {
    pub(in crate::python) fn of(area: &ActiveArea) -> crate::Result<Self> {
        let pose = PyPose::of(&area.pose())?;
        let area = match area.outline() {
            AreaOutline::Rectangle { width, height } => {
                ActiveArea::rectangle(width, height, pose.isometry)?
            }
            AreaOutline::Disc { diameter } => ActiveArea::disc(diameter, pose.isometry)?,
        };
        Ok(Self { area, pose })
    }

    fn make(
        pose: Option<&Bound<'_, PyPose>>,
        make: impl FnOnce(nalgebra::Isometry3<f64>) -> crate::Result<ActiveArea>,
    ) -> PyResult<Self> {
        let pose = pose.map_or_else(PyPose::identity, |pose| pose.get().clone());
        Ok(Self {
            area: make(pose.isometry)?,
            pose,
        })
    }
}

#[pymethods]
impl PyActiveArea {
    /// A rectangle of the given sides (m) along its own x and y.
    #[staticmethod]
    #[pyo3(signature = (width, height, pose = None))]
    fn rectangle(width: f64, height: f64, pose: Option<&Bound<'_, PyPose>>) -> PyResult<Self> {
        Self::make(pose, |pose| ActiveArea::rectangle(width, height, pose))
    }

    /// A disc of the given diameter (m).
    #[staticmethod]
    #[pyo3(signature = (diameter, pose = None))]
    fn disc(diameter: f64, pose: Option<&Bound<'_, PyPose>>) -> PyResult<Self> {
        Self::make(pose, |pose| ActiveArea::disc(diameter, pose))
    }

    /// Side along x, m; None of a disc.
    #[getter]
    fn width(&self) -> Option<f64> {
        match self.area.outline() {
            AreaOutline::Rectangle { width, .. } => Some(width),
            AreaOutline::Disc { .. } => None,
        }
    }

    /// Side along y, m; None of a disc.
    #[getter]
    fn height(&self) -> Option<f64> {
        match self.area.outline() {
            AreaOutline::Rectangle { height, .. } => Some(height),
            AreaOutline::Disc { .. } => None,
        }
    }

    /// Diameter, m; None of a rectangle.
    #[getter]
    fn diameter(&self) -> Option<f64> {
        match self.area.outline() {
            AreaOutline::Rectangle { .. } => None,
            AreaOutline::Disc { diameter } => Some(diameter),
        }
    }

    /// Surface, m2.
    #[getter]
    fn surface(&self) -> f64 {
        self.area.surface()
    }

    /// Where the area stands.
    #[getter]
    fn pose(&self) -> PyPose {
        self.pose.clone()
    }

    /// Mean flux density over the area, T; the order rises until two successive rules agree to tolerance times the
    /// mean of |B|.
    #[pyo3(signature = (source, tolerance = 1e-9))]
    fn mean_field(
        &self,
        py: Python<'_>,
        source: &Bound<'_, PyFieldSource>,
        tolerance: f64,
    ) -> PyResult<PyAreaMean> {
        let source = &source.get().source;
        let mean = long(py, || self.area.mean_field(source, tolerance))??;
        Ok(PyAreaMean(mean))
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let pose = self.pose.__repr__();
        match self.area.outline() {
            AreaOutline::Rectangle { width, height } => {
                format!("ActiveArea.rectangle(width={width:?}, height={height:?}, pose={pose})")
            }
            AreaOutline::Disc { diameter } => {
                format!("ActiveArea.disc(diameter={diameter:?}, pose={pose})")
            }
        }
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let pose = this.pose();
        Ok(match this.area.outline() {
            AreaOutline::Rectangle { width, height } => (
                slf.getattr("rectangle")?,
                (width, height, pose).into_pyobject(py)?,
            ),
            AreaOutline::Disc { diameter } => {
                (slf.getattr("disc")?, (diameter, pose).into_pyobject(py)?)
            }
        })
    }
}

/// A mean with what is known of its error.
#[pyclass(frozen, module = "yokewright.magnet", name = "AreaMean")]
#[derive(Serialize, Deserialize)]
pub(in crate::python) struct PyAreaMean(AreaMean);

attributes! {
    impl PyAreaMean {
        /// How much the last raise of the order changed it, T.
        error_estimate: f64,
        /// Points of the rule that gave it.
        points: usize,
    }

    /// Mean flux density, T, shape (3,).
    #[getter]
    fn value<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.value)
    }

    fn __repr__(&self) -> String {
        format!(
            "<AreaMean {:?} T, {} points>",
            self.0.value.as_slice(),
            self.0.points
        )
    }
}
