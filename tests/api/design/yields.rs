//! Yields of design files: against closed forms, by both ways of building, and what is shared.

use yokewright::axis::Sampling;
use yokewright::rig::{
    Design, Evaluation, Problem, RigYield, RigYieldDemand, Target, VerdictState, YieldRoute,
};

/// Controls with a potentiometer each: the range used is the throw over the electrical travel, times supply over
/// reference. With 24 bits rounding to counts is of no account.
fn pots(travel: &str, reference: &str, rest: &str) -> String {
    format!(
        "title = \"two levers\"\n\
         [sensor.pot]\nkind = \"potentiometer\"\nsupply_V = 3.3\ntravel_deg = {travel}\n\
         [converter.fine]\nbits = 24\nreference_V = {reference}\n\
         [[axis]]\nname = \"flaps\"\nthrow_deg = [-35.0, 35.0]\nsensor = \"pot\"\nconverter = \"fine\"\n\
         [axis.targets]\nrange_used_min_percent = 23.2\nyield_min_percent = 60.0\n{rest}"
    )
}

const NORMAL: &str = "{ value = 300.0, plus_minus = 10.0 }";

fn parsed(text: &str) -> Design {
    Design::parse(text, "rig.toml").unwrap_or_else(|error| panic!("{error}"))
}

fn studied(text: &str, demand: &RigYieldDemand) -> RigYield {
    let study = parsed(text).study_yields(demand);
    study.unwrap_or_else(|error| panic!("{error}"))
}

fn demand(builds: u64) -> RigYieldDemand {
    RigYieldDemand {
        builds,
        confidence: 0.9999,
        ..RigYieldDemand::default()
    }
}

/// Phi of a standard deviation: by its series about zero, for |x| < 2 (Abramowitz and Stegun 26.2.10).
fn phi(x: f64) -> f64 {
    let (mut term, mut sum) = (x, x);
    for n in 1..60 {
        let n = f64::from(n);
        term *= -x * x / (2.0 * n);
        sum += term / (2.0 * n + 1.0);
    }
    0.5 + sum / std::f64::consts::TAU.sqrt()
}

#[test]
fn one_toleranced_number_gives_the_yield_of_its_closed_form() {
    let text = pots(NORMAL, "3.3", "");
    let found = studied(&text, &demand(500));
    let control = found.control("flaps").expect("it is there");
    // Travel up to 70 / 0.232 deg, with twice the standard deviation for the plus-minus.
    let exact = phi((70.0 / 0.232 - 300.0) / 5.0);
    let yields = control.yields().expect("it varies");
    let interval = yields.interval();
    assert!(
        interval.low < exact && exact < interval.high,
        "{exact} {interval:?}"
    );
    assert_eq!(yields.inputs(), ["sensor.pot.travel_deg"]);
    assert_eq!(control.route(), YieldRoute::ReadAnew);
    // Of one control the rig is that control.
    assert_eq!(found.passed(), yields.passed());
    // The median of the figure is that of the median part.
    let spread = yields.spread("range used").expect("it is told");
    let median = spread.quantile(0.5).expect("a share").expect("a value");
    assert!((median - 70.0 / 3.0).abs() < 0.05, "{median}");
    // Quasi-random builds tell it closer.
    let sobol = RigYieldDemand {
        sampling: Sampling::Sobol { replicates: 8 },
        ..demand(8 * 64)
    };
    let closer = studied(&text, &sobol).share();
    assert!((closer - exact).abs() < 1e-2, "{closer} {exact}");
}

#[test]
fn two_toleranced_numbers_give_the_yield_of_the_integral() {
    let reference = "{ value = 3.3, plus_minus = 0.05, distribution = \"uniform\" }";
    let found = studied(&pots(NORMAL, reference, ""), &demand(500));
    // The share of the travels that pass, averaged over the references by Simpson's rule.
    let cells = 200;
    let passing = |reference: f64| phi((70.0 / 0.232 * 3.3 / reference - 300.0) / 5.0);
    let exact = (0..=cells).map(|i| {
        let weight = if i == 0 || i == cells {
            1.0
        } else {
            2.0 + 2.0 * f64::from(i % 2)
        };
        weight * passing(3.25 + 0.1 * f64::from(i) / f64::from(cells))
    });
    let exact = exact.sum::<f64>() / 3.0 / f64::from(cells);
    let interval = found.interval();
    assert!(
        interval.low < exact && exact < interval.high,
        "{exact} {interval:?}"
    );
}

