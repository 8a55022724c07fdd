//! Bodies behind linkages: what they weigh, how they swing and what they lose, each beside a hand calculation from the
//! linkage's own ratio.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Anchor, ApproachSide, Body, Breakout, Cam, CamEnds, CamSpec, CapturedSpring, Control,
    ControlSpec, Drive, Element, FreeResponseSpec, Friction, GRAVITY, Way,
};
use yokewright::linkage::{Arm, BallRod, Branch, FourBar, Transfer};
use yokewright::spring::{LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction};
use yokewright::units::MM;

use crate::feel_controls::{anchor, extension, lever, pivot, twist};

/// Where the rocker turns, and its links: the ratio goes from 0.98 to 0.59 over the travel of the lever.
const ROCKER: [f64; 3] = [0.0, 150.0, 0.0];
const NEUTRAL: f64 = -0.6;

fn four_bar() -> FourBar {
    FourBar::new(150.0 * MM, 60.0 * MM, 140.0 * MM, 55.0 * MM).unwrap()
}

/// The one on which the rocker turns the same way as the crank.
fn branch() -> Branch {
    let forward = |branch: &Branch| four_bar().transfer(NEUTRAL, *branch).unwrap().ratio > 0.0;
    [Branch::Open, Branch::Crossed]
        .into_iter()
        .find(forward)
        .unwrap()
}

fn drive() -> Drive {
    let pivot = pivot(ROCKER, [1.0, 0.0, 0.0]);
    Drive::four_bar(pivot, Body::Lever, four_bar(), branch(), NEUTRAL).unwrap()
}

/// What the rocker does, straight from the four-bar: its turn from the neutral, ratio and curvature.
fn rocker(angle: f64) -> Transfer {
    let linkage = four_bar();
    let at = |crank: f64| linkage.transfer(crank, branch()).unwrap();
    let there = at(NEUTRAL + angle);
    Transfer {
        angle: there.angle - at(NEUTRAL).angle,
        ..there
    }
}

fn behind(elements: Vec<Element>, gravity: Vector3<f64>) -> Control {
    Control::new(ControlSpec {
        driven: vec![drive()],
        elements,
        gravity,
        ..lever(vec![]).spec().clone()
    })
    .unwrap()
}

const MOMENT: f64 = 0.003;
const MASS: f64 = 0.4;
/// Of the mass from the rocker's pivot, m: (0, 40, 30) mm.
const ARM: f64 = 0.05;
const DAMPING: f64 = 0.02;
const RUB: f64 = 0.03;

/// Of the rocker about its pivot.
fn rocker_inertia() -> f64 {
    MOMENT + MASS * ARM * ARM
}

fn parts() -> Vec<Element> {
    let body = Body::Driven(0);
    vec![
        twist(4.0),
        Element::Inertia {
            body: Body::Lever,
            moment: 0.002,
        },
        Element::Inertia {
            body,
            moment: MOMENT,
        },
        Element::Mass {
            mass: MASS,
            at: anchor(body, 0.0, 190.0, 30.0),
        },
    ]
}

fn damper() -> Element {
    Element::Damper {
        body: Body::Driven(0),
        damping: DAMPING,
    }
}

fn friction() -> Element {
    Element::Friction(Friction::in_bearing(Body::Driven(0), RUB).unwrap())
}

fn inertia(angle: f64) -> f64 {
    0.002 + rocker_inertia() * rocker(angle).ratio.powi(2)
}

fn spec(duration: f64, points: usize) -> FreeResponseSpec {
    FreeResponseSpec {
        way: Way::FIRST,
        start: 0.25,
        duration,
        points,
        rebound: 1.0,
    }
}

