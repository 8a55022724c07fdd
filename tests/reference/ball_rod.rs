//! Ball-joint rods against closed forms worked elsewhere.

use nalgebra::{Point3, Vector3};
use yokewright::linkage::{Arm, Assembly, BallRod};
use yokewright::units::{DEG, MM};

use crate::cases::{Case, Cases};

const ROWS: &str = include_str!("ball_rod.toml");

fn arm(pivot: Point3<f64>, direction: Vector3<f64>, radius: Vector3<f64>) -> Arm {
    Arm::new(pivot, direction, pivot + radius).unwrap()
}

/// Fails unless the two output angles, counted from `zero` (rad) for both pivots, are the two expected, in either
/// order.
fn check(case: &Case, rod: &BallRod, zero: f64, keys: [&str; 2]) {
    let input = case.input("theta2_deg") * DEG - zero;
    let expected = keys.map(|key| case.expected(key));
    let mut got = Assembly::ALL.map(|assembly| {
        let angle = (rod.output_angle(input, assembly).unwrap() + zero) / DEG;
        // By whole turns to the nearer of the two.
        let turns = expected.map(|value| ((value - angle) / 360.0).round() * 360.0 + angle);
        let away = |i: usize| (turns[i] - expected[i]).abs();
        if away(0) < away(1) {
            (0, turns[0])
        } else {
            (1, turns[1])
        }
    });
    got.sort_by_key(|(number, _)| *number);
    assert_eq!(
        got.map(|(number, _)| number),
        [0, 1],
        "{}: two roots",
        case.id
    );
    case.check(&[(keys[0], got[0].1), (keys[1], got[1].1)]);
}

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("ball_rod.rs"));
}

#[test]
fn axes_square_to_each_other() {
    let cases = Cases::parse(ROWS);
    for id in [
        "rssr_perp_0",
        "rssr_perp_20",
        "rssr_perp_120",
        "rssr_perp_200",
    ] {
        let case = cases.get(id);
        let length = |key: &str| case.input(key) * MM;
        let pivot = Point3::new(length("O4_x_mm"), length("O4_y_mm"), length("O4_z_mm"));
        let crank = arm(
            Point3::origin(),
            Vector3::z(),
            Vector3::x() * length("r2_mm"),
        );
        let rocker = arm(pivot, Vector3::y(), Vector3::z() * length("r4_mm"));
        let rod = BallRod::new(crank, rocker)
            .unwrap()
            .with_rod_length(length("coupler_mm"))
            .unwrap();
        check(case, &rod, 0.0, ["theta4_a_deg", "theta4_b_deg"]);
    }
}

/// Also with the pivots' points and the two planes shifted along the parallel axes by the same amount.
#[test]
fn parallel_axes_make_a_planar_four_bar() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("rssr_planar_limit");
    let length = |key: &str| case.input(key) * MM;
    let crank = arm(
        Point3::origin(),
        Vector3::z(),
        Vector3::x() * length("a_mm"),
    );
    let ground = Point3::new(length("d_mm"), 0.0, 0.0);
    let rocker = arm(ground, Vector3::z(), Vector3::x() * length("c_mm"));
    // Arms along the ground line: the angles count from there. A rod of that distance would lie in line with both arms,
    // so they are given turned, and the turn is taken off again.
    let turned = |arm: &Arm| {
        Arm::new(
            arm.pivot(),
            arm.direction(),
            arm.joint_at(90.0 * DEG).unwrap(),
        )
        .unwrap()
    };
    let rod = BallRod::new(turned(&crank), turned(&rocker))
        .unwrap()
        .with_rod_length(length("b_mm"))
        .unwrap();
    check(
        case,
        &rod,
        90.0 * DEG,
        ["theta4_open_deg", "theta4_crossed_deg"],
    );
}
