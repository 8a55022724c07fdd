//! The figures of many characteristics side by side, from their readings at the nodes.

// Lane by lane through several arrays at once, by one index: that is what the compiler turns into vector code.
#![allow(clippy::needless_range_loop)]

use crate::axis::tolerance::lanes::nodes::Nodes;
use crate::numeric::simd::lanes::{mul_add, select};
use crate::numeric::simd::lines::{self, Corner};
use crate::numeric::spacing::spaced;

/// Builds side by side: two of the widest vectors.
pub(super) const LANES: usize = 16;
/// Places of the throw at which a characteristic is looked at, evenly spaced; with their slopes, so that what lies
/// between them is known too.
pub(super) const PLACES: usize = 41;

pub(super) type Lane = [f64; LANES];

/// Rows of weights for the readings at the nodes: values and slopes at all places, then value and slope at the center,
/// then the two last coefficients of the series.
#[derive(Debug, Clone)]
pub(super) struct Weights {
    nodes: usize,
    rows: Vec<f64>,
    /// The places, as parts of half the throw from its middle or in rad: only their spacing counts.
    pub(super) places: Vec<f64>,
    /// The first place at or above the center.
    center: usize,
}

/// Newton's steps to where a curve meets a limit: within a step it is nearly straight.
const NEWTON: usize = 4;
/// Rows behind those of the places.
const CENTER: usize = 2 * PLACES;
const CENTER_SLOPE: usize = CENTER + 1;
const TAIL: usize = CENTER + 2;
const ROWS: usize = TAIL + 2;
/// Rows that are summed at a time, so that no sum waits for the last one.
const TOGETHER: usize = 4;

impl Weights {
    pub(super) fn new(nodes: &Nodes, throw: [f64; 2]) -> Self {
        let places: Vec<f64> = spaced(throw, PLACES - 1).collect();
        let mut rows: Vec<f64> = places
            .iter()
            .flat_map(|place| nodes.value(*place))
            .collect();
        rows.extend(places.iter().flat_map(|place| nodes.slope(*place)));
        rows.extend(nodes.value(0.0));
        rows.extend(nodes.slope(0.0));
        rows.extend(nodes.tail().concat());
        Self {
            nodes: nodes.places.len(),
            rows,
            center: places.partition_point(|place| *place < 0.0),
            places,
        }
    }

    /// All rows for readings by node and lane.
    #[inline(always)]
    pub(super) fn apply<const FMA: bool>(
        &self,
        readings: &[Lane],
        values: &mut [Lane; ROWS_PADDED],
    ) {
        for (row, four) in values.chunks_exact_mut(TOGETHER).enumerate() {
            let mut sums = [[0.0; LANES]; TOGETHER];
            for (node, reading) in readings.iter().enumerate() {
                for (k, sum) in sums.iter_mut().enumerate() {
                    let at = (row * TOGETHER + k).min(ROWS - 1);
                    let weight = self.rows[at * self.nodes + node];
                    for l in 0..LANES {
                        sum[l] = mul_add::<FMA>(weight, reading[l], sum[l]);
                    }
                }
            }
            for (value, sum) in four.iter_mut().zip(sums) {
                *value = sum;
            }
        }
    }
}

/// The rows with some left over, so that they come in whole fours.
pub(super) const ROWS_PADDED: usize = ROWS.div_ceil(TOGETHER) * TOGETHER;

/// What the sensor and the converter of each build make of the flux density.
#[derive(Debug, Clone)]
pub(super) struct Chains {
    /// Output without field, V, and its change for a tesla.
    pub(super) zero: Lane,
    pub(super) gain: Lane,
    /// The rails, V.
    pub(super) low: Lane,
    pub(super) high: Lane,
    /// What the converter reads, V.
    pub(super) input: [f64; 2],
}

