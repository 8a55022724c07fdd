//! Feel: the force at the hand and the foot against travel.

mod body;
mod cam;
mod centering;
mod control;
mod curve;
mod elements;
mod envelope;
mod equilibrium;
mod fit;
mod followers;
mod gate;
mod gate_way;
mod guidance;
mod motion;
pub mod requirement;

pub use body::{Anchor, Bearing, Body, Drive};
pub use cam::{Cam, CamEnds, CamSpec};
pub use centering::Centering;
pub use control::{
    ApproachSide, Control, ControlSpec, ControlState, GRAVITY, SpringOperatingPoint,
};
pub use curve::ForceCurve;
pub use elements::{
    AlongLine, Breakout, CapturedSpring, Element, Friction, MagnetPair, friction_torque,
};
pub(crate) use envelope::LinePaths;
pub use envelope::SpringEnvelope;
pub(crate) use equilibrium::Track;
pub use equilibrium::{EquilibriumBand, EquilibriumKind, Way};
pub use fit::{SpringChoice, SpringDemand, SpringFit, SpringLayout, TargetValue};
pub use gate::Equilibrium;
pub use guidance::{
    ControlKind, ControlMeasurements, FlyingQualityLevel, GRADIENT_SOURCE, GUIDANCE_CAVEAT,
    GradientRule, GuidanceBound, GuidanceComparison, GuidanceFigure, GuidanceMotion,
    GuidanceQuantity, LBF, PrintedUnit, WEIGHT_SOURCE, WeightRule, compare_with_guidance,
    gradient_limits, gradient_rules, guides, guides_for, min_maneuver_force, noticeable_steps,
    weight_rules,
};
pub use motion::{FreeResponse, FreeResponseSpec, SecondOrderResponse};
