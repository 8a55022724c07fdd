//! How slow a control is: stages, budgets, and what a camera measures.

use numpy::IntoPyArray;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use serde::{Deserialize, Serialize};

use crate::axis::{
    self, CameraRuns, Delay, DelaySpec, DeviceDifference, DevicePair, HidUsage, LatencyBudget,
    LatencyStage, StageEffect, StageKind, UsbSpeed,
};
use crate::python::gate::attributes::attributes;
use crate::python::gate::columns::{Column, View};
use crate::python::gate::convert::{Count, Floats1, Numbers, from_json, to_json};
use crate::python::gate::errors::InvalidValueError;
use crate::python::gate::long::long;
use crate::python::gate::sequence::Many;
use crate::python::hall::PySignalChain;
use crate::units::MS;

/// How long a stage takes, as a distribution; times in s, 0 to 5.
///
/// Made by what it is: `fixed`, `uniform`, `wait` for the next poll or frame, `triangular`, a measured `sample`, or
/// `filter`, `usb_polling`, `frame_wait`, `scan` out of what the trade tells.
///
/// >>> import yokewright as yw
/// >>> poll = yw.axis.Delay.usb_polling("full", 8)
/// >>> print(f"{poll.mean / yw.ms:.1f} ms, deviation {poll.standard_deviation / yw.ms:.2f} ms")
/// 4.0 ms, deviation 2.31 ms
#[pyclass(frozen, eq, module = "yokewright.axis", name = "Delay")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyDelay(Delay);

attributes! {
    impl PyDelay {
        /// Mean, s.
        mean(): f64,
        /// Standard deviation of the distribution, s; of a sample by the number of its times, not by one less.
        standard_deviation(): f64,
        /// Shortest and longest time, s.
        range: (f64, f64) = |delay| delay.range().into(),
    }

    /// Always the same time, s.
    #[staticmethod]
    fn fixed(time: f64) -> PyResult<Self> {
        Ok(Self(Delay::fixed(time)?))
    }

    /// Any time between two (s) with one probability.
    #[staticmethod]
    fn uniform(low: f64, high: f64) -> PyResult<Self> {
        Ok(Self(Delay::uniform(low, high)?))
    }

    /// Until the next of what comes every interval (s): any time up to it with one probability, and with the
    /// probability missed one interval more. A second miss in a row is not in it.
    #[staticmethod]
    #[pyo3(signature = (interval, *, missed = 0.0))]
    fn wait(interval: f64, missed: f64) -> PyResult<Self> {
        Ok(Self(Delay::wait(interval, missed)?))
    }

    /// Until the next of rate frames a second (Hz); with the probability missed one frame later.
    #[staticmethod]
    #[pyo3(signature = (rate, *, missed = 0.0))]
    fn frame_wait(rate: f64, missed: f64) -> PyResult<Self> {
        Ok(Self(Delay::frame_wait(rate, missed)?))
    }

    /// Rising from the shortest to the most likely time and falling to the longest, s.
    #[staticmethod]
    fn triangular(low: f64, mode: f64, high: f64) -> PyResult<Self> {
        Ok(Self(Delay::triangular(low, mode, high)?))
    }

    /// Each of the times measured (s, one to a million) with one probability.
    #[staticmethod]
    fn sample(times: Numbers<'_>) -> PyResult<Self> {
        Ok(Self(Delay::sample(times.to_vec())?))
    }

    /// By how much filter and averaging of a chain delay a steady motion: its group delay.
    #[staticmethod]
    fn filter(chain: &PySignalChain) -> PyResult<Self> {
        Ok(Self(Delay::filter(&chain.0)?))
    }

    /// Until the host polls next. speed: "low", "full" or "high"; b_interval: of the endpoint's descriptor, in frames
    /// of 1 ms, or at high speed 2^(b_interval - 1) microframes of 125 us (USB 2.0, table 9-13).
    #[staticmethod]
    fn usb_polling(speed: &str, b_interval: Count) -> PyResult<Self> {
        let speed: UsbSpeed = speed.parse()?;
        Ok(Self(Delay::usb_polling(speed, b_interval.0)?))
    }

    /// Until a display that draws rate frames a second (Hz) from top to bottom has come to a place on the screen, from
    /// 0 for the first line to 1 for the last.
    #[staticmethod]
    fn scan(rate: f64, place: f64) -> PyResult<Self> {
        Ok(Self(Delay::scan(rate, place)?))
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        from_json(text).map(Self)
    }

    /// What it is made of as JSON, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    fn __repr__(&self) -> String {
        match self.0.spec() {
            DelaySpec::Fixed { time } => format!("Delay.fixed({time:?})"),
            DelaySpec::Uniform { low, high } => format!("Delay.uniform({low:?}, {high:?})"),
            DelaySpec::Wait { interval, missed } => {
                format!("Delay.wait({interval:?}, missed={missed:?})")
            }
            DelaySpec::Triangular { low, mode, high } => {
                format!("Delay.triangular({low:?}, {mode:?}, {high:?})")
            }
            DelaySpec::Sample { times } if times.len() <= SHOWN => {
                format!("Delay.sample({times:?})")
            }
            DelaySpec::Sample { times } => {
                let mean = self.0.mean() / MS;
                format!("<Delay sample of {} times, mean {mean:.3} ms>", times.len())
            }
        }
    }
}

