//! Cylinders and rings: every refusal by variant and text, and what the surface itself gives.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3, vector};
use yokewright::error::Hint;
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring};
use yokewright::units::{DEG, MM, MU_0};
use yokewright::{Error, Result};

/// The disc on the pitch axis of the training rig: radius 5 mm, half length 2 mm.
fn disc(j: Vector3<f64>) -> Cylinder {
    cylinder(10.0 * MM, 4.0 * MM, j).unwrap()
}

/// The ring around the shaft of the trim wheel: radii 6 and 2.5 mm, half length 1 mm.
fn washer(j: Vector3<f64>) -> Ring {
    ring(12.0 * MM, 5.0 * MM, 2.0 * MM, j).unwrap()
}

fn cylinder(diameter: f64, length: f64, j: Vector3<f64>) -> Result<Cylinder> {
    Cylinder::new(diameter, length, j, Isometry3::identity())
}

fn ring(outer: f64, inner: f64, length: f64, j: Vector3<f64>) -> Result<Ring> {
    Ring::new(outer, inner, length, j, Isometry3::identity())
}

fn text<T: std::fmt::Debug>(refused: Result<T>) -> String {
    refused.unwrap_err().to_string()
}

#[test]
fn getters_give_what_was_given() {
    let pose = Isometry3::new(vector![1.0, 2.0, 3.0] * MM, vector![0.0, 30.0, 0.0] * DEG);
    let j = vector![0.3, 0.0, 1.2];
    let disc = Cylinder::new(10.0 * MM, 4.0 * MM, j, pose).unwrap();
    assert_eq!((disc.diameter(), disc.length()), (10.0 * MM, 4.0 * MM));
    assert_eq!((disc.polarization(), disc.pose()), (j, pose));
    let washer = Ring::new(12.0 * MM, 5.0 * MM, 2.0 * MM, j, pose).unwrap();
    assert_eq!(
        (washer.outer_diameter(), washer.inner_diameter()),
        (12.0 * MM, 5.0 * MM)
    );
    assert_eq!((washer.length(), washer.polarization()), (2.0 * MM, j));
    assert_eq!(washer.pose(), pose);
}

#[test]
fn meters_for_millimeters() {
    assert_eq!(
        cylinder(10.0, 4.0 * MM, Vector3::z()).unwrap_err(),
        Error::OutOfRange {
            quantity: "cylinder diameter",
            value: 10.0,
            min: 1e-5,
            max: 1.0,
            unit: "m",
            hint: Hint::Millimetres(10.0),
        }
    );
    assert_eq!(
        text(cylinder(10.0 * MM, 4.0, Vector3::z())),
        "cylinder length = 4 m is outside 0.00001 to 1 m; did you mean 4 * MM?"
    );
    assert_eq!(
        text(ring(12.0, 5.0 * MM, 2.0 * MM, Vector3::z())),
        "ring outer diameter = 12 m is outside 0.00001 to 1 m; did you mean 12 * MM?"
    );
    assert_eq!(
        text(ring(12.0 * MM, 5.0, 2.0 * MM, Vector3::z())),
        "ring inner diameter = 5 m is outside 0.000001 to 1 m; did you mean 5 * MM?"
    );
    assert_eq!(
        text(ring(12.0 * MM, 5.0 * MM, 2.0, Vector3::z())),
        "ring length = 2 m is outside 0.00001 to 1 m; did you mean 2 * MM?"
    );
}

#[test]
fn a_ring_needs_a_wall_and_a_bore() {
    assert_eq!(
        text(ring(5.0 * MM, 12.0 * MM, 2.0 * MM, Vector3::z())),
        "ring diameters (inner, outer): lower end 0.012 m is not below upper end 0.005 m; the two look exchanged"
    );
    let none = ring(12.0 * MM, 12.0 * MM, 2.0 * MM, Vector3::z()).unwrap_err();
    assert!(matches!(none, Error::NotAscending { .. }), "{none}");
    let foil = ring(12.0 * MM, 12.0 * MM - 1e-6, 2.0 * MM, Vector3::z()).unwrap_err();
    assert!(
        matches!(
            foil,
            Error::OutOfRange {
                quantity: "ring wall",
                ..
            }
        ),
        "{foil}"
    );
    let solid = ring(12.0 * MM, 0.0, 2.0 * MM, Vector3::z()).unwrap_err();
    assert!(
        matches!(
            solid,
            Error::OutOfRange {
                quantity: "ring inner diameter",
                ..
            }
        ),
        "{solid}"
    );
}

