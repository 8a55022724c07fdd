//! The gimbal: pivots, gates, obstacles, and what the stick does among them.

use nalgebra::{Isometry3, Point3, Vector3};
use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use serde::{Deserialize, Serialize};

use crate::linkage::{
    Clearance, Envelope, EnvelopeExtreme, Gate, GateShape, Gimbal, GimbalSpec, GripTravel,
    Obstacle, ObstacleShape, Pivot, StickPart,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{
    Floats1, Floats2, Mask, Numbers, Rows, Triple, rows_out, table_out, vector_out,
};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::pose::PyPose;
use crate::units::{DEG, MM};

pub(in crate::python) fn points_out<'py>(py: Python<'py>, points: &[Point3<f64>]) -> Floats2<'py> {
    rows_out(py, points.iter().map(|point| point.coords).collect())
}

fn pairs_out(py: Python<'_>, pairs: Vec<[f64; 2]>) -> Floats2<'_> {
    let count = pairs.len();
    table_out(py, pairs.into_flattened(), (count, 2))
}

/// The axis of a hinge, bearing or shaft: a line through a point (m) along a direction; turns by the right-hand rule.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Pivot")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyPivot(pub(in crate::python) Pivot);

#[pymethods]
impl PyPivot {
    #[new]
    fn new(point: Triple, direction: Triple) -> PyResult<Self> {
        Ok(Self(Pivot::new(point.point(), direction.vector())?))
    }

    /// A point of the axis, m, shape (3,).
    #[getter]
    fn point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.point().coords)
    }

    /// Direction of the axis, of length 1, shape (3,).
    #[getter]
    fn direction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.direction())
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let (point, direction) = (self.0.point(), self.0.direction());
        format!(
            "Pivot(point={:?}, direction={:?})",
            point.coords.as_slice(),
            direction.as_slice()
        )
    }
}

/// A convex body that a stick must clear: Obstacle.block(...), Obstacle.cylinder(...) or Obstacle.capsule(...).
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Obstacle")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyObstacle {
    obstacle: Obstacle,
    pose: PyPose,
}

impl PyObstacle {
    pub(in crate::python) fn of(obstacle: &Obstacle) -> crate::Result<Self> {
        Ok(Self {
            pose: PyPose::of(&obstacle.pose())?,
            obstacle: obstacle.clone(),
        })
    }

    fn make(
        pose: Option<&Bound<'_, PyPose>>,
        make: impl FnOnce(Isometry3<f64>) -> crate::Result<Obstacle>,
    ) -> PyResult<Self> {
        let pose = pose.map_or_else(PyPose::identity, |pose| pose.get().clone());
        Ok(Self {
            obstacle: make(pose.isometry)?,
            pose,
        })
    }
}

#[pymethods]
impl PyObstacle {
    /// A box with the given side lengths (m) along the axes of its pose, which stands at its center.
    #[staticmethod]
    #[pyo3(signature = (size, pose = None))]
    fn block(size: Triple, pose: Option<&Bound<'_, PyPose>>) -> PyResult<Self> {
        Self::make(pose, |pose| Obstacle::block(size.vector(), pose))
    }

    /// A solid cylinder with flat ends (m) along the z axis of its pose, which stands at its center.
    #[staticmethod]
    #[pyo3(signature = (diameter, length, pose = None))]
    fn cylinder(diameter: f64, length: f64, pose: Option<&Bound<'_, PyPose>>) -> PyResult<Self> {
        Self::make(pose, |pose| Obstacle::cylinder(diameter, length, pose))
    }

    /// Everything within a radius (m) of the straight line between two points (m): a leg, an arm.
    #[staticmethod]
    fn capsule(start: Triple, end: Triple, radius: f64) -> PyResult<Self> {
        Self::make(None, |_| {
            Obstacle::capsule(start.point(), end.point(), radius)
        })
    }

