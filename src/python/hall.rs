//! Sensors and the converter.

use nalgebra::Vector3;
use numpy::{IntoPyArray, PyArray1};
use pyo3::prelude::*;

use crate::hall::{
    self, Converter, LinearHall, LinearHallSpec, Potentiometer, PotentiometerSpec, SensorOutputs,
};
use crate::python::gate::convert::{Count, Floats1, Mask, Numbers, Triple, vector_out};
use crate::python::gate::long::long;
use crate::python::gate::sequence::Few;

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
            ..LinearHallSpec::new(5.0, 25.0)
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
        outputs_out(py, || self.sensor.outputs(&flux))
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

/// A potentiometer as a voltage divider, loaded by the converter's input.
///
/// Angles (rad) count from the start of the electrical travel, over which the output changes; the mechanical travel, from
/// stop to stop, has it in its middle and is as long if left out. resistance: of the track, ohm. end_resistances: to
/// ground and to the supply, ohm. linearity: independent, a share of the supply. noise: of the wiper, V rms.
/// noise_resistance: equivalent, ohm. load: of the converter's input, ohm, None if it draws no current. center: where on
/// the electrical travel the control's center stands, its middle if left out.
///
/// Examples
/// --------
/// >>> import yokewright as yw
/// >>> from yokewright import deg
/// >>> pot = yw.hall.Potentiometer(travel=300 * deg, supply=5.0, resistance=10e3, load=1e6)
/// >>> print(f"{pot.output(200 * deg):.3f} V, {1e3 * pot.max_loading_error:.1f} mV too low at worst")
/// 3.326 V, 7.4 mV too low at worst
#[pyclass(frozen, eq, module = "yokewright.hall", name = "Potentiometer")]
#[derive(Clone, PartialEq)]
pub(super) struct PyPotentiometer(pub(super) Potentiometer);

