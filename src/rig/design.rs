//! A design file: parts, controls and targets.

use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::rig::control::{NamedAxis, NamedStick, Place, read_axis, read_stick};
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::{Document, Section};
use crate::rig::keys::AXIS;
use crate::rig::parts::{MagnetPart, Parts};
use crate::rig::toleranced::KeyTolerance;

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
}

/// A spring that cannot be wound as the file says: its name, the line at which it begins, and why.
pub(super) type BrokenSpring = (String, usize, Error);

/// A design as it is stored.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Design", deny_unknown_fields)]
struct DesignFile {
    name: String,
    text: String,
}

impl TryFrom<DesignFile> for Design {
    type Error = DesignError;

    fn try_from(file: DesignFile) -> Result<Self, DesignError> {
        Self::parse(&file.text, &file.name)
    }
}

impl From<Design> for DesignFile {
    fn from(design: Design) -> Self {
        Self {
            name: design.file,
            text: design.text,
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
        let document = Document::parse(name, text)?;
        let root = document.root();
        let mut mistakes = Mistakes::default();
        mistakes.note(root.check_keys());
        let title = root.text("title");
        let title = mistakes.take(title.and_then(|title| root.required("title", title)));
        let currency = mistakes.take(root.text("currency"));
        let parts = Parts::read(&root, &mut mistakes);
        let (mut axes, mut sticks) = (Vec::new(), Vec::new());
        let (mut names, mut channels) = (Vec::new(), Vec::new());
        for (kind, section) in mistakes.take(root.controls()) {
            let Some(section) = mistakes.note(section) else {
                continue;
            };
            mistakes.note(check_name(&section, &mut names));
            if kind == AXIS {
                mistakes.note(check_channel(&section, &mut channels));
                axes.extend(mistakes.note(read_axis(&section, &parts, &Place::Alone)));
                continue;
            }
            for axis in ["outer", "inner"] {
                if let Ok(Some(section)) = section.table(axis, "stick.AXIS") {
                    mistakes.note(check_name(&section, &mut names));
                    mistakes.note(check_channel(&section, &mut channels));
                }
            }
            sticks.extend(mistakes.note(read_stick(&section, &parts)));
        }
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
            title,
            currency,
            axes,
            sticks,
            tolerances: document.tolerances(),
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

    /// The tolerances that the file gives to its numbers, in its order. An evaluation takes the numbers themselves.
    #[must_use]
    pub fn tolerances(&self) -> &[KeyTolerance] {
        &self.tolerances
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
