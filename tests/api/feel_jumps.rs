//! Where forces jump: beside brute force and the law of cosines, down to dips that no grid of the travel sees.

use nalgebra::{Point3, Rotation3, Unit};
use yokewright::feel::{Anchor, Bearing, Body, Control, ControlSpec, Element, Way};
use yokewright::linkage::Pivot;
use yokewright::units::MM;

use crate::feel_controls::{anchor, extension, lever, pivot};

/// Of an angle at which a length of decimeters has a slope of centimeters a radian.
const ROUNDING: f64 = 1e-13;

/// Angles that a force curve has twice.
fn jumps(control: &Control, way: Way) -> Vec<f64> {
    let curve = control.curve(way, 2).unwrap();
    let pairs = curve.angle.windows(2);
    pairs
        .filter(|pair| pair[0] == pair[1])
        .map(|pair| pair[0])
        .collect()
}

fn turned(pivot: &Pivot, angle: f64, point: Point3<f64>) -> Point3<f64> {
    let axis = Unit::new_normalize(pivot.direction());
    pivot.point() + Rotation3::from_axis_angle(&axis, angle) * (point - pivot.point())
}

/// Where a function changes its sign over twenty thousand steps and some, halved from there.
fn sign_changes([least, greatest]: [f64; 2], value: impl Fn(f64) -> f64) -> Vec<f64> {
    let at = |i: u32| least + (greatest - least) * f64::from(i) / 20_011.0;
    let change = |i: u32| {
        let (mut a, mut b) = (at(i), at(i + 1));
        let sign = value(a);
        (sign * value(b) < 0.0).then(|| {
            for _ in 0..60 {
                let middle = 0.5 * (a + b);
                if sign * value(middle) > 0.0 {
                    a = middle;
                } else {
                    b = middle;
                }
            }
            0.5 * (a + b)
        })
    };
    (0..20_011).filter_map(change).collect()
}

/// A spring between two bodies of a gimbal that lies askew, along either axis.
#[test]
fn jumps_beside_brute_force() {
    let outer = pivot([3.0, -5.0, 2.0], [1.0, 0.2, -0.1]);
    let inner = pivot([-4.0, 6.0, 11.0], [-0.1, 1.0, 0.3]);
    let travel = [[-0.9, 1.1], [-1.3, 0.7]];
    let on = |body: Body, point: Point3<f64>, [q, p]: [f64; 2]| match body {
        Body::Ground => point,
        Body::Ring => turned(&outer, q, point),
        _ => turned(&outer, q, turned(&inner, p, point)),
    };
    let places = [[60.0, 20.0, -70.0], [10.0, 90.0, 40.0], [-50.0, 15.0, 80.0]];
    let mut found = 0;
    for (i, bodies) in [
        [Body::Ground, Body::Lever],
        [Body::Ring, Body::Lever],
        [Body::Ground, Body::Ring],
    ]
    .into_iter()
    .enumerate()
    {
        let ends = [places[i], places[(i + 1) % 3]];
        let ends = [0, 1].map(|end| anchor(bodies[end], ends[end][0], ends[end][1], ends[end][2]));
        for held in [0.0, 0.4] {
            for (way, axis) in [(Way::Outer(held), 0), (Way::Inner(held), 1)] {
                let length = |angle: f64| {
                    let mut q = [held; 2];
                    q[axis] = angle;
                    let [a, b] = ends.map(|end: Anchor| on(end.body(), end.point(), q));
                    (b - a).norm()
                };
                for at in [-0.83, -0.41, -0.07, 0.22, 0.3, 0.68] {
                    let free = length(at);
                    let spring = extension(800.0, free, 5.0);
                    let control = Control::new(ControlSpec {
                        bearing: Bearing::Gimbal { outer, inner },
                        travel: travel.to_vec(),
                        elements: vec![Element::line(spring, ends[0], ends[1])],
                        ..lever(vec![]).spec().clone()
                    })
                    .unwrap();
                    let brute = sign_changes(travel[axis], |angle| length(angle) - free);
                    let own = jumps(&control, way);
                    // Between bodies that this axis does not move against each other nothing happens.
                    let spread = (length(0.5) - length(-0.7)).abs();
                    if spread < 1e-15 {
                        assert!(own.is_empty(), "{bodies:?} {way:?} {free}: {own:?}");
                        continue;
                    }
                    assert_eq!(
                        own.len(),
                        brute.len(),
                        "{bodies:?} {way:?} {free}: {own:?} {brute:?}"
                    );
                    for (own, brute) in own.iter().zip(&brute) {
                        assert!((own - brute).abs() <= 1e3 * ROUNDING, "{own} {brute}");
                    }
                    found += own.len();
                }
            }
        }
    }
    assert!(found >= 20, "{found}");
}

