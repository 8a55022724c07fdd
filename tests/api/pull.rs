//! Pull: every refusal by variant and text, what may touch, and whose force it is.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3, vector};
use yokewright::error::Hint;
use yokewright::magnet::{
    Block, Cylinder, FieldSource, Magnet, MagnetGroup, PULL_TOLERANCE, Pull, Ring, Sphere,
    SteelPlate, contact_force, interaction_energy, pull, pull_within,
};
use yokewright::units::MM;
use yokewright::{Error, Result};

fn at(x: f64, y: f64, z: f64) -> Isometry3<f64> {
    Isometry3::translation(x * MM, y * MM, z * MM)
}

fn cube(pose: Isometry3<f64>) -> Magnet {
    Block::new(Vector3::repeat(10.0 * MM), vector![0.0, 0.0, 1.2], pose)
        .unwrap()
        .into()
}

fn disc(pose: Isometry3<f64>) -> Magnet {
    Cylinder::new(10.0 * MM, 5.0 * MM, vector![0.0, 0.0, 1.2], pose)
        .unwrap()
        .into()
}

fn ring(pose: Isometry3<f64>) -> Magnet {
    Ring::new(20.0 * MM, 12.0 * MM, 6.0 * MM, vector![0.0, 0.0, 1.2], pose)
        .unwrap()
        .into()
}

fn ball(pose: Isometry3<f64>) -> Magnet {
    Sphere::new(8.0 * MM, vector![0.0, 0.0, 1.2], pose)
        .unwrap()
        .into()
}

fn origin() -> Point3<f64> {
    Point3::origin()
}

/// Depth of the overlap that is refused, m.
fn overlap(a: &Magnet, b: &Magnet) -> f64 {
    match pull(a, b, origin()) {
        Err(Error::Overlap {
            first: 0,
            second: 0,
            depth,
        }) => depth,
        other => panic!("{other:?}"),
    }
}

#[test]
fn overlapping_magnets() {
    let error = pull(&cube(at(0.0, 0.0, 0.0)), &cube(at(3.0, 2.0, 9.5)), origin()).unwrap_err();
    let text = "magnet 0 of those that pull and magnet 0 of those that are pulled (counted from 0) reach 0.5 mm into \
                each other; move them apart";
    assert_eq!(error.to_string(), text);
    assert!(
        matches!(error, Error::Overlap { first: 0, second: 0, depth } if (depth - 0.5 * MM).abs() < 1e-9)
    );

    // Which of a group it is.
    let far = cube(at(100.0, 0.0, 0.0));
    let error = pull(
        &[far.clone(), cube(at(0.0, 0.0, 0.0))],
        &[
            cube(at(50.0, 0.0, 0.0)),
            far.moved(&at(0.0, 30.0, 0.0)).unwrap(),
            disc(at(0.0, 0.0, 7.0)),
        ],
        origin(),
    );
    assert!(matches!(
        error,
        Err(Error::Overlap {
            first: 1,
            second: 2,
            ..
        })
    ));
    // Also without a force, and for the energy.
    let none = Block::new(
        Vector3::repeat(10.0 * MM),
        Vector3::zeros(),
        at(0.0, 0.0, 9.0),
    )
    .unwrap()
    .into();
    assert!((overlap(&cube(at(0.0, 0.0, 0.0)), &none) - 1.0 * MM).abs() < 1e-9);
    assert!(matches!(
        interaction_energy(&cube(at(0.0, 0.0, 0.0)), &disc(at(0.0, 0.0, 1.0))),
        Err(Error::Overlap { .. })
    ));
}

