//! Controls of every kind over their whole travel: derivatives, opposition, friction, energy in motion; and garbage.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;
use yokewright::feel::{
    Anchor, ApproachSide, Bearing, Body, Breakout, Cam, CamEnds, CamSpec, CapturedSpring, Control,
    ControlSpec, Drive, Element, FreeResponseSpec, Friction, SecondOrderResponse, Way,
};
use yokewright::linkage::Pivot;
use yokewright::spring::{
    LineSpring, LinearSpring, LinearSpringSpec, LinearTorsionSpring, LinearTorsionSpringSpec,
    SpringAction,
};

use crate::strategies::anything;

fn points(reach: f64) -> impl Strategy<Value = Point3<f64>> {
    prop::array::uniform3(-reach..reach).prop_map(Point3::from)
}

fn pivots() -> impl Strategy<Value = Pivot> {
    let directions = prop::array::uniform3(-1.0..1.0_f64)
        .prop_map(Vector3::from)
        .prop_filter("a direction", |v| v.norm() > 0.1);
    (points(0.1), directions).prop_map(|(point, direction)| Pivot::new(point, direction).unwrap())
}

/// Springs whose force is smooth: held at both ends, so that they push as well as pull.
fn springs() -> impl Strategy<Value = LineSpring> {
    (10.0..5000.0_f64, 0.0..0.3_f64).prop_map(|(rate, free_length)| {
        let spec = LinearSpringSpec {
            rate,
            free_length,
            initial_tension: 0.0,
            action: SpringAction::Both,
            shortest: None,
            longest: None,
        };
        LinearSpring::new(spec).unwrap().into()
    })
}

fn twist(rate: f64, free_angle: f64) -> LinearTorsionSpring {
    LinearTorsionSpring::new(LinearTorsionSpringSpec {
        rate,
        free_angle,
        action: SpringAction::Both,
        min_angle: None,
        max_angle: None,
    })
    .unwrap()
}

/// A gimbal of any two pivots with a crank driven by its ring; springs between all of them, a torsion spring, a mass.
fn gimbals() -> impl Strategy<Value = Control> {
    (
        (pivots(), pivots(), pivots(), 0.2..3.0_f64),
        prop::collection::vec((springs(), points(0.3), points(0.3)), 5),
        (0.1..10.0_f64, -1.0..1.0_f64, 0.0..3.0_f64, points(0.5)),
        points(0.5),
    )
        .prop_filter_map(
            "a possible gimbal",
            |(bodies, lines, (rate, free, mass, at), grip)| {
                let (outer, inner, crank, ratio) = bodies;
                let pairs = [
                    [Body::Ground, Body::Lever],
                    [Body::Ground, Body::Ring],
                    [Body::Ring, Body::Lever],
                    [Body::Driven(0), Body::Lever],
                    [Body::Ground, Body::Driven(0)],
                ];
                let mut elements: Vec<_> = lines
                    .into_iter()
                    .zip(pairs)
                    .map(|((spring, a, b), [first, second])| {
                        let ends = [
                            Anchor::new(first, a).unwrap(),
                            Anchor::new(second, b).unwrap(),
                        ];
                        // Where two anchors nearly meet the stiffness has no bound, and differences say nothing.
                        ((a - b).norm() > 0.2).then(|| Element::line(spring, ends[0], ends[1]))
                    })
                    .collect::<Option<_>>()?;
                elements.push(Element::Torsion {
                    spring: twist(rate, free),
                    body: Body::Driven(0),
                });
                elements.push(Element::Mass {
                    mass,
                    at: Anchor::new(Body::Lever, at).unwrap(),
                });
                Control::new(ControlSpec {
                    bearing: Bearing::Gimbal { outer, inner },
                    travel: vec![[-0.2, 0.2]; 2],
                    grip,
                    driven: vec![Drive::ratio(crank, Body::Ring, ratio).unwrap()],
                    elements,
                    gravity: Vector3::new(1.0, -2.0, -9.0),
                })
                .ok()
            },
        )
}

/// A lever about x with the grip 0.4 m up.
fn lever(travel: f64, elements: Vec<Element>) -> Control {
    Control::new(ControlSpec {
        bearing: Bearing::Single(Pivot::new(Point3::origin(), Vector3::x()).unwrap()),
        travel: vec![[-travel, travel]],
        grip: Point3::new(0.0, 0.0, 0.4),
        driven: vec![],
        elements,
        gravity: Vector3::zeros(),
    })
    .unwrap()
}

