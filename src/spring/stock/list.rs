//! A supplier's list of springs, read from CSV.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, counted, echo, within, within_computed};
use crate::spring::helical::coil::Coil;
use crate::spring::helical::extension;
use crate::spring::helical::fatigue::{Cycle, Endurance};
use crate::spring::helical::helix::{CoilDiameter, CurvatureFactor, stress_per_force};
use crate::spring::law::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};
use crate::spring::sizing::life::LifeDemand;
use crate::spring::wire::types::Wire;
use crate::stored::stored_by_its_constructor;
use crate::units::MM;

const INCH: f64 = 25.4 * MM;
const LBF: f64 = 4.448_221_615_260_5;
const KGF: f64 = 9.806_65;
/// More rows than any drawer or catalog has that fits a control.
const MOST_ROWS: usize = 10_000;
const DIAMETERS: [f64; 2] = [1e-4, 1.0];

/// Whether the springs of a list pull or push.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StockKind {
    /// Extension springs; lengths inside the hooks.
    Extension,
    /// Compression springs; lengths over all.
    Compression,
}

choices!(StockKind, "kind of the springs", {
    Extension => "extension",
    Compression => "compression",
});

/// What a column of a stock list can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum StockQuantity {
    /// What the supplier calls it. Needed.
    Name,
    /// Rate. Needed.
    Rate,
    /// Length without load. Needed.
    FreeLength,
    /// Outer diameter. Needed.
    OuterDiameter,
    /// Length at which it is at its limit: the longest of an extension spring, the shortest of a compression spring.
    /// This or the next is needed.
    LimitLength,
    /// Force at which it is at its limit.
    LimitForce,
    /// Initial tension of an extension spring; without the column there is none.
    InitialTension,
    /// Wire diameter; with it and the wire's material the life can be judged.
    WireDiameter,
}

impl StockQuantity {
    /// Units that a column may be in, and what they are in SI.
    fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Name => &[("", 1.0)],
            Self::Rate => &[
                ("N/mm", 1.0 / MM),
                ("N/m", 1.0),
                ("kgf/mm", KGF / MM),
                ("lbf/in", LBF / INCH),
            ],
            Self::FreeLength | Self::OuterDiameter | Self::LimitLength | Self::WireDiameter => {
                &[("mm", MM), ("m", 1.0), ("in", INCH)]
            }
            Self::LimitForce | Self::InitialTension => &[("N", 1.0), ("kgf", KGF), ("lbf", LBF)],
        }
    }
}

choices!(StockQuantity, "quantity of a column", {
    Name => "name",
    Rate => "rate",
    FreeLength => "free_length",
    OuterDiameter => "outer_diameter",
    LimitLength => "limit_length",
    LimitForce => "limit_force",
    InitialTension => "initial_tension",
    WireDiameter => "wire_diameter",
});

/// Which column of a supplier's list holds a quantity, and in which unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockColumn {
    /// What it holds.
    pub quantity: StockQuantity,
    /// The column's heading, as it stands in the first line.
    pub heading: String,
    /// Unit of the numbers: mm, m or in; N, kgf or lbf; N/mm, N/m, kgf/mm or lbf/in; empty for the name.
    pub unit: String,
}

/// How a supplier's list is written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockFormat {
    /// Whether the springs pull or push.
    pub kind: StockKind,
    /// Where the quantities stand.
    pub columns: Vec<StockColumn>,
    /// What separates the columns: a comma, a semicolon, a tab.
    pub delimiter: char,
    /// Whether numbers have a decimal comma.
    pub decimal_comma: bool,
    /// What all of them are made of, if it is known.
    pub wire: Option<Wire>,
}

impl StockFormat {
    /// Separated by commas, with decimal points, of an unknown wire.
    #[must_use]
    pub fn new(kind: StockKind, columns: Vec<StockColumn>) -> Self {
        Self {
            kind,
            columns,
            delimiter: ',',
            decimal_comma: false,
            wire: None,
        }
    }
}

