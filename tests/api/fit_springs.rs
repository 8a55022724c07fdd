//! The search for springs: limits over the whole gate, several pairs at once, and that nothing good is lost, beside
//! brute force.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::feel::{
    Anchor, Bearing, Body, Control, ControlSpec, Drive, Element, GRAVITY, MagnetPair, SpringChoice,
    SpringDemand, SpringFit, SpringLayout, TargetValue, Way, requirement,
};
use yokewright::magnet::{Block, MagnetGroup};
use yokewright::spring::{
    BelowTable, ForceTable, LineSpring, LinearSpring, LinearSpringSpec, SpringAction,
};
use yokewright::units::MM;

use crate::feel_controls::{bearing_friction, breakout, lever, pivot, twist};

/// Roundings of sums of forces of the size of 100 N.
const ROUNDING: f64 = 1e-11;

fn spring(rate: f64, free: f64, initial_tension: f64, longest: Option<f64>) -> LineSpring {
    LinearSpring::new(LinearSpringSpec {
        rate,
        free_length: free * MM,
        initial_tension,
        action: SpringAction::Above,
        shortest: None,
        longest: longest.map(|longest| longest * MM),
    })
    .unwrap()
    .into()
}

fn corner(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x, y, z) * MM
}

fn wanted(value: f64, tolerance: f64) -> Option<TargetValue> {
    Some(TargetValue { value, tolerance })
}

/// A pair of springs to the left and right of a lever or stick.
fn pair(choices: Vec<LineSpring>) -> SpringDemand {
    SpringDemand {
        way: Way::FIRST,
        body: Body::Lever,
        on_body: [corner(0.0, 0.0, 30.0), corner(0.0, 10.0, 120.0)],
        on_ground: [corner(0.0, 60.0, 20.0), corner(0.0, 150.0, 120.0)],
        layout: SpringLayout::Mirrored(Vector3::y()),
        choices: choices.into_iter().map(SpringChoice::Spring).collect(),
        may_be_slack: false,
        full_force: None,
        gradient: None,
        breakout: None,
        starts: 16,
    }
}

/// The same on the other axis of a stick: x for y.
fn across(spec: SpringDemand) -> SpringDemand {
    let turned = |corners: [Point3<f64>; 2]| corners.map(|p| Point3::new(p.y, p.x, p.z));
    SpringDemand {
        way: Way::Inner(0.0),
        on_body: turned(spec.on_body),
        on_ground: turned(spec.on_ground),
        layout: SpringLayout::Mirrored(Vector3::x()),
        ..spec
    }
}

fn stick(travel: f64, elements: Vec<Element>) -> Control {
    Control::new(ControlSpec {
        bearing: Bearing::Gimbal {
            outer: pivot([0.0; 3], [1.0, 0.0, 0.0]),
            inner: pivot([0.0; 3], [0.0, 1.0, 0.0]),
        },
        travel: vec![[-travel, travel]; 2],
        elements,
        gravity: GRAVITY,
        ..lever(vec![]).spec().clone()
    })
    .unwrap()
}

fn built<'a>(control: &Control, fits: impl IntoIterator<Item = &'a SpringFit>) -> Control {
    let mut all = control.spec().elements.clone();
    all.extend(fits.into_iter().flat_map(|fit| fit.elements.clone()));
    control.with_elements(all).unwrap()
}

