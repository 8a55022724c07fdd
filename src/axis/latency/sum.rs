//! The distribution of a sum of independent delays.

use crate::axis::latency::delay::{Delay, DelaySpec};
use crate::axis::latency::grid::Grid;
use crate::axis::latency::pieces::{Pieces, feasible};
use crate::error::Result;
use crate::numeric::root;
use crate::observer;

/// Times at which measured samples may add up, where the other delays are spread; each costs an evaluation.
const MOST_BESIDE: usize = 1024;
/// The same where nothing else is spread: a step each.
const MOST_ALONE: usize = 1 << 20;

/// Roundings of a sum of times, as a share of it.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// A distribution that changes by no more than rounding over such a share of the whole spread stands still.
const STANDS_STILL: f64 = 1e-9;

/// The sum.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sum {
    /// Shortest, s.
    least: f64,
    /// Longest less shortest, s.
    spread: f64,
    shape: Shape,
}

/// The distribution from the shortest sum on.
#[derive(Debug, Clone, PartialEq)]
enum Shape {
    /// Single times.
    Steps(Steps),
    /// A density about each of some times.
    Pieces(Pieces, Steps),
    /// Rounded, and whether there is a density.
    Grid(Grid, bool),
}

impl Shape {
    /// Share of a probability that roundings may amount to, several times of what the tests measure.
    fn rounding(&self) -> f64 {
        match self {
            // A quotient of whole numbers.
            Shape::Steps(_) => 4.0 * f64::EPSILON,
            // Polynomials, added up: 6e-15.
            Shape::Pieces(..) => 4e-14,
            // Transforms of 131,000 points, added up.
            Shape::Grid(..) => 1e-12,
        }
    }
}

/// Single times, ascending, each with how often it comes up, the earlier ones counted in.
#[derive(Debug, Clone, PartialEq)]
struct Steps {
    times: Vec<f64>,
    counts: Vec<f64>,
}

impl Sum {
    /// Of some delays, of which there are 64 at most.
    ///
    /// # Errors
    /// That the work was stopped.
    pub(super) fn of(delays: &[&Delay]) -> Result<Self> {
        let mut least = 0.0;
        let mut spread = 0.0;
        for delay in delays {
            let [low, high] = delay.range();
            least += low;
            spread += high - low;
        }
        let shape = match exact(delays)? {
            Some(shape) => shape,
            None => {
                let dense = delays.iter().any(|delay| !delay.ramps().is_empty());
                Shape::Grid(Grid::of(delays)?, dense)
            }
        };
        Ok(Self {
            least,
            spread,
            shape,
        })
    }

    /// Most that a time is off, s; 0 if the sum is exact but for rounding.
    pub(super) fn bound(&self) -> f64 {
        match &self.shape {
            Shape::Steps(_) | Shape::Pieces(..) => 0.0,
            Shape::Grid(grid, _) => grid.bound(),
        }
    }

    /// Shortest and longest, s.
    pub(super) fn range(&self) -> [f64; 2] {
        [self.least, self.least + self.spread]
    }

    /// Probability that it takes a time (s) at most.
    pub(super) fn distribution(&self, time: f64) -> f64 {
        // A time that is one of the sums but for rounding is reached.
        let after = time - self.least + ROUNDING * time.abs();
        if after >= self.spread {
            return 1.0;
        }
        if after < 0.0 {
            return 0.0;
        }
        self.distribution_after(after)
    }

    fn distribution_after(&self, after: f64) -> f64 {
        match &self.shape {
            Shape::Steps(steps) => steps.share(after),
            Shape::Pieces(pieces, steps) => {
                steps.mean_of(after, pieces.end(), |t| pieces.distribution(t))
            }
            Shape::Grid(grid, _) => grid.distribution(after),
        }
    }

    /// Density at a time (s), 1/s; `None` if all of it is in single times.
    pub(super) fn density(&self, time: f64) -> Option<f64> {
        let after = time - self.least;
        match &self.shape {
            Shape::Steps(_) | Shape::Grid(_, false) => None,
            _ if !(0.0..=self.spread).contains(&after) => Some(0.0),
            Shape::Pieces(pieces, steps) => Some(steps.mean_of_density(after, pieces)),
            Shape::Grid(grid, true) => Some(grid.density(after)),
        }
    }

    /// The least time by which it is over with at least the probability `share`, s.
    ///
    /// Measured times add up to a distribution that stands still between them, and it may do so at a round share: 19
    /// of 20 sums are over, and 95 % are asked for. Whether the rest waits for the twentieth must not hang on the last
    /// bit, so where it stands still a share is met that is met but for rounding.
    pub(super) fn quantile(&self, share: f64) -> Result<f64> {
        let met = share * (1.0 - self.shape.rounding());
        let after = match &self.shape {
            _ if share <= 0.0 => 0.0,
            _ if share >= 1.0 => self.spread,
            Shape::Steps(steps) => steps.quantile(met),
            Shape::Pieces(..) | Shape::Grid(..) => {
                let after = self.reached(share, self.spread)?;
                let before = after - STANDS_STILL * self.spread;
                if before > 0.0 && self.distribution_after(before) >= met {
                    self.reached(met, before)?
                } else {
                    after
                }
            }
        };
        Ok(self.least + after)
    }

