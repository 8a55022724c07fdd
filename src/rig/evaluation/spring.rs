//! One spring of an evaluated control: what it goes through over the travel, and whether it stands that.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};
use crate::feel::{AlongLine, Bearing, Body, Control, Element, SpringEnvelope};
use crate::linkage::Transmission;
use crate::numeric::spacing::spaced;
use crate::rig::answers::Mechanics;
use crate::rig::control::FittedSpring;
use crate::rig::parts::MadeSpring;
use crate::spring::{
    CompressionSpring, ExtensionSpring, FatigueCriterion, LifeDemand, LineSpring,
    LinearTorsionSpring, StockSpring, TorsionSpring, TorsionSpringState,
};
use crate::units::{DEG, MM};

/// Places of the travel at which a driven spring is looked at.
const PLACES: usize = 41;

/// A spring of an evaluated control. Of one along a line the lengths and tensions are given, of one about a pivot the
/// angles and torques.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[non_exhaustive]
pub struct SpringEvaluation {
    /// Its name in the design file.
    pub name: String,
    /// What kind of spring it is, by the word of the design file.
    pub kind: String,
    /// Its number among the elements of the control.
    pub element: usize,
    /// Least and greatest distance of its ends over the travel, m.
    pub lengths: Option<[f64; 2]>,
    /// Tension at these lengths, N; negative where it presses.
    pub tensions: Option<[f64; 2]>,
    /// Least and greatest angle of what it turns over the travel, rad.
    pub angles: Option<[f64; 2]>,
    /// Torque of the spring at these angles, N m, as [`TorsionResponse`](crate::spring::TorsionResponse) counts it.
    pub torques: Option<[f64; 2]>,
    /// Whether it carries nothing somewhere in the travel.
    pub slack: bool,
    /// Whether it is past a limit somewhere: solid, overstretched or overwound.
    pub past_limit: bool,
    /// Greatest stress, of the part of the spring that comes nearest to what it may bear, Pa; of a wound spring whose
    /// measures are known.
    pub stress: Option<f64>,
    /// What that part may bear at rest, Pa.
    pub allowable_stress: Option<f64>,
    /// The latter over the former: safety against staying deformed. None where nothing loads it.
    pub safety: Option<f64>,
    /// How often it goes over the whole travel and back in its life.
    pub cycles: Option<f64>,
    /// Safety against breaking within these cycles; none where nothing loads it or nobody knows the wire's endurance.
    pub life_safety: Option<f64>,
}

impl Mechanics {
    /// With the weakest of the springs; those of which nobody knows what they bear do not count.
    pub(in crate::rig) fn on<'s>(
        self,
        springs: impl Iterator<Item = &'s SpringEvaluation> + Clone,
    ) -> Self {
        let least = |of: fn(&SpringEvaluation) -> Option<f64>| {
            springs.clone().filter_map(of).min_by(f64::total_cmp)
        };
        Self {
            spring_life: least(|spring| spring.life_safety),
            spring_safety: least(|spring| spring.safety),
            ..self
        }
    }
}

/// A spring and what is to be told of it.
pub(in crate::rig) type Judged = (SpringEvaluation, Vec<String>);

/// Stress, what may be borne, and the safety in fatigue.
struct Strength {
    stress: f64,
    allowable: f64,
    life: Result<f64>,
}

/// What a fitted spring goes through in a control whose line springs have these envelopes.
pub(super) fn judge(
    fitted: &FittedSpring,
    control: &Control,
    envelopes: &[SpringEnvelope],
) -> Result<Option<Judged>> {
    let Ok(made) = &fitted.part.made else {
        return Ok(None);
    };
    let mut found = SpringEvaluation {
        name: fitted.name.clone(),
        kind: word(made).to_owned(),
        element: fitted.element,
        lengths: None,
        tensions: None,
        angles: None,
        torques: None,
        slack: false,
        past_limit: false,
        stress: None,
        allowable_stress: None,
        safety: None,
        cycles: None,
        life_safety: None,
    };
    let mut notes = Vec::new();
    match control.spec().elements.get(fitted.element) {
        Some(Element::Line { law, .. }) => {
            let of_element = |envelope: &&SpringEnvelope| envelope.element == fitted.element;
            if let Some(envelope) = envelopes.iter().find(of_element) {
                along_line(&mut found, &mut notes, law, envelope)?;
            }
        }
        Some(Element::Torsion { spring, body }) => {
            about_pivot(&mut found, &mut notes, spring, turned(control, *body)?)?;
        }
        _ => return Ok(None),
    }
    if !found.past_limit {
        judge_strength(&mut found, &mut notes, fitted, made);
    }
    let notes = notes
        .into_iter()
        .map(|note| format!("spring {}: {note}", crate::error::echo(&fitted.name)))
        .collect();
    Ok(Some((found, notes)))
}

