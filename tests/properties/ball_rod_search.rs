//! The search for arm lengths: what it returns keeps the limits, finds what is known to be there, and beats a grid.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::linkage::{
    Arm, ArmLengths, BallRod, BallRodGoal, FreeArm, Pedal, PedalPair, TRANSMISSION_LIMIT,
    find_ball_rods,
};
use yokewright::units::{DEG, MM};

use crate::magnet::anything;

/// Rounding of lengths and angles that are built from lengths a second time.
const ROUNDING: f64 = 1e-9;

/// A pedal hinged about y, 100 mm up to its rod.
fn pedal() -> Arm {
    Arm::new(
        Point3::origin(),
        Vector3::y(),
        Point3::new(0.0, 0.0, 100.0 * MM),
    )
    .unwrap()
}

/// A crank that turns about z, in front of and beside the pedal.
fn crank(aside: f64, lower: f64) -> Arm {
    let center = Point3::new(0.25, aside, 0.1 - lower);
    Arm::new(center, Vector3::z(), center - Vector3::y() * (50.0 * MM)).unwrap()
}

fn fixed(arm: Arm, holes: &[f64]) -> FreeArm {
    FreeArm {
        arm,
        lengths: ArmLengths::Holes(holes.to_vec()),
        clocking: [0.0, 0.0],
    }
}

fn goal(input: FreeArm, output: FreeArm, output_span: f64) -> BallRodGoal {
    BallRodGoal {
        input,
        output,
        travel: [-15.0 * DEG, 15.0 * DEG],
        output_span,
        span_tolerance: 1.0 * DEG,
        least_transmission_angle: TRANSMISSION_LIMIT,
        lock_margin: 5.0 * DEG,
        count: 5,
    }
}

fn built(input: &Arm, output: &Arm, lengths: [f64; 2]) -> Option<BallRod> {
    let [input, output] = [(input, lengths[0]), (output, lengths[1])].map(|(arm, length)| {
        let foot = arm.pivot();
        Arm::new(
            foot,
            arm.direction(),
            foot + (arm.joint() - foot) * (length / arm.length()),
        )
        .unwrap()
    });
    BallRod::new(input, output).ok()
}

