//! Cost, supply, latency, variants and slots of design files, by hand.

use yokewright::Error;
use yokewright::axis::{Axis, LatencyBudget};
use yokewright::rig::{Cost, Design, Supply, Target, VerdictState};
use yokewright::units::MS;

fn rig(rest: &str) -> String {
    format!(
        "title = \"rig\"\ncurrency = \"EUR\"\n\
         [sensor.pot]\nkind = \"potentiometer\"\nsupply_V = 3.3\ntravel_deg = 300.0\nprice = 1.5\ncurrent_mA = 0.4\n\
         [filter.input]\ncutoff_Hz = 1000.0\nprice = 0.1\n\
         [averaging.firmware]\nsamples = 9\ninterval_ms = 0.5\n\
         [converter.board]\nbits = 12\nreference_V = 3.3\nprice = 6.0\ncurrent_mA = 30.0\nconversion_ms = 0.02\n\
         oversampling = 4\n\
         [[axis]]\nname = \"flaps\"\nthrow_deg = [-35.0, 35.0]\nsensor = \"pot\"\nconverter = \"board\"\n\
         filter = \"input\"\naveraging = \"firmware\"\nprice = 2.0\n\
         [[axis]]\nname = \"gear\"\nthrow_deg = [-35.0, 35.0]\nsensor = \"pot\"\nconverter = \"board\"\n{rest}"
    )
}

const PARTS: &str = "[[part]]\nname = \"frame\"\nprice = 40.0\nnote = \"any timber yard\"\n\
    [[part]]\nname = \"shoulder bolt\"\nprice = 0.8\nquantity = 5\nused_by = [\"flaps\", \"gear\"]\n\
    [[part]]\nname = \"lamp\"\nused_by = [\"gear\"]\ncurrent_mA = 100.0\n";

fn parsed(text: &str) -> Design {
    Design::parse(text, "rig.toml").unwrap_or_else(|error| panic!("{error}"))
}

fn close(got: f64, by_hand: f64) {
    assert!(
        (got - by_hand).abs() < 1e-12 * (1.0 + by_hand.abs()),
        "{got} {by_hand}"
    );
}

#[test]
fn the_cost_is_what_a_hand_adds_up() {
    let evaluation = parsed(&rig(&format!("{PARTS}[targets]\nprice_max = 50.0\n")));
    let evaluation = evaluation.evaluate(1001).expect("it sweeps");
    let cost = evaluation.cost();
    // Two potentiometers, a filter, a board, the frame, five bolts, and what the flaps cost by themselves.
    close(cost.total(), 2.0 * 1.5 + 0.1 + 6.0 + 40.0 + 5.0 * 0.8 + 2.0);
    close(
        cost.of_control("flaps").expect("told"),
        1.5 + 0.1 + 3.0 + 2.0 + 2.0,
    );
    close(cost.of_control("gear").expect("told"), 1.5 + 3.0 + 2.0);
    let shares: f64 = cost.shares().iter().filter_map(|one| one.share()).sum();
    close(shares, 1.0);
    let rest = cost.shares().last().expect("the rig");
    assert_eq!(rest.name(), "rig");
    close(rest.amount(), 40.0);
    assert_eq!(evaluation.axes()[0].price(), cost.of_control("flaps"));
    let verdict = &evaluation.verdicts()[0];
    assert_eq!(
        (verdict.target(), verdict.state()),
        (Target::Price, VerdictState::Missed)
    );
    close(verdict.got().expect("told"), 55.1);
    // What has no price is on the bill all the same, and the rig says so.
    assert_eq!(
        cost.unpriced().map(|item| item.name()).collect::<Vec<_>>(),
        ["lamp"]
    );
    assert!(
        evaluation.notes()[0].contains("1 line"),
        "{:?}",
        evaluation.notes()
    );
    let csv = cost.to_csv().expect("it is written");
    assert!(
        csv.starts_with(
            "what,name,quantity,price,total,used by,note\nsensor,pot,2,1.5,3,\"flaps, gear\",\n"
        ),
        "{csv}"
    );
    assert!(
        csv.contains("part,frame,1,40,40,,any timber yard\n"),
        "{csv}"
    );
    let stored = serde_json::to_string(cost).expect("it is stored");
    assert_eq!(
        &serde_json::from_str::<Cost>(&stored).expect("it is read"),
        cost
    );
    assert!(
        serde_json::from_str::<Cost>(&stored.replace("\"quantity\":2", "\"quantity\":0")).is_err()
    );
}

#[test]
fn a_converter_is_bought_for_as_many_controls_as_it_has_channels() {
    let text = rig("").replace("oversampling = 4", "channels = 1");
    let evaluation = parsed(&text).evaluate(1001).expect("it sweeps");
    let board = evaluation
        .cost()
        .items()
        .iter()
        .find(|item| item.name() == "board");
    assert_eq!(board.map(|item| item.quantity()), Some(2));
}

