//! A sensor at its temperature with what stands behind it: from what it meets to a code, and the noise of it.

use nalgebra::{Isometry3, Point3, SVector, Vector3};

use crate::error::{Error, Result, parts_within, within};
use crate::hall::{Averaging, Converter, LowPass, NoiseBudget, Sensor, SignalChain};
use crate::magnet::ActiveArea;

/// The axes of the package.
pub(super) const PACKAGE: [fn() -> Vector3<f64>; 3] = [Vector3::x, Vector3::y, Vector3::z];

/// Temperature at which remanences are given as a rule, degC.
pub(super) const ROOM: f64 = 20.0;

/// [`ROOM`], for specs that do not say.
pub(super) fn room() -> f64 {
    ROOM
}

/// Temperatures of a control, degC, and how fast a remanence may change, 1/K.
const CELSIUS: [f64; 2] = [-60.0, 200.0];
const MAX_DRIFT: f64 = 0.01;

/// Values at many places, and which of them have one.
pub(super) type Marked<T> = (Vec<T>, Vec<bool>);

/// What a sensor is given with.
#[derive(Debug, Clone, Copy)]
pub(super) struct ChannelParts<'a> {
    pub(super) sensor: &'a Sensor,
    pub(super) converter: Option<&'a Converter>,
    pub(super) filter: Option<LowPass>,
    pub(super) averaging: Option<Averaging>,
    /// From the active point along the axes of the package.
    pub(super) area: Option<&'a ActiveArea>,
    pub(super) celsius: Option<f64>,
}

/// A sensor at its temperature with what stands behind it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Channel {
    sensor: Sensor,
    /// That of the sensor's own codes, or the one behind it.
    converter: Converter,
    filter: Option<LowPass>,
    averaging: Option<Averaging>,
    /// In the frame of the package.
    area: Option<ActiveArea>,
}

impl Channel {
    /// # Errors
    /// As [`LinearHall::at_temperature`](crate::hall::LinearHall::at_temperature); [`Error::Absent`] without a
    /// converter that is needed, [`Error::Surplus`] with one that is not.
    pub(super) fn new(parts: ChannelParts<'_>) -> Result<Self> {
        let sensor = match (parts.sensor, parts.celsius) {
            (Sensor::Linear(sensor), Some(celsius)) => sensor.at_temperature(celsius)?.into(),
            (sensor, celsius) => {
                celsius.map(check_celsius).transpose()?;
                sensor.clone()
            }
        };
        let mut channel = Self {
            converter: converter_of(parts)?,
            filter: parts.filter,
            averaging: parts.averaging,
            area: None,
            sensor,
        };
        let active = Isometry3::from(channel.active_point().coords);
        let own = channel
            .sensor
            .linear()
            .map_or([0.0; 2], |sensor| sensor.spec().area);
        channel.area = match parts.area {
            Some(area) => Some(area.moved(&active)?),
            None if own.iter().all(|side| *side > 0.0) => {
                Some(ActiveArea::rectangle(own[0], own[1], active)?)
            }
            None => None,
        };
        Ok(channel)
    }

    /// The sensor at its temperature.
    pub(super) fn sensor(&self) -> &Sensor {
        &self.sensor
    }

    /// What makes codes of the output: the converter, or that of a sensor's own codes, whose input is an angle.
    pub(super) fn converter(&self) -> &Converter {
        &self.converter
    }

    /// The active area in the frame of the package.
    pub(super) fn area(&self) -> Option<&ActiveArea> {
        self.area.as_ref()
    }

    /// The point of the package at which the sensor reads.
    pub(super) fn active_point(&self) -> Point3<f64> {
        match &self.sensor {
            Sensor::Linear(sensor) => sensor.active_point(),
            Sensor::Angle(sensor) => sensor.active_point(),
            Sensor::Potentiometer(_) => Point3::origin(),
        }
    }

