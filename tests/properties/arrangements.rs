//! Identities of arrangements over shapes, sides, tilts and plates, and garbage in every measure.

use nalgebra::{Isometry3, Translation3, Vector2, Vector3};
use proptest::prelude::*;
use yokewright::axis::{
    AnyArrangement, Arrangement, BackPlate, HeadOnLayout, HeadOnLayoutSpec, MagnetSide, Measure,
    Mounting, Moving, PairCarrier, PairLayout, PairLayoutSpec, PlateHolder, ShaftEndLayout,
    ShaftEndLayoutSpec, ShaftSide, SwungLayout, SwungLayoutSpec,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, Ring, Sphere};
use yokewright::units::{DEG, MM};

use crate::strategies::{anything, rotations};

/// Rounding of places of some centimetres is some 1e-17 m; the field of a magnet of a few millimetres changes by a
/// tesla over a tenth of one where the sensor comes nearest, which makes 1e-13 T, and sums over images and members as
/// much again.
const ROUNDING: f64 = 1e-11;

fn vector(reach: f64) -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-reach..reach).prop_map(Vector3::from)
}

fn magnets() -> impl Strategy<Value = Magnet> {
    let shape = (
        0..4,
        prop::array::uniform3(2.0..8.0),
        vector(0.7),
        rotations(),
    );
    shape.prop_map(|(shape, [a, b, c], j, rotation)| {
        let pose = Isometry3::from_parts(Translation3::identity(), rotation);
        let [a, b, c] = [a, b, c].map(|length| length * MM);
        match shape {
            0 => Block::new([a, b, c].into(), j, pose).unwrap().into(),
            1 => Cylinder::new(a, b, j, pose).unwrap().into(),
            2 => Ring::new(a, 0.5 * a, b, j, pose).unwrap().into(),
            _ => Sphere::new(a, j, pose).unwrap().into(),
        }
    })
}

fn mountings() -> impl Strategy<Value = Mounting> {
    let holder = prop::sample::select(PlateHolder::ALL.to_vec());
    let plate = prop::option::of((0.0..5.0, holder));
    (vector(0.5), vector(0.1), vector(0.1), plate).prop_map(
        |(offset, magnet_tilt, sensor_tilt, plate)| Mounting {
            offset: offset * MM,
            magnet_tilt,
            sensor_tilt,
            plate: plate.map(|(distance, holder)| BackPlate {
                distance: distance * MM,
                holder,
            }),
            package: None,
        },
    )
}

fn arrangements() -> impl Strategy<Value = AnyArrangement> {
    let lengths = (15.0..40.0, 1.0..10.0, 0.0..10.0);
    let sides = prop::sample::select(MagnetSide::ALL.to_vec());
    let magnets = [magnets(), magnets()];
    (0..4, any::<bool>(), magnets, lengths, sides, mountings()).prop_map(
        |(kind, other, [magnet, second], (arm, gap, spacing), side, mounting)| {
            let (arm, gap, spacing) = (arm * MM, gap * MM, spacing * MM);
            match kind {
                0 => SwungLayout::new(SwungLayoutSpec {
                    side,
                    mounting,
                    ..SwungLayoutSpec::new(magnet, arm, gap)
                })
                .map(AnyArrangement::from),
                1 => PairLayout::new(PairLayoutSpec {
                    magnets: [magnet, second],
                    arm,
                    gap,
                    spacing,
                    carrier: PairCarrier::ALL[usize::from(other)],
                    side,
                    mounting,
                })
                .map(Into::into),
                2 => HeadOnLayout::new(HeadOnLayoutSpec {
                    mounting,
                    ..HeadOnLayoutSpec::new(magnet, arm, gap)
                })
                .map(Into::into),
                _ => ShaftEndLayout::new(ShaftEndLayoutSpec {
                    side: ShaftSide::ALL[usize::from(other)],
                    eccentricity: Vector2::new(0.02, -0.01) * spacing,
                    mounting,
                    ..ShaftEndLayoutSpec::new(magnet, gap)
                })
                .map(Into::into),
            }
            .expect("within every range")
        },
    )
}

fn flux(arrangement: &impl Arrangement, moving: Moving, angle: f64) -> yokewright::Result<f64> {
    let sensor = LinearHall::new(LinearHallSpec {
        direction: Vector3::new(0.4, 0.3, 0.8),
        ..LinearHallSpec::new(5.0, 10.0)
    })?;
    let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
    let throw = [-20.0 * DEG, 20.0 * DEG];
    arrangement
        .axis(throw, sensor, converter, moving)?
        .flux_at(angle)
}

/// With another value of every measure of a unit.
fn with_all(arrangement: &AnyArrangement, unit: &str, factor: f64) -> AnyArrangement {
    let mut changed = arrangement.clone();
    for one in arrangement.measures() {
        if one.measure.unit() == unit {
            let to = changed.with_measure(one.measure, factor * one.value);
            changed = to.expect("within every range");
        }
    }
    changed
}

