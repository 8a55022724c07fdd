//! The axis itself: what turns past what.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::channel::{Channel, ChannelParts, ROOM, check_pose_of, remanence_share, room};
use crate::error::{Error, Result, ascending, choices, parts_within, within};
use crate::hall::{
    AngleSensor, AngleSensorSpec, Averaging, Converter, LowPass, Potentiometer, Sensor,
};
use crate::linkage::{
    AnyTransmission, Transfer, Transfers, Transmission, TransmissionEnd, TransmissionReach,
};
use crate::magnet::{ActiveArea, AnySource, FieldSource, MagnetsOverPlate};
use crate::numeric::direction::unit;
use crate::stored::stored_as_spec;

/// The farthest that a part of one axis may stand from the origin, m.
const MAX_REACH: f64 = 10.0;
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
    /// the drive. Where that ends at a lock, at which the output has no ratio, the last angle that has one, within a
    /// millionth of a microradian, stands for it.
    pub throw: [f64; 2],
    /// The magnets at angle zero, over a steel plate or not, or any other source of field.
    pub magnets: AnySource,
    /// What a plate under the magnets is fixed to.
    pub plate: PlateMount,
    /// The sensor.
    pub sensor: Sensor,
    /// The sensor's package at angle zero (origin at the center of its face, +z out of the face).
    pub sensor_pose: Isometry3<f64>,
    /// The area over which the sensor averages the flux density; without one it reads at its active point. The area's
    /// pose starts from the active point, along the axes of the package: with the identity it lies around the point,
    /// parallel to the face.
    pub area: Option<ActiveArea>,
    /// The converter behind the sensor; none of a sensor whose output is a code.
    pub converter: Option<Converter>,
    /// Before the converter, if there is one.
    #[serde(default)]
    pub filter: Option<LowPass>,
    /// Of the codes, if they are averaged.
    #[serde(default)]
    pub averaging: Option<Averaging>,
    /// How the remanence of the magnets changes with their temperature, as a share of it, 1/K, within 0.01 either way:
    /// that of their [`Grade`](crate::magnet::material::Grade).
    #[serde(default)]
    pub remanence_drift: f64,
    /// Temperature at which the polarization of the magnets is given, degC.
    #[serde(default = "room")]
    pub reference_celsius: f64,
    /// Temperature of magnets and sensor, degC; none leaves everything as it is given.
    #[serde(default)]
    pub celsius: Option<f64>,
    /// What turns.
    pub moving: Moving,
}

impl AxisSpec {
    /// Magnets that turn about +z through the origin past a sensor that reads at its active point. A sensor whose
    /// output is a code takes no converter: `None`.
    pub fn new(
        throw: [f64; 2],
        magnets: impl Into<AnySource>,
        sensor: impl Into<Sensor>,
        sensor_pose: Isometry3<f64>,
        converter: impl Into<Option<Converter>>,
    ) -> Self {
        Self {
            pivot: Point3::origin(),
            direction: Vector3::z(),
            drive: AnyTransmission::Identity,
            lever: None,
            throw,
            magnets: magnets.into(),
            plate: PlateMount::Frame,
            sensor: sensor.into(),
            sensor_pose,
            area: None,
            converter: converter.into(),
            filter: None,
            averaging: None,
            remanence_drift: 0.0,
            reference_celsius: ROOM,
            celsius: None,
            moving: Moving::Magnets,
        }
    }

