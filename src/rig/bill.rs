//! What a design file says of what is bought: prices, quantities, and the current that parts draw.

use crate::names;
use crate::rig::design_error::{DesignError, Mistakes};
use crate::rig::document::Section;
use crate::rig::keys::BOUGHT;
use crate::rig::reading::Reading;

/// The name of what belongs to no control.
pub(super) const RIG: &str = "rig";

/// All that is bought for a design.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Bill {
    /// The parts that controls name, in the order of [`BOUGHT`] and then of the file.
    pub(super) parts: Vec<BoughtPart>,
    /// What else there is, in the order of the file.
    pub(super) items: Vec<BoughtItem>,
    /// What the port may be asked for, A.
    pub(super) limit: Option<f64>,
}

/// A part that controls name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BoughtPart {
    pub(super) section: &'static str,
    pub(super) name: String,
    line: usize,
    /// Of one.
    pub(super) price: Option<f64>,
    /// Of one, A.
    pub(super) current: Option<f64>,
    /// Inputs of a converter.
    pub(super) channels: Option<usize>,
    /// Of one conversion, s.
    pub(super) conversion: Option<f64>,
}

/// What is bought besides.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BoughtItem {
    pub(super) name: String,
    /// Of one.
    pub(super) price: Option<f64>,
    pub(super) quantity: u64,
    /// Controls by their names; empty of what belongs to the rig.
    pub(super) used_by: Vec<String>,
    /// Of one, A.
    pub(super) current: Option<f64>,
    pub(super) note: Option<String>,
}

impl Bill {
    /// A part that a control names.
    pub(super) fn part(&self, section: &str, name: &str) -> Option<&BoughtPart> {
        let mut parts = self.parts.iter();
        parts.find(|part| part.section == section && part.name == name)
    }
}

/// Reads it; `controls` are the names of all axes and sticks.
pub(super) fn read(root: &Section<'_>, controls: &[String], mistakes: &mut Mistakes) -> Bill {
    let mut bill = Bill::default();
    for kind in BOUGHT {
        // What is wrong with the sections themselves, their own readers tell.
        let sections = root.parts(kind).unwrap_or_default();
        let mut parts: Vec<BoughtPart> = sections
            .into_iter()
            .filter_map(|(name, section)| mistakes.note(read_part(&section.ok()?, kind, name)))
            .collect();
        parts.sort_by_key(|part| part.line);
        bill.parts.extend(parts);
    }
    for section in mistakes.take(root.list("part")) {
        let read = section.and_then(|section| read_item(&section, controls));
        bill.items.extend(mistakes.note(read));
    }
    bill.limit = mistakes.note(read_limit(root)).flatten();
    bill
}

/// The limit of `[supply]`, A.
fn read_limit(root: &Section<'_>) -> Result<Option<f64>, DesignError> {
    let Some(section) = root.table("supply", "supply")? else {
        return Ok(None);
    };
    let mut reading = Reading::new(&section);
    let limit = reading.number("limit_mA");
    reading.done().map(|()| Some(limit))
}

fn read_part(
    section: &Section<'_>,
    kind: &'static str,
    name: String,
) -> Result<BoughtPart, DesignError> {
    // Its other keys are looked at by the reader of the part.
    let mut reading = Reading::of_some(section);
    let converter = kind == "converter";
    let price = reading.maybe("price");
    let current = if converter || kind == "sensor" {
        reading.maybe("current_mA")
    } else {
        None
    };
    let [channels, conversion] = if converter {
        let channels = reading.maybe_whole::<u32>("channels");
        [channels.map(f64::from), reading.maybe("conversion_ms")]
    } else {
        [None; 2]
    };
    reading.done()?;
    Ok(BoughtPart {
        section: kind,
        name,
        line: section.line(),
        price,
        current,
        channels: channels.map(|channels| channels as usize),
        conversion,
    })
}

fn read_item(section: &Section<'_>, controls: &[String]) -> Result<BoughtItem, DesignError> {
    let mut reading = Reading::new(section);
    let name = reading.text("name");
    let price = reading.maybe("price");
    let quantity = reading.maybe_whole("quantity").unwrap_or(1);
    let current = reading.maybe("current_mA");
    let note = reading.maybe_text("note");
    let given = reading.note(section.texts("used_by")).flatten();
    let mut used_by: Vec<String> = Vec::new();
    let known: Vec<&str> = controls.iter().map(String::as_str).chain([RIG]).collect();
    for name in given.unwrap_or_default() {
        let found = names::find("control", &name, &known, |name| name);
        if let Some(&found) = reading.check("used_by", found)
            && found != RIG
            && !used_by.iter().any(|user| user == found)
        {
            used_by.push(found.to_owned());
        }
    }
    reading.done()?;
    Ok(BoughtItem {
        name,
        price,
        quantity,
        used_by,
        current,
        note,
    })
}
