//! Ball-joint rods and pedals in special places, and what is refused with which words.

use nalgebra::{Point3, Vector3};
use yokewright::linkage::{
    Arm, Assembly, BallRod, BallRodColumns, FootSide, FourBar, FourBarColumns, Pedal,
    PedalLimitKind, PedalMember, PedalPair, RodLimit, TransferColumns,
};
use yokewright::units::{DEG, MM};
use yokewright::{Error, Result};

fn at(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x * MM, y * MM, z * MM)
}

fn arm(pivot: Point3<f64>, direction: Vector3<f64>, joint: Point3<f64>) -> Arm {
    Arm::new(pivot, direction, joint).unwrap()
}

/// Both arms upright on parallel axes: a parallelogram.
fn parallelogram() -> BallRod {
    let input = arm(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 40.0));
    let output = arm(at(100.0, 0.0, 0.0), Vector3::y(), at(100.0, 0.0, 40.0));
    BallRod::new(input, output).unwrap()
}

fn text<T: std::fmt::Debug>(result: Result<T>) -> String {
    result.unwrap_err().to_string()
}

#[test]
fn a_joint_on_its_axis() {
    let words = text(Arm::new(
        at(0.0, 0.0, 0.0),
        Vector3::z(),
        at(0.0, 0.0, 50.0),
    ));
    assert!(
        words.contains("arm from the pivot to the joint = 0 m"),
        "{words}"
    );
}

#[test]
fn a_length_in_millimeters() {
    let words = text(Arm::new(
        Point3::origin(),
        Vector3::z(),
        Point3::new(9.0, 0.0, 0.0),
    ));
    assert!(words.contains("did you mean 9 * MM?"), "{words}");
    let rod = parallelogram();
    assert!(text(rod.with_rod_length(100.0)).contains("did you mean 100 * MM?"));
    assert!(text(rod.transfer(10.0)).contains("did you mean 10 * DEG?"));
}

#[test]
fn no_place_to_be_neutral() {
    // The rod in line with the output arm.
    let input = arm(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 40.0));
    let output = arm(at(100.0, 0.0, 0.0), Vector3::y(), at(60.0, 0.0, 16.0));
    let words = text(BallRod::new(input, output));
    assert!(
        words.contains("effective arm of the rod about the output pivot"),
        "{words}"
    );
    // The joints in one place.
    let words = text(BallRod::new(
        input,
        arm(at(100.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 40.0)),
    ));
    assert!(words.contains("rod length"), "{words}");
}

