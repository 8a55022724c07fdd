//! The steel plate: every refusal by variant and text, contact, and what lies behind the face.

use nalgebra::{Isometry3, Point3, Vector3, vector};
use yokewright::Error;
use yokewright::error::Hint;
use yokewright::magnet::{
    Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring, Sphere, SteelPlate,
};
use yokewright::units::MM;

fn plate() -> SteelPlate {
    SteelPlate::new(Point3::origin(), vector![0.0, 0.0, 2.0]).unwrap()
}

fn block(z: f64) -> Magnet {
    let pose = Isometry3::translation(0.0, 0.0, z * MM);
    Block::new(vector![10.0, 8.0, 4.0] * MM, vector![0.2, 0.0, 1.2], pose)
        .unwrap()
        .into()
}

#[test]
fn a_plate_has_a_place_and_a_direction() {
    let plate = plate();
    assert_eq!(plate.point(), Point3::origin());
    assert_eq!(plate.normal().into_inner(), Vector3::z());
    let error = SteelPlate::new(Point3::origin(), Vector3::zeros()).unwrap_err();
    assert_eq!(
        error,
        Error::NoDirection {
            quantity: "normal of the steel plate"
        }
    );
    assert_eq!(
        error.to_string(),
        "normal of the steel plate has length zero, so it points nowhere; give a vector with a direction"
    );
    let error = SteelPlate::new(Point3::new(0.0, 0.0, 2e6), Vector3::z()).unwrap_err();
    assert_eq!(
        error,
        Error::OutOfRange {
            quantity: "point z",
            value: 2e6,
            min: -1e6,
            max: 1e6,
            unit: "m",
            hint: Hint::None,
        }
    );
    let error = SteelPlate::new(Point3::origin(), vector![0.0, f64::NAN, 1.0]).unwrap_err();
    assert_eq!(
        error.to_string(),
        "normal of the steel plate is NaN, not a finite number; give it in any one unit"
    );
    // Any length that has a direction, also where its square has none.
    for length in [5e-324, 1e-200, 1.0, 1e300] {
        let plate = SteelPlate::new(Point3::origin(), Vector3::y() * length).unwrap();
        assert_eq!(plate.normal().into_inner(), Vector3::y());
    }
}

#[test]
fn a_magnet_through_the_face() {
    let group = MagnetGroup::new([block(9.0), block(15.0), block(1.5)]).unwrap();
    let error = plate().images(&group).unwrap_err();
    assert!(
        matches!(error, Error::ThroughPlate { magnet: 2, reach } if (reach - 0.5 * MM).abs() < 1e-12)
    );
    assert_eq!(
        error.to_string(),
        "magnet 2 (counted from 0) reaches 0.5 mm through the face of the steel plate; move it off, or turn the normal \
            of \
         the plate towards the magnets"
    );
    let about = Point3::origin();
    assert_eq!(plate().with_images(&group).unwrap_err(), error);
    assert_eq!(plate().over(&group).unwrap_err(), error);
    assert_eq!(plate().gap(&group).unwrap_err(), error);
    assert_eq!(plate().thickness_for(&group, 2.0).unwrap_err(), error);
    assert_eq!(plate().pull(&group, about).unwrap_err(), error);
    // Behind it as a whole: most likely a normal that points the wrong way.
    let behind = plate().images(&block(-10.0).into()).unwrap_err();
    assert!(
        matches!(behind, Error::ThroughPlate { magnet: 0, reach } if (reach - 12.0 * MM).abs() < 1e-12)
    );
}

