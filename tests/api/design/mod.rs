//! Design files: what is read, and how mistakes are told.

mod by_hand;
mod every_key;
mod mechanics;
mod sticks;
mod stored;
mod tolerances;
mod whole_rig;
mod yields;

use yokewright::axis::{AnyArrangement, Arrangement, Measure};
use yokewright::hall::{Converter, Rounding};
use yokewright::rig::{Design, DesignError, KEYS, Key, Need, Problem, Target, VerdictState};

const GOOD: &str = include_str!("../../../examples/trainer_stick.toml");

/// Whether the shipped design has a section of a key, and of its kind.
fn in_the_example(key: &Key) -> bool {
    let sections = ["", "magnet", "sensor", "converter", "axis", "axis.targets"];
    let kinds = ["block", "linear", "swung"];
    sections.contains(&key.section)
        && (key.kinds.is_empty() || key.kinds.iter().any(|kind| kinds.contains(kind)))
        && !matches!(key.need, Need::Unless("polarization_mT"))
}

/// The shipped design with one piece of text replaced.
fn with(from: &str, to: &str) -> Result<Design, DesignError> {
    assert!(
        GOOD.contains(from),
        "the shipped design no longer has {from:?}"
    );
    Design::parse(&GOOD.replacen(from, to, 1), "stick.toml")
}

fn refused(from: &str, to: &str) -> DesignError {
    with(from, to).expect_err("this must be refused")
}

/// The line of a piece of text in the shipped design.
fn line_of(text: &str) -> usize {
    1 + GOOD[..GOOD.find(text).expect("it is there")]
        .matches('\n')
        .count()
}

/// The whole line of the shipped design that begins with a key.
fn line_with(key: &str) -> &'static str {
    GOOD.lines()
        .find(|line| line.starts_with(key))
        .expect("the key is there")
}

#[test]
fn the_shipped_design_is_evaluated() {
    let evaluation = with("title", "title")
        .expect("it is good")
        .evaluate(1001)
        .expect("it sweeps");
    assert_eq!(evaluation.axes().len(), 2);
    assert!(evaluation.state() < VerdictState::Missed);
    for axis in evaluation.axes() {
        assert_eq!(axis.verdicts().len(), 6);
        assert_eq!(axis.sweep().angle().len(), 1001);
    }
    let text = evaluation.to_string();
    assert!(
        text.contains("targets met") && text.contains("to spare"),
        "{text}"
    );
}

#[test]
fn the_json_holds_the_whole_result() {
    let evaluation = with("title", "title")
        .expect("it is good")
        .evaluate(11)
        .expect("it sweeps");
    let json: serde_json::Value =
        serde_json::from_str(&evaluation.to_json().expect("it can be written"))
            .expect("it is JSON");
    let axis = &json["axes"][0];
    assert_eq!(axis["name"], "pitch");
    assert_eq!(axis["sweep"]["flux"].as_array().map(Vec::len), Some(11));
    assert_eq!(axis["verdicts"][0]["sense"], "at least");
    assert!(axis["figures"]["gain_flux"].is_f64());
}

#[test]
fn an_unknown_key_is_told_with_what_was_meant() {
    let error = refused("gap_mm", "gap_nm");
    assert_eq!(error.line, line_of("gap_mm"));
    assert_eq!(error.key, "axis.gap_nm");
    let text = error.to_string();
    assert!(
        text.contains("did you mean gap_mm (a number from 0 to 200 mm)?"),
        "{text}"
    );
    assert!(text.starts_with("stick.toml, line "), "{text}");
}

#[test]
fn a_third_of_the_letters_may_be_wrong() {
    // Two letters too many, two others, three too few; one more is too much.
    for (key, given, meant) in [
        ("arm_mm", "arm_mmxx", true),
        ("arm_mm", "arx_mn", true),
        ("arm_mm", "xrx_mn", false),
        ("polarization_mT", "polrztion_mT", true),
        ("polarization_mT", "plrztin_mT", false),
    ] {
        let text = refused(key, given).to_string();
        let hint = format!("did you mean {key} (");
        assert_eq!(text.contains(&hint), meant, "{text}");
    }
}

