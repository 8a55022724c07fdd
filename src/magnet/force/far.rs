//! Energy, force and torque between magnets that are far apart, as between two clouds of dipoles.
//!
//! The charges of opposite faces nearly cancel at a distance; dipoles have nothing to cancel. Each magnet is cut by a
//! Gauss rule into dipoles, and the closed formulas for two dipoles are summed: the error falls by the square of (size
//! / distance) for each further node along an axis. (A sphere is exactly one dipole, at any distance: `sphere`.)
//!
//! # References
//! K. W. Yung, P. B. Landecker and D. D. Villani, An analytic solution for the force between two magnetic dipoles,
//! Magn. Electr. Sep. 9 (1998) 39-52.

use std::f64::consts::{PI, TAU};

use nalgebra::{Isometry3, Vector3};

use crate::magnet::Magnet;
use crate::magnet::force::pair::{Action, FOUR_PI_MU0};
use crate::numeric::quadrature::gauss_legendre;

/// Centers at least this many times the sum of the two radii apart are far.
const FAR: f64 = 6.0;
/// What the rules are chosen for, as a share of the force.
const ACCURACY: f64 = 1e-13;
/// Error of the sum over all pairs of dipoles, as a share of the sum of the absolute values.
const ROUNDING: f64 = 32.0 * f64::EPSILON;

/// Energy (J), and force (N) and torque about its center (N m) on `second`, which stands at `relative` in the frame of
/// `first`; `None` if the two are too close for it.
pub(in crate::magnet) fn interaction(
    first: &Magnet,
    second: &Magnet,
    relative: &Isometry3<f64>,
) -> Option<Action> {
    let center = relative.translation.vector;
    let distance = center.norm();
    if distance < FAR * (first.radius() + second.radius()) {
        return None;
    }
    let sources = cloud(first, distance - second.radius());
    let targets = cloud(second, distance - first.radius());
    let ja = first.polarization();
    let jb = relative.rotation * second.polarization();
    let (mut sum, mut strength) = (Action::default(), 0.0);
    for (at, wb) in &targets {
        let arm = relative.rotation * at;
        for (from, wa) in &sources {
            let d = center + arm - from;
            let r2 = d.norm_squared();
            let r = r2.sqrt();
            let n = d / r;
            let (an, bn, ab) = (ja.dot(&n), jb.dot(&n), ja.dot(&jb));
            let weight = wa * wb / (FOUR_PI_MU0 * r2 * r);
            let field = weight * (3.0 * an * n - ja);
            let force = (3.0 * weight / r) * (an * jb + bn * ja + (ab - 5.0 * an * bn) * n);
            sum.energy -= jb.dot(&field);
            sum.force += force;
            sum.torque += jb.cross(&field) + arm.cross(&force);
            strength += weight;
        }
    }
    // The force between two dipoles lies between 3 and 6 (times weight / r), their energy and torque below 2.
    strength *= ja.norm() * jb.norm();
    let error = ROUNDING + ACCURACY;
    sum.energy_error = 2.0 * error * strength;
    sum.force_error = 6.0 * error * strength / distance;
    sum.torque_error = 2.0 * error * strength * (1.0 + 3.0 * second.radius() / distance);
    Some(sum)
}

/// Nodes that keep the error below `ACCURACY` for a body reaching `half` to either side, with the other body's nearest
/// point at `distance` from the center.
///
/// The error of the Gauss rule is below (64 / 15) M rho^(-2 n) / 2 of the force, where M bounds the integrand on the
/// ellipse, with foci at the ends, whose half axes sum to rho (times `half`). The one that reaches to 0.6 of the
/// distance has M = (1 - 0.6)^(-4) for the force between dipoles: together 83.
fn nodes(half: f64, distance: f64) -> usize {
    let ratio = distance / half;
    let rho = 0.6 * (ratio + (ratio * ratio - 1.0).sqrt());
    (((83.0 / ACCURACY).ln() / (2.0 * rho.ln())).ceil() as usize).max(2)
}

/// Positions and volumes of the dipoles, in the magnet's own frame.
fn cloud(magnet: &Magnet, distance: f64) -> Vec<(Vector3<f64>, f64)> {
    match magnet {
        Magnet::Block(block) => {
            let half = block.size() * 0.5;
            let [x, y, z] = [0, 1, 2].map(|axis| gauss_legendre(nodes(half[axis], distance)));
            let mut cloud = Vec::with_capacity(x.len() * y.len() * z.len());
            for (x, wx) in &x {
                for (y, wy) in &y {
                    cloud.extend(z.iter().map(|(z, wz)| {
                        let at = Vector3::new(*x, *y, *z).component_mul(&half);
                        (at, wx * wy * wz * half.product())
                    }));
                }
            }
            cloud
        }
        Magnet::Cylinder(c) => round([0.0, 0.5 * c.diameter()], 0.5 * c.length(), distance),
        Magnet::Ring(r) => {
            let radii = [0.5 * r.inner_diameter(), 0.5 * r.outer_diameter()];
            round(radii, 0.5 * r.length(), distance)
        }
        Magnet::Sphere(_) => vec![(Vector3::zeros(), magnet.volume())],
    }
}

/// Gauss in the square of the radius and in the height, evenly spaced in the angle.
fn round(radii: [f64; 2], half: f64, distance: f64) -> Vec<(Vector3<f64>, f64)> {
    let across = nodes(radii[1], distance);
    let heights = gauss_legendre(nodes(half, distance));
    // A polynomial of degree 2 n - 1 across is one of degree n - 1 in the square of the radius, once averaged over the
    // angle.
    let rings = gauss_legendre(across.div_ceil(2));
    let turns = 2 * across;
    let [low, high] = radii.map(|radius| radius * radius);
    let mut cloud = Vec::with_capacity(rings.len() * turns * heights.len());
    for (s, ws) in &rings {
        let rho = (0.5 * (low + high + s * (high - low))).sqrt();
        // Half the change of rho^2 times the change of angle.
        let area = 0.25 * (high - low) * ws * TAU / turns as f64;
        for k in 0..turns {
            let angle = PI * (2 * k) as f64 / turns as f64;
            cloud.extend(heights.iter().map(|(z, wz)| {
                let at = Vector3::new(rho * angle.cos(), rho * angle.sin(), z * half);
                (at, area * wz * half)
            }));
        }
    }
    cloud
}
