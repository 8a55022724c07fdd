//! The parts of a control that is published for others to build, and which of its numbers are inputs.

use serde::{Deserialize, Serialize};

use crate::axis::budget::CalibrationMethod;
use crate::axis::{AnyArrangement, Measure, Moving};
use crate::hall::{Averaging, Converter, LowPass, Sensor};
use crate::linkage::AnyTransmission;

/// The parts of a [`ControlDesign`](crate::axis::ControlDesign); see [`ControlDesignSpec::new`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlDesignSpec {
    /// How magnets and sensor stand to each other.
    pub arrangement: AnyArrangement,
    /// Least and greatest angle of the control, rad.
    pub throw: [f64; 2],
    /// The sensor.
    pub sensor: Sensor,
    /// The converter behind it; none of a sensor whose output is a code.
    pub converter: Option<Converter>,
    /// Low-pass before the converter, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<LowPass>,
    /// Averaging of the codes, if there is any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub averaging: Option<Averaging>,
    /// What turns.
    pub moving: Moving,
    /// What turns the pivot at the sensor when the control is moved.
    #[serde(default = "direct")]
    pub drive: AnyTransmission,
    /// Change of the remanence with temperature, as a share of it, 1/K.
    #[serde(default)]
    pub remanence_drift: f64,
    /// Temperature of magnets and sensor, degC; none leaves everything as it is given. To be toleranced it must be
    /// given.
    #[serde(default)]
    pub celsius: Option<f64>,
    /// How a builder turns counts into positions.
    #[serde(default)]
    pub calibration: CalibrationMethod,
}

fn direct() -> AnyTransmission {
    AnyTransmission::Identity
}

impl ControlDesignSpec {
    /// A control on the sensor's own pivot, its magnets moving, calibrated at both ends of the throw.
    pub fn new(
        arrangement: impl Into<AnyArrangement>,
        throw: [f64; 2],
        sensor: impl Into<Sensor>,
        converter: impl Into<Option<Converter>>,
    ) -> Self {
        Self {
            arrangement: arrangement.into(),
            throw,
            sensor: sensor.into(),
            converter: converter.into(),
            filter: None,
            averaging: None,
            moving: Moving::Magnets,
            drive: AnyTransmission::Identity,
            remanence_drift: 0.0,
            celsius: None,
            calibration: CalibrationMethod::TwoPoint,
        }
    }
}

/// An input of the design.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum ControlInput {
    /// A measure of the arrangement.
    Measure(Measure),
    /// A number of the stored form.
    Number(usize),
}
