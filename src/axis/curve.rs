//! The characteristic as a function of the angle, so that a figure stands where the curve has it and not at the nearest
//! sample.
//!
//! What the sensor reads is a smooth function of the angle, so a few dozen readings tell all of it: polynomials in
//! pieces ([`Chebyshev`]), cut until they hold to 1e-11 of the span. Extremes are then followed by successive parabolas,
//! crossings by a bracketed root, and each place found joins the samples.

use std::f64::consts::PI;

use crate::axis::{Axis, Linearity, linearity::span};
use crate::error::Result;
use crate::linkage::{AnyTransmission, Transmission};
use crate::magnet::AnySource;
use crate::numeric::chebyshev::Chebyshev;
use crate::numeric::root;
use crate::observer;
use crate::units::DEG;

/// The coarsest grid: so many points, and a step of no more than this, rad. A quarter of a degree is a quarter of a
/// millimetre on an arm of 60 mm, less than the width of any feature of the field at a gap that can be printed.
const LEAST_POINTS: usize = 65;
const WIDEST_STEP: f64 = 0.25 * DEG;

/// The widest piece of the curve to begin with, by the turn of the pivot, rad: readings about a degree apart find
/// whatever has the field of a magnet, since its edges are felt beside them too.
const WIDEST_PIECE: f64 = PI / 6.0;
/// Readings of a piece.
const PIECE: usize = 32;
/// Most pieces to begin with.
const MOST_PIECES: usize = 1000;

/// An extreme is followed until a step gains less than this part of the span, or less than this flux density, T:
/// rounding leaves about as much.
const GAIN: f64 = 1e-11;
const ROUNDING: f64 = 1e-15;
/// Parabolas per extreme; each gains about half as many digits again, so that four or five do.
const ROUNDS: usize = 12;

/// Number of points that a grid over a throw needs.
fn grid_points([lower, upper]: [f64; 2]) -> usize {
    let steps = ((upper - lower) / WIDEST_STEP).ceil() as usize;
    LEAST_POINTS.max(steps + 1)
}

/// Most points of a grid that a drive with a great ratio may ask for: beside a lock it would ask for any number.
const MOST_POINTS: usize = 100_000;

/// The throw by the fastest turn of the pivot at the sensor that it makes.
fn fastest_throw(axis: &Axis) -> [f64; 2] {
    let throw = axis.throw();
    if axis.spec().drive == AnyTransmission::Identity {
        return throw;
    }
    let driven = axis
        .spec()
        .drive
        .transfers(&even_angles(throw, LEAST_POINTS));
    let ratios = driven.ratios.into_iter().filter(|ratio| ratio.is_finite());
    let fastest = ratios.map(f64::abs).fold(0.0, f64::max);
    throw.map(|angle| angle * fastest)
}

/// The grid over the throw of an axis: no step turns the pivot at the sensor farther than the widest one.
pub(super) fn grid_angles(axis: &Axis) -> Vec<f64> {
    let needed = grid_points(fastest_throw(axis));
    even_angles(axis.throw(), needed.min(MOST_POINTS))
}

/// Pieces of the curve to begin with. A source or a drive of another crate may have any feature: so many readings as
/// there are points find it.
fn first_pieces(axis: &Axis, points: usize) -> usize {
    let [lower, upper] = fastest_throw(axis);
    let pieces = ((upper - lower) / WIDEST_PIECE).ceil() as usize;
    let spec = axis.spec();
    let foreign = matches!(spec.magnets, AnySource::Custom(_))
        || matches!(spec.drive, AnyTransmission::Custom(_));
    let asked = if foreign {
        points.max(grid_points([lower, upper])) / PIECE
    } else {
        0
    };
    pieces.max(asked).clamp(1, MOST_PIECES)
}

/// Evenly spaced, both ends exact.
pub(super) fn even_angles([lower, upper]: [f64; 2], points: usize) -> Vec<f64> {
    let last = (points - 1) as f64;
    let angle = |i: usize| {
        let part = i as f64 / last;
        // Weighted from both ends, so that a symmetric throw gives angles that are symmetric to the last bit.
        lower * (1.0 - part) + upper * part
    };
    (0..points).map(angle).collect()
}

/// Flux density over the throw: the function, and samples where it was read, at the center and at every place of
/// interest found so far.
pub(super) struct Curve<'a> {
    axis: &'a Axis,
    smooth: Chebyshev,
    angle: Vec<f64>,
    flux: Vec<f64>,
    /// Between the rails of the sensor, T.
    rails: [f64; 2],
    /// Between the rails and within what the converter reads, T.
    open: [f64; 2],
}

