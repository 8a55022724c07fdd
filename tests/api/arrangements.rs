//! Arrangements of magnet and sensor: where the parts stand by hand calculation, the field that they read by other
//! routes, what is refused, and that every measure can be varied by its name.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Isometry3, Point3, Rotation3, UnitQuaternion, Vector2, Vector3};
use yokewright::axis::{
    AnyArrangement, Arrangement, BackPlate, HeadOnLayout, HeadOnLayoutSpec, MagnetSide, Measure,
    Mounting, Moving, PairCarrier, PairLayout, PairLayoutSpec, PlateHolder, PlateMount,
    SensorPackage, ShaftEndLayout, ShaftEndLayoutSpec, ShaftSide, SwungLayout, SwungLayoutSpec,
};
use yokewright::hall::{LinearHall, LinearHallSpec};
use yokewright::magnet::{Block, Cylinder, FieldSource, Magnet, Ring, Sphere};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Result};

use crate::common;

/// Rounding of positions of some centimetres, m.
const PLACE: f64 = 1e-16;
/// Rounding of a field that is summed from terms as large as the polarization, as a share of it.
const FIELD: f64 = 1e-13;

fn upright() -> Isometry3<f64> {
    Isometry3::identity()
}

/// A quarter turn about the tangent: what was axial is radial.
fn lying() -> Isometry3<f64> {
    Isometry3::rotation(Vector3::y() * FRAC_PI_2)
}

fn block(j: [f64; 3]) -> Magnet {
    let size = Vector3::new(4.0, 5.0, 6.0) * MM;
    Block::new(size, j.into(), upright()).unwrap().into()
}

fn unpolarized() -> Magnet {
    block([0.0; 3])
}

fn ball(j: [f64; 3]) -> Magnet {
    Sphere::new(6.0 * MM, j.into(), upright()).unwrap().into()
}

fn package() -> SensorPackage {
    SensorPackage {
        width: 4.0 * MM,
        height: 3.0 * MM,
        thickness: 1.5 * MM,
    }
}

fn plate(holder: PlateHolder) -> BackPlate {
    BackPlate {
        distance: 1.0 * MM,
        holder,
    }
}

fn swung(magnet: Magnet) -> SwungLayoutSpec {
    SwungLayoutSpec::new(magnet, 20.0 * MM, 3.0 * MM)
}

fn pair(magnet: Magnet) -> PairLayoutSpec {
    PairLayoutSpec::new(magnet, 20.0 * MM, 3.0 * MM, 4.0 * MM).unwrap()
}

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.expect_err("it is refused").to_string()
}

/// One of each, with and without whatever they may have.
fn every() -> Vec<AnyArrangement> {
    let askew = Mounting {
        offset: Vector3::new(0.3, -0.2, 0.4) * MM,
        magnet_tilt: Vector3::new(1.0, -2.0, 3.0) * DEG,
        sensor_tilt: Vector3::new(-2.0, 1.0, 0.5) * DEG,
        plate: Some(plate(PlateHolder::Magnets)),
        package: Some(package()),
    };
    let disc = |j: [f64; 3], pose| Cylinder::new(6.0 * MM, 3.0 * MM, j.into(), pose).unwrap();
    let ring = Ring::new(
        12.0 * MM,
        6.0 * MM,
        4.0 * MM,
        Vector3::new(1.1, 0.2, 0.0),
        upright(),
    );
    let ring = ring.unwrap();
    vec![
        SwungLayout::new(swung(block([0.1, 1.2, -0.1])))
            .unwrap()
            .into(),
        SwungLayout::new(SwungLayoutSpec {
            side: MagnetSide::Axial,
            mounting: askew.clone(),
            ..swung(disc([0.0, 0.5, 1.0], lying()).into())
        })
        .unwrap()
        .into(),
        PairLayout::new(PairLayoutSpec {
            mounting: askew.clone(),
            ..pair(block([1.2, 0.0, 0.0]))
        })
        .unwrap()
        .into(),
        PairLayout::new(PairLayoutSpec {
            carrier: PairCarrier::Round,
            magnets: [ball([1.2, 0.0, 0.0]), disc([0.0, 0.0, 1.2], lying()).into()],
            ..pair(ball([1.0, 0.0, 0.0]))
        })
        .unwrap()
        .into(),
        PairLayout::new(PairLayoutSpec {
            magnets: [block([1.0, 0.0, 0.1]), ring.clone().into()],
            side: MagnetSide::Axial,
            ..pair(ball([1.0, 0.0, 0.0]))
        })
        .unwrap()
        .into(),
        HeadOnLayout::new(HeadOnLayoutSpec {
            mounting: askew.clone(),
            ..HeadOnLayoutSpec::new(block([0.0, 1.2, 0.0]), 25.0 * MM, 5.0 * MM)
        })
        .unwrap()
        .into(),
        ShaftEndLayout::new(ShaftEndLayoutSpec {
            eccentricity: Vector2::new(0.2, -0.1) * MM,
            mounting: askew,
            ..ShaftEndLayoutSpec::new(disc([1.2, 0.0, 0.0], upright()), 2.0 * MM)
        })
        .unwrap()
        .into(),
        ShaftEndLayout::new(ShaftEndLayoutSpec {
            side: ShaftSide::Beside,
            ..ShaftEndLayoutSpec::new(ring, 2.0 * MM)
        })
        .unwrap()
        .into(),
    ]
}

