//! The rows of a bench sweep as they were read, with what is doubtful in them.

use serde::{Deserialize, Serialize};

use crate::axis::bench::doubt::{DoubtReason, RowDoubt};
use crate::axis::bench::suspect::suspects;
use crate::axis::bench::sweep::{BenchSweep, CONVERTER_BITS, MAX_ANGLE, MOST_ROWS, highest};
use crate::error::{Error, Result, about, counted, finite};
use crate::stored::checked_when_read;
use crate::units::DEG;

/// A row of a bench sweep.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BenchRow {
    /// Line of the text, from 1; of arrays the row, from 1.
    pub line: u64,
    /// Angle of the control, rad; none where there is no number.
    pub angle: Option<f64>,
    /// Count of the converter, or the mean of several; none where there is no number.
    pub count: Option<f64>,
}

checked_when_read! {
    /// A bench sweep as it was read: every row, and every doubt with line and reason.
    ///
    /// Nothing is left out and nothing mended before [`BenchLog::sweep`] is asked to.
    ///
    /// # What is doubted
    /// Of single rows: a missing cell, text where a number should be, a count beyond the converter or an angle beyond a
    /// turn. Of their row: a count that stands still where the mean gain of the sweep would have given 8 counts (and
    /// 1 % of the range) more, at the least or greatest count (clipped) or within (stuck); a row that says the row
    /// before once more, unless a quarter of all rows are repeated readings at one angle; an outlier, farther than six
    /// standard deviations from what the rows around tell, in its own direction, and alone with it. The standard
    /// deviation follows from the median of all such departures.
    ///
    /// # Example
    /// ```
    /// use yokewright::axis::{BenchFormat, BenchLog, DoubtReason};
    ///
    /// let text = "angle_deg;count\n-10,0;512\n-5,0;1271\n0,0;2048\n0,1;oops\n5,0;2831\n10,0;3580\n";
    /// let log = BenchLog::read(text, &BenchFormat::new(12))?;
    /// assert_eq!(log.doubts()[0].to_string(), "line 5: not a number: count 'oops'");
    /// let sweep = log.sweep(&[DoubtReason::NotANumber])?;
    /// assert_eq!(sweep.count(), [512.0, 1271.0, 2048.0, 2831.0, 3580.0]);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct BenchLog {
        bits: u32,
        rows: Vec<BenchRow>,
        doubts: Vec<RowDoubt>,
    }
}

impl BenchLog {
    /// Of two lists, angles (rad) and counts, in the order in which they were taken; NaN stands for a missing value.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`]; [`Error::Count`] for no or more than 5,000,000 rows or a converter without 6 to 24
    /// bits; [`Error::Exchanged`] if the angles look like counts and the counts like angles.
    pub fn of(angles: &[f64], counts: &[f64], bits: u32) -> Result<Self> {
        if angles.len() != counts.len() {
            return Err(Error::LengthMismatch {
                first: "angles of the bench sweep",
                first_len: angles.len(),
                second: "counts",
                second_len: counts.len(),
            });
        }
        let given = |value: f64| (!value.is_nan()).then_some(value);
        let rows = angles.iter().zip(counts).zip(1..);
        let rows = rows.map(|((&angle, &count), line)| BenchRow {
            line,
            angle: given(angle),
            count: given(count),
        });
        let rows: Vec<BenchRow> = rows.collect();
        let missing = rows
            .iter()
            .filter(|row| row.angle.is_none() || row.count.is_none());
        let missing = missing.map(|row| missing_in(row.line, row.angle.is_none()));
        let missing = missing.collect();
        Self::judged(bits, rows, missing)
    }

    /// With the doubts of single rows that are known, and all others.
    pub(super) fn judged(
        bits: u32,
        mut rows: Vec<BenchRow>,
        mut doubts: Vec<RowDoubt>,
    ) -> Result<Self> {
        counted("converter bits", bits as usize, CONVERTER_BITS)?;
        counted("rows of the bench sweep", rows.len(), [1, MOST_ROWS])?;
        refuse_exchanged(&rows, bits)?;
        for row in &mut rows {
            if let Some(detail) = impossible(row, bits) {
                doubts.push(RowDoubt {
                    line: row.line,
                    reason: DoubtReason::Impossible,
                    detail,
                });
                row.angle = row.angle.filter(|angle| angle.is_finite());
                row.count = row.count.filter(|count| count.is_finite());
            }
        }
        let (mut at, mut angles, mut counts) = (Vec::new(), Vec::new(), Vec::new());
        for row in &rows {
            if let (Some(angle), Some(count), None) = (row.angle, row.count, impossible(row, bits))
            {
                at.push(row.line);
                angles.push(angle);
                counts.push(count);
            }
        }
        let found = suspects(&angles, &counts)?;
        doubts.extend(found.into_iter().map(|suspect| RowDoubt {
            line: at[suspect.row],
            reason: suspect.reason,
            detail: suspect.detail,
        }));
        doubts.sort_by_key(|doubt| (doubt.line, doubt.reason));
        Ok(Self { bits, rows, doubts })
    }

