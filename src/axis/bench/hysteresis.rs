//! What the readings of there and back differ.

use serde::Serialize;

use crate::error::{Result, finite};
use crate::observer;
use crate::stored::checked_when_read;

/// Stretches of the travel over which differences are averaged, at most, and rows for one of them at least.
const STRETCHES: usize = 64;
const ROWS_PER_STRETCH: usize = 4;

checked_when_read! {
    /// How far the readings of the way back are from those of the way there, at the same angle.
    ///
    /// Each rising row is held against the falling rows around it (straight between them); differences are averaged
    /// over stretches of the common travel, 64 at most, so that noise does not pass for hysteresis. Positive: the
    /// reading lags behind the control, as play and friction make it. Angles are by the mean gain over that travel.
    ///
    /// # References
    /// IEC 61298-2, hysteresis as the difference of the means of rising and falling readings (from memory).
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct Hysteresis {
        /// Mean over the common travel, counts.
        pub mean: f64,
        /// The same as an angle of the control, rad.
        pub mean_angle: f64,
        /// Greatest of a stretch, whichever its sign, counts.
        pub greatest: f64,
        /// The same as an angle of the control, rad.
        pub greatest_angle: f64,
        /// Middle of that stretch, rad.
        pub at: f64,
    }
}

impl Hysteresis {
    fn check(&self) -> Result<()> {
        finite("mean hysteresis", self.mean, "counts")?;
        finite("mean hysteresis as an angle", self.mean_angle, "rad")?;
        finite("greatest hysteresis", self.greatest, "counts")?;
        finite(
            "greatest hysteresis as an angle",
            self.greatest_angle,
            "rad",
        )?;
        finite("angle of the greatest hysteresis", self.at, "rad")?;
        Ok(())
    }

    /// Of two curves of angle and mean count, angles strictly ascending; none if they have no two angles in common.
    pub(super) fn between(
        rising: &[[f64; 2]],
        falling: &[[f64; 2]],
        sense: f64,
    ) -> Result<Option<Self>> {
        observer::check()?;
        let ([Some(r0), Some(r1)], [Some(f0), Some(f1)]) = (ends(rising), ends(falling)) else {
            return Ok(None);
        };
        let (lower, upper) = (r0[0].max(f0[0]), r1[0].min(f1[0]));
        if lower >= upper {
            return Ok(None);
        }
        let common = rising.iter().filter(|p| (lower..=upper).contains(&p[0]));
        let common: Vec<[f64; 2]> = common.copied().collect();
        let (Some(first), Some(last)) = (common.first(), common.last()) else {
            return Ok(None);
        };
        if first[0] >= last[0] {
            return Ok(None);
        }
        let gain = ((last[1] - first[1]) / (last[0] - first[0])).abs();
        let stretches = (common.len() / ROWS_PER_STRETCH).clamp(1, STRETCHES);
        let mut sums = vec![[0.0; 2]; stretches];
        let mut next = 1;
        for [angle, count] in &common {
            while next + 1 < falling.len() && falling[next][0] < *angle {
                next += 1;
            }
            let [a, b] = [falling[next - 1], falling[next]];
            let back = a[1] + (b[1] - a[1]) * ((angle - a[0]) / (b[0] - a[0]));
            let part = (angle - lower) / (upper - lower);
            let stretch = ((part * stretches as f64) as usize).min(stretches - 1);
            sums[stretch][0] += sense * (back - count);
            sums[stretch][1] += 1.0;
        }
        let width = (upper - lower) / stretches as f64;
        let lags = sums.iter().enumerate().filter(|(_, [_, rows])| *rows > 0.0);
        let lags: Vec<[f64; 2]> = lags
            .map(|(i, [sum, rows])| [lower + width * (i as f64 + 0.5), sum / rows])
            .collect();
        let mean = lags.iter().map(|lag| lag[1]).sum::<f64>() / lags.len() as f64;
        let greatest = lags.iter().max_by(|a, b| a[1].abs().total_cmp(&b[1].abs()));
        let Some(&[at, greatest]) = greatest else {
            return Ok(None);
        };
        // A reading that stands still over the common travel tells no angle.
        if gain == 0.0 {
            return Ok(None);
        }
        Ok(Some(Self {
            mean,
            mean_angle: mean / gain,
            greatest,
            greatest_angle: greatest / gain,
            at,
        }))
    }
}

fn ends(curve: &[[f64; 2]]) -> [Option<[f64; 2]>; 2] {
    if curve.len() < 2 {
        return [None, None];
    }
    [curve.first().copied(), curve.last().copied()]
}
