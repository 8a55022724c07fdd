//! Linkages: what turns when something else is turned, how far, and where it locks.

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
