//! Figures of feel beside hand calculations, SciPy and brute force; and hostile numbers in every place there is for
//! one.

use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Anchor, Bearing, Body, Breakout, Cam, CamEnds, CamSpec, CapturedSpring, Control, ControlKind,
    ControlMeasurements, ControlSpec, Drive, Element, EquilibriumKind, FlyingQualityLevel,
    ForceCurve, Friction, GRAVITY, GuidanceMotion, SecondOrderResponse, Way, compare_with_guidance,
    friction_torque, gradient_limits, min_maneuver_force, noticeable_steps,
};
use yokewright::units::MM;

use crate::feel_controls::{
    anchor, bearing_friction, breakout, extension, lever, opposed, pivot, twist,
};

fn cam(
    angles: &[f64],
    lifts: &[f64],
    ends: CamEnds,
    preload: f64,
    rate: f64,
) -> yokewright::Result<Cam> {
    Cam::new(CamSpec {
        body: Body::Lever,
        angles: angles.to_vec(),
        lifts: lifts.to_vec(),
        ends,
        preload,
        rate,
    })
}

/// Lifts between the points beside SciPy's monotone cubics (1.16, PchipInterpolator, which uses the same slopes), and
/// energy, torque and stiffness from them.
#[test]
fn a_cam_beside_scipy() {
    let (preload, rate) = (15.0, 1200.0);
    let profile = cam(
        &[-0.5, -0.2, 0.0, 0.15, 0.5],
        &[6.0 * MM, 1.0 * MM, 0.0, 0.5 * MM, 4.0 * MM],
        CamEnds::Refused,
        preload,
        rate,
    )
    .unwrap();
    let control = Control::new(ControlSpec {
        travel: vec![[-0.5, 0.5]],
        ..lever(vec![Element::Cam(profile.clone())]).spec().clone()
    })
    .unwrap();
    for (angle, lift, slope, bend) in [
        (-0.5, 0.006, -0.02366666666666667, 0.03172717271727177),
        (
            -0.41,
            0.004016646534653465,
            -0.020206171617161716,
            0.045172717271727204,
        ),
        (-0.2, 0.001, -0.007425742574257426, -0.001485148514851476),
        (
            -0.07,
            0.00016349504950495048,
            -0.004355940594059405,
            0.048712871287128715,
        ),
        (0.03, 2.9499999999999995e-05, 0.0018874999999999999, 0.055),
        (
            0.3,
            0.0015683673469387756,
            0.009438775510204082,
            0.029302721088435374,
        ),
        (
            0.499,
            0.00398534482670068,
            0.014643674659863945,
            0.023007823129251717,
        ),
    ] {
        // Roundings of sums of products of lifts of millimeters with slopes, and for the second derivative of those
        // over the width of a piece squared.
        assert!(
            (profile.lift(angle).unwrap() - lift).abs() <= 1e-17,
            "{angle}"
        );
        let state = control.state(&[angle]).unwrap();
        let energy = preload * lift + 0.5 * rate * lift * lift;
        let force = preload + rate * lift;
        assert!((state.energy - energy).abs() <= 1e-14, "{angle}");
        assert!((state.torque[0] + force * slope).abs() <= 1e-14, "{angle}");
        let stiffness = rate * slope * slope + force * bend;
        assert!(
            (state.stiffness[0][0] - stiffness).abs() <= 1e-12,
            "{angle}"
        );
    }
}

/// A row of detents goes on past its table at either end, with the same slope at the seam from both sides.
#[test]
fn a_periodic_cam() {
    let row = cam(
        &[0.1, 0.2, 0.4],
        &[1e-3, 3e-3, 1e-3],
        CamEnds::Periodic,
        10.0,
        0.0,
    )
    .unwrap();
    for angle in [0.1, 0.13, 0.2, 0.37] {
        for turns in [-7.0, -1.0, 1.0, 12.0] {
            let (here, there) = (
                row.lift(angle).unwrap(),
                row.lift(angle + 0.3 * turns).unwrap(),
            );
            assert!((here - there).abs() <= 1e-16, "{angle} {turns}");
        }
    }
    // The seam is the lowest place, so that its slope is zero from both sides: the lift is 1 mm there and more beside
    // it.
    for beside in [0.1 - 1e-4, 0.1 + 1e-4, 0.4 - 1e-4, 0.4 + 1e-4] {
        let above = row.lift(beside).unwrap() - 1e-3;
        assert!(above > 0.0 && above < 1e-8, "{beside} {above}");
    }
    let open = |lifts: [f64; 3]| cam(&[0.1, 0.2, 0.4], &lifts, CamEnds::Periodic, 10.0, 0.0);
    assert!(
        open([1e-3, 3e-3, 1.5e-3])
            .unwrap_err()
            .to_string()
            .contains("period")
    );
    assert!(open([1e-3, 3e-3, 1e-3 + 0.5e-9]).is_ok());
}

