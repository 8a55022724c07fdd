//! The latency budget: stages in a row, what they add up to, and which of them to attack.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::latency::delay::Delay;
use crate::axis::latency::stage::{LatencyStage, StageKind};
use crate::axis::latency::sum::Sum;
use crate::error::{Error, Result, counted, within};
use crate::observer;
use crate::parallel;
use crate::stored::stored_by_its_constructor;
use crate::units::MS;

/// Stages of one budget: each of a sum of 64 delays at most may be put on a grid.
const STAGES: [usize; 2] = [1, 32];
/// The time by which it is nearly always over: what a person notices.
const NEARLY_ALWAYS: f64 = 0.95;
/// Times between two looks at the observer: each costs a thousand polynomials at most.
const BLOCK: usize = 64;
/// Times at which a distribution is asked for, s.
const TIMES: [f64; 2] = [-1e3, 1e3];

/// How long it takes from hand to screen: stages in a row, independent of one another.
///
/// The distribution is that of the sum: quantiles are those of all stages together, not sums of quantiles. It is exact,
/// as polynomials in pieces and single times, while that is feasible; else every time is rounded to a grid of about
/// 131,000 steps, and [`time_error`](Self::time_error) says by how much a quantile may be off for that.
///
/// # Example
/// ```
/// use yokewright::axis::{Delay, LatencyBudget, LatencyStage, StageKind, UsbSpeed};
/// use yokewright::units::MS;
///
/// let budget = LatencyBudget::new(vec![
///     LatencyStage::new(StageKind::Bus, Delay::usb_polling(UsbSpeed::Full, 10)?),
///     LatencyStage::new(StageKind::Scan, Delay::frame_wait(100.0, 0.0)?),
/// ])?;
/// assert!((budget.mean() - 10.0 * MS).abs() < 1e-12);
/// // Two waits of 10 ms: the triangle from 0 to 20 ms.
/// assert!((budget.quantile(0.95)? - (20.0 - 10.0 * 0.1f64.sqrt()) * MS).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The distribution of a sum of independent quantities is the convolution of theirs; means and variances add
/// (textbook).
#[derive(Debug, Clone, PartialEq)]
pub struct LatencyBudget {
    stages: Vec<LatencyStage>,
    sum: Sum,
    percentiles: [f64; 3],
}

stored_by_its_constructor!(LatencyBudget { stages: Vec<LatencyStage> } => Self::new(stages));

/// What one stage is of the whole, and what less of it would be worth.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct StageEffect {
    /// Name of the stage.
    pub name: String,
    /// What it does.
    pub kind: StageKind,
    /// Its mean, s.
    pub mean: f64,
    /// Its standard deviation, s.
    pub standard_deviation: f64,
    /// Its mean as a share of that of the whole; `None` where nothing takes any time.
    pub share_of_mean: Option<f64>,
    /// Its variance as a share of that of the whole; `None` where nothing varies.
    pub share_of_variance: Option<f64>,
    /// The time that 95 % keep if all its times are halved, s.
    pub p95_halved: f64,
    /// The time that 95 % keep without it, s.
    pub p95_removed: f64,
}

impl StageEffect {
    /// What makes such a stage shorter.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        self.kind.remedy()
    }
}

impl LatencyBudget {
    /// Of 1 to 32 stages with names that differ.
    ///
    /// # Errors
    /// [`Error::Count`], [`Error::NameTaken`]; [`Error::Stopped`].
    pub fn new(stages: Vec<LatencyStage>) -> Result<Self> {
        counted("stages of a latency budget", stages.len(), STAGES)?;
        for (i, stage) in stages.iter().enumerate() {
            if stages[..i].iter().any(|other| other.name() == stage.name()) {
                return Err(Error::NameTaken {
                    quantity: "stages of a latency budget",
                    name: stage.name().to_owned(),
                });
            }
        }
        let delays: Vec<&Delay> = stages.iter().map(LatencyStage::delay).collect();
        let sum = Sum::of(&delays)?;
        let [p5, p50, p95] = [0.05, 0.5, NEARLY_ALWAYS].map(|share| sum.quantile(share));
        Ok(Self {
            percentiles: [p5?, p50?, p95?],
            sum,
            stages,
        })
    }

    /// The stages, in their order.
    #[must_use]
    pub fn stages(&self) -> Vec<LatencyStage> {
        self.stages.clone()
    }