    /// "block", "cylinder" or "capsule".
    #[getter]
    fn kind(&self) -> &'static str {
        match self.obstacle.shape() {
            ObstacleShape::Block { .. } => "block",
            ObstacleShape::Cylinder { .. } => "cylinder",
            ObstacleShape::Capsule { .. } => "capsule",
        }
    }

    /// Sizes as they were given to its constructor, m.
    #[getter]
    fn sizes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let named = PyDict::new(py);
        match self.obstacle.shape() {
            ObstacleShape::Block { size } => named.set_item("size", vector_out(py, &size))?,
            ObstacleShape::Cylinder { diameter, length } => {
                named.set_item("diameter", diameter)?;
                named.set_item("length", length)?;
            }
            ObstacleShape::Capsule { from, to, radius } => {
                named.set_item("start", vector_out(py, &from.coords))?;
                named.set_item("end", vector_out(py, &to.coords))?;
                named.set_item("radius", radius)?;
            }
        }
        Ok(named)
    }

    /// Where it stands.
    #[getter]
    fn pose(&self) -> PyPose {
        self.pose.clone()
    }

    /// Distance of a point from the surface, m; zero inside, for a capsule negative.
    fn distance(&self, point: Triple) -> PyResult<f64> {
        Ok(self.obstacle.distance(&point.point())?)
    }

    fn __repr__(&self) -> String {
        let pose = self.pose.__repr__();
        match self.obstacle.shape() {
            ObstacleShape::Block { size } => {
                format!("Obstacle.block(size={:?}, pose={pose})", size.as_slice())
            }
            ObstacleShape::Cylinder { diameter, length } => {
                format!("Obstacle.cylinder(diameter={diameter:?}, length={length:?}, pose={pose})")
            }
            ObstacleShape::Capsule { from, to, radius } => format!(
                "Obstacle.capsule(start={:?}, end={:?}, radius={radius:?})",
                from.coords.as_slice(),
                to.coords.as_slice()
            ),
        }
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let arguments = match this.obstacle.shape() {
            ObstacleShape::Block { size } => {
                (vector_out(py, &size), this.pose()).into_pyobject(py)?
            }
            ObstacleShape::Cylinder { diameter, length } => {
                (diameter, length, this.pose()).into_pyobject(py)?
            }
            ObstacleShape::Capsule { from, to, radius } => {
                let ends = [from, to].map(|point| vector_out(py, &point.coords));
                let [from, to] = ends;
                (from, to, radius).into_pyobject(py)?
            }
        };
        Ok((slf.getattr(this.kind())?, arguments))
    }
}

/// The limits of a stick's two angles: Gate.round(...), Gate.square(...) or Gate.polygon(...).
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Gate")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyGate(pub(in crate::python) Gate);

#[pymethods]
impl PyGate {
    /// A round hole about the stick: the total tilt goes up to tilt (rad) in every direction.
    #[staticmethod]
    fn round(tilt: f64) -> PyResult<Self> {
        Ok(Self(Gate::round(tilt)?))
    }

    /// Each axis by itself between a least and a greatest angle (rad).
    #[staticmethod]
    fn square(outer: Few<2>, inner: Few<2>) -> PyResult<Self> {
        Ok(Self(Gate::square(outer.into(), inner.into())?))
    }

    /// Inside a polygon: corners (outer, inner) in order around, rad, shape (N, 2).
    #[staticmethod]
    fn polygon(corners: Many<Few<2>>) -> PyResult<Self> {
        Ok(Self(Gate::polygon(
            corners.into_iter().map(Into::into).collect(),
        )?))
    }

