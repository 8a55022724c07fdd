//! Springs, and the lists that they are bought from.

use crate::error::{Error, Result};
use crate::feel::{AlongLine, CapturedSpring};
use crate::rig::design_error::{DesignError, Problem, Read};
use crate::rig::document::Section;
use crate::rig::keys::{Delimiter, SpringKind};
use crate::rig::parts::by_name::ByName;
use crate::rig::reading::{Reading, kind_of};
use crate::spring::{
    CoilDiameter, CompressionSpring, CompressionSpringSpec, EndFixity, ExtensionSpring,
    ExtensionSpringSpec, LinearSpring, LinearSpringSpec, LinearTorsionSpring,
    LinearTorsionSpringSpec, SpringAction, StockColumn, StockFormat, StockList, StockQuantity,
    StockSpring, TorsionSpring, TorsionSpringSpec, Turns, Wire, WireSurface,
};

/// Cycles that a spring should last where the file does not say.
const CYCLES: f64 = 1e6;
/// The greatest list that is read, bytes: ten thousand rows of a hundred letters.
const LARGEST: u64 = 1_000_000;

/// A spring as far as physics lets it be wound.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rig) struct SpringPart {
    /// The line of the file at which it begins.
    pub(in crate::rig) line: usize,
    pub(in crate::rig) made: Result<MadeSpring>,
    pub(in crate::rig) surface: WireSurface,
    pub(in crate::rig) cycles: f64,
    /// How the ends of a compression spring are held, if nothing guides it.
    pub(in crate::rig) fixity: Option<EndFixity>,
}

/// A spring of any kind.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rig) enum MadeSpring {
    Line(LinearSpring),
    /// By its rate about a pivot, N m/rad.
    Pivot(f64),
    Captured(CapturedSpring),
    Compression(Box<CompressionSpring>),
    Extension(Box<ExtensionSpring>),
    Torsion(Box<TorsionSpring>),
    Stock(Box<StockSpring>),
}

impl MadeSpring {
    /// What it does along a line; nothing of one that works about a pivot.
    pub(in crate::rig) fn along_line(&self) -> Option<Result<AlongLine>> {
        Some(match self {
            Self::Line(spring) => Ok((*spring).into()),
            Self::Captured(spring) => Ok((*spring).into()),
            Self::Compression(spring) => spring.line_spring().map(AlongLine::from),
            Self::Extension(spring) => Ok(spring.line_spring().into()),
            Self::Stock(spring) => Ok(spring.line_spring().into()),
            Self::Pivot(_) | Self::Torsion(_) => return None,
        })
    }

    /// What it does about a pivot; `None` of one that works along a line.
    pub(in crate::rig) fn about_pivot(
        &self,
        free_angle: f64,
        action: SpringAction,
    ) -> Option<Result<LinearTorsionSpring>> {
        match self {
            Self::Pivot(rate) => Some(LinearTorsionSpring::new(LinearTorsionSpringSpec::new(
                *rate, free_angle, action,
            ))),
            Self::Torsion(spring) => Some(spring.linear_torsion_spring(free_angle, action)),
            _ => None,
        }
    }
}

pub(super) fn read(section: &Section<'_>, lists: &ByName<StockList>) -> Read<SpringPart> {
    let kind: SpringKind = kind_of(section, "kind", None)?;
    let section = &section.of_kind(kind);
    let mut reading = Reading::new(section);
    let made = match kind {
        SpringKind::Line => read_line(&mut reading).map(MadeSpring::Line),
        SpringKind::Pivot => Ok(MadeSpring::Pivot(reading.number("rate_Nmm_per_deg"))),
        SpringKind::Captured => CapturedSpring::new(
            reading.number("neutral_length_mm"),
            reading.number("preload_N"),
            reading.number("rate_N_per_mm"),
            reading.number("stroke_mm"),
        )
        .map(MadeSpring::Captured),
        SpringKind::Compression => {
            read_compression(&mut reading).map(|spring| MadeSpring::Compression(Box::new(spring)))
        }
        SpringKind::Extension => {
            read_extension(&mut reading).map(|spring| MadeSpring::Extension(Box::new(spring)))
        }
        SpringKind::Torsion => {
            read_torsion(&mut reading).map(|spring| MadeSpring::Torsion(Box::new(spring)))
        }
        SpringKind::Stock => {
            let list = reading.note(lists.of(section, "list"));
            let row = reading.text("row");
            let found = list.and_then(|list| reading.note(row_of(section, list, &row)));
            found.map_or_else(stand_in, |spring| Ok(MadeSpring::Stock(Box::new(spring))))
        }
    };
    let worn = !matches!(
        kind,
        SpringKind::Line | SpringKind::Pivot | SpringKind::Captured
    );
    let surface = worn.then(|| reading.maybe_word("surface")).flatten();
    let cycles = if worn {
        reading.number_or("cycles", CYCLES)
    } else {
        CYCLES
    };
    let fixity = match kind {
        SpringKind::Compression => reading.maybe_word("fixity"),
        _ => None,
    };
    reading.done()?;
    Ok(SpringPart {
        line: section.line(),
        made,
        surface: surface.unwrap_or(WireSurface::Unpeened),
        cycles,
        fixity,
    })
}

