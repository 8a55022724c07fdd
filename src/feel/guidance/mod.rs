//! Published control-force guidance, to set a control beside.

mod compare;
pub(super) mod table;
pub(super) mod types;

pub use compare::*;
pub use types::*;