/// The depth is that of the shallowest way out, found to a few percent.
#[test]
fn overlap_of_every_shape() {
    let here = at(0.0, 0.0, 0.0);
    let tilted = |z: f64, angle: f64| {
        let turn = UnitQuaternion::from_scaled_axis(Vector3::x() * angle);
        Isometry3::from_parts(Translation3::new(0.0, 0.0, z * MM), turn)
    };
    let quarter = std::f64::consts::FRAC_PI_4;
    let root = 50_f64.sqrt();
    for (a, b, depth) in [
        (cube(here), disc(at(0.0, 0.0, 7.0)), 0.5),
        (disc(here), disc(at(9.0, 0.0, 1.0)), 1.0),
        (disc(here), ball(at(0.0, 0.0, 6.2)), 0.3),
        (cube(here), ball(at(8.9, 0.0, 0.0)), 0.1),
        (ball(here), ball(at(0.0, 4.0, 6.0)), 8.0 - 52_f64.sqrt()),
        // An edge into a face.
        (cube(here), cube(tilted(5.0 + root - 0.2, quarter)), 0.2),
        // In the bore, against its wall; around the ring from outside.
        (ring(here), ball(at(2.1, 0.0, 0.0)), 0.1),
        (ring(here), disc(at(1.3, 0.0, 0.0)), 0.3),
        (ring(here), disc(at(14.9, 0.0, 0.0)), 0.1),
        (ring(here), cube(at(0.0, 0.0, 7.9)), 0.1),
    ] {
        let depth = depth * MM;
        for found in [overlap(&a, &b), overlap(&b, &a)] {
            assert!(
                (found - depth).abs() < 0.05 * depth,
                "{found} m, not {depth} m: {a:?} {b:?}"
            );
        }
        // Moved apart by as much and a hair, they are fine.
        let away = (b.pose().translation.vector - a.pose().translation.vector).normalize();
        let way = if matches!((&a, &b), (Magnet::Ring(_), Magnet::Sphere(_)))
            || depth == 0.3 * MM && matches!(a, Magnet::Ring(_))
        {
            -away
        } else {
            away
        };
        let clear = b
            .moved(&Translation3::from(way * (1.1 * depth)).into())
            .unwrap();
        assert!(
            pull_within(&a, &clear, origin(), 1e-3).is_ok(),
            "{a:?} {clear:?}"
        );
    }
}

/// Anything may touch: in contact the force is the limit of that over a small gap.
#[test]
fn touching_is_allowed() {
    let here = at(0.0, 0.0, 0.0);
    for (a, b, away) in [
        (cube(here), cube(at(0.0, 0.0, 10.0)), Vector3::z()),
        (cube(here), cube(at(10.0, 4.0, 3.0)), Vector3::x()),
        (cube(here), disc(at(0.0, 0.0, 7.5)), Vector3::z()),
        (disc(here), disc(at(0.0, 0.0, 5.0)), Vector3::z()),
        (disc(here), disc(at(10.0, 0.0, 0.0)), Vector3::x()),
        (ring(here), disc(at(1.0, 0.0, 0.0)), -Vector3::x()),
        (ring(here), ring(at(0.0, 0.0, 6.0)), Vector3::z()),
        (ball(here), ball(at(0.0, 0.0, 8.0)), Vector3::z()),
        (cube(here), ball(at(0.0, 0.0, 9.0)), Vector3::z()),
    ] {
        let touching = pull_within(&a, &b, origin(), 1e-5).unwrap();
        let off = b.moved(&Translation3::from(away * 1e-8).into()).unwrap();
        let near = pull_within(&a, &off, origin(), 1e-5).unwrap();
        // 1e-8 m over some millimetres, times a logarithm of about 15, and the tolerance of both.
        let step = (touching.force - near.force).norm() / near.force.norm();
        assert!(step < 1e-4, "{step:e} at {a:?} {b:?}");
    }
}

/// Millimetres in metres are rounded, so that contact by the numbers may be an overlap of 1e-18 m.
#[test]
fn rounded_contact_is_contact() {
    for thousandths in 1..200 {
        let z = 0.001 * f64::from(thousandths);
        let low = cube(at(0.1 + 0.2, 0.0, z));
        let high = cube(at(0.3, 0.0, z + 10.0));
        let force = pull(&low, &high, origin()).unwrap().force.z;
        // 46.6 N, see the table of parallel blocks.
        assert!((force + 46.625_231_468).abs() < 1e-8, "{force}");
    }
}

