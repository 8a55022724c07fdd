//! Linear least squares of very many rows, plain or robust.
//!
//! nalgebra factors a matrix that is there as a whole; a million rows by ten columns need not be: rows are worked into
//! the triangle of a QR factorization a block at a time, so that no digits are lost to normal equations. Robust is
//! Huber's estimate by iteratively reweighted least squares, for which the crates at hand have no form with a scale
//! from the data.
//!
//! # References
//! P. J. Huber, *Robust Statistics* (Wiley 1981), ch. 7: weights min(1, k s / |r|), k = 1.345 for 95 % efficiency at
//! normally distributed errors, s the median absolute residual over 0.6745.

use nalgebra::{DMatrix, DVector};

use crate::error::Result;
use crate::numeric::median::{MAD_TO_SD, median};
use crate::observer;

/// Rows that are worked in at once.
const BLOCK: usize = 512;
/// A diagonal entry of the triangle below this part of the greatest one is rounding: the column is none of its own.
const RANK: f64 = 1e-11;
/// Huber's constant.
const HUBER: f64 = 1.345;
/// Rounds of reweighting at most, and the change of a coefficient, as a part of the greatest, at which they end.
const ROUNDS: usize = 60;
const SETTLED: f64 = 1e-12;

/// Coefficients with the least sum of squares; `row` writes the values of the base functions and returns the value that
/// they should add up to. `None` where the rows do not determine them.
pub(crate) fn least_squares(
    rows: usize,
    columns: usize,
    weight: impl Fn(usize) -> f64,
    mut row: impl FnMut(usize, &mut [f64]) -> f64,
) -> Result<Option<Vec<f64>>> {
    let width = columns + 1;
    let mut triangle = DMatrix::zeros(width, width);
    let mut values = vec![0.0; columns];
    for start in (0..rows).step_by(BLOCK) {
        observer::check()?;
        let block = BLOCK.min(rows - start);
        let mut stacked = DMatrix::zeros(width + block, width);
        stacked.rows_mut(0, width).copy_from(&triangle);
        for i in 0..block {
            let wanted = row(start + i, &mut values);
            // Squares are weighted.
            let root = weight(start + i).sqrt();
            for (j, value) in values.iter().enumerate() {
                stacked[(width + i, j)] = root * value;
            }
            stacked[(width + i, columns)] = root * wanted;
        }
        triangle = stacked.qr().r();
    }
    let left = triangle.view((0, 0), (columns, columns));
    let greatest = left.diagonal().amax();
    let full = left.diagonal().iter().all(|d| d.abs() > RANK * greatest);
    if columns == 0 || rows < columns || !full {
        return Ok(None);
    }
    let right: DVector<f64> = triangle.view((0, columns), (columns, 1)).column(0).into();
    let found = left.solve_upper_triangular(&right);
    let found = found.filter(|found| found.iter().all(|value| value.is_finite()));
    Ok(found.map(|found| found.data.into()))
}

/// The same by Huber's estimate: residuals beyond 1.345 standard deviations count with their size, not its square.
pub(crate) fn huber(
    rows: usize,
    columns: usize,
    mut row: impl FnMut(usize, &mut [f64]) -> f64,
) -> Result<Option<Vec<f64>>> {
    let Some(mut found) = least_squares(rows, columns, |_| 1.0, &mut row)? else {
        return Ok(None);
    };
    let mut values = vec![0.0; columns];
    for _ in 0..ROUNDS {
        let mut residuals = Vec::with_capacity(rows);
        for i in 0..rows {
            let wanted = row(i, &mut values);
            let told: f64 = values.iter().zip(&found).map(|(v, c)| v * c).sum();
            residuals.push((wanted - told).abs());
        }
        let scale = MAD_TO_SD * median(&mut residuals.clone());
        let limit = HUBER * scale;
        if limit <= 0.0 || limit.is_nan() {
            break;
        }
        let weight = |i: usize| (limit / residuals[i]).min(1.0);
        let Some(next) = least_squares(rows, columns, weight, &mut row)? else {
            break;
        };
        let change = next.iter().zip(&found).map(|(a, b)| (a - b).abs());
        let change = change.fold(0.0, f64::max);
        let greatest = next.iter().fold(0.0_f64, |most, c| most.max(c.abs()));
        found = next;
        if change <= SETTLED * greatest {
            break;
        }
    }
    Ok(Some(found))
}

#[cfg(test)]
#[path = "linear_fit_tests.rs"]
mod tests;
