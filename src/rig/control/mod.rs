//! The controls of a design file: axes by themselves and sticks with two of them.

mod acting;
mod arrangement;
mod asked;
mod axis;
mod feel;
mod stick;

pub(super) use acting::FittedSpring;
pub(super) use asked::read_targets;
pub use axis::NamedAxis;
pub(super) use axis::{Place, read as read_axis};
pub use feel::NamedFeel;
pub use stick::NamedStick;
pub(super) use stick::read as read_stick;
