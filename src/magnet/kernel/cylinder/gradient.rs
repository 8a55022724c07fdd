//! The gradient of the field of cylinder and ring.
//!
//! # The quantity
//! As for the block, dB_i/dx_j = T_ijk J_k with a tensor T that is symmetric in all indices and has trace 0, here the
//! third derivatives of a potential that depends on rho and z alone. In the directions rho, phi, z (r, p, z below)
//! only T_rrr, T_rrz, T_rzz, T_zzz, T_rpp and T_ppz are not zero, and the traces T_rrr + T_rpp + T_rzz and T_rrz +
//! T_ppz + T_zzz are; so four functions serve every direction of polarization. From the elements of M (head of the
//! module above),
//!
//! T_ppz = M_rz / rho,  T_rpp = (M_rr - M_pp) / rho = d M_pp / d rho,  T_rzz = d M_rz / dz,  T_zzz = d M_zz / dz,
//!
//! the last two being the field of two loops of current, one at each end.
//!
//! # The forms used
//! At one point, everywhere but close to a rim, the integral over the azimuth at equally spaced nodes, as in `exact`
//! (whose head explains Q, its forms and the mean <>). Differentiated there, with C_n = 1/R1^n - 1/R2^n in exact form,
//!
//! T_ppz = a^2 / 2 <sin^2 C_3>,  T_zzz = a^2 / 2 <3 rho^2 sin^2 C_5 - C_3>,
//!
//! T_rzz = 3 a^2 rho / 2 <sin^2 (zeta2 / R2^5 - zeta1 / R1^5)>,
//!
//! T_rpp = -a^2 <sin^2 (rho - a cos) Q'> = -a^2 rho <sin^2 Q' + (2 a^2 / 3) sin^4 Q''>,
//!
//! the last form (the other one integrated by parts) near the axis, where it keeps the factor rho.
//!
//! Close to a rim the elliptic integrals: T_ppz and T_rpp from S, N and T of each end, which are tame there, and the
//! loop (W. R. Smythe, Static and Dynamic Electricity, 3rd ed., McGraw-Hill 1968, sec. 7.10), with alpha and q the
//! least and the greatest distance,
//!
//! B_z = [(a^2 - rho^2 - zeta^2) E + alpha^2 K] / (2 pi alpha^2 q),
//!
//! B_rho = zeta [(a^2 + rho^2 + zeta^2) E - alpha^2 K] / (2 pi alpha^2 q rho).
//!
//! With D = cel(kc, 1, -1, 1), for which E = K - k^2 (K + D) / 2, the differences of large terms in these go out:
//!
//! B_z = a [rho (zeta^2 + rho^2 - a^2) D + a (zeta^2 - rho^2 + a^2) K] / (pi alpha^2 q^3),
//!
//! B_rho = zeta a [k^2 (K + D) - 2 D] / (2 pi alpha^2 q).
//!
//! At many points that closed form comes first, since it costs no more than the field; where the sizes of its terms say
//! that the two ends cancel, the nodes follow, in blocks of points that share a rule.

use std::f64::consts::{LN_2, PI};
use std::sync::LazyLock;

use nalgebra::{Matrix3, Point3};

use crate::magnet::kernel::algebra::{matrix, turned};
use crate::magnet::kernel::cylinder::ends::{End, end};
use crate::magnet::kernel::cylinder::exact::{Form, Mantle, Place, Radius};
use crate::magnet::kernel::cylinder::field::{
    LANES, MAX_LOSS, Placed, QUICK_STEPS, is_clear, locate,
};
use crate::numeric::elliptic;
use crate::numeric::pair::{Pair, Real};
use crate::numeric::simd::lanes::{mul_add, select};

/// The gradient at one point, in the frame of the query; NaN on a rim.
pub(in crate::magnet) fn gradient(placed: &Placed, point: &Point3<f64>) -> Matrix3<f64> {
    let p = placed.local([point.x, point.y, point.z]);
    let (place, unit) = locate(placed, p);
    if place.is_on_rim() {
        return Matrix3::repeat(f64::NAN);
    }
    matrix(assemble::<false>(
        placed,
        p[2],
        unit,
        third_derivatives(&place),
    ))
}

