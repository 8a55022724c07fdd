//! The least value of a function over a gate, with proof: branch and bound.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::error::{Error, Result};
use crate::linkage::stick::gate::Region;
use crate::observer;

/// Cells that are looked at before giving up: some seconds.
const MOST_CELLS: usize = 2_000_000;

/// Cells that are halved between two looks at the observers.
const ROUNDS: usize = 100;

/// What a function says of a cell of positions.
pub(in crate::linkage::stick) struct Look {
    /// Its value at the center of the cell.
    pub(in crate::linkage::stick) value: f64,
    /// A bound that it does not fall below anywhere in the cell.
    pub(in crate::linkage::stick) floor: f64,
    /// Where in the cell it may be least, if that can be told: with the values at centers alone a least value all along
    /// the edge of a gate would need cells as small as the tolerance all along it.
    pub(in crate::linkage::stick) lowest: Option<[f64; 2]>,
}

/// The least value found, where, and that no allowed position has one lower by more than the tolerance.
pub(in crate::linkage::stick) struct Least {
    pub(in crate::linkage::stick) value: f64,
    pub(in crate::linkage::stick) angles: [f64; 2],
}

/// A function of positions whose least value is sought.
pub(in crate::linkage::stick) trait Sought {
    /// What of the function matters in a cell: parts of it that are nowhere in the cell the least ones may be dropped.
    type Parts;

    /// All of them.
    fn whole(&self) -> Self::Parts;

    /// The value at a position by these parts.
    fn value(&self, angles: [f64; 2], parts: &Self::Parts) -> f64;

    /// What it says of a cell, given its center, by how much each angle may differ from it and the parts that matter in
    /// a cell around it; and the parts that are left, once those that do not fall below `limit` are dropped.
    fn look(
        &self,
        center: [f64; 2],
        half: [f64; 2],
        parts: &Self::Parts,
        limit: f64,
    ) -> (Look, Self::Parts);
}

/// A function without parts.
pub(in crate::linkage::stick) struct Plain<F>(pub(in crate::linkage::stick) F);

impl<F: Fn([f64; 2], [f64; 2]) -> Look> Sought for Plain<F> {
    type Parts = ();

    fn whole(&self) {}

    fn value(&self, angles: [f64; 2], _: &()) -> f64 {
        self.0(angles, [0.0; 2]).value
    }

    fn look(&self, center: [f64; 2], half: [f64; 2], _: &(), _: f64) -> (Look, ()) {
        (self.0(center, half), ())
    }
}

/// Finds the least value to within a tolerance (m).
///
/// The cell with the lowest floor is halved until no floor lies below the least value found by more than the tolerance:
/// nothing can be missed between samples.
pub(in crate::linkage::stick) fn least<S: Sought>(
    quantity: &'static str,
    region: &Region<'_>,
    tolerance: f64,
    sought: &S,
) -> Result<Least> {
    let start = region.bring_in(region.bounds.map(|[low, high]| 0.5 * (low + high)));
    let whole = Cell {
        center: region.bounds.map(|[low, high]| 0.5 * (low + high)),
        half: region.bounds.map(|[low, high]| 0.5 * (high - low)),
        floor: f64::NEG_INFINITY,
        parts: sought.whole(),
    };
    let mut best = Least {
        value: sought.value(start, &whole.parts),
        angles: start,
    };
    let mut open = BinaryHeap::from([whole]);
    let (mut looked_at, mut rounds) = (0, 0_usize);
    while let Some(cell) = open.pop() {
        rounds += 1;
        if rounds % ROUNDS == 0 {
            observer::check()?;
        }
        let left = best.value - cell.floor;
        if left <= tolerance {
            break;
        }
        if looked_at >= MOST_CELLS {
            return Err(Error::NotConverged {
                quantity,
                reached: left,
                wanted: tolerance,
                unit: "m",
            });
        }
        for (center, half) in cell.halves() {
            if region.misses(center, half) {
                continue;
            }
            looked_at += 1;
            let limit = best.value - tolerance;
            let (look, parts) = sought.look(center, half, &cell.parts, limit);
            let Look {
                value,
                floor,
                lowest,
            } = look;
            if floor >= limit {
                continue;
            }
            for angles in [Some(center), lowest].into_iter().flatten() {
                let allowed = region.bring_in(angles);
                let value = if allowed == center {
                    value
                } else {
                    sought.value(allowed, &parts)
                };
                if value < best.value {
                    best = Least {
                        value,
                        angles: allowed,
                    };
                }
            }
            open.push(Cell {
                center,
                half,
                floor,
                parts,
            });
        }
    }
    Ok(best)
}

struct Cell<P> {
    center: [f64; 2],
    half: [f64; 2],
    floor: f64,
    parts: P,
}

impl<P> Cell<P> {
    /// Center and half widths of the two parts across the longer side.
    fn halves(&self) -> [([f64; 2], [f64; 2]); 2] {
        let axis = usize::from(self.half[1] > self.half[0]);
        [-0.5, 0.5].map(|share| {
            let (mut center, mut half) = (self.center, self.half);
            center[axis] += share * half[axis];
            half[axis] *= 0.5;
            (center, half)
        })
    }
}

/// The heap gives the greatest first: the cell with the lowest floor.
impl<P> Ord for Cell<P> {
    fn cmp(&self, other: &Self) -> Ordering {
        other.floor.total_cmp(&self.floor)
    }
}

impl<P> PartialOrd for Cell<P> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<P> PartialEq for Cell<P> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl<P> Eq for Cell<P> {}
