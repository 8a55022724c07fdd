//! The error of an angle reading over a turn, and its harmonics.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, finite, within};
use crate::numeric::turn::wrapped;
use crate::observer;
use crate::stored::stored_by_its_constructor;

/// Readings of one error.
const READINGS: [usize; 2] = [2, 10_000_000];
/// Fewest readings over a turn that tell the second harmonic from the third.
const FEWEST_FOR_HARMONICS: usize = 5;
/// How far, in steps, a reading may be from its even place: what a table of angles loses by rounding.
const SPACING: f64 = 1e-3;
const MOST_ANGLE: f64 = 1e6;
/// Readings between two looks at the observer.
const BLOCK: usize = 10_000;

/// One harmonic of an error over the turn: amplitude cos(n t - phase).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct AngleHarmonic {
    /// Amplitude, rad, not negative.
    pub amplitude: f64,
    /// Phase, rad, -pi to pi: of the harmonic, not of the turn.
    pub phase: f64,
}

impl AngleHarmonic {
    /// cos cos(n t) + sin sin(n t).
    pub(super) fn of(cos: f64, sin: f64) -> Self {
        Self {
            amplitude: cos.hypot(sin),
            phase: sin.atan2(cos),
        }
    }
}

/// Mean and first two harmonics of an error over the turn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct AngleHarmonics {
    /// Mean, rad.
    pub mean: f64,
    /// Once a turn: offsets, eccentricity.
    pub first: AngleHarmonic,
    /// Twice a turn: gain mismatch, nonorthogonality.
    pub second: AngleHarmonic,
}

impl AngleHarmonics {
    /// Mean and harmonics together at an angle of the turn, rad.
    #[must_use]
    pub fn at(&self, angle: f64) -> f64 {
        let harmonic = |one: &AngleHarmonic, n: f64| one.amplitude * (n * angle - one.phase).cos();
        self.mean + harmonic(&self.first, 1.0) + harmonic(&self.second, 2.0)
    }
}

/// The error of angles read against angles turned.
///
/// Error = read - turned, the first within half a turn either way, each next within half a turn of the one before it.
///
/// # Example
/// ```
/// use yokewright::hall::AngleError;
/// use yokewright::units::DEG;
///
/// let turned: Vec<f64> = (0..36).map(|i| f64::from(i) * 10.0 * DEG).collect();
/// let read: Vec<f64> = turned.iter().map(|t| t + 0.3 + 0.02 * (2.0 * t).sin()).collect();
/// let error = AngleError::of(&turned, &read)?;
/// assert!((error.mean() - 0.3).abs() < 1e-12);
/// let second = error.harmonics().expect("a whole turn, evenly spaced").second;
/// assert!((second.amplitude - 0.02).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct AngleError {
    turned: Vec<f64>,
    error: Vec<f64>,
    mean: f64,
    worst: f64,
    worst_at: f64,
    harmonics: Option<AngleHarmonics>,
}

stored_by_its_constructor!(AngleError {
    turned: Vec<f64>,
    error: Vec<f64>
} => Self::of_errors(turned, error));

impl AngleError {
    /// Sets `read` beside `turned`, both rad, 2 to 10 million of them. Angles turned that go on evenly, either way,
    /// over a whole turn (whose end may be there beside its beginning) give the harmonics too.
    ///
    /// # Errors
    /// [`Error::Count`], [`Error::LengthMismatch`]; [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond
    /// 1e6 rad; [`Error::Stopped`].
    pub fn of(turned: &[f64], read: &[f64]) -> Result<Self> {
        check_lengths("angles read", turned.len(), read.len())?;
        let mut error: Vec<f64> = Vec::with_capacity(turned.len());
        for (turned, read) in turned.chunks(BLOCK).zip(read.chunks(BLOCK)) {
            observer::check()?;
            for (&turned, &read) in turned.iter().zip(read) {
                within("angle turned", turned, -MOST_ANGLE, MOST_ANGLE, "rad")?;
                within("angle read", read, -MOST_ANGLE, MOST_ANGLE, "rad")?;
                let difference = read - turned;
                error.push(match error.last() {
                    Some(last) => last + wrapped(difference - last),
                    None => wrapped(difference),
                });
            }
        }
        Self::of_errors(turned.to_vec(), error)
    }

