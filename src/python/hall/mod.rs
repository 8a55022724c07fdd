//! Sensors and the converter.

mod angle;
mod chain;
mod converter;
mod linear;
mod outputs;
mod potentiometer;
mod typical;

pub(super) use angle::{PyAngleError, PyAngleHarmonics, PyAngleSensor};
pub(super) use chain::{PyAveraging, PyLowPass, PyNoiseBudget, PySignalChain};
pub(super) use converter::{PyConverter, bits_from_averaging, bits_from_snr_db};
pub(super) use linear::{PyLinearHall, noise_from_density, ratiometry_error};
pub(super) use potentiometer::PyPotentiometer;
pub(super) use typical::PyTypicalPart;
