//! The sum of any delays, with every time rounded to a grid: for what has no exact form, or one that is too long.
//!
//! Each delay is rounded to the nearest multiple of the step from its shortest time, so that none is off by more than
//! half a step and the sum of n of them by no more than n/2 steps, whatever they are. Between the steps the
//! distribution function is straight, which is half a step more.

use rustfft::algorithm::Radix4;
use rustfft::num_complex::Complex;
use rustfft::{Fft, FftDirection};

use crate::axis::latency::delay::{Delay, DelaySpec};
use crate::error::Result;
use crate::observer;

/// Length of the transforms.
const LENGTH: usize = 1 << 17;
/// Steps from the shortest to the longest sum: rounding up adds half a step for each delay at most.
const STEPS: f64 = (LENGTH - 64) as f64;

/// Probabilities at even steps from the shortest sum, added up.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    step: f64,
    /// Share up to half a step behind each.
    shares: Vec<f64>,
    delays: usize,
}

impl Grid {
    /// The sum of delays, not all of which are fixed and of which there are 64 at most.
    ///
    /// # Errors
    /// That the work was stopped.
    pub(super) fn of(delays: &[&Delay]) -> Result<Self> {
        let spread = |delay: &Delay| {
            let [low, high] = delay.range();
            high - low
        };
        let spreading: Vec<&&Delay> = delays.iter().filter(|delay| spread(delay) > 0.0).collect();
        let step = spreading.iter().map(|delay| spread(delay)).sum::<f64>() / STEPS;
        let forward = Radix4::new(LENGTH, FftDirection::Forward);
        let mut product = vec![Complex::new(1.0, 0.0); LENGTH];
        for delay in &spreading {
            observer::check()?;
            let mut spectrum = masses(delay, step);
            forward.process(&mut spectrum);
            for (all, one) in product.iter_mut().zip(&spectrum) {
                *all *= one;
            }
        }
        observer::check()?;
        Radix4::new(LENGTH, FftDirection::Inverse).process(&mut product);
        let mut sum = 0.0;
        let mut shares: Vec<f64> = product
            .iter()
            .map(|mass| {
                // Rounding leaves a trace below zero.
                sum += mass.re.max(0.0);
                sum
            })
            .collect();
        for share in &mut shares {
            *share /= sum;
        }
        Ok(Self {
            step,
            shares,
            delays: spreading.len(),
        })
    }

    /// Most that a time is off, s.
    pub(super) fn bound(&self) -> f64 {
        0.5 * (self.delays + 1) as f64 * self.step
    }

    /// Share of the sum that is at most `x`.
    pub(super) fn distribution(&self, x: f64) -> f64 {
        let place = x / self.step + 0.5;
        if place <= 0.0 {
            return 0.0;
        }
        let before = place.floor();
        // Not negative; whatever is too large is cut.
        let i = before as usize;
        if i >= LENGTH {
            return 1.0;
        }
        let low = if i == 0 { 0.0 } else { self.shares[i - 1] };
        low + (place - before) * (self.shares[i] - low)
    }

    /// Density at `x`, the mean over a step about it.
    pub(super) fn density(&self, x: f64) -> f64 {
        let half = 0.5 * self.step;
        (self.distribution(x + half) - self.distribution(x - half)) / self.step
    }
}

/// Probabilities of a delay at the steps from its shortest time.
fn masses(delay: &Delay, step: f64) -> Vec<Complex<f64>> {
    let mut masses = vec![Complex::new(0.0, 0.0); LENGTH];
    if let DelaySpec::Sample { times } = delay.spec() {
        let least = delay.range()[0];
        let share = 1.0 / times.len() as f64;
        for time in times {
            masses[((time - least) / step).round() as usize].re += share;
        }
        return masses;
    }
    for ramp in delay.ramps() {
        let slope = (ramp.ends[1] - ramp.ends[0]) / ramp.width;
        // Share of the part within t of its start.
        let share = |t: f64| t * (ramp.ends[0] + 0.5 * slope * t);
        let first = (ramp.start / step).round() as usize;
        let last = ((ramp.start + ramp.width) / step).round() as usize;
        let mut before = 0.0;
        for (i, mass) in masses.iter_mut().enumerate().take(last + 1).skip(first) {
            let upper = ((i as f64 + 0.5) * step - ramp.start).min(ramp.width);
            let up_to = if i == last {
                share(ramp.width)
            } else {
                share(upper)
            };
            mass.re += up_to - before;
            before = up_to;
        }
    }
    masses
}
