//! The evaluated rig.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::axis::{Axis, AxisFigures, Sweep, SwungLayout};
use crate::error::{Error, echo, printable};
use crate::rig::design::{Design, NamedAxis};
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::verdict::{Verdict, VerdictState, percent};
use crate::units::{DEG, MM};

/// An evaluated design: one serializable result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Evaluation {
    title: String,
    axes: Vec<AxisEvaluation>,
    broken: Vec<BrokenAxis>,
}

/// An axis that cannot be swept, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BrokenAxis {
    name: String,
    line: usize,
    #[serde(serialize_with = "as_text")]
    reason: Error,
}

fn as_text<S: Serializer>(error: &Error, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(error)
}

impl BrokenAxis {
    /// What the axis is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The line of the design file at which it begins.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// Why it cannot be swept.
    #[must_use]
    pub fn reason(&self) -> &Error {
        &self.reason
    }
}

impl fmt::Display for BrokenAxis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = echo(&self.name);
        writeln!(f, "{name} (line {}): cannot be evaluated", self.line)?;
        writeln!(f, "  {}", self.reason)
    }
}

/// One evaluated axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxisEvaluation {
    name: String,
    #[serde(skip)]
    layout: SwungLayout,
    #[serde(skip)]
    axis: Axis,
    sweep: Sweep,
    figures: AxisFigures,
    verdicts: Vec<Verdict>,
    notes: Vec<String>,
}

impl Design {
    /// Sweeps every axis at `points` angles and holds the figures against the targets. An axis that cannot be swept,
    /// such as one that collides, is among [`Evaluation::broken`] with the reason.
    ///
    /// # Errors
    /// [`DesignError`] with line 0 for what is not the file's fault: a wrong number of points, or an observer that asks
    /// to stop.
    pub fn evaluate(&self, points: usize) -> Result<Evaluation, DesignError> {
        Evaluation::new(self, points).map_err(|error| DesignError {
            file: self.file.clone(),
            line: 0,
            key: String::new(),
            problem: Box::new(Problem::Refused(error)),
            others: Vec::new(),
        })
    }
}

impl Evaluation {
    /// # Errors
    /// What is not the fault of an axis.
    fn new(design: &Design, points: usize) -> crate::Result<Self> {
        let (mut axes, mut broken) = (Vec::new(), Vec::new());
        for named in design.axes() {
            match AxisEvaluation::new(named, points) {
                Ok(axis) => axes.push(axis),
                Err(error @ (Error::Count { .. } | Error::Stopped)) => return Err(error),
                Err(reason) => broken.push(BrokenAxis {
                    name: named.name.clone(),
                    line: named.line,
                    reason,
                }),
            }
        }
        Ok(Self {
            title: design.title().to_owned(),
            axes,
            broken,
        })
    }

    /// What the design is called.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The axes that can be swept, in the order of the file.
    #[must_use]
    pub fn axes(&self) -> &[AxisEvaluation] {
        &self.axes
    }

    /// The axes that cannot, in the order of the file.
    #[must_use]
    pub fn broken(&self) -> &[BrokenAxis] {
        &self.broken
    }

    /// The worst of all verdicts; missed if an axis cannot be swept, else met if there are no targets.
    #[must_use]
    pub fn state(&self) -> VerdictState {
        if !self.broken.is_empty() {
            return VerdictState::Missed;
        }
        let states = self
            .axes
            .iter()
            .flat_map(|axis| &axis.verdicts)
            .map(Verdict::state);
        states.max().unwrap_or(VerdictState::Met)
    }

    /// The result as JSON; SI units throughout, except the verdicts, which carry theirs.
    ///
    /// # Errors
    /// [`Error::NotStored`] with what the serializer says; nothing is known that it would refuse.
    pub fn to_json(&self) -> crate::Result<String> {
        serde_json::to_string_pretty(self).map_err(|error| Error::NotStored {
            reason: error.to_string(),
        })
    }
}

