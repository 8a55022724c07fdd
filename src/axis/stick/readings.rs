//! What both sensors read: flux density, volts and counts at pairs of angles and all over the gate.

use std::f64::consts::PI;

use nalgebra::Point3;
use serde::{Deserialize, Serialize};

use crate::axis::grid::even_angles;
use crate::axis::stick::motion::{Carrier, Turned};
use crate::axis::stick::two_axis::{CarriedMagnets, CarriedSensor, TwoAxis, checked, number};
use crate::error::{Error, Result, counted, within};
use crate::linkage::GimbalAxis;
use crate::magnet::FieldSource;
use crate::observer;
use crate::parallel;
use crate::stored::checked_when_read;

/// Pairs of angles that are worked on at a time: some milliseconds with a few magnets, and they stay in the cache.
const STRETCH: usize = 4096;
/// More than a step of any converter, V.
const MAX_STEP: f64 = 1.0;
/// Angles of a grid along each axis.
pub(super) const GRID: [usize; 2] = [3, 2001];

/// What the two sensors read at one position, the outer one first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TwoAxisReading {
    /// Flux density along the sensitive direction, T.
    pub flux: [f64; 2],
    /// Sensor output, V, held at the rails.
    pub volts: [f64; 2],
    /// Converter codes.
    pub counts: [i64; 2],
    /// Whether the sensor is at a rail or the converter at the end of its range.
    pub clipped: [bool; 2],
}

/// What the two sensors read at many positions, the outer one first; same length and order as the angles.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct TwoAxisReadings {
    /// Flux density along the sensitive direction, T; NaN in the rows that have none.
    pub flux: Vec<[f64; 2]>,
    /// Sensor output, V, held at the rails; NaN in the rows that have none.
    pub volts: Vec<[f64; 2]>,
    /// Converter codes; -1, which no converter gives, in the rows that have none.
    pub counts: Vec<[i64; 2]>,
    /// Whether the sensor is at a rail or the converter at the end of its range.
    pub clipped: Vec<[bool; 2]>,
    /// Whether the row has a value: both angles within half a turn, neither sensor on an edge of a magnet.
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
        /// One step of each converter, the outer one first, V.
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
            within("step of the converter", step, 0.0, MAX_STEP, "V")?;
        }
        for angle in self.outer.iter().chain(&self.inner) {
            within("angle of the grid", *angle, -PI, PI, "rad")?;
        }
        Ok(())
    }
}

impl CarriedSensor {
    /// What the converter tells apart of the output at a flux density (T), V: held at the rails, and within its range.
    pub(super) fn held(&self, flux: f64) -> f64 {
        let [low, high] = self.converter.input_range();
        self.sensor.characteristic().held(flux).clamp(low, high)
    }

    fn clips(&self, flux: f64) -> bool {
        self.sensor.clips(flux)
            || self
                .converter
                .clips(self.sensor.characteristic().held(flux))
    }
}

impl TwoAxis {
    /// Flux density at both sensors along their sensitive directions at an outer and an inner angle (rad), T.
    ///
    /// # Errors
    /// If an angle is not finite or beyond half a turn; [`Error::OnEdge`] if an active point meets an edge of a magnet,
    /// [`Error::BehindPlate`] if it lies inside a plate.
    pub fn flux_at(&self, outer: f64, inner: f64) -> Result<[f64; 2]> {
        let angles = checked(outer, inner)?;
        let [outer, inner] = Self::AXES.map(|axis| self.flux_of(axis, angles, |_| true));
        Ok([outer?, inner?])
    }

