//! The two-axis gimbal: where its grip goes, how far the stick tilts, what the sensors see.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, Translation3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, choices, counted, within};
use crate::linkage::masked::Masked;
use crate::linkage::pivot::{Pivot, placed};
use crate::numeric::direction::unit;
use crate::stored::stored_as_spec;
use crate::units::{DEG, MM};
use crate::written::{coordinates, debug_as_call};

/// The least angle between the two axes: closer to parallel they are one axis.
const LEAST_ANGLE: f64 = 10.0 * DEG;
/// The least angle between the stick and the inner axis at which the tilt still tells the inner angle.
const LEAST_LEAN: f64 = 1.0 * DEG;
/// The largest radius of stick or grip, m.
const MAX_RADIUS: f64 = 0.5;
/// Bends and ends of a stick.
const CORNERS: [usize; 2] = [2, 100];
/// Farther apart than two points within reach can be, m.
const LONGEST: f64 = 40.0;
/// The shortest straight piece, m.
const LEAST_PIECE: f64 = 0.1 * MM;

/// What a gimbal is made of; [`Gimbal::new`] checks it. Everything is given where it stands with both angles zero, in
/// the frame of the rig.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GimbalSpec {
    /// The axis in the frame.
    pub outer: Pivot,
    /// The axis that the outer body carries, 10 to 170 degrees from the outer one. It may cross the outer axis or pass
    /// it at a distance.
    pub inner: Pivot,
    /// Corners of the stick, m, from the gimbal up to the grip, 2 to 100 of them at least 0.1 mm apart: two for a
    /// straight stick, more for a cranked one. The inner body carries them all.
    pub stick: Vec<Point3<f64>>,
    /// Radius of the stick, m, 0 to 0.5.
    pub stick_radius: f64,
    /// Radius of a ball about the grip point, m, 0 to 0.5, that stands for the grip with a hand around it.
    pub grip_radius: f64,
}

impl GimbalSpec {
    /// A stick and grip without thickness.
    #[must_use]
    pub fn new(outer: Pivot, inner: Pivot, stick: Vec<Point3<f64>>) -> Self {
        Self {
            outer,
            inner,
            stick,
            stick_radius: 0.0,
            grip_radius: 0.0,
        }
    }
}

/// A stick on two axes: the outer one in the frame, the inner one carried by the outer body.
///
/// Turning by (outer, inner), a point of the stick goes first about the inner axis and then, with it, about the outer
/// axis. Angles are zero where the control is centered.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Gate, Gimbal, GimbalSpec, Pivot};
/// use yokewright::units::{DEG, MM};
///
/// // Pitch about y in the frame, roll about x carried by it, a straight stick of 400 mm.
/// let gimbal = Gimbal::new(GimbalSpec {
///     outer: Pivot::new(Point3::origin(), Vector3::y())?,
///     inner: Pivot::new(Point3::origin(), Vector3::x())?,
///     stick: vec![Point3::origin(), Point3::new(0.0, 0.0, 400.0 * MM)],
///     stick_radius: 10.0 * MM,
///     grip_radius: 50.0 * MM,
/// })?;
/// let grip = gimbal.grip_at(20.0 * DEG, 20.0 * DEG)?;
/// assert!((grip.translation.x - 0.4 * (20.0 * DEG).cos() * (20.0 * DEG).sin()).abs() < 1e-12);
/// assert!((gimbal.tilt(20.0 * DEG, 20.0 * DEG)? / DEG - 27.991).abs() < 1e-3);
/// assert!(!gimbal.allows(&Gate::round(25.0 * DEG)?, 20.0 * DEG, 20.0 * DEG)?);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, PartialEq)]
pub struct Gimbal {
    pub(super) spec: GimbalSpec,
}

stored_as_spec!(Gimbal, GimbalSpec);

/// One of the two axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GimbalAxis {
    /// The axis in the frame.
    Outer,
    /// The axis that the outer body carries.
    Inner,
}

choices!(GimbalAxis, "gimbal axis", {
    Outer => "outer",
    Inner => "inner",
});

