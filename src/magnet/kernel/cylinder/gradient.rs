//! The gradient of the field of cylinder and ring.
//!
//! # The quantity
//! As for the block, dB_i/dx_j = T_ijk J_k with a tensor T that is symmetric in all indices and has trace 0, here the third derivatives
//! of a potential that depends on rho and z alone. In the directions rho, phi, z (r, p, z below) only T_rrr, T_rrz, T_rzz, T_zzz, T_rpp and
//! T_ppz are not zero, and the traces T_rrr + T_rpp + T_rzz and T_rrz + T_ppz + T_zzz are; so four functions serve every
//! direction of polarization. From the elements of M (head of the module above),
//!
//! T_ppz = M_rz / rho,  T_rpp = (M_rr - M_pp) / rho = d M_pp / d rho,  T_rzz = d M_rz / dz,  T_zzz = d M_zz / dz,
//!
//! the last two being the field of two loops of current, one at each end.
//!
//! # The form used
//! Everywhere but close to a rim, the integral over the azimuth at equally spaced nodes, as in `exact` (whose
//! head explains Q, its forms and the mean <>). Differentiated there, with C_n = 1/R1^n - 1/R2^n in exact form,
//!
//! T_ppz = a^2 / 2 <sin^2 C_3>,  T_zzz = a^2 / 2 <3 rho^2 sin^2 C_5 - C_3>,  T_rzz = 3 a^2 rho / 2 <sin^2 (zeta2 / R2^5 - zeta1 / R1^5)>,
//! T_rpp = -a^2 <sin^2 (rho - a cos) Q'> = -a^2 rho <sin^2 Q' + (2 a^2 / 3) sin^4 Q''>,
//!
//! the last form (the other one integrated by parts) near the axis, where it keeps the factor rho.
//!
//! Close to a rim the elliptic integrals: T_ppz and T_rpp from S, N and T of each end, which are tame there, and the loop
//! (W. R. Smythe, Static and Dynamic Electricity, 3rd ed., McGraw-Hill 1968, sec. 7.10), with alpha and q the least and the greatest distance,
//!
//! B_z = [(a^2 - rho^2 - zeta^2) E + alpha^2 K] / (2 pi alpha^2 q),  B_rho = zeta [(a^2 + rho^2 + zeta^2) E - alpha^2 K] / (2 pi alpha^2 q rho).

use std::f64::consts::{LN_2, PI};
use std::sync::LazyLock;

use nalgebra::{Matrix3, Point3};

use crate::magnet::kernel::cylinder::exact::{Form, Mantle, Place, Radius};
use crate::magnet::kernel::cylinder::field::{Placed, dot, end, locate};
use crate::numeric::elliptic::{self, integrals};
use crate::numeric::pair::{Pair, Real};

/// The gradient at one point, in the frame of the query; NaN on a rim.
pub(in crate::magnet) fn gradient(placed: &Placed, point: &Point3<f64>) -> Matrix3<f64> {
    let p = placed.local([point.x, point.y, point.z]);
    let (place, unit) = locate(placed, p);
    if place.is_on_rim() {
        return Matrix3::repeat(f64::NAN);
    }
    let t = third_derivatives(&place);
    let (rrr, rrz) = (-(t.rpp + t.rzz), -(t.ppz + t.zzz));
    // The point was folded to z >= 0: once for each index z.
    let sign = 1f64.copysign(p[2]);
    let [jx, jy, jz] = placed.polarization;
    let (radial, around) = (jx * unit[0] + jy * unit[1], jy * unit[0] - jx * unit[1]);
    let axial = jz * sign;
    let rr = rrr * radial + rrz * axial;
    let pp = t.rpp * radial + t.ppz * axial;
    let zz = t.rzz * radial + t.zzz * axial;
    let rp = t.rpp * around;
    let rz = (rrz * radial + t.rzz * axial) * sign;
    let pz = t.ppz * around * sign;
    // From rho and phi to x and y, then to the frame of the query.
    let [c, s] = unit;
    let xx = rr * c * c - 2.0 * rp * c * s + pp * s * s;
    let yy = rr * s * s + 2.0 * rp * c * s + pp * c * c;
    let xy = (rr - pp) * c * s + rp * (c * c - s * s);
    let (xz, yz) = (rz * c - pz * s, rz * s + pz * c);
    let local = [[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]];
    let [a, b, c] = placed.axes;
    let rows = [0, 1, 2].map(|i| [a[i], b[i], c[i]]);
    let element = |i: usize, j: usize| {
        let half = local.map(|row| dot::<false>(row, rows[j]));
        dot::<false>(rows[i], half)
    };
    let [xx, xy, xz] = [element(0, 0), element(0, 1), element(0, 2)];
    let [yy, yz, zz] = [element(1, 1), element(1, 2), element(2, 2)];
    Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz)
}