/// One spring of a list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredSpring", into = "StoredSpring")]
pub struct StockSpring {
    name: String,
    kind: StockKind,
    outer_diameter: f64,
    /// Deflection at its limit, m.
    max_deflection: f64,
    law: LinearSpring,
    wear: Option<Wear>,
}

/// A spring as it is stored: by what a row of a list gives.
#[derive(Serialize, Deserialize)]
#[serde(rename = "StockSpring", deny_unknown_fields)]
struct StoredSpring {
    name: String,
    kind: StockKind,
    rate: f64,
    free_length: f64,
    initial_tension: f64,
    outer_diameter: f64,
    max_deflection: f64,
    wire: Option<StoredWire>,
}

/// What a spring is wound of.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredWire {
    wire: Wire,
    diameter: f64,
}

impl From<StockSpring> for StoredSpring {
    fn from(spring: StockSpring) -> Self {
        Self {
            rate: spring.rate(),
            free_length: spring.free_length(),
            initial_tension: spring.initial_tension(),
            name: spring.name,
            kind: spring.kind,
            outer_diameter: spring.outer_diameter,
            max_deflection: spring.max_deflection,
            wire: spring.wear.map(|wear| StoredWire {
                wire: wear.wire,
                diameter: wear.wire_diameter,
            }),
        }
    }
}

impl TryFrom<StoredSpring> for StockSpring {
    type Error = Error;

    fn try_from(stored: StoredSpring) -> Result<Self> {
        let StoredSpring {
            name,
            kind,
            outer_diameter,
            max_deflection,
            ..
        } = stored;
        let letters = name.trim().len();
        counted("letters of the spring's name", letters, [1, usize::MAX])?;
        check_outer_diameter(outer_diameter)?;
        check_rate(stored.rate)?;
        check_deflection(max_deflection)?;
        let law = law(
            kind,
            stored.rate,
            stored.free_length,
            stored.initial_tension,
            max_deflection,
        )?;
        let wear = stored
            .wire
            .map(|StoredWire { wire, diameter }| wear(&wire, diameter, outer_diameter, kind))
            .transpose()?;
        Ok(Self {
            name,
            kind,
            outer_diameter,
            max_deflection,
            law,
            wear,
        })
    }
}

/// What decides over the life of a spring: stresses for 1 N, and the wire.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::spring) struct Wear {
    pub(in crate::spring) wire: Wire,
    pub(in crate::spring) wire_diameter: f64,
    pub(in crate::spring) tensile: f64,
    /// Shear in the coils.
    pub(in crate::spring) shear: f64,
    /// Bending in the hooks, if there are any.
    pub(in crate::spring) bending: Option<f64>,
}

impl Wear {
    fn life_safety(&self, forces: [f64; 2], life: &LifeDemand) -> Result<f64> {
        life.check()?;
        for force in forces {
            within("force of the spring", force, 0.0, 1e6, "N")?;
        }
        let shear =
            Endurance::zimmerli(&self.wire, self.wire_diameter, life.surface, life.criterion)?;
        let safety = |per_newton: f64, endurance: Endurance| {
            let cycle = Cycle::between(per_newton * forces[0], per_newton * forces[1])?;
            endurance.safety(&cycle, life.cycles)
        };
        let of_coils = safety(self.shear, shear)?;
        Ok(match self.bending {
            Some(bending) => of_coils.min(safety(bending, shear.in_bending(self.tensile)?)?),
            None => of_coils,
        })
    }
}

impl From<&StockSpring> for LineSpring {
    fn from(spring: &StockSpring) -> Self {
        spring.law.into()
    }
}

impl StockSpring {
    /// What the supplier calls it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Whether it pulls or pushes.
    #[must_use]
    pub fn kind(&self) -> StockKind {
        self.kind
    }

