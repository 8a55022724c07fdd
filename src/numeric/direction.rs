//! Directions from vectors of any length, and what turns about one.
//!
//! nalgebra's `normalize` overflows or vanishes at lengths of 1e160 or 1e-160 and gives NaN for a vector of no length.

use nalgebra::Vector3;

use crate::error::{Error, Result, finite};

/// The vector brought to length one.
pub(crate) fn unit(quantity: &'static str, v: &Vector3<f64>) -> Result<Vector3<f64>> {
    for component in v {
        finite(quantity, *component, "any one unit")?;
    }
    // Already of length one to within the rounding of three squares and a root: kept, so that a direction that was read
    // back gives the same value.
    if (v.norm() - 1.0).abs() <= 4.0 * f64::EPSILON {
        return Ok(*v);
    }
    // By the largest component first: the squares then neither overflow nor vanish.
    let largest = v.amax();
    if largest == 0.0 {
        return Err(Error::NoDirection { quantity });
    }
    Ok(v.map(|component| component / largest).normalize())
}

/// What a vector is made of as it turns about an axis of length one: what stands still, goes with the cosine of the
/// angle, with its sine (Rodrigues, textbook).
#[inline]
pub(crate) fn turning(vector: Vector3<f64>, axis: &Vector3<f64>) -> [Vector3<f64>; 3] {
    let still = axis * axis.dot(&vector);
    [still, vector - still, axis.cross(&vector)]
}
