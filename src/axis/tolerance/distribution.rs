//! How a dimension or a property of the parts of many builders is spread.

use std::f64::consts::SQRT_2;

use serde::{Deserialize, Serialize};
use statrs::function::erf::erfc;

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, counted, finite, within, within_computed};
use crate::numeric::simd::normal;
use crate::stored::stored_as_spec;

/// Larger than any quantity of a control in its SI unit, as the modulus of steel, Pa.
const MAX_VALUE: f64 = 1e15;
/// Most values of a measured sample.
const MAX_SAMPLE: usize = 1_000_000;
/// The least share of a normal distribution that may be left of it when it is cut.
const LEAST_LEFT: f64 = 1e-6;
/// Beyond so many standard deviations there is nothing of a normal distribution.
const NOTHING_BEYOND: f64 = 12.0;
/// Cells of Simpson's rule over what is left of a normal distribution: a hundred to a standard deviation and more.
const CELLS: usize = 4096;

/// The distribution of a toleranced quantity, in its SI unit; [`Distribution::new`] checks it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[non_exhaustive]
pub enum DistributionSpec {
    /// Normal, as what many small causes add up to.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        standard_deviation: f64,
    },
    /// Anything between two limits with one probability, as what is known by its limits alone.
    Uniform {
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
    },
    /// Normal, with what lies beyond the limits taken out, as parts that were sorted.
    TruncatedNormal {
        /// Mean of the normal distribution before it is cut.
        mean: f64,
        /// Its standard deviation before it is cut.
        standard_deviation: f64,
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
    },
    /// Two straight flanks, as what is known by its limits and the value to expect.
    Triangular {
        /// Least value.
        low: f64,
        /// The most frequent value.
        mode: f64,
        /// Greatest value.
        high: f64,
    },
    /// One of these values, each as probable as any other: a sample that was measured.
    Sample {
        /// The values.
        values: Vec<f64>,
    },
}

/// A checked distribution.
///
/// # Example
/// ```
/// use yokewright::axis::Distribution;
/// use yokewright::units::MM;
///
/// // 3.3 +- 0.3 mm on a drawing: twice the standard deviation.
/// let gap = Distribution::plus_minus(3.3 * MM, 0.3 * MM)?;
/// assert!((gap.standard_deviation() - 0.15 * MM).abs() < 1e-15);
/// assert!((gap.quantile(0.975)? - (3.3 + 0.15 * 1.96) * MM).abs() < 1e-8);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Distribution {
    spec: DistributionSpec,
    mean: f64,
    standard_deviation: f64,
}

stored_as_spec!(Distribution, DistributionSpec);

impl Distribution {
    /// Standard deviations that a plus-minus of a drawing stands for, where nothing else is said.
    pub(crate) const COVERAGE_FACTOR: f64 = 2.0;
    /// Standard deviations that any stated coverage stands for.
    pub(crate) const COVERAGE_FACTORS: [f64; 2] = [0.1, 10.0];

    /// Checks a distribution. A sample is put in ascending order.
    ///
    /// # Errors
    /// [`Error::NotFinite`]; [`Error::OutOfRange`] for a value beyond 1e15, a standard deviation that is not positive
    /// (leave the tolerance of what is exact out), a mode beyond the limits, or limits that leave less than a millionth
    /// of the normal distribution; [`Error::NotAscending`] for limits; [`Error::Count`] for a sample of fewer than 2
    /// values or more than 1,000,000.
    pub fn new(spec: DistributionSpec) -> Result<Self> {
        let (spec, mean, standard_deviation) = match spec {
            DistributionSpec::Normal {
                mean,
                standard_deviation,
            } => {
                check_value("mean", mean)?;
                check_deviation(standard_deviation)?;
                (spec, mean, standard_deviation)
            }
            DistributionSpec::Uniform { low, high } => {
                check_limits(low, high)?;
                (spec, 0.5 * low + 0.5 * high, (high - low) / 12f64.sqrt())
            }
            DistributionSpec::TruncatedNormal {
                mean,
                standard_deviation,
                low,
                high,
            } => {
                check_value("mean", mean)?;
                check_deviation(standard_deviation)?;
                check_limits(low, high)?;
                let cut = Cut::new(mean, standard_deviation, [low, high]);
                within_computed(
                    "share of the normal distribution between its limits",
                    cut.left(),
                    LEAST_LEFT,
                    1.0,
                    "(no unit)",
                )?;
                let [shift, spread] = cut.moments();
                let center = (mean + standard_deviation * shift).clamp(low, high);
                (spec, center, standard_deviation * spread)
            }
            DistributionSpec::Triangular { low, mode, high } => {
                check_limits(low, high)?;
                within(
                    "mode of a triangular distribution",
                    mode,
                    low,
                    high,
                    "(its unit)",
                )?;
                let (a, b) = (mode - low, high - mode);
                let variance = (a * a + a * b + b * b) / 18.0;
                (spec, low / 3.0 + mode / 3.0 + high / 3.0, variance.sqrt())
            }
            DistributionSpec::Sample { mut values } => {
                counted("values of a measured sample", values.len(), [2, MAX_SAMPLE])?;
                for value in &values {
                    check_value("value of a measured sample", *value)?;
                }
                values.sort_by(f64::total_cmp);
                let n = values.len() as f64;
                let mean = values.iter().map(|value| value / n).sum::<f64>();
                let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
                (
                    DistributionSpec::Sample { values },
                    mean,
                    (squares / n).sqrt(),
                )
            }
        };
        Ok(Self {
            spec,
            mean: finite("mean", mean, "(its unit)")?,
            standard_deviation: finite("standard deviation", standard_deviation, "(its unit)")?,
        })
    }

