//! Arms, ball-joint rods, gimbals, levers, rods and shaft joints with numbers that no part has: an error, or figures
//! that are numbers.

use nalgebra::{Isometry3, Point3, Vector3};
use yokewright::linkage::{
    Arm, ArmLengths, Assembly, BallRod, BallRodDemand, BallRodSpec, FreeArm, Gate, Gimbal,
    GimbalAxis, GimbalSpec, InnerSensor, Lever, Obstacle, Pivot, Rod, RodEnds, RodMaterial,
    RodSection, Stop, UniversalJoint, search_ball_rods,
};
use yokewright::units::{DEG, MM};

const HOSTILE: [f64; 13] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -0.0,
    1e-320,
    1e-160,
    1e155,
    1e160,
    1e308,
    -1e-320,
    -1e-160,
    -1e160,
    -1e308,
];

/// Puts every hostile value in the place of every argument. `call` gives all figures, or none for an error.
fn sweep<const N: usize>(name: &str, plain: [f64; N], call: impl Fn([f64; N]) -> Option<Vec<f64>>) {
    let figures = call(plain).unwrap_or_else(|| panic!("{name} refuses plain numbers"));
    assert!(figures.iter().all(|x| x.is_finite()), "{name} {figures:?}");
    for place in 0..N {
        for value in HOSTILE {
            let mut given = plain;
            given[place] = value;
            let Some(figures) = call(given) else { continue };
            assert!(value.is_finite(), "{name} takes {value} as number {place}");
            assert!(
                figures.iter().all(|x| x.is_finite()),
                "{name} {given:?} {figures:?}"
            );
        }
    }
}

fn point(n: &[f64]) -> Point3<f64> {
    Point3::new(n[0], n[1], n[2])
}

fn arm(n: &[f64]) -> Option<Arm> {
    let arm = Arm::new(point(n), point(&n[3..]).coords, point(&n[6..])).ok()?;
    arm.with_stud(Vector3::y(), None).ok()
}

fn numbers(values: &[Vector3<f64>]) -> Vec<f64> {
    values.iter().flat_map(|v| v.iter().copied()).collect()
}

fn rod() -> BallRod {
    let pedal = arm(&[0.0, 0.12, 0.0, 0.0, 1.0, 0.0, 0.0, 0.07, 0.09]).unwrap();
    let crank = arm(&[-0.15, 0.0, 0.09, 0.0, 0.0, 1.0, -0.15, 0.045, 0.09]).unwrap();
    BallRod::new(pedal, crank).unwrap()
}

/// All that a linkage tells at an angle.
fn told(rod: &BallRod, angle: f64, torque: f64, play: f64) -> Option<Vec<f64>> {
    let at = rod.transfer(angle).ok()?;
    let mut all = vec![at.angle, at.ratio, at.curvature];
    for assembly in Assembly::ALL {
        all.extend(rod.output_angle(angle, assembly));
    }
    all.extend(rod.transmission_angle(angle));
    all.extend(rod.swivels(angle).ok()?.into_iter().flatten());
    let joints = rod.joints(angle).ok()?;
    all.extend(numbers(&joints.map(|joint| joint.coords)));
    let loads = rod.loads(angle, torque).ok()?;
    all.extend([loads.rod_force, loads.output_torque]);
    all.extend(numbers(&[
        loads.input_reaction,
        loads.output_reaction,
        loads.input_moment,
        loads.output_moment,
    ]));
    all.extend(rod.output_per_length(angle));
    for shift in [rod.length_error(angle, play), rod.backlash(angle, play)] {
        let shift = shift.ok()?;
        all.extend([shift.first_order, shift.exact]);
    }
    Some(all)
}

