//! Tolerances, the yield of a design, what decides it, and the design of which most builds work.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use numpy::{IntoPyArray, PyArray1, PyArrayMethods};
use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::{Deserialize, Serialize};

use crate::axis::{
    self, BuildFailure, BuildRecord, Buildable, Builds, CalibrationMethod, ControlDesign,
    ControlDesignSpec, Distribution, DistributionSpec, FigureImportance, FigureName, FigureSpread,
    Importance, ImportanceDemand, PreparedDesign, Sampling, TargetYield, Tolerance,
    ToleranceAllocation, ToleranceImportance, TolerancedAs, TolerantDesign, TolerantDesignDemand,
    VarianceShare, VariedInput, WhatIf, Yield, YieldDemand, YieldProgress, YieldStudy, YieldTarget,
};
use crate::error::Error;
use crate::python::any_sensor::PySensor;
use crate::python::axis::arrangement::PyArrangement;
use crate::python::axis::budget::AskedCalibration;
use crate::python::axis::control::PyAxis;
use crate::python::gate::attributes::attributes;
use crate::python::gate::convert::{Count, Times, from_json, to_json};
use crate::python::gate::errors::{
    CannotCloseError, CollisionError, InvalidTypeError, InvalidValueError, shown,
};
use crate::python::gate::long::long;
use crate::python::gate::sequence::{Few, Many};
use crate::python::hall::PyConverter;
use crate::python::linkage::transmission::AnyDrive;
use crate::python::search::PySearchResult;

/// Edges of cells and how many builds lie in each.
type Histogram<'py> = (Bound<'py, PyArray1<f64>>, Bound<'py, PyArray1<u64>>);

/// How a toleranced quantity is spread over the builds, in its SI unit: Distribution.normal, plus_minus, uniform,
/// truncated_normal, triangular or sample.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> gap = yw.axis.Distribution.plus_minus(3.3 * mm, 0.3 * mm)
/// >>> print(f"{gap.standard_deviation / mm:.3f} mm, 97.5 % below {gap.quantile(0.975) / mm:.3f} mm")
/// 0.150 mm, 97.5 % below 3.594 mm
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Distribution")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyDistribution(Distribution);

attributes! {
    impl PyDistribution {
        /// Mean.
        mean: f64 = |v| v.mean(),
        /// Standard deviation; of one that is cut, of what is left.
        standard_deviation: f64 = |v| v.standard_deviation(),
    }

    /// Normal.
    #[staticmethod]
    fn normal(mean: f64, standard_deviation: f64) -> PyResult<Self> {
        Ok(Self(Distribution::normal(mean, standard_deviation)?))
    }

    /// What a drawing means by nominal +- plus_minus: normal, with coverage_factor standard deviations for the
    /// plus-minus; with 2, 95 % of the parts are within.
    #[staticmethod]
    #[pyo3(signature = (nominal, plus_minus, *, coverage_factor = 2.0))]
    fn plus_minus(nominal: f64, plus_minus: f64, coverage_factor: f64) -> PyResult<Self> {
        Ok(Self(Distribution::plus_minus_covering(nominal, plus_minus, coverage_factor)?))
    }

    /// Anything between two limits with one probability.
    #[staticmethod]
    fn uniform(low: f64, high: f64) -> PyResult<Self> {
        Ok(Self(Distribution::uniform(low, high)?))
    }

    /// Normal and cut at two limits; the standard deviation is that before it is cut.
    #[staticmethod]
    fn truncated_normal(mean: f64, standard_deviation: f64, low: f64, high: f64) -> PyResult<Self> {
        Ok(Self(Distribution::truncated_normal(mean, standard_deviation, [low, high])?))
    }

    /// Two straight flanks from the mode to the limits.
    #[staticmethod]
    fn triangular(low: f64, mode: f64, high: f64) -> PyResult<Self> {
        Ok(Self(Distribution::triangular(low, mode, high)?))
    }

    /// One of these values, each as probable as any other: a sample that was measured.
    #[staticmethod]
    fn sample(values: Many<f64>) -> PyResult<Self> {
        Ok(Self(Distribution::sample(values.into_vec())?))
    }

    /// The value below which a share p of all parts lies.
    fn quantile(&self, p: f64) -> PyResult<f64> {
        Ok(self.0.quantile(p)?)
    }

    /// The same about the same mean, that many times as wide.
    fn scaled(&self, factor: f64) -> PyResult<Self> {
        Ok(Self(self.0.scaled(factor)?))
    }

    fn __repr__(&self) -> String {
        match self.0.spec() {
            DistributionSpec::Normal { mean, standard_deviation } => {
                format!("Distribution.normal({mean:?}, {standard_deviation:?})")
            }
            DistributionSpec::Uniform { low, high } => format!("Distribution.uniform({low:?}, {high:?})"),
            DistributionSpec::TruncatedNormal { mean, standard_deviation, low, high } => {
                format!("Distribution.truncated_normal({mean:?}, {standard_deviation:?}, {low:?}, {high:?})")
            }
            DistributionSpec::Triangular { low, mode, high } => {
                format!("Distribution.triangular({low:?}, {mode:?}, {high:?})")
            }
            DistributionSpec::Sample { values } => format!("Distribution.sample({values:?})"),
        }
    }
}

