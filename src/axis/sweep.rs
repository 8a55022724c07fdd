//! The swept curve: angle -> flux density -> volts -> counts.

use serde::{Deserialize, Serialize};

use super::Axis;
use crate::error::{Error, Result};

/// How many angles a sweep may have.
const POINTS: [usize; 2] = [3, 1_000_000];

/// The characteristic of an axis over its throw; all lists have one length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sweep {
    angle: Vec<f64>,
    flux: Vec<f64>,
    volts: Vec<f64>,
    counts: Vec<i64>,
    clipped: Vec<bool>,
    clearance: f64,
}

impl Sweep {
    pub(super) fn new(axis: &Axis, points: usize) -> Result<Self> {
        let [min, max] = POINTS;
        if !(min..=max).contains(&points) {
            return Err(Error::Count {
                quantity: "points of the sweep",
                count: points,
                min,
                max,
            });
        }
        let angle = even_angles(axis.throw(), points);
        let mut clearance = f64::INFINITY;
        for &angle in &angle {
            clearance = clearance.min(axis.clearance_at(angle)?);
        }
        let (flux, valid) = axis.fluxes_at(&angle);
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            // The scalar call knows the reason.
            axis.flux_at(angle[bad])?;
        }
        let (sensor, converter) = (&axis.spec().sensor, &axis.spec().converter);
        let volts = sensor.outputs(&flux).values;
        let counts = converter.codes(&volts).values;
        let clipped = flux
            .iter()
            .zip(&volts)
            .map(|(&b, &v)| sensor.clips(b) || converter.clips(v));
        Ok(Self {
            clipped: clipped.collect(),
            angle,
            flux,
            volts,
            counts,
            clearance,
        })
    }

    /// Angles, rad, ascending.
    #[must_use]
    pub fn angle(&self) -> &[f64] {
        &self.angle
    }

    /// Flux density along the sensitive direction, T.
    #[must_use]
    pub fn flux(&self) -> &[f64] {
        &self.flux
    }

    /// Sensor output, V, held at the rails.
    #[must_use]
    pub fn volts(&self) -> &[f64] {
        &self.volts
    }

    /// Converter codes.
    #[must_use]
    pub fn counts(&self) -> &[i64] {
        &self.counts
    }

    /// Where the sensor is at a rail or the converter at the end of its range.
    #[must_use]
    pub fn clipped(&self) -> &[bool] {
        &self.clipped
    }

    /// Least distance of the center of the package face from a magnet over the throw, m.
    #[must_use]
    pub fn clearance(&self) -> f64 {
        self.clearance
    }
}

/// Evenly spaced, both ends exact.
fn even_angles([lower, upper]: [f64; 2], points: usize) -> Vec<f64> {
    let last = (points - 1) as f64;
    let angle = |i: usize| {
        let part = i as f64 / last;
        // Weighted from both ends, so that a symmetric throw gives angles that are symmetric to the last bit.
        lower * (1.0 - part) + upper * part
    };
    (0..points).map(angle).collect()
}