#[test]
fn arms_and_ball_joint_rods() {
    let plain = [0.0, 0.12, 0.0, 0.1, 1.0, 0.0, 0.0, 0.07, 0.09];
    let output = rod().output();
    sweep("arm of a rod", plain, |n| {
        let rod = BallRod::new(arm(&n)?, output).ok()?;
        let back = rod.reversed().ok();
        let mut all = told(&rod, 0.1, 10.0, 1e-4)?;
        all.extend(
            back.and_then(|back| told(&back, 0.1, 10.0, 1e-4))
                .into_iter()
                .flatten(),
        );
        all.extend(rod.travel().into_iter().flat_map(|t| [t.lower, t.upper]));
        all.extend(
            rod.output_travel()
                .into_iter()
                .flat_map(|t| [t.lower, t.upper]),
        );
        Some(all)
    });
    sweep("stud", [0.0, 1.0, 0.0, 0.3], |[x, y, z, limit]| {
        let arm = rod().input().with_stud(Vector3::new(x, y, z), limit).ok()?;
        let stud = arm.stud()?;
        let mut all = numbers(&[stud.direction()]);
        all.extend(stud.limit());
        all.extend(arm.joint_at(limit).ok()?.iter());
        Some(all)
    });
    sweep(
        "ball-joint rod",
        [0.1, 10.0, 1e-4],
        |[angle, torque, play]| told(&rod(), angle, torque, play),
    );
    sweep("rod length and start", [0.18, 0.1], |[length, start]| {
        let natural = rod();
        let rod = BallRod::put_together(BallRodSpec {
            rod_length: Some(length),
            start,
            ..natural.spec()
        });
        told(&rod.ok()?, 0.1, 10.0, 1e-4)
    });
    sweep("travel of the figures", [-0.1, 0.2], |[low, high]| {
        let figures = rod().figures([low, high]).ok()?;
        let mut all = vec![
            figures.output_span,
            figures.asymmetry,
            figures.min_transmission_angle,
            figures.lock_margin,
        ];
        all.extend(figures.ratios);
        all.extend(figures.ratio_variation);
        all.extend(figures.swivels.into_iter().flatten());
        Some(all)
    });
    for value in HOSTILE {
        let many = rod().transfers(&[0.1, value]);
        let (one, solved) = (rod().transfer(value), rod().solve_many(&[value]));
        assert_eq!(many.valid, [true, one.is_ok()]);
        assert_eq!(many.angles[1].is_nan(), one.is_err());
        assert_eq!(many.ratios[1].is_nan(), one.is_err());
        assert_eq!(solved.neutral[0].is_nan(), !solved.valid[0]);
        assert_eq!(solved.other[0].is_nan(), !solved.valid[0]);
    }
}

/// A rod square to a plane in which the output joint would have to leave its circle: turning the input about the line
/// of the rod moves nothing.
#[test]
fn an_output_that_stands_still_has_no_variation() {
    // The output joint lies on the axis of the input pivot: the rod turns with the input arm.
    let input = Arm::new(Point3::origin(), Vector3::z(), Point3::new(0.05, 0.0, 0.0)).unwrap();
    let pivot = Point3::new(0.0, -0.03, 0.08);
    let output = Arm::new(pivot, Vector3::x(), Point3::new(0.0, 0.0, 0.08)).unwrap();
    let figures = BallRod::new(input, output)
        .unwrap()
        .figures([-0.3, 0.3])
        .unwrap();
    assert_eq!(figures.ratios, [0.0, 0.0]);
    assert_eq!((figures.output_span, figures.ratio_variation), (0.0, None));
}

#[test]
fn searches_for_arms() {
    let goal = |n: [f64; 12]| {
        let free = |arm, lengths, clocking| FreeArm {
            arm,
            lengths,
            clocking,
        };
        let input = ArmLengths::Holes(vec![n[0], n[1]]);
        let output = ArmLengths::Holes(vec![n[2], n[3]]);
        BallRodDemand {
            input: free(rod().input(), input, [n[4], n[4]]),
            output: free(rod().output(), output, [n[5], n[5]]),
            travel: [n[6], n[7]],
            output_span: n[8],
            span_tolerance: n[9],
            min_transmission_angle: n[10],
            lock_margin: n[11],
            count: 2,
        }
    };
    let plain = [
        0.06, 0.09, 0.04, 0.045, 0.0, 0.0, -0.2, 0.2, 0.7, 0.5, 0.2, 0.05,
    ];
    sweep("search", plain, |n| {
        let found = search_ball_rods(&goal(n)).ok()?.found;
        let figures = found.iter().map(|design| design.figures);
        Some(
            figures
                .flat_map(|f| [f.output_span, f.asymmetry, f.lock_margin])
                .collect(),
        )
    });
}

fn gimbal(n: &[f64; 20]) -> Option<Gimbal> {
    Gimbal::new(GimbalSpec {
        outer: Pivot::new(point(n), point(&n[3..]).coords).ok()?,
        inner: Pivot::new(point(&n[6..]), point(&n[9..]).coords).ok()?,
        stick: vec![point(&n[12..]), point(&n[15..])],
        stick_radius: n[18],
        grip_radius: n[19],
    })
    .ok()
}

