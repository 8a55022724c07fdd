//! A bench sweep from the text of a CSV file, as spreadsheets and loggers write them.

use serde::{Deserialize, Serialize};

use crate::axis::bench::doubt::{DoubtReason, RowDoubt};
use crate::axis::bench::log::{BenchLog, BenchRow, missing_in};
use crate::axis::bench::sweep::MOST_ROWS;
use crate::error::{Error, Result, choices, counted, echo};
use crate::observer;
use crate::units::DEG;

/// Rows that are looked at for a decimal comma.
const LOOKED_AT: usize = 1000;
/// Rows between two looks at the observer.
const LOOK: usize = 1 << 14;
/// Words of a heading by which a column is known, in lower case.
const ANGLE_WORDS: [&str; 9] = [
    "angle", "angles", "deg", "degree", "degrees", "rad", "radian", "radians", "position",
];
const COUNT_WORDS: [&str; 8] = [
    "count", "counts", "code", "codes", "adc", "raw", "reading", "readings",
];

/// Unit of the angles of a bench sweep.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BenchAngleUnit {
    /// Degrees.
    Degrees,
    /// Radians.
    Radians,
}

choices!(BenchAngleUnit, "unit of the angles", {
    Degrees => "deg",
    Radians => "rad",
});

impl BenchAngleUnit {
    fn factor(self) -> f64 {
        match self {
            Self::Degrees => DEG,
            Self::Radians => 1.0,
        }
    }
}

/// How the text of a bench sweep is written; what is not said is taken from the text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BenchFormat {
    /// Bits of the converter that gave the counts, 6 to 24.
    pub bits: u32,
    /// Unit of the angles; none: as the heading says it, by a word `deg`, `degrees`, `rad`, `radians` or by °.
    pub angle_unit: Option<BenchAngleUnit>,
    /// Heading of the column of angles; none: the one with a word such as `angle`, `position` or a unit of angles, or
    /// the first of two.
    pub angle_heading: Option<String>,
    /// Heading of the column of counts; none: the one with a word such as `count`, `code`, `adc`, `raw` or `reading`,
    /// or the second of two.
    pub count_heading: Option<String>,
}

impl BenchFormat {
    /// Of a converter of so many bits, all else taken from the text.
    #[must_use]
    pub fn new(bits: u32) -> Self {
        Self {
            bits,
            angle_unit: None,
            angle_heading: None,
            count_heading: None,
        }
    }
}

impl BenchLog {
    /// Reads the text of a CSV file: cells separated by commas, semicolons or tabs; a first line of headings, or none;
    /// decimal points, or decimal commas where commas do not separate the cells.
    ///
    /// Lines end as they like, a byte order mark and lines with nothing in any cell are passed over, cells may be
    /// quoted. A row with a missing cell or with text in a number is kept as a doubt.
    ///
    /// # Errors
    /// [`Error::Absent`] if nothing says the unit of the angles; [`Error::UnknownName`] for a heading that is not in
    /// the first line, or if none of more than two tells a column; [`Error::Cell`] for a text that cannot be cut into
    /// cells; [`Error::Count`] for no or more than 5,000,000 rows or a converter without 6 to 24 bits;
    /// [`Error::Exchanged`] if the angles look like counts and the counts like angles.
    pub fn read(text: &str, format: &BenchFormat) -> Result<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let delimiter = delimiter(text);
        let (columns, first) = Columns::of(text, delimiter, format)?;
        let decimal_comma = delimiter != b',' && has_decimal_comma(text, delimiter, columns);
        let mut lines = Lines::of(text);
        let (mut rows, mut doubts) = (Vec::new(), Vec::new());
        let mut reader = reader(text, delimiter);
        let mut record = csv::StringRecord::new();
        let mut number = 0_usize;
        let unreadable = |error: csv::Error| Error::Cell {
            line: error.position().map_or(0, csv::Position::line),
            column: "(the whole line)".to_owned(),
            problem: error.to_string(),
        };
        while reader.read_record(&mut record).map_err(unreadable)? {
            number += 1;
            if number.is_multiple_of(LOOK) {
                observer::check()?;
            }
            if number <= first || record.iter().all(str::is_empty) {
                continue;
            }
            let byte = record.position().map_or(0, csv::Position::byte);
            let line = lines.line_at(usize::try_from(byte).unwrap_or(usize::MAX));
            let angle = cell(&record, columns.angle, decimal_comma);
            let count = cell(&record, columns.count, decimal_comma);
            for (cell, is_angle) in [(&angle, true), (&count, false)] {
                match cell {
                    Cell::Number(_) => {}
                    Cell::Missing => doubts.push(missing_in(line, is_angle)),
                    Cell::Text(given) => {
                        let of = if is_angle { "angle" } else { "count" };
                        doubts.push(RowDoubt {
                            line,
                            reason: DoubtReason::NotANumber,
                            detail: format!("{of} '{}'", echo(given)),
                        });
                    }
                }
            }
            rows.push(BenchRow {
                line,
                angle: angle.number().map(|angle| angle * columns.unit.factor()),
                count: count.number(),
            });
            if rows.len() > MOST_ROWS {
                break;
            }
        }
        counted("rows of the bench sweep", rows.len(), [1, MOST_ROWS])?;
        Self::judged(format.bits, rows, doubts)
    }
}

fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// What separates the cells: a semicolon or a tab where the first line with anything in it has one, else a comma.
fn delimiter(text: &str) -> u8 {
    let first = text.lines().find(|line| !line.trim().is_empty());
    let first = first.unwrap_or_default();
    let found = [b';', b'\t'].into_iter();
    let mut found = found.filter(|delimiter| first.as_bytes().contains(delimiter));
    found.next().unwrap_or(b',')
}

/// Where the numbers stand, and what the angles are in.
#[derive(Debug, Clone, Copy)]
struct Columns {
    angle: usize,
    count: usize,
    unit: BenchAngleUnit,
}

impl Columns {
    /// With the number of records before the first row.
    fn of(text: &str, delimiter: u8, format: &BenchFormat) -> Result<(Self, usize)> {
        let mut reader = reader(text, delimiter);
        let records = reader.records().enumerate();
        let mut records = records.filter_map(|(i, record)| record.ok().map(|record| (i, record)));
        let first = records.find(|(_, record)| record.iter().any(|cell| !cell.is_empty()));
        let Some((place, record)) = first else {
            counted("rows of the bench sweep", 0, [1, MOST_ROWS])?;
            return Err(Error::Stopped);
        };
        let numbers = record.iter().filter(|cell| number_in(cell, true).is_some());
        let headings = (numbers.count() == 0).then_some(&record);
        let wanted = [&format.angle_heading, &format.count_heading];
        let unit = format.angle_unit;
        let Some(headings) = headings else {
            if let Some(Some(given)) = wanted.into_iter().find(|heading| heading.is_some()) {
                return Err(unknown(given, &record));
            }
            return Ok((Self::in_order(unit)?, place));
        };
        let words = [&ANGLE_WORDS[..], &COUNT_WORDS[..]];
        let [angle, count] = [0, 1].map(|i| match wanted[i] {
            Some(heading) => {
                let found = headings.iter().position(|cell| cell == heading.trim());
                found.map(Some).ok_or_else(|| unknown(heading, headings))
            }
            None => Ok(by_word(headings, words[i])),
        });
        let (angle, count) = match (angle?, count?) {
            (Some(angle), Some(count)) if angle != count => (angle, count),
            (Some(angle), None) if headings.len() == 2 => (angle, 1 - angle),
            (None, Some(count)) if headings.len() == 2 => (1 - count, count),
            (None, None) if headings.len() == 2 => (0, 1),
            (None, _) => return Err(unknown("angle", headings)),
            _ => return Err(unknown("count", headings)),
        };
        let told = headings.get(angle).and_then(unit_in);
        let unit = unit.or(told).ok_or(NO_UNIT)?;
        Ok((Self { angle, count, unit }, place + 1))
    }

