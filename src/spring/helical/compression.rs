//! Helical compression springs of round wire.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, within};
use crate::observer;
use crate::spring::helical::helix::{
    CoilDiameter, CurvatureFactor, DesignCode, check_turns, direct_shear_factor, rate,
    stress_per_force,
};
use crate::spring::law::response::BLOCK;
use crate::spring::law::{LinearSpring, LinearSpringSpec, SpringAction};
use crate::spring::wire::types::Wire;
use crate::stored::stored_as_spec;
/// Fewest active turns of a spring: less is a hook.
const FEWEST_TURNS: f64 = 0.5;
/// The longest spring, m.
pub(in crate::spring) const LONGEST: f64 = 10.0;
/// What must be left between the coils of a spring, all together, in wire diameters.
const LEAST_ROOM: f64 = 1e-3;
/// More than any wire of the tables bears, N.
const MOST_FORCE: f64 = 1e9;
/// Share by which a length may lie beyond solid: what rounding does to a length that was solid.
const ROUNDING: f64 = 1e-9;
/// EN 13906-1: share of the tensile strength that the stress at solid length, without curvature factor, may reach (from
/// memory).
const EN_SHARE: f64 = 0.56;

/// What the recommendations of Shigley, eq. 10-18 to 10-21 and section 10-8, say of a good compression spring.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RecommendedRanges {
    /// Spring index D/d: below, hard to wind; above, prone to tangle.
    pub index: [f64; 2],
    /// Active turns.
    pub active_turns: [f64; 2],
    /// Least clash allowance: how much more force it takes to close the spring than it meets in use, as a share.
    pub clash_allowance: f64,
    /// Least safety against yielding when pressed solid.
    pub solid_safety: f64,
    /// How many times higher than the frequency of the load the surge frequency should lie.
    pub frequency_ratio: [f64; 2],
}

/// The recommendations in numbers.
pub const RECOMMENDED: RecommendedRanges = RecommendedRanges {
    index: [4.0, 12.0],
    active_turns: [3.0, 15.0],
    clash_allowance: 0.15,
    solid_safety: 1.2,
    frequency_ratio: [15.0, 20.0],
};

/// How the ends of a compression spring are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CoilEnds {
    /// Cut off.
    Plain,
    /// Cut off and ground flat.
    PlainGround,
    /// The last turn closed (squared).
    Squared,
    /// The last turn closed and ground flat: stands straight.
    SquaredGround,
}

impl CoilEnds {
    /// Turns that do not spring (Shigley, Table 10-1).
    #[must_use]
    pub fn inactive_turns(self) -> f64 {
        match self {
            Self::Plain => 0.0,
            Self::PlainGround => 1.0,
            Self::Squared | Self::SquaredGround => 2.0,
        }
    }

    /// Wire diameters that the ends add to the turns of a spring pressed solid.
    fn solid_excess(self, design_code: DesignCode) -> f64 {
        match (self, design_code) {
            (Self::PlainGround | Self::SquaredGround, _) => 0.0,
            (Self::Squared, DesignCode::En13906) => 1.5,
            (Self::Plain | Self::Squared, _) => 1.0,
        }
    }

    /// Solid length, m: d (Nt + 1) with ends as cut or squared, d Nt with ground ends; for squared ends EN 13906-1
    /// reckons d (Nt + 1.5).
    pub(in crate::spring) fn solid_length(
        self,
        d: f64,
        total_turns: f64,
        design_code: DesignCode,
    ) -> f64 {
        d * (total_turns + self.solid_excess(design_code))
    }

    /// Pitch of the active turns of a spring that is `length` long, m: by Shigley's Table 10-1, or the m of EN 13906-1.
    fn pitch(self, d: f64, active_turns: f64, length: f64, design_code: DesignCode) -> f64 {
        match (self, design_code) {
            (Self::PlainGround, DesignCode::Shigley) => length / (active_turns + 1.0),
            (Self::SquaredGround, DesignCode::Shigley) => (length - 2.0 * d) / active_turns,
            (Self::Squared, DesignCode::Shigley) => (length - 3.0 * d) / active_turns,
            (Self::Squared, DesignCode::En13906) => (length - 2.5 * d) / active_turns,
            (Self::Plain, _) | (_, DesignCode::En13906) => (length - d) / active_turns,
        }
    }
}

choices!(CoilEnds, "ends", {
    Plain => "plain",
    PlainGround => "plain ground",
    Squared => "squared",
    SquaredGround => "squared ground",
});