/// Stands for a spring that has a mistake, which has been noted.
fn stand_in() -> Result<MadeSpring> {
    Ok(MadeSpring::Pivot(1.0))
}

fn read_line(reading: &mut Reading<'_, '_>) -> Result<LinearSpring> {
    LinearSpring::new(LinearSpringSpec {
        rate: reading.number("rate_N_per_mm"),
        free_length: reading.number("free_length_mm"),
        initial_tension: reading.number_or("initial_tension_N", 0.0),
        action: reading.maybe_word("works").unwrap_or(SpringAction::Above),
        shortest: reading.maybe("shortest_mm"),
        longest: reading.maybe("longest_mm"),
    })
}

/// The wire of a wound spring with its diameter and that of the coils; `None` after a mistake.
fn wound(reading: &mut Reading<'_, '_>) -> Option<(Wire, f64, CoilDiameter)> {
    let name = reading.text("wire");
    let wire = if reading.has("wire") && !name.is_empty() {
        reading.check("wire", Wire::named(&name))
    } else {
        None
    };
    let diameter = reading.number("wire_mm");
    let outer = CoilDiameter::Outer(reading.number("outer_diameter_mm"));
    wire.map(|wire| (wire, diameter, outer))
}

/// In the place of a spring whose wire is none, which has been noted.
fn no_wire() -> Error {
    Error::Absent {
        quantity: "wire",
        of: "the spring",
        advice: "",
    }
}

fn read_compression(reading: &mut Reading<'_, '_>) -> Result<CompressionSpring> {
    let wound = wound(reading);
    let turns = Turns::Active(reading.number("active_turns"));
    let free_length = reading.number("free_length_mm");
    let (ends, presetting) = (reading.maybe_word("ends"), reading.maybe_word("presetting"));
    let (wire, diameter, coil) = wound.ok_or_else(no_wire)?;
    let spec = CompressionSpringSpec::new(wire, diameter, coil, turns, free_length);
    CompressionSpring::new(CompressionSpringSpec {
        ends: ends.unwrap_or(spec.ends),
        presetting: presetting.unwrap_or(spec.presetting),
        ..spec
    })
}

fn read_extension(reading: &mut Reading<'_, '_>) -> Result<ExtensionSpring> {
    let wound = wound(reading);
    let turns = reading.number("body_turns");
    let initial_tension = reading.number_or("initial_tension_N", 0.0);
    let hook = reading.maybe_word("hook");
    let hook_reach = reading.maybe("hook_reach_mm");
    let (wire, diameter, coil) = wound.ok_or_else(no_wire)?;
    let spec = ExtensionSpringSpec::new(wire, diameter, coil, turns);
    ExtensionSpring::new(ExtensionSpringSpec {
        initial_tension,
        hook: hook.unwrap_or(spec.hook),
        hook_reach,
        ..spec
    })
}

fn read_torsion(reading: &mut Reading<'_, '_>) -> Result<TorsionSpring> {
    let wound = wound(reading);
    let turns = reading.number("body_turns");
    let legs = reading.maybe_numbers::<2>("legs_mm");
    let arbor = reading.maybe("arbor_mm");
    let (wire, diameter, coil) = wound.ok_or_else(no_wire)?;
    let spec = TorsionSpringSpec::new(wire, diameter, coil, turns);
    TorsionSpring::new(TorsionSpringSpec {
        legs: legs.unwrap_or(spec.legs),
        arbor,
        ..spec
    })
}

