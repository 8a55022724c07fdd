//! The axis itself: what turns past what.

use std::f64::consts::PI;
use std::fmt;
use std::str::FromStr;

use nalgebra::{Isometry3, Matrix3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use serde::Serialize;

use crate::axis::{AxisFigures, Sweep};
use crate::error::{Error, Result, ascending, within};
use crate::hall::{Converter, LinearHall};
use crate::magnet::MagnetGroup;
use crate::numeric::direction::unit;

/// The farthest that a part of one axis may stand from the origin, m.
const MAX_REACH: f64 = 10.0;
/// Overlap of sensor and magnet below which they count as touching and not as colliding, m: far above rounding, far below anything printed.
pub(super) const TOUCHING: f64 = 1e-9;

/// The greatest throw either way, rad: pi, whichever way it was computed.
pub(super) const HALF_TURN: f64 = PI * (1.0 + 2.0 * f64::EPSILON);

/// Which part is carried round the pivot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Moving {
    /// The magnets turn past a fixed sensor.
    Magnets,
    /// The sensor turns past fixed magnets.
    Sensor,
}

impl Moving {
    /// Every choice, for messages.
    pub const ALL: [Self; 2] = [Self::Magnets, Self::Sensor];
}

impl fmt::Display for Moving {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Magnets => "magnets",
            Self::Sensor => "sensor",
        })
    }
}

impl FromStr for Moving {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Error::choose("moving part", text, &Self::ALL)
    }
}

/// The parts of an [`Axis`] and where they stand when the control is centered.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisSpec {
    /// A point on the pivot's axis, m.
    pub pivot: Point3<f64>,
    /// Direction of the pivot's axis; angles follow the right-hand rule about it.
    pub direction: Vector3<f64>,
    /// Least and greatest angle, rad; zero, the center, lies within.
    pub throw: [f64; 2],
    /// The magnets at angle zero.
    pub magnets: MagnetGroup,
    /// The sensor.
    pub sensor: LinearHall,
    /// The sensor's package at angle zero (origin at the center of its face, +z out of the face).
    pub sensor_pose: Isometry3<f64>,
    /// The converter behind the sensor.
    pub converter: Converter,
    /// What turns.
    pub moving: Moving,
}

/// A control axis: a magnet group carried round a pivot past a fixed sensor, or the sensor past fixed magnets.
///
/// # Example
/// ```
/// use yokewright::axis::{ArmLayout, ArmLayoutSpec, Moving, MagnetSide};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};
/// use nalgebra::Vector3;
///
/// let layout = ArmLayout::new(ArmLayoutSpec {
///     magnet_size: Vector3::repeat(5.0 * MM),
///     polarization: Vector3::new(0.0, 1300.0 * MT, 0.0), // along the tangent
///     arm: 12.0 * MM,
///     gap: 2.0 * MM,
///     side: MagnetSide::Outer,
///     offset: Vector3::zeros(),
/// })?;
/// let sensor = LinearHall::new(LinearHallSpec {
///     supply: 5.0,
///     nominal_supply: 5.0,
///     quiescent: 2.5,
///     sensitivity: 25.0 * MV_PER_MT,
///     rail_low: 0.2,
///     rail_headroom: 0.3,
///     noise: 0.15 * MV,
///     depth: 0.0,
///     direction: Vector3::z(),
/// })?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let axis = layout.axis([-6.0 * DEG, 6.0 * DEG], sensor, converter, Moving::Magnets)?;
/// let figures = axis.figures(1001)?;
/// assert!((figures.flux_span() / MT - 172.0).abs() < 1.0);
/// assert_eq!(figures.clipped(), 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    spec: AxisSpec,
    direction: Unit<Vector3<f64>>,
}

impl Axis {
    /// Checks the arrangement.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for positions beyond 10 m or a throw beyond half a turn either way,
    /// [`Error::NotAscending`] for an empty throw, [`Error::NoDirection`] for a pivot without direction.
    pub fn new(spec: AxisSpec) -> Result<Self> {
        for (name, value) in ["pivot x", "pivot y", "pivot z"]
            .into_iter()
            .zip(spec.pivot.iter())
        {
            within(name, *value, -MAX_REACH, MAX_REACH, "m")?;
        }
        let names = [
            "sensor position x",
            "sensor position y",
            "sensor position z",
        ];
        for (name, value) in names
            .into_iter()
            .zip(spec.sensor_pose.translation.vector.iter())
        {
            within(name, *value, -MAX_REACH, MAX_REACH, "m")?;
        }
        let norm = spec.sensor_pose.rotation.quaternion().norm();
        within(
            "norm of the sensor's rotation",
            norm,
            1.0 - 1e-9,
            1.0 + 1e-9,
            "(no unit)",
        )?;
        check_throw(spec.throw)?;
        let direction = Unit::new_unchecked(unit("pivot direction", &spec.direction)?);
        Ok(Self { spec, direction })
    }

