//! Variants of a design: the same file with other values in some places.

use std::borrow::Cow;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::error::Error;
use crate::names;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::{Document, Section, name_in_list};
use crate::rig::reading::Reading;

/// A place in the file, and what a variant has there.
type Change<'a> = (Spanned<Cow<'a, str>>, Spanned<DeValue<'a>>);

/// The names of the variants, in the order of the file; what is wrong with their sections is noted.
pub(super) fn read_names(root: &Section<'_>, mistakes: &mut Mistakes) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for section in mistakes.take(root.list("variant")) {
        let read = section.and_then(|section| {
            let mut reading = Reading::new(&section);
            let name = reading.text("name");
            let changes = section.changes("changes");
            let changes = changes.and_then(|changes| section.required("changes", changes));
            reading.note(changes);
            reading.note(section.texts("removes"));
            if names.contains(&name) {
                let name = name.clone();
                let problem = Problem::DuplicateName { name };
                reading.note::<()>(Err(section.error_at("name", problem)));
            }
            reading.done().map(|()| name)
        });
        names.extend(mistakes.note(read));
    }
    names
}

impl<'a> Document<'a> {
    /// A file, as one of its variants has it if there is a name.
    ///
    /// # Errors
    /// As [`Document::parse`] and [`Document::varied`].
    pub(super) fn of(
        file: &'a str,
        text: &'a str,
        variant: Option<&str>,
    ) -> Result<Self, DesignError> {
        let document = Self::parse(file, text)?;
        match variant {
            Some(name) => document.varied(name),
            None => Ok(document),
        }
    }

    /// The document as a variant has it. Its sections have been read.
    ///
    /// # Errors
    /// For a variant that there is not, and for places that the file does not have.
    fn varied(mut self, name: &str) -> Result<Self, DesignError> {
        let (changes, removes) = self.changes_of(name)?;
        let mut mistakes = Mistakes::default();
        for (place, value) in changes {
            let changed = change(self.root.get_mut(), place.get_ref(), &place, value);
            let at = place.span().start;
            mistakes.note(changed.map_err(|error| self.wrong_place(at, place.get_ref(), error)));
        }
        for place in removes {
            let removed = remove(self.root.get_mut(), place.get_ref());
            let at = place.span().start;
            mistakes.note(removed.map_err(|error| self.wrong_place(at, place.get_ref(), error)));
        }
        mistakes.done().map(|()| self)
    }

    fn wrong_place(&self, start: usize, place: &str, error: Error) -> DesignError {
        self.error_at(start, place.to_owned(), Problem::Refused(error))
    }

    /// What a variant has otherwise, and what it has not.
    fn changes_of(
        &self,
        name: &str,
    ) -> Result<(Vec<Change<'a>>, Vec<Spanned<String>>), DesignError> {
        let variants = match self.root.get_ref().get("variant").map(Spanned::get_ref) {
            Some(DeValue::Array(variants)) => &variants[..],
            _ => &[],
        };
        let named: Vec<(String, &DeValue<'a>)> = variants
            .iter()
            .enumerate()
            .map(|(number, item)| (name_in_list(item.get_ref(), number), item.get_ref()))
            .collect();
        let found = names::find("variant of the design", name, &named, |(name, _)| name);
        let found = found.map_err(|error| self.of_whole(Problem::Refused(error)))?;
        let (DeValue::Table(table), mut changes, mut removes) = (found.1, Vec::new(), Vec::new())
        else {
            return Ok(Default::default());
        };
        if let Some(DeValue::Table(given)) = table.get("changes").map(Spanned::get_ref) {
            flatten(self.root.get_ref(), given, "", &mut changes);
        }
        if let Some(DeValue::Array(given)) = table.get("removes").map(Spanned::get_ref) {
            for place in given.iter() {
                if let DeValue::String(text) = place.get_ref() {
                    removes.push(Spanned::new(place.span(), text.to_string()));
                }
            }
        }
        Ok((changes, removes))
    }
}

/// All changes, those within a table that stands for a section one by one.
fn flatten<'a>(root: &DeTable<'a>, given: &DeTable<'a>, path: &str, changes: &mut Vec<Change<'a>>) {
    for (key, value) in given {
        let place = if path.is_empty() {
            key.get_ref().to_string()
        } else {
            format!("{path}.{}", key.get_ref())
        };
        match value.get_ref() {
            DeValue::Table(inner) if is_section(root, &place) => {
                flatten(root, inner, &place, changes);
            }
            _ => changes.push((Spanned::new(key.span(), Cow::Owned(place)), value.clone())),
        }
    }
}

/// Whether a place is a section of the file, and no number with a tolerance.
fn is_section(root: &DeTable<'_>, place: &str) -> bool {
    let is_list = |items: &[Spanned<DeValue<'_>>]| {
        items
            .iter()
            .all(|item| matches!(item.get_ref(), DeValue::Table(_)))
    };
    match found(root, place) {
        Some(DeValue::Table(table)) => !table.contains_key("value"),
        Some(DeValue::Array(items)) => is_list(items),
        _ => false,
    }
}

