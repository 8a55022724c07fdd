//! Every error of the core as a Python exception. The texts are the core's, with the units as Python has them.

use pyo3::prelude::*;
use pyo3::{PyErr, import_exception};

use crate::Error;
use crate::error::Hint;
use crate::rig::{DesignError, Problem};

import_exception!(yokewright.errors, InvalidTypeError);
import_exception!(yokewright.errors, InvalidValueError);
import_exception!(yokewright.errors, NoFieldError);
import_exception!(yokewright.errors, CollisionError);
import_exception!(yokewright.errors, CannotCloseError);
import_exception!(yokewright.errors, NothingFoundError);
import_exception!(yokewright.errors, NotConvergedError);
import_exception!(yokewright.errors, DesignFileError);
import_exception!(yokewright.errors, StoppedError);

impl From<Error> for PyErr {
    fn from(error: Error) -> Self {
        let text = told(&in_python(&error));
        match error {
            Error::NotFinite { .. }
            | Error::OutOfRange { .. }
            | Error::NotAscending { .. }
            | Error::NoDirection { .. }
            | Error::Count { .. }
            | Error::LengthMismatch { .. }
            | Error::NotAChoice { .. }
            | Error::SameBody { .. }
            | Error::UnknownName { .. }
            | Error::NameTaken { .. }
            | Error::Cell { .. }
            | Error::WorkingTemperature { .. }
            | Error::WireDiameter { .. }
            | Error::NotStored { .. }
            | Error::UnusableRows { .. }
            | Error::TurnsBack { .. }
            | Error::Exchanged { .. }
            | Error::Absent { .. }
            | Error::Surplus { .. }
            | Error::CurvedDemagnetization { .. } => InvalidValueError::new_err(text),
            Error::OnEdge { .. } | Error::BehindPlate { .. } => NoFieldError::new_err(text),
            Error::Collision { .. }
            | Error::TwoAxisCollision { .. }
            | Error::AreaCut { .. }
            | Error::Overlap { .. }
            | Error::GroupOverlap { .. }
            | Error::ThroughPlate { .. } => CollisionError::new_err(text),
            Error::CannotClose { .. }
            | Error::NeverCloses { .. }
            | Error::DeadCenter { .. }
            | Error::BeyondReach { .. }
            | Error::OutOfReach { .. } => CannotCloseError::new_err(text),
            Error::NotConverged { .. } | Error::Stalled { .. } => NotConvergedError::new_err(text),
            Error::Stopped => StoppedError::new_err(text),
            Error::NoLinkage { .. } | Error::NothingFits { .. } => NothingFoundError::new_err(text),
        }
    }
}

impl From<DesignError> for PyErr {
    fn from(error: DesignError) -> Self {
        match *error.problem {
            // Not about the file but about the call.
            Problem::Refused(call) if error.line == 0 => call.into(),
            _ => DesignFileError::new_err(told(&error.to_string())),
        }
    }
}

/// The text of the core, with the names that Python has for the units.
fn in_python(error: &Error) -> String {
    let text = error.to_string();
    let Error::OutOfRange { hint, .. } = error else {
        return text;
    };
    let unit = match hint {
        Hint::Millimetres(_) => ("MM", "mm"),
        Hint::Degrees(_) => ("DEG", "deg"),
        Hint::Millitesla(_) => ("MT", "mT"),
        Hint::Gauss(_) => ("GAUSS", "gauss"),
        Hint::Millivolts(_) => ("MV", "mV"),
        Hint::Milliseconds(_) => ("MS", "ms"),
        Hint::None => return text,
    };
    let spoken = hint.to_string();
    match text.strip_suffix(&spoken) {
        Some(text) => format!("{text}{}", spoken.replace(unit.0, unit.1)),
        None => text,
    }
}

/// Longest line of a message, and what is kept of a longer one at either end: what is wrong stands at its beginning,
/// what would be right at its end.
const LONGEST: usize = 1500;
const KEPT: (usize, usize) = (800, 600);

/// A message without control characters and of bearable length, line by line.
pub(in crate::python) fn told(text: &str) -> String {
    let lines: Vec<String> = text.split('\n').map(|line| cut(&visible(line))).collect();
    lines.join("\n")
}

/// Control characters as Python writes them: they could do anything to a terminal.
fn visible(line: &str) -> String {
    let mut text = String::with_capacity(line.len());
    for character in line.chars() {
        match character {
            '\t' => text.push_str("\\t"),
            '\r' => text.push_str("\\r"),
            c if c.is_control() && u32::from(c) < 0x100 => {
                text.push_str(&format!("\\x{:02x}", u32::from(c)));
            }
            c => text.push(c),
        }
    }
    text
}

fn cut(line: &str) -> String {
    let count = line.chars().count();
    if count <= LONGEST {
        return line.to_owned();
    }
    let start: String = line.chars().take(KEPT.0).collect();
    let end: String = line.chars().skip(count - KEPT.1).collect();
    format!("{start} ... {end}")
}

/// What was given, in a few words.
pub(in crate::python) fn shown(value: Borrowed<'_, '_, PyAny>) -> String {
    let Ok(text) = value.repr() else {
        return value.get_type().to_string();
    };
    let text = visible(&text.to_string()).replace('\n', "\\n");
    match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{} ...", &text[..end]),
        None => text,
    }
}

const SHOWN: usize = 80;
