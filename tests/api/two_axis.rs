//! A stick with a sensor for each axis: readings, crosstalk, correction, and what is refused.

use std::f64::consts::PI;

use nalgebra::{
    DMatrix, DVector, Isometry3, Matrix3, Point3, Translation3, UnitQuaternion, Vector3,
};
use yokewright::axis::{
    CarriedMagnets, CarriedSensor, Carrier, CorrectionTerms, Crosstalk, CrosstalkCause, GateMap,
    ReadBy, TwoAxis, TwoAxisSpec,
};
use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
use yokewright::linkage::{Gate, Gimbal, GimbalAxis, GimbalSpec, Pivot};
use yokewright::magnet::{AnySource, Block, Cylinder, FieldSource, Sphere};
use yokewright::units::{DEG, MM, MV_PER_MT};
use yokewright::{Error, Result};

/// Two routes to one flux density differ by the rounding of positions, here some 1e-17 m at 1e1 T/m, and of the
/// fields: 1e-12 of the largest.
const ROUNDING: f64 = 1e-13;

/// Low enough that nothing is at a rail.
const SENSITIVITY: f64 = 5.0 * MV_PER_MT;

const AXES: [GimbalAxis; 2] = [GimbalAxis::Outer, GimbalAxis::Inner];

fn sensor(direction: Vector3<f64>) -> LinearHall {
    LinearHall::new(LinearHallSpec {
        direction,
        ..LinearHallSpec::new(5.0, SENSITIVITY)
    })
    .unwrap()
}

fn converter() -> Converter {
    Converter::new(12, 5.0, Rounding::Nearest, 0.0).unwrap()
}

fn square_gimbal() -> Gimbal {
    Gimbal::new(GimbalSpec::new(
        Pivot::new(Point3::origin(), Vector3::y()).unwrap(),
        Pivot::new(Point3::origin(), Vector3::x()).unwrap(),
        vec![Point3::origin(), Point3::new(0.0, 0.0, 400.0 * MM)],
    ))
    .unwrap()
}

fn square_gate() -> Gate {
    Gate::square([-15.0 * DEG, 15.0 * DEG], [-15.0 * DEG, 15.0 * DEG]).unwrap()
}

fn cube(polarization: Vector3<f64>, at: Vector3<f64>) -> Block {
    Block::new(Vector3::repeat(5.0 * MM), polarization, Isometry3::from(at)).unwrap()
}

/// The club's rig: pitch outer about y, roll inner about x. Each magnet swings 20 mm from its axis, polarized along
/// its way, past a sensor that faces it from outside.
fn rig_spec(pitch_magnet: Carrier, roll_magnet: Carrier, roll_sensor: Carrier) -> TwoAxisSpec {
    let pitch = cube(
        Vector3::new(0.0, 0.0, 1.2),
        Vector3::new(-0.020, 0.050, 0.0),
    );
    let roll = cube(
        Vector3::new(0.0, 1.2, 0.0),
        Vector3::new(0.010, 0.0, -0.020),
    );
    let facing = UnitQuaternion::from_scaled_axis(Vector3::y() * (0.5 * PI));
    TwoAxisSpec::new(
        square_gimbal(),
        square_gate(),
        vec![
            CarriedMagnets::new(pitch, pitch_magnet, ReadBy::Outer),
            CarriedMagnets::new(roll, roll_magnet, ReadBy::Inner),
        ],
        CarriedSensor::new(
            sensor(Vector3::z()),
            Isometry3::from_parts(Vector3::new(-0.029, 0.050, 0.0).into(), facing),
            Carrier::Frame,
            converter(),
        ),
        CarriedSensor::new(
            sensor(Vector3::z()),
            Isometry3::translation(0.010, 0.0, -0.030),
            roll_sensor,
            converter(),
        ),
    )
}

fn rig() -> TwoAxis {
    TwoAxis::new(rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring)).unwrap()
}

/// A rig without any symmetry, with a source on every carrier.
fn crooked(outer_on: Carrier, inner_on: Carrier) -> TwoAxisSpec {
    let gimbal = Gimbal::new(GimbalSpec::new(
        Pivot::new(
            Point3::new(0.003, 0.0, -0.004),
            Vector3::new(0.1, 1.0, -0.2),
        )
        .unwrap(),
        Pivot::new(Point3::new(0.0, 0.006, 0.02), Vector3::new(1.0, -0.3, 0.1)).unwrap(),
        vec![Point3::origin(), Point3::new(0.02, -0.03, 0.4)],
    ))
    .unwrap();
    let posed = |x: f64, y: f64, z: f64, turn: Vector3<f64>| {
        Isometry3::from_parts(
            Vector3::new(x, y, z).into(),
            UnitQuaternion::from_scaled_axis(turn),
        )
    };
    let cylinder = Cylinder::new(
        6.0 * MM,
        4.0 * MM,
        Vector3::new(0.0, 0.3, 1.1),
        posed(-0.03, 0.01, 0.04, Vector3::new(0.4, -0.2, 0.1)),
    )
    .unwrap();
    let deep = LinearHall::new(LinearHallSpec {
        depth: 0.4 * MM,
        ..sensor(Vector3::new(0.3, -0.5, 0.8)).spec().clone()
    })
    .unwrap();
    TwoAxisSpec::new(
        gimbal,
        Gate::round(18.0 * DEG).unwrap(),
        vec![
            CarriedMagnets::new(
                cube(Vector3::new(0.5, 0.2, 1.0), Vector3::new(0.02, 0.03, -0.01)),
                Carrier::Frame,
                ReadBy::Outer,
            ),
            CarriedMagnets::new(cylinder, Carrier::Ring, ReadBy::Both),
            CarriedMagnets::new(
                cube(
                    Vector3::new(-0.4, 1.0, 0.1),
                    Vector3::new(0.01, -0.04, 0.02),
                ),
                Carrier::Stick,
                ReadBy::Neither,
            ),
        ],
        CarriedSensor::new(
            deep,
            posed(-0.02, -0.02, -0.03, Vector3::new(1.0, 0.3, -0.7)),
            outer_on,
            converter(),
        ),
        CarriedSensor::new(
            sensor(Vector3::new(-0.2, 0.9, 0.1)),
            posed(0.04, -0.01, 0.05, Vector3::new(-0.6, 0.8, 0.2)),
            inner_on,
            converter(),
        ),
    )
}

