//! Coupled pedals: mirrored pairs and pairs whose one side is built off.

use proptest::prelude::*;
use yokewright::linkage::generators::spatial::{lopsided_pedal_pairs, pedal_pairs};
use yokewright::linkage::{FootSide, PedalLimitKind, PedalMember, PedalPair};

/// Angles that have gone through two closed forms and back: some hundred roundings, well away from locks.
const ROUNDING: f64 = 1e-12;
/// Share of the way to the end of the travel beyond which ratios run away.
const WELL_INSIDE: f64 = 0.9;

fn any_pairs() -> impl Strategy<Value = PedalPair> {
    prop_oneof![pedal_pairs(), lopsided_pedal_pairs()]
}

/// An angle of the crank from one end of the travel (-1) to the other (1).
fn inside(pair: &PedalPair, share: f64) -> f64 {
    let reach = pair.reach();
    let end = if share < 0.0 {
        reach.lower
    } else {
        reach.upper
    };
    end.unwrap().crank * share.abs() * WELL_INSIDE
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn whichever_angle_is_given((pair, share) in (any_pairs(), -1.0..=1.0_f64)) {
        let by_crank = pair.pose(PedalMember::Crank, inside(&pair, share)).unwrap();
        for member in PedalMember::ALL {
            let pose = pair.pose(member, by_crank.of(member).angle).unwrap();
            prop_assert_eq!(pose.of(member).ratio, 1.0);
            for other in PedalMember::ALL {
                let (got, expected) = (pose.of(other), by_crank.of(other));
                let ratio = expected.ratio / by_crank.of(member).ratio;
                prop_assert!((got.angle - expected.angle).abs() <= ROUNDING * (1.0 + ratio.abs()) * 10.0);
                prop_assert!((got.ratio - ratio).abs() <= 1e-8 * (1.0 + ratio.abs()));
            }
        }
    }

    /// Central differences over 1e-5 rad leave 1e-10 of the third derivative, and roundings over the step.
    #[test]
    fn derivatives_through_both_rods((pair, share) in (any_pairs(), -0.8..=0.8_f64)) {
        let angle = pair.pose(PedalMember::Crank, inside(&pair, share)).unwrap().left.angle;
        let at = |angle: f64| pair.pose(PedalMember::Left, angle).unwrap();
        let step = 1e-5;
        let (before, here, after) = (at(angle - step), at(angle), at(angle + step));
        for member in [PedalMember::Right, PedalMember::Crank] {
            let [before, here, after] = [before, here, after].map(|pose| pose.of(member));
            let sharp = 1.0 + here.ratio.abs() + here.curvature.abs();
            let ratio = (after.angle - before.angle) / (2.0 * step);
            let curvature = (after.ratio - before.ratio) / (2.0 * step);
            prop_assert!((ratio - here.ratio).abs() <= 1e-7 * sharp * sharp, "{ratio} {}", here.ratio);
            prop_assert!((curvature - here.curvature).abs() <= 1e-6 * sharp * sharp * sharp, "{curvature} {}",
                here.curvature);
        }
    }

    #[test]
    fn a_mirrored_pair_is_alike_on_both_sides((pair, share) in (pedal_pairs(), -1.0..=1.0_f64)) {
        let angle = inside(&pair, share);
        let (there, back) = (pair.pose(PedalMember::Crank, angle).unwrap(), pair.pose(PedalMember::Crank,
            -angle).unwrap());
        let sharp = 1.0 + there.left.ratio.abs() + there.left.curvature.abs();
        prop_assert!((there.left.angle - back.right.angle).abs() <= ROUNDING * sharp);
        prop_assert!((there.left.ratio + back.right.ratio).abs() <= ROUNDING * sharp * 100.0);
        let figures = pair.figures(21).unwrap();
        // Next to a lock a rounding is worth its root.
        prop_assert!(figures.asymmetry <= 1e-7, "{}", figures.asymmetry);
        prop_assert!((figures.other_ratio + 1.0).abs() <= 1e-9 && figures.other_ratios.lower <= -1.0 + 1e-9
            && figures.other_ratios.upper >= -1.0 - 1e-9);
        prop_assert!((figures.left.lower + figures.left.upper - figures.right.lower - figures.right.upper)
            .abs() <= 1e-6);
    }

    #[test]
    fn one_position_and_many_agree((pair, shares) in (any_pairs(), prop::collection::vec(-1.0..=1.0_f64, 1..40))) {
        for member in PedalMember::ALL {
            let angles: Vec<f64> = shares.iter().map(|share| pair.pose(PedalMember::Crank, inside(&pair,
                *share)).unwrap().of(member).angle).chain([f64::NAN, 3.0]).collect();
            let poses = pair.poses(member, &angles);
            for (i, angle) in angles.iter().enumerate() {
                let one = pair.pose(member, *angle);
                prop_assert_eq!(one.is_ok(), poses.valid[i]);
                let Ok(one) = one else { continue };
                for (many, one) in [(&poses.left, one.left), (&poses.right, one.right), (&poses.crank, one.crank)] {
                    let sharp = 1.0 + one.ratio.abs() + one.curvature.abs();
                    prop_assert!((many.angles[i] - one.angle).abs() <= ROUNDING * sharp);
                    prop_assert!((many.ratios[i] - one.ratio).abs() <= 100.0 * ROUNDING * sharp * sharp);
                }
            }
        }
    }

    /// What is said to end the travel does so there, and nothing does before.
    #[test]
    fn the_travel_ends_where_it_is_said((pair, share) in (any_pairs(), 0.0..1.0_f64)) {
        let reach = pair.reach();
        for end in [reach.lower.unwrap(), reach.upper.unwrap()] {
            match end.limit.kind {
                PedalLimitKind::Stop => {
                    let (foot, angle) = if end.limit.member == PedalMember::Left { (FootSide::Left,
                        end.left) } else { (FootSide::Right, end.right) };
                    let stops = pair.pedal(foot).stops().unwrap();
                    prop_assert!((angle - stops.lower).abs().min((angle - stops.upper).abs()) <= 1e-9);
                }
                PedalLimitKind::Lock => {
                    let (foot, angle) = if end.limit.member == PedalMember::Left { (FootSide::Left,
                        end.left) } else { (FootSide::Right, end.right) };
                    let rod = pair.rod(foot);
                    let forward = rod.transmission_angle(angle).unwrap_or(0.0);
                    let backward = rod.reversed().unwrap().transmission_angle(end.crank).unwrap_or(0.0);
                    prop_assert!(forward.min(backward) < 1e-6, "{forward} {backward}");
                }
                kind => prop_assert!(false, "{kind} without studs"),
            }
            let pose = pair.pose(PedalMember::Crank, end.crank * share).unwrap();
            for foot in FootSide::ALL {
                if let Some(stops) = pair.pedal(foot).stops() {
                    let angle = pose.of(foot.into()).angle;
                    prop_assert!((stops.lower - 1e-9..=stops.upper + 1e-9).contains(&angle));
                }
            }
        }
    }

    /// No work is lost: the pads' advances, as they are seen to go, times the pushes.
    #[test]
    fn push_against_push((pair, share, force) in (any_pairs(), -0.8..=0.8_f64, 1.0..2000.0_f64)) {
        let angle = pair.pose(PedalMember::Crank, inside(&pair, share)).unwrap().left.angle;
        let Ok(loads) = pair.loads(FootSide::Left, angle, force) else { return Ok(()) };
        let step = 1e-5;
        let advances = [angle - step, angle + step].map(|angle| {
            let pose = pair.pose(PedalMember::Left, angle).unwrap();
            [pair.pad(FootSide::Left, angle).unwrap().advance, pair.pad(FootSide::Right,
                pose.right.angle).unwrap().advance]
        });
        let [left, right] = [0, 1].map(|foot| (advances[1][foot] - advances[0][foot]) / (2.0 * step));
        let work = force * left + loads.other_force * right;
        prop_assert!(work.abs() <= 1e-5 * force * left.abs().max(right.abs()) * (1.0 + (loads.other_force / force)
            .abs()), "{work} {loads:?}");
        // The crank is in balance: the torques of both rods cancel.
        let crank = pair.pose(PedalMember::Left, angle).unwrap().crank.angle;
        let back = pair.rod(FootSide::Right).reversed().unwrap().loads(crank, loads.crank_torque).unwrap();
        prop_assert!((back.rod_force - loads.other_rod_force).abs() <= 1e-9 * back.rod_force.abs());
        prop_assert!((back.output_torque - loads.other_torque).abs() <= 1e-9 * back.output_torque.abs());
    }

    #[test]
    fn the_way_of_the_foot((pair, angle) in (any_pairs(), -0.5..0.5_f64)) {
        let pedal = pair.pedal(FootSide::Right);
        let pad = pair.pad(FootSide::Right, angle).unwrap();
        let way = pad.point - pedal.pad();
        prop_assert!((way.norm() - pad.chord).abs() <= 1e-12 && pad.arc.abs() >= pad.chord - 1e-15);
        prop_assert!((way.dot(&pedal.push()) - pad.advance).abs() <= 1e-15);
        let step = 1e-5;
        let [before, after] = [angle - step, angle + step].map(|angle| pair.pad(FootSide::Right, angle).unwrap());
        prop_assert!(((after.advance - before.advance) / (2.0 * step) - pad.advance_per_angle).abs() <= 1e-9);
        prop_assert!(((after.arc - before.arc) / (2.0 * step) - pedal.pad_radius()).abs() <= 1e-9);
    }
}
