use nalgebra::vector;

use super::super::charge;
use super::super::pair::Pair;
use super::*;
use crate::magnet::{Block, Cylinder, Ring, Sphere};
use crate::units::MM;

fn others() -> [Magnet; 4] {
    let j = vector![0.3, -0.5, 1.1];
    let pose = Isometry3::identity();
    [
        Block::new(vector![10.0, 8.0, 4.0] * MM, j, pose)
            .unwrap()
            .into(),
        Cylinder::new(9.0 * MM, 5.0 * MM, j, pose).unwrap().into(),
        Ring::new(9.0 * MM, 4.0 * MM, 5.0 * MM, j, pose)
            .unwrap()
            .into(),
        Sphere::new(6.0 * MM, j, pose).unwrap().into(),
    ]
}

/// With air between them, so that the integrals are smooth.
fn relative() -> Isometry3<f64> {
    Isometry3::new(vector![1.0, -1.5, 9.5] * MM, vector![0.4, -0.7, 0.2])
}

fn ball() -> Magnet {
    let pose = Isometry3::identity();
    let j = vector![-0.4, 0.9, 0.6];
    Sphere::new(4.0 * MM, j, pose).unwrap().into()
}

/// The same by the charge on the surface of the ball, to 1e-9 of force and torque.
#[test]
fn a_ball_is_pulled_as_its_charge_is() {
    for source in others() {
        let action = interaction(&source, &ball(), &relative()).unwrap();
        let pair = Pair {
            source,
            target: ball(),
            relative: relative(),
            slack: 0.0,
        };
        let charge = charge::action(&pair, 1e-9).unwrap();
        let energy = charge::energy(&pair, 1e-9).unwrap();
        assert!((action.force - charge.force).norm() <= 2e-9 * charge.force.norm());
        assert!((action.torque - charge.torque).norm() <= 2e-9 * charge.torque.norm());
        assert!((action.energy - energy).abs() <= 2e-9 * energy.abs());
    }
}

/// The other way round: the ball's field on the charge of the others.
#[test]
fn a_ball_pulls_as_its_field_does() {
    for target in others() {
        let action = interaction(&ball(), &target, &relative()).unwrap();
        let pair = Pair {
            source: ball(),
            target,
            relative: relative(),
            slack: 0.0,
        };
        let charge = charge::action(&pair, 1e-9).unwrap();
        assert!((action.force - charge.force).norm() <= 2e-9 * charge.force.norm());
        assert!((action.torque - charge.torque).norm() <= 2e-9 * charge.torque.norm());
    }
}

#[test]
fn without_a_ball_there_is_none() {
    let [block, cylinder, ..] = others();
    assert!(interaction(&block, &cylinder, &relative()).is_none());
}
