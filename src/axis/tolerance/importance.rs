//! What matters: how much of the variance of each figure each tolerance makes.

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};

use crate::axis::tolerance::buildable::{Buildable, Builds, FigureName};
use crate::axis::tolerance::draws::Sampling;
use crate::axis::tolerance::plan::{BATCH, Judge, Plan};
use crate::axis::tolerance::target::YieldTarget;
use crate::axis::tolerance::tolerance_of::Tolerance;
use crate::axis::tolerance::what_if::WhatIf;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::observer;
use crate::parallel;

/// Groups of rows that are drawn anew for the confidence; the replicates of quasi-random rows are their groups.
const GROUPS: usize = 64;
/// How often they are drawn anew.
const RESAMPLES: usize = 1000;
/// Rows of a study of importance: enough for the groups, and no more than is computed in a day.
const ROWS: [u64; 2] = [256, 1_000_000_000];
/// The two independent matrices.
const MATRICES: usize = 2;
/// The pseudo-figure that is 1 of a build that meets all targets and 0 of another.
const PASSES: &str = "meets every target";

/// What is asked of [`study_importance`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ImportanceDemand {
    /// What varies.
    pub tolerances: Vec<Tolerance>,
    /// What a build has to meet; that it does counts as a figure too.
    pub targets: Vec<YieldTarget>,
    /// Rows of the two matrices, 256 to 1e9: each takes a build for every tolerance and two more.
    pub rows: u64,
    /// The same seed gives the same builds.
    pub seed: u64,
    /// How the rows are drawn.
    pub sampling: Sampling,
    /// Of the intervals, 0.5 to 0.9999.
    pub confidence: f64,
}

impl ImportanceDemand {
    /// 4096 rows at random, seed 1, intervals of 95 %, no target yet.
    #[must_use]
    pub fn new(tolerances: Vec<Tolerance>) -> Self {
        Self {
            tolerances,
            targets: Vec::new(),
            rows: 4096,
            seed: 1,
            sampling: Sampling::Random,
            confidence: 0.95,
        }
    }
}

/// A share of a variance, and between which values it lies at the confidence asked for. The estimate of a small one may
/// be negative.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct VarianceShare {
    /// The estimate.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How much of the variance of one figure a tolerance makes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ToleranceImportance {
    /// The name of the tolerance.
    pub tolerance: String,
    /// First-order index: the share of the variance that is gone on the average once this one is exact.
    pub first_order: VarianceShare,
    /// Total index: the share that is left on the average once all the others are exact; more than the first-order
    /// index by what it does together with others.
    pub total: VarianceShare,
}

/// How much of the variance of one figure each tolerance makes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FigureImportance {
    /// The figure; the last one tells whether a build meets every target.
    pub figure: FigureName,
    /// Its variance, in the square of its unit.
    pub variance: f64,
    /// Rows in which all builds have the figure, and which therefore count.
    pub rows: u64,
    /// The tolerances in the order of the demand; empty of a figure that does not vary.
    pub tolerances: Vec<ToleranceImportance>,
}

impl FigureImportance {
    /// The tolerance with the greatest total index; none of a figure that does not vary.
    #[must_use]
    pub fn deciding(&self) -> Option<&ToleranceImportance> {
        let mut all = self.tolerances.iter();
        let first = all.next()?;
        Some(all.fold(first, |most, one| {
            if one.total.value > most.total.value {
                one
            } else {
                most
            }
        }))
    }

    /// In words, what decides: 'gap decides: 71 % of the variance of range used'.
    #[must_use]
    pub fn words(&self) -> String {
        let name = &self.figure.name;
        match self.deciding() {
            None => format!("nothing decides: {name} does not vary"),
            Some(most) => {
                let share = 100.0 * most.total.value.clamp(0.0, 1.0);
                format!(
                    "{} decides: {share:.0} % of the variance of {name}",
                    most.tolerance
                )
            }
        }
    }
}

impl FigureImportance {
    /// The same with what a closer tolerance would do for the yield: 'gap decides: 71 % of the variance of range used;
    /// at 0.5 of its tolerance the yield goes from 43 to 88 %'.
    #[must_use]
    pub fn words_with(&self, what_if: &WhatIf) -> String {
        let words = self.words();
        let row = self.deciding().and_then(|most| {
            let mut rows = what_if.rows.iter();
            rows.find(|row| row.tolerance == most.tolerance)
        });
        let Some(row) = row else {
            return words;
        };
        let (before, after) = (100.0 * what_if.share, 100.0 * row.share);
        let factor = row.factor;
        format!(
            "{words}; at {factor} of its tolerance the yield goes from {before:.0} to {after:.0} %"
        )
    }
}

/// What matters: the Sobol' indices of every figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Importance {
    figures: Vec<FigureImportance>,
    builds: u64,
    confidence: f64,
}

impl Importance {
    /// Every figure; the last one is whether a build meets every target.
    #[must_use]
    pub fn figures(&self) -> &[FigureImportance] {
        &self.figures
    }

