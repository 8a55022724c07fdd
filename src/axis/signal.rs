//! What the sensor of an axis makes its output from, by the angle of the control: the flux density of a linear sensor.

use nalgebra::{Point3, Vector3};

use crate::axis::Axis;
use crate::error::Result;
use crate::hall::Sensor;
use crate::observer;

impl Axis {
    /// The point of the package at which the sensor reads.
    pub(super) fn active_point(&self) -> Point3<f64> {
        match &self.spec().sensor {
            Sensor::Linear(sensor) => sensor.active_point(),
        }
    }

    /// Directions of the package along which the sensor reads.
    fn sensitive(&self) -> [Vector3<f64>; 1] {
        match &self.spec().sensor {
            Sensor::Linear(sensor) => [sensor.direction()],
        }
    }

    /// Flux density along the sensor's sensitive direction at `angle`, T.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; [`Error::OnEdge`](crate::Error::OnEdge) if the active point
    /// meets an edge of a magnet; of a sensor with an active area as
    /// [`ActiveArea::mean_field`](crate::magnet::ActiveArea::mean_field), [`Error::AreaCut`](crate::Error::AreaCut)
    /// above all; [`Error::BehindPlate`](crate::Error::BehindPlate) if it reads inside a plate,
    /// [`Error::ThroughPlate`](crate::Error::ThroughPlate) if a magnet runs into one.
    pub fn flux_at(&self, angle: f64) -> Result<f64> {
        let driven = self.pivot_at(angle)?;
        Ok(self.flux_along(driven.angle, &self.sensitive())?.x)
    }

    /// Flux density along the sensitive direction at many angles, T, and whether each row has a value: the fast path.
    #[must_use]
    pub fn fluxes_at(&self, angles: &[f64]) -> (Vec<f64>, Vec<bool>) {
        let driven = self.pivots_at(angles);
        let (flux, mut valid) = self.fluxes_along(&driven.angles, &self.sensitive());
        let mut flux: Vec<f64> = flux.into_iter().map(|flux| flux.x).collect();
        let rows = driven.valid.iter().enumerate();
        for (i, _) in rows.filter(|(_, valid)| !**valid) {
            (flux[i], valid[i]) = (f64::NAN, false);
        }
        // Work that was stopped is shorter.
        flux.resize(angles.len(), f64::NAN);
        valid.resize(angles.len(), false);
        (flux, valid)
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

    /// Change of flux density along the sensitive direction for a change of angle, T/rad.
    pub(super) fn flux_slope_at(&self, angle: f64) -> Result<f64> {
        let driven = self.pivot_at(angle)?;
        let slope = self.flux_slope_along(driven.angle, &self.sensitive())?.x;
        Ok(slope * driven.ratio)
    }
}
