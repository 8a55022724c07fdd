//! What the sensor of an axis makes its output from, by the angle of the control: a flux density, the angle of a field,
//! or the turn of a shaft.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point3, Vector3};

use crate::axis::Axis;
use crate::axis::grid::grid_angles;
use crate::error::{Error, Result, counted};
use crate::hall::{AngleError, AngleSensor, Sensor};
use crate::linkage::Transfer;
use crate::observer;

/// The axes of the package.
const PACKAGE: [fn() -> Vector3<f64>; 3] = [Vector3::x, Vector3::y, Vector3::z];

impl Axis {
    /// The point of the package at which the sensor reads.
    pub(super) fn active_point(&self) -> Point3<f64> {
        match self.sensor() {
            Sensor::Linear(sensor) => sensor.active_point(),
            Sensor::Angle(sensor) => sensor.active_point(),
            Sensor::Potentiometer(_) => Point3::origin(),
        }
    }

    /// The direction along which a linear sensor reads.
    fn sensitive(&self) -> Result<[Vector3<f64>; 1]> {
        match self.sensor().linear() {
            Some(sensor) => Ok([sensor.direction()]),
            None => Err(Error::Absent {
                quantity: "flux density along a sensitive direction",
                of: self.sensor().kind(),
                advice: "",
            }),
        }
    }

    /// Flux density at the sensor when the control stands at `angle`, in the frame of its package, T; the mean over the
    /// active area, if it has one.
    ///
    /// # Errors
    /// As [`Axis::flux_at`], of any sensor.
    pub fn field_at(&self, angle: f64) -> Result<Vector3<f64>> {
        let driven = self.pivot_at(angle)?;
        self.flux_along(driven.angle, &PACKAGE.map(|axis| axis()))
    }

    /// Flux density along the sensitive direction of a linear sensor at `angle`, T.
    ///
    /// # Errors
    /// [`Error::Absent`] of another sensor; if the angle is not finite or beyond a full turn; [`Error::OnEdge`] if the
    /// active point meets an edge of a magnet; of a sensor with an active area as
    /// [`ActiveArea::mean_field`](crate::magnet::ActiveArea::mean_field), [`Error::AreaCut`] above all;
    /// [`Error::BehindPlate`] if it reads inside a plate, [`Error::ThroughPlate`] if a magnet runs into one.
    pub fn flux_at(&self, angle: f64) -> Result<f64> {
        let sensitive = self.sensitive()?;
        let driven = self.pivot_at(angle)?;
        Ok(self.flux_along(driven.angle, &sensitive)?.x)
    }

