//! Reading TOML so that every mistake can be told with its line, key, value and what is allowed.
//!
//! The parsed tree with its positions is walked by hand against the table of keys, because an error of a derived
//! deserializer knows neither the value nor the range of the key that it stumbles on.

use std::borrow::Cow;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::error::Error;
use crate::names;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::keys::{Allowed, KEYS, Key};

/// Sections that hold parts by name, and the list of axes.
const ROOT_SECTIONS: [&str; 4] = ["magnet", "sensor", "converter", AXIS];
const AXIS: &str = "axis";
const TARGETS: &str = "targets";

/// The text and its name, for messages.
pub(super) struct Document<'a> {
    file: &'a str,
    text: &'a str,
    root: Spanned<DeTable<'a>>,
}

impl<'a> Document<'a> {
    pub(super) fn parse(file: &'a str, text: &'a str) -> Result<Self, DesignError> {
        let (root, errors) = DeTable::parse_recoverable(text);
        let place = Place { file, text };
        let mut mistakes = Mistakes::default();
        for error in errors {
            let start = error.span().map_or(0, |span| span.start);
            let reason = error.message().trim().replace('\n', "; ");
            let syntax = place.error(start, String::new(), Problem::Syntax { reason });
            mistakes.note::<()>(Err(syntax));
        }
        mistakes.done()?;
        Ok(Self { file, text, root })
    }

    pub(super) fn root(&'a self) -> Section<'a> {
        Section {
            place: Place {
                file: self.file,
                text: self.text,
            },
            table: self.root.get_ref(),
            start: 0,
            kind: "",
            path: String::new(),
        }
    }
}

#[derive(Clone, Copy)]
struct Place<'a> {
    file: &'a str,
    text: &'a str,
}

impl Place<'_> {
    fn error(&self, offset: usize, key: String, problem: Problem) -> DesignError {
        DesignError {
            file: self.file.to_owned(),
            line: self.line(offset),
            key,
            problem: Box::new(problem),
            others: Vec::new(),
        }
    }

    /// A value as the file has it; its first line, if it has several.
    fn written(&self, span: Range<usize>) -> &str {
        self.text
            .get(span)
            .and_then(|text| text.lines().next())
            .unwrap_or_default()
    }

    /// The line of an offset in the text, counted from 1.
    fn line(&self, offset: usize) -> usize {
        let before = &self.text.as_bytes()[..offset.min(self.text.len())];
        1 + before.iter().filter(|&&byte| byte == b'\n').count()
    }
}

/// Parts by name; one that is no table is a mistake.
pub(super) type Parts<'a> = Vec<(String, Result<Section<'a>, DesignError>)>;

/// One table of the file.
pub(super) struct Section<'a> {
    place: Place<'a>,
    table: &'a DeTable<'a>,
    /// Where the table begins in the text.
    start: usize,
    /// The section in the table of keys.
    kind: &'static str,
    /// The section as the file writes it.
    path: String,
}

impl<'a> Section<'a> {
    /// An error about the whole section.
    pub(super) fn refused(&self, error: Error) -> DesignError {
        self.place
            .error(self.start, self.path.clone(), Problem::Refused(error))
    }

    /// The line at which the section begins.
    pub(super) fn line(&self) -> usize {
        self.place.line(self.start)
    }

    /// An error about one key that the section has.
    pub(super) fn error_at(&self, name: &str, problem: Problem) -> DesignError {
        let start = self
            .table
            .get(name)
            .map_or(self.start, |value| value.span().start);
        self.place.error(start, self.key_path(name), problem)
    }

    fn key_path(&self, name: &str) -> String {
        if self.path.is_empty() {
            name.to_owned()
        } else {
            format!("{}.{name}", self.path)
        }
    }