/// A count of turns, of the one or the other kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Turns {
    /// Those that spring.
    Active(f64),
    /// All, as one counts them on the spring.
    Total(f64),
}

/// Whether the spring was pressed solid in making, so that it no longer shortens when that happens again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Presetting {
    /// As wound: pressed too far, it stays shorter.
    #[default]
    AsWound,
    /// Set removed: wound longer and pressed solid once or more, which leaves helpful stresses.
    SetRemoved,
}

choices!(Presetting, "presetting", {
    AsWound => "as wound",
    SetRemoved => "set removed",
});

/// How the ends of a spring are held, which decides whether it buckles (Shigley, Table 10-2).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EndFixity {
    /// Between parallel flat plates.
    FixedFixed,
    /// One end on a flat plate, the other on a pivot.
    FixedPinned,
    /// Both ends on pivots.
    PinnedPinned,
    /// One end clamped, the other free to move aside.
    FixedFree,
}

impl EndFixity {
    /// The constant alpha: the share of the length that buckles like a column on pivots. EN 13906-1 calls it nu and
    /// rounds 0.707 to 0.7.
    #[must_use]
    pub fn alpha(self, design_code: DesignCode) -> f64 {
        match (self, design_code) {
            (Self::FixedFixed, _) => 0.5,
            (Self::FixedPinned, DesignCode::Shigley) => 0.707,
            (Self::FixedPinned, DesignCode::En13906) => 0.7,
            (Self::PinnedPinned, _) => 1.0,
            (Self::FixedFree, _) => 2.0,
        }
    }
}

choices!(EndFixity, "end fixity", {
    FixedFixed => "fixed-fixed",
    FixedPinned => "fixed-pinned",
    PinnedPinned => "pinned-pinned",
    FixedFree => "fixed-free",
});

/// Whether a load rests or moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Service {
    /// At rest, or moved seldom.
    Static,
    /// Moved again and again.
    Dynamic,
}

choices!(Service, "service", {
    Static => "static",
    Dynamic => "dynamic",
});

/// The measures of a compression spring, to be checked by [`CompressionSpring::new`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CompressionSpringSpec {
    /// Material.
    pub wire: Wire,
    /// Diameter of the wire d, m.
    pub wire_diameter: f64,
    /// Diameter of the coil.
    pub coil: CoilDiameter,
    /// Number of turns; at least half a turn springs.
    pub turns: Turns,
    /// Length without load L0, m.
    pub free_length: f64,
    /// How the ends are made.
    pub ends: CoilEnds,
    /// Whether its set was removed.
    pub presetting: Presetting,
    /// Whose factor for the curvature of the wire.
    pub curvature: CurvatureFactor,
    /// Whose rules, where they differ.
    pub design_code: DesignCode,
}

impl CompressionSpringSpec {
    /// With squared and ground ends, as wound, by Bergstraesser and Shigley.
    #[must_use]
    pub fn new(
        wire: Wire,
        wire_diameter: f64,
        coil: CoilDiameter,
        turns: Turns,
        free_length: f64,
    ) -> Self {
        Self {
            wire,
            wire_diameter,
            coil,
            turns,
            free_length,
            ends: CoilEnds::SquaredGround,
            presetting: Presetting::default(),
            curvature: CurvatureFactor::default(),
            design_code: DesignCode::default(),
        }
    }
}

/// A helical compression spring of round wire.
///
/// # Caution
/// A compressed spring that slips off its seat or rod flies far and hits hard: guide it, wear eye protection, let it
/// down slowly, and keep fingers from between the coils. Where a foot can press, the spring and all that carries it
/// must bear an emergency press of over a kilonewton, or a stop must. For simulators only.
///
/// # Example
/// ```
/// use yokewright::spring::{
///     CoilDiameter, CoilEnds, CompressionSpring, CompressionSpringSpec, CurvatureFactor, DesignCode, EndFixity,
///     Presetting, Turns, Wire,
/// };
/// use yokewright::units::MM;
///
/// let spring = CompressionSpring::new(CompressionSpringSpec {
///     wire: Wire::named("EN 10270-1 SM")?,
///     wire_diameter: 2.0 * MM,
///     coil: CoilDiameter::Outer(18.0 * MM),
///     turns: Turns::Active(8.0),
///     free_length: 40.0 * MM,
///     ends: CoilEnds::SquaredGround,
///     presetting: Presetting::AsWound,
///     curvature: CurvatureFactor::Bergstraesser,
///     design_code: DesignCode::Shigley,
/// })?;
/// assert!((spring.rate() - 4974.0).abs() < 1.0);                    // N/m
/// assert!((spring.force(30.0 * MM)? - 49.74).abs() < 0.01);         // N
/// assert!((spring.solid_length() - 20.0 * MM).abs() < 1e-12);
/// assert!(spring.solid_safety() > 1.2);                             // may be pressed solid
/// assert_eq!(spring.critical_deflection(EndFixity::FixedFixed), None);  // never buckles between plates
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*, chapter 10; EN 13906-1, cylindrical
/// helical springs made from round wire and bar, part 1 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct CompressionSpring {
    spec: CompressionSpringSpec,
    mean_diameter: f64,
    active_turns: f64,
    strength: f64,
    elastic_modulus: f64,
    shear_modulus: f64,
}

