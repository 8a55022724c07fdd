//! Every key of the table is read, and holds its range.

use yokewright::rig::{Allowed, Design, DesignError, KEYS, Key, Problem};

/// Lines of a section of a kind that is good by itself; the kind is empty where the section has none.
const GOOD: &[(&str, &str, &str)] = &[
    ("", "", "title = \"every key\""),
    (
        "magnet",
        "block",
        "size_mm = [5.0, 5.0, 5.0]\npolarization_mT = [0.0, 1200.0, 0.0]",
    ),
    (
        "magnet",
        "cylinder",
        "shape = \"cylinder\"\ndiameter_mm = 5.0\nlength_mm = 5.0\npolarization_mT = [0.0, 1200.0, 0.0]",
    ),
    (
        "magnet",
        "ring",
        "shape = \"ring\"\ndiameter_mm = 5.0\nbore_mm = 2.0\nlength_mm = 5.0\npolarization_mT = [0.0, 1200.0, 0.0]",
    ),
    (
        "magnet",
        "sphere",
        "shape = \"sphere\"\ndiameter_mm = 5.0\npolarization_mT = [0.0, 1200.0, 0.0]",
    ),
    ("plate", "", "distance_mm = 1.0"),
    (
        "sensor",
        "linear",
        "supply_V = 5.0\nnominal_supply_V = 5.0\nquiescent_V = 2.5\nsensitivity_mV_per_mT = 10.0\nrail_low_V = 0.2\n\
         rail_headroom_V = 0.2\nnoise_mV = 1.0\ndepth_mm = 0.5",
    ),
    (
        "sensor",
        "angle",
        "kind = \"angle\"\nbits = 12\ndepth_mm = 0.4",
    ),
    (
        "sensor",
        "potentiometer",
        "kind = \"potentiometer\"\ntravel_deg = 300.0\nsupply_V = 5.0",
    ),
    ("part", "", ""),
    ("supply", "", "limit_mA = 500.0"),
    ("latency", "fixed", "delay = \"fixed\"\ntime_ms = 1.0"),
    (
        "latency",
        "uniform",
        "delay = \"uniform\"\nshortest_ms = 0.0\nlongest_ms = 5000.0",
    ),
    (
        "latency",
        "triangular",
        "delay = \"triangular\"\nshortest_ms = 0.0\nlikely_ms = 2.0\nlongest_ms = 5000.0",
    ),
    ("latency", "wait", "delay = \"wait\"\ninterval_ms = 1.0"),
    ("latency", "sample", "delay = \"sample\"\ntimes_ms = [1.0]"),
    ("latency", "polling", "delay = \"polling\"\nb_interval = 8"),
    (
        "cause",
        "",
        "plus_minus_percent = 1.0\nmoves = [\"axis.alone.gap_mm\"]",
    ),
    ("variant", "", "changes = { currency = \"EUR\" }"),
    ("targets", "", ""),
    ("filter", "", "cutoff_Hz = 1000.0"),
    ("averaging", "", "samples = 8\ninterval_ms = 0.5"),
    ("converter", "", "bits = 12\nreference_V = 5.0"),
    (
        "pedal",
        "",
        "hinge_mm = [0.0, 120.0, 0.0]\nhinge_axis = [0.0, 1.0, 0.0]\njoint_mm = [0.0, 70.0, 90.0]\n\
         pad_mm = [-10.0, 120.0, 180.0]\npush = [1.0, 0.0, 0.0]",
    ),
    (
        "linkage",
        "fixed ratio",
        "kind = \"fixed ratio\"\nratio = 2.0",
    ),
    (
        "linkage",
        "universal joint",
        "kind = \"universal joint\"\nbend_deg = 20.0",
    ),
    (
        "linkage",
        "four-bar",
        "kind = \"four-bar\"\ncrank_pivot_mm = [0.0, 0.0]\ncrank_joint_mm = [0.0, 50.0]\n\
         rocker_joint_mm = [120.0, 40.0]\n\
         rocker_pivot_mm = [120.0, 10.0]",
    ),
    (
        "linkage",
        "ball-joint rod",
        "kind = \"ball-joint rod\"\ninput_pivot_mm = [0.0, 0.0, 0.0]\ninput_axis = [0.0, 1.0, 0.0]\n\
         input_joint_mm = [0.0, 0.0, 100.0]\noutput_pivot_mm = [200.0, -60.0, 100.0]\noutput_axis = [0.0, 0.0, 1.0]\n\
         output_joint_mm = [200.0, -10.0, 100.0]",
    ),
    (
        "linkage",
        "pedals",
        "kind = \"pedals\"\nleft = \"one\"\ncrank_pivot_mm = [-150.0, 0.0, 90.0]\ncrank_axis = [0.0, 0.0, 1.0]\n\
         crank_joint_mm = [-150.0, 45.0, 90.0]\nfrom = \"left\"\nto = \"crank\"",
    ),
    ("linkage", "row", "kind = \"row\"\nparts = [\"gears\"]"),
    (
        "axis",
        "swung",
        "throw_deg = [-5.0, 5.0]\nmagnet = \"one\"\nsensor = \"one\"\nconverter = \"one\"\narm_mm = 20.0\ngap_mm = 5.0",
    ),
    (
        "axis",
        "pair",
        "arrangement = \"pair\"\nthrow_deg = [-5.0, 5.0]\nmagnet = \"one\"\nsensor = \"one\"\nconverter = \"one\"\n\
         arm_mm = 20.0\ngap_mm = 5.0\nspacing_mm = 5.0",
    ),
    (
        "axis",
        "head-on",
        "arrangement = \"head-on\"\nthrow_deg = [-5.0, 5.0]\nmagnet = \"one\"\nsensor = \"one\"\nconverter = \"one\"\n\
         arm_mm = 20.0\ngap_mm = 5.0",
    ),
    (
        "axis",
        "shaft end",
        "arrangement = \"shaft end\"\nthrow_deg = [-5.0, 5.0]\nmagnet = \"one\"\nsensor = \"one\"\n\
         converter = \"one\"\n\
         gap_mm = 5.0",
    ),
    (
        "stock",
        "",
        "file = \"examples/drawer_springs.csv\"\nkind = \"extension\"\ndelimiter = \"semicolon\"\n\
         decimal_comma = true\nname_column = \"no\"\nrate_column = \"rate N/mm\"\nfree_length_column = \"free mm\"\n\
         outer_diameter_column = \"outer mm\"\nlimit_length_column = \"longest mm\"",
    ),
    (
        "spring",
        "line",
        "kind = \"line\"\nrate_N_per_mm = 0.5\nfree_length_mm = 60.0",
    ),
    (
        "spring",
        "pivot",
        "kind = \"pivot\"\nrate_Nmm_per_deg = 10.0",
    ),
    (
        "spring",
        "captured",
        "kind = \"captured\"\nrate_N_per_mm = 5.0\nneutral_length_mm = 60.0\npreload_N = 20.0\nstroke_mm = 15.0",
    ),
    (
        "spring",
        "compression",
        "kind = \"compression\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 2.0\nouter_diameter_mm = 18.0\n\
         active_turns = 8.0\nfree_length_mm = 50.0",
    ),
    (
        "spring",
        "extension",
        "kind = \"extension\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 1.0\nouter_diameter_mm = 10.0\n\
         body_turns = 30.0",
    ),
    (
        "spring",
        "torsion",
        "kind = \"torsion\"\nwire = \"EN 10270-1 SM\"\nwire_mm = 2.0\nouter_diameter_mm = 20.0\nbody_turns = 5.0",
    ),
    (
        "spring",
        "stock",
        "kind = \"stock\"\nlist = \"one\"\nrow = \"D12\"",
    ),
    (
        "axis.feel",
        "",
        "pivot_mm = [0.0, 0.0, 0.0]\npivot_axis = [0.0, 1.0, 0.0]\ngrip_mm = [0.0, 0.0, 200.0]",
    ),
    (
        "axis.feel.spring",
        "",
        "spring = \"fixed\"\nfrom_mm = [90.0, 0.0, 50.0]\nto_mm = [0.0, 0.0, 50.0]",
    ),
    (
        "axis.feel.weight",
        "",
        "mass_g = 200.0\nat_mm = [0.0, 0.0, 180.0]",
    ),
    ("axis.feel.friction", "", "torque_Nmm = 10.0"),
    ("axis.feel.breakout", "", "preload_Nmm = 100.0"),
    (
        "axis.feel.cam",
        "",
        "points_deg_and_mm = [[-30.0, 2.0], [0.0, 0.0], [30.0, 2.0]]\npreload_N = 20.0",
    ),
    ("stick.targets", "", ""),
    ("stick.feel", "", ""),
    (
        "stick.obstacle",
        "block",
        "shape = \"block\"\nsize_mm = [100.0, 100.0, 100.0]\ncenter_mm = [400.0, 0.0, 400.0]",
    ),
    (
        "stick.obstacle",
        "cylinder",
        "shape = \"cylinder\"\nfrom_mm = [400.0, 0.0, 0.0]\nto_mm = [400.0, 0.0, 400.0]\ndiameter_mm = 100.0",
    ),
    (
        "stick.obstacle",
        "capsule",
        "shape = \"capsule\"\nfrom_mm = [400.0, 0.0, 0.0]\nto_mm = [400.0, 0.0, 400.0]\ndiameter_mm = 100.0",
    ),
    ("axis.targets", "", ""),
    ("axis.error_budget", "two-point", ""),
    (
        "axis.error_budget",
        "table",
        "calibration = \"table\"\ncalibration_points = 5",
    ),
    (
        "stick",
        "square",
        "stick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 400.0]]",
    ),
    (
        "stick",
        "round",
        "gate = \"round\"\nstick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 400.0]]\ngate_tilt_deg = 20.0",
    ),
    (
        "stick",
        "polygon",
        "gate = \"polygon\"\nstick_mm = [[0.0, 0.0, 0.0], [0.0, 0.0, 400.0]]\n\
         gate_corners_deg = [[-5.0, -5.0], [5.0, -5.0], [0.0, 5.0]]",
    ),
    ("stick.AXIS.targets", "", ""),
    ("stick.AXIS.error_budget", "two-point", ""),
    (
        "stick.AXIS.error_budget",
        "table",
        "calibration = \"table\"\ncalibration_points = 5",
    ),
];

