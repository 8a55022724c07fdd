//! What a control answers its targets with: an evaluation and a study of builds hold the same against them.

use crate::axis::{
    AxisCrosstalk, AxisFigures, CalibrationMethod, DesignTable, ErrorBudget, ErrorCause,
    EvaluatedAxis,
};
use crate::error::{Error, Result};
use crate::feel::Centering;

/// What answers targets, in SI; none of what was not computed, or has no value.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Answers<'a> {
    /// Not of a stick as a whole.
    pub(super) figures: Option<&'a AxisFigures>,
    pub(super) budget: Option<&'a ErrorBudget>,
    /// Of an axis of a stick.
    pub(super) crosstalk: Option<&'a AxisCrosstalk>,
    /// Greatest error behind the correction by both readings, rad.
    pub(super) corrected: Option<f64>,
    /// What the calibration leaves of the bend, rad.
    pub(super) bend: Option<f64>,
    /// Greatest departure by the constants of the design itself, rad.
    pub(super) uncalibrated: Option<f64>,
    pub(super) price: Option<f64>,
    /// Time that 95 % keep, s.
    pub(super) latency: Option<f64>,
    pub(super) mechanics: Mechanics,
}

/// What springs, feel, linkage and obstacles of a control answer, in SI; none where the file does not say what there
/// is.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Mechanics {
    /// That push the control to its lower and upper end, N.
    pub(super) end_forces: Option<[f64; 2]>,
    /// That set it in motion upward and downward, N.
    pub(super) breakout: Option<[f64; 2]>,
    /// How far off the center it may come to rest, rad.
    pub(super) centering: Option<f64>,
    /// Least safety of its springs in fatigue and at rest.
    pub(super) spring_life: Option<f64>,
    pub(super) spring_safety: Option<f64>,
    /// Travel left to a lock at the nearer end, rad.
    pub(super) lock_margin: Option<f64>,
    /// Greatest swivel of a joint, as a share of its rating.
    pub(super) swivel_share: Option<f64>,
    /// Greatest force in a rod, N.
    pub(super) rod_force: Option<f64>,
    /// Least distance of a stick from what stands around it, m.
    pub(super) clearance: Option<f64>,
}

impl Mechanics {
    /// With forces at both ends of an axis and its rest.
    pub(super) fn along(self, end_forces: [f64; 2], centering: &Centering) -> Self {
        let both = || Some([centering.breakout_up?, centering.breakout_down?]);
        Self {
            end_forces: Some(end_forces),
            breakout: both(),
            centering: centering.error,
            ..self
        }
    }
}

/// What the calibration leaves of the bend, rad: as the error budget has it, by itself where there is none; none where
/// the reading turns back or stands still.
///
/// # Errors
/// [`Error::Stopped`].
pub(super) fn bend(
    axis: &EvaluatedAxis<'_>,
    method: CalibrationMethod,
    budget: Option<&ErrorBudget>,
) -> Result<Option<f64>> {
    if let Some(budget) = budget {
        return Ok(Some(budget.of(ErrorCause::Nonlinearity).angle));
    }
    let own = unless_absent(axis.calibrated(method))?;
    own.map(|own| axis.error_by(&own)).transpose()
}

/// Greatest departure, rad, by the constants of the design; none of a design that cannot be calibrated.
///
/// # Errors
/// [`Error::Stopped`].
pub(super) fn uncalibrated(
    axis: &EvaluatedAxis<'_>,
    of_design: Option<&DesignTable>,
) -> Result<Option<f64>> {
    of_design.map(|table| axis.error_by(table)).transpose()
}

/// Nothing where an axis only lacks something, such as a calibration where its reading stands still.
fn unless_absent<T>(made: Result<T>) -> Result<Option<T>> {
    match made {
        Ok(value) => Ok(Some(value)),
        Err(Error::Absent { .. } | Error::NotAscending { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

/// Nothing where it cannot be, but for a stop.
///
/// # Errors
/// [`Error::Stopped`].
pub(super) fn unless_refused<T>(made: Result<T>) -> Result<Option<T>> {
    match made {
        Ok(value) => Ok(Some(value)),
        Err(Error::Stopped) => Err(Error::Stopped),
        Err(_) => Ok(None),
    }
}
