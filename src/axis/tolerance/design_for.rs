//! The design of which most builds work.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::axis::requirement;
use crate::axis::tolerance::buildable::Buildable;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::plan::{Judge, Plan};
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, counted, within};
use crate::numeric::binomial::clopper_pearson;
use crate::numeric::sobol::{Coordinate, MAX_DIMENSIONS};
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
/// Builds drawn and judged at a time, and the least share of those that are done that is added before a place is looked
/// at again.
const PIECE: u64 = 1024;
const MORE: u64 = 4;

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
/// Places are spread over the ranges by quasi-random points, the one that is given among them; the three best are
/// improved along each input by steps that halve. All places are judged on builds with the same departures (common
/// random numbers), so that what differs is the place. Of equal yields the one whose builds miss by less is better.
///
/// Every figure given is of all builds. A place is left early only if it could neither be among the designs that are
/// given nor lead a climb further even if all the rest of its builds worked: nothing is lost by that, and what is found
/// is the same on any number of threads.
///
/// It costs the builds of [`places`](TolerantDesignDemand::places) and of two more for each input at every step of a
/// climb, less what is left: beside twenty of a yield q a place of a yield p is left after (1 - q) / (1 - p) of its
/// builds. So poor places cost little where many are good, and all of their builds where hardly any is. None is judged
/// twice.
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
    let mut search = Search::new(design, demand)?;
    let given = demand.varied.iter();
    let given: Vec<f64> = given
        .map(|varied| design.nominal(&varied.input))
        .collect::<Result<_>>()?;
    let mut places = spread_places(demand);
    if given
        .iter()
        .zip(&demand.varied)
        .all(|(value, varied)| (varied.min..=varied.max).contains(value))
    {
        places.push(given);
    }
    search.run(places)?;
    Ok(search.result())
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

/// A place with what is known of it.
struct Place {
    values: Vec<f64>,
    /// By how much the design itself misses.
    nominal_miss: f64,
    sum: Sum,
}

/// What the first builds of a place come to.
#[derive(Clone, Copy, Default)]
struct Sum {
    builds: u64,
    passed: u64,
    /// By how much they miss, each held within 0 and 1.
    missed: f64,
}

impl Sum {
    fn add(&mut self, next: Self) {
        self.builds += next.builds;
        self.passed += next.passed;
        self.missed += next.missed;
    }
}

struct Search<'a> {
    demand: &'a TolerantDesignDemand,
    plan: Plan<'a>,
    judge: Judge,
    /// All places in the order in which they were thought of, and where each stands by the bits of its values.
    tried: Vec<Place>,
    known: BTreeMap<Vec<u64>, usize>,
}

impl<'a> Search<'a> {
    /// What is wrong with the demand is told by the design itself.
    fn new(design: &'a dyn Buildable, demand: &'a TolerantDesignDemand) -> Result<Self> {
        let of_each = &demand.of_each;
        let inputs = demand.varied.iter().map(|varied| varied.input.clone());
        let inputs: Vec<String> = inputs.collect();
        let drawn = (of_each.seed, of_each.sampling);
        let (tolerances, builds) = (&of_each.tolerances, of_each.builds);
        let plan = Plan::new(design, tolerances, &inputs, drawn, builds, 1)?;
        Ok(Self {
            judge: Judge::new(&of_each.targets, &plan.figures)?,
            plan,
            demand,
            tried: Vec::new(),
            known: BTreeMap::new(),
        })
    }

    fn run(&mut self, places: Vec<Vec<f64>>) -> Result<()> {
        self.judged(places, None)?;
        for start in self.ranked().into_iter().take(CLIMBED) {
            self.climb(start)?;
        }
        Ok(())
    }

