//! What is asked of an axis: targets, and what its errors are added up for.

use crate::axis::{AxisCrosstalk, CalibrationMethod, ErrorBudgetSpec};
use crate::rig::design_error::DesignError;
use crate::rig::document::Section;
use crate::rig::keys::CalibrationKind;
use crate::rig::reading::{Reading, kind_of};
use crate::rig::target::Target;

/// What an error budget is asked for, and whether the file says how much of it is crosstalk.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::rig) struct AskedBudget {
    pub(in crate::rig) spec: ErrorBudgetSpec,
    pub(in crate::rig) crosstalk_given: bool,
}

impl AskedBudget {
    /// What it is asked for where crosstalk was computed: what the file says of it comes first.
    pub(in crate::rig) fn with_crosstalk(
        &self,
        computed: Option<&AxisCrosstalk>,
    ) -> ErrorBudgetSpec {
        let computed = computed.filter(|_| !self.crosstalk_given);
        ErrorBudgetSpec {
            crosstalk: computed.map_or(self.spec.crosstalk, |one| one.worst.counts),
            ..self.spec.clone()
        }
    }
}

/// The targets of an axis, each in its own unit, in the order of the table of targets.
pub(in crate::rig) fn read_targets(
    axis: &Section<'_>,
    kind: &'static str,
) -> Result<Vec<(Target, f64)>, DesignError> {
    let Some(section) = axis.table("targets", kind)? else {
        return Ok(Vec::new());
    };
    let mut reading = Reading::new(&section);
    let mut targets = Vec::new();
    for target in Target::ALL {
        if target.is_in(kind) {
            let wanted = reading.note(section.number(target.key())).flatten();
            targets.extend(wanted.map(|wanted| (target, wanted)));
        }
    }
    reading.done().map(|()| targets)
}

/// What the error budget of an axis is asked for.
pub(super) fn read_budget(
    axis: &Section<'_>,
    kind: &'static str,
) -> Result<AskedBudget, DesignError> {
    let Some(section) = axis.table("error_budget", kind)? else {
        return Ok(AskedBudget::default());
    };
    let calibration = kind_of(&section, "calibration", CalibrationKind::TwoPoint)?;
    let section = section.of_kind(calibration);
    let mut reading = Reading::new(&section);
    let calibration = match calibration {
        CalibrationKind::None => CalibrationMethod::None,
        CalibrationKind::TwoPoint => CalibrationMethod::TwoPoint,
        CalibrationKind::Table => CalibrationMethod::Table {
            points: reading.whole("calibration_points"),
        },
    };
    let celsius = reading.maybe_numbers::<2>("temperatures_degC");
    if let Some([cold, hot]) = celsius
        && cold > hot
    {
        let wanted = "[coldest, hottest]";
        reading.note::<()>(Err(section.not_here("temperatures_degC", wanted)));
    }
    let spec = ErrorBudgetSpec {
        celsius,
        supply_tolerance: reading.number_or("supply_tolerance_percent", 0.0),
        ratiometric_sensor: reading.flag_or("ratiometric_sensor", true),
        ratiometric_converter: reading.flag_or("ratiometric_converter", true),
        control_backlash: reading.number_or("backlash_deg", 0.0),
        pivot_backlash: reading.number_or("pivot_backlash_deg", 0.0),
        friction_band: reading.number_or("friction_band_deg", 0.0),
        crosstalk: reading.number_or("crosstalk_counts", 0.0),
        calibration,
    };
    let crosstalk_given = reading.has("crosstalk_counts");
    reading.done().map(|()| AskedBudget {
        spec,
        crosstalk_given,
    })
}
