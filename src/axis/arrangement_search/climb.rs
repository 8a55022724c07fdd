//! The best of one arrangement with one sensor: a grid over what varies, then a climb from the best places.

use crate::axis::Measure;
use crate::axis::arrangement_search::demand::{ArrangementObjective, VariedMeasure};
use crate::axis::arrangement_search::settle::{Score, Scored, settle};
use crate::axis::arrangement_search::trial::{Limits, Setting, Trial};

use crate::error::Result;
use crate::numeric::spacing::spaced;
use crate::observer;

/// Cells of the grid over each measure but the one that is settled, by their number.
const CELLS: [usize; 6] = [1, 16, 6, 4, 3, 2];
/// Most values of a measure in steps that are all looked at, by the number of those measures.
const STEPS: [usize; 7] = [1, 200, 32, 8, 5, 4, 3];
/// Places along the line on which a measure is settled: on the grid, and near a place that is known.
const FIRST: usize = 8;
const NEAR: usize = 2;
/// How exactly it is settled, as a part of its bounds: on the grid, and in the end.
const ROUGH: f64 = 1e-3;
const EXACT: f64 = 1e-6;
/// Places of the grid from which a climb begins.
const STARTS: usize = 3;
/// Rounds of a climb, and the narrowest stretch that it looks at, as a part of the bounds.
const ROUNDS: usize = 60;
const NARROWEST: f64 = 1e-4;
/// How exactly a line is settled where others follow, as a part of how far it goes.
const FOR_NOW: f64 = 0.02;
/// A line of which so much was gone was cut off.
const CUT_OFF: f64 = 0.98;
/// How far from a rough place it is closed in on exactly, as a part of the bounds, and how often that is widened.
const HAIR: f64 = 1e-4;
const WIDENED: usize = 3;
/// A round that gains less is none.
const GAIN: f64 = 1e-7;

/// A trial with its score.
#[derive(Debug, Clone)]
pub(super) struct Attempt {
    pub(super) trial: Trial,
    score: Score,
}

impl Scored for Attempt {
    fn score(&self) -> Score {
        self.score
    }
}

/// What varies, sorted out.
pub(super) struct Climb<'a> {
    setting: &'a Setting<'a>,
    objective: ArrangementObjective,
    /// Every trial so far.
    pub(super) trials: Vec<Trial>,
    /// Whether trials are judged by the figures of their axes, and not by a few dozen readings.
    exact: bool,
    /// The measure that is settled for all values of the others: the gap if it is free, along which the field falls
    /// fastest, else the last free one.
    inner: Option<usize>,
    /// The others that vary.
    outer: Vec<usize>,
}

impl<'a> Climb<'a> {
    pub(super) fn new(setting: &'a Setting<'a>, objective: ArrangementObjective) -> Self {
        let varies = |i: &usize| places(&setting.vary[*i]) > 0.0;
        let all = (0..setting.vary.len()).filter(varies);
        let free = |i: &usize| setting.vary[*i].step.is_none();
        let gap = |i: &usize| setting.vary[*i].measure == Measure::Gap;
        let inner = all.clone().filter(free).find(gap);
        let inner = inner.or_else(|| all.clone().rfind(free));
        Self {
            setting,
            objective,
            trials: Vec::new(),
            // In steps nothing is left to be closed in on afterwards.
            exact: inner.is_none(),
            inner,
            outer: all.filter(|i| Some(*i) != inner).collect(),
        }
    }

    /// The same by the figures of the axes throughout.
    pub(super) fn exactly(self) -> Self {
        Self {
            exact: true,
            ..self
        }
    }

    fn varied(&self, i: usize) -> &VariedMeasure {
        &self.setting.vary[i]
    }

    fn attempt(&mut self, values: &[f64], limits: &Limits) -> Result<Attempt> {
        observer::check()?;
        let trial = if self.exact {
            self.setting.attempt(values)?
        } else {
            self.setting.rough_attempt(values)?
        };
        self.trials.push(trial.clone());
        Ok(self.scored(trial, limits))
    }

    /// A trial under other limits.
    pub(super) fn scored(&self, trial: Trial, limits: &Limits) -> Attempt {
        Attempt {
            score: trial.score(limits, self.objective),
            trial,
        }
    }

