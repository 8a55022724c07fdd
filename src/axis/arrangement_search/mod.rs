//! Search over magnets, sensors and the measures of any arrangement.

mod climb;
mod demand;
mod front;
mod outcome;
mod rough;
mod settle;
mod trial;

use climb::Climb;
pub use demand::{ArrangementDemand, ArrangementObjective, VariedMeasure};
use front::undominated;
pub use outcome::{
    ArrangementCandidate, ArrangementKind, ArrangementSearch, ArrangementSummary, BestOfKind,
    Character, JustOutside, ParetoRow,
};
use settle::{Score, Scored};
use trial::{Limits, Setting, Trial, Worth};

use std::cmp::Ordering;

use crate::axis::requirement;
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::observer;
use crate::parallel;
use crate::search::{Requirement, Shortfalls, Tally};

/// Least span of an answer that is given for its character, as a share of that of the best.
const USEFUL: f64 = 0.5;
/// Most lines of the table, and most trials of a setting from which they are taken.
const MOST_ROWS: usize = 40;
const MOST_KEPT: usize = 400;
/// By what share of the limit, and by what share of range or span where the limit is zero, an arrangement may miss it
/// to be just outside.
const OUTSIDE: f64 = 0.05;
const OUTSIDE_ZERO: f64 = 0.01;
/// How many times as good it has to be.
const FAR_MORE: f64 = 1.5;
/// How many of the settings are looked at again for it.
const LOOKS: usize = 3;
/// How many trials of a character are looked at exactly until one keeps the limits.
const TRIES: usize = 20;
/// Answers whose measures differ by less, as a part of their bounds, are one.
const SAME: f64 = 1e-3;

/// Of which setting, what, and in what it excels.
type Chosen = (usize, Trial, Vec<Character>);

/// What one setting of arrangement and sensor came to.
struct Outcome {
    tally: Tally<Chosen>,
    /// The best by the objective, whether it keeps the limits or not.
    best: Option<(Score, Trial)>,
    /// What keeps the limits, without what others are better than in everything that is asked for.
    kept: Vec<Trial>,
    /// What misses one limit by little, the best of each requirement.
    outside: Vec<(Score, Trial)>,
    /// The best of each place of the grid.
    grid: Vec<climb::Attempt>,
}

