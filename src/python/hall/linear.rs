//! The linear Hall sensor.

use nalgebra::Vector3;
use pyo3::prelude::*;

use crate::hall::{self, HallVariation, LinearHall, LinearHallSpec};
use crate::python::gate::convert::{Floats1, Mask, Numbers, Triple, vector_out};
use crate::python::gate::sequence::Few;
use crate::python::hall::outputs::{optional, outputs_out};

/// A ratiometric linear Hall sensor.
///
/// quiescent (V), sensitivity (V/T) and noise (V rms) hold at nominal_supply and scale with supply / nominal_supply;
/// left out, the supply is the nominal one and the output rests in its middle, without noise, from rail to rail.
/// rail_low: lowest output above ground, rail_headroom: supply less the highest output, V. depth: of the active area
/// below the package face, m. direction: of flux that raises the output, in the package frame (+z out of the face).
/// area: sides of the active area along x and y, m. bandwidth: corner of the one pole that ends it, Hz, if it is known;
/// noise then is that of all of it. Tolerances either way: of the sensitivity as a share, of the quiescent output in V.
/// Drifts: of the sensitivity in 1/K, of the quiescent output in V/K, from reference_celsius (degC) on.
///
/// LinearHall.named("continuous 5 V 25 mV/mT") for a typical one; TypicalPart.all() lists them.
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
pub(in crate::python) struct PyLinearHall {
    pub(in crate::python) sensor: LinearHall,
    /// As given: the core keeps it at length 1.
    direction: Vector3<f64>,
}

impl PyLinearHall {
    pub(in crate::python) fn of(sensor: &LinearHall) -> Self {
        Self {
            direction: sensor.direction(),
            sensor: sensor.clone(),
        }
    }
}

