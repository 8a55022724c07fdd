//! What the tolerances of parts do to what is built of them: how many builds work, what decides, and what to change.

mod allocation;
mod buildable;
mod control_design;
mod control_figure;
mod control_spec;
mod demand;
mod design_for;
mod distribution;
mod draws;
mod importance;
mod interval;
mod lanes;
mod part;
mod plan;
mod result;
mod shared;
mod spread;
mod stored_tree;
mod study;
mod target;
mod tolerance_of;
mod what_if;

pub use allocation::{ToleranceAllocation, allocate_tolerances};
pub(crate) use buildable::Unbuilt;
pub use buildable::{BuildFailure, Buildable, Builds, FigureName, FormulaDesign, PreparedDesign};
pub use control_design::ControlDesign;
pub use control_figure::ControlFigure;
pub use control_spec::ControlDesignSpec;
pub use demand::YieldDemand;
pub use design_for::{
    TolerantDesign, TolerantDesignDemand, TolerantSearch, VariedInput, search_tolerant_designs,
};
pub use distribution::{Distribution, DistributionSpec};
pub use draws::Sampling;
pub use importance::{
    FigureImportance, Importance, ImportanceDemand, ToleranceImportance, VarianceShare,
    study_importance,
};
pub use interval::YieldInterval;
pub use part::PartDesign;
pub use result::{BuildRecord, FailureCount, TargetYield, Yield};
pub(crate) use shared::{SharedDesign, SharedYield, study_shared};
pub use spread::FigureSpread;
pub use study::{YieldProgress, YieldStudy, study_yield};
pub use target::YieldTarget;
pub use tolerance_of::{Tolerance, ToleranceEffect, ToleranceSpec, TolerancedAs};
pub use what_if::{WhatIf, WhatIfRow, study_what_if};