    /// What of the sensor must stay out of all bodies besides the center of its face, in the frame of the package: the
    /// rim of the active area, or the active point; nothing where that is the center.
    pub(super) fn outline(&self) -> Vec<Point3<f64>> {
        match &self.area {
            Some(area) => area.rim(),
            None if self.active_point() == Point3::origin() => Vec::new(),
            None => vec![self.active_point()],
        }
    }

    /// What the points of [`Channel::outline`] are called.
    pub(super) fn outlined(&self) -> &'static str {
        if self.area.is_some() {
            "the sensor's active area"
        } else {
            "the sensor's active point"
        }
    }

    /// The direction along which a linear sensor reads.
    pub(super) fn sensitive(&self) -> Result<[Vector3<f64>; 1]> {
        match self.sensor.linear() {
            Some(sensor) => Ok([sensor.direction()]),
            None => Err(Error::Absent {
                quantity: "flux density along a sensitive direction",
                of: self.sensor.kind(),
                advice: "",
            }),
        }
    }

    /// What the sensor makes its output from: the flux density along its direction, T; the angle that an angle sensor
    /// reads, from its zero position in its own sense, rad, -pi to pi; the output of a potentiometer, V, going on
    /// straight beyond its travel. Given how far the shaft has turned, and what tells flux densities along directions
    /// of the package.
    pub(super) fn signal(
        &self,
        shaft: f64,
        flux: impl FnOnce(&[Vector3<f64>; 1]) -> Result<SVector<f64, 1>>,
        field: impl FnOnce(&[Vector3<f64>; 3]) -> Result<Vector3<f64>>,
    ) -> Result<f64> {
        match &self.sensor {
            Sensor::Linear(sensor) => Ok(flux(&[sensor.direction()])?.x),
            Sensor::Angle(_) => self.turned(&field(&PACKAGE.map(|axis| axis()))?),
            Sensor::Potentiometer(sensor) => sensor.straight_beyond(shaft),
        }
    }

    /// [`Channel::signal`] at many places; NaN and marked where it would return an error.
    pub(super) fn signals(
        &self,
        shaft: impl Iterator<Item = f64>,
        flux: impl FnOnce(&[Vector3<f64>; 1]) -> Marked<SVector<f64, 1>>,
        field: impl FnOnce(&[Vector3<f64>; 3]) -> Marked<Vector3<f64>>,
    ) -> Marked<f64> {
        let marked = |read: Option<f64>| (read.unwrap_or(f64::NAN), read.is_some());
        match &self.sensor {
            Sensor::Linear(sensor) => {
                let (flux, valid) = flux(&[sensor.direction()]);
                (flux.into_iter().map(|flux| flux.x).collect(), valid)
            }
            Sensor::Angle(_) => {
                let (fields, valid) = field(&PACKAGE.map(|axis| axis()));
                let read = fields.iter().zip(valid);
                let read = read.map(|(field, valid)| self.turned(field).ok().filter(|_| valid));
                read.map(marked).unzip()
            }
            Sensor::Potentiometer(sensor) => shaft
                .map(|angle| marked(sensor.straight_beyond(angle).ok()))
                .unzip(),
        }
    }

    /// The angle that an angle sensor reads in a field (T, in the frame of the package), from its zero position in its
    /// own sense, rad, -pi to pi.
    pub(super) fn turned(&self, field: &Vector3<f64>) -> Result<f64> {
        let Sensor::Angle(sensor) = &self.sensor else {
            return Err(Error::Absent {
                quantity: "angle of a field",
                of: self.sensor.kind(),
                advice: "",
            });
        };
        sensor.turned(sensor.angle(field)?)
    }

    /// The output at a signal, held at its ends: V, or rad of a digital angle sensor.
    pub(super) fn output(&self, signal: f64) -> f64 {
        self.sensor.characteristic().held(signal)
    }

    /// What the converter tells apart of the output: held within its range too.
    pub(super) fn held(&self, signal: f64) -> f64 {
        let [low, high] = self.converter.input_range();
        self.output(signal).clamp(low, high)
    }

    /// Whether the sensor is at a rail or the converter at the end of its range.
    pub(super) fn clips(&self, signal: f64) -> bool {
        self.sensor.characteristic().clips(signal) || self.converter.clips(self.output(signal))
    }

    /// A value of this unit, if this is it: the flux density of a linear Hall sensor, T.
    pub(super) fn as_flux(&self, signal: f64) -> Option<f64> {
        self.sensor.linear().map(|_| signal)
    }

    /// The same of an angle that an angle sensor reads, rad.
    pub(super) fn as_angle(&self, signal: f64) -> Option<f64> {
        matches!(self.sensor, Sensor::Angle(_)).then_some(signal)
    }

    /// The same of an output that is a voltage, V.
    pub(super) fn as_volts(&self, output: f64) -> Option<f64> {
        self.sensor.is_analog().then_some(output)
    }

    /// Noise of the output in a flux density at an angle sensor, T, rms: V, or rad of a digital angle sensor; that of
    /// another does not depend on the field.
    pub(super) fn noise_in(&self, field: &Vector3<f64>) -> Result<f64> {
        match &self.sensor {
            Sensor::Linear(sensor) => Ok(sensor.output_noise()),
            Sensor::Angle(sensor) => Ok(sensor.noise_angle(field)? * sensor.gain().abs()),
            Sensor::Potentiometer(sensor) => Ok(sensor.spec().noise),
        }
    }

    /// The noise of a reading behind filter, converter and averaging, for such a noise of the output.
    pub(super) fn noise(&self, noise: f64) -> Result<NoiseBudget> {
        let chain = SignalChain {
            filter: self.filter,
            converter: self.converter.clone(),
            averaging: self.averaging,
        };
        let linear = self.sensor.linear();
        chain.noise(noise, linear.and_then(|sensor| sensor.spec().bandwidth))
    }
}

