//! An axis over a steel plate, with an active area, and with a source of another crate.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3, vector};
use yokewright::axis::{Axis, AxisSpec, Moving, PlateMount};
use yokewright::magnet::{
    ActiveArea, AnySource, Block, FieldSource, MagnetGroup, MagnetsOverPlate, Ring, SteelPlate,
};
use yokewright::units::{DEG, MM, UM};
use yokewright::{Error, Result};

use crate::common;

/// What two ways to compute one flux density of some 0.1 T may differ by, T: places of centimeters round by 1e-18 m,
/// over which the field of these magnets changes by 1e-15 T at most, and the sums of images by a few units in the
/// last place.
const SAME: f64 = 1e-14;

/// A bar beside the pivot, its lower pole 4 mm above the plate, and a ring on the other side.
fn magnets() -> MagnetGroup {
    let bar = Block::new(
        vector![5.0, 4.0, 3.0] * MM,
        vector![0.2, 0.3, 1.2],
        Isometry3::translation(12.0 * MM, 0.0, 0.0),
    );
    let ring = Ring::new(
        6.0 * MM,
        2.0 * MM,
        3.0 * MM,
        vector![0.0, 0.4, 1.0],
        Isometry3::translation(-9.0 * MM, 2.0 * MM, 1.0 * MM),
    );
    let parts: [MagnetGroup; 2] = [bar.unwrap().into(), ring.unwrap().into()];
    MagnetGroup::new(parts).unwrap()
}

/// A little askew, so that every part of the mirror counts.
fn plate() -> SteelPlate {
    SteelPlate::new(Point3::new(0.0, 0.0, -7.0 * MM), vector![0.1, -0.05, 1.0]).unwrap()
}

fn over() -> MagnetsOverPlate {
    plate().over(&magnets()).unwrap()
}

/// Above the bar, 4 mm from its center, looking down; the pivot along x, so that the magnets rise and fall.
fn spec(magnets: impl Into<AnySource>) -> AxisSpec {
    let pose = Isometry3::new(
        vector![12.5, 0.4, 4.0] * MM,
        Vector3::x() * (2.0 * FRAC_PI_2),
    );
    AxisSpec {
        direction: vector![0.1, 1.0, 0.0],
        ..AxisSpec::new(
            [-8.0 * DEG, 8.0 * DEG],
            magnets,
            common::sensor(),
            pose,
            common::converter(),
        )
    }
}

const ANGLES: [f64; 5] = [-8.0 * DEG, -3.0 * DEG, 0.0, 1.0 * DEG, 8.0 * DEG];

/// The turn about the pivot, made by hand.
fn turn(angle: f64) -> Isometry3<f64> {
    Isometry3::rotation(vector![0.1, 1.0, 0.0].normalize() * angle)
}

/// Flux density with magnets and explicit images, where magnets, plate and sensor have turned as said.
fn by_hand(area: Option<&ActiveArea>, turns: [Isometry3<f64>; 3]) -> f64 {
    let [magnets_turn, plate_turn, sensor_turn] = turns;
    let plate = SteelPlate::new(
        plate_turn * plate().point(),
        plate_turn * plate().normal().into_inner(),
    );
    let all = plate
        .unwrap()
        .with_images(&magnets().moved(&magnets_turn).unwrap());
    let all = all.unwrap();
    let pose = sensor_turn * spec(magnets()).sensor_pose;
    let direction = pose * common::sensor().direction();
    match area {
        None => all
            .field_at(&(pose * Point3::origin()))
            .unwrap()
            .dot(&direction),
        Some(area) => {
            // Simple and dense: an 80 x 80 midpoint rule, with the next term of its error taken out by the one of 40 x
            // 40.
            let mean = |n: usize| {
                let nodes = (0..n * n).map(|k| {
                    let [u, v] = [k % n, k / n].map(|i| (i as f64 + 0.5) / n as f64 - 0.5);
                    let point = area.pose() * Point3::new(u * SIDES[0], v * SIDES[1], 0.0);
                    all.field_at(&(pose * point)).unwrap().dot(&direction)
                });
                nodes.sum::<f64>() / (n * n) as f64
            };
            (4.0 * mean(80) - mean(40)) / 3.0
        }
    }
}

