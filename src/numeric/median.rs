//! Medians in linear time.
//!
//! Crates of statistics take a copy and sort it, or hold whole distributions; the selection of the standard library is
//! all that is needed.

/// For normally distributed values the standard deviation is so many times the median of the absolute departures.
pub(crate) const MAD_TO_SD: f64 = 1.482_602_218_505_602;

/// The middle one of finite values, the mean of both middle ones of an even number; NaN of none.
pub(crate) fn median(values: &mut [f64]) -> f64 {
    let count = values.len();
    if count == 0 {
        return f64::NAN;
    }
    let (below, &mut upper, _) = values.select_nth_unstable_by(count / 2, f64::total_cmp);
    if count % 2 == 1 {
        return upper;
    }
    let lower = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    0.5 * (lower + upper)
}

/// The value below which a part of finite values lies, the nearest of them; NaN of none.
pub(crate) fn quantile(values: &mut [f64], part: f64) -> f64 {
    if values.is_empty() {
        return f64::NAN;
    }
    let place = (part * (values.len() - 1) as f64).round() as usize;
    let (_, value, _) = values.select_nth_unstable_by(place, f64::total_cmp);
    *value
}

#[cfg(test)]
#[path = "median_tests.rs"]
mod tests;
