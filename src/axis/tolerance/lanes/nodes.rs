//! From readings at a few places of the throw to values and slopes anywhere in it.

use std::f64::consts::PI;

/// Places between Chebyshev nodes and rows of weights: a smooth function is the polynomial through its readings.
///
/// # References
/// J.-P. Berrut, L. N. Trefethen, *Barycentric Lagrange interpolation*, SIAM Review 46 (2004) 501-517, eqs. 4.2, 5.4,
/// 9.3 to 9.5 (from memory, confirmed by tests).
#[derive(Debug, Clone)]
pub(super) struct Nodes {
    /// Where the function is read, ascending, both ends among them.
    pub(super) places: Vec<f64>,
}

impl Nodes {
    /// So many nodes (3 at least) over a stretch.
    pub(super) fn new([lower, upper]: [f64; 2], count: usize) -> Self {
        let (middle, half) = (0.5 * (lower + upper), 0.5 * (upper - lower));
        let steps = (count - 1) as f64;
        let mut places: Vec<f64> = (0..count)
            .map(|i| middle - half * (PI * i as f64 / steps).cos())
            .collect();
        places[0] = lower;
        places[count - 1] = upper;
        Self { places }
    }

    fn weight(&self, node: usize) -> f64 {
        let end = node == 0 || node + 1 == self.places.len();
        let sign = if node.is_multiple_of(2) { 1.0 } else { -1.0 };
        if end { 0.5 * sign } else { sign }
    }

    /// Weights of the readings in the value at a place.
    pub(super) fn value(&self, place: f64) -> Vec<f64> {
        if let Some(at) = self.places.iter().position(|node| *node == place) {
            return (0..self.places.len())
                .map(|i| f64::from(u8::from(i == at)))
                .collect();
        }
        let parts = self.places.iter().enumerate();
        let parts: Vec<f64> = parts
            .map(|(i, node)| self.weight(i) / (place - node))
            .collect();
        let sum: f64 = parts.iter().sum();
        parts.into_iter().map(|part| part / sum).collect()
    }

    /// Weights of the readings in the slope at a place.
    pub(super) fn slope(&self, place: f64) -> Vec<f64> {
        let count = self.places.len();
        let values = self.value(place);
        let mut slopes = vec![0.0; count];
        for (i, share) in values.iter().enumerate() {
            let mut diagonal = 0.0;
            for (j, slope) in slopes.iter_mut().enumerate() {
                if i != j {
                    let entry = self.weight(j) / self.weight(i) / (self.places[i] - self.places[j]);
                    diagonal -= entry;
                    *slope += share * entry;
                }
            }
            slopes[i] += share * diagonal;
        }
        slopes
    }

    /// Weights of the readings in the last two coefficients of the Chebyshev series, whose size tells whether the
    /// readings are enough.
    pub(super) fn tail(&self) -> [Vec<f64>; 2] {
        let steps = self.places.len() - 1;
        [steps, steps - 1].map(|degree| {
            let scale = if degree == steps { 1.0 } else { 2.0 } / steps as f64;
            let weights = (0..=steps).map(|i| {
                let end = if i == 0 || i == steps { 0.5 } else { 1.0 };
                // The places ascend, so that the angle runs from pi to 0.
                let turn = PI * (steps - i) as f64 / steps as f64;
                scale * end * (degree as f64 * turn).cos()
            });
            weights.collect()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Nodes;

    #[test]
    fn polynomials_are_reproduced() {
        for count in [3, 8, 24] {
            let nodes = Nodes::new([-0.2, 0.5], count);
            let (half, middle) = (0.35, 0.15);
            for degree in 0..count as i32 {
                let f = |x: f64| ((x - middle) / half).powi(degree);
                let df = |x: f64| {
                    f64::from(degree) * ((x - middle) / half).powi((degree - 1).max(0)) / half
                };
                let readings: Vec<f64> = nodes.places.iter().map(|x| f(*x)).collect();
                let sum = |weights: Vec<f64>| -> f64 {
                    weights.iter().zip(&readings).map(|(a, b)| a * b).sum()
                };
                for i in 0..=10 {
                    let x = -0.2 + 0.07 * f64::from(i);
                    assert!((sum(nodes.value(x)) - f(x)).abs() < 1e-12);
                    assert!((sum(nodes.slope(x)) - df(x)).abs() < 1e-9 * (1.0 + f64::from(degree)));
                }
                let tail = nodes.tail().map(sum);
                if degree + 2 < count as i32 {
                    assert!(
                        tail.iter().all(|c| c.abs() < 1e-14),
                        "{count} {degree} {tail:?}"
                    );
                } else if degree + 1 == count as i32 {
                    // x^n is 2^(1 - n) T_n and lower ones.
                    assert!(
                        (tail[0] - 2f64.powi(1 - degree)).abs() < 1e-14,
                        "{count} {tail:?}"
                    );
                }
            }
        }
    }
}
