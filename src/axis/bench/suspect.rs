//! What looks doubtful in rows that can be used: stretches that stand still, rows that stand twice, outliers.

use crate::axis::bench::doubt::DoubtReason;
use crate::axis::bench::legs::{Leg, SweepDirection, legs, range};
use crate::error::{Result, about};
use crate::numeric::median::{MAD_TO_SD, median, quantile};
use crate::observer;
use crate::units::DEG;

/// Counts that the mean gain would have given over a stretch that stands still: less than that is the resolution.
const STILL: f64 = 8.0;
/// The same as a part of the range of the counts.
const STILL_PART: f64 = 0.01;
/// Part of the rows that may lie beyond what is taken for the range of the counts: outliers.
const BEYOND: f64 = 0.01;
/// Where more than this part of the rows stands at the angle of the row before, rows are repeated readings.
const HELD: f64 = 0.25;
/// Fewer rows in a direction tell no outlier.
const FEWEST: usize = 12;
/// Pairs of rows, one on either side, that tell what a row between should read.
const PAIRS: usize = 5;
/// Standard deviation of a reading against what its pairs tell, in those of one reading: the median of five means of
/// two (1 + pi/2 / 5 / 2 in squares).
const AGAINST_PAIRS: f64 = 1.076;
/// Departures beyond so many standard deviations are outliers: by chance one in a thousand million is.
const FAR: f64 = 6.0;
/// Least standard deviation that is assumed, counts: a reading is a whole count.
const LEAST_NOISE: f64 = 0.5;
/// A bent curve departs from its pairs over several rows; an outlier does alone, by so many times its neighbors.
const ALONE: f64 = 3.0;
/// Rows between two looks at the observer.
const LOOK: usize = 1 << 16;

/// A doubt of the row with this index.
pub(super) struct Suspect {
    pub(super) row: usize,
    pub(super) reason: DoubtReason,
    pub(super) detail: String,
}

/// All doubts, by kind and row; angles in rad, counts within those of the converter.
pub(super) fn suspects(angles: &[f64], counts: &[f64]) -> Result<Vec<Suspect>> {
    let mut found = Vec::new();
    if angles.is_empty() {
        return Ok(found);
    }
    still(angles, counts, &mut found);
    observer::check()?;
    twice(angles, counts, &mut found);
    let legs = legs(angles);
    for direction in SweepDirection::ALL {
        let order = in_order(angles, &legs, direction);
        outliers(angles, counts, &order, &mut found)?;
    }
    Ok(found)
}

/// Rows of one direction by their angle.
pub(super) fn in_order(angles: &[f64], legs: &[Leg], direction: SweepDirection) -> Vec<usize> {
    let of = legs.iter().filter(|leg| leg.direction == direction);
    let mut order: Vec<usize> = of.flat_map(|leg| leg.rows.clone()).collect();
    order.sort_by(|a, b| angles[*a].total_cmp(&angles[*b]));
    order
}

fn still(angles: &[f64], counts: &[f64], found: &mut Vec<Suspect>) {
    let mut sorted = counts.to_vec();
    let (low, high) = (
        quantile(&mut sorted, BEYOND),
        quantile(&mut sorted, 1.0 - BEYOND),
    );
    let [least, most] = range(angles);
    let gain = (high - low) / (most - least);
    let enough = STILL.max(STILL_PART * (high - low));
    let mut start = 0;
    for end in 1..=counts.len() {
        if counts.get(end) == Some(&counts[start]) {
            continue;
        }
        let run = start..end;
        let count = counts[start];
        start = end;
        let [from, to] = range(&angles[run.clone()]);
        // Not so where the angles stand still: 0 times infinity.
        if gain * (to - from) >= enough {
            let reason = if count <= low || count >= high {
                DoubtReason::Clipped
            } else {
                DoubtReason::Stuck
            };
            let detail = format!(
                "the count stands at {} from {} to {} deg",
                about(count),
                about(from / DEG),
                about(to / DEG)
            );
            found.extend(run.map(|row| Suspect {
                row,
                reason,
                detail: detail.clone(),
            }));
        }
    }
}

