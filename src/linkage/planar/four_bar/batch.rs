//! Both branches of a four-bar at many angles, and of many four-bars: the fast path.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::linkage::planar::four_bar::place::{Lengths, place};
use crate::linkage::planar::four_bar::{Branch, FourBar};
use crate::linkage::{MAX_ANGLE, Range, SHARED, STRETCH, Transfers, until_stopped};
use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::numeric::simd::lanes::{atan2, cos_sin, select};
use crate::parallel;

/// Solutions worked on at a time: 18 arrays of these fit the first-level cache.
const LANES: usize = 64;

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
        solve(&[self.lengths], crank_angles)
    }

    /// Coupler and rocker angles of both branches of many four-bars at many crank angles (rad), for tolerance studies.
    ///
    /// `lengths`: rows of ground, crank, coupler, rocker (m). Row i at angle j is entry i * (number of angles) + j.
    /// Lengths that [`FourBar::new`] would refuse, and angles at which a linkage does not close, are NaN and marked.
    #[must_use]
    pub fn solve_grid(lengths: &[[f64; 4]], crank_angles: &[f64]) -> FourBarSolutions {
        let none = Lengths {
            ground: f64::NAN,
            crank: f64::NAN,
            coupler: f64::NAN,
            rocker: f64::NAN,
        };
        let rows = lengths.iter().map(|[ground, crank, coupler, rocker]| {
            Self::new(*ground, *crank, *coupler, *rocker).map_or(none, |bar| bar.lengths)
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

fn solve(rows: &[Lengths], angles: &[f64]) -> FourBarSolutions {
    let count = rows.len() * angles.len();
    let mut parts: [Vec<f64>; 4] = std::array::from_fn(|_| vec![0.0; count]);
    let mut valid = vec![false; count];
    let [a, b, c, d] = parts.each_mut().map(|part| part.chunks_mut(STRETCH));
    let stretches = a.zip(b).zip(c).zip(d).zip(valid.chunks_mut(STRETCH));
    let stretches = stretches
        .enumerate()
        .map(|(number, ((((a, b), c), d), valid))| Solve {
            rows,
            angles,
            first: number * STRETCH,
            parts: [a, b, c, d],
            valid,
        });
    // Every stretch is worked on by itself, so the number of cores changes nothing in the values.
    if count < SHARED {
        stretches.for_each(dispatch);
    } else {
        parallel::for_each(stretches, dispatch);
    }
    let [open_coupler, open_rocker, crossed_coupler, crossed_rocker] = parts;
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

struct Solve<'a> {
    rows: &'a [Lengths],
    angles: &'a [f64],
    /// Entry of the whole result with which this part begins.
    first: usize,
    /// Coupler and rocker, open; the same, crossed.
    parts: [&'a mut [f64]; 4],
    valid: &'a mut [bool],
}

impl Loop for Solve<'_> {
    #[inline(always)]
    fn run<const FMA: bool>(self) {
        let Self {
            rows,
            angles,
            first,
            mut parts,
            valid,
        } = self;
        let mut input = [[0.0; LANES]; 5];
        let mut output = [[0.0; LANES]; 4];
        let (mut row, mut column) = (first / angles.len(), first % angles.len());
        let mut start = 0;
        while start < valid.len() {
            let count = (valid.len() - start).min(LANES);
            let mut filled = 0;
            // Row by row: the lengths stay the same along a row.
            while filled < count {
                let run = (angles.len() - column).min(count - filled);
                let Lengths {
                    ground,
                    crank,
                    coupler,
                    rocker,
                } = rows[row];
                for (lane, value) in input.iter_mut().zip([ground, crank, coupler, rocker]) {
                    lane[filled..filled + run].fill(value);
                }
                input[4][filled..filled + run].copy_from_slice(&angles[column..column + run]);
                filled += run;
                column += run;
                if column == angles.len() {
                    (row, column) = (row + 1, 0);
                }
            }
            for i in 0..LANES {
                let solved = both::<FMA>(
                    [input[0][i], input[1][i], input[2][i], input[3][i]],
                    input[4][i],
                );
                output[0][i] = solved[0];
                output[1][i] = solved[1];
                output[2][i] = solved[2];
                output[3][i] = solved[3];
            }
            let end = start + count;
            for (part, lane) in parts.iter_mut().zip(&output) {
                part[start..end].copy_from_slice(&lane[..count]);
            }
            for (valid, value) in valid[start..end].iter_mut().zip(&output[0]) {
                *valid = !value.is_nan();
            }
            start = end;
        }
    }
}

/// Coupler and rocker angle of the open and of the crossed branch.
#[inline(always)]
fn both<const FMA: bool>([ground, crank, coupler, rocker]: [f64; 4], angle: f64) -> [f64; 4] {
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
    let toward = |link: [f64; 2]| atan2::<FMA>(link[1], link[0]);
    [
        toward(open_coupler),
        toward(open_rocker),
        toward(crossed_coupler),
        toward(crossed_rocker),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Share of a turn that two instruction sets may differ by: fused multiplication rounds once where the plain one
    /// rounds twice.
    const ROUNDING: f64 = 64.0 * f64::EPSILON;

    #[test]
    fn instruction_sets_agree() {
        let rows = [[0.1, 0.04, 0.12, 0.08], [0.05, 0.05, 0.08, 0.07]].map(|row| {
            FourBar::new(row[0], row[1], row[2], row[3])
                .unwrap()
                .lengths
        });
        let angles: Vec<f64> = (0..301).map(|i| f64::from(i) * 0.02 - 3.0).collect();
        let count = rows.len() * angles.len();
        let run = |fused: bool| {
            let mut parts: [Vec<f64>; 4] = std::array::from_fn(|_| vec![0.0; count]);
            let mut valid = vec![false; count];
            let work = Solve {
                rows: &rows,
                angles: &angles,
                first: 0,
                parts: parts.each_mut().map(Vec::as_mut_slice),
                valid: &mut valid,
            };
            if fused {
                work.run::<true>()
            } else {
                work.run::<false>()
            }
            (parts, valid)
        };
        let (fused, plain) = (run(true), run(false));
        assert_eq!(fused.1, plain.1);
        assert!(fused.1.iter().filter(|valid| **valid).count() > count / 2);
        for (fused, plain) in fused.0.iter().flatten().zip(plain.0.iter().flatten()) {
            let agree = (fused - plain).abs() <= ROUNDING || (fused.is_nan() && plain.is_nan());
            assert!(agree, "{fused} {plain}");
        }
    }
}