impl<'a> Curve<'a> {
    /// The curve with its extremes and with the angles at which it meets a rail or an end of the converter's range. A
    /// source or a drive of another crate is read at `points` angles at least.
    pub(super) fn new(axis: &'a Axis, points: usize) -> Result<Self> {
        let line = axis.spec().sensor.characteristic();
        let rails = line.signals_between(line.limits);
        let input = line.signals_between(axis.spec().converter.input_range());
        let open = [rails[0].max(input[0]), rails[1].min(input[1])];
        let smooth = smooth(axis, points)?;
        let (angle, flux) = samples(&smooth);
        let mut curve = Self {
            axis,
            smooth,
            angle,
            flux,
            rails,
            open,
        };
        curve.add(vec![0.0])?;
        curve.follow_extremes()?;
        curve.find_crossings()?;
        Ok(curve)
    }

    /// Least and greatest flux density, T.
    pub(super) fn flux_range(&self) -> [f64; 2] {
        range(&self.flux)
    }

    /// How far the flux density goes beyond `limits` at most, T.
    pub(super) fn beyond(&self, limits: [f64; 2]) -> f64 {
        let [least, most] = self.flux_range();
        beyond(limits, least).max(beyond(limits, most))
    }

    /// The part of the throw, by angle, over which the flux density lies outside `open`.
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

    /// The linearities of the flux density over the whole throw.
    pub(super) fn linearity_flux(&mut self) -> Result<Option<Linearity>> {
        self.linearity(|flux| flux)
    }

    /// The linearities of the sensor's output over the whole throw, from those of the flux density: where a rail holds
    /// it, its departure counts like any other.
    pub(super) fn linearity_volts(&mut self, flux: Option<Linearity>) -> Result<Option<Linearity>> {
        let line = self.axis.spec().sensor.characteristic();
        if self.beyond(self.rails) == 0.0 {
            return Ok(flux.map(|linearity| linearity.through(line.zero, line.gain)));
        }
        self.linearity(|flux| line.held(flux))
    }

