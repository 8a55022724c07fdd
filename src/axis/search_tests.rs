use super::*;
use crate::axis::{SwungLayoutSpec, linearity};
use crate::hall::{LinearHallSpec, Rounding};
use crate::magnet::Block;
use nalgebra::{Isometry3, Vector3};

/// A cube of 5 mm on an arm, its sensor outside, 0.2 to 4.7 V at 25 V/T about 2.5 V.
fn search() -> LayoutDemand {
    let j = Vector3::new(0.0, 1.3, 0.0);
    let cube = Block::new(Vector3::repeat(5e-3), j, Isometry3::identity());
    let layout = SwungLayoutSpec::new(cube.expect("a plausible magnet"), 12e-3, 2e-3);
    let sensor = LinearHallSpec {
        supply: 5.0,
        nominal_supply: 5.0,
        quiescent: 2.5,
        sensitivity: 25.0,
        rail_low: 0.2,
        rail_headroom: 0.3,
        noise: 0.0,
        depth: 0.0,
        direction: Vector3::z(),
        ..LinearHallSpec::new(5.0, 25.0)
    };
    LayoutDemand {
        layout: SwungLayout::new(layout).expect("a plausible layout"),
        arm: [8e-3, 20e-3],
        gap: [1e-3, 6e-3],
        linearity: 0.01,
        range_margin: 0.0,
        throw: [-0.1, 0.08],
        sensor: LinearHall::new(sensor).expect("a plausible sensor"),
        converter: Converter::new(12, 5.0, Rounding::Nearest, 0.0).expect("plausible"),
        moving: Moving::Magnets,
    }
}

#[test]
fn an_arrangement_is_judged_by_what_a_dense_sweep_shows() {
    // Rails alone, a converter that ends below the high one, and a tenth of 4.5 V kept free at each rail.
    let high = |converter: f64| 4095.5 / 4096.0 * converter;
    for (reference, range_margin, limits) in [
        (5.0, 0.0, [0.2, 4.7]),
        (4.0, 0.0, [0.2, high(4.0)]),
        (5.0, 0.1, [0.65, 4.25]),
        (4.0, 0.1, [0.65, high(4.0)]),
    ] {
        for (arm, gap) in [
            (12e-3, 2e-3),
            (12e-3, 1e-3),
            (8e-3, 1e-3),
            (20e-3, 1.5e-3),
            (12e-3, 3e-3),
        ] {
            let spec = LayoutDemand {
                converter: Converter::new(12, reference, Rounding::Nearest, 0.0)
                    .expect("plausible"),
                range_margin,
                linearity: 0.002,
                ..search()
            };
            let (merit, shortfalls) = spec.judged(arm, gap).expect("clear of the magnet");
            let layout = spec.layout.with(arm, gap).expect("plausible");
            let sweep = spec
                .axis(&layout)
                .and_then(|axis| axis.sweep(20_001))
                .expect("clear");
            let open: Vec<f64> = sweep
                .flux()
                .unwrap()
                .iter()
                .map(|flux| 2.5 + 25.0 * flux)
                .collect();
            let held: Vec<f64> = open.iter().map(|volts| volts.clamp(0.2, 4.7)).collect();
            let ends = |volts: &[f64]| {
                let least = volts.iter().fold(f64::MAX, |a, b| a.min(*b));
                [least, volts.iter().fold(f64::MIN, |a, b| a.max(*b))]
            };
            let [least, most] = ends(&open);
            let over = (limits[0] - least).max(most - limits[1]).max(0.0) / 4.5;
            let bend = linearity(sweep.angle(), &held)
                .expect("it changes")
                .independent();
            let [lowest, highest] = ends(&held);
            let clipped =
                sweep.clipped().iter().filter(|clipped| **clipped).count() as f64 / 20_001.0;
            // A corner at a rail lies within a step of 9e-6 rad of a sample, up to 1e-4 of the span; else the dense
            // sweep misses 1e-9.
            let tolerance = if clipped > 0.0 { 2e-4 } else { 1e-8 };
            let close = |a: f64, b: f64, tolerance: f64| {
                assert!(
                    (a - b).abs() <= tolerance,
                    "arm {arm}, gap {gap}: {a} is not {b}"
                );
            };
            close(merit, (highest - lowest) / 4.5 - bend, tolerance);
            for (requirement, value, limit) in [
                (requirement::RANGE, over, 0.0),
                (requirement::LINEARITY, bend, 0.002),
            ] {
                let shortfall = shortfalls.of(requirement);
                assert_eq!(shortfall.is_some(), value > limit, "arm {arm}, gap {gap}");
                if let Some(shortfall) = shortfall {
                    close(shortfall.value, value, tolerance);
                    close(shortfall.share, value - limit, tolerance);
                    assert_eq!(shortfall.limit, limit);
                }
            }
        }
    }
}

