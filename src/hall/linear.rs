//! The ratiometric linear Hall sensor.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, finite, within, within_computed};
use crate::hall::MAX_NOISE;
use crate::hall::characteristic::Characteristic;
use crate::hall::filter::check_bandwidth;
use crate::hall::values::SensorOutputs;
use crate::numeric::direction::unit;
use crate::stored::stored_as_spec;
use crate::units::MM;

/// Sensitivities in use, V/T: from strong-field current probes to the most sensitive amplified parts.
const SENSITIVITY: [f64; 2] = [0.1, 2000.0];
/// Most by which the sensitivity of a part may differ from that of its type, as a share.
const MAX_SPREAD: f64 = 0.5;
/// Most by which it may change with temperature, 1/K: ten times what the worst parts do.
const MAX_DRIFT: f64 = 0.01;
const MAX_QUIESCENT_DRIFT: f64 = 0.1;
/// Temperatures that such parts can be used at, degC.
const CELSIUS: [f64; 2] = [-60.0, 200.0];

/// What the data sheet says of a linear Hall sensor; [`LinearHall::new`] checks it.
///
/// `quiescent`, `sensitivity` and `noise` hold at `nominal_supply` and scale with `supply / nominal_supply`. A part
/// whose output does not follow its supply is described by `nominal_supply` equal to `supply`; so is a part that has
/// another sensitivity at another supply than its ratio would give.
///
/// The package frame has its origin at the center of the package face and +z along the outward normal of that
/// face; the active area lies below, at (0, 0, -depth).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinearHallSpec {
    /// Supply voltage in use, V, 1.5 to 40.
    pub supply: f64,
    /// Supply voltage at which the next values hold, V, 1.5 to 40.
    pub nominal_supply: f64,
    /// Output without field at the nominal supply, V.
    pub quiescent: f64,
    /// Change of output for a change of flux density along `direction`, at the nominal supply, V/T, 0.1 to 2000.
    pub sensitivity: f64,
    /// Lowest output above ground, V. Output stages, bipolar or MOS, keep it at about the same value at any supply.
    pub rail_low: f64,
    /// Supply less highest output, V. Also about the same at any supply.
    pub rail_headroom: f64,
    /// Output noise at the nominal supply in the band that the converter sees, V rms, 0 to 0.1. It scales like the
    /// sensitivity: the noise arises in the Hall element, so its equivalent in flux density stays the same.
    pub noise: f64,
    /// Depth of the active area below the package face, m, 0 to 5 mm.
    pub depth: f64,
    /// Direction of flux that raises the output, in the package frame, of any length. Common practice: a south pole
    /// before the marked face raises it, which is flux out of the face, (0, 0, 1).
    pub direction: Vector3<f64>,
    /// Sides of the active area along x and y of the package frame, m, each 0 to 5 mm; 0 if it is as good as a point.
    #[serde(default)]
    pub area: [f64; 2],
    /// Corner of the one pole that ends the sensor's bandwidth (-3 dB), Hz, 1 mHz to 1 GHz, if it is known: `noise`
    /// then is that of the whole bandwidth, of which a slower filter behind the sensor passes less.
    #[serde(default)]
    pub bandwidth: Option<f64>,
    /// How parts of the type differ, and how they drift.
    #[serde(default)]
    pub variation: HallVariation,
}

/// How linear Hall sensors of one type differ from the typical one, and how each drifts with its temperature; 0 for
/// none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HallVariation {
    /// Most by which the sensitivity of a part may differ, either way, as a share of it, 0 to 0.5.
    pub sensitivity_tolerance: f64,
    /// Most by which the quiescent output at the nominal supply may differ, either way, V, not below 0.
    pub quiescent_tolerance: f64,
    /// Change of the sensitivity with temperature, as a share of it, 1/K, within 0.01 either way.
    pub sensitivity_drift: f64,
    /// Change of the quiescent output at the nominal supply with temperature, V/K, within 0.1 either way.
    pub quiescent_drift: f64,
    /// Temperature at which sensitivity and quiescent output are given, degC, -60 to 200.
    pub reference_celsius: f64,
}

impl Default for HallVariation {
    /// None, given at 25 degC as most data sheets are.
    fn default() -> Self {
        Self {
            sensitivity_tolerance: 0.0,
            quiescent_tolerance: 0.0,
            sensitivity_drift: 0.0,
            quiescent_drift: 0.0,
            reference_celsius: 25.0,
        }
    }
}