/// A turn by the formula of Rodrigues, as a matrix.
fn rodrigues(pivot: &Pivot, angle: f64) -> (Matrix3<f64>, Vector3<f64>) {
    let cross = pivot.direction().cross_matrix();
    let turn = Matrix3::identity() + cross * angle.sin() + cross * cross * (1.0 - angle.cos());
    let point = pivot.point().coords;
    (turn, point - turn * point)
}

/// Flux density along the sensitive direction of a linear sensor, from first principles.
fn by_hand(spec: &TwoAxisSpec, axis: GimbalAxis, angles: [f64; 2]) -> f64 {
    let sensor = spec.sensor(axis).sensor.linear().unwrap();
    let all = |_: &CarriedMagnets| true;
    field_by_hand(spec, axis, angles, &sensor.active_point(), all).dot(&sensor.direction())
}

/// Flux density at a point of a sensor's package, in its frame, from first principles: magnets and sensor are moved to
/// where they are in the frame of the rig.
pub(crate) fn field_by_hand(
    spec: &TwoAxisSpec,
    axis: GimbalAxis,
    [outer, inner]: [f64; 2],
    point: &Point3<f64>,
    chosen: impl Fn(&CarriedMagnets) -> bool,
) -> Vector3<f64> {
    let axes = spec.gimbal.spec();
    let (outer_turn, outer_move) = rodrigues(&axes.outer, outer);
    let (inner_turn, inner_move) = rodrigues(&axes.inner, inner);
    let motion = |carrier| {
        let (turn, moved) = match carrier {
            Carrier::Frame => (Matrix3::identity(), Vector3::zeros()),
            Carrier::Ring => (outer_turn, outer_move),
            Carrier::Stick => (
                outer_turn * inner_turn,
                outer_turn * inner_move + outer_move,
            ),
        };
        Isometry3::from_parts(
            Translation3::from(moved),
            UnitQuaternion::from_rotation_matrix(&nalgebra::Rotation3::from_matrix_unchecked(turn)),
        )
    };
    let sensor = spec.sensor(axis);
    let pose = motion(sensor.carrier) * sensor.pose;
    let point = pose * point;
    let sources = spec.magnets.iter().filter(|source| chosen(source));
    let field: Vector3<f64> = sources
        .map(|source| {
            let moved = source.magnets.moved(&motion(source.carrier)).unwrap();
            moved.field_at(&point).unwrap()
        })
        .sum();
    pose.inverse() * field
}

fn positions() -> Vec<[f64; 2]> {
    let angle = |i: usize, step: f64| (i as f64 * step).fract() * 0.9 - 0.45;
    let mut all: Vec<_> = (0..40)
        .map(|i| [angle(i, 0.618_034), angle(i, 0.754_878)])
        .collect();
    all.push([0.0, 0.0]);
    all.push([-0.0, 1e-160]);
    all
}

#[test]
fn flux_is_that_of_magnets_and_sensor_moved_by_hand_on_every_carrier() {
    for outer_on in Carrier::ALL {
        for inner_on in Carrier::ALL {
            let spec = crooked(outer_on, inner_on);
            let two = TwoAxis::new(spec.clone()).unwrap();
            for angles in positions() {
                let flux = two.flux_at(angles[0], angles[1]).unwrap();
                for (axis, flux) in AXES.into_iter().zip(flux) {
                    let expected = by_hand(&spec, axis, angles);
                    assert!(
                        (flux - expected).abs() < ROUNDING,
                        "{outer_on} {inner_on} {axis} {angles:?}: {flux} {expected}"
                    );
                }
            }
        }
    }
}

