use std::f64::consts::PI;

use nalgebra::{Point3, Vector3};

use crate::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Pivot};
use crate::units::DEG;

/// Steps of a scan; ends are then found to half of one.
const STEP: f64 = 0.05 * DEG;

fn gimbals() -> Vec<Gimbal> {
    let gimbal = |inner: Vector3<f64>, tip: Vector3<f64>| {
        Gimbal::new(GimbalSpec::new(
            Pivot::new(Point3::origin(), Vector3::y()).unwrap(),
            Pivot::new(Point3::new(0.0, 0.0, 0.02), inner).unwrap(),
            vec![Point3::origin(), Point3::from(tip)],
        ))
        .unwrap()
    };
    vec![
        gimbal(Vector3::x(), Vector3::z() * 0.4),
        gimbal(Vector3::new(1.0, 0.3, -0.2), Vector3::new(0.05, -0.1, 0.4)),
    ]
}

fn gates() -> Vec<Gate> {
    let polygon = |corners: &[[f64; 2]]| {
        let corners = corners.iter().map(|pair| pair.map(|angle| angle * DEG));
        Gate::polygon(corners.collect()).unwrap()
    };
    vec![
        Gate::round(20.0 * DEG).unwrap(),
        Gate::square([-12.0 * DEG, 9.0 * DEG], [-15.0 * DEG, 17.0 * DEG]).unwrap(),
        // Convex, with a side along each axis.
        polygon(&[
            [-10.0, -8.0],
            [10.0, -8.0],
            [14.0, 0.0],
            [3.0, 16.0],
            [-10.0, 6.0],
        ]),
        // A cross: corners turned in, two stretches beside the middle of none.
        polygon(&[
            [-15.0, -3.0],
            [-4.0, -3.0],
            [-9.0, -15.0],
            [0.0, -6.0],
            [9.0, -15.0],
            [4.0, -3.0],
            [15.0, 3.0],
            [4.0, 4.0],
            [0.0, 15.0],
            [-4.0, 4.0],
        ]),
    ]
}

fn pair(free: GimbalAxis, turned: f64, held: f64) -> [f64; 2] {
    match free {
        GimbalAxis::Outer => [turned, held],
        GimbalAxis::Inner => [held, turned],
    }
}

/// Every position of a scan is in a stretch if and only if the gate allows it.
#[test]
fn stretches_hold_what_the_gate_allows_and_nothing_else() {
    for gimbal in gimbals() {
        for gate in gates() {
            for free in GimbalAxis::ALL {
                for held in (-40..=40).map(|i| f64::from(i) * 0.501 * DEG + 1e-7) {
                    let stretches = gimbal.gate_stretches(&gate, free, held).unwrap();
                    for [low, high] in &stretches {
                        assert!(low <= high);
                        for end in [*low, *high] {
                            let [outer, inner] = pair(free, end, held);
                            let near = [-1e-9, 1e-9].map(|step| {
                                let [o, i] = pair(free, step, 0.0);
                                gimbal.allows(&gate, outer + o, inner + i).unwrap()
                            });
                            assert!(
                                near[0] != near[1] || low == high,
                                "{gate:?} {free} {held} {end}"
                            );
                        }
                    }
                    for turned in (-500..=500).map(|i| f64::from(i) * STEP + 1.3e-7) {
                        let [outer, inner] = pair(free, turned, held);
                        let allowed = gimbal.allows(&gate, outer, inner).unwrap();
                        let covered = stretches
                            .iter()
                            .any(|[low, high]| (*low..=*high).contains(&turned));
                        assert_eq!(
                            allowed, covered,
                            "{gate:?} {free} held {held} turned {turned}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn bounds_are_the_extremes_of_what_is_allowed() {
    for gimbal in gimbals() {
        for gate in gates() {
            let bounds = gimbal.gate_bounds(&gate).unwrap();
            for (free, other, bounds) in [
                (GimbalAxis::Outer, GimbalAxis::Inner, bounds[0]),
                (GimbalAxis::Inner, GimbalAxis::Outer, bounds[1]),
            ] {
                let reached = |held: f64| {
                    let stretches = gimbal.gate_stretches(&gate, other, held).unwrap();
                    !stretches.is_empty()
                };
                for (end, side) in [(bounds[0], -1.0), (bounds[1], 1.0)] {
                    assert!(reached(end - side * 1e-7), "{gate:?} {free} {end}");
                    assert!(!reached(end + side * 1e-7), "{gate:?} {free} {end}");
                }
            }
        }
    }
}

/// A round gate about a stick square to both square axes: each axis alone turns by the tilt (hand calculation).
#[test]
fn a_round_gate_lets_each_axis_turn_by_its_tilt() {
    let gimbal = &gimbals()[0];
    let tilt = 20.0 * DEG;
    let bounds = gimbal.gate_bounds(&Gate::round(tilt).unwrap()).unwrap();
    for end in bounds.as_flattened() {
        assert!((end.abs() - tilt).abs() < 1e-12, "{end}");
    }
    // cos tilt = cos outer cos inner.
    let gate = Gate::round(tilt).unwrap();
    let held = 12.0 * DEG;
    let expected = (tilt.cos() / held.cos()).acos();
    for free in GimbalAxis::ALL {
        let stretches = gimbal.gate_stretches(&gate, free, held).unwrap();
        assert_eq!(stretches.len(), 1);
        assert!((stretches[0][1] - expected).abs() < 1e-12);
        assert!((stretches[0][0] + expected).abs() < 1e-12);
    }
    assert!(bounds[0][1] < PI);
}

/// The greatest distance, told as its negative, from a point: known in closed form at the corners of a square gate.
#[test]
fn the_least_over_a_gate_is_that_of_a_scan() {
    let gimbal = &gimbals()[1];
    for gate in gates() {
        let value = |[outer, inner]: [f64; 2]| (outer - 0.1).cos() + (inner + 0.05).cos() * 0.3;
        let (least, at) = gimbal
            .least_over_gate(&gate, "cosine", 1e-6, |center, half| {
                [value(center), value(center) - half[0] - 0.3 * half[1]]
            })
            .unwrap();
        assert_eq!(least, value(at));
        for outer in (-60..=60).map(|i| f64::from(i) * 0.5 * DEG) {
            for inner in (-60..=60).map(|i| f64::from(i) * 0.5 * DEG) {
                if gimbal.allows(&gate, outer, inner).unwrap() {
                    assert!(value([outer, inner]) >= least - 1e-6);
                }
            }
        }
    }
}
