//! A pair of two unlike sides beside values worked out anew from its joints, and the limits of what a pair may be.
//!
//! The values: joints turned by Rodrigues' formula; the pedal of a crank angle by Newton's method on the length of its
//! rod, step by step from neutral, to 1e-14; rates from both joints moving alike along the rod; ends by halving to
//! 1e-13 on whatever stops first; forces from the moments about each pivot in turn, then those on the crank. NumPy, in
//! double precision.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point3, Vector3};
use yokewright::linkage::{Arm, FootSide, Pedal, PedalLimitKind, PedalMember, PedalPair, Range};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Observer, Result};

/// Both routes round some tens of times.
const ROOT: f64 = 1e-12;

fn at(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x * MM, y * MM, z * MM)
}

#[derive(Default, Clone, Copy)]
struct Limits {
    left: Option<[f64; 2]>,
    right: Option<[f64; 2]>,
    crank: Option<[f64; 2]>,
    pedal_swivel: Option<f64>,
    crank_swivel: Option<f64>,
}

/// All in degrees.
fn pair(limits: Limits) -> PedalPair {
    let stopped = |pedal: Pedal, stops: Option<[f64; 2]>| match stops {
        Some([lower, upper]) => pedal.with_stops(lower * DEG, upper * DEG).unwrap(),
        None => pedal,
    };
    let studded = |arm: Arm, stud: Vector3<f64>, limit: Option<f64>| match limit {
        Some(limit) => arm.with_stud(stud, limit * DEG).unwrap(),
        None => arm,
    };
    let arm = |pivot, direction, joint| Arm::new(pivot, direction, joint).unwrap();
    let left = arm(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 43.0, 90.0));
    let left = studded(left, Vector3::y(), limits.pedal_swivel);
    let left = Pedal::new(left, at(-10.0, 120.0, 180.0), Vector3::x()).unwrap();
    let right = arm(
        at(8.0, -125.0, 5.0),
        Vector3::new(0.06, 1.0, -0.1),
        at(4.0, -50.0, 102.0),
    );
    let right = studded(right, Vector3::y(), limits.pedal_swivel);
    let right = Pedal::new(right, at(0.0, -125.0, 170.0), Vector3::new(1.0, 0.0, 0.2)).unwrap();
    let crank = |x, y, z| {
        let arm = arm(at(-150.0, 0.0, 85.0), Vector3::z(), at(x, y, z));
        studded(arm, Vector3::z(), limits.crank_swivel)
    };
    let pair = PedalPair::new(
        stopped(left, limits.left),
        stopped(right, limits.right),
        crank(-150.0, 45.0, 85.0),
        crank(-144.0, -38.0, 90.0),
    )
    .unwrap();
    match limits.crank {
        Some([lower, upper]) => pair.with_crank_stops(lower * DEG, upper * DEG).unwrap(),
        None => pair,
    }
}

fn close(got: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got} {expected}"
    );
}

#[test]
fn each_angle_of_an_unlike_pair_from_each_other() {
    // Crank in degrees; left and right pedal, and their rates by the crank.
    let rows = [
        [
            -25.0,
            0.213495611203121,
            -0.160176885865801,
            -0.462463405064347,
            0.367272942012409,
        ],
        [
            -10.0,
            0.0871404469092077,
            -0.063490551959717,
            -0.496390705217861,
            0.368289123409173,
        ],
        [0.0, 0.0, 0.0, -0.5, 0.357552088606811],
        [
            7.0,
            -0.0608660274656587,
            0.0428860540791776,
            -0.495543327247743,
            0.343554445961057,
        ],
        [
            22.0,
            -0.187824575124016,
            0.12686232365159,
            -0.471472697449942,
            0.293145641179493,
        ],
    ];
    let pair = pair(Limits::default());
    for [crank, left, right, left_rate, right_rate] in rows {
        let expected = |member: PedalMember| match member {
            PedalMember::Left => (left, left_rate),
            PedalMember::Right => (right, right_rate),
            PedalMember::Crank => (crank * DEG, 1.0),
        };
        for given in PedalMember::ALL {
            let (angle, by) = expected(given);
            let one = pair.pose(given, angle).unwrap();
            let many = pair.poses(given, &[angle]);
            assert_eq!(many.valid, [true]);
            for (member, rows) in
                PedalMember::ALL
                    .into_iter()
                    .zip([&many.left, &many.right, &many.crank])
            {
                let (angle, rate) = expected(member);
                let words = format!("{member} by {given} at {crank} deg");
                close(one.of(member).angle, angle, ROOT, &words);
                close(one.of(member).ratio, rate / by, 100.0 * ROOT, &words);
                close(rows.angles[0], angle, ROOT, &words);
                close(rows.ratios[0], rate / by, 100.0 * ROOT, &words);
            }
        }
    }
}

