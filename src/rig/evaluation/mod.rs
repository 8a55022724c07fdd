//! The evaluated rig.

mod axis;
mod feel;
mod gate;
mod linkage;
mod magnets;
mod spring;
mod stick;

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use crate::axis::{Axis, Comparison, LatencyBudget, LatencyStage};
use crate::error::{Error, echo, printable};
use crate::linkage::GimbalAxis;
use crate::parallel;
use crate::rig::control::{NamedAxis, NamedFeel, NamedStick};
use crate::rig::cost::Cost;
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::evaluation::stick::StickOf;
use crate::rig::supply::Supply;
use crate::rig::target::Target;
use crate::rig::verdict::{Verdict, VerdictState};

use axis::OfRig;

pub use axis::AxisEvaluation;
pub use feel::{FeelAlong, FeelEvaluation};
pub(super) use feel::{ForceAlong, judged, line_paths};
pub(super) use gate::clearance_of;
pub use gate::{GateEvaluation, NamedObstacle};
pub use linkage::{JointSwivel, LinkageEvaluation, RodForce};
pub use magnets::{Handling, MagnetHandling, MagnetPull};
pub use spring::SpringEvaluation;
pub use stick::StickEvaluation;

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
    cost: Cost,
    supply: Option<Supply>,
    verdicts: Vec<Verdict>,
    notes: Vec<String>,
}

/// An axis, a stick, the feel of one or a spring that cannot be evaluated, and why.
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

/// A control of its own, to be evaluated beside the others.
#[derive(Clone, Copy)]
enum Task<'d> {
    Axis(&'d NamedAxis),
    Stick(&'d NamedStick),
}

/// What comes of one control.
struct Told<'d> {
    cost: &'d Cost,
    latencies: &'d Latencies<'d>,
    /// With the line of each and its row of the comparison.
    axes: Vec<(usize, AxisEvaluation, Option<Comparison>)>,
    sticks: Vec<StickEvaluation>,
    broken: Vec<BrokenControl>,
}

impl Told<'_> {
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

    /// What acts on a control, if it can be evaluated; else it is among the broken ones, and the rest goes on.
    fn feel(
        &mut self,
        named: Option<&NamedFeel>,
        of: &str,
        axes: &[&str],
    ) -> crate::Result<Option<FeelEvaluation>> {
        let Some(named) = named else { return Ok(None) };
        let made = FeelEvaluation::new(named, axes);
        self.note(&format!("feel of {of}"), named.line(), made)
    }

    fn axis(
        &mut self,
        named: &NamedAxis,
        stick: Option<&StickOf<'_>>,
        points: usize,
    ) -> crate::Result<()> {
        // Of an axis that cannot be put together one reason is enough.
        let acting = named.feel().filter(|_| named.axis().is_ok());
        let feel = self.feel(acting, named.name(), &[named.name()])?;
        let of_rig = OfRig {
            price: self.cost.of_control(named.name()),
            latency: self.latencies.budget(named.name())?,
        };
        let made = AxisEvaluation::new(named, stick, feel, of_rig, points);
        if let Some((axis, compared)) = self.note(named.name(), named.line(), made)? {
            self.axes.push((named.line(), axis, compared));
        }
        Ok(())
    }

    fn stick(&mut self, named: &NamedStick, points: usize) -> crate::Result<()> {
        let both = [GimbalAxis::Outer, GimbalAxis::Inner];
        // One whose axis cannot be put together has that axis among the broken ones.
        let whole = both.iter().all(|axis| named.axis(*axis).axis().is_ok());
        let mut stick = if whole {
            let names = both.map(|axis| named.axis(axis).name());
            let feel = self.feel(named.feel(), named.name(), &names)?;
            let made = StickEvaluation::new(named, feel);
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
            let before = self.axes.len();
            self.axis(named.axis(axis), Some(&of), points)?;
            let gain = self
                .axes
                .get(before)
                .map(|(_, axis, _)| axis.figures().gain_counts());
            if let (Some(stick), Some(gain)) = (&mut stick, gain) {
                stick.count(axis, gain);
            }
        }
        self.sticks.extend(stick);
        Ok(())
    }
}