/// Figures of each build that the curve alone decides.
#[derive(Debug, Clone)]
pub(super) struct CurveFigures {
    /// Least and greatest flux density, T.
    pub(super) least: Lane,
    pub(super) most: Lane,
    /// Flux density and its slope at the center, T and T/rad.
    pub(super) center: Lane,
    pub(super) center_slope: Lane,
    /// Greatest of the two last coefficients of the series, T.
    pub(super) tail: Lane,
    /// Greatest departures of the output from the two lines, V.
    pub(super) independent: Lane,
    pub(super) terminal: Lane,
    /// Part of the throw that is clipped.
    pub(super) clipped: Lane,
    /// Least size of the slope where the output follows, T/rad; zero or less where it changes its sign, infinite where
    /// it follows nowhere.
    pub(super) flattest: Lane,
    /// Part of the throw about the center over which the reading only rises or only falls.
    pub(super) monotonic: Lane,
    /// What the converter reads at both ends, V.
    pub(super) ends: [Lane; 2],
    /// Greatest error of a position told by the line of the design, and by the line through this build's own ends, as
    /// angles.
    pub(super) before: Lane,
    pub(super) after: Lane,
    /// Above zero for a curve that meets a limit more than once, which only the long way follows.
    pub(super) winding: Lane,
}

/// Where each curve meets a limit of its own.
#[derive(Clone)]
struct Meeting {
    /// The angle; one of the throw's ends for a curve that does not.
    place: Lane,
    /// The slope there, T/rad.
    slope: Lane,
    /// How often.
    times: Lane,
    /// The part of the throw that lies below the limit.
    below: Lane,
}

impl Meeting {
    /// The corner that a rail makes there; the first point once more of a curve that does not meet it.
    #[inline(always)]
    fn corner(&self, first: &Lane, rail: &Lane) -> Corner<LANES> {
        let mut y = *first;
        for l in 0..LANES {
            y[l] = select(self.times[l] == 1.0, rail[l], y[l]);
        }
        Corner { x: self.place, y }
    }
}

impl CurveFigures {
    /// None yet.
    pub(super) fn none() -> Self {
        let none = [0.0; LANES];
        Self {
            least: none,
            most: none,
            center: none,
            center_slope: none,
            tail: none,
            independent: none,
            terminal: none,
            clipped: none,
            flattest: none,
            monotonic: none,
            ends: [none; 2],
            before: none,
            after: none,
            winding: none,
        }
    }

    /// From the readings at the nodes; `line`: offset and slope of the angle told by the design's constants of an
    /// output.
    #[inline(always)]
    pub(super) fn of<const FMA: bool>(
        &mut self,
        weights: &Weights,
        readings: &[Lane],
        chains: &Chains,
        line: [f64; 2],
    ) {
        let mut all = [[0.0; LANES]; ROWS_PADDED];
        weights.apply::<FMA>(readings, &mut all);
        let step = weights.places[1] - weights.places[0];
        let width = weights.places[PLACES - 1] - weights.places[0];
        self.center = all[CENTER];
        self.center_slope = all[CENTER_SLOPE];
        for l in 0..LANES {
            let (a, b) = (all[TAIL][l].abs(), all[TAIL + 1][l].abs());
            self.tail[l] = select(a > b, a, b);
        }
        let vertices = self.extremes::<FMA>(&all, step);
        let meetings = self.meetings::<FMA>(&all, &vertices, weights, chains);
        self.lines::<FMA>(&all, weights, chains, &meetings[0]);
        self.open(&all, chains, &meetings[1]);
        self.turns(&all, weights, step, width);
        self.errors::<FMA>(&all, weights, chains, line, &meetings[1]);
    }

    /// Least and greatest value, between the places too: within a step the curve is the cubic through both ends with
    /// their slopes, whose vertex is taken from the slopes. Gives the vertex of each step; of one without the value at
    /// its beginning.
    #[inline(always)]
    fn extremes<const FMA: bool>(
        &mut self,
        all: &[Lane; ROWS_PADDED],
        step: f64,
    ) -> [Lane; PLACES - 1] {
        let mut vertices = [[0.0; LANES]; PLACES - 1];
        self.least = all[0];
        self.most = all[0];
        for i in 0..PLACES {
            for l in 0..LANES {
                let value = all[i][l];
                self.least[l] = select(value < self.least[l], value, self.least[l]);
                self.most[l] = select(value > self.most[l], value, self.most[l]);
            }
        }
        for i in 0..PLACES - 1 {
            for l in 0..LANES {
                let (a, b) = (all[PLACES + i][l], all[PLACES + i + 1][l]);
                let turns = a * b < 0.0;
                // Where the straight line between the slopes is zero, and the cubic there.
                let t = select(turns, a / (a - b), 0.0);
                let value = hermite::<FMA>(t, [all[i][l], all[i + 1][l]], [a * step, b * step]);
                vertices[i][l] = value;
                self.least[l] = select(value < self.least[l], value, self.least[l]);
                self.most[l] = select(value > self.most[l], value, self.most[l]);
            }
        }
        vertices
    }

