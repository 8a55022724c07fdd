//! The count that a running search keeps.

use super::result::{NearMiss, Rejection, SearchResult};
use super::shortfall::{Requirement, Shortfall, Shortfalls};

/// How many candidates fit, what the others fail in, and which of them comes nearest.
#[derive(Debug)]
pub(crate) struct Tally<T> {
    tried: usize,
    fitting: usize,
    rejected: Vec<Rejection>,
    /// The candidate whose worst shortfall is least, and by what share.
    nearest: Option<(f64, NearMiss<T>)>,
}

impl<T> Default for Tally<T> {
    fn default() -> Self {
        Self {
            tried: 0,
            fitting: 0,
            rejected: Vec::new(),
            nearest: None,
        }
    }
}

impl<T> Tally<T> {
    /// Counts a candidate that keeps every limit.
    pub(crate) fn accept(&mut self) {
        self.tried += 1;
        self.fitting += 1;
    }

    /// Counts a candidate that falls short. `candidate` is asked for only if it comes nearer than all before; it may be
    /// nothing that can be built.
    pub(crate) fn reject(&mut self, shortfalls: Shortfalls, candidate: impl FnOnce() -> Option<T>) {
        for shortfall in shortfalls.iter() {
            self.count(1, *shortfall);
        }
        self.approach(shortfalls, candidate);
    }

    /// Counts a candidate for one of its shortfalls alone.
    pub(crate) fn reject_for(
        &mut self,
        requirement: Requirement,
        shortfalls: Shortfalls,
        candidate: impl FnOnce() -> Option<T>,
    ) {
        if let Some(shortfall) = shortfalls.of(requirement) {
            self.count(1, *shortfall);
        }
        self.approach(shortfalls, candidate);
    }

    /// Counts candidates that fail in what others were counted for already, by more than those.
    pub(crate) fn reject_more(&mut self, requirement: Requirement, count: usize) {
        self.tried += count;
        if let Some(own) = self
            .rejected
            .iter_mut()
            .find(|own| own.nearest.requirement == requirement)
        {
            own.count += count;
        }
    }

    /// Adds what another part of the search came to, as if it had been next.
    pub(crate) fn add(&mut self, other: Self) {
        self.tried += other.tried;
        self.fitting += other.fitting;
        for rejection in other.rejected {
            self.count(rejection.count, rejection.nearest);
        }
        if let Some((share, _)) = &other.nearest
            && self.nearest.as_ref().is_none_or(|(least, _)| share < least)
        {
            self.nearest = other.nearest;
        }
    }

    /// What the search gives. `found`: a score for each that is given, the least of which is best; equals stay in their
    /// order.
    pub(crate) fn result(self, what: &'static str, mut found: Vec<(f64, T)>) -> SearchResult<T> {
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut rejected = self.rejected;
        rejected.sort_by_key(|own| std::cmp::Reverse(own.count));
        SearchResult {
            what,
            nearest: self
                .nearest
                .filter(|_| found.is_empty())
                .map(|(_, nearest)| nearest),
            found: found.into_iter().map(|(_, one)| one).collect(),
            rejected,
            tried: self.tried,
            fitting: self.fitting,
        }
    }

    fn count(&mut self, count: usize, nearest: Shortfall) {
        let mut known = self.rejected.iter_mut();
        match known.find(|own| own.nearest.requirement == nearest.requirement) {
            Some(own) => {
                own.count += count;
                if nearest.share < own.nearest.share {
                    own.nearest = nearest;
                }
            }
            None => self.rejected.push(Rejection { count, nearest }),
        }
    }

    fn approach(&mut self, shortfalls: Shortfalls, candidate: impl FnOnce() -> Option<T>) {
        self.tried += 1;
        let share = shortfalls.worst();
        if self
            .nearest
            .as_ref()
            .is_none_or(|(least, _)| share < *least)
        {
            let nearest = NearMiss {
                candidate: candidate(),
                shortfalls: shortfalls.into_sorted(),
            };
            self.nearest = Some((share, nearest));
        }
    }
}

#[cfg(test)]
#[path = "tally_tests.rs"]
mod tests;
