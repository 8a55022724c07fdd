//! What a ball-joint rod does over a travel of its input.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::error::{Result, ascending};
use crate::linkage::{BallRod, Range};
use crate::numeric::root::between;
use crate::numeric::spacing::spaced;

/// Places between which the extremes over a travel are looked for.
const PLACES: usize = 101;

/// What a ball-joint rod does over a travel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BallRodFigures {
    /// Turn of the output over the whole travel, rad, positive in the sense of the input.
    pub output_span: f64,
    /// Least and greatest ratio.
    pub ratios: [f64; 2],
    /// Greatest ratio less the least, over the mean of the two; none where that is zero, as for an output that stands
    /// still or turns back midway.
    pub ratio_variation: Option<f64>,
    /// The largest sum of the output angles at equal input angles to either side, rad: zero for a linkage that does the
    /// same left and right.
    pub asymmetry: f64,
    /// The least transmission angle, rad.
    pub min_transmission_angle: f64,
    /// Input travel left up to a lock at the nearer end, rad; half a turn if there is none.
    pub lock_margin: f64,
    /// Largest swivel of the ball joints on the input and the output arm, rad; none without a stud.
    pub swivels: [Option<f64>; 2],
}

impl BallRod {
    /// What the linkage does over a travel of the input (rad).
    ///
    /// Extremes are looked for between 101 places and found to the last bits: where the curvature changes its sign for
    /// the ratio, and so on. The least transmission angle follows in closed form, from the extremes of the discriminant
    /// of the loop equation.
    ///
    /// # Errors
    /// As [`BallRod::transfer`] for the places of the travel, [`Error::NotAscending`](crate::Error::NotAscending) for
    /// one that does not go upward.
    pub fn figures(&self, travel: [f64; 2]) -> Result<BallRodFigures> {
        ascending("travel of the input", travel, "rad")?;
        self.figures_at(travel, PLACES)
    }

    pub(super) fn figures_at(&self, travel: [f64; 2], count: usize) -> Result<BallRodFigures> {
        let [low, high] = travel;
        let over = |range, slope: &dyn Fn(f64) -> Result<f64>| extreme_places(range, count, slope);
        let mut ratios = [f64::INFINITY, f64::NEG_INFINITY];
        for angle in over(travel, &|angle| Ok(self.transfer(angle)?.curvature))? {
            let ratio = self.transfer(angle)?.ratio;
            ratios = [ratios[0].min(ratio), ratios[1].max(ratio)];
        }
        let both = high.min(-low).max(0.0);
        let mut asymmetry = 0.0_f64;
        let slope = |angle: f64| Ok(self.transfer(angle)?.ratio - self.transfer(-angle)?.ratio);
        for angle in over([0.0, both], &slope)? {
            let sum = self.transfer(angle)?.angle + self.transfer(-angle)?.angle;
            asymmetry = asymmetry.max(sum.abs());
        }
        let margin = |locks: Range| (low - locks.lower).min(locks.upper - high);
        let variation = (ratios[1] - ratios[0]) / (0.5 * (ratios[0] + ratios[1])).abs();
        Ok(BallRodFigures {
            output_span: self.transfer(high)?.angle - self.transfer(low)?.angle,
            ratios,
            ratio_variation: variation.is_finite().then_some(variation),
            asymmetry,
            min_transmission_angle: self.min_transmission_angle(travel)?,
            lock_margin: self.travel().map_or(PI, margin),
            swivels: self.swivels_over(travel, count)?,
        })
    }

    /// The swivels of [`BallRod::figures`] alone.
    ///
    /// # Errors
    /// As [`BallRod::figures`].
    pub(crate) fn greatest_swivels(&self, travel: [f64; 2]) -> Result<[Option<f64>; 2]> {
        ascending("travel of the input", travel, "rad")?;
        self.swivels_over(travel, PLACES)
    }

    fn swivels_over(&self, travel: [f64; 2], count: usize) -> Result<[Option<f64>; 2]> {
        let studs = [self.input().stud(), self.output().stud()].map(|stud| stud.is_some());
        let mut most = studs.map(|has| has.then_some(0.0_f64));
        if studs == [false; 2] {
            return Ok(most);
        }
        let mut raise = |swivels: [Option<f64>; 2]| {
            for (most, here) in most.iter_mut().zip(swivels) {
                *most = most.zip(here).map(|(most, here)| most.max(here.abs()));
            }
        };
        let mut before: Option<(f64, [Option<f64>; 2])> = None;
        for angle in spaced(travel, count - 1) {
            let at = self.transfer(angle)?;
            raise(self.swivels_between(angle, at.angle));
            let slopes = self.swivel_slopes_at(angle, &at);
            if let Some((last, slopes_before)) = before {
                for joint in [0, 1] {
                    let turns = slopes[joint].zip(slopes_before[joint]);
                    if turns.is_some_and(|(now, then)| now * then < 0.0) {
                        let slope = |angle| {
                            let slopes = self.swivel_slopes(angle).unwrap_or_default();
                            slopes[joint].unwrap_or(0.0)
                        };
                        raise(self.swivels(between(slope, last, angle))?);
                    }
                }
            }
            before = Some((angle, slopes));
        }
        let [low, high] = travel;
        if (low..=high).contains(&0.0) {
            raise(self.swivels(0.0)?);
        }
        Ok(most)
    }
}

/// Evenly spaced places of a range, neutral if it is one of them, and those at which a slope changes its sign between
/// two of them: where what it is the slope of has its extremes.
fn extreme_places(
    range: [f64; 2],
    count: usize,
    slope: impl Fn(f64) -> Result<f64>,
) -> Result<Vec<f64>> {
    let even: Vec<f64> = spaced(range, count - 1).collect();
    let slopes = even
        .iter()
        .map(|&angle| slope(angle))
        .collect::<Result<Vec<f64>>>()?;
    let pairs = even.windows(2).zip(slopes.windows(2));
    let turning = pairs.filter_map(|(ends, slopes)| {
        let turns = slopes[0] * slopes[1] < 0.0;
        turns.then(|| between(|angle| slope(angle).unwrap_or(0.0), ends[0], ends[1]))
    });
    let turning: Vec<f64> = turning.collect();
    let neutral = (range[0]..=range[1]).contains(&0.0).then_some(0.0);
    Ok(even.into_iter().chain(turning).chain(neutral).collect())
}