stored_as_spec!(CompressionSpring, CompressionSpringSpec);

/// Forces (N) or stresses (Pa) in the order of the lengths given.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct LengthValues {
    /// The values; NaN where the length is refused.
    pub values: Vec<f64>,
    /// Whether the length has a value.
    pub valid: Vec<bool>,
}

impl CompressionSpring {
    /// Checks the measures of a spring.
    ///
    /// # Errors
    /// [`Error::WireDiameter`] for a diameter that the wire's table has no strength for; [`Error::NotFinite`] or
    /// [`Error::OutOfRange`] for measures that are none, a spring index outside 2 to 50, less than half an active turn,
    /// or more turns than fit into the free length.
    pub fn new(spec: CompressionSpringSpec) -> Result<Self> {
        let d = spec.wire_diameter;
        let strength = spec.wire.tensile_strength(d)?;
        let mean_diameter = spec.coil.mean(d)?;
        let inactive = spec.ends.inactive_turns();
        let active_turns = match spec.turns {
            Turns::Active(turns) => check_turns("active turns", turns, FEWEST_TURNS)?,
            Turns::Total(turns) => {
                check_turns("total turns", turns, inactive + FEWEST_TURNS)? - inactive
            }
        };
        let shortest = |turns| {
            spec.ends
                .solid_length(d, turns + inactive, spec.design_code)
        };
        // A little must be left to compress, and the limits are told in round figures.
        let least = shortest(FEWEST_TURNS) + LEAST_ROOM * d;
        let length = within("free length", spec.free_length, least, LONGEST, "m")?;
        let most = (length - shortest(0.0)) / d;
        let most = ((most - 0.5 * LEAST_ROOM) / LEAST_ROOM).floor() * LEAST_ROOM;
        within(
            "active turns in this free length",
            active_turns,
            FEWEST_TURNS,
            most,
            "turns",
        )?;
        Ok(Self {
            strength,
            elastic_modulus: spec.wire.elastic_modulus(d)?,
            shear_modulus: spec.wire.shear_modulus(d)?,
            mean_diameter,
            active_turns,
            spec,
        })
    }

    /// The measures as given.
    #[must_use]
    pub fn spec(&self) -> &CompressionSpringSpec {
        &self.spec
    }

    /// Material.
    #[must_use]
    pub fn wire(&self) -> &Wire {
        &self.spec.wire
    }

    /// Diameter of the wire d, m.
    #[must_use]
    pub fn wire_diameter(&self) -> f64 {
        self.spec.wire_diameter
    }

    /// Diameter of the coil from the middle of the wire to the middle of the wire D, m.
    #[must_use]
    pub fn mean_diameter(&self) -> f64 {
        self.mean_diameter
    }

