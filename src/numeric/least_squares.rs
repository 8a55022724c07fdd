//! Least squares within bounds, and places to start it from.
//!
//! Over the Levenberg-Marquardt of the crate `levenberg-marquardt` (MINPACK's, J. J. More 1978), which has neither
//! bounds nor differences nor a way to be stopped: a parameter within bounds is a smooth function of a free variable,
//! derivatives are central differences, and an observer is looked at before every evaluation. Starts are shared out by
//! [`parallel::map`](crate::parallel::map): each is worked on for itself, so that the number of threads changes
//! nothing.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};

use crate::error::Result;
use crate::observer;

/// A parameter within bounds, and the free variable that it is a function of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Parameter {
    /// Between two values: the middle plus half the range times the sine of the variable.
    Even([f64; 2]),
    /// Between two values above zero, evenly in their ratio: the logistic function of the variable says which share of
    /// the ratio.
    Ratio([f64; 2]),
}

impl Parameter {
    pub(crate) fn value(self, variable: f64) -> f64 {
        match self {
            Self::Even([low, high]) => {
                (low + 0.5 * (high - low) * (1.0 + variable.sin())).clamp(low, high)
            }
            Self::Ratio([low, high]) => {
                let share = 1.0 / (1.0 + (-variable).exp());
                (low * (high / low).powf(share)).clamp(low, high)
            }
        }
    }

    /// The variable of a value. At an end of the bounds the function stands still and least squares with it: start
    /// within.
    pub(crate) fn variable(self, value: f64) -> f64 {
        match self {
            Self::Even([low, high]) => (2.0 * (value - low) / (high - low) - 1.0)
                .clamp(-1.0, 1.0)
                .asin(),
            Self::Ratio([low, high]) => {
                let share = (value / low).ln() / (high / low).ln();
                (share / (1.0 - share)).ln()
            }
        }
    }
}

/// How far a sum of squares is made less.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LeastSquares {
    /// Relative change of the sum and of the variables at which it ends; `None`: as far as rounding allows.
    pub tolerance: Option<f64>,
    /// Evaluations for each variable and one more, after which it ends; those for derivatives are not counted.
    pub patience: usize,
    /// Step of the central differences, in a variable.
    pub step: f64,
}

impl Default for LeastSquares {
    /// As far as rounding allows. Variables are of the order of 1, and the third root of a rounding balances rounding
    /// and truncation.
    fn default() -> Self {
        Self {
            tolerance: None,
            patience: 100,
            step: 6e-6,
        }
    }
}

impl LeastSquares {
    /// The variables to which the way down from a start leads. `residuals` are as many everywhere; `None` ends the way
    /// where it has come to.
    ///
    /// # Errors
    /// [`Error::Stopped`](crate::Error::Stopped) if an observer asks to stop.
    pub(crate) fn minimize(
        &self,
        start: Vec<f64>,
        residuals: impl Fn(&[f64]) -> Option<Vec<f64>>,
    ) -> Result<Vec<f64>> {
        observer::check()?;
        let problem = Problem {
            variables: DVector::from_vec(start),
            residuals,
            step: self.step,
        };
        let solver = LevenbergMarquardt::new().with_patience(self.patience);
        let solver = match self.tolerance {
            Some(tolerance) => solver.with_tol(tolerance),
            None => solver,
        };
        let (found, _) = solver.minimize(problem);
        observer::check()?;
        Ok(found.variables.data.into())
    }
}

struct Problem<F> {
    variables: DVector<f64>,
    residuals: F,
    step: f64,
}

impl<F: Fn(&[f64]) -> Option<Vec<f64>>> Problem<F> {
    fn at(&self, variables: &DVector<f64>) -> Option<DVector<f64>> {
        observer::check().ok()?;
        (self.residuals)(variables.as_slice()).map(DVector::from_vec)
    }
}

impl<F: Fn(&[f64]) -> Option<Vec<f64>>> LeastSquaresProblem<f64, Dyn, Dyn> for Problem<F> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, variables: &DVector<f64>) {
        self.variables.copy_from(variables);
    }

    fn params(&self) -> DVector<f64> {
        self.variables.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.at(&self.variables)
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut moved = self.variables.clone();
        let mut columns = Vec::with_capacity(moved.len());
        for i in 0..moved.len() {
            let here = moved[i];
            moved[i] = here + self.step;
            let after = self.at(&moved)?;
            moved[i] = here - self.step;
            let before = self.at(&moved)?;
            moved[i] = here;
            columns.push((after - before) / (2.0 * self.step));
        }
        Some(DMatrix::from_columns(&columns))
    }
}

/// The `number`-th of places spread evenly over the unit cube of so many dimensions as `offsets` has, the first of
/// which it is.
///
/// The additive recurrence of the generalized golden ratio: the fractional parts of offset + number / g^(i + 1), with g
/// the positive root of g^(n + 1) = g + 1.
///
/// # References
/// M. Roberts, *The unreasonable effectiveness of quasirandom sequences* (2018).
pub(crate) fn spread_place(offsets: &[f64], number: usize) -> Vec<f64> {
    let mut golden: f64 = 1.5;
    for _ in 0..64 {
        golden = (1.0 + golden).powf(1.0 / (offsets.len() as f64 + 1.0));
    }
    let shares = offsets.iter().enumerate();
    shares
        .map(|(i, offset)| (offset + number as f64 / golden.powi(i as i32 + 1)).fract())
        .collect()
}

#[cfg(test)]
#[path = "least_squares_tests.rs"]
mod tests;
