//! What callers of the feel floor rely on: closed forms, both sides of a jump, rests, friction, and refusals that say
//! why.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::Error;
use yokewright::feel::{
    Anchor, ApproachSide, Bearing, Body, Breakout, Cam, CamEnds, CamSpec, CapturedSpring, Control,
    ControlSpec, Drive, Element, EquilibriumKind, FreeResponseSpec, Friction, GRAVITY, MagnetPair,
    SecondOrderResponse, Way, friction_torque,
};
use yokewright::linkage::{Arm, BallRod, Branch, FourBar, Pivot};
use yokewright::magnet::{Block, FieldSource, MagnetGroup, pull};
use yokewright::spring::{
    LinearSpringState, LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction,
};
use yokewright::units::{DEG, MM};

use crate::feel_controls::{
    anchor, bearing_friction, breakout, extension, gimbal, lever, opposed, pivot, twist,
};

/// Roundings of sums of a few products of the size 1.
const ROUNDING: f64 = 1e-13;

fn slope(control: &Control, angle: f64) -> f64 {
    -control.state(&[angle]).unwrap().torque[0]
}

/// Energy of two opposed springs on a lever, by hand: L = |(+-120, 60) - 60 (-sin q, cos q)| mm.
#[test]
fn two_springs_in_opposition() {
    let (rate, free) = (500.0, 80.0 * MM);
    let control = lever(opposed(rate, free));
    for angle in [-0.2, -0.05, 0.0, 0.13, 0.26] {
        let length = |y: f64| {
            let (dy, dz) = (y + 0.06 * f64::sin(angle), 0.06 - 0.06 * f64::cos(angle));
            dy.hypot(dz)
        };
        let energy: f64 = [-0.12, 0.12]
            .map(|y| 0.5 * rate * (length(y) - free).powi(2))
            .iter()
            .sum();
        let state = control.state(&[angle]).unwrap();
        assert!((state.energy - energy).abs() <= ROUNDING, "{angle}");
        // T dL/dq, with L dL/dq = r (y cos q + r sin q).
        let pull = |y: f64| {
            let by = 0.06 * (y * angle.cos() + 0.06 * angle.sin()) / length(y);
            rate * (length(y) - free) * by
        };
        let expected = pull(-0.12) + pull(0.12);
        assert!(
            (slope(&control, angle) - expected).abs() <= ROUNDING,
            "{angle}"
        );
        assert!((state.force[0] - expected / 0.4).abs() <= ROUNDING);
        let hold = state.hold.norm();
        assert!((hold - state.force[0].abs()).abs() <= ROUNDING);
    }
    // Small angles: 2 k r^2.
    let center = control.state(&[0.0]).unwrap();
    assert!((center.stiffness[0][0] - 2.0 * rate * 0.06 * 0.06).abs() <= ROUNDING);
    assert_eq!(center.torque[0].abs(), 0.0);
    assert_eq!(center.lines.len(), 2);
    assert!((center.lines[0].tension - 20.0).abs() <= ROUNDING);
}

#[test]
fn a_slack_spring_does_nothing() {
    let control = lever(vec![Element::line(
        extension(500.0, 200.0 * MM, 5.0),
        anchor(Body::Lever, 0.0, 0.0, 60.0),
        anchor(Body::Ground, 0.0, 120.0, 60.0),
    )]);
    let state = control.state(&[0.1]).unwrap();
    assert_eq!(
        (state.energy, state.torque[0], state.force[0]),
        (0.0, 0.0, 0.0)
    );
    assert_eq!(state.lines[0].state, LinearSpringState::Slack);
    // It stays anywhere: one stretch from stop to stop.
    let rests = control.equilibrium_bands(Way::FIRST).unwrap();
    assert_eq!(rests.len(), 1);
    assert_eq!([rests[0].lower, rests[0].upper], control.spec().travel[0]);
}

#[test]
fn a_breakout_has_two_values() {
    let control = lever(vec![breakout(0.8, 3.0)]);
    let at = |side| -control.state_from(&[0.0], side).unwrap().torque[0];
    assert_eq!(
        (at(ApproachSide::Above), at(ApproachSide::Below)),
        (0.8, -0.8)
    );
    assert!((slope(&control, 0.1) - 1.1).abs() <= ROUNDING);
    let curve = control.curve(Way::FIRST, 101).unwrap();
    assert_eq!(curve.len(), 102);
    let twice: Vec<_> = (0..curve.len())
        .filter(|i| curve.angle[*i] == 0.0)
        .collect();
    assert_eq!(twice, [50, 51]);
    assert_eq!((curve.torque[50], curve.torque[51]), (0.8, -0.8));
    let rests = control.equilibrium_bands(Way::FIRST).unwrap();
    assert_eq!(rests.len(), 1);
    assert_eq!(
        (rests[0].kind, rests[0].middle(), rests[0].stable),
        (EquilibriumKind::Jump, 0.0, true)
    );
}

