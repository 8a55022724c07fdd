//! The synthesis of four-bars against textbook problems.

use std::array::from_fn;

use yokewright::linkage::{chebyshev_spacing, freudenstein_ratios, three_point_four_bar};
use yokewright::units::DEG;

use crate::cases::{Case, Cases};

const ROWS: &str = include_str!("synthesis.toml");

fn degrees(case: &Case, key: &str) -> [f64; 3] {
    let text = case.inputs[key].as_str().unwrap();
    let mut numbers = text.split(',').map(|number| number.parse::<f64>().unwrap());
    from_fn(|_| numbers.next().unwrap() * DEG)
}

#[test]
fn spacing() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("chebyshev_x08");
    let x =
        chebyshev_spacing(case.input("x0"), case.input("x1"), case.input("n") as usize).unwrap();
    let y: Vec<f64> = x.iter().map(|x| x.powf(0.8)).collect();
    case.check(&[
        ("x_1", x[0]),
        ("x_2", x[1]),
        ("x_3", x[2]),
        ("y_1", y[0]),
        ("y_2", y[1]),
        ("y_3", y[2]),
    ]);
}

#[test]
fn three_pairs() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("freudenstein_x15_K");
    // The problem is y = x^1.5 from 1 to 4; x turns the crank from 30 to 120 degrees, y the rocker from 90 to 180. The
    // row prints the precision points to 1e-5 degrees and was reckoned from them unrounded.
    let x: [f64; 3] = chebyshev_spacing(1.0, 4.0, 3).unwrap().try_into().unwrap();
    let crank = x.map(|x| (30.0 + 90.0 * (x - 1.0) / 3.0) * DEG);
    let rocker = x.map(|x| (90.0 + 90.0 * (x.powf(1.5) - 1.0) / 7.0) * DEG);
    for (printed, angles) in [
        (degrees(case, "theta_deg"), crank),
        (degrees(case, "phi_deg"), rocker),
    ] {
        for (printed, angle) in printed.iter().zip(angles) {
            assert!((printed - angle).abs() <= 0.5e-5 * DEG * (1.0 + 1e-6));
        }
    }
    let [k1, k2, k3] = freudenstein_ratios(crank, rocker).unwrap();
    let found = three_point_four_bar(crank, rocker, 1.0).unwrap();
    // The row gives a link drawn the other way a negative length.
    let drawn = |length: f64, offset: f64| if offset == 0.0 { length } else { -length };
    case.check(&[
        ("K1", k1),
        ("K2", k2),
        ("K3", k3),
        (
            "input_link",
            drawn(found.linkage.crank(), found.crank_offset),
        ),
        (
            "output_link",
            drawn(found.linkage.rocker(), found.rocker_offset),
        ),
        ("coupler", found.linkage.coupler()),
    ]);
    for i in 0..3 {
        let pose = found
            .linkage
            .pose(crank[i] + found.crank_offset, found.branches[i])
            .unwrap();
        let off = pose.rocker_angle - (rocker[i] + found.rocker_offset);
        // Roundings of lengths a few times the ground.
        assert!((0.5 * off).sin().abs() < 1e-13, "{off}");
    }
}

#[test]
fn inverse_function() {
    let cases = Cases::parse(ROWS);
    let case = cases.get("freudenstein_inv_x_K");
    let x: [f64; 3] = chebyshev_spacing(1.0, 2.0, 3).unwrap().try_into().unwrap();
    // x from 1 to 2 turns the input, 1/x from 1 to 1/2 the output.
    let psi = x.map(|x| (case.input("psi0_deg") + case.input("dpsi_deg") * (x - 1.0)) * DEG);
    let phi =
        x.map(|x| (case.input("phi0_deg") + case.input("dphi_deg") * (1.0 - 1.0 / x) / 0.5) * DEG);
    let [k1, k2, k3] = freudenstein_ratios(psi, phi).unwrap();
    case.check(&[
        ("phi_1_deg", phi[0] / DEG),
        ("phi_2_deg", phi[1] / DEG),
        ("phi_3_deg", phi[2] / DEG),
        ("K1", k1),
        ("K2", k2),
        ("K3", k3),
    ]);
}

#[test]
fn every_row_is_tested() {
    Cases::parse(ROWS).assert_all_used_in(include_str!("synthesis.rs"));
}