fn word(made: &MadeSpring) -> &'static str {
    match made {
        MadeSpring::Line(_) => "line",
        MadeSpring::Pivot(_) => "pivot",
        MadeSpring::Captured(_) => "captured",
        MadeSpring::Compression(_) => "compression",
        MadeSpring::Extension(_) => "extension",
        MadeSpring::Torsion(_) => "torsion",
        MadeSpring::Stock(_) => "stock",
    }
}

fn along_line(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    law: &AlongLine,
    envelope: &SpringEnvelope,
) -> Result<()> {
    let lengths = [envelope.shortest.0, envelope.longest.0];
    // Tension never falls as the length grows, so that its extremes are those of the length.
    let tension = |length: f64| match law {
        AlongLine::Spring(spring) => Ok(spring.response(length)?.tension),
        AlongLine::Captured(captured) => {
            let by = length - captured.neutral_length();
            let preload = if by == 0.0 {
                0.0
            } else {
                captured.preload().copysign(by)
            };
            Ok::<f64, Error>(preload + captured.rate() * by)
        }
    };
    found.lengths = Some(lengths);
    found.tensions = Some([tension(lengths[0])?, tension(lengths[1])?]);
    found.slack = envelope.slack.is_some();
    found.past_limit = envelope.solid.is_some() || envelope.overstretched.is_some();
    let [shortest, longest] = match law {
        AlongLine::Spring(LineSpring::Straight(spring)) => spring.length_range(),
        AlongLine::Spring(spring) => spring.length_range(),
        AlongLine::Captured(captured) => {
            let (length, stroke) = (captured.neutral_length(), captured.stroke());
            [length - stroke, length + stroke]
        }
    };
    if found.slack {
        notes.push("it carries nothing over part of the travel".to_owned());
    }
    if envelope.solid.is_some() {
        let told = match law {
            AlongLine::Captured(_) => format!(
                "it is solid within the travel: its ends come {:.2} to {:.2} mm apart, it works from {:.2} to {:.2}",
                lengths[0] / MM,
                lengths[1] / MM,
                shortest / MM,
                longest / MM
            ),
            AlongLine::Spring(_) => format!(
                "it is solid within the travel: pressed to {:.2} mm, and it gets no shorter than {:.2} mm",
                lengths[0] / MM,
                shortest / MM
            ),
        };
        notes.push(told);
    }
    if envelope.overstretched.is_some() {
        notes.push(format!(
            "it is overstretched within the travel: pulled to {:.2} mm, and it stands {:.2} mm",
            lengths[1] / MM,
            longest / MM
        ));
    }
    Ok(())
}

fn about_pivot(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    spring: &LinearTorsionSpring,
    angles: [f64; 2],
) -> Result<()> {
    let [lower, upper] = [spring.response(angles[0])?, spring.response(angles[1])?];
    let any = |state| [lower.state, upper.state].contains(&state);
    found.angles = Some(angles);
    found.torques = Some([lower.torque, upper.torque]);
    found.slack = any(TorsionSpringState::Slack);
    found.past_limit = any(TorsionSpringState::Overwound);
    if found.slack {
        notes.push("it carries nothing over part of the travel".to_owned());
    }
    if found.past_limit {
        let [least, greatest] = spring.angle_range();
        notes.push(format!(
            "it is overwound within the travel: it works at angles from {:.1} to {:.1} deg",
            least / DEG,
            greatest / DEG
        ));
    }
    Ok(())
}

/// Least and greatest angle of a body over the travel, rad.
fn turned(control: &Control, body: Body) -> Result<[f64; 2]> {
    let spec = control.spec();
    let travel = |number: usize| spec.travel.get(number).copied().unwrap_or([0.0; 2]);
    let of_lever = match spec.bearing {
        Bearing::Gimbal { .. } => travel(1),
        Bearing::Single(_) => travel(0),
    };
    let driven = match body {
        Body::Ground => return Ok([0.0; 2]),
        Body::Lever => return Ok(of_lever),
        Body::Ring => return Ok(travel(0)),
        Body::Driven(number) => number,
    };
    let mut range = [f64::INFINITY, f64::NEG_INFINITY];
    for angle in spaced(travel(0), PLACES - 1) {
        // Driven by the lever alone, as every body of a design file is.
        if let Some(drive) = spec.driven.get(driven) {
            let turned = drive.transmission().transfer(angle)?.angle;
            range = [range[0].min(turned), range[1].max(turned)];
        }
    }
    Ok(range)
}