/// A sensor that reads at a point of its face along a direction of its package.
fn sensor(direction: [f64; 3]) -> LinearHall {
    LinearHall::new(LinearHallSpec {
        direction: direction.into(),
        ..LinearHallSpec::new(5.0, 10.0)
    })
    .unwrap()
}

fn flux(layout: &impl Arrangement, direction: [f64; 3], moving: Moving, angle: f64) -> Result<f64> {
    let throw = [-angle.abs() - 1e-3, angle.abs() + 1e-3];
    layout
        .axis(throw, sensor(direction), common::converter(), moving)?
        .flux_at(angle)
}

// --- places ---------------------------------------------------------------------------------------------------------

/// By hand: half of the side that points at the sensor.
#[test]
fn the_gap_of_an_upright_magnet_is_set_against_half_its_side() -> Result<()> {
    let place = |side| -> Result<Vector3<f64>> {
        let spec = SwungLayoutSpec {
            side,
            ..swung(block([0.0, 1.2, 0.0]))
        };
        Ok(SwungLayout::new(spec)?.sensor_pose().translation.vector)
    };
    let (arm, gap) = (20.0 * MM, 3.0 * MM);
    // To the last bit: it is the sum of the three, whatever the shape.
    assert_eq!(
        place(MagnetSide::Outer)?,
        Vector3::new(arm + 2.0 * MM + gap, 0.0, 0.0)
    );
    assert_eq!(
        place(MagnetSide::Inner)?,
        Vector3::new(arm - 2.0 * MM - gap, 0.0, 0.0)
    );
    assert_eq!(
        place(MagnetSide::Axial)?,
        Vector3::new(arm, 0.0, 3.0 * MM + gap)
    );
    let head_on = HeadOnLayout::new(HeadOnLayoutSpec::new(block([0.0, 1.2, 0.0]), arm, gap))?;
    let at = head_on.sensor_pose().translation.vector;
    assert_eq!(at, Vector3::new(arm, 2.5 * MM + gap, 0.0));
    Ok(())
}

/// Half the extent along a direction, by hand: of a box the sum of the projections of its half sides, of a cylinder
/// (radius x sine + half length x cosine) of the angle to its axis.
#[test]
fn the_gap_is_set_against_the_nearest_point_of_a_turned_magnet() -> Result<()> {
    let tilt = 10.0 * DEG;
    let tilted = Mounting {
        magnet_tilt: Vector3::z() * tilt,
        ..Mounting::default()
    };
    let beyond = |magnet: Magnet, mounting: &Mounting| -> Result<f64> {
        let spec = SwungLayoutSpec {
            mounting: mounting.clone(),
            ..swung(magnet)
        };
        let layout = SwungLayout::new(spec)?;
        Ok(layout.sensor_pose().translation.vector.x - 20.0 * MM - 3.0 * MM)
    };
    let upright_mount = Mounting::default();
    let turned = 2.0 * MM * tilt.cos() + 2.5 * MM * tilt.sin();
    assert!((beyond(block([1.2, 0.0, 0.0]), &tilted)? - turned).abs() < PLACE);

    let disc = |pose| Cylinder::new(6.0 * MM, 3.0 * MM, Vector3::z(), pose).unwrap();
    let half = beyond(disc(lying()).into(), &upright_mount)?;
    assert!((half - 1.5 * MM).abs() < PLACE);
    let half = beyond(disc(lying()).into(), &tilted)?;
    let expected = 3.0 * MM * tilt.sin() + 1.5 * MM * tilt.cos();
    assert!((half - expected).abs() < PLACE);
    let half = beyond(disc(upright()).into(), &tilted)?;
    assert!((half - 3.0 * MM).abs() < PLACE);

    let ring = Ring::new(8.0 * MM, 5.0 * MM, 2.0 * MM, Vector3::z(), upright())?;
    assert!((beyond(ring.into(), &upright_mount)? - 4.0 * MM).abs() < PLACE);
    assert!((beyond(ball([1.0, 0.0, 0.0]), &tilted)? - 3.0 * MM).abs() < PLACE);
    Ok(())
}

#[test]
fn a_package_looks_at_the_magnets_wherever_it_stands() {
    for arrangement in every() {
        let parts = arrangement.parts();
        let pose = arrangement.sensor_pose();
        let tilt = UnitQuaternion::from_scaled_axis(arrangement.mounting().sensor_tilt);
        let out_of_face = pose * Vector3::z();
        let expected = tilt * -parts.facing().into_inner();
        assert!((out_of_face - expected).norm() < 1e-15, "{arrangement:?}");
        // A turn, and no mirror.
        let matrix = pose.rotation.to_rotation_matrix();
        assert!((matrix.matrix().determinant() - 1.0).abs() < 1e-14);
    }
    let place = |arrangement: &dyn Fn() -> AnyArrangement| arrangement().sensor_pose();
    let pose = place(&|| {
        SwungLayout::new(swung(ball([1.0, 0.0, 0.0])))
            .unwrap()
            .into()
    });
    assert!((pose * Vector3::x() - Vector3::y()).norm() < 1e-15);
    let pose = place(&|| {
        let spec = HeadOnLayoutSpec::new(ball([1.0, 0.0, 0.0]), 20.0 * MM, 3.0 * MM);
        HeadOnLayout::new(spec).unwrap().into()
    });
    assert!((pose * Vector3::x() - Vector3::x()).norm() < 1e-15);
}

