//! Integrals of many quantities at once, with an error estimate: adaptive Gauss-Kronrod, and Gauss-Legendre nodes.
//!
//! The quadrature crates at hand integrate one function of one number at a time; fields come by the batch and six at
//! once.
//!
//! [`adaptive`] works in rounds: all intervals that need it are halved together and their nodes handed out in one call,
//! because the integrands here are fields, which are cheapest by the batch.
//!
//! # References
//! A. S. Kronrod (1964), nodes and weights as printed by R. Piessens, E. de Doncker-Kapenga, C. W. Überhuber and D. K.
//! Kahaner, *QUADPACK*, Springer 1983 (rule QK21 and its error estimate).

use std::f64::consts::PI;

/// Nodes of the 21-point Kronrod rule on [-1, 1], the outermost first; every second one is also a node of the 10-point
/// Gauss rule.
const NODES: [f64; 11] = [
    0.995_657_163_025_808_1,
    0.973_906_528_517_171_7,
    0.930_157_491_355_708_2,
    0.865_063_366_688_984_5,
    0.780_817_726_586_416_9,
    0.679_409_568_299_024_4,
    0.562_757_134_668_604_7,
    0.433_395_394_129_247_2,
    0.294_392_862_701_460_2,
    0.148_874_338_981_631_22,
    0.0,
];
/// Weights of the Kronrod rule at `NODES`.
const KRONROD: [f64; 11] = [
    0.011_694_638_867_371_874,
    0.032_558_162_307_964_725,
    0.054_755_896_574_351_995,
    0.075_039_674_810_919_96,
    0.093_125_454_583_697_6,
    0.109_387_158_802_297_64,
    0.123_491_976_262_065_84,
    0.134_709_217_311_473_34,
    0.142_775_938_577_060_09,
    0.147_739_104_901_338_49,
    0.149_445_554_002_916_9,
];
/// Weights of the Gauss rule at every second node.
const GAUSS: [f64; 5] = [
    0.066_671_344_308_688_14,
    0.149_451_349_150_580_6,
    0.219_086_362_515_982_04,
    0.269_266_719_309_996_35,
    0.295_524_224_714_752_87,
];

/// Nodes to an interval.
pub(crate) const POINTS: usize = 21;
/// Intervals of one line at most. A singularity takes about a hundred to come down to neighboring numbers; more than
/// this means that the accuracy asked for lies below the noise of the integrand, which no interval is too small for.
const MOST_INTERVALS: usize = 2000;
/// Error of a rule that rounding alone explains, as a share of the integral of the absolute value (QUADPACK).
const ROUNDING: f64 = 50.0 * f64::EPSILON;

/// The node with the given number and its Kronrod and Gauss weights, on [-1, 1].
fn node(i: usize) -> (f64, f64, f64) {
    let k = i.min(POINTS - 1 - i);
    let x = if i == k { -NODES[k] } else { NODES[k] };
    (x, KRONROD[k], if k % 2 == 1 { GAUSS[k / 2] } else { 0.0 })
}

/// Integrals with the error estimate of each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Integrals<const N: usize> {
    pub(crate) values: [f64; N],
    pub(crate) errors: [f64; N],
}

impl<const N: usize> Integrals<N> {
    pub(crate) const ZERO: Self = Self {
        values: [0.0; N],
        errors: [0.0; N],
    };

    pub(crate) fn plus(mut self, other: Self) -> Self {
        for i in 0..N {
            self.values[i] += other.values[i];
            self.errors[i] += other.errors[i];
        }
        self
    }
}

struct Interval<const N: usize> {
    from: f64,
    to: f64,
    integrals: Integrals<N>,
    /// The weighted error, without what rounding explains.
    excess: f64,
}

impl<const N: usize> Interval<N> {
    fn new(from: f64, to: f64, values: &[[f64; N]], weights: &[f64; N]) -> Self {
        let half = 0.5 * (to - from);
        let (mut kronrod, mut gauss, mut absolute) = ([0.0; N], [0.0; N], [0.0; N]);
        for (k, value) in values.iter().enumerate() {
            let (_, w, g) = node(k);
            for i in 0..N {
                kronrod[i] += w * value[i];
                gauss[i] += g * value[i];
                absolute[i] += w * value[i].abs();
            }
        }
        let mut spread = [0.0; N];
        for (k, value) in values.iter().enumerate() {
            let (_, w, _) = node(k);
            for i in 0..N {
                spread[i] += w * (value[i] - 0.5 * kronrod[i]).abs();
            }
        }
        let mut integrals = Integrals::ZERO;
        let mut excess = 0.0;
        for i in 0..N {
            let mut error = (kronrod[i] - gauss[i]).abs();
            if error > 0.0 && spread[i] > 0.0 {
                error = spread[i] * (200.0 * error / spread[i]).min(1.0).powf(1.5);
            }
            let rounding = ROUNDING * absolute[i];
            integrals.values[i] = half * kronrod[i];
            integrals.errors[i] = half * error.max(rounding);
            if error > rounding {
                excess += weights[i] * half * error;
            }
        }
        Self {
            from,
            to,
            integrals,
            excess,
        }
    }
}