#[test]
fn a_key_without_its_unit_is_told() {
    let text = refused("arm_mm", "arm").to_string();
    assert!(text.contains("did you mean arm_mm ("), "{text}");
}

#[test]
fn a_wrong_number_of_points_is_not_the_files_fault() {
    let design = with("title", "title").expect("it is good");
    let error = design.evaluate(2).expect_err("too few");
    assert_eq!(error.line, 0);
    assert!(
        error.to_string().contains("points of the sweep: 2 given"),
        "{error}"
    );
}

#[test]
fn a_unit_in_the_wrong_case_is_told() {
    let text = refused("polarization_mT", "polarization_mt").to_string();
    assert!(text.contains("did you mean polarization_mT ("), "{text}");
}

#[test]
fn a_magnet_of_five_meters_is_told() {
    let line = line_with("size_mm");
    let error = refused(line, "size_mm = [5000.0, 5.0, 5.0]");
    assert_eq!(error.line, line_of(line));
    let text = error.to_string();
    assert!(
        text.contains("[5000.0, 5.0, 5.0]") && text.contains("0.01 to 1000 mm"),
        "{text}"
    );
}

#[test]
fn a_throw_of_600_degrees_is_told() {
    let text = refused(line_with("throw_deg"), "throw_deg = [-300, 300]").to_string();
    assert!(
        text.contains("axis.throw_deg = [-300, 300]") && text.contains("-180 to 180 deg"),
        "{text}"
    );
}

#[test]
fn a_throw_without_the_center_is_told_in_degrees() {
    let text = refused(line_with("throw_deg"), "throw_deg = [5.0, 20.0]").to_string();
    assert!(
        text.contains("throw_deg = [5.0, 20.0]") && !text.contains("rad"),
        "{text}"
    );
}

#[test]
fn the_center_may_be_an_end_of_the_throw() {
    for throw in ["[0.0, 10.0]", "[-10.0, 0.0]"] {
        assert!(with(line_with("throw_deg"), &format!("throw_deg = {throw}")).is_ok());
    }
    for throw in ["[0.0, 0.0]", "[10.0, -10.0]", "[-5.0, -2.0]", "[2.0, 5.0]"] {
        let error = refused(line_with("throw_deg"), &format!("throw_deg = {throw}"));
        assert!(
            matches!(*error.problem, Problem::NotAllowed { .. }),
            "{error}"
        );
        assert_eq!(error.key, "axis.throw_deg");
    }
}

#[test]
fn wrong_types_are_told() {
    for (key, value) in [
        ("arm_mm", "\"fourteen\""),
        ("arm_mm", "true"),
        ("arm_mm", "[14.0]"),
        ("arm_mm", "nan"),
        ("arm_mm", "inf"),
        ("arm_mm", "1979-05-27"),
        ("bits", "12.5"),
        ("bits", "99"),
        ("bits", "99999999999999999999"),
        ("name", "7"),
        ("name", "\" \""),
        ("rounding", "\"up\""),
        ("size_mm", "[5.0, 5.0]"),
        ("size_mm", "5.0"),
        ("magnet =", "12"),
    ] {
        let key_name = key.trim_end_matches(" =");
        let error = refused(line_with(key), &format!("{key_name} = {value}"));
        assert_eq!(error.line, line_of(line_with(key)), "{key} = {value}");
        assert!(error.key.ends_with(key_name), "{error}");
        assert!(error.to_string().contains(value), "{error}");
        assert!(
            matches!(*error.problem, Problem::NotAllowed { .. }),
            "{error}"
        );
    }
}

#[test]
fn a_whole_number_does_for_a_number() {
    assert!(with(line_with("arm_mm"), "arm_mm = 14").is_ok());
}

