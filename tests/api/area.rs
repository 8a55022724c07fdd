//! The mean over an active area: every refusal by variant and text, and what lies on a surface or within a magnet.

use nalgebra::{Isometry3, Point3, Vector3, vector};
use yokewright::Error;
use yokewright::error::Hint;
use yokewright::magnet::{
    ActiveArea, AreaOutline, Block, FieldSource, Magnet, MagnetGroup, Sphere,
};
use yokewright::units::{MM, UM};

/// The roll magnet of the training rig: half sides 5, 4 and 2 mm.
fn bar() -> Block {
    let size = vector![10.0, 8.0, 4.0] * MM;
    Block::new(size, vector![0.0, 0.0, 1.2], Isometry3::identity()).unwrap()
}

fn group() -> MagnetGroup {
    bar().into()
}

fn at(x: f64, y: f64, z: f64) -> Isometry3<f64> {
    Isometry3::translation(x * MM, y * MM, z * MM)
}

/// A plate of 2 x 1 mm.
fn plate(pose: Isometry3<f64>) -> ActiveArea {
    ActiveArea::rectangle(2.0 * MM, 1.0 * MM, pose).unwrap()
}

#[test]
fn it_has_what_it_was_made_of() {
    let pose = Isometry3::new(vector![1.0, 2.0, 3.0] * MM, vector![0.1, 0.2, 0.3]);
    let plate = plate(pose);
    let (width, height) = (2.0 * MM, 1.0 * MM);
    assert_eq!(plate.outline(), AreaOutline::Rectangle { width, height });
    assert_eq!(plate.pose(), pose);
    let disc = ActiveArea::disc(0.3 * MM, pose).unwrap();
    let diameter = 0.3 * MM;
    assert_eq!(disc.outline(), AreaOutline::Disc { diameter });
    let motion = at(1.0, 0.0, 0.0);
    assert_eq!(disc.moved(&motion).unwrap().pose(), motion * pose);
    assert!(disc.moved(&at(2e9, 0.0, 0.0)).is_err());
}

#[test]
fn its_measures_have_limits() {
    let pose = Isometry3::identity();
    let error = ActiveArea::rectangle(2.0, 1.0 * MM, pose).unwrap_err();
    assert_eq!(
        error,
        Error::OutOfRange {
            quantity: "active area width",
            value: 2.0,
            min: 1e-7,
            max: 0.1,
            unit: "m",
            hint: Hint::Millimetres(2.0),
        }
    );
    let text = |refused: yokewright::Result<ActiveArea>| refused.unwrap_err().to_string();
    assert_eq!(
        text(ActiveArea::rectangle(1.0 * MM, 2.0, pose)),
        "active area height = 2 m is outside 0.0000001 to 0.1 m; did you mean 2 * MM?"
    );
    assert_eq!(
        text(ActiveArea::disc(f64::NAN, pose)),
        "active area diameter is NaN, not a finite number; give it in m"
    );
    assert_eq!(
        text(ActiveArea::disc(0.0, pose)),
        "active area diameter = 0 m is outside 0.0000001 to 0.1 m"
    );
    let far = Isometry3::translation(f64::INFINITY, 0.0, 0.0);
    assert_eq!(
        text(ActiveArea::disc(1.0 * MM, far)),
        "position x is inf, not a finite number; give it in m"
    );
}

#[test]
fn the_tolerance_has_limits() {
    let mean = |tolerance| plate(at(0.0, 0.0, 4.0)).mean_field(&group(), tolerance);
    assert!(mean(1e-12).is_ok() && mean(0.1).is_ok());
    assert_eq!(
        mean(0.0).unwrap_err(),
        Error::OutOfRange {
            quantity: "tolerance of the mean field",
            value: 0.0,
            min: 1e-12,
            max: 0.1,
            unit: "(no unit)",
            hint: Hint::None,
        }
    );
    assert_eq!(
        mean(f64::NAN).unwrap_err().to_string(),
        "tolerance of the mean field is NaN, not a finite number; give it in (no unit)"
    );
}

/// A finer tolerance costs more points and gives a smaller error estimate.
#[test]
fn points_and_error_follow_the_tolerance() {
    let area = plate(at(3.0, 3.5, 3.0));
    let mut before = area.mean_field(&group(), 0.1).unwrap();
    let best = area.mean_field(&group(), 1e-12).unwrap().value;
    for tolerance in [1e-3, 1e-6, 1e-9] {
        let mean = area.mean_field(&group(), tolerance).unwrap();
        // Two tolerances may be met by one rule; never by a smaller one or a larger estimate.
        assert!(mean.points >= before.points && mean.error_estimate <= before.error_estimate);
        assert!(mean.error_estimate <= tolerance * best.norm() * 1.01);
        assert!((mean.value - best).norm() <= mean.error_estimate);
        before = mean;
    }
    let coarse = area.mean_field(&group(), 0.1).unwrap();
    assert!(before.points > coarse.points && before.error_estimate < coarse.error_estimate);
}

