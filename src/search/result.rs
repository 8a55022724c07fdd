//! What a search found.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize};

use super::shortfall::Shortfall;
use super::words::kept;
use crate::error::{Error, Result};

/// What a search found: best first; and how many candidates were tried, what the others fall short in, and, if none
/// fits, which came nearest.
///
/// # Example
/// ```
/// use yokewright::spring::{CompressionDemand, SizingTarget, Wire, search_compression_springs};
/// use yokewright::units::MM;
///
/// // 20 N at rest, 2 N/mm more over 15 mm, in a tube that is too narrow for it.
/// let wanted = SizingTarget::Rate { rate: 2000.0, preload: 20.0, start_length: None };
/// let demand = CompressionDemand {
///     bore: Some(4.0 * MM),
///     ..CompressionDemand::new(vec![Wire::named("EN 10270-1 SM")?], wanted, 15.0 * MM)
/// };
/// let springs = search_compression_springs(&demand)?;
/// assert!(springs.found.is_empty() && springs.best().is_err());
/// let nearest = springs.nearest.as_ref().expect("none fits");
/// let worst = nearest.shortfalls.first().expect("it falls short");
/// println!("{} of {}: {} {}", worst.value, worst.limit, worst.requirement.quantity(), worst.requirement.unit());
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SearchResult<T> {
    /// What was searched for.
    pub what: &'static str,
    /// Those that keep every limit, best first. Some searches give the best of many alike, and say so.
    pub found: Vec<T>,
    /// If none was found: the candidate whose worst shortfall is least. `None` only if there was nothing to try.
    pub nearest: Option<NearMiss<T>>,
    /// What the candidates that were tried fall short in, the most frequent first.
    pub rejected: Vec<Rejection>,
    /// How many candidates were tried.
    pub tried: usize,
    /// How many of them keep every limit.
    pub fitting: usize,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for SearchResult<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Read<T> {
            what: String,
            found: Vec<T>,
            nearest: Option<NearMiss<T>>,
            rejected: Vec<Rejection>,
            tried: usize,
            fitting: usize,
        }
        let read = Read::deserialize(deserializer)?;
        Ok(Self {
            what: kept(&read.what).map_err(serde::de::Error::custom)?,
            found: read.found,
            nearest: read.nearest,
            rejected: read.rejected,
            tried: read.tried,
            fitting: read.fitting,
        })
    }
}

/// A candidate that nearly keeps its limits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct NearMiss<T> {
    /// The candidate; `None` if nothing can be built as it would have to be.
    pub candidate: Option<T>,
    /// What it falls short in, the worst first.
    pub shortfalls: Vec<Shortfall>,
}

/// How many candidates fall short in one thing, and how near the nearest of them came.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Rejection {
    /// How many. One that falls short in several things counts in each.
    pub count: usize,
    /// The one that misses by least.
    pub nearest: Shortfall,
}

impl<T> SearchResult<T> {
    /// The best of all.
    ///
    /// # Errors
    /// [`Error::NothingFits`], which says what the one that came nearest falls short in most, and by how much;
    /// [`Error::Count`] if there was none to try.
    pub fn best(&self) -> Result<&T> {
        self.found.first().ok_or_else(|| self.nothing())
    }

    /// The error for which nothing was found.
    pub(crate) fn nothing(&self) -> Error {
        let worst = self
            .nearest
            .as_ref()
            .and_then(|near| near.shortfalls.first());
        match worst {
            Some(worst) => Error::NothingFits {
                what: self.what,
                tried: self.tried,
                quantity: worst.requirement.quantity(),
                value: worst.value,
                limit: worst.limit,
                unit: worst.requirement.unit(),
            },
            None => Error::Count {
                quantity: self.what,
                count: 0,
                min: 1,
                max: 1,
            },
        }
    }

    /// The same with each candidate made into something else.
    #[must_use]
    pub fn map<U>(self, mut with: impl FnMut(T) -> U) -> SearchResult<U> {
        self.filter_map(|one| Some(with(one)))
    }

    pub(crate) fn filter_map<U>(self, mut with: impl FnMut(T) -> Option<U>) -> SearchResult<U> {
        SearchResult {
            what: self.what,
            nearest: self.nearest.map(|near| NearMiss {
                candidate: near.candidate.and_then(&mut with),
                shortfalls: near.shortfalls,
            }),
            found: self.found.into_iter().filter_map(with).collect(),
            rejected: self.rejected,
            tried: self.tried,
            fitting: self.fitting,
        }
    }
}

impl<T> fmt::Display for SearchResult<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (what, tried) = (self.what, self.tried);
        match self.fitting {
            0 => write!(f, "none of the {tried} {what} tried fits")?,
            fitting => write!(f, "{fitting} of the {tried} {what} tried fit")?,
        }
        if let Some(nearest) = &self.nearest {
            write!(f, "\nthe nearest falls short in")?;
            for shortfall in &nearest.shortfalls {
                write!(f, "\n  {shortfall}")?;
            }
        }
        for rejection in &self.rejected {
            write!(f, "\n{} fail: {}", rejection.count, rejection.nearest)?;
        }
        Ok(())
    }
}

impl<T> IntoIterator for SearchResult<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.found.into_iter()
    }
}

impl<'a, T> IntoIterator for &'a SearchResult<T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.found.iter()
    }
}
