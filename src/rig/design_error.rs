//! What is wrong with a design file, and where.

use std::fmt;

use crate::error::Error;

/// A mistake in a design file: file, line, key and what is wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub struct DesignError {
    /// The file, as the caller named it.
    pub file: String,
    /// The line, counted from 1; 0 if the file could not be read at all.
    pub line: usize,
    /// The key with its section, such as `axis.gap_mm`; empty where the mistake is not about one key.
    pub key: String,
    /// What is wrong.
    pub problem: Box<Problem>,
}

impl fmt::Display for DesignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if !self.key.is_empty() {
            write!(f, ", {}", self.key)?;
        }
        write!(f, "{}", self.problem)
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
    #[error(": not valid TOML: {reason}")]
    Syntax {
        /// The parser's reason.
        reason: String,
    },
    /// A key that does not exist.
    #[error(" = {value}: unknown key; {}known here: {known}", suggestion.as_ref().map(|s| format!("did you mean {s}? ")).unwrap_or_default())]
    UnknownKey {
        /// The value as written in the file.
        value: String,
        /// The known key that looks most like it, with what it may hold.
        suggestion: Option<String>,
        /// All keys that may stand here.
        known: String,
    },
    /// A key that must be there is not.
    #[error(" is missing; give {allowed}")]
    MissingKey {
        /// What it may hold.
        allowed: String,
    },
    /// A value that is not what the key may hold.
    #[error(" = {value}: not allowed; give {allowed}")]
    NotAllowed {
        /// The value as written in the file.
        value: String,
        /// What the key may hold.
        allowed: String,
    },
    /// A part that the file does not define.
    #[error(" = \"{given}\": no such part; [{section}.NAME] has {known}")]
    UnknownPart {
        /// The name given.
        given: String,
        /// The section that should define it.
        section: &'static str,
        /// The names defined there.
        known: String,
    },
    /// Two axes of one name.
    #[error(" = \"{name}\": another axis has this name already; give each its own")]
    DuplicateName {
        /// The name.
        name: String,
    },
    /// Values that are each allowed but do not go together.
    #[error(": {0}")]
    Refused(#[from] Error),
}