#[test]
fn the_supply_is_summed_and_held_against_its_limit() {
    let with_limit = |limit| parsed(&rig(&format!("{PARTS}[supply]\nlimit_mA = {limit}\n")));
    let evaluation = with_limit("100.0").evaluate(1001).expect("it sweeps");
    let supply = evaluation.supply().expect("currents are told");
    close(supply.current(), 2.0 * 0.4e-3 + 30e-3 + 100e-3);
    let verdict = &evaluation.verdicts()[0];
    assert_eq!(
        (verdict.target(), verdict.state()),
        (Target::Current, VerdictState::Missed)
    );
    close(verdict.got().expect("told"), 130.8);
    assert!(
        evaluation.notes()[0].contains("130.8 mA"),
        "{:?}",
        evaluation.notes()
    );
    let stored = serde_json::to_string(supply).expect("it is stored");
    assert_eq!(
        &serde_json::from_str::<Supply>(&stored).expect("it is read"),
        supply
    );
    // Exactly at the limit it is met.
    let evaluation = with_limit("130.8").evaluate(1001).expect("it sweeps");
    assert_eq!(evaluation.verdicts()[0].state(), VerdictState::Met);
    assert!(!evaluation.notes().iter().any(|note| note.contains("mA")));
}

const STAGES: &str = "[[latency]]\nname = \"bus\"\nstage = \"bus polling\"\ndelay = \"polling\"\nb_interval = 8\n\
    [[latency]]\nname = \"work\"\ndelay = \"fixed\"\ntime_ms = 2.0\n\
    [[latency]]\nname = \"frame\"\nstage = \"simulator frame\"\ndelay = \"wait\"\ninterval_ms = 16.0\n\
    missed_percent = 10.0\n\
    [[latency]]\nname = \"host\"\ndelay = \"triangular\"\nshortest_ms = 0.0\nlikely_ms = 1.0\nlongest_ms = 5.0\n\
    [[latency]]\nname = \"display\"\ndelay = \"uniform\"\nshortest_ms = 1.0\nlongest_ms = 9.0\n\
    [[latency]]\nname = \"panel\"\ndelay = \"sample\"\ntimes_ms = [3.0, 5.0]\n";

#[test]
fn means_and_variances_of_the_stages_add_up() {
    let asked = "[axis.targets]\nlatency_max_ms = 40.0\n";
    let evaluation = parsed(&rig(&format!("{asked}{STAGES}")))
        .evaluate(1001)
        .expect("it sweeps");
    let budget =
        |place: usize| -> &LatencyBudget { evaluation.axes()[place].latency().expect("told") };
    let names: Vec<String> = budget(0)
        .stages()
        .iter()
        .map(|stage| stage.name().to_owned())
        .collect();
    assert_eq!(
        names[..4],
        [
            "filter before the converter",
            "conversion",
            "averaging of codes",
            "bus"
        ]
    );
    // One pole at 1 kHz; four conversions of 20 us, of which the middle tells; nine codes 0.5 ms apart.
    let own = [1.0 / std::f64::consts::TAU, 2.5 * 0.02, 4.0 * 0.5];
    let shared = 4.0 + 2.0 + (0.5 + 0.1) * 16.0 + 2.0 + 5.0 + 4.0;
    close(budget(0).mean() / MS, own.iter().sum::<f64>() + shared);
    // The gear lever has neither filter nor averaging.
    close(budget(1).mean() / MS, own[1] + shared);
    let variance =
        64.0 / 12.0 + 256.0 * (1.0 / 12.0 + 0.09) + (1.0 + 4.0 + 16.0) / 18.0 + 64.0 / 12.0 + 1.0;
    close((budget(0).standard_deviation() / MS).powi(2), variance);
    let [p5, p50, p95] = budget(1).percentiles();
    assert!(p5 < p50 && p50 < p95);
    let verdict = &evaluation.axes()[1].verdicts()[0];
    assert_eq!(
        (verdict.target(), verdict.got()),
        (Target::Latency, Some(p95 / MS))
    );
    // Without stages nothing is known of the host, so nothing is told.
    assert!(
        parsed(&rig("")).evaluate(1001).expect("it sweeps").axes()[0]
            .latency()
            .is_none()
    );
}

#[test]
fn mistakes_of_the_whole_rig_are_told_together() {
    let text = rig(
        "[[part]]\nname = \"bolt\"\nused_by = [\"flap\"]\n[[part]]\nprice = 1.0\nquantity = 0\n\
         [[latency]]\nname = \"conversion\"\ndelay = \"fixed\"\ntime_ms = 1.0\n\
         [[latency]]\nname = \"x\"\ndelay = \"fixed\"\nlongest_ms = 1.0\n[supply]\nlimit_A = 1.0\n",
    );
    let error = Design::parse(&text, "rig.toml").expect_err("mistakes");
    let all = error.to_string();
    for part in [
        "part.used_by",
        "flaps",
        "part.quantity",
        "part.name is missing",
        "latency.name",
        "does not belong to delay \"fixed\"",
        "did you mean limit_mA",
    ] {
        assert!(all.contains(part), "{part}: {all}");
    }
}