/// The converter, or the codes of the sensor itself.
fn converter_of(parts: ChannelParts<'_>) -> Result<Converter> {
    let of = parts.sensor.kind();
    let Some(own) = parts.sensor.own_converter() else {
        return parts.converter.cloned().ok_or(Error::Absent {
            quantity: "converter",
            of: "the axis",
            advice: "a sensor with a voltage for output needs one",
        });
    };
    let given = [
        ("converter", parts.converter.is_some()),
        ("filter", parts.filter.is_some()),
        ("averaging", parts.averaging.is_some()),
    ];
    match given.iter().find(|(_, given)| *given) {
        Some((quantity, _)) => Err(Error::Surplus {
            quantity,
            of,
            advice: "its output is a code already",
        }),
        None => Ok(own),
    }
}

/// Share of its reference that a remanence has at a temperature (degC) of its magnets, none being the reference: it
/// changes by the `drift` for a kelvin.
pub(super) fn remanence_share(drift: f64, reference: f64, celsius: Option<f64>) -> Result<f64> {
    let [coldest, hottest] = CELSIUS;
    within(
        "drift of the remanence",
        drift,
        -MAX_DRIFT,
        MAX_DRIFT,
        "1/K",
    )?;
    within(
        "reference temperature of the magnets",
        reference,
        coldest,
        hottest,
        "degC",
    )?;
    let Some(celsius) = celsius else {
        return Ok(1.0);
    };
    check_celsius(celsius)?;
    let share = 1.0 + drift * (celsius - reference);
    within(
        "remanence at this temperature",
        share,
        0.01,
        5.0,
        "of its reference",
    )
}

fn check_celsius(celsius: f64) -> Result<f64> {
    let [coldest, hottest] = CELSIUS;
    within("temperature of the axis", celsius, coldest, hottest, "degC")
}

/// Refuses a pose of a sensor's package that is none, or farther than `reach`, m.
pub(super) fn check_pose_of(
    names: [&'static str; 3],
    pose: &Isometry3<f64>,
    reach: f64,
) -> Result<()> {
    parts_within(names, pose.translation.vector.iter(), -reach, reach, "m")?;
    within(
        "norm of the sensor's rotation",
        pose.rotation.quaternion().norm(),
        1.0 - 1e-9,
        1.0 + 1e-9,
        "(no unit)",
    )?;
    Ok(())
}
