//! A stick in a gimbal: what belongs to which axis, what a saddle is, and limits over the whole gate, beside brute
//! force.

use nalgebra::{Isometry3, Matrix3x2, Point3, Rotation3, Unit, Vector2, Vector3};
use yokewright::Error;
use yokewright::feel::{
    Anchor, ApproachSide, Bearing, Body, Control, ControlSpec, Drive, Element, EquilibriumKind,
    Friction, GRAVITY, MagnetPair, Way,
};
use yokewright::linkage::Pivot;
use yokewright::magnet::{Block, MagnetGroup};
use yokewright::spring::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};
use yokewright::units::MM;

use crate::feel_controls::{anchor, breakout, extension, gimbal, lever, pivot};

/// Roundings of products of the size 1.
const ROUNDING: f64 = 1e-13;

fn upright(travel: [f64; 2], elements: Vec<Element>, gravity: Vector3<f64>) -> Control {
    Control::new(ControlSpec {
        bearing: Bearing::Gimbal {
            outer: pivot([0.0; 3], [1.0, 0.0, 0.0]),
            inner: pivot([0.0; 3], [0.0, 1.0, 0.0]),
        },
        travel: vec![travel; 2],
        elements,
        gravity,
        ..lever(vec![]).spec().clone()
    })
    .unwrap()
}

/// By Rodrigues' rotations about the two pivots, the inner one first.
fn carried([outer, inner]: [Pivot; 2], [q, p]: [f64; 2], point: Point3<f64>) -> Point3<f64> {
    let turn = |pivot: Pivot, angle: f64, point: Point3<f64>| {
        let axis = Unit::new_normalize(pivot.direction());
        pivot.point() + Rotation3::from_axis_angle(&axis, angle) * (point - pivot.point())
    };
    turn(outer, q, turn(inner, p, point))
}

/// The grip's place, its ways by central differences of second order, and the least force as the pseudo-inverse gives
/// it.
#[test]
fn the_grip_of_a_stick() {
    let control = gimbal();
    let Bearing::Gimbal { outer, inner } = control.spec().bearing else {
        panic!("a gimbal");
    };
    let place = |q| carried([outer, inner], q, control.spec().grip);
    for q in [[0.1, -0.2], [-0.3, 0.05], [0.0, 0.0]] {
        let state = control.state(&q).unwrap();
        assert!((state.grip - place(q)).norm() <= 1e-15, "{q:?}");
        let way = |axis: usize| {
            let at = |step: f64| {
                let mut moved = q;
                moved[axis] += step;
                place(moved)
            };
            (at(1e-5) - at(-1e-5)) / 2e-5
        };
        let ways = Matrix3x2::from_columns(&[way(0), way(1)]);
        let torque = Vector2::from_column_slice(&state.torque);
        // Differences of second order: 1e-10 / 6 of a way of half a meter, and 1e-11 of rounding.
        for axis in 0..2 {
            assert!((state.arm[axis] - ways.column(axis).norm()).abs() <= 1e-9);
            assert!((state.force[axis] * state.arm[axis] + torque[axis]).abs() <= ROUNDING);
        }
        let least = ways.transpose().pseudo_inverse(1e-9).unwrap() * -torque;
        assert!(
            (state.hold - least).norm() <= 1e-7 * (1.0 + least.norm()),
            "{q:?}"
        );
    }
}