/// A captured spring jumps where it sits on both collars, at whatever angle that is, and by twice its preload times its
/// lever.
#[test]
fn a_captured_spring_breaks_out() {
    let on_lever = anchor(Body::Lever, 0.0, 0.0, 50.0);
    let on_frame = anchor(Body::Ground, 0.0, 100.0, 50.0);
    let spring = CapturedSpring::new(100.0 * MM, 12.0, 800.0, 20.0 * MM).unwrap();
    let parts = [
        spring.neutral_length(),
        spring.preload(),
        spring.rate(),
        spring.stroke(),
    ];
    assert_eq!(parts, [100.0 * MM, 12.0, 800.0, 20.0 * MM]);
    let notch = Breakout::new(Body::Lever, 0.3, 2.0, 0.1).unwrap();
    assert_eq!(
        [notch.preload(), notch.rate(), notch.center()],
        [0.3, 2.0, 0.1]
    );
    let control = lever(vec![Element::line(spring, on_lever, on_frame)]);
    let at = |side| -control.state_from(&[0.0], side).unwrap().torque[0];
    assert!(
        (at(ApproachSide::Above) - 0.6).abs() <= ROUNDING
            && (at(ApproachSide::Below) + 0.6).abs() <= ROUNDING
    );
    // Set 2 mm longer, it centers where its length is 102 mm.
    let longer = CapturedSpring::new(102.0 * MM, 12.0, 800.0, 20.0 * MM).unwrap();
    let control = lever(vec![Element::line(longer, on_lever, on_frame)]);
    let rest = control.equilibrium_bands(Way::FIRST).unwrap()[0];
    assert_eq!((rest.kind, rest.stable), (EquilibriumKind::Jump, true));
    let length = control.state(&[rest.middle()]).unwrap().lines[0].length;
    assert!((length - 0.102).abs() <= 1e-15, "{length}");
}

/// An initial tension steps in where a spring leaves its free length: the two springs of a control that begin to pull
/// at its center.
#[test]
fn initial_tension_breaks_out() {
    let to = |y: f64| {
        Element::line(
            extension(500.0, 120.0 * MM, 4.0),
            anchor(Body::Lever, 0.0, 0.0, 60.0),
            anchor(Body::Ground, 0.0, y, 60.0),
        )
    };
    let control = lever(vec![to(-120.0), to(120.0)]);
    let at = |side| -control.state_from(&[0.0], side).unwrap().torque[0];
    assert!(
        (at(ApproachSide::Above) - 0.24).abs() <= ROUNDING,
        "{}",
        at(ApproachSide::Above)
    );
    assert!((at(ApproachSide::Below) + 0.24).abs() <= ROUNDING);
}

/// A mass above its pivot falls over: unstable upright, at rest at the stops; below it hangs.
#[test]
fn weights() {
    let with_mass = |z: f64| {
        Control::new(ControlSpec {
            gravity: GRAVITY,
            ..lever(vec![Element::Mass {
                mass: 0.5,
                at: anchor(Body::Lever, 0.0, 0.0, z),
            }])
            .spec()
            .clone()
        })
        .unwrap()
    };
    let up = with_mass(300.0);
    let center = up.state(&[0.0]).unwrap();
    let expected = 0.5 * GRAVITY.z * 0.3;
    assert!((center.stiffness[0][0] - expected).abs() <= ROUNDING);
    let kinds: Vec<_> = up
        .equilibrium_bands(Way::FIRST)
        .unwrap()
        .iter()
        .map(|r| (r.kind, r.stable))
        .collect();
    let stop = (EquilibriumKind::Stop, true);
    assert_eq!(kinds, [stop, (EquilibriumKind::Free, false), stop]);
    assert!(!up.centering(Way::FIRST).unwrap().centers());
    let down = with_mass(-300.0);
    assert!(down.centering(Way::FIRST).unwrap().centers());
    // A pendulum: sqrt(g / l).
    let frequency = down
        .second_order_response(Way::FIRST)
        .unwrap()
        .natural_frequency();
    assert!((frequency - (9.806_65f64 / 0.3).sqrt()).abs() <= 1e-12);
}

/// Coulomb's band: from -T/K to T/K; the loop encloses 2 T times the travel.
#[test]
fn friction_band() {
    let (rate, friction) = (4.0, 0.05);
    let control = lever(vec![twist(rate), bearing_friction(friction)]);
    let centering = control.centering(Way::FIRST).unwrap();
    let band = centering.center.unwrap();
    for (end, expected) in [
        (band.lower, -friction / rate),
        (band.upper, friction / rate),
    ] {
        assert!((end - expected).abs() <= ROUNDING, "{end}");
    }
    assert!((centering.error.unwrap() - friction / rate).abs() <= ROUNDING);
    let counts = centering.error_counts(4096.0).unwrap().unwrap();
    assert!((counts - 4096.0 * friction / rate).abs() <= 1e-9);
    assert!((centering.breakout_up.unwrap() - friction / 0.4).abs() <= ROUNDING);
    assert!((centering.loop_area - 2.0 * friction * 30.0 * DEG).abs() <= ROUNDING);
    // Too much of it, and it stays anywhere.
    let stiff = lever(vec![twist(rate), bearing_friction(2.0)])
        .centering(Way::FIRST)
        .unwrap();
    assert!(!stiff.centers() && stiff.bands.len() == 1);
}

