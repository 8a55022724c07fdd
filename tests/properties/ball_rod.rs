//! Ball-joint rods over their whole domain: any arms on any axes, next to locks and next to change points.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::{Isometry3, Point3, Unit, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::linkage::generators::spatial::{
    arms, ball_rods, directions, nearly_changing_ball_rods, nearly_locking_ball_rods, poses,
    special_ball_rods,
};
use yokewright::linkage::{Arm, Assembly, BallRod, Range, RodLimit};
use yokewright::units::{DEG, MM};

use crate::strategies::anything;

/// Some roundings: of coordinates, of the coefficients of the loop equation, of the angle.
const ROUNDINGS: f64 = 1e-15;

/// Share of the size of the linkage by which its joints may miss the rod length.
///
/// With the loop equation F = p cos psi + q sin psi - c the squared distance of the joints differs from that of the rod
/// by 2 b F, so the distance by b F / L: roundings of p, q and c, which are lengths of the linkage, count by the output
/// arm b over the rod L.
fn closure(rod: &BallRod) -> f64 {
    ROUNDINGS * (1.0 + rod.output().length() / rod.rod_length())
}

/// The same for the vector code: its sine and cosine are within 2 units in the last place where the library's are
/// within one; and its arc tangent, twice within 2 units, is 9e-16 rad off at half a turn.
fn vector_closure(rod: &BallRod) -> f64 {
    2.0 * closure(rod) + 9e-16
}

/// The lengths that roundings go by: those of the arms, of the rod, and of all distances from the axes.
fn size(rod: &BallRod) -> f64 {
    let places = [rod.input(), rod.output()]
        .map(|arm| arm.pivot().coords.norm() + arm.joint().coords.norm());
    rod.rod_length() + places[0] + places[1]
}

fn miss(rod: &BallRod, input: f64, output: f64) -> f64 {
    let a = rod.input().joint_at(input).unwrap();
    let b = rod.output().joint_at(output).unwrap();
    ((a - b).norm() - rod.rod_length()).abs() / size(rod)
}

fn travel(rod: &BallRod) -> Option<[f64; 2]> {
    rod.travel().map(
        |Range {
             lower: from,
             upper: to,
         }| [from, to],
    )
}

/// An angle on the way from neutral.
fn inside(rod: &BallRod, share: f64) -> f64 {
    let [low, high] = travel(rod).unwrap_or([-TAU, TAU]);
    low + share * (high - low)
}

fn moved(arm: &Arm, pose: &Isometry3<f64>) -> Arm {
    Arm::new(
        pose * arm.pivot(),
        pose * arm.direction(),
        pose * arm.joint(),
    )
    .unwrap()
}

/// Mirrored in the plane y = 0: a direction of rotation keeps its y and turns its x and z.
fn mirrored(arm: &Arm) -> Arm {
    let point = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
    let d = arm.direction();
    Arm::new(
        point(arm.pivot()),
        Vector3::new(-d.x, d.y, -d.z),
        point(arm.joint()),
    )
    .unwrap()
}

fn any_rods() -> impl Strategy<Value = BallRod> {
    prop_oneof![
        ball_rods(),
        special_ball_rods(),
        nearly_changing_ball_rods(1e-3),
        nearly_changing_ball_rods(1e-12)
    ]
}