/// How the sensor of the inner axis is driven. That of the outer axis always sits on the outer pivot and reads its
/// angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum InnerSensor {
    /// On the outer body, at the inner pivot: it reads the inner angle.
    OnOuterBody,
    /// On the frame, its shaft in line with the inner axis at neutral and driven through a universal joint at the
    /// gimbal, the pins of whose stick-side fork lie in the plane of both axes.
    JointAlongOuter,
    /// The same with the pins of the stick-side fork square to both axes: along the stick, as a rule. A slotted bow
    /// that is hinged in line with the inner axis and pushed by a straight stick square to both axes reads the same.
    JointAcross,
}

choices!(InnerSensor, "inner sensor", {
    OnOuterBody => "on outer body",
    JointAlongOuter => "joint along outer",
    JointAcross => "joint across",
});

/// How far the grip goes when one axis turns.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct GripTravel {
    /// Distance of the grip from the axis, m.
    pub radius: f64,
    /// Along the path, m.
    pub arc: f64,
    /// Straight from end to end, m.
    pub chord: f64,
}

/// Positions of the stick at many pairs of angles, same length and order as the angles.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct GripPoses {
    /// Pose of the grip; NaN in the rows that have none.
    pub poses: Vec<Isometry3<f64>>,
    /// Whether the row has a value: both angles finite and within half a turn.
    pub valid: Vec<bool>,
}

impl GripPoses {
    /// Positions of the grip, m; NaN in the rows that have none.
    #[must_use]
    pub fn positions(&self) -> Vec<Vector3<f64>> {
        self.poses
            .iter()
            .map(|pose| pose.translation.vector)
            .collect()
    }

    /// Rotation vectors of the grip, rad; NaN in the rows that have none.
    #[must_use]
    pub fn rotation_vectors(&self) -> Vec<Vector3<f64>> {
        let turn = |(pose, valid): (&Isometry3<f64>, &bool)| {
            if *valid {
                pose.rotation.scaled_axis()
            } else {
                Vector3::repeat(f64::NAN)
            }
        };
        self.poses.iter().zip(&self.valid).map(turn).collect()
    }
}

/// The gimbal at one pair of angles.
pub(in crate::linkage) struct Turned {
    pub(super) outer: Isometry3<f64>,
    pub(super) both: Isometry3<f64>,
}

debug_as_call!(Gimbal, |self, f| {
    let GimbalSpec {
        outer,
        inner,
        stick,
        stick_radius,
        grip_radius,
    } = &self.spec;
    write!(
        f,
        "Gimbal::new(GimbalSpec {{ outer: {outer:?}, inner: {inner:?}, stick: vec!["
    )?;
    for (number, corner) in stick.iter().enumerate() {
        let comma = if number == 0 { "" } else { ", " };
        write!(f, "{comma}{}", coordinates(*corner))?;
    }
    write!(
        f,
        "], stick_radius: {stick_radius:?}, grip_radius: {grip_radius:?} }})?"
    )
});

impl Gimbal {
    /// Checks what a gimbal is made of.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] or [`Error::Count`] for what lies outside the ranges that
    /// [`GimbalSpec`] gives.
    pub fn new(spec: GimbalSpec) -> Result<Self> {
        let (outer, inner) = (spec.outer.direction(), spec.inner.direction());
        let (min, max) = (LEAST_ANGLE, PI - LEAST_ANGLE);
        within(
            "angle between the axes of the gimbal",
            outer.angle(&inner),
            min,
            max,
            "rad",
        )?;
        counted("corners of the stick", spec.stick.len(), CORNERS)?;
        for corner in &spec.stick {
            placed("corner of the stick", *corner)?;
        }
        for piece in spec.stick.windows(2) {
            let length = nalgebra::distance(&piece[0], &piece[1]);
            within(
                "straight piece of the stick",
                length,
                LEAST_PIECE,
                LONGEST,
                "m",
            )?;
        }
        within("stick radius", spec.stick_radius, 0.0, MAX_RADIUS, "m")?;
        within("grip radius", spec.grip_radius, 0.0, MAX_RADIUS, "m")?;
        Ok(Self { spec })
    }

    /// What it is made of.
    #[must_use]
    pub fn spec(&self) -> &GimbalSpec {
        &self.spec
    }

