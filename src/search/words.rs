//! Texts of a stored result, which stand in the program as constants where they are made.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

/// How many texts of stored results are kept, and the longest of them, in bytes. The searches of this crate have
/// fewer than two hundred, of up to eighty.
const MAX_TEXTS: usize = 2000;
const MAX_LENGTH: usize = 400;

/// The one copy of a text that was read. It stays for the life of the program, so that results can go on naming their
/// requirements by constants; that is why there is an end to it.
pub(crate) fn kept(text: &str) -> Result<&'static str, String> {
    static KEPT: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());
    if text.len() > MAX_LENGTH {
        let length = text.len();
        return Err(format!(
            "a word of a search of {length} bytes, where the longest allowed has {MAX_LENGTH}"
        ));
    }
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = kept.get(text) {
        return Ok(known);
    }
    if kept.len() == MAX_TEXTS {
        return Err(format!(
            "more than {MAX_TEXTS} different words of searches read"
        ));
    }
    let own: &'static str = Box::leak(text.to_owned().into_boxed_str());
    kept.insert(own);
    Ok(own)
}