/// Adds the gradient at each point to `values`, NaN on a rim.
#[inline(always)]
pub(in crate::magnet) fn add_gradients<const FMA: bool>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    if placed.inner > 0.0 {
        let a = Pair {
            first: placed.inner,
            second: placed.outer,
            slope: 1.0,
        };
        add_blocks::<FMA, true, Pair>(placed, a, points, values);
    } else {
        add_blocks::<FMA, false, f64>(placed, placed.outer, points, values);
    }
}

/// By the closed form where that is good enough, then the rest of the points in blocks that share a rule, or one by
/// one.
#[inline(always)]
fn add_blocks<const FMA: bool, const RING: bool, T: Radius>(
    placed: &Placed,
    a: T,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    let mut p = [[0.0; LANES]; 3];
    let mut g = [[0.0; LANES]; 6];
    let mut good = [0.0; LANES];
    let mut left = Vec::new();
    for (block, points) in points.chunks(LANES).enumerate() {
        for (lane, point) in points.iter().enumerate() {
            (p[0][lane], p[1][lane], p[2][lane]) = (point.x, point.y, point.z);
        }
        // Lanes left over from the block before are computed again and dropped.
        for lane in 0..LANES {
            let local = placed.local([p[0][lane], p[1][lane], p[2][lane]]);
            let (third, unit, enough) = quick::<FMA, RING>(placed, local);
            let [xx, xy, xz, yy, yz, zz] = assemble::<FMA>(placed, local[2], unit, third);
            (g[0][lane], g[1][lane], g[2][lane]) = (xx, xy, xz);
            (g[3][lane], g[4][lane], g[5][lane]) = (yy, yz, zz);
            good[lane] = select(enough, 1.0, 0.0);
        }
        for (lane, point) in points.iter().enumerate() {
            let index = block * LANES + lane;
            if good[lane] > 0.0 {
                values[index] += matrix([
                    g[0][lane], g[1][lane], g[2][lane], g[3][lane], g[4][lane], g[5][lane],
                ]);
                continue;
            }
            let local = placed.local([point.x, point.y, point.z]);
            let (place, unit) = locate(placed, local);
            let inner = place.inner.map_or(0.0, |inner| inner.excess);
            let excess = T::excess(inner, place.outer.excess);
            if let Some(plan) = plan(a, placed.outer, excess, &place) {
                left.push(Left {
                    plan,
                    index,
                    z: local[2],
                    unit,
                    place,
                });
            } else if place.is_on_rim() {
                values[index] = Matrix3::repeat(f64::NAN);
            } else {
                let third = third_derivatives(&place);
                values[index] += matrix(assemble::<false>(placed, local[2], unit, third));
            }
        }
    }
    left.sort_unstable_by_key(|left| left.plan);
    for alike in left.chunk_by(|one, two| one.plan == two.plan) {
        for block in alike.chunks(LANES) {
            match (block[0].plan.form, block[0].plan.near_axis) {
                (Form::Beyond, false) => add_sums::<FMA, T, 0, false>(placed, a, block, values),
                (Form::Beyond, true) => add_sums::<FMA, T, 0, true>(placed, a, block, values),
                (Form::Flat, false) => add_sums::<FMA, T, 1, false>(placed, a, block, values),
                (Form::Flat, true) => add_sums::<FMA, T, 1, true>(placed, a, block, values),
                (Form::Long, false) => add_sums::<FMA, T, 2, false>(placed, a, block, values),
                (Form::Long, true) => add_sums::<FMA, T, 2, true>(placed, a, block, values),
            }
        }
    }
}

/// A point with what its gradient is summed by.
struct Left {
    plan: Plan,
    index: usize,
    /// Of the local point.
    z: f64,
    unit: [f64; 2],
    place: Place,
}

