//! The characteristic as a function of the angle, so that a figure stands where the curve has it and not at the nearest
//! sample.
//!
//! What the sensor reads is a smooth function of the angle, so a few dozen readings tell all of it: polynomials in
//! pieces ([`Chebyshev`]), cut until they hold to 1e-11 of the span. Extremes are then followed by successive
//! parabolas, crossings by a bracketed root, and each place found joins the samples.

use std::borrow::Cow;
use std::cell::OnceCell;
use std::f64::consts::PI;

use nalgebra::Vector3;

use crate::axis::grid::{even_angles, fastest_throw, grid_points};
use crate::axis::turns::Turns;
use crate::axis::{Axis, Linearity, linearity::span};
use crate::error::Result;
use crate::hall::Sensor;
use crate::linkage::AnyTransmission;
use crate::magnet::AnySource;
use crate::numeric::chebyshev::Chebyshev;
use crate::numeric::root;
use crate::observer;

/// The widest piece of the curve to begin with, by the turn of the pivot, rad: readings about a degree apart find
/// whatever has the field of a magnet, since its edges are felt beside them too.
const WIDEST_PIECE: f64 = PI / 6.0;
/// Readings of a piece.
const PIECE: usize = 32;
/// Most pieces to begin with.
const MOST_PIECES: usize = 1000;

/// An extreme is followed until a step gains less than this part of the span, or less than this signal, T:
/// rounding leaves about as much.
const GAIN: f64 = 1e-11;
const ROUNDING: f64 = 1e-15;
/// Parabolas per extreme; each gains about half as many digits again, so that four or five do.
const ROUNDS: usize = 12;

/// Pieces of the curve to begin with. A source or a drive of another crate may have any feature: so many readings as
/// there are points find it.
fn first_pieces(axis: &Axis, points: usize) -> usize {
    let [lower, upper] = fastest_throw(axis);
    let spec = axis.spec();
    let foreign = matches!(spec.magnets, AnySource::Custom(_))
        || matches!(spec.drive, AnyTransmission::Custom(_));
    pieces_over([lower, upper], foreign.then_some(points))
}

/// Pieces of what is read over a stretch, rad, to begin with; `points` are asked for of what may have any feature.
pub(super) fn pieces_over([lower, upper]: [f64; 2], points: Option<usize>) -> usize {
    let pieces = ((upper - lower) / WIDEST_PIECE).ceil() as usize;
    let asked = points.map_or(0, |points| points.max(grid_points([lower, upper])) / PIECE);
    pieces.max(asked).clamp(1, MOST_PIECES)
}

/// To what a signal of such a range is told.
pub(super) fn tolerance_of([least, most]: [f64; 2]) -> f64 {
    GAIN * (most - least) + ROUNDING
}

/// The signal over the throw: the function, and samples where it was read, at the center and at every place of
/// interest found so far.
#[derive(Clone)]
pub(super) struct Curve<'a> {
    axis: &'a Axis,
    turns: Option<Turns>,
    smooth: Chebyshev,
    angle: Vec<f64>,
    signal: Vec<f64>,
    /// Between the rails of the sensor, T.
    rails: [f64; 2],
    /// Between the rails and within what the converter reads, T.
    open: [f64; 2],
    /// Angles evenly spaced over the throw, and the values there: asked for again and again.
    even: OnceCell<(Vec<f64>, Vec<f64>)>,
}

impl<'a> Curve<'a> {
    /// The curve with its extremes and with the angles at which it meets a rail or an end of the converter's range. A
    /// source or a drive of another crate is read at `points` angles at least.
    pub(super) fn new(axis: &'a Axis, points: usize) -> Result<Self> {
        let line = axis.sensor().characteristic();
        let rails = line.signals_between(line.limits);
        let input = line.signals_between(axis.converter().input_range());
        let open = [rails[0].max(input[0]), rails[1].min(input[1])];
        let turns = axis.turns()?;
        let smooth = smooth(axis, turns.as_ref(), points)?;
        let (angle, signal) = samples(&smooth);
        let mut curve = Self {
            axis,
            turns,
            smooth,
            angle,
            signal,
            rails,
            open,
            even: OnceCell::new(),
        };
        curve.add(vec![0.0])?;
        curve.follow_extremes()?;
        curve.find_crossings()?;
        Ok(curve)
    }

