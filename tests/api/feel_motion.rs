//! How a control moves: the closed forms beside a plain Runge-Kutta, stops and rebounds by their energy, and what is
//! read off a motion by hand.

use nalgebra::Vector3;
use yokewright::Error;
use yokewright::feel::{
    Body, Control, ControlSpec, Element, EquilibriumKind, FreeResponse, FreeResponseSpec,
    SecondOrderResponse, Way,
};
use yokewright::spring::{LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction};
use yokewright::units::DEG;

use crate::feel_controls::{bearing_friction, breakout, lever, twist};

fn inertia(moment: f64) -> Element {
    Element::Inertia {
        body: Body::Lever,
        moment,
    }
}

fn wound(rate: f64, free_angle: f64) -> Element {
    let spec = LinearTorsionSpringSpec {
        rate,
        free_angle,
        action: SpringAction::Both,
        min_angle: None,
        max_angle: None,
    };
    Element::Torsion {
        spring: LinearTorsionSpring::new(spec).unwrap(),
        body: Body::Lever,
    }
}

fn spec(start: f64, duration: f64) -> FreeResponseSpec {
    FreeResponseSpec {
        way: Way::FIRST,
        start,
        duration,
        points: 2001,
        rebound: 0.0,
    }
}

/// J x'' + c x' + K x = 0 from x = 1 at rest, by the classical Runge-Kutta method: at equal steps of time.
fn run(stiffness: f64, inertia: f64, damping: f64, step: f64, count: usize) -> Vec<f64> {
    let rate = |[x, v]: [f64; 2]| [v, -(stiffness * x + damping * v) / inertia];
    let mut state = [1.0, 0.0];
    let mut all = vec![1.0];
    for _ in 0..count {
        let along = |k: [f64; 2], by: f64| [state[0] + by * k[0], state[1] + by * k[1]];
        let a = rate(state);
        let b = rate(along(a, 0.5 * step));
        let c = rate(along(b, 0.5 * step));
        let d = rate(along(c, step));
        for i in 0..2 {
            state[i] += step / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]);
        }
        all.push(state[0]);
    }
    all
}

/// Swinging, just not swinging, nearly so on either side, and creeping.
#[test]
fn a_swing_beside_runge_kutta() {
    let (stiffness, moment) = (40.0, 0.1);
    for ratio in [0.0, 0.05, 0.3, 0.9, 0.9999, 1.0, 1.0001, 1.5, 6.0] {
        let damping = 2.0 * ratio * 2.0; // sqrt(40 * 0.1) = 2
        let swing = SecondOrderResponse::new(stiffness, moment, damping).unwrap();
        assert!((swing.natural_frequency() - 20.0).abs() <= 1e-13);
        assert!((swing.damping_ratio() - ratio).abs() <= 1e-15);
        let (step, count) = (2e-4, 10_000);
        let shares = run(stiffness, moment, damping, step, count);
        for (i, share) in shares.iter().enumerate() {
            let found = swing.share_after(step * i as f64).unwrap();
            // The method's error, (w h)^4 / 120 for each radian of swing, of which there are 40: 1e-10; more where a
            // fast decay of 240 /s is followed.
            assert!(
                (found - share).abs() <= 1e-8,
                "{ratio} {i}: {found} {share}"
            );
        }
        let least = shares.iter().fold(0.0_f64, |a, b| a.min(*b));
        // The turn lies within a step of a place: (w h)^2 / 8 of it is missed.
        assert!(
            (swing.overshoot() + least).abs() <= 3e-6,
            "{ratio}: {least}"
        );
        for share in [0.02, 0.3, 0.7] {
            let last = shares.iter().rposition(|x| x.abs() > share);
            match swing.settling_time(share).unwrap() {
                None => assert!(ratio == 0.0),
                Some(time) if time < 1.99 => {
                    let last = last.expect("it begins at 1") as f64 * step;
                    assert!(
                        (last..=last + step).contains(&time),
                        "{ratio} {share}: {time} {last}"
                    );
                }
                Some(_) => assert!(last.is_some_and(|last| last + 100 > count)),
            }
        }
        match swing.period() {
            Some(period) => {
                assert!(ratio < 1.0);
                let expected = std::f64::consts::TAU / (20.0 * (1.0 - ratio * ratio).sqrt());
                assert!((period - expected).abs() <= 1e-12 * expected, "{period}");
            }
            None => assert!(ratio >= 1.0),
        }
    }
}

