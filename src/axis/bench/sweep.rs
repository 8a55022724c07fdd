//! A measured sweep: angles of the control and the counts read there.

use std::f64::consts::TAU;

use crate::axis::bench::hysteresis::Hysteresis;
use crate::axis::bench::legs::{Leg, SweepDirection, legs, range};
use crate::axis::bench::suspect::{departures, in_order, is_enough, noise};
use crate::error::{Error, Result, counted, within, within_computed};
use crate::stored::stored_by_its_constructor;
use crate::units::DEG;

/// Bits of the converters there are.
pub(super) const CONVERTER_BITS: [usize; 2] = [6, 24];
/// The greatest angle of a control either way, rad.
pub(super) const MAX_ANGLE: f64 = TAU;
/// More rows than any bench gives.
pub(super) const MOST_ROWS: usize = 5_000_000;
/// Rows of a sweep.
const ROWS: [usize; 2] = [3, MOST_ROWS];
/// Least range of the angles, rad: what no protractor of a bench tells.
const LEAST_RANGE: f64 = 1e-6;
/// Stretches of the angle, at most, whose means must go one way.
const STRETCHES: usize = 64;
/// Rows for a stretch at least, where there are so many.
const ROWS_PER_STRETCH: usize = 4;
/// Standard deviations of two means by which the second may come before the first.
const CHANCE: f64 = 5.0;
/// Counts by which it may, since a reading is a whole count.
const WHOLE: f64 = 1.0;

/// The highest count of a converter.
pub(super) fn highest(bits: u32) -> f64 {
    f64::from(bits).exp2() - 1.0
}

/// A sweep measured on the bench, rows in the order in which they were taken: one way, there and back, or many times.
///
/// The counts of each direction go one way, but for noise. What there and back differ is kept
/// ([`BenchSweep::hysteresis`]), not averaged away.
///
/// # Example
/// ```
/// use yokewright::axis::BenchSweep;
/// use yokewright::units::DEG;
///
/// // Up and back, 6 counts of lost motion.
/// let up: Vec<f64> = (-10..=10).map(|i| f64::from(i) * DEG).collect();
/// let angles: Vec<f64> = up.iter().chain(up.iter().rev()).copied().collect();
/// let counts: Vec<f64> = angles.iter().enumerate()
///     .map(|(i, angle)| (2048.0 + 150.0 * angle / DEG + if i < 21 { -3.0 } else { 3.0 }).round())
///     .collect();
/// let sweep = BenchSweep::new(12, angles, counts)?;
/// let hysteresis = sweep.hysteresis()?.unwrap();
/// assert!((hysteresis.mean - 6.0).abs() < 1e-9);
/// assert!((hysteresis.mean_angle / DEG - 0.04).abs() < 1e-4);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct BenchSweep {
    bits: u32,
    angle: Vec<f64>,
    count: Vec<f64>,
    legs: Vec<Leg>,
    /// 1 if counts grow with the angle, else -1.
    sense: f64,
    noise: Option<f64>,
}

stored_by_its_constructor!(BenchSweep {
    bits: u32,
    angle: Vec<f64>,
    count: Vec<f64>
} => Self::new(bits, angle, count));

impl BenchSweep {
    /// Of angles, rad, and counts (whole ones, or means of several) of a converter of `bits`.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::Count`] for a converter without 6 to 24 bits or fewer than 3 rows;
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond a full turn, a count beyond the converter, for
    /// angles or counts that are all equal; [`Error::TurnsBack`] where the counts of one direction turn back by more
    /// than noise does.
    pub fn new(bits: u32, angle: Vec<f64>, count: Vec<f64>) -> Result<Self> {
        counted("converter bits", bits as usize, CONVERTER_BITS)?;
        if angle.len() != count.len() {
            return Err(Error::LengthMismatch {
                first: "angles of the bench sweep",
                first_len: angle.len(),
                second: "counts",
                second_len: count.len(),
            });
        }
        counted("rows of the bench sweep", angle.len(), ROWS)?;
        let top = highest(bits);
        for (&angle, &count) in angle.iter().zip(&count) {
            within("angle of a row", angle, -MAX_ANGLE, MAX_ANGLE, "rad")?;
            within("count of a row", count, 0.0, top, "counts")?;
        }
        let [lower, upper] = range(&angle);
        let turn = 2.0 * MAX_ANGLE;
        let of_angles = "range of the angles of the bench sweep";
        within_computed(of_angles, upper - lower, LEAST_RANGE, turn, "rad")?;
        let [least, most] = range(&count);
        let of_counts = "range of the counts of the bench sweep";
        within_computed(of_counts, most - least, 1.0, top, "counts")?;
        let mut sweep = Self {
            legs: legs(&angle),
            bits,
            angle,
            count,
            sense: 1.0,
            noise: None,
        };
        sweep.sense = sweep.trend();
        sweep.noise = sweep.noise_of_rows()?;
        for direction in SweepDirection::ALL {
            sweep.check_way(direction)?;
        }
        Ok(sweep)
    }

    /// Bits of the converter.
    #[must_use]
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// Angles, rad, in the order of the rows.
    #[must_use]
    pub fn angle(&self) -> &[f64] {
        &self.angle
    }

    /// Counts, in the order of the rows.
    #[must_use]
    pub fn count(&self) -> &[f64] {
        &self.count
    }

