//! Springs: force, stress and life of helical springs, and what else pulls a control back.
//!
//! **Springs under load hurt.** A compressed spring that slips off its seat, or an extension spring whose hook breaks,
//! flies: wear eye protection, keep fingers out of the coils, guide long springs, and let no spring go under load. For
//! simulators only.

mod helical;
mod law;
pub mod requirement;
mod sizing;
mod stock;
mod wire;

pub use helical::{
    CoilDiameter, CoilEnds, CompressionSpring, CompressionSpringSpec, CurvatureFactor, Cycle,
    DesignCode, EndFixity, Endurance, ExtensionLife, ExtensionSpring, ExtensionSpringSpec,
    ExtensionStresses, FatigueCriterion, HookShape, LengthValues, Life, LifeVerdict, Presetting,
    RECOMMENDED, RecommendedRanges, Service, TorsionLife, TorsionLimit, TorsionSpring,
    TorsionSpringSpec, TorsionState, Turns, WireSurface,
};
pub use law::{
    BelowTable, ForceTable, LineSpring, LinearSpring, LinearSpringSpec, LinearSpringState,
    LinearTorsionSpring, LinearTorsionSpringSpec, SpringAction, SpringResponse, SpringResponses,
    TorsionResponse, TorsionSpringState,
};
pub use sizing::{
    CompressionDemand, ExtensionDemand, LifeDemand, RankBy, SizedExtension, SizedSpring,
    SizedTorsion, SizingTarget, TorsionDemand, search_compression_springs,
    search_extension_springs, search_torsion_springs,
};
pub use stock::{
    StockArrangement, StockChoice, StockColumn, StockDemand, StockFormat, StockKind, StockList,
    StockQuantity, StockSpring, search_stock,
};
pub use wire::{
    AllowableShares, ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily,
    WireSpec, WireStrength,
};
