//! The planar four-bar against textbook problems.

use yokewright::linkage::{Branch, FourBar, FourBarClass, TRANSMISSION_GOOD, TRANSMISSION_LIMIT};
use yokewright::units::{DEG, MM};

use crate::cases::{Case, Cases};

const ROWS: &str = include_str!("four_bars.toml");

fn four_bar(case: &Case) -> FourBar {
    let [ground, crank, coupler, rocker] =
        ["d_mm", "a_mm", "b_mm", "c_mm"].map(|key| case.input(key) * MM);
    FourBar::new(ground, crank, coupler, rocker).unwrap()
}

#[test]
fn position() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("norton_4_1");
    let bar = four_bar(case);
    let [open, crossed] =
        Branch::ALL.map(|branch| bar.pose(case.input("theta2_deg") * DEG, branch).unwrap());
    case.check(&[
        ("theta3_open_deg", open.coupler_angle / DEG),
        ("theta4_open_deg", open.rocker_angle / DEG),
        ("theta3_crossed_deg", crossed.coupler_angle / DEG),
        ("theta4_crossed_deg", crossed.rocker_angle / DEG),
    ]);
}

#[test]
fn link_ratios() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("norton_4_1_K");
    let [k1, k2, k3] = four_bar(case).freudenstein();
    case.check(&[("K1", k1), ("K2", k2), ("K3", k3)]);
}

#[test]
fn extreme_transmission_angles() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("norton_mu_limits");
    let bar = four_bar(case);
    let at = |degrees: f64| {
        let pose = bar.pose(degrees * DEG, Branch::Open).unwrap();
        pose.transmission_angle / DEG
    };
    case.check(&[
        ("mu_theta2_0_deg", at(0.0)),
        ("mu_theta2_180_deg", at(180.0)),
    ]);
}

#[test]
fn angular_velocities() {
    let cases = Cases::parse(ROWS);
    for (id, branch) in [
        ("norton_6_7", Branch::Open),
        ("norton_6_7_crossed", Branch::Crossed),
    ] {
        let case = cases.get(id);
        let theta = case.input("theta2_deg") * DEG;
        let motion = four_bar(case)
            .motion(theta, branch, case.input("omega2_rad_s"), 0.0)
            .unwrap();
        case.check(&[
            ("omega3_rad_s", motion.coupler_velocity),
            ("omega4_rad_s", motion.rocker_velocity),
        ]);
    }
}

#[test]
fn grashof_condition() {
    let cases = Cases::parse(ROWS);
    for (id, class) in [
        ("grashof_crank_rocker", FourBarClass::CrankRocker),
        ("grashof_non_grashof", FourBarClass::TripleRocker),
        ("grashof_special", FourBarClass::ChangePoint),
    ] {
        let case = cases.get(id);
        // The shortest as the crank.
        let [crank, coupler, rocker, ground] =
            ["s_mm", "l_mm", "p_mm", "q_mm"].map(|key| case.input(key) * MM);
        let grashof = FourBar::new(ground, crank, coupler, rocker)
            .unwrap()
            .grashof();
        assert_eq!(grashof.class, class);
        let kind = match class {
            FourBarClass::TripleRocker => "non-Grashof",
            FourBarClass::ChangePoint => "special Grashof",
            _ => "Grashof",
        };
        assert_eq!(case.expected["kind"].as_str(), Some(kind));
        // Lengths in m are rounded.
        let margin = case.expected("margin_mm");
        assert!((grashof.margin / MM - margin).abs() <= case.rel_tol * margin.abs());
    }
}

#[test]
fn transmission_guideline() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("transmission_guideline");
    // The library folds the angle to 0 to 90 degrees; what exceeds a right angle is as far from it the other way.
    let folded = |key: &str| 90.0 - (case.expected(key) - 90.0).abs();
    for key in ["min_deg", "max_deg"] {
        assert!((TRANSMISSION_LIMIT / DEG - folded(key)).abs() < 1e-12);
    }
    for key in ["good_min_deg", "good_max_deg"] {
        assert!((TRANSMISSION_GOOD / DEG - folded(key)).abs() < 1e-12);
    }
}

#[test]
fn every_row_is_tested() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("four_bars.rs"));
}
