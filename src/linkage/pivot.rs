//! A pivot: a line in space that something turns about.

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::numeric::direction::unit;
use crate::written::{coordinates, debug_as_call};

/// The farthest coordinate of a part of a control, m: more than a control with its frame.
const REACH: f64 = 10.0;

/// The point (m), or the error that names `quantity`.
pub(super) fn placed(quantity: &'static str, point: Point3<f64>) -> Result<Point3<f64>> {
    for coordinate in &point.coords {
        within(quantity, *coordinate, -REACH, REACH, "m")?;
    }
    Ok(point)
}

/// The axis of a hinge, bearing or shaft: a line through a point along a direction. Turns are positive by the
/// right-hand rule about the direction.
///
/// # Example
/// ```
/// use yokewright::linkage::Pivot;
/// use yokewright::nalgebra::{Point3, Vector3};
/// use yokewright::units::MM;
///
/// // A direction of any length: what counts is where it points.
/// let hinge = Pivot::new(Point3::new(0.0, 120.0 * MM, 0.0), Vector3::new(0.0, 3.0, 0.0))?;
/// assert_eq!(hinge.direction(), Vector3::y());
/// assert!(Pivot::new(Point3::origin(), Vector3::zeros()).is_err());
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Stored")]
pub struct Pivot {
    point: Point3<f64>,
    direction: Vector3<f64>,
}

/// A pivot as it is read back.
#[derive(Deserialize)]
#[serde(rename = "Pivot")]
struct Stored {
    point: Point3<f64>,
    direction: Vector3<f64>,
}

impl TryFrom<Stored> for Pivot {
    type Error = Error;

    fn try_from(Stored { point, direction }: Stored) -> Result<Self> {
        Self::new(point, direction)
    }
}

debug_as_call!(Pivot, |self, f| {
    let (point, direction) = (coordinates(self.point), coordinates(self.direction));
    write!(f, "Pivot::new({point}, {direction})?")
});

impl Pivot {
    /// A pivot through a point (m) along a direction of any length.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a coordinate beyond 10 m,
    /// [`Error::NoDirection`] for a zero direction.
    pub fn new(point: Point3<f64>, direction: Vector3<f64>) -> Result<Self> {
        Ok(Self {
            point: placed("point of the pivot", point)?,
            direction: unit("direction of the pivot", &direction)?,
        })
    }

    /// A point of the axis, m.
    #[must_use]
    pub fn point(&self) -> Point3<f64> {
        self.point
    }

    /// Direction of the axis, of length 1.
    #[must_use]
    pub fn direction(&self) -> Vector3<f64> {
        self.direction
    }

    /// From the axis square to the point.
    pub(super) fn radius_vector(&self, point: &Point3<f64>) -> Vector3<f64> {
        let r = point - self.point;
        r - self.direction * self.direction.dot(&r)
    }

    /// Distance of a point from the axis, m.
    pub(super) fn radius(&self, point: &Point3<f64>) -> f64 {
        self.direction.cross(&(point - self.point)).norm()
    }

    /// The circle on which a point turns: its center, and what is times the cosine and the sine of the angle, m
    /// (Rodrigues, textbook).
    pub(crate) fn circle(&self, point: &Point3<f64>) -> [Vector3<f64>; 3] {
        let across = self.direction.cross(&(point - self.point));
        let radius = -self.direction.cross(&across);
        [point.coords - radius, radius, across]
    }

    /// The motion of what has turned by an angle (rad).
    pub(crate) fn turn(&self, angle: f64) -> Isometry3<f64> {
        let axis = Unit::new_unchecked(self.direction);
        let rotation = UnitQuaternion::from_axis_angle(&axis, angle);
        let moved = self.point - rotation * self.point;
        Isometry3::from_parts(Translation3::from(moved), rotation)
    }
}
