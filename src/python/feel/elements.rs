//! What a control is made of, for the feel: pivots, anchors, driven bodies, and all that acts.

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use crate::feel::{
    self, AlongLine, Anchor, Body, Breakout, Cam, CamSpec, CapturedSpring, Drive, Element,
    Friction, MagnetPair,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats1, Numbers, Triple, vector_out};
use crate::python::gate::errors::{InvalidTypeError, shown};
use crate::python::gate::recorded::Recorded;
use crate::python::linkage::BranchName;
use crate::python::linkage::ball_rod::PyBallRod;
use crate::python::linkage::four_bar::PyFourBar;
use crate::python::linkage::stick::PyPivot;
use crate::python::linkage::transmission::{AnyDrive, drive_out};
use crate::python::magnet::Magnets;
use crate::python::spring::coils::PyExtensionSpring;
use crate::python::spring::compression::PyCompressionSpring;
use crate::python::spring::law::{PyForceTable, PyLinearSpring, PyLinearTorsionSpring};
use crate::python::spring::stock::PyStockSpring;
use crate::spring::LineSpring;

/// A point (m) fixed to a body, where it is with every angle at zero.
///
/// body: "ground", "lever" (what the hand or foot holds), "ring" (the outer one of a gimbal), "driven 0", "driven 1",
/// ...
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Anchor")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyAnchor(pub(in crate::python) Anchor);

#[pymethods]
impl PyAnchor {
    #[new]
    fn new(body: &str, point: Triple) -> PyResult<Self> {
        Ok(Self(Anchor::new(body.parse()?, point.point())?))
    }

    /// The body.
    #[getter]
    fn body(&self) -> String {
        self.0.body().to_string()
    }

    /// The point with every angle at zero, m, shape (3,).
    #[getter]
    fn point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.point().coords)
    }

    fn __repr__(&self) -> String {
        format!(
            "Anchor(body='{}', point={:?})",
            self.0.body(),
            self.0.point().coords.as_slice()
        )
    }
}

/// A body on a pivot of its own that another one drives ("lever", "ring" or "driven 0", ...) through any transmission.
///
/// transmission: FixedRatio, BallRod, CenteredFourBar, UniversalJoint, PedalTransmission or TransmissionChain; what
/// stands in space must sit on both pivots, and a planar one needs them parallel.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Drive")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyDrive(pub(in crate::python) Drive);

attributes! {
    impl PyDrive {
        /// Where the driven body turns.
        pivot: PyPivot = |v| PyPivot(v.pivot()),
        /// What drives it.
        by: String = |v| v.by().to_string(),
    }

    #[new]
    fn new(pivot: &PyPivot, by: &str, transmission: AnyDrive) -> PyResult<Self> {
        Ok(Self(Drive::new(pivot.0, by.parse()?, transmission.0)))
    }

    /// In proportion: output angle over input angle, 0.01 to 100 in size.
    #[staticmethod]
    fn ratio(pivot: &PyPivot, by: &str, ratio: f64) -> PyResult<Self> {
        Ok(Self(Drive::ratio(pivot.0, by.parse()?, ratio)?))
    }

    /// Through a rod with two ball joints; the driven body turns on the pivot of the rod's output arm, the driving one
    /// on that of its input arm.
    #[staticmethod]
    fn ball_rod(by: &str, rod: &PyBallRod) -> PyResult<Self> {
        Ok(Self(Drive::ball_rod(by.parse()?, rod.0)?))
    }

    /// Through a planar four-bar between parallel pivots; neutral: its crank angle (rad) when the angle of the driving
    /// body is zero.
    #[staticmethod]
    fn four_bar(
        pivot: &PyPivot,
        by: &str,
        linkage: &PyFourBar,
        branch: BranchName,
        neutral: f64,
    ) -> PyResult<Self> {
        let drive = Drive::four_bar(pivot.0, by.parse()?, linkage.0, branch.0, neutral)?;
        Ok(Self(drive))
    }

    /// How its angle follows.
    #[getter]
    fn transmission<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        drive_out(py, self.0.transmission())
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        Ok(format!(
            "Drive({}, '{}', {})",
            self.pivot().__repr__(),
            self.by(),
            self.transmission(py)?.repr()?
        ))
    }
}

/// A spring held with preload between collars, so that it works both ways: tension = +-preload + rate (length -
/// neutral_length).
///
/// neutral_length: distance of the ends at which it sits on both collars (m). preload: force there (N). rate: N/m.
/// stroke: how far it may go either way before it is solid (m).
///
/// Springs under load hurt: wear eye protection, let a spring down before you open what holds it.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "CapturedSpring")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCapturedSpring(CapturedSpring);

