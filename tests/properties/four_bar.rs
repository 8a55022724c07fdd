//! The planar four-bar over its whole domain: all classes, links in any proportion up to a thousand, up to the dead
//! centers.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::Vector2;
use proptest::prelude::*;
use yokewright::linkage::generators::planar::{
    PlanarPosture, four_bars, nearly_locking_four_bars, placed_four_bars,
};
use yokewright::linkage::{
    Branch, CenteredFourBar, DeadCenterKind, FourBar, FourBarClass, FourBarPose,
};

use crate::strategies::anything;

/// Closure residual, and what a coupler may be off its length, as a share of the sum of the lengths: to first order up
/// to 16 times half a unit in the last place of 1 (foot and height of the rocker joint 9, the diagonal 3, directions
/// and their sines and cosines 4), of which some 9 have been seen.
const CLOSURE: f64 = 2e-15;
/// How far from a dead center the nearly locking linkages reach, rad.
const CLOSENESS: f64 = 0.1;

fn perimeter(bar: &FourBar) -> f64 {
    bar.ground() + bar.crank() + bar.coupler() + bar.rocker()
}

fn along(angle: f64) -> Vector2<f64> {
    Vector2::new(angle.cos(), angle.sin())
}

/// What is left when all links are added up head to tail, as a share of the sum of the lengths.
fn residual(bar: &FourBar, crank: f64, coupler: f64, rocker: f64) -> f64 {
    let ground = Vector2::new(bar.ground(), 0.0);
    let there = along(crank) * bar.crank() + along(coupler) * bar.coupler();
    (there - ground - along(rocker) * bar.rocker()).norm() / perimeter(bar)
}

fn distance(one: f64, other: f64) -> f64 {
    let turn = (one - other).rem_euclid(TAU);
    turn.min(TAU - turn)
}

/// Anywhere and next to dead centers.
fn postures() -> impl Strategy<Value = PlanarPosture> {
    prop_oneof![placed_four_bars(), nearly_locking_four_bars(CLOSENESS)]
}

/// How much an error of the input angle grows in the angles: without bound toward the dead centers and where the crank
/// joint is next to the rocker pivot.
fn growth(bar: &FourBar, pose: &FourBarPose) -> f64 {
    let diagonal = (pose.crank_joint - Vector2::new(bar.ground(), 0.0))
        .coords
        .norm();
    let shortest = bar.coupler().min(bar.rocker()).min(diagonal);
    perimeter(bar) / (shortest * pose.transmission_angle.sin())
}