impl HallVariation {
    fn check(&self, nominal_supply: f64) -> Result<()> {
        let (spread, drift) = (self.sensitivity_tolerance, self.sensitivity_drift);
        within(
            "tolerance of the sensitivity",
            spread,
            0.0,
            MAX_SPREAD,
            "(no unit)",
        )?;
        let offset = self.quiescent_tolerance;
        within(
            "tolerance of the quiescent output",
            offset,
            0.0,
            nominal_supply,
            "V",
        )?;
        within(
            "drift of the sensitivity",
            drift,
            -MAX_DRIFT,
            MAX_DRIFT,
            "1/K",
        )?;
        let (drift, most) = (self.quiescent_drift, MAX_QUIESCENT_DRIFT);
        within("drift of the quiescent output", drift, -most, most, "V/K")?;
        let [coldest, hottest] = CELSIUS;
        within(
            "reference temperature",
            self.reference_celsius,
            coldest,
            hottest,
            "degC",
        )?;
        Ok(())
    }
}

impl LinearHallSpec {
    /// An ideal sensor for its supply (V) of the given sensitivity (V/T): its output rests in the middle and reaches
    /// both ends of the supply, without noise; it reads at its face, along +z.
    #[must_use]
    pub fn new(supply: f64, sensitivity: f64) -> Self {
        Self {
            supply,
            nominal_supply: supply,
            quiescent: 0.5 * supply,
            sensitivity,
            rail_low: 0.0,
            rail_headroom: 0.0,
            noise: 0.0,
            depth: 0.0,
            direction: Vector3::z(),
            area: [0.0; 2],
            bandwidth: None,
            variation: HallVariation::default(),
        }
    }

    /// The same with the noise of a white `density`, T/sqrt(Hz), 0 to 1 mT/sqrt(Hz), up to one pole at `bandwidth`, Hz,
    /// 1 mHz to 10 MHz, by [`noise_from_density`].
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn with_noise_density(self, density: f64, bandwidth: f64) -> Result<Self> {
        Ok(Self {
            noise: noise_from_density(density, self.sensitivity, bandwidth)?,
            bandwidth: Some(bandwidth),
            ..self
        })
    }
}

/// A ratiometric linear Hall sensor: volts from the flux density at its active area.
///
/// With r = supply / nominal supply, the output is r (quiescent + sensitivity B), held between `rail_low` and
/// `supply - rail_headroom`; B is the component of the flux density along [`direction`](Self::direction).
///
/// # Example
/// ```
/// use nalgebra::Vector3;
/// use yokewright::hall::{LinearHall, LinearHallSpec};
/// use yokewright::units::{MM, MT, MV_PER_MT, UV};
///
/// let sensor = LinearHall::new(LinearHallSpec {
///     supply: 5.0,
///     nominal_supply: 5.0,
///     quiescent: 2.5,
///     sensitivity: 25.0 * MV_PER_MT,
///     rail_low: 0.2,
///     rail_headroom: 0.3,
///     noise: 150.0 * UV,
///     depth: 0.5 * MM,
///     direction: Vector3::z(),
///     ..LinearHallSpec::new(5.0, 25.0 * MV_PER_MT)
/// })?;
/// assert!((sensor.output(40.0 * MT)? - 3.5).abs() < 1e-12);
/// assert_eq!(sensor.output(-200.0 * MT)?, 0.2); // clipped
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Ratiometric scaling, and rails that keep their distance to ground and supply: the usual data sheet of such parts
/// (common practice).
#[derive(Debug, Clone, PartialEq)]
pub struct LinearHall {
    spec: LinearHallSpec,
}

stored_as_spec!(LinearHall, LinearHallSpec);

impl LinearHall {
    /// Checks a data sheet.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a value outside the range that [`LinearHallSpec`] gives, or a
    /// quiescent output that lies beyond the rails at the supply in use; [`Error::NotAscending`] if the rails leave no
    /// span between them; [`Error::NoDirection`] for a zero direction.
    pub fn new(spec: LinearHallSpec) -> Result<Self> {
        let [least, most] = SENSITIVITY;
        within("sensor supply", spec.supply, 1.5, 40.0, "V")?;
        let nominal = within("nominal supply", spec.nominal_supply, 1.5, 40.0, "V")?;
        within("quiescent output", spec.quiescent, 0.0, nominal, "V")?;
        within("sensitivity", spec.sensitivity, least, most, "V/T")?;
        within("low rail", spec.rail_low, 0.0, spec.supply, "V")?;
        within("rail headroom", spec.rail_headroom, 0.0, spec.supply, "V")?;
        within("sensor noise", spec.noise, 0.0, MAX_NOISE, "V")?;
        within("depth of the active area", spec.depth, 0.0, 5.0 * MM, "m")?;
        for (name, side) in ["active area side x", "active area side y"]
            .into_iter()
            .zip(spec.area)
        {
            within(name, side, 0.0, 5.0 * MM, "m")?;
        }
        if let Some(bandwidth) = spec.bandwidth {
            check_bandwidth(bandwidth)?;
        }
        spec.variation.check(nominal)?;
        let direction = unit("sensitive direction", &spec.direction)?;

        let sensor = Self {
            spec: LinearHallSpec { direction, ..spec },
        };
        let [lower, upper] = sensor.output_range();
        if lower >= upper {
            return Err(Error::NotAscending {
                quantity: "output rails",
                lower,
                upper,
                unit: "V",
            });
        }
        let quiescent = sensor.quiescent_output();
        within(
            "quiescent output at the supply",
            quiescent,
            lower,
            upper,
            "V",
        )?;
        Ok(sensor)
    }

