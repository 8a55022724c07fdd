//! Builds of springs, feel, linkages and obstacles: against closed forms and brute force, and what reaches whom.

use nalgebra::{Point3, Vector3};
use yokewright::axis::{BuildRecord, Yield};
use yokewright::linkage::{Arm, BallRod, BallRodSpec, FootSide, Pedal, PedalMember, PedalPair};
use yokewright::rig::{
    Design, Evaluation, RigYield, RigYieldDemand, Target, VerdictState, YieldRoute,
};
use yokewright::units::{DEG, MM};

use super::linkages::pedals;
use super::sticks::STICK;
use super::{built, evaluated, with};

/// Two ways to one figure that is sought by halving, or read off polynomials.
const FOUND: f64 = 1e-6;

fn studied(text: &str, builds: u64) -> RigYield {
    let demand = RigYieldDemand {
        builds,
        confidence: 0.9999,
        keep: 1000,
        route: Some(YieldRoute::ReadAnew),
        ..RigYieldDemand::default()
    };
    let study = built(text).study_yields(&demand);
    study.unwrap_or_else(|error| panic!("{error}"))
}

fn yields<'f>(found: &'f RigYield, control: &str) -> &'f Yield {
    let control = found.control(control).expect("it is there");
    control.yields().expect("it varies")
}

/// The value of a figure in a build.
fn figure(yields: &Yield, build: &BuildRecord, name: &str) -> f64 {
    let place = yields
        .spreads()
        .iter()
        .position(|one| one.figure().name == name);
    build.figures[place.expect("it is told")].expect("it has a value")
}

/// Phi of a standard deviation: by its series about zero (Abramowitz and Stegun 26.2.10).
fn phi(x: f64) -> f64 {
    assert!(x.abs() < 3.0, "the series is for small arguments: {x}");
    let (mut term, mut sum) = (x, x);
    for n in 1..80 {
        let n = f64::from(n);
        term *= -x * x / (2.0 * n);
        sum += term / (2.0 * n + 1.0);
    }
    0.5 + sum / std::f64::consts::TAU.sqrt()
}

fn holds(yields: &Yield, exact: f64) {
    let interval = yields.interval();
    assert!(
        interval.low < exact && exact < interval.high,
        "{exact} {interval:?}"
    );
}

/// The lever on one spring about its pivot: rate times turn, over the 200 mm to the grip.
fn on_one_spring(rate: &str, friction: &str, targets: &str) -> String {
    let text = with(
        "kind = \"line\"\nrate_N_per_mm = 0.5\nfree_length_mm = 60.0\nlongest_mm = 130.0\n",
        &format!("kind = \"pivot\"\nrate_Nmm_per_deg = {rate}\n"),
    );
    let start = text.find("[[axis.feel.spring]]").expect("it is there");
    text[..start].replacen("[axis.feel]", &format!("{targets}[axis.feel]"), 1)
        + "[[axis.feel.spring]]\nspring = \"soft\"\nfree_deg = -40.0\nworks = \"above\"\n"
        + &format!("[[axis.feel.friction]]\ntorque_Nmm = {friction}\n")
}

const END: &str = "[axis.targets]\nend_force_max_N = 11.4\n";

#[test]
fn the_force_at_an_end_has_the_yield_of_the_normal_integral() {
    let normal = "{ value = 40.0, plus_minus = 2.0 }";
    let found = studied(&on_one_spring(normal, "0.0", END), 500);
    let yields = yields(&found, "lever");
    assert_eq!(yields.inputs(), ["spring.soft.rate_Nmm_per_deg"]);
    // At the upper end it is turned by 55 deg: 11.4 N at 200 mm is 41.45 N mm/deg, of a standard deviation of 1.
    holds(yields, phi(11.4 * 200.0 / 55.0 - 40.0));
    let force = yields.spread("greatest force at an end").expect("told");
    let nominal = force.nominal().expect("it is");
    assert!((nominal - 40.0 * 55.0 / 200.0).abs() < 1e-12, "{nominal}");
    // Linear in the rate, so that its spread is that of the rate.
    let spread = force.standard_deviation().expect("many");
    assert!((spread - 55.0 / 200.0).abs() < 0.1 * spread, "{spread}");
    // Friction adds to it: what is left for the spring, averaged over its uniform spread by Simpson's rule.
    let uniform = "{ value = 60.0, plus_minus = 50.0, distribution = \"uniform\" }";
    let targets = END.replace("11.4", "11.5");
    let found = studied(&on_one_spring(normal, uniform, &targets), 500);
    let cells = 200;
    let exact = (0..=cells).map(|i| {
        let weight = match i {
            0 => 1.0,
            i if i == cells => 1.0,
            i => 2.0 + 2.0 * f64::from(i % 2),
        };
        let friction = 10.0 + 100.0 * f64::from(i) / f64::from(cells);
        weight * phi((11.5 * 200.0 - friction) / 55.0 - 40.0)
    });
    let exact = exact.sum::<f64>() / 3.0 / f64::from(cells);
    let yields = self::yields(&found, "lever");
    assert_eq!(yields.inputs().len(), 2);
    holds(yields, exact);
}