/// Something that differs from build to build: a dimension with its plus-minus, or one cause that moves several inputs.
///
/// Tolerance(input, plus_minus) is a plus-minus about the value of the design (share=True: as a share of that value),
/// with coverage_factor standard deviations for the plus-minus. Tolerance.of takes any distribution, Tolerance.common
/// one cause of many effects, as a printer's scale moves all printed lengths.
///
/// toleranced_as: "departure" is added to the value of the design, "share" changes it by that share of itself, "value"
/// is the value. What moves one input together adds up: first a value, then all shares, then all departures.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mm
/// >>> gap = yw.axis.Tolerance("gap", 0.3 * mm)
/// >>> scale = yw.axis.Distribution.plus_minus(0, 0.005)
/// >>> printer = yw.axis.Tolerance.common("printer scale", scale, [("arm", 1, "share"), ("gap", 1, "share")])
/// >>> printer.inputs
/// ['arm', 'gap']
#[pyclass(
    frozen,
    eq,
    from_py_object,
    module = "yokewright.axis",
    name = "Tolerance"
)]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTolerance(Tolerance);

attributes! {
    impl PyTolerance {
        /// What varies.
        name: String = |v| v.name().to_owned(),
        /// How it is spread.
        distribution: PyDistribution = |v| PyDistribution(v.distribution().clone()),
        /// The inputs that it moves.
        inputs: Vec<String> = |v| v.effects().iter().map(|effect| effect.input.clone()).collect(),
    }

    #[new]
    #[pyo3(signature = (input, plus_minus, *, share = false, coverage_factor = 2.0))]
    fn new(input: String, plus_minus: f64, share: bool, coverage_factor: f64) -> PyResult<Self> {
        let distribution = Distribution::plus_minus_covering(0.0, plus_minus, coverage_factor)?;
        let kind = if share { TolerancedAs::Share } else { TolerancedAs::Departure };
        Ok(Self(Tolerance::of(input, distribution, kind)?))
    }

    /// An input with any distribution.
    #[staticmethod]
    #[pyo3(signature = (input, distribution, *, toleranced_as = "departure"))]
    fn of(input: String, distribution: &PyDistribution, toleranced_as: &str) -> PyResult<Self> {
        Ok(Self(Tolerance::of(input, distribution.0.clone(), toleranced_as.parse()?)?))
    }

    /// One cause; effects: an (input, factor, toleranced_as) for each input that it moves.
    #[staticmethod]
    fn common(
        name: String,
        distribution: &PyDistribution,
        effects: Many<(String, f64, String)>,
    ) -> PyResult<Self> {
        let effects = effects
            .into_iter()
            .map(|(input, factor, kind)| Ok((input, factor, kind.parse::<TolerancedAs>()?)));
        let effects = effects.collect::<Result<Vec<_>, Error>>()?;
        Ok(Self(Tolerance::common(name, distribution.0.clone(), effects)?))
    }

    /// The same that many times as wide.
    fn scaled(&self, factor: f64) -> PyResult<Self> {
        Ok(Self(self.0.scaled(factor)?))
    }

    fn __repr__(&self) -> String {
        let distribution = PyDistribution(self.0.distribution().clone()).__repr__();
        let effects = self.0.effects().iter().map(|effect| {
            format!("({:?}, {:?}, \"{}\")", effect.input, effect.factor, effect.toleranced_as)
        });
        let effects: Vec<String> = effects.collect();
        format!("Tolerance.common({:?}, {distribution}, [{}])", self.0.name(), effects.join(", "))
    }
}

/// A limit, or two, for one figure of a build, in its SI unit.
#[pyclass(
    frozen,
    eq,
    from_py_object,
    module = "yokewright.axis",
    name = "YieldTarget"
)]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyYieldTarget(YieldTarget);

attributes! {
    impl PyYieldTarget {
        /// The name of the figure.
        figure: String = |v| v.figure().to_owned(),
        /// The least that it may be.
        min: Option<f64> = |v| v.min(),
        /// The most that it may be.
        max: Option<f64> = |v| v.max(),
    }

    #[new]
    #[pyo3(signature = (figure, *, min = None, max = None))]
    fn new(figure: String, min: Option<f64>, max: Option<f64>) -> PyResult<Self> {
        Ok(Self(YieldTarget::new(figure, min, max)?))
    }

    /// By how much a value misses it, as a share of the width between the limits or of the only one; negative where it
    /// is met with something to spare.
    fn miss(&self, value: f64) -> f64 {
        self.0.miss(value)
    }

    fn __repr__(&self) -> String {
        let limit = |limit: Option<f64>| limit.map_or_else(|| "None".to_owned(), |v| format!("{v:?}"));
        let (min, max) = (limit(self.0.min()), limit(self.0.max()));
        format!("YieldTarget({:?}, min={min}, max={max})", self.0.figure())
    }
}

/// A control from hand to count as it is published for others to build.
///
/// Its inputs are the measures of the arrangement by their names ("gap", "arm", "polarization", "magnet tilt about
/// axial", ...) and every number of the rest by its path: "sensor.sensitivity", "sensor.quiescent",
/// "converter.reference", "throw.0", "celsius". Each build is put together as a builder does it, the gap against the
/// part's own face. Its figures are "range used", "flux span", "output span", "gain", "independent linearity",
/// "terminal-based linearity", "clipped share", "monotonic share", "quantization step", "worst quantization step",
/// "noise step", "worst noise step", "effective bits", "lowest code", "highest code", "clearance", "error before
/// calibration" (by the constants of the design) and "error after calibration" (by the builder's own).
///
/// throw: rad. calibration: "none", "two-point" or a number of points. celsius: of magnets and sensor, degC.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ControlDesign")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyControlDesign(ControlDesign);

