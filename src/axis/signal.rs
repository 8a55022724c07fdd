//! What the sensor of an axis makes its output from, by the angle of the control: a flux density, the angle of a field,
//! or the turn of a shaft.

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;

use crate::axis::Axis;
use crate::axis::channel::PACKAGE;
use crate::axis::grid::grid_angles;
use crate::axis::passing::Passing;
use crate::axis::turns::Turns;
use crate::error::{Error, Result, counted};
use crate::hall::{AngleError, NoiseBudget, Sensor};
use crate::linkage::Transfer;
use crate::observer;

impl Axis {
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
        let sensitive = self.channel().sensitive()?;
        let driven = self.pivot_at(angle)?;
        Ok(self.flux_along(driven.angle, &sensitive)?.x)
    }

    /// Flux density along the sensitive direction at many angles, T, and whether each row has a value: the fast path.
    /// No row has one of a sensor that is not linear.
    #[must_use]
    pub fn fluxes_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        match self.channel().sensitive() {
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
        let read = fields.iter().map(|field| self.channel().turned(field));
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
        let pivot = self.pivot_at(angle)?.angle;
        self.channel().signal(
            pivot,
            |direction| self.flux_along(pivot, direction),
            |axes| self.flux_along(pivot, axes),
        )
    }

    /// [`Axis::signal_at`] at many angles; NaN and marked where it would return an error.
    pub(super) fn signals_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let driven = self.pivots_at(angles);
        let (mut signal, mut valid) = self.channel().signals(
            driven.angles.iter().copied(),
            |direction| self.fluxes_along(&driven.angles, direction),
            |axes| self.fluxes_along(&driven.angles, axes),
        );
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

    /// The noise of a reading at an angle, behind filter, converter and averaging.
    pub(super) fn noise_at(&self, angle: f64) -> Result<NoiseBudget> {
        let field = match self.sensor() {
            Sensor::Angle(_) => self.field_at(angle)?,
            Sensor::Linear(_) | Sensor::Potentiometer(_) => Vector3::zeros(),
        };
        self.noise_in(&field)
    }

    /// The same in a flux density at an angle sensor, T; that of another does not depend on it.
    pub(super) fn noise_in(&self, field: &Vector3<f64>) -> Result<NoiseBudget> {
        self.channel().noise(self.channel().noise_in(field)?)
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

    /// On which turn an angle sensor reads over the throw; of another sensor there is nothing to tell.
    ///
    /// # Errors
    /// As [`Axis::field_at`] over the throw.
    pub(super) fn turns(&self) -> Result<Option<Turns>> {
        if !matches!(self.sensor(), Sensor::Angle(_)) {
            return Ok(None);
        }
        let angle = grid_angles(self);
        let signal = self.checked_signals_at(&angle)?;
        Ok(Some(Turns::new([angle, vec![0.0]], signal)))
    }
}