const ON_STICK: &str =
    "magnet_on = \"ring\"\nsensor_on = \"frame\"\narm_direction = [1.0, 0.0, 0.0]";

/// What acts on a control, list by list.
const ACTING: [&str; 5] = ["spring", "weight", "friction", "breakout", "cam"];

/// The section whose lines are those of another one too.
fn same_as(section: &str) -> String {
    match section.strip_prefix("stick.feel.") {
        Some(acting) => format!("axis.feel.{acting}"),
        None if section == "stick.AXIS" => "axis".to_owned(),
        None => section.to_owned(),
    }
}

/// The lines of a section; of a stick's axis those of an axis and more.
fn lines(section: &str, kind: &str) -> String {
    let find = |section: &str, kind: &str| {
        let found = GOOD.iter().find(|(s, k, _)| (*s, *k) == (section, kind));
        found
            .unwrap_or_else(|| panic!("{section} {kind}: no lines"))
            .2
    };
    match section {
        "stick.AXIS" => format!("{}\n{ON_STICK}", find("axis", kind)),
        _ => find(&same_as(section), kind).to_owned(),
    }
}

/// The kinds of a section that there are lines for.
fn kinds(section: &str) -> Vec<&'static str> {
    let section = same_as(section);
    let of_section = GOOD.iter().filter(|(s, ..)| *s == section);
    of_section.map(|(_, kind, _)| *kind).collect()
}