/// Times of a sample that are written out.
const SHOWN: usize = 20;

/// A stage between hand and screen.
///
/// kind: "filter", "conversion", "firmware loop", "bus polling", "host", "simulator frame", "display scan", "display
/// response" or "other". delay: how long it takes. name: what it is called; its kind if not given.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "LatencyStage")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLatencyStage(LatencyStage);

attributes! {
    impl PyLatencyStage {
        /// What it does.
        kind: String = |stage| stage.kind().to_string(),
        /// What it is called.
        name: String = |stage| stage.name().to_owned(),
        /// How long it takes.
        delay: PyDelay = |stage| PyDelay(stage.delay().clone()),
    }

    #[new]
    #[pyo3(signature = (kind, delay, *, name = None))]
    fn new(kind: &str, delay: &PyDelay, name: Option<String>) -> PyResult<Self> {
        let kind: StageKind = kind.parse()?;
        let stage = LatencyStage::new(kind, delay.0.clone());
        Ok(Self(match name {
            Some(name) => stage.named(name)?,
            None => stage,
        }))
    }

    fn __repr__(&self) -> String {
        format!(
            "LatencyStage({:?}, {}, name={:?})",
            self.0.kind().to_string(),
            PyDelay(self.0.delay().clone()).__repr__(),
            self.0.name()
        )
    }
}

/// What one stage is of the whole, and what less of it would be worth.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "StageEffect")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyStageEffect(StageEffect);

attributes! {
    impl PyStageEffect {
        /// Name of the stage.
        name: String = |effect| effect.name.clone(),
        /// What it does.
        kind: String = |effect| effect.kind.to_string(),
        /// Its mean, s.
        mean: f64,
        /// Its standard deviation, s.
        standard_deviation: f64,
        /// Its mean as a share of that of the whole; None where nothing takes any time.
        share_of_mean: Option<f64>,
        /// Its variance as a share of that of the whole; None where nothing varies.
        share_of_variance: Option<f64>,
        /// The time that 95 % keep if all its times are halved, s.
        p95_halved: f64,
        /// The time that 95 % keep without it, s.
        p95_removed: f64,
        /// What makes such a stage shorter.
        remedy(): &'static str,
    }

    fn __repr__(&self) -> String {
        format!(
            "<StageEffect {}: mean {:.3} ms, 95 % within {:.3} ms with half of it>",
            self.0.name,
            self.0.mean / MS,
            self.0.p95_halved / MS
        )
    }
}

/// How long it takes from hand to screen: stages in a row, independent of one another; print() shows them all.
///
/// stages: 1 to 32 with names that differ. Quantiles are those of the sum of all stages, not sums of quantiles: exact
/// while that is feasible, else off by time_error at most.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> budget = yw.axis.LatencyBudget(
/// ...     [
/// ...         yw.axis.LatencyStage("firmware loop", yw.axis.Delay.wait(1 * yw.ms)),
/// ...         yw.axis.LatencyStage("bus polling", yw.axis.Delay.usb_polling("full", 10)),
/// ...         yw.axis.LatencyStage("display scan", yw.axis.Delay.frame_wait(60)),
/// ...     ]
/// ... )
/// >>> print(f"mean {budget.mean / yw.ms:.1f} ms, 95 % within {budget.percentiles[2] / yw.ms:.1f} ms")
/// mean 13.8 ms, 95 % within 23.1 ms
/// >>> budget.stage_to_attack().name
/// 'display scan'
#[pyclass(frozen, eq, module = "yokewright.axis", name = "LatencyBudget")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyLatencyBudget(pub(in crate::python) LatencyBudget);

