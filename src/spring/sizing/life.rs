//! How long a spring shall last, and how candidates are judged by it.

use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::search::Shortfalls;
use crate::spring::helical::fatigue::{FatigueCriterion, WireSurface};
use crate::spring::requirement;
use crate::spring::sizing::grid::SAFETY_RANGE;

/// How many cycles a spring shall last, and how it is judged.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LifeDemand {
    /// Number of cycles over the whole travel.
    pub cycles: f64,
    /// Surface of the wire.
    pub surface: WireSurface,
    /// How the mean stress counts.
    pub criterion: FatigueCriterion,
    /// Least safety against breaking: 0.1 to 100.
    pub safety: f64,
}

impl LifeDemand {
    /// A number of cycles, of unpeened wire by Gerber's criterion, with a safety of 1.2.
    #[must_use]
    pub fn new(cycles: f64) -> Self {
        Self {
            cycles,
            surface: WireSurface::Unpeened,
            criterion: FatigueCriterion::Gerber,
            safety: 1.2,
        }
    }

    pub(in crate::spring) fn check(&self) -> Result<()> {
        let [least, most] = SAFETY_RANGE;
        within("number of cycles", self.cycles, 1.0, 1e12, "cycles")?;
        within(
            "safety against breaking",
            self.safety,
            least,
            most,
            "(no unit)",
        )?;
        Ok(())
    }
}

/// How the life of candidates of one wire diameter is judged; `E` is what they endure.
pub(in crate::spring) struct Wear<E> {
    demand: Option<LifeDemand>,
    /// `None`: the data do not hold for this wire, and it fails.
    endurance: Option<E>,
}

impl<E> Wear<E> {
    pub(in crate::spring) fn new(
        demand: Option<LifeDemand>,
        endurance: impl FnOnce(LifeDemand) -> Result<E>,
    ) -> Self {
        Self {
            demand,
            endurance: demand.and_then(|life| endurance(life).ok()),
        }
    }

    pub(in crate::spring) fn endurance(&self) -> Option<&E> {
        self.endurance.as_ref()
    }

    /// The safety against breaking, if a life was asked for.
    pub(in crate::spring) fn safety(&self, safety: impl FnOnce(&E) -> Result<f64>) -> Option<f64> {
        self.demand?;
        let safety = self.endurance.as_ref().map(safety);
        Some(safety.map_or(0.0, |safety| safety.unwrap_or(0.0)))
    }

    /// The same, noted where it is less than was asked for.
    pub(in crate::spring) fn judge(
        &self,
        shortfalls: &mut Shortfalls,
        safety: impl FnOnce(&E) -> Result<f64>,
    ) -> Option<f64> {
        let safety = self.safety(safety)?;
        let least = self.demand.map(|life| life.safety);
        shortfalls.at_least(requirement::LIFE, safety, least);
        Some(safety)
    }
}