/// The joints of a link at right angles to both arms turn with the arms; those of a rod between two bodies that turn as
/// one do not turn at all.
#[test]
fn friction_in_joints() {
    let link = |body| {
        let a = anchor(Body::Lever, 0.0, 0.0, 60.0);
        let b = anchor(body, 0.0, 120.0, 60.0);
        let rod = Element::Friction(Friction::in_joints(a, b, 0.02).unwrap());
        let along = Drive::ratio(pivot([0.0; 3], [1.0, 0.0, 0.0]), Body::Lever, 1.0).unwrap();
        Control::new(ControlSpec {
            driven: vec![along],
            elements: vec![rod],
            ..lever(vec![]).spec().clone()
        })
        .unwrap()
    };
    let friction = |control: &Control| {
        let area = control.centering(Way::FIRST).unwrap().loop_area;
        area / (2.0 * 30.0 * DEG)
    };
    assert!(friction(&link(Body::Driven(0))).abs() <= ROUNDING);
    // At the lever's end the rod, which keeps its direction to first order, slips by the lever's whole angle; at the
    // other it stays.
    let curve = link(Body::Ground).curve(Way::FIRST, 3).unwrap();
    assert!((curve.friction[1] * 0.4 - 0.02).abs() <= 1e-12);
    assert!((friction_torque(0.2, 5.0 * MM, 40.0).unwrap() - 0.04).abs() <= ROUNDING);
}

/// Torque and stiffness are the derivatives of the energy, in a gimbal with all there is.
#[test]
fn derivatives_in_a_gimbal() {
    let control = gimbal();
    // Fourth-order differences over 1e-3 rad: error about h^4 times the fifth derivative, some 1e-10 of the terms,
    // which are of the size of 10 J.
    let (step, tolerance) = (1e-3, 1e-8);
    let energy = |q: [f64; 2]| control.state(&q).unwrap().energy;
    let torque = |q: [f64; 2], axis: usize| control.state(&q).unwrap().torque[axis];
    let derivative = |f: &dyn Fn([f64; 2]) -> f64, q: [f64; 2], axis: usize| {
        let at = |steps: f64| {
            let mut moved = q;
            moved[axis] += steps * step;
            f(moved)
        };
        (8.0 * (at(1.0) - at(-1.0)) - (at(2.0) - at(-2.0))) / (12.0 * step)
    };
    for q in [[0.05, -0.11], [-0.2, 0.17], [0.3, 0.2], [-0.1, -0.25]] {
        let state = control.state(&q).unwrap();
        for i in 0..2 {
            let slope = derivative(&energy, q, i);
            assert!(
                (state.torque[i] + slope).abs() <= tolerance,
                "{q:?} {i}: {} {slope}",
                state.torque[i]
            );
            for j in 0..2 {
                let bend = -derivative(&|q| torque(q, j), q, i);
                let found = state.stiffness[i][j];
                // The cam's second derivative is piecewise straight, so that differences across a point of its table
                // are off.
                assert!((found - bend).abs() <= 1e-5, "{q:?} {i}{j}: {found} {bend}");
            }
        }
        assert_eq!(state.stiffness[0][1], state.stiffness[1][0]);
        // The force at the grip does the work of both torques.
        let way = |axis: usize, part: usize| {
            derivative(&|q| control.state(&q).unwrap().grip[part], q, axis)
        };
        for axis in 0..2 {
            let work: f64 = (0..3).map(|part| state.hold[part] * way(axis, part)).sum();
            assert!((work + state.torque[axis]).abs() <= 1e-7, "{q:?} {axis}");
        }
    }
}

/// Many angles at a time against one by one: springs and weights on the vector units with all else that acts, a spring
/// that goes slack on the way, along either axis with the other held, and a link that folds up on the way.
#[test]
fn a_curve_is_its_states() {
    let to = |y: f64, z: f64| {
        let on_lever = anchor(Body::Lever, 12.0, -5.0, 60.0);
        Element::line(
            extension(700.0, 115.0 * MM, 0.0),
            on_lever,
            anchor(Body::Ground, 40.0, y, z),
        )
    };
    let weight = Element::Mass {
        mass: 0.7,
        at: anchor(Body::Lever, 30.0, 20.0, 380.0),
    };
    let springs = vec![to(120.0, 60.0), to(-90.0, 110.0), weight];
    let mixed = [
        springs.clone(),
        vec![breakout(0.8, 3.0), bearing_friction(0.02)],
    ]
    .concat();
    let cases = [
        (lever(springs), Way::FIRST, 0),
        (lever(mixed), Way::FIRST, 0),
        (gimbal(), Way::Outer(-0.12), 0),
        (gimbal(), Way::Inner(0.1), 1),
    ];
    for (control, way, axis) in cases {
        // More than one block, and a last one that is not full.
        let curve = control.curve(way, 150).unwrap();
        for (i, angle) in curve.angle.iter().enumerate() {
            let at = match way {
                Way::Outer(held) => [*angle, held],
                Way::Inner(held) => [held, *angle],
            };
            let again = i + 1 < curve.len() && curve.angle[i + 1] == *angle;
            let side = if again {
                ApproachSide::Below
            } else {
                ApproachSide::Above
            };
            let jumps = again || (i > 0 && curve.angle[i - 1] == *angle);
            assert!(curve.valid[i]);
            if jumps {
                // The limit along this angle alone, which a state just beside the jump has too; one from a side has
                // all angles from there.
                let mut beside = at;
                beside[axis] += if again { -1e-9 } else { 1e-9 };
                let state = control.state(&beside[..control.axes()]).unwrap();
                let off = (curve.torque[i] - state.torque[axis]).abs();
                // By so much it changes on the way there, at less than 100 N m/rad.
                assert!(off <= 1e-9 * 100.0, "{way:?} {angle}: {off} N m");
                continue;
            }
            let state = control.state_from(&at[..control.axes()], side).unwrap();
            for (many, one) in [
                (curve.energy[i], state.energy),
                (curve.torque[i], state.torque[axis]),
                (curve.stiffness[i], state.stiffness[axis][axis]),
                (curve.force[i], state.force[axis]),
            ] {
                let size = 1.0 + state.energy.abs() + state.stiffness[axis][axis].abs();
                assert!(
                    (many - one).abs() <= ROUNDING * size,
                    "{way:?} {angle}: {many} {one}"
                );
            }
        }
    }
    // A link whose ends meet at one of the places, where it pulls nowhere.
    let folded = 0.4 * 15.0 * DEG;
    let folds = lever(vec![Element::line(
        extension(700.0, 0.0, 0.0),
        anchor(Body::Lever, 0.0, 0.0, 60.0),
        anchor(Body::Ground, 0.0, -60.0 * folded.sin(), 60.0 * folded.cos()),
    )]);
    let curve = folds.curve(Way::FIRST, 101).unwrap();
    for (i, (angle, valid)) in curve.angle.iter().zip(&curve.valid).enumerate() {
        assert_eq!(*valid, folds.state(&[*angle]).is_ok(), "{angle}");
        assert_eq!(*valid, i != 70);
    }
}

