//! Where the figures of the tables come from.

use std::fmt;

use crate::error::choices;
use serde::{Deserialize, Serialize};

/// What is known of where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Provenance {
    /// Read in the source or a copy of it.
    Seen,
    /// Recalled; check it before you rely on it.
    FromMemory,
    /// Nobody's in particular.
    CommonPractice,
}

choices!(Provenance, "provenance", {
    Seen => "seen",
    FromMemory => "from memory",
    CommonPractice => "common practice",
});

/// Where some of the figures of a material come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Source {
    /// Which figures.
    pub covers: String,
    /// The source.
    pub text: String,
    /// How well it is known.
    pub provenance: Provenance,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} ({})", self.covers, self.text, self.provenance)
    }
}
