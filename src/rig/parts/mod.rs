//! The parts of a design file: described once, under a name, and used by any control.

mod by_name;
mod chain;
mod converter;
mod linkage;
mod magnet;
mod obstacle;
mod sensor;
mod spring;

use crate::axis::BackPlate;
use crate::hall::{Averaging, Converter, LowPass};
use crate::linkage::AnyTransmission;
use crate::rig::design_error::Mistakes;
use crate::rig::document::Section;

pub(super) use by_name::ByName;
pub(super) use magnet::MagnetPart;
pub(super) use obstacle::read_obstacle;
pub(super) use sensor::SensorPart;
pub(super) use spring::{MadeSpring, SpringPart};

/// All parts of a file by their names.
pub(super) struct Parts {
    pub(super) magnets: ByName<MagnetPart>,
    pub(super) plates: ByName<BackPlate>,
    pub(super) sensors: ByName<SensorPart>,
    pub(super) filters: ByName<LowPass>,
    pub(super) averagings: ByName<Averaging>,
    pub(super) converters: ByName<Converter>,
    pub(super) linkages: ByName<AnyTransmission>,
    pub(super) springs: ByName<SpringPart>,
}

impl Parts {
    pub(super) fn read(root: &Section<'_>, mistakes: &mut Mistakes) -> Self {
        let pedals = ByName::read(root, "pedal", mistakes, linkage::read_pedal);
        let lists = ByName::read(root, "stock", mistakes, spring::read_list);
        Self {
            magnets: ByName::read(root, "magnet", mistakes, magnet::read),
            plates: ByName::read(root, "plate", mistakes, magnet::read_plate),
            sensors: ByName::read(root, "sensor", mistakes, sensor::read),
            filters: ByName::read(root, "filter", mistakes, chain::read_filter),
            averagings: ByName::read(root, "averaging", mistakes, chain::read_averaging),
            converters: ByName::read(root, "converter", mistakes, converter::read),
            linkages: linkage::read_all(root, &pedals, mistakes),
            springs: ByName::read(root, "spring", mistakes, |section| {
                spring::read(section, &lists)
            }),
        }
    }
}