#[test]
fn every_required_key_is_missed() {
    for key in KEYS
        .iter()
        .filter(|key| key.need != Need::Optional && in_the_example(key))
    {
        let wanted = format!("{} =", key.name);
        let line = line_with(&wanted);
        let error = refused(line, "");
        assert!(
            matches!(*error.problem, Problem::MissingKey { .. }),
            "{}: {error}",
            key.name
        );
        assert!(error.key.ends_with(key.name), "{error}");
        assert!(error.to_string().contains("is missing; give "), "{error}");
    }
}

#[test]
fn a_design_is_told_as_the_file_has_it() {
    let design = with(line_with("title"), "title = \"A stick\"").expect("it is good");
    assert_eq!(design.title(), "A stick");
    let names: Vec<&str> = design.axes().iter().map(|axis| axis.name()).collect();
    assert_eq!(names, ["pitch", "roll"]);
    let value = |line: &str| -> f64 {
        let value = line.split_whitespace().nth(2).expect("key = value");
        value.parse().expect("a number")
    };
    let axis = &design.axes()[0];
    // In the order of the table of targets, whatever that of the file.
    let set = Target::ALL
        .into_iter()
        .filter(|target| GOOD.contains(target.key()));
    let wanted: Vec<(Target, f64)> = set
        .map(|target| (target, value(line_with(target.key()))))
        .collect();
    assert_eq!(wanted.len(), 6);
    assert_eq!(axis.targets(), wanted);
    let arm = value(line_with("arm_mm"));
    let arrangement = axis.arrangement().expect("it has one");
    let built = axis.axis().expect("it goes together");
    assert!(matches!(arrangement, AnyArrangement::Swung(_)));
    let read = arrangement.measure(Measure::Arm).expect("it has an arm");
    assert!((read * 1000.0 - arm).abs() < 1e-12 * arm);
    assert_eq!(built.spec().sensor_pose, arrangement.sensor_pose());
    let evaluation = design.evaluate(11).expect("it sweeps");
    assert_eq!(evaluation.title(), "A stick");
    let evaluated = &evaluation.axes()[0];
    assert_eq!(
        (evaluated.name(), evaluated.arrangement()),
        ("pitch", Some(arrangement))
    );
    assert_eq!(evaluated.axis(), built);
    assert_eq!(evaluated.figures(), &built.figures(11).expect("it sweeps"));
}

#[test]
fn an_output_above_the_converter_is_noted() {
    // The sensor's highest output is its supply less the headroom.
    let supply: f64 = line_with("supply_V")
        .split_whitespace()
        .nth(2)
        .expect("a value")
        .parse()
        .expect("a number");
    let headroom = line_with("rail_headroom_V");
    for (reference, noted) in [
        (supply - 0.25, false),
        (supply, false),
        (supply - 0.5, true),
    ] {
        let text = GOOD.replacen(headroom, "rail_headroom_V = 0.25", 1);
        let text = text.replacen(
            line_with("reference_V"),
            &format!("reference_V = {reference:?}"),
            1,
        );
        let design = Design::parse(&text, "stick.toml").expect("it is good");
        let evaluation = design.evaluate(11).expect("it sweeps");
        let noted_here = evaluation.axes()[0]
            .notes()
            .iter()
            .any(|note| note.contains("above the converter's"));
        assert_eq!(noted_here, noted, "{reference}");
    }
}

