//! The block over its whole domain: sides from 0.01 mm to 1 m in any mixture, any polarization, points from the last
//! bit off a face to a million times the size.

use std::array::from_fn;
use std::f64::consts::PI;

use nalgebra::{
    Isometry3, Matrix3, Point3, Quaternion, Translation3, Unit, UnitQuaternion, Vector3,
};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::magnet::{Block, FieldSource, MagnetGroup, Sphere};
use yokewright::units::MM;

use crate::strategies::{anything, decades, polarizations, poses, signs};

/// Share of |M| |J| that two evaluations of one field may differ by: each is off by up to 7e-15 (the worst that a
/// search for bad points could find). |M| |J| and not |B|, because an oblique polarization has places where its parts
/// cancel; see [`scale`].
const ROUNDING: f64 = 100.0 * f64::EPSILON;

type Size = Vector3<f64>;

pub(crate) fn block(size: Size, polarization: Vector3<f64>) -> Block {
    Block::new(size, polarization, Isometry3::identity()).unwrap()
}

/// The matrix M of B = M J, from one block polarized along each axis.
fn matrix(size: Size, point: &Point3<f64>) -> Matrix3<f64> {
    let columns = from_fn::<_, 3, _>(|axis| {
        let mut unit = Vector3::zeros();
        unit[axis] = 1.0;
        block(size, unit).field_at(point).unwrap()
    });
    Matrix3::from_columns(&columns)
}

/// |M| |J|: how large the parts are that B is summed from.
pub(crate) fn scale(block: &Block, point: &Point3<f64>) -> f64 {
    let local = block.pose().inverse_transform_point(point);
    matrix(block.size(), &local).norm() * block.polarization().norm()
}

/// Share of |M| |J| by which B may change because a pose rounds the position: by a few units in the last place of the
/// lengths involved, where B changes by at most about 3 |M| |J| / d a metre at the distance d from the surface (a
/// dipole, the steepest source, does).
pub(crate) fn position_rounding(pose: &Isometry3<f64>, point: &Point3<f64>, distance: f64) -> f64 {
    let lengths = point.coords.norm() + pose.translation.vector.norm();
    3.0 * 8.0 * f64::EPSILON * lengths / distance.abs()
}

pub(crate) fn on_edge(size: &Size, point: &Vector3<f64>) -> bool {
    let beyond = point.abs() - size * 0.5;
    beyond.iter().all(|b| *b <= 0.0) && beyond.iter().filter(|b| **b == 0.0).count() >= 2
}

pub(crate) fn sizes() -> impl Strategy<Value = Size> {
    prop::array::uniform3(decades(-5.0..=0.0))
        .prop_map(|sides| Vector3::from(sides.map(|side| side.clamp(1e-5, 1.0))))
}

/// One coordinate: anywhere along the side, beside the face by a tiny or a huge amount, on the face, on the middle
/// plane.
fn coordinate(half: f64, largest: f64) -> impl Strategy<Value = f64> {
    let place = prop_oneof![
        4 => (0.0..1.0_f64).prop_map(move |share| share * half),
        3 => (decades(-16.0..=0.0), signs()).prop_map(move |(gap, way)| half * (1.0 + way * gap)),
        3 => decades(-12.0..=6.0).prop_map(move |gap| half + 0.5 * gap * largest),
        1 => Just(half),
        1 => Just(0.0),
    ];
    (place, signs()).prop_map(|(at, sign)| sign * at)
}

/// A size and a point that is not on an edge, in the frame of the block.
pub(crate) fn places() -> impl Strategy<Value = (Size, Point3<f64>)> {
    let place = sizes().prop_flat_map(|size| {
        let largest = size.max();
        let point = [0, 1, 2].map(|axis| coordinate(0.5 * size[axis], largest));
        (Just(size), point.prop_map(Vector3::from))
    });
    place
        .prop_filter("a field has no value on an edge", |(size, point)| {
            !on_edge(size, point)
        })
        .prop_map(|(size, point)| (size, point.into()))
}

