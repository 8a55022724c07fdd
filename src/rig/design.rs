//! A design file: parts, axes and targets.

use std::collections::BTreeMap;
use std::path::Path;

use nalgebra::{Isometry3, Vector3};

use crate::axis::{Arrangement, Axis, MagnetSide, Mounting, Moving, SwungLayout, SwungLayoutSpec};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use crate::magnet::Block;
use crate::rig::design_error::{DesignError, Mistakes, Problem, shown_names};
use crate::rig::document::{Document, Section};
use crate::rig::verdict::Target;
use crate::units::{DEG, MM, MT, MV, MV_PER_MT};

/// A whole design, checked.
///
/// # Example
/// ```
/// use yokewright::rig::{Design, VerdictState};
/// let design = Design::load("examples/trainer_stick.toml")?;
/// let evaluation = design.evaluate(1001)?;
/// println!("{evaluation}");
/// assert!(evaluation.state() < VerdictState::Missed);
/// # Ok::<(), yokewright::rig::DesignError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    pub(super) file: String,
    title: String,
    axes: Vec<NamedAxis>,
}

/// One axis of a design.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedAxis {
    pub(super) name: String,
    pub(super) line: usize,
    pub(super) layout: SwungLayout,
    pub(super) axis: Axis,
    pub(super) targets: Vec<(Target, f64)>,
}

impl NamedAxis {
    /// What the axis is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How magnet and sensor stand.
    #[must_use]
    pub fn layout(&self) -> &SwungLayout {
        &self.layout
    }

    /// The axis itself.
    #[must_use]
    pub fn axis(&self) -> &Axis {
        &self.axis
    }

    /// What is asked of it, in the unit of each target.
    #[must_use]
    pub fn targets(&self) -> &[(Target, f64)] {
        &self.targets
    }
}

impl Design {
    /// Reads a design file.
    ///
    /// # Errors
    /// [`DesignError`] with file, line, key, value and allowed range of every mistake.
    pub fn load(path: impl AsRef<Path>) -> Result<Self, DesignError> {
        let (text, name) = Self::read_file(path.as_ref())?;
        Self::parse(&text, &name)
    }

    /// The text of a file, and its name for messages.
    pub(crate) fn read_file(path: &Path) -> Result<(String, String), DesignError> {
        let name = path.display().to_string();
        match std::fs::read_to_string(path) {
            Ok(text) => Ok((text, name)),
            Err(error) => Err(DesignError {
                file: name,
                line: 0,
                key: String::new(),
                problem: Box::new(Problem::Unreadable {
                    reason: error.to_string(),
                }),
                others: Vec::new(),
            }),
        }
    }

    /// Reads a design from text; `name` stands for the file in messages.
    ///
    /// # Errors
    /// As [`Design::load`].
    pub fn parse(text: &str, name: &str) -> Result<Self, DesignError> {
        let document = Document::parse(name, text)?;
        let root = document.root();
        let mut mistakes = Mistakes::default();
        mistakes.note(root.check_keys());
        let title = root.text("title");
        let title = mistakes.take(title.and_then(|title| root.required("title", title)));
        let parts = Parts {
            magnets: Kind::read(&root, "magnet", &mut mistakes, read_magnet),
            sensors: Kind::read(&root, "sensor", &mut mistakes, read_sensor),
            converters: Kind::read(&root, "converter", &mut mistakes, read_converter),
        };
        let (mut axes, mut names) = (Vec::new(), Vec::new());
        for section in mistakes.take(root.axes()) {
            let Some(section) = mistakes.note(section) else {
                continue;
            };
            if let Ok(Some(name)) = section.text("name") {
                if names.contains(&name) {
                    let problem = Problem::DuplicateName { name };
                    mistakes.note::<()>(Err(section.error_at("name", problem)));
                } else {
                    names.push(name);
                }
            }
            axes.extend(mistakes.note(read_axis(&section, &parts)));
        }
        mistakes.done()?;
        Ok(Self {
            file: name.to_owned(),
            title,
            axes,
        })
    }