#[test]
fn what_a_key_may_hold_is_told_in_words() {
    for (path, unit, allowed) in [
        ("title", "", "text"),
        (
            "magnet.NAME.polarization_mT",
            "mT",
            "3 numbers, each from -2500 to 2500 mT",
        ),
        ("sensor.NAME.supply_V", "V", "a number from 0.5 to 40 V"),
        (
            "sensor.NAME.sensitivity_mV_per_mT",
            "mV/mT",
            "a number from 0.1 to 2000 mV/mT",
        ),
        ("sensor.NAME.noise_mV", "mV", "a number from 0 to 100 mV"),
        ("sensor.NAME.direction", "", "3 numbers, each from -1 to 1"),
        ("converter.NAME.bits", "bits", "a whole number from 6 to 24"),
        (
            "converter.NAME.rounding",
            "",
            "one of \"nearest\", \"down\"",
        ),
        (
            "axis.throw_deg",
            "deg",
            "2 numbers, each from -180 to 180 deg",
        ),
        ("axis.magnet", "", "the name of a [magnet.NAME]"),
        ("axis.moving", "", "one of \"magnets\", \"sensor\""),
        ("axis.side", "", "one of \"outer\", \"inner\", \"axial\""),
        (
            "axis.offset_mm",
            "mm",
            "3 numbers, each from -200 to 200 mm",
        ),
        (
            "axis.targets.range_used_min_percent",
            "%",
            "a number from 0 to 100 %",
        ),
        (
            "axis.targets.effective_bits_min",
            "bits",
            "a number from 0 to 24 bits",
        ),
    ] {
        let key = KEYS.iter().find(|key| key.path() == path);
        let key = key.unwrap_or_else(|| panic!("{path} is a key"));
        assert_eq!(
            (key.unit(), key.allowed_text().as_str()),
            (unit, allowed),
            "{path}"
        );
    }
}

#[test]
fn parts_that_do_not_exist_are_told() {
    let text = refused("magnet = \"", "magnet = \"other_").to_string();
    assert!(
        text.ends_with("no such part; [magnet.NAME] has cube"),
        "{text}"
    );
    // Of many names the first twenty are told, in their order.
    let magnet = "size_mm = [5, 5, 5]\npolarization_mT = [0, 1300, 0]\n";
    let known = |count: usize| {
        let more: String = (1..count)
            .map(|i| format!("[magnet.m{i:02}]\n{magnet}"))
            .collect();
        let text = GOOD.replacen("magnet = \"cube\"", "magnet = \"none\"", 1) + &more;
        let error = Design::parse(&text, "stick.toml").expect_err("no such magnet");
        error
            .to_string()
            .lines()
            .next()
            .expect("a line")
            .rsplit(" has ")
            .next()
            .expect("names")
            .to_owned()
    };
    assert_eq!(known(3), "cube, m01, m02");
    let twenty: Vec<String> = (1..20).map(|i| format!("m{i:02}")).collect();
    let twenty = format!("cube, {}", twenty.join(", "));
    assert_eq!(known(20), twenty);
    assert_eq!(known(21), format!("{twenty} and 1 more"));
    assert_eq!(known(23), format!("{twenty} and 3 more"));
}

#[test]
fn two_axes_of_one_name_are_told() {
    let text = refused("name = \"roll\"", "name = \"pitch\"").to_string();
    assert!(
        text.contains("another axis or stick has this name"),
        "{text}"
    );
}

#[test]
fn a_file_without_axes_is_told() {
    let parse = |text| {
        Design::parse(text, "stick.toml")
            .expect_err("this must be refused")
            .to_string()
    };
    assert_eq!(
        parse("title = \"x\""),
        "stick.toml, line 1, column 1, axis is missing; give one or more [[axis]] or [[stick]]"
    );
    // What is not there has no line of its own: the first stands for it.
    assert!(parse("\ntitle = \"x\"").starts_with("stick.toml, line 1, column 1, axis is missing"));
    assert!(parse("").contains("title is missing"));
    assert!(parse("title = \"x\"\naxis = 3").contains("axis = 3"));
    assert!(parse("title = \"x\"\naxis = []").contains("axis = []: not allowed"));
    assert!(parse("title = \"x\"\nmagnet = 3").contains("magnet = 3"));
    assert!(parse("title = \"x\"\n[magnet]\ncube = 3").contains("magnet.cube = 3"));
    assert!(parse("title = \"x\"\n[magnets.cube]\n").contains("did you mean magnet?"));
}

