//! The figures of a build, by the names and in the units of the targets of a design file.

use crate::axis::{FigureName, YieldTarget};
use crate::error::Result;
use crate::rig::target::{Target, TargetSense};

/// What is told of every build, whatever is asked.
const TOLD: [Target; 6] = [
    Target::RangeUsed,
    Target::Linearity,
    Target::Clipped,
    Target::Clearance,
    Target::Nonlinearity,
    Target::Uncalibrated,
];

/// The figures of a control with such targets.
pub(super) fn figures_for(targets: &[(Target, f64)]) -> Vec<Target> {
    let mut figures = TOLD.to_vec();
    for (target, _) in targets {
        if target.is_studied() && !figures.contains(target) {
            figures.push(*target);
        }
    }
    figures
}

/// The name of a figure; where two targets are called alike, with its unit.
pub(super) fn figure_name(target: Target) -> FigureName {
    let alike = Target::ALL
        .iter()
        .filter(|other| other.name() == target.name());
    let name = match alike.count() {
        1 => target.name().to_owned(),
        _ => format!("{} in {}", target.name(), target.unit()),
    };
    let unit = match target.unit() {
        "" => "(no unit)",
        unit => unit,
    };
    FigureName::new(name, unit)
}

/// What a build has to meet, in the units of the targets.
pub(super) fn yield_targets(targets: &[(Target, f64)]) -> Result<Vec<YieldTarget>> {
    let asked = targets.iter().filter(|(target, _)| target.is_studied());
    let limits = asked.map(|(target, wanted)| {
        let name = figure_name(*target).name;
        match target.sense() {
            TargetSense::AtLeast => YieldTarget::at_least(name, *wanted),
            TargetSense::AtMost => YieldTarget::at_most(name, *wanted),
        }
    });
    limits.collect()
}

/// Whether an error budget answers it.
pub(super) fn is_of_budget(target: Target) -> bool {
    matches!(
        target,
        Target::Error
            | Target::ErrorOfThrow
            | Target::WorstError
            | Target::Drift
            | Target::DriftOfThrow
    )
}