/// The figures of a fit are those of the control that is built with it; every wanted value is met, and every spring
/// keeps its limits over the whole gate.
fn check(control: &Control, specs: &[SpringDemand], fits: &[SpringFit]) {
    let whole = built(control, fits);
    let before = control.spec().elements.len();
    for span in whole.spring_envelopes(101).unwrap() {
        if span.element >= before {
            assert_eq!(
                (&span.solid, &span.overstretched, &span.refused),
                (&None, &None, &None),
                "{span:?}"
            );
            assert!(
                span.slack.is_none() || specs.iter().any(|spec| spec.may_be_slack),
                "{span:?}"
            );
        }
    }
    for (spec, fit) in specs.iter().zip(fits) {
        let curve = whole.curve(spec.way, 3).unwrap();
        let axis = usize::from(matches!(spec.way, Way::Inner(_)));
        let center = whole.state(&vec![0.0; whole.axes()]).unwrap();
        let arm = center.arm[axis];
        let friction = curve.friction[curve.len() / 2];
        let ends = [-curve.force[0], *curve.force.last().unwrap()];
        let full = ends[0].abs().max(ends[1].abs());
        assert!((full - fit.full_force).abs() <= ROUNDING, "{full} {fit:?}");
        let gradient = center.stiffness[axis][axis] / (arm * arm);
        assert!(
            (gradient - fit.gradient).abs() <= ROUNDING * 100.0,
            "{gradient} {fit:?}"
        );
        let breakout = center.force[axis] + friction;
        assert!(
            (breakout - fit.breakout).abs() <= ROUNDING,
            "{breakout} {fit:?}"
        );
        let mut miss: f64 = 0.0;
        let mut against = |wanted: Option<TargetValue>, values: &[f64]| {
            for value in values {
                miss = miss.max(wanted.map_or(0.0, |w| ((value - w.value) / w.tolerance).abs()));
            }
        };
        against(spec.full_force, &ends);
        against(spec.gradient, &[gradient]);
        against(spec.breakout, &[breakout]);
        assert!(
            (miss - fit.miss).abs() <= 1e-6 && miss <= 1.0,
            "{miss} {fit:?}"
        );
        for (element, side) in fit.elements.iter().zip([1.0, -1.0]) {
            let [a, b] = element.anchors().unwrap();
            assert_eq!((a.body(), b.body()), (spec.body, Body::Ground));
            let SpringLayout::Mirrored(normal) = spec.layout else {
                continue;
            };
            for (anchor, corners) in [(a, &spec.on_body), (b, &spec.on_ground)] {
                let place = anchor.point();
                let place = if side > 0.0 {
                    place
                } else {
                    place - normal * (2.0 * normal.dot(&place.coords))
                };
                for i in 0..3 {
                    let (low, high) = (
                        corners[0][i].min(corners[1][i]),
                        corners[0][i].max(corners[1][i]),
                    );
                    assert!(
                        place[i] >= low - 1e-15 && place[i] <= high + 1e-15,
                        "{place} {i}"
                    );
                }
            }
        }
    }
}

/// All by hand on a lever about x: a spring from (0, 0, z) on it to (0, y, 70) mm on the frame and its mirror image, L
/// = |(y + z sin q, 70 - z cos q)|.
struct ByHand {
    rate: f64,
    free: f64,
    longest: f64,
}

impl ByHand {
    fn length(y: f64, z: f64, q: f64) -> f64 {
        (y + z * q.sin()).hypot(0.07 - z * q.cos())
    }

    /// Of one of the two, and its derivative by the angle.
    fn torque(&self, y: f64, z: f64, q: f64) -> f64 {
        let length = Self::length(y, z, q);
        let by = ((y + z * q.sin()) * z * q.cos() + (0.07 - z * q.cos()) * z * q.sin()) / length;
        self.rate * (length - self.free) * by
    }

    fn keeps(&self, y: f64, z: f64) -> bool {
        (0..=60).all(|i| {
            let length = Self::length(y, z, STOP * (f64::from(i) / 30.0 - 1.0));
            length > self.free && length < self.longest
        })
    }
}