    /// "round", "square" or "polygon".
    #[getter]
    fn kind(&self) -> &'static str {
        match self.0.shape() {
            GateShape::Round { .. } => "round",
            GateShape::Square { .. } => "square",
            GateShape::Polygon { .. } => "polygon",
        }
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        match self.0.shape() {
            GateShape::Round { tilt } => format!("Gate.round(tilt={tilt:?})"),
            GateShape::Square { outer, inner } => {
                let [[a, b], [c, d]] = [outer, inner];
                format!("Gate.square(outer=({a:?}, {b:?}), inner=({c:?}, {d:?}))")
            }
            GateShape::Polygon { corners } => format!("Gate.polygon(corners={corners:?})"),
        }
    }

    fn __reduce__(slf: Bound<'_, Self>) -> PyResult<(Bound<'_, PyAny>, Bound<'_, PyTuple>)> {
        let (py, this) = (slf.py(), slf.get());
        let arguments = match this.0.shape() {
            GateShape::Round { tilt } => (*tilt,).into_pyobject(py)?,
            GateShape::Square { outer, inner } => {
                let [outer, inner] = [outer, inner].map(|&[low, high]| (low, high));
                (outer, inner).into_pyobject(py)?
            }
            GateShape::Polygon { corners } => (corners.clone(),).into_pyobject(py)?,
        };
        Ok((slf.getattr(this.kind())?, arguments))
    }
}

/// A stick on two axes, the outer one in the frame and the inner one carried by the outer body. All angles in rad, zero
/// at neutral.
///
/// outer, inner: Pivot, where they are at neutral. stick: corners from the gimbal up to the grip, m, shape (N, 3).
/// stick_radius: m. grip_radius: of a ball about the grip point, m, that stands for the grip with a hand around it.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> gimbal = yw.linkage.Gimbal(
/// ...     outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
/// ...     inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
/// ...     stick=[(0, 0, 0), (0, 0, 0.4)],
/// ... )
/// >>> envelope = gimbal.envelope(yw.linkage.Gate.round(15 * deg))
/// >>> print(f"the grip goes {1000 * envelope.highest[0]:.1f} mm forward")
/// the grip goes 103.5 mm forward
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Gimbal")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyGimbal(pub(in crate::python) Gimbal);

