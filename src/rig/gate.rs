//! What both axes of a stick do together over its gate.

use crate::axis::{Correction, TwoAxis};
use crate::linkage::GimbalAxis;

/// Positions along each axis of a gate at which crosstalk and correction are looked at. Between them extremes are
/// followed.
pub(super) const GATE_POINTS: usize = 21;

/// Greatest error of one axis behind a correction, rad.
pub(super) fn corrected(correction: &Correction, axis: GimbalAxis) -> f64 {
    let [outer, inner] = correction.after.worst;
    match axis {
        GimbalAxis::Outer => outer,
        GimbalAxis::Inner => inner,
    }
}

/// The bilinear correction over the gate.
///
/// # Errors
/// Where the readings do not tell the angles apart.
pub(super) fn correction(both: &TwoAxis) -> crate::Result<Correction> {
    both.correction(crate::axis::CorrectionTerms::Bilinear, GATE_POINTS)
}
