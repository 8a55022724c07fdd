//! Helical extension springs of round wire with hooks.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, within, within_computed};
use crate::spring::helical::coil::{Coil, bend_inside, twist_inside};
use crate::spring::helical::compression::LONGEST;
use crate::spring::helical::fatigue::{
    Cycle, Endurance, FatigueCriterion, LifeVerdict, WireSurface,
};
use crate::spring::helical::helix::{
    self, CoilDiameter, CurvatureFactor, DesignCode, stress_per_force,
};
use crate::spring::law::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};
use crate::spring::wire::types::Wire;
use crate::stored::stored_as_spec;

/// The longest hook, m: five times the widest coil.
const MOST_REACH: f64 = 10.0;
const PSI: f64 = 6_894.757_293_168_361;

/// The shape of the hooks.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum HookShape {
    /// The last turn bent up whole.
    #[default]
    Full,
    /// Half of the last turn bent up: shorter, with a sharper bend.
    Half,
}

choices!(HookShape, "hook", {
    Full => "full",
    Half => "half",
});

/// What an extension spring is made of; [`ExtensionSpring::new`] checks it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExtensionSpringSpec {
    /// The wire.
    pub wire: Wire,
    /// Wire diameter d, m.
    pub wire_diameter: f64,
    /// Diameter of the coils.
    pub coil: CoilDiameter,
    /// Turns of the body Nb, wound close, without the hooks.
    pub body_turns: f64,
    /// Tension that must be overcome before the coils part, N.
    pub initial_tension: f64,
    /// Shape of both hooks.
    pub hook: HookShape,
    /// Mean radius r1 of the bend that takes the greatest bending moment, m; `None`: D / 2 for a full hook, 2 d for a
    /// half one.
    pub bend_radius: Option<f64>,
    /// Mean radius r2 of the bend from the body into the hook, m; `None`: 2 d, the least that is good practice.
    pub side_radius: Option<f64>,
    /// Inside reach of a hook beyond the body, m; `None`: the inner diameter for a full hook, half of it for a half
    /// one.
    pub hook_reach: Option<f64>,
    /// Textbook or standard.
    pub design_code: DesignCode,
}

impl ExtensionSpringSpec {
    /// With full hooks of the usual shape and no initial tension, by Shigley.
    #[must_use]
    pub fn new(wire: Wire, wire_diameter: f64, coil: CoilDiameter, body_turns: f64) -> Self {
        Self {
            wire,
            wire_diameter,
            coil,
            body_turns,
            initial_tension: 0.0,
            hook: HookShape::default(),
            bend_radius: None,
            side_radius: None,
            hook_reach: None,
            design_code: DesignCode::default(),
        }
    }
}

/// Stresses of an extension spring, Pa, or what it bears of each.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ExtensionStresses {
    /// Shear at the inside of the coils.
    pub body: f64,
    /// Bending, with the pull, at the inside of the hook.
    pub hook_bending: f64,
    /// Torsion where the hook leaves the body.
    pub hook_torsion: f64,
}

impl ExtensionStresses {
    /// The greatest of the three as shares of what is allowed: 1 where the spring is at its limit.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for a stress that is not within 0 to 1e30 Pa, or one allowed that is
    /// not within 1 to 1e12 Pa.
    pub fn use_of(&self, allowed: &Self) -> Result<f64> {
        for [stress, allowed] in [
            [self.body, allowed.body],
            [self.hook_bending, allowed.hook_bending],
            [self.hook_torsion, allowed.hook_torsion],
        ] {
            within("stress of the extension spring", stress, 0.0, 1e30, "Pa")?;
            within("stress allowed", allowed, 1.0, 1e12, "Pa")?;
        }
        Ok(self.raw_use_of(allowed))
    }

    fn raw_use_of(&self, allowed: &Self) -> f64 {
        (self.body / allowed.body)
            .max(self.hook_bending / allowed.hook_bending)
            .max(self.hook_torsion / allowed.hook_torsion)
    }
}

/// Whether each part of an extension spring lasts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ExtensionLife {
    /// Shear in the body.
    pub body: LifeVerdict,
    /// Bending in the hook.
    pub hook_bending: LifeVerdict,
    /// Torsion in the hook.
    pub hook_torsion: LifeVerdict,
}

impl ExtensionLife {
    /// Whether no part breaks or yields.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.body.holds() && self.hook_bending.holds() && self.hook_torsion.holds()
    }

    /// The least safety of the three against breaking.
    #[must_use]
    pub fn safety(&self) -> f64 {
        let hook = self.hook_bending.safety.min(self.hook_torsion.safety);
        self.body.safety.min(hook)
    }
}

