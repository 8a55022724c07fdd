//! What a closer tolerance would gain.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::buildable::Buildable;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::plan::{Judge, Plan};
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};

/// Most builds of which the outcome of each is kept, to be set beside another.
const MAX_BUILDS: u64 = 100_000_000;

/// The yield with one tolerance that many times as wide, of the same builds otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct WhatIfRow {
    /// The name of the tolerance.
    pub tolerance: String,
    /// What it was multiplied by.
    pub factor: f64,
    /// Share of the builds that then meet all targets.
    pub share: f64,
    /// By how much that is more than without the change.
    pub gain: f64,
    /// Standard error of the gain: the builds are the same but for the change, so that it is less than that of either
    /// share.
    pub gain_error: f64,
}

/// The yield if one tolerance after the other were closer, or wider.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct WhatIf {
    /// Share of the builds that meet all targets as it is.
    pub share: f64,
    /// Builds of each study.
    pub builds: u64,
    /// One for each tolerance, in the order of the demand.
    pub rows: Vec<WhatIfRow>,
}

impl WhatIf {
    /// The change that gains most.
    #[must_use]
    pub fn best(&self) -> Option<&WhatIfRow> {
        let mut rows = self.rows.iter();
        let first = rows.next()?;
        Some(rows.fold(
            first,
            |best, row| if row.gain > best.gain { row } else { best },
        ))
    }
}

impl fmt::Display for WhatIf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:.1} % of the builds meet every target",
            100.0 * self.share
        )?;
        for row in &self.rows {
            let (share, factor) = (100.0 * row.share, row.factor);
            write!(
                f,
                "\n{share:.1} % with {} at {factor} of its tolerance",
                row.tolerance
            )?;
        }
        Ok(())
    }
}

/// The yield with each tolerance in turn `factor` times as wide, the same builds otherwise (common random numbers).
///
/// # Errors
/// As [`YieldStudy::new`](crate::axis::YieldStudy::new); [`Error::OutOfRange`] for the factor, and for more than 1e8
/// builds; [`Error::Stopped`].
pub fn study_what_if(design: &dyn Buildable, demand: &YieldDemand, factor: f64) -> Result<WhatIf> {
    demand.check()?;
    within(
        "builds to be compared",
        demand.builds as f64,
        1.0,
        MAX_BUILDS as f64,
        "(no unit)",
    )?;
    let drawn = (demand.seed, demand.sampling);
    let mut plan = Plan::new(design, &demand.tolerances, &[], drawn, demand.builds, 1)?;
    let judge = Judge::new(&demand.targets, &plan.figures)?;
    let passes = |plan: &Plan<'_>| -> Result<Vec<bool>> {
        let misses = plan.misses(&judge, demand.builds)?;
        Ok(misses.into_iter().map(|miss| miss <= 0.0).collect())
    };
    let before = passes(&plan)?;
    let n = demand.builds as f64;
    let count = |passes: &[bool]| passes.iter().filter(|passed| **passed).count() as f64;
    let share = count(&before) / n;
    let mut rows = Vec::new();
    for (number, tolerance) in demand.tolerances.iter().enumerate() {
        plan.draw_instead(number, tolerance.scaled(factor)?);
        let after = passes(&plan)?;
        plan.draw_instead(number, tolerance.clone());
        let changed = before.iter().zip(&after).filter(|(a, b)| a != b).count() as f64 / n;
        let gain = (count(&after) - count(&before)) / n;
        rows.push(WhatIfRow {
            tolerance: tolerance.name().to_owned(),
            factor,
            share: count(&after) / n,
            gain,
            gain_error: ((changed - gain * gain).max(0.0) / n).sqrt(),
        });
    }
    Ok(WhatIf {
        share,
        builds: demand.builds,
        rows,
    })
}