#[test]
fn a_spring_past_its_limit_is_a_build_that_cannot_be() {
    // The lever's springs are pulled to the place farthest from their ends, at the lower end of the throw.
    let longest = (90.0 + 50.0 * (20.0 * DEG).sin()).hypot(50.0 * (1.0 - (20.0 * DEG).cos()));
    let limit = format!(
        "longest_mm = {{ value = {}, plus_minus = 2.0 }}",
        longest + 0.5
    );
    let text = with("longest_mm = 130.0", &limit);
    let text = text.replacen(
        "[axis.feel]",
        "[axis.targets]\nend_force_max_N = 1000.0\n[axis.feel]",
        1,
    );
    let found = studied(&text, 500);
    let yields = yields(&found, "lever");
    holds(yields, phi(0.5));
    let [failure] = yields.failures() else {
        panic!("one reason: {:?}", yields.failures())
    };
    assert_eq!(failure.reason, "spring past its limit");
    assert!(failure.text.contains("overstretched"), "{}", failure.text);
    assert_eq!(failure.count, 500 - yields.passed());
    // Nobody asks for its feel: then its springs reach no figure, and nothing of it varies.
    let found = studied(
        &text.replacen("end_force_max_N = 1000.0", "counts_min = 1.0", 1),
        10,
    );
    assert!(found.control("lever").expect("there").yields().is_none());
}

const ROD: &str = "[linkage.rod]\nkind = \"ball-joint rod\"\n\
    input_pivot_mm = [0.0, 0.0, 0.0]\ninput_axis = [0.0, 1.0, 0.0]\ninput_joint_mm = [0.0, 20.0, 60.0]\n\
    output_pivot_mm = [-150.0, 0.0, 0.0]\noutput_axis = [0.0, 1.0, 0.0]\noutput_joint_mm = [-150.0, 20.0, 25.0]\n\
    rod_mm = { value = 154.0, plus_minus = 25.0, distribution = \"uniform\" }\n";

#[test]
fn the_way_left_to_a_lock_is_that_of_the_linkage_of_each_build() {
    let text = with("[spring.soft]", &format!("{ROD}[spring.soft]"));
    let start = text.find("[axis.feel]").expect("it is there");
    let text = text[..start].replacen("lever_mm = 200.0", "drive = \"rod\"", 1);
    // More than any has, so that all builds are kept.
    let text = text + "[axis.targets]\nlock_margin_min_deg = 300.0\n";
    let found = studied(&text, 200);
    let yields = yields(&found, "lever");
    assert_eq!(yields.inputs(), ["linkage.rod.rod_mm"]);
    assert_eq!(yields.worst().len(), 200);
    let arm = |pivot: f64, joint: f64| {
        let at = |y: f64, z: f64| Point3::new(pivot * MM, y * MM, z * MM);
        Arm::new(at(0.0, 0.0), Vector3::y(), at(20.0, joint)).expect("an arm")
    };
    let (mut cannot, mut locks, mut told) = (0, 0, 0);
    for build in yields.worst() {
        let length = Some(build.inputs[0] * MM);
        let rod = BallRod::put_together(BallRodSpec {
            rod_length: length,
            ..BallRodSpec::new(arm(0.0, 60.0), arm(-150.0, 25.0))
        });
        let reason = build
            .failure
            .as_ref()
            .map(|failure| failure.reason.as_str());
        let Ok(rod) = rod else {
            assert_eq!(reason, Some("cannot be assembled"), "{length:?}");
            cannot += 1;
            continue;
        };
        let reach = rod.reach();
        let [below, above] = [reach.lower, reach.upper].map(|end| end.expect("it locks").input);
        let margin = (-20.0 * DEG - below).min(above - 15.0 * DEG);
        if margin < 0.0 {
            assert_eq!(reason, Some("locks"), "{length:?} {:?}", build.failure);
            locks += 1;
        } else {
            let got = figure(yields, build, "travel left to a lock") * DEG;
            assert!((got - margin).abs() < FOUND, "{length:?}: {got} {margin}");
            told += 1;
        }
    }
    // Each of the three is met.
    assert!(
        cannot > 10 && locks > 10 && told > 10,
        "{cannot} {locks} {told}"
    );
}

