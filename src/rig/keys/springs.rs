//! Keys of springs and of the lists that they are bought from.

use crate::rig::keys::key::Allowed::{Entry, Flag, Number, Numbers, Part, Text, Word};
use crate::rig::keys::key::{Key, key, of, optional, unless};
use crate::rig::keys::words::Words;

const LINE: &[&str] = &["line"];
const PIVOT: &[&str] = &["pivot"];
const BOTH_ENDS: &[&str] = &["captured"];
const PRESSED: &[&str] = &["compression"];
const PULLED: &[&str] = &["extension"];
const TWISTED: &[&str] = &["torsion"];
const FROM_LIST: &[&str] = &["stock"];
const WOUND: &[&str] = &["compression", "extension", "torsion"];
const WORN: &[&str] = &["compression", "extension", "torsion", "stock"];

/// Lengths of springs and between their ends, mm.
const LENGTH: (f64, f64) = (0.1, 10_000.0);

const fn column(name: &'static str, meaning: &'static str) -> Key {
    key("stock", name, Text, meaning)
}

const fn maybe_column(name: &'static str, meaning: &'static str) -> Key {
    optional(key("stock", name, Text, meaning))
}

pub(super) const KEYS: &[Key] = &[
    // --- lists of springs that can be bought
    key(
        "stock",
        "file",
        Text,
        "the list, a CSV file whose first line has the headings; its path from the folder of this file",
    ),
    key(
        "stock",
        "kind",
        Word(Words::StockKind),
        "whether its springs are pulled or pressed",
    ),
    optional(key(
        "stock",
        "delimiter",
        Word(Words::Delimiter),
        "what separates its columns; left out: comma",
    )),
    optional(key(
        "stock",
        "decimal_comma",
        Flag,
        "whether its numbers have a comma for a point; left out: false",
    )),
    optional(key(
        "stock",
        "wire",
        Entry("a spring wire, such as \"EN 10270-1 SM\""),
        "what all its springs are wound of, for their life; left out: nobody knows",
    )),
    column("name_column", "heading of the names"),
    column("rate_column", "heading of the rates"),
    maybe_column("rate_unit", "their unit; left out: N/mm"),
    column("free_length_column", "heading of the lengths without load"),
    column("outer_diameter_column", "heading of the outer diameters"),
    unless(
        "limit_force_column",
        key(
            "stock",
            "limit_length_column",
            Text,
            "heading of the longest or the shortest lengths. In its place: limit_force_column",
        ),
    ),
    unless(
        "limit_length_column",
        key(
            "stock",
            "limit_force_column",
            Text,
            "heading of the greatest forces. In its place: limit_length_column",
        ),
    ),
    maybe_column(
        "initial_tension_column",
        "heading of the initial tensions; left out: none",
    ),
    maybe_column(
        "wire_diameter_column",
        "heading of the wire's diameters, for their life; left out: nobody knows",
    ),
    maybe_column("length_unit", "unit of lengths and diameters; left out: mm"),
    maybe_column("force_unit", "unit of forces; left out: N"),
    // --- springs
    key(
        "spring",
        "kind",
        Word(Words::Spring),
        "what is known of it: \"line\" and \"pivot\" by its rate, along a line or about a pivot; \"captured\" between \
         two collars, so that it works both ways; wound as described; \"stock\" as a list has it",
    ),
    of(
        &["line", "captured"],
        key(
            "spring",
            "rate_N_per_mm",
            Number(1e-6, 10_000.0),
            "rate: force for a change of length",
        ),
    ),
    of(
        PIVOT,
        key(
            "spring",
            "rate_Nmm_per_deg",
            Number(1e-3, 100_000.0),
            "rate: torque for a turn",
        ),
    ),
    of(
        &["line", "compression"],
        key(
            "spring",
            "free_length_mm",
            Number(LENGTH.0, LENGTH.1),
            "length without load; of a spring that pulls inside its hooks",
        ),
    ),
    of(
        LINE,
        optional(key(
            "spring",
            "works",
            Word(Words::SpringAction),
            "on which side of its free length it works: \"above\" pulls, \"below\" presses; left out: above",
        )),
    ),
    of(
        &["line", "extension"],
        optional(key(
            "spring",
            "initial_tension_N",
            Number(0.0, 100_000.0),
            "tension at which its coils part; left out: 0",
        )),
    ),
    of(
        LINE,
        optional(key(
            "spring",
            "shortest_mm",
            Number(0.0, LENGTH.1),
            "length at which it is solid; left out: no such limit",
        )),
    ),
    of(
        LINE,
        optional(key(
            "spring",
            "longest_mm",
            Number(LENGTH.0, LENGTH.1),
            "length to which it may be pulled; left out: no such limit",
        )),
    ),
    of(
        BOTH_ENDS,
        key(
            "spring",
            "neutral_length_mm",
            Number(LENGTH.0, LENGTH.1),
            "distance of its ends at which it sits on both collars",
        ),
    ),
    of(
        BOTH_ENDS,
        key(
            "spring",
            "preload_N",
            Number(0.0, 100_000.0),
            "force with which it sits on them",
        ),
    ),
    of(
        BOTH_ENDS,
        key(
            "spring",
            "stroke_mm",
            Number(0.0, LENGTH.1),
            "how far it goes either way until it is solid",
        ),
    ),
    of(
        WOUND,
        key(
            "spring",
            "wire",
            Entry("a spring wire, such as \"EN 10270-1 SM\""),
            "what it is wound of",
        ),
    ),
    of(
        WOUND,
        key(
            "spring",
            "wire_mm",
            Number(0.01, 100.0),
            "diameter of the wire",
        ),
    ),
    of(
        WOUND,
        key(
            "spring",
            "outer_diameter_mm",
            Number(0.05, 2000.0),
            "diameter over the coils",
        ),
    ),
    of(
        PRESSED,
        key(
            "spring",
            "active_turns",
            Number(0.5, 10_000.0),
            "turns that spring, without those of the ends",
        ),
    ),
    of(
        &["extension", "torsion"],
        key(
            "spring",
            "body_turns",
            Number(0.5, 10_000.0),
            "turns of the body, wound close",
        ),
    ),
    of(
        PRESSED,
        optional(key(
            "spring",
            "ends",
            Word(Words::CoilEnds),
            "how its ends are made; left out: squared ground",
        )),
    ),
    of(
        PRESSED,
        optional(key(
            "spring",
            "presetting",
            Word(Words::Presetting),
            "whether it was pressed solid in making; left out: as wound",
        )),
    ),
    of(
        PRESSED,
        optional(key(
            "spring",
            "fixity",
            Word(Words::EndFixity),
            "how its ends are held, by which it may buckle; left out: a rod or a bore guides it",
        )),
    ),
    of(
        PULLED,
        optional(key(
            "spring",
            "hook",
            Word(Words::HookShape),
            "shape of its hooks; left out: full",
        )),
    ),
    of(
        PULLED,
        optional(key(
            "spring",
            "hook_reach_mm",
            Number(0.0, LENGTH.1),
            "inside reach of a hook beyond the body; left out: as its shape has it",
        )),
    ),
    of(
        TWISTED,
        optional(key(
            "spring",
            "legs_mm",
            Numbers(2, 0.0, LENGTH.1),
            "lengths of the legs from the body to where they bear; left out: they do not bend",
        )),
    ),
    of(
        TWISTED,
        optional(key(
            "spring",
            "arbor_mm",
            Number(0.01, 2000.0),
            "diameter of the pin inside; left out: none",
        )),
    ),
    of(
        WORN,
        optional(key(
            "spring",
            "surface",
            Word(Words::WireSurface),
            "surface of the wire, for its life; left out: unpeened",
        )),
    ),
    of(
        WORN,
        optional(key(
            "spring",
            "cycles",
            Number(1.0, 1e12),
            "how often it goes over the whole travel and back in its life; left out: 1000000",
        )),
    ),
    of(
        FROM_LIST,
        key("spring", "list", Part("stock"), "which list it is in"),
    ),
    of(
        FROM_LIST,
        key("spring", "row", Text, "its name in the list"),
    ),
];
