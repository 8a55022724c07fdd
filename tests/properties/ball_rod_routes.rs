//! Every figure of a ball-joint rod by another route: the loop followed in small steps by Newton's method, differences
//! of that, and vectors.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use yokewright::linkage::generators::spatial::{ball_rods, directions};
use yokewright::linkage::{Arm, BallRod, RodLimit};
use yokewright::units::{DEG, MM};

use crate::ball_rod_search::Circle;

/// Step of the differences, rad or m: a millionth of what it changes.
const STEP: f64 = 1e-6;
/// What differences over that step leave of a figure well away from a lock: the square of the step times what the lock
/// makes of it, and 1e-16 over the step.
const DIFFERENCES: f64 = 1e-6;

/// The output angle at an input angle with a rod of a length, followed from neutral; none if it is lost.
fn followed(rod: &BallRod, length: f64, angle: f64) -> Option<f64> {
    const STEPS: u32 = 200;
    let [input, output] = [rod.input(), rod.output()].map(Circle::of);
    let natural = (rod.input().joint() - rod.output().joint()).norm();
    let mut psi = 0.0;
    for i in 0..=STEPS {
        let share = f64::from(i) / f64::from(STEPS);
        let a = input.at(angle * share);
        let now = natural + (length - natural) * share;
        for turn in 0..30 {
            let away = output.at(psi) - a;
            let step = 0.5 * (away.norm_squared() - now * now) / away.dot(&output.speed(psi));
            if !step.is_finite() || step.abs() > 0.2 {
                return None;
            }
            psi -= step;
            if step.abs() < 1e-15 {
                break;
            }
            if turn == 29 && step.abs() > 1e-12 {
                return None;
            }
        }
    }
    Some(psi)
}

/// Well away from a lock, with arms of a like size: there differences say something.
fn plain() -> impl Strategy<Value = (BallRod, f64)> {
    (ball_rods(), -0.8..0.8_f64).prop_filter_map("away from locks", |(rod, share)| {
        let (low, high) = rod
            .travel()
            .map_or((-1.0, 1.0), |t| (t.lower.max(-1.0), t.upper.min(1.0)));
        let angle = if share < 0.0 {
            -share * low
        } else {
            share * high
        };
        let lengths = [
            rod.input().length(),
            rod.output().length(),
            rod.rod_length(),
        ];
        let even = lengths.iter().all(|x| (30.0 * MM..600.0 * MM).contains(x));
        let sharp = [angle - 0.02, angle, angle + 0.02]
            .iter()
            .all(|x| rod.transmission_angle(*x).is_ok_and(|t| t > 0.4));
        (even && sharp && angle.abs() > 1e-3).then_some((rod, angle))
    })
}

fn carried(arm: &Arm, v: &Vector3<f64>, angle: f64) -> Vector3<f64> {
    Rotation3::from_axis_angle(&Unit::new_normalize(arm.direction()), angle) * v
}

