//! What a magnet gives at many points: values in the order of the points, and which of them there are.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};
use crate::magnet::MAX_COORDINATE;
use crate::parallel;
use crate::units::MU_0;
use nalgebra::{Matrix3, Point3, SMatrix, Vector3};

/// Vectors of a field at many points, same length and order as the points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fields {
    /// Flux density B (T), field strength H (A/m) or polarization J (T), whichever was asked for; NaN in the rows
    /// that have none.
    pub values: Vec<Vector3<f64>>,
    /// Whether the row has a value: `false` where the call for one point gives an error.
    pub valid: Vec<bool>,
}

/// Where [`FieldSource::fields_into`](crate::magnet::FieldSource::fields_into) writes what [`Fields`] holds, an entry
/// for each point.
#[derive(Debug)]
pub struct FieldColumns<'a> {
    /// Flux density B, T; NaN in the rows that have none.
    pub values: &'a mut [Vector3<f64>],
    /// Whether the row has a value; `None` if that is not wanted.
    pub valid: Option<&'a mut [bool]>,
}

impl FieldColumns<'_> {
    /// What `add` writes, into columns as long as the points.
    pub(super) fn collect(
        self,
        points: &[Point3<f64>],
        add: impl Fn(&[Point3<f64>], &mut [Vector3<f64>]) + Sync,
    ) -> Result<()> {
        self.check(points.len())?;
        collect_into(points, self.values, self.valid, |points, values| {
            values.fill(Vector3::zeros());
            add(points, values);
        });
        Ok(())
    }

    /// The same columns again, to be written one after the other.
    pub(super) fn again(&mut self) -> FieldColumns<'_> {
        FieldColumns {
            values: self.values,
            valid: self.valid.as_deref_mut(),
        }
    }

    /// NaN and marked in the rows of the points that are not `kept`.
    pub(super) fn mask(self, points: &[Point3<f64>], kept: impl Fn(&Point3<f64>) -> bool) {
        mask(self.values, self.valid, points, kept);
    }

    /// What there is already, into columns as long as the points.
    pub(super) fn copy(self, fields: &Fields) -> Result<()> {
        self.check(fields.values.len())?;
        self.values.copy_from_slice(&fields.values);
        if let Some(valid) = self.valid {
            valid.copy_from_slice(&fields.valid);
        }
        Ok(())
    }

    fn check(&self, points: usize) -> Result<()> {
        let valid = self.valid.as_ref().map(|column| column.len());
        let mut lengths = [Some(self.values.len()), valid].into_iter().flatten();
        match lengths.find(|length| *length != points) {
            None => Ok(()),
            Some(length) => Err(Error::LengthMismatch {
                first: "points",
                first_len: points,
                second: "column to be written",
                second_len: length,
            }),
        }
    }
}

impl Fields {
    pub(super) fn collect(
        points: &[Point3<f64>],
        add: impl Fn(&[Point3<f64>], &mut [Vector3<f64>]) + Sync,
    ) -> Self {
        let (values, valid) = collect(points, add);
        Self { values, valid }
    }

    /// H from what `add` writes, mu0 H.
    pub(super) fn strengths(
        points: &[Point3<f64>],
        add: impl Fn(&[Point3<f64>], &mut [Vector3<f64>]) + Sync,
    ) -> Self {
        Self::collect(points, |points, values| {
            add(points, values);
            values.iter_mut().for_each(|value| *value /= MU_0);
        })
    }

    pub(super) fn one_by_one(
        points: &[Point3<f64>],
        at: impl Fn(&Point3<f64>) -> Result<Vector3<f64>>,
    ) -> Self {
        let (values, valid) = one_by_one(points, at);
        Self { values, valid }
    }

    /// NaN and marked in the rows of the points that are not `kept`.
    pub(super) fn masked(
        mut self,
        points: &[Point3<f64>],
        kept: impl Fn(&Point3<f64>) -> bool,
    ) -> Self {
        mask(&mut self.values, Some(&mut self.valid), points, kept);
        self
    }
}

/// Gradients of B at many points, same length and order as the points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Gradients {
    /// Gradient of B, T/m: element (i, j) is dB_i/dx_j; NaN in the rows that have none.
    pub values: Vec<Matrix3<f64>>,
    /// Whether the row has a value, as in [`Fields`].
    pub valid: Vec<bool>,
}

