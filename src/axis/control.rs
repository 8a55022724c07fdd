//! The axis itself: what turns past what.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Matrix3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, choices, parts_within, within};
use crate::hall::{Converter, LinearHall};
use crate::linkage::{AnyTransmission, Transfer, Transfers, Transmission, TransmissionEnd};
use crate::magnet::{ActiveArea, AnySource, FieldSource, MagnetsOverPlate};
use crate::numeric::direction::unit;
use crate::observer;
use crate::stored::stored_as_spec;

/// The farthest that a part of one axis may stand from the origin, m.
const MAX_REACH: f64 = 10.0;
/// Overlap of sensor and magnet below which they count as touching and not as colliding, m: far above rounding, far
/// below anything printed.
pub(super) const TOUCHING: f64 = 1e-9;

/// More than any distance within an axis, m; where there is no body at all, this counts as its distance.
pub(super) const MAX_CLEARANCE: f64 = 100.0;

/// How exact the mean over an active area is, as a share of the mean of |B|: beyond what figures of a curve are
/// followed to.
const AREA_TOLERANCE: f64 = 1e-11;

/// The shortest and the longest way of pad or grip for a radian, m.
const LEVER: [f64; 2] = [1e-3, 3.0];

/// The greatest throw either way, rad: pi, whichever way it was computed.
pub(super) const HALF_TURN: f64 = PI * (1.0 + 2.0 * f64::EPSILON);

/// Which part is carried round the pivot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Moving {
    /// The magnets turn past a fixed sensor.
    Magnets,
    /// The sensor turns past fixed magnets.
    Sensor,
}

choices!(Moving, "moving part", {
    Magnets => "magnets",
    Sensor => "sensor",
});

/// What a steel plate under the magnets of an [`Axis`] is fixed to. Without a plate it says nothing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum PlateMount {
    /// To the frame: it stands still.
    #[default]
    Frame,
    /// To the part that turns.
    Moving,
}

choices!(PlateMount, "mount of the plate", {
    Frame => "frame",
    Moving => "moving",
});

/// The parts of an [`Axis`] and where they stand when the control is centered; see [`AxisSpec::new`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxisSpec {
    /// A point on the pivot's axis, m.
    pub pivot: Point3<f64>,
    /// Direction of the pivot's axis; angles follow the right-hand rule about it.
    pub direction: Vector3<f64>,
    /// What turns the pivot when the control is moved; [`AnyTransmission::Identity`] where the control itself sits on
    /// it.
    pub drive: AnyTransmission,
    /// Distance of pad or grip from the control's own pivot, m: what a radian is worth there; none if nobody asks.
    pub lever: Option<f64>,
    /// Least and greatest angle of the control, rad; zero, the center, lies within. It ends no later than the travel of
    /// the drive.
    pub throw: [f64; 2],
    /// The magnets at angle zero, over a steel plate or not, or any other source of field.
    pub magnets: AnySource,
    /// What a plate under the magnets is fixed to.
    pub plate: PlateMount,
    /// The sensor.
    pub sensor: LinearHall,
    /// The sensor's package at angle zero (origin at the center of its face, +z out of the face).
    pub sensor_pose: Isometry3<f64>,
    /// The area over which the sensor averages the flux density; without one it reads at its active point. The area's
    /// pose starts from the active point, along the axes of the package: with the identity it lies around the point,
    /// parallel to the face.
    pub area: Option<ActiveArea>,
    /// The converter behind the sensor.
    pub converter: Converter,
    /// What turns.
    pub moving: Moving,
}

impl AxisSpec {
    /// Magnets that turn about +z through the origin past a sensor that reads at its active point.
    pub fn new(
        throw: [f64; 2],
        magnets: impl Into<AnySource>,
        sensor: LinearHall,
        sensor_pose: Isometry3<f64>,
        converter: Converter,
    ) -> Self {
        Self {
            pivot: Point3::origin(),
            direction: Vector3::z(),
            drive: AnyTransmission::Identity,
            lever: None,
            throw,
            magnets: magnets.into(),
            plate: PlateMount::Frame,
            sensor,
            sensor_pose,
            area: None,
            converter,
            moving: Moving::Magnets,
        }
    }
}

