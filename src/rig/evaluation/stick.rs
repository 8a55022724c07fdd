//! One evaluated stick.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{AxisCrosstalk, Correction, Crosstalk, TwoAxis};
use crate::error::{Error, echo};
use crate::linkage::GimbalAxis;
use crate::rig::answers::{Answers, Mechanics};
use crate::rig::control::NamedStick;
use crate::rig::evaluation::feel::{FeelAlong, FeelEvaluation};
use crate::rig::evaluation::gate::GateEvaluation;
use crate::rig::gate::{GATE_POINTS, corrected, correction};
use crate::rig::notes::working_flux;
use crate::rig::target::Target;
use crate::rig::verdict::Verdict;

/// One evaluated stick: what its two axes do to each other.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StickEvaluation {
    name: String,
    axes: [String; 2],
    two_axis: TwoAxis,
    clearance: [f64; 2],
    crosstalk: Crosstalk,
    correction: Option<Correction>,
    gate: GateEvaluation,
    feel: Option<FeelEvaluation>,
    verdicts: Vec<Verdict>,
    notes: Vec<String>,
}

impl StickEvaluation {
    pub(super) fn new(named: &NamedStick, feel: Option<FeelEvaluation>) -> crate::Result<Self> {
        let two_axis = named.two_axis().map_err(Clone::clone)?;
        let crosstalk = two_axis.crosstalk(GATE_POINTS)?;
        let mut notes = Vec::new();
        let correction = match correction(two_axis) {
            Ok(correction) => Some(correction),
            Err(Error::Stopped) => return Err(Error::Stopped),
            Err(error) => {
                notes.push(format!("no map corrects the readings: {error}"));
                None
            }
        };
        if let Some(clipped) = correction.as_ref().map(|c| c.clipped_share)
            && clipped > 0.0
        {
            notes.push(format!(
                "a reading is clipped over {:.1} % of the gate, where no map helps",
                100.0 * clipped
            ));
        }
        notes.extend(working_fields(named, two_axis)?);
        let gate = GateEvaluation::new(named)?;
        notes.extend(gate.finding());
        let clearance = gate.clearance().map(|clearance| clearance.distance);
        let springs = feel.iter().flat_map(FeelEvaluation::springs);
        let mechanics = Mechanics {
            clearance,
            ..Mechanics::default().on(springs)
        };
        let answers = Answers {
            mechanics,
            ..Answers::default()
        };
        let verdict = |&(target, wanted): &(Target, f64)| Verdict::new(target, wanted, &answers);
        let verdicts = named.targets().iter().map(verdict).collect();
        let name = |axis| named.axis(axis).name().to_owned();
        Ok(Self {
            name: named.name().to_owned(),
            axes: [name(GimbalAxis::Outer), name(GimbalAxis::Inner)],
            two_axis: two_axis.clone(),
            clearance: two_axis.clearance()?,
            crosstalk,
            correction,
            gate,
            feel,
            verdicts,
            notes,
        })
    }

    /// What the stick is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What its outer and its inner axis are called.
    #[must_use]
    pub fn axes(&self) -> [&str; 2] {
        self.axes.each_ref().map(String::as_str)
    }

    /// Both sensors among all magnets, each axis at the temperature that the file gives.
    #[must_use]
    pub fn two_axis(&self) -> &TwoAxis {
        &self.two_axis
    }

    /// Least distance of either sensor's face from any magnet over the gate, the outer one first, m.
    #[must_use]
    pub fn clearance(&self) -> [f64; 2] {
        self.clearance
    }

    /// What each axis does to the reading of the other.
    #[must_use]
    pub fn crosstalk(&self) -> &Crosstalk {
        &self.crosstalk
    }

    /// The bilinear map of both readings to both angles, and what it leaves; none where the readings do not tell the
    /// angles apart, as [`StickEvaluation::notes`] then says.
    #[must_use]
    pub fn correction(&self) -> Option<&Correction> {
        self.correction.as_ref()
    }

