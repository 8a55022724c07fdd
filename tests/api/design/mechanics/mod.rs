//! Springs, feel, linkages and what stands around a stick: what a file says is what is built by hand, and mistakes are
//! told.

mod builds;
mod linkages;
mod springs;
mod sticks;

use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Anchor, Bearing, Body, Breakout, Control, ControlSpec, Element, Friction, Way,
};
use yokewright::linkage::Pivot;
use yokewright::rig::{AxisEvaluation, Design, DesignError, Evaluation, FeelEvaluation};
use yokewright::spring::{LinearSpring, LinearSpringSpec, SpringAction};
use yokewright::units::{DEG, MM};

/// Two ways to one figure in double precision.
const SAME: f64 = 1e-12;

const LEVER: &str = r#"title = "a lever"
[sensor.pot]
kind = "potentiometer"
typical = "10 kilohm 300 degrees"
supply_V = 3.3
[converter.board]
typical = "12 bit 3.3 V"
[spring.soft]
kind = "line"
rate_N_per_mm = 0.5
free_length_mm = 60.0
longest_mm = 130.0
[[axis]]
name = "lever"
throw_deg = [-20.0, 15.0]
sensor = "pot"
converter = "board"
lever_mm = 200.0
[axis.feel]
pivot_mm = [0.0, 0.0, 0.0]
pivot_axis = [0.0, 1.0, 0.0]
grip_mm = [0.0, 0.0, 200.0]
[[axis.feel.spring]]
spring = "soft"
from_mm = [90.0, 0.0, 50.0]
to_mm = [0.0, 0.0, 50.0]
[[axis.feel.spring]]
spring = "soft"
from_mm = [-90.0, 0.0, 50.0]
to_mm = [0.0, 0.0, 50.0]
[[axis.feel.weight]]
mass_g = 150.0
at_mm = [0.0, 0.0, 180.0]
[[axis.feel.friction]]
torque_Nmm = 20.0
"#;

fn read(text: &str) -> Result<Design, DesignError> {
    Design::parse(text, "tests/lever.toml")
}