attributes! {
    impl PyCapturedSpring {
        /// Distance of the ends at which it sits on both collars, m.
        neutral_length(): f64,
        /// Force there, N.
        preload(): f64,
        /// Rate, N/m.
        rate(): f64,
        /// How far it goes either way, m.
        stroke(): f64,
    }

    #[new]
    #[pyo3(signature = (*, neutral_length, preload, rate, stroke))]
    fn new(neutral_length: f64, preload: f64, rate: f64, stroke: f64) -> PyResult<Self> {
        let spring = CapturedSpring::new(neutral_length, preload, rate, stroke)?;
        Ok(Self(spring))
    }

    fn __repr__(&self) -> String {
        format!(
            "CapturedSpring(neutral_length={:?}, preload={:?}, rate={:?}, stroke={:?})",
            self.neutral_length(),
            self.preload(),
            self.rate(),
            self.stroke()
        )
    }
}

/// Any spring, cord or strut between two points.
pub(in crate::python) struct AnyLineSpring(pub(in crate::python) LineSpring);

impl FromPyObject<'_, '_> for AnyLineSpring {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(spring) = value.cast::<PyLinearSpring>() {
            return Ok(Self(spring.get().0.into()));
        }
        if let Ok(table) = value.cast::<PyForceTable>() {
            return Ok(Self(table.get().0.clone().into()));
        }
        if let Ok(spring) = value.cast::<PyExtensionSpring>() {
            return Ok(Self(spring.get().0.line_spring().into()));
        }
        if let Ok(spring) = value.cast::<PyCompressionSpring>() {
            return Ok(Self(spring.get().0.line_spring()?.into()));
        }
        if let Ok(spring) = value.cast::<PyStockSpring>() {
            return Ok(Self(spring.get().0.line_spring().into()));
        }
        let text = format!(
            "a spring between two points is needed, got {}",
            shown(value)
        );
        Err(InvalidTypeError::new_err(text))
    }
}

/// Anything that acts along a line.
struct Law(AlongLine);

impl FromPyObject<'_, '_> for Law {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(captured) = value.cast::<PyCapturedSpring>() {
            return Ok(Self(captured.get().0.into()));
        }
        Ok(Self(value.extract::<AnyLineSpring>()?.0.into()))
    }
}

/// One thing that acts on a control; made by one of the functions below.
///
/// Bodies are named as in Anchor.
#[pyclass(frozen, eq, module = "yokewright.feel", name = "Element")]
pub(in crate::python) struct PyElement {
    pub(in crate::python) element: Element,
    recorded: Recorded,
}

impl PartialEq for PyElement {
    fn eq(&self, other: &Self) -> bool {
        self.element == other.element
    }
}

impl PyElement {
    fn new<'py>(
        element: Element,
        constructor: &'static str,
        arguments: impl IntoIterator<Item = (&'static str, Bound<'py, PyAny>)>,
    ) -> PyResult<Self> {
        element.check()?;
        let arguments = arguments
            .into_iter()
            .map(|(name, value)| (name, value.unbind()));
        Ok(Self {
            element,
            recorded: Recorded::new(constructor, arguments),
        })
    }
}