#[test]
fn offset_and_eccentricity_move_one_part_each() -> Result<()> {
    let offset = Vector3::new(0.5, -0.25, 0.125) * MM;
    let spec = |mounting: Mounting| ShaftEndLayoutSpec {
        eccentricity: Vector2::new(0.2, -0.1) * MM,
        mounting,
        ..ShaftEndLayoutSpec::new(ball([1.0, 0.0, 0.0]), 2.0 * MM)
    };
    let straight = ShaftEndLayout::new(spec(Mounting::default()))?;
    let moved = ShaftEndLayout::new(spec(Mounting {
        offset,
        ..Mounting::default()
    }))?;
    assert_eq!(straight.parts().magnets(), moved.parts().magnets());
    let [one, two] = [&straight, &moved].map(|layout| layout.sensor_pose().translation.vector);
    assert_eq!(one, Vector3::new(0.0, 0.0, 5.0 * MM));
    assert!((two - one - offset).norm() < PLACE);
    let center = straight.parts().magnets().magnets()[0]
        .pose()
        .translation
        .vector;
    assert_eq!(center, Vector3::new(0.2 * MM, -0.1 * MM, 0.0));
    // Beside the shaft the rim comes nearer with the eccentricity, and the sensor keeps its gap.
    let beside = ShaftEndLayout::new(ShaftEndLayoutSpec {
        side: ShaftSide::Beside,
        ..spec(Mounting::default())
    })?;
    let at = beside.sensor_pose().translation.vector;
    assert!((at - Vector3::new(5.2 * MM, 0.0, 0.0)).norm() < PLACE);
    Ok(())
}

#[test]
fn two_magnets_keep_their_spacing_on_either_carrier() -> Result<()> {
    let flat = PairLayout::new(pair(block([1.2, 0.0, 0.0])))?;
    let centers: Vec<_> = flat
        .parts()
        .magnets()
        .magnets()
        .iter()
        .map(Magnet::pose)
        .collect();
    // Half the spacing and half the side along the tangent.
    assert!((centers[0].translation.vector - Vector3::new(20.0, -4.5, 0.0) * MM).norm() < PLACE);
    assert!((centers[1].translation.vector - Vector3::new(20.0, 4.5, 0.0) * MM).norm() < PLACE);

    // A ball on a round carrier: arm sin(turn) = radius + half the spacing.
    let round = PairLayout::new(PairLayoutSpec {
        carrier: PairCarrier::Round,
        ..pair(ball([1.2, 0.0, 0.0]))
    })?;
    let turn = (5.0_f64 / 20.0).asin();
    for (magnet, side) in round.parts().magnets().magnets().iter().zip([-1.0, 1.0]) {
        let pose = magnet.pose();
        let expected = 20.0 * MM * Vector3::new(turn.cos(), side * turn.sin(), 0.0);
        assert!((pose.translation.vector - expected).norm() < PLACE);
        let radial = pose * Vector3::x();
        assert!((radial - expected.normalize()).norm() < 1e-14);
    }
    // A block on a round carrier: its nearest corner is half the spacing from the plane, seen from all its corners.
    let round = PairLayout::new(PairLayoutSpec {
        carrier: PairCarrier::Round,
        ..pair(block([1.2, 0.0, 0.0]))
    })?;
    let second = &round.parts().magnets().magnets()[1];
    let corners = [-1.0, 1.0]
        .into_iter()
        .flat_map(|x| [-1.0, 1.0].map(|y| [x, y]));
    let nearest = corners
        .map(|[x, y]| (second.pose() * Point3::new(x * 2.0 * MM, y * 2.5 * MM, 0.0)).y)
        .fold(f64::INFINITY, f64::min);
    assert!((nearest - 2.0 * MM).abs() < PLACE);
    assert!((second.pose().translation.vector.norm() - 20.0 * MM).abs() < PLACE);

    let short = PairLayout::new(PairLayoutSpec {
        carrier: PairCarrier::Round,
        arm: 4.9 * MM,
        ..pair(ball([1.2, 0.0, 0.0]))
    });
    assert!(text(short).contains("arm of a round carrier = 0.0049 m is outside 0.005 to 1 m"));
    // Touching is allowed.
    let touching = PairLayoutSpec {
        spacing: 0.0,
        ..pair(block([1.2, 0.0, 0.0]))
    };
    assert!(PairLayout::new(touching).is_ok());
    Ok(())
}