/// Pushed against its stops by a constant torque (a spring wound up far): s = T t^2 / 2 J, and at each hit the share of
/// speed kept.
#[test]
fn a_stop_gives_back_its_share() {
    // 1e-3 N m/rad wound by 100 rad: 0.1 N m, and 0.03 % less for a quarter radian of travel.
    let (moment, rebound) = (0.01, 0.5);
    let stop = 15.0 * DEG;
    let control = lever(vec![wound(1e-3, 100.0), inertia(moment)]);
    let released = FreeResponseSpec {
        rebound,
        ..spec(-0.1, 3.0)
    };
    let release = control.free_response(&released).unwrap();
    // A torque that changes along a straight line: q = 100 - (100 - q0) cos(w t).
    let frequency = (1e-3_f64 / moment).sqrt();
    let hit = ((100.0 - stop) / (100.0 + 0.1)).acos() / frequency;
    assert!((release.stops[0][0] - hit).abs() <= 1e-8, "{hit}");
    assert!(release.stops.iter().all(|[_, angle]| *angle == stop));
    let speed = 100.1 * frequency * (frequency * hit).sin();
    // Energy at the turn between two hits: the speed left is the share of what it hit with.
    let depth =
        |speed: f64| 100.0 - stop - ((100.0 - stop).powi(2) + (speed / frequency).powi(2)).sqrt();
    for (i, [_, angle]) in release.turns.iter().take(4).enumerate() {
        let left = speed * rebound.powi(i as i32 + 1);
        assert!((angle - stop - depth(left)).abs() <= 1e-8, "{i}: {angle}");
    }
    // Each time in the air is half of the one before; they add up to a rest against the stop.
    let [time, angle] = release.rest.unwrap();
    assert_eq!(angle, stop);
    let air = 2.0 * (speed * rebound / frequency / (100.0 - stop)).atan() / frequency;
    assert!(
        (time - (hit + 2.0 * air)).abs() <= 1e-3,
        "{time} {hit} {air}"
    );
    assert_eq!(*release.angle.last().unwrap(), stop);
    assert_eq!(*release.speed.last().unwrap(), 0.0);
    // Nothing given back: it stays at the first hit.
    let dead = control.free_response(&spec(-0.1, 3.0)).unwrap();
    assert_eq!(dead.stops.len(), 1);
    assert!((dead.rest.unwrap()[0] - hit).abs() <= 1e-8);
    // Let go at a stop that it is pushed against, it does not move.
    let still = control.free_response(&spec(stop, 1.0)).unwrap();
    assert_eq!(still.rest, Some([0.0, stop]));
    assert!(still.stops.is_empty() && still.turns.is_empty());
}

/// It starts the way it is pushed, and stays where friction or a breakout holds it.
#[test]
fn let_go_within_what_holds_it() {
    let held = lever(vec![twist(4.0), bearing_friction(0.4), inertia(0.01)]);
    for start in [-0.099, 0.0, 0.05, 0.0999] {
        let release = held.free_response(&spec(start, 1.0)).unwrap();
        assert_eq!(release.rest, Some([0.0, start]));
        assert!(release.angle.iter().all(|angle| *angle == start));
    }
    for start in [-0.101, 0.101] {
        let release = held.free_response(&spec(start, 1.0)).unwrap();
        let [time, angle] = release.rest.unwrap();
        assert!(time > 0.1 && angle.abs() < 0.1, "{time} {angle}");
        // It stops where it began, less twice what is beyond the band.
        assert!((angle - 0.099_f64.copysign(start)).abs() <= 1e-8);
    }
    let caught = lever(vec![breakout(0.3, 2.0), inertia(0.01)]);
    assert_eq!(
        caught.free_response(&spec(0.0, 1.0)).unwrap().rest,
        Some([0.0, 0.0])
    );
}

