//! Means over active areas of any shape, size and pose.

use nalgebra::{Isometry3, Vector3};
use proptest::prelude::*;
use yokewright::magnet::{ActiveArea, Block, MagnetGroup, Sphere};

use crate::strategies::{anything, decades, polarizations, poses, rotations};

/// A sphere of unit radius times a tenth of a meter, polarized along z.
const RADIUS: f64 = 0.05;

fn sphere(pose: Isometry3<f64>) -> MagnetGroup {
    Sphere::new(2.0 * RADIUS, Vector3::z(), pose)
        .unwrap()
        .into()
}

/// Mean B_z over a rectangle at height z across the axis of the sphere, from the line integral of the vector potential
/// of a dipole, A = C (-y, x, 0) / r^3 with C = J R^3 / 3, around it.
fn over_rectangle(a: f64, b: f64, z: f64) -> f64 {
    let c = RADIUS.powi(3) / 3.0;
    let diagonal = (a * a + b * b + z * z).sqrt();
    c / diagonal * (1.0 / (a * a + z * z) + 1.0 / (b * b + z * z))
}

/// The same over a disc of radius a: 2 A / a.
fn over_disc(a: f64, z: f64) -> f64 {
    2.0 * RADIUS.powi(3) / 3.0 / (a * a + z * z).powf(1.5)
}

/// Mean |B| of that dipole over a rectangle, from 64 x 64 middles: to a few 1e-4, as B hardly changes from one to the
/// next.
fn strength_over_rectangle(a: f64, b: f64, z: f64) -> f64 {
    let middles = |half: f64| (0..64).map(move |i| half * ((f64::from(i) + 0.5) / 32.0 - 1.0));
    let sum: f64 = middles(a)
        .flat_map(|x| middles(b).map(move |y| strength(x * x + y * y, z)))
        .sum();
    sum / (64.0 * 64.0)
}

/// The same over a disc, from 4096 rings of equal area.
fn strength_over_disc(a: f64, z: f64) -> f64 {
    let rings = (0..4096).map(|i| strength(a * a * (f64::from(i) + 0.5) / 4096.0, z));
    rings.sum::<f64>() / 4096.0
}

