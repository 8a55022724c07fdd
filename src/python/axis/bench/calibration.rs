//! Calibrations: curves, what they leave, what points are worth.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::axis::{Calibration, CalibrationForm, CalibrationResiduals, FirmwareSpec, PointsWorth};
use crate::python::axis::bench::curve::PyCalibrationCurve;
use crate::python::axis::bench::firmware::{PyFirmware, spec_of};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, from_json, to_json};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::units::DEG;

/// Departures of the positions that a calibration tells from the angles that were measured.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CalibrationResiduals")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCalibrationResiduals(CalibrationResiduals);

attributes! {
    impl PyCalibrationResiduals {
        /// Number of rows.
        rows: usize,
        /// Root mean square, rad.
        rms: f64,
        /// Mean of position less angle, rad.
        mean: f64,
        /// Greatest, without its sign, rad.
        greatest: f64,
        /// Angle of the row with the greatest, rad.
        at: f64,
        /// The root mean square as a part of the travel of the sweep.
        rms_share: f64,
        /// The greatest as a part of the travel of the sweep.
        greatest_share: f64,
    }

    fn __repr__(&self) -> String {
        let (rms, greatest) = (self.0.rms / DEG, self.0.greatest / DEG);
        format!("<CalibrationResiduals rms {rms:.4} deg, greatest {greatest:.4} deg>")
    }
}

/// What a calibration of so many points leaves, straight between them, of a curve without noise.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "PointsWorth")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyPointsWorth(PointsWorth);

attributes! {
    impl PyPointsWorth {
        /// Number of points.
        points: usize,
        /// Greatest error with the points at evenly spaced angles, rad.
        even: f64,
        /// The same as a part of the travel.
        even_share: f64,
        /// Independent linearity (IEC 61298-2) of the position with those points, as a part of its span.
        even_linearity: f64,
        /// Greatest error with the points where it becomes least, rad.
        placed: f64,
        /// The same as a part of the travel.
        placed_share: f64,
    }

    fn __repr__(&self) -> String {
        let (even, placed) = (self.0.even / DEG, self.0.placed / DEG);
        format!("<PointsWorth {}: even {even:.4} deg, placed {placed:.4} deg>", self.0.points)
    }
}

/// A calibration: the curve from count to position, and what it leaves of the errors of the sweep.
///
/// A polynomial is fitted to the rows; a cubic goes through the values of parabolas fitted about its knots; a table
/// stands for such a cubic of up to 33 knots, its own where its greatest error becomes least. Rows of there and back
/// are fitted together: half the hysteresis is in every residual.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Calibration")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyCalibration(pub(in crate::python) Calibration);

attributes! {
    impl PyCalibration {
        /// "polynomial", "table" or "monotone cubic".
        form: &'static str = |calibration| match calibration.spec().form {
            CalibrationForm::Polynomial { .. } => "polynomial",
            CalibrationForm::Table { .. } => "table",
            CalibrationForm::MonotoneCubic { .. } => "monotone cubic",
        },
        /// Bits of the converter.
        bits(): u32,
        /// Least and greatest angle of the sweep, rad.
        travel: (f64, f64) = |calibration| calibration.travel().into(),
        /// The position by the count.
        curve: PyCalibrationCurve = |calibration| PyCalibrationCurve(calibration.curve().clone()),
        /// The cubic that stands for the readings, of which a table is made.
        reference: PyCalibrationCurve = |calibration| PyCalibrationCurve(calibration.reference().clone()),
        /// How far a table departs from reference at most, rad; None of another form.
        table_error(): Option<f64>,
        /// What no table of so many knots is below, rad; None unless they were placed for the least error.
        table_bound(): Option<f64>,
        /// What a straight line from the least to the greatest count leaves: a firmware that knows the ends only.
        before: PyCalibrationResiduals = |calibration| PyCalibrationResiduals(*calibration.before()),
        /// What the calibration leaves of the rows that were fitted.
        after: PyCalibrationResiduals = |calibration| PyCalibrationResiduals(*calibration.after()),
        /// What it leaves of those that were held back; None if none were.
        held_back: Option<PyCalibrationResiduals> = |calibration| {
            calibration.held_back().copied().map(PyCalibrationResiduals)
        },
    }

    /// What calibrations of so many points would leave, straight between them: which number is worth taking.
    #[pyo3(signature = (points = None))]
    fn points_worth<'py>(
        &self,
        points: Option<Many<Count>>,
        py: Python<'py>,
    ) -> PyResult<Bound<'py, PyTuple>> {
        let points = points.map_or_else(
            || vec![2, 3, 5, 9, 17],
            |points| points.into_iter().map(|number| number.0).collect(),
        );
        let worth = long(py, || self.0.points_worth(&points))??;
        PyTuple::new(py, worth.into_iter().map(PyPointsWorth))
    }

    /// The curve as constants for a microcontroller; see Firmware. ends: those of the travel if not given.
    #[pyo3(signature = (name, *, knots = None, output_bits = None, center = 0.0, ends = None, dead_zone = 0.0,
                        end_zone = 0.0))]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn firmware(
        &self,
        name: String,
        knots: Option<Count>,
        output_bits: Option<Count>,
        center: f64,
        ends: Option<Few<2>>,
        dead_zone: f64,
        end_zone: f64,
        py: Python<'_>,
    ) -> PyResult<PyFirmware> {
        let ends = ends.map_or(self.0.travel(), Into::into);
        let spec = spec_of(FirmwareSpec::new(name, ends), knots, output_bits)?;
        let spec = FirmwareSpec {
            center,
            dead_zone,
            end_zone,
            ..spec
        };
        Ok(PyFirmware(long(py, || self.0.firmware(spec))??))
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Curve and figures as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    fn __repr__(&self) -> String {
        let [before, after] = [self.0.before(), self.0.after()].map(|one| one.greatest / DEG);
        format!("<Calibration by {}: {before:.3} -> {after:.3} deg>", self.form())
    }
}