/// What is square to a pivot's axis of a moment about its point.
fn across(arm: &Arm, joint: &Point3<f64>, force: &Vector3<f64>) -> Vector3<f64> {
    let moment = (joint - arm.pivot()).cross(force);
    moment - arm.direction() * moment.dot(&arm.direction())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// By virtual work: of the input torque against that of the output, and of the rod, were it to grow.
    #[test]
    fn loads_by_virtual_work((rod, angle) in plain(), torque in 1.0..50.0_f64) {
        let length = rod.rod_length();
        let at = |angle: f64, longer: f64| followed(&rod, length + longer, angle);
        let (Some(psi), Some(ahead), Some(behind), Some(long), Some(short)) =
            (at(angle, 0.0), at(angle + STEP, 0.0), at(angle - STEP, 0.0), at(angle, STEP), at(angle,
                -STEP)) else { return Ok(()) };
        let (ratio, by_length) = ((ahead - behind) / (2.0 * STEP), (long - short) / (2.0 * STEP));
        if ratio.abs() < 0.05 { return Ok(()) }
        let one = rod.transfer(angle).unwrap();
        prop_assert!((one.angle - psi).abs() < 1e-11, "{} {psi}", one.angle);
        prop_assert!((one.ratio - ratio).abs() <= DIFFERENCES * (1.0 + ratio.abs()), "{} {ratio}", one.ratio);
        let per_length = rod.output_per_length(angle).unwrap();
        prop_assert!((per_length - by_length).abs() <= 10.0 * DIFFERENCES * by_length.abs(),
            "{per_length} {by_length}");
        let loads = rod.loads(angle, torque).unwrap();
        let tolerance = 20.0 * DIFFERENCES / ratio.abs().min(1.0);
        let output_torque = torque / ratio;
        prop_assert!((loads.output_torque - output_torque).abs() <= tolerance * output_torque.abs());
        // A pulled rod that grows by dL at a fixed input takes work from the output.
        let force = -output_torque * by_length;
        prop_assert!((loads.rod_force - force).abs() <= tolerance * force.abs(), "{} {force}", loads.rod_force);
        let (a, b) = (Circle::of(rod.input()).at(angle), Circle::of(rod.output()).at(psi));
        let on_input = (b - a).normalize() * force;
        for (got, arm, joint, on_arm) in [
            ((loads.input_reaction, loads.input_moment), rod.input(), a, on_input),
            ((loads.output_reaction, loads.output_moment), rod.output(), b, -on_input),
        ] {
            prop_assert!((got.0 + on_arm).norm() <= tolerance * force.abs());
            prop_assert!((got.1 + across(&arm, &joint,
                &on_arm)).norm() <= tolerance * force.abs() * (joint - arm.pivot()).norm());
        }
    }

    #[test]
    fn play_and_wrong_lengths_by_solving_anew((rod, angle) in plain(), play in 1e-5..2e-4_f64) {
        let at = |longer: f64| followed(&rod, rod.rod_length() + longer, angle);
        let (Some(here), Some(long), Some(short)) = (at(0.0), at(play), at(-play)) else { return Ok(()) };
        // Where neutral is so near a lock that the other length does not close there, that is an error.
        let (Ok(error), Ok(backlash)) = (rod.length_error(angle, play), rod.backlash(angle,
            play)) else { return Ok(()) };
        prop_assert!((error.exact - (long - here)).abs() < 1e-11, "{error:?} {}", long - here);
        prop_assert!((backlash.exact - (long - short).abs()).abs() < 1e-11, "{backlash:?} {}", long - short);
    }

    /// The swivel as what is missing of a right angle between the stud and the rod as seen from its joint.
    #[test]
    fn swivels_by_the_angle_between((rod, angle) in plain(), studs in prop::array::uniform2(directions())) {
        let (input, output) = (rod.input().with_stud(studs[0], None).unwrap(), rod.output().with_stud(studs[1],
            None).unwrap());
        let rod = BallRod::new(input, output).unwrap();
        let Some(psi) = followed(&rod, rod.rod_length(), angle) else { return Ok(()) };
        let (a, b) = (Circle::of(input).at(angle), Circle::of(output).at(psi));
        let expected = [carried(&input, &studs[0], angle).angle(&(b - a)), carried(&output, &studs[1],
            psi).angle(&(a - b))];
        for (got, between) in rod.swivels(angle).unwrap().into_iter().zip(expected) {
            // An angle near zero or half a turn is known to the root of a rounding.
            prop_assert!((got.unwrap() - (FRAC_PI_2 - between)).abs() < 1e-7, "{got:?} {between}");
        }
    }

    /// The ends of the travel by going there in small steps: what is reached first, and where.
    #[test]
    fn the_reach_by_small_steps((rod, _) in plain(), studs in prop::array::uniform2(directions()),
        limits in prop::array::uniform2(15.0..60.0_f64)) {
        const SMALL: f64 = 1e-3;
        let [one, two] = limits.map(|limit| limit * DEG);
        let (input, output) = (rod.input().with_stud(studs[0], one).unwrap(), rod.output().with_stud(studs[1],
            two).unwrap());
        let Ok(rod) = BallRod::new(input, output) else { return Ok(()) };
        let (from, to) = (Circle::of(input), Circle::of(output));
        let beyond_at = |a: Point3<f64>, b: Point3<f64>, angle: f64, psi: f64| [
            (FRAC_PI_2 - carried(&input, &studs[0], angle).angle(&(b - a))).abs() - one,
            (FRAC_PI_2 - carried(&output, &studs[1], psi).angle(&(a - b))).abs() - two,
        ];
        let reach = rod.reach();
        for (end, sense) in [(reach.lower, -1.0), (reach.upper, 1.0)] {
            let (mut psi, mut nearest) = (0.0, f64::NEG_INFINITY);
            for i in 1..6000 {
                let angle = sense * SMALL * f64::from(i);
                let a = from.at(angle);
                let mut lost = false;
                for _ in 0..30 {
                    let away = to.at(psi) - a;
                    let slope = away.dot(&to.speed(psi));
                    let step = 0.5 * (away.norm_squared() - rod.rod_length().powi(2)) / slope;
                    lost = !step.is_finite() || step.abs() > 0.3;
                    if lost { break }
                    psi -= step;
                    if step.abs() < 1e-13 { break }
                }
                let b = to.at(psi);
                lost |= ((b - a).norm() - rod.rod_length()).abs() > 1e-9;
                let sharp = ((b - a).dot(&to.speed(psi)) / (rod.rod_length() * output.length())).abs();
                // Where the rod nearly points at the output pivot Newton's method may take the other way: this route
                // ends.
                if lost || sharp < 0.2 { break }
                let beyond = beyond_at(a, b, angle, psi);
                nearest = nearest.max(beyond[0]).max(beyond[1]);
                // Nothing has come near a limit so far.
                if nearest < -1e-3 {
                    prop_assert!(end.is_none_or(|end| end.input * sense >= angle * sense), "{end:?} {angle}");
                }
                let Some(first) = (0..2).filter(|i| beyond[*i] > 1e-5).max_by(|a,
                    b| beyond[*a].total_cmp(&beyond[*b])) else { continue };
                let end = end.unwrap();
                // Next to a lock the swivel runs away within a step; one that creeps over its limit is at it there.
                let at_limit = |joint: usize| followed(&rod, rod.rod_length(), end.input).is_some_and(|psi| {
                    beyond_at(from.at(end.input), to.at(psi), end.input, psi)[joint].abs() <= 1e-9
                });
                let close = end.input * sense >= angle * sense - 3.0 * SMALL || at_limit(first);
                prop_assert!(end.input * sense <= angle * sense + 1e-12 && close, "{end:?} {angle} {beyond:?}");
                if beyond[1 - first] < 0.0 {
                    let limit = if first == 0 { RodLimit::InputSwivel } else { RodLimit::OutputSwivel };
                    prop_assert_eq!(end.limit, limit);
                }
                break;
            }
        }
    }

}