#[test]
fn what_ends_an_unlike_pair_first() {
    use PedalLimitKind::{CrankSwivel, PedalSwivel, Stop};
    use PedalMember::{Crank, Left, Right};
    let stops = Limits {
        left: Some([-14.0, 11.0]),
        right: Some([-12.0, 15.0]),
        ..Limits::default()
    };
    let crank = Limits {
        left: Some([-30.0, 30.0]),
        right: Some([-9.0, 30.0]),
        crank: Some([-18.0, 33.0]),
        ..Limits::default()
    };
    let pedals = Limits {
        left: Some([-25.0, 25.0]),
        pedal_swivel: Some(6.2),
        crank_swivel: Some(20.0),
        ..Limits::default()
    };
    let cranks = Limits {
        left: Some([-20.0, 20.0]),
        pedal_swivel: Some(20.0),
        crank_swivel: Some(4.7),
        ..Limits::default()
    };
    // Crank, left and right at the lower end and at the upper, and what is there.
    let rows = [
        (
            stops,
            [-0.39027356454785, 0.191986217719361, -0.143224924467832],
            Stop,
            Left,
        ),
        (
            stops,
            [0.505918355339733, -0.244346095279187, 0.160629589288125],
            Stop,
            Left,
        ),
        (
            crank,
            [-0.314159265358979, 0.155641767748436, -0.115099936756842],
            Stop,
            Crank,
        ),
        (
            crank,
            [0.575958653158129, -0.275849705499687, 0.178046510324893],
            Stop,
            Crank,
        ),
        (
            pedals,
            [-0.527638457323004, 0.254777419688109, -0.193526640167714],
            PedalSwivel,
            Right,
        ),
        (
            pedals,
            [0.401986204851856, -0.196297456644325, 0.132102213582884],
            PedalSwivel,
            Right,
        ),
        (
            cranks,
            [-0.761440071122804, 0.349065850398847, -0.276383058135409],
            Stop,
            Left,
        ),
        (
            cranks,
            [0.0847471472742161, -0.0422829557735553, 0.029934892970687],
            CrankSwivel,
            Right,
        ),
    ];
    for (limits, [crank, left, right], kind, member) in rows {
        let reach = pair(limits).reach();
        let end = if crank < 0.0 {
            reach.lower
        } else {
            reach.upper
        }
        .unwrap();
        assert_eq!(
            (end.limit.kind, end.limit.member),
            (kind, member),
            "{crank}"
        );
        let words = end.limit.to_string();
        // Halving ends at 1e-13, and a swivel goes with the root of what the rod is rounded by.
        close(end.crank, crank, 1e-11, &words);
        close(end.left, left, 1e-11, &words);
        close(end.right, right, 1e-11, &words);
    }
    // Without stops and studs a rod comes to point at a pivot, later than any of these.
    let reach = pair(Limits::default()).reach();
    for (end, beyond) in [(reach.lower, 0.76), (reach.upper, 0.57)] {
        let end = end.unwrap();
        assert_eq!(end.limit.kind, PedalLimitKind::Lock);
        assert!(end.crank.abs() > beyond, "{end:?}");
    }
}

