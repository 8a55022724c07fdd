//! Cylinder and ring over what they promise: aspect ratios to 1000 either way, walls from 1e-3 of the radius, any
//! polarization, points from 1e-6 of the size off the surface to a million times the size.

use std::array::from_fn;
use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring};

use crate::strategies::{decades, polarizations};

/// Share of |M| |J| that two evaluations of one field may differ by: each promises 1e-12. |M| |J| and not |B|, because
/// an oblique polarization has places where its parts cancel, and a ring one where its field changes sign.
const ROUNDING: f64 = 2e-12;

/// A solid cylinder if the bore is 0.
#[derive(Debug, Clone, Copy)]
struct Shape {
    outer: f64,
    bore: f64,
    length: f64,
}

impl Shape {
    fn posed(self, j: Vector3<f64>, pose: Isometry3<f64>) -> MagnetGroup {
        let Self {
            outer,
            bore,
            length,
        } = self;
        if bore > 0.0 {
            Ring::new(outer, bore, length, j, pose).unwrap().into()
        } else {
            Cylinder::new(outer, length, j, pose).unwrap().into()
        }
    }

    fn magnet(self, j: Vector3<f64>) -> MagnetGroup {
        self.posed(j, Isometry3::identity())
    }

    fn field(self, j: Vector3<f64>, point: &Point3<f64>) -> Vector3<f64> {
        self.magnet(j).field_at(point).unwrap()
    }

    fn size(self) -> f64 {
        self.outer.max(self.length)
    }

    /// The matrix M of B = M J, from one magnet polarized along each axis.
    fn matrix(self, point: &Point3<f64>) -> Matrix3<f64> {
        let unit = |axis: usize| Vector3::from_fn(|i, _| if i == axis { 1.0 } else { 0.0 });
        Matrix3::from_columns(&from_fn::<_, 3, _>(|axis| self.field(unit(axis), point)))
    }

    /// |M| |J|: how large the parts are that B is summed from. The largest within a thousandth of the distance from the
    /// surface along z, because in the bore of a ring all of M may vanish.
    fn scale(self, j: Vector3<f64>, point: &Point3<f64>) -> f64 {
        self.scale_within(1e-3, j, point)
    }

    /// The same with another share of the distance.
    fn scale_within(self, share: f64, j: Vector3<f64>, point: &Point3<f64>) -> f64 {
        let step = Vector3::z() * (share * self.distance(point));
        let places = [*point, point + step, point - step];
        let norms = places.map(|place| self.matrix(&place).norm());
        norms.into_iter().fold(0.0, f64::max) * j.norm()
    }

    fn distance(self, point: &Point3<f64>) -> f64 {
        self.magnet(Vector3::zeros()).distance(point).unwrap()
    }

    fn has_inside(self, point: &Point3<f64>) -> bool {
        self.distance(point) < 0.0
    }
}

fn signs() -> impl Strategy<Value = f64> {
    prop::sample::select(vec![-1.0, 1.0])
}

fn shapes() -> impl Strategy<Value = Shape> {
    let wall = prop_oneof![Just(1.0), decades(-3.0..=-0.005)];
    (decades(-5.0..=0.0), decades(-3.0..=3.0), wall).prop_map(|(outer, aspect, wall)| {
        let outer = outer.clamp(1e-5, 1.0);
        let length = (outer * aspect).clamp(1e-5, 1.0);
        // A wall is at least 1 um; with none of the radius left it is a solid cylinder.
        let wall = wall.max(2.1e-6 / outer);
        let bore = if wall < 0.9 {
            outer * (1.0 - wall)
        } else {
            0.0
        };
        Shape {
            outer,
            bore,
            length,
        }
    })
}

/// A coordinate along one side of the profile: anywhere within, beside the surface by a little or a lot, on it.
fn coordinate(edge: f64, size: f64) -> impl Strategy<Value = f64> {
    // No farther than 5e5 m, so that the places around are within the limit of 1e6 m too.
    let gap = decades(-6.0..=6.0).prop_map(move |gap| edge + (gap * size).min(5e5));
    let within = decades(-6.0..=0.0).prop_map(move |gap| (edge - gap * size).max(0.0));
    let anywhere = (0.0..1.0_f64).prop_map(move |share| share * edge);
    prop_oneof![3 => gap, 3 => within, 3 => anywhere, 1 => Just(edge), 1 => Just(0.0)]
}