    /// Where the curves meet the rails, and where they meet the limits between which the reading follows; the lower
    /// one first.
    #[inline(always)]
    fn meetings<const FMA: bool>(
        &mut self,
        all: &[Lane; ROWS_PADDED],
        vertices: &[Lane; PLACES - 1],
        weights: &Weights,
        chains: &Chains,
    ) -> [[Meeting; 2]; 2] {
        let rails = [chains.low, chains.high];
        let of_rails = [
            self.meeting::<FMA>(all, vertices, weights, &chains.signals(&rails[0])),
            self.meeting::<FMA>(all, vertices, weights, &chains.signals(&rails[1])),
        ];
        // As a rule the converter reads all that lies between the rails.
        let open = chains.open();
        let of_open = if open == rails {
            of_rails.clone()
        } else {
            [
                self.meeting::<FMA>(all, vertices, weights, &chains.signals(&open[0])),
                self.meeting::<FMA>(all, vertices, weights, &chains.signals(&open[1])),
            ]
        };
        let met = [of_rails, of_open];
        for l in 0..LANES {
            let mut winding = 0.0;
            for meeting in met.iter().flatten() {
                winding = select(meeting.times[l] > 1.0, 1.0, winding);
            }
            self.winding[l] = winding;
        }
        met
    }

    /// Where the curves meet one limit.
    #[inline(always)]
    fn meeting<const FMA: bool>(
        &self,
        all: &[Lane; ROWS_PADDED],
        vertices: &[Lane; PLACES - 1],
        weights: &Weights,
        limit: &Lane,
    ) -> Meeting {
        let [first, last] = [weights.places[0], weights.places[PLACES - 1]];
        let step = weights.places[1] - weights.places[0];
        let none = [0.0; LANES];
        let mut met = Meeting {
            place: [first; LANES],
            slope: none,
            times: none,
            below: none,
        };
        let mut reached = false;
        for l in 0..LANES {
            met.below[l] = select(all[0][l] < limit[l], 1.0, 0.0);
            reached |= (self.least[l] < limit[l]) & (limit[l] <= self.most[l]);
        }
        // Most builds of a good design meet no rail.
        if !reached {
            return met;
        }
        let (mut a, mut b, mut from, mut to, mut start) = (none, none, none, none, none);
        for i in 0..PLACES - 1 {
            for l in 0..LANES {
                let (before, after) = (all[i][l] - limit[l], all[i + 1][l] - limit[l]);
                let between = vertices[i][l] - limit[l];
                let meets = (before < 0.0) ^ (after < 0.0);
                let touches = !meets & ((before < 0.0) ^ (between < 0.0));
                met.times[l] += select(meets, 1.0, select(touches, 2.0, 0.0));
                a[l] = select(meets, before, a[l]);
                b[l] = select(meets, after, b[l]);
                from[l] = select(meets, all[PLACES + i][l] * step, from[l]);
                to[l] = select(meets, all[PLACES + i + 1][l] * step, to[l]);
                start[l] = select(meets, weights.places[i], start[l]);
            }
        }
        for l in 0..LANES {
            let meets = met.times[l] == 1.0;
            let (ends, slopes) = ([a[l], b[l]], [from[l], to[l]]);
            // From the straight line; each step doubles the digits.
            let mut t = share(select(meets, a[l] / (a[l] - b[l]), 0.0));
            for _ in 0..NEWTON {
                let slope = hermite_slope::<FMA>(t, ends, slopes);
                let next = t - hermite::<FMA>(t, ends, slopes) / slope;
                t = select(slope == 0.0, t, share(next));
            }
            let place = mul_add::<FMA>(t, step, start[l]);
            met.place[l] = select(meets, place, first);
            met.slope[l] = select(meets, hermite_slope::<FMA>(t, ends, slopes) / step, 0.0);
            let before = (met.place[l] - first) / (last - first);
            let part = select(met.below[l] > 0.0, before, 1.0 - before);
            met.below[l] = select(meets, part, met.below[l]);
        }
        met
    }

