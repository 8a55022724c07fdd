//! A sweep of both axes from the text of a CSV file: each axis is read as a bench sweep of its own two columns.

use serde::{Deserialize, Serialize};

use crate::axis::bench::{BenchAngleUnit, BenchFormat, BenchLog};
use crate::axis::stick::calibration::TwoAxisSweep;
use crate::error::{Error, Result};

/// Which columns of a CSV file hold a sweep of both axes; how cells and numbers are written is taken from the text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TwoAxisFormat {
    /// Bits of the converter that gave the counts, 6 to 24.
    pub bits: u32,
    /// Unit of the angles; none: as their headings say it.
    pub angle_unit: Option<BenchAngleUnit>,
    /// Headings of the columns of the outer and the inner angle.
    pub angle_headings: [String; 2],
    /// Headings of the columns of the readings of the outer and the inner axis.
    pub count_headings: [String; 2],
}

impl TwoAxisFormat {
    /// Columns `outer_deg`, `inner_deg`, `outer_counts` and `inner_counts` of a converter of so many bits.
    #[must_use]
    pub fn new(bits: u32) -> Self {
        Self {
            bits,
            angle_unit: None,
            angle_headings: ["outer_deg", "inner_deg"].map(str::to_owned),
            count_headings: ["outer_counts", "inner_counts"].map(str::to_owned),
        }
    }
}

impl TwoAxisSweep {
    /// Reads the text of a CSV file as [`BenchLog::read`] does. Here every row has to hold all four numbers: a map does
    /// not tell which of its rows were left out.
    ///
    /// # Errors
    /// Those of [`BenchLog::read`]; [`Error::Cell`] for the first row with a missing cell, with a text in a number, or
    /// with a reading that the converter cannot give; those of [`TwoAxisSweep::new`].
    pub fn read(text: &str, format: &TwoAxisFormat) -> Result<Self> {
        let axis = |i: usize| -> Result<Vec<[f64; 2]>> {
            let columns = BenchFormat {
                angle_unit: format.angle_unit,
                angle_heading: Some(format.angle_headings[i].clone()),
                count_heading: Some(format.count_headings[i].clone()),
                ..BenchFormat::new(format.bits)
            };
            let log = BenchLog::read(text, &columns)?;
            let unusable = log.doubts().iter().find(|doubt| !doubt.reason.is_usable());
            if let Some(doubt) = unusable {
                let column = format!("{}, {}", format.angle_headings[i], format.count_headings[i]);
                return Err(Error::Cell {
                    line: doubt.line,
                    column,
                    problem: format!("{}: {}", doubt.reason, doubt.detail),
                });
            }
            let numbers = log
                .rows()
                .iter()
                .filter_map(|row| Some([row.angle?, row.count?]));
            Ok(numbers.collect())
        };
        let (outer, inner) = (axis(0)?, axis(1)?);
        let pairs = outer.iter().zip(&inner);
        let (angles, counts) = pairs
            .map(|(outer, inner)| ([outer[0], inner[0]], [outer[1], inner[1]]))
            .unzip();
        Self::new(angles, counts)
    }
}
