//! How many of the builds will work.

use std::collections::BTreeMap;
use std::sync::Mutex;

use crate::axis::tolerance::buildable::{Buildable, Builds};
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::interval::YieldInterval;
use crate::axis::tolerance::plan::{BATCH, Judge, Plan};
use crate::axis::tolerance::result::{BuildRecord, FailureCount, TargetYield, Yield};
use crate::axis::tolerance::spread::{Cells, EXACT, FigureSpread, Moments, Places};
use crate::error::{Error, Result, counted};
use crate::parallel;

/// Builds the design as often as demanded.
///
/// # Errors
/// As [`YieldStudy::new`] and [`YieldStudy::run`].
pub fn study_yield(design: &dyn Buildable, demand: &YieldDemand) -> Result<Yield> {
    let mut study = YieldStudy::new(design, demand)?;
    study.run()?;
    study.result()
}

/// A study that can be stopped and gone on with: what is done so far is kept.
///
/// Builds are drawn by their number, so the figures are the same to the last bit on any number of threads and in
/// whatever pieces the study is run. Memory does not grow with the number of builds.
///
/// # Example
/// ```
/// use yokewright::Observer;
/// use yokewright::axis::{FigureName, FormulaDesign, Tolerance, YieldDemand, YieldStudy};
///
/// let design = FormulaDesign::new([("gap", 3e-3)], [FigureName::new("gap", "m")], |x, y| {
///     y[0] = x[0];
///     Ok(())
/// })?;
/// let demand = YieldDemand::new(vec![Tolerance::plus_minus("gap", 3e-4)?]);
/// let mut study = YieldStudy::new(&design, &demand)?;
/// study.run_to(1000)?;
/// assert_eq!(study.result()?.builds(), 1000);
/// Observer::new().run(|| study.run())??;
/// assert_eq!(study.result()?.builds(), 10_000);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub struct YieldStudy<'a> {
    plan: Plan<'a>,
    judge: Judge,
    demand: YieldDemand,
    nominal: Builds,
    /// Of whole batches.
    sum: Sum,
    /// Of a batch that was begun; it is counted again when the study goes on.
    rest: Option<Sum>,
    cells: Option<Vec<Cells>>,
}

impl std::fmt::Debug for YieldStudy<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("YieldStudy")
            .field("demand", &self.demand)
            .field("done", &self.done())
            .finish_non_exhaustive()
    }
}