/// Integrates N quantities from `from` to `to`, halving intervals until the errors times `weights` sum to no more than
/// 1.
///
/// `f` gets the nodes and appends the values, in the same order; it returns `false` to say that what has been spent is
/// enough. The number of intervals has a limit of its own, too. Whether the wanted accuracy was reached must be read
/// from the errors.
pub(crate) fn adaptive<const N: usize>(
    from: f64,
    to: f64,
    weights: &[f64; N],
    mut f: impl FnMut(&[f64], &mut Vec<[f64; N]>) -> bool,
) -> Integrals<N> {
    let mut nodes = Vec::new();
    let lines = adaptive_lines(1, from, to, weights, |places, values| {
        nodes.clear();
        nodes.extend(places.iter().map(|(_, node)| node));
        f(&nodes, values)
    });
    lines.into_iter().fold(Integrals::ZERO, Integrals::plus)
}

/// [`adaptive`] along several lines at once, each to the same accuracy; `f` gets the number of the line with each node.
pub(crate) fn adaptive_lines<const N: usize>(
    lines: usize,
    from: f64,
    to: f64,
    weights: &[f64; N],
    mut f: impl FnMut(&[(usize, f64)], &mut Vec<[f64; N]>) -> bool,
) -> Vec<Integrals<N>> {
    let mut done: Vec<Vec<Interval<N>>> = (0..lines).map(|_| Vec::new()).collect();
    let mut fresh: Vec<_> = (0..lines).map(|line| (line, from, to)).collect();
    let (mut nodes, mut values) = (Vec::new(), Vec::new());
    while !fresh.is_empty() {
        nodes.clear();
        values.clear();
        for &(line, a, b) in &fresh {
            let (center, half) = (0.5 * (a + b), 0.5 * (b - a));
            nodes.extend((0..POINTS).map(|i| (line, center + half * node(i).0)));
        }
        let go_on = f(&nodes, &mut values);
        let changed: Vec<usize> = fresh.iter().map(|(line, ..)| *line).collect();
        for ((line, a, b), values) in fresh.drain(..).zip(values.chunks_exact(POINTS)) {
            done[line].push(Interval::new(a, b, values, weights));
        }
        let mut last = None;
        for line in changed {
            if go_on && last != Some(line) && done[line].len() < MOST_INTERVALS {
                let halves = halve_the_worst(&mut done[line], 1e-15 * (to - from).abs());
                fresh.extend(halves.into_iter().map(|(a, b)| (line, a, b)));
            }
            last = Some(line);
        }
    }
    let sum = |intervals: &Vec<Interval<N>>| {
        let integrals = intervals.iter().map(|interval| interval.integrals);
        integrals.fold(Integrals::ZERO, Integrals::plus)
    };
    done.iter().map(sum).collect()
}

/// Takes out the worst intervals, so that the others contribute no more than half of what is allowed, and returns their
/// halves; none if all of them are good enough together.
fn halve_the_worst<const N: usize>(
    intervals: &mut Vec<Interval<N>>,
    narrowest: f64,
) -> Vec<(f64, f64)> {
    let mut halves = Vec::new();
    let mut sum: f64 = intervals.iter().map(|interval| interval.excess).sum();
    if sum > 1.0 {
        intervals.sort_by(|a, b| a.excess.total_cmp(&b.excess));
        while sum > 0.5
            && let Some(worst) = intervals.pop_if(|worst| (worst.to - worst.from).abs() > narrowest)
        {
            // Narrower ones stay as they are: their nodes could no longer be told apart.
            let middle = 0.5 * (worst.from + worst.to);
            sum -= worst.excess;
            halves.extend([(worst.from, middle), (middle, worst.to)]);
        }
    }
    halves
}

/// Nodes and weights of the Gauss-Legendre rule with `n` points on [-1, 1], by Newton's method on the Legendre
/// polynomial.
pub(crate) fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    let node = |i: usize| {
        // Tricomi's approximation; three steps would do, the others cost nothing.
        let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..6 {
            let [value, before] = legendre(n, x);
            slope = n as f64 * (x * value - before) / (x * x - 1.0);
            x -= value / slope;
        }
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..n).map(node).collect()
}

/// The Legendre polynomials of degree n and n - 1.
fn legendre(n: usize, x: f64) -> [f64; 2] {
    let mut p = [x, 1.0];
    for k in 2..=n {
        let k = k as f64;
        p = [((2.0 * k - 1.0) * x * p[0] - (k - 1.0) * p[1]) / k, p[0]];
    }
    p
}

#[cfg(test)]
#[path = "quadrature_tests.rs"]
mod tests;
