//! From a demand to the springs that meet it.

mod coils;
pub(super) mod compression;
pub(super) mod shortfall;

pub use coils::{ExtensionDemand, SizedExtension, SizedTorsion, TorsionDemand};
pub use compression::{CompressionDemand, LifeDemand, RankBy, SizedSpring, Sizing, SizingTarget};
pub use shortfall::{Miss, Rejection, Shortfall};