#[test]
fn along_one_axis_of_a_gimbal() {
    let control = gimbal();
    let curve = control.curve(Way::Inner(0.1), 41).unwrap();
    for (i, angle) in curve.angle.iter().enumerate() {
        assert!(curve.valid[i]);
        let side = if i > 0 && curve.angle[i - 1] == *angle {
            ApproachSide::Above
        } else {
            ApproachSide::Below
        };
        let state = control.state_from(&[0.1, *angle], side).unwrap();
        assert!((state.torque[1] - curve.torque[i]).abs() <= 1e-12);
        assert!((state.force[1] - curve.force[i]).abs() <= 1e-12);
    }
    assert!(control.curve(Way::Inner(1.0), 41).is_err());
    assert!(lever(vec![]).curve(Way::Inner(0.0), 41).is_err());
}

fn cube(z: f64) -> MagnetGroup {
    let size = Vector3::repeat(6.0 * MM);
    let pose = Isometry3::translation(0.0, 0.0, z);
    Block::new(size, Vector3::new(0.0, 0.0, 1.2), pose)
        .unwrap()
        .into()
}

/// A magnet on the lever over one on the ground: its torque is that of `pull`, and the energy falls by it.
#[test]
fn a_magnetic_detent() {
    let pair = MagnetPair::new(
        Body::Ground,
        cube(-50.0 * MM),
        Body::Lever,
        cube(-40.0 * MM),
    );
    let control = lever(vec![Element::Magnets(pair)]);
    let angle = 0.1;
    let state = control.state(&[angle]).unwrap();
    let turn = Isometry3::rotation(Vector3::x() * angle);
    let moved = cube(-40.0 * MM).moved(&turn).unwrap();
    let torque = pull(&cube(-50.0 * MM), &moved, Point3::origin())
        .unwrap()
        .torque
        .x;
    assert!((state.torque[0] - torque).abs() <= 1e-12 && torque < -1e-3);
    // Named the other way round they do the same, to what the force between blocks is known to, 1e-9.
    let swapped = MagnetPair::new(
        Body::Lever,
        cube(-40.0 * MM),
        Body::Ground,
        cube(-50.0 * MM),
    );
    let swapped = lever(vec![Element::Magnets(swapped)])
        .state(&[angle])
        .unwrap();
    assert!((swapped.torque[0] - torque).abs() <= 1e-9 * (1.0 + torque.abs()));
    let energy = |angle: f64| control.state(&[angle]).unwrap().energy;
    // Second order over 1e-3 rad of a detent some 0.2 rad wide: 1e-5.
    let slope = (energy(angle + 1e-3) - energy(angle - 1e-3)) / 2e-3;
    assert!(
        (slope + torque).abs() <= 1e-4 * torque.abs(),
        "{slope} {torque}"
    );
    let stiffness = |angle: f64| control.state(&[angle]).unwrap().stiffness[0][0];
    let bend = -(control.state(&[1e-3]).unwrap().torque[0]) / 1e-3;
    assert!(
        (stiffness(0.0) - bend).abs() <= 1e-3 * bend,
        "{} {bend}",
        stiffness(0.0)
    );
    assert!(control.centering(Way::FIRST).unwrap().centers());
}

/// A periodic row of detents has the same torque a period on, and its slope is that of the energy.
#[test]
fn a_row_of_detents() {
    let cam = |ends| {
        Cam::new(CamSpec {
            body: Body::Lever,
            angles: vec![-5.0 * DEG, -3.0 * DEG, 0.0, 2.0 * DEG, 5.0 * DEG],
            lifts: vec![2.0 * MM, 1.0 * MM, 0.0, 1.2 * MM, 2.0 * MM],
            ends,
            preload: 10.0,
            rate: 500.0,
        })
        .unwrap()
    };
    let control = lever(vec![Element::Cam(cam(CamEnds::Periodic))]);
    for angle in [-4.0, -1.0, 0.5, 3.0] {
        let [here, there] = [angle, angle + 10.0].map(|deg| slope(&control, deg * DEG));
        assert!((here - there).abs() <= 1e-12, "{angle}: {here} {there}");
    }
    // Three notches, two crests between them, and the half crests at both stops.
    let stable = control
        .equilibrium_bands(Way::FIRST)
        .unwrap()
        .iter()
        .filter(|r| r.stable)
        .count();
    assert_eq!(stable, 3);
    assert!(
        lever(vec![])
            .with_elements(vec![Element::Cam(cam(CamEnds::Refused))])
            .unwrap()
            .state(&[0.2])
            .is_err()
    );
}

