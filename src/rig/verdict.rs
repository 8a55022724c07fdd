//! Targets and whether they are met.

use std::fmt;

use serde::Serialize;

use crate::axis::AxisFigures;
use crate::error::choices;
use crate::units::{DEG, MM};

/// A target missed by no more than this part of it is close.
const CLOSE: f64 = 0.1;

/// What can be asked of an axis. Values are in the unit that [`Target::unit`] names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Target {
    /// Counts over the throw, percent of the converter's range.
    RangeUsed,
    /// Independent linearity of the output, percent of its span.
    Linearity,
    /// Clipped part of the throw, percent.
    Clipped,
    /// Smallest step over the throw, degrees: the worse of one count and rms noise.
    Step,
    /// Effective bits of the swept span.
    EffectiveBits,
    /// Package face to magnet, mm.
    Clearance,
}

/// Which way a target points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TargetSense {
    /// The figure should not be less.
    AtLeast,
    /// The figure should not be more.
    AtMost,
}

choices!(TargetSense, "sense of a target", {
    AtLeast => "at least",
    AtMost => "at most",
});

impl Target {
    /// Every target with the key that sets it in a design file.
    pub const KEYS: [(Self, &str); 6] = [
        (Self::RangeUsed, "range_used_min_percent"),
        (Self::Linearity, "linearity_max_percent"),
        (Self::Clipped, "clipped_max_percent"),
        (Self::Step, "step_max_deg"),
        (Self::EffectiveBits, "effective_bits_min"),
        (Self::Clearance, "clearance_min_mm"),
    ];

    /// The target in words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::RangeUsed => "range used",
            Self::Linearity => "independent linearity",
            Self::Clipped => "clipped part of the throw",
            Self::Step => "smallest step",
            Self::EffectiveBits => "effective bits",
            Self::Clearance => "clearance",
        }
    }

    /// The unit of its values.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::RangeUsed | Self::Linearity | Self::Clipped => "%",
            Self::Step => "deg",
            Self::EffectiveBits => "bits",
            Self::Clearance => "mm",
        }
    }

    /// Which way it points.
    #[must_use]
    pub fn sense(self) -> TargetSense {
        match self {
            Self::RangeUsed | Self::EffectiveBits | Self::Clearance => TargetSense::AtLeast,
            Self::Linearity | Self::Clipped | Self::Step => TargetSense::AtMost,
        }
    }

    /// The figure that answers it, in its unit; `None` where the figure has no value.
    #[must_use]
    pub fn figure(self, figures: &AxisFigures) -> Option<f64> {
        match self {
            Self::RangeUsed => Some(100.0 * figures.range_used()),
            Self::Linearity => figures.linearity().map(|l| 100.0 * l.independent()),
            Self::Clipped => Some(100.0 * figures.clipped_share()),
            Self::Step => {
                let worst = figures
                    .step_quantization_worst()?
                    .max(figures.step_noise_worst()?);
                Some(worst / DEG)
            }
            Self::EffectiveBits => figures.effective_bits(),
            Self::Clearance => Some(figures.clearance() / MM),
        }
    }
}

/// How a target stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum VerdictState {
    /// The figure is on the right side.
    Met,
    /// It is on the wrong side by no more than a tenth of what was wanted.
    Close,
    /// It is farther off, or has no value.
    Missed,
}

choices!(VerdictState, "verdict", {
    Met => "met",
    Close => "close",
    Missed => "missed",
});

/// One target beside the figure that answers it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    target: Target,
    sense: TargetSense,
    unit: &'static str,
    wanted: f64,
    got: Option<f64>,
    margin: Option<f64>,
    state: VerdictState,
    qualification: Option<String>,
}

impl Verdict {
    pub(super) fn new(target: Target, wanted: f64, figures: &AxisFigures) -> Self {
        let got = target.figure(figures);
        let margin = got.map(|got| match target.sense() {
            TargetSense::AtLeast => got - wanted,
            TargetSense::AtMost => wanted - got,
        });
        let state = match margin {
            Some(margin) if margin >= 0.0 => VerdictState::Met,
            Some(margin) if margin >= -CLOSE * wanted => VerdictState::Close,
            _ => VerdictState::Missed,
        };
        Self {
            target,
            sense: target.sense(),
            unit: target.unit(),
            wanted,
            got,
            margin,
            state,
            qualification: qualification(target, figures),
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
        match self.unit {
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
        let unit = self.unit;
        let name = self.target.name();
        write!(f, "{:<7}{name:<26}", self.state.to_string())?;
        match (self.got, self.margin) {
            (Some(got), Some(margin)) => {
                let value = format!("{} {unit}", figure(got));
                let wanted = format!("{} {} {unit}", self.sense, figure(self.wanted));
                let way = match (margin >= 0.0, self.sense) {
                    (true, _) => "to spare",
                    (false, TargetSense::AtLeast) => "short of it",
                    (false, TargetSense::AtMost) => "too much",
                };
                write!(
                    f,
                    "{value:>12}   {wanted:<18}{:>8} {} {way}",
                    figure(margin.abs()),
                    self.margin_unit()
                )?;
                match self.qualification() {
                    Some(but) => write!(f, ", but {but}"),
                    None => Ok(()),
                }
            }
            _ => write!(
                f,
                "{:>12}   {} {} {unit}",
                "no value",
                self.sense,
                figure(self.wanted)
            ),
        }
    }
}

/// What must be said beside a figure that looks better for a fault of the curve.
fn qualification(target: Target, figures: &AxisFigures) -> Option<String> {
    if !matches!(target, Target::RangeUsed | Target::EffectiveBits) {
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
