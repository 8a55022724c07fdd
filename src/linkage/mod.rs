//! Linkages: what turns when something else is turned, how far, and where it locks.

mod any_transmission;
mod arm;
mod ball_rod;
mod fixed_ratio;
#[cfg(feature = "proptest")]
pub mod generators;
mod lever;
mod masked;
mod pedals;
mod pivot;
mod planar;
mod range;
pub mod requirement;
mod rod;
mod stick;
mod transmission;
mod universal_joint;

pub use any_transmission::{AnyTransmission, TransmissionChain};
pub use arm::{Arm, Stud};
pub use ball_rod::{
    ArmLengths, Assembly, BallRod, BallRodAngles, BallRodColumns, BallRodDemand, BallRodDesign,
    BallRodFigures, BallRodSpec, FreeArm, OutputShift, RodEnd, RodLimit, RodLoads, RodReach,
    search_ball_rods,
};
pub(crate) use ball_rod::{RodInput, RodLanes, Turn};
pub use fixed_ratio::FixedRatio;
pub use lever::{Lever, LeverGuide, Stop, StopLoad, StoppedTravel};
pub use masked::Masked;
pub use pedals::{
    FootSide, PadPose, Pedal, PedalEnd, PedalFigures, PedalLimit, PedalLimitKind, PedalLoads,
    PedalMember, PedalPair, PedalPairSpec, PedalPose, PedalPoses, PedalReach, PedalTransmission,
};
pub use pivot::Pivot;
pub use planar::{
    Branch, BranchAngles, BranchTrack, CenteredFourBar, CouplerCurve, DeadCenter, DeadCenterKind,
    FourBar, FourBarClass, FourBarColumns, FourBarDemand, FourBarFit, FourBarMotion, FourBarPose,
    FourBarSolutions, Grashof, PointMotion, SlideDeadCenter, SlideTransfer, SlideTransfers,
    SliderCrank, SliderCrankMotion, SliderCrankPose, TRANSMISSION_GOOD, TRANSMISSION_LIMIT,
    ThreePointFourBar, chebyshev_spacing, freudenstein_ratios, search_four_bars,
    three_point_four_bar,
};
pub use range::Range;
pub use rod::{Buckling, Rod, RodEnds, RodLoad, RodMaterial, RodSection};
pub use stick::{
    Clearance, Envelope, EnvelopeExtreme, Gate, GateShape, Gimbal, GimbalAxis, GimbalSpec,
    GripPoses, GripTravel, InnerSensor, Obstacle, ObstacleShape, StickPart,
};
pub use transmission::{
    Transfer, TransferColumns, Transfers, Transmission, TransmissionEnd, TransmissionReach,
};
pub use universal_joint::UniversalJoint;

use std::f64::consts::PI;

use crate::error::{Result, within};
use crate::numeric::turn::wrapped;
use crate::observer;
use crate::units::MM;

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

/// Angles between two looks at who may ask to stop.
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

/// The angle between two sides of a triangle, from the third; none if there is no such triangle. (Half-angle formula,
/// exact also for flat ones.)
fn angle_opposite(third: f64, one: f64, other: f64) -> Option<f64> {
    let (sum, difference) = (one + other, one - other);
    let near = (third - difference) * (third + difference);
    let far = (sum - third) * (sum + third);
    (near >= 0.0 && far >= 0.0 && one > 0.0).then(|| 2.0 * near.sqrt().atan2(far.sqrt()))
}
