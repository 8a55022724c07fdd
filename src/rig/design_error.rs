//! What is wrong with a design file, and where.

use std::fmt;

use crate::error::{Error, echo, printable};

/// Most names of a list that a message repeats.
const MOST_NAMES: usize = 20;
/// Most mistakes that one message tells.
const MOST_MISTAKES: usize = 25;

/// What is wrong with a design file: its first mistake, with file, line, key and what is wrong, and the others.
///
/// The text has a line for each.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub struct DesignError {
    /// The file, as the caller named it.
    pub file: String,
    /// The line, counted from 1; 0 if the file could not be read at all.
    pub line: usize,
    /// The letter of that line at which it stands, counted from 1; 0 without a line.
    pub column: usize,
    /// The key with its section, such as `axis.gap_mm`; empty where the mistake is not about one key.
    pub key: String,
    /// What is wrong.
    pub problem: Box<Problem>,
    /// The other mistakes, in the order of the lines; each of these has no others of its own.
    pub others: Vec<DesignError>,
}

/// What is read of a file, or what is wrong there.
pub(super) type Read<T> = Result<T, DesignError>;

impl fmt::Display for DesignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.fmt_one(f)?;
        for other in self.others.iter().take(MOST_MISTAKES - 1) {
            f.write_str("\n")?;
            other.fmt_one(f)?;
        }
        match self.others.len().saturating_sub(MOST_MISTAKES - 1) {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl DesignError {
    /// One about a file as a whole.
    pub(super) fn of_file(file: String, problem: Problem) -> Self {
        Self {
            file,
            line: 0,
            column: 0,
            key: String::new(),
            problem: Box::new(problem),
            others: Vec::new(),
        }
    }

    /// Whether it was made from an [`Error`] alone.
    fn is_of_no_file(&self) -> bool {
        self.file.is_empty() && self.line == 0 && self.key.is_empty() && self.others.is_empty()
    }

    fn fmt_one(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let (true, Problem::Refused(error)) = (self.is_of_no_file(), &*self.problem) {
            return write!(f, "{error}");
        }
        f.write_str(&printable(&self.file))?;
        if self.line > 0 {
            write!(f, ", line {}, column {}", self.line, self.column)?;
        }
        if !self.key.is_empty() {
            write!(f, ", {}", echo(&self.key))?;
        }
        write!(f, "{}", self.problem)
    }
}

/// An error that is not about a file: with no file, line or key, and its own text. So a function that reads a design
/// and calls its parts can return one kind of error.
impl From<Error> for DesignError {
    fn from(error: Error) -> Self {
        Self {
            file: String::new(),
            line: 0,
            column: 0,
            key: String::new(),
            problem: Box::new(Problem::Refused(error)),
            others: Vec::new(),
        }
    }
}

/// The mistakes told so far: what is read goes on after one, so that a person mends all of them at once.
#[derive(Default)]
pub(super) struct Mistakes(Vec<DesignError>);

impl Mistakes {
    /// The value, or a stand-in after a mistake: [`Mistakes::done`] comes before its first use.
    pub(super) fn take<T: Default>(&mut self, read: Result<T, DesignError>) -> T {
        self.note(read).unwrap_or_default()
    }

    /// The value, if there is one.
    pub(super) fn note<T>(&mut self, read: Result<T, DesignError>) -> Option<T> {
        let error = match read {
            Ok(value) => return Some(value),
            Err(error) => error,
        };
        let mut first = error;
        let others = std::mem::take(&mut first.others);
        for mistake in std::iter::once(first).chain(others) {
            // One mistake may be met on several ways.
            if !self.0.contains(&mistake) {
                self.0.push(mistake);
            }
        }
        None
    }

    /// All mistakes as one error, in the order of the lines.
    pub(super) fn done(mut self) -> Result<(), DesignError> {
        self.0.sort_by_key(|mistake| (mistake.line, mistake.column));
        let mut mistakes = self.0.into_iter();
        mistakes.next().map_or(Ok(()), |first| {
            Err(DesignError {
                others: mistakes.collect(),
                ..first
            })
        })
    }
}

/// Names of which a message tells the first.
pub(super) fn shown_names<'t>(names: impl ExactSizeIterator<Item = &'t str>) -> String {
    let more = names.len().saturating_sub(MOST_NAMES);
    let first: Vec<String> = names.take(MOST_NAMES).map(echo).collect();
    match (first.is_empty(), more) {
        (true, _) => "none".to_owned(),
        (false, 0) => first.join(", "),
        (false, more) => format!("{} and {more} more", first.join(", ")),
    }
}

/// Kinds of mistake. The text continues the place that [`DesignError`] names.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// The file cannot be read.
    #[error(": cannot be read: {reason}")]
    Unreadable {
        /// The operating system's reason.
        reason: String,
    },
    /// The text is not TOML.
    #[error(": not valid TOML: {}", printable(reason))]
    Syntax {
        /// The parser's reason.
        reason: String,
    },
    /// A key that does not exist.
    #[error(" = {}: unknown key; {}known here: {known}", echo(value),
        suggestion.as_ref().map(|s| format!("did you mean {s}? ")).unwrap_or_default())]
    UnknownKey {
        /// The value as written in the file.
        value: String,
        /// The known key that looks most like it, with what it may hold.
        suggestion: Option<String>,
        /// All keys that may stand here.
        known: String,
    },
    /// A key that the section would have if it were of another kind.
    #[error(
        " = {}: does not belong to {by} \"{}\", but to {kinds}",
        echo(value),
        echo(word)
    )]
    OtherKind {
        /// The value as written in the file.
        value: String,
        /// The key that says which kind it is.
        by: &'static str,
        /// The kind that it is of.
        word: String,
        /// The kinds that have the key.
        kinds: String,
    },
    /// A key that says what another one says already.
    #[error(
        " = {}: cannot stand beside {other}; leave one of them out",
        echo(value)
    )]
    Excluded {
        /// The value as written in the file.
        value: String,
        /// The other key.
        other: &'static str,
    },
    /// A key that must be there is not.
    #[error(" is missing; give {allowed}")]
    MissingKey {
        /// What it may hold.
        allowed: String,
    },
    /// A value that is not what the key may hold.
    #[error(" = {}: not allowed; give {allowed}", echo(value))]
    NotAllowed {
        /// The value as written in the file.
        value: String,
        /// What the key may hold.
        allowed: String,
    },
    /// A part that the file does not define.
    #[error(" = \"{}\": no such part; [{section}.NAME] has {known}", echo(given))]
    UnknownPart {
        /// The name given.
        given: String,
        /// The section that should define it.
        section: &'static str,
        /// The names defined there.
        known: String,
    },
    /// Two axes or sticks of one name.
    #[error(
        " = \"{}\": another axis or stick has this name already; give each its own",
        echo(name)
    )]
    DuplicateName {
        /// The name.
        name: String,
    },
    /// An input of a converter to which another sensor is wired.
    #[error(
        " = \"{}\": another sensor is wired to this input of the converter \"{}\" already",
        echo(channel),
        echo(converter)
    )]
    TakenChannel {
        /// The converter.
        converter: String,
        /// Its input.
        channel: String,
    },
    /// Values that are each allowed but do not go together.
    #[error(": {0}")]
    Refused(#[from] Error),
}