#[pymethods]
impl PyLinearHall {
    #[new]
    #[pyo3(signature = (*, supply, sensitivity, nominal_supply = None, quiescent = None, rail_low = 0.0,
        rail_headroom = 0.0, noise = 0.0, depth = 0.0, direction = Triple([0.0, 0.0, 1.0]), area = Few([0.0, 0.0]),
        bandwidth = None, sensitivity_tolerance = 0.0,
        quiescent_tolerance = 0.0, sensitivity_drift = 0.0, quiescent_drift = 0.0, reference_celsius = 25.0),
           text_signature = "(*, supply, sensitivity, nominal_supply=None, quiescent=None, rail_low=0.0, \
               rail_headroom=0.0, noise=0.0, depth=0.0, direction=(0.0, 0.0, 1.0), area=(0.0, 0.0), \
               bandwidth=None, sensitivity_tolerance=0.0, \
               quiescent_tolerance=0.0, sensitivity_drift=0.0, quiescent_drift=0.0, reference_celsius=25.0)")]
    #[expect(clippy::too_many_arguments, reason = "keywords in Python")]
    fn new(
        supply: f64,
        sensitivity: f64,
        nominal_supply: Option<f64>,
        quiescent: Option<f64>,
        rail_low: f64,
        rail_headroom: f64,
        noise: f64,
        depth: f64,
        direction: Triple,
        area: Few<2>,
        bandwidth: Option<f64>,
        sensitivity_tolerance: f64,
        quiescent_tolerance: f64,
        sensitivity_drift: f64,
        quiescent_drift: f64,
        reference_celsius: f64,
    ) -> PyResult<Self> {
        let nominal_supply = nominal_supply.unwrap_or(supply);
        let sensor = LinearHall::new(LinearHallSpec {
            supply,
            nominal_supply,
            quiescent: quiescent.unwrap_or(0.5 * nominal_supply),
            sensitivity,
            rail_low,
            rail_headroom,
            noise,
            depth,
            direction: direction.vector(),
            area: area.0,
            bandwidth,
            variation: HallVariation {
                sensitivity_tolerance,
                quiescent_tolerance,
                sensitivity_drift,
                quiescent_drift,
                reference_celsius,
            },
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

    /// A typical sensor by its name; case, spaces, hyphens and underscores make no difference.
    #[staticmethod]
    fn named(name: &str) -> PyResult<Self> {
        Ok(Self::of(&LinearHall::named(name)?))
    }

    /// Sides of the active area along x and y of the package frame, m.
    #[getter]
    fn area(&self) -> (f64, f64) {
        self.sensor.area().into()
    }

    /// Corner of the one pole that ends the bandwidth, Hz, or None.
    #[getter]
    fn bandwidth(&self) -> Option<f64> {
        self.sensor.bandwidth()
    }

    /// Most by which the sensitivity of a part may differ, as a share.
    #[getter]
    fn sensitivity_tolerance(&self) -> f64 {
        self.sensor.variation().sensitivity_tolerance
    }

    /// Most by which the quiescent output at the nominal supply may differ, V.
    #[getter]
    fn quiescent_tolerance(&self) -> f64 {
        self.sensor.variation().quiescent_tolerance
    }

    /// Change of the sensitivity with temperature, as a share of it, 1/K.
    #[getter]
    fn sensitivity_drift(&self) -> f64 {
        self.sensor.variation().sensitivity_drift
    }

    /// Change of the quiescent output at the nominal supply with temperature, V/K.
    #[getter]
    fn quiescent_drift(&self) -> f64 {
        self.sensor.variation().quiescent_drift
    }

    /// Temperature at which sensitivity and quiescent output hold, degC.
    #[getter]
    fn reference_celsius(&self) -> f64 {
        self.sensor.variation().reference_celsius
    }

    /// Density of the noise in flux density, T/sqrt(Hz); None without a bandwidth.
    #[getter]
    fn noise_density(&self) -> Option<f64> {
        self.sensor.noise_density()
    }

    /// The sensor as it is at a temperature (degC): its sensitivity and quiescent output drifted, and no drift left.
    fn at_temperature(&self, celsius: f64) -> PyResult<Self> {
        Ok(Self {
            sensor: self.sensor.at_temperature(celsius)?,
            direction: self.direction,
        })
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

    pub(in crate::python) fn __repr__(&self) -> String {
        format!(
            "LinearHall(supply={:?}, nominal_supply={:?}, quiescent={:?}, sensitivity={:?}, rail_low={:?}, \
             rail_headroom={:?}, noise={:?}, depth={:?}, direction={:?}, area={:?}, bandwidth={}, \
             sensitivity_tolerance={:?}, quiescent_tolerance={:?}, sensitivity_drift={:?}, quiescent_drift={:?}, \
             reference_celsius={:?})",
            self.supply(),
            self.nominal_supply(),
            self.quiescent(),
            self.sensitivity(),
            self.rail_low(),
            self.rail_headroom(),
            self.noise(),
            self.depth(),
            self.direction.as_slice(),
            self.area(),
            optional(self.bandwidth()),
            self.sensitivity_tolerance(),
            self.quiescent_tolerance(),
            self.sensitivity_drift(),
            self.quiescent_drift(),
            self.reference_celsius(),
        )
    }
}

/// RMS output noise (V) of a field noise density (T/sqrt(Hz)) at a sensitivity (V/T) in a single-pole bandwidth (Hz).
#[pyfunction]
pub(in crate::python) fn noise_from_density(
    density: f64,
    sensitivity: f64,
    bandwidth: f64,
) -> PyResult<f64> {
    Ok(hall::noise_from_density(density, sensitivity, bandwidth)?)
}

/// By how much an output fails to follow its supply, as a share of it: volts / supply - nominal_volts / nominal_supply
/// (V), in one field.
#[pyfunction]
pub(in crate::python) fn ratiometry_error(
    volts: f64,
    supply: f64,
    nominal_volts: f64,
    nominal_supply: f64,
) -> PyResult<f64> {
    Ok(hall::ratiometry_error(
        volts,
        supply,
        nominal_volts,
        nominal_supply,
    )?)
}
