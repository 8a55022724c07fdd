//! The name of an axis as C and Rust can have it.

use crate::error::{Error, Result, counted, echo};

/// Letters of a name.
const LETTERS: [usize; 2] = [1, 48];

/// `axis_` and the name in lower case, what separates its words as underscores: in front of it no digit comes first and
/// no keyword or reserved name is met.
pub(super) fn identifier(name: &str) -> Result<String> {
    let name = name.trim();
    counted("letters of the axis name", name.chars().count(), LETTERS)?;
    let letter = |c: char| match c {
        ' ' | '-' | '.' | '_' => Some('_'),
        c if c.is_ascii_alphanumeric() => Some(c.to_ascii_lowercase()),
        _ => None,
    };
    match name.chars().map(letter).collect::<Option<String>>() {
        Some(plain) if plain.chars().any(|c| c != '_') => Ok(format!("axis_{plain}")),
        _ => Err(Error::NotAChoice {
            quantity: "axis name for the firmware",
            given: echo(name),
            choices: "letters a to z, digits, blanks, hyphens, dots and underscores, at least one letter or digit"
                .to_owned(),
        }),
    }
}