#[pymethods]
impl PyControlDesign {
    #[new]
    #[pyo3(signature = (arrangement, *, throw, sensor, converter = None, moving = "magnets", drive = None,
                        remanence_drift = 0.0, celsius = None,
                        calibration = AskedCalibration(CalibrationMethod::TwoPoint)),
           text_signature = "(arrangement, *, throw, sensor, converter=None, moving='magnets', drive=None, \
                             remanence_drift=0.0, celsius=None, calibration='two-point')")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        py: Python<'_>,
        arrangement: &PyArrangement,
        throw: Few<2>,
        sensor: PySensor,
        converter: Option<&PyConverter>,
        moving: &str,
        drive: Option<AnyDrive>,
        remanence_drift: f64,
        celsius: Option<f64>,
        calibration: AskedCalibration,
    ) -> PyResult<Self> {
        let spec = ControlDesignSpec::new(
            arrangement.arrangement.clone(),
            throw.into(),
            sensor.sensor(),
            converter.map(|converter| converter.0.clone()),
        );
        let spec = ControlDesignSpec {
            moving: moving.parse()?,
            drive: drive.map_or(spec.drive, |drive| drive.0),
            remanence_drift,
            celsius,
            calibration: calibration.0,
            ..spec
        };
        Ok(Self(long(py, || ControlDesign::new(spec))??))
    }

    /// The control as designed.
    #[getter]
    fn axis(&self) -> PyResult<PyAxis> {
        PyAxis::of(&self.0.axis()?)
    }

    /// The value of an input.
    fn nominal(&self, input: &str) -> PyResult<f64> {
        Ok(self.0.nominal(input)?)
    }

    fn __repr__(&self) -> String {
        let [lower, upper] = self.0.spec().throw;
        format!("<ControlDesign throw {lower:?} to {upper:?} rad>")
    }
}

/// Whatever a function computes as a design: a spring, pedals, a grip force.
///
/// inputs: their values in the design by name. figures: their units by name. build(**inputs) gives the figures of one
/// build as a dict; what it raises as a YokewrightError is a build that cannot be, named and counted; a figure that is
/// missing or NaN has no value. With vectorized=True it is called as build(columns) with a dict of arrays and gives a
/// dict of arrays.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> stack = yw.axis.CallableDesign(
/// ...     inputs={"plate": 5e-3, "washer": 1e-3},
/// ...     figures={"height": "m"},
/// ...     build=lambda plate, washer: {"height": plate + washer},
/// ... )
/// >>> found = yw.axis.study_yield(
/// ...     stack,
/// ...     [yw.axis.Tolerance("plate", 0.08e-3), yw.axis.Tolerance("washer", 0.06e-3)],
/// ...     targets=[yw.axis.YieldTarget("height", min=5.9e-3, max=6.1e-3)],
/// ... )
/// >>> print(f"{found.share:.2f}")
/// 0.95
#[pyclass(frozen, module = "yokewright.axis", name = "CallableDesign")]
pub(in crate::python) struct PyCallableDesign {
    inputs: Vec<(String, f64)>,
    figures: Vec<FigureName>,
    build: Py<PyAny>,
    vectorized: bool,
    /// What the function raised that is no build that cannot be.
    raised: Mutex<Option<PyErr>>,
}

#[pymethods]
impl PyCallableDesign {
    #[new]
    #[pyo3(signature = (*, inputs, figures, build, vectorized = false))]
    fn new(
        inputs: &Bound<'_, PyDict>,
        figures: &Bound<'_, PyDict>,
        build: Bound<'_, PyAny>,
        vectorized: bool,
    ) -> PyResult<Self> {
        if !build.is_callable() {
            let text = format!(
                "build: a function is needed, got {}",
                shown(build.as_borrowed())
            );
            return Err(InvalidTypeError::new_err(text));
        }
        let inputs = inputs.iter().map(|(name, value)| {
            let value: f64 = value.extract()?;
            crate::error::finite("value of an input in the design", value, "(its unit)")?;
            Ok((name.extract()?, value))
        });
        let figures = figures.iter().map(|(name, unit)| {
            Ok(FigureName::new(
                name.extract::<String>()?,
                unit.extract::<String>()?,
            ))
        });
        let figures = figures.collect::<PyResult<Vec<_>>>()?;
        crate::error::counted("figures of a build", figures.len(), [1, 1000])?;
        Ok(Self {
            inputs: inputs.collect::<PyResult<_>>()?,
            figures,
            build: build.unbind(),
            vectorized,
            raised: Mutex::new(None),
        })
    }

    /// The values of the design by name.
    #[getter]
    fn inputs(&self) -> BTreeMap<String, f64> {
        self.inputs.iter().cloned().collect()
    }

    /// The units of the figures by name.
    #[getter]
    fn figures(&self) -> BTreeMap<String, String> {
        let all = self.figures.iter();
        all.map(|figure| (figure.name.clone(), figure.unit.clone()))
            .collect()
    }

