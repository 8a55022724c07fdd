//! The gradient and the field strength of the block over its whole domain.

use std::array::from_fn;
use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::MU_0;

use crate::magnet::{block, clear_places, on_edge, places, position_rounding, scale, sizes};
use crate::strategies::{anything, decades, polarizations, poses};

/// Share of |T| |J| that two evaluations of one gradient may differ by: each is off by up to 2e-15 (the worst of 30,000
/// points against high precision). |T| |J| and not |G|, because an oblique polarization has places where its parts
/// cancel.
const ROUNDING: f64 = 50.0 * f64::EPSILON;

/// |T| |J|: how large the parts are that the gradient T J is summed from.
fn gradient_scale(block: &Block, point: &Point3<f64>) -> f64 {
    let squares = from_fn::<f64, 3, _>(|axis| {
        let mut unit = Vector3::zeros();
        unit[axis] = 1.0;
        let part = Block::new(block.size(), unit, block.pose()).unwrap();
        part.gradient_at(point).unwrap().norm_squared()
    });
    squares.iter().sum::<f64>().sqrt() * block.polarization().norm()
}

/// The gradient by differences of the field over `step` (fourth order).
fn differences(block: &Block, point: &Point3<f64>, step: f64) -> Matrix3<f64> {
    let columns = from_fn::<_, 3, _>(|axis| {
        let difference = |step: f64| {
            let (mut up, mut down) = (*point, *point);
            up[axis] += step;
            down[axis] -= step;
            let field = |point| block.field_at(&point).unwrap();
            (field(up) - field(down)) / (up[axis] - down[axis])
        };
        (difference(step) * 4.0 - difference(2.0 * step)) / 3.0
    });
    Matrix3::from_columns(&columns)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Outside as well as inside: neither currents nor, with J uniform, poles in the volume.
    #[test]
    fn curl_and_divergence_vanish(((size, point, _), j, pose) in (clear_places(), polarizations(), poses())) {
        let block = Block::new(size, j, pose).unwrap();
        let point = pose * point;
        let g = block.gradient_at(&point).unwrap();
        prop_assert_eq!(g, g.transpose());
        prop_assert!(g.trace().abs() <= ROUNDING * gradient_scale(&block, &point));
    }

    /// The next term of the difference is that of h^4, 4 f^(5) h^4 / 5!, and f^(5) of a pole at the distance d is up to
    /// 720 f / d^5: 4e-10 of |M| |J| / d. Rounding of the field and of the step over 1/400 of d adds less than 1e-10.
    #[test]
    fn it_is_the_derivative_of_the_field(((size, point, distance), j) in (clear_places(), polarizations())) {
        let block = block(size, j);
        let distance = distance.abs();
        let slope = differences(&block, &point, distance / 400.0);
        let g = block.gradient_at(&point).unwrap();
        prop_assert!((g - slope).norm() <= 3e-9 * scale(&block, &point) / distance);
    }

    #[test]
    fn of_a_block_twice_as_large_it_is_half((size_and_point, j, factor) in (places(), polarizations(), 0.5..2.0_f64)) {
        let (size, point) = size_and_point;
        // A power of two rounds nothing; any other factor moves the point by a bit, which next to a face matters.
        let factor = 2_f64.powf(factor.log2().round());
        let larger = size * factor;
        prop_assume!(larger.min() >= 1e-5 && larger.max() <= 1.0);
        let g = block(size, j).gradient_at(&point).unwrap();
        let scaled = block(larger, j).gradient_at(&(point * factor)).unwrap();
        prop_assert_eq!(scaled * factor, g);
    }

    /// The steepest source, a pole, changes the gradient by 3 of its parts over the distance.
    #[test]
    fn it_turns_with_the_block(((size, point, distance), j, pose) in (clear_places(), polarizations(), poses())) {
        let still = block(size, j);
        let turned = Block::new(size, j, pose).unwrap();
        let moved_point = pose * point;
        let turn = pose.rotation.to_rotation_matrix();
        let g = turn * still.gradient_at(&point).unwrap() * turn.inverse();
        let steepest = 10.0 * scale(&still, &point) / distance.abs();
        let tolerance = ROUNDING * gradient_scale(&still, &point) + position_rounding(&pose, &moved_point,
            distance) * steepest;
        prop_assert!((turned.gradient_at(&moved_point).unwrap() - g).norm() <= tolerance);
    }

    /// A body with three mirror planes has a dipole and then an octupole. Half the second derivative of the dipole's
    /// gradient, at most 7.4 |J| V / 4 pi r^4 and falling with the fourth power, times the mean square of the lengths
    /// inside, is at most 25 (|half| / r)^2 of |J| V / 4 pi r^4; the terms after it add less than half as much.
    #[test]
    fn far_away_it_is_that_of_a_dipole(
        (size, j) in (sizes(), polarizations()),
        (direction, reach) in (prop::array::uniform3(-1.0..1.0_f64), decades(0.5..=6.0)),
    ) {
        let direction = Vector3::from(direction);
        prop_assume!(direction.norm() > 1e-3);
        let half = 0.5 * size.norm();
        let n = direction.normalize();
        let distance = reach * half;
        let unit = size.product() / (4.0 * PI * distance.powi(4));
        let (along, outer) = (j.dot(&n), n * n.transpose());
        let mixed = n * j.transpose() + j * n.transpose();
        let dipole = ((Matrix3::identity() - outer * 5.0) * along + mixed) * (3.0 * unit);
        let g = block(size, j).gradient_at(&Point3::from(n * distance)).unwrap();
        let tolerance = 37.5 / reach.powi(2) + 30.0 * ROUNDING;
        prop_assert!((g - dipole).norm() <= tolerance * unit * j.norm());
    }

    #[test]
    fn one_point_and_many_agree(
        (size, j) in (sizes(), polarizations()),
        shares in prop::collection::vec(prop::array::uniform3(-1.0..=1.0_f64), 0..150),
        reach in decades(-0.5..=3.0),
    ) {
        let block = block(size, j);
        let point = |(i, share): (usize, [f64; 3])| {
            let mut point = Point3::from(size.component_mul(&Vector3::from(share)) * reach);
            // Some on an edge or on the extension of one.
            if i % 7 == 0 {
                (point.x, point.y) = (0.5 * size.x, -0.5 * size.y);
            }
            point
        };
        let points: Vec<_> = shares.into_iter().enumerate().map(point).collect();
        let many = block.gradients_at(&points);
        prop_assert_eq!((many.values.len(), many.valid.len()), (points.len(), points.len()));
        for (i, point) in points.iter().enumerate() {
            let edge = on_edge(&size, &point.coords);
            prop_assert_eq!(many.valid[i], !edge);
            match block.gradient_at(point) {
                Ok(one) => prop_assert!((many.values[i] - one).norm() <= ROUNDING * gradient_scale(&block, point)),
                Err(error) => {
                    let Point3 { coords } = *point;
                    prop_assert_eq!(error, Error::OnEdge { x: coords.x, y: coords.y, z: coords.z });
                    prop_assert!(edge && many.values[i].iter().all(|part| part.is_nan()));
                }
            }
        }
    }

    #[test]
    fn points_that_are_none_are_marked(
        (size, j, pose) in (sizes(), polarizations(), prop_oneof![Just(Isometry3::identity()), poses()]),
        points in prop::collection::vec(prop::array::uniform3(anything()), 0..100),
    ) {
        let block = Block::new(size, j, pose).unwrap();
        let points: Vec<_> = points.into_iter().map(Point3::from).collect();
        let many = block.gradients_at(&points);
        for (i, point) in points.iter().enumerate() {
            prop_assert_eq!(block.gradient_at(point).is_ok(), many.valid[i]);
            prop_assert_eq!(block.h_at(point).is_ok(), many.valid[i]);
            let wrong = if many.valid[i] { f64::is_nan } else { f64::is_finite };
            prop_assert!(!many.values[i].iter().any(|part| wrong(*part)));
        }
    }

    /// Twice the rounding of the field, which `magnet.rs` explains, and that of the sum.
    #[test]
    fn b_is_mu0_h_plus_j(((size, point), j, pose) in (places(), polarizations(),
        prop_oneof![Just(Isometry3::identity()), poses()])) {
        let block = Block::new(size, j, pose).unwrap();
        let point = pose * point;
        // A pose may round a point onto an edge.
        prop_assume!(block.field_at(&point).is_ok());
        let inside = block.polarization_at(&point).unwrap();
        let sum = block.h_at(&point).unwrap() * MU_0 + inside;
        let b = block.field_at(&point).unwrap();
        prop_assert!((b - sum).norm() <= 4.0 * f64::EPSILON * (b.norm() + j.norm()));
        prop_assert!(inside == Vector3::zeros() || inside == pose.rotation * j);
        let distance = block.distance(&point).unwrap();
        let rounding = 8.0 * f64::EPSILON * (point.coords.norm() + pose.translation.vector.norm());
        if distance.abs() > rounding {
            prop_assert_eq!(inside != Vector3::zeros(), distance < 0.0 && j != Vector3::zeros());
        }
    }
}
