//! The sphere over its whole domain: diameters from 0.01 mm to 1 m, any polarization, points from the center to a
//! million times the size.

use std::array::from_fn;

use nalgebra::{Isometry3, Matrix3, Point3, Quaternion, Translation3, Unit, Vector3};
use proptest::prelude::*;
use yokewright::magnet::{FieldSource, Sphere};
use yokewright::units::MU_0;

use crate::strategies::{anything, decades, polarizations, poses};

/// Share of R^3 / r^3 |J| (inside of |J|), and of the same over r for the gradient, that two evaluations may differ by:
/// some ten roundings each.
const ROUNDING: f64 = 20.0 * f64::EPSILON;

fn sphere(diameter: f64, polarization: Vector3<f64>) -> Sphere {
    Sphere::new(diameter, polarization, Isometry3::identity()).unwrap()
}

fn diameters() -> impl Strategy<Value = f64> {
    decades(-5.0..=0.0).prop_map(|diameter| diameter.clamp(1e-5, 1.0))
}

fn directions() -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-1.0..1.0_f64)
        .prop_map(Vector3::from)
        .prop_filter("a direction", |v| v.norm() > 1e-3)
        .prop_map(|v| v.normalize())
}

/// In shares of the radius: inside, next to the surface on either side, far away.
fn reaches() -> impl Strategy<Value = f64> {
    prop_oneof![
        0.0..1.0_f64,
        decades(-12.0..=0.0).prop_map(|gap| 1.0 + gap),
        decades(-12.0..=0.0).prop_map(|gap| 1.0 - gap),
        decades(0.0..=6.0),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// B = grad x A with the vector potential A = R^3 J x r / (3 r^3) of a dipole, by differences (second order, over
    /// 1e-4 of r: 1e-7 of B, whose third derivative is at most 60 B / r^3).
    #[test]
    fn outside_it_is_the_curl_of_the_vector_potential((diameter, j, n, reach) in (diameters(), polarizations(),
        directions(), decades(0.01..=6.0))) {
        let radius = 0.5 * diameter;
        let (r, step) = (n * (radius * reach), 1e-4 * radius * reach);
        let potential = |r: Vector3<f64>| j.cross(&r) * (radius.powi(3) / (3.0 * r.norm().powi(3)));
        let slopes = from_fn::<_, 3, _>(|axis| {
            let mut way = Vector3::zeros();
            way[axis] = step;
            (potential(r + way) - potential(r - way)) / (2.0 * step)
        });
        let [dx, dy, dz] = slopes;
        let curl = Vector3::new(dy.z - dz.y, dz.x - dx.z, dx.y - dy.x);
        let b = sphere(diameter, j).field_at(&r.into()).unwrap();
        prop_assert!((b - curl).norm() <= 2e-7 * j.norm() / reach.powi(3));
    }

    /// The third derivative of a dipole field is at most 60 of it over r^3, so that second-order differences over 1e-4
    /// of r leave 1e-7.
    #[test]
    fn the_gradient_is_the_derivative_of_the_field((diameter, j, n, reach) in (diameters(), polarizations(),
        directions(), decades(0.01..=6.0))) {
        let sphere = sphere(diameter, j);
        let r = 0.5 * diameter * reach;
        let point = Point3::from(n * r);
        let step = 1e-4 * r;
        let columns = from_fn::<_, 3, _>(|axis| {
            let mut way = Vector3::zeros();
            way[axis] = step;
            let field = |point| sphere.field_at(&point).unwrap();
            (field(point + way) - field(point - way)) / (2.0 * step)
        });
        let g = sphere.gradient_at(&point).unwrap();
        let unit = j.norm() / (reach.powi(3) * r);
        prop_assert!((g - Matrix3::from_columns(&columns)).norm() <= 2e-7 * unit);
        prop_assert_eq!(g, g.transpose());
        prop_assert!(g.trace().abs() <= ROUNDING * unit);
    }

    /// Across the surface the normal component of B and the tangential ones of H are continuous.
    #[test]
    fn across_the_surface((diameter, j, n) in (diameters(), polarizations(), directions())) {
        let sphere = sphere(diameter, j);
        let at = |share: f64| Point3::from(n * (0.5 * diameter * share));
        let (inner, outer) = (at(1.0 - 1e-9), at(1.0 + 1e-9));
        let tolerance = 1e-8 * j.norm();
        let jump = sphere.field_at(&outer).unwrap() - sphere.field_at(&inner).unwrap();
        prop_assert!(jump.dot(&n).abs() <= tolerance);
        let jump = (sphere.h_at(&outer).unwrap() - sphere.h_at(&inner).unwrap()) * MU_0;
        prop_assert!(jump.cross(&n).norm() <= tolerance);
        prop_assert!((jump.dot(&n) - j.dot(&n)).abs() <= tolerance);
    }

    #[test]
    fn b_is_mu0_h_plus_j((diameter, j, n, reach, pose) in (diameters(), polarizations(), directions(), reaches(),
        poses())) {
        let sphere = Sphere::new(diameter, j, pose).unwrap();
        let point = pose * Point3::from(n * (0.5 * diameter * reach));
        let inside = sphere.polarization_at(&point).unwrap();
        let b = sphere.field_at(&point).unwrap();
        let sum = sphere.h_at(&point).unwrap() * MU_0 + inside;
        prop_assert!((b - sum).norm() <= 4.0 * f64::EPSILON * j.norm());
        // A pose rounds the position.
        let rounding = 8.0 * f64::EPSILON * (point.coords.norm() + pose.translation.vector.norm());
        if (reach - 1.0).abs() * 0.5 * diameter > rounding {
            let expected = if reach < 1.0 { pose.rotation * j } else { Vector3::zeros() };
            prop_assert_eq!(inside, expected);
            let is_inside = sphere.distance(&point).unwrap() < 0.0;
            prop_assert_eq!(is_inside, reach < 1.0);
            if is_inside {
                prop_assert_eq!(sphere.gradient_at(&point).unwrap(), Matrix3::zeros());
            }
        }
    }

    #[test]
    fn one_point_and_many_agree((diameter, j, pose) in (diameters(), polarizations(), poses()),
        places in prop::collection::vec((directions(), reaches()), 0..100)) {
        let sphere = Sphere::new(diameter, j, pose).unwrap();
        let radius = 0.5 * diameter;
        let points: Vec<_> = places.iter().map(|(n, reach)| pose * Point3::from(n * (radius * reach))).collect();
        let (fields, gradients) = (sphere.fields_at(&points), sphere.gradients_at(&points));
        for (i, point) in points.iter().enumerate() {
            prop_assert!(fields.valid[i] && gradients.valid[i]);
            let r = (point.coords - pose.translation.vector).norm().max(radius);
            let size = (radius / r).powi(3) * j.norm();
            prop_assert!((fields.values[i] - sphere.field_at(point).unwrap()).norm() <= ROUNDING * size);
            prop_assert!((gradients.values[i] - sphere.gradient_at(point).unwrap())
                .norm() <= ROUNDING * 4.0 * size / r);
        }
    }

    #[test]
    fn the_field_turns_with_the_sphere((diameter, j, n, reach, pose) in (diameters(), polarizations(), directions(),
        decades(0.1..=6.0), poses())) {
        let still = sphere(diameter, j);
        let r = 0.5 * diameter * reach;
        let point = Point3::from(n * r);
        let moved = still.moved(&pose).unwrap();
        prop_assert_eq!(&moved, &Sphere::new(diameter, j, pose).unwrap());
        let moved_point = pose * point;
        // By a few units in the last place of the lengths involved; a dipole's field changes by three of it over r.
        let rounding = 8.0 * f64::EPSILON * (moved_point.coords.norm() + pose.translation.vector.norm()) / r;
        let unit = j.norm() / reach.powi(3);
        let b = pose.rotation * still.field_at(&point).unwrap();
        prop_assert!((moved.field_at(&moved_point).unwrap() - b).norm() <= (ROUNDING + 4.0 * rounding) * unit);
        let turn = pose.rotation.to_rotation_matrix();
        let g = turn * still.gradient_at(&point).unwrap() * turn.inverse();
        let error = (moved.gradient_at(&moved_point).unwrap() - g).norm();
        prop_assert!(error <= (4.0 * ROUNDING + 20.0 * rounding) * unit / r);
    }

    #[test]
    fn a_sphere_of_anything_is_a_sphere_or_an_error(
        values in prop::array::uniform4(anything()),
        pose in prop::array::uniform7(anything()),
        points in prop::collection::vec(prop::array::uniform3(anything()), 0..20),
    ) {
        let [diameter, jx, jy, jz] = values;
        let [x, y, z, w, i, j, k] = pose;
        let rotation = Unit::new_unchecked(Quaternion::new(w, i, j, k));
        for pose in [Isometry3::from_parts(Translation3::new(x, y, z), rotation), Isometry3::identity()] {
            for diameter in [diameter, 0.01] {
                let Ok(sphere) = Sphere::new(diameter, Vector3::new(jx, jy, jz), pose) else { continue };
                let points: Vec<_> = points.iter().map(|point| Point3::from(*point)).collect();
                let (fields, gradients) = (sphere.fields_at(&points), sphere.gradients_at(&points));
                for (i, point) in points.iter().enumerate() {
                    let one = sphere.field_at(point);
                    prop_assert_eq!(one.is_ok(), fields.valid[i]);
                    prop_assert_eq!(sphere.gradient_at(point).is_ok(), gradients.valid[i]);
                    prop_assert_eq!(sphere.h_at(point).is_ok(), fields.valid[i]);
                    prop_assert!(one.is_err() || one.unwrap().iter().all(|part| part.is_finite()));
                    prop_assert_eq!(fields.values[i].x.is_nan(), !fields.valid[i]);
                }
            }
        }
    }
}