    fn __repr__(&self) -> String {
        let names: Vec<&str> = self.inputs.iter().map(|(name, _)| name.as_str()).collect();
        format!("<CallableDesign of {}>", names.join(", "))
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl PyCallableDesign {
    fn place(&self, input: &str) -> crate::Result<usize> {
        let numbered: Vec<(usize, &str)> = self
            .inputs
            .iter()
            .map(|(name, _)| name.as_str())
            .enumerate()
            .collect();
        Ok(crate::names::find("input of the design", input, &numbered, |(_, name)| name)?.0)
    }

    fn columns(&self, py: Python<'_>, places: &[usize], builds: &mut Builds) -> PyResult<()> {
        let given = PyDict::new(py);
        for (at, (name, value)) in self.inputs.iter().enumerate() {
            let column = match places.iter().position(|place| *place == at) {
                Some(moved) => builds.inputs()[moved].clone(),
                None => vec![*value; builds.count()],
            };
            given.set_item(name, column.into_pyarray(py))?;
        }
        let told = self.build.bind(py).call1((given,))?;
        let count = builds.count();
        for (figure, column) in self.figures.iter().zip(builds.figures_mut()) {
            let Ok(values) = told.get_item(&figure.name) else {
                continue;
            };
            let values = py
                .import("numpy")?
                .call_method1("asarray", (values, "float64"))?;
            let values = values.cast_into::<PyArray1<f64>>().map_err(|_| {
                InvalidValueError::new_err(format!(
                    "figure '{}': an array of one dimension is needed",
                    figure.name
                ))
            })?;
            let values = values.to_vec()?;
            if values.len() != count {
                let text = format!(
                    "figure '{}': {} values given, {count} needed",
                    figure.name,
                    values.len()
                );
                return Err(InvalidValueError::new_err(text));
            }
            column.copy_from_slice(&values);
        }
        Ok(())
    }

    fn rows(&self, py: Python<'_>, places: &[usize], builds: &mut Builds) -> PyResult<()> {
        let base = py.import("yokewright.errors")?.getattr("YokewrightError")?;
        for build in 0..builds.count() {
            if build % 64 == 0 {
                crate::observer::check()?;
            }
            let given = PyDict::new(py);
            for (at, (name, value)) in self.inputs.iter().enumerate() {
                let moved = places.iter().position(|place| *place == at);
                given.set_item(
                    name,
                    moved.map_or(*value, |moved| builds.inputs()[moved][build]),
                )?;
            }
            match self.build.bind(py).call((), Some(&given)) {
                Ok(told) => {
                    for (figure, column) in self.figures.iter().zip(builds.figures_mut()) {
                        if let Ok(value) = told.get_item(&figure.name) {
                            column[build] = value.extract::<Option<f64>>()?.unwrap_or(f64::NAN);
                        }
                    }
                }
                Err(error) if error.matches(py, &base)? => {
                    let reason = if error.is_instance_of::<CollisionError>(py) {
                        "parts collide"
                    } else if error.is_instance_of::<CannotCloseError>(py) {
                        "cannot be assembled"
                    } else {
                        "cannot be built"
                    };
                    builds.fail(
                        build,
                        BuildFailure {
                            reason: reason.to_owned(),
                            text: error.value(py).str()?.to_string(),
                        },
                    );
                }
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }
}

impl Buildable for PyCallableDesign {
    fn figures(&self) -> Vec<FigureName> {
        self.figures.clone()
    }

    fn nominal(&self, input: &str) -> crate::Result<f64> {
        Ok(self.inputs[self.place(input)?].1)
    }

    fn assembly(&self, inputs: &[String]) -> crate::Result<Box<dyn PreparedDesign + '_>> {
        let places = inputs
            .iter()
            .map(|input| self.place(input))
            .collect::<crate::Result<_>>()?;
        Ok(Box::new(Called {
            design: self,
            places,
        }))
    }
}

struct Called<'a> {
    design: &'a PyCallableDesign,
    places: Vec<usize>,
}

impl PreparedDesign for Called<'_> {
    fn build(&self, builds: &mut Builds) -> crate::Result<()> {
        let outcome = Python::attach(|py| {
            if self.design.vectorized {
                self.design.columns(py, &self.places, builds)
            } else {
                self.design.rows(py, &self.places, builds)
            }
        });
        outcome.map_err(|error| {
            // Whoever asked raises it; until then the study is stopped.
            locked(&self.design.raised).get_or_insert(error);
            Error::Stopped
        })
    }
}

/// A design of either class.
pub(in crate::python) enum AnyDesign {
    Control(Py<PyControlDesign>),
    Callable(Py<PyCallableDesign>),
}

impl FromPyObject<'_, '_> for AnyDesign {
    type Error = PyErr;

    fn extract(value: Borrowed<'_, '_, PyAny>) -> PyResult<Self> {
        if let Ok(design) = value.cast::<PyControlDesign>() {
            return Ok(Self::Control(design.to_owned().unbind()));
        }
        if let Ok(design) = value.cast::<PyCallableDesign>() {
            return Ok(Self::Callable(design.to_owned().unbind()));
        }
        let text = format!(
            "a ControlDesign or a CallableDesign is needed, got {}",
            shown(value)
        );
        Err(InvalidTypeError::new_err(text))
    }
}

impl AnyDesign {
    fn design(&self) -> &dyn Buildable {
        match self {
            Self::Control(design) => &design.get().0,
            Self::Callable(design) => design.get(),
        }
    }

