//! Pedals and their linkage: what they weigh, how far they go, what their rods bear.

use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Bearing, Body, CapturedSpring, Control, ControlSpec, Drive, Element, Friction, GuidanceMotion,
    Way,
};
use yokewright::linkage::{Arm, FootSide, Pedal, PedalMember, PedalPair, Pivot};
use yokewright::rig::{Target, VerdictState};
use yokewright::units::{DEG, MM};

use super::{anchor, axis, both_near, built, evaluated, feel, near, with};

const PEDALS: &str = r#"[pedal.left]
hinge_mm = [0.0, 120.0, 0.0]
hinge_axis = [0.0, 1.0, 0.0]
joint_mm = [0.0, 70.0, 90.0]
stud = [0.0, 1.0, 0.0]
swivel_deg = 14.0
pad_mm = [-10.0, 120.0, 180.0]
push = [1.0, 0.0, 0.0]
stops_deg = [-15.0, 15.0]
[linkage.rudder]
kind = "pedals"
left = "left"
crank_pivot_mm = [-150.0, 0.0, 90.0]
crank_axis = [0.0, 0.0, 1.0]
crank_joint_mm = [-150.0, 45.0, 90.0]
from = "left"
to = "crank"
[spring.collars]
kind = "captured"
rate_N_per_mm = 8.0
neutral_length_mm = 90.0
preload_N = 40.0
stroke_mm = 20.0
"#;

/// The lever as a pedal: by default it turns and is held as the pedal does.
pub(super) fn pedals() -> String {
    let text = with("[spring.soft]", &format!("{PEDALS}[spring.soft]"));
    let text = text.replacen(
        "lever_mm = 200.0",
        "drive = \"rudder\"\nfoot_force_N = 1200.0",
        1,
    );
    let text = text.replacen("throw_deg = [-20.0, 15.0]", "throw_deg = [-12.0, 11.0]", 1);
    let start = text
        .find("pivot_mm = [0.0, 0.0, 0.0]\n")
        .expect("it is there");
    text[..start].to_owned()
        + "operated = \"pedals\"\nmotion = \"yaw\"\n[[axis.feel.spring]]\nspring = \"collars\"\n\
           from_mm = [-240.0, 30.0, 90.0]\nto_mm = [-150.0, 30.0, 90.0]\nto_on = \"driven\"\n\
           [[axis.feel.weight]]\nmass_g = 900.0\nat_mm = [0.0, -120.0, 120.0]\non = \"other pedal\"\n\
           [[axis.feel.friction]]\ncoefficient = 0.1\nradius_mm = 6.0\nload_N = 300.0\n"
}

fn pair() -> PedalPair {
    let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
    let arm = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0))
        .and_then(|arm| arm.with_stud(Vector3::y(), Some(14.0 * DEG)));
    let left = Pedal::new(arm.expect("an arm"), at(-10.0, 120.0, 180.0), Vector3::x())
        .and_then(|left| left.with_stops(-15.0 * DEG, 15.0 * DEG));
    let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0));
    PedalPair::mirrored(left.expect("a pedal"), crank.expect("an arm")).expect("a pair")
}