    /// On which turn an angle sensor reads; none of another sensor.
    pub(super) fn turns(&self) -> Option<&Turns> {
        self.turns.as_ref()
    }

    /// Least and greatest signal, T.
    pub(super) fn signal_range(&self) -> [f64; 2] {
        range(&self.signal)
    }

    /// Where it is known: ascending angles that leave no bend out, and the signals there, T.
    pub(super) fn samples(&self) -> [&[f64]; 2] {
        [&self.angle, &self.signal]
    }

    /// The signal at an angle within the throw, T, by the polynomials.
    pub(super) fn value(&self, angle: f64) -> f64 {
        self.smooth.value(angle)
    }

    /// So many angles evenly spaced over the throw, and the values there.
    pub(super) fn evenly(&self, places: usize) -> Cow<'_, (Vec<f64>, Vec<f64>)> {
        let read = || {
            let angles = even_angles(self.axis.throw(), places);
            let values = angles.iter().map(|angle| self.value(*angle)).collect();
            (angles, values)
        };
        let known = self.even.get_or_init(read);
        if known.0.len() == places {
            Cow::Borrowed(known)
        } else {
            Cow::Owned(read())
        }
    }

    /// How far the signal goes beyond `limits` at most, T.
    pub(super) fn beyond(&self, limits: [f64; 2]) -> f64 {
        let [least, most] = self.signal_range();
        beyond(limits, least).max(beyond(limits, most))
    }

    /// The part of the throw, by angle, over which the signal lies outside `open`.
    pub(super) fn clipped_share(&self) -> f64 {
        let [lower, upper] = self.axis.throw();
        let mut sum = 0.0;
        let mut first = 0;
        for runs in (0..self.angle.len() - 1)
            .collect::<Vec<_>>()
            .chunk_by(|&a, &b| self.is_open(a) == self.is_open(b))
        {
            let last = first + runs.len();
            if !self.is_open(first) {
                sum += self.angle[last] - self.angle[first];
            }
            first = last;
        }
        sum / (upper - lower)
    }

    /// The linearities of the signal over the whole throw.
    pub(super) fn linearity_of_signal(&mut self) -> Result<Option<Linearity>> {
        self.linearity(|signal| signal)
    }

    /// The linearities of the sensor's output over the whole throw, from those of the signal: where a rail holds
    /// it, its departure counts like any other.
    pub(super) fn linearity_of_output(
        &mut self,
        signal: Option<Linearity>,
    ) -> Result<Option<Linearity>> {
        let line = self.axis.sensor().characteristic();
        if self.beyond(self.rails) == 0.0 {
            return Ok(signal.map(|linearity| linearity.through(line.zero, line.gain)));
        }
        self.linearity(|signal| line.held(signal))
    }

    /// `None` where `output` does not change. It follows the signal in proportion, between the rails or
    /// everywhere.
    fn linearity(&mut self, output: impl Fn(f64) -> f64) -> Result<Option<Linearity>> {
        for round in 0.. {
            observer::check()?;
            let y: Vec<f64> = self.signal.iter().map(|&b| output(b)).collect();
            let Some(linearity) = Linearity::of(&self.angle, &y) else {
                return Ok(None);
            };
            let span = span(&y);
            let lines = [
                (linearity.independent_line(), linearity.independent()),
                (linearity.terminal_based_line(), linearity.terminal_based()),
                (linearity.zero_based_line(), linearity.zero_based()),
            ];
            let mut places = Vec::new();
            for (line, largest) in lines {
                let departure = self.angle.iter().zip(&y);
                let departure: Vec<f64> = departure.map(|(&x, y)| y - line.value(x)).collect();
                // Only a departure beyond the largest known one moves the line or the figure.
                let least = (largest + GAIN) * span + ROUNDING;
                let found = vertices(&self.angle, &departure).filter(|v| v.value.abs() > least);
                places.extend(found.map(|v| v.place));
            }
            if places.is_empty() || round == ROUNDS {
                return Ok(Some(linearity));
            }
            self.add(places)?;
        }
        Ok(None)
    }

    /// Change of signal for a change of angle at every sample, T/rad, by the polynomials: to 1e-8 or so of the
    /// greatest.
    pub(super) fn slopes(&self) -> Vec<f64> {
        let slopes = self.angle.iter().map(|&angle| self.smooth.slope(angle));
        slopes.collect()
    }

    /// The slope of least magnitude where the reading follows, T/rad, from the gradient of the field there; 0 if it
    /// changes its sign there, or if the reading follows nowhere.
    pub(super) fn least_slope(&self, slopes: &[f64]) -> Result<f64> {
        let (mut angle, mut slopes) = (self.angle.clone(), slopes.to_vec());
        let mut open = self.open_segments();
        for round in 0.. {
            observer::check()?;
            let there: Vec<f64> = (0..angle.len())
                .filter(|&i| touches(&open, i))
                .map(|i| slopes[i])
                .collect();
            let [least, most] = range(&there);
            if there.is_empty() || least.signum() != most.signum() {
                return Ok(0.0);
            }
            let flattest = least.abs().min(most.abs());
            let enough = GAIN * least.abs().max(most.abs());
            let sign = least.signum();
            let found: Vec<f64> = vertices(&angle, &slopes)
                .filter(|v| sign * v.value < flattest - enough && open[segment(&angle, v.place)])
                .map(|v| v.place)
                .collect();
            if found.is_empty() || round == ROUNDS {
                let at =
                    (0..angle.len()).find(|&i| touches(&open, i) && slopes[i].abs() == flattest);
                let exact = at
                    .map(|i| self.axis.signal_slope_at(angle[i]))
                    .transpose()?;
                return Ok(exact.map_or(flattest, f64::abs));
            }
            for place in found {
                let i = segment(&angle, place);
                slopes.insert(i + 1, self.smooth.slope(place));
                angle.insert(i + 1, place);
                open.insert(i, open[i]);
            }
        }
        Ok(0.0)
    }

    /// What the sensor reads at the center.
    pub(super) fn at_center(&self) -> f64 {
        self.signal[self.angle.partition_point(|&angle| angle < 0.0)]
    }

    /// The greatest angle that a signal is worth, which depends on the field (T, as [`Curve::fields`] has them), where
    /// the reading follows: at a sample.
    pub(super) fn worst_step(
        &self,
        slopes: &[f64],
        fields: &[Vector3<f64>],
        signal: impl Fn(&Vector3<f64>) -> Result<f64>,
    ) -> Result<f64> {
        let open = self.open_segments();
        let mut worst = 0.0_f64;
        for (i, (field, slope)) in fields.iter().zip(slopes).enumerate() {
            if touches(&open, i) {
                worst = worst.max(signal(field)? / slope.abs());
            }
        }
        Ok(worst)
    }

    /// The flux density at an angle sensor in the frame of its package at every sample, T; none of another sensor,
    /// whose figures do not depend on it.
    pub(super) fn fields(&self) -> Result<Vec<Vector3<f64>>> {
        match self.axis.sensor() {
            Sensor::Angle(_) => self.axis.checked_fields_at(&self.angle),
            Sensor::Linear(_) | Sensor::Potentiometer(_) => Ok(Vec::new()),
        }
    }

    /// Least and greatest of such flux densities in the plane of an angle sensor, T; none of another sensor.
    pub(super) fn field_range(&self, fields: &[Vector3<f64>]) -> Option<[f64; 2]> {
        let Sensor::Angle(sensor) = self.axis.sensor() else {
            return None;
        };
        let sizes = fields.iter().map(|field| sensor.in_plane(field));
        Some(range(&sizes.collect::<Vec<_>>()))
    }

    /// How far from the center, either way, the curve keeps the sign of `gain`, its slope there, rad.
    pub(super) fn monotonic_range(&self, slopes: &[f64], gain: f64) -> [f64; 2] {
        if gain == 0.0 {
            return [0.0, 0.0];
        }
        let last = self.angle.len() - 1;
        let center = self.angle.partition_point(|&a| a < 0.0);
        let turns = |i: &usize| slopes[*i] * gain < 0.0;
        // Where the slope cannot be had the bracket's middle stands: its ends are known, a quarter of a degree apart.
        let slope = |angle: f64| self.axis.signal_slope_at(angle).unwrap_or(0.0);
        let zero = |a: usize, b: usize| root::between(slope, self.angle[a], self.angle[b]);
        let lower = (0..center).rev().find(turns).map(|i| zero(i, i + 1));
        let upper = (center + 1..=last).find(turns).map(|i| zero(i - 1, i));
        [
            lower.unwrap_or(self.angle[0]),
            upper.unwrap_or(self.angle[last]),
        ]
    }

    /// Between which samples the reading follows.
    fn open_segments(&self) -> Vec<bool> {
        (0..self.angle.len() - 1).map(|i| self.is_open(i)).collect()
    }

    fn is_open(&self, segment: usize) -> bool {
        let beyond = |i: usize| beyond(self.open, self.signal[i]);
        beyond(segment).max(beyond(segment + 1)) == 0.0
    }

    fn add(&mut self, mut places: Vec<f64>) -> Result<()> {
        places.sort_by(f64::total_cmp);
        places.dedup();
        for place in places {
            let signal = self.axis.signal_at(place)?;
            let turns = self.turns.as_ref();
            self.add_known(
                place,
                turns.map_or(signal, |turns| turns.unwrapped([place, 0.0], signal)),
            );
        }
        Ok(())
    }

    fn add_known(&mut self, place: f64, signal: f64) {
        let next = self.angle.partition_point(|&a| a < place);
        if self.angle.get(next) == Some(&place) {
            self.signal[next] = signal;
        } else {
            self.angle.insert(next, place);
            self.signal.insert(next, signal);
        }
    }

    fn follow_extremes(&mut self) -> Result<()> {
        for _ in 0..ROUNDS {
            observer::check()?;
            let enough = GAIN * span(&self.signal) + ROUNDING;
            let found: Vec<f64> = vertices(&self.angle, &self.signal)
                .filter(|v| v.gain > enough)
                .map(|v| v.place)
                .collect();
            if found.is_empty() {
                break;
            }
            self.add(found)?;
        }
        Ok(())
    }

    /// Adds the angles at which the signal meets a rail or an end of the converter's range, with exactly that
    /// signal.
    fn find_crossings(&mut self) -> Result<()> {
        let mut found = Vec::new();
        for limit in [self.rails, self.open].concat() {
            observer::check()?;
            for (angle, signal) in self.angle.windows(2).zip(self.signal.windows(2)) {
                if (signal[0] - limit) * (signal[1] - limit) < 0.0 {
                    let over = |angle: f64| self.smooth.value(angle) - limit;
                    found.push((root::between(over, angle[0], angle[1]), limit));
                }
            }
        }
        for (place, limit) in found {
            self.add_known(place, limit);
        }
        Ok(())
    }
}

