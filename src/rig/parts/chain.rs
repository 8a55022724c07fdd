//! What stands between sensor and reading: filters and averaging.

use crate::hall::{Averaging, LowPass};
use crate::rig::design_error::DesignError;
use crate::rig::document::Section;
use crate::rig::reading::Reading;

pub(super) fn read_filter(section: &Section<'_>) -> Result<LowPass, DesignError> {
    let mut reading = Reading::new(section);
    let by_parts = ["resistance_ohm", "capacitance_nF"];
    for key in by_parts {
        reading.excludes(key, "cutoff_Hz");
    }
    let cutoff = if by_parts.iter().any(|key| reading.has(key)) {
        reading.needs_all(&by_parts);
        None
    } else {
        Some(reading.number("cutoff_Hz"))
    };
    let [resistance, capacitance] = by_parts.map(|key| reading.number_or(key, 0.0));
    reading.done()?;
    let filter = match cutoff {
        Some(cutoff) => LowPass::new(cutoff),
        None => LowPass::from_rc(resistance, capacitance),
    };
    filter.map_err(|error| section.refused(error))
}

pub(super) fn read_averaging(section: &Section<'_>) -> Result<Averaging, DesignError> {
    let mut reading = Reading::new(section);
    let samples = reading.whole("samples");
    let interval = reading.number("interval_ms");
    reading.done()?;
    Averaging::new(samples, interval).map_err(|error| section.refused(error))
}