/// A helical extension spring of round wire, wound close, with a hook at each end.
///
/// With C = D / d, C1 = 2 r1 / d and C2 = 2 r2 / d, for a tension F:
///
/// | | |
/// | --- | --- |
/// | rate | k = d^4 G / (8 D^3 Na), Na = Nb + G / E ([`DesignCode::En13906`]: Na = Nb) |
/// | free length inside the hooks | L0 = (Nb + 1) d + 2 reach |
/// | shear in the body | (4 C + 2) / (4 C - 3) 8 F D / (pi d^3) |
/// | bending in the hook | F [ (4 C1^2 - C1 - 1) / (4 C1 (C1 - 1)) 16 D / (pi d^3) + 4 / (pi d^2) ] |
/// | torsion in the hook | (4 C2 - 1) / (4 C2 - 4) 8 F D / (pi d^3) |
///
/// Both hook shapes carry the force in the axis, so that the moment at the bend is F D / 2; in a half hook it meets the
/// sharper bend. The hook is the weak place: most extension springs break there.
///
/// # Caution
/// A stretched spring whose hook breaks or slips flies: wear eye protection, stand out of its line, and let nothing
/// that may hurt someone hang on an extension spring alone. A foot in an emergency presses with more than a kilonewton.
/// For simulators only.
///
/// # Example
/// ```
/// use yokewright::spring::{CoilDiameter, ExtensionSpring, ExtensionSpringSpec, HookShape, DesignCode, Wire};
/// use yokewright::units::MM;
///
/// let spring = ExtensionSpring::new(ExtensionSpringSpec {
///     wire: Wire::named("EN 10270-1 SH")?,
///     wire_diameter: 1.0 * MM,
///     coil: CoilDiameter::Mean(9.0 * MM),
///     body_turns: 30.0,
///     initial_tension: 4.0,
///     hook: HookShape::Full,
///     bend_radius: None,
///     side_radius: None,
///     hook_reach: None,
///     design_code: DesignCode::Shigley,
/// })?;
/// assert!((spring.free_length() - 47.0 * MM).abs() < 1e-12);
/// assert!((spring.rate() - 460.0).abs() < 1.0);
/// let tension = spring.line_spring().response(60.0 * MM)?.tension;
/// assert!((tension - (4.0 + spring.rate() * 13.0 * MM)).abs() < 1e-9);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// R. G. Budynas and J. K. Nisbett, *Shigley's Mechanical Engineering Design*, McGraw-Hill, sec. 10-11, eq. 10-34 to
/// 10-41 and Table 10-7; EN 13906-2 (from memory) for the share of the strength that initial tension may use.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtensionSpring {
    spec: ExtensionSpringSpec,
    coil: Coil,
    bend_radius: f64,
    side_radius: f64,
    hook_reach: f64,
    /// Stresses for 1 N.
    per_newton: ExtensionStresses,
    law: LinearSpring,
}

stored_as_spec!(ExtensionSpring, ExtensionSpringSpec);

impl From<&ExtensionSpring> for LineSpring {
    fn from(spring: &ExtensionSpring) -> Self {
        spring.law.into()
    }
}

impl ExtensionSpring {
    /// Checks what the spring is made of.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::WireDiameter`], [`Error::OutOfRange`]: if the index D / d is not within 2 to 50,
    /// the turns not within 1 to 1000, a bend not within 0.75 d to D, a reach not within 0 to 5 D, the initial tension
    /// more than the spring bears, or the rate or the lengths not those of a [`LinearSpring`].
    pub fn new(mut spec: ExtensionSpringSpec) -> Result<Self> {
        let coil = Coil::new(&spec.wire, spec.wire_diameter, spec.coil, spec.body_turns)?;
        // The same spring however its diameter was measured.
        spec.coil = CoilDiameter::Mean(coil.mean);
        let (d, mean) = (coil.d, coil.mean);
        let sharp = 2.0 * d;
        let (bend, reach) = match spec.hook {
            HookShape::Full => (0.5 * mean, mean - d),
            HookShape::Half => (sharp.min(0.5 * mean), 0.5 * (mean - d)),
        };
        let bend_radius = spec.bend_radius.unwrap_or(bend);
        let side_radius = spec.side_radius.unwrap_or(sharp.min(mean));
        let hook_reach = spec.hook_reach.unwrap_or(reach);
        within("bend radius of the hook", bend_radius, 0.75 * d, mean, "m")?;
        within("side radius of the hook", side_radius, 0.75 * d, mean, "m")?;
        within("reach of the hook", hook_reach, 0.0, MOST_REACH, "m")?;
        let quantity = "reach of the hook, with the diameter of the coils";
        within_computed(quantity, hook_reach, 0.0, 5.0 * mean, "m")?;
        let per_newton = stresses_per_newton(&coil, bend_radius, side_radius);
        let most = 1.0 / per_newton.raw_use_of(&allowable(&spec.wire, &coil));
        let quantity = "initial tension, with what body and hooks bear";
        within_computed(quantity, spec.initial_tension, 0.0, most, "N")?;
        let rate = helix::rate(coil.shear, d, mean, active_turns(&spec, &coil));
        let free_length = coil.body_length(0.0) + 2.0 * hook_reach;
        let law = LinearSpring::new(LinearSpringSpec {
            rate,
            free_length,
            initial_tension: spec.initial_tension,
            action: SpringAction::Above,
            shortest: None,
            // Soft springs stand more than a law covers.
            longest: Some(longest(free_length, most - spec.initial_tension, rate))
                .filter(|longest| *longest <= LONGEST),
        })?;
        Ok(Self {
            spec,
            coil,
            bend_radius,
            side_radius,
            hook_reach,
            per_newton,
            law,
        })
    }