#[test]
fn gimbals() {
    let plain = [
        0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.5,
        0.01, 0.04,
    ];
    let seat =
        Obstacle::block(Vector3::repeat(0.2), Isometry3::translation(-0.4, 0.0, 0.1)).unwrap();
    let everything = |gimbal: &Gimbal, outer: f64, inner: f64| {
        let grip = gimbal.grip_at(outer, inner).ok()?;
        let mut all = numbers(&[grip.translation.vector, grip.rotation.scaled_axis()]);
        all.push(gimbal.tilt(outer, inner).ok()?);
        for drive in [
            InnerSensor::OnOuterBody,
            InnerSensor::JointAcross,
            InnerSensor::JointAlongOuter,
        ] {
            all.extend(gimbal.sensor_angles(outer, inner, drive).ok()?);
        }
        let seats = std::slice::from_ref(&seat);
        all.push(gimbal.clearance_at(outer, inner, seats).ok()?.distance);
        for axis in [GimbalAxis::Outer, GimbalAxis::Inner] {
            let travel = gimbal.travel(axis, [-0.1, outer], inner).ok()?;
            all.extend([travel.radius, travel.arc, travel.chord]);
        }
        Some(all)
    };
    sweep("gimbal", plain, |n| everything(&gimbal(&n)?, 0.2, 0.1));
    let stick = gimbal(&plain).unwrap();
    sweep("angles of a gimbal", [0.2, 0.1], |[outer, inner]| {
        everything(&stick, outer, inner)
    });
    sweep("grip", [0.1, 0.05, 0.4], |n| {
        let (angles, miss) = stick.angles_for_grip(point(&n)).ok()?;
        Some([angles[0], angles[1], miss].to_vec())
    });
    sweep("direction of the stick", [0.1, 0.05, 1.0], |n| {
        Some(stick.angles_for_direction(point(&n).coords).ok()?.to_vec())
    });
    let envelope = |gate: &Gate, step: f64, tolerance: f64| {
        let envelope = stick.envelope(gate, step, tolerance).ok()?;
        let ends = [envelope.lowest, envelope.highest];
        Some(
            ends.into_iter()
                .flatten()
                .map(|end| end.coordinate)
                .collect(),
        )
    };
    sweep("round gate", [0.3, 0.1, 1e-4], |[tilt, step, tolerance]| {
        envelope(&Gate::round(tilt).ok()?, step, tolerance)
    });
    sweep("square gate", [-0.3, 0.2, -0.1, 0.2], |[a, b, c, d]| {
        envelope(&Gate::square([a, b], [c, d]).ok()?, 0.1, 1e-4)
    });
    sweep(
        "polygon",
        [-0.3, -0.2, 0.3, -0.2, 0.0, 0.3],
        |[a, b, c, d, e, f]| {
            envelope(
                &Gate::polygon(vec![[a, b], [c, d], [e, f]]).ok()?,
                0.1,
                1e-4,
            )
        },
    );
    for value in HOSTILE {
        let rows = [
            stick.tilts(&[0.1, value], &[0.2, 0.2]).unwrap(),
            stick
                .clearances_at(&[0.1, value], &[0.2, 0.2], std::slice::from_ref(&seat))
                .unwrap(),
        ];
        for row in rows {
            assert_eq!(row.valid, [true, stick.tilt(value, 0.2).is_ok()]);
            assert_eq!(row.values[1].is_nan(), !row.valid[1]);
        }
    }
}