/// A control axis: magnets carried round a pivot past a fixed sensor, or the sensor past fixed magnets.
///
/// All its angles are those of the control. Where that sits on another pivot, a [`drive`](AxisSpec::drive) turns the
/// one with the sensor: pedal, rods, crank, magnet, sensor and converter are one row.
///
/// The sensor reads any source of field, at its active point or as the mean over its active area, which is found to
/// 1e-11 of the mean of |B|. A steel plate stands in the frame or turns with the moving part. Where it goes with the
/// sensor, the magnets turn over it and their images with them; the flux density is then that of the magnets at the
/// sensor and at its mirror image (see [`MagnetsOverPlate`]).
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
/// assert_eq!(figures.clipped_share(), 0.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    spec: AxisSpec,
    direction: Unit<Vector3<f64>>,
    /// What the magnets' side carries, as it stands at angle zero.
    source: AnySource,
    /// A plate that goes with the sensor, at angle zero, and the magnets that are over it.
    opposite: Option<MagnetsOverPlate>,
    /// In the frame of the package.
    area: Option<ActiveArea>,
    /// What of the drive ends the throw below and above.
    ends: [Option<String>; 2],
}

stored_as_spec!(Axis, AxisSpec);

impl Axis {
    /// Checks the arrangement.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for positions beyond 10 m or a throw beyond half a turn either way,
    /// [`Error::NotAscending`] for an empty throw, [`Error::NoDirection`] for a pivot without direction;
    /// [`Error::BehindPlate`] if the face of the sensor's package or its active area reaches into a plate that goes
    /// with it.
    pub fn new(spec: AxisSpec) -> Result<Self> {
        parts_within(
            ["pivot x", "pivot y", "pivot z"],
            spec.pivot.iter(),
            -MAX_REACH,
            MAX_REACH,
            "m",
        )?;
        let names = [
            "sensor position x",
            "sensor position y",
            "sensor position z",
        ];
        parts_within(
            names,
            spec.sensor_pose.translation.vector.iter(),
            -MAX_REACH,
            MAX_REACH,
            "m",
        )?;
        let norm = spec.sensor_pose.rotation.quaternion().norm();
        within(
            "norm of the sensor's rotation",
            norm,
            1.0 - 1e-9,
            1.0 + 1e-9,
            "(no unit)",
        )?;
        check_throw(spec.throw)?;
        spec.lever.map(check_lever).transpose()?;
        let ends = throw_ends(&spec)?;
        let direction = Unit::new_unchecked(unit("pivot direction", &spec.direction)?);
        let with_sensor = match spec.moving {
            Moving::Magnets => PlateMount::Frame,
            Moving::Sensor => PlateMount::Moving,
        };
        let (source, opposite) = match &spec.magnets {
            AnySource::OverPlate(over) if spec.plate == with_sensor => {
                (over.magnets().clone().into(), Some(over.clone()))
            }
            source => (source.clone(), None),
        };
        let active = Isometry3::from(spec.sensor.active_point().coords);
        let area = spec.area.as_ref().map(|area| area.moved(&active));
        let axis = Self {
            direction,
            source,
            opposite,
            area: area.transpose()?,
            ends,
            spec,
        };
        for angle in [0.0, axis.throw()[0], axis.throw()[1]] {
            axis.pivot_at(angle)?;
        }
        axis.check_over_own_plate()?;
        Ok(axis)
    }

    /// Refuses a sensor that reaches into the plate that goes with it.
    fn check_over_own_plate(&self) -> Result<()> {
        let Some(over) = &self.opposite else {
            return Ok(());
        };
        for point in self.outline().into_iter().chain([Point3::origin()]) {
            let height = over.plate().distance(&(self.spec.sensor_pose * point))?;
            if height < -TOUCHING {
                return Err(Error::BehindPlate { depth: -height });
            }
        }
        Ok(())
    }