/// A whole file in which one section is of a kind and has a line of its own instead of that of the same key.
fn file(section: &str, kind: &str, key: &str, value: &str) -> String {
    let written = |name: &str, usual: &str| {
        if name != section {
            return lines(name, usual);
        }
        let others = lines(section, kind);
        let others = others
            .lines()
            .filter(|line| !line.starts_with(&format!("{key} =")));
        let others: Vec<&str> = others.collect();
        format!("{}\n{key} = {value}", others.join("\n"))
    };
    let name_of = |name: &str, of: &str| {
        if (name, "name") == (section, key) {
            String::new()
        } else {
            format!("name = \"{of}\"\n")
        }
    };
    let outer = written("stick.AXIS", "swung");
    let mut text = format!("{}\n", written("", ""));
    for (part, usual) in [
        ("magnet", "block"),
        ("plate", ""),
        ("sensor", "linear"),
        ("filter", ""),
        ("averaging", ""),
        ("converter", ""),
        ("pedal", ""),
        ("linkage", "fixed ratio"),
        ("stock", ""),
        ("spring", "line"),
    ] {
        text += &format!("[{part}.one]\n{}\n", written(part, usual));
    }
    text += &format!("[spring.fixed]\n{}\n", lines("spring", "line"));
    text += &format!("[linkage.gears]\n{}\n", lines("linkage", "fixed ratio"));
    text += &format!(
        "[[axis]]\n{}{}\n[axis.targets]\n{}\n[axis.error_budget]\n{}\n",
        name_of("axis", "alone"),
        written("axis", "swung"),
        written("axis.targets", ""),
        written("axis.error_budget", "two-point"),
    );
    // Only where they are looked at: every part takes its time.
    let of_springs = ["stock", "spring"].contains(&section);
    let acting = |of: &str| {
        if !of_springs && !section.starts_with(&format!("{of}.feel")) {
            return String::new();
        }
        let mut text = format!("[{of}.feel]\n{}\n", written(&format!("{of}.feel"), ""));
        for list in ACTING {
            let section = format!("{of}.feel.{list}");
            text += &format!("[[{section}]]\n{}\n", written(&section, ""));
        }
        text
    };
    text += &acting("axis");
    text += &format!(
        "[[stick]]\n{}{}\n",
        name_of("stick", "stick"),
        written("stick", "square")
    );
    text += &format!(
        "[stick.outer]\n{}{outer}\n[stick.outer.targets]\n{}\n[stick.outer.error_budget]\n{}\n",
        name_of("stick.AXIS", "outer"),
        written("stick.AXIS.targets", ""),
        written("stick.AXIS.error_budget", "two-point"),
    );
    text += &format!(
        "[stick.targets]\n{}\n[[stick.obstacle]]\n{}{}\n{}",
        written("stick.targets", ""),
        name_of("stick.obstacle", "seat"),
        written("stick.obstacle", "block"),
        acting("stick"),
    );
    let inner = lines("stick.AXIS", "swung")
        .replace("\"ring\"", "\"stick\"")
        .replace("\"frame\"", "\"ring\"")
        .replace("[1.0, 0.0, 0.0]", "[0.0, 0.0, -1.0]");
    text += &format!("[stick.inner]\nname = \"inner\"\n{inner}\n");
    for (list, usual) in [("part", ""), ("latency", "fixed"), ("variant", "")] {
        // Each variant is a reading more.
        if list == "variant" && section != list {
            continue;
        }
        text += &format!(
            "[[{list}]]\n{}{}\n",
            name_of(list, "first"),
            written(list, usual)
        );
    }
    text += &format!(
        "[supply]\n{}\n[cause.one]\n{}\n[targets]\n{}\n",
        written("supply", ""),
        written("cause", ""),
        written("targets", "")
    );
    text
}

