//! What acts between two points along the line that joins them, and between two parts about the pivot that joins them.

pub(super) mod linear;
pub(super) mod response;
pub(super) mod table;
pub(super) mod torsion;

pub use linear::{LineSpring, LinearSpring, LinearSpringSpec};
pub use response::{
    LinearSpringState, SpringAction, SpringResponse, SpringResponses, TorsionResponse,
    TorsionSpringState,
};
pub use table::{BelowTable, ForceTable};
pub use torsion::{LinearTorsionSpring, LinearTorsionSpringSpec};
