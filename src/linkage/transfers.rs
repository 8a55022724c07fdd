//! Transfers at many input angles.

use serde::Serialize;

use super::Transfer;

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