fn judge_strength(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    fitted: &FittedSpring,
    made: &MadeSpring,
) {
    let part = &fitted.part;
    let life = LifeDemand {
        surface: part.surface,
        ..LifeDemand::new(part.cycles)
    };
    let forces = found.tensions.unwrap_or_default();
    let torques = found.torques.unwrap_or_default().map(f64::abs);
    let strength = match made {
        MadeSpring::Compression(spring) => {
            buckles(notes, spring, part.fixity, found.lengths);
            // Rounding leaves a force of nothing on the wrong side of it.
            of_compression(spring, forces.map(|force| (-force).max(0.0)), &life)
        }
        MadeSpring::Extension(spring) => {
            of_extension(spring, forces.map(|force| force.max(0.0)), &life)
        }
        MadeSpring::Torsion(spring) => of_torsion(spring, torques, &life),
        MadeSpring::Stock(spring) => {
            found.cycles = Some(life.cycles);
            of_stock(found, notes, spring, forces.map(f64::abs), &life);
            return;
        }
        MadeSpring::Line(_) | MadeSpring::Pivot(_) | MadeSpring::Captured(_) => return,
    };
    match strength {
        Ok(strength) => tell_strength(found, notes, &strength, &life),
        Err(error) => notes.push(format!("its stress is not known: {error}")),
    }
}

fn tell_strength(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    strength: &Strength,
    life: &LifeDemand,
) {
    let Strength {
        stress, allowable, ..
    } = *strength;
    found.stress = Some(stress);
    found.allowable_stress = Some(allowable);
    found.cycles = Some(life.cycles);
    if stress > 0.0 {
        found.safety = Some(allowable / stress).filter(|safety| safety.is_finite());
    }
    if found.safety.is_some_and(|safety| safety < 1.0) {
        notes.push(format!(
            "it is loaded to {:.0} MPa and may bear {:.0} MPa: it will stay deformed",
            stress / 1e6,
            allowable / 1e6
        ));
    }
    tell_life(found, notes, &strength.life, life);
}

fn tell_life(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    safety: &Result<f64>,
    life: &LifeDemand,
) {
    match safety {
        Ok(safety) => {
            found.life_safety = Some(*safety).filter(|safety| safety.is_finite());
            if *safety < 1.0 {
                notes.push(format!(
                    "it will break before {} cycles: its safety in fatigue is {safety:.2}",
                    life.cycles
                ));
            }
        }
        Err(error) => notes.push(format!("its life is not known: {error}")),
    }
}

fn of_compression(
    spring: &CompressionSpring,
    forces: [f64; 2],
    life: &LifeDemand,
) -> Result<Strength> {
    let most = forces[0].max(forces[1]);
    Ok(Strength {
        stress: spring.stress(most)?,
        allowable: spring.allowable_stress(),
        life: spring
            .fatigue(
                forces,
                life.surface,
                FatigueCriterion::default(),
                life.cycles,
            )
            .map(|verdict| verdict.safety),
    })
}

fn of_extension(spring: &ExtensionSpring, forces: [f64; 2], life: &LifeDemand) -> Result<Strength> {
    let most = forces[0].max(forces[1]);
    let (at, may) = (spring.stresses(most)?, spring.allowable());
    let parts = [
        [at.body, may.body],
        [at.hook_bending, may.hook_bending],
        [at.hook_torsion, may.hook_torsion],
    ];
    let used = |[at, may]: &[f64; 2]| at / may;
    let [stress, allowable] = parts
        .into_iter()
        .max_by(|a, b| used(a).total_cmp(&used(b)))
        .unwrap_or_default();
    Ok(Strength {
        stress,
        allowable,
        life: spring
            .fatigue(
                forces,
                life.surface,
                FatigueCriterion::default(),
                life.cycles,
            )
            .map(|verdict| verdict.safety()),
    })
}

fn of_torsion(spring: &TorsionSpring, torques: [f64; 2], life: &LifeDemand) -> Result<Strength> {
    let most = torques[0].max(torques[1]);
    Ok(Strength {
        stress: spring.stress(most)?,
        allowable: spring.allowable(),
        life: spring
            .fatigue(
                torques,
                life.surface,
                FatigueCriterion::default(),
                life.cycles,
            )
            .map(|verdict| verdict.safety),
    })
}

/// Of a bought spring the list says what it stands at rest, so that only its life is left to judge.
fn of_stock(
    found: &mut SpringEvaluation,
    notes: &mut Vec<String>,
    spring: &StockSpring,
    forces: [f64; 2],
    life: &LifeDemand,
) {
    match spring.life_safety(forces, life) {
        Some(safety) => tell_life(found, notes, &safety, life),
        // Without the wire nobody can say.
        None => found.cycles = None,
    }
}

/// Tells whether a compression spring that nothing guides buckles.
fn buckles(
    notes: &mut Vec<String>,
    spring: &CompressionSpring,
    fixity: Option<crate::spring::EndFixity>,
    lengths: Option<[f64; 2]>,
) {
    let (Some(fixity), Some([shortest, _])) = (fixity, lengths) else {
        return;
    };
    let pressed = spring.free_length() - shortest;
    if let Some(critical) = spring.critical_deflection(fixity)
        && pressed > critical
    {
        notes.push(format!(
            "it buckles: pressed by {:.2} mm, and it bends aside from {:.2} mm on; guide it by a rod or a bore",
            pressed / MM,
            critical / MM
        ));
    }
}