#[test]
fn figures_of_an_unlike_pair() {
    let pair = pair(Limits {
        left: Some([-14.0, 11.0]),
        right: Some([-12.0, 15.0]),
        ..Limits::default()
    });
    let figures = pair.figures(41).unwrap();
    // The ends are good to 1e-11, and ratios change by less than ten times that.
    let same = |got: Range, from: f64, to: f64, what: &str| {
        close(got.lower, from, 1e-10, what);
        close(got.upper, to, 1e-10, what);
    };
    same(figures.left, -0.244346095279187, 0.191986217719361, "left");
    same(
        figures.right,
        -0.143224924467832,
        0.160629589288125,
        "right",
    );
    same(figures.crank, -0.39027356454785, 0.505918355339733, "crank");
    same(
        figures.left_advance,
        -0.0432488984706968,
        0.0345293473332986,
        "left advance",
    );
    same(
        figures.right_advance,
        -0.0234187626766796,
        0.0256285900459648,
        "right advance",
    );
    same(
        figures.mean_advance,
        -0.008810154212366,
        0.0055552923283095,
        "mean advance",
    );
    same(
        figures.crank_ratios,
        -2.19756715371156,
        -1.99886199592758,
        "crank ratios",
    );
    same(
        figures.other_ratios,
        -0.782377005297587,
        -0.570451851809632,
        "other ratios",
    );
    close(figures.crank_ratio, -2.0, 1e-10, "crank ratio");
    close(
        figures.other_ratio,
        -0.715104177213621,
        1e-10,
        "other ratio",
    );
    close(figures.asymmetry, 0.0139109043650594, 1e-10, "asymmetry");
    assert!(pair.figures(3).is_ok());
    assert!(matches!(pair.figures(2), Err(Error::Count { .. })));
}

/// A scan that runs to the locks leaves out the rows at them, where ratios are infinite.
#[test]
fn figures_up_to_the_locks_are_finite() {
    let figures = pair(Limits::default()).figures(41).unwrap();
    for travel in [
        figures.crank_ratios,
        figures.other_ratios,
        figures.mean_advance,
    ] {
        assert!(
            travel.lower.is_finite() && travel.upper.is_finite(),
            "{figures:?}"
        );
    }
}

#[test]
fn forces_on_each_part_of_an_unlike_pair() {
    // Torque, rod, torque on the crank; other rod, torque on the other pedal, push that holds it; bearings on the crank
    // along x, y, z.
    let rows = [
        (
            FootSide::Left,
            8.0,
            [71.8559933532333, 809.679562096428, -35.0074399445924],
            [913.342879512868, -94.5851100062704, 576.765870050715],
            [-1717.75390427514, 70.7318874495181, -87.1507964482029],
        ),
        (
            FootSide::Left,
            -6.0,
            [71.1874626134451, 793.200661607965, -34.8345932110658],
            [1016.9353225072, -105.671146118428, 660.437856997835],
            [-1801.40486618454, 104.424236423306, -108.057523773508],
        ),
        (
            FootSide::Right,
            5.0,
            [63.7814992515156, 614.615843872843, 20.5076682996527],
            [471.641168755994, -42.2449275366481, 238.257488504738],
            [-1080.70497852559, 64.6516825561724, -64.3815754129003],
        ),
    ];
    let pair = pair(Limits::default());
    for (foot, angle, own, other, reaction) in rows {
        let loads = pair.loads(foot, angle * DEG, 400.0).unwrap();
        let got = [
            [loads.torque, loads.rod_force, loads.crank_torque],
            [loads.other_rod_force, loads.other_torque, loads.other_force],
        ];
        // Levers of some 40 mm between places rounded to 1e-17 m, and angles to 1e-12.
        for (got, expected) in got.as_flattened().iter().zip([own, other].as_flattened()) {
            close(*got, *expected, 1e-9 * expected.abs(), "force or torque");
        }
        // The parts of one force share its rounding. The bearings hold the crank against rods that both pull it
        // forward, where the pedals are: they push it back.
        let reaction = Vector3::from(reaction);
        let off = (loads.crank_reaction - reaction).norm();
        assert!(
            off <= 1e-9 * reaction.norm(),
            "{} {reaction}",
            loads.crank_reaction
        );
    }
}