    /// Normal.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn normal(mean: f64, standard_deviation: f64) -> Result<Self> {
        Self::new(DistributionSpec::Normal {
            mean,
            standard_deviation,
        })
    }

    /// What a drawing means by `nominal` +- `plus_minus`: normal, with twice its standard deviation for the plus-minus,
    /// so that 95 % of the parts are within.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn plus_minus(nominal: f64, plus_minus: f64) -> Result<Self> {
        Self::plus_minus_covering(nominal, plus_minus, Self::COVERAGE_FACTOR)
    }

    /// The same where the plus-minus is that many standard deviations, 0.1 to 10: 3 of a process that keeps 99.7 %
    /// within.
    ///
    /// # Errors
    /// As [`Distribution::new`]; [`Error::OutOfRange`] for the factor.
    pub fn plus_minus_covering(
        nominal: f64,
        plus_minus: f64,
        coverage_factor: f64,
    ) -> Result<Self> {
        let [least, most] = Self::COVERAGE_FACTORS;
        within("coverage factor", coverage_factor, least, most, "(no unit)")?;
        within(
            "plus-minus",
            plus_minus,
            f64::MIN_POSITIVE,
            MAX_VALUE,
            "(its unit)",
        )?;
        Self::normal(nominal, plus_minus / coverage_factor)
    }

    /// Anything between two limits.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn uniform(low: f64, high: f64) -> Result<Self> {
        Self::new(DistributionSpec::Uniform { low, high })
    }

    /// Normal and cut at two limits; the standard deviation is that before it is cut.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn truncated_normal(
        mean: f64,
        standard_deviation: f64,
        [low, high]: [f64; 2],
    ) -> Result<Self> {
        Self::new(DistributionSpec::TruncatedNormal {
            mean,
            standard_deviation,
            low,
            high,
        })
    }

    /// Two straight flanks.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn triangular(low: f64, mode: f64, high: f64) -> Result<Self> {
        Self::new(DistributionSpec::Triangular { low, mode, high })
    }

    /// A measured sample.
    ///
    /// # Errors
    /// As [`Distribution::new`].
    pub fn sample(values: impl Into<Vec<f64>>) -> Result<Self> {
        Self::new(DistributionSpec::Sample {
            values: values.into(),
        })
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &DistributionSpec {
        &self.spec
    }

    /// Mean, in the unit of the quantity.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation, in the unit of the quantity; of a cut one that of what is left.
    #[must_use]
    pub fn standard_deviation(&self) -> f64 {
        self.standard_deviation
    }

    /// The value below which a share `p` of all parts lies, 2^-53 to 1 - 2^-53.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn quantile(&self, p: f64) -> Result<f64> {
        let least = 0.5 * f64::EPSILON;
        within("probability", p, least, 1.0 - least, "(no unit)")?;
        let mut value = [p];
        self.quantiles(&mut value);
        Ok(value[0])
    }

    /// The same distribution about the same mean, so many times as wide.
    ///
    /// # Errors
    /// As [`Distribution::new`] of the wider one; [`Error::OutOfRange`] unless the factor is positive.
    pub fn scaled(&self, factor: f64) -> Result<Self> {
        within(
            "factor of a tolerance",
            factor,
            f64::MIN_POSITIVE,
            1e6,
            "(no unit)",
        )?;
        let about = |value: f64| self.mean + factor * (value - self.mean);
        Self::new(match &self.spec {
            DistributionSpec::Normal {
                mean,
                standard_deviation,
            } => DistributionSpec::Normal {
                mean: *mean,
                standard_deviation: factor * standard_deviation,
            },
            DistributionSpec::Uniform { low, high } => DistributionSpec::Uniform {
                low: about(*low),
                high: about(*high),
            },
            DistributionSpec::TruncatedNormal {
                mean,
                standard_deviation,
                low,
                high,
            } => DistributionSpec::TruncatedNormal {
                mean: about(*mean),
                standard_deviation: factor * standard_deviation,
                low: about(*low),
                high: about(*high),
            },
            DistributionSpec::Triangular { low, mode, high } => DistributionSpec::Triangular {
                low: about(*low),
                mode: about(*mode).clamp(about(*low), about(*high)),
                high: about(*high),
            },
            DistributionSpec::Sample { values } => DistributionSpec::Sample {
                values: values.iter().map(|value| about(*value)).collect(),
            },
        })
    }

    /// Each probability, within 0 and 1 and neither of them, becomes the value below which that share lies.
    pub(super) fn quantiles(&self, values: &mut [f64]) {
        match &self.spec {
            DistributionSpec::Normal {
                mean,
                standard_deviation,
            } => {
                normal::quantiles(values);
                for value in values {
                    *value = mean + standard_deviation * *value;
                }
            }
            DistributionSpec::Uniform { low, high } => {
                for value in values {
                    *value = (low * (1.0 - *value) + high * *value).clamp(*low, *high);
                }
            }
            DistributionSpec::TruncatedNormal {
                mean,
                standard_deviation,
                low,
                high,
            } => {
                let cut = Cut::new(*mean, *standard_deviation, [*low, *high]);
                for value in values.iter_mut() {
                    *value = cut.share_below(*value);
                }
                normal::quantiles(values);
                for value in values {
                    let deviate = if cut.mirrored { -*value } else { *value };
                    *value = (mean + standard_deviation * deviate).clamp(*low, *high);
                }
            }
            DistributionSpec::Triangular { low, mode, high } => {
                let (width, rise) = (high - low, mode - low);
                for value in values {
                    let p = *value;
                    let place = if p * width < rise {
                        low + width * (p * (rise / width)).sqrt()
                    } else {
                        high - width * ((1.0 - p) * ((high - mode) / width)).sqrt()
                    };
                    *value = place.clamp(*low, *high);
                }
            }
            DistributionSpec::Sample { values: sample } => {
                let n = sample.len();
                for value in values {
                    *value = sample[((*value * n as f64) as usize).min(n - 1)];
                }
            }
        }
    }
}