    /// What it was made of, the direction brought to length one.
    #[must_use]
    pub fn spec(&self) -> &LinearHallSpec {
        &self.spec
    }

    /// Supply voltage in use, V.
    #[must_use]
    pub fn supply(&self) -> f64 {
        self.spec.supply
    }

    /// Supply voltage at which quiescent output, sensitivity and noise are given, V.
    #[must_use]
    pub fn nominal_supply(&self) -> f64 {
        self.spec.nominal_supply
    }

    /// Output without field at the nominal supply, V.
    #[must_use]
    pub fn quiescent(&self) -> f64 {
        self.spec.quiescent
    }

    /// Sensitivity at the nominal supply, V/T.
    #[must_use]
    pub fn sensitivity(&self) -> f64 {
        self.spec.sensitivity
    }

    /// Lowest output above ground, V.
    #[must_use]
    pub fn rail_low(&self) -> f64 {
        self.spec.rail_low
    }

    /// Supply less highest output, V.
    #[must_use]
    pub fn rail_headroom(&self) -> f64 {
        self.spec.rail_headroom
    }

    /// Output noise at the nominal supply, V rms.
    #[must_use]
    pub fn noise(&self) -> f64 {
        self.spec.noise
    }

    /// Depth of the active area below the package face, m.
    #[must_use]
    pub fn depth(&self) -> f64 {
        self.spec.depth
    }

    /// Unit vector, in the package frame, along which flux raises the output.
    #[must_use]
    pub fn direction(&self) -> Vector3<f64> {
        self.spec.direction
    }

    /// Sides of the active area along x and y of the package frame, m.
    #[must_use]
    pub fn area(&self) -> [f64; 2] {
        self.spec.area
    }

    /// Corner of the one pole that ends the sensor's bandwidth, Hz, if it is known.
    #[must_use]
    pub fn bandwidth(&self) -> Option<f64> {
        self.spec.bandwidth
    }

    /// How parts of the type differ and drift.
    #[must_use]
    pub fn variation(&self) -> HallVariation {
        self.spec.variation
    }

    /// Density of the noise, taken as white, in flux density, T/sqrt(Hz): noise / (sensitivity sqrt(pi/2 bandwidth));
    /// `None` without a bandwidth.
    #[must_use]
    pub fn noise_density(&self) -> Option<f64> {
        let density = |bandwidth: f64| self.spec.noise / (FRAC_PI_2 * bandwidth).sqrt();
        Some(density(self.spec.bandwidth?) / self.spec.sensitivity)
    }

    /// The sensor as it is at a temperature, degC, -60 to 200: sensitivity x (1 + b (t - t_ref)), quiescent output + c
    /// (t - t_ref), with the drifts b and c and the reference temperature t_ref of its [`HallVariation`]. What it is
    /// made of then holds at that temperature, and drifts no more. The noise stays in volts.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for the temperature, or for a sensitivity or a quiescent output that
    /// no such sensor has, which straight lines lead to in the end.
    pub fn at_temperature(&self, celsius: f64) -> Result<Self> {
        let [coldest, hottest] = CELSIUS;
        within(
            "temperature of the sensor",
            celsius,
            coldest,
            hottest,
            "degC",
        )?;
        let (spec, variation) = (&self.spec, self.spec.variation);
        let warmer = celsius - variation.reference_celsius;
        let [least, most] = SENSITIVITY;
        let sensitivity = spec.sensitivity * (1.0 + variation.sensitivity_drift * warmer);
        within_computed(
            "sensitivity at the temperature",
            sensitivity,
            least,
            most,
            "V/T",
        )?;
        let quiescent = spec.quiescent + variation.quiescent_drift * warmer;
        let nominal = spec.nominal_supply;
        within_computed(
            "quiescent output at the temperature",
            quiescent,
            0.0,
            nominal,
            "V",
        )?;
        Self::new(LinearHallSpec {
            sensitivity,
            quiescent,
            variation: HallVariation {
                sensitivity_drift: 0.0,
                quiescent_drift: 0.0,
                reference_celsius: celsius,
                ..variation
            },
            ..spec.clone()
        })
    }

    /// Center of the active area in the package frame, m.
    #[must_use]
    pub fn active_point(&self) -> Point3<f64> {
        Point3::new(0.0, 0.0, -self.spec.depth)
    }