#[test]
fn a_plate_lies_at_the_back_and_is_tilted_with_what_holds_it() -> Result<()> {
    let tilt = 10.0 * DEG;
    let with = |holder, tilt: f64| {
        SwungLayout::new(SwungLayoutSpec {
            mounting: Mounting {
                magnet_tilt: Vector3::z() * tilt,
                plate: Some(plate(holder)),
                ..Mounting::default()
            },
            ..swung(block([1.2, 0.0, 0.0]))
        })
    };
    for holder in PlateHolder::ALL {
        let layout = with(holder, 0.0)?;
        let face = layout.parts().plate().expect("a plate");
        assert!((face.point() - Point3::new(17.0 * MM, 0.0, 0.0)).norm() < PLACE);
        assert_eq!(face.normal().into_inner(), Vector3::x());
        let layout = with(holder, tilt)?;
        let face = layout.parts().plate().expect("a plate");
        let gap = face.gap(layout.parts().magnets())?;
        assert!((gap - 1.0 * MM).abs() < PLACE, "{holder}: {gap}");
        let normal = Rotation3::new(Vector3::z() * tilt) * Vector3::x();
        let expected = match holder {
            PlateHolder::Magnets => normal,
            _ => Vector3::x(),
        };
        assert!((face.normal().into_inner() - expected).norm() < 1e-15);
    }
    let layout = with(PlateHolder::Magnets, 0.0)?;
    let mount = |moving| {
        layout
            .axis_spec(
                common::THROW,
                sensor([0.0, 0.0, 1.0]),
                common::converter(),
                moving,
            )
            .plate
    };
    assert_eq!(mount(Moving::Magnets), PlateMount::Moving);
    assert_eq!(mount(Moving::Sensor), PlateMount::Frame);
    Ok(())
}

// --- fields ---------------------------------------------------------------------------------------------------------

/// Flux density of a dipole: J V / (4 pi) (3 (n.m) n - m) / r^3 with m the direction of J.
fn dipole(j: Vector3<f64>, volume: f64, from: Vector3<f64>, at: Vector3<f64>) -> Vector3<f64> {
    let away = at - from;
    let n = away.normalize();
    volume / (4.0 * std::f64::consts::PI * away.norm().powi(3)) * (3.0 * j.dot(&n) * n - j)
}

/// A ball is a dipole at any distance: the whole way from the measures to the reading by hand, at an angle, each
/// arrangement of its own.
#[test]
fn balls_read_as_dipoles_in_every_arrangement() -> Result<()> {
    let (arm, gap, radius) = (20.0 * MM, 3.0 * MM, 3.0 * MM);
    let volume = 4.0 / 3.0 * std::f64::consts::PI * radius.powi(3);
    let angle = 7.0 * DEG;
    let turn = |v: Vector3<f64>| Rotation3::new(Vector3::z() * angle) * v;
    let j = Vector3::new(0.3, 1.1, -0.4);
    let seen = |centers: &[(Vector3<f64>, Vector3<f64>)], at: Vector3<f64>| -> Vector3<f64> {
        centers
            .iter()
            .map(|(center, j)| dipole(turn(*j), volume, turn(*center), at))
            .sum()
    };
    let on_arm = Vector3::new(arm, 0.0, 0.0);
    let out = arm + radius + gap;

    let layout = SwungLayout::new(swung(ball(j.into())))?;
    let b = seen(&[(on_arm, j)], Vector3::new(out, 0.0, 0.0));
    for (direction, expected) in [
        ([0.0, 0.0, 1.0], -b.x),
        ([1.0, 0.0, 0.0], b.y),
        ([0.0, 1.0, 0.0], -b.z),
    ] {
        let read = flux(&layout, direction, Moving::Magnets, angle)?;
        assert!(
            (read - expected).abs() < FIELD,
            "{direction:?}: {read} {expected}"
        );
    }
    let axial = SwungLayout::new(SwungLayoutSpec {
        side: MagnetSide::Axial,
        ..swung(ball(j.into()))
    })?;
    let b = seen(&[(on_arm, j)], Vector3::new(arm, 0.0, radius + gap));
    let read = flux(&axial, [0.0, 0.0, 1.0], Moving::Magnets, angle)?;
    assert!((read + b.z).abs() < FIELD);

    let layout = PairLayout::new(pair(ball(j.into())))?;
    let aside = Vector3::new(0.0, 2.0 * MM + radius, 0.0);
    let b = seen(
        &[(on_arm - aside, j), (on_arm + aside, -j)],
        Vector3::new(out, 0.0, 0.0),
    );
    let read = flux(&layout, [0.0, 0.0, 1.0], Moving::Magnets, angle)?;
    assert!((read + b.x).abs() < FIELD);

    let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(ball(j.into()), arm, gap))?;
    let b = seen(&[(on_arm, j)], Vector3::new(arm, radius + gap, 0.0));
    let read = flux(&layout, [0.0, 0.0, 1.0], Moving::Magnets, angle)?;
    assert!((read + b.y).abs() < FIELD);

    let eccentricity = Vector2::new(0.3, 0.2) * MM;
    let layout = ShaftEndLayout::new(ShaftEndLayoutSpec {
        eccentricity,
        ..ShaftEndLayoutSpec::new(ball(j.into()), gap)
    })?;
    let center = Vector3::new(eccentricity.x, eccentricity.y, 0.0);
    let b = seen(&[(center, j)], Vector3::new(0.0, 0.0, radius + gap));
    let read = flux(&layout, [1.0, 0.0, 0.0], Moving::Magnets, angle)?;
    assert!((read - b.y).abs() < FIELD);
    let read = flux(&layout, [0.0, 1.0, 0.0], Moving::Magnets, angle)?;
    assert!((read - b.x).abs() < FIELD);
    Ok(())
}

