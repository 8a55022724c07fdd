//! Published control-force guidance, to set a control beside.
//!
//! The rows are in `table`; every one names its source and says whether it was read there or recalled. They inform.
//! Nothing here certifies anything, and a simulator control need not follow a rule made for aircraft.

use std::fmt;

use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, within};
use crate::source::Provenance;

/// What every comparison says of itself.
pub const GUIDANCE_CAVEAT: &str = "For information only: these figures were written for other equipment and other \
    purposes, they certify nothing, \
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
#[non_exhaustive]
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
#[non_exhaustive]
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

/// What a control measures, to set beside published figures; leave out what is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
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
    /// Checks that each measure given is finite and not negative;
    /// [`compare_with_guidance`](crate::feel::compare_with_guidance) does it.
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

    pub(super) fn of(&self, quantity: GuidanceQuantity) -> Option<f64> {
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct GuidanceComparison {
    /// The figure.
    pub guide: &'static GuidanceFigure,
    /// What the control measures, in SI; `None` if that is not known, or the figure is not about feel.
    pub value: Option<f64>,
    /// Value less figure, in SI.
    pub above: Option<f64>,
}

impl GuidanceComparison {
    /// Whether the control lies on the side that the figure means; `None` if there is nothing to compare, or the figure
    /// is a nominal one.
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
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

/// A least force by the weight of the aircraft; lbf, as printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
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
