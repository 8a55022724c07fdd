//! What a search over arrangements gives.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{AnyArrangement, ArrangementObjective, Axis, AxisFigures};
use crate::error::choices;
use crate::search::{SearchResult, Shortfall};
use crate::units::{DEG, MM};

/// In what an answer excels. Of answers with at least half the span of the best one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Character {
    /// The widest span less the linearity.
    WidestSpan,
    /// The smallest independent linearity.
    Straightest,
    /// The finest step, where it is coarsest.
    FinestStep,
    /// The least volume of magnets.
    SmallestMagnet,
    /// The widest gap, which is the easiest to build.
    WidestGap,
    /// The least size.
    Smallest,
}

choices!(Character, "character of an answer", {
    WidestSpan => "widest span",
    Straightest => "straightest",
    FinestStep => "finest step",
    SmallestMagnet => "smallest magnet",
    WidestGap => "widest gap",
    Smallest => "smallest",
});

/// How many magnets stand how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ArrangementKind {
    /// [`SwungLayout`](crate::axis::SwungLayout).
    Swung,
    /// [`PairLayout`](crate::axis::PairLayout).
    Pair,
    /// [`HeadOnLayout`](crate::axis::HeadOnLayout).
    HeadOn,
    /// [`ShaftEndLayout`](crate::axis::ShaftEndLayout).
    ShaftEnd,
}

choices!(ArrangementKind, "kind of arrangement", {
    Swung => "swung",
    Pair => "pair",
    HeadOn => "head-on",
    ShaftEnd => "shaft end",
});

impl ArrangementKind {
    pub(super) fn of(arrangement: &AnyArrangement) -> Self {
        match arrangement {
            AnyArrangement::Swung(_) => Self::Swung,
            AnyArrangement::Pair(_) => Self::Pair,
            AnyArrangement::HeadOn(_) => Self::HeadOn,
            AnyArrangement::ShaftEnd(_) => Self::ShaftEnd,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Swung => "one magnet swung past the sensor",
            Self::Pair => "a pair of magnets",
            Self::HeadOn => "a magnet that comes towards the sensor",
            Self::ShaftEnd => "a magnet on the shaft",
        }
    }
}

/// An arrangement that a search found, or tried. Its figures are those on which it was judged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ArrangementCandidate {
    /// The arrangement with its measures.
    pub arrangement: AnyArrangement,
    /// Which of the arrangements of the demand it is, from 0.
    pub start: usize,
    /// Which of its sensors it has, from 0.
    pub sensor: usize,
    /// Its axis.
    pub axis: Axis,
    /// Its figures.
    pub figures: AxisFigures,
    /// Its figures in short.
    pub summary: ArrangementSummary,
    /// In what it excels among the answers; nothing of one that is simply the next best.
    pub characters: Vec<Character>,
}

/// An arrangement in a few figures.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ArrangementSummary {
    /// Span of the output, as a share of the sensor's output range; of codes where the output is a code.
    pub span: f64,
    /// Independent linearity of the output; 1 where it does not change.
    pub linearity: f64,
    /// The angle that a count or the rms noise, whichever is worth more, is worth where it is worth most, rad; none
    /// where the reading turns back.
    pub step: Option<f64>,
    /// The longest side of the smallest box along the directions of the arrangement's frame that holds the pivot, the
    /// magnets and the package's face when centered, m.
    pub size: f64,
    /// Of all magnets, m^3.
    pub magnet_volume: f64,
    /// Least distance of the package's face from magnets and their plate over the throw, m.
    pub clearance: f64,
    /// The part of the throw at which the output is clipped.
    pub clipped_share: f64,
}

/// One line of the table of what can be had of span, linearity and size: no arrangement that was tried and keeps the
/// limits is at least as good in all three and better in one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ParetoRow {
    /// The arrangement.
    pub arrangement: AnyArrangement,
    /// Which of the arrangements of the demand it is, from 0.
    pub start: usize,
    /// Which of its sensors it has, from 0.
    pub sensor: usize,
    /// Its figures.
    pub summary: ArrangementSummary,
}

