//! One axis of a design file: its parts put together.

use nalgebra::Isometry3;

use crate::axis::{
    AnyArrangement, Arrangement, ArrangementKind, Axis, AxisSpec, ErrorBudgetSpec, Moving,
};
use crate::error::Error;
use crate::hall::Sensor;
use crate::magnet::AnySource;
use crate::rig::control::arrangement::Described;
use crate::rig::control::asked::{AskedBudget, read_budget, read_targets};
use crate::rig::control::feel::{NamedFeel, read_of_axis as read_feel};
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::document::Section;
use crate::rig::parts::Parts;
use crate::rig::reading::{Reading, kind_of};
use crate::rig::target::Target;

/// What a file says of an axis, put together as far as physics allows.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedAxis {
    name: String,
    line: usize,
    arrangement: Option<AnyArrangement>,
    axis: Result<Axis, Error>,
    targets: Vec<(Target, f64)>,
    budget: AskedBudget,
    channel: Option<String>,
    price: Option<f64>,
    feel: Option<NamedFeel>,
    foot_force: Option<f64>,
    magnets: Vec<String>,
    moving: Moving,
    zeroed: bool,
    uses: Vec<(&'static str, String)>,
}

impl NamedAxis {
    /// What the axis is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The line of the file at which it begins.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// How magnet and sensor stand; none with a potentiometer on the shaft, or where they cannot stand so.
    #[must_use]
    pub fn arrangement(&self) -> Option<&AnyArrangement> {
        self.arrangement.as_ref()
    }

    /// The axis itself.
    ///
    /// # Errors
    /// Why its parts cannot be put together so: they collide, the linkage does not go as far as the throw.
    pub fn axis(&self) -> Result<&Axis, &Error> {
        self.axis.as_ref()
    }

    /// What is asked of it, in the unit of each target.
    #[must_use]
    pub fn targets(&self) -> &[(Target, f64)] {
        &self.targets
    }

    /// What its errors are added up for. Of an axis of a stick the crosstalk is computed, unless the file gives it.
    #[must_use]
    pub fn error_budget(&self) -> &ErrorBudgetSpec {
        &self.budget.spec
    }

    /// What its parts cost, if the file says so.
    #[must_use]
    pub fn price(&self) -> Option<f64> {
        self.price
    }

    /// The input that its sensor is wired to, if the file says so.
    #[must_use]
    pub fn channel(&self) -> Option<&str> {
        self.channel.as_deref()
    }

    /// What acts on it, if the file says so; of an axis of a stick the stick has it.
    #[must_use]
    pub fn feel(&self) -> Option<&NamedFeel> {
        self.feel.as_ref()
    }

    /// Force of foot or hand for which the loads of the drive's rods are told, N.
    #[must_use]
    pub fn foot_force(&self) -> Option<f64> {
        self.foot_force
    }

    /// The names of its magnets.
    pub(in crate::rig) fn magnets(&self) -> &[String] {
        &self.magnets
    }

    pub(in crate::rig) fn asked_budget(&self) -> &AskedBudget {
        &self.budget
    }

    /// What turns when it is moved.
    pub(in crate::rig) fn moving(&self) -> Moving {
        self.moving
    }

    /// Whether its sensor is an angle sensor whose zero position is programmed where the centered control stands.
    pub(super) fn zeroed(&self) -> bool {
        self.zeroed
    }

