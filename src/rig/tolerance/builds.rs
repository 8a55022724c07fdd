//! A control of a design file as what is built many times.

use crate::axis::{
    AxisCrosstalk, BuildFailure, Buildable, DesignTable, ErrorBudget, EvaluatedAxis, Unbuilt,
};
use crate::error::Result;
use crate::feel::LinePaths;
use crate::hall::Sensor;
use crate::rig::answers::{Answers, Mechanics, bend, uncalibrated, unless_refused};
use crate::rig::control::NamedAxis;
use crate::rig::evaluation::{ForceAlong, LinkageEvaluation, clearance_of, judged, line_paths};
use crate::rig::gate::{GATE_POINTS, corrected as behind, correction};
use crate::rig::target::{AnsweredBy, Target};
use crate::rig::tolerance::subject::Subject;

/// Angles of the figures: they do not depend on it but for sources of other crates.
pub(super) const POINTS: usize = 1001;

/// What is asked of every build of a control.
pub(super) struct Asked {
    pub(super) figures: Vec<Target>,
    pub(super) price: Option<f64>,
    pub(super) latency: Option<f64>,
    /// The constants of the design itself, if it can be calibrated.
    pub(super) table: Option<DesignTable>,
    /// The lengths of its springs over the travel, which most builds share with the design.
    pub(super) lines: Option<Box<LinePaths>>,
}

impl Asked {
    fn asks(&self, by: AnsweredBy) -> bool {
        self.figures.iter().any(|target| target.answered_by() == by)
    }

    /// Whether something is asked of springs, weights and friction.
    pub(super) fn asks_feel(&self) -> bool {
        self.asks(AnsweredBy::Feel) || self.asks(AnsweredBy::Springs)
    }

    /// With what the design's springs go through, if they are asked for and it has any.
    pub(super) fn with_lines(mut self, subject: Subject<'_>) -> Self {
        let feel = subject.feel().filter(|_| self.asks_feel());
        let control = feel.and_then(|named| named.control().ok());
        // What the design refuses, each build tells.
        self.lines = control.and_then(|control| line_paths(control).ok().map(Box::new));
        self
    }

    pub(super) fn asks_obstacles(&self) -> bool {
        self.asks(AnsweredBy::Obstacles)
    }

    /// Whether something of both axes of its stick together is needed: crosstalk that a target asks for, or that the
    /// error budget counts.
    pub(super) fn needs_both(&self, subject: Subject<'_>) -> bool {
        let Subject::OfStick(stick, axis) = subject else {
            return false;
        };
        let named = stick.axis(axis);
        let counts = !named.asked_budget().crosstalk_given && self.needs_budget(named);
        counts || self.asks(AnsweredBy::Crosstalk) || self.asks(AnsweredBy::Correction)
    }

    fn needs_budget(&self, named: &NamedAxis) -> bool {
        // What a load bends is no bend of its own, and the budget alone tells them apart.
        let loaded = named.axis().is_ok_and(|axis| match axis.sensor() {
            Sensor::Potentiometer(pot) => pot.spec().load.is_some(),
            _ => false,
        });
        self.asks(AnsweredBy::Budget) || loaded
    }

    /// The figures of a build in their order, NaN where it has none.
    ///
    /// # Errors
    /// Why it cannot be.
    pub(super) fn figures_of(
        &self,
        subject: Subject<'_>,
        values: &mut [f64],
    ) -> std::result::Result<(), Unbuilt> {
        let together = Together::of(self, subject)?;
        let axis = subject.axis();
        let of_axis = axis.map(|named| OfAxis::of(self, named, together.crosstalk()));
        let of_axis = of_axis.transpose()?;
        let answers = Answers {
            crosstalk: together.crosstalk(),
            corrected: together.corrected,
            price: self.price,
            latency: self.latency,
            mechanics: self.mechanics(subject)?,
            ..of_axis.as_ref().map(OfAxis::answers).unwrap_or_default()
        };
        for (target, value) in self.figures.iter().zip(values) {
            *value = target.figure(&answers).unwrap_or(f64::NAN);
        }
        Ok(())
    }