fn friction(torque: f64) -> Element {
    Element::Friction(Friction::in_bearing(Body::Lever, torque).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// By differences of fourth order over 1e-3 rad. Springs are 0.1 m and longer over the travel and arms up to a
    /// meter, so that the fifth derivative is below some 1e5 times the energy of up to 1e3 J: an error of 1e-12 / 30 of
    /// that.
    #[test]
    fn torque_and_stiffness_are_derivatives(control in gimbals(), q in prop::array::uniform2(-0.19..0.19_f64)) {
        let state = |q: [f64; 2]| control.state(&q);
        let Ok(here) = state(q) else { return Ok(()) };
        prop_assume!(here.lines.iter().all(|line| line.length > 0.1));
        let size = 1.0 + here.energy.abs();
        for axis in 0..2 {
            let at = |steps: f64| {
                let mut moved = q;
                moved[axis] += steps * 1e-3;
                state(moved).unwrap()
            };
            let [a, b, c, d] = [-2.0, -1.0, 1.0, 2.0].map(at);
            let slope = (8.0 * (c.energy - b.energy) - (d.energy - a.energy)) / 12e-3;
            prop_assert!((here.torque[axis] + slope).abs() <= 1e-6 * size, "{} {slope}", here.torque[axis]);
            for other in 0..2 {
                let rise = |to: &yokewright::feel::ControlState,
                    from: &yokewright::feel::ControlState| from.torque[other] - to.torque[other];
                let bend = (8.0 * rise(&c, &b) - rise(&d, &a)) / 12e-3;
                let found = here.stiffness[axis][other];
                prop_assert!((found - bend).abs() <= 1e-5 * size, "{found} {bend}");
            }
        }
        // The least force at the grip does the work of both torques, and the force along one axis that of one.
        for axis in 0..2 {
            prop_assert!((here.force[axis] * here.arm[axis] + here.torque[axis]).abs() <= 1e-12 * size);
        }
    }

    /// A curve, which goes through many angles at a time, against the state at each of them.
    #[test]
    fn many_angles_are_one_by_one(control in gimbals(), held in -0.19..0.19_f64, inner in any::<bool>()) {
        let way = if inner { Way::Inner(held) } else { Way::Outer(held) };
        let curve = control.curve(way, 70).unwrap();
        let axis = usize::from(inner);
        for (i, angle) in curve.angle.iter().enumerate() {
            let at = if inner { [held, *angle] } else { [*angle, held] };
            let twice = curve.angle.iter().filter(|other| *other == angle).count() > 1;
            if twice {
                // A jump has the limits along this angle alone, a state those from all of its angles.
                continue;
            }
            let state = control.state_from(&at, ApproachSide::Above);
            // A state refuses a grip on the other pivot too, where the force along that one would be infinite.
            prop_assert!(curve.valid[i] || state.is_err());
            let Ok(state) = state else { continue };
            // Sums of some dozen terms, none much larger than energy and stiffness together.
            let size = 1.0 + state.energy.abs() + state.stiffness.iter().flatten().map(|k| k.abs()).sum::<f64>();
            for (many, one) in [
                (curve.energy[i], state.energy),
                (curve.torque[i], state.torque[axis]),
                (curve.stiffness[i], state.stiffness[axis][axis]),
            ] {
                prop_assert!((many - one).abs() <= 1e-10 * size, "{way:?} {angle}: {many} {one}");
            }
        }
    }

    /// A control and its mirror image: the opposite torque at the opposite angle, whatever the spring.
    #[test]
    fn opposed_springs_cancel_at_the_center(spring in springs(), on in points(0.2), off in points(0.2),
        angle in 0.0..0.19_f64) {
        prop_assume!((on - off).norm() > 0.1 && on.y.abs() + off.y.abs() > 1e-3);
        let pull = |sign: f64| {
            let place = |body, p: Point3<f64>| Anchor::new(body, Point3::new(p.x, sign * p.y, p.z)).unwrap();
            Element::line(spring.clone(), place(Body::Lever, on), place(Body::Ground, off))
        };
        let control = lever(0.2, vec![pull(1.0), pull(-1.0)]);
        let torque = |q: f64| control.state(&[q]).unwrap().torque[0];
        let size = 1.0 + control.state(&[angle]).unwrap().energy;
        prop_assert!(torque(0.0).abs() <= 1e-12 * size);
        prop_assert!((torque(angle) + torque(-angle)).abs() <= 1e-11 * size);
    }

    /// The band of a linear control is the friction over the stiffness on either side of where the spring is free.
    #[test]
    fn the_friction_band(rate in 0.5..50.0_f64, free in -0.1..0.1_f64, rub in 0.0..1.0_f64) {
        let half = rub / rate;
        let control = lever(0.5, vec![Element::Torsion { spring: twist(rate, free), body: Body::Lever },
            friction(rub)]);
        let centering = control.centering(Way::FIRST).unwrap();
        prop_assert!((centering.loop_area - 2.0 * rub).abs() <= 1e-12);
        if free.abs() + half < 0.5 {
            let band = centering.center.unwrap();
            prop_assert!((band.lower - (free - half)).abs() <= 1e-12 && (band.upper - (free + half)).abs() <= 1e-12);
            prop_assert!((centering.neutral.unwrap() - free).abs() <= 1e-12);
            prop_assert!((centering.breakout_up.unwrap() - rub / 0.4).abs() <= 1e-12);
        } else {
            prop_assert!(!centering.centers());
        }
    }

    /// A captured spring, wherever it is anchored, jumps by twice its preload times its lever, and rests there.
    #[test]
    fn a_captured_spring_rests_on_its_collars(preload in 0.1..50.0_f64, rate in 0.0..5000.0_f64, on in points(0.2),
        off in points(0.2)) {
        let length = (on - off).norm();
        let arm = Vector3::x().cross(&on.coords).dot(&((on - off) / length));
        prop_assume!(length > 0.1 && arm.abs() > 0.01);
        let spring = CapturedSpring::new(length, preload, rate, 0.1).unwrap();
        let ends = [Anchor::new(Body::Lever, on).unwrap(), Anchor::new(Body::Ground, off).unwrap()];
        let control = lever(0.05, vec![Element::line(spring, ends[0], ends[1])]);
        let centering = control.centering(Way::FIRST).unwrap();
        prop_assert!((centering.neutral.unwrap()).abs() <= 1e-9);
        let breakout = preload * arm.abs() / 0.4;
        prop_assert!((centering.breakout_up.unwrap() - breakout).abs() <= 1e-6 * (1.0 + breakout));
        prop_assert!((centering.breakout_down.unwrap() - breakout).abs() <= 1e-6 * (1.0 + breakout));
    }

    #[test]
    fn a_swing_settles(stiffness in 0.1..1000.0_f64, inertia in 1e-4..1.0_f64, ratio in 0.001..10.0_f64,
        share in 0.001..0.5_f64) {
        let damping = 2.0 * ratio * (stiffness * inertia).sqrt();
        let swing = SecondOrderResponse::new(stiffness, inertia, damping).unwrap();
        prop_assert!((swing.damping_ratio() - ratio).abs() <= 1e-12 * ratio);
        let time = swing.settling_time(share).unwrap().unwrap();
        prop_assert!((swing.share_after(time).unwrap().abs() - share).abs() <= 1e-9);
        for later in [1.001, 1.1, 1.7, 5.0] {
            prop_assert!(swing.share_after(later * time).unwrap().abs() <= share * (1.0 + 1e-9));
        }
        prop_assert_eq!(swing.period().is_some(), ratio < 1.0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Without damping and friction the energy stays what it was, over stops that lose nothing and over breakouts.
    #[test]
    fn energy_is_kept(rate in 1.0..20.0_f64, preload in 0.0..0.5_f64, moment in 0.01..0.1_f64, mass in 0.0..1.0_f64,
        start in 0.02..0.19_f64) {
        let control = lever(0.2, vec![
            Element::Torsion { spring: twist(rate, 0.07), body: Body::Lever },
            Element::Breakout(Breakout::new(Body::Lever, preload, 0.0, 0.01).unwrap()),
            Element::Inertia { body: Body::Lever, moment },
            Element::Mass { mass, at: Anchor::new(Body::Lever, Point3::new(0.0, 0.0, 0.3)).unwrap() },
        ]);
        let spec = FreeResponseSpec { way: Way::FIRST, start, duration: 1.0, points: 101, rebound: 1.0 };
        let release = control.free_response(&spec).unwrap();
        let inertia = moment + mass * 0.09;
        let energies: Vec<f64> = release.angle.iter().zip(&release.speed)
            .map(|(angle, speed)| control.state(&[*angle]).unwrap().energy + 0.5 * inertia * speed * speed)
            .collect();
        for energy in &energies {
            // The tolerance of a step, 1e-10, over some thousand steps.
            prop_assert!((energy - energies[0]).abs() <= 1e-7 * (1.0 + energies[0]));
        }
    }

    /// With friction it comes to rest within the band, and never gains energy.
    #[test]
    fn friction_brings_it_to_rest(rate in 5.0..50.0_f64, rub in 0.05..0.5_f64, moment in 0.005..0.05_f64,
        start in -0.19..0.19_f64) {
        let control = lever(0.2, vec![
            Element::Torsion { spring: twist(rate, 0.0), body: Body::Lever },
            Element::Inertia { body: Body::Lever, moment },
            friction(rub),
        ]);
        let spec = FreeResponseSpec { way: Way::FIRST, start, duration: 20.0, points: 501, rebound: 0.5 };
        let release = control.free_response(&spec).unwrap();
        let [_, angle] = release.rest.unwrap();
        prop_assert!(angle.abs() <= rub / rate + 1e-9);
        let energy = |i: usize| 0.5 * rate * release.angle[i].powi(2) + 0.5 * moment * release.speed[i].powi(2);
        for i in 1..release.time.len() {
            prop_assert!(energy(i) <= energy(i - 1) + 1e-8);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    /// A control of anything is a control or an error, and what it answers is finite or an error.
    #[test]
    fn of_anything(
        places in prop::array::uniform5(prop::array::uniform3(anything())),
        numbers in prop::array::uniform12(anything()),
        bodies in prop::array::uniform3(0..4_usize),
        two in any::<bool>(),
    ) {
        let [a, b, c, d, e] = places.map(Point3::from);
        let [f0, f1, f2, f3, f4, f5, f6, f7, f8, f9, f10, f11] = numbers;
        let body = |i: usize| [Body::Ground, Body::Ring, Body::Lever, Body::Driven(0)][bodies[i]];
        let fallback = Pivot::new(Point3::origin(), Vector3::x()).unwrap();
        let other = Pivot::new(Point3::origin(), Vector3::y()).unwrap();
        let pivot = Pivot::new(a, b.coords).unwrap_or(fallback);
        let mut elements = vec![
            Element::Mass { mass: f0, at: Anchor::new(body(0), c).unwrap_or(Anchor::new(Body::Lever,
                Point3::origin()).unwrap()) },
            Element::Inertia { body: body(1), moment: f1 },
            Element::Damper { body: body(2), damping: f2 },
        ];
        if let Ok(spring) = CapturedSpring::new(f3, f4, f5, f6)
            && let (Ok(a), Ok(b)) = (Anchor::new(body(0), d), Anchor::new(body(1), e))
        {
            elements.push(Element::line(spring, a, b));
            elements.extend(Friction::in_joints(a, b, f7).ok().map(Element::Friction));
        }
        elements.extend(Breakout::new(body(2), f8, f9, f10).ok().map(Element::Breakout));
        let cam = CamSpec { body: body(1), angles: vec![f0, f1, f2, f3], lifts: vec![f4, f5, f6, f4],
            ends: CamEnds::Periodic, preload: f7, rate: f8 };
        elements.extend(Cam::new(cam).ok().map(Element::Cam));
        let bearing = if two { Bearing::Gimbal { outer: pivot, inner: other } } else { Bearing::Single(pivot) };
        let driven = Drive::ratio(other, body(2), f11).ok().into_iter().collect();
        for travel in [[f9, f10], [-0.3, 0.4]] {
            // Also with fewer of the elements, so that one bad one does not hide the rest.
            for count in 0..=elements.len() {
                let spec = ControlSpec {
                    bearing,
                    travel: vec![travel; bearing.axes()],
                    grip: e,
                    driven: Vec::clone(&driven),
                    elements: elements[count..].to_vec(),
                    gravity: d.coords,
                };
                let Ok(control) = Control::new(spec) else { continue };
                let angles = vec![0.5 * (travel[0] + travel[1]); bearing.axes()];
                if let Ok(state) = control.state(&angles) {
                    let all = state.torque.iter().chain(&state.force).chain(state.stiffness.iter().flatten());
                    prop_assert!(all.copied().all(f64::is_finite), "{state:?}");
                }
                prop_assert!(control.state(&[f0, f1]).is_err() || bearing.axes() == 2);
                if let Ok(curve) = control.curve(Way::Outer(0.0), 5) {
                    for (i, valid) in curve.valid.iter().enumerate() {
                        prop_assert_eq!(curve.force[i].is_nan(), !valid);
                        prop_assert_eq!(curve.energy[i].is_nan(), !valid);
                    }
                }
                let _ = control.equilibrium_bands(Way::FIRST);
                let _ = control.spring_envelopes(3);
            }
        }
        let _ = SecondOrderResponse::new(f0, f1, f2).map(|swing| swing.settling_time(f3));
    }
}
