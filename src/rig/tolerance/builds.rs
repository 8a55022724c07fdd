//! A control of a design file as what is built many times.

use crate::axis::{Buildable, DesignTable, ErrorBudgetSpec, EvaluatedAxis};
use crate::error::{Error, Result};
use crate::linkage::GimbalAxis;
use crate::rig::control::{NamedAxis, NamedStick};
use crate::rig::gate::{GATE_POINTS, corrected as behind, correction};
use crate::rig::target::{Answers, Mechanics, Target};
use crate::rig::tolerance::figures::is_of_budget;
use crate::units::DEG;

/// Angles of the figures: they do not depend on it but for sources of other crates.
pub(super) const POINTS: usize = 1001;

/// What is asked of every build of a control.
pub(super) struct Asked {
    pub(super) figures: Vec<Target>,
    pub(super) price: Option<f64>,
    pub(super) latency: Option<f64>,
    /// Which axis of its stick it is, if it is of one.
    pub(super) of_stick: Option<GimbalAxis>,
    /// The constants of the design itself, if it can be calibrated.
    pub(super) table: Option<DesignTable>,
}

impl Asked {
    /// Whether something of both axes of the stick together is needed: crosstalk that a target asks for, or that the
    /// error budget counts.
    pub(super) fn needs_stick(&self, named: &NamedAxis) -> bool {
        let counts = !named.asked_budget().crosstalk_given && self.needs_budget();
        let asks = self.figures.iter().any(|target| target.is_of_stick());
        self.of_stick.is_some() && (counts || asks)
    }

    pub(super) fn needs_budget(&self) -> bool {
        self.figures.iter().any(|target| is_of_budget(*target))
    }

    /// The figures of a build in their order, NaN where it has none.
    ///
    /// # Errors
    /// Why it cannot be.
    pub(super) fn figures_of(
        &self,
        named: &NamedAxis,
        stick: Option<&NamedStick>,
        values: &mut [f64],
    ) -> Result<()> {
        let axis = named.axis().map_err(Clone::clone)?;
        let evaluated = EvaluatedAxis::new(axis, POINTS)?;
        let both = match stick.filter(|_| self.needs_stick(named)) {
            Some(stick) => Some(stick.two_axis().map_err(Clone::clone)?),
            None => None,
        };
        let crosstalk = both.map(|both| both.crosstalk(GATE_POINTS)).transpose()?;
        let crosstalk = crosstalk.as_ref().zip(self.of_stick);
        let crosstalk = crosstalk.map(|(crosstalk, axis)| crosstalk.of(axis));
        let corrected = match both.filter(|_| self.figures.contains(&Target::Corrected)) {
            Some(both) => unless_absent(correction(both))?,
            None => None,
        };
        let corrected = corrected.as_ref().zip(self.of_stick);
        let corrected = corrected.map(|(correction, axis)| behind(correction, axis));
        let asked = named.asked_budget();
        let budget = if self.needs_budget() {
            let computed = crosstalk.filter(|_| !asked.crosstalk_given);
            let counts = computed.map_or(asked.spec.crosstalk, |one| one.worst.counts);
            let spec = ErrorBudgetSpec {
                crosstalk: counts,
                ..asked.spec.clone()
            };
            unless_absent(evaluated.error_budget(&spec))?
        } else {
            None
        };
        let answers = Answers {
            figures: evaluated.figures(),
            budget: budget.as_ref(),
            crosstalk,
            corrected,
            price: self.price,
            latency: self.latency,
            yielded: None,
            mechanics: Mechanics::default(),
        };
        for (target, value) in self.figures.iter().zip(values) {
            let figure = match target {
                Target::Nonlinearity if budget.is_none() => {
                    let own = unless_absent(evaluated.calibrated(asked.spec.calibration))?;
                    let error = own.map(|own| evaluated.error_by(&own)).transpose()?;
                    error.map(|error| error / DEG)
                }
                Target::Uncalibrated => {
                    let error = self.table.as_ref().map(|own| evaluated.error_by(own));
                    error.transpose()?.map(|error| error / DEG)
                }
                target => target.figure(&answers),
            };
            *value = figure.unwrap_or(f64::NAN);
        }
        Ok(())
    }
}

/// Nothing where a build only lacks something, such as a calibration where its reading stands still.
fn unless_absent<T>(made: Result<T>) -> Result<Option<T>> {
    match made {
        Ok(value) => Ok(Some(value)),
        Err(Error::Absent { .. } | Error::NotAscending { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

/// What is built of a control.
pub(super) type Built<'a> = Box<dyn Buildable + 'a>;
