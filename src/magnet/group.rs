//! Groups of magnets, by superposition.

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use super::{Fields, Gradients, Magnet};
use crate::error::{Error, Result};

/// The most magnets in one group.
const MAX_MAGNETS: usize = 10_000;

/// Magnets that act together; their fields add up.
///
/// Superposition is exact for the rigid polarization assumed here: the magnets do not weaken one another.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Block, MagnetGroup};
/// use yokewright::units::MM;
///
/// // Two bars side by side, poles reversed: between them the fields cancel.
/// let size = Vector3::new(4.0, 4.0, 10.0) * MM;
/// let bar = |x: f64, j: f64| {
///     Block::new(size, Vector3::new(0.0, 0.0, j), Isometry3::translation(x, 0.0, 0.0))
/// };
/// let pair = MagnetGroup::new([bar(-5.0 * MM, 1.2)?, bar(5.0 * MM, -1.2)?])?;
/// assert!(pair.field_at(&Point3::new(0.0, 0.0, 8.0 * MM))?.z.abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct MagnetGroup {
    magnets: Vec<Magnet>,
}

impl MagnetGroup {
    /// A group of 1 to 10,000 magnets.
    ///
    /// # Errors
    /// [`Error::Count`] if there are none or too many.
    pub fn new<M: Into<Magnet>>(magnets: impl IntoIterator<Item = M>) -> Result<Self> {
        let magnets: Vec<Magnet> = magnets.into_iter().map(Into::into).collect();
        if magnets.is_empty() || magnets.len() > MAX_MAGNETS {
            return Err(Error::Count {
                quantity: "magnets in the group",
                count: magnets.len(),
                min: 1,
                max: MAX_MAGNETS,
            });
        }
        Ok(Self { magnets })
    }

    /// The magnets, in the order given.
    #[must_use]
    pub fn magnets(&self) -> &[Magnet] {
        &self.magnets
    }

    /// The whole group moved by `motion`.
    ///
    /// # Errors
    /// As [`Magnet::moved`].
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        let magnets = self.magnets.iter().map(|magnet| magnet.moved(motion));
        Ok(Self {
            magnets: magnets.collect::<Result<_>>()?,
        })
    }

    /// Distance of a point from the nearest surface of the group, m: positive outside, negative inside a magnet.
    ///
    /// # Errors
    /// If the point is not finite or too far out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        let distances = self.magnets.iter().map(|magnet| magnet.distance(point));
        distances
            .reduce(|a, b| Ok(a?.min(b?)))
            .unwrap_or(Ok(f64::INFINITY))
    }

    /// Flux density B at a point, T.
    ///
    /// # Errors
    /// As [`Magnet::field_at`], for the first magnet that refuses.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        let mut sum = Vector3::zeros();
        for magnet in &self.magnets {
            sum += magnet.field_at(point)?;
        }
        Ok(sum)
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j.
    ///
    /// # Errors
    /// As [`Magnet::gradient_at`], for the first magnet that refuses.
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        let mut sum = Matrix3::zeros();
        for magnet in &self.magnets {
            sum += magnet.gradient_at(point)?;
        }
        Ok(sum)
    }

    /// Gradient of B at many points, T/m: the fast path. Rows without a value are NaN and marked.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| {
            for magnet in &self.magnets {
                magnet.add_gradients(points, values);
            }
        })
    }

    /// Field strength H at a point, A/m.
    ///
    /// # Errors
    /// As [`Magnet::h_at`], for the first magnet that refuses.
    pub fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        let mut sum = Vector3::zeros();
        for magnet in &self.magnets {
            sum += magnet.h_at(point)?;
        }
        Ok(sum)
    }

    /// Polarization J at a point, T, in the frame of the query: of the magnet that the point lies in, zero outside. B = mu0 H + J.
    ///
    /// # Errors
    /// As [`Magnet::polarization_at`].
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        let mut sum = Vector3::zeros();
        for magnet in &self.magnets {
            sum += magnet.polarization_at(point)?;
        }
        Ok(sum)
    }

    /// Flux density B at many points, T: the fast path. Rows without a value are NaN and marked.
    #[must_use]
    pub fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| {
            for magnet in &self.magnets {
                magnet.add_fields(points, values);
            }
        })
    }
}

impl<M: Into<Magnet>> From<M> for MagnetGroup {
    fn from(magnet: M) -> Self {
        Self {
            magnets: vec![magnet.into()],
        }
    }
}