    /// The grip point at neutral: the last corner of the stick, m.
    #[must_use]
    pub fn grip(&self) -> Point3<f64> {
        self.spec.stick.last().copied().unwrap_or_default()
    }

    /// Direction of the stick at neutral, of length 1: that of its first straight piece, which passes the gate.
    #[must_use]
    pub fn stick_direction(&self) -> Vector3<f64> {
        match self.spec.stick.as_slice() {
            [first, second, ..] => (second - first).normalize(),
            _ => Vector3::zeros(),
        }
    }

    /// Pose of the grip (position in m; at neutral its axes are those of the rig) at an outer and an inner angle (rad).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond half a turn.
    pub fn grip_at(&self, outer: f64, inner: f64) -> Result<Isometry3<f64>> {
        let motion = self.turned(checked(outer, inner)?).both;
        Ok(motion * Translation3::from(self.grip()))
    }

    /// Poses of the grip at many outer and inner angles (rad).
    ///
    /// Rows where [`Gimbal::grip_at`] would return an error are NaN and marked.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn grips_at(&self, outer: &[f64], inner: &[f64]) -> Result<GripPoses> {
        let rows = self.each(outer, inner, |[outer, inner]| self.grip_at(outer, inner))?;
        let nowhere = Isometry3::translation(f64::NAN, f64::NAN, f64::NAN);
        Ok(GripPoses {
            valid: rows.iter().map(Result::is_ok).collect(),
            poses: rows.into_iter().map(|row| row.unwrap_or(nowhere)).collect(),
        })
    }

    /// Corners of the stick (m) at an outer and an inner angle (rad).
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`].
    pub fn stick_at(&self, outer: f64, inner: f64) -> Result<Vec<Point3<f64>>> {
        let motion = self.turned(checked(outer, inner)?).both;
        Ok(self
            .spec
            .stick
            .iter()
            .map(|corner| motion * corner)
            .collect())
    }

    /// Total tilt, rad: the angle between the stick's direction and the same at neutral. For axes that are square to
    /// each other and to the stick, cos tilt = cos outer cos inner.
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`].
    pub fn tilt(&self, outer: f64, inner: f64) -> Result<f64> {
        Ok(self.tilt_of(checked(outer, inner)?))
    }

    /// Total tilts (rad) at many outer and inner angles (rad); NaN and marked where [`Gimbal::tilt`] would return an
    /// error.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn tilts(&self, outer: &[f64], inner: &[f64]) -> Result<Masked<f64>> {
        let rows = self.each(outer, inner, |[outer, inner]| self.tilt(outer, inner))?;
        Ok(Masked::of(rows, f64::NAN))
    }

    /// How far the grip goes while one axis turns over a range (rad) and the other stands at an angle (rad).
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`], and [`Error::NotAscending`] if the range does not go upward.
    pub fn travel(&self, axis: GimbalAxis, range: [f64; 2], other: f64) -> Result<GripTravel> {
        let [lower, upper] = range;
        checked(lower, other)?;
        checked(upper, other)?;
        ascending("range of the angle", range, "rad")?;
        let radius = match axis {
            // About the outer axis the radius depends on where the inner one stands.
            GimbalAxis::Outer => {
                let grip = self.spec.inner.turn(other) * self.grip();
                self.spec.outer.radius(&grip)
            }
            GimbalAxis::Inner => self.spec.inner.radius(&self.grip()),
        };
        let angle = upper - lower;
        Ok(GripTravel {
            radius,
            arc: radius * angle,
            chord: 2.0 * radius * (0.5 * angle).sin().abs(),
        })
    }

    /// Outer and inner angle (rad) at which the stick has a direction (of any length), on the side of neutral.
    ///
    /// In closed form: turning about the outer axis leaves the direction's angle from that axis alone, so the inner
    /// angle has to provide it.
    ///
    /// # Errors
    /// [`Error::NoDirection`] for a zero direction, [`Error::OutOfRange`] if no pair of angles gives it, or if the
    /// stick lies within 1 degree of the inner axis, where it turns without tilting.
    pub fn angles_for_direction(&self, direction: Vector3<f64>) -> Result<[f64; 2]> {
        let direction = unit("direction of the stick", &direction)?;
        let stick = self.stick_direction();
        let lean = stick.angle(&self.spec.inner.direction());
        let (min, max) = (LEAST_LEAN, PI - LEAST_LEAN);
        within(
            "angle between the stick and the inner axis",
            lean,
            min,
            max,
            "rad",
        )?;
        let outer = self.spec.outer.direction();
        let swing = self.swing(Vector3::zeros(), stick);
        let Some(inner) = swing.inner_for(outer.dot(&direction)) else {
            let [from, to] = swing.reach().map(|cosine| cosine.clamp(-1.0, 1.0).acos());
            let angle = outer.angle(&direction);
            return Err(out_of_reach(
                "angle of the direction from the outer axis",
                angle,
                [to, from],
                "rad",
            ));
        };
        let turned = self.spec.inner.turn(inner).rotation * stick;
        Ok([angle_about(&outer, &turned, &direction), inner])
    }

    /// Outer and inner angle (rad) that bring the grip to a point (m), on the side of neutral, and by how much the grip
    /// then misses the point, m: zero if the point lies on the surface on which the grip moves.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a point beyond 10 m, or one that is higher along the outer
    /// axis than the grip gets; [`Error::OutOfRange`] for a grip on the inner axis.
    pub fn angles_for_grip(&self, point: Point3<f64>) -> Result<([f64; 2], f64)> {
        placed("point", point)?;
        let (outer, inner_axis) = (self.spec.outer, self.spec.inner);
        let grip = self.grip();
        within(
            "distance of the grip from the inner axis",
            inner_axis.radius(&grip),
            LEAST_PIECE,
            LONGEST,
            "m",
        )?;
        let swing = self.swing(
            inner_axis.point() - outer.point(),
            grip - inner_axis.point(),
        );
        let height = outer.direction().dot(&(point - outer.point()));
        let Some(inner) = swing.inner_for(height) else {
            let quantity = "height of the point along the outer axis";
            return Err(out_of_reach(quantity, height, swing.reach(), "m"));
        };
        let turned = inner_axis.turn(inner) * grip;
        let (from, to) = (outer.radius_vector(&turned), outer.radius_vector(&point));
        let angle = angle_about(&outer.direction(), &from, &to);
        let miss = nalgebra::distance(&(outer.turn(angle) * turned), &point);
        Ok(([angle, inner], miss))
    }

    /// What the two sensors turn by, rad, at an outer and an inner angle (rad): the outer one by the outer angle, the
    /// inner one as it is driven.
    ///
    /// A shaft on the frame and its joint turn so that their pins stay square: the sensor's angle is that of the
    /// stick-side pins seen along the shaft. With axes at right angles tan(sensor) is cos(outer) tan(inner) with the
    /// pins along the outer axis, and tan(inner) / cos(outer) across: the
    /// [`UniversalJoint`](crate::linkage::UniversalJoint) with the outer angle as its bend.
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`], and [`Error::OutOfRange`] for a joint bent by more than 89 degrees.
    pub fn sensor_angles(&self, outer: f64, inner: f64, drive: InnerSensor) -> Result<[f64; 2]> {
        let turned = self.turned(checked(outer, inner)?);
        let shaft = self.spec.inner.direction();
        let pins = match drive {
            InnerSensor::OnOuterBody => return Ok([outer, inner]),
            InnerSensor::JointAcross => self.spec.outer.direction().cross(&shaft),
            InnerSensor::JointAlongOuter => {
                let outer = self.spec.outer.direction();
                outer - shaft * shaft.dot(&outer)
            }
        };
        let bend = shaft.angle(&(turned.outer.rotation * shaft));
        within("bend of the universal joint", bend, 0.0, 89.0 * DEG, "rad")?;
        let seen = angle_about(&shaft, &pins, &(turned.both.rotation * pins));
        // The shaft follows the inner angle around: never a right angle away from it.
        let turns = ((inner - seen) / (2.0 * PI)).round();
        Ok([outer, seen + 2.0 * PI * turns])
    }

    /// What the two sensors turn by, rad, at many outer and inner angles (rad); NaN and marked where
    /// [`Gimbal::sensor_angles`] would return an error.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn sensors_at(
        &self,
        outer: &[f64],
        inner: &[f64],
        drive: InnerSensor,
    ) -> Result<Masked<[f64; 2]>> {
        let rows = self.each(outer, inner, |[outer, inner]| {
            self.sensor_angles(outer, inner, drive)
        })?;
        Ok(Masked::of(rows, [f64::NAN; 2]))
    }

    pub(in crate::linkage) fn turned(&self, [outer, inner]: [f64; 2]) -> Turned {
        let outer = self.spec.outer.turn(outer);
        Turned {
            outer,
            both: outer * self.spec.inner.turn(inner),
        }
    }

    pub(in crate::linkage) fn tilt_of(&self, angles: [f64; 2]) -> f64 {
        let stick = self.stick_direction();
        let moved = self.turned(angles).both.rotation * stick;
        // By both the cross and the scalar product: exact for small and large angles.
        stick.cross(&moved).norm().atan2(stick.dot(&moved))
    }

    pub(super) fn swing(&self, offset: Vector3<f64>, arm: Vector3<f64>) -> Swing {
        let (outer, inner) = (self.spec.outer.direction(), self.spec.inner.direction());
        let along = inner * inner.dot(&arm);
        let across = arm - along;
        Swing {
            middle: outer.dot(&(offset + along)),
            cosine: outer.dot(&across),
            sine: outer.dot(&inner.cross(&across)),
        }
    }

    pub(super) fn each<T>(
        &self,
        outer: &[f64],
        inner: &[f64],
        value: impl Fn([f64; 2]) -> Result<T>,
    ) -> Result<Vec<Result<T>>> {
        if outer.len() != inner.len() {
            return Err(Error::LengthMismatch {
                first: "outer angles",
                first_len: outer.len(),
                second: "inner angles",
                second_len: inner.len(),
            });
        }
        let pairs = outer.iter().zip(inner);
        Ok(pairs
            .map(|(&outer, &inner)| value([outer, inner]))
            .collect())
    }
}

