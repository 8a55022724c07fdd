//! Ball-joint rods at many angles, and many of them: the fast path.

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::linkage::ball_rod::TURN;
use crate::linkage::ball_rod::kernel::{Half, Input, Kernel};
use crate::linkage::{BallRod, TransferColumns, Transfers};
use crate::numeric::simd::grid::{self, ClosedForm, Columns};
use crate::numeric::simd::lanes::{atan2, cos_sin, select};

/// Output angles of both assemblies, rad, between -pi and pi; NaN where the rod does not reach.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BallRodAngles {
    /// Put together as at neutral.
    pub neutral: Vec<f64>,
    /// Put together the other way.
    pub other: Vec<f64>,
    /// Whether the rod reaches.
    pub valid: Vec<bool>,
}

/// Where [`BallRod::solve_many_into`] writes what [`BallRodAngles`] holds, an entry for each input angle; `None` for
/// what is not wanted.
#[derive(Debug, Default)]
pub struct BallRodColumns<'a> {
    /// Put together as at neutral, rad.
    pub neutral: Option<&'a mut [f64]>,
    /// Put together the other way, rad.
    pub other: Option<&'a mut [f64]>,
    /// Whether the rod reaches.
    pub valid: Option<&'a mut [bool]>,
}

impl BallRod {
    /// Output angles of both assemblies at many input angles (rad, -2 pi to 2 pi).
    ///
    /// This is geometry alone: it also solves where the linkage closes again beyond a lock, and does not count whole
    /// turns. [`transfers`](Self::transfers) does both. Values agree with [`output_angle`](Self::output_angle) to a few
    /// units in the last place; at and beside a lock, to what that leaves of them. The rod closes to some 2e-15 (1 +
    /// output arm / rod) of the size of the linkage.
    #[must_use]
    pub fn solve_many(&self, angles: &[f64]) -> BallRodAngles {
        solve(std::slice::from_ref(self), angles)
    }

    /// [`solve_many`](Self::solve_many) into memory that there is. Of very many angles new memory costs as much as the
    /// arithmetic.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`](crate::Error::LengthMismatch) if a column is not as long as the angles.
    pub fn solve_many_into(&self, angles: &[f64], columns: BallRodColumns<'_>) -> Result<()> {
        let columns = Columns {
            values: [columns.neutral, columns.other],
            valid: columns.valid,
        };
        columns.check("input angles", angles.len())?;
        grid::solve_into(Both, &[self.both_row()], angles, columns);
        Ok(())
    }

    /// Output angles of both assemblies of many linkages at many input angles (rad, -2 pi to 2 pi), for tolerance
    /// studies: linkage i at angle j is entry i * (number of angles) + j.
    #[must_use]
    pub fn solve_grid(rods: &[Self], angles: &[f64]) -> BallRodAngles {
        solve(rods, angles)
    }

    /// Output angle, ratio and its change at many input angles (rad): [`transfer`](Self::transfer) for each.
    ///
    /// Angles where `transfer` would return an error are NaN and marked. Values agree with it to a few units in the
    /// last place; beside a lock, to what that leaves of them.
    #[must_use]
    pub fn transfers(&self, angles: &[f64]) -> Transfers {
        let mut all = Transfers::blank(angles.len());
        self.write_transfers(angles, all.columns().for_grid());
        all
    }

    /// [`transfers`](Self::transfers) into memory that there is.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`](crate::Error::LengthMismatch) if a column is not as long as the angles.
    pub fn transfers_into(&self, angles: &[f64], columns: TransferColumns<'_>) -> Result<()> {
        let columns = columns.for_grid();
        columns.check("input angles", angles.len())?;
        self.write_transfers(angles, columns);
        Ok(())
    }

    /// Into columns of the right length.
    fn write_transfers(&self, angles: &[f64], mut columns: Columns<'_, 3>) {
        let travel = self.travel();
        let form = OnTheWay {
            side: self.side,
            locks: travel.map_or([-TURN, TURN], |travel| [travel.lower, travel.upper]),
        };
        let here = Columns {
            values: columns.values.each_mut().map(Option::as_deref_mut),
            valid: columns.valid.as_deref_mut(),
        };
        grid::solve_into(form, &[self.kernel.row()], angles, here);
        let winds = self.winds();
        for (i, input) in angles.iter().enumerate() {
            if !winds && !form.locks.contains(input) {
                continue;
            }
            let row = self
                .transfer(*input)
                .map_or([f64::NAN; 3], |at| [at.angle, at.ratio, at.curvature]);
            for (column, value) in columns.values.iter_mut().zip(row) {
                if let Some(column) = column
                    && !column[i].is_nan()
                {
                    column[i] = value;
                }
            }
            if let Some(valid) = &mut columns.valid {
                valid[i] &= !row[0].is_nan();
            }
        }
    }

    /// The coefficients for both assemblies.
    fn both_row(&self) -> [f64; 11] {
        let [p0, p1, p2, q0, q1, q2, w0, w1, w2, touch] = self.kernel.row();
        [p0, p1, p2, q0, q1, q2, w0, w1, w2, touch, self.side]
    }
}

fn solve(rods: &[BallRod], angles: &[f64]) -> BallRodAngles {
    let rows: Vec<_> = rods.iter().map(BallRod::both_row).collect();
    let ([neutral, other], valid) = grid::solve(Both, &rows, angles);
    BallRodAngles {
        neutral,
        other,
        valid,
    }
}

#[inline(always)]
pub(super) fn input<const FMA: bool>(angle: f64) -> Input {
    let [cos, sin] = cos_sin::<FMA>(0.5 * angle);
    Input::halves(sin, cos)
}

#[inline(always)]
fn turned<const FMA: bool>(half: Half) -> f64 {
    2.0 * atan2::<FMA>(half.num, half.den)
}

#[derive(Clone, Copy)]
struct Both;

impl ClosedForm<11, 2> for Both {
    #[inline(always)]
    fn solve<const FMA: bool>(self, row: [f64; 11], angle: f64) -> [f64; 2] {
        let [p0, p1, p2, q0, q1, q2, w0, w1, w2, touch, side] = row;
        let kernel = Kernel::of_row([p0, p1, p2, q0, q1, q2, w0, w1, w2, touch]);
        let at = kernel.at::<FMA>(input::<FMA>(angle));
        let closes = kernel.closes(&at) & (angle.abs() <= TURN);
        [
            select(closes, turned::<FMA>(at.half(side)), f64::NAN),
            select(closes, turned::<FMA>(at.half(-side)), f64::NAN),
        ]
    }
}

/// The neutral assembly between its locks.
#[derive(Clone, Copy)]
struct OnTheWay {
    side: f64,
    locks: [f64; 2],
}

impl ClosedForm<10, 3> for OnTheWay {
    #[inline(always)]
    fn solve<const FMA: bool>(self, row: [f64; 10], angle: f64) -> [f64; 3] {
        let kernel = Kernel::of_row(row);
        let input = input::<FMA>(angle);
        let at = kernel.at::<FMA>(input);
        let half = at.half(self.side);
        let (ratio, curvature) = kernel.derivatives::<FMA>(input, &at, half, self.side);
        // At a lock the ratio is infinite, or so large that its square is.
        let reached = kernel.closes(&at)
            & (angle >= self.locks[0])
            & (angle <= self.locks[1])
            & (curvature.abs() < f64::INFINITY);
        [
            select(reached, turned::<FMA>(half), f64::NAN),
            select(reached, ratio, f64::NAN),
            select(reached, curvature, f64::NAN),
        ]
    }
}
