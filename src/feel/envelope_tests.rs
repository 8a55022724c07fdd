use nalgebra::{Point3, Vector3};

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
