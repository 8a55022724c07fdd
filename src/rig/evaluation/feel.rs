//! The evaluated feel of a control: force against travel, centering, motion, and its springs.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, echo};
use crate::feel::{
    Centering, Control, ControlKind, ControlMeasurements, Element, ForceCurve, GuidanceComparison,
    GuidanceMotion, LinePaths, SecondOrderResponse, Track, Way, compare_with_guidance,
};
use crate::rig::control::NamedFeel;
use crate::rig::evaluation::spring::{Judged, SpringEvaluation, judge};
use crate::units::{DEG, MM};

/// Angles at which the force is told.
const CURVE_POINTS: usize = 101;
/// The same where only the ends are asked for. Rests are looked for at four hundred places all the same, so that one
/// without a force is not overlooked.
const END_POINTS: usize = 2;
/// Places along each angle at which springs are looked at: their extremes are refined from there.
const SPRING_POINTS: [usize; 2] = [41, 11];

/// The evaluated feel of an axis or a stick.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FeelEvaluation {
    control: Control,
    along: Vec<FeelAlong>,
    springs: Vec<SpringEvaluation>,
    notes: Vec<String>,
}

/// The feel along one angle, the other one of a stick at zero.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FeelAlong {
    axis: String,
    curve: ForceCurve,
    end_forces: [f64; 2],
    centering: Centering,
    centering_counts: Option<f64>,
    stiffness: Option<f64>,
    response: Option<SecondOrderResponse>,
    guidance: Vec<GuidanceComparison>,
}

impl FeelEvaluation {
    /// `axes`: what each angle is called.
    pub(super) fn new(named: &NamedFeel, axes: &[&str]) -> Result<Self> {
        let control = named.control().map_err(Clone::clone)?;
        let mut notes = Vec::new();
        let mut along = Vec::new();
        for (number, axis) in axes.iter().enumerate() {
            let motion = named.motions().get(number).copied();
            let one = FeelAlong::new(control, named, number, axis, motion)?;
            if is_to_center(control, named.operated()) {
                notes.extend(one.finding(axes.len() > 1));
            }
            along.push(one);
        }
        let mut springs = Vec::new();
        for (spring, told) in judged(named, control, None)? {
            springs.push(spring);
            // Of two equal springs the same is told once each, by their places.
            notes.extend(told);
        }
        Ok(Self {
            control: control.clone(),
            along,
            springs,
            notes,
        })
    }

    /// The control with all that acts on it.
    #[must_use]
    pub fn control(&self) -> &Control {
        &self.control
    }

    /// The feel along each angle: one of an axis by itself, the outer and the inner one of a stick.
    #[must_use]
    pub fn along(&self) -> &[FeelAlong] {
        &self.along
    }

    /// The springs, in the order of the file.
    #[must_use]
    pub fn springs(&self) -> &[SpringEvaluation] {
        &self.springs
    }

    /// What a builder should know whatever the targets are: a control that does not center, a spring that hangs slack,
    /// is past a limit or loaded beyond what it may bear.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Tells an angle by how many counts of its axis it may rest off the center.
    pub(super) fn count(&mut self, number: usize, counts_per_radian: f64) {
        if let Some(along) = self.along.get_mut(number) {
            let error = along.centering.error;
            along.centering_counts = error.map(|error| error * counts_per_radian.abs());
        }
    }
}

/// Whether something is there to bring it back to one place: a hand lever stays where it is left, and so does what a
/// row of detents or friction alone holds.
fn is_to_center(control: &Control, operated: Option<ControlKind>) -> bool {
    let elements = &control.spec().elements;
    let brings_back = |element: &Element| {
        matches!(
            element,
            Element::Line { .. } | Element::Torsion { .. } | Element::Breakout(_)
        )
    };
    let detent = |element: &Element| matches!(element, Element::Cam(_));
    operated != Some(ControlKind::Lever)
        && elements.iter().any(brings_back)
        && !elements.iter().any(detent)
}

/// Over which lengths springs go in a control.
///
/// # Errors
/// As [`Control::spring_envelopes`].
pub(in crate::rig) fn line_paths(control: &Control) -> Result<LinePaths> {
    control.line_paths(SPRING_POINTS[control.axes() - 1])
}