#[test]
fn many_positions_are_read_as_one_by_one() {
    let two = TwoAxis::new(crooked(Carrier::Ring, Carrier::Stick)).unwrap();
    // More than one stretch of work, with rows that are refused among them.
    let count = 9001;
    let outer: Vec<f64> = (0..count)
        .map(|i| f64::from(i % 97) * 0.005 - 0.2)
        .collect();
    let mut inner: Vec<f64> = (0..count)
        .map(|i| f64::from(i % 89) * 0.004 - 0.2)
        .collect();
    for (row, bad) in [(3, f64::NAN), (4500, f64::INFINITY), (9000, 3.2)] {
        inner[row] = bad;
    }
    let (flux, valid) = two.fluxes_at(&outer, &inner).unwrap();
    let readings = two.readings_at(&outer, &inner).unwrap();
    assert_eq!(readings.valid, valid);
    assert_eq!(valid.iter().filter(|valid| !**valid).count(), 3);
    for i in (0..outer.len()).step_by(271).chain([3, 4500, 9000]) {
        let Ok(one) = two.reading_at(outer[i], inner[i]) else {
            assert!(!valid[i] && flux[i].iter().all(|b| b.is_nan()));
            assert!(readings.volts[i].iter().all(|v| v.is_nan()));
            assert_eq!(readings.counts[i], [-1; 2]);
            continue;
        };
        assert!(valid[i]);
        for axis in [0, 1] {
            assert!((one.flux[axis].unwrap() - flux[i][axis]).abs() < ROUNDING);
            assert!((one.volts[axis].unwrap() - readings.volts[i][axis]).abs() < 1e-11);
            assert!((one.counts[axis] - readings.counts[i][axis]).abs() <= 1);
            assert_eq!(one.clipped[axis], readings.clipped[i][axis]);
        }
    }
    assert!(matches!(
        two.fluxes_at(&outer, &inner[1..]),
        Err(Error::LengthMismatch { .. })
    ));
    let (none, empty) = two.fluxes_at(&[], &[]).unwrap();
    assert!(none.is_empty() && empty.is_empty());
}

/// Seen from the stick, the inner axis is the outer one and both turn the other way.
fn seen_from_stick(spec: &TwoAxisSpec) -> TwoAxisSpec {
    let axes = spec.gimbal.spec();
    let swapped = |carrier| match carrier {
        Carrier::Frame => Carrier::Stick,
        Carrier::Ring => Carrier::Ring,
        Carrier::Stick => Carrier::Frame,
    };
    let magnets = spec.magnets.iter().map(|source| CarriedMagnets {
        carrier: swapped(source.carrier),
        read_by: match source.read_by {
            ReadBy::Outer => ReadBy::Inner,
            ReadBy::Inner => ReadBy::Outer,
            same => same,
        },
        ..source.clone()
    });
    let sensor = |sensor: &CarriedSensor| CarriedSensor {
        carrier: swapped(sensor.carrier),
        ..sensor.clone()
    };
    TwoAxisSpec {
        gimbal: Gimbal::new(GimbalSpec {
            outer: axes.inner,
            inner: axes.outer,
            ..axes.clone()
        })
        .unwrap(),
        gate: spec.gate.clone(),
        magnets: magnets.collect(),
        outer: sensor(&spec.inner),
        inner: sensor(&spec.outer),
    }
}

#[test]
fn axes_are_swapped_by_looking_from_the_stick() {
    for (outer_on, inner_on) in [
        (Carrier::Frame, Carrier::Ring),
        (Carrier::Stick, Carrier::Frame),
    ] {
        let mut spec = crooked(outer_on, inner_on);
        spec.gate = square_gate();
        let (one, two) = (
            TwoAxis::new(spec.clone()).unwrap(),
            TwoAxis::new(seen_from_stick(&spec)).unwrap(),
        );
        for [outer, inner] in positions() {
            let [a, b] = one.flux_at(outer, inner).unwrap();
            let [c, d] = two.flux_at(-inner, -outer).unwrap();
            assert!((a - d).abs() < ROUNDING && (b - c).abs() < ROUNDING);
        }
        let (one, two) = (one.crosstalk(21).unwrap(), two.crosstalk(21).unwrap());
        for (one, two) in [(&one.outer, &two.inner), (&one.inner, &two.outer)] {
            assert!((one.worst.flux.unwrap() - two.worst.flux.unwrap()).abs() < 1e-10);
            assert!((one.span_volts.unwrap() - two.span_volts.unwrap()).abs() < 1e-9);
            assert!((one.own_flux.unwrap() - two.own_flux.unwrap()).abs() < 1e-10);
            assert!((one.stray_flux.unwrap() - two.stray_flux.unwrap()).abs() < 1e-10);
            assert_eq!(one.cause, two.cause);
        }
    }
}

/// A motion of the whole rig changes nothing.
#[test]
fn readings_do_not_depend_on_where_the_rig_stands() {
    let spec = crooked(Carrier::Stick, Carrier::Ring);
    let motion = Isometry3::from_parts(
        Vector3::new(0.7, -1.1, 0.4).into(),
        UnitQuaternion::from_scaled_axis(Vector3::new(0.9, -1.4, 0.3)),
    );
    let pivot =
        |pivot: Pivot| Pivot::new(motion * pivot.point(), motion * pivot.direction()).unwrap();
    let axes = spec.gimbal.spec();
    let moved = TwoAxisSpec {
        gimbal: Gimbal::new(GimbalSpec {
            outer: pivot(axes.outer),
            inner: pivot(axes.inner),
            stick: axes.stick.iter().map(|corner| motion * corner).collect(),
            ..axes.clone()
        })
        .unwrap(),
        gate: spec.gate.clone(),
        magnets: spec
            .magnets
            .iter()
            .map(|source| CarriedMagnets {
                magnets: source.magnets.moved(&motion).unwrap(),
                ..source.clone()
            })
            .collect(),
        outer: CarriedSensor {
            pose: motion * spec.outer.pose,
            ..spec.outer.clone()
        },
        inner: CarriedSensor {
            pose: motion * spec.inner.pose,
            ..spec.inner.clone()
        },
    };
    let (here, there) = (TwoAxis::new(spec).unwrap(), TwoAxis::new(moved).unwrap());
    for [outer, inner] in positions() {
        let (a, b) = (
            here.flux_at(outer, inner).unwrap(),
            there.flux_at(outer, inner).unwrap(),
        );
        // Places a meter out are rounded to 1e-16 m; the gradient is some T/m.
        assert!((a[0] - b[0]).abs() < 1e-12 && (a[1] - b[1]).abs() < 1e-12);
    }
}

