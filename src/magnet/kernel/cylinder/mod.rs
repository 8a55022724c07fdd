//! The field of a cylinder or ring and its gradient.

mod exact;
mod field;
mod gradient;

pub(in crate::magnet) use field::{Placed, add_fields, field, is_inside, strength};
pub(in crate::magnet) use gradient::gradient;
