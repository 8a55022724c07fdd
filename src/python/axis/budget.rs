//! Error budgets, and controls side by side.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use serde::{Deserialize, Serialize};

use crate::axis::{
    self, CalibrationMethod, ComparedAxis, ComparedFigures, Comparison, ErrorBudget,
    ErrorBudgetSpec, ErrorCause, ErrorContribution,
};
use crate::error::Error;
use crate::python::axis::control::{PyAxis, PyAxisFigures};
use crate::python::gate::convert::{Count, from_json, to_json};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::units::DEG;

/// How readings are turned into positions: a word, or the number of points of a table.
pub(in crate::python) struct AskedCalibration(pub(in crate::python) CalibrationMethod);

impl FromPyObject<'_, '_> for AskedCalibration {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(word) = value.extract::<String>() {
            let word = Error::choose("calibration", &word, &["none", "two-point"])?;
            return Ok(Self(match word {
                "none" => CalibrationMethod::None,
                _ => CalibrationMethod::TwoPoint,
            }));
        }
        let points = value.extract::<Count>()?.0;
        Ok(Self(CalibrationMethod::Table { points }))
    }
}

#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
fn spec_of(
    celsius: Option<Few<2>>,
    supply_tolerance: f64,
    ratiometric_sensor: bool,
    ratiometric_converter: bool,
    control_backlash: f64,
    pivot_backlash: f64,
    friction_band: f64,
    crosstalk: f64,
    calibration: &AskedCalibration,
) -> ErrorBudgetSpec {
    ErrorBudgetSpec {
        celsius: celsius.map(Into::into),
        supply_tolerance,
        ratiometric_sensor,
        ratiometric_converter,
        control_backlash,
        pivot_backlash,
        friction_band,
        crosstalk,
        calibration: calibration.0,
    }
}

/// One line of an ErrorBudget.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ErrorContribution")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyErrorContribution(ErrorContribution);

#[pymethods]
impl PyErrorContribution {
    /// What makes it.
    #[getter]
    fn cause(&self) -> String {
        self.0.cause.to_string()
    }

    /// "normal", "rectangular" or "two-point": how it is taken to be distributed.
    #[getter]
    fn distribution(&self) -> String {
        self.0.distribution().to_string()
    }

    /// Greatest departure of the position over the throw, rad; of noise, three standard deviations.
    #[getter]
    fn angle(&self) -> f64 {
        self.0.angle
    }

    /// Its standard deviation by that distribution, rad.
    #[getter]
    fn standard_deviation(&self) -> f64 {
        self.0.standard_deviation
    }

    /// The greatest departure as a share of the throw, from end to end.
    #[getter]
    fn share(&self) -> f64 {
        self.0.share
    }

    /// The greatest departure in counts, at the mean gain over the throw.
    #[getter]
    fn counts(&self) -> f64 {
        self.0.counts
    }

    /// What helps against it.
    #[getter]
    fn remedy(&self) -> &'static str {
        self.0.remedy()
    }

    fn __repr__(&self) -> String {
        let angle = self.0.angle / DEG;
        format!("<ErrorContribution {}: {angle:.4} deg>", self.0.cause)
    }
}

/// How far the position that a calibrated reading tells may be from the control's, by cause; print() shows all lines.
///
/// Every line is the greatest departure over the throw, as an angle of the control: half a step of quantization, three
/// times the rms noise, the departure of the characteristic through the calibration, the change of the position told
/// when cold, hot or with another supply, half of play and of friction band, the whole crosstalk, the limits of
/// converter and potentiometer. Spread of parts is none of it: a calibration meets it.
///
/// For the root sum square each becomes a standard deviation: greatest / sqrt(3) of an error anywhere between its
/// limits, the greatest itself of backlash, the rms of noise. Twice the root sum square covers about 95 % if no line
/// rules. The worst case is the plain sum of the greatest.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ErrorBudget")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyErrorBudget(pub(in crate::python) ErrorBudget);