/// What rubs in a bearing rubs on its own axis only, and in a rod's joints on the axes that turn it.
#[test]
fn friction_on_its_own_axis() {
    let friction = |element: Element, way: Way| {
        let control = upright([-0.3, 0.3], vec![element], Vector3::zeros());
        control.curve(way, 3).unwrap().friction[1] * 0.4
    };
    let bearing = |body| Element::Friction(Friction::in_bearing(body, 0.07).unwrap());
    let both = |element: Element| {
        [Way::Outer(0.0), Way::Inner(0.0)].map(|way| friction(element.clone(), way))
    };
    let close = |found: [f64; 2], expected: [f64; 2]| {
        let near = |(a, b): (&f64, &f64)| (a - b).abs() <= ROUNDING;
        assert!(
            found.iter().zip(&expected).all(near),
            "{found:?} {expected:?}"
        );
    };
    close(both(bearing(Body::Ring)), [0.07, 0.0]);
    close(both(bearing(Body::Lever)), [0.0, 0.07]);
    // A rod along y from 60 mm up the stick. Pitch moves its end along the rod, so that the rod keeps its direction and
    // the stick's joint slips by the whole angle. Roll turns the stick about the rod, which is free, and takes the
    // rod's end 60 mm along x for a radian: the rod of 120 mm turns by half a radian at both joints.
    let (a, b) = (
        anchor(Body::Lever, 0.0, 0.0, 60.0),
        anchor(Body::Ground, 0.0, 120.0, 60.0),
    );
    let joints = Element::Friction(Friction::in_joints(a, b, 0.02).unwrap());
    close(both(joints), [0.02, 0.02 * (0.5 + 0.5)]);
    // A body that the ring drives rubs on the outer axis, times its ratio.
    let gears = Drive::ratio(pivot([0.0; 3], [0.0, 0.0, 1.0]), Body::Ring, -2.5).unwrap();
    let control = Control::new(ControlSpec {
        driven: vec![gears],
        elements: vec![bearing(Body::Driven(0))],
        ..upright([-0.3, 0.3], vec![], Vector3::zeros())
            .spec()
            .clone()
    })
    .unwrap();
    let driven = [Way::Outer(0.0), Way::Inner(0.0)]
        .map(|way| control.curve(way, 3).unwrap().friction[1] * 0.4);
    close(driven, [0.175, 0.0]);
}

/// Mass, inertia and damping of each axis.
#[test]
fn swings_of_both_axes() {
    let twist = |body, rate: f64| {
        let spec = yokewright::spring::LinearTorsionSpringSpec {
            rate,
            free_angle: 0.0,
            action: SpringAction::Both,
            min_angle: None,
            max_angle: None,
        };
        let spring = yokewright::spring::LinearTorsionSpring::new(spec).unwrap();
        Element::Torsion { spring, body }
    };
    let control = upright(
        [-0.3, 0.3],
        vec![
            twist(Body::Ring, 3.0),
            twist(Body::Lever, 5.0),
            Element::Inertia {
                body: Body::Ring,
                moment: 0.01,
            },
            Element::Inertia {
                body: Body::Lever,
                moment: 0.02,
            },
            Element::Damper {
                body: Body::Ring,
                damping: 0.1,
            },
            Element::Damper {
                body: Body::Lever,
                damping: 0.2,
            },
            Element::Mass {
                mass: 0.5,
                at: anchor(Body::Lever, 30.0, 40.0, 0.0),
            },
            Element::Mass {
                mass: 0.7,
                at: anchor(Body::Ring, 60.0, 20.0, 0.0),
            },
        ],
        Vector3::zeros(),
    );
    let [outer, inner] =
        [Way::Outer(0.0), Way::Inner(0.0)].map(|way| control.second_order_response(way).unwrap());
    for (found, expected) in [
        (outer.stiffness(), 3.0),
        (inner.stiffness(), 5.0),
        // The distances of the masses from the x axis, and of the lever's from the y axis.
        (
            outer.inertia(),
            0.01 + 0.5 * 0.04 * 0.04 + 0.7 * 0.02 * 0.02,
        ),
        (inner.inertia(), 0.02 + 0.5 * 0.03 * 0.03),
        (outer.damping(), 0.1),
        (inner.damping(), 0.2),
    ] {
        assert!((found - expected).abs() <= ROUNDING, "{found} {expected}");
    }
}

/// Opposed springs that pull along one direction of the plane, not tight where the stick stands upright, so that across
/// it they do nothing to first order.
fn opposed_at(azimuth: f64, rate: f64) -> Vec<Element> {
    let to = |sign: f64| {
        let (x, y) = (sign * 120.0 * azimuth.cos(), sign * 120.0 * azimuth.sin());
        let spec = LinearSpringSpec {
            rate,
            free_length: 120.0 * MM,
            initial_tension: 0.0,
            action: SpringAction::Both,
            shortest: None,
            longest: None,
        };
        let spring = LineSpring::from(LinearSpring::new(spec).unwrap());
        Element::line(
            spring,
            anchor(Body::Lever, 0.0, 0.0, 60.0),
            anchor(Body::Ground, x, y, 60.0),
        )
    };
    vec![to(1.0), to(-1.0)]
}

