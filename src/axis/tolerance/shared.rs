//! Several designs that are built of the same drawn parts: how many sets of them will work together.

use crate::axis::tolerance::buildable::Buildable;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::draws::Draws;
use crate::axis::tolerance::interval::YieldInterval;
use crate::axis::tolerance::plan::{BATCH, Plan};
use crate::axis::tolerance::result::Yield;
use crate::axis::tolerance::study::YieldStudy;
use crate::axis::tolerance::target::YieldTarget;
use crate::axis::tolerance::tolerance_of::Tolerance;
use crate::error::Result;
use crate::observer;
use crate::parallel;

/// Batches between two sums, so that memory does not grow with the number of builds.
const AT_ONCE: u64 = 32;

/// One of the designs.
pub(crate) struct SharedDesign<'a> {
    /// What is built.
    pub(crate) design: &'a dyn Buildable,
    /// What varies of it, each by its number among those of all designs: one that moves several of them is drawn once.
    pub(crate) tolerances: Vec<(usize, Tolerance)>,
    /// What a build of it has to meet.
    pub(crate) targets: Vec<YieldTarget>,
}

/// What a study of several designs found.
pub(crate) struct SharedYield {
    /// Of each, in their order.
    pub(crate) yields: Vec<Yield>,
    /// Sets of builds.
    pub(crate) builds: u64,
    /// Those of which every design meets all its targets.
    pub(crate) passed: u64,
    /// Where the true share lies.
    pub(crate) interval: YieldInterval,
}

/// Builds all designs as often as demanded; `demand` has all tolerances and no targets.
///
/// # Errors
/// As [`study_yield`](crate::axis::study_yield).
pub(crate) fn study_shared(
    designs: &[SharedDesign<'_>],
    demand: &YieldDemand,
) -> Result<SharedYield> {
    demand.check()?;
    let draws = Draws::new(
        demand.seed,
        demand.sampling,
        demand.tolerances.len(),
        demand.builds,
        1,
    )?;
    let mut studies = Vec::new();
    for one in designs {
        let (streams, tolerances): (Vec<usize>, Vec<Tolerance>) =
            one.tolerances.iter().cloned().unzip();
        let plan = Plan::drawn_from(one.design, &tolerances, draws.clone(), streams)?;
        let demand = YieldDemand {
            tolerances,
            targets: one.targets.clone(),
            ..demand.clone()
        };
        studies.push(YieldStudy::of_plan(plan, &demand)?);
    }
    for study in &mut studies {
        study.find_cells()?;
    }
    let mut passed = 0;
    let mut by_replicate: Vec<[u64; 2]> = Vec::new();
    let batches = demand.builds.div_ceil(BATCH);
    for first in (0..batches).step_by(AT_ONCE as usize) {
        observer::check()?;
        let some = first..batches.min(first + AT_ONCE);
        // A task for each batch of each design, so that the threads have even work.
        let tasks: Vec<(u64, usize)> = some
            .clone()
            .flat_map(|batch| (0..studies.len()).map(move |number| (batch, number)))
            .collect();
        let done = parallel::map(&tasks, |&(batch, number)| {
            let start = batch * BATCH;
            let count = BATCH.min(demand.builds - start) as usize;
            studies[number].summed(start, count)
        })?;
        let mut done = done.into_iter();
        for batch in some {
            let start = batch * BATCH;
            let count = BATCH.min(demand.builds - start) as usize;
            let mut all = vec![true; count];
            for study in &mut studies {
                let Some(summed) = done.next() else { continue };
                let (sum, passes) = summed?;
                for (all, passes) in all.iter_mut().zip(passes) {
                    *all &= passes;
                }
                study.add(sum);
            }
            for (build, all) in (start..).zip(all) {
                passed += u64::from(all);
                if let Some(replicate) = draws.replicate_of(build) {
                    by_replicate.resize(by_replicate.len().max(replicate + 1), [0; 2]);
                    by_replicate[replicate][0] += 1;
                    by_replicate[replicate][1] += u64::from(all);
                }
            }
        }
    }
    let yields = studies.iter().map(YieldStudy::result);
    Ok(SharedYield {
        yields: yields.collect::<Result<_>>()?,
        builds: demand.builds,
        passed,
        interval: YieldInterval::of(demand, [passed, demand.builds], &by_replicate),
    })
}