#[test]
fn stops() {
    let control = lever(vec![twist(4.0)]);
    let [lower, upper] = control.stop_forces(Way::FIRST, 100.0, 40.0 * MM).unwrap();
    let expected = (100.0 * 0.4 - 4.0 * 15.0 * DEG) / 0.04;
    assert!((lower - expected).abs() <= 1e-9 && (upper - expected).abs() <= 1e-9);
    assert_eq!(
        control.stop_forces(Way::FIRST, 1.0, 0.1).unwrap(),
        [0.0, 0.0]
    );
}

/// Linear and viscous: the integration follows the closed form.
#[test]
fn let_go_with_viscous_damping() {
    let (rate, inertia, damping) = (40.0, 0.1, 0.8);
    let control = lever(vec![
        twist(rate),
        Element::Inertia {
            body: Body::Lever,
            moment: inertia,
        },
        Element::Damper {
            body: Body::Lever,
            damping,
        },
    ]);
    let swing = SecondOrderResponse::new(rate, inertia, damping).unwrap();
    assert_eq!(control.second_order_response(Way::FIRST).unwrap(), swing);
    let start = 0.2;
    let release = control.free_response(&spec(start, 2.0)).unwrap();
    for (time, angle) in release.time.iter().zip(&release.angle) {
        let expected = start * swing.share_after(*time).unwrap();
        // The tolerance of the integration, 1e-10 a step, summed over a hundred steps.
        assert!(
            (angle - expected).abs() <= 1e-8,
            "{time}: {angle} {expected}"
        );
    }
    assert!((release.overshoot(0.0).unwrap().unwrap() - swing.overshoot()).abs() <= 1e-7);
    let settled = swing.settling_time(0.02).unwrap().unwrap();
    assert!((swing.share_after(settled).unwrap().abs() - 0.02).abs() <= 1e-12);
    let found = release.settling_time(0.0, 0.02 * start).unwrap().unwrap();
    assert!((found - settled).abs() <= 2e-3, "{found} {settled}");
    assert!(release.rest.is_none());
}

fn spec(start: f64, duration: f64) -> FreeResponseSpec {
    FreeResponseSpec {
        way: Way::FIRST,
        start,
        duration,
        points: 1001,
        rebound: 0.0,
    }
}

/// Coulomb friction alone takes 2 T/K from the amplitude with every half swing, each of which takes pi / w; then it
/// sticks.
#[test]
fn let_go_with_coulomb_friction() {
    let (rate, inertia, friction) = (40.0, 0.1, 0.9);
    let control = lever(vec![
        twist(rate),
        Element::Inertia {
            body: Body::Lever,
            moment: inertia,
        },
        bearing_friction(friction),
    ]);
    let release = control.free_response(&spec(0.2, 2.0)).unwrap();
    let half = std::f64::consts::PI / 20.0;
    // 0.2, then -0.155, 0.11, -0.065, 0.02, which is within T/K = 0.0225.
    assert_eq!(release.turns.len(), 4);
    for (i, [time, angle]) in release.turns.iter().enumerate() {
        let left = 0.2 - 0.045 * (i as f64 + 1.0);
        assert!((time - half * (i as f64 + 1.0)).abs() <= 1e-8, "{time}");
        assert!((angle.abs() - left).abs() <= 1e-8, "{angle} {left}");
    }
    let [time, angle] = release.rest.unwrap();
    assert!((time - 4.0 * half).abs() <= 1e-8 && (angle - 0.02).abs() <= 1e-8);
    assert_eq!(*release.angle.last().unwrap(), angle);
}

/// From one stop over a breakout to the other stop, where it rebounds; without losses the energy stays.
#[test]
fn energy_is_kept() {
    let control = lever(vec![
        breakout(0.3, 2.0),
        Element::Mass {
            mass: 0.4,
            at: anchor(Body::Lever, 0.0, 0.0, 350.0),
        },
    ]);
    let release = control
        .free_response(&FreeResponseSpec {
            rebound: 1.0,
            ..spec(0.2, 3.0)
        })
        .unwrap();
    let inertia = 0.4 * 0.35 * 0.35;
    let energy = |i: usize| {
        control.state(&[release.angle[i]]).unwrap().energy
            + 0.5 * inertia * release.speed[i].powi(2)
    };
    let first = energy(0);
    for i in 0..release.time.len() {
        assert!(
            (energy(i) - first).abs() <= 1e-8 * first,
            "{i}: {} {first}",
            energy(i)
        );
    }
    assert!(release.turns.len() > 5);
}

