//! What a spring does at one place: force or torque, stiffness, energy and state, along a line and about a pivot.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices};

/// Lengths between two looks at who may ask to stop: some tens of microseconds.
pub(in crate::spring) const BLOCK: usize = 1024;

/// On which side of its free length or free angle a spring works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SpringAction {
    /// Only above: an extension spring, which hangs slack below its free length; a torsion spring wound up by growing
    /// angles.
    Above,
    /// Only below: a compression spring, which comes off its seat above its free length.
    Below,
    /// On both sides, held at both ends.
    Both,
}

choices!(SpringAction, "side on which the spring works", {
    Above => "above",
    Below => "below",
    Both => "both",
});

/// What a spring along a line does at a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LinearSpringState {
    /// Carries nothing: no force at all.
    Slack,
    /// Within its limits.
    Working,
    /// Shorter than it can get: its coils touch before.
    Solid,
    /// Longer than it stands.
    Overstretched,
}

choices!(LinearSpringState, "state of a spring", {
    Slack => "slack",
    Working => "working",
    Solid => "solid",
    Overstretched => "overstretched",
});

/// What a spring at a pivot does at an angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TorsionSpringState {
    /// Carries nothing: no torque at all.
    Slack,
    /// Within its limits.
    Working,
    /// Turned further than it stands.
    Overwound,
}

choices!(TorsionSpringState, "state of a spring", {
    Slack => "slack",
    Working => "working",
    Overwound => "overwound",
});

/// What a spring along a line does at one length.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpringResponse {
    /// Force along the line, N: positive pulls the ends together, negative pushes them apart.
    pub tension: f64,
    /// Derivative of the tension by the length, N/m.
    pub stiffness: f64,
    /// Energy stored, J: zero where unloaded. Its derivative by the length is the tension.
    pub energy: f64,
    /// Slack, working, or past a limit.
    pub state: LinearSpringState,
}

impl SpringResponse {
    pub(in crate::spring) const SLACK: Self = Self {
        tension: 0.0,
        stiffness: 0.0,
        energy: 0.0,
        state: LinearSpringState::Slack,
    };
}

/// What a spring at a pivot does at one angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TorsionResponse {
    /// Torque that holds the spring there, N m: positive if it must be applied towards greater angles. The spring acts
    /// on the turning part with the opposite.
    pub torque: f64,
    /// Derivative of the torque by the angle, N m/rad.
    pub stiffness: f64,
    /// Energy stored, J: zero where unloaded. Its derivative by the angle is the torque.
    pub energy: f64,
    /// Slack, working, or past a limit.
    pub state: TorsionSpringState,
}

/// Responses in the order of the lengths given.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpringResponses {
    /// Tensions, N; NaN where the length is refused.
    pub tensions: Vec<f64>,
    /// Stiffnesses, N/m; NaN where the length is refused.
    pub stiffnesses: Vec<f64>,
    /// Energies, J; NaN where the length is refused.
    pub energies: Vec<f64>,
    /// What the spring does there; `None` where the length is refused.
    pub states: Vec<Option<LinearSpringState>>,
    /// Whether the length has a value.
    pub valid: Vec<bool>,
}

/// What the straight line of force has at one place; `None` where it is slack.
pub(super) struct OnLine {
    pub(super) force: f64,
    pub(super) energy: f64,
}

/// A force that grows straight from a free position, on one side of it or on both.
#[inline(always)]
pub(super) fn straight(
    rate: f64,
    free: f64,
    initial: f64,
    action: SpringAction,
    at: f64,
) -> Option<OnLine> {
    let by = at - free;
    let loaded = match action {
        SpringAction::Above => by > 0.0,
        SpringAction::Below => by < 0.0,
        SpringAction::Both => true,
    };
    loaded.then_some(OnLine {
        force: initial + rate * by,
        energy: (initial + 0.5 * rate * by) * by,
    })
}

/// Checks the limits against each other and against the free position.
pub(super) fn limits(
    quantity: &'static str,
    free: f64,
    action: SpringAction,
    [lower, upper]: [f64; 2],
    unit: &'static str,
) -> Result<()> {
    // A spring that can never be loaded is a slip.
    let (lower, upper) = match action {
        SpringAction::Above => (lower.max(free), upper),
        SpringAction::Below => (lower, upper.min(free)),
        SpringAction::Both => (lower, upper),
    };
    if lower < upper {
        Ok(())
    } else {
        Err(Error::NotAscending {
            quantity,
            lower,
            upper,
            unit,
        })
    }
}