/// Up to a block of points of one plan.
#[inline(always)]
fn add_sums<const FMA: bool, T: Radius, const FORM: usize, const NEAR_AXIS: bool>(
    placed: &Placed,
    a: T,
    block: &[Left],
    values: &mut [Matrix3<f64>],
) {
    let mut rho = [1.0; LANES];
    let mut near = [1.0; LANES];
    let mut far = [1.0; LANES];
    let mut step = [1.0; LANES];
    let mut length = [1.0; LANES];
    let mut inner = [1.0; LANES];
    let mut outer = [1.0; LANES];
    let mut elementary = [0.0; LANES];
    let mut z = [1.0; LANES];
    let mut unit = [[1.0; LANES]; 2];
    let form = [Form::Beyond, Form::Flat, Form::Long][FORM];
    for (lane, left) in block.iter().enumerate() {
        let place = &left.place;
        rho[lane] = place.rho;
        [near[lane], far[lane]] = place.zeta;
        step[lane] = place.step;
        length[lane] = self::length(place);
        inner[lane] = place.inner.map_or(0.0, |inner| inner.excess);
        outer[lane] = place.outer.excess;
        if form == Form::Long {
            elementary[lane] = self::elementary(place);
        }
        z[lane] = left.z;
        [unit[0][lane], unit[1][lane]] = left.unit;
    }
    let wall = placed.outer - placed.inner;
    let nodes = block[0].plan.nodes();
    let share = 1.0 / nodes.len() as f64;
    let mut sums = [[0.0; LANES]; 4];
    for node in nodes {
        for lane in 0..LANES {
            let excess = T::excess(inner[lane], outer[lane]);
            let at = At {
                rho: rho[lane],
                near: near[lane],
                far: far[lane],
                step: step[lane],
                length: length[lane],
            };
            let terms = node_terms::<FMA, T>(form, NEAR_AXIS, *node, a, excess, at);
            sums[0][lane] += (a * a * terms.zzz).whole(wall);
            sums[1][lane] += (a * a * terms.rzz).whole(wall);
            sums[2][lane] += (a * a * terms.ppz).whole(wall);
            sums[3][lane] += (a * a * terms.rpp).whole(wall);
        }
    }
    let mut g = [[0.0; LANES]; 6];
    for lane in 0..LANES {
        let sums = Third {
            zzz: sums[0][lane] * share,
            rzz: sums[1][lane] * share,
            ppz: sums[2][lane] * share,
            rpp: sums[3][lane] * share,
        };
        let third = scaled(form, sums, rho[lane], step[lane], elementary[lane]);
        let [xx, xy, xz, yy, yz, zz] =
            assemble::<FMA>(placed, z[lane], [unit[0][lane], unit[1][lane]], third);
        (g[0][lane], g[1][lane], g[2][lane]) = (xx, xy, xz);
        (g[3][lane], g[4][lane], g[5][lane]) = (yy, yz, zz);
    }
    for (lane, left) in block.iter().enumerate() {
        values[left.index] += matrix([
            g[0][lane], g[1][lane], g[2][lane], g[3][lane], g[4][lane], g[5][lane],
        ]);
    }
}

