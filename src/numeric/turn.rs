//! Angles brought to one turn.
//!
//! The remainder of the standard library loses digits of small angles, which it first moves by half a turn.

use std::f64::consts::TAU;

/// The angle less whole turns, within half a turn either way.
pub(crate) fn wrapped(angle: f64) -> f64 {
    angle - TAU * (angle / TAU).round()
}