    /// When a share is reached that is within a time, both counted from the shortest.
    fn reached(&self, share: f64, within: f64) -> Result<f64> {
        // What is left when nothing is earlier.
        if self.distribution_after(0.0) >= share {
            return Ok(0.0);
        }
        root::edge(0.0, within, |after| {
            observer::check()?;
            Ok(self.distribution_after(after) < share)
        })
    }
}

/// The exact sum, if it is not too long.
fn exact(delays: &[&Delay]) -> Result<Option<Shape>> {
    let mut spread: Vec<_> = delays.iter().map(|delay| delay.ramps()).collect();
    spread.retain(|ramps| !ramps.is_empty());
    let most = if spread.is_empty() {
        MOST_ALONE
    } else {
        MOST_BESIDE
    };
    let mut steps = Steps::none();
    for delay in delays {
        if let DelaySpec::Sample { times } = delay.spec() {
            observer::check()?;
            let Some(more) = steps.plus(&Steps::of(times), most) else {
                return Ok(None);
            };
            steps = more;
        }
    }
    if spread.is_empty() {
        return Ok(Some(Shape::Steps(steps)));
    }
    let whole = |ramps: &Vec<_>| -> f64 {
        ramps
            .iter()
            .map(|ramp: &super::delay::Ramp| ramp.width)
            .sum()
    };
    spread.sort_by(|a, b| whole(a).total_cmp(&whole(b)));
    let mut pieces = Pieces::step();
    for ramps in &spread {
        if !feasible(ramps) {
            return Ok(None);
        }
        let Some(more) = pieces.plus(ramps)? else {
            return Ok(None);
        };
        pieces = more;
    }
    Ok(Some(Shape::Pieces(pieces, steps)))
}

impl Steps {
    /// Of nothing: 0, once.
    fn none() -> Self {
        Self {
            times: vec![0.0],
            counts: vec![1.0],
        }
    }

    /// Of a sample, from its least time.
    fn of(times: &[f64]) -> Self {
        let mut sorted = times.to_vec();
        sorted.sort_by(f64::total_cmp);
        let least = sorted.first().copied().unwrap_or(0.0);
        Self::counted(sorted.into_iter().map(|time| (time - least, 1.0)))
    }

    /// Of times that ascend, each with how often it comes up.
    fn counted(all: impl Iterator<Item = (f64, f64)>) -> Self {
        let (mut times, mut counts): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
        let mut sum = 0.0;
        for (time, count) in all {
            sum += count;
            match counts.last_mut() {
                Some(last) if times.last() == Some(&time) => *last = sum,
                _ => {
                    times.push(time);
                    counts.push(sum);
                }
            }
        }
        Self { times, counts }
    }

    /// Each with how often it comes up by itself.
    fn single(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let before = std::iter::once(&0.0).chain(&self.counts);
        let counts = self.counts.iter().zip(before).map(|(to, from)| to - from);
        self.times.iter().copied().zip(counts)
    }

    /// Each of these with each of the others, unless that is more than `most`.
    fn plus(&self, other: &Self, most: usize) -> Option<Self> {
        if self.times.len().saturating_mul(other.times.len()) > most {
            return None;
        }
        let mut all: Vec<(f64, f64)> = self
            .single()
            .flat_map(|(a, count)| other.single().map(move |(b, more)| (a + b, count * more)))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        Some(Self::counted(all.into_iter()))
    }

    fn total(&self) -> f64 {
        self.counts[self.counts.len() - 1]
    }

    /// Share of times that are at most `time`.
    fn share(&self, time: f64) -> f64 {
        let after = self.times.partition_point(|one| *one <= time);
        match after.checked_sub(1) {
            Some(i) => self.counts[i] / self.total(),
            None => 0.0,
        }
    }

    fn quantile(&self, share: f64) -> f64 {
        let total = self.total();
        let i = self.counts.partition_point(|count| count / total < share);
        self.times[i.min(self.times.len() - 1)]
    }

    /// Mean of a distribution function about each of the times, which is 1 from `end` behind it on.
    fn mean_of(&self, at: f64, end: f64, of: impl Fn(f64) -> f64) -> f64 {
        let over = self.times.partition_point(|time| at - time >= end);
        let certain = over.checked_sub(1).map_or(0.0, |i| self.counts[i]);
        let within = self.single().skip(over).take_while(|(time, _)| *time <= at);
        let sum: f64 = within.map(|(time, count)| count * of(at - time)).sum();
        (certain + sum) / self.total()
    }

    fn mean_of_density(&self, at: f64, pieces: &Pieces) -> f64 {
        let terms = self
            .single()
            .map(|(time, count)| count * pieces.density(at - time));
        terms.sum::<f64>() / self.total()
    }
}

#[cfg(test)]
#[path = "sum_tests.rs"]
mod tests;
