//! One key of the table.

use crate::rig::keys::sections::{SectionForm, section_kind};
use crate::rig::keys::unit;
use crate::rig::keys::words::Words;

/// What a key may hold. Numbers are in the unit that the key's name ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Allowed {
    /// Any text that is not empty.
    Text,
    /// Text of 1 to 60 letters: what a control is called.
    Name,
    /// A number from the first to the second.
    Number(f64, f64),
    /// A whole number from the first to the second.
    Whole(i64, i64),
    /// This many numbers, each from the second to the third.
    Numbers(usize, f64, f64),
    /// Lists of so many numbers each, at least and at most so many lists, each number from the fourth to the fifth.
    Rows(usize, usize, usize, f64, f64),
    /// Numbers, at least and at most so many, each from the third to the fourth.
    Series(usize, usize, f64, f64),
    /// A list of names or of places in the file.
    Names,
    /// A table of values by their places in the file.
    Changes,
    /// Yes or no.
    Flag,
    /// One of a few words.
    Word(Words),
    /// The name of a part defined elsewhere in the file.
    Part(&'static str),
    /// Several such names.
    Parts(&'static str),
    /// The name of what the library has a table of.
    Entry(&'static str),
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Need {
    /// It must.
    Always,
    /// It may be left out.
    Optional,
    /// It must, unless this other key of its section is there.
    Unless(&'static str),
}

/// One key of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// The section: `""` for the top of the file, `magnet` for `[magnet.NAME]`, `axis` for `[[axis]]`, `axis.targets`;
    /// `stick.AXIS` for `[stick.outer]` and `[stick.inner]`.
    pub section: &'static str,
    /// The key.
    pub name: &'static str,
    /// What it may hold.
    pub allowed: Allowed,
    /// Whether it may be left out.
    pub need: Need,
    /// The kinds of its section that have it, by the word of [`Key::kind_key`]; empty if all have it.
    pub kinds: &'static [&'static str],
    /// What it means.
    pub meaning: &'static str,
}

impl Key {
    /// Section and name, as they stand in a file: `magnet.NAME.size_mm`, `axis.gap_mm`.
    #[must_use]
    pub fn path(&self) -> String {
        match section_kind(self.section).form {
            SectionForm::Root => self.name.to_owned(),
            SectionForm::Parts => format!("{}.NAME.{}", self.section, self.name),
            SectionForm::List | SectionForm::Table => format!("{}.{}", self.section, self.name),
        }
    }

    /// The key of the section whose word says which kind it is, and with it which keys it has; none if all sections of
    /// that name have the same.
    #[must_use]
    pub fn kind_key(&self) -> Option<&'static str> {
        section_kind(self.section).by
    }

    /// Whether its number, or each of its several, may have a tolerance: whether it is a dimension or a property of a
    /// part, and nothing that is asked of one.
    #[must_use]
    pub fn may_vary(&self) -> bool {
        let asked = [
            "targets",
            "error_budget",
            "part",
            "latency",
            "cause",
            "supply",
        ];
        let of_part = !asked.iter().any(|words| self.section.ends_with(words));
        let told = [
            "price",
            "current_mA",
            "conversion_ms",
            "foot_force_N",
            "cycles",
        ];
        let number = match self.allowed {
            Allowed::Number(..) => true,
            // A direction is no dimension.
            Allowed::Numbers(..) => !self.unit().is_empty(),
            _ => false,
        };
        number && of_part && !told.contains(&self.name)
    }

    /// Whether a section of this kind has it.
    pub(in crate::rig) fn is_of(&self, kind: Option<&str>) -> bool {
        kind.is_none_or(|kind| self.kinds.is_empty() || self.kinds.contains(&kind))
    }

    /// The unit that the key's name ends in, for people.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        unit::of(self.name).0
    }

    /// A number in the unit of the key, in SI.
    pub(in crate::rig) fn in_si(&self, value: f64) -> f64 {
        unit::of(self.name).1.in_si(value)
    }

    /// Whether a number in its unit is one that it may hold.
    pub(in crate::rig) fn holds(&self, value: f64) -> bool {
        match self.allowed {
            Allowed::Number(min, max) | Allowed::Numbers(_, min, max) => {
                (min..=max).contains(&value)
            }
            _ => false,
        }
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
            Allowed::Name => "text of 1 to 60 letters".to_owned(),
            Allowed::Number(min, max) => format!("a number from {min} to {max}{unit}"),
            Allowed::Whole(min, max) => format!("a whole number from {min} to {max}"),
            Allowed::Numbers(count, min, max) => {
                format!("{count} numbers, each from {min} to {max}{unit}")
            }
            Allowed::Rows(count, least, most, min, max) => format!(
                "{least} to {most} lists of {count} numbers, each from {min} to {max}{unit}"
            ),
            Allowed::Series(least, most, min, max) => {
                format!("{least} to {most} numbers, each from {min} to {max}{unit}")
            }
            Allowed::Names => "a list of names".to_owned(),
            Allowed::Changes => {
                "a table of places and values, such as { \"magnet.cube.grade\" = \"Y30\" }"
                    .to_owned()
            }
            Allowed::Flag => "true or false".to_owned(),
            Allowed::Word(words) => {
                let quoted: Vec<String> = words
                    .all()
                    .iter()
                    .map(|word| format!("\"{word}\""))
                    .collect();
                format!("one of {}", quoted.join(", "))
            }
            Allowed::Part(section) => format!("the name of a [{section}.NAME]"),
            Allowed::Parts(section) => format!("a list of names of [{section}.NAME]"),
            Allowed::Entry(table) => format!("the name of {table}"),
        }
    }

    /// The meaning, before it the kinds that have the key: "(arrangement swung, pair) pivot to ...".
    #[must_use]
    pub fn meaning_text(&self) -> String {
        match (self.kinds, self.kind_key()) {
            ([], _) | (_, None) => self.meaning.to_owned(),
            (kinds, Some(by)) => format!("({by} {}) {}", kinds.join(", "), self.meaning),
        }
    }
}

pub(super) const fn key(
    section: &'static str,
    name: &'static str,
    allowed: Allowed,
    meaning: &'static str,
) -> Key {
    Key {
        section,
        name,
        allowed,
        need: Need::Always,
        kinds: &[],
        meaning,
    }
}

pub(super) const fn optional(key: Key) -> Key {
    Key {
        need: Need::Optional,
        ..key
    }
}

/// Needed unless another key is there.
pub(super) const fn unless(other: &'static str, key: Key) -> Key {
    Key {
        need: Need::Unless(other),
        ..key
    }
}

/// Of some kinds only.
pub(super) const fn of(kinds: &'static [&'static str], key: Key) -> Key {
    Key { kinds, ..key }
}
