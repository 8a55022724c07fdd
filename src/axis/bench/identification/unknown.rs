//! What a measured sweep is to tell: quantities with what is known of them before.

use serde::{Deserialize, Serialize};

use crate::axis::Measure;
use crate::error::{Result, ascending, finite, within};

/// A quantity of a built axis that a sweep may tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum AxisUnknown {
    /// A measure of the arrangement.
    Measure(Measure),
    /// Output of the sensor without field at its nominal supply, V.
    Quiescent,
    /// Sensitivity of the sensor at its nominal supply, V/T.
    Sensitivity,
    /// Angle of the control where the protractor showed zero, rad.
    AngleZero,
}

impl AxisUnknown {
    /// SI unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Measure(measure) => measure.unit(),
            Self::Quiescent => "V",
            Self::Sensitivity => "V/T",
            Self::AngleZero => "rad",
        }
    }
}

impl std::fmt::Display for AxisUnknown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Measure(measure) => measure.fmt(f),
            Self::Quiescent => f.pad("sensor offset"),
            Self::Sensitivity => f.pad("sensor gain"),
            Self::AngleZero => f.pad("angle zero"),
        }
    }
}

impl std::str::FromStr for AxisUnknown {
    type Err = crate::Error;

    fn from_str(text: &str) -> Result<Self> {
        let mut all = vec![Self::Quiescent, Self::Sensitivity, Self::AngleZero];
        all.extend(Measure::ALL.map(Self::Measure));
        crate::Error::choose("quantity to identify", text, &all)
    }
}

/// A quantity of a rod between pedal and crank that measured angles may tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum RodUnknown {
    /// Between the ball joints, m.
    RodLength,
    /// Ball joint of the pedal from its hinge, m.
    StudHeight,
    /// Ball joint of the crank from its pivot, m.
    CrankArm,
    /// Angle of the crank where its protractor showed zero, rad.
    CrankZero,
}

crate::error::choices!(RodUnknown, "quantity to identify", {
    RodLength => "rod length",
    StudHeight => "stud height",
    CrankArm => "crank arm",
    CrankZero => "crank zero",
});

impl RodUnknown {
    /// SI unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::RodLength | Self::StudHeight | Self::CrankArm => "m",
            Self::CrankZero => "rad",
        }
    }
}

/// A quantity to identify, and what is known of it before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sought<Q> {
    /// Which.
    pub quantity: Q,
    /// Least and greatest value that it can have.
    pub bounds: [f64; 2],
    /// Its standard deviation about the value as designed, from tolerances; none if only the bounds are known.
    pub prior_sd: Option<f64>,
}

impl<Q> Sought<Q> {
    /// Within bounds, as likely anywhere.
    #[must_use]
    pub fn within(quantity: Q, bounds: [f64; 2]) -> Self {
        Self {
            quantity,
            bounds,
            prior_sd: None,
        }
    }

    /// Of a drawing: the value as designed, plus or minus so much, which is taken for two standard deviations; bounds
    /// are three times as far.
    #[must_use]
    pub fn plus_minus(quantity: Q, designed: f64, plus_minus: f64) -> Self {
        Self {
            quantity,
            bounds: [designed - 3.0 * plus_minus, designed + 3.0 * plus_minus],
            prior_sd: Some(0.5 * plus_minus),
        }
    }
}

/// A quantity as the fit sees it.
#[derive(Debug, Clone)]
pub(super) struct Unknown {
    pub(super) name: String,
    pub(super) unit: &'static str,
    pub(super) designed: f64,
    pub(super) bounds: [f64; 2],
    pub(super) prior_sd: Option<f64>,
}

impl Unknown {
    pub(super) fn new<Q: std::fmt::Display>(
        sought: &Sought<Q>,
        unit: &'static str,
        designed: f64,
    ) -> Result<Self> {
        let bounds = ascending("bounds of a quantity to identify", sought.bounds, unit)?;
        let of = "designed value of a quantity to identify";
        within(of, designed, bounds[0], bounds[1], unit)?;
        if let Some(sd) = sought.prior_sd {
            finite("standard deviation of a quantity to identify", sd, unit)?;
            let widest = bounds[1] - bounds[0];
            let of = "standard deviation of a quantity to identify";
            within(of, sd, 1e-9 * widest, widest, unit)?;
        }
        Ok(Self {
            name: sought.quantity.to_string(),
            unit,
            designed,
            bounds,
            prior_sd: sought.prior_sd,
        })
    }

    /// What is known of it before, as a standard deviation: of the tolerance, or of a value anywhere in the bounds.
    pub(super) fn scale(&self) -> f64 {
        let even = (self.bounds[1] - self.bounds[0]) / 12_f64.sqrt();
        self.prior_sd.unwrap_or(even)
    }
}
