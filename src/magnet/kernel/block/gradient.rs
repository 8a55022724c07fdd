//! The gradient of the block's field, without cancellation and without any logarithm or angle.
//!
//! # The quantity
//! With B = M J, the derivatives d M_ij / d x_k form a tensor T_ijk that is symmetric in all three indices and has
//! trace 0, inside the material as well as outside: there are seven numbers, and dB_i/dx_j = T_ijk J_k. The textbook
//! corner sums of M (head of the module above) differentiate to algebraic ones. With the kernel's symbols, for the
//! four edges parallel to w,
//!
//! T_uuv = -(1 / 4 pi) sum +- U E,  T_uvv = -(1 / 4 pi) sum +- V E,
//!
//! E = (W_f / R_f - W_n / R_n) / (U^2 + V^2) = 2 L S / (K R_n R_f),
//!
//! and T_xyz = -(1 / 4 pi) sum +- 1 / R over the eight corners. What is left, T_uuu, follows from the trace.
//!
//! # The form used
//! E = 2 L I k, with I = 1 / R_n + 1 / R_f and k = 1 / K, falls as the edge gets farther away in u or v, and so does
//! every factor it is made of. The difference of a product of falling factors is a sum of positive terms (a b - a' b'
//! = (a - a') b + a' (b - b')), and the difference of each factor is known in exact form: 1 / R - 1 / R' = (R'^2 -
//! R^2) / (R R' (R + R')), whose numerator is a product. Differences are divided by their step (4 u half_u along u),
//! so that nothing becomes small. Then
//!
//! T_uuv = (volume / pi) v (E_v - 2 u U_n E_uv),  T_xyz = -(2 volume / pi) x y z (1/R)_xyz,
//!
//! where E_v is the divided difference across v at the far side in u and E_uv that across both, each over 2 L. The
//! two terms have their own zeros; where they cancel, the other elements of the tensor do not.
//!
//! T is smooth through the faces. On an edge it has no value.

use std::f64::consts::PI;

use nalgebra::{Matrix3, Point3};

use crate::magnet::kernel::algebra::{matrix, turned};
use crate::magnet::kernel::block::field::{
    Along, Corners, Edges, LANES, Pair, Placed, Square, on_edge, reciprocal_square, transpose,
};
use crate::numeric::simd::lanes::{mul_add, select};

/// The gradient at one point, in the frame of the query; not finite on an edge.
pub(in crate::magnet) fn gradient(placed: &Placed, point: &Point3<f64>) -> Matrix3<f64> {
    let p = [point.x, point.y, point.z];
    let g = if placed.components == 1 {
        world_gradient::<false, 1>(placed, p)
    } else {
        world_gradient::<false, 3>(placed, p)
    };
    matrix(g)
}

/// Adds the gradient at each point to `values`, NaN on an edge.
#[inline(always)]
pub(in crate::magnet) fn add_gradients<const FMA: bool>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    if placed.components == 1 {
        add_blocks::<FMA, 1>(placed, points, values);
    } else {
        add_blocks::<FMA, 3>(placed, points, values);
    }
}

#[inline(always)]
fn add_blocks<const FMA: bool, const COMPONENTS: usize>(
    placed: &Placed,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    let mut p = [[0.0; LANES]; 3];
    let mut g = [[0.0; LANES]; 6];
    for (points, values) in points.chunks(LANES).zip(values.chunks_mut(LANES)) {
        for (lane, point) in points.iter().enumerate() {
            (p[0][lane], p[1][lane], p[2][lane]) = (point.x, point.y, point.z);
        }
        // Lanes left over from the block before are computed again and dropped.
        for lane in 0..LANES {
            let [xx, xy, xz, yy, yz, zz] =
                world_gradient::<FMA, COMPONENTS>(placed, [p[0][lane], p[1][lane], p[2][lane]]);
            (g[0][lane], g[1][lane], g[2][lane]) = (xx, xy, xz);
            (g[3][lane], g[4][lane], g[5][lane]) = (yy, yz, zz);
        }
        for (lane, value) in values.iter_mut().enumerate() {
            *value += matrix([
                g[0][lane], g[1][lane], g[2][lane], g[3][lane], g[4][lane], g[5][lane],
            ]);
        }
    }
}

/// From the frame of the query to the block's own and back. Elements in the order xx, xy, xz, yy, yz, zz.
#[inline(always)]
fn world_gradient<const FMA: bool, const COMPONENTS: usize>(
    placed: &Placed,
    point: [f64; 3],
) -> [f64; 6] {
    let p = placed.local(point);
    let local = local_gradient::<FMA, COMPONENTS>(p, placed.half, placed.polarization);
    turned::<FMA>(local, placed.axes)
}

