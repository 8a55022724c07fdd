//! In what a candidate of a search misses its limits, and by how much.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize};

use super::words::kept;
use crate::error::{about, tidy};

/// Share by which a figure may miss its limit: what a design made to meet it exactly loses by rounding.
pub(crate) const ROUNDING: f64 = 1e-9;

/// What the candidates of a search have to keep: a figure within a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct Requirement {
    reason: &'static str,
    quantity: &'static str,
    unit: &'static str,
}

// By hand: derived, it would ask for texts that live as long as the program.
impl<'de> Deserialize<'de> for Requirement {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Read {
            reason: String,
            quantity: String,
            unit: String,
        }
        let read = Read::deserialize(deserializer)?;
        let kept = |text: &str| kept(text).map_err(serde::de::Error::custom);
        Ok(Self {
            reason: kept(&read.reason)?,
            quantity: kept(&read.quantity)?,
            unit: kept(&read.unit)?,
        })
    }
}

impl Requirement {
    pub(crate) const fn new(
        reason: &'static str,
        quantity: &'static str,
        unit: &'static str,
    ) -> Self {
        Self {
            reason,
            quantity,
            unit,
        }
    }

    /// In words, what is wrong with a candidate that does not keep it.
    #[must_use]
    pub const fn reason(&self) -> &'static str {
        self.reason
    }

    /// The figure that is judged.
    #[must_use]
    pub const fn quantity(&self) -> &'static str {
        self.quantity
    }

    /// Its SI unit.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        self.unit
    }
}

/// The requirements of a pillar: each with its doc, its name, what is wrong where it is not kept, the figure that is
/// judged, and the unit.
macro_rules! requirements {
    ($($(#[$doc:meta])* $name:ident: $reason:literal, $quantity:literal, $unit:literal;)*) => {
        use $crate::search::Requirement;

        $($(#[$doc])* pub const $name: Requirement = Requirement::new($reason, $quantity, $unit);)*

        /// Every one.
        pub const ALL: &[Requirement] = &[$($name),*];
    };
}
pub(crate) use requirements;

impl fmt::Display for Requirement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.reason())
    }
}

/// A figure that misses its limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Shortfall {
    /// Which requirement it does not keep.
    pub requirement: Requirement,
    /// The figure.
    #[serde(deserialize_with = "crate::stored::number")]
    pub value: f64,
    /// Its limit.
    pub limit: f64,
    /// By how much the figure misses its limit, for a comparison of what has different units: as a share of the limit
    /// (of the figure, where the limit is zero) unless the search says otherwise.
    #[serde(with = "crate::stored::bound")]
    pub share: f64,
}

impl Shortfall {
    /// A figure that misses its limit, by a share of the limit.
    pub(crate) fn new(requirement: Requirement, value: f64, limit: f64) -> Self {
        let scale = if limit == 0.0 { value } else { limit };
        Self::by(requirement, value, limit, scale.abs())
    }

    /// A figure that leaves nothing to use, and nothing else to judge: it comes after all candidates of use, the least
    /// beyond its limit first.
    pub(crate) fn of_no_use(requirement: Requirement, value: f64, limit: f64) -> Self {
        /// More than any share by which a candidate of use misses a limit.
        const OF_NO_USE: f64 = 1e9;
        let own = Self::by(requirement, value, limit, 1.0);
        Self {
            share: OF_NO_USE + own.share,
            ..own
        }
    }

    /// A figure that misses its limit, by a share of `scale`.
    pub(crate) fn by(requirement: Requirement, value: f64, limit: f64, scale: f64) -> Self {
        let share = (value - limit).abs() / scale.max(f64::MIN_POSITIVE);
        Self {
            requirement,
            value,
            limit,
            // Of what is no number at all nobody knows how near it came.
            share: if share.is_nan() { f64::INFINITY } else { share },
        }
    }
}

impl fmt::Display for Shortfall {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Requirement {
            reason,
            quantity,
            unit,
        } = self.requirement;
        let (value, limit) = (about(self.value), tidy(self.limit));
        write!(
            f,
            "{reason}: {quantity} {value} {unit} where the limit is {limit} {unit}"
        )
    }
}

/// All that one candidate falls short in.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shortfalls(Vec<Shortfall>);

impl From<Shortfall> for Shortfalls {
    fn from(only: Shortfall) -> Self {
        Self(vec![only])
    }
}

impl Shortfalls {
    /// Notes a figure below its least allowed value, if there is one.
    pub(crate) fn at_least(
        &mut self,
        requirement: Requirement,
        value: f64,
        limit: impl Into<Option<f64>>,
    ) {
        if let Some(limit) = limit.into() {
            self.at_least_of(requirement, value, limit, limit.abs());
        }
    }

    /// Notes a figure above its greatest allowed value, if there is one.
    pub(crate) fn at_most(
        &mut self,
        requirement: Requirement,
        value: f64,
        limit: impl Into<Option<f64>>,
    ) {
        if let Some(limit) = limit.into() {
            self.at_most_of(requirement, value, limit, limit.abs());
        }
    }

    /// As [`at_least`](Self::at_least), of a figure that is computed from others as large as `scale`: the limit itself
    /// may be zero.
    pub(crate) fn at_least_of(
        &mut self,
        requirement: Requirement,
        value: f64,
        limit: f64,
        scale: f64,
    ) {
        if value < limit - ROUNDING * scale || value.is_nan() {
            self.push(Shortfall::new(requirement, value, limit));
        }
    }

    /// As [`at_most`](Self::at_most), of a figure that is computed from others as large as `scale`: the limit itself
    /// may be zero.
    pub(crate) fn at_most_of(
        &mut self,
        requirement: Requirement,
        value: f64,
        limit: f64,
        scale: f64,
    ) {
        if value > limit + ROUNDING * scale || value.is_nan() {
            self.push(Shortfall::new(requirement, value, limit));
        }
    }

    /// Notes a shortfall. Of two in one requirement, as of two parts, the worse counts.
    pub(crate) fn push(&mut self, shortfall: Shortfall) {
        let mut known = self.0.iter_mut();
        match known.find(|own| own.requirement == shortfall.requirement) {
            Some(own) if own.share < shortfall.share => *own = shortfall,
            Some(_) => {}
            None => self.0.push(shortfall),
        }
    }

    /// These, or if there are none yet this one: of what could not even be built.
    pub(crate) fn or(mut self, shortfall: Shortfall) -> Self {
        if self.is_empty() {
            self.push(shortfall);
        }
        self
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn of(&self, requirement: Requirement) -> Option<&Shortfall> {
        self.0.iter().find(|own| own.requirement == requirement)
    }

    pub(crate) fn iter(&self) -> std::slice::Iter<'_, Shortfall> {
        self.0.iter()
    }

    /// By what share the one that misses most does; zero if none misses.
    pub(crate) fn worst(&self) -> f64 {
        self.iter().map(|own| own.share).fold(0.0, f64::max)
    }

    /// The one that misses most first.
    pub(crate) fn into_sorted(mut self) -> Vec<Shortfall> {
        self.0.sort_by(|a, b| b.share.total_cmp(&a.share));
        self.0
    }
}