    /// Where it may be, how far its grip goes, and what it comes near to.
    #[must_use]
    pub fn gate(&self) -> &GateEvaluation {
        &self.gate
    }

    /// What the hand feels along both axes; none where the file does not say what acts on it.
    #[must_use]
    pub fn feel(&self) -> Option<&FeelEvaluation> {
        self.feel.as_ref()
    }

    /// Tells an axis of its feel by how many counts it may rest off the center.
    pub(super) fn count(&mut self, axis: GimbalAxis, counts_per_radian: f64) {
        if let Some(feel) = &mut self.feel {
            feel.count(place(axis), counts_per_radian);
        }
    }

    pub(super) fn verdicts_mut(&mut self) -> (&str, &mut [Verdict]) {
        (&self.name, &mut self.verdicts)
    }

    /// What is asked of it as a whole, each with a verdict; what is asked of its axes they have themselves.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// What a builder should know whatever the targets are.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// How much there is to read beside the targets: its notes and those of its feel.
    pub(super) fn count_of_notes(&self) -> usize {
        self.notes.len() + self.feel.as_ref().map_or(0, |feel| feel.notes().len())
    }
}

impl fmt::Display for StickEvaluation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [outer, inner] = self.axes().map(echo);
        let (of_outer, of_inner) = (&self.crosstalk.outer, &self.crosstalk.inner);
        writeln!(f, "{}: {outer} and {inner} together", echo(&self.name))?;
        for (axis, other, crosstalk) in [(&outer, &inner, of_outer), (&inner, &outer, of_inner)] {
            let share = crosstalk.worst.of_span.map_or_else(String::new, |share| {
                format!(", {:.2} % of its span", 100.0 * share)
            });
            writeln!(
                f,
                "  {axis} changes by {:.1} counts{share} when {other} goes over its travel",
                crosstalk.worst.counts
            )?;
        }
        for verdict in &self.verdicts {
            writeln!(f, "  {verdict}")?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        write!(f, "{}", self.gate)?;
        if let Some(feel) = &self.feel {
            for along in feel.along() {
                write!(f, "  {}\n{along}", echo(along.axis()))?;
            }
            feel.fmt_springs(f)?;
        }
        Ok(())
    }
}

/// Of each angle sensor that sees less or more than it works in, somewhere in the gate. At zero of the other axis its
/// own axis tells.
fn working_fields(named: &NamedStick, two_axis: &TwoAxis) -> crate::Result<Vec<String>> {
    let ranges = two_axis.field_ranges()?;
    let axes = [GimbalAxis::Outer, GimbalAxis::Inner].into_iter();
    let told = axes.zip(ranges).filter_map(|(axis, range)| {
        let sensor = &two_axis.spec().sensor(axis).sensor;
        let note = working_flux(sensor, range, "gate")?;
        Some(format!("{}: {note}", echo(named.axis(axis).name())))
    });
    Ok(told.collect())
}

/// The place of an axis among both.
fn place(axis: GimbalAxis) -> usize {
    match axis {
        GimbalAxis::Outer => 0,
        GimbalAxis::Inner => 1,
    }
}

/// The stick of an axis.
pub(super) struct StickOf<'a> {
    pub(super) name: &'a str,
    pub(super) axis: GimbalAxis,
    pub(super) evaluated: Option<&'a StickEvaluation>,
}

impl StickOf<'_> {
    pub(super) fn crosstalk(&self) -> Option<&AxisCrosstalk> {
        Some(self.evaluated?.crosstalk.of(self.axis))
    }

    /// The feel along this axis.
    pub(super) fn feel(&self) -> Option<&FeelAlong> {
        self.evaluated?.feel.as_ref()?.along().get(place(self.axis))
    }

    pub(super) fn corrected(&self) -> Option<f64> {
        Some(corrected(self.evaluated?.correction.as_ref()?, self.axis))
    }
}