/// Far away every magnet is a dipole of its J V: of a cube the next term falls with the fourth power of size over
/// distance, of other shapes with the second.
#[test]
fn far_away_the_shape_does_not_matter() -> Result<()> {
    let gap = 0.2;
    let j = Vector3::new(0.5, 1.0, 0.0);
    let magnets: [Magnet; 4] = [
        Block::new(Vector3::repeat(4.0 * MM), j, upright())?.into(),
        Cylinder::new(4.0 * MM, 3.0 * MM, j, upright())?.into(),
        Ring::new(5.0 * MM, 2.0 * MM, 3.0 * MM, j, upright())?.into(),
        Sphere::new(4.0 * MM, j, upright())?.into(),
    ];
    for magnet in magnets {
        let layout = SwungLayout::new(SwungLayoutSpec::new(magnet.clone(), 20.0 * MM, gap))?;
        let at = layout.sensor_pose().translation.vector;
        let b = dipole(j, magnet.volume(), Vector3::new(20.0 * MM, 0.0, 0.0), at);
        let read = layout.source().field_at(&at.into())?;
        // (size over distance)^2 = (5 mm / 0.2 m)^2 = 6e-4.
        assert!((read - b).norm() < 6e-4 * b.norm(), "{magnet:?}");
    }
    Ok(())
}

/// Each ball of a pair on a round carrier reads as one alone on the arm, turned on by where it sits.
#[test]
fn a_pair_reads_as_the_sum_of_two_single_magnets() -> Result<()> {
    let single = SwungLayout::new(swung(ball([1.2, 0.0, 0.0])))?;
    for spacing in [0.0, 4.0 * MM, 30.0 * MM] {
        let both = PairLayout::new(PairLayoutSpec {
            carrier: PairCarrier::Round,
            spacing,
            ..pair(ball([1.2, 0.0, 0.0]))
        })?;
        let turn = ((3.0 * MM + 0.5 * spacing) / (20.0 * MM)).asin();
        // The gap is set against the nearest point of the pair, which is nearer the pivot than that of one alone.
        let back = 20.0 * MM * (1.0 - turn.cos());
        let single = single.with_measure(Measure::RadialOffset, -back)?;
        for angle in [-9.0 * DEG, 0.0, 4.0 * DEG] {
            let read = |layout: &SwungLayout, angle: f64| {
                flux(layout, [0.0, 0.0, 1.0], Moving::Magnets, angle)
            };
            let expected = read(&single, angle - turn)? - read(&single, angle + turn)?;
            let pair = flux(&both, [0.0, 0.0, 1.0], Moving::Magnets, angle)?;
            assert!(
                (pair - expected).abs() < FIELD,
                "{spacing} {angle}: {pair} {expected}"
            );
        }
    }
    Ok(())
}

/// On the axis of a cylinder polarized along it (Furlani 2001, sec. 4.2):
/// B = J/2 (z2 / hypot(z2, R) - z1 / hypot(z1, R)) at z1 from the near face, z2 = z1 + L.
#[test]
fn head_on_reads_the_closed_form_on_the_axis() -> Result<()> {
    let along = Isometry3::rotation(-Vector3::x() * FRAC_PI_2);
    let (radius, length, j) = (4.0 * MM, 5.0 * MM, 1.2);
    let disc = Cylinder::new(2.0 * radius, length, Vector3::new(0.0, 0.0, j), along)?;
    for gap in [1.0 * MM, 4.0 * MM, 15.0 * MM] {
        let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(disc.clone(), 30.0 * MM, gap))?;
        let share = |z: f64| z / z.hypot(radius);
        let expected = 0.5 * j * (share(gap + length) - share(gap));
        let read = flux(&layout, [0.0, 0.0, 1.0], Moving::Magnets, 0.0)?;
        assert!((read + expected).abs() < FIELD, "{gap}: {read} {expected}");
    }
    // Positive angles close the gap.
    let layout = HeadOnLayout::new(HeadOnLayoutSpec::new(disc, 30.0 * MM, 4.0 * MM))?;
    let [far, near] = [-3.0, 3.0]
        .map(|angle| flux(&layout, [0.0, 0.0, -1.0], Moving::Magnets, angle * DEG).unwrap());
    assert!(near > 1.5 * far && far > 0.0);
    Ok(())
}

