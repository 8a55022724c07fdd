//! The evaluated rig.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{
    AnyArrangement, Axis, AxisCrosstalk, AxisFigures, ComparedAxis, Comparison, Correction,
    CorrectionTerms, Crosstalk, ErrorBudget, ErrorBudgetSpec, Sweep, TwoAxis, compare,
};
use crate::error::{Error, echo, printable};
use crate::linkage::GimbalAxis;
use crate::rig::control::{NamedAxis, NamedStick};
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::notes::{measures, notes};
use crate::rig::target::Answers;
use crate::rig::verdict::{Verdict, VerdictState};
use crate::units::DEG;

/// Positions along each axis of a gate at which crosstalk and correction are looked at. Between them extremes are
/// followed.
const GATE_POINTS: usize = 21;

/// An evaluated design: one serializable result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evaluation {
    title: String,
    currency: Option<String>,
    axes: Vec<AxisEvaluation>,
    sticks: Vec<StickEvaluation>,
    broken: Vec<BrokenControl>,
    comparison: Option<Comparison>,
}

/// An axis or a stick that cannot be evaluated, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BrokenControl {
    name: String,
    line: usize,
    reason: String,
}

impl BrokenControl {
    /// What the axis or the stick is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The line of the design file at which it begins.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// Why it cannot be evaluated.
    #[must_use]
    pub fn reason(&self) -> &str {
        &self.reason
    }
}

impl fmt::Display for BrokenControl {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = echo(&self.name);
        writeln!(f, "{name} (line {}): cannot be evaluated", self.line)?;
        writeln!(f, "  {}", printable(&self.reason))
    }
}

/// One evaluated axis.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxisEvaluation {
    name: String,
    stick: Option<String>,
    arrangement: Option<AnyArrangement>,
    axis: Axis,
    sweep: Sweep,
    figures: AxisFigures,
    error_budget: Option<ErrorBudget>,
    price: Option<f64>,
    verdicts: Vec<Verdict>,
    notes: Vec<String>,
}

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
    notes: Vec<String>,
}

impl Design {
    /// Sweeps every axis at `points` angles and holds the figures against the targets. An axis or a stick that cannot
    /// be evaluated, such as one that collides, is among [`Evaluation::broken`] with the reason.
    ///
    /// # Errors
    /// [`DesignError`] with line 0 for what is not the file's fault: a wrong number of points, or an observer that asks
    /// to stop.
    pub fn evaluate(&self, points: usize) -> Result<Evaluation, DesignError> {
        Evaluation::new(self, points)
            .map_err(|error| DesignError::of_file(self.file().to_owned(), Problem::Refused(error)))
    }
}

/// What an evaluation has come to so far.
#[derive(Default)]
struct SoFar {
    /// With the line of each and its row of the comparison.
    axes: Vec<(usize, AxisEvaluation, Option<Comparison>)>,
    sticks: Vec<StickEvaluation>,
    broken: Vec<BrokenControl>,
}

impl SoFar {
    /// The value, or nothing where its control is broken.
    ///
    /// # Errors
    /// What is not the fault of a control.
    fn note<T>(
        &mut self,
        name: &str,
        line: usize,
        made: crate::Result<T>,
    ) -> crate::Result<Option<T>> {
        match made {
            Ok(value) => Ok(Some(value)),
            Err(error @ (Error::Count { .. } | Error::Stopped)) => Err(error),
            Err(error) => {
                self.broken.push(BrokenControl {
                    name: name.to_owned(),
                    line,
                    reason: error.to_string(),
                });
                Ok(None)
            }
        }
    }

    fn axis(
        &mut self,
        named: &NamedAxis,
        stick: Option<&StickOf<'_>>,
        points: usize,
    ) -> crate::Result<()> {
        let made = AxisEvaluation::new(named, stick, points);
        if let Some((axis, compared)) = self.note(named.name(), named.line(), made)? {
            self.axes.push((named.line(), axis, compared));
        }
        Ok(())
    }