    /// Long work on the design; what its function raised comes out of it.
    fn work<T: Send>(
        &self,
        py: Python<'_>,
        work: impl FnOnce(&dyn Buildable) -> crate::Result<T> + Send,
    ) -> PyResult<T> {
        let design = self.design();
        let done = long(py, || work(design));
        if let Self::Callable(design) = self
            && let Some(error) = locked(&design.get().raised).take()
        {
            return Err(error);
        }
        Ok(done??)
    }
}

fn tolerances_of(tolerances: Many<PyTolerance>) -> Vec<Tolerance> {
    tolerances.into_vec().into_iter().map(|one| one.0).collect()
}

fn targets_of(targets: Many<PyYieldTarget>) -> Vec<YieldTarget> {
    targets.into_vec().into_iter().map(|one| one.0).collect()
}

pub(in crate::python) fn sampling_of(replicates: Option<Count>) -> Sampling {
    replicates.map_or(Sampling::Random, |count| Sampling::Sobol {
        replicates: count.0,
    })
}

fn demand_of(
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    builds: Times,
    seed: Times,
    replicates: Option<Count>,
    confidence: f64,
    keep: usize,
) -> YieldDemand {
    YieldDemand {
        targets: targets_of(targets),
        builds: builds.0 as u64,
        seed: seed.0 as u64,
        sampling: sampling_of(replicates),
        confidence,
        keep,
        ..YieldDemand::new(tolerances_of(tolerances))
    }
}

/// How one figure is spread over the builds that have it; None of what no build has.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "FigureSpread")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFigureSpread(FigureSpread);

attributes! {
    impl PyFigureSpread {
        /// The name of the figure.
        figure: String = |v| v.figure().name.clone(),
        /// Its SI unit.
        unit: String = |v| v.figure().unit.clone(),
        /// The value of the design itself.
        nominal: Option<f64> = |v| v.nominal(),
        /// Builds that have the figure.
        count: u64 = |v| v.count(),
        /// Builds that have it not.
        missing: u64 = |v| v.missing(),
        /// Mean.
        mean: Option<f64> = |v| v.mean(),
        /// Standard deviation (n - 1).
        standard_deviation: Option<f64> = |v| v.standard_deviation(),
        /// Least and greatest value.
        ends: Option<(f64, f64)> = |v| v.ends().map(Into::into),
    }

    /// The value below which a share of these builds lies. Of up to 65,536 builds it is exact; of more it is known to a
    /// two-thousandth of the span of the first 4096.
    fn quantile(&self, share: f64) -> PyResult<Option<f64>> {
        Ok(self.0.quantile(share)?)
    }

    /// Edges (cells + 1,) and counts (cells,) of cells of equal width from the least to the greatest value.
    #[pyo3(signature = (cells = Count(40)), text_signature = "($self, cells=40)")]
    fn histogram<'py>(
        &self,
        py: Python<'py>,
        cells: Count,
    ) -> PyResult<Histogram<'py>> {
        let (edges, counts) = self.0.histogram(cells.0)?;
        Ok((edges.into_pyarray(py), counts.into_pyarray(py)))
    }

    fn __repr__(&self) -> String {
        format!("<FigureSpread {}>", self.0.figure())
    }
}

/// The yield of one target.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TargetYield")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTargetYield(TargetYield);

attributes! {
    impl PyTargetYield {
        /// The target.
        target: PyYieldTarget = |v| PyYieldTarget(v.target.clone()),
        /// Builds that meet it.
        passed: u64,
        /// Builds in all.
        builds: u64,
        /// Share of the builds that meet it.
        share: f64 = |v| v.share(),
        /// Between which shares the true yield lies.
        interval: (f64, f64) = |v| (v.interval.low, v.interval.high),
    }

    fn __repr__(&self) -> String {
        format!("<TargetYield {}: {:.4}>", self.0.target, self.0.share())
    }
}

/// One build, to be looked at.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "BuildRecord")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyBuildRecord {
    record: BuildRecord,
    inputs: Vec<String>,
    figures: Vec<String>,
}

#[pymethods]
impl PyBuildRecord {
    /// Its number, from 0, by which it can be drawn again.
    #[getter]
    fn build(&self) -> u64 {
        self.record.build
    }

    /// The values of its inputs by name.
    #[getter]
    fn inputs(&self) -> BTreeMap<String, f64> {
        self.inputs
            .iter()
            .cloned()
            .zip(self.record.inputs.iter().copied())
            .collect()
    }

    /// Its figures by name; None where it has none.
    #[getter]
    fn figures(&self) -> BTreeMap<String, Option<f64>> {
        self.figures
            .iter()
            .cloned()
            .zip(self.record.figures.iter().copied())
            .collect()
    }

    /// By how much it misses what it misses most, as YieldTarget.miss; None if it has not the figure, or cannot be.
    #[getter]
    fn miss(&self) -> Option<f64> {
        self.record.miss
    }

    /// Whether it meets all targets.
    #[getter]
    fn passed(&self) -> bool {
        self.record.passed
    }

    /// Why it cannot be, if so.
    #[getter]
    fn failure(&self) -> Option<String> {
        self.record
            .failure
            .as_ref()
            .map(|failure| failure.text.clone())
    }

    fn __repr__(&self) -> String {
        let state = match (&self.record.failure, self.record.passed) {
            (Some(failure), _) => failure.reason.as_str(),
            (None, true) => "passes",
            (None, false) => "fails",
        };
        format!("<BuildRecord {}: {state}>", self.record.build)
    }
}

/// How many builds meet their targets, and how their figures are spread; print() shows the yields.
///
/// A build that cannot be assembled, or that collides, fails all targets. The interval of random builds is the exact
/// one of the binomial distribution (Clopper and Pearson), of quasi-random ones Student's of their replicates.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Yield")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyYield(pub(in crate::python) Yield);

attributes! {
    impl PyYield {
        /// Builds that are done.
        builds: u64 = |v| v.builds(),
        /// Builds that meet all targets.
        passed: u64 = |v| v.passed(),
        /// Share of the builds that meet all targets.
        share: f64 = |v| v.share(),
        /// Between which shares the true yield lies.
        interval: (f64, f64) = |v| (v.interval().low, v.interval().high),
        /// Confidence of all intervals.
        confidence: f64 = |v| v.interval().confidence,
        /// Each target by itself.
        targets: Vec<PyTargetYield> = |v| v.targets().iter().cloned().map(PyTargetYield).collect(),
        /// How each figure is spread, by its name.
        spreads: BTreeMap<String, PyFigureSpread> = |v| {
            let all = v.spreads().iter();
            all.map(|spread| (spread.figure().name.clone(), PyFigureSpread(spread.clone()))).collect()
        },
        /// Builds that cannot be: (reason, how many, number of the first, what is said of that one), the most frequent
        /// first.
        failures: Vec<(String, u64, u64, String)> = |v| {
            let all = v.failures().iter().cloned();
            all.map(|one| (one.reason, one.count, one.first_build, one.text)).collect()
        },
        /// The worst builds of those that do not pass, the worst first.
        worst: Vec<PyBuildRecord> = |v| {
            let figures: Vec<_> = v.spreads().iter().map(|spread| spread.figure().name.clone()).collect();
            recorded(v.worst().to_vec(), v.inputs(), &figures)
        },
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// All of it as JSON, SI, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        let interval = self.0.interval();
        format!("<Yield {:.4} ({:.4} to {:.4}) of {} builds>", self.0.share(), interval.low, interval.high,
            self.0.builds())
    }
}

