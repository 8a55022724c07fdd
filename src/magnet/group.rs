//! Groups of magnets, by superposition.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use super::{Block, Cylinder, Fields, Gradients, Ring, Sphere};
use crate::error::{Error, Result};

/// The most magnets in one group.
const MAX_MAGNETS: usize = 10_000;

/// One magnet of any shape.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Magnet {
    /// A rectangular block.
    Block(Block),
    /// A solid cylinder.
    Cylinder(Cylinder),
    /// A hollow cylinder.
    Ring(Ring),
    /// A ball.
    Sphere(Sphere),
}

impl From<Block> for Magnet {
    fn from(block: Block) -> Self {
        Self::Block(block)
    }
}

impl From<Cylinder> for Magnet {
    fn from(cylinder: Cylinder) -> Self {
        Self::Cylinder(cylinder)
    }
}

impl From<Ring> for Magnet {
    fn from(ring: Ring) -> Self {
        Self::Ring(ring)
    }
}

impl From<Sphere> for Magnet {
    fn from(sphere: Sphere) -> Self {
        Self::Sphere(sphere)
    }
}

impl Magnet {
    /// The same magnet moved by `motion`.
    ///
    /// # Errors
    /// As the shape's own `moved`.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        match self {
            Self::Block(block) => block.moved(motion).map(Self::Block),
            Self::Cylinder(cylinder) => cylinder.moved(motion).map(Self::Cylinder),
            Self::Ring(ring) => ring.moved(motion).map(Self::Ring),
            Self::Sphere(sphere) => sphere.moved(motion).map(Self::Sphere),
        }
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    ///
    /// # Errors
    /// If the point is not finite or too far out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        match self {
            Self::Block(block) => block.distance(point),
            Self::Cylinder(cylinder) => cylinder.distance(point),
            Self::Ring(ring) => ring.distance(point),
            Self::Sphere(sphere) => sphere.distance(point),
        }
    }

    /// Flux density B at a point, T.
    ///
    /// # Errors
    /// As the shape's own `field_at`.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        match self {
            Self::Block(block) => block.field_at(point),
            Self::Cylinder(cylinder) => cylinder.field_at(point),
            Self::Ring(ring) => ring.field_at(point),
            Self::Sphere(sphere) => sphere.field_at(point),
        }
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j.
    ///
    /// # Errors
    /// As the shape's own `gradient_at`.
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        match self {
            Self::Block(block) => block.gradient_at(point),
            Self::Cylinder(cylinder) => cylinder.gradient_at(point),
            Self::Ring(ring) => ring.gradient_at(point),
            Self::Sphere(sphere) => sphere.gradient_at(point),
        }
    }

    /// Gradient of B at many points, T/m: the fast path. Rows without a value are NaN and marked.
    #[must_use]
    pub fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| self.add_gradients(points, values))
    }

    /// Field strength H at a point, A/m, as exact as B inside the material too.
    ///
    /// # Errors
    /// As the shape's own `h_at`.
    pub fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        match self {
            Self::Block(block) => block.h_at(point),
            Self::Cylinder(cylinder) => cylinder.h_at(point),
            Self::Ring(ring) => ring.h_at(point),
            Self::Sphere(sphere) => sphere.h_at(point),
        }
    }

    /// Polarization J at a point, T, in the frame of the query: zero outside and on the surface. B = mu0 H + J.
    ///
    /// # Errors
    /// As the shape's own `polarization_at`.
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        match self {
            Self::Block(block) => block.polarization_at(point),
            Self::Cylinder(cylinder) => cylinder.polarization_at(point),
            Self::Ring(ring) => ring.polarization_at(point),
            Self::Sphere(sphere) => sphere.polarization_at(point),
        }
    }

    fn add_gradients(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
        match self {
            Self::Block(block) => block.add_gradients(points, values),
            Self::Cylinder(cylinder) => cylinder.add_gradients(points, values),
            Self::Ring(ring) => ring.add_gradients(points, values),
            Self::Sphere(sphere) => sphere.add_gradients(points, values),
        }
    }

    pub(super) fn add_fields(&self, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
        match self {
            Self::Block(block) => block.add_fields(points, values),
            Self::Cylinder(cylinder) => cylinder.add_fields(points, values),
            Self::Ring(ring) => ring.add_fields(points, values),
            Self::Sphere(sphere) => sphere.add_fields(points, values),
        }
    }
}

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

impl Magnet {
    /// Polarization in the magnet's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        match self {
            Self::Block(block) => block.polarization(),
            Self::Cylinder(cylinder) => cylinder.polarization(),
            Self::Ring(ring) => ring.polarization(),
            Self::Sphere(sphere) => sphere.polarization(),
        }
    }

    /// Where the magnet stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        match self {
            Self::Block(block) => block.pose(),
            Self::Cylinder(cylinder) => cylinder.pose(),
            Self::Ring(ring) => ring.pose(),
            Self::Sphere(sphere) => sphere.pose(),
        }
    }

    /// The same magnet standing at `pose`.
    ///
    /// # Errors
    /// As the shape's own constructor, for the pose.
    pub fn placed(&self, pose: Isometry3<f64>) -> Result<Self> {
        let j = self.polarization();
        Ok(match self {
            Self::Block(block) => Block::new(block.size(), j, pose)?.into(),
            Self::Cylinder(c) => Cylinder::new(c.diameter(), c.length(), j, pose)?.into(),
            Self::Ring(r) => {
                Ring::new(r.outer_diameter(), r.inner_diameter(), r.length(), j, pose)?.into()
            }
            Self::Sphere(s) => Sphere::new(s.diameter(), j, pose)?.into(),
        })
    }

    /// Volume of the material, m3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let disc = |diameter: f64| 0.25 * PI * diameter * diameter;
        match self {
            Self::Block(block) => block.size().product(),
            Self::Cylinder(c) => disc(c.diameter()) * c.length(),
            // The difference of the squares as a product: a thin wall loses no digit.
            Self::Ring(r) => {
                let (outer, inner) = (r.outer_diameter(), r.inner_diameter());
                0.25 * PI * (outer - inner) * (outer + inner) * r.length()
            }
            Self::Sphere(s) => PI / 6.0 * s.diameter().powi(3),
        }
    }

    /// Flux density B at many points, T: the fast path. Rows without a value are NaN and marked.
    #[must_use]
    pub fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| self.add_fields(points, values))
    }
}