/// The elements of T that the others follow from.
#[derive(Debug, Clone, Copy)]
struct Third<T = f64> {
    zzz: T,
    rzz: T,
    ppz: T,
    rpp: T,
}

impl Third {
    fn minus(self, other: Self) -> Self {
        Self {
            zzz: self.zzz - other.zzz,
            rzz: self.rzz - other.rzz,
            ppz: self.ppz - other.ppz,
            rpp: self.rpp - other.rpp,
        }
    }
}

impl<T: Real> Third<T> {
    fn map(self, f: impl Fn(T) -> f64) -> Third {
        Third {
            zzz: f(self.zzz),
            rzz: f(self.rzz),
            ppz: f(self.ppz),
            rpp: f(self.rpp),
        }
    }
}

fn third_derivatives(place: &Place) -> Third {
    let outer = place.outer;
    let Some(inner) = place.inner else {
        return of_mantle(outer, place);
    };
    // A thick wall gains nothing from a pair, and its two radii may suit different forms.
    let thin = 2.0 * inner.a > outer.a;
    thin.then(|| of_thin_wall(inner, outer, place))
        .flatten()
        .unwrap_or_else(|| of_mantle(outer, place).minus(of_mantle(inner, place)))
}

/// A solid cylinder of the radius of this mantle.
fn of_mantle(mantle: Mantle, place: &Place) -> Third {
    match plan(mantle.a, mantle.excess, place) {
        Some((form, rule)) => {
            let mut t = sum(form, rule, mantle.a, mantle.excess, 0.0, place);
            if form == Form::Long && mantle.side < 0.0 {
                t.rpp += mantle.a * mantle.a / place.rho.powi(3);
            }
            t
        }
        None => elliptic(mantle.a, mantle.excess, mantle.side, 0.0, place),
    }
}

/// Both radii as a pair; none so close to one of the rims that the other is far in comparison.
fn of_thin_wall(inner: Mantle, outer: Mantle, place: &Place) -> Option<Third> {
    let wall = outer.a - inner.a;
    let pair = |first: f64, second: f64, slope: f64| Pair {
        first,
        second,
        slope,
    };
    let a = pair(inner.a, outer.a, 1.0);
    let excess = pair(inner.excess, outer.excess, -1.0);
    if let Some((form, rule)) = plan(outer.a, excess, place) {
        let mut t = sum(form, rule, a, excess, wall, place);
        if form == Form::Long {
            // What is elementary of outer less inner.
            let squares = if outer.excess >= 0.0 {
                wall * (outer.a + inner.a)
            } else if inner.excess > 0.0 {
                -inner.a * inner.a
            } else {
                0.0
            };
            if squares != 0.0 {
                t.rpp += squares / place.rho.powi(3);
            }
        }
        return Some(t);
    }
    let side = pair(inner.side, outer.side, (outer.side - inner.side) / wall);
    (nearest(excess, place) >= wall).then(|| elliptic(a, excess, side, wall, place))
}

/// Equally spaced nodes over the azimuth: squares of sin(theta / 2) and sin(theta) at half of them; the other half is the mirror image.
struct Rule {
    nodes: Vec<[f64; 2]>,
    /// The least cosh(beta) - 1 for which the rule is exact to the last bit.
    least: f64,
}

/// Even numbers of nodes. Beyond the last, the elliptic form is the better one.
const COUNTS: [usize; 12] = [10, 12, 16, 20, 24, 32, 48, 64, 96, 128, 192, 256];