    fn in_order(unit: Option<BenchAngleUnit>) -> Result<Self> {
        Ok(Self {
            angle: 0,
            count: 1,
            unit: unit.ok_or(NO_UNIT)?,
        })
    }
}

const NO_UNIT: Error = Error::Absent {
    quantity: "unit of its angles",
    of: "the bench sweep",
    advice: "write angle_deg or angle_rad above them, or say the unit when reading",
};

fn unknown(given: &str, headings: &csv::StringRecord) -> Error {
    Error::UnknownName {
        quantity: "column of the bench sweep",
        given: given.to_owned(),
        near: headings.iter().map(echo).collect::<Vec<_>>().join(", "),
    }
}

fn words(heading: &str) -> impl Iterator<Item = String> {
    let lower = heading.to_lowercase();
    let words: Vec<String> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '°')
        .map(str::to_owned)
        .collect();
    words.into_iter()
}

fn by_word(headings: &csv::StringRecord, known: &[&str]) -> Option<usize> {
    headings
        .iter()
        .position(|heading| words(heading).any(|word| known.contains(&word.as_str())))
}

fn unit_in(heading: &str) -> Option<BenchAngleUnit> {
    words(heading).find_map(|word| match word.as_str() {
        "deg" | "degree" | "degrees" | "°" => Some(BenchAngleUnit::Degrees),
        "rad" | "radian" | "radians" => Some(BenchAngleUnit::Radians),
        _ => None,
    })
}

fn has_decimal_comma(text: &str, delimiter: u8, columns: Columns) -> bool {
    let mut reader = reader(text, delimiter);
    let mut records = reader.records().take(LOOKED_AT).filter_map(|r| r.ok());
    records.any(|record| {
        let cells = [columns.angle, columns.count].map(|column| record.get(column));
        let mut cells = cells.into_iter().flatten();
        cells.any(|cell| cell.contains(',') && number_in(cell, true).is_some())
    })
}

enum Cell<'a> {
    Number(f64),
    Missing,
    Text(&'a str),
}

impl Cell<'_> {
    fn number(&self) -> Option<f64> {
        match self {
            Self::Number(value) => Some(*value),
            Self::Missing | Self::Text(_) => None,
        }
    }
}

fn cell(record: &csv::StringRecord, column: usize, decimal_comma: bool) -> Cell<'_> {
    match record.get(column) {
        None | Some("") => Cell::Missing,
        Some(text) => match number_in(text, decimal_comma) {
            Some(value) => Cell::Number(value),
            None => Cell::Text(text),
        },
    }
}

/// The finite number that a cell holds. A point beside decimal commas marks thousands to some and decimals to others:
/// no number that can be told.
fn number_in(text: &str, decimal_comma: bool) -> Option<f64> {
    let parsed = match (decimal_comma, text.contains(',')) {
        (true, true) if text.contains('.') => return None,
        (true, true) => text.replace(',', ".").parse::<f64>(),
        _ => text.parse::<f64>(),
    };
    parsed.ok().filter(|value| value.is_finite())
}

/// Lines of a text by the bytes at which rows begin, which must ascend: the reader's own count does not see empty ones.
struct Lines<'a> {
    text: &'a [u8],
    byte: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    fn of(text: &'a str) -> Self {
        Self {
            text: text.as_bytes(),
            byte: 0,
            line: 1,
        }
    }

    /// Line, from 1, of the row that begins at a byte or behind empty lines there.
    fn line_at(&mut self, byte: usize) -> u64 {
        let ended = |at: usize| match self.text.get(at) {
            Some(b'\n') => true,
            // The end of a line alone, not before the line feed that ends it.
            Some(b'\r') => self.text.get(at + 1) != Some(&b'\n'),
            _ => false,
        };
        let mut at = self.byte;
        while at < byte.min(self.text.len()) || matches!(self.text.get(at), Some(b'\r' | b'\n')) {
            self.line += u64::from(ended(at));
            at += 1;
        }
        self.byte = at;
        self.line
    }
}
