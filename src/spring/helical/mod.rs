//! Helical springs of round wire: force, stress and life.

pub(super) mod coil;
pub(super) mod compression;
pub(super) mod extension;
pub(super) mod fatigue;
pub(super) mod helix;
pub(super) mod torsion;

pub use compression::{
    CoilEnds, CompressionSpring, CompressionSpringSpec, EndFixity, LengthValues, Presetting,
    RECOMMENDED, RecommendedRanges, Service, Turns,
};
pub use extension::{
    ExtensionLife, ExtensionSpring, ExtensionSpringSpec, ExtensionStresses, HookShape,
};
pub use fatigue::{Cycle, Endurance, FatigueCriterion, Life, LifeVerdict, WireSurface};
pub use helix::{CoilDiameter, CurvatureFactor, DesignCode};
pub use torsion::{TorsionLife, TorsionLimit, TorsionSpring, TorsionSpringSpec, TorsionState};