/// A shape and a point at least 1e-6 of the size clear of the surface, with that distance.
fn clear_places() -> impl Strategy<Value = (Shape, Point3<f64>, f64)> {
    let place = shapes().prop_flat_map(|shape| {
        let size = shape.size();
        let radius = prop_oneof![
            coordinate(0.5 * shape.outer, size),
            coordinate(0.5 * shape.bore, size)
        ];
        let height = (coordinate(0.5 * shape.length, size), signs());
        (Just(shape), radius, -PI..PI, height)
    });
    place
        .prop_map(|(shape, rho, angle, (z, sign))| {
            let point = Point3::new(rho * angle.cos(), rho * angle.sin(), z * sign);
            (shape, point, shape.distance(&point))
        })
        .prop_filter("clear of the surface", |(shape, _, distance)| {
            distance.abs() >= 1e-6 * shape.size()
        })
}

fn poses() -> impl Strategy<Value = Isometry3<f64>> {
    let turn = prop::array::uniform3(-PI..=PI);
    (prop::array::uniform3(-1.0..=1.0_f64), turn).prop_map(|(position, turn)| {
        let rotation = UnitQuaternion::from_scaled_axis(turn.into());
        Isometry3::from_parts(Translation3::from(Vector3::from(position)), rotation)
    })
}

/// Numbers of any kind and size, and those that are none.
fn anything() -> impl Strategy<Value = f64> {
    let special = vec![
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e6,
        f64::MIN_POSITIVE,
        5e-324,
        1e-170,
        0.0,
        -0.0,
    ];
    let plausible = decades(-6.0..=0.0);
    prop_oneof![
        any::<f64>(),
        -2.0..2.0_f64,
        plausible,
        prop::sample::select(special)
    ]
}

/// The components of an axial vector after a mirror in the plane across `axis`: a current loop facing the mirror keeps
/// its sense.
fn mirrored(v: Vector3<f64>, axis: usize) -> Vector3<f64> {
    Vector3::from_fn(|i, _| if i == axis { v[i] } else { -v[i] })
}