#[test]
fn a_cam_checks_its_profile() {
    let good = ([-0.1, 0.0, 0.1], [1e-3, 0.0, 1e-3]);
    let refused = |angles: &[f64], lifts: &[f64], preload: f64, rate: f64, word: &str| {
        let text = cam(angles, lifts, CamEnds::Refused, preload, rate)
            .unwrap_err()
            .to_string();
        assert!(text.contains(word), "{text}");
    };
    assert!(cam(&good.0, &good.1, CamEnds::Refused, 5.0, 100.0).is_ok());
    refused(&[-0.1, 0.0], &good.1, 5.0, 100.0, "match");
    refused(&[-0.1, 0.0], &[1e-3, 0.0], 5.0, 100.0, "points of the cam");
    refused(&[-0.1, 0.0, 0.0], &good.1, 5.0, 100.0, "step");
    refused(&[0.1, 0.0, -0.1], &good.1, 5.0, 100.0, "step");
    refused(&good.0, &[1e-3, 0.0, 1.5], 5.0, 100.0, "lift");
    refused(
        &good.0,
        &[1e-3, -0.06, 1e-3],
        5.0,
        100.0,
        "force of the follower",
    );
    refused(&[-7.0, 0.0, 0.1], &good.1, 5.0, 100.0, "angle of the cam");
    refused(&good.0, &good.1, -1.0, 100.0, "lift zero");
    refused(&good.0, &good.1, 5.0, -1.0, "rate");
    let text = cam(&good.0, &good.1, CamEnds::Refused, 5.0, 0.0)
        .unwrap()
        .lift(0.2)
        .unwrap_err()
        .to_string();
    assert!(text.contains("0.2 rad is outside -0.1 to 0.1"), "{text}");
}

/// Off center, with a weight, a breakout and friction: both breakouts, the band and the stops by hand.
#[test]
fn an_uneven_lever() {
    let (rate, free, preload, rub) = (4.0, 0.1, 0.2, 0.05);
    let spring =
        yokewright::spring::LinearTorsionSpring::new(yokewright::spring::LinearTorsionSpringSpec {
            rate,
            free_angle: free,
            action: yokewright::spring::SpringAction::Both,
            min_angle: None,
            max_angle: None,
        })
        .unwrap();
    let notch = Breakout::new(Body::Lever, preload, 0.0, 0.08).unwrap();
    let elements = vec![
        Element::Torsion {
            spring,
            body: Body::Lever,
        },
        Element::Breakout(notch),
        bearing_friction(rub),
    ];
    let control = Control::new(ControlSpec {
        travel: vec![[-0.2, 0.3]],
        ..lever(elements).spec().clone()
    })
    .unwrap();
    // At 0.08 the spring pulls up with 0.08 N m, less than the notch's 0.2: it rests there.
    let centering = control.centering(Way::FIRST).unwrap();
    let band = centering.center.unwrap();
    assert_eq!(
        (band.kind, band.lower, band.upper),
        (EquilibriumKind::Jump, 0.08, 0.08)
    );
    assert!(centering.centers() && centering.bands == [band]);
    assert_eq!(
        (centering.neutral, centering.error),
        (Some(0.08), Some(0.08))
    );
    let pull = rate * (free - 0.08);
    let (up, down) = ((preload - pull + rub) / 0.4, (preload + pull + rub) / 0.4);
    assert!((centering.breakout_up.unwrap() - up).abs() <= 1e-14);
    assert!((centering.breakout_down.unwrap() - down).abs() <= 1e-14);
    assert!((centering.loop_area - 2.0 * rub * 0.5).abs() <= 1e-14);
    let [lower, upper] = control.stop_forces(Way::FIRST, 20.0, 0.05).unwrap();
    assert!(
        (lower - (20.0 * 0.4 - rate * 0.3 - preload) / 0.05).abs() <= 1e-11,
        "{lower}"
    );
    assert!(
        (upper - (20.0 * 0.4 - rate * 0.2 - preload) / 0.05).abs() <= 1e-11,
        "{upper}"
    );
    let measured = control.curve(Way::FIRST, 52).unwrap().measured();
    let most = (rate * 0.3 + preload + rub) / 0.4;
    assert!((measured.force.unwrap() - most).abs() <= 1e-14);
    assert!((measured.travel.unwrap() - 0.4 * 0.5).abs() <= 1e-15);
    assert!((measured.travel_one_way.unwrap() - 0.4 * 0.3).abs() <= 1e-15);
    assert!((measured.deflection.unwrap() - 0.3).abs() <= 1e-15);
    assert_eq!((measured.held_force, measured.breakout), (None, None));
    let curve = control.curve(Way::FIRST, 52).unwrap();
    assert!(!curve.is_empty() && curve.len() == 54);
    for (way, angle) in curve.way.iter().zip(&curve.angle) {
        assert_eq!(*way, 0.4 * angle);
    }
    assert!(
        curve
            .energy
            .iter()
            .zip(&curve.angle)
            .all(|(energy, angle)| {
                let expected = 0.5 * rate * (angle - free).powi(2) + preload * (angle - 0.08).abs();
                (energy - expected).abs() <= 1e-15
            })
    );
    assert!(ForceCurve::default().is_empty());
    assert_eq!(
        ForceCurve::default().measured(),
        ControlMeasurements::default()
    );
}

