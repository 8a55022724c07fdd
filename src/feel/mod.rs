//! Feel: the force at the hand and the foot against travel.

mod body;
mod cam;
mod centering;
mod control;
mod curve;
mod element;
mod fit;
mod fit_search;
mod gate;
mod guidance;
mod guidance_table;
mod release;
mod swing;
mod track;

pub use body::{Anchor, Bearing, Body, Coupling, Drive};
pub use cam::{Cam, CamSpec, Ends};
pub use centering::Centering;
pub use control::{Control, ControlSpec, GRAVITY, LineAt, Side, State};
pub use curve::ForceCurve;
pub use element::{
    AlongLine, Breakout, CapturedSpring, Element, Friction, MagnetPair, friction_torque,
};
pub use fit::{FitSpec, SpringChoice, SpringFit, SpringLayout, Wanted};
pub use gate::{Balance, LineSpan};
pub use guidance::{
    Bound, GRADIENT_SOURCE, GUIDANCE_CAVEAT, GradientRule, Guide, LBF, Level, Measured, Motion,
    Operated, PrintedUnit, Quantity, Standing, WEIGHT_SOURCE, WeightRule, gradient_limits,
    gradient_rules, guides, guides_for, least_maneuver_force, noticeable_steps, set_beside,
    weight_rules,
};
pub use release::{Release, ReleaseSpec};
pub use swing::Swing;
pub use track::{Rest, RestKind, Way};
