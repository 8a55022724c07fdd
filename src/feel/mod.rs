//! Feel: the force at the hand and the foot against travel.

mod body;
mod cam;
mod centering;
mod control;
mod curve;
mod elements;
mod equilibrium;
mod fit;
mod gate;
mod guidance;
mod motion;

pub use body::{Anchor, Bearing, Body, Coupling, Drive};
pub use cam::{Cam, CamSpec, Ends};
pub use centering::Centering;
pub use control::{Control, ControlSpec, GRAVITY, LineAt, Side, State};
pub use curve::ForceCurve;
pub use elements::{
    AlongLine, Breakout, CapturedSpring, Element, Friction, MagnetPair, friction_torque,
};
pub use equilibrium::{Rest, RestKind, Way};
pub use fit::{FitSpec, SpringChoice, SpringFit, SpringLayout, Wanted};
pub use gate::{Balance, LineSpan};
pub use guidance::{
    Bound, GRADIENT_SOURCE, GUIDANCE_CAVEAT, GradientRule, Guide, LBF, Level, Measured, Motion,
    Operated, PrintedUnit, Quantity, Standing, WEIGHT_SOURCE, WeightRule, gradient_limits,
    gradient_rules, guides, guides_for, least_maneuver_force, noticeable_steps, set_beside,
    weight_rules,
};
pub use motion::{Release, ReleaseSpec, Swing};
