//! Keys of what parts cost and of the current that they draw.

use crate::rig::keys::key::Allowed::{Name, Names, Number, Text, Whole};
use crate::rig::keys::key::{Key, key, optional};

/// The sections whose parts are bought.
pub(in crate::rig) const BOUGHT: [&str; 6] = [
    "magnet",
    "plate",
    "sensor",
    "filter",
    "converter",
    "linkage",
];

const fn priced(section: &'static str) -> Key {
    optional(key(
        section,
        "price",
        Number(0.0, 1e9),
        "what one of them costs; left out: not told",
    ))
}

const fn draws(section: &'static str) -> Key {
    optional(key(
        section,
        "current_mA",
        Number(0.0, 10_000.0),
        "current that one of them draws from the port; left out: 0",
    ))
}

pub(super) const KEYS: &[Key] = &[
    priced(BOUGHT[0]),
    priced(BOUGHT[1]),
    priced(BOUGHT[2]),
    priced(BOUGHT[3]),
    priced(BOUGHT[4]),
    priced(BOUGHT[5]),
    draws("sensor"),
    draws("converter"),
    optional(key(
        "converter",
        "channels",
        Whole(1, 1024),
        "inputs that one of them has, so how many controls share it; left out: as many as are needed",
    )),
    // --- what else is bought
    key("part", "name", Name, "what is bought"),
    optional(key(
        "part",
        "price",
        Number(0.0, 1e9),
        "what one of them costs; left out: not told",
    )),
    optional(key(
        "part",
        "quantity",
        Whole(1, 100_000),
        "how many; left out: 1",
    )),
    optional(key(
        "part",
        "used_by",
        Names,
        "the controls that share it, by name, an axis of a stick by its own or the stick for both, or \"rig\" for what \
         belongs to none of them; left out: the rig",
    )),
    optional(key(
        "part",
        "current_mA",
        Number(0.0, 10_000.0),
        "current that one of them draws from the port; left out: 0",
    )),
    optional(key(
        "part",
        "note",
        Text,
        "what it is like, or where to find it; left out: nothing is told",
    )),
    // --- supply
    key(
        "supply",
        "limit_mA",
        Number(1.0, 100_000.0),
        "current that the port may be asked for; beyond it the rig misses a target",
    ),
];
