//! What can be doubtful in a row of a bench sweep.

use serde::Serialize;

use crate::error::{Error, Result, choices};
use crate::stored::checked_when_read;

/// Why a row of a bench sweep is doubtful.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum DoubtReason {
    /// A cell is empty or not there.
    Missing,
    /// A cell holds something that is no number.
    NotANumber,
    /// A count that the converter cannot give, or an angle beyond a full turn.
    Impossible,
    /// The count stands still while the angle goes on.
    Stuck,
    /// The count stands still at the least or the greatest of the sweep: at a rail of the sensor, an end of the
    /// converter or a stop.
    Clipped,
    /// The row before once more.
    Duplicate,
    /// The count is far from those of the rows at about the same angle.
    Outlier,
}

choices!(DoubtReason, "reason to doubt a row", {
    Missing => "missing",
    NotANumber => "not a number",
    Impossible => "impossible",
    Stuck => "stuck",
    Clipped => "clipped",
    Duplicate => "duplicate",
    Outlier => "outlier",
});

impl DoubtReason {
    /// Whether a row with this doubt can be used at all.
    #[must_use]
    pub fn is_usable(self) -> bool {
        !matches!(self, Self::Missing | Self::NotANumber | Self::Impossible)
    }
}

checked_when_read! {
    /// A doubtful row: where it stands, why it is doubted, and what about it.
    #[derive(Debug, Clone, PartialEq, Eq, Serialize)]
    #[non_exhaustive]
    pub struct RowDoubt {
        /// Line of the text, from 1; of arrays the row, from 1.
        pub line: u64,
        /// Why.
        pub reason: DoubtReason,
        /// What about it, in words, with its figures.
        pub detail: String,
    }
}

impl RowDoubt {
    fn check(&self) -> Result<()> {
        if self.line == 0 {
            return Err(Error::Count {
                quantity: "line of a doubtful row",
                count: 0,
                min: 1,
                max: usize::MAX,
            });
        }
        Ok(())
    }
}

impl std::fmt::Display for RowDoubt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}: {}", self.line, self.reason, self.detail)
    }
}