    /// What of the sensor must stay out of all bodies besides the center of its face, in the frame of the package: the
    /// rim of the active area, or the active point.
    fn outline(&self) -> Vec<Point3<f64>> {
        match &self.area {
            Some(area) => area.rim(),
            None => vec![self.spec.sensor.active_point()],
        }
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

    /// What of the drive ends the throw below and above, by name; none where the throw ends before.
    #[must_use]
    pub fn throw_ends(&self) -> [Option<&str>; 2] {
        self.ends.each_ref().map(Option::as_deref)
    }

    /// The angle of the pivot at the sensor, rad, with its derivatives, when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; what the drive refuses.
    pub fn pivot_at(&self, angle: f64) -> Result<Transfer> {
        check_angle(angle)?;
        self.spec.drive.transfer(angle)
    }

    /// [`Axis::pivot_at`] at many angles; NaN and marked where it would return an error.
    fn pivots_at(&self, angles: &[f64]) -> Transfers {
        let mut driven = self.spec.drive.transfers(angles);
        for (valid, angle) in driven.valid.iter_mut().zip(angles) {
            *valid &= check_angle(*angle).is_ok();
        }
        driven
    }

    /// The turn about the pivot when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// As [`Axis::pivot_at`].
    pub fn turn(&self, angle: f64) -> Result<Isometry3<f64>> {
        Ok(self.turned(self.pivot_at(angle)?.angle))
    }

    fn turned(&self, angle: f64) -> Isometry3<f64> {
        let rotation = UnitQuaternion::from_axis_angle(&self.direction, angle);
        let pivot = self.spec.pivot.coords;
        Isometry3::from_parts(Translation3::from(pivot - rotation * pivot), rotation)
    }

    /// The magnets when the control stands at `angle`, rad, with their plate if they are over one.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; [`Error::ThroughPlate`] if a magnet runs into the plate there.
    pub fn magnets_at(&self, angle: f64) -> Result<AnySource> {
        let turn = self.turn(angle)?;
        let still = Isometry3::identity();
        let (magnets, plate) = match (self.spec.moving, self.spec.plate) {
            (Moving::Magnets, PlateMount::Frame) => (&turn, &still),
            (Moving::Magnets, PlateMount::Moving) => (&turn, &turn),
            (Moving::Sensor, PlateMount::Frame) => (&still, &still),
            (Moving::Sensor, PlateMount::Moving) => (&still, &turn),
        };
        match &self.opposite {
            Some(over) => {
                let plate = over.plate().moved(plate)?;
                Ok(plate.over(&over.magnets().moved(magnets)?)?.into())
            }
            None if self.spec.moving == Moving::Sensor => Ok(self.spec.magnets.clone()),
            None => self.spec.magnets.moved(&turn),
        }
    }

    /// The sensor's package when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// As [`Axis::magnets_at`].
    pub fn sensor_pose_at(&self, angle: f64) -> Result<Isometry3<f64>> {
        let turn = self.turn(angle)?;
        Ok(match self.spec.moving {
            Moving::Magnets => self.spec.sensor_pose,
            Moving::Sensor => turn * self.spec.sensor_pose,
        })
    }

    /// Flux density along the sensor's sensitive direction at `angle`, T.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; [`Error::OnEdge`] if the active point meets an edge of a
    /// magnet; of a sensor with an active area as [`ActiveArea::mean_field`], [`Error::AreaCut`] above all;
    /// [`Error::BehindPlate`] if it reads inside a plate, [`Error::ThroughPlate`] if a magnet runs into one.
    pub fn flux_at(&self, angle: f64) -> Result<f64> {
        self.flux_at_pivot(self.pivot_at(angle)?.angle)
    }

    /// [`Axis::flux_at`] by the angle of the pivot.
    fn flux_at_pivot(&self, angle: f64) -> Result<f64> {
        self.check_angle(angle)?;
        if let Some(area) = &self.area {
            return Ok(self.mean_fluxes(area, &[angle])?[0]);
        }
        let mut flux = 0.0;
        for eye in self.eyes_at(angle, &self.spec.sensor.active_point()) {
            flux += self.source.field_at(&eye.point)?.dot(&eye.direction);
        }
        Ok(flux)
    }

    /// Flux density along the sensitive direction at many angles, T, and whether each row has a value: the fast path.
    #[must_use]
    pub fn fluxes_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let driven = self.pivots_at(angles);
        let (mut flux, mut valid) = self.fluxes_at_pivot(&driven.angles);
        for (i, _) in driven
            .valid
            .iter()
            .enumerate()
            .filter(|(_, valid)| !**valid)
        {
            (flux[i], valid[i]) = (f64::NAN, false);
        }
        // Work that was stopped is shorter.
        flux.resize(angles.len(), f64::NAN);
        valid.resize(angles.len(), false);
        (flux, valid)
    }

