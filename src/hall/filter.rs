//! What lies between a sensor's noise and the reading: a low-pass filter, and the mean of several samples.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, counted, within, within_computed};
use crate::observer;
use crate::stored::stored_by_its_constructor;

/// Corner frequencies, Hz: of a sensor, of a filter.
pub(super) const BANDWIDTH: [f64; 2] = [1e-3, 1e9];
const SAMPLES: [usize; 2] = [1, 1_000_000];
const INTERVAL: [f64; 2] = [1e-9, 1e3];
/// Time constants after which what is left of a correlation is below the last digit.
const SETTLED: f64 = 50.0;
/// Lags between two looks at the observer.
const BLOCK: usize = 4096;

/// A low-pass filter of one pole: a resistor and a capacitor.
///
/// Gain 1 / sqrt(1 + (f/f_c)^2), phase -atan(f/f_c).
///
/// # Example
/// ```
/// use yokewright::hall::LowPass;
/// let filter = LowPass::from_rc(10e3, 100e-9)?;
/// assert!((filter.cutoff() - 159.155).abs() < 1e-3);
/// assert!((filter.group_delay() - 1e-3).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// The RC low-pass (textbook). Noise bandwidth: the integral of 1 / (1 + (f/f_c)^2) over f from 0 up is pi/2 f_c.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowPass {
    cutoff: f64,
}

stored_by_its_constructor!(LowPass { cutoff: f64 } => Self::new(cutoff));

impl LowPass {
    /// A filter with its -3 dB corner at `cutoff`, Hz, 1 mHz to 1 GHz.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(cutoff: f64) -> Result<Self> {
        let [least, most] = BANDWIDTH;
        within("cutoff frequency", cutoff, least, most, "Hz")?;
        Ok(Self { cutoff })
    }

    /// From a resistance, ohm, 1 milliohm to 1e12, that of the source included, and a capacitance, F, 1 fF to 1000 F:
    /// f_c = 1 / (2 pi R C).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], also for the cutoff that they give.
    pub fn from_rc(resistance: f64, capacitance: f64) -> Result<Self> {
        within("resistance of the filter", resistance, 1e-3, 1e12, "ohm")?;
        within("capacitance of the filter", capacitance, 1e-15, 1e3, "F")?;
        let [least, most] = BANDWIDTH;
        let cutoff = (TAU * resistance * capacitance).recip();
        within_computed("cutoff frequency", cutoff, least, most, "Hz")?;
        Ok(Self { cutoff })
    }

    /// -3 dB corner, Hz.
    #[must_use]
    pub fn cutoff(&self) -> f64 {
        self.cutoff
    }

    /// Time constant, s: R C.
    #[must_use]
    pub fn time_constant(&self) -> f64 {
        (TAU * self.cutoff).recip()
    }

    /// Bandwidth of the ideal filter that passes as much white noise, Hz: pi/2 times the cutoff.
    #[must_use]
    pub fn noise_bandwidth(&self) -> f64 {
        FRAC_PI_2 * self.cutoff
    }

    /// Share of noise, by its rms, that passes, of a sensor whose noise is white up to one pole at `bandwidth`, Hz:
    /// sqrt(f_c / (f_c + bandwidth)), from the noise bandwidth pi/2 f_c bandwidth / (f_c + bandwidth) of both poles.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] outside 1 mHz to 1 GHz.
    pub fn noise_share(&self, bandwidth: f64) -> Result<f64> {
        let bandwidth = check_bandwidth(bandwidth)?;
        Ok((self.cutoff / (self.cutoff + bandwidth)).sqrt())
    }

    /// Group delay at low frequency, s: the time constant. A steady motion is read so much late.
    #[must_use]
    pub fn group_delay(&self) -> f64 {
        self.time_constant()
    }

    /// Gain at a frequency, Hz, 0 to 1e12.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn gain(&self, frequency: f64) -> Result<f64> {
        Ok(check_frequency(frequency)?.hypot(self.cutoff).recip() * self.cutoff)
    }

    /// Phase at a frequency, Hz, 0 to 1e12, rad: from 0 to -pi/2.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn phase(&self, frequency: f64) -> Result<f64> {
        Ok(-check_frequency(frequency)?.atan2(self.cutoff))
    }

    /// Time after a step until so large a `share` of it is still missing, s: -ln(share) time constants. Share 1e-12 to
    /// 1; half a step of N bits is 2^-(N+1).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn settling_time(&self, share: f64) -> Result<f64> {
        let share = within(
            "share of a step that is missing",
            share,
            1e-12,
            1.0,
            "(no unit)",
        )?;
        // Not -ln(1) = -0.
        Ok(share.recip().ln() * self.time_constant())
    }
}

pub(super) fn check_bandwidth(bandwidth: f64) -> Result<f64> {
    let [least, most] = BANDWIDTH;
    within("bandwidth", bandwidth, least, most, "Hz")
}

fn check_frequency(frequency: f64) -> Result<f64> {
    within("frequency", frequency, 0.0, 1e12, "Hz")
}

/// How noise at one time depends on that at another: what its one or two poles make of white noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Correlation {
    /// Each sample is independent of the others.
    White,
    /// One pole, Hz: exp(-2 pi f lag).
    OnePole(f64),
    /// Two poles in a row, Hz.
    TwoPoles([f64; 2]),
}

