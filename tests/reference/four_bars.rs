//! The planar four-bar against textbook problems.

use yokewright::linkage::{Branch, FourBar};
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
        Branch::BOTH.map(|branch| bar.pose(case.input("theta2_deg") * DEG, branch).unwrap());
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
