//! The fit: nonlinear least squares within bounds, and what the readings tell of each quantity.

use std::cell::RefCell;

use nalgebra::{DMatrix, DVector};

use crate::axis::bench::identification::unknown::Unknown;
use crate::error::{Error, Result, counted};
use crate::numeric::least_squares::{LeastSquares, Parameter};
use crate::observer;

/// Evaluations for each quantity, after which the way down ends.
const PATIENCE: usize = 60;
/// Step of the differences, as a part of what is known of a quantity before: of a smooth model rounding and
/// truncation are both some 1e-8 with it.
const STEP: f64 = 1e-4;
/// How near a bound the way down may begin, as a part of the range: at the bound itself it stands still.
const OFF_BOUND: f64 = 1e-3;
/// A direction is seen if the readings tell it to this part of what was known before.
const SEEN: f64 = 0.5;
/// Share of a quantity that may lie in directions that are not seen before no standard error is given for it.
const UNSEEN_SHARE: f64 = 0.1;
/// Quantities with this part of the greatest in a direction take part in it.
const TAKES_PART: f64 = 0.3;
/// Rounds in which the standard deviation of a reading is found from what the fit leaves.
const ROUNDS: usize = 3;
/// Least standard deviation of a reading by what a fit leaves, as a part of the range of the readings: rounding.
const LEAST_SD: f64 = 1e-9;

/// What a fit tells.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    pub(super) values: Vec<f64>,
    /// None for quantities in a direction that the readings do not see.
    pub(super) errors: Vec<Option<f64>>,
    /// By the readings alone.
    pub(super) correlation: Vec<Vec<f64>>,
    /// The quantities of each direction that the readings do not see, the greatest part first.
    pub(super) unseen: Vec<Vec<usize>>,
    pub(super) rms: f64,
    /// Standard deviation of a reading that was used.
    pub(super) sd: f64,
}

/// Fits quantities to readings. `departures` are the readings of the model less those that were measured, as many at
/// all values; `sd` is the standard deviation of a reading if it is known, `smallest` the least that is believed.
pub(super) fn fit(
    unknowns: &[Unknown],
    sd: Option<f64>,
    smallest: f64,
    departures: impl Fn(&[f64]) -> Result<Vec<f64>>,
) -> Result<Fit> {
    let designed: Vec<f64> = unknowns.iter().map(|unknown| unknown.designed).collect();
    let first = departures(&designed)?;
    let rows = first.len();
    let least = unknowns.len() + 1;
    counted("readings to identify from", rows, [least, usize::MAX])?;
    let rms = |departures: &[f64], less: usize| {
        let sum: f64 = departures.iter().map(|d| d * d).sum();
        (sum / (departures.len() - less) as f64).sqrt()
    };
    let mut used = sd.unwrap_or_else(|| rms(&first, 0).max(smallest));
    let mut values = designed;
    let rounds = if sd.is_some() { 1 } else { ROUNDS };
    for _ in 0..rounds {
        values = descend(unknowns, &values, used, &departures)?;
        if sd.is_none() {
            used = rms(&departures(&values)?, unknowns.len()).max(smallest);
        }
    }
    let left = departures(&values)?;
    let slopes = jacobian(unknowns, &values, &departures)?;
    let told = Told::new(unknowns, slopes / used);
    Ok(Fit {
        errors: told.errors,
        correlation: told.correlation,
        unseen: told.unseen,
        rms: rms(&left, 0),
        sd: used,
        values,
    })
}

/// Least standard deviation that is believed of readings over a range.
pub(super) fn smallest_sd(readings: &[f64]) -> f64 {
    let most = readings.iter().fold(0.0_f64, |most, r| most.max(r.abs()));
    (LEAST_SD * most).max(f64::MIN_POSITIVE)
}

/// The way down from a start.
fn descend(
    unknowns: &[Unknown],
    start: &[f64],
    sd: f64,
    departures: &impl Fn(&[f64]) -> Result<Vec<f64>>,
) -> Result<Vec<f64>> {
    let parameters: Vec<Parameter> = unknowns
        .iter()
        .map(|unknown| Parameter::Even(unknown.bounds))
        .collect();
    let both = unknowns.iter().zip(start);
    let begin: Vec<f64> = both
        .map(|(unknown, value)| {
            let [low, high] = unknown.bounds;
            let off = OFF_BOUND * (high - low);
            value.clamp(low + off, high - off)
        })
        .collect();
    let variables = parameters.iter().zip(&begin);
    let variables = variables.map(|(parameter, value)| parameter.variable(*value));
    let at = |variables: &[f64]| -> Vec<f64> {
        let both = parameters.iter().zip(variables);
        both.map(|(parameter, variable)| parameter.value(*variable))
            .collect()
    };
    let failed = RefCell::new(None);
    let residuals = |variables: &[f64]| {
        let values = at(variables);
        let mut residuals = match departures(&values) {
            Ok(departures) => departures,
            Err(error) => {
                failed.borrow_mut().get_or_insert(error);
                return None;
            }
        };
        residuals.iter_mut().for_each(|residual| *residual /= sd);
        for (unknown, value) in unknowns.iter().zip(&values) {
            if let Some(prior) = unknown.prior_sd {
                residuals.push((value - unknown.designed) / prior);
            }
        }
        Some(residuals)
    };
    let method = LeastSquares {
        patience: PATIENCE,
        ..LeastSquares::default()
    };
    let found = at(&method.minimize(variables.collect(), residuals)?);
    // Where the way ended because a part ran into another, the values before it stand; if it never began, why not is
    // told.
    if found
        == at(&begin
            .iter()
            .zip(&parameters)
            .map(|(v, p)| p.variable(*v))
            .collect::<Vec<_>>())
        && let Some(error) = failed.into_inner()
    {
        return Err(error);
    }
    Ok(found)
}