fn built(text: &str) -> Design {
    read(text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn evaluated(text: &str) -> Evaluation {
    built(text).evaluate(101).expect("it sweeps")
}

/// The lever with one piece of text replaced.
fn with(from: &str, to: &str) -> String {
    assert!(LEVER.contains(from), "{from}");
    LEVER.replacen(from, to, 1)
}

fn axis(evaluation: &Evaluation) -> &AxisEvaluation {
    let [axis] = evaluation.axes() else {
        panic!("one axis: {:?}", evaluation.broken())
    };
    axis
}

fn feel(evaluation: &Evaluation) -> &FeelEvaluation {
    axis(evaluation).feel().expect("the file gives it")
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * b.abs().max(1e-3)
}

fn both_near(a: Option<[f64; 2]>, b: [f64; 2]) -> bool {
    a.is_some_and(|a| near(a[0], b[0]) && near(a[1], b[1]))
}

fn anchor(body: Body, [x, y, z]: [f64; 3]) -> Anchor {
    Anchor::new(body, Point3::new(x * MM, y * MM, z * MM)).expect("a place")
}

#[test]
fn the_feel_of_a_lever_is_that_of_the_control_built_by_hand() {
    let spring = LinearSpring::new(LinearSpringSpec {
        longest: Some(130.0 * MM),
        ..LinearSpringSpec::new(0.5e3, 60.0 * MM, SpringAction::Above)
    })
    .expect("a spring");
    let hung = |x: f64| {
        let (from, to) = (
            anchor(Body::Ground, [x, 0.0, 50.0]),
            anchor(Body::Lever, [0.0, 0.0, 50.0]),
        );
        Element::line(yokewright::spring::LineSpring::from(spring), from, to)
    };
    let friction = Friction::in_bearing(Body::Lever, 0.02).expect("friction");
    let by_hand = Control::new(ControlSpec {
        elements: vec![
            hung(90.0),
            hung(-90.0),
            Element::Mass {
                mass: 0.15,
                at: anchor(Body::Lever, [0.0, 0.0, 180.0]),
            },
            Element::Friction(friction),
        ],
        ..ControlSpec::new(
            Bearing::Single(Pivot::new(Point3::origin(), Vector3::y()).expect("a pivot")),
            vec![[-20.0 * DEG, 15.0 * DEG]],
            Point3::new(0.0, 0.0, 200.0 * MM),
        )
    })
    .expect("it goes together");
    let design = built(LEVER);
    let named = design.axes()[0].feel().expect("the file gives it");
    assert_eq!(named.control().expect("it goes together"), &by_hand);
    let evaluation = evaluated(LEVER);
    let feel = feel(&evaluation);
    let [along] = feel.along() else {
        panic!("one angle")
    };
    assert_eq!(
        along.curve(),
        &by_hand.curve(Way::FIRST, 101).expect("a curve")
    );
    assert_eq!(
        along.centering(),
        &by_hand.centering(Way::FIRST).expect("rests")
    );
    // The torque by hand: two springs of 0.5 N/mm whose ends go 50 mm sin t, 150 g at 180 mm, friction 20 N mm.
    for (angle, force) in [
        (-20.0 * DEG, along.end_forces()[0]),
        (15.0 * DEG, along.end_forces()[1]),
    ] {
        let t: f64 = angle;
        let to = [50.0 * MM * t.sin(), 50.0 * MM * t.cos()];
        let mut torque = 0.15 * 9.806_65 * 180.0 * MM * t.sin();
        for x in [90.0 * MM, -90.0 * MM] {
            let way = [x - to[0], 50.0 * MM - to[1]];
            let length = way[0].hypot(way[1]);
            let tension = 500.0 * (length - 60.0 * MM);
            // Moment about y of a force in the plane of x and z: z Fx - x Fz.
            torque += (to[1] * way[0] - to[0] * way[1]) * tension / length;
        }
        let outward = -torque * t.signum() + 0.02;
        assert!(
            (force - outward / (200.0 * MM)).abs() < 1e-9,
            "{angle}: {force} {outward}"
        );
    }
    // What friction holds: 0.02 N m over the stiffness at the center, to first order.
    let stiffness = along.stiffness().expect("it rests");
    let error = along.centering().error.expect("it centers");
    assert!((error - 0.02 / stiffness).abs() < 1e-3 * error, "{error}");
    let counts = along.centering_counts().expect("it has a gain");
    let gain = axis(&evaluation).figures().gain_counts().abs();
    assert!(near(counts, error * gain));
    // 150 g at 180 mm swing on that stiffness.
    let swing = along.response().expect("it has mass");
    let inertia = 0.15 * (180.0 * MM) * (180.0 * MM);
    assert!(near(
        swing.natural_frequency(),
        (stiffness / inertia).sqrt()
    ));
    // Each spring: from the place that is nearest to the one that is farthest.
    let [fore, aft] = feel.springs() else {
        panic!("two springs")
    };
    let length = |x: f64, t: f64| (x - 50.0 * MM * t.sin()).hypot(50.0 * MM * (1.0 - t.cos()));
    let [lower, upper] = [-20.0 * DEG, 15.0 * DEG];
    let expected = [length(90.0 * MM, upper), length(90.0 * MM, lower)];
    assert!(
        both_near(fore.lengths, expected),
        "{:?} {expected:?}",
        fore.lengths
    );
    assert!(both_near(
        fore.tensions,
        expected.map(|l| 500.0 * (l - 60.0 * MM))
    ));
    assert!(both_near(
        aft.lengths,
        [length(-90.0 * MM, lower), length(-90.0 * MM, upper)]
    ));
    assert!(!fore.slack && !fore.past_limit && fore.safety.is_none());
    assert_eq!(feel.notes(), [] as [&str; 0]);
}

#[test]
fn findings_are_told_without_targets() {
    let notes = |text: &str| feel(&evaluated(text)).notes().join("; ");
    let slack = notes(&with(
        "from_mm = [90.0, 0.0, 50.0]",
        "from_mm = [65.0, 0.0, 50.0]",
    ));
    assert!(
        slack.contains("spring \"soft\": it carries nothing over part")
            || slack.contains("spring soft: it carries nothing over part"),
        "{slack}"
    );
    let long = notes(&with("longest_mm = 130.0", "longest_mm = 100.0"));
    assert!(
        long.contains("overstretched within the travel: pulled to"),
        "{long}"
    );
    let heavy = notes(&with("mass_g = 150.0", "mass_g = 5000.0"));
    assert!(heavy.contains("does not center"), "{heavy}");
    let evaluation = evaluated(&with("longest_mm = 130.0", "longest_mm = 100.0"));
    assert!(evaluation.to_string().contains("2 notes"), "{evaluation}");
    // A lever that friction holds wherever it is needs no center.
    let start = LEVER.find("[[axis.feel.spring]]").expect("it is there");
    let held = LEVER[..start].to_owned() + "[[axis.feel.friction]]\ntorque_Nmm = 400.0\n";
    assert_eq!(notes(&held), "");
}

#[test]
fn mistakes_are_told_at_their_keys() {
    for (from, to, key, told) in [
        (
            "rate_N_per_mm = 0.5",
            "rate_N_per_m = 0.5",
            "spring.soft.rate_N_per_m",
            "rate_N_per_mm",
        ),
        (
            "rate_N_per_mm = 0.5",
            "rate_N_per_mm = 1e9",
            "spring.soft.rate_N_per_mm",
            "10000 N/mm",
        ),
        (
            "kind = \"line\"",
            "kind = \"lime\"",
            "spring.soft.kind",
            "\"captured\"",
        ),
        (
            "longest_mm = 130.0",
            "wire_mm = 1.0",
            "spring.soft.wire_mm",
            "compression, extension, torsion",
        ),
        (
            "spring = \"soft\"",
            "spring = \"hard\"",
            "axis.feel.spring.spring",
            "soft",
        ),
        (
            "to_mm = [0.0, 0.0, 50.0]",
            "to_nm = [0.0, 0.0, 50.0]",
            "axis.feel.spring.to_nm",
            "to_mm",
        ),
        (
            "to_mm = [0.0, 0.0, 50.0]",
            "to_mm = [0.0, 0.0, 50.0]\nfree_deg = 3.0",
            "axis.feel.spring.free_deg",
            "along a line",
        ),
        (
            "to_mm = [0.0, 0.0, 50.0]",
            "to_mm = [0.0, 0.0, 50.0]\nto_on = \"driven\"",
            "axis.feel.spring.to_on",
            "this control has",
        ),
        (
            "to_mm = [0.0, 0.0, 50.0]",
            "to_mm = [0.0, 0.0, 50.0]\nto_on = \"ring\"",
            "axis.feel.spring.to_on",
            "\"other pedal\"",
        ),
        (
            "mass_g = 150.0",
            "mass_kg = 0.15",
            "axis.feel.weight.mass_kg",
            "mass_g",
        ),
        (
            "torque_Nmm = 20.0",
            "torque_Nmm = 20.0\ncoefficient = 0.1",
            "axis.feel.friction.coefficient",
            "torque_Nmm",
        ),
        (
            "[[axis.feel.friction]]",
            "[[axis.feel.fricton]]",
            "axis.feel.fricton",
            "friction",
        ),
        (
            "pivot_axis = [0.0, 1.0, 0.0]\n",
            "",
            "axis.feel.pivot_axis",
            "3 numbers",
        ),
        (
            "grip_mm = [0.0, 0.0, 200.0]\n",
            "",
            "axis.feel.grip_mm",
            "3 numbers",
        ),
        (
            "[[axis.feel.weight]]",
            "[axis.feel.weight]",
            "axis.feel.weight",
            "one or more [[axis.feel.weight]]",
        ),
    ] {
        let text = with(from, to);
        let error = read(&text).expect_err(to);
        let all = std::iter::once(&error).chain(&error.others);
        let found = all.clone().find(|one| one.key == key);
        let found = found.unwrap_or_else(|| panic!("{key}: {error}"));
        assert!(found.to_string().contains(told), "{told}: {found}");
        assert!(found.line > 0);
    }
}

#[test]
fn a_breakout_and_a_cam_hold_a_lever() {
    let text = LEVER.to_owned()
        + "[[axis.feel.breakout]]\npreload_Nmm = 300.0\nrate_Nmm_per_deg = 5.0\n\
           [[axis.feel.cam]]\npoints_deg_and_mm = [[-30.0, 3.0], [0.0, 0.0], [30.0, 3.0]]\npreload_N = 4.0\n\
           rate_N_per_mm = 0.5\n";
    let design = built(&text);
    let control = design.axes()[0]
        .feel()
        .expect("given")
        .control()
        .expect("it goes together");
    let breakout = Breakout::new(Body::Lever, 0.3, 0.005 / DEG, 0.0).expect("a breakout");
    assert!(
        control
            .spec()
            .elements
            .contains(&Element::Breakout(breakout))
    );
    let cam = control
        .spec()
        .elements
        .iter()
        .find_map(|element| match element {
            Element::Cam(cam) => Some(cam.spec()),
            _ => None,
        });
    let cam = cam.expect("a cam");
    assert_eq!(cam.angles, [-30.0 * DEG, 0.0, 30.0 * DEG]);
    assert_eq!(
        (cam.lifts[0], cam.preload, cam.rate),
        (3.0 * MM, 4.0, 500.0)
    );
    let evaluation = evaluated(&text);
    let along = &feel(&evaluation).along()[0];
    // Preload and friction over the arm of the grip: the cam and the springs have no slope at the center.
    let expected = (0.3 + 0.02) / (200.0 * MM);
    let breakout = along.centering().breakout_up.expect("it rests");
    assert!((breakout - expected).abs() < 1e-9, "{breakout} {expected}");
    // The torque jumps at the center, so that it does not swing there as a spring does.
    assert!(along.response().is_none());
}