/// Share of |M| |J| near by by which B may change when the point moves by a few units in the last place of its
/// coordinates: at the distance d from the surface B changes by at most about 3 |M| |J| / d a metre (a dipole, the
/// steepest source, does).
fn position_rounding(lengths: f64, distance: f64) -> f64 {
    3.0 * 8.0 * f64::EPSILON * lengths / distance.abs()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn a_mirror_reflects_the_field(((shape, point, _), j, axis) in (clear_places(), polarizations(), 0..3_usize)) {
        let b = shape.field(j, &point);
        let mut image = point;
        image[axis] = -image[axis];
        let reflected = shape.field(mirrored(j, axis), &image);
        prop_assert!((reflected - mirrored(b, axis)).norm() <= ROUNDING * shape.scale(j, &point));
    }

    #[test]
    fn a_turn_about_the_axis_turns_the_field(((shape, point, distance), j, angle) in (clear_places(), polarizations(),
        -PI..PI)) {
        let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), angle);
        let turned = shape.field(turn * j, &(turn * point));
        let rounding = position_rounding(point.coords.norm(), distance);
        let tolerance = ROUNDING * shape.scale(j, &point) + rounding * shape.scale_within(0.5, j, &point);
        prop_assert!((turned - turn * shape.field(j, &point)).norm() <= tolerance);
    }

    #[test]
    fn axial_and_across_add_up(((shape, point, _), j) in (clear_places(), polarizations())) {
        let axial = Vector3::new(0.0, 0.0, j.z);
        let sum = shape.field(axial, &point) + shape.field(j - axial, &point);
        prop_assert!((shape.field(j, &point) - sum).norm() <= ROUNDING * shape.scale(j, &point));
    }

    #[test]
    fn the_matrix_is_symmetric_with_trace_0_outside_and_2_inside((shape, point, _) in clear_places()) {
        let m = shape.matrix(&point);
        let expected = if shape.has_inside(&point) { 2.0 } else { 0.0 };
        prop_assert!((m - m.transpose()).norm() <= ROUNDING * m.norm());
        prop_assert!((m.trace() - expected).abs() <= ROUNDING * m.norm());
    }

    /// The two solid cylinders are larger than what is left of them.
    #[test]
    fn a_ring_is_a_cylinder_without_a_cylinder(((shape, point, _), j) in (clear_places(), polarizations())) {
        prop_assume!(shape.bore >= 1e-5);
        let solid = |outer| Shape { outer, bore: 0.0, ..shape };
        let (whole, hole) = (solid(shape.outer), solid(shape.bore));
        let difference = whole.field(j, &point) - hole.field(j, &point);
        let parts = whole.scale(j, &point) + hole.scale(j, &point);
        prop_assert!((shape.field(j, &point) - difference).norm() <= ROUNDING * parts);
    }

    /// On a binary grid, so that the halves fit together to the last bit.
    #[test]
    fn a_cylinder_cut_across_is_the_whole(((shape, point, distance), j) in (clear_places(), polarizations())) {
        prop_assume!(shape.length >= 1e-4);
        let quarter = (shape.length * 2_f64.powi(18)).round() * 2_f64.powi(-20);
        let part = |share: f64, center: f64| {
            let part = Shape { length: share * quarter, ..shape };
            let pose = Isometry3::translation(0.0, 0.0, center * quarter);
            (part.posed(j, pose), part.scale(j, &(pose.inverse() * point)))
        };
        let whole = Shape { length: 4.0 * quarter, ..shape };
        let (short, long) = (part(1.0, 1.5), part(3.0, -0.5));
        // Not in the cut, where each half counts the point as outside.
        prop_assume!((point.z - quarter).abs() > 1e-6 * shape.size()
            && whole.distance(&point).abs() > 0.1 * distance.abs());
        let sum = short.0.field_at(&point).unwrap() + long.0.field_at(&point).unwrap();
        prop_assert!((whole.field(j, &point) - sum).norm() <= ROUNDING * (short.1 + long.1));
    }

    /// Maxwell where no current flows, and none flows inside a uniform polarization; by central differences.
    ///
    /// In a ball without sources the n-th derivative is at most about n! (n + 1) / 2 |B| / d^n, d being its radius and
    /// |B| the largest in the ball (a dipole, the steepest source, is at that limit). With steps of 1e-4 d six
    /// differences are off by 6 x 12 / 6 x 1e-8 |B| / d; rounding adds 1e-12 |B| / 1e-4 d.
    #[test]
    fn no_divergence_and_no_curl(((shape, point, distance), j) in (clear_places(), polarizations())) {
        // Closer to the surface the steps drown in the rounding of the position.
        prop_assume!(distance.abs() >= 1e-4 * shape.size());
        let magnet = shape.magnet(j);
        let derivative = Matrix3::from_columns(&from_fn::<_, 3, _>(|axis| {
            let at = |way: f64| {
                let mut at = point;
                at[axis] += way * 1e-4 * distance.abs();
                at
            };
            let (ahead, behind) = (at(1.0), at(-1.0));
            (magnet.field_at(&ahead).unwrap() - magnet.field_at(&behind).unwrap()) / (ahead[axis] - behind[axis])
        }));
        let tolerance = 1e-6 * shape.scale_within(0.5, j, &point) / distance.abs();
        prop_assert!(derivative.trace().abs() <= tolerance, "divergence {} {tolerance}", derivative.trace());
        let curl = derivative - derivative.transpose();
        prop_assert!(curl.amax() <= tolerance, "curl {curl} {tolerance}");
    }

    #[test]
    fn the_field_turns_with_the_magnet(((shape, point, distance), j, pose) in (clear_places(), polarizations(),
        poses())) {
        let moved = pose * point;
        let b = pose * shape.field(j, &point);
        let lengths = moved.coords.norm() + pose.translation.vector.norm();
        let rounding = position_rounding(lengths, distance);
        // Where the rounding of the position is no longer small against the distance, nothing can be said.
        prop_assume!(rounding < 1e-3);
        let turned = shape.posed(j, pose);
        let tolerance = ROUNDING * shape.scale(j, &point) + rounding * shape.scale_within(0.5, j, &point);
        prop_assert!((turned.field_at(&moved).unwrap() - b).norm() <= tolerance);
        prop_assert!((turned.fields_at(&[moved]).values[0] - b).norm() <= tolerance);
        prop_assert!((turned.distance(&moved).unwrap() - distance).abs() <= rounding * distance.abs());
        prop_assert_eq!(shape.magnet(j).moved(&pose).unwrap(), turned);
    }

    /// Across a surface the normal component of B is continuous and the rest jumps by the polarization. `gap` is so
    /// small a share of the distance to the nearest rim that B itself changes by no more than that share of |M| |J|.
    #[test]
    fn across_the_surface(
        (shape, j) in (shapes(), polarizations()),
        (angle, share) in (-PI..PI, 0.05..0.95_f64),
        (side, which) in (signs(), 0..3_usize),
    ) {
        let (a, hole, h) = (0.5 * shape.outer, 0.5 * shape.bore, 0.5 * shape.length);
        let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), angle);
        let radial = turn * Vector3::x();
        // A point on the surface, the normal out of the material, and the distance to the nearest rim.
        let (place, normal, to_rim) = match which {
            0 => {
                let rho = hole + share * (a - hole);
                let to_rim = (a - rho).min(if hole > 0.0 { rho - hole } else { a });
                (radial * rho + Vector3::z() * side * h, Vector3::z() * side, to_rim)
            }
            1 => (radial * a + Vector3::z() * side * share * h, radial, h * (1.0 - share)),
            _ => {
                prop_assume!(hole > 0.0);
                (radial * hole + Vector3::z() * side * share * h, -radial, h * (1.0 - share))
            }
        };
        let wall = if hole > 0.0 { (a - hole).min(hole) } else { a };
        let gap = 1e-7 * to_rim.min(wall).min(h);
        let point = |way: f64| Point3::from(place + normal * (way * gap));
        let (out, inside) = (point(1.0), point(-1.0));
        // On a large magnet the gap may be less than the rounding of the position.
        prop_assume!(gap > 100.0 * f64::EPSILON * shape.size());
        prop_assert!(shape.distance(&out) > 0.0 && shape.distance(&inside) < 0.0);

        let tolerance = 1e-5 * shape.scale(j, &out).max(shape.scale(j, &inside));
        let jump = j - normal * j.dot(&normal);
        prop_assert!((shape.field(j, &inside) - shape.field(j, &out) - jump).norm() <= tolerance);
        if which == 0 {
            let on_face = shape.field(j, &Point3::from(place));
            prop_assert!((on_face - shape.field(j, &out)).norm() <= tolerance, "a face has the field outside");
        }
    }

    /// The next term after the dipole of a body with three mirror planes is the octupole. Half the second derivative of
    /// the dipole field times the mean square of the lengths inside, at most |half|^2, is at most 12 (|half| / r)^2 of
    /// |J| V / 4 pi r^3; the terms after it add less than half as much.
    #[test]
    fn far_away_it_is_a_dipole(
        (shape, j) in (shapes(), polarizations()),
        (direction, reach) in (prop::array::uniform3(-1.0..1.0_f64), decades(0.8..=6.0)),
    ) {
        let direction = Vector3::from(direction);
        prop_assume!(direction.norm() > 1e-3);
        let half = 0.5 * shape.outer.hypot(shape.length);
        let r = direction.normalize();
        let distance = reach * half;
        // Not outer^2 - bore^2, which rounds.
        let section = 0.25 * PI * (shape.outer - shape.bore) * (shape.outer + shape.bore);
        let unit = section * shape.length / (4.0 * PI * distance.powi(3));
        let dipole = (r * (3.0 * j.dot(&r)) - j) * unit;
        let b = shape.field(j, &Point3::from(r * distance));
        let tolerance = 18.0 / reach.powi(2) + ROUNDING;
        prop_assert!((b - dipole).norm() <= tolerance * unit * j.norm());
    }

    #[test]
    fn one_point_and_many_agree(
        (shape, j) in (shapes(), polarizations()),
        shares in prop::collection::vec((0.0..=1.0_f64, -PI..PI, -1.0..=1.0_f64), 0..200),
        reach in decades(-0.3..=3.0),
    ) {
        let magnet = shape.magnet(j);
        let (a, h) = (0.5 * shape.outer, 0.5 * shape.length);
        let point = |(i, (share, angle, height)): (usize, (f64, f64, f64))| {
            let rho = share * reach * a;
            match i % 11 {
                0 => Point3::new(a, 0.0, h),
                1 => Point3::new(0.0, -a, height * reach * h),
                2 => Point3::new(0.0, 0.0, height * reach * h),
                3 => Point3::new(rho * angle.cos(), rho * angle.sin(), -h),
                _ => Point3::new(rho * angle.cos(), rho * angle.sin(), height * reach * h),
            }
        };
        let points: Vec<_> = shares.into_iter().enumerate().map(point).collect();
        let many = magnet.fields_at(&points);
        prop_assert_eq!((many.values.len(), many.valid.len()), (points.len(), points.len()));
        for (i, point) in points.iter().enumerate() {
            match magnet.field_at(point) {
                Ok(one) => {
                    prop_assert!(many.valid[i]);
                    prop_assert!((many.values[i] - one).norm() <= ROUNDING * shape.scale(j, point));
                }
                Err(error) => {
                    let Point3 { coords } = *point;
                    prop_assert_eq!(error, Error::OnEdge { x: coords.x, y: coords.y, z: coords.z });
                    prop_assert!(!many.valid[i] && many.values[i].iter().all(|part| part.is_nan()));
                }
            }
        }
    }

    #[test]
    fn a_magnet_of_anything_is_a_magnet_or_an_error(values in prop::array::uniform6(anything()),
        pose in prop::array::uniform3(anything())) {
        let [outer, bore, length, jx, jy, jz] = values;
        let (j, [x, y, z]) = (Vector3::new(jx, jy, jz), pose);
        let pose = Isometry3::translation(x, y, z);
        let magnets: [Option<Magnet>; 2] = [
            Cylinder::new(outer, length, j, pose).ok().map(Into::into),
            Ring::new(outer, bore, length, j, pose).ok().map(Into::into),
        ];
        for magnet in magnets.into_iter().flatten() {
            if let Ok(b) = magnet.field_at(&Point3::new(0.5, 0.25, 0.125)) {
                prop_assert!(b.iter().all(|part| part.is_finite()));
            }
        }
    }

    #[test]
    fn points_that_are_none_are_marked(
        (shape, j) in (shapes(), polarizations()),
        points in prop::collection::vec(prop::array::uniform3(anything()), 0..100),
    ) {
        let magnet = shape.magnet(j);
        let points: Vec<_> = points.into_iter().map(Point3::from).collect();
        let many = magnet.fields_at(&points);
        for (i, point) in points.iter().enumerate() {
            prop_assert_eq!(magnet.field_at(point).is_ok(), many.valid[i]);
            prop_assert_eq!(magnet.distance(point).is_ok(),
                point.coords.amax() <= 1e6 && point.iter().all(|c| c.is_finite()));
            let wrong = if many.valid[i] { f64::is_nan } else { f64::is_finite };
            prop_assert!(!many.values[i].iter().any(|part| wrong(*part)));
        }
    }
}