/// A kite in any plane: the rod is as long as the input arm and the output arm as long as the pivots are apart. With
/// the two lengths, m, and the direction of the input arm at neutral, rad, from that to the output pivot.
///
/// Often, or but for a little, the input joint is at neutral square above the output pivot: half a turn of the output
/// arm is then where its joint lies on the input pivot, which is a pose at every input angle.
fn kites() -> impl Strategy<Value = (BallRod, [f64; 3])> {
    let start = (0.1..PI - 0.1, prop::sample::select(vec![-1.0, 1.0]));
    let off = prop_oneof![Just(0.0), (-17.0..-3.0_f64).prop_map(|k| 10_f64.powf(k))];
    let square = (any::<bool>(), off);
    let lengths = prop::array::uniform2(30.0..150.0_f64);
    (lengths, start, square, poses()).prop_filter_map("not locked at neutral", |drawn| {
        let (lengths, (at, side), (square, off), pose) = drawn;
        let [arm, apart] = lengths.map(|length| length * MM);
        let at = side
            * if square && apart < arm {
                (apart / arm).acos() + off
            } else {
                at
            };
        let joint = arm * Vector3::new(at.cos(), at.sin(), 0.0);
        let pivot = Vector3::x() * apart;
        // The output joint is the mirror image of the input pivot.
        let along = (joint - pivot).normalize();
        let mirrored = 2.0 * (pivot - along * along.dot(&pivot));
        let placed = |pivot: Vector3<f64>, joint: Vector3<f64>| {
            let at = |place| pose * Point3::from(place);
            Arm::new(at(pivot), pose * Vector3::z(), at(joint)).ok()
        };
        let rod = BallRod::new(placed(Vector3::zeros(), joint)?, placed(pivot, mirrored)?).ok()?;
        Some((rod, [arm, apart, at]))
    })
}

/// Axis (0 to 2 for x to z), pivot and joint of the input, pivot and joint of the output, mm: the output touches half a
/// turn, or locks at it.
type HalfTurn = (usize, [f64; 3], [f64; 3], [f64; 3], [f64; 3]);
const HALF_TURNS: [HalfTurn; 5] = [
    (
        2,
        [25.0, 25.0, 0.0],
        [100.0, -75.0, 0.0],
        [25.0, 75.0, 0.0],
        [25.0, -75.0, 0.0],
    ),
    (
        2,
        [50.0, -75.0, 0.0],
        [-100.0, 75.0, 0.0],
        [-25.0, 100.0, 0.0],
        [-75.0, 100.0, 0.0],
    ),
    (
        1,
        [100.0, 0.0, -25.0],
        [100.0, 0.0, 100.0],
        [50.0, 0.0, 0.0],
        [-100.0, 0.0, -50.0],
    ),
    (
        0,
        [0.0, 25.0, -100.0],
        [0.0, -50.0, -25.0],
        [0.0, 25.0, 25.0],
        [0.0, 75.0, 100.0],
    ),
    (
        2,
        [0.0, 75.0, 0.0],
        [-100.0, 25.0, 0.0],
        [-100.0, 75.0, 0.0],
        [50.0, -50.0, 0.0],
    ),
];

fn special(axis: usize, input: [[f64; 3]; 2], output: [[f64; 3]; 2]) -> BallRod {
    let at = |p: [f64; 3]| Point3::from(p.map(|x| 1e-3 * x));
    let direction = Vector3::ith(axis, 1.0);
    let arm = |[pivot, joint]: [[f64; 3]; 2]| Arm::new(at(pivot), direction, at(joint)).unwrap();
    BallRod::new(arm(input), arm(output)).unwrap()
}

/// A rod of an eighth of the output arm: roundings of the loop equation count eightfold.
#[test]
fn a_short_rod_closes_as_well_as_it_can() {
    let rod = special(
        2,
        [[75.0, 0.0, 0.0], [-100.0, 100.0, 0.0]],
        [[75.0, 0.0, 0.0], [-100.0, 75.0, 0.0]],
    );
    assert!(rod.output().length() / rod.rod_length() > 7.0);
    let angles: Vec<f64> = (0..2000)
        .map(|i| TAU * (f64::from(i) / 1000.0 - 1.0))
        .collect();
    let solved = rod.solve_many(&angles);
    for (i, angle) in angles.iter().enumerate().filter(|(i, _)| solved.valid[*i]) {
        let one = rod.output_angle(*angle, Assembly::Other).unwrap();
        assert!(miss(&rod, *angle, one) <= closure(&rod));
        assert!(
            miss(&rod, *angle, solved.neutral[i]).max(miss(&rod, *angle, solved.other[i]))
                <= vector_closure(&rod)
        );
    }
}

