//! The feel of a control of a design file: all that acts on it, put together as far as physics allows.

use nalgebra::Point3;

use crate::error::{Error, Result};
use crate::feel::{
    Bearing, Body, Control, ControlKind, ControlSpec, Drive, Element, GuidanceMotion,
};
use crate::linkage::{
    AnyTransmission, FootSide, Gimbal, PedalMember, PedalTransmission, Pivot, Transmission,
};
use crate::rig::control::acting::{Acting, Bodies, FittedSpring};
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::numbers::Reached;
use crate::rig::parts::Parts;
use crate::rig::reading::Reading;

/// The section, as what reaches a control names it.
const FEEL: &str = "feel";

/// What a file says of the feel of an axis or a stick.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedFeel {
    line: usize,
    control: Result<Control>,
    pub(in crate::rig) springs: Vec<FittedSpring>,
    operated: Option<ControlKind>,
    motions: Vec<GuidanceMotion>,
    reached: Reached,
}

impl NamedFeel {
    /// The line of the file at which it begins.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// The control with all that acts on it: an axis on its own pivot, a stick on both.
    ///
    /// # Errors
    /// Why it cannot be put together: a spring that cannot be wound, ends of a spring that coincide.
    pub fn control(&self) -> std::result::Result<&Control, &Error> {
        self.control.as_ref()
    }

    /// What hand or foot works, if the file says so.
    #[must_use]
    pub fn operated(&self) -> Option<ControlKind> {
        self.operated
    }

    /// What each angle moves, for the published figures.
    #[must_use]
    pub fn motions(&self) -> &[GuidanceMotion] {
        &self.motions
    }

    /// What reaches it besides what reaches the control.
    pub(in crate::rig) fn reached(&self) -> &Reached {
        &self.reached
    }
}

/// Where a control turns, how far, and where it is held.
struct Stand {
    bearing: Bearing,
    travel: Vec<[f64; 2]>,
    grip: Point3<f64>,
    driven: Vec<Drive>,
}