const SECOND: &str = "[[axis]]\nname = \"gear\"\nthrow_deg = [-35.0, 35.0]\nsensor = \"pot\"\nconverter = \"fine\"\n\
                      [axis.targets]\nrange_used_min_percent = 23.2\n";

#[test]
fn a_shared_part_moves_both_controls_together() {
    let found = studied(&pots(NORMAL, "3.3", SECOND), &demand(1000));
    let passed = |name| {
        found
            .control(name)
            .and_then(|one| one.yields())
            .map(|one| one.passed())
    };
    // The same part, the same figure: what one passes the other passes.
    assert_eq!(passed("flaps"), passed("gear"));
    assert_eq!(Some(found.passed()), passed("flaps"));
    assert_eq!(found.shared().len(), 1);
    assert_eq!(found.shared()[0].name, "sensor.pot.travel_deg");
    assert_eq!(found.shared()[0].controls, ["flaps", "gear"]);
    // Two parts of their own: the product.
    let own = SECOND.replace("\"pot\"", "\"other\"");
    let own = format!(
        "{own}[sensor.other]\nkind = \"potentiometer\"\nsupply_V = 3.3\ntravel_deg = {NORMAL}\n"
    );
    let found = studied(&pots(NORMAL, "3.3", &own), &demand(500));
    let one = phi((70.0 / 0.232 - 300.0) / 5.0);
    let interval = found.interval();
    assert!(
        interval.low < one * one && one * one < interval.high,
        "{interval:?}"
    );
    assert!(found.shared().is_empty());
}

#[test]
fn a_common_cause_moves_its_numbers_by_one_share() {
    // The same spread as a share of the number: 10 of 300 deg.
    let cause = format!(
        "{SECOND}[cause.wear]\nplus_minus_percent = 3.3333333333\nmoves = [\"sensor.pot.travel_deg\"]\n"
    );
    let found = studied(&pots("300.0", "3.3", &cause), &demand(500));
    let exact = phi((70.0 / 0.232 - 300.0) / 5.0);
    let interval = found.interval();
    assert!(
        interval.low < exact && exact < interval.high,
        "{exact} {interval:?}"
    );
    assert_eq!(found.shared()[0].name, "cause.wear");
}

#[test]
fn a_drawn_number_out_of_its_range_is_a_build_that_cannot_be() {
    // Travels below 5 deg are none; the throw needs more anyhow, so a wide part often cannot be.
    let text = pots("{ value = 100.0, plus_minus = 200.0 }", "3.3", "");
    let found = studied(&text, &demand(1000));
    let yields = found.controls()[0].yields().expect("it varies");
    let reasons: Vec<&str> = yields
        .failures()
        .iter()
        .map(|one| one.reason.as_str())
        .collect();
    assert!(
        reasons.contains(&"sensor.pot.travel_deg out of range"),
        "{reasons:?}"
    );
    // 95 deg, 0.95 standard deviations: 17 % of the builds.
    let off = yields
        .failures()
        .iter()
        .find(|one| one.reason.ends_with("travel_deg out of range"));
    let share = off.expect("told").count as f64 / 1000.0;
    assert!((share - phi(-0.95)).abs() < 0.05, "{share}");
    let text = &off.expect("told").text;
    assert!(text.contains("give a number from 5 to 3600 deg"), "{text}");
}