/// The signal over the throw as a function.
fn smooth(axis: &Axis, turns: Option<&Turns>, points: usize) -> Result<Chebyshev> {
    let read = |angles: &[f64]| {
        let mut signal = axis.checked_signals_at(angles)?;
        if let Some(turns) = turns {
            for (signal, angle) in signal.iter_mut().zip(angles) {
                *signal = turns.unwrapped([*angle, 0.0], *signal);
            }
        }
        Ok(signal)
    };
    Chebyshev::of(axis.throw(), first_pieces(axis, points), tolerance_of, read)
}

/// Where the function was taken, and midway between.
pub(super) fn samples(smooth: &Chebyshev) -> (Vec<f64>, Vec<f64>) {
    let (places, values) = smooth.nodes();
    let mut angle = Vec::with_capacity(2 * places.len());
    let mut signal = Vec::with_capacity(2 * places.len());
    for (i, (place, value)) in places.iter().zip(&values).enumerate() {
        angle.push(*place);
        signal.push(*value);
        if let Some(next) = places.get(i + 1) {
            let middle = 0.5 * (place + next);
            if *place < middle && middle < *next {
                angle.push(middle);
                signal.push(smooth.value(middle));
            }
        }
    }
    (angle, signal)
}

/// Whether a sample is an end of a segment that is open.
fn touches(open: &[bool], sample: usize) -> bool {
    let at = |segment: usize| open.get(segment).is_some_and(|open| *open);
    at(sample) || sample.checked_sub(1).is_some_and(at)
}

