//! Common causes: what moves several numbers of a design file together, as the scale of a printer does.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::axis::Distribution;
use crate::error::Error;
use crate::names;
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::Section;
use crate::rig::numbers::MetNumber;
use crate::rig::reading::Reading;
use crate::rig::tolerance_shape::ToleranceShape;

/// A cause that moves several numbers by one share of each, as a design file has it in `[cause.NAME]`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CommonCause {
    name: String,
    line: usize,
    distribution: Distribution,
    moves: Vec<String>,
    /// Where those numbers begin in the text.
    #[serde(skip)]
    starts: Vec<usize>,
}

impl CommonCause {
    /// What it is called, as a study of builds names it: `cause.printer`.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The line of the file at which it stands.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// How the share is spread by which each number changes, about 0.
    #[must_use]
    pub fn distribution(&self) -> &Distribution {
        &self.distribution
    }

    /// The numbers that it moves.
    #[must_use]
    pub fn moves(&self) -> &[String] {
        &self.moves
    }

    pub(super) fn starts(&self) -> &[usize] {
        &self.starts
    }
}

/// All causes of a file, by the numbers that were read of it.
pub(super) fn read_all(
    root: &Section<'_>,
    met: &BTreeMap<usize, MetNumber>,
    mistakes: &mut Mistakes,
) -> Vec<CommonCause> {
    let known: Vec<(usize, &str)> = met
        .iter()
        .map(|(start, number)| (*start, number.name.as_str()))
        .collect();
    let mut causes = Vec::new();
    for (name, section) in mistakes.take(root.parts("cause")) {
        let read = section.and_then(|section| read(&section, &name, &known));
        causes.extend(mistakes.note(read));
    }
    causes.sort_by_key(CommonCause::line);
    causes
}

fn read(
    section: &Section<'_>,
    name: &str,
    known: &[(usize, &str)],
) -> Result<CommonCause, DesignError> {
    let mut reading = Reading::new(section);
    let share = reading.number("plus_minus_percent");
    let shape = reading.maybe_word::<ToleranceShape>("distribution");
    let given = section.texts("moves");
    let given = given.and_then(|given| section.required("moves", given));
    let given = reading.note(given).unwrap_or_default();
    let (mut starts, mut moves) = (Vec::new(), Vec::new());
    for input in given {
        let found = names::find("number that may vary", &input, known, |(_, name)| name);
        if let Some((start, name)) = reading.check("moves", found).copied() {
            if starts.contains(&start) {
                let quantity = "numbers that one cause moves";
                let taken = Error::NameTaken {
                    quantity,
                    name: input,
                };
                reading.note::<()>(Err(section.error_at("moves", Problem::Refused(taken))));
                continue;
            }
            starts.push(start);
            moves.push(name.to_owned());
        }
    }
    reading.done()?;
    let distribution =
        shape
            .unwrap_or_default()
            .distributed(0.0, share, Distribution::COVERAGE_FACTOR);
    Ok(CommonCause {
        name: format!("cause.{name}"),
        line: section.line(),
        distribution: distribution.map_err(|error| section.refused(error))?,
        moves,
        starts,
    })
}