/// A stick that its springs hold one way and its weight pulls over the other way stands on a saddle, however narrow it
/// is and whichever way it lies.
#[test]
fn a_narrow_saddle_is_not_stable() {
    for degrees in 0..36 {
        let azimuth = (f64::from(degrees) * 5.0 + 1.25).to_radians();
        // Nearly along an axis, the springs do not hold the other one: it falls at once.
        if (2.0 * azimuth).sin().abs() < 0.35 {
            continue;
        }
        let mut elements = opposed_at(azimuth, 20_000.0);
        elements.push(Element::Mass {
            mass: 0.5,
            at: anchor(Body::Lever, 0.0, 0.0, 380.0),
        });
        let stick = upright([-0.2, 0.2], elements.clone(), GRAVITY);
        let balance = stick.equilibrium(&[0.0, 0.0]).unwrap();
        assert_eq!(balance.angles, [0.0, 0.0]);
        // 2 k r^2 - m g h along, - m g h across.
        let over = 0.5 * 9.806_65 * 0.38;
        let firm = 2.0 * 20_000.0 * 0.06 * 0.06 - over;
        assert!((balance.stiffness[0] + over).abs() <= 1e-10, "{balance:?}");
        assert!((balance.stiffness[1] - firm).abs() <= 1e-10, "{balance:?}");
        assert!(!balance.stable, "{degrees}");
        // Springs across as well, and it stands.
        elements.extend(opposed_at(azimuth + std::f64::consts::FRAC_PI_2, 500.0));
        let held = upright([-0.2, 0.2], elements, GRAVITY);
        assert!(held.equilibrium(&[0.0, 0.0]).unwrap().stable, "{degrees}");
    }
}

/// The same with magnets that push each other away in place of the weight: their stiffness counts.
#[test]
fn a_saddle_of_magnets_is_not_stable() {
    let cube = |z: f64, way: f64| -> MagnetGroup {
        let pose = Isometry3::translation(0.0, 0.0, z);
        let polarization = Vector3::new(0.0, 0.0, way * 1.2);
        Block::new(Vector3::repeat(6.0 * MM), polarization, pose)
            .unwrap()
            .into()
    };
    let pair = |way: f64| {
        let (by, on) = (cube(-50.0 * MM, 1.0), cube(-40.0 * MM, way));
        Element::Magnets(MagnetPair::new(Body::Ground, by, Body::Lever, on))
    };
    let balance = |way: f64| {
        let mut elements = opposed_at(std::f64::consts::FRAC_PI_4, 5000.0);
        elements.push(pair(way));
        let stick = upright([-0.1, 0.1], elements, Vector3::zeros());
        stick.equilibrium(&[0.0, 0.0]).unwrap()
    };
    let (pushed, pulled) = (balance(-1.0), balance(1.0));
    assert!(!pushed.stable && pushed.stiffness[0] < -0.01, "{pushed:?}");
    assert!(pulled.stable && pulled.stiffness[0] > 0.01, "{pulled:?}");
}

/// A stick that its weight pushes over falls into the corner of its gate on its own side.
#[test]
fn into_a_corner() {
    let weight = Element::Mass {
        mass: 0.5,
        at: anchor(Body::Lever, 0.0, 0.0, 380.0),
    };
    let stick = upright([-0.2, 0.2], vec![weight], GRAVITY);
    for (start, corner) in [
        ([0.2, 0.01], [0.2, 0.2]),
        ([0.01, 0.01], [0.2, 0.2]),
        ([0.2, -0.01], [0.2, -0.2]),
        ([-0.2, 0.01], [-0.2, 0.2]),
        ([-0.01, -0.2], [-0.2, -0.2]),
    ] {
        let balance = stick.equilibrium(&start).unwrap();
        assert!(balance.stable);
        assert_eq!(balance.angles, corner);
    }
}

