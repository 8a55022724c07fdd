//! How magnet and sensor stand to each other, in the measures of a builder.

mod any;
mod head_on;
mod measure;
mod mounting;
mod pair;
mod parts;
mod shaft_end;
mod side;
mod swung;
mod traits;

pub use any::AnyArrangement;
pub use head_on::{HeadOnLayout, HeadOnLayoutSpec};
pub use measure::{Measure, MeasureValue};
pub use mounting::{BackPlate, Mounting, PlateHolder, SensorPackage};
pub use pair::{PairCarrier, PairLayout, PairLayoutSpec};
pub use parts::ArrangedParts;
pub use shaft_end::{ShaftEndLayout, ShaftEndLayoutSpec, ShaftSide};
pub use side::MagnetSide;
pub use swung::{SwungLayout, SwungLayoutSpec};
pub use traits::Arrangement;
