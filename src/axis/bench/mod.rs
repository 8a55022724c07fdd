//! A control that is built: from a sweep measured on the bench to its calibration, to constants for the firmware and
//! to the dimension that is off.

mod calibration;
mod doubt;
mod firmware;
mod hysteresis;
mod identification;
mod legs;
mod log;
mod suspect;
mod sweep;
mod sweep_file;

pub use calibration::{
    Calibration, CalibrationCurve, CalibrationForm, CalibrationResiduals, CalibrationSpec,
    KnotPlacement, PointsWorth,
};
pub use doubt::{DoubtReason, RowDoubt};
pub use firmware::{Firmware, FirmwareSpec};
pub use hysteresis::Hysteresis;
pub use identification::{
    AxisUnknown, BenchAdvice, Identification, IdentificationSpec, IdentifiedQuantity, RodUnknown,
    Sought, identify_axis, identify_rod,
};
pub use legs::SweepDirection;
pub use log::{BenchLog, BenchRow};
pub use sweep::BenchSweep;
pub use sweep_file::{BenchAngleUnit, BenchFormat};
