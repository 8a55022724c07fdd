//! The arithmetic of the fields, in a form that the vector units run.

use nalgebra::{Matrix3, Point3, Vector3};

use crate::numeric::simd::dispatch::{Loop, dispatch};

pub(super) mod algebra;
pub(super) mod block;
pub(super) mod cylinder;
pub(super) mod sphere;

/// A shape where it stands, ready for its arithmetic. Of the field there are B and, without `MATERIAL`, mu0 H.
pub(super) trait Kernel: Sync {
    /// The field at a point; not finite on an edge.
    fn field<const MATERIAL: bool>(&self, point: &Point3<f64>) -> Vector3<f64>;

    /// The gradient of B at a point; not finite on an edge.
    fn gradient(&self, point: &Point3<f64>) -> Matrix3<f64>;

    /// Whether a point lies in the material and not on its surface, by the same arithmetic as the field.
    fn is_inside(&self, point: &Point3<f64>) -> bool;

    /// Adds the field at each point to `values`, not finite on an edge. To be `inline(always)`, as all that it calls.
    fn add_fields<const FMA: bool, const MATERIAL: bool>(
        &self,
        points: &[Point3<f64>],
        values: &mut [Vector3<f64>],
    );

    /// Adds the gradient at each point to `values`, not finite on an edge. To be `inline(always)`, as all that it
    /// calls.
    fn add_gradients<const FMA: bool>(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]);
}

/// [`Kernel::add_fields`] on the widest vector unit there is.
pub(super) fn add_fields<const MATERIAL: bool, K: Kernel>(
    kernel: &K,
    points: &[Point3<f64>],
    values: &mut [Vector3<f64>],
) {
    dispatch(Fields::<K, MATERIAL>(kernel, points, values));
}

/// [`Kernel::add_gradients`] on the widest vector unit there is.
pub(super) fn add_gradients(
    kernel: &impl Kernel,
    points: &[Point3<f64>],
    values: &mut [Matrix3<f64>],
) {
    dispatch(Gradients(kernel, points, values));
}

struct Fields<'a, K, const MATERIAL: bool>(&'a K, &'a [Point3<f64>], &'a mut [Vector3<f64>]);

impl<K: Kernel, const MATERIAL: bool> Loop for Fields<'_, K, MATERIAL> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        self.0.add_fields::<FMA, MATERIAL>(self.1, self.2);
    }
}

struct Gradients<'a, K>(&'a K, &'a [Point3<f64>], &'a mut [Matrix3<f64>]);

impl<K: Kernel> Loop for Gradients<'_, K> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        self.0.add_gradients::<FMA>(self.1, self.2);
    }
}
