//! Which dimension of what was built is off.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::{Deserialize, Serialize};

use crate::axis::{
    self, AxisUnknown, BenchAdvice, Identification, IdentificationSpec, IdentifiedQuantity,
    RodUnknown, Sought,
};
use crate::python::axis::arrangement::PyArrangement;
use crate::python::axis::bench::sweep::PyBenchSweep;
use crate::python::axis::control::{drive_or_none, throw_of};
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Floats2, Numbers, from_json, table_out, to_json};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;
use crate::python::hall::{PyConverter, PyLinearHall};
use crate::python::linkage::ball_rod::PyBallRod;
use crate::python::linkage::transmission::AnyDrive;

/// One quantity that was identified, in its SI unit.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "IdentifiedQuantity")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyIdentifiedQuantity(IdentifiedQuantity);

attributes! {
    impl PyIdentifiedQuantity {
        /// Its name.
        name: String = |quantity| quantity.name.clone(),
        /// Its unit.
        unit: String = |quantity| quantity.unit.clone(),
        /// As designed.
        designed: f64,
        /// As it explains the readings best.
        value: f64,
        /// Standard error; None if the readings do not tell it from another.
        standard_error: Option<f64>,
        /// The 95 % interval; None without a standard error.
        interval: Option<(f64, f64)> = |quantity| quantity.interval().map(Into::into),
    }

    fn __repr__(&self) -> String {
        let quantity = &self.0;
        let error = quantity.standard_error.map_or_else(
            || "not told".to_owned(),
            |error| format!("standard error {error:.2e}"),
        );
        format!("<IdentifiedQuantity {}: {:.6e} {}, {error}>", quantity.name, quantity.value, quantity.unit)
    }
}

/// How to bring one measure back to its design, and what that makes of the range used.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BenchAdvice")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBenchAdvice(BenchAdvice);

attributes! {
    impl PyBenchAdvice {
        /// Name of the measure.
        measure: String = |advice| advice.measure.clone(),
        /// What to add to it, in its unit.
        change: f64,
        /// Least and greatest change with 95 % confidence.
        interval: (f64, f64) = |advice| advice.interval.into(),
        /// Share of the codes used as it is.
        range_used: f64,
        /// The same after the change.
        range_used_then: f64,
        /// The same in words.
        text: String = |advice| advice.text.clone(),
    }

    fn __repr__(&self) -> String {
        format!("<BenchAdvice {}>", self.0.text)
    }
}

/// Which values explain measured readings, how well each is known, and what the readings cannot tell apart.
///
/// Least squares on the exact model within the bounds, with the tolerances as further residuals. A direction in which
/// the readings alone tell the quantities no better than to half of what was known before is named in cannot_tell, and
/// what takes part in it has no standard error.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Identification")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyIdentification {
    found: Identification,
    advice: Vec<BenchAdvice>,
}

#[pymethods]
impl PyIdentification {
    /// The quantities, in the order of their names.
    #[getter]
    fn quantities<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(
            py,
            self.found
                .quantities
                .iter()
                .cloned()
                .map(PyIdentifiedQuantity),
        )
    }

    /// The quantity of a name; None if it was not sought.
    fn quantity(&self, name: &str) -> Option<PyIdentifiedQuantity> {
        self.found.quantity(name).cloned().map(PyIdentifiedQuantity)
    }

    /// Correlation of each two by the readings alone, (N, N).
    #[getter]
    fn correlation<'py>(&self, py: Python<'py>) -> Floats2<'py> {
        let count = self.found.quantities.len();
        table_out(py, self.found.correlation.concat(), (count, count))
    }

    /// What the readings cannot tell apart, in words.
    #[getter]
    fn cannot_tell<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, &self.found.cannot_tell)
    }

    /// What is told but moves together, in words.
    #[getter]
    fn moves_together<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, &self.found.moves_together)
    }

    /// What to do about measures that are surely off.
    #[getter]
    fn advice<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.advice.iter().cloned().map(PyBenchAdvice))
    }

    /// Root mean square of what the fit leaves, in the unit of the readings.
    #[getter]
    fn residual_rms(&self) -> f64 {
        self.found.residual_rms
    }

    /// Standard deviation of a reading that was used.
    #[getter]
    fn reading_sd(&self) -> f64 {
        self.found.reading_sd
    }

    /// residual_rms by reading_sd: far above 1, something is off that was not sought.
    #[getter]
    fn misfit(&self) -> f64 {
        self.found.misfit()
    }

    /// Unit of the readings.
    #[getter]
    fn reading_unit(&self) -> String {
        self.found.reading_unit.clone()
    }

    /// Number of readings.
    #[getter]
    fn readings(&self) -> usize {
        self.found.readings
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text)
    }

    /// Everything as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(self)
    }

    fn __repr__(&self) -> String {
        let names: Vec<&str> = self
            .found
            .quantities
            .iter()
            .map(|q| q.name.as_str())
            .collect();
        format!(
            "<Identification of {} from {} readings>",
            names.join(", "),
            self.found.readings
        )
    }
}