/// The moment of inertia changes over the travel, so that the swing holds its energy only with J' q'^2 / 2 and with J'
/// = 2 J r'/r.
#[test]
fn energy_stays_behind_a_linkage() {
    let [slow, fast] = [-0.26, 0.26].map(inertia);
    assert!(fast / slow > 1.5 || slow / fast > 1.5, "{slow} {fast}");
    for lost in [
        vec![],
        vec![damper()],
        vec![friction()],
        vec![damper(), friction()],
    ] {
        let (damping, rub) = (
            if lost.contains(&damper()) {
                DAMPING
            } else {
                0.0
            },
            if lost.contains(&friction()) { RUB } else { 0.0 },
        );
        let elements = parts().into_iter().chain(lost).collect();
        let control = behind(elements, GRAVITY);
        let release = control.free_response(&spec(1.5, 30_001)).unwrap();
        let energy = |i: usize| {
            let (angle, speed) = (release.angle[i], release.speed[i]);
            control.state(&[angle]).unwrap().energy + 0.5 * inertia(angle) * speed * speed
        };
        let power = |i: usize| {
            let (ratio, speed) = (rocker(release.angle[i]).ratio, release.speed[i]);
            damping * (ratio * speed).powi(2) + rub * (ratio * speed).abs()
        };
        let (first, step) = (energy(0), release.time[1]);
        let mut dissipated = 0.0;
        for i in 1..release.time.len() {
            dissipated += 0.5 * step * (power(i - 1) + power(i));
            // The trapezoids' error is h^2/12 times the change of the slope of the power, some 20 W/s at each turn:
            // 1e-8 J over a dozen turns.
            let left = energy(i) + dissipated;
            assert!((left - first).abs() <= 1e-7, "{i}: {left} {first}");
        }
        assert!(release.turns.len() > 3);
        let swung = 0.5 * inertia(0.0) * release.speed.iter().fold(0.0, |a: f64, b| a.max(b * b));
        assert!(swung > 0.05, "{swung} J in motion");
        assert_eq!(dissipated > 0.01, damping + rub > 0.0, "{dissipated}");
    }
}

/// Weight behind a linkage: -m g dz/dq, with z = z0 + y sin a + z cos a of the rocker; and all derivatives by
/// differences of the energy.
#[test]
fn weight_behind_a_linkage() {
    let control = behind(parts().split_off(3), GRAVITY);
    for angle in [-0.2, -0.03, 0.0, 0.14, 0.26] {
        let at = rocker(angle);
        let rise = 0.04 * at.angle.cos() - 0.03 * at.angle.sin();
        let expected = MASS * GRAVITY.z * rise * at.ratio;
        let state = control.state(&[angle]).unwrap();
        // Roundings of products of the size 1.
        assert!((state.torque[0] - expected).abs() <= 1e-13, "{angle}");
        let height = 0.04 * at.angle.sin() + 0.03 * at.angle.cos();
        assert!((state.energy + MASS * GRAVITY.z * height).abs() <= 1e-13);
        let turned = -0.04 * at.angle.sin() - 0.03 * at.angle.cos();
        let bend = turned * at.ratio.powi(2) + rise * at.curvature;
        assert!((state.stiffness[0][0] + MASS * GRAVITY.z * bend).abs() <= 1e-12);
    }
}

