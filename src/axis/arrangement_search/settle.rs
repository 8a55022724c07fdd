//! The best place along one line: where a limit is just kept, or where the merit is greatest.

use crate::error::Result;

/// Steps of one settling; a dozen is usual.
const MOST_STEPS: usize = 40;
/// How far from an end the next place is looked at, as a part of the way to its neighbor.
const BESIDE_END: f64 = 0.1;
/// A place whose neighbors are worth as much, to this, is settled.
const SAME_MERIT: f64 = 1e-8;
/// By how much the worth of a miss falls while places to start from are compared: what misses a limit by a hundredth
/// may be worth a starting even if something that keeps it is worth a twentieth more.
const MISS: f64 = 5.0;

/// How many limits there are.
pub(super) const LIMITS: usize = 6;

/// How good something is: that which misses its limits by less first, of what keeps them that of more merit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Score {
    /// By what share each limit is missed; negative where it is kept.
    pub(super) margins: [f64; LIMITS],
    pub(super) merit: f64,
}

impl Score {
    /// By what share the worst limit is missed; negative where all are kept.
    pub(super) fn margin(&self) -> f64 {
        self.margins.into_iter().fold(f64::NEG_INFINITY, f64::max)
    }

    pub(super) fn keeps(&self) -> bool {
        self.margins.iter().all(|margin| *margin <= 0.0)
    }

    pub(super) fn better_than(&self, other: &Self) -> bool {
        let (own, others) = (self.margin().max(0.0), other.margin().max(0.0));
        if own != others {
            own < others
        } else {
            self.merit > other.merit
        }
    }

    /// What a search may hope for that starts here.
    pub(super) fn promise(&self) -> f64 {
        let promise = self.merit - MISS * self.margin().max(0.0);
        if promise.is_nan() {
            f64::NEG_INFINITY
        } else {
            promise
        }
    }

    /// What is to be made great here, once nothing keeps the limits or all does.
    fn height(&self) -> f64 {
        if self.keeps() {
            self.merit
        } else {
            -self.margin()
        }
    }
}

/// What has a score.
pub(super) trait Scored: Clone {
    fn score(&self) -> Score;
}

/// The best of the places along a line between two, from places on it, ascending, that are looked at first; followed to
/// within `width`.
///
/// The best of the first, and the one that promises most, are closed in on: towards a limit by the rule of false
/// position, else by parabolas through three places, and by halving where neither gains.
pub(super) fn settle<T: Scored>(
    first: &[f64],
    width: f64,
    at: &mut impl FnMut(f64) -> Result<T>,
) -> Result<Option<(f64, T)>> {
    let mut known: Vec<(f64, T)> = Vec::with_capacity(first.len());
    for place in first {
        known.push((*place, at(*place)?));
    }
    let pick = |better: &dyn Fn(&Score, &Score) -> bool| {
        (1..known.len()).fold(0, |best, i| {
            if better(&known[i].1.score(), &known[best].1.score()) {
                i
            } else {
                best
            }
        })
    };
    if known.is_empty() {
        return Ok(None);
    }
    let best = pick(&|a, b| a.better_than(b));
    let promising = pick(&|a, b| a.promise() > b.promise());
    let mut found = close_in(&known, best, width, at)?;
    if promising.abs_diff(best) > 1 {
        let other = close_in(&known, promising, width, at)?;
        if other.1.score().better_than(&found.1.score()) {
            found = other;
        }
    }
    Ok(Some(found))
}