attributes! {
    impl PyGimbal {
        /// The axis in the frame.
        outer: PyPivot = |v| PyPivot(v.spec().outer),
        /// The axis that the outer body carries, at neutral.
        inner: PyPivot = |v| PyPivot(v.spec().inner),
        /// Radius of the stick, m.
        stick_radius: f64 = |v| v.spec().stick_radius,
        /// Radius of grip and hand, m.
        grip_radius: f64 = |v| v.spec().grip_radius,
    }

    #[new]
    #[pyo3(signature = (*, outer, inner, stick, stick_radius = 0.0, grip_radius = 0.0))]
    fn new(
        outer: &PyPivot,
        inner: &PyPivot,
        stick: Rows<'_, 3>,
        stick_radius: f64,
        grip_radius: f64,
    ) -> PyResult<Self> {
        Ok(Self(Gimbal::new(GimbalSpec {
            outer: outer.0,
            inner: inner.0,
            stick: stick.to_vec().into_iter().map(Point3::from).collect(),
            stick_radius,
            grip_radius,
        })?))
    }

    /// Corners of the stick at neutral, m, shape (N, 3).
    #[getter]
    fn stick<'py>(&self, py: Python<'py>) -> Floats2<'py> {
        points_out(py, &self.0.spec().stick)
    }

    /// The grip point at neutral: the last corner of the stick, m, shape (3,).
    #[getter]
    fn grip<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.grip().coords)
    }

    /// Direction of the first straight piece of the stick at neutral, of length 1, shape (3,).
    #[getter]
    fn stick_direction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.stick_direction())
    }

    /// Pose of the grip at two angles.
    fn grip_at(&self, outer: f64, inner: f64) -> PyResult<PyPose> {
        Ok(PyPose::of(&self.0.grip_at(outer, inner)?)?)
    }

    /// Grips at many angles (N,): positions (m) and rotation vectors (rad), shape (N, 3) each, and a mask; refused rows
    /// are NaN and False.
    fn grips_at<'py>(
        &self,
        py: Python<'py>,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
    ) -> PyResult<(Floats2<'py>, Floats2<'py>, Mask<'py>)> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let grips = long(py, || self.0.grips_at(&outer, &inner))??;
        let positions: Vec<Vector3<f64>> = grips.positions();
        let turns = rows_out(py, grips.rotation_vectors());
        Ok((rows_out(py, positions), turns, grips.valid.into_pyarray(py)))
    }

    /// Corners of the stick at two angles, m, shape (N, 3).
    fn stick_at<'py>(&self, py: Python<'py>, outer: f64, inner: f64) -> PyResult<Floats2<'py>> {
        Ok(points_out(py, &self.0.stick_at(outer, inner)?))
    }

    /// Total tilt of the stick's first straight piece from neutral, rad.
    fn tilt(&self, outer: f64, inner: f64) -> PyResult<f64> {
        Ok(self.0.tilt(outer, inner)?)
    }

    /// Total tilts at many angles (N,), rad, and a mask; refused rows are NaN and False.
    fn tilts<'py>(
        &self,
        py: Python<'py>,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let tilts = long(py, || self.0.tilts(&outer, &inner))??;
        Ok((tilts.values.into_pyarray(py), tilts.valid.into_pyarray(py)))
    }

    /// How far the grip goes while one axis ("outer" or "inner") turns over a range and the other stands at an angle.
    #[pyo3(signature = (axis, range, other = 0.0))]
    fn travel(&self, axis: &str, range: Few<2>, other: f64) -> PyResult<PyGripTravel> {
        let travel = self.0.travel(axis.parse()?, range.into(), other)?;
        Ok(PyGripTravel(travel))
    }

    /// Outer and inner angle at which the stick has a direction (of any length), on the side of neutral.
    fn angles_for_direction(&self, direction: Triple) -> PyResult<(f64, f64)> {
        Ok(self.0.angles_for_direction(direction.vector())?.into())
    }

    /// Outer and inner angle that bring the grip to a point (m), on the side of neutral, and by how much it misses the
    /// point, m.
    fn angles_for_grip(&self, point: Triple) -> PyResult<(f64, f64, f64)> {
        let ([outer, inner], miss) = self.0.angles_for_grip(point.point())?;
        Ok((outer, inner, miss))
    }

    /// What the outer and the inner sensor turn by. drive of the inner one: "on outer body", "joint along outer" or
    /// "joint across".
    #[pyo3(signature = (outer, inner, drive = "on outer body"))]
    fn sensor_angles(&self, outer: f64, inner: f64, drive: &str) -> PyResult<(f64, f64)> {
        Ok(self.0.sensor_angles(outer, inner, drive.parse()?)?.into())
    }

    /// What both sensors turn by at many angles (N,), rad, shape (N, 2), and a mask (N,); refused rows are NaN and
    /// False.
    #[pyo3(signature = (outer, inner, drive = "on outer body"))]
    fn sensors_at<'py>(
        &self,
        py: Python<'py>,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
        drive: &str,
    ) -> PyResult<(Floats2<'py>, Mask<'py>)> {
        let (outer, inner, drive) = (outer.to_vec(), inner.to_vec(), drive.parse()?);
        let pairs = long(py, || self.0.sensors_at(&outer, &inner, drive))??;
        Ok((pairs_out(py, pairs.values), pairs.valid.into_pyarray(py)))
    }

    /// Whether the gate allows a position; its edge is allowed.
    fn allows(&self, gate: &PyGate, outer: f64, inner: f64) -> PyResult<bool> {
        Ok(self.0.allows(&gate.0, outer, inner)?)
    }

    /// Which of many positions (N,) the gate allows; False where an angle is refused.
    fn allowed<'py>(
        &self,
        py: Python<'py>,
        gate: &PyGate,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
    ) -> PyResult<Mask<'py>> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let rows = long(py, || self.0.allowed(&gate.0, &outer, &inner))??;
        Ok(rows.into_pyarray(py))
    }

    /// Where the grip goes all over a gate: samples step (rad) apart, and extremes that are exceeded by no more than
    /// tolerance (m).
    #[pyo3(signature = (gate, step = 2.0 * DEG, tolerance = 0.01 * MM),
           text_signature = "($self, gate, step=0.03490658503988659, tolerance=1e-05)")]
    fn envelope(
        &self,
        py: Python<'_>,
        gate: &PyGate,
        step: f64,
        tolerance: f64,
    ) -> PyResult<PyEnvelope> {
        let envelope = long(py, || self.0.envelope(&gate.0, step, tolerance))??;
        Ok(PyEnvelope::of(envelope))
    }

    /// The least distance between stick or grip and any of the obstacles at one position.
    fn clearance_at(
        &self,
        outer: f64,
        inner: f64,
        obstacles: Many<PyRef<'_, PyObstacle>>,
    ) -> PyResult<PyClearance> {
        let obstacles = bare(&obstacles);
        Ok(PyClearance(self.0.clearance_at(outer, inner, &obstacles)?))
    }

    /// The same at many positions (N,): distances only, m, and a mask; refused rows are NaN and False.
    fn clearances_at<'py>(
        &self,
        py: Python<'py>,
        outer: Numbers<'py>,
        inner: Numbers<'py>,
        obstacles: Many<PyRef<'_, PyObstacle>>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let (outer, inner) = (outer.to_vec(), inner.to_vec());
        let obstacles = bare(&obstacles);
        let rows = long(py, || self.0.clearances_at(&outer, &inner, &obstacles))??;
        Ok((rows.values.into_pyarray(py), rows.valid.into_pyarray(py)))
    }

    /// The least distance all over a gate: nowhere is the true one smaller by more than tolerance (m), between samples
    /// or not.
    #[pyo3(signature = (gate, obstacles, tolerance = 0.1 * MM),
           text_signature = "($self, gate, obstacles, tolerance=0.0001)")]
    fn clearance(
        &self,
        py: Python<'_>,
        gate: &PyGate,
        obstacles: Many<PyRef<'_, PyObstacle>>,
        tolerance: f64,
    ) -> PyResult<PyClearance> {
        let obstacles = bare(&obstacles);
        let clearance = long(py, || self.0.clearance(&gate.0, &obstacles, tolerance))??;
        Ok(PyClearance(clearance))
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let spec = self.0.spec();
        let corners: Vec<_> = spec
            .stick
            .iter()
            .map(|corner| corner.coords.data.0[0])
            .collect();
        format!(
            "Gimbal(outer={}, inner={}, stick={corners:?}, stick_radius={:?}, grip_radius={:?})",
            self.outer().__repr__(),
            self.inner().__repr__(),
            spec.stick_radius,
            spec.grip_radius
        )
    }
}

