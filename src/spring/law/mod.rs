//! What acts between two points along the line that joins them, and between two parts about the pivot that joins them.

pub(super) mod linear;
pub(super) mod table;

pub use linear::{
    LineSpring, LinearSpring, LinearSpringSpec, LinearSpringState, LinearTorsionSpring,
    LinearTorsionSpringSpec, SpringAction, SpringResponse, SpringResponses, TorsionResponse,
    TorsionSpringState,
};
pub use table::{BelowTable, ForceTable};
