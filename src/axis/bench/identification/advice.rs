//! What to do about a measure that is off, in terms of the shop.

use serde::Serialize;

use crate::axis::Measure;
use crate::axis::bench::identification::outcome::{COVERS_95, IdentifiedQuantity};
use crate::error::{Result, about, finite, within};
use crate::stored::checked_when_read;
use crate::units::{DEG, MM};

checked_when_read! {
    /// How to bring one measure back to its design, and what that makes of the range used.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct BenchAdvice {
        /// Name of the measure.
        pub measure: String,
        /// What to add to it, in its unit.
        pub change: f64,
        /// Least and greatest change with 95 % confidence.
        pub interval: [f64; 2],
        /// Share of the codes used as it is.
        pub range_used: f64,
        /// The same after the change.
        pub range_used_then: f64,
        /// The same in words.
        pub text: String,
    }
}

impl BenchAdvice {
    fn check(&self) -> Result<()> {
        finite("change of a measure", self.change, "its unit")?;
        for end in self.interval {
            finite("change of a measure", end, "its unit")?;
        }
        for share in [self.range_used, self.range_used_then] {
            within("range used", share, 0.0, 1.0, "(no unit)")?;
        }
        Ok(())
    }

    /// Advice for a measure that is surely off, if it can be set: 95 % of its interval lie to one side.
    pub(super) fn of(
        measure: Measure,
        quantity: &IdentifiedQuantity,
        range_used: f64,
        then: impl FnOnce() -> Result<f64>,
    ) -> Result<Option<Self>> {
        let change = quantity.designed - quantity.value;
        let Some(error) = quantity.standard_error else {
            return Ok(None);
        };
        let around = COVERS_95 * error;
        let Some(words) = words(measure, change > 0.0).filter(|_| change.abs() > around) else {
            return Ok(None);
        };
        let range_used_then = then()?;
        let (unit, name) = if measure.unit() == "m" {
            (MM, "mm")
        } else {
            (DEG, "deg")
        };
        let size = |value: f64| {
            let value = value / unit;
            // Nobody sets a hundredth of a millimetre or of a degree.
            format!("{value:.2}")
        };
        let (least, most) = (change.abs() - around, change.abs() + around);
        let percent = |share: f64| about((1000.0 * share).round() / 10.0);
        let text = format!(
            "{} ({} to {}): range used {} -> {} %",
            words.replace("{}", &format!("{} {name}", size(change.abs()))),
            size(least),
            size(most),
            percent(range_used),
            percent(range_used_then)
        );
        Ok(Some(Self {
            measure: measure.to_string(),
            change,
            interval: [change - around, change + around],
            range_used,
            range_used_then,
            text,
        }))
    }
}

/// How a builder makes a measure greater or less; none for what is not set but bought.
fn words(measure: Measure, greater: bool) -> Option<&'static str> {
    use Measure as M;
    let (more, less) = match measure {
        M::Gap => ("move the sensor {} away", "move the sensor {} closer"),
        M::Arm => ("move the magnets {} outward", "move the magnets {} inward"),
        M::Spacing => ("move the magnets {} apart", "move the magnets {} together"),
        M::EccentricityX => ("move the magnet {} along +x", "move the magnet {} along -x"),
        M::EccentricityY => ("move the magnet {} along +y", "move the magnet {} along -y"),
        M::RadialOffset => ("move the sensor {} outward", "move the sensor {} inward"),
        M::TangentialOffset => (
            "move the sensor {} along the tangent, towards +y",
            "move the sensor {} along the tangent, towards -y",
        ),
        M::AxialOffset => (
            "move the sensor {} along the pivot's axis, towards +z",
            "move the sensor {} along the pivot's axis, towards -z",
        ),
        M::MagnetTiltAboutRadial => (
            "turn the magnets {} about the radius",
            "turn the magnets {} back about the radius",
        ),
        M::MagnetTiltAboutTangential => (
            "turn the magnets {} about the tangent",
            "turn the magnets {} back about the tangent",
        ),
        M::MagnetTiltAboutAxial => (
            "turn the magnets {} about the pivot's direction",
            "turn the magnets {} back about the pivot's direction",
        ),
        M::SensorTiltAboutRadial => (
            "turn the sensor {} about the radius",
            "turn the sensor {} back about the radius",
        ),
        M::SensorTiltAboutTangential => (
            "turn the sensor {} about the tangent",
            "turn the sensor {} back about the tangent",
        ),
        M::SensorTiltAboutAxial => (
            "turn the sensor {} about the pivot's direction",
            "turn the sensor {} back about the pivot's direction",
        ),
        M::PlateDistance => ("move the plate {} away", "move the plate {} closer"),
        _ => return None,
    };
    Some(if greater { more } else { less })
}