/// Searches the arrangements, sensors and measures of a demand for the best that keeps its limits.
///
/// For each arrangement with each sensor: a grid over the measures that vary, on which one of them, the gap if it may,
/// is settled for all values of the others, since the best arrangements lie along a narrow crest where a limit is just
/// kept, and only on the crest can one arm be compared with another; then a climb from the places that promise most,
/// along lines over which the same measure is settled anew. No derivatives, no random numbers, the same answer every
/// time. Measures in steps stay on their steps throughout. A linear sensor is looked at by a few dozen readings on the
/// way; whatever is returned is judged by the figures of its axis, which are returned with it: the output's range and
/// linearity exactly, the other limits to a billionth.
///
/// It is a search from places of a coarse grid and no proof: on the arrangements of the tests brute force finds nothing
/// better by more than 1e-4 of merit, but a summit that is narrower than a cell of the grid, or that lies where only a
/// narrow stretch keeps the limits, may be missed. Narrower bounds help.
///
/// Tried, in the counts of the result, is what was judged by the figures of its axis; the looks by a few dozen readings
/// that led there are not counted.
///
/// The answers are the best by the objective, then those of another character ([`Character`]), then the best of other
/// magnets and sensors. If nothing would do but what misses one limit by up to a twentieth of it (by a hundredth of
/// range or span if the limit is zero) is 1.5 times as good, [`ArrangementSearch::just_outside`] tells so.
///
/// # Errors
/// [`Error::Count`] for no arrangement or sensor, or too many; [`Error::NotAscending`] and [`Error::OutOfRange`] for
/// bounds or limits that make no sense; [`Error::NotAChoice`] for a measure that no arrangement has; what
/// [`Axis::new`](crate::axis::Axis::new) refuses for any measures. That no arrangement keeps the limits is no error
/// here; [`SearchResult::best`](crate::search::SearchResult::best) makes it one.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{
///     ArrangementDemand, Measure, SwungLayout, SwungLayoutSpec, VariedMeasure, search_arrangements,
/// };
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Block;
/// use yokewright::units::{DEG, MM, MV_PER_MT};
///
/// // Cubes of 4 and 5 mm, polarized along the tangent; the arm in steps of 0.5 mm, as holes are drilled.
/// let swung = |side: f64| {
///     let cube = Block::new(Vector3::repeat(side), Vector3::new(0.0, 1.3, 0.0), Isometry3::identity())?;
///     Ok::<_, yokewright::Error>(SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM))?.into())
/// };
/// let demand = ArrangementDemand::new(
///     vec![swung(4.0 * MM)?, swung(5.0 * MM)?],
///     vec![LinearHall::new(LinearHallSpec::new(5.0, 25.0 * MV_PER_MT))?.into()],
///     Converter::new(12, 5.0, Rounding::Nearest, 0.0)?,
///     [-6.0 * DEG, 6.0 * DEG],
///     vec![
///         VariedMeasure::new(Measure::Arm, [8.0 * MM, 20.0 * MM]).stepped(0.5 * MM),
///         VariedMeasure::new(Measure::Gap, [1.0 * MM, 6.0 * MM]),
///     ],
/// );
/// let found = search_arrangements(&demand)?;
/// let best = found.result.best()?;
/// assert!(best.summary.span > 0.9 && best.summary.linearity <= 0.01);
/// assert_eq!(best.figures.clipped_share(), 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_arrangements(demand: &ArrangementDemand) -> Result<ArrangementSearch> {
    demand.check()?;
    let limits = Limits::of(demand);
    let settings: Vec<Setting<'_>> = demand
        .arrangements
        .iter()
        .flat_map(|start| demand.sensors.iter().map(move |sensor| (start, sensor)))
        .map(|(start, sensor)| Setting::new(demand, start, sensor))
        .collect();
    let numbered: Vec<usize> = (0..settings.len()).collect();
    let outcomes = parallel::map(&numbered, |&i| explore(demand, &settings[i], i, &limits))?;
    let mut outcomes: Vec<Outcome> = outcomes.into_iter().collect::<Result<_>>()?;

    let mut tally = Tally::default();
    for outcome in &mut outcomes {
        tally.add(std::mem::take(&mut outcome.tally));
    }
    let finding = Finding {
        demand,
        settings: &settings,
        limits,
    };
    finding.approach(&mut outcomes, &mut tally)?;
    let outside = finding.just_outside(&mut outcomes, &mut tally)?;
    let found = finding.answers(&outcomes, &mut tally)?;
    let pareto = finding.pareto(&outcomes, &mut tally)?;
    let result = tally.result("arrangements of magnet and sensor", found);
    let mut failed = None;
    let result = result.filter_map(|(i, trial, characters)| {
        let candidate = finding.candidate(i, &trial, characters);
        candidate.map_err(|error| failed = Some(error)).ok()
    });
    if let Some(error) = failed {
        return Err(error);
    }
    Ok(ArrangementSearch {
        result,
        pareto,
        just_outside: outside,
        kinds: finding.kinds(&outcomes)?,
    })
}

/// Everything about one setting.
fn explore(
    demand: &ArrangementDemand,
    setting: &Setting<'_>,
    index: usize,
    limits: &Limits,
) -> Result<Outcome> {
    let mut climb = Climb::new(setting, demand.objective);
    let grid = climb.grid(limits)?;
    let best = climb.best_from(&grid, limits)?;
    let mut outcome = Outcome {
        tally: Tally::default(),
        best: best.map(|best| (best.score(), best.trial)),
        kept: Vec::new(),
        outside: Vec::new(),
        grid,
    };
    outcome.take(climb.trials, setting, index, demand, limits);
    Ok(outcome)
}

