//! Magnets.

use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::convert::{Floats1, Floats2, Mask, Points, Triple, fields_out, vector_out};
use super::pose::PyPose;
use crate::magnet::{Block, MagnetGroup};

/// A uniformly polarized rectangular magnet.
///
/// `size`: side lengths, m. `polarization`: T, in the block's own frame. `pose`: where it stands.
/// Inside the material B = mu0 H + J; on a face the limit from outside; on an edge there is no value.
#[pyclass(frozen, eq, module = "yokewright", name = "Block")]
#[derive(Clone, PartialEq)]
pub(super) struct PyBlock {
    pub(super) block: Block,
    pose: PyPose,
}

impl PyBlock {
    pub(super) fn of(block: &Block) -> crate::Result<Self> {
        let pose = PyPose::of(&block.pose())?;
        let block = Block::new(block.size(), block.polarization(), pose.isometry)?;
        Ok(Self { block, pose })
    }
}

#[pymethods]
impl PyBlock {
    #[new]
    #[pyo3(signature = (size, polarization, pose = None))]
    fn new(size: Triple, polarization: Triple, pose: Option<&Bound<'_, PyPose>>) -> PyResult<Self> {
        let pose = pose.map_or_else(PyPose::identity, |pose| pose.get().clone());
        let block = Block::new(size.vector(), polarization.vector(), pose.isometry)?;
        Ok(Self { block, pose })
    }

    /// Side lengths, m, shape (3,).
    #[getter]
    fn size<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.block.size())
    }

    /// Polarization in the block's own frame, T, shape (3,).
    #[getter]
    fn polarization<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.block.polarization())
    }

    /// Where the block stands.
    #[getter]
    fn pose(&self) -> PyPose {
        self.pose.clone()
    }

    /// The same block moved by a pose, applied after its present one.
    fn moved(&self, pose: &PyPose) -> PyResult<Self> {
        Ok(Self::of(&self.block.moved(&pose.isometry)?)?)
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    fn distance(&self, point: Triple) -> PyResult<f64> {
        Ok(self.block.distance(&point.point())?)
    }

    /// Flux density at one point (3,), T, shape (3,).
    ///
    /// Raises NoFieldError on an edge, InvalidValueError for a point that is not finite or beyond 1e6 m.
    fn field_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.block.field_at(&point.point())?))
    }

    /// Flux density at many points (N, 3): T, shape (N, 3), and a mask of the rows that have a value.
    ///
    /// Rows where field_at would raise are NaN and False. Releases the interpreter lock.
    fn fields_at<'py>(&self, py: Python<'py>, points: Points<'py>) -> (Floats2<'py>, Mask<'py>) {
        fields_out(py, points.with(py, |points| self.block.fields_at(points)))
    }

    pub(super) fn __repr__(&self) -> String {
        let (size, polarization) = (self.block.size(), self.block.polarization());
        format!(
            "Block(size={:?}, polarization={:?}, pose={})",
            size.as_slice(),
            polarization.as_slice(),
            self.pose.__repr__()
        )
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let named = PyDict::new(py);
        named.set_item("size", self.size(py))?;
        named.set_item("polarization", self.polarization(py))?;
        named.set_item("pose", self.pose())?;
        Ok(((), named))
    }
}

/// Magnets that act together; their fields add up.
#[pyclass(frozen, eq, module = "yokewright", name = "MagnetGroup")]
#[derive(Clone, PartialEq)]
pub(super) struct PyMagnetGroup {
    pub(super) group: MagnetGroup,
    magnets: Vec<PyBlock>,
}

impl PyMagnetGroup {
    fn from_magnets(magnets: Vec<PyBlock>) -> crate::Result<Self> {
        let group = MagnetGroup::new(magnets.iter().map(|magnet| magnet.block.clone()))?;
        Ok(Self { group, magnets })
    }

    pub(super) fn of(group: &MagnetGroup) -> crate::Result<Self> {
        let magnets = group.magnets().iter().map(|magnet| match magnet {
            crate::magnet::Magnet::Block(block) => PyBlock::of(block),
        });
        Self::from_magnets(magnets.collect::<crate::Result<_>>()?)
    }
}

#[pymethods]
impl PyMagnetGroup {
    #[new]
    fn new(magnets: Vec<Bound<'_, PyBlock>>) -> PyResult<Self> {
        Ok(Self::from_magnets(
            magnets.iter().map(|magnet| magnet.get().clone()).collect(),
        )?)
    }

    /// The magnets, in the order given.
    #[getter]
    fn magnets(&self) -> Vec<PyBlock> {
        self.magnets.clone()
    }

    /// The whole group moved by a pose.
    fn moved(&self, pose: &PyPose) -> PyResult<Self> {
        Ok(Self::of(&self.group.moved(&pose.isometry)?)?)
    }

    /// Flux density at one point (3,), T, shape (3,); raises as Block.field_at.
    fn field_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.group.field_at(&point.point())?))
    }

    /// Flux density at many points (N, 3): T, shape (N, 3), and a mask of the rows that have a value.
    fn fields_at<'py>(&self, py: Python<'py>, points: Points<'py>) -> (Floats2<'py>, Mask<'py>) {
        fields_out(py, points.with(py, |points| self.group.fields_at(points)))
    }

    fn __len__(&self) -> usize {
        self.magnets.len()
    }

    pub(super) fn __repr__(&self) -> String {
        let magnets: Vec<String> = self.magnets.iter().map(PyBlock::__repr__).collect();
        format!("MagnetGroup(magnets=[{}])", magnets.join(", "))
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((), Bound<'py, PyDict>)> {
        let named = PyDict::new(py);
        named.set_item("magnets", self.magnets())?;
        Ok(((), named))
    }
}