const SIDES: [f64; 2] = [400.0 * UM, 250.0 * UM];

fn area() -> ActiveArea {
    let pose = Isometry3::new(vector![50.0, 0.0, -100.0] * UM, vector![0.2, 0.1, 0.3]);
    ActiveArea::rectangle(SIDES[0], SIDES[1], pose).unwrap()
}

/// Every way to move one part past the others, with the plate on either side, read at the point and over the area.
#[test]
fn over_a_plate_as_with_explicit_images() {
    for moving in Moving::ALL {
        for plate in PlateMount::ALL {
            for area in [None, Some(area())] {
                let axis = Axis::new(AxisSpec {
                    moving,
                    plate,
                    area: area.clone(),
                    ..spec(over())
                })
                .unwrap();
                let turns = |angle| {
                    let (still, turned) = (Isometry3::identity(), turn(angle));
                    let plate = match plate {
                        PlateMount::Frame => still,
                        PlateMount::Moving => turned,
                    };
                    match moving {
                        Moving::Magnets => [turned, plate, still],
                        Moving::Sensor => [still, plate, turned],
                    }
                };
                let (many, valid) = axis.fluxes_at(&ANGLES);
                assert_eq!(valid, [true; 5]);
                // The rule by hand is good to the fourth power of a step of 5 um in a field that changes over
                // millimeters.
                let tolerance = if area.is_some() { 1e-11 } else { SAME };
                for (angle, many) in ANGLES.into_iter().zip(many) {
                    let hand = by_hand(area.as_ref(), turns(angle));
                    let one = axis.flux_at(angle).unwrap();
                    assert!(
                        (one - hand).abs() < tolerance,
                        "{moving} {plate} {one} {hand}"
                    );
                    assert!((many - one).abs() < SAME);
                    // What the axis shows is what it reads.
                    let shown = axis.magnets_at(angle).unwrap();
                    let pose = axis.sensor_pose_at(angle).unwrap();
                    if area.is_none() {
                        let b = shown.field_at(&(pose * Point3::origin())).unwrap();
                        let flux = b.dot(&(pose * common::sensor().direction()));
                        assert!((flux - one).abs() < SAME);
                    }
                }
                // The gain comes from gradients; differences of 0.1 mrad are good to 1e-8 of it and to the rounding
                // of the fields.
                let step = 1e-4;
                let rise = axis.flux_at(step).unwrap() - axis.flux_at(-step).unwrap();
                let gain = axis.figures(65).unwrap().gain_flux().unwrap();
                let difference = (gain - rise / (2.0 * step)).abs();
                assert!(
                    difference < 1e-5 * gain.abs() + 1e-9,
                    "{moving} {plate} {gain} {difference}"
                );
                assert!(gain.abs() > 1e-3, "a slope worth the test");
            }
        }
    }
}

/// The plate makes a difference that no tolerance above would hide, and so do its mount and the area.
#[test]
fn plate_mount_and_area_matter() {
    let flux = |spec: AxisSpec| Axis::new(spec).unwrap().flux_at(8.0 * DEG).unwrap();
    let alone = flux(spec(magnets()));
    let still = flux(spec(over()));
    let carried = flux(AxisSpec {
        plate: PlateMount::Moving,
        ..spec(over())
    });
    let spread = flux(AxisSpec {
        area: Some(area()),
        ..spec(over())
    });
    for (a, b) in [(alone, still), (still, carried), (still, spread)] {
        assert!((a - b).abs() > 1e-5, "{a} {b}");
    }
}

/// The mean over a hardly extended area is the reading at the active point, at its depth.
#[test]
fn a_small_area_reads_as_the_point() {
    let mut sensor = common::sensor_spec();
    sensor.depth = 0.4 * MM;
    let deep = |area| {
        Axis::new(AxisSpec {
            sensor: yokewright::hall::LinearHall::new(sensor.clone())
                .unwrap()
                .into(),
            area,
            ..spec(magnets())
        })
        .unwrap()
    };
    let tiny = ActiveArea::disc(0.11 * UM, Isometry3::identity()).unwrap();
    for angle in ANGLES {
        let point = deep(None).flux_at(angle).unwrap();
        let mean = deep(Some(tiny.clone())).flux_at(angle).unwrap();
        // The mean departs by the curvature of the field times the square of its radius over 8: 3e-10.
        assert!((mean - point).abs() < 1e-9 * point.abs(), "{mean} {point}");
    }
}

