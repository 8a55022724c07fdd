//! What a study of builds found.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::buildable::BuildFailure;
use crate::axis::tolerance::demand::YieldDemand;
use crate::axis::tolerance::interval::YieldInterval;
use crate::axis::tolerance::spread::FigureSpread;
use crate::axis::tolerance::target::YieldTarget;

/// The yield of one target.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TargetYield {
    /// The target.
    pub target: YieldTarget,
    /// Builds that meet it.
    pub passed: u64,
    /// Builds in all.
    pub builds: u64,
    /// Where the true yield lies.
    pub interval: YieldInterval,
}

impl TargetYield {
    /// Share of the builds that meet it.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.passed as f64 / self.builds as f64
    }
}

/// Builds that cannot be, for one reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FailureCount {
    /// In few words.
    pub reason: String,
    /// How many.
    pub count: u64,
    /// The number of the first.
    pub first_build: u64,
    /// All that is said of that one.
    pub text: String,
}

/// One build.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BuildRecord {
    /// Its number, from 0, by which it can be drawn again.
    pub build: u64,
    /// The values of the inputs, in the order of [`Yield::inputs`].
    pub inputs: Vec<f64>,
    /// The figures, in the order of the design.
    pub figures: Vec<Option<f64>>,
    /// By how much it misses what it misses most, as [`YieldTarget::miss`]; none if it has not the figure, or cannot
    /// be.
    pub miss: Option<f64>,
    /// Whether it meets all targets.
    pub passed: bool,
    /// Why it cannot be, if so.
    pub failure: Option<BuildFailure>,
}

/// How many builds meet their targets, and how their figures are spread.
///
/// A build that cannot be assembled, or that collides, fails all targets. The interval of builds drawn at random is the
/// exact one of the binomial distribution (Clopper and Pearson); of quasi-random builds it is Student's of the
/// replicates.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Yield {
    pub(super) demand: YieldDemand,
    pub(super) inputs: Vec<String>,
    pub(super) builds: u64,
    pub(super) passed: u64,
    pub(super) interval: YieldInterval,
    pub(super) targets: Vec<TargetYield>,
    pub(super) spreads: Vec<FigureSpread>,
    pub(super) failures: Vec<FailureCount>,
    pub(super) worst: Vec<BuildRecord>,
    pub(super) nominal_failure: Option<BuildFailure>,
}

impl Yield {
    /// What was asked.
    #[must_use]
    pub fn demand(&self) -> &YieldDemand {
        &self.demand
    }

    /// The inputs that the tolerances move.
    #[must_use]
    pub fn inputs(&self) -> &[String] {
        &self.inputs
    }

    /// Builds that are done.
    #[must_use]
    pub fn builds(&self) -> u64 {
        self.builds
    }

    /// Builds that meet all targets.
    #[must_use]
    pub fn passed(&self) -> u64 {
        self.passed
    }

    /// Share of the builds that meet all targets.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.passed as f64 / self.builds as f64
    }

    /// Where the true yield lies.
    #[must_use]
    pub fn interval(&self) -> YieldInterval {
        self.interval
    }

    /// Each target by itself.
    #[must_use]
    pub fn targets(&self) -> &[TargetYield] {
        &self.targets
    }

    /// How each figure is spread.
    #[must_use]
    pub fn spreads(&self) -> &[FigureSpread] {
        &self.spreads
    }

    /// How one figure is spread.
    #[must_use]
    pub fn spread(&self, figure: &str) -> Option<&FigureSpread> {
        self.spreads
            .iter()
            .find(|spread| spread.figure.name == figure)
    }

    /// Builds that cannot be, by reason, the most frequent first.
    #[must_use]
    pub fn failures(&self) -> &[FailureCount] {
        &self.failures
    }

    /// The worst builds of those that do not pass, the worst first: those that cannot be, then by how much they miss.
    #[must_use]
    pub fn worst(&self) -> &[BuildRecord] {
        &self.worst
    }

    /// Why the design itself cannot be, if so.
    #[must_use]
    pub fn nominal_failure(&self) -> Option<&BuildFailure> {
        self.nominal_failure.as_ref()
    }
}

impl fmt::Display for Yield {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |share: f64| 100.0 * share;
        let line = |f: &mut fmt::Formatter<'_>, share, interval: YieldInterval, what: &str| {
            let (low, high) = (percent(interval.low), percent(interval.high));
            write!(
                f,
                "{:.1} % ({low:.1} to {high:.1} %) {what}",
                percent(share)
            )
        };
        let what = format!("of {} builds meet every target", self.builds);
        line(f, self.share(), self.interval, &what)?;
        for one in &self.targets {
            writeln!(f)?;
            line(f, one.share(), one.interval, &format!("{}", one.target))?;
        }
        for failure in &self.failures {
            write!(f, "\n{} fail: {}", failure.count, failure.reason)?;
        }
        Ok(())
    }
}
