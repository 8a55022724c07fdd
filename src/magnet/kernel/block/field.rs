//! The field of a uniformly polarized block, without cancellation: one straight line of arithmetic that serves a
//! single point and, looped over blocks of points, the vector units.
//!
//! # The quantity
//! B = M J, with M the symmetric matrix of the block at the point (in the block's own frame). Outside, M has
//! trace 0; inside, B = mu0 H + J is already contained and the trace is 2. The textbook form is a sum over eight
//! corners: M_xz = sum ln(Y + R) / 4 pi, M_zz = sum atan(X Y / (Z R)) / 4 pi (Furlani 2001, ch. 4; Engel-Herbert and
//! Hesjedal, J. Appl. Phys. 97 (2005) 074504, eqs. 1-4). Far away, and on thin shapes, that sum loses everything.
//! Here the eight terms are merged into one logarithm and one angle each, and all differences are taken in exact
//! arithmetic form: R1 - R2 is never computed but (R1^2 - R2^2) / (R1 + R2), whose numerator is a product.
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
//! tan(T / 2) = 2 L Y / (K + 2 Z S), by the half-angle formula of van Oosterom and Strackee (IEEE Trans. Biomed. Eng.
//! 30 (1983) 125), in which the common factor Z cancels. With Z signed, T continues smoothly through the plane of the
//! rectangle, and the sum over both pole faces gives B inside as well as outside. Four edges are multiplied as complex
//! numbers (K + 2 Z S) + 2 i L Y, differences first across the pair, then across the pole faces, again in exact form.
//!
//! Where the point is lower than the near pole face by more than half its distance to a vertical edge, K - 2 |Z| S
//! would cancel; there T(-Z) = 2 phi - T(Z) is used, whose in-plane angles phi add up to nothing (foot outside) or a
//! full turn (foot inside), and the two pole faces add instead of subtracting.

use std::f64::consts::TAU;

use nalgebra::{Isometry3, Point3, Vector3};

use crate::magnet::kernel::algebra::dot;
use crate::numeric::simd::lanes::{atan2, ln_1p, mul_add, reciprocals, select};

// Everything below is written out with constant indices and `inline(always)` functions, no closures and no loops:
// whatever the compiler leaves as a call or as an array in memory would keep the loop over the lanes from becoming
// vector code.

/// Near and far value along one axis.
pub(in crate::magnet) type Pair = [f64; 2];
/// By near/far side along one axis, then along another.
pub(in crate::magnet) type Square = [Pair; 2];

#[inline(always)]
pub(in crate::magnet) fn transpose(m: Square) -> Square {
    [[m[0][0], m[1][0]], [m[0][1], m[1][1]]]
}

#[inline(always)]
fn add(a: Square, b: Square) -> Square {
    [
        [a[0][0] + b[0][0], a[0][1] + b[0][1]],
        [a[1][0] + b[1][0], a[1][1] + b[1][1]],
    ]
}

/// One axis: half the block's side, the point's coordinate, and its offsets from the near and the far side.
#[derive(Clone, Copy)]
pub(in crate::magnet) struct Along {
    pub(in crate::magnet) half: f64,
    pub(in crate::magnet) at: f64,
    pub(in crate::magnet) offset: Pair,
}

impl Along {
    #[inline(always)]
    pub(in crate::magnet) fn new(at: f64, half: f64) -> Self {
        Self {
            half,
            at,
            offset: [at - half, at + half],
        }
    }
}

#[inline(always)]
fn radius<const FMA: bool>(x: f64, y: f64, z: f64) -> f64 {
    mul_add::<FMA>(x, x, mul_add::<FMA>(y, y, z * z)).sqrt()
}

/// The distances to the eight corners and the reciprocals of their pairwise sums.
pub(in crate::magnet) struct Corners {
    /// R by side in y and z, for the near and the far side in x.
    pub(in crate::magnet) near: Square,
    pub(in crate::magnet) far: Square,
    /// 1 / (R_near + R_far) along x, by sides [y][z]; along y, by [x][z]; along z, by [x][y].
    pub(in crate::magnet) inverse_x: Square,
    pub(in crate::magnet) inverse_y: Square,
    pub(in crate::magnet) inverse_z: Square,
}