attributes! {
    impl PyLatencyBudget {
        /// Mean, s.
        mean(): f64,
        /// Standard deviation, s.
        standard_deviation(): f64,
        /// Shortest and longest, s.
        range: (f64, f64) = |budget| budget.range().into(),
        /// The times that 5 %, 50 % and 95 % keep, s.
        percentiles: (f64, f64, f64) = |budget| budget.percentiles().into(),
        /// Most by which a quantile or the time of a distribution may be off, s; 0 where the sum is exact.
        time_error(): f64,
    }

    #[new]
    fn new(stages: Many<Py<PyLatencyStage>>, py: Python<'_>) -> PyResult<Self> {
        let stages = stages.into_iter().map(|stage| stage.get().0.clone()).collect();
        Ok(Self(long(py, || LatencyBudget::new(stages))??))
    }

    /// The stages, in their order.
    #[getter]
    fn stages<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        PyTuple::new(py, self.0.stages().into_iter().map(PyLatencyStage))
    }

    /// The least time (s) that is kept with at least the probability share, 0 to 1.
    fn quantile(&self, share: f64, py: Python<'_>) -> PyResult<f64> {
        Ok(long(py, || self.0.quantile(share))??)
    }

    /// Probability that it takes time (s) at most.
    fn distribution(&self, time: f64) -> PyResult<f64> {
        Ok(self.0.distribution(time)?)
    }

    /// The same at many times (N,).
    fn distributions<'py>(&self, times: Numbers<'py>, py: Python<'py>) -> PyResult<Floats1<'py>> {
        let shares = times.with(py, |times| self.0.distributions(times))??;
        Ok(shares.into_pyarray(py))
    }

    /// Density at time (s), 1/s; at a jump its value behind it. Where all times are single ones there is none.
    fn density(&self, time: f64) -> PyResult<f64> {
        Ok(self.0.density(time)?)
    }

    /// The same at many times (N,).
    fn densities<'py>(&self, times: Numbers<'py>, py: Python<'py>) -> PyResult<Floats1<'py>> {
        let densities = times.with(py, |times| self.0.densities(times))??;
        Ok(densities.into_pyarray(py))
    }

    /// What each stage is of the whole, and what half of it and none of it would do to the time that 95 % keep.
    fn effects<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let effects = long(py, || self.0.effects())??;
        PyTuple::new(py, effects.into_iter().map(PyStageEffect))
    }

    /// The stage of which half would take most off the time that 95 % keep.
    fn stage_to_attack(&self, py: Python<'_>) -> PyResult<PyStageEffect> {
        Ok(PyStageEffect(long(py, || self.0.stage_to_attack())??))
    }

    /// The value that to_json has written.
    #[staticmethod]
    fn from_json(text: &str, py: Python<'_>) -> PyResult<Self> {
        long(py, || from_json(text).map(Self))?
    }

    /// The stages as JSON, to the last bit.
    fn to_json(&self) -> PyResult<String> {
        to_json(&self.0)
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(&self) -> String {
        format!(
            "<LatencyBudget of {} stages, mean {:.3} ms, 95 % within {:.3} ms>",
            self.0.stages().len(),
            self.0.mean() / MS,
            self.0.percentiles()[2] / MS
        )
    }
}

/// Runs of one device filmed at a rate: how many frames lie between the motion of the hand and that on the screen.
///
/// rate: frames a second, Hz. frames: of each run, 1 to 10,000 runs. Both events lie anywhere within their frames, so
/// that a run is off by a triangle of a frame either way, standard deviation a frame over sqrt 6; the spread of the
/// runs holds that already.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> runs = yw.axis.CameraRuns(1000, [108, 113, 110, 112, 109, 114, 111, 111])
/// >>> low, high = runs.mean_interval()
/// >>> print(f"{runs.mean / yw.ms:.1f} ms, {low / yw.ms:.1f} to {high / yw.ms:.1f} ms")
/// 111.0 ms, 109.3 to 112.7 ms
#[pyclass(frozen, eq, module = "yokewright.axis", name = "CameraRuns")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyCameraRuns {
    runs: CameraRuns,
    frames: Column<i64>,
    times: Column,
}

#[pymethods]
impl PyCameraRuns {
    #[new]
    fn new(rate: f64, frames: Many<i64>) -> PyResult<Self> {
        let whole = frames.into_iter().map(|count| {
            u32::try_from(count).map_err(|_| {
                InvalidValueError::new_err(format!("frames of a run cannot be {count}"))
            })
        });
        let frames = whole.collect::<PyResult<_>>()?;
        Ok(Self {
            runs: CameraRuns::new(rate, frames)?,
            frames: Column::default(),
            times: Column::default(),
        })
    }

