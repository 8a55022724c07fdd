//! Linkages: what turns when something else is turned, how far, and where it locks.

mod arm;
mod ball_rod;
mod ball_rod_batch;
mod ball_rod_kernel;
mod ball_rod_loads;
mod ball_rod_locks;
mod ball_rod_reach;
mod ball_rod_search;
mod ball_rod_turns;
mod centered;
mod four_bar;
#[cfg(feature = "proptest")]
pub mod generators;
mod gimbal;
mod lever;
mod obstacle;
mod pedals;
mod pivot;
mod rod;
mod slider_crank;
mod stop;
mod synthesis;
mod transfers;
mod universal_joint;

pub use arm::{Arm, Stud};
pub use ball_rod::{Assembly, BallRod};
pub use ball_rod_batch::BallRodAngles;
pub use ball_rod_loads::{OutputShift, RodLoads};
pub use ball_rod_reach::{RodEnd, RodLimit, RodReach};
pub use ball_rod_search::{
    ArmLengths, BallRodDesign, BallRodFigures, BallRodGoal, FreeArm, find_ball_rods,
};
pub use centered::CenteredFourBar;
pub use four_bar::{
    Branch, BranchAngles, CouplerCurve, DeadCenter, DeadCenterKind, FourBar, FourBarClass,
    FourBarMotion, FourBarPose, FourBarSolutions, Grashof, PointMotion, TRANSMISSION_GOOD,
    TRANSMISSION_LIMIT, Track,
};
pub use gimbal::{
    Clearance, Envelope, Extreme, Gate, GateShape, Gimbal, GimbalAxis, GimbalSpec, GripPoses,
    GripTravel, InnerSensor, StickPart,
};
pub use lever::{Guide, Lever};
pub use obstacle::{Obstacle, ObstacleShape};
pub use pedals::{
    Foot, Member, PadPose, Pedal, PedalEnd, PedalFigures, PedalLimit, PedalLimitKind, PedalLoads,
    PedalPair, PedalPose, PedalPoses, PedalReach,
};
pub use pivot::Pivot;
pub use rod::{Buckling, Ends, Rod, RodLoad, RodMaterial, RodSection};
pub use slider_crank::{
    SlideDeadCenter, SlideTransfer, SlideTransfers, SliderCrank, SliderCrankMotion, SliderCrankPose,
};
pub use stop::{Stop, StopLoad, StoppedTravel};
pub use synthesis::{
    FourBarFit, FourBarGoal, ThreePointFourBar, chebyshev_spacing, fit_four_bar,
    freudenstein_ratios, three_point_four_bar,
};
pub use transfers::Transfers;
pub use universal_joint::UniversalJoint;

use std::f64::consts::{PI, TAU};

use crate::error::{Result, finite, within};
use crate::observer;
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

impl Transfer {
    /// An output angle (rad) with its first and second derivative (1/rad) by the input angle.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite).
    pub fn new(angle: f64, ratio: f64, curvature: f64) -> Result<Self> {
        Ok(Self {
            angle: finite("output angle", angle, "rad")?,
            ratio: finite("ratio of output to input", ratio, "(no unit)")?,
            curvature: finite("second derivative of the output", curvature, "1/rad")?,
        })
    }

    /// What comes out of `next`, whose input is the output of this one: by the chain rule.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        Self {
            angle: next.angle,
            ratio: next.ratio * self.ratio,
            curvature: next.curvature * self.ratio * self.ratio + next.ratio * self.curvature,
        }
    }
}

/// A stretch of travel that something turning or sliding can go.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Travel {
    /// Where it begins, rad or m.
    pub from: f64,
    /// Where it ends, not before `from`.
    pub to: f64,
}

impl Travel {
    /// From -pi to pi, with nothing to stop at.
    pub const FULL_TURN: Self = Self { from: -PI, to: PI };

    /// The stretch that covers all values.
    fn over(values: impl Iterator<Item = f64>) -> Self {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let [from, to] = values.fold(none, |[from, to], value| [from.min(value), to.max(value)]);
        Self { from, to }
    }

    /// How long it is, rad or m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// The angle less or plus whole turns such that it lies in the stretch, if one does.
    #[must_use]
    pub fn turned_into(&self, angle: f64) -> Option<f64> {
        let turned = angle + ((self.from - angle) / TAU).ceil() * TAU;
        (turned <= self.to).then_some(turned)
    }
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

/// Solutions from which the work is shared out among the cores.
const SHARED: usize = 2 * STRETCH;
/// Solutions that a core works on at a time.
const STRETCH: usize = 4096;

/// Angular velocity (rad/s) and acceleration (rad/s^2) far beyond any machine.
const MAX_MOTION: [f64; 2] = [1e6, 1e12];

fn check_motion(velocity: f64, acceleration: f64) -> Result<()> {
    let [fastest, strongest] = MAX_MOTION;
    within(
        "angular velocity of the crank",
        velocity,
        -fastest,
        fastest,
        "rad/s",
    )?;
    within(
        "angular acceleration of the crank",
        acceleration,
        -strongest,
        strongest,
        "rad/s^2",
    )?;
    Ok(())
}

/// The angles, as long as no observer asks to stop; whoever observes drops what there is by then.
fn until_stopped(angles: &[f64]) -> impl Iterator<Item = &f64> {
    let blocks = angles.chunks(STRETCH);
    blocks.take_while(|_| observer::check().is_ok()).flatten()
}

/// The same direction from -pi to pi.
fn wrapped(angle: f64) -> f64 {
    angle - TAU * (angle / TAU).round()
}

/// The angle between two sides of a triangle, from the third; none if there is no such triangle. (Half-angle formula, exact also for flat ones.)
fn angle_opposite(third: f64, one: f64, other: f64) -> Option<f64> {
    let (sum, difference) = (one + other, one - other);
    let near = (third - difference) * (third + difference);
    let far = (sum - third) * (sum + third);
    (near >= 0.0 && far >= 0.0 && one > 0.0).then(|| 2.0 * near.sqrt().atan2(far.sqrt()))
}
