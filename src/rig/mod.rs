//! A design file in, an evaluated rig out: every axis with its figures, every target with a verdict and the margin.

mod cautions;
mod design;
mod design_error;
mod document;
mod evaluation;
mod keys;
mod verdict;

pub use cautions::CAUTIONS;
pub use design::{Design, NamedAxis};
pub use design_error::{DesignError, Problem};
pub use evaluation::{AxisEvaluation, BrokenAxis, Evaluation};
pub use keys::{Allowed, KEYS, Key, Words};
pub use verdict::{Target, TargetSense, Verdict, VerdictState};
