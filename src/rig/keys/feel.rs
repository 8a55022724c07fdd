//! Keys of the feel of a control: what pulls, presses, weighs and rubs on it.

use crate::rig::keys::key::Allowed::{Flag, Number, Numbers, Part, Rows, Word};
use crate::rig::keys::key::{Key, key, optional, unless};
use crate::rig::keys::words::Words;

/// Coordinates of what belongs to a control, mm.
const PLACE: (f64, f64) = (-10_000.0, 10_000.0);

/// The two sections that have a feel, with the word for their bodies.
const AXIS_FEEL: &str = "axis.feel";
const STICK_FEEL: &str = "stick.feel";

const fn place(section: &'static str, name: &'static str, meaning: &'static str) -> Key {
    key(section, name, Numbers(3, PLACE.0, PLACE.1), meaning)
}

/// Of an axis by itself: where it turns and where it is held.
const ALONE: &[Key] = &[
    optional(place(
        AXIS_FEEL,
        "pivot_mm",
        "a point of the control's own pivot; left out: that of the input of the drive, of pedals the hinge",
    )),
    optional(key(
        AXIS_FEEL,
        "pivot_axis",
        Numbers(3, -1.0, 1.0),
        "direction of that pivot; left out: as pivot_mm",
    )),
    optional(place(
        AXIS_FEEL,
        "grip_mm",
        "where hand or foot works, centered; left out: of pedals the pad",
    )),
    optional(place(
        AXIS_FEEL,
        "driven_pivot_mm",
        "a point of the pivot of what the drive turns; left out: as the drive has it, or the control's own",
    )),
    optional(key(
        AXIS_FEEL,
        "driven_axis",
        Numbers(3, -1.0, 1.0),
        "direction of that pivot; left out: as driven_pivot_mm",
    )),
    optional(key(
        AXIS_FEEL,
        "motion",
        Word(Words::GuidanceMotion),
        "what it moves, for the published figures to set beside; left out: any",
    )),
    optional(key(
        AXIS_FEEL,
        "inertia_kgcm2",
        Number(0.0, 1e7),
        "moment of inertia about its pivot beside the weights; left out: 0",
    )),
    optional(key(
        AXIS_FEEL,
        "damping_Nmms_per_deg",
        Number(0.0, 1e5),
        "torque of a damper for a speed; left out: 0",
    )),
];

/// Of a stick.
const OF_STICK: &[Key] = &[
    optional(key(
        STICK_FEEL,
        "outer_motion",
        Word(Words::GuidanceMotion),
        "what the outer axis moves, for the published figures to set beside; left out: pitch",
    )),
    optional(key(
        STICK_FEEL,
        "inner_motion",
        Word(Words::GuidanceMotion),
        "what the inner axis moves; left out: roll",
    )),
    optional(key(
        STICK_FEEL,
        "ring_inertia_kgcm2",
        Number(0.0, 1e7),
        "moment of inertia of the ring about the outer axis beside the weights; left out: 0",
    )),
    optional(key(
        STICK_FEEL,
        "inertia_kgcm2",
        Number(0.0, 1e7),
        "moment of inertia of the stick about the inner axis beside the weights; left out: 0",
    )),
    optional(key(
        STICK_FEEL,
        "ring_damping_Nmms_per_deg",
        Number(0.0, 1e5),
        "torque of a damper on the outer axis for a speed; left out: 0",
    )),
    optional(key(
        STICK_FEEL,
        "damping_Nmms_per_deg",
        Number(0.0, 1e5),
        "torque of a damper on the inner axis for a speed; left out: 0",
    )),
];

/// Of both.
const OPERATED: Key = optional(key(
    AXIS_FEEL,
    "operated",
    Word(Words::ControlKind),
    "what hand or foot works, to set it beside published figures; left out: it is not set beside any",
));

const SPRING: &str = "axis.feel.spring";
const WEIGHT: &str = "axis.feel.weight";
const FRICTION: &str = "axis.feel.friction";
const BREAKOUT: &str = "axis.feel.breakout";
const CAM: &str = "axis.feel.cam";