#[test]
fn the_way_of_each_pad() {
    // Point along x, y, z; arc, chord, advance, advance by angle.
    let rows = [
        (
            FootSide::Left,
            -0.3,
            [-0.0627470020902972, 0.12, 0.169005365975996],
            [
                -0.0540832691319598,
                0.0538806849143142,
                -0.0527470020902972,
                0.169005365975996,
            ],
        ),
        (
            FootSide::Left,
            0.4,
            [0.0608846916755282, 0.12, 0.169685162343606],
            [
                0.0721110255092798,
                0.071631245904371,
                0.0708846916755282,
                0.169685162343606,
            ],
        ),
        (
            FootSide::Right,
            -0.3,
            [-0.0481201891573083, -0.123077079222077, 0.160357094284844],
            [
                -0.0492991818701918,
                0.0491145178077185,
                -0.0490768569986067,
                0.162456450733456,
            ],
        ),
        (
            FootSide::Right,
            0.4,
            [0.064373673911928, -0.12984225243271, 0.160201680020061],
            [
                0.065732242493589,
                0.0652949031393001,
                0.0612019720159525,
                0.139653742241451,
            ],
        ),
    ];
    let pair = pair(Limits::default());
    for (foot, angle, point, ways) in rows {
        let pad = pair.pad(foot, angle).unwrap();
        // Some roundings of 0.2 m.
        for (got, expected) in pad.point.iter().zip(point) {
            close(*got, expected, 1e-15, "point");
        }
        let got = [pad.arc, pad.chord, pad.advance, pad.advance_per_angle];
        for (got, expected) in got.into_iter().zip(ways) {
            close(got, expected, 1e-15, "way");
        }
    }
}

#[test]
fn a_mirrored_pair_is_the_image_in_every_part() {
    let arm = Arm::new(
        at(0.0, 120.0, 0.0),
        Vector3::new(0.1, 1.0, 0.2),
        at(0.0, 43.0, 90.0),
    )
    .unwrap();
    let left = Pedal::new(arm, at(-10.0, 120.0, 180.0), Vector3::new(1.0, 0.5, 0.2)).unwrap();
    let left = left.with_stops(-0.2, 0.3).unwrap();
    let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0)).unwrap();
    let pair = PedalPair::mirrored(left, crank).unwrap();
    let right = pair.pedal(FootSide::Right);
    let image = |point: Point3<f64>| Point3::new(point.x, -point.y, point.z);
    assert_eq!(pair.pedal(FootSide::Left), left);
    assert_eq!(right.pad(), image(left.pad()));
    assert_eq!(right.arm().joint(), image(left.arm().joint()));
    assert_eq!(
        right.push(),
        Vector3::new(left.push().x, -left.push().y, left.push().z)
    );
    assert_eq!(right.stops(), left.stops());
    assert_eq!(pair.crank_arm(FootSide::Left), crank);
    assert_eq!(
        pair.crank_arm(FootSide::Right).joint(),
        image(crank.joint())
    );
    assert_eq!(pair.rod(FootSide::Right).input(), right.arm());
    // The same angle is the mirrored motion.
    for angle in [-0.4, 0.3] {
        let [one, other] = FootSide::ALL.map(|foot| pair.pad(foot, angle).unwrap());
        let off = (image(one.point) - other.point).norm();
        assert!(off <= 1e-15, "{off}");
    }
    assert_eq!(pair.crank_stops(), None);
    let stopped = pair.with_crank_stops(-0.25, 0.5).unwrap();
    assert_eq!(
        stopped.crank_stops(),
        Some(Range {
            lower: -0.25,
            upper: 0.5
        })
    );
}

