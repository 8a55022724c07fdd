//! A design file: parts, controls and targets.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::axis::LatencyStage;
use crate::error::Error;
use crate::linkage::GimbalAxis;
use crate::rig::bill::{self, Bill};
use crate::rig::cause::{self, CommonCause};
use crate::rig::control::{NamedAxis, NamedStick, Place, read_axis, read_stick, read_targets};
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::{Document, Section};
use crate::rig::keys::AXIS;
use crate::rig::latency;
use crate::rig::numbers::{MetNumber, Numbers, Reached, StickReached};
use crate::rig::parts::{MagnetPart, Parts};
use crate::rig::target::Target;
use crate::rig::toleranced::{KeySlot, KeyTolerance};
use crate::rig::variant;

/// A whole design, checked: what its file says, put together as far as physics allows.
///
/// An axis or a stick whose parts cannot be put together, because they collide or a linkage locks within the throw,
/// leaves the others as they are: it says why, and [`Design::evaluate`] lists it.
///
/// It is stored (serde) as its file: name and text. Lists of springs that the file names stand beside it and are read
/// with it, here and whenever it is read back.
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "DesignFile", into = "DesignFile")]
pub struct Design {
    file: String,
    text: String,
    title: String,
    currency: Option<String>,
    axes: Vec<NamedAxis>,
    sticks: Vec<NamedStick>,
    tolerances: Vec<KeyTolerance>,
    broken_springs: Vec<BrokenSpring>,
    magnets: Vec<(String, MagnetPart)>,
    causes: Vec<CommonCause>,
    targets: Vec<(Target, f64)>,
    stages: Vec<LatencyStage>,
    variants: Vec<String>,
    /// Which of them it is; none of the file itself.
    variant: Option<String>,
    bill: Bill,
    met: BTreeMap<usize, MetNumber>,
    axes_reached: Vec<Reached>,
    sticks_reached: Vec<StickReached>,
}

/// A spring that cannot be wound as the file says: its name, the line at which it begins, and why.
pub(super) type BrokenSpring = (String, usize, Error);

/// A design as it is stored.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Design", deny_unknown_fields)]
struct DesignFile {
    name: String,
    text: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    variant: Option<String>,
}

impl TryFrom<DesignFile> for Design {
    type Error = DesignError;

    fn try_from(file: DesignFile) -> Result<Self, DesignError> {
        Self::read(&file.text, &file.name, file.variant.as_deref())
    }
}

impl From<Design> for DesignFile {
    fn from(design: Design) -> Self {
        Self {
            name: design.file,
            text: design.text,
            variant: design.variant,
        }
    }
}

impl Design {
    /// Reads a design file.
    ///
    /// # Errors
    /// [`DesignError`] with file, line, column, key, value and allowed range of every mistake.
    pub fn load(path: impl AsRef<Path>) -> Result<Self, DesignError> {
        let path = path.as_ref();
        let name = path.display().to_string();
        match std::fs::read_to_string(path) {
            Ok(text) => Self::parse(&text, &name),
            Err(error) => Err(DesignError::of_file(
                name,
                Problem::Unreadable {
                    reason: error.to_string(),
                },
            )),
        }
    }

    /// Reads a design from text; `name` stands for the file in messages.
    ///
    /// # Errors
    /// As [`Design::load`].
    pub fn parse(text: &str, name: &str) -> Result<Self, DesignError> {
        let design = Self::read(text, name, None)?;
        // What a variant has otherwise is told as early as what the file itself has.
        let mut mistakes = Mistakes::default();
        for variant in &design.variants {
            mistakes.note(design.variant(variant));
        }
        mistakes.done().map(|()| design)
    }

    /// The same file as one of its variants has it.
    ///
    /// # Errors
    /// [`DesignError`] for a variant that the file does not have, with those that it has.
    pub fn variant(&self, name: &str) -> Result<Self, DesignError> {
        Self::read(&self.text, &self.file, Some(name))
    }