#[test]
fn a_stop_catches_it() {
    // A weight that falls over onto a stop.
    let falling = Control::new(ControlSpec {
        gravity: GRAVITY,
        ..lever(vec![Element::Mass {
            mass: 0.4,
            at: anchor(Body::Lever, 0.0, 0.0, 350.0),
        }])
        .spec()
        .clone()
    })
    .unwrap();
    let release = falling.free_response(&spec(0.01, 5.0)).unwrap();
    assert_eq!(release.stops.len(), 1);
    assert_eq!(release.rest.unwrap()[1], 15.0 * DEG);
}

#[test]
fn a_breakout_swallows_a_damped_swing() {
    let control = lever(vec![
        breakout(0.3, 2.0),
        Element::Inertia {
            body: Body::Lever,
            moment: 0.05,
        },
        Element::Damper {
            body: Body::Lever,
            damping: 0.1,
        },
        bearing_friction(0.01),
    ]);
    let release = control.free_response(&spec(0.2, 20.0)).unwrap();
    assert_eq!(release.rest.unwrap()[1], 0.0);
    assert!(matches!(
        control.second_order_response(Way::FIRST),
        Err(Error::OutOfRange { .. })
    ));
}

fn text<T: std::fmt::Debug>(result: yokewright::Result<T>) -> String {
    result.unwrap_err().to_string()
}

#[test]
fn refusals_say_why() {
    let base = lever(vec![]).spec().clone();
    let with = |elements: Vec<Element>| {
        text(Control::new(ControlSpec {
            elements,
            ..base.clone()
        }))
    };
    let spring = |a: Anchor, b: Anchor| Element::line(extension(500.0, 80.0 * MM, 0.0), a, b);
    let here = anchor(Body::Lever, 0.0, 0.0, 60.0);
    let same = anchor(Body::Ground, 0.0, 0.0, 60.0);
    assert!(with(vec![spring(here, same)]).contains("coincide"));
    let ring = with(vec![spring(anchor(Body::Ring, 1.0, 2.0, 3.0), same)]);
    assert!(ring.contains("'ring'") && ring.contains("lever"), "{ring}");
    let missing = with(vec![spring(anchor(Body::Driven(0), 1.0, 2.0, 3.0), same)]);
    assert!(missing.contains("'driven 0'"), "{missing}");
    let ground = with(vec![Element::Damper {
        body: Body::Ground,
        damping: 1.0,
    }]);
    assert!(ground.contains("'ground'"), "{ground}");
    assert!(
        with(vec![Element::Mass {
            mass: -1.0,
            at: here
        }])
        .contains("mass")
    );
    let near = Control::new(ControlSpec {
        grip: Point3::origin(),
        ..base.clone()
    });
    assert!(text(near).contains("grip"));
    let degrees = Control::new(ControlSpec {
        travel: vec![[-15.0, 15.0]],
        ..base.clone()
    });
    assert!(text(degrees).contains("did you mean -15 * DEG?"));
    let two = Control::new(ControlSpec {
        travel: vec![[-0.1, 0.1]; 2],
        ..base.clone()
    });
    assert!(text(two).contains("2 given, 1 needed"));
    let down = Control::new(ControlSpec {
        travel: vec![[0.1, -0.1]],
        ..base.clone()
    });
    assert!(text(down).contains("not below"));
    let loose = Drive::ratio(pivot([0.0; 3], [0.0, 0.0, 1.0]), Body::Driven(0), 1.0).unwrap();
    let circle = Control::new(ControlSpec {
        driven: vec![loose],
        ..base
    });
    assert!(text(circle).contains("drives another"));
    assert!(text(Pivot::new(Point3::origin(), Vector3::zeros())).contains("points nowhere"));
    assert!(text(lever(vec![]).state(&[0.3])).contains("angle of the control"));
    assert!(text(lever(vec![]).state(&[0.1, 0.1])).contains("2 given"));
    assert!(text(lever(vec![]).free_response(&spec(0.1, 1.0))).contains("inertia"));
    assert!(text(Breakout::new(Body::Lever, f64::NAN, 0.0, 0.0)).contains("NaN"));
    let heavy = lever(vec![
        twist(4.0),
        Element::Inertia {
            body: Body::Lever,
            moment: 1e-9,
        },
        Element::Damper {
            body: Body::Lever,
            damping: 100.0,
        },
    ]);
    assert!(matches!(
        heavy.free_response(&spec(0.1, 10.0)),
        Err(Error::Stalled { .. })
    ));
    let gimbal = Bearing::Gimbal {
        outer: pivot([0.0; 3], [1.0, 0.0, 0.0]),
        inner: pivot([0.0; 3], [1.0, 0.0, 0.0]),
    };
    let same_way = Control::new(ControlSpec {
        bearing: gimbal,
        travel: vec![[-0.1, 0.1]; 2],
        ..lever(vec![]).spec().clone()
    });
    assert!(text(same_way.unwrap().state(&[0.0, 0.0])).contains("ways of the grip"));
}