#[test]
fn pedals_turn_and_weigh_on_both_feet() {
    let pair = pair();
    let pedal = pair.pedal(FootSide::Left);
    let pivot = |arm: Arm| Pivot::new(arm.pivot(), arm.direction()).expect("a pivot");
    let friction = Friction::in_bearing(Body::Lever, 0.1 * 6.0 * MM * 300.0).expect("friction");
    let by_hand = Control::new(ControlSpec {
        driven: vec![
            Drive::new(
                pivot(pair.crank_arm(FootSide::Left)),
                Body::Lever,
                pair.transmission(PedalMember::Left, PedalMember::Crank),
            ),
            Drive::new(
                pivot(pair.pedal(FootSide::Right).arm()),
                Body::Lever,
                pair.transmission(PedalMember::Left, PedalMember::Right),
            ),
        ],
        elements: vec![
            Element::line(
                CapturedSpring::new(90.0 * MM, 40.0, 8e3, 20.0 * MM).expect("a spring"),
                anchor(Body::Ground, [-240.0, 30.0, 90.0]),
                anchor(Body::Driven(0), [-150.0, 30.0, 90.0]),
            ),
            Element::Mass {
                mass: 0.9,
                at: anchor(Body::Driven(1), [0.0, -120.0, 120.0]),
            },
            Element::Friction(friction),
        ],
        ..ControlSpec::new(
            Bearing::Single(pivot(pedal.arm())),
            vec![[-12.0 * DEG, 11.0 * DEG]],
            pedal.pad(),
        )
    })
    .expect("it goes together");
    let evaluation = evaluated(&pedals());
    let feel = feel(&evaluation);
    let [along] = feel.along() else {
        panic!("one angle")
    };
    let curve = by_hand.curve(Way::FIRST, 101).expect("a curve");
    for (a, b) in along.curve().force.iter().zip(&curve.force) {
        assert!((a - b).abs() < 1e-9, "{a} {b}");
    }
    assert_eq!(along.curve().len(), curve.len());
    // Preload times arm, over the pad's radius, friction on top: about what it takes to set them in motion.
    let breakout = along.centering().breakout_up.expect("it rests");
    let ratio = pair
        .pose(PedalMember::Left, 0.0)
        .expect("neutral")
        .crank
        .ratio
        .abs();
    let rest = (0.1 * 6.0 * MM * 300.0) / pedal.pad_radius();
    let preload = 40.0 * 30.0 * MM * ratio / pedal.pad_radius();
    assert!(
        (breakout - rest - preload).abs() < 0.1 * breakout,
        "{breakout} {rest} {preload}"
    );
    assert!(!along.guidance().is_empty());
    assert_eq!(
        built(&pedals()).axes()[0].feel().expect("given").motions(),
        [GuidanceMotion::Yaw]
    );
    let collars = &feel.springs()[0];
    let [shortest, longest] = collars.lengths.expect("along a line");
    assert!(shortest < 90.0 * MM && longest > 90.0 * MM);
    assert!(both_near(
        collars.tensions,
        [
            -40.0 + 8e3 * (shortest - 90.0 * MM),
            40.0 + 8e3 * (longest - 90.0 * MM)
        ]
    ));
}

#[test]
fn a_linkage_tells_ratio_lock_swivel_and_loads() {
    let pair = pair();
    let evaluation = evaluated(&pedals());
    let linkage = axis(&evaluation).linkage().expect("it has a drive");
    let pose = |angle: f64| {
        pair.pose(PedalMember::Left, angle * DEG)
            .expect("it closes")
            .crank
    };
    assert_eq!(linkage.output(), [pose(-12.0).angle, pose(11.0).angle]);
    assert_eq!(
        linkage.ratios(),
        [pose(-12.0), pose(0.0), pose(11.0)].map(|at| at.ratio)
    );
    let pad = |angle: f64| {
        pair.pad(FootSide::Left, angle * DEG)
            .expect("it goes there")
            .advance
    };
    assert_eq!(linkage.pad_travel(), Some([pad(-12.0), pad(11.0)]));
    // A lock is where a rod and an arm stretch into a line: nothing turns the pedal further. Sought by halving.
    let locks = [-1.0_f64, 1.0].map(|sense| {
        let neutral = pair.pose(PedalMember::Left, 0.0).expect("neutral");
        // Where the other pedal turns back it locks for the other foot.
        let closes = |angle: f64| {
            let pose = pair.pose(PedalMember::Left, sense * angle);
            pose.is_ok_and(|pose| pose.right.ratio * neutral.right.ratio > 0.0)
        };
        let (mut on, mut off) = (0.0_f64, 1.5_f64);
        // The first angle that does not close lies within this step.
        let step = (1..150)
            .map(|n| 0.01 * f64::from(n))
            .find(|angle| !closes(*angle));
        if let Some(step) = step {
            (on, off) = (step - 0.01, step);
        }
        for _ in 0..60 {
            let middle = 0.5 * (on + off);
            if closes(middle) {
                on = middle;
            } else {
                off = middle;
            }
        }
        on
    });
    let [below, above] = linkage
        .lock_margins()
        .map(|margin| margin.expect("it locks"));
    assert!(
        (below - (locks[0] - 12.0 * DEG)).abs() < 1e-6,
        "{below} {locks:?}"
    );
    assert!(
        (above - (locks[1] - 11.0 * DEG)).abs() < 1e-6,
        "{above} {locks:?}"
    );
    // Swivel at the pedals by hand: how far the rod leaves the plane across the stud, over many places.
    let most = |foot: FootSide| {
        let rod = pair.rod(foot);
        let angles = (0..=2000).map(|n| -12.0 + 23.0 * f64::from(n) / 2000.0);
        let swivels = angles.map(|angle| {
            let own = pair
                .pose(PedalMember::Left, angle * DEG)
                .expect("it closes");
            let [joint, end] = rod.joints(own.of(foot.into()).angle).expect("it closes");
            let along = (end - joint).normalize();
            along.dot(&Vector3::y()).abs().asin()
        });
        swivels.fold(0.0, f64::max)
    };
    let [left, right] = linkage.joints() else {
        panic!("a stud at each pedal: {:?}", linkage.joints())
    };
    assert_eq!(left.joint, "left rod at the pedal");
    assert!(
        (left.swivel - most(FootSide::Left)).abs() < 1e-6,
        "{}",
        left.swivel
    );
    assert!(
        (right.swivel - most(FootSide::Right)).abs() < 1e-6,
        "{}",
        right.swivel
    );
    assert_eq!(left.rated, Some(14.0 * DEG));
    // Statics by hand at the place of the greatest load: torque of the foot over the arm of the rod.
    let rod = linkage
        .rods()
        .iter()
        .find(|rod| rod.rod == "left rod")
        .expect("loaded");
    let loads = pair
        .loads(FootSide::Left, rod.angle, 1200.0)
        .expect("it bears it");
    assert_eq!(rod.force, loads.rod_force);
    let [joint, end] = pair
        .rod(FootSide::Left)
        .joints(rod.angle)
        .expect("it closes");
    let along = (end - joint).normalize();
    let hinge = pair.pedal(FootSide::Left).arm().pivot();
    let arm = (joint - hinge).cross(&along).dot(&Vector3::y());
    let pad = pair.pad(FootSide::Left, rod.angle).expect("it goes there");
    let torque = 1200.0 * (pad.point - hinge).cross(&Vector3::x()).dot(&Vector3::y());
    assert!((rod.force.abs() - (torque / arm).abs()).abs() < 1e-6 * rod.force.abs());
    // The ends of the drive itself are the stops.
    let ends = [&linkage.reach().lower, &linkage.reach().upper];
    assert!(
        ends.into_iter()
            .flatten()
            .any(|end| end.limit.contains("stop"))
    );
}