/// Every rest is an extreme of the energy, and every extreme of the energy on a fine grid is a rest.
#[test]
fn rests_beside_brute_force() {
    let control = Control::new(ControlSpec {
        travel: vec![[-0.5, 0.5]],
        gravity: GRAVITY,
        ..lever(vec![
            Element::Cam(
                cam(
                    &[-0.3, -0.25, -0.12, 0.0, 0.05],
                    &[2.0 * MM, 1.0 * MM, 2.5 * MM, 0.0, 2.0 * MM],
                    CamEnds::Periodic,
                    30.0,
                    0.0,
                )
                .unwrap(),
            ),
            twist(0.4),
            Element::Breakout(Breakout::new(Body::Lever, 0.15, 0.0, 0.2).unwrap()),
            Element::Mass {
                mass: 0.3,
                at: anchor(Body::Lever, 0.0, 20.0, 300.0),
            },
        ])
        .spec()
        .clone()
    })
    .unwrap();
    let energy = |angle: f64| control.state(&[angle]).unwrap().energy;
    let rests = control.equilibrium_bands(Way::FIRST).unwrap();
    let count = 40_000;
    let at = |i: i32| -0.5 + f64::from(i) / f64::from(count);
    let mut brute = Vec::new();
    let (mut before, mut here) = (f64::INFINITY, energy(at(0)));
    for i in 0..=count {
        let after = if i < count {
            energy(at(i + 1))
        } else {
            f64::INFINITY
        };
        if here < before && here < after {
            brute.push((at(i), true));
        }
        // A top at a stop is no rest: it runs down from there.
        if i > 0 && i < count && here > before && here > after {
            brute.push((at(i), false));
        }
        (before, here) = (here, after);
    }
    assert_eq!(rests.len(), brute.len(), "{rests:?} {brute:?}");
    assert!(rests.len() > 8);
    for (rest, (angle, stable)) in rests.iter().zip(&brute) {
        assert!((rest.middle() - angle).abs() <= 2.6e-5, "{rest:?} {angle}");
        assert_eq!(rest.stable, *stable, "{rest:?}");
        let kind = if rest.middle().abs() == 0.5 {
            EquilibriumKind::Stop
        } else if (rest.middle() - 0.2).abs() < 1e-9 {
            EquilibriumKind::Jump
        } else {
            EquilibriumKind::Free
        };
        assert_eq!(rest.kind, kind, "{rest:?}");
    }
}

