//! Keys of axes and sticks.

use crate::rig::keys::key::Allowed::{Flag, Name, Number, Numbers, Part, Rows, Whole, Word};
use crate::rig::keys::key::{Key, key, of, optional};
use crate::rig::keys::sections::{AXIS, STICK};
use crate::rig::keys::words::Words;
use crate::rig::keys::{feel, mechanics, targets};

/// With magnets on an arm.
const ON_ARM: &[&str] = &["swung", "pair", "head-on"];
const SIDED: &[&str] = &["swung", "pair"];
const PAIR: &[&str] = &["pair"];
const SHAFT_END: &[&str] = &["shaft end"];
/// All that have magnets; an axis with a potentiometer has none.
const MAGNETS: &[&str] = &["swung", "pair", "head-on", "shaft end"];

/// Of an axis, wherever it stands.
const EVERY_AXIS: &[Key] = &[
    key(AXIS, "name", Name, "what the axis is called"),
    key(
        AXIS,
        "throw_deg",
        Numbers(2, -180.0, 180.0),
        "least and greatest angle; 0, the center, lies between",
    ),
    key(AXIS, "sensor", Part("sensor"), "which sensor"),
    optional(key(
        AXIS,
        "converter",
        Part("converter"),
        "which converter; needed unless the sensor gives a code of its own",
    )),
    optional(key(
        AXIS,
        "filter",
        Part("filter"),
        "low-pass before the converter; left out: none",
    )),
    optional(key(
        AXIS,
        "averaging",
        Part("averaging"),
        "of the codes; left out: none",
    )),
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "arrangement",
            Word(Words::Arrangement),
            "how magnet and sensor stand; left out: swung, or with a potentiometer none: that sits on the shaft",
        )),
    ),
    of(
        MAGNETS,
        key(
            AXIS,
            "magnet",
            Part("magnet"),
            "which magnet; of a pair the one at the lower end of the tangent",
        ),
    ),
    of(
        PAIR,
        optional(key(
            AXIS,
            "second_magnet",
            Part("magnet"),
            "the other one of the pair; left out: the same, polarized the other way",
        )),
    ),
    of(
        ON_ARM,
        key(
            AXIS,
            "arm_mm",
            Number(0.0, 1000.0),
            "pivot to the center of the magnet, or to the middle between two",
        ),
    ),
    of(
        MAGNETS,
        key(
            AXIS,
            "gap_mm",
            Number(0.0, 200.0),
            "face of the magnet to face of the sensor's package, centered",
        ),
    ),
    of(
        PAIR,
        key(
            AXIS,
            "spacing_mm",
            Number(0.0, 200.0),
            "between the facing sides of the two magnets",
        ),
    ),
    of(
        PAIR,
        optional(key(
            AXIS,
            "carrier",
            Word(Words::PairCarrier),
            "what the two magnets sit on; left out: flat",
        )),
    ),
    of(
        SIDED,
        optional(key(
            AXIS,
            "side",
            Word(Words::Side),
            "where the sensor stands, seen from the magnet; left out: outer",
        )),
    ),
    of(
        SHAFT_END,
        optional(key(
            AXIS,
            "side",
            Word(Words::ShaftSide),
            "where the sensor stands: over the end of the shaft, or beside the rim; left out: end",
        )),
    ),
    of(
        SHAFT_END,
        optional(key(
            AXIS,
            "eccentricity_mm",
            Numbers(2, -200.0, 200.0),
            "how far the magnet stands off the axis of the shaft, x and y; left out: not",
        )),
    ),
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "offset_mm",
            Numbers(3, -200.0, 200.0),
            "how far the sensor stands out of its place: radial, tangential, axial; left out: none",
        )),
    ),
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "magnet_tilt_deg",
            Numbers(3, -45.0, 45.0),
            "how the magnets are turned about the radial, tangential, axial direction; left out: not",
        )),
    ),
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "sensor_tilt_deg",
            Numbers(3, -45.0, 45.0),
            "how the sensor is turned about the radial, tangential, axial direction; left out: not",
        )),
    ),
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "plate",
            Part("plate"),
            "steel plate behind the magnets; left out: none",
        )),
    ),
    optional(key(
        AXIS,
        "temperature_degC",
        Number(-60.0, 200.0),
        "temperature of magnets and sensor; left out: everything is as it is given",
    )),
    optional(key(
        AXIS,
        "lever_mm",
        Number(1.0, 3000.0),
        "distance of pad or grip from the control's own pivot; left out: of a stick that of the grip, else nothing is \
         told by the mm",
    )),
    optional(key(
        AXIS,
        "channel",
        Name,
        "which input of the converter or the board its sensor is wired to; left out: not told",
    )),
    optional(key(
        AXIS,
        "price",
        Number(0.0, 1e9),
        "what its parts cost; left out: not told",
    )),
];

/// Of an axis by itself.
const AXIS_ALONE: &[Key] = &[
    of(
        MAGNETS,
        optional(key(
            AXIS,
            "moving",
            Word(Words::Moving),
            "what turns; left out: magnets",
        )),
    ),
    optional(key(
        AXIS,
        "drive",
        Part("linkage"),
        "what turns the pivot with the sensor; left out: the control sits on it",
    )),
];