    /// `None` where `output` does not change. It follows the flux density in proportion, between the rails or
    /// everywhere.
    fn linearity(&mut self, output: impl Fn(f64) -> f64) -> Result<Option<Linearity>> {
        for round in 0.. {
            observer::check()?;
            let y: Vec<f64> = self.flux.iter().map(|&b| output(b)).collect();
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

    /// Change of flux density for a change of angle at every sample, T/rad, by the polynomials: to 1e-8 or so of the
    /// greatest.
    pub(super) fn slopes(&self) -> Vec<f64> {
        let slopes = self.angle.iter().map(|&angle| self.smooth.slope(angle));
        slopes.collect()
    }

    /// The slope of least magnitude where the reading follows, T/rad, from the gradient of the field there; 0 if it changes its sign there, or if the reading
    /// follows nowhere.
    pub(super) fn least_slope(&self, slopes: &[f64]) -> Result<f64> {
        let (mut angle, mut slopes) = (self.angle.clone(), slopes.to_vec());
        let mut open: Vec<bool> = (0..angle.len() - 1).map(|i| self.is_open(i)).collect();
        for round in 0.. {
            observer::check()?;
            let touches = |i: usize| (i > 0 && open[i - 1]) || (i < open.len() && open[i]);
            let there: Vec<f64> = (0..angle.len())
                .filter(|&i| touches(i))
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
                let at = (0..angle.len()).find(|&i| touches(i) && slopes[i].abs() == flattest);
                let exact = at.map(|i| self.axis.flux_slope_at(angle[i])).transpose()?;
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

    /// How far from the center, either way, the curve keeps the sign of `gain`, its slope there, rad.
    pub(super) fn monotonic_range(&self, slopes: &[f64], gain: f64) -> [f64; 2] {
        if gain == 0.0 {
            return [0.0, 0.0];
        }
        let last = self.angle.len() - 1;
        let center = self.angle.partition_point(|&a| a < 0.0);
        let turns = |i: &usize| slopes[*i] * gain < 0.0;
        // Where the slope cannot be had the bracket's middle stands: its ends are known, a quarter of a degree apart.
        let slope = |angle: f64| self.axis.flux_slope_at(angle).unwrap_or(0.0);
        let zero = |a: usize, b: usize| root::between(slope, self.angle[a], self.angle[b]);
        let lower = (0..center).rev().find(turns).map(|i| zero(i, i + 1));
        let upper = (center + 1..=last).find(turns).map(|i| zero(i - 1, i));
        [
            lower.unwrap_or(self.angle[0]),
            upper.unwrap_or(self.angle[last]),
        ]
    }

    fn is_open(&self, segment: usize) -> bool {
        let beyond = |i: usize| beyond(self.open, self.flux[i]);
        beyond(segment).max(beyond(segment + 1)) == 0.0
    }

    fn add(&mut self, mut places: Vec<f64>) -> Result<()> {
        places.sort_by(f64::total_cmp);
        places.dedup();
        for place in places {
            let flux = self.axis.flux_at(place)?;
            self.add_known(place, flux);
        }
        Ok(())
    }

    fn add_known(&mut self, place: f64, flux: f64) {
        let next = self.angle.partition_point(|&a| a < place);
        if self.angle.get(next) == Some(&place) {
            self.flux[next] = flux;
        } else {
            self.angle.insert(next, place);
            self.flux.insert(next, flux);
        }
    }

    fn follow_extremes(&mut self) -> Result<()> {
        for _ in 0..ROUNDS {
            observer::check()?;
            let enough = GAIN * span(&self.flux) + ROUNDING;
            let found: Vec<f64> = vertices(&self.angle, &self.flux)
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

    /// Adds the angles at which the flux density meets a rail or an end of the converter's range, with exactly that
    /// flux density.
    fn find_crossings(&mut self) -> Result<()> {
        let mut found = Vec::new();
        for limit in [self.rails, self.open].concat() {
            observer::check()?;
            for (angle, flux) in self.angle.windows(2).zip(self.flux.windows(2)) {
                if (flux[0] - limit) * (flux[1] - limit) < 0.0 {
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

/// The flux density over the throw as a function.
fn smooth(axis: &Axis, points: usize) -> Result<Chebyshev> {
    let tolerance = |[least, most]: [f64; 2]| GAIN * (most - least) + ROUNDING;
    let read = |angles: &[f64]| axis.checked_fluxes_at(angles);
    Chebyshev::of(axis.throw(), first_pieces(axis, points), tolerance, read)
}

/// Where the function was taken, and midway between.
fn samples(smooth: &Chebyshev) -> (Vec<f64>, Vec<f64>) {
    let (places, values) = smooth.nodes();
    let mut angle = Vec::with_capacity(2 * places.len());
    let mut flux = Vec::with_capacity(2 * places.len());
    for (i, (place, value)) in places.iter().zip(&values).enumerate() {
        angle.push(*place);
        flux.push(*value);
        if let Some(next) = places.get(i + 1) {
            let middle = 0.5 * (place + next);
            if *place < middle && middle < *next {
                angle.push(middle);
                flux.push(smooth.value(middle));
            }
        }
    }
    (angle, flux)
}

/// The segment of ascending samples that holds a place between the first and the last.
fn segment(angle: &[f64], place: f64) -> usize {
    let next = angle.partition_point(|&a| a <= place);
    next.clamp(1, angle.len() - 1) - 1
}

fn range(values: &[f64]) -> [f64; 2] {
    let all = values.iter();
    all.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], &v| {
        [least.min(v), most.max(v)]
    })
}

fn beyond([low, high]: [f64; 2], value: f64) -> f64 {
    (low - value).max(value - high).max(0.0)
}

/// The least of a function over ascending places `x`, given its values `y` there: local minima are followed by
/// parabolas.
pub(super) fn least(
    mut x: Vec<f64>,
    mut y: Vec<f64>,
    value: impl Fn(f64) -> Result<f64>,
) -> Result<f64> {
    for round in 0.. {
        observer::check()?;
        let [least, most] = range(&y);
        let enough = GAIN * (most - least);
        let found = vertices(&x, &y).filter(|v| v.value < least - enough);
        let found: Vec<f64> = found.map(|v| v.place).collect();
        if found.is_empty() || round == ROUNDS {
            return Ok(least);
        }
        for place in found {
            let next = segment(&x, place) + 1;
            y.insert(next, value(place)?);
            x.insert(next, place);
        }
    }
    Ok(f64::NAN)
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
    triples.filter_map(|(x, y)| {
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
    })
}

#[cfg(test)]
#[path = "curve_tests.rs"]
mod tests;