    /// Judges these places, each once, shared out among the cores, and gives where they stand. Those that can neither
    /// be given nor be better than the one to be `beaten` are left early.
    fn judged(&mut self, places: Vec<Vec<f64>>, beaten: Option<usize>) -> Result<Vec<usize>> {
        let asked: Vec<usize> = places
            .into_iter()
            .map(|values| self.place(values))
            .collect();
        self.know_nominals()?;
        let mut open = asked.clone();
        open.sort_unstable();
        open.dedup();
        loop {
            let settled = self.settled(beaten);
            open.retain(|&at| !settled(&self.tried[at]));
            if open.is_empty() {
                return Ok(asked);
            }
            let mut pieces = Vec::new();
            for at in self.next(&open) {
                let done = self.tried[at].sum.builds;
                let until = (done + PIECE.max(done / MORE)).min(self.builds());
                let firsts = (done..until).step_by(PIECE as usize);
                pieces.extend(firsts.map(|first| (at, first, PIECE.min(until - first))));
            }
            let sums = parallel::map(&pieces, |&(at, first, count)| {
                let builds =
                    self.plan
                        .build_about(&self.tried[at].values, first, count as usize)?;
                let misses = self.judge.misses(&builds);
                Ok(Sum {
                    builds: count,
                    passed: misses.iter().filter(|miss| **miss <= 0.0).count() as u64,
                    missed: misses.iter().map(|miss| miss.clamp(0.0, 1.0)).sum(),
                })
            })?;
            for ((at, ..), sum) in pieces.into_iter().zip(sums) {
                self.tried[at].sum.add(sum?);
            }
        }
    }

    /// Which of those that are open are judged further: first a little of each, then the ones that lead to their end,
    /// so that the others know what they would have to reach.
    fn next(&self, open: &[usize]) -> Vec<usize> {
        let of_open = |choose: &dyn Fn(&usize) -> bool| -> Vec<usize> {
            open.iter().copied().filter(|at| choose(at)).collect()
        };
        let begun = |at: &usize| self.tried[*at].sum.builds > 0;
        let fresh = of_open(&|at| !begun(at));
        if !fresh.is_empty() {
            return fresh;
        }
        let mut leading: Vec<usize> = (0..self.tried.len()).collect();
        leading.sort_by_key(|&at| std::cmp::Reverse(self.tried[at].sum.passed));
        leading.truncate(GIVEN);
        let first = of_open(&|at| leading.contains(at));
        if first.is_empty() {
            open.to_vec()
        } else {
            first
        }
    }

    fn builds(&self) -> u64 {
        self.demand.of_each.builds
    }

    /// Where a place stands among those that are tried; a new one comes behind them.
    fn place(&mut self, values: Vec<f64>) -> usize {
        let bits = values.iter().map(|value| value.to_bits()).collect();
        *self.known.entry(bits).or_insert_with(|| {
            self.tried.push(Place {
                values,
                nominal_miss: f64::NAN,
                sum: Sum::default(),
            });
            self.tried.len() - 1
        })
    }

    /// Builds the designs themselves that were not built yet.
    fn know_nominals(&mut self) -> Result<()> {
        let unknown: Vec<usize> = (0..self.tried.len())
            .filter(|&at| self.tried[at].nominal_miss.is_nan())
            .collect();
        let misses = parallel::map(&unknown, |&at| {
            let built = self.plan.nominal_about(&self.tried[at].values)?;
            Ok(self.judge.misses(&built)[0])
        })?;
        for (at, miss) in unknown.into_iter().zip(misses) {
            self.tried[at].nominal_miss = miss?;
        }
        Ok(())
    }

    /// Tells of which places enough is known: of those that are done, and of those that make no difference to what is
    /// given even if all their other builds work.
    fn settled(&self, beaten: Option<usize>) -> impl Fn(&Place) -> bool + use<> {
        let builds = self.builds();
        let passes = |place: &Place| place.sum.passed;
        let most = move |place: &Place| place.sum.passed + (builds - place.sum.builds);
        // So many work of the last that is given, of the one to be beaten, and of the best that is not good enough.
        let mut all: Vec<u64> = self.tried.iter().map(passes).collect();
        let given = match all.len().checked_sub(GIVEN) {
            Some(at) => *all.select_nth_unstable(at).1,
            None => 0,
        };
        let least = beaten.map_or(given, |at| given.min(passes(&self.tried[at])));
        let min_yield = self.demand.min_yield;
        let fits =
            move |passed: u64| shortfalls(passed as f64 / builds as f64, min_yield).is_empty();
        let refused = self.tried.iter().filter(|place| !fits(most(place)));
        let refused = refused.map(passes).max().unwrap_or(0);
        let nominal = self.tried.iter().map(|place| place.nominal_miss);
        let nominal = nominal.filter(|miss| miss.is_finite());
        let nominal = nominal.fold(f64::INFINITY, f64::min);
        move |place| {
            let most = most(place);
            let counted = fits(place.sum.passed) || (!fits(most) && most < refused);
            let chosen = place.nominal_miss.is_finite() && place.nominal_miss <= nominal;
            place.sum.builds == builds || (most < least && counted && !chosen)
        }
    }

