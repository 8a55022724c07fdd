//! Every key of a design file, with its range and its meaning: one table for reading, for messages and for help.

use std::fmt;

use crate::axis::{MagnetSide, Moving};
use crate::hall::Rounding;

/// What a key may hold. Numbers are in the unit that the key's name ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Allowed {
    /// Any text that is not empty.
    Text,
    /// A number from the first to the second.
    Number(f64, f64),
    /// A whole number from the first to the second.
    Whole(i64, i64),
    /// This many numbers, each from the second to the third.
    Numbers(usize, f64, f64),
    /// One of a few words.
    Word(Words),
    /// The name of a part defined elsewhere in the file.
    Part(&'static str),
}

/// Which words a key chooses from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Words {
    /// Those of [`MagnetSide`].
    Side,
    /// Those of [`Moving`].
    Moving,
    /// Those of [`Rounding`].
    Rounding,
}

/// One key of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// The section: `""` for the top of the file, `magnet` for `[magnet.NAME]`, `axis` for `[[axis]]`, `axis.targets`.
    pub section: &'static str,
    /// The key.
    pub name: &'static str,
    /// What it may hold.
    pub allowed: Allowed,
    /// Whether it may be left out.
    pub optional: bool,
    /// What it means.
    pub meaning: &'static str,
}

impl Key {
    /// Section and name, as they stand in a file: `magnet.NAME.size_mm`, `axis.gap_mm`.
    #[must_use]
    pub fn path(&self) -> String {
        match self.section {
            "" => self.name.to_owned(),
            "magnet" | "sensor" | "converter" => format!("{}.NAME.{}", self.section, self.name),
            section => format!("{section}.{}", self.name),
        }
    }

    /// The unit that the key's name ends in, for people.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        const UNITS: [(&str, &str); 9] = [
            ("_mV_per_mT", "mV/mT"),
            ("_mm", "mm"),
            ("_deg", "deg"),
            ("_mT", "mT"),
            ("_mV", "mV"),
            ("_V", "V"),
            ("_percent", "%"),
            ("bits", "bits"),
            ("bits_min", "bits"),
        ];
        let unit = UNITS.iter().find(|(ending, _)| self.name.ends_with(ending));
        unit.map_or("", |(_, unit)| unit)
    }

    /// The allowed values with their unit, as a phrase: "0 to 200 mm".
    #[must_use]
    pub fn allowed_text(&self) -> String {
        let unit = self.unit();
        let unit = if unit.is_empty() {
            String::new()
        } else {
            format!(" {unit}")
        };
        match self.allowed {
            Allowed::Text => "text".to_owned(),
            Allowed::Number(min, max) => format!("a number from {min} to {max}{unit}"),
            Allowed::Whole(min, max) => format!("a whole number from {min} to {max}"),
            Allowed::Numbers(count, min, max) => {
                format!("{count} numbers, each from {min} to {max}{unit}")
            }
            Allowed::Word(Words::Side) => one_of(&MagnetSide::ALL),
            Allowed::Word(Words::Moving) => one_of(&Moving::ALL),
            Allowed::Word(Words::Rounding) => one_of(&Rounding::ALL),
            Allowed::Part(section) => format!("the name of a [{section}.NAME]"),
        }
    }
}

fn one_of<T: fmt::Display>(all: &[T]) -> String {
    let quoted: Vec<String> = all.iter().map(|word| format!("\"{word}\"")).collect();
    format!("one of {}", quoted.join(", "))
}

const fn key(
    section: &'static str,
    name: &'static str,
    allowed: Allowed,
    meaning: &'static str,
) -> Key {
    Key {
        section,
        name,
        allowed,
        optional: false,
        meaning,
    }
}

const fn optional(key: Key) -> Key {
    Key {
        optional: true,
        ..key
    }
}

use Allowed::{Number, Numbers, Part, Text, Whole, Word};