fn recorded(
    records: Vec<BuildRecord>,
    inputs: &[String],
    figures: &[String],
) -> Vec<PyBuildRecord> {
    let of = |record| PyBuildRecord {
        record,
        inputs: inputs.to_vec(),
        figures: figures.to_vec(),
    };
    records.into_iter().map(of).collect()
}

/// A study that can be stopped and gone on with: what is done so far is kept, also after Ctrl-C.
///
/// Builds are drawn by their number, so the figures are the same to the last bit on any number of threads and in
/// whatever pieces the study is run. Memory does not grow with the number of builds. The arguments are those of
/// study_yield.
#[pyclass(frozen, module = "yokewright.axis", name = "YieldStudy")]
pub(in crate::python) struct PyYieldStudy {
    design: AnyDesign,
    demand: YieldDemand,
    progress: Mutex<YieldProgress>,
}

#[pymethods]
impl PyYieldStudy {
    #[new]
    #[pyo3(signature = (design, tolerances, *, targets = Many::none(), builds = Times(10_000), seed = Times(1),
                        replicates = None,
                        confidence = 0.95, keep = Count(20)),
           text_signature = "(design, tolerances, *, targets=(), builds=10000, seed=1, replicates=None, \
                             confidence=0.95, keep=20)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        py: Python<'_>,
        design: AnyDesign,
        tolerances: Many<PyTolerance>,
        targets: Many<PyYieldTarget>,
        builds: Times,
        seed: Times,
        replicates: Option<Count>,
        confidence: f64,
        keep: Count,
    ) -> PyResult<Self> {
        let demand = demand_of(
            tolerances, targets, builds, seed, replicates, confidence, keep.0,
        );
        let progress = design.work(py, |design| {
            Ok(YieldStudy::new(design, &demand)?.into_progress())
        })?;
        Ok(Self {
            design,
            demand,
            progress: Mutex::new(progress),
        })
    }

    /// Does all builds that are left, or goes on until so many are done.
    #[pyo3(signature = (builds = None))]
    fn run(&self, py: Python<'_>, builds: Option<Count>) -> PyResult<()> {
        let before = locked(&self.progress).clone();
        let wanted = builds.map_or(self.demand.builds, |count| count.0 as u64);
        let kept = Mutex::new(None);
        let done = self.design.work(py, |design| {
            let mut study = YieldStudy::resumed(design, &self.demand, before)?;
            let outcome = study.run_to(wanted);
            *locked(&kept) = Some(study.into_progress());
            outcome
        });
        if let Some(progress) = locked(&kept).take() {
            *locked(&self.progress) = progress;
        }
        done
    }

    /// How many builds are done.
    #[getter]
    fn done(&self, py: Python<'_>) -> PyResult<u64> {
        self.with(py, |study| Ok(study.done()))
    }

    /// What is known after the builds that are done.
    fn result(&self, py: Python<'_>) -> PyResult<PyYield> {
        self.with(py, |study| study.result()).map(PyYield)
    }

    /// Builds by their numbers from first on, up to 100,000, with all their inputs and figures.
    fn records(&self, py: Python<'_>, first: Count, count: Count) -> PyResult<Vec<PyBuildRecord>> {
        let (records, inputs, figures) = self.with(py, |study| {
            let figures = self
                .design
                .design()
                .figures()
                .into_iter()
                .map(|figure| figure.name)
                .collect();
            Ok((
                study.records(first.0 as u64, count.0)?,
                study.inputs().to_vec(),
                figures,
            ))
        })?;
        let figures: Vec<String> = figures;
        Ok(recorded(records, &inputs, &figures))
    }

    fn __repr__(&self) -> String {
        format!("<YieldStudy of {} builds>", self.demand.builds)
    }
}

