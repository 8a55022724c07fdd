//! The position that a calibrated reading tells, as the characteristic itself gives it.

use std::f64::consts::TAU;

use crate::axis::Axis;
use crate::axis::curve::{Curve, least, range};
use crate::axis::grid::even_angles;
use crate::error::{Error, Result};
use crate::hall::Sensor;
use crate::hall::characteristic::Characteristic;
use crate::numeric::root;
use crate::observer;

/// Angles of the throw at which readings of two curves are compared at least; between them extremes are followed.
const PLACES: usize = 513;
/// Such angles for each step of a calibration table, between whose points the departure is an arch.
const PLACES_PER_STEP: usize = 8;
/// Places nearer to each other, as a share of the throw, are one.
const SAME: f64 = 1e-12;
/// A gain that is less than this part of the output's range for a radian is rounding.
const NO_GAIN: f64 = 1e-12;

/// What comes out of the sensor, in the unit of the converter's input, by the angle.
pub(super) struct Output<'a> {
    curve: &'a Curve<'a>,
    line: Characteristic,
    /// What the signal is multiplied by: the magnets may be weaker.
    scale: f64,
    /// Whole turns by which the signal of an angle sensor is told apart from another.
    shift: f64,
    /// What the converter takes the output for, as a share of it: its reference may be off.
    share: f64,
    input: [f64; 2],
}

impl<'a> Output<'a> {
    /// Of an axis, by its curve.
    pub(super) fn new(axis: &Axis, curve: &'a Curve<'a>) -> Self {
        Self {
            curve,
            line: axis.sensor().characteristic(),
            scale: 1.0,
            shift: 0.0,
            share: 1.0,
            input: axis.converter().input_range(),
        }
    }

    /// The same signal by the characteristic of another sensor, whose output the converter takes for a `share` of it.
    pub(super) fn through(&self, line: Characteristic, share: f64) -> Self {
        Self {
            line,
            share,
            ..*self
        }
    }

    /// With a signal of so many times the size.
    pub(super) fn scaled(&self, scale: f64) -> Self {
        Self {
            scale: scale * self.scale,
            ..*self
        }
    }

    /// On the turn of another, if an angle sensor reads it.
    pub(super) fn on_turn_of(self, other: &Self, axis: &Axis) -> Self {
        if !matches!(axis.sensor(), Sensor::Angle(_)) {
            return self;
        }
        let turns = (other.curve.at_center() - self.curve.at_center()) / TAU;
        Self {
            shift: TAU * turns.round(),
            ..self
        }
    }

    /// Whether it is the very same output, of the same curve.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        std::ptr::eq(self.curve, other.curve)
            && self.line == other.line
            && [self.scale, self.shift, self.share] == [other.scale, other.shift, other.share]
    }

    fn at(&self, angle: f64) -> f64 {
        self.of(self.signal(angle))
    }

    /// What comes of a signal.
    fn of(&self, signal: f64) -> f64 {
        let [least, most] = self.input;
        (self.share * self.line.held(signal)).clamp(least, most)
    }

    fn signal(&self, angle: f64) -> f64 {
        self.signal_of(self.curve.value(angle))
    }

    /// The signal for what the curve has.
    fn signal_of(&self, value: f64) -> f64 {
        self.scale * value + self.shift
    }

    /// The signals at which the output begins to stand still.
    fn ends(&self) -> [f64; 4] {
        let [low, high] = self.line.limits.map(|end| self.line.signal_for(end));
        let [least, most] = self.input.map(|end| self.line.signal_for(end / self.share));
        [low, high, least, most]
    }
}

/// From outputs to positions: straight between points, and on along the outer pieces beyond them, so that no drift is
/// hidden by holding the position at the end of travel.
pub(super) struct PositionTable {
    /// Of the outputs, so that they ascend.
    sign: f64,
    outputs: Vec<f64>,
    angles: Vec<f64>,
}

impl PositionTable {
    /// Through the tangent at the center, as the design says it.
    pub(super) fn tangent(axis: &Axis, output: &Output<'_>) -> Result<Self> {
        let slope = axis.signal_slope_at(0.0)? * output.line.gain;
        let at_center = output.at(0.0);
        let [least, most] = output.input;
        let clipped = output.line.clips(output.signal(0.0)) || axis.converter().clips(at_center);
        if clipped || slope.abs() <= NO_GAIN * (most - least) {
            return Err(Error::Absent {
                quantity: "gain at the center",
                of: "the axis",
                advice: "its reading stands still there and tells no position",
            });
        }
        Self::through(vec![at_center, at_center + slope], vec![0.0, 1.0])
    }

    /// Through `points` readings, evenly spaced over the throw, both ends included.
    pub(super) fn measured(axis: &Axis, output: &Output<'_>, points: usize) -> Result<Self> {
        let angles = even_angles(axis.throw(), points);
        Self::through(
            angles.iter().map(|angle| output.at(*angle)).collect(),
            angles,
        )
    }

    fn through(outputs: Vec<f64>, angles: Vec<f64>) -> Result<Self> {
        let last = outputs.len() - 1;
        let sign = if outputs[last] < outputs[0] {
            -1.0
        } else {
            1.0
        };
        let outputs: Vec<f64> = outputs.into_iter().map(|output| sign * output).collect();
        if let Some(pair) = outputs.windows(2).find(|pair| pair[0] >= pair[1]) {
            return Err(Error::NotAscending {
                quantity: "outputs of two neighboring points of the calibration, along its sense",
                lower: pair[0],
                upper: pair[1],
                unit: "(unit of the output)",
            });
        }
        Ok(Self {
            sign,
            outputs,
            angles,
        })
    }

