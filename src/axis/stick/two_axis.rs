//! The parts of a stick with both sensors, and what carries each.

use std::f64::consts::PI;

use nalgebra::Isometry3;
use serde::{Deserialize, Serialize};

use crate::axis::channel::{Channel, ChannelParts, ROOM, check_pose_of, remanence_share, room};
use crate::axis::stick::motion::Carrier;
use crate::axis::turns::Turns;
use crate::error::{Error, Result, choices, counted, within, within_computed};
use crate::hall::{
    AngleSensor, AngleSensorSpec, Averaging, Converter, LowPass, Potentiometer, Sensor,
};
use crate::linkage::{Gate, Gimbal, GimbalAxis};
use crate::magnet::{ActiveArea, AnySource};
use crate::stored::stored_as_spec;

/// The farthest that a sensor may stand from the origin, m, as of an axis.
const MAX_REACH: f64 = 10.0;
/// The most sources of field that there may be around a stick.
const MOST_SOURCES: usize = 100;

/// Which sensor is meant to read a magnet: its own one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReadBy {
    /// The sensor of the outer axis.
    Outer,
    /// The sensor of the inner axis.
    Inner,
    /// Both: one magnet for two sensors.
    Both,
    /// Neither: a latch, a detent, a magnet that centers.
    Neither,
}

choices!(ReadBy, "sensor that reads a magnet", {
    Outer => "outer",
    Inner => "inner",
    Both => "both",
    Neither => "neither",
});

impl ReadBy {
    /// Whether the sensor of an axis is meant to read it.
    #[must_use]
    pub fn reads(self, axis: GimbalAxis) -> bool {
        match self {
            Self::Outer => axis == GimbalAxis::Outer,
            Self::Inner => axis == GimbalAxis::Inner,
            Self::Both => true,
            Self::Neither => false,
        }
    }
}

/// Magnets, or any other source of field, on one of the bodies.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedMagnets {
    /// As they stand with both angles zero, in the frame of the rig. A steel plate goes with its magnets.
    pub magnets: AnySource,
    /// What carries them.
    pub carrier: Carrier,
    /// The sensor that is meant to read them.
    pub read_by: ReadBy,
    /// How their remanence changes with their temperature, as a share of it, 1/K, within 0.01 either way.
    #[serde(default)]
    pub remanence_drift: f64,
    /// Temperature at which their polarization is given, degC.
    #[serde(default = "room")]
    pub reference_celsius: f64,
    /// Their temperature, degC; none leaves them as they are given.
    #[serde(default)]
    pub celsius: Option<f64>,
}

impl CarriedMagnets {
    /// Magnets on a carrier, for the sensor that is meant to read them.
    pub fn new(magnets: impl Into<AnySource>, carrier: Carrier, read_by: ReadBy) -> Self {
        Self {
            magnets: magnets.into(),
            carrier,
            read_by,
            remanence_drift: 0.0,
            reference_celsius: ROOM,
            celsius: None,
        }
    }
}

/// A sensor on one of the bodies, and what stands behind it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedSensor {
    /// The sensor. A potentiometer sits on the shaft of its axis and turns with that alone, wherever pose and carrier
    /// place it.
    pub sensor: Sensor,
    /// Its package with both angles zero, in the frame of the rig (origin at the center of its face, +z out of the
    /// face).
    pub pose: Isometry3<f64>,
    /// What carries it.
    pub carrier: Carrier,
    /// The converter behind it; none of a sensor whose output is a code.
    pub converter: Option<Converter>,
    /// The area over which it averages the flux density, as of an [`AxisSpec`](crate::axis::AxisSpec); without one that
    /// of a linear sensor's own data sheet, or its active point.
    #[serde(default)]
    pub area: Option<ActiveArea>,
    /// Before the converter, if there is one.
    #[serde(default)]
    pub filter: Option<LowPass>,
    /// Of the codes, if they are averaged.
    #[serde(default)]
    pub averaging: Option<Averaging>,
    /// Its temperature, degC; none leaves it as it is given.
    #[serde(default)]
    pub celsius: Option<f64>,
}

impl CarriedSensor {
    /// A sensor on a carrier with its converter; one whose output is a code takes none: `None`.
    pub fn new(
        sensor: impl Into<Sensor>,
        pose: Isometry3<f64>,
        carrier: Carrier,
        converter: impl Into<Option<Converter>>,
    ) -> Self {
        Self {
            sensor: sensor.into(),
            pose,
            carrier,
            converter: converter.into(),
            area: None,
            filter: None,
            averaging: None,
            celsius: None,
        }
    }