/// The feel of a control, if it has one and no build does without it.
fn read_apart(
    control: &Section<'_>,
    kind: &'static str,
    read: impl FnOnce(&Section<'_>) -> Read<Option<NamedFeel>>,
) -> Read<Option<NamedFeel>> {
    let numbers = control.numbers_met();
    let Some(section) = control.table(FEEL, kind)? else {
        return Ok(None);
    };
    if !numbers.reads(FEEL, "") {
        return Ok(None);
    }
    let (feel, reached) = numbers.apart(|| {
        numbers.use_part(FEEL, "", &Reached::default());
        read(&section)
    });
    Ok(feel?.map(|feel| NamedFeel { reached, ..feel }))
}

/// The feel of an axis by itself.
pub(super) fn read_of_axis(
    axis: &Section<'_>,
    parts: &Parts,
    throw: [f64; 2],
    drive: Option<&AnyTransmission>,
) -> Read<Option<NamedFeel>> {
    read_apart(axis, "axis.feel", |section| {
        of_axis(section, parts, throw, drive)
    })
}

fn of_axis(
    section: &Section<'_>,
    parts: &Parts,
    throw: [f64; 2],
    drive: Option<&AnyTransmission>,
) -> Read<Option<NamedFeel>> {
    let mut reading = Reading::new(section);
    let stand = read_stand(&mut reading, throw, drive);
    let motion = reading.maybe_word("motion");
    let lever = [("inertia_kgcm2", "damping_Nmms_per_deg", Body::Lever)];
    let bodies = Bodies::Alone(stand.as_ref().map_or(2, |stand| stand.driven.len()));
    let motions = vec![motion.unwrap_or(GuidanceMotion::Any)];
    read_feel(reading, section, parts, stand, &bodies, &lever, motions)
}

/// The feel of a stick; no gimbal stands for one that has a mistake, which has been noted.
pub(super) fn read_of_stick(
    stick: &Section<'_>,
    parts: &Parts,
    travel: [[f64; 2]; 2],
    gimbal: Option<&Gimbal>,
) -> Read<Option<NamedFeel>> {
    read_apart(stick, "stick.feel", |section| {
        of_stick(section, parts, travel, gimbal)
    })
}

fn of_stick(
    section: &Section<'_>,
    parts: &Parts,
    travel: [[f64; 2]; 2],
    gimbal: Option<&Gimbal>,
) -> Read<Option<NamedFeel>> {
    let mut reading = Reading::new(section);
    let stand = gimbal.map(|gimbal| {
        let spec = gimbal.spec();
        Stand {
            bearing: Bearing::Gimbal {
                outer: spec.outer,
                inner: spec.inner,
            },
            travel: travel.to_vec(),
            grip: gimbal.grip(),
            driven: Vec::new(),
        }
    });
    let motions = vec![
        reading
            .maybe_word("outer_motion")
            .unwrap_or(GuidanceMotion::Pitch),
        reading
            .maybe_word("inner_motion")
            .unwrap_or(GuidanceMotion::Roll),
    ];
    let both = [
        (
            "ring_inertia_kgcm2",
            "ring_damping_Nmms_per_deg",
            Body::Ring,
        ),
        ("inertia_kgcm2", "damping_Nmms_per_deg", Body::Lever),
    ];
    read_feel(
        reading,
        section,
        parts,
        stand,
        &Bodies::Gimbal,
        &both,
        motions,
    )
}

/// Where an axis by itself stands; `None` after a mistake.
fn read_stand(
    reading: &mut Reading<'_, '_>,
    throw: [f64; 2],
    drive: Option<&AnyTransmission>,
) -> Option<Stand> {
    let pedal = drive.and_then(|drive| match drive {
        AnyTransmission::Pedal(pedal) => Some(pedal.as_ref()),
        _ => None,
    });
    let [input, output] = drive.map_or([None, None], Transmission::pivots);
    let pad = pedal.and_then(|pedal| Some(pedal.pair().pedal(foot(pedal.given())?).pad()));
    let pivot = read_pivot(reading, ["pivot_mm", "pivot_axis"], input, true);
    let grip = reading.maybe_vector("grip_mm").map(Point3::from).or(pad);
    if grip.is_none() {
        reading.needs("grip_mm");
    }
    let driven_pivot = read_pivot(
        reading,
        ["driven_pivot_mm", "driven_axis"],
        output.or(pivot),
        false,
    );
    let (pivot, grip) = (pivot?, grip?);
    let mut driven = Vec::new();
    if let (Some(drive), Some(at)) = (drive, driven_pivot) {
        driven.push(Drive::new(at, Body::Lever, drive.clone()));
    }
    driven.extend(pedal.and_then(other_pedal));
    Some(Stand {
        bearing: Bearing::Single(pivot),
        travel: vec![throw],
        grip,
        driven,
    })
}

fn foot(member: PedalMember) -> Option<FootSide> {
    match member {
        PedalMember::Left => Some(FootSide::Left),
        PedalMember::Right => Some(FootSide::Right),
        PedalMember::Crank => None,
    }
}

/// The pedal of the other foot, as the one that the angle is of drives it.
fn other_pedal(pedal: &PedalTransmission) -> Option<Drive> {
    let other = foot(pedal.given())?.other();
    let to_other = pedal.pair().transmission(pedal.given(), other.into());
    let [_, pivot] = to_other.pivots();
    Some(Drive::new(pivot?, Body::Lever, to_other))
}

/// A pivot by two keys, or the one that stands for it.
fn read_pivot(
    reading: &mut Reading<'_, '_>,
    [point, direction]: [&str; 2],
    usual: Option<Pivot>,
    needed: bool,
) -> Option<Pivot> {
    let given = [reading.maybe_vector(point), reading.maybe_vector(direction)];
    match given {
        [None, None] if usual.is_some() || !needed => usual,
        [Some(at), Some(along)] => reading.check(direction, Pivot::new(at.into(), along)),
        _ => {
            reading.needs_all(&[point, direction]);
            None
        }
    }
}

/// What an inertia and a damper of a body are given by.
type OfBody = (&'static str, &'static str, Body);

/// All that acts, whatever the control is.
fn read_feel(
    mut reading: Reading<'_, '_>,
    section: &Section<'_>,
    parts: &Parts,
    stand: Option<Stand>,
    bodies: &Bodies,
    of_bodies: &[OfBody],
    motions: Vec<GuidanceMotion>,
) -> Read<Option<NamedFeel>> {
    let operated = reading.maybe_word("operated");
    let mut acting = Acting {
        bodies,
        on_stick: matches!(bodies, Bodies::Gimbal),
        elements: Vec::new(),
        springs: Vec::new(),
        broken: None,
    };
    let done = acting.read(&mut reading, section, parts);
    reading.note(done);
    for &(inertia, damping, body) in of_bodies {
        if let Some(moment) = reading.maybe(inertia) {
            acting.elements.push(Element::Inertia { body, moment });
        }
        if let Some(damping) = reading.maybe(damping) {
            acting.elements.push(Element::Damper { body, damping });
        }
    }
    reading.done()?;
    let Acting {
        elements,
        springs,
        broken,
        ..
    } = acting;
    // Without a place of its own there was a mistake, told here or by the stick.
    let Some(stand) = stand else {
        return Ok(None);
    };
    let uses_driven = elements.iter().any(names_a_driven_body);
    let control = match broken {
        Some(error) => Err(error),
        None => Control::new(ControlSpec {
            // What nothing hangs on need not be followed.
            driven: if uses_driven {
                stand.driven
            } else {
                Vec::new()
            },
            elements,
            ..ControlSpec::new(stand.bearing, stand.travel, stand.grip)
        }),
    };
    Ok(Some(NamedFeel {
        line: section.line(),
        control,
        springs,
        operated,
        motions,
        reached: Reached::default(),
    }))
}

fn names_a_driven_body(element: &Element) -> bool {
    let driven = |body: Body| matches!(body, Body::Driven(_));
    match element {
        Element::Line { a, b, .. } => driven(a.body()) || driven(b.body()),
        Element::Mass { at, .. } => driven(at.body()),
        Element::Torsion { body, .. }
        | Element::Inertia { body, .. }
        | Element::Damper { body, .. } => driven(*body),
        Element::Breakout(breakout) => driven(breakout.body()),
        Element::Cam(cam) => driven(cam.body()),
        Element::Friction(friction) => friction.body().is_some_and(driven),
        Element::Magnets(pair) => pair.bodies().into_iter().any(driven),
    }
}