const STOP: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// For many demands: every spring with which any of 121 by 121 places meets the demand is among the answers, and some
/// demands cannot be met.
#[test]
fn no_spring_that_fits_is_lost() {
    let drawer = [
        (400.0, 40.0, 100.0),
        (400.0, 70.0, 130.0),
        (900.0, 60.0, 110.0),
        (900.0, 45.0, 80.0),
        (2500.0, 80.0, 120.0),
    ];
    let choices = drawer.map(|(rate, free, longest)| spring(rate, free, 0.0, Some(longest)));
    let by_hand = drawer.map(|(rate, free, longest)| ByHand {
        rate,
        free: free * MM,
        longest: longest * MM,
    });
    let control = lever(vec![]);
    let (mut found, mut none) = (0, 0);
    for full in [2.0, 4.0, 7.0, 11.0, 16.0, 30.0, 60.0] {
        for steepness in [0.8, 0.95, 1.0, 1.1] {
            let gradient = steepness * full / (0.4 * STOP);
            let demand = SpringDemand {
                on_body: [corner(0.0, 0.0, 30.0), corner(0.0, 0.0, 120.0)],
                on_ground: [corner(0.0, 60.0, 70.0), corner(0.0, 150.0, 70.0)],
                full_force: wanted(full, 0.04 * full),
                gradient: wanted(gradient, 0.04 * gradient),
                ..pair(choices.to_vec())
            };
            let mut good = Vec::new();
            for (number, spring) in by_hand.iter().enumerate() {
                let fits = |i: u32| {
                    let (y, z) = (
                        0.06 + 0.09 * f64::from(i % 121) / 120.0,
                        0.03 + 0.09 * f64::from(i / 121) / 120.0,
                    );
                    // The one to the other side is the mirror image.
                    let force = |q: f64| (spring.torque(y, z, q) - spring.torque(y, z, -q)) / 0.4;
                    let slope = (force(1e-5) - force(-1e-5)) / 2e-5 / 0.4;
                    (force(STOP) - full).abs() <= 0.04 * full
                        && (slope - gradient).abs() <= 0.04 * gradient
                        && spring.keeps(y, z)
                };
                if (0..121 * 121).any(fits) {
                    good.push(number);
                }
            }
            let result = control.search_springs(&demand).unwrap();
            // Where nothing is found every spring was tried from every place.
            assert!(result.tried == 80 || !result.found.is_empty(), "{result}");
            let answers = result.found;
            for answer in &answers {
                check(
                    &control,
                    std::slice::from_ref(&demand),
                    std::slice::from_ref(answer),
                );
            }
            assert!(answers.windows(2).all(|two| two[0].miss <= two[1].miss));
            for number in &good {
                assert!(
                    answers.iter().any(|answer| answer.choice == *number),
                    "{full} {steepness} {number}"
                );
            }
            found += good.len();
            none += usize::from(good.is_empty());
        }
    }
    assert!(found > 20 && none > 5, "{found} {none}");
}

/// A limit that binds: the feel asked for is only to be had with the spring as long as it stands, at the corners of the
/// gate. It is found, and within.
#[test]
fn limits_hold_over_the_whole_gate() {
    // Without a limit the corners of the gate stretch the spring by millimeters more than its own axis does.
    let control = stick(0.3, vec![]);
    for (free, full) in [(50.0, 12.0), (60.0, 10.0), (40.0, 13.0)] {
        let demand = |longest: Option<f64>| SpringDemand {
            full_force: wanted(full, 0.3),
            ..pair(vec![spring(700.0, free, 0.0, longest)])
        };
        let free_of_limits = control.search_springs(&demand(None)).unwrap().found;
        let longest = |fit: &SpringFit| {
            let spans = built(&control, [fit]).spring_envelopes(41).unwrap();
            spans.iter().map(|span| span.longest.0).fold(0.0, f64::max)
        };
        // By and by less, until there is none.
        let mut limit = longest(&free_of_limits[0]);
        let mut found = 0;
        let none = loop {
            limit -= 0.5 * MM;
            let demand = demand(Some(limit / MM));
            let result = control.search_springs(&demand).unwrap();
            if result.found.is_empty() {
                break result;
            }
            check(&control, std::slice::from_ref(&demand), &result.found);
            found += 1;
        };
        assert!(found > 5, "{free} {full}: {found} {none}");
        assert!(none.nearest.is_some() && none.fitting == 0, "{none}");
    }
}

