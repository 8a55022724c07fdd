//! Ball-joint rods side by side, each with its own geometry, at input angles that all share: the builds of a control.

// Lane by lane through several arrays at once, by one index: that is what the compiler turns into vector code.
#![allow(clippy::needless_range_loop)]

use nalgebra::Vector3;

use crate::linkage::ball_rod::kernel::{Half, Input, Kernel};
use crate::linkage::{Arm, BallRod};
use crate::numeric::simd::lanes::{mul_add, select};

/// An input angle, ready to be used by all rods.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RodInput(Input);

impl RodInput {
    pub(crate) fn new(angle: f64) -> Self {
        Self(Input::new(angle))
    }
}

/// Rods side by side, put together as at neutral.
#[derive(Debug, Clone)]
pub(crate) struct RodLanes<const L: usize> {
    /// The coefficients of the loop.
    rows: [[f64; L]; 10],
    side: [f64; L],
    /// Greatest second derivative of the square, m^2, and greatest derivative of the loop by the input, m.
    bend: [f64; L],
    speed: [f64; L],
    /// Of the joint on the input and on the output arm.
    swivels: [Swivels<L>; 2],
}

/// How far the ball joints of one arm swivel.
#[derive(Debug, Clone)]
struct Swivels<const L: usize> {
    /// Stud . rod, m: sums of products of 1, sine and versine of the input (rows) and of the output (columns).
    parts: [[[f64; L]; 3]; 3],
    /// What it may be, m; infinite without a rated swivel.
    limit: [f64; L],
    /// Whether any lane has a rated swivel.
    any: bool,
}

/// Cosine and sine of an output angle of each.
pub(crate) type Turn<const L: usize> = [[f64; L]; 2];

/// A vector that turns with an arm: what stands still, and what sine and versine of the angle multiply.
fn turning(arm: &Arm, v: &Vector3<f64>) -> [Vector3<f64>; 3] {
    let across = arm.direction().cross(v);
    [*v, across, arm.direction().cross(&across)]
}

impl<const L: usize> RodLanes<L> {
    pub(crate) fn none() -> Self {
        let none = [0.0; L];
        let swivels = || Swivels {
            parts: [[none; 3]; 3],
            limit: [f64::INFINITY; L],
            any: false,
        };
        Self {
            rows: [none; 10],
            side: [1.0; L],
            bend: none,
            speed: none,
            swivels: [swivels(), swivels()],
        }
    }

    pub(crate) fn set(&mut self, lane: usize, rod: &BallRod) {
        for (column, value) in self.rows.iter_mut().zip(rod.kernel.row()) {
            column[lane] = value;
        }
        self.side[lane] = rod.side;
        self.bend[lane] = rod.kernel.discriminant().greatest_bend();
        self.speed[lane] = rod.kernel.greatest_speed();
        let [input, output] = [&rod.input, &rod.output];
        for (joint, arm) in [input, output].into_iter().enumerate() {
            let swivels = &mut self.swivels[joint];
            let stud = arm.stud();
            let limit = stud.and_then(|stud| stud.limit());
            swivels.limit[lane] = limit.map_or(f64::INFINITY, |limit| rod.rod * limit.sin());
            swivels.any |= limit.is_some();
            let (Some(stud), Some(_)) = (stud, limit) else {
                continue;
            };
            // The stud turns with its own joint, so that it sees only the other one move.
            let other = if joint == 0 { output } else { input };
            let direction = turning(arm, &stud.direction());
            let mut seen = turning(other, &other.radius());
            seen[0] = other.joint() - arm.foot();
            for (i, direction) in direction.iter().enumerate() {
                for (j, seen) in seen.iter().enumerate() {
                    let [row, column] = if joint == 0 { [i, j] } else { [j, i] };
                    swivels.parts[row][column][lane] = direction.dot(seen);
                }
            }
            swivels.parts[0][0][lane] -= stud.direction().dot(&arm.radius());
        }
    }