/// Both angles within half a turn.
pub(super) fn checked(outer: f64, inner: f64) -> Result<[f64; 2]> {
    Ok([
        within("outer angle", outer, -PI, PI, "rad")?,
        within("inner angle", inner, -PI, PI, "rad")?,
    ])
}

/// The turn about a unit axis that brings one vector over the other, rad.
fn angle_about(axis: &Vector3<f64>, from: &Vector3<f64>, to: &Vector3<f64>) -> f64 {
    // Square to the axis first: of vectors nearly along it the products would cancel.
    let [from, to] = [from, to].map(|v| v - axis * axis.dot(v));
    axis.dot(&from.cross(&to)).atan2(from.dot(&to))
}

pub(super) fn out_of_reach(
    quantity: &'static str,
    value: f64,
    [min, max]: [f64; 2],
    unit: &'static str,
) -> Error {
    Error::OutOfRange {
        quantity,
        value,
        min,
        max,
        unit,
        hint: crate::error::Hint::None,
    }
}

/// Height along the outer axis as the inner angle turns: middle + cosine cos(inner) + sine sin(inner).
pub(super) struct Swing {
    middle: f64,
    cosine: f64,
    sine: f64,
}

impl Swing {
    fn amplitude(&self) -> f64 {
        self.cosine.hypot(self.sine)
    }

    pub(super) fn reach(&self) -> [f64; 2] {
        let amplitude = self.amplitude();
        [self.middle - amplitude, self.middle + amplitude]
    }

    /// The inner angle of a height, on the branch between two extremes that holds zero.
    pub(super) fn inner_for(&self, height: f64) -> Option<f64> {
        let peak = self.sine.atan2(self.cosine);
        let share = (height - self.middle) / self.amplitude();
        // A height of one of the extremes may have come out a few roundings beyond.
        if share.is_nan() || share.abs() > 1.0 + 1e-12 {
            return None;
        }
        let from_peak = share.clamp(-1.0, 1.0).acos();
        let inner = if peak > 0.0 {
            peak - from_peak
        } else {
            peak + from_peak
        };
        Some(inner)
    }
}