/// On the axis of a cylinder polarized across it, by its surface charge J cos(phi):
/// B = -J/4 (z2 / hypot(z2, R) - z1 / hypot(z1, R)).
#[test]
fn a_shaft_end_reads_the_closed_form_on_the_axis() -> Result<()> {
    let (radius, length, j) = (3.0 * MM, 2.5 * MM, 1.2);
    let across = Vector3::new(j, 0.0, 0.0);
    let disc = Cylinder::new(2.0 * radius, length, across, upright())?;
    let bore = 1.0 * MM;
    let ring = Ring::new(2.0 * radius, 2.0 * bore, length, across, upright())?;
    for gap in [0.5 * MM, 2.0 * MM, 10.0 * MM] {
        let part = |radius: f64| {
            let share = |z: f64| z / z.hypot(radius);
            -0.25 * j * (share(gap + length) - share(gap))
        };
        for (magnet, expected) in [
            (Magnet::from(disc.clone()), part(radius)),
            (ring.clone().into(), part(radius) - part(bore)),
        ] {
            let layout = ShaftEndLayout::new(ShaftEndLayoutSpec::new(magnet, gap))?;
            for angle in [-170.0 * DEG, 0.0, 35.0 * DEG] {
                // The field turns with the magnet: the package's y axis lies along x, its x axis along y.
                let x = flux(&layout, [0.0, 1.0, 0.0], Moving::Magnets, angle)?;
                let y = flux(&layout, [1.0, 0.0, 0.0], Moving::Magnets, angle)?;
                assert!((x - expected * angle.cos()).abs() < FIELD, "{gap} {angle}");
                assert!((y - expected * angle.sin()).abs() < FIELD, "{gap} {angle}");
            }
        }
    }
    Ok(())
}

#[test]
fn a_pair_reads_straight_over_a_wider_throw_than_one_magnet() -> Result<()> {
    let bars = |j: [f64; 3]| {
        let size = Vector3::new(3.0, 6.0, 6.0) * MM;
        Magnet::from(Block::new(size, j.into(), upright()).unwrap())
    };
    let throw = [-14.0 * DEG, 14.0 * DEG];
    let independent = |layout: &dyn Fn() -> AnyArrangement| -> Result<f64> {
        let axis = layout().axis(
            throw,
            sensor([0.0, 0.0, 1.0]),
            common::converter(),
            Moving::Magnets,
        )?;
        Ok(axis
            .figures(201)?
            .linearity_flux()
            .expect("it changes")
            .independent())
    };
    let one = independent(&|| {
        let spec = SwungLayoutSpec::new(bars([0.0, 1.2, 0.0]), 20.0 * MM, 4.0 * MM);
        SwungLayout::new(spec).unwrap().into()
    })?;
    let two = independent(&|| {
        let spec = PairLayoutSpec::new(bars([1.2, 0.0, 0.0]), 20.0 * MM, 4.0 * MM, 3.0 * MM);
        PairLayout::new(spec.unwrap()).unwrap().into()
    })?;
    assert!(two < 0.5 * one, "{two} {one}");
    Ok(())
}

// --- what is refused -----------------------------------------------------------------------------------------------

#[test]
fn parts_that_reach_into_one_another_are_refused_by_how_much() -> Result<()> {
    // A tilt of the carrier leaves the magnets apart; unequal ones on a flat carrier, too.
    let unequal = PairLayout::new(PairLayoutSpec {
        magnets: [block([1.2, 0.0, 0.0]), ball([-1.2, 0.0, 0.0])],
        spacing: 0.0,
        ..pair(ball([1.0, 0.0, 0.0]))
    });
    assert!(unequal.is_ok());

    // The package reaches 0.7 mm down into the magnet: gap 0.3 mm less an offset of 1 mm.
    let into = SwungLayoutSpec {
        gap: 0.3 * MM,
        mounting: Mounting {
            offset: Vector3::new(-MM, 0.0, 0.0),
            package: Some(package()),
            ..Mounting::default()
        },
        ..swung(block([0.0, 1.2, 0.0]))
    };
    let message = text(SwungLayout::new(into.clone()));
    assert!(
        message.contains("at 0 deg the sensor's package reaches 0.7 mm into the magnet:"),
        "{message}"
    );
    // Without a body it is seen by the center of its face, where magnet and sensor become an axis.
    let bodiless = SwungLayout::new(SwungLayoutSpec {
        mounting: Mounting {
            package: None,
            ..into.mounting
        },
        ..into
    })?;
    let message = text(bodiless.axis(
        common::THROW,
        common::sensor(),
        common::converter(),
        Moving::Magnets,
    ));
    assert!(
        message.contains("the face of the sensor's package reaches")
            && message.contains("into the magnet:"),
        "{message}"
    );

    // A package behind its plate: on the inner side, moved 30 mm out.
    let behind = SwungLayoutSpec {
        side: MagnetSide::Inner,
        mounting: Mounting {
            offset: Vector3::new(11.0 * MM, 0.0, 12.0 * MM),
            package: Some(package()),
            plate: Some(plate(PlateHolder::Sensor)),
            ..Mounting::default()
        },
        ..swung(block([0.0, 1.2, 0.0]))
    };
    // Face at 20 - 2 - 3 + 11 = 26 mm, looking outward, plate at 20 + 2 + 1 = 23 mm with all beyond it of steel.
    let message = text(SwungLayout::new(behind));
    assert!(message.contains("reaches 3 mm into the plate"), "{message}");
    Ok(())
}

