//! Keys of what a stick is made of and what stands around it, and of the load of a linkage.

use crate::rig::keys::key::Allowed::{Name, Number, Numbers, Word};
use crate::rig::keys::key::{Key, key, of, optional};
use crate::rig::keys::sections::{AXIS, STICK};
use crate::rig::keys::words::Words;

/// Coordinates of what stands around a stick, mm.
const PLACE: (f64, f64) = (-10_000.0, 10_000.0);

const OBSTACLE: &str = "stick.obstacle";
const BLOCK: &[&str] = &["block"];
const LONG: &[&str] = &["cylinder", "capsule"];

pub(super) const OF_AXIS: &[Key] = &[optional(key(
    AXIS,
    "foot_force_N",
    Number(0.0, 10_000.0),
    "force of foot or hand for which the loads of rods are told, the linkage held at its output or, of pedals, by the \
     other foot; left out: they are not told",
))];

pub(super) const OF_STICK: &[Key] = &[
    optional(key(
        STICK,
        "diameter_mm",
        Number(0.1, 500.0),
        "diameter of the stick's tube, for what it may touch; left out: a line",
    )),
    optional(key(
        STICK,
        "grip_diameter_mm",
        Number(0.1, 1000.0),
        "of a ball about the grip that needs room: grip, hand and fingers; left out: a point",
    )),
    key(OBSTACLE, "name", Name, "what it is called"),
    key(
        OBSTACLE,
        "shape",
        Word(Words::Obstacle),
        "what it is: a box, a cylinder with flat ends, or all that is within a radius of a line, as a leg",
    ),
    of(
        BLOCK,
        key(
            OBSTACLE,
            "size_mm",
            Numbers(3, 0.1, 10_000.0),
            "sides of the box along x, y and z",
        ),
    ),
    of(
        BLOCK,
        key(
            OBSTACLE,
            "center_mm",
            Numbers(3, PLACE.0, PLACE.1),
            "middle of the box",
        ),
    ),
    of(
        BLOCK,
        optional(key(
            OBSTACLE,
            "turn_deg",
            Numbers(3, -180.0, 180.0),
            "how it is turned about x, then y, then z of the rig; left out: not",
        )),
    ),
    of(
        LONG,
        key(
            OBSTACLE,
            "from_mm",
            Numbers(3, PLACE.0, PLACE.1),
            "one end of its center line",
        ),
    ),
    of(
        LONG,
        key(
            OBSTACLE,
            "to_mm",
            Numbers(3, PLACE.0, PLACE.1),
            "the other end of that line",
        ),
    ),
    of(
        LONG,
        key(
            OBSTACLE,
            "diameter_mm",
            Number(0.1, 10_000.0),
            "its diameter across that line",
        ),
    ),
];
