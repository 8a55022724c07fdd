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
const SECTIONS: [SectionKind; 37] = [
    parts("magnet", Some("shape")),
    parts("plate", None),
    parts("sensor", Some("kind")),
    parts("filter", None),
    parts("averaging", None),
    parts("converter", None),
    parts("pedal", None),
    parts("linkage", Some("kind")),
    parts("stock", None),
    parts("spring", Some("kind")),
    list(AXIS, Some("arrangement")),
    table("axis.targets", None),
    table("axis.error_budget", Some("calibration")),
    table("axis.feel", None),
    list("axis.feel.spring", None),
    list("axis.feel.weight", None),
    list("axis.feel.friction", None),
    list("axis.feel.breakout", None),
    list("axis.feel.cam", None),
    list(STICK, Some("gate")),
    list("stick.obstacle", Some("shape")),
    table("stick.targets", None),
    table("stick.feel", None),
    list("stick.feel.spring", None),
    list("stick.feel.weight", None),
    list("stick.feel.friction", None),
    list("stick.feel.breakout", None),
    list("stick.feel.cam", None),
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

/// The name in the table of keys of a section that stands in another one.
pub(in crate::rig) fn within(section: &str, name: &str) -> String {
    match (section, name) {
        ("", name) => name.to_owned(),
        (STICK, "outer" | "inner") => "stick.AXIS".to_owned(),
        _ => format!("{section}.{name}"),
    }
}

/// The sections that may stand in one, by the names that they have there.
pub(in crate::rig) fn subsections(name: &str) -> &'static [&'static str] {
    const AT_TOP: [&str; 18] = [
        "magnet",
        "plate",
        "sensor",
        "filter",
        "averaging",
        "converter",
        "pedal",
        "linkage",
        "stock",
        "spring",
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
        AXIS => &["targets", "error_budget", "feel"],
        "stick.AXIS" => &["targets", "error_budget"],
        STICK => &["outer", "inner", "obstacle", "targets", "feel"],
        "axis.feel" | "stick.feel" => &["spring", "weight", "friction", "breakout", "cam"],
        _ => &[],
    }
}