    /// With one measure settled for the others: near a place that is known, or anywhere.
    fn settled(
        &mut self,
        values: &[f64],
        limits: &Limits,
        near: Option<f64>,
        exact: f64,
    ) -> Result<Option<Attempt>> {
        let Some(inner) = self.inner else {
            return self.attempt(values, limits).map(Some);
        };
        let [lower, upper] = self.varied(inner).bounds;
        let whole = upper - lower;
        let mut values = values.to_vec();
        let mut at = |this: &mut Self, place: f64| {
            values[inner] = place;
            this.attempt(&values, limits)
        };
        if let Some(near) = near {
            let reach = whole / FIRST as f64;
            let stretch = [(near - reach).max(lower), (near + reach).min(upper)];
            let first = ticks(stretch, NEAR, near);
            let found = settle(&first, exact * whole, &mut |place| at(self, place))?;
            // One that ends at the end of the stretch may go on.
            let ends = |place: f64| {
                (place <= stretch[0] && place > lower) || (place >= stretch[1] && place < upper)
            };
            if let Some((place, one)) = found
                && !ends(place)
            {
                return Ok(Some(one));
            }
        }
        let first = ticks([lower, upper], FIRST, 0.5 * (lower + upper));
        let found = settle(&first, exact * whole, &mut |place| at(self, place))?;
        Ok(found.map(|(_, one)| one))
    }

    /// The grid over all measures but the one that is settled, and for each of its places the best.
    pub(super) fn grid(&mut self, limits: &Limits) -> Result<Vec<Attempt>> {
        let outer = self.outer.clone();
        let ticks: Vec<Vec<f64>> = outer.iter().map(|&i| self.grid_values(i)).collect();
        let count: usize = ticks.iter().map(Vec::len).product();
        let mut values: Vec<f64> = self.setting.vary.iter().map(|v| v.bounds[0]).collect();
        let exact = if outer.is_empty() { EXACT } else { ROUGH };
        let mut found = Vec::with_capacity(count);
        for place in 0..count {
            let mut rest = place;
            for (ticks, &i) in ticks.iter().zip(&outer) {
                values[i] = ticks[rest % ticks.len()];
                rest /= ticks.len();
            }
            found.extend(self.settled(&values, limits, None, exact)?);
        }
        Ok(found)
    }

    /// Values of a measure on the grid: all of its steps if there are not too many.
    fn grid_values(&self, i: usize) -> Vec<f64> {
        let (varied, count) = (self.varied(i), self.outer.len());
        let last = places(varied);
        if varied.step.is_none() {
            let cells = CELLS[count.min(CELLS.len() - 1)];
            return ticks(varied.bounds, cells, varied.bounds[0]);
        }
        let cells = last.min(STEPS[count.min(STEPS.len() - 1)] as f64);
        let of = |k: f64| on_step(varied, (k / cells * last).round());
        (0..=cells as usize).map(|k| of(k as f64)).collect()
    }

    /// The best that is reached from the places of a grid that promise most.
    pub(super) fn best_from(
        &mut self,
        grid: &[Attempt],
        limits: &Limits,
    ) -> Result<Option<Attempt>> {
        let rescored: Vec<Attempt> = grid
            .iter()
            .map(|one| self.scored(one.trial.clone(), limits))
            .collect();
        let mut best: Option<Attempt> = None;
        for start in self.starts(&rescored) {
            let found = self.climb(rescored[start].clone(), limits)?;
            if best
                .as_ref()
                .is_none_or(|best| found.score.better_than(&best.score))
            {
                best = Some(found);
            }
        }
        best.map(|best| self.confirmed(best, limits)).transpose()
    }

    /// The same by the figures of its axis: closed in on once more, since a limit that a few dozen readings keep may be
    /// missed by a hair.
    fn confirmed(&mut self, best: Attempt, limits: &Limits) -> Result<Attempt> {
        let Some(inner) = self.inner.filter(|_| best.trial.rough) else {
            return Ok(best);
        };
        let rough = std::mem::replace(&mut self.exact, true);
        let [lower, upper] = self.varied(inner).bounds;
        let place = best.trial.values[inner];
        let mut reach = HAIR * (upper - lower);
        let mut found = self.attempt(&best.trial.values, limits)?;
        for _ in 0..WIDENED {
            let stretch = [(place - reach).max(lower), (place + reach).min(upper)];
            let first = ticks(stretch, NEAR, place);
            let mut values = best.trial.values.clone();
            let settled = settle(&first, EXACT * (upper - lower), &mut |place| {
                values[inner] = place;
                self.attempt(&values, limits)
            })?;
            if let Some((_, one)) = settled
                && one.score.better_than(&found.score)
            {
                found = one;
            }
            if found.score.keeps() || !best.score.keeps() {
                break;
            }
            reach *= 10.0;
        }
        self.exact = rough;
        Ok(found)
    }