/// What each spring of a control goes through over the whole travel, in the order of the file, with lengths that are
/// known of a like control.
pub(in crate::rig) fn judged(
    named: &NamedFeel,
    control: &Control,
    known: Option<&LinePaths>,
) -> Result<Vec<Judged>> {
    let envelopes = control.spring_envelopes_along(SPRING_POINTS[control.axes() - 1], known)?;
    let springs = named.springs.iter();
    let judged = springs.filter_map(|fitted| judge(fitted, control, &envelopes).transpose());
    judged.collect()
}

/// Forces and rest along one angle, the other one of a stick at zero: what targets ask of it.
pub(in crate::rig) struct ForceAlong {
    curve: ForceCurve,
    pub(in crate::rig) end_forces: [f64; 2],
    pub(in crate::rig) centering: Centering,
}

impl ForceAlong {
    /// # Errors
    /// Why there is no force somewhere in the travel.
    pub(in crate::rig) fn along(control: &Control, number: usize) -> Result<Self> {
        let track = Track::new(control, way(number))?;
        Self::new(&track, control, number, END_POINTS)
    }

    fn new(track: &Track<'_>, control: &Control, number: usize, points: usize) -> Result<Self> {
        let curve = track.curve(points)?;
        // A place without a force has its reason.
        if let Some(place) = curve.valid.iter().position(|valid| !valid) {
            let mut angles = vec![0.0; control.axes()];
            angles[number] = curve.angle[place];
            control.state(&angles)?;
        }
        let (Some(lower), Some(upper)) = (end(&curve, 0), end(&curve, curve.len() - 1)) else {
            return Err(Error::Absent {
                quantity: "force at its ends",
                of: "the control",
                advice: "",
            });
        };
        Ok(Self {
            curve,
            end_forces: [lower.1 - lower.0, upper.0 + upper.1],
            centering: track.centering()?,
        })
    }
}

/// The way along an angle, by its number.
fn way(number: usize) -> Way {
    if number == 0 {
        Way::Outer(0.0)
    } else {
        Way::Inner(0.0)
    }
}

impl FeelAlong {
    fn new(
        control: &Control,
        named: &NamedFeel,
        number: usize,
        axis: &str,
        motion: Option<GuidanceMotion>,
    ) -> Result<Self> {
        let track = Track::new(control, way(number))?;
        let ForceAlong {
            curve,
            end_forces,
            centering,
        } = ForceAlong::new(&track, control, number, CURVE_POINTS)?;
        let stiffness = match centering.neutral {
            Some(neutral) => {
                let mut angles = vec![0.0; control.axes()];
                angles[number] = neutral;
                control
                    .state(&angles)?
                    .stiffness
                    .get(number)
                    .and_then(|row| row.get(number))
                    .copied()
            }
            None => None,
        };
        let guidance = match named.operated() {
            Some(operated) => {
                let up_and_down = [centering.breakout_up, centering.breakout_down];
                // Where it has to be held back on one side there is no force that sets it in motion.
                let breakout = up_and_down.into_iter().flatten().reduce(f64::max);
                let measured = ControlMeasurements {
                    breakout: breakout.filter(|force| *force >= 0.0),
                    ..curve.measured()
                };
                compare_with_guidance(operated, motion.unwrap_or(GuidanceMotion::Any), &measured)?
            }
            None => Vec::new(),
        };
        Ok(Self {
            axis: axis.to_owned(),
            // Of a control without mass, or that jumps at its rest, there is none.
            response: match track.second_order_response() {
                Ok(response) => Some(response),
                Err(Error::Stopped) => return Err(Error::Stopped),
                Err(_) => None,
            },
            end_forces,
            curve,
            centering,
            centering_counts: None,
            stiffness,
            guidance,
        })
    }

    /// That it does not center, if it does not.
    fn finding(&self, named: bool) -> Option<String> {
        if self.centering.centers() {
            return None;
        }
        let of = if named {
            format!("{}: ", echo(&self.axis))
        } else {
            String::new()
        };
        let rests = self.centering.bands.iter().filter(|band| band.stable);
        let rests: Vec<String> = rests
            .map(|band| format!("{:.1} to {:.1} deg", band.lower / DEG, band.upper / DEG))
            .collect();
        Some(if rests.is_empty() {
            format!("{of}it does not center: let go it stays nowhere between its ends")
        } else {
            format!(
                "{of}it does not center: let go it stays at {}",
                rests.join(", ")
            )
        })
    }

