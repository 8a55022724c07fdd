//! Bench sweeps: their rows, their doubts, what there and back differ.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::axis::{
    BenchFormat, BenchLog, BenchSweep, CalibrationForm, CalibrationSpec, DoubtReason, Hysteresis,
    KnotPlacement, RowDoubt, SweepDirection,
};
use crate::python::axis::bench::calibration::PyCalibration;
use crate::python::axis::bench::curve::bits_of;
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{Count, Floats1, Mask, Numbers, from_json, to_json};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Many;
use crate::units::DEG;

/// A doubtful row of a bench sweep.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "RowDoubt")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyRowDoubt(RowDoubt);

attributes! {
    impl PyRowDoubt {
        /// Line of the text, from 1; of arrays the row, from 1.
        line: u64,
        /// "missing", "not a number", "impossible", "stuck", "clipped", "duplicate" or "outlier".
        reason: String = |doubt| doubt.reason.to_string(),
        /// What about it, in words, with its figures.
        detail: String = |doubt| doubt.detail.clone(),
    }

    fn __repr__(&self) -> String {
        format!("<RowDoubt {}>", self.0)
    }
}

/// A bench sweep as it was read: every row, and every doubt with line and reason. Nothing is left out before `sweep` is
/// asked to, and nothing is mended.
///
/// Doubted are: a missing cell, text in a number, a count beyond the converter or an angle beyond a turn; a count that
/// stands still where the mean gain would have given 8 counts (and 1 % of the range) more, at an end of the range
/// (clipped) or within (stuck); a row that says the row before once more; an outlier, farther than six standard
/// deviations from what the rows around tell, and alone with it.
///
/// >>> import yokewright as yw
/// >>> log = yw.axis.BenchLog.read("angle_deg;count\n-10,0;512\n0,0;2048\n0,5;oops\n10,0;3580\n", bits=12)
/// >>> print(log.doubts[0])
/// <RowDoubt line 4: not a number: count 'oops'>
/// >>> log.sweep(leave_out=["not a number"]).count
/// array([ 512., 2048., 3580.])
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BenchLog")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBenchLog(BenchLog);

#[pymethods]
impl PyBenchLog {
    /// Of two lists, angles (rad) and counts, in the order in which they were taken; NaN stands for a missing value.
    #[new]
    #[pyo3(signature = (angle, count, *, bits))]
    fn new(angle: Numbers<'_>, count: Numbers<'_>, bits: Count, py: Python<'_>) -> PyResult<Self> {
        let bits = bits_of(&bits)?;
        let count = count.to_vec();
        let log = angle.with(py, |angle| BenchLog::of(angle, &count, bits))??;
        Ok(Self(log))
    }

    /// From the text of a CSV file: cells separated by commas, semicolons or tabs, with or without a first line of
    /// headings, with decimal points, or decimal commas where commas do not separate the cells.
    ///
    /// angle_unit: "deg" or "rad"; if not given, as the heading says it. angle_heading, count_heading: of the columns;
    /// if not given, those with a word such as angle, position, count, code or adc, or the first and the second of two.
    #[staticmethod]
    #[pyo3(signature = (text, *, bits, angle_unit = None, angle_heading = None, count_heading = None))]
    fn read(
        text: &str,
        bits: Count,
        angle_unit: Option<&str>,
        angle_heading: Option<String>,
        count_heading: Option<String>,
        py: Python<'_>,
    ) -> PyResult<Self> {
        let format = BenchFormat {
            bits: bits_of(&bits)?,
            angle_unit: angle_unit.map(str::parse).transpose()?,
            angle_heading,
            count_heading,
        };
        Ok(Self(long(py, || BenchLog::read(text, &format))??))
    }

    /// Bits of the converter.
    #[getter]
    fn bits(&self) -> u32 {
        self.0.bits()
    }