/// A number as an object, to be recorded.
fn number(py: Python<'_>, value: f64) -> Bound<'_, PyAny> {
    pyo3::types::PyFloat::new(py, value).into_any()
}

fn body_of(name: &Bound<'_, PyAny>) -> PyResult<Body> {
    Ok(name.extract::<String>()?.parse()?)
}

#[pymethods]
impl PyElement {
    /// A spring of any kind, a force table or a captured spring between two anchors.
    #[staticmethod]
    fn line(
        spring: Bound<'_, PyAny>,
        a: Bound<'_, PyAnchor>,
        b: Bound<'_, PyAnchor>,
    ) -> PyResult<Self> {
        let law: Law = spring.extract()?;
        let element = Element::line(law.0, a.get().0, b.get().0);
        let arguments = [("spring", spring), ("a", a.into_any()), ("b", b.into_any())];
        Self::new(element, "line", arguments)
    }

    /// A torsion spring between a body and what bears it.
    #[staticmethod]
    fn torsion(spring: Bound<'_, PyLinearTorsionSpring>, body: Bound<'_, PyAny>) -> PyResult<Self> {
        let element = Element::Torsion {
            spring: spring.get().0,
            body: body_of(&body)?,
        };
        let arguments = [("spring", spring.into_any()), ("body", body)];
        Self::new(element, "torsion", arguments)
    }

    /// A preloaded stop in the middle: torque of preload (N m) on leaving center (rad), growing by rate (N m/rad).
    #[staticmethod]
    #[pyo3(signature = (body, preload, rate = 0.0, center = 0.0))]
    fn breakout(body: Bound<'_, PyAny>, preload: f64, rate: f64, center: f64) -> PyResult<Self> {
        let py = body.py();
        let element = Breakout::new(body_of(&body)?, preload, rate, center)?;
        let arguments = [
            ("body", body),
            ("preload", number(py, preload)),
            ("rate", number(py, rate)),
            ("center", number(py, center)),
        ];
        Self::new(Element::Breakout(element), "breakout", arguments)
    }

    /// A sprung follower on a profile: lifts (N,) in m at ascending angles (N,) in rad of the body.
    ///
    /// preload: force of the follower at lift zero, N. rate: of its spring, N/m. periodic: whether the profile repeats
    /// past its ends.
    #[staticmethod]
    #[pyo3(signature = (body, angles, lifts, preload, rate = 0.0, periodic = false))]
    fn cam(
        body: Bound<'_, PyAny>,
        angles: Bound<'_, PyAny>,
        lifts: Bound<'_, PyAny>,
        preload: f64,
        rate: f64,
        periodic: bool,
    ) -> PyResult<Self> {
        let py = body.py();
        let list = |numbers: Vec<f64>| Ok::<_, PyErr>(numbers.into_pyobject(py)?.into_any());
        let (angles, lifts) = (
            angles.extract::<Numbers<'_>>()?.to_vec(),
            lifts.extract::<Numbers<'_>>()?.to_vec(),
        );
        let arguments = [
            ("body", body.clone()),
            ("angles", list(angles.clone())?),
            ("lifts", list(lifts.clone())?),
            ("preload", number(py, preload)),
            ("rate", number(py, rate)),
            (
                "periodic",
                pyo3::types::PyBool::new(py, periodic).to_owned().into_any(),
            ),
        ];
        let cam = Cam::new(CamSpec {
            body: body_of(&body)?,
            angles,
            lifts,
            ends: if periodic {
                feel::CamEnds::Periodic
            } else {
                feel::CamEnds::Refused
            },
            preload,
            rate,
        })?;
        Self::new(Element::Cam(cam), "cam", arguments)
    }

    /// A mass (kg) with its center at an anchor.
    #[staticmethod]
    fn mass(mass: f64, at: Bound<'_, PyAnchor>) -> PyResult<Self> {
        let element = Element::Mass {
            mass,
            at: at.get().0,
        };
        let mass = number(at.py(), mass);
        Self::new(element, "mass", [("mass", mass), ("at", at.into_any())])
    }

    /// Magnets on one body and magnets on another, all placed as they stand with every angle at zero.
    #[staticmethod]
    fn magnets(
        first: Bound<'_, PyAny>,
        by: Bound<'_, PyAny>,
        second: Bound<'_, PyAny>,
        on: Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let groups = [by.extract::<Magnets>()?.0, on.extract::<Magnets>()?.0];
        let [here, there] = groups;
        let pair = MagnetPair::new(body_of(&first)?, here, body_of(&second)?, there);
        let arguments = [("first", first), ("by", by), ("second", second), ("on", on)];
        Self::new(Element::Magnets(pair), "magnets", arguments)
    }

    /// Moment of inertia (kg m^2) of a body about its own pivot, beside the masses at anchors.
    #[staticmethod]
    fn inertia(body: Bound<'_, PyAny>, moment: f64) -> PyResult<Self> {
        let element = Element::Inertia {
            body: body_of(&body)?,
            moment,
        };
        let moment = number(body.py(), moment);
        Self::new(element, "inertia", [("body", body), ("moment", moment)])
    }

    /// A damper whose torque grows with the speed of a body (N m s/rad).
    #[staticmethod]
    fn damper(body: Bound<'_, PyAny>, damping: f64) -> PyResult<Self> {
        let element = Element::Damper {
            body: body_of(&body)?,
            damping,
        };
        let damping = number(body.py(), damping);
        Self::new(element, "damper", [("body", body), ("damping", damping)])
    }

    /// Coulomb friction torque (N m) in the bearing of a body.
    #[staticmethod]
    fn friction(body: Bound<'_, PyAny>, torque: f64) -> PyResult<Self> {
        let friction = Friction::in_bearing(body_of(&body)?, torque)?;
        let torque = number(body.py(), torque);
        let arguments = [("body", body), ("torque", torque)];
        Self::new(Element::Friction(friction), "friction", arguments)
    }

    /// Coulomb friction torque (N m) in each of the joints at the two ends of a rod or spring.
    #[staticmethod]
    fn joint_friction(
        a: Bound<'_, PyAnchor>,
        b: Bound<'_, PyAnchor>,
        torque: f64,
    ) -> PyResult<Self> {
        let friction = Friction::in_joints(a.get().0, b.get().0, torque)?;
        let torque = number(a.py(), torque);
        let arguments = [("a", a.into_any()), ("b", b.into_any()), ("torque", torque)];
        Self::new(Element::Friction(friction), "joint_friction", arguments)
    }

    /// Which function made it.
    #[getter]
    fn kind(&self) -> &'static str {
        self.recorded.name()
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.recorded.text(py, "Element")
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        slf.get().recorded.reduce(slf.as_any())
    }
}

/// Coulomb friction torque of a plain bearing, N m: coefficient times radius (m) times load (N).
#[pyfunction]
pub(in crate::python) fn friction_torque(
    coefficient: f64,
    radius: f64,
    load: f64,
) -> PyResult<f64> {
    Ok(feel::friction_torque(coefficient, radius, load)?)
}
