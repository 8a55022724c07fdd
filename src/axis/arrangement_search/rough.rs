//! The figures of a linear sensor from a few dozen readings, for a search to find its way by. What it finds is judged
//! on the figures themselves.

use std::f64::consts::PI;
use std::sync::OnceLock;

use crate::axis::Axis;
use crate::error::Result;
use crate::numeric::line;

/// Readings over the throw, closer towards its ends, as polynomials want them.
const READINGS: usize = 33;
/// Samples of the polynomial through them for each step from one reading to the next: so many that a parabola through
/// three of them leaves 1e-7 of the span, and the figures change without jumps as the measures do.
const FINER: usize = 4;
const SAMPLES: usize = FINER * (READINGS - 1) + 1;
/// Every so many readings the parts are looked at for their distance.
const LOOKS: usize = 2;

/// Where the samples lie, as a share of the throw, and what each reading counts in each of them.
struct Samples {
    share: Vec<f64>,
    weights: Vec<[f64; READINGS]>,
}

impl Samples {
    fn new() -> Self {
        // From -1 to 1.
        let place = |i: usize, last: usize| (PI * (i as f64 / last as f64 - 0.5)).sin();
        let last = READINGS - 1;
        let mut weights = Vec::with_capacity(SAMPLES);
        for i in 0..SAMPLES {
            let mut row = [0.0; READINGS];
            if i % FINER == 0 {
                row[i / FINER] = 1.0;
            } else {
                // Barycentric interpolation through extremes of a Chebyshev polynomial (Berrut and Trefethen, SIAM
                // Review 46, 2004, eq. 5.4).
                let x = place(i, SAMPLES - 1);
                for (k, weight) in row.iter_mut().enumerate() {
                    let end = if k == 0 || k == last { 0.5 } else { 1.0 };
                    let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
                    *weight = sign * end / (x - place(k, last));
                }
                let sum: f64 = row.iter().sum();
                for weight in &mut row {
                    *weight /= sum;
                }
            }
            weights.push(row);
        }
        let share = (0..SAMPLES).map(|i| 0.5 * (1.0 + place(i, SAMPLES - 1)));
        Self {
            share: share.collect(),
            weights,
        }
    }

    fn get() -> &'static Self {
        static SAMPLES: OnceLock<Samples> = OnceLock::new();
        SAMPLES.get_or_init(Self::new)
    }
}

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
        let samples = Samples::get();
        let at = |share: &f64| lower * (1.0 - share) + upper * share;
        let angle: Vec<f64> = samples.share.iter().map(at).collect();
        let read: Vec<f64> = angle.iter().copied().step_by(FINER).collect();
        let (readings, valid) = axis.signals_at(&read);
        let Ok(readings) = <[f64; READINGS]>::try_from(readings) else {
            return Ok(None);
        };
        if valid.contains(&false) {
            return Ok(None);
        }
        let mut clearance = f64::INFINITY;
        for &angle in read.iter().step_by(LOOKS) {
            axis.plate_gap_at(angle)?;
            clearance = clearance.min(axis.distances_at(angle)?.0);
        }
        let sample = |weights: &[f64; READINGS]| -> f64 {
            weights
                .iter()
                .zip(&readings)
                .map(|(w, read)| w * read)
                .sum()
        };
        let signal: Vec<f64> = samples.weights.iter().map(sample).collect();
        let range = extremes(&angle, &signal);
        // As the rails hold it.
        let held = axis.sensor().characteristic();
        let held: Vec<f64> = signal.iter().map(|signal| held.held(*signal)).collect();
        let [lowest, highest] = extremes(&angle, &held);
        let (line, _) = line::minimax(&angle, &held);
        let departure = angle.iter().zip(&held);
        let departure: Vec<f64> = departure.map(|(x, y)| y - line.value(*x)).collect();
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
            noise: axis.noise_at(0.0)?.random(),
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
