//! The angle sensor: the direction of the flux in a plane, from two of its components.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, choices, counted, finite, within, within_computed};
use crate::hall::angle_error::{AngleHarmonic, AngleHarmonics};
use crate::hall::values::SensorOutputs;
use crate::numeric::direction::unit;
use crate::numeric::turn::wrapped;
use crate::stored::stored_as_spec;
use crate::units::MM;

/// What is refused where there is no field, or too little.
pub(crate) const NO_FIELD: &str = "flux density in the plane of the angle sensor";
pub(crate) const ALL_NOISE: &str = "noise of the angle";

/// Flux densities that the working range of such a part may have for its ends, T.
const FLUX: [f64; 2] = [1e-6, 10.0];
const MAX_OFFSET: f64 = 0.1;
const MAX_GAIN_MISMATCH: f64 = 0.5;
const MAX_NONORTHOGONALITY: f64 = 0.5;
/// Most noise of a component that is of any use, T rms.
const MAX_FLUX_NOISE: f64 = 0.01;
const BITS: [usize; 2] = [6, 24];
/// The least range, rad, that an analog output may be spread over.
const LEAST_RANGE: f64 = 0.01;
/// How far the cosine between the two directions may be from 0: rounding of directions that were turned.
const SQUARE: f64 = 1e-9;
/// Most turns are fewer; beyond, the angle loses digits that matter.
const MOST_ANGLE: f64 = 1e6;

/// Which way the field turns for a growing output.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum RotationSense {
    /// From the first direction to the second.
    #[default]
    Forward,
    /// From the second direction to the first.
    Reverse,
}

choices!(RotationSense, "sense of rotation", {
    Forward => "forward",
    Reverse => "reverse",
});

impl RotationSense {
    /// 1 or -1.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Forward => 1.0,
            Self::Reverse => -1.0,
        }
    }
}

/// What an angle sensor gives.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum AngleOutput {
    /// A code of its own over the full turn: code k covers [k - 1/2, k + 1/2) of 2^bits steps; 0 at the zero position.
    Digital {
        /// Bits, 6 to 24.
        bits: u32,
    },
    /// A voltage that runs from `low` to `high` over `range`, whose middle is the zero position, and is held at both
    /// ends.
    Analog {
        /// Supply voltage, V, 0.5 to 40.
        supply: f64,
        /// Output at the lower end of the range, V, from 0.
        low: f64,
        /// Output at the upper end, V, up to the supply.
        high: f64,
        /// The angle over which it runs, rad, 0.01 to a full turn.
        range: f64,
    },
}

/// What the data sheet and the programming of an angle sensor say; [`AngleSensor::new`] checks it.
///
/// The package frame is that of [`LinearHall`](crate::hall::LinearHall): origin at the center of the package face, +z
/// out of it. On the shaft end the face looks at the magnet and the two directions are x and y, the plane of the die.
/// Beside the shaft choose the two of the three components that lie in the plane in which the flux turns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AngleSensorSpec {
    /// Directions of the first and the second component in the package frame, of any length, at right angles. The angle
    /// grows from the first to the second.
    pub directions: [Vector3<f64>; 2],
    /// Depth of the sensitive point below the package face, m, 0 to 5 mm.
    pub depth: f64,
    /// Offsets of the two components, T, within 0.1 either way.
    pub offsets: [f64; 2],
    /// Gain of the second component over that of the first, less 1: within 0.5 either way.
    pub gain_mismatch: f64,
    /// Angle by which the second component leans from its direction towards the first, rad, within 0.5 either way.
    pub nonorthogonality: f64,
    /// Noise of each component, T rms, 0 to 0.01.
    pub noise: f64,
    /// Least and greatest flux density, in the plane of the two directions, at which the part keeps its data sheet, T,
    /// 1e-6 to 10.
    pub working_flux: [f64; 2],
    /// What it gives.
    pub output: AngleOutput,
    /// Which way the field turns for a growing output.
    pub sense: RotationSense,
    /// Angle of the field, from the first direction, at the zero position, rad, within half a turn either way.
    pub zero: f64,
}

impl AngleSensorSpec {
    /// An ideal sensor with the given output: x and y at the face, no errors, no noise, at any flux density.
    #[must_use]
    pub fn new(output: AngleOutput) -> Self {
        Self {
            directions: [Vector3::x(), Vector3::y()],
            depth: 0.0,
            offsets: [0.0; 2],
            gain_mismatch: 0.0,
            nonorthogonality: 0.0,
            noise: 0.0,
            working_flux: FLUX,
            output,
            sense: RotationSense::Forward,
            zero: 0.0,
        }
    }
}

