//! Published control-force guidance, to set a control beside.
//!
//! The rows are in `table`; every one names its source and says whether it was read there or recalled. They inform.
//! Nothing here certifies anything, and a simulator control need not follow a rule made for aircraft.

use std::fmt;

use serde::Serialize;

use crate::error::{Error, Result, choices, finite, within};
use crate::feel::guidance::table::{GRADIENTS, ROWS, WEIGHT_RULES};
use crate::source::Provenance;

/// What every comparison says of itself.
pub const GUIDANCE_CAVEAT: &str = "For information only: these figures were written for other equipment and other purposes, they certify nothing, \
    and those marked 'from memory' are still to be checked against their source.";

/// Newtons in a pound-force: the international pound times standard gravity, both exact by definition.
pub const LBF: f64 = 4.448_221_615_260_5;
/// Newtons in a decanewton.
const DAN: f64 = 10.0;
/// Meters in an inch, exact by definition.
const INCH: f64 = 0.0254;

/// What the hand or foot works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ControlKind {
    /// A stick between the knees or at the side.
    Stick,
    /// A wheel or yoke.
    Wheel,
    /// Pedals.
    Pedals,
    /// A hand lever: throttle, trim, airbrake, flaps.
    Lever,
    /// A small displacement joystick worked by hand and fingers.
    FingerStick,
    /// The hand itself: what it can grip and pinch.
    Hand,
}

/// What the control is moved for, or which way it goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum GuidanceMotion {
    /// Nose up and down.
    Pitch,
    /// Wings up and down.
    Roll,
    /// Nose left and right.
    Yaw,
    /// To and from the body; for a lever.
    ForeAft,
    /// Sideways; for a lever.
    Lateral,
    /// Any way.
    Any,
}

/// What a figure is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum GuidanceQuantity {
    /// Force for a short time, as at the end of travel, N.
    TemporaryForce,
    /// Force over a long time, as against a trim that is off, N.
    ProlongedForce,
    /// Force that the structure is designed for, N: strength and not feel.
    StructureForce,
    /// Torque on a wheel that the structure is designed for, N m for a wheel of a meter in diameter (N m/m).
    StructureTorque,
    /// Force that sets the control in motion from its center, friction included, N.
    Breakout,
    /// Force at the end of travel, N.
    Resistance,
    /// Way of grip or pad from one end to the other, m.
    Travel,
    /// Way of grip or pad from the center to one end, m.
    TravelOneWay,
    /// Way over which the place of the control can be adjusted, m.
    Adjustment,
    /// Angle from the center to one end, rad.
    Deflection,
    /// Force of hand or fingers, N.
    Strength,
    /// Angle of the foot's force forward of the vertical, rad.
    FootAngle,
    /// Relative change of stiffness that is just felt, a fraction.
    JustNoticeable,
}

/// Which side of a figure is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GuidanceBound {
    /// No less than the figure.
    Least,
    /// No more than the figure.
    Greatest,
    /// The figure itself.
    Nominal,
}

/// Unit in which the source prints the figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrintedUnit {
    /// Pound-force.
    Lbf,
    /// Pound-force inch for each inch of a wheel's diameter.
    LbfInPerIn,
    /// Newton.
    Newton,
    /// Decanewton.
    Decanewton,
    /// Millimeter.
    Millimeter,
    /// Inch.
    Inch,
    /// Degree.
    Degree,
    /// A bare fraction.
    Fraction,
}

impl PrintedUnit {
    /// Factor to SI.
    #[must_use]
    pub fn factor(self) -> f64 {
        match self {
            // An inch of lever for an inch of diameter: N m for each m of diameter.
            Self::Lbf | Self::LbfInPerIn => LBF,
            Self::Newton | Self::Fraction => 1.0,
            Self::Decanewton => DAN,
            Self::Millimeter => crate::units::MM,
            Self::Inch => INCH,
            Self::Degree => crate::units::DEG,
        }
    }
}

