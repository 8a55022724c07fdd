//! How magnet and sensor stand to each other, in the measures of a builder.

mod swung;

pub use swung::{ArmLayout, ArmLayoutSpec, MagnetSide};
