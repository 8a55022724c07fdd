//! The figures of a linear sensor from a few dozen readings, for a search to find its way by. What it finds is judged
//! on the figures themselves.

use std::f64::consts::PI;

use crate::axis::Axis;
use crate::axis::figures::noise;
use crate::error::Result;
use crate::numeric::line;

/// Readings over the throw, closer towards its ends, as polynomials want them.
const READINGS: usize = 33;

/// What a few dozen readings tell.
pub(super) struct Rough {
    /// Least and greatest signal, T.
    pub(super) range: [f64; 2],
    /// Independent linearity of the output.
    pub(super) linearity: f64,
    /// Least slope either way, T/rad; 0 where it turns back.
    pub(super) slope: f64,
    /// Random noise of a reading at the center, V.
    pub(super) noise: f64,
    pub(super) clearance: f64,
}

impl Rough {
    /// None if there is no value somewhere, for reasons that the figures tell.
    pub(super) fn of(axis: &Axis) -> Result<Option<Self>> {
        let [lower, upper] = axis.throw();
        let last = (READINGS - 1) as f64;
        let node = |i: usize| {
            let share = 0.5 * (1.0 + (PI * (i as f64 / last - 0.5)).sin());
            lower * (1.0 - share) + upper * share
        };
        let angle: Vec<f64> = (0..READINGS).map(node).collect();
        let (signal, valid) = axis.signals_at(&angle);
        if valid.contains(&false) {
            return Ok(None);
        }
        let mut clearance = f64::INFINITY;
        for &angle in &angle {
            axis.plate_gap_at(angle)?;
            clearance = clearance.min(axis.distances_at(angle)?.0);
        }
        let range = extremes(&angle, &signal);
        // As the rails hold it.
        let held = axis.sensor().characteristic();
        let held: Vec<f64> = signal.iter().map(|signal| held.held(*signal)).collect();
        let [lowest, highest] = extremes(&angle, &held);
        let (line, _) = line::minimax(&angle, &held);
        let readings = angle.iter().zip(&held);
        let departure: Vec<f64> = readings.map(|(x, y)| y - line.value(*x)).collect();
        let [least, most] = extremes(&angle, &departure);
        let slopes = angle.windows(2).zip(signal.windows(2));
        let slopes = slopes.map(|(x, y)| (y[1] - y[0]) / (x[1] - x[0]));
        let [flattest, steepest] = slopes.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], s| {
            [a.min(s), b.max(s)]
        });
        let turns = flattest.signum() != steepest.signum();
        Ok(Some(Self {
            range,
            linearity: if highest > lowest {
                most.max(-least) / (highest - lowest)
            } else {
                1.0
            },
            slope: if turns {
                0.0
            } else {
                flattest.abs().min(steepest.abs())
            },
            noise: noise(axis, axis.noise_at(0.0)?)?.random(),
            clearance,
        }))
    }
}

/// Least and greatest value, by the parabola through an extreme and its neighbors.
fn extremes(x: &[f64], y: &[f64]) -> [f64; 2] {
    let most = |sign: f64| {
        let value = |i: usize| sign * y[i];
        let top = (0..y.len()).fold(0, |top, i| if value(i) > value(top) { i } else { top });
        if top == 0 || top + 1 == y.len() {
            return y[top];
        }
        let (before, after) = (x[top] - x[top - 1], x[top + 1] - x[top]);
        let (up, down) = (
            (y[top] - y[top - 1]) / before,
            (y[top + 1] - y[top]) / after,
        );
        let curvature = (down - up) / (before + after);
        let slope = up + curvature * before;
        if curvature == 0.0 {
            y[top]
        } else {
            y[top] - 0.25 * slope * slope / curvature
        }
    };
    [most(-1.0), most(1.0)]
}