impl<'a> YieldStudy<'a> {
    /// Resolves what is demanded against the design, and builds that one.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for an input or a figure that the design does not have; [`Error::Count`] without
    /// tolerances, or for what quasi-random points cannot do; [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(design: &'a dyn Buildable, demand: &YieldDemand) -> Result<Self> {
        demand.check()?;
        let drawn = (demand.seed, demand.sampling);
        let plan = Plan::new(design, &demand.tolerances, &[], drawn, demand.builds, 1)?;
        Self::of_plan(plan, demand)
    }

    /// Of tolerances that are resolved, and a demand that is checked.
    pub(super) fn of_plan(plan: Plan<'a>, demand: &YieldDemand) -> Result<Self> {
        Ok(Self {
            judge: Judge::new(&demand.targets, &plan.figures)?,
            nominal: plan.nominal()?,
            sum: Sum::none(plan.figures.len(), demand.targets.len()),
            rest: None,
            cells: None,
            demand: demand.clone(),
            plan,
        })
    }

    /// What is done, to be gone on with by [`YieldStudy::resumed`].
    #[must_use]
    pub fn into_progress(self) -> YieldProgress {
        YieldProgress {
            sum: self.sum,
            rest: self.rest,
            cells: self.cells,
        }
    }

    /// The same study of the same design where it was left.
    ///
    /// # Errors
    /// As [`YieldStudy::new`].
    pub fn resumed(
        design: &'a dyn Buildable,
        demand: &YieldDemand,
        progress: YieldProgress,
    ) -> Result<Self> {
        let study = Self::new(design, demand)?;
        Ok(Self {
            sum: progress.sum,
            rest: progress.rest,
            cells: progress.cells,
            ..study
        })
    }

    /// How many builds are done.
    #[must_use]
    pub fn done(&self) -> u64 {
        self.sum.builds + self.rest.as_ref().map_or(0, |rest| rest.builds)
    }

    /// The inputs that the tolerances move.
    #[must_use]
    pub fn inputs(&self) -> &[String] {
        &self.plan.input_names
    }

    /// Does all that are left.
    ///
    /// # Errors
    /// As [`YieldStudy::run_to`].
    pub fn run(&mut self) -> Result<()> {
        self.run_to(self.demand.builds)
    }

    /// Goes on until so many builds are done, or all if those are fewer.
    ///
    /// # Errors
    /// [`Error::Stopped`] if an observer asks to stop: what is done is kept, and [`YieldStudy::result`] tells it.
    pub fn run_to(&mut self, builds: u64) -> Result<()> {
        let builds = builds.min(self.demand.builds);
        if builds <= self.done() {
            return Ok(());
        }
        let rest = self.rest.take();
        self.find_cells()?;
        let from = self.sum.builds / BATCH;
        let whole = builds / BATCH;
        let batches = from as usize..whole as usize;
        let merged = Mutex::new(InOrder {
            next: batches.start,
            waiting: BTreeMap::new(),
            sum: std::mem::replace(&mut self.sum, Sum::none(0, 0)),
            failed: None,
        });
        parallel::for_each(batches.clone(), |batch| {
            let summed = self.batch(batch as u64 * BATCH, BATCH as usize);
            let mut merged = parallel::lock(&merged);
            match summed {
                Ok(sum) => merged.offer(batch, sum, self.demand.keep),
                Err(error) => merged.failed = Some(error),
            }
        });
        let merged = merged
            .into_inner()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        self.sum = merged.sum;
        let stopped = merged.next < batches.end;
        let outcome = match merged.failed {
            Some(error) => Err(error),
            None if stopped => Err(Error::Stopped),
            None => self.rest_of(builds),
        };
        match outcome {
            Ok(rest) => {
                self.rest = rest;
                Ok(())
            }
            Err(error) => {
                // What was begun before still follows, if nothing was added to what is whole.
                self.rest = rest.filter(|_| merged.next == batches.start);
                Err(error)
            }
        }
    }

    /// The first batch of the study says where the values lie, also where less than it is wanted yet. Cells are for
    /// more builds than are kept.
    pub(super) fn find_cells(&mut self) -> Result<()> {
        if self.cells.is_none() && self.demand.builds > EXACT {
            let first = BATCH.min(self.demand.builds) as usize;
            let batch = self.plan.build(0, first, |_| 0)?;
            let ends = batch
                .figures()
                .iter()
                .map(|values| Moments::of(values).ends);
            self.cells = Some(ends.map(Cells::about).collect());
        }
        Ok(())
    }

    /// What builds in a row come to, and whether each of them meets all targets.
    pub(super) fn summed(&self, first: u64, count: usize) -> Result<(Sum, Vec<bool>)> {
        let builds = self.plan.build(first, count, |_| 0)?;
        let misses = self.judge.misses(&builds).into_iter();
        let passes = misses.map(|miss| miss <= 0.0).collect();
        Ok((Sum::of(&builds, first, self), passes))
    }

    /// Adds the builds that follow.
    pub(super) fn add(&mut self, sum: Sum) {
        self.sum.add(sum, self.demand.keep);
    }

    /// The builds behind the whole batches, up to so many.
    fn rest_of(&self, builds: u64) -> Result<Option<Sum>> {
        match builds - self.sum.builds {
            0 => Ok(None),
            count => self.batch(self.sum.builds, count as usize).map(Some),
        }
    }

    fn batch(&self, first: u64, count: usize) -> Result<Sum> {
        let builds = self.plan.build(first, count, |_| 0)?;
        Ok(Sum::of(&builds, first, self))
    }

    /// What is known after the builds that are done.
    ///
    /// # Errors
    /// [`Error::Count`] before any is done.
    pub fn result(&self) -> Result<Yield> {
        let mut sum = self.sum.clone();
        if let Some(rest) = &self.rest {
            sum.add(rest.clone(), self.demand.keep);
        }
        let done = usize::try_from(sum.builds).unwrap_or(usize::MAX);
        counted("builds that are done", done, [1, usize::MAX])?;
        let interval = |passed: u64, by_replicate: &[[u64; 2]]| {
            YieldInterval::of(&self.demand, [passed, sum.builds], by_replicate)
        };
        let failed_as_drawn = !self.nominal.failures().is_empty();
        let spreads = self.plan.figures.iter().enumerate().map(|(at, figure)| {
            let moments = &sum.moments[at];
            let nominal = self.nominal.figures()[at][0];
            let kept = moments.count + moments.missing <= EXACT;
            FigureSpread {
                figure: figure.clone(),
                nominal: (nominal.is_finite() && !failed_as_drawn).then_some(nominal),
                count: moments.count,
                missing: moments.missing,
                mean: (moments.count > 0).then_some(moments.mean),
                standard_deviation: moments.standard_deviation(),
                ends: (moments.count > 0).then_some(moments.ends),
                places: match &self.cells {
                    Some(cells) if !kept => Places::Counted {
                        cells: cells[at],
                        counts: sum.counts[at].clone(),
                    },
                    _ => {
                        let mut values = sum.kept[at].clone();
                        values.sort_by(f64::total_cmp);
                        Places::All(values)
                    }
                },
            }
        });
        let spreads = spreads.collect();
        let targets = self
            .judge
            .targets
            .iter()
            .zip(&sum.passed)
            .zip(&sum.passed_by_replicate);
        let targets = targets.map(|(((_, target), passed), by_replicate)| TargetYield {
            target: target.clone(),
            passed: *passed,
            builds: sum.builds,
            interval: interval(*passed, by_replicate),
        });
        let targets = targets.collect();
        let failures = sum
            .failures
            .iter()
            .map(|(reason, (count, build, text))| FailureCount {
                reason: reason.clone(),
                count: *count,
                first_build: *build,
                text: text.clone(),
            });
        let mut failures: Vec<_> = failures.collect();
        failures.sort_by_key(|failure| std::cmp::Reverse(failure.count));
        Ok(Yield {
            demand: self.demand.clone(),
            inputs: self.plan.input_names.clone(),
            builds: sum.builds,
            passed: sum.passed_all,
            interval: interval(sum.passed_all, &sum.all_by_replicate),
            targets,
            spreads,
            failures,
            worst: sum.worst,
            nominal_failure: self.nominal.failures().values().next().cloned(),
        })
    }

    /// The values that the tolerances take in the builds from `first` on, a column for each tolerance, up to 1,000,000.
    ///
    /// # Errors
    /// [`Error::Count`].
    pub fn causes(&self, first: u64, count: usize) -> Result<Vec<Vec<f64>>> {
        counted("builds to be drawn", count, [0, 1_000_000])?;
        Ok(self.plan.causes(first, count, |_| 0))
    }

    /// Builds by their numbers, with all their inputs and figures, up to 100,000 of them: those that failed, to be
    /// looked at.
    ///
    /// # Errors
    /// [`Error::Count`], [`Error::Stopped`].
    pub fn records(&self, first: u64, count: usize) -> Result<Vec<BuildRecord>> {
        counted("builds to be looked at", count, [0, 100_000])?;
        let builds = self.plan.build(first, count, |_| 0)?;
        let misses = self.judge.misses(&builds);
        Ok((0..count)
            .map(|i| record(&builds, first, i, misses[i]))
            .collect())
    }
}

