//! Sources of field: whatever the type, the same answers, also as trait objects; and sources of another crate.

use std::sync::Arc;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3, vector};
use yokewright::magnet::{
    ActiveArea, AnySource, Block, Cylinder, FieldColumns, FieldSource, Magnet, MagnetGroup,
    MagnetsOverPlate, Ring, Sphere, SteelPlate,
};
use yokewright::units::{MM, MU_0};
use yokewright::{Error, Result};

/// A few units in the last place of the parts that a value is summed from: what one point and many may differ by. The
/// round shapes keep 1e-13 where they choose between two forms.
const SAME: f64 = 2e-13;

fn pose() -> Isometry3<f64> {
    Isometry3::new(vector![1.0, -2.0, 3.0] * MM, vector![0.3, -0.4, 0.5])
}

fn shapes() -> [Magnet; 4] {
    let j = vector![0.5, -0.7, 0.9];
    [
        Block::new(vector![6.0, 5.0, 4.0] * MM, j, pose())
            .unwrap()
            .into(),
        Cylinder::new(6.0 * MM, 5.0 * MM, j, pose()).unwrap().into(),
        Ring::new(8.0 * MM, 3.0 * MM, 4.0 * MM, j, pose())
            .unwrap()
            .into(),
        Sphere::new(6.0 * MM, j, pose()).unwrap().into(),
    ]
}

fn over_plate(magnet: &Magnet) -> MagnetsOverPlate {
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -6.0 * MM), Vector3::z()).unwrap();
    plate.over(&magnet.clone().into()).unwrap()
}

/// Spread evenly over a box around the magnet, some of them in the material: an additive recurrence with the powers
/// of the root of x^4 = x + 1.
fn points(count: usize) -> Vec<Point3<f64>> {
    let step = vector![0.819_172_513, 0.671_043_607, 0.549_700_478];
    let point = |i: usize| {
        let share = (step * i as f64).map(|s| 2.0 * s.fract() - 1.0);
        Point3::from(share * 12.0 * MM)
    };
    (1..=count).map(point).collect()
}

/// One after the other, all that can be asked at a point.
fn answers(source: &dyn FieldSource, point: &Point3<f64>) -> Vec<Result<Vec<f64>>> {
    let list = |v: Vector3<f64>| v.as_slice().to_vec();
    vec![
        source.field_at(point).map(list),
        source.h_at(point).map(list),
        source.polarization_at(point).map(list),
        source.gradient_at(point).map(|g| g.as_slice().to_vec()),
        source.distance(point).map(|d| vec![d]),
    ]
}

#[test]
fn one_answer_whatever_the_type() {
    for magnet in shapes() {
        let own: Box<dyn FieldSource> = match magnet.clone() {
            Magnet::Block(block) => Box::new(block),
            Magnet::Cylinder(cylinder) => Box::new(cylinder),
            Magnet::Ring(ring) => Box::new(ring),
            Magnet::Sphere(sphere) => Box::new(sphere),
            _ => unreachable!("all shapes are named above"),
        };
        let group = MagnetGroup::from(magnet.clone());
        let any = AnySource::from(magnet.clone());
        let custom = AnySource::custom(magnet.clone());
        let all: [&dyn FieldSource; 4] = [&magnet, &group, &any, &custom];
        let places = points(60);
        for place in &places {
            for source in all {
                assert_eq!(answers(source, place), answers(own.as_ref(), place));
            }
        }
        for source in all {
            assert_eq!(source.fields_at(&places), own.fields_at(&places));
            assert_eq!(source.gradients_at(&places), own.gradients_at(&places));
            assert_eq!(source.hs_at(&places), own.hs_at(&places));
            assert_eq!(
                source.polarizations_at(&places),
                own.polarizations_at(&places)
            );
        }
    }
}

