//! Filter, mean, and the chain from a sensor's output to the reading.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use crate::hall::{Averaging, LowPass, NoiseBudget, SignalChain};
use crate::python::gate::convert::Count;
use crate::python::gate::long::long;
use crate::python::hall::converter::PyConverter;

/// A low-pass filter of one pole with its -3 dB corner at cutoff (Hz).
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> filter = yw.hall.LowPass.from_rc(10e3, 100e-9)
/// >>> print(f"{filter.cutoff:.0f} Hz, {1e3 * filter.group_delay:.1f} ms late")
/// 159 Hz, 1.0 ms late
#[pyclass(frozen, eq, module = "yokewright.hall", name = "LowPass")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyLowPass(pub(in crate::python) LowPass);

#[pymethods]
impl PyLowPass {
    #[new]
    fn new(cutoff: f64) -> PyResult<Self> {
        Ok(Self(LowPass::new(cutoff)?))
    }

    /// From a resistance (ohm, that of the source included) and a capacitance (F).
    #[staticmethod]
    fn from_rc(resistance: f64, capacitance: f64) -> PyResult<Self> {
        Ok(Self(LowPass::from_rc(resistance, capacitance)?))
    }

    /// -3 dB corner, Hz.
    #[getter]
    fn cutoff(&self) -> f64 {
        self.0.cutoff()
    }

    /// Time constant, s.
    #[getter]
    fn time_constant(&self) -> f64 {
        self.0.time_constant()
    }

    /// Bandwidth of the ideal filter that passes as much white noise, Hz: pi/2 times the cutoff.
    #[getter]
    fn noise_bandwidth(&self) -> f64 {
        self.0.noise_bandwidth()
    }

    /// Group delay at low frequency, s.
    #[getter]
    fn group_delay(&self) -> f64 {
        self.0.group_delay()
    }

    /// Share of noise (rms) that passes of a sensor whose noise is white up to one pole at bandwidth (Hz).
    fn noise_share(&self, bandwidth: f64) -> PyResult<f64> {
        Ok(self.0.noise_share(bandwidth)?)
    }

    /// Gain at a frequency (Hz).
    fn gain(&self, frequency: f64) -> PyResult<f64> {
        Ok(self.0.gain(frequency)?)
    }

    /// Phase at a frequency (Hz), rad, 0 to -pi/2.
    fn phase(&self, frequency: f64) -> PyResult<f64> {
        Ok(self.0.phase(frequency)?)
    }

    /// Time after a step until so large a share of it is still missing, s.
    fn settling_time(&self, share: f64) -> PyResult<f64> {
        Ok(self.0.settling_time(share)?)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!("LowPass({:?})", self.cutoff())
    }
}

/// The mean of so many samples, an interval (s) apart.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> averaging = yw.hall.Averaging(16, 1e-4)
/// >>> averaging.noise_factor
/// 0.25
/// >>> print(f"{averaging.noise_factor_behind(yw.hall.LowPass(200.0)):.2f}")
/// 0.75
#[pyclass(frozen, eq, module = "yokewright.hall", name = "Averaging")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyAveraging(pub(in crate::python) Averaging);

#[pymethods]
impl PyAveraging {
    #[new]
    fn new(samples: Count, interval: f64) -> PyResult<Self> {
        Ok(Self(Averaging::new(samples.0, interval)?))
    }

    /// How many samples.
    #[getter]
    fn samples(&self) -> usize {
        self.0.samples()
    }

    /// Time between two, s.
    #[getter]
    fn interval(&self) -> f64 {
        self.0.interval()
    }

    /// Group delay, s: (N - 1)/2 intervals.
    #[getter]
    fn group_delay(&self) -> f64 {
        self.0.group_delay()
    }

    /// Share of white noise (rms) that is left: 1 / sqrt(N).
    #[getter]
    fn noise_factor(&self) -> f64 {
        self.0.noise_factor()
    }

    /// Share of noise (rms) that is left if it was white before the filter.
    fn noise_factor_behind(&self, py: Python<'_>, filter: &PyLowPass) -> PyResult<f64> {
        Ok(long(py, || self.0.noise_factor_behind(&filter.0))??)
    }

