//! The steel plate: the boundary condition on its face, and what a mirror must do.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use proptest::prelude::*;
use yokewright::magnet::{
    Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring, Sphere, SteelPlate, interaction_energy,
};
use yokewright::units::MM;

type Vector = Vector3<f64>;

fn vectors(limit: f64) -> impl Strategy<Value = Vector> {
    prop::array::uniform3(-limit..=limit).prop_map(Vector::from)
}

/// A magnet within 10 mm of its center, which lies 10 to 40 mm above the plane z = 0.
fn magnets() -> impl Strategy<Value = Magnet> {
    let place = (vectors(15.0), vectors(PI)).prop_map(|(at, turn)| {
        let at = Vector::new(at.x, at.y, 25.0 + at.z) * MM;
        Isometry3::from_parts(
            Translation3::from(at),
            UnitQuaternion::from_scaled_axis(turn),
        )
    });
    (
        prop::array::uniform3(2.0..11.0),
        vectors(1.2),
        place,
        0..3_usize,
    )
        .prop_map(|(size, j, pose, shape)| {
            let [x, y, z] = size.map(|side: f64| side * MM);
            match shape {
                0 => Block::new(Vector::new(x, y, z), j, pose).unwrap().into(),
                1 => Cylinder::new(x, z, j, pose).unwrap().into(),
                2 => Ring::new(x, (0.1 + 0.07 * y / MM) * x, z, j, pose)
                    .unwrap()
                    .into(),
                _ => Sphere::new(x, j, pose).unwrap().into(),
            }
        })
}

fn groups() -> impl Strategy<Value = MagnetGroup> {
    // Wherever they come to stand: the images of parts that overlap are as good.
    prop::collection::vec(magnets(), 1..4)
        .prop_map(|magnets| MagnetGroup::superposed(magnets).unwrap())
}

fn motions() -> impl Strategy<Value = Isometry3<f64>> {
    (vectors(0.1), vectors(PI)).prop_map(|(at, turn)| {
        Isometry3::from_parts(
            Translation3::from(at),
            UnitQuaternion::from_scaled_axis(turn),
        )
    })
}

fn table() -> SteelPlate {
    SteelPlate::new(Point3::origin(), Vector::z()).unwrap()
}

fn mirrored(p: &Point3<f64>) -> Point3<f64> {
    Point3::new(p.x, p.y, -p.z)
}

/// How large the parts of a field are that may cancel: those of the members.
fn scale(group: &MagnetGroup, point: &Point3<f64>) -> f64 {
    let fields = group
        .magnets()
        .iter()
        .map(|magnet| magnet.field_at(point).unwrap().norm());
    fields.sum()
}

/// Share of the parts of a field that two evaluations may differ by: the field is good to 1e-12, and the images' places
/// are rounded to 1e-17 m, a millimetre and more from the points.
const ROUNDING: f64 = 4e-12;

/// How far the length of a unit normal may be from one: a vector that is within 4 epsilon is kept as it is given, and
/// the norm that says so is rounded by three squares, two sums and a root.
const OFF_UNIT: f64 = 5.5 * f64::EPSILON;

/// Share of the distances from the origin by which two reflections may miss the place they began with. With a normal of
/// length n the first goes 2 n h along it from height h, the second 2 n h (2 n^2 - 1) back: 4 (n^2 - 1) h too far. Each
/// rounds the height by 2 epsilon of a distance, twice over, and the new place by 1 or 2.
const PLACES: f64 = 8.0 * OFF_UNIT + 12.0 * f64::EPSILON;

