//! A stretch from one value to another.

use std::f64::consts::{PI, TAU};

/// A stretch of travel that something turning or sliding can go.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Range {
    /// Lower end, rad or m.
    pub lower: f64,
    /// Where it ends, not below `lower`.
    pub upper: f64,
}

impl Range {
    /// From -pi to pi, with nothing to stop at.
    pub const FULL_TURN: Self = Self {
        lower: -PI,
        upper: PI,
    };

    /// The stretch that covers all values.
    pub(super) fn over(values: impl Iterator<Item = f64>) -> Self {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let [from, to] = values.fold(none, |[from, to], value| [from.min(value), to.max(value)]);
        Self {
            lower: from,
            upper: to,
        }
    }

    /// How long it is, rad or m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.upper - self.lower
    }

    /// The angle less or plus whole turns such that it lies in the stretch, if one does.
    #[must_use]
    pub fn turned_into(&self, angle: f64) -> Option<f64> {
        let turned = angle + ((self.lower - angle) / TAU).ceil() * TAU;
        (turned <= self.upper).then_some(turned)
    }
}