#[test]
fn swivel_and_rods_of_pedals_are_those_of_the_pair_of_each_build() {
    let wanted = "[axis.targets]\nrod_force_max_N = 1.0\nswivel_max_percent = 1.0\n[axis.feel]";
    let text = pedals().replacen("[axis.feel]", wanted, 1);
    let text = text.replacen(
        "[0.0, 70.0, 90.0]",
        "[0.0, 70.0, { value = 90.0, plus_minus = 3.0 }]",
        1,
    );
    let text = text.replacen(
        "-150.0, 45.0, 90.0]",
        "-150.0, { value = 45.0, plus_minus = 2.0 }, 90.0]",
        1,
    );
    let found = studied(&text, 30);
    let yields = yields(&found, "lever");
    assert_eq!(
        yields.inputs(),
        ["pedal.left.joint_mm.2", "linkage.rudder.crank_joint_mm.1"]
    );
    assert_eq!(yields.worst().len(), 30);
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    for build in yields.worst() {
        let [high, out] = [build.inputs[0] * MM, build.inputs[1] * MM];
        let arm = Arm::new(
            at(0.0, 120.0, 0.0),
            Vector3::y(),
            Point3::new(0.0, 70.0 * MM, high),
        );
        let arm = arm.and_then(|arm| arm.with_stud(Vector3::y(), Some(14.0 * DEG)));
        let left = Pedal::new(arm.expect("an arm"), at(-10.0, 120.0, 180.0), Vector3::x());
        let crank = Point3::new(-150.0 * MM, out, 90.0 * MM);
        let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), crank).expect("an arm");
        let pair = PedalPair::mirrored(left.expect("a pedal"), crank).expect("a pair");
        let angles = |steps: u32| {
            (0..=steps).map(move |n| (-12.0 + 23.0 * f64::from(n) / f64::from(steps)) * DEG)
        };
        let forces = angles(20).map(|angle| {
            let loads = pair
                .loads(FootSide::Left, angle, 1200.0)
                .expect("it bears it");
            loads.rod_force.abs().max(loads.other_rod_force.abs())
        });
        let (most, got) = (
            forces.fold(0.0, f64::max),
            figure(yields, build, "greatest force in a rod"),
        );
        assert!((got - most).abs() < FOUND * most, "{got} {most}");
        let swivels = angles(2000).flat_map(|angle| {
            let pose = pair.pose(PedalMember::Left, angle).expect("it closes");
            FootSide::ALL.map(|foot| {
                let joints = pair.rod(foot).joints(pose.of(foot.into()).angle);
                let [joint, end] = joints.expect("it closes");
                (end - joint).normalize().dot(&Vector3::y()).abs().asin()
            })
        });
        let most = 100.0 * swivels.fold(0.0, f64::max) / (14.0 * DEG);
        let got = figure(yields, build, "swivel of ball joints");
        // Greatest between two of the places at which it is looked at here: no more than the square of their distance.
        assert!((got - most).abs() < 1e-3, "{got} {most}");
    }
}