/// Change of each reading for each quantity, in what is known of it before.
fn jacobian(
    unknowns: &[Unknown],
    values: &[f64],
    departures: &impl Fn(&[f64]) -> Result<Vec<f64>>,
) -> Result<DMatrix<f64>> {
    let mut columns = Vec::with_capacity(unknowns.len());
    let mut moved = values.to_vec();
    for (i, unknown) in unknowns.iter().enumerate() {
        observer::check()?;
        let step = (STEP * unknown.scale()).min(0.25 * (unknown.bounds[1] - unknown.bounds[0]));
        let middle = values[i].clamp(unknown.bounds[0] + step, unknown.bounds[1] - step);
        moved[i] = middle + step;
        let after = DVector::from_vec(departures(&moved)?);
        moved[i] = middle - step;
        let before = DVector::from_vec(departures(&moved)?);
        moved[i] = values[i];
        columns.push((after - before) * (unknown.scale() / (2.0 * step)));
    }
    Ok(DMatrix::from_columns(&columns))
}

/// What slopes, in standard deviations of a reading for what is known before, tell.
struct Told {
    errors: Vec<Option<f64>>,
    correlation: Vec<Vec<f64>>,
    unseen: Vec<Vec<usize>>,
}

impl Told {
    fn new(unknowns: &[Unknown], slopes: DMatrix<f64>) -> Self {
        let count = unknowns.len();
        // The triangle has the singular values and right vectors of the whole, without its rows.
        let triangle = slopes.qr().r();
        let (sizes, rows) = directions(&triangle);
        let greatest = sizes.iter().fold(0.0_f64, |most, size| most.max(*size));
        let mut unseen_share = vec![0.0; count];
        let mut unseen = Vec::new();
        for (size, direction) in sizes.iter().zip(&rows) {
            if size * SEEN >= 1.0 {
                continue;
            }
            for (share, part) in unseen_share.iter_mut().zip(direction) {
                *share += part * part;
            }
            let most = direction
                .iter()
                .fold(0.0_f64, |most, part| most.max(part.abs()));
            let mut parts: Vec<usize> = (0..count)
                .filter(|i| direction[*i].abs() >= TAKES_PART * most)
                .collect();
            parts.sort_by(|a, b| direction[*b].abs().total_cmp(&direction[*a].abs()));
            unseen.push(parts);
        }
        // By the readings alone; a direction that they do not see at all rules whatever takes part in it.
        let floor = (1e-9 * greatest).max(1e-9);
        let covariance = |i: usize, j: usize| -> f64 {
            let both = sizes.iter().zip(&rows);
            both.map(|(size, row)| row[i] * row[j] / size.max(floor).powi(2))
                .sum()
        };
        let correlation = (0..count)
            .map(|i| {
                let of = |j: usize| {
                    let scale = (covariance(i, i) * covariance(j, j)).sqrt();
                    if i == j {
                        1.0
                    } else {
                        (covariance(i, j) / scale).clamp(-1.0, 1.0)
                    }
                };
                (0..count).map(of).collect()
            })
            .collect();
        // With what was known before.
        let mut stacked = DMatrix::zeros(triangle.nrows() + count, count);
        stacked.rows_mut(0, triangle.nrows()).copy_from(&triangle);
        for (i, unknown) in unknowns.iter().enumerate() {
            if unknown.prior_sd.is_some() {
                stacked[(triangle.nrows() + i, i)] = 1.0;
            }
        }
        let (sizes, rows) = directions(&stacked.qr().r());
        let errors = unknowns.iter().enumerate().map(|(i, unknown)| {
            if unseen_share[i] > UNSEEN_SHARE {
                return None;
            }
            let both = sizes.iter().zip(&rows);
            let variance: f64 = both
                .map(|(size, row)| (row[i] / size.max(floor)).powi(2))
                .sum();
            Some(unknown.scale() * variance.sqrt())
        });
        Self {
            errors: errors.collect(),
            correlation,
            unseen,
        }
    }
}

/// Singular values and right vectors, by rows.
fn directions(matrix: &DMatrix<f64>) -> (Vec<f64>, Vec<Vec<f64>>) {
    let svd = matrix.clone().svd(false, true);
    let sizes: Vec<f64> = svd.singular_values.iter().copied().collect();
    let rows = svd.v_t.map_or_else(Vec::new, |v| {
        v.row_iter()
            .map(|row| row.iter().copied().collect())
            .collect()
    });
    (sizes, rows)
}

/// What cannot be identified because it is asked for twice, or not at all.
pub(super) fn check_sought<Q: PartialEq + std::fmt::Display>(sought: &[Q]) -> Result<()> {
    counted("quantities to identify", sought.len(), [1, 16])?;
    for (i, quantity) in sought.iter().enumerate() {
        if sought[..i].contains(quantity) {
            return Err(Error::NameTaken {
                quantity: "quantities to identify",
                name: quantity.to_string(),
            });
        }
    }
    Ok(())
}