/// How far each shape reaches towards a face at 45 degrees to its axis.
#[test]
fn the_reach_of_every_shape() {
    let own = Isometry3::identity();
    let j = vector![0.0, 0.0, 1.0];
    let slope = std::f64::consts::FRAC_1_SQRT_2;
    let shapes: [(Magnet, f64); 4] = [
        (
            Block::new(vector![10.0, 8.0, 4.0] * MM, j, own)
                .unwrap()
                .into(),
            slope * 7.0,
        ),
        (
            Cylinder::new(10.0 * MM, 4.0 * MM, j, own).unwrap().into(),
            slope * 7.0,
        ),
        (
            Ring::new(10.0 * MM, 5.0 * MM, 4.0 * MM, j, own)
                .unwrap()
                .into(),
            slope * 7.0,
        ),
        (Sphere::new(10.0 * MM, j, own).unwrap().into(), 5.0),
    ];
    for (magnet, reach) in shapes {
        let normal = vector![1.0, 0.0, 1.0];
        let at = |height: f64| {
            SteelPlate::new(Point3::from(-normal.normalize() * height * MM), normal).unwrap()
        };
        let group = MagnetGroup::from(magnet);
        assert!((at(reach + 3.0).gap(&group).unwrap() - 3.0 * MM).abs() < 1e-15);
        // Touching, up to the rounding of the height.
        assert!(at(reach).gap(&group).unwrap() < 1e-15);
        let through = at(reach - 0.25).images(&group).unwrap_err();
        assert!(
            matches!(through, Error::ThroughPlate { reach, .. } if (reach - 0.25 * MM).abs() < 1e-12)
        );
    }
}

#[test]
fn a_magnet_may_touch_the_face() {
    // 2 mm is not a binary fraction: neither sum is exact.
    for z in [2.0, 2.0 + 1e-13, 2.0 - 1e-13] {
        let over = plate().over(&block(z).into()).unwrap();
        // Beside the magnet, on the face and above.
        let b = over.field_at(&Point3::new(8.0 * MM, 0.0, 0.0)).unwrap();
        assert!(b.xy().norm() < 1e-9 && b.z.abs() > 0.01, "{b:?}");
        assert!(over.field_at(&Point3::new(0.0, 0.0, 5.0 * MM)).unwrap().z > 0.0);
    }
    // The edge that lies on the face has no field, as anywhere.
    let over = plate().over(&block(2.0).into()).unwrap();
    let edge = Point3::new(5.0 * MM, 0.0, 0.0);
    assert!(matches!(over.field_at(&edge), Err(Error::OnEdge { .. })));
    assert_eq!(over.fields_at(&[edge]).valid, [false]);
}

#[test]
fn points_behind_the_face() {
    let over = plate().over(&block(5.0).into()).unwrap();
    let inside = Point3::new(1.0 * MM, 2.0 * MM, -0.25 * MM);
    let error = over.field_at(&inside).unwrap_err();
    assert_eq!(error, Error::BehindPlate { depth: 0.25 * MM });
    assert_eq!(
        error.to_string(),
        "the point lies 0.25 mm behind the face of the steel plate, where images give no field; move it in front"
    );
    let (face, above) = (
        Point3::new(1.0 * MM, 2.0 * MM, 0.0),
        Point3::new(0.0, 0.0, 9.0 * MM),
    );
    let nowhere = Point3::new(0.0, f64::NAN, 0.0);
    let fields = over.fields_at(&[above, inside, face, nowhere]);
    assert_eq!(fields.valid, [true, false, true, false]);
    assert!(fields.values[1].iter().all(|part| part.is_nan()));
    assert_eq!(over.fields_at(&[above]).values[0], fields.values[0]);
    assert_eq!(
        over.field_at(&nowhere).unwrap_err().to_string(),
        "point y is NaN, not a finite number; give it in m"
    );
    assert_eq!(plate().distance(&inside).unwrap(), -0.25 * MM);
    assert!(plate().distance(&nowhere).is_err());
}

/// Mirror the parts along the face and keep the one across, as a magnet on a table would look in it.
#[test]
fn an_image_by_hand() {
    let magnets = MagnetGroup::new([block(5.0), block(12.0)]).unwrap();
    let over = plate().over(&magnets).unwrap();
    assert_eq!(over.plate(), &plate());
    assert_eq!(over.group(), &plate().with_images(&magnets).unwrap());
    assert_eq!(over.group().magnets().len(), 4);
    assert_eq!(&over.group().magnets()[..2], magnets.magnets());
    let image = &over.group().magnets()[3];
    assert!((image.pose().translation.vector - vector![0.0, 0.0, -12.0] * MM).norm() < 1e-17);
    let j = image.pose().rotation * image.polarization();
    assert!((j - vector![-0.2, 0.0, 1.2]).norm() < 1e-15);
}

