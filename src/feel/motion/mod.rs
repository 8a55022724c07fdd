//! A control that is let go: in closed form as an oscillator, or integrated.

mod oscillator;
mod release;

pub use oscillator::Swing;
pub use release::{Release, ReleaseSpec};