/// With friction: the bands are where the slope is no steeper than the friction, on a fine grid.
#[test]
fn bands_beside_brute_force() {
    let rub = 0.06;
    let mut elements = opposed(300.0, 80.0 * MM);
    let notches = [2.0 * MM, 1.0 * MM, 2.0 * MM];
    elements.push(Element::Cam(
        cam(&[-0.1, -0.04, 0.05], &notches, CamEnds::Periodic, 60.0, 0.0).unwrap(),
    ));
    elements.push(bearing_friction(rub));
    let control = lever(elements);
    let bands = control.centering(Way::FIRST).unwrap().bands;
    let [from, to] = control.spec().travel[0];
    let count = 20_000;
    let mut brute: Vec<[f64; 2]> = Vec::new();
    let mut still = false;
    for i in 0..=count {
        let angle = from + (to - from) * f64::from(i) / f64::from(count);
        let stays = control.state(&[angle]).unwrap().torque[0].abs() <= rub;
        match (stays, still, brute.last_mut()) {
            (true, true, Some(last)) => last[1] = angle,
            (true, ..) => brute.push([angle; 2]),
            _ => {}
        }
        still = stays;
    }
    assert_eq!(bands.len(), brute.len(), "{bands:?} {brute:?}");
    assert!(bands.len() > 4);
    for (band, [from, to]) in bands.iter().zip(brute) {
        assert!(
            (band.lower - from).abs() <= 3e-5 && (band.upper - to).abs() <= 3e-5,
            "{band:?}"
        );
    }
}

/// What a hand may type by mistake, and what numbers can be.
const HOSTILE: [f64; 14] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -0.0,
    1e-320,
    -1e-320,
    1e-160,
    -1e-160,
    1e155,
    -1e155,
    1e160,
    1e308,
    -1e308,
    -1.0,
];

/// Every answer of a control is finite or an error.
fn examine(control: &Control, what: &str) {
    let finite =
        |values: &[f64]| assert!(values.iter().all(|x| x.is_finite()), "{what}: {values:?}");
    let axes = control.axes();
    if let Ok(state) = control.state(&vec![0.0; axes]) {
        finite(&state.torque);
        finite(&state.force);
        finite(&state.arm);
        finite(state.hold.as_slice());
        finite(&state.stiffness.concat());
        finite(&[state.energy]);
    }
    let curve = control.curve(Way::FIRST, 7).unwrap();
    for column in [
        &curve.energy,
        &curve.torque,
        &curve.stiffness,
        &curve.force,
        &curve.friction,
    ] {
        for (value, valid) in column.iter().zip(&curve.valid) {
            assert_eq!(value.is_finite(), *valid, "{what}");
        }
    }
    if let Ok(centering) = control.centering(Way::FIRST) {
        finite(&[centering.loop_area]);
        finite(
            &[
                centering.breakout_up,
                centering.breakout_down,
                centering.error,
            ]
            .map(|x| x.unwrap_or(0.0)),
        );
    }
    if let Ok(forces) = control.stop_forces(Way::FIRST, 100.0, 0.1) {
        finite(&forces);
    }
    if let Ok(swing) = control.second_order_response(Way::FIRST) {
        finite(&[
            swing.natural_frequency(),
            swing.damping_ratio(),
            swing.overshoot(),
        ]);
        finite(&[swing.settling_time(0.02).ok().flatten().unwrap_or(0.0)]);
    }
    if let Ok(balance) = control.equilibrium(&vec![0.0; axes]) {
        finite(&balance.stiffness);
        finite(&balance.angles);
    }
    if let Ok(spans) = control.spring_envelopes(3) {
        assert!(
            spans
                .iter()
                .all(|span| span.longest.0.is_finite() && span.shortest.0.is_finite())
        );
    }
}