    /// Rate, N/m.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.law.spec().rate
    }

    /// Length without load, m.
    #[must_use]
    pub fn free_length(&self) -> f64 {
        self.law.spec().free_length
    }

    /// Initial tension, N.
    #[must_use]
    pub fn initial_tension(&self) -> f64 {
        self.law.spec().initial_tension
    }

    /// Outer diameter, m.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.outer_diameter
    }

    /// How far it may be stretched or pressed, m.
    #[must_use]
    pub fn max_deflection(&self) -> f64 {
        self.max_deflection
    }

    /// What it does between two points.
    #[must_use]
    pub fn line_spring(&self) -> LinearSpring {
        self.law
    }

    /// Safety against breaking within the cycles of a life between two forces (N, 0 to 1e6, in any order), of the
    /// coils or the bend of a hook, whichever has less; `None` if nobody knows what it is wound of.
    ///
    /// Whether it holds the safety that the life asks for is left to the caller.
    ///
    /// # Errors
    /// As [`Endurance::zimmerli`] and [`Endurance::safety`]; [`Error::NotFinite`], [`Error::OutOfRange`] for a force or
    /// a number of cycles outside its range.
    pub fn life_safety(&self, forces: [f64; 2], life: &LifeDemand) -> Option<Result<f64>> {
        let wear = self.wear.as_ref()?;
        Some(wear.life_safety(forces, life))
    }

    /// Length at a deflection (m), m.
    pub(in crate::spring) fn length_at(&self, deflection: f64) -> f64 {
        match self.kind {
            StockKind::Extension => self.free_length() + deflection,
            StockKind::Compression => self.free_length() - deflection,
        }
    }

    pub(in crate::spring) fn wear(&self) -> Option<&Wear> {
        self.wear.as_ref()
    }
}

/// A supplier's list of springs, or what lies in the drawer.
///
/// # Caution
/// A list says what a spring was, not what a used one still is: look for set, rust and nicked hooks, and wear eye
/// protection when you try one.
///
/// # Example
/// ```
/// use yokewright::spring::{StockColumn, StockFormat, StockKind, StockList, StockQuantity as Q};
///
/// let column = |quantity, heading: &str, unit: &str| {
///     StockColumn { quantity, heading: heading.into(), unit: unit.into() }
/// };
/// let format = StockFormat {
///     kind: StockKind::Extension,
///     columns: vec![
///         column(Q::Name, "no", ""),
///         column(Q::Rate, "rate N/mm", "N/mm"),
///         column(Q::FreeLength, "L0", "mm"),
///         column(Q::OuterDiameter, "OD", "mm"),
///         column(Q::LimitLength, "Lmax", "mm"),
///         column(Q::InitialTension, "F0", "N"),
///     ],
///     delimiter: ',',
///     decimal_comma: false,
///     wire: None,
/// };
/// let list = StockList::read("no,OD,L0,Lmax,rate N/mm,F0\nA7,8.0,40,92,0.45,3.2\n", &format)?;
/// assert_eq!(list.springs()[0].name(), "A7");
/// assert!((list.springs()[0].rate() - 450.0).abs() < 1e-9);
/// let error = StockList::read("no,OD,L0,Lmax,rate N/mm,F0\nA7,8.0,4O,92,0.45,3.2\n", &format).unwrap_err();
/// assert!(error.to_string().starts_with("line 2, column 'L0': free_length: '4O' is not a number"));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StockList {
    springs: Vec<StockSpring>,
}

stored_by_its_constructor!(StockList {
    springs: Vec<StockSpring>
} => Self::of("springs of the stock list", springs));

