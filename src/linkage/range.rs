//! A stretch from one value to another.

use std::f64::consts::{PI, TAU};

/// A stretch of travel that something turning or sliding can go.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Travel {
    /// Where it begins, rad or m.
    pub from: f64,
    /// Where it ends, not before `from`.
    pub to: f64,
}

impl Travel {
    /// From -pi to pi, with nothing to stop at.
    pub const FULL_TURN: Self = Self { from: -PI, to: PI };

    /// The stretch that covers all values.
    pub(super) fn over(values: impl Iterator<Item = f64>) -> Self {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let [from, to] = values.fold(none, |[from, to], value| [from.min(value), to.max(value)]);
        Self { from, to }
    }

    /// How long it is, rad or m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.to - self.from
    }

    /// The angle less or plus whole turns such that it lies in the stretch, if one does.
    #[must_use]
    pub fn turned_into(&self, angle: f64) -> Option<f64> {
        let turned = angle + ((self.from - angle) / TAU).ceil() * TAU;
        (turned <= self.to).then_some(turned)
    }
}
