//! How long one stage takes: a distribution of times.

use serde::{Deserialize, Serialize};

use crate::axis::latency::usb::UsbSpeed;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, counted, within, within_computed};
use crate::hall::SignalChain;
use crate::stored::stored_as_spec;

/// Longest time of a stage, s: the longest interval that a bus polls at is 4.096 s.
const LONGEST: f64 = 5.0;
/// Shortest interval and narrowest spread, s: below what any clock here tells apart.
pub(super) const SHORTEST: f64 = 1e-9;
/// Times of a measured sample.
const SAMPLE: [usize; 2] = [1, 1_000_000];
/// Frames and polls, Hz.
const RATE: [f64; 2] = [0.2, 1e6];

/// What a [`Delay`] is made from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum DelaySpec {
    /// Always the same.
    Fixed {
        /// s, 0 to 5.
        time: f64,
    },
    /// Any time between two with one probability.
    Uniform {
        /// Shortest, s, 0 to 5.
        low: f64,
        /// Longest, s, by a nanosecond at least above `low`.
        high: f64,
    },
    /// Until the next poll or frame: any time from 0 to an interval with one probability, and with the probability of a
    /// miss one interval more. A second miss in a row is not in it.
    Wait {
        /// Between two polls or frames, s, 1 ns to 5 s.
        interval: f64,
        /// Probability that one is missed, 0 to 1.
        missed: f64,
    },
    /// Rising from `low` to the most likely time and falling to `high`.
    Triangular {
        /// Shortest, s, 0 to 5.
        low: f64,
        /// Most likely, s.
        mode: f64,
        /// Longest, s, by a nanosecond at least above `low`.
        high: f64,
    },
    /// Each of the times measured with one probability.
    Sample {
        /// s, 0 to 5; one to a million.
        times: Vec<f64>,
    },
}

/// How long a stage takes, as a distribution.
///
/// # Example
/// ```
/// use yokewright::axis::{Delay, UsbSpeed};
/// use yokewright::units::MS;
///
/// let poll = Delay::usb_polling(UsbSpeed::Full, 8)?;
/// assert_eq!(poll.mean(), 4.0 * MS);
/// assert!((poll.standard_deviation() - 8.0 * MS / 12f64.sqrt()).abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Delay {
    spec: DelaySpec,
}

stored_as_spec!(Delay, DelaySpec);

/// A part of a density over which it is straight, times counted from the shortest of the delay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ramp {
    /// Where it begins, s.
    pub(super) start: f64,
    /// How long it is, s.
    pub(super) width: f64,
    /// Density at both ends, 1/s.
    pub(super) ends: [f64; 2],
}

impl Delay {
    /// From its spec.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::NotAscending`], [`Error::Count`].
    pub fn new(spec: DelaySpec) -> Result<Self> {
        let time = |quantity, value| within(quantity, value, 0.0, LONGEST, "s");
        match &spec {
            DelaySpec::Fixed { time: fixed } => {
                time("time of a stage", *fixed)?;
            }
            DelaySpec::Uniform { low, high } => {
                time("shortest time of a stage", *low)?;
                time("longest time of a stage", *high)?;
                spread(*low, *high)?;
            }
            DelaySpec::Wait { interval, missed } => {
                let quantity = "interval of polls or frames";
                within(quantity, *interval, SHORTEST, LONGEST, "s")?;
                within("probability of a miss", *missed, 0.0, 1.0, "(no unit)")?;
            }
            DelaySpec::Triangular { low, mode, high } => {
                time("shortest time of a stage", *low)?;
                time("longest time of a stage", *high)?;
                spread(*low, *high)?;
                within("most likely time of a stage", *mode, *low, *high, "s")?;
            }
            DelaySpec::Sample { times } => {
                counted("measured times of a stage", times.len(), SAMPLE)?;
                for measured in times {
                    time("measured time of a stage", *measured)?;
                }
            }
        }
        Ok(Self { spec })
    }

