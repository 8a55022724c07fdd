//! Reading TOML so that every mistake can be told with its line, key, value and what is allowed.
//!
//! The parsed tree with its positions is walked by hand against the table of keys, because an error of a derived
//! deserializer knows neither the value nor the range of the key that it stumbles on.

use std::borrow::Cow;
use std::ops::Range;
use std::path::{Path, PathBuf};

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::error::Error;
use crate::names;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::keys::{AXIS, Allowed, Key, Need, STICK, keys_of, section_kind, subsections};
use crate::rig::numbers::{MetNumber, Numbers};
use crate::rig::toleranced::{KeySlot, Misread, Toleranced, number_within, numbers_within};

/// Most letters of the name of a control: what a table of several has room for.
const MOST_LETTERS: usize = 60;

/// The text and its name, for messages.
pub(super) struct Document<'a> {
    file: &'a str,
    text: &'a str,
    pub(super) root: Spanned<DeTable<'a>>,
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

    /// An error at a place in the text.
    pub(super) fn error_at(&self, start: usize, key: String, problem: Problem) -> DesignError {
        let (file, text) = (self.file, self.text);
        Place { file, text }.error(start, key, problem)
    }

    /// An error about the file as a whole.
    pub(super) fn of_whole(&self, problem: Problem) -> DesignError {
        DesignError::of_file(self.file.to_owned(), problem)
    }

    /// The top of the file, to be read with these numbers.
    pub(super) fn root<'s>(&'s self, numbers: &'s Numbers) -> Section<'s> {
        Section {
            place: Place {
                file: self.file,
                text: self.text,
            },
            table: self.root.get_ref(),
            start: 0,
            kind: "",
            word: None,
            path: String::new(),
            named: String::new(),
            numbers,
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
            column: self.column(offset),
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

    /// The letter of its line at which an offset stands, counted from 1.
    fn column(&self, offset: usize) -> usize {
        let before = self.text.get(..offset).unwrap_or(self.text);
        let line = before.rsplit('\n').next().unwrap_or_default();
        1 + line.chars().count()
    }

    /// The line of an offset in the text, counted from 1.
    fn line(&self, offset: usize) -> usize {
        let before = &self.text.as_bytes()[..offset.min(self.text.len())];
        1 + before.iter().filter(|&&byte| byte == b'\n').count()
    }
}

/// Sections by name, or in a list; one that is no table is a mistake.
pub(super) type Parts<'a> = Vec<(String, Result<Section<'a>, DesignError>)>;

/// One table of the file.
#[derive(Clone)]
pub(super) struct Section<'a> {
    place: Place<'a>,
    table: &'a DeTable<'a>,
    /// Where the table begins in the text.
    start: usize,
    /// The section in the table of keys.
    kind: &'static str,
    /// Which of its kinds it is, if that is known.
    word: Option<String>,
    /// The section as the file writes it.
    path: String,
    /// The same with the name of the control that it is: `axis.rudder`.
    named: String,
    numbers: &'a Numbers,
}

impl<'a> Section<'a> {
    /// The same, known to be of a kind: so it has the keys of that kind only.
    pub(super) fn of_kind(&self, word: impl ToString) -> Self {
        Self {
            word: Some(word.to_string()),
            ..self.clone()
        }
    }

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

    /// The error of a value that its key may hold, but not here.
    pub(super) fn not_here(&self, name: &str, allowed: impl Into<String>) -> DesignError {
        let value = self.table.get(name);
        let value = value.map_or("", |value| self.place.written(value.span()));
        self.error_at(
            name,
            Problem::NotAllowed {
                value: value.to_owned(),
                allowed: allowed.into(),
            },
        )
    }

    /// The error of a key that is missing because of what others say.
    pub(super) fn missing(&self, name: &str) -> DesignError {
        let allowed = self.key(name).allowed_text();
        self.meant(name)
            .unwrap_or_else(|| self.error_at(name, Problem::MissingKey { allowed }))
    }

    /// Whether it has a key.
    pub(super) fn has(&self, name: &str) -> bool {
        self.table.contains_key(name)
    }

    fn key_path(&self, name: &str) -> String {
        below(&self.path, name)
    }