#[test]
fn a_rod_that_cannot_reach_says_by_how_much() {
    let rod = parallelogram();
    // The joints at neutral are 100 mm apart; at most the circles are 180 mm, so 200 mm is 20 mm too long at most: here
    // the farthest point of the output circle from (0, 40) is sqrt(100^2 + 40^2) + 40 mm away.
    let farthest = 100.0_f64.hypot(40.0) + 40.0;
    match rod.with_rod_length(200.0 * MM) {
        Err(Error::CannotClose {
            linkage,
            angle,
            gap,
        }) => {
            assert_eq!((linkage, angle), ("ball-joint rod", 0.0));
            assert!((gap / MM - (200.0 - farthest)).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
    let words = text(rod.with_rod_length(200.0 * MM));
    assert!(words.contains("miss each other by 52.3 mm"), "{words}");
}

#[test]
fn a_parallelogram_keeps_step_to_its_change_points() {
    let rod = parallelogram();
    let travel = rod.travel().unwrap();
    // Arms along the ground line, 90 deg to either side.
    assert!((travel.lower + 90.0 * DEG).abs() < 1e-7 && (travel.upper - 90.0 * DEG).abs() < 1e-7);
    for angle in [-80.0 * DEG, -DEG, 0.0, 45.0 * DEG, 89.0 * DEG] {
        let at = rod.transfer(angle).unwrap();
        assert!((at.angle - angle).abs() < 1e-12 && (at.ratio - 1.0).abs() < 1e-10);
    }
    // The other assembly crosses over.
    let other = rod.output_angle(0.0, Assembly::Other).unwrap();
    assert!((other.abs() - 2.0 * 100.0_f64.atan2(40.0)).abs() < 1e-12);
    assert!(matches!(
        rod.transfer(100.0 * DEG),
        Err(Error::OutOfRange { .. })
    ));
}

#[test]
fn on_one_axis_it_turns_as_a_whole() {
    let pivot = at(10.0, 20.0, 30.0);
    let input = arm(pivot, Vector3::z(), at(60.0, 20.0, 0.0));
    let output = arm(pivot, Vector3::z(), at(10.0, 50.0, 80.0));
    let rod = BallRod::new(input, output).unwrap();
    assert_eq!(rod.travel(), None);
    assert_eq!(rod.output_travel(), None);
    for angle in [-5.0, -0.1, 0.3, 3.0, 6.0] {
        let at = rod.transfer(angle).unwrap();
        assert!(
            (at.angle - angle).abs() < 1e-12 && (at.ratio - 1.0).abs() < 1e-12,
            "{angle} {at:?}"
        );
    }
}

#[test]
fn an_output_that_winds_counts_its_turns() {
    // A drag link: the ground is the shortest, both arms turn all the way round.
    let input = arm(at(0.0, 0.0, 0.0), Vector3::z(), at(80.0, 0.0, 0.0));
    let output = arm(at(20.0, 0.0, 0.0), Vector3::z(), at(20.0, 90.0, 0.0));
    let rod = BallRod::new(input, output).unwrap();
    assert_eq!(rod.travel(), None);
    assert_eq!(rod.output_travel(), None);
    let turns = rod.output_angle(360.0 * DEG, Assembly::Neutral).unwrap();
    assert!((turns - 360.0 * DEG).abs() < 1e-12);
    let turns = rod.output_angle(-360.0 * DEG, Assembly::Neutral).unwrap();
    assert!((turns + 360.0 * DEG).abs() < 1e-12);
}

#[test]
fn swivel_at_neutral_is_checked() {
    let rod = parallelogram();
    // Studs along the pivots are square to the rod and stay so.
    let along = |limit| {
        BallRod::new(
            rod.input().with_stud(Vector3::y(), limit).unwrap(),
            rod.output().with_stud(Vector3::y(), limit).unwrap(),
        )
    };
    let good = along(10.0 * DEG).unwrap();
    assert!(
        good.swivels(0.4)
            .unwrap()
            .iter()
            .all(|swivel| swivel.unwrap().abs() < 1e-15)
    );
    assert_eq!(rod.swivels(0.4).unwrap(), [None; 2]);
    // Studs along the rod are not.
    let input = rod.input().with_stud(Vector3::x(), 10.0 * DEG).unwrap();
    let words = text(BallRod::new(input, rod.output()));
    assert!(
        words.contains("swivel at neutral of the ball joint on the input arm"),
        "{words}"
    );
}

fn pedal() -> Pedal {
    let hinge = arm(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0));
    Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x()).unwrap()
}

fn crank() -> Arm {
    arm(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0))
}

