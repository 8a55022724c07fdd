//! Trigonometric polynomials of degree two: what a loop of rigid links makes of its input angle.
//!
//! Polynomial libraries find roots of powers of x, not all angles of a harmonic sum, double ones and those at half a
//! turn included.

use std::f64::consts::{PI, TAU};

use nalgebra::{Matrix4, Schur};

/// f(x) = mean + cos1 cos x + sin1 sin x + cos2 cos 2x + sin2 sin 2x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Harmonics {
    pub(crate) mean: f64,
    pub(crate) cos1: f64,
    pub(crate) sin1: f64,
    pub(crate) cos2: f64,
    pub(crate) sin2: f64,
}

impl Harmonics {
    /// Product of two of degree one, each given as [mean, cos, sin].
    pub(crate) fn product(a: [f64; 3], b: [f64; 3]) -> Self {
        Self {
            mean: a[0] * b[0] + 0.5 * (a[1] * b[1] + a[2] * b[2]),
            cos1: a[0] * b[1] + a[1] * b[0],
            sin1: a[0] * b[2] + a[2] * b[0],
            cos2: 0.5 * (a[1] * b[1] - a[2] * b[2]),
            sin2: 0.5 * (a[1] * b[2] + a[2] * b[1]),
        }
    }

    pub(crate) fn minus(self, other: Self) -> Self {
        Self {
            mean: self.mean - other.mean,
            cos1: self.cos1 - other.cos1,
            sin1: self.sin1 - other.sin1,
            cos2: self.cos2 - other.cos2,
            sin2: self.sin2 - other.sin2,
        }
    }

    pub(crate) fn derivative(self) -> Self {
        Self {
            mean: 0.0,
            cos1: self.sin1,
            sin1: -self.cos1,
            cos2: 2.0 * self.sin2,
            sin2: -2.0 * self.cos2,
        }
    }

    /// More than the size of any second derivative.
    pub(crate) fn greatest_bend(self) -> f64 {
        self.cos1.hypot(self.sin1) + 4.0 * self.cos2.hypot(self.sin2)
    }

    pub(crate) fn at(self, x: f64) -> f64 {
        let (sin1, cos1) = x.sin_cos();
        let (sin2, cos2) = (2.0 * x).sin_cos();
        self.mean + self.cos1 * cos1 + self.sin1 * sin1 + self.cos2 * cos2 + self.sin2 * sin2
    }

    /// The same polynomial seen from `by`: f(x + by).
    fn shifted(self, by: f64) -> Self {
        let (sin1, cos1) = by.sin_cos();
        let (sin2, cos2) = (2.0 * by).sin_cos();
        Self {
            mean: self.mean,
            cos1: self.cos1 * cos1 + self.sin1 * sin1,
            sin1: self.sin1 * cos1 - self.cos1 * sin1,
            cos2: self.cos2 * cos2 + self.sin2 * sin2,
            sin2: self.sin2 * cos2 - self.cos2 * sin2,
        }
    }

    /// Places in [0, 2 pi) among which all real roots are; complex ones leave a place that is none. `None` if the
    /// eigenvalues do not converge.
    ///
    /// With t = tan((x - x0) / 2) the polynomial is one of degree four in t, whose roots are the eigenvalues of its
    /// companion matrix; x0 is chosen so that its leading coefficient, f(x0 + pi), is not small.
    pub(crate) fn root_places(self) -> Option<Vec<f64>> {
        let largest = (0..8)
            .map(|i| f64::from(i) * (TAU / 8.0))
            .max_by(|a, b| self.at(*a).abs().total_cmp(&self.at(*b).abs()))
            .filter(|x| self.at(*x) != 0.0);
        let Some(largest) = largest else {
            return Some(Vec::new());
        };
        let start = largest - PI;
        let f = self.shifted(start);
        let [c4, c3, c2, c1, c0] = [
            f.mean - f.cos1 + f.cos2,
            2.0 * f.sin1 - 4.0 * f.sin2,
            2.0 * f.mean - 6.0 * f.cos2,
            2.0 * f.sin1 + 4.0 * f.sin2,
            f.mean + f.cos1 + f.cos2,
        ];
        #[rustfmt::skip]
        let companion = Matrix4::new(
            -c3 / c4, -c2 / c4, -c1 / c4, -c0 / c4,
            1.0, 0.0, 0.0, 0.0,
            0.0, 1.0, 0.0, 0.0,
            0.0, 0.0, 1.0, 0.0,
        );
        let roots = Schur::try_new(companion, f64::EPSILON, 1000)?.complex_eigenvalues();
        let place = |t: f64| (start + 2.0 * t.atan()).rem_euclid(TAU);
        Some(roots.iter().map(|t| place(t.re)).collect())
    }
}

#[cfg(test)]
#[path = "harmonics_tests.rs"]
mod tests;
