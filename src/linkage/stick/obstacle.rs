//! What a stick must clear: boxes, cylinders and capsules, and how far a straight piece is from them.

use nalgebra::{Isometry3, Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::linkage::pivot::placed;
use crate::stored::stored_by_its_constructor;
use crate::units::MM;

/// Smallest and largest size of an obstacle, m.
const SIZE_RANGE: [f64; 2] = [0.1 * MM, 10.0];
/// How far a rotation's quaternion may be from length 1.
const UNIT_SLACK: f64 = 1e-12;

/// A convex body in the frame of the rig: seat, leg, panel, pedal.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::linkage::Obstacle;
/// use yokewright::units::MM;
///
/// let seat = Obstacle::block(Vector3::new(0.4, 0.45, 0.1), Isometry3::translation(-0.35, 0.0, 0.3))?;
/// assert!((seat.distance(&Point3::new(0.0, 0.0, 0.3))? - 150.0 * MM).abs() < 1e-12);
/// // A thigh, from hip to knee.
/// let thigh = Obstacle::capsule(Point3::new(-0.3, 0.15, 0.4), Point3::new(0.1, 0.2, 0.5), 80.0 * MM)?;
/// assert!(thigh.distance(&Point3::new(-0.3, 0.15, 0.4))? < 0.0); // inside
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Obstacle {
    shape: ObstacleShape,
    pose: Isometry3<f64>,
}

stored_by_its_constructor!(Obstacle {
    shape: ObstacleShape,
    pose: Isometry3<f64>
} => match shape {
    ObstacleShape::Block { size } => Self::block(size, pose),
    ObstacleShape::Cylinder { diameter, length } => Self::cylinder(diameter, length, pose),
    ObstacleShape::Capsule { from, to, radius } => at_rest(pose).and_then(|()| Self::capsule(from, to, radius)),
});

/// Shape and size of an obstacle in its own frame, m.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum ObstacleShape {
    /// A box about the origin.
    Block {
        /// Side lengths along x, y and z.
        size: Vector3<f64>,
    },
    /// A solid cylinder with flat ends, its axis along z, about the origin.
    Cylinder {
        /// Diameter.
        diameter: f64,
        /// Length along z.
        length: f64,
    },
    /// Everything within a radius of a straight line; its own frame is that of the rig.
    Capsule {
        /// One end of the line.
        from: Point3<f64>,
        /// The other.
        to: Point3<f64>,
        /// Radius.
        radius: f64,
    },
}

impl Obstacle {
    /// A box with the given side lengths (m) along the axes of its pose, its center at the pose's origin.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if a side is
    /// not within 0.1 mm to 10 m or the pose is not a rigid motion within 10 m.
    pub fn block(size: Vector3<f64>, pose: Isometry3<f64>) -> Result<Self> {
        for side in &size {
            sized("side of the obstacle", *side)?;
        }
        let shape = ObstacleShape::Block { size };
        Ok(Self {
            shape,
            pose: posed(pose)?,
        })
    }

    /// A solid cylinder with flat ends (m) along the z axis of its pose, its center at the pose's origin.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if diameter or
    /// length are not within 0.1 mm to 10 m or the pose is not a rigid motion within 10 m.
    pub fn cylinder(diameter: f64, length: f64, pose: Isometry3<f64>) -> Result<Self> {
        let shape = ObstacleShape::Cylinder {
            diameter: sized("diameter of the obstacle", diameter)?,
            length: sized("length of the obstacle", length)?,
        };
        Ok(Self {
            shape,
            pose: posed(pose)?,
        })
    }

    /// Everything within `radius` (m) of the straight line between two points (m): a leg, an arm; a ball where the
    /// points coincide.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) for a
    /// coordinate beyond 10 m or a radius not within 0.1 mm to 10 m.
    pub fn capsule(from: Point3<f64>, to: Point3<f64>, radius: f64) -> Result<Self> {
        let shape = ObstacleShape::Capsule {
            from: placed("end of the obstacle", from)?,
            to: placed("end of the obstacle", to)?,
            radius: sized("radius of the obstacle", radius)?,
        };
        Ok(Self {
            shape,
            pose: Isometry3::identity(),
        })
    }

    /// Shape and size.
    #[must_use]
    pub fn shape(&self) -> ObstacleShape {
        self.shape
    }

    /// Where it stands; the identity for a capsule.
    #[must_use]
    pub fn pose(&self) -> Isometry3<f64> {
        self.pose
    }

