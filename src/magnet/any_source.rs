//! The value that holds any source of field.

use std::sync::Arc;

use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::magnet::source::{FieldSource, passed_on};
use crate::magnet::{FieldColumns, Fields, Gradients, MagnetGroup, MagnetsOverPlate, check_point};

/// Any source as a value: what an [`Axis`](crate::axis::Axis) holds.
///
/// It can be stored (serde) unless it is of another crate.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[non_exhaustive]
pub enum AnySource {
    /// No magnet at all: for a potentiometer, or for what others make alone.
    Empty,
    /// Magnets alone.
    Magnets(MagnetGroup),
    /// Magnets over a steel plate.
    OverPlate(MagnetsOverPlate),
    /// A type of another crate.
    #[serde(skip)]
    Custom(Arc<dyn FieldSource>),
}

impl AnySource {
    /// A source of one's own.
    pub fn custom(source: impl FieldSource + 'static) -> Self {
        Self::Custom(Arc::new(source))
    }

    fn source(&self) -> &dyn FieldSource {
        match self {
            Self::Empty => &Empty,
            Self::Magnets(group) => group,
            Self::OverPlate(over) => over,
            Self::Custom(source) => source.as_ref(),
        }
    }
}

/// No magnet: no field, no body.
#[derive(Debug)]
struct Empty;

impl FieldSource for Empty {
    fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(Vector3::zeros())
    }

    fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        check_point(point)?;
        Ok(Matrix3::zeros())
    }

    fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        check_point(point)?;
        Ok(Vector3::zeros())
    }

    fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        Ok(f64::INFINITY)
    }

    fn moved(&self, _: &Isometry3<f64>) -> Result<Self> {
        Ok(Self)
    }

    fn bodies(&self) -> usize {
        0
    }
}

/// Sources of one's own are equal if they are the same value in memory.
impl PartialEq for AnySource {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Empty, Self::Empty) => true,
            (Self::Magnets(one), Self::Magnets(two)) => one == two,
            (Self::OverPlate(one), Self::OverPlate(two)) => one == two,
            (Self::Custom(one), Self::Custom(two)) => Arc::ptr_eq(one, two),
            _ => false,
        }
    }
}

impl<M: Into<MagnetGroup>> From<M> for AnySource {
    fn from(magnets: M) -> Self {
        Self::Magnets(magnets.into())
    }
}

impl From<MagnetsOverPlate> for AnySource {
    fn from(over: MagnetsOverPlate) -> Self {
        Self::OverPlate(over)
    }
}

impl From<Arc<dyn FieldSource>> for AnySource {
    fn from(source: Arc<dyn FieldSource>) -> Self {
        Self::Custom(source)
    }
}

passed_on!(AnySource, |self, motion| Ok(match self {
    Self::Empty => Self::Empty,
    Self::Magnets(group) => Self::Magnets(group.moved(motion)?),
    Self::OverPlate(over) => Self::OverPlate(over.moved(motion)?),
    Self::Custom(source) => Self::Custom(source.moved_source(motion)?),
}));
