//! The field of a uniformly polarized block, without cancellation: one straight line of arithmetic that serves a
//! single point and, looped over blocks of points, the vector units.
//!
//! # The quantity
//! B = M J, with M the symmetric matrix of the block at the point (in the block's own frame). Outside, M has
//! trace 0; inside, B = mu0 H + J is already contained and the trace is 2. The textbook form is a sum over eight corners:
//! M_xz = sum ln(Y + R) / 4 pi, M_zz = sum atan(X Y / (Z R)) / 4 pi (Furlani 2001, ch. 4; Engel-Herbert and
//! Hesjedal, J. Appl. Phys. 97 (2005) 074504, eqs. 1-4). Far away, and on thin shapes, that sum loses everything. Here the
//! eight terms are merged into one logarithm and one angle each, and all differences are taken in exact arithmetic form:
//! R1 - R2 is never computed but (R1^2 - R2^2) / (R1 + R2), whose numerator is a product.
//!
//! # Symbols
//! | in the derivation | here | meaning |
//! | --- | --- | --- |
//! | a, b, c | `half` | half side lengths |
//! | x, y, z >= 0 | `p` | the point, folded into the first octant |
//! | n, f | index 0, 1 | near (`p - half`) and far (`p + half`) side of the block along an axis |
//! | L | `length` | length of an edge, 2 x half |
//! | S = R1 + R2 | `sum` | sum of the distances to the two ends of an edge |
//! | K = S^2 - L^2 | `excess` | = 2 (R1 R2 + r1 . r2); zero on the edge itself |
//! | Q | `pair` | R_near + R_far along one axis |
//!
//! # Off-diagonal elements
//! An edge gives ln((S + L) / (S - L)); the four edges parallel to y combine to ln(1 + m) / 4 pi with
//!
//! m = 8 x a L [(G_n - G_f) H_f + G_f (H_f - H_n)] (S_nn + L)(S_ff + L) / (K_nn K_ff (S_fn + L)(S_nf + L)),
//!
//! where G = sum of 1/Q over the ends and H = S_n S_f - L^2. Every term is positive: nothing cancels, anywhere.
//!
//! # Diagonal elements
//! The solid angle of a rectangle is the sum over its edges of the triangles (foot of the perpendicular, edge):
//! tan(T / 2) = 2 L Y / (K + 2 Z S), by the half-angle formula of van Oosterom and Strackee (IEEE Trans. Biomed. Eng. 30
//! (1983) 125), in which the common factor Z cancels. With Z signed, T continues smoothly through the plane of the
//! rectangle, and the sum over both pole faces gives B inside as well as outside. Four edges are multiplied as complex
//! numbers (K + 2 Z S) + 2 i L Y, differences first across the pair, then across the pole faces, again in exact form.
//!
//! Where the point is lower than the near pole face by more than half its distance to a vertical edge, K - 2 |Z| S would
//! cancel; there T(-Z) = 2 phi - T(Z) is used, whose in-plane angles phi add up to nothing (foot outside) or a full turn
//! (foot inside), and the two pole faces add instead of subtracting.

use std::f64::consts::TAU;

use crate::numeric::lanes::{atan2, ln_1p, mul_add, reciprocals, select};

/// Near and far value along one axis.
type Pair = [f64; 2];

/// The distances to the eight corners and the reciprocals of their pairwise sums.
struct Corners {
    /// Near and far offsets along each axis.
    offset: [Pair; 3],
    /// R, by near/far side in x, y, z.
    r: [[Pair; 2]; 2],
    /// 1 / (R_near + R_far) along x, by sides [y][z]; along y, by [x][z]; along z, by [x][y].
    inverse: [[Pair; 2]; 3],
}