#[inline(always)]
pub(in crate::magnet) fn reciprocal_square(m: Square) -> Square {
    let q = reciprocals([m[0][0], m[0][1], m[1][0], m[1][1]]);
    [[q[0], q[1]], [q[2], q[3]]]
}

#[inline(always)]
fn face_radii<const FMA: bool>(x: f64, y: Pair, z: Pair) -> Square {
    [
        [radius::<FMA>(x, y[0], z[0]), radius::<FMA>(x, y[0], z[1])],
        [radius::<FMA>(x, y[1], z[0]), radius::<FMA>(x, y[1], z[1])],
    ]
}

impl Corners {
    #[inline(always)]
    pub(in crate::magnet) fn new<const FMA: bool>(x: Along, y: Along, z: Along) -> Self {
        let near = face_radii::<FMA>(x.offset[0], y.offset, z.offset);
        let far = face_radii::<FMA>(x.offset[1], y.offset, z.offset);
        Self {
            near,
            far,
            inverse_x: reciprocal_square(add(near, far)),
            inverse_y: reciprocal_square([
                [near[0][0] + near[1][0], near[0][1] + near[1][1]],
                [far[0][0] + far[1][0], far[0][1] + far[1][1]],
            ]),
            inverse_z: reciprocal_square([
                [near[0][0] + near[0][1], near[1][0] + near[1][1]],
                [far[0][0] + far[0][1], far[1][0] + far[1][1]],
            ]),
        }
    }
}

/// K = 2 (R1 R2 + r1 . r2) of one edge. R1 R2 - |A1 A2| is taken in exact form where the foot of the perpendicular is
/// on the edge; beyond it, R1 R2 + A1 A2 has nothing to cancel.
#[inline(always)]
fn excess(foot_on_edge: bool, squares: f64, rho2: f64, product: f64, inverse: f64) -> f64 {
    let beside = rho2 * (squares + rho2) * inverse;
    2.0 * (rho2 + select(foot_on_edge, beside, product))
}

/// The four edges parallel to one axis; u and v are the other two, and v is the axis of the pole faces.
/// Squares are indexed by side in u, then in v.
#[derive(Clone, Copy)]
pub(in crate::magnet) struct Edges {
    pub(in crate::magnet) length: f64,
    pub(in crate::magnet) u: Along,
    pub(in crate::magnet) v: Along,
    /// S
    pub(in crate::magnet) sum: Square,
    /// K = S^2 - L^2
    pub(in crate::magnet) excess: Square,
    /// Sum over the ends of 1/Q along u, by side in v; and the other way round.
    pub(in crate::magnet) gu: Pair,
    pub(in crate::magnet) gv: Pair,
    /// (gu[near] - gu[far]) / (4 v half_v) and (gv[near] - gv[far]) / (4 u half_u)
    pub(in crate::magnet) slope_gu: f64,
    pub(in crate::magnet) slope_gv: f64,
}