/// The best place between the neighbors of one.
fn close_in<T: Scored>(
    known: &[(f64, T)],
    start: usize,
    width: f64,
    at: &mut impl FnMut(f64) -> Result<T>,
) -> Result<(f64, T)> {
    let side = |i: Option<usize>| {
        i.and_then(|i| known.get(i))
            .map(|(x, one)| (*x, one.score()))
    };
    let mut sides = [side(start.checked_sub(1)), side(Some(start + 1))];
    let mut middle = known[start].clone();
    // How often in a row a step towards a limit has fallen on the same side of it.
    let mut same: i32 = 0;
    for step in 0..MOST_STEPS {
        let here = (middle.0, middle.1.score());
        let reach = |side: &Option<(f64, Score)>| side.map_or(0.0, |(x, _)| (x - here.0).abs());
        let wider = usize::from(reach(&sides[1]) > reach(&sides[0]));
        if reach(&sides[0]) + reach(&sides[1]) <= width || is_flat(&sides, &here.1) {
            break;
        }
        let mut place = None;
        let limit = limit_side(&sides, &here.1);
        if step % 3 != 2 {
            place = match limit {
                Some(side) => sides[side].map(|side| towards_limit(here, side, same)),
                None => parabola(&sides, here),
            };
        }
        // At an end of the line, where nothing lies on the other side, the best is likely to be the end itself.
        let part = if sides[1 - wider].is_none() {
            BESIDE_END
        } else {
            0.5
        };
        let half = |(x, _): (f64, Score)| here.0 + part * (x - here.0);
        let inside = |place: &f64| {
            // A place that is next to a known one tells nothing.
            let apart = 0.05 * width;
            let ends = sides.map(|side| side.map_or(here.0, |(x, _)| x));
            ends[0] + apart < *place && *place < ends[1] - apart && (*place - here.0).abs() > apart
        };
        let Some(place) = place.filter(inside).or(sides[wider].map(half)) else {
            break;
        };
        let one = at(place)?;
        let score = one.score();
        if limit.is_some() {
            let kept = score.keeps();
            same = match (kept, same) {
                (true, 0..) => same + 1,
                (false, ..=0) => same - 1,
                (true, _) => 1,
                (false, _) => -1,
            };
        }
        let above = usize::from(place > here.0);
        if score.better_than(&here.1) {
            sides[1 - above] = Some(here);
            middle = (place, one);
        } else {
            sides[above] = Some((place, score));
        }
    }
    Ok(middle)
}

/// Whether both neighbors keep the limits and are worth as much.
fn is_flat(sides: &[Option<(f64, Score)>; 2], here: &Score) -> bool {
    let alike = |side: &Option<(f64, Score)>| {
        side.is_none_or(|(_, score)| score.keeps() && here.merit - score.merit < SAME_MERIT)
    };
    here.keeps() && sides.iter().all(alike)
}

/// On which side a limit ends what is gained, if one does.
fn limit_side(sides: &[Option<(f64, Score)>; 2], here: &Score) -> Option<usize> {
    if !here.keeps() {
        return None;
    }
    let missed = sides.map(|side| side.is_some_and(|(_, score)| !score.keeps()));
    match missed {
        [false, false] => None,
        [true, false] => Some(0),
        [false, true] => Some(1),
        [true, true] => {
            let margin = |i: usize| sides[i].map_or(f64::INFINITY, |(_, score)| score.margin());
            Some(usize::from(margin(1) > margin(0)))
        }
    }
}

/// Where the first limit is met between a place that keeps all and one that does not, by the rule of false position;
/// farther or nearer where the last ones fell on one side.
///
/// Each limit by itself: on a crest another one is just kept all along, and of the worst of all that would tell
/// nothing.
fn towards_limit(here: (f64, Score), side: (f64, Score), same: i32) -> f64 {
    let margins = here.1.margins.iter().zip(&side.1.margins);
    let missed = margins.filter(|(_, there)| **there > 0.0);
    let shares = missed.map(|(own, there)| -own / (there - own));
    let share = shares.fold(1.0, f64::min);
    let share = match same {
        1.. => 2.0 * share,
        ..=-2 => 0.5 * share,
        _ => share,
    };
    here.0 + share.clamp(0.0, 0.9) * (side.0 - here.0)
}

/// Where the parabola through three places turns.
fn parabola(sides: &[Option<(f64, Score)>; 2], here: (f64, Score)) -> Option<f64> {
    let [Some(a), Some(b)] = *sides else {
        return None;
    };
    let height = |one: (f64, Score)| {
        if one.1.keeps() == here.1.keeps() {
            one.1.height()
        } else {
            f64::NAN
        }
    };
    let (left, right) = (here.0 - a.0, here.0 - b.0);
    let (p, q) = (
        left * (height(here) - height(b)),
        right * (height(here) - height(a)),
    );
    let place = here.0 - 0.5 * (left * p - right * q) / (p - q);
    place.is_finite().then_some(place)
}

#[cfg(test)]
#[path = "settle_tests.rs"]
mod tests;
