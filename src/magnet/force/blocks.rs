//! Energy, force and torque between two parallel blocks, in closed form, for any polarization of either.
//!
//! # The integrals
//! With u = x' - x from the first block to the second, the interaction of two uniformly polarized bodies is made of
//! derivatives of the twofold volume integral of 1/r. Integrated twice along each of u, v, w, 1/r gives a function
//! f222; between two parallel blocks its values at the 64 differences of corners, with the sign s s' of each axis, are
//! the integral. So
//!
//! | quantity | closed form, summed over the 64 differences with their signs |
//! | --- | --- |
//! | energy | J_k J'_l D_kl / (4 pi mu0) |
//! | force on the second | -J_k J'_l D_mkl / (4 pi mu0) |
//! | torque on it about its center | -e_pqm J_k J'_l (y_q D_mkl - [q /= l] D^q_mkl) / (4 pi mu0) |
//!
//! where D_kl and D_mkl are derivatives of f222, D^q_mkl is integrated once more along q, and y_q is the coordinate of
//! the second block's corner from its center (integration by parts of the lever arm). With indices for the number of
//! integrations along u, v, w:
//!
//! With L_u = asinh(u / sqrt(v^2 + w^2)) and A_u = atan(v w / (u r)), cyclic, and psi and phi as in the paper (Akoun &
//! Yonnet 1984):
//!
//! | paper | here | formula |
//! | --- | --- | --- |
//! | psi, energy | `f220` | u (v^2 - w^2) L_u / 2 + v (u^2 - w^2) L_v / 2 - u v w A_w - r (u^2 + v^2 - 2 w^2) / 6 |
//! | phi_x, phi_y | `f120` | (v^2 - w^2) L_u / 2 + u v L_v - v w A_w - u r / 2 |
//! | - | `f111` | v w L_u + u w L_v + u v L_w - (u^2 A_u + v^2 A_v + w^2 A_w) / 2 |
//! | - | `f211` | u v w L_u + w (u^2/2 - w^2/6) L_v + v (u^2/2 - v^2/6) L_w - u E / 2 - v w r / 3 |
//! | - | `f310` | v (u^2/2 - w^2/4 - v^2/12) L_u + u (u^2/6 - w^2/2) L_v + w (w^2/6 - u^2/2) A_w - 5 u v r / 12 |
//!
//! where E = u^2 A_u / 3 + v^2 A_v + w^2 A_w.
//!
//! Each is exactly the derivative of the next along the axis that differs (f120 = d f220/du, f111 = d f211/du, f210 = d
//! f310/du), which the torque needs. The papers write ln(r - u) for -L_u; the two differ by terms that the sums cancel,
//! and L_u is the one that is odd and loses nothing for u < 0.
//!
//! # Planes and edges that coincide
//! Every logarithm and angle that has no value or jumps (v = w = 0, or w = 0 in A_w) is multiplied by a polynomial that
//! vanishes there, so it counts as zero. That is so because phi_z of the paper, whose u v A_w does jump when two faces
//! meet, is not used: 1/r solves Laplace's equation, so D_mmm = -(D_mnn + D_mkk), and the same holds for D^q.
//!
//! # References
//! G. Akoun and J.-P. Yonnet, 3D analytical calculation of the forces exerted between two cuboidal magnets, IEEE Trans.
//! Magn. 20 (1984) 1962-1964; H. Allag and J.-P. Yonnet, 3-D analytical calculation of the torque and force exerted
//! between two cuboidal magnets, IEEE Trans. Magn. 45 (2009) 3969-3972 (polarizations in any direction, torque).

use nalgebra::{Matrix3, Vector3};

use crate::magnet::Block;
use crate::magnet::force::pair::{Action, FOUR_PI_MU0};

/// How far an element of the rotation may be from 0 or 1 to count as parallel: rounding of a chain of rotations.
const PARALLEL: f64 = 1e-14;

/// Energy (J), and force (N) and torque about its center (N m) on `second`, whose center lies at `offset` and whose
/// axes are turned by `rotation`, in the frame of `first`; with the errors that rounding can cause. `None` if the
/// blocks are not parallel.
pub(in crate::magnet) fn interaction(
    first: &Block,
    second: &Block,
    offset: &Vector3<f64>,
    rotation: &Matrix3<f64>,
) -> Option<Action> {
    let turn = rotation.map(f64::round);
    if (rotation - turn).amax() > PARALLEL {
        return None;
    }
    let a = first.size() * 0.5;
    let b = turn.abs() * second.size() * 0.5;
    let (ja, jb) = (first.polarization(), turn * second.polarization());
    let mut sum = Action::default();
    for corners in 0..64 {
        let side = |bit: usize| {
            if corners >> bit & 1 == 0 { -1.0 } else { 1.0 }
        };
        let s = Vector3::from_fn(|axis, _| side(axis));
        let t = Vector3::from_fn(|axis, _| side(axis + 3));
        let sign = (s.product() * t.product()) / FOUR_PI_MU0;
        let y = t.component_mul(&b);
        let corner = Corner::new(offset + y - s.component_mul(&a));
        corner.add(sign, &ja, &jb, &y, &mut sum);
    }
    // Each of the 64 terms is a sum of a few products, with a few roundings each.
    let rounding = 4.0 * f64::EPSILON;
    sum.energy_error *= rounding;
    sum.force_error *= rounding;
    sum.torque_error *= rounding;
    Some(sum)
}