impl Edges {
    /// `near` and `far` are the distances to the two ends of each edge, `qu` and `qv` 1/Q by end and side.
    #[inline(always)]
    pub(in crate::magnet) fn new<const FMA: bool>(
        axis: Along,
        u: Along,
        v: Along,
        near: Square,
        far: Square,
        qu: Square,
        qv: Square,
    ) -> Self {
        let [a, b] = axis.offset;
        let foot_on_edge = a < 0.0;
        let along = a.abs() * b;
        let squares = mul_add::<FMA>(a, a, b * b);
        let product = [
            mul_add::<FMA>(near[0][0], far[0][0], along),
            mul_add::<FMA>(near[0][1], far[0][1], along),
            mul_add::<FMA>(near[1][0], far[1][0], along),
            mul_add::<FMA>(near[1][1], far[1][1], along),
        ];
        let inverse = reciprocals([
            select(foot_on_edge, product[0], 1.0),
            select(foot_on_edge, product[1], 1.0),
            select(foot_on_edge, product[2], 1.0),
            select(foot_on_edge, product[3], 1.0),
        ]);
        let (u2, v2) = (
            [u.offset[0] * u.offset[0], u.offset[1] * u.offset[1]],
            [v.offset[0] * v.offset[0], v.offset[1] * v.offset[1]],
        );
        Self {
            length: 2.0 * axis.half,
            u,
            v,
            sum: add(near, far),
            excess: [
                [
                    excess(foot_on_edge, squares, u2[0] + v2[0], product[0], inverse[0]),
                    excess(foot_on_edge, squares, u2[0] + v2[1], product[1], inverse[1]),
                ],
                [
                    excess(foot_on_edge, squares, u2[1] + v2[0], product[2], inverse[2]),
                    excess(foot_on_edge, squares, u2[1] + v2[1], product[3], inverse[3]),
                ],
            ],
            gu: [qu[0][0] + qu[1][0], qu[0][1] + qu[1][1]],
            gv: [qv[0][0] + qv[1][0], qv[0][1] + qv[1][1]],
            slope_gu: mul_add::<FMA>(
                qv[0][0] + qv[0][1],
                qu[0][0] * qu[0][1],
                (qv[1][0] + qv[1][1]) * (qu[1][0] * qu[1][1]),
            ),
            slope_gv: mul_add::<FMA>(
                qu[0][0] + qu[0][1],
                qv[0][0] * qv[0][1],
                (qu[1][0] + qu[1][1]) * (qv[1][0] * qv[1][1]),
            ),
        }
    }