/// A face that is tilted by less than an atom over its width touches all the same, and is outside all the same: inside,
/// the field along the face would be another one.
#[test]
fn contact_may_be_tilted_by_rounding() {
    let oblique = |pose| {
        let j = vector![0.3, -0.2, 1.2];
        Magnet::from(Block::new(Vector3::repeat(10.0 * MM), j, pose).unwrap())
    };
    let low = oblique(at(0.0, 0.0, 0.0));
    let level = pull(&low, &oblique(at(0.0, 0.0, 10.0)), origin()).unwrap();
    for tilt in [1e-13, -1e-11, 8e-10] {
        let turn = UnitQuaternion::from_scaled_axis(Vector3::x() * tilt);
        let pose = Isometry3::from_parts(Translation3::new(0.0, 0.0, 10.0 * MM), turn);
        let tilted = pull_within(&low, &oblique(pose), origin(), 1e-4).unwrap();
        assert!((tilted.force - level.force).norm() < 2e-4 * level.force.norm());
        assert!((tilted.torque - level.torque).norm() < 2e-4 * level.force.norm() * 10.0 * MM);
    }
}

#[test]
fn an_empty_list() {
    let none: [Magnet; 0] = [];
    for (result, quantity) in [
        (
            pull(&none, &cube(at(0.0, 0.0, 0.0)), origin()).map(|_| ()),
            "magnets that pull",
        ),
        (
            pull(&cube(at(0.0, 0.0, 0.0)), &none, origin()).map(|_| ()),
            "magnets that are pulled",
        ),
        (
            interaction_energy(&none, &none).map(|_| ()),
            "magnets that pull",
        ),
    ] {
        assert!(
            matches!(result, Err(Error::Count { quantity: named, count: 0, min: 1, .. }) if named == quantity)
        );
    }
}

#[test]
fn points_and_tolerances() {
    let (a, b) = (cube(at(0.0, 0.0, 0.0)), cube(at(0.0, 0.0, 20.0)));
    let text = |result: Result<Pull>| result.unwrap_err().to_string();
    assert_eq!(
        text(pull(&a, &b, Point3::new(f64::NAN, 0.0, 0.0))),
        "point x is NaN, not a finite number; give it in m"
    );
    assert_eq!(
        text(pull(&a, &b, Point3::new(0.0, 2e6, 0.0))),
        "point y = 2000000 m is outside -1000000 to 1000000 m"
    );
    for tolerance in [0.0, 1e-13, 0.2, -1e-3] {
        assert_eq!(
            pull_within(&a, &b, origin(), tolerance).unwrap_err(),
            Error::OutOfRange {
                quantity: "tolerance",
                value: tolerance,
                min: 1e-12,
                max: 0.1,
                unit: "(no unit)",
                hint: Hint::None,
            }
        );
    }
    assert!(matches!(
        pull_within(&a, &b, origin(), f64::NAN),
        Err(Error::NotFinite {
            quantity: "tolerance",
            ..
        })
    ));
    assert_eq!(
        pull(&a, &b, origin()),
        pull_within(&a, &b, origin(), PULL_TOLERANCE)
    );
}

/// Cubes that touch askew cannot be had to the last digit; the error says how far it got.
#[test]
fn a_tolerance_out_of_reach() {
    let askew = |pose| {
        let j = vector![0.1, 0.5, 1.1];
        Magnet::from(Block::new(Vector3::repeat(10.0 * MM), j, pose).unwrap())
    };
    let turn = UnitQuaternion::from_scaled_axis(vector![0.0, 0.0, 0.6]);
    let upper = Isometry3::from_parts(Translation3::new(0.0, 0.0, 10.0 * MM), turn);
    let result = pull_within(&askew(at(0.0, 0.0, 0.0)), &askew(upper), origin(), 1e-12);
    let error = result.unwrap_err();
    let Error::NotConverged {
        quantity: "force",
        reached,
        wanted,
        unit: "N",
    } = error
    else {
        panic!("{error:?}");
    };
    // Of a force of some 30 N.
    assert!(reached > wanted && wanted > 0.0 && reached < 0.03);
    assert_eq!(
        error.to_string(),
        format!(
            "force: the error is still about {reached:.1e} N, {wanted:.1e} N was asked for; allow a larger tolerance"
        )
    );
}