/// The cylinder cut into blocks, strips of equal angle. Blocks of the chord's length in the middle of each strip leave
/// out and add in equal measure: the error falls as the square of the number, and what the square does not explain as
/// its fourth power.
#[test]
fn a_stack_of_blocks_becomes_the_cylinder() {
    // So large that the outermost strips are still wide enough for a block.
    let (radius, length) = (0.25, 0.35);
    let j = Vector3::new(0.5, -0.7, 0.9);
    let stack = |strips: usize| {
        let angle = |k: f64| PI * (k / strips as f64 - 0.5);
        let block = |k: usize| {
            let [start, middle, end] = [0.0, 0.5, 1.0].map(|part| angle(k as f64 + part));
            let (from, to) = (radius * start.sin(), radius * end.sin());
            let size = Vector3::new(2.0 * radius * middle.cos(), to - from, length);
            let pose = Isometry3::translation(0.0, 0.5 * (from + to), 0.0);
            Block::new(size, j, pose).unwrap()
        };
        MagnetGroup::new((0..strips).map(block)).unwrap()
    };
    let cylinder = Cylinder::new(2.0 * radius, length, j, Isometry3::identity()).unwrap();
    for point in [
        Point3::new(0.45, 0.1, 0.05),
        Point3::new(-0.05, 0.15, 0.3),
        Point3::new(0.1, 0.12, -0.25),
        Point3::new(0.05, -0.102, 0.05),
        Point3::new(0.0, 0.6, 0.0),
    ] {
        let b = cylinder.field_at(&point).unwrap();
        let error = |strips| (stack(strips).field_at(&point).unwrap() - b) / b.norm();
        let (coarse, fine) = (error(50), error(200));
        assert!(fine.norm() < 2e-5, "{fine} at {point}");
        // (50 / 200)^2 = 1/16; the fourth power of the strip's angle pi / 50 is 2e-5, of which the test sees 1/16 and
        // less.
        assert!(
            (16.0 * fine - coarse).norm() < 1e-6,
            "{coarse} {fine} at {point}"
        );
    }
}
