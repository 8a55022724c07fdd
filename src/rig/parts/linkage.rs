//! Pedals, and what turns the pivot with the sensor when a control is moved.

use nalgebra::{Point2, Vector3};

use crate::error::Result;
use crate::linkage::{
    AnyTransmission, Arm, BallRod, BallRodSpec, CenteredFourBar, FixedRatio, Pedal, PedalMember,
    PedalPair, TransmissionChain, UniversalJoint,
};
use crate::rig::design_error::{Mistakes, Read};
use crate::rig::document::Section;
use crate::rig::keys::LinkageKind;
use crate::rig::parts::by_name::ByName;
use crate::rig::reading::{Reading, kind_of};

const SECTION: &str = "linkage";

/// All linkages; rows after those that they are made of.
pub(super) fn read_all(
    root: &Section<'_>,
    pedals: &ByName<Pedal>,
    mistakes: &mut Mistakes,
) -> ByName<AnyTransmission> {
    ByName::read_in_order(
        root,
        SECTION,
        mistakes,
        |section, before| read(section, pedals, before),
        |section| {
            !matches!(
                section.word::<LinkageKind>("kind"),
                Ok(Some(LinkageKind::Row))
            )
        },
    )
}

fn read(
    section: &Section<'_>,
    pedals: &ByName<Pedal>,
    before: &ByName<AnyTransmission>,
) -> Read<AnyTransmission> {
    let kind = kind_of(section, "kind", None)?;
    let section = &section.of_kind(kind);
    let mut reading = Reading::new(section);
    let made = match kind {
        LinkageKind::FixedRatio => {
            FixedRatio::new(reading.number("ratio")).map(AnyTransmission::from)
        }
        LinkageKind::UniversalJoint => {
            let bend = reading.number("bend_deg");
            UniversalJoint::new(bend, reading.number_or("phase_deg", 0.0))
                .map(AnyTransmission::from)
        }
        LinkageKind::FourBar => read_four_bar(&mut reading).map(AnyTransmission::from),
        LinkageKind::BallJointRod => read_ball_rod(&mut reading).map(AnyTransmission::from),
        LinkageKind::Pedals => {
            let left = reading.note(pedals.of(section, "left")).copied();
            let right = reading.note(pedals.maybe(section, "right")).flatten();
            read_pedals(&mut reading, left, right.copied())
        }
        LinkageKind::Row => {
            let names = section.texts("parts");
            let names = names.and_then(|names| section.required("parts", names));
            let names = reading.note(names).unwrap_or_default();
            let parts = names
                .iter()
                .map(|name| before.named(section, "parts", name));
            let parts: Vec<AnyTransmission> = parts
                .filter_map(|part| reading.note(part.cloned()))
                .collect();
            TransmissionChain::new(parts).map(AnyTransmission::from)
        }
    };
    reading.done()?;
    made.map_err(|error| section.refused(error))
}

fn read_four_bar(reading: &mut Reading<'_, '_>) -> Result<CenteredFourBar> {
    let mut drawn = |name| Point2::from(reading.numbers::<2>(name));
    CenteredFourBar::from_joints(
        drawn("crank_pivot_mm"),
        drawn("crank_joint_mm"),
        drawn("rocker_joint_mm"),
        drawn("rocker_pivot_mm"),
    )
}

/// A ball joint: direction of its stud and rated swivel.
type Ball = (Option<Vector3<f64>>, Option<f64>);

/// The ball joint of two keys, of which the second needs the first.
fn ball(reading: &mut Reading<'_, '_>, stud: &str, swivel: &str) -> Ball {
    let limit = reading.maybe(swivel);
    if limit.is_some() {
        reading.needs(stud);
    }
    (reading.maybe_vector(stud), limit)
}

fn with_ball(arm: Arm, (stud, limit): Ball) -> Result<Arm> {
    stud.map_or(Ok(arm), |stud| arm.with_stud(stud, limit))
}

fn read_ball_rod(reading: &mut Reading<'_, '_>) -> Result<BallRod> {
    let mut arm = |pivot, axis, joint, stud, swivel| {
        let arm = Arm::new(
            reading.point(pivot),
            reading.vector(axis),
            reading.point(joint),
        );
        let ball = ball(reading, stud, swivel);
        arm.and_then(|arm| with_ball(arm, ball))
    };
    let input = arm(
        "input_pivot_mm",
        "input_axis",
        "input_joint_mm",
        "input_stud",
        "input_swivel_deg",
    );
    let output = arm(
        "output_pivot_mm",
        "output_axis",
        "output_joint_mm",
        "output_stud",
        "output_swivel_deg",
    );
    let rod_length = reading.maybe("rod_mm");
    let start = reading.number_or("start_deg", 0.0);
    let assembly = reading.maybe_word("assembly");
    let spec = BallRodSpec::new(input?, output?);
    BallRod::put_together(BallRodSpec {
        rod_length,
        start,
        assembly: assembly.unwrap_or(spec.assembly),
        ..spec
    })
}

pub(super) fn read_pedal(section: &Section<'_>) -> Read<Pedal> {
    let mut reading = Reading::new(section);
    let arm = Arm::new(
        reading.point("hinge_mm"),
        reading.vector("hinge_axis"),
        reading.point("joint_mm"),
    );
    let ball = ball(&mut reading, "stud", "swivel_deg");
    let (pad, push) = (reading.point("pad_mm"), reading.vector("push"));
    let stops = reading.has("stops_deg").then(|| reading.throw("stops_deg"));
    reading.done()?;
    arm.and_then(|arm| with_ball(arm, ball))
        .and_then(|arm| Pedal::new(arm, pad, push))
        .and_then(|pedal| match stops {
            Some([lower, upper]) => pedal.with_stops(lower, upper),
            None => Ok(pedal),
        })
        .map_err(|error| section.refused(error))
}

fn read_pedals(
    reading: &mut Reading<'_, '_>,
    left: Option<Pedal>,
    right: Option<Pedal>,
) -> Result<AnyTransmission> {
    let (pivot, axis) = (
        reading.point("crank_pivot_mm"),
        reading.vector("crank_axis"),
    );
    let joint = reading.point("crank_joint_mm");
    let right_joint = reading.maybe_vector("right_crank_joint_mm");
    let both = ["right", "right_crank_joint_mm"];
    if both.iter().any(|key| reading.has(key)) {
        reading.needs_all(&both);
    }
    let ball = ball(reading, "crank_stud", "crank_swivel_deg");
    let stops = reading
        .has("crank_stops_deg")
        .then(|| reading.throw("crank_stops_deg"));
    let from = reading.word::<PedalMember>("from");
    let to = reading.word::<PedalMember>("to");
    let (Some(left), Some(from), Some(to)) = (left, from, to) else {
        // What is missing has been noted: this stands in its place.
        return Ok(AnyTransmission::Identity);
    };
    let crank = |joint| Arm::new(pivot, axis, joint).and_then(|arm| with_ball(arm, ball));
    let pair = match (right, right_joint) {
        (Some(right), Some(joint_of_right)) => {
            PedalPair::new(left, right, crank(joint)?, crank(joint_of_right.into())?)?
        }
        _ => PedalPair::mirrored(left, crank(joint)?)?,
    };
    let pair = match stops {
        Some([lower, upper]) => pair.with_crank_stops(lower, upper)?,
        None => pair,
    };
    Ok(pair.transmission(from, to).into())
}