/// All mistakes of a file.
fn mistakes(text: &str) -> Vec<DesignError> {
    match Design::parse(text, "all.toml") {
        Ok(_) => Vec::new(),
        Err(first) => {
            let others = first.others.clone();
            std::iter::once(first).chain(others).collect()
        }
    }
}

/// Whether one of the mistakes is that a key holds what it may not.
fn refused(key: &Key, mistakes: &[DesignError]) -> bool {
    mistakes.iter().any(|mistake| {
        // Of a table that says more of a number than it may, that part is told.
        let stray = mistake.key.strip_suffix(".a");
        if stray.is_some_and(|path| path.rsplit('.').next() == Some(key.name)) {
            return key.may_vary() && matches!(&*mistake.problem, Problem::NotAllowed { .. });
        }
        let of_key = mistake.key.rsplit('.').next() == Some(key.name);
        let allowed = key.allowed_text();
        of_key
            && matches!(&*mistake.problem, Problem::NotAllowed { allowed: told, .. } if *told == allowed)
    })
}

fn list(numbers: &[f64]) -> String {
    format!("{numbers:?}").replace("NaN", "nan")
}

/// Values that a key must not have.
fn bad(allowed: Allowed) -> Vec<String> {
    let number = |value: f64| list(&[value]).trim_matches(['[', ']']).to_owned();
    let beyond =
        |min: f64, max: f64| [min - 0.5 * (min.abs() + 1.0), max + 0.5 * (max.abs() + 1.0)];
    let hostile = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e160, -1e160];
    let mut values: Vec<String> = ["1979-05-27", "{ a = 1 }"].map(str::to_owned).to_vec();
    match allowed {
        Allowed::Number(min, max) => {
            values.extend(beyond(min, max).into_iter().chain(hostile).map(number));
            values.extend(["\"7\"", "[7.0]", "true"].map(str::to_owned));
        }
        Allowed::Numbers(count, min, max) => {
            let middle = 0.5 * (min + max);
            for value in beyond(min, max).into_iter().chain(hostile) {
                for place in 0..count {
                    let mut numbers = vec![middle; count];
                    numbers[place] = value;
                    values.push(list(&numbers));
                }
            }
            values.push(list(&vec![middle; count - 1]));
            values.push(list(&vec![middle; count + 1]));
            values.extend(["7.0", "[]", "\"7\""].map(str::to_owned));
        }
        Allowed::Rows(count, least, most, min, max) => {
            let row = list(&vec![0.5 * (min + max); count]);
            let wide = list(&vec![0.5 * (min + max); count + 1]);
            let far = list(&vec![beyond(min, max)[1]; count]);
            for rows in [
                vec![row.clone(); least - 1],
                vec![row.clone(); most + 1],
                vec![wide; least],
                vec![far; least],
            ] {
                values.push(format!("[{}]", rows.join(", ")));
            }
            values.extend([row, "7.0".to_owned()]);
        }
        Allowed::Whole(min, max) => {
            values.extend([min - 1, max + 1].map(|value| value.to_string()));
            values.extend(["1.5", "\"7\"", "99999999999999999999"].map(str::to_owned));
        }
        Allowed::Flag => values.extend(["1", "\"true\""].map(str::to_owned)),
        Allowed::Word(_) => values.extend(["7", "\"nothing such\"", "\"\""].map(str::to_owned)),
        Allowed::Series(_, most, min, max) => {
            values.extend(
                beyond(min, max)
                    .into_iter()
                    .chain(hostile)
                    .map(|value| list(&[value])),
            );
            values.extend(["7.0", "[]", "[\"7\"]"].map(str::to_owned));
            values.push(list(&vec![min; most + 1]));
        }
        Allowed::Changes => values = ["7", "{}", "[7]"].map(str::to_owned).to_vec(),
        Allowed::Parts(_) | Allowed::Names => {
            values.extend(["7", "[]", "[7]"].map(str::to_owned));
        }
        Allowed::Name => {
            values.extend(["7", "\" \""].map(str::to_owned));
            values.push(format!("\"{}\"", "x".repeat(61)));
        }
        Allowed::Text | Allowed::Part(_) | Allowed::Entry(_) => {
            values.extend(["7", "\" \"", "[\"x\"]"].map(str::to_owned));
        }
        _ => panic!("{allowed:?} has no bad values here"),
    }
    values
}