#[test]
fn many_points_are_as_one() {
    let places = points(500);
    for magnet in shapes() {
        let over = over_plate(&magnet);
        for source in [&magnet as &dyn FieldSource, &over] {
            let [b, h, j] = [
                source.fields_at(&places),
                source.hs_at(&places),
                source.polarizations_at(&places),
            ];
            let g = source.gradients_at(&places);
            let (mut inside, mut refused) = (0, 0);
            for (i, point) in places.iter().enumerate() {
                let Ok(one) = source.field_at(point) else {
                    assert!(!b.valid[i] && !h.valid[i] && !j.valid[i] && !g.valid[i]);
                    assert!(b.values[i].x.is_nan() && g.values[i].m11.is_nan());
                    refused += 1;
                    continue;
                };
                assert!((b.values[i] - one).norm() <= SAME * one.norm());
                let one = source.h_at(point).unwrap();
                assert!(
                    (h.values[i] - one).norm() <= 10.0 * SAME * one.norm(),
                    "{source:?} {point}"
                );
                let one = source.polarization_at(point).unwrap();
                assert_eq!(j.values[i], one);
                inside += usize::from(one != Vector3::zeros());
                let one = source.gradient_at(point).unwrap();
                assert!(
                    (g.values[i] - one).norm() <= SAME * one.norm(),
                    "{source:?} {point}"
                );
                // B = mu0 H + J, by three calls.
                let sum = h.values[i] * MU_0 + j.values[i];
                assert!((sum - b.values[i]).norm() <= SAME * (b.values[i].norm() + 1.3));
            }
            assert!(inside > 0, "some points are in the material");
            assert_eq!(refused > 0, source.bodies() == 2, "only the plate refuses");
        }
    }
}

#[test]
fn moved_together() {
    let motion = Isometry3::new(vector![-4.0, 2.0, 7.0] * MM, vector![0.9, 0.2, -0.6]);
    for magnet in shapes() {
        let over = over_plate(&magnet);
        let any = AnySource::from(over.clone());
        let custom = AnySource::custom(magnet.clone());
        let sources: [(&dyn FieldSource, Box<dyn FieldSource>); 4] = [
            (&magnet, Box::new(magnet.moved(&motion).unwrap())),
            (&over, Box::new(over.moved(&motion).unwrap())),
            (&any, Box::new(any.moved(&motion).unwrap())),
            (&custom, Box::new(custom.moved(&motion).unwrap())),
        ];
        for (before, after) in sources {
            let as_object = before.moved_source(&motion).unwrap();
            for point in points(40) {
                let there = motion * point;
                assert_eq!(
                    answers(after.as_ref(), &there),
                    answers(as_object.as_ref(), &there)
                );
                let Ok(b) = before.field_at(&point) else {
                    assert!(after.field_at(&there).is_err());
                    continue;
                };
                // A place rounds by 1e-18 m, over which the field of a magnet of millimetres changes by 1e-15.
                let turned = motion.rotation * b;
                assert!((after.field_at(&there).unwrap() - turned).norm() < 1e-13);
                let gap = after.distance(&there).unwrap() - before.distance(&point).unwrap();
                assert!(gap.abs() < 1e-16);
            }
        }
    }
}

#[test]
fn the_bodies_of_a_source() {
    let [block, cylinder, _, _] = shapes();
    let aside = Isometry3::translation(20.0 * MM, 0.0, 0.0);
    let group = MagnetGroup::new([block.clone(), cylinder.moved(&aside).unwrap()]).unwrap();
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -6.0 * MM), Vector3::z()).unwrap();
    let over = plate.over(&group).unwrap();
    assert_eq!((block.bodies(), group.bodies(), over.bodies()), (1, 2, 3));
    let point = Point3::new(0.0, 0.0, -5.0 * MM);
    let to = |body| over.body_distance(body, &point).unwrap();
    assert_eq!(to(0), block.distance(&point).unwrap());
    assert_eq!(to(1), group.magnets()[1].distance(&point).unwrap());
    assert!((to(2) - MM).abs() < 1e-17);
    assert_eq!(over.distance(&point).unwrap(), to(0).min(to(1)).min(to(2)));
    let text = over.body_distance(3, &point).unwrap_err().to_string();
    assert_eq!(
        text,
        "number of the body, counted from 0, = 3 (no unit) is outside 0 to 2 (no unit)"
    );
    assert!(block.body_distance(1, &point).is_err());
}