    /// Places of the grid that promise more than their neighbors, those that promise most first, and the best as it is.
    fn starts(&self, grid: &[Attempt]) -> Vec<usize> {
        let sizes: Vec<usize> = self
            .outer
            .iter()
            .map(|&i| self.grid_values(i).len())
            .collect();
        let promise = |i: usize| grid[i].score.promise();
        let summit = |i: usize| {
            let mut stride = 1;
            for size in &sizes {
                let part = i / stride % size;
                let below = (part > 0).then(|| i - stride);
                let above = (part + 1 < *size).then(|| i + stride);
                let higher = |other: Option<usize>| other.is_some_and(|o| promise(o) > promise(i));
                if higher(below) || higher(above) {
                    return false;
                }
                stride *= size;
            }
            true
        };
        let mut starts: Vec<usize> = (0..grid.len()).filter(|i| summit(*i)).collect();
        starts.sort_by(|a, b| promise(*b).total_cmp(&promise(*a)));
        starts.truncate(STARTS);
        let best = (0..grid.len()).reduce(|best, i| {
            if grid[i].score.better_than(&grid[best].score) {
                i
            } else {
                best
            }
        });
        if let Some(best) = best
            && !starts.contains(&best)
        {
            starts.push(best);
        }
        starts
    }

    /// From a place to the best around it.
    fn climb(&mut self, start: Attempt, limits: &Limits) -> Result<Attempt> {
        let free: Vec<usize> = self
            .outer
            .iter()
            .copied()
            .filter(|&i| self.varied(i).step.is_none())
            .collect();
        let stepped: Vec<usize> = self
            .outer
            .iter()
            .copied()
            .filter(|&i| self.varied(i).step.is_some())
            .collect();
        // On the grid it was settled roughly.
        let mut best = self.again(start, limits)?;
        let cells = CELLS[self.outer.len().min(CELLS.len() - 1)] as f64;
        let mut reach = 1.0 / cells;
        for _ in 0..ROUNDS {
            let before = best.clone();
            best = self.climb_free(best, &free, reach, limits)?;
            best = self.climb_steps(best, &stepped, limits)?;
            let gained = best.score.better_than(&before.score)
                && (best.score.margin().max(0.0) != before.score.margin().max(0.0)
                    || best.score.merit - before.score.merit > GAIN);
            // One free measure is settled by one line, unless that ends where it was cut off.
            if let ([only], []) = (&free[..], &stepped[..]) {
                let [lower, upper] = self.varied(*only).bounds;
                let moved = best.trial.values[*only] - before.trial.values[*only];
                if moved.abs() < CUT_OFF * reach * (upper - lower) {
                    break;
                }
                continue;
            }
            if free.is_empty() && !gained {
                break;
            }
            if !gained {
                reach *= 0.25;
            }
            if reach < NARROWEST {
                break;
            }
        }
        Ok(best)
    }

    fn again(&mut self, start: Attempt, limits: &Limits) -> Result<Attempt> {
        let Some(inner) = self.inner else {
            return Ok(start);
        };
        let near = start.trial.values[inner];
        let found = self.settled(&start.trial.values, limits, Some(near), EXACT)?;
        Ok(found
            .filter(|found| found.score.better_than(&start.score))
            .unwrap_or(start))
    }

    /// Along each free measure, along the sums and differences of two, and along the whole way of the round.
    fn climb_free(
        &mut self,
        start: Attempt,
        free: &[usize],
        reach: f64,
        limits: &Limits,
    ) -> Result<Attempt> {
        let mut best = start.clone();
        for (k, &i) in free.iter().enumerate() {
            best = self.along(best, &[(i, 1.0)], reach, limits)?;
            for &j in &free[..k] {
                best = self.along(best, &[(i, 1.0), (j, 1.0)], reach, limits)?;
                best = self.along(best, &[(i, 1.0), (j, -1.0)], reach, limits)?;
            }
        }
        if free.len() > 1 {
            let way: Vec<(usize, f64)> = free
                .iter()
                .map(|&i| {
                    let [lower, upper] = self.varied(i).bounds;
                    let moved = best.trial.values[i] - start.trial.values[i];
                    (i, moved / (upper - lower))
                })
                .collect();
            let longest = way.iter().map(|(_, part)| part.abs()).fold(0.0, f64::max);
            if longest > 0.0 {
                let way: Vec<_> = way.iter().map(|(i, part)| (*i, part / longest)).collect();
                best = self.along(best, &way, reach, limits)?;
            }
        }
        Ok(best)
    }