/// The spring of a list by its name.
fn row_of(section: &Section<'_>, list: &StockList, name: &str) -> Read<StockSpring> {
    let found = list.springs().iter().find(|spring| spring.name() == name);
    found.cloned().ok_or_else(|| {
        let names: Vec<&str> = list.springs().iter().map(StockSpring::name).collect();
        section.not_here(
            "row",
            format!("a name of the list, such as \"{}\"", nearest(name, &names)),
        )
    })
}

/// The name of a list that looks most like the one given.
fn nearest<'n>(given: &str, names: &[&'n str]) -> &'n str {
    let names = names.iter().copied();
    let found = names.min_by_key(|name| crate::names::distance(given, name));
    found.unwrap_or_default()
}

/// Reads a list from the file that the section names.
pub(super) fn read_list(section: &Section<'_>) -> Read<StockList> {
    let mut reading = Reading::new(section);
    let path = reading.text("file");
    let kind = reading.word("kind");
    let delimiter = reading.maybe_word("delimiter").unwrap_or(Delimiter::Comma);
    let decimal_comma = reading.flag_or("decimal_comma", false);
    let wire = reading.maybe_text("wire");
    let wire = wire.and_then(|name| reading.check("wire", Wire::named(&name)));
    let mut unit = |name: &str, usual: &str| {
        let unit = reading.maybe_text(name);
        unit.unwrap_or_else(|| usual.to_owned())
    };
    let lengths = unit("length_unit", "mm");
    let forces = unit("force_unit", "N");
    let rates = unit("rate_unit", "N/mm");
    let limit = if reading.has("limit_force_column") {
        reading.excludes("limit_length_column", "limit_force_column");
        ("limit_force_column", StockQuantity::LimitForce, &forces)
    } else {
        ("limit_length_column", StockQuantity::LimitLength, &lengths)
    };
    // Whichever of the two counts: what the other holds must be text too.
    reading.maybe_text("limit_length_column");
    let mut columns = Vec::new();
    let needed = [
        ("name_column", StockQuantity::Name, &String::new()),
        ("rate_column", StockQuantity::Rate, &rates),
        ("free_length_column", StockQuantity::FreeLength, &lengths),
        (
            "outer_diameter_column",
            StockQuantity::OuterDiameter,
            &lengths,
        ),
        limit,
    ];
    for (key, quantity, unit) in needed {
        columns.push(column(quantity, reading.text(key), unit));
    }
    for (key, quantity, unit) in [
        (
            "initial_tension_column",
            StockQuantity::InitialTension,
            &forces,
        ),
        (
            "wire_diameter_column",
            StockQuantity::WireDiameter,
            &lengths,
        ),
    ] {
        let heading = reading.maybe_text(key);
        columns.extend(heading.map(|heading| column(quantity, heading, unit)));
    }
    reading.done()?;
    let Some(kind) = kind else {
        return Err(section.missing("kind"));
    };
    let text = text_of(section, &path)?;
    let format = StockFormat {
        delimiter: match delimiter {
            Delimiter::Comma => ',',
            Delimiter::Semicolon => ';',
            Delimiter::Tab => '\t',
        },
        decimal_comma,
        wire,
        ..StockFormat::new(kind, columns)
    };
    StockList::read(&text, &format)
        .map_err(|error| section.error_at("file", Problem::Refused(error)))
}

fn column(quantity: StockQuantity, heading: String, unit: &str) -> StockColumn {
    StockColumn {
        quantity,
        heading,
        unit: unit.to_owned(),
    }
}

/// The text of a file beside the design.
fn text_of(section: &Section<'_>, path: &str) -> Read<String> {
    let unreadable = |reason: String| -> DesignError {
        section.error_at("file", Problem::Unreadable { reason })
    };
    let path = section.beside(path);
    let about = std::fs::metadata(&path).map_err(|error| unreadable(error.to_string()))?;
    if !about.is_file() {
        return Err(unreadable("it is no file".to_owned()));
    }
    if about.len() > LARGEST {
        let reason = format!("it has {} bytes, more than {LARGEST}", about.len());
        return Err(unreadable(reason));
    }
    std::fs::read_to_string(&path).map_err(|error| unreadable(error.to_string()))
}