/// A crank driven by a pedal through a rod with ball joints, a spring on the crank: the pedal's torque is that of the
/// crank times the ratio.
#[test]
fn through_a_ball_rod() {
    let pedal = Arm::new(
        Point3::origin(),
        Vector3::x(),
        Point3::new(0.0, 0.0, 120.0 * MM),
    )
    .unwrap();
    let at = Point3::new(-60.0, 150.0, 110.0) * MM;
    let crank = Arm::new(
        at,
        Vector3::new(0.1, 0.0, 1.0),
        at + Vector3::x() * (50.0 * MM),
    )
    .unwrap();
    let rod = BallRod::new(pedal, crank).unwrap();
    let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec {
        rate: 5.0,
        free_angle: 0.0,
        action: SpringAction::Both,
        min_angle: None,
        max_angle: None,
    })
    .unwrap();
    let spec = ControlSpec {
        driven: vec![Drive::ball_rod(Body::Lever, rod).unwrap()],
        elements: vec![
            Element::Torsion {
                spring,
                body: Body::Driven(0),
            },
            Element::Inertia {
                body: Body::Driven(0),
                moment: 0.02,
            },
        ],
        ..lever(vec![]).spec().clone()
    };
    let control = Control::new(spec.clone()).unwrap();
    for angle in [-0.2, 0.0, 0.15] {
        let through = rod.transfer(angle).unwrap();
        let state = control.state(&[angle]).unwrap();
        let torque = -5.0 * through.angle * through.ratio;
        assert!((state.torque[0] - torque).abs() <= ROUNDING);
        let stiffness = 5.0 * (through.ratio.powi(2) + through.angle * through.curvature);
        assert!((state.stiffness[0][0] - stiffness).abs() <= 1e-12);
    }
    let swing = control.second_order_response(Way::FIRST).unwrap();
    assert!(
        (swing.natural_frequency() - (5.0f64 / 0.02).sqrt()).abs() <= 1e-9,
        "ratio squared on both"
    );
    // The rod must sit on the pedal's own pivot.
    let elsewhere = Bearing::Single(pivot([0.0, 5.0, 0.0], [1.0, 0.0, 0.0]));
    let refused = Control::new(ControlSpec {
        bearing: elsewhere,
        ..spec
    });
    assert!(text(refused).contains("input pivot"));
}

/// A rod with ball joints between parallel pivots is a planar four-bar, and both couplings say so.
#[test]
fn through_a_four_bar() {
    let (ground, crank, rocker) = (150.0 * MM, 120.0 * MM, 90.0 * MM);
    // In the plane x = 0 with the ground along y: the crank stands up at 90 deg, the rocker at 80 deg.
    let tip = Point3::new(0.0, 0.0, crank);
    let far = Point3::new(0.0, ground, 0.0);
    let rocker_angle = 80.0 * DEG;
    let end = far + Vector3::new(0.0, rocker_angle.cos(), rocker_angle.sin()) * rocker;
    let coupler = (end - tip).norm();
    let linkage = FourBar::new(ground, crank, coupler, rocker).unwrap();
    let branch = [Branch::Open, Branch::Crossed]
        .into_iter()
        .find(|branch| {
            (linkage.transfer(90.0 * DEG, *branch).unwrap().angle - rocker_angle).abs() < 1e-9
        })
        .unwrap();
    let output = pivot([0.0, 150.0, 0.0], [-1.0, 0.0, 0.0]);
    let planar = Drive::four_bar(output, Body::Lever, linkage, branch, 90.0 * DEG).unwrap();
    let arms = [
        Arm::new(Point3::origin(), Vector3::x(), tip).unwrap(),
        Arm::new(far, -Vector3::x(), end).unwrap(),
    ];
    let spatial = Drive::ball_rod(Body::Lever, BallRod::new(arms[0], arms[1]).unwrap()).unwrap();
    let states = [planar, spatial].map(|drive| {
        let control = Control::new(ControlSpec {
            driven: vec![drive],
            elements: vec![Element::line(
                extension(800.0, 40.0 * MM, 0.0),
                anchor(Body::Driven(0), 0.0, 160.0, 50.0),
                anchor(Body::Ground, 10.0, 250.0, 60.0),
            )],
            ..lever(vec![]).spec().clone()
        })
        .unwrap();
        control.state(&[0.17]).unwrap()
    });
    assert!((states[0].torque[0] - states[1].torque[0]).abs() <= 1e-12);
    assert!((states[0].stiffness[0][0] - states[1].stiffness[0][0]).abs() <= 1e-10);
    assert!(states[0].torque[0].abs() > 0.1);
}

/// Lengths over the gate, by hand: sqrt(d^2 + ...) is greatest and least at the stops.
#[test]
fn springs_over_the_gate() {
    let longest = |elements| lever(elements).spring_envelopes(41).unwrap();
    let spans = longest(opposed(500.0, 110.0 * MM));
    assert_eq!(spans.len(), 2);
    let length = |q: f64| (0.12 - 0.06 * q.sin()).hypot(0.06 - 0.06 * q.cos());
    let stop = 15.0 * DEG;
    // The right one is shortest where the lever leans to -q, that is to +y.
    assert!((spans[1].shortest.0 - length(stop)).abs() <= 1e-15);
    assert!((spans[1].longest.0 - length(-stop)).abs() <= 1e-15);
    assert_eq!(spans[1].shortest.1, [-stop]);
    assert!(spans[1].slack.is_some() && spans[1].solid.is_none() && spans[1].refused.is_none());
    // An extreme within the gate: a spring that points at the pivot is longest or shortest at the center.
    let over = vec![Element::line(
        extension(100.0, 10.0 * MM, 0.0),
        anchor(Body::Lever, 0.0, 0.0, 60.0),
        anchor(Body::Ground, 0.0, 1.0, -50.0),
    )];
    let span = &longest(over)[0];
    assert!((span.longest.0 - (0.06 + 0.001f64.hypot(0.05))).abs() <= 1e-12);
}

