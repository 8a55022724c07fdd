//! The design of which most builds work.

use serde::{Deserialize, Serialize};

use crate::axis::requirement;
use crate::axis::tolerance::buildable::Buildable;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::plan::{BATCH, Judge, Plan};
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, counted, within};
use crate::numeric::binomial::clopper_pearson;
use crate::numeric::sobol::{Coordinate, MAX_DIMENSIONS};
use crate::observer;
use crate::parallel;
use crate::search::{SearchResult, Shortfalls, Tally};

/// Places that are tried at first.
const PLACES: [usize; 2] = [1, 1_000_000];
/// Builds of one place.
const MAX_BUILDS: u64 = 10_000_000;
/// The best places that are climbed from, by steps that halve so many times.
const CLIMBED: usize = 3;
const HALVINGS: usize = 5;
/// The first step of a climb, as a share of the range.
const FIRST_STEP: f64 = 0.1;
/// Most designs that are given.
const GIVEN: usize = 20;

/// An input that a search may choose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VariedInput {
    /// The input, as the design knows it.
    pub input: String,
    /// Its least value, in its SI unit.
    pub min: f64,
    /// Its greatest value.
    pub max: f64,
}

/// What is asked of [`search_tolerant_designs`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TolerantDesignDemand {
    /// Tolerances, targets and builds of each place.
    pub of_each: YieldDemand,
    /// What may be chosen: placement, sizes of magnets, lengths of links.
    pub varied: Vec<VariedInput>,
    /// How many places are tried before the best are improved, 1 to 1,000,000.
    pub places: usize,
    /// The yield that a design must give, 0 to 1.
    pub min_yield: f64,
}

impl TolerantDesignDemand {
    /// 200 places, any yield.
    #[must_use]
    pub fn new(of_each: YieldDemand, varied: Vec<VariedInput>) -> Self {
        Self {
            of_each,
            varied,
            places: 200,
            min_yield: 0.0,
        }
    }
}

/// A design with its yield.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TolerantDesign {
    /// The values of what may be chosen, in the order of the demand.
    pub values: Vec<f64>,
    /// Share of its builds that meet all targets.
    pub share: f64,
    /// Where the true yield lies, at the confidence of the demand.
    pub interval: [f64; 2],
    /// By how much the design itself misses what it misses most, as
    /// [`YieldTarget::miss`](crate::axis::YieldTarget::miss): negative if it meets all targets; none if it cannot be.
    pub nominal_miss: Option<f64>,
    /// By how much the builds miss on the average, those that miss nothing by nothing; a build that cannot be counts as
    /// a miss of one.
    pub mean_miss: f64,
}

/// What [`search_tolerant_designs`] found.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct TolerantSearch {
    /// The designs with the best yield.
    pub designs: SearchResult<TolerantDesign>,
    /// The design that itself has most to spare, with its yield: what a search without tolerances would have chosen.
    pub nominal_best: Option<TolerantDesign>,
    /// What may be chosen, by name.
    pub inputs: Vec<String>,
}