    /// Its keys, of whichever kind.
    fn keys_of_all(&self) -> impl Iterator<Item = &'static Key> + use<> {
        keys_of(self.kind).iter().copied()
    }

    /// Its keys.
    fn keys(&self) -> impl Iterator<Item = &'static Key> {
        let word = self.word.as_deref();
        self.keys_of_all().filter(move |key| key.is_of(word))
    }

    /// Refuses keys that the table of keys does not have.
    pub(super) fn check_keys(&self) -> Result<(), DesignError> {
        if self.numbers.are_of_a_build() {
            return Ok(());
        }
        let mut mistakes = Mistakes::default();
        for (error, _) in self.unknown_keys() {
            mistakes.note::<()>(Err(error));
        }
        mistakes.done()
    }

    /// The mistake that stands in the place of a key: one that is not known and looks most like it.
    pub(super) fn meant(&self, name: &str) -> Option<DesignError> {
        if self.numbers.are_of_a_build() {
            return None;
        }
        let unknown = self.unknown_keys().into_iter();
        let mut meant = unknown.filter(|(_, meant)| meant.as_deref() == Some(name));
        meant.next().map(|(error, _)| error)
    }

    /// The keys that the table of keys does not have, each with the known one that it looks most like.
    fn unknown_keys(&self) -> Vec<(DesignError, Option<String>)> {
        let mut known: Vec<&str> = Vec::new();
        let sections = subsections(self.kind).iter().copied();
        for name in self.keys().map(|key| key.name).chain(sections) {
            if !known.contains(&name) {
                known.push(name);
            }
        }
        let unknown = |(name, value): (&Spanned<Cow<'a, str>>, &Spanned<DeValue<'a>>)| {
            let text: &str = name.get_ref();
            if known.contains(&text) {
                return None;
            }
            let value = self.place.written(value.span()).to_owned();
            let path = self.key_path(text);
            let at = name.span().start;
            if let Some(problem) = self.of_other_kinds(text, &value) {
                return Some((self.place.error(at, path, problem), None));
            }
            let meant = nearest(text, &known);
            let suggestion = meant.clone().map(|name| {
                let key = self.keys().find(|key| key.name == name);
                key.map_or(name.clone(), |key| {
                    format!("{name} ({})", key.allowed_text())
                })
            });
            let problem = Problem::UnknownKey {
                value,
                suggestion,
                known: known.join(", "),
            };
            Some((self.place.error(at, path, problem), meant))
        };
        self.table.iter().filter_map(unknown).collect()
    }

    /// What is wrong with a key that only other kinds of this section have.
    fn of_other_kinds(&self, name: &str, value: &str) -> Option<Problem> {
        let (by, word) = (section_kind(self.kind).by?, self.word.as_ref()?);
        let others = self.keys_of_all().filter(|key| key.name == name);
        let kinds: Vec<&str> = others.flat_map(|key| key.kinds).copied().collect();
        (!kinds.is_empty()).then(|| Problem::OtherKind {
            value: value.to_owned(),
            by,
            word: word.clone(),
            kinds: kinds.join(", "),
        })
    }

    fn subsection(
        &self,
        value: &'a Spanned<DeValue<'a>>,
        kind: &'static str,
        path: String,
        named: String,
    ) -> Result<Self, DesignError> {
        let DeValue::Table(table) = value.get_ref() else {
            return Err(self.not_allowed(value.span(), path, format!("a table [{kind}]")));
        };
        Ok(Section {
            place: self.place,
            table,
            start: value.span().start,
            kind,
            word: None,
            path,
            named,
            numbers: self.numbers,
        })
    }

    /// The numbers that it is read with.
    pub(super) fn numbers_met(&self) -> &'a Numbers {
        self.numbers
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
            let path = format!("{kind}.{name}");
            let section = self.subsection(value, kind, path.clone(), path);
            (name, section)
        };
        Ok(table.iter().map(part).collect())
    }

    /// The sections of a list, such as `[[part]]`, in the order of the file; none where there is no such list.
    pub(super) fn list(
        &self,
        kind: &'static str,
    ) -> Result<Vec<Result<Section<'a>, DesignError>>, DesignError> {
        self.items(kind, kind)
    }

    /// Axes and sticks in the order of the file, at least one, each with its section in the table of keys.
    pub(super) fn controls(&self) -> Result<Parts<'a>, DesignError> {
        let mut controls = Vec::new();
        let mut mistakes = Mistakes::default();
        for kind in [AXIS, STICK] {
            let sections = mistakes.take(self.list(kind)).into_iter();
            controls.extend(sections.map(|section| (kind.to_owned(), section)));
        }
        mistakes.done()?;
        if controls.is_empty() {
            let allowed = format!("one or more [[{AXIS}]] or [[{STICK}]]");
            return Err(self
                .place
                .error(0, AXIS.to_owned(), Problem::MissingKey { allowed }));
        }
        controls.sort_by_key(|(_, section)| match section {
            Ok(section) => section.start,
            Err(error) => error.line,
        });
        Ok(controls)
    }

    /// A list of tables within it, empty if it has none: `name` in the file, `kind` in the table of keys.
    pub(super) fn list_within(
        &self,
        name: &'static str,
        kind: &'static str,
    ) -> Result<Vec<Section<'a>>, DesignError> {
        self.items(name, kind)?.into_iter().collect()
    }

    /// The tables of a list, each or what is wrong with it.
    fn items(
        &self,
        name: &'static str,
        kind: &'static str,
    ) -> Result<Vec<Result<Section<'a>, DesignError>>, DesignError> {
        let Some(value) = self.table.get(name) else {
            return self.meant(name).map_or(Ok(Vec::new()), Err);
        };
        let path = self.key_path(name);
        let items = match value.get_ref() {
            DeValue::Array(items) if !items.is_empty() => items.iter().enumerate(),
            _ => {
                let wanted = format!("one or more [[{path}]]");
                return Err(self.not_allowed(value.span(), path, wanted));
            }
        };
        let list = below(&self.named, name);
        let section = |(number, item): (usize, &'a Spanned<DeValue<'a>>)| {
            let named = format!("{list}.{}", name_in_list(item.get_ref(), number));
            self.subsection(item, kind, path.clone(), named)
        };
        Ok(items.map(section).collect())
    }

    /// A path that the file gives from the folder in which it stands itself.
    pub(super) fn beside(&self, path: &str) -> PathBuf {
        let folder = Path::new(self.place.file).parent();
        folder.map_or_else(|| PathBuf::from(path), |folder| folder.join(path))
    }

    /// A table within it, if it has that: `name` in the file, `kind` in the table of keys.
    pub(super) fn table(
        &self,
        name: &'static str,
        kind: &'static str,
    ) -> Result<Option<Section<'a>>, DesignError> {
        let value = self.table.get(name);
        let named = || below(&self.named, name);
        value
            .map(|value| self.subsection(value, kind, self.key_path(name), named()))
            .transpose()
    }

    /// A table within it that must be there.
    pub(super) fn required_table(
        &self,
        name: &'static str,
        kind: &'static str,
    ) -> Result<Section<'a>, DesignError> {
        let missing = || {
            let allowed = format!("a table [{}.{name}]", self.path);
            self.meant(name)
                .unwrap_or_else(|| self.error_at(name, Problem::MissingKey { allowed }))
        };
        self.table(name, kind)?.ok_or_else(missing)
    }

    fn not_allowed(&self, span: Range<usize>, key: String, allowed: String) -> DesignError {
        let value = self.place.written(span.clone()).to_owned();
        self.place
            .error(span.start, key, Problem::NotAllowed { value, allowed })
    }

    /// The entry of the table of keys. Every name that the code asks for is in it (tested by reading complete files).
    fn key(&self, name: &str) -> Key {
        let found = self.keys().find(|key| key.name == name);
        *found.unwrap_or(&Key {
            section: "",
            name: "",
            allowed: Allowed::Text,
            need: Need::Always,
            kinds: &[],
            meaning: "",
        })
    }

    fn value(&self, name: &str) -> Result<Option<&'a Spanned<DeValue<'a>>>, DesignError> {
        let value = self.table.get(name);
        let needed = match self.key(name).need {
            Need::Always => true,
            Need::Optional => false,
            Need::Unless(other) => !self.has(other),
        };
        if value.is_none() && needed {
            return Err(self.missing(name));
        }
        Ok(value)
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

    /// A number in the unit of its key: the one way on which each is read, with its tolerance or without.
    pub(super) fn number(&self, name: &str) -> Result<Option<f64>, DesignError> {
        let Some(value) = self.value(name)? else {
            return Ok(None);
        };
        let key = self.key(name);
        let Allowed::Number(min, max) = key.allowed else {
            return Err(self.misread(&key, name, value, Misread::WHOLE));
        };
        let given = Toleranced::read(value.get_ref(), [min, max], &key)
            .map_err(|misread| self.misread(&key, name, value, misread))?;
        self.meet(&key, name, value.span().start, None, &given)?;
        Ok(Some(given.value))
    }

    /// What is wrong with a value, and where.
    fn misread(
        &self,
        key: &Key,
        name: &str,
        value: &Spanned<DeValue<'_>>,
        misread: Misread,
    ) -> DesignError {
        let path = self.key_path(name);
        self.not_allowed(
            misread.span.unwrap_or_else(|| value.span()),
            misread
                .part
                .map_or(path.clone(), |part| below(&path, &part)),
            misread.allowed.unwrap_or_else(|| key.allowed_text()),
        )
    }

    /// Notes a number that may vary, one of several if it has a place among them.
    fn meet(
        &self,
        key: &Key,
        name: &str,
        start: usize,
        place: Option<usize>,
        given: &Toleranced,
    ) -> Result<(), DesignError> {
        if self.numbers.are_of_a_build() || !key.may_vary() {
            return Ok(());
        }
        if let Some(allowed) = given.outside(key) {
            let value = given.value.to_string();
            let problem = Problem::NotAllowed { value, allowed };
            return Err(self.place.error(start, self.key_path(name), problem));
        }
        let input = below(&self.named, name);
        let input = place.map_or(input.clone(), |place| below(&input, &place.to_string()));
        let line = self.place.line(start);
        let tolerance = given.tolerance(&self.key_path(name), &input, line);
        let tolerance = tolerance.transpose().map_err(|error| {
            self.place
                .error(start, self.key_path(name), Problem::Refused(error))
        })?;
        self.numbers.meet(start, || MetNumber {
            slot: given.slot.map(|ends| KeySlot {
                input: input.clone(),
                line,
                unit: key.unit().to_owned(),
                setting: given.value,
                ends,
            }),
            name: input,
            line,
            key: *key,
            value: given.value,
            tolerance,
        });
        Ok(())
    }

    /// What stands in the place of a number, in the unit of its key, if that may hold it.
    fn drawn(&self, key: &Key, name: &str, start: usize) -> Result<Option<f64>, DesignError> {
        let Some(drawn) = self.numbers.drawn(start) else {
            return Ok(None);
        };
        if key.holds(drawn) {
            return Ok(Some(drawn));
        }
        let problem = Problem::NotAllowed {
            value: drawn.to_string(),
            allowed: key.allowed_text(),
        };
        Err(self.place.error(start, self.key_path(name), problem))
    }

    /// A number in SI.
    pub(super) fn si(&self, name: &str) -> Result<Option<f64>, DesignError> {
        let key = self.key(name);
        let start = self.table.get(name).map(|value| value.span().start);
        if let Some(start) = start
            && let Some(drawn) = self.drawn(&key, name, start)?
        {
            return Ok(Some(key.in_si(drawn)));
        }
        Ok(self.number(name)?.map(|value| key.in_si(value)))
    }

    /// A list of `N` numbers in SI, each with its tolerance or without.
    pub(super) fn numbers<const N: usize>(
        &self,
        name: &str,
    ) -> Result<Option<[f64; N]>, DesignError> {
        let key = self.key(name);
        let Some(value) = self.value(name)? else {
            return Ok(None);
        };
        let (DeValue::Array(items), Allowed::Numbers(_, min, max)) = (value.get_ref(), key.allowed)
        else {
            return Err(self.misread(&key, name, value, Misread::WHOLE));
        };
        let one = |item: &Spanned<DeValue<'a>>| {
            let given = Toleranced::read(item.get_ref(), [min, max], &key);
            given.map(|given| (item.span().start, given))
        };
        let items: Vec<_> = items
            .iter()
            .map(one)
            .collect::<Result<_, _>>()
            .map_err(|misread| self.misread(&key, name, value, misread))?;
        let given = <[(usize, Toleranced); N]>::try_from(items)
            .map_err(|_| self.misread(&key, name, value, Misread::WHOLE))?;
        let mut values = [0.0; N];
        for (place, (value, (start, given))) in values.iter_mut().zip(given).enumerate() {
            self.meet(&key, name, start, Some(place), &given)?;
            let drawn = self.drawn(&key, name, start)?;
            *value = key.in_si(drawn.unwrap_or(given.value));
        }
        Ok(Some(values))
    }

    /// Numbers in SI, as many as the key allows.
    pub(super) fn series(&self, name: &str) -> Result<Option<Vec<f64>>, DesignError> {
        let key = self.key(name);
        let numbers = self.read(name, |value, allowed| {
            let (DeValue::Array(items), Allowed::Series(least, most, min, max)) = (value, allowed)
            else {
                return None;
            };
            let numbers = items
                .iter()
                .map(|item| number_within(item.get_ref(), min, max));
            let numbers: Vec<f64> = numbers.collect::<Option<_>>()?;
            (least..=most).contains(&numbers.len()).then_some(numbers)
        })?;
        let in_si = |numbers: Vec<f64>| numbers.into_iter().map(|value| key.in_si(value)).collect();
        Ok(numbers.map(in_si))
    }

    /// Lists of `N` numbers in SI.
    pub(super) fn rows<const N: usize>(
        &self,
        name: &str,
    ) -> Result<Option<Vec<[f64; N]>>, DesignError> {
        let key = self.key(name);
        let rows = self.read(name, |value, allowed| {
            let (DeValue::Array(items), Allowed::Rows(_, least, most, min, max)) = (value, allowed)
            else {
                return None;
            };
            let rows = items
                .iter()
                .map(|item| numbers_within::<N>(item.get_ref(), min, max));
            let rows: Vec<[f64; N]> = rows.collect::<Option<_>>()?;
            (least..=most).contains(&rows.len()).then_some(rows)
        })?;
        let in_si = |row: [f64; N]| row.map(|value| key.in_si(value));
        Ok(rows.map(|rows| rows.into_iter().map(in_si).collect()))
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

    /// Yes or no.
    pub(super) fn flag(&self, name: &str) -> Result<Option<bool>, DesignError> {
        self.read(name, |value, _| match value {
            DeValue::Boolean(flag) => Some(*flag),
            _ => None,
        })
    }

    /// Text that is not empty: a name or a title.
    pub(super) fn text(&self, name: &str) -> Result<Option<String>, DesignError> {
        self.read(name, |value, allowed| match value {
            DeValue::String(text) if allowed == Allowed::Name => {
                let fits = !text.trim().is_empty() && text.chars().count() <= MOST_LETTERS;
                fits.then(|| text.to_string())
            }
            DeValue::String(text) if !text.trim().is_empty() => Some(text.to_string()),
            _ => None,
        })
    }

    /// Several texts, at least one.
    pub(super) fn texts(&self, name: &str) -> Result<Option<Vec<String>>, DesignError> {
        self.read(name, |value, _| match value {
            DeValue::Array(items) if !items.is_empty() => {
                let text = |item: &Spanned<DeValue<'a>>| match item.get_ref() {
                    DeValue::String(text) => Some(text.to_string()),
                    _ => None,
                };
                items.iter().map(text).collect()
            }
            _ => None,
        })
    }

    /// A table of changes, not empty, which is looked at elsewhere.
    pub(super) fn changes(&self, name: &str) -> Result<Option<()>, DesignError> {
        self.read(name, |value, _| match value {
            DeValue::Table(table) => (!table.is_empty()).then_some(()),
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

    /// A value that [`Key::need`] says must be there, after one of the readers above: they have refused its absence.
    pub(super) fn required<T>(&self, name: &str, value: Option<T>) -> Result<T, DesignError> {
        value.ok_or_else(|| self.missing(name))
    }
}

/// A name below a path, which may be empty.
fn below(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

/// What a section of a list is called: by its name, or by its place where it has none.
pub(super) fn name_in_list(item: &DeValue<'_>, number: usize) -> String {
    let name = match item {
        DeValue::Table(table) => table.get("name").map(Spanned::get_ref),
        _ => None,
    };
    match name {
        Some(DeValue::String(name)) => name.to_string(),
        _ => number.to_string(),
    }
}

/// The known key most like the given one: one that begins with it (a unit left out), or one with no more than a third
/// of its letters to change.
pub(super) fn nearest(given: &str, known: &[&str]) -> Option<String> {
    if let Some(name) = known.iter().find(|name| name.starts_with(given)) {
        return Some((*name).to_owned());
    }
    let best = known
        .iter()
        .map(|&name| (names::distance(given, name), name))
        .min()?;
    (3 * best.0 <= given.chars().count().max(3)).then(|| best.1.to_owned())
}