fn check_value(quantity: &'static str, value: f64) -> Result<f64> {
    within(quantity, value, -MAX_VALUE, MAX_VALUE, "(its unit)")
}

fn check_deviation(deviation: f64) -> Result<f64> {
    within(
        "standard deviation of a tolerance",
        deviation,
        f64::MIN_POSITIVE,
        MAX_VALUE,
        "(its unit)",
    )
}

fn check_limits(low: f64, high: f64) -> Result<()> {
    check_value("lower limit of a tolerance", low)?;
    check_value("upper limit of a tolerance", high)?;
    ascending("limits of a tolerance", [low, high], "(its unit)")?;
    Ok(())
}

/// What two limits leave of the standard normal distribution, turned so that most of it lies below zero: there the
/// integral has all its digits.
struct Cut {
    mirrored: bool,
    low: f64,
    high: f64,
    below: f64,
    above: f64,
}

impl Cut {
    fn new(mean: f64, deviation: f64, limits: [f64; 2]) -> Self {
        let [mut low, mut high] = limits.map(|limit| (limit - mean) / deviation);
        let mirrored = low + high > 0.0;
        if mirrored {
            (low, high) = (-high, -low);
        }
        Self {
            mirrored,
            low,
            high,
            below: normal_share(low),
            above: normal_share(high),
        }
    }

    fn left(&self) -> f64 {
        self.above - self.below
    }

    /// The share of the whole distribution below what has a share `p` of the rest below it.
    fn share_below(&self, p: f64) -> f64 {
        let p = if self.mirrored { 1.0 - p } else { p };
        let share = self.below + p * self.left();
        share.clamp(0.5 * f64::EPSILON, 1.0 - 0.5 * f64::EPSILON)
    }

    /// Mean and standard deviation of what is left, by Simpson's rule about its middle: the closed form cancels where
    /// the limits are close.
    fn moments(&self) -> [f64; 2] {
        let low = self.low.max(-NOTHING_BEYOND);
        let high = self.high.min(NOTHING_BEYOND).max(low);
        let middle = 0.5 * (low + high);
        let half = 0.5 * (high - low);
        let mut sums = [0.0; 3];
        for i in 0..=CELLS {
            let weight = match i {
                0 | CELLS => 1.0,
                _ if i % 2 == 1 => 4.0,
                _ => 2.0,
            };
            let t = half * (2.0 * i as f64 / CELLS as f64 - 1.0);
            // Density as a share of that at the middle, so that nothing vanishes far out.
            let density = weight * (-t * (middle + 0.5 * t)).exp();
            sums[0] += density;
            sums[1] += density * t;
            sums[2] += density * t * t;
        }
        let shift = sums[1] / sums[0];
        let mean = middle + shift;
        let variance = (sums[2] / sums[0] - shift * shift).max(0.0);
        [if self.mirrored { -mean } else { mean }, variance.sqrt()]
    }
}

/// Share of the standard normal distribution below x.
fn normal_share(x: f64) -> f64 {
    0.5 * erfc(-x / SQRT_2)
}