    /// Every doubt, by line.
    #[getter]
    fn doubts<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.0.doubts().iter().cloned().map(PyRowDoubt))
    }

    /// Line of each row, from 1.
    #[getter]
    fn line<'py>(&self, py: Python<'py>) -> Bound<'py, numpy::PyArray1<u64>> {
        let lines: Vec<u64> = self.0.rows().iter().map(|row| row.line).collect();
        lines.into_pyarray(py)
    }

    /// Angle of each row, rad; NaN where there is no number.
    #[getter]
    fn angle<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        let rows = self.0.rows().iter();
        let angles: Vec<f64> = rows.map(|row| row.angle.unwrap_or(f64::NAN)).collect();
        angles.into_pyarray(py)
    }

    /// Count of each row; NaN where there is no number.
    #[getter]
    fn count<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        let rows = self.0.rows().iter();
        let counts: Vec<f64> = rows.map(|row| row.count.unwrap_or(f64::NAN)).collect();
        counts.into_pyarray(py)
    }

    /// The rows as a BenchSweep, without those doubted for a reason in leave_out, such as ["missing", "outlier"].
    #[pyo3(signature = (*, leave_out = Many::none()))]
    fn sweep(&self, leave_out: Many<String>, py: Python<'_>) -> PyResult<PyBenchSweep> {
        let reasons = leave_out.iter().map(|word| word.parse::<DoubtReason>());
        let reasons = reasons.collect::<crate::Result<Vec<DoubtReason>>>()?;
        PyBenchSweep::of(long(py, || self.0.sweep(&reasons))??)
    }

    fn __repr__(&self) -> String {
        let (rows, doubts) = (self.0.rows().len(), self.0.doubts().len());
        format!("<BenchLog of {rows} rows, {doubts} doubts>")
    }
}

/// How far the readings of the way back are from those of the way there, at the same angle; positive where they lag.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Hysteresis")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyHysteresis(Hysteresis);

attributes! {
    impl PyHysteresis {
        /// Mean over the common travel, counts.
        mean: f64,
        /// The same as an angle of the control, rad, by the mean gain.
        mean_angle: f64,
        /// Greatest of a stretch, whichever its sign, counts.
        greatest: f64,
        /// The same as an angle of the control, rad.
        greatest_angle: f64,
        /// Middle of that stretch, rad.
        at: f64,
    }

    fn __repr__(&self) -> String {
        let angle = self.0.mean_angle / DEG;
        format!("<Hysteresis mean {:.2} counts, {angle:.4} deg>", self.0.mean)
    }
}

/// A sweep measured on the bench: angles (rad) and counts of a converter of so many bits, in the order in which they
/// were taken, one way, there and back, or many times.
///
/// >>> import numpy as np
/// >>> import yokewright as yw
/// >>> angle = np.linspace(-10, 10, 201) * yw.deg
/// >>> sweep = yw.axis.BenchSweep(angle, np.round(2048 + 1900 * np.sin(6 * angle)), bits=12)
/// >>> calibration = sweep.calibrate_table(9)
/// >>> calibration.after.greatest < 0.1 * calibration.before.greatest
/// True
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BenchSweep")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub(in crate::python) struct PyBenchSweep {
    pub(in crate::python) sweep: BenchSweep,
    #[serde(skip)]
    angle: Column,
    #[serde(skip)]
    count: Column,
}

impl PyBenchSweep {
    fn of(sweep: BenchSweep) -> PyResult<Self> {
        Ok(Self {
            sweep,
            angle: Column::default(),
            count: Column::default(),
        })
    }

    fn calibrated(
        &self,
        py: Python<'_>,
        form: CalibrationForm,
        robust: bool,
        held_back: f64,
    ) -> PyResult<PyCalibration> {
        let spec = CalibrationSpec {
            form,
            robust,
            held_back,
        };
        Ok(PyCalibration(long(py, || self.sweep.calibrate(&spec))??))
    }
}

#[pymethods]
impl PyBenchSweep {
    #[new]
    #[pyo3(signature = (angle, count, *, bits))]
    fn new(angle: Numbers<'_>, count: Numbers<'_>, bits: Count, py: Python<'_>) -> PyResult<Self> {
        let bits = bits_of(&bits)?;
        let (angle, count) = (angle.to_vec(), count.to_vec());
        Self::of(long(py, || BenchSweep::new(bits, angle, count))??)
    }