impl Corners {
    #[inline(always)]
    fn new<const FMA: bool>(p: [f64; 3], half: [f64; 3]) -> Self {
        let offset = [
            [p[0] - half[0], p[0] + half[0]],
            [p[1] - half[1], p[1] + half[1]],
            [p[2] - half[2], p[2] + half[2]],
        ];
        let radius = |i: usize, j: usize, k: usize| {
            let (x, y, z) = (offset[0][i], offset[1][j], offset[2][k]);
            mul_add::<FMA>(x, x, mul_add::<FMA>(y, y, z * z)).sqrt()
        };
        let r = [
            [[radius(0, 0, 0), radius(0, 0, 1)], [radius(0, 1, 0), radius(0, 1, 1)]],
            [[radius(1, 0, 0), radius(1, 0, 1)], [radius(1, 1, 0), radius(1, 1, 1)]],
        ];
        let grouped = |s: [f64; 4]| {
            let q = reciprocals(s);
            [[q[0], q[1]], [q[2], q[3]]]
        };
        let inverse = [
            grouped([
                r[0][0][0] + r[1][0][0],
                r[0][0][1] + r[1][0][1],
                r[0][1][0] + r[1][1][0],
                r[0][1][1] + r[1][1][1],
            ]),
            grouped([
                r[0][0][0] + r[0][1][0],
                r[0][0][1] + r[0][1][1],
                r[1][0][0] + r[1][1][0],
                r[1][0][1] + r[1][1][1],
            ]),
            grouped([
                r[0][0][0] + r[0][0][1],
                r[0][1][0] + r[0][1][1],
                r[1][0][0] + r[1][0][1],
                r[1][1][0] + r[1][1][1],
            ]),
        ];
        Self { offset, r, inverse }
    }

    #[inline(always)]
    fn distance(&self, [i, j, k]: [usize; 3]) -> f64 {
        self.r[i][j][k]
    }

    /// 1 / (R_near + R_far), the two taken along `axis`, on the given sides of the other two axes.
    #[inline(always)]
    fn inverse_pair(&self, axis: usize, [i, j, k]: [usize; 3]) -> f64 {
        match axis {
            0 => self.inverse[0][j][k],
            1 => self.inverse[1][i][k],
            _ => self.inverse[2][i][j],
        }
    }
}

/// The four edges parallel to one axis; u and v are the other two, and v is the axis of the pole faces.
/// Double arrays are indexed by near/far side in u, then in v.
struct Edges {
    length: f64,
    /// Half side length, coordinate of the point, near and far offset along u and along v.
    half_u: f64,
    half_v: f64,
    u: f64,
    v: f64,
    offset_u: Pair,
    offset_v: Pair,
    /// S
    sum: [Pair; 2],
    /// K = S^2 - L^2
    excess: [Pair; 2],
    /// Sum over the ends of 1/Q along u, by side in v; and the other way round.
    gu: Pair,
    gv: Pair,
    /// (gu[near] - gu[far]) / (4 v half_v) and (gv[near] - gv[far]) / (4 u half_u)
    slope_gu: f64,
    slope_gv: f64,
}

impl Edges {
    #[inline(always)]
    fn new<const FMA: bool>(
        corners: &Corners,
        p: [f64; 3],
        half: [f64; 3],
        [axis, axis_u, axis_v]: [usize; 3],
    ) -> Self {
        let side = |end: usize, u: usize, v: usize| {
            let mut sides = [0; 3];
            sides[axis] = end;
            sides[axis_u] = u;
            sides[axis_v] = v;
            sides
        };
        let [near, far] = corners.offset[axis];
        let (offset_u, offset_v) = (corners.offset[axis_u], corners.offset[axis_v]);
        let foot_on_edge = near < 0.0;
        let along = near.abs() * far;
        let squares = mul_add::<FMA>(near, near, far * far);

        let sum_at = |u, v| corners.distance(side(0, u, v)) + corners.distance(side(1, u, v));
        let product_at = |u, v| {
            mul_add::<FMA>(
                corners.distance(side(0, u, v)),
                corners.distance(side(1, u, v)),
                along,
            )
        };
        let product = [product_at(0, 0), product_at(0, 1), product_at(1, 0), product_at(1, 1)];
        let inverse = reciprocals(product.map(|p| select(foot_on_edge, p, 1.0)));
        let excess_at = |u: usize, v: usize| {
            let rho2 =
                mul_add::<FMA>(offset_u[u], offset_u[u], offset_v[v] * offset_v[v]);
            // R1 R2 - |A1 A2| where the foot of the perpendicular is on the edge, R1 R2 + A1 A2 beyond it.
            let beside = rho2 * (squares + rho2) * inverse[2 * u + v];
            2.0 * (rho2 + select(foot_on_edge, beside, product[2 * u + v]))
        };

        // 1/Q along u and along v, at one end of the edges.
        let qu = |end, v| corners.inverse_pair(axis_u, side(end, 0, v));
        let qv = |end, u| corners.inverse_pair(axis_v, side(end, u, 0));
        let slope_u = |end| (qv(end, 0) + qv(end, 1)) * (qu(end, 0) * qu(end, 1));
        let slope_v = |end| (qu(end, 0) + qu(end, 1)) * (qv(end, 0) * qv(end, 1));
        Self {
            length: 2.0 * half[axis],
            half_u: half[axis_u],
            half_v: half[axis_v],
            u: p[axis_u],
            v: p[axis_v],
            offset_u,
            offset_v,
            sum: [[sum_at(0, 0), sum_at(0, 1)], [sum_at(1, 0), sum_at(1, 1)]],
            excess: [[excess_at(0, 0), excess_at(0, 1)], [excess_at(1, 0), excess_at(1, 1)]],
            gu: [qu(0, 0) + qu(1, 0), qu(0, 1) + qu(1, 1)],
            gv: [qv(0, 0) + qv(1, 0), qv(0, 1) + qv(1, 1)],
            slope_gu: slope_u(0) + slope_u(1),
            slope_gv: slope_v(0) + slope_v(1),
        }
    }

