//! On which turn the output of a ball-joint rod is: its angle grows continuously from where the rod was put together,
//! also beyond half a turn.
//!
//! The arc tangent gives the output angle between -pi and pi. It passes half a turn where u of the loop equation
//! vanishes and q side > 0. Next to half a turn its sign is that of side u, and there rounding may decide on the sign
//! of u. So neither is read off the values: the signs of u, and the passages, are counted from the start over the zeros
//! of u.

use std::f64::consts::{PI, TAU};

use crate::linkage::ball_rod::kernel::{Input, Kernel, Loop};

/// Output angles beyond this may be half a turn but for rounding, rad.
const FAR: f64 = 3.0;
/// Zeros of u nearer to each other than this are one, rad: it touches zero there, and what lies between is but
/// roundings.
const NEAR: f64 = 1e-6;
/// Share of the largest value of u below which a rounding may decide on its sign.
const TOUCH: f64 = 1e-12;
/// Share of w below which u, q and S together may be but roundings: a lock at half a turn.
const MEETING: f64 = 1e-7;

/// The zeros of u on the way from the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::linkage) struct Turns {
    start: f64,
    side: f64,
    /// Sign of u at the start.
    sign: f64,
    /// From the start upward, within a turn; none if u keeps its sign.
    zeros: [Option<Zero>; 2],
    /// Whether the output may come to half a turn, or so near that a rounding may decide on its sign.
    matter: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Zero {
    angle: f64,
    /// By how many turns the output is further beyond it, going upward: 1, -1, or 0 where the other root passes half a
    /// turn.
    turns: f64,
}

impl Turns {
    pub(in crate::linkage) fn new(kernel: &Kernel, side: f64, start: f64) -> Self {
        let u = kernel.half_turn_wave();
        let [mean, cos, sin] = u;
        let reach = cos.hypot(sin);
        let mut this = Self {
            start,
            side,
            sign: 1.0_f64.copysign(mean),
            zeros: [None; 2],
            matter: mean.abs() <= reach + TOUCH * (mean.abs() + reach),
        };
        // Where u is but roundings everywhere, a root stays beside half a turn until q vanishes, and there is a lock: a
        // rod and an input arm of one length, in line with the output arm at half a turn.
        if kernel.stays_at_half_turn() {
            this.matter = true;
            return this;
        }
        // u = mean + reach cos(angle - middle) is positive from middle - away to middle + away.
        let (middle, away) = (sin.atan2(cos), (-mean / reach).acos());
        // Not for NaN either: u has no zero then.
        if away.min(PI - away) >= 0.5 * NEAR {
            let mut clear = true;
            let mut zero = |angle: f64, turns: f64| {
                let angle = start + (angle - start).rem_euclid(TAU);
                let at = kernel.at::<false>(Input::new(angle));
                // The root that passes half a turn is the one whose terms add.
                let passes = at.q * side > 0.0 && kernel.closes(&at);
                clear &= at.q * side < -MEETING * at.w.abs();
                Zero {
                    angle,
                    turns: if passes { turns } else { 0.0 },
                }
            };
            let rising = zero(middle - away, -side);
            let falling = zero(middle + away, side);
            this.matter = !clear;
            this.sign = if rising.angle < falling.angle {
                -1.0
            } else {
                1.0
            };
            this.zeros = [Some(rising), Some(falling)];
        }
        this
    }

    /// The output angle between -pi and pi brought to its turn.
    pub(in crate::linkage) fn unwrapped(
        &self,
        kernel: &Kernel,
        angle: f64,
        at: &Loop,
        output: f64,
    ) -> f64 {
        /// Step back to where the sign of u is settled, rad: some thousand roundings.
        const BACK: f64 = 1e-12;
        if output.abs() < FAR {
            let (turns, _) = self.counted(angle);
            return output + TAU * turns;
        }
        if at.q.abs() + at.root() <= MEETING * at.w.abs() {
            return self.nearest_to_before(kernel, angle, output);
        }
        // Next to half a turn without being about to pass it: the root is w / (q - side S), whose sign no rounding
        // changes.
        if at.q * self.side < 0.0 {
            let (turns, _) = self.counted(angle);
            return output + TAU * turns;
        }
        let (turns, sign) = self.counted(angle - BACK.copysign(angle - self.start));
        let expected = PI * self.side * sign;
        output + TAU * (turns + ((expected - output) / TAU).round())
    }

    /// At a lock at half a turn u, q and S are but roundings: the output angle is the one nearest to where it was a
    /// little before.
    fn nearest_to_before(&self, kernel: &Kernel, angle: f64, output: f64) -> f64 {
        let mut share = 1e-5;
        while share < 1.0 {
            let before = angle - share * (angle - self.start);
            let at = kernel.at::<false>(Input::new(before));
            if at.q.abs() + at.root() > MEETING * at.w.abs() {
                let there = self.unwrapped(kernel, before, &at, at.half(self.side).angle());
                return output + TAU * ((there - output) / TAU).round();
            }
            share *= 4.0;
        }
        output
    }

    /// Whether the output may come to half a turn anywhere; else the arc tangent gives it as it is.
    pub(in crate::linkage) fn matter(&self) -> bool {
        self.matter
    }

    /// Turns of the output, and the sign of u, after a way from the start.
    fn counted(&self, angle: f64) -> (f64, f64) {
        let (mut turns, mut sign) = (0.0, self.sign);
        for zero in self.zeros.iter().flatten() {
            // Upward from the start the zero is met at its angle and every turn later, downward a turn earlier and so
            // on.
            let passed = ((angle - zero.angle) / TAU).floor() + 1.0;
            turns += zero.turns * passed;
            if passed.rem_euclid(2.0) == 1.0 {
                sign = -sign;
            }
        }
        (turns, sign)
    }
}
