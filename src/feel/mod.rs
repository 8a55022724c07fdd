//! Feel: the force at the hand and the foot against travel.

mod body;
mod cam;
mod control;
mod element;
mod guidance;
mod guidance_table;

pub use body::{Anchor, Bearing, Body, Coupling, Drive, Pivot};
pub use cam::{Cam, CamSpec, Ends};
pub use control::{Control, ControlSpec, GRAVITY, LineAt, Side, State};
pub use element::{
    AlongLine, Breakout, CapturedSpring, Element, Friction, MagnetPair, friction_torque,
};
pub use guidance::{
    Bound, GRADIENT_SOURCE, GUIDANCE_CAVEAT, GradientRule, Guide, LBF, Level, Measured, Motion,
    Operated, PrintedUnit, Provenance, Quantity, Standing, WEIGHT_SOURCE, WeightRule,
    gradient_limits, gradient_rules, guides, guides_for, least_maneuver_force, noticeable_steps,
    set_beside, weight_rules,
};
