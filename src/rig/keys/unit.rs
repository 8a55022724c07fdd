//! The units that the names of keys end in.

use crate::units::{DEG, KHZ, MM, MT, MV, MV_PER_MT};

/// How a number in a unit becomes one in SI.
#[derive(Debug, Clone, Copy)]
pub(super) enum Factor {
    /// Multiplied.
    Times(f64),
    /// Divided, where the unit is a fraction whose inverse is whole: so 2 % is the number that is written 0.02.
    Over(f64),
}

impl Factor {
    pub(super) fn in_si(self, value: f64) -> f64 {
        match self {
            Self::Times(factor) => value * factor,
            Self::Over(divisor) => value / divisor,
        }
    }
}

use Factor::{Over, Times};

/// Endings with the unit for people; the first that fits counts, so that longer ones stand before their own ends.
const UNITS: [(&str, &str, Factor); 33] = [
    ("_N_per_mm", "N/mm", Times(1.0 / MM)),
    ("_Nmms_per_deg", "N mm s/deg", Times(MM / DEG)),
    ("_Nmm_per_deg", "N mm/deg", Times(MM / DEG)),
    ("_deg_and_mm", "deg and mm", Times(1.0)),
    ("_Nmm", "N mm", Times(MM)),
    ("_N", "N", Times(1.0)),
    ("_kgcm2", "kg cm^2", Over(1e4)),
    ("_g", "g", Over(1e3)),
    ("_mV_per_mT", "mV/mT", Times(MV_PER_MT)),
    ("_mV_per_K", "mV/K", Times(MV)),
    ("_percent_per_K", "%/K", Over(100.0)),
    ("_counts_per_deg", "counts/deg", Times(1.0 / DEG)),
    ("_counts_per_mm", "counts/mm", Times(1.0 / MM)),
    ("_kHz", "kHz", Times(KHZ)),
    ("_Hz", "Hz", Times(1.0)),
    ("_nF", "nF", Over(1e9)),
    ("_ms", "ms", Over(1e3)),
    ("_ohm", "ohm", Times(1.0)),
    ("_degC", "degC", Times(1.0)),
    ("_mm", "mm", Times(MM)),
    ("_deg", "deg", Times(DEG)),
    ("_mT", "mT", Times(MT)),
    ("_mV", "mV", Times(MV)),
    ("_V", "V", Times(1.0)),
    ("_mA", "mA", Over(1e3)),
    ("_percent", "%", Over(100.0)),
    ("_lsb", "lsb", Times(1.0)),
    ("counts", "counts", Times(1.0)),
    ("counts_min", "counts", Times(1.0)),
    ("counts_max", "counts", Times(1.0)),
    ("bits", "bits", Times(1.0)),
    ("bits_min", "bits", Times(1.0)),
    ("", "", Times(1.0)),
];

/// The unit of a key for people, and what a number in it is times in SI.
pub(super) fn of(name: &str) -> (&'static str, Factor) {
    let mut units = UNITS.iter();
    let unit = units.find(|(ending, ..)| name.ends_with(ending));
    unit.map_or(("", Times(1.0)), |(_, unit, factor)| (*unit, *factor))
}
