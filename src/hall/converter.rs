//! The analog-to-digital converter: volts to codes, and what noise leaves of its bits.

use std::f64::consts::LOG10_2;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, counted, finite, within};
use crate::hall::MAX_NOISE;
use crate::stored::stored_by_its_constructor;

/// Bits of the converters there are.
const BITS: [usize; 2] = [6, 24];
/// Most steps by which a converter that is of any use may be bent.
const MAX_NONLINEARITY: f64 = 1000.0;
const OVERSAMPLING: [usize; 2] = [1, 65_536];
/// Least total noise that effective bits are counted for, V: below the thermal noise of any input there is.
const LEAST_NOISE: f64 = 1e-12;

/// Where, within the step of one code, the code's nominal voltage lies.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// Code k covers [k - 1/2, k + 1/2) lsb: the first step is half a step wide, the usual converter.
    #[default]
    Nearest,
    /// Code k covers [k, k + 1) lsb.
    Down,
}

choices!(Rounding, "converter rounding", {
    Nearest => "nearest",
    Down => "down",
});

/// An analog-to-digital converter for 0 V to its reference.
///
/// # Example
/// ```
/// use yokewright::hall::{Converter, Rounding};
/// let converter = Converter::new(12, 3.3, Rounding::Nearest, 0.0)?;
/// assert_eq!(converter.code(1.65)?, 2048);
/// assert_eq!(converter.code(5.0)?, 4095); // clipped
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// IEEE Std 1241-2010 for the terms, the quantization noise and effective bits (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Converter {
    bits: u32,
    reference: f64,
    rounding: Rounding,
    noise: f64,
    nonlinearity: f64,
    oversampling: u32,
}

stored_by_its_constructor!(Converter {
    bits: u32,
    reference: f64,
    rounding: Rounding,
    noise: f64,
    nonlinearity: f64,
    oversampling: u32
} => Self::new(bits, reference, rounding, noise)
    .and_then(|converter| converter.with_nonlinearity(nonlinearity)?.with_oversampling(oversampling)));

/// Codes in the order of the voltages given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Codes {
    /// Code; -1, which no converter gives, where the voltage is not finite.
    pub values: Vec<i64>,
    /// Whether the voltage is finite.
    pub valid: Vec<bool>,
}

impl Converter {
    /// The highest code of any converter.
    pub(crate) const MAX_CODE: i64 = (1 << BITS[1]) - 1;

    /// A converter of `bits` (6 to 24), with `reference` (V, 0.5 to 20) and `noise` referred to its input (V rms, 0 to
    /// 0.1).
    ///
    /// # Errors
    /// [`Error::Count`] for the bits; [`Error::NotFinite`] or [`Error::OutOfRange`] for the others.
    pub fn new(bits: u32, reference: f64, rounding: Rounding, noise: f64) -> Result<Self> {
        counted("converter bits", bits as usize, BITS)?;
        Ok(Self {
            bits,
            reference: within("converter reference", reference, 0.5, 20.0, "V")?,
            rounding,
            noise: within("converter noise", noise, 0.0, MAX_NOISE, "V")?,
            nonlinearity: 0.0,
            oversampling: 1,
        })
    }

