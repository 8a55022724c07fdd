//! What all helical springs of round wire share: the measures of the coil, the spring index, and how curvature raises
//! the stress.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, within};
use crate::spring::wire::types::check_diameter;

/// The spring indices that can be wound at all. Usual are 4 to 12.
const INDEX_RANGE: [f64; 2] = [2.0, 50.0];
/// The coil diameters that make sense, m.
const COIL_RANGE: [f64; 2] = [1e-5, 2.0];

/// The diameter of a coil, as the one or the other measures it, m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum CoilDiameter {
    /// Over the wire: what a bore must let pass.
    Outer(f64),
    /// From the middle of the wire to the middle of the wire: what the formulas use.
    Mean(f64),
    /// Between the wire: what a rod must pass.
    Inner(f64),
}

impl CoilDiameter {
    /// The mean diameter D, m, of a coil of this wire (diameter in m).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for measures that are none, or a spring index D/d outside 2 to 50.
    pub fn mean(self, wire_diameter: f64) -> Result<f64> {
        check_diameter(wire_diameter)?;
        let [min, max] = COIL_RANGE;
        let mean = match self {
            Self::Outer(outer) => within("outer diameter", outer, min, max, "m")? - wire_diameter,
            Self::Mean(mean) => within("mean diameter", mean, min, max, "m")?,
            Self::Inner(inner) => within("inner diameter", inner, min, max, "m")? + wire_diameter,
        };
        check_index(mean / wire_diameter)?;
        Ok(mean)
    }
}

fn check_index(index: f64) -> Result<f64> {
    let [min, max] = INDEX_RANGE;
    // A diameter made from an index gives it back to within the rounding of a product and a quotient.
    let rounding = 2.0 * f64::EPSILON;
    let (min, max) = (min * (1.0 - rounding), max * (1.0 + rounding));
    within("spring index", index, min, max, "(no unit)")
}

/// How the curvature of the wire raises the shear stress at the inside of the coil, by its author.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CurvatureFactor {
    /// Bergstraesser's factor (4C + 2) / (4C - 3), which is the k = (w + 0.5) / (w - 0.75) of EN 13906-1.
    #[default]
    Bergstraesser,
    /// Wahl's factor (4C - 1) / (4C - 4) + 0.615 / C, within 1.5 % of Bergstraesser's from index 4 on, and more below.
    Wahl,
}

impl CurvatureFactor {
    /// The factor on the stress 8 F D / (pi d^3) for a spring index C = D/d.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an index outside 2 to 50.
    ///
    /// # References
    /// Shigley, eq. 10-4 to 10-6; EN 13906-1 (from memory).
    pub fn factor(self, index: f64) -> Result<f64> {
        check_index(index).map(|c| self.raw_factor(c))
    }

    pub(in crate::spring) fn raw_factor(self, c: f64) -> f64 {
        match self {
            Self::Bergstraesser => (4.0 * c + 2.0) / (4.0 * c - 3.0),
            Self::Wahl => (4.0 * c - 1.0) / (4.0 * c - 4.0) + 0.615 / c,
        }
    }
}

choices!(CurvatureFactor, "curvature", {
    Bergstraesser => "Bergstraesser",
    Wahl => "Wahl",
});

/// Whose rules apply where the textbook and the standard differ.
///
/// Of compression springs rate, curvature factor and natural frequency are the same in both, and so is the law of
/// buckling. They differ in the stress that a static load may cause, in the solid length of squared ends that are not
/// ground, in the pitch, in the room to leave between the coils, in how much a coil grows in diameter, and in the
/// rounding of one constant of buckling. Of extension springs they differ in the turns of the hooks and in the usual
/// initial tension, of torsion springs in the rate, in the factor on the stress and in the stress that a static load
/// may cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
#[non_exhaustive]
pub enum DesignCode {
    /// Budynas and Nisbett, *Shigley's Mechanical Engineering Design*, chapter 10.
    #[default]
    Shigley,
    /// EN 13906-1, -2 and -3 (from memory).
    En13906,
}

choices!(DesignCode, "design code", {
    Shigley => "Shigley",
    En13906 => "EN 13906",
});

/// The direct-shear factor (2C + 1) / (2C), without what curvature adds: for springs whose set was removed.
pub(in crate::spring) fn direct_shear_factor(c: f64) -> f64 {
    (2.0 * c + 1.0) / (2.0 * c)
}

/// Shear stress of a straight bar under the torque F D/2, 8 F D / (pi d^3), Pa for a force of 1 N.
pub(in crate::spring) fn stress_per_force(d: f64, mean: f64) -> f64 {
    8.0 * mean / (PI * d.powi(3))
}

/// Rate G d^4 / (8 D^3 n), N/m: twist of the wire alone, which is all but a fraction of a percent.
pub(in crate::spring) fn rate(shear_modulus: f64, d: f64, mean: f64, active_turns: f64) -> f64 {
    shear_modulus * d.powi(4) / (8.0 * mean.powi(3) * active_turns)
}

/// A number of turns.
pub(in crate::spring) fn check_turns(quantity: &'static str, turns: f64, min: f64) -> Result<f64> {
    within(quantity, turns, min, 1000.0, "turns")
}
