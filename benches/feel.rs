//! How long the force curve of a control takes, and the motion after it is let go. `cargo bench --bench feel`
//!
//! Compare ratios and only within one run; README.md beside this file says what else matters.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::{Point3, Vector3};
use yokewright::feel::{
    Anchor, Bearing, Body, Control, ControlSpec, Drive, Element, FreeResponseSpec, Friction,
    GRAVITY, Way,
};
use yokewright::linkage::{Arm, BallRod, Pivot};
use yokewright::spring::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};
use yokewright::units::{DEG, MM};

fn anchor(body: Body, x: f64, y: f64, z: f64) -> Anchor {
    Anchor::new(body, Point3::new(x, y, z) * MM).expect("a plausible place")
}

fn pivot(x: f64, y: f64, z: f64) -> Pivot {
    Pivot::new(Point3::origin(), Vector3::new(x, y, z)).expect("a plausible pivot")
}

fn spring() -> LineSpring {
    let spec = LinearSpringSpec {
        rate: 500.0,
        free_length: 80.0 * MM,
        initial_tension: 0.0,
        action: SpringAction::Above,
        shortest: None,
        longest: None,
    };
    LinearSpring::new(spec).expect("a plausible spring").into()
}

/// Four springs and the weight of the grip.
fn elements() -> Vec<Element> {
    let to = |x: f64, y: f64| {
        let on_stick = anchor(Body::Lever, 0.0, 0.0, 60.0);
        Element::line(spring(), on_stick, anchor(Body::Ground, x, y, 60.0))
    };
    vec![
        to(20.0, 120.0),
        to(-20.0, 120.0),
        to(20.0, -120.0),
        to(-20.0, -120.0),
        Element::Mass {
            mass: 0.4,
            at: anchor(Body::Lever, 0.0, 0.0, 380.0),
        },
    ]
}

fn control(bearing: Bearing, driven: Vec<Drive>, elements: Vec<Element>) -> Control {
    Control::new(ControlSpec {
        bearing,
        travel: vec![[-15.0 * DEG, 15.0 * DEG]; bearing.axes()],
        grip: Point3::new(0.0, 0.0, 400.0 * MM),
        driven,
        elements,
        gravity: GRAVITY,
    })
    .expect("a plausible control")
}

fn feel(c: &mut Criterion) {
    let single = Bearing::Single(pivot(1.0, 0.0, 0.0));
    let gimbal = Bearing::Gimbal {
        outer: pivot(1.0, 0.0, 0.0),
        inner: pivot(0.0, 1.0, 0.0),
    };
    let lever = control(single, vec![], elements());
    let stick = control(gimbal, vec![], elements());
    let joint = Point3::new(0.0, 0.0, 120.0 * MM);
    let pedal = Arm::new(Point3::origin(), Vector3::x(), joint).expect("a plausible arm");
    let at = Point3::new(-60.0, 150.0, 110.0) * MM;
    let crank = Arm::new(at, Vector3::z(), at + Vector3::x() * (50.0 * MM));
    let rod = BallRod::new(pedal, crank.expect("a plausible arm")).expect("a plausible rod");
    let on_crank = Element::line(
        spring(),
        anchor(Body::Driven(0), -60.0, 200.0, 110.0),
        anchor(Body::Ground, -180.0, 200.0, 110.0),
    );
    let pedals = control(
        single,
        vec![Drive::ball_rod(Body::Lever, rod).expect("a plausible pivot")],
        vec![on_crank],
    );
    let mut parts = elements();
    parts.push(Element::Damper {
        body: Body::Lever,
        damping: 0.05,
    });
    parts.push(Element::Friction(
        Friction::in_bearing(Body::Lever, 0.01).expect("a plausible friction"),
    ));
    let swinging = control(single, vec![], parts);
    let spec = FreeResponseSpec {
        way: Way::FIRST,
        start: 12.0 * DEG,
        duration: 1.0,
        points: 101,
        rebound: 0.0,
    };

    let mut group = c.benchmark_group("feel");
    group.bench_function("curve of 200 points, lever, 4 springs and weight", |b| {
        b.iter(|| black_box(&lever).curve(Way::FIRST, 200));
    });
    group.bench_function("curve of 200 points, gimbal, 4 springs and weight", |b| {
        b.iter(|| black_box(&stick).curve(Way::FIRST, 200));
    });
    group.bench_function(
        "curve of 200 points, crank driven by a rod, 1 spring",
        |b| {
            b.iter(|| black_box(&pedals).curve(Way::FIRST, 200));
        },
    );
    group.bench_function("state, gimbal, 4 springs and weight", |b| {
        b.iter(|| black_box(&stick).state(&[0.1, -0.05]));
    });
    group.bench_function("centering, lever with friction", |b| {
        b.iter(|| black_box(&swinging).centering(Way::FIRST));
    });
    group.bench_function("a second of swing, lever with friction and damping", |b| {
        b.iter(|| black_box(&swinging).free_response(&spec));
    });
    group.finish();
}

criterion_group!(benches, feel);
criterion_main!(benches);
