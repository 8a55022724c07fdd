//! Both branches of a four-bar at many angles, and of many four-bars: the fast path.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::linkage::planar::four_bar::place::{Lengths, place};
use crate::linkage::planar::four_bar::{Branch, FourBar};
use crate::linkage::{MAX_ANGLE, Range, Transfers, until_stopped};
use crate::numeric::simd::grid::{self, ClosedForm, Columns};
use crate::numeric::simd::lanes::{atan2, cos_sin, select};

/// Angles of one branch, rad, in the order asked for; NaN where the linkage does not close.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BranchAngles {
    /// Direction from the crank joint to the rocker joint.
    pub coupler: Vec<f64>,
    /// Direction from the rocker pivot to the rocker joint.
    pub rocker: Vec<f64>,
}

/// Both branches at many crank angles, or of many four-bars.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FourBarSolutions {
    /// The open branch.
    pub open: BranchAngles,
    /// The crossed branch.
    pub crossed: BranchAngles,
    /// Whether the linkage closes there.
    pub valid: Vec<bool>,
}

/// Where [`FourBar::solve_many_into`] writes what [`FourBarSolutions`] holds, an entry for each crank angle; `None` for
/// what is not wanted.
#[derive(Debug, Default)]
pub struct FourBarColumns<'a> {
    /// Coupler angles of the open branch, rad.
    pub open_coupler: Option<&'a mut [f64]>,
    /// Rocker angles of the open branch, rad.
    pub open_rocker: Option<&'a mut [f64]>,
    /// Coupler angles of the crossed branch, rad.
    pub crossed_coupler: Option<&'a mut [f64]>,
    /// Rocker angles of the crossed branch, rad.
    pub crossed_rocker: Option<&'a mut [f64]>,
    /// Whether the linkage closes there.
    pub valid: Option<&'a mut [bool]>,
}

/// Angles along a sweep without jumps, rad, in the order asked for; NaN where the linkage does not close.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct BranchTrack {
    /// Direction from the crank joint to the rocker joint.
    pub coupler: Vec<f64>,
    /// Direction from the rocker pivot to the rocker joint.
    pub rocker: Vec<f64>,
    /// Whether the linkage closes there and the crank gets there from the row before.
    pub valid: Vec<bool>,
}

/// Which stretch an angle lies in or next to, and in which turn; all angles are in one if there are no limits.
fn nearest_stretch(stretches: &[Range], angle: f64) -> (usize, f64) {
    let mut nearest = (f64::INFINITY, (0, 0.0));
    for (number, stretch) in stretches.iter().enumerate() {
        let middle = 0.5 * (stretch.lower + stretch.upper);
        let turns = ((angle - middle) / TAU).round();
        let beyond = (angle - turns * TAU - middle).abs() - 0.5 * stretch.length();
        if beyond < nearest.0 {
            nearest = (beyond, (number, turns));
        }
    }
    nearest.1
}

impl FourBar {
    /// Coupler and rocker angles of both branches at many crank angles (rad).
    ///
    /// Angles where [`FourBar::pose`] would return an error are NaN and marked; a rounding beyond the end of the
    /// crank's travel the two may differ. Values lie in [-pi, pi] and agree with `pose` to a few units in the last
    /// place, beside dead centers to what these leave of them; the links close to 2e-15 of the sum of the lengths.
    #[must_use]
    pub fn solve_many(&self, crank_angles: &[f64]) -> FourBarSolutions {
        solve(&[self.lengths.row()], crank_angles)
    }