fn bare(obstacles: &[PyRef<'_, PyObstacle>]) -> Vec<Obstacle> {
    obstacles.iter().map(|one| one.obstacle.clone()).collect()
}

/// How far the grip goes when one axis turns.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "GripTravel")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyGripTravel(GripTravel);

impl PyGripTravel {
    pub(in crate::python) fn of(value: GripTravel) -> Self {
        Self(value)
    }
}

attributes! {
    impl PyGripTravel {
        /// Distance of the grip from the axis, m.
        radius: f64,
        /// Along the path, m.
        arc: f64,
        /// Straight from end to end, m.
        chord: f64,
    }

    fn __repr__(&self) -> String {
        let GripTravel { radius, arc, chord } = self.0;
        format!("<GripTravel radius {radius:?} m, arc {arc:?} m, chord {chord:?} m>")
    }
}

/// Where the grip goes as the stick is moved all over its gate.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Envelope")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyEnvelope {
    value: Envelope,
    #[serde(skip)]
    columns: [Column; 4],
}

impl PyEnvelope {
    pub(in crate::python) fn of(value: Envelope) -> Self {
        Self {
            value,
            columns: Default::default(),
        }
    }
}

#[pymethods]
impl PyEnvelope {
    /// Outer and inner angle around the edge of the gate, rad, shape (N, 2).
    #[getter]
    fn edge<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let pairs = &self.value.edge;
        self.columns[0].table(py, pairs.as_flattened(), &[pairs.len(), 2])
    }

    /// Where the grip point is there, m, shape (N, 3).
    #[getter]
    fn edge_grips<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let points = &self.value.edge_grips;
        self.columns[1].table(py, bytemuck::cast_slice(points), &[points.len(), 3])
    }

    /// Outer and inner angle in the gate, in whole steps from zero, rad, shape (M, 2).
    #[getter]
    fn inside<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let pairs = &self.value.inside;
        self.columns[2].table(py, pairs.as_flattened(), &[pairs.len(), 2])
    }

    /// Where the grip point is there, m, shape (M, 3).
    #[getter]
    fn inside_grips<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let points = &self.value.inside_grips;
        self.columns[3].table(py, bytemuck::cast_slice(points), &[points.len(), 3])
    }

    /// Least x, y and z of the grip point, m, shape (3,).
    #[getter]
    fn lowest<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &coordinates(&self.value.lowest))
    }

    /// Greatest x, y and z of the grip point, m, shape (3,).
    #[getter]
    fn highest<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &coordinates(&self.value.highest))
    }

    /// Outer and inner angle at which the least x, y and z are reached, rad, shape (3, 2).
    #[getter]
    fn lowest_angles<'py>(&self, py: Python<'py>) -> Floats2<'py> {
        pairs_out(py, self.value.lowest.map(|extreme| extreme.angles).into())
    }

    /// Outer and inner angle at which the greatest x, y and z are reached, rad, shape (3, 2).
    #[getter]
    fn highest_angles<'py>(&self, py: Python<'py>) -> Floats2<'py> {
        pairs_out(py, self.value.highest.map(|extreme| extreme.angles).into())
    }

    fn __repr__(&self) -> String {
        let [low, high] = [&self.value.lowest, &self.value.highest].map(coordinates);
        format!(
            "<Envelope from {:?} to {:?} m>",
            low.as_slice(),
            high.as_slice()
        )
    }
}