impl StockList {
    /// Reads a list from the text of a CSV file whose first line holds the headings.
    ///
    /// Lines end as they like, a byte order mark and lines with nothing in any cell are passed over, cells may be
    /// quoted. A row may stand twice, for two springs in the drawer.
    ///
    /// # Errors
    /// [`Error::Cell`] with line and column for a cell that is missing, not a number, or not of a spring; for a row
    /// with more cells than there are headings; for a heading that stands twice or is named for two quantities; for a
    /// name that another row with other figures has; for a first line that another delimiter fits.
    /// [`Error::UnknownName`] for a heading that is not in the first line; [`Error::NotAChoice`] for a unit or a
    /// delimiter; [`Error::Count`] if a needed quantity is given by no column or by two, or if there are no or more
    /// than 10,000 springs.
    pub fn read(text: &str, format: &StockFormat) -> Result<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = reader(text, delimiter(format.delimiter)?);
        let headings = reader.headers().map_err(|error| unreadable(&error))?;
        let columns = Columns::new(headings, &format.columns).map_err(|error| {
            let unknown = matches!(error, Error::UnknownName { .. });
            let other = unknown.then(|| other_delimiter(text, format)).flatten();
            other.unwrap_or(error)
        })?;
        let cells = headings.len();
        let mut springs: Vec<StockSpring> = Vec::new();
        // The first spring of each name, and where it stands.
        let mut names: HashMap<String, (usize, usize)> = HashMap::new();
        for record in reader.records() {
            let record = record.map_err(|error| unreadable(&error))?;
            if record.iter().all(str::is_empty) {
                continue;
            }
            let row = Row {
                text,
                byte: record.position().map_or(0, byte_of),
                columns: &columns,
                record: &record,
                decimal_comma: format.decimal_comma,
            };
            row.fits(cells, format.delimiter)?;
            let spring = row.spring(format)?;
            let (first, byte) = *names
                .entry(spring.name.clone())
                .or_insert((springs.len(), row.byte));
            if springs.get(first).is_some_and(|first| *first != spring) {
                return Err(row.named_twice(&spring.name, byte));
            }
            springs.push(spring);
            if springs.len() > MOST_ROWS {
                break;
            }
        }
        counted("springs of the stock list", springs.len(), [1, MOST_ROWS])?;
        Ok(Self { springs })
    }

    /// The springs, in the order of the list.
    #[must_use]
    pub fn springs(&self) -> &[StockSpring] {
        &self.springs
    }

    /// This list with another one behind it, as of a second supplier or of the other kind of spring. A spring that
    /// stands in both stands twice, for two springs in the drawer, as in one list.
    ///
    /// # Errors
    /// [`Error::NameTaken`] for a name that springs with other figures have in the two lists, since nobody could tell
    /// which of them was chosen; [`Error::Count`] if there are more than 10,000 springs together.
    pub fn with(mut self, other: Self) -> Result<Self> {
        self.springs.extend(other.springs);
        Self::of("springs of both stock lists", self.springs)
    }

    /// The springs as a list, if each name stands for one kind of spring.
    fn of(quantity: &'static str, springs: Vec<StockSpring>) -> Result<Self> {
        counted(quantity, springs.len(), [0, MOST_ROWS])?;
        let mut first: HashMap<&str, &StockSpring> = HashMap::new();
        for spring in &springs {
            if *first.entry(spring.name()).or_insert(spring) != spring {
                return Err(Error::NameTaken {
                    quantity,
                    name: spring.name.clone(),
                });
            }
        }
        Ok(Self { springs })
    }
}

fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// What no number, no quoted cell and no line can contain.
fn delimiter(given: char) -> Result<u8> {
    let other = |c: &char| {
        let part_of_cells = c.is_ascii_alphanumeric() || "\"+-.\r\n".contains(*c);
        c.is_ascii() && !part_of_cells
    };
    let ascii = Some(given).filter(other);
    ascii
        .and_then(|c| u8::try_from(c).ok())
        .ok_or_else(|| Error::NotAChoice {
            quantity: "delimiter of the stock list",
            given: given.escape_default().to_string(),
            choices: "a comma, a semicolon, a tab or another ASCII character that is in no number"
                .to_owned(),
        })
}

/// The error for a list in which another delimiter finds every heading.
fn other_delimiter(text: &str, format: &StockFormat) -> Option<Error> {
    let found = [',', ';', '\t', '|'].into_iter().find(|&other| {
        let headings = delimiter(other).map(|d| reader(text, d).headers().cloned());
        let Ok(Ok(headings)) = headings else {
            return false;
        };
        other != format.delimiter && Columns::new(&headings, &format.columns).is_ok()
    })?;
    let (given, found) = (format.delimiter.escape_default(), found.escape_default());
    Some(Error::Cell {
        line: 1,
        column: "(the whole line)".to_owned(),
        problem: format!(
            "the headings are not separated by '{given}' but, it seems, by '{found}'; set the delimiter to '{found}'"
        ),
    })
}

