use nalgebra::{Isometry3, Vector3};

use super::*;
use crate::axis::{SwungLayout, SwungLayoutSpec, linearity};
use crate::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use crate::magnet::Block;

/// A cube of 5 mm on an arm, its sensor outside, 0.2 to 4.7 V at 25 V/T about 2.5 V.
fn demand() -> ArrangementDemand {
    let j = Vector3::new(0.0, 1.3, 0.0);
    let cube = Block::new(Vector3::repeat(5e-3), j, Isometry3::identity()).expect("plausible");
    let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12e-3, 2e-3)).expect("plausible");
    let sensor = LinearHallSpec {
        quiescent: 2.5,
        rail_low: 0.2,
        rail_headroom: 0.3,
        depth: 0.0,
        ..LinearHallSpec::new(5.0, 25.0)
    };
    ArrangementDemand {
        max_linearity: 0.002,
        ..ArrangementDemand::new(
            vec![layout.into()],
            vec![LinearHall::new(sensor).expect("plausible").into()],
            Converter::new(12, 5.0, Rounding::Nearest, 0.0).expect("plausible"),
            [-0.1, 0.08],
            vec![
                VariedMeasure::new(Measure::Arm, [8e-3, 20e-3]),
                VariedMeasure::new(Measure::Gap, [1e-3, 6e-3]),
            ],
        )
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
            let demand = ArrangementDemand {
                converter: Converter::new(12, reference, Rounding::Nearest, 0.0).ok(),
                range_margin,
                ..demand()
            };
            let setting = Setting::new(&demand, &demand.arrangements[0], &demand.sensors[0]);
            let trial = setting.attempt(&[arm, gap]).expect("plausible");
            let worth = trial.worth.as_ref().expect("clear of the magnet");
            let arrangement = setting.arrangement(&[arm, gap]).expect("plausible");
            let axis = setting.axis(&arrangement).expect("plausible");
            let sweep = axis.sweep(20_001).expect("clear");
            let flux = sweep.flux().expect("of a linear sensor").iter();
            let open: Vec<f64> = flux.map(|flux| 2.5 + 25.0 * flux).collect();
            let held: Vec<f64> = open.iter().map(|volts| volts.clamp(0.2, 4.7)).collect();
            let ends = |volts: &[f64]| {
                let least = volts.iter().fold(f64::MAX, |a, b| a.min(*b));
                [least, volts.iter().fold(f64::MIN, |a, b| a.max(*b))]
            };
            let [least, most] = ends(&open);
            let over = (limits[0] - least).max(most - limits[1]) / 4.5;
            let bend = linearity(sweep.angle(), &held)
                .expect("it changes")
                .independent();
            let [lowest, highest] = ends(&held);
            let clipped = sweep.clipped().iter().any(|clipped| *clipped);
            // A corner at a rail lies within a step of 9e-6 rad of a sample, up to 1e-4 of the span; else the dense
            // sweep misses 1e-9.
            let tolerance = if clipped { 2e-4 } else { 1e-8 };
            let close = |a: f64, b: f64| {
                assert!(
                    (a - b).abs() <= tolerance,
                    "arm {arm}, gap {gap}: {a} is not {b}"
                );
            };
            close(worth.over, over);
            close(worth.linearity, bend);
            close(worth.span, (highest - lowest) / 4.5);
            close(worth.clearance, sweep.clearance());
            close(
                trial.merit(ArrangementObjective::Span),
                (highest - lowest) / 4.5 - bend,
            );
            let limits = Limits::of(&demand);
            let shortfalls = trial.shortfalls(&limits);
            for (requirement, value, limit) in [
                (requirement::RANGE, over, 0.0),
                (requirement::LINEARITY, bend, 0.002),
            ] {
                let shortfall = shortfalls.of(requirement);
                assert_eq!(shortfall.is_some(), value > limit, "arm {arm}, gap {gap}");
                if let Some(shortfall) = shortfall {
                    close(shortfall.value, value);
                    close(shortfall.share, value - limit);
                    assert_eq!(shortfall.limit, limit);
                }
            }
            // The margin is that of the worst, and tells whether all are kept.
            let score = trial.score(&limits, ArrangementObjective::Span);
            assert_eq!(score.keeps(), shortfalls.is_empty());
            close(score.margin().max(0.0), shortfalls.worst());
        }
    }
}

#[test]
fn the_box_holds_pivot_magnets_and_face() {
    let demand = demand();
    // 12 mm to the center of 5 mm, and 2 mm to the face, along the arm; 5 mm across.
    let size = size(&demand.arrangements[0]);
    assert!((size - 16.5e-3).abs() < 1e-15, "{size}");
    let volume = volume(&demand.arrangements[0]);
    assert!((volume - 125e-9).abs() < 1e-20, "{volume}");
}
