//! The swept curve: angle -> flux density -> volts -> counts.

use serde::Serialize;

use crate::axis::clearance::{MAX_CLEARANCE, TOUCHING, clearance};
use crate::axis::control::{Axis, check_throw};
use crate::axis::grid::even_angles;
use crate::axis::turns::Turns;
use crate::error::{Error, Result, counted, within};
use crate::hall::{Converter, Sensor};
use crate::stored::checked_when_read;

/// How many angles a sweep may have.
const POINTS: [usize; 2] = [3, 1_000_000];
/// How far a stored angle may lie from its place, as a part of the throw: the places are computed again with a few
/// roundings.
const SPACING: f64 = 1e-12;
/// More than any magnet gives: no sweep holds larger numbers, T.
const MAX_FLUX: f64 = 1e6;
/// More than any angle that is read over a throw of a turn, rad.
const MAX_READ: f64 = 100.0;
/// The highest supply of a sensor, V.
const MAX_VOLTS: f64 = 40.0;

checked_when_read! {
    /// The characteristic of an axis over its throw; all lists have one length.
    ///
    /// A sweep that is read back (serde) passes the checks that a computed one passes by its making: lists of one
    /// length, angles evenly spaced over a throw that holds the center, values that are numbers and possible.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct Sweep {
        angle: Vec<f64>,
        flux: Option<Vec<f64>>,
        read_angle: Option<Vec<f64>>,
        volts: Option<Vec<f64>>,
        counts: Vec<i64>,
        clipped: Vec<bool>,
        clearance: f64,
    }
}

impl Sweep {
    /// Whether the sweep could have been computed, as far as it tells by itself.
    fn check(&self) -> Result<()> {
        let Self {
            angle,
            flux,
            read_angle,
            volts,
            counts,
            clipped,
            clearance,
        } = self;
        let points = check_points(angle.len())?;
        for (second, second_len) in [
            ("flux", flux.as_ref().map_or(points, Vec::len)),
            ("read_angle", read_angle.as_ref().map_or(points, Vec::len)),
            ("volts", volts.as_ref().map_or(points, Vec::len)),
            ("counts", counts.len()),
            ("clipped", clipped.len()),
        ] {
            if second_len != points {
                return Err(Error::LengthMismatch {
                    first: "angle",
                    first_len: points,
                    second,
                    second_len,
                });
            }
        }
        let throw = check_throw([angle[0], angle[points - 1]])?;
        let allowed = SPACING * (throw[1] - throw[0]);
        for (&angle, place) in angle.iter().zip(even_angles(throw, points)) {
            let [min, max] = [place - allowed, place + allowed];
            within("angle of an evenly spaced sweep", angle, min, max, "rad")?;
        }
        for &angle in read_angle.iter().flatten() {
            within("angle read", angle, -MAX_READ, MAX_READ, "rad")?;
        }
        for &flux in flux.iter().flatten() {
            within("flux density", flux, -MAX_FLUX, MAX_FLUX, "T")?;
        }
        for &volts in volts.iter().flatten() {
            within("sensor output", volts, 0.0, MAX_VOLTS, "V")?;
        }
        if let Some(code) = counts
            .iter()
            .find(|code| !(0..=Converter::MAX_CODE).contains(*code))
        {
            let max = Converter::MAX_CODE as f64;
            within("code", *code as f64, 0.0, max, "counts")?;
        }
        within("clearance", *clearance, -TOUCHING, MAX_CLEARANCE, "m")?;
        Ok(())
    }
}

/// The number of points of a sweep, if there may be so many.
pub(super) fn check_points(points: usize) -> Result<usize> {
    counted("points of the sweep", points, POINTS)
}

impl Axis {
    /// The curve over the throw at `points` angles, evenly spaced, both ends included.
    ///
    /// # Errors
    /// [`Error::Count`] unless there are 3 to 1,000,000 points, [`Error::Collision`] if the sensor runs into a magnet,
    /// [`Error::OnEdge`] if its active point meets an edge.
    pub fn sweep(&self, points: usize) -> Result<Sweep> {
        Sweep::new(self, points)
    }
}

impl Sweep {
    fn new(axis: &Axis, points: usize) -> Result<Self> {
        check_points(points)?;
        let clearance = clearance(axis)?;
        Self::of(axis, points, clearance, axis.turns()?.as_ref())
    }

    /// Of an axis whose clearance and turns are known.
    pub(super) fn of(
        axis: &Axis,
        points: usize,
        clearance: f64,
        turns: Option<&Turns>,
    ) -> Result<Self> {
        check_points(points)?;
        let angle = even_angles(axis.throw(), points);
        let mut signal = axis.checked_signals_at(&angle)?;
        if let Some(turns) = turns {
            for (signal, angle) in signal.iter_mut().zip(&angle) {
                *signal = turns.unwrapped([*angle, 0.0], *signal);
            }
        }
        let (line, converter) = (axis.sensor().characteristic(), axis.converter());
        let output: Vec<f64> = signal.iter().map(|&signal| line.held(signal)).collect();
        let counts = converter.codes(&output).values;
        let both = signal.iter().zip(&output);
        let clipped = both.map(|(&signal, &output)| line.clips(signal) || converter.clips(output));
        let clipped = clipped.collect();
        let (flux, read_angle) = match axis.sensor() {
            Sensor::Linear(_) => (Some(signal), None),
            Sensor::Angle(_) => (None, Some(signal)),
            Sensor::Potentiometer(_) => (None, None),
        };
        Ok(Self {
            clipped,
            angle,
            flux,
            read_angle,
            volts: axis.sensor().is_analog().then_some(output),
            counts,
            clearance,
        })
    }

    /// Angles, rad, ascending.
    #[must_use]
    pub fn angle(&self) -> &[f64] {
        &self.angle
    }

    /// Flux density along the sensitive direction, T; `None` unless the sensor is a linear Hall sensor.
    #[must_use]
    pub fn flux(&self) -> Option<&[f64]> {
        self.flux.as_deref()
    }

    /// The angle that an angle sensor reads, from its zero position in its own sense, rad, going on past half a turn;
    /// `None` of another sensor.
    #[must_use]
    pub fn read_angle(&self) -> Option<&[f64]> {
        self.read_angle.as_deref()
    }

    /// Sensor output, V, held at the rails; `None` of a digital angle sensor.
    #[must_use]
    pub fn volts(&self) -> Option<&[f64]> {
        self.volts.as_deref()
    }

    /// Codes of the converter, or of a digital angle sensor, whose zero position then stands in the middle of its
    /// range: half a turn away it is held, as if it did not begin anew.
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
