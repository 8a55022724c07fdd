//! What each sensor of a stick makes its output from, by both angles: its place among the magnets of every carrier.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, SVector, UnitQuaternion, Vector3};

use crate::axis::channel::{Channel, Marked, PACKAGE};
use crate::axis::grid::even_angles;
use crate::axis::passing::{Eye, Passing};
use crate::axis::stick::motion::{Path, Turned, Way};
use crate::axis::stick::two_axis::{CarriedMagnets, TwoAxis, checked, number};
use crate::axis::turns::Turns;
use crate::error::Result;
use crate::hall::{NoiseBudget, Sensor};
use crate::linkage::GimbalAxis;
use crate::magnet::AnySource;
use crate::observer;
use crate::parallel;
use crate::units::DEG;

/// Pairs of angles that are worked on at a time: some milliseconds with a few magnets, and they stay in the cache.
const STRETCH: usize = 4096;
/// The coarsest grid that tells on which turn an angle sensor reads: the angle would have to go by half a turn on a
/// step of this, rad.
const TURN_STEP: f64 = 2.0 * DEG;
const TURN_POINTS: usize = 9;

/// A sensor of a stick that goes past one of the sources of field.
struct Past<'a> {
    two: &'a TwoAxis,
    axis: GimbalAxis,
    magnets: &'a CarriedMagnets,
    /// All that is read follows the remanence.
    share: f64,
    path: Path,
}

impl Past<'_> {
    fn way<const N: usize>(&self, point: &Point3<f64>, directions: &[Vector3<f64>; N]) -> Way<N> {
        let pose = &self.two.spec().sensor(self.axis).pose;
        let neutral = Eye {
            point: pose * point,
            directions: directions.map(|direction| pose * direction),
        };
        Way::new(self.path, &self.two.spec().gimbal, neutral)
    }

    fn reading<const N: usize>(
        &self,
        point: &Point3<f64>,
        directions: &[Vector3<f64>; N],
    ) -> Way<N> {
        self.way(point, &directions.map(|direction| direction * self.share))
    }

    /// The positions at which it has to be read, and for each of many which of them is its own: one that stands before
    /// the source as the position before does reads the same.
    fn looks(&self, turned: &[Turned]) -> (Vec<Turned>, Vec<usize>) {
        let mut looks: Vec<Turned> = Vec::new();
        let mut which = Vec::with_capacity(turned.len());
        for position in turned {
            if looks
                .last()
                .is_none_or(|last| !self.path.is_alike(last, position))
            {
                looks.push(*position);
            }
            which.push(looks.len() - 1);
        }
        (looks, which)
    }
}

impl Passing for Past<'_> {
    type At = Turned;

    fn channel(&self) -> &Channel {
        self.two.channel(self.axis)
    }

    fn source(&self) -> &AnySource {
        &self.magnets.magnets
    }

    fn check(&self, _: Turned) -> Result<()> {
        Ok(())
    }

    fn package_at(&self, turned: Turned) -> Isometry3<f64> {
        let package = self.way(&Point3::origin(), &PACKAGE.map(|axis| axis()));
        let Eye { point, directions } = package.at(&turned);
        let rotation = Rotation3::from_matrix_unchecked(Matrix3::from_columns(&directions));
        Isometry3::from_parts(
            point.coords.into(),
            UnitQuaternion::from_rotation_matrix(&rotation),
        )
    }

    fn eyes_of_a_point(&self) -> usize {
        1
    }

    fn eyes_at<const N: usize>(
        &self,
        turned: Turned,
        point: &Point3<f64>,
        directions: &[Vector3<f64>; N],
    ) -> impl Iterator<Item = Eye<N>> {
        std::iter::once(self.reading(point, directions).at(&turned))
    }

    fn eyes<const N: usize>(
        &self,
        turned: &[Turned],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Vec<Eye<N>> {
        let ways = points.iter().map(|point| self.reading(point, directions));
        let ways: Vec<_> = ways.collect();
        let mut eyes = Vec::with_capacity(turned.len() * ways.len());
        for turned in turned {
            eyes.extend(ways.iter().map(|way| way.at(turned)));
        }
        eyes
    }
}

impl TwoAxis {
    /// Flux density at both sensors at an outer and an inner angle (rad), each in the frame of its package, T; the mean
    /// over an active area.
    ///
    /// # Errors
    /// As [`TwoAxis::flux_at`], of any sensor.
    pub fn field_at(&self, outer: f64, inner: f64) -> Result<[Vector3<f64>; 2]> {
        let angles = checked(outer, inner)?;
        let [outer, inner] = Self::AXES.map(|axis| self.field_of(axis, angles));
        Ok([outer?, inner?])
    }

