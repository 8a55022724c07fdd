//! The arithmetic of the fields, in a form that the vector units run.

pub(super) mod block;
pub(super) mod cylinder;