    fn stick(&mut self, named: &NamedStick, points: usize) -> crate::Result<()> {
        let both = [GimbalAxis::Outer, GimbalAxis::Inner];
        // One whose axis cannot be put together has that axis among the broken ones.
        let whole = both.iter().all(|axis| named.axis(*axis).axis().is_ok());
        let stick = if whole {
            let made = StickEvaluation::new(named);
            self.note(named.name(), named.line(), made)?
        } else {
            None
        };
        for axis in both {
            let of = StickOf {
                name: named.name(),
                axis,
                evaluated: stick.as_ref(),
            };
            self.axis(named.axis(axis), Some(&of), points)?;
        }
        self.sticks.extend(stick);
        Ok(())
    }
}

/// The stick of an axis.
struct StickOf<'a> {
    name: &'a str,
    axis: GimbalAxis,
    evaluated: Option<&'a StickEvaluation>,
}

impl StickOf<'_> {
    fn crosstalk(&self) -> Option<&AxisCrosstalk> {
        Some(self.evaluated?.crosstalk.of(self.axis))
    }

    fn corrected(&self) -> Option<f64> {
        let worst = self.evaluated?.correction.as_ref()?.after.worst;
        Some(match self.axis {
            GimbalAxis::Outer => worst[0],
            GimbalAxis::Inner => worst[1],
        })
    }
}

impl Evaluation {
    /// # Errors
    /// What is not the fault of a control.
    fn new(design: &Design, points: usize) -> crate::Result<Self> {
        let mut so_far = SoFar::default();
        for named in design.axes() {
            so_far.axis(named, None, points)?;
        }
        for named in design.sticks() {
            so_far.stick(named, points)?;
        }
        let SoFar {
            mut axes,
            sticks,
            mut broken,
        } = so_far;
        axes.sort_by_key(|(line, ..)| *line);
        broken.sort_by_key(|control| control.line);
        let tables: Vec<Comparison> = axes
            .iter_mut()
            .filter_map(|(_, _, compared)| compared.take())
            .collect();
        Ok(Self {
            title: design.title().to_owned(),
            currency: design.currency().map(ToOwned::to_owned),
            axes: axes.into_iter().map(|(_, axis, _)| axis).collect(),
            sticks,
            broken,
            // None of no controls, or of more than a table has room for.
            comparison: Comparison::joined(tables).ok(),
        })
    }

    /// What the design is called.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What prices are in, if the file says so.
    #[must_use]
    pub fn currency(&self) -> Option<&str> {
        self.currency.as_deref()
    }

    /// The axes that can be evaluated, those of sticks too, in the order of the file.
    #[must_use]
    pub fn axes(&self) -> &[AxisEvaluation] {
        &self.axes
    }

    /// The sticks that can be evaluated, in the order of the file.
    #[must_use]
    pub fn sticks(&self) -> &[StickEvaluation] {
        &self.sticks
    }

    /// The axes and sticks that cannot, in the order of the file.
    #[must_use]
    pub fn broken(&self) -> &[BrokenControl] {
        &self.broken
    }

    /// All axes that have an error budget, or no reading to have one of, in one table: each with the error budget that
    /// it is asked for. None if there are none, or more than 64.
    #[must_use]
    pub fn comparison(&self) -> Option<&Comparison> {
        self.comparison.as_ref()
    }

    /// The worst of all verdicts; missed if a control cannot be evaluated, else met if there are no targets.
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

    /// The result as JSON; SI units throughout, except the verdicts, which carry theirs. It is read back (serde).
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
        let of_axes = self.axes.iter().map(|axis| axis.notes.len());
        let of_sticks = self.sticks.iter().map(|stick| stick.notes.len());
        let notes: usize = of_axes.chain(of_sticks).sum();
        if notes > 0 {
            write!(f, "; {}", counted(notes, "note", "notes"))?;
        }
        let broken = self.broken.len();
        if broken > 0 {
            let controls = counted(broken, "control", "controls");
            write!(f, "; {controls} cannot be evaluated")?;
        }
        writeln!(f)?;
        for control in &self.broken {
            write!(f, "\n{control}")?;
        }
        for axis in &self.axes {
            write!(f, "\n{axis}")?;
        }
        for stick in &self.sticks {
            write!(f, "\n{stick}")?;
        }
        Ok(())
    }
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