    /// What it was made of, the diameter of the coils as the mean one.
    #[must_use]
    pub fn spec(&self) -> &ExtensionSpringSpec {
        &self.spec
    }

    /// Mean radius r1 of the bend that takes the greatest moment, m.
    #[must_use]
    pub fn bend_radius(&self) -> f64 {
        self.bend_radius
    }

    /// Mean radius r2 of the bend from the body into the hook, m.
    #[must_use]
    pub fn side_radius(&self) -> f64 {
        self.side_radius
    }

    /// Inside reach of a hook beyond the body, m.
    #[must_use]
    pub fn hook_reach(&self) -> f64 {
        self.hook_reach
    }

    /// Diameter of the coils from the middle of the wire to the middle of the wire D, m.
    #[must_use]
    pub fn mean_diameter(&self) -> f64 {
        self.coil.mean
    }

    /// Spring index C = D / d.
    #[must_use]
    pub fn index(&self) -> f64 {
        self.coil.index()
    }

    /// Outer diameter D + d, m.
    #[must_use]
    pub fn outer_diameter(&self) -> f64 {
        self.coil.mean + self.coil.d
    }

    /// Turns that deflect: Na = Nb + G / E, or Nb by EN 13906-2.
    #[must_use]
    pub fn active_turns(&self) -> f64 {
        active_turns(&self.spec, &self.coil)
    }