#[pymethods]
impl PyPotentiometer {
    #[new]
    #[pyo3(signature = (*, travel, supply, mechanical_travel = None, resistance = 10e3,
        end_resistances = Few([0.0, 0.0]), linearity = 0.0, noise = 0.0, noise_resistance = 0.0, load = None,
        center = None),
        text_signature = "(*, travel, supply, mechanical_travel=None, resistance=10000.0, \
            end_resistances=(0.0, 0.0), linearity=0.0, noise=0.0, noise_resistance=0.0, load=None, center=None)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        travel: f64,
        supply: f64,
        mechanical_travel: Option<f64>,
        resistance: f64,
        end_resistances: Few<2>,
        linearity: f64,
        noise: f64,
        noise_resistance: f64,
        load: Option<f64>,
        center: Option<f64>,
    ) -> PyResult<Self> {
        let ideal = PotentiometerSpec::new(travel, supply);
        Ok(Self(Potentiometer::new(PotentiometerSpec {
            mechanical_travel: mechanical_travel.unwrap_or(ideal.mechanical_travel),
            resistance,
            end_resistances: end_resistances.0,
            linearity,
            noise,
            noise_resistance,
            load,
            center: center.unwrap_or(ideal.center),
            ..ideal
        })?))
    }

    /// Electrical travel, rad.
    #[getter]
    fn travel(&self) -> f64 {
        self.0.spec().travel
    }

    /// Supply voltage, V.
    #[getter]
    fn supply(&self) -> f64 {
        self.0.spec().supply
    }

    /// Mechanical travel, rad.
    #[getter]
    fn mechanical_travel(&self) -> f64 {
        self.0.spec().mechanical_travel
    }

    /// Resistance of the track, ohm.
    #[getter]
    fn resistance(&self) -> f64 {
        self.0.spec().resistance
    }

    /// End resistances to ground and to the supply, ohm.
    #[getter]
    fn end_resistances(&self) -> (f64, f64) {
        self.0.spec().end_resistances.into()
    }

    /// Independent linearity, as a share of the supply.
    #[getter]
    fn linearity(&self) -> f64 {
        self.0.spec().linearity
    }

    /// Noise of the wiper, V rms.
    #[getter]
    fn noise(&self) -> f64 {
        self.0.spec().noise
    }

    /// Equivalent noise resistance, ohm.
    #[getter]
    fn noise_resistance(&self) -> f64 {
        self.0.spec().noise_resistance
    }

    /// Resistance of the converter's input, ohm, or None.
    #[getter]
    fn load(&self) -> Option<f64> {
        self.0.spec().load
    }

    /// Where on the electrical travel the control's center stands, rad.
    #[getter]
    fn center(&self) -> f64 {
        self.0.spec().center
    }

    /// From stop to stop, as angles from the start of the electrical travel, rad.
    #[getter]
    fn mechanical_range(&self) -> (f64, f64) {
        self.0.mechanical_range().into()
    }

    /// Lowest and highest output, V.
    #[getter]
    fn output_range(&self) -> (f64, f64) {
        self.0.output_range().into()
    }

    /// Most by which the load lowers the output, V; about 4/27 of the supply times track over load.
    #[getter]
    fn max_loading_error(&self) -> f64 {
        self.0.max_loading_error()
    }

    /// Most by which the independent linearity may move the output, V.
    #[getter]
    fn linearity_error(&self) -> f64 {
        self.0.linearity_error()
    }

    /// Output at an angle (rad) from the start of the electrical travel, V.
    fn output(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.output(angle)?)
    }

    /// Outputs at many angles (N,): V, shape (N,), and a mask of the rows that have a value.
    fn outputs<'py>(
        &self,
        py: Python<'py>,
        angles: Numbers<'py>,
    ) -> PyResult<(Floats1<'py>, Mask<'py>)> {
        let angles = angles.to_vec();
        outputs_out(py, || self.0.outputs(&angles))
    }

    /// Change of the output with the angle, V/rad, at an angle (rad): 0 beyond the electrical travel.
    fn slope(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.slope(angle)?)
    }

    /// The angle (rad) at which the output is so many volts.
    fn angle_for(&self, volts: f64) -> PyResult<f64> {
        Ok(self.0.angle_for(volts)?)
    }

    /// The fraction of the electrical travel that a throw (rad) uses.
    fn share(&self, throw: f64) -> PyResult<f64> {
        Ok(self.0.share(throw)?)
    }

    /// By how much the load lowers the output at an angle (rad), V.
    fn loading_error(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.loading_error(angle)?)
    }

    /// Most by which the contact of the wiper disturbs the output at an angle (rad), V: the equivalent noise resistance
    /// times the current through the wiper.
    fn contact_error(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.contact_error(angle)?)
    }

    /// Resistance of the source that a filter sees at the wiper at an angle (rad), ohm.
    fn source_resistance(&self, angle: f64) -> PyResult<f64> {
        Ok(self.0.source_resistance(angle)?)
    }

    fn __repr__(&self) -> String {
        format!(
            "Potentiometer(travel={:?}, supply={:?}, mechanical_travel={:?}, resistance={:?}, end_resistances={:?}, \
             linearity={:?}, noise={:?}, noise_resistance={:?}, load={}, center={:?})",
            self.travel(),
            self.supply(),
            self.mechanical_travel(),
            self.resistance(),
            self.end_resistances(),
            self.linearity(),
            self.noise(),
            self.noise_resistance(),
            optional(self.load()),
            self.center(),
        )
    }
}

/// A number or None, as Python writes it.
fn optional(value: Option<f64>) -> String {
    value.map_or_else(|| "None".to_owned(), |value| format!("{value:?}"))
}

fn outputs_out<'py>(
    py: Python<'py>,
    outputs: impl FnOnce() -> SensorOutputs + Send,
) -> PyResult<(Floats1<'py>, Mask<'py>)> {
    let outputs = long(py, outputs)?;
    Ok((
        outputs.values.into_pyarray(py),
        outputs.valid.into_pyarray(py),
    ))
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
