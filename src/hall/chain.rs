//! The signal chain: from a sensor's output through filter and converter to the reading, and its noise.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, within};
use crate::hall::filter::{Averaging, Correlation, LowPass, check_bandwidth};
use crate::hall::{Converter, MAX_NOISE};
use crate::stored::checked_when_read;

/// What a sensor's output goes through: a filter if there is one, the converter, and the mean of several codes if they
/// are averaged.
///
/// # Example
/// ```
/// use yokewright::hall::{Averaging, Converter, LowPass, Rounding, SignalChain};
/// use yokewright::units::{KHZ, MV};
///
/// let converter = Converter::new(12, 3.3, Rounding::Nearest, 0.4 * MV)?;
/// let chain = SignalChain {
///     filter: Some(LowPass::new(1.0 * KHZ)?),
///     averaging: Some(Averaging::new(8, 0.5e-3)?),
///     ..SignalChain::new(converter)
/// };
/// // A sensor with 1 mV rms in its 20 kHz.
/// let noise = chain.noise(1.0 * MV, Some(20.0 * KHZ))?;
/// assert!(noise.total() < 0.3 * MV);
/// assert!((chain.group_delay() - (0.159e-3 + 1.75e-3)).abs() < 1e-6);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignalChain {
    /// Before the converter.
    pub filter: Option<LowPass>,
    /// From volts to codes.
    pub converter: Converter,
    /// Of the codes.
    pub averaging: Option<Averaging>,
}

impl SignalChain {
    /// A converter alone.
    #[must_use]
    pub fn new(converter: Converter) -> Self {
        Self {
            filter: None,
            converter,
            averaging: None,
        }
    }

    /// Group delay of filter and averaging at low frequency, s: by how much a steady motion is read late.
    #[must_use]
    pub fn group_delay(&self) -> f64 {
        self.filter.map_or(0.0, |filter| filter.group_delay())
            + self.averaging.map_or(0.0, |mean| mean.group_delay())
    }

    /// The noise of a reading, referred to the converter's input, for a sensor with an output noise of `noise`, V rms,
    /// 0 to 0.1, that is white up to one pole at `bandwidth`, Hz.
    ///
    /// Without a bandwidth the noise is taken as it stands: no filter lowers it, and averaging takes it as white behind
    /// the filter's pole, or as white where there is no filter.
    ///
    /// # Model
    /// The filter passes sqrt(f_c / (f_c + bandwidth)) of the sensor's noise. The mean of N samples leaves of it what
    /// the correlation of both poles says; of the converter's own noise 1 / sqrt(N). The error of quantization, for a
    /// voltage anywhere within a step: samples at a lag with correlation r have the quantization errors' covariance
    /// lsb^2 sum exp(-4 pi^2 k^2 s^2) / (2 pi^2 k^2), k from 1 up, with s^2 = sensor^2 (1 - r) + converter^2 in steps.
    /// So averaging lowers it only as far as noise carries the voltage over the steps. Integral nonlinearity is no
    /// noise: averaging leaves it.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::Stopped`].
    ///
    /// # References
    /// The characteristic function of quantization: B. Widrow and I. Kollar, *Quantization Noise* (from memory).
    pub fn noise(&self, noise: f64, bandwidth: Option<f64>) -> Result<NoiseBudget> {
        let given = within("sensor noise", noise, 0.0, MAX_NOISE, "V")?;
        if let Some(bandwidth) = bandwidth {
            check_bandwidth(bandwidth)?;
        }
        let (passed, correlation) = match (&self.filter, bandwidth) {
            (Some(filter), Some(bandwidth)) => (
                given * filter.noise_share(bandwidth)?,
                Correlation::TwoPoles([filter.cutoff(), bandwidth]),
            ),
            (Some(filter), None) => (given, Correlation::OnePole(filter.cutoff())),
            (None, Some(bandwidth)) => (given, Correlation::OnePole(bandwidth)),
            (None, None) => (given, Correlation::White),
        };
        let (lsb, own) = (self.converter.lsb(), self.converter.code_noise());
        let (mut sensor, mut converter) = (passed, own);
        let mut quantization = self.converter.quantization_noise();
        if let Some(mean) = &self.averaging {
            sensor *= mean.factor(correlation)?;
            converter *= mean.noise_factor();
            let (sensor_steps, own_steps) = (passed / lsb, own / lsb);
            let variance = mean.mean_over_pairs(correlation, quantization_left(0.0), |r| {
                quantization_left(sensor_steps.powi(2) * (1.0 - r) + own_steps.powi(2))
            })?;
            quantization = lsb * variance.sqrt();
        }
        Ok(NoiseBudget {
            sensor,
            converter,
            quantization,
            nonlinearity: self.converter.nonlinearity_noise(),
        })
    }
}

/// Covariance of the quantization errors of two samples, lsb^2, whose voltages differ by a noise of twice the
/// `variance`, lsb^2: sum of exp(-4 pi^2 k^2 variance) / (2 pi^2 k^2); 1/12 at none.
fn quantization_left(variance: f64) -> f64 {
    let rate = 4.0 * PI * PI * variance;
    // The sum by Poisson's formula, whose further terms are below exp(-pi^2 / 0.25).
    if rate < 0.25 {
        return 1.0 / 12.0 - (2.0 * (PI * rate).sqrt() - rate) / (4.0 * PI * PI);
    }
    // exp(-0.25 13^2) is below the last digit.
    let term = |k: i32| {
        let square = f64::from(k * k);
        (-rate * square).exp() / (2.0 * PI * PI * square)
    };
    (1..13).map(term).sum()
}

checked_when_read! {
    /// The noise of a reading by where it comes from, referred to the converter's input.
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct NoiseBudget {
        /// Of the sensor, V rms.
        pub sensor: f64,
        /// Of the converter's input, V rms.
        pub converter: f64,
        /// Of quantization, V rms.
        pub quantization: f64,
        /// What the converter's integral nonlinearity is worth, V rms.
        pub nonlinearity: f64,
    }
}

impl NoiseBudget {
    fn check(&self) -> Result<()> {
        for value in [
            self.sensor,
            self.converter,
            self.quantization,
            self.nonlinearity,
        ] {
            within("noise", value, 0.0, f64::MAX, "V")?;
        }
        Ok(())
    }

    /// What makes a reading unsteady, V rms: sensor and converter together.
    #[must_use]
    pub fn random(&self) -> f64 {
        self.sensor.hypot(self.converter)
    }

    /// Noise and distortion, V rms: all of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.random()
            .hypot(self.quantization)
            .hypot(self.nonlinearity)
    }
}

#[cfg(test)]
#[path = "chain_tests.rs"]
mod tests;