    /// What springs, feel, drive and obstacles answer, as far as it is asked.
    pub(super) fn mechanics(
        &self,
        subject: Subject<'_>,
    ) -> std::result::Result<Mechanics, Unbuilt> {
        let mut found = Mechanics::default();
        // A stick whose parts collide has neither feel nor clearance.
        if let Some(stick) = subject.stick()
            && (self.asks_feel() || self.asks_obstacles())
        {
            stick.two_axis().map_err(Clone::clone)?;
        }
        if let Some(named) = subject.feel().filter(|_| self.asks_feel()) {
            let control = named.control().map_err(Clone::clone)?;
            if self.asks(AnsweredBy::Feel) {
                let along = ForceAlong::along(control, subject.angle())?;
                found = found.along(along.end_forces, &along.centering);
            }
            let springs = judged(named, control, self.lines.as_deref())?;
            if let Some((_, told)) = springs.iter().find(|(spring, _)| spring.past_limit) {
                return Err(Unbuilt::Failed(BuildFailure {
                    reason: "spring past its limit".to_owned(),
                    text: told.join("; "),
                }));
            }
            found = found.on(springs.iter().map(|(spring, _)| spring));
        }
        if let Some(named) = subject.axis()
            && self.asks(AnsweredBy::Drive)
        {
            let axis = named.axis().map_err(Clone::clone)?;
            if let Some(linkage) = LinkageEvaluation::new(axis, named.foot_force())? {
                found = found.driven(&linkage);
            }
        }
        if let Some(stick) = subject.stick()
            && self.asks_obstacles()
        {
            found.clearance = clearance_of(stick)?.map(|clearance| clearance.distance);
        }
        Ok(found)
    }
}

/// What both axes of a stick do together, as far as it is asked of one of them.
struct Together {
    crosstalk: Option<AxisCrosstalk>,
    corrected: Option<f64>,
}

impl Together {
    fn of(asked: &Asked, subject: Subject<'_>) -> Result<Self> {
        let mut own = Self {
            crosstalk: None,
            corrected: None,
        };
        let Subject::OfStick(stick, axis) = subject else {
            return Ok(own);
        };
        if !asked.needs_both(subject) {
            return Ok(own);
        }
        let both = stick.two_axis().map_err(Clone::clone)?;
        own.crosstalk = Some(both.crosstalk_of(axis, GATE_POINTS)?);
        if asked.asks(AnsweredBy::Correction) {
            let correction = unless_refused(correction(both))?;
            own.corrected = correction.map(|correction| behind(&correction, axis));
        }
        Ok(own)
    }

    fn crosstalk(&self) -> Option<&AxisCrosstalk> {
        self.crosstalk.as_ref()
    }
}

/// What an axis answers by itself.
struct OfAxis {
    figures: crate::axis::AxisFigures,
    budget: Option<ErrorBudget>,
    bend: Option<f64>,
    uncalibrated: Option<f64>,
}

impl OfAxis {
    fn of(asked: &Asked, named: &NamedAxis, crosstalk: Option<&AxisCrosstalk>) -> Result<Self> {
        let axis = named.axis().map_err(Clone::clone)?;
        let evaluated = EvaluatedAxis::new(axis, POINTS)?;
        let spec = named.asked_budget().with_crosstalk(crosstalk);
        let budget = if asked.needs_budget(named) {
            unless_refused(evaluated.error_budget(&spec))?
        } else {
            None
        };
        let asks = |target| asked.figures.contains(&target);
        Ok(Self {
            bend: if asks(Target::Nonlinearity) {
                bend(&evaluated, spec.calibration, budget.as_ref())?
            } else {
                None
            },
            uncalibrated: if asks(Target::Uncalibrated) {
                uncalibrated(&evaluated, asked.table.as_ref())?
            } else {
                None
            },
            figures: evaluated.figures().clone(),
            budget,
        })
    }

    fn answers(&self) -> Answers<'_> {
        Answers {
            figures: Some(&self.figures),
            budget: self.budget.as_ref(),
            bend: self.bend,
            uncalibrated: self.uncalibrated,
            ..Answers::default()
        }
    }
}

/// What is built of a control.
pub(super) type Built<'a> = Box<dyn Buildable + 'a>;