#[pymethods]
impl PyErrorBudget {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// A line for every cause, those of zero too.
    #[getter]
    fn contributions<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let lines = self.0.contributions().iter();
        PyTuple::new(py, lines.map(|line| PyErrorContribution(*line)))
    }

    /// The line of a cause, such as "quantization".
    fn of(&self, cause: &str) -> PyResult<PyErrorContribution> {
        let cause: ErrorCause = cause.parse()?;
        Ok(PyErrorContribution(*self.0.of(cause)))
    }

    /// The line with the greatest standard deviation: what to mend first.
    #[getter]
    fn largest(&self) -> PyErrorContribution {
        PyErrorContribution(*self.0.largest())
    }

    /// Root sum square of the standard deviations, rad: the standard deviation of the position.
    #[getter]
    fn root_sum_square(&self) -> f64 {
        self.0.root_sum_square()
    }

    /// Sum of the greatest departures, rad.
    #[getter]
    fn worst_case(&self) -> f64 {
        self.0.worst_case()
    }

    /// Greatest departure at the coldest and the hottest temperature, rad, with all drifts together as they add up or
    /// make up for one another. The sums take the lines.
    #[getter]
    fn drift(&self) -> f64 {
        self.0.drift()
    }

    /// The throw from end to end, rad.
    #[getter]
    fn travel(&self) -> f64 {
        self.0.travel()
    }

    /// An angle (rad) as a share of the throw.
    fn share_of_travel(&self, angle: f64) -> f64 {
        self.0.share_of_travel(angle)
    }

    /// An angle (rad) in counts at the mean gain over the throw.
    fn in_counts(&self, angle: f64) -> f64 {
        self.0.in_counts(angle)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "<ErrorBudget root sum square {:.4} deg, worst case {:.4} deg, largest: {}>",
            self.0.root_sum_square() / DEG,
            self.0.worst_case() / DEG,
            self.0.largest().cause
        )
    }
}

/// What the errors of the position that an axis tells add up to.
///
/// celsius: coldest and hottest temperature in use, degC; the calibration is made where the axis stands.
/// supply_tolerance: most by which the supply may be off after it, as a share. ratiometric_sensor,
/// ratiometric_converter: whether output and reference follow the supply; a potentiometer's output does in any case.
/// control_backlash, pivot_backlash: lost motion, all of it, rad, at the control and at the sensor's pivot.
/// friction_band: all of the width of the band in which friction lets the control rest, rad. crosstalk: change of this
/// reading over the other axis's whole travel, counts. calibration: "none" (by the design, through the center),
/// "two-point" (through both ends) or a number of points of a table, 2 to 1025.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> pot = yw.hall.Potentiometer(travel=300 * yw.deg, supply=5.0, linearity=0.01)
/// >>> axis = yw.axis.Axis(
/// ...     throw=(-20 * yw.deg, 20 * yw.deg),
/// ...     sensor=pot,
/// ...     converter=yw.hall.Converter(bits=12, reference=5.0),
/// ... )
/// >>> budget = yw.axis.error_budget(axis, control_backlash=0.2 * yw.deg)
/// >>> budget.largest.cause
/// 'potentiometer linearity'
/// >>> print(f"{budget.worst_case / yw.deg:.2f} deg")
/// 3.14 deg
#[pyfunction]
#[pyo3(signature = (axis, *, celsius = None, supply_tolerance = 0.0, ratiometric_sensor = true,
                    ratiometric_converter = true, control_backlash = 0.0, pivot_backlash = 0.0, friction_band = 0.0,
                    crosstalk = 0.0, calibration = AskedCalibration(CalibrationMethod::TwoPoint)),
       text_signature = "(axis, *, celsius=None, supply_tolerance=0.0, ratiometric_sensor=True, \
                         ratiometric_converter=True, control_backlash=0.0, pivot_backlash=0.0, friction_band=0.0, \
                         crosstalk=0.0, calibration='two-point')")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
#[expect(clippy::needless_pass_by_value, reason = "an argument from Python")]
pub(in crate::python) fn error_budget(
    py: Python<'_>,
    axis: &PyAxis,
    celsius: Option<Few<2>>,
    supply_tolerance: f64,
    ratiometric_sensor: bool,
    ratiometric_converter: bool,
    control_backlash: f64,
    pivot_backlash: f64,
    friction_band: f64,
    crosstalk: f64,
    calibration: AskedCalibration,
) -> PyResult<PyErrorBudget> {
    let spec = spec_of(
        celsius,
        supply_tolerance,
        ratiometric_sensor,
        ratiometric_converter,
        control_backlash,
        pivot_backlash,
        friction_band,
        crosstalk,
        &calibration,
    );
    let axis = axis.axis();
    Ok(PyErrorBudget(long(py, || axis.error_budget(&spec))??))
}

/// What a Comparison says of one control. None where its reading tells no position.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ComparedFigures")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyComparedFigures(ComparedFigures);

#[pymethods]
impl PyComparedFigures {
    /// What it is called.
    #[getter]
    fn name(&self) -> String {
        self.0.name.clone()
    }

    /// Its figures over the throw.
    #[getter]
    fn figures(&self) -> PyAxisFigures {
        PyAxisFigures(self.0.figures.clone())
    }

    /// Greatest departure of the position read by the design alone, through the center with the gain there, as a share
    /// of the throw.
    #[getter]
    fn departure_uncalibrated(&self) -> Option<f64> {
        self.0.departure_uncalibrated
    }

    /// The same with the calibration that was asked for.
    #[getter]
    fn departure_calibrated(&self) -> Option<f64> {
        self.0.departure_calibrated
    }

    /// Its errors.
    #[getter]
    fn budget(&self) -> Option<PyErrorBudget> {
        self.0.budget.clone().map(PyErrorBudget)
    }