    /// Frames a second, Hz.
    #[getter]
    fn rate(&self) -> f64 {
        self.runs.rate()
    }

    /// Frames of each run.
    #[getter]
    fn frames<'py>(&self, py: Python<'py>) -> PyResult<View<'py, i64>> {
        let frames: Vec<i64> = self
            .runs
            .frames()
            .iter()
            .map(|&count| count.into())
            .collect();
        self.frames.view(py, &frames)
    }

    /// Time of each run, s.
    #[getter]
    fn times<'py>(&self, py: Python<'py>) -> PyResult<View<'py>> {
        self.times.view(py, &self.runs.times())
    }

    /// How many runs.
    #[getter]
    fn count(&self) -> usize {
        self.runs.count()
    }

    /// Mean, s.
    #[getter]
    fn mean(&self) -> f64 {
        self.runs.mean()
    }

    /// Standard deviation of the runs, by one less than their number, s; None for a single run.
    #[getter]
    fn standard_deviation(&self) -> Option<f64> {
        self.runs.standard_deviation()
    }

    /// Standard deviation of the mean, s; None for a single run.
    #[getter]
    fn standard_error(&self) -> Option<f64> {
        self.runs.standard_error()
    }

    /// Standard deviation of the time of one event within its frame, s: a frame over sqrt 12.
    #[getter]
    fn event_deviation(&self) -> f64 {
        self.runs.event_deviation()
    }

    /// Standard deviation of the error of a run by its frames, s: a frame over sqrt 6.
    #[getter]
    fn quantization_deviation(&self) -> f64 {
        self.runs.quantization_deviation()
    }

    /// Greatest error of a run by its frames, s: a frame.
    #[getter]
    fn quantization_limit(&self) -> f64 {
        self.runs.quantization_limit()
    }

    /// Standard deviation that is left for the latency itself, s; None for a single run and where the frames explain
    /// all of the spread.
    #[getter]
    fn own_deviation(&self) -> Option<f64> {
        self.runs.own_deviation()
    }

    /// Lower and upper end of the interval that holds the mean latency with a confidence (0.5 to 0.9999), s: Student's
    /// t with n - 1 degrees of freedom.
    #[pyo3(signature = (confidence = 0.95))]
    fn mean_interval(&self, confidence: f64) -> PyResult<(f64, f64)> {
        Ok(self.runs.mean_interval(confidence)?.into())
    }

    /// This device against another, by Welch's test: the two may spread differently.
    #[pyo3(signature = (other, confidence = 0.95))]
    fn compared_with(&self, other: &Self, confidence: f64) -> PyResult<PyDeviceDifference> {
        let difference = self.runs.compared_with(&other.runs, confidence)?;
        Ok(PyDeviceDifference(difference))
    }

    fn __repr__(&self) -> String {
        let (rate, frames) = (self.runs.rate(), self.runs.frames());
        format!("CameraRuns(rate={rate:?}, frames={frames:?})")
    }
}

/// How two devices differ, by Welch's test.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "DeviceDifference")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyDeviceDifference(DeviceDifference);

attributes! {
    impl PyDeviceDifference {
        /// Mean of the first less that of the second, s.
        difference: f64,
        /// Its standard deviation, s.
        standard_error: f64,
        /// Satterthwaite's degrees of freedom.
        degrees_of_freedom: f64,
        /// The difference over its standard deviation.
        t: f64,
        /// Probability of a difference as great as this, either way, between devices that are alike.
        p: f64,
        /// Where the difference lies with the confidence asked for, s.
        interval: (f64, f64) = |found| found.interval.into(),
    }

    fn __repr__(&self) -> String {
        let [low, high] = self.0.interval.map(|end| end / MS);
        format!(
            "<DeviceDifference {:.2} ms, {low:.2} to {high:.2} ms, p {:.2e}>",
            self.0.difference / MS,
            self.0.p
        )
    }
}

/// Two devices of several.
#[pyclass(frozen, eq, module = "yokewright.axis", name = "DevicePair")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyDevicePair(DevicePair);