/// What of a study is done, apart from its design.
#[derive(Debug, Clone)]
pub struct YieldProgress {
    sum: Sum,
    rest: Option<Sum>,
    cells: Option<Vec<Cells>>,
}

fn record(builds: &Builds, first: u64, at: usize, miss: f64) -> BuildRecord {
    let failure = builds.failures().get(&at).cloned();
    BuildRecord {
        build: first + at as u64,
        inputs: builds.inputs().iter().map(|column| column[at]).collect(),
        figures: builds
            .figures()
            .iter()
            .map(|column| Some(column[at]).filter(|value| failure.is_none() && value.is_finite()))
            .collect(),
        miss: Some(miss).filter(|miss| miss.is_finite()),
        passed: miss <= 0.0,
        failure,
    }
}

/// What a number of builds in a row come to.
#[derive(Debug, Clone)]
pub(super) struct Sum {
    builds: u64,
    moments: Vec<Moments>,
    kept: Vec<Vec<f64>>,
    counts: Vec<Vec<u64>>,
    passed: Vec<u64>,
    passed_all: u64,
    /// Builds and passes of each replicate: of each target, and of all together.
    passed_by_replicate: Vec<Vec<[u64; 2]>>,
    all_by_replicate: Vec<[u64; 2]>,
    /// How many, the first, and what it says.
    failures: BTreeMap<String, (u64, u64, String)>,
    worst: Vec<BuildRecord>,
}

impl Sum {
    fn none(figures: usize, targets: usize) -> Self {
        Self {
            builds: 0,
            moments: vec![Moments::default(); figures],
            kept: vec![Vec::new(); figures],
            counts: vec![Vec::new(); figures],
            passed: vec![0; targets],
            passed_all: 0,
            passed_by_replicate: vec![Vec::new(); targets],
            all_by_replicate: Vec::new(),
            failures: BTreeMap::new(),
            worst: Vec::new(),
        }
    }

