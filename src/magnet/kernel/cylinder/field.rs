//! The field of a uniformly polarized cylinder or ring: complete elliptic integrals in one straight line of
//! arithmetic that serves a single point and, looped over blocks of points, the vector units.
//!
//! # The quantity
//! B = M J, with M a symmetric matrix that depends on the shape and the point alone: the second derivatives of the
//! potential of a uniform body with the magnet's outline, plus 1 inside. In the directions rho, phi, z only M_rr,
//! M_pp, M_zz and M_rz are not zero, and the trace is 0 outside and 2 inside; so three functions serve every
//! direction of polarization.
//!
//! # Each end
//! A cylinder of radius a between z = -h and h gives, with zeta the height of the point above an end,
//!
//! M_zz = S(zeta2) - S(zeta1),  M_rz = N(zeta1) - N(zeta2),  M_pp - inside = T(zeta1) - T(zeta2).
//!
//! | symbol | here | formula |
//! | --- | --- | --- |
//! | zeta1, zeta2 | `zeta` | z - h, z + h |
//! | q^2 | | (rho + a)^2 + zeta^2 |
//! | kc^2 | | ((rho - a)^2 + zeta^2) / q^2 |
//! | gamma | | (a - rho) / (a + rho) |
//! | S | `axial` | a zeta / (pi q (a + rho)) cel(kc, gamma^2, 1, gamma) |
//! | N | `radial` | a / (pi q) cel(kc, 1, -1, 1) |
//! | T | `around` | a zeta / (2 pi rho^2 q) [rho cel(kc, 1, -1, 1) + a K + (rho - a) cel(kc, gamma^2, 1, gamma)] |
//!
//! S and N are the solenoid of N. Derby and S. Olbert, Cylindrical magnets and ideal solenoids, Am. J. Phys. 78
//! (2010) 229, eqs. 4-6. T is the mantle's charge across (A. Caciagli, R. J. Baars, A. P. Philipse, B. W. M. Kuipers,
//! J. Magn. Magn. Mater. 456 (2018) 423, who print it with K, E and Pi), reduced here to the same integrals by the
//! linear relations between cel of one modulus and parameter: a polarization across costs no further integral.
//!
//! # Where this cancels
//! Far away, on thin shapes and near the axis the ends (or the terms of T) nearly agree. What is lost is known from the
//! sizes of the terms, and where it would show, and close to a rim or the mantle, the point is computed again by
//! `exact`.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::magnet::kernel::algebra::dot;
use crate::magnet::kernel::cylinder::ends::{Elements, end};
use crate::magnet::kernel::cylinder::exact::{Form, Mantle, Place, Plan, Radius, node_terms};
use crate::numeric::pair::Pair;
use crate::numeric::simd::lanes::{mul_add, select};

// As in the kernel of the block: no closures and no small loops in what runs over lanes.

/// A solid cylinder or ring ready for the kernel.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::magnet) struct Placed {
    origin: [f64; 3],
    /// Unit vectors of the magnet's axes, in the frame of the query.
    pub(in crate::magnet) axes: [[f64; 3]; 3],
    pub(in crate::magnet) outer: f64,
    /// 0 for a solid cylinder.
    pub(in crate::magnet) inner: f64,
    pub(in crate::magnet) half_length: f64,
    pub(in crate::magnet) polarization: [f64; 3],
    pub(in crate::magnet) is_axial: bool,
}

impl Placed {
    pub(in crate::magnet) fn new(
        outer_diameter: f64,
        inner_diameter: f64,
        length: f64,
        polarization: &Vector3<f64>,
        pose: &Isometry3<f64>,
    ) -> Self {
        let rotation = pose.rotation.to_rotation_matrix();
        Self {
            origin: pose.translation.vector.into(),
            axes: [0, 1, 2].map(|axis| rotation.matrix().column(axis).into_owned().into()),
            outer: 0.5 * outer_diameter,
            inner: 0.5 * inner_diameter,
            half_length: 0.5 * length,
            polarization: (*polarization).into(),
            is_axial: polarization.x == 0.0 && polarization.y == 0.0,
        }
    }

    #[inline(always)]
    pub(in crate::magnet) fn local(&self, point: [f64; 3]) -> [f64; 3] {
        let d = [
            point[0] - self.origin[0],
            point[1] - self.origin[1],
            point[2] - self.origin[2],
        ];
        let [a, b, c] = self.axes;
        // Never fused: one point and many must agree on which side of a face, or on which rim, a point lies.
        [dot::<false>(a, d), dot::<false>(b, d), dot::<false>(c, d)]
    }