fn unreadable(error: &csv::Error) -> Error {
    let line = error.position().map_or(0, csv::Position::line);
    Error::Cell {
        line,
        column: "(the whole line)".to_owned(),
        problem: error.to_string(),
    }
}

/// A column that was found in the list.
struct Column {
    quantity: StockQuantity,
    heading: String,
    place: usize,
    factor: f64,
}

struct Columns(Vec<Column>);

impl Columns {
    fn new(headings: &csv::StringRecord, wanted: &[StockColumn]) -> Result<Self> {
        let mut columns: Vec<Column> = Vec::new();
        for StockColumn {
            quantity,
            heading,
            unit,
        } in wanted
        {
            let places = headings.iter().enumerate();
            let mut places = places.filter(|(_, text)| *text == heading.trim());
            let place = places.next().map(|(place, _)| place);
            let place = place.ok_or_else(|| Error::UnknownName {
                quantity: "column of the stock list",
                given: heading.clone(),
                near: headings.iter().map(echo).collect::<Vec<_>>().join(", "),
            })?;
            if let Some((other, _)) = places.next() {
                let (one, other) = (place + 1, other + 1);
                return Err(Error::Cell {
                    line: 1,
                    column: heading.clone(),
                    problem: format!(
                        "columns {one} and {other} both have this heading for the {quantity}; give each column a \
                            heading of its own"
                    ),
                });
            }
            let units = quantity.units();
            let factor = units.iter().find(|(name, _)| name == unit);
            let &(_, factor) = factor.ok_or_else(|| Error::NotAChoice {
                quantity: "unit of a column",
                given: unit.clone(),
                choices: units.iter().map(|u| u.0).collect::<Vec<_>>().join(", "),
            })?;
            columns.push(Column {
                quantity: *quantity,
                heading: heading.clone(),
                place,
                factor,
            });
        }
        let columns = Self(columns);
        use StockQuantity as Q;
        for (quantity, min, max, words) in [
            (Q::Name, 1, 1, "columns with the name"),
            (Q::Rate, 1, 1, "columns with the rate"),
            (Q::FreeLength, 1, 1, "columns with the free length"),
            (Q::OuterDiameter, 1, 1, "columns with the outer diameter"),
            (Q::InitialTension, 0, 1, "columns with the initial tension"),
            (Q::WireDiameter, 0, 1, "columns with the wire diameter"),
        ] {
            columns.count(&[quantity], min, max, words)?;
        }
        let limits = [Q::LimitLength, Q::LimitForce];
        columns.count(
            &limits,
            1,
            1,
            "columns with the limit, by length or by force",
        )?;
        for (number, column) in columns.0.iter().enumerate() {
            let before = columns.0.iter().take(number);
            if let Some(other) = before.into_iter().find(|other| other.place == column.place) {
                return Err(Error::Cell {
                    line: 1,
                    column: column.heading.clone(),
                    problem: format!(
                        "named for both {} and {}; a column holds one quantity",
                        other.quantity, column.quantity
                    ),
                });
            }
        }
        Ok(columns)
    }

    fn count(
        &self,
        of: &[StockQuantity],
        min: usize,
        max: usize,
        quantity: &'static str,
    ) -> Result<()> {
        let count = self.0.iter().filter(|c| of.contains(&c.quantity)).count();
        counted(quantity, count, [min, max])?;
        Ok(())
    }
}

fn byte_of(position: &csv::Position) -> usize {
    usize::try_from(position.byte()).unwrap_or(usize::MAX)
}

/// Line of the text, from 1, of the row that begins at a byte or behind empty lines there: the reader's own count does
/// not see those.
fn line_of(text: &str, byte: usize) -> u64 {
    let from = text.get(byte..).unwrap_or_default();
    let row = from.trim_start_matches(['\r', '\n']);
    let before = text.get(..text.len() - row.len()).unwrap_or_default();
    let windows = before.matches("\r\n").count();
    1 + (before.matches(['\r', '\n']).count() - windows) as u64
}