#[test]
fn what_a_pedal_may_be() {
    let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0)).unwrap();
    let pedal = |pad, push| Pedal::new(hinge, pad, push);
    // 10 mm to 2 m from the axis, of which the way along it is no part.
    assert!(pedal(at(0.0, 400.0, 10.0 + 1e-9), Vector3::x()).is_ok());
    assert!(pedal(at(0.0, 120.0, 10.0 - 1e-9), Vector3::x()).is_err());
    assert!(pedal(at(0.0, 400.0, 2000.0 - 1e-6), Vector3::x()).is_ok());
    assert!(pedal(at(0.0, 120.0, 2000.0 + 1e-6), Vector3::x()).is_err());
    // Within 10 m of the origin along each axis, either way.
    for axis in 0..3 {
        for end in [-10.0, 10.0] {
            let beside = |by: f64| {
                let mut hinge = Vector3::zeros();
                hinge[axis] = end * 0.99;
                let mut pad = hinge + Vector3::new(0.1, 0.0, 0.1);
                pad[axis] = end + by;
                let joint = Point3::from(hinge + Vector3::new(0.0, 0.0, 0.09));
                let arm = Arm::new(Point3::from(hinge), Vector3::y(), joint).unwrap();
                Pedal::new(arm, Point3::from(pad), Vector3::new(1.0, 0.0, -0.7)).is_ok()
            };
            assert!(beside(0.0) && !beside(end * 1e-9), "{axis} {end}");
        }
    }
    // The pad above the hinge goes along x: the x of the unit push is the share.
    let push = |share: f64| Vector3::new(share, 0.0, -(1.0 - share * share).sqrt());
    let pad = at(0.0, 120.0, 180.0);
    assert!(pedal(pad, push(0.1 + 1e-9)).is_ok());
    assert!(pedal(pad, push(-0.1 - 1e-9)).is_ok());
    assert!(pedal(pad, push(0.1 - 1e-9)).is_err());
    assert!((pedal(pad, Vector3::x()).unwrap().pad_radius() - 0.18).abs() <= 1e-15);
    let pedal = pedal(pad, Vector3::x()).unwrap();
    for (lower, upper, good) in [
        (-PI, PI, true),
        (0.0, 0.1, true),
        (-0.1, 0.0, true),
        (-3.2, 0.1, false),
        (-0.1, 3.2, false),
        (0.1, 0.2, false),
        (-0.2, -0.1, false),
        (0.0, 0.0, false),
    ] {
        assert_eq!(
            pedal.with_stops(lower, upper).is_ok(),
            good,
            "{lower} {upper}"
        );
    }
    let pair = pair(Limits::default());
    for (force, good) in [
        (1e4, true),
        (-1e4, true),
        (10_001.0, false),
        (-10_001.0, false),
    ] {
        assert_eq!(
            pair.loads(FootSide::Left, 0.0, force).is_ok(),
            good,
            "{force}"
        );
    }
}

/// The pad of the other foot, above its hinge, goes along (cos q, 0, -sin q): square to a push along (0.2, 0, 1) where
/// tan q is 0.2.
#[test]
fn a_pad_that_moves_square_to_its_push_is_not_held() {
    let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0)).unwrap();
    let right = Arm::new(at(0.0, -120.0, 0.0), Vector3::y(), at(0.0, -70.0, 90.0)).unwrap();
    let crank = |y| Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, y, 90.0)).unwrap();
    let left = Pedal::new(hinge, at(0.0, 120.0, 180.0), Vector3::x()).unwrap();
    let right = Pedal::new(right, at(0.0, -120.0, 180.0), Vector3::new(0.2, 0.0, 1.0)).unwrap();
    let pair = PedalPair::new(left, right, crank(45.0), crank(-45.0)).unwrap();
    let square = 0.2_f64.atan();
    let loads = |off: f64| -> Result<f64> {
        let angle = pair.pose(PedalMember::Right, square + off)?.left.angle;
        Ok(pair.loads(FootSide::Left, angle, 400.0)?.other_force)
    };
    // Below a millionth of the radius.
    for off in [-0.9e-6, 0.0, 0.9e-6] {
        assert!(matches!(loads(off), Err(Error::DeadCenter { .. })), "{off}");
    }
    // The push that holds is on one side forward, on the other back.
    let [before, after] = [-1.1e-6, 1.1e-6].map(|off| loads(off).unwrap());
    assert!(
        before * after < 0.0 && before.abs() > 1e7,
        "{before} {after}"
    );
}