#[test]
fn what_comes_first_on_the_pedals() {
    let pair = PedalPair::mirrored(pedal(), crank()).unwrap();
    let upper = pair.reach().upper.unwrap();
    assert_eq!(upper.limit.kind, PedalLimitKind::Lock);
    let stopped = PedalPair::mirrored(
        pedal().with_stops(-15.0 * DEG, 12.0 * DEG).unwrap(),
        crank(),
    )
    .unwrap();
    let reach = stopped.reach();
    for (end, member) in [
        (reach.lower.unwrap(), PedalMember::Left),
        (reach.upper.unwrap(), PedalMember::Right),
    ] {
        // The pedal that goes forward meets its nearer stop.
        assert_eq!(
            (end.limit.kind, end.limit.member),
            (PedalLimitKind::Stop, member),
            "{end:?}"
        );
        assert!((end.left.max(end.right) - 12.0 * DEG).abs() < 1e-12);
    }
    let earlier = stopped
        .with_crank_stops(-10.0 * DEG, 20.0 * DEG)
        .unwrap()
        .reach();
    assert_eq!(earlier.lower.unwrap().limit.to_string(), "crank stop");
    assert!((earlier.lower.unwrap().crank + 10.0 * DEG).abs() < 1e-15);
    // Studs along the hinges: the rod leaves their square plane by some 15 deg from the start.
    let studded = Pedal::new(
        pedal().arm().with_stud(Vector3::y(), 14.5 * DEG).unwrap(),
        pedal().pad(),
        Vector3::x(),
    )
    .unwrap();
    let swiveled = PedalPair::mirrored(studded, crank()).unwrap().reach();
    assert_eq!(
        swiveled.upper.unwrap().limit.kind,
        PedalLimitKind::PedalSwivel
    );
}

#[test]
fn pedals_push_against_each_other_evenly_at_neutral() {
    let pair = PedalPair::mirrored(pedal(), crank()).unwrap();
    let loads = pair.loads(FootSide::Left, 0.0, 1000.0).unwrap();
    assert!((loads.other_force - 1000.0).abs() < 1e-9);
    assert!((loads.torque - 180.0).abs() < 1e-9);
    assert!((loads.rod_force - loads.other_rod_force).abs() < 1e-9);
}

#[test]
fn a_crank_out_of_the_middle_has_no_mirror_image() {
    let off = arm(at(-150.0, 1.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0));
    let words = text(PedalPair::mirrored(pedal(), off));
    assert!(words.contains("plane y = 0"), "{words}");
    let words = text(Pedal::new(
        pedal().arm(),
        at(-10.0, 120.0, 180.0),
        Vector3::y(),
    ));
    assert!(words.contains("share of the push"), "{words}");
    assert!(text(pedal().with_stops(0.1, 0.2)).contains("pedal stops"));
}

/// Into memory that there is, column by column: the same to the last bit, whatever stood there; wrong lengths refused.
#[test]
fn columns_in_memory_are_those_of_the_many() {
    let angles: Vec<f64> = (0..9000).map(|i| 1.5e-3 * f64::from(i) - 6.75).collect();
    let count = angles.len();
    let same = |written: &[f64], expected: &[f64]| {
        let bits = |values: &[f64]| values.iter().map(|x| x.to_bits()).collect::<Vec<_>>();
        assert_eq!(bits(written), bits(expected));
    };
    let mut mask = vec![true; count];
    let mut column = vec![7.0; count];
    // One that goes round without an end, one that locks.
    let slow = arm(at(0.0, 0.0, 0.0), Vector3::y(), at(0.0, 0.0, 20.0));
    let far = arm(at(100.0, 0.0, 0.0), Vector3::y(), at(100.0, 0.0, 60.0));
    for rod in [parallelogram(), BallRod::new(slow, far).unwrap()] {
        let expected = rod.solve_many(&angles);
        let wanted = BallRodColumns {
            other: Some(&mut column),
            valid: Some(&mut mask),
            ..BallRodColumns::default()
        };
        rod.solve_many_into(&angles, wanted).unwrap();
        same(&column, &expected.other);
        assert_eq!(mask, expected.valid);
        let expected = rod.transfers(&angles);
        let wanted = TransferColumns {
            angles: Some(&mut column),
            valid: Some(&mut mask),
            ..TransferColumns::default()
        };
        rod.transfers_into(&angles, wanted).unwrap();
        same(&column, &expected.angles);
        assert_eq!(mask, expected.valid);
        let wanted = TransferColumns {
            curvatures: Some(&mut column),
            ..TransferColumns::default()
        };
        rod.transfers_into(&angles, wanted).unwrap();
        same(&column, &expected.curvatures);
        let short = TransferColumns {
            ratios: Some(&mut column[1..]),
            ..TransferColumns::default()
        };
        let refused = rod.transfers_into(&angles, short);
        assert!(matches!(
            refused,
            Err(Error::LengthMismatch {
                second_len: 8999,
                ..
            })
        ));
        let long = BallRodColumns {
            valid: Some(&mut mask),
            ..BallRodColumns::default()
        };
        let refused = rod.solve_many_into(&angles[..3], long);
        assert!(matches!(
            refused,
            Err(Error::LengthMismatch { first_len: 3, .. })
        ));
    }
    let bar = FourBar::new(0.1, 0.09, 0.05, 0.08).unwrap();
    let expected = bar.solve_many(&angles);
    let wanted = FourBarColumns {
        crossed_rocker: Some(&mut column),
        valid: Some(&mut mask),
        ..FourBarColumns::default()
    };
    bar.solve_many_into(&angles, wanted).unwrap();
    same(&column, &expected.crossed.rocker);
    assert_eq!(mask, expected.valid);
    let short = FourBarColumns {
        valid: Some(&mut mask[..5]),
        ..FourBarColumns::default()
    };
    let refused = bar.solve_many_into(&angles, short);
    assert!(matches!(
        refused,
        Err(Error::LengthMismatch { second_len: 5, .. })
    ));
}