const HOLES: [f64; 6] = [0.03, 0.04, 0.05, 0.06, 0.07, 0.08];

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    /// With holes the search is complete: the best of all pairs is the best by trying each.
    #[test]
    fn of_holes_it_finds_the_best_pair(aside in -0.02..0.1_f64, lower in -0.03..0.03_f64, span in 15.0..70.0_f64) {
        let (pedal, crank) = (pedal(), crank(aside, lower));
        let goal = goal(fixed(pedal, &HOLES), fixed(crank, &HOLES), span * DEG);
        let mut best = f64::INFINITY;
        for one in HOLES {
            for other in HOLES {
                let Some(figures) = built(&pedal, &crank, [one, other]).and_then(|rod| rod.figures(goal.travel).ok()) else { continue };
                let fits = (figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance
                    && figures.least_transmission_angle >= goal.least_transmission_angle
                    && figures.lock_margin >= goal.lock_margin;
                if fits {
                    best = best.min(figures.ratio_variation);
                }
            }
        }
        match find_ball_rods(&goal) {
            Ok(found) => prop_assert!((found[0].figures.ratio_variation - best).abs() <= ROUNDING),
            Err(Error::NothingFits { tried, .. }) => prop_assert!(tried == 36 && best.is_infinite()),
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    /// Where lengths are free: limits are kept, the order is that of the variation, and no pair of a grid is much better.
    #[test]
    fn of_lengths_none_of_a_grid_is_better(aside in 0.0..0.1_f64, lower in -0.03..0.03_f64, span in 25.0..60.0_f64) {
        let (pedal, crank) = (pedal(), crank(aside, lower));
        let between = |arm, low: f64, high: f64| FreeArm { arm, lengths: ArmLengths::Between([low, high]), clocking: [-0.4, 0.4] };
        let goal = goal(between(pedal, 0.05, 0.15), between(crank, 0.03, 0.1), span * DEG);
        let found = find_ball_rods(&goal).unwrap();
        prop_assert!(!found.is_empty() && found.len() <= goal.count);
        for design in &found {
            let figures = design.rod.figures(goal.travel).unwrap();
            prop_assert!((figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance + ROUNDING);
            prop_assert!(figures.least_transmission_angle >= goal.least_transmission_angle - ROUNDING);
            prop_assert!(figures.lock_margin >= goal.lock_margin - ROUNDING);
            prop_assert!((0.05 - ROUNDING..=0.15 + ROUNDING).contains(&design.rod.input().length()));
            prop_assert!((0.03 - ROUNDING..=0.1 + ROUNDING).contains(&design.rod.output().length()));
            prop_assert!(design.clocking.iter().all(|angle| angle.abs() <= 0.4 + ROUNDING));
        }
        let order: Vec<_> = found.iter().map(|design| design.figures.ratio_variation).collect();
        prop_assert!(order.is_sorted());
        // A grid over the lengths alone, the arms standing where they stand: one of the starts is as good.
        let step = |low: f64, high: f64, i: u32| low + (high - low) * f64::from(i) / 24.0;
        for i in 0..=24 {
            for j in 0..=24 {
                let Some(figures) = built(&pedal, &crank, [step(0.05, 0.15, i), step(0.03, 0.1, j)]).and_then(|rod| rod.figures(goal.travel).ok()) else { continue };
                let fits = (figures.output_span.abs() - goal.output_span).abs() <= goal.span_tolerance
                    && figures.least_transmission_angle >= goal.least_transmission_angle
                    && figures.lock_margin >= goal.lock_margin;
                // The search weighs evenness by squares and the order goes by the extremes: they differ a little.
                prop_assert!(!fits || order[0] <= figures.ratio_variation + 0.02);
            }
        }
    }

    #[test]
    fn a_goal_of_anything_is_met_or_refused(values in prop::array::uniform8(anything()), lengths in prop::array::uniform4(anything())) {
        let [a, b, c, d, e, f, g, h] = values;
        let sound = goal(fixed(pedal(), &HOLES[..2]), fixed(crank(0.05, 0.0), &HOLES[..2]), 40.0 * DEG);
        let free = FreeArm { arm: pedal(), lengths: ArmLengths::Between([lengths[0], lengths[1]]), clocking: [g, h] };
        let tries = [
            BallRodGoal { travel: [a, b], ..sound.clone() },
            BallRodGoal { output_span: c, span_tolerance: d, ..sound.clone() },
            BallRodGoal { least_transmission_angle: e, lock_margin: f, ..sound.clone() },
            BallRodGoal { input: free, ..sound.clone() },
            BallRodGoal { input: fixed(pedal(), &lengths), ..sound.clone() },
            BallRodGoal { input: fixed(pedal(), &[]), ..sound.clone() },
            BallRodGoal { count: 0, ..sound },
        ];
        for goal in tries {
            if let Ok(found) = find_ball_rods(&goal) {
                prop_assert!(found.iter().all(|design| design.figures.ratio_variation.is_finite()));
            }
        }
    }
}

/// A stud that may not swivel as far as the linkage needs makes it fail, and the error says so.
#[test]
fn a_swivel_limit_is_kept() {
    let (input, output) = (pedal(), crank(0.05, 0.03));
    let open = goal(fixed(input, &[0.1]), fixed(output, &[0.06]), 45.0 * DEG);
    let open = BallRodGoal {
        span_tolerance: 30.0 * DEG,
        ..open
    };
    let upright = output.with_stud(Vector3::z(), 89.0 * DEG).unwrap();
    let with = |limit: f64| BallRodGoal {
        output: fixed(upright.with_stud(Vector3::z(), limit).unwrap(), &[0.06]),
        ..open.clone()
    };
    let needed = find_ball_rods(&with(80.0 * DEG)).unwrap()[0]
        .figures
        .swivels[1]
        .unwrap();
    assert!(needed > 1.0 * DEG);
    assert!(find_ball_rods(&with(needed + 1e-6)).is_ok());
    match find_ball_rods(&with(needed - 1e-6)) {
        Err(Error::NothingFits {
            quantity, value, ..
        }) => {
            assert_eq!(quantity, "swivel of the joint on the output arm");
            assert!((value - needed).abs() < ROUNDING);
        }
        other => panic!("{other:?}"),
    }
}

/// A design for one foot, mirrored for the other, gives pedals that do nearly the same left and right.
#[test]
fn an_even_design_makes_even_pedals() {
    let hinge = Point3::new(0.0, 0.12, 0.0);
    let left = Arm::new(hinge, Vector3::y(), hinge + Vector3::z() * 0.1).unwrap();
    let center = Point3::new(0.3, 0.0, 0.1);
    let crank = Arm::new(center, Vector3::z(), center + Vector3::y() * 0.05).unwrap();
    let free = |arm, low, high| FreeArm {
        arm,
        lengths: ArmLengths::Between([low, high]),
        clocking: [-0.3, 0.3],
    };
    let goal = goal(free(left, 0.06, 0.14), free(crank, 0.04, 0.12), 40.0 * DEG);
    let found = find_ball_rods(&goal).unwrap();
    let best = &found[0];
    assert!(best.figures.ratio_variation < 0.05 && best.figures.asymmetry < 0.5 * DEG);
    let pad = hinge + Vector3::z() * 0.2;
    let pedal = Pedal::new(best.rod.input(), pad, Vector3::x()).unwrap();
    let pair = PedalPair::mirrored(pedal, best.rod.output()).unwrap();
    let figures = pair
        .rod(yokewright::linkage::Foot::Right)
        .figures(goal.travel)
        .unwrap();
    assert!((figures.ratio_variation - best.figures.ratio_variation).abs() < ROUNDING);
}