/// The gradient at `p` of the block with half sides `half` and polarization `j`, all in the block's frame; NaN on an
/// edge.
#[inline(always)]
fn local_gradient<const FMA: bool, const COMPONENTS: usize>(
    p: [f64; 3],
    half: [f64; 3],
    j: [f64; 3],
) -> [f64; 6] {
    let q = [p[0].abs(), p[1].abs(), p[2].abs()];
    let on_edge = on_edge(q, half);
    // Each index of T that names an axis changes sign with the mirror across it: once for J before, twice for G after.
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
    let near = reciprocal_square(c.near);
    let far = reciprocal_square(c.far);

    let edges_x = Edges::new::<FMA>(x, y, z, c.near, c.far, c.inverse_y, c.inverse_z);
    let (yyz, yzz) = edges_x.third_derivatives::<FMA>(near, far, c.inverse_y, c.inverse_z);
    let edges_y = Edges::new::<FMA>(
        y,
        x,
        z,
        [c.near[0], c.far[0]],
        [c.near[1], c.far[1]],
        c.inverse_x,
        transpose(c.inverse_z),
    );
    let (xxz, xzz) = edges_y.third_derivatives::<FMA>(
        [near[0], far[0]],
        [near[1], far[1]],
        c.inverse_x,
        transpose(c.inverse_z),
    );
    let xyz = -2.0 * (x.at * y.at * z.at) * corners::<FMA>(near, far, &c);
    let zzz = -(xxz + yyz);
    let mut g = [
        xxz * j[2],
        xyz * j[2],
        xzz * j[2],
        yyz * j[2],
        yzz * j[2],
        zzz * j[2],
    ];
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
        let (xxy, xyy) = edges_z.third_derivatives::<FMA>(
            [[near[0][0], near[1][0]], [far[0][0], far[1][0]]],
            [[near[0][1], near[1][1]], [far[0][1], far[1][1]]],
            transpose(c.inverse_x),
            transpose(c.inverse_y),
        );
        let xxx = -(xyy + xzz);
        let yyy = -(xxy + yzz);
        g = [
            mul_add::<FMA>(xxx, j[0], mul_add::<FMA>(xxy, j[1], g[0])),
            mul_add::<FMA>(xxy, j[0], mul_add::<FMA>(xyy, j[1], g[1])),
            mul_add::<FMA>(xxz, j[0], mul_add::<FMA>(xyz, j[1], g[2])),
            mul_add::<FMA>(xyy, j[0], mul_add::<FMA>(yyy, j[1], g[3])),
            mul_add::<FMA>(xyz, j[0], mul_add::<FMA>(yyz, j[1], g[4])),
            mul_add::<FMA>(xzz, j[0], mul_add::<FMA>(yzz, j[1], g[5])),
        ];
    }
    let volume = 8.0 * (half[0] * half[1] * half[2]);
    let scale = select(on_edge, f64::NAN, volume / PI);
    [
        g[0] * scale,
        g[1] * (sign[0] * sign[1] * scale),
        g[2] * (sign[0] * sign[2] * scale),
        g[3] * scale,
        g[4] * (sign[1] * sign[2] * scale),
        g[5] * scale,
    ]
}

/// Divided differences of 1/R at one end of four edges, all positive: across u by side in v, across v by side in u,
/// and across both. `r` is 1/R by side in u and v, `qu` and `qv` the 1/Q by the other side.
#[inline(always)]
fn of_reciprocals<const FMA: bool>(r: Square, qu: Pair, qv: Pair) -> (Pair, Pair, f64) {
    let across_u = [qu[0] * (r[0][0] * r[1][0]), qu[1] * (r[0][1] * r[1][1])];
    let across_v = [qv[0] * (r[0][0] * r[0][1]), qv[1] * (r[1][0] * r[1][1])];
    // (1/Q_n - 1/Q_f) / (R_nn R_fn) + (1 / (R_nn R_fn) - 1 / (R_nf R_ff)) / Q_f, over the step along v
    let crossed = mul_add::<FMA>(r[1][0], qv[1], r[0][1] * qv[0]);
    let both = mul_add::<FMA>(
        across_u[0] * qu[1],
        qv[0] + qv[1],
        (qu[1] * r[0][0]) * (r[1][1] * crossed),
    );
    (across_u, across_v, both)
}