/// Values at the ends of what a key may have.
fn ends(allowed: Allowed) -> Vec<String> {
    match allowed {
        Allowed::Number(min, max) => [min, max].map(|end| format!("{end:?}")).to_vec(),
        Allowed::Numbers(count, min, max) => [min, max].map(|end| list(&vec![end; count])).to_vec(),
        Allowed::Whole(min, max) => [min, max].map(|end| end.to_string()).to_vec(),
        Allowed::Flag => vec!["true".to_owned(), "false".to_owned()],
        Allowed::Word(words) => words
            .all()
            .iter()
            .map(|word| format!("\"{word}\""))
            .collect(),
        Allowed::Name => vec![format!("\"{}\"", "x".repeat(60))],
        _ => Vec::new(),
    }
}

/// Every key with each kind of its section that has it.
fn every() -> impl Iterator<Item = (&'static Key, &'static str)> {
    KEYS.iter().flat_map(|key| {
        let kinds = kinds(key.section);
        assert!(!kinds.is_empty(), "{}: no section", key.path());
        let known = |kind: &&str| key.kinds.is_empty() || key.kinds.contains(kind);
        let known: Vec<&str> = kinds.into_iter().filter(known).collect();
        assert!(!known.is_empty(), "{}: no kind", key.path());
        known.into_iter().map(move |kind| (key, kind))
    })
}