fn coordinates(extremes: &[EnvelopeExtreme; 3]) -> Vector3<f64> {
    extremes.map(|extreme| extreme.coordinate).into()
}

/// The least distance between the stick and its obstacles, and where it is.
#[pyclass(frozen, eq, module = "yokewright.linkage", name = "Clearance")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyClearance(Clearance);

impl PyClearance {
    pub(in crate::python) fn of(value: Clearance) -> Self {
        Self(value)
    }
}

attributes! {
    impl PyClearance {
        /// Distance between the surfaces, m; zero or less where they collide.
        distance: f64,
        /// Whether stick and obstacle touch or overlap.
        collides(): bool,
        /// Outer and inner angle at which it is that small, rad.
        angles: (f64, f64) = |v| v.angles.into(),
        /// Which obstacle, counted from 0.
        obstacle: usize,
    }

    /// Which straight piece of the stick, counted from 0 at the gimbal; None for the grip.
    #[getter]
    fn piece(&self) -> Option<usize> {
        match self.0.part {
            StickPart::Piece(number) => Some(number),
            StickPart::Grip => None,
        }
    }

    /// The nearest point of the stick's center line, m, shape (3,).
    #[getter]
    fn stick_point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.stick_point.coords)
    }

    /// The nearest point of the obstacle, m, shape (3,); of a capsule's center line.
    #[getter]
    fn obstacle_point<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.0.obstacle_point.coords)
    }

    fn __repr__(&self) -> String {
        let [outer, inner] = self.0.angles;
        format!(
            "<Clearance {:?} m from obstacle {} at ({outer:?}, {inner:?}) rad>",
            self.0.distance, self.0.obstacle
        )
    }
}