struct Row<'a> {
    text: &'a str,
    /// Where it begins in the text.
    byte: usize,
    columns: &'a Columns,
    record: &'a csv::StringRecord,
    decimal_comma: bool,
}

impl Row<'_> {
    /// Refuses a row whose cells cannot all belong to the headings, because some cell was cut in two.
    fn fits(&self, headings: usize, delimiter: char) -> Result<()> {
        let cells = self.record.len();
        // Empty cells behind the last heading are what spreadsheets leave.
        if self.record.iter().skip(headings).all(str::is_empty) {
            return Ok(());
        }
        let guess = if delimiter == ',' {
            "are there decimal commas? then quote the numbers, or separate the cells otherwise"
        } else {
            "is there one inside a cell? then quote that cell"
        };
        Err(Error::Cell {
            line: line_of(self.text, self.byte),
            column: "(the whole line)".to_owned(),
            problem: format!(
                "{cells} cells separated by '{}' under {headings} headings; {guess}",
                delimiter.escape_default()
            ),
        })
    }

    fn named_twice(&self, name: &str, before: usize) -> Error {
        let line = line_of(self.text, before);
        let name = echo(name);
        let problem = format!(
            "the name '{name}' stands on line {line} already, with other figures; give each kind of spring a name of \
                its own"
        );
        let heading = self.column(StockQuantity::Name);
        Error::Cell {
            line: line_of(self.text, self.byte),
            column: heading.map_or_else(String::new, |column| column.heading.clone()),
            problem,
        }
    }

    fn spring(&self, format: &StockFormat) -> Result<StockSpring> {
        use StockQuantity as Q;
        let needed = |quantity| self.number(quantity).map(Option::unwrap_or_default);
        let (rate, free_length) = (needed(Q::Rate)?, needed(Q::FreeLength)?);
        let initial_tension = needed(Q::InitialTension)?;
        let outer_diameter = needed(Q::OuterDiameter)?;
        let check = |quantity, ok: Result<f64>| ok.map_err(|error| self.refuse(quantity, &error));
        check(Q::OuterDiameter, check_outer_diameter(outer_diameter))?;
        // The rate divides, so it comes first.
        check(Q::Rate, check_rate(rate))?;
        let (by_length, by_force) = (self.number(Q::LimitLength)?, self.number(Q::LimitForce)?);
        let limit_deflection = match (by_length, by_force, format.kind) {
            (Some(length), _, StockKind::Extension) => length - free_length,
            (Some(length), _, StockKind::Compression) => free_length - length,
            (None, Some(force), _) => (force - initial_tension) / rate,
            (None, None, _) => 0.0,
        };
        let limit = if by_length.is_some() {
            Q::LimitLength
        } else {
            Q::LimitForce
        };
        let max_deflection = check(limit, check_deflection(limit_deflection))?;
        let law = law(
            format.kind,
            rate,
            free_length,
            initial_tension,
            max_deflection,
        );
        // A limit was checked above; what is left to refuse are the lengths and the initial tension.
        let law = law.map_err(|error| {
            let about_tension = matches!(&error, Error::OutOfRange { quantity, .. } if quantity.starts_with("initial"));
            self.refuse(if about_tension { Q::InitialTension } else { Q::FreeLength }, &error)
        })?;
        let wear = match (self.number(Q::WireDiameter)?, &format.wire) {
            (Some(d), Some(wire)) => {
                let wear = wear(wire, d, outer_diameter, format.kind);
                Some(wear.map_err(|error| self.refuse(Q::WireDiameter, &error))?)
            }
            _ => None,
        };
        Ok(StockSpring {
            name: self.text(Q::Name)?.unwrap_or_default().to_owned(),
            kind: format.kind,
            outer_diameter,
            max_deflection,
            law,
            wear,
        })
    }

    fn column(&self, quantity: StockQuantity) -> Option<&Column> {
        self.columns.0.iter().find(|c| c.quantity == quantity)
    }

    /// The text of a cell; `None` if no column holds the quantity.
    fn text(&self, quantity: StockQuantity) -> Result<Option<&str>> {
        let Some(column) = self.column(quantity) else {
            return Ok(None);
        };
        match self.record.get(column.place) {
            Some(text) if !text.is_empty() => Ok(Some(text)),
            _ => Err(self.cell(column, format!("{quantity} is missing"))),
        }
    }

    /// The number of a cell in SI; `None` if no column holds the quantity.
    fn number(&self, quantity: StockQuantity) -> Result<Option<f64>> {
        let (Some(text), Some(column)) = (self.text(quantity)?, self.column(quantity)) else {
            return Ok(None);
        };
        // A point beside decimal commas marks thousands to some and decimals to others: '1.220' is 1220 or a slip.
        let plain = match (self.decimal_comma, text.contains('.')) {
            (true, true) => None,
            (true, false) => Some(text.replace(',', ".")),
            (false, _) => Some(text.to_owned()),
        };
        match plain.and_then(|plain| plain.parse::<f64>().ok()) {
            Some(value) if value.is_finite() => Ok(Some(value * column.factor)),
            _ => {
                let hint = match (self.decimal_comma, text.contains(','), text.contains('.')) {
                    (true, _, true) => {
                        " in a list with decimal commas: a point there may mean thousands; write it without"
                    }
                    (false, true, false) => "; set decimal_comma if the list has decimal commas",
                    _ => "",
                };
                let text = echo(text);
                let problem = format!("{quantity}: '{text}' is not a number{hint}");
                Err(self.cell(column, problem))
            }
        }
    }

    fn refuse(&self, quantity: StockQuantity, error: &Error) -> Error {
        match self.column(quantity) {
            Some(column) => self.cell(column, error.to_string()),
            None => error.clone(),
        }
    }

    fn cell(&self, column: &Column, problem: String) -> Error {
        Error::Cell {
            line: line_of(self.text, self.byte),
            column: column.heading.clone(),
            problem,
        }
    }
}

