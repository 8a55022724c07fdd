//! A closed form at many arguments, for many sets of coefficients, on the vector units.
//!
//! No library runs a closed form of one's own over lanes; array libraries store every step in memory.

use crate::error::{Error, Result};
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

/// Where values are to be written, an entry for each solution; `None` for what is not wanted.
pub(crate) struct Columns<'a, const OUT: usize> {
    pub(crate) values: [Option<&'a mut [f64]>; OUT],
    /// Whether there is a value: the first one is a number.
    pub(crate) valid: Option<&'a mut [bool]>,
}

impl<const OUT: usize> Columns<'_, OUT> {
    /// Whether all are as long as the arguments.
    pub(crate) fn check(&self, arguments: &'static str, count: usize) -> Result<()> {
        let values = self.values.iter().flatten().map(|column| column.len());
        let valid = self.valid.iter().map(|column| column.len());
        match values.chain(valid).find(|length| *length != count) {
            None => Ok(()),
            Some(length) => Err(Error::LengthMismatch {
                first: arguments,
                first_len: count,
                second: "column to be written",
                second_len: length,
            }),
        }
    }
}

/// The values for row i and argument j at entry i * (number of arguments) + j of each column, and whether there is one.
pub(crate) fn solve<F: ClosedForm<IN, OUT>, const IN: usize, const OUT: usize>(
    form: F,
    rows: &[[f64; IN]],
    arguments: &[f64],
) -> ([Vec<f64>; OUT], Vec<bool>) {
    let count = rows.len() * arguments.len();
    let mut values: [Vec<f64>; OUT] = std::array::from_fn(|_| vec![0.0; count]);
    let mut valid = vec![false; count];
    let columns = Columns {
        values: values.each_mut().map(|column| Some(column.as_mut_slice())),
        valid: Some(&mut valid),
    };
    solve_into(form, rows, arguments, columns);
    (values, valid)
}

/// The same into columns of the right length that there are. New memory costs more than the arithmetic, since the
/// system hands it out page by page.
///
/// Every stretch is worked on by itself, so the number of cores changes nothing in the values.
pub(crate) fn solve_into<F: ClosedForm<IN, OUT>, const IN: usize, const OUT: usize>(
    form: F,
    rows: &[[f64; IN]],
    arguments: &[f64],
    columns: Columns<'_, OUT>,
) {
    let count = rows.len() * arguments.len();
    let chunks = |column: Option<_>| column.map(|column: &mut [f64]| column.chunks_mut(STRETCH));
    let mut values = columns.values.map(chunks);
    let mut valid = columns.valid.map(|column| column.chunks_mut(STRETCH));
    let stretches: Vec<_> = (0..count)
        .step_by(STRETCH)
        .map(|first| Stretch {
            form,
            rows,
            arguments,
            first,
            length: STRETCH.min(count - first),
            values: values
                .each_mut()
                .map(|chunks| chunks.as_mut().and_then(Iterator::next)),
            valid: valid.as_mut().and_then(Iterator::next),
        })
        .collect();
    if count < SHARED {
        stretches.into_iter().for_each(dispatch);
    } else {
        parallel::for_each(stretches.into_iter(), dispatch);
    }
}

struct Stretch<'a, F, const IN: usize, const OUT: usize> {
    form: F,
    rows: &'a [[f64; IN]],
    arguments: &'a [f64],
    /// Entry of the whole with which this part begins.
    first: usize,
    length: usize,
    values: [Option<&'a mut [f64]>; OUT],
    valid: Option<&'a mut [bool]>,
}

impl<F: ClosedForm<IN, OUT>, const IN: usize, const OUT: usize> Loop for Stretch<'_, F, IN, OUT> {
    #[inline(always)]
    fn run<const FMA: bool>(mut self) {
        let width = self.arguments.len();
        let mut input = [[0.0; LANES]; IN];
        let mut argument = [0.0; LANES];
        let mut output = [[0.0; LANES]; OUT];
        let (mut row, mut column) = (self.first / width, self.first % width);
        let mut start = 0;
        while start < self.length {
            let count = (self.length - start).min(LANES);
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
            // By their numbers: where the compiler leaves iterators of the columns as calls, which it may in a build
            // without optimization across crates, no loop becomes vector code.
            for i in 0..LANES {
                let mut coefficients = [0.0; IN];
                for k in 0..IN {
                    coefficients[k] = input[k][i];
                }
                let solved = self.form.solve::<FMA>(coefficients, argument[i]);
                for k in 0..OUT {
                    output[k][i] = solved[k];
                }
            }
            for (column, lane) in self.values.iter_mut().zip(&output) {
                if let Some(column) = column {
                    column[start..start + count].copy_from_slice(&lane[..count]);
                }
            }
            if let Some(valid) = &mut self.valid {
                for (valid, value) in valid[start..start + count].iter_mut().zip(&output[0]) {
                    *valid = !value.is_nan();
                }
            }
            start += count;
        }
    }
}
