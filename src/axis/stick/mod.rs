//! Two axes at once: a stick in a gimbal with a sensor for each axis, all magnets at both of them.

mod clearance;
mod correction;
mod crosstalk;
mod motion;
mod readings;
mod two_axis;

pub use correction::{AngleResiduals, Correction, CorrectionMap, CorrectionTerms};
pub use crosstalk::{AxisCrosstalk, Crosstalk, CrosstalkCause, CrosstalkFigure};
pub use motion::Carrier;
pub use readings::{GateMap, TwoAxisReading, TwoAxisReadings};
pub use two_axis::{CarriedMagnets, CarriedSensor, ReadBy, TwoAxis, TwoAxisSpec};
