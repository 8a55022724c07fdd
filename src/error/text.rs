//! How values and given texts are written in a message.

/// Digits up to which a number looks typed; more of them come out of a calculation.
pub(super) const TYPED_DIGITS: usize = 4;

pub(super) fn significant_digits(value: f64) -> usize {
    let text = format!("{:e}", tidied(value));
    let digits = text.split('e').next().unwrap_or_default();
    digits.chars().filter(char::is_ascii_digit).count()
}

/// A value without what binary fractions add: 3.1 for 3.0999999999999996.
pub(super) fn tidied(value: f64) -> f64 {
    let rounded = format!("{value:.11e}").parse().unwrap_or(value);
    // A few units in the last place, as left behind by a product or a difference; a value with more to it stays whole.
    if (rounded - value).abs() <= 4.0 * f64::EPSILON * value.abs() {
        rounded
    } else {
        value
    }
}

/// A value as people write it: no more digits than were given, six where it was calculated.
pub(crate) fn tidy(value: f64) -> String {
    beside(value, &[])
}

/// [`tidy`], with as many digits more as it takes to tell the value from the limits beside it.
pub(super) fn beside(value: f64, limits: &[f64]) -> String {
    let value = tidied(value);
    if !value.is_finite() || significant_digits(value) <= 10 {
        return written(value);
    }
    let rounded = (5..17).filter_map(|digits| format!("{value:.digits$e}").parse::<f64>().ok());
    let told = |rounded: &f64| {
        let order = |value: f64| limits.iter().map(move |limit| value.partial_cmp(limit));
        order(*rounded).eq(order(value))
    };
    written(rounded.into_iter().find(told).unwrap_or(value))
}

/// Zeros are spelled out up to a length that can still be read.
pub(super) fn written(value: f64) -> String {
    if value == 0.0 || (1e-8..1e15).contains(&value.abs()) || !value.is_finite() {
        value.to_string()
    } else {
        format!("{value:e}")
    }
}

/// What somebody gave, to be quoted in a message: on one line, and cut where it is long.
pub(crate) fn echo(text: &str) -> String {
    const LONGEST: usize = 60;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => printable(&text[..end]) + "...",
        None => printable(text),
    }
}

/// A text on one line, with the characters that a terminal obeys as escapes.
pub(crate) fn printable(text: &str) -> String {
    let mut escaped = String::new();
    for c in text.chars() {
        if c.is_control() || turns_writing(c) {
            escaped.extend(c.escape_default());
        } else {
            escaped.push(c);
        }
    }
    escaped
}

/// Characters that turn the direction of writing or break the line, so that a terminal shows another text than there
/// is.
pub(super) fn turns_writing(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// From how many to how many, or just how many.
pub(super) fn span(min: usize, max: usize) -> String {
    if min == max {
        min.to_string()
    } else {
        format!("{min} to {max}")
    }
}

/// A value to three digits, for what is only known or needed roughly.
pub(crate) fn about(value: f64) -> String {
    written(format!("{value:.2e}").parse().unwrap_or(value))
}
