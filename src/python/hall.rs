//! Sensors and the converter.

use nalgebra::Vector3;
use numpy::{IntoPyArray, PyArray1};
use pyo3::prelude::*;

use crate::hall::{self, Converter, LinearHall, LinearHallSpec, RotarySensor};
use crate::python::gate::convert::{Count, Floats1, Mask, Numbers, Triple, vector_out};
use crate::python::gate::long::long;

/// A ratiometric linear Hall sensor.
///
/// quiescent (V), sensitivity (V/T) and noise (V rms) hold at nominal_supply and scale with supply / nominal_supply.
/// rail_low: lowest output above ground, rail_headroom: supply less the highest output, V. depth: of the active area
/// below the package face, m. direction: of flux that raises the output, in the package frame (+z out of the face).
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import mT, mm
/// >>> sensor = yw.hall.LinearHall(
/// ...     supply=3.3, nominal_supply=3.3, quiescent=1.65, sensitivity=13.0,
/// ...     rail_low=0.1, rail_headroom=0.1, noise=0.0005, depth=0.5 * mm,
/// ... )
/// >>> print(f"{sensor.output(20 * mT):.2f} V")
/// 1.91 V
#[pyclass(frozen, eq, module = "yokewright.hall", name = "LinearHall")]
#[derive(Clone, PartialEq)]
pub(super) struct PyLinearHall {
    pub(super) sensor: LinearHall,
    /// As given: the core keeps it at length 1.
    direction: Vector3<f64>,
}

impl PyLinearHall {
    pub(super) fn of(sensor: &LinearHall) -> Self {
        Self {
            direction: sensor.direction(),
            sensor: sensor.clone(),
        }
    }
}

#[pymethods]
impl PyLinearHall {
    #[new]
    #[pyo3(signature = (*, supply, nominal_supply, quiescent, sensitivity, rail_low, rail_headroom, noise, depth,
        direction = Triple([0.0, 0.0, 1.0])),
           text_signature = "(*, supply, nominal_supply, quiescent, sensitivity, rail_low, rail_headroom, noise, \
               depth, direction=(0.0, 0.0, 1.0))")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        supply: f64,
        nominal_supply: f64,
        quiescent: f64,
        sensitivity: f64,
        rail_low: f64,
        rail_headroom: f64,
        noise: f64,
        depth: f64,
        direction: Triple,
    ) -> PyResult<Self> {
        let sensor = LinearHall::new(LinearHallSpec {
            supply,
            nominal_supply,
            quiescent,
            sensitivity,
            rail_low,
            rail_headroom,
            noise,
            depth,
            direction: direction.vector(),
        })?;
        Ok(Self {
            sensor,
            direction: direction.vector(),
        })
    }

    /// Supply voltage in use, V.
    #[getter]
    fn supply(&self) -> f64 {
        self.sensor.supply()
    }

    /// Supply voltage at which quiescent, sensitivity and noise hold, V.
    #[getter]
    fn nominal_supply(&self) -> f64 {
        self.sensor.nominal_supply()
    }

    /// Output without a field at the nominal supply, V.
    #[getter]
    fn quiescent(&self) -> f64 {
        self.sensor.quiescent()
    }

    /// Sensitivity at the nominal supply, V/T.
    #[getter]
    fn sensitivity(&self) -> f64 {
        self.sensor.sensitivity()
    }

    /// Lowest output above ground, V.
    #[getter]
    fn rail_low(&self) -> f64 {
        self.sensor.rail_low()
    }

    /// Supply less the highest output, V.
    #[getter]
    fn rail_headroom(&self) -> f64 {
        self.sensor.rail_headroom()
    }

    /// Output noise at the nominal supply, V rms.
    #[getter]
    fn noise(&self) -> f64 {
        self.sensor.noise()
    }

    /// Depth of the active area below the package face, m.
    #[getter]
    fn depth(&self) -> f64 {
        self.sensor.depth()
    }

    /// Direction of flux that raises the output, in the package frame, as given, shape (3,).
    #[getter]
    fn direction<'py>(&self, py: Python<'py>) -> Floats1<'py> {
        vector_out(py, &self.direction)
    }

    /// Output without a field at the supply in use, V.
    #[getter]
    fn quiescent_output(&self) -> f64 {
        self.sensor.quiescent_output()
    }

    /// Sensitivity at the supply in use, V/T.
    #[getter]
    fn gain(&self) -> f64 {
        self.sensor.gain()
    }

    /// Output noise at the supply in use, V rms.
    #[getter]
    fn output_noise(&self) -> f64 {
        self.sensor.output_noise()
    }

    /// Lowest and highest output, V.
    #[getter]
    fn output_range(&self) -> (f64, f64) {
        self.sensor.output_range().into()
    }

    /// Flux densities at which the output meets its rails, T.
    #[getter]
    fn flux_range(&self) -> (f64, f64) {
        self.sensor.flux_range().into()
    }

    /// Output for a flux density (T) along the sensitive direction, V, held at the rails.
    fn output(&self, flux: f64) -> PyResult<f64> {
        Ok(self.sensor.output(flux)?)
    }

    /// Outputs for many flux densities (N,): V, shape (N,), and a mask of the rows that have a value.
    fn outputs<'py>(
        &self,
        py: Python<'py>,
        flux: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let flux = flux.to_vec();
        let outputs = long(py, || self.sensor.outputs(&flux))?;
        Ok((
            outputs.values.into_pyarray(py),
            outputs.valid.into_pyarray(py),
        ))
    }

    pub(super) fn __repr__(&self) -> String {
        format!(
            "LinearHall(supply={:?}, nominal_supply={:?}, quiescent={:?}, sensitivity={:?}, rail_low={:?}, \
             rail_headroom={:?}, noise={:?}, depth={:?}, direction={:?})",
            self.supply(),
            self.nominal_supply(),
            self.quiescent(),
            self.sensitivity(),
            self.rail_low(),
            self.rail_headroom(),
            self.noise(),
            self.depth(),
            self.direction.as_slice(),
        )
    }
}

