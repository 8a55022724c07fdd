//! Parts of one kind by their names.

use std::collections::BTreeMap;

use crate::rig::design_error::{DesignError, Mistakes, Problem, shown_names};
use crate::rig::document::Section;
use crate::rig::numbers::Reached;

/// The parts of one kind by name, or the mistake that was found in reading each.
pub(in crate::rig) struct ByName<T> {
    kind: &'static str,
    parts: Result<BTreeMap<String, Part<T>>, DesignError>,
}

/// One part, or the mistake in it, with all that reaches it.
type Part<T> = (Result<T, DesignError>, Reached);

impl<T> ByName<T> {
    pub(super) fn read(
        root: &Section<'_>,
        kind: &'static str,
        mistakes: &mut Mistakes,
        read: impl Fn(&Section<'_>) -> Result<T, DesignError>,
    ) -> Self {
        Self::read_in_order(root, kind, mistakes, |section, _| read(section), |_| true)
    }

    /// As [`ByName::read`], where some parts are made of others: those that are `first` are read first.
    pub(super) fn read_in_order(
        root: &Section<'_>,
        kind: &'static str,
        mistakes: &mut Mistakes,
        read: impl Fn(&Section<'_>, &Self) -> Result<T, DesignError>,
        first: impl Fn(&Section<'_>) -> bool,
    ) -> Self {
        let mut all = Self {
            kind,
            parts: Ok(BTreeMap::new()),
        };
        let sections = match root.parts(kind) {
            Ok(sections) => sections,
            Err(error) => {
                mistakes.note::<()>(Err(error.clone()));
                all.parts = Err(error);
                return all;
            }
        };
        let is_first =
            |section: &Result<Section<'_>, DesignError>| section.as_ref().map_or(true, &first);
        let numbers = root.numbers_met();
        let (first, then): (Vec<_>, Vec<_>) = sections
            .into_iter()
            .filter(|(name, _)| numbers.reads(kind, name))
            .partition(|(_, section)| is_first(section));
        for some in [first, then] {
            let read = |(name, section): (String, Result<Section<'_>, DesignError>)| {
                let part = numbers.reaching(|| section.and_then(|section| read(&section, &all)));
                (name, part)
            };
            let some: Vec<_> = some.into_iter().map(read).collect();
            for (name, part) in some {
                mistakes.note(part.0.as_ref().map_err(Clone::clone));
                if let Ok(parts) = &mut all.parts {
                    parts.insert(name, part);
                }
            }
        }
        all
    }

    /// Those that could be read, by their names.
    pub(in crate::rig) fn all(&self) -> impl Iterator<Item = (&str, &T)> {
        let parts = self.parts.iter().flatten();
        parts.filter_map(|(name, (part, _))| Some((name.as_str(), part.as_ref().ok()?)))
    }

    /// The part that a section names by a key. One with a mistake gives that mistake again.
    pub(in crate::rig) fn of(&self, section: &Section<'_>, key: &str) -> Result<&T, DesignError> {
        let name = section.text(key)?;
        let given = section.required(key, name)?;
        self.named(section, key, &given)
    }

    /// The same of a key that may be left out.
    pub(in crate::rig) fn maybe(
        &self,
        section: &Section<'_>,
        key: &str,
    ) -> Result<Option<&T>, DesignError> {
        let name = section.text(key)?;
        name.map(|given| self.named(section, key, &given))
            .transpose()
    }

    /// The part of a name that a key of a section has.
    pub(in crate::rig) fn named(
        &self,
        section: &Section<'_>,
        key: &str,
        given: &str,
    ) -> Result<&T, DesignError> {
        let parts = self.parts.as_ref().map_err(Clone::clone)?;
        let unknown = || {
            let problem = Problem::UnknownPart {
                given: given.to_owned(),
                section: self.kind,
                known: shown_names(parts.keys().map(String::as_str)),
            };
            section.error_at(key, problem)
        };
        let (part, reached) = parts.get(given).ok_or_else(unknown)?;
        section.numbers_met().use_part(self.kind, given, reached);
        part.as_ref().map_err(Clone::clone)
    }
}
