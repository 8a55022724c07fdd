//! Groups: what may stand together, groups in groups, volume and center.

use std::f64::consts::{FRAC_PI_4, PI};

use nalgebra::{Isometry3, Point3, Vector3, vector};
use yokewright::Error;
use yokewright::magnet::{
    Block, Cylinder, FieldSource, Magnet, MagnetGroup, Ring, Sphere, SteelPlate, pull,
};
use yokewright::units::MM;

fn at(x: f64, y: f64, z: f64) -> Isometry3<f64> {
    Isometry3::translation(x * MM, y * MM, z * MM)
}

fn up() -> Vector3<f64> {
    vector![0.0, 0.0, 1.2]
}

fn cube(pose: Isometry3<f64>) -> Magnet {
    let size = Vector3::repeat(10.0 * MM);
    Block::new(size, up(), pose).unwrap().into()
}

fn disc(diameter: f64, pose: Isometry3<f64>) -> Magnet {
    let disc = Cylinder::new(diameter * MM, 6.0 * MM, up(), pose);
    disc.unwrap().into()
}

fn ring(pose: Isometry3<f64>) -> Magnet {
    let ring = Ring::new(20.0 * MM, 12.0 * MM, 6.0 * MM, up(), pose);
    ring.unwrap().into()
}

fn ball(pose: Isometry3<f64>) -> Magnet {
    Sphere::new(10.0 * MM, up(), pose).unwrap().into()
}

#[test]
fn magnets_that_reach_into_each_other_are_refused() {
    let far = at(100.0, 0.0, 0.0);
    for (one, other, depth) in [
        (cube(at(0.0, 0.0, 0.0)), cube(at(8.0, 1.0, 2.0)), 2.0),
        (ball(at(0.0, 0.0, 0.0)), ball(at(0.0, 9.5, 0.0)), 0.5),
        // A pin wider than the bore, by 1 mm on the radius.
        (ring(at(0.0, 0.0, 0.0)), disc(14.0, at(0.0, 0.0, 0.0)), 1.0),
        (cube(at(0.0, 0.0, 0.0)), ball(at(0.0, 0.0, 9.75)), 0.25),
    ] {
        let error = MagnetGroup::new([cube(far), one.clone(), other.clone()]).unwrap_err();
        let Error::GroupOverlap {
            first,
            second,
            depth: found,
        } = error
        else {
            panic!("{error}")
        };
        assert_eq!((first, second), (1, 2));
        // Of round shapes the depth is found to a percent.
        assert!((found / MM / depth - 1.0).abs() < 0.02, "{found} m");
        // Whichever way round.
        assert!(MagnetGroup::new([other.clone(), cube(far), one.clone()]).is_err());
        let superposed = MagnetGroup::superposed([one, other]).unwrap();
        assert!(superposed.is_superposed());
    }
    let error = MagnetGroup::new([cube(at(0.0, 0.0, 0.0)), cube(at(8.0, 1.0, 2.0))]).unwrap_err();
    assert_eq!(
        error.to_string(),
        "magnets 0 and 1 of the group (counted from 0) reach 2 mm into each other; move them apart, or build the group \
            as \
         superposed if one stands for a hole in the other"
    );
}

#[test]
fn magnets_may_touch_and_stand_in_a_bore() {
    // 0.1 and 0.3 are no binary fractions, and the turn rounds every corner.
    let turn = Isometry3::new(vector![0.1, -0.3, 0.7], vector![0.3, -1.1, 0.6]);
    let wall = (0..10).flat_map(|i| (0..10).map(move |k| [f64::from(i), f64::from(k)]));
    let wall = wall.map(|[i, k]| cube(turn * at(10.0 * i, 0.1, 10.0 * k + 0.3)));
    assert_eq!(MagnetGroup::new(wall).unwrap().magnets().len(), 100);
    // A pin that fills the bore, a stack of discs, a ball on a cube, cubes edge to edge.
    let pin = [ring(turn), disc(12.0, turn)];
    assert!(MagnetGroup::new(pin).is_ok());
    let stack = (0..5).map(|i| disc(8.0, turn * at(0.0, 0.0, 6.0 * f64::from(i))));
    assert!(MagnetGroup::new(stack).is_ok());
    let ball_on_cube = [cube(turn), ball(turn * at(1.0, 2.0, 10.0))];
    assert!(MagnetGroup::new(ball_on_cube).is_ok());
    let askew = Isometry3::rotation(Vector3::z() * FRAC_PI_4);
    let reach = 5.0 + 50f64.sqrt();
    assert!(MagnetGroup::new([cube(turn), cube(turn * at(reach, 0.0, 0.0) * askew)]).is_ok());
    // A hundredth of a millimetre deeper is no longer touching.
    let deeper = turn * at(reach - 0.01, 0.0, 0.0) * askew;
    assert!(MagnetGroup::new([cube(turn), cube(deeper)]).is_err());
}