    /// The same edges with u and v exchanged.
    #[inline(always)]
    fn transposed(self) -> Self {
        Self {
            length: self.length,
            u: self.v,
            v: self.u,
            sum: transpose(self.sum),
            excess: transpose(self.excess),
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
        let (s, k) = (self.sum, self.excess);
        let step_v = 4.0 * self.v.at * self.v.half;
        // H at far v: e_n e_f + L (e_n + e_f), with e = S - L = K / (S + L); here times (S_n + L)(S_f + L), to save
        // the division
        let sl = [[s[0][0] + l, s[0][1] + l], [s[1][0] + l, s[1][1] + l]];
        let e_sum = mul_add::<FMA>(k[0][1], sl[1][1], k[1][1] * sl[0][1]);
        let h_far = mul_add::<FMA>(k[0][1], k[1][1], l * e_sum);
        // (H_far - H_near) / step_v, and the whole bracket in the same measure as h_far
        let dh = mul_add::<FMA>(self.gv[0], s[1][1], s[0][0] * self.gv[1]);
        let bracket = mul_add::<FMA>(
            self.slope_gu,
            h_far,
            (self.gu[1] * dh) * (sl[0][1] * sl[1][1]),
        );
        let numerator = (8.0 * self.u.at * self.u.half * l) * (step_v * bracket) * sl[0][0];
        let denominator = (k[0][0] * k[1][1]) * (sl[1][0] * sl[0][1] * sl[0][1]);
        ln_1p::<FMA>(numerator / denominator)
    }

    /// The complex number (den, num) whose angle is what these four edges contribute to 2 pi M_vv.
    /// `adding` says that the two pole faces add (the last paragraph at the head of this file).
    #[inline(always)]
    fn angle<const FMA: bool>(&self, adding: bool) -> (f64, f64) {
        let l = self.length;
        let (s, k) = (self.sum, self.excess);
        let [near, far] = self.v.offset;
        let near = select(adding, -near, near);
        let (near2, far2) = (2.0 * near, 2.0 * far);
        // D = K + 2 Z S and N = 2 L Y: an edge is the angle of D + i N.
        let d = [
            [
                mul_add::<FMA>(near2, s[0][0], k[0][0]),
                mul_add::<FMA>(far2, s[0][1], k[0][1]),
            ],
            [
                mul_add::<FMA>(near2, s[1][0], k[1][0]),
                mul_add::<FMA>(far2, s[1][1], k[1][1]),
            ],
        ];
        // The pair across u, at each pole face: (D_f + i N_f)(D_n - i N_n) = U + i weight g.
        let step_u = 2.0 * self.u.at * self.u.offset[0];
        let weight = 4.0 * l * self.u.half;
        let nn = (4.0 * l * l) * (self.u.offset[0] * self.u.offset[1]);
        let spread_near = s[1][0] + s[0][0] + near2;
        let spread_far = s[1][1] + s[0][1] + far2;
        let g_near = mul_add::<FMA>(-step_u * self.gu[0], spread_near, d[0][0]);
        let g_far = mul_add::<FMA>(-step_u * self.gu[1], spread_far, d[0][1]);
        let u_near = mul_add::<FMA>(d[1][0], d[0][0], nn);
        let u_far = mul_add::<FMA>(d[1][1], d[0][1], nn);

        // Far minus near pole face, each divided by 4 half_v; used where the faces subtract.
        let ds = [self.v.at * self.gv[0], self.v.at * self.gv[1]];
        let dd = [
            mul_add::<FMA>(ds[0], s[0][0] + s[0][1] + near2, s[0][1]),
            mul_add::<FMA>(ds[1], s[1][0] + s[1][1] + near2, s[1][1]),
        ];
        let du = mul_add::<FMA>(dd[1], d[0][1], d[1][0] * dd[0]);
        let dg_inner = mul_add::<FMA>(
            self.gu[0],
            ds[0] + ds[1] + 1.0,
            -(self.v.at * self.slope_gu) * spread_far,
        );
        let dg = mul_add::<FMA>(-step_u, dg_inner, dd[0]);
        let difference = (4.0 * self.v.half) * mul_add::<FMA>(g_near, du, -(dg * u_near));
        let total = -mul_add::<FMA>(g_near, u_far, g_far * u_near);

        let uu = u_near * u_far;
        let vv = (weight * g_near) * (weight * g_far);
        (
            uu + select(adding, -vv, vv),
            weight * select(adding, total, difference),
        )
    }
}

/// 2 pi M_vv from the two sets of edges around the pole faces of the axis v. Without `MATERIAL`, M_vv - 1 inside:
/// what H has of it.
#[inline(always)]
fn diagonal<const FMA: bool, const MATERIAL: bool>(
    first: &Edges,
    second: &Edges,
    inside: bool,
) -> f64 {
    let near = first.v.offset[0];
    // The offsets of the nearest edge parallel to v.
    let (du, dw) = (first.u.offset[0], second.u.offset[0]);
    let adding = (near < 0.0) & (4.0 * near * near > mul_add::<FMA>(du, du, dw * dw));
    let (den_1, num_1) = first.angle::<FMA>(adding);
    let (den_2, num_2) = second.angle::<FMA>(adding);
    let num = mul_add::<FMA>(num_1, den_2, den_1 * num_2);
    let den = mul_add::<FMA>(den_1, den_2, -(num_1 * num_2));
    let angle = atan2::<FMA>(num, den);
    // Outside the angle lies in (-pi, pi), inside in (0, 2 pi), or for H in (-2 pi, 0); on a face the limit from
    // outside is taken.
    if MATERIAL {
        select(inside & (angle < 0.0), angle + TAU, angle)
    } else {
        select(inside & (angle > 0.0), angle - TAU, angle)
    }
}

/// A block ready for the kernel: its axes permuted so that the components of the polarization that are zero come first,
/// because every further component costs a logarithm or an angle.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::magnet) struct Placed {
    origin: [f64; 3],
    /// Unit vectors of the kernel's axes, in the frame of the query.
    pub(in crate::magnet) axes: [[f64; 3]; 3],
    pub(in crate::magnet) half: [f64; 3],
    pub(in crate::magnet) polarization: [f64; 3],
    /// How many components of the polarization count: 1 for (0, 0, j), 2 for (0, j, j), 3 for any.
    pub(in crate::magnet) components: u8,
}