#[test]
fn a_cut_surface_is_refused() {
    // Through a face, with a corner of the area, with the tip of an edge through its middle.
    let upright = Isometry3::new(vector![0.0, 0.0, 2.0] * MM, vector![1.5, 0.0, 0.0]);
    let corner = at(5.9, 4.4, 0.0);
    let through = at(0.0, 0.0, 0.0);
    let wide = ActiveArea::rectangle(30.0 * MM, 30.0 * MM, through).unwrap();
    let disc = ActiveArea::disc(3.0 * MM, at(6.49, 0.0, 1.0)).unwrap();
    for area in [plate(upright), plate(corner), wide, disc] {
        let error = area.mean_field(&group(), 1e-3).unwrap_err();
        assert_eq!(error, Error::AreaCut { body: 0 });
        assert_eq!(
            error.to_string(),
            "the active area cuts the surface of magnet 0 (counted from 0; after the last comes the plate), where the \
                field jumps; \
             move it wholly out of the material or wholly into it"
        );
    }
    // The second of two.
    let far = bar().moved(&at(0.0, 0.0, 50.0)).unwrap();
    let pair = MagnetGroup::new([far, bar()]).unwrap();
    let error = plate(corner).mean_field(&pair, 1e-3).unwrap_err();
    assert_eq!(error, Error::AreaCut { body: 1 });
    // A disc that just misses what its square would meet.
    let beside = ActiveArea::disc(3.0 * MM, at(6.2, 5.2, 0.0)).unwrap();
    assert!(beside.mean_field(&group(), 1e-3).is_ok());
}

#[test]
fn in_a_face_it_has_the_field_outside() {
    let on = plate(at(1.0, -1.0, 2.0))
        .mean_field(&group(), 1e-9)
        .unwrap();
    let off = plate(at(1.0, -1.0, 2.0 + 1e-9))
        .mean_field(&group(), 1e-9)
        .unwrap();
    assert!((on.value - off.value).norm() < 1e-8 * off.value.norm());
}

/// Inside a sphere the field is uniform.
#[test]
fn within_a_magnet() {
    let ball: Magnet = Sphere::new(8.0 * MM, Vector3::x() * 1.2, Isometry3::identity())
        .unwrap()
        .into();
    let mean = plate(at(0.5, 0.0, 1.0)).mean_field(&ball, 1e-12).unwrap();
    assert!((mean.value - Vector3::x() * 0.8).norm() < 1e-15);
    assert_eq!(mean.points, 9);
}

/// The plane of the area holds an edge of the magnet: with a point of the rule on it there is no field, beside it the
/// mean converges too slowly.
#[test]
fn an_edge_in_the_area_is_refused() {
    // The middle line of a rule with an odd number of points lies on the edge x = 5, z = 2.
    let over = plate(at(5.0, 0.0, 2.0));
    assert!(matches!(
        over.mean_field(&group(), 1e-6),
        Err(Error::OnEdge { .. })
    ));
    let beside = plate(at(5.1, 0.0, 2.0));
    let error = beside.mean_field(&group(), 1e-9).unwrap_err();
    let Error::NotConverged {
        quantity,
        reached,
        wanted,
        unit,
    } = error
    else {
        panic!("{error}");
    };
    assert_eq!((quantity, unit), ("mean field over the active area", "T"));
    // Short of what was wanted, but far below the tesla that the magnet is made of.
    assert!(reached > wanted && reached < 0.1, "{reached} {wanted}");
    assert!(
        error
            .to_string()
            .starts_with("mean field over the active area: the error is still about ")
    );
    assert!(
        error
            .to_string()
            .ends_with(" T was asked for; allow a larger tolerance")
    );
    // A coarser tolerance is met all the same.
    assert!(beside.mean_field(&group(), 0.1).is_ok());
}

/// Between opposite poles the mean may be next to nothing; the tolerance is one of |B|.
#[test]
fn a_field_that_changes_sign() {
    let left = bar().moved(&at(-10.0, 0.0, 0.0)).unwrap();
    let right = Block::new(bar().size(), vector![0.0, 0.0, -1.2], at(10.0, 0.0, 0.0)).unwrap();
    let pair = MagnetGroup::new([left, right]).unwrap();
    let mean = plate(at(0.0, 0.0, 4.0)).mean_field(&pair, 1e-9).unwrap();
    assert!(mean.value.z.abs() < 1e-12);
    let still = MagnetGroup::from(
        Block::new(bar().size(), Vector3::zeros(), Isometry3::identity()).unwrap(),
    );
    let nothing = plate(at(0.0, 0.0, 4.0)).mean_field(&still, 1e-9).unwrap();
    assert_eq!(
        (nothing.value, nothing.error_estimate),
        (Vector3::zeros(), 0.0)
    );
}

#[test]
fn a_small_area_is_a_point() {
    let pose = Isometry3::new(vector![1.0, 2.0, 5.0] * MM, vector![0.3, 0.2, 0.0]);
    let center = Point3::from(pose.translation.vector);
    let b = bar().field_at(&center).unwrap();
    let disc = ActiveArea::disc(1.0 * UM, pose).unwrap();
    let mean = disc.mean_field(&group(), 1e-6).unwrap();
    assert!((mean.value - b).norm() < 1e-7 * b.norm());
}
