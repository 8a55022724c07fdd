//! An arm on a pivot, with the joint at its end.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::Pivot;
use crate::linkage::pivot::placed;
use crate::numeric::direction::unit;
use crate::units::DEG;
use crate::written::{coordinates, debug_as_call};

/// The shortest and the longest arm, m.
const LENGTH: [f64; 2] = [1e-4, 5.0];
/// The least and the greatest rated swivel of a ball joint. Rod ends are rated at some 5 to 30 deg to either side, as
/// the shoulders of the stud allow.
const SWIVEL: [f64; 2] = [0.1 * DEG, 89.0 * DEG];

/// The stud of a ball joint and how far the joint may swivel.
///
/// The stud sits fixed in the arm, the housing on the rod. The swivel angle is the angle by which the rod leaves the
/// plane normal to the stud: the misalignment angle of the rod end, zero where rod and stud are square to each other.
/// Turning about the stud is free and does not count.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredStud")]
pub struct Stud {
    direction: Vector3<f64>,
    limit: Option<f64>,
}

/// A stud as it is read back.
#[derive(Deserialize)]
#[serde(rename = "Stud")]
struct StoredStud {
    direction: Vector3<f64>,
    limit: Option<f64>,
}

impl TryFrom<StoredStud> for Stud {
    type Error = Error;

    fn try_from(StoredStud { direction, limit }: StoredStud) -> Result<Self> {
        Self::new(direction, limit)
    }
}

impl Stud {
    fn new(direction: Vector3<f64>, limit: Option<f64>) -> Result<Self> {
        let [least, most] = SWIVEL;
        let direction = unit("stud direction", &direction)?;
        if let Some(limit) = limit {
            within("swivel limit", limit, least, most, "rad")?;
        }
        Ok(Self { direction, limit })
    }

    /// Direction of the stud with the arm at neutral, of length 1.
    #[must_use]
    pub fn direction(&self) -> Vector3<f64> {
        self.direction
    }

    /// Rated swivel to either side, rad; none if it is not known, or not to end the travel.
    #[must_use]
    pub fn limit(&self) -> Option<f64> {
        self.limit
    }
}

/// A rigid arm that turns about a pivot, given where it stands at neutral.
///
/// The pivot is a line in space through a point along a direction; angles are positive by the right-hand rule about
/// that direction. What counts of the arm is the joint at its end, so that arms may be bent.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::Arm;
/// use yokewright::units::MM;
///
/// // A pedal hinged at the floor about the y axis, its rod attached 120 mm up.
/// let arm = Arm::new(Point3::origin(), Vector3::y(), Point3::new(0.0, 40.0 * MM, 120.0 * MM))?;
/// assert!((arm.length() - 120.0 * MM).abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredArm")]
pub struct Arm {
    pivot: Pivot,
    joint: Point3<f64>,
    stud: Option<Stud>,
    #[serde(skip)]
    foot: Point3<f64>,
    #[serde(skip)]
    length: f64,
}

/// An arm as it is read back.
#[derive(Deserialize)]
#[serde(rename = "Arm")]
struct StoredArm {
    pivot: Pivot,
    joint: Point3<f64>,
    stud: Option<Stud>,
}

impl TryFrom<StoredArm> for Arm {
    type Error = Error;

    fn try_from(StoredArm { pivot, joint, stud }: StoredArm) -> Result<Self> {
        let arm = Self::new(pivot.point(), pivot.direction(), joint)?;
        Ok(Self { stud, ..arm })
    }
}

debug_as_call!(Arm, |self, f| {
    let (pivot, direction) = (coordinates(self.pivot()), coordinates(self.direction()));
    write!(
        f,
        "Arm::new({pivot}, {direction}, {})?",
        coordinates(self.joint)
    )?;
    match self.stud {
        None => Ok(()),
        Some(Stud { direction, limit }) => {
            let limit = limit.map_or("None::<f64>".to_owned(), |limit| format!("{limit:?}"));
            write!(f, ".with_stud({}, {limit})?", coordinates(direction))
        }
    }
});

impl Arm {
    /// An arm on the pivot through a point (m) along a direction (any length), with its joint (m) where it is at
    /// neutral.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a coordinate beyond 10 m or a joint that is not 0.1 mm to 5 m
    /// from the axis of the pivot (on the axis it would not move), [`Error::NoDirection`] for a zero direction.
    pub fn new(pivot: Point3<f64>, direction: Vector3<f64>, joint: Point3<f64>) -> Result<Self> {
        let pivot = Pivot::new(pivot, direction)?;
        let radius = pivot.radius_vector(&placed("joint of the arm", joint)?);
        let (foot, length) = (joint - radius, radius.norm());
        let [least, most] = LENGTH;
        within("arm from the pivot to the joint", length, least, most, "m")?;
        Ok(Self {
            pivot,
            joint,
            stud: None,
            foot,
            length,
        })
    }

