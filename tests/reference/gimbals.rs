//! Universal joints and gimbals against published figures.

use std::f64::consts::TAU;

use nalgebra::{Point3, Vector3};
use yokewright::linkage::{Gimbal, GimbalSpec, Pivot, UniversalJoint};
use yokewright::units::{DEG, MM};

use crate::cases::Cases;

const ROWS: &str = include_str!("gimbals.toml");

#[test]
fn every_row_is_used() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("gimbals.rs"));
}

fn joint(bend: f64) -> UniversalJoint {
    UniversalJoint::new(bend, 0.0).unwrap()
}

#[test]
fn universal_joint_angles() {
    let rows = Cases::parse(ROWS);
    for id in [
        "hooke_angle_15",
        "hooke_angle_30",
        "hooke_angle_45",
        "hooke_angle_60",
    ] {
        let case = rows.get(id);
        let out = joint(case.input("bend_deg") * DEG).transfer(case.input("gamma1_deg") * DEG);
        case.check(&[("gamma2_deg", out.unwrap().angle / DEG)]);
    }
}

#[test]
fn universal_joint_ratios() {
    let rows = Cases::parse(ROWS);

    let case = rows.get("hooke_30");
    let [min, max] = joint(case.input("shaft_angle_deg") * DEG).ratio_range();
    case.check(&[("ratio_min", min), ("ratio_max", max)]);

    let case = rows.get("hooke_speed_limits");
    let [min, max] = joint(case.input("shaft_angle_deg") * DEG).ratio_range();
    let rpm = case.input("driver_rpm");
    case.check(&[("min_rpm", min * rpm), ("max_rpm", max * rpm)]);

    let case = rows.get("hooke_unity");
    let unity = joint(case.input("shaft_angle_deg") * DEG).unit_ratio_angle();
    case.check(&[("theta_deg", unity / DEG)]);
}

#[test]
fn universal_joint_acceleration() {
    let rows = Cases::parse(ROWS);
    let case = rows.get("hooke_khurmi");
    let bend = case.input("shaft_angle_deg") * DEG;
    let joint = joint(bend);
    let speed = case.input("driver_rpm") * TAU / 60.0;
    let inertia = case.input("mass_kg") * (case.input("radius_gyration_mm") * MM).powi(2);
    let (fork, curvature) = joint.max_curvature();
    let acceleration = curvature * speed.powi(2);
    // The book's place is that of an approximate rule, as the note says.
    let s = bend.sin().powi(2);
    let rule = 2.0 * s / (2.0 - s);
    case.check(&[
        ("cos_2theta", rule),
        ("alpha_max_rad_s2", acceleration),
        ("torque_Nm", acceleration * inertia),
    ]);
    // The note's exact figures, to the digits it prints.
    assert!((fork / DEG - 41.459).abs() < 5e-4);
    assert!((acceleration - 3083.40).abs() < 5e-3);
    let there = -joint.transfer(0.5 * rule.acos()).unwrap().curvature;
    assert!(there < curvature && curvature - there < 1e-6 * curvature);
}

#[test]
fn gimbal_tilt() {
    let rows = Cases::parse(ROWS);
    let case = rows.get("gimbal_tilt");
    let gimbal = Gimbal::new(GimbalSpec {
        outer: Pivot::new(Point3::origin(), Vector3::y()).unwrap(),
        inner: Pivot::new(Point3::origin(), Vector3::x()).unwrap(),
        stick: vec![Point3::origin(), Point3::new(0.0, 0.0, 0.4)],
        stick_radius: 0.0,
        grip_radius: 0.0,
    })
    .unwrap();
    let tilt = gimbal.tilt(case.input("pitch_deg") * DEG, case.input("roll_deg") * DEG);
    case.check(&[("tilt_deg", tilt.unwrap() / DEG)]);
}