/// Pitch and roll together: what one pair adds to the other axis is reckoned with, where one after the other misses.
#[test]
fn two_pairs_at_once() {
    let control = stick(
        0.26,
        vec![Element::Mass {
            mass: 0.3,
            at: Anchor::new(Body::Lever, corner(0.0, 0.0, 380.0)).unwrap(),
        }],
    );
    let drawer = || {
        vec![
            spring(900.0, 50.0, 0.0, Some(140.0)),
            spring(1500.0, 45.0, 3.0, Some(120.0)),
        ]
    };
    let pitch = SpringDemand {
        full_force: wanted(15.0, 0.3),
        ..pair(drawer())
    };
    let roll = across(SpringDemand {
        full_force: wanted(10.0, 0.3),
        gradient: wanted(100.0, 10.0),
        ..pair(drawer())
    });
    let specs = [pitch, roll];
    let answers = control.search_springs_together(&specs).unwrap().found;
    assert!(!answers.is_empty() && answers.len() <= 4);
    let worst = |fits: &[SpringFit]| fits.iter().map(|fit| fit.miss).fold(0.0, f64::max);
    assert!(
        answers
            .windows(2)
            .all(|two| worst(&two[0]) <= worst(&two[1]))
    );
    let mut combinations: Vec<_> = answers
        .iter()
        .map(|fits| [fits[0].choice, fits[1].choice])
        .collect();
    for fits in &answers {
        assert_eq!(fits.len(), 2);
        check(&control, &specs, fits);
    }
    combinations.sort_unstable();
    combinations.dedup();
    assert_eq!(combinations.len(), answers.len());
    // One after the other: the pitch pair alone is right alone, and off by twice its tolerance and more with the roll
    // pair.
    let alone = control.search_springs(&specs[0]).unwrap().found.remove(0);
    check(&control, &specs[..1], std::slice::from_ref(&alone));
    let with_pitch = built(&control, [&alone]);
    let then = with_pitch
        .search_springs(&specs[1])
        .unwrap()
        .found
        .remove(0);
    let both = built(&control, [&alone, &then]);
    let pitch_force = *both.curve(Way::FIRST, 3).unwrap().force.last().unwrap();
    assert!((pitch_force - 15.0).abs() > 0.6, "{pitch_force}");
    // The same input gives the same answer.
    assert_eq!(
        control.search_springs_together(&specs).unwrap().found,
        answers
    );
}

