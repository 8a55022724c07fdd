//! The slider-crank over its whole domain.

use std::f64::consts::PI;

use nalgebra::Vector2;
use proptest::prelude::*;
use yokewright::linkage::generators::planar::slider_cranks;
use yokewright::linkage::{Branch, Range, SliderCrank};

use crate::strategies::anything;

/// Share of crank, rod and offset by which the rod may miss the slide: some roundings of angles up to pi.
const CLOSURE: f64 = 2e-15;

fn size(slider: &SliderCrank) -> f64 {
    slider.crank() + slider.rod() + slider.offset().abs()
}

fn branches() -> impl Strategy<Value = Branch> {
    prop::sample::select(Branch::ALL.to_vec())
}

/// A slider-crank at an angle at which it closes, and the stretch of travel.
fn placed() -> impl Strategy<Value = (SliderCrank, Branch, f64)> {
    let share = prop_oneof![3 => 0.0..=1.0_f64, 1 => (-16.0..0.0_f64).prop_map(|exponent| 10_f64.powf(exponent))];
    (slider_cranks(), branches(), share, 0_usize..2).prop_map(|(slider, branch, share, which)| {
        let travel = slider.crank_travel();
        let stretch = travel[which % travel.len()];
        (slider, branch, stretch.lower + share * stretch.length())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    #[test]
    fn the_rod_joins_crank_and_slide((slider, branch, angle) in placed()) {
        let pose = slider.pose(angle, branch).unwrap();
        let along = |angle: f64| Vector2::new(angle.cos(), angle.sin());
        let end = along(angle) * slider.crank() + along(pose.rod_angle) * slider.rod();
        prop_assert!((end - pose.slide_joint.coords).norm() <= CLOSURE * size(&slider));
        prop_assert!(branch == Branch::Open || along(pose.rod_angle).x <= 1e-7);
        prop_assert!(branch == Branch::Crossed || along(pose.rod_angle).x >= -1e-7);
    }

    #[test]
    fn the_slide_drives_the_crank_back((slider, branch, angle) in placed()) {
        let pose = slider.pose(angle, branch).unwrap();
        let reach = pose.slide_joint.coords.norm();
        let rounding = f64::EPSILON * size(&slider) / reach;
        prop_assume!(rounding < 1e-9);
        let back = slider.driven_by_slide(pose.slide_joint.x).unwrap();
        let off = back.iter().map(|back| (back.crank_joint - pose.crank_joint).norm()).fold(f64::INFINITY, f64::min);
        // The crank moves with the square root of a rounding where it is in line with the rod.
        prop_assert!(off <= 8.0 * rounding.sqrt() * size(&slider), "{back:?}");
    }

    #[test]
    fn the_mirror_image_is_the_other_branch((slider, branch, angle) in placed()) {
        let here = slider.pose(angle, branch).unwrap();
        let there = slider.pose(PI - angle, branch.other());
        if let Ok(there) = there {
            // Where the rod stands across the slide, it moves with the square root of the rounding of PI - angle.
            let slack = 4.0 * f64::EPSILON.sqrt() * size(&slider);
            prop_assert!((here.slide_joint.x + there.slide_joint.x).abs() <= slack);
        }
    }

    /// By differences of fourth order over a step small against how fast the rod swings.
    #[test]
    fn derivatives_are_those_of_the_position((slider, branch, angle) in placed()) {
        let pose = slider.pose(angle, branch).unwrap();
        let growth = size(&slider) / (slider.rod() * pose.transmission_angle.sin().powi(2));
        prop_assume!(growth < 1e3);
        let step = 1e-3 / growth;
        let near = [-2.0, -1.0, 0.0, 1.0, 2.0].map(|i| slider.transfer(angle + i * step, branch));
        prop_assume!(near.iter().all(Result::is_ok));
        let near = near.map(Result::unwrap);
        let slope = |values: [f64; 5]| (values[0] - 8.0 * values[1] + 8.0 * values[3] - values[4]) / (12.0 * step);
        let tolerance = 1e-8 * size(&slider) * growth;
        prop_assert!((slope(near.map(|t| t.position)) - near[2].ratio).abs() <= tolerance);
        prop_assert!((slope(near.map(|t| t.ratio)) - near[2].curvature).abs() <= tolerance * growth);
        let motion = slider.motion(angle, branch, 2.0, 3.0).unwrap();
        prop_assert!((motion.slide_velocity - 2.0 * near[2].ratio).abs() <= 1e-15 * size(&slider) * growth);
        if let Ok(force) = slider.force_ratio(angle, branch) {
            prop_assert!((force * near[2].ratio - 1.0).abs() <= 4.0 * f64::EPSILON);
        }
    }

    #[test]
    fn travel_covers_what_closes((slider, branch, angle) in placed(), other in -PI..PI) {
        let travel = slider.crank_travel();
        let inside = travel.iter().any(|stretch| stretch.turned_into(other).is_some());
        // At the very end a rounding decides.
        let at_end = travel.iter().any(|stretch| [stretch.lower,
            stretch.upper].iter().any(|end| (other - end).sin().abs() < 1e-7));
        prop_assert!(at_end || inside == slider.pose(other, branch).is_ok());
        for (stretch, slide) in travel.iter().zip(slider.slide_travel(branch)) {
            for i in 0..=50 {
                let position = slider.pose(stretch.lower + stretch.length() * f64::from(i) / 50.0,
                    branch).unwrap().slide_joint.x;
                let slack = 8.0 * f64::EPSILON.sqrt() * size(&slider);
                prop_assert!(position >= slide.lower - slack && position <= slide.upper + slack);
            }
        }
        let spare = slider.rod() - (slider.crank() + slider.offset().abs());
        prop_assert!(spare.abs() <= 1e-15 * size(&slider) || (travel == [Range::FULL_TURN]) == (spare > 0.0));
        prop_assert!(angle.is_finite());
        for dead in slider.dead_centers() {
            let off = (dead.pose.rod_angle - dead.pose.crank_angle).sin().abs();
            prop_assert!(off <= 1e-6 * (1.0 + size(&slider) / slider.rod()));
        }
    }

    #[test]
    fn of_anything_comes_a_linkage_or_an_error(values in prop::array::uniform3(anything()),
        angles in prop::collection::vec(anything(), 0..20)) {
        for [crank, rod, offset] in [values, [0.04, 0.1, 0.0]] {
            let Ok(slider) = SliderCrank::new(crank, rod, offset) else { continue };
            for branch in Branch::ALL {
                let found = slider.transfers(&angles, branch);
                for (i, angle) in angles.iter().enumerate() {
                    prop_assert_eq!(found.valid[i],
                        found.position[i].is_finite() && found.ratio[i].is_finite() && found.curvature[i].is_finite());
                    prop_assert!(slider.pose(*angle, branch).is_ok() || !found.valid[i]);
                    for pose in slider.driven_by_slide(*angle).iter().flatten() {
                        prop_assert!(pose.crank_angle.is_finite());
                    }
                    let _ = slider.motion(*angle, branch, crank, rod);
                }
                let _ = (slider.slide_travel(branch), slider.crank_travel(), slider.dead_centers());
            }
        }
    }
}
