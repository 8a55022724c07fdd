//! One magnet of any shape.

mod block;
mod cylinder;
pub(super) mod overlap;
mod ring;
mod round;
mod sphere;
pub(super) mod surface;

pub use block::Block;
pub use cylinder::Cylinder;
pub use ring::Ring;
pub use sphere::Sphere;

use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};

use crate::error::Result;
use crate::magnet::{Fields, Gradients};

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

/// The same call, whichever the shape.
macro_rules! whatever_shape {
    ($magnet:expr, $shape:ident => $call:expr) => {
        match $magnet {
            Magnet::Block($shape) => $call,
            Magnet::Cylinder($shape) => $call,
            Magnet::Ring($shape) => $call,
            Magnet::Sphere($shape) => $call,
        }
    };
}

impl Magnet {
    /// The same magnet moved by `motion`.
    ///
    /// # Errors
    /// As the shape's own `moved`.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        whatever_shape!(self, shape => shape.moved(motion).map(Self::from))
    }

    /// Distance of a point from the surface, m: positive outside, negative inside.
    ///
    /// # Errors
    /// If the point is not finite or too far out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        whatever_shape!(self, shape => shape.distance(point))
    }

    /// Flux density B at a point, T.
    ///
    /// # Errors
    /// As the shape's own `field_at`.
    pub fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        whatever_shape!(self, shape => shape.field_at(point))
    }

    /// Gradient of B at a point, T/m: element (i, j) is dB_i/dx_j.
    ///
    /// # Errors
    /// As the shape's own `gradient_at`.
    pub fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        whatever_shape!(self, shape => shape.gradient_at(point))
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
        whatever_shape!(self, shape => shape.h_at(point))
    }

    /// Polarization J at a point, T, in the frame of the query: zero outside and on the surface. B = mu0 H + J.
    ///
    /// # Errors
    /// As the shape's own `polarization_at`.
    pub fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        whatever_shape!(self, shape => shape.polarization_at(point))
    }

    pub(super) fn add_gradients(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
        whatever_shape!(self, shape => shape.add_gradients(points, values))
    }

    pub(super) fn add_fields(&self, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
        whatever_shape!(self, shape => shape.add_fields(points, values))
    }

    /// Polarization in the magnet's own frame, T.
    #[must_use]
    pub fn polarization(&self) -> Vector3<f64> {
        whatever_shape!(self, shape => shape.polarization())
    }

    /// Where the magnet stands.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        whatever_shape!(self, shape => shape.pose())
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