#[test]
fn text_that_is_no_toml_is_told_with_its_line() {
    let error =
        Design::parse("title = \"x\"\n\n[magnet.cube\n", "stick.toml").expect_err("no TOML");
    assert_eq!(error.line, 3);
    assert!(matches!(*error.problem, Problem::Syntax { .. }));
    // A key given twice is TOML's to refuse.
    let error = Design::parse("title = \"x\"\ntitle = \"y\"\n", "stick.toml").expect_err("no TOML");
    assert_eq!(error.line, 2);
}

#[test]
fn a_file_that_is_not_there_is_told() {
    let error = Design::load("no/such/design.toml").expect_err("it is not there");
    let text = error.to_string();
    assert!(
        text.starts_with("no/such/design.toml: cannot be read"),
        "{text}"
    );
}

#[test]
fn values_that_do_not_go_together_are_told() {
    // Each in its own range, but the quiescent output would lie above the rail.
    let error = refused(line_with("quiescent_V"), "quiescent_V = 3.25");
    assert!(matches!(*error.problem, Problem::Refused(_)), "{error}");
    assert!(error.key.starts_with("sensor."), "{error}");
}

#[test]
fn one_axis_that_collides_leaves_the_others() {
    // The sensor of the first axis pushed 10 mm towards the pivot stands inside the magnet.
    let arm = line_with("arm_mm");
    let design =
        with(arm, &format!("{arm}\noffset_mm = [-10.0, 0.0, 0.0]")).expect("each is in range");
    let evaluation = design.evaluate(101).expect("the other axis sweeps");
    let names: Vec<&str> = evaluation.axes().iter().map(|axis| axis.name()).collect();
    assert_eq!(names, ["roll"]);
    let [broken] = evaluation.broken() else {
        panic!("one axis collides")
    };
    assert_eq!(
        (broken.name(), broken.line()),
        ("pitch", line_of("[[axis]]"))
    );
    assert!(broken.reason().contains("collide"), "{}", broken.reason());
    assert_eq!(evaluation.state(), VerdictState::Missed);
    let text = evaluation.to_string();
    assert!(text.contains("; 1 control cannot be evaluated"), "{text}");
    assert!(
        text.contains("pitch (line ") && text.contains("collide"),
        "{text}"
    );
    assert!(text.contains("roll: swung, arm 12.00 mm"), "{text}");
    let json: serde_json::Value =
        serde_json::from_str(&evaluation.to_json().expect("it can be written")).expect("JSON");
    assert_eq!(json["broken"][0]["name"], "pitch");
    assert!(
        json["broken"][0]["reason"]
            .as_str()
            .is_some_and(|text| text.contains("collide"))
    );
}

#[test]
fn an_error_of_a_value_keeps_its_text_among_those_of_files() {
    let both = || -> Result<(), DesignError> {
        with("title", "title")?;
        Converter::new(99, 5.0, Rounding::Nearest, 0.0)?;
        Ok(())
    };
    let error = Converter::new(99, 5.0, Rounding::Nearest, 0.0).expect_err("99 bits");
    let told = both().expect_err("99 bits");
    assert_eq!(told.to_string(), error.to_string());
    assert_eq!(*told.problem, Problem::Refused(error));
}

/// The shipped design with a sensitivity that drives the first axis, and the second, into the rails.
fn clipped(targets: &str) -> String {
    let line = line_with("sensitivity_mV_per_mT");
    let text = GOOD.replacen(line, "sensitivity_mV_per_mT = 30.0", 1);
    let first = text.find("[axis.targets]").expect("it is there");
    let next = text.find("# --- roll").expect("it is there");
    format!("{}[axis.targets]\n{targets}\n", &text[..first]) + &text[next..next]
}