impl Gradients {
    pub(super) fn collect(
        points: &[Point3<f64>],
        add: impl Fn(&[Point3<f64>], &mut [Matrix3<f64>]) + Sync,
    ) -> Self {
        let (values, valid) = collect(points, add);
        Self { values, valid }
    }

    pub(super) fn one_by_one(
        points: &[Point3<f64>],
        at: impl Fn(&Point3<f64>) -> Result<Matrix3<f64>>,
    ) -> Self {
        let (values, valid) = one_by_one(points, at);
        Self { values, valid }
    }

    /// As [`Fields::masked`].
    pub(super) fn masked(
        mut self,
        points: &[Point3<f64>],
        kept: impl Fn(&Point3<f64>) -> bool,
    ) -> Self {
        mask(&mut self.values, Some(&mut self.valid), points, kept);
        self
    }
}

/// What the call for one point gives at each of many.
fn one_by_one<const C: usize>(
    points: &[Point3<f64>],
    at: impl Fn(&Point3<f64>) -> Result<SMatrix<f64, 3, C>>,
) -> (Vec<SMatrix<f64, 3, C>>, Vec<bool>) {
    let row = |point| match at(point) {
        Ok(value) => (value, true),
        Err(_) => (SMatrix::repeat(f64::NAN), false),
    };
    points.iter().map(row).unzip()
}

fn mask<const C: usize>(
    values: &mut [SMatrix<f64, 3, C>],
    mut valid: Option<&mut [bool]>,
    points: &[Point3<f64>],
    kept: impl Fn(&Point3<f64>) -> bool,
) {
    for (i, (point, value)) in points.iter().zip(values).enumerate() {
        if !kept(point) {
            *value = SMatrix::repeat(f64::NAN);
            if let Some(valid) = &mut valid {
                valid[i] = false;
            }
        }
    }
}

/// Points from which the work is shared out among the cores: two stretches already gain (22 to 15 ns a point on two
/// cores for a block).
const SHARED: usize = 2 * STRETCH;
/// Points that are worked on at a time: their values stay in the second-level cache, so that marking costs no second
/// pass through memory.
const STRETCH: usize = 4096;

/// Adds up what `add` writes for each magnet, and marks the rows without a value.
///
/// Every stretch is worked on by itself, so the number of cores changes nothing in the values.
fn collect<const C: usize>(
    points: &[Point3<f64>],
    add: impl Fn(&[Point3<f64>], &mut [SMatrix<f64, 3, C>]) + Sync,
) -> (Vec<SMatrix<f64, 3, C>>, Vec<bool>) {
    let mut values = vec![SMatrix::zeros(); points.len()];
    let mut valid = vec![false; points.len()];
    collect_into(points, &mut values, Some(&mut valid), add);
    (values, valid)
}

/// The same with what `write` writes, into memory of the right length.
fn collect_into<const C: usize>(
    points: &[Point3<f64>],
    values: &mut [SMatrix<f64, 3, C>],
    valid: Option<&mut [bool]>,
    write: impl Fn(&[Point3<f64>], &mut [SMatrix<f64, 3, C>]) + Sync,
) {
    let mut masks = valid.map(|valid| valid.chunks_mut(STRETCH));
    let stretches: Vec<_> = points
        .chunks(STRETCH)
        .zip(values.chunks_mut(STRETCH))
        .map(|(points, values)| (points, values, masks.as_mut().and_then(Iterator::next)))
        .collect();
    let work = |(points, values, mask): (&[Point3<f64>], _, Option<&mut [bool]>)| {
        let values: &mut [SMatrix<f64, 3, C>] = values;
        write(points, values);
        let mark = |point: &Point3<f64>, value: &mut SMatrix<f64, 3, C>| {
            // Only an edge or a point that is no point makes the sum of the components not finite.
            let reach = point.x.abs().max(point.y.abs()).max(point.z.abs());
            let valid = reach <= MAX_COORDINATE && value.sum().is_finite();
            if !valid {
                *value = SMatrix::repeat(f64::NAN);
            }
            valid
        };
        let rows = points.iter().zip(values);
        match mask {
            Some(mask) => rows
                .zip(mask)
                .for_each(|((point, value), valid)| *valid = mark(point, value)),
            None => rows.for_each(|(point, value)| {
                mark(point, value);
            }),
        }
    };
    if points.len() < SHARED {
        stretches.into_iter().for_each(work);
    } else {
        parallel::for_each(stretches.into_iter(), work);
    }
}