/// One published figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GuidanceFigure {
    /// Name of the figure in this table: rule and figure.
    pub name: &'static str,
    /// What is operated.
    pub operated: ControlKind,
    /// For what, or which way.
    pub motion: GuidanceMotion,
    /// What the figure is about.
    pub quantity: GuidanceQuantity,
    /// Which side of it is meant.
    pub bound: GuidanceBound,
    /// As printed.
    pub printed: f64,
    /// Unit as printed.
    pub printed_unit: PrintedUnit,
    /// Where it is printed.
    pub source: &'static str,
    /// Whether it was read there.
    pub provenance: Provenance,
    /// When it applies, and what else to know.
    pub note: &'static str,
}

impl GuidanceFigure {
    /// The figure in SI: N, m, rad or a fraction.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.printed * self.printed_unit.factor()
    }
}

/// All figures there are.
#[must_use]
pub fn guides() -> &'static [GuidanceFigure] {
    ROWS
}

/// The figures that apply to a kind of control and a motion; [`GuidanceMotion::Any`] asks for all of them.
///
/// # Example
/// ```
/// use yokewright::feel::{GuidanceMotion, ControlKind, GuidanceQuantity, guides_for};
/// let pedals = guides_for(ControlKind::Pedals, GuidanceMotion::Yaw);
/// let sailplane = pedals.iter().find(|guide| guide.quantity == GuidanceQuantity::TemporaryForce && guide.source.contains("CS 22"));
/// assert_eq!(sailplane.map(|guide| guide.value()), Some(400.0));
/// ```
#[must_use]
pub fn guides_for(operated: ControlKind, motion: GuidanceMotion) -> Vec<&'static GuidanceFigure> {
    let fits = |guide: &&GuidanceFigure| {
        guide.operated == operated
            && (motion == GuidanceMotion::Any
                || guide.motion == GuidanceMotion::Any
                || guide.motion == motion)
    };
    ROWS.iter().filter(fits).collect()
}

/// What a control measures, to set beside published figures; leave out what is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct ControlMeasurements {
    /// Greatest force over the travel, N.
    pub force: Option<f64>,
    /// Force that has to be held for long, N.
    pub held_force: Option<f64>,
    /// Force that sets the control in motion from its center, friction included, N.
    pub breakout: Option<f64>,
    /// Way of grip or pad from end to end, m.
    pub travel: Option<f64>,
    /// Greater of the ways from the center to the ends, m.
    pub travel_one_way: Option<f64>,
    /// Greater of the angles from the center to the ends, rad.
    pub deflection: Option<f64>,
}

impl ControlMeasurements {
    /// Checks that each measure given is finite and not negative; [`compare_with_guidance`] does it.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn check(&self) -> Result<()> {
        for (name, value, unit) in [
            ("greatest force", self.force, "N"),
            ("held force", self.held_force, "N"),
            ("breakout force", self.breakout, "N"),
            ("travel", self.travel, "m"),
            ("travel one way", self.travel_one_way, "m"),
            ("deflection", self.deflection, "rad"),
        ] {
            if let Some(value) = value {
                within(name, value, 0.0, f64::MAX, unit)?;
            }
        }
        Ok(())
    }

    fn of(&self, quantity: GuidanceQuantity) -> Option<f64> {
        match quantity {
            GuidanceQuantity::TemporaryForce | GuidanceQuantity::Resistance => self.force,
            GuidanceQuantity::ProlongedForce => self.held_force,
            GuidanceQuantity::Breakout => self.breakout,
            GuidanceQuantity::Travel => self.travel,
            GuidanceQuantity::TravelOneWay => self.travel_one_way,
            GuidanceQuantity::Deflection => self.deflection,
            GuidanceQuantity::StructureForce
            | GuidanceQuantity::StructureTorque
            | GuidanceQuantity::Adjustment
            | GuidanceQuantity::Strength
            | GuidanceQuantity::FootAngle
            | GuidanceQuantity::JustNoticeable => None,
        }
    }
}