/// An angle sensor: it reads two components of the flux density and gives the angle between them.
///
/// With the directions u1 and u2, offsets o, gain mismatch g and nonorthogonality d,
/// c1 = o1 + B.u1, c2 = o2 + (1 + g) B.(cos d u2 + sin d u1), angle = atan2(c2, c1).
///
/// # Example
/// ```
/// use nalgebra::Vector3;
/// use yokewright::hall::{AngleOutput, AngleSensor, AngleSensorSpec};
/// use yokewright::units::{DEG, MT};
///
/// let sensor = AngleSensor::new(AngleSensorSpec {
///     offsets: [0.5 * MT, 0.0],
///     ..AngleSensorSpec::new(AngleOutput::Analog { supply: 5.0, low: 0.5, high: 4.5, range: 90.0 * DEG })
/// })?;
/// let (sin, cos) = (20.0 * DEG).sin_cos();
/// let angle = sensor.angle(&(50.0 * MT * Vector3::new(cos, sin, 0.0)))?;
/// // The offset of 1 % of the flux density is worth -0.01 sin(angle).
/// assert!((angle - (20.0 * DEG - 0.01 * sin)).abs() < 1e-4);
/// assert!((sensor.output(20.0 * DEG)? - (2.5 + 4.0 * 20.0 / 90.0)).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Offset, gain (amplitude) mismatch and nonorthogonality of the sine and cosine channels: the usual error model of
/// such parts (common practice).
#[derive(Debug, Clone, PartialEq)]
pub struct AngleSensor {
    spec: AngleSensorSpec,
}

stored_as_spec!(AngleSensor, AngleSensorSpec);

impl AngleSensor {
    /// Checks a data sheet.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a value outside the range that [`AngleSensorSpec`] and
    /// [`AngleOutput`] give or directions that are not at right angles; [`Error::NotAscending`] for a working range or
    /// an output that does not go upward; [`Error::NoDirection`] for a zero direction; [`Error::Count`] for the bits.
    pub fn new(spec: AngleSensorSpec) -> Result<Self> {
        let [least, most] = FLUX;
        let directions = [
            unit("first direction", &spec.directions[0])?,
            unit("second direction", &spec.directions[1])?,
        ];
        let cosine = directions[0].dot(&directions[1]);
        let quantity = "cosine of the angle between the two directions";
        within_computed(quantity, cosine, -SQUARE, SQUARE, "(no unit)")?;
        within(
            "depth of the sensitive point",
            spec.depth,
            0.0,
            5.0 * MM,
            "m",
        )?;
        for (name, offset) in [
            "offset of the first component",
            "offset of the second component",
        ]
        .into_iter()
        .zip(spec.offsets)
        {
            within(name, offset, -MAX_OFFSET, MAX_OFFSET, "T")?;
        }
        let mismatch = MAX_GAIN_MISMATCH;
        within(
            "gain mismatch",
            spec.gain_mismatch,
            -mismatch,
            mismatch,
            "(no unit)",
        )?;
        let lean = MAX_NONORTHOGONALITY;
        within(
            "nonorthogonality",
            spec.nonorthogonality,
            -lean,
            lean,
            "rad",
        )?;
        within("noise of a component", spec.noise, 0.0, MAX_FLUX_NOISE, "T")?;
        for flux in spec.working_flux {
            within("end of the working range", flux, least, most, "T")?;
        }
        ascending("working range", spec.working_flux, "T")?;
        within("zero position", spec.zero, -PI, PI, "rad")?;
        check_output(&spec.output)?;
        Ok(Self {
            spec: AngleSensorSpec { directions, ..spec },
        })
    }

    /// What it was made of, the directions brought to length one.
    #[must_use]
    pub fn spec(&self) -> &AngleSensorSpec {
        &self.spec
    }

    /// The point that it senses at, in the package frame, m.
    #[must_use]
    pub fn active_point(&self) -> Point3<f64> {
        Point3::new(0.0, 0.0, -self.spec.depth)
    }

    /// What the two components read, T, in a flux density, T, in the package frame.
    #[must_use]
    pub fn components(&self, field: &Vector3<f64>) -> [f64; 2] {
        let [c1, c2] = self.sensed(field);
        let [o1, o2] = self.spec.offsets;
        [o1 + c1, o2 + c2]
    }

