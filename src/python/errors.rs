//! Every error of the core as a Python exception; the texts are the core's.

use pyo3::{PyErr, import_exception};

use crate::Error;
use crate::error::Hint;
use crate::rig::{DesignError, Problem};

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
        let text = in_python(&error);
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
            | Error::Cell { .. }
            | Error::WorkingTemperature { .. }
            | Error::WireDiameter { .. }
            | Error::CurvedDemagnetization { .. } => InvalidValueError::new_err(text),
            Error::OnEdge { .. } | Error::BehindPlate { .. } => NoFieldError::new_err(text),
            Error::Collision { .. }
            | Error::AreaCut { .. }
            | Error::Overlap { .. }
            | Error::GroupOverlap { .. }
            | Error::ThroughPlate { .. } => CollisionError::new_err(text),
            Error::CannotClose { .. }
            | Error::NeverCloses { .. }
            | Error::DeadCenter { .. }
            | Error::OutOfReach { .. } => CannotCloseError::new_err(text),
            Error::NotConverged { .. } | Error::Stalled { .. } => NotConvergedError::new_err(text),
            Error::Stopped => StoppedError::new_err(text),
            Error::NoLinkage { .. } | Error::NothingFits { .. } | Error::NothingFound { .. } => {
                NothingFoundError::new_err(text)
            }
        }
    }
}

impl From<DesignError> for PyErr {
    fn from(error: DesignError) -> Self {
        match *error.problem {
            // Not about the file but about the call.
            Problem::Refused(call) if error.line == 0 => call.into(),
            _ => DesignFileError::new_err(error.to_string()),
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
        Hint::None => return text,
    };
    let spoken = hint.to_string();
    match text.strip_suffix(&spoken) {
        Some(text) => format!("{text}{}", spoken.replace(unit.0, unit.1)),
        None => text,
    }
}
