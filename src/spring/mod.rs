//! Springs: force, stress and life of helical springs, and what else pulls a control back.
//!
//! **Springs under load hurt.** A compressed spring that slips off its seat, or an extension spring whose hook breaks, flies: wear eye protection,
//! keep fingers out of the coils, guide long springs, and let no spring go under load. For simulators only.

mod choice;
mod coil;
mod coil_sizing;
mod compression;
mod extension;
mod fatigue;
mod helix;
mod law;
mod shortfall;
mod sizing;
mod stock;
mod table;
mod torsion;
mod wire;
mod wires;

pub use choice::{Arrangement, StockChoice, StockDemand};
pub use coil_sizing::{ExtensionDemand, SizedExtension, SizedTorsion, TorsionDemand};
pub use compression::{
    AtLengths, CompressionSpring, CompressionSpringSpec, Ends, RECOMMENDED, Recommended, Seats,
    Service, Setting, Turns,
};
pub use extension::{
    ExtensionLife, ExtensionSpring, ExtensionSpringSpec, ExtensionStresses, HookShape,
};
pub use fatigue::{Criterion, Cycle, Endurance, Life, LifeVerdict, Surface};
pub use helix::{CoilDiameter, Curvature, Practice};
pub use law::{
    LineSpring, LineState, Response, Responses, StraightSpring, StraightSpringSpec, TwistResponse,
    TwistSpring, TwistSpringSpec, TwistState, Works,
};
pub use shortfall::{Miss, Rejection, Shortfall};
pub use sizing::{CompressionDemand, LifeDemand, RankBy, SizedSpring, Sizing, Wanted};
pub use stock::{StockColumn, StockFormat, StockKind, StockList, StockQuantity, StockSpring};
pub use table::{BelowTable, ForceTable};
pub use torsion::{TorsionLife, TorsionLimit, TorsionSpring, TorsionSpringSpec, WoundUp};
pub use wire::{
    AllowableShares, ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily,
    WireSpec, WireStrength,
};