    /// A potentiometer on the pivot, centered with the control.
    #[must_use]
    pub fn on_shaft(throw: [f64; 2], sensor: Potentiometer, converter: Converter) -> Self {
        Self::new(
            throw,
            AnySource::Empty,
            sensor,
            Isometry3::identity(),
            converter,
        )
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
/// use yokewright::axis::{Arrangement, Moving, SwungLayout, SwungLayoutSpec};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Block;
/// use yokewright::units::{DEG, MM, MT, MV, MV_PER_MT};
/// use nalgebra::{Isometry3, Vector3};
///
/// let j = Vector3::new(0.0, 1300.0 * MT, 0.0); // along the tangent
/// let cube = Block::new(Vector3::repeat(5.0 * MM), j, Isometry3::identity())?;
/// let layout = SwungLayout::new(SwungLayoutSpec::new(cube, 12.0 * MM, 2.0 * MM))?;
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
///     ..LinearHallSpec::new(5.0, 25.0)
/// })?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let axis = layout.axis([-6.0 * DEG, 6.0 * DEG], sensor, converter, Moving::Magnets)?;
/// let figures = axis.figures(1001)?;
/// assert!((figures.flux_span().unwrap() / MT - 172.0).abs() < 1.0);
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
    /// What reads, at its temperature, with what stands behind it.
    channel: Channel,
    /// Share of its reference that the remanence has at its temperature.
    strength: f64,
    /// Where the travel of the drive itself ends.
    reach: TransmissionReach,
    /// What of the drive ends the throw below and above.
    ends: [Option<String>; 2],
    /// The least and the greatest angle of the throw at which the drive has a ratio, rad.
    driven: [f64; 2],
}

stored_as_spec!(Axis, AxisSpec);

impl Axis {
    /// Checks the arrangement.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for positions beyond 10 m or a throw beyond half a turn either way,
    /// [`Error::NotAscending`] for an empty throw, [`Error::NoDirection`] for a pivot without direction;
    /// [`Error::Absent`] without a converter that is needed, [`Error::Surplus`] with one that is not;
    /// [`Error::OutOfRange`] for a potentiometer that would be turned beyond its mechanical travel;
    /// [`Error::BehindPlate`] if the face of the sensor's package or its active area reaches into a plate that goes
    /// with it; [`Error::Collision`] if it stands inside a magnet, or a plate that goes with the magnets, when the
    /// control is centered.
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
        check_pose_of(names, &spec.sensor_pose, MAX_REACH)?;
        check_throw(spec.throw)?;
        spec.lever.map(check_lever).transpose()?;
        let reach = spec.drive.reach();
        let ends = throw_ends(spec.throw, &reach)?;
        let driven = driven_throw(&spec, &ends)?;
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
        let axis = Self {
            direction,
            source,
            opposite,
            channel: channel_of(&spec)?,
            strength: strength_of(&spec)?,
            reach,
            ends,
            driven,
            spec,
        };
        for angle in [0.0, axis.throw()[0], axis.throw()[1]] {
            let pivot = axis.pivot_at(angle)?.angle;
            if let Sensor::Potentiometer(sensor) = axis.sensor() {
                sensor.straight_beyond(pivot)?;
            }
        }
        axis.check_over_own_plate()?;
        // Where it stands; what it meets on its way is for what looks at the whole throw.
        axis.distances_at(0.0)?;
        Ok(axis)
    }

    /// The same axis at another temperature of magnets and sensor, degC.
    ///
    /// The remanence changes by `remanence_drift` for a kelvin from `reference_celsius`, sensitivity and quiescent
    /// output of a linear Hall sensor as its [`HallVariation`](crate::hall::HallVariation) says.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] outside -60 to 200 degC, or where the drift leaves less than a
    /// hundredth of the remanence; as [`LinearHall::at_temperature`](crate::hall::LinearHall::at_temperature).
    pub fn at_temperature(&self, celsius: f64) -> Result<Self> {
        let spec = AxisSpec {
            celsius: Some(celsius),
            ..self.spec.clone()
        };
        // Nothing else of it depends on the temperature.
        Ok(Self {
            channel: channel_of(&spec)?,
            strength: strength_of(&spec)?,
            spec,
            ..self.clone()
        })
    }

    /// The same axis with the zero position of its angle sensor where the centered control stands, as a builder
    /// programs it.
    ///
    /// # Errors
    /// [`Error::Absent`] of another sensor; as [`Axis::field_at`].
    pub fn zeroed(&self) -> Result<Self> {
        let Sensor::Angle(sensor) = &self.spec.sensor else {
            return Err(Error::Absent {
                quantity: "zero position to program",
                of: self.spec.sensor.kind(),
                advice: "set its center by hand",
            });
        };
        let zero = sensor.angle(&self.field_at(0.0)?)?;
        let sensor = AngleSensor::new(AngleSensorSpec {
            zero,
            ..sensor.spec().clone()
        })?;
        Self::new(AxisSpec {
            sensor: sensor.into(),
            ..self.spec.clone()
        })
    }

    /// The sensor at its temperature.
    #[must_use]
    pub fn sensor(&self) -> &Sensor {
        self.channel.sensor()
    }

    /// What reads, with what stands behind it.
    pub(super) fn channel(&self) -> &Channel {
        &self.channel
    }

    /// What makes codes of the output: the converter, or that of a sensor's own codes, whose input is an angle.
    pub(super) fn converter(&self) -> &Converter {
        self.channel.converter()
    }