/// The segment of ascending samples that holds a place between the first and the last.
fn segment(angle: &[f64], place: f64) -> usize {
    let next = angle.partition_point(|&a| a <= place);
    next.clamp(1, angle.len() - 1) - 1
}

pub(super) fn range(values: &[f64]) -> [f64; 2] {
    let all = values.iter();
    all.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], &v| {
        [least.min(v), most.max(v)]
    })
}

fn beyond([low, high]: [f64; 2], value: f64) -> f64 {
    (low - value).max(value - high).max(0.0)
}

/// A place and the value of a function there.
#[derive(Clone, Copy)]
pub(super) struct Spot {
    pub(super) place: f64,
    pub(super) value: f64,
}

/// The least of a function over ascending places `x`, given its values `y` there (at least one), with its place: local
/// minima that may lie lower than all of them are followed by parabolas.
pub(super) fn least(x: &[f64], y: &[f64], value: impl Fn(f64) -> Result<f64>) -> Result<Spot> {
    observer::check()?;
    let mut best = Spot {
        place: f64::NAN,
        value: f64::INFINITY,
    };
    for (&place, &value) in x.iter().zip(y) {
        if value < best.value {
            best = Spot { place, value };
        }
    }
    let [lowest, most] = range(y);
    let enough = GAIN * (most - lowest);
    let count = x.len().min(y.len());
    for i in 1..count.saturating_sub(1) {
        if vertex(&x[i - 1..=i + 1], &y[i - 1..=i + 1]).is_none_or(|v| v.value >= lowest - enough) {
            continue;
        }
        observer::check()?;
        // With what lies beside it: a new place may make a local minimum of either neighbor.
        let around = i.saturating_sub(2)..(i + 3).min(count);
        let (mut x, mut y) = (x[around.clone()].to_vec(), y[around].to_vec());
        for _ in 0..ROUNDS {
            let lower = vertices(&x, &y).filter(|v| v.value < best.value - enough);
            let Some(found) = lower.min_by(|a, b| a.value.total_cmp(&b.value)) else {
                break;
            };
            let there = value(found.place)?;
            if there < best.value {
                best = Spot {
                    place: found.place,
                    value: there,
                };
            }
            let next = segment(&x, found.place) + 1;
            y.insert(next, there);
            x.insert(next, found.place);
        }
    }
    Ok(best)
}

