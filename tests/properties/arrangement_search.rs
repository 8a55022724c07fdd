//! Whatever limits are asked for: no answer of the search breaks one, by its own figures, by even the last bit.

use nalgebra::{Isometry3, Vector3};
use proptest::prelude::*;
use yokewright::axis::{
    AnyArrangement, ArrangementDemand, ArrangementObjective, HeadOnLayout, HeadOnLayoutSpec,
    Measure, SwungLayout, SwungLayoutSpec, VariedMeasure, search_arrangements,
};
use yokewright::magnet::Block;
use yokewright::units::{DEG, MM};

use crate::common;

fn arrangement(kind: usize, side: f64) -> AnyArrangement {
    let j = Vector3::new(0.0, 1.3, 0.0);
    let cube = Block::new(Vector3::repeat(side), j, Isometry3::identity()).unwrap();
    if kind == 0 {
        let spec = SwungLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM);
        SwungLayout::new(spec).unwrap().into()
    } else {
        let spec = HeadOnLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM);
        HeadOnLayout::new(spec).unwrap().into()
    }
}

proptest! {
    // Each is a search of its own.
    #![proptest_config(ProptestConfig::with_cases(4))]

    #[test]
    fn no_answer_breaks_a_limit(
        (kind, side) in (0..2_usize, 3.0..10.0_f64),
        throw in (3.0..25.0_f64, 3.0..25.0_f64),
        limits in (0.001..0.05_f64, 0.02..0.8_f64, 0.0..4.0_f64, 12.0..30.0_f64),
        beyond in prop::option::of(0.0..0.2_f64),
        margin in 0.0..0.2_f64,
        steps in prop::option::of((0.1..1.0_f64, 0.05..0.5_f64)),
        objective in prop::sample::select(ArrangementObjective::ALL.to_vec()),
    ) {
        let arm = VariedMeasure::new(Measure::Arm, [5.0 * MM, 20.0 * MM]);
        let gap = VariedMeasure::new(Measure::Gap, [0.5 * MM, 8.0 * MM]);
        let (max_linearity, min_span, clearance, size) = limits;
        let demand = ArrangementDemand {
            objective,
            max_linearity,
            min_span,
            min_clearance: clearance * MM,
            max_size: Some(size * MM),
            // Either clipping is allowed, or a margin kept.
            max_clipped: beyond.unwrap_or(0.0),
            range_margin: if beyond.is_some_and(|beyond| beyond > 0.0) { 0.0 } else { margin },
            ..ArrangementDemand::new(
                vec![arrangement(kind, side * MM)],
                vec![common::sensor().into()],
                common::converter(),
                [-throw.0 * DEG, throw.1 * DEG],
                match steps {
                    Some((a, g)) => vec![arm.stepped(a * MM), gap.stepped(g * MM)],
                    None => vec![arm, gap],
                },
            )
        };
        let found = search_arrangements(&demand).unwrap();
        prop_assert_eq!(found.result.fitting > 0, !found.result.found.is_empty());
        let kept = |s: &yokewright::axis::ArrangementSummary| {
            s.linearity <= demand.max_linearity
                && s.clipped_share <= demand.max_clipped
                && s.span >= demand.min_span
                && s.clearance >= demand.min_clearance
                && Some(s.size) <= demand.max_size
        };
        for one in &found.result.found {
            prop_assert!(kept(&one.summary), "{:?}", one.summary);
            // What is said in short is what the axis gives, which another caller may ask.
            let figures = one.axis.figures(1001).unwrap();
            prop_assert_eq!(&figures, &one.figures);
            prop_assert_eq!(figures.linearity().map_or(1.0, |l| l.independent()), one.summary.linearity);
            prop_assert_eq!(figures.clearance(), one.summary.clearance);
            prop_assert_eq!(figures.clipped_share(), one.summary.clipped_share);
            prop_assert_eq!(figures.volts_span().unwrap() / 4.5, one.summary.span);
            // The margin leaves so much of the 4.5 V, but for rounding of volts to their share.
            prop_assert!(one.summary.span <= 1.0 - 2.0 * demand.range_margin + 1e-15);
        }
        for row in &found.pareto {
            prop_assert!(kept(&row.summary), "{:?}", row.summary);
        }
    }
}
