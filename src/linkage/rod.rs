//! What a straight rod carries: yield load, buckling by Euler and Johnson.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, finite, within};
use crate::stored::stored_by_its_constructor;
use crate::units::MM;

/// Smallest and largest outer diameter, m: from a wire to a column.
const DIAMETER_RANGE: [f64; 2] = [0.1 * MM, 1.0];
/// Shortest and longest rod, m.
const LENGTH_RANGE: [f64; 2] = [1.0 * MM, 50.0];
/// Moduli of elasticity, Pa: from soft plastics to tungsten carbide.
const MODULUS_RANGE: [f64; 2] = [1e7, 1e12];
/// Yield strengths, Pa.
const YIELD_RANGE: [f64; 2] = [1e5, 1e10];
/// Safety factors that make sense: below 1 the rod fails, above 100 it was not needed.
const SAFETY_RANGE: [f64; 2] = [1.0, 100.0];
/// The strongest force that is plausible, N. A foot in an emergency presses with a little over 1 kN.
const MAX_FORCE: f64 = 1e9;

/// Cross section of a rod, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodSection {
    outer: f64,
    /// Half the diameter for a solid bar.
    wall: f64,
}

stored_by_its_constructor!(RodSection {
    outer_diameter: f64,
    wall: f64
} => if wall == 0.5 * outer_diameter { Self::round(outer_diameter) } else { Self::tube(outer_diameter, wall) });

impl RodSection {
    /// A solid round bar of the given diameter (m). For a threaded rod give the minor diameter of the thread.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the diameter is not within 0.1 mm to 1 m.
    pub fn round(diameter: f64) -> Result<Self> {
        let [min, max] = DIAMETER_RANGE;
        let outer = within("rod diameter", diameter, min, max, "m")?;
        Ok(Self {
            outer,
            wall: 0.5 * outer,
        })
    }

    /// A round tube of the given outer diameter and wall (m).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the diameter is not within 0.1 mm to 1 m, or the wall not
    /// within a hundredth of it to half of it: thinner walls crumple locally, which is not computed here.
    pub fn tube(outer_diameter: f64, wall: f64) -> Result<Self> {
        let [min, max] = DIAMETER_RANGE;
        let outer = within("tube diameter", outer_diameter, min, max, "m")?;
        within("tube wall", wall, 0.01 * outer, 0.5 * outer, "m")?;
        Ok(Self { outer, wall })
    }

    /// Outer diameter, m.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.outer
    }

    /// Wall, m; half the diameter for a solid bar.
    #[must_use]
    pub fn wall(&self) -> f64 {
        self.wall
    }

    /// Inner diameter, m; zero for a solid bar.
    #[must_use]
    pub fn inner_diameter(&self) -> f64 {
        self.outer - 2.0 * self.wall
    }

    /// Area, m^2: pi (D^2 - d^2) / 4 with the inner diameter d.
    #[must_use]
    pub fn area(&self) -> f64 {
        PI * self.wall * (self.outer - self.wall)
    }

    /// Second moment of area about a diameter, m^4: pi (D^4 - d^4) / 64.
    #[must_use]
    pub fn second_moment(&self) -> f64 {
        self.area() * self.radius_of_gyration().powi(2)
    }

    /// Radius of gyration, m, the root of second moment over area: sqrt(D^2 + d^2) / 4.
    #[must_use]
    pub fn radius_of_gyration(&self) -> f64 {
        0.25 * self.outer.hypot(self.inner_diameter())
    }
}

/// Stiffness and strength of what a rod is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodMaterial {
    modulus: f64,
    yield_strength: f64,
}

stored_by_its_constructor!(RodMaterial {
    modulus: f64,
    yield_strength: f64
} => Self::new(modulus, yield_strength));

