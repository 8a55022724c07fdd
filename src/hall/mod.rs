//! Sensors and the converter: from flux density or angle to volts to counts.
//!
//! [`LinearHall`] turns the flux density at its active area into volts, [`AngleSensor`] the direction of the flux into
//! an angle or volts, [`Potentiometer`] a shaft angle into volts; [`Sensor`] is any of them. [`Converter`] turns volts
//! into codes, [`SignalChain`] puts a filter before it and takes the mean of its codes. None of them knows what made
//! the field or turned the shaft. [`TypicalPart`] lists typical parts of each class.

mod angle;
mod angle_error;
mod chain;
pub(crate) mod characteristic;
mod converter;
mod filter;
mod linear;
mod potentiometer;
mod presets;
mod sensor;
mod values;

pub(crate) use angle::{ALL_NOISE, NO_FIELD};
pub use angle::{AngleOutput, AngleSensor, AngleSensorSpec, RotationSense};
pub use angle_error::{AngleError, AngleHarmonic, AngleHarmonics};
pub use chain::{NoiseBudget, SignalChain};
pub use converter::{Codes, Converter, Rounding, bits_from_averaging, bits_from_snr_db};
pub use filter::{Averaging, LowPass};
pub use linear::{HallVariation, LinearHall, LinearHallSpec, noise_from_density, ratiometry_error};
pub use potentiometer::{Potentiometer, PotentiometerSpec};
pub use presets::{TypicalDevice, TypicalPart};
pub use sensor::Sensor;
pub use values::SensorOutputs;

/// Most rms noise of a sensor or a converter that is of any use, V.
const MAX_NOISE: f64 = 0.1;