#[test]
fn behind_the_plate_there_is_nothing() {
    let over = over_plate(&shapes()[0]);
    let behind = Point3::new(0.0, 0.0, -7.0 * MM);
    for answer in answers(&over, &behind).into_iter().take(4) {
        let Err(Error::BehindPlate { depth }) = answer else {
            panic!("{answer:?}")
        };
        assert!((depth - MM).abs() < 1e-17);
    }
    assert!((over.distance(&behind).unwrap() + MM).abs() < 1e-17);
}

/// A field that grows along x, of no body.
#[derive(Debug)]
struct Ramp;

impl FieldSource for Ramp {
    fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        if point.x < 0.0 {
            return Err(Error::NotFinite {
                quantity: "the field of a ramp",
                value: f64::NAN,
                unit: "T",
            });
        }
        Ok(vector![point.x, 0.0, -point.z])
    }

    fn gradient_at(&self, _: &Point3<f64>) -> Result<Matrix3<f64>> {
        Ok(Matrix3::from_diagonal(&vector![1.0, 0.0, -1.0]))
    }

    fn polarization_at(&self, _: &Point3<f64>) -> Result<Vector3<f64>> {
        Ok(Vector3::zeros())
    }

    fn distance(&self, _: &Point3<f64>) -> Result<f64> {
        Ok(f64::INFINITY)
    }

    fn moved(&self, _: &Isometry3<f64>) -> Result<Self> {
        Ok(Self)
    }
}

#[test]
fn a_source_of_another_crate() {
    let points = [Point3::new(2.0, 0.0, 0.5), Point3::new(-1.0, 0.0, 0.0)];
    let ramp = AnySource::custom(Ramp);
    assert_eq!(ramp.fields_at(&points).valid, [true, false]);
    assert_eq!(ramp.gradients_at(&points).valid, [true, true]);
    assert_eq!(
        ramp.h_at(&points[0]).unwrap(),
        vector![2.0, 0.0, -0.5] / MU_0
    );
    assert_eq!(ramp.hs_at(&points).valid, [true, false]);
    assert_eq!(ramp.bodies(), 1);

    // Over an area the mean of what is straight is what stands in its middle.
    let area = ActiveArea::rectangle(0.1, 0.05, Isometry3::translation(0.3, 0.0, 0.2)).unwrap();
    let mean = area.mean_field(&ramp, 1e-12).unwrap();
    assert!((mean.value - vector![0.3, 0.0, -0.2]).norm() < 1e-15);
    let cut = ActiveArea::rectangle(0.1, 0.05, Isometry3::identity()).unwrap();
    assert!(matches!(
        cut.mean_field(&ramp, 1e-9),
        Err(Error::NotFinite { .. })
    ));

    let shared: Arc<dyn FieldSource> = Arc::new(Ramp);
    let same = AnySource::from(Arc::clone(&shared));
    assert_eq!(same, AnySource::Custom(shared));
    assert_ne!(same, AnySource::custom(Ramp));
}

/// Not through two magnets that touch: each has its own surface.
#[test]
fn an_area_across_the_seam_of_two_magnets_is_cut() {
    let half = |x: f64| {
        let pose = Isometry3::translation(x, 0.0, 0.0);
        Block::new(Vector3::repeat(4.0 * MM), Vector3::z(), pose).unwrap()
    };
    let pair = MagnetGroup::new([half(-2.0 * MM), half(2.0 * MM)]).unwrap();
    let area = ActiveArea::disc(MM, Isometry3::identity()).unwrap();
    assert_eq!(
        area.mean_field(&pair, 1e-9),
        Err(Error::AreaCut { body: 0 })
    );
    let plate = SteelPlate::new(Point3::new(0.0, 0.0, -3.0 * MM), Vector3::z()).unwrap();
    let over = plate.over(&pair).unwrap();
    let upright = Isometry3::new(vector![0.0, 4.0, -3.0] * MM, Vector3::x() * 1.5);
    let area = ActiveArea::disc(MM, upright).unwrap();
    assert_eq!(
        area.mean_field(&over, 1e-9),
        Err(Error::AreaCut { body: 2 })
    );
}