/// Common rod materials: name, modulus of elasticity (Pa), least yield strength or 0.2 % proof stress (Pa).
///
/// Common practice: rounded design figures, from memory, after the standards whose designations they carry (EN 10025-2,
/// ISO 898-1, EN 10088-3, EN 755-2 and EN 754-2, sizes up to about 16 mm). What counts is the certificate or a test of
/// the bar in hand.
const MATERIALS: [(&str, f64, f64); 7] = [
    ("steel S235", 210e9, 235e6),
    ("steel S355", 210e9, 355e6),
    ("steel bolt 4.6", 205e9, 240e6),
    ("steel bolt 8.8", 205e9, 640e6),
    ("stainless steel 1.4301", 200e9, 190e6),
    ("aluminum 6060 T66", 70e9, 150e6),
    ("aluminum 6082 T6", 70e9, 250e6),
];

impl RodMaterial {
    /// A material of the given modulus of elasticity and yield strength (Pa).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the modulus is not within 10 MPa to 1 TPa, or the yield
    /// strength not within 0.1 MPa to 10 GPa and below the modulus.
    pub fn new(modulus: f64, yield_strength: f64) -> Result<Self> {
        let [min, max] = MODULUS_RANGE;
        within("modulus of elasticity", modulus, min, max, "Pa")?;
        let [min, max] = YIELD_RANGE;
        within(
            "yield strength",
            yield_strength,
            min,
            max.min(modulus),
            "Pa",
        )?;
        Ok(Self {
            modulus,
            yield_strength,
        })
    }

    /// A common material by its name, one of [`RodMaterial::names`].
    ///
    /// # Errors
    /// [`Error::NotAChoice`] with the list of names.
    pub fn named(name: &str) -> Result<Self> {
        let row = MATERIALS.iter().find(|(known, ..)| *known == name);
        let &(_, modulus, strength) = row.ok_or_else(|| Error::NotAChoice {
            quantity: "rod material",
            given: name.to_owned(),
            choices: Self::names().collect::<Vec<_>>().join(", "),
        })?;
        Self::new(modulus, strength)
    }

    /// Names of the common materials: rounded design figures (common practice), to be checked against the bar in hand.
    pub fn names() -> impl Iterator<Item = &'static str> {
        MATERIALS.iter().map(|(name, ..)| *name)
    }

    /// Modulus of elasticity, Pa.
    #[must_use]
    pub fn modulus(&self) -> f64 {
        self.modulus
    }

    /// Yield strength, Pa.
    #[must_use]
    pub fn yield_strength(&self) -> f64 {
        self.yield_strength
    }
}

/// How the two ends of a rod are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum RodEnds {
    /// Both free to turn: ball joints, rod ends, clevises.
    PinnedPinned,
    /// One clamped, one free to turn.
    FixedPinned,
    /// Both clamped.
    FixedFixed,
    /// One clamped, one free to sway.
    FixedFree,
}

impl RodEnds {
    /// Effective length over length for perfectly rigid clamps: 1, 0.699156, 0.5, 2.
    ///
    /// The second is pi over the first positive root of tan x = x, 4.493409.
    #[must_use]
    pub fn theoretical_factor(self) -> f64 {
        match self {
            Self::PinnedPinned => 1.0,
            Self::FixedPinned => PI / 4.493_409_457_909_064,
            Self::FixedFixed => 0.5,
            Self::FixedFree => 2.0,
        }
    }

    /// Effective length over length recommended for design, as no clamp is rigid: 1, 0.80, 0.65, 2.10.
    ///
    /// Source: American Institute of Steel Construction, *Specification for Structural Steel Buildings* (ANSI/AISC
    /// 360), commentary, table C-A-7.1 (from memory).
    #[must_use]
    pub fn recommended_factor(self) -> f64 {
        match self {
            Self::PinnedPinned => 1.0,
            Self::FixedPinned => 0.80,
            Self::FixedFixed => 0.65,
            Self::FixedFree => 2.10,
        }
    }
}

choices!(RodEnds, "rod ends", {
    PinnedPinned => "pinned-pinned",
    FixedPinned => "fixed-pinned",
    FixedFixed => "fixed-fixed",
    FixedFree => "fixed-free",
});

/// Which formula gives the load at which a rod buckles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Buckling {
    /// Slender: the elastic load.
    Euler,
    /// Stocky: Johnson's parabola, on which yield takes part.
    Johnson,
}

