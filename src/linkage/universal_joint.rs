//! The universal joint: two shafts at an angle.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::{Transfer, Transfers, Transmission, TransmissionReach};
use crate::units::DEG;
use crate::written::debug_as_call;

/// The greatest bend, rad. Real joints stop at about 45 degrees; at 90 the shaft does not turn at all.
const MAX_BEND: f64 = 89.0 * DEG;
/// Angles are taken up to here, rad: a control turns less, a shaft in a test may turn on.
const MAX_ANGLE: f64 = 1e6;

/// A single universal joint (Cardan or Hooke's joint) between two shafts that meet at an angle.
///
/// With b the bend and g the angle of the input fork's pins from the plane of the two shafts, the output fork stands at
/// atan2(sin g, cos b cos g), and turns by cos b / (1 - sin^2 b cos^2 g) of what the input turns. `phase` is g when the
/// control is centered; input and output angle are zero there and have the same sense.
///
/// # Example
/// ```
/// use yokewright::linkage::UniversalJoint;
/// use yokewright::units::DEG;
///
/// let joint = UniversalJoint::new(30.0 * DEG, 0.0)?;
/// let out = joint.transfer(15.0 * DEG)?;
/// assert!((out.angle / DEG - 17.192).abs() < 1e-3);
/// assert!((joint.transfer(0.0)?.ratio - 1.1547).abs() < 1e-4); // fastest, 1 / cos b
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The relation tan g = cos b tan(g') in any text on mechanisms; J. Carvill, *Mechanical Engineer's Data Handbook*, p.
/// 72.
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Stored")]
pub struct UniversalJoint {
    bend: f64,
    phase: f64,
}

/// A joint as it is read back.
#[derive(Deserialize)]
#[serde(rename = "UniversalJoint")]
struct Stored {
    bend: f64,
    phase: f64,
}

impl TryFrom<Stored> for UniversalJoint {
    type Error = Error;

    fn try_from(Stored { bend, phase }: Stored) -> Result<Self> {
        Self::new(bend, phase)
    }
}

debug_as_call!(UniversalJoint, |self, f| {
    write!(f, "UniversalJoint::new({:?}, {:?})?", self.bend, self.phase)
});

impl UniversalJoint {
    /// A joint between shafts that leave a straight line by `bend`, the pins of the input fork turned by `phase` out of
    /// the plane of the shafts when the control is centered (rad).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the bend is not within 0 to 89
    /// degrees or the phase not within a turn.
    pub fn new(bend: f64, phase: f64) -> Result<Self> {
        let turn = std::f64::consts::TAU;
        Ok(Self {
            bend: within("bend of the universal joint", bend, 0.0, MAX_BEND, "rad")?,
            phase: within("phase of the universal joint", phase, -turn, turn, "rad")?,
        })
    }

    /// Angle between the shafts, rad.
    #[must_use]
    pub fn bend(&self) -> f64 {
        self.bend
    }

    /// Angle of the input fork's pins from the plane of the shafts when centered, rad.
    #[must_use]
    pub fn phase(&self) -> f64 {
        self.phase
    }

    /// Output angle, ratio and second derivative at an input angle (rad); continuous over any number of turns.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the angle is not within 1e6 rad.
    pub fn transfer(&self, angle: f64) -> Result<Transfer> {
        within("input angle", angle, -MAX_ANGLE, MAX_ANGLE, "rad")?;
        Ok(self.at(angle))
    }

    /// Many at once, in the order given; rows that [`UniversalJoint::transfer`] refuses are NaN and marked.
    #[must_use]
    pub fn transfers(&self, angles: &[f64]) -> Transfers {
        let row = |&angle: &f64| self.transfer(angle).ok();
        angles.iter().map(row).collect()
    }

    fn at(&self, angle: f64) -> Transfer {
        let fork = self.phase + angle;
        let (sin, cos) = fork.sin_cos();
        let (sin_bend, cos_bend) = self.bend.sin_cos();
        let squared = sin_bend * sin_bend;
        let below = 1.0 - squared * cos * cos;
        Transfer {
            angle: angle + self.lead(fork) - self.lead(self.phase),
            ratio: cos_bend / below,
            curvature: -2.0 * cos_bend * squared * sin * cos / (below * below),
        }
    }

    /// How far the output fork leads an input fork at angle g: atan((1 - cos b) tan g / (cos b + tan^2 g)).
    fn lead(&self, fork: f64) -> f64 {
        let (sin, cos) = fork.sin_cos();
        let cos_bend = self.bend.cos();
        // 1 - cos b without losing digits at a small bend.
        let versine = 2.0 * (0.5 * self.bend).sin().powi(2);
        (versine * sin * cos).atan2(cos_bend * cos * cos + sin * sin)
    }

    /// Least and greatest ratio over a turn: cos b and 1 / cos b.
    #[must_use]
    pub fn ratio_range(&self) -> [f64; 2] {
        let cos = self.bend.cos();
        [cos, 1.0 / cos]
    }

    /// The fork angle in the first quarter turn, rad from the plane of the shafts, at which the ratio is 1: cos g = 1 /
    /// sqrt(1 + cos b).
    #[must_use]
    pub fn unit_ratio_angle(&self) -> f64 {
        self.bend.cos().sqrt().atan()
    }

    /// The fork angle in the first quarter turn, rad, at which the second derivative is greatest in magnitude (it is
    /// negative there), and that magnitude: times the square of the input speed it is the greatest angular acceleration
    /// of the output.
    ///
    /// With s = sin^2 b the extreme lies where s cos^2 2g + (2 - s) cos 2g - 2 s = 0, exactly; the rule cos 2g = 2 s /
    /// (2 - s) of many textbooks leaves out the first term.
    #[must_use]
    pub fn max_curvature(&self) -> (f64, f64) {
        let s = self.bend.sin().powi(2);
        let b = 2.0 - s;
        let cosine = 4.0 * s / (b + b.hypot(8.0_f64.sqrt() * s));
        let fork = 0.5 * cosine.acos();
        (fork, -self.at(fork - self.phase).curvature)
    }
}

impl Transmission for UniversalJoint {
    fn transfer(&self, angle: f64) -> Result<Transfer> {
        self.transfer(angle)
    }

    fn transfers(&self, angles: &[f64]) -> Transfers {
        self.transfers(angles)
    }

    /// It turns on and on.
    fn reach(&self) -> TransmissionReach {
        TransmissionReach::ENDLESS
    }
}