/// A block on a short arm: its far corner passes nearer to the sensor than its face does at the center.
#[test]
fn a_package_that_is_met_on_the_way_is_refused() -> Result<()> {
    let long = Block::new(Vector3::new(4.0, 20.0, 6.0) * MM, Vector3::y(), upright())?;
    let layout = |package| {
        SwungLayout::new(SwungLayoutSpec {
            mounting: Mounting {
                package,
                ..Mounting::default()
            },
            ..SwungLayoutSpec::new(long.clone(), 10.0 * MM, 1.5 * MM)
        })
        .unwrap()
    };
    // The corner stands hypot(12, 10) = 15.6 mm from the pivot, the face of the package at 13.5 mm.
    let axis = |package, end: f64| {
        layout(package).axis(
            [-end, end],
            common::sensor(),
            common::converter(),
            Moving::Magnets,
        )
    };
    assert!(axis(Some(package()), 5.0 * DEG).is_ok());
    let Err(Error::Collision {
        part,
        other,
        angle_deg,
        overlap,
    }) = axis(Some(package()), 60.0 * DEG)
    else {
        panic!("they meet");
    };
    assert_eq!(part, "the sensor's package");
    assert!(other.contains("magnet"), "{other}");
    // Looked at from the lower end on: it is met there or soon after.
    assert!((-60.0..-5.0).contains(&angle_deg) && overlap > 0.0);
    assert!(axis(None, 60.0 * DEG).is_ok());
    Ok(())
}

#[test]
fn what_no_arrangement_may_have_is_refused_by_name() {
    let away = block([0.0, 1.2, 0.0])
        .placed(Isometry3::translation(0.0, 1.0 * MM, 0.0))
        .unwrap();
    let message = text(SwungLayout::new(swung(away)));
    assert!(message.contains("position y of a magnet that an arrangement places = 0.001 m"));
    let mounted = |mounting: Mounting| {
        text(SwungLayout::new(SwungLayoutSpec {
            mounting,
            ..swung(block([0.0, 1.2, 0.0]))
        }))
    };
    let message = mounted(Mounting {
        package: Some(SensorPackage {
            thickness: 0.0,
            ..package()
        }),
        ..Mounting::default()
    });
    assert!(
        message.contains("thickness of the package = 0 m"),
        "{message}"
    );
    let message = mounted(Mounting {
        magnet_tilt: Vector3::new(0.0, 0.0, 46.0 * DEG),
        ..Mounting::default()
    });
    assert!(message.contains("magnet tilt about axial"), "{message}");
    let message = mounted(Mounting {
        plate: Some(BackPlate {
            distance: -1e-6,
            holder: PlateHolder::Magnets,
        }),
        ..Mounting::default()
    });
    assert!(message.contains("plate distance"), "{message}");
}

// --- measures -------------------------------------------------------------------------------------------------------

/// Every measure can be read, set to what it is and to something else; the others keep their values.
#[test]
fn every_measure_is_read_and_set_by_its_name() -> Result<()> {
    let mut seen = std::collections::HashSet::new();
    for arrangement in every() {
        let measures = arrangement.measures();
        for one in &measures {
            seen.insert(one.measure);
            assert_eq!(arrangement.measure(one.measure), Some(one.value));
            let [min, max] = one.measure.bounds();
            assert!((min..=max).contains(&one.value));
            let same = arrangement.with_measure(one.measure, one.value)?;
            if one.measure.to_string().ends_with("polarization") {
                // Through its size and its direction.
                assert!((same.measure(one.measure).unwrap() - one.value).abs() < 1e-15);
            } else {
                assert_eq!(same, arrangement, "{}", one.measure);
            }
            let other = match one.measure.unit() {
                "rad" => one.value + 0.5 * DEG,
                "T" => 0.9 * one.value,
                _ => one.value + 0.05 * MM,
            };
            let changed = arrangement.with_measure(one.measure, other)?;
            assert_ne!(changed, arrangement, "{}", one.measure);
            for (before, after) in measures.iter().zip(changed.measures()) {
                let expected = if before.measure == one.measure {
                    other
                } else {
                    before.value
                };
                assert_eq!(after.measure, before.measure);
                assert!((after.value - expected).abs() < 1e-15, "{}", one.measure);
            }
            for none in [f64::NAN, f64::INFINITY, min.next_down(), max.next_up()] {
                let message = text(arrangement.with_measure(one.measure, none));
                assert!(message.contains(&one.measure.to_string()), "{message}");
            }
        }
        let has = |measure| measures.iter().any(|one| one.measure == measure);
        for measure in Measure::ALL.into_iter().filter(|measure| !has(*measure)) {
            let message = text(arrangement.with_measure(measure, 0.0));
            let start = format!("measure of this arrangement: '{measure}' is not known");
            assert!(
                message.starts_with(&start) && message.contains("gap"),
                "{message}"
            );
        }
    }
    assert_eq!(seen.len(), Measure::ALL.len(), "one of each is tried");
    Ok(())
}