#[test]
fn whose_force_and_torque() {
    // Poles in line attract: the upper one is pulled down, the lower one up.
    let (low, high) = (cube(at(0.0, 0.0, 0.0)), cube(at(0.0, 0.0, 15.0)));
    assert!(pull(&low, &high, origin()).unwrap().force.z < 0.0);
    assert!(pull(&high, &low, origin()).unwrap().force.z > 0.0);
    // A needle across the field of another wants to turn into it: the field above the pole points up.
    let needle = Block::new(
        vector![10.0, 2.0, 2.0] * MM,
        vector![1.0, 0.0, 0.0],
        at(0.0, 0.0, 15.0),
    )
    .unwrap();
    let torque = pull(
        &low,
        &Magnet::from(needle),
        Point3::new(0.0, 0.0, 15.0 * MM),
    )
    .unwrap()
    .torque;
    assert!(
        torque.y < 0.0 && torque.xz().norm() < 1e-12,
        "x turns towards z"
    );
    // Far away next to nothing is left, exactly nothing without polarization.
    let far = pull(&low, &cube(at(0.0, 0.0, 1e6)), origin()).unwrap();
    assert!(far.force.z < 0.0 && far.force.norm() < 1e-9);
    let none = Magnet::from(Sphere::new(5.0 * MM, Vector3::zeros(), at(0.0, 0.0, 20.0)).unwrap());
    let nothing = pull(&low, &none, origin()).unwrap();
    assert_eq!(
        (nothing.force, nothing.torque),
        (Vector3::zeros(), Vector3::zeros())
    );
    assert_eq!(interaction_energy(&low, &none), Ok(0.0));
    assert!(
        interaction_energy(&low, &high).unwrap() < 0.0,
        "they attract"
    );
}

#[test]
fn a_group_pulls_as_the_sum_of_its_members() {
    let by = [cube(at(0.0, 0.0, 0.0)), disc(at(15.0, 0.0, 0.0))];
    let on = [ring(at(0.0, 5.0, 20.0)), ball(at(20.0, 3.0, 15.0))];
    let about = Point3::new(1.0 * MM, 2.0 * MM, 3.0 * MM);
    let groups = [by.clone(), on.clone()].map(|members| MagnetGroup::new(members).unwrap());
    let whole = pull(&groups[0], &groups[1], about).unwrap();
    assert_eq!(pull(&by, on.as_slice(), about).unwrap(), whole);
    let (mut force, mut torque, mut error) = (Vector3::zeros(), Vector3::zeros(), 0.0);
    for a in &by {
        for b in &on {
            let pull = pull(a, b, about).unwrap();
            force += pull.force;
            torque += pull.torque;
            error += pull.force_error;
        }
    }
    assert!((whole.force - force).norm() < 1e-14 && (whole.torque - torque).norm() < 1e-16);
    assert!((whole.force_error - error).abs() < 1e-3 * error);
}