    /// The same edges with u and v exchanged.
    #[inline(always)]
    fn transposed(&self) -> Self {
        let swap = |m: &[Pair; 2]| [[m[0][0], m[1][0]], [m[0][1], m[1][1]]];
        Self {
            length: self.length,
            half_u: self.half_v,
            half_v: self.half_u,
            u: self.v,
            v: self.u,
            offset_u: self.offset_v,
            offset_v: self.offset_u,
            sum: swap(&self.sum),
            excess: swap(&self.excess),
            gu: self.gv,
            gv: self.gu,
            slope_gu: self.slope_gv,
            slope_gv: self.slope_gu,
        }
    }

    /// 4 pi times the element M_uv of the matrix, in the first octant.
    #[inline(always)]
    fn logarithm<const FMA: bool>(&self) -> f64 {
        let l = self.length;
        let (s, k) = (&self.sum, &self.excess);
        let step_v = 4.0 * self.v * self.half_v;
        // H at far v: e_n e_f + L (e_n + e_f), with e = S - L = K / (S + L)
        let sl = [[s[0][0] + l, s[0][1] + l], [s[1][0] + l, s[1][1] + l]];
        let e_sum = mul_add::<FMA>(k[0][1], sl[1][1], k[1][1] * sl[0][1]);
        let h_far = mul_add::<FMA>(k[0][1], k[1][1], l * e_sum) / (sl[0][1] * sl[1][1]);
        // (H_far - H_near) / step_v and the whole bracket / step_v
        let dh = mul_add::<FMA>(self.gv[0], s[1][1], s[0][0] * self.gv[1]);
        let bracket = mul_add::<FMA>(self.slope_gu, h_far, self.gu[1] * dh);
        let numerator =
            (8.0 * self.u * self.half_u * l) * (step_v * bracket) * (sl[0][0] * sl[1][1]);
        let denominator = (k[0][0] * k[1][1]) * (sl[1][0] * sl[0][1]);
        ln_1p::<FMA>(numerator / denominator)
    }

    /// The complex number (den, num) whose angle is what these four edges contribute to 2 pi M_vv.
    /// `adding` says that the two pole faces add (the last paragraph at the head of this file).
    #[inline(always)]
    fn angle<const FMA: bool>(&self, adding: bool) -> (f64, f64) {
        let l = self.length;
        let s = &self.sum;
        let [near, far] = self.offset_v;
        let near = select(adding, -near, near);
        // D = K + 2 Z S and N = 2 L Y: an edge is the angle of D + i N.
        let d_at = |u: usize, v: usize, z: f64| mul_add::<FMA>(2.0 * z, s[u][v], self.excess[u][v]);
        let d = [
            [d_at(0, 0, near), d_at(0, 1, far)],
            [d_at(1, 0, near), d_at(1, 1, far)],
        ];
        // The pair across u, at each pole face: (D_f + i N_f)(D_n - i N_n) = U + i (4 L half_u) g.
        let step_u = 2.0 * self.u * self.offset_u[0];
        let nn = (4.0 * l * l) * (self.offset_u[0] * self.offset_u[1]);
        let weight = 4.0 * l * self.half_u;
        let g_at = |v: usize, z: f64| {
            mul_add::<FMA>(
                -step_u * self.gu[v],
                s[1][v] + mul_add::<FMA>(2.0, z, s[0][v]),
                d[0][v],
            )
        };
        let (g_near, g_far) = (g_at(0, near), g_at(1, far));
        let u_near = mul_add::<FMA>(d[1][0], d[0][0], nn);
        let u_far = mul_add::<FMA>(d[1][1], d[0][1], nn);

        // Far minus near pole face, each divided by 4 half_v; used where the faces subtract.
        let ds = [self.v * self.gv[0], self.v * self.gv[1]];
        let dd_at = |u: usize| {
            mul_add::<FMA>(ds[u], s[u][0] + mul_add::<FMA>(2.0, near, s[u][1]), s[u][1])
        };
        let dd = [dd_at(0), dd_at(1)];
        let du = mul_add::<FMA>(dd[1], d[0][1], d[1][0] * dd[0]);
        let spread_far = s[1][1] + mul_add::<FMA>(2.0, far, s[0][1]);
        let dg_inner = mul_add::<FMA>(
            self.gu[0],
            ds[0] + ds[1] + 1.0,
            -(self.v * self.slope_gu) * spread_far,
        );
        let dg = mul_add::<FMA>(-step_u, dg_inner, dd[0]);
        let difference =
            (4.0 * self.half_v) * mul_add::<FMA>(g_near, du, -(dg * u_near));
        let total = -mul_add::<FMA>(g_near, u_far, g_far * u_near);

        let uu = u_near * u_far;
        let vv = (weight * g_near) * (weight * g_far);
        (
            select(adding, uu - vv, uu + vv),
            weight * select(adding, total, difference),
        )
    }
}

