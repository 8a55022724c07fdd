//! Gears, a parallelogram of rods, a shaft: an angle in proportion to another.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, finite, within};
use crate::linkage::{Transfer, Transmission, TransmissionReach};

/// The greatest ratio that makes sense; its inverse is the least.
const LARGEST: f64 = 100.0;

/// An output angle in proportion to the input angle: a pair of gears, a parallelogram of rods, a shaft.
///
/// # Example
/// ```
/// use yokewright::linkage::{FixedRatio, Transmission};
///
/// // Two gears that mesh turn opposite ways.
/// let gears = FixedRatio::new(-1.5)?;
/// assert_eq!(gears.transfer(0.2)?.ratio, -1.5);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct FixedRatio(f64);

impl FixedRatio {
    /// Output and input are one.
    pub const ONE: Self = Self(1.0);

    /// Output angle over input angle.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] for a ratio of 0 or one whose size is not within 0.01 to 100.
    pub fn new(ratio: f64) -> Result<Self> {
        finite("ratio of a coupling", ratio, "(no unit)")?;
        within(
            "size of the ratio of a coupling",
            ratio.abs(),
            1.0 / LARGEST,
            LARGEST,
            "(no unit)",
        )?;
        Ok(Self(ratio))
    }

    /// Output angle over input angle.
    #[must_use]
    pub fn ratio(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for FixedRatio {
    type Error = Error;

    fn try_from(ratio: f64) -> Result<Self> {
        Self::new(ratio)
    }
}

impl From<FixedRatio> for f64 {
    fn from(ratio: FixedRatio) -> Self {
        ratio.0
    }
}

impl Transmission for FixedRatio {
    /// # Errors
    /// [`Error::NotFinite`], for the input angle or for an output angle beyond all numbers.
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        finite("input angle", angle, "rad")?;
        Transfer::new(self.0 * angle, self.0, 0.0)
    }

    fn reach(&self) -> TransmissionReach {
        TransmissionReach::ENDLESS
    }
}
