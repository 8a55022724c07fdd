//! One magnet of any shape.

mod block;
mod cylinder;
pub(super) mod overlap;
mod ring;
mod round;
mod sphere;
pub(super) mod surface;
mod traits;

pub use block::Block;
pub use cylinder::Cylinder;
pub use ring::Ring;
pub use sphere::Sphere;

use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::magnet::kernel::{self, Kernel};
use crate::magnet::shape::traits::Shape;
use crate::magnet::source::passed_on;
use crate::magnet::{FieldColumns, FieldSource, Fields, Gradients, check_point, defined};
use crate::units::MU_0;
use crate::written::debug_as_call;

/// One magnet of any shape.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
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

/// The one text of what all shapes are as sources of field.
macro_rules! field_sources {
    ($($shape:ident),+) => {
        $(
            impl FieldSource for $shape {
                fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                    check_point(point)?;
                    defined(self.kernel().field::<true>(point), point)
                }

                fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
                    check_point(point)?;
                    defined(self.kernel().gradient(point), point)
                }

                fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                    check_point(point)?;
                    let strength = defined(self.kernel().field::<false>(point), point)?;
                    Ok(strength / MU_0)
                }

                fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
                    check_point(point)?;
                    Ok(if self.kernel().is_inside(point) {
                        self.pose().rotation * self.polarization()
                    } else {
                        Vector3::zeros()
                    })
                }

                fn distance(&self, point: &Point3<f64>) -> Result<f64> {
                    check_point(point)?;
                    Ok(self.beyond(point))
                }

                fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
                    self.remade(self.polarization(), motion * self.pose())
                }

                fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
                    Fields::collect(points, |points, values| add_fields(self, points, values))
                }

                fn fields_into(
                    &self,
                    points: &[Point3<f64>],
                    columns: FieldColumns<'_>,
                ) -> Result<()> {
                    columns.collect(points, |points, values| add_fields(self, points, values))
                }

                fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
                    Gradients::collect(points, |points, values| add_gradients(self, points, values))
                }

                fn hs_at(&self, points: &[Point3<f64>]) -> Fields {
                    Fields::strengths(points, |points, values| add_strengths(self, points, values))
                }

                fn polarizations_at(&self, points: &[Point3<f64>]) -> Fields {
                    Fields::collect(points, |points, values| {
                        add_polarizations(self, points, values)
                    })
                }
            }
        )+
    };
}

field_sources!(Block, Cylinder, Ring, Sphere);

fn add_fields(shape: &impl Shape, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
    kernel::add_fields::<true, _>(shape.kernel(), points, values);
}

/// Of mu0 H.
fn add_strengths(shape: &impl Shape, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
    kernel::add_fields::<false, _>(shape.kernel(), points, values);
}

fn add_gradients(shape: &impl Shape, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
    kernel::add_gradients(shape.kernel(), points, values);
}

fn add_polarizations(shape: &impl Shape, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
    let polarization = shape.pose().rotation * shape.polarization();
    for (point, value) in points.iter().zip(values) {
        if shape.kernel().is_inside(point) {
            *value += polarization;
        }
    }
}

debug_as_call!(Magnet, |self, f| {
    match self {
        Self::Block(block) => write!(f, "Magnet::Block({block:?})"),
        Self::Cylinder(cylinder) => write!(f, "Magnet::Cylinder({cylinder:?})"),
        Self::Ring(ring) => write!(f, "Magnet::Ring({ring:?})"),
        Self::Sphere(sphere) => write!(f, "Magnet::Sphere({sphere:?})"),
    }
});

impl Magnet {
    /// The shape, whichever it is.
    pub(super) fn source(&self) -> &dyn FieldSource {
        whatever_shape!(self, shape => shape)
    }

    /// Adds the flux density at each point to `values`; not finite where there is none.
    pub(super) fn add_fields(&self, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
        whatever_shape!(self, shape => add_fields(shape, points, values))
    }

    /// The same of mu0 H.
    pub(super) fn add_strengths(&self, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
        whatever_shape!(self, shape => add_strengths(shape, points, values))
    }

    /// The same of the gradient of B.
    pub(super) fn add_gradients(&self, points: &[Point3<f64>], values: &mut [Matrix3<f64>]) {
        whatever_shape!(self, shape => add_gradients(shape, points, values))
    }

    /// The same of J.
    pub(super) fn add_polarizations(&self, points: &[Point3<f64>], values: &mut [Vector3<f64>]) {
        whatever_shape!(self, shape => add_polarizations(shape, points, values))
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
        self.remade(self.polarization(), pose)
    }

    /// The same magnet polarized the other way.
    pub(crate) fn reversed(&self) -> Result<Self> {
        self.remade(-self.polarization(), self.pose())
    }

    /// The same shape with another polarization at another place.
    pub(super) fn remade(&self, polarization: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self> {
        whatever_shape!(self, shape => shape.remade(polarization, pose).map(Self::from))
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
}

passed_on!(Magnet, |self, motion| self.placed(motion * self.pose()));