    /// Change of its reading over the whole travel of the other axis, counts, if it was given.
    #[getter]
    fn crosstalk(&self) -> Option<f64> {
        self.0.crosstalk
    }

    /// What it costs, if that was given.
    #[getter]
    fn price(&self) -> Option<f64> {
        self.0.price
    }

    fn __repr__(&self) -> String {
        format!("<ComparedFigures of {:?}>", self.0.name)
    }
}

/// Controls side by side, in the order given; print() shows the table, a column for each.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Comparison")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyComparison(pub(in crate::python) Comparison);

#[pymethods]
impl PyComparison {
    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// Every figure as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    /// What is said of each, in the order given.
    #[getter]
    fn controls<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let controls = self.0.controls().iter();
        PyTuple::new(py, controls.map(|one| PyComparedFigures(one.clone())))
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<Comparison of {}>", self.0.controls().len())
    }
}

/// Figures by the names of the controls, each of which must be one of them.
fn by_name(
    what: &'static str,
    figures: Option<&Bound<'_, PyDict>>,
    controls: &mut [ComparedAxis],
    set: impl Fn(&mut ComparedAxis, f64),
) -> PyResult<()> {
    for (name, figure) in figures.into_iter().flatten() {
        let name: String = name.extract()?;
        let figure: f64 = figure.extract()?;
        match controls.iter_mut().find(|control| control.name == name) {
            Some(control) => set(control, figure),
            None => {
                let names: Vec<&str> = controls.iter().map(|one| one.name.as_str()).collect();
                return Err(Error::NotAChoice {
                    quantity: what,
                    given: name,
                    choices: names.join(", "),
                }
                .into());
            }
        }
    }
    Ok(())
}

/// Sets controls side by side: counts, steps, departures, drift, errors, crosstalk and price of each in one table.
///
/// controls: axes by their names. prices, crosstalks (counts): by the same names, of those that have one. The other
/// keywords are those of error_budget and hold for all. A control whose reading turns back or stands still has no
/// budget.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> def potentiometer(travel):
/// ...     return yw.axis.Axis(
/// ...         throw=(-6 * yw.deg, 6 * yw.deg),
/// ...         sensor=yw.hall.Potentiometer(travel=travel, supply=5.0),
/// ...         converter=yw.hall.Converter(bits=10, reference=5.0),
/// ...     )
/// >>> table = yw.axis.compare(
/// ...     {"300 deg": potentiometer(300 * yw.deg), "60 deg": potentiometer(60 * yw.deg)},
/// ...     prices={"300 deg": 1.5},
/// ... )
/// >>> [control.figures.counts for control in table.controls]
/// [40, 204]
#[pyfunction]
#[pyo3(signature = (controls, *, prices = None, crosstalks = None, celsius = None, supply_tolerance = 0.0,
                    ratiometric_sensor = true, ratiometric_converter = true, control_backlash = 0.0,
                    pivot_backlash = 0.0, friction_band = 0.0, crosstalk = 0.0,
                    calibration = AskedCalibration(CalibrationMethod::TwoPoint)),
       text_signature = "(controls, *, prices=None, crosstalks=None, celsius=None, supply_tolerance=0.0, \
                         ratiometric_sensor=True, ratiometric_converter=True, control_backlash=0.0, \
                         pivot_backlash=0.0, friction_band=0.0, crosstalk=0.0, calibration='two-point')")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
#[expect(clippy::needless_pass_by_value, reason = "an argument from Python")]
pub(in crate::python) fn compare(
    py: Python<'_>,
    controls: &Bound<'_, PyDict>,
    prices: Option<&Bound<'_, PyDict>>,
    crosstalks: Option<&Bound<'_, PyDict>>,
    celsius: Option<Few<2>>,
    supply_tolerance: f64,
    ratiometric_sensor: bool,
    ratiometric_converter: bool,
    control_backlash: f64,
    pivot_backlash: f64,
    friction_band: f64,
    crosstalk: f64,
    calibration: AskedCalibration,
) -> PyResult<PyComparison> {
    let spec = spec_of(
        celsius,
        supply_tolerance,
        ratiometric_sensor,
        ratiometric_converter,
        control_backlash,
        pivot_backlash,
        friction_band,
        crosstalk,
        &calibration,
    );
    let mut compared = Vec::with_capacity(controls.len());
    for (name, axis) in controls {
        let name: String = name.extract()?;
        let axis = axis.cast::<PyAxis>()?.get().axis().clone();
        compared.push(ComparedAxis::new(name, axis));
    }
    by_name(
        "control with a price",
        prices,
        &mut compared,
        |control, price| {
            control.price = Some(price);
        },
    )?;
    by_name(
        "control with crosstalk",
        crosstalks,
        &mut compared,
        |control, counts| control.crosstalk = Some(counts),
    )?;
    let table = long(py, || axis::compare(&compared, &spec))??;
    Ok(PyComparison(table))
}
