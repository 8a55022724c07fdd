//! Where a sweep turns back.

use std::ops::Range;

use serde::Serialize;

use crate::error::choices;

/// Way back after which a sweep has turned, as a part of its whole range: more than the jitter of a protractor.
const TURN: f64 = 0.05;

/// Which way the control was moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SweepDirection {
    /// Towards greater angles.
    Rising,
    /// Towards lesser angles.
    Falling,
}

choices!(SweepDirection, "direction of a sweep", {
    Rising => "rising",
    Falling => "falling",
});

/// A stretch of rows in one direction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Leg {
    pub(super) rows: Range<usize>,
    pub(super) direction: SweepDirection,
}

/// The stretches between the turning points of finite angles, of which there are some.
pub(super) fn legs(angles: &[f64]) -> Vec<Leg> {
    let [least, most] = range(angles);
    let turn = TURN * (most - least);
    let mut legs = Vec::new();
    let mut start = 0;
    // The extreme rows since the last turn, until the direction is known; then the one that is gone for.
    let (mut lowest, mut highest) = (0, 0);
    let mut going = None;
    for (i, &angle) in angles.iter().enumerate() {
        if angle < angles[lowest] {
            lowest = i;
        }
        if angle > angles[highest] {
            highest = i;
        }
        let risen = angle - angles[lowest] > turn;
        let fallen = angles[highest] - angle > turn;
        going = match going {
            None if risen => Some(SweepDirection::Rising),
            None if fallen => Some(SweepDirection::Falling),
            Some(SweepDirection::Rising) if fallen => {
                legs.push(leg(start..highest + 1, SweepDirection::Rising));
                (start, lowest) = (highest + 1, i);
                Some(SweepDirection::Falling)
            }
            Some(SweepDirection::Falling) if risen => {
                legs.push(leg(start..lowest + 1, SweepDirection::Falling));
                (start, highest) = (lowest + 1, i);
                Some(SweepDirection::Rising)
            }
            same => same,
        };
        match going {
            Some(SweepDirection::Rising) => lowest = highest,
            Some(SweepDirection::Falling) => highest = lowest,
            None => {}
        }
    }
    if start < angles.len() {
        legs.push(leg(
            start..angles.len(),
            going.unwrap_or(SweepDirection::Rising),
        ));
    }
    legs
}

fn leg(rows: Range<usize>, direction: SweepDirection) -> Leg {
    Leg { rows, direction }
}

/// Least and greatest of finite values.
pub(super) fn range(values: &[f64]) -> [f64; 2] {
    let all = values.iter();
    all.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], &v| {
        [least.min(v), most.max(v)]
    })
}
