//! Magnets: one base class with what every magnet has, one class a shape with its measures.

pub(super) mod any_source;
pub(super) mod area;
pub(super) mod material;
pub(super) mod plate;
pub(super) mod source;

use nalgebra::Vector3;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use crate::magnet::{Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring, Sphere};
use crate::python::gate::convert::{Floats1, Triple, vector_out};
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::gate::sequence::Many;
use crate::python::magnet::source::PyFieldSource;
use crate::python::pose::PyPose;

/// A uniformly polarized magnet of any shape; made as Block, Cylinder, Ring or Sphere.
#[pyclass(frozen, eq, subclass, extends = PyFieldSource, module = "yokewright.magnet", name = "Magnet")]
#[derive(Clone, PartialEq)]
pub(super) struct PyMagnet {
    pub(super) magnet: Magnet,
    pose: PyPose,
}

impl PyMagnet {
    /// By way of the pose's rotation vector, so that the object survives being printed or pickled to the last bit.
    pub(super) fn of(magnet: &Magnet) -> crate::Result<Self> {
        let pose = PyPose::of(&magnet.pose())?;
        let magnet = magnet.placed(pose.isometry)?;
        Ok(Self { magnet, pose })
    }

    /// The magnet as an object of its shape's class.
    pub(super) fn object<'py>(py: Python<'py>, magnet: &Magnet) -> PyResult<Bound<'py, PyAny>> {
        Self::of(magnet)?.into_object(py)
    }

    /// The same magnet polarized the other way.
    pub(super) fn reversed(&self) -> crate::Result<Self> {
        Ok(Self {
            magnet: self.magnet.reversed()?,
            pose: self.pose.clone(),
        })
    }

    pub(super) fn into_object(self, py: Python<'_>) -> PyResult<Bound<'_, PyAny>> {
        let base = self.clone().initializer();
        Ok(match self.magnet {
            Magnet::Block(_) => Bound::new(py, base.add_subclass(PyBlock))?.into_any(),
            Magnet::Cylinder(_) => Bound::new(py, base.add_subclass(PyCylinder))?.into_any(),
            Magnet::Ring(_) => Bound::new(py, base.add_subclass(PyRing))?.into_any(),
            Magnet::Sphere(_) => Bound::new(py, base.add_subclass(PySphere))?.into_any(),
        })
    }

    fn initializer(self) -> PyClassInitializer<Self> {
        let source = self.magnet.clone().into();
        PyClassInitializer::from(PyFieldSource { source }).add_subclass(self)
    }

    /// Whatever `make` makes of the pose.
    fn make<M: Into<Magnet>>(
        pose: Option<&Bound<'_, PyPose>>,
        make: impl FnOnce(nalgebra::Isometry3<f64>) -> crate::Result<M>,
    ) -> PyResult<Self> {
        let pose = pose.map_or_else(PyPose::identity, |pose| pose.get().clone());
        let magnet = make(pose.isometry)?.into();
        Ok(Self { magnet, pose })
    }

    /// The arguments that every shape has.
    fn fill(&self, py: Python<'_>, named: &Bound<'_, PyDict>) -> PyResult<()> {
        named.set_item("polarization", self.polarization(py))?;
        named.set_item("pose", self.pose())
    }

    /// The end of every shape's printed form.
    fn repr_tail(&self) -> String {
        let polarization = self.magnet.polarization();
        format!(
            "polarization={:?}, pose={})",
            polarization.as_slice(),
            self.pose.__repr__()
        )
    }

    pub(super) fn repr(&self) -> String {
        let start = match &self.magnet {
            Magnet::Block(block) => format!("Block(size={:?}", block.size().as_slice()),
            Magnet::Cylinder(cylinder) => format!(
                "Cylinder(diameter={:?}, length={:?}",
                cylinder.diameter(),
                cylinder.length()
            ),
            Magnet::Ring(ring) => format!(
                "Ring(outer_diameter={:?}, inner_diameter={:?}, length={:?}",
                ring.outer_diameter(),
                ring.inner_diameter(),
                ring.length()
            ),
            Magnet::Sphere(sphere) => format!("Sphere(diameter={:?}", sphere.diameter()),
        };
        format!("{start}, {}", self.repr_tail())
    }
}

#[pymethods]
impl PyMagnet {
    /// Polarization in the magnet's own frame, T, shape (3,).
    #[getter]
    fn polarization<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.magnet.polarization())
    }

    /// Where the magnet stands.
    #[getter]
    fn pose(&self) -> PyPose {
        self.pose.clone()
    }

    /// The same magnet moved by a pose, applied after its present one.
    fn moved<'py>(&self, py: Python<'py>, pose: &PyPose) -> PyResult<Bound<'py, PyAny>> {
        Self::object(py, &self.magnet.moved(&pose.isometry)?)
    }

    /// Volume of the material, m3.
    #[getter]
    fn volume(&self) -> f64 {
        self.magnet.volume()
    }

    fn __repr__(&self) -> String {
        self.repr()
    }
}