impl Correlation {
    /// Correlation of two samples that lie `lag` apart, s, more than 0.
    pub(super) fn at(self, lag: f64) -> f64 {
        match self {
            Self::White => 0.0,
            Self::OnePole(pole) => (-TAU * pole * lag).exp(),
            Self::TwoPoles(poles) => {
                let slow = TAU * lag * poles[0].min(poles[1]);
                let apart = TAU * lag * poles[0].max(poles[1]) - slow;
                // (w2 exp(-w1 t) - w1 exp(-w2 t)) / (w2 - w1), which has a limit where the poles meet.
                let mixed = if apart == 0.0 {
                    1.0
                } else {
                    -(-apart).exp_m1() / apart
                };
                (-slow).exp() * (1.0 + slow * mixed)
            }
        }
    }

    /// Lag from which on it is gone, s.
    fn settled(self) -> f64 {
        match self {
            Self::White => 0.0,
            Self::OnePole(pole) => SETTLED / (TAU * pole),
            // (1 + w t) exp(-w t) at most: a little later than one pole.
            Self::TwoPoles([a, b]) => 1.1 * SETTLED / (TAU * a.min(b)),
        }
    }
}

/// The mean of samples that are taken at even times.
///
/// # Example
/// ```
/// use yokewright::hall::{Averaging, LowPass};
/// let averaging = Averaging::new(16, 1e-4)?;
/// assert_eq!(averaging.noise_factor(), 0.25);
/// // Samples that follow one another within the filter's time constant are much alike.
/// let factor = averaging.noise_factor_behind(&LowPass::new(200.0)?)?;
/// assert!(factor > 0.7);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Variance of a mean of n values with correlation r(k) at k samples: (1/n)(1 + 2 sum (1 - k/n) r(k)) (textbook).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Averaging {
    samples: usize,
    interval: f64,
}

stored_by_its_constructor!(Averaging {
    samples: usize,
    interval: f64
} => Self::new(samples, interval));

impl Averaging {
    /// The mean of `samples` (1 to a million) that are `interval` (s, 1 ns to 1000 s) apart.
    ///
    /// # Errors
    /// [`Error::Count`], [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(samples: usize, interval: f64) -> Result<Self> {
        counted("averaged samples", samples, SAMPLES)?;
        let [least, most] = INTERVAL;
        within("interval between samples", interval, least, most, "s")?;
        Ok(Self { samples, interval })
    }

    /// How many samples.
    #[must_use]
    pub fn samples(&self) -> usize {
        self.samples
    }

    /// Time between two, s.
    #[must_use]
    pub fn interval(&self) -> f64 {
        self.interval
    }

    /// Group delay, s: (N - 1)/2 intervals.
    #[must_use]
    pub fn group_delay(&self) -> f64 {
        0.5 * (self.samples - 1) as f64 * self.interval
    }

    /// Share of white noise, by its rms, that is left: 1 / sqrt(N). White is noise of which each sample is independent
    /// of the others, such as the converter's own.
    #[must_use]
    pub fn noise_factor(&self) -> f64 {
        (self.samples as f64).sqrt().recip()
    }

    /// Share of noise, by its rms, that is left if it was white before one pole at the cutoff of `filter`: samples at k
    /// intervals from one another have the correlation exp(-2 pi f_c k T_s).
    ///
    /// # Errors
    /// [`Error::Stopped`].
    pub fn noise_factor_behind(&self, filter: &LowPass) -> Result<f64> {
        self.factor(Correlation::OnePole(filter.cutoff))
    }

    /// Share of noise, by its rms, that is left.
    pub(super) fn factor(&self, correlation: Correlation) -> Result<f64> {
        let variance = self.mean_over_pairs(correlation, 1.0, |r| r)?;
        Ok(variance.sqrt())
    }

    /// Gain for a motion of a frequency, Hz, 0 to 1e12: |sin(pi f N T_s) / (N sin(pi f T_s))|.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn gain(&self, frequency: f64) -> Result<f64> {
        let turns = check_frequency(frequency)? * self.interval;
        // Of the fraction, which is exact: the sine of large arguments is that of their rounding.
        let half = PI * (turns - turns.round());
        let count = self.samples as f64;
        if half == 0.0 {
            return Ok(1.0);
        }
        Ok(((count * half).sin() / (count * half.sin())).abs())
    }

    /// The mean of a function of the correlation over all pairs of samples, `alone` for a sample with itself.
    pub(super) fn mean_over_pairs(
        &self,
        correlation: Correlation,
        alone: f64,
        of: impl Fn(f64) -> f64,
    ) -> Result<f64> {
        let count = self.samples as f64;
        // Whole and at most a million after the minimum.
        let lags = (correlation.settled() / self.interval).min(count - 1.0) as usize;
        let mut sum = count * alone;
        for lag in 1..=lags {
            if lag % BLOCK == 0 {
                observer::check()?;
            }
            let pairs = 2.0 * (count - lag as f64);
            sum += pairs * of(correlation.at(lag as f64 * self.interval));
        }
        let rest = count - 1.0 - lags as f64;
        sum += rest * (rest + 1.0) * of(0.0);
        Ok(sum / (count * count))
    }
}

#[cfg(test)]
#[path = "filter_tests.rs"]
mod tests;
