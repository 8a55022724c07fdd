//! Poses (where a part stands) from what people have at hand: a rotation vector, an axis and an angle, a quaternion,
//! two directions.
//!
//! A pose is a plain [`Isometry3`]; these functions check what it is made of. The position may be any finite one.
//!
//! ```
//! use nalgebra::{Vector3, vector};
//! use yokewright::pose;
//! use yokewright::units::{DEG, MM};
//!
//! // A quarter turn about z, three ways.
//! let at = vector![10.0, 0.0, 0.0] * MM;
//! let a = pose::from_axis_angle(at, Vector3::z(), 90.0 * DEG)?;
//! let b = pose::from_rotation_vector(at, Vector3::z() * (90.0 * DEG))?;
//! let c = pose::from_directions(at, Vector3::x(), Vector3::y())?;
//! assert!(a.rotation.angle_to(&b.rotation) < 1e-15 && a.rotation.angle_to(&c.rotation) < 1e-15);
//! # Ok::<(), yokewright::Error>(())
//! ```

use std::f64::consts::TAU;

use nalgebra::{Isometry3, Point3, Quaternion, Translation3, UnitQuaternion, Vector3};

use crate::error::{Error, Result, finite, finite_parts, parts_within, within};
use crate::numeric::direction::unit;

/// The largest part of a rotation vector and the largest angle, rad: ten turns. Beyond that degrees were given for
/// radians, most likely.
pub const MAX_ROTATION: f64 = 10.0 * TAU;

/// How far a quaternion may be from length one: beyond the rounding of any chain of products, below any real error.
const UNIT_LENGTH: f64 = 1e-9;

/// A position (m) and a rotation vector: its direction is the axis, its length the angle in rad, right-hand rule.
///
/// # Errors
/// [`Error::NotFinite`] if a number is not finite, [`Error::OutOfRange`] if a part of the rotation exceeds
/// [`MAX_ROTATION`].
pub fn from_rotation_vector(
    position: Vector3<f64>,
    rotation: Vector3<f64>,
) -> Result<Isometry3<f64>> {
    let names = ["rotation x", "rotation y", "rotation z"];
    parts_within(names, rotation.iter(), -MAX_ROTATION, MAX_ROTATION, "rad")?;
    placed(position, UnitQuaternion::from_scaled_axis(rotation))
}

/// A position (m) and a turn by `angle` (rad) about `axis` (of any length), right-hand rule.
///
/// # Errors
/// [`Error::NotFinite`] if a number is not finite, [`Error::NoDirection`] if the axis has length zero,
/// [`Error::OutOfRange`] if the angle exceeds [`MAX_ROTATION`].
pub fn from_axis_angle(
    position: Vector3<f64>,
    axis: Vector3<f64>,
    angle: f64,
) -> Result<Isometry3<f64>> {
    let axis = unit("axis of the rotation", &axis)?;
    let angle = within("angle", angle, -MAX_ROTATION, MAX_ROTATION, "rad")?;
    placed(position, UnitQuaternion::from_scaled_axis(axis * angle))
}

/// A position (m) and a unit quaternion w + x i + y j + z k; minus all four is the same rotation.
///
/// # Errors
/// [`Error::NotFinite`] if a number is not finite, [`Error::OutOfRange`] if the quaternion is not of length one within
/// 1e-9.
pub fn from_quaternion(position: Vector3<f64>, [w, x, y, z]: [f64; 4]) -> Result<Isometry3<f64>> {
    let names = [
        "quaternion w",
        "quaternion x",
        "quaternion y",
        "quaternion z",
    ];
    for (name, part) in names.into_iter().zip([w, x, y, z]) {
        finite(name, part, "(no unit)")?;
    }
    // By hypot, which neither overflows nor vanishes.
    let length = w.hypot(x).hypot(y.hypot(z));
    let [min, max] = [1.0 - UNIT_LENGTH, 1.0 + UNIT_LENGTH];
    within("length of the quaternion", length, min, max, "(no unit)")?;
    placed(
        position,
        UnitQuaternion::new_normalize(Quaternion::new(w, x, y, z)),
    )
}

/// A position (m) and the shortest turn that brings the direction `from` of the part's own frame onto `onto` (of any
/// lengths).
///
/// The turn is about the axis at right angles to both. Between opposite directions every such axis would do: that is
/// refused, as the choice would be anyone's guess; take [`from_axis_angle`] with the axis that is meant.
///
/// # Errors
/// [`Error::NotFinite`] if a number is not finite, [`Error::NoDirection`] if a direction has length zero, or if the two
/// are opposite within 1e-6 rad and so have no axis.
pub fn from_directions(
    position: Vector3<f64>,
    from: Vector3<f64>,
    onto: Vector3<f64>,
) -> Result<Isometry3<f64>> {
    let from = unit("direction to be turned", &from)?;
    let onto = unit("direction to turn onto", &onto)?;
    // |a + b| = 2 cos(angle / 2) and |a x b| = 2 sin(angle / 2) cos(angle / 2): no digit is lost at any angle.
    let cosine = 0.5 * (from + onto).norm();
    if 2.0 * cosine < 1e-6 {
        return Err(Error::NoDirection {
            quantity: "the axis that turns a direction onto its opposite",
        });
    }
    let axis = from.cross(&onto) / (2.0 * cosine);
    let quaternion = Quaternion::from_parts(cosine, axis);
    placed(position, UnitQuaternion::new_normalize(quaternion))
}

/// Points of the part's own frame in the frame around it, m.
///
/// # Errors
/// [`Error::NotFinite`] if a coordinate is not finite, or would not be where the part stands.
pub fn place(pose: &Isometry3<f64>, points: &[Point3<f64>]) -> Result<Vec<Point3<f64>>> {
    let checked = |names: [&'static str; 3], point: Point3<f64>| {
        finite_parts(names, point.iter(), "m")?;
        Ok(point)
    };
    let place = |point: &Point3<f64>| {
        let point = checked(["point x", "point y", "point z"], *point)?;
        checked(
            ["placed point x", "placed point y", "placed point z"],
            pose * point,
        )
    };
    points.iter().map(place).collect()
}

fn placed(position: Vector3<f64>, rotation: UnitQuaternion<f64>) -> Result<Isometry3<f64>> {
    let names = ["position x", "position y", "position z"];
    finite_parts(names, position.iter(), "m")?;
    Ok(Isometry3::from_parts(
        Translation3::from(position),
        rotation,
    ))
}