    /// Mean, s.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.stages.iter().map(|stage| stage.delay().mean()).sum()
    }

    /// Standard deviation, s.
    #[must_use]
    pub fn standard_deviation(&self) -> f64 {
        let deviations = self
            .stages
            .iter()
            .map(|stage| stage.delay().standard_deviation());
        deviations.fold(0.0, f64::hypot)
    }

    /// Shortest and longest, s.
    #[must_use]
    pub fn range(&self) -> [f64; 2] {
        self.sum.range()
    }

    /// The times that 5 %, 50 % and 95 % keep, s.
    #[must_use]
    pub fn percentiles(&self) -> [f64; 3] {
        self.percentiles
    }

    /// Most by which a quantile or the time of a distribution may be off, s; 0 where the sum is exact but for rounding.
    #[must_use]
    pub fn time_error(&self) -> f64 {
        self.sum.bound()
    }

    /// The least time that is kept with at least the probability `share` (0 to 1), s.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::Stopped`].
    pub fn quantile(&self, share: f64) -> Result<f64> {
        let share = within("probability", share, 0.0, 1.0, "(no unit)")?;
        self.sum.quantile(share)
    }

    /// Probability that it takes `time` (s) at most.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] beyond 1000 s either way.
    pub fn distribution(&self, time: f64) -> Result<f64> {
        Ok(self.sum.distribution(check_time(time)?))
    }

    /// Density at `time` (s), 1/s; at a jump its value behind it, on a grid the mean over a step.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] beyond 1000 s either way; [`Error::Absent`] where all times are
    /// single ones, fixed or measured.
    pub fn density(&self, time: f64) -> Result<f64> {
        self.sum.density(check_time(time)?).ok_or(Error::Absent {
            quantity: "density",
            of: "a sum of fixed and measured times alone",
            advice: "ask for its distribution",
        })
    }

    /// The [`distribution`](Self::distribution) at many times, s.
    ///
    /// # Errors
    /// As for one; [`Error::Stopped`].
    pub fn distributions(&self, times: &[f64]) -> Result<Vec<f64>> {
        Self::at_each(times, |time| self.distribution(time))
    }

    /// The [`density`](Self::density) at many times, s, in 1/s.
    ///
    /// # Errors
    /// As for one; [`Error::Stopped`].
    pub fn densities(&self, times: &[f64]) -> Result<Vec<f64>> {
        Self::at_each(times, |time| self.density(time))
    }

    fn at_each(times: &[f64], of: impl Fn(f64) -> Result<f64>) -> Result<Vec<f64>> {
        let each = times.iter().enumerate().map(|(i, &time)| {
            if i % BLOCK == 0 {
                observer::check()?;
            }
            of(time)
        });
        each.collect()
    }

    /// What each stage is of the whole, and what half of it and none of it would do to the time that 95 % keep.
    ///
    /// # Errors
    /// [`Error::Stopped`].
    pub fn effects(&self) -> Result<Vec<StageEffect>> {
        let (mean, variance) = (self.mean(), self.standard_deviation().powi(2));
        let share = |part: f64, whole: f64| (whole > 0.0).then(|| part / whole);
        let numbers: Vec<usize> = (0..self.stages.len()).collect();
        let effects = parallel::map(&numbers, |&number| -> Result<StageEffect> {
            let stage = &self.stages[number];
            let (name, delay) = (stage.name().to_owned(), stage.delay());
            let deviation = delay.standard_deviation();
            Ok(StageEffect {
                name,
                kind: stage.kind(),
                mean: delay.mean(),
                standard_deviation: deviation,
                share_of_mean: share(delay.mean(), mean),
                share_of_variance: share(deviation * deviation, variance),
                p95_halved: self.p95_with(number, Some(&delay.halved()))?,
                p95_removed: self.p95_with(number, None)?,
            })
        })?;
        effects.into_iter().collect()
    }

    /// The stage of which half would take most off the time that 95 % keep; the first of those that are alike.
    ///
    /// # Errors
    /// [`Error::Stopped`].
    pub fn stage_to_attack(&self) -> Result<StageEffect> {
        let effects = self.effects()?.into_iter();
        let best = effects.reduce(|best, one| {
            if one.p95_halved < best.p95_halved {
                one
            } else {
                best
            }
        });
        // A budget has a stage.
        best.ok_or(Error::Absent {
            quantity: "stage",
            of: "the latency budget",
            advice: "",
        })
    }

    fn p95_with(&self, number: usize, instead: Option<&Delay>) -> Result<f64> {
        let others = self.stages.iter().enumerate().filter(|(i, _)| *i != number);
        let mut delays: Vec<&Delay> = others.map(|(_, stage)| stage.delay()).collect();
        delays.extend(instead);
        Sum::of(&delays)?.quantile(NEARLY_ALWAYS)
    }
}

fn check_time(time: f64) -> Result<f64> {
    let [least, most] = TIMES;
    within("time", time, least, most, "s")
}

impl fmt::Display for LatencyBudget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let widest = self.stages.iter().map(|stage| stage.name().chars().count());
        let width = widest.fold("together".len(), usize::max);
        writeln!(f, "{:width$}  mean, ms  deviation, ms", "stage")?;
        let mut line = |name: &str, mean: f64, deviation: f64| {
            let (mean, deviation) = (mean / MS, deviation / MS);
            writeln!(f, "{name:width$}  {mean:8.3}  {deviation:13.3}")
        };
        for stage in &self.stages {
            let delay = stage.delay();
            line(stage.name(), delay.mean(), delay.standard_deviation())?;
        }
        line("together", self.mean(), self.standard_deviation())?;
        let [p5, p50, p95] = self.percentiles.map(|time| time / MS);
        write!(
            f,
            "5 % within {p5:.3} ms, half within {p50:.3} ms, 95 % within {p95:.3} ms"
        )
    }
}
