//! A design file in, an evaluated rig out: every axis with its figures, every target with a verdict and the margin.

mod cautions;
mod control;
mod design;
mod design_error;
mod document;
mod evaluation;
mod keys;
mod notes;
mod parts;
mod reading;
mod schema;
mod target;
mod toleranced;
mod verdict;

pub use cautions::CAUTIONS;
pub use control::{NamedAxis, NamedFeel, NamedStick};
pub use design::Design;
pub use design_error::{DesignError, Problem};
pub use evaluation::{
    AxisEvaluation, BrokenControl, Evaluation, FeelAlong, FeelEvaluation, GateEvaluation, Handling,
    JointSwivel, LinkageEvaluation, MagnetHandling, MagnetPull, NamedObstacle, RodForce,
    SpringEvaluation, StickEvaluation,
};
pub use keys::{Allowed, KEYS, Key, Need, Words};
pub use schema::design_schema;
pub use target::{Target, TargetSense};
pub use toleranced::{KeyTolerance, ToleranceShape};
pub use verdict::{Verdict, VerdictState};