/// A spring that points at the pivot and is just at its free length there, shortest: either way it grows, into its
/// initial tension. In numbers that are exact: arms of 1/16 and 3/16 m, a length of 1/8 m.
#[test]
fn initial_tension_at_the_shortest_length() {
    let place = |body, z: f64| Anchor::new(body, Point3::new(0.0, 0.0, z)).unwrap();
    let control = lever(vec![Element::line(
        extension(400.0, 0.125, 5.0),
        place(Body::Lever, 0.0625),
        place(Body::Ground, 0.1875),
    )]);
    let state = control.state(&[0.0]).unwrap();
    assert_eq!(state.torque[0], 0.0);
    // L^2 = r^2 + R^2 - 2 r R cos q, so that L'' = r R / L at q = 0.
    let expected = 5.0 * 0.0625 * 0.1875 / 0.125;
    assert!((state.stiffness[0][0] - expected).abs() <= 1e-14);
}

/// A body that turns by -50 to 150 degrees: of the two ends the farther one counts, though uphill from the center leads
/// to the nearer. By the law of cosines from arms of 30 and 80 mm.
#[test]
fn springs_over_a_gate_with_two_rises() {
    let (near, far) = (20.0 * DEG, 200.0 * DEG);
    let to = |angle: f64| {
        Element::line(
            extension(100.0, 10.0 * MM, 0.0),
            anchor(Body::Driven(0), 0.0, 30.0, 0.0),
            anchor(Body::Ground, 0.0, 80.0 * angle.cos(), 80.0 * angle.sin()),
        )
    };
    let control = Control::new(ControlSpec {
        travel: vec![[-5.0 * DEG, 15.0 * DEG]],
        driven: vec![Drive::ratio(pivot([0.0; 3], [1.0, 0.0, 0.0]), Body::Lever, 10.0).unwrap()],
        elements: vec![to(near), to(far)],
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    let spans = control.spring_envelopes(41).unwrap();
    let length = |apart: f64| {
        let square = 30.0_f64.powi(2) + 80.0_f64.powi(2) - 2.0 * 30.0 * 80.0 * apart.cos();
        square.sqrt() * MM
    };
    // The first is nearest at 20 degrees and farthest at the stop at 150; the second is farthest at 20 and nearest at
    // that stop.
    let stop = 15.0 * DEG;
    assert!((spans[0].longest.0 - length(130.0 * DEG)).abs() <= 1e-15);
    assert!((spans[1].shortest.0 - length(50.0 * DEG)).abs() <= 1e-15);
    assert_eq!(
        (&spans[0].longest.1, &spans[1].shortest.1),
        (&vec![stop], &vec![stop])
    );
    // At an extreme within, lengths are flat: angles to 1e-8.
    assert!((spans[0].shortest.0 - 50.0 * MM).abs() <= 1e-14);
    assert!((spans[1].longest.0 - 110.0 * MM).abs() <= 1e-14);
}

/// A stick with like springs on both axes and its weight: it balances upright if they are stiff enough, else it falls
/// into a corner of its gate.
#[test]
fn a_stick_in_a_gimbal_balances() {
    let stick = |rate: f64, preload: f64| {
        let spring = |y: f64, x: f64| {
            Element::line(
                extension(rate, 80.0 * MM, 0.0),
                anchor(Body::Lever, 0.0, 0.0, 60.0),
                anchor(Body::Ground, x, y, 60.0),
            )
        };
        let mut elements = vec![
            spring(120.0, 0.0),
            spring(-120.0, 0.0),
            spring(0.0, 120.0),
            spring(0.0, -120.0),
            Element::Mass {
                mass: 0.5,
                at: anchor(Body::Lever, 0.0, 0.0, 380.0),
            },
        ];
        for body in [Body::Ring, Body::Lever] {
            elements.push(Element::Breakout(
                Breakout::new(body, preload, 0.0, 0.0).unwrap(),
            ));
        }
        Control::new(ControlSpec {
            bearing: Bearing::Gimbal {
                outer: pivot([0.0; 3], [1.0, 0.0, 0.0]),
                inner: pivot([0.0; 3], [0.0, 1.0, 0.0]),
            },
            travel: vec![[-0.3, 0.3]; 2],
            elements,
            gravity: GRAVITY,
            ..lever(vec![]).spec().clone()
        })
        .unwrap()
    };
    let firm = stick(900.0, 0.0).equilibrium(&[0.2, -0.1]).unwrap();
    assert!(
        firm.stable && firm.angles.iter().all(|angle| angle.abs() <= 1e-9),
        "{firm:?}"
    );
    assert!(firm.stiffness[0] > 0.0);
    let weak = stick(50.0, 0.0).equilibrium(&[0.2, -0.1]).unwrap();
    assert_eq!(weak.angles, [0.3, -0.3]);
    assert!(weak.stable && weak.stiffness[0] < 0.0);
    // A breakout catches the weak one too, if it starts near enough.
    let caught = stick(50.0, 0.3).equilibrium(&[0.01, -0.02]).unwrap();
    assert!(
        caught.stable && caught.angles.iter().all(|angle| *angle == 0.0),
        "{caught:?}"
    );
}