fn twice(angles: &[f64], counts: &[f64], found: &mut Vec<Suspect>) {
    let pairs = || angles.windows(2).zip(counts.windows(2));
    let held = pairs().filter(|(angle, _)| angle[0] == angle[1]).count();
    if held as f64 > HELD * angles.len() as f64 {
        return;
    }
    for (i, (angle, count)) in pairs().enumerate() {
        if angle[0] == angle[1] && count[0] == count[1] {
            found.push(Suspect {
                row: i + 1,
                reason: DoubtReason::Duplicate,
                detail: "angle and count of the row before once more".to_owned(),
            });
        }
    }
}

/// Departures of the rows of one direction, by their angle, from what their neighbors tell: interpolated by pairs on
/// either side, at the ends by a line through the nearest.
pub(super) fn departures(angles: &[f64], counts: &[f64], order: &[usize]) -> Result<Vec<f64>> {
    let mut departures = Vec::with_capacity(order.len());
    for place in 0..order.len() {
        if place.is_multiple_of(LOOK) {
            observer::check()?;
        }
        let at = |place: usize| (angles[order[place]], counts[order[place]]);
        let (angle, count) = at(place);
        let inner = place >= PAIRS && place + PAIRS < order.len();
        let told = if inner {
            let mut told = [0.0; PAIRS];
            for (i, told) in told.iter_mut().enumerate() {
                let ((a, below), (b, above)) = (at(place - i - 1), at(place + i + 1));
                let part = if b > a { (angle - a) / (b - a) } else { 0.5 };
                *told = below + part * (above - below);
            }
            median(&mut told)
        } else {
            let near = if place < PAIRS {
                0..2 * PAIRS + 1
            } else {
                order.len() - 2 * PAIRS - 1..order.len()
            };
            let others: Vec<(f64, f64)> = near.filter(|i| *i != place).map(at).collect();
            end_value(&others, angle)
        };
        departures.push(count - told);
    }
    Ok(departures)
}

/// By the median of the slopes of rows half the list apart, and the median of the levels with it.
fn end_value(others: &[(f64, f64)], angle: f64) -> f64 {
    let half = others.len() / 2;
    let pairs = others.iter().zip(&others[half..]);
    let mut slopes: Vec<f64> = pairs
        .filter(|(a, b)| b.0 > a.0)
        .map(|(a, b)| (b.1 - a.1) / (b.0 - a.0))
        .collect();
    let slope = if slopes.is_empty() {
        0.0
    } else {
        median(&mut slopes)
    };
    let mut levels: Vec<f64> = others
        .iter()
        .map(|(a, count)| count + slope * (angle - a))
        .collect();
    median(&mut levels)
}

/// Standard deviation of one reading by the departures of many, counts; the bend of a curve counts in.
pub(super) fn noise(departures: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = departures.iter().map(|d| d.abs()).collect();
    MAD_TO_SD * median(&mut sizes) / AGAINST_PAIRS
}

/// Whether a direction has rows enough to tell what one of them should read.
pub(super) fn is_enough(order: &[usize]) -> bool {
    order.len() >= FEWEST
}

fn outliers(
    angles: &[f64],
    counts: &[f64],
    order: &[usize],
    found: &mut Vec<Suspect>,
) -> Result<()> {
    if !is_enough(order) {
        return Ok(());
    }
    let departures = departures(angles, counts, order)?;
    let scale = FAR * AGAINST_PAIRS * noise(&departures).max(LEAST_NOISE);
    for (place, &departure) in departures.iter().enumerate() {
        let at_end = place < PAIRS || place + PAIRS >= order.len();
        // A line through rows on one side tells half as well.
        let far = if at_end { 2.0 * scale } else { scale };
        if departure.abs() <= far {
            continue;
        }
        let around = place.saturating_sub(2)..(place + 3).min(order.len());
        let mut neighbors: Vec<f64> = around
            .filter(|i| *i != place)
            .map(|i| departures[i].abs())
            .collect();
        if departure.abs() > ALONE * median(&mut neighbors) {
            let row = order[place];
            found.push(Suspect {
                row,
                reason: DoubtReason::Outlier,
                detail: format!(
                    "{} counts at {} deg are {} from what the rows around tell",
                    about(counts[row]),
                    about(angles[row] / DEG),
                    about(departure)
                ),
            });
        }
    }
    Ok(())
}