/// Without a hint at another unit, as are the next two: a column of a list has its own.
fn check_outer_diameter(diameter: f64) -> Result<f64> {
    let [thin, wide] = DIAMETERS;
    within_computed("outer diameter", diameter, thin, wide, "m")
}

fn check_rate(rate: f64) -> Result<f64> {
    within_computed("rate", rate, 1e-3, 1e7, "N/m")
}

fn check_deflection(deflection: f64) -> Result<f64> {
    within_computed("deflection at the limit", deflection, 1e-6, 10.0, "m")
}

/// Force against length of a spring that ends at its greatest deflection.
fn law(
    kind: StockKind,
    rate: f64,
    free_length: f64,
    initial_tension: f64,
    max_deflection: f64,
) -> Result<LinearSpring> {
    let (action, shortest, longest) = match kind {
        StockKind::Extension => (
            SpringAction::Above,
            None,
            Some(free_length + max_deflection),
        ),
        StockKind::Compression => (
            SpringAction::Below,
            Some(free_length - max_deflection),
            None,
        ),
    };
    LinearSpring::new(LinearSpringSpec {
        rate,
        free_length,
        initial_tension,
        action,
        shortest,
        longest,
    })
}

/// Stresses of a spring of which only the wire and the outer diameter are known; of hooks the usual shape is taken.
fn wear(wire: &Wire, d: f64, outer: f64, kind: StockKind) -> Result<Wear> {
    let coil = Coil::new(wire, d, CoilDiameter::Outer(outer), 1.0)?;
    let shear =
        CurvatureFactor::Bergstraesser.raw_factor(coil.index()) * stress_per_force(d, coil.mean);
    let hook = || extension::stresses_per_newton(&coil, 0.5 * coil.mean, 2.0 * d).hook_bending;
    Ok(Wear {
        wire: wire.clone(),
        wire_diameter: d,
        tensile: coil.strength,
        shear,
        bending: (kind == StockKind::Extension).then(hook),
    })
}