    /// Departures of the held output from the lines.
    #[inline(always)]
    fn lines<const FMA: bool>(
        &mut self,
        all: &[Lane; ROWS_PADDED],
        weights: &Weights,
        chains: &Chains,
        rails: &[Meeting; 2],
    ) {
        let mut output = [[0.0; LANES]; PLACES];
        for i in 0..PLACES {
            output[i] = chains.held::<FMA>(&all[i]);
        }
        self.ends = [chains.read(&output[0]), chains.read(&output[PLACES - 1])];
        let corners = [
            rails[0].corner(&output[0], &chains.low),
            rails[1].corner(&output[0], &chains.high),
        ];
        [self.independent, self.terminal] =
            lines::departures::<FMA, LANES>(&weights.places, &output, &corners);
    }

    /// Where the output follows: how much of the throw, and how flat.
    #[inline(always)]
    fn open(&mut self, all: &[Lane; ROWS_PADDED], chains: &Chains, limits: &[Meeting; 2]) {
        let open = chains.open();
        let mut gentlest = [f64::INFINITY; LANES];
        let mut steepest = [f64::NEG_INFINITY; LANES];
        let (lower, upper) = (chains.signals(&open[0]), chains.signals(&open[1]));
        for i in 0..PLACES {
            for l in 0..LANES {
                let (value, slope) = (all[i][l], all[PLACES + i][l]);
                let follows = (lower[l] <= value) & (value <= upper[l]);
                gentlest[l] = select(follows & (slope < gentlest[l]), slope, gentlest[l]);
                steepest[l] = select(follows & (slope > steepest[l]), slope, steepest[l]);
            }
        }
        for met in limits {
            for l in 0..LANES {
                let (meets, slope) = (met.times[l] == 1.0, met.slope[l]);
                gentlest[l] = select(meets & (slope < gentlest[l]), slope, gentlest[l]);
                steepest[l] = select(meets & (slope > steepest[l]), slope, steepest[l]);
            }
        }
        for l in 0..LANES {
            self.clipped[l] = share(limits[0].below[l] + (1.0 - limits[1].below[l]));
            // Both of one sign, or nothing: the greater of the two ends nearer to zero.
            self.flattest[l] = select(gentlest[l] > 0.0, gentlest[l], -steepest[l]);
        }
    }

    /// How far from the center the slope keeps its sign.
    #[inline(always)]
    fn turns(&mut self, all: &[Lane; ROWS_PADDED], weights: &Weights, step: f64, width: f64) {
        let center = weights.center;
        let mut reached = [0.0; LANES];
        for upward in [true, false] {
            let mut going = [1.0; LANES];
            let count = if upward { PLACES - center } else { center };
            // The first step begins at the center, which need not be a place.
            for k in 0..count {
                let i = if upward { center + k } else { center - 1 - k };
                let before = if k == 0 {
                    None
                } else if upward {
                    Some(i - 1)
                } else {
                    Some(i + 1)
                };
                for l in 0..LANES {
                    let from =
                        before.map_or(self.center_slope[l], |before| all[PLACES + before][l]);
                    let to = all[PLACES + i][l];
                    let turned = self.center_slope[l] * to < 0.0;
                    let part = select(turned, from / (from - to), 1.0);
                    let length = if k == 0 {
                        weights.places[i].abs()
                    } else {
                        step
                    };
                    reached[l] += going[l] * part * length;
                    going[l] = select(turned, 0.0, going[l]);
                }
            }
        }
        for l in 0..LANES {
            let share = reached[l] / width;
            self.monotonic[l] = select(
                self.center_slope[l] == 0.0,
                0.0,
                select(share > 1.0, 1.0, share),
            );
        }
    }