/// Defines a shape's class: its constructor, its getters and how it is pickled.
macro_rules! shape {
    (
        $(#[$doc:meta])* $class:ident, $name:literal, $variant:ident,
        $( $(#[$get_doc:meta])* $field:ident : $input:ty => $pass:expr => $output:ty = $convert:expr ),+
    ) => {
        $(#[$doc])*
        #[pyclass(frozen, extends = PyMagnet, module = "yokewright.magnet", name = $name)]
        pub(super) struct $class;

        #[pymethods]
        impl $class {
            #[new]
            #[pyo3(signature = ($($field,)+ polarization, pose = None))]
            fn new(
                $($field: $input,)+
                polarization: Triple,
                pose: Option<&Bound<'_, PyPose>>,
            ) -> PyResult<PyClassInitializer<Self>> {
                let magnet = PyMagnet::make(pose, |pose| {
                    $variant::new($($pass($field),)+ polarization.vector(), pose)
                })?;
                Ok(magnet.initializer().add_subclass(Self))
            }

            $(
                $(#[$get_doc])*
                #[getter]
                fn $field<'py>(slf: PyRef<'py, Self>) -> PyResult<$output> {
                    let py = slf.py();
                    match &slf.as_super().magnet {
                        Magnet::$variant(shape) => Ok($convert(py, shape.$field())),
                        _ => Err(PyTypeError::new_err(concat!("not a ", $name))),
                    }
                }
            )+

            fn __getnewargs_ex__(slf: Bound<'_, Self>) -> PyResult<((), Bound<'_, PyDict>)> {
                let named = PyDict::new(slf.py());
                $( named.set_item(stringify!($field), slf.getattr(stringify!($field))?)?; )+
                slf.as_super().get().fill(slf.py(), &named)?;
                Ok(((), named))
            }
        }
    };
}

fn number(_: Python<'_>, value: f64) -> f64 {
    value
}

fn vector(py: Python<'_>, value: Vector3<f64>) -> Floats1<'_> {
    vector_out(py, &value)
}

shape!(
    /// A rectangular magnet.
    ///
    /// size: side lengths, m. polarization: T, in the magnet's own frame. pose: where it stands.
    PyBlock, "Block", Block,
    /// Side lengths, m, shape (3,).
    size: Triple => Triple::vector => Floats1<'py> = vector
);

shape!(
    /// A solid cylinder; its axis is the z axis of its own frame.
    ///
    /// diameter, length: m. polarization: T, in the magnet's own frame. pose: where it stands.
    PyCylinder, "Cylinder", Cylinder,
    /// Diameter, m.
    diameter: f64 => std::convert::identity => f64 = number,
    /// Length, m.
    length: f64 => std::convert::identity => f64 = number
);

shape!(
    /// A ring (hollow cylinder); its axis is the z axis of its own frame.
    ///
    /// outer_diameter, inner_diameter, length: m. polarization: T, in the magnet's own frame. pose: where it stands.
    PyRing, "Ring", Ring,
    /// Outer diameter, m.
    outer_diameter: f64 => std::convert::identity => f64 = number,
    /// Inner diameter, m.
    inner_diameter: f64 => std::convert::identity => f64 = number,
    /// Length, m.
    length: f64 => std::convert::identity => f64 = number
);

shape!(
    /// A ball.
    ///
    /// diameter: m. polarization: T, in the magnet's own frame. pose: where it stands.
    PySphere, "Sphere", Sphere,
    /// Diameter, m.
    diameter: f64 => std::convert::identity => f64 = number
);

/// Magnets that act together; their fields add up.
///
/// magnets: Magnets and MagnetGroups, which become one flat list. Magnets that reach into each other raise
/// CollisionError, as no two parts can; touching is fine. MagnetGroup.superposed takes them, too.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mT, mm
/// >>> pair = yw.magnet.MagnetGroup(
/// ...     [
/// ...         yw.magnet.Block((5 * mm, 5 * mm, 5 * mm), (0, 0, 1.3), yw.Pose((0, side * 4 * mm, 0)))
/// ...         for side in (-1, 1)
/// ...     ]
/// ... )
/// >>> print(f"{pair.field_at((0, 0, 8 * mm))[2] / mT:.2f} mT")
/// 50.83 mT
#[pyclass(frozen, eq, extends = PyFieldSource, module = "yokewright.magnet", name = "MagnetGroup")]
#[derive(Clone, PartialEq)]
pub(super) struct PyMagnetGroup {
    pub(super) group: MagnetGroup,
    magnets: Vec<PyMagnet>,
}

impl PyMagnetGroup {
    pub(super) fn of(group: &MagnetGroup) -> crate::Result<Self> {
        let magnets = group.magnets().iter().map(PyMagnet::of);
        let magnets: Vec<PyMagnet> = magnets.collect::<crate::Result<_>>()?;
        let placed = magnets.iter().map(|magnet| magnet.magnet.clone());
        let group = group.with_members(placed.collect());
        Ok(Self { group, magnets })
    }

    fn make(
        parts: Many<MagnetsGiven>,
        make: impl FnOnce(Vec<MagnetGroup>) -> crate::Result<MagnetGroup>,
    ) -> PyResult<Self> {
        let (groups, magnets): (Vec<_>, Vec<_>) = parts
            .into_iter()
            .map(|MagnetsGiven(PyMagnetGroup { group, magnets })| (group, magnets))
            .unzip();
        let (group, magnets) = (make(groups)?, magnets.concat());
        Ok(Self { group, magnets })
    }

    fn initializer(self) -> PyClassInitializer<Self> {
        let source = self.group.clone().into();
        PyClassInitializer::from(PyFieldSource { source }).add_subclass(self)
    }

    pub(super) fn into_object(self, py: Python<'_>) -> PyResult<Bound<'_, Self>> {
        Bound::new(py, self.initializer())
    }
}

impl From<PyMagnet> for PyMagnetGroup {
    fn from(magnet: PyMagnet) -> Self {
        Self {
            group: magnet.magnet.clone().into(),
            magnets: vec![magnet],
        }
    }
}

#[pymethods]
impl PyMagnetGroup {
    #[new]
    fn new(py: Python<'_>, magnets: Many<MagnetsGiven>) -> PyResult<PyClassInitializer<Self>> {
        let made = Self::make(magnets, |groups| py.detach(|| MagnetGroup::new(groups)));
        Ok(made?.initializer())
    }

    /// A group whose magnets may reach into each other: one polarized the other way stands for a hole in the other.
    #[staticmethod]
    fn superposed(py: Python<'_>, magnets: Many<MagnetsGiven>) -> PyResult<Bound<'_, Self>> {
        Self::make(magnets, MagnetGroup::superposed)?.into_object(py)
    }

    /// Whether it was made by MagnetGroup.superposed, or holds a part that was.
    #[getter]
    fn is_superposed(&self) -> bool {
        self.group.is_superposed()
    }

    /// Volume of the material, m3; None of a superposed group, whose parts are no solids.
    #[getter]
    fn volume(&self) -> Option<f64> {
        self.group.volume()
    }

    /// Mean of the centers of its magnets, each weighted by its volume, m, shape (3,).
    #[getter]
    fn center<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.group.center().coords)
    }

    /// The magnets, in the order given.
    #[getter]
    fn magnets<'py>(&self, py: Python<'py>) -> PyResult<Vec<Bound<'py, PyAny>>> {
        self.magnets
            .iter()
            .map(|magnet| magnet.clone().into_object(py))
            .collect()
    }

    /// The whole group moved by a pose.
    fn moved<'py>(&self, py: Python<'py>, pose: &PyPose) -> PyResult<Bound<'py, Self>> {
        Self::of(&self.group.moved(&pose.isometry)?)?.into_object(py)
    }

    fn __len__(&self) -> usize {
        self.magnets.len()
    }

    pub(super) fn __repr__(&self) -> String {
        let magnets: Vec<String> = self.magnets.iter().map(PyMagnet::repr).collect();
        let make = if self.group.is_superposed() {
            "MagnetGroup.superposed"
        } else {
            "MagnetGroup"
        };
        format!("{make}(magnets=[{}])", magnets.join(", "))
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let make = if this.group.is_superposed() {
            slf.getattr("superposed")?
        } else {
            slf.get_type().into_any()
        };
        Ok((make, (this.magnets(py)?,).into_pyobject(py)?))
    }
}

/// A Magnet or a MagnetGroup.
pub(in crate::python) struct Magnets(pub(in crate::python) MagnetGroup);

impl FromPyObject<'_, '_> for Magnets {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        Ok(Self(MagnetsGiven::extract(value)?.0.group))
    }
}

/// The same as it was given.
pub(super) struct MagnetsGiven(pub(super) PyMagnetGroup);

impl FromPyObject<'_, '_> for MagnetsGiven {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(group) = value.cast::<PyMagnetGroup>() {
            return Ok(Self(group.get().clone()));
        }
        match value.cast::<PyMagnet>() {
            Ok(magnet) => Ok(Self(magnet.get().clone().into())),
            Err(_) => {
                let got = shown(value);
                let text = format!("a Magnet or a MagnetGroup is needed, got {got}");
                Err(InvalidTypeError::new_err(text))
            }
        }
    }
}
