//! Vectors and symmetric matrices as plain numbers, as the kernels have them; the elements of a matrix in the order
//! xx, xy, xz, yy, yz, zz.

use nalgebra::Matrix3;

use crate::numeric::simd::lanes::mul_add;

#[inline(always)]
pub(super) fn dot<const FMA: bool>(a: [f64; 3], b: [f64; 3]) -> f64 {
    mul_add::<FMA>(a[0], b[0], mul_add::<FMA>(a[1], b[1], a[2] * b[2]))
}

/// A symmetric matrix from xx, xy, xz, yy, yz, zz.
#[inline(always)]
pub(in crate::magnet) fn matrix([xx, xy, xz, yy, yz, zz]: [f64; 6]) -> Matrix3<f64> {
    Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz)
}

/// A symmetric matrix given along three axes (unit vectors), in the frame that these are given in.
#[inline(always)]
pub(in crate::magnet) fn turned<const FMA: bool>(
    local: [f64; 6],
    [a, b, c]: [[f64; 3]; 3],
) -> [f64; 6] {
    // Columns of the axes: the rows of the rotation.
    let row = [[a[0], b[0], c[0]], [a[1], b[1], c[1]], [a[2], b[2], c[2]]];
    let half_0 = times::<FMA>(local, row[0]);
    let half_1 = times::<FMA>(local, row[1]);
    let half_2 = times::<FMA>(local, row[2]);
    [
        dot::<FMA>(row[0], half_0),
        dot::<FMA>(row[0], half_1),
        dot::<FMA>(row[0], half_2),
        dot::<FMA>(row[1], half_1),
        dot::<FMA>(row[1], half_2),
        dot::<FMA>(row[2], half_2),
    ]
}

/// A symmetric matrix times a vector.
#[inline(always)]
fn times<const FMA: bool>([xx, xy, xz, yy, yz, zz]: [f64; 6], v: [f64; 3]) -> [f64; 3] {
    [
        dot::<FMA>([xx, xy, xz], v),
        dot::<FMA>([xy, yy, yz], v),
        dot::<FMA>([xz, yz, zz], v),
    ]
}