    /// What the design is called.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The axes, in the order of the file.
    #[must_use]
    pub fn axes(&self) -> &[NamedAxis] {
        &self.axes
    }
}

/// A magnet as the file describes it.
struct MagnetPart {
    size: Vector3<f64>,
    polarization: Vector3<f64>,
}

struct Parts {
    magnets: Kind<MagnetPart>,
    sensors: Kind<LinearHall>,
    converters: Kind<Converter>,
}

/// The parts of one kind by name, or the mistake that was found in reading each.
struct Kind<T> {
    kind: &'static str,
    parts: Result<BTreeMap<String, Result<T, DesignError>>, DesignError>,
}

impl<T> Kind<T> {
    fn read(
        root: &Section<'_>,
        kind: &'static str,
        mistakes: &mut Mistakes,
        read: impl Fn(&Section<'_>) -> Result<T, DesignError>,
    ) -> Self {
        let part = |(name, section): (String, Result<Section<'_>, DesignError>)| {
            (name, section.and_then(|section| read(&section)))
        };
        let parts = root.parts(kind);
        let parts = parts.map(|parts| parts.into_iter().map(part).collect::<BTreeMap<_, _>>());
        for part in parts.iter().flat_map(BTreeMap::values) {
            mistakes.note(part.as_ref().map_err(Clone::clone));
        }
        mistakes.note(parts.as_ref().map_err(Clone::clone));
        Self { kind, parts }
    }

    /// The part that an axis names. One with a mistake gives that mistake again.
    fn of(&self, section: &Section<'_>) -> Result<&T, DesignError> {
        let name = section.text(self.kind)?;
        let given = section.required(self.kind, name)?;
        let parts = self.parts.as_ref().map_err(Clone::clone)?;
        let unknown = || {
            let problem = Problem::UnknownPart {
                given: given.clone(),
                section: self.kind,
                known: shown_names(parts.keys().map(String::as_str)),
            };
            section.error_at(self.kind, problem)
        };
        let part = parts.get(&given).ok_or_else(unknown)?;
        part.as_ref().map_err(Clone::clone)
    }
}

/// A required number, converted to SI.
fn number(section: &Section<'_>, name: &str, unit: f64) -> Result<f64, DesignError> {
    let value = section.number(name)?;
    Ok(section.required(name, value)? * unit)
}

/// A required vector, converted to SI.
fn vector(section: &Section<'_>, name: &str, unit: f64) -> Result<Vector3<f64>, DesignError> {
    let value = section.numbers::<3>(name)?;
    Ok(Vector3::from(section.required(name, value)?) * unit)
}

fn read_magnet(section: &Section<'_>) -> Result<MagnetPart, DesignError> {
    let mut mistakes = Mistakes::default();
    mistakes.note(section.check_keys());
    let part = MagnetPart {
        size: mistakes.take(vector(section, "size_mm", MM)),
        polarization: mistakes.take(vector(section, "polarization_mT", MT)),
    };
    mistakes.done().map(|()| part)
}

fn read_sensor(section: &Section<'_>) -> Result<LinearHall, DesignError> {
    let mut mistakes = Mistakes::default();
    mistakes.note(section.check_keys());
    let mut value = |name, unit| mistakes.take(number(section, name, unit));
    let spec = LinearHallSpec {
        supply: value("supply_V", 1.0),
        nominal_supply: value("nominal_supply_V", 1.0),
        quiescent: value("quiescent_V", 1.0),
        sensitivity: value("sensitivity_mV_per_mT", MV_PER_MT),
        rail_low: value("rail_low_V", 1.0),
        rail_headroom: value("rail_headroom_V", 1.0),
        noise: value("noise_mV", MV),
        depth: value("depth_mm", MM),
        direction: mistakes
            .take(section.numbers::<3>("direction"))
            .map_or(Vector3::z(), Vector3::from),
        ..LinearHallSpec::new(5.0, 25.0)
    };
    mistakes.done()?;
    LinearHall::new(spec).map_err(|error| section.refused(error))
}

fn read_converter(section: &Section<'_>) -> Result<Converter, DesignError> {
    let mut mistakes = Mistakes::default();
    mistakes.note(section.check_keys());
    let bits = section.whole("bits");
    // Within 6 to 24, as the table of keys says.
    let bits = mistakes.take(bits.and_then(|bits| section.required("bits", bits))) as u32;
    let reference = mistakes.take(number(section, "reference_V", 1.0));
    let rounding: Option<Rounding> = mistakes.take(section.word("rounding"));
    let noise = mistakes.take(section.number("noise_mV")).unwrap_or(0.0) * MV;
    mistakes.done()?;
    Converter::new(bits, reference, rounding.unwrap_or_default(), noise)
        .map_err(|error| section.refused(error))
}

/// A throw in degrees that holds the center.
fn read_throw(section: &Section<'_>) -> Result<[f64; 2], DesignError> {
    let throw = section.numbers::<2>("throw_deg")?;
    let throw = section.required("throw_deg", throw)?;
    let [least, greatest] = throw;
    if least <= 0.0 && 0.0 <= greatest && least < greatest {
        return Ok(throw.map(|angle| angle * DEG));
    }
    let problem = Problem::NotAllowed {
        value: format!("{throw:?}"),
        allowed: "[least, greatest] with 0, the center, between them".to_owned(),
    };
    Err(section.error_at("throw_deg", problem))
}

fn read_targets(section: &Section<'_>) -> Result<Vec<(Target, f64)>, DesignError> {
    let Some(section) = section.targets()? else {
        return Ok(Vec::new());
    };
    let mut mistakes = Mistakes::default();
    mistakes.note(section.check_keys());
    let mut targets = Vec::new();
    for (target, key) in Target::KEYS {
        let wanted = mistakes.take(section.number(key));
        targets.extend(wanted.map(|wanted| (target, wanted)));
    }
    mistakes.done().map(|()| targets)
}

fn read_axis(section: &Section<'_>, parts: &Parts) -> Result<NamedAxis, DesignError> {
    let refuse = |error| section.refused(error);
    let mut mistakes = Mistakes::default();
    mistakes.note(section.check_keys());
    let name = section.text("name");
    let name = mistakes.take(name.and_then(|name| section.required("name", name)));
    let throw = mistakes.take(read_throw(section));
    mistakes.note(parts.magnets.of(section));
    mistakes.note(parts.sensors.of(section));
    mistakes.note(parts.converters.of(section));
    let arm = mistakes.take(number(section, "arm_mm", MM));
    let gap = mistakes.take(number(section, "gap_mm", MM));
    let side = mistakes.take(section.word::<MagnetSide>("side"));
    let offset = mistakes.take(section.numbers::<3>("offset_mm"));
    let moving = mistakes.take(section.word::<Moving>("moving"));
    let targets = mistakes.take(read_targets(section));
    mistakes.done()?;
    let magnet = parts.magnets.of(section)?;
    let sensor = parts.sensors.of(section)?;
    let converter = parts.converters.of(section)?;
    let block = Block::new(magnet.size, magnet.polarization, Isometry3::identity());
    let layout = SwungLayout::new(SwungLayoutSpec {
        side: side.unwrap_or(MagnetSide::Outer),
        mounting: Mounting {
            offset: offset.map_or(Vector3::zeros(), |offset| Vector3::from(offset) * MM),
            ..Mounting::default()
        },
        ..SwungLayoutSpec::new(block.map_err(refuse)?, arm, gap)
    })
    .map_err(refuse)?;
    let moving = moving.unwrap_or(Moving::Magnets);
    let axis = layout
        .axis(throw, sensor.clone(), converter.clone(), moving)
        .map_err(refuse)?;
    Ok(NamedAxis {
        name,
        line: section.line(),
        layout,
        axis,
        targets,
    })
}
