//! What the published guidance says to a control: its rows by what is operated, and a control's figures beside them.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer};

use crate::error::{Error, Result, finite, within};
use crate::feel::guidance::table::{GRADIENTS, ROWS, WEIGHT_RULES};
use crate::feel::guidance::types::{
    ControlKind, ControlMeasurements, FlyingQualityLevel, GradientRule, GuidanceBound,
    GuidanceComparison, GuidanceFigure, GuidanceMotion, GuidanceQuantity, LBF, PrintedUnit,
    WeightRule,
};
use crate::source::Provenance;

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
/// let sailplane = pedals.iter().find(|guide| {
///     guide.quantity == GuidanceQuantity::TemporaryForce && guide.source.contains("CS 22")
/// });
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

/// Where a control lies against each figure that applies; read
/// [`GUIDANCE_CAVEAT`](crate::feel::GUIDANCE_CAVEAT) with it.
///
/// # Errors
/// [`Error::NotFinite`] or [`Error::OutOfRange`] if a measure given is not finite or negative.
///
/// # Example
/// ```
/// use yokewright::feel::{ControlMeasurements, GuidanceMotion, ControlKind, GuidanceQuantity, compare_with_guidance};
/// let stick = ControlMeasurements { force: Some(60.0), breakout: Some(4.0), ..ControlMeasurements::default() };
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

/// The gradient rules as printed (recalled: to be checked).
#[must_use]
pub fn gradient_rules() -> &'static [GradientRule] {
    GRADIENTS
}

/// Least and greatest elevator force for a g of maneuver, N per g, by MIL-F-8785C table V (recalled: to be checked).
///
/// `n_per_alpha`: change of load factor with angle of attack, g per rad, 0.1 to 1000. `limit_load_factor`: 1.1 to 20.
/// `None` where the table as recalled gives no figure.
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
pub fn min_maneuver_force(operated: ControlKind, weight: f64) -> Result<f64> {
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
/// `fraction` w: the relative change that is just felt, 0.01 to 1;
/// [`GuidanceQuantity::JustNoticeable`](crate::feel::GuidanceQuantity::JustNoticeable) lists published
/// ones. Below 1 most people feel no difference.
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

/// A row of the table, which is read back only as it stands there.
impl<'de> Deserialize<'de> for &'static GuidanceFigure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Row {
            name: String,
            operated: ControlKind,
            motion: GuidanceMotion,
            quantity: GuidanceQuantity,
            bound: GuidanceBound,
            printed: f64,
            printed_unit: PrintedUnit,
            source: String,
            provenance: Provenance,
            note: String,
        }
        let Row {
            name,
            operated,
            motion,
            quantity,
            bound,
            printed,
            printed_unit,
            source,
            provenance,
            note,
        } = Row::deserialize(deserializer)?;
        let read = GuidanceFigure {
            name: "",
            source: "",
            note: "",
            operated,
            motion,
            quantity,
            bound,
            printed,
            printed_unit,
            provenance,
        };
        let is = |row: &&'static GuidanceFigure| {
            let numbers = GuidanceFigure {
                name: "",
                source: "",
                note: "",
                ..**row
            };
            numbers == read && [row.name, row.source, row.note] == [&name, &source, &note]
        };
        let unknown = || {
            D::Error::custom(format!(
                "no figure \"{name}\" that says this in this version"
            ))
        };
        guides().iter().find(is).ok_or_else(unknown)
    }
}

impl<'de> Deserialize<'de> for GuidanceFigure {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        <&'static Self>::deserialize(deserializer).copied()
    }
}