    /// One figure by its name.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<&FigureImportance> {
        self.figures.iter().find(|one| one.figure.name == name)
    }

    /// Whether a build meets every target, as a figure: what decides about the yield.
    #[must_use]
    pub fn of_yield(&self) -> Option<&FigureImportance> {
        self.figures.last()
    }

    /// Builds that it took.
    #[must_use]
    pub fn builds(&self) -> u64 {
        self.builds
    }

    /// Confidence of the intervals.
    #[must_use]
    pub fn confidence(&self) -> f64 {
        self.confidence
    }
}

/// The Sobol' indices of every figure, from builds in which the tolerances are drawn anew one by one.
///
/// With matrices A and B of independent rows, and A_i which is A with the column i of B: first order
/// mean((f(B) - c) (f(A_i) - f(A))) / V, total mean((f(A) - f(A_i))^2) / 2 V. c is the figure of the design, which
/// changes no expectation and spares digits. The intervals are percentiles of 1000 resamples of the groups in which the
/// rows come.
///
/// # Errors
/// As [`YieldStudy::new`](crate::axis::YieldStudy::new); [`Error::OutOfRange`] for the rows; [`Error::Stopped`].
///
/// # References
/// A. Saltelli et al., *Variance based sensitivity analysis of model output. Design and estimator for the total
/// sensitivity index*, Comput. Phys. Commun. 181 (2010) 259-270, table 2 (b) and (f), the latter of M. J. W. Jansen,
/// Comput. Phys. Commun. 117 (1999) 35-43. Resampling: B. Efron, R. J. Tibshirani, *An introduction to the bootstrap*
/// (1993), ch. 13 (all from memory, confirmed by test functions).
pub fn study_importance(design: &dyn Buildable, demand: &ImportanceDemand) -> Result<Importance> {
    let [least, most] = ROWS.map(|rows| rows as f64);
    within(
        "rows of a study of importance",
        demand.rows as f64,
        least,
        most,
        "(no unit)",
    )?;
    within("confidence", demand.confidence, 0.5, 0.9999, "(no unit)")?;
    let groups = match demand.sampling {
        Sampling::Sobol { replicates } => replicates,
        Sampling::Random => GROUPS,
    };
    let drawn = (demand.seed, demand.sampling);
    let plan = Plan::new(
        design,
        &demand.tolerances,
        &[],
        drawn,
        demand.rows,
        MATRICES,
    )?;
    let judge = Judge::new(&demand.targets, &plan.figures)?;
    let nominal = observed(&judge, &plan.nominal()?);
    let center: Vec<f64> = nominal
        .iter()
        .map(|column| {
            if column[0].is_finite() {
                column[0]
            } else {
                0.0
            }
        })
        .collect();

    // A group is a stretch of rows, a piece of it what is built at a time.
    let mut pieces = Vec::new();
    for group in 0..groups as u64 {
        let end =
            |group: u64| (u128::from(demand.rows) * u128::from(group) / groups as u128) as u64;
        let (mut first, last) = (end(group), end(group + 1));
        while first < last {
            let count = BATCH.min(last - first);
            pieces.push((group as usize, first, count as usize));
            first += count;
        }
    }
    let sums = parallel::map(&pieces, |&(_, first, count)| {
        rows(&plan, &judge, &center, first, count)
    })?;
    let causes = demand.tolerances.len();
    let mut by_group = vec![vec![Pairs::none(causes); center.len()]; groups];
    for ((group, ..), sums) in pieces.iter().zip(sums) {
        for (own, sum) in by_group[*group].iter_mut().zip(&sums?) {
            own.add(sum);
        }
    }
    let mut figures = plan.figures.clone();
    figures.push(FigureName::new(PASSES, "(no unit)"));
    let mut all = Vec::new();
    for (at, figure) in figures.into_iter().enumerate() {
        observer::check()?;
        let of_figure: Vec<&Pairs> = by_group.iter().map(|group| &group[at]).collect();
        all.push(importance(figure, &of_figure, demand));
    }
    Ok(Importance {
        figures: all,
        builds: demand.rows * (causes as u64 + MATRICES as u64),
        confidence: demand.confidence,
    })
}

/// The figures of builds, NaN of those that cannot be, and behind them whether each meets every target.
fn observed(judge: &Judge, builds: &Builds) -> Vec<Vec<f64>> {
    let mut all = builds.figures().to_vec();
    for failed in builds.failures().keys() {
        all.iter_mut().for_each(|column| column[*failed] = f64::NAN);
    }
    let passes = judge.misses(builds).into_iter();
    all.push(
        passes
            .map(|miss| f64::from(u8::from(miss <= 0.0)))
            .collect(),
    );
    all
}