#[test]
fn clipping_is_told_whatever_the_targets() {
    for targets in [
        "",
        "range_used_min_percent = 70",
        "range_used_min_percent = 70\nclipped_max_percent = 90",
    ] {
        let design = Design::parse(&clipped(targets), "stick.toml").expect("it is good");
        let evaluation = design.evaluate(101).expect("it sweeps");
        let axis = &evaluation.axes()[0];
        let part = axis.figures().clipped_share();
        assert!(part > 0.2 && part < 0.6, "{part}");
        assert!(
            axis.notes()
                .iter()
                .any(|note| note.contains("the reading is clipped over "))
        );
        let text = evaluation.to_string();
        assert!(text.contains("; 1 note"), "{text}");
        assert!(
            text.contains("note: the reading is clipped over "),
            "{text}"
        );
        if targets.is_empty() {
            continue;
        }
        // The range is used, but at the price of dead ends: the verdict says so.
        let verdict = &axis.verdicts()[0];
        assert_eq!(verdict.state(), VerdictState::Met);
        let but = verdict.qualification().expect("it is clipped");
        assert!(but.ends_with(" % of the throw is clipped"), "{but}");
        assert!(text.contains(&format!("to spare, but {but}")), "{text}");
    }
    // An open axis has nothing of the kind.
    let evaluation = with("title", "title")
        .expect("it is good")
        .evaluate(101)
        .expect("it sweeps");
    for axis in evaluation.axes() {
        assert!(axis.notes().is_empty());
        assert!(
            axis.verdicts()
                .iter()
                .all(|verdict| verdict.qualification().is_none())
        );
    }
    let text = evaluation.to_string();
    assert!(!text.contains("note"));
    // Nothing beside the targets: 11 of the 12 are met, one of the second axis is close.
    let headline = text.lines().nth(1);
    assert_eq!(headline, Some("11 of 12 targets met, 1 close, 0 missed"));
    assert_eq!(evaluation.state(), VerdictState::Close);
}

#[test]
fn all_mistakes_are_told_at_once_in_the_order_of_the_lines() {
    let text = GOOD
        .replacen("gap_mm = 3.3", "gap_nm = 3.3", 1)
        .replacen("depth_mm = 0.5", "depth_mm = 50.0", 1)
        .replacen("bits = 12", "bits = 99", 1)
        .replacen("title = ", "titles = ", 1)
        .replacen("side = \"outer\"", "side = \"outside\"", 1)
        .replacen("step_max_deg = 0.05", "step_max_deg = -1", 1)
        .replacen("arm_mm = 12.0", "", 1)
        .replacen("name = \"roll\"", "name = \"pitch\"", 1);
    let error = Design::parse(&text, "stick.toml").expect_err("it has eight slips");
    let all: Vec<&DesignError> = std::iter::once(&error).chain(&error.others).collect();
    let keys: Vec<&str> = all.iter().map(|mistake| mistake.key.as_str()).collect();
    assert_eq!(
        keys,
        [
            "titles",
            "sensor.linear.depth_mm",
            "converter.board.bits",
            "axis.side",
            "axis.gap_nm",
            "axis.targets.step_max_deg",
            "axis.arm_mm",
            "axis.name",
        ]
    );
    assert!(all.is_sorted_by_key(|mistake| mistake.line));
    let told = error.to_string();
    assert_eq!(told.lines().count(), 8, "{told}");
    assert!(
        told.lines()
            .all(|line| line.starts_with("stick.toml, line ")),
        "{told}"
    );
}

#[test]
fn one_slip_is_told_once() {
    let one_axis = &GOOD[..GOOD.find("[axis.targets]").expect("it is there")];
    // A part with a mistake is met again where an axis uses it; a section of a wrong name leaves its parts unknown.
    for (from, to) in [
        ("depth_mm = 0.5", "depth_mm = 50.0"),
        ("[magnet.cube]", "[magnets.cube]"),
        ("gap_mm = 3.3", "gap_nm = 3.3"),
        ("[[axis]]", "[[axes]]"),
    ] {
        let text = one_axis.replace(from, to);
        assert_ne!(text, one_axis);
        let error = Design::parse(&text, "stick.toml").expect_err("this must be refused");
        assert_eq!(error.others, [], "{error}");
    }
}

