//! Springs: force, stress and life of helical springs, and what else pulls a control back.

mod law;
mod table;

pub use law::{
    LineSpring, LineState, Response, Responses, StraightSpring, StraightSpringSpec, TwistResponse,
    TwistSpring, TwistSpringSpec, TwistState, Works,
};
pub use table::{BelowTable, ForceTable};
