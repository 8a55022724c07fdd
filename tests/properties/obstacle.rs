//! Distances from obstacles against samples of the line and of the body. Lines are sticks that do not move.

use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;
use yokewright::linkage::{Gimbal, GimbalSpec, Obstacle, ObstacleShape, Pivot};

use crate::strategies::{anything, obstacles, points};

/// Some ten roundings of coordinates of up to 3 m.
const ROUNDING: f64 = 1e-14;

/// A bare line as a stick; its distance is that at neutral.
fn line(from: Point3<f64>, to: Point3<f64>) -> Gimbal {
    Gimbal::new(GimbalSpec {
        outer: Pivot::new(Point3::origin(), Vector3::y()).unwrap(),
        inner: Pivot::new(Point3::origin(), Vector3::x()).unwrap(),
        stick: vec![from, to],
        stick_radius: 0.0,
        grip_radius: 0.0,
    })
    .unwrap()
}

/// A point of the body for three shares in -1..1.
fn inside(obstacle: &Obstacle, [u, v, w]: [f64; 3]) -> Point3<f64> {
    match obstacle.shape() {
        ObstacleShape::Block { size } => {
            obstacle.pose() * Point3::new(0.5 * u * size.x, 0.5 * v * size.y, 0.5 * w * size.z)
        }
        ObstacleShape::Cylinder { diameter, length } => {
            let (sin, cos) = (std::f64::consts::PI * u).sin_cos();
            let r = 0.5 * diameter * v.abs();
            obstacle.pose() * Point3::new(r * cos, r * sin, 0.5 * length * w)
        }
        ObstacleShape::Capsule { from, to, radius } => {
            let center = from + (to - from) * (0.5 + 0.5 * u);
            let (sin, cos) = (std::f64::consts::PI * v).sin_cos();
            let across = (1.0 - w * w).sqrt();
            center + radius * Vector3::new(across * cos, across * sin, w)
        }
        _ => unreachable!(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// A distance changes by no more than one moves: between samples by half their spacing.
    #[test]
    fn the_nearest_point_of_a_line_beats_samples(obstacle in obstacles(), from in points(), to in points()) {
        let near = line(from, to).clearance_at(0.0, 0.0, std::slice::from_ref(&obstacle)).unwrap();
        let sampled = (0..=2000)
            .map(|i| obstacle.distance(&(from + (to - from) * (f64::from(i) / 2000.0))).unwrap())
            .fold(f64::INFINITY, f64::min);
        prop_assert!(near.distance <= sampled + ROUNDING);
        prop_assert!(near.distance >= sampled - (to - from).norm() / 4000.0 - ROUNDING);
        // The two points named are that far apart; for a capsule to its center line.
        let radius = match obstacle.shape() {
            ObstacleShape::Capsule { radius, .. } => radius,
            _ => 0.0,
        };
        prop_assert!(((near.stick_point - near.obstacle_point).norm() - radius - near.distance).abs() <= ROUNDING);
        prop_assert!(obstacle.distance(&near.obstacle_point).unwrap() <= ROUNDING);
    }

    #[test]
    fn no_point_of_the_body_is_nearer(obstacle in obstacles(), from in points(), to in points(),
        shares in prop::collection::vec((0.0..=1.0_f64, prop::array::uniform3(-1.0..=1.0_f64)), 100)) {
        let near = line(from, to).clearance_at(0.0, 0.0, std::slice::from_ref(&obstacle)).unwrap();
        for (along, within) in shares {
            let gap = (from + (to - from) * along) - inside(&obstacle, within);
            prop_assert!(near.distance <= gap.norm() + ROUNDING);
        }
    }

    #[test]
    fn inside_is_not_outside(obstacle in obstacles(), within in prop::array::uniform3(-1.0..=1.0_f64)) {
        prop_assert!(obstacle.distance(&inside(&obstacle, within)).unwrap() <= ROUNDING);
    }

    /// Around the outside, where the nearest point is known.
    #[test]
    fn distances_outside_a_block_and_a_cylinder(point in points(), size in prop::array::uniform3(0.01..0.5_f64)) {
        let block = Obstacle::block(Vector3::from(size), Isometry3::identity()).unwrap();
        let over: f64 = (0..3).map(|i| (point[i].abs() - 0.5 * size[i]).max(0.0).powi(2)).sum();
        prop_assert!((block.distance(&point).unwrap() - over.sqrt()).abs() <= ROUNDING);
        let cylinder = Obstacle::cylinder(size[0], size[1], Isometry3::identity()).unwrap();
        let beside = (point.x.hypot(point.y) - 0.5 * size[0]).max(0.0);
        let above = (point.z.abs() - 0.5 * size[1]).max(0.0);
        prop_assert!((cylinder.distance(&point).unwrap() - beside.hypot(above)).abs() <= ROUNDING);
    }

    #[test]
    fn an_obstacle_of_anything_is_an_obstacle_or_an_error(values in prop::array::uniform7(anything()),
        point in prop::array::uniform3(anything())) {
        let [a, b, c, x, y, z, r] = values;
        let pose = Isometry3::translation(x, y, z);
        let made = [
            Obstacle::block(Vector3::new(a, b, c), pose),
            Obstacle::block(Vector3::repeat(0.1), pose),
            Obstacle::cylinder(a, b, Isometry3::identity()),
            Obstacle::capsule(Point3::new(a, b, c), Point3::new(x, y, z), r),
            Obstacle::capsule(Point3::origin(), Point3::origin(), r),
        ];
        for obstacle in made.into_iter().flatten() {
            match obstacle.distance(&Point3::from(point)) {
                Ok(distance) => prop_assert!(distance.is_finite()),
                Err(_) => prop_assert!(point.iter().any(|x| x.is_nan() || x.abs() > 10.0)),
            }
        }
    }
}
