//! How the values of a figure are spread over the builds: moments and quantiles of a stream that is not kept.

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::buildable::FigureName;
use crate::error::{Result, counted, within};

/// Values up to which all are kept, so that quantiles are exact.
pub(super) const EXACT: u64 = 65_536;
/// Cells of equal width that a longer stream is counted in, over twice the span of its first batch.
const CELLS: usize = 4096;

/// Number, mean, sum of squares about it, and ends, of the values that are numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Moments {
    pub(super) count: u64,
    pub(super) missing: u64,
    pub(super) mean: f64,
    squares: f64,
    pub(super) ends: [f64; 2],
}

impl Default for Moments {
    fn default() -> Self {
        Self {
            count: 0,
            missing: 0,
            mean: 0.0,
            squares: 0.0,
            ends: [f64::INFINITY, f64::NEG_INFINITY],
        }
    }
}

impl Moments {
    /// In two passes over a batch.
    pub(super) fn of(values: &[f64]) -> Self {
        let mut own = Self::default();
        let mut sum = 0.0;
        for &value in values {
            if value.is_finite() {
                own.count += 1;
                sum += value;
                own.ends = [own.ends[0].min(value), own.ends[1].max(value)];
            }
        }
        own.missing = values.len() as u64 - own.count;
        if own.count > 0 {
            own.mean = sum / own.count as f64;
        }
        for &value in values {
            let off = value - own.mean;
            own.squares += if value.is_finite() { off * off } else { 0.0 };
        }
        own
    }

    /// Those of both together.
    ///
    /// # References
    /// T. F. Chan, G. H. Golub, R. J. LeVeque, *Updating formulae and a pairwise algorithm for computing sample
    /// variances*, COMPSTAT 1982 (from memory).
    pub(super) fn add(&mut self, other: &Self) {
        let count = self.count + other.count;
        if other.count > 0 {
            let share = other.count as f64 / count as f64;
            let apart = other.mean - self.mean;
            self.squares += other.squares + apart * apart * share * self.count as f64;
            self.mean += apart * share;
        }
        self.count = count;
        self.missing += other.missing;
        self.ends = [
            self.ends[0].min(other.ends[0]),
            self.ends[1].max(other.ends[1]),
        ];
    }

    /// Of the values themselves, as a sample of all builds (n - 1); none of fewer than two.
    pub(super) fn standard_deviation(&self) -> Option<f64> {
        (self.count > 1).then(|| (self.squares / (self.count - 1) as f64).sqrt())
    }
}

/// Cells of equal width for a stream.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(super) struct Cells {
    lower: f64,
    width: f64,
}

impl Cells {
    /// Over twice the span of a first batch, about its middle.
    pub(super) fn about([least, most]: [f64; 2]) -> Self {
        if least > most {
            return Self {
                lower: 0.0,
                width: 1.0,
            };
        }
        let span = most - least;
        // What does not change has one cell, wide enough not to be lost beside the value.
        let span = span
            .max(1e-9 * least.abs().max(most.abs()))
            .max(f64::MIN_POSITIVE * 1e10);
        Self {
            lower: 0.5 * least + 0.5 * most - span,
            width: 2.0 * span / CELLS as f64,
        }
    }

    /// Counts of the values by cell; what lies beyond counts in the outer ones.
    pub(super) fn count(&self, values: &[f64]) -> Vec<u32> {
        let mut counts = vec![0; CELLS];
        for value in values {
            if value.is_finite() {
                // The conversion holds at both ends.
                let cell = ((value - self.lower) / self.width) as usize;
                counts[cell.min(CELLS - 1)] += 1;
            }
        }
        counts
    }

    fn edge(&self, cell: usize) -> f64 {
        self.lower + self.width * cell as f64
    }
}

/// Where the values of a stream lie.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) enum Places {
    /// Every one, ascending.
    All(Vec<f64>),
    /// Counted in cells.
    Counted { cells: Cells, counts: Vec<u64> },
}