const VARIANTS: &str = "[[variant]]\nname = \"long\"\n\
    changes = { \"sensor.pot.travel_deg\" = 330.0, \"axis.gear.lever_mm\" = 100.0 }\n\
    [[variant]]\nname = \"plain\"\nchanges = { \"axis.flaps.throw_deg.0\" = -30.0 }\n\
    removes = [\"axis.flaps.filter\"]\n";

type Made<'a> = Result<&'a Axis, &'a Error>;

fn axes_of(design: &Design) -> Vec<Made<'_>> {
    design.axes().iter().map(|one| one.axis()).collect()
}

#[test]
fn a_variant_is_the_file_with_its_changes() {
    let design = parsed(&rig(VARIANTS));
    assert_eq!(design.variants(), ["long", "plain"]);
    let long = design.variant("long").expect("it is there");
    let by_hand = rig("").replace("300.0", "330.0");
    let by_hand = parsed(&format!("{by_hand}lever_mm = 100.0\n"));
    assert_eq!(axes_of(&long), axes_of(&by_hand));
    assert_eq!(long.variant_name(), Some("long"));
    assert_eq!(long.title(), "rig: long");
    let plain = design.variant("plain").expect("it is there");
    let axis = plain.axes()[0].axis().expect("it can be");
    assert!(axis.spec().filter.is_none());
    assert!((axis.throw()[0].to_degrees() + 30.0).abs() < 1e-12);
    // It is stored as what it is.
    let stored = serde_json::to_string(&long).expect("it is stored");
    assert_eq!(
        serde_json::from_str::<Design>(&stored).expect("it is read"),
        long
    );
    let error = design.variant("lon").expect_err("no such variant");
    assert!(error.to_string().contains("long"), "{error}");
}

#[test]
fn mistakes_of_a_variant_point_at_the_line_of_the_change() {
    for (change, line, part) in [
        (
            "\"sensor.pot.travel_deg\" = 3300000.0",
            23,
            "a number from 5 to 3600 deg",
        ),
        ("\"sensor.pot.travel_degr\" = 330.0", 23, "travel_deg"),
        (
            "\"sensors.pot.travel_deg\" = 330.0",
            23,
            "sensor.pot.travel_deg",
        ),
        (
            "\"axis.flap.throw_deg\" = [-3.0, 3.0]",
            23,
            "axis.flaps.throw_deg",
        ),
    ] {
        let text = rig(&format!(
            "[[variant]]\nname = \"v\"\nchanges = {{ {change} }}\n"
        ));
        let lines = text.lines().count();
        let error = Design::parse(&text, "rig.toml").expect_err(change);
        assert_eq!(error.line, lines, "{line}: {error}");
        assert!(error.to_string().contains(part), "{error}");
    }
}

#[test]
fn a_slot_keeps_its_setting_and_is_evaluated_at_both_ends() {
    let slot =
        |value: &str| rig("").replace("travel_deg = 300.0", &format!("travel_deg = {value}"));
    let design = parsed(&slot("{ value = 300.0, slot = [250.0, 350.0] }"));
    let slots: Vec<_> = design.slots().collect();
    assert_eq!(
        (slots.len(), slots[0].input(), slots[0].setting()),
        (1, "sensor.pot.travel_deg", 300.0)
    );
    assert_eq!((slots[0].ends(), slots[0].unit()), ([250.0, 350.0], "deg"));
    assert_eq!(design.axes(), parsed(&rig("")).axes());
    let ends = design.evaluate_slots().expect("they sweep");
    assert_eq!(
        ends.iter()
            .map(|one| one.control.as_str())
            .collect::<Vec<_>>(),
        ["flaps", "gear"]
    );
    let [low, high] = ends[0]
        .ends
        .each_ref()
        .map(|end| end.range_used.expect("it has one"));
    // 70 deg of the travel, to a count of 4095.
    assert!(
        (low - 28.0).abs() < 0.03 && (high - 20.0).abs() < 0.03,
        "{low} {high}"
    );
    // At either end it may stand, beyond it not.
    parsed(&slot("{ value = 250.0, slot = [250.0, 350.0] }"));
    for (value, part) in [
        (
            "{ value = 249.9, slot = [250.0, 350.0] }",
            "a value within its slot, 250 to 350 deg",
        ),
        (
            "{ value = 300.0, slot = [350.0, 250.0] }",
            "slot = [350.0, 250.0]: not allowed; give its ends, the lower one first, each from 5 to 3600 deg",
        ),
        (
            "{ value = 300.0, slot = [250.0] }",
            "its ends, the lower one first, each from 5 to 3600 deg",
        ),
        (
            "{ value = 300.0, slot = [250.0, 1e160] }",
            "its ends, the lower one first, each from 5 to 3600 deg",
        ),
    ] {
        let error = Design::parse(&slot(value), "rig.toml").expect_err(value);
        assert!(error.to_string().contains(part), "{error}");
    }
}
