//! Along the crest of a limit, held against brute force: for each arm the gap at which the output just meets its range,
//! found by halving on the figures themselves.

use nalgebra::{Isometry3, Vector3};
use yokewright::Result;
use yokewright::axis::{
    Arrangement, ArrangementDemand, AxisFigures, Measure, Moving, SwungLayout, SwungLayoutSpec,
    VariedMeasure, search_arrangements,
};
use yokewright::magnet::Block;
use yokewright::units::{DEG, MM};

use crate::common;

/// By how much of the merit, a share of the range, a better one may be missed.
const LOST: f64 = 1e-4;
/// Arms, and halvings of the gap: to 3e-6 of its bounds.
const ARMS: usize = 48;
const HALVINGS: usize = 18;
/// Gaps beyond the crest that are looked at, too.
const GAPS: usize = 6;

fn figures(layout: &SwungLayout, throw: f64) -> Option<AxisFigures> {
    let axis = layout.axis(
        [-throw, throw],
        common::sensor(),
        common::converter(),
        Moving::Magnets,
    );
    axis.ok()?.figures(3).ok()
}

#[test]
fn nothing_better_lies_along_the_crest() -> Result<()> {
    let mut found_some = 0;
    for (side, throw, limit, arm, gap) in [
        // Along this crest linearity has a corner at 6.25 mm between two arms of the grid, at 0.31 %.
        (10.0, 20.0, 0.01, [4.0, 20.0], [1.0, 10.0]),
        (10.0, 25.0, 0.01, [4.0, 20.0], [1.0, 10.0]),
        (10.0, 25.0, 0.0134, [5.0, 20.0], [2.0, 10.0]),
        (10.0, 10.0, 0.01, [4.0, 20.0], [1.0, 10.0]),
        (8.0, 12.0, 0.005, [4.0, 20.0], [1.0, 10.0]),
        (8.0, 30.0, 0.03, [4.0, 20.0], [1.0, 10.0]),
        (6.0, 16.0, 0.006, [3.0, 18.0], [0.8, 8.0]),
        (5.0, 6.0, 0.003, [4.0, 20.0], [1.0, 10.0]),
        (4.0, 10.0, 0.01, [4.0, 20.0], [1.0, 10.0]),
        (3.0, 8.4, 0.0046, [5.5, 12.0], [1.1, 9.9]),
    ] {
        let cube = Block::new(
            Vector3::repeat(side * MM),
            Vector3::new(0.0, 1.3, 0.0),
            Isometry3::identity(),
        )?;
        let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM))?;
        let (arm, gap) = (arm.map(|a: f64| a * MM), gap.map(|g: f64| g * MM));
        let demand = ArrangementDemand {
            max_linearity: limit,
            ..ArrangementDemand::new(
                vec![layout.clone().into()],
                vec![common::sensor().into()],
                common::converter(),
                [-throw * DEG, throw * DEG],
                vec![
                    VariedMeasure::new(Measure::Arm, arm),
                    VariedMeasure::new(Measure::Gap, gap),
                ],
            )
        };
        let of = |arm: f64, gap: f64| figures(&layout.with(arm, gap).ok()?, throw * DEG);
        let merit = |figures: &AxisFigures| {
            let bend = figures.linearity()?.independent();
            let kept = figures.clipped_share() == 0.0 && bend <= limit;
            kept.then(|| figures.volts_span().unwrap_or(0.0) / 4.5 - bend)
        };
        let mut best = f64::NEG_INFINITY;
        for i in 0..=ARMS {
            let arm = arm[0] + (arm[1] - arm[0]) * i as f64 / ARMS as f64;
            // The gap from which on nothing is clipped.
            let clear = |gap: f64| of(arm, gap).is_some_and(|f| f.clipped_share() == 0.0);
            let [mut near, mut far] = gap;
            if clear(near) {
                far = near;
            }
            for _ in 0..HALVINGS {
                let middle = 0.5 * (near + far);
                if clear(middle) {
                    far = middle;
                } else {
                    near = middle;
                }
            }
            for k in 0..=GAPS {
                let gap = far + (gap[1] - far) * (k as f64 / GAPS as f64).powi(3);
                let one = of(arm, gap).as_ref().and_then(merit);
                best = best.max(one.unwrap_or(f64::NEG_INFINITY));
            }
        }
        let name = format!("{side} mm at {throw} degrees, {limit}");
        match search_arrangements(&demand)?.result.best() {
            Ok(one) => {
                found_some += 1;
                let own = merit(&one.figures).expect("it keeps the limits");
                assert!(own >= best - LOST, "{name}: {own} is less than {best}");
            }
            Err(_) => assert_eq!(best, f64::NEG_INFINITY, "{name}"),
        }
    }
    assert!(found_some >= 8, "{found_some}");
    Ok(())
}

/// The corner between two arms of the grid, by the numbers: along the crest of a 10 mm cube at 20 degrees either way.
#[test]
fn a_corner_between_two_arms_is_reached() -> Result<()> {
    let cube = Block::new(
        Vector3::repeat(10.0 * MM),
        Vector3::new(0.0, 1.3, 0.0),
        Isometry3::identity(),
    )?;
    let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 3.0 * MM))?;
    let demand = ArrangementDemand::new(
        vec![layout.into()],
        vec![common::sensor().into()],
        common::converter(),
        [-20.0 * DEG, 20.0 * DEG],
        vec![
            VariedMeasure::new(Measure::Arm, [4.0 * MM, 20.0 * MM]),
            VariedMeasure::new(Measure::Gap, [1.0 * MM, 10.0 * MM]),
        ],
    );
    let found = search_arrangements(&demand)?;
    let best = found.result.best()?;
    // From rail to the middle and as far beyond: 4.4 of 4.5 V.
    assert!((best.summary.span - 4.4 / 4.5).abs() < 1e-6);
    assert!(best.summary.linearity < 0.0032, "{:?}", best.summary);
    let arm = best.arrangement.measure(Measure::Arm).expect("it has");
    assert!((6.1 * MM..6.4 * MM).contains(&arm), "{arm}");
    Ok(())
}
