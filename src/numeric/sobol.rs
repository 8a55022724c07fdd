//! Points of the Sobol' sequence, any of them by its number, scrambled.
//!
//! The crates there are have fewer points or digits than a study of millions of builds needs, or give their points one
//! after the other only.
//!
//! # References
//! I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86-112; direction numbers: `sobol_table.rs`. Scrambling:
//! A. B. Owen, *Randomly permuted (t,m,s)-nets and (t,s)-sequences* (1995), by the hash of B. Burley, *Practical
//! hash-based Owen scrambling*, J. Comput. Graph. Tech. 9 (4) (2020) 1-20 (constants from memory; that every
//! elementary interval holds its point is tested).

#[path = "sobol_table.rs"]
mod table;

use table::DIMENSIONS;

/// Digits of a coordinate.
const BITS: usize = 32;
/// Most dimensions.
pub(crate) const MAX_DIMENSIONS: usize = DIMENSIONS.len() + 1;
/// Most points.
pub(crate) const MAX_POINTS: u64 = 1 << BITS;

/// One coordinate of the sequence.
#[derive(Debug, Clone)]
pub(crate) struct Coordinate {
    /// What each bit of a point's number adds, without carry.
    directions: [u32; BITS],
    scramble: u32,
}

impl Coordinate {
    /// Of a dimension, from 0, scrambled by a random number.
    pub(crate) fn new(dimension: usize, scramble: u32) -> Self {
        Self {
            directions: directions(dimension),
            scramble,
        }
    }

    /// The coordinate of a point by its number, within 0 and 1 and neither of them.
    pub(crate) fn at(&self, number: u32) -> f64 {
        centered(scrambled(self.digits(number), self.scramble))
    }

    fn digits(&self, mut number: u32) -> u32 {
        let mut digits = 0;
        while number != 0 {
            digits ^= self.directions[number.trailing_zeros() as usize];
            number &= number - 1;
        }
        digits
    }
}

/// The middle of the step that these digits name.
fn centered(digits: u32) -> f64 {
    (f64::from(digits) + 0.5) / (1_u64 << BITS) as f64
}

fn directions(dimension: usize) -> [u32; BITS] {
    let mut v = [0; BITS];
    let Some((polynomial, first)) = dimension.checked_sub(1).map(|i| DIMENSIONS[i]) else {
        for (i, v) in v.iter_mut().enumerate() {
            *v = 1 << (BITS - 1 - i);
        }
        return v;
    };
    let degree = first.len();
    for i in 0..BITS {
        v[i] = if i < degree {
            first[i] << (BITS - 1 - i)
        } else {
            let mut value = v[i - degree] ^ (v[i - degree] >> degree);
            for k in 1..degree {
                if polynomial >> (degree - k) & 1 == 1 {
                    value ^= v[i - k];
                }
            }
            value
        };
    }
    v
}

/// A digit is turned over or not by a hash of all the digits before it: the points stay where no two share an
/// elementary interval.
fn scrambled(digits: u32, seed: u32) -> u32 {
    let mut x = digits.reverse_bits().wrapping_add(seed);
    // Even factors, so that a bit moves only those above it.
    for factor in [0x6c50_b47c, 0xb82f_1e52, 0xc7af_e638, 0x8d22_f6e6_u32] {
        x ^= x.wrapping_mul(factor);
    }
    x.reverse_bits()
}

#[cfg(test)]
#[path = "sobol_tests.rs"]
mod tests;