#[test]
fn what_misses_less_is_better_and_then_what_has_more_merit() {
    let candidate = |excess: f64, merit: f64| Candidate {
        arm: 0.0,
        gap: 0.0,
        merit,
        excess,
    };
    assert!(candidate(0.1, 0.0).better_than(&candidate(0.2, 1.0)));
    assert!(!candidate(0.2, 1.0).better_than(&candidate(0.1, 0.0)));
    assert!(candidate(0.1, 0.5).better_than(&candidate(0.1, 0.4)));
    assert!(!candidate(0.1, 0.4).better_than(&candidate(0.1, 0.5)));
    // Of two equals the first stays.
    assert!(!candidate(0.1, 0.5).better_than(&candidate(0.1, 0.5)));
}

#[test]
fn steps_meet_both_ends() {
    assert_eq!(
        ticks([1.0, 3.0], 4).collect::<Vec<_>>(),
        [1.0, 1.5, 2.0, 2.5, 3.0]
    );
    assert_eq!(ticks([-2.0, 2.0], 1).collect::<Vec<_>>(), [-2.0, 2.0]);
    assert_eq!(ticks([1.5, 1.5], 4).collect::<Vec<_>>(), [1.5]);
}

#[test]
fn finer_steps_close_in_on_the_best_and_stay_within_the_bounds() {
    let of = |bounds: [f64; 2], best: f64| {
        let mut tried = Vec::new();
        let found = zoom(bounds, 4, |place| {
            tried.push(place);
            Ok(Some(Candidate {
                arm: place,
                gap: 0.0,
                merit: -(place - best).abs(),
                excess: 0.0,
            }))
        });
        assert!(
            tried
                .iter()
                .all(|place| (bounds[0]..=bounds[1]).contains(place))
        );
        (
            found
                .expect("nothing refuses")
                .expect("something is found")
                .arm,
            tried,
        )
    };
    // Four steps of 1 over the bounds; then eight of a quarter of it around the best, and so on, six times.
    for best in [2.2, 1.0 / 3.0, 3.9, 0.0, 4.0] {
        let (found, tried) = of([0.0, 4.0], best);
        assert!(
            (found - best).abs() <= 0.5 * 0.25_f64.powi(6),
            "{best}: {found}"
        );
        assert_eq!(tried.len(), 5 + 6 * 9);
    }
    // The second stretch reaches one step either way, and no farther than the bounds.
    assert_eq!(
        of([0.0, 4.0], 2.2).1[5..14],
        [1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0]
    );
    assert_eq!(of([0.0, 4.0], 0.0).1[5..14].first(), Some(&0.0));
    assert_eq!(of([0.0, 4.0], 0.0).1[5..14].last(), Some(&1.0));
    assert_eq!(of([0.0, 4.0], 9.0).1[5..14].first(), Some(&3.0));
    assert_eq!(of([0.0, 4.0], 9.0).1[5..14].last(), Some(&4.0));
    // One place needs no steps; where nothing is found there is nothing to close in on.
    assert_eq!(of([1.5, 1.5], 0.0).1, [1.5]);
    let mut tried = 0;
    let none = zoom([0.0, 4.0], 4, |_| {
        tried += 1;
        Ok(None)
    });
    assert!(none.expect("nothing refuses").is_none());
    assert_eq!(tried, 5);
}