/// What acts, for both; the words of the bodies are those of an axis.
const ACTING: &[Key] = &[
    key(SPRING, "spring", Part("spring"), "which spring"),
    optional(place(
        SPRING,
        "from_mm",
        "where it is hung up at one end, centered; needed unless it works about a pivot",
    )),
    optional(key(
        SPRING,
        "from_on",
        Word(Words::FeelBody),
        "on what that is; left out: the frame",
    )),
    optional(place(
        SPRING,
        "to_mm",
        "where it is hung up at the other end, centered; needed unless it works about a pivot",
    )),
    optional(key(
        SPRING,
        "to_on",
        Word(Words::FeelBody),
        "on what that is; left out: what hand or foot holds",
    )),
    optional(key(
        SPRING,
        "on",
        Word(Words::FeelBody),
        "what a spring about a pivot turns; left out: what hand or foot holds",
    )),
    optional(key(
        SPRING,
        "free_deg",
        Number(-5000.0, 5000.0),
        "angle at which nothing loads a spring about a pivot; needed for one",
    )),
    optional(key(
        SPRING,
        "works",
        Word(Words::SpringAction),
        "on which side of free_deg such a spring works; left out: above",
    )),
    key(WEIGHT, "mass_g", Number(0.0, 1e6), "mass of the weight"),
    place(WEIGHT, "at_mm", "its center of gravity, centered"),
    optional(key(
        WEIGHT,
        "on",
        Word(Words::FeelBody),
        "what carries it; left out: what hand or foot holds",
    )),
    optional(key(
        FRICTION,
        "on",
        Word(Words::FeelBody),
        "whose bearing rubs; left out: that of what hand or foot holds",
    )),
    unless(
        "coefficient",
        key(
            FRICTION,
            "torque_Nmm",
            Number(0.0, 1e7),
            "torque of the friction. In its place: coefficient, radius_mm and load_N",
        ),
    ),
    unless(
        "torque_Nmm",
        key(
            FRICTION,
            "coefficient",
            Number(0.0, 2.0),
            "coefficient of friction of the bearing",
        ),
    ),
    unless(
        "torque_Nmm",
        key(
            FRICTION,
            "radius_mm",
            Number(0.0, 500.0),
            "radius at which the bearing rubs",
        ),
    ),
    unless(
        "torque_Nmm",
        key(FRICTION, "load_N", Number(0.0, 1e6), "load of the bearing"),
    ),
    key(
        BREAKOUT,
        "preload_Nmm",
        Number(0.0, 1e8),
        "torque at which a sprung stop in the middle gives way",
    ),
    optional(key(
        BREAKOUT,
        "rate_Nmm_per_deg",
        Number(0.0, 1e6),
        "by how much that torque grows; left out: 0",
    )),
    optional(key(
        BREAKOUT,
        "center_deg",
        Number(-180.0, 180.0),
        "angle at which it stands; left out: 0",
    )),
    optional(key(
        BREAKOUT,
        "on",
        Word(Words::FeelBody),
        "what it holds; left out: what hand or foot holds",
    )),
    key(
        CAM,
        "points_deg_and_mm",
        Rows(2, 3, 1000, -1000.0, 1000.0),
        "angle and lift of each point of the profile, by growing angles",
    ),
    key(
        CAM,
        "preload_N",
        Number(0.0, 100_000.0),
        "force of the follower's spring at no lift",
    ),
    optional(key(
        CAM,
        "rate_N_per_mm",
        Number(0.0, 10_000.0),
        "rate of the follower's spring; left out: 0",
    )),
    optional(key(
        CAM,
        "repeats",
        Flag,
        "whether the profile goes on from the start, as detents do; left out: false, so that it ends with its points",
    )),
    optional(key(
        CAM,
        "on",
        Word(Words::FeelBody),
        "what carries the profile; left out: what hand or foot holds",
    )),
];

/// The same of a stick: in its sections, with the words of its bodies.
fn of_stick(row: &Key) -> Key {
    let section = match row.section {
        SPRING => "stick.feel.spring",
        WEIGHT => "stick.feel.weight",
        FRICTION => "stick.feel.friction",
        BREAKOUT => "stick.feel.breakout",
        CAM => "stick.feel.cam",
        _ => STICK_FEEL,
    };
    let allowed = match row.allowed {
        Word(Words::FeelBody) => Word(Words::Carrier),
        other => other,
    };
    Key {
        section,
        allowed,
        ..*row
    }
}

/// Those of an axis by itself.
pub(super) fn of_axis_keys() -> Vec<Key> {
    let mut keys = vec![OPERATED];
    keys.extend_from_slice(ALONE);
    keys.extend_from_slice(ACTING);
    keys
}

/// Those of a stick.
pub(super) fn of_stick_keys() -> Vec<Key> {
    let mut keys = vec![of_stick(&OPERATED)];
    keys.extend_from_slice(OF_STICK);
    keys.extend(ACTING.iter().map(of_stick));
    keys
}