/// What a handling caution is made of.
#[test]
fn force_in_contact() {
    let pose = Isometry3::from_parts(
        Translation3::new(0.1, 0.2, 0.3),
        UnitQuaternion::from_scaled_axis(vector![0.3, 0.2, 0.1]),
    );
    for (magnet, step) in [
        (cube(pose), vector![0.0, 0.0, 10.0]),
        (disc(pose), vector![0.0, 0.0, 5.0]),
        (ring(pose), vector![0.0, 0.0, 6.0]),
        (ball(pose), vector![0.0, 0.0, 8.0]),
        (
            Cylinder::new(10.0 * MM, 5.0 * MM, vector![0.0, 1.2, 0.1], pose)
                .unwrap()
                .into(),
            vector![0.0, 10.0, 0.0],
        ),
        (
            Block::new(vector![5.0, 6.0, 7.0] * MM, vector![0.1, -1.2, 0.0], pose)
                .unwrap()
                .into(),
            vector![0.0, 6.0, 0.0],
        ),
    ] {
        let force = contact_force(&magnet).unwrap();
        // Wherever it stands: stacked on itself along `step`.
        let own = Isometry3::identity();
        let stacked = magnet.placed(Translation3::from(step * MM).into()).unwrap();
        let pull = pull_within(&magnet.placed(own).unwrap(), &stacked, origin(), 1e-6).unwrap();
        assert!(
            (force - pull.force.norm()).abs() < 2e-6 * force,
            "{magnet:?}"
        );
        assert!(pull.force.dot(&step) < 0.0, "they attract: {magnet:?}");
    }
    // The same magnet sticks to thick steel with the same force.
    let plate = SteelPlate::new(origin(), Vector3::z()).unwrap();
    let on_steel = plate
        .pull_within(&disc(at(0.0, 0.0, 2.5)).into(), origin(), 1e-6)
        .unwrap();
    assert!((on_steel.force.z + contact_force(&disc(pose)).unwrap()).abs() < 1e-4);
    let none = Block::new(Vector3::repeat(5.0 * MM), Vector3::zeros(), pose).unwrap();
    assert_eq!(contact_force(&none.into()), Ok(0.0));
}

/// Round magnets polarized askew, stacked: their cross parts must not be lost. Stored: integrated over the surface in
/// both directions to 1e-6, which knows nothing of the axis they share.
#[test]
fn contact_force_of_round_magnets_polarized_askew() {
    let own = Isometry3::identity();
    let ring = |outer: f64, inner: f64, j| {
        Magnet::from(Ring::new(outer * MM, inner * MM, 3.0 * MM, j, own).unwrap())
    };
    let cylinder = |diameter: f64, length: f64, j| {
        Magnet::from(Cylinder::new(diameter * MM, length * MM, j, own).unwrap())
    };
    for (magnet, stored) in [
        (ring(8.0, 4.0, vector![1.0, 0.0, 1.0]), 11.468_224_771),
        (ring(20.0, 18.0, vector![0.3, 0.2, 1.0]), 20.049_597_036),
        (cylinder(8.0, 3.0, vector![1.0, 0.0, 1.0]), 11.750_437_515),
        (cylinder(4.0, 12.0, vector![1.0, 0.0, 1.0]), 5.460_217_833),
        (ring(8.0, 4.0, vector![0.0, 0.0, 1.0]), 10.257_492_067),
    ] {
        let force = contact_force(&magnet).unwrap();
        // Both are good to 1e-6 of the force.
        assert!(
            (force - stored).abs() < 2e-6 * stored,
            "{force} N of {magnet:?}"
        );
    }
}

#[test]
fn the_pull_to_a_plate_is_that_of_the_images() {
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -3.0 * MM), vector![0.1, 0.0, 1.0]).unwrap();
    let group = MagnetGroup::new([cube(at(0.0, 0.0, 8.0)), ball(at(15.0, 3.0, 9.0))]).unwrap();
    let about = Point3::new(5.0 * MM, 0.0, 0.0);
    let images = plate.images(&group).unwrap();
    assert_eq!(plate.pull(&group, about), pull(&images, &group, about));
    assert_eq!(
        plate.pull_within(&group, about, 1e-4),
        pull_within(&images, &group, about, 1e-4)
    );
    // A magnet whose pole is parallel to the face is attracted, too.
    let lying = Block::new(
        vector![10.0, 4.0, 4.0] * MM,
        vector![1.2, 0.0, 0.0],
        at(0.0, 0.0, 5.0),
    )
    .unwrap();
    let level = SteelPlate::new(origin(), Vector3::z()).unwrap();
    assert!(level.pull(&lying.into(), origin()).unwrap().force.z < -0.1);
}
