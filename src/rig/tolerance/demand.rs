//! What a study of the builds of a rig is asked.

use serde::{Deserialize, Serialize};

use crate::axis::{Sampling, Tolerance, YieldDemand};
use crate::rig::tolerance::route::YieldRoute;

/// What a study of the builds of a rig is asked: [`Design::study_yields`](crate::rig::Design::study_yields). What
/// varies and what a build has to meet, the design file says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RigYieldDemand {
    /// How many rigs are built, 1 to 1e12.
    pub builds: u64,
    /// The same seed gives the same builds.
    pub seed: u64,
    /// How they are drawn.
    pub sampling: Sampling,
    /// Of the intervals, 0.5 to 0.9999.
    pub confidence: f64,
    /// How many of the worst builds of each control are kept, up to 10,000.
    pub keep: usize,
    /// Rows of a study of what decides, 256 to 1e9: each takes a build for every tolerance and two more. None: none.
    pub importance_rows: Option<u64>,
    /// The one way on which all are built, to hold the two against each other; none leaves the choice. A control that
    /// cannot go side by side is read anew all the same.
    #[serde(default)]
    pub route: Option<YieldRoute>,
}

impl Default for RigYieldDemand {
    /// 10,000 builds at random, seed 1, intervals of 95 %, the 20 worst kept, what decides not studied.
    fn default() -> Self {
        Self {
            builds: 10_000,
            seed: 1,
            sampling: Sampling::Random,
            confidence: 0.95,
            keep: 20,
            importance_rows: None,
            route: None,
        }
    }
}

impl RigYieldDemand {
    /// The same of all tolerances, without a target yet.
    pub(super) fn of(&self, tolerances: Vec<Tolerance>) -> YieldDemand {
        YieldDemand {
            builds: self.builds,
            seed: self.seed,
            sampling: self.sampling,
            confidence: self.confidence,
            keep: self.keep,
            ..YieldDemand::new(tolerances)
        }
    }
}