choices!(Buckling, "buckling law", {
    Euler => "Euler",
    Johnson => "Johnson",
});

/// A straight rod loaded along its axis.
///
/// The critical load is Euler's above the transition slenderness and Johnson's parabola below; the two meet there at
/// half the yield strength. Both are for a straight rod loaded through its center. A bent rod, an offset joint or a
/// thread cut into the rod takes much off, so choose a safety factor: 3 and more for a hand-built rod is common
/// practice.
///
/// # Caution
/// Rods between pedals carry the force of a foot: a press in an emergency passes a kilonewton. A rod that buckles lets
/// the pedal go at once. For simulators only.
///
/// # Example
/// ```
/// use yokewright::linkage::{RodEnds, Rod, RodMaterial, RodSection};
/// use yokewright::units::MM;
///
/// // A 6 mm steel bar, 400 mm between its rod ends.
/// let bar = RodSection::round(6.0 * MM)?;
/// let ends = RodEnds::PinnedPinned;
/// let rod = Rod::new(bar, RodMaterial::named("steel S235")?, 400.0 * MM, ends, ends.theoretical_factor())?;
/// assert!((rod.critical_load() - 824.0).abs() < 1.0); // N: too little for a foot
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// J. E. Shigley and C. R. Mischke, *Mechanical Engineering Design*, McGraw-Hill, sec. on columns: Euler with end
/// factors, transition slenderness and Johnson's parabola (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    section: RodSection,
    material: RodMaterial,
    length: f64,
    ends: RodEnds,
    factor: f64,
}

stored_by_its_constructor!(Rod {
    section: RodSection,
    material: RodMaterial,
    length: f64,
    ends: RodEnds,
    factor: f64
} => Self::new(section, material, length, ends, factor));

/// How a rod bears a force.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RodLoad {
    /// Force, N: positive pulls, negative presses.
    pub force: f64,
    /// Mean stress over the section, Pa, with the sign of the force.
    pub stress: f64,
    /// The force of this direction at which the rod fails, N, as a magnitude: yield load when pulled, critical
    /// load when pressed.
    pub limit: f64,
    /// Limit over force: below 1 the rod fails. Infinite without a force.
    pub safety: f64,
}

impl Rod {
    /// A rod of the given free length (m) with its ends held as `ends` says; `factor` is effective length over length,
    /// as a rule [`RodEnds::theoretical_factor`] or, for clamps, [`RodEnds::recommended_factor`].
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the length is not within 1 mm to 50 m and at least the outer
    /// diameter, or the factor not within the theoretical one to twice that.
    pub fn new(
        section: RodSection,
        material: RodMaterial,
        length: f64,
        ends: RodEnds,
        factor: f64,
    ) -> Result<Self> {
        let [min, max] = LENGTH_RANGE;
        within("rod length", length, min.max(section.outer), max, "m")?;
        let least = ends.theoretical_factor();
        within(
            "effective length factor",
            factor,
            least,
            2.0 * least,
            "(no unit)",
        )?;
        Ok(Self {
            section,
            material,
            length,
            ends,
            factor,
        })
    }

    /// Cross section.
    #[must_use]
    pub fn section(&self) -> RodSection {
        self.section
    }

    /// Material.
    #[must_use]
    pub fn material(&self) -> RodMaterial {
        self.material
    }

    /// Free length, m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// How the ends are held.
    #[must_use]
    pub fn ends(&self) -> RodEnds {
        self.ends
    }

