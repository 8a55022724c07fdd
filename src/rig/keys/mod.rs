//! Every key of a design file, with its range and its meaning: one table for reading, for messages and for help.

mod builds;
mod controls;
mod costs;
mod feel;
mod key;
mod latency;
mod linkages;
mod mechanics;
mod parts;
mod sections;
mod springs;
mod targets;
mod unit;
mod words;

use std::collections::BTreeMap;
use std::sync::LazyLock;

pub(super) use costs::BOUGHT;
pub use key::{Allowed, Key, Need};
pub(super) use sections::{
    AXIS, STICK, SectionForm, SectionKind, section_kind, subsections, within,
};
pub use words::Words;
pub(super) use words::{
    CalibrationKind, DelayKind, Delimiter, FeelBody, GateKind, LinkageKind, MagnetShapeKind,
    ObstacleKind, SensorKind, SpringKind,
};

/// Every key there is, section by section.
pub static KEYS: LazyLock<Vec<Key>> = LazyLock::new(|| {
    let mut keys = parts::KEYS.to_vec();
    keys.extend_from_slice(linkages::KEYS);
    keys.extend_from_slice(springs::KEYS);
    keys.extend(controls::keys());
    keys.extend_from_slice(costs::KEYS);
    keys.extend_from_slice(latency::KEYS);
    keys.extend(builds::keys());
    keys
});

/// The same by their sections: a file asks for them by the hundred, its builds by the million.
static BY_SECTION: LazyLock<BTreeMap<&'static str, Vec<&'static Key>>> = LazyLock::new(|| {
    let mut sections: BTreeMap<&str, Vec<&Key>> = BTreeMap::new();
    for key in KEYS.iter() {
        sections.entry(key.section).or_default().push(key);
    }
    sections
});

/// The keys of a section, of whichever of its kinds.
pub(super) fn keys_of(section: &str) -> &'static [&'static Key] {
    BY_SECTION.get(section).map_or(&[], Vec::as_slice)
}