    /// The same arm with a ball joint whose stud stands along a direction (any length, the arm at neutral) and that may
    /// swivel by `limit` (rad) to either side, or as far as it will with `None`; see [`Stud`].
    ///
    /// # Errors
    /// [`Error::NoDirection`], [`Error::NotFinite`]; [`Error::OutOfRange`] for a limit that is not within 0.1 to 89
    /// deg.
    pub fn with_stud(
        &self,
        direction: Vector3<f64>,
        limit: impl Into<Option<f64>>,
    ) -> Result<Self> {
        let stud = Some(Stud::new(direction, limit.into())?);
        Ok(Self { stud, ..*self })
    }

    /// A point of the pivot's axis, m, as given.
    #[must_use]
    pub fn pivot(&self) -> Point3<f64> {
        self.pivot.point()
    }

    /// Direction of the pivot's axis, of length 1.
    #[must_use]
    pub fn direction(&self) -> Vector3<f64> {
        self.pivot.direction()
    }

    /// The pivot.
    pub(in crate::linkage) fn axis(&self) -> Pivot {
        self.pivot
    }

    /// The joint at neutral, m.
    #[must_use]
    pub fn joint(&self) -> Point3<f64> {
        self.joint
    }

    /// The ball joint's stud, if one was given.
    #[must_use]
    pub fn stud(&self) -> Option<Stud> {
        self.stud
    }

    /// Distance of the joint from the axis of the pivot, m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// The point of the axis nearest to the joint, m.
    pub(super) fn foot(&self) -> Point3<f64> {
        self.foot
    }

    /// From the foot to the joint at neutral, m.
    pub(super) fn radius(&self) -> Vector3<f64> {
        self.joint - self.foot
    }

    /// Where the joint is at an angle (rad), m.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn joint_at(&self, angle: f64) -> Result<Point3<f64>> {
        crate::error::finite("angle of the arm", angle, "rad")?;
        Ok(self.carried(&self.joint, angle))
    }

    /// A point fixed to the arm, given at neutral, when the arm stands at an angle.
    pub(super) fn carried(&self, point: &Point3<f64>, angle: f64) -> Point3<f64> {
        let radius = point - self.foot;
        point + self.turned(&radius, angle) - radius
    }

    /// A direction fixed to the arm.
    pub(super) fn turned(&self, v: &Vector3<f64>, angle: f64) -> Vector3<f64> {
        // Rodrigues, with 1 - cos by the half angle: near neutral the change keeps its digits.
        let axis = self.direction();
        let cross = axis.cross(v);
        let versine = 2.0 * (0.5 * angle).sin().powi(2);
        v + cross * angle.sin() + axis.cross(&cross) * versine
    }

    /// Its mirror image in the plane y = 0: a direction of rotation keeps its y and turns x and z round.
    pub(super) fn mirrored(&self) -> Result<Self> {
        let point = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
        let d = self.direction();
        let image = Self::new(
            point(self.pivot()),
            Vector3::new(-d.x, d.y, -d.z),
            point(self.joint),
        )?;
        match self.stud {
            Some(Stud {
                direction: d,
                limit,
            }) => image.with_stud(Vector3::new(d.x, -d.y, d.z), limit),
            None => Ok(image),
        }
    }

    /// The same arm with angles counted the other way.
    pub(super) fn turned_round(&self) -> Result<Self> {
        let pivot = Pivot::new(self.pivot(), -self.direction())?;
        Ok(Self { pivot, ..*self })
    }

    /// An error unless another arm sits on the same axis with directions alike.
    pub(super) fn check_shared_pivot(&self, quantity: &'static str, other: &Self) -> Result<()> {
        /// A micrometer, and for directions a microradian.
        const SAME: f64 = 1e-6;
        let apart = self.pivot.radius(&other.pivot());
        within(quantity, apart, 0.0, SAME, "m")?;
        let askew = (self.direction() - other.direction()).norm();
        within(
            "angle between the pivots of the two crank arms",
            askew,
            0.0,
            SAME,
            "rad",
        )?;
        Ok(())
    }

    /// The error that says a joint is too near its axis as seen from the rod, or nothing.
    pub(super) fn lever(quantity: &'static str, lever: f64, arm: f64) -> Result<f64> {
        /// Share of the arm below which the rod points at the axis, for every practical purpose.
        const SHALLOW: f64 = 1e-6;
        if lever.abs() >= SHALLOW * arm {
            return Ok(lever);
        }
        Err(Error::OutOfRange {
            quantity,
            value: lever.abs(),
            min: SHALLOW * arm,
            max: arm,
            unit: "m",
            hint: crate::error::Hint::None,
        })
    }
}
