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
