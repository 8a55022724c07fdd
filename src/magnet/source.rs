//! What has a flux density: one trait for a magnet, a group, a group over a steel plate, and whatever another crate
//! brings.

use std::fmt;
use std::sync::Arc;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::Result;
use crate::magnet::values::{FieldColumns, Fields, Gradients};
use crate::units::MU_0;

/// Whatever has a flux density: [`Block`](super::Block), [`Cylinder`](super::Cylinder), [`Ring`](super::Ring),
/// [`Sphere`](super::Sphere), [`Magnet`](super::Magnet), [`MagnetGroup`](super::MagnetGroup),
/// [`MagnetsOverPlate`](super::MagnetsOverPlate), [`AnySource`](super::AnySource), or a type of your own.
///
/// Points are in m, in the frame in which the source stands, and so is all that comes back. In the material
/// B = mu0 H + J. On a face, where B and H jump (a gradient jumps on a round wall only), the limit from outside the
/// material is returned.
///
/// One point has a call that says what is wrong; many points have one that keeps their order and marks the rows
/// without a value.
///
/// # Errors
/// Of every call for one point: [`Error::OnEdge`](crate::Error::OnEdge) on an edge, rim or corner of a magnet, where
/// the field of an ideal magnet has no value (its polarization and its distance have one);
/// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the point is
/// not finite or lies more than 1e6 m out; [`Error::BehindPlate`](crate::Error::BehindPlate) inside a steel plate,
/// where the images give no field.
///
/// # Example
/// A source of one's own needs five methods; the others follow.
/// ```
/// use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
/// use yokewright::magnet::{AnySource, FieldSource};
/// use yokewright::units::{MT, UT};
/// use yokewright::Result;
///
/// /// The field of the earth: the same everywhere.
/// #[derive(Debug)]
/// struct Earth(Vector3<f64>);
///
/// impl FieldSource for Earth {
///     fn field_at(&self, _: &Point3<f64>) -> Result<Vector3<f64>> {
///         Ok(self.0)
///     }
///     fn gradient_at(&self, _: &Point3<f64>) -> Result<Matrix3<f64>> {
///         Ok(Matrix3::zeros())
///     }
///     fn polarization_at(&self, _: &Point3<f64>) -> Result<Vector3<f64>> {
///         Ok(Vector3::zeros())
///     }
///     fn distance(&self, _: &Point3<f64>) -> Result<f64> {
///         Ok(f64::INFINITY)
///     }
///     fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
///         Ok(Self(motion.rotation * self.0))
///     }
/// }
///
/// let earth = AnySource::custom(Earth(Vector3::new(0.0, 20.0, -45.0) * UT));
/// let fields = earth.fields_at(&[Point3::origin(), Point3::new(1.0, 2.0, 3.0)]);
/// assert_eq!(fields.valid, [true, true]);
/// assert_eq!(fields.values[1].z, -0.045 * MT);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub trait FieldSource: MovedSource + fmt::Debug + Send + Sync {
    /// Flux density B at a point, T.
    ///
    /// # Errors
    /// See the head of the trait.
    fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>>;

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j. Symmetric and of trace 0, in the material of a
    /// magnet too.
    ///
    /// # Errors
    /// See the head of the trait.
    fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>>;

    /// Polarization J at a point, T: zero outside the material and, as a limit from outside, on its surface.
    ///
    /// # Errors
    /// See the head of the trait.
    fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>>;

    /// Distance of a point from the nearest surface, m: positive outside, negative inside a body; infinite if there
    /// is no body.
    ///
    /// # Errors
    /// If the point is not finite or lies more than 1e6 m out.
    fn distance(&self, point: &Point3<f64>) -> Result<f64>;

    /// The same source moved by `motion`, which is applied after its present pose.
    ///
    /// # Errors
    /// If the new pose is not a finite rigid motion within 1e6 m.
    fn moved(&self, motion: &Isometry3<f64>) -> Result<Self>
    where
        Self: Sized;

    /// Field strength H at a point, A/m: (B - J) / mu0. Magnets compute it without that difference, so that it keeps
    /// its accuracy inside a thin one, where B and J nearly agree.
    ///
    /// # Errors
    /// See the head of the trait.
    fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        Ok((self.field_at(point)? - self.polarization_at(point)?) / MU_0)
    }

    /// Flux density B at many points, T. Rows where [`FieldSource::field_at`] would return an error are NaN and marked.
    ///
    /// The fast path of magnets: values agree with those of single calls to 1e-12 of the parts that they are summed
    /// from.
    fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::one_by_one(points, |point| self.field_at(point))
    }

    /// [`fields_at`](Self::fields_at) into memory that there is. Of very many points new memory costs as much as the
    /// arithmetic.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`](crate::Error::LengthMismatch) if a column is not as long as the points.
    fn fields_into(&self, points: &[Point3<f64>], columns: FieldColumns<'_>) -> Result<()> {
        columns.copy(&self.fields_at(points))
    }

    /// Gradient of B at many points, T/m, as [`FieldSource::fields_at`].
    fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::one_by_one(points, |point| self.gradient_at(point))
    }

    /// Field strength H at many points, A/m, as [`FieldSource::fields_at`].
    fn hs_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::one_by_one(points, |point| self.h_at(point))
    }

    /// Polarization J at many points, T, as [`FieldSource::fields_at`].
    fn polarizations_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::one_by_one(points, |point| self.polarization_at(point))
    }

    /// How many bodies with a surface of their own it is made of: the magnets of a group, then the plate.
    fn bodies(&self) -> usize {
        1
    }

    /// Distance of a point from the surface of one of the bodies, counted from 0, m: positive outside, negative
    /// inside it.
    ///
    /// # Errors
    /// As [`FieldSource::distance`]; if there is no such body.
    fn body_distance(&self, body: usize, point: &Point3<f64>) -> Result<f64> {
        check_body(body, 1)?;
        self.distance(point)
    }
}

