//! What every source of field can do, once for magnets, groups and magnets over a plate.

use pyo3::prelude::*;

use crate::magnet::{AnySource, FieldColumns, FieldSource};
use crate::python::gate::convert::{
    Floats1, Floats2, GridFloats, GridMask, Points, Triple, fields_out, gradients_out, matrix_out,
    vector_out,
};
use crate::python::gate::errors::InvalidTypeError;
use crate::python::gate::out::Given;

/// Whatever has a flux density: a Magnet, a MagnetGroup or MagnetsOverPlate.
///
/// Inside the material B = mu0 H + J; on a face the limit from outside; on an edge there is no value, nor inside a
/// steel plate. Calls for one point (3,) raise NoFieldError there, and InvalidValueError for a point that is not
/// finite or beyond 1e6 m. Calls for many points (..., 3) give values and a mask (...) of the points that have one;
/// the others are NaN and False. They release the interpreter lock.
#[pyclass(frozen, subclass, module = "yokewright.magnet", name = "FieldSource")]
pub(in crate::python) struct PyFieldSource {
    pub(in crate::python) source: AnySource,
}

#[pymethods]
impl PyFieldSource {
    /// Distance of a point from the nearest surface, m: positive outside, negative inside a magnet or behind the face
    /// of a plate.
    fn distance(&self, point: Triple) -> PyResult<f64> {
        Ok(self.source.distance(&point.point())?)
    }

    /// Flux density at one point (3,), T, shape (3,).
    fn field_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.source.field_at(&point.point())?))
    }

    /// Flux density at many points (..., 3): T, same shape, and a mask (...).
    ///
    /// out: arrays to be filled instead of new ones: (fields (..., 3), valid (...)), None in place of a mask that is
    /// not wanted; it is given back. A call that is interrupted leaves them filled in part.
    #[pyo3(signature = (points, *, out = None))]
    fn fields_at<'py>(
        &self,
        py: Python<'py>,
        points: Points<'py>,
        out: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let Some(out) = out else {
            let fields = points.with(py, |points| self.source.fields_at(points))?;
            let both = fields_out(py, fields, points.grid());
            return Ok(both.into_pyobject(py)?.into_any());
        };
        let mut given = Given::of(&out, ["fields"], points.grid(), &[3])?;
        let ([Some(flat)], valid) = given.columns()? else {
            let text = "out: fields cannot be None: nothing else is worked out";
            return Err(InvalidTypeError::new_err(text));
        };
        let columns = FieldColumns {
            values: bytemuck::cast_slice_mut(flat),
            valid,
        };
        points.with(py, |points| self.source.fields_into(points, columns))??;
        Ok(out)
    }

    /// Gradient tensor at one point (3,): G[i, j] = dB_i / dx_j, T/m, shape (3, 3).
    fn gradient_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats2<'py>> {
        Ok(matrix_out(py, &self.source.gradient_at(&point.point())?))
    }

    /// Gradient tensors at many points (..., 3): T/m, shape (..., 3, 3), and a mask (...).
    fn gradients_at<'py>(
        &self,
        py: Python<'py>,
        points: Points<'py>,
    ) -> PyResult<(GridFloats<'py>, GridMask<'py>)> {
        let gradients = points.with(py, |points| self.source.gradients_at(points))?;
        Ok(gradients_out(py, gradients, points.grid()))
    }

    /// Field strength H at one point (3,), A/m, shape (3,): B = mu0 H + J.
    fn h_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats1<'py>> {
        Ok(vector_out(py, &self.source.h_at(&point.point())?))
    }

    /// Field strength H at many points (..., 3): A/m, same shape, and a mask (...).
    fn hs_at<'py>(
        &self,
        py: Python<'py>,
        points: Points<'py>,
    ) -> PyResult<(GridFloats<'py>, GridMask<'py>)> {
        let strengths = points.with(py, |points| self.source.hs_at(points))?;
        Ok(fields_out(py, strengths, points.grid()))
    }

    /// Polarization J at one point (3,), in the frame of the query, T, shape (3,): zero outside.
    fn polarization_at<'py>(&self, py: Python<'py>, point: Triple) -> PyResult<Floats1<'py>> {
        Ok(vector_out(
            py,
            &self.source.polarization_at(&point.point())?,
        ))
    }

    /// Polarization J at many points (..., 3): T, same shape, and a mask (...).
    fn polarizations_at<'py>(
        &self,
        py: Python<'py>,
        points: Points<'py>,
    ) -> PyResult<(GridFloats<'py>, GridMask<'py>)> {
        let polarizations = points.with(py, |points| self.source.polarizations_at(points))?;
        Ok(fields_out(py, polarizations, points.grid()))
    }
}
