//! What extension and torsion springs share: a wire wound close to a diameter, and how its bends raise the stress.

use std::f64::consts::PI;

use serde::Serialize;

use crate::error::Result;
use crate::spring::helical::helix::{CoilDiameter, check_turns};
use crate::spring::wire::types::Wire;

/// A wire wound close, with the figures that the wire has at its own diameter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(in crate::spring) struct Coil {
    /// Wire diameter d, m.
    pub(in crate::spring) d: f64,
    /// Mean diameter D, m.
    pub(in crate::spring) mean: f64,
    /// Turns of the body.
    pub(in crate::spring) turns: f64,
    /// Least tensile strength, Pa.
    pub(in crate::spring) strength: f64,
    /// E, Pa.
    pub(in crate::spring) elastic: f64,
    /// G, Pa.
    pub(in crate::spring) shear: f64,
    /// kg/m3.
    density: f64,
}

impl Coil {
    pub(in crate::spring) fn new(
        wire: &Wire,
        d: f64,
        diameter: CoilDiameter,
        turns: f64,
    ) -> Result<Self> {
        let strength = wire.tensile_strength(d)?;
        Ok(Self {
            d,
            mean: diameter.mean(d)?,
            turns: check_turns("turns of the body", turns, 1.0)?,
            strength,
            elastic: wire.elastic_modulus(d)?,
            shear: wire.shear_modulus(d)?,
            density: wire.density(),
        })
    }

    /// Spring index C = D / d.
    pub(in crate::spring) fn index(&self) -> f64 {
        self.mean / self.d
    }

    /// Length of the body that has turned by some turns more, m.
    pub(in crate::spring) fn body_length(&self, more: f64) -> f64 {
        (self.turns + 1.0 + more) * self.d
    }

    /// Bending stress of a straight wire, 32 M / (pi d^3), Pa for a moment of 1 N m.
    pub(in crate::spring) fn bending_per_moment(&self) -> f64 {
        32.0 / (PI * self.d.powi(3))
    }

    /// Length of wire in the body and in some turns more, m.
    pub(in crate::spring) fn wire_length(&self, more: f64) -> f64 {
        (self.turns + more) * (PI * self.mean).hypot(self.d)
    }

    /// Mass of a length of wire, kg.
    pub(in crate::spring) fn mass_of(&self, length: f64) -> f64 {
        0.25 * PI * self.d * self.d * length * self.density
    }
}

/// Bending at the inside of a bend of index 2 r / d (Wahl; Shigley eq. 10-35 and 10-43).
pub(in crate::spring) fn bend_inside(index: f64) -> f64 {
    (4.0 * index * index - index - 1.0) / (4.0 * index * (index - 1.0))
}

/// Torsion at the inside of a bend of index 2 r / d (Wahl; Shigley eq. 10-37).
pub(in crate::spring) fn twist_inside(index: f64) -> f64 {
    (4.0 * index - 1.0) / (4.0 * index - 4.0)
}