/// A swivel that goes beyond its limit by some hundred-thousandths of a radian and comes back within a step of the
/// search ends the travel all the same. Where it turns back, by brute force.
#[test]
fn an_excess_between_two_places() {
    let arm =
        |pivot: [f64; 3], direction: [f64; 3], joint: [f64; 3], stud: [f64; 3], limit: f64| {
            Arm::new(pivot.into(), direction.into(), joint.into())
                .unwrap()
                .with_stud(stud.into(), limit * DEG)
                .unwrap()
        };
    let with = |limit: f64| {
        let input = arm(
            [
                -0.003621457552809036,
                0.06364967500547972,
                0.2287073780416122,
            ],
            [0.8682169313046252, 0.07660090161088627, 0.49023633287260443],
            [
                -0.05996192590733396,
                0.1425119163669193,
                0.31616484880975915,
            ],
            [0.650989030177145, -0.7395513396112589, -0.17110551910506192],
            limit,
        );
        let output = arm(
            [
                -0.49651973102545244,
                0.18709365838059108,
                0.45660393828349544,
            ],
            [
                0.25874479095097636,
                -0.8261707859980991,
                -0.5004927227433168,
            ],
            [
                -0.4359659056272993,
                0.42071099121338995,
                0.10227345446889541,
            ],
            [-0.16617653019785902, -0.9860960200768483, 0.0],
            39.661184007139546,
        );
        BallRod::new(input, output).unwrap()
    };
    let limit = 58.12265297175388;
    let rod = with(limit);
    // The greatest swivel on the way, by brute force.
    let swivel = |angle: f64| rod.swivels(angle).unwrap()[0].unwrap().abs();
    let (top, most) = (0..40_000)
        .map(|i| -1e-5 * f64::from(i))
        .map(|angle| (angle, swivel(angle)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap();
    let excess = most - limit * DEG;
    assert!((1e-5..4e-5).contains(&excess), "{excess}");
    let end = rod.reach().lower.unwrap();
    assert_eq!(end.limit, RodLimit::InputSwivel);
    assert!(top <= end.input && end.input < top + 0.02, "{top} {end:?}");
    assert!((swivel(end.input) - limit * DEG).abs() <= 1e-12);
    // With as much more room it goes on.
    let beyond = with((limit * DEG + 1.001 * excess) / DEG).reach().lower;
    assert!(
        beyond.is_none_or(|beyond| beyond.input < top - 0.1),
        "{beyond:?}"
    );
}
