//! From a demand to the springs that meet it.

mod compression;
mod extension;
pub(super) mod grid;
pub(super) mod life;
mod torsion;

pub use compression::{
    CompressionDemand, RankBy, SizedSpring, SizingTarget, search_compression_springs,
};
pub use extension::{ExtensionDemand, SizedExtension, search_extension_springs};
pub use life::LifeDemand;
pub use torsion::{SizedTorsion, TorsionDemand, search_torsion_springs};
