//! Typical parts, by name: what data sheets of each class have in common, to begin with before a part is chosen.
//!
//! No part is meant. Each figure is typical, and each part says where its figures come from; take the specification and
//! put the figures of your own data sheet in.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::hall::angle::{AngleOutput, AngleSensor, AngleSensorSpec};
use crate::hall::converter::{Converter, Rounding};
use crate::hall::linear::{HallVariation, LinearHall, LinearHallSpec};
use crate::hall::potentiometer::{Potentiometer, PotentiometerSpec};
use crate::names;
use crate::source::{Provenance, Source};
use crate::units::{DEG, KHZ, MM, MT, MV, MV_PER_MT, UT, UV};

use Provenance::{CommonPractice, FromMemory, Seen};

/// What a typical part is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum TypicalDevice {
    /// A linear Hall sensor.
    LinearHall(LinearHall),
    /// An angle sensor.
    Angle(AngleSensor),
    /// A potentiometer.
    Potentiometer(Potentiometer),
    /// An analog-to-digital converter.
    Converter(Converter),
}

/// A typical part of its class, and where its figures come from.
///
/// # Example
/// ```
/// use yokewright::hall::{LinearHall, LinearHallSpec, TypicalPart};
/// use yokewright::units::MV_PER_MT;
///
/// let sensor = LinearHall::named("continuous 5 V 25 mV/mT")?;
/// assert_eq!(sensor.sensitivity(), 25.0 * MV_PER_MT);
/// // Your own part has another depth.
/// let own = LinearHall::new(LinearHallSpec { depth: 0.4e-3, ..sensor.spec().clone() })?;
/// assert_eq!(own.depth(), 0.4e-3);
/// let error = LinearHall::named("continuous 25").unwrap_err();
/// assert!(error.to_string().contains("continuous 5 V 25 mV/mT"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TypicalPart {
    /// Its name here.
    pub name: String,
    /// What it is.
    pub device: TypicalDevice,
    /// Where its figures come from.
    pub sources: Vec<Source>,
}

impl TypicalPart {
    /// A part by its name. Case, spaces, hyphens and underscores make no difference.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the names nearest to it.
    pub fn named(name: &str) -> Result<Self> {
        names::find("typical part", name, Self::all(), |part| &part.name).cloned()
    }

    /// Every part.
    #[must_use]
    pub fn all() -> &'static [Self] {
        &ALL
    }
}

/// The device of a name among those of one kind.
fn device<T: Clone>(
    kind: &'static str,
    name: &str,
    of_kind: impl Fn(&TypicalDevice) -> Option<&T>,
) -> Result<T> {
    let parts = TypicalPart::all().iter();
    let parts: Vec<(&str, &T)> = parts
        .filter_map(|part| Some((part.name.as_str(), of_kind(&part.device)?)))
        .collect();
    names::find(kind, name, &parts, |part| part.0).map(|part| part.1.clone())
}

/// `named` of each kind of device.
macro_rules! named {
    ($($type:ident, $variant:ident, $kind:literal, $example:literal;)+) => {
        $(impl $type {
            #[doc = concat!("A typical ", $kind, " by its name, such as `", $example, "`; [`TypicalPart::all`] lists")]
            /// them and where their figures come from. Case, spaces, hyphens and underscores make no difference.
            ///
            /// # Errors
            /// [`Error::UnknownName`] with the names nearest to it.
            pub fn named(name: &str) -> Result<Self> {
                device(concat!("typical ", $kind), name, |device| match device {
                    TypicalDevice::$variant(one) => Some(one),
                    _ => None,
                })
            }
        })+
    };
}

named! {
    LinearHall, LinearHall, "linear Hall sensor", "chopped 3.3 V 30 mV/mT";
    AngleSensor, Angle, "angle sensor", "shaft end 14 bit";
    Potentiometer, Potentiometer, "potentiometer", "10 kilohm 300 degrees";
    Converter, Converter, "converter", "12 bit 3.3 V";
}

