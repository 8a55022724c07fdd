//! A design file: parts, axes and targets.

use std::collections::BTreeMap;
use std::path::Path;

use nalgebra::Vector3;

use super::design_error::{DesignError, Problem};
use super::document::{Document, Section};
use super::evaluation::Evaluation;
use super::verdict::Target;
use crate::axis::{ArmLayout, ArmLayoutSpec, Axis, Moving, Side};
use crate::error::Error;
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use crate::units::{DEG, MM, MT, MV, MV_PER_MT};

/// A whole design, checked.
///
/// # Example
/// ```
/// use yokewright::rig::{Design, State};
/// let design = Design::load("examples/trainer_stick.toml")?;
/// let evaluation = design.evaluate(1001)?;
/// println!("{evaluation}");
/// assert!(evaluation.state() < State::Missed);
/// # Ok::<(), yokewright::rig::DesignError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    file: String,
    title: String,
    axes: Vec<NamedAxis>,
}

/// One axis of a design.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedAxis {
    pub(super) name: String,
    pub(super) line: usize,
    pub(super) layout: ArmLayout,
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
    pub fn layout(&self) -> &ArmLayout {
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
    /// [`DesignError`] with file, line, key, value and allowed range.
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
            }),
        }
    }

    /// Reads a design from text; `name` stands for the file in messages.
    ///
    /// # Errors
    /// As [`Design::load`].
    pub fn parse(text: &str, name: &str) -> Result<Self, DesignError> {
        let document = Document::parse(name, text)?;
        let root = document.root()?;
        let title = root.text("title")?;
        let title = root.required("title", title)?;
        let parts = Parts {
            magnets: read_parts(&root, "magnet", read_magnet)?,
            sensors: read_parts(&root, "sensor", read_sensor)?,
            converters: read_parts(&root, "converter", read_converter)?,
        };
        let mut axes: Vec<NamedAxis> = Vec::new();
        for section in root.axes()? {
            let axis = read_axis(&section, &parts)?;
            if axes.iter().any(|other| other.name == axis.name) {
                let problem = Problem::DuplicateName { name: axis.name };
                return Err(section.error_at("name", problem));
            }
            axes.push(axis);
        }
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

    /// Sweeps every axis at `points` angles and holds the figures against the targets.
    ///
    /// # Errors
    /// [`DesignError`] at the axis that cannot be swept, such as a collision; with line 0 for a wrong number of points, which is not
    /// the file's fault.
    pub fn evaluate(&self, points: usize) -> Result<Evaluation, DesignError> {
        let refused = |axis: &NamedAxis, error: Error| DesignError {
            file: self.file.clone(),
            line: if matches!(error, Error::Count { .. }) {
                0
            } else {
                axis.line
            },
            key: format!("axis \"{}\"", axis.name),
            problem: Box::new(Problem::Refused(error)),
        };
        Evaluation::new(self, points).map_err(|(axis, error)| refused(axis, error))
    }
}

/// A magnet as the file describes it.
struct MagnetPart {
    size: Vector3<f64>,
    polarization: Vector3<f64>,
}

struct Parts {
    magnets: BTreeMap<String, MagnetPart>,
    sensors: BTreeMap<String, LinearHall>,
    converters: BTreeMap<String, Converter>,
}