/// |B| = C sqrt(1 + 3 cos^2) / r^3, from the square of the distance from the axis.
fn strength(across: f64, z: f64) -> f64 {
    let square = across + z * z;
    RADIUS.powi(3) / 3.0 * (1.0 + 3.0 * z * z / square).sqrt() / square.powf(1.5)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// By Stokes' theorem. What the estimate must cover, besides what is left of the orders, is the rounding of the
    /// field and of the pose.
    #[test]
    fn the_flux_of_a_dipole(
        (width, height) in (decades(-3.0..=-1.0), decades(-3.0..=-1.0)),
        gap in 0.01..1.0_f64,
        tolerance in decades(-9.0..=-2.0),
        pose in poses(),
    ) {
        let (width, height) = (width.min(0.1), height.min(0.1));
        let z = RADIUS + gap;
        let place = pose * Isometry3::translation(0.0, 0.0, z);
        let rounding = 1e-13 * (1.0 + 10.0 / z);
        let magnets = sphere(pose);
        let rectangle = ActiveArea::rectangle(width, height, place).unwrap();
        let disc = ActiveArea::disc(width, place).unwrap();
        let (a, b) = (0.5 * width, 0.5 * height);
        for (area, exact, strength) in [
            (rectangle, over_rectangle(a, b, z), strength_over_rectangle(a, b, z)),
            (disc, over_disc(a, z), strength_over_disc(a, z)),
        ] {
            let mean = area.mean_field(&magnets, tolerance).unwrap();
            let b = (pose.rotation * Vector3::z()).dot(&mean.value);
            prop_assert!((b - exact).abs() <= mean.error_estimate + rounding * exact);
            // The promise is a share of the mean of |B|, which over a wide area is more than that of B_z.
            prop_assert!(mean.error_estimate <= tolerance * 1.01 * strength + rounding * exact);
            // Symmetry leaves nothing across.
            prop_assert!(mean.value.cross(&(pose.rotation * Vector3::z())).norm() <= 2.0 * rounding * exact);
        }
    }

    /// Halves and quarters of a rectangle average to the whole, whatever the direction.
    #[test]
    fn the_parts_average_to_the_whole(
        j in polarizations(),
        rotation in rotations(),
        (x, y, z) in (-0.02..0.02_f64, -0.02..0.02_f64, 0.02..0.05_f64),
    ) {
        let magnet = Block::new(Vector3::new(0.02, 0.01, 0.004), j, Isometry3::identity()).unwrap();
        let whole = Isometry3::from_parts(Vector3::new(x, y, z).into(), rotation);
        let side = 0.008;
        let mean = |side: f64, pose| {
            let area = ActiveArea::rectangle(side, side, pose).unwrap();
            area.mean_field(&magnet, 1e-10).unwrap().value
        };
        let mut sum = Vector3::zeros();
        for (a, b) in [(-0.25, -0.25), (-0.25, 0.25), (0.25, -0.25), (0.25, 0.25)] {
            sum += mean(0.5 * side, whole * Isometry3::translation(a * side, b * side, 0.0)) * 0.25;
        }
        prop_assert!((sum - mean(side, whole)).norm() <= 1e-9 * (sum.norm() + j.norm() * 1e-3));
    }

    #[test]
    fn an_area_of_anything_is_a_mean_or_an_error(
        measures in prop::array::uniform2(anything()),
        tolerance in prop_oneof![anything(), decades(-13.0..=0.0)],
        pose in prop_oneof![poses(), prop::array::uniform3(anything()).prop_map(|at| Isometry3::translation(at[0],
            at[1], at[2]))],
    ) {
        let magnets = MagnetGroup::from(Block::new(Vector3::new(0.02, 0.01, 0.004), Vector3::z(),
            Isometry3::identity()).unwrap());
        for area in [
            ActiveArea::rectangle(measures[0], measures[1], pose),
            ActiveArea::disc(measures[0], pose),
            ActiveArea::disc(0.005, pose),
        ] {
            let mean = area.and_then(|area| area.mean_field(&magnets, tolerance));
            prop_assert!(mean.is_err() || mean.unwrap().value.iter().all(|part| part.is_finite()));
        }
    }

    /// Wherever it lies, an area that cuts the ball is refused, and one that keeps clear of its surface is not.
    #[test]
    fn what_cuts_is_refused(
        (at, rotation) in (prop::array::uniform3(-0.08..0.08_f64), rotations()),
        (width, height) in (0.002..0.1_f64, 0.002..0.1_f64),
    ) {
        let pose = Isometry3::from_parts(Vector3::from(at).into(), rotation);
        let area = ActiveArea::rectangle(width, height, pose).unwrap();
        // Distances from the center of the ball: the nearest and the farthest point of the rectangle.
        let center = pose.inverse_transform_point(&nalgebra::Point3::origin());
        let beyond = Vector3::new(center.x.abs() - 0.5 * width, center.y.abs() - 0.5 * height, 0.0);
        let nearest = beyond.sup(&Vector3::zeros()).norm().hypot(center.z);
        let farthest = (center.x.abs() + 0.5 * width).hypot(center.y.abs() + 0.5 * height).hypot(center.z);
        let refused = matches!(area.mean_field(&sphere(Isometry3::identity()), 0.1),
            Err(yokewright::Error::AreaCut { .. }));
        // A cut shallower than a hundredth of the area may escape.
        let shallow = 0.01 * width.hypot(height);
        if nearest < RADIUS - shallow && farthest > RADIUS + shallow {
            prop_assert!(refused);
        }
        if nearest > RADIUS || farthest < RADIUS {
            prop_assert!(!refused);
        }
    }
}