/// Of an axis of a stick; with a potentiometer on its shaft nothing of it goes past anything.
const OF_STICK: &[Key] = &[
    of(
        MAGNETS,
        key(
            "stick.AXIS",
            "magnet_on",
            Word(Words::Carrier),
            "what carries the magnet: the frame, the ring that turns with the outer axis, the stick that turns with \
             both",
        ),
    ),
    of(
        MAGNETS,
        key(
            "stick.AXIS",
            "sensor_on",
            Word(Words::Carrier),
            "what carries the sensor",
        ),
    ),
    of(
        MAGNETS,
        key(
            "stick.AXIS",
            "arm_direction",
            Numbers(3, -1.0, 1.0),
            "where the magnet's arm points from the axis, centered, in the frame of the rig; its part along the axis \
             counts for nothing",
        ),
    ),
    of(
        MAGNETS,
        optional(key(
            "stick.AXIS",
            "along_mm",
            Number(-1000.0, 1000.0),
            "how far along the axis, from its pivot, the middle of the magnet stands; left out: 0",
        )),
    ),
];

/// What errors to reckon with.
const ERROR_BUDGET: &[Key] = &[
    optional(key(
        "axis.error_budget",
        "temperatures_degC",
        Numbers(2, -60.0, 200.0),
        "coldest and hottest temperature in use; left out: no drift",
    )),
    optional(key(
        "axis.error_budget",
        "supply_tolerance_percent",
        Number(0.0, 50.0),
        "how far the supply may be off after the calibration, either way; left out: 0",
    )),
    optional(key(
        "axis.error_budget",
        "ratiometric_sensor",
        Flag,
        "whether the sensor's output follows its supply; left out: true",
    )),
    optional(key(
        "axis.error_budget",
        "ratiometric_converter",
        Flag,
        "whether the converter takes that supply as its reference; left out: true",
    )),
    optional(key(
        "axis.error_budget",
        "backlash_deg",
        Number(0.0, 180.0),
        "lost motion at the control, from one side to the other; left out: 0",
    )),
    optional(key(
        "axis.error_budget",
        "pivot_backlash_deg",
        Number(0.0, 180.0),
        "lost motion at the pivot of the sensor, which the drive carries to the control; left out: 0",
    )),
    optional(key(
        "axis.error_budget",
        "friction_band_deg",
        Number(0.0, 180.0),
        "width of the band in which friction lets the control rest; left out: 0",
    )),
    optional(key(
        "axis.error_budget",
        "crosstalk_counts",
        Number(0.0, 16_777_215.0),
        "change of this reading over the whole travel of another axis; left out: of a stick what is computed, else 0",
    )),
    optional(key(
        "axis.error_budget",
        "calibration",
        Word(Words::Calibration),
        "how readings become positions: by the design alone, by both ends of the throw, by a table; left out: \
         two-point",
    )),
    of(
        &["table"],
        key(
            "axis.error_budget",
            "calibration_points",
            Whole(2, 1025),
            "readings of the table, evenly spaced over the throw",
        ),
    ),
];

/// Of a stick.
const STICK_KEYS: &[Key] = &[
    key(STICK, "name", Name, "what the stick is called"),
    optional(key(
        STICK,
        "outer_pivot_mm",
        Numbers(3, -10_000.0, 10_000.0),
        "a point of the axis in the frame; left out: [0, 0, 0]",
    )),
    optional(key(
        STICK,
        "outer_direction",
        Numbers(3, -1.0, 1.0),
        "direction of that axis; left out: [0, 1, 0], across the rig: pitch",
    )),
    optional(key(
        STICK,
        "inner_pivot_mm",
        Numbers(3, -10_000.0, 10_000.0),
        "a point of the axis that the ring carries; left out: [0, 0, 0]",
    )),
    optional(key(
        STICK,
        "inner_direction",
        Numbers(3, -1.0, 1.0),
        "direction of that axis; left out: [1, 0, 0], along the rig: roll",
    )),
    key(
        STICK,
        "stick_mm",
        Rows(3, 2, 100, -10_000.0, 10_000.0),
        "corners of the stick from the gimbal up to the grip, centered; two for a straight one",
    ),
    optional(key(
        STICK,
        "gate",
        Word(Words::Gate),
        "where the stick may be: \"square\", as far as both throws go; left out: square",
    )),
    of(
        &["round"],
        key(
            STICK,
            "gate_tilt_deg",
            Number(0.1, 80.0),
            "greatest tilt of the stick in every direction",
        ),
    ),
    of(
        &["polygon"],
        key(
            STICK,
            "gate_corners_deg",
            Rows(2, 3, 100, -180.0, 180.0),
            "outer and inner angle of each corner, in order around",
        ),
    ),
];

/// All of them, section by section.
pub(super) fn keys() -> Vec<Key> {
    let in_section = |section: &'static str| move |row: &Key| Key { section, ..*row };
    let on_stick = "stick.AXIS";
    let mut keys: Vec<Key> = EVERY_AXIS.iter().chain(AXIS_ALONE).copied().collect();
    keys.extend_from_slice(mechanics::OF_AXIS);
    keys.extend_from_slice(ERROR_BUDGET);
    keys.extend(targets::keys("axis.targets"));
    keys.extend(feel::of_axis_keys());
    keys.extend_from_slice(STICK_KEYS);
    keys.extend_from_slice(mechanics::OF_STICK);
    keys.extend(targets::keys("stick.targets"));
    keys.extend(feel::of_stick_keys());
    keys.extend(EVERY_AXIS.iter().map(in_section(on_stick)));
    keys.extend_from_slice(OF_STICK);
    keys.extend(
        ERROR_BUDGET
            .iter()
            .map(in_section("stick.AXIS.error_budget")),
    );
    keys.extend(targets::keys("stick.AXIS.targets"));
    keys
}