/// Searches the design with the best yield under its tolerances, which need not be the one with the most to spare.
///
/// Places are spread over the ranges by quasi-random points, the one that is given among them; the best are improved
/// along each input by steps that halve. All places are judged on builds with the same departures (common random
/// numbers), so that what differs is the place. Of equal yields the one whose builds miss by less is better.
///
/// # Errors
/// As [`YieldStudy::new`](crate::axis::YieldStudy::new); [`Error::Count`] without an input to choose, or for more than
/// quasi-random points have dimensions; [`Error::NotAscending`] for its range; [`Error::OutOfRange`];
/// [`Error::Stopped`].
pub fn search_tolerant_designs(
    design: &dyn Buildable,
    demand: &TolerantDesignDemand,
) -> Result<TolerantSearch> {
    let of_each = &demand.of_each;
    of_each.check()?;
    counted("inputs to choose", demand.varied.len(), [1, MAX_DIMENSIONS])?;
    counted("places to try", demand.places, PLACES)?;
    within(
        "builds of each place",
        of_each.builds as f64,
        1.0,
        MAX_BUILDS as f64,
        "(no unit)",
    )?;
    within("least yield", demand.min_yield, 0.0, 1.0, "(no unit)")?;
    for varied in &demand.varied {
        ascending(
            "range of an input to choose",
            [varied.min, varied.max],
            "(its unit)",
        )?;
    }
    let inputs: Vec<String> = demand
        .varied
        .iter()
        .map(|varied| varied.input.clone())
        .collect();
    let search = Search {
        design,
        demand,
        inputs: &inputs,
    };
    // What is wrong with the demand is told by the design itself.
    let given: Vec<f64> = inputs
        .iter()
        .map(|input| design.nominal(input))
        .collect::<Result<_>>()?;
    search.judged(&given)?;

    let mut places = spread_places(demand);
    if given
        .iter()
        .zip(&demand.varied)
        .all(|(value, varied)| (varied.min..=varied.max).contains(value))
    {
        places.push(given);
    }
    let mut all: Vec<TolerantDesign> = search.all(&places)?;
    all.sort_by(better);
    let starts: Vec<TolerantDesign> = all.iter().take(CLIMBED).cloned().collect();
    for start in starts {
        search.climb(start, &mut all)?;
    }
    let nominal_best = all.iter().filter(|one| one.nominal_miss.is_some());
    let nominal_best = nominal_best.min_by(|a, b| {
        a.nominal_miss
            .partial_cmp(&b.nominal_miss)
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let nominal_best = nominal_best.cloned();
    all.sort_by(better);
    let mut tally = Tally::default();
    let mut found = Vec::new();
    for (rank, one) in all.into_iter().enumerate() {
        let mut shortfalls = Shortfalls::default();
        shortfalls.at_least(requirement::YIELD, one.share, demand.min_yield);
        if shortfalls.is_empty() {
            tally.accept();
            if found.len() < GIVEN
                && !found
                    .iter()
                    .any(|(_, known): &(f64, TolerantDesign)| known.values == one.values)
            {
                found.push((rank as f64, one));
            }
        } else {
            tally.reject(shortfalls, || Some(one));
        }
    }
    Ok(TolerantSearch {
        designs: tally.result("designs", found),
        nominal_best,
        inputs,
    })
}

fn better(a: &TolerantDesign, b: &TolerantDesign) -> std::cmp::Ordering {
    b.share
        .total_cmp(&a.share)
        .then(a.mean_miss.total_cmp(&b.mean_miss))
}

/// Places all over the ranges.
fn spread_places(demand: &TolerantDesignDemand) -> Vec<Vec<f64>> {
    let coordinates: Vec<Coordinate> = (0..demand.varied.len())
        .map(|dimension| Coordinate::new(dimension, dimension as u32))
        .collect();
    let place = |number: usize| {
        let along = coordinates.iter().zip(&demand.varied);
        along
            .map(|(coordinate, varied)| {
                let share = coordinate.at(number as u32);
                (varied.min * (1.0 - share) + varied.max * share).clamp(varied.min, varied.max)
            })
            .collect()
    };
    (0..demand.places).map(place).collect()
}

struct Search<'a> {
    design: &'a dyn Buildable,
    demand: &'a TolerantDesignDemand,
    inputs: &'a [String],
}

impl Search<'_> {
    /// Each place, shared out among the cores.
    fn all(&self, places: &[Vec<f64>]) -> Result<Vec<TolerantDesign>> {
        let judged = parallel::map(places, |place| self.judged(place))?;
        judged.into_iter().collect()
    }

    fn judged(&self, values: &[f64]) -> Result<TolerantDesign> {
        let of_each = &self.demand.of_each;
        let drawn = (of_each.seed, of_each.sampling);
        let mut plan = Plan::new(
            self.design,
            &of_each.tolerances,
            self.inputs,
            drawn,
            of_each.builds,
            1,
        )?;
        for (input, value) in self.inputs.iter().zip(values) {
            plan.design_instead(input, *value);
        }
        let judge = Judge::new(&of_each.targets, &plan.figures)?;
        let nominal_miss = judge.misses(&plan.nominal()?)[0];
        let (mut passed, mut missed, mut first) = (0_u64, 0.0, 0);
        while first < of_each.builds {
            observer::check()?;
            let count = BATCH.min(of_each.builds - first);
            for miss in judge.misses(&plan.build(first, count as usize, |_| 0)?) {
                passed += u64::from(miss <= 0.0);
                missed += miss.clamp(0.0, 1.0);
            }
            first += count;
        }
        Ok(TolerantDesign {
            values: values.to_vec(),
            share: passed as f64 / of_each.builds as f64,
            interval: clopper_pearson(passed, of_each.builds, of_each.confidence),
            nominal_miss: Some(nominal_miss).filter(|miss| miss.is_finite()),
            mean_miss: missed / of_each.builds as f64,
        })
    }

    /// Goes on from a place, one input after the other, as long as it becomes better; then in smaller steps.
    fn climb(&self, start: TolerantDesign, all: &mut Vec<TolerantDesign>) -> Result<()> {
        let mut best = start;
        let mut step = FIRST_STEP;
        for _ in 0..HALVINGS {
            loop {
                let mut places = Vec::new();
                for (at, varied) in self.demand.varied.iter().enumerate() {
                    for side in [-step, step] {
                        let mut place = best.values.clone();
                        let moved = place[at] + side * (varied.max - varied.min);
                        place[at] = moved.clamp(varied.min, varied.max);
                        if place != best.values {
                            places.push(place);
                        }
                    }
                }
                let tried = self.all(&places)?;
                let next = tried.iter().min_by(|a, b| better(a, b)).cloned();
                all.extend(tried);
                match next {
                    Some(next) if better(&next, &best).is_lt() => best = next,
                    _ => break,
                }
            }
            step *= 0.5;
        }
        Ok(())
    }
}