    /// The output angles at an input, their sines times `sense`.
    #[inline(always)]
    pub(crate) fn turn<const FMA: bool>(&self, input: RodInput, sense: f64, turn: &mut Turn<L>) {
        for l in 0..L {
            let at = self.kernel(l).at::<FMA>(input.0);
            let Half { num, den } = at.half(self.side[l]);
            let scale = 2.0 / mul_add::<FMA>(num, num, den * den);
            turn[0][l] = mul_add::<FMA>(-scale * num, num, 1.0);
            turn[1][l] = sense * scale * num * den;
        }
    }

    /// Which rods are sure to reach all the way and to swivel no further than they may, from their turns at inputs that
    /// are `step` apart and have the start among or between them: above zero for those. Of the others only
    /// [`BallRod`] itself knows.
    #[inline(always)]
    pub(crate) fn sure<const FMA: bool>(
        &self,
        inputs: &[RodInput],
        turns: &[Turn<L>],
        (sense, step): (f64, f64),
        sure: &mut [f64; L],
    ) {
        /// Cosine of an output that is far from half a turn, and how far it may turn from one input to the next:
        /// together less than half a turn.
        const FOLDED: f64 = -0.85;
        const FAR: f64 = 0.4;
        /// The least square, as a multiple of what rounding may leave of it.
        const CLEAR: f64 = 1e6;
        let (mut least, mut folded) = ([f64::INFINITY; L], [1.0; L]);
        for (input, turn) in inputs.iter().zip(turns) {
            for l in 0..L {
                let square = self.kernel(l).at::<FMA>(input.0).square;
                least[l] = select(square < least[l], square, least[l]);
                folded[l] = select(turn[0][l] < folded[l], turn[0][l], folded[l]);
            }
        }
        for l in 0..L {
            // Between two inputs no function is further below both ends than an eighth of this.
            let lowest = least[l] - 0.125 * self.bend[l] * step * step;
            let clear = (lowest > 0.5 * least[l]) & (lowest > CLEAR * self.rows[9][l]);
            let fastest = self.speed[l] * step;
            let slow = fastest * fastest < FAR * FAR * lowest;
            sure[l] = select(clear & slow & (folded[l] > FOLDED), 1.0, 0.0);
        }
        for swivels in &self.swivels {
            if swivels.any {
                swivels.within::<FMA>(inputs, turns, sense, sure);
            }
        }
    }

    #[inline(always)]
    fn kernel(&self, l: usize) -> Kernel {
        let r = &self.rows;
        Kernel::of_row([
            r[0][l], r[1][l], r[2][l], r[3][l], r[4][l], r[5][l], r[6][l], r[7][l], r[8][l],
            r[9][l],
        ])
    }
}

impl<const L: usize> Swivels<L> {
    /// Leaves zero of the rods of which a joint may swivel further than it is rated for.
    #[inline(always)]
    fn within<const FMA: bool>(
        &self,
        inputs: &[RodInput],
        turns: &[Turn<L>],
        sense: f64,
        sure: &mut [f64; L],
    ) {
        let (mut last, mut change) = ([0.0; L], [0.0; L]);
        let (mut greatest, mut bend) = ([0.0; L], [0.0; L]);
        for (place, (input, turn)) in inputs.iter().zip(turns).enumerate() {
            let [s, k] = input.0.parts();
            for l in 0..L {
                let (sin, versine) = (sense * turn[1][l], 1.0 - turn[0][l]);
                let mut sum = [0.0; 3];
                for j in 0..3 {
                    let [a, b, c] = &self.parts;
                    sum[j] = mul_add::<FMA>(k, c[j][l], mul_add::<FMA>(s, b[j][l], a[j][l]));
                }
                let swivel = mul_add::<FMA>(versine, sum[2], mul_add::<FMA>(sin, sum[1], sum[0]));
                let size = swivel.abs();
                greatest[l] = select(size > greatest[l], size, greatest[l]);
                let step = swivel - last[l];
                let turned = (step - change[l]).abs();
                bend[l] = select((place > 1) & (turned > bend[l]), turned, bend[l]);
                (last[l], change[l]) = (swivel, step);
            }
        }
        for l in 0..L {
            // An eighth is what a parabola does between two places; four times that for what is none.
            let most = mul_add::<FMA>(0.5, bend[l], greatest[l]);
            sure[l] = select(most < self.limit[l], sure[l], 0.0);
        }
    }
}