    /// Share of its reference that the remanence has at the temperature of the magnets.
    #[must_use]
    pub fn remanence_share(&self) -> f64 {
        self.strength
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

    /// Where the travel of the drive itself ends on either side.
    pub(crate) fn drive_reach(&self) -> &TransmissionReach {
        &self.reach
    }

    /// The angle of the pivot at the sensor, rad, with its derivatives, when the control stands at `angle`, rad.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; what the drive refuses.
    pub fn pivot_at(&self, angle: f64) -> Result<Transfer> {
        check_angle(angle)?;
        self.spec.drive.transfer(self.driven(angle))
    }

    /// The angle, but at an end of the throw where the drive locks the last one that has a ratio.
    fn driven(&self, angle: f64) -> f64 {
        let ([lower, upper], [first, last]) = (self.spec.throw, self.driven);
        if angle < first && angle >= lower - SLACK {
            first
        } else if angle > last && angle <= upper + SLACK {
            last
        } else {
            angle
        }
    }

    /// [`Axis::pivot_at`] at many angles; NaN and marked where it would return an error.
    pub(super) fn pivots_at(&self, angles: &[f64]) -> Transfers {
        let inside: Vec<f64> = angles.iter().map(|&angle| self.driven(angle)).collect();
        let mut driven = self.spec.drive.transfers(&inside);
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

    /// Refuses an angle that is none, or at which a magnet runs into a plate that goes with the sensor.
    pub(super) fn check_pivot(&self, angle: f64) -> Result<()> {
        check_angle(angle)?;
        self.plate_gap_at_pivot(angle)?;
        Ok(())
    }

    /// What the magnets' side carries, as it stands at angle zero.
    pub(super) fn source(&self) -> &AnySource {
        &self.source
    }

    /// A plate that goes with the sensor, at angle zero, and the magnets that are over it.
    pub(super) fn opposite(&self) -> Option<&MagnetsOverPlate> {
        self.opposite.as_ref()
    }

    /// Turn of the sensor among the magnets for an angle of the pivot.
    pub(super) fn turn_of_sensor(&self) -> Vector3<f64> {
        match self.spec.moving {
            Moving::Magnets => -self.direction.into_inner(),
            Moving::Sensor => self.direction.into_inner(),
        }
    }

    /// The sensor's package as seen from the magnets.
    pub(super) fn sensor_among_magnets(&self, angle: f64) -> Isometry3<f64> {
        self.sensor_turned(angle) * self.spec.sensor_pose
    }

    /// How what goes with the sensor has turned as seen from the magnets: turning them one way is turning the sensor
    /// the other.
    pub(super) fn sensor_turned(&self, angle: f64) -> Isometry3<f64> {
        match self.spec.moving {
            Moving::Magnets => self.turned(-angle),
            Moving::Sensor => self.turned(angle),
        }
    }
}

/// What reads, with what stands behind it.
fn channel_of(spec: &AxisSpec) -> Result<Channel> {
    Channel::new(ChannelParts {
        sensor: &spec.sensor,
        converter: spec.converter.as_ref(),
        filter: spec.filter,
        averaging: spec.averaging,
        area: spec.area.as_ref(),
        celsius: spec.celsius,
    })
}

/// Share of the reference that the remanence has.
fn strength_of(spec: &AxisSpec) -> Result<f64> {
    remanence_share(spec.remanence_drift, spec.reference_celsius, spec.celsius)
}

/// Rounding of a throw that was computed, rad.
const SLACK: f64 = 1e-12;

/// The throw without what rounds at its ends: exactly at a lock of the drive the output has an angle but no ratio, and
/// within a rounding of it the curve has both.
fn driven_throw(spec: &AxisSpec, ends: &[Option<String>; 2]) -> Result<[f64; 2]> {
    let mut driven = spec.throw;
    for ((angle, inward), end) in driven.iter_mut().zip([1.0, -1.0]).zip(ends) {
        let (at, mut step) = (*angle, f64::EPSILON * angle.abs());
        while let Err(error) = spec.drive.transfer(*angle) {
            if end.is_none() || step == 0.0 || step > SLACK {
                return Err(error);
            }
            *angle = at + inward * step;
            step *= 2.0;
        }
    }
    Ok(driven)
}

/// The names of what of the drive ends the throw below and above, if it goes so far.
fn throw_ends([lower, upper]: [f64; 2], reach: &TransmissionReach) -> Result<[Option<String>; 2]> {
    let ended = |quantity, value: f64, end: &Option<TransmissionEnd>, side: f64| {
        let Some(TransmissionEnd { input, limit }) = end else {
            return Ok(None);
        };
        let beyond = side * (value - input);
        if beyond > SLACK {
            return Err(Error::BeyondReach {
                quantity,
                value,
                end: *input,
                limit: limit.clone(),
            });
        }
        Ok((beyond >= -SLACK).then(|| limit.clone()))
    };
    Ok([
        ended("lower end of the throw", lower, &reach.lower, -1.0)?,
        ended("upper end of the throw", upper, &reach.upper, 1.0)?,
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