#[test]
fn a_map_has_a_value_where_the_gate_allows() {
    let two = TwoAxis::new(crooked(Carrier::Ring, Carrier::Frame)).unwrap();
    let map = two.map(15, 11).unwrap();
    assert_eq!((map.outer.len(), map.inner.len()), (15, 11));
    assert_eq!([map.outer[0], map.outer[14]], two.travel()[0]);
    let spec = two.spec();
    let mut beyond = 0;
    for (o, &outer) in map.outer.iter().enumerate() {
        for (i, &inner) in map.inner.iter().enumerate() {
            let row = o * 11 + i;
            let allowed = spec.gimbal.allows(&spec.gate, outer, inner).unwrap();
            assert_eq!(map.readings.valid[row], allowed);
            beyond += usize::from(!allowed);
            if allowed {
                let flux = two.flux_at(outer, inner).unwrap();
                assert!((flux[0] - map.readings.flux[row][0]).abs() < ROUNDING);
            } else {
                assert!(map.readings.flux[row][0].is_nan());
            }
        }
    }
    assert!(beyond > 10);
    assert!(matches!(two.map(2, 11), Err(Error::Count { .. })));
    assert!(matches!(two.map(11, 2002), Err(Error::Count { .. })));
}

/// The sensor's own magnet does not move against it when the other axis turns: no mounting crosstalk at all, to the
/// last bit, whatever stray field there is.
#[test]
fn no_mounting_crosstalk_between_frame_and_ring_or_ring_and_stick() {
    let found = rig().crosstalk(31).unwrap();
    assert_eq!(
        [found.outer.own_flux.unwrap(), found.inner.own_flux.unwrap()],
        [0.0; 2]
    );
    assert!(found.outer.stray_flux.unwrap() > 0.0);
    // Pitch's magnet and roll's sensor are both on the ring.
    assert_eq!(found.inner.stray_flux.unwrap(), 0.0);
    assert_eq!(found.inner.worst.flux.unwrap(), 0.0);
    assert!((found.outer.worst.flux.unwrap() - found.outer.stray_flux.unwrap()).abs() < 1e-12);
    assert_ne!(found.outer.cause, CrosstalkCause::Mounting);
}

/// What the figures promise, by brute force on a dense grid with magnets and sensor moved by hand.
#[test]
fn crosstalk_is_that_of_a_dense_grid() {
    /// What a grid of a third of a degree may miss of an extreme, as a share: half a step squared times the second
    /// derivative, which is no more than (arm / gap)^2, some 20, of the change.
    const MISSED: f64 = 1e-3;
    let polygon = [
        [-12.0, -6.0],
        [-2.0, -14.0],
        [13.0, -4.0],
        [9.0, 12.0],
        [-6.0, 10.0],
    ];
    let gates = [
        square_gate(),
        Gate::round(18.0 * DEG).unwrap(),
        Gate::polygon(polygon.map(|pair| pair.map(|angle| angle * DEG)).to_vec()).unwrap(),
    ];
    for gate in gates {
        let spec = TwoAxisSpec {
            gate: gate.clone(),
            ..rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Frame)
        };
        let found = TwoAxis::new(spec.clone()).unwrap().crosstalk(25).unwrap();
        let step = DEG / 3.0;
        let steps: Vec<f64> = (-54..=54).map(|i| f64::from(i) * step).collect();
        for axis in AXES {
            let figures = found.of(axis);
            let change = |held: f64| {
                let [mut low, mut high] = [f64::INFINITY, f64::NEG_INFINITY];
                for &turned in &steps {
                    let pair = match axis {
                        GimbalAxis::Outer => [held, turned],
                        GimbalAxis::Inner => [turned, held],
                    };
                    if spec.gimbal.allows(&gate, pair[0], pair[1]).unwrap() {
                        let flux = by_hand(&spec, axis, pair);
                        (low, high) = (low.min(flux), high.max(flux));
                    }
                }
                (high - low).max(0.0)
            };
            let dense = steps.iter().map(|&held| change(held)).fold(0.0, f64::max);
            let worst = figures.worst.flux.unwrap();
            // The dense grid ends up to a step short of the edge of the gate, where the change is as a rule greatest.
            assert!(
                worst >= dense * (1.0 - 1e-9),
                "{gate:?} {axis} {worst} {dense}"
            );
            assert!(
                worst <= dense * (1.0 + 0.08),
                "{gate:?} {axis} {worst} {dense}"
            );
            let center = change(0.0);
            assert!(
                (figures.center.flux.unwrap() - center).abs() < (0.06 + MISSED) * center.max(1e-9)
            );
            // Nothing is at a rail, so that all follows by the data sheet.
            let volts = worst * SENSITIVITY;
            assert!((figures.worst.volts.unwrap() - volts).abs() < 1e-9);
            assert!((figures.worst.counts - volts / (5.0 / 4096.0)).abs() < 1e-6);
            let share = figures.worst.volts.unwrap() / figures.span_volts.unwrap();
            assert!((figures.worst.of_span.unwrap() - share).abs() < 1e-12);
            // The places are where the readings are.
            let [low, high] = figures.worst.at.map(|turned| match axis {
                GimbalAxis::Outer => [figures.worst.held, turned],
                GimbalAxis::Inner => [turned, figures.worst.held],
            });
            let change = by_hand(&spec, axis, high) - by_hand(&spec, axis, low);
            assert!((change - worst).abs() < 1e-12);
        }
    }
}

