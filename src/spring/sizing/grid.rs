//! What the searches for springs to be made share: every diameter in which the wires are sold, with coils spread over
//! the spring indices allowed.

use crate::error::{Error, Result, ascending, counted, within};
use crate::numeric::spacing::spaced;
use crate::parallel;
use crate::search::{SearchResult, Shortfalls, Tally};
use crate::spring::wire::types::Wire;

/// Spring indices that are wound without trouble (Shigley sec. 10-8).
pub(in crate::spring) const INDEX: [f64; 2] = [4.0, 12.0];
pub(in crate::spring) const SAFETY_RANGE: [f64; 2] = [0.1, 100.0];
const MOST_STEPS: usize = 10_000;

/// Every diameter in which the wires are sold, and what came of them in one ranking.
pub(in crate::spring) fn search<S: Send>(
    what: &'static str,
    wires: &[Wire],
    try_diameter: impl Fn(&Wire, f64) -> Result<Part<S>> + Sync,
) -> Result<SearchResult<S>> {
    let diameters = wires.iter().flat_map(|wire| {
        let sold = wire.standard_diameters();
        sold.iter().map(move |&diameter| (wire, diameter))
    });
    let diameters: Vec<_> = diameters.collect();
    let parts = parallel::map(&diameters, |&(wire, diameter)| try_diameter(wire, diameter))?;
    let mut tally = Tally::default();
    let mut found = Vec::new();
    for part in parts {
        let part = part?;
        tally.add(part.tally);
        found.extend(part.best);
    }
    Ok(tally.result(what, found))
}

pub(in crate::spring) fn check_wires(wires: &[Wire]) -> Result<()> {
    counted("wires to try", wires.len(), [1, 100])?;
    if wires
        .iter()
        .any(|wire| wire.standard_diameters().is_empty())
    {
        return Err(Error::Count {
            quantity: "standard diameters of a wire to try",
            count: 0,
            min: 1,
            max: MOST_STEPS,
        });
    }
    Ok(())
}

pub(in crate::spring) fn check_steps(quantity: &'static str, count: usize) -> Result<usize> {
    counted(quantity, count, [2, MOST_STEPS])
}

/// What came of one wire diameter.
pub(in crate::spring) struct Part<S> {
    pub(in crate::spring) tally: Tally<S>,
    best: Option<(f64, S)>,
}

impl<S> Default for Part<S> {
    fn default() -> Self {
        Self {
            tally: Tally::default(),
            best: None,
        }
    }
}

impl<S> Part<S> {
    /// Counts a candidate, and keeps it if it is the best so far.
    pub(in crate::spring) fn judge(
        &mut self,
        shortfalls: Shortfalls,
        score: f64,
        spring: impl FnOnce() -> S,
    ) {
        if !shortfalls.is_empty() {
            self.tally.reject(shortfalls, || Some(spring()));
            return;
        }
        self.tally.accept();
        if self.best.as_ref().is_none_or(|(best, _)| score < *best) {
            self.best = Some((score, spring()));
        }
    }
}

pub(in crate::spring) fn interval(
    quantity: &'static str,
    [lower, upper]: [f64; 2],
    min: f64,
    max: f64,
    unit: &'static str,
) -> Result<[f64; 2]> {
    within(quantity, lower, min, max, unit)?;
    within(quantity, upper, min, max, unit)?;
    ascending(quantity, [lower, upper], unit)
}

/// Mean diameters to try: evenly over the indices, and those that just fit.
pub(in crate::spring) fn coils(
    index: [f64; 2],
    d: f64,
    steps: usize,
    edges: [Option<f64>; 2],
) -> impl Iterator<Item = f64> {
    let ends = index.map(|index| index * d);
    let edges = edges.into_iter().flatten();
    let inside = edges.filter(move |mean| (ends[0]..=ends[1]).contains(mean));
    spaced(ends, steps - 1).chain(inside)
}

/// A limit of room, if there is one.
pub(in crate::spring) fn limit(quantity: &'static str, value: Option<f64>) -> Result<()> {
    value.map_or(Ok(()), |value| {
        within(quantity, value, 1e-5, 5.0, "m").map(|_| ())
    })
}

/// What extension and torsion springs may be wound like.
pub(in crate::spring) fn shape(index: [f64; 2], turns: [f64; 2], safety: f64) -> Result<()> {
    interval("spring index", index, 2.0, 50.0, "(no unit)")?;
    interval("turns of the body", turns, 1.0, 1000.0, "turns")?;
    let [least, most] = SAFETY_RANGE;
    within("safety against yielding", safety, least, most, "(no unit)")?;
    Ok(())
}