impl fmt::Display for Evaluation {
    /// The verdict as a person reads it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = |state| {
            let verdicts = self.axes.iter().flat_map(|axis| &axis.verdicts);
            verdicts.filter(|verdict| verdict.state() == state).count()
        };
        let (met, close, missed) = (
            count(VerdictState::Met),
            count(VerdictState::Close),
            count(VerdictState::Missed),
        );
        let total = met + close + missed;
        writeln!(f, "{}", printable(&self.title))?;
        write!(
            f,
            "{met} of {total} targets met, {close} close, {missed} missed"
        )?;
        let notes: usize = self.axes.iter().map(|axis| axis.notes.len()).sum();
        if notes > 0 {
            write!(f, "; {}", counted(notes, "note", "notes"))?;
        }
        let broken = self.broken.len();
        if broken > 0 {
            let axes = counted(broken, "axis", "axes");
            write!(f, "; {axes} cannot be evaluated")?;
        }
        writeln!(f)?;
        for axis in &self.broken {
            write!(f, "\n{axis}")?;
        }
        for axis in &self.axes {
            write!(f, "\n{axis}")?;
        }
        Ok(())
    }
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

impl AxisEvaluation {
    fn new(named: &NamedAxis, points: usize) -> crate::Result<Self> {
        let sweep = named.axis.sweep(points)?;
        let figures = named.axis.figures(points)?;
        let verdict = |&(target, wanted)| Verdict::new(target, wanted, &figures);
        Ok(Self {
            name: named.name.clone(),
            layout: named.layout.clone(),
            axis: named.axis.clone(),
            verdicts: named.targets.iter().map(verdict).collect(),
            notes: notes(&named.axis, &figures),
            sweep,
            figures,
        })
    }

    /// What the axis is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How magnet and sensor stand.
    #[must_use]
    pub fn layout(&self) -> &SwungLayout {
        &self.layout
    }

    /// The axis itself.
    #[must_use]
    pub fn axis(&self) -> &Axis {
        &self.axis
    }

    /// Its curve.
    #[must_use]
    pub fn sweep(&self) -> &Sweep {
        &self.sweep
    }

    /// Its figures.
    #[must_use]
    pub fn figures(&self) -> &AxisFigures {
        &self.figures
    }

    /// Its targets, each with a verdict.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// What a builder should know whatever the targets are: clipping, a reading that turns back or stands still, an
    /// input driven too high.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }
}

impl fmt::Display for AxisEvaluation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let spec = self.layout.spec();
        let [lower, upper] = self.axis.throw();
        writeln!(
            f,
            "{}: arm {:.2} mm, gap {:.2} mm, throw {:.1} to {:.1} deg",
            echo(&self.name),
            spec.arm / MM,
            spec.gap / MM,
            lower / DEG,
            upper / DEG
        )?;
        for verdict in &self.verdicts {
            writeln!(f, "  {verdict}")?;
        }
        if self.verdicts.is_empty() {
            writeln!(f, "  no targets set")?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        Ok(())
    }
}

/// What the figures alone do not say.
fn notes(axis: &Axis, figures: &AxisFigures) -> Vec<String> {
    let mut notes = Vec::new();
    if figures.clipped_share() > 0.0 {
        notes.push(format!(
            "the reading is clipped over {} of the throw: moving the control changes nothing there",
            percent(figures.clipped_share())
        ));
    }
    let [_, highest] = axis.sensor().characteristic().limits;
    if let Some(converter) = &axis.spec().converter
        && highest > converter.reference()
    {
        notes.push(format!(
            "the sensor can drive its output to {highest:.2} V, above the converter's {:.2} V: counts stop there, and \
                an input that \
             is not rated for it may be destroyed",
            converter.reference()
        ));
    }
    if !figures.monotonic() {
        let [lower, upper] = figures.monotonic_range();
        notes.push(format!(
            "the reading turns back: it rises or falls steadily only from {:.2} to {:.2} deg, so beyond that one count \
                means two angles",
            lower / DEG,
            upper / DEG
        ));
    }
    if figures.linearity().is_none() {
        notes.push(
            "the output does not change over the throw: check the polarization and the sensitive direction"
                .to_owned(),
        );
    }
    notes
}