/// Many angles at a time against one by one, with everything that can act behind a four-bar and behind a gear that the
/// four-bar drives; the places where forces jump are told by both from either side.
#[test]
fn a_curve_behind_linkages_is_its_states() {
    // On a pivot that points the other way, so that the gear turns as it does for a ratio of the other sign.
    let gear = Drive::ratio(
        pivot([20.0, 190.0, 40.0], [-1.0, 0.0, 0.0]),
        Body::Driven(0),
        -1.7,
    );
    let [rocker, gear_wheel] = [Body::Driven(0), Body::Driven(1)];
    let captured = CapturedSpring::new(81.0 * MM, 6.0, 900.0, 60.0 * MM).unwrap();
    let cam = Cam::new(CamSpec {
        body: gear_wheel,
        angles: vec![-0.9, -0.2, 0.0, 0.15, 0.9],
        lifts: vec![6.0 * MM, 1.0 * MM, 0.0, 0.5 * MM, 4.0 * MM],
        ends: CamEnds::Refused,
        preload: 15.0,
        rate: 1200.0,
    });
    let elements = vec![
        Element::line(
            captured,
            anchor(Body::Ground, -10.0, 110.0, 40.0),
            anchor(rocker, 12.0, 190.0, 35.0),
        ),
        Element::line(
            extension(500.0, 60.0 * MM, 4.0),
            anchor(Body::Lever, 5.0, 10.0, 70.0),
            anchor(gear_wheel, 20.0, 170.0, 90.0),
        ),
        Element::line(
            extension(300.0, 20.0 * MM, 0.0),
            anchor(rocker, 0.0, 180.0, 20.0),
            anchor(gear_wheel, 20.0, 230.0, 40.0),
        ),
        Element::Mass {
            mass: 0.3,
            at: anchor(gear_wheel, 0.0, 210.0, 20.0),
        },
        Element::Torsion {
            spring: match twist(2.0) {
                Element::Torsion { spring, .. } => spring,
                _ => unreachable!(),
            },
            body: gear_wheel,
        },
        Element::Breakout(Breakout::new(rocker, 0.4, 1.5, 0.06).unwrap()),
        Element::Cam(cam.unwrap()),
        friction(),
    ];
    let control = Control::new(ControlSpec {
        driven: vec![drive(), gear.unwrap()],
        elements,
        gravity: GRAVITY,
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    // More than two blocks, and a last one that is not full.
    let curve = control.curve(Way::FIRST, 150).unwrap();
    let mut twice = 0;
    for (i, angle) in curve.angle.iter().enumerate() {
        assert!(curve.valid[i], "{angle}");
        let again = i + 1 < curve.len() && curve.angle[i + 1] == *angle;
        twice += usize::from(again);
        let side = if again {
            ApproachSide::Below
        } else {
            ApproachSide::Above
        };
        let state = control.state_from(&[*angle], side).unwrap();
        for (many, one) in [
            (curve.energy[i], state.energy),
            (curve.torque[i], state.torque[0]),
            (curve.stiffness[i], state.stiffness[0][0]),
        ] {
            // Some roundings of the linkages, of sums of that size.
            let size = 1.0 + state.energy.abs() + state.stiffness[0][0].abs();
            assert!((many - one).abs() <= 1e-12 * size, "{angle}: {many} {one}");
        }
    }
    // The captured spring and the breakout jump within the travel; the extension spring is always longer than free.
    assert_eq!(twice, 2);
    let jumps = curve.angle.windows(2).filter(|pair| pair[0] == pair[1]);
    let jumps: Vec<f64> = jumps.map(|pair| pair[0]).collect();
    let on_center = |angle: f64| rocker_turn(angle) - 0.06;
    let on_collars = |angle: f64| {
        let (sin, cos) = rocker_turn(angle).sin_cos();
        let joint = [40.0 * cos - 35.0 * sin, 40.0 * sin + 35.0 * cos];
        let way = [12.0 - -10.0, 150.0 + joint[0] - 110.0, joint[1] - 40.0];
        way.iter().map(|part| part * part).sum::<f64>().sqrt() - 81.0
    };
    let meets = |distance: &dyn Fn(f64) -> f64| {
        jumps
            .iter()
            .any(|jump| distance(jump - 1e-9) * distance(jump + 1e-9) < 0.0)
    };
    assert!(meets(&on_center) && meets(&on_collars), "{jumps:?}");
}

fn rocker_turn(angle: f64) -> f64 {
    rocker(angle).angle
}

/// Stiffness, inertia and damping of small angles are those of the lever: the rocker's times the ratio squared.
#[test]
fn a_swing_behind_a_linkage() {
    let elements = parts().into_iter().chain([damper()]).collect();
    let swing = behind(elements, Vector3::zeros())
        .second_order_response(Way::FIRST)
        .unwrap();
    let square = rocker(0.0).ratio.powi(2);
    assert!((square - 1.0).abs() > 0.1, "{square}");
    assert!((swing.stiffness() - 4.0).abs() <= 1e-12);
    assert!((swing.inertia() - 0.002 - rocker_inertia() * square).abs() <= 1e-15);
    assert!((swing.damping() - DAMPING * square).abs() <= 1e-15);
}

/// Friction behind a linkage is felt times the ratio, whichever way that goes; the loop is twice its integral
/// (Simpson).
#[test]
fn friction_behind_a_linkage() {
    let control = behind(vec![twist(4.0), friction()], Vector3::zeros());
    let curve = control.curve(Way::FIRST, 201).unwrap();
    for (angle, found) in curve.angle.iter().zip(&curve.friction) {
        let expected = RUB * rocker(*angle).ratio.abs() / 0.4;
        assert!((found - expected).abs() <= 1e-14, "{angle}");
    }
    let [from, to] = control.spec().travel[0];
    let (count, step) = (1000, (to - from) / 1000.0);
    let simpson: f64 = (0..=count)
        .map(|i| {
            let weight = if i == 0 || i == count {
                1.0
            } else {
                2.0 + 2.0 * f64::from(i % 2)
            };
            weight * RUB * rocker(from + step * f64::from(i)).ratio.abs()
        })
        .sum::<f64>()
        * step
        / 3.0;
    let centering = control.centering(Way::FIRST).unwrap();
    // Simpson's error with a thousand steps is some 1e-13 of the integral, and the Gauss rule's less.
    assert!((centering.loop_area - 2.0 * simpson).abs() <= 1e-11);
    let backward = Drive::ratio(pivot(ROCKER, [1.0, 0.0, 0.0]), Body::Lever, -3.0).unwrap();
    let control = Control::new(ControlSpec {
        driven: vec![backward],
        elements: vec![friction()],
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    let curve = control.curve(Way::FIRST, 3).unwrap();
    assert!((curve.friction[1] - 3.0 * RUB / 0.4).abs() <= 1e-15);
}

/// Through a rod, from its crank through gears, and from those through a four-bar: torque and stiffness are derivatives
/// of the energy.
#[test]
fn a_chain_of_linkages() {
    let at = Point3::new(-60.0, 150.0, 110.0) * MM;
    let up = Arm::new(
        Point3::origin(),
        Vector3::x(),
        Point3::new(0.0, 0.0, 120.0 * MM),
    )
    .unwrap();
    let crank = Arm::new(
        at,
        Vector3::new(0.1, 0.0, 1.0),
        at + Vector3::x() * (50.0 * MM),
    )
    .unwrap();
    let gear = pivot([0.0, 200.0, 0.0], [1.0, 0.2, 0.1]);
    // The pivots of the four-bar point opposite ways, so that its rocker turns by negative angles.
    let opposite = pivot([0.0, 350.0, 0.0], [-1.0, -0.2, -0.1]);
    let control = Control::new(ControlSpec {
        driven: vec![
            Drive::ball_rod(Body::Lever, BallRod::new(up, crank).unwrap()).unwrap(),
            Drive::ratio(gear, Body::Driven(0), -0.5).unwrap(),
            Drive::four_bar(opposite, Body::Driven(1), four_bar(), branch(), NEUTRAL).unwrap(),
        ],
        elements: vec![
            Element::Mass {
                mass: 2.0,
                at: anchor(Body::Driven(2), 10.0, 380.0, 60.0),
            },
            Element::Mass {
                mass: 1.0,
                at: anchor(Body::Driven(1), 10.0, 230.0, -20.0),
            },
            Element::Mass {
                mass: 1.0,
                at: Anchor::new(Body::Driven(0), at + Vector3::new(0.02, 0.03, 0.05)).unwrap(),
            },
        ],
        gravity: Vector3::new(3.0, -4.0, -9.0),
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    let state = |q: f64| control.state(&[q]).unwrap();
    // Fourth-order differences over 1e-3 rad: errors of some 1e-12 times the fifth derivative, below 1e3 J.
    let derivative = |f: &dyn Fn(f64) -> f64, q: f64| {
        (8.0 * (f(q + 1e-3) - f(q - 1e-3)) - (f(q + 2e-3) - f(q - 2e-3))) / 12e-3
    };
    let (mut steepest, mut stiffest) = (0.0_f64, 0.0_f64);
    for angle in [-0.2, -0.1, 0.0, 0.12, 0.2] {
        let here = state(angle);
        let slope = derivative(&|q| state(q).energy, angle);
        assert!((here.torque[0] + slope).abs() <= 1e-8, "{angle}: {slope}");
        let bend = derivative(&|q| -state(q).torque[0], angle);
        assert!(
            (here.stiffness[0][0] - bend).abs() <= 1e-8,
            "{angle}: {bend}"
        );
        (steepest, stiffest) = (steepest.max(slope.abs()), stiffest.max(bend.abs()));
    }
    assert!(steepest > 0.05 && stiffest > 0.05, "{steepest} {stiffest}");
    // And the second one turns by minus half of what the first does: sines of the angles by the heights of the masses.
    let turn = BallRod::new(up, crank)
        .unwrap()
        .transfer(0.2)
        .unwrap()
        .angle;
    let expected = four_bar();
    let rise = |crank: f64| expected.transfer(crank, branch()).unwrap().angle;
    let rocker = -(rise(NEUTRAL - 0.5 * turn) - rise(NEUTRAL));
    let around = |pivot: Vector3<f64>, direction: Vector3<f64>, p: Vector3<f64>, angle: f64| {
        let axis = direction.normalize();
        let from = p - pivot;
        // Rodrigues.
        pivot
            + from * angle.cos()
            + axis.cross(&from) * angle.sin()
            + axis * axis.dot(&from) * (1.0 - angle.cos())
    };
    let mm = |x: f64, y: f64, z: f64| Vector3::new(x, y, z) * MM;
    let direction = Vector3::new(1.0, 0.2, 0.1);
    let places = [
        (
            2.0,
            around(
                mm(0.0, 350.0, 0.0),
                -direction,
                mm(10.0, 380.0, 60.0),
                rocker,
            ),
        ),
        (
            1.0,
            around(
                mm(0.0, 200.0, 0.0),
                direction,
                mm(10.0, 230.0, -20.0),
                -0.5 * turn,
            ),
        ),
        (
            1.0,
            around(
                at.coords,
                Vector3::new(0.1, 0.0, 1.0),
                at.coords + Vector3::new(0.02, 0.03, 0.05),
                turn,
            ),
        ),
    ];
    let energy: f64 = places
        .iter()
        .map(|(mass, place)| -mass * Vector3::new(3.0, -4.0, -9.0).dot(place))
        .sum();
    assert!(
        (state(0.2).energy - energy).abs() <= 1e-12,
        "{} {energy}",
        state(0.2).energy
    );
}

/// Linkages that do not sit where they should are refused.
#[test]
fn misplaced_linkages() {
    let with = |drive: Drive| {
        let control = Control::new(ControlSpec {
            driven: vec![drive],
            ..lever(vec![]).spec().clone()
        });
        control.map(|_| ()).map_err(|error| error.to_string())
    };
    let planar = |direction: [f64; 3]| {
        let pivot = pivot(ROCKER, direction);
        with(Drive::four_bar(pivot, Body::Lever, four_bar(), branch(), NEUTRAL).unwrap())
    };
    assert_eq!(planar([1.0, 0.0, 0.0]), Ok(()));
    assert_eq!(planar([-1.0, 0.0, 0.0]), Ok(()));
    assert!(
        planar([1.0, 0.01, 0.0])
            .unwrap_err()
            .contains("sine of the angle")
    );
    let rod = |point: Point3<f64>, direction: Vector3<f64>| {
        let input = Arm::new(point, direction, Point3::new(0.0, 0.0, 0.12)).unwrap();
        let output = Arm::new(
            Point3::new(0.0, 0.15, 0.0),
            Vector3::x(),
            Point3::new(0.0, 0.15, 0.1),
        )
        .unwrap();
        with(Drive::ball_rod(Body::Lever, BallRod::new(input, output).unwrap()).unwrap())
    };
    assert_eq!(rod(Point3::origin(), Vector3::x()), Ok(()));
    // Along the pivot it may sit anywhere.
    assert_eq!(rod(Point3::new(0.3, 0.0, 0.0), Vector3::x()), Ok(()));
    let aside = rod(Point3::new(0.0, 0.0005, 0.0), Vector3::x()).unwrap_err();
    assert!(
        aside.contains("input pivot") && !aside.contains("did you mean"),
        "{aside}"
    );
    assert!(
        rod(Point3::origin(), -Vector3::x())
            .unwrap_err()
            .contains("directions")
    );
    for ratio in [0.0, 0.001, 200.0, f64::NAN] {
        assert!(Drive::ratio(pivot(ROCKER, [1.0, 0.0, 0.0]), Body::Lever, ratio).is_err());
    }
}

/// The rocker of a double crank, whose angle jumps by a turn where it passes half a turn, and whose lever does not feel
/// that: a spring wound about its pivot goes on. Beside it the turn of the rocker by its joints, where two circles
/// meet: ground 20 mm, crank 50, coupler 34.2, rocker 50.
#[test]
fn a_rocker_past_half_a_turn() {
    let linkage = FourBar::new(20.0 * MM, 50.0 * MM, 34.2 * MM, 50.0 * MM).unwrap();
    let (rate, neutral) = (0.7, 2.9);
    // Where the rocker joint lies as seen from the rocker pivot, to the left or the right of the line to the crank
    // joint.
    let rocker = |crank: f64, side: f64| {
        let [x, y] = [50.0 * crank.cos() - 20.0, 50.0 * crank.sin()];
        let square = x * x + y * y;
        let along = (square + 50.0 * 50.0 - 34.2 * 34.2) / (2.0 * square);
        let up = side * (50.0 * 50.0 / square - along * along).sqrt();
        (along * y + up * x).atan2(along * x - up * y)
    };
    let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec {
        rate,
        free_angle: 0.3,
        action: SpringAction::Both,
        min_angle: None,
        max_angle: None,
    })
    .unwrap();
    let element = Element::Torsion {
        spring,
        body: Body::Driven(0),
    };
    // With the pivots against each other the rocker counts the other way round.
    for direction in [1.0, -1.0] {
        let pivot = pivot([0.0, 20.0, 0.0], [direction, 0.0, 0.0]);
        let mut passed = 0;
        for (branch, side) in [(Branch::Open, -1.0), (Branch::Crossed, 1.0)] {
            for neutral in [neutral, -neutral, neutral - PI] {
                let drive = Drive::four_bar(pivot, Body::Lever, linkage, branch, neutral).unwrap();
                let control = Control::new(ControlSpec {
                    travel: vec![[-1.2, 1.2]],
                    driven: vec![drive],
                    elements: vec![element.clone()],
                    ..lever(vec![]).spec().clone()
                })
                .unwrap();
                // Found from one small step to the next, which cannot miss a jump of a turn.
                for sense in [-1.0, 1.0] {
                    let (mut turned, mut last) = (0.0, rocker(neutral, side));
                    for step in 1..=120 {
                        let angle = sense * 0.01 * f64::from(step);
                        let here = rocker(neutral + angle, side);
                        let by = here - last;
                        passed += i32::from(by.abs() > PI);
                        turned += by - TAU * (by / TAU).round();
                        last = here;
                        let state = control.state(&[angle]).unwrap();
                        let energy = 0.5 * rate * (direction * turned - 0.3).powi(2);
                        // A hundred roundings of angles of a few radians, times the torque.
                        assert!(
                            (state.energy - energy).abs() <= 1e-12,
                            "{branch} {neutral} {angle}: {} {energy}",
                            state.energy
                        );
                        let step = 1e-6;
                        let by = rocker(neutral + angle + step, side)
                            - rocker(neutral + angle - step, side);
                        let ratio = (by - TAU * (by / TAU).round()) / (2.0 * step);
                        let torque = -rate * (direction * turned - 0.3) * direction * ratio;
                        // Of the difference: roundings of 1e-16 over 2e-6.
                        assert!(
                            (state.torque[0] - torque).abs() <= 1e-8,
                            "{branch} {neutral} {angle}: {} {torque}",
                            state.torque[0]
                        );
                    }
                }
            }
        }
        assert!(passed >= 2, "{passed}");
    }
}