fn read_parts<T>(
    root: &Section<'_>,
    kind: &'static str,
    read: impl Fn(&Section<'_>) -> Result<T, DesignError>,
) -> Result<BTreeMap<String, T>, DesignError> {
    let parts = root.parts(kind)?.into_iter();
    parts
        .map(|(name, section)| Ok((name, read(&section)?)))
        .collect()
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
    Ok(MagnetPart {
        size: vector(section, "size_mm", MM)?,
        polarization: vector(section, "polarization_mT", MT)?,
    })
}

fn read_sensor(section: &Section<'_>) -> Result<LinearHall, DesignError> {
    let spec = LinearHallSpec {
        supply: number(section, "supply_V", 1.0)?,
        nominal_supply: number(section, "nominal_supply_V", 1.0)?,
        quiescent: number(section, "quiescent_V", 1.0)?,
        sensitivity: number(section, "sensitivity_mV_per_mT", MV_PER_MT)?,
        rail_low: number(section, "rail_low_V", 1.0)?,
        rail_headroom: number(section, "rail_headroom_V", 1.0)?,
        noise: number(section, "noise_mV", MV)?,
        depth: number(section, "depth_mm", MM)?,
        direction: section
            .numbers::<3>("direction")?
            .map_or(Vector3::z(), Vector3::from),
    };
    LinearHall::new(spec).map_err(|error| section.refused(error))
}

fn read_converter(section: &Section<'_>) -> Result<Converter, DesignError> {
    let bits = section.whole("bits")?;
    // Within 6 to 24, as the table of keys says.
    let bits = section.required("bits", bits)? as u32;
    let reference = number(section, "reference_V", 1.0)?;
    let rounding = section.word("rounding")?.unwrap_or(Rounding::Nearest);
    let noise = section.number("noise_mV")?.unwrap_or(0.0) * MV;
    Converter::new(bits, reference, rounding, noise).map_err(|error| section.refused(error))
}

/// The part that an axis names.
fn part<'p, T>(
    section: &Section<'_>,
    kind: &'static str,
    parts: &'p BTreeMap<String, T>,
) -> Result<&'p T, DesignError> {
    let name = section.text(kind)?;
    let given = section.required(kind, name)?;
    parts.get(&given).ok_or_else(|| {
        let known: Vec<&str> = parts.keys().map(String::as_str).collect();
        let known = if known.is_empty() {
            "none".to_owned()
        } else {
            known.join(", ")
        };
        section.error_at(
            kind,
            Problem::UnknownPart {
                given,
                section: kind,
                known,
            },
        )
    })
}

fn read_axis(section: &Section<'_>, parts: &Parts) -> Result<NamedAxis, DesignError> {
    let refuse = |error| section.refused(error);
    let name = section.text("name")?;
    let name = section.required("name", name)?;
    let throw = section.numbers::<2>("throw_deg")?;
    let throw = section.required("throw_deg", throw)?;
    let [least, greatest] = throw;
    if !(least <= 0.0 && 0.0 <= greatest && least < greatest) {
        let problem = Problem::NotAllowed {
            value: format!("{throw:?}"),
            allowed: "[least, greatest] with 0, the center, between them".to_owned(),
        };
        return Err(section.error_at("throw_deg", problem));
    }
    let throw = throw.map(|angle| angle * DEG);
    let magnet = part(section, "magnet", &parts.magnets)?;
    let sensor = part(section, "sensor", &parts.sensors)?;
    let converter = part(section, "converter", &parts.converters)?;
    let layout = ArmLayout::new(ArmLayoutSpec {
        magnet_size: magnet.size,
        polarization: magnet.polarization,
        arm: number(section, "arm_mm", MM)?,
        gap: number(section, "gap_mm", MM)?,
        side: section.word("side")?.unwrap_or(Side::Outer),
        offset: section
            .numbers::<3>("offset_mm")?
            .map_or(Vector3::zeros(), |offset| Vector3::from(offset) * MM),
    })
    .map_err(refuse)?;
    let moving = section.word("moving")?.unwrap_or(Moving::Magnets);
    let axis = layout
        .axis(throw, sensor.clone(), converter.clone(), moving)
        .map_err(refuse)?;
    let mut targets = Vec::new();
    if let Some(section) = section.targets()? {
        for (target, key) in Target::KEYS {
            if let Some(wanted) = section.number(key)? {
                targets.push((target, wanted));
            }
        }
    }
    Ok(NamedAxis {
        name,
        line: section.line(),
        layout,
        axis,
        targets,
    })
}
