//! What was measured on the bench: sweeps, calibrations, firmware, and which dimension is off.

pub(in crate::python) mod calibration;
pub(in crate::python) mod curve;
pub(in crate::python) mod firmware;
pub(in crate::python) mod identification;
pub(in crate::python) mod sweep;
