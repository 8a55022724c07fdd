//! The field of a block and its gradient.

mod field;
mod gradient;

pub(in crate::magnet) use field::{Placed, add_fields, field, is_inside, strength};
pub(in crate::magnet) use gradient::{add_gradients, gradient};