#[test]
fn obstacles_and_levers() {
    sweep(
        "block",
        [0.2, 0.3, 0.1, 0.5, 0.0, 0.1],
        |[a, b, c, x, y, z]| {
            let block =
                Obstacle::block(Vector3::new(a, b, c), Isometry3::translation(x, y, z)).ok()?;
            Some(vec![block.distance(&Point3::new(z, x, y)).ok()?])
        },
    );
    sweep("cylinder", [0.2, 0.3, 0.5, 0.0, 0.1], |[a, b, x, y, z]| {
        let body = Obstacle::cylinder(a, b, Isometry3::translation(x, y, z)).ok()?;
        Some(vec![body.distance(&Point3::new(z, x, y)).ok()?])
    });
    sweep("capsule", [0.2, 0.3, 0.1, 0.5, 0.0, 0.1, 0.05], |n| {
        let body = Obstacle::capsule(point(&n), point(&n[3..]), n[6]).ok()?;
        Some(vec![body.distance(&Point3::new(n[1], n[2], n[3])).ok()?])
    });
    sweep(
        "lever",
        [0.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.1, -0.3, 0.4],
        |n| {
            let pivot = Pivot::new(point(&n), point(&n[3..]).coords).ok()?;
            let lever = Lever::pivoted(pivot, point(&n[6..]), [n[9], n[10]]).ok()?;
            let mut all = vec![lever.path_length(), lever.chord()];
            all.extend(lever.grip_at(0.1).ok()?.iter());
            all.extend(lever.push(0.1, 20.0).ok()?.iter());
            Some(all)
        },
    );
    sweep("slide", [0.0, 1.0, 0.0, 0.0, 0.0, 0.1, -0.3, 0.4], |n| {
        let lever = Lever::sliding(point(&n).coords, point(&n[3..]), [n[6], n[7]]).ok()?;
        let mut all = vec![lever.path_length(), lever.chord()];
        all.extend(lever.grip_at(0.1).ok()?.iter());
        Some(all)
    });
    let lever = Lever::pivoted(
        Pivot::new(Point3::origin(), Vector3::y()).unwrap(),
        Point3::new(0.0, 0.0, 0.1),
        [-0.3, 0.4],
    )
    .unwrap();
    sweep(
        "stop",
        [0.05, 0.2, 0.005, 20.0, 1e-4, 0.006],
        |[radius, position, bumper, force, area, pin]| {
            let stop = lever.stop_at(radius, position, bumper).ok()?;
            let load = lever.stop_load(&stop, Vector3::new(force, 0.0, 0.0)).ok()?;
            let mut all = vec![
                load.position,
                load.contact_force,
                lever.gap(&stop, position).ok()?,
            ];
            all.extend(numbers(&[
                load.contact_point.coords,
                load.guide_force,
                load.guide_moment,
            ]));
            all.extend([
                load.pad_pressure(area).ok()?,
                load.pin_pressure(pin, 0.01).ok()?,
            ]);
            all.extend(numbers(
                &lever.bearing_loads(&load, [-radius, radius]).ok()?,
            ));
            let mut broken = load;
            broken.guide_force.x = f64::NAN;
            broken.contact_force = f64::INFINITY;
            assert!(lever.bearing_loads(&broken, [-0.1, 0.1]).is_err());
            assert!(
                broken.pin_pressure(0.005, 0.01).is_err() && broken.pad_pressure(1e-4).is_err()
            );
            Some(all)
        },
    );
    sweep(
        "face of a stop",
        [0.0, 0.0, 0.05, 0.005, 0.03, 0.0, 0.05, 1.0, 0.0, 0.0],
        |n| {
            let stop = Stop::new(point(&n), n[3], point(&n[4..]), -point(&n[7..]).coords).ok()?;
            let mut all = vec![lever.gap(&stop, 0.1).ok()?];
            all.extend(lever.meets(&stop).ok()?.into_iter().flatten());
            all.extend(lever.stopped_by(&[stop]).ok()?.travel);
            Some(all)
        },
    );
}

#[test]
fn rods_and_shaft_joints() {
    let ends = RodEnds::FixedPinned;
    sweep(
        "rod",
        [8.0 * MM, 1.0 * MM, 70e9, 150e6, 0.4, 0.8, 2.0, -500.0],
        |n| {
            let section = RodSection::tube(n[0], n[1]).ok()?;
            let material = RodMaterial::new(n[2], n[3]).ok()?;
            let rod = Rod::new(section, material, n[4], ends, n[5]).ok()?;
            let load = rod.loaded_by(n[7]).ok()?;
            let mut all = vec![
                load.stress,
                load.limit,
                section.area(),
                section.second_moment(),
            ];
            // Without a force, or next to none, there is no end to the safety.
            if n[7].abs() > 1e-300 {
                all.push(load.safety);
            } else {
                assert!(!load.safety.is_nan() && load.safety > 1e100);
            }
            all.extend([
                rod.slenderness(),
                rod.euler_load(),
                rod.johnson_load(),
                rod.critical_load(),
            ]);
            all.extend([
                rod.allowable_load(n[6]).ok()?,
                rod.min_diameter(n[7].abs(), n[6]).ok()?,
            ]);
            Some(all)
        },
    );
    sweep(
        "universal joint",
        [30.0 * DEG, 0.1, 0.4],
        |[bend, phase, angle]| {
            let joint = UniversalJoint::new(bend, phase).ok()?;
            let at = joint.transfer(angle).ok()?;
            let (fork, curvature) = joint.max_curvature();
            let mut all = vec![
                at.angle,
                at.ratio,
                at.curvature,
                fork,
                curvature,
                joint.unit_ratio_angle(),
            ];
            all.extend(joint.ratio_range());
            Some(all)
        },
    );
}
