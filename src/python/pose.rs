//! Poses: a position and a rotation vector.

use nalgebra::{Isometry3, Matrix3, Rotation3, UnitQuaternion, Vector3};
use pyo3::prelude::*;

use crate::error::finite;
use crate::pose;
use crate::python::gate::convert::{
    Floats1, Floats2, GridFloats, Points, Rows, Triple, grid_points_out, matrix_out, vector_out,
};
use crate::python::gate::errors::InvalidValueError;

/// How far a rotation matrix may be from orthonormal: beyond the rounding of any chain of products, below any real
/// error.
const ORTHONORMAL: f64 = 1e-9;

/// Where a part stands: a position (m) and a rotation.
///
/// `rotation` is a rotation vector: its direction is the axis, its length the angle in rad (each part up to ten turns),
/// right-hand rule. `a @ b` is first b, then a.
#[pyclass(frozen, eq, module = "yokewright", name = "Pose")]
#[derive(Clone, PartialEq)]
pub(super) struct PyPose {
    position: Vector3<f64>,
    rotation: Vector3<f64>,
    pub(super) isometry: Isometry3<f64>,
}

impl PyPose {
    fn from_parts(position: Vector3<f64>, rotation: Vector3<f64>) -> crate::Result<Self> {
        let isometry = pose::from_rotation_vector(position, rotation)?;
        Ok(Self {
            position,
            rotation,
            isometry,
        })
    }

    /// By way of the rotation vector, so that the pose survives being printed or pickled to the last bit.
    pub(super) fn of(isometry: &Isometry3<f64>) -> crate::Result<Self> {
        Self::from_parts(isometry.translation.vector, isometry.rotation.scaled_axis())
    }

    pub(super) fn identity() -> Self {
        Self {
            position: Vector3::zeros(),
            rotation: Vector3::zeros(),
            isometry: Isometry3::identity(),
        }
    }
}

#[pymethods]
impl PyPose {
    #[new]
    #[pyo3(signature = (position = Triple([0.0; 3]), rotation = Triple([0.0; 3])),
        text_signature = "(position=(0.0, 0.0, 0.0), rotation=(0.0, 0.0, 0.0))")]
    fn new(position: Triple, rotation: Triple) -> PyResult<Self> {
        Ok(Self::from_parts(position.vector(), rotation.vector())?)
    }

    /// A pose from a position (m), an axis of any length and an angle (rad), right-hand rule.
    #[staticmethod]
    fn from_axis_angle(position: Triple, axis: Triple, angle: f64) -> PyResult<Self> {
        let pose = pose::from_axis_angle(position.vector(), axis.vector(), angle)?;
        Ok(Self::of(&pose)?)
    }

    /// A pose from a position (m) and a unit quaternion w + x i + y j + z k, by name as its order differs from program
    /// to program.
    #[staticmethod]
    #[pyo3(signature = (position, *, w, x, y, z))]
    fn from_quaternion(position: Triple, w: f64, x: f64, y: f64, z: f64) -> PyResult<Self> {
        let pose = pose::from_quaternion(position.vector(), [w, x, y, z])?;
        Ok(Self::of(&pose)?)
    }

    /// A pose from a position (m) and the shortest turn that brings one direction of the part's own frame onto another.
    ///
    /// start, end: directions of any length. Opposite ones are refused: the axis would be anyone's guess.
    #[staticmethod]
    fn from_directions(position: Triple, start: Triple, end: Triple) -> PyResult<Self> {
        let pose = pose::from_directions(position.vector(), start.vector(), end.vector())?;
        Ok(Self::of(&pose)?)
    }

    /// A pose from a position (m) and a 3x3 rotation matrix whose columns are the part's axes.
    #[staticmethod]
    fn from_matrix(position: Triple, matrix: Rows<'_, 3>) -> PyResult<Self> {
        let rows = matrix.to_vec();
        if rows.len() != 3 {
            let text = format!("matrix has shape ({}, 3); (3, 3) is needed", rows.len());
            return Err(InvalidValueError::new_err(text));
        }
        let matrix = Matrix3::from_row_iterator(rows.into_iter().flatten());
        for part in &matrix {
            finite("part of the matrix", *part, "(no unit)")?;
        }
        let off = (matrix.transpose() * matrix - Matrix3::identity())
            .abs()
            .max();
        if !(off <= ORTHONORMAL && matrix.determinant() > 0.0) {
            return Err(InvalidValueError::new_err(format!(
                "matrix is not a rotation: its columns are {off:.1e} from orthonormal (up to {ORTHONORMAL:.0e} \
                    allowed) and its \
                 determinant is {:.3}",
                matrix.determinant()
            )));
        }
        let rotation =
            UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(matrix));
        Ok(Self::from_parts(position.vector(), rotation.scaled_axis())?)
    }

    /// Position, m, shape (3,).
    #[getter]
    fn position<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.position)
    }

    /// Rotation vector, rad, shape (3,).
    #[getter]
    fn rotation<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.rotation)
    }

    /// Rotation matrix, shape (3, 3); its columns are the part's axes.
    #[getter]
    fn matrix<'py>(&self, py: Python<'py>) -> Floats2<'py> {
        matrix_out(py, self.isometry.rotation.to_rotation_matrix().matrix())
    }

    /// Points of the part's own frame, (..., 3), in the frame around it, m, same shape.
    ///
    /// Raises InvalidValueError for a coordinate that is not finite.
    fn apply<'py>(&self, py: Python<'py>, points: Points<'py>) -> PyResult<GridFloats<'py>> {
        let placed = points.with(py, |points| pose::place(&self.isometry, points))??;
        Ok(grid_points_out(py, placed, points.grid()))
    }

    /// The pose that undoes this one.
    fn inverse(&self) -> PyResult<Self> {
        Ok(Self::of(&self.isometry.inverse())?)
    }

    fn __matmul__(&self, other: &Self) -> PyResult<Self> {
        Ok(Self::of(&(self.isometry * other.isometry))?)
    }

    pub(super) fn __repr__(&self) -> String {
        let (position, rotation) = (self.position.as_slice(), self.rotation.as_slice());
        format!("Pose(position={position:?}, rotation={rotation:?})")
    }
}
