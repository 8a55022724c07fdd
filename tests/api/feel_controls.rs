//! Controls to test on: a single pivot with springs, and a gimbal with all there is.

use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Anchor, Bearing, Body, Breakout, Cam, CamEnds, CamSpec, CapturedSpring, Control, ControlSpec,
    Drive, Element, Friction, GRAVITY,
};
use yokewright::linkage::Pivot;
use yokewright::spring::{
    LineSpring, LinearSpring, LinearSpringSpec, LinearTorsionSpring, LinearTorsionSpringSpec,
    SpringAction,
};
use yokewright::units::{DEG, MM};

pub(crate) fn extension(rate: f64, free_length: f64, initial_tension: f64) -> LineSpring {
    LinearSpring::new(LinearSpringSpec {
        rate,
        free_length,
        initial_tension,
        action: SpringAction::Above,
        shortest: None,
        longest: None,
    })
    .expect("a plausible spring")
    .into()
}

pub(crate) fn anchor(body: Body, x: f64, y: f64, z: f64) -> Anchor {
    Anchor::new(body, Point3::new(x * MM, y * MM, z * MM)).expect("a plausible place")
}

pub(crate) fn pivot(point: [f64; 3], direction: [f64; 3]) -> Pivot {
    Pivot::new(Point3::from(point) * MM, Vector3::from(direction)).expect("a plausible pivot")
}

/// A lever on the x axis that stands up along z, its grip 400 mm up, without gravity.
pub(crate) fn lever(elements: Vec<Element>) -> Control {
    Control::new(ControlSpec {
        bearing: Bearing::Single(pivot([0.0; 3], [1.0, 0.0, 0.0])),
        travel: vec![[-15.0 * DEG, 15.0 * DEG]],
        grip: Point3::new(0.0, 0.0, 400.0 * MM),
        driven: vec![],
        elements,
        gravity: Vector3::zeros(),
    })
    .expect("a plausible lever")
}

/// Two like springs that pull a lever both ways, 60 mm above its pivot, to anchors 120 mm to the left and right.
pub(crate) fn opposed(rate: f64, free_length: f64) -> Vec<Element> {
    let to = |y: f64| {
        Element::line(
            extension(rate, free_length, 0.0),
            anchor(Body::Lever, 0.0, 0.0, 60.0),
            anchor(Body::Ground, 0.0, y, 60.0),
        )
    };
    vec![to(-120.0), to(120.0)]
}

/// A torsion spring that gives a lever a stiffness of its own.
pub(crate) fn twist(rate: f64) -> Element {
    let spring = LinearTorsionSpring::new(LinearTorsionSpringSpec {
        rate,
        free_angle: 0.0,
        action: SpringAction::Both,
        min_angle: None,
        max_angle: None,
    });
    Element::Torsion {
        spring: spring.expect("a plausible spring"),
        body: Body::Lever,
    }
}

pub(crate) fn bearing_friction(torque: f64) -> Element {
    Element::Friction(Friction::in_bearing(Body::Lever, torque).expect("a plausible friction"))
}

pub(crate) fn breakout(preload: f64, rate: f64) -> Element {
    Element::Breakout(Breakout::new(Body::Lever, preload, rate, 0.0).expect("a plausible breakout"))
}

/// A stick in a gimbal whose axes neither cross nor stand at right angles, with springs from everything to everything,
/// a cam, a crank driven by the ring, and weight.
pub(crate) fn gimbal() -> Control {
    let strut = CapturedSpring::new(95.0 * MM, 8.0, 900.0, 60.0 * MM).expect("a plausible strut");
    let twist = LinearTorsionSpring::new(LinearTorsionSpringSpec {
        rate: 0.7,
        free_angle: -0.4,
        action: SpringAction::Above,
        min_angle: None,
        max_angle: None,
    });
    let cam = Cam::new(CamSpec {
        body: Body::Lever,
        angles: vec![-0.5, -0.2, 0.0, 0.15, 0.5],
        lifts: vec![6.0 * MM, 1.0 * MM, 0.0, 0.5 * MM, 4.0 * MM],
        ends: CamEnds::Refused,
        preload: 15.0,
        rate: 1200.0,
    });
    Control::new(ControlSpec {
        bearing: Bearing::Gimbal {
            outer: pivot([5.0, 2.0, -10.0], [1.0, 0.05, 0.0]),
            inner: pivot([0.0, -4.0, 15.0], [0.1, 1.0, -0.07]),
        },
        travel: vec![[-20.0 * DEG, 20.0 * DEG], [-18.0 * DEG, 22.0 * DEG]],
        grip: Point3::new(60.0, 10.0, 420.0) * MM,
        driven: vec![
            Drive::ratio(pivot([100.0, 0.0, 0.0], [0.3, 0.8, 0.2]), Body::Ring, -1.4)
                .expect("a plausible drive"),
            Drive::ratio(
                pivot([180.0, 20.0, 0.0], [0.0, 0.1, 1.0]),
                Body::Driven(0),
                0.6,
            )
            .expect("a plausible drive"),
        ],
        elements: vec![
            Element::line(
                extension(700.0, 55.0 * MM, 0.0),
                anchor(Body::Lever, 3.0, 8.0, 70.0),
                anchor(Body::Ground, 20.0, 110.0, 50.0),
            ),
            Element::line(
                extension(450.0, 60.0 * MM, 2.0),
                anchor(Body::Ring, -30.0, 5.0, 12.0),
                anchor(Body::Lever, 4.0, 60.0, 90.0),
            ),
            Element::line(
                strut,
                anchor(Body::Ground, -90.0, -20.0, 20.0),
                anchor(Body::Lever, 0.0, 5.0, 45.0),
            ),
            Element::line(
                extension(300.0, 40.0 * MM, 0.0),
                anchor(Body::Driven(0), 120.0, 0.0, 40.0),
                anchor(Body::Driven(1), 200.0, 60.0, 10.0),
            ),
            Element::Torsion {
                spring: twist.expect("a plausible spring"),
                body: Body::Driven(1),
            },
            Element::Cam(cam.expect("a plausible cam")),
            Element::Mass {
                mass: 0.6,
                at: anchor(Body::Lever, 55.0, 10.0, 400.0),
            },
            Element::Mass {
                mass: 0.2,
                at: anchor(Body::Driven(0), 100.0, 30.0, 20.0),
            },
        ],
        gravity: GRAVITY,
    })
    .expect("a plausible stick")
}