    /// What the axis is called.
    #[must_use]
    pub fn axis(&self) -> &str {
        &self.axis
    }

    /// Force against travel at 101 angles, and twice at each jump.
    #[must_use]
    pub fn curve(&self) -> &ForceCurve {
        &self.curve
    }

    /// Force at the grip that pushes the control to its lower and to its upper end, friction included, N; negative
    /// where it goes there by itself and has to be held back.
    #[must_use]
    pub fn end_forces(&self) -> [f64; 2] {
        self.end_forces
    }

    /// Where it stays when it is let go, and what sets it in motion.
    #[must_use]
    pub fn centering(&self) -> &Centering {
        &self.centering
    }

    /// The centering error in counts of the axis by its gain at the center; none where it does not center, or where the
    /// axis cannot be evaluated.
    #[must_use]
    pub fn centering_counts(&self) -> Option<f64> {
        self.centering_counts
    }

    /// Stiffness where it rests without friction, N m/rad, above a jump if there is one; none where it has no such
    /// rest.
    #[must_use]
    pub fn stiffness(&self) -> Option<f64> {
        self.stiffness
    }

    /// How it swings when it is let go near its rest, without Coulomb friction; none of a control without mass or
    /// inertia, or one whose torque jumps there.
    #[must_use]
    pub fn response(&self) -> Option<&SecondOrderResponse> {
        self.response.as_ref()
    }

    /// Where it lies against published figures, if the file says what is operated.
    #[must_use]
    pub fn guidance(&self) -> &[GuidanceComparison] {
        &self.guidance
    }

    /// Force at the grip that sets it in motion upward and downward from its rest, N; none without such a rest.
    fn breakout(&self) -> Option<[f64; 2]> {
        Some([self.centering.breakout_up?, self.centering.breakout_down?])
    }
}

/// Force and friction of a row of a curve.
fn end(curve: &ForceCurve, row: usize) -> Option<(f64, f64)> {
    Some((*curve.force.get(row)?, *curve.friction.get(row)?))
}

impl fmt::Display for FeelAlong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [lower, upper] = self.end_forces;
        write!(
            f,
            "  feel: {lower:.1} N to the lower end, {upper:.1} N to the upper one"
        )?;
        if let Some([up, down]) = self.breakout() {
            write!(
                f,
                "; {up:.2} N sets it in motion upward, {down:.2} N downward"
            )?;
        }
        match (self.centering.error, self.centering_counts) {
            (Some(error), Some(counts)) => writeln!(
                f,
                "; comes back to within {:.2} deg, {counts:.1} counts",
                error / DEG
            ),
            (Some(error), None) => writeln!(f, "; comes back to within {:.2} deg", error / DEG),
            _ => writeln!(f),
        }
    }
}

impl FeelEvaluation {
    /// Springs and notes, a line each.
    pub(super) fn fmt_springs(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for spring in &self.springs {
            write!(f, "  spring {} ({})", echo(&spring.name), spring.kind)?;
            if let (Some([shortest, longest]), Some([least, most])) =
                (spring.lengths, spring.tensions)
            {
                write!(
                    f,
                    ": {:.1} to {:.1} mm long, tension {least:.1} to {most:.1} N",
                    shortest / MM,
                    longest / MM
                )?;
            }
            if let (Some([lower, upper]), Some([one, other])) = (spring.angles, spring.torques) {
                write!(
                    f,
                    ": {:.1} to {:.1} deg, {one:.3} to {other:.3} N m",
                    lower / DEG,
                    upper / DEG
                )?;
            }
            if let Some(safety) = spring.safety {
                write!(f, ", safety at rest {safety:.2}")?;
            }
            if let (Some(safety), Some(cycles)) = (spring.life_safety, spring.cycles) {
                write!(f, ", in fatigue {safety:.2} for {cycles} cycles")?;
            }
            writeln!(f)?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        Ok(())
    }
}
