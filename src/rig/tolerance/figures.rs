//! The figures of a build, by the names and in the units of the targets of a design file.

use crate::axis::{FigureName, YieldTarget};
use crate::error::Result;
use crate::rig::target::{Target, TargetSense};

/// What is told of every build of an axis, whatever is asked.
const TOLD: [Target; 6] = [
    Target::RangeUsed,
    Target::Linearity,
    Target::Clipped,
    Target::Clearance,
    Target::Nonlinearity,
    Target::Uncalibrated,
];

/// The figures of an axis, or of a stick as a whole, with such targets.
pub(super) fn figures_for(targets: &[(Target, f64)], is_axis: bool) -> Vec<Target> {
    let mut figures = if is_axis { TOLD.to_vec() } else { Vec::new() };
    for (target, _) in studied(targets) {
        if !figures.contains(&target) {
            figures.push(target);
        }
    }
    figures
}

/// What a build can meet or miss: all but the share of those that do.
pub(super) fn studied(targets: &[(Target, f64)]) -> impl Iterator<Item = (Target, f64)> {
    let all = targets.iter().copied();
    all.filter(|(target, _)| *target != Target::Yield)
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
    let limits = studied(targets).map(|(target, wanted)| {
        let name = figure_name(target).name;
        match target.sense() {
            TargetSense::AtLeast => YieldTarget::at_least(name, wanted),
            TargetSense::AtMost => YieldTarget::at_most(name, wanted),
        }
    });
    limits.collect()
}
