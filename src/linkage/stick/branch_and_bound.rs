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

/// Finds the least value to within a tolerance (m). `look` takes the center of a cell and by how much each angle may
/// differ from it.
///
/// The cell with the lowest floor is halved until no floor lies below the least value found by more than the tolerance:
/// nothing can be missed between samples.
pub(in crate::linkage::stick) fn least(
    quantity: &'static str,
    region: &Region<'_>,
    tolerance: f64,
    look: impl Fn([f64; 2], [f64; 2]) -> Look,
) -> Result<Least> {
    let value_at = |angles| look(angles, [0.0; 2]).value;
    let start = region.bring_in(region.bounds.map(|[low, high]| 0.5 * (low + high)));
    let mut best = Least {
        value: value_at(start),
        angles: start,
    };
    let whole = Cell {
        center: region.bounds.map(|[low, high]| 0.5 * (low + high)),
        half: region.bounds.map(|[low, high]| 0.5 * (high - low)),
        floor: f64::NEG_INFINITY,
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
        for part in cell.halves() {
            if region.misses(part.center, part.half) {
                continue;
            }
            looked_at += 1;
            let Look {
                value,
                floor,
                lowest,
            } = look(part.center, part.half);
            if floor >= best.value - tolerance {
                continue;
            }
            for angles in [Some(part.center), lowest].into_iter().flatten() {
                let allowed = region.bring_in(angles);
                let value = if allowed == part.center {
                    value
                } else {
                    value_at(allowed)
                };
                if value < best.value {
                    best = Least {
                        value,
                        angles: allowed,
                    };
                }
            }
            open.push(Cell { floor, ..part });
        }
    }
    Ok(best)
}

#[derive(Clone, Copy)]
struct Cell {
    center: [f64; 2],
    half: [f64; 2],
    floor: f64,
}

impl Cell {
    /// Across the longer side.
    fn halves(&self) -> [Self; 2] {
        let axis = usize::from(self.half[1] > self.half[0]);
        [-0.5, 0.5].map(|share| {
            let mut part = *self;
            part.center[axis] += share * self.half[axis];
            part.half[axis] *= 0.5;
            part
        })
    }
}

/// The heap gives the greatest first: the cell with the lowest floor.
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        other.floor.total_cmp(&self.floor)
    }
}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Cell {}
