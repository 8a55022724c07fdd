//! Springs: force, stress and life of helical springs, and what else pulls a control back.
//!
//! **Springs under load hurt.** A compressed spring that slips off its seat, or an extension spring whose hook breaks, flies: wear eye protection,
//! keep fingers out of the coils, guide long springs, and let no spring go under load. For simulators only.

mod helical;
mod law;
mod sizing;
mod stock;
mod wire;

pub use helical::{
    AtLengths, CoilDiameter, CompressionSpring, CompressionSpringSpec, Criterion, Curvature, Cycle,
    Ends, Endurance, ExtensionLife, ExtensionSpring, ExtensionSpringSpec, ExtensionStresses,
    HookShape, Life, LifeVerdict, Practice, RECOMMENDED, Recommended, Seats, Service, Setting,
    Surface, TorsionLife, TorsionLimit, TorsionSpring, TorsionSpringSpec, Turns, WoundUp,
};
pub use law::{
    BelowTable, ForceTable, LineSpring, LineState, Response, Responses, StraightSpring,
    StraightSpringSpec, TwistResponse, TwistSpring, TwistSpringSpec, TwistState, Works,
};
pub use sizing::{
    CompressionDemand, ExtensionDemand, LifeDemand, Miss, RankBy, Rejection, Shortfall,
    SizedExtension, SizedSpring, SizedTorsion, Sizing, TorsionDemand, Wanted,
};
pub use stock::{
    Arrangement, StockChoice, StockColumn, StockDemand, StockFormat, StockKind, StockList,
    StockQuantity, StockSpring,
};
pub use wire::{
    AllowableShares, ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily,
    WireSpec, WireStrength,
};
