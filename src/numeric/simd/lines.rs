//! The lines of the linearities for many characteristics side by side.
//!
//! What [`line`](crate::numeric::line) does branches at every point; here all lanes take the same steps.

use crate::numeric::simd::lanes::{mul_add, select};

/// Most steps to the line with the least greatest departure: four or five do, each step takes a vertex of the hull.
const STEPS: usize = 64;
/// Of the greatest value: what a step may leave, rounding itself.
const ROUNDING: f64 = 1e-15;

/// A point of each characteristic that is at another place in each: where a rail cuts it.
#[derive(Debug, Clone)]
pub(crate) struct Corner<const L: usize> {
    pub(crate) x: [f64; L],
    pub(crate) y: [f64; L],
}

/// Greatest and least departure from a line with the slope given, and where they are.
struct Extremes<const L: usize> {
    most: [f64; L],
    least: [f64; L],
    most_at: [[f64; L]; 2],
    least_at: [[f64; L]; 2],
}

impl<const L: usize> Extremes<L> {
    #[inline(always)]
    fn none() -> Self {
        Self {
            most: [f64::NEG_INFINITY; L],
            least: [f64::INFINITY; L],
            most_at: [[0.0; L]; 2],
            least_at: [[0.0; L]; 2],
        }
    }

    /// Looks at a point of each.
    #[inline(always)]
    fn look<const FMA: bool>(&mut self, slope: &[f64; L], x: &[f64; L], y: &[f64; L]) {
        for l in 0..L {
            let rest = mul_add::<FMA>(-slope[l], x[l], y[l]);
            let above = rest > self.most[l];
            self.most[l] = select(above, rest, self.most[l]);
            self.most_at[0][l] = select(above, x[l], self.most_at[0][l]);
            self.most_at[1][l] = select(above, y[l], self.most_at[1][l]);
            let below = rest < self.least[l];
            self.least[l] = select(below, rest, self.least[l]);
            self.least_at[0][l] = select(below, x[l], self.least_at[0][l]);
            self.least_at[1][l] = select(below, y[l], self.least_at[1][l]);
        }
    }
}

/// Greatest departure from the line with the least greatest departure, and from the one through both ends, for each
/// lane. `x` ascends, of two places at least; `y` is by place, then by lane; `corners` lie between the ends.
///
/// w(a) = max(y - a x) - min(y - a x) is convex in the slope a and made of straight pieces, of which the present places
/// of maximum and minimum give one, below w everywhere. Of the best falling and the best rising one the crossing is the
/// next slope, and its height a bound that proves the result; half of w is the departure. Both begin as the line
/// through the ends, whose departure is so found in the first step. A lane that is done stands still, so that its
/// neighbors do not change its last digits.
#[inline(always)]
pub(crate) fn departures<const FMA: bool, const L: usize>(
    x: &[f64],
    y: &[[f64; L]],
    corners: &[Corner<L>],
) -> [[f64; L]; 2] {
    let last = x.len() - 1;
    let width = x[last] - x[0];
    let mut falling = [[width; L], [0.0; L]];
    let mut rising = [[-width; L], [0.0; L]];
    let mut slope = [0.0; L];
    let mut size = [0.0; L];
    for l in 0..L {
        falling[1][l] = y[last][l] - y[0][l];
        rising[1][l] = -falling[1][l];
        slope[l] = falling[1][l] / width;
    }
    for y in y.iter().chain(corners.iter().map(|corner| &corner.y)) {
        for l in 0..L {
            size[l] = select(y[l].abs() > size[l], y[l].abs(), size[l]);
        }
    }
    let (mut independent, mut terminal) = ([0.0; L], [0.0; L]);
    let mut open = [1.0; L];
    for step in 0..STEPS {
        let mut found = Extremes::none();
        for (x, y) in x.iter().zip(y) {
            found.look::<FMA>(&slope, &[*x; L], y);
        }
        for corner in corners {
            found.look::<FMA>(&slope, &corner.x, &corner.y);
        }
        if step == 0 {
            for l in 0..L {
                let from = mul_add::<FMA>(-slope[l], x[0], y[0][l]);
                let (up, down) = (found.most[l] - from, from - found.least[l]);
                terminal[l] = select(up > down, up, down);
            }
        }
        let mut going = 0.0;
        for l in 0..L {
            let w = found.most[l] - found.least[l];
            independent[l] = select(open[l] > 0.0, 0.5 * w, independent[l]);
            let dx = found.most_at[0][l] - found.least_at[0][l];
            let dy = found.most_at[1][l] - found.least_at[1][l];
            let bound = mul_add::<FMA>(-slope[l], falling[0][l], falling[1][l]);
            let known = ((dx == falling[0][l]) & (dy == falling[1][l]))
                | ((dx == rising[0][l]) & (dy == rising[1][l]));
            let done = (w - bound <= ROUNDING * size[l]) | (dx == 0.0) | known;
            open[l] = select(done, 0.0, open[l]);
            let (falls, rises) = ((dx > 0.0) & !done, (dx < 0.0) & !done);
            falling[0][l] = select(falls, dx, falling[0][l]);
            falling[1][l] = select(falls, dy, falling[1][l]);
            rising[0][l] = select(rises, dx, rising[0][l]);
            rising[1][l] = select(rises, dy, rising[1][l]);
            let next = (falling[1][l] - rising[1][l]) / (falling[0][l] - rising[0][l]);
            slope[l] = select(open[l] > 0.0, next, slope[l]);
            going += open[l];
        }
        if going == 0.0 {
            break;
        }
    }
    [independent, terminal]
}

#[cfg(test)]
#[path = "lines_tests.rs"]
mod tests;