    /// A potentiometer on the shaft of its axis, centered with the stick.
    #[must_use]
    pub fn on_shaft(sensor: Potentiometer, converter: Converter) -> Self {
        Self::new(sensor, Isometry3::identity(), Carrier::Frame, converter)
    }
}

/// What a [`TwoAxis`] is made of; [`TwoAxis::new`] checks it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TwoAxisSpec {
    /// The two axes and the stick.
    pub gimbal: Gimbal,
    /// Where the stick may be; neutral is inside.
    pub gate: Gate,
    /// All magnets that either sensor sees, 1 to 100 sources; none with two potentiometers.
    pub magnets: Vec<CarriedMagnets>,
    /// The sensor of the outer axis.
    pub outer: CarriedSensor,
    /// The sensor of the inner axis.
    pub inner: CarriedSensor,
}

impl TwoAxisSpec {
    /// A stick with its gate, magnets and both sensors.
    #[must_use]
    pub fn new(
        gimbal: Gimbal,
        gate: Gate,
        magnets: Vec<CarriedMagnets>,
        outer: CarriedSensor,
        inner: CarriedSensor,
    ) -> Self {
        Self {
            gimbal,
            gate,
            magnets,
            outer,
            inner,
        }
    }

    /// The sensor of an axis.
    #[must_use]
    pub fn sensor(&self, axis: GimbalAxis) -> &CarriedSensor {
        match axis {
            GimbalAxis::Outer => &self.outer,
            GimbalAxis::Inner => &self.inner,
        }
    }
}

/// A stick on two axes with a sensor for each: every magnet at both sensors, all over the gate.
///
/// The outer axis turns everything, the inner one what it carries: a part on the frame stands still, one on the ring
/// turns with the outer axis, one on the stick with both. The flux density at a sensor is the sum over the sources of
/// their field at the place of the sensor, each in the frame of what carries it, along the sensitive direction.
///
/// A sensor reads its own axis alone if it and its magnet move against each other only when that axis turns: for the
/// outer axis one of the two is on the frame and the other on the ring, for the inner one on the ring and on the stick.
///
/// A sensor is any that an [`Axis`](crate::axis::Axis) takes and reads as it does there; with the other axis at zero it
/// gives what that gives. Either sits on the axis itself or passes it: one that an axis drives through rods or a
/// linkage, on a pivot of its own, is an [`Axis`](crate::axis::Axis) with a drive, and no crosstalk is told of it.
///
/// # Example
/// Pitch is the outer axis about y, roll the inner one about x. Pitch's sensor stands on the frame; its magnet on the
/// ring turns with pitch alone, on the stick it would move past the sensor when the stick rolls.
/// ```
/// use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
/// use yokewright::axis::{Carrier, CarriedMagnets, CarriedSensor, CrosstalkCause, ReadBy, TwoAxis, TwoAxisSpec};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::linkage::{Gate, Gimbal, GimbalSpec, Pivot};
/// use yokewright::magnet::Block;
/// use yokewright::units::{DEG, MM, MV_PER_MT};
///
/// let gimbal = Gimbal::new(GimbalSpec::new(
///     Pivot::new(Point3::origin(), Vector3::y())?,
///     Pivot::new(Point3::origin(), Vector3::x())?,
///     vec![Point3::origin(), Point3::new(0.0, 0.0, 400.0 * MM)],
/// ))?;
/// let sensor = LinearHall::new(LinearHallSpec::new(5.0, 10.0 * MV_PER_MT))?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let facing = UnitQuaternion::from_scaled_axis(Vector3::y() * 90.0 * DEG);
/// let rig = |pitch_magnet_on| -> yokewright::Result<TwoAxis> {
///     let cube = Vector3::repeat(5.0 * MM);
///     // Each on an arm of 20 mm, polarized along the way that it goes.
///     let pitch = Block::new(cube, Vector3::new(0.0, 0.0, 1.2), Isometry3::translation(-0.020, 0.050, 0.0))?;
///     let roll = Block::new(cube, Vector3::new(0.0, 1.2, 0.0), Isometry3::translation(0.010, 0.0, -0.020))?;
///     TwoAxis::new(TwoAxisSpec::new(
///         gimbal.clone(),
///         Gate::square([-15.0 * DEG, 15.0 * DEG], [-15.0 * DEG, 15.0 * DEG])?,
///         vec![
///             CarriedMagnets::new(pitch, pitch_magnet_on, ReadBy::Outer),
///             CarriedMagnets::new(roll, Carrier::Stick, ReadBy::Inner),
///         ],
///         // Both face their magnets from outside.
///         CarriedSensor::new(
///             sensor.clone(),
///             Isometry3::from_parts(Vector3::new(-0.029, 0.050, 0.0).into(), facing),
///             Carrier::Frame,
///             converter.clone(),
///         ),
///         CarriedSensor::new(
///             sensor.clone(),
///             Isometry3::translation(0.010, 0.0, -0.030),
///             Carrier::Ring,
///             converter.clone(),
///         ),
///     ))
/// };
/// let on_ring = rig(Carrier::Ring)?.crosstalk(21)?.outer;
/// let on_stick = rig(Carrier::Stick)?.crosstalk(21)?.outer;
/// assert!(on_ring.worst.counts < 0.01 * on_stick.worst.counts);
/// assert_eq!(on_stick.cause, CrosstalkCause::Mounting);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct TwoAxis {
    spec: TwoAxisSpec,
    /// Least and greatest outer angle, and inner angle, of the gate, rad.
    travel: [[f64; 2]; 2],
    /// What reads, at its temperature, the outer one first.
    channels: [Channel; 2],
    /// Of each source, the share of its reference that its remanence has at its temperature.
    shares: Vec<f64>,
    /// On which turn each angle sensor reads.
    turns: [Option<Turns>; 2],
}

