//! What a study of the builds of a rig found.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{Importance, Yield, YieldInterval};
use crate::error::echo;
use crate::rig::target::Target;
use crate::rig::tolerance::demand::RigYieldDemand;
use crate::rig::tolerance::figures::{figure_name, studied};
use crate::rig::tolerance::route::YieldRoute;

/// A tolerance that moves several controls: a part that they share, or a common cause.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SharedCause {
    /// The tolerance.
    pub name: String,
    /// The controls, in the order of the file.
    pub controls: Vec<String>,
}

/// The builds of one control: an axis, an axis of a stick, or a stick with what is asked of it as a whole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlYield {
    pub(super) name: String,
    pub(super) stick: Option<String>,
    pub(super) targets: Vec<(Target, f64)>,
    pub(super) route: YieldRoute,
    pub(super) yields: Option<Yield>,
    pub(super) as_designed: bool,
    pub(super) importance: Option<Importance>,
    pub(super) decides: Option<String>,
}

impl ControlYield {
    /// What the control is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What the stick is called that it is an axis of; none of an axis by itself and of a stick.
    #[must_use]
    pub fn stick(&self) -> Option<&str> {
        self.stick.as_deref()
    }

    /// Its targets, in the order of the targets of [`ControlYield::yields`]; the yield that it is asked for is none of
    /// them.
    pub fn targets(&self) -> impl Iterator<Item = (Target, f64)> {
        studied(&self.targets)
    }

    /// How its builds were computed.
    #[must_use]
    pub fn route(&self) -> YieldRoute {
        self.route
    }

    /// Its builds: inputs named as in the file and in the units of their keys, so that a build can be
    /// put into the file and looked at; figures and targets in the units of the targets. None where
    /// no toleranced number reaches it, so that every build is as designed.
    #[must_use]
    pub fn yields(&self) -> Option<&Yield> {
        self.yields.as_ref()
    }

    /// Share of the builds that meet every target; without a tolerance all or none.
    #[must_use]
    pub fn share(&self) -> f64 {
        let designed = if self.as_designed { 1.0 } else { 0.0 };
        self.yields.as_ref().map_or(designed, Yield::share)
    }

    /// Whether the design itself meets every target.
    #[must_use]
    pub fn as_designed(&self) -> bool {
        self.as_designed
    }

    /// What makes the variance of each figure, if it was asked for.
    #[must_use]
    pub fn importance(&self) -> Option<&Importance> {
        self.importance.as_ref()
    }

    /// What decides about the yield, in a line, if it was asked for.
    #[must_use]
    pub fn decides(&self) -> Option<&str> {
        self.decides.as_deref()
    }
}

/// How many of the rigs that strangers build will work.
///
/// A number that stands in a part which several controls use, and a common cause, is drawn once for a rig: it moves all
/// of them together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RigYield {
    pub(super) title: String,
    pub(super) demand: RigYieldDemand,
    pub(super) controls: Vec<ControlYield>,
    pub(super) shared: Vec<SharedCause>,
    pub(super) builds: u64,
    pub(super) passed: u64,
    pub(super) interval: YieldInterval,
}

impl RigYield {
    /// What the design is called.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What was asked.
    #[must_use]
    pub fn demand(&self) -> &RigYieldDemand {
        &self.demand
    }

    /// Each control, in the order of the file: axes, then the sticks, both axes of each before the stick as a whole if
    /// something is asked of that.
    #[must_use]
    pub fn controls(&self) -> &[ControlYield] {
        &self.controls
    }

    /// One control by its name.
    #[must_use]
    pub fn control(&self, name: &str) -> Option<&ControlYield> {
        self.controls.iter().find(|control| control.name == name)
    }

    /// What moves several controls together.
    #[must_use]
    pub fn shared(&self) -> &[SharedCause] {
        &self.shared
    }

    /// Rigs that were built.
    #[must_use]
    pub fn builds(&self) -> u64 {
        self.builds
    }

    /// Rigs of which every control meets every target.
    #[must_use]
    pub fn passed(&self) -> u64 {
        self.passed
    }

    /// Share of the rigs of which every control meets every target.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.passed as f64 / self.builds as f64
    }

    /// Where the true share lies.
    #[must_use]
    pub fn interval(&self) -> YieldInterval {
        self.interval
    }

    /// The result as JSON; it is read back (serde).
    ///
    /// # Errors
    /// [`Error::NotStored`](crate::Error::NotStored) with what the serializer says; nothing is known that it would
    /// refuse.
    pub fn to_json(&self) -> crate::Result<String> {
        serde_json::to_string_pretty(self).map_err(|error| crate::Error::NotStored {
            reason: error.to_string(),
        })
    }
}

impl fmt::Display for RigYield {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |share: f64| 100.0 * share;
        let (low, high) = (percent(self.interval.low), percent(self.interval.high));
        writeln!(
            f,
            "{:.1} % ({low:.1} to {high:.1} %) of {} rigs work in every control",
            percent(self.share()),
            self.builds
        )?;
        for control in &self.controls {
            let name = echo(&control.name);
            let Some(yields) = &control.yields else {
                let verdict = if control.as_designed {
                    "meets"
                } else {
                    "misses"
                };
                writeln!(
                    f,
                    "{name}: nothing varies, and the design {verdict} its targets"
                )?;
                continue;
            };
            let (low, high) = (yields.interval().low, yields.interval().high);
            writeln!(
                f,
                "{name}: {:.1} % ({:.1} to {:.1} %) meet every target",
                percent(yields.share()),
                percent(low),
                percent(high)
            )?;
            for ((target, wanted), one) in control.targets().zip(yields.targets()) {
                writeln!(
                    f,
                    "  {:>5.1} % {} {} {wanted} {}",
                    percent(one.share()),
                    figure_name(target).name,
                    target.sense(),
                    target.unit()
                )?;
            }
            for failure in yields.failures() {
                writeln!(f, "  {} fail: {}", failure.count, failure.reason)?;
            }
            if let Some(decides) = &control.decides {
                writeln!(f, "  {decides}")?;
            }
        }
        for shared in &self.shared {
            writeln!(
                f,
                "{} moves {} together",
                shared.name,
                shared.controls.join(", ")
            )?;
        }
        Ok(())
    }
}