    /// B from the elements at the local point `p`, in the frame of the query.
    #[inline(always)]
    fn field<const FMA: bool>(&self, p: [f64; 3], unit: [f64; 2], m: Elements) -> [f64; 3] {
        let [jx, jy, jz] = self.polarization;
        let along = mul_add::<FMA>(jx, unit[0], jy * unit[1]);
        let around = m.pp * mul_add::<FMA>(jy, unit[0], -(jx * unit[1]));
        // The point was folded to z >= 0.
        let rz = m.rz * 1f64.copysign(p[2]);
        let radial = mul_add::<FMA>(m.rr, along, rz * jz);
        let f = [
            mul_add::<FMA>(radial, unit[0], -(around * unit[1])),
            mul_add::<FMA>(radial, unit[1], around * unit[0]),
            mul_add::<FMA>(rz, along, m.zz * jz),
        ];
        let [a, b, c] = self.axes;
        [
            dot::<FMA>([a[0], b[0], c[0]], f),
            dot::<FMA>([a[1], b[1], c[1]], f),
            dot::<FMA>([a[2], b[2], c[2]], f),
        ]
    }
}

/// B, or without `MATERIAL` mu0 H, at one point, in the frame of the query; NaN on a rim.
pub(in crate::magnet) fn field<const MATERIAL: bool>(
    placed: &Placed,
    point: &Point3<f64>,
) -> Vector3<f64> {
    let p = placed.local([point.x, point.y, point.z]);
    if MATERIAL {
        let (m, unit, good) = if placed.inner > 0.0 {
            quick::<false, true, true>(placed, p)
        } else {
            quick::<false, false, true>(placed, p)
        };
        if good {
            return placed.field::<false>(p, unit, m).into();
        }
    }
    let (place, unit) = locate(placed, p);
    if place.is_on_rim() {
        return Vector3::repeat(f64::NAN);
    }
    placed
        .field::<false>(p, unit, place.solve::<MATERIAL>())
        .into()
}

/// Whether a point lies in the material and not on its surface.
pub(in crate::magnet) fn is_inside(placed: &Placed, point: &Point3<f64>) -> bool {
    /// More than rounding can make of the squares, as a share of them.
    const CLOSE: f64 = 1e-12;
    let p = placed.local([point.x, point.y, point.z]);
    let square = p[0] * p[0] + p[1] * p[1];
    let (outer, inner) = (placed.outer * placed.outer, placed.inner * placed.inner);
    let near_wall = |wall: f64| (square - wall).abs() <= CLOSE * wall;
    if near_wall(outer) || near_wall(inner) {
        return locate(placed, p).0.is_inside();
    }
    (square < outer) & (square > inner || placed.inner == 0.0) & (p[2].abs() < placed.half_length)
}

/// Points to a block: long enough to fill the widest vector unit many times, short enough to stay in the first cache.
pub(in crate::magnet) const LANES: usize = 64;

/// Adds B (without `MATERIAL` mu0 H) at each point to `values`, NaN on a rim.
#[inline(always)]
pub(in crate::magnet) fn add_fields<const FMA: bool, const MATERIAL: bool>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    if placed.inner > 0.0 {
        let a = Pair {
            first: placed.inner,
            second: placed.outer,
            slope: 1.0,
        };
        add_blocks::<FMA, true, MATERIAL, Pair>(placed, a, points, values);
    } else {
        add_blocks::<FMA, false, MATERIAL, f64>(placed, placed.outer, points, values);
    }
}