    /// The components without their offsets, which are linear in the field.
    fn sensed(&self, field: &Vector3<f64>) -> [f64; 2] {
        let [u1, u2] = &self.spec.directions;
        let (sin, cos) = self.spec.nonorthogonality.sin_cos();
        let (along, across) = (field.dot(u1), field.dot(u2));
        let gain = 1.0 + self.spec.gain_mismatch;
        [along, gain * (cos * across + sin * along)]
    }

    /// The components and their size, if there is an angle between them.
    fn directed(&self, field: &Vector3<f64>) -> Result<([f64; 2], f64)> {
        let components = self.components(field);
        let size = finite("flux density", components[0].hypot(components[1]), "T")?;
        if size == 0.0 {
            let [min, max] = self.spec.working_flux;
            within_computed(NO_FIELD, size, min, max, "T")?;
        }
        Ok((components, size))
    }

    /// The angle of the field as it is read, from the first direction towards the second, rad, -pi to pi, for a flux
    /// density, T, in the package frame. `sense` and `zero` take no part in it.
    ///
    /// # Errors
    /// [`Error::NotFinite`] if the field or its size is not; [`Error::OutOfRange`] where both components vanish.
    pub fn angle(&self, field: &Vector3<f64>) -> Result<f64> {
        let ([c1, c2], _) = self.directed(field)?;
        Ok(c2.atan2(c1))
    }

    /// The angle, rad, in each field, T.
    #[must_use]
    pub fn angles(&self, fields: &[Vector3<f64>]) -> SensorOutputs {
        SensorOutputs::of(fields, |field| self.angle(field).ok())
    }

    /// How the angle changes, rad/s say, in a field, T, that changes by `change`, T/s say: the exact derivative,
    /// (c1 dc2 - c2 dc1) / (c1^2 + c2^2).
    ///
    /// # Errors
    /// As [`angle`](Self::angle); [`Error::NotFinite`] if the change or the slope is not.
    pub fn angle_slope(&self, field: &Vector3<f64>, change: &Vector3<f64>) -> Result<f64> {
        let ([c1, c2], size) = self.directed(field)?;
        let [d1, d2] = self.sensed(change);
        // Divided one after the other: the square of the size may vanish or overflow.
        let slope = ((c1 / size) * d2 - (c2 / size) * d1) / size;
        finite("slope of the angle", slope, "rad per unit")
    }

    /// Whether a field, T, lies within the working range: by its size in the plane of the two directions.
    #[must_use]
    pub fn works_in(&self, field: &Vector3<f64>) -> bool {
        let [min, max] = self.spec.working_flux;
        (min..=max).contains(&self.in_plane(field))
    }

    /// Size of a field, T, in the plane of the two directions, T.
    pub(crate) fn in_plane(&self, field: &Vector3<f64>) -> f64 {
        let [u1, u2] = &self.spec.directions;
        field.dot(u1).hypot(field.dot(u2))
    }

    /// What the noise of the components is worth as an angle, rad rms: noise / |c|, for noise far below the flux
    /// density.
    ///
    /// # Errors
    /// As [`angle`](Self::angle); [`Error::OutOfRange`] if it exceeds half a turn, where the angle is all noise.
    pub fn noise_angle(&self, field: &Vector3<f64>) -> Result<f64> {
        let (_, size) = self.directed(field)?;
        let noise = self.spec.noise / size;
        within_computed(ALL_NOISE, noise, 0.0, PI, "rad")
    }

    /// What offsets, gain mismatch and nonorthogonality make of the angle to first order, in a flux density `flux`, T,
    /// that turns with one size in the plane of the two directions; t is its angle:
    /// -o1/B sin t + o2/B cos t + g/2 sin 2t + d/2 + d/2 cos 2t.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] outside 1e-6 to 10 T.
    pub fn first_order_error(&self, flux: f64) -> Result<AngleHarmonics> {
        let [least, most] = FLUX;
        within("flux density", flux, least, most, "T")?;
        let spec = &self.spec;
        let [o1, o2] = spec.offsets;
        let lean = 0.5 * spec.nonorthogonality;
        Ok(AngleHarmonics {
            mean: lean,
            first: AngleHarmonic::of(o2 / flux, -o1 / flux),
            second: AngleHarmonic::of(lean, 0.5 * spec.gain_mismatch),
        })
    }