stored_as_spec!(TwoAxis, TwoAxisSpec);

impl TwoAxis {
    /// Both axes, the outer one first.
    pub(super) const AXES: [GimbalAxis; 2] = [GimbalAxis::Outer, GimbalAxis::Inner];

    /// Checks the parts, and that no sensor stands inside a magnet at neutral. Whether they keep clear of each other
    /// all over the gate is looked at by what looks at the whole gate: [`TwoAxis::clearance`], [`TwoAxis::map`],
    /// [`TwoAxis::crosstalk`], [`TwoAxis::correction`].
    ///
    /// # Errors
    /// [`Error::Count`] for the sources; [`Error::NotFinite`] or [`Error::OutOfRange`] for a sensor beyond 10 m, a
    /// temperature or a drift, a potentiometer that would be turned beyond its mechanical travel, or if neutral is not
    /// inside the gate; [`Error::Absent`] without a converter that is needed, [`Error::Surplus`] with one that is not;
    /// [`Error::TwoAxisCollision`] for a sensor that stands inside a magnet or a plate at neutral; if the gate is round
    /// and the gimbal cannot tilt that far in every direction.
    pub fn new(spec: TwoAxisSpec) -> Result<Self> {
        let on_shaft = |sensor: &CarriedSensor| matches!(sensor.sensor, Sensor::Potentiometer(_));
        let least = usize::from(![&spec.outer, &spec.inner].into_iter().all(on_shaft));
        counted(
            "sources of field",
            spec.magnets.len(),
            [least, MOST_SOURCES],
        )?;
        let names = [
            [
                "outer sensor position x",
                "outer sensor position y",
                "outer sensor position z",
            ],
            [
                "inner sensor position x",
                "inner sensor position y",
                "inner sensor position z",
            ],
        ];
        for (names, axis) in names.into_iter().zip(Self::AXES) {
            check_pose_of(names, &spec.sensor(axis).pose, MAX_REACH)?;
        }
        let travel = spec.gimbal.gate_bounds(&spec.gate)?;
        check_neutral(&spec, travel)?;
        let shares = spec.magnets.iter().map(|source| {
            let (drift, reference) = (source.remanence_drift, source.reference_celsius);
            remanence_share(drift, reference, source.celsius)
        });
        let shares = shares.collect::<Result<_>>()?;
        let [outer, inner] = [&spec.outer, &spec.inner].map(|sensor| {
            Channel::new(ChannelParts {
                sensor: &sensor.sensor,
                converter: sensor.converter.as_ref(),
                filter: sensor.filter,
                averaging: sensor.averaging,
                area: sensor.area.as_ref(),
                celsius: sensor.celsius,
            })
        });
        let mut two = Self {
            spec,
            travel,
            channels: [outer?, inner?],
            shares,
            turns: [None, None],
        };
        for axis in Self::AXES {
            if let Sensor::Potentiometer(sensor) = two.channel(axis).sensor() {
                for angle in two.travel[number(axis)] {
                    sensor.straight_beyond(angle)?;
                }
            }
        }
        two.check_standing()?;
        let [outer, inner] = Self::AXES.map(|axis| two.turns_of(axis));
        two.turns = [outer?, inner?];
        Ok(two)
    }

