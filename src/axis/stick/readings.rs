//! What both sensors read: flux density, volts and counts at pairs of angles and all over the gate.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::axis::grid::even_angles;
use crate::axis::stick::fields::grid;
use crate::axis::stick::two_axis::{TwoAxis, checked, number};
use crate::error::{Error, Result, counted, within};
use crate::hall::Sensor;
use crate::observer;
use crate::stored::checked_when_read;

/// More than a step of any converter, V, and of any angle sensor, rad.
const MAX_STEP: f64 = 1.0;
/// Angles of a grid along each axis.
pub(super) const GRID: [usize; 2] = [3, 2001];

/// What the two sensors read at one position, the outer one first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TwoAxisReading {
    /// Flux density along the sensitive direction, T; `None` unless the sensor is a linear Hall sensor.
    pub flux: [Option<f64>; 2],
    /// The angle that an angle sensor reads, from its zero position in its own sense, rad, going on past half a turn
    /// from neutral; `None` of another sensor.
    pub read_angle: [Option<f64>; 2],
    /// Sensor output, V, held at the rails; `None` of a digital angle sensor.
    pub volts: [Option<f64>; 2],
    /// Codes of the converter, or of a digital angle sensor, whose zero position then stands in the middle of its
    /// range.
    pub counts: [i64; 2],
    /// Whether the sensor is at a rail or the converter at the end of its range.
    pub clipped: [bool; 2],
}

/// What the two sensors read at many positions, the outer one first; same length and order as the angles.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TwoAxisReadings {
    /// Flux density along the sensitive direction, T; NaN in the rows that have none, and for a sensor that is not
    /// linear.
    pub flux: Vec<[f64; 2]>,
    /// The angle that an angle sensor reads, rad, as of a [`TwoAxisReading`]; NaN in the rows that have none, and for
    /// another sensor; `None` if neither is an angle sensor.
    #[serde(default)]
    pub read_angle: Option<Vec<[f64; 2]>>,
    /// Sensor output, V, held at the rails; NaN in the rows that have none, and for a digital angle sensor.
    pub volts: Vec<[f64; 2]>,
    /// Converter codes; -1, which no converter gives, in the rows that have none.
    pub counts: Vec<[i64; 2]>,
    /// Whether the sensor is at a rail or the converter at the end of its range.
    pub clipped: Vec<[bool; 2]>,
    /// Whether the row has a value: both angles within half a turn, neither sensor on an edge of a magnet, and what
    /// else [`TwoAxis::reading_at`] refuses.
    pub valid: Vec<bool>,
}

checked_when_read! {
    /// What both sensors read on a grid over the gate: for each outer angle in turn all inner ones.
    ///
    /// A map that is read back (serde) has passed the check that its lists fit each other.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct GateMap {
        /// Outer angles, rad, ascending, over all that the gate has.
        pub outer: Vec<f64>,
        /// Inner angles, rad, ascending, over all that the gate has.
        pub inner: Vec<f64>,
        /// One step of each converter, the outer one first, V; of a digital angle sensor, rad.
        pub steps: [f64; 2],
        /// What is read, row after row, as many rows as outer angles; positions beyond the gate have no value.
        pub readings: TwoAxisReadings,
    }
}

impl GateMap {
    fn check(&self) -> Result<()> {
        let rows = &self.readings;
        let points = self.outer.len().saturating_mul(self.inner.len());
        for (second, second_len) in [
            ("flux", rows.flux.len()),
            (
                "read_angle",
                rows.read_angle.as_ref().map_or(points, Vec::len),
            ),
            ("volts", rows.volts.len()),
            ("counts", rows.counts.len()),
            ("clipped", rows.clipped.len()),
            ("valid", rows.valid.len()),
        ] {
            if second_len != points {
                return Err(Error::LengthMismatch {
                    first: "positions of the grid",
                    first_len: points,
                    second,
                    second_len,
                });
            }
        }
        for step in self.steps {
            within("step of the converter", step, 0.0, MAX_STEP, "V or rad")?;
        }
        for angle in self.outer.iter().chain(&self.inner) {
            within("angle of the grid", *angle, -PI, PI, "rad")?;
        }
        Ok(())
    }
}

impl TwoAxis {
    /// Flux density at both sensors along their sensitive directions at an outer and an inner angle (rad), T.
    ///
    /// # Errors
    /// [`Error::Absent`] unless both are linear Hall sensors; if an angle is not finite or beyond half a turn;
    /// [`Error::OnEdge`] if an active point meets an edge of a magnet, [`Error::BehindPlate`] if it lies inside a
    /// plate; of a sensor with an active area as [`ActiveArea::mean_field`](crate::magnet::ActiveArea::mean_field),
    /// [`Error::AreaCut`] above all.
    pub fn flux_at(&self, outer: f64, inner: f64) -> Result<[f64; 2]> {
        self.check_linear()?;
        self.signals_at(checked(outer, inner)?)
    }

    /// Flux densities at both sensors at many pairs of angles (rad), T, and whether each row has a value: the fast
    /// path. Rows where [`TwoAxis::flux_at`] would return an error are NaN and marked.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles; [`Error::Absent`] unless both are
    /// linear Hall sensors.
    pub fn fluxes_at(&self, outer: &[f64], inner: &[f64]) -> Result<(Vec<[f64; 2]>, Vec<bool>)> {
        self.check_linear()?;
        Ok(self.both_signals(&paired(outer, inner)?))
    }

    fn check_linear(&self) -> Result<()> {
        for axis in Self::AXES {
            self.channel(axis).sensitive()?;
        }
        Ok(())
    }