/// A size and a point clear of the surface by at least a thousandth of the largest side, inside or outside, with that
/// distance.
pub(crate) fn clear_places() -> impl Strategy<Value = (Size, Point3<f64>, f64)> {
    places()
        .prop_map(|(size, point)| {
            let distance = block(size, Vector3::zeros()).distance(&point).unwrap();
            (size, point, distance)
        })
        .prop_filter("clear of the surface", |(size, _, distance)| {
            distance.abs() >= 1e-3 * size.max()
        })
}

/// The components of an axial vector after a mirror in the plane across `axis`: a current loop facing the mirror
/// keeps its sense.
fn mirrored(v: Vector3<f64>, axis: usize) -> Vector3<f64> {
    Vector3::from_fn(|i, _| if i == axis { v[i] } else { -v[i] })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    #[test]
    fn a_mirror_reflects_the_field(((size, point), j, axis) in (places(), polarizations(), 0..3_usize)) {
        let b = block(size, j).field_at(&point).unwrap();
        let mut image = point;
        image[axis] = -image[axis];
        let reflected = block(size, mirrored(j, axis)).field_at(&image).unwrap();
        prop_assert!((reflected - mirrored(b, axis)).norm() <= ROUNDING * scale(&block(size, j), &point));
    }

    #[test]
    fn polarizations_add_up(((size, point), j1, j2, share) in (places(), polarizations(), polarizations(),
        0.0..1.0_f64)) {
        // Parts of one polarization, so that the sum stays within the limit.
        let (j1, j2) = (j1 * share, j2 * (1.0 - share));
        let field = |j| block(size, j).field_at(&point).unwrap();
        let parts = matrix(size, &point).norm() * (j1.norm() + j2.norm());
        prop_assert!((field(j1 + j2) - field(j1) - field(j2)).norm() <= ROUNDING * parts);
    }

    #[test]
    fn the_matrix_is_symmetric_with_trace_0_outside_and_2_inside((size, point) in places()) {
        let m = matrix(size, &point);
        let inside = (point.coords.abs() - size * 0.5).max() < 0.0;
        let expected = if inside { 2.0 } else { 0.0 };
        prop_assert!((m - m.transpose()).norm() <= ROUNDING * m.norm());
        prop_assert!((m.trace() - expected).abs() <= ROUNDING * m.norm());
    }

    #[test]
    fn a_group_is_the_sum_of_its_members(
        members in prop::collection::vec((sizes(), polarizations(), poses()), 1..5),
        point in prop::array::uniform3(-12.0..12.0_f64),
    ) {
        let point = Point3::from(point);
        let members: Vec<_> = members.into_iter().map(|(size, j, pose)| Block::new(size, j, pose).unwrap()).collect();
        let group = MagnetGroup::superposed(members.clone()).unwrap();
        let sum: Vector3<f64> = members.iter().map(|member| member.field_at(&point).unwrap()).sum();
        let parts: f64 = members.iter().map(|member| scale(member, &point)).sum();
        prop_assert!((group.field_at(&point).unwrap() - sum).norm() <= ROUNDING * parts);
        prop_assert!((group.fields_at(&[point]).values[0] - sum).norm() <= ROUNDING * parts);
        let nearest = members.iter().map(|member| member.distance(&point).unwrap()).fold(f64::INFINITY, f64::min);
        prop_assert_eq!(group.distance(&point).unwrap(), nearest);
    }

    /// Balls overlap exactly where their centers are nearer than the radii: every pair by hand against the search by
    /// neighbors.
    #[test]
    fn no_overlap_in_a_group_is_missed(balls in prop::collection::vec((prop::array::uniform3(-30..=30_i32), 1..=9_i32),
        2..24)) {
        let ball = |(at, diameter): &([i32; 3], i32)| {
            let at = Vector3::from(at.map(f64::from)) * MM;
            Sphere::new(f64::from(*diameter) * MM, Vector3::z(), Translation3::from(at).into()).unwrap()
        };
        // In whole millimetres, with the radii doubled: touching is told from overlap exactly.
        let overlap = |a: &([i32; 3], i32), b: &([i32; 3], i32)| {
            let apart: i32 = (0..3).map(|i| (a.0[i] - b.0[i]).pow(2)).sum();
            4 * apart < (a.1 + b.1).pow(2)
        };
        let n = balls.len();
        let pairs: Vec<_> = (0..n).flat_map(|i| (i + 1..n).map(move |k| (i, k))).filter(|(i, k)| overlap(&balls[*i],
            &balls[*k])).collect();
        match MagnetGroup::new(balls.iter().map(ball)) {
            Ok(group) => prop_assert!(pairs.is_empty() && group.magnets().len() == n),
            Err(Error::GroupOverlap { first, second, .. }) => prop_assert!(pairs.contains(&(first, second))),
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    /// On a binary grid, so that the halves fit together to the last bit.
    #[test]
    fn a_block_cut_in_two_is_the_whole(
        units in prop::array::uniform3(1..=1_000_000_u32),
        (axis, cut) in (0..3_usize, 0.0..1.0_f64),
        shares in prop::array::uniform3(prop_oneof![-0.6..0.6_f64, -3.0..3.0_f64]),
        j in polarizations(),
    ) {
        // A little under 1 um to the unit: sides from 0.02 mm to nearly 1 m.
        let unit = 2_f64.powi(-20);
        let sides = units.map(|n| f64::from(n.max(22)));
        let first = (cut * (sides[axis] - 22.0)).round().clamp(11.0, sides[axis] - 11.0);
        let part = |length: f64, center: f64| {
            let mut size = sides;
            size[axis] = length;
            let mut position = Vector3::zeros();
            position[axis] = center;
            Block::new(Vector3::from(size) * unit, j, (position * unit).into()).unwrap()
        };
        let whole = part(sides[axis], 0.0);
        let parts = [
            part(first, 0.5 * (first - sides[axis])),
            part(sides[axis] - first, 0.5 * first),
        ];
        // A quarter off the grid: never in the plane of a face or of the cut.
        let point = Point3::from(from_fn::<_, 3, _>(|i| ((shares[i] * sides[i]).round() + 0.25) * unit));
        let sum: Vector3<f64> = parts.iter().map(|part| part.field_at(&point).unwrap()).sum();
        let size: f64 = parts.iter().map(|part| scale(part, &point)).sum();
        prop_assert!((whole.field_at(&point).unwrap() - sum).norm() <= ROUNDING * size);
    }

    /// Maxwell where no current flows, and none flows inside a uniform polarization; by central differences.
    ///
    /// In a ball without sources the n-th derivative is at most about n! (n + 1) / 2 |B| / d^n, d being its radius (a
    /// dipole, the steepest source, is at that limit). With steps of 1e-4 d six differences are off by 6 x 12 / 6 x
    /// 1e-8 |B| / d; rounding adds 1e-14 |B| / 1e-4 d.
    #[test]
    fn no_divergence_and_no_curl(((size, point, distance), j) in (clear_places(), polarizations())) {
        let distance = distance.abs();
        let block = block(size, j);
        let derivative = Matrix3::from_columns(&from_fn::<_, 3, _>(|axis| {
            let at = |way: f64| {
                let mut at = point;
                at[axis] += way * 1e-4 * distance;
                at
            };
            let (ahead, behind) = (at(1.0), at(-1.0));
            (block.field_at(&ahead).unwrap() - block.field_at(&behind).unwrap()) / (ahead[axis] - behind[axis])
        }));
        let tolerance = 1e-6 * scale(&block, &point) / distance;
        prop_assert!(derivative.trace().abs() <= tolerance, "divergence {} {tolerance}", derivative.trace());
        let curl = derivative - derivative.transpose();
        prop_assert!(curl.amax() <= tolerance, "curl {curl} {tolerance}");
    }

    /// By powers of two, which round nothing.
    #[test]
    fn the_field_has_no_scale(((size, point), j, share) in (places(), polarizations(), 0.0..=1.0_f64)) {
        // From the smallest to the largest block of these proportions.
        let (least, most) = ((1e-5 / size.min()).log2().ceil(), (1.0 / size.max()).log2().floor());
        let factor = (least + share * (most - least)).round().clamp(least.min(most), most).exp2();
        let scaled = (size * factor, point * factor);
        let field = |(size, point): (Size, Point3<f64>)| block(size, j).field_at(&point).unwrap();
        prop_assert!((field(scaled) - field((size, point))).norm() <= ROUNDING * scale(&block(size, j), &point));
    }

    #[test]
    fn the_field_turns_with_the_block(((size, point, distance), j, pose) in (clear_places(), polarizations(),
        poses())) {
        let still = block(size, j);
        let turned = Block::new(size, j, pose).unwrap();
        let moved_point = pose * point;
        let b = pose * still.field_at(&point).unwrap();
        let rounding = position_rounding(&pose, &moved_point, distance);
        prop_assert!((turned.field_at(&moved_point).unwrap() - b).norm() <= (ROUNDING + rounding) * scale(&still,
            &point));
        prop_assert!((turned.distance(&moved_point).unwrap() - distance).abs() <= rounding * distance.abs());
        prop_assert_eq!(still.moved(&pose).unwrap(), turned);
    }

    /// Across a face the normal component of B is continuous and the rest jumps by the polarization. `gap` is so
    /// small a share of the distance to the nearest edge that B itself changes by no more than that share of |M| |J|.
    #[test]
    fn across_a_face(
        (size, j) in (sizes(), polarizations()),
        (axis, side) in (0..3_usize, signs()),
        shares in prop::array::uniform3(-0.999..0.999_f64),
    ) {
        let block = block(size, j);
        let half = size * 0.5;
        let mut on_face = Point3::from(half.component_mul(&Vector3::from(shares)));
        on_face[axis] = side * half[axis];
        let to_edge = (0..3).map(|i| if i == axis { size[i] } else { half[i] - on_face[i].abs() });
        let gap = 1e-9 * to_edge.fold(f64::INFINITY, f64::min);
        let (mut out, mut inside) = (on_face, on_face);
        out[axis] += side * gap;
        inside[axis] -= side * gap;
        // On a long side the gap may be less than the last bit.
        prop_assume!(out != on_face && inside != on_face);

        let field = |point| block.field_at(point).unwrap();
        let tolerance = 1e-8 * scale(&block, &on_face);
        let mut jump = j;
        jump[axis] = 0.0;
        prop_assert!((field(&inside) - field(&out) - jump).norm() <= tolerance);
        prop_assert!((field(&on_face) - field(&out)).norm() <= tolerance, "a face has the field outside");
        prop_assert!(block.distance(&out).unwrap() > 0.0 && block.distance(&inside).unwrap() < 0.0);
    }

    /// The next term after the dipole of a body with three mirror planes is the octupole. Half the second derivative
    /// of the dipole field times the mean square of the lengths inside, |half|^2 / 3, is at most 4 (|half| / r)^2 of
    /// |J| V / 4 pi r^3; the terms after it add less than half as much.
    #[test]
    fn far_away_it_is_a_dipole(
        (size, j) in (sizes(), polarizations()),
        (direction, reach) in (prop::array::uniform3(-1.0..1.0_f64), decades(0.5..=6.0)),
    ) {
        let direction = Vector3::from(direction);
        prop_assume!(direction.norm() > 1e-3);
        let half = 0.5 * size.norm();
        let r = direction.normalize();
        let distance = reach * half;
        let unit = size.product() / (4.0 * PI * distance.powi(3));
        let dipole = (r * (3.0 * j.dot(&r)) - j) * unit;
        let b = block(size, j).field_at(&Point3::from(r * distance)).unwrap();
        // Where the point is, is rounded too, three times as steep.
        let tolerance = 6.0 / reach.powi(2) + ROUNDING;
        prop_assert!((b - dipole).norm() <= tolerance * unit * j.norm());
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
        let many = block.fields_at(&points);
        prop_assert_eq!((many.values.len(), many.valid.len()), (points.len(), points.len()));
        for (i, point) in points.iter().enumerate() {
            let edge = on_edge(&size, &point.coords);
            prop_assert_eq!(many.valid[i], !edge);
            match block.field_at(point) {
                Ok(one) => prop_assert!((many.values[i] - one).norm() <= ROUNDING * scale(&block, point)),
                Err(error) => {
                    let Point3 { coords } = *point;
                    prop_assert_eq!(error, Error::OnEdge { x: coords.x, y: coords.y, z: coords.z });
                    prop_assert!(edge && many.values[i].iter().all(|part| part.is_nan()));
                }
            }
        }
    }

    /// As in `the_field_turns_with_the_block`: what remains is how the position is rounded.
    #[test]
    fn one_point_and_many_agree_in_any_pose(((size, point, distance), j, pose) in (clear_places(), polarizations(),
        poses())) {
        let block = Block::new(size, j, pose).unwrap();
        let point = pose * point;
        let tolerance = ROUNDING + position_rounding(&pose, &point, distance);
        let (one, many) = (block.field_at(&point).unwrap(), block.fields_at(&[point]));
        prop_assert!((many.values[0] - one).norm() <= tolerance * scale(&block, &point));
    }

    /// Points computed to lie on an edge of a turned block: rounding puts them on it or beside it, the same way for one
    /// and for many.
    #[test]
    fn one_point_and_many_agree_at_the_edges_of_a_turned_block(
        (size, j, pose) in (sizes(), polarizations(), poses()), share in -1.0..=1.0_f64
    ) {
        let block = Block::new(size, j, pose).unwrap();
        for local in [[share, 1.0, 1.0], [-1.0, share, 1.0], [1.0, -1.0, share]] {
            let point = pose * Point3::from(0.5 * size.component_mul(&Vector3::from(local)));
            let many = block.fields_at(&[point]);
            match block.field_at(&point) {
                Ok(one) => {
                    prop_assert!(many.valid[0]);
                    // Next to an edge the field is as large as the logarithm of the distance lets it be: some 12 |J|.
                    prop_assert!((many.values[0] - one).norm() <= 12.0 * ROUNDING * j.norm());
                }
                Err(_) => prop_assert!(!many.valid[0]),
            }
        }
    }

    #[test]
    fn a_block_of_anything_is_a_block_or_an_error(values in prop::array::uniform6(anything()),
        pose in prop::array::uniform7(anything())) {
        let [sx, sy, sz, jx, jy, jz] = values;
        let [x, y, z, w, i, j, k] = pose;
        let rotation = Unit::new_unchecked(Quaternion::new(w, i, j, k));
        for rotation in [rotation, UnitQuaternion::identity()] {
            let pose = Isometry3::from_parts(Translation3::new(x, y, z), rotation);
            let block = Block::new(Vector3::new(sx, sy, sz), Vector3::new(jx, jy, jz), pose);
            let field = block.and_then(|block| block.field_at(&Point3::new(0.5, 0.25, 0.125)));
            prop_assert!(field.is_err() || field.unwrap().iter().all(|part| part.is_finite()));
        }
    }

    #[test]
    fn points_that_are_none_are_marked(
        (size, j, pose) in (sizes(), polarizations(), prop_oneof![Just(Isometry3::identity()), poses()]),
        points in prop::collection::vec(prop::array::uniform3(anything()), 0..100),
    ) {
        let block = Block::new(size, j, pose).unwrap();
        let points: Vec<_> = points.into_iter().map(Point3::from).collect();
        let group = MagnetGroup::superposed([block.clone(), block.clone()]).unwrap();
        let (many, doubled) = (block.fields_at(&points), group.fields_at(&points));
        prop_assert_eq!((many.values.len(), many.valid.len()), (points.len(), points.len()));
        prop_assert_eq!(&many.valid, &doubled.valid);
        for (i, point) in points.iter().enumerate() {
            let one = block.field_at(point);
            prop_assert_eq!(one.is_ok(), many.valid[i]);
            prop_assert_eq!(block.distance(point).is_ok(),
                point.coords.amax() <= 1e6 && point.iter().all(|c| c.is_finite()));
            let wrong = if many.valid[i] { f64::is_nan } else { f64::is_finite };
            prop_assert!(!many.values[i].iter().any(|part| wrong(*part)));
        }
    }
}
