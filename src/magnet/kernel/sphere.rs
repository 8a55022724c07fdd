//! The field of a sphere and its gradient: those of a dipole outside, uniform inside.

use nalgebra::{Matrix3, Point3, Vector3};

use crate::magnet::kernel::Kernel;
use crate::magnet::kernel::algebra::{dot, matrix};
use crate::numeric::simd::lanes::{mul_add, select};

/// A sphere in the frame of the query.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::magnet) struct Placed {
    pub(in crate::magnet) center: [f64; 3],
    pub(in crate::magnet) radius: f64,
    pub(in crate::magnet) polarization: [f64; 3],
}

/// Where a point stands: direction from the center, the parts of J that count there, and how the field has fallen.
struct Place {
    inside: bool,
    n: [f64; 3],
    /// J . n
    along: f64,
    /// R^3 / r^3
    fall: f64,
    inverse_r: f64,
}

impl Placed {
    #[inline(always)]
    fn place<const FMA: bool>(&self, point: [f64; 3]) -> Place {
        let d = [
            point[0] - self.center[0],
            point[1] - self.center[1],
            point[2] - self.center[2],
        ];
        // Never fused: one point and many must agree on which side of the surface a point lies.
        let r2 = d[0] * d[0] + d[1] * d[1] + d[2] * d[2];
        let inverse_r = 1.0 / r2.sqrt();
        let n = [d[0] * inverse_r, d[1] * inverse_r, d[2] * inverse_r];
        let j = self.polarization;
        let ratio = self.radius * inverse_r;
        Place {
            // In the very center n is no direction, but there it does not count.
            inside: r2 < self.radius * self.radius,
            n,
            along: dot::<FMA>(j, n),
            fall: ratio * ratio * ratio,
            inverse_r,
        }
    }

    #[inline(always)]
    fn one_field<const FMA: bool, const MATERIAL: bool>(&self, point: [f64; 3]) -> [f64; 3] {
        const THIRD: f64 = 1.0 / 3.0;
        let Place {
            inside,
            n,
            along,
            fall,
            ..
        } = self.place::<FMA>(point);
        let j = self.polarization;
        let outer = [
            fall * mul_add::<FMA>(along, n[0], -THIRD * j[0]),
            fall * mul_add::<FMA>(along, n[1], -THIRD * j[1]),
            fall * mul_add::<FMA>(along, n[2], -THIRD * j[2]),
        ];
        let inner = if MATERIAL { 2.0 * THIRD } else { -THIRD };
        [
            select(inside, inner * j[0], outer[0]),
            select(inside, inner * j[1], outer[1]),
            select(inside, inner * j[2], outer[2]),
        ]
    }

    /// R^3 / r^4 [(J . n)(1 - 5 n n) + n J + J n]: xx, xy, xz, yy, yz, zz.
    #[inline(always)]
    fn one_gradient<const FMA: bool>(&self, point: [f64; 3]) -> [f64; 6] {
        let Place {
            inside,
            n,
            along,
            fall,
            inverse_r,
        } = self.place::<FMA>(point);
        let j = self.polarization;
        // Half of J n + n J - 5 (J . n) n n is v n, made symmetric.
        let v = [
            mul_add::<FMA>(-2.5 * along, n[0], j[0]),
            mul_add::<FMA>(-2.5 * along, n[1], j[1]),
            mul_add::<FMA>(-2.5 * along, n[2], j[2]),
        ];
        let scale = fall * inverse_r;
        let outer = [
            scale * mul_add::<FMA>(2.0 * v[0], n[0], along),
            scale * mul_add::<FMA>(v[0], n[1], v[1] * n[0]),
            scale * mul_add::<FMA>(v[0], n[2], v[2] * n[0]),
            scale * mul_add::<FMA>(2.0 * v[1], n[1], along),
            scale * mul_add::<FMA>(v[1], n[2], v[2] * n[1]),
            scale * mul_add::<FMA>(2.0 * v[2], n[2], along),
        ];
        [
            select(inside, 0.0, outer[0]),
            select(inside, 0.0, outer[1]),
            select(inside, 0.0, outer[2]),
            select(inside, 0.0, outer[3]),
            select(inside, 0.0, outer[4]),
            select(inside, 0.0, outer[5]),
        ]
    }
}

impl Kernel for Placed {
    fn field<const MATERIAL: bool>(&self, point: &Point3<f64>) -> Vector3<f64> {
        self.one_field::<false, MATERIAL>((*point).into()).into()
    }

    fn gradient(&self, point: &Point3<f64>) -> Matrix3<f64> {
        matrix(self.one_gradient::<false>((*point).into()))
    }

    fn is_inside(&self, point: &Point3<f64>) -> bool {
        self.place::<false>((*point).into()).inside
    }

    #[inline(always)]
    fn add_fields<const FMA: bool, const MATERIAL: bool>(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    ) {
        for (point, value) in points.iter().zip(values) {
            let b = self.one_field::<FMA, MATERIAL>([point.x, point.y, point.z]);
            *value += Vector3::new(b[0], b[1], b[2]);
        }
    }

    #[inline(always)]
    fn add_gradients<const FMA: bool>(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
        for (point, value) in points.iter().zip(values) {
            *value += matrix(self.one_gradient::<FMA>([point.x, point.y, point.z]));
        }
    }
}
