//! Targets and whether they are met.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::AxisFigures;
use crate::error::{Error, choices, finite};
use crate::rig::answers::Answers;
use crate::rig::target::{Target, TargetSense};

/// A target missed by no more than this part of it is close.
const CLOSE: f64 = 0.1;

/// How a target stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum VerdictState {
    /// The figure is on the right side.
    Met,
    /// Only a study of builds tells, and there was none.
    NotStudied,
    /// It is on the wrong side by no more than a tenth of what was wanted.
    Close,
    /// It is farther off, or has no value.
    Missed,
}

choices!(VerdictState, "verdict", {
    Met => "met",
    NotStudied => "not studied",
    Close => "close",
    Missed => "missed",
});

/// One target beside the figure that answers it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredVerdict", into = "StoredVerdict")]
pub struct Verdict {
    target: Target,
    wanted: f64,
    got: Option<f64>,
    margin: Option<f64>,
    state: VerdictState,
    qualification: Option<String>,
}

/// A verdict as it is stored. What follows from the rest is there for other programs, and checked when read.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Verdict", deny_unknown_fields)]
struct StoredVerdict {
    target: Target,
    sense: TargetSense,
    unit: String,
    wanted: f64,
    got: Option<f64>,
    margin: Option<f64>,
    state: VerdictState,
    qualification: Option<String>,
}

impl From<Verdict> for StoredVerdict {
    fn from(verdict: Verdict) -> Self {
        Self {
            sense: verdict.target.sense(),
            unit: verdict.target.unit().to_owned(),
            target: verdict.target,
            wanted: verdict.wanted,
            got: verdict.got,
            margin: verdict.margin,
            state: verdict.state,
            qualification: verdict.qualification,
        }
    }
}

impl TryFrom<StoredVerdict> for Verdict {
    type Error = Error;

    fn try_from(stored: StoredVerdict) -> crate::Result<Self> {
        let of_target = || Error::NotAChoice {
            quantity: "sense, unit, margin or state of a verdict",
            given: "another one".to_owned(),
            choices: "what follows from target, wanted and got".to_owned(),
        };
        finite("wanted value", stored.wanted, "unit of the target")?;
        finite("value got", stored.got.unwrap_or(0.0), "unit of the target")?;
        let verdict = Self {
            qualification: stored.qualification.clone(),
            ..Self::of(stored.target, stored.wanted, stored.got)
        };
        let same = verdict.margin == stored.margin
            && verdict.state == stored.state
            && stored.sense == stored.target.sense()
            && stored.unit == stored.target.unit();
        if same { Ok(verdict) } else { Err(of_target()) }
    }
}

impl Verdict {
    pub(super) fn new(target: Target, wanted: f64, answers: &Answers<'_>) -> Self {
        Self {
            qualification: answers
                .figures
                .and_then(|figures| qualification(target, figures)),
            ..Self::of(target, wanted, target.figure(answers))
        }
    }

    /// Of a figure in the unit of its target.
    pub(super) fn of(target: Target, wanted: f64, got: Option<f64>) -> Self {
        let margin = got.map(|got| match target.sense() {
            TargetSense::AtLeast => got - wanted,
            TargetSense::AtMost => wanted - got,
        });
        let state = match margin {
            None if target == Target::Yield => VerdictState::NotStudied,
            Some(margin) if margin >= 0.0 => VerdictState::Met,
            Some(margin) if margin >= -CLOSE * wanted => VerdictState::Close,
            _ => VerdictState::Missed,
        };
        Self {
            target,
            wanted,
            got,
            margin,
            state,
            qualification: None,
        }
    }

    /// What was asked.
    #[must_use]
    pub fn target(&self) -> Target {
        self.target
    }

    /// The value wanted, in the target's unit.
    #[must_use]
    pub fn wanted(&self) -> f64 {
        self.wanted
    }

    /// The value that the design reaches; `None` where the figure has no value.
    #[must_use]
    pub fn got(&self) -> Option<f64> {
        self.got
    }

    /// How much there is to spare; negative if the target is not met.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        self.margin
    }

    /// What the figure hides: the range that a clipped throw uses, or one over which two angles read the same, is no
    /// range gained.
    #[must_use]
    pub fn qualification(&self) -> Option<&str> {
        self.qualification.as_deref()
    }

    /// The unit of the margin: points between two percentages, else that of the target.
    #[must_use]
    pub fn margin_unit(&self) -> &'static str {
        match self.target.unit() {
            "%" => "points",
            unit => unit,
        }
    }

    /// How the target stands.
    #[must_use]
    pub fn state(&self) -> VerdictState {
        self.state
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sense = self.target.sense();
        let unit = self.target.unit();
        write!(f, "{:<7}{:<26} ", self.state.to_string(), self.target)?;
        let wanted = format!("{sense} {}", with_unit(self.wanted, unit));
        match (self.got, self.margin) {
            (Some(got), Some(margin)) => {
                let way = match (margin >= 0.0, sense) {
                    (true, _) => "to spare",
                    (false, TargetSense::AtLeast) => "short of it",
                    (false, TargetSense::AtMost) => "too much",
                };
                let margin = with_unit(margin.abs(), self.margin_unit());
                let got = with_unit(got, unit);
                write!(f, "{got:>12}   {wanted:<18} {margin:>12} {way}")?;
                match self.qualification() {
                    Some(but) => write!(f, ", but {but}"),
                    None => Ok(()),
                }
            }
            _ => write!(f, "{:>12}   {wanted}", "no value"),
        }
    }
}

/// A figure with its unit, if it has one.
fn with_unit(value: f64, unit: &str) -> String {
    let figure = figure(value);
    if unit.is_empty() {
        figure
    } else {
        format!("{figure} {unit}")
    }
}

/// What must be said beside a figure that looks better for a fault of the curve.
fn qualification(target: Target, figures: &AxisFigures) -> Option<String> {
    let of_range = [Target::RangeUsed, Target::Counts, Target::EffectiveBits];
    if !of_range.contains(&target) {
        return None;
    }
    if figures.clipped_share() > 0.0 {
        return Some(format!(
            "{} of the throw is clipped",
            percent(figures.clipped_share())
        ));
    }
    (!figures.monotonic()).then(|| "the reading turns back".to_owned())
}

/// A part in percent.
pub(super) fn percent(part: f64) -> String {
    match figure(100.0 * part).as_str() {
        // Something is not nothing.
        "0" if part > 0.0 => "less than 0.000001 %".to_owned(),
        text => format!("{text} %"),
    }
}

/// Three significant digits, without exponent.
fn figure(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let digits = 2 - value.abs().log10().floor() as i32;
    let text = format!("{value:.*}", digits.clamp(0, 6) as usize);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
#[path = "verdict_tests.rs"]
mod tests;
