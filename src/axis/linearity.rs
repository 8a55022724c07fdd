//! How straight a characteristic is, by the three measures of IEC 61298-2.

use serde::Serialize;

use crate::axis::Line;
use crate::error::{Error, Result, finite, within};
use crate::numeric::line;
use crate::stored::checked_when_read;

checked_when_read! {
    /// Departure of a characteristic from a straight line, as a fraction of its span.
    ///
    /// The three differ in how the line is laid. Each figure is the largest departure from its line in either
    /// direction, divided by the span (greatest less least value) of the characteristic.
    ///
    /// # References
    /// IEC 61298-2, *Process measurement and control devices, general methods and procedures for evaluating
    /// performance, part 2*: independent, terminal-based and zero-based linearity (definitions quoted from memory; also
    /// in ANSI/ISA-51.1).
    #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
    pub struct Linearity {
        independent: f64,
        terminal_based: f64,
        zero_based: f64,
        independent_line: Line,
        terminal_based_line: Line,
        zero_based_line: Line,
    }
}

impl Linearity {
    /// Whether these could be linearities; each line checks itself when it is read.
    fn check(&self) -> Result<()> {
        let part = |name, value| within(name, value, 0.0, f64::MAX, "of span");
        part("independent linearity", self.independent)?;
        part("terminal-based linearity", self.terminal_based)?;
        part("zero-based linearity", self.zero_based)?;
        Ok(())
    }
}

impl Linearity {
    /// From the line that makes the largest departure as small as it can be.
    #[must_use]
    pub fn independent(&self) -> f64 {
        self.independent
    }

    /// From the line through both ends of the characteristic.
    #[must_use]
    pub fn terminal_based(&self) -> f64 {
        self.terminal_based
    }

    /// From the line through the lower end that makes the largest departure as small as it can be.
    #[must_use]
    pub fn zero_based(&self) -> f64 {
        self.zero_based
    }

    /// The line of [`Linearity::independent`].
    #[must_use]
    pub fn independent_line(&self) -> Line {
        self.independent_line
    }

    /// The line of [`Linearity::terminal_based`].
    #[must_use]
    pub fn terminal_based_line(&self) -> Line {
        self.terminal_based_line
    }

    /// The line of [`Linearity::zero_based`].
    #[must_use]
    pub fn zero_based_line(&self) -> Line {
        self.zero_based_line
    }

    /// Those of zero + gain y, with a gain that is not zero: parts of the span are the same, the lines follow.
    pub(super) fn through(&self, zero: f64, gain: f64) -> Self {
        let through = |line: Line| Line {
            offset: zero + gain * line.offset,
            slope: gain * line.slope,
        };
        Self {
            independent_line: through(self.independent_line),
            terminal_based_line: through(self.terminal_based_line),
            zero_based_line: through(self.zero_based_line),
            ..*self
        }
    }

    /// `None` if `y` does not change; `x` ascends and everything is finite.
    pub(super) fn of(x: &[f64], y: &[f64]) -> Option<Self> {
        let span = span(y);
        if span <= 0.0 {
            return None;
        }
        let (independent_line, independent) = line::minimax(x, y);
        let (terminal_based_line, terminal_based) = line::terminal(x, y);
        let (zero_based_line, zero_based) = line::zero_based(x, y);
        Some(Self {
            independent: independent / span,
            terminal_based: terminal_based / span,
            zero_based: zero_based / span,
            independent_line,
            terminal_based_line,
            zero_based_line,
        })
    }
}

/// Greatest less least value.
pub(super) fn span(y: &[f64]) -> f64 {
    let (least, most) = y
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), &v| {
            (least.min(v), most.max(v))
        });
    most - least
}

/// The linearities of the characteristic through the samples (`x`, `y`), `x` strictly ascending.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::Count`] below 2 samples, [`Error::NotFinite`], [`Error::NotAscending`];
/// [`Error::OutOfRange`] if `y` does not change or its span overflows.
///
/// # Example
/// ```
/// // y = x^2 on [0, 1]: the best line leaves 1/8 of the span, the one through the ends 1/4.
/// let x: Vec<f64> = (0..=1000).map(|i| f64::from(i) / 1000.0).collect();
/// let y: Vec<f64> = x.iter().map(|x| x * x).collect();
/// let figures = yokewright::axis::linearity(&x, &y)?;
/// assert!((figures.independent() - 0.125).abs() < 1e-6);
/// assert!((figures.terminal_based() - 0.25).abs() < 1e-6);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn linearity(x: &[f64], y: &[f64]) -> Result<Linearity> {
    if x.len() != y.len() {
        return Err(Error::LengthMismatch {
            first: "x",
            first_len: x.len(),
            second: "y",
            second_len: y.len(),
        });
    }
    if x.len() < 2 {
        return Err(Error::Count {
            quantity: "samples of the characteristic",
            count: x.len(),
            min: 2,
            max: usize::MAX,
        });
    }
    for (&x, &y) in x.iter().zip(y) {
        finite("x of a sample", x, "its unit")?;
        finite("y of a sample", y, "its unit")?;
    }
    if let Some(pair) = x.windows(2).find(|pair| pair[0] >= pair[1]) {
        return Err(Error::NotAscending {
            quantity: "x of two samples in a row",
            lower: pair[0],
            upper: pair[1],
            unit: "(unit of x)",
        });
    }
    let refuse = |value| Error::OutOfRange {
        quantity: "span of y",
        value,
        min: f64::MIN_POSITIVE,
        max: f64::MAX,
        unit: "(unit of y)",
        hint: crate::error::Hint::None,
    };
    if !span(y).is_finite() {
        return Err(refuse(span(y)));
    }
    let linearity = Linearity::of(x, y).ok_or_else(|| refuse(span(y)))?;
    // Samples that nearly stand above one another give a line that is too steep for a double.
    for line in [
        linearity.independent_line,
        linearity.terminal_based_line,
        linearity.zero_based_line,
    ] {
        finite("slope of a line through the samples", line.slope, "y per x")?;
        finite(
            "offset of a line through the samples",
            line.offset,
            "its unit",
        )?;
    }
    for part in [
        linearity.independent,
        linearity.terminal_based,
        linearity.zero_based,
    ] {
        finite("departure from a line through the samples", part, "of span")?;
    }
    Ok(linearity)
}