    pub(super) fn field_of(&self, axis: GimbalAxis, angles: [f64; 2]) -> Result<Vector3<f64>> {
        let axes = PACKAGE.map(|axis| axis());
        self.flux_along(axis, Turned::of(angles), &axes, &|_| true)
    }

    /// The noise of both readings at an outer and an inner angle (rad), behind filter, converter and averaging,
    /// referred to the converter's input: V, or rad of a digital angle sensor.
    ///
    /// # Errors
    /// As [`SignalChain::noise`](crate::hall::SignalChain::noise); of an angle sensor as [`TwoAxis::field_at`], and
    /// where the angle is all noise.
    pub fn noise_at(&self, outer: f64, inner: f64) -> Result<[NoiseBudget; 2]> {
        let angles = checked(outer, inner)?;
        let [outer, inner] = Self::AXES.map(|axis| {
            let channel = self.channel(axis);
            let field = match channel.sensor() {
                Sensor::Angle(_) => self.field_of(axis, angles)?,
                Sensor::Linear(_) | Sensor::Potentiometer(_) => Vector3::zeros(),
            };
            channel.noise(channel.noise_in(&field)?)
        });
        Ok([outer?, inner?])
    }

    /// A sensor past each of the sources that are chosen.
    fn past(
        &self,
        axis: GimbalAxis,
        chosen: &impl Fn(&CarriedMagnets) -> bool,
    ) -> impl Iterator<Item = Past<'_>> {
        let on = self.spec().sensor(axis).carrier;
        let sources = self.spec().magnets.iter().zip(self.shares());
        let sources = sources.filter(|(magnets, _)| chosen(magnets));
        sources.map(move |(magnets, &share)| Past {
            two: self,
            axis,
            magnets,
            share,
            path: Path::new(on, magnets.carrier),
        })
    }

    fn flux_along<const N: usize>(
        &self,
        axis: GimbalAxis,
        turned: Turned,
        directions: &[Vector3<f64>; N],
        chosen: &impl Fn(&CarriedMagnets) -> bool,
    ) -> Result<SVector<f64, N>> {
        let mut flux = SVector::zeros();
        for past in self.past(axis, chosen) {
            flux += past.flux_along(turned, directions)?;
        }
        Ok(flux)
    }

    /// [`TwoAxis::flux_along`] at many positions, source by source.
    pub(super) fn fluxes_along<const N: usize>(
        &self,
        axis: GimbalAxis,
        turned: &[Turned],
        directions: &[Vector3<f64>; N],
        chosen: &impl Fn(&CarriedMagnets) -> bool,
    ) -> Marked<SVector<f64, N>> {
        let mut flux = vec![SVector::zeros(); turned.len()];
        let mut valid = vec![true; turned.len()];
        for past in self.past(axis, chosen) {
            if observer::check().is_err() {
                break;
            }
            let (looks, which) = past.looks(turned);
            let (read, has) = past.fluxes_along(&looks, directions);
            for ((flux, valid), &look) in flux.iter_mut().zip(&mut valid).zip(&which) {
                match read.get(look).zip(has.get(look)) {
                    Some((read, has)) => {
                        *flux += read;
                        *valid &= has;
                    }
                    None => *valid = false,
                }
            }
        }
        (flux, valid)
    }

    /// What a sensor makes its output from at a position, by those of the sources that are chosen: the flux density
    /// along its direction, T; the angle that it reads, rad, -pi to pi; the output of a potentiometer, V.
    pub(super) fn signal_of(
        &self,
        axis: GimbalAxis,
        angles: [f64; 2],
        chosen: impl Fn(&CarriedMagnets) -> bool,
    ) -> Result<f64> {
        let turned = Turned::of(angles);
        self.channel(axis).signal(
            angles[number(axis)],
            |direction| self.flux_along(axis, turned, direction, &chosen),
            |axes| self.flux_along(axis, turned, axes, &chosen),
        )
    }

    /// [`TwoAxis::signal_of`] at many positions, or the error of the first that has none.
    pub(super) fn signals_of(
        &self,
        axis: GimbalAxis,
        angles: &[[f64; 2]],
        chosen: impl Fn(&CarriedMagnets) -> bool + Sync,
    ) -> Result<Vec<f64>> {
        let mut signal = vec![[0.0]; angles.len()];
        let mut valid = vec![true; angles.len()];
        self.shared_out(angles, &mut signal, &mut valid, |angles, turned| {
            [self.stretch_of(axis, angles, turned, &chosen)]
        });
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            checked(angles[bad][0], angles[bad][1])?;
            self.signal_of(axis, angles[bad], &chosen)?;
        }
        Ok(signal.into_flattened())
    }

    /// What a sensor makes its output from by all sources, an angle on its turn.
    pub(super) fn signal_at(&self, axis: GimbalAxis, angles: [f64; 2]) -> Result<f64> {
        let signal = self.signal_of(axis, angles, |_| true)?;
        Ok(self.on_its_turn(axis, angles, signal))
    }

    pub(super) fn on_its_turn(&self, axis: GimbalAxis, angles: [f64; 2], signal: f64) -> f64 {
        let turns = self.turns(axis);
        turns.map_or(signal, |turns| turns.unwrapped(angles, signal))
    }

    /// Both of [`TwoAxis::signal_at`] at many positions, and which rows have them.
    pub(super) fn both_signals(&self, angles: &[[f64; 2]]) -> Marked<[f64; 2]> {
        let mut signal = vec![[0.0; 2]; angles.len()];
        let mut valid = vec![true; angles.len()];
        self.shared_out(angles, &mut signal, &mut valid, |angles, turned| {
            Self::AXES.map(|axis| {
                let (mut signal, valid) = self.stretch_of(axis, angles, turned, &|_| true);
                if self.turns(axis).is_some() {
                    for (signal, angles) in signal.iter_mut().zip(angles) {
                        *signal = self.on_its_turn(axis, *angles, *signal);
                    }
                }
                (signal, valid)
            })
        });
        (signal, valid)
    }

    fn stretch_of(
        &self,
        axis: GimbalAxis,
        angles: &[[f64; 2]],
        turned: &[Turned],
        chosen: &impl Fn(&CarriedMagnets) -> bool,
    ) -> Marked<f64> {
        self.channel(axis).signals(
            angles.iter().map(|pair| pair[number(axis)]),
            |direction| self.fluxes_along(axis, turned, direction, chosen),
            |axes| self.fluxes_along(axis, turned, axes, chosen),
        )
    }

    /// Calls `work` with stretches of the positions, where there are many on all cores, and marks what is no position.
    /// Work that was stopped leaves values that nobody gets to see.
    fn shared_out<const N: usize>(
        &self,
        angles: &[[f64; 2]],
        signal: &mut [[f64; N]],
        valid: &mut [bool],
        work: impl Fn(&[[f64; 2]], &[Turned]) -> [Marked<f64>; N] + Sync,
    ) {
        let stretch = |((angles, signal), valid): ((&[[f64; 2]], _), &mut [bool])| {
            let signal: &mut [[f64; N]] = signal;
            let columns = work(angles, &Turned::each(angles));
            for (column, (read, has)) in columns.iter().enumerate() {
                let rows = signal.iter_mut().zip(valid.iter_mut());
                for ((row, valid), (read, has)) in rows.zip(read.iter().zip(has)) {
                    row[column] = *read;
                    *valid &= has;
                }
            }
            for ((angles, signal), valid) in angles.iter().zip(signal).zip(valid) {
                *valid &= checked(angles[0], angles[1]).is_ok();
                if !*valid {
                    *signal = [f64::NAN; N];
                }
            }
        };
        let pieces = angles.chunks(STRETCH).zip(signal.chunks_mut(STRETCH));
        let pieces = pieces.zip(valid.chunks_mut(STRETCH));
        if angles.len() > STRETCH {
            parallel::for_each(pieces, stretch);
        } else {
            pieces.for_each(stretch);
        }
    }

    /// On which turn the sensor of an axis reads over the travel, if it is an angle sensor.
    pub(super) fn turns_of(&self, axis: GimbalAxis) -> Result<Option<Turns>> {
        if !matches!(self.channel(axis).sensor(), Sensor::Angle(_)) {
            return Ok(None);
        }
        let lines = self.travel().map(|[low, high]| {
            let steps = ((high - low) / TURN_STEP).ceil() as usize;
            even_angles([low, high], TURN_POINTS.max(steps + 1))
        });
        let pairs = grid(&lines[0], &lines[1]);
        let (signal, _) = self.stretch_of(axis, &pairs, &Turned::each(&pairs), &|_| true);
        observer::check()?;
        Ok(Some(Turns::new(lines, signal)))
    }
}

/// All pairs of a grid, the outer angle slowest.
pub(super) fn grid(outer: &[f64], inner: &[f64]) -> Vec<[f64; 2]> {
    let row = |&outer: &f64| inner.iter().map(move |&inner| [outer, inner]);
    outer.iter().flat_map(row).collect()
}