/// Where a control lies against one figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GuidanceComparison {
    /// The figure.
    pub guide: &'static GuidanceFigure,
    /// What the control measures, in SI; `None` if that is not known, or the figure is not about feel.
    pub value: Option<f64>,
    /// Value less figure, in SI.
    pub above: Option<f64>,
}

impl GuidanceComparison {
    /// Whether the control lies on the side that the figure means; `None` if there is nothing to compare, or the figure is a nominal one.
    #[must_use]
    pub fn on_the_side_meant(&self) -> Option<bool> {
        match self.guide.bound {
            GuidanceBound::Least => self.above.map(|above| above >= 0.0),
            GuidanceBound::Greatest => self.above.map(|above| above <= 0.0),
            GuidanceBound::Nominal => None,
        }
    }
}

impl fmt::Display for GuidanceComparison {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let guide = self.guide;
        let bound = match guide.bound {
            GuidanceBound::Least => "at least ",
            GuidanceBound::Greatest => "at most ",
            GuidanceBound::Nominal => "",
        };
        let (factor, unit) = shown_in(guide.quantity);
        let shown = |value: f64| format!("{:.3}", value / factor);
        write!(
            f,
            "{}: {bound}{} {unit}",
            guide.quantity,
            trim(&shown(guide.value()))
        )?;
        write!(f, " (printed: {} {})", guide.printed, guide.printed_unit)?;
        if let Some(value) = self.value {
            let lies = match self.above {
                Some(above) if above > 0.0 => "above",
                Some(above) if above < 0.0 => "below",
                _ => "on",
            };
            write!(
                f,
                "; this control: {} {unit}, {lies} it",
                trim(&shown(value))
            )?;
        }
        write!(f, ". {}; {}", guide.source, guide.provenance)?;
        if guide.provenance == Provenance::FromMemory {
            f.write_str(", to be checked")?;
        }
        if !guide.note.is_empty() {
            write!(f, "; {}", guide.note)?;
        }
        Ok(())
    }
}

/// A number without the zeros at its end.
fn trim(text: &str) -> &str {
    text.trim_end_matches('0').trim_end_matches('.')
}

/// Factor and name of the unit in which a text shows a quantity.
fn shown_in(quantity: GuidanceQuantity) -> (f64, &'static str) {
    match quantity {
        GuidanceQuantity::Travel
        | GuidanceQuantity::TravelOneWay
        | GuidanceQuantity::Adjustment => (crate::units::MM, "mm"),
        GuidanceQuantity::Deflection | GuidanceQuantity::FootAngle => (crate::units::DEG, "deg"),
        GuidanceQuantity::JustNoticeable => (1.0, "of the stiffness"),
        GuidanceQuantity::StructureTorque => (1.0, "N m per m of diameter"),
        _ => (1.0, "N"),
    }
}

/// Where a control lies against each figure that applies; read [`GUIDANCE_CAVEAT`] with it.
///
/// # Errors
/// [`Error::NotFinite`] or [`Error::OutOfRange`] if a measure given is not finite or negative.
///
/// # Example
/// ```
/// use yokewright::feel::{ControlMeasurements, GuidanceMotion, ControlKind, GuidanceQuantity, compare_with_guidance};
/// let stick = ControlMeasurements { force: Some(60.0), breakout: Some(4.0), ..Measured::default() };
/// let standings = compare_with_guidance(ControlKind::Stick, GuidanceMotion::Roll, &stick)?;
/// let breakout = standings.iter().filter(|one| one.guide.quantity == GuidanceQuantity::Breakout);
/// assert!(breakout.clone().count() >= 2 && breakout.clone().all(|one| one.on_the_side_meant() == Some(true)));
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn compare_with_guidance(
    operated: ControlKind,
    motion: GuidanceMotion,
    measured: &ControlMeasurements,
) -> Result<Vec<GuidanceComparison>> {
    measured.check()?;
    let standing = |guide: &'static GuidanceFigure| {
        let value = measured.of(guide.quantity);
        GuidanceComparison {
            guide,
            value,
            above: value.map(|value| value - guide.value()),
        }
    };
    Ok(guides_for(operated, motion)
        .into_iter()
        .map(standing)
        .collect())
}

