//! Where a ball-joint rod locks.

use std::f64::consts::{PI, TAU};
use std::iter;

use crate::error::{Error, Result};
use crate::linkage::Range;
use crate::linkage::ball_rod::kernel::{Input, Kernel};
use crate::numeric::root::between;

/// An end of the way from the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::linkage) struct Lock {
    /// Input angle, rad.
    pub(in crate::linkage) angle: f64,
    /// Whether both assemblies meet there; else the input joint lies on the axis of the output pivot a little further
    /// on.
    pub(in crate::linkage) double: bool,
}

impl Kernel {
    /// The locks next to the start (rad), below and above it; `None` if there is none.
    pub(in crate::linkage) fn locks(&self, start: f64) -> Result<Option<[Lock; 2]>> {
        let places = self.extremes(start)?;
        let upper = self.first_lock(start, places.iter().copied());
        let lower = self.first_lock(start, places.iter().rev().map(|place| place - TAU));
        Ok(lower.zip(upper).map(<[Lock; 2]>::from))
    }

    /// The stretches of input angles (rad) at which the loop closes, first that around the start; the full turn if it
    /// closes everywhere.
    pub(in crate::linkage) fn stretches(&self, start: f64) -> Result<Vec<Range>> {
        let mut found: Vec<Range> = Vec::new();
        // Every stretch holds the start or a greatest square.
        for seed in iter::once(start).chain(self.extremes(start)?) {
            let known = found.iter().any(|range| range.turned_into(seed).is_some());
            if known || self.square(seed) < -self.touch() {
                continue;
            }
            let places = self.extremes(seed)?;
            let upper = self.opening(seed, places.iter().copied());
            let lower = self.opening(seed, places.iter().rev().map(|place| place - TAU));
            let Some((lower, upper)) = lower.zip(upper) else {
                return Ok(vec![Range::FULL_TURN]);
            };
            let turns = if found.is_empty() {
                0.0
            } else {
                ((lower + PI) / TAU).floor()
            };
            found.push(Range {
                lower: lower - TAU * turns,
                upper: upper - TAU * turns,
            });
        }
        Ok(found)
    }

    /// Where the loop opens on the way from an angle at which it closes; between the extremes the square does not turn
    /// round.
    fn opening(&self, from: f64, extremes: impl Iterator<Item = f64>) -> Option<f64> {
        let square = |angle: f64| self.square(angle);
        let mut from = from;
        for extreme in extremes {
            if square(extreme) < -self.touch() {
                // What rounding alone leaves open is the end itself.
                let crosses = square(from) > 0.0;
                return Some(if crosses {
                    between(square, from, extreme)
                } else {
                    from
                });
            }
            from = extreme;
        }
        None
    }

    /// Places up to a turn above an angle, in order, among which are all extremes of the square.
    fn extremes(&self, from: f64) -> Result<Vec<f64>> {
        let not_converged = Error::NotConverged {
            quantity: "lock angles of the ball-joint rod",
            reached: f64::INFINITY,
            wanted: f64::EPSILON,
            unit: "rad",
        };
        let places = self.discriminant().derivative().root_places();
        let mut places = places.ok_or(not_converged)?;
        for place in &mut places {
            *place = from + (*place - from).rem_euclid(TAU);
        }
        places.sort_by(f64::total_cmp);
        Ok(places)
    }

    fn square(&self, angle: f64) -> f64 {
        self.at::<false>(Input::new(angle)).square
    }

    /// The first lock on the way from the start; between its extremes the square does not turn round.
    fn first_lock(&self, start: f64, extremes: impl Iterator<Item = f64>) -> Option<Lock> {
        let square = |angle: f64| self.square(angle);
        let mut from = start;
        for extreme in extremes {
            let least = square(extreme);
            if least <= self.touch() {
                let lock = if least < 0.0 {
                    between(square, from, extreme)
                } else {
                    extreme
                };
                return Some(self.short_of_the_axis(start, lock));
            }
            from = extreme;
        }
        None
    }

    /// The lock, or a place before it if the input joint lies on the axis of the output pivot there.
    fn short_of_the_axis(&self, start: f64, lock: f64) -> Lock {
        /// As far as leaves half of the digits of the output angle.
        const SHORT: f64 = 1e-8;
        let double = self.definite(&self.at::<false>(Input::new(lock)));
        let back = if double { 0.0 } else { SHORT };
        Lock {
            angle: lock - back.copysign(lock - start),
            double,
        }
    }
}