    /// The text as it was parsed.
    pub(super) fn document(&self) -> Result<Document<'_>, DesignError> {
        Document::of(&self.file, &self.text, self.variant.as_deref())
    }

    fn read(text: &str, name: &str, variant: Option<&str>) -> Result<Self, DesignError> {
        let document = Document::of(name, text, variant)?;
        let numbers = Numbers::default();
        let root = document.root(&numbers);
        let mut mistakes = Mistakes::default();
        mistakes.note(root.check_keys());
        let title = root.text("title");
        let title = mistakes.take(title.and_then(|title| root.required("title", title)));
        let currency = mistakes.take(root.text("currency"));
        let parts = Parts::read(&root, &mut mistakes);
        let (mut axes, mut sticks) = (Vec::new(), Vec::new());
        let (mut names, mut channels) = (Vec::new(), Vec::new());
        let (mut axes_reached, mut sticks_reached) = (Vec::new(), Vec::new());
        for (kind, section) in mistakes.take(root.controls()) {
            let Some(section) = mistakes.note(section) else {
                continue;
            };
            mistakes.note(check_name(&section, &mut names));
            if kind == AXIS {
                mistakes.note(check_channel(&section, &mut channels));
                let (axis, reached) =
                    numbers.reaching(|| read_axis(&section, &parts, &Place::Alone));
                axes.extend(mistakes.note(axis));
                axes_reached.push(reached);
                continue;
            }
            for axis in ["outer", "inner"] {
                if let Ok(Some(section)) = section.table(axis, "stick.AXIS") {
                    mistakes.note(check_name(&section, &mut names));
                    mistakes.note(check_channel(&section, &mut channels));
                }
            }
            let (stick, own) = numbers.reaching(|| read_stick(&section, &parts));
            if let Some((stick, mut reached)) = mistakes.note(stick) {
                reached.frame.add(&own);
                sticks.push(stick);
                sticks_reached.push(reached);
            }
        }
        let targets = mistakes.take(read_targets(&root, "targets"));
        let bill = bill::read(&root, &names, &mut mistakes);
        let stages = latency::read_all(&root, &mut mistakes);
        let variants = variant::read_names(&root, &mut mistakes);
        let met = numbers.met();
        let causes = cause::read_all(&root, &met, &mut mistakes);
        mistakes.done()?;
        let springs = parts.springs.all();
        let broken_springs = springs.filter_map(|(name, part)| {
            Some((
                name.to_owned(),
                part.line,
                part.made.as_ref().err()?.clone(),
            ))
        });
        let magnets = parts.magnets.all();
        let magnets = magnets.map(|(name, part)| (name.to_owned(), part.clone()));
        Ok(Self {
            broken_springs: broken_springs.collect(),
            magnets: magnets.collect(),
            file: name.to_owned(),
            text: text.to_owned(),
            title: match variant {
                Some(variant) => format!("{title}: {variant}"),
                None => title,
            },
            currency,
            axes,
            sticks,
            tolerances: met
                .values()
                .filter_map(|number| number.tolerance.clone())
                .collect(),
            causes,
            targets,
            stages,
            variants,
            variant: variant.map(ToOwned::to_owned),
            bill,
            met,
            axes_reached,
            sticks_reached,
        })
    }

    /// What the design is called.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The file that it was read from, or the name given in its place, as messages have it.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The text of that file.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What prices are in, if the file says so.
    #[must_use]
    pub fn currency(&self) -> Option<&str> {
        self.currency.as_deref()
    }

    /// The axes that stand by themselves, in the order of the file.
    #[must_use]
    pub fn axes(&self) -> &[NamedAxis] {
        &self.axes
    }

    /// The sticks, in the order of the file.
    #[must_use]
    pub fn sticks(&self) -> &[NamedStick] {
        &self.sticks
    }

    /// Its magnets by their names.
    pub(super) fn magnets(&self) -> &[(String, MagnetPart)] {
        &self.magnets
    }

    /// The springs that cannot be wound as the file says.
    pub(super) fn broken_springs(&self) -> &[BrokenSpring] {
        &self.broken_springs
    }

    /// The tolerances that the file gives to its numbers, in its order. An evaluation takes the numbers themselves, a
    /// study of yields draws them.
    #[must_use]
    pub fn tolerances(&self) -> &[KeyTolerance] {
        &self.tolerances
    }

    /// What moves several numbers together, in the order of the file.
    #[must_use]
    pub fn causes(&self) -> &[CommonCause] {
        &self.causes
    }

    /// The numbers that can be set within a slot, in the order of the file.
    pub fn slots(&self) -> impl Iterator<Item = &KeySlot> {
        self.met.values().filter_map(|number| number.slot.as_ref())
    }

    /// What is asked of the whole rig, in the unit of each target.
    #[must_use]
    pub fn targets(&self) -> &[(Target, f64)] {
        &self.targets
    }

    /// The current that the port may be asked for, A, if the file says so.
    #[must_use]
    pub fn supply_limit(&self) -> Option<f64> {
        self.bill.limit
    }

    /// The stages between hand and screen that all controls share, in the order of the file.
    #[must_use]
    pub fn latency_stages(&self) -> &[LatencyStage] {
        &self.stages
    }

    /// The variants that the file has, in its order, for [`Design::variant`].
    #[must_use]
    pub fn variants(&self) -> &[String] {
        &self.variants
    }

    /// Which variant it is; none of the file itself.
    #[must_use]
    pub fn variant_name(&self) -> Option<&str> {
        self.variant.as_deref()
    }

    /// All axes, those of the sticks last.
    pub(super) fn every_axis(&self) -> impl Iterator<Item = &NamedAxis> {
        let of_sticks = self
            .sticks
            .iter()
            .flat_map(|stick| [GimbalAxis::Outer, GimbalAxis::Inner].map(|axis| stick.axis(axis)));
        self.axes.iter().chain(of_sticks)
    }

    /// The stages of the latency of one of its axes; none without stages in the file, or of an axis that cannot be put
    /// together.
    pub(super) fn stages_of(&self, named: &NamedAxis) -> crate::Result<Vec<LatencyStage>> {
        let Ok(axis) = named.axis() else {
            return Ok(Vec::new());
        };
        let mut uses = named.uses().iter();
        let converter = uses.find(|(section, _)| *section == "converter");
        let conversion =
            converter.and_then(|(section, name)| self.bill.part(section, name)?.conversion);
        latency::of_axis(axis, &self.stages, conversion)
    }

    pub(super) fn bill(&self) -> &Bill {
        &self.bill
    }

    pub(super) fn met(&self) -> &BTreeMap<usize, MetNumber> {
        &self.met
    }

    pub(super) fn axes_reached(&self) -> &[Reached] {
        &self.axes_reached
    }

    pub(super) fn sticks_reached(&self) -> &[StickReached] {
        &self.sticks_reached
    }
}

/// Refuses a name that another control has.
fn check_name(section: &Section<'_>, names: &mut Vec<String>) -> Result<(), DesignError> {
    // One that cannot be read is told by the reader of its section.
    let Ok(Some(name)) = section.text("name") else {
        return Ok(());
    };
    if names.contains(&name) {
        let problem = Problem::DuplicateName { name };
        return Err(section.error_at("name", problem));
    }
    names.push(name);
    Ok(())
}

/// Refuses an input of a converter to which another sensor is wired.
fn check_channel(
    section: &Section<'_>,
    taken: &mut Vec<(String, String)>,
) -> Result<(), DesignError> {
    let both = (section.text("converter"), section.text("channel"));
    let (Ok(Some(converter)), Ok(Some(channel))) = both else {
        return Ok(());
    };
    let place = (converter, channel);
    if taken.contains(&place) {
        let (converter, channel) = place;
        let problem = Problem::TakenChannel { converter, channel };
        return Err(section.error_at("channel", problem));
    }
    taken.push(place);
    Ok(())
}