/// Every key there is.
pub const KEYS: &[Key] = &[
    key("", "title", Text, "what the design is called"),
    key(
        "magnet",
        "size_mm",
        Numbers(3, 0.01, 1000.0),
        "sides of the block: radial, tangential, axial (along the pivot's axis)",
    ),
    key(
        "magnet",
        "polarization_mT",
        Numbers(3, -2500.0, 2500.0),
        "polarization, same order; about the remanence of the grade",
    ),
    key(
        "sensor",
        "supply_V",
        Number(1.5, 40.0),
        "supply voltage in use",
    ),
    key(
        "sensor",
        "nominal_supply_V",
        Number(1.5, 40.0),
        "supply voltage at which the next figures hold; the output is ratiometric",
    ),
    key(
        "sensor",
        "quiescent_V",
        Number(0.0, 40.0),
        "output without a field, at the nominal supply",
    ),
    key(
        "sensor",
        "sensitivity_mV_per_mT",
        Number(0.1, 2000.0),
        "change of output for a change of flux density, at the nominal supply",
    ),
    key(
        "sensor",
        "rail_low_V",
        Number(0.0, 40.0),
        "lowest output above ground",
    ),
    key(
        "sensor",
        "rail_headroom_V",
        Number(0.0, 40.0),
        "supply less the highest output",
    ),
    key(
        "sensor",
        "noise_mV",
        Number(0.0, 100.0),
        "rms output noise in the band that the converter sees, at the nominal supply",
    ),
    key(
        "sensor",
        "depth_mm",
        Number(0.0, 5.0),
        "depth of the active area below the package face",
    ),
    optional(key(
        "sensor",
        "direction",
        Numbers(3, -1.0, 1.0),
        "direction of flux that raises the output, in the package frame (x tangential, z out of the face); left out: \
            [0, 0, 1]",
    )),
    key("converter", "bits", Whole(6, 24), "bits of the converter"),
    key(
        "converter",
        "reference_V",
        Number(0.5, 20.0),
        "voltage of the full range",
    ),
    optional(key(
        "converter",
        "rounding",
        Word(Words::Rounding),
        "\"nearest\": code k is centered on k steps; \"down\": it begins there; left out: nearest",
    )),
    optional(key(
        "converter",
        "noise_mV",
        Number(0.0, 100.0),
        "rms noise referred to the input; left out: 0",
    )),
    key("axis", "name", Text, "what the axis is called"),
    key(
        "axis",
        "throw_deg",
        Numbers(2, -180.0, 180.0),
        "least and greatest angle; 0, the center, lies between",
    ),
    key("axis", "magnet", Part("magnet"), "which magnet"),
    key("axis", "sensor", Part("sensor"), "which sensor"),
    key("axis", "converter", Part("converter"), "which converter"),
    optional(key(
        "axis",
        "moving",
        Word(Words::Moving),
        "what turns; left out: magnets",
    )),
    key(
        "axis",
        "arm_mm",
        Number(0.0, 1000.0),
        "pivot to the center of the magnet",
    ),
    key(
        "axis",
        "gap_mm",
        Number(0.0, 200.0),
        "face of the magnet to face of the sensor's package, centered",
    ),
    optional(key(
        "axis",
        "side",
        Word(Words::Side),
        "where the sensor stands, seen from the magnet; left out: outer",
    )),
    optional(key(
        "axis",
        "offset_mm",
        Numbers(3, -200.0, 200.0),
        "how far the sensor stands out of its place: radial, tangential, axial; left out: none",
    )),
    optional(key(
        "axis.targets",
        "range_used_min_percent",
        Number(0.0, 100.0),
        "counts over the throw, of the converter's range",
    )),
    optional(key(
        "axis.targets",
        "linearity_max_percent",
        Number(0.0, 100.0),
        "independent linearity of the sensor's output, of its span",
    )),
    optional(key(
        "axis.targets",
        "clipped_max_percent",
        Number(0.0, 100.0),
        "part of the throw at which the reading is clipped",
    )),
    optional(key(
        "axis.targets",
        "step_max_deg",
        Number(0.0, 180.0),
        "smallest step over the throw: the worse of one count and rms noise",
    )),
    optional(key(
        "axis.targets",
        "effective_bits_min",
        Number(0.0, 24.0),
        "effective bits of the swept span",
    )),
    optional(key(
        "axis.targets",
        "clearance_min_mm",
        Number(0.0, 200.0),
        "package face to magnet, least over the throw",
    )),
];