#[test]
fn the_files_themselves_are_good() {
    let sections: Vec<(&str, &str)> = GOOD.iter().map(|(s, k, _)| (*s, *k)).collect();
    for (section, kind) in sections {
        let (key, value) = match section {
            "" => ("title", "\"x\""),
            // A comment in its place.
            _ => ("# nothing", ""),
        };
        let text = file(section, kind, key, value);
        // A stick reads linear sensors only, and a single axis with a code of its own takes no converter.
        let of_sensor = section == "sensor" && kind != "linear";
        let found = mistakes(&text);
        assert!(
            found.is_empty() || of_sensor,
            "{section} {kind}: {found:?}\n{text}"
        );
    }
}

#[test]
fn every_key_is_read_and_holds_its_range() {
    for (key, kind) in every() {
        for value in bad(key.allowed) {
            let text = file(key.section, kind, key.name, &value);
            let found = mistakes(&text);
            assert!(
                refused(key, &found),
                "{} ({kind}) = {value} must be refused as such: {found:?}",
                key.path()
            );
        }
    }
}

#[test]
fn the_ends_of_a_range_are_within_it() {
    for (key, kind) in every() {
        for value in ends(key.allowed) {
            let text = file(key.section, kind, key.name, &value);
            let found = mistakes(&text);
            assert!(
                !refused(key, &found),
                "{} ({kind}) = {value}: {found:?}",
                key.path()
            );
        }
    }
}

#[test]
fn a_key_of_another_kind_is_told_with_its_kinds() {
    for key in KEYS.iter().filter(|key| !key.kinds.is_empty()) {
        for kind in kinds(key.section) {
            let here = KEYS.iter().any(|other| {
                (other.section, other.name) == (key.section, key.name)
                    && other.kinds.contains(&kind)
            });
            if here || kind.is_empty() {
                continue;
            }
            let found = mistakes(&file(key.section, kind, key.name, "1"));
            let told = found.iter().any(|mistake| {
                matches!(&*mistake.problem, Problem::OtherKind { word, kinds, .. }
                    if word == kind && kinds.contains(key.kinds[0]))
                    && mistake.key.ends_with(key.name)
            });
            assert!(told, "{} in {kind}: {found:?}", key.path());
        }
    }
}

#[test]
fn every_key_says_what_it_means() {
    for key in KEYS.iter() {
        let path = key.path();
        assert!(key.meaning.len() > 10, "{path}");
        let optional = key.need == yokewright::rig::Need::Optional;
        let default = [
            "left out: ",
            "In its place",
            "in place of",
            "needed ",
            "; needs ",
            "for ",
            "analog output",
        ];
        let says = default.iter().any(|words| key.meaning.contains(words))
            || key.section.ends_with("targets");
        assert!(
            !optional || says,
            "{path}: what if it is left out? {}",
            key.meaning
        );
        // Each kind is a word of the key that tells them apart.
        if !key.kinds.is_empty() {
            let by = key.kind_key().expect("its section has kinds");
            let row = KEYS
                .iter()
                .find(|other| (other.section, other.name) == (key.section, by))
                .expect("it is a key");
            let Allowed::Word(words) = row.allowed else {
                panic!("{by} is a word");
            };
            for kind in key.kinds {
                assert!(
                    words.all().iter().any(|word| word == kind),
                    "{path}: {kind}"
                );
            }
        }
    }
}