    /// The parts as given.
    #[must_use]
    pub fn spec(&self) -> &AxisSpec {
        &self.spec
    }

    /// Least and greatest angle, rad.
    #[must_use]
    pub fn throw(&self) -> [f64; 2] {
        self.spec.throw
    }

    /// The turn about the pivot by `angle`, rad.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn.
    pub fn turn(&self, angle: f64) -> Result<Isometry3<f64>> {
        check_angle(angle).map(|angle| self.turned(angle))
    }

    fn turned(&self, angle: f64) -> Isometry3<f64> {
        let rotation = UnitQuaternion::from_axis_angle(&self.direction, angle);
        let pivot = self.spec.pivot.coords;
        Isometry3::from_parts(Translation3::from(pivot - rotation * pivot), rotation)
    }

    /// The magnets when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn.
    pub fn magnets_at(&self, angle: f64) -> Result<MagnetGroup> {
        check_angle(angle)?;
        match self.spec.moving {
            Moving::Magnets => self.spec.magnets.moved(&self.turned(angle)),
            Moving::Sensor => Ok(self.spec.magnets.clone()),
        }
    }

    /// The sensor's package when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// As [`Axis::magnets_at`].
    pub fn sensor_pose_at(&self, angle: f64) -> Result<Isometry3<f64>> {
        check_angle(angle)?;
        Ok(match self.spec.moving {
            Moving::Magnets => self.spec.sensor_pose,
            Moving::Sensor => self.turned(angle) * self.spec.sensor_pose,
        })
    }

    /// Flux density along the sensor's sensitive direction at `angle`, T.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; [`Error::OnEdge`] if the active point meets an edge of a magnet.
    pub fn flux_at(&self, angle: f64) -> Result<f64> {
        check_angle(angle)?;
        let pose = self.sensor_among_magnets(angle);
        let field = self
            .spec
            .magnets
            .field_at(&(pose * self.spec.sensor.active_point()))?;
        Ok(field.dot(&(pose * self.spec.sensor.direction())))
    }