/// The gradient in the frame of the query, xx, xy, xz, yy, yz, zz, from the elements of T at the local height `z` and
/// the direction of rho.
#[inline(always)]
fn assemble<const FMA: bool>(placed: &Placed, z: f64, [c, s]: [f64; 2], t: Third) -> [f64; 6] {
    let (rrr, rrz) = (-(t.rpp + t.rzz), -(t.ppz + t.zzz));
    // The point was folded to z >= 0: once for each index z.
    let sign = 1f64.copysign(z);
    let [jx, jy, jz] = placed.polarization;
    let (radial, around) = (jx * c + jy * s, jy * c - jx * s);
    let axial = jz * sign;
    let rr = rrr * radial + rrz * axial;
    let pp = t.rpp * radial + t.ppz * axial;
    let zz = t.rzz * radial + t.zzz * axial;
    let rp = t.rpp * around;
    let rz = (rrz * radial + t.rzz * axial) * sign;
    let pz = t.ppz * around * sign;
    // From rho and phi to x and y, then to the frame of the query.
    let xx = rr * c * c - 2.0 * rp * c * s + pp * s * s;
    let yy = rr * s * s + 2.0 * rp * c * s + pp * c * c;
    let xy = (rr - pp) * c * s + rp * (c * c - s * s);
    let (xz, yz) = (rz * c - pz * s, rz * s + pz * c);
    turned::<FMA>([xx, xy, xz, yy, yz, zz], placed.axes)
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
    #[inline(always)]
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
    let place = &Place {
        outer: mantle,
        inner: None,
        ..*place
    };
    match plan(mantle.a, mantle.a, mantle.excess, place) {
        Some(plan) => sum(plan, mantle.a, mantle.excess, 0.0, place),
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
    if let Some(plan) = plan(a, outer.a, excess, place) {
        return Some(sum(plan, a, excess, wall, place));
    }
    let side = pair(inner.side, outer.side, (outer.side - inner.side) / wall);
    (nearest(excess, place) >= wall).then(|| elliptic(a, excess, side, wall, place))
}

/// What is elementary of T_rpp, which the sum of [`Form::Long`] leaves out: of outer less inner.
fn elementary(place: &Place) -> f64 {
    let (outer, rho) = (place.outer, place.rho);
    let outside = outer.side < 0.0;
    let squares = match place.inner {
        None if outside => outer.a * outer.a,
        Some(inner) if outside => (outer.a - inner.a) * (outer.a + inner.a),
        Some(inner) if inner.excess > 0.0 => -inner.a * inner.a,
        _ => 0.0,
    };
    // On the axis there are none.
    if squares == 0.0 {
        0.0
    } else {
        squares / rho.powi(3)
    }
}

/// Equally spaced nodes over the azimuth: squares of sin(theta / 2) and sin(theta) at half of them; the other half is
/// the mirror image.
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

/// A form, which of the rules is enough, and whether the point is so near the axis that T_rpp needs its factor rho.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Plan {
    form: Form,
    near_axis: bool,
    rule: usize,
}

impl Plan {
    /// Squares of sin(theta / 2) and sin(theta).
    fn nodes(self) -> &'static [[f64; 2]] {
        &RULES[self.rule].nodes
    }
}

/// How to sum for the radius or radii `a`, the largest of them `largest`; none if it takes too many nodes.
fn plan<T: Radius>(a: T, largest: f64, excess: T, place: &Place) -> Option<Plan> {
    let (form, x) = Form::at(largest, excess, place);
    let rule = RULES.iter().position(|rule| x >= rule.least)?;
    let near_axis = 2.0 * place.rho < a.least();
    Some(Plan {
        form,
        near_axis,
        rule,
    })
}

/// Distance from the nearest rim.
fn nearest<T: Radius>(excess: T, place: &Place) -> f64 {
    (excess * excess).least().sqrt().hypot(place.zeta[0])
}

/// The mean over the nodes.
fn sum<T: Radius>(plan: Plan, a: T, excess: T, wall: f64, place: &Place) -> Third {
    let zero = T::constant(0.0);
    let mut sums = Third {
        zzz: zero,
        rzz: zero,
        ppz: zero,
        rpp: zero,
    };
    let at = At {
        rho: place.rho,
        near: place.zeta[0],
        far: place.zeta[1],
        step: place.step,
        length: length(place),
    };
    let nodes = plan.nodes();
    for node in nodes {
        let terms = node_terms::<false, T>(plan.form, plan.near_axis, *node, a, excess, at);
        sums = Third {
            zzz: sums.zzz + terms.zzz,
            rzz: sums.rzz + terms.rzz,
            ppz: sums.ppz + terms.ppz,
            rpp: sums.rpp + terms.rpp,
        };
    }
    let mean = a * a * (1.0 / nodes.len() as f64);
    let elementary = match plan.form {
        Form::Long => elementary(place),
        _ => 0.0,
    };
    let sums = sums.map(|sum| (mean * sum).whole(wall));
    scaled(plan.form, sums, place.rho, place.step, elementary)
}

/// zeta2 - zeta1 = 2 h, which far above the magnet only the step still knows.
fn length(place: &Place) -> f64 {
    let [near, far] = place.zeta;
    if near > 0.0 {
        place.step / (near + far)
    } else {
        far - near
    }
}

/// Where a point stands among the ends.
#[derive(Clone, Copy)]
struct At {
    rho: f64,
    near: f64,
    far: f64,
    step: f64,
    length: f64,
}