#[test]
fn figures_do_not_depend_on_the_grid() {
    let two = TwoAxis::new(crooked(Carrier::Ring, Carrier::Frame)).unwrap();
    let (coarse, fine) = (two.crosstalk(25).unwrap(), two.crosstalk(101).unwrap());
    for axis in AXES {
        let (coarse, fine) = (coarse.of(axis), fine.of(axis));
        let ratio = coarse.worst.volts.unwrap() / fine.worst.volts.unwrap() - 1.0;
        assert!(ratio.abs() < 1e-6, "{axis} {ratio}");
        let ratio = coarse.center.volts.unwrap() / fine.center.volts.unwrap() - 1.0;
        assert!(ratio.abs() < 1e-9, "{axis} {ratio}");
        let ratio = coarse.span_volts.unwrap() / fine.span_volts.unwrap() - 1.0;
        assert!(ratio.abs() < 1e-9, "{axis} {ratio}");
    }
}

/// Roll's magnet as a ball on the stick: its field at pitch's sensor is that of a dipole, moment J V / mu0 (textbook).
#[test]
fn stray_field_is_that_of_a_dipole() {
    let mut spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
    let (at, polarization, diameter) = (Vector3::new(0.010, 0.0, -0.020), 1.2, 6.0 * MM);
    let ball = Sphere::new(
        diameter,
        Vector3::new(0.0, polarization, 0.0),
        Isometry3::from(at),
    );
    spec.magnets[1].magnets = ball.unwrap().into();
    let found = TwoAxis::new(spec).unwrap().crosstalk(41).unwrap().outer;
    let sensor = Vector3::new(-0.029, 0.050, 0.0);
    // Along the package's z, which a quarter turn about y has brought to x.
    let seen = |outer: f64, inner: f64| {
        let turn = |v: Vector3<f64>| {
            let (so, co) = outer.sin_cos();
            let (si, ci) = inner.sin_cos();
            // About x, then about y.
            let v = Vector3::new(v.x, ci * v.y - si * v.z, si * v.y + ci * v.z);
            Vector3::new(co * v.x + so * v.z, v.y, -so * v.x + co * v.z)
        };
        let volume = PI / 6.0 * diameter.powi(3);
        let moment = turn(Vector3::y() * polarization * volume);
        let r = sensor - turn(at);
        let d = r.norm();
        let field = (r * (3.0 * moment.dot(&r) / d.powi(5)) - moment / d.powi(3)) / (4.0 * PI);
        field.x
    };
    let steps: Vec<f64> = (-150..=150).map(|i| f64::from(i) * 0.1 * DEG).collect();
    let change = |outer: f64| {
        let values = steps.iter().map(|&inner| seen(outer, inner));
        let [low, high] = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], b| {
            [low.min(b), high.max(b)]
        });
        high - low
    };
    let expected = steps.iter().map(|&outer| change(outer)).fold(0.0, f64::max);
    // Both grids hold the ends of the travel, where it is greatest.
    assert!(
        (found.stray_flux.unwrap() / expected - 1.0).abs() < 1e-5,
        "{} {expected}",
        found.stray_flux.unwrap()
    );
    assert_eq!(found.own_flux.unwrap(), 0.0);
    assert!((found.center.flux.unwrap() / change(0.0) - 1.0).abs() < 1e-5);
}

/// Pitch's magnet on the stick instead of the ring: a hundred times the crosstalk, and the words say where it belongs.
#[test]
fn the_mounting_is_named_as_the_cause() {
    let on_ring = rig().crosstalk(41).unwrap();
    let on_stick = TwoAxis::new(rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Ring)).unwrap();
    let on_stick = on_stick.crosstalk(41).unwrap();
    assert_eq!(on_stick.outer.cause, CrosstalkCause::Mounting);
    assert!(on_stick.outer.worst.counts > 50.0 * on_ring.outer.worst.counts);
    let words = on_stick.outer.explanation();
    assert!(
        words.contains("carried by the stick") && words.contains("carry the magnet by the ring"),
        "{words}"
    );

    // Roll's sensor on the frame: the sensor belongs on the ring.
    let spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Frame);
    let inner = TwoAxis::new(spec).unwrap().crosstalk(41).unwrap().inner;
    assert_eq!(inner.cause, CrosstalkCause::Mounting);
    let words = inner.explanation();
    assert!(words.contains("carry the sensor by the ring"), "{words}");

    // One magnet for both.
    let mut spec = rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Ring);
    spec.magnets[0].read_by = ReadBy::Both;
    let outer = TwoAxis::new(spec).unwrap().crosstalk(41).unwrap().outer;
    assert!(outer.shared && outer.explanation().contains("share"));
}

