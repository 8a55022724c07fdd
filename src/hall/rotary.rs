//! The potentiometer or shaft-end angle sensor, for comparison with a magnet that sweeps past a linear one.

use std::f64::consts::TAU;

use crate::error::{Result, within};
use crate::stored::stored_by_its_constructor;
use crate::units::DEG;

/// A sensor on the shaft whose output runs from ground to supply over a fixed electrical travel: a potentiometer, or
/// an angle sensor with an analog output.
///
/// Output = supply angle / travel. A throw that is shorter than the travel leaves the rest of the range unused.
///
/// # Example
/// ```
/// use yokewright::hall::RotarySensor;
/// use yokewright::units::DEG;
/// let sensor = RotarySensor::new(300.0 * DEG, 5.0)?;
/// assert!((sensor.output(150.0 * DEG)? - 2.5).abs() < 1e-12);
/// assert!((sensor.share(12.0 * DEG)? - 0.04).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The voltage divider (textbook).
#[derive(Debug, Clone, PartialEq)]
pub struct RotarySensor {
    travel: f64,
    supply: f64,
}

stored_by_its_constructor!(RotarySensor {
    travel: f64,
    supply: f64
} => Self::new(travel, supply));

impl RotarySensor {
    /// A sensor with an electrical `travel` (rad, 5 degrees to 10 turns) at a `supply` (V, 0.5 to 40).
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite), [`OutOfRange`](crate::Error::OutOfRange).
    pub fn new(travel: f64, supply: f64) -> Result<Self> {
        Ok(Self {
            travel: within("electrical travel", travel, 5.0 * DEG, 10.0 * TAU, "rad")?,
            supply: within("sensor supply", supply, 0.5, 40.0, "V")?,
        })
    }

    /// Electrical travel, rad.
    #[must_use]
    pub fn travel(&self) -> f64 {
        self.travel
    }

    /// Supply voltage, V.
    #[must_use]
    pub fn supply(&self) -> f64 {
        self.supply
    }

    /// Output, V, at an angle from the start of the travel, rad.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite); [`OutOfRange`](crate::Error::OutOfRange) outside the travel.
    pub fn output(&self, angle: f64) -> Result<f64> {
        let angle = self.within_travel("angle from the start of travel", angle)?;
        Ok(self.supply * (angle / self.travel))
    }

    /// Share of the output range, 0 to 1, that a throw, rad, uses.
    ///
    /// # Errors
    /// [`NotFinite`](crate::Error::NotFinite); [`OutOfRange`](crate::Error::OutOfRange) if the throw is negative or
    /// exceeds the travel.
    pub fn share(&self, throw: f64) -> Result<f64> {
        Ok(self.within_travel("throw", throw)? / self.travel)
    }

    fn within_travel(&self, quantity: &'static str, angle: f64) -> Result<f64> {
        within(quantity, angle, 0.0, self.travel, "rad")
    }
}

#[cfg(test)]
#[path = "rotary_tests.rs"]
mod tests;
