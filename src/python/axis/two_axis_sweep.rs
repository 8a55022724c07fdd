//! A stick that was measured: its sweep of both axes, and the map out of it.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::axis::{TwoAxisCalibration, TwoAxisFormat, TwoAxisSweep};
use crate::python::axis::correction::{PyAngleResiduals, PyCorrectionMap};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::Rows;
use crate::python::gate::long::long;
use crate::units::DEG;

/// What both sensors of a built stick read where it was held: a sweep of both axes, as a grid, a spiral or anyhow.
///
/// angles: outer and inner angle of each row, (N, 2), rad. counts: readings of the sensors of the outer and the inner
/// axis there, (N, 2); means of several need not be whole. 8 to a million rows.
///
/// Examples
/// --------
/// >>> import numpy as np
/// >>> import yokewright as yw
/// >>> at = np.linspace(-0.3, 0.3, 7)
/// >>> angles = np.stack(np.meshgrid(at, at), axis=-1).reshape(-1, 2)
/// >>> counts = 2048 + 4000 * angles + 200 * angles[:, ::-1] * (1, -1)
/// >>> calibration = yw.axis.TwoAxisSweep(angles, counts).calibration("linear")
/// >>> print(f"{calibration.before.worst[0] / yw.deg:.2f} deg before")
/// 0.94 deg before
/// >>> calibration.held_back.worst[0] < 1e-12
/// True
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TwoAxisSweep")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyTwoAxisSweep {
    sweep: TwoAxisSweep,
    #[serde(skip)]
    columns: [Column; 2],
}

#[pymethods]
impl PyTwoAxisSweep {
    #[new]
    fn new(angles: Rows<'_, 2>, counts: Rows<'_, 2>, py: Python<'_>) -> PyResult<Self> {
        let (angles, counts) = (angles.to_vec(), counts.to_vec());
        Ok(Self {
            sweep: long(py, || TwoAxisSweep::new(angles, counts))??,
            columns: Default::default(),
        })
    }

    /// Reads the text of a CSV file: commas, semicolons or tabs, decimal points or commas. Every row has to hold all
    /// four numbers.
    ///
    /// bits: of the converter that gave the counts. angles, counts: headings of the columns of the outer and the inner
    /// axis. unit: of the angles, "deg" or "rad"; None as their headings say it.
    #[staticmethod]
    #[pyo3(signature = (text, *, bits, angles = None, counts = None, unit = None),
           text_signature = "(text, *, bits, angles=('outer_deg', 'inner_deg'), \
                             counts=('outer_counts', 'inner_counts'), unit=None)")]
    fn read(
        text: &str,
        bits: u32,
        angles: Option<(String, String)>,
        counts: Option<(String, String)>,
        unit: Option<&str>,
        py: Python<'_>,
    ) -> PyResult<Self> {
        let mut format = TwoAxisFormat::new(bits);
        format.angle_unit = unit.map(str::parse).transpose()?;
        if let Some(headings) = angles {
            format.angle_headings = headings.into();
        }
        if let Some(headings) = counts {
            format.count_headings = headings.into();
        }
        Ok(Self {
            sweep: long(py, || TwoAxisSweep::read(text, &format))??,
            columns: Default::default(),
        })
    }

    /// Outer and inner angle of each row, (N, 2), rad.
    #[getter]
    fn angles<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let rows = self.sweep.angles();
        self.columns[0].table(py, rows.as_flattened(), &[rows.len(), 2])
    }

    /// Readings of each row, (N, 2), counts.
    #[getter]
    fn counts<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        let rows = self.sweep.counts();
        self.columns[1].table(py, rows.as_flattened(), &[rows.len(), 2])
    }

    /// The map from both readings to both angles that is nearest by least squares, and what it leaves.
    ///
    /// terms: "linear" (1, a, b), "bilinear" (and a b) or "quadratic" (and a^2, b^2). held_back: share of the rows that
    /// the map does not see, 0 to 0.5, spread evenly, to judge it by.
    #[pyo3(signature = (terms = "bilinear", *, held_back = 0.2))]
    fn calibration(
        &self,
        terms: &str,
        held_back: f64,
        py: Python<'_>,
    ) -> PyResult<PyTwoAxisCalibration> {
        let terms = terms.parse()?;
        let done = long(py, || self.sweep.calibration(terms, held_back))??;
        Ok(PyTwoAxisCalibration(done))
    }

    fn __len__(&self) -> usize {
        self.sweep.angles().len()
    }

    fn __repr__(&self) -> String {
        format!("<TwoAxisSweep of {} rows>", self.__len__())
    }
}

/// A map fitted to a measured sweep of both axes, and what is left with it and without.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TwoAxisCalibration")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTwoAxisCalibration(TwoAxisCalibration);

attributes! {
    json impl PyTwoAxisCalibration {
        /// The map.
        map: PyCorrectionMap = |done| PyCorrectionMap::of(done.map.clone()),
        /// Over the rows that it was fitted to, with a straight line for each axis by its own reading alone.
        before: PyAngleResiduals = |done| PyAngleResiduals(done.before),
        /// Over the same rows, with the map.
        after: PyAngleResiduals = |done| PyAngleResiduals(done.after),
        /// Over the rows that were held back, with the map; None if there are none.
        held_back: Option<PyAngleResiduals> = |done| done.held_back.map(PyAngleResiduals),
        /// How many rows the map was fitted to.
        fitted_rows: usize,
        /// How many were held back.
        held_back_rows: usize,
        /// Gain of each reading over the sweep, counts/rad, positive: what turns an angle into counts.
        counts_per_radian: (f64, f64) = |done| done.counts_per_radian.into(),
    }

    fn __repr__(&self) -> String {
        let left = self.0.held_back.unwrap_or(self.0.after);
        let [outer, inner] = left.worst.map(|angle| angle / DEG);
        format!("<TwoAxisCalibration leaves outer {outer:.4}, inner {inner:.4} deg at worst>")
    }
}