/// One difference of corners.
struct Corner {
    d: Vector3<f64>,
    r: f64,
    /// L and A by axis, zero where they have no value.
    log: Vector3<f64>,
    angle: Vector3<f64>,
}

impl Corner {
    fn new(d: Vector3<f64>) -> Self {
        let r = d.norm();
        let others = |axis: usize| (d[(axis + 1) % 3], d[(axis + 2) % 3]);
        let log = Vector3::from_fn(|axis, _| {
            let (v, w) = others(axis);
            let across = v.hypot(w);
            if across == 0.0 {
                0.0
            } else {
                (d[axis] / across).asinh()
            }
        });
        let angle = Vector3::from_fn(|axis, _| {
            let (v, w) = others(axis);
            if d[axis] == 0.0 {
                0.0
            } else {
                (v * w / (d[axis] * r)).atan()
            }
        });
        Self { d, r, log, angle }
    }

    fn f220(&self, u: usize, v: usize, w: usize) -> f64 {
        let (x, y, z) = (self.d[u], self.d[v], self.d[w]);
        0.5 * (x * (y * y - z * z) * self.log[u] + y * (x * x - z * z) * self.log[v])
            - x * y * z * self.angle[w]
            - self.r * (x * x + y * y - 2.0 * z * z) / 6.0
    }

    fn f120(&self, u: usize, v: usize, w: usize) -> f64 {
        let (x, y, z) = (self.d[u], self.d[v], self.d[w]);
        0.5 * (y * y - z * z) * self.log[u] + x * y * self.log[v]
            - y * z * self.angle[w]
            - 0.5 * x * self.r
    }

    fn f111(&self) -> f64 {
        let [x, y, z] = self.d.into();
        let products = Vector3::new(y * z, x * z, x * y);
        products.dot(&self.log) - 0.5 * self.d.component_mul(&self.d).dot(&self.angle)
    }

    fn f211(&self, u: usize, v: usize, w: usize) -> f64 {
        let (x, y, z) = (self.d[u], self.d[v], self.d[w]);
        x * y * z * self.log[u]
            + z * (0.5 * x * x - z * z / 6.0) * self.log[v]
            + y * (0.5 * x * x - y * y / 6.0) * self.log[w]
            - x * x * x / 6.0 * self.angle[u]
            - 0.5 * x * (y * y * self.angle[v] + z * z * self.angle[w])
            - y * z * self.r / 3.0
    }

    fn f310(&self, u: usize, v: usize, w: usize) -> f64 {
        let (x, y, z) = (self.d[u], self.d[v], self.d[w]);
        y * (0.5 * x * x - 0.25 * z * z - y * y / 12.0) * self.log[u]
            + x * (x * x / 6.0 - 0.5 * z * z) * self.log[v]
            + z * (z * z / 6.0 - 0.5 * x * x) * self.angle[w]
            - 5.0 / 12.0 * x * y * self.r
    }

    /// D_kl.
    fn second(&self, k: usize, l: usize) -> f64 {
        if k == l {
            self.f220((k + 1) % 3, (k + 2) % 3, k)
        } else {
            self.f211(3 - k - l, k, l)
        }
    }

    /// D_mkl.
    fn third(&self, m: usize, k: usize, l: usize) -> f64 {
        match (m == k, k == l, m == l) {
            (true, true, _) => {
                let (b, c) = ((m + 1) % 3, (m + 2) % 3);
                -(self.third(m, b, b) + self.third(m, c, c))
            }
            (false, false, false) => self.f111(),
            // One index twice: integrated once along the other, twice along the third.
            (true, ..) => self.f120(l, 3 - l - m, m),
            (_, true, _) => self.f120(m, 3 - m - k, k),
            _ => self.f120(k, 3 - k - m, m),
        }
    }

    /// D^q_mkl for q other than m and l.
    fn raised(&self, q: usize, m: usize, k: usize, l: usize) -> f64 {
        let n = 3 - q - m;
        if k == q {
            return self.second(m, l);
        }
        match usize::from(k == n) + usize::from(l == n) {
            0 => -(self.second(m, q) + self.f310(q, m, n)),
            1 => self.f310(q, n, m),
            _ => self.f310(q, m, n),
        }
    }

    fn add(
        &self,
        sign: f64,
        ja: &Vector3<f64>,
        jb: &Vector3<f64>,
        y: &Vector3<f64>,
        sum: &mut Action,
    ) {
        // The largest that a product of a polynomial and a logarithm or angle can get.
        let scale = sign.abs() * ja.norm() * jb.norm() * (2.0 + self.log.amax()) * self.r * self.r;
        sum.energy_error += scale * self.r;
        sum.force_error += scale;
        sum.torque_error += scale * (self.r + y.norm());
        for (k, l) in (0..3).flat_map(|k| (0..3).map(move |l| (k, l))) {
            let product = sign * ja[k] * jb[l];
            if product == 0.0 {
                continue;
            }
            sum.energy += product * self.second(k, l);
            for m in 0..3 {
                let third = self.third(m, k, l);
                sum.force[m] -= product * third;
                // e_pqm: q = m + 1 goes with p = m + 2 (and sign -1), q = m + 2 with p = m + 1.
                for (q, p, turn) in [
                    ((m + 1) % 3, (m + 2) % 3, -1.0),
                    ((m + 2) % 3, (m + 1) % 3, 1.0),
                ] {
                    let mut lever = y[q] * third;
                    if q != l {
                        lever -= self.raised(q, m, k, l);
                    }
                    sum.torque[p] -= turn * product * lever;
                }
            }
        }
    }
}