/// By the closed form where that is good enough, then the rest of the points in blocks that share a rule, or one by
/// one.
#[inline(always)]
fn add_blocks<const FMA: bool, const RING: bool, const MATERIAL: bool, T: Radius>(
    placed: &Placed,
    a: T,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    let mut p = [[0.0; LANES]; 3];
    let mut b = [[0.0; LANES]; 3];
    let mut good = [0.0; LANES];
    let mut left = Vec::new();
    for (block, points) in points.chunks(LANES).enumerate() {
        for (lane, point) in points.iter().enumerate() {
            (p[0][lane], p[1][lane], p[2][lane]) = (point.x, point.y, point.z);
        }
        // Lanes left over from the block before are computed again and dropped.
        for lane in 0..LANES {
            let local = placed.local([p[0][lane], p[1][lane], p[2][lane]]);
            let (m, unit, enough) = quick::<FMA, RING, MATERIAL>(placed, local);
            let field = placed.field::<FMA>(local, unit, m);
            (b[0][lane], b[1][lane], b[2][lane]) = (field[0], field[1], field[2]);
            good[lane] = select(enough, 1.0, 0.0);
        }
        for (lane, point) in points.iter().enumerate() {
            let index = block * LANES + lane;
            if good[lane] > 0.0 {
                values[index] += Vector3::new(b[0][lane], b[1][lane], b[2][lane]);
                continue;
            }
            let local = placed.local([point.x, point.y, point.z]);
            let (place, unit) = locate(placed, local);
            if let Some(plan) = place.plan() {
                left.push(Left {
                    plan,
                    index,
                    local,
                    unit,
                    place,
                });
            } else if place.is_on_rim() {
                values[index] = Vector3::repeat(f64::NAN);
            } else {
                let field = placed.field::<false>(local, unit, place.solve::<MATERIAL>());
                values[index] += Vector3::from(field);
            }
        }
    }
    left.sort_unstable_by_key(|left| left.plan);
    for alike in left.chunk_by(|one, two| one.plan == two.plan) {
        for block in alike.chunks(LANES) {
            match block[0].plan.form() {
                Form::Beyond => add_sums::<FMA, MATERIAL, T, 0>(placed, a, block, values),
                Form::Flat => add_sums::<FMA, MATERIAL, T, 1>(placed, a, block, values),
                Form::Long => add_sums::<FMA, MATERIAL, T, 2>(placed, a, block, values),
            }
        }
    }
}

/// A point that the closed form is not good enough for, but equally spaced nodes are.
struct Left {
    plan: Plan,
    index: usize,
    local: [f64; 3],
    unit: [f64; 2],
    place: Place,
}

/// Up to a block of points of one plan.
#[inline(always)]
fn add_sums<const FMA: bool, const MATERIAL: bool, T: Radius, const FORM: usize>(
    placed: &Placed,
    a: T,
    block: &[Left],
    values: &mut [Vector3<f64>],
) {
    let mut rho = [1.0; LANES];
    let mut near = [1.0; LANES];
    let mut far = [1.0; LANES];
    let mut step = [1.0; LANES];
    let mut inner = [1.0; LANES];
    let mut outer = [1.0; LANES];
    for (lane, Left { place, .. }) in block.iter().enumerate() {
        rho[lane] = place.rho;
        [near[lane], far[lane]] = place.zeta;
        step[lane] = place.step;
        inner[lane] = place.inner.map_or(0.0, |inner| inner.excess);
        outer[lane] = place.outer.excess;
    }
    let wall = placed.outer - placed.inner;
    let form = [Form::Beyond, Form::Flat, Form::Long][FORM];
    let plan = block[0].plan;
    let mut sums = [[0.0; LANES]; 3];
    for node in plan.nodes() {
        for lane in 0..LANES {
            let excess = T::excess(inner[lane], outer[lane]);
            let zeta = [near[lane], far[lane]];
            let terms = node_terms::<FMA, T>(form, *node, a, excess, rho[lane], zeta, step[lane]);
            sums[0][lane] += (a * a * terms[0]).whole(wall);
            sums[1][lane] += (a * a * terms[1]).whole(wall);
            sums[2][lane] += (a * a * terms[2]).whole(wall);
        }
    }
    for (lane, left) in block.iter().enumerate() {
        let sums = [sums[0][lane], sums[1][lane], sums[2][lane]];
        let m = left.place.finish::<MATERIAL>(plan, sums);
        let field = placed.field::<FMA>(left.local, left.unit, m);
        values[left.index] += Vector3::from(field);
    }
}

/// How many times the size of the result its terms may have. Each carries some 4e-16, so that 1e-13 of the result is
/// kept.
pub(in crate::magnet) const MAX_LOSS: f64 = 100.0;

/// What one mantle contributes by the closed form.
#[derive(Clone, Copy)]
struct Shell {
    zz: f64,
    rz: f64,
    pp: f64,
    pp_terms: f64,
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
    Shell {
        zz: two.axial - one.axial,
        rz: one.radial - two.radial,
        pp: one.around - two.around,
        pp_terms: one.around_terms.abs() + two.around_terms.abs(),
        other_terms: (one.axial.abs() + one.radial + one.other_terms.abs())
            + (two.axial.abs() + two.radial + two.other_terms.abs()),
        clear: is_clear::<FMA>(a, rho, near),
    }
}

/// Whether a point is so far from the rims and the mantle that the closed form serves with a fixed number of steps
/// (kc > 0.01), and with rho - a as it stands.
#[inline(always)]
pub(in crate::magnet) fn is_clear<const FMA: bool>(a: f64, rho: f64, near: f64) -> bool {
    let (width, excess) = (rho + a, rho - a);
    let square = excess * excess;
    let off_rims =
        mul_add::<FMA>(near, near, square) > 1e-4 * mul_add::<FMA>(width, width, near * near);
    off_rims & (square > 1e-12 * (width * width))
}