#[test]
fn hostile_numbers() {
    let (a, b) = (
        anchor(Body::Lever, 0.0, 0.0, 60.0),
        anchor(Body::Ground, 0.0, 120.0, 60.0),
    );
    let still = [a, b];
    let body = Body::Lever;
    for x in HOSTILE {
        let what = format!("{x:e}");
        let refused = x.is_nan() || x.is_infinite() || x.abs() > 1e100;
        // Whatever is made with the number is refused, or gives finite figures.
        let mut made: Vec<Element> = Vec::new();
        let mut take = |name: &str, element: yokewright::Result<Element>| {
            let element = element.and_then(|one| one.check().map(|()| one));
            assert!(element.is_err() || !refused, "{name} of {what} was taken");
            made.extend(element.ok());
        };
        take("mass", Ok(Element::Mass { mass: x, at: a }));
        take("inertia", Ok(Element::Inertia { body, moment: x }));
        take("damper", Ok(Element::Damper { body, damping: x }));
        take(
            "friction",
            Friction::in_bearing(body, x).map(Element::Friction),
        );
        take(
            "joints",
            Friction::in_joints(a, b, x).map(Element::Friction),
        );
        for place in 0..3 {
            let mut given = [0.3, 2.0, 0.1];
            given[place] = x;
            let [preload, rate, center] = given;
            take(
                "breakout",
                Breakout::new(body, preload, rate, center).map(Element::Breakout),
            );
        }
        for place in 0..4 {
            let mut given = [0.12, 5.0, 900.0, 0.1];
            given[place] = x;
            let [length, preload, rate, stroke] = given;
            let spring = CapturedSpring::new(length, preload, rate, stroke);
            take(
                "captured",
                spring.map(|spring| Element::line(spring, still[0], still[1])),
            );
        }
        for place in 0..5 {
            let (mut angles, mut lifts) = (vec![-0.3, 0.0, 0.3], vec![1e-3, 0.0, 1e-3]);
            let (mut preload, mut rate) = (10.0, 100.0);
            match place {
                0 => angles[1] = x,
                1 => lifts[1] = x,
                2 => preload = x,
                3 => rate = x,
                _ => lifts = vec![x; 3],
            }
            take(
                "cam",
                cam(&angles, &lifts, CamEnds::Refused, preload, rate).map(Element::Cam),
            );
        }
        for axis in 0..3 {
            let mut point = Point3::new(0.01, 0.12, 0.06);
            point[axis] = x;
            let spring = |at| Element::line(extension(500.0, 80.0 * MM, 1.0), a, at);
            take("anchor", Anchor::new(Body::Ground, point).map(spring));
        }
        for element in made {
            let name = format!("{element:?}");
            let others = [twist(3.0), element];
            if let Ok(control) = lever(vec![]).with_elements(others.to_vec()) {
                examine(&control, &name);
            }
        }
        let base = lever(vec![twist(3.0), breakout(0.1, 1.0)]).spec().clone();
        let mut specs = Vec::new();
        for axis in 0..3 {
            let (mut grip, mut gravity) = (base.grip, GRAVITY);
            grip[axis] = x;
            gravity[axis] = x;
            specs.push(ControlSpec {
                grip,
                ..base.clone()
            });
            let mass = Element::Mass { mass: 1.0, at: a };
            specs.push(ControlSpec {
                gravity,
                elements: vec![mass],
                ..base.clone()
            });
        }
        specs.push(ControlSpec {
            travel: vec![[x, 0.3]],
            ..base.clone()
        });
        specs.push(ControlSpec {
            travel: vec![[-0.3, x]],
            ..base.clone()
        });
        for spec in specs {
            let control = Control::new(spec);
            assert!(control.is_err() || !refused, "{what}");
            if let Ok(control) = control {
                examine(&control, &what);
            }
        }
        let control = Control::new(base).unwrap();
        let outside = refused || x == -1.0;
        assert_eq!(control.state(&[x]).is_err(), outside, "{what}");
        assert_eq!(control.equilibrium(&[x]).is_err(), outside, "{what}");
        // There is no other angle to hold: within the rounding of zero.
        let held = !x.is_finite() || x.abs() > 1e-12;
        assert_eq!(control.curve(Way::Outer(x), 5).is_err(), held, "{what}");
        assert_eq!(
            control.equilibrium_bands(Way::Outer(x)).is_err(),
            held,
            "{what}"
        );
        for forces in [
            control.stop_forces(Way::FIRST, x, 0.1),
            control.stop_forces(Way::FIRST, 100.0, x),
        ] {
            assert!(
                forces.is_err() || (!refused && forces.unwrap().iter().all(|f| f.is_finite())),
                "{what}"
            );
        }
        let centering = control.centering(Way::FIRST).unwrap();
        assert_eq!(
            centering.error_counts(x).is_err(),
            refused || x < 0.0,
            "{what}"
        );
        assert!(Drive::ratio(pivot([0.0; 3], [1.0, 0.0, 0.0]), body, x).is_err() || x == -1.0);
        for place in 0..3 {
            let mut given = [40.0, 0.1, 0.8];
            given[place] = x;
            if let Ok(swing) = SecondOrderResponse::new(given[0], given[1], given[2]) {
                assert!(!refused, "{what}");
                assert!(swing.overshoot().is_finite() && swing.damping_ratio().is_finite());
                assert!(
                    swing
                        .settling_time(0.02)
                        .map_or(true, |t| t.unwrap_or(0.0).is_finite())
                );
            }
        }
        let swing = SecondOrderResponse::new(40.0, 0.1, 0.8).unwrap();
        assert!(swing.settling_time(x).is_err(), "{what}");
        assert!(swing.share_after(x).map_or(true, f64::is_finite));
        assert_eq!(swing.share_after(x).is_err(), refused || x < 0.0, "{what}");
        // Published guidance.
        for place in 0..6 {
            let mut all = [None; 6];
            all[place] = Some(x);
            let [
                force,
                held_force,
                breakout,
                travel,
                travel_one_way,
                deflection,
            ] = all;
            let measured = ControlMeasurements {
                force,
                held_force,
                breakout,
                travel,
                travel_one_way,
                deflection,
            };
            let bad = !x.is_finite() || x < 0.0;
            assert_eq!(measured.check().is_err(), bad, "{what}");
            let standings =
                compare_with_guidance(ControlKind::Stick, GuidanceMotion::Any, &measured);
            assert_eq!(standings.is_err(), bad, "{what}");
            let above = standings.iter().flatten().filter_map(|one| one.above);
            assert!(above.into_iter().all(f64::is_finite));
        }
        for found in [
            friction_torque(x, 0.004, 60.0),
            friction_torque(0.1, x, 60.0),
            friction_torque(0.1, 0.004, x),
            noticeable_steps(x, 10.0, 0.2),
            noticeable_steps(10.0, x, 0.2),
            noticeable_steps(12.0, 10.0, x),
            min_maneuver_force(ControlKind::Stick, x),
        ] {
            assert!(found.map_or(true, f64::is_finite), "{what}");
        }
        for found in [
            gradient_limits(ControlKind::Stick, FlyingQualityLevel::One, x, 7.0),
            gradient_limits(ControlKind::Stick, FlyingQualityLevel::One, 20.0, x),
        ] {
            assert!(found.is_err(), "{what}");
        }
    }
}