    /// Greatest errors of the position told by two straight lines.
    #[inline(always)]
    fn errors<const FMA: bool>(
        &mut self,
        all: &[Lane; ROWS_PADDED],
        weights: &Weights,
        chains: &Chains,
        line: [f64; 2],
        limits: &[Meeting; 2],
    ) {
        let [from, to] = [weights.places[0], weights.places[PLACES - 1]];
        self.before = [0.0; LANES];
        self.after = [0.0; LANES];
        for i in 0..PLACES {
            let read = chains.read(&chains.held::<FMA>(&all[i]));
            self.error::<FMA>(&[weights.places[i]; LANES], &read, [from, to], line);
        }
        for (met, limit) in limits.iter().zip(chains.open()) {
            // One that meets no limit is at the beginning of the throw once more.
            let mut read = self.ends[0];
            for l in 0..LANES {
                read[l] = select(met.times[l] == 1.0, limit[l], read[l]);
            }
            self.error::<FMA>(&met.place, &read, [from, to], line);
        }
    }

    /// Errors at one place of each.
    #[inline(always)]
    fn error<const FMA: bool>(
        &mut self,
        place: &Lane,
        read: &Lane,
        [from, to]: [f64; 2],
        line: [f64; 2],
    ) {
        for l in 0..LANES {
            let told = mul_add::<FMA>(line[1], read[l], line[0]);
            let error = (told - place[l]).abs();
            self.before[l] = select(error > self.before[l], error, self.before[l]);
            let own = mul_add::<FMA>(
                (to - from) / (self.ends[1][l] - self.ends[0][l]),
                read[l] - self.ends[0][l],
                from,
            );
            let error = (own - place[l]).abs();
            self.after[l] = select(error > self.after[l], error, self.after[l]);
        }
    }
}

impl Chains {
    /// Between which outputs the reading follows: the rails, and what the converter reads.
    #[inline(always)]
    fn open(&self) -> [Lane; 2] {
        let [mut low, mut high] = [self.low, self.high];
        for l in 0..LANES {
            low[l] = select(low[l] > self.input[0], low[l], self.input[0]);
            high[l] = select(high[l] < self.input[1], high[l], self.input[1]);
        }
        [low, high]
    }

    /// The flux densities at which the outputs are these.
    #[inline(always)]
    fn signals(&self, output: &Lane) -> Lane {
        let mut signal = [0.0; LANES];
        for l in 0..LANES {
            signal[l] = (output[l] - self.zero[l]) / self.gain[l];
        }
        signal
    }

    /// What the converter reads of an output.
    #[inline(always)]
    fn read(&self, output: &Lane) -> Lane {
        let [low, high] = self.input;
        let mut read = [0.0; LANES];
        for l in 0..LANES {
            let v = output[l];
            read[l] = select(v > high, high, select(v < low, low, v));
        }
        read
    }

    #[inline(always)]
    fn held<const FMA: bool>(&self, signal: &Lane) -> Lane {
        let mut output = [0.0; LANES];
        for l in 0..LANES {
            let open = mul_add::<FMA>(self.gain[l], signal[l], self.zero[l]);
            let floored = select(open < self.low[l], self.low[l], open);
            output[l] = select(floored > self.high[l], self.high[l], floored);
        }
        output
    }
}

/// The cubic with these values and slopes (for a whole step) at both ends of a step, at a share of it.
#[inline(always)]
fn hermite<const FMA: bool>(t: f64, [a, b]: [f64; 2], [from, to]: [f64; 2]) -> f64 {
    let change = b - a;
    let (first, second) = (from - change, to - change);
    // a + t change + t (1 - t) ((1 - t) first - t second)
    let bend = mul_add::<FMA>(-t, first + second, first);
    mul_add::<FMA>(t * (1.0 - t), bend, mul_add::<FMA>(t, change, a))
}

/// Its change for a whole step.
#[inline(always)]
fn hermite_slope<const FMA: bool>(t: f64, [a, b]: [f64; 2], [from, to]: [f64; 2]) -> f64 {
    let change = b - a;
    let (first, second) = (from - change, to - change);
    // change + (1 - t) (1 - 3 t) first + t (3 t - 2) second
    let one = (1.0 - t) * mul_add::<FMA>(-3.0, t, 1.0);
    let two = t * mul_add::<FMA>(3.0, t, -2.0);
    mul_add::<FMA>(one, first, mul_add::<FMA>(two, second, change))
}

/// Held within 0 and 1.
#[inline(always)]
fn share(part: f64) -> f64 {
    select(part > 1.0, 1.0, select(part > 0.0, part, 0.0))
}