/// Level of flying qualities that a limit is for: 1 is clearly adequate, 3 is just controllable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlyingQualityLevel {
    /// Clearly adequate.
    One,
    /// Adequate with more work.
    Two,
    /// Controllable.
    Three,
}

/// The row of the maneuvering force gradient for one control and level; lbf per g, as printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GradientRule {
    /// Stick or wheel.
    pub operated: ControlKind,
    /// For which level.
    pub level: FlyingQualityLevel,
    /// The greatest gradient is this over n/alpha (g per rad) ...
    pub max_coefficient: Option<f64>,
    /// ... but no more than this ...
    pub max_cap: f64,
    /// ... and no less than this over (n_L - 1).
    pub max_floor_coefficient: Option<f64>,
    /// The least gradient is this over (n_L - 1) ...
    pub min_coefficient: Option<f64>,
    /// ... or this, whichever is higher.
    pub min_floor: Option<f64>,
}

/// Where the gradient rules are printed.
pub const GRADIENT_SOURCE: &str = "MIL-F-8785C (1980), table V; also MIL-STD-1797";

/// The gradient rules as printed (recalled: to be checked).
#[must_use]
pub fn gradient_rules() -> &'static [GradientRule] {
    GRADIENTS
}

/// Least and greatest elevator force for a g of maneuver, N per g, by MIL-F-8785C table V (recalled: to be checked).
///
/// `n_per_alpha`: change of load factor with angle of attack, g per rad, 0.1 to 1000. `limit_load_factor`: 1.1 to 20. `None` where the table
/// as recalled gives no figure.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::NotAChoice`] for what is neither stick nor wheel.
///
/// # Example
/// ```
/// use yokewright::feel::{FlyingQualityLevel, LBF, ControlKind, gradient_limits};
/// let [least, greatest] = gradient_limits(ControlKind::Stick, FlyingQualityLevel::One, 20.0, 7.0)?;
/// assert!((least.unwrap() / LBF - 3.5).abs() < 1e-12 && (greatest.unwrap() / LBF - 12.0).abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn gradient_limits(
    operated: ControlKind,
    level: FlyingQualityLevel,
    n_per_alpha: f64,
    limit_load_factor: f64,
) -> Result<[Option<f64>; 2]> {
    within("n/alpha", n_per_alpha, 0.1, 1000.0, "g/rad")?;
    let spare = within("limit load factor", limit_load_factor, 1.1, 20.0, "g")? - 1.0;
    let rule = GRADIENTS
        .iter()
        .find(|rule| rule.operated == operated && rule.level == level)
        .ok_or_else(|| stick_or_wheel(operated))?;
    let least = match (rule.min_coefficient, rule.min_floor) {
        (Some(coefficient), floor) => Some((coefficient / spare).max(floor.unwrap_or(0.0))),
        (None, floor) => floor,
    };
    let sloped = rule.max_coefficient.map_or(rule.max_cap, |coefficient| {
        (coefficient / n_per_alpha).min(rule.max_cap)
    });
    let floor = rule
        .max_floor_coefficient
        .map_or(0.0, |coefficient| coefficient / spare);
    Ok([
        least.map(|value| value * LBF),
        Some(sloped.max(floor) * LBF),
    ])
}

/// A least force by the weight of the aircraft; lbf, as printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeightRule {
    /// Stick or wheel.
    pub operated: ControlKind,
    /// The least force is the weight over this ...
    pub divisor: f64,
    /// ... but no less than this ...
    pub floor: f64,
    /// ... and need be no more than this.
    pub cap: f64,
}

/// Where the weight rules are printed.
pub const WEIGHT_SOURCE: &str = "14 CFR 23.155";