    /// Rate k = d^4 G / (8 D^3 Na), N/m.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.law.spec().rate
    }

    /// Length of the body, (Nb + 1) d, m.
    #[must_use]
    pub fn body_length(&self) -> f64 {
        self.coil.body_length(0.0)
    }

    /// Length inside the hooks when nothing pulls, m.
    #[must_use]
    pub fn free_length(&self) -> f64 {
        self.law.spec().free_length
    }

    /// Length of the wire, hooks included, m: a full hook takes one turn, a half one half a turn.
    #[must_use]
    pub fn wire_length(&self) -> f64 {
        let hooks = match self.spec.hook {
            HookShape::Full => 2.0,
            HookShape::Half => 1.0,
        };
        self.coil.wire_length(hooks)
    }

    /// Mass, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.coil.mass_of(self.wire_length())
    }

    /// Stresses at a tension (N, 0 to 1e6), Pa.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn stresses(&self, tension: f64) -> Result<ExtensionStresses> {
        within("tension of the extension spring", tension, 0.0, 1e6, "N")?;
        Ok(ExtensionStresses {
            body: self.per_newton.body * tension,
            hook_bending: self.per_newton.hook_bending * tension,
            hook_torsion: self.per_newton.hook_torsion * tension,
        })
    }

    /// What the spring bears under static load, Pa: shares of the least tensile strength (Shigley Table 10-7, the lower
    /// ones).
    #[must_use]
    pub fn allowable(&self) -> ExtensionStresses {
        allowable(&self.spec.wire, &self.coil)
    }

    /// The tension at which body or hook reaches what it bears under static load, N.
    #[must_use]
    pub fn max_tension(&self) -> f64 {
        1.0 / self.per_newton.raw_use_of(&self.allowable())
    }

    /// The length inside the hooks at [`max_tension`](Self::max_tension), m.
    #[must_use]
    pub fn max_length(&self) -> f64 {
        let more = self.max_tension() - self.spec.initial_tension;
        longest(self.free_length(), more, self.rate())
    }

    /// Shear stress of the initial tension, 8 F0 D / (pi d^3), Pa, without curvature factor as the usual range of it is
    /// given.
    #[must_use]
    pub fn initial_stress(&self) -> f64 {
        self.shear_per_newton() * self.spec.initial_tension
    }

    /// Least and greatest initial tension that springs of this index are usually wound with, N.
    ///
    /// Shigley eq. 10-41: 33500 / exp(0.105 C) +- 1000 (4 - (C - 3) / 6.5) psi of shear without curvature factor, for
    /// an index of 3 to about 16; the band closes at 29. EN 13906-2 (from memory): up to (0.135 - 0.00625 C) Rm, as
    /// coiled on a lathe, from zero; nothing above C = 21.6.
    #[must_use]
    pub fn usual_initial_tension(&self) -> [f64; 2] {
        let stresses = match self.spec.design_code {
            DesignCode::Shigley => usual_initial_stress(self.index()),
            DesignCode::En13906 => {
                let share = (0.135 - 0.00625 * self.index()).max(0.0);
                [0.0, share * self.coil.strength]
            }
        };
        stresses.map(|stress| stress / self.shear_per_newton())
    }

    /// What it does between two points: slack up to the free length, over-stretched beyond
    /// [`max_length`](Self::max_length).
    #[must_use]
    pub fn line_spring(&self) -> LinearSpring {
        self.law
    }

    /// Safety against yielding of body or hook under a tension (N): allowable over actual stress where that is least,
    /// infinite without tension.
    ///
    /// # Errors
    /// As [`stresses`](Self::stresses).
    pub fn static_safety(&self, tension: f64) -> Result<f64> {
        self.stresses(tension)?;
        Ok(self.max_tension() / tension.abs())
    }

    /// Whether body and hooks last a number of cycles between two tensions (N, in any order), by Zimmerli's data: in
    /// shear for the body and the torsion of the hook, in bending by distortion energy for its bend.
    ///
    /// # Errors
    /// As [`Endurance::zimmerli`] and [`Endurance::safety`]; [`Error::NotFinite`], [`Error::OutOfRange`] for a tension
    /// outside 0 to 1e6 N.
    pub fn fatigue(
        &self,
        tensions: [f64; 2],
        surface: WireSurface,
        criterion: FatigueCriterion,
        cycles: f64,
    ) -> Result<ExtensionLife> {
        let [one, other] = [self.stresses(tensions[0])?, self.stresses(tensions[1])?];
        let allowed = self.allowable();
        let shear = Endurance::zimmerli(&self.spec.wire, self.coil.d, surface, criterion)?;
        let bending = shear.in_bending(self.coil.strength)?;
        let verdict = |endurance: Endurance, of: fn(&ExtensionStresses) -> f64| {
            let cycle = Cycle::between(of(&one), of(&other))?;
            Ok(LifeVerdict {
                cycle,
                endurance,
                cycles,
                safety: endurance.safety(&cycle, cycles)?,
                static_safety: of(&allowed) / cycle.greatest(),
                life: endurance.life(&cycle)?,
            })
        };
        Ok(ExtensionLife {
            body: verdict(shear, |s| s.body)?,
            hook_bending: verdict(bending, |s| s.hook_bending)?,
            hook_torsion: verdict(shear, |s| s.hook_torsion)?,
        })
    }

    /// Without a curvature factor.
    fn shear_per_newton(&self) -> f64 {
        stress_per_force(self.coil.d, self.coil.mean)
    }
}

/// Length inside the hooks at so much tension above the initial one.
fn longest(free_length: f64, more: f64, rate: f64) -> f64 {
    free_length + more / rate
}

fn active_turns(spec: &ExtensionSpringSpec, coil: &Coil) -> f64 {
    match spec.design_code {
        DesignCode::Shigley => coil.turns + coil.shear / coil.elastic,
        DesignCode::En13906 => coil.turns,
    }
}

fn allowable(wire: &Wire, coil: &Coil) -> ExtensionStresses {
    let shares = wire.shares();
    ExtensionStresses {
        body: shares.extension_body[0] * coil.strength,
        hook_bending: shares.hook_bending * coil.strength,
        hook_torsion: shares.hook_shear * coil.strength,
    }
}

pub(in crate::spring) fn stresses_per_newton(
    coil: &Coil,
    bend_radius: f64,
    side_radius: f64,
) -> ExtensionStresses {
    let (d, shear) = (coil.d, stress_per_force(coil.d, coil.mean));
    let bending = coil.bending_per_moment() * 0.5 * coil.mean;
    let pull = 4.0 / (PI * d * d);
    ExtensionStresses {
        body: CurvatureFactor::Bergstraesser.raw_factor(coil.index()) * shear,
        hook_bending: bend_inside(2.0 * bend_radius / d) * bending + pull,
        hook_torsion: twist_inside(2.0 * side_radius / d) * shear,
    }
}

/// Least and greatest shear stress of initial tension that is usual for an index, Pa (Shigley eq. 10-41).
fn usual_initial_stress(index: f64) -> [f64; 2] {
    let middle = 33_500.0 / (0.105 * index).exp();
    let half = (1_000.0 * (4.0 - (index - 3.0) / 6.5)).max(0.0);
    [middle - half, middle + half].map(|psi| psi.max(0.0) * PSI)
}
