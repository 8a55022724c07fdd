//! What is known only by measurement or from a data sheet: force at a number of lengths.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::numeric::pchip::Pchip;
use crate::spring::law::response::{LinearSpringState, SpringResponse};
use crate::stored::stored_by_its_constructor;

/// Points of a table: two make a line, more than this many is noise.
const POINTS: [usize; 2] = [2, 10_000];
/// Lengths, m.
const LENGTH: [f64; 2] = [0.0, 10.0];
/// Least step from one length to the next, m: below a micrometre they are the same length measured twice.
const LEAST_STEP: f64 = 1e-6;
/// Greatest tension or thrust, N.
const FORCE: f64 = 1e5;

/// What a [`ForceTable`] does at lengths below its first one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum BelowTable {
    /// They are refused, as those above the last one are: the usual case, and right for a gas strut, which is solid
    /// there.
    Refused,
    /// It hangs slack, as a cord does; the table must begin with a tension of zero.
    Slack,
}

/// An elastic cord, a gas strut or any other thing that acts along the line between its ends: tension at a number of
/// lengths.
///
/// Between the points runs the monotone cubic curve of Fritsch and Carlson: it goes through every point, never
/// overshoots, and its slope is continuous. The energy is the exact integral of that curve, zero at the point of the
/// least force (a cord where it begins to pull, a gas strut where it is longest). Outside the table nothing is guessed:
/// it is refused, or slack if [`BelowTable::Slack`] says so.
///
/// A thing that follows one curve out and another back (rubber does) needs two tables; the area between them is heat.
///
/// # Caution
/// A stretched cord or a compressed strut lets go all at once: wear eye protection, keep fingers and faces out of its
/// line, never open a strut.
///
/// # Example
/// ```
/// use yokewright::spring::{BelowTable, ForceTable, LinearSpringState};
/// use yokewright::units::MM;
///
/// let lengths = [200.0 * MM, 250.0 * MM, 300.0 * MM, 400.0 * MM];
/// let cord = ForceTable::new(&lengths, &[0.0, 14.0, 22.0, 34.0], BelowTable::Slack)?;
/// assert_eq!(cord.response(250.0 * MM)?.tension, 14.0);
/// assert_eq!(cord.response(150.0 * MM)?.state, LinearSpringState::Slack);
/// assert!(cord.response(401.0 * MM).is_err());
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ForceTable {
    lengths: Vec<f64>,
    tensions: Vec<f64>,
    below: BelowTable,
    curve: Pchip,
    /// Integral of the curve from its first point to where the energy is zero.
    area_at_rest: f64,
}

stored_by_its_constructor!(ForceTable {
    lengths: Vec<f64>,
    tensions: Vec<f64>,
    below: BelowTable
} => Self::new(&lengths, &tensions, below));

impl ForceTable {
    /// A table of tensions (N; negative where it pushes its ends apart) at ascending lengths (m, 0 to 10).
    ///
    /// # Errors
    /// [`Error::LengthMismatch`], [`Error::Count`] (2 to 10000 points); [`Error::NotAscending`] if the lengths do not
    /// ascend, [`Error::OutOfRange`] if two of them are less than a micrometre apart, a tension exceeds 100 kN, or a
    /// table that is slack below does not begin with zero; [`Error::NotFinite`].
    pub fn new(lengths: &[f64], tensions: &[f64], below: BelowTable) -> Result<Self> {
        if lengths.len() != tensions.len() {
            return Err(Error::LengthMismatch {
                first: "lengths of the force table",
                first_len: lengths.len(),
                second: "tensions of the force table",
                second_len: tensions.len(),
            });
        }
        let [min, max] = POINTS;
        let count = Error::Count {
            quantity: "points of the force table",
            count: lengths.len(),
            min,
            max,
        };
        if !(min..=max).contains(&lengths.len()) {
            return Err(count);
        }
        let [shortest, longest] = LENGTH;
        for length in lengths {
            within("length in the force table", *length, shortest, longest, "m")?;
        }
        for tension in tensions {
            within("tension in the force table", *tension, -FORCE, FORCE, "N")?;
        }
        for (&lower, &upper) in lengths.iter().zip(lengths.iter().skip(1)) {
            if upper <= lower {
                return Err(Error::NotAscending {
                    quantity: "two successive lengths of the force table",
                    lower,
                    upper,
                    unit: "m",
                });
            }
            let step = upper - lower;
            within(
                "step between two lengths of the force table",
                step,
                LEAST_STEP,
                longest,
                "m",
            )?;
        }
        if let (BelowTable::Slack, Some(first)) = (below, tensions.first()) {
            let quantity = "first tension of a force table that is slack below";
            within(quantity, *first, 0.0, 0.0, "N")?;
        }
        let points: Vec<[f64; 2]> = lengths
            .iter()
            .zip(tensions)
            .map(|(l, t)| [*l, *t])
            .collect();
        let curve = Pchip::new(&points).ok_or(count)?;
        let least = points
            .iter()
            .min_by(|a, b| a[1].abs().total_cmp(&b[1].abs()));
        let area_at_rest = least.map_or(0.0, |[length, _]| curve.at(*length).area);
        Ok(Self {
            lengths: lengths.to_vec(),
            tensions: tensions.to_vec(),
            below,
            curve,
            area_at_rest,
        })
    }

    /// The lengths given, m.
    #[must_use]
    pub fn lengths(&self) -> &[f64] {
        &self.lengths
    }

    /// The tensions given, N.
    #[must_use]
    pub fn tensions(&self) -> &[f64] {
        &self.tensions
    }

    /// What it does below its first length.
    #[must_use]
    pub fn below(&self) -> BelowTable {
        self.below
    }

    /// Shortest and longest length that have a value, m.
    #[must_use]
    pub fn length_range(&self) -> [f64; 2] {
        let [first, last] = self.ends();
        match self.below {
            BelowTable::Refused => [first, last],
            BelowTable::Slack => [LENGTH[0], last],
        }
    }

    /// Tension, stiffness and energy at a length (m).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`length_range`](Self::length_range), [`Error::NotFinite`].
    pub fn response(&self, length: f64) -> Result<SpringResponse> {
        let [shortest, longest] = self.length_range();
        within(
            "length against the force table",
            length,
            shortest,
            longest,
            "m",
        )?;
        if self.below == BelowTable::Slack && length <= self.ends()[0] {
            return Ok(SpringResponse::SLACK);
        }
        let at = self.curve.at(length);
        Ok(SpringResponse {
            tension: at.value,
            stiffness: at.slope,
            energy: at.area - self.area_at_rest,
            state: LinearSpringState::Working,
        })
    }

    fn ends(&self) -> [f64; 2] {
        let end = |length: Option<&f64>| length.copied().unwrap_or_default();
        [end(self.lengths.first()), end(self.lengths.last())]
    }
}
