//! A control that is let go: in closed form as an oscillator, or integrated.

mod oscillator;
mod release;

pub use oscillator::SecondOrderResponse;
pub use release::{FreeResponse, FreeResponseSpec};
