//! Angles over the throw of an axis that are close enough to find whatever there is.

use crate::axis::Axis;
use crate::linkage::{AnyTransmission, Transmission};
use crate::numeric::spacing::spaced;
use crate::units::DEG;

/// The coarsest grid: so many points, and a step of no more than this, rad. A quarter of a degree is a quarter of a
/// millimetre on an arm of 60 mm, less than the width of any feature of the field at a gap that can be printed.
const LEAST_POINTS: usize = 65;
const WIDEST_STEP: f64 = 0.25 * DEG;

/// Number of points that a grid over a throw needs.
pub(super) fn grid_points([lower, upper]: [f64; 2]) -> usize {
    let steps = ((upper - lower) / WIDEST_STEP).ceil() as usize;
    LEAST_POINTS.max(steps + 1)
}

/// Most points of a grid that a drive with a great ratio may ask for: beside a lock it would ask for any number.
const MOST_POINTS: usize = 100_000;

/// The throw by the fastest turn of the pivot at the sensor that it makes.
pub(super) fn fastest_throw(axis: &Axis) -> [f64; 2] {
    let throw = axis.throw();
    if axis.spec().drive == AnyTransmission::Identity {
        return throw;
    }
    let driven = axis
        .spec()
        .drive
        .transfers(&even_angles(throw, LEAST_POINTS));
    let ratios = driven.ratios.into_iter().filter(|ratio| ratio.is_finite());
    let fastest = ratios.map(f64::abs).fold(0.0, f64::max);
    throw.map(|angle| angle * fastest)
}

/// The grid over the throw of an axis: no step turns the pivot at the sensor farther than the widest one.
pub(super) fn grid_angles(axis: &Axis) -> Vec<f64> {
    let needed = grid_points(fastest_throw(axis));
    even_angles(axis.throw(), needed.min(MOST_POINTS))
}

/// Evenly spaced, both ends exact.
pub(super) fn even_angles(throw: [f64; 2], points: usize) -> Vec<f64> {
    spaced(throw, points - 1).collect()
}
