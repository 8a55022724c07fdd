//! Where a ball-joint rod locks.

use std::f64::consts::TAU;

use super::ball_rod_kernel::{Input, Kernel};
use crate::error::{Error, Result};
use crate::numeric::root::between;

impl Kernel {
    /// The locks next to neutral, below and above it, rad; `None` if there is none.
    pub(super) fn locks(&self) -> Result<Option<[f64; 2]>> {
        let not_converged = Error::NotConverged {
            quantity: "lock angles of the ball-joint rod",
            reached: f64::INFINITY,
            wanted: f64::EPSILON,
            unit: "rad",
        };
        let places = self.discriminant().derivative().root_places();
        let mut places = places.ok_or(not_converged)?;
        places.sort_by(f64::total_cmp);
        let upper = self.first_lock(places.iter().copied());
        let lower = self.first_lock(places.iter().rev().map(|place| place - TAU));
        Ok(lower.zip(upper).map(<[f64; 2]>::from))
    }

    /// The first lock on the way from neutral; between its extremes the square does not turn round.
    fn first_lock(&self, extremes: impl Iterator<Item = f64>) -> Option<f64> {
        let square = |angle: f64| self.at::<false>(Input::new(angle)).square;
        let mut from = 0.0;
        for extreme in extremes {
            let least = square(extreme);
            if least <= self.touch() {
                let lock = if least < 0.0 {
                    between(square, from, extreme)
                } else {
                    extreme
                };
                return Some(self.short_of_the_axis(lock));
            }
            from = extreme;
        }
        None
    }

    /// The lock, or a place before it if the input joint lies on the axis of the output pivot there.
    fn short_of_the_axis(&self, lock: f64) -> f64 {
        /// As far as leaves half of the digits of the output angle.
        const SHORT: f64 = 1e-8;
        if self.definite(&self.at::<false>(Input::new(lock))) {
            lock
        } else {
            lock - SHORT.copysign(lock)
        }
    }
}