impl Evaluation {
    /// # Errors
    /// What is not the fault of a control.
    fn new(design: &Design, points: usize) -> crate::Result<Self> {
        let cost = Cost::of(design);
        let latencies = Latencies::of(design)?;
        // What takes longest is begun first: sticks, then what turns farthest and so is read at most places.
        let sticks = design.sticks().iter().map(Task::Stick);
        let turns = |named: &NamedAxis| {
            let throw = named.axis().map(Axis::throw);
            throw.map_or(0.0, |[lower, upper]| upper - lower)
        };
        let mut axes: Vec<&NamedAxis> = design.axes().iter().collect();
        axes.sort_by(|one, other| turns(other).total_cmp(&turns(one)));
        let tasks: Vec<Task<'_>> = sticks.chain(axes.into_iter().map(Task::Axis)).collect();
        let all = parallel::map(&tasks, |task| {
            let mut told = Told {
                cost: &cost,
                latencies: &latencies,
                axes: Vec::new(),
                sticks: Vec::new(),
                broken: Vec::new(),
            };
            match *task {
                Task::Axis(named) => told.axis(named, None, points),
                Task::Stick(named) => told.stick(named, points),
            }
            .map(|()| told)
        })?;
        let (mut axes, mut sticks, mut broken) = (Vec::new(), Vec::new(), Vec::new());
        for told in all {
            let told = told?;
            axes.extend(told.axes);
            sticks.extend(told.sticks);
            broken.extend(told.broken);
        }
        for (name, line, error) in design.broken_springs() {
            broken.push(BrokenControl {
                name: format!("spring {name}"),
                line: *line,
                reason: error.to_string(),
            });
        }
        axes.sort_by_key(|(line, ..)| *line);
        broken.sort_by_key(|control| control.line);
        let supply = Supply::of(design);
        let (verdicts, notes) = of_rig(design, &cost, supply.as_ref());
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
            cost,
            supply,
            verdicts,
            notes,
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

    /// The bill of materials, and where the money goes.
    #[must_use]
    pub fn cost(&self) -> &Cost {
        &self.cost
    }

    /// The current that the rig draws; none if its file tells no current.
    #[must_use]
    pub fn supply(&self) -> Option<&Supply> {
        self.supply.as_ref()
    }

    /// The targets of the whole rig, each with a verdict; the limit of the supply is one.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// What a builder should know of the whole rig whatever the targets are.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// All verdicts, those of each axis and stick by its name, for a study that tells more; those of the rig last.
    pub(super) fn verdicts_mut(&mut self) -> impl Iterator<Item = (Option<&str>, &mut [Verdict])> {
        let of_axes = self.axes.iter_mut().map(AxisEvaluation::verdicts_mut);
        let of_sticks = self.sticks.iter_mut().map(StickEvaluation::verdicts_mut);
        let named = of_axes.chain(of_sticks);
        let named = named.map(|(name, verdicts)| (Some(name), verdicts));
        named.chain([(None, self.verdicts.as_mut_slice())])
    }

    /// Every verdict, those of the rig last.
    fn all_verdicts(&self) -> impl Iterator<Item = &Verdict> {
        let of_axes = self.axes.iter().flat_map(AxisEvaluation::verdicts);
        let of_sticks = self.sticks.iter().flat_map(StickEvaluation::verdicts);
        of_axes.chain(of_sticks).chain(&self.verdicts)
    }

    /// The worst of all verdicts; missed if a control cannot be evaluated, else met if there are no targets.
    #[must_use]
    pub fn state(&self) -> VerdictState {
        if !self.broken.is_empty() {
            return VerdictState::Missed;
        }
        let states = self.all_verdicts().map(Verdict::state);
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
            let verdicts = self.all_verdicts();
            verdicts.filter(|verdict| verdict.state() == state).count()
        };
        let (met, close, missed) = (
            count(VerdictState::Met),
            count(VerdictState::Close),
            count(VerdictState::Missed),
        );
        let not_studied = count(VerdictState::NotStudied);
        let total = met + close + missed + not_studied;
        writeln!(f, "{}", printable(&self.title))?;
        write!(
            f,
            "{met} of {total} targets met, {close} close, {missed} missed"
        )?;
        if not_studied > 0 {
            write!(f, ", {not_studied} not studied")?;
        }
        let of_axes = self.axes.iter().map(AxisEvaluation::count_of_notes);
        let of_sticks = self.sticks.iter().map(StickEvaluation::count_of_notes);
        let notes = of_axes.chain(of_sticks).sum::<usize>() + self.notes.len();
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
        if self.verdicts.is_empty() && self.supply.is_none() && !self.cost.is_told() {
            return Ok(());
        }
        writeln!(f, "\nthe whole rig:")?;
        for verdict in &self.verdicts {
            writeln!(f, "  {verdict}")?;
        }
        if self.cost.is_told() {
            let currency = self.currency.as_deref().unwrap_or_default();
            writeln!(
                f,
                "  costs {:.2} {}",
                self.cost.total(),
                printable(currency)
            )?;
        }
        if let Some(supply) = &self.supply {
            writeln!(f, "  draws {:.1} mA", 1e3 * supply.current())?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        Ok(())
    }
}

/// From hand to screen, by the names of the axes; those of controls that are alike are computed once, when one of them
/// is evaluated.
struct Latencies<'d> {
    /// Which of the budgets a control has.
    numbers: BTreeMap<&'d str, usize>,
    budgets: Vec<(Vec<LatencyStage>, OnceLock<crate::Result<LatencyBudget>>)>,
}