/// A spring that points at the pivot is shortest there. Where that is a micrometer less than its free length it goes
/// slack within a tenth of a step of the search for rests; where it is just that length it never does.
#[test]
fn a_dip_between_two_steps() {
    let (arm, free) = (60.0 * MM, 100.0 * MM);
    for dip in [
        1e-3 * MM,
        1e-6 * MM,
        1e-8 * MM,
        0.5e-9 * MM,
        0.0,
        -1e-3 * MM,
    ] {
        let high = arm + free - dip;
        let control = Control::new(ControlSpec {
            travel: vec![[-0.503, 0.411]],
            elements: vec![Element::line(
                extension(100.0, free, 2.0),
                Anchor::new(Body::Lever, Point3::new(0.0, 0.0, arm)).unwrap(),
                Anchor::new(Body::Ground, Point3::new(0.0, 0.0, high)).unwrap(),
            )],
            ..lever(vec![]).spec().clone()
        })
        .unwrap();
        let own = jumps(&control, Way::FIRST);
        // What is less than a picometer off does not count.
        if dip <= 1e-12 {
            assert!(own.is_empty(), "{dip}: {own:?}");
            continue;
        }
        // Law of cosines; 1 - cos q by the half angle, or nothing of it would be left.
        let half = (free * free - (high - arm).powi(2)) / (4.0 * arm * high);
        let expected = 2.0 * half.sqrt().asin();
        assert_eq!(own.len(), 2, "{dip}: {own:?}");
        // The square of the length is known to a rounding, and that angle is a root of it.
        let known = 4.0 * f64::EPSILON * free * free / (arm * high * expected);
        for (own, sign) in own.iter().zip([-1.0, 1.0]) {
            assert!(
                (own - sign * expected).abs() <= known,
                "{dip}: {own} {expected}"
            );
        }
        // Within, it is slack and pulls nowhere; beyond, it pulls to both sides.
        let within = control.state(&[0.5 * expected]).unwrap();
        assert_eq!(within.torque, [0.0]);
        assert!(control.state(&[2.0 * expected]).unwrap().torque[0] != 0.0);
    }
}

/// A jump at a stop is none: there is nothing beyond it.
#[test]
fn a_jump_at_a_stop() {
    // A right angle at zero: 3, 4, 5.
    let spring = |travel: [f64; 2]| {
        Control::new(ControlSpec {
            travel: vec![travel],
            elements: vec![Element::line(
                extension(100.0, 50.0 * MM, 2.0),
                anchor(Body::Lever, 0.0, 0.0, 30.0),
                anchor(Body::Ground, 0.0, 40.0, 0.0),
            )],
            ..lever(vec![]).spec().clone()
        })
        .unwrap()
    };
    assert_eq!(jumps(&spring([-0.3, 0.3]), Way::FIRST), [0.0]);
    assert!(jumps(&spring([0.0, 0.3]), Way::FIRST).is_empty());
    assert!(jumps(&spring([-0.3, 0.0]), Way::FIRST).is_empty());
}