/// The elements of T from a^2 times the means of [`node_terms`].
#[inline(always)]
fn scaled(form: Form, means: Third, rho: f64, step: f64, elementary: f64) -> Third {
    let sign = if form == Form::Long { -1.0 } else { 1.0 };
    Third {
        zzz: means.zzz * (0.5 * step),
        rzz: means.rzz * (1.5 * rho),
        ppz: means.ppz * (0.5 * step),
        rpp: means.rpp * sign + elementary,
    }
}

/// What one node contributes to the elements of T, each less the factors that [`scaled`] puts to the sums.
#[inline(always)]
fn node_terms<const FMA: bool, T: Radius>(
    form: Form,
    near_axis: bool,
    [half_sine2, sine2]: [f64; 2],
    a: T,
    excess: T,
    at: At,
) -> Third<T> {
    let At {
        rho,
        near,
        far,
        step,
        length,
    } = at;
    let s2 = excess.mul_add::<FMA>(excess, a * (4.0 * rho * half_sine2));
    let (r1, r2) = ((s2 + near * near).sqrt(), (s2 + far * far).sqrt());
    let product = (r1 * r2).reciprocal();
    let (i1, i2) = (product * r2, product * r1);
    let (i11, i22) = (i1 * i1, i2 * i2);
    // C_3 and C_5 over R2^2 - R1^2: with x^n - y^n = (x - y)(x^(n-1) + ... + y^(n-1))
    let one = product * (r1 + r2).reciprocal();
    let sum = i11 + i22;
    let cubes = one * (sum + product);
    let fourths = i22 * i22;
    let squares = i11.mul_add::<FMA>(i11, fourths);
    let fifths = one * product.mul_add::<FMA>(sum + product, squares);
    let [slope, bend] = slopes::<FMA, T>(form, s2, [r1, r2], [i1, i2], at);
    let around = if near_axis {
        (slope - a * a * bend * (2.0 / 3.0 * sine2)) * (rho * sine2)
    } else {
        (excess + a * (2.0 * half_sine2)) * slope * sine2
    };
    Third {
        zzz: fifths * (3.0 * rho * rho * sine2) - cubes,
        rzz: (fourths * i2 * length - fifths * (near * step)) * sine2,
        ppz: cubes * sine2,
        rpp: around,
    }
}

/// -Q' and Q'' at one node; every term is positive.
#[inline(always)]
fn slopes<const FMA: bool, T: Real>(
    form: Form,
    s2: T,
    [r1, r2]: [T; 2],
    [i1, i2]: [T; 2],
    at: At,
) -> [T; 2] {
    let (near, far) = (at.near, at.far);
    let (i11, i22) = (i1 * i1, i2 * i2);
    match form {
        Form::Beyond => {
            let cross = (r1 * far + r2 * near).reciprocal();
            let q = i1 * i2 * cross * at.step;
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
            let (one, two) = (
                long_end::<FMA, T>(i1, i11, r1, near),
                long_end::<FMA, T>(i2, i22, r2, far),
            );
            [one[0] + two[0], one[1] + two[1]]
        }
    }
}

/// One end's share of [`slopes`] in [`Form::Long`].
#[inline(always)]
fn long_end<const FMA: bool, T: Real>(i: T, i_squared: T, r: T, zeta: f64) -> [T; 2] {
    let q = i * (r + zeta.abs()).reciprocal();
    let slope = q * (i_squared + q) * 0.5;
    let bend = slope.mul_add::<FMA>(i_squared + q * 2.0, q * i_squared * i_squared);
    [slope, bend * 0.5]
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
    let end = end::<false, T>(steps, a, excess, side, rho, zeta);
    let [zzz, more, rzz] = of_loop::<false, T>(a, excess, rho, zeta, &end);
    Third {
        zzz: zzz + more,
        rzz,
        ppz: end.radial * (-1.0 / rho),
        rpp: (end.around * 2.0 - end.axial) * (1.0 / rho),
    }
}

