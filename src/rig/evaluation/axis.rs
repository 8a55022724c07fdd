//! One evaluated axis.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::axis::{
    AnyArrangement, Axis, AxisFigures, Compared, Comparison, ErrorBudget, EvaluatedAxis,
    LatencyBudget, Sweep,
};
use crate::error::{Error, echo};
use crate::rig::answers::{Answers, Mechanics, bend, uncalibrated};
use crate::rig::control::NamedAxis;
use crate::rig::evaluation::feel::{FeelAlong, FeelEvaluation};
use crate::rig::evaluation::linkage::LinkageEvaluation;
use crate::rig::evaluation::stick::StickOf;
use crate::rig::notes::{measures, notes};
use crate::rig::target::Target;
use crate::rig::verdict::Verdict;
use crate::units::{DEG, MS};

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
    linkage: Option<LinkageEvaluation>,
    feel: Option<FeelEvaluation>,
    latency: Option<LatencyBudget>,
    verdicts: Vec<Verdict>,
    notes: Vec<String>,
}

/// What a control has of the rig as a whole.
pub(super) struct OfRig {
    pub(super) price: Option<f64>,
    pub(super) latency: Option<LatencyBudget>,
}

impl AxisEvaluation {
    /// With its row of the comparison, if it has one.
    pub(super) fn new(
        named: &NamedAxis,
        stick: Option<&StickOf<'_>>,
        mut feel: Option<FeelEvaluation>,
        of_rig: OfRig,
        points: usize,
    ) -> crate::Result<(Self, Option<Comparison>)> {
        let axis = named.axis().map_err(Clone::clone)?;
        let evaluated = EvaluatedAxis::new(axis, points)?;
        let sweep = evaluated.sweep(points)?;
        let figures = evaluated.figures().clone();
        let crosstalk = stick.and_then(StickOf::crosstalk);
        let asked = named.asked_budget();
        let spec = asked.with_crosstalk(crosstalk);
        let compared = Compared {
            name: named.name(),
            price: of_rig.price,
            crosstalk: (crosstalk.is_some() || asked.crosstalk_given).then_some(spec.crosstalk),
        };
        if let Some(feel) = &mut feel {
            feel.count(0, figures.gain_counts());
        }
        let linkage = LinkageEvaluation::new(axis, named.foot_force())?;
        let along = match stick {
            Some(stick) => stick.feel(),
            None => feel.as_ref().and_then(|feel| feel.along().first()),
        };
        let mut notes = notes(axis, named.arrangement(), &figures);
        let compared = match Comparison::of_one(&compared, &evaluated, &spec) {
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
        let asks = |target| named.targets().iter().any(|(asked, _)| *asked == target);
        let method = spec.calibration;
        let answers = Answers {
            figures: Some(&figures),
            budget: error_budget.as_ref(),
            crosstalk,
            corrected: stick.and_then(StickOf::corrected),
            bend: if asks(Target::Nonlinearity) {
                bend(&evaluated, method, error_budget.as_ref())?
            } else {
                None
            },
            uncalibrated: if asks(Target::Uncalibrated) {
                uncalibrated(&evaluated, evaluated.calibrated(method).ok().as_ref())?
            } else {
                None
            },
            mechanics: mechanics(along, feel.as_ref(), linkage.as_ref()),
            price: of_rig.price,
            latency: of_rig
                .latency
                .as_ref()
                .map(|budget| budget.percentiles()[2]),
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
            linkage,
            feel,
            price: of_rig.price,
            latency: of_rig.latency,
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

    /// What goes to it of the cost of the rig, if anything that it uses has a price.
    #[must_use]
    pub fn price(&self) -> Option<f64> {
        self.price
    }

    /// What its drive does; none of an axis whose control sits on the pivot with the sensor.
    #[must_use]
    pub fn linkage(&self) -> Option<&LinkageEvaluation> {
        self.linkage.as_ref()
    }

    /// What hand or foot feels; none where the file does not say what acts on it. Of an axis of a stick the stick has
    /// it.
    #[must_use]
    pub fn feel(&self) -> Option<&FeelEvaluation> {
        self.feel.as_ref()
    }

    /// How slow it is, from hand to screen: the stages that follow from its own chain, then those that all controls
    /// share. None of a file without stages.
    #[must_use]
    pub fn latency(&self) -> Option<&LatencyBudget> {
        self.latency.as_ref()
    }

    pub(super) fn verdicts_mut(&mut self) -> (&str, &mut [Verdict]) {
        (&self.name, &mut self.verdicts)
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

/// What targets of mechanics are held against: the feel along the axis, all of its feel, its drive.
fn mechanics(
    along: Option<&FeelAlong>,
    feel: Option<&FeelEvaluation>,
    linkage: Option<&LinkageEvaluation>,
) -> Mechanics {
    let mut found = Mechanics::default();
    if let Some(along) = along {
        found = found.along(along.end_forces(), along.centering());
    }
    if let Some(feel) = feel {
        found = found.on(feel.springs().iter());
    }
    linkage.map_or(found, |linkage| found.driven(linkage))
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
        if let Some(latency) = &self.latency {
            let [p5, p50, p95] = latency.percentiles().map(|time| time / MS);
            writeln!(
                f,
                "  from hand to screen {:.1} ms on the average; 5 % within {p5:.1}, half within {p50:.1}, 95 % within \
                 {p95:.1} ms",
                latency.mean() / MS
            )?;
        }
        for note in &self.notes {
            writeln!(f, "  note: {note}")?;
        }
        if let Some(linkage) = &self.linkage {
            write!(f, "{linkage}")?;
        }
        if let Some(feel) = &self.feel {
            for along in feel.along() {
                write!(f, "{along}")?;
            }
            feel.fmt_springs(f)?;
        }
        Ok(())
    }
}

impl AxisEvaluation {
    /// How much there is to read beside the targets: its notes, and those of its drive and its feel.
    pub(super) fn count_of_notes(&self) -> usize {
        let linkage = self
            .linkage
            .as_ref()
            .map_or(0, |linkage| linkage.notes().len());
        let feel = self.feel.as_ref().map_or(0, |feel| feel.notes().len());
        self.notes.len() + linkage + feel
    }
}
