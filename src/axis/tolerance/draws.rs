//! Random numbers by the number of the build: nothing depends on who draws them, in which order, or how many at a time.

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, counted};
use crate::numeric::sobol::{Coordinate, MAX_DIMENSIONS, MAX_POINTS};

/// Replicates of a quasi-random study: fewer tell nothing of the error.
const REPLICATES: [usize; 2] = [4, 256];

/// How the builds of a study are drawn.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Sampling {
    /// Each build by itself, at random.
    #[default]
    Random,
    /// Scrambled Sobol' points, in so many independent replicates (4 to 256) with the builds shared out among them: the
    /// replicates tell the error. Best with a power of two of builds in each, and for at most 64 tolerances.
    Sobol {
        /// Number of replicates.
        replicates: usize,
    },
}

/// Where the numbers of a study come from: a stream of ChaCha with 8 rounds for each tolerance, entered at the place of
/// the build, or a dimension of the Sobol' sequence.
#[derive(Debug, Clone)]
pub(super) struct Draws {
    key: [u8; 32],
    /// One for each tolerance and matrix in each replicate.
    coordinates: Vec<Vec<Coordinate>>,
    /// Builds of a replicate; of all builds if there are none.
    replicate: u64,
    tolerances: usize,
}

/// Streams apart from those that values are drawn from.
const SCRAMBLES: u64 = 1 << 63;
/// Streams between one matrix and the next.
const MATRIX: u64 = 1 << 32;

impl Draws {
    /// For so many tolerances and builds, in so many independent matrices.
    ///
    /// # Errors
    /// [`Error::Count`] for replicates, builds that are no multiple of them, tolerances or builds that quasi-random
    /// points have no dimension or number for.
    pub(super) fn new(
        seed: u64,
        sampling: Sampling,
        tolerances: usize,
        builds: u64,
        matrices: usize,
    ) -> Result<Self> {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        let mut generator = ChaCha8Rng::from_seed(key);
        let (mut coordinates, mut replicate) = (Vec::new(), u64::MAX);
        if let Sampling::Sobol { replicates } = sampling {
            counted("replicates of quasi-random points", replicates, REPLICATES)?;
            let dimensions = tolerances * matrices;
            let most = MAX_DIMENSIONS / matrices;
            counted("tolerances for quasi-random points", tolerances, [0, most])?;
            replicate = builds / replicates as u64;
            let whole = replicate * replicates as u64;
            let most = MAX_POINTS as usize;
            counted("builds in a replicate", replicate as usize, [1, most])?;
            counted(
                "builds beyond those that replicates share evenly",
                (builds - whole) as usize,
                [0, 0],
            )?;
            for number in 0..replicates {
                generator.set_stream(SCRAMBLES | number as u64);
                let of = |dimension| Coordinate::new(dimension, generator.next_u32());
                coordinates.push((0..dimensions).map(of).collect());
            }
        }
        Ok(Self {
            key,
            coordinates,
            replicate,
            tolerances,
        })
    }

    /// Uniform numbers within 0 and 1, and neither of them, of one tolerance for the builds from `first` on.
    pub(super) fn fill(&self, matrix: usize, tolerance: usize, first: u64, values: &mut [f64]) {
        if self.coordinates.is_empty() {
            let mut generator = ChaCha8Rng::from_seed(self.key);
            generator.set_stream(matrix as u64 * MATRIX + tolerance as u64);
            // Two words to a number.
            generator.set_word_pos(2 * u128::from(first));
            for value in values {
                *value = uniform(generator.next_u64());
            }
            return;
        }
        let dimension = matrix * self.tolerances + tolerance;
        for (build, value) in (first..).zip(values) {
            let replicate = (build / self.replicate) as usize;
            let coordinate =
                &self.coordinates[replicate.min(self.coordinates.len() - 1)][dimension];
            *value = coordinate.at((build % self.replicate) as u32);
        }
    }

    /// To which replicate a build belongs, if there are any.
    pub(super) fn replicate_of(&self, build: u64) -> Option<usize> {
        (!self.coordinates.is_empty()).then(|| (build / self.replicate) as usize)
    }
}

/// The middle of one of 2^52 equal steps: as far from 1 at least as from 0.
fn uniform(bits: u64) -> f64 {
    ((bits >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}

#[cfg(test)]
#[path = "draws_tests.rs"]
mod tests;
