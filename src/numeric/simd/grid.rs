//! A closed form at many arguments, for many sets of coefficients, on the vector units.
//!
//! No library runs a closed form of one's own over lanes; array libraries store every step in memory.

use crate::numeric::simd::dispatch::{Loop, dispatch};
use crate::parallel;

/// Solutions worked on at a time: their columns fit the first-level cache.
const LANES: usize = 64;
/// Solutions that a core works on at a time.
const STRETCH: usize = 4096;
/// Solutions from which the work is shared out among the cores.
const SHARED: usize = 2 * STRETCH;

/// A closed form from `IN` coefficients and an argument to `OUT` values, written so that a loop over it becomes vector
/// code: `inline(always)`, without branches or calls.
pub(crate) trait ClosedForm<const IN: usize, const OUT: usize>: Copy + Send + Sync {
    fn solve<const FMA: bool>(self, row: [f64; IN], argument: f64) -> [f64; OUT];
}

/// The values for row i and argument j at entry i * (number of arguments) + j of each column.
///
/// Every stretch is worked on by itself, so the number of cores changes nothing in the values.
pub(crate) fn solve<F: ClosedForm<IN, OUT>, const IN: usize, const OUT: usize>(
    form: F,
    rows: &[[f64; IN]],
    arguments: &[f64],
) -> [Vec<f64>; OUT] {
    let count = rows.len() * arguments.len();
    let mut columns: [Vec<f64>; OUT] = std::array::from_fn(|_| vec![0.0; count]);
    let mut chunks = columns.each_mut().map(|column| column.chunks_mut(STRETCH));
    let stretches: Vec<_> = (0..count.div_ceil(STRETCH))
        .map(|number| Stretch {
            form,
            rows,
            arguments,
            first: number * STRETCH,
            columns: chunks
                .each_mut()
                .map(|chunks| chunks.next().unwrap_or_default()),
        })
        .collect();
    if count < SHARED {
        stretches.into_iter().for_each(dispatch);
    } else {
        parallel::for_each(stretches.into_iter(), dispatch);
    }
    columns
}

struct Stretch<'a, F, const IN: usize, const OUT: usize> {
    form: F,
    rows: &'a [[f64; IN]],
    arguments: &'a [f64],
    /// Entry of the whole with which this part begins.
    first: usize,
    columns: [&'a mut [f64]; OUT],
}

impl<F: ClosedForm<IN, OUT>, const IN: usize, const OUT: usize> Loop for Stretch<'_, F, IN, OUT> {
    #[inline(always)]
    fn run<const FMA: bool>(mut self) {
        let length = self.columns.first().map_or(0, |column| column.len());
        let width = self.arguments.len();
        let mut input = [[0.0; LANES]; IN];
        let mut argument = [0.0; LANES];
        let mut output = [[0.0; LANES]; OUT];
        let (mut row, mut column) = (self.first / width, self.first % width);
        let mut start = 0;
        while start < length {
            let count = (length - start).min(LANES);
            let mut filled = 0;
            // Row by row: the coefficients stay the same along a row.
            while filled < count {
                let run = (width - column).min(count - filled);
                for (lane, value) in input.iter_mut().zip(self.rows[row]) {
                    lane[filled..filled + run].fill(value);
                }
                argument[filled..filled + run]
                    .copy_from_slice(&self.arguments[column..column + run]);
                filled += run;
                column += run;
                if column == width {
                    (row, column) = (row + 1, 0);
                }
            }
            for i in 0..LANES {
                let mut coefficients = [0.0; IN];
                for (value, lane) in coefficients.iter_mut().zip(&input) {
                    *value = lane[i];
                }
                let solved = self.form.solve::<FMA>(coefficients, argument[i]);
                for (lane, value) in output.iter_mut().zip(solved) {
                    lane[i] = value;
                }
            }
            for (column, lane) in self.columns.iter_mut().zip(&output) {
                column[start..start + count].copy_from_slice(&lane[..count]);
            }
            start += count;
        }
    }
}
