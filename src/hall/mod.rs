//! Sensors and the converter: from flux density or angle to volts to counts.
//!
//! [`LinearHall`] turns the flux density at its active area into volts, [`RotarySensor`] turns a shaft angle into
//! volts, [`Converter`] turns volts into codes. None of them knows what made the field or turned the shaft.

mod converter;
mod linear;
mod rotary;
pub(crate) mod sensor;

pub use converter::{Codes, Converter, Rounding, bits_from_averaging, bits_from_snr_db};
pub use linear::{HallOutputs, LinearHall, LinearHallSpec, noise_from_density};
pub use rotary::RotarySensor;
pub use sensor::Sensor;

/// Most rms noise of a sensor or a converter that is of any use, V.
const MAX_NOISE: f64 = 0.1;