#[test]
fn a_panel_that_stands_elsewhere_has_the_yield_of_the_normal_integral() {
    let text = STICK.replacen(
        "center_mm = [300.0,",
        "center_mm = [{ value = 208.0, plus_minus = 20.0 },",
        1,
    );
    // Nothing else stands around it.
    let [from, to] = ["[[stick.obstacle]]\nname = \"thigh\"", "[stick.targets]"];
    let [from, to] = [from, to].map(|words| text.find(words).expect("it is there"));
    let text = text[..from].to_owned() + &text[to..];
    let found = studied(&text, 200);
    let yields = yields(&found, "stick");
    assert_eq!(yields.inputs(), ["stick.stick.obstacle.panel.center_mm.0"]);
    let spread = yields.spread("clearance of the stick").expect("it is told");
    let nominal = spread.nominal().expect("it is");
    // A wall across x goes as far off as it is moved, to the half millimeter to which it is found.
    let deviation = spread.standard_deviation().expect("many");
    assert!((deviation - 10.0).abs() < 1.5, "{deviation}");
    let exact = phi((nominal - 20.0) / 10.0);
    assert!(exact > 0.01 && exact < 0.99, "{nominal}");
    holds(yields, exact);
    // It is in the way of none of both axes.
    for axis in ["pitch", "roll"] {
        assert!(found.control(axis).expect("there").yields().is_none());
    }
}

#[test]
fn a_stick_as_a_whole_is_asked_for_its_yield() {
    let text = STICK
        .replacen(
            "center_mm = [300.0,",
            "center_mm = [{ value = 208.0, plus_minus = 20.0 },",
            1,
        )
        .replacen(
            "[stick.targets]",
            "[stick.targets]\nyield_min_percent = 99.5",
            1,
        );
    let evaluation = evaluated(&text);
    let verdict = |evaluation: &Evaluation| {
        let verdicts = evaluation.sticks()[0].verdicts().to_vec();
        let mut of_yield = verdicts
            .into_iter()
            .filter(|one| one.target() == Target::Yield);
        of_yield.next().expect("it is asked for")
    };
    assert_eq!(verdict(&evaluation).state(), VerdictState::NotStudied);
    let found = studied(&text, 200);
    let told = evaluation.with_yields(&found).expect("it is this design");
    let share = found.control("stick").expect("there").share();
    assert!(share > 0.01 && share < 0.99, "{share}");
    assert_eq!(verdict(&told).got(), Some(100.0 * share));
    assert_eq!(told.state(), VerdictState::Missed);
}

#[test]
fn a_tolerance_reaches_the_controls_that_use_it_and_no_other() {
    let text = STICK
        .replacen("rate_N_per_mm = 1.5", "rate_N_per_mm = { value = 1.5, plus_minus = 0.1 }", 1)
        .replacen("[300.0, 0.0, 400.0]", "[{ value = 300.0, plus_minus = 1.0 }, 0.0, 400.0]", 1)
        .replacen("gap_mm = 6.5", "gap_mm = { value = 6.5, plus_minus = 0.1 }", 1)
        .replacen("gap_mm = 7.5", "gap_mm = { value = 7.5, plus_minus = 0.1 }", 1)
        .replacen("throw_deg = [-9.0, 8.0]", "throw_deg = [-9.0, { value = 8.0, plus_minus = 0.1 }]", 1)
        .replacen(
            "[[stick]]",
            "[spring.spare]\nkind = \"pivot\"\nrate_Nmm_per_deg = { value = 5.0, plus_minus = 1.0 }\n[[stick]]",
            1,
        );
    let found = studied(&text, 10);
    let names: Vec<&str> = found.controls().iter().map(|one| one.name()).collect();
    assert_eq!(names, ["pitch", "roll", "stick"]);
    // Forces are asked of pitch: its springs, and how far both axes go.
    let throw = "stick.stick.inner.throw_deg.1";
    assert_eq!(
        yields(&found, "pitch").inputs(),
        [
            "spring.soft.rate_N_per_mm",
            "stick.stick.outer.gap_mm",
            throw
        ]
    );
    assert_eq!(
        yields(&found, "roll").inputs(),
        [throw, "stick.stick.inner.gap_mm"]
    );
    assert_eq!(
        yields(&found, "stick").inputs(),
        ["stick.stick.obstacle.panel.center_mm.0", throw]
    );
    assert_eq!(found.control("stick").expect("there").stick(), None);
    let [shared] = found.shared() else {
        panic!("one number moves several: {:?}", found.shared())
    };
    assert_eq!((shared.name.as_str(), shared.controls.len()), (throw, 3));
}