static ALL: LazyLock<Vec<TypicalPart>> = LazyLock::new(|| {
    let parts = continuous()
        .chain(chopped())
        .chain(fixed())
        .chain(angle_sensors())
        .chain(potentiometers())
        .chain(converters());
    // A test makes every one of them, so that none is left out here.
    parts
        .filter_map(|(name, device, sources)| {
            let device = device.ok()?;
            Some(TypicalPart {
                name,
                device,
                sources,
            })
        })
        .collect()
});

/// Name, device and sources of a row.
type Row = (String, Result<TypicalDevice>, Vec<Source>);

fn source(covers: &str, text: &str, provenance: Provenance) -> Source {
    Source {
        covers: covers.to_owned(),
        text: text.to_owned(),
        provenance,
    }
}

const SHEETS: &str = "typical values of data sheets";

fn linear(name: String, spec: Result<LinearHallSpec>, mut sources: Vec<Source>) -> Row {
    sources.push(source(
        "depth of the active area",
        "0.5 mm below the face of a small package",
        CommonPractice,
    ));
    let deep = |spec| LinearHallSpec {
        depth: 0.5 * MM,
        ..spec
    };
    let sensor = spec.map(deep).and_then(LinearHall::new);
    (name, sensor.map(TypicalDevice::LinearHall), sources)
}

/// Bandwidth of both amplified classes, Hz.
const BANDWIDTH: f64 = 20.0 * KHZ;

/// Continuous-time parts for 5 V: sensitivity in mV/mT, its tolerance, provenance.
fn continuous() -> impl Iterator<Item = Row> {
    let rows = [
        // 1.0 mV/G at least.
        (13.0, 0.23, FromMemory),
        // 20 to 30 mV/mT.
        (25.0, 0.2, Seen),
        (50.0, 0.2, Seen),
    ];
    rows.into_iter()
        .map(|(sensitivity, tolerance, provenance)| {
            // 150 uV rms up to 10 kHz at 25 mV/mT; the noise is that of the Hall element, so the density is one for
            // all.
            let density = 150.0 * UV / (25.0 * MV_PER_MT * (10.0 * KHZ).sqrt());
            let spec = LinearHallSpec {
                rail_low: 0.2,
                rail_headroom: 0.3,
                variation: HallVariation {
                    sensitivity_tolerance: tolerance,
                    quiescent_tolerance: 0.1,
                    ..HallVariation::default()
                },
                ..LinearHallSpec::new(5.0, sensitivity * MV_PER_MT)
            };
            let spec = spec.with_noise_density(density, BANDWIDTH);
            let sources = vec![
                source("sensitivity", SHEETS, provenance),
                source(
                    "quiescent output, rails, bandwidth, tolerances at 25 mV/mT",
                    "typical values of data sheets; the tolerances of the others taken as alike",
                    Seen,
                ),
                source(
                    "noise",
                    "150 uV rms up to 10 kHz at 25 mV/mT, taken as white up to the bandwidth",
                    Seen,
                ),
            ];
            linear(format!("continuous 5 V {sensitivity} mV/mT"), spec, sources)
        })
}

/// Chopper-stabilized parts, which have sensitivities of their own at each supply.
fn chopped() -> impl Iterator<Item = Row> {
    let five = [100.0, 50.0, 25.0, 12.5].map(|sensitivity| (5.0, sensitivity));
    let three = [60.0, 30.0, 15.0, 7.5].map(|sensitivity| (3.3, sensitivity));
    five.into_iter().chain(three).map(|(supply, sensitivity)| {
        let spec = LinearHallSpec {
            rail_low: 0.2,
            rail_headroom: 0.2,
            variation: HallVariation {
                sensitivity_tolerance: 0.05,
                sensitivity_drift: 0.0012,
                ..HallVariation::default()
            },
            ..LinearHallSpec::new(supply, sensitivity * MV_PER_MT)
        };
        let spec = spec.with_noise_density(130e-9, BANDWIDTH);
        let sources = vec![source(
            "sensitivity, its tolerance and its drift, which makes up for that of a magnet, quiescent output, rails, \
             bandwidth, noise density",
            SHEETS,
            FromMemory,
        )];
        linear(format!("chopped {supply} V {sensitivity} mV/mT"), spec, sources)
    })
}

