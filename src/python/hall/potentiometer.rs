//! The potentiometer.

use pyo3::prelude::*;

use crate::hall::{Potentiometer, PotentiometerSpec};
use crate::python::gate::convert::{Floats1, Mask, Numbers};
use crate::python::gate::sequence::Few;
use crate::python::hall::outputs::{optional, outputs_out};

/// A potentiometer as a voltage divider, loaded by the converter's input.
///
/// Angles (rad) count from the start of the electrical travel, over which the output changes; the mechanical travel,
/// from stop to stop, has it in its middle and is as long if left out. resistance: of the track, ohm. end_resistances:
/// to ground and to the supply, ohm. linearity: independent, a share of the supply. noise: of the wiper, V rms.
/// noise_resistance: equivalent, ohm. load: of the converter's input, ohm, None if it draws no current. center: where
/// on the electrical travel the control's center stands, its middle if left out.
///
/// Potentiometer.named("10 kilohm 300 degrees") for a typical one; TypicalPart.all() lists them.
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
pub(in crate::python) struct PyPotentiometer(pub(in crate::python) Potentiometer);

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

    /// A typical potentiometer by its name; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self(Potentiometer::named(name)?))
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

    pub(in crate::python) fn __repr__(&self) -> String {
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
