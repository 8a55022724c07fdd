//! The sections of a design file: how each is written, and what tells the kinds of one apart.

/// How a section is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum SectionForm {
    /// The top of the file.
    Root,
    /// Parts by name: `[magnet.NAME]`.
    Parts,
    /// A list: `[[axis]]`.
    List,
    /// A table within another: `[axis.targets]`.
    Table,
}

/// A section of a design file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) struct SectionKind {
    /// Its name in the table of keys.
    pub(in crate::rig) name: &'static str,
    pub(in crate::rig) form: SectionForm,
    /// The key whose word says which of its kinds it is.
    pub(in crate::rig) by: Option<&'static str>,
}

pub(in crate::rig) const AXIS: &str = "axis";
pub(in crate::rig) const STICK: &str = "stick";

const fn parts(name: &'static str, by: Option<&'static str>) -> SectionKind {
    SectionKind {
        name,
        form: SectionForm::Parts,
        by,
    }
}

const fn table(name: &'static str, by: Option<&'static str>) -> SectionKind {
    SectionKind {
        name,
        form: SectionForm::Table,
        by,
    }
}

const fn list(name: &'static str, by: Option<&'static str>) -> SectionKind {
    SectionKind {
        name,
        form: SectionForm::List,
        by,
    }
}

const ROOT: SectionKind = SectionKind {
    name: "",
    form: SectionForm::Root,
    by: None,
};

/// Every section but the top of the file.
const SECTIONS: [SectionKind; 21] = [
    parts("magnet", Some("shape")),
    parts("plate", None),
    parts("sensor", Some("kind")),
    parts("filter", None),
    parts("averaging", None),
    parts("converter", None),
    parts("pedal", None),
    parts("linkage", Some("kind")),
    list(AXIS, Some("arrangement")),
    table("axis.targets", None),
    table("axis.error_budget", Some("calibration")),
    list(STICK, Some("gate")),
    table("stick.AXIS", Some("arrangement")),
    table("stick.AXIS.targets", None),
    table("stick.AXIS.error_budget", Some("calibration")),
    list("part", None),
    table("supply", None),
    list("latency", Some("delay")),
    parts("cause", None),
    list("variant", None),
    table("targets", None),
];

/// A section by its name in the table of keys; the top of the file for one that is none.
pub(in crate::rig) fn section_kind(name: &str) -> SectionKind {
    let mut sections = SECTIONS.iter();
    let found = sections.find(|section| section.name == name);
    *found.unwrap_or(&ROOT)
}

/// The sections that may stand in one, by the names that they have there.
pub(in crate::rig) fn subsections(name: &str) -> &'static [&'static str] {
    const AT_TOP: [&str; 16] = [
        "magnet",
        "plate",
        "sensor",
        "filter",
        "averaging",
        "converter",
        "pedal",
        "linkage",
        AXIS,
        STICK,
        "part",
        "supply",
        "latency",
        "cause",
        "variant",
        "targets",
    ];
    match name {
        "" => &AT_TOP,
        AXIS | "stick.AXIS" => &["targets", "error_budget"],
        STICK => &["outer", "inner"],
        _ => &[],
    }
}