impl Edges {
    /// T_uuv and T_uvv over volume / pi, in the first octant. `near` and `far` are the reciprocal distances to the
    /// ends, `qu` and `qv` as for [`Edges::new`].
    #[inline(always)]
    fn third_derivatives<const FMA: bool>(
        &self,
        near: Square,
        far: Square,
        qu: Square,
        qv: Square,
    ) -> (f64, f64) {
        // I and its differences: both ends together.
        let (u_near, v_near, both_near) = of_reciprocals::<FMA>(near, qu[0], qv[0]);
        let (u_far, v_far, both_far) = of_reciprocals::<FMA>(far, qu[1], qv[1]);
        let i_ff = near[1][1] + far[1][1];
        let (iu_f, iv_f) = (u_near[1] + u_far[1], v_near[1] + v_far[1]);
        let iuv = both_near + both_far;

        // K and its differences, far minus near: (S_f - S_n)(S_f + S_n)
        let s = self.sum;
        let ku = [
            self.gu[0] * (s[0][0] + s[1][0]),
            self.gu[1] * (s[0][1] + s[1][1]),
        ];
        let kv = [
            self.gv[0] * (s[0][0] + s[0][1]),
            self.gv[1] * (s[1][0] + s[1][1]),
        ];
        // Not negative, but for rounding that the term it is added to hides: K is a concave function of u^2 and v^2.
        let bend = mul_add::<FMA>(
            self.slope_gu,
            s[0][0] + s[1][0],
            -(self.gu[1] * (self.gv[0] + self.gv[1])),
        );

        // The same of k = 1 / K.
        let k = reciprocal_square(self.excess);
        let k_n = k[0][0] * k[1][0];
        let crossed = mul_add::<FMA>(k[1][0], kv[1], k[0][1] * kv[0]);
        let kuv = mul_add::<FMA>(bend, k_n, ku[1] * ((k[0][0] * k[1][1]) * crossed));
        let k_f = k[0][1] * k[1][1];

        let euv = mul_add::<FMA>(
            iuv,
            k[0][0],
            mul_add::<FMA>(
                iu_f,
                kv[0] * (k[0][0] * k[0][1]),
                mul_add::<FMA>(iv_f, ku[0] * k_n, i_ff * kuv),
            ),
        );
        let ev = mul_add::<FMA>(iv_f, k[1][0], i_ff * (kv[1] * (k[1][0] * k[1][1])));
        let eu = mul_add::<FMA>(iu_f, k[0][1], i_ff * (ku[1] * k_f));
        let (u, v) = (self.u, self.v);
        (
            v.at * mul_add::<FMA>(-2.0 * u.at * u.offset[0], euv, ev),
            u.at * mul_add::<FMA>(-2.0 * v.at * v.offset[0], euv, eu),
        )
    }
}

/// A falling quantity at the near and the far side in x, and its divided difference.
type Falling = [f64; 3];

#[inline(always)]
fn product<const FMA: bool>(a: Falling, b: Falling) -> Falling {
    [
        a[0] * b[0],
        a[1] * b[1],
        mul_add::<FMA>(a[2], b[0], a[1] * b[2]),
    ]
}

#[inline(always)]
fn plus(a: Falling, b: Falling) -> Falling {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// 1/R at one side in y and z.
#[inline(always)]
fn falling_reciprocal(near: f64, far: f64, q: f64) -> Falling {
    [near, far, q * (near * far)]
}

/// 1/Q across y or z, from its values at both sides in x and 1/Q across x at its two ends.
#[inline(always)]
fn falling_pair(near: f64, far: f64, q_first: f64, q_second: f64) -> Falling {
    [near, far, (near * far) * (q_first + q_second)]
}

/// The divided difference of 1/R across x, y and z: that across y and z, as in [`of_reciprocals`], carried along x.
#[inline(always)]
fn corners<const FMA: bool>(near: Square, far: Square, c: &Corners) -> f64 {
    let qx = c.inverse_x;
    let r_nn = falling_reciprocal(near[0][0], far[0][0], qx[0][0]);
    let r_nf = falling_reciprocal(near[0][1], far[0][1], qx[0][1]);
    let r_fn = falling_reciprocal(near[1][0], far[1][0], qx[1][0]);
    let r_ff = falling_reciprocal(near[1][1], far[1][1], qx[1][1]);
    let (qy, qz) = (c.inverse_y, c.inverse_z);
    let qy_n = falling_pair(qy[0][0], qy[1][0], qx[0][0], qx[1][0]);
    let qy_f = falling_pair(qy[0][1], qy[1][1], qx[0][1], qx[1][1]);
    let qz_n = falling_pair(qz[0][0], qz[1][0], qx[0][0], qx[0][1]);
    let qz_f = falling_pair(qz[0][1], qz[1][1], qx[1][0], qx[1][1]);

    let shared = product::<FMA>(qy_f, r_nn);
    let first = product::<FMA>(product::<FMA>(qy_n, r_fn), plus(qz_n, qz_f));
    let crossed = plus(product::<FMA>(r_fn, qz_f), product::<FMA>(r_nf, qz_n));
    let second = product::<FMA>(r_ff, crossed);
    product::<FMA>(shared, plus(first, second))[2]
}