    /// Output without field at the supply in use, V.
    #[must_use]
    pub fn quiescent_output(&self) -> f64 {
        self.spec.quiescent * self.ratio()
    }

    /// Sensitivity at the supply in use, V/T.
    #[must_use]
    pub fn gain(&self) -> f64 {
        self.spec.sensitivity * self.ratio()
    }

    /// Output noise at the supply in use, V rms.
    #[must_use]
    pub fn output_noise(&self) -> f64 {
        self.spec.noise * self.ratio()
    }

    /// Lowest and highest output, V.
    #[must_use]
    pub fn output_range(&self) -> [f64; 2] {
        [
            self.spec.rail_low,
            self.spec.supply - self.spec.rail_headroom,
        ]
    }

    /// The line from flux density, T, to output, V, between the rails.
    pub(crate) fn characteristic(&self) -> Characteristic {
        Characteristic {
            zero: self.quiescent_output(),
            gain: self.gain(),
            limits: self.output_range(),
        }
    }

    /// Flux densities at which the output meets the low and the high rail, T.
    #[must_use]
    pub fn flux_range(&self) -> [f64; 2] {
        self.characteristic().signals_between(self.output_range())
    }

    /// Output as if there were no rails, V, for a flux density along the direction, T.
    ///
    /// # Errors
    /// [`Error::NotFinite`], also if the output overflows.
    pub fn unclipped_output(&self, flux: f64) -> Result<f64> {
        finite("flux density", flux, "T")?;
        finite(
            "output without rails",
            self.characteristic().open(flux),
            "V",
        )
    }

    /// Output, V, for a flux density along the direction, T; held at the rails.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn output(&self, flux: f64) -> Result<f64> {
        finite("flux density", flux, "T").map(|flux| self.characteristic().held(flux))
    }

    /// Output, V, for each flux density along the direction, T; held at the rails.
    #[must_use]
    pub fn outputs(&self, flux: &[f64]) -> SensorOutputs {
        let line = self.characteristic();
        SensorOutputs::of(flux, |&b| b.is_finite().then(|| line.held(b)))
    }

    /// Whether a flux density, T, drives the output beyond a rail; one that is not finite does.
    #[must_use]
    pub fn clips(&self, flux: f64) -> bool {
        self.characteristic().clips(flux)
    }

    fn ratio(&self) -> f64 {
        self.spec.supply / self.spec.nominal_supply
    }
}

/// Output noise, V rms, of a sensor with white noise of `density` (T/sqrt(Hz), 0 to 1 mT/sqrt(Hz)) and `sensitivity`
/// (V/T, 0.1 to 2000) behind a single-pole filter of `bandwidth` (-3 dB, Hz, 1 mHz to 10 MHz).
///
/// The filter passes as much white noise as an ideal one of pi/2 times its bandwidth:
/// noise = sensitivity density sqrt(pi/2 bandwidth).
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
///
/// # Example
/// ```
/// use yokewright::hall::noise_from_density;
/// let noise = noise_from_density(130e-9, 25.0, 20e3)?;
/// assert!((noise - 576e-6).abs() < 1e-6);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Noise bandwidth of a single pole: the integral of 1 / (1 + (f/f0)^2) over f from 0 up is pi/2 f0 (textbook).
pub fn noise_from_density(density: f64, sensitivity: f64, bandwidth: f64) -> Result<f64> {
    let [least, most] = SENSITIVITY;
    within("noise density", density, 0.0, 1e-3, "T/sqrt(Hz)")?;
    within("sensitivity", sensitivity, least, most, "V/T")?;
    within("bandwidth", bandwidth, 1e-3, 1e7, "Hz")?;
    Ok(sensitivity * density * (FRAC_PI_2 * bandwidth).sqrt())
}

/// By how much an output fails to follow its supply, as a share of the supply: `volts` / `supply` less `nominal_volts`
/// / `nominal_supply`, the outputs (V, 0 to 40) in one field at two supplies (V, 1.5 to 40).
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
///
/// # Example
/// ```
/// use yokewright::hall::ratiometry_error;
/// assert!((ratiometry_error(2.26, 4.5, 2.5, 5.0)? - 0.0022).abs() < 1e-4);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The definition of data sheets of ratiometric parts (typical; read in one).
pub fn ratiometry_error(
    volts: f64,
    supply: f64,
    nominal_volts: f64,
    nominal_supply: f64,
) -> Result<f64> {
    within("output at the supply", volts, 0.0, 40.0, "V")?;
    within("sensor supply", supply, 1.5, 40.0, "V")?;
    within(
        "output at the nominal supply",
        nominal_volts,
        0.0,
        40.0,
        "V",
    )?;
    within("nominal supply", nominal_supply, 1.5, 40.0, "V")?;
    Ok(volts / supply - nominal_volts / nominal_supply)
}

#[cfg(test)]
#[path = "linear_tests.rs"]
mod tests;