impl PyYieldStudy {
    fn with<T: Send>(
        &self,
        py: Python<'_>,
        look: impl FnOnce(&YieldStudy<'_>) -> crate::Result<T> + Send,
    ) -> PyResult<T> {
        let progress = locked(&self.progress).clone();
        self.design.work(py, |design| {
            look(&YieldStudy::resumed(design, &self.demand, progress)?)
        })
    }
}

/// How many of the builds of a design will work.
///
/// design: a ControlDesign or a CallableDesign. tolerances: what varies. targets: what a build has to meet. builds: how
/// many; seed: the same gives the same builds. replicates: with a number (4 to 256) the builds are scrambled Sobol'
/// points in so many replicates, which tell the error. confidence: of the intervals. keep: how many of the worst builds
/// are kept.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg, mm, mT
/// >>> cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
/// >>> stick = yw.axis.ControlDesign(
/// ...     yw.axis.SwungLayout(magnet=cube, arm=12 * mm, gap=2 * mm),
/// ...     throw=(-6 * deg, 6 * deg),
/// ...     sensor=yw.hall.LinearHall(supply=5.0, sensitivity=25 * yw.mV_per_mT),
/// ...     converter=yw.hall.Converter(bits=12, reference=5.0),
/// ... )
/// >>> tolerances = [yw.axis.Tolerance("gap", 0.3 * mm), yw.axis.Tolerance("polarization", 0.05, share=True)]
/// >>> target = yw.axis.YieldTarget("range used", min=0.8)
/// >>> found = yw.axis.study_yield(stick, tolerances, targets=[target], builds=1000)
/// >>> 0 < found.share < 1
/// True
#[pyfunction]
#[pyo3(signature = (design, tolerances, *, targets = Many::none(), builds = Times(10_000), seed = Times(1),
                    replicates = None,
                    confidence = 0.95, keep = Count(20)),
       text_signature = "(design, tolerances, *, targets=(), builds=10000, seed=1, replicates=None, confidence=0.95, \
                         keep=20)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn study_yield(
    py: Python<'_>,
    design: AnyDesign,
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    builds: Times,
    seed: Times,
    replicates: Option<Count>,
    confidence: f64,
    keep: Count,
) -> PyResult<PyYield> {
    let demand = demand_of(
        tolerances, targets, builds, seed, replicates, confidence, keep.0,
    );
    design
        .work(py, |design| axis::study_yield(design, &demand))
        .map(PyYield)
}

/// How much of the variance of one figure a tolerance makes: first_order and total index, each (value, low, high).
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ToleranceImportance")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyToleranceImportance(ToleranceImportance);

fn ends(share: VarianceShare) -> (f64, f64, f64) {
    (share.value, share.low, share.high)
}

attributes! {
    impl PyToleranceImportance {
        /// The name of the tolerance.
        tolerance: String = |v| v.tolerance.clone(),
        /// The share of the variance that is gone on the average once this one is exact: value, lower and upper end.
        first_order: (f64, f64, f64) = |v| ends(v.first_order),
        /// The share that is left on the average once all others are exact: value, lower and upper end.
        total: (f64, f64, f64) = |v| ends(v.total),
    }

    fn __repr__(&self) -> String {
        format!("<ToleranceImportance {}: total {:.3}>", self.0.tolerance, self.0.total.value)
    }
}

/// How much of the variance of one figure each tolerance makes.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "FigureImportance")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyFigureImportance(FigureImportance);

attributes! {
    impl PyFigureImportance {
        /// The figure.
        figure: String = |v| v.figure.name.clone(),
        /// Its variance, in the square of its unit.
        variance: f64,
        /// The tolerances; empty of a figure that does not vary.
        tolerances: Vec<PyToleranceImportance> = |v| {
            v.tolerances.iter().cloned().map(PyToleranceImportance).collect()
        },
        /// In words, what decides.
        words: String = |v| v.words(),
    }

    /// The same with what the changed tolerance would do for the yield.
    fn words_with(&self, what_if: &PyWhatIf) -> String {
        self.0.words_with(&what_if.0)
    }

    fn __repr__(&self) -> String {
        format!("<FigureImportance {}>", self.0.words())
    }
}

/// What matters: the Sobol' indices of every figure, and of whether a build meets every target.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Importance")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyImportance(pub(in crate::python) Importance);

attributes! {
    impl PyImportance {
        /// Every figure by its name; "meets every target" tells what decides about the yield.
        figures: BTreeMap<String, PyFigureImportance> = |v| {
            let all = v.figures().iter();
            all.map(|one| (one.figure.name.clone(), PyFigureImportance(one.clone()))).collect()
        },
        /// Builds that it took.
        builds: u64 = |v| v.builds(),
        /// Confidence of the intervals.
        confidence: f64 = |v| v.confidence(),
    }

    fn __repr__(&self) -> String {
        format!("<Importance of {} figures>", self.0.figures().len())
    }
}

/// The Sobol' indices of every figure, from builds in which the tolerances are drawn anew one by one: rows times
/// (number of tolerances + 2) of them. The other arguments are those of study_yield.
#[pyfunction]
#[pyo3(signature = (design, tolerances, *, targets = Many::none(), rows = Count(4096), seed = Times(1),
                    replicates = None,
                    confidence = 0.95),
       text_signature = "(design, tolerances, *, targets=(), rows=4096, seed=1, replicates=None, confidence=0.95)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn study_importance(
    py: Python<'_>,
    design: AnyDesign,
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    rows: Count,
    seed: Times,
    replicates: Option<Count>,
    confidence: f64,
) -> PyResult<PyImportance> {
    let demand = ImportanceDemand {
        targets: targets_of(targets),
        rows: rows.0 as u64,
        seed: seed.0 as u64,
        sampling: sampling_of(replicates),
        confidence,
        ..ImportanceDemand::new(tolerances_of(tolerances))
    };
    design
        .work(py, |design| axis::study_importance(design, &demand))
        .map(PyImportance)
}

/// The yield if one tolerance after the other were closer, or wider.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "WhatIf")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyWhatIf(WhatIf);

attributes! {
    impl PyWhatIf {
        /// Share of the builds that meet all targets as it is.
        share: f64,
        /// Builds of each study.
        builds: u64,
        /// The share with each tolerance changed in its turn, by its name.
        shares: BTreeMap<String, f64> = |v| v.rows.iter().map(|row| (row.tolerance.clone(), row.share)).collect(),
        /// By how much each is more, and the standard error of that.
        gains: BTreeMap<String, (f64, f64)> = |v| {
            v.rows.iter().map(|row| (row.tolerance.clone(), (row.gain, row.gain_error))).collect()
        },
        /// The tolerance whose change gains most.
        best: Option<String> = |v| v.best().map(|row| row.tolerance.clone()),
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!("<WhatIf {:.4} as it is>", self.0.share)
    }
}