/// An analog-to-digital converter from 0 V to its reference.
///
/// rounding "nearest": code k covers [k - 1/2, k + 1/2) steps; "down": [k, k + 1). noise: V rms referred to the input.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> yw.hall.Converter(bits=12, reference=3.3).code(1.65)
/// 2048
#[pyclass(frozen, eq, module = "yokewright.hall", name = "Converter")]
#[derive(Clone, PartialEq)]
pub(super) struct PyConverter(pub(super) Converter);

#[pymethods]
impl PyConverter {
    #[new]
    #[pyo3(signature = (*, bits, reference, rounding = "nearest", noise = 0.0))]
    fn new(bits: u32, reference: f64, rounding: &str, noise: f64) -> PyResult<Self> {
        Ok(Self(Converter::new(
            bits,
            reference,
            rounding.parse()?,
            noise,
        )?))
    }

    /// Bits.
    #[getter]
    fn bits(&self) -> u32 {
        self.0.bits()
    }

    /// Voltage of the full range, V.
    #[getter]
    fn reference(&self) -> f64 {
        self.0.reference()
    }

    /// "nearest" or "down".
    #[getter]
    fn rounding(&self) -> String {
        self.0.rounding().to_string()
    }

    /// Noise referred to the input, V rms.
    #[getter]
    fn noise(&self) -> f64 {
        self.0.noise()
    }

    /// One step, V.
    #[getter]
    fn lsb(&self) -> f64 {
        self.0.lsb()
    }

    /// The greatest code.
    #[getter]
    fn max_code(&self) -> i64 {
        self.0.max_code()
    }

    /// Noise of ideal quantization, lsb / sqrt(12), V rms.
    #[getter]
    fn quantization_noise(&self) -> f64 {
        self.0.quantization_noise()
    }

    /// Signal-to-noise ratio of an ideal converter for a full-scale sine, dB.
    #[getter]
    fn ideal_snr_db(&self) -> f64 {
        self.0.ideal_snr_db()
    }

    /// Effective bits with a total noise (V rms, quantization included): IEEE Std 1241.
    fn effective_bits(&self, noise: f64) -> PyResult<f64> {
        Ok(self.0.effective_bits(noise)?)
    }

    /// The code of a voltage, held at the ends of the range.
    fn code(&self, volts: f64) -> PyResult<i64> {
        Ok(self.0.code(volts)?)
    }

    /// The codes of many voltages (N,): int64, shape (N,), -1 where there is none, and a mask of the rows that have
    /// one.
    fn codes<'py>(
        &self,
        py: Python<'py>,
        volts: Numbers<'py>,
    ) -> PyResult<(Bound<'py, PyArray1<i64>>, Mask<'py>)> {
        let volts = volts.to_vec();
        let codes = long(py, || self.0.codes(&volts))?;
        Ok((codes.values.into_pyarray(py), codes.valid.into_pyarray(py)))
    }

    pub(super) fn __repr__(&self) -> String {
        format!(
            "Converter(bits={}, reference={:?}, rounding='{}', noise={:?})",
            self.bits(),
            self.reference(),
            self.rounding(),
            self.noise()
        )
    }
}

/// A potentiometer or shaft-end angle sensor: its output covers the supply over a fixed electrical travel (rad).
#[pyclass(frozen, eq, module = "yokewright.hall", name = "RotarySensor")]
#[derive(Clone, PartialEq)]
pub(super) struct PyRotarySensor(RotarySensor);

#[pymethods]
impl PyRotarySensor {
    #[new]
    #[pyo3(signature = (*, travel, supply))]
    fn new(travel: f64, supply: f64) -> PyResult<Self> {
        Ok(Self(RotarySensor::new(travel, supply)?))
    }

    /// Electrical travel, rad.
    #[getter]
    fn travel(&self) -> f64 {
        self.0.travel()
    }

    /// Supply voltage, V.
    #[getter]
    fn supply(&self) -> f64 {
        self.0.supply()
    }

    /// Output at an angle (rad) from the start of the travel, V.
    fn output(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.output(angle)?)
    }

    /// The fraction of the range that a throw (rad) uses.
    fn share(&self, throw: f64) -> PyResult<f64> {
        Ok(self.0.share(throw)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "RotarySensor(travel={:?}, supply={:?})",
            self.travel(),
            self.supply()
        )
    }
}

/// RMS output noise (V) of a field noise density (T/sqrt(Hz)) at a sensitivity (V/T) in a single-pole bandwidth (Hz).
#[pyfunction]
pub(super) fn noise_from_density(density: f64, sensitivity: f64, bandwidth: f64) -> PyResult<f64> {
    Ok(hall::noise_from_density(density, sensitivity, bandwidth)?)
}

/// Effective bits of a measured signal-to-noise-and-distortion ratio (dB) of a full-scale sine: IEEE Std 1241.
#[pyfunction]
pub(super) fn bits_from_snr_db(snr_db: f64) -> PyResult<f64> {
    Ok(hall::bits_from_snr_db(snr_db)?)
}

/// Bits gained by averaging samples with white noise: half a bit per doubling.
#[pyfunction]
pub(super) fn bits_from_averaging(samples: Count) -> PyResult<f64> {
    Ok(hall::bits_from_averaging(samples.0)?)
}
