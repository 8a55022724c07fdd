//! Converters.

use crate::hall::{Converter, Rounding};
use crate::rig::design_error::DesignError;
use crate::rig::document::Section;
use crate::rig::reading::Reading;

pub(super) fn read(section: &Section<'_>) -> Result<Converter, DesignError> {
    let mut reading = Reading::new(section);
    let typical = reading.maybe_text("typical");
    let typical = typical.and_then(|name| reading.check("typical", Converter::named(&name)));
    let ideal = Converter::new(12, 5.0, Rounding::Nearest, 0.0);
    let base = match typical {
        Some(typical) => typical,
        None => ideal.map_err(|error| section.refused(error))?,
    };
    let bits = reading.maybe_whole("bits").unwrap_or(base.bits());
    let reference = reading.number_or("reference_V", base.reference());
    let rounding = reading.maybe_word("rounding").unwrap_or(base.rounding());
    let noise = reading.number_or("noise_mV", base.noise());
    let nonlinearity = reading.number_or("nonlinearity_lsb", base.nonlinearity());
    let oversampling = reading.maybe_whole("oversampling");
    let oversampling = oversampling.unwrap_or(base.oversampling());
    reading.done()?;
    Converter::new(bits, reference, rounding, noise)
        .and_then(|converter| converter.with_nonlinearity(nonlinearity))
        .and_then(|converter| converter.with_oversampling(oversampling))
        .map_err(|error| section.refused(error))
}
