//! Linkages: what turns when something else is turned, how far, and where it locks.

mod four_bar;

pub use four_bar::{Branch, FourBar, FourBarPose};

use std::f64::consts::PI;

use crate::error::{Result, within};
use crate::units::MM;

/// An output angle and how it follows the input angle.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Transfer {
    /// Output angle, rad.
    pub angle: f64,
    /// First derivative of the output angle by the input angle (ratio of angular velocities).
    pub ratio: f64,
    /// Second derivative of the output angle by the input angle, 1/rad.
    pub curvature: f64,
}

/// The shortest and the longest link of a control, m.
const LENGTH_RANGE: [f64; 2] = [0.1 * MM, 3.0];
/// The farthest input angle, rad: two turns either way; 40 is a degree given as a radian.
const MAX_ANGLE: f64 = 4.0 * PI;

fn check_length(quantity: &'static str, length: f64) -> Result<f64> {
    let [min, max] = LENGTH_RANGE;
    within(quantity, length, min, max, "m")
}

fn check_angle(quantity: &'static str, angle: f64) -> Result<f64> {
    within(quantity, angle, -MAX_ANGLE, MAX_ANGLE, "rad")
}
