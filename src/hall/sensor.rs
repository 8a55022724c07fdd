//! Any sensor as one value.

use serde::{Deserialize, Serialize};

use crate::hall::LinearHall;
use crate::hall::characteristic::Characteristic;

/// Any sensor of an axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Sensor {
    /// A linear Hall sensor: volts from the flux density along its sensitive direction.
    Linear(LinearHall),
}

impl From<LinearHall> for Sensor {
    fn from(sensor: LinearHall) -> Self {
        Self::Linear(sensor)
    }
}

impl Sensor {
    /// The linear Hall sensor, if it is one.
    #[must_use]
    pub fn linear(&self) -> Option<&LinearHall> {
        match self {
            Self::Linear(sensor) => Some(sensor),
        }
    }

    /// The line from what it reads to its output.
    pub(crate) fn characteristic(&self) -> Characteristic {
        match self {
            Self::Linear(sensor) => sensor.characteristic(),
        }
    }

    /// Noise of the output, rms.
    pub(crate) fn noise(&self) -> f64 {
        match self {
            Self::Linear(sensor) => sensor.output_noise(),
        }
    }
}