/// The weight rules as printed (recalled: to be checked).
#[must_use]
pub fn weight_rules() -> &'static [WeightRule] {
    WEIGHT_RULES
}

/// Least elevator force, N, that may reach the limit load factor, by 14 CFR 23.155 (recalled: to be checked).
///
/// `weight`: of the aircraft, N, above 0 and up to 1e6.
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`]; [`Error::NotAChoice`] for what is neither stick nor wheel.
pub fn least_maneuver_force(operated: ControlKind, weight: f64) -> Result<f64> {
    within(
        "weight of the aircraft",
        weight,
        f64::MIN_POSITIVE,
        1e6,
        "N",
    )?;
    let rule = WEIGHT_RULES
        .iter()
        .find(|rule| rule.operated == operated)
        .ok_or_else(|| stick_or_wheel(operated))?;
    Ok((weight / rule.divisor).clamp(rule.floor * LBF, rule.cap * LBF))
}

fn stick_or_wheel(given: ControlKind) -> Error {
    Error::NotAChoice {
        quantity: "control of an elevator force rule",
        given: given.to_string(),
        choices: format!("{}, {}", ControlKind::Stick, ControlKind::Wheel),
    }
}

/// By how many just noticeable differences two stiffnesses differ: ln(a/b) / ln(1 + w).
///
/// `fraction` w: the relative change that is just felt, 0.01 to 1; [`GuidanceQuantity::JustNoticeable`] lists published ones. Below 1 most people feel no
/// difference.
///
/// # Errors
/// [`Error::NotFinite`]; [`Error::OutOfRange`] for a stiffness that is not above 0.
///
/// # Example
/// ```
/// let steps = yokewright::feel::noticeable_steps(12.0, 10.0, 0.23)?;
/// assert!(steps > 0.5 && steps < 1.0); // twenty percent: not felt by most
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Weber's law; the steps multiply up (textbook).
pub fn noticeable_steps(stiffness: f64, other: f64, fraction: f64) -> Result<f64> {
    within("just noticeable fraction", fraction, 0.01, 1.0, "(no unit)")?;
    for value in [stiffness, other] {
        within(
            "stiffness",
            value,
            f64::MIN_POSITIVE,
            f64::MAX,
            "any one unit",
        )?;
    }
    finite(
        "steps",
        (stiffness.ln() - other.ln()).abs() / fraction.ln_1p(),
        "(no unit)",
    )
}

choices!(ControlKind, "kind of control", {
    Stick => "stick",
    Wheel => "wheel",
    Pedals => "pedals",
    Lever => "lever",
    FingerStick => "finger stick",
    Hand => "hand",
});
choices!(GuidanceMotion, "motion", {
    Pitch => "pitch",
    Roll => "roll",
    Yaw => "yaw",
    ForeAft => "fore and aft",
    Lateral => "lateral",
    Any => "any",
});
choices!(GuidanceQuantity, "quantity", {
    TemporaryForce => "force for a short time",
    ProlongedForce => "force held for long",
    StructureForce => "force on the structure",
    StructureTorque => "torque on the structure",
    Breakout => "breakout force",
    Resistance => "force at the end of travel",
    Travel => "travel",
    TravelOneWay => "travel one way",
    Adjustment => "adjustment",
    Deflection => "deflection",
    Strength => "strength of the hand",
    FootAngle => "angle of the foot's force",
    JustNoticeable => "just noticeable difference",
});
choices!(GuidanceBound, "bound", {
    Least => "at least",
    Greatest => "at most",
    Nominal => "nominal",
});
choices!(PrintedUnit, "unit", {
    Lbf => "lbf",
    LbfInPerIn => "lbf in per in of diameter",
    Newton => "N",
    Decanewton => "daN",
    Millimeter => "mm",
    Inch => "in",
    Degree => "deg",
    Fraction => "of the stiffness",
});
choices!(FlyingQualityLevel, "level", {
    One => "1",
    Two => "2",
    Three => "3",
});