/// Springs of every kind: captured between collars on a driven body, a cord from a table, one that presses.
#[test]
fn every_kind_of_spring() {
    let crank = Drive::ratio(pivot([0.0, 0.0, 0.0], [1.0, 0.0, 0.0]), Body::Lever, 1.5).unwrap();
    let control = Control::new(ControlSpec {
        driven: vec![crank],
        elements: vec![bearing_friction(0.1)],
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    let captured = SpringDemand {
        body: Body::Driven(0),
        layout: SpringLayout::Single,
        choices: vec![SpringChoice::Captured {
            rate: 2000.0,
            stroke: 40.0 * MM,
            preload: [1.0, 60.0],
        }],
        breakout: wanted(6.0, 0.1),
        full_force: wanted(14.0, 0.5),
        ..pair(vec![])
    };
    let fits = control.search_springs(&captured).unwrap().found;
    check(&control, std::slice::from_ref(&captured), &fits);
    let preload = fits[0].preload().unwrap();
    assert!((1.0..=60.0).contains(&preload));
    // The breakout by hand: preload times the lever of the spring about the crank, times the ratio, and the friction.
    let [a, b] = fits[0].elements[0].anchors().unwrap();
    let along = (b.point() - a.point()).normalize();
    let lever_arm = Vector3::x().cross(&a.point().coords).dot(&along).abs();
    let by_hand = (preload * lever_arm * 1.5 + 0.1) / 0.4;
    assert!(
        (fits[0].breakout - by_hand).abs() <= 1e-10,
        "{by_hand} {fits:?}"
    );

    let cord = ForceTable::new(
        &[60.0 * MM, 90.0 * MM, 130.0 * MM],
        &[0.0, 9.0, 16.0],
        BelowTable::Refused,
    );
    let table = SpringDemand {
        full_force: wanted(2.5, 0.1),
        ..pair(vec![cord.unwrap().into()])
    };
    let control = lever(vec![]);
    let fits = control.search_springs(&table).unwrap().found;
    check(&control, std::slice::from_ref(&table), &fits);
    assert_eq!(fits[0].preload(), None);

    let pressed = LinearSpring::new(LinearSpringSpec {
        rate: 500.0,
        free_length: 120.0 * MM,
        initial_tension: 0.0,
        action: SpringAction::Below,
        shortest: Some(50.0 * MM),
        longest: None,
    });
    // Pushing from beside it tips the lever over: the force is negative.
    let pushing = SpringDemand {
        full_force: wanted(-1.0, 0.05),
        ..pair(vec![pressed.unwrap().into()])
    };
    let firm = lever(vec![twist(1.0)]);
    let fits = firm.search_springs(&pushing).unwrap().found;
    check(&firm, std::slice::from_ref(&pushing), &fits);
    // One that may hang slack, with a breakout of the lever's own.
    let notched = lever(vec![breakout(0.4, 0.0)]);
    let loose = SpringDemand {
        may_be_slack: true,
        full_force: wanted(5.0, 0.1),
        breakout: wanted(1.0, 0.05),
        ..pair(vec![spring(1500.0, 110.0, 0.0, None)])
    };
    let fits = notched.search_springs(&loose).unwrap().found;
    check(&notched, std::slice::from_ref(&loose), &fits);
    let slack = built(&notched, &fits).spring_envelopes(41).unwrap();
    assert!(slack.iter().any(|span| span.slack.is_some()), "{slack:?}");
}

/// What magnets on the control do is part of the figures.
#[test]
fn beside_magnets() {
    let cube = |z: f64| -> MagnetGroup {
        let pose = Isometry3::translation(0.0, 0.0, z);
        Block::new(Vector3::repeat(6.0 * MM), Vector3::new(0.0, 0.0, 1.2), pose)
            .unwrap()
            .into()
    };
    let magnets = MagnetPair::new(
        Body::Ground,
        cube(-50.0 * MM),
        Body::Lever,
        cube(-40.0 * MM),
    );
    let control = lever(vec![Element::Magnets(magnets)]);
    let demand = SpringDemand {
        full_force: wanted(9.0, 0.2),
        gradient: wanted(95.0, 10.0),
        ..pair(vec![spring(700.0, 50.0, 0.0, Some(160.0))])
    };
    let fits = control.search_springs(&demand).unwrap().found;
    check(&control, std::slice::from_ref(&demand), &fits);
    let without = built(&lever(vec![]), &fits)
        .state(&[0.0])
        .unwrap()
        .stiffness[0][0]
        / 0.16;
    assert!((fits[0].gradient - without).abs() > 0.1, "{without}");
}

#[test]
fn demands_are_checked() {
    let control = lever(vec![]);
    let good = || SpringDemand {
        full_force: wanted(9.0, 0.2),
        ..pair(vec![spring(700.0, 50.0, 0.0, None)])
    };
    let text = |change: &dyn Fn(&mut SpringDemand)| {
        let mut spec = good();
        change(&mut spec);
        match control.search_springs(&spec) {
            Ok(result) => if result.found.is_empty() {
                "nothing"
            } else {
                "fits"
            }
            .to_owned(),
            Err(error) => error.to_string(),
        }
    };
    assert_eq!(text(&|_| ()), "fits");
    assert!(text(&|s| s.choices.clear()).contains("springs to choose from: 0 given"));
    assert!(text(&|s| s.starts = 0).contains("places to search from"));
    assert!(text(&|s| s.starts = 1001).contains("places to search from"));
    assert!(text(&|s| s.full_force = None).contains("wanted values: 0 given"));
    assert!(
        text(&|s| s.full_force = wanted(f64::NAN, 1.0))
            .contains("wanted force at the stops is NaN")
    );
    assert!(text(&|s| s.gradient = wanted(1.0, f64::NAN)).contains("tolerance"));
    assert!(text(&|s| s.breakout = wanted(1.0, 0.0)).contains("tolerance"));
    assert!(text(&|s| s.breakout = wanted(f64::INFINITY, 1.0)).contains("wanted breakout force"));
    assert!(text(&|s| s.on_body[1].x = f64::NAN).contains("corner of the space"));
    assert!(text(&|s| s.on_ground[0].z = 11.0).contains("corner of the space"));
    assert!(
        text(&|s| s.layout = SpringLayout::Mirrored(Vector3::zeros())).contains("mirror plane")
    );
    assert!(text(&|s| s.way = Way::Inner(0.0)).contains("angle that moves"));
    assert!(text(&|s| s.way = Way::Outer(f64::NAN)).contains("NaN"));
    for body in [Body::Ground, Body::Ring, Body::Driven(0)] {
        assert!(
            text(&|s| s.body = body).contains("body on which the springs pull"),
            "{body}"
        );
    }
    let captured = |rate: f64, least: f64, most: f64| {
        text(&|s| {
            s.choices = vec![SpringChoice::Captured {
                rate,
                stroke: 0.02,
                preload: [least, most],
            }];
        })
    };
    assert!(captured(-1.0, 1.0, 2.0).contains("rate of a captured spring"));
    assert!(captured(1.0, 3.0, 2.0).contains("least preload"));
    assert!(captured(1.0, f64::NAN, 2.0).contains("least preload"));
    assert!(captured(1.0, 1.0, f64::NAN).contains("preload of a captured spring"));
    let together = |count: usize| {
        control
            .search_springs_together(&vec![good(); count])
            .unwrap_err()
            .to_string()
    };
    assert!(together(0).contains("demands for springs: 0 given"));
    assert!(together(9).contains("demands for springs: 9 given"));
    let many = SpringDemand {
        choices: vec![SpringChoice::Spring(spring(700.0, 50.0, 0.0, None)); 101],
        ..good()
    };
    let error = control
        .search_springs_together(&[many.clone(), many])
        .unwrap_err();
    assert!(
        error
            .to_string()
            .contains("combinations of springs: 10201 given"),
        "{error}"
    );
}

/// What is out of reach is told by what misses it most, and a spring that cannot hang anywhere by how much.
#[test]
fn the_nearest_there_is() {
    let control = lever(vec![]);
    let demand = |full: f64, gradient: Option<TargetValue>| SpringDemand {
        full_force: wanted(full, 1.0),
        gradient,
        starts: 3,
        ..pair(vec![
            spring(500.0, 50.0, 0.0, None),
            spring(700.0, 50.0, 0.0, None),
        ])
    };
    let result = control
        .search_springs(&demand(500.0, wanted(100.0, 1e6)))
        .unwrap();
    assert!(result.found.is_empty());
    assert_eq!((result.tried, result.fitting), (6, 0));
    let nearest = result.nearest.unwrap();
    let [shortfall] = nearest.shortfalls[..] else {
        panic!("{nearest:?}");
    };
    assert_eq!(shortfall.requirement, requirement::FULL_FORCE);
    assert_eq!(shortfall.limit, 499.0);
    let value = shortfall.value;
    // Compared by tolerances: of 1 N here.
    assert!((shortfall.share - (499.0 - value)).abs() < 1e-9);
    // The springs that come nearest are told, with the figures that they have.
    let fit = nearest.candidate.unwrap();
    assert!(
        (fit.full_force - value).abs() < 1e-9 && (fit.miss - 1.0 - shortfall.share).abs() < 1e-9
    );
    let force = built(&control, [&fit]).curve(Way::FIRST, 3).unwrap().force;
    assert!((force.last().unwrap() - value).abs() < 1e-9);
    // The anchors that give most, by a grid of all that matters: height on the lever and both coordinates on the frame.
    let strong = ByHand {
        rate: 700.0,
        free: 0.05,
        longest: 10.0,
    };
    let most = (0..=20)
        .map(|i| {
            strong.torque(0.06 + 0.0045 * f64::from(i), 0.12, STOP)
                - strong.torque(0.06 + 0.0045 * f64::from(i), 0.12, -STOP)
        })
        .fold(0.0, f64::max);
    assert!(
        value >= most / 0.4 - 0.5 && value < 60.0,
        "{value} {}",
        most / 0.4
    );
    // A spring too short for the space.
    let short = SpringDemand {
        full_force: wanted(5.0, 1.0),
        ..pair(vec![spring(500.0, 20.0, 0.0, Some(30.0))])
    };
    let result = control.search_springs(&short).unwrap();
    let nearest = result.nearest.unwrap();
    assert!(result.found.is_empty() && nearest.candidate.is_none());
    let [shortfall] = nearest.shortfalls[..] else {
        panic!("30 mm do not reach from 10 to 60 mm and follow the lever");
    };
    assert_eq!(
        (shortfall.requirement, shortfall.limit),
        (requirement::SPRING_LENGTH, 0.0)
    );
    assert_eq!(result.rejected[0].count, result.tried);
    let value = shortfall.value;
    // At best from (0, 10, 30) to (0, 60, z): some 50 mm and what the lever moves, 8 mm, less the 30 that it stands.
    assert!(value > 20.0 * MM && value < 40.0 * MM, "{value}");
}
