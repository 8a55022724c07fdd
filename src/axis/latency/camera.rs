//! What a high-speed camera measures: frames between hand and screen.

use crate::error::{Error, Result, counted, within};
use crate::numeric::student::{both_tails, critical};
use crate::stored::stored_by_its_constructor;

/// Frames a second.
const RATE: [f64; 2] = [1.0, 1e6];
/// Runs of one device: by hand, with a reserve.
pub(super) const RUNS: [usize; 2] = [1, 10_000];
/// Most frames of a run: it has to be short enough to be watched.
const FRAMES: u32 = 10_000_000;
/// Confidence of an interval. Beyond, the tails of a distribution that nobody has measured would be told.
const CONFIDENCE: [f64; 2] = [0.5, 0.9999];

/// Runs of one device filmed at a rate: how many frames lie between the motion of the hand and that on the screen.
///
/// A run is its frames over the rate. Both events lie anywhere within their frames, so that a run is off by the
/// difference of two even distributions: a triangle from minus one frame to one frame, standard deviation a frame over
/// sqrt 6, mean zero. This is in the spread of the runs already.
///
/// # Example
/// ```
/// use yokewright::axis::CameraRuns;
/// let runs = CameraRuns::new(1000.0, vec![108, 113, 110, 112, 109, 114, 111, 111])?;
/// assert_eq!(runs.mean(), 0.111);
/// let [low, high] = runs.mean_interval(0.95)?;
/// assert!(low > 0.109 && high < 0.113);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// *Guide to the expression of uncertainty in measurement* (JCGM 100:2008), 4.3.7 and 4.3.9: rectangular and triangular
/// distributions (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct CameraRuns {
    rate: f64,
    frames: Vec<u32>,
}

stored_by_its_constructor!(CameraRuns { rate: f64, frames: Vec<u32> } => Self::new(rate, frames));

impl CameraRuns {
    /// Runs at `rate` frames a second (Hz, 1 to a million), 1 to 10,000 of them, each of 0 to ten million frames.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`], [`Error::Count`].
    pub fn new(rate: f64, frames: Vec<u32>) -> Result<Self> {
        within("rate of the camera", rate, RATE[0], RATE[1], "Hz")?;
        counted("filmed runs", frames.len(), RUNS)?;
        for &count in &frames {
            let most = f64::from(FRAMES);
            within("frames of a run", f64::from(count), 0.0, most, "frames")?;
        }
        Ok(Self { rate, frames })
    }

    /// Frames a second, Hz.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Frames of each run.
    #[must_use]
    pub fn frames(&self) -> &[u32] {
        &self.frames
    }

    /// How many runs.
    #[must_use]
    pub fn count(&self) -> usize {
        self.frames.len()
    }

    /// Time of each run, s.
    #[must_use]
    pub fn times(&self) -> Vec<f64> {
        let time = |&frames: &u32| f64::from(frames) / self.rate;
        self.frames.iter().map(time).collect()
    }