#[test]
fn forces_that_nothing_moves_are_those_of_the_design_on_the_fast_way_too() {
    let text = STICK.replacen(
        "gap_mm = 6.5",
        "gap_mm = { value = 6.5, plus_minus = 0.2 }",
        1,
    );
    let [side, anew] = [YieldRoute::SideBySide, YieldRoute::ReadAnew].map(|route| {
        let demand = RigYieldDemand {
            builds: 30,
            route: Some(route),
            ..RigYieldDemand::default()
        };
        let found = built(&text).study_yields(&demand).expect("it is studied");
        assert_eq!(found.control("pitch").expect("there").route(), route);
        found
    });
    let [side, anew] = [&side, &anew].map(|found| yields(found, "pitch"));
    for name in ["least force at an end", "centering error in counts"] {
        let [a, b] = [side, anew].map(|one| one.spread(name).expect("it is told"));
        for share in [0.0, 0.5, 1.0] {
            let [a, b] = [a, b].map(|one| one.quantile(share).expect("a share").expect("a value"));
            // Two ways to one gain: by polynomials and by itself.
            assert!((a - b).abs() < FOUND * b.abs(), "{name}: {a} {b}");
        }
    }
    let force = side.spread("least force at an end").expect("it is told");
    assert_eq!(force.ends().map(|[least, most]| least == most), Some(true));
}

/// Every target of a control that varies has in the design itself the figure of the evaluation, to the last bit.
fn same_as_evaluated(design: &Design) -> usize {
    let evaluation = design.evaluate(1001).expect("it sweeps");
    let demand = RigYieldDemand {
        builds: 2,
        route: Some(YieldRoute::ReadAnew),
        ..RigYieldDemand::default()
    };
    let found = design.study_yields(&demand).expect("it is studied");
    let of_axes = evaluation
        .axes()
        .iter()
        .map(|one| (one.name(), one.verdicts()));
    let of_sticks = evaluation
        .sticks()
        .iter()
        .map(|one| (one.name(), one.verdicts()));
    let mut compared = 0;
    for (name, verdicts) in of_axes.chain(of_sticks) {
        let Some(yields) = found.control(name).and_then(|one| one.yields()) else {
            continue;
        };
        let asked = found.control(name).expect("there").targets();
        for ((target, _), told) in asked.zip(yields.targets()) {
            let verdict = verdicts.iter().find(|verdict| verdict.target() == target);
            let spread = yields.spread(told.target.figure()).expect("it is told");
            assert_eq!(
                spread.nominal(),
                verdict.expect("it is evaluated").got(),
                "{name}: {target}"
            );
            compared += 1;
        }
    }
    compared
}

#[test]
fn the_design_itself_is_built_as_it_is_evaluated() {
    let rig = Design::load("examples/training_rig.toml").unwrap_or_else(|error| panic!("{error}"));
    assert!(same_as_evaluated(&rig) > 30);
    let wanted = "[axis.targets]\nend_force_min_N = 10.0\nend_force_max_N = 500.0\nbreakout_min_N = 1.0\n\
                  breakout_max_N = 30.0\ncentering_max_deg = 5.0\ncentering_max_counts = 100.0\n\
                  nonlinearity_max_deg = 1.0\nuncalibrated_error_max_deg = 1.0\nspring_safety_min = 1.0\n\
                  lock_margin_min_deg = 10.0\nswivel_max_percent = 90.0\nrod_force_max_N = 10000.0\n[axis.feel]";
    let text = pedals().replacen("[axis.feel]", wanted, 1);
    let text = text.replacen(
        "rate_N_per_mm = 8.0",
        "rate_N_per_mm = { value = 8.0, plus_minus = 0.5 }",
        1,
    );
    // Once with a load on the wiper, which bends as well.
    let loaded = text.replacen(
        "supply_V = 3.3\n",
        "supply_V = 3.3\nload_ohm = 100000.0\n",
        1,
    );
    for text in [text, loaded] {
        assert_eq!(same_as_evaluated(&built(&text)), 12);
    }
}
