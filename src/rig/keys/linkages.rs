//! Keys of pedals and of what drives the pivot with the sensor.

use crate::rig::keys::key::Allowed::{Number, Numbers, Part, Parts, Word};
use crate::rig::keys::key::{Key, key, of, optional};
use crate::rig::keys::words::Words;

/// Coordinates of joints and pivots, mm.
const PLACE: (f64, f64) = (-10_000.0, 10_000.0);

const fn point(section: &'static str, name: &'static str, meaning: &'static str) -> Key {
    key(section, name, Numbers(3, PLACE.0, PLACE.1), meaning)
}

const fn direction(section: &'static str, name: &'static str, meaning: &'static str) -> Key {
    key(section, name, Numbers(3, -1.0, 1.0), meaning)
}

const fn drawn(name: &'static str, meaning: &'static str) -> Key {
    of(
        FOUR_BAR,
        key("linkage", name, Numbers(2, PLACE.0, PLACE.1), meaning),
    )
}

const fn swivel(section: &'static str, name: &'static str, meaning: &'static str) -> Key {
    optional(key(section, name, Number(0.1, 89.0), meaning))
}

const fn stops(section: &'static str, name: &'static str, meaning: &'static str) -> Key {
    optional(key(section, name, Numbers(2, -180.0, 180.0), meaning))
}

const ROD: &[&str] = &["ball-joint rod"];
const FOUR_BAR: &[&str] = &["four-bar"];
const JOINT: &[&str] = &["universal joint"];
const PEDALS: &[&str] = &["pedals"];

pub(super) const KEYS: &[Key] = &[
    // --- one pedal
    point("pedal", "hinge_mm", "a point of the hinge's axis"),
    direction("pedal", "hinge_axis", "direction of the hinge's axis"),
    point(
        "pedal",
        "joint_mm",
        "the rod's joint on the pedal, at neutral",
    ),
    point("pedal", "pad_mm", "middle of the pad, at neutral"),
    direction("pedal", "push", "direction in which the foot pushes"),
    stops(
        "pedal",
        "stops_deg",
        "angles of its stops, on either side of neutral; left out: none",
    ),
    optional(direction(
        "pedal",
        "stud",
        "direction of the stud of its ball joint; left out: its swivel is not looked at",
    )),
    swivel(
        "pedal",
        "swivel_deg",
        "rated swivel of its ball joint to either side; left out: it ends no travel",
    ),
    // --- linkages
    key(
        "linkage",
        "kind",
        Word(Words::Linkage),
        "what turns the pivot at the sensor when the control is moved",
    ),
    of(
        &["fixed ratio"],
        key(
            "linkage",
            "ratio",
            Number(-100.0, 100.0),
            "turn of the pivot at the sensor for a turn of the control: gears, a parallelogram",
        ),
    ),
    of(
        JOINT,
        key(
            "linkage",
            "bend_deg",
            Number(0.0, 89.0),
            "by how much the two shafts leave a straight line",
        ),
    ),
    of(
        JOINT,
        optional(key(
            "linkage",
            "phase_deg",
            Number(-360.0, 360.0),
            "angle of the input fork's pins from the plane of the shafts when centered; left out: 0",
        )),
    ),
    drawn(
        "crank_pivot_mm",
        "pivot of the control's arm in a drawing of the centered linkage: x, y",
    ),
    drawn("crank_joint_mm", "joint of the control's arm: x, y"),
    drawn("rocker_joint_mm", "joint of the arm at the sensor: x, y"),
    drawn("rocker_pivot_mm", "pivot of the arm at the sensor: x, y"),
    of(
        ROD,
        point("linkage", "input_pivot_mm", "a point of the control's axis"),
    ),
    of(
        ROD,
        direction("linkage", "input_axis", "direction of the control's axis"),
    ),
    of(
        ROD,
        point(
            "linkage",
            "input_joint_mm",
            "the rod's joint on the control's arm, centered",
        ),
    ),
    of(
        ROD,
        optional(direction(
            "linkage",
            "input_stud",
            "direction of the stud of that ball joint; left out: not looked at",
        )),
    ),
    of(
        ROD,
        swivel(
            "linkage",
            "input_swivel_deg",
            "rated swivel of that ball joint; left out: it ends no travel",
        ),
    ),
    of(
        ROD,
        point(
            "linkage",
            "output_pivot_mm",
            "a point of the axis at the sensor",
        ),
    ),
    of(
        ROD,
        direction(
            "linkage",
            "output_axis",
            "direction of the axis at the sensor",
        ),
    ),
    of(
        ROD,
        point(
            "linkage",
            "output_joint_mm",
            "the rod's joint on the arm at the sensor, centered",
        ),
    ),
    of(
        ROD,
        optional(direction(
            "linkage",
            "output_stud",
            "direction of the stud of that ball joint; left out: not looked at",
        )),
    ),
    of(
        ROD,
        swivel(
            "linkage",
            "output_swivel_deg",
            "rated swivel of that ball joint; left out: it ends no travel",
        ),
    ),
    of(
        ROD,
        optional(key(
            "linkage",
            "rod_mm",
            Number(0.1, 10_000.0),
            "distance between the joints of the rod; left out: as they are apart where they are given",
        )),
    ),
    of(
        ROD,
        optional(key(
            "linkage",
            "start_deg",
            Number(-360.0, 360.0),
            "angle of the control's arm, from where it is given, at which it is put together; left out: 0",
        )),
    ),
    of(
        ROD,
        optional(key(
            "linkage",
            "assembly",
            Word(Words::Assembly),
            "\"other\": with the arm at the sensor on the other side of the rod; left out: neutral",
        )),
    ),
    of(
        PEDALS,
        key("linkage", "left", Part("pedal"), "the left pedal"),
    ),
    of(
        PEDALS,
        optional(key(
            "linkage",
            "right",
            Part("pedal"),
            "the right pedal; left out: pedal and crank arm are the left ones mirrored in the plane y = 0",
        )),
    ),
    of(
        PEDALS,
        point(
            "linkage",
            "crank_pivot_mm",
            "a point of the center crank's axis",
        ),
    ),
    of(
        PEDALS,
        direction(
            "linkage",
            "crank_axis",
            "direction of the center crank's axis",
        ),
    ),
    of(
        PEDALS,
        point(
            "linkage",
            "crank_joint_mm",
            "joint of the left rod on the crank, at neutral",
        ),
    ),
    of(
        PEDALS,
        optional(point(
            "linkage",
            "right_crank_joint_mm",
            "joint of the right rod on the crank; needed where right is given",
        )),
    ),
    of(
        PEDALS,
        optional(direction(
            "linkage",
            "crank_stud",
            "direction of the studs of the crank's ball joints; left out: not looked at",
        )),
    ),
    of(
        PEDALS,
        swivel(
            "linkage",
            "crank_swivel_deg",
            "rated swivel of the crank's ball joints; left out: it ends no travel",
        ),
    ),
    of(
        PEDALS,
        stops(
            "linkage",
            "crank_stops_deg",
            "angles of the crank's stops, on either side of neutral; left out: none",
        ),
    ),
    of(
        PEDALS,
        key(
            "linkage",
            "from",
            Word(Words::PedalMember),
            "the member whose angle is the control's",
        ),
    ),
    of(
        PEDALS,
        key(
            "linkage",
            "to",
            Word(Words::PedalMember),
            "the member that carries magnet or sensor",
        ),
    ),
    of(
        &["row"],
        key(
            "linkage",
            "parts",
            Parts("linkage"),
            "linkages in a row, from the control on, none of them a row itself",
        ),
    ),
];