    /// Distance of a point from the surface, m. Inside it is zero, or for a capsule the depth below its surface as a
    /// negative number.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) for a
    /// coordinate beyond 10 m.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        placed("point", *point)?;
        Ok(self.nearest(point, point).distance)
    }

    /// How far the body reaches around its core, which [`Obstacle::nearest`] measures to, m.
    pub(in crate::linkage) fn padding(&self) -> f64 {
        match self.shape {
            ObstacleShape::Capsule { radius, .. } => radius,
            _ => 0.0,
        }
    }

    /// Where the straight line between two points comes nearest to the body.
    ///
    /// The squared distance from a convex body is convex along the line and its slope continuous, so that the slope's
    /// only change of sign is bracketed and found to rounding, for any shape that can say which of its points is
    /// nearest to a given one.
    pub(in crate::linkage) fn nearest(&self, from: &Point3<f64>, to: &Point3<f64>) -> Nearest {
        let [a, b] = [from, to].map(|point| self.pose.inverse_transform_point(point));
        let along = b - a;
        let look = |share: f64| {
            let on_line = a + along * share;
            let gap = on_line - self.nearest_in_core(&on_line);
            (gap.dot(&along), gap)
        };
        let found = |share: f64| {
            let (_, gap) = look(share);
            let on_line = from + (to - from) * share;
            Nearest {
                distance: gap.norm() - self.padding(),
                on_line,
                gap: self.pose.rotation * gap,
            }
        };
        let (mut low, mut high) = (0.0, 1.0);
        let (mut falling, _) = look(low);
        if falling >= 0.0 {
            return found(low);
        }
        let (mut rising, _) = look(high);
        if rising <= 0.0 {
            return found(high);
        }
        // A secant step, which is exact where the slope is straight, then a bisection, which always halves.
        for round in 0..120 {
            let share = if round % 2 == 0 {
                (low * rising - high * falling) / (rising - falling)
            } else {
                0.5 * (low + high)
            };
            let share = share.clamp(low, high);
            let (slope, gap) = look(share);
            // Twice the left side bounds what is still to be gained of the squared distance.
            if slope.abs() * (high - low) <= f64::EPSILON * 0.5 * gap.norm_squared() {
                return found(share);
            }
            if slope < 0.0 {
                (low, falling) = (share, slope);
            } else {
                (high, rising) = (share, slope);
            }
            if high - low <= f64::EPSILON {
                break;
            }
        }
        found(0.5 * (low + high))
    }

    /// The point of the core nearest to a point, both in the obstacle's own frame.
    fn nearest_in_core(&self, point: &Point3<f64>) -> Point3<f64> {
        match self.shape {
            ObstacleShape::Block { size } => {
                let half = 0.5 * size;
                point
                    .coords
                    .zip_map(&half, |x, half| x.clamp(-half, half))
                    .into()
            }
            ObstacleShape::Cylinder { diameter, length } => {
                let shrink = (0.5 * diameter / point.x.hypot(point.y)).min(1.0);
                let height = point.z.clamp(-0.5 * length, 0.5 * length);
                Point3::new(point.x * shrink, point.y * shrink, height)
            }
            ObstacleShape::Capsule { from, to, .. } => {
                let along: Vector3<f64> = to - from;
                let squared = along.norm_squared();
                if squared == 0.0 {
                    return from;
                }
                from + along * (along.dot(&(point - from)) / squared).clamp(0.0, 1.0)
            }
        }
    }
}

/// Where a straight line comes nearest to a body.
pub(in crate::linkage) struct Nearest {
    /// m; for a capsule negative inside, for the others zero.
    pub(in crate::linkage) distance: f64,
    /// The point of the line.
    pub(in crate::linkage) on_line: Point3<f64>,
    /// From the body's core to that point.
    pub(in crate::linkage) gap: Vector3<f64>,
}

/// The ends of a capsule say where it stands, so its pose is the identity.
fn at_rest(pose: Isometry3<f64>) -> Result<()> {
    let pose = posed(pose)?;
    let shift = pose.translation.vector.norm();
    within("shift of a capsule", shift, 0.0, 0.0, "m")?;
    within("turn of a capsule", pose.rotation.angle(), 0.0, 0.0, "rad")?;
    Ok(())
}

fn sized(quantity: &'static str, size: f64) -> Result<f64> {
    let [min, max] = SIZE_RANGE;
    within(quantity, size, min, max, "m")
}

fn posed(pose: Isometry3<f64>) -> Result<Isometry3<f64>> {
    placed("position of the obstacle", pose.translation.vector.into())?;
    let norm = pose.rotation.quaternion().norm();
    let (min, max) = (1.0 - UNIT_SLACK, 1.0 + UNIT_SLACK);
    within("norm of the rotation", norm, min, max, "(no unit)")?;
    Ok(pose)
}
