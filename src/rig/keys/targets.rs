//! Keys of targets, from the table of targets.

use crate::rig::keys::key::{Allowed, Key, key, optional};
use crate::rig::target::Target;

/// The targets that may be set in a section.
pub(super) fn keys(section: &'static str) -> impl Iterator<Item = Key> {
    let here = Target::ALL.into_iter();
    let here = here.filter(move |target| target.is_in(section));
    here.map(move |target| {
        let [min, max] = target.bounds();
        optional(key(
            section,
            target.key(),
            Allowed::Number(min, max),
            target.meaning(),
        ))
    })
}