    /// The same with an integral nonlinearity, worst case, lsb, 0 to 1000: so far a code's voltage may be from its
    /// place on the best straight line. Codes stay those of the straight line; it counts as noise and distortion.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn with_nonlinearity(self, lsb: f64) -> Result<Self> {
        let nonlinearity = within("integral nonlinearity", lsb, 0.0, MAX_NONLINEARITY, "lsb")?;
        Ok(Self {
            nonlinearity,
            ..self
        })
    }

    /// The same converter if it takes the mean of so many conversions (1 to 65,536) itself for each code, which lowers
    /// its own noise.
    ///
    /// # Errors
    /// [`Error::Count`].
    pub fn with_oversampling(self, conversions: u32) -> Result<Self> {
        counted(
            "conversions for one code",
            conversions as usize,
            OVERSAMPLING,
        )?;
        Ok(Self {
            oversampling: conversions,
            ..self
        })
    }

    /// Number of bits.
    #[must_use]
    pub fn bits(&self) -> u32 {
        self.bits
    }

    /// Reference voltage, V.
    #[must_use]
    pub fn reference(&self) -> f64 {
        self.reference
    }

    /// Where a code's nominal voltage lies within its step.
    #[must_use]
    pub fn rounding(&self) -> Rounding {
        self.rounding
    }

    /// Noise of one conversion referred to the input, without that of quantization, V rms.
    #[must_use]
    pub fn noise(&self) -> f64 {
        self.noise
    }

    /// Integral nonlinearity, worst case, lsb.
    #[must_use]
    pub fn nonlinearity(&self) -> f64 {
        self.nonlinearity
    }

    /// How many conversions it takes the mean of for each code.
    #[must_use]
    pub fn oversampling(&self) -> u32 {
        self.oversampling
    }

    /// Noise of a code referred to the input, without that of quantization, V rms: that of one conversion, which is
    /// white, over the square root of their number.
    #[must_use]
    pub fn code_noise(&self) -> f64 {
        self.noise / f64::from(self.oversampling).sqrt()
    }

    /// What the integral nonlinearity is worth as distortion, V rms: nonlinearity lsb / sqrt(3). It assumes that the
    /// error of a code lies anywhere between its limits with one probability, as the error of quantization does within
    /// its step. A bow of one arch with those limits has 0.60 of the limit about its mean (0.68 about zero), so 0.58 is
    /// near.
    #[must_use]
    pub fn nonlinearity_noise(&self) -> f64 {
        self.nonlinearity * self.lsb() / 3_f64.sqrt()
    }

    /// One step, V: reference / 2^bits.
    #[must_use]
    pub fn lsb(&self) -> f64 {
        self.reference / f64::from(1_u32 << self.bits)
    }

    /// Highest code: 2^bits - 1.
    #[must_use]
    pub fn max_code(&self) -> i64 {
        (1 << self.bits) - 1
    }

    /// Ideal quantization noise, V rms: lsb / sqrt(12), of an error that is uniform over one step.
    #[must_use]
    pub fn quantization_noise(&self) -> f64 {
        self.lsb() / 12_f64.sqrt()
    }

    /// Signal-to-noise ratio of a full-scale sine beside ideal quantization noise, dB: 20 N log10 2 + 10 log10 1.5, the
    /// rule 6.02 N + 1.76.
    #[must_use]
    pub fn ideal_snr_db(&self) -> f64 {
        db_per_bit() * f64::from(self.bits) + sine_db()
    }

    /// Noise and distortion of a code, V rms, with a `noise` of what comes in, V rms, 0 to the reference: the two with
    /// the converter's own noise, quantization and integral nonlinearity, root of the sum of squares.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn total_noise(&self, noise: f64) -> Result<f64> {
        let noise = within("noise at the input", noise, 0.0, self.reference, "V")?;
        let random = noise.hypot(self.code_noise());
        Ok(random
            .hypot(self.quantization_noise())
            .hypot(self.nonlinearity_noise()))
    }

    /// Effective bits left by a total noise and distortion `noise`, V rms, quantization included, such as
    /// [`total_noise`](Self::total_noise) gives: N - log2(noise / (lsb / sqrt 12)).
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] below 1 pV or above the reference.
    pub fn effective_bits(&self, noise: f64) -> Result<f64> {
        let quantity = "total noise and distortion";
        let noise = within(quantity, noise, LEAST_NOISE, self.reference, "V")?;
        Ok(f64::from(self.bits) - (noise / self.quantization_noise()).log2())
    }

    /// The code of a voltage, V; 0 or [`max_code`](Self::max_code) for what lies beyond.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn code(&self, volts: f64) -> Result<i64> {
        finite("converter input", volts, "V").map(|volts| self.held(volts))
    }

    /// The code of each voltage, V.
    #[must_use]
    pub fn codes(&self, volts: &[f64]) -> Codes {
        let held = |&v: &f64| if v.is_finite() { self.held(v) } else { -1 };
        Codes {
            values: volts.iter().map(held).collect(),
            valid: volts.iter().map(|v| v.is_finite()).collect(),
        }
    }

    /// The voltages between which the codes tell apart what comes in, V: from the lower edge of code 0 to the upper
    /// edge of the last.
    #[must_use]
    pub fn input_range(&self) -> [f64; 2] {
        let below = match self.rounding {
            Rounding::Nearest => 0.5,
            Rounding::Down => 0.0,
        };
        [
            -below * self.lsb(),
            (self.max_code() as f64 + 1.0 - below) * self.lsb(),
        ]
    }

    /// Whether a voltage, V, lies outside what the codes cover; one that is not finite does.
    #[must_use]
    pub fn clips(&self, volts: f64) -> bool {
        !(0.0..=self.max_code() as f64).contains(&self.step(volts))
    }

    /// The code if there were one for every voltage.
    fn step(&self, volts: f64) -> f64 {
        let steps = volts / self.lsb();
        let below = steps.floor();
        match self.rounding {
            // Not floor(steps + 1/2): that sum rounds up just below one half.
            Rounding::Nearest if steps - below >= 0.5 => below + 1.0,
            Rounding::Nearest | Rounding::Down => below,
        }
    }

    fn held(&self, volts: f64) -> i64 {
        // Whole and within 24 bits after the clamp, so the conversion loses nothing.
        self.step(volts).clamp(0.0, self.max_code() as f64) as i64
    }
}

/// Effective bits of a measured signal-to-noise-and-distortion ratio of a full-scale sine, dB (-100 to 300):
/// (`snr_db` - 10 log10 1.5) / (20 log10 2), the rule (SINAD - 1.76) / 6.02.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
///
/// # Example
/// ```
/// let bits = yokewright::hall::bits_from_snr_db(62.0)?;
/// assert!((bits - 10.0055).abs() < 1e-4);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// IEEE Std 1241-2010, effective number of bits (from memory).
pub fn bits_from_snr_db(snr_db: f64) -> Result<f64> {
    let snr_db = within("signal-to-noise ratio", snr_db, -100.0, 300.0, "dB")?;
    Ok((snr_db - sine_db()) / db_per_bit())
}

/// Bits gained by averaging `samples` (1 to 1e9) whose noise is white and spans at least about one step:
/// log4(`samples`), half a bit per doubling.
///
/// # Errors
/// [`Error::Count`].
///
/// # Example
/// ```
/// assert_eq!(yokewright::hall::bits_from_averaging(16)?, 2.0);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The mean of n independent values has 1 / sqrt(n) of their noise (textbook).
pub fn bits_from_averaging(samples: usize) -> Result<f64> {
    counted("averaged samples", samples, [1, 1_000_000_000])?;
    Ok(0.5 * (samples as f64).log2())
}

/// What one bit adds to the signal-to-noise ratio, dB; the 6.02 of the rule.
fn db_per_bit() -> f64 {
    20.0 * LOG10_2
}

/// Full-scale sine against quantization noise at no bits, dB: (1/8) / (1/12) in power; the 1.76 of the rule.
fn sine_db() -> f64 {
    10.0 * 1.5_f64.log10()
}

#[cfg(test)]
#[path = "converter_tests.rs"]
mod tests;
