//! Steel plates, and the pull between magnets and to steel.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::magnet::{
    self, FieldSource, Magnet, MagnetsOverPlate, PULL_TOLERANCE, Pull, SteelPlate,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, Triple, vector_out};
use crate::python::gate::long::long;
use crate::python::magnet::source::PyFieldSource;
use crate::python::magnet::{Magnets, MagnetsGiven, PyMagnet, PyMagnetGroup};
use crate::python::pose::PyPose;

/// A thick, flat, unsaturated plate of soft steel; magnets in front of it act together with their mirror images.
///
/// point: of its face, m. normal: away from the steel, to where the magnets are.
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "SteelPlate")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PySteelPlate {
    plate: SteelPlate,
    point: Triple,
    normal: Triple,
}

impl PySteelPlate {
    fn of(plate: &SteelPlate) -> crate::Result<Self> {
        let (point, normal) = (plate.point(), plate.normal().into_inner());
        Ok(Self {
            // As what is printed makes it.
            plate: SteelPlate::new(point, normal)?,
            point: Triple(point.into()),
            normal: Triple(normal.into()),
        })
    }
}

#[pymethods]
impl PySteelPlate {
    #[new]
    fn new(point: Triple, normal: Triple) -> PyResult<Self> {
        let plate = SteelPlate::new(point.point(), normal.vector())?;
        Ok(Self {
            plate,
            point,
            normal,
        })
    }

    /// A point of the face, m, shape (3,).
    #[getter]
    fn point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.point.vector())
    }

    /// Direction away from the steel, as given, shape (3,).
    #[getter]
    fn normal<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.normal.vector())
    }

    /// How far a point lies in front of the face, m; negative inside the steel.
    fn distance(&self, point: Triple) -> PyResult<f64> {
        Ok(self.plate.distance(&point.point())?)
    }

    /// The gap between the plate and the nearest magnet, m.
    fn gap(&self, magnets: Magnets) -> PyResult<f64> {
        Ok(self.plate.gap(&magnets.0)?)
    }

    /// The mirror images of the magnets.
    fn images<'py>(
        &self,
        py: Python<'py>,
        magnets: Magnets,
    ) -> PyResult<Bound<'py, PyMagnetGroup>> {
        PyMagnetGroup::of(&self.plate.images(&magnets.0)?)?.into_object(py)
    }

    /// The magnets together with their images, for what lies in front of the face.
    fn with_images<'py>(
        &self,
        py: Python<'py>,
        magnets: Magnets,
    ) -> PyResult<Bound<'py, PyMagnetGroup>> {
        PyMagnetGroup::of(&self.plate.with_images(&magnets.0)?)?.into_object(py)
    }

    /// The field of the magnets over this plate; points behind its face are refused.
    fn over<'py>(
        &self,
        py: Python<'py>,
        magnets: MagnetsGiven,
    ) -> PyResult<Bound<'py, PyMagnetsOverPlate>> {
        PyMagnetsOverPlate::new(self.clone(), magnets.0)?.into_object(py)
    }

    /// The same plate moved by a pose.
    fn moved(&self, pose: &PyPose) -> PyResult<Self> {
        Ok(Self::of(&self.plate.moved(&pose.isometry)?)?)
    }

    /// The thickness (m) at which the flux just brings the plate to saturation (T): an estimate.
    #[pyo3(signature = (magnets, saturation = 2.0))]
    fn thickness_for(&self, magnets: Magnets, saturation: f64) -> PyResult<f64> {
        Ok(self.plate.thickness_for(&magnets.0, saturation)?)
    }

    /// Force and torque of the plate on the magnets, the torque about a point; left out: about their center.
    #[pyo3(signature = (magnets, about = None, tolerance = PULL_TOLERANCE),
        text_signature = "($self, magnets, about=None, tolerance=1e-09)")]
    fn pull(
        &self,
        py: Python<'_>,
        magnets: Magnets,
        about: Option<Triple>,
        tolerance: f64,
    ) -> PyResult<PyPull> {
        let pull = long(py, || {
            self.plate
                .pull_within(&magnets.0, about.map(Triple::point), tolerance)
        })??;
        Ok(PyPull(pull))
    }

    fn __repr__(&self) -> String {
        format!(
            "SteelPlate(point={:?}, normal={:?})",
            self.point.0, self.normal.0
        )
    }
}