    /// Mean, s.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean_frames() / self.rate
    }

    /// Whole numbers up to 1e11: exact before the division.
    fn mean_frames(&self) -> f64 {
        let sum: u64 = self.frames.iter().map(|&frames| u64::from(frames)).sum();
        sum as f64 / self.count() as f64
    }

    /// Standard deviation of the runs, by one less than their number, s; `None` for a single run.
    #[must_use]
    pub fn standard_deviation(&self) -> Option<f64> {
        let mean = self.mean_frames();
        let away = |&frames: &u32| (f64::from(frames) - mean).powi(2);
        let squares: f64 = self.frames.iter().map(away).sum();
        let others = self.count() - 1;
        (others > 0).then(|| (squares / others as f64).sqrt() / self.rate)
    }

    /// Standard deviation of the mean, s: that of the runs over sqrt n; `None` for a single run.
    #[must_use]
    pub fn standard_error(&self) -> Option<f64> {
        let deviation = self.standard_deviation()?;
        Some(deviation / (self.count() as f64).sqrt())
    }

    /// Standard deviation of the time of one event within its frame, s: a frame over sqrt 12.
    #[must_use]
    pub fn event_deviation(&self) -> f64 {
        (self.rate * 12.0_f64.sqrt()).recip()
    }

    /// Standard deviation of the error of a run by its frames, s: a frame over sqrt 6.
    #[must_use]
    pub fn quantization_deviation(&self) -> f64 {
        (self.rate * 6.0_f64.sqrt()).recip()
    }

    /// Greatest error of a run by its frames, s: a frame.
    #[must_use]
    pub fn quantization_limit(&self) -> f64 {
        self.rate.recip()
    }

    /// Standard deviation that is left for the latency itself, s, without what the frames add to it; `None` for a
    /// single run and where the frames explain all of the spread.
    #[must_use]
    pub fn own_deviation(&self) -> Option<f64> {
        let (all, frames) = (self.standard_deviation()?, self.quantization_deviation());
        (all > frames).then(|| ((all - frames) * (all + frames)).sqrt())
    }

    /// The interval that holds the mean latency with a confidence (0.5 to 0.9999), s: Student's t with n - 1 degrees of
    /// freedom.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::Absent`] for a single run and for runs that are all equal,
    /// which show no spread.
    pub fn mean_interval(&self, confidence: f64) -> Result<[f64; 2]> {
        let tails = tails(confidence)?;
        let error = self.shown_error()?;
        let half = critical(tails, (self.count() - 1) as f64) * error;
        Ok([self.mean() - half, self.mean() + half])
    }

    /// The standard error of runs that show one.
    fn shown_error(&self) -> Result<f64> {
        let absent = |of, advice| Error::Absent {
            quantity: "spread",
            of,
            advice,
        };
        match self.standard_error() {
            None => Err(absent("a single run", "film it several times")),
            Some(error) if error > 0.0 => Ok(error),
            Some(_) => Err(absent(
                "a measurement whose runs are all equal",
                "film more runs, or with a faster camera",
            )),
        }
    }

    /// This device against another, by Welch's test: the two may spread differently.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for the confidence; [`Error::Absent`] where one of the two has a
    /// single run, or neither shows a spread.
    ///
    /// # References
    /// B. L. Welch, Biometrika 34 (1947) 28-35; F. E. Satterthwaite, Biometrics Bulletin 2 (1946) 110-114, for the
    /// degrees of freedom (from memory).
    pub fn compared_with(&self, other: &Self, confidence: f64) -> Result<DeviceDifference> {
        let tails = tails(confidence)?;
        let both = [self, other];
        // One of them may have runs that are all equal, both of them not.
        let shown = both.map(Self::shown_error);
        let single = both.iter().position(|one| one.count() == 1);
        if let Some(i) = single.or((shown[0].is_err() && shown[1].is_err()).then_some(0)) {
            both[i].shown_error()?;
        }
        let [a, b] = shown.map(|error| error.unwrap_or(0.0));
        let standard_error = a.hypot(b);
        // As shares of the whole, so that nothing is too small or too great to be squared twice.
        let [a, b] = [a, b].map(|error| (error / standard_error).powi(2));
        let others = both.map(|one| (one.count() - 1) as f64);
        let degrees_of_freedom = (a * a / others[0] + b * b / others[1]).recip();
        let difference = self.mean() - other.mean();
        let t = difference / standard_error;
        let half = critical(tails, degrees_of_freedom) * standard_error;
        Ok(DeviceDifference {
            difference,
            standard_error,
            degrees_of_freedom,
            t,
            p: both_tails(t, degrees_of_freedom),
            interval: [difference - half, difference + half],
        })
    }
}

fn tails(confidence: f64) -> Result<f64> {
    let [least, most] = CONFIDENCE;
    Ok(1.0 - within("confidence", confidence, least, most, "(no unit)")?)
}

/// How two devices differ.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[non_exhaustive]
pub struct DeviceDifference {
    /// Mean of the first less that of the second, s.
    pub difference: f64,
    /// Its standard deviation, s.
    pub standard_error: f64,
    /// Satterthwaite's degrees of freedom.
    pub degrees_of_freedom: f64,
    /// The difference over its standard deviation.
    pub t: f64,
    /// Probability of a difference as great as this, either way, between devices that are alike.
    pub p: f64,
    /// Where the difference lies with the confidence asked for, s.
    pub interval: [f64; 2],
}

/// Half the width of an interval that holds a mean with a `confidence` (0.5 to 0.9999), in standard deviations of the
/// mean: Student's t for so many degrees of freedom, 1 to 20,000, whole or not.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
pub fn student_t(degrees_of_freedom: f64, confidence: f64) -> Result<f64> {
    let most = 2.0 * RUNS[1] as f64;
    let freedom = within(
        "degrees of freedom",
        degrees_of_freedom,
        1.0,
        most,
        "(no unit)",
    )?;
    Ok(critical(tails(confidence)?, freedom))
}