static RULES: LazyLock<[Rule; COUNTS.len()]> = LazyLock::new(|| {
    COUNTS.map(|count| {
        // Midpoints: the same accuracy, and all nodes weigh the same.
        let node = |j: usize| {
            let theta = (2 * j + 1) as f64 * (PI / count as f64);
            [(0.5 * theta).sin().powi(2), theta.sin().powi(2)]
        };
        // As for the field, exp(0.9) n^1.4 exp(-(n - 2) beta), with two more powers of R and of sin^2: n^2 and n - 4.
        let n = count as f64;
        let beta = (55.0 * LN_2 + 0.9 + 3.4 * n.ln()) / (n - 4.0);
        Rule {
            nodes: (0..count / 2).map(node).collect(),
            least: beta.cosh() - 1.0,
        }
    })
});

/// `largest` is the largest radius.
fn plan<T: Radius>(largest: f64, excess: T, place: &Place) -> Option<(Form, &'static Rule)> {
    let [near, far] = place.zeta;
    let square = (excess * excess).least();
    let half = 0.5 * (far - near);
    let (form, height) = if near >= 0.0 {
        (Form::Beyond, near)
    } else if square >= half * half {
        (Form::Flat, 0.0)
    } else {
        (Form::Long, near)
    };
    // Of a pair the smaller square with the larger radius: no rule that is enough for that is too short for either.
    let x = (square + height * height) / (2.0 * largest * place.rho);
    let rule = RULES.iter().find(|rule| x >= rule.least)?;
    Some((form, rule))
}

/// Distance from the nearest rim.
fn nearest<T: Radius>(excess: T, place: &Place) -> f64 {
    (excess * excess).least().sqrt().hypot(place.zeta[0])
}

/// The mean over the nodes. Of [`Form::Long`] the elementary part of T_rpp is left out.
fn sum<T: Radius>(form: Form, rule: &Rule, a: T, excess: T, wall: f64, place: &Place) -> Third {
    let zero = T::constant(0.0);
    let (mut zzz, mut rzz, mut ppz, mut rpp) = (zero, zero, zero, zero);
    let (rho, [near, far], step) = (place.rho, place.zeta, place.step);
    // zeta2 - zeta1 = 2 h, which far above the magnet only the step still knows.
    let length = if near > 0.0 {
        step / (near + far)
    } else {
        far - near
    };
    let near_axis = 2.0 * rho < a.least();
    for &[half_sine2, sine2] in &rule.nodes {
        let s2 = excess * excess + a * (4.0 * rho * half_sine2);
        let (r1, r2) = ((s2 + near * near).sqrt(), (s2 + far * far).sqrt());
        let product = (r1 * r2).reciprocal();
        let (i1, i2) = (product * r2, product * r1);
        let (i11, i22) = (i1 * i1, i2 * i2);
        // C_3 and C_5 over R2^2 - R1^2: with x^n - y^n = (x - y)(x^(n-1) + ... + y^(n-1))
        let one = product * (r1 + r2).reciprocal();
        let sum = i11 + i22;
        let cubes = one * (sum + product);
        let fifths = one * (i11 * i11 + i22 * i22 + product * (sum + product));
        zzz = zzz + fifths * (3.0 * rho * rho * sine2) - cubes;
        rzz = rzz + (i22 * i22 * i2 * length - fifths * (near * step)) * sine2;
        ppz = ppz + cubes * sine2;
        let [slope, bend] = slopes(form, place, s2, [r1, r2], [i1, i2]);
        rpp = rpp
            + if near_axis {
                (slope - a * a * bend * (2.0 / 3.0 * sine2)) * (rho * sine2)
            } else {
                (excess + a * (2.0 * half_sine2)) * slope * sine2
            };
    }
    let mean = a * a * (1.0 / rule.nodes.len() as f64);
    let sign = if form == Form::Long { -1.0 } else { 1.0 };
    Third {
        zzz: (mean * zzz).whole(wall) * (0.5 * step),
        rzz: (mean * rzz).whole(wall) * (1.5 * rho),
        ppz: (mean * ppz).whole(wall) * (0.5 * step),
        rpp: (mean * rpp).whole(wall) * sign,
    }
}