    /// Diameter over the wire, m, without load.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.mean_diameter + self.spec.wire_diameter
    }

    /// Diameter between the wire, m.
    #[must_use]
    pub fn inner_diameter(&self) -> f64 {
        self.mean_diameter - self.spec.wire_diameter
    }

    /// Turns that spring.
    #[must_use]
    pub fn active_turns(&self) -> f64 {
        self.active_turns
    }

    /// All turns.
    #[must_use]
    pub fn total_turns(&self) -> f64 {
        self.active_turns + self.spec.ends.inactive_turns()
    }

    /// Length without load L0, m.
    #[must_use]
    pub fn free_length(&self) -> f64 {
        self.spec.free_length
    }

    /// Spring index C = D/d.
    #[must_use]
    pub fn index(&self) -> f64 {
        self.mean_diameter / self.spec.wire_diameter
    }

    /// Rate G d^4 / (8 D^3 n), N/m. Bending and direct shear of the wire add less than 1 % of softness from index 4 on.
    #[must_use]
    pub fn rate(&self) -> f64 {
        let d = self.spec.wire_diameter;
        rate(self.shear_modulus, d, self.mean_diameter, self.active_turns)
    }

    /// Length when all coils touch, m.
    #[must_use]
    pub fn solid_length(&self) -> f64 {
        let CompressionSpringSpec {
            wire_diameter,
            ends,
            design_code,
            ..
        } = self.spec;
        ends.solid_length(wire_diameter, self.total_turns(), design_code)
    }

    /// Force that closes all coils, N.
    #[must_use]
    pub fn solid_force(&self) -> f64 {
        self.rate() * (self.spec.free_length - self.solid_length())
    }

    /// Pitch of the active turns without load, m: one figure, by which the coils grow, too, and the wire is measured.
    ///
    /// | ends | [`DesignCode::Shigley`], Table 10-1 | [`DesignCode::En13906`], the m of EN 13906-1 (from memory) |
    /// | --- | --- | --- |
    /// | plain | (L0 - d) / n | the same: the standard has only closed ends, this is their geometry |
    /// | plain ground | L0 / (n + 1) | (L0 - d) / n |
    /// | squared | (L0 - 3 d) / n | (L0 - 2.5 d) / n |
    /// | squared ground | (L0 - 2 d) / n | (L0 - d) / n |
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.pitch_at(self.spec.free_length)
    }

    fn pitch_at(&self, length: f64) -> f64 {
        let CompressionSpringSpec {
            wire_diameter,
            ends,
            design_code,
            ..
        } = self.spec;
        ends.pitch(wire_diameter, self.active_turns, length, design_code)
    }

    /// Length of the wire in it, m: active turns along their helix, end turns flat.
    #[must_use]
    pub fn wire_length(&self) -> f64 {
        let turn = PI * self.mean_diameter;
        self.active_turns * turn.hypot(self.pitch()) + self.spec.ends.inactive_turns() * turn
    }

    /// Mass, kg, nothing ground off.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass_per_length() * self.wire_length()
    }

    /// Mass of the active turns, kg, taken flat as the theory of surge does.
    #[must_use]
    pub fn active_mass(&self) -> f64 {
        self.mass_per_length() * PI * self.mean_diameter * self.active_turns
    }

    fn mass_per_length(&self) -> f64 {
        0.25 * PI * self.spec.wire_diameter.powi(2) * self.spec.wire.density()
    }

    /// Force at a length (m), N, positive as it pushes; zero above the free length.
    ///
    /// # Errors
    /// [`Error::NotFinite`], or [`Error::OutOfRange`] for a length below the solid one.
    pub fn force(&self, length: f64) -> Result<f64> {
        let length = self.check_length(length)?;
        Ok((self.rate() * (self.spec.free_length - length)).max(0.0))
    }

    /// Length at which it pushes with a force (N), m.
    ///
    /// # Errors
    /// [`Error::NotFinite`], or [`Error::OutOfRange`] for a force that is negative or beyond what closes the coils.
    pub fn length(&self, force: f64) -> Result<f64> {
        within("force of the spring", force, 0.0, self.solid_force(), "N")?;
        Ok(self.spec.free_length - force / self.rate())
    }

    /// Shear stress at the inside of the coil under a force (N), Pa, with the curvature factor: K 8 F D / (pi d^3).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a force that is not within 0 to 1e9 N.
    pub fn stress(&self, force: f64) -> Result<f64> {
        Ok(self.curvature_factor() * self.nominal_stress(force)?)
    }

    /// Shear stress of the straight wire under a force (N), Pa, without any factor: 8 F D / (pi d^3).
    ///
    /// # Errors
    /// As [`stress`](Self::stress).
    pub fn nominal_stress(&self, force: f64) -> Result<f64> {
        within("force of the spring", force, 0.0, MOST_FORCE, "N")?;
        Ok(self.stress_per_force() * force)
    }

    /// Force at each length (m), N.
    #[must_use]
    pub fn forces(&self, lengths: &[f64]) -> LengthValues {
        at_lengths(lengths, |length| self.force(length))
    }

    /// Shear stress with the curvature factor at each length (m), Pa.
    #[must_use]
    pub fn stresses(&self, lengths: &[f64]) -> LengthValues {
        at_lengths(lengths, |length| self.stress(self.force(length)?))
    }

    /// The curvature factor K.
    #[must_use]
    pub fn curvature_factor(&self) -> f64 {
        self.spec.curvature.raw_factor(self.index())
    }

    fn stress_per_force(&self) -> f64 {
        stress_per_force(self.spec.wire_diameter, self.mean_diameter)
    }

    /// The factor on the nominal stress that the rules set against the allowable static stress.
    fn static_factor(&self) -> f64 {
        match (self.spec.design_code, self.spec.presetting) {
            (DesignCode::Shigley, Presetting::AsWound) => self.curvature_factor(),
            (DesignCode::Shigley, Presetting::SetRemoved) => direct_shear_factor(self.index()),
            (DesignCode::En13906, _) => 1.0,
        }
    }

    /// Least tensile strength of its wire, Pa.
    #[must_use]
    pub fn tensile_strength(&self) -> f64 {
        self.strength
    }

    /// Shear stress that a static load may cause, Pa.
    ///
    /// By Shigley a share of the tensile strength, [`AllowableShares`](crate::spring::AllowableShares) (the least one
    /// where there is a range), set against the stress with the curvature factor, or with direct shear only once the
    /// set is removed. By EN 13906-1 0.56 of it, set against the stress at solid length without any factor.
    #[must_use]
    pub fn allowable_stress(&self) -> f64 {
        let shares = self.spec.wire.shares();
        let share = match (self.spec.design_code, self.spec.presetting) {
            (DesignCode::Shigley, Presetting::AsWound) => shares.shear,
            (DesignCode::Shigley, Presetting::SetRemoved) => shares.shear_set_removed[0],
            (DesignCode::En13906, _) => EN_SHARE,
        };
        share * self.strength
    }

    /// Force at which the spring begins to take a set, N: it may be more than it takes to close the coils.
    #[must_use]
    pub fn yield_force(&self) -> f64 {
        self.allowable_stress() / (self.static_factor() * self.stress_per_force())
    }

    /// Safety against yielding under a force (N): allowable over actual stress, infinite without force.
    ///
    /// # Errors
    /// As [`stress`](Self::stress).
    pub fn static_safety(&self, force: f64) -> Result<f64> {
        self.nominal_stress(force)?;
        Ok(self.yield_force() / force.abs())
    }

    /// Safety against taking a set when pressed solid; below 1 the spring comes back shorter. Recommended is 1.2
    /// ([`RECOMMENDED`]).
    #[must_use]
    pub fn solid_safety(&self) -> f64 {
        self.yield_force() / self.solid_force()
    }

    /// Clash allowance at a length (m): how much more force it takes to close the coils, as a share of the force there.
    /// Infinite at the free length.
    ///
    /// # Errors
    /// As [`force`](Self::force).
    pub fn clash_allowance(&self, length: f64) -> Result<f64> {
        Ok(self.solid_force() / self.force(length)? - 1.0)
    }

    /// The shortest length to use, m, so that tolerances and surge do not make the coils clash.
    ///
    /// By Shigley a clash allowance of 0.15. By EN 13906-1 the gaps together are at least n (0.0015 D^2/d + 0.1 d), one
    /// and a half times that in dynamic service (in mm, from memory).
    #[must_use]
    pub fn min_working_length(&self, service: Service) -> f64 {
        let solid = self.solid_length();
        let room = self.spec.free_length - solid;
        let gap = match self.spec.design_code {
            DesignCode::Shigley => room * (1.0 - 1.0 / (1.0 + RECOMMENDED.clash_allowance)),
            DesignCode::En13906 => {
                let d = self.spec.wire_diameter;
                en_least_gap(d, self.mean_diameter, self.active_turns, service)
            }
        };
        solid + gap
    }

    /// The longest free length that never buckles, m: pi D / alpha sqrt(2 (E - G) / (2 G + E)), about 2.6 D / alpha for
    /// steel (Shigley, eq. 10-12).
    #[must_use]
    pub fn stable_free_length(&self, end_fixity: EndFixity) -> f64 {
        let (e, g) = (self.elastic_modulus, self.shear_modulus);
        let alpha = end_fixity.alpha(self.spec.design_code);
        PI * self.mean_diameter / alpha * (2.0 * (e - g) / (2.0 * g + e)).sqrt()
    }

    /// How far it can be compressed before it buckles, m; `None` if it goes solid first.
    ///
    /// y = L0 C1 (1 - sqrt(1 - C2 / lambda^2)) with lambda = alpha L0 / D, C1 = E / (2 (E - G)), C2 = 2 pi^2 (E - G) /
    /// (2 G + E) (Shigley, eq. 10-10; EN 13906-1 writes the same in other words).
    #[must_use]
    pub fn critical_deflection(&self, end_fixity: EndFixity) -> Option<f64> {
        let (e, g) = (self.elastic_modulus, self.shear_modulus);
        let length = self.spec.free_length;
        // sqrt(C2) / lambda is the longest stable length over the length.
        let ratio = self.stable_free_length(end_fixity) / length;
        if ratio >= 1.0 {
            return None;
        }
        let c1 = e / (2.0 * (e - g));
        let deflection = length * c1 * (1.0 - (1.0 - ratio * ratio).sqrt());
        (deflection < length - self.solid_length()).then_some(deflection)
    }

    /// Lowest frequency, Hz, at which its coils surge between two plates: half of sqrt(rate / mass of the active
    /// turns). Shigley wants it 15 to 20 times that of the load.
    #[must_use]
    pub fn surge_frequency(&self) -> f64 {
        0.5 * (self.rate() / self.active_mass()).sqrt()
    }

    /// Diameter over the wire at a length (m), m: compressed coils grow.
    ///
    /// By Shigley (who gives none) plain geometry with ends that do not turn: each turn keeps its length of wire, D'^2
    /// = D^2 + (p^2 - p'^2) / pi^2. By EN 13906-1 (from memory), for ends free to turn, 0.1 (m^2 - 0.8 m d - 0.2 d^2) /
    /// D more at solid, here in proportion to the deflection. The pitches p and m are [`pitch`](Self::pitch).
    ///
    /// # Errors
    /// As [`force`](Self::force).
    pub fn outer_diameter_at(&self, length: f64) -> Result<f64> {
        let length = self.check_length(length)?.min(self.spec.free_length);
        let (d, mean) = (self.spec.wire_diameter, self.mean_diameter);
        let m = self.pitch();
        Ok(match self.spec.design_code {
            DesignCode::Shigley => {
                let swelling = (m.powi(2) - self.pitch_at(length).powi(2)) / PI.powi(2);
                (mean.powi(2) + swelling).sqrt() + d
            }
            DesignCode::En13906 => {
                let free = self.spec.free_length;
                let at_solid = 0.1 * (m * m - 0.8 * m * d - 0.2 * d * d) / mean;
                let share = (free - length) / (free - self.solid_length());
                mean + d + at_solid.max(0.0) * share
            }
        })
    }

    /// What it does between two points, from solid to free, for a control to be built on.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a rate outside 1e-3 to 1e7 N/m.
    pub fn line_spring(&self) -> Result<LinearSpring> {
        LinearSpring::new(LinearSpringSpec {
            rate: self.rate(),
            free_length: self.spec.free_length,
            initial_tension: 0.0,
            action: SpringAction::Below,
            shortest: Some(self.solid_length()),
            longest: None,
        })
    }

    fn check_length(&self, length: f64) -> Result<f64> {
        let solid = self.solid_length();
        // A length that was computed to be solid may have been rounded below it.
        if length < solid && length >= solid * (1.0 - ROUNDING) {
            return Ok(solid);
        }
        within("length of the spring", length, solid, LONGEST, "m")
    }
}

fn at_lengths(lengths: &[f64], one: impl Fn(f64) -> Result<f64>) -> LengthValues {
    let mut all = LengthValues::default();
    for block in lengths.chunks(BLOCK) {
        // Whoever asks to stop gets no result.
        if observer::check().is_err() {
            break;
        }
        for &length in block {
            let value = one(length);
            all.valid.push(value.is_ok());
            all.values.push(value.unwrap_or(f64::NAN));
        }
    }
    all
}

/// What all gaps together come to at the shortest length to use, by EN 13906-1: n (0.0015 D^2/d + 0.1 d), in dynamic
/// service one and a half times that.
pub(in crate::spring) fn en_least_gap(
    d: f64,
    mean: f64,
    active_turns: f64,
    service: Service,
) -> f64 {
    let factor = match service {
        Service::Static => 1.0,
        Service::Dynamic => 1.5,
    };
    factor * active_turns * (0.0015 * mean.powi(2) / d + 0.1 * d)
}