    /// All of whose builds are judged, the best first.
    fn ranked(&self) -> Vec<usize> {
        let whole = |at: &usize| self.tried[*at].sum.builds == self.builds();
        let mut ranked: Vec<usize> = (0..self.tried.len()).filter(whole).collect();
        ranked.sort_by(|&a, &b| self.better(a, b));
        ranked
    }

    fn better(&self, a: usize, b: usize) -> Ordering {
        let [a, b] = [a, b].map(|at| self.tried[at].sum);
        let by_miss = a.missed.total_cmp(&b.missed);
        b.passed.cmp(&a.passed).then(by_miss)
    }

    /// Goes on from a place, one input after the other, as long as it becomes better; then in smaller steps.
    fn climb(&mut self, start: usize) -> Result<()> {
        let mut best = start;
        let mut step = FIRST_STEP;
        for _ in 0..HALVINGS {
            loop {
                let mut places = Vec::new();
                for (at, varied) in self.demand.varied.iter().enumerate() {
                    for side in [-step, step] {
                        let mut place = self.tried[best].values.clone();
                        let moved = place[at] + side * (varied.max - varied.min);
                        place[at] = moved.clamp(varied.min, varied.max);
                        if place != self.tried[best].values {
                            places.push(place);
                        }
                    }
                }
                let tried = self.judged(places, Some(best))?;
                let whole = tried
                    .into_iter()
                    .filter(|at| self.tried[*at].sum.builds == self.builds());
                match whole.min_by(|&a, &b| self.better(a, b)) {
                    Some(next) if self.better(next, best).is_lt() => best = next,
                    _ => break,
                }
            }
            step *= 0.5;
        }
        Ok(())
    }

    fn design(&self, at: usize) -> TolerantDesign {
        let Place {
            values,
            nominal_miss,
            sum,
        } = &self.tried[at];
        let builds = sum.builds as f64;
        TolerantDesign {
            values: values.clone(),
            share: sum.passed as f64 / builds,
            interval: clopper_pearson(sum.passed, sum.builds, self.demand.of_each.confidence),
            nominal_miss: Some(*nominal_miss).filter(|miss| miss.is_finite()),
            mean_miss: sum.missed / builds,
        }
    }

    fn result(&self) -> TolerantSearch {
        let ranked = self.ranked();
        let nominal = |at: &usize| self.tried[*at].nominal_miss;
        // Of equals the one with the better yield.
        let with_nominal = ranked.iter().filter(|at| nominal(at).is_finite());
        let nominal_best = with_nominal.min_by(|a, b| nominal(a).total_cmp(&nominal(b)));
        let mut tally = Tally::default();
        let mut found = Vec::new();
        for (rank, &at) in ranked.iter().enumerate() {
            let design = self.design(at);
            let shortfalls = shortfalls(design.share, self.demand.min_yield);
            if !shortfalls.is_empty() {
                tally.reject(shortfalls, || Some(design));
                continue;
            }
            tally.accept();
            if found.len() < GIVEN {
                found.push((rank as f64, design));
            }
        }
        // Of those that were left early it is known whether their yield is enough.
        for place in &self.tried {
            let share = place.sum.passed as f64 / self.builds() as f64;
            if place.sum.builds == self.builds() {
                continue;
            }
            if shortfalls(share, self.demand.min_yield).is_empty() {
                tally.accept();
            } else {
                tally.reject_more(requirement::YIELD, 1);
            }
        }
        TolerantSearch {
            designs: tally.result("designs", found),
            nominal_best: nominal_best.map(|&at| self.design(at)),
            inputs: self
                .demand
                .varied
                .iter()
                .map(|varied| varied.input.clone())
                .collect(),
        }
    }
}

/// What a yield is short of.
fn shortfalls(share: f64, min_yield: f64) -> Shortfalls {
    let mut shortfalls = Shortfalls::default();
    shortfalls.at_least(requirement::YIELD, share, min_yield);
    shortfalls
}

#[cfg(test)]
#[path = "design_for_tests.rs"]
mod tests;
