//! The converter.

use numpy::{IntoPyArray, PyArray1};
use pyo3::prelude::*;

use crate::hall::{self, Converter};
use crate::python::gate::convert::{Count, Mask, Numbers};
use crate::python::gate::long::long;

/// An analog-to-digital converter from 0 V to its reference.
///
/// rounding "nearest": code k covers [k - 1/2, k + 1/2) steps; "down": [k, k + 1). noise: of one conversion, V rms
/// referred to the input. nonlinearity: integral, worst case, lsb. oversampling: conversions of which the converter
/// itself takes the mean for each code.
///
/// Converter.named("12 bit 3.3 V") for a typical one; TypicalPart.all() lists them.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> yw.hall.Converter(bits=12, reference=3.3).code(1.65)
/// 2048
#[pyclass(frozen, eq, module = "yokewright.hall", name = "Converter")]
#[derive(Clone, PartialEq)]
pub(in crate::python) struct PyConverter(pub(in crate::python) Converter);

#[pymethods]
impl PyConverter {
    #[new]
    #[pyo3(signature = (*, bits, reference, rounding = "nearest", noise = 0.0, nonlinearity = 0.0, oversampling = 1))]
    fn new(
        bits: u32,
        reference: f64,
        rounding: &str,
        noise: f64,
        nonlinearity: f64,
        oversampling: u32,
    ) -> PyResult<Self> {
        let converter = Converter::new(bits, reference, rounding.parse()?, noise)?;
        let converter = converter.with_nonlinearity(nonlinearity)?;
        Ok(Self(converter.with_oversampling(oversampling)?))
    }

    /// A typical converter by its name; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(Converter::named(name)?))
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

    /// Noise of one conversion referred to the input, V rms.
    #[getter]
    fn noise(&self) -> f64 {
        self.0.noise()
    }

    /// Integral nonlinearity, worst case, lsb.
    #[getter]
    fn nonlinearity(&self) -> f64 {
        self.0.nonlinearity()
    }

    /// Conversions for one code.
    #[getter]
    fn oversampling(&self) -> u32 {
        self.0.oversampling()
    }

    /// Noise of a code referred to the input, V rms: that of one conversion over the root of their number.
    #[getter]
    fn code_noise(&self) -> f64 {
        self.0.code_noise()
    }

    /// What the integral nonlinearity is worth as distortion, V rms: nonlinearity lsb / sqrt(3), an error that lies
    /// anywhere between its limits.
    #[getter]
    fn nonlinearity_noise(&self) -> f64 {
        self.0.nonlinearity_noise()
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

    /// Noise and distortion of a code (V rms) with a noise of what comes in (V rms): with the converter's own noise,
    /// quantization and integral nonlinearity.
    fn total_noise(&self, noise: f64) -> PyResult<f64> {
        Ok(self.0.total_noise(noise)?)
    }

    /// Effective bits with a total noise and distortion (V rms, quantization included, as total_noise gives): IEEE Std
    /// 1241.
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

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "Converter(bits={}, reference={:?}, rounding='{}', noise={:?}, nonlinearity={:?}, oversampling={})",
            self.bits(),
            self.reference(),
            self.rounding(),
            self.noise(),
            self.nonlinearity(),
            self.oversampling(),
        )
    }
}

/// Effective bits of a measured signal-to-noise-and-distortion ratio (dB) of a full-scale sine: IEEE Std 1241.
#[pyfunction]
pub(in crate::python) fn bits_from_snr_db(snr_db: f64) -> PyResult<f64> {
    Ok(hall::bits_from_snr_db(snr_db)?)
}

/// Bits gained by averaging samples with white noise: half a bit per doubling.
#[pyfunction]
pub(in crate::python) fn bits_from_averaging(samples: Count) -> PyResult<f64> {
    Ok(hall::bits_from_averaging(samples.0)?)
}