impl Outcome {
    /// Counts trials and keeps those that may be wanted. Tried is what was judged by the figures of its axis.
    fn take(
        &mut self,
        trials: Vec<Trial>,
        setting: &Setting<'_>,
        index: usize,
        demand: &ArrangementDemand,
        limits: &Limits,
    ) {
        for trial in trials {
            let shortfalls = trial.shortfalls(limits);
            if shortfalls.is_empty() {
                if !trial.rough {
                    self.tally.accept();
                }
                self.kept.push(trial);
                continue;
            }
            if let Some(requirement) = just_misses(&trial, &shortfalls, limits) {
                let score = trial.score(limits, demand.objective);
                let of_it = |(_, known): &&mut (Score, Trial)| {
                    known.shortfalls(limits).of(requirement).is_some()
                };
                match self.outside.iter_mut().find(of_it) {
                    Some(known) if known.0.merit < score.merit => *known = (score, trial.clone()),
                    Some(_) => {}
                    None => self.outside.push((score, trial.clone())),
                }
            }
            if !trial.rough {
                let built = trial.worth.is_ok();
                let candidate = || built.then(|| (index, trial.clone(), Vec::new()));
                self.tally.reject(shortfalls, candidate);
            }
        }
        self.thin_out(setting);
    }

    /// Leaves of what keeps the limits the table of span, linearity and size, and by each other figure what no wider
    /// sweep has as good: whatever span is asked for, the best of each character is among them.
    fn thin_out(&mut self, setting: &Setting<'_>) {
        let spans: Vec<(&Trial, &Worth)> = self
            .kept
            .iter()
            .filter_map(|trial| Some((trial, trial.worth.as_ref().ok()?)))
            .collect();
        let front = |figures: &dyn Fn(&Trial, &Worth) -> [f64; 2]| {
            let all = spans.iter().map(|(trial, worth)| {
                let [a, b] = figures(trial, worth);
                [-worth.span, a, b]
            });
            spread(undominated(&all.collect::<Vec<_>>()), MOST_KEPT)
        };
        let mut wanted = front(&|_, worth| [worth.linearity, worth.size]);
        wanted.extend(front(&|_, worth| [worth.step, 0.0]));
        wanted.extend(front(&|_, worth| [worth.volume, 0.0]));
        wanted.extend(front(&|trial, _| [-setting.gap(&trial.values), 0.0]));
        wanted.sort_unstable();
        wanted.dedup();
        self.kept = wanted.iter().map(|&i| spans[i].0.clone()).collect();
    }
}

/// So many of them at most, evenly spread, both ends among them.
fn spread<T: Copy>(all: Vec<T>, most: usize) -> Vec<T> {
    if all.len() <= most {
        return all;
    }
    let (last, steps) = (all.len() - 1, most - 1);
    (0..most).map(|k| all[k * last / steps]).collect()
}

/// The limits of which one may be missed by little.
fn relaxed(limits: &Limits, requirement: Requirement) -> Option<Limits> {
    let mut more = *limits;
    match requirement {
        requirement::LINEARITY if limits.max_linearity < 1.0 => {
            more.max_linearity *= 1.0 + OUTSIDE;
        }
        requirement::RANGE if limits.max_clipped == 0.0 => more.beyond = OUTSIDE_ZERO,
        requirement::CLIPPING if limits.max_clipped > 0.0 => more.max_clipped *= 1.0 + OUTSIDE,
        requirement::SPAN if limits.min_span > 0.0 => more.min_span *= 1.0 - OUTSIDE,
        requirement::DISTANCE if limits.min_clearance > 0.0 => more.min_clearance *= 1.0 - OUTSIDE,
        requirement::SIZE if limits.max_size.is_finite() => more.max_size *= 1.0 + OUTSIDE,
        _ => return None,
    }
    Some(more)
}

/// The one limit that a trial misses by little, if it does.
fn just_misses(trial: &Trial, shortfalls: &Shortfalls, limits: &Limits) -> Option<Requirement> {
    let mut all = shortfalls.iter();
    let only = all.next()?.requirement;
    let relaxed = relaxed(limits, only)?;
    let kept = trial.margins(&relaxed).iter().all(|margin| *margin <= 0.0);
    (all.next().is_none() && kept).then_some(only)
}

/// What the outcomes of all settings amount to.
struct Finding<'a> {
    demand: &'a ArrangementDemand,
    settings: &'a [Setting<'a>],
    limits: Limits,
}