proptest! {
    // Each scan costs some hundred closures of the loop.
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Figures over a travel by a fine scan of the followed loop.
    #[test]
    fn figures_by_a_scan((rod, angle) in plain()) {
        let travel = [-angle.abs().min(0.3), angle.abs()];
        let Ok(figures) = rod.figures(travel) else { return Ok(()) };
        if figures.min_transmission_angle < 0.3 { return Ok(()) }
        let count = 400;
        let step = (travel[1] - travel[0]) / f64::from(count);
        let mut outputs = Vec::new();
        for i in 0..=count {
            let Some(psi) = followed(&rod, rod.rod_length(), travel[0] + step * f64::from(i)) else { return Ok(()) };
            outputs.push(psi);
        }
        prop_assert!((figures.output_span - (outputs[outputs.len() - 1] - outputs[0])).abs() < 1e-10);
        let ratios: Vec<f64> = outputs.windows(2).map(|pair| (pair[1] - pair[0]) / step).collect();
        let [low, high] = [ratios.iter().copied().fold(f64::INFINITY, f64::min),
            ratios.iter().copied().fold(f64::NEG_INFINITY, f64::max)];
        // A mean over a step lies between the extremes, and off them by no more than what the ratio changes in half a
        // step.
        let fast = ratios.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(1e-6, f64::max);
        prop_assert!(figures.ratios[0] <= low + 1e-8 && figures.ratios[0] >= low - fast, "{figures:?} {low} {fast}");
        prop_assert!(figures.ratios[1] >= high - 1e-8 && figures.ratios[1] <= high + fast, "{figures:?} {high} {fast}");
        if let Some(variation) = figures.ratio_variation {
            let [low, high] = figures.ratios;
            prop_assert!((variation - (high - low) / (0.5 * (high + low)).abs()).abs() <= 1e-12 * variation.max(1.0));
        }
        let (from, to) = (Circle::of(rod.input()), Circle::of(rod.output()));
        let sharpness = |(i, psi): (usize, &f64)| {
            let along = (to.at(*psi) - from.at(travel[0] + step * i as f64)).normalize();
            along.dot(&to.speed(*psi).normalize()).abs().asin()
        };
        let least = outputs.iter().enumerate().map(sharpness).fold(FRAC_PI_2, f64::min);
        prop_assert!(figures.min_transmission_angle <= least + 1e-9 && figures.min_transmission_angle >= least - 1e-2,
            "{figures:?} {least}");
    }
}