    /// The angle from the zero position in the sense of the output, rad, -pi to pi.
    pub(crate) fn turned(&self, angle: f64) -> Result<f64> {
        within("angle", angle, -MOST_ANGLE, MOST_ANGLE, "rad")?;
        Ok(wrapped(self.spec.sense.sign() * (angle - self.spec.zero)))
    }

    /// The output at an angle as it is read, rad: V of an analog output, held at its ends; rad of a digital one, the
    /// nearest of its steps, -pi to below pi.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] beyond 1e6 rad.
    pub fn output(&self, angle: f64) -> Result<f64> {
        let turned = self.turned(angle)?;
        Ok(match self.spec.output {
            AngleOutput::Digital { bits } => {
                let step = step_of(bits);
                let half = 0.5 * steps_of(bits);
                let nearest = (turned / step + 0.5).floor();
                step * if nearest >= half { -half } else { nearest }
            }
            AngleOutput::Analog {
                low, high, range, ..
            } => {
                let middle = 0.5 * (low + high);
                (middle + (high - low) * (turned / range)).clamp(low, high)
            }
        })
    }

    /// The code at an angle as it is read, rad, 0 to 2^bits - 1; `None` of an analog output.
    ///
    /// # Errors
    /// As [`output`](Self::output).
    pub fn code(&self, angle: f64) -> Result<Option<i64>> {
        let turned = self.turned(angle)?;
        let AngleOutput::Digital { bits } = self.spec.output else {
            return Ok(None);
        };
        let nearest = (turned / step_of(bits) + 0.5).floor();
        // Whole, and at most 2^24.
        Ok(Some((nearest as i64).rem_euclid(1 << bits)))
    }

    /// The output in a field, T: [`output`](Self::output) at its [`angle`](Self::angle).
    ///
    /// # Errors
    /// As [`angle`](Self::angle).
    pub fn read(&self, field: &Vector3<f64>) -> Result<f64> {
        self.output(self.angle(field)?)
    }

    /// Lowest and highest output: V of an analog one, rad of a digital one.
    #[must_use]
    pub fn output_range(&self) -> [f64; 2] {
        match self.spec.output {
            AngleOutput::Digital { bits } => [-PI, PI - step_of(bits)],
            AngleOutput::Analog { low, high, .. } => [low, high],
        }
    }

    /// Change of the output with the angle between its ends, with its sign: V/rad of an analog output, 1 or -1 of a
    /// digital one.
    #[must_use]
    pub fn gain(&self) -> f64 {
        let sign = self.spec.sense.sign();
        match self.spec.output {
            AngleOutput::Digital { .. } => sign,
            AngleOutput::Analog {
                low, high, range, ..
            } => sign * ((high - low) / range),
        }
    }

    /// Whether an angle as it is read, rad, lies beyond the range of an analog output, so that the output is held; one
    /// that is not finite does. A digital output covers the turn.
    #[must_use]
    pub fn clips(&self, angle: f64) -> bool {
        match (self.turned(angle), self.spec.output) {
            (Ok(turned), AngleOutput::Analog { range, .. }) => turned.abs() > 0.5 * range,
            (Ok(_), AngleOutput::Digital { .. }) => false,
            (Err(_), _) => true,
        }
    }

    /// One step of a digital output, rad: a turn / 2^bits; `None` of an analog one.
    #[must_use]
    pub fn step(&self) -> Option<f64> {
        match self.spec.output {
            AngleOutput::Digital { bits } => Some(step_of(bits)),
            AngleOutput::Analog { .. } => None,
        }
    }
}

fn steps_of(bits: u32) -> f64 {
    f64::from(1_u32 << bits)
}

fn step_of(bits: u32) -> f64 {
    TAU / steps_of(bits)
}

fn check_output(output: &AngleOutput) -> Result<()> {
    match *output {
        AngleOutput::Digital { bits } => {
            counted("bits of the angle sensor", bits as usize, BITS)?;
        }
        AngleOutput::Analog {
            supply,
            low,
            high,
            range,
        } => {
            within("sensor supply", supply, 0.5, 40.0, "V")?;
            within("low end of the output", low, 0.0, supply, "V")?;
            within("high end of the output", high, 0.0, supply, "V")?;
            ascending("output", [low, high], "V")?;
            within("range of the output", range, LEAST_RANGE, TAU, "rad")?;
        }
    }
    Ok(())
}

#[cfg(test)]
#[path = "angle_tests.rs"]
mod tests;