/// What some rows come to, for each figure.
fn rows(
    plan: &Plan<'_>,
    judge: &Judge,
    center: &[f64],
    first: u64,
    count: usize,
) -> Result<Vec<Pairs>> {
    let causes = plan.tolerances.len();
    let a = plan.causes(first, count, |_| 0);
    let b = plan.causes(first, count, |_| 1);
    let figures = |causes: &[Vec<f64>]| -> Result<Vec<Vec<f64>>> {
        Ok(observed(
            judge,
            &plan.built(plan.inputs(causes, count), count)?,
        ))
    };
    let (of_a, of_b) = (figures(&a)?, figures(&b)?);
    let mut of_mixed = Vec::with_capacity(causes);
    for cause in 0..causes {
        let mut mixed = a.clone();
        mixed[cause].clone_from(&b[cause]);
        of_mixed.push(figures(&mixed)?);
    }
    let sums = center.iter().enumerate().map(|(figure, center)| {
        let mut sum = Pairs::none(causes);
        for row in 0..count {
            let (a, b) = (of_a[figure][row] - center, of_b[figure][row] - center);
            let counts = a.is_finite()
                && b.is_finite()
                && of_mixed.iter().all(|m| m[figure][row].is_finite());
            if !counts {
                continue;
            }
            sum.rows += 1;
            sum.sum += a + b;
            sum.squares += a * a + b * b;
            for (cause, mixed) in of_mixed.iter().enumerate() {
                let change = mixed[figure][row] - center - a;
                sum.first[cause] += b * change;
                sum.total[cause] += change * change;
            }
        }
        sum
    });
    Ok(sums.collect())
}

/// Sums over rows, from the center of the figure.
#[derive(Debug, Clone)]
struct Pairs {
    rows: u64,
    sum: f64,
    squares: f64,
    first: Vec<f64>,
    total: Vec<f64>,
}

impl Pairs {
    fn none(causes: usize) -> Self {
        Self {
            rows: 0,
            sum: 0.0,
            squares: 0.0,
            first: vec![0.0; causes],
            total: vec![0.0; causes],
        }
    }

    fn add(&mut self, other: &Self) {
        self.rows += other.rows;
        self.sum += other.sum;
        self.squares += other.squares;
        self.first
            .iter_mut()
            .zip(&other.first)
            .for_each(|(own, other)| *own += other);
        self.total
            .iter_mut()
            .zip(&other.total)
            .for_each(|(own, other)| *own += other);
    }

    fn variance(&self) -> f64 {
        let n = 2.0 * self.rows as f64;
        let mean = self.sum / n;
        (self.squares / n - mean * mean).max(0.0)
    }

    /// First-order and total index of each cause; not finite if nothing varies.
    fn indices(&self) -> Vec<[f64; 2]> {
        let scale = self.rows as f64 * self.variance();
        let both = self.first.iter().zip(&self.total);
        both.map(|(first, total)| [first / scale, 0.5 * total / scale])
            .collect()
    }
}

/// A variance that is less of the mean square than this is rounding.
const ROUNDING: f64 = 1e-24;

fn importance(
    figure: FigureName,
    groups: &[&Pairs],
    demand: &ImportanceDemand,
) -> FigureImportance {
    let causes = demand.tolerances.len();
    let sum_of = |numbers: &mut dyn Iterator<Item = usize>| {
        let mut sum = Pairs::none(causes);
        numbers.for_each(|number| sum.add(groups[number]));
        sum
    };
    let whole = sum_of(&mut (0..groups.len()));
    let variance = whole.variance();
    let mut found = FigureImportance {
        figure,
        variance,
        rows: whole.rows,
        tolerances: Vec::new(),
    };
    let enough = ROUNDING * whole.squares / (2.0 * whole.rows as f64);
    if whole.rows < 2 || variance.is_nan() || variance <= enough {
        found.variance = if whole.rows < 2 { 0.0 } else { variance };
        return found;
    }
    // The same resamples for every figure.
    let mut generator = ChaCha8Rng::from_seed([0x5e; 32]);
    let mut drawn: Vec<Vec<[f64; 2]>> = vec![Vec::with_capacity(RESAMPLES); causes];
    for _ in 0..RESAMPLES {
        let of_groups = groups.len() as u64;
        let mut numbers = (0..groups.len()).map(|_| (generator.next_u64() % of_groups) as usize);
        for (all, indices) in drawn.iter_mut().zip(sum_of(&mut numbers).indices()) {
            all.push(indices);
        }
    }
    let tail = 0.5 * (1.0 - demand.confidence);
    let names = demand.tolerances.iter().zip(whole.indices()).zip(&drawn);
    found.tolerances = names
        .map(|((tolerance, [first, total]), drawn)| {
            let share = |value: f64, which: usize| {
                let mut all: Vec<f64> = drawn
                    .iter()
                    .map(|one| one[which])
                    .filter(|x| x.is_finite())
                    .collect();
                all.sort_by(f64::total_cmp);
                let at = |share: f64| match all.len() {
                    0 => value,
                    n => all[((share * n as f64) as usize).min(n - 1)],
                };
                VarianceShare {
                    value,
                    low: at(tail).min(value),
                    high: at(1.0 - tail).max(value),
                }
            };
            ToleranceImportance {
                tolerance: tolerance.name().to_owned(),
                first_order: share(first, 0),
                total: share(total, 1),
            }
        })
        .collect();
    found
}