#[test]
fn what_is_no_number_is_refused_by_name() {
    let nan = f64::NAN;
    for (made, quantity) in [
        (
            cylinder(nan, 4.0 * MM, Vector3::z()).err(),
            "cylinder diameter",
        ),
        (
            cylinder(10.0 * MM, nan, Vector3::z()).err(),
            "cylinder length",
        ),
        (
            cylinder(10.0 * MM, 4.0 * MM, vector![0.0, nan, 0.0]).err(),
            "polarization y",
        ),
        (
            ring(nan, 5.0 * MM, 2.0 * MM, Vector3::z()).err(),
            "ring outer diameter",
        ),
        (
            ring(12.0 * MM, nan, 2.0 * MM, Vector3::z()).err(),
            "ring inner diameter",
        ),
        (
            ring(12.0 * MM, 5.0 * MM, nan, Vector3::z()).err(),
            "ring length",
        ),
        (
            ring(12.0 * MM, 5.0 * MM, 2.0 * MM, vector![nan, 0.0, 0.0]).err(),
            "polarization x",
        ),
    ] {
        match made {
            Some(Error::NotFinite {
                quantity: found, ..
            }) => assert_eq!(found, quantity),
            other => panic!("{quantity}: {other:?}"),
        }
    }
}

#[test]
fn polarization_and_pose_have_limits() {
    let strong = vector![1.5, 1.5, 1.5];
    let text_of = "polarization = 2.59808 T is outside 0 to 2.5 T";
    assert!(text(cylinder(10.0 * MM, 4.0 * MM, strong)).starts_with(text_of));
    assert!(text(ring(12.0 * MM, 5.0 * MM, 2.0 * MM, strong)).starts_with(text_of));
    let far = Isometry3::translation(0.0, 2e6, 0.0);
    let disc = Cylinder::new(10.0 * MM, 4.0 * MM, Vector3::z(), far);
    assert!(text(disc).starts_with("position y = 2000000 m is outside"));
    assert!(washer(Vector3::z()).moved(&far).is_err());
}

#[test]
fn a_rim_has_no_field() {
    let on_rim = Point3::new(3.0 * MM, -4.0 * MM, 2.0 * MM);
    let (disc, washer) = (disc(vector![0.4, 0.0, 1.2]), washer(vector![0.4, 0.0, 1.2]));
    // 3-4-5 in binary fractions of a meter, so that the point is on the rim to the last bit.
    let exact = cylinder(0.625, 0.25, Vector3::z()).unwrap();
    let exact_rim = Point3::new(0.1875, -0.25, -0.125);
    assert_eq!(
        exact.field_at(&exact_rim),
        Err(Error::OnEdge {
            x: 0.1875,
            y: -0.25,
            z: -0.125
        })
    );
    assert_eq!(
        text(washer.field_at(&Point3::new(0.0, 2.5 * MM, 1.0 * MM))),
        "the field has no value at (0, 0.0025, 0.001) m: the point lies on an edge of a magnet; move it off the edge"
    );
    let points = [
        Point3::new(5.0 * MM, 0.0, -2.0 * MM),
        on_rim,
        Point3::origin(),
    ];
    let many = disc.fields_at(&points);
    // 3 mm and 4 mm are rounded, so that this point may be beside the rim; then it has a value.
    assert_eq!(many.valid, [false, disc.field_at(&on_rim).is_ok(), true]);
    assert!(many.values[0].iter().all(|part| part.is_nan()));
    let many = washer.fields_at(&[Point3::new(6.0 * MM, 0.0, 1.0 * MM), Point3::origin()]);
    assert_eq!(many.valid, [false, true]);
}

/// Where B jumps, the side outside the material counts; 1e-12 m beside the surface B is the same to 1e-8.
#[test]
fn a_surface_gives_the_limit_from_outside() {
    let j = vector![0.7, -0.3, 0.8];
    let step = 1e-12;
    let close = |surface: Result<Vector3<f64>>, beside: Result<Vector3<f64>>| {
        let (on, off) = (surface.unwrap(), beside.unwrap());
        assert!((on - off).norm() < 1e-8, "{on} {off}");
    };
    let disc = disc(j);
    let at = |rho: f64, z: f64| Point3::new(0.0, rho, z);
    let h = 2.0 * MM;
    close(
        disc.field_at(&at(1.0 * MM, h)),
        disc.field_at(&at(1.0 * MM, h + step)),
    );
    close(
        disc.field_at(&at(5.0 * MM, 0.5 * MM)),
        disc.field_at(&at(5.0 * MM + step, 0.5 * MM)),
    );
    let washer = washer(j);
    let h = 1.0 * MM;
    close(
        washer.field_at(&at(4.0 * MM, -h)),
        washer.field_at(&at(4.0 * MM, -h - step)),
    );
    close(
        washer.field_at(&at(6.0 * MM, 0.2 * MM)),
        washer.field_at(&at(6.0 * MM + step, 0.2 * MM)),
    );
    close(
        washer.field_at(&at(2.5 * MM, 0.2 * MM)),
        washer.field_at(&at(2.5 * MM - step, 0.2 * MM)),
    );
    // On the other side B differs by what J has along the surface.
    let inside = washer.field_at(&at(2.5 * MM + step, 0.2 * MM)).unwrap();
    let jump = inside - washer.field_at(&at(2.5 * MM, 0.2 * MM)).unwrap();
    assert!((jump - vector![0.7, 0.0, 0.8]).norm() < 1e-8, "{jump}");
}