#[test]
fn a_magnet_that_runs_into_the_plate_is_refused() {
    // The bar's lower face sinks from 5.5 mm above the plate by 12 mm sin(angle).
    let axis = |plate: PlateMount, throw: [f64; 2]| {
        let flat = SteelPlate::new(Point3::new(0.0, 0.0, -7.0 * MM), Vector3::z()).unwrap();
        let bar = magnets().magnets()[0].clone();
        Axis::new(AxisSpec {
            direction: Vector3::y(),
            throw,
            plate,
            ..spec(flat.over(&bar.into()).unwrap())
        })
        .unwrap()
    };
    let wide = [-10.0 * DEG, 30.0 * DEG];
    let Err(Error::ThroughPlate { magnet: 0, reach }) = axis(PlateMount::Frame, wide).sweep(101)
    else {
        panic!("it runs into the plate")
    };
    assert!(
        reach > 0.0 && reach < 0.1 * MM,
        "told where it first touches"
    );
    assert!(matches!(
        axis(PlateMount::Frame, wide).figures(101),
        Err(Error::ThroughPlate { .. })
    ));
    assert!(axis(PlateMount::Moving, wide).sweep(101).is_ok());
    // The corner at (14.5, -1.5) mm meets the plane z = -7 mm where 14.5 sin + 1.5 cos = 7.
    let meets = (7.0_f64 / 14.5_f64.hypot(1.5)).asin() - (1.5_f64 / 14.5).atan();
    assert!(
        axis(PlateMount::Frame, [-0.1, meets - 1e-9])
            .sweep(101)
            .is_ok()
    );
    let just_beyond = axis(PlateMount::Frame, [-0.1, meets + 1e-3]);
    assert!(matches!(
        just_beyond.sweep(101),
        Err(Error::ThroughPlate { .. })
    ));
    assert!(just_beyond.flux_at(meets + 1e-3).is_err());
    assert!(just_beyond.magnets_at(meets + 1e-3).is_err());
    let (flux, valid) = just_beyond.fluxes_at(&[0.0, meets + 1e-3, f64::NAN]);
    assert_eq!(valid, [true, false, false]);
    assert!(flux[1].is_nan() && flux[2].is_nan());
}

#[test]
fn a_sensor_that_runs_into_the_plate_is_refused() {
    let at = |height: f64, tilt: f64| {
        let pose = Isometry3::new(vector![0.0, 0.0, height], Vector3::y() * tilt);
        AxisSpec {
            sensor_pose: pose,
            direction: Vector3::y(),
            ..spec(
                SteelPlate::new(Point3::new(0.0, 0.0, -7.0 * MM), Vector3::z())
                    .unwrap()
                    .over(&magnets())
                    .unwrap(),
            )
        }
    };
    // Of its own plate the depth is told at once.
    let Err(Error::BehindPlate { depth }) = Axis::new(at(-7.2 * MM, 0.0)) else {
        panic!("it lies in the plate")
    };
    assert!((depth - 0.2 * MM).abs() < 1e-15);
    // A corner of a tilted area, half a diagonal long, reaches in where its center does not.
    let area = ActiveArea::rectangle(0.4 * MM, 0.4 * MM, Isometry3::identity()).unwrap();
    let tilted = AxisSpec {
        area: Some(area),
        ..at(-6.95 * MM, 0.5)
    };
    let Err(Error::BehindPlate { depth }) = Axis::new(tilted) else {
        panic!("a side lies in the plate")
    };
    assert!((depth - (0.2 * 0.5_f64.sin() - 0.05) * MM).abs() < 1e-15);
    // Swung into a plate that stays with the magnets.
    let swung = Axis::new(AxisSpec {
        moving: Moving::Sensor,
        pivot: Point3::new(-40.0 * MM, 0.0, -7.0 * MM),
        ..at(-6.0 * MM, 0.0)
    })
    .unwrap();
    let Err(Error::Collision {
        part,
        other,
        angle_deg,
        overlap,
    }) = swung.sweep(101)
    else {
        panic!("it runs into the plate")
    };
    assert_eq!(
        (part, &other[..]),
        ("the face of the sensor's package", "the plate")
    );
    // 41 mm from the pivot's foot the face starts 1 mm up.
    assert!(
        (angle_deg - (1.0_f64 / 40.0).atan() / DEG).abs() < 0.26,
        "{angle_deg}"
    );
    assert!(overlap > 0.0 && overlap < 0.2 * MM, "{overlap}");
}