/// A stick's axis with everything toleranced that goes side by side.
const HALL: &str = "title = \"one lever\"\n\
    [magnet.cube]\nsize_mm = [{ value = 5.0, plus_minus = 0.1 }, 5.0, { value = 5.0, plus_minus = 0.1 }]\n\
    polarization_mT = [0.0, 1300.0, 0.0]\nremanence_percent = { value = 100.0, plus_minus = 4.0 }\n\
    [sensor.linear]\nsupply_V = 3.3\nnominal_supply_V = 3.3\nquiescent_V = { value = 1.65, plus_minus = 0.05 }\n\
    sensitivity_mV_per_mT = { value = 15.0, plus_minus = 0.6, distribution = \"uniform\" }\nrail_low_V = 0.2\n\
    rail_headroom_V = 0.2\nnoise_mV = 1.0\ndepth_mm = { value = 0.5, plus_minus = 0.1 }\n\
    [filter.input]\nresistance_ohm = 10000.0\ncapacitance_nF = 10.0\n\
    [averaging.firmware]\nsamples = 8\ninterval_ms = 0.1\n\
    [converter.board]\nbits = 12\nreference_V = 3.3\n\
    [[axis]]\nname = \"lever\"\nthrow_deg = [-6.0, 6.0]\nmagnet = \"cube\"\nsensor = \"linear\"\n\
    converter = \"board\"\nfilter = \"input\"\naveraging = \"firmware\"\nlever_mm = 200.0\n\
    arm_mm = { value = 12.0, plus_minus = 0.2 }\n\
    gap_mm = { value = 3.0, plus_minus = 0.3, distribution = \"triangular\" }\n\
    offset_mm = [0.0, { value = 0.0, plus_minus = 0.2 }, 0.0]\n\
    sensor_tilt_deg = [{ value = 0.0, plus_minus = 2.0 }, 0.0, 0.0]\n\
    [axis.targets]\nrange_used_min_percent = 30.0\nlinearity_max_percent = 1.0\nstep_max_deg = 0.02\n\
    nonlinearity_max_deg = 0.1\nuncalibrated_error_max_deg = 0.5\nstep_at_grip_max_mm = 0.1\n\
    gain_min_counts_per_deg = 100.0\n\
    [cause.printer]\nplus_minus_percent = 0.5\nmoves = [\"axis.lever.arm_mm\", \"axis.lever.gap_mm\"]\n";

/// How far the two ways may be apart in a figure, of it: what is found between the places at which builds side by side
/// are looked at, and rounding where each is computed by itself.
fn apart(figure: &str, side_by_side: bool) -> f64 {
    let found_between = ["linearity", "step", "bend", "before calibration"];
    let between = found_between.iter().any(|word| figure.contains(word));
    if side_by_side && between { 1e-2 } else { 1e-6 }
}

