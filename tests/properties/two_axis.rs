//! Sticks with two sensors and any mounting: what no frame, no sign and no company may change.

use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;
use yokewright::Error;
use yokewright::axis::{CarriedMagnets, CarriedSensor, Carrier, ReadBy, TwoAxis, TwoAxisSpec};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Pivot};
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::{DEG, MM, MV_PER_MT};

use crate::strategies::rotations;

/// Positions of some 0.1 m round to 1e-17 m, several turns deep, in fields that change by up to 100 T/m; and fields of
/// 1 T to 1e-16 of themselves, dozens of terms deep.
const ROUNDING: f64 = 1e-13;

/// A magnet of a stick: place (m), turn, polarization (T), carrier.
#[derive(Debug, Clone)]
struct Carried {
    pose: Isometry3<f64>,
    polarization: Vector3<f64>,
    carrier: Carrier,
}

/// A sensor: place, turn, carrier.
#[derive(Debug, Clone)]
struct Looking {
    pose: Isometry3<f64>,
    carrier: Carrier,
}

fn carriers() -> impl Strategy<Value = Carrier> {
    prop::sample::select(Carrier::ALL.to_vec())
}

fn poses_within(shell: std::ops::Range<f64>) -> impl Strategy<Value = Isometry3<f64>> {
    (rotations(), shell, rotations()).prop_map(|(toward, away, turn)| {
        Isometry3::from_parts((toward * Vector3::new(0.0, 0.0, away)).into(), turn)
    })
}

/// Within 40 mm of the middle, where sensors stand at 60 mm and beyond: nothing touches.
fn magnets() -> impl Strategy<Value = Carried> {
    let part = prop::array::uniform3(-1.3..1.3_f64);
    (poses_within(0.0..0.04), part, carriers()).prop_map(|(pose, j, carrier)| Carried {
        pose,
        polarization: j.into(),
        carrier,
    })
}

fn sensors() -> impl Strategy<Value = Looking> {
    (poses_within(0.06..0.12), carriers()).prop_map(|(pose, carrier)| Looking { pose, carrier })
}

fn angles() -> impl Strategy<Value = [f64; 2]> {
    prop::array::uniform2(-15.0 * DEG..15.0 * DEG)
}

/// All of it moved by `whole`.
fn stick(magnets: &[Carried], sensors: &[Looking; 2], whole: &Isometry3<f64>) -> TwoAxis {
    let pivot = |point: Point3<f64>, direction: Vector3<f64>| {
        Pivot::new(whole * point, whole * direction).unwrap()
    };
    let gimbal = Gimbal::new(GimbalSpec::new(
        pivot(
            Point3::new(2.0 * MM, 0.0, -3.0 * MM),
            Vector3::new(0.1, 1.0, -0.2),
        ),
        pivot(
            Point3::new(0.0, 4.0 * MM, 5.0 * MM),
            Vector3::new(1.0, -0.3, 0.1),
        ),
        vec![
            whole * Point3::origin(),
            whole * Point3::new(0.02, -0.03, 0.4),
        ],
    ))
    .unwrap();
    let sources = magnets.iter().map(|one| {
        let cube = Block::new(
            Vector3::repeat(6.0 * MM),
            one.polarization,
            whole * one.pose,
        );
        CarriedMagnets::new(cube.unwrap(), one.carrier, ReadBy::Both)
    });
    let looking = sensors.each_ref().map(|one| {
        CarriedSensor::new(
            LinearHall::new(LinearHallSpec::new(5.0, 5.0 * MV_PER_MT)).unwrap(),
            whole * one.pose,
            one.carrier,
            Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap(),
        )
    });
    let [outer, inner] = looking;
    let gate = Gate::square([-20.0 * DEG, 20.0 * DEG], [-20.0 * DEG, 20.0 * DEG]).unwrap();
    TwoAxis::new(TwoAxisSpec::new(
        gimbal,
        gate,
        sources.collect(),
        outer,
        inner,
    ))
    .unwrap()
}