pub(in crate::magnet) const QUICK_STEPS: usize = 6;

/// The elements and the direction of rho by the closed form, and whether they are good enough.
#[inline(always)]
fn quick<const FMA: bool, const RING: bool, const MATERIAL: bool>(
    placed: &Placed,
    p: [f64; 3],
) -> (Elements, [f64; 2], bool) {
    let rho = mul_add::<FMA>(p[0], p[0], p[1] * p[1]).sqrt();
    let inverse = 1.0 / rho;
    let z = p[2].abs();
    let (near, far) = (z - placed.half_length, z + placed.half_length);
    let mut shell = self::shell::<FMA>(placed.outer, rho, near, far);
    let mut inside = (rho < placed.outer) & (near < 0.0);
    if RING {
        let hole = self::shell::<FMA>(placed.inner, rho, near, far);
        shell = Shell {
            zz: shell.zz - hole.zz,
            rz: shell.rz - hole.rz,
            pp: shell.pp - hole.pp,
            pp_terms: shell.pp_terms + hole.pp_terms,
            other_terms: shell.other_terms + hole.other_terms,
            clear: shell.clear & hole.clear,
        };
        inside &= rho > placed.inner;
    }
    let m = if MATERIAL {
        Elements::new(shell.zz, shell.rz, shell.pp, inside)
    } else {
        let own = select(inside, 1.0, 0.0);
        Elements::without_material(shell.zz - own, shell.rz, shell.pp, own)
    };
    let all_terms = shell.other_terms + shell.pp_terms;
    // Written so that NaN counts as not good enough. On the axis there is no direction of rho, and next to it the
    // square underflows.
    let good = shell.clear
        & (rho > 1e-140)
        & (shell.other_terms <= MAX_LOSS * (m.zz.abs() + m.rz.abs()))
        & (placed.is_axial
            | ((shell.pp_terms <= MAX_LOSS * m.pp.abs())
                & (all_terms <= MAX_LOSS * (m.rr.abs() + m.rz.abs()))));
    (m, [p[0] * inverse, p[1] * inverse], good)
}

/// Where the local point `p` stands, and the direction of rho.
pub(in crate::magnet) fn locate(placed: &Placed, [x, y, z]: [f64; 3]) -> (Place, [f64; 2]) {
    let rho = x.hypot(y);
    let unit = if rho > 0.0 {
        [x / rho, y / rho]
    } else {
        [1.0, 0.0]
    };
    let (z, h) = (z.abs(), placed.half_length);
    // On a mantle the limit from outside the material is taken: on the wall of the bore that is from within.
    let mantle = |a: f64, side_on: f64| {
        let excess = excess(x, y, rho, a);
        let side = if excess == 0.0 {
            side_on
        } else {
            -excess.signum()
        };
        Mantle { a, excess, side }
    };
    let place = Place {
        rho,
        zeta: [z - h, z + h],
        step: 4.0 * z * h,
        outer: mantle(placed.outer, -1.0),
        inner: (placed.inner > 0.0).then(|| mantle(placed.inner, 1.0)),
    };
    (place, unit)
}

/// rho - a, from x^2 + y^2 - a^2 in twice the working precision: close to a rim the field turns with this small
/// difference.
fn excess(x: f64, y: f64, rho: f64, a: f64) -> f64 {
    let plain = rho - a;
    if plain.abs() > 0.1 * (rho + a) {
        return plain;
    }
    let squares = [x, y, a].map(|v| {
        let square = v * v;
        (square, v.mul_add(v, -square))
    });
    let [(xx, xx_low), (yy, yy_low), (aa, aa_low)] = squares;
    let (first, first_low) = exact_sum(xx.max(yy), -aa);
    let (second, second_low) = exact_sum(first, xx.min(yy));
    (second + ((first_low + second_low) + (xx_low + yy_low - aa_low))) / (rho + a)
}

/// The rounded sum and what rounding took (D. E. Knuth, The Art of Computer Programming, vol. 2, sec. 4.2.2, theorem
/// B).
fn exact_sum(a: f64, b: f64) -> (f64, f64) {
    let sum = a + b;
    let b_part = sum - a;
    (sum, (a - (sum - b_part)) + (b - b_part))
}

#[cfg(test)]
#[path = "field_tests.rs"]
mod tests;