    /// [`Axis::fluxes_at`] by the angles of the pivot.
    fn fluxes_at_pivot(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let Some(area) = &self.area else {
            let (flux, mut valid) = self.fluxes(angles, &[self.spec.sensor.active_point()]);
            for (valid, angle) in valid.iter_mut().zip(angles) {
                *valid &= self.check_angle(*angle).is_ok();
            }
            let rows = flux.into_iter().zip(&valid);
            let flux = rows.map(|((flux, _), &valid)| if valid { flux } else { f64::NAN });
            return (flux.collect(), valid);
        };
        if let Ok(flux) = self.mean_fluxes(area, angles) {
            let valid = vec![true; flux.len()];
            return (flux, valid);
        }
        // One that has none stops the others, so each by itself.
        let one = |angle: &f64| match self.mean_fluxes(area, &[*angle]) {
            Ok(flux) => (flux[0], true),
            Err(_) => (f64::NAN, false),
        };
        angles.iter().map(one).unzip()
    }

    /// Flux density at many angles, T, or the error of the first that has none.
    pub(super) fn checked_fluxes_at(&self, angles: &[f64]) -> Result<Vec<f64>> {
        let (flux, valid) = self.fluxes_at(angles);
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            // The scalar call knows the reason.
            self.flux_at(angles[bad])?;
        }
        Ok(flux)
    }

    /// Change of flux density along the sensitive direction for a change of angle, T/rad, exact: the field is carried
    /// past the sensor with its gradient and turned against it.
    pub(super) fn flux_slope_at(&self, angle: f64) -> Result<f64> {
        let driven = self.pivot_at(angle)?;
        Ok(self.slope_at_pivot(driven.angle)? * driven.ratio)
    }

    /// [`Axis::flux_slope_at`] by the angle of the pivot and for a change of that.
    fn slope_at_pivot(&self, angle: f64) -> Result<f64> {
        self.check_angle(angle)?;
        if let Some(area) = &self.area {
            return Ok(self.mean_slopes(area, &[angle])?[0]);
        }
        let mut slope = 0.0;
        for eye in self.eyes_at(angle, &self.spec.sensor.active_point()) {
            let field = self.source.field_at(&eye.point)?;
            let gradient = self.source.gradient_at(&eye.point)?;
            slope += self.pass(&eye).slope(&eye, &field, &gradient);
        }
        Ok(slope)
    }

    /// [`Axis::flux_slope_at`] at many angles, or the error of the first that has none.
    pub(super) fn flux_slopes_at(&self, angles: &[f64]) -> Result<Vec<f64>> {
        let driven = self.pivots_at(angles);
        observer::check()?;
        if let Some(bad) = driven.valid.iter().position(|valid| !valid) {
            self.pivot_at(angles[bad])?;
        }
        let slopes = self.slopes_at_pivot(&driven.angles)?.into_iter();
        Ok(slopes
            .zip(&driven.ratios)
            .map(|(slope, ratio)| slope * ratio)
            .collect())
    }

    /// [`Axis::slope_at_pivot`] at many angles, or the error of the first that has none.
    fn slopes_at_pivot(&self, angles: &[f64]) -> Result<Vec<f64>> {
        if let Some(area) = &self.area {
            return self.mean_slopes(area, angles);
        }
        let (slopes, valid) = self.slopes(angles, &[self.spec.sensor.active_point()]);
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            self.slope_at_pivot(angles[bad])?;
        }
        Ok(slopes.into_iter().map(|(slope, _)| slope).collect())
    }

    /// Means of the flux density over the active area at the angles, T, or the error of the first that has none.
    fn mean_fluxes(&self, area: &ActiveArea, angles: &[f64]) -> Result<Vec<f64>> {
        self.means(
            area,
            angles,
            ("mean flux density over the active area", "T"),
            Self::fluxes,
        )
    }

    /// [`Axis::mean_fluxes`] for a change of angle, T/rad.
    fn mean_slopes(&self, area: &ActiveArea, angles: &[f64]) -> Result<Vec<f64>> {
        self.means(
            area,
            angles,
            ("change of the mean flux density", "T/rad"),
            Self::slopes,
        )
    }

    fn means(
        &self,
        area: &ActiveArea,
        angles: &[f64],
        named: (&'static str, &'static str),
        readings: impl Fn(&Self, &[f64], &[Point3<f64>]) -> Readings,
    ) -> Result<Vec<f64>> {
        for &angle in angles {
            observer::check()?;
            self.check_angle(angle)?;
            area.moved(&self.sensor_among_magnets(angle))?
                .check_uncut(&self.source)?;
        }
        let means = area.means(angles.len(), AREA_TOLERANCE, named, |wanted, points| {
            let angles: Vec<_> = wanted.iter().map(|&i| angles[i]).collect();
            let (values, valid) = readings(self, &angles, points);
            if let Some(bad) = valid.iter().position(|valid| !valid) {
                // The call for one point knows the reason.
                let (angle, point) = (angles[bad / points.len()], points[bad % points.len()]);
                for eye in self.eyes_at(angle, &point) {
                    self.source.field_at(&eye.point)?;
                }
            }
            Ok(values
                .into_iter()
                .map(|(value, size)| ([value].into(), size))
                .collect())
        })?;
        Ok(means.into_iter().map(|mean| mean.value[0]).collect())
    }

    /// Flux density with the size of the field, T, at points of the package, angle by angle.
    fn fluxes(&self, angles: &[f64], points: &[Point3<f64>]) -> Readings {
        let eyes = self.eyes(angles, points);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source.fields_at(&places);
        let flux = eyes.iter().zip(&fields.values);
        let flux = flux.map(|(eye, field)| (field.dot(&eye.direction), field.norm()));
        self.summed(flux.collect(), fields.valid)
    }

    /// Change of flux density with the size of its terms, T/rad, at points of the package, angle by angle.
    fn slopes(&self, angles: &[f64], points: &[Point3<f64>]) -> Readings {
        let eyes = self.eyes(angles, points);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source.fields_at(&places);
        let gradients = self.source.gradients_at(&places);
        let slopes = eyes.iter().zip(fields.values.iter().zip(&gradients.values));
        let slopes = slopes.map(|(eye, (field, gradient))| {
            let pass = self.pass(eye);
            let size = (gradient * pass.motion).norm() + field.norm();
            (pass.slope(eye, field, gradient), size)
        });
        let valid = fields.valid.iter().zip(&gradients.valid);
        self.summed(slopes.collect(), valid.map(|(a, b)| *a && *b).collect())
    }

    /// A reading of each point from those of its eyes.
    fn summed(&self, of_eyes: Vec<(f64, f64)>, valid: Vec<bool>) -> Readings {
        if self.opposite.is_none() {
            return (of_eyes, valid);
        }
        let sum = |pair: &[(f64, f64)]| (pair[0].0 + pair[1].0, pair[0].1 + pair[1].1);
        (
            of_eyes.chunks_exact(2).map(sum).collect(),
            valid
                .chunks_exact(2)
                .map(|pair| pair[0] && pair[1])
                .collect(),
        )
    }

    /// Where a point of the package reads the field of what the magnets' side carries: there, and for the images in a
    /// plate that goes with the sensor at its mirror image.
    fn eyes_at(&self, angle: f64, point: &Point3<f64>) -> impl Iterator<Item = Eye> {
        let pose = self.sensor_among_magnets(angle);
        let direction = self.spec.sensor.direction();
        let own = Eye {
            point: pose * point,
            direction: pose * direction,
        };
        let image = self.opposite.as_ref().map(|over| {
            let sensor = &self.spec.sensor_pose;
            let (point, direction) = over
                .plate()
                .opposite(&(sensor * point), &(sensor * direction));
            let turn = self.sensor_turned(angle);
            Eye {
                point: turn * point,
                direction: turn * direction,
            }
        });
        std::iter::once(own).chain(image)
    }

    fn eyes(&self, angles: &[f64], points: &[Point3<f64>]) -> Vec<Eye> {
        let at = |&angle| {
            points
                .iter()
                .flat_map(move |point| self.eyes_at(angle, point))
        };
        angles.iter().flat_map(at).collect()
    }

    /// Turning the magnets one way is turning the sensor the other.
    fn pass(&self, eye: &Eye) -> Pass {
        let turn = match self.spec.moving {
            Moving::Magnets => -self.direction.into_inner(),
            Moving::Sensor => self.direction.into_inner(),
        };
        Pass {
            motion: turn.cross(&(eye.point - self.spec.pivot)),
            swing: turn.cross(&eye.direction),
        }
    }

    /// Refuses an angle that is none, or at which a magnet runs into a plate that goes with the sensor.
    fn check_angle(&self, angle: f64) -> Result<()> {
        check_angle(angle)?;
        self.plate_gap_at_pivot(angle)?;
        Ok(())
    }

    /// The gap between the magnets and a plate that goes with the sensor, m.
    ///
    /// # Errors
    /// [`Error::ThroughPlate`] if a magnet runs into it.
    pub(super) fn plate_gap_at(&self, angle: f64) -> Result<Option<f64>> {
        self.plate_gap_at_pivot(self.pivot_at(angle)?.angle)
    }

    fn plate_gap_at_pivot(&self, angle: f64) -> Result<Option<f64>> {
        let gap = |over: &MagnetsOverPlate| {
            let plate = over.plate().moved(&self.sensor_turned(angle))?;
            plate.gap(over.magnets())
        };
        self.opposite.as_ref().map(gap).transpose()
    }

    /// Distances of the center of the package face, and of what of the sensor reads, from the nearest body at `angle`,
    /// m.
    ///
    /// # Errors
    /// [`Error::Collision`] if either lies inside one.
    pub(super) fn distances_at(&self, angle: f64) -> Result<(f64, f64)> {
        let pose = self.sensor_among_magnets(self.pivot_at(angle)?.angle);
        let face = self.source.distance(&(pose * Point3::origin()))?;
        let face = face.min(MAX_CLEARANCE);
        let mut active = MAX_CLEARANCE;
        for point in self.outline() {
            active = active.min(self.source.distance(&(pose * point))?);
        }
        let nearest = face.min(active);
        if nearest < -TOUCHING {
            return Err(Error::Collision {
                angle_deg: angle / crate::units::DEG,
                overlap: -nearest,
            });
        }
        Ok((face, active))
    }

    /// The sensor's package as seen from the magnets.
    fn sensor_among_magnets(&self, angle: f64) -> Isometry3<f64> {
        self.sensor_turned(angle) * self.spec.sensor_pose
    }

    /// How what goes with the sensor has turned as seen from the magnets: turning them one way is turning the sensor
    /// the other.
    fn sensor_turned(&self, angle: f64) -> Isometry3<f64> {
        match self.spec.moving {
            Moving::Magnets => self.turned(-angle),
            Moving::Sensor => self.turned(angle),
        }
    }
}