#[test]
fn distance_is_negative_in_the_material() {
    let (disc, washer) = (disc(Vector3::z()), washer(Vector3::z()));
    let near = |one: Result<f64>, two: f64| assert!((one.unwrap() - two).abs() < 1e-15);
    near(disc.distance(&Point3::origin()), -2.0 * MM);
    near(disc.distance(&Point3::new(4.5 * MM, 0.0, 0.0)), -0.5 * MM);
    near(
        disc.distance(&Point3::new(0.0, 8.0 * MM, -6.0 * MM)),
        5.0 * MM,
    );
    near(washer.distance(&Point3::origin()), 2.5 * MM);
    near(washer.distance(&Point3::new(0.0, 3.0 * MM, 0.0)), -0.5 * MM);
    near(
        washer.distance(&Point3::new(0.0, 0.0, 4.0 * MM)),
        2.5_f64.hypot(3.0) * MM,
    );
    for magnet in [Magnet::from(disc), washer.into()] {
        assert!(magnet.distance(&Point3::new(0.0, f64::NAN, 0.0)).is_err());
        assert!(magnet.field_at(&Point3::new(0.0, 0.0, 2e6)).is_err());
    }
}

#[test]
fn moving_a_magnet_moves_its_field() {
    let motion = Isometry3::new(vector![3.0, -1.0, 7.0] * MM, vector![0.0, 90.0, 0.0] * DEG);
    let point = Point3::new(2.0 * MM, 3.0 * MM, 4.0 * MM);
    let still = washer(vector![0.0, 0.5, 1.0]);
    let moved = still.moved(&motion).unwrap();
    let b = motion * still.field_at(&point).unwrap();
    assert!((moved.field_at(&(motion * point)).unwrap() - b).norm() < 1e-13);
}

/// Stored, so that no change goes unseen: the values were taken from `cylinder_field.py`.
#[test]
fn stored_values() {
    let point = Point3::new(8.0 * MM, 3.0 * MM, -2.5 * MM);
    let j = vector![0.5, -0.7, 0.6];
    let near = |b: Vector3<f64>, expected: Vector3<f64>| {
        assert!((b - expected).norm() <= 1e-12 * expected.norm(), "{b:?}");
    };
    near(disc(j).field_at(&point).unwrap(), STORED[0].into());
    near(washer(j).field_at(&point).unwrap(), STORED[1].into());
}

const STORED: [[f64; 3]; 2] = [
    [
        -0.02014355119292443,
        0.025702002433217432,
        -0.02698033732235223,
    ],
    [
        -0.02011899611276603,
        0.013116282644303161,
        -0.01747317784106622,
    ],
];

#[test]
fn shapes_mix_in_a_group() {
    let j = Vector3::z();
    let block = Block::new(
        vector![1.0, 1.0, 1.0] * MM,
        j,
        Isometry3::translation(0.0, 0.0, 9.0 * MM),
    );
    let (block, disc, washer) = (block.unwrap(), disc(j), washer(j));
    let group = MagnetGroup::superposed([
        Magnet::from(block.clone()),
        disc.clone().into(),
        washer.clone().into(),
    ]);
    let point = Point3::new(1.0 * MM, 2.0 * MM, 5.0 * MM);
    let sum = block.field_at(&point).unwrap()
        + disc.field_at(&point).unwrap()
        + washer.field_at(&point).unwrap();
    assert_eq!(group.unwrap().field_at(&point).unwrap(), sum);
    assert_eq!(
        MagnetGroup::from(washer.clone()).magnets(),
        [Magnet::Ring(washer)]
    );
}

/// The two are computed by different forms, so their sum tells on either.
#[test]
fn flux_density_is_field_strength_and_polarization_in_any_direction() {
    let pose = Isometry3::from_parts(
        Translation3::new(1.0 * MM, 2.0 * MM, 3.0 * MM),
        UnitQuaternion::from_scaled_axis(Vector3::new(0.2, -0.3, 0.4)),
    );
    let j = Vector3::new(0.3, -0.4, 1.0);
    let shapes: [Magnet; 4] = [
        Cylinder::new(6.0 * MM, 3.0 * MM, j, pose).unwrap().into(),
        Cylinder::new(1.0 * MM, 90.0 * MM, j, pose).unwrap().into(),
        Ring::new(8.0 * MM, 3.0 * MM, 2.0 * MM, j, pose)
            .unwrap()
            .into(),
        Ring::new(8.0 * MM, 7.99 * MM, 2.0 * MM, j, pose)
            .unwrap()
            .into(),
    ];
    for shape in &shapes {
        for x in [0.0, 0.1, 0.3, 2.5, 3.9975, 5.0] {
            for (y, z) in [(0.0, 0.0), (0.05, 0.4), (-0.1, -0.9), (0.2, 1.7)] {
                let point = pose * Point3::new(x * MM, y * MM, z * MM);
                let sum =
                    shape.h_at(&point).unwrap() * MU_0 + shape.polarization_at(&point).unwrap();
                // Each of the three promises 1e-12 of about 1 T.
                assert!(
                    (shape.field_at(&point).unwrap() - sum).norm() < 3e-12,
                    "{shape:?} {point}"
                );
            }
        }
    }
}