    /// [`solve_many`](Self::solve_many) into memory that there is. Of very many angles new memory costs as much as the
    /// arithmetic.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`](crate::Error::LengthMismatch) if a column is not as long as the angles.
    ///
    /// # Example
    /// ```
    /// use yokewright::linkage::{FourBar, FourBarColumns};
    ///
    /// let bar = FourBar::new(0.1, 0.04, 0.12, 0.08)?;
    /// let (angles, mut rocker) = ([0.3, 0.4], [0.0; 2]);
    /// let columns = FourBarColumns { open_rocker: Some(&mut rocker), ..FourBarColumns::default() };
    /// bar.solve_many_into(&angles, columns)?;
    /// assert_eq!(rocker.as_slice(), bar.solve_many(&angles).open.rocker);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    pub fn solve_many_into(&self, crank_angles: &[f64], columns: FourBarColumns<'_>) -> Result<()> {
        let FourBarColumns {
            open_coupler,
            open_rocker,
            crossed_coupler,
            crossed_rocker,
            valid,
        } = columns;
        let columns = Columns {
            values: [open_coupler, open_rocker, crossed_coupler, crossed_rocker],
            valid,
        };
        columns.check("crank angles", crank_angles.len())?;
        grid::solve_into(Both, &[self.lengths.row()], crank_angles, columns);
        Ok(())
    }

    /// Coupler and rocker angles of both branches of many four-bars at many crank angles (rad), for tolerance studies.
    ///
    /// `lengths`: rows of ground, crank, coupler, rocker (m). Row i at angle j is entry i * (number of angles) + j.
    /// Lengths that [`FourBar::new`] would refuse, and angles at which a linkage does not close, are NaN and marked.
    #[must_use]
    pub fn solve_grid(lengths: &[[f64; 4]], crank_angles: &[f64]) -> FourBarSolutions {
        let rows = lengths.iter().map(|row| {
            let [ground, crank, coupler, rocker] = *row;
            Self::new(ground, crank, coupler, rocker).map_or([f64::NAN; 4], |_| *row)
        });
        solve(&rows.collect::<Vec<_>>(), crank_angles)
    }

    /// Coupler and rocker angles (rad) of one branch without jumps along a sweep of the crank, also beyond pi and over
    /// several turns.
    ///
    /// The count of turns follows from where the linkage is, not from the angles before, so the sweep may be as coarse
    /// as you like. Where it steps over angles at which the linkage does not close, from one stretch of
    /// [`FourBar::crank_travel`] to another, the crank cannot follow: the rows beyond are marked, until the sweep comes
    /// back or to a row at which the linkage does not close, after which it begins anew. Only at a change point (see
    /// [`FourBarClass::ChangePoint`](crate::linkage::planar::four_bar::FourBarClass::ChangePoint)), where the branches
    /// meet, another sweep may be possible too.
    #[must_use]
    pub fn track(&self, crank_angles: &[f64], branch: Branch) -> BranchTrack {
        let stretches = self.stretches();
        let mut here = None;
        let found: Vec<_> = until_stopped(crank_angles)
            .map(|angle| {
                if self.placed(*angle).is_err() {
                    here = None;
                    return None;
                }
                let there = nearest_stretch(&stretches, *angle);
                let reached = *here.get_or_insert(there) == there;
                reached.then(|| self.continuous_angles(*angle, branch))
            })
            .collect();
        let part = |i: usize| {
            found
                .iter()
                .map(|angles| angles.map_or(f64::NAN, |angles| angles[i]))
                .collect()
        };
        BranchTrack {
            coupler: part(0),
            rocker: part(1),
            valid: found.iter().map(Option::is_some).collect(),
        }
    }

    /// Rocker angles with first and second derivative at many crank angles (rad); angles where [`FourBar::transfer`]
    /// would return an error are NaN and marked.
    #[must_use]
    pub fn transfers(&self, crank_angles: &[f64], branch: Branch) -> Transfers {
        let transfer = |angle: &f64| self.transfer(*angle, branch).ok();
        until_stopped(crank_angles).map(transfer).collect()
    }
}

fn solve(rows: &[[f64; 4]], angles: &[f64]) -> FourBarSolutions {
    let (columns, valid) = grid::solve(Both, rows, angles);
    let [open_coupler, open_rocker, crossed_coupler, crossed_rocker] = columns;
    FourBarSolutions {
        open: BranchAngles {
            coupler: open_coupler,
            rocker: open_rocker,
        },
        crossed: BranchAngles {
            coupler: crossed_coupler,
            rocker: crossed_rocker,
        },
        valid,
    }
}

impl Lengths {
    fn row(&self) -> [f64; 4] {
        [self.ground, self.crank, self.coupler, self.rocker]
    }
}

/// Coupler and rocker angle of the open and of the crossed branch.
#[derive(Clone, Copy)]
struct Both;

impl ClosedForm<4, 4> for Both {
    #[inline(always)]
    fn solve<const FMA: bool>(self, row: [f64; 4], angle: f64) -> [f64; 4] {
        let [ground, crank, coupler, rocker] = row;
        let lengths = Lengths {
            ground,
            crank,
            coupler,
            rocker,
        };
        let placed = place(&lengths, cos_sin::<FMA>(angle));
        let closes = (placed.gap <= lengths.slack())
            & (placed.f > lengths.rounding())
            & (angle.abs() <= MAX_ANGLE);
        // NaN spreads to all four angles.
        let h = select(closes, placed.h, f64::NAN);
        let [open_coupler, open_rocker] = placed.links(h);
        let [crossed_coupler, crossed_rocker] = placed.links(-h);
        [
            atan2::<FMA>(open_coupler[1], open_coupler[0]),
            atan2::<FMA>(open_rocker[1], open_rocker[0]),
            atan2::<FMA>(crossed_coupler[1], crossed_coupler[0]),
            atan2::<FMA>(crossed_rocker[1], crossed_rocker[0]),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Share of a turn that two instruction sets may differ by: fused multiplication rounds once where the plain one
    /// rounds twice.
    const ROUNDING: f64 = 64.0 * f64::EPSILON;

    #[test]
    fn instruction_sets_agree() {
        let rows = [[0.1, 0.04, 0.12, 0.08], [0.05, 0.05, 0.08, 0.07]];
        let angles = (0..301).map(|i| f64::from(i) * 0.02 - 3.0);
        let (mut closed, mut all) = (0, 0);
        for (row, angle) in rows
            .into_iter()
            .flat_map(|row| angles.clone().map(move |x| (row, x)))
        {
            let (fused, plain) = (
                Both.solve::<true>(row, angle),
                Both.solve::<false>(row, angle),
            );
            for (fused, plain) in fused.into_iter().zip(plain) {
                let agree = (fused - plain).abs() <= ROUNDING || (fused.is_nan() && plain.is_nan());
                assert!(agree, "{fused} {plain}");
            }
            all += 1;
            closed += usize::from(fused[0].is_finite());
        }
        assert!(closed > all / 2);
    }
}
