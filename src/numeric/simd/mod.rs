//! Elementary functions and loops for the vector units.

pub(crate) mod dispatch;
pub(crate) mod grid;
pub(crate) mod lanes;
pub(crate) mod lines;
pub(crate) mod normal;
