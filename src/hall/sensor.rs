//! Any sensor as one value.

use std::f64::consts::{PI, TAU};

use serde::{Deserialize, Serialize};

use crate::hall::characteristic::Characteristic;
use crate::hall::converter::{Converter, Rounding};
use crate::hall::{AngleOutput, AngleSensor, LinearHall, Potentiometer};

/// Any sensor of an axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Sensor {
    /// A linear Hall sensor: volts from the flux density along its sensitive direction.
    Linear(LinearHall),
    /// An angle sensor: an angle, or volts, from the direction of the flux density.
    Angle(AngleSensor),
    /// A potentiometer on the shaft: volts from its angle, without a field.
    Potentiometer(Potentiometer),
}

impl From<LinearHall> for Sensor {
    fn from(sensor: LinearHall) -> Self {
        Self::Linear(sensor)
    }
}

impl From<AngleSensor> for Sensor {
    fn from(sensor: AngleSensor) -> Self {
        Self::Angle(sensor)
    }
}

impl From<Potentiometer> for Sensor {
    fn from(sensor: Potentiometer) -> Self {
        Self::Potentiometer(sensor)
    }
}

impl Sensor {
    /// The linear Hall sensor, if it is one.
    #[must_use]
    pub fn linear(&self) -> Option<&LinearHall> {
        match self {
            Self::Linear(sensor) => Some(sensor),
            _ => None,
        }
    }

    /// What it is, for messages.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Self::Linear(_) => "a linear Hall sensor",
            Self::Angle(_) => "an angle sensor",
            Self::Potentiometer(_) => "a potentiometer",
        }
    }

    /// Whether its output is a voltage, and not a code of its own.
    #[must_use]
    pub fn is_analog(&self) -> bool {
        self.own_converter().is_none()
    }

    /// The line from what it reads to its output: from T, from rad past its zero position, or from the volts of a
    /// potentiometer that goes on straight beyond its travel; to V, or to rad from the far side of a digital angle
    /// sensor's zero position, whose code in the middle of its range is that of the zero position.
    pub(crate) fn characteristic(&self) -> Characteristic {
        match self {
            Self::Linear(sensor) => sensor.characteristic(),
            Self::Angle(sensor) => match sensor.spec().output {
                AngleOutput::Digital { .. } => Characteristic {
                    zero: PI,
                    gain: 1.0,
                    limits: [0.0, TAU],
                },
                AngleOutput::Analog {
                    low, high, range, ..
                } => Characteristic {
                    zero: 0.5 * (low + high),
                    gain: (high - low) / range,
                    limits: [low, high],
                },
            },
            Self::Potentiometer(sensor) => Characteristic {
                zero: 0.0,
                gain: 1.0,
                limits: sensor.output_range(),
            },
        }
    }

    /// The converter of a digital sensor: its codes over a turn, as rad for volts.
    pub(crate) fn own_converter(&self) -> Option<Converter> {
        let Self::Angle(sensor) = self else {
            return None;
        };
        match sensor.spec().output {
            // Within 6 to 24, as its constructor checks.
            AngleOutput::Digital { bits } => Converter::new(bits, TAU, Rounding::Nearest, 0.0).ok(),
            AngleOutput::Analog { .. } => None,
        }
    }
}
