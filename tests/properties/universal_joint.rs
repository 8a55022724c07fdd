//! The universal joint against a composition of rotations, and garbage.

use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;
use yokewright::linkage::UniversalJoint;
use yokewright::units::DEG;

use crate::strategies::anything;

/// An angle found from two vectors of products of sines: some ten roundings, the worse as 1 / cos(bend).
const ROUNDING: f64 = 20.0 * f64::EPSILON;

fn bends() -> impl Strategy<Value = f64> {
    (0.0..=85.0_f64).prop_map(|bend| bend * DEG)
}

/// Angle of the output fork's pins, which are square to its shaft and to the pins of the input fork; input shaft along
/// z, output shaft tilted by the bend about y.
fn by_rotations(bend: f64, fork: f64) -> f64 {
    let tilt = Rotation3::from_axis_angle(&Vector3::y_axis(), bend);
    let shaft = tilt * Vector3::z();
    let pins = Rotation3::from_axis_angle(&Vector3::z_axis(), fork) * Vector3::x();
    // At fork zero the output pins lie along y.
    let across = tilt.inverse() * shaft.cross(&pins);
    (-across.x).atan2(across.y)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    #[test]
    fn the_output_is_where_rotations_put_it(bend in bends(), phase in -3.0..3.0_f64, angle in -3.0..3.0_f64) {
        let joint = UniversalJoint::new(bend, phase).unwrap();
        let out = joint.transfer(angle).unwrap().angle;
        let expected = by_rotations(bend, phase + angle) - by_rotations(bend, phase);
        let turns = ((out - expected) / std::f64::consts::TAU).round();
        prop_assert!((out - expected - turns * std::f64::consts::TAU).abs() <= 4.0 * ROUNDING / bend.cos());
        // Never more than a right angle away from the input: no jump by a turn.
        prop_assert!((out - angle).abs() < std::f64::consts::PI);
    }

    /// Central differences of second order over 1e-5 rad: the third derivative is at most about 6 / cos^4 b.
    #[test]
    fn derivatives_are_derivatives(bend in (0.0..=60.0_f64).prop_map(|bend| bend * DEG), phase in -3.0..3.0_f64,
        angle in -3.0..3.0_f64) {
        let joint = UniversalJoint::new(bend, phase).unwrap();
        let step = 1e-5;
        let [before, here, after] = [angle - step, angle, angle + step].map(|angle| joint.transfer(angle).unwrap());
        let tolerance = 1e-8 / bend.cos().powi(4);
        prop_assert!(((after.angle - before.angle) / (2.0 * step) - here.ratio).abs() <= tolerance);
        prop_assert!(((after.ratio - before.ratio) / (2.0 * step) - here.curvature).abs() <= tolerance);
    }

    #[test]
    fn extremes_are_extremes(bend in bends(), fork in -3.0..3.0_f64) {
        let joint = UniversalJoint::new(bend, 0.0).unwrap();
        let [least, greatest] = joint.ratio_range();
        let here = joint.transfer(fork).unwrap();
        let slack = 1.0 + 8.0 * f64::EPSILON / bend.cos();
        prop_assert!(here.ratio >= least / slack && here.ratio <= greatest * slack);
        prop_assert!((joint.transfer(0.0).unwrap().ratio - greatest).abs() <= (slack - 1.0) * greatest / bend.cos());
        let unity = joint.transfer(joint.unit_ratio_angle()).unwrap().ratio;
        prop_assert!((unity - 1.0).abs() <= ROUNDING / bend.cos());
        let (at, curvature) = joint.max_curvature();
        prop_assert!(here.curvature.abs() <= curvature * (1.0 + 1e-9));
        prop_assert!((joint.transfer(at).unwrap().curvature + curvature).abs() <= 1e-9 * curvature);
    }

    /// Two joints in a row, equal bends and forks in line, turn the third shaft exactly as the first.
    #[test]
    fn two_joints_cancel(bend in bends(), angle in -3.0..3.0_f64) {
        let first = UniversalJoint::new(bend, 0.0).unwrap();
        // The middle shaft's other fork stands at a right angle to the plane when its first fork lies in it.
        let second = UniversalJoint::new(bend, 90.0 * DEG).unwrap();
        let middle = first.transfer(angle).unwrap();
        let last = second.transfer(middle.angle).unwrap();
        prop_assert!((last.angle - angle).abs() <= 4.0 * ROUNDING / bend.cos().powi(2));
        prop_assert!((middle.ratio * last.ratio - 1.0).abs() <= 4.0 * ROUNDING / bend.cos().powi(4));
    }

    #[test]
    fn a_joint_of_anything_is_a_joint_or_an_error(values in prop::array::uniform3(anything())) {
        let [bend, phase, angle] = values;
        for (bend, phase) in [(bend, phase), (0.5, phase), (bend, 0.0), (0.5, 0.0)] {
            let Ok(joint) = UniversalJoint::new(bend, phase) else { continue };
            let many = joint.transfers(&[angle, 0.3]);
            match joint.transfer(angle) {
                Ok(out) => {
                    prop_assert!(out.angle.is_finite() && out.ratio > 0.0 && out.curvature.is_finite());
                    prop_assert_eq!((many.angles[0], many.valid[0]), (out.angle, true));
                }
                Err(_) => prop_assert!(many.angles[0].is_nan() && many.ratios[0].is_nan()
                    && many.curvatures[0].is_nan() && !many.valid[0]),
            }
            prop_assert!(many.valid[1]);
        }
    }
}