    /// Flux density along the sensitive direction at many angles, T, and whether each row has a value: the fast path.
    #[must_use]
    pub fn fluxes_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let poses: Vec<_> = angles
            .iter()
            .map(|&angle| self.sensor_among_magnets(angle))
            .collect();
        let active = self.spec.sensor.active_point();
        let points: Vec<_> = poses.iter().map(|pose| pose * active).collect();
        let mut fields = self.spec.magnets.fields_at(&points);
        for (valid, angle) in fields.valid.iter_mut().zip(angles) {
            *valid &= check_angle(*angle).is_ok();
        }
        let direction = self.spec.sensor.direction();
        let rows = fields.values.iter().zip(&poses).zip(&fields.valid);
        let flux = rows
            .map(|((b, pose), &valid)| {
                if valid {
                    b.dot(&(pose * direction))
                } else {
                    f64::NAN
                }
            })
            .collect();
        (flux, fields.valid)
    }

    /// The curve over the throw at `points` angles, evenly spaced, both ends included.
    ///
    /// # Errors
    /// [`Error::Count`] unless there are 3 to 1,000,000 points, [`Error::Collision`] if the sensor runs into a magnet, [`Error::OnEdge`] if its active
    /// point meets an edge.
    pub fn sweep(&self, points: usize) -> Result<Sweep> {
        Sweep::new(self, points)
    }

    /// What the curve amounts to; see [`AxisFigures`]. They do not depend on the number of points beyond the accuracy
    /// stated there; more `points` find narrower features.
    ///
    /// # Errors
    /// As [`Axis::sweep`].
    pub fn figures(&self, points: usize) -> Result<AxisFigures> {
        AxisFigures::new(self, points)
    }

    /// Flux density at many angles, T, or the error of the first that has none.
    pub(super) fn checked_fluxes_at(&self, angles: &[f64]) -> Result<Vec<f64>> {
        let (flux, valid) = self.fluxes_at(angles);
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            // The scalar call knows the reason.
            self.flux_at(angles[bad])?;
        }
        Ok(flux)
    }

    /// Change of flux density along the sensitive direction for a change of angle, T/rad, exact: the field is carried
    /// past the sensor with its gradient and turned against it.
    pub(super) fn flux_slope_at(&self, angle: f64) -> Result<f64> {
        check_angle(angle)?;
        let place = self.place_at(angle);
        let field = self.spec.magnets.field_at(&place.point)?;
        let gradient = self.spec.magnets.gradient_at(&place.point)?;
        Ok(place.slope(&field, &gradient))
    }

    /// [`Axis::flux_slope_at`] at many angles, or the error of the first that has none.
    pub(super) fn flux_slopes_at(&self, angles: &[f64]) -> Result<Vec<f64>> {
        let places: Vec<_> = angles.iter().map(|&angle| self.place_at(angle)).collect();
        let points: Vec<_> = places.iter().map(|place| place.point).collect();
        let fields = self.spec.magnets.fields_at(&points);
        let gradients = self.spec.magnets.gradients_at(&points);
        let valid = fields.valid.iter().zip(&gradients.valid);
        if let Some(bad) = valid.map(|(a, b)| *a && *b).position(|valid| !valid) {
            self.flux_slope_at(angles[bad])?;
        }
        let values = fields.values.iter().zip(&gradients.values);
        Ok(places
            .iter()
            .zip(values)
            .map(|(place, (b, g))| place.slope(b, g))
            .collect())
    }

    fn place_at(&self, angle: f64) -> Place {
        let pose = self.sensor_among_magnets(angle);
        let point = pose * self.spec.sensor.active_point();
        let direction = pose * self.spec.sensor.direction();
        // Turning the magnets one way is turning the sensor the other.
        let turn = match self.spec.moving {
            Moving::Magnets => -self.direction.into_inner(),
            Moving::Sensor => self.direction.into_inner(),
        };
        Place {
            point,
            direction,
            motion: turn.cross(&(point - self.spec.pivot)),
            swing: turn.cross(&direction),
        }
    }

    /// Distances of the center of the package face and of the active point from the nearest magnet at `angle`, m.
    ///
    /// # Errors
    /// [`Error::Collision`] if either lies inside a magnet.
    pub(super) fn distances_at(&self, angle: f64) -> Result<(f64, f64)> {
        let pose = self.sensor_among_magnets(angle);
        let face = self.spec.magnets.distance(&(pose * Point3::origin()))?;
        let active = self
            .spec
            .magnets
            .distance(&(pose * self.spec.sensor.active_point()))?;
        if face.min(active) < -TOUCHING {
            return Err(Error::Collision {
                angle_deg: angle / crate::units::DEG,
            });
        }
        Ok((face, active))
    }

    /// The sensor's package as seen from the magnets: turning the magnets one way is turning the sensor the other.
    fn sensor_among_magnets(&self, angle: f64) -> Isometry3<f64> {
        let angle = match self.spec.moving {
            Moving::Magnets => -angle,
            Moving::Sensor => angle,
        };
        self.turned(angle) * self.spec.sensor_pose
    }
}

/// Active point and sensitive direction among the magnets, with their changes for a change of angle.
struct Place {
    point: Point3<f64>,
    direction: Vector3<f64>,
    motion: Vector3<f64>,
    swing: Vector3<f64>,
}

impl Place {
    fn slope(&self, field: &Vector3<f64>, gradient: &Matrix3<f64>) -> f64 {
        (gradient * self.motion).dot(&self.direction) + field.dot(&self.swing)
    }
}

/// A throw that holds the center and reaches half a turn either way at most.
pub(super) fn check_throw([lower, upper]: [f64; 2]) -> Result<[f64; 2]> {
    within("lower end of the throw", lower, -HALF_TURN, 0.0, "rad")?;
    within("upper end of the throw", upper, 0.0, HALF_TURN, "rad")?;
    ascending("throw", [lower, upper], "rad")
}

fn check_angle(angle: f64) -> Result<f64> {
    within("angle", angle, -2.0 * PI, 2.0 * PI, "rad")
}