/// The parts of a superposed group: a disc with a thinner one of opposite polarization in it is a ring.
#[test]
fn a_hole_by_superposition() {
    let hole = Cylinder::new(12.0 * MM, 6.0 * MM, -up(), Isometry3::identity()).unwrap();
    let parts = [disc(20.0, Isometry3::identity()), hole.into()];
    assert!(matches!(
        MagnetGroup::new(parts.clone()),
        Err(Error::GroupOverlap {
            first: 0,
            second: 1,
            ..
        })
    ));
    let group = MagnetGroup::superposed(parts).unwrap();
    let ring = ring(Isometry3::identity());
    for point in [
        vector![3.0, 1.0, 7.0],
        vector![0.0, 0.0, 0.0],
        vector![8.0, 1.0, 1.0],
    ] {
        let point = Point3::from(point * MM);
        let (a, b) = (
            group.field_at(&point).unwrap(),
            ring.field_at(&point).unwrap(),
        );
        // Both are good to 1e-12 of their parts, of which none exceeds the polarization.
        assert!((a - b).norm() < 4e-12, "{a} {b}");
        let (a, b) = (group.polarization_at(&point), ring.polarization_at(&point));
        assert_eq!(a, b);
    }
    let other = disc(8.0, at(0.0, 0.0, 20.0));
    let [whole, of_ring] = [
        pull(&group, &other, None).unwrap(),
        pull(&ring, &other, None).unwrap(),
    ];
    assert!((whole.force - of_ring.force).norm() < 1e-8 * of_ring.force.norm());
    assert_eq!(group.volume(), None);
    // It keeps what it is.
    assert!(group.moved(&at(1.0, 2.0, 3.0)).unwrap().is_superposed());
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -4.0 * MM), Vector3::z()).unwrap();
    assert!(plate.images(&group).unwrap().is_superposed());
}

#[test]
fn groups_in_groups() {
    let pair = MagnetGroup::new([cube(at(0.0, 0.0, 0.0)), cube(at(10.0, 0.0, 0.0))]).unwrap();
    let both = MagnetGroup::new([pair.clone(), pair.moved(&at(0.0, 10.0, 0.0)).unwrap()]).unwrap();
    assert_eq!(both.magnets().len(), 4);
    assert_eq!(&both.magnets()[..2], pair.magnets());
    assert!(!both.is_superposed());
    // Against one another they are checked; what one superposed group holds is not.
    assert!(matches!(
        MagnetGroup::new([pair.clone(), pair.moved(&at(0.0, 9.0, 0.0)).unwrap()]),
        Err(Error::GroupOverlap { first: 0, second: 2, depth }) if (depth - MM).abs() < 1e-12
    ));
    let holed =
        MagnetGroup::superposed([disc(20.0, at(0.0, 0.0, 0.0)), disc(12.0, at(0.0, 0.0, 0.0))]);
    let holed = holed.unwrap();
    let beside = MagnetGroup::from(cube(at(30.0, 0.0, 0.0)));
    let group = MagnetGroup::new([beside.clone(), holed.clone()]).unwrap();
    assert!(group.is_superposed() && group.magnets().len() == 3);
    let inside = MagnetGroup::from(cube(at(12.0, 0.0, 0.0)));
    assert!(MagnetGroup::new([inside, holed.clone()]).is_err());
    assert!(MagnetGroup::new([holed.clone(), holed]).is_err());
    assert_eq!(
        MagnetGroup::new(Vec::<MagnetGroup>::new())
            .unwrap_err()
            .to_string(),
        "magnets in the group: 0 given, 1 to 10000 needed"
    );
}

#[test]
fn volume_and_center() {
    let group = MagnetGroup::new([cube(at(0.0, 0.0, 0.0)), ball(at(30.0, 0.0, 0.0))]).unwrap();
    // 1000 mm3 and pi / 6 of that.
    let share = PI / 6.0;
    let volume = group.volume().unwrap();
    assert!((volume / (1000.0 * MM.powi(3) * (1.0 + share)) - 1.0).abs() < 1e-14);
    let center = group.center();
    assert!((center.x / (30.0 * MM * share / (1.0 + share)) - 1.0).abs() < 1e-14);
    assert_eq!((center.y, center.z), (0.0, 0.0));
    // One magnet: its own center, to the last bit.
    let pose = at(0.1, -0.3, 0.7);
    let one = MagnetGroup::from(ring(pose));
    assert_eq!(one.center().coords, pose.translation.vector);
    assert_eq!(one.volume(), Some(ring(pose).volume()));
}

/// Left out, the torque is that about the center of what is pulled, not about some origin.
#[test]
fn the_torque_is_about_the_magnets_acted_on() {
    let far = Isometry3::new(vector![0.4, -0.2, 0.3], vector![0.2, 0.5, -0.4]);
    let (one, other) = (cube(far), disc(8.0, far * at(2.0, 1.0, 14.0)));
    let own = Point3::from(other.pose().translation.vector);
    assert_eq!(pull(&one, &other, None), pull(&one, &other, own));
    let origin = pull(&one, &other, Point3::origin()).unwrap();
    let about_own = pull(&one, &other, None).unwrap();
    let arm = own.coords.cross(&origin.force);
    assert!((origin.torque - arm - about_own.torque).norm() < 1e-9 * arm.norm());
    assert!(about_own.torque.norm() < 0.1 * origin.torque.norm());
    let two = MagnetGroup::new([other, ball(far * at(-8.0, 3.0, 16.0))]).unwrap();
    assert_eq!(pull(&one, &two, None), pull(&one, &two, two.center()));
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -1.0), Vector3::z()).unwrap();
    assert_eq!(plate.pull(&two, None), plate.pull(&two, two.center()));
}