    /// Bits of the converter.
    #[getter]
    fn bits(&self) -> u32 {
        self.sweep.bits()
    }

    /// Angles, rad, in the order of the rows.
    #[getter]
    fn angle<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.angle.view(py, self.sweep.angle())
    }

    /// Counts, in the order of the rows.
    #[getter]
    fn count<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.count.view(py, self.sweep.count())
    }

    /// Whether each row was taken on the way to greater angles.
    #[getter]
    fn rising<'py>(&self, py: Python<'py>) -> Mask<'py> {
        let ways = self.sweep.direction().into_iter();
        let rising: Vec<bool> = ways.map(|way| way == SweepDirection::Rising).collect();
        rising.into_pyarray(py)
    }

    /// Number of rows.
    #[getter]
    fn rows(&self) -> usize {
        self.sweep.rows()
    }

    /// How often the control went from one side to the other.
    #[getter]
    fn passes(&self) -> usize {
        self.sweep.passes()
    }

    /// Least and greatest angle, rad.
    #[getter]
    fn angle_range(&self) -> (f64, f64) {
        self.sweep.angle_range().into()
    }

    /// Least and greatest count.
    #[getter]
    fn count_range(&self) -> (f64, f64) {
        self.sweep.count_range().into()
    }

    /// Noise of one reading, counts rms, as each row departs from those around it; None of fewer than 12 rows.
    #[getter]
    fn noise(&self) -> Option<f64> {
        self.sweep.noise()
    }

    /// What the readings of there and back differ; None if the control went one way only.
    #[getter]
    fn hysteresis(&self, py: Python<'_>) -> PyResult<Option<PyHysteresis>> {
        Ok(long(py, || self.sweep.hysteresis())??.map(PyHysteresis))
    }

    /// The calibration straight between so many knots (2 to 257), placed for the "least error" or "even" over the
    /// counts. robust: outliers count with their size, not its square; held_back: share of the rows kept to judge it.
    #[pyo3(signature = (knots, *, placement = "least error", robust = true, held_back = 0.2))]
    fn calibrate_table(
        &self,
        knots: Count,
        placement: &str,
        robust: bool,
        held_back: f64,
        py: Python<'_>,
    ) -> PyResult<PyCalibration> {
        let placement: KnotPlacement = placement.parse()?;
        let form = CalibrationForm::Table {
            knots: knots.0,
            placement,
        };
        self.calibrated(py, form, robust, held_back)
    }

    /// The calibration by monotone cubics between so many knots (2 to 257), evenly spaced over the counts.
    #[pyo3(signature = (knots, *, robust = true, held_back = 0.2))]
    fn calibrate_cubic(
        &self,
        knots: Count,
        robust: bool,
        held_back: f64,
        py: Python<'_>,
    ) -> PyResult<PyCalibration> {
        let form = CalibrationForm::MonotoneCubic { knots: knots.0 };
        self.calibrated(py, form, robust, held_back)
    }

    /// The calibration by a polynomial of a degree, 1 to 15.
    #[pyo3(signature = (degree, *, robust = true, held_back = 0.2))]
    fn calibrate_polynomial(
        &self,
        degree: Count,
        robust: bool,
        held_back: f64,
        py: Python<'_>,
    ) -> PyResult<PyCalibration> {
        let form = CalibrationForm::Polynomial { degree: degree.0 };
        self.calibrated(py, form, robust, held_back)
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        Self::of(from_json(text)?)
    }

    /// Every row as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.sweep)
    }

    fn __repr__(&self) -> String {
        let [lower, upper] = self.sweep.angle_range().map(|angle| angle / DEG);
        let [least, most] = self.sweep.count_range();
        let rows = self.sweep.rows();
        format!(
            "<BenchSweep of {rows} rows, {lower:.1} to {upper:.1} deg, {least} to {most} counts>"
        )
    }
}
