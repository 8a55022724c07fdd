//! Finds an entry of a table by its name, as people write it.

use crate::error::{Error, Result, plain};

/// How many names an unknown one is answered with.
const NEAREST: usize = 5;

/// The entry of that name. Case, spaces, hyphens and underscores make no difference.
///
/// # Errors
/// [`Error::UnknownName`] with the names nearest to it.
pub(crate) fn find<'a, T>(
    quantity: &'static str,
    name: &str,
    entries: &'a [T],
    name_of: impl Fn(&T) -> &str,
) -> Result<&'a T> {
    let wanted = plain(name);
    if let Some(entry) = entries.iter().find(|e| plain(name_of(e)) == wanted) {
        return Ok(entry);
    }
    let mut near: Vec<_> = entries
        .iter()
        .map(|entry| {
            let name = plain(name_of(entry));
            // What goes on where the given name ends is meant before what differs in a letter: Y30BH by Y30, and not
            // Y33.
            (
                !name.starts_with(&wanted),
                distance(&name, &wanted),
                name_of(entry),
            )
        })
        .collect();
    near.sort_by_key(|(other, distance, _)| (*other, *distance));
    let near: Vec<_> = near.iter().take(NEAREST).map(|(.., name)| *name).collect();
    Err(Error::UnknownName {
        quantity,
        given: name.to_owned(),
        near: near.join(", "),
    })
}

/// Least number of letters to insert, delete or replace (Levenshtein), of names of any length in time proportional to
/// the shorter table name.
pub(crate) fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().collect();
    let mut row: Vec<usize> = (0..=a.len()).collect();
    for (i, other) in b.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, letter) in a.iter().enumerate() {
            let replaced = diagonal + usize::from(*letter != other);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[a.len()]
}

#[cfg(test)]
#[path = "names_tests.rs"]
mod tests;