/// Every long loop looks whether it shall stop.
#[test]
fn long_work_can_be_stopped() {
    use yokewright::feel::{
        FreeResponseSpec, SpringChoice, SpringDemand, SpringLayout, TargetValue,
    };
    use yokewright::{Error, Observer, Result};
    let control = lever(vec![
        twist(3.0),
        breakout(0.1, 1.0),
        Element::Inertia {
            body: Body::Lever,
            moment: 0.01,
        },
        opposed(300.0, 80.0 * MM).remove(0),
    ]);
    let corner = |y: f64| [Point3::new(0.0, y, 0.05), Point3::new(0.0, y + 0.05, 0.1)];
    let release = FreeResponseSpec {
        way: Way::FIRST,
        start: 0.1,
        duration: 1.0,
        points: 11,
        rebound: 0.0,
    };
    let fit = SpringDemand {
        way: Way::FIRST,
        body: Body::Lever,
        on_body: corner(0.0),
        on_ground: corner(0.1),
        layout: SpringLayout::Single,
        choices: vec![SpringChoice::Spring(extension(500.0, 50.0 * MM, 0.0))],
        may_be_slack: false,
        full_force: None,
        gradient: Some(TargetValue {
            value: 60.0,
            tolerance: 10.0,
        }),
        breakout: None,
        starts: 1,
    };
    let done = |result: Result<()>| result;
    let calls: [(&str, &dyn Fn() -> Result<()>); 7] = [
        ("curve", &|| done(control.curve(Way::FIRST, 11).map(|_| ()))),
        ("rests", &|| {
            done(control.equilibrium_bands(Way::FIRST).map(|_| ()))
        }),
        ("centering", &|| {
            done(control.centering(Way::FIRST).map(|_| ()))
        }),
        ("release", &|| {
            done(control.free_response(&release).map(|_| ()))
        }),
        ("spans", &|| done(control.spring_envelopes(11).map(|_| ()))),
        ("balance", &|| done(control.equilibrium(&[0.1]).map(|_| ()))),
        ("fit", &|| done(control.search_springs(&fit).map(|_| ()))),
    ];
    for (name, call) in calls {
        assert_eq!(call(), Ok(()), "{name}");
        let observer = Observer::new();
        let mut inside = None;
        let outside = observer.run(|| {
            observer.stop();
            inside = Some(call());
        });
        assert_eq!(inside, Some(Err(Error::Stopped)), "{name}");
        assert_eq!(outside, Err(Error::Stopped), "{name}");
    }
}

