//! What the tolerances of parts do to what is built of them: how many builds work, what decides, and what to change.

mod buildable;
mod distribution;
mod draws;
mod plan;
mod result;
mod spread;
mod study;
mod target;
mod tolerance_of;

pub use buildable::{Assembly, BuildFailure, Buildable, Builds, FigureName, FormulaDesign};
pub use distribution::{Distribution, DistributionSpec};
pub use draws::Sampling;
pub use result::{BuildRecord, FailureCount, TargetYield, Yield, YieldInterval};
pub use spread::FigureSpread;
pub use study::{YieldDemand, YieldStudy, study_yield};
pub use target::YieldTarget;
pub use tolerance_of::{Tolerance, ToleranceEffect, ToleranceSpec, TolerancedAs};
