//! Spring wire: strength and elastic moduli by diameter.

mod lookup;
mod table;
pub(super) mod types;

pub use types::{
    AllowableShares, ListedStrength, ModuliBand, PowerBand, StrengthStep, Wire, WireFamily,
    WireSpec, WireStrength,
};