#[test]
fn a_strong_neighbor_is_named_as_stray_field() {
    let mut spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
    // A latch on the stick beside pitch's sensor.
    let latch = cube(
        Vector3::new(0.0, 0.0, 1.2),
        Vector3::new(-0.045, 0.050, 0.005),
    );
    spec.magnets
        .push(CarriedMagnets::new(latch, Carrier::Stick, ReadBy::Neither));
    let outer = TwoAxis::new(spec).unwrap().crosstalk(21).unwrap().outer;
    assert_eq!(outer.cause, CrosstalkCause::StrayField);
    assert!(outer.explanation().contains("not meant to read"));
    assert_eq!(outer.own_flux.unwrap(), 0.0);
}

/// A sensor and a magnet on one body have no span, and no share of it.
#[test]
fn what_does_not_move_has_no_span() {
    let mut spec = rig_spec(Carrier::Frame, Carrier::Ring, Carrier::Ring);
    spec.magnets[1].magnets = AnySource::from(cube(
        Vector3::new(0.0, 1.2, 0.0),
        Vector3::new(3.0, 0.0, 0.0),
    ));
    spec.magnets[1].carrier = Carrier::Frame;
    spec.inner.carrier = Carrier::Frame;
    let two = TwoAxis::new(spec).unwrap();
    let found = two.crosstalk(11).unwrap();
    assert_eq!(found.outer.span_volts.unwrap(), 0.0);
    assert_eq!(found.outer.worst.of_span, None);
    assert_eq!(found.outer.worst.counts, 0.0);
    assert_eq!(found.outer.cause, CrosstalkCause::Negligible);
    assert!(matches!(
        two.correction(CorrectionTerms::Linear, 11),
        Err(Error::OutOfRange { unit: "counts", .. })
    ));
}

/// Coefficients by another route: singular values of the matrix in counts, and the residuals by the definition.
#[test]
fn the_map_is_that_of_least_squares() {
    let two = TwoAxis::new(rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Frame)).unwrap();
    let points = 15;
    let map = two.map(points, points).unwrap();
    for (terms, columns) in [
        (CorrectionTerms::Linear, 3),
        (CorrectionTerms::Bilinear, 4),
        (CorrectionTerms::Quadratic, 6),
    ] {
        let found = two.correction(terms, points).unwrap();
        assert_eq!(found.map.outer.len(), terms.count());
        let rows = map.readings.counts.iter().flat_map(|&[a, b]| {
            // In thousands of counts, so that the columns are of one size.
            let (a, b) = (a as f64 / 1e3, b as f64 / 1e3);
            [1.0, a, b, a * b, a * a, b * b].into_iter().take(columns)
        });
        let matrix = DMatrix::from_row_iterator(points * points, columns, rows);
        let svd = matrix.clone().svd(true, true);
        for axis in [0, 1] {
            let angles = map
                .outer
                .iter()
                .flat_map(|&outer| map.inner.iter().map(move |&inner| [outer, inner][axis]));
            let angles = DVector::from_iterator(points * points, angles);
            let solved = svd.solve(&angles, 1e-14).unwrap();
            let fitted = &matrix * &solved;
            for (row, &[a, b]) in map.readings.counts.iter().enumerate() {
                let found = found.map.angles_for(a as f64, b as f64).unwrap();
                // Two ways through columns that are nearly in line: of some 1e5 rad of single terms.
                assert!((found[axis] - fitted[row]).abs() < 1e-9, "{terms} {axis}");
            }
            let left = (&matrix * &solved - &angles).norm() / f64::from(points as u32);
            assert!((found.after.rms[axis] - left).abs() < 1e-9);
            let travel = 30.0 * DEG;
            assert!((found.after.rms_of_travel[axis] - left / travel).abs() < 1e-8);
            let worst = (&matrix * &solved - &angles).amax();
            assert!((found.after.worst[axis] - worst).abs() < 1e-8);
            let [outer, inner] = found.after.worst_at[axis];
            let codes = two.reading_at(outer, inner).unwrap().counts;
            let back = found
                .map
                .angles_for(codes[0] as f64, codes[1] as f64)
                .unwrap();
            let away = (back[axis] - [outer, inner][axis]).abs();
            assert!((away - found.after.worst[axis]).abs() < 1e-12);
        }
        assert_eq!(found.clipped_share, 0.0);
    }
}