/// At the end of the crank's travel the last bit of sine and cosine, which one angle and many do not share, decides
/// nothing.
#[test]
fn the_links_close_at_the_end_of_the_travel() {
    let bar = FourBar::new(
        0.013768621988719245,
        0.37780121385546206,
        0.00023323596979160383,
        0.3896134742113997,
    )
    .unwrap();
    let crank = -2.627167535019129;
    let many = bar.solve_many(&[crank]);
    assert!(many.valid[0]);
    for (branch, angles) in Branch::ALL.into_iter().zip([&many.open, &many.crossed]) {
        let pose = bar.pose(crank, branch).unwrap();
        let one = residual(&bar, crank, pose.coupler_angle, pose.rocker_angle);
        assert!(one <= CLOSURE, "{one}");
        let of_many = residual(&bar, crank, angles.coupler[0], angles.rocker[0]);
        assert!(of_many <= CLOSURE, "{of_many}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    #[test]
    fn the_links_close(posture in postures()) {
        let PlanarPosture { linkage, branch, crank_angle } = posture;
        let pose = linkage.pose(crank_angle, branch).unwrap();
        prop_assert!(residual(&linkage, crank_angle, pose.coupler_angle, pose.rocker_angle) <= CLOSURE);
        let joint = (pose.rocker_joint - pose.crank_joint).norm();
        prop_assert!((joint - linkage.coupler()).abs() <= CLOSURE * perimeter(&linkage));
        prop_assert!((0.0..=FRAC_PI_2).contains(&pose.transmission_angle));
        let many = linkage.solve_many(&[crank_angle]);
        // A rounding beyond an end, the last bit of sine and cosine may decide.
        if !many.valid[0] {
            prop_assert!(linkage.crank_travel().iter().all(|stretch| stretch.turned_into(crank_angle).is_none()));
            return Ok(());
        }
        for angles in [&many.open, &many.crossed] {
            prop_assert!(residual(&linkage, crank_angle, angles.coupler[0], angles.rocker[0]) <= CLOSURE);
        }
    }

    #[test]
    fn one_and_many_agree(postures in prop::collection::vec(postures(), 1..20), shift in 0_usize..200) {
        let angles: Vec<_> = (0..shift).map(|i| i as f64 * 0.05 - 4.0).chain(postures.iter()
            .map(|posture| posture.crank_angle)).collect();
        for posture in &postures {
            let bar = posture.linkage;
            let many = bar.solve_many(&angles);
            let rows = [[bar.ground(), bar.crank(), bar.coupler(), bar.rocker()], [1.0, 0.1, f64::NAN, 1.0]];
            let grid = FourBar::solve_grid(&rows, &angles);
            prop_assert_eq!(&grid.valid[..angles.len()], &many.valid[..]);
            prop_assert!(grid.valid[angles.len()..].iter().all(|valid| !valid));
            for (i, angle) in angles.iter().enumerate() {
                for (branch, found, in_grid) in [(Branch::Open, &many.open, &grid.open), (Branch::Crossed,
                    &many.crossed, &grid.crossed)] {
                    let one = bar.pose(*angle, branch);
                    if !many.valid[i] {
                        prop_assert!(found.coupler[i].is_nan() && found.rocker[i].is_nan());
                        continue;
                    }
                    prop_assert_eq!(found.rocker[i], in_grid.rocker[i]);
                    prop_assert_eq!(found.coupler[i], in_grid.coupler[i]);
                    // The last bit of sine and cosine decides at the very limit.
                    let Ok(one) = one else { continue };
                    let tolerance = 4.0 * f64::EPSILON * (PI + growth(&bar, &one));
                    if tolerance < 1e-9 {
                        prop_assert!(distance(found.rocker[i], one.rocker_angle) <= tolerance);
                        prop_assert!(distance(found.coupler[i], one.coupler_angle) <= tolerance);
                    }
                }
            }
        }
    }

    #[test]
    fn travel_ends_where_the_links_no_longer_meet(bar in four_bars(), share in 0.0..1.0_f64) {
        let class = bar.grashof().class;
        let travel = bar.crank_travel();
        let whole = travel == [yokewright::linkage::Range::FULL_TURN];
        match class {
            FourBarClass::CrankRocker | FourBarClass::DoubleCrank => prop_assert!(whole),
            FourBarClass::ChangePoint => (),
            _ => prop_assert!(!whole),
        }
        // Grashof linkages have two circuits: two stretches, or two branches that never meet.
        prop_assert_eq!(travel.len() == 2, matches!(class,
            FourBarClass::DoubleRocker | FourBarClass::RockerCrank) || (travel.len() == 2
                && class == FourBarClass::ChangePoint));
        for stretch in &travel {
            for angle in [stretch.lower, stretch.upper, stretch.lower + share * stretch.length()] {
                let pose = bar.pose(angle, Branch::Open);
                // Between equal links the rocker pivot itself has no pose.
                let on_pivot = (bar.crank() - bar.ground()).abs() <= 1e-14 && (0.5 * angle).sin().abs() <= 1e-14;
                prop_assert!(pose.is_ok() || on_pivot, "{pose:?}");
            }
        }
        if !whole {
            let gaps = if travel.len() == 2 {
                vec![[travel[0].upper, travel[1].lower], [travel[1].upper, travel[0].lower + TAU]]
            } else {
                vec![[travel[0].upper, travel[0].lower + TAU]]
            };
            for [from, to] in gaps {
                let middle = 0.5 * (from + to);
                // Next to a change point the gap is one of roundings.
                if bar.grashof().margin.abs() > 1e-12 * perimeter(&bar) {
                    prop_assert!(bar.pose(middle, Branch::Open).is_err());
                }
            }
        }
    }

    #[test]
    fn the_rocker_stays_within_its_travel_and_reaches_its_ends(bar in four_bars(),
        branch in prop::sample::select(Branch::ALL.to_vec())) {
        prop_assume!(bar.grashof().class != FourBarClass::ChangePoint);
        let rockers = bar.rocker_travel(branch);
        for (crank, rocker) in bar.crank_travel().iter().zip(&rockers) {
            let count = 400;
            let angles: Vec<_> = (0..=count).map(|i| crank.lower + crank.length() * f64::from(i) / f64::from(count))
                .collect();
            let track = bar.track(&angles, branch);
            // At an end the angle moves with the square root of a rounding, seen from the shortest of the links and the
            // diagonal.
            let diagonal = (bar.crank() - bar.ground()).abs().max((bar.coupler() - bar.rocker()).abs());
            let shortest = bar.coupler().min(bar.rocker()).min(diagonal);
            let slack = 4.0 * (f64::EPSILON * perimeter(&bar) / shortest).sqrt();
            let [mut least, mut most] = [f64::INFINITY, f64::NEG_INFINITY];
            for angle in track.rocker.iter().zip(&track.valid).filter(|(_, valid)| **valid).map(|(angle, _)| *angle) {
                least = least.min(angle);
                most = most.max(angle);
            }
            if rocker.length() < TAU - 1e-9 {
                prop_assert!(least >= rocker.lower - slack && most <= rocker.upper + slack,
                    "{least} {most} {rocker:?}");
            }
            // The ends are dead centers or ends of the travel of the crank, so that something gets there.
            let dead_centers = bar.dead_centers();
            let reached = |end: f64| {
                dead_centers.iter().any(|dead| distance(dead.pose.rocker_angle, end) <= slack)
                    || [crank.lower, crank.upper].iter().any(|angle| bar.pose(*angle,
                        branch).is_ok_and(|pose| distance(pose.rocker_angle, end) <= slack))
            };
            prop_assert!(rocker.length() >= TAU - 1e-9 || (reached(rocker.lower) && reached(rocker.upper)));
        }
    }

    #[test]
    fn dead_centers_are_in_line(bar in four_bars()) {
        for dead in bar.dead_centers() {
            let pose = dead.pose;
            let (one, other) = match dead.kind {
                DeadCenterKind::InputLimit => (pose.coupler_angle, pose.rocker_angle),
                DeadCenterKind::OutputLimit => (pose.coupler_angle, pose.crank_angle),
            };
            // Rocker and coupler are seen from their ends, and meet stretched in opposite directions.
            let opposite = match dead.kind {
                DeadCenterKind::InputLimit => dead.stretched,
                DeadCenterKind::OutputLimit => !dead.stretched,
            };
            // The angle moves with the square root of a rounding, seen from the shortest link.
            let shortest = bar.coupler().min(bar.rocker()).min(bar.crank());
            let slack = 4.0 * (f64::EPSILON * perimeter(&bar) / shortest).sqrt();
            prop_assert!(distance(one, other + if opposite { PI } else { 0.0 }) <= slack, "{dead:?}");
        }
    }

    #[test]
    fn tracked_angles_do_not_jump(posture in placed_four_bars()) {
        let PlanarPosture { linkage: bar, branch, .. } = posture;
        prop_assume!(bar.grashof().margin.abs() > 1e-6 * perimeter(&bar));
        let travel = bar.crank_travel()[0];
        let (from, to) = if travel == yokewright::linkage::Range::FULL_TURN { (-4.0 * PI,
            4.0 * PI) } else { (travel.lower, travel.upper) };
        let count = 500;
        let angles: Vec<_> = (0..=count).map(|i| (from + (to - from) * f64::from(i) / f64::from(count)).clamp(from,
            to)).collect();
        let track = bar.track(&angles, branch);
        for (i, angle) in angles.iter().enumerate() {
            let Ok(pose) = bar.pose(*angle, branch) else { continue };
            let tolerance = 1e-13 + 16.0 * f64::EPSILON * growth(&bar, &pose);
            if tolerance < 1e-8 {
                prop_assert!(distance(track.rocker[i], pose.rocker_angle) <= tolerance);
                prop_assert!(distance(track.coupler[i], pose.coupler_angle) <= tolerance);
            }
        }
        // The largest step, halved again and again, shrinks to nothing: a jump would stay.
        let step = |i: usize| (track.rocker[i + 1] - track.rocker[i]).abs();
        let worst = (0..angles.len() - 1).max_by(|one, other| step(*one).total_cmp(&step(*other))).unwrap();
        let (mut low, mut high) = (angles[worst], angles[worst + 1]);
        let at = |angle: f64| bar.track(&[angle], branch).rocker[0];
        for _ in 0..45 {
            let middle = 0.5 * (low + high);
            if (at(middle) - at(low)).abs() > (at(high) - at(middle)).abs() { high = middle } else { low = middle }
        }
        // A square-root limit leaves sqrt(step), times what short links add.
        prop_assert!((at(high) - at(low)).abs() < 0.05, "{low} {high}: {} {}", at(low), at(high));
    }

    #[test]
    fn the_mirror_image_is_the_other_branch(posture in postures()) {
        let PlanarPosture { linkage, branch, crank_angle } = posture;
        let pose = linkage.pose(crank_angle, branch).unwrap();
        let mirrored = linkage.pose(-crank_angle, branch.other()).unwrap();
        prop_assert_eq!(mirrored.rocker_angle.abs(), pose.rocker_angle.abs());
        prop_assert_eq!(mirrored.coupler_angle.abs(), pose.coupler_angle.abs());
        prop_assert_eq!(mirrored.rocker_joint.y, -pose.rocker_joint.y);
        if let (Ok(one), Ok(other)) = (linkage.transfer(crank_angle, branch), linkage.transfer(-crank_angle,
            branch.other())) {
            prop_assert_eq!(one.ratio, other.ratio);
            prop_assert_eq!(one.curvature, -other.curvature);
        }
    }

    /// By differences of fourth order: their error is about (step * growth)^4 of a derivative, and roundings over the
    /// step.
    #[test]
    fn derivatives_are_those_of_the_angle(posture in placed_four_bars()) {
        let PlanarPosture { linkage: bar, branch, crank_angle } = posture;
        let pose = bar.pose(crank_angle, branch).unwrap();
        let growth = growth(&bar, &pose) / pose.transmission_angle.sin();
        let step = 1e-3 / growth;
        prop_assume!(growth < 1e3);
        let near = [-2.0, -1.0, 0.0, 1.0, 2.0].map(|i| crank_angle + i * step);
        prop_assume!(near.iter().all(|angle| bar.pose(*angle, branch).is_ok()));
        let track = bar.track(&near, branch).rocker;
        let first = (track[0] - 8.0 * track[1] + 8.0 * track[3] - track[4]) / (12.0 * step);
        let transfer = bar.transfer(crank_angle, branch).unwrap();
        let size = 1.0 + transfer.ratio.abs() + growth;
        prop_assert!((first - transfer.ratio).abs() <= 1e-8 * size, "{first} {transfer:?}");
        let ratio = near.map(|angle| bar.transfer(angle, branch).unwrap().ratio);
        let second = (ratio[0] - 8.0 * ratio[1] + 8.0 * ratio[3] - ratio[4]) / (12.0 * step);
        prop_assert!((second - transfer.curvature).abs() <= 1e-8 * size * growth, "{second} {transfer:?}");
        let advantage = bar.mechanical_advantage(crank_angle, branch);
        prop_assert!(advantage.is_err()
            || (advantage.unwrap() * transfer.ratio - 1.0).abs() <= 4.0 * f64::EPSILON * 4.0);
    }

    /// Position, velocity and acceleration of a coupler point belong together, as the links move on at constant
    /// acceleration.
    #[test]
    fn coupler_points_move_as_their_derivatives_say(posture in placed_four_bars(),
        offset in prop::array::uniform2(-1.0..1.0_f64), velocity in -5.0..5.0_f64, acceleration in -5.0..5.0_f64) {
        let PlanarPosture { linkage: bar, branch, crank_angle } = posture;
        let pose = bar.pose(crank_angle, branch).unwrap();
        let growth = growth(&bar, &pose) / pose.transmission_angle.sin();
        prop_assume!(growth < 1e3);
        let [along, across] = offset.map(|share| share * bar.coupler());
        let step = 1e-3 / growth;
        let at = |time: f64| {
            let angle = crank_angle + velocity * time + 0.5 * acceleration * time * time;
            bar.coupler_point_motion(angle, branch, [along, across], velocity + acceleration * time, acceleration)
        };
        let near = [-2.0, -1.0, 0.0, 1.0, 2.0].map(|i| at(i * step));
        prop_assume!(near.iter().all(Result::is_ok));
        let near = near.map(Result::unwrap);
        let slope = |part: fn(&yokewright::linkage::PointMotion) -> Vector2<f64>| (part(&near[0]) - part(&near[1])
            * 8.0 + part(&near[3]) * 8.0 - part(&near[4])) / (12.0 * step);
        let size = perimeter(&bar) * 100.0 * growth;
        prop_assert!((slope(|m| m.position.coords) - near[2].velocity).norm() <= 1e-8 * size);
        prop_assert!((slope(|m| m.velocity) - near[2].acceleration).norm() <= 1e-8 * size * 10.0 * growth);
        let point = bar.coupler_point(crank_angle, branch, along, across).unwrap();
        prop_assert_eq!(point, near[2].position);
        prop_assert_eq!(bar.coupler_curve(&[crank_angle, f64::NAN], branch, along, across).unwrap().valid, vec![true,
            false]);
    }

    #[test]
    fn the_rocker_drives_the_crank_back(posture in postures()) {
        let PlanarPosture { linkage: bar, branch, crank_angle } = posture;
        let pose = bar.pose(crank_angle, branch).unwrap();
        let Ok(back) = bar.driven_by_rocker(pose.rocker_angle) else {
            // At an output limit, a rounding beyond it.
            let off = distance(pose.coupler_angle, crank_angle);
            prop_assert!(off.min(PI - off) < 1e-5);
            return Ok(());
        };
        for pose in &back {
            prop_assert!(residual(&bar, pose.crank_angle, pose.coupler_angle, pose.rocker_angle) <= CLOSURE);
        }
        // The crank may point anywhere where the rocker joint meets its pivot, and nearly so next to it.
        let diagonal = pose.rocker_joint.coords.norm();
        let rounding = f64::EPSILON * perimeter(&bar) / diagonal;
        prop_assume!(rounding < 1e-9);
        let off = back.iter().map(|back| (back.crank_joint - pose.crank_joint).norm()).fold(f64::INFINITY, f64::min);
        // The crank moves with the square root of a rounding where it is in line with the coupler.
        prop_assert!(off <= 4.0 * rounding.sqrt() * perimeter(&bar));
        let across = distance(pose.coupler_angle, crank_angle);
        let nearest = back.iter().min_by(|one, other| distance(one.crank_angle,
            crank_angle).total_cmp(&distance(other.crank_angle, crank_angle))).unwrap();
        let growth = perimeter(&bar) / (across.sin().abs() * bar.crank().min(bar.coupler()).min(diagonal));
        if growth < 1e4 {
            prop_assert!(distance(nearest.crank_angle, crank_angle) <= 40.0 * f64::EPSILON * growth);
            if growth * pose.transmission_angle > 1e-6 && pose.transmission_angle > 1e-6 {
                prop_assert_eq!(nearest.branch, branch);
            }
        }
    }

    #[test]
    fn the_least_transmission_angle_is_the_least(posture in placed_four_bars(), share in 0.0..1.0_f64) {
        let PlanarPosture { linkage: bar, crank_angle, branch } = posture;
        let travel = *bar.crank_travel().iter().find(|stretch| stretch.turned_into(crank_angle).is_some()).unwrap();
        let from = travel.turned_into(crank_angle).unwrap();
        let to = from + share * (travel.upper - from);
        prop_assume!(to > from);
        let Ok(least) = bar.min_transmission_angle(from, to) else { return Ok(()) };
        let seen = (0..=300).map(|i| from + (to - from) * f64::from(i) / 300.0)
            .filter_map(|angle| bar.pose(angle.min(to), branch).ok());
        let seen = seen.map(|pose| pose.transmission_angle).fold(FRAC_PI_2, f64::min);
        prop_assert!(least <= seen + 1e-12);
        // Never more than the steps between the looks can hide.
        prop_assert!(seen - least <= 0.5);
    }

    #[test]
    fn a_drawing_gives_its_linkage_back(posture in placed_four_bars(), angle in -PI..PI, turn in -0.2..0.2_f64) {
        let PlanarPosture { linkage: bar, branch, crank_angle } = posture;
        let pose = bar.pose(crank_angle, branch).unwrap();
        prop_assume!(growth(&bar, &pose) < 1e4);
        // A rounding makes a link shorter than the shortest allowed.
        prop_assume!(bar.crank().min(bar.rocker()).min(bar.coupler()).min(bar.ground()) > 1.01e-4);
        let turned = nalgebra::Rotation2::new(angle);
        let corner = nalgebra::Point2::new(0.5, -0.25);
        let place = |point: nalgebra::Point2<f64>| corner + turned * point.coords;
        let joints = [nalgebra::Point2::origin(), pose.crank_joint, pose.rocker_joint,
            nalgebra::Point2::new(bar.ground(), 0.0)];
        let [a, b, c, d] = joints.map(place);
        let built = CenteredFourBar::from_joints(a, b, c, d).unwrap();
        prop_assert_eq!(built.branch(), branch);
        let slack = 1e-15 * (1.0 + perimeter(&bar));
        prop_assert!((built.linkage().coupler() - bar.coupler()).abs() <= 4.0 * slack);
        prop_assert!(distance(built.ground_angle(), angle) <= 4.0 * slack / bar.ground());
        for (joint, drawn) in built.joints(0.0).unwrap().iter().zip([a, b, c, d]) {
            prop_assert!((joint - drawn).norm() <= 1e-11 * growth(&bar, &pose));
        }
        prop_assert!(built.transfer(0.0).unwrap().angle.abs() <= f64::EPSILON);
        if let (Ok(one), Ok(other)) = (built.transfer(turn), bar.pose(crank_angle + turn, branch))
            && growth(&bar, &other) < 1e4
        {
            prop_assert!(distance(one.angle, other.rocker_angle - pose.rocker_angle) <= 1e-9);
        }
        let travel = built.travel();
        prop_assert!(travel.lower <= 0.0 && travel.upper >= 0.0);
    }

    #[test]
    fn of_anything_comes_a_linkage_or_an_error(lengths in prop::array::uniform4(anything()),
        angles in prop::collection::vec(anything(), 0..20), more in prop::array::uniform4(anything())) {
        for [ground, crank, coupler, rocker] in [lengths, [0.1, 0.04, 0.12, 0.08]] {
            let made = FourBar::new(ground, crank, coupler, rocker);
            let grid = FourBar::solve_grid(&[[ground, crank, coupler, rocker]], &angles);
            prop_assert_eq!(grid.valid.len(), angles.len());
            let Ok(bar) = made else {
                prop_assert!(grid.valid.iter().all(|valid| !valid));
                continue;
            };
            for branch in Branch::ALL {
                let transfers = bar.transfers(&angles, branch);
                let track = bar.track(&angles, branch);
                for (i, angle) in angles.iter().enumerate() {
                    prop_assert_eq!(bar.pose(*angle, branch).is_ok(), bar.track(&[*angle], branch).valid[0]);
                    prop_assert!(bar.pose(*angle, branch).is_ok() || !track.valid[i]);
                    prop_assert_eq!(track.rocker[i].is_nan(), !track.valid[i]);
                    prop_assert_eq!(transfers.ratios[i].is_finite(), transfers.valid[i]);
                    prop_assert_eq!(transfers.curvatures[i].is_nan(), !transfers.valid[i]);
                    for result in bar.driven_by_rocker(*angle).iter().flatten() {
                        prop_assert!(result.crank_angle.is_finite());
                    }
                    if let Ok(motion) = bar.motion(*angle, branch, more[0], more[1]) {
                        prop_assert!(motion.rocker_acceleration.is_finite());
                    }
                    if let Ok(motion) = bar.coupler_point_motion(*angle, branch, [more[2], more[3]], more[0], more[1]) {
                        prop_assert!(motion.acceleration.iter().all(|value| value.is_finite()));
                    }
                    let _ = bar.min_transmission_angle(*angle, more[0]).map(|least| assert!(least.is_finite()));
                }
                let _ = (bar.rocker_travel(branch), bar.crank_travel(), bar.dead_centers(), bar.grashof());
            }
        }
        let point = |i: usize| nalgebra::Point2::new(more[i], lengths[i]);
        if let Ok(built) = CenteredFourBar::from_joints(point(0), point(1), point(2), point(3)) {
            prop_assert!(built.linkage().coupler() > 0.0);
        }
    }
}