/// The yield with each tolerance in turn factor times as wide, the same builds otherwise. The other arguments are those
/// of study_yield.
#[pyfunction]
#[pyo3(signature = (design, tolerances, *, targets = Many::none(), factor = 0.5, builds = Times(10_000),
                    seed = Times(1)),
       text_signature = "(design, tolerances, *, targets=(), factor=0.5, builds=10000, seed=1)")]
pub(in crate::python) fn study_what_if(
    py: Python<'_>,
    design: AnyDesign,
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    factor: f64,
    builds: Times,
    seed: Times,
) -> PyResult<PyWhatIf> {
    let demand = demand_of(tolerances, targets, builds, seed, None, 0.95, 0);
    design
        .work(py, |design| axis::study_what_if(design, &demand, factor))
        .map(PyWhatIf)
}

/// The loosest tolerances with which a share of the builds still meets all targets.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "ToleranceAllocation")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyToleranceAllocation(ToleranceAllocation);

attributes! {
    impl PyToleranceAllocation {
        /// The tolerances.
        tolerances: Vec<PyTolerance> = |v| v.tolerances.iter().cloned().map(PyTolerance).collect(),
        /// What each was multiplied by.
        factors: Vec<f64> = |v| v.factors.clone(),
        /// Share of the builds that meet all targets with them.
        share: f64,
        /// The same with the tolerances that were given.
        share_before: f64,
    }

    fn __repr__(&self) -> String {
        format!("<ToleranceAllocation {:?}>", self.0.factors)
    }
}

/// The loosest tolerances with which a share of the builds, wanted, still meets all targets: what decides stays close,
/// what does not matter becomes cheap. The other arguments are those of study_yield.
#[pyfunction]
#[pyo3(signature = (design, tolerances, *, targets, wanted = 0.95, builds = Times(10_000), seed = Times(1)),
       text_signature = "(design, tolerances, *, targets, wanted=0.95, builds=10000, seed=1)")]
pub(in crate::python) fn allocate_tolerances(
    py: Python<'_>,
    design: AnyDesign,
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    wanted: f64,
    builds: Times,
    seed: Times,
) -> PyResult<PyToleranceAllocation> {
    let demand = demand_of(tolerances, targets, builds, seed, None, 0.95, 0);
    let found = design.work(py, |design| {
        axis::allocate_tolerances(design, &demand, wanted)
    })?;
    Ok(PyToleranceAllocation(found))
}

/// A design with its yield.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "TolerantDesign")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyTolerantDesign {
    design: TolerantDesign,
    inputs: Vec<String>,
}

#[pymethods]
impl PyTolerantDesign {
    /// The values of what was to be chosen, by name.
    #[getter]
    fn values(&self) -> BTreeMap<String, f64> {
        self.inputs
            .iter()
            .cloned()
            .zip(self.design.values.iter().copied())
            .collect()
    }

    /// Share of its builds that meet all targets.
    #[getter]
    fn share(&self) -> f64 {
        self.design.share
    }

    /// Between which shares the true yield lies.
    #[getter]
    fn interval(&self) -> (f64, f64) {
        self.design.interval.into()
    }

    /// By how much the design itself misses what it misses most: negative if it meets all targets.
    #[getter]
    fn nominal_miss(&self) -> Option<f64> {
        self.design.nominal_miss
    }

    fn __repr__(&self) -> String {
        format!(
            "<TolerantDesign yield {:.4} at {:?}>",
            self.design.share,
            self.values()
        )
    }
}

/// Searches the design with the best yield under its tolerances.
///
/// varied: (least, greatest) value of each input that may be chosen, by name. places: how many are tried before the
/// best are improved. builds: of each place. min_yield: what a design must give to be found. Gives the designs, a
/// SearchResult of TolerantDesign, best first, and the one that itself has most to spare: what a search without
/// tolerances would have chosen.
#[pyfunction]
#[pyo3(signature = (design, tolerances, *, targets, varied, places = Count(200), builds = Times(10_000),
                    seed = Times(1),
                    min_yield = 0.0),
       text_signature = "(design, tolerances, *, targets, varied, places=200, builds=10000, seed=1, min_yield=0.0)")]
#[expect(clippy::too_many_arguments, reason = "keywords in Python")]
pub(in crate::python) fn search_tolerant_designs(
    py: Python<'_>,
    design: AnyDesign,
    tolerances: Many<PyTolerance>,
    targets: Many<PyYieldTarget>,
    varied: &Bound<'_, PyDict>,
    places: Count,
    builds: Times,
    seed: Times,
    min_yield: f64,
) -> PyResult<(PySearchResult, Option<PyTolerantDesign>)> {
    let of_each = demand_of(tolerances, targets, builds, seed, None, 0.95, 0);
    let varied = varied.iter().map(|(input, range)| {
        let [min, max] = range.extract::<Few<2>>()?.into();
        Ok(VariedInput {
            input: input.extract()?,
            min,
            max,
        })
    });
    let demand = TolerantDesignDemand {
        places: places.0,
        min_yield,
        ..TolerantDesignDemand::new(of_each, varied.collect::<PyResult<_>>()?)
    };
    let found = design.work(py, |design| axis::search_tolerant_designs(design, &demand))?;
    let inputs = found.inputs;
    let wrap = |design| PyTolerantDesign {
        design,
        inputs: inputs.clone(),
    };
    let nominal_best = found.nominal_best.map(wrap);
    Ok((PySearchResult::of(py, found.designs, wrap)?, nominal_best))
}