    /// Always the same time, s, 0 to 5.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn fixed(time: f64) -> Result<Self> {
        Self::new(DelaySpec::Fixed { time })
    }

    /// Any time between two, s, with one probability.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::NotAscending`].
    pub fn uniform(low: f64, high: f64) -> Result<Self> {
        Self::new(DelaySpec::Uniform { low, high })
    }

    /// Until the next of what comes every `interval` (s, 1 ns to 5 s); with the probability `missed` one is missed and
    /// it takes an interval more.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn wait(interval: f64, missed: f64) -> Result<Self> {
        Self::new(DelaySpec::Wait { interval, missed })
    }

    /// Until the next of `rate` frames a second (Hz, 0.2 to a million); with the probability `missed` it takes one
    /// frame more.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn frame_wait(rate: f64, missed: f64) -> Result<Self> {
        Self::wait(check_rate(rate)?.recip(), missed)
    }

    /// From the shortest over the most likely to the longest time, s.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::NotAscending`].
    pub fn triangular(low: f64, mode: f64, high: f64) -> Result<Self> {
        Self::new(DelaySpec::Triangular { low, mode, high })
    }

    /// The times of a measurement, s, each with one probability.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::Count`] for none and for more than a million.
    pub fn sample(times: Vec<f64>) -> Result<Self> {
        Self::new(DelaySpec::Sample { times })
    }

    /// By how much filter and averaging of a chain delay a steady motion: its group delay, always the same.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for more than 5 s.
    pub fn filter(chain: &SignalChain) -> Result<Self> {
        let delay = within_computed("group delay", chain.group_delay(), 0.0, LONGEST, "s")?;
        Self::fixed(delay)
    }

    /// Until the host polls next, at the longest interval that bInterval asks for.
    ///
    /// # Errors
    /// [`Error::Count`] for a bInterval that the speed does not have.
    pub fn usb_polling(speed: UsbSpeed, b_interval: usize) -> Result<Self> {
        Self::wait(speed.polling_interval(b_interval)?, 0.0)
    }

    /// Until a display that draws `rate` frames a second from top to bottom (Hz, 0.2 to a million) has come to a place
    /// on the screen, from 0 for the first line to 1 for the last: that share of a frame, always the same.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn scan(rate: f64, place: f64) -> Result<Self> {
        let place = within("place on the screen", place, 0.0, 1.0, "of its height")?;
        Self::fixed(place / check_rate(rate)?)
    }

    /// What it was made from.
    #[must_use]
    pub fn spec(&self) -> &DelaySpec {
        &self.spec
    }

    /// Shortest and longest time, s.
    #[must_use]
    pub fn range(&self) -> [f64; 2] {
        match &self.spec {
            DelaySpec::Fixed { time } => [*time; 2],
            DelaySpec::Uniform { low, high } | DelaySpec::Triangular { low, high, .. } => {
                [*low, *high]
            }
            DelaySpec::Wait { interval, missed } => {
                let intervals = if *missed > 0.0 { 2.0 } else { 1.0 };
                let first = if *missed < 1.0 { 0.0 } else { *interval };
                [first, intervals * interval]
            }
            DelaySpec::Sample { times } => times
                .iter()
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], &time| {
                    [low.min(time), high.max(time)]
                }),
        }
    }

    /// Mean, s.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match &self.spec {
            DelaySpec::Fixed { time } => *time,
            DelaySpec::Uniform { low, high } => 0.5 * (low + high),
            DelaySpec::Wait { interval, missed } => (0.5 + missed) * interval,
            DelaySpec::Triangular { low, mode, high } => (low + mode + high) / 3.0,
            DelaySpec::Sample { times } => {
                let least = self.range()[0];
                let above = times.iter().map(|time| time - least).sum::<f64>();
                least + above / times.len() as f64
            }
        }
    }

    /// Standard deviation of the distribution, s; of a sample that of its own times, by their number and not by one
    /// less.
    #[must_use]
    pub fn standard_deviation(&self) -> f64 {
        match &self.spec {
            DelaySpec::Fixed { .. } => 0.0,
            DelaySpec::Uniform { low, high } => (high - low) / 12.0_f64.sqrt(),
            DelaySpec::Wait { interval, missed } => {
                (1.0 / 12.0 + missed * (1.0 - missed)).sqrt() * interval
            }
            DelaySpec::Triangular { low, mode, high } => {
                let (rise, fall) = (mode - low, high - mode);
                ((rise * rise + rise * fall + fall * fall) / 18.0).sqrt()
            }
            DelaySpec::Sample { times } => {
                let mean = self.mean();
                let squares = times.iter().map(|time| (time - mean).powi(2)).sum::<f64>();
                (squares / times.len() as f64).sqrt()
            }
        }
    }

    /// All times halved.
    pub(super) fn halved(&self) -> Self {
        let mut spec = self.spec.clone();
        match &mut spec {
            DelaySpec::Fixed { time } => *time *= 0.5,
            DelaySpec::Uniform { low, high } => {
                *low *= 0.5;
                *high *= 0.5;
            }
            DelaySpec::Wait { interval, .. } => *interval *= 0.5,
            DelaySpec::Triangular { low, mode, high } => {
                *low *= 0.5;
                *mode *= 0.5;
                *high *= 0.5;
            }
            DelaySpec::Sample { times } => times.iter_mut().for_each(|time| *time *= 0.5),
        }
        Self { spec }
    }

    /// Its density in straight parts, for what has one; the parts that nothing falls into left out.
    pub(super) fn ramps(&self) -> Vec<Ramp> {
        let even = |start: f64, width: f64, share: f64| Ramp {
            start,
            width,
            ends: [share / width; 2],
        };
        match &self.spec {
            DelaySpec::Fixed { .. } | DelaySpec::Sample { .. } => Vec::new(),
            DelaySpec::Uniform { low, high } => vec![even(0.0, high - low, 1.0)],
            DelaySpec::Wait { interval, missed } => {
                if *missed <= 0.0 || *missed >= 1.0 {
                    return vec![even(0.0, *interval, 1.0)];
                }
                vec![
                    even(0.0, *interval, 1.0 - missed),
                    even(*interval, *interval, *missed),
                ]
            }
            DelaySpec::Triangular { low, mode, high } => {
                let top = 2.0 / (high - low);
                let (rise, fall) = (mode - low, high - mode);
                let parts = [(0.0, rise, [0.0, top]), (rise, fall, [top, 0.0])];
                let parts = parts.into_iter().filter(|(_, width, _)| *width > 0.0);
                parts
                    .map(|(start, width, ends)| Ramp { start, width, ends })
                    .collect()
            }
        }
    }
}

fn check_rate(rate: f64) -> Result<f64> {
    let [least, most] = RATE;
    within("rate of frames", rate, least, most, "Hz")
}

fn spread(low: f64, high: f64) -> Result<()> {
    ascending("times of a stage", [low, high], "s")?;
    let width = high - low;
    within_computed("spread of a stage", width, SHORTEST, LONGEST, "s")?;
    Ok(())
}