/// Extremes of every spring over the gate beside a grid of 401 by 401 places, and no state that the grid of a builder
/// misses.
#[test]
fn spans_over_a_gate() {
    let control = gimbal();
    let spans = control.spring_envelopes(41).unwrap();
    assert_eq!(spans.len(), 4);
    let [outer, inner] = [control.spec().travel[0], control.spec().travel[1]];
    let mut brute = vec![(f64::INFINITY, 0.0_f64); 4];
    for i in 0..=400 {
        for j in 0..=400 {
            let at = |[from, to]: [f64; 2], i: i32| from + (to - from) * f64::from(i) / 400.0;
            let state = control.state(&[at(outer, i), at(inner, j)]).unwrap();
            for (found, line) in brute.iter_mut().zip(&state.lines) {
                *found = (found.0.min(line.length), found.1.max(line.length));
            }
        }
    }
    for (span, (least, most)) in spans.iter().zip(brute) {
        // Between the places of the grid it may be shorter or longer by an eighth of its second derivative, up to 0.3
        // m, times the step of 1.7e-3 rad squared.
        assert!(
            span.shortest.0 <= least + 1e-15 && span.shortest.0 > least - 2e-7,
            "{span:?} {least}"
        );
        assert!(
            span.longest.0 >= most - 1e-15 && span.longest.0 < most + 2e-7,
            "{span:?} {most}"
        );
        for (length, at) in [&span.shortest, &span.longest] {
            let lines = control.state(at).unwrap().lines;
            let there = lines
                .iter()
                .find(|line| line.element == span.element)
                .unwrap();
            assert_eq!(there.length, *length);
        }
    }
}

/// A spring that is slack, solid or overstretched only between the places of a coarse grid is found out there.
#[test]
fn a_state_between_the_places_of_the_grid() {
    // Longest at the center of an uneven travel, which no place of the grid meets.
    let on = |law: LineSpring| {
        let elements = vec![Element::line(
            law,
            anchor(Body::Lever, 0.0, 0.0, 60.0),
            anchor(Body::Ground, 0.0, 0.0, -50.0),
        )];
        Control::new(ControlSpec {
            travel: vec![[-0.21, 0.3]],
            ..lever(elements).spec().clone()
        })
        .unwrap()
    };
    let spring = |action, longest: Option<f64>| {
        let spec = LinearSpringSpec {
            rate: 100.0,
            free_length: if action == SpringAction::Below {
                110.0 * MM - 1e-9
            } else {
                10.0 * MM
            },
            initial_tension: 0.0,
            action,
            shortest: None,
            longest,
        };
        LineSpring::from(LinearSpring::new(spec).unwrap())
    };
    let stretched = on(spring(SpringAction::Above, Some(110.0 * MM - 1e-9)));
    let span = &stretched.spring_envelopes(6).unwrap()[0];
    assert!((span.longest.0 - 110.0 * MM).abs() <= 1e-15);
    let at = span.overstretched.clone().unwrap();
    assert!(at[0].abs() < 1e-3, "{at:?}");
    assert_eq!(
        stretched.state(&at).unwrap().lines[0].state.to_string(),
        "overstretched"
    );
    let loose = on(spring(SpringAction::Below, None));
    assert!(loose.spring_envelopes(6).unwrap()[0].slack.is_some());
    let enough = on(spring(SpringAction::Above, Some(110.0 * MM + 1e-9)));
    assert_eq!(enough.spring_envelopes(6).unwrap()[0].overstretched, None);
}

/// A ring's and a lever's stops are their own, and a held angle must be within the other one's.
#[test]
fn angles_of_their_own() {
    let spec = ControlSpec {
        travel: vec![[-0.1, 0.2], [-0.3, 0.4]],
        ..upright([-0.1, 0.1], vec![], Vector3::zeros())
            .spec()
            .clone()
    };
    let control = Control::new(spec.clone()).unwrap();
    let ends = |way| {
        let curve = control.curve(way, 5).unwrap();
        [curve.angle[0], curve.angle[4]]
    };
    assert_eq!(ends(Way::Outer(0.3)), [-0.1, 0.2]);
    assert_eq!(ends(Way::Inner(0.15)), [-0.3, 0.4]);
    assert!(control.curve(Way::Outer(0.5), 5).is_err());
    assert!(control.curve(Way::Inner(0.3), 5).is_err());
    assert!(control.state(&[0.2, 0.4]).is_ok() && control.state(&[0.4, 0.2]).is_err());
    assert!(lever(vec![]).curve(Way::Outer(0.1), 5).is_err());
    // What a lever in a gimbal drives would hang on both angles; a ring may drive, and a lever on one pivot.
    let drive = |body| Drive::ratio(pivot([0.0; 3], [0.0, 0.0, 1.0]), body, 1.0).unwrap();
    let driven = |base: &ControlSpec, body| {
        Control::new(ControlSpec {
            driven: vec![drive(body)],
            ..base.clone()
        })
    };
    let refused = |result: yokewright::Result<Control>| {
        matches!(
            result,
            Err(Error::NotAChoice {
                quantity: "body that drives another",
                ..
            })
        )
    };
    assert!(driven(&spec, Body::Ring).is_ok());
    assert!(refused(driven(&spec, Body::Lever)) && refused(driven(&spec, Body::Ground)));
    let single = lever(vec![]).spec().clone();
    assert!(driven(&single, Body::Lever).is_ok() && refused(driven(&single, Body::Ring)));
    assert!(refused(driven(&single, Body::Driven(0))));
}