#[test]
fn more_terms_leave_less_and_the_line_alone_most() {
    let two = TwoAxis::new(rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Frame)).unwrap();
    let [linear, bilinear, quadratic] =
        CorrectionTerms::ALL.map(|terms| two.correction(terms, 21).unwrap());
    for axis in [0, 1] {
        assert!(linear.after.rms[axis] <= linear.before.rms[axis]);
        assert!(bilinear.after.rms[axis] <= linear.after.rms[axis]);
        assert!(quadratic.after.rms[axis] <= bilinear.after.rms[axis]);
        assert_eq!(linear.before, quadratic.before);
    }
    assert!(linear.map.angles_for(f64::NAN, 2048.0).is_err());
    assert!(linear.map.angles_for(-1.0, 2048.0).is_err());
    assert!(matches!(
        two.correction(CorrectionTerms::Linear, 2),
        Err(Error::Count { .. })
    ));
    assert!(matches!(
        two.correction(CorrectionTerms::Linear, 502),
        Err(Error::Count { .. })
    ));
}

/// A round gate: the worst residual is also looked for at the edge, which the grid does not meet.
#[test]
fn worst_residuals_reach_the_edge_of_the_gate() {
    let spec = TwoAxisSpec {
        gate: Gate::round(15.0 * DEG).unwrap(),
        ..rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Frame)
    };
    let two = TwoAxis::new(spec.clone()).unwrap();
    let found = two.correction(CorrectionTerms::Bilinear, 13).unwrap();
    let tilts = found
        .after
        .worst_at
        .map(|[outer, inner]| spec.gimbal.tilt(outer, inner).unwrap());
    assert!(
        tilts.iter().any(|tilt| (tilt - 15.0 * DEG).abs() < 1e-9),
        "{tilts:?}"
    );
}

#[test]
fn clearance_is_that_of_a_scan() {
    let two = TwoAxis::new(rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Frame)).unwrap();
    let found = two.clearance().unwrap();
    let spec = two.spec();
    for (axis, found) in AXES.into_iter().zip(found) {
        let mut least = f64::INFINITY;
        for outer in (-30..=30).map(|i| f64::from(i) * 0.5 * DEG) {
            for inner in (-30..=30).map(|i| f64::from(i) * 0.5 * DEG) {
                let sensor = spec.sensor(axis);
                let face = two.motion_at(sensor.carrier, outer, inner).unwrap()
                    * sensor.pose
                    * Point3::origin();
                for source in &spec.magnets {
                    let moved = source
                        .magnets
                        .moved(&two.motion_at(source.carrier, outer, inner).unwrap());
                    least = least.min(moved.unwrap().distance(&face).unwrap());
                }
            }
        }
        // The scan holds the corners; between its positions no part goes more than 0.3 mm, and the least is flat.
        assert!(
            found <= least + 1e-5 && found > least - 5e-5,
            "{axis} {found} {least}"
        );
    }
    // Frame and ring: 9 mm from center to face, less the half cube, at neutral.
    let [pitch, _] = rig().clearance().unwrap();
    assert!(pitch < 6.5 * MM && pitch > 4.0 * MM);
}

#[test]
fn a_sensor_in_a_magnet_is_refused() {
    let mut spec = rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Ring);
    // The package stands clear at neutral, and a corner of the gate brings the magnet onto it.
    spec.outer.pose.translation = Vector3::new(-0.020, 0.0483, 0.0129).into();
    let two = TwoAxis::new(spec).unwrap();
    assert!(two.reading_at(0.0, 0.0).is_ok());
    let Err(Error::TwoAxisCollision {
        part,
        outer,
        inner,
        overlap,
        ..
    }) = two.clearance()
    else {
        panic!("{:?}", two.clearance());
    };
    assert!(part.contains("outer"));
    assert!(overlap > 0.0 && overlap < 5.0 * MM);
    assert!(outer.abs() <= 15.0 * DEG + 1e-9 && inner.abs() <= 15.0 * DEG + 1e-9);
    let text = two.clearance().unwrap_err().to_string();
    assert!(text.contains("deg") && text.contains("mm"), "{text}");
    assert!(two.map(5, 5).is_err() && two.crosstalk(5).is_err());
    assert!(two.correction(CorrectionTerms::Linear, 5).is_err());
}

#[test]
fn magnets_that_run_into_each_other_are_refused() {
    let mut spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
    // 6.3 mm above a cube of the ring at neutral, 50 mm out: 15 degrees of roll bring it down by 13 mm.
    let other = cube(Vector3::x(), Vector3::new(-0.020, 0.050, 0.0115));
    spec.magnets
        .push(CarriedMagnets::new(other, Carrier::Stick, ReadBy::Neither));
    let Err(Error::TwoAxisCollision { part, other, .. }) = TwoAxis::new(spec).unwrap().clearance()
    else {
        panic!("not refused");
    };
    assert!(part.contains('0') && other.contains('2'));
    // On one body they are looked at as they stand.
    let mut spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
    let other = cube(Vector3::x(), Vector3::new(-0.020, 0.050, 0.0049));
    spec.magnets
        .push(CarriedMagnets::new(other, Carrier::Ring, ReadBy::Neither));
    assert!(matches!(
        TwoAxis::new(spec).unwrap().crosstalk(5),
        Err(Error::TwoAxisCollision { .. })
    ));
}