/// 2 pi M_vv from the two sets of edges around the pole faces of the axis v.
#[inline(always)]
fn diagonal<const FMA: bool>(first: &Edges, second: &Edges, inside: bool) -> f64 {
    let near = first.offset_v[0];
    // The offsets of the nearest edge parallel to v.
    let (du, dw) = (first.offset_u[0], second.offset_u[0]);
    let adding = near < 0.0 && 4.0 * near * near > mul_add::<FMA>(du, du, dw * dw);
    let (den_1, num_1) = first.angle::<FMA>(adding);
    let (den_2, num_2) = second.angle::<FMA>(adding);
    let num = mul_add::<FMA>(num_1, den_2, den_1 * num_2);
    let den = mul_add::<FMA>(den_1, den_2, -(num_1 * num_2));
    let angle = atan2::<FMA>(num, den);
    // Outside the angle lies in (-pi, pi), inside in (0, 2 pi); on a face the limit from outside is taken.
    select(inside && angle < 0.0, angle + TAU, angle)
}

/// B at `p` of the block with half sides `half` and polarization `j`, all in the block's frame.
///
/// `COMPONENTS` is how many components of `j` count: 1 for (0, 0, j), 2 for (0, j, j), 3 for any; the
/// caller permutes the axes to suit. On an edge the result is infinite or NaN.
#[inline(always)]
pub(super) fn field<const FMA: bool, const COMPONENTS: usize>(
    p: [f64; 3],
    half: [f64; 3],
    j: [f64; 3],
) -> [f64; 3] {
    let q = p.map(f64::abs);
    let inside = q[0] < half[0] && q[1] < half[1] && q[2] < half[2];
    // Odd in two coordinates each: the signs go to the polarization before and to the field after.
    let flip = |value: f64, axis: usize| value * 1f64.copysign(p[axis]);
    let j = [flip(j[0], 0), flip(j[1], 1), flip(j[2], 2)];

    let corners = Corners::new::<FMA>(q, half);
    let edges_x = Edges::new::<FMA>(&corners, q, half, [0, 1, 2]);
    let edges_y = Edges::new::<FMA>(&corners, q, half, [1, 0, 2]);
    let yz = edges_x.logarithm::<FMA>();
    let xz = edges_y.logarithm::<FMA>();
    let zz = 2.0 * diagonal::<FMA>(&edges_x, &edges_y, inside);
    let mut b = [xz * j[2], yz * j[2], zz * j[2]];
    if COMPONENTS > 1 {
        let edges_z = Edges::new::<FMA>(&corners, q, half, [2, 0, 1]);
        let xy = edges_z.logarithm::<FMA>();
        let yy = 2.0 * diagonal::<FMA>(&edges_z, &edges_x.transposed(), inside);
        b = [
            mul_add::<FMA>(xy, j[1], b[0]),
            mul_add::<FMA>(yy, j[1], b[1]),
            mul_add::<FMA>(yz, j[1], b[2]),
        ];
        if COMPONENTS > 2 {
            let xx =
                2.0 * diagonal::<FMA>(&edges_y.transposed(), &edges_z.transposed(), inside);
            b = [
                mul_add::<FMA>(xx, j[0], b[0]),
                mul_add::<FMA>(xy, j[0], b[1]),
                mul_add::<FMA>(xz, j[0], b[2]),
            ];
        }
    }
    const SCALE: f64 = 1.0 / (2.0 * TAU);
    [
        flip(b[0] * SCALE, 0),
        flip(b[1] * SCALE, 1),
        flip(b[2] * SCALE, 2),
    ]
}