#[test]
fn both_ways_of_building_give_the_same_figures_of_the_same_draws() {
    // With the size of its package a sensor goes the long way of each build by itself.
    let packaged = HALL.replace("depth_mm", "package_mm = [4.0, 3.0, 1.5]\ndepth_mm");
    for (text, side_by_side) in [(HALL, true), (&packaged, false)] {
        let both = [YieldRoute::SideBySide, YieldRoute::ReadAnew].map(|route| {
            let demand = RigYieldDemand {
                builds: 60,
                route: Some(route),
                ..RigYieldDemand::default()
            };
            let found = studied(text, &demand);
            assert_eq!(found.controls()[0].route(), route);
            found
        });
        let [side, anew] = both
            .each_ref()
            .map(|found| found.controls()[0].yields().expect("it varies"));
        assert_eq!(side.inputs(), anew.inputs());
        assert_eq!(side.inputs().len(), 10);
        for (a, b) in side.spreads().iter().zip(anew.spreads()) {
            assert_eq!(a.figure(), b.figure());
            assert_eq!(a.count(), b.count());
            for share in [0.0, 0.1, 0.5, 0.9, 1.0] {
                let [a_value, b_value] =
                    [a, b].map(|spread| spread.quantile(share).expect("a share").expect("a value"));
                let off = (a_value - b_value).abs() / (1e-9 + b_value.abs());
                let most = apart(&a.figure().name, side_by_side);
                assert!(off < most, "{}: {a_value} {b_value}", a.figure());
            }
        }
        for (a, b) in side.targets().iter().zip(anew.targets()) {
            assert_eq!(a.target, b.target);
            assert!(
                a.passed.abs_diff(b.passed) <= 1,
                "{} {} {}",
                a.target,
                a.passed,
                b.passed
            );
        }
        // And the nominal figures are those of the evaluation.
        let evaluation = parsed(text).evaluate(1001).expect("it sweeps");
        for verdict in evaluation.axes()[0].verdicts() {
            let spread = side.spread(verdict.target().name()).expect("it is told");
            let (nominal, got) = (
                spread.nominal().expect("it is"),
                verdict.got().expect("it is"),
            );
            let off = (nominal - got).abs() / (1e-9 + got.abs());
            assert!(
                off < apart(verdict.target().name(), side_by_side),
                "{}: {nominal} {got}",
                verdict.target()
            );
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_rigs_and_json_brings_them_back() {
    let found = studied(HALL, &demand(100));
    assert_eq!(found, studied(HALL, &demand(100)));
    let text = found.to_json().expect("it is stored");
    assert_eq!(
        serde_json::from_str::<RigYield>(&text).expect("it is read"),
        found
    );
    let other = RigYieldDemand {
        seed: 2,
        ..demand(100)
    };
    assert_ne!(
        found.controls()[0].yields(),
        studied(HALL, &other).controls()[0].yields()
    );
    assert!(
        found.to_string().contains("rigs work in every control"),
        "{found}"
    );
}

#[test]
fn what_decides_is_told_in_a_line() {
    let asked = RigYieldDemand {
        importance_rows: Some(256),
        ..demand(100)
    };
    let found = studied(&pots(NORMAL, "3.3", ""), &asked);
    let decides = found.controls()[0].decides().expect("it was asked");
    assert!(
        decides.starts_with("sensor.pot.travel_deg decides: "),
        "{decides}"
    );
    // The only one there is: all of the variance, as well as 256 rows tell it.
    let share = decides.split(' ').nth(2);
    let share: f64 = share.and_then(|text| text.parse().ok()).expect("a share");
    assert!(share > 85.0, "{decides}");
}

#[test]
fn a_yield_is_a_target_that_is_met_only_after_a_study() {
    let design = parsed(&pots(
        NORMAL,
        "3.3",
        "[targets]\nyield_min_percent = 90.0\n",
    ));
    let evaluation = design.evaluate(1001).expect("it sweeps");
    let of = |evaluation: &Evaluation| {
        let verdicts = evaluation.axes()[0].verdicts().iter();
        let found = verdicts
            .clone()
            .find(|verdict| verdict.target() == Target::Yield);
        let verdict = found.expect("it is asked");
        (verdict.got(), verdict.state())
    };
    assert_eq!(of(&evaluation), (None, VerdictState::NotStudied));
    assert_eq!(evaluation.state(), VerdictState::NotStudied);
    let study = design.study_yields(&demand(1000)).expect("it is studied");
    let told = evaluation.with_yields(&study).expect("the same design");
    // 63 % against 60.
    assert_eq!(of(&told), (Some(100.0 * study.share()), VerdictState::Met));
    assert_eq!(told.verdicts()[0].state(), VerdictState::Missed);
    let other = parsed(HALL)
        .study_yields(&demand(100))
        .expect("it is studied");
    assert!(evaluation.with_yields(&other).is_err());
}

#[test]
fn nothing_that_varies_is_nothing_to_study() {
    let error = parsed(&pots("300.0", "3.3", ""))
        .study_yields(&demand(10))
        .expect_err("none");
    assert!(error.to_string().contains("tolerance"), "{error}");
}

#[test]
fn mistakes_of_causes_are_told_with_their_line_and_what_was_meant() {
    let text = pots(
        NORMAL,
        "3.3",
        "[cause.wear]\nplus_minus_percent = 1.0\nmoves = [\"sensor.pot.travel_de\"]\n",
    );
    let error = Design::parse(&text, "rig.toml").expect_err("no such number");
    assert_eq!((error.line, error.key.as_str()), (19, "cause.wear.moves"));
    assert!(
        error.to_string().contains("sensor.pot.travel_deg"),
        "{error}"
    );
    let text = pots(
        NORMAL,
        "3.3",
        "[cause.wear]\nplus_minus_percent = 0.0\nmoves = []\n",
    );
    let error = Design::parse(&text, "rig.toml").expect_err("nothing");
    assert_eq!(error.others.len(), 1, "{error}");
    assert!(matches!(*error.problem, Problem::NotAllowed { .. }));
}