/// Magnets over a steel plate, made by SteelPlate.over: the field in front of its face. Points behind it have none.
#[pyclass(frozen, eq, extends = PyFieldSource, module = "yokewright.magnet", name = "MagnetsOverPlate")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyMagnetsOverPlate {
    pub(super) over: MagnetsOverPlate,
    plate: PySteelPlate,
    magnets: PyMagnetGroup,
}

impl PyMagnetsOverPlate {
    fn new(plate: PySteelPlate, magnets: PyMagnetGroup) -> crate::Result<Self> {
        Ok(Self {
            over: plate.plate.over(&magnets.group)?,
            plate,
            magnets,
        })
    }

    pub(super) fn of(over: &MagnetsOverPlate) -> crate::Result<Self> {
        let plate = PySteelPlate::of(over.plate())?;
        Self::new(plate, PyMagnetGroup::of(over.magnets())?)
    }

    pub(super) fn into_object(self, py: Python<'_>) -> PyResult<Bound<'_, Self>> {
        let source = self.over.clone().into();
        let base = PyClassInitializer::from(PyFieldSource { source });
        Bound::new(py, base.add_subclass(self))
    }
}

#[pymethods]
impl PyMagnetsOverPlate {
    /// The plate.
    #[getter]
    fn plate(&self) -> PySteelPlate {
        self.plate.clone()
    }

    /// The magnets, without their images.
    #[getter]
    fn magnets<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyMagnetGroup>> {
        self.magnets.clone().into_object(py)
    }

    /// The magnets and their images.
    #[getter]
    fn group<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyMagnetGroup>> {
        PyMagnetGroup::of(self.over.group())?.into_object(py)
    }

    /// Magnets and plate moved together by a pose.
    fn moved<'py>(&self, py: Python<'py>, pose: &PyPose) -> PyResult<Bound<'py, Self>> {
        Self::of(&self.over.moved(&pose.isometry)?)?.into_object(py)
    }

    pub(super) fn __repr__(&self) -> String {
        let (plate, magnets) = (self.plate.__repr__(), self.magnets.__repr__());
        format!("{plate}.over(magnets={magnets})")
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let py = slf.py();
        let over = slf.getattr("plate")?.getattr("over")?;
        Ok((over, (slf.get().magnets(py)?,).into_pyobject(py)?))
    }
}

/// Force and torque on magnets.
#[pyclass(frozen, eq, module = "yokewright.magnet", name = "Pull")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPull(Pull);

attributes! {
    impl PyPull {
        /// Estimated numerical error of the force, N.
        force_error: f64,
        /// Estimated numerical error of the torque, N m.
        torque_error: f64,
    }

    /// Force, N, shape (3,).
    #[getter]
    fn force<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.force)
    }

    /// Torque about the point asked for, N m, shape (3,).
    #[getter]
    fn torque<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.torque)
    }

    fn __repr__(&self) -> String {
        let (force, torque) = (self.0.force.as_slice(), self.0.torque.as_slice());
        format!("<Pull force {force:?} N, torque {torque:?} N m>")
    }
}

/// Force and torque of the magnets `by` on the magnets `on`, the torque about a point; left out: about the center of
/// those acted on.
#[pyfunction]
#[pyo3(signature = (by, on, about = None, tolerance = PULL_TOLERANCE),
    text_signature = "(by, on, about=None, tolerance=1e-09)")]
pub(in crate::python) fn pull(
    py: Python<'_>,
    by: Magnets,
    on: Magnets,
    about: Option<Triple>,
    tolerance: f64,
) -> PyResult<PyPull> {
    let pull = long(py, || {
        magnet::pull_within(&by.0, &on.0, about.map(Triple::point), tolerance)
    })??;
    Ok(PyPull(pull))
}

/// Energy of two sets of magnets in each other's field, J: zero far apart, negative where they attract.
#[pyfunction]
pub(in crate::python) fn interaction_energy(
    py: Python<'_>,
    by: Magnets,
    on: Magnets,
) -> PyResult<f64> {
    Ok(long(py, || magnet::interaction_energy(&by.0, &on.0))??)
}

/// The force with which two such magnets hold together pole to pole, N: what fingers between them may have to bear.
#[pyfunction]
pub(in crate::python) fn contact_force(py: Python<'_>, magnet: &PyMagnet) -> PyResult<f64> {
    let magnet: &Magnet = &magnet.magnet;
    Ok(long(py, || magnet::contact_force(magnet))??)
}
