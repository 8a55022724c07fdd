//! What a builder should know of an axis whatever the targets are.

use crate::axis::{AnyArrangement, Arrangement, Axis, AxisFigures};
use crate::hall::Sensor;
use crate::rig::verdict::percent;
use crate::units::{DEG, MM, MT};

/// Distance below which parts touch, m: what is left of a gap of zero after rounding.
const TOUCHING: f64 = 1e-9;

/// What the figures alone do not say.
pub(super) fn notes(
    axis: &Axis,
    arrangement: Option<&AnyArrangement>,
    figures: &AxisFigures,
) -> Vec<String> {
    let mut notes = Vec::new();
    if figures.clipped_share() > 0.0 {
        notes.push(format!(
            "the reading is clipped over {} of the throw: moving the control changes nothing there",
            percent(figures.clipped_share())
        ));
    }
    let [_, highest] = axis.sensor().characteristic().limits;
    if let Some(converter) = &axis.spec().converter
        && highest > converter.reference()
    {
        notes.push(format!(
            "the sensor can drive its output to {highest:.2} V, above the converter's {:.2} V: counts stop there, and \
             an input that is not rated for it may be destroyed",
            converter.reference()
        ));
    }
    if !figures.monotonic() {
        let [lower, upper] = figures.monotonic_range();
        notes.push(format!(
            "the reading turns back: it rises or falls steadily only from {:.2} to {:.2} deg, so beyond that one count \
             means two angles",
            lower / DEG,
            upper / DEG
        ));
    }
    if figures.linearity().is_none() {
        notes.push(
            "the output does not change over the throw: check the polarization and the sensitive direction"
                .to_owned(),
        );
    }
    if arrangement.is_some() && figures.clearance() < TOUCHING {
        notes.push("the face of the sensor touches a magnet within the throw".to_owned());
    }
    notes.extend(ends(axis));
    notes.extend(working_flux(axis.sensor(), figures.field_range(), "throw"));
    notes
}

/// Where the linkage ends the throw.
fn ends(axis: &Axis) -> Vec<String> {
    let throw = axis.throw();
    let ends = axis.throw_ends().into_iter().zip(throw);
    let ends = ends.filter_map(|(end, angle)| {
        let end = end?;
        // A stop is where a throw should end.
        (!end.contains("stop")).then(|| {
            format!(
                "the throw ends at {:.2} deg where the linkage does ({end}): leave some way before it",
                angle / DEG
            )
        })
    });
    ends.collect()
}

/// Whether an angle sensor sees less or more than it works in, over the throw or over the gate.
pub(super) fn working_flux(
    sensor: &Sensor,
    field_range: Option<[f64; 2]>,
    over: &str,
) -> Option<String> {
    let (Sensor::Angle(sensor), Some([least, most])) = (sensor, field_range) else {
        return None;
    };
    let [low, high] = sensor.spec().working_flux;
    (least < low || most > high).then(|| {
        format!(
            "the sensor sees {:.1} to {:.1} mT over the {over}, but keeps its data sheet at {:.1} to {:.1} mT only",
            least / MT,
            most / MT,
            low / MT,
            high / MT
        )
    })
}

/// The measures of an arrangement, in a line.
pub(super) fn measures(arrangement: Option<&AnyArrangement>, axis: &Axis) -> String {
    use crate::axis::Measure::{Arm, Gap, Spacing};
    let Some(arrangement) = arrangement else {
        return match axis.sensor() {
            Sensor::Potentiometer(_) => "potentiometer on the shaft".to_owned(),
            _ => "sensor on the shaft".to_owned(),
        };
    };
    let kind = match arrangement {
        AnyArrangement::Swung(_) => "swung",
        AnyArrangement::Pair(_) => "pair",
        AnyArrangement::HeadOn(_) => "head-on",
        AnyArrangement::ShaftEnd(_) => "shaft end",
    };
    let told = [Arm, Gap, Spacing].into_iter().filter_map(|measure| {
        let value = arrangement.measure(measure)?;
        Some(format!(", {measure} {:.2} mm", value / MM))
    });
    format!("{kind}{}", told.collect::<String>())
}