    fn signals_at(&self, angles: [f64; 2]) -> Result<[f64; 2]> {
        let [outer, inner] = Self::AXES.map(|axis| self.signal_at(axis, angles));
        Ok([outer?, inner?])
    }

    /// What both sensors read at an outer and an inner angle (rad).
    ///
    /// # Errors
    /// As [`TwoAxis::flux_at`], of any sensors; [`Error::OutOfRange`] where there is no field at an angle sensor, or a
    /// potentiometer would be turned beyond its mechanical travel.
    pub fn reading_at(&self, outer: f64, inner: f64) -> Result<TwoAxisReading> {
        let signal = self.signals_at(checked(outer, inner)?)?;
        let mut reading = TwoAxisReading {
            flux: [None; 2],
            read_angle: [None; 2],
            volts: [None; 2],
            counts: [0; 2],
            clipped: [false; 2],
        };
        for axis in Self::AXES {
            let (i, channel) = (number(axis), self.channel(axis));
            let output = channel.output(signal[i]);
            reading.flux[i] = channel.as_flux(signal[i]);
            reading.read_angle[i] = channel.as_angle(signal[i]);
            reading.volts[i] = channel.as_volts(output);
            reading.counts[i] = channel.converter().code(output)?;
            reading.clipped[i] = channel.clips(signal[i]);
        }
        Ok(reading)
    }

    /// What both sensors read at many pairs of angles (rad).
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn readings_at(&self, outer: &[f64], inner: &[f64]) -> Result<TwoAxisReadings> {
        let (signal, valid) = self.both_signals(&paired(outer, inner)?);
        Ok(self.readings_of(signal, valid))
    }

    /// What both sensors read on a grid over the gate, `outer` by `inner` angles, 3 to 2001 each.
    ///
    /// # Errors
    /// [`Error::Count`]; as [`TwoAxis::clearance`]; as [`TwoAxis::reading_at`].
    pub fn map(&self, outer: usize, inner: usize) -> Result<GateMap> {
        counted("outer angles of the grid", outer, GRID)?;
        counted("inner angles of the grid", inner, GRID)?;
        self.check_clear()?;
        let [outer, inner] =
            [(0, outer), (1, inner)].map(|(axis, points)| even_angles(self.travel()[axis], points));
        let angles = grid(&outer, &inner);
        let allowed = self.allowed(&angles)?;
        let (mut signal, mut valid) = self.both_signals(&angles);
        observer::check()?;
        for (i, allowed) in allowed.into_iter().enumerate() {
            if !allowed {
                (signal[i], valid[i]) = ([f64::NAN; 2], false);
            } else if !valid[i] {
                // The call for one position knows the reason.
                self.reading_at(angles[i][0], angles[i][1])?;
            }
        }
        Ok(GateMap {
            outer,
            inner,
            steps: Self::AXES.map(|axis| self.channel(axis).converter().lsb()),
            readings: self.readings_of(signal, valid),
        })
    }

    /// Which positions the gate allows.
    pub(super) fn allowed(&self, angles: &[[f64; 2]]) -> Result<Vec<bool>> {
        let spec = self.spec();
        let (outer, inner): (Vec<_>, Vec<_>) = angles.iter().map(|pair| (pair[0], pair[1])).unzip();
        spec.gimbal.allowed(&spec.gate, &outer, &inner)
    }

    /// The readings of what the sensors make their outputs from.
    fn readings_of(&self, mut signal: Vec<[f64; 2]>, valid: Vec<bool>) -> TwoAxisReadings {
        let count = signal.len();
        let (mut volts, mut counts, mut clipped) = (
            vec![[f64::NAN; 2]; count],
            vec![[-1; 2]; count],
            vec![[false; 2]; count],
        );
        for (signal, _) in signal.iter_mut().zip(&valid).filter(|(_, valid)| !**valid) {
            *signal = [f64::NAN; 2];
        }
        for axis in Self::AXES {
            let (which, channel) = (number(axis), self.channel(axis));
            let (line, converter) = (channel.sensor().characteristic(), channel.converter());
            let analog = channel.sensor().is_analog();
            for (i, signal) in signal.iter().enumerate().filter(|(i, _)| valid[*i]) {
                let output = line.held(signal[which]);
                if analog {
                    volts[i][which] = output;
                }
                counts[i][which] = converter.code(output).unwrap_or(-1);
                clipped[i][which] = line.clips(signal[which]) || converter.clips(output);
            }
        }
        let sensors = Self::AXES.map(|axis| self.channel(axis).sensor());
        let angle = sensors.map(|sensor| matches!(sensor, Sensor::Angle(_)));
        let linear = sensors.map(|sensor| sensor.linear().is_some());
        let read_angle = (angle != [false; 2]).then(|| only(&signal, angle));
        if linear != [true; 2] {
            signal = only(&signal, linear);
        }
        TwoAxisReadings {
            flux: signal,
            read_angle,
            volts,
            counts,
            clipped,
            valid,
        }
    }
}

/// The columns that are wanted, and NaN in the others.
fn only(rows: &[[f64; 2]], wanted: [bool; 2]) -> Vec<[f64; 2]> {
    let row = |row: &[f64; 2]| [0, 1].map(|i| if wanted[i] { row[i] } else { f64::NAN });
    rows.iter().map(row).collect()
}

fn paired(outer: &[f64], inner: &[f64]) -> Result<Vec<[f64; 2]>> {
    if outer.len() != inner.len() {
        return Err(Error::LengthMismatch {
            first: "outer angles",
            first_len: outer.len(),
            second: "inner angles",
            second_len: inner.len(),
        });
    }
    let pairs = outer.iter().zip(inner);
    Ok(pairs.map(|(&outer, &inner)| [outer, inner]).collect())
}
