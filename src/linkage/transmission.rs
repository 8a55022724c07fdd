//! What a linkage makes of an input angle: the output angle and its derivatives, at one angle or many.

use serde::Serialize;

use crate::error::{Result, finite};

/// What a linkage gives at many input angles, same length and order as the angles.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Transfers {
    /// Output angles, rad; NaN in the rows that have none.
    pub angles: Vec<f64>,
    /// First derivatives of the output angle by the input angle.
    pub ratios: Vec<f64>,
    /// Second derivatives, 1/rad.
    pub curvatures: Vec<f64>,
    /// Whether the row has a value.
    pub valid: Vec<bool>,
}

impl Transfers {
    /// Leaves the rows that are not valid without a value.
    pub(super) fn blank_where_not(&mut self, valid: &[bool]) {
        for (i, _) in valid.iter().enumerate().filter(|(_, valid)| !**valid) {
            self.valid[i] = false;
            for column in [&mut self.angles, &mut self.ratios, &mut self.curvatures] {
                column[i] = f64::NAN;
            }
        }
    }
}

impl FromIterator<Option<Transfer>> for Transfers {
    fn from_iter<I: IntoIterator<Item = Option<Transfer>>>(rows: I) -> Self {
        let rows: Vec<_> = rows.into_iter().collect();
        let column = |part: fn(&Transfer) -> f64| {
            let value = |row: &Option<Transfer>| row.as_ref().map_or(f64::NAN, part);
            rows.iter().map(value).collect()
        };
        Self {
            angles: column(|row| row.angle),
            ratios: column(|row| row.ratio),
            curvatures: column(|row| row.curvature),
            valid: rows.iter().map(Option::is_some).collect(),
        }
    }
}

/// An output angle and how it follows the input angle.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Transfer {
    /// Output angle, rad.
    pub angle: f64,
    /// First derivative of the output angle by the input angle (ratio of angular velocities).
    pub ratio: f64,
    /// Second derivative of the output angle by the input angle, 1/rad.
    pub curvature: f64,
}

impl Transfer {
    /// An output angle (rad) with its first and second derivative (1/rad) by the input angle.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite).
    pub fn new(angle: f64, ratio: f64, curvature: f64) -> Result<Self> {
        Ok(Self {
            angle: finite("output angle", angle, "rad")?,
            ratio: finite("ratio of output to input", ratio, "(no unit)")?,
            curvature: finite("second derivative of the output", curvature, "1/rad")?,
        })
    }

    /// What comes out of `next`, whose input is the output of this one: by the chain rule.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        Self {
            angle: next.angle,
            ratio: next.ratio * self.ratio,
            curvature: next.curvature * self.ratio * self.ratio + next.ratio * self.curvature,
        }
    }
}