    /// The parts that it is made of, by section and name, each as often as it is there.
    pub(in crate::rig) fn uses(&self) -> &[(&'static str, String)] {
        &self.uses
    }
}

/// Where an axis stands.
pub(in crate::rig) enum Place {
    /// By itself, with its own drive and its own word for what moves.
    Alone,
    /// On a stick, where that says what moves, and how far off the grip is, m.
    OnStick { moving: Moving, grip: f64 },
}

impl Place {
    /// The sections of targets and error budget in the table of keys.
    fn tables(&self) -> [&'static str; 2] {
        match self {
            Self::Alone => ["axis.targets", "axis.error_budget"],
            Self::OnStick { .. } => ["stick.AXIS.targets", "stick.AXIS.error_budget"],
        }
    }
}

/// Reads an axis. What is wrong with its values is an error; what physics refuses, its own [`NamedAxis::axis`] says.
pub(in crate::rig) fn read(
    section: &Section<'_>,
    parts: &Parts,
    place: &Place,
) -> Result<NamedAxis, DesignError> {
    let sensor = parts.sensors.of(section, "sensor");
    let on_shaft = matches!(&sensor, Ok(part) if matches!(part.sensor, Sensor::Potentiometer(_)));
    // Without its sensor nobody knows whether an axis that says nothing has an arrangement at all.
    let known = sensor.is_ok() || section.has("arrangement") || section.has("magnet");
    let kind = if on_shaft || !known {
        None
    } else {
        Some(kind_of(section, "arrangement", ArrangementKind::Swung)?)
    };
    let section = &match kind {
        Some(kind) => section.of_kind(kind),
        None if on_shaft => section.of_kind("potentiometer"),
        None => section.clone(),
    };
    let mut reading = Reading::new(section);
    let name = reading.text("name");
    let throw = reading.throw("throw_deg");
    let sensor = reading.note(sensor);
    let converter = reading.note(parts.converters.maybe(section, "converter"));
    let converter = converter.flatten();
    let filter = reading.note(parts.filters.maybe(section, "filter"));
    let averaging = reading.note(parts.averagings.maybe(section, "averaging"));
    let (alone, grip) = match place {
        Place::Alone => (true, None),
        Place::OnStick { grip, .. } => (false, Some(*grip)),
    };
    let drive = if alone {
        reading
            .note(parts.linkages.maybe(section, "drive"))
            .flatten()
    } else {
        None
    };
    let lever = reading.maybe("lever_mm");
    let celsius = reading.maybe("temperature_degC");
    let channel = reading.maybe_text("channel");
    let price = reading.maybe("price");
    let [of_targets, of_budget] = place.tables();
    let targets = reading.note(read_targets(section, of_targets));
    let budget = reading.note(read_budget(section, of_budget));
    let (mut feel, mut foot_force) = (None, None);
    if alone {
        foot_force = reading.maybe("foot_force_N");
        feel = reading
            .note(read_feel(section, parts, throw, drive))
            .flatten();
    }
    if let Some(part) = sensor {
        check_chain(&mut reading, section, &part.sensor);
    }
    let described =
        kind.map(|kind| Described::read(&mut reading, section, parts, kind, sensor, alone));
    let names = ["magnet", "second_magnet"].map(|key| section.text(key));
    let magnets = names.into_iter().filter_map(|name| name.ok().flatten());
    let magnets: Vec<String> = magnets.filter(|_| described.is_some()).collect();
    reading.done()?;

    let part = section.required("sensor", sensor)?;
    let moving = match (place, &described) {
        (Place::OnStick { moving, .. }, _) => *moving,
        (Place::Alone, Some(described)) => described.moving,
        (Place::Alone, None) => Moving::Magnets,
    };
    let drift = described.as_ref().and_then(Described::drift);
    let arranged = described.map(|described| described.arranged(section));
    let arranged = arranged.transpose()?.transpose();
    let complete = |spec: AxisSpec| AxisSpec {
        drive: drive.cloned().unwrap_or_default(),
        lever: lever.or(grip),
        filter: filter.flatten().copied(),
        averaging: averaging.flatten().copied(),
        remanence_drift: drift.map_or(spec.remanence_drift, |[drift, _]| drift),
        reference_celsius: drift.map_or(spec.reference_celsius, |[_, reference]| reference),
        celsius,
        ..spec
    };
    let (sensor, converter) = (part.sensor.clone(), converter.cloned());
    let (arrangement, axis) = match arranged {
        Err(error) => (None, Err(error)),
        Ok(None) => {
            let still = Isometry3::identity();
            let spec = AxisSpec::new(throw, AnySource::Empty, sensor, still, converter);
            (None, Axis::new(complete(spec)))
        }
        Ok(Some(arrangement)) => {
            let spec = complete(arrangement.axis_spec(throw, sensor, converter, moving));
            let axis = arrangement.axis_of(spec);
            let axis = if part.zeroed {
                axis.and_then(|axis| axis.zeroed())
            } else {
                axis
            };
            (Some(arrangement), axis)
        }
    };
    Ok(NamedAxis {
        name,
        line: section.line(),
        arrangement,
        axis,
        targets: targets.unwrap_or_default(),
        budget: budget.unwrap_or_default(),
        channel,
        price,
        feel,
        foot_force,
        magnets,
        moving,
        zeroed: part.zeroed,
        uses: uses(section, kind),
    })
}

/// The parts that an axis names, of a pair without a second magnet the first one twice.
fn uses(section: &Section<'_>, kind: Option<ArrangementKind>) -> Vec<(&'static str, String)> {
    let twin = kind == Some(ArrangementKind::Pair) && !section.has("second_magnet");
    let named = [
        ("magnet", "magnet", if twin { 2 } else { 1 }),
        ("second_magnet", "magnet", 1),
        ("plate", "plate", 1),
        ("sensor", "sensor", 1),
        ("filter", "filter", 1),
        ("converter", "converter", 1),
        ("drive", "linkage", 1),
    ];
    let named = named.into_iter().filter(|(key, ..)| section.has(key));
    let uses = named.filter_map(|(key, part, times)| {
        let name = section.text(key).ok().flatten()?;
        Some(std::iter::repeat_n((part, name), times))
    });
    uses.flatten().collect()
}

/// Refuses a sensor with a voltage for output that has no converter, and one with a code that has anything behind it.
fn check_chain(reading: &mut Reading<'_, '_>, section: &Section<'_>, sensor: &Sensor) {
    if sensor.is_analog() {
        reading.needs("converter");
        return;
    }
    for (key, quantity) in [
        ("converter", "converter"),
        ("filter", "filter"),
        ("averaging", "averaging"),
    ] {
        if section.has(key) {
            let error = Error::Surplus {
                quantity,
                of: sensor.kind(),
                advice: "its output is a code already",
            };
            reading.note::<()>(Err(section.error_at(key, Problem::Refused(error))));
        }
    }
}