#[test]
fn too_many_for_one_group() {
    let many = MagnetGroup::superposed(std::iter::repeat_n(block(5.0), 6000)).unwrap();
    assert_eq!(plate().images(&many).unwrap().magnets().len(), 6000);
    assert!(matches!(
        plate().with_images(&many),
        Err(Error::Count {
            count: 12_000,
            max: 10_000,
            ..
        })
    ));
}

#[test]
fn thickness_that_carries_the_flux() {
    let thickness =
        |z: f64, saturation: f64| plate().thickness_for(&block(z).into(), saturation).unwrap();
    // Less steel where it bears more, and for a magnet farther off.
    assert!((thickness(2.0, 1.0) / thickness(2.0, 2.0) - 2.0).abs() < 1e-12);
    assert!(thickness(5.0, 2.0) < thickness(2.0, 2.0));
    // A pole of 8 x 10 mm and about 1 T has to pass 8e-5 Wb through an outline of 36 mm at 2 T: about a millimetre.
    assert!((0.5 * MM..2.0 * MM).contains(&thickness(2.0, 2.0)));
    for saturation in [0.0, 0.05, 3.5, 2000.0] {
        assert!(matches!(
            plate().thickness_for(&block(2.0).into(), saturation),
            Err(Error::OutOfRange {
                quantity: "saturation",
                min: 0.1,
                max: 3.0,
                unit: "T",
                ..
            })
        ));
    }
    assert!(matches!(
        plate().thickness_for(&block(2.0).into(), f64::NAN),
        Err(Error::NotFinite {
            quantity: "saturation",
            ..
        })
    ));
    let none = Block::new(
        vector![10.0, 8.0, 4.0] * MM,
        Vector3::zeros(),
        Isometry3::translation(0.0, 0.0, 5.0 * MM),
    );
    assert_eq!(plate().thickness_for(&none.unwrap().into(), 2.0), Ok(0.0));
}

/// Right under an upright magnet the plate carries nothing by symmetry, and a share of nothing cannot be reached.
#[test]
fn thickness_where_the_flux_vanishes_by_symmetry() {
    let ball = Sphere::new(8.0 * MM, vector![0.3, 0.2, 1.0], Isometry3::identity()).unwrap();
    let askew = SteelPlate::new(Point3::new(0.0, 0.0, -0.01), vector![0.3, 0.2, 1.0]).unwrap();
    // A ball is a dipole m = J V / mu0, along the normal here; at a height h the sheet carries
    // K = mu0 m / (2 pi) x rho / (rho^2 + h^2)^(3/2), greatest at rho = h / sqrt 2, where it is mu0 m / (3 sqrt 3 pi
    // h^2).
    let j = 1.13f64.sqrt();
    let height = askew.distance(&Point3::origin()).unwrap();
    let volume = std::f64::consts::PI / 6.0 * (8.0 * MM).powi(3);
    let expected = j * volume / (3.0 * 3f64.sqrt() * std::f64::consts::PI * height * height) / 2.0;
    let thickness = askew.thickness_for(&ball.into(), 2.0).unwrap();
    assert!(
        (thickness / expected - 1.0).abs() < 1e-2,
        "{thickness} m and {expected} m"
    );

    let upright = Isometry3::rotation(Vector3::x() * std::f64::consts::FRAC_PI_2);
    let ring = Ring::new(
        20.0 * MM,
        6.0 * MM,
        4.0 * MM,
        vector![0.0, 1.3, 0.0],
        upright,
    )
    .unwrap();
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -15.0 * MM), Vector3::z()).unwrap();
    let thickness = plate.thickness_for(&ring.into(), 2.0).unwrap();
    assert!(
        thickness > 0.1 * MM && thickness < 1.0 * MM,
        "{thickness} m"
    );
}