/// The corner of a bar on the ring grazes a post on the frame over a degree of its turn, 24 degrees from where the two
/// are nearest by their centers: every position in between counts.
#[test]
fn a_corner_that_grazes_on_the_way_is_found() -> Result<()> {
    // Lower corners at (10, -22) mm from the axis: 24.17 mm, straight down when turned by 24.4 degrees.
    let (radius, at): (f64, f64) = (10_f64.hypot(22.0), (10.0_f64 / 22.0).atan() / DEG);
    let rig = |top: f64| {
        let block = |size: [f64; 3], z: f64| {
            let place = Isometry3::translation(0.0, -100.0 * MM, z * MM);
            Block::new(Vector3::from(size) * MM, Vector3::new(0.0, 1.2, 0.0), place)
        };
        let mut spec = rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
        spec.gate = Gate::square([-29.0 * DEG, 29.0 * DEG], [-15.0 * DEG, 15.0 * DEG])?;
        let bar = block([20.0, 4.0, 4.0], -20.0)?;
        let post = block([0.5, 4.0, 0.5], -top - 0.25)?;
        spec.magnets = vec![
            CarriedMagnets::new(bar, Carrier::Ring, ReadBy::Neither),
            CarriedMagnets::new(post, Carrier::Frame, ReadBy::Neither),
        ];
        TwoAxis::new(spec)
    };
    // A tenth of a millimeter into each other at most.
    let Err(Error::TwoAxisCollision { outer, overlap, .. }) = rig(radius - 0.1)?.clearance() else {
        panic!("the corner reaches into the post")
    };
    assert!((outer.abs() / DEG - at).abs() < 1.3, "{}", outer / DEG);
    assert!(overlap > 0.0 && overlap <= 0.1 * MM, "{overlap}");
    // Two hundredths apart they pass.
    assert!(rig(radius + 0.02)?.clearance().is_ok());
    Ok(())
}

#[test]
fn parts_that_cannot_be_are_refused() {
    let spec = || rig_spec(Carrier::Ring, Carrier::Stick, Carrier::Ring);
    let none = TwoAxisSpec {
        magnets: Vec::new(),
        ..spec()
    };
    assert!(matches!(TwoAxis::new(none), Err(Error::Count { .. })));
    let aside = TwoAxisSpec {
        gate: Gate::square([1.0 * DEG, 5.0 * DEG], [-5.0 * DEG, 5.0 * DEG]).unwrap(),
        ..spec()
    };
    let text = TwoAxis::new(aside).unwrap_err().to_string();
    assert!(text.contains("outer angle at neutral"), "{text}");
    for bad in [f64::NAN, 11.0, f64::INFINITY, 1e160] {
        let mut far = spec();
        far.inner.pose.translation.vector.y = bad;
        let text = TwoAxis::new(far).unwrap_err().to_string();
        assert!(text.contains("inner sensor position y"), "{text}");
    }
    let mut long = spec();
    long.outer.pose.rotation =
        UnitQuaternion::new_unchecked(nalgebra::Quaternion::new(1.1, 0.0, 0.0, 0.0));
    assert!(TwoAxis::new(long).is_err());
    for bad in [f64::NAN, f64::NEG_INFINITY, 3.2, -1e160] {
        assert!(rig().flux_at(bad, 0.0).is_err() && rig().flux_at(0.0, bad).is_err());
        assert!(rig().motion_at(Carrier::Frame, bad, 0.0).is_err());
    }
}

fn read_back<T: serde::Serialize + serde::de::DeserializeOwned + PartialEq + std::fmt::Debug>(
    value: &T,
) {
    let text = serde_json::to_string(value).unwrap();
    let back: T = serde_json::from_str(&text).unwrap();
    assert_eq!(&back, value);
}

#[test]
fn values_are_stored_and_read_back_through_their_checks() -> Result<()> {
    let two = rig();
    read_back(&two);
    let crosstalk = two.crosstalk(5)?;
    read_back(&crosstalk);
    read_back(&two.map(5, 7)?);
    read_back(&two.correction(CorrectionTerms::Bilinear, 5)?);
    let mut stored = serde_json::to_value(&crosstalk).unwrap();
    stored["outer"]["worst"]["volts"] = serde_json::json!(-1.0);
    assert!(serde_json::from_value::<Crosstalk>(stored).is_err());
    let mut stored = serde_json::to_value(two.map(3, 3)?).unwrap();
    stored["outer"] = serde_json::json!([0.0, 0.1]);
    assert!(serde_json::from_value::<GateMap>(stored).is_err());
    let mut stored = serde_json::to_value(&two).unwrap();
    stored["magnets"] = serde_json::json!([]);
    assert!(serde_json::from_value::<TwoAxis>(stored).is_err());
    Ok(())
}

/// At a rail the reading stands still, and so does what it changes by.
#[test]
fn crosstalk_ends_at_the_rails() {
    let mut spec = rig_spec(Carrier::Stick, Carrier::Stick, Carrier::Ring);
    let narrow = LinearHall::new(LinearHallSpec {
        rail_low: 2.45,
        rail_headroom: 2.45,
        ..spec.outer.sensor.linear().unwrap().spec().clone()
    });
    spec.outer.sensor = narrow.unwrap().into();
    let found = TwoAxis::new(spec).unwrap().crosstalk(21).unwrap().outer;
    assert!((found.span_volts.unwrap() - 0.1).abs() < 1e-12);
    assert!(found.worst.volts.unwrap() <= 0.1 + 1e-12);
    // The flux density is not held.
    assert!(found.own_flux.unwrap() > 0.0);
}