    fn of(builds: &Builds, first: u64, study: &YieldStudy<'_>) -> Self {
        let count = builds.count();
        let mut own = Self::none(study.plan.figures.len(), study.demand.targets.len());
        own.builds = count as u64;
        let mut figures = builds.figures().to_vec();
        for failed in builds.failures().keys() {
            figures
                .iter_mut()
                .for_each(|column| column[*failed] = f64::NAN);
        }
        for (at, values) in figures.iter().enumerate() {
            own.moments[at] = Moments::of(values);
            if first < EXACT {
                own.kept[at] = values
                    .iter()
                    .copied()
                    .filter(|value| value.is_finite())
                    .collect();
            }
            if let Some(cells) = &study.cells {
                own.counts[at] = cells[at].count(values).into_iter().map(u64::from).collect();
            }
        }
        for (at, (figure, target)) in study.judge.targets.iter().enumerate() {
            let passes = figures[*figure]
                .iter()
                .map(|value| target.miss(*value) <= 0.0);
            for (build, passed) in passes.enumerate() {
                own.passed[at] += u64::from(passed);
                if let Some(replicate) = study.plan.replicate_of(first + build as u64) {
                    count_in(&mut own.passed_by_replicate[at], replicate, passed);
                }
            }
        }
        let misses = study.judge.misses(builds);
        let mut order: Vec<usize> = Vec::new();
        for (build, miss) in misses.iter().enumerate() {
            let passed = *miss <= 0.0;
            own.passed_all += u64::from(passed);
            if let Some(replicate) = study.plan.replicate_of(first + build as u64) {
                count_in(&mut own.all_by_replicate, replicate, passed);
            }
            if !passed {
                order.push(build);
            }
        }
        let keep = study.demand.keep;
        let by_miss = |a: &usize, b: &usize| misses[*b].total_cmp(&misses[*a]).then(a.cmp(b));
        if order.len() > keep && keep > 0 {
            order.select_nth_unstable_by(keep - 1, by_miss);
        }
        order.truncate(keep);
        order.sort_by(by_miss);
        own.worst = order
            .iter()
            .map(|&at| record(builds, first, at, misses[at]))
            .collect();
        for (at, failure) in builds.failures() {
            let known = own.failures.entry(failure.reason.clone());
            let entry = known.or_insert_with(|| (0, first + *at as u64, failure.text.clone()));
            entry.0 += 1;
        }
        own
    }

    /// The builds that follow.
    fn add(&mut self, next: Self, keep: usize) {
        self.builds += next.builds;
        for (own, next) in self.moments.iter_mut().zip(&next.moments) {
            own.add(next);
        }
        for (own, next) in self.kept.iter_mut().zip(next.kept) {
            own.extend(next);
        }
        for (own, next) in self.counts.iter_mut().zip(next.counts) {
            own.resize(next.len().max(own.len()), 0);
            own.iter_mut()
                .zip(next)
                .for_each(|(own, next)| *own += next);
        }
        self.passed
            .iter_mut()
            .zip(&next.passed)
            .for_each(|(own, next)| *own += next);
        self.passed_all += next.passed_all;
        let replicates = self
            .passed_by_replicate
            .iter_mut()
            .zip(next.passed_by_replicate);
        for (own, next) in replicates.chain([(&mut self.all_by_replicate, next.all_by_replicate)]) {
            own.resize(next.len().max(own.len()), [0; 2]);
            for (own, next) in own.iter_mut().zip(next) {
                *own = [own[0] + next[0], own[1] + next[1]];
            }
        }
        for (reason, (count, build, text)) in next.failures {
            self.failures.entry(reason).or_insert((0, build, text)).0 += count;
        }
        self.worst.extend(next.worst);
        // Of equals the earlier one first: the sort is stable.
        let rank = |one: &BuildRecord| one.miss.unwrap_or(f64::INFINITY);
        self.worst.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        self.worst.truncate(keep);
    }
}

fn count_in(replicates: &mut Vec<[u64; 2]>, replicate: usize, passed: bool) {
    if replicates.len() <= replicate {
        replicates.resize(replicate + 1, [0; 2]);
    }
    let [builds, passes] = &mut replicates[replicate];
    *builds += 1;
    *passes += u64::from(passed);
}

/// Sums that come in any order, added in theirs.
struct InOrder {
    next: usize,
    waiting: BTreeMap<usize, Sum>,
    sum: Sum,
    failed: Option<Error>,
}

impl InOrder {
    fn offer(&mut self, batch: usize, sum: Sum, keep: usize) {
        self.waiting.insert(batch, sum);
        while let Some(sum) = self.waiting.remove(&self.next) {
            self.sum.add(sum, keep);
            self.next += 1;
        }
    }
}
