//! Two axes at once: a stick in a gimbal with a sensor for each axis, all magnets at both of them.

mod calibration;
mod clearance;
mod correction;
mod crosstalk;
mod fields;
mod motion;
mod readings;
mod sweep_file;
mod two_axis;
mod working_field;

pub use calibration::{TwoAxisCalibration, TwoAxisSweep};
pub use correction::{AngleResiduals, Correction, CorrectionMap, CorrectionTerms};
pub use crosstalk::{AxisCrosstalk, Crosstalk, CrosstalkCause, CrosstalkFigure};
pub use motion::Carrier;
pub use readings::{GateMap, TwoAxisReading, TwoAxisReadings};
pub use sweep_file::TwoAxisFormat;
pub use two_axis::{CarriedMagnets, CarriedSensor, ReadBy, TwoAxis, TwoAxisSpec};
