//! Published control-force guidance, to set a control beside.

pub(super) mod table;
pub(super) mod types;

pub use types::*;
