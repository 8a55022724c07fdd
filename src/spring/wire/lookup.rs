//! Wires and their figures by name, from the table.

#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::spring::wire::table;
use crate::spring::wire::types::{
    AllowableShares, ModuliBand, Wire, WireFamily, check_diameter, pick_moduli,
};

impl WireFamily {
    /// What share of the tensile strength a spring of this kind may use.
    #[must_use]
    pub fn shares(self) -> AllowableShares {
        table::shares(self)
    }
}

impl ModuliBand {
    /// Young's modulus and shear modulus of a wire material that may have no tabled strength, at a diameter (m): every
    /// row of Shigley's Table 10-5 by its designation, such as `ASTM B197` (beryllium copper), `17-7PH` or `Inconel
    /// X-750`.
    ///
    /// # Errors
    /// [`Error::UnknownName`]; [`Error::NotFinite`] or [`Error::OutOfRange`] for a diameter that is none.
    pub fn named(name: &str, diameter: f64) -> Result<Self> {
        check_diameter(diameter)?;
        table::moduli(name).map(|bands| pick_moduli(bands, diameter))
    }
}

impl Wire {
    /// A wire by its designation, such as `ASTM A228`, `EN 10270-1 SH` or `EN 10270-3 1.4310 NS`. Case, spaces, hyphens
    /// and underscores make no difference.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the names nearest to it.
    pub fn named(name: &str) -> Result<Self> {
        crate::names::find("spring wire", name, Self::all(), Self::name).cloned()
    }

    /// Every wire that has a name.
    #[must_use]
    pub fn all() -> &'static [Self] {
        table::all()
    }
}