impl AxisEvaluation {
    /// With its row of the comparison, if it has one.
    fn new(
        named: &NamedAxis,
        stick: Option<&StickOf<'_>>,
        points: usize,
    ) -> crate::Result<(Self, Option<Comparison>)> {
        let axis = named.axis().map_err(Clone::clone)?;
        let sweep = axis.sweep(points)?;
        let figures = axis.figures(points)?;
        let crosstalk = stick.and_then(StickOf::crosstalk);
        let asked = named.asked_budget();
        let computed = crosstalk.filter(|_| !asked.crosstalk_given);
        let spec = ErrorBudgetSpec {
            crosstalk: computed.map_or(asked.spec.crosstalk, |crosstalk| crosstalk.worst.counts),
            ..asked.spec.clone()
        };
        let compared = ComparedAxis {
            price: named.price(),
            crosstalk: (computed.is_some() || asked.crosstalk_given).then_some(spec.crosstalk),
            ..ComparedAxis::new(named.name(), axis.clone())
        };
        let mut notes = notes(axis, named.arrangement(), &figures);
        let compared = match compare(&[compared], &spec) {
            Ok(table) => Some(table),
            Err(Error::Stopped) => return Err(Error::Stopped),
            // What is asked of the budget cannot be; the axis itself can.
            Err(error) => {
                notes.push(format!("the errors cannot be added up: {error}"));
                None
            }
        };
        let error_budget = compared
            .as_ref()
            .and_then(|table| table.controls().first()?.budget.clone());
        let answers = Answers {
            figures: &figures,
            budget: error_budget.as_ref(),
            crosstalk,
            corrected: stick.and_then(StickOf::corrected),
            price: named.price(),
        };
        let verdict = |&(target, wanted)| Verdict::new(target, wanted, &answers);
        let verdicts = named.targets().iter().map(verdict).collect();
        let evaluation = Self {
            name: named.name().to_owned(),
            stick: stick.map(|stick| stick.name.to_owned()),
            arrangement: named.arrangement().cloned(),
            axis: axis.clone(),
            verdicts,
            notes,
            sweep,
            figures,
            error_budget,
            price: named.price(),
        };
        Ok((evaluation, compared))
    }

    /// What the axis is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What the stick is called that it is an axis of; none of an axis by itself.
    #[must_use]
    pub fn stick(&self) -> Option<&str> {
        self.stick.as_deref()
    }

    /// How magnet and sensor stand; none with a potentiometer on the shaft.
    #[must_use]
    pub fn arrangement(&self) -> Option<&AnyArrangement> {
        self.arrangement.as_ref()
    }

    /// The axis itself; of a stick as if the other axis stood at zero and had no magnet.
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

    /// What the errors of the position told add up to; none where the reading turns back or stands still, or where
    /// [`AxisEvaluation::notes`] says why.
    #[must_use]
    pub fn error_budget(&self) -> Option<&ErrorBudget> {
        self.error_budget.as_ref()
    }

    /// What its parts cost, if the file says so.
    #[must_use]
    pub fn price(&self) -> Option<f64> {
        self.price
    }

    /// Its targets, each with a verdict.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// What a builder should know whatever the targets are: clipping, a reading that turns back or stands still, an
    /// input driven too high, parts that touch, a linkage at its end, a field that the sensor does not work in.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }
}

impl fmt::Display for AxisEvaluation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [lower, upper] = self.axis.throw();
        writeln!(
            f,
            "{}: {}, throw {:.1} to {:.1} deg",
            echo(&self.name),
            measures(self.arrangement.as_ref(), &self.axis),
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

impl StickEvaluation {
    fn new(named: &NamedStick) -> crate::Result<Self> {
        let two_axis = named.two_axis().map_err(Clone::clone)?;
        let crosstalk = two_axis.crosstalk(GATE_POINTS)?;
        let mut notes = Vec::new();
        let correction = match two_axis.correction(CorrectionTerms::Bilinear, GATE_POINTS) {
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
        let name = |axis| named.axis(axis).name().to_owned();
        Ok(Self {
            name: named.name().to_owned(),
            axes: [name(GimbalAxis::Outer), name(GimbalAxis::Inner)],
            two_axis: two_axis.clone(),
            clearance: two_axis.clearance()?,
            crosstalk,
            correction,
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

    /// Both sensors among all magnets, at the temperature at which everything is given.
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

    /// What a builder should know whatever the targets are.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
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
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        Ok(())
    }
}
