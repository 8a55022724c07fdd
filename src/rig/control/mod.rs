//! The controls of a design file: axes by themselves and sticks with two of them.

mod arrangement;
mod asked;
mod axis;
mod stick;

pub(super) use asked::read_targets;
pub use axis::NamedAxis;
pub(super) use axis::{Place, read as read_axis};
pub use stick::NamedStick;
pub(super) use stick::read as read_stick;