    /// Effective length over length.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.factor
    }

    /// Effective length over radius of gyration.
    #[must_use]
    pub fn slenderness(&self) -> f64 {
        self.factor * self.length / self.section.radius_of_gyration()
    }

    /// The slenderness above which Euler's load holds: pi sqrt(2 E / Sy).
    #[must_use]
    pub fn transition_slenderness(&self) -> f64 {
        PI * (2.0 * self.material.modulus / self.material.yield_strength).sqrt()
    }

    /// Which formula holds for this rod.
    #[must_use]
    pub fn buckling(&self) -> Buckling {
        if self.slenderness() > self.transition_slenderness() {
            Buckling::Euler
        } else {
            Buckling::Johnson
        }
    }

    /// Euler's load, N, whether it holds or not: pi^2 E I / (K L)^2.
    #[must_use]
    pub fn euler_load(&self) -> f64 {
        let effective = self.factor * self.length;
        PI.powi(2) * self.material.modulus * self.section.second_moment() / effective.powi(2)
    }

    /// Johnson's load, N, which holds up to the transition: A Sy (1 - (slenderness / transition)^2 / 2).
    ///
    /// Far above the transition the parabola falls below zero and means nothing.
    #[must_use]
    pub fn johnson_load(&self) -> f64 {
        let share = self.slenderness() / self.transition_slenderness();
        self.yield_load() * (1.0 - 0.5 * share.powi(2))
    }

    /// The load at which the rod buckles, N: Euler's or Johnson's, whichever [`Rod::buckling`] says.
    #[must_use]
    pub fn critical_load(&self) -> f64 {
        match self.buckling() {
            Buckling::Euler => self.euler_load(),
            Buckling::Johnson => self.johnson_load(),
        }
    }

    /// The load at which the section yields, N, pulled or pressed: A Sy.
    #[must_use]
    pub fn yield_load(&self) -> f64 {
        self.section.area() * self.material.yield_strength
    }

    /// The pressing force that leaves the given safety against buckling, N.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the safety factor is not within 1 to 100.
    pub fn allowable_load(&self, safety: f64) -> Result<f64> {
        let [min, max] = SAFETY_RANGE;
        within("safety factor", safety, min, max, "(no unit)")?;
        Ok(self.critical_load() / safety)
    }

    /// How the rod bears a force (N): positive pulls, negative presses.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a force beyond 1e9 N.
    pub fn loaded_by(&self, force: f64) -> Result<RodLoad> {
        within("rod force", force, -MAX_FORCE, MAX_FORCE, "N")?;
        let limit = if force < 0.0 {
            self.critical_load()
        } else {
            self.yield_load()
        };
        Ok(RodLoad {
            force,
            stress: force / self.section.area(),
            limit,
            safety: limit / force.abs(),
        })
    }

    /// Least outer diameter (m) of a solid bar of this material, length and ends that leaves the given safety under a
    /// pressing force (N, as a magnitude).
    ///
    /// Both formulas invert in closed form; the one that holds for the diameter it gives is taken.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the safety factor is not within 1 to 100, the force is negative
    /// or beyond 1e9 N, or no bar up to 1 m (or up to the length of the rod) is thick enough.
    pub fn min_diameter(&self, press: f64, safety: f64) -> Result<f64> {
        let [min, max] = SAFETY_RANGE;
        within("safety factor", safety, min, max, "(no unit)")?;
        within("pressing force", press, 0.0, MAX_FORCE, "N")?;
        let load = press * safety;
        let (modulus, strength) = (self.material.modulus, self.material.yield_strength);
        let effective = self.factor * self.length;
        // pi^2 E (pi d^4 / 64) / L^2 = load
        let slender = (64.0 * load * effective.powi(2) / (PI.powi(3) * modulus)).powf(0.25);
        let transition = 4.0 * effective / self.transition_slenderness();
        // With slenderness 4 L / d, A Sy (1 - Sy (4 L / d)^2 / (4 pi^2 E)) is quadratic in d: pi Sy / 4 (d^2 - 4 Sy L^2
        // / (pi^2 E)) = load.
        let stocky = (4.0 * load / (PI * strength)
            + 4.0 * strength * effective.powi(2) / (PI.powi(2) * modulus))
            .sqrt();
        let diameter = if slender < transition {
            slender
        } else {
            stocky
        };
        let [min, max] = DIAMETER_RANGE;
        let diameter = finite("rod diameter", diameter, "m")?.max(min);
        within(
            "rod diameter needed",
            diameter,
            min,
            max.min(self.length),
            "m",
        )
    }
}