#[test]
fn what_is_stored_comes_back() {
    let read = |text: &str| serde_json::from_str::<AnySource>(text);
    for magnet in shapes() {
        let group = AnySource::from(magnet.clone());
        let text = serde_json::to_string(&group).unwrap();
        assert_eq!(read(&text).unwrap(), group);
        let over = AnySource::from(over_plate(&magnet));
        let text = serde_json::to_string(&over).unwrap();
        assert_eq!(read(&text).unwrap(), over);
        // What no constructor takes is not read either.
        let hollow = text.replace("\"polarization\":[0.5,", "\"polarization\":[50.0,");
        let error = read(&hollow).unwrap_err().to_string();
        assert!(
            error.contains("polarization x = 50 T is outside"),
            "{error}"
        );
        assert!(read(&text.replace("\"magnets\"", "\"magnetz\"")).is_err());
    }
    let twice = MagnetGroup::superposed(shapes()).unwrap();
    let text = serde_json::to_string(&twice).unwrap();
    let back: MagnetGroup = serde_json::from_str(&text).unwrap();
    assert_eq!(back, twice);
    let apart = text.replace("\"is_superposed\":true", "\"is_superposed\":false");
    let error = serde_json::from_str::<MagnetGroup>(&apart)
        .unwrap_err()
        .to_string();
    assert!(error.contains("magnet"), "they overlap: {error}");
    assert!(serde_json::to_string(&AnySource::custom(Ramp)).is_err());
}

/// Into memory that there is: the same values, whatever stood there, for every kind of source.
#[test]
fn fields_into_memory_are_the_fields() {
    let [block, ..] = shapes();
    let sources: Vec<AnySource> = vec![
        block.clone().into(),
        MagnetGroup::superposed([block.clone(), block.moved(&pose()).unwrap()])
            .unwrap()
            .into(),
        over_plate(&block).into(),
        AnySource::custom(Ramp),
    ];
    let mut points = vec![Point3::new(f64::NAN, 0.0, 0.0), Point3::new(2e6, 0.0, 0.0)];
    points.extend((0..9000).map(|i| {
        let turn = 0.01 * f64::from(i);
        Point3::new(turn.cos(), turn.sin(), 0.1 * (turn - 45.0)) * (7.0 * MM)
    }));
    for source in sources {
        let expected = source.fields_at(&points);
        assert!(expected.valid.contains(&true) && expected.valid.contains(&false));
        let mut values = vec![Vector3::repeat(7.0); points.len()];
        let mut valid = vec![true; points.len()];
        for mask in [true, false] {
            let columns = FieldColumns {
                values: &mut values,
                valid: mask.then_some(valid.as_mut_slice()),
            };
            source.fields_into(&points, columns).unwrap();
            for (value, expected) in values.iter().zip(&expected.values) {
                assert_eq!(value.map(f64::to_bits), expected.map(f64::to_bits));
            }
            assert_eq!(valid, expected.valid);
            values.fill(Vector3::repeat(f64::NAN));
        }
        for [values_len, valid_len] in [[1, 2], [2, 1], [3, 2]] {
            let columns = FieldColumns {
                values: &mut values[..values_len],
                valid: Some(&mut valid[..valid_len]),
            };
            let refused = source.fields_into(&points[..2], columns);
            assert!(matches!(
                refused,
                Err(Error::LengthMismatch { first_len: 2, .. })
            ));
        }
    }
}