/// The energy on both sides of a breakout that stands askew to both axes, from all four quarters.
#[test]
fn a_jump_on_both_axes() {
    let on =
        |body| Element::Breakout(yokewright::feel::Breakout::new(body, 0.3, 1.5, 0.0).unwrap());
    let stick = upright(
        [-0.2, 0.2],
        vec![on(Body::Ring), on(Body::Lever)],
        Vector3::zeros(),
    );
    for (side, sign) in [(ApproachSide::Above, 1.0), (ApproachSide::Below, -1.0)] {
        let state = stick.state_from(&[0.0, 0.0], side).unwrap();
        assert_eq!(state.torque, [-sign * 0.3, -sign * 0.3]);
        assert_eq!(state.stiffness, [[1.5, 0.0], [0.0, 1.5]]);
    }
    assert!(stick.equilibrium(&[0.1, -0.1]).unwrap().stable);
    let rests = stick.equilibrium_bands(Way::Inner(0.1)).unwrap();
    assert_eq!(
        (rests.len(), rests[0].kind, rests[0].middle()),
        (1, EquilibriumKind::Jump, 0.0)
    );
    let one = lever(vec![breakout(0.2, 0.7)]).equilibrium(&[0.1]).unwrap();
    assert_eq!(
        (one.angles.as_slice(), one.stable, one.stiffness),
        ([0.0].as_slice(), true, [0.7; 2])
    );
}

/// Both ends on one body is a slip, of a spring, of magnets and of a rod.
#[test]
fn both_ends_on_one_body() {
    let place = |z: f64| anchor(Body::Lever, 0.0, 0.0, z);
    let spring = Element::line(extension(500.0, 10.0 * MM, 0.0), place(20.0), place(60.0));
    let rod = Element::Friction(Friction::in_joints(place(20.0), place(60.0), 0.1).unwrap());
    let ground = |y: f64| Anchor::new(Body::Ground, Point3::new(0.0, y, 0.0)).unwrap();
    let still = Element::line(extension(500.0, 10.0 * MM, 0.0), ground(0.1), ground(0.2));
    let block = || {
        MagnetGroup::from(
            Block::new(Vector3::repeat(0.005), Vector3::z(), Isometry3::identity()).unwrap(),
        )
    };
    let magnets = Element::Magnets(MagnetPair::new(Body::Lever, block(), Body::Lever, block()));
    for (element, body) in [
        (spring, "'lever'"),
        (rod, "'lever'"),
        (still, "'ground'"),
        (magnets, "'lever'"),
    ] {
        let error = element.check().unwrap_err();
        assert!(matches!(error, Error::SameBody { .. }));
        let text = error.to_string();
        assert!(
            text.contains(body) && text.contains("another body"),
            "{text}"
        );
        let control = Control::new(ControlSpec {
            elements: vec![element],
            ..lever(vec![]).spec().clone()
        });
        assert_eq!(control.unwrap_err(), error);
    }
}

/// Axes that are nearly one: the ways of the grip differ by an angle of the same sine, and a millionth is the least.
#[test]
fn axes_that_are_nearly_one() {
    let hold = |sine: f64| {
        Control::new(ControlSpec {
            bearing: Bearing::Gimbal {
                outer: pivot([0.0; 3], [1.0, 0.0, 0.0]),
                inner: pivot([0.0; 3], [1.0, sine, 0.0]),
            },
            grip: Point3::new(0.0, 0.0, 0.4),
            gravity: Vector3::zeros(),
            ..upright([-0.1, 0.1], vec![], Vector3::zeros())
                .spec()
                .clone()
        })
        .and_then(|control| control.state(&[0.0, 0.0]))
    };
    // Squares of a millionth, from numbers rounded by 1e-16: to one in ten thousand.
    assert!(hold(1.01e-6).is_ok());
    let Err(Error::OutOfRange { value, .. }) = hold(0.99e-6) else {
        panic!("axes that are one")
    };
    assert!((value - 0.99e-6).abs() <= 1e-9, "{value}");
}