    /// The best along a line through a place: by `way`, in parts of the bounds, up to `reach` either way.
    fn along(
        &mut self,
        start: Attempt,
        way: &[(usize, f64)],
        reach: f64,
        limits: &Limits,
    ) -> Result<Attempt> {
        let from = start.trial.values.clone();
        let near = self.inner.map(|inner| from[inner]);
        let at = |this: &Self, part: f64| {
            let mut values = from.clone();
            for &(i, size) in way {
                let [lower, upper] = this.varied(i).bounds;
                values[i] = (from[i] + part * size * (upper - lower)).clamp(lower, upper);
            }
            values
        };
        // No farther than the first bound.
        let mut ends = [-reach, reach];
        for &(i, size) in way.iter().filter(|(_, size)| *size != 0.0) {
            let [lower, upper] = self.varied(i).bounds;
            let to = [lower, upper].map(|bound| (bound - from[i]) / (size * (upper - lower)));
            ends = [
                ends[0].max(to[0].min(to[1]).min(0.0)),
                ends[1].min(to[0].max(to[1]).max(0.0)),
            ];
        }
        let first = ticks(ends, NEAR, 0.0);
        let width = if self.outer.len() == 1 {
            EXACT
        } else {
            (FOR_NOW * reach).max(EXACT)
        };
        // The middle is known.
        let known = start.clone();
        let found = settle(&first, width, &mut |part| {
            if part == 0.0 {
                return Ok(known.clone());
            }
            let values = at(self, part);
            let found = self.settled(&values, limits, near, EXACT)?;
            Ok(found.unwrap_or_else(|| known.clone()))
        })?;
        Ok(found
            .map(|(_, found)| found)
            .filter(|found| found.score.better_than(&start.score))
            .unwrap_or(start))
    }

    /// From step to step, of one measure or of two at once, as long as that is better.
    fn climb_steps(
        &mut self,
        start: Attempt,
        stepped: &[usize],
        limits: &Limits,
    ) -> Result<Attempt> {
        let mut moves: Vec<Vec<(usize, f64)>> = Vec::new();
        for (k, &i) in stepped.iter().enumerate() {
            for own in [1.0, -1.0] {
                moves.push(vec![(i, own)]);
                for &j in &stepped[..k] {
                    moves.extend([1.0, -1.0].map(|other| vec![(i, own), (j, other)]));
                }
            }
        }
        let mut best = start;
        'again: loop {
            let near = self.inner.map(|inner| best.trial.values[inner]);
            for steps in &moves {
                let mut values = best.trial.values.clone();
                let mut inside = true;
                for &(i, by) in steps {
                    let varied = self.varied(i);
                    let now = varied
                        .step
                        .map_or(0.0, |step| ((values[i] - varied.bounds[0]) / step).round());
                    inside &= (0.0..=places(varied)).contains(&(now + by));
                    values[i] = on_step(varied, now + by);
                }
                if !inside {
                    continue;
                }
                if let Some(found) = self.settled(&values, limits, near, EXACT)?
                    && found.score.better_than(&best.score)
                {
                    best = found;
                    continue 'again;
                }
            }
            return Ok(best);
        }
    }
}

/// The last step of a measure in steps; of another 1 where it varies, 0 where it does not.
fn places(varied: &VariedMeasure) -> f64 {
    let [lower, upper] = varied.bounds;
    varied.steps().unwrap_or(f64::from(u8::from(lower < upper)))
}

/// The value at so many steps from the lower bound.
fn on_step(varied: &VariedMeasure, steps: f64) -> f64 {
    let [lower, upper] = varied.bounds;
    (lower + steps * varied.step.unwrap_or(0.0)).min(upper)
}

/// Evenly spaced values from one to another, and `also` in place of the one that is nearest to it.
fn ticks([lower, upper]: [f64; 2], cells: usize, also: f64) -> Vec<f64> {
    if lower == upper {
        return vec![lower];
    }
    let mut all: Vec<f64> = spaced([lower, upper], cells).collect();
    let inner = 1..all.len() - 1;
    if let Some(nearest) =
        inner.min_by(|&a, &b| (all[a] - also).abs().total_cmp(&(all[b] - also).abs()))
        && lower < also
        && also < upper
    {
        all[nearest] = also;
    }
    all
}
