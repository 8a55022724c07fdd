//! The parts of a stick with both sensors, and what carries each.

use std::f64::consts::PI;

use nalgebra::{Isometry3, Point3};
use serde::{Deserialize, Serialize};

use crate::axis::stick::motion::{Carrier, Eye, Path};
use crate::error::{Result, choices, counted, parts_within, within, within_computed};
use crate::hall::{Converter, LinearHall};
use crate::linkage::{Gate, Gimbal, GimbalAxis};
use crate::magnet::AnySource;
use crate::stored::stored_as_spec;

/// The farthest that a sensor may stand from the origin, m, as of an axis.
const MAX_REACH: f64 = 10.0;
/// How many sources of field there may be around a stick.
const SOURCES: [usize; 2] = [1, 100];

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
}

impl CarriedMagnets {
    /// Magnets on a carrier, for the sensor that is meant to read them.
    pub fn new(magnets: impl Into<AnySource>, carrier: Carrier, read_by: ReadBy) -> Self {
        Self {
            magnets: magnets.into(),
            carrier,
            read_by,
        }
    }
}

/// A sensor on one of the bodies, and the converter behind it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedSensor {
    /// The sensor; it reads at its active point.
    pub sensor: LinearHall,
    /// Its package with both angles zero, in the frame of the rig (origin at the center of its face, +z out of the
    /// face).
    pub pose: Isometry3<f64>,
    /// What carries it.
    pub carrier: Carrier,
    /// The converter behind it.
    pub converter: Converter,
}

impl CarriedSensor {
    /// A sensor on a carrier with its converter.
    pub fn new(
        sensor: impl Into<LinearHall>,
        pose: Isometry3<f64>,
        carrier: Carrier,
        converter: Converter,
    ) -> Self {
        Self {
            sensor: sensor.into(),
            pose,
            carrier,
            converter,
        }
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
    /// All magnets that either sensor sees, 1 to 100 sources.
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
    /// Of each sensor, its active point as seen from each carrier.
    eyes: [[Eye; 3]; 2],
}

stored_as_spec!(TwoAxis, TwoAxisSpec);

impl TwoAxis {
    /// Both axes, the outer one first.
    pub(super) const AXES: [GimbalAxis; 2] = [GimbalAxis::Outer, GimbalAxis::Inner];

    /// Checks the parts. Whether they keep clear of each other all over the gate is looked at by what looks at the
    /// whole gate: [`TwoAxis::clearance`], [`TwoAxis::map`], [`TwoAxis::crosstalk`], [`TwoAxis::correction`].
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) for the sources; [`Error::NotFinite`](crate::Error::NotFinite) or
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a sensor beyond 10 m, or if neutral is not inside the gate;
    /// if the gate is round and the gimbal cannot tilt that far in every direction.
    pub fn new(spec: TwoAxisSpec) -> Result<Self> {
        counted("sources of field", spec.magnets.len(), SOURCES)?;
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
            let pose = &spec.sensor(axis).pose;
            let parts = pose.translation.vector.iter();
            parts_within(names, parts, -MAX_REACH, MAX_REACH, "m")?;
            within(
                "norm of the sensor's rotation",
                pose.rotation.quaternion().norm(),
                1.0 - 1e-9,
                1.0 + 1e-9,
                "(no unit)",
            )?;
        }
        let travel = spec.gimbal.gate_bounds(&spec.gate)?;
        check_neutral(&spec, travel)?;
        let eyes = Self::AXES.map(|axis| {
            let sensor = spec.sensor(axis);
            Carrier::ALL.map(|from| {
                let path = Path::new(sensor.carrier, from);
                let point = sensor.pose * sensor.sensor.active_point();
                let direction = sensor.pose * sensor.sensor.direction();
                Eye::new(path, &spec.gimbal, point, direction)
            })
        });
        Ok(Self { spec, travel, eyes })
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

    /// The sensor of an axis as seen from a carrier.
    pub(super) fn eye(&self, axis: GimbalAxis, from: Carrier) -> &Eye {
        let place = Carrier::ALL.iter().position(|carrier| *carrier == from);
        &self.eyes[number(axis)][place.unwrap_or(0)]
    }

    /// The center of a sensor's face as seen from a carrier.
    pub(super) fn face(&self, axis: GimbalAxis, from: Carrier) -> Eye {
        let sensor = self.spec.sensor(axis);
        Eye::new(
            Path::new(sensor.carrier, from),
            &self.spec.gimbal,
            sensor.pose * Point3::origin(),
            sensor.pose * sensor.sensor.direction(),
        )
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