    /// Gain for a motion of a frequency (Hz).
    fn gain(&self, frequency: f64) -> PyResult<f64> {
        Ok(self.0.gain(frequency)?)
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!("Averaging({}, {:?})", self.samples(), self.interval())
    }
}

/// What a sensor's output goes through: a filter if there is one, the converter, and the mean of several codes if they
/// are averaged.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mV
/// >>> chain = yw.hall.SignalChain(
/// ...     filter=yw.hall.LowPass(1000.0),
/// ...     converter=yw.hall.Converter(bits=12, reference=3.3, noise=0.4 * mV),
/// ...     averaging=yw.hall.Averaging(8, 0.5e-3),
/// ... )
/// >>> noise = chain.noise(1 * mV, bandwidth=20e3)
/// >>> print(f"{noise.total / mV:.2f} mV rms, {1e3 * chain.group_delay:.1f} ms late")
/// 0.18 mV rms, 1.9 ms late
#[pyclass(frozen, eq, module = "yokewright.hall", name = "SignalChain")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PySignalChain(pub(in crate::python) SignalChain);

#[pymethods]
impl PySignalChain {
    #[new]
    #[pyo3(signature = (*, converter, filter = None, averaging = None))]
    fn new(
        converter: &PyConverter,
        filter: Option<&PyLowPass>,
        averaging: Option<&PyAveraging>,
    ) -> Self {
        Self(SignalChain {
            filter: filter.map(|filter| filter.0),
            converter: converter.0.clone(),
            averaging: averaging.map(|averaging| averaging.0),
        })
    }

    /// The converter.
    #[getter]
    fn converter(&self) -> PyConverter {
        PyConverter(self.0.converter.clone())
    }

    /// The filter before the converter, or None.
    #[getter]
    fn filter(&self) -> Option<PyLowPass> {
        self.0.filter.map(PyLowPass)
    }

    /// The mean of the codes, or None.
    #[getter]
    fn averaging(&self) -> Option<PyAveraging> {
        self.0.averaging.map(PyAveraging)
    }

    /// Group delay of filter and averaging at low frequency, s.
    #[getter]
    fn group_delay(&self) -> f64 {
        self.0.group_delay()
    }

    /// The noise of a reading, referred to the converter's input, for a sensor's output noise (V rms) that is white up
    /// to one pole at bandwidth (Hz). Without a bandwidth no filter lowers it.
    #[pyo3(signature = (noise, bandwidth = None))]
    fn noise(&self, py: Python<'_>, noise: f64, bandwidth: Option<f64>) -> PyResult<PyNoiseBudget> {
        Ok(PyNoiseBudget(long(py, || self.0.noise(noise, bandwidth))??))
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        let part = |text: Option<String>| text.unwrap_or_else(|| "None".to_owned());
        format!(
            "SignalChain(converter={}, filter={}, averaging={})",
            self.converter().__repr__(),
            part(self.filter().map(|filter| filter.__repr__())),
            part(self.averaging().map(|averaging| averaging.__repr__())),
        )
    }
}

/// The noise of a reading by where it comes from, referred to the converter's input.
#[pyclass(frozen, eq, module = "yokewright.hall", name = "NoiseBudget")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(in crate::python) struct PyNoiseBudget(pub(in crate::python) NoiseBudget);

#[pymethods]
impl PyNoiseBudget {
    /// Of the sensor, V rms.
    #[getter]
    fn sensor(&self) -> f64 {
        self.0.sensor
    }

    /// Of the converter's input, V rms.
    #[getter]
    fn converter(&self) -> f64 {
        self.0.converter
    }

    /// Of quantization, V rms.
    #[getter]
    fn quantization(&self) -> f64 {
        self.0.quantization
    }

    /// What the converter's integral nonlinearity is worth, V rms.
    #[getter]
    fn nonlinearity(&self) -> f64 {
        self.0.nonlinearity
    }

    /// What makes a reading unsteady, V rms: sensor and converter together.
    #[getter]
    fn random(&self) -> f64 {
        self.0.random()
    }

    /// Noise and distortion, V rms: all of it.
    #[getter]
    fn total(&self) -> f64 {
        self.0.total()
    }

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "<NoiseBudget sensor {}, converter {}, quantization {}, nonlinearity {}, total {}>",
            self.sensor(),
            self.converter(),
            self.quantization(),
            self.nonlinearity(),
            self.total()
        )
    }
}