/// The rows of a motion of which everything is known: x = 0.2, 0.1, -0.1, 0.05, 0 at 0, 1, 2, 3, 4 s.
#[test]
fn read_off_a_motion() {
    let release = FreeResponse {
        time: vec![0.0, 1.0, 2.0, 3.0, 4.0],
        angle: vec![0.2, 0.1, -0.1, 0.05, 0.0],
        speed: vec![0.0; 5],
        turns: vec![[2.2, -0.12], [3.1, 0.06]],
        stops: vec![],
        rest: None,
    };
    let overshoot = |center: f64| release.overshoot(center).unwrap();
    assert!((overshoot(0.0).unwrap() - 0.6).abs() <= 1e-15);
    assert!((overshoot(0.1).unwrap() - 2.2).abs() <= 1e-14);
    // From below the center it goes further down only.
    assert_eq!(overshoot(0.3), Some(0.0));
    assert_eq!(overshoot(0.2), None);
    let settled = |center: f64, band: f64| release.settling_time(center, band).unwrap();
    // From 0.05 to 0 it passes 0.02 after six tenths.
    assert!((settled(0.0, 0.02).unwrap() - 3.6).abs() <= 1e-14);
    // From -0.1 to 0.05 it passes -0.06 after four fifteenths.
    assert!((settled(0.0, 0.06).unwrap() - (2.0 + 4.0 / 15.0)).abs() <= 1e-14);
    assert!((settled(0.01, 0.03).unwrap() - 3.2).abs() <= 1e-14);
    assert_eq!(settled(0.0, 0.2), Some(0.0));
    assert_eq!(settled(0.1, 0.05), None);
    assert!(matches!(
        release.overshoot(f64::NAN),
        Err(Error::NotFinite { .. })
    ));
    assert!(matches!(
        release.settling_time(f64::NAN, 0.1),
        Err(Error::NotFinite { .. })
    ));
    assert!(matches!(
        release.settling_time(0.0, f64::NAN),
        Err(Error::NotFinite { .. })
    ));
    assert!(matches!(
        release.settling_time(0.0, -0.1),
        Err(Error::OutOfRange { .. })
    ));
    let tiny = FreeResponse {
        angle: vec![5e-324, -0.1],
        time: vec![0.0, 1.0],
        ..release.clone()
    };
    assert!(matches!(tiny.overshoot(0.0), Err(Error::NotFinite { .. })));
    let nothing = FreeResponse {
        angle: vec![],
        time: vec![],
        ..release
    };
    assert_eq!(nothing.overshoot(0.0), Ok(None));
    assert_eq!(nothing.settling_time(0.0, 0.1), Ok(None));
}

/// A control with two notches swings about the one nearest to zero, wherever the others lie.
#[test]
fn a_swing_about_the_nearest_rest() {
    use yokewright::feel::{Cam, CamEnds, CamSpec};
    for (near, far) in [(0.06, -0.2), (-0.06, 0.2), (0.06, 0.2), (-0.06, -0.2)] {
        // Notches at both places, with crests a little to either side.
        let mut points: Vec<[f64; 2]> = vec![[-0.3, 3e-3], [0.3, 3e-3]];
        for (notch, width) in [(near, 0.02), (far, 0.04)] {
            points.extend([[notch - width, 2e-3], [notch, 0.0], [notch + width, 2e-3]]);
        }
        points.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let cam = Cam::new(CamSpec {
            body: Body::Lever,
            angles: points.iter().map(|p| p[0]).collect(),
            lifts: points.iter().map(|p| p[1]).collect(),
            ends: CamEnds::Refused,
            preload: 20.0,
            rate: 0.0,
        })
        .unwrap();
        let control = lever(vec![Element::Cam(cam), inertia(0.01)]);
        let rests = control.equilibrium_bands(Way::FIRST).unwrap();
        let stable: Vec<f64> = rests
            .iter()
            .filter(|r| r.stable)
            .map(|r| r.middle())
            .collect();
        assert_eq!(stable.len(), 2, "{rests:?}");
        // Monotone cubics in the notch: 20 N times 6 lift / width^2 and more at the bottom; what matters is that it is
        // that of the near one.
        let swing = control.second_order_response(Way::FIRST).unwrap();
        let at = |angle: f64| control.state(&[angle]).unwrap().stiffness[0][0];
        assert!(
            (swing.stiffness() - at(near)).abs() <= 1e-6 * at(near),
            "{near} {far}"
        );
        assert!(at(near) > 2.0 * at(far));
        let centering = control.centering(Way::FIRST).unwrap();
        assert!((centering.neutral.unwrap() - near).abs() <= 1e-9);
        assert!(!centering.centers());
        // Downhill from between: the one on that side.
        for (start, expected) in [
            (near + 0.01, near),
            (near - 0.01, near),
            (far + 0.01, far),
            (far - 0.01, far),
        ] {
            let balance = control.equilibrium(&[start]).unwrap();
            assert!(
                (balance.angles[0] - expected).abs() <= 1e-9 && balance.stable,
                "{start}"
            );
        }
    }
}

