//! How magnet and sensor of an axis stand, in the measures of the file.

use nalgebra::{Vector2, Vector3};

use crate::axis::{
    AnyArrangement, ArrangementKind, HeadOnLayout, HeadOnLayoutSpec, Mounting, Moving, PairLayout,
    PairLayoutSpec, ShaftEndLayout, ShaftEndLayoutSpec, SwungLayout, SwungLayoutSpec,
};
use crate::error::Result;
use crate::magnet::Magnet;
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::parts::{MagnetPart, Parts, SensorPart};
use crate::rig::reading::Reading;

/// What a file says of magnets and their places.
pub(super) struct Described {
    kind: ArrangementKind,
    first: Option<MagnetPart>,
    second: Option<MagnetPart>,
    arm: f64,
    gap: f64,
    spacing: f64,
    eccentricity: [f64; 2],
    words: Words,
    mounting: Mounting,
    pub(super) moving: Moving,
}

/// What of it are words, as the arrangement has them.
#[derive(Default)]
struct Words {
    side: Option<crate::axis::MagnetSide>,
    shaft_side: Option<crate::axis::ShaftSide>,
    carrier: Option<crate::axis::PairCarrier>,
}

impl Described {
    /// Reads everything, of whatever kind; what is wrong is kept by `reading`.
    pub(super) fn read(
        reading: &mut Reading<'_, '_>,
        section: &Section<'_>,
        parts: &Parts,
        kind: ArrangementKind,
        sensor: Option<&SensorPart>,
        moves: bool,
    ) -> Self {
        let first = reading.note(parts.magnets.of(section, "magnet")).cloned();
        let is_pair = kind == ArrangementKind::Pair;
        let second = if is_pair {
            let second = reading.note(parts.magnets.maybe(section, "second_magnet"));
            second.flatten().cloned()
        } else {
            None
        };
        if let (Some(first), Some(second)) = (&first, &second)
            && [first.drift, first.reference_celsius] != [second.drift, second.reference_celsius]
        {
            let wanted = "a magnet that changes with temperature as the first one does";
            reading.note::<()>(Err(section.not_here("second_magnet", wanted)));
        }
        let on_shaft = kind == ArrangementKind::ShaftEnd;
        let words = match kind {
            ArrangementKind::Swung | ArrangementKind::Pair => Words {
                side: reading.maybe_word("side"),
                carrier: is_pair.then(|| reading.maybe_word("carrier")).flatten(),
                shaft_side: None,
            },
            ArrangementKind::ShaftEnd => Words {
                shaft_side: reading.maybe_word("side"),
                ..Words::default()
            },
            _ => Words::default(),
        };
        let plate = reading.note(parts.plates.maybe(section, "plate"));
        let mut vector = |name| {
            let vector = reading.maybe_vector(name);
            vector.unwrap_or_else(Vector3::zeros)
        };
        let mounting = Mounting {
            offset: vector("offset_mm"),
            magnet_tilt: vector("magnet_tilt_deg"),
            sensor_tilt: vector("sensor_tilt_deg"),
            plate: plate.flatten().copied(),
            package: sensor.and_then(|part| part.package),
        };
        Self {
            kind,
            first,
            second,
            arm: if on_shaft {
                0.0
            } else {
                reading.number("arm_mm")
            },
            gap: reading.number("gap_mm"),
            spacing: if is_pair {
                reading.number("spacing_mm")
            } else {
                0.0
            },
            eccentricity: if on_shaft {
                let off = reading.maybe_numbers("eccentricity_mm");
                off.unwrap_or([0.0; 2])
            } else {
                [0.0; 2]
            },
            words,
            mounting,
            moving: if moves {
                reading.maybe_word("moving").unwrap_or(Moving::Magnets)
            } else {
                Moving::Magnets
            },
        }
    }

    /// Change of the remanence, 1/K, and the temperature at which it is given, degC.
    pub(super) fn drift(&self) -> Option<[f64; 2]> {
        let first = self.first.as_ref()?;
        Some([first.drift, first.reference_celsius])
    }

    /// The magnet that must be there.
    fn magnet(&self, section: &Section<'_>) -> Read<Magnet> {
        let first = self.first.as_ref();
        let first = first.map(|part| part.magnet.clone());
        first.ok_or_else(|| section.missing("magnet"))
    }

    /// The arrangement; the inner error is what physics refuses.
    pub(super) fn arranged(self, section: &Section<'_>) -> Read<Result<AnyArrangement>> {
        let magnet = self.magnet(section)?;
        Ok(self.stood(magnet))
    }

    fn stood(self, magnet: Magnet) -> Result<AnyArrangement> {
        let Self {
            kind,
            second,
            arm,
            gap,
            spacing,
            eccentricity,
            words,
            mounting,
            ..
        } = self;
        Ok(match kind {
            ArrangementKind::Pair => {
                let spec = PairLayoutSpec::new(magnet, arm, gap, spacing)?;
                let [first, opposite] = spec.magnets.clone();
                PairLayout::new(PairLayoutSpec {
                    magnets: [first, second.map_or(opposite, |part| part.magnet)],
                    side: words.side.unwrap_or(spec.side),
                    carrier: words.carrier.unwrap_or(spec.carrier),
                    mounting,
                    ..spec
                })?
                .into()
            }
            ArrangementKind::HeadOn => HeadOnLayout::new(HeadOnLayoutSpec {
                mounting,
                ..HeadOnLayoutSpec::new(magnet, arm, gap)
            })?
            .into(),
            ArrangementKind::ShaftEnd => {
                let spec = ShaftEndLayoutSpec::new(magnet, gap);
                ShaftEndLayout::new(ShaftEndLayoutSpec {
                    side: words.shaft_side.unwrap_or(spec.side),
                    eccentricity: Vector2::from(eccentricity),
                    mounting,
                    ..spec
                })?
                .into()
            }
            _ => {
                let spec = SwungLayoutSpec::new(magnet, arm, gap);
                SwungLayout::new(SwungLayoutSpec {
                    side: words.side.unwrap_or(spec.side),
                    mounting,
                    ..spec
                })?
                .into()
            }
        })
    }
}