    /// The same stick at another temperature of all magnets and both sensors, degC.
    ///
    /// The remanence of each source changes by its `remanence_drift` for a kelvin from its `reference_celsius`,
    /// sensitivity and quiescent output of a linear Hall sensor as its
    /// [`HallVariation`](crate::hall::HallVariation) says.
    ///
    /// # Errors
    /// As [`Axis::at_temperature`](crate::axis::Axis::at_temperature).
    pub fn at_temperature(&self, celsius: f64) -> Result<Self> {
        let mut spec = self.spec.clone();
        for source in &mut spec.magnets {
            source.celsius = Some(celsius);
        }
        for sensor in [&mut spec.outer, &mut spec.inner] {
            sensor.celsius = Some(celsius);
        }
        Self::new(spec)
    }

    /// The same stick with the zero position of the angle sensor of an axis where neutral stands, as a builder programs
    /// it.
    ///
    /// # Errors
    /// [`Error::Absent`] of another sensor; as [`TwoAxis::field_at`].
    pub fn zeroed(&self, axis: GimbalAxis) -> Result<Self> {
        let mut spec = self.spec.clone();
        let sensor = match axis {
            GimbalAxis::Outer => &mut spec.outer,
            GimbalAxis::Inner => &mut spec.inner,
        };
        let Sensor::Angle(given) = &sensor.sensor else {
            return Err(Error::Absent {
                quantity: "zero position to program",
                of: sensor.sensor.kind(),
                advice: "set its center by hand",
            });
        };
        let zero = given.angle(&self.field_at(0.0, 0.0)?[number(axis)])?;
        sensor.sensor = AngleSensor::new(AngleSensorSpec {
            zero,
            ..given.spec().clone()
        })?
        .into();
        Self::new(spec)
    }

    /// The parts as given.
    #[must_use]
    pub fn spec(&self) -> &TwoAxisSpec {
        &self.spec
    }

    /// Least and greatest angle of each axis anywhere in the gate, the outer one first, rad.
    #[must_use]
    pub fn travel(&self) -> [[f64; 2]; 2] {
        self.travel
    }

    /// How a carrier has moved from neutral when the gimbal stands at an outer and an inner angle (rad).
    ///
    /// # Errors
    /// If an angle is not finite or beyond half a turn.
    pub fn motion_at(&self, carrier: Carrier, outer: f64, inner: f64) -> Result<Isometry3<f64>> {
        let [outer, inner] = checked(outer, inner)?;
        let axes = self.spec.gimbal.spec();
        Ok(match carrier {
            Carrier::Frame => Isometry3::identity(),
            Carrier::Ring => axes.outer.turn(outer),
            Carrier::Stick => axes.outer.turn(outer) * axes.inner.turn(inner),
        })
    }

    /// What reads an axis, with what stands behind it.
    pub(super) fn channel(&self, axis: GimbalAxis) -> &Channel {
        &self.channels[number(axis)]
    }

    /// Of each source, the share of its reference that its remanence has.
    pub(super) fn shares(&self) -> &[f64] {
        &self.shares
    }

    pub(super) fn turns(&self, axis: GimbalAxis) -> Option<&Turns> {
        self.turns[number(axis)].as_ref()
    }
}

/// Both angles within half a turn.
pub(super) fn checked(outer: f64, inner: f64) -> Result<[f64; 2]> {
    Ok([
        within("outer angle", outer, -PI, PI, "rad")?,
        within("inner angle", inner, -PI, PI, "rad")?,
    ])
}

/// The place of an axis in a pair.
pub(super) fn number(axis: GimbalAxis) -> usize {
    match axis {
        GimbalAxis::Outer => 0,
        GimbalAxis::Inner => 1,
    }
}

/// The other one.
pub(super) fn other(axis: GimbalAxis) -> GimbalAxis {
    match axis {
        GimbalAxis::Outer => GimbalAxis::Inner,
        GimbalAxis::Inner => GimbalAxis::Outer,
    }
}

/// Refuses a gate without neutral in it.
fn check_neutral(spec: &TwoAxisSpec, travel: [[f64; 2]; 2]) -> Result<()> {
    if spec.gimbal.allows(&spec.gate, 0.0, 0.0)? {
        return Ok(());
    }
    let names = [
        "outer angle at neutral, within the gate,",
        "inner angle at neutral, within the gate,",
    ];
    for (name, [low, high]) in names.into_iter().zip(travel) {
        within_computed(name, 0.0, low, high, "rad")?;
    }
    // Beside a corner that is turned in: the nearest stretch of the outer axis says how far off.
    let stretches = spec
        .gimbal
        .gate_stretches(&spec.gate, GimbalAxis::Outer, 0.0)?;
    for [low, high] in stretches {
        within_computed(names[0], 0.0, low, high, "rad")?;
    }
    Ok(())
}