/// Where the parabola through a sample and its neighbors turns, the sample being a local extreme.
struct Vertex {
    place: f64,
    value: f64,
    /// How far the parabola goes beyond the sample.
    gain: f64,
}

fn vertices(x: &[f64], y: &[f64]) -> impl Iterator<Item = Vertex> {
    let triples = x.windows(3).zip(y.windows(3));
    triples.filter_map(|(x, y)| vertex(x, y))
}

fn vertex(x: &[f64], y: &[f64]) -> Option<Vertex> {
    let (before, after) = (y[1] - y[0], y[2] - y[1]);
    if before * after > 0.0 || before == after {
        return None;
    }
    let (s0, s1) = (before / (x[1] - x[0]), after / (x[2] - x[1]));
    let curvature = (s1 - s0) / (x[2] - x[0]);
    let place = 0.5 * (x[0] + x[1]) - 0.5 * s0 / curvature;
    let value = y[0] + (place - x[0]) * (s0 + curvature * (place - x[1]));
    // A place that rounds onto a sample tells nothing new.
    (x[0] < place && place < x[2] && place != x[1]).then_some(Vertex {
        place,
        value,
        gain: (value - y[1]).abs(),
    })
}

#[cfg(test)]
#[path = "curve_tests.rs"]
mod tests;