    /// The angle at no output and its change for a unit of it, of a table of two points.
    pub(super) fn straight(&self) -> [f64; 2] {
        let at_none = self.position(0.0);
        [at_none, self.position(1.0) - at_none]
    }

    fn position(&self, output: f64) -> f64 {
        let output = self.sign * output;
        let next = self.outputs.partition_point(|o| *o < output);
        let next = next.clamp(1, self.outputs.len() - 1);
        let (x, y) = (
            &self.outputs[next - 1..=next],
            &self.angles[next - 1..=next],
        );
        y[0] + (y[1] - y[0]) * ((output - x[0]) / (x[1] - x[0]))
    }

    /// The greatest departure of the position told from the one that is, rad.
    pub(super) fn error(&self, axis: &Axis, output: &Output<'_>) -> Result<f64> {
        let [angles, signals] = output.curve.samples();
        greatest(
            axis,
            [(self, output)],
            angles,
            [signals],
            |angle, [told]| told - angle,
        )
    }
}

/// How far the positions are apart at most that two tables tell of two outputs, rad.
pub(super) fn apart(axis: &Axis, told: [(&PositionTable, &Output<'_>); 2]) -> Result<f64> {
    let curves = told.map(|(_, output)| output.curve);
    if std::ptr::eq(curves[0], curves[1]) {
        return Ok(apart_on_one_curve(told));
    }
    let steps = told.map(|(table, _)| table.angles.len() - 1);
    let places = PLACES.max(PLACES_PER_STEP * steps[0].max(steps[1]) + 1);
    let even = curves.map(|curve| curve.evenly(places));
    let signals = even.each_ref().map(|even| even.1.as_slice());
    greatest(axis, told, &even[0].0, signals, |_, [one, other]| {
        one - other
    })
}

/// How far the positions of two outputs of one curve are apart at most, rad: exact, for between the points of the
/// tables and where an output begins to stand still both are straight in the signal, which takes every value of its
/// range.
fn apart_on_one_curve(told: [(&PositionTable, &Output<'_>); 2]) -> f64 {
    let [least, most] = told[0].1.curve.signal_range();
    let corners = told.iter().flat_map(|(table, output)| {
        let points = table.outputs.iter();
        let points = points.map(|point| output.line.signal_for(table.sign * point / output.share));
        let signals = points.chain(output.ends());
        signals.map(|signal| (signal - output.shift) / output.scale)
    });
    let inside = corners.filter(|value| (least..=most).contains(value));
    let apart = inside.chain([least, most]).map(|value| {
        let told = told.map(|(table, output)| table.position(output.of(output.signal_of(value))));
        (told[0] - told[1]).abs()
    });
    apart.fold(0.0, f64::max)
}

/// The greatest of a departure over the throw, without its sign, that depends on the angle and the positions told
/// there: at angles at which the signals are known, in several places between two points of a table, at these points
/// and where an output begins to stand still; between all these it is followed.
fn greatest<const N: usize>(
    axis: &Axis,
    told: [(&PositionTable, &Output<'_>); N],
    known: &[f64],
    signals: [&[f64]; N],
    departure: impl Fn(f64, [f64; N]) -> f64,
) -> Result<f64> {
    let [lower, upper] = axis.throw();
    let steps = told.iter().map(|(table, _)| table.angles.len() - 1).max();
    let arches = even_angles([lower, upper], PLACES_PER_STEP * steps.unwrap_or(1) + 1);
    let mut corners = Vec::new();
    let mut told_at_known: [Vec<f64>; N] = [const { Vec::new() }; N];
    for (((table, output), values), positions) in told.iter().zip(signals).zip(&mut told_at_known) {
        observer::check()?;
        corners.extend(&table.angles);
        let signals: Vec<f64> = values
            .iter()
            .map(|value| output.signal_of(*value))
            .collect();
        let [least, most] = range(&signals);
        let ends = output.ends().into_iter();
        for end in ends.filter(|end| least < *end && *end < most) {
            for (angle, signal) in known.windows(2).zip(signals.windows(2)) {
                if (signal[0] - end) * (signal[1] - end) < 0.0 {
                    let over = |angle: f64| output.signal(angle) - end;
                    corners.push(root::between(over, angle[0], angle[1]));
                }
            }
        }
        let told = signals
            .iter()
            .map(|signal| table.position(output.of(*signal)));
        *positions = told.collect();
    }
    let size = |angle: f64, positions: [f64; N]| -departure(angle, positions).abs();
    let size_at = |angle: f64| {
        let positions = told.map(|(table, output)| table.position(output.at(angle)));
        size(angle, positions)
    };
    let at_known = |place: usize| told_at_known.each_ref().map(|positions| positions[place]);
    let mut angles = known.to_vec();
    let sizes = known.iter().enumerate();
    let mut sizes: Vec<f64> = sizes
        .map(|(place, angle)| size(*angle, at_known(place)))
        .collect();
    corners.retain(|angle| (lower..=upper).contains(angle));
    // The corners last: they take the place of what is one with them but for rounding.
    for place in arches.into_iter().chain(corners) {
        let next = angles.partition_point(|angle| *angle < place);
        let near = [next, next.wrapping_sub(1)].into_iter().find(|&i| {
            let angle = angles.get(i);
            angle.is_some_and(|angle| (angle - place).abs() <= SAME * (upper - lower))
        });
        match near {
            Some(i) => (angles[i], sizes[i]) = (place, size_at(place)),
            None => {
                angles.insert(next, place);
                sizes.insert(next, size_at(place));
            }
        }
    }
    let found = least(&angles, &sizes, |angle| Ok(size_at(angle)))?;
    Ok(found.value.abs())
}
