//! What acts between two points along the line that joins them, and between two parts about the pivot that joins them.

pub(super) mod linear;
pub(super) mod table;

pub use linear::{
    LineSpring, LineState, Response, Responses, StraightSpring, StraightSpringSpec, TwistResponse,
    TwistSpring, TwistSpringSpec, TwistState, Works,
};
pub use table::{BelowTable, ForceTable};