proptest! {
    /// Where the rig stands in the room is nobody's business.
    #[test]
    fn a_moved_rig_reads_the_same(
        first in magnets(), second in magnets(), sensors in prop::array::uniform2(sensors()),
        whole in poses_within(0.0..0.3), [outer, inner] in angles(),
    ) {
        let magnets = [first, second];
        let here = stick(&magnets, &sensors, &Isometry3::identity()).flux_at(outer, inner).unwrap();
        let there = stick(&magnets, &sensors, &whole).flux_at(outer, inner).unwrap();
        for (a, b) in here.iter().zip(there) {
            prop_assert!((a - b).abs() < ROUNDING, "{a:e} {b:e}");
        }
    }

    /// Two magnets read as the sum of each alone; one the other way round takes it away.
    #[test]
    fn fields_add_up(
        first in magnets(), second in magnets(), sensors in prop::array::uniform2(sensors()),
        [outer, inner] in angles(),
    ) {
        let flux = |magnets: &[Carried]| {
            stick(magnets, &sensors, &Isometry3::identity()).flux_at(outer, inner).unwrap()
        };
        let turned = Carried { polarization: -second.polarization, ..second.clone() };
        let (both, less) = (flux(&[first.clone(), second.clone()]), flux(&[first.clone(), turned]));
        let (alone, other) = (flux(&[first]), flux(&[second]));
        for i in 0..2 {
            prop_assert!((both[i] - alone[i] - other[i]).abs() < ROUNDING);
            prop_assert!((less[i] - alone[i] + other[i]).abs() < ROUNDING);
        }
    }

    /// A sensor on what carries the only magnet reads the same all over the gate; else it reads what the magnet's
    /// motion against its own gives: the block in the frame of the sensor, by another route.
    #[test]
    fn a_reading_is_the_field_of_the_moved_magnet(
        magnet in magnets(), sensors in prop::array::uniform2(sensors()), [outer, inner] in angles(),
    ) {
        let rig = stick(std::slice::from_ref(&magnet), &sensors, &Isometry3::identity());
        let found = rig.flux_at(outer, inner).unwrap();
        let moved = rig.motion_at(magnet.carrier, outer, inner).unwrap() * magnet.pose;
        let cube = Block::new(Vector3::repeat(6.0 * MM), magnet.polarization, moved).unwrap();
        for (sensor, found) in sensors.iter().zip(found) {
            let pose = rig.motion_at(sensor.carrier, outer, inner).unwrap() * sensor.pose;
            let part = LinearHall::new(LinearHallSpec::new(5.0, 5.0 * MV_PER_MT)).unwrap();
            let field = cube.field_at(&(pose * part.active_point())).unwrap();
            let expected = field.dot(&(pose * part.direction()));
            prop_assert!((found - expected).abs() < ROUNDING, "{found:e} {expected:e}");
            if sensor.carrier == magnet.carrier {
                let still = rig.flux_at(0.0, 0.0).unwrap();
                let at = usize::from(std::ptr::eq(sensor, &sensors[1]));
                prop_assert!((found - still[at]).abs() < ROUNDING);
            }
        }
    }

    /// One pair and many are read alike; what cannot be read is marked in its row.
    #[test]
    fn one_and_many_agree(
        magnet in magnets(), sensors in prop::array::uniform2(sensors()),
        rows in prop::collection::vec(
            prop_oneof![9 => angles(), 1 => Just([f64::NAN, 0.0]), 1 => Just([0.0, 4.0])],
            1..40,
        ),
    ) {
        let rig = stick(&[magnet], &sensors, &Isometry3::identity());
        let [outer, inner]: [Vec<f64>; 2] = [0, 1].map(|i| rows.iter().map(|row| row[i]).collect());
        let (many, valid) = rig.fluxes_at(&outer, &inner).unwrap();
        let all = rig.readings_at(&outer, &inner).unwrap();
        for (i, [outer, inner]) in rows.iter().enumerate() {
            match rig.reading_at(*outer, *inner) {
                Ok(one) => {
                    prop_assert!(valid[i] && all.valid[i]);
                    prop_assert!(many[i].iter().zip(one.flux).all(|(a, b)| (a - b.unwrap()).abs() < ROUNDING));
                    prop_assert!(all.volts[i].iter().zip(one.volts).all(|(a, b)| (a - b.unwrap()).abs() < ROUNDING));
                    prop_assert!(all.counts[i].iter().zip(one.counts).all(|(a, b)| (a - b).abs() <= 1));
                }
                Err(_) => prop_assert!(!valid[i] && !all.valid[i] && many[i][0].is_nan()),
            }
        }
    }

    /// No row of a grid of its own shows more crosstalk, nor more of either part; and it is what is read where it says.
    #[test]
    fn no_row_shows_more_crosstalk(
        first in magnets(), second in magnets(), sensors in prop::array::uniform2(sensors()), points in 3_usize..8,
    ) {
        /// A change below this, T, counts as none.
        const NONE: f64 = 1e-12 + ROUNDING;
        let mut spec = stick(&[first, second], &sensors, &Isometry3::identity()).spec().clone();
        spec.magnets[1].read_by = ReadBy::Neither;
        let with = |magnets: &[usize]| {
            let magnets = magnets.iter().map(|&number| spec.magnets[number].clone()).collect();
            TwoAxis::new(TwoAxisSpec { magnets, ..spec.clone() }).unwrap()
        };
        let rigs = [with(&[0, 1]), with(&[0]), with(&[1])];
        let found = match rigs[0].crosstalk(points) {
            Err(Error::TwoAxisCollision { .. }) => return Ok(()),
            found => found.unwrap(),
        };
        let even = |count: usize| move |i: usize| 20.0 * DEG * (2.0 * i as f64 / (count - 1) as f64 - 1.0);
        let free: Vec<f64> = (0..201).map(even(201)).collect();
        for (of, axis) in [(0, GimbalAxis::Outer), (1, GimbalAxis::Inner)] {
            let figures = found.of(axis);
            let given = [figures.worst.flux, figures.own_flux, figures.stray_flux].map(Option::unwrap);
            for held in (0..points).map(even(points)) {
                let held = vec![held; free.len()];
                for (rig, given) in rigs.iter().zip(given) {
                    let (fluxes, _) = match axis {
                        GimbalAxis::Outer => rig.fluxes_at(&held, &free),
                        GimbalAxis::Inner => rig.fluxes_at(&free, &held),
                    }.unwrap();
                    let values = || fluxes.iter().map(|pair| pair[of]);
                    let change = values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min);
                    prop_assert!(given >= change - NONE, "{axis} {given:e} {change:e}");
                }
            }
            let [low, high] = figures.worst.at.map(|free| {
                let read = match axis {
                    GimbalAxis::Outer => rigs[0].flux_at(figures.worst.held, free),
                    GimbalAxis::Inner => rigs[0].flux_at(free, figures.worst.held),
                };
                read.unwrap()[of]
            });
            prop_assert!((high - low - given[0]).abs() < ROUNDING, "{axis} {low:e} {high:e} {}", given[0]);
        }
    }
}