    /// Flux density along the sensitive direction at many angles, T, and whether each row has a value: the fast path.
    /// No row has one of a sensor that is not linear.
    #[must_use]
    pub fn fluxes_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        match self.sensitive() {
            Ok(_) => self.signals_at(angles),
            Err(_) => (vec![f64::NAN; angles.len()], vec![false; angles.len()]),
        }
    }

    /// The error of an angle sensor over a whole turn of the pivot, from the real field at so many places, evenly
    /// spaced: the angle that it reads less the angle turned, in the sense in which its reading grows at the center.
    /// Eccentricity and tilt of magnet and die show in it as they are arranged, with the first and the second harmonic.
    ///
    /// # Errors
    /// [`Error::Absent`] of another sensor; [`Error::Count`] unless there are 8 to 1,000,000 points; as
    /// [`Axis::field_at`] anywhere on the turn.
    pub fn angle_error(&self, points: usize) -> Result<AngleError> {
        let Sensor::Angle(sensor) = self.sensor() else {
            return Err(Error::Absent {
                quantity: "error of an angle",
                of: self.sensor().kind(),
                advice: "",
            });
        };
        counted("points of the turn", points, [8, 1_000_000])?;
        let step = TAU / points as f64;
        let turned: Vec<f64> = (0..points).map(|i| i as f64 * step - PI).collect();
        let axes = PACKAGE.map(|axis| axis());
        let (fields, valid) = self.fluxes_along(&turned, &axes);
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            self.flux_along(turned[bad], &axes)?;
        }
        let read = fields.iter().map(|field| self::turned(sensor, field));
        let read = read.collect::<Result<Vec<f64>>>()?;
        let (field, change) = (
            self.flux_along(0.0, &axes)?,
            self.flux_slope_along(0.0, &axes)?,
        );
        let slope = sensor.spec().sense.sign() * sensor.angle_slope(&field, &change)?;
        let in_sense: Vec<f64> = turned.iter().map(|angle| angle * slope.signum()).collect();
        AngleError::of(&in_sense, &read)
    }

    /// What the sensor makes its output from: the flux density along its direction, T; the angle that an angle sensor
    /// reads, from its zero position in its own sense, rad, -pi to pi; the output of a potentiometer, V, going on
    /// straight beyond its travel.
    pub(super) fn signal_at(&self, angle: f64) -> Result<f64> {
        match self.sensor() {
            Sensor::Linear(_) => self.flux_at(angle),
            Sensor::Angle(sensor) => turned(sensor, &self.field_at(angle)?),
            Sensor::Potentiometer(sensor) => sensor.straight_beyond(self.pivot_at(angle)?.angle),
        }
    }

    /// [`Axis::signal_at`] at many angles; NaN and marked where it would return an error.
    pub(super) fn signals_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let driven = self.pivots_at(angles);
        let (mut signal, mut valid): (Vec<f64>, Vec<bool>) = match self.sensor() {
            Sensor::Linear(sensor) => {
                let (flux, valid) = self.fluxes_along(&driven.angles, &[sensor.direction()]);
                (flux.into_iter().map(|flux| flux.x).collect(), valid)
            }
            Sensor::Angle(sensor) => {
                let (fields, valid) =
                    self.fluxes_along(&driven.angles, &PACKAGE.map(|axis| axis()));
                let read = fields.iter().zip(valid).map(|(field, valid)| {
                    let read = turned(sensor, field).ok().filter(|_| valid);
                    (read.unwrap_or(f64::NAN), read.is_some())
                });
                read.unzip()
            }
            Sensor::Potentiometer(sensor) => {
                let read = driven.angles.iter().map(|angle| {
                    let read = sensor.straight_beyond(*angle).ok();
                    (read.unwrap_or(f64::NAN), read.is_some())
                });
                read.unzip()
            }
        };
        // Work that was stopped is shorter.
        signal.resize(angles.len(), f64::NAN);
        valid.resize(angles.len(), false);
        for (i, _) in driven
            .valid
            .iter()
            .enumerate()
            .filter(|(_, valid)| !**valid)
        {
            (signal[i], valid[i]) = (f64::NAN, false);
        }
        (signal, valid)
    }

    /// [`Axis::signal_at`] at many angles, or the error of the first that has none.
    pub(super) fn checked_signals_at(&self, angles: &[f64]) -> Result<Vec<f64>> {
        let (signal, valid) = self.signals_at(angles);
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            // The scalar call knows the reason.
            self.signal_at(angles[bad])?;
        }
        Ok(signal)
    }

    /// Change of [`Axis::signal_at`] for a change of angle, per rad, from the gradient of the field.
    pub(super) fn signal_slope_at(&self, angle: f64) -> Result<f64> {
        let Transfer {
            angle: pivot,
            ratio,
            ..
        } = self.pivot_at(angle)?;
        let slope = match self.sensor() {
            Sensor::Linear(sensor) => self.flux_slope_along(pivot, &[sensor.direction()])?.x,
            Sensor::Angle(sensor) => {
                let axes = PACKAGE.map(|axis| axis());
                let field = self.flux_along(pivot, &axes)?;
                let change = self.flux_slope_along(pivot, &axes)?;
                sensor.spec().sense.sign() * sensor.angle_slope(&field, &change)?
            }
            Sensor::Potentiometer(sensor) => sensor.slope_beyond(pivot)?,
        };
        Ok(slope * ratio)
    }

    /// Noise of the output at an angle, rms: V, or rad of a digital angle sensor.
    pub(super) fn noise_at(&self, angle: f64) -> Result<f64> {
        match self.sensor() {
            Sensor::Angle(_) => self.noise_in(&self.field_at(angle)?),
            Sensor::Linear(_) | Sensor::Potentiometer(_) => self.noise_in(&Vector3::zeros()),
        }
    }

    /// The same in a flux density at an angle sensor, T; that of another does not depend on it.
    pub(super) fn noise_in(&self, field: &Vector3<f64>) -> Result<f64> {
        match self.sensor() {
            Sensor::Linear(sensor) => Ok(sensor.output_noise()),
            Sensor::Angle(sensor) => Ok(sensor.noise_angle(field)? * sensor.gain().abs()),
            Sensor::Potentiometer(sensor) => Ok(sensor.spec().noise),
        }
    }

    /// [`Axis::field_at`] at many angles, or the error of the first that has none.
    pub(super) fn checked_fields_at(&self, angles: &[f64]) -> Result<Vec<Vector3<f64>>> {
        let driven = self.pivots_at(angles);
        let (fields, valid) = self.fluxes_along(&driven.angles, &PACKAGE.map(|axis| axis()));
        observer::check()?;
        let valid = valid.iter().zip(&driven.valid).map(|(a, b)| *a && *b);
        if let Some(bad) = valid.into_iter().position(|valid| !valid) {
            // The scalar call knows the reason.
            self.field_at(angles[bad])?;
        }
        Ok(fields)
    }
}

/// The angle that a sensor reads in a field, from its zero position in its own sense, rad, -pi to pi.
fn turned(sensor: &AngleSensor, field: &Vector3<f64>) -> Result<f64> {
    sensor.turned(sensor.angle(field)?)
}

/// On which turn an angle sensor reads: its angle is told but for whole turns, and goes on from the center.
#[derive(Clone)]
pub(super) struct Turns {
    angle: Vec<f64>,
    signal: Vec<f64>,
}

impl Turns {
    /// Of an axis with an angle sensor; of another there is nothing to tell.
    ///
    /// # Errors
    /// As [`Axis::field_at`] over the throw.
    pub(super) fn of(axis: &Axis) -> Result<Option<Self>> {
        if !matches!(axis.sensor(), Sensor::Angle(_)) {
            return Ok(None);
        }
        let angle = grid_angles(axis);
        let mut signal = axis.checked_signals_at(&angle)?;
        let center = angle
            .partition_point(|&angle| angle < 0.0)
            .min(angle.len() - 1);
        for i in center + 1..signal.len() {
            signal[i] = near(signal[i], signal[i - 1]);
        }
        for i in (0..center).rev() {
            signal[i] = near(signal[i], signal[i + 1]);
        }
        Ok(Some(Self { angle, signal }))
    }

    /// The signal at an angle, on its turn.
    pub(super) fn unwrapped(&self, angle: f64, signal: f64) -> f64 {
        let next = self
            .angle
            .partition_point(|&a| a < angle)
            .min(self.angle.len() - 1);
        let nearest = match next.checked_sub(1) {
            Some(before) if angle - self.angle[before] < self.angle[next] - angle => before,
            _ => next,
        };
        near(signal, self.signal[nearest])
    }
}

/// An angle, rad, on the turn that brings it next to another.
fn near(angle: f64, other: f64) -> f64 {
    angle + TAU * ((other - angle) / TAU).round()
}