impl Finding<'_> {
    fn candidate(
        &self,
        setting: usize,
        trial: &Trial,
        characters: Vec<Character>,
    ) -> Result<ArrangementCandidate> {
        let own = &self.settings[setting];
        let arrangement = own.arrangement(&trial.values)?;
        let axis = own.axis(&arrangement)?;
        let (figures, over) = own.figures(&axis)?;
        let worth = Worth::of(&arrangement, axis.sensor(), &figures, over);
        Ok(ArrangementCandidate {
            arrangement,
            start: setting / self.demand.sensors.len(),
            sensor: setting % self.demand.sensors.len(),
            axis,
            figures,
            summary: summary(&worth),
            characters,
        })
    }

    /// The best of all settings that keeps the limits, or else comes nearest.
    fn best<'b>(&self, outcomes: &'b [Outcome]) -> Option<(usize, &'b (Score, Trial))> {
        let all = outcomes.iter().enumerate();
        let all = all.filter_map(|(i, outcome)| Some((i, outcome.best.as_ref()?)));
        all.reduce(|best, one| {
            if one.1.0.better_than(&best.1.0) {
                one
            } else {
                best
            }
        })
    }

    /// How many times as good one is as another, by the objective.
    fn times_as_good(&self, one: &Trial, other: &Trial) -> f64 {
        let (Ok(one), Ok(other)) = (&one.worth, &other.worth) else {
            return 0.0;
        };
        match self.demand.objective {
            ArrangementObjective::Span => one.span / other.span,
            ArrangementObjective::Linearity => other.linearity / one.linearity,
            ArrangementObjective::Step => other.step / one.step,
        }
    }

    /// Where nothing keeps the limits: once more towards them where that comes nearest, by the figures of the axes,
    /// since a few dozen readings do not see the corners of a clipped curve.
    fn approach(&self, outcomes: &mut [Outcome], tally: &mut Tally<Chosen>) -> Result<()> {
        let Some((i, (score, _))) = self.best(outcomes) else {
            return Ok(());
        };
        if score.keeps() {
            return Ok(());
        }
        let setting = &self.settings[i];
        let mut climb = Climb::new(setting, self.demand.objective).exactly();
        if let Some(best) = climb.best_from(&outcomes[i].grid, &self.limits)?
            && !best.trial.rough
        {
            outcomes[i].best = Some((best.score(), best.trial));
        }
        outcomes[i].take(climb.trials, setting, i, self.demand, &self.limits);
        tally.add(std::mem::take(&mut outcomes[i].tally));
        Ok(())
    }

    /// What misses one limit by little and is far better than the best.
    fn just_outside(
        &self,
        outcomes: &mut [Outcome],
        tally: &mut Tally<Chosen>,
    ) -> Result<Option<JustOutside>> {
        let Some((_, (_, best))) = self.best(outcomes) else {
            return Ok(None);
        };
        let best = best.clone();
        let all_there_is = |worth: &Worth| {
            self.demand.objective == ArrangementObjective::Span && worth.span * FAR_MORE > 1.0
        };
        if !best.worth.as_ref().is_ok_and(|worth| !all_there_is(worth)) {
            return Ok(None);
        }
        // A little more of the range is never far more.
        let others = requirement::ALL
            .iter()
            .filter(|one| **one != requirement::RANGE);
        for requirement in others {
            if let Some(limits) = relaxed(&self.limits, *requirement) {
                self.look_outside(outcomes, tally, &limits)?;
            }
        }
        let all = outcomes.iter().enumerate();
        let all = all.flat_map(|(i, outcome)| outcome.outside.iter().map(move |one| (i, one)));
        let mut all: Vec<_> = all.collect();
        all.sort_by(|a, b| b.1.0.merit.total_cmp(&a.1.0.merit));
        for (i, (_, trial)) in all {
            if self.times_as_good(trial, &best) < FAR_MORE {
                break;
            }
            let trial = self.settings[i].attempt(&trial.values)?;
            let shortfalls = trial.shortfalls(&self.limits);
            let Some(only) = just_misses(&trial, &shortfalls, &self.limits) else {
                continue;
            };
            if let Some(shortfall) = shortfalls.of(only)
                && self.times_as_good(&trial, &best) >= FAR_MORE
            {
                return Ok(Some(JustOutside {
                    objective: self.demand.objective,
                    candidate: self.candidate(i, &trial, Vec::new())?,
                    shortfall: *shortfall,
                    instead_of: best.worth.as_ref().ok().map(summary),
                }));
            }
        }
        Ok(None)
    }

    /// Climbs under limits of which one is wider, in the settings that promise most then.
    fn look_outside(
        &self,
        outcomes: &mut [Outcome],
        tally: &mut Tally<Chosen>,
        limits: &Limits,
    ) -> Result<()> {
        let mut promises: Vec<(f64, usize)> = Vec::new();
        for (i, outcome) in outcomes.iter().enumerate() {
            let climb = Climb::new(&self.settings[i], self.demand.objective);
            let scores = outcome.grid.iter();
            let scores =
                scores.map(|one| climb.scored(one.trial.clone(), limits).score().promise());
            promises.push((scores.fold(f64::NEG_INFINITY, f64::max), i));
        }
        promises.sort_by(|a, b| b.0.total_cmp(&a.0));
        for &(_, i) in promises.iter().take(LOOKS) {
            let setting = &self.settings[i];
            let mut climb = Climb::new(setting, self.demand.objective);
            climb.best_from(&outcomes[i].grid, limits)?;
            outcomes[i].take(climb.trials, setting, i, self.demand, &self.limits);
            tally.add(std::mem::take(&mut outcomes[i].tally));
        }
        Ok(())
    }

    /// The answers with their scores, the least of which is best.
    fn answers(
        &self,
        outcomes: &[Outcome],
        tally: &mut Tally<Chosen>,
    ) -> Result<Vec<(f64, Chosen)>> {
        let mut bests: Vec<(usize, &(Score, Trial))> = outcomes
            .iter()
            .enumerate()
            .filter_map(|(i, outcome)| Some((i, outcome.best.as_ref()?)))
            .filter(|(_, (score, _))| score.keeps())
            .collect();
        bests.sort_by(|a, b| b.1.0.merit.total_cmp(&a.1.0.merit));
        let Some((_, (_, Trial { worth: Ok(top), .. }))) = bests.first() else {
            return Ok(Vec::new());
        };
        let useful = USEFUL * top.span;
        let mut chosen: Vec<Chosen> = Vec::new();
        let mut add = |i: usize, trial: &Trial, character: Option<Character>| {
            let same =
                |one: &&mut Chosen| one.0 == i && self.settings[i].alike(&one.1, trial, SAME);
            if let Some(known) = chosen.iter_mut().find(same) {
                known.2.extend(character);
            } else if chosen.len() < self.demand.answers {
                chosen.push((i, trial.clone(), character.into_iter().collect()));
            }
        };
        if let Some((i, (_, trial))) = bests.first() {
            add(*i, trial, None);
        }
        for character in Character::ALL {
            let mut strongest: Vec<([f64; 2], usize, &Trial)> = Vec::new();
            for (i, outcome) in outcomes.iter().enumerate() {
                let own = outcome.best.iter().filter(|(score, _)| score.keeps());
                for trial in own.map(|(_, trial)| trial).chain(&outcome.kept) {
                    let Ok(worth) = &trial.worth else { continue };
                    let key = [
                        self.key(character, i, trial, worth),
                        -trial.merit(self.demand.objective),
                    ];
                    if worth.span >= useful {
                        strongest.push((key, i, trial));
                    }
                }
            }
            strongest.sort_by(|(a, ..), (b, ..)| a.partial_cmp(b).unwrap_or(Ordering::Equal));
            // By its own figures; one that then misses a limit by a hair has others beside it.
            for (_, i, trial) in strongest.into_iter().take(TRIES) {
                if let Some(trial) = self.confirmed(i, trial, tally)?
                    && trial.worth.as_ref().is_ok_and(|worth| worth.span >= useful)
                {
                    add(i, &trial, Some(character));
                    break;
                }
            }
        }
        for (i, (_, trial)) in bests.iter().skip(1) {
            add(*i, trial, None);
        }
        let scored = chosen.into_iter();
        let scored = scored.map(|one| (-one.1.merit(self.demand.objective), one));
        Ok(scored.collect())
    }

    /// A trial by the figures of its axis, if it keeps the limits by them.
    fn confirmed(
        &self,
        setting: usize,
        trial: &Trial,
        tally: &mut Tally<Chosen>,
    ) -> Result<Option<Trial>> {
        observer::check()?;
        if !trial.rough {
            return Ok(Some(trial.clone()).filter(|one| one.shortfalls(&self.limits).is_empty()));
        }
        let trial = self.settings[setting].attempt(&trial.values)?;
        let shortfalls = trial.shortfalls(&self.limits);
        if shortfalls.is_empty() {
            tally.accept();
            return Ok(Some(trial));
        }
        tally.reject(shortfalls, || {
            trial.worth.is_ok().then(|| (setting, trial, Vec::new()))
        });
        Ok(None)
    }

    /// What is least where the character is strongest.
    fn key(&self, character: Character, setting: usize, trial: &Trial, worth: &Worth) -> f64 {
        match character {
            Character::WidestSpan => worth.linearity - worth.span,
            Character::Straightest => worth.linearity,
            Character::FinestStep => worth.step,
            Character::SmallestMagnet => worth.volume,
            Character::WidestGap => -self.settings[setting].gap(&trial.values),
            Character::Smallest => worth.size,
        }
    }

    fn pareto(&self, outcomes: &[Outcome], tally: &mut Tally<Chosen>) -> Result<Vec<ParetoRow>> {
        let mut rows: Vec<(usize, &Trial, Worth)> = Vec::new();
        for (i, outcome) in outcomes.iter().enumerate() {
            for trial in &outcome.kept {
                rows.extend(trial.worth.as_ref().ok().map(|worth| (i, trial, *worth)));
            }
        }
        let figures = |worth: &Worth| [-worth.span, worth.linearity, worth.size];
        let front: Vec<_> = rows.iter().map(|(.., worth)| figures(worth)).collect();
        let mut kept: Vec<(usize, Trial, Worth)> = Vec::new();
        for row in spread(undominated(&front), MOST_ROWS) {
            let (i, trial, _) = rows[row];
            if let Some(trial) = self.confirmed(i, trial, tally)?
                && let Ok(worth) = trial.worth
            {
                kept.push((i, trial, worth));
            }
        }
        // Once more by their own figures.
        let front: Vec<_> = kept.iter().map(|(.., worth)| figures(worth)).collect();
        let rows = undominated(&front).into_iter().map(|row| &kept[row]);
        rows.map(|(i, trial, worth)| {
            Ok(ParetoRow {
                arrangement: self.settings[*i].arrangement(&trial.values)?,
                start: i / self.demand.sensors.len(),
                sensor: i % self.demand.sensors.len(),
                summary: summary(worth),
            })
        })
        .collect()
    }

    fn kinds(&self, outcomes: &[Outcome]) -> Result<Vec<BestOfKind>> {
        let mut bests: Vec<(ArrangementKind, usize, &(Score, Trial))> = Vec::new();
        for (i, outcome) in outcomes.iter().enumerate() {
            let start = &self.demand.arrangements[i / self.demand.sensors.len()];
            let kind = ArrangementKind::of(start);
            let Some(own) = outcome
                .best
                .as_ref()
                .filter(|(_, trial)| trial.worth.is_ok())
            else {
                continue;
            };
            match bests.iter_mut().find(|(known, ..)| *known == kind) {
                Some(known) if own.0.better_than(&known.2.0) => *known = (kind, i, own),
                Some(_) => {}
                None => bests.push((kind, i, own)),
            }
        }
        let before = |a: &Score, b: &Score| match (a.better_than(b), b.better_than(a)) {
            (true, _) => std::cmp::Ordering::Less,
            (_, true) => std::cmp::Ordering::Greater,
            _ => std::cmp::Ordering::Equal,
        };
        bests.sort_by(|a, b| before(&a.2.0, &b.2.0));
        let best = |(kind, i, (_, trial)): (ArrangementKind, usize, &(Score, Trial))| {
            Ok(BestOfKind {
                kind,
                candidate: self.candidate(i, trial, Vec::new())?,
                shortfalls: trial.shortfalls(&self.limits).into_sorted(),
            })
        };
        bests.into_iter().map(best).collect()
    }
}

fn summary(worth: &Worth) -> ArrangementSummary {
    ArrangementSummary {
        span: worth.span,
        linearity: worth.linearity,
        step: worth.step.is_finite().then_some(worth.step),
        size: worth.size,
        magnet_volume: worth.volume,
        clearance: worth.clearance,
        clipped_share: worth.clipped,
    }
}
