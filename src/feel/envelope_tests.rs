use nalgebra::{Point3, Vector3};

use crate::feel::gate_way::GateWay;
use crate::feel::{Anchor, Bearing, Body, Control, ControlSpec, Element, GRAVITY};
use crate::linkage::Pivot;
use crate::spring::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};

fn spring(free_length: f64, limits: Option<[f64; 2]>) -> LineSpring {
    LinearSpring::new(LinearSpringSpec {
        rate: 900.0,
        free_length,
        initial_tension: 3.0,
        action: SpringAction::Above,
        shortest: limits.map(|[shortest, _]| shortest),
        longest: limits.map(|[_, longest]| longest),
    })
    .unwrap()
    .into()
}

/// Two springs that pull at a stick in a gimbal from the frame, the second one from `y`.
fn stick(springs: [LineSpring; 2], y: f64, lever: f64) -> Control {
    let pivot = |axis: Vector3<f64>| Pivot::new(Point3::origin(), axis).unwrap();
    let at = |body: Body, point: [f64; 3]| Anchor::new(body, Point3::from(point)).unwrap();
    let [first, second] = springs;
    Control::new(ControlSpec {
        bearing: Bearing::Gimbal {
            outer: pivot(Vector3::y()),
            inner: pivot(Vector3::x()),
        },
        travel: vec![[-0.2, 0.2], [-0.3, 0.25]],
        grip: Point3::new(0.0, 0.0, 0.4),
        driven: Vec::new(),
        elements: vec![
            Element::line(
                first,
                at(Body::Ground, [0.1, 0.0, -0.07]),
                at(Body::Lever, [0.0, 0.0, -lever]),
            ),
            Element::line(
                second,
                at(Body::Lever, [0.0, 0.0, -lever]),
                at(Body::Ground, [0.0, y, -0.07]),
            ),
        ],
        gravity: GRAVITY,
    })
    .unwrap()
}

/// Lengths that are known of a control with other springs give the same to the last bit; those of one that is built
/// otherwise are not taken.
#[test]
fn what_is_known_changes_nothing() {
    const POINTS: usize = 11;
    let usual = || [spring(0.08, None), spring(0.11, None)];
    let known = stick(usual(), 0.12, 0.07).line_paths(POINTS).unwrap();
    let others = [
        stick(usual(), 0.12, 0.07),
        // Slack in places, solid and overstretched ones.
        stick([spring(0.101, None), spring(0.125, None)], 0.12, 0.07),
        stick(
            [
                spring(0.08, Some([0.095, 0.2])),
                spring(0.09, Some([0.07, 0.13])),
            ],
            0.12,
            0.07,
        ),
        // Other ends.
        stick(usual(), 0.13, 0.07),
        stick(usual(), 0.12, 0.06),
    ];
    let mut seen = [false; 3];
    for (number, control) in others.iter().enumerate() {
        let own = control.spring_envelopes(POINTS).unwrap();
        let with = |known| control.spring_envelopes_along(POINTS, known).unwrap();
        assert_eq!(with(Some(&known)), own, "{number}");
        assert_eq!(known.is_of(control), number < 3, "{number}");
        for one in &own {
            seen[0] |= one.slack.is_some();
            seen[1] |= one.solid.is_some();
            seen[2] |= one.overstretched.is_some();
        }
    }
    assert_eq!(seen, [true; 3]);
    // Another grid finds other extremes to begin from.
    let own = others[0].spring_envelopes(5).unwrap();
    assert_eq!(
        others[0].spring_envelopes_along(5, Some(&known)).unwrap(),
        own
    );
}

/// Lengths by the gate's two angles beside those of all bodies placed, of a spring between any two that no linkage
/// drives; a gimbal whose axes neither cross nor stand at right angles.
#[test]
fn the_way_over_the_gate_is_that_between_the_bodies() {
    let pivot =
        |at: [f64; 3], along: [f64; 3]| Pivot::new(Point3::from(at), Vector3::from(along)).unwrap();
    let at = |body: Body, point: [f64; 3]| Anchor::new(body, Point3::from(point)).unwrap();
    let ends = [
        at(Body::Ground, [0.1, -0.05, -0.07]),
        at(Body::Ring, [0.03, 0.08, 0.02]),
        at(Body::Lever, [-0.02, 0.01, 0.15]),
    ];
    let gimbal = Bearing::Gimbal {
        outer: pivot([0.005, 0.002, -0.01], [1.0, 0.05, 0.2]),
        inner: pivot([-0.01, 0.004, 0.03], [-0.1, 1.0, 0.3]),
    };
    let single = Bearing::Single(pivot([0.005, 0.002, -0.01], [1.0, 0.05, 0.2]));
    // Some roundings of lengths of a quarter of a meter.
    let same = |one: f64, other: f64| (one - other).abs() <= 1e-15;
    for (bearing, pairs) in [
        (gimbal, &[[0, 1], [0, 2], [1, 2], [2, 0]][..]),
        (single, &[[0, 2]]),
    ] {
        let control = Control::new(ControlSpec::new(
            bearing,
            vec![[-0.6, 0.7]; bearing.axes()],
            Point3::new(0.05, 0.1, 0.4),
        ))
        .unwrap();
        for pair in pairs {
            let ends = pair.map(|number| ends[number]);
            let way = GateWay::new(&bearing, &ends).unwrap();
            for first in [-0.6, -0.1, 0.0, 0.7] {
                for second in [-0.5, 0.0, 0.3] {
                    if bearing.axes() == 1 {
                        let exact = control.span(&ends, [first]).unwrap().length;
                        assert!(same(way.length([first]), exact), "{pair:?} {first}");
                    } else {
                        let exact = control.span(&ends, [first, second]).unwrap().length;
                        let length = way.length([first, second]);
                        assert!(same(length, exact), "{pair:?} {first} {second}");
                    }
                }
            }
        }
    }
    let driven = [ends[0], at(Body::Driven(0), [0.0; 3])];
    assert!(GateWay::new(&single, &driven).is_none());
}