impl Placed {
    pub(in crate::magnet) fn new(
        size: &Vector3<f64>,
        polarization: &Vector3<f64>,
        pose: &Isometry3<f64>,
    ) -> Self {
        let mut order = [0, 1, 2];
        order.sort_by_key(|&axis| polarization[axis] != 0.0);
        let count = polarization.iter().filter(|j| **j != 0.0).count();
        let rotation = pose.rotation.to_rotation_matrix();
        Self {
            origin: pose.translation.vector.into(),
            axes: order.map(|axis| rotation.matrix().column(axis).into_owned().into()),
            half: order.map(|axis| 0.5 * size[axis]),
            polarization: order.map(|axis| polarization[axis]),
            components: count.max(1) as u8,
        }
    }

    /// A point in the kernel's frame.
    #[inline(always)]
    pub(in crate::magnet) fn local(&self, point: [f64; 3]) -> [f64; 3] {
        let d = [
            point[0] - self.origin[0],
            point[1] - self.origin[1],
            point[2] - self.origin[2],
        ];
        let [a, b, c] = self.axes;
        // Never fused: one point and many must agree on which side of a face, or on which edge, a point lies.
        [dot::<false>(a, d), dot::<false>(b, d), dot::<false>(c, d)]
    }
}

/// B, or without `MATERIAL` mu0 H, at one point, in the frame of the query; not finite on an edge.
pub(in crate::magnet) fn field<const MATERIAL: bool>(
    placed: &Placed,
    point: &Point3<f64>,
) -> Vector3<f64> {
    let p = [point.x, point.y, point.z];
    let b = match placed.components {
        1 => world_field::<false, 1, MATERIAL>(placed, p),
        2 => world_field::<false, 2, MATERIAL>(placed, p),
        _ => world_field::<false, 3, MATERIAL>(placed, p),
    };
    b.into()
}

/// Whether a point lies in the material and not on its surface, by the same arithmetic as in [`field`].
pub(in crate::magnet) fn is_inside(placed: &Placed, point: &Point3<f64>) -> bool {
    let p = placed.local([point.x, point.y, point.z]);
    inside([p[0].abs(), p[1].abs(), p[2].abs()], placed.half)
}

/// Adds B (without `MATERIAL` mu0 H) at each point to `values`, NaN on an edge.
#[inline(always)]
pub(in crate::magnet) fn add_fields<const FMA: bool, const MATERIAL: bool>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    match placed.components {
        1 => add_blocks::<FMA, 1, MATERIAL>(placed, points, values),
        2 => add_blocks::<FMA, 2, MATERIAL>(placed, points, values),
        _ => add_blocks::<FMA, 3, MATERIAL>(placed, points, values),
    }
}

/// Points to a block: long enough to fill the widest vector unit many times, short enough to stay in the first cache.
pub(in crate::magnet) const LANES: usize = 64;

#[inline(always)]
fn add_blocks<const FMA: bool, const COMPONENTS: usize, const MATERIAL: bool>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    let mut p = [[0.0; LANES]; 3];
    let mut b = [[0.0; LANES]; 3];
    for (points, values) in points.chunks(LANES).zip(values.chunks_mut(LANES)) {
        for (lane, point) in points.iter().enumerate() {
            (p[0][lane], p[1][lane], p[2][lane]) = (point.x, point.y, point.z);
        }
        // Lanes left over from the block before are computed again and dropped.
        for lane in 0..LANES {
            let point = [p[0][lane], p[1][lane], p[2][lane]];
            let field = world_field::<FMA, COMPONENTS, MATERIAL>(placed, point);
            (b[0][lane], b[1][lane], b[2][lane]) = (field[0], field[1], field[2]);
        }
        for (lane, value) in values.iter_mut().enumerate() {
            *value += Vector3::new(b[0][lane], b[1][lane], b[2][lane]);
        }
    }
}

/// From the frame of the query to the block's own and back.
#[inline(always)]
fn world_field<const FMA: bool, const COMPONENTS: usize, const MATERIAL: bool>(
    placed: &Placed,
    point: [f64; 3],
) -> [f64; 3] {
    let [a, b, c] = placed.axes;
    let p = placed.local(point);
    let f = local_field::<FMA, COMPONENTS, MATERIAL>(p, placed.half, placed.polarization);
    [
        dot::<FMA>([a[0], b[0], c[0]], f),
        dot::<FMA>([a[1], b[1], c[1]], f),
        dot::<FMA>([a[2], b[2], c[2]], f),
    ]
}