/// How one figure is spread over the builds that have it.
///
/// Mean and standard deviation are those of all builds, whatever their number. Of up to 65,536 builds all values are
/// kept; of more they are counted in 4096 cells over twice the span of the first 4096, so that a quantile is known to
/// the width of a cell, a two-thousandth of that span (and out of that range to where the last value lies).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FigureSpread {
    pub(super) figure: FigureName,
    pub(super) nominal: Option<f64>,
    pub(super) count: u64,
    pub(super) missing: u64,
    pub(super) mean: Option<f64>,
    pub(super) standard_deviation: Option<f64>,
    pub(super) ends: Option<[f64; 2]>,
    pub(super) places: Places,
}

impl FigureSpread {
    /// Name and unit.
    #[must_use]
    pub fn figure(&self) -> &FigureName {
        &self.figure
    }

    /// The value of the design itself, if it has one.
    #[must_use]
    pub fn nominal(&self) -> Option<f64> {
        self.nominal
    }

    /// Builds that have the figure.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Builds that have it not: what cannot be assembled, and what has no such figure (a step where the reading stands
    /// still).
    #[must_use]
    pub fn missing(&self) -> u64 {
        self.missing
    }

    /// Mean, in the unit of the figure; none if no build has it.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        self.mean
    }

    /// Standard deviation of the builds (n - 1); none of fewer than two.
    #[must_use]
    pub fn standard_deviation(&self) -> Option<f64> {
        self.standard_deviation
    }

    /// Least and greatest value.
    #[must_use]
    pub fn ends(&self) -> Option<[f64; 2]> {
        self.ends
    }

    /// The value below which a share of the builds that have the figure lies, 0 to 1: straight between neighboring
    /// values in their order, from the least at 0 to the greatest at 1. None if no build has it.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite), [`Error::OutOfRange`](crate::Error::OutOfRange) for the share.
    pub fn quantile(&self, share: f64) -> Result<Option<f64>> {
        within("share of the builds", share, 0.0, 1.0, "(no unit)")?;
        let Some([least, most]) = self.ends else {
            return Ok(None);
        };
        let rank = share * (self.count - 1) as f64;
        if share == 0.0 || share == 1.0 {
            return Ok(Some(if share == 0.0 { least } else { most }));
        }
        Ok(Some(match &self.places {
            Places::All(values) => {
                let below = values[rank as usize];
                let above = values[(rank as usize + 1).min(values.len() - 1)];
                below + (above - below) * rank.fract()
            }
            Places::Counted { cells, counts } => {
                let mut before = 0.0;
                let mut value = most;
                for (cell, &count) in counts.iter().enumerate() {
                    let count = count as f64;
                    if rank < before + count {
                        let from = if cell == 0 { least } else { cells.edge(cell) };
                        let last = cell + 1 == counts.len();
                        let to = if last { most } else { cells.edge(cell + 1) };
                        // Values of a cell stand evenly in it.
                        value = from + (to - from) * ((rank - before + 0.5) / count);
                        break;
                    }
                    before += count;
                }
                value.clamp(least, most)
            }
        }))
    }

    /// Edges of so many cells (1 to 1000) of equal width from the least to the greatest value, and the builds in each;
    /// a value on an edge counts above it, the greatest in the last cell. Empty if no build has the figure.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) for the cells.
    pub fn histogram(&self, cells: usize) -> Result<(Vec<f64>, Vec<u64>)> {
        counted("cells of a histogram", cells, [1, 1000])?;
        let Some([least, most]) = self.ends else {
            return Ok((Vec::new(), Vec::new()));
        };
        let edges = crate::numeric::spacing::spaced([least, most], cells).collect();
        let mut counts = vec![0; cells];
        let mut add = |value: f64, count: u64| {
            let share = (value - least) / (most - least);
            let cell = (share * cells as f64) as usize;
            counts[cell.min(cells - 1)] += count;
        };
        match &self.places {
            Places::All(values) => values.iter().for_each(|value| add(*value, 1)),
            Places::Counted { cells, counts } => {
                for (cell, count) in counts.iter().enumerate() {
                    let middle = 0.5 * (cells.edge(cell) + cells.edge(cell + 1));
                    add(middle.clamp(least, most), *count);
                }
            }
        }
        Ok((edges, counts))
    }
}
