//! From a demand to the springs that meet it.

mod coils;
pub(super) mod compression;

pub use coils::{
    ExtensionDemand, SizedExtension, SizedTorsion, TorsionDemand, search_extension_springs,
    search_torsion_springs,
};
pub use compression::{
    CompressionDemand, LifeDemand, RankBy, SizedSpring, SizingTarget, search_compression_springs,
};