    fn check(&self) -> Result<()> {
        counted("converter bits", self.bits as usize, CONVERTER_BITS)?;
        counted("rows of the bench sweep", self.rows.len(), [1, MOST_ROWS])?;
        let mut before = 0;
        for row in &self.rows {
            if row.line <= before {
                return Err(Error::NotAscending {
                    quantity: "lines of two rows",
                    lower: before as f64,
                    upper: row.line as f64,
                    unit: "(line)",
                });
            }
            before = row.line;
            finite("angle of a row", row.angle.unwrap_or(0.0), "rad")?;
            finite("count of a row", row.count.unwrap_or(0.0), "counts")?;
        }
        Ok(())
    }

    /// Bits of the converter that the counts are of.
    #[must_use]
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// Every row, in the order of the text.
    #[must_use]
    pub fn rows(&self) -> &[BenchRow] {
        &self.rows
    }

    /// Every doubt, by line.
    #[must_use]
    pub fn doubts(&self) -> &[RowDoubt] {
        &self.doubts
    }

    /// The rows as a sweep, without those that are doubted for one of the reasons given.
    ///
    /// # Errors
    /// [`Error::UnusableRows`] if a row without two possible numbers is not left out; as [`BenchSweep::new`].
    pub fn sweep(&self, leave_out: &[DoubtReason]) -> Result<BenchSweep> {
        let mut out: Vec<u64> = Vec::new();
        let mut unusable: Vec<&RowDoubt> = Vec::new();
        for doubt in &self.doubts {
            if leave_out.contains(&doubt.reason) {
                out.push(doubt.line);
            } else if !doubt.reason.is_usable() {
                unusable.push(doubt);
            }
        }
        unusable.retain(|doubt| out.binary_search(&doubt.line).is_err());
        if let Some(first) = unusable.first() {
            return Err(Error::UnusableRows {
                count: unusable.len(),
                line: first.line,
                problem: format!("{}: {}", first.reason, first.detail),
            });
        }
        let kept = |row: &&BenchRow| out.binary_search(&row.line).is_err();
        let kept = self.rows.iter().filter(kept);
        let (angles, counts) = kept.filter_map(|row| row.angle.zip(row.count)).unzip();
        BenchSweep::new(self.bits, angles, counts)
    }
}

/// The doubt of a row in which the angle or the count is not there.
pub(super) fn missing_in(line: u64, angle: bool) -> RowDoubt {
    RowDoubt {
        line,
        reason: DoubtReason::Missing,
        detail: if angle { "no angle" } else { "no count" }.to_owned(),
    }
}

/// What makes a row impossible, if anything does.
fn impossible(row: &BenchRow, bits: u32) -> Option<String> {
    let top = highest(bits);
    if let Some(count) = row.count
        && !(0.0..=top).contains(&count)
    {
        return Some(format!(
            "count {} is beyond 0 to {top} of a converter of {bits} bits",
            about(count)
        ));
    }
    match row.angle {
        Some(angle) if angle.abs() > MAX_ANGLE => Some(format!(
            "angle {} deg is beyond a full turn",
            about(angle / DEG)
        )),
        _ => None,
    }
}

/// Refuses rows of which more than half would be possible only the other way round.
fn refuse_exchanged(rows: &[BenchRow], bits: u32) -> Result<()> {
    let full = rows
        .iter()
        .filter_map(|row| row.angle.zip(row.count).map(|_| *row));
    let (mut all, mut exchanged) = (0_usize, 0_usize);
    for row in full {
        all += 1;
        let (angle, count) = (row.angle.unwrap_or(0.0), row.count.unwrap_or(0.0));
        // Whatever unit the angle was thought to be in, degrees or radians.
        let as_count = angle / DEG;
        let whole = |value: f64| (value - value.round()).abs() < 1e-6;
        let a_count = |value: f64| whole(value) && (0.0..=highest(bits)).contains(&value);
        let looks = (a_count(angle) || a_count(as_count)) && angle.abs() > MAX_ANGLE;
        let no_count = !whole(count) || count < 0.0;
        if looks && (no_count || count.abs() <= 360.0) {
            exchanged += 1;
        }
    }
    if 2 * exchanged > all {
        return Err(Error::Exchanged {
            first: "angles",
            second: "counts",
        });
    }
    Ok(())
}