/// The same of directions: each reflection multiplies the squared norm of the quaternion by n^2, and a vector that is
/// turned by one of squared norm m departs by (m - 1) of how far it was turned, at most twice its length. The product
/// of two quaternions and two turns of a vector are rounded by 24 epsilon together.
const DIRECTIONS: f64 = 8.0 * OFF_UNIT + 24.0 * f64::EPSILON;

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// On the face of a body of infinite permeability H has no tangential part. Any plate in space.
    #[test]
    fn the_field_meets_the_face_at_a_right_angle(group in groups(), motion in motions(), x in -60.0..60.0_f64,
        y in -60.0..60.0_f64, length in 0.1..100.0_f64) {
        let plate = SteelPlate::new(motion * Point3::origin(), motion * Vector::z() * length).unwrap();
        let group = group.moved(&motion).unwrap();
        let over = plate.over(&group).unwrap();
        let point = motion * (Point3::new(x, y, 0.0) * MM);
        let b = over.field_at(&point).unwrap();
        let normal = plate.normal().into_inner();
        let tangential = (b - b.dot(&normal) * normal).norm();
        // The point is rounded off the face, too, where the tangential part grows by a share of the distance.
        prop_assert!(tangential <= ROUNDING * scale(over.group(), &point), "{tangential:e}");
        // The plate doubles the normal part.
        let alone = group.field_at(&point).unwrap().dot(&normal);
        prop_assert!((b.dot(&normal) - 2.0 * alone).abs() <= ROUNDING * scale(over.group(), &point));
    }

    /// The image of a magnet has the mirrored field with reversed sign, everywhere (it is made of mirrored charges
    /// with reversed sign), inside the material too.
    #[test]
    fn the_image_has_the_mirrored_field(group in groups(), x in -40.0..40.0_f64, y in -40.0..40.0_f64,
        z in -60.0..60.0_f64) {
        let images = table().images(&group).unwrap();
        let point = Point3::new(x, y, z) * MM;
        let (Ok(b), Ok(image)) = (group.field_at(&point), images.field_at(&mirrored(&point))) else { return Ok(()) };
        let expected = Vector::new(-b.x, -b.y, b.z);
        prop_assert!((image - expected).norm() <= ROUNDING * scale(&group, &point));
        let (d, e) = (group.distance(&point).unwrap(), images.distance(&mirrored(&point)).unwrap());
        prop_assert!((d - e).abs() < 1e-15);
    }

    #[test]
    fn the_image_of_the_image_is_the_magnet(group in groups(), motion in motions()) {
        let plate = SteelPlate::new(motion * Point3::origin(), motion * Vector::z()).unwrap();
        let other_side = SteelPlate::new(motion * Point3::origin(), motion * -Vector::z()).unwrap();
        let group = group.moved(&motion).unwrap();
        let twice = other_side.images(&plate.images(&group).unwrap()).unwrap();
        for (a, b) in group.magnets().iter().zip(twice.magnets()) {
            let (a_pose, b_pose) = (a.pose(), b.pose());
            let (a_place, b_place) = (a_pose.translation.vector, b_pose.translation.vector);
            let reach = a_place.norm() + plate.point().coords.norm();
            prop_assert!((a_place - b_place).norm() <= PLACES * reach);
            prop_assert!(a_pose.rotation.angle_to(&b_pose.rotation) < 1e-7);
            let [before, after] = [a_pose.rotation * a.polarization(), b_pose.rotation * b.polarization()];
            prop_assert!((before - after).norm() <= DIRECTIONS * before.norm());
        }
    }

    /// Many points as one by one, and those inside the steel marked.
    #[test]
    fn many_points_over_a_plate(group in groups(), points in prop::collection::vec(vectors(60.0), 1..20)) {
        let over = table().over(&group).unwrap();
        let points: Vec<_> = points.into_iter().map(|p| Point3::from(p * MM)).collect();
        let fields = over.fields_at(&points);
        for (i, point) in points.iter().enumerate() {
            match over.field_at(point) {
                Ok(b) => {
                    prop_assert!(fields.valid[i] && point.z >= 0.0);
                    prop_assert!((fields.values[i] - b).norm() <= ROUNDING * scale(over.group(), point));
                }
                Err(_) => prop_assert!(!fields.valid[i] && fields.values[i].x.is_nan()),
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// A magnet over steel has half the energy that it has in the field of a fixed image, because the image moves
    /// along; its slope is the pull.
    #[test]
    fn the_pull_is_the_slope_of_half_the_energy(magnet in magnets()) {
        let plate = table();
        let group = MagnetGroup::from(magnet);
        let energy = |lift: f64| {
            let group = group.moved(&Translation3::new(0.0, 0.0, lift).into()).unwrap();
            0.5 * interaction_energy(&group, &plate.images(&group).unwrap()).unwrap()
        };
        let step = 0.05 * MM;
        let slope = (8.0 * (energy(step) - energy(-step)) - (energy(2.0 * step) - energy(-2.0 * step))) / (12.0 * step);
        let pull = plate.pull(&group, Point3::origin()).unwrap();
        prop_assert!(pull.force.z < 0.0, "always attracted");
        // (step / distance)^4 is below 1e-8, and the energy good to 1e-9, over a step of 1e-2 of the distance.
        prop_assert!((pull.force.z + slope).abs() <= 1e-6 * pull.force.z.abs());
        // A smooth plane cannot push sideways.
        prop_assert!(pull.force.xy().norm() <= 4.0 * pull.force_error);
    }
}