impl<'d> Latencies<'d> {
    fn of(design: &'d Design) -> crate::Result<Self> {
        let mut all = Self {
            numbers: BTreeMap::new(),
            budgets: Vec::new(),
        };
        let both = [GimbalAxis::Outer, GimbalAxis::Inner];
        let of_sticks = design.sticks().iter();
        let of_sticks = of_sticks.flat_map(|stick| both.map(|axis| stick.axis(axis)));
        for named in design.axes().iter().chain(of_sticks) {
            let stages = design.stages_of(named)?;
            if stages.is_empty() {
                continue;
            }
            let known = all.budgets.iter().position(|(known, _)| *known == stages);
            let number = known.unwrap_or(all.budgets.len());
            if known.is_none() {
                all.budgets.push((stages, OnceLock::new()));
            }
            all.numbers.insert(named.name(), number);
        }
        Ok(all)
    }

    /// None of a control without stages.
    fn budget(&self, name: &str) -> crate::Result<Option<LatencyBudget>> {
        let number = self.numbers.get(name);
        let Some((stages, budget)) = number.and_then(|number| self.budgets.get(*number)) else {
            return Ok(None);
        };
        let budget = budget.get_or_init(|| LatencyBudget::new(stages.clone()));
        budget.clone().map(Some)
    }
}

/// Verdicts on the whole rig, and what to say of it.
fn of_rig(design: &Design, cost: &Cost, supply: Option<&Supply>) -> (Vec<Verdict>, Vec<String>) {
    let current = supply.map(|supply| 1e3 * supply.current());
    let limit = design
        .supply_limit()
        .map(|limit| (Target::Current, 1e3 * limit));
    let targets = design.targets().iter().copied().chain(limit);
    let verdicts = targets.map(|(target, wanted)| {
        let got = match target {
            Target::Price => cost.is_told().then(|| cost.total()),
            Target::Current => current,
            _ => None,
        };
        Verdict::of(target, wanted, got)
    });
    let mut notes = Vec::new();
    if let (Some(current), Some((_, limit))) = (current, limit)
        && current > limit
    {
        notes.push(format!(
            "the parts draw {current:.1} mA, but the port may be asked for {limit:.1} mA only: it may switch off, or \
             be damaged"
        ));
    }
    let unpriced = cost.unpriced().count();
    if cost.is_told() && unpriced > 0 {
        let parts = counted(unpriced, "line", "lines");
        notes.push(format!(
            "{parts} of the bill of materials without a price: the rig costs more than is told"
        ));
    }
    (verdicts.collect(), notes)
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