#[test]
fn targets_of_feel_and_linkage_are_answered() {
    let wanted = "[axis.targets]\nend_force_min_N = 10.0\nend_force_max_N = 500.0\nbreakout_min_N = 1.0\n\
                  breakout_max_N = 30.0\ncentering_max_deg = 5.0\ncentering_max_counts = 100.0\n\
                  lock_margin_min_deg = 10.0\nswivel_max_percent = 90.0\nrod_force_max_N = 10000.0\n\
                  spring_safety_min = 1.0\n[axis.feel]";
    let text = pedals().replacen("[axis.feel]", wanted, 1);
    let evaluation = evaluated(&text);
    let axis = axis(&evaluation);
    let along = &axis.feel().expect("given").along()[0];
    let linkage = axis.linkage().expect("given");
    let got = |target: Target| {
        let mut verdicts = axis.verdicts().iter();
        let verdict = verdicts.find(|verdict| verdict.target() == target);
        verdict.unwrap_or_else(|| panic!("{target:?}")).got()
    };
    let [lower, upper] = along.end_forces();
    assert_eq!(got(Target::EndForceMin), Some(lower.min(upper)));
    assert_eq!(got(Target::EndForceMax), Some(lower.max(upper)));
    let centering = along.centering();
    let breakouts =
        [centering.breakout_up, centering.breakout_down].map(|force| force.expect("it rests"));
    assert_eq!(
        got(Target::BreakoutMin),
        Some(breakouts[0].min(breakouts[1]))
    );
    assert_eq!(
        got(Target::BreakoutMax),
        Some(breakouts[0].max(breakouts[1]))
    );
    assert_eq!(
        got(Target::Centering),
        centering.error.map(|error| error / DEG)
    );
    assert_eq!(got(Target::CenteringCounts), along.centering_counts());
    let [below, above] = linkage
        .lock_margins()
        .map(|margin| margin.expect("it locks"));
    assert_eq!(got(Target::LockMargin), Some(below.min(above) / DEG));
    let swivel = linkage
        .joints()
        .iter()
        .map(|joint| joint.swivel)
        .fold(0.0, f64::max);
    assert!(near(
        got(Target::Swivel).expect("rated"),
        100.0 * swivel / (14.0 * DEG)
    ));
    let force = linkage
        .rods()
        .iter()
        .map(|rod| rod.force.abs())
        .fold(0.0, f64::max);
    assert_eq!(got(Target::RodForce), Some(force));
    // Of a spring between collars no stress is known: there is nothing to say, which does not do.
    assert_eq!(got(Target::SpringSafety), None);
    assert_eq!(evaluation.state(), VerdictState::Missed);
}