    /// Number of rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.angle.len()
    }

    /// Way of each row, in their order.
    #[must_use]
    pub fn direction(&self) -> Vec<SweepDirection> {
        let mut directions = vec![SweepDirection::Rising; self.rows()];
        for leg in &self.legs {
            directions[leg.rows.clone()].fill(leg.direction);
        }
        directions
    }

    /// How often the control went from one side to the other.
    #[must_use]
    pub fn passes(&self) -> usize {
        self.legs.len()
    }

    /// Least and greatest angle, rad.
    #[must_use]
    pub fn angle_range(&self) -> [f64; 2] {
        range(&self.angle)
    }

    /// Least and greatest count.
    #[must_use]
    pub fn count_range(&self) -> [f64; 2] {
        range(&self.count)
    }

    /// Whether the counts grow with the angle.
    #[must_use]
    pub fn is_rising(&self) -> bool {
        self.sense > 0.0
    }

    /// Noise of one reading, counts rms, as each row departs from those around it in its direction (by the median of
    /// the departures, so that outliers do not count); the bend of the curve counts in where the rows are few. None of
    /// fewer than 12 rows in every direction.
    #[must_use]
    pub fn noise(&self) -> Option<f64> {
        self.noise
    }

    /// What the readings of there and back differ; none if the control went one way only.
    ///
    /// # Errors
    /// [`Error::Stopped`].
    pub fn hysteresis(&self) -> Result<Option<Hysteresis>> {
        let [rising, falling] = SweepDirection::ALL.map(|direction| self.curve_of(direction));
        Hysteresis::between(&rising, &falling, self.sense)
    }

    /// 1 if counts grow with the angle, else -1: by the line through the means of the outer thirds.
    fn trend(&self) -> f64 {
        let [lower, upper] = self.angle_range();
        let third = (upper - lower) / 3.0;
        let mean = |of: &dyn Fn(f64) -> bool| {
            let rows = self.angle.iter().zip(&self.count);
            let (sum, rows) = rows
                .filter(|(angle, _)| of(**angle))
                .fold((0.0, 0.0), |(sum, rows), (_, count)| {
                    (sum + count, rows + 1.0)
                });
            sum / rows
        };
        let low = mean(&|angle| angle <= lower + third);
        let high = mean(&|angle| angle >= upper - third);
        if high < low { -1.0 } else { 1.0 }
    }

    fn noise_of_rows(&self) -> Result<Option<f64>> {
        let mut all = Vec::new();
        for direction in SweepDirection::ALL {
            let order = in_order(&self.angle, &self.legs, direction);
            if is_enough(&order) {
                all.extend(departures(&self.angle, &self.count, &order)?);
            }
        }
        Ok((!all.is_empty()).then(|| noise(&all)))
    }

    /// The mean count at each angle of one direction, angles ascending.
    fn curve_of(&self, direction: SweepDirection) -> Vec<[f64; 2]> {
        let order = in_order(&self.angle, &self.legs, direction);
        let same = order.chunk_by(|a, b| self.angle[*a] == self.angle[*b]);
        same.map(|rows| {
            let sum: f64 = rows.iter().map(|row| self.count[*row]).sum();
            [self.angle[rows[0]], sum / rows.len() as f64]
        })
        .collect()
    }

    /// Refuses means of stretches that turn back by more than chance.
    fn check_way(&self, direction: SweepDirection) -> Result<()> {
        let order = in_order(&self.angle, &self.legs, direction);
        let stretches = self.stretches(&order);
        let noise = self.noise.unwrap_or(0.0);
        // Against the farthest so far, so that a slow return is seen as well.
        let mut farthest: Option<&Stretch> = None;
        for after in &stretches {
            let Some(before) = farthest else {
                farthest = Some(after);
                continue;
            };
            let chance = CHANCE * noise * (1.0 / before.rows + 1.0 / after.rows).sqrt();
            let back = self.sense * (before.count - after.count);
            if back > chance + WHOLE {
                return Err(Error::TurnsBack {
                    quantity: "the counts of the bench sweep",
                    from: before.angle / DEG,
                    to: after.angle / DEG,
                    over: "deg",
                    before: before.count,
                    after: after.count,
                    unit: "counts",
                    advice: "sweep a shorter travel, or leave doubtful rows out",
                });
            }
            if back < 0.0 {
                farthest = Some(after);
            }
        }
        Ok(())
    }

    /// Means of stretches of the angle, of rows in their order.
    fn stretches(&self, order: &[usize]) -> Vec<Stretch> {
        let angles = order
            .chunk_by(|a, b| self.angle[*a] == self.angle[*b])
            .count();
        let most = (order.len() / ROWS_PER_STRETCH).clamp(1, STRETCHES);
        // Few angles, each held for some readings, or looked at once: every one tells.
        let each = if angles <= STRETCHES {
            0.0
        } else {
            let [lower, upper] = self.angle_range();
            (upper - lower) / most as f64
        };
        let lower = self.angle_range()[0];
        let stretch = |row: &usize| {
            if each > 0.0 {
                ((self.angle[*row] - lower) / each).floor()
            } else {
                self.angle[*row]
            }
        };
        let same = order.chunk_by(|a, b| stretch(a) == stretch(b));
        same.map(|rows| {
            let mean =
                |of: &[f64]| rows.iter().map(|row| of[*row]).sum::<f64>() / rows.len() as f64;
            Stretch {
                angle: mean(&self.angle),
                count: mean(&self.count),
                rows: rows.len() as f64,
            }
        })
        .collect()
    }
}

struct Stretch {
    angle: f64,
    count: f64,
    rows: f64,
}