/// Parts whose output does not follow the supply, here at 5 V.
fn fixed() -> impl Iterator<Item = Row> {
    [11.0, 23.0, 45.0, 90.0].into_iter().map(|sensitivity| {
        let spec = LinearHallSpec {
            quiescent: 1.0,
            rail_low: 0.2,
            rail_headroom: 3.2,
            variation: HallVariation {
                sensitivity_drift: 0.001,
                ..HallVariation::default()
            },
            ..LinearHallSpec::new(5.0, sensitivity * MV_PER_MT)
        };
        let sources = vec![
            source("sensitivity, quiescent output, rails", SHEETS, Seen),
            source(
                "drift of the sensitivity",
                "10 % over the temperatures, taken as a line from 25 to 125 degC; a part may drift either way",
                Seen,
            ),
            source("noise", "not given: 0", CommonPractice),
        ];
        linear(format!("fixed output {sensitivity} mV/mT"), Ok(spec), sources)
    })
}

/// Sensors on the shaft end.
fn angle_sensors() -> impl Iterator<Item = Row> {
    let analog = AngleOutput::Analog {
        supply: 5.0,
        low: 0.5,
        high: 4.5,
        range: 360.0 * DEG,
    };
    let rows = [
        (
            "shaft end 12 bit",
            AngleOutput::Digital { bits: 12 },
            26.0 * UT,
        ),
        (
            "shaft end 14 bit",
            AngleOutput::Digital { bits: 14 },
            13.0 * UT,
        ),
        ("shaft end analog 5 V", analog, 26.0 * UT),
    ];
    rows.into_iter().map(|(name, output, noise)| {
        let spec = AngleSensorSpec {
            depth: 0.4 * MM,
            noise,
            working_flux: [30.0 * MT, 90.0 * MT],
            ..AngleSensorSpec::new(output)
        };
        let sources = vec![
            source("output, working range", SHEETS, FromMemory),
            source(
                "noise",
                "0.03 degrees rms at 50 mT, half of that with 14 bits, taken back to the components",
                FromMemory,
            ),
            source("depth of the die", "0.4 mm below the face of a small package", CommonPractice),
            source(
                "offsets, gain mismatch, nonorthogonality",
                "0, as trimmed by the maker; what is left is about half a degree over a turn",
                CommonPractice,
            ),
        ];
        let sensor = AngleSensor::new(spec).map(TypicalDevice::Angle);
        (name.to_owned(), sensor, sources)
    })
}

fn potentiometers() -> impl Iterator<Item = Row> {
    let spec = PotentiometerSpec {
        resistance: 10e3,
        end_resistances: [20.0, 20.0],
        linearity: 0.02,
        noise_resistance: 100.0,
        ..PotentiometerSpec::new(300.0 * DEG, 5.0)
    };
    let sources = vec![
        source(
            "travel, resistance of the track",
            "single-turn panel potentiometer, linear taper, 10 kilohm",
            CommonPractice,
        ),
        source(
            "end resistances, linearity, noise resistance",
            "20 ohm, 2 %, 1 % of the track",
            FromMemory,
        ),
    ];
    let pot = Potentiometer::new(spec).map(TypicalDevice::Potentiometer);
    std::iter::once(("10 kilohm 300 degrees".to_owned(), pot, sources))
}

/// Converters of boards: bits, reference (V), noise (V rms), integral nonlinearity (lsb).
fn converters() -> impl Iterator<Item = Row> {
    let rows = [
        (10, 5.0, 1.0 * MV, 1.0),
        (12, 3.3, 0.8 * MV, 2.0),
        (16, 5.0, 0.1 * MV, 3.0),
    ];
    rows.into_iter()
        .map(|(bits, reference, noise, nonlinearity)| {
            let converter = Converter::new(bits, reference, Rounding::Nearest, noise)
                .and_then(|converter| converter.with_nonlinearity(nonlinearity));
            let sources = vec![
                source(
                    "bits, reference",
                    "usual converters on and beside small boards",
                    CommonPractice,
                ),
                source("noise, integral nonlinearity", SHEETS, FromMemory),
            ];
            (
                format!("{bits} bit {reference} V"),
                converter.map(TypicalDevice::Converter),
                sources,
            )
        })
}

#[cfg(test)]
#[path = "presets_tests.rs"]
mod tests;