/// What each measure does, where it is not told above: a reading by another route.
#[test]
fn measures_of_the_magnet_are_those_of_its_shape() -> Result<()> {
    let layout = SwungLayout::new(swung(block([0.3, 0.4, 0.0])))?;
    let doubled = layout.with_measure(Measure::Polarization, 1.0)?;
    assert!((doubled.magnet().polarization() - Vector3::new(0.6, 0.8, 0.0)).norm() < 1e-15);
    let wider = layout.with_measure(Measure::MagnetWidth, 5.0 * MM)?;
    let Magnet::Block(block) = wider.magnet() else {
        panic!("a block");
    };
    assert_eq!(block.size(), Vector3::new(5.0, 5.0, 6.0) * MM);
    // The sensor keeps the gap to the part's own face.
    let moved = wider.sensor_pose().translation.vector - layout.sensor_pose().translation.vector;
    assert!((moved - Vector3::new(0.5 * MM, 0.0, 0.0)).norm() < PLACE);
    let none = SwungLayout::new(swung(unpolarized()))?;
    assert_eq!(none.measure(Measure::Polarization), None);
    let ring = Ring::new(8.0 * MM, 4.0 * MM, 2.0 * MM, Vector3::x(), upright())?;
    let ring = ShaftEndLayout::new(ShaftEndLayoutSpec::new(ring, 1.0 * MM))?;
    let message = text(ring.with_measure(Measure::MagnetBore, 8.0 * MM));
    assert!(message.contains("ring diameters"), "{message}");
    Ok(())
}

/// A stroke of the pivot by another route: turning the magnets is turning the sensor back, plate or not.
#[test]
fn moving_the_sensor_is_moving_the_magnets_back() -> Result<()> {
    for arrangement in every() {
        let read = |moving, angle| flux(&arrangement, [0.3, 0.2, 1.0], moving, angle);
        for angle in [-4.0 * DEG, 0.0, 6.0 * DEG] {
            let [one, two] = [read(Moving::Magnets, angle)?, read(Moving::Sensor, -angle)?];
            assert!((one - two).abs() < FIELD, "{arrangement:?}: {one} {two}");
        }
    }
    Ok(())
}

/// Steel behind the magnet strengthens what the sensor reads of a radial one; far away it doubles it, as the image is
/// another dipole of the same sign.
#[test]
fn a_plate_behind_the_magnet_adds_its_image() -> Result<()> {
    let layout = |holder: Option<PlateHolder>| {
        SwungLayout::new(SwungLayoutSpec {
            gap: 0.2,
            mounting: Mounting {
                plate: holder.map(plate),
                ..Mounting::default()
            },
            ..swung(ball([1.2, 0.0, 0.0]))
        })
    };
    let read = |holder| flux(&layout(holder)?, [0.0, 0.0, 1.0], Moving::Magnets, 0.0);
    let alone = read(None)?;
    // The image stands 8 mm farther: (203 / 211)^3.
    let expected = 1.0 + (203.0_f64 / 211.0).powi(3);
    for holder in PlateHolder::ALL {
        let ratio = read(Some(holder))? / alone;
        assert!((ratio - expected).abs() < 1e-12, "{ratio}");
    }
    // Turned past a plate that stays, the magnet keeps its image in it.
    let stays = flux(
        &layout(Some(PlateHolder::Sensor))?,
        [0.0, 0.0, 1.0],
        Moving::Magnets,
        2.0 * DEG,
    )?;
    let goes = flux(
        &layout(Some(PlateHolder::Magnets))?,
        [0.0, 0.0, 1.0],
        Moving::Magnets,
        2.0 * DEG,
    )?;
    assert!((stays - goes).abs() > 1e-4 * stays.abs());
    Ok(())
}

/// Written and read again, as a value of any kind and as a spec, through every check.
#[test]
fn arrangements_come_back_from_a_text() {
    for arrangement in every() {
        let text = serde_json::to_string(&arrangement).expect("it can be stored");
        let read: AnyArrangement = serde_json::from_str(&text).expect("it can be read");
        assert_eq!(read, arrangement, "{text}");
        for one in arrangement.measures() {
            let text = serde_json::to_string(&one).expect("it can be stored");
            let read: yokewright::axis::MeasureValue =
                serde_json::from_str(&text).expect("it can be read");
            assert_eq!(read, one);
        }
    }
    let layout = SwungLayout::new(swung(block([0.0, 1.2, 0.0]))).unwrap();
    let text = serde_json::to_string(&layout).unwrap();
    let refused = |from: &str, to: &str| {
        assert!(text.contains(from), "{text}");
        let error = serde_json::from_str::<SwungLayout>(&text.replacen(from, to, 1));
        error.expect_err(to).to_string()
    };
    assert!(refused("\"gap\":0.003", "\"gap\":-0.003").contains("gap = -0.003 m"));
    assert!(refused("\"gap\"", "\"gasp\"").contains("unknown field `gasp`"));
    assert!(refused("\"outer\"", "\"above\"").contains("outer, inner, axial"));
    let error = serde_json::from_str::<yokewright::axis::MeasureValue>(
        "{\"measure\":\"gap\",\"value\":3.0}",
    );
    assert!(
        error
            .unwrap_err()
            .to_string()
            .contains("did you mean 3 * MM?")
    );
}
