//! The curve of a calibration, and what all about the bench share.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::CalibrationCurve;
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Floats1, Mask, Numbers, Rows};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::sequence::Few;

/// Bits of a converter.
pub(super) fn bits_of(bits: &Count) -> PyResult<u32> {
    u32::try_from(bits.0)
        .map_err(|_| InvalidValueError::new_err(format!("no converter has {} bits", bits.0)))
}

/// The position that a count stands for, held beyond the ends of its counts. Made by `table`, `monotone_cubic` or
/// `polynomial`, or by a calibration.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CalibrationCurve")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCalibrationCurve(pub(in crate::python) CalibrationCurve);

attributes! {
    impl PyCalibrationCurve {
        /// Least and greatest count that it was made of.
        counts: (f64, f64) = |curve| curve.counts().into(),
        /// Least and greatest position, rad.
        positions_range: (f64, f64) = |curve| curve.positions_range().into(),
        /// Points of a table or a cubic, count and position (rad); None of a polynomial.
        points: Option<Vec<(f64, f64)>> = |curve| {
            curve.points().map(|points| points.iter().map(|point| (*point).into()).collect())
        },
        /// Chebyshev coefficients of a polynomial, rad; None of another curve.
        coefficients: Option<Vec<f64>> = |curve| curve.coefficients().map(<[f64]>::to_vec),
    }

    /// Straight lines between points of count and position (rad), (N, 2), 2 to 1025 of them.
    #[staticmethod]
    fn table(points: Rows<'_, 2>) -> PyResult<Self> {
        Ok(Self(CalibrationCurve::table(&points.to_vec())?))
    }

    /// Monotone cubics through points of count and position (rad), (N, 2), 2 to 1025 of them.
    #[staticmethod]
    fn monotone_cubic(points: Rows<'_, 2>) -> PyResult<Self> {
        Ok(Self(CalibrationCurve::monotone_cubic(&points.to_vec())?))
    }

    /// A polynomial by its Chebyshev coefficients, rad, over counts from the first to the second.
    #[staticmethod]
    fn polynomial(counts: Few<2>, coefficients: Numbers<'_>) -> PyResult<Self> {
        let coefficients = coefficients.to_vec();
        Ok(Self(CalibrationCurve::polynomial(counts.into(), coefficients)?))
    }

    /// Position of a count, rad.
    fn position(&self, count: f64) -> PyResult<f64> {
        Ok(self.0.position(count)?)
    }

    /// Positions of many counts, rad, and which have one: (values, valid).
    fn positions<'py>(
        &self,
        counts: Numbers<'_>,
        py: Python<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let (values, valid) = counts.with(py, |counts| self.0.positions(counts))?;
        Ok((values.into_pyarray(py), valid.into_pyarray(py)))
    }

    fn __repr__(&self) -> String {
        let [least, most] = self.0.counts();
        format!("<CalibrationCurve of counts {least:.1} to {most:.1}>")
    }
}
