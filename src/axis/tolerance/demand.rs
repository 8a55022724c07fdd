//! What a study of builds is asked.

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::draws::Sampling;
use crate::axis::tolerance::target::YieldTarget;
use crate::axis::tolerance::tolerance_of::Tolerance;
use crate::error::{Result, counted, within};

/// Most builds of a study.
const MAX_BUILDS: u64 = 1_000_000_000_000;
/// Most of the worst builds that are kept.
const MAX_KEPT: usize = 10_000;

/// What a study of builds is asked: [`study_yield`](crate::axis::study_yield), [`YieldStudy`](crate::axis::YieldStudy).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YieldDemand {
    /// What varies.
    pub tolerances: Vec<Tolerance>,
    /// What a build has to meet; without any, all that can be assembled pass.
    pub targets: Vec<YieldTarget>,
    /// How many builds, 1 to 1e12.
    pub builds: u64,
    /// The same seed gives the same builds.
    pub seed: u64,
    /// How they are drawn.
    pub sampling: Sampling,
    /// Of the intervals, 0.5 to 0.9999.
    pub confidence: f64,
    /// How many of the worst builds are kept, up to 10,000.
    pub keep: usize,
}

impl YieldDemand {
    /// 10,000 builds at random, seed 1, intervals of 95 %, the 20 worst kept, no target yet.
    #[must_use]
    pub fn new(tolerances: Vec<Tolerance>) -> Self {
        Self {
            tolerances,
            targets: Vec::new(),
            builds: 10_000,
            seed: 1,
            sampling: Sampling::Random,
            confidence: 0.95,
            keep: 20,
        }
    }

    pub(super) fn check(&self) -> Result<()> {
        let builds = self.builds as f64;
        within(
            "builds of a study",
            builds,
            1.0,
            MAX_BUILDS as f64,
            "(no unit)",
        )?;
        within("confidence", self.confidence, 0.5, 0.9999, "(no unit)")?;
        counted("worst builds to be kept", self.keep, [0, MAX_KEPT])?;
        Ok(())
    }
}