/// Bounds by name.
type Bounds = BTreeMap<String, Few<2>>;
/// Tolerances by name.
type PlusMinus = BTreeMap<String, f64>;

/// What explains a measured sweep: which values of the quantities sought, with advice for what is surely off.
///
/// arrangement, throw (rad), sensor, converter, moving, drive: the axis as designed. What is sought is named either
/// with its bounds, within={"gap": (1 * mm, 4 * mm)}, or with the tolerance of a drawing (two standard deviations),
/// plus_minus={"polarization": 0.04}: every measure of the arrangement, "sensor offset" (V), "sensor gain" (V/T) and
/// "angle zero" (rad). All others are as designed. noise: of one reading, counts rms; if not given, as the fit leaves
/// it.
///
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm
/// >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1.3, 0))
/// >>> layout = yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm)
/// >>> parts = dict(
/// ...     throw=(-6 * deg, 6 * deg),
/// ...     sensor=yw.hall.LinearHall(supply=5.0, sensitivity=20 * yw.mV_per_mT),
/// ...     converter=yw.hall.Converter(bits=12, reference=5.0),
/// ... )
/// >>> built = layout.with_measure("gap", 2.3 * mm).axis(**parts).sweep(101)
/// >>> sweep = yw.axis.BenchSweep(built.angle, built.counts, bits=12)
/// >>> found = yw.axis.identify_axis(sweep, layout, **parts, within={"gap": (1 * mm, 4 * mm)})
/// >>> print(f"{found.quantity('gap').value / mm:.2f} mm")
/// 2.30 mm
#[pyfunction]
#[pyo3(signature = (sweep, arrangement, *, throw = None, sensor, converter, within = Bounds::new(),
                    plus_minus = PlusMinus::new(), moving = "magnets", drive = None, noise = None))]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn identify_axis(
    sweep: &PyBenchSweep,
    arrangement: &PyArrangement,
    throw: Option<Few<2>>,
    sensor: &PyLinearHall,
    converter: &PyConverter,
    within: Bounds,
    plus_minus: PlusMinus,
    moving: &str,
    drive: Option<AnyDrive>,
    noise: Option<f64>,
    py: Python<'_>,
) -> PyResult<PyIdentification> {
    let drive = drive_or_none(drive);
    let throw = throw_of(throw, &drive)?;
    let mut spec = IdentificationSpec::new(
        arrangement.arrangement.clone(),
        throw,
        sensor.sensor.clone(),
        converter.0.clone(),
        Vec::new(),
    );
    spec.moving = moving.parse()?;
    spec.drive = drive;
    spec.noise = noise;
    for (name, bounds) in within {
        let quantity: AxisUnknown = name.parse()?;
        spec.sought.push(Sought::within(quantity, bounds.into()));
    }
    for (name, plus_minus) in plus_minus {
        let sought = spec.toleranced(name.parse()?, plus_minus)?;
        spec.sought.push(sought);
    }
    let (found, advice) = long(py, || axis::identify_axis(&sweep.sweep, &spec))??;
    Ok(PyIdentification { found, advice })
}

/// What explains the crank angles (rad) measured at pedal angles (rad), of a ball-joint rod as designed.
///
/// within: bounds of what is sought, by name: "rod length", "stud height" (ball joint of the pedal from its hinge),
/// "crank arm" (m), "crank zero" (rad: angle of the crank where its protractor showed zero). sd: standard deviation of
/// a crank angle, rad; if not given, as the fit leaves it.
#[pyfunction]
#[pyo3(signature = (rod, pedal, crank, *, within, sd = None))]
pub(in crate::python) fn identify_rod(
    rod: &PyBallRod,
    pedal: Numbers<'_>,
    crank: Numbers<'_>,
    within: Bounds,
    sd: Option<f64>,
    py: Python<'_>,
) -> PyResult<PyIdentification> {
    let sought = within.into_iter().map(|(name, bounds)| {
        let quantity: RodUnknown = name.parse()?;
        Ok(Sought::within(quantity, bounds.into()))
    });
    let sought = sought.collect::<crate::Result<Vec<_>>>()?;
    let (rod, crank) = (rod.0, crank.to_vec());
    let found = pedal.with(py, |pedal| {
        axis::identify_rod(&rod, pedal, &crank, &sought, sd)
    })??;
    Ok(PyIdentification {
        found,
        advice: Vec::new(),
    })
}