/// An arrangement that misses one limit by little and would give far more.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct JustOutside {
    /// What was sought.
    pub objective: ArrangementObjective,
    /// The arrangement.
    pub candidate: ArrangementCandidate,
    /// The one limit that it misses.
    pub shortfall: Shortfall,
    /// The best that keeps all limits, or that comes nearest to them; none if there is nothing to compare with.
    pub instead_of: Option<ArrangementSummary>,
}

impl fmt::Display for JustOutside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of = |summary: &ArrangementSummary| match self.objective {
            ArrangementObjective::Span => format!("{} of the range", percent(summary.span)),
            ArrangementObjective::Linearity => {
                format!("a linearity of {}", percent(summary.linearity))
            }
            ArrangementObjective::Step => match summary.step {
                Some(step) => format!("a step of {:.2e} deg", step / DEG),
                None => "no step".to_owned(),
            },
        };
        write!(f, "just outside a limit: {}", of(&self.candidate.summary))?;
        if let Some(instead_of) = &self.instead_of {
            write!(f, " instead of {}", of(instead_of))?;
        }
        write!(f, "; {}", self.shortfall)
    }
}

/// The best of one kind of arrangement.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct BestOfKind {
    /// Which kind.
    pub kind: ArrangementKind,
    /// The best of it; if none keeps the limits, the one that comes nearest.
    pub candidate: ArrangementCandidate,
    /// What that one falls short in, the worst first.
    pub shortfalls: Vec<Shortfall>,
}

/// What a search over arrangements gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ArrangementSearch {
    /// Several good answers of different character, best first; the nearest if nothing fits; and the counts of those
    /// arrangements that were judged, by the figures of their axes.
    pub result: SearchResult<ArrangementCandidate>,
    /// What can be had of span, linearity and size, the widest span first.
    pub pareto: Vec<ParetoRow>,
    /// What misses one limit by little and would give far more, if there is such a thing.
    pub just_outside: Option<JustOutside>,
    /// The best of each kind of arrangement that was asked for, the best kind first.
    pub kinds: Vec<BestOfKind>,
}

impl ArrangementSearch {
    /// Which kind of arrangement is better, and why, in words, a line for each other kind; none if only one kind was
    /// asked for.
    #[must_use]
    pub fn kinds_in_words(&self) -> Option<String> {
        let (better, others) = self.kinds.split_first()?;
        let texts: Vec<String> = others.iter().map(|other| better.beside(other)).collect();
        (!texts.is_empty()).then(|| texts.join("\n"))
    }
}

impl BestOfKind {
    /// Why this one is better than the best of another kind, which comes after it, in words.
    #[must_use]
    pub fn beside(&self, other: &Self) -> String {
        let (a, b) = (&self.candidate.summary, &other.candidate.summary);
        let percents =
            |name: &str, a: f64, b: f64| format!("{name} {} against {}", percent(a), percent(b));
        let lengths = |name: &str, a: f64, b: f64| {
            format!("{name} {:.1} mm against {:.1} mm", a / MM, b / MM)
        };
        let figures = [
            percents("span", a.span, b.span),
            percents("linearity", a.linearity, b.linearity),
            lengths("size", a.size, b.size),
            lengths("clearance", a.clearance, b.clearance),
        ];
        let figures = figures.join(", ");
        let (first, second) = (self.kind.words(), other.kind.words());
        match (self.shortfalls.first(), other.shortfalls.first()) {
            (None, None) => format!("{first} is better than {second}: {figures}"),
            (None, Some(miss)) => {
                format!("{first} keeps the limits, {second} does not ({miss}): {figures}")
            }
            (Some(near), _) => {
                format!(
                    "neither keeps the limits; {first} comes nearer than {second} ({near}): {figures}"
                )
            }
        }
    }
}

fn percent(share: f64) -> String {
    // Enough digits that 1.01 % is told from 1.00 %.
    format!("{:.2} %", 100.0 * share)
}
