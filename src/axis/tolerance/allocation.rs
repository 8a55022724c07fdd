//! The loosest tolerances that still give a wanted yield.

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::buildable::Buildable;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::plan::{Judge, Plan};
use crate::axis::tolerance::tolerance_of::Tolerance;
use crate::error::{Error, Result, within};
use crate::observer;

/// A step by which a tolerance is loosened.
const STEP: f64 = 1.1;
/// How close and how loose it may become beside what was given.
const CLOSEST: f64 = 1.0 / 32.0;
const LOOSEST: f64 = 4.0;
/// Builds of which the outcomes are kept.
const MAX_BUILDS: u64 = 10_000_000;

/// The tolerances that [`allocate_tolerances`] chose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ToleranceAllocation {
    /// The tolerances, in the order of the demand.
    pub tolerances: Vec<Tolerance>,
    /// What each was multiplied by.
    pub factors: Vec<f64>,
    /// Share of the builds that meet all targets with them.
    pub share: f64,
    /// The same with the tolerances that were given.
    pub share_before: f64,
}

/// The loosest tolerances with which a share of the builds still meets all targets.
///
/// All begin close, at 1/32 of what was given; then the one whose loosening by a tenth costs the least yield is
/// loosened, until any step would go below the wanted yield or every tolerance is four times as wide as given. The
/// builds are the same throughout but for their tolerances. What decides stays close, what does not matter becomes
/// cheap.
///
/// # Errors
/// As [`YieldStudy::new`](crate::axis::YieldStudy::new); [`Error::OutOfRange`] for a wanted yield beyond 0 to 1, or if
/// even close tolerances do not give it: the design itself is at fault; [`Error::Stopped`].
pub fn allocate_tolerances(
    design: &dyn Buildable,
    demand: &YieldDemand,
    wanted: f64,
) -> Result<ToleranceAllocation> {
    demand.check()?;
    within(
        "builds to be compared",
        demand.builds as f64,
        1.0,
        MAX_BUILDS as f64,
        "(no unit)",
    )?;
    within("wanted yield", wanted, f64::MIN_POSITIVE, 1.0, "(no unit)")?;
    let drawn = (demand.seed, demand.sampling);
    let mut plan = Plan::new(design, &demand.tolerances, &[], drawn, demand.builds, 1)?;
    let judge = Judge::new(&demand.targets, &plan.figures)?;
    let share = |plan: &Plan<'_>| -> Result<f64> {
        let misses = plan.misses(&judge, demand.builds)?;
        let passed = misses.iter().filter(|miss| **miss <= 0.0).count();
        Ok(passed as f64 / demand.builds as f64)
    };
    let share_before = share(&plan)?;
    let count = demand.tolerances.len();
    let mut factors = vec![CLOSEST; count];
    for (number, tolerance) in demand.tolerances.iter().enumerate() {
        plan.draw_instead(number, tolerance.scaled(CLOSEST)?);
    }
    let mut now = share(&plan)?;
    if now < wanted {
        return Err(Error::OutOfRange {
            quantity: "yield with tolerances of a thirty-second of those given",
            value: now,
            min: wanted,
            max: 1.0,
            unit: "(no unit)",
            hint: crate::error::Hint::None,
        });
    }
    // The yield after a step of each, and whether it is of the present state; of an earlier one it can only have been
    // more, so that it is looked at again only where it would be the best.
    let mut after = vec![(1.0_f64, false); count];
    loop {
        observer::check()?;
        let open = (0..count).filter(|&i| factors[i] * STEP <= LOOSEST);
        let Some(next) = open.max_by(|&a, &b| after[a].0.total_cmp(&after[b].0).then(b.cmp(&a)))
        else {
            break;
        };
        let (known, fresh) = after[next];
        if known < wanted {
            break;
        }
        let tolerance = &demand.tolerances[next];
        plan.draw_instead(next, tolerance.scaled(factors[next] * STEP)?);
        if fresh {
            factors[next] *= STEP;
            now = known;
            after.iter_mut().for_each(|(_, fresh)| *fresh = false);
        } else {
            after[next] = (share(&plan)?, true);
            plan.draw_instead(next, tolerance.scaled(factors[next])?);
        }
    }
    Ok(ToleranceAllocation {
        tolerances: plan.tolerances.clone(),
        factors,
        share: now,
        share_before,
    })
}