#[test]
fn lines_that_end_in_two_characters_count_once() {
    let text = GOOD
        .replacen("bits = 12", "bits = 99", 1)
        .replace('\n', "\r\n");
    let error = Design::parse(&text, "stick.toml").expect_err("99 bits");
    assert_eq!(error.line, line_of("bits = 12"));
    assert!(
        error.to_string().contains("bits = 99: not allowed"),
        "{error}"
    );
    assert!(!error.to_string().contains('\r'), "{error:?}");
    assert!(Design::parse(&GOOD.replace('\n', "\r\n"), "stick.toml").is_ok());
}

#[test]
fn what_is_repeated_is_cut_and_cannot_command_a_terminal() {
    let long = "x".repeat(5000);
    let cases = [
        ("magnet = \"cube\"", format!("magnet = \"{long}\"")),
        (
            "magnet = \"cube\"",
            "magnet = \"\\u001b[31mred\\u202e\"".to_owned(),
        ),
        ("gap_mm = 3.3", format!("gap_mm = \"{long}\"")),
        ("gap_mm = 3.3", format!("{long} = 1\ngap_mm = 3.3")),
        (
            "gap_mm = 3.3",
            "\"gap\\u001b[2J\" = 1\ngap_mm = 3.3".to_owned(),
        ),
        ("rounding = \"nearest\"", format!("rounding = \"{long}\"")),
    ];
    for (from, to) in cases {
        let text = refused(from, &to).to_string();
        assert!(text.len() < 1000, "{} characters", text.len());
        assert!(
            !text.contains(|c: char| c.is_control() || c == '\u{202e}'),
            "{text:?}"
        );
    }
    // A hundred slips are told up to a number.
    let many: String = (0..100).map(|i| format!("slip_{i} = 1\n")).collect();
    let error = refused("title = ", &format!("{many}title = "));
    assert_eq!(error.others.len(), 99);
    let text = error.to_string();
    assert!(
        text.ends_with("\nand 75 more") && text.lines().count() == 26,
        "{text}"
    );
    // Names of a design are shown, not obeyed.
    let evaluation = with("title = \"", "title = \"\\u001b[31m")
        .expect("any text will do")
        .evaluate(3);
    let text = evaluation.expect("it sweeps").to_string();
    assert!(text.starts_with("\\u{1b}[31m"), "{text:?}");
}

#[test]
fn what_is_too_much_is_not_short() {
    let line = line_with("linearity_max_percent");
    let design = with(line, "linearity_max_percent = 0.01").expect("it is good");
    let text = design.evaluate(101).expect("it sweeps").to_string();
    assert!(text.contains("points too much"), "{text}");
    let headline = text.lines().nth(1);
    assert_eq!(headline, Some("10 of 12 targets met, 1 close, 1 missed"));
    let line = line_with("range_used_min_percent");
    let design = with(line, "range_used_min_percent = 99.9").expect("it is good");
    let text = design.evaluate(101).expect("it sweeps").to_string();
    assert!(
        text.contains("points short of it") && text.contains("bits to spare"),
        "{text}"
    );
    assert!(!text.contains("% to spare"), "{text}");
}

#[test]
fn targets_are_met_close_or_missed() {
    let state = |wanted: f64| {
        let line = line_with("range_used_min_percent");
        let design =
            with(line, &format!("range_used_min_percent = {wanted:?}")).expect("it is good");
        let evaluation = design.evaluate(101).expect("it sweeps");
        let verdict = evaluation.axes()[0].verdicts()[0].clone();
        (verdict.state(), verdict.got().expect("it has a value"))
    };
    let (_, got) = state(50.0);
    assert_eq!(state(got * 0.999).0, VerdictState::Met);
    assert_eq!(state(got * 1.05).0, VerdictState::Close);
    assert_eq!(state(got * 1.15).0, VerdictState::Missed);
}