pub(super) fn check_body(body: usize, bodies: usize) -> Result<()> {
    crate::error::within(
        "number of the body, counted from 0,",
        body as f64,
        0.0,
        bodies as f64 - 1.0,
        "(no unit)",
    )?;
    Ok(())
}

/// Moves a source whose type is not known. Every [`FieldSource`] has it; nobody writes it.
pub trait MovedSource {
    /// [`FieldSource::moved`], as a trait object.
    ///
    /// # Errors
    /// As [`FieldSource::moved`].
    fn moved_source(&self, motion: &Isometry3<f64>) -> Result<Arc<dyn FieldSource>>;
}

impl<S: FieldSource + 'static> MovedSource for S {
    fn moved_source(&self, motion: &Isometry3<f64>) -> Result<Arc<dyn FieldSource>> {
        Ok(Arc::new(self.moved(motion)?))
    }
}

/// Passes every call on to the source that `source()` gives.
macro_rules! passed_on {
    ($type:ty, |$self:ident, $motion:ident| $moved:expr) => {
        impl FieldSource for $type {
            fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                self.source().field_at(point)
            }

            fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
                self.source().gradient_at(point)
            }

            fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                self.source().h_at(point)
            }

            fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                self.source().polarization_at(point)
            }

            fn distance(&self, point: &Point3<f64>) -> Result<f64> {
                self.source().distance(point)
            }

            fn moved(&$self, $motion: &Isometry3<f64>) -> Result<Self> {
                $moved
            }

            fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
                self.source().fields_at(points)
            }

            fn fields_into(
                &self,
                points: &[Point3<f64>],
                columns: FieldColumns<'_>,
            ) -> Result<()> {
                self.source().fields_into(points, columns)
            }

            fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
                self.source().gradients_at(points)
            }

            fn hs_at(&self, points: &[Point3<f64>]) -> Fields {
                self.source().hs_at(points)
            }

            fn polarizations_at(&self, points: &[Point3<f64>]) -> Fields {
                self.source().polarizations_at(points)
            }

            fn bodies(&self) -> usize {
                self.source().bodies()
            }

            fn body_distance(&self, body: usize, point: &Point3<f64>) -> Result<f64> {
                self.source().body_distance(body, point)
            }
        }
    };
}
pub(super) use passed_on;
