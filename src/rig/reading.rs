//! Reading one section to its end, whatever is wrong in it: values in SI, mistakes kept for later.

use std::str::FromStr;

use nalgebra::{Point3, Vector3};

use crate::error::Error;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::Section;

/// A section and the mistakes found in it so far. What a reader gives after a mistake is a stand-in, which nobody
/// uses: [`Reading::done`] comes before.
pub(super) struct Reading<'s, 'a> {
    section: &'s Section<'a>,
    mistakes: Mistakes,
}

impl<'s, 'a> Reading<'s, 'a> {
    /// Begins with the keys that the section should not have.
    pub(super) fn new(section: &'s Section<'a>) -> Self {
        let mut mistakes = Mistakes::default();
        mistakes.note(section.check_keys());
        Self { section, mistakes }
    }

    /// Begins without them, where another reader of the section tells them.
    pub(super) fn of_some(section: &'s Section<'a>) -> Self {
        Self {
            section,
            mistakes: Mistakes::default(),
        }
    }

    /// Keeps a mistake.
    pub(super) fn note<T>(&mut self, read: Result<T, DesignError>) -> Option<T> {
        self.mistakes.note(read)
    }

    /// Keeps what is wrong with the value of one key.
    pub(super) fn check<T>(&mut self, name: &str, made: Result<T, Error>) -> Option<T> {
        let at_key = |error| self.section.error_at(name, Problem::Refused(error));
        let made = made.map_err(at_key);
        self.note(made)
    }

    /// The mistakes, if there are any.
    pub(super) fn done(self) -> Result<(), DesignError> {
        self.mistakes.done()
    }

    /// Whether the section has a key.
    pub(super) fn has(&self, name: &str) -> bool {
        self.section.has(name)
    }

    /// Refuses a key beside another one that says the same.
    pub(super) fn excludes(&mut self, name: &str, other: &'static str) {
        if self.has(name) && self.has(other) {
            let given = self.section.not_here(name, "");
            let Problem::NotAllowed { value, .. } = *given.problem else {
                return;
            };
            let problem = Problem::Excluded { value, other };
            self.note::<()>(Err(self.section.error_at(name, problem)));
        }
    }

    /// Refuses the value of a key that may hold it, but not here.
    pub(super) fn not_here(&mut self, name: &str, allowed: &str) {
        let error = self.section.not_here(name, allowed);
        self.note::<()>(Err(error));
    }

    /// Refuses the absence of a key that others ask for.
    pub(super) fn needs(&mut self, name: &str) {
        if !self.has(name) {
            self.note::<()>(Err(self.section.missing(name)));
        }
    }

    /// Refuses the absence of any of them.
    pub(super) fn needs_all(&mut self, names: &[&str]) {
        for name in names {
            self.needs(name);
        }
    }

    /// A number that may be left out.
    pub(super) fn maybe(&mut self, name: &str) -> Option<f64> {
        self.note(self.section.si(name)).flatten()
    }

    /// A number, or what stands for it where it may be left out.
    pub(super) fn number_or(&mut self, name: &str, other: f64) -> f64 {
        self.maybe(name).unwrap_or(other)
    }

    /// A number that must be there.
    pub(super) fn number(&mut self, name: &str) -> f64 {
        let value = self.section.si(name);
        let value = value.and_then(|value| self.section.required(name, value));
        self.note(value).unwrap_or_default()
    }

    /// `N` numbers that may be left out.
    pub(super) fn maybe_numbers<const N: usize>(&mut self, name: &str) -> Option<[f64; N]> {
        self.note(self.section.numbers(name)).flatten()
    }

    /// `N` numbers that must be there.
    pub(super) fn numbers<const N: usize>(&mut self, name: &str) -> [f64; N] {
        let value = self.section.numbers(name);
        let value = value.and_then(|value| self.section.required(name, value));
        self.note(value).unwrap_or([0.0; N])
    }

    /// A vector that may be left out.
    pub(super) fn maybe_vector(&mut self, name: &str) -> Option<Vector3<f64>> {
        self.maybe_numbers::<3>(name).map(Vector3::from)
    }

    /// A vector that must be there.
    pub(super) fn vector(&mut self, name: &str) -> Vector3<f64> {
        self.numbers::<3>(name).into()
    }

    /// A point that must be there.
    pub(super) fn point(&mut self, name: &str) -> Point3<f64> {
        self.numbers::<3>(name).into()
    }

    /// Lists of `N` numbers that must be there.
    pub(super) fn rows<const N: usize>(&mut self, name: &str) -> Vec<[f64; N]> {
        let value = self.section.rows(name);
        let value = value.and_then(|value| self.section.required(name, value));
        self.note(value).unwrap_or_default()
    }

    /// A whole number that may be left out. Every range of whole numbers in the table of keys is within those of the
    /// type.
    pub(super) fn maybe_whole<T: TryFrom<i64>>(&mut self, name: &str) -> Option<T> {
        let whole = self.note(self.section.whole(name)).flatten()?;
        T::try_from(whole).ok()
    }

    /// A whole number that must be there.
    pub(super) fn whole<T: TryFrom<i64> + Default>(&mut self, name: &str) -> T {
        let value = self.section.whole(name);
        let value = value.and_then(|value| self.section.required(name, value));
        let whole = self.note(value).and_then(|whole| T::try_from(whole).ok());
        whole.unwrap_or_default()
    }

    /// Yes or no, or what stands for it where it may be left out.
    pub(super) fn flag_or(&mut self, name: &str, other: bool) -> bool {
        self.note(self.section.flag(name))
            .flatten()
            .unwrap_or(other)
    }

    /// A word that may be left out.
    pub(super) fn maybe_word<T: FromStr>(&mut self, name: &str) -> Option<T> {
        self.note(self.section.word(name)).flatten()
    }

    /// A word that must be there.
    pub(super) fn word<T: FromStr>(&mut self, name: &str) -> Option<T> {
        let value = self.section.word(name);
        let value = value.and_then(|value| self.section.required(name, value));
        self.note(value)
    }

    /// Text that may be left out.
    pub(super) fn maybe_text(&mut self, name: &str) -> Option<String> {
        self.note(self.section.text(name)).flatten()
    }

    /// Text that must be there.
    pub(super) fn text(&mut self, name: &str) -> String {
        let value = self.section.text(name);
        let value = value.and_then(|value| self.section.required(name, value));
        self.note(value).unwrap_or_default()
    }

    /// A throw that holds the center.
    pub(super) fn throw(&mut self, name: &str) -> [f64; 2] {
        let throw = self.numbers::<2>(name);
        let [least, greatest] = throw;
        let read = throw != [0.0; 2] || self.section.numbers::<2>(name).is_ok();
        let holds = least <= 0.0 && 0.0 <= greatest && least < greatest;
        if self.has(name) && read && !holds {
            let wanted = "[least, greatest] with 0, the center, between them";
            self.note::<()>(Err(self.section.not_here(name, wanted)));
        }
        throw
    }
}

/// The kind of a section: the word that it gives, or the one that stands for it where it gives none.
///
/// # Errors
/// For a word that is none, or none where one must be there.
pub(super) fn kind_of<T: FromStr>(
    section: &Section<'_>,
    key: &'static str,
    other: impl Into<Option<T>>,
) -> Result<T, DesignError> {
    match (section.word::<T>(key)?, other.into()) {
        (Some(kind), _) | (None, Some(kind)) => Ok(kind),
        (None, None) => Err(section.missing(key)),
    }
}
