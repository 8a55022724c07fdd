//! The checks that constructors call; each gives the value back, or the error that says what is wrong with it.

use super::{Error, Hint, Result};

/// A finite value, or the error that says which quantity is not.
pub(crate) fn finite(quantity: &'static str, value: f64, unit: &'static str) -> Result<f64> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Error::NotFinite {
            quantity,
            value,
            unit,
        })
    }
}

/// A value within `min..=max`, or the error that says how it is not.
pub(crate) fn within(
    quantity: &'static str,
    value: f64,
    min: f64,
    max: f64,
    unit: &'static str,
) -> Result<f64> {
    bounded(quantity, value, [min, max], unit, || {
        Hint::suggest(value, unit, |factor| {
            (min..=max).contains(&(value * factor))
        })
    })
}

/// As [`within`], where the value or a limit was computed: what the user gave is not at fault in its unit, so none is
/// suggested.
pub(crate) fn within_computed(
    quantity: &'static str,
    value: f64,
    min: f64,
    max: f64,
    unit: &'static str,
) -> Result<f64> {
    bounded(quantity, value, [min, max], unit, || Hint::None)
}

/// What [`within`] and [`within_computed`] share.
fn bounded(
    quantity: &'static str,
    value: f64,
    [min, max]: [f64; 2],
    unit: &'static str,
    hint: impl FnOnce() -> Hint,
) -> Result<f64> {
    finite(quantity, value, unit)?;
    if (min..=max).contains(&value) {
        return Ok(value);
    }
    Err(Error::OutOfRange {
        quantity,
        value,
        min,
        max,
        unit,
        hint: hint(),
    })
}

/// Two finite values that go upward, or the error that says how they do not.
pub(crate) fn ascending(
    quantity: &'static str,
    [lower, upper]: [f64; 2],
    unit: &'static str,
) -> Result<[f64; 2]> {
    finite(quantity, lower, unit)?;
    finite(quantity, upper, unit)?;
    if lower < upper {
        return Ok([lower, upper]);
    }
    Err(Error::NotAscending {
        quantity,
        lower,
        upper,
        unit,
    })
}

/// A number of things within `min..=max`, or the error that says how it is not.
pub(crate) fn counted(
    quantity: &'static str,
    count: usize,
    [min, max]: [usize; 2],
) -> Result<usize> {
    if (min..=max).contains(&count) {
        return Ok(count);
    }
    Err(Error::Count {
        quantity,
        count,
        min,
        max,
    })
}

/// The parts of a vector, each finite; `names` tells which is not.
pub(crate) fn finite_parts<'a>(
    names: [&'static str; 3],
    parts: impl IntoIterator<Item = &'a f64>,
    unit: &'static str,
) -> Result<()> {
    for (name, part) in names.into_iter().zip(parts) {
        finite(name, *part, unit)?;
    }
    Ok(())
}

/// The parts of a vector, each within `min..=max`; `names` tells which is not.
pub(crate) fn parts_within<'a>(
    names: [&'static str; 3],
    parts: impl IntoIterator<Item = &'a f64>,
    min: f64,
    max: f64,
    unit: &'static str,
) -> Result<()> {
    for (name, part) in names.into_iter().zip(parts) {
        within(name, *part, min, max, unit)?;
    }
    Ok(())
}