proptest! {
    #[test]
    fn turning_the_sensor_is_turning_the_magnets_back(arrangement in arrangements(), angle in -0.2..0.2) {
        let read = [flux(&arrangement, Moving::Magnets, angle), flux(&arrangement, Moving::Sensor, -angle)];
        match read {
            [Ok(one), Ok(two)] => prop_assert!((one - two).abs() < ROUNDING, "{} {}", one, two),
            [one, two] => prop_assert!(one.is_err() && two.is_err(), "{:?} {:?}", one, two),
        }
    }

    /// The flux density is linear in the polarization.
    #[test]
    fn twice_the_polarization_reads_twice(arrangement in arrangements(), angle in -0.2..0.2, factor in 0.1..2.0) {
        let changed = with_all(&arrangement, "T", factor);
        if let (Ok(plain), Ok(changed)) = (
            flux(&arrangement, Moving::Magnets, angle),
            flux(&changed, Moving::Magnets, angle),
        ) {
            prop_assert!((changed - factor * plain).abs() < ROUNDING, "{} {}", plain, changed);
        }
    }

    /// The flux density of magnets that are enlarged with all their distances is the same. Growing only: a ring is
    /// widened before its bore.
    #[test]
    fn a_larger_build_reads_the_same(arrangement in arrangements(), angle in -0.2..0.2, factor in 1.0..3.0) {
        let larger = with_all(&arrangement, "m", factor);
        if let (Ok(plain), Ok(larger)) = (
            flux(&arrangement, Moving::Magnets, angle),
            flux(&larger, Moving::Magnets, angle),
        ) {
            prop_assert!((plain - larger).abs() < ROUNDING, "{} {}", plain, larger);
        }
    }

    /// Mirrored in the plane through arm and pivot axis, polarization and flux density keep their tangential parts and
    /// turn the others round.
    #[test]
    fn a_mirrored_magnet_reads_mirrored(
        size in prop::array::uniform3(2.0..8.0), j in vector(0.7), angle in -0.2..0.2, gap in 1.0..8.0,
        side in prop::sample::select(MagnetSide::ALL.to_vec())
    ) {
        let read = |j: Vector3<f64>, angle: f64| {
            let block = Block::new(Vector3::from(size) * MM, j, Isometry3::identity()).unwrap();
            let spec = SwungLayoutSpec { side, ..SwungLayoutSpec::new(block, 25.0 * MM, gap * MM) };
            let sensor = LinearHall::new(LinearHallSpec::new(5.0, 10.0)).unwrap();
            let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap();
            let axis = SwungLayout::new(spec).unwrap().axis([-0.3, 0.3], sensor, converter, Moving::Magnets);
            axis.unwrap().flux_at(angle)
        };
        let mirrored = Vector3::new(-j.x, j.y, -j.z);
        if let (Ok(one), Ok(two)) = (read(j, angle), read(mirrored, -angle)) {
            prop_assert!((one + two).abs() < ROUNDING, "{} {}", one, two);
        }
    }

    /// No point of the magnets' surface is nearer to the sensor's face, along the line to it, than the gap.
    #[test]
    fn the_gap_is_that_to_the_nearest_point(
        arrangement in arrangements(), turns in prop::array::uniform32(vector(1.0))
    ) {
        let parts = arrangement.parts();
        let facing = parts.facing().into_inner();
        let pose = arrangement.sensor_pose();
        let face = (pose.translation.vector - arrangement.mounting().offset).dot(&facing);
        let gap = arrangement.measure(Measure::Gap).unwrap();
        for magnet in parts.magnets().magnets() {
            for direction in &turns {
                // Outward from the center to where it leaves the magnet, by halving.
                let Some(direction) = direction.try_normalize(0.1) else { continue };
                let center = magnet.pose().translation.vector;
                let inside = |reach: f64| {
                    let point = (center + reach * direction).into();
                    magnet.distance(&point).unwrap() <= 0.0
                };
                let (mut low, mut high) = (0.0, 20.0 * MM);
                for _ in 0..60 {
                    let middle = 0.5 * (low + high);
                    if inside(middle) { low = middle } else { high = middle }
                }
                prop_assert!((center + low * direction).dot(&facing) <= face - gap + 1e-15);
            }
        }
    }

    /// Whatever value a measure is given, it is refused or taken; never a panic.
    #[test]
    fn garbage_is_refused_or_taken(
        arrangement in arrangements(), measure in prop::sample::select(Measure::ALL.to_vec()), value in anything()
    ) {
        if let Ok(changed) = arrangement.with_measure(measure, value) {
            prop_assert!(value.is_finite());
            let now = changed.measure(measure).unwrap_or(0.0);
            // Below the least normal number digits are lost.
            let rounding = 1e-15 * value.abs() + f64::MIN_POSITIVE;
            prop_assert!((now - value).abs() <= rounding, "{}: {} {}", measure, value, now);
            if let Ok(flux) = flux(&changed, Moving::Magnets, 0.1) {
                prop_assert!(flux.is_finite());
            }
        }
    }
}
