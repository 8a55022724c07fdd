//! Helical springs of round wire: force, stress and life.

pub(super) mod coil;
pub(super) mod compression;
pub(super) mod extension;
pub(super) mod fatigue;
pub(super) mod helix;
pub(super) mod torsion;

pub use compression::{
    AtLengths, CompressionSpring, CompressionSpringSpec, Ends, RECOMMENDED, Recommended, Seats,
    Service, Setting, Turns,
};
pub use extension::{
    ExtensionLife, ExtensionSpring, ExtensionSpringSpec, ExtensionStresses, HookShape,
};
pub use fatigue::{Criterion, Cycle, Endurance, Life, LifeVerdict, Surface};
pub use helix::{CoilDiameter, Curvature, Practice};
pub use torsion::{TorsionLife, TorsionLimit, TorsionSpring, TorsionSpringSpec, WoundUp};
