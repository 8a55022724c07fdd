//! On which turn an angle sensor reads: its angle is told but for whole turns, and goes on from the center.

use std::f64::consts::TAU;

/// What is read on a grid, each reading on the turn that brings it next to its neighbor towards the center.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Turns {
    /// The angles of the grid, ascending; a single one along the second line where there is one angle only.
    lines: [Vec<f64>; 2],
    /// The second angle changes fastest.
    signal: Vec<f64>,
}

impl Turns {
    /// Of readings on a grid, rad, the second angle fastest; one that is NaN stands as its neighbor does.
    pub(super) fn new(lines: [Vec<f64>; 2], mut signal: Vec<f64>) -> Self {
        let count = lines.each_ref().map(Vec::len);
        let center = lines.each_ref().map(|line| {
            let after = line.partition_point(|&angle| angle < 0.0);
            after.min(line.len().saturating_sub(1))
        });
        let mut follow = |at: usize, from: usize| signal[at] = near(signal[at], signal[from]);
        // Up and down the row through the center first, then from it along each line.
        let place = |row: usize, column: usize| row * count[1] + column;
        for row in center[0] + 1..count[0] {
            follow(place(row, center[1]), place(row - 1, center[1]));
        }
        for row in (0..center[0]).rev() {
            follow(place(row, center[1]), place(row + 1, center[1]));
        }
        for row in 0..count[0] {
            for column in center[1] + 1..count[1] {
                follow(place(row, column), place(row, column - 1));
            }
            for column in (0..center[1]).rev() {
                follow(place(row, column), place(row, column + 1));
            }
        }
        Self { lines, signal }
    }

    /// The signal at a place, on its turn.
    pub(super) fn unwrapped(&self, at: [f64; 2], signal: f64) -> f64 {
        let [row, column] = [0, 1].map(|i| nearest(&self.lines[i], at[i]));
        near(signal, self.signal[row * self.lines[1].len() + column])
    }
}

/// The place of the nearest of ascending angles.
fn nearest(angles: &[f64], angle: f64) -> usize {
    let next = angles.partition_point(|&a| a < angle).min(angles.len() - 1);
    match next.checked_sub(1) {
        Some(before) if angle - angles[before] < angles[next] - angle => before,
        _ => next,
    }
}

/// An angle, rad, on the turn that brings it next to another; that other one where it is none, as it is itself where
/// the other is none.
pub(super) fn near(angle: f64, other: f64) -> f64 {
    let turns = ((other - angle) / TAU).round();
    if turns.is_finite() {
        angle + TAU * turns
    } else if angle.is_finite() {
        angle
    } else {
        other
    }
}

#[cfg(test)]
#[path = "turns_tests.rs"]
mod tests;