#[test]
fn an_area_that_cuts_a_magnet_is_refused_everywhere() {
    // Its package's face is 1.5 mm above the bar's; the area stands upright on it and reaches down 2 mm.
    let upright = Isometry3::rotation(Vector3::x() * FRAC_PI_2);
    let upright = |width: f64| {
        Axis::new(AxisSpec {
            area: Some(ActiveArea::rectangle(width, 6.0 * MM, upright).unwrap()),
            ..spec(magnets())
        })
    };
    // Half a millimeter of its lower corners is in the bar.
    let Err(Error::Collision { part, overlap, .. }) = upright(MM) else {
        panic!("it stands in the bar")
    };
    assert_eq!(part, "the sensor's active area");
    assert!((overlap - 0.5 * MM).abs() < 1e-12, "{overlap}");
    // One that is wider than the bar has its corners beside it.
    let cutting = upright(14.0 * MM).unwrap();
    assert_eq!(cutting.flux_at(0.0), Err(Error::AreaCut { body: 0 }));
    assert!(cutting.sweep(21).is_err() && cutting.figures(21).is_err());
    let (flux, valid) = cutting.fluxes_at(&[0.0, 0.01]);
    assert_eq!(valid, [false, false]);
    assert!(flux.iter().all(|flux| flux.is_nan()));
}

/// A uniform field, of no body.
#[derive(Debug)]
pub(crate) struct Uniform(pub(crate) Vector3<f64>);

impl FieldSource for Uniform {
    fn field_at(&self, _: &Point3<f64>) -> Result<Vector3<f64>> {
        Ok(self.0)
    }

    fn gradient_at(&self, _: &Point3<f64>) -> Result<Matrix3<f64>> {
        Ok(Matrix3::zeros())
    }

    fn polarization_at(&self, _: &Point3<f64>) -> Result<Vector3<f64>> {
        Ok(Vector3::zeros())
    }

    fn distance(&self, _: &Point3<f64>) -> Result<f64> {
        Ok(f64::INFINITY)
    }

    fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Ok(Self(motion.rotation * self.0))
    }
}

/// A sensor turned in a uniform field reads a sine.
#[test]
fn a_source_of_another_crate_turns_past_a_sensor() {
    for area in [None, Some(area())] {
        let axis = Axis::new(AxisSpec {
            direction: Vector3::z(),
            throw: [-0.5, 0.5],
            sensor_pose: Isometry3::rotation(Vector3::y() * FRAC_PI_2),
            area,
            ..spec(AnySource::custom(Uniform(vector![0.0, 0.03, 0.0])))
        })
        .unwrap();
        // The sensor looks along x; the field along y turns away from it.
        for angle in [-0.5, -0.1, 0.0, 0.3] {
            let expected = -0.03 * f64::sin(angle);
            // A few roundings of 0.03 T, and of the weights of a mean.
            assert!((axis.flux_at(angle).unwrap() - expected).abs() < 1e-16);
        }
        let figures = axis.figures(101).unwrap();
        assert!((figures.gain_flux().unwrap() + 0.03).abs() < 1e-15);
        assert!((figures.flux_span().unwrap() - 0.06 * f64::sin(0.5)).abs() < 1e-15);
        // With nothing to run into, no distance is told that could not be stored.
        assert_eq!(figures.clearance(), 100.0);
    }
}