/// No rest away from the stops, a jump at the rest, nothing that has mass: no swing, and the error says why.
#[test]
fn no_swing() {
    let text = |elements| {
        lever(elements)
            .second_order_response(Way::FIRST)
            .unwrap_err()
            .to_string()
    };
    assert!(text(vec![wound(4.0, 2.0), inertia(0.1)]).contains("stable rests"));
    assert!(text(vec![breakout(0.1, 2.0), inertia(0.1)]).contains("jump of the torque"));
    // From -0.1 N m on one side to 0.1 on the other.
    let jump = lever(vec![breakout(0.1, 2.0), inertia(0.1)]).second_order_response(Way::FIRST);
    let Err(Error::OutOfRange { value, .. }) = jump else {
        panic!("{jump:?}")
    };
    assert!((value - 0.2).abs() <= 1e-15, "{value}");
    assert!(text(vec![twist(4.0)]).contains("moment of inertia"));
    let stiff = lever(vec![wound(4.0, 2.0)])
        .equilibrium_bands(Way::FIRST)
        .unwrap();
    assert_eq!(
        (stiff.len(), stiff[0].kind, stiff[0].stable),
        (1, EquilibriumKind::Stop, true)
    );
}

#[test]
fn a_release_checks_what_it_is_given() {
    let control = lever(vec![twist(4.0), inertia(0.01)]);
    let release = |change: &dyn Fn(&mut FreeResponseSpec)| {
        let mut given = spec(0.1, 1.0);
        change(&mut given);
        control.free_response(&given)
    };
    assert!(release(&|_| ()).is_ok());
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1001.0, 1e-320, 1e160] {
        assert!(release(&|s| s.duration = bad).is_err(), "{bad}");
    }
    for bad in [f64::NAN, f64::INFINITY, -0.1, 1.1, 1e308] {
        assert!(release(&|s| s.rebound = bad).is_err(), "{bad}");
    }
    for bad in [f64::NAN, f64::INFINITY, 0.27, -0.27, 1e155] {
        assert!(release(&|s| s.start = bad).is_err(), "{bad}");
    }
    for bad in [0, 1, 1_000_001] {
        assert!(release(&|s| s.points = bad).is_err(), "{bad}");
    }
    for tiny in [1e-320, 1e-160, -0.0] {
        let found = release(&|s| s.start = tiny).unwrap();
        assert!(
            found
                .angle
                .iter()
                .chain(&found.speed)
                .all(|x| x.is_finite())
        );
    }
    let heavy = Control::new(ControlSpec {
        gravity: Vector3::new(0.0, 0.0, -100.0),
        ..lever(vec![inertia(1e-13)]).spec().clone()
    });
    assert!(
        heavy
            .unwrap()
            .free_response(&spec(0.1, 1.0))
            .unwrap_err()
            .to_string()
            .contains("inertia")
    );
}

/// Damped just so that it does not swing, in numbers that meet it exactly: (1 + w t) exp(-w t), with w = 2 rad/s.
#[test]
fn damped_to_the_brink() {
    let swing = SecondOrderResponse::new(4.0, 1.0, 4.0).unwrap();
    for time in [0.0_f64, 0.1, 0.7, 3.0] {
        let expected = (1.0 + 2.0 * time) * (-2.0 * time).exp();
        let found = swing.share_after(time).unwrap();
        assert!(
            (found - expected).abs() <= 1e-15,
            "{time}: {found} {expected}"
        );
    }
    // Where (1 + x) exp(-x) is 0.02, by halving in 30 digits.
    let settled = swing.settling_time(0.02).unwrap().unwrap();
    assert!(
        (settled - 0.5 * 5.833921701917391).abs() <= 1e-12,
        "{settled}"
    );
}