/// The field of the loop at one end: B_z in two terms, and B_rho.
#[inline(always)]
fn of_loop<const FMA: bool, T: Real>(a: T, excess: T, rho: f64, zeta: T, end: &End<T>) -> [T; 3] {
    let zeta2 = zeta * zeta;
    let offset = excess * (a + rho);
    let near2 = excess.mul_add::<FMA>(excess, zeta2);
    let inverse_far = end.inverse_far;
    let scale = a * inverse_far * near2.reciprocal() * 0.25;
    let axial = scale * inverse_far * inverse_far * 2.0;
    let (k, d) = (end.first_kind, end.difference);
    [
        axial * (zeta2 + offset) * d * rho,
        axial * (zeta2 - offset) * k * a,
        scale * zeta * end.k2.mul_add::<FMA>(k + d, d * -2.0),
    ]
}

/// What one mantle contributes by the closed form.
#[derive(Clone, Copy)]
struct Shell {
    third: Third,
    /// The size of the terms that T_rpp is made of, and of those of the others.
    rpp_terms: f64,
    other_terms: f64,
    /// Whether the point is clear of the rims and the mantle.
    clear: bool,
}

#[inline(always)]
fn shell<const FMA: bool>(a: f64, rho: f64, near: f64, far: f64) -> Shell {
    let excess = rho - a;
    let side = select(excess < 0.0, 1.0, -1.0);
    let one = end::<FMA, f64>(QUICK_STEPS, a, excess, side, rho, near);
    let two = end::<FMA, f64>(QUICK_STEPS, a, excess, side, rho, far);
    let loop_1 = of_loop::<FMA, f64>(a, excess, rho, near, &one);
    let loop_2 = of_loop::<FMA, f64>(a, excess, rho, far, &two);
    let inverse = 1.0 / rho;
    Shell {
        third: Third {
            zzz: (loop_2[0] + loop_2[1]) - (loop_1[0] + loop_1[1]),
            rzz: loop_2[2] - loop_1[2],
            ppz: (one.radial - two.radial) * inverse,
            rpp: (2.0 * (two.around - one.around) - (two.axial - one.axial)) * inverse,
        },
        rpp_terms: (rpp_terms(&one) + rpp_terms(&two)) * inverse,
        other_terms: (loop_1[0].abs() + loop_1[1].abs() + loop_1[2].abs())
            + (loop_2[0].abs() + loop_2[1].abs() + loop_2[2].abs())
            + (one.radial + two.radial) * inverse,
        clear: is_clear::<FMA>(a, rho, near),
    }
}

#[inline(always)]
fn rpp_terms(end: &End<f64>) -> f64 {
    4.0 * end.around_terms.abs() + 2.0 * end.around.abs() + end.axial.abs() + end.other_terms.abs()
}

/// The elements and the direction of rho by the closed form, and whether they are good enough.
#[inline(always)]
fn quick<const FMA: bool, const RING: bool>(
    placed: &Placed,
    p: [f64; 3],
) -> (Third, [f64; 2], bool) {
    let rho = mul_add::<FMA>(p[0], p[0], p[1] * p[1]).sqrt();
    let inverse = 1.0 / rho;
    let z = p[2].abs();
    let (near, far) = (z - placed.half_length, z + placed.half_length);
    let mut shell = self::shell::<FMA>(placed.outer, rho, near, far);
    if RING {
        let hole = self::shell::<FMA>(placed.inner, rho, near, far);
        shell = Shell {
            third: shell.third.minus(hole.third),
            rpp_terms: shell.rpp_terms + hole.rpp_terms,
            other_terms: shell.other_terms + hole.other_terms,
            clear: shell.clear & hole.clear,
        };
    }
    let t = shell.third;
    let size = t.zzz.abs() + t.rzz.abs() + t.ppz.abs();
    // Written so that NaN counts as not good enough. On the axis there is no direction of rho, and next to it the
    // square underflows.
    let good = shell.clear
        & (rho > 1e-140)
        & (shell.other_terms <= MAX_LOSS * size)
        & (placed.is_axial
            | (shell.other_terms + shell.rpp_terms <= MAX_LOSS * (size + t.rpp.abs())));
    (t, [p[0] * inverse, p[1] * inverse], good)
}