    fn keys(&self) -> impl Iterator<Item = &'static Key> + use<> {
        let kind = self.kind;
        KEYS.iter().filter(move |key| key.section == kind)
    }

    /// The subsections that may stand here.
    fn tables(&self) -> &'static [&'static str] {
        match self.kind {
            "" => &ROOT_SECTIONS,
            AXIS => &[TARGETS],
            _ => &[],
        }
    }

    /// Refuses keys that the table of keys does not have.
    pub(super) fn check_keys(&self) -> Result<(), DesignError> {
        let mut mistakes = Mistakes::default();
        for (error, _) in self.unknown_keys() {
            mistakes.note::<()>(Err(error));
        }
        mistakes.done()
    }

    /// The mistake that stands in the place of a key: one that is not known and looks most like it.
    pub(super) fn meant(&self, name: &str) -> Option<DesignError> {
        let unknown = self.unknown_keys().into_iter();
        let mut meant = unknown.filter(|(_, meant)| meant.as_deref() == Some(name));
        meant.next().map(|(error, _)| error)
    }

    /// The keys that the table of keys does not have, each with the known one that it looks most like.
    fn unknown_keys(&self) -> Vec<(DesignError, Option<String>)> {
        let known: Vec<&str> = self
            .keys()
            .map(|key| key.name)
            .chain(self.tables().iter().copied())
            .collect();
        let unknown = |(name, value): (&Spanned<Cow<'a, str>>, &Spanned<DeValue<'a>>)| {
            let text: &str = name.get_ref();
            if known.contains(&text) {
                return None;
            }
            let meant = nearest(text, &known);
            let suggestion = meant.clone().map(|name| {
                let key = self.keys().find(|key| key.name == name);
                key.map_or(name.clone(), |key| {
                    format!("{name} ({})", key.allowed_text())
                })
            });
            let problem = Problem::UnknownKey {
                value: self.place.written(value.span()).to_owned(),
                suggestion,
                known: known.join(", "),
            };
            let error = self
                .place
                .error(name.span().start, self.key_path(text), problem);
            Some((error, meant))
        };
        self.table.iter().filter_map(unknown).collect()
    }

    fn subsection(
        &self,
        value: &'a Spanned<DeValue<'a>>,
        kind: &'static str,
        path: String,
    ) -> Result<Self, DesignError> {
        let DeValue::Table(table) = value.get_ref() else {
            return Err(self.not_allowed(value.span(), path, format!("a table [{kind}]")));
        };
        Ok(Section {
            place: self.place,
            table,
            start: value.span().start,
            kind,
            path,
        })
    }

    /// The parts of a section, by name.
    pub(super) fn parts(&self, kind: &'static str) -> Result<Parts<'a>, DesignError> {
        let Some(value) = self.table.get(kind) else {
            return self.meant(kind).map_or(Ok(Vec::new()), Err);
        };
        let DeValue::Table(table) = value.get_ref() else {
            let wanted = format!("tables [{kind}.NAME]");
            return Err(self.not_allowed(value.span(), kind.to_owned(), wanted));
        };
        let part = |(name, value): (&Spanned<Cow<'a, str>>, &'a Spanned<DeValue<'a>>)| {
            let name = name.get_ref().to_string();
            let section = self.subsection(value, kind, format!("{kind}.{name}"));
            (name, section)
        };
        Ok(table.iter().map(part).collect())
    }

    /// The axes, at least one.
    pub(super) fn axes(&self) -> Result<Vec<Result<Section<'a>, DesignError>>, DesignError> {
        let wanted = || "one or more [[axis]]".to_owned();
        let Some(value) = self.table.get(AXIS) else {
            let missing = || {
                let problem = Problem::MissingKey { allowed: wanted() };
                self.place.error(0, AXIS.to_owned(), problem)
            };
            return Err(self.meant(AXIS).unwrap_or_else(missing));
        };
        match value.get_ref() {
            DeValue::Array(items) if !items.is_empty() => Ok(items
                .iter()
                .map(|item| self.subsection(item, AXIS, AXIS.to_owned()))
                .collect()),
            _ => Err(self.not_allowed(value.span(), AXIS.to_owned(), wanted())),
        }
    }

    /// The targets of an axis, if it has any.
    pub(super) fn targets(&self) -> Result<Option<Section<'a>>, DesignError> {
        let value = self.table.get(TARGETS);
        value
            .map(|value| self.subsection(value, "axis.targets", "axis.targets".to_owned()))
            .transpose()
    }

    fn not_allowed(&self, span: Range<usize>, key: String, allowed: String) -> DesignError {
        let value = self.place.written(span.clone()).to_owned();
        self.place
            .error(span.start, key, Problem::NotAllowed { value, allowed })
    }

    /// The entry of the table of keys. Every name that the code asks for is in it (tested by reading a complete file).
    fn key(&self, name: &str) -> Key {
        let found = self.keys().find(|key| key.name == name);
        *found.unwrap_or(&Key {
            section: "",
            name: "",
            allowed: Allowed::Text,
            optional: false,
            meaning: "",
        })
    }

    fn value(&self, name: &str) -> Result<Option<&'a Spanned<DeValue<'a>>>, DesignError> {
        let key = self.key(name);
        match self.table.get(name) {
            None if !key.optional => Err(self.meant(name).unwrap_or_else(|| {
                let problem = Problem::MissingKey {
                    allowed: key.allowed_text(),
                };
                self.place.error(self.start, self.key_path(name), problem)
            })),
            value => Ok(value),
        }
    }

    fn read<T>(
        &self,
        name: &str,
        convert: impl Fn(&DeValue<'a>, Allowed) -> Option<T>,
    ) -> Result<Option<T>, DesignError> {
        let Some(value) = self.value(name)? else {
            return Ok(None);
        };
        let key = self.key(name);
        let converted = convert(value.get_ref(), key.allowed);
        converted
            .map(Some)
            .ok_or_else(|| self.not_allowed(value.span(), self.key_path(name), key.allowed_text()))
    }

    /// A number in the unit of its key.
    pub(super) fn number(&self, name: &str) -> Result<Option<f64>, DesignError> {
        self.read(name, |value, allowed| match allowed {
            Allowed::Number(min, max) => number_within(value, min, max),
            _ => None,
        })
    }

    /// A list of `N` numbers in the unit of their key.
    pub(super) fn numbers<const N: usize>(
        &self,
        name: &str,
    ) -> Result<Option<[f64; N]>, DesignError> {
        self.read(name, |value, allowed| {
            let (DeValue::Array(items), Allowed::Numbers(_, min, max)) = (value, allowed) else {
                return None;
            };
            let numbers: Option<Vec<f64>> = items
                .iter()
                .map(|item| number_within(item.get_ref(), min, max))
                .collect();
            numbers?.try_into().ok()
        })
    }

    /// A whole number.
    pub(super) fn whole(&self, name: &str) -> Result<Option<i64>, DesignError> {
        self.read(name, |value, allowed| match (value, allowed) {
            (DeValue::Integer(n), Allowed::Whole(min, max)) => {
                let whole = i64::from_str_radix(n.as_str(), n.radix()).ok()?;
                (min..=max).contains(&whole).then_some(whole)
            }
            _ => None,
        })
    }

    /// Text that is not empty: a name or a title.
    pub(super) fn text(&self, name: &str) -> Result<Option<String>, DesignError> {
        self.read(name, |value, _| match value {
            DeValue::String(text) if !text.trim().is_empty() => Some(text.to_string()),
            _ => None,
        })
    }

    /// One of a few words.
    pub(super) fn word<T: std::str::FromStr>(&self, name: &str) -> Result<Option<T>, DesignError> {
        self.read(name, |value, _| match value {
            DeValue::String(text) => text.parse().ok(),
            _ => None,
        })
    }

    /// A value that [`Key::optional`] says must be there, after one of the readers above: they have refused its
    /// absence.
    pub(super) fn required<T>(&self, name: &str, value: Option<T>) -> Result<T, DesignError> {
        value.ok_or_else(|| {
            let allowed = self.key(name).allowed_text();
            self.error_at(name, Problem::MissingKey { allowed })
        })
    }
}

fn number_within(value: &DeValue<'_>, min: f64, max: f64) -> Option<f64> {
    let number = match value {
        DeValue::Integer(n) => i64::from_str_radix(n.as_str(), n.radix()).ok()? as f64,
        DeValue::Float(x) => x.as_str().parse().ok()?,
        _ => return None,
    };
    // NaN and infinity, which TOML can write, are within no range.
    (min..=max).contains(&number).then_some(number)
}

/// The known key most like the given one: one that begins with it (a unit left out), or one with no more than a third
/// of its letters to change.
fn nearest(given: &str, known: &[&str]) -> Option<String> {
    if let Some(name) = known.iter().find(|name| name.starts_with(given)) {
        return Some((*name).to_owned());
    }
    let best = known
        .iter()
        .map(|&name| (names::distance(given, name), name))
        .min()?;
    (3 * best.0 <= given.chars().count().max(3)).then(|| best.1.to_owned())
}