/// B (without `MATERIAL` mu0 H) at `p` of the block with half sides `half` and polarization `j`, all in the block's
/// frame; NaN on an edge.
#[inline(always)]
pub(crate) fn local_field<const FMA: bool, const COMPONENTS: usize, const MATERIAL: bool>(
    p: [f64; 3],
    half: [f64; 3],
    j: [f64; 3],
) -> [f64; 3] {
    let q = [p[0].abs(), p[1].abs(), p[2].abs()];
    let inside = inside(q, half);
    let on_edge = on_edge(q, half);
    // Odd in two coordinates each: the signs go to the polarization before and to the field after.
    let sign = [
        1f64.copysign(p[0]),
        1f64.copysign(p[1]),
        1f64.copysign(p[2]),
    ];
    let j = [j[0] * sign[0], j[1] * sign[1], j[2] * sign[2]];

    let x = Along::new(q[0], half[0]);
    let y = Along::new(q[1], half[1]);
    let z = Along::new(q[2], half[2]);
    let c = Corners::new::<FMA>(x, y, z);
    let edges_x = Edges::new::<FMA>(x, y, z, c.near, c.far, c.inverse_y, c.inverse_z);
    let edges_y = Edges::new::<FMA>(
        y,
        x,
        z,
        [c.near[0], c.far[0]],
        [c.near[1], c.far[1]],
        c.inverse_x,
        transpose(c.inverse_z),
    );
    let yz = edges_x.logarithm::<FMA>();
    let xz = edges_y.logarithm::<FMA>();
    let zz = 2.0 * diagonal::<FMA, MATERIAL>(&edges_x, &edges_y, inside);
    let mut b = [xz * j[2], yz * j[2], zz * j[2]];
    if COMPONENTS > 1 {
        let edges_z = Edges::new::<FMA>(
            z,
            x,
            y,
            [[c.near[0][0], c.near[1][0]], [c.far[0][0], c.far[1][0]]],
            [[c.near[0][1], c.near[1][1]], [c.far[0][1], c.far[1][1]]],
            transpose(c.inverse_x),
            transpose(c.inverse_y),
        );
        let xy = edges_z.logarithm::<FMA>();
        let yy = 2.0 * diagonal::<FMA, MATERIAL>(&edges_z, &edges_x.transposed(), inside);
        b = [
            mul_add::<FMA>(xy, j[1], b[0]),
            mul_add::<FMA>(yy, j[1], b[1]),
            mul_add::<FMA>(yz, j[1], b[2]),
        ];
        if COMPONENTS > 2 {
            let xx = 2.0
                * diagonal::<FMA, MATERIAL>(&edges_y.transposed(), &edges_z.transposed(), inside);
            b = [
                mul_add::<FMA>(xx, j[0], b[0]),
                mul_add::<FMA>(xy, j[0], b[1]),
                mul_add::<FMA>(xz, j[0], b[2]),
            ];
        }
    }
    let scale = select(on_edge, f64::NAN, 1.0 / (2.0 * TAU));
    [
        b[0] * (sign[0] * scale),
        b[1] * (sign[1] * scale),
        b[2] * (sign[2] * scale),
    ]
}

/// Whether a point of the first octant lies in the material.
#[inline(always)]
fn inside(q: [f64; 3], half: [f64; 3]) -> bool {
    (q[0] < half[0]) & (q[1] < half[1]) & (q[2] < half[2])
}

/// Whether a point of the first octant lies on an edge or corner: the ideal field has no value there.
#[inline(always)]
pub(in crate::magnet) fn on_edge(q: [f64; 3], half: [f64; 3]) -> bool {
    let at = [q[0] == half[0], q[1] == half[1], q[2] == half[2]];
    let up_to = [q[0] <= half[0], q[1] <= half[1], q[2] <= half[2]];
    (at[0] & at[1] & up_to[2]) | (at[1] & at[2] & up_to[0]) | (at[2] & at[0] & up_to[1])
}
