//! An evaluation with the yields that a study of builds found.

use crate::error::{Error, Result};
use crate::rig::evaluation::Evaluation;
use crate::rig::target::Target;
use crate::rig::tolerance::result::{ControlYield, RigYield};
use crate::rig::verdict::Verdict;

impl Evaluation {
    /// The same with a verdict on every yield that is asked for, which an evaluation of the design alone cannot tell.
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for a study of another design.
    pub fn with_yields(&self, yields: &RigYield) -> Result<Self> {
        if yields.title() != self.title() {
            return Err(Error::NotAChoice {
                quantity: "study of builds",
                given: yields.title().to_owned(),
                choices: "one of the design that was evaluated".to_owned(),
            });
        }
        let mut told = self.clone();
        for (control, verdicts) in told.verdicts_mut() {
            let share = match control {
                Some(name) => yields.control(name).map(ControlYield::share),
                None => Some(yields.share()),
            };
            answer(verdicts, share);
        }
        Ok(told)
    }
}

fn answer(verdicts: &mut [Verdict], share: Option<f64>) {
    for verdict in verdicts {
        if verdict.target() == Target::Yield && share.is_some() {
            *verdict = Verdict::of(
                Target::Yield,
                verdict.wanted(),
                share.map(|share| 100.0 * share),
            );
        }
    }
}
