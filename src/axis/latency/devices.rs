//! Several devices against each other, and how many runs that takes.

use serde::Serialize;

use crate::axis::latency::camera::{CameraRuns, DeviceDifference, RUNS};
use crate::error::{Error, Result, counted, within, within_computed};
use crate::numeric::student::{detectable, power};
use crate::observer;

/// Devices in one comparison.
const DEVICES: [usize; 2] = [2, 20];
/// Runs of each of two devices.
const EACH: [usize; 2] = [2, RUNS[1]];
/// A difference and a standard deviation, s.
const TIMES: [f64; 2] = [1e-9, 100.0];
/// A power that is asked for: above the share of false alarms, below certainty.
const POWER: [f64; 2] = [0.1, 0.9999];
/// The two-sided level of the test.
const SIGNIFICANCE: f64 = 0.05;

/// Two devices of several.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
#[non_exhaustive]
pub struct DevicePair {
    /// Name of the first.
    pub first: String,
    /// Name of the second.
    pub second: String,
    /// How they differ.
    pub difference: DeviceDifference,
    /// The probability `p` of the difference, held against all pairs at once by Holm's method: below 0.05 for any pair
    /// of devices that are alike in no more than one comparison of twenty.
    pub p_of_all: f64,
}

/// Every pair of some devices, by Welch's test, the confidence (0.5 to 0.9999) that of each interval by itself.
///
/// # Errors
/// [`Error::Count`] for fewer than two devices and more than twenty; [`Error::NameTaken`]; as
/// [`CameraRuns::compared_with`].
///
/// # References
/// S. Holm, Scandinavian Journal of Statistics 6 (1979) 65-70 (from memory).
pub fn compare_devices(
    devices: &[(String, CameraRuns)],
    confidence: f64,
) -> Result<Vec<DevicePair>> {
    counted("devices to be compared", devices.len(), DEVICES)?;
    let mut pairs = Vec::new();
    for (i, (first, runs)) in devices.iter().enumerate() {
        for (second, others) in &devices[i + 1..] {
            if first == second {
                return Err(Error::NameTaken {
                    quantity: "devices to be compared",
                    name: first.clone(),
                });
            }
            observer::check()?;
            let difference = runs.compared_with(others, confidence)?;
            pairs.push(DevicePair {
                first: first.clone(),
                second: second.clone(),
                difference,
                p_of_all: difference.p,
            });
        }
    }
    let mut order: Vec<usize> = (0..pairs.len()).collect();
    order.sort_by(|&a, &b| pairs[a].difference.p.total_cmp(&pairs[b].difference.p));
    let mut least = 0.0_f64;
    for (rank, &i) in order.iter().enumerate() {
        let left = (pairs.len() - rank) as f64;
        least = least.max((left * pairs[i].difference.p).min(1.0));
        pairs[i].p_of_all = least;
    }
    Ok(pairs)
}

/// How many runs of each of two devices it takes to find a `difference` of their means (s) with a `power` (0.1 to
/// 0.9999), if both spread by `deviation` (s): two-sided t-test at 5 %, exact by the noncentral t.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`], also where 10,000 runs do not do.
///
/// # Example
/// ```
/// use yokewright::axis::runs_needed;
/// use yokewright::units::MS;
/// assert_eq!(runs_needed(10.0 * MS, 10.0 * MS, 0.8)?, 17);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn runs_needed(difference: f64, deviation: f64, power: f64) -> Result<usize> {
    let effect = check_time("difference of two devices", difference)?
        / check_time("standard deviation of the runs", deviation)?;
    let wanted = check_power(power)?;
    let enough = |runs: usize| self::power(runs, effect, SIGNIFICANCE) >= wanted;
    let [least, most] = EACH;
    let reached = self::power(most, effect, SIGNIFICANCE);
    within_computed(
        "power that 10000 runs reach",
        reached,
        wanted,
        1.0,
        "(no unit)",
    )?;
    let [mut short, mut upper] = [least - 1, most];
    while upper - short > 1 {
        observer::check()?;
        let middle = usize::midpoint(short, upper);
        if enough(middle) {
            upper = middle;
        } else {
            short = middle;
        }
    }
    Ok(upper)
}

/// With which probability so many runs of each of two devices (2 to 10,000) find a `difference` of their means (s), if
/// both spread by `deviation` (s): two-sided t-test at 5 %.
///
/// # Errors
/// [`Error::Count`], [`Error::NotFinite`], [`Error::OutOfRange`].
pub fn power_of_runs(runs: usize, difference: f64, deviation: f64) -> Result<f64> {
    counted("runs of each device", runs, EACH)?;
    let effect = check_time("difference of two devices", difference)?
        / check_time("standard deviation of the runs", deviation)?;
    Ok(power(runs, effect, SIGNIFICANCE))
}

/// The least difference of the means of two devices, s, that so many runs of each (2 to 10,000) find with a `power`
/// (0.1 to 0.9999), if both spread by `deviation` (s): what lies below, a handful of runs can not tell.
///
/// # Errors
/// [`Error::Count`], [`Error::NotFinite`], [`Error::OutOfRange`].
pub fn detectable_difference(runs: usize, deviation: f64, power: f64) -> Result<f64> {
    counted("runs of each device", runs, EACH)?;
    let deviation = check_time("standard deviation of the runs", deviation)?;
    Ok(detectable(runs, check_power(power)?, SIGNIFICANCE) * deviation)
}

fn check_time(quantity: &'static str, time: f64) -> Result<f64> {
    within(quantity, time, TIMES[0], TIMES[1], "s")
}

fn check_power(power: f64) -> Result<f64> {
    within("power", power, POWER[0], POWER[1], "(no unit)")
}