attributes! {
    impl PyDevicePair {
        /// Name of the first.
        first: String = |pair| pair.first.clone(),
        /// Name of the second.
        second: String = |pair| pair.second.clone(),
        /// How they differ: the first less the second.
        difference: PyDeviceDifference = |pair| PyDeviceDifference(pair.difference),
        /// The probability p of the difference, held against all pairs at once by Holm's method.
        p_of_all: f64,
    }

    fn __repr__(&self) -> String {
        format!(
            "<DevicePair {} less {}: {:.2} ms, p of all {:.2e}>",
            self.0.first,
            self.0.second,
            self.0.difference.difference / MS,
            self.0.p_of_all
        )
    }
}

/// Every pair of some devices (a dict of names and CameraRuns, 2 to 20) by Welch's test.
///
/// confidence: of each interval by itself, 0.5 to 0.9999.
#[pyfunction]
#[pyo3(signature = (devices, *, confidence = 0.95))]
pub(in crate::python) fn compare_devices<'py>(
    py: Python<'py>,
    devices: &Bound<'py, PyDict>,
    confidence: f64,
) -> PyResult<Bound<'py, PyTuple>> {
    let named = devices.iter().map(|(name, runs)| {
        let runs = runs.cast::<PyCameraRuns>()?.get().runs.clone();
        Ok((name.extract::<String>()?, runs))
    });
    let named: Vec<(String, CameraRuns)> = named.collect::<PyResult<_>>()?;
    let pairs = long(py, || axis::compare_devices(&named, confidence))??;
    PyTuple::new(py, pairs.into_iter().map(PyDevicePair))
}

/// How many runs of each of two devices it takes to find a difference of their means (s).
///
/// deviation: standard deviation of the runs of either, s. power: probability that it is found, 0.1 to 0.9999. A
/// two-sided t-test at 5 %, exact by the noncentral t.
///
/// >>> import yokewright as yw
/// >>> yw.axis.runs_needed(10 * yw.ms, deviation=10 * yw.ms)
/// 17
#[pyfunction]
#[pyo3(signature = (difference, *, deviation, power = 0.8))]
pub(in crate::python) fn runs_needed(
    py: Python<'_>,
    difference: f64,
    deviation: f64,
    power: f64,
) -> PyResult<usize> {
    Ok(long(py, || {
        axis::runs_needed(difference, deviation, power)
    })??)
}

/// With which probability so many runs of each of two devices (2 to 10,000) find a difference of their means (s).
///
/// deviation: standard deviation of the runs of either, s. A two-sided t-test at 5 %.
#[pyfunction]
#[pyo3(signature = (runs, difference, *, deviation))]
pub(in crate::python) fn power_of_runs(
    runs: Count,
    difference: f64,
    deviation: f64,
) -> PyResult<f64> {
    Ok(axis::power_of_runs(runs.0, difference, deviation)?)
}

/// The least difference of the means of two devices (s) that so many runs of each (2 to 10,000) find with a power.
///
/// What lies below, so many runs cannot tell. deviation: standard deviation of the runs of either, s. power: 0.1 to
/// 0.9999. A two-sided t-test at 5 %.
#[pyfunction]
#[pyo3(signature = (runs, *, deviation, power = 0.8))]
pub(in crate::python) fn detectable_difference(
    runs: Count,
    deviation: f64,
    power: f64,
) -> PyResult<f64> {
    Ok(axis::detectable_difference(runs.0, deviation, power)?)
}

/// Half the width of an interval that holds a mean with a confidence (0.5 to 0.9999), in standard deviations of the
/// mean: Student's t for so many degrees of freedom, 1 to 20,000.
#[pyfunction]
#[pyo3(signature = (degrees_of_freedom, *, confidence = 0.95))]
pub(in crate::python) fn student_t(degrees_of_freedom: f64, confidence: f64) -> PyResult<f64> {
    Ok(axis::student_t(degrees_of_freedom, confidence)?)
}

/// Page and number of what a device or one of its axes stands for in a report descriptor, such as "rudder" or "rx"
/// (HID Usage Tables 1.21).
///
/// >>> import yokewright as yw
/// >>> yw.axis.hid_usage("rudder")
/// (2, 186)
#[pyfunction]
pub(in crate::python) fn hid_usage(name: &str) -> PyResult<(u16, u16)> {
    let usage: HidUsage = name.parse()?;
    Ok((usage.page(), usage.id()))
}

/// Logical minimum and maximum of a field of so many bits (1 to 32) of a report: in two's complement, or from zero up.
#[pyfunction]
#[pyo3(signature = (bits, *, signed = true))]
pub(in crate::python) fn hid_logical_range(bits: Count, signed: bool) -> PyResult<(i64, i64)> {
    Ok(axis::hid_logical_range(bits.0, signed)?.into())
}