/// A double crank: shortest the ground of 20 mm, which with the longest of 50 mm is less than 50 and 34.2 mm together.
#[test]
fn a_pair_that_turns_around_has_no_ends() {
    let hinge = Arm::new(at(0.0, 20.0, 0.0), Vector3::z(), at(50.0, 20.0, 0.0)).unwrap();
    let left = Pedal::new(hinge, at(60.0, 20.0, 0.0), Vector3::y()).unwrap();
    let crank = Arm::new(at(0.0, 0.0, 0.0), Vector3::z(), at(25.0, 43.3, 0.0)).unwrap();
    let pair = PedalPair::mirrored(left, crank).unwrap();
    let reach = pair.reach();
    assert_eq!((reach.lower, reach.upper), (None, None));
    let error = pair.figures(11).unwrap_err();
    assert!(
        matches!(error, Error::OutOfRange { value, min: 0.0, max, .. } if value == TAU && max == TAU)
    );
    let words = error.to_string();
    assert!(
        words.contains("travel of the crank without a stop"),
        "{words}"
    );
    let stopped = pair.with_crank_stops(-0.5, 0.4).unwrap();
    let [lower, upper] = [stopped.reach().lower, stopped.reach().upper].map(Option::unwrap);
    assert_eq!([lower.crank, upper.crank], [-0.5, 0.4]);
    assert!(stopped.figures(11).is_ok());
}

#[test]
fn words_of_pedals() {
    assert_eq!(
        PedalMember::ALL.map(|member| member.to_string()),
        ["left", "right", "crank"]
    );
    assert_eq!(
        FootSide::ALL.map(|foot| foot.to_string()),
        ["left", "right"]
    );
    assert_eq!(
        FootSide::ALL.map(FootSide::other),
        [FootSide::Right, FootSide::Left]
    );
    assert_eq!(
        FootSide::ALL.map(PedalMember::from),
        [PedalMember::Left, PedalMember::Right]
    );
    let kinds = [
        (PedalLimitKind::Stop, "stop"),
        (PedalLimitKind::Lock, "lock"),
        (PedalLimitKind::PedalSwivel, "pedal swivel"),
        (PedalLimitKind::CrankSwivel, "crank swivel"),
    ];
    for (kind, words) in kinds {
        assert_eq!(kind.to_string(), words);
    }
    let end = pair(Limits {
        left: Some([-14.0, 11.0]),
        ..Limits::default()
    });
    assert_eq!(end.reach().lower.unwrap().limit.to_string(), "left stop");
}

/// Work that is stopped on the way may leave fewer rows, and then as many for every member.
#[test]
fn rows_of_stopped_work_are_alike() {
    let pair = pair(Limits::default());
    let angles = vec![0.1; 20_000];
    for given in PedalMember::ALL {
        let observer = Observer::new();
        let mut inside = None;
        let outside = observer.run(|| {
            observer.stop();
            inside = Some(pair.poses(given, &angles));
        });
        assert_eq!(outside, Err(Error::Stopped));
        let rows = inside.unwrap();
        let count = rows.valid.len();
        for member in [&rows.left, &rows.right, &rows.crank] {
            let valid = &member.valid[..count];
            assert!(
                valid.iter().zip(&rows.valid).all(|(one, all)| one == all),
                "{given}"
            );
        }
    }
}
