//! Keys of what differs from build to build, of variants of the design, and of what is asked of the whole rig.

use crate::rig::keys::key::Allowed::{Changes, Name, Names, Number, Word};
use crate::rig::keys::key::{Key, key, optional};
use crate::rig::keys::targets;
use crate::rig::keys::words::Words;

const KEYS: &[Key] = &[
    // --- common causes
    key(
        "cause",
        "plus_minus_percent",
        Number(1e-6, 50.0),
        "by how much it moves each of its numbers, of the number itself",
    ),
    optional(key(
        "cause",
        "distribution",
        Word(Words::ToleranceShape),
        "how it is spread; left out: normal, with twice its standard deviation for the plus-minus",
    )),
    key(
        "cause",
        "moves",
        Names,
        "the numbers that it moves together, by section and control: \"axis.rudder.gap_mm\", \"magnet.cube.size_mm.0\"",
    ),
    // --- variants
    key("variant", "name", Name, "what the variant is called"),
    key(
        "variant",
        "changes",
        Changes,
        "what it has in place of what the file says elsewhere",
    ),
    optional(key(
        "variant",
        "removes",
        Names,
        "what it has not, by place; left out: nothing",
    )),
];

/// All of them.
pub(super) fn keys() -> Vec<Key> {
    let mut keys = KEYS.to_vec();
    keys.extend(targets::keys("targets"));
    keys
}