/// An output that runs up to half a turn and locks there: its range, by following it in small steps.
#[test]
fn the_range_of_an_output_that_ends_at_half_a_turn() {
    for (axis, pivot, joint, other, end) in HALF_TURNS {
        let rod = special(axis, [pivot, joint], [other, end]);
        let [low, high] = travel(&rod).unwrap();
        let followed = |to: f64| {
            let mut last = 0.0;
            let mut ends = [0.0_f64; 2];
            for i in 1..=100_000 {
                // Towards the end by the root of what is left: the output then moves evenly.
                let angle = to * (FRAC_PI_2 * f64::from(i) / 1e5).sin();
                let [a, b] = [rod.output_angle(angle, Assembly::Neutral).unwrap(), last];
                // The nearest of the angles that are the same but for whole turns.
                last = a - TAU * ((a - b) / TAU).round();
                ends = [ends[0].min(last), ends[1].max(last)];
            }
            ends
        };
        let [down, up] = [followed(low), followed(high)];
        let range = rod.output_travel().unwrap();
        let [from, to] = [down[0].min(up[0]), down[1].max(up[1])];
        // Of the extremes between the steps a square of a step is missed.
        assert!(
            (range.lower - from).abs() < 1e-7 && (range.upper - to).abs() < 1e-7,
            "{range:?} {from} {to}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn the_rod_closes_both_ways((rod, share) in (any_rods(), 0.0..=1.0_f64)) {
        let angle = inside(&rod, share);
        for assembly in Assembly::ALL {
            let output = rod.output_angle(angle, assembly).unwrap();
            prop_assert!(miss(&rod, angle, output) <= closure(&rod), "{assembly} {:e}", miss(&rod, angle, output));
        }
        let natural = BallRod::new(rod.input(), rod.output()).unwrap();
        prop_assert_eq!(natural.transfer(0.0).unwrap().angle, 0.0);
    }

    #[test]
    fn the_rod_closes_next_to_a_lock((rod, angle) in prop_oneof![nearly_locking_ball_rods(1e-2),
        nearly_locking_ball_rods(1e-8), nearly_locking_ball_rods(1e-15), nearly_locking_ball_rods(0.0)]) {
        for assembly in Assembly::ALL {
            let output = rod.output_angle(angle, assembly).unwrap();
            prop_assert!(miss(&rod, angle, output) <= closure(&rod), "{assembly} {:e}", miss(&rod, angle, output));
        }
    }

    /// Beyond a lock there is nothing, or something that cannot be reached; the rod misses by as much as is said.
    #[test]
    fn beyond_a_lock((rod, beyond) in (any_rods(), 1e-6..0.5_f64)) {
        let Some([low, high]) = travel(&rod) else { return Ok(()) };
        prop_assert!(low < 0.0 && high > 0.0 && high - low <= TAU + 1e-9);
        for angle in [low - beyond, high + beyond] {
            if angle.abs() > TAU { continue }
            match rod.transfer(angle) {
                Ok(_) => prop_assert!(false, "it goes on beyond a lock"),
                Err(yokewright::Error::CannotClose { gap, .. }) => {
                    prop_assert!(gap >= 0.0 && rod.output_angle(angle, Assembly::Other).is_err());
                    // With a rod so much longer or shorter (and some roundings) it closes.
                    let at = rod.input().joint_at(angle).unwrap();
                    let distances: Vec<f64> = (0..7200).map(|i| (at - rod.output().joint_at(f64::from(i) * TAU / 7200.0)
                        .unwrap()).norm()).collect();
                    let near = distances.iter().fold(f64::INFINITY, |a, b| a.min(*b));
                    let far = distances.iter().fold(0.0_f64, |a, b| a.max(*b));
                    let expected = (near - rod.rod_length()).max(rod.rod_length() - far);
                    // The circle is sampled at half a milliradian: the nearest sample is off by (0.00044)^2 / 2 of an
                    // arm times a distance over the least distance itself.
                    let sampling = 1e-7 * size(&rod) * (size(&rod) / near).max(1.0);
                    prop_assert!((gap - expected).abs() <= sampling, "{gap} {expected}");
                }
                Err(error) => prop_assert!(rod.output_angle(angle, Assembly::Other).is_ok(), "{error}"),
            }
        }
    }

    /// Central differences of second order over a step h leave h^2 of the third derivative, which next to a lock grows;
    /// there the step is a share of the distance from it.
    #[test]
    fn derivatives_are_derivatives((rod, share) in (any_rods(), 0.02..=0.98_f64)) {
        let angle = inside(&rod, share);
        // Beside a change point angles are known to the root of a rounding, and differences of them to nothing.
        // And the third derivative grows with its inverse square: at a hundredth a step of 1e-5 leaves 1e-6 of the
        // ratio.
        if rod.transmission_angle(angle).unwrap() < 1e-2 { return Ok(()) }
        let [low, high] = travel(&rod).unwrap_or([-9.0, 9.0]);
        let step = 1e-4 * (angle - low).min(high - angle).min(0.1);
        let at = |angle: f64| rod.transfer(angle).unwrap();
        let (before, here, after) = (at(angle - step), at(angle), at(angle + step));
        // Near a change point everything happens fast; the derivatives themselves say how fast.
        let speed = here.ratio.abs().max(here.curvature.abs()).max(before.curvature.abs()).max(after.curvature.abs())
            .max(1.0);
        if speed * step > 1e-4 { return Ok(()) }
        let ratio = (after.angle - before.angle) / (2.0 * step);
        let curvature = (after.ratio - before.ratio) / (2.0 * step);
        let tolerance = 1e-5 * speed * speed.max(1.0);
        prop_assert!((ratio - here.ratio).abs() <= tolerance, "{ratio} {}", here.ratio);
        prop_assert!((curvature - here.curvature).abs() <= tolerance * speed, "{curvature} {}", here.curvature);
    }

    /// The output does not jump: not at half a turn, not where the two assemblies nearly meet.
    #[test]
    fn the_output_is_continuous((rod, share) in (any_rods(), 0.0..=1.0_f64)) {
        let [low, high] = travel(&rod).unwrap_or([-TAU, TAU]);
        let mut last = (low, rod.output_angle(low, Assembly::Neutral).unwrap());
        // Halve the steps where it moves fast, down to what a double can tell.
        let mut ahead: Vec<f64> = (1..=64).rev().map(|i| (low + (high - low) * (f64::from(i) - 0.5 * share) / 64.0)
            .min(high)).collect();
        while let Some(&next) = ahead.last() {
            let output = rod.output_angle(next, Assembly::Neutral).unwrap();
            if (output - last.1).abs() < 0.5 {
                last = (next, output);
                ahead.pop();
            } else {
                let middle = 0.5 * (last.0 + next);
                prop_assert!(middle > last.0 && middle < next, "a jump from {} to {output} at {next}", last.1);
                ahead.push(middle);
            }
        }
    }

    /// The output joint of a kite is the mirror image of the input pivot in the line from the output pivot to the input
    /// joint, so that its arm turns twice as far as that line, which lies on one side of the pivots from lock to lock.
    /// In the other assembly it rests with its joint on the input pivot, at any input angle.
    #[test]
    fn a_kite_turns_twice_as_far_as_its_axis(((rod, [arm, apart, start]), share) in (kites(), 0.01..=0.99_f64)) {
        let angle = inside(&rod, share);
        let axis = |turn: f64| {
            let at = start + turn;
            (arm * at.sin()).atan2(arm * at.cos() - apart)
        };
        let here = rod.transfer(angle).unwrap();
        // Where the axis lies along the pivots both assemblies meet, and roundings of the lengths decide whether there
        // is a lock or the rod goes on beyond, either way.
        let [here_side, start_side] = [angle, 0.0].map(|turn| axis(turn).sin());
        prop_assume!(here_side.abs() > 1e-3 && start_side.abs() > 1e-3 && here_side * start_side > 0.0);
        let expected = 2.0 * (axis(angle) - axis(0.0));
        prop_assert!((here.angle - expected).abs() <= 1e-9, "{} {expected}", here.angle);
        let other = rod.output_angle(angle, Assembly::Other).unwrap();
        let rest = other + 2.0 * axis(0.0);
        prop_assert!((rest - TAU * (rest / TAU).round()).abs() <= 1e-9, "{other}");
    }

    /// Linkages whose output touches half a turn, or locks at it: a rounding must not decide on which side.
    #[test]
    fn half_a_turn_is_reached_from_where_it_comes((axis, pivot, joint, other,
        end) in prop::sample::select(HALF_TURNS.to_vec()), share in 0.0..=1.0_f64) {
        let rod = special(axis, [pivot, joint], [other, end]);
        let range = rod.output_travel().unwrap();
        let [low, high] = travel(&rod).unwrap();
        for angle in [low, high, low + share * (high - low)] {
            let output = rod.output_angle(angle, Assembly::Neutral).unwrap();
            prop_assert!(output >= range.lower - 1e-12 && output <= range.upper + 1e-12, "{output} {range:?}");
        }
        for end in [low, high] {
            let at = |angle| rod.output_angle(angle, Assembly::Neutral).unwrap();
            prop_assert!((at(end) - at(end * (1.0 - 1e-5))).abs() < 0.5);
        }
    }

    #[test]
    fn there_and_back((rod, share) in (any_rods(), 0.02..=0.98_f64)) {
        let Ok(back) = rod.reversed() else { return Ok(()) };
        let angle = inside(&rod, share);
        let there = rod.transfer(angle).unwrap();
        // Only as long as the way back is one: neither reaches a lock of the other on the way.
        let Some([low, high]) = travel(&back) else { return Ok(()) };
        if !(low..=high).contains(&there.angle) { return Ok(()) }
        let Ok(again) = back.transfer(there.angle) else { return Ok(()) };
        if (again.angle - angle).abs() > 1e-3 { return Ok(()) }
        // Beside a lock or a change point either angle is known to a rounding over the sine of the transmission angle;
        // and nearer to a change point the other assembly, to which the way back may lead, is not told apart by the
        // thousandth above.
        let sharp = rod.transmission_angle(angle).unwrap().sin().min(back.transmission_angle(there.angle).unwrap()
            .sin());
        if sharp < 5e-3 { return Ok(()) }
        let shortest = rod.input().length().min(rod.output().length());
        let tolerance = 1e-12 * size(&rod) / shortest * again.ratio.abs().max(1.0) / sharp;
        prop_assert!((again.angle - angle).abs() <= tolerance, "{:e} > {tolerance:e}", again.angle - angle);
        prop_assert!((again.ratio * there.ratio - 1.0).abs() <= 1e-6 * (1.0 + there.ratio.abs() + again.ratio.abs()));
    }

    /// The same linkage elsewhere and otherwise turned, and its mirror image.
    #[test]
    fn moved_and_mirrored((rod, share, pose) in (ball_rods(), 0.05..=0.95_f64, poses())) {
        let angle = inside(&rod, share);
        let here = rod.transfer(angle).unwrap();
        let [low, high] = travel(&rod).unwrap_or([-PI, PI]);
        let (input, output) = (rod.input(), rod.output());
        let there = BallRod::new(moved(&input, &pose), moved(&output, &pose)).unwrap();
        let image = BallRod::new(mirrored(&input), mirrored(&output)).unwrap();
        for (other, sign) in [(there, 1.0), (image, 1.0)] {
            let got = other.transfer(angle).unwrap();
            // Coordinates are rounded; the angle suffers by as much as the ratio and its change say.
            let tolerance = 1e-12 * (1.0 + here.ratio.abs() + here.curvature.abs()) * size(&rod) / rod.input().length()
                .min(rod.output().length());
            prop_assert!((got.angle - sign * here.angle).abs() <= tolerance, "{} {}", got.angle, here.angle);
            let [a, b] = travel(&other).unwrap_or([-PI, PI]);
            prop_assert!((a - low).abs() < 1e-5 && (b - high).abs() < 1e-5);
        }
    }

    /// The vector code and the single call, wherever the single call is sure of itself.
    #[test]
    fn one_angle_and_many_agree((rods, angles) in (prop::collection::vec(any_rods(), 1..4),
        prop::collection::vec(-7.0..7.0_f64, 0..150))) {
        let grid = BallRod::solve_grid(&rods, &angles);
        for (i, rod) in rods.iter().enumerate() {
            let (solved, transfers) = (rod.solve_many(&angles), rod.transfers(&angles));
            for (j, angle) in angles.iter().enumerate() {
                let entry = i * angles.len() + j;
                let other = rod.output_angle(*angle, Assembly::Other);
                prop_assert_eq!(solved.valid[j], other.is_ok());
                prop_assert_eq!(grid.valid[entry], solved.valid[j]);
                prop_assert_eq!(grid.neutral[entry].to_bits(), solved.neutral[j].to_bits());
                prop_assert_eq!(grid.other[entry].to_bits(), solved.other[j].to_bits());
                prop_assert_eq!(solved.neutral[j].is_nan(), !solved.valid[j]);
                if let Ok(other) = other {
                    for output in [solved.neutral[j], solved.other[j]] {
                        let off = miss(rod, *angle, output);
                        prop_assert!(off <= vector_closure(rod), "{off:e} > {:e}", vector_closure(rod));
                    }
                    // Beside a lock the angle is known to the root of a rounding.
                    let transmission = rod.transmission_angle(*angle).unwrap_or(1e-8);
                    let turn = (solved.other[j] - other).rem_euclid(TAU);
                    prop_assert!(turn.min(TAU - turn) <= 1e-13 * size(rod) / rod.output().length() / transmission);
                }
                let one = rod.transfer(*angle);
                prop_assert_eq!(transfers.valid[j], one.is_ok(), "{}", angle);
                prop_assert_eq!(transfers.angles[j].is_nan(), !transfers.valid[j]);
                if let Ok(one) = one {
                    // A rounding of the size moves the effective arm S of the rod by size^2 / S of it, and the ratio by
                    // as much of itself.
                    let arm = rod.rod_length() * rod.transmission_angle(*angle).unwrap().sin();
                    let share = 20.0 * f64::EPSILON * (size(rod) / arm).powi(2);
                    let sharpness = 1.0 + one.ratio.abs() + one.curvature.abs();
                    let reach = 1.0 + size(rod) / rod.input().length().min(rod.output().length());
                    prop_assert!((transfers.angles[j] - one.angle).abs() <= share * reach);
                    prop_assert!((transfers.ratios[j] - one.ratio).abs() <= share * sharpness * reach);
                }
            }
        }
    }

    /// Equilibrium of both arms, and no work lost: T dtheta = T' dpsi.
    #[test]
    fn forces_balance((rod, share, torque) in (any_rods(), 0.02..=0.98_f64, -100.0..100.0_f64)) {
        let angle = inside(&rod, share);
        let at = rod.transfer(angle).unwrap();
        let Ok(loads) = rod.loads(angle, torque) else { return Ok(()) };
        prop_assert!((loads.output_torque * at.ratio - torque).abs() <= 1e-9 * torque.abs());
        let [a, b] = rod.joints(angle).unwrap();
        let along = (b - a) / rod.rod_length();
        let (input, output) = (rod.input(), rod.output());
        // Force of the rod on each arm, from its own equation.
        let (on_input, on_output) = (along * loads.rod_force, -along * loads.rod_force);
        let scale = loads.rod_force.abs() * size(&rod);
        prop_assert!((on_input + loads.input_reaction).norm() <= 1e-12 * loads.rod_force.abs());
        prop_assert!((on_output + loads.output_reaction).norm() <= 1e-12 * loads.rod_force.abs());
        let about = |arm: &Arm, joint: Point3<f64>, force: Vector3<f64>| (joint - arm.pivot()).cross(&force);
        let sum = about(&input, a, on_input) + loads.input_moment + input.direction() * torque;
        prop_assert!(sum.norm() <= 1e-9 * scale, "{sum}");
        let sum = about(&output, b, on_output) + loads.output_moment - output.direction() * loads.output_torque;
        prop_assert!(sum.norm() <= 1e-9 * scale, "{sum}");
    }

    /// A rod so little longer that the second order does not show.
    #[test]
    fn a_longer_rod((rod, share) in (ball_rods(), 0.1..=0.9_f64)) {
        let angle = inside(&rod, share);
        let transmission = rod.transmission_angle(angle).unwrap();
        let error = 1e-6 * rod.rod_length().min(rod.output().length());
        if transmission < 0.2 { return Ok(()) }
        let (Ok(longer), Ok(shift)) = (rod.with_rod_length(rod.rod_length() + error), rod.length_error(angle,
            error)) else { return Ok(()) };
        let difference = longer.transfer(angle).unwrap().angle - rod.transfer(angle).unwrap().angle;
        prop_assert_eq!(shift.exact, difference);
        // The second order is the first squared, over the effective arm's share of all.
        let tolerance = 10.0 * shift.first_order.powi(2) * size(&rod) / rod.rod_length() / transmission + 1e-12
            * size(&rod) / rod.output().length();
        prop_assert!((shift.first_order - shift.exact).abs() <= tolerance, "{shift:?}");
        if let Ok(backlash) = rod.backlash(angle, error) {
            prop_assert!((backlash.first_order - 2.0 * shift.first_order.abs()).abs() <= 1e-12 * backlash.first_order);
            prop_assert!((backlash.first_order - backlash.exact).abs() <= 2.0 * tolerance);
        }
    }

    /// Whatever ends the travel is at its limit there, and nothing is beyond it before.
    #[test]
    fn swivel_or_lock(
        (input, output) in (arms(), arms()),
        (first, second) in (directions(), directions()),
        limits in prop::array::uniform2(5.0..60.0_f64),
        shares in prop::collection::vec(0.0..1.0_f64, 20),
    ) {
        let [first_limit, second_limit] = limits.map(|limit| limit * DEG);
        let (Ok(input), Ok(output)) = (input.with_stud(first, first_limit), output.with_stud(second,
            second_limit)) else { unreachable!("good studs") };
        let Ok(rod) = BallRod::new(input, output) else { return Ok(()) };
        let reach = rod.reach();
        for end in [reach.lower, reach.upper].into_iter().flatten() {
            let [Some(a), Some(b)] = rod.swivels(end.input).unwrap() else { unreachable!("two studs") };
            // Next to a lock the output moves by the root of a rounding of the input.
            match end.limit {
                RodLimit::InputSwivel => prop_assert!((a.abs() - first_limit).abs() < 1e-6, "{a}"),
                RodLimit::OutputSwivel => prop_assert!((b.abs() - second_limit).abs() < 1e-6, "{b}"),
                RodLimit::Lock => prop_assert!(rod.transmission_angle(end.input).unwrap() < 1e-6),
            }
            prop_assert_eq!(rod.output_angle(end.input, Assembly::Neutral).unwrap(), end.output);
            for share in &shares {
                let [Some(a), Some(b)] = rod.swivels(end.input * share).unwrap() else { unreachable!("two studs") };
                // An excess that comes and goes within a five-hundredth of the travel.
                prop_assert!(a.abs() <= first_limit + 1e-4 && b.abs() <= second_limit + 1e-4);
            }
            // By the angle between the stud, carried by its arm, and the rod.
            let [p, q] = rod.joints(end.input).unwrap();
            let turn = UnitQuaternion::from_axis_angle(&Unit::new_normalize(input.direction()), end.input);
            let between = (turn * first).angle(&(q - p));
            prop_assert!((between - (FRAC_PI_2 - a)).abs() < 1e-7);
        }
    }

    /// The range of the output holds all outputs, and its ends are some of them.
    #[test]
    fn range_of_the_output((rod, shares) in (any_rods(), prop::collection::vec(0.0..=1.0_f64, 50))) {
        let Some(range) = rod.output_travel() else { return Ok(()) };
        let outputs: Vec<f64> = shares.iter().map(|share| rod.output_angle(inside(&rod, *share),
            Assembly::Neutral).unwrap()).collect();
        for output in outputs {
            prop_assert!(output >= range.lower - 1e-7 && output <= range.upper + 1e-7, "{output} {range:?}");
        }
        let neutral = rod.output_angle(0.0, Assembly::Neutral).unwrap();
        prop_assert!(range.lower <= neutral + 1e-7 && range.upper >= neutral - 1e-7);
    }

    #[test]
    fn anything_is_a_rod_or_an_error(
        numbers in prop::array::uniform18(anything()),
        plain in prop::array::uniform18(-0.3..0.3_f64),
        which in prop::array::uniform18(any::<bool>()),
        angles in prop::collection::vec(anything(), 0..8),
    ) {
        for rare in [true, false] {
            let n: Vec<f64> = (0..18).map(|i| if rare && which[i] { numbers[i] } else { plain[i] }).collect();
            let point = |i: usize| Point3::new(n[i], n[i + 1], n[i + 2]);
            let arm = |i: usize| Arm::new(point(i), point(i + 3).coords, point(i + 6));
            let (Ok(input), Ok(output)) = (arm(0), arm(9)) else { continue };
            let Ok(rod) = BallRod::new(input, output) else { continue };
            for angle in angles.iter().copied().chain([0.1, f64::NAN]) {
                if let Ok(at) = rod.transfer(angle) {
                    prop_assert!(at.angle.is_finite() && at.ratio.is_finite() && at.curvature.is_finite());
                }
                let _ = rod.with_rod_length(angle);
                let _ = rod.input().with_stud(point(0).coords, angle);
            }
            prop_assert!(rod.transfer(f64::NAN).is_err());
        }
    }
}

/// Driven from the other end it is the same linkage, also where the given places of the two arms are not together in
/// reach of the rod.
#[test]
fn a_rod_of_another_length_is_reversed_where_it_stands() {
    let at = |x: f64, y: f64| Point3::new(x, y, 0.0) * MM;
    let input = Arm::new(at(40.0, 0.0), Vector3::z(), at(40.0, 60.0)).unwrap();
    let output = Arm::new(at(0.0, 0.0), Vector3::z(), at(0.0, 100.0)).unwrap();
    // At neutral the input joint is 28 mm from the circle of the output joint, and the output joint 48 mm from that of
    // the input joint: a rod of 40 mm closes with the input at zero, and never with the output at zero.
    let natural = BallRod::new(input, output).unwrap();
    for length in [40.0 * MM, 53.0 * MM] {
        let back = natural.with_rod_length(length).unwrap().reversed().unwrap();
        assert_eq!(
            back.output_angle(0.0, Assembly::Neutral).is_ok(),
            length > 47.0 * MM
        );
        let there = back.reversed().unwrap();
        assert!(there.start().abs() < 1e-14);
        for angle in [0.0, 0.05, -0.02] {
            let output = there.output_angle(angle, Assembly::Neutral).unwrap();
            let again = back.output_angle(output, Assembly::Neutral).unwrap();
            assert!((again - angle).abs() < 1e-12, "{again} {angle}");
            assert!(miss(&back, output, again) <= closure(&back));
        }
    }
}
