//! A design file in, an evaluated rig out: every axis with its figures, every target with a verdict and the margin.

mod answers;
mod bill;
mod cause;
mod cautions;
mod control;
mod cost;
mod design;
mod design_error;
mod document;
mod evaluation;
mod gate;
mod keys;
mod latency;
mod notes;
mod numbers;
mod parts;
mod reading;
mod schema;
mod supply;
mod target;
mod tolerance;
mod tolerance_shape;
mod toleranced;
mod variant;
mod verdict;

pub use cause::CommonCause;
pub use cautions::CAUTIONS;
pub use control::{NamedAxis, NamedFeel, NamedStick};
pub use cost::{BillItem, Cost, CostShare};
pub use design::Design;
pub use design_error::{DesignError, Problem};
pub use evaluation::{
    AxisEvaluation, BrokenControl, Evaluation, FeelAlong, FeelEvaluation, GateEvaluation, Handling,
    JointSwivel, LinkageEvaluation, MagnetHandling, MagnetPull, NamedObstacle, RodForce,
    SpringEvaluation, StickEvaluation,
};
pub use keys::{Allowed, KEYS, Key, Need, Words};
pub use schema::design_schema;
pub use supply::{Consumer, Supply};
pub use target::{Target, TargetSense};
pub use tolerance::{
    ControlYield, RigYield, RigYieldDemand, SharedCause, SlotEnd, SlotEvaluation, YieldRoute,
};
pub use tolerance_shape::ToleranceShape;
pub use toleranced::{KeySlot, KeyTolerance};
pub use verdict::{Verdict, VerdictState};