/// What is read at each point with its size, and whether it has a value.
type Readings = (Vec<(f64, f64)>, Vec<bool>);

/// A place where the flux density counts, and the direction along which, among the magnets.
struct Eye {
    point: Point3<f64>,
    direction: Vector3<f64>,
}

/// How an [`Eye`] changes for a change of angle.
struct Pass {
    motion: Vector3<f64>,
    swing: Vector3<f64>,
}

impl Pass {
    fn slope(&self, eye: &Eye, field: &Vector3<f64>, gradient: &Matrix3<f64>) -> f64 {
        (gradient * self.motion).dot(&eye.direction) + field.dot(&self.swing)
    }
}

/// The names of what of the drive ends the throw below and above, if it goes so far.
fn throw_ends(spec: &AxisSpec) -> Result<[Option<String>; 2]> {
    /// Rounding of a throw that was computed, rad.
    const SLACK: f64 = 1e-12;
    let [lower, upper] = spec.throw;
    let reach = spec.drive.reach();
    let ended = |quantity, value: f64, end: Option<TransmissionEnd>, side: f64| {
        let Some(TransmissionEnd { input, limit }) = end else {
            return Ok(None);
        };
        let beyond = side * (value - input);
        if beyond > SLACK {
            return Err(Error::BeyondReach {
                quantity,
                value,
                end: input,
                limit,
            });
        }
        Ok((beyond >= -SLACK).then_some(limit))
    };
    Ok([
        ended("lower end of the throw", lower, reach.lower, -1.0)?,
        ended("upper end of the throw", upper, reach.upper, 1.0)?,
    ])
}

pub(super) fn check_lever(lever: f64) -> Result<f64> {
    let [least, most] = LEVER;
    within(
        "distance of pad or grip from the pivot",
        lever,
        least,
        most,
        "m",
    )
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