    /// From the errors as they are.
    fn of_errors(turned: Vec<f64>, error: Vec<f64>) -> Result<Self> {
        check_lengths("errors of the angle", turned.len(), error.len())?;
        for (turned, error) in turned.chunks(BLOCK).zip(error.chunks(BLOCK)) {
            observer::check()?;
            for (&turned, &error) in turned.iter().zip(error) {
                within("angle turned", turned, -MOST_ANGLE, MOST_ANGLE, "rad")?;
                finite("error of the angle", error, "rad")?;
            }
        }
        let whole = readings_of_a_turn(&turned);
        // The end of the turn is its beginning, and does not count twice.
        let counted = whole.unwrap_or(turned.len());
        let mean = error[..counted].iter().sum::<f64>() / counted as f64;
        let (worst_at, worst) = turned
            .iter()
            .zip(&error)
            .map(|(&turned, error)| (turned, (error - mean).abs()))
            .fold((turned[0], 0.0), |a, b| if b.1 > a.1 { b } else { a });
        let harmonics = match whole {
            Some(count) if count >= FEWEST_FOR_HARMONICS => {
                Some(harmonics(&turned[..count], &error[..count], mean)?)
            }
            _ => None,
        };
        Ok(Self {
            turned,
            error,
            mean,
            worst,
            worst_at,
            harmonics,
        })
    }

    /// Angles turned, rad, as given.
    #[must_use]
    pub fn turned(&self) -> &[f64] {
        &self.turned
    }

    /// Error at each, rad.
    #[must_use]
    pub fn error(&self) -> &[f64] {
        &self.error
    }

    /// Mean error, rad: what setting the zero takes away.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Greatest departure of an error from the mean, rad.
    #[must_use]
    pub fn worst(&self) -> f64 {
        self.worst
    }

    /// Angle turned where it is, rad.
    #[must_use]
    pub fn worst_at(&self) -> f64 {
        self.worst_at
    }

    /// Mean and harmonics, by the discrete Fourier transform; `None` unless the angles turned are evenly spaced over
    /// one whole turn, 5 of them or more.
    #[must_use]
    pub fn harmonics(&self) -> Option<AngleHarmonics> {
        self.harmonics
    }
}

fn check_lengths(second: &'static str, first_len: usize, second_len: usize) -> Result<()> {
    let first = "angles turned";
    counted(first, first_len, READINGS)?;
    if first_len == second_len {
        return Ok(());
    }
    Err(Error::LengthMismatch {
        first,
        first_len,
        second,
        second_len,
    })
}

/// How many readings, evenly spaced, are one whole turn: all of them, or all but the last, which stands where the first
/// does.
fn readings_of_a_turn(turned: &[f64]) -> Option<usize> {
    let steps = turned.len() - 1;
    let (first, last) = (turned[0], turned[steps]);
    let spacing = (last - first) / steps as f64;
    let allowed = SPACING * spacing.abs();
    let even = |(i, angle): (usize, &f64)| (angle - (first + i as f64 * spacing)).abs() <= allowed;
    if !turned.iter().enumerate().all(even) {
        return None;
    }
    [steps + 1, steps]
        .into_iter()
        .find(|&count| (count as f64 * spacing.abs() - TAU).abs() <= allowed)
}

fn harmonics(turned: &[f64], error: &[f64], mean: f64) -> Result<AngleHarmonics> {
    let mut sums = [0.0; 4];
    for (turned, error) in turned.chunks(BLOCK).zip(error.chunks(BLOCK)) {
        observer::check()?;
        for (angle, error) in turned.iter().zip(error) {
            let (sin1, cos1) = angle.sin_cos();
            let (sin2, cos2) = (2.0 * angle).sin_cos();
            for (sum, wave) in sums.iter_mut().zip([cos1, sin1, cos2, sin2]) {
                *sum += (error - mean) * wave;
            }
        }
    }
    let [cos1, sin1, cos2, sin2] = sums.map(|sum| 2.0 * sum / turned.len() as f64);
    Ok(AngleHarmonics {
        mean,
        first: AngleHarmonic::of(cos1, sin1),
        second: AngleHarmonic::of(cos2, sin2),
    })
}

#[cfg(test)]
#[path = "angle_error_tests.rs"]
mod tests;