/// -Q' and Q'' at one node; every term is positive.
fn slopes<T: Real>(form: Form, place: &Place, s2: T, [r1, r2]: [T; 2], [i1, i2]: [T; 2]) -> [T; 2] {
    let [near, far] = place.zeta;
    let (i11, i22) = (i1 * i1, i2 * i2);
    match form {
        Form::Beyond => {
            let cross = (r1 * far + r2 * near).reciprocal();
            let q = i1 * i2 * cross * place.step;
            let ends = (i1 * far + i2 * near) * cross;
            let cubes = (i1 * i11 * far + i2 * i22 * near) * cross;
            let rate = i11 + i22 + ends;
            let slope = q * rate * 0.5;
            let change = i11 * i11 + i22 * i22 + (cubes + ends * ends) * 0.5;
            [slope, (slope * rate + q * change) * 0.5]
        }
        Form::Flat => {
            let inverse_s2 = s2.reciprocal();
            let (one, two) = (i1 * -near, i2 * far);
            let q = (one + two) * inverse_s2;
            let (one, two) = (one * i11, two * i22);
            let slope = (q + (one + two) * 0.5) * inverse_s2;
            let fifths = one * i11 + two * i22;
            [slope, (slope * 2.0 + fifths * 0.75) * inverse_s2]
        }
        Form::Long => {
            let end = |i: T, i_squared: T, r: T, zeta: f64| {
                let q = i * (r + zeta.abs()).reciprocal();
                let slope = q * (i_squared + q) * 0.5;
                let bend = slope * (i_squared + q * 2.0) + q * i_squared * i_squared;
                [slope, bend * 0.5]
            };
            let (one, two) = (end(i1, i11, r1, near), end(i2, i22, r2, far));
            [one[0] + two[0], one[1] + two[1]]
        }
    }
}

/// By elliptic integrals: one end less the other, as they are or, from a distance, as a pair.
fn elliptic<T: Radius>(a: T, excess: T, side: T, wall: f64, place: &Place) -> Third {
    let nearest = nearest(excess, place);
    let [near, far] = place.zeta;
    let length = far - near;
    // kc is at least half of this. One step more than for a value: a difference settles later.
    let steps = elliptic::steps(nearest / (4.0 * place.outer.a)) + 1;
    if nearest < length {
        let end = |zeta: f64| {
            of_end(steps, a, excess, side, place.rho, T::constant(zeta))
                .map(|element| element.whole(wall))
        };
        return end(far).minus(end(near));
    }
    let zeta = Pair {
        first: T::constant(near),
        second: T::constant(far),
        slope: T::constant(1.0),
    };
    let (a, excess, side) = (Pair::same(a), Pair::same(excess), Pair::same(side));
    of_end(steps, a, excess, side, place.rho, zeta)
        .map(|element| element.slope.whole(wall) * length)
}

fn of_end<T: Real>(steps: usize, a: T, excess: T, side: T, rho: f64, zeta: T) -> Third<T> {
    let of_field = end::<false, T>(steps, a, excess, side, rho, zeta);
    let width = a + rho;
    let zeta2 = zeta * zeta;
    let (far2, near2) = (width * width + zeta2, excess * excess + zeta2);
    let inverse_far = far2.sqrt().reciprocal();
    let k2 = a * inverse_far * inverse_far * (4.0 * rho);
    let kc = near2.sqrt() * inverse_far;
    let one = T::constant(1.0);
    let cel = integrals::<false, T>(steps, kc, k2, one, one, one);
    let (k, d) = (cel.first_kind, cel.difference);
    // E is the integral of (cos^2 + kc^2 sin^2) over the root.
    let e = (k - d + kc * kc * (k + d)) * 0.5;
    let scale = near2.reciprocal() * inverse_far * 0.25;
    let near_k = near2 * k;
    Third {
        zzz: scale * (near_k - (excess * width + zeta2) * e),
        rzz: scale * zeta * ((far2 + near2) * e * 0.5 - near_k) * (1.0 / rho),
        ppz: of_field.radial * (-1.0 / rho),
        rpp: (of_field.around * 2.0 - of_field.axial) * (1.0 / rho),
    }
}