/// The value at a place: a section or a value by its name, one of a list of sections by the name that it has, one of
/// several numbers by its place among them.
fn found<'t, 'a>(table: &'t DeTable<'a>, place: &str) -> Option<&'t DeValue<'a>> {
    if let Some(value) = table.get(place) {
        return Some(value.get_ref());
    }
    let splits = place
        .match_indices('.')
        .map(|(at, _)| (&place[..at], &place[at + 1..]));
    splits
        .into_iter()
        .find_map(|(head, rest)| match table.get(head)?.get_ref() {
            DeValue::Table(inner) => found(inner, rest),
            DeValue::Array(items) => items.iter().enumerate().find_map(|(number, item)| {
                let rest = rest.strip_prefix(&name_in_list(item.get_ref(), number))?;
                match (item.get_ref(), rest.strip_prefix('.')) {
                    (value, None) => rest.is_empty().then_some(value),
                    (DeValue::Table(inner), Some(rest)) => found(inner, rest),
                    _ => None,
                }
            }),
            _ => None,
        })
}

/// The table that a place lies in, and its name there; or the number of a list that it is.
enum Spot<'t, 'a> {
    Key(&'t mut DeTable<'a>, String),
    Item(&'t mut Spanned<DeValue<'a>>),
}

fn spot<'t, 'a>(table: &'t mut DeTable<'a>, place: &str) -> Option<Spot<'t, 'a>> {
    if table.contains_key(place) || !place.contains('.') {
        return Some(Spot::Key(table, place.to_owned()));
    }
    let splits = place.match_indices('.').map(|(at, _)| at);
    let at = splits
        .into_iter()
        .find(|&at| table.contains_key(&place[..at]))?;
    let (head, rest) = (&place[..at], &place[at + 1..]);
    match table.get_mut(head)?.get_mut() {
        DeValue::Table(inner) => spot(inner, rest),
        DeValue::Array(items) => {
            // Of names that begin alike the longest that fits.
            let mut fits: Vec<(usize, String)> = items
                .iter()
                .enumerate()
                .map(|(number, item)| (number, name_in_list(item.get_ref(), number)))
                .filter(|(_, name)| {
                    rest.strip_prefix(name.as_str())
                        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
                })
                .collect();
            fits.sort_by_key(|(_, name)| name.len());
            let (number, name) = fits.pop()?;
            let rest = rest[name.len()..].strip_prefix('.').map(ToOwned::to_owned);
            let item = items.get_mut(number)?;
            match (rest, matches!(item.get_ref(), DeValue::Table(_))) {
                (Some(rest), true) => match item.get_mut() {
                    DeValue::Table(inner) => spot(inner, &rest),
                    _ => None,
                },
                (None, false) => Some(Spot::Item(item)),
                _ => None,
            }
        }
        _ => None,
    }
}

fn change<'a>(
    root: &mut DeTable<'a>,
    place: &str,
    key: &Spanned<Cow<'a, str>>,
    value: Spanned<DeValue<'a>>,
) -> Result<(), Error> {
    let unknown = no_place(root, place);
    match spot(root, place) {
        Some(Spot::Key(table, name)) if !name.is_empty() => {
            table.insert(Spanned::new(key.span(), Cow::Owned(name)), value);
            Ok(())
        }
        Some(Spot::Item(item)) => {
            *item = value;
            Ok(())
        }
        _ => Err(unknown),
    }
}

fn remove(root: &mut DeTable<'_>, place: &str) -> Result<(), Error> {
    let unknown = no_place(root, place);
    match spot(root, place) {
        Some(Spot::Key(table, name)) if table.contains_key(name.as_str()) => {
            table.remove(name.as_str());
            Ok(())
        }
        _ => Err(unknown),
    }
}

/// That the file has no such place, with those that look most like it.
fn no_place(root: &DeTable<'_>, place: &str) -> Error {
    let mut places = Vec::new();
    collect(root, "", &mut places);
    let found = names::find("place in the file", place, &places, String::as_str);
    found.map_or_else(
        |error| error,
        |known| Error::UnknownName {
            quantity: "place in the file",
            given: place.to_owned(),
            near: known.clone(),
        },
    )
}

fn collect(table: &DeTable<'_>, path: &str, places: &mut Vec<String>) {
    for (key, value) in table {
        let place = if path.is_empty() {
            key.get_ref().to_string()
        } else {
            format!("{path}.{}", key.get_ref())
        };
        match value.get_ref() {
            DeValue::Table(inner) => collect(inner, &place, places),
            DeValue::Array(items) => {
                places.push(place.clone());
                for (number, item) in items.iter().enumerate() {
                    if let DeValue::Table(inner) = item.get_ref() {
                        let name = name_in_list(item.get_ref(), number);
                        collect(inner, &format!("{place}.{name}"), places);
                    }
                }
            }
            _ => places.push(place),
        }
    }
}