    /// Flux densities at both sensors at many pairs of angles (rad), T, and whether each row has a value: the fast
    /// path. Rows where [`TwoAxis::flux_at`] would return an error are NaN and marked.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn fluxes_at(&self, outer: &[f64], inner: &[f64]) -> Result<(Vec<[f64; 2]>, Vec<bool>)> {
        Ok(self.both_fluxes(&paired(outer, inner)?))
    }

    /// What both sensors read at an outer and an inner angle (rad).
    ///
    /// # Errors
    /// As [`TwoAxis::flux_at`].
    pub fn reading_at(&self, outer: f64, inner: f64) -> Result<TwoAxisReading> {
        let flux = self.flux_at(outer, inner)?;
        let mut volts = [0.0; 2];
        let mut counts = [0; 2];
        let mut clipped = [false; 2];
        for axis in Self::AXES {
            let (i, sensor) = (number(axis), self.spec().sensor(axis));
            volts[i] = sensor.sensor.output(flux[i])?;
            counts[i] = sensor.converter.code(volts[i])?;
            clipped[i] = sensor.clips(flux[i]);
        }
        Ok(TwoAxisReading {
            flux,
            volts,
            counts,
            clipped,
        })
    }

    /// What both sensors read at many pairs of angles (rad).
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles.
    pub fn readings_at(&self, outer: &[f64], inner: &[f64]) -> Result<TwoAxisReadings> {
        let (flux, valid) = self.fluxes_at(outer, inner)?;
        Ok(self.readings_of(flux, valid))
    }

    /// What both sensors read on a grid over the gate, `outer` by `inner` angles, 3 to 2001 each.
    ///
    /// # Errors
    /// [`Error::Count`]; as [`TwoAxis::clearance`]; [`Error::OnEdge`] or [`Error::BehindPlate`] as
    /// [`TwoAxis::flux_at`].
    pub fn map(&self, outer: usize, inner: usize) -> Result<GateMap> {
        counted("outer angles of the grid", outer, GRID)?;
        counted("inner angles of the grid", inner, GRID)?;
        self.clearance()?;
        let [outer, inner] =
            [(0, outer), (1, inner)].map(|(axis, points)| even_angles(self.travel()[axis], points));
        let angles = grid(&outer, &inner);
        let allowed = self.allowed(&angles)?;
        let (mut flux, mut valid) = self.both_fluxes(&angles);
        observer::check()?;
        for (i, allowed) in allowed.into_iter().enumerate() {
            if !allowed {
                (flux[i], valid[i]) = ([f64::NAN; 2], false);
            } else if !valid[i] {
                // The call for one position knows the reason.
                self.flux_at(angles[i][0], angles[i][1])?;
            }
        }
        Ok(GateMap {
            outer,
            inner,
            steps: Self::AXES.map(|axis| self.spec().sensor(axis).converter.lsb()),
            readings: self.readings_of(flux, valid),
        })
    }

    /// Which positions the gate allows.
    pub(super) fn allowed(&self, angles: &[[f64; 2]]) -> Result<Vec<bool>> {
        let spec = self.spec();
        let (outer, inner): (Vec<_>, Vec<_>) = angles.iter().map(|pair| (pair[0], pair[1])).unzip();
        spec.gimbal.allowed(&spec.gate, &outer, &inner)
    }

    /// The readings of flux densities, T.
    fn readings_of(&self, mut flux: Vec<[f64; 2]>, valid: Vec<bool>) -> TwoAxisReadings {
        let count = flux.len();
        let (mut volts, mut counts, mut clipped) = (
            vec![[f64::NAN; 2]; count],
            vec![[-1; 2]; count],
            vec![[false; 2]; count],
        );
        for (i, &valid) in valid.iter().enumerate() {
            if !valid {
                flux[i] = [f64::NAN; 2];
                continue;
            }
            for axis in Self::AXES {
                let (which, sensor) = (number(axis), self.spec().sensor(axis));
                let output = sensor.sensor.characteristic().held(flux[i][which]);
                volts[i][which] = output;
                counts[i][which] = sensor.converter.code(output).unwrap_or(-1);
                clipped[i][which] = sensor.clips(flux[i][which]);
            }
        }
        TwoAxisReadings {
            flux,
            volts,
            counts,
            clipped,
            valid,
        }
    }

    /// Flux density at one sensor by those of the sources that are chosen, T.
    pub(super) fn flux_of(
        &self,
        axis: GimbalAxis,
        angles: [f64; 2],
        chosen: impl Fn(&CarriedMagnets) -> bool,
    ) -> Result<f64> {
        let turned = Turned::of(angles);
        let mut flux = 0.0;
        for source in self.spec().magnets.iter().filter(|source| chosen(source)) {
            let (point, direction) = self.eye(axis, source.carrier).at(&turned);
            flux += source.magnets.field_at(&point)?.dot(&direction);
        }
        Ok(flux)
    }

    /// [`TwoAxis::flux_of`] at many positions, or the error of the first that has none.
    pub(super) fn fluxes_of(
        &self,
        axis: GimbalAxis,
        angles: &[[f64; 2]],
        chosen: impl Fn(&CarriedMagnets) -> bool + Sync,
    ) -> Result<Vec<f64>> {
        let mut flux = vec![[0.0]; angles.len()];
        let mut valid = vec![true; angles.len()];
        self.shared_out(angles, &mut flux, &mut valid, |turned, flux, valid| {
            self.add_fluxes(axis, turned, &chosen, flux, 0, valid);
        });
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            checked(angles[bad][0], angles[bad][1])?;
            self.flux_of(axis, angles[bad], &chosen)?;
        }
        Ok(flux.into_flattened())
    }

    /// Flux densities at both sensors, and which rows have a value.
    pub(super) fn both_fluxes(&self, angles: &[[f64; 2]]) -> (Vec<[f64; 2]>, Vec<bool>) {
        let mut flux = vec![[0.0; 2]; angles.len()];
        let mut valid = vec![true; angles.len()];
        self.shared_out(angles, &mut flux, &mut valid, |turned, flux, valid| {
            for axis in Self::AXES {
                self.add_fluxes(axis, turned, &|_| true, flux, number(axis), valid);
            }
        });
        (flux, valid)
    }

    /// Calls `work` with stretches of the positions, where there are many on all cores, and marks what is no position.
    /// Work that was stopped leaves values that nobody gets to see.
    fn shared_out<const N: usize>(
        &self,
        angles: &[[f64; 2]],
        flux: &mut [[f64; N]],
        valid: &mut [bool],
        work: impl Fn(&[Turned], &mut [[f64; N]], &mut [bool]) + Sync,
    ) {
        let stretch = |((angles, flux), valid): ((&[[f64; 2]], _), &mut [bool])| {
            let flux: &mut [[f64; N]] = flux;
            work(&Turned::each(angles), flux, valid);
            for ((angles, flux), valid) in angles.iter().zip(flux).zip(valid) {
                *valid &= checked(angles[0], angles[1]).is_ok();
                if !*valid {
                    *flux = [f64::NAN; N];
                }
            }
        };
        let pieces = angles.chunks(STRETCH).zip(flux.chunks_mut(STRETCH));
        let pieces = pieces.zip(valid.chunks_mut(STRETCH));
        if angles.len() > STRETCH {
            parallel::for_each(pieces, stretch);
        } else {
            pieces.for_each(stretch);
        }
    }

    /// Adds to a column of `flux` what the chosen sources give at a sensor, source by source at all positions.
    fn add_fluxes<const N: usize>(
        &self,
        axis: GimbalAxis,
        turned: &[Turned],
        chosen: &impl Fn(&CarriedMagnets) -> bool,
        flux: &mut [[f64; N]],
        column: usize,
        valid: &mut [bool],
    ) {
        let spec = self.spec();
        for carrier in Carrier::ALL {
            let mut sources = spec
                .magnets
                .iter()
                .filter(|source| source.carrier == carrier && chosen(source))
                .peekable();
            if sources.peek().is_none() {
                continue;
            }
            let eye = self.eye(axis, carrier);
            // What the sensor's own carrier holds does not move past it: one look is enough.
            let moving = Self::AXES.into_iter().any(|axis| eye.path().has(axis));
            let looks = if moving { turned } else { &turned[..1] };
            let (points, directions): (Vec<Point3<f64>>, Vec<_>) =
                looks.iter().map(|turned| eye.at(turned)).unzip();
            for source in sources {
                if observer::check().is_err() {
                    return;
                }
                let fields = source.magnets.fields_at(&points);
                if !moving {
                    let still = fields.values[0].dot(&directions[0]);
                    flux.iter_mut().for_each(|row| row[column] += still);
                    valid.iter_mut().for_each(|valid| *valid &= fields.valid[0]);
                    continue;
                }
                let rows = flux.iter_mut().zip(valid.iter_mut());
                let read = fields.values.iter().zip(&directions).zip(&fields.valid);
                for ((row, valid), ((field, direction), has)) in rows.zip(read) {
                    row[column] += field.dot(direction);
                    *valid &= has;
                }
            }
        }
    }
}

/// All pairs of a grid, the outer angle slowest.
pub(super) fn grid(outer: &[f64], inner: &[f64]) -> Vec<[f64; 2]> {
    let row = |&outer: &f64| inner.iter().map(move |&inner| [outer, inner]);
    outer.iter().flat_map(row).collect()
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