/// Every range named in the docs: its ends are taken, what lies a little beyond is not.
#[test]
fn ends_of_ranges() {
    use std::f64::consts::{PI, TAU};
    type Take<'a> = &'a dyn Fn(f64) -> bool;
    let body = Body::Lever;
    let at = anchor(body, 0.0, 0.0, 60.0);
    let control = lever(vec![twist(4.0)]);
    let captured = |place: usize, x: f64| {
        let mut given = [0.1, 5.0, 900.0, 0.02];
        given[place] = x;
        CapturedSpring::new(given[0], given[1], given[2], given[3]).is_ok()
    };
    let notch = |place: usize, x: f64| {
        let mut given = [0.3, 2.0, 0.1];
        given[place] = x;
        Breakout::new(body, given[0], given[1], given[2]).is_ok()
    };
    let swing = |place: usize, x: f64| {
        let mut given = [40.0, 0.1, 0.8];
        given[place] = x;
        SecondOrderResponse::new(given[0], given[1], given[2]).is_ok()
    };
    let bearing = |place: usize, x: f64| {
        let mut given = [0.1, 0.004, 60.0];
        given[place] = x;
        friction_torque(given[0], given[1], given[2]).is_ok()
    };
    let follower = |preload: f64, rate: f64| {
        cam(
            &[-0.1, 0.0, 0.1],
            &[1e-3, 0.0, 1e-3],
            CamEnds::Refused,
            preload,
            rate,
        )
        .is_ok()
    };
    let gear = |x: f64| Drive::ratio(pivot([0.0; 3], [1.0, 0.0, 0.0]), body, x).is_ok();
    let place = |x: f64| Anchor::new(body, Point3::new(0.0, x, 0.0)).is_ok();
    let loose = SecondOrderResponse::new(40.0, 0.1, 0.8).unwrap();
    let centering = control.centering(Way::FIRST).unwrap();
    let standing = |grip: Point3<f64>, point: [f64; 3], gravity: f64| {
        Control::new(ControlSpec {
            bearing: Bearing::Single(pivot(point, [1.0, 0.0, 0.0])),
            grip,
            gravity: Vector3::new(0.0, gravity, 0.0),
            ..lever(vec![]).spec().clone()
        })
        .is_ok()
    };
    let ranges: [(&str, f64, f64, Take<'_>); 35] = [
        // The arms 16 and 12 of 20 m.
        ("grip", 1e-3, 20.0, &|x: f64| match x < 16.0 {
            true => standing(Point3::new(0.0, 0.0, x), [0.0; 3], 0.0),
            false => {
                let up = (x * x - 256.0).sqrt() - 6.0;
                standing(Point3::new(0.0, 10.0, up), [0.0, -6000.0, -6000.0], 0.0)
            }
        }),
        ("gravity", -100.0, 100.0, &|x| {
            standing(Point3::new(0.0, 0.0, 0.4), [0.0; 3], x)
        }),
        ("noticeable fraction", 0.01, 1.0, &|x| {
            noticeable_steps(12.0, 10.0, x).is_ok()
        }),
        ("weight of an aircraft", f64::MIN_POSITIVE, 1e6, &|x| {
            min_maneuver_force(ControlKind::Stick, x).is_ok()
        }),
        ("n/alpha", 0.1, 1000.0, &|x| {
            gradient_limits(ControlKind::Stick, FlyingQualityLevel::One, x, 7.0).is_ok()
        }),
        ("limit load factor", 1.1, 20.0, &|x| {
            gradient_limits(ControlKind::Stick, FlyingQualityLevel::One, 20.0, x).is_ok()
        }),
        ("mass", 0.0, 1000.0, &|x| {
            Element::Mass { mass: x, at }.check().is_ok()
        }),
        ("inertia", 0.0, 1000.0, &|x| {
            Element::Inertia { body, moment: x }.check().is_ok()
        }),
        ("damper", 0.0, 1e4, &|x| {
            Element::Damper { body, damping: x }.check().is_ok()
        }),
        ("friction", 0.0, 1e4, &|x| {
            Friction::in_bearing(body, x).is_ok()
        }),
        ("neutral length", 1e-6, 10.0, &|x| captured(0, x)),
        ("preload", 0.0, 1e5, &|x| captured(1, x)),
        ("rate", 0.0, 1e7, &|x| captured(2, x)),
        ("stroke", 0.0, 10.0, &|x| captured(3, x)),
        ("breakout", 0.0, 1e5, &|x| notch(0, x)),
        ("its rate", 0.0, 1e5, &|x| notch(1, x)),
        ("its center", -PI, PI, &|x| notch(2, x)),
        ("stiffness", 1e-9, 1e9, &|x| swing(0, x)),
        ("moment", 1e-12, 1e6, &|x| swing(1, x)),
        ("damping", 0.0, 1e9, &|x| swing(2, x)),
        ("coefficient", 0.0, 2.0, &|x| bearing(0, x)),
        ("radius", 0.0, 0.5, &|x| bearing(1, x)),
        ("load", 0.0, 1e6, &|x| bearing(2, x)),
        ("follower", 0.0, 1e5, &|x| follower(x, 0.0)),
        ("follower's rate", 0.0, 1e7, &|x| follower(10.0, x)),
        ("cam's angle", 5e-7, TAU, &|x| {
            cam(
                &[-0.1, 0.0, x],
                &[0.0, 0.0, 0.0],
                CamEnds::Refused,
                1.0,
                0.0,
            )
            .is_ok()
        }),
        ("lift", -1.0, 1.0, &|x| {
            cam(
                &[-0.1, 0.0, 0.1],
                &[0.0, 0.0, x],
                CamEnds::Refused,
                1.0,
                0.0,
            )
            .is_ok()
        }),
        ("gears", 0.01, 100.0, &gear),
        ("gears backward", -100.0, -0.01, &gear),
        ("anchor", -10.0, 10.0, &place),
        ("hand", 0.0, 1e5, &|x| {
            control.stop_forces(Way::FIRST, x, 0.1).is_ok()
        }),
        ("stop", 1e-3, 10.0, &|x| {
            control.stop_forces(Way::FIRST, 1.0, x).is_ok()
        }),
        ("time", 0.0, 1e6, &|x| loose.share_after(x).is_ok()),
        ("share", 1e-9, 0.999, &|x| loose.settling_time(x).is_ok()),
        ("counts", 0.0, 1e9, &|x| centering.error_counts(x).is_ok()),
    ];
    for (name, min, max, take) in ranges {
        let beside = |end: f64| 1e-6 * end.abs().max(1e-12);
        assert!(take(min) && take(max), "{name}");
        assert!(!take(min - beside(min)), "below {name}");
        assert!(!take(max + beside(max)), "above {name}");
    }
}

/// A rod between two bodies that turn differently, in one plane: each joint slips by the body's turn less the rod's,
/// which comes from differences of its direction.
#[test]
fn joints_of_a_rod_between_two_bodies() {
    let torque = 0.02;
    let crank = Drive::ratio(pivot([0.0, 150.0, 20.0], [1.0, 0.0, 0.0]), Body::Lever, 1.5).unwrap();
    let (a, b) = (
        anchor(Body::Lever, 0.0, 30.0, 60.0),
        anchor(Body::Driven(0), 0.0, 130.0, 90.0),
    );
    let rod = Friction::in_joints(a, b, torque).unwrap();
    let control = Control::new(ControlSpec {
        driven: vec![crank],
        elements: vec![Element::Friction(rod)],
        ..lever(vec![]).spec().clone()
    })
    .unwrap();
    let turned = |[y, z]: [f64; 2], [v, w]: [f64; 2], q: f64| {
        let (y, z) = (y - v, z - w);
        [v + y * q.cos() - z * q.sin(), w + y * q.sin() + z * q.cos()]
    };
    let direction = |q: f64| {
        let from = turned([0.03, 0.06], [0.0, 0.0], q);
        let to = turned([0.13, 0.09], [0.15, 0.02], 1.5 * q);
        (to[1] - from[1]).atan2(to[0] - from[0])
    };
    let curve = control.curve(Way::FIRST, 9).unwrap();
    for (angle, found) in curve.angle.iter().zip(&curve.friction) {
        // Second-order differences over 1e-5 rad: 1e-10 and as much of rounding.
        let rod = (direction(angle + 1e-5) - direction(angle - 1e-5)) / 2e-5;
        let expected = torque * ((1.0 - rod).abs() + (1.5 - rod).abs()) / 0.4;
        assert!(
            (found - expected).abs() <= 1e-10,
            "{angle}: {found} {expected}"
        );
    }
}
