//! Adjustable positions: what a control does at both ends of a slot.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::rig::cost::Cost;
use crate::rig::design::Design;
use crate::rig::design_error::{DesignError, Problem};
use crate::rig::target::Target;
use crate::rig::tolerance::study::controls;
use crate::rig::toleranced::KeySlot;

/// A control with a number at one end of its slot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlotEnd {
    /// Range used, %.
    pub range_used: Option<f64>,
    /// Independent linearity, % of span.
    pub linearity: Option<f64>,
    /// Why the control cannot be there, if so.
    pub failure: Option<String>,
}

/// What a slot does to one control that its number reaches.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlotEvaluation {
    /// The slot.
    pub slot: KeySlot,
    /// The control.
    pub control: String,
    /// At both of its ends.
    pub ends: [SlotEnd; 2],
}

impl Design {
    /// What each slot does to each control that its number reaches, at both of its ends.
    ///
    /// # Errors
    /// [`DesignError`] with line 0 if an observer asks to stop.
    pub fn evaluate_slots(&self) -> std::result::Result<Vec<SlotEvaluation>, DesignError> {
        let document = self.document()?;
        let refused = |error| DesignError::of_file(self.file().to_owned(), Problem::Refused(error));
        let cost = Cost::of(self);
        let mut all = Vec::new();
        for (start, number) in self.met() {
            let Some(slot) = &number.slot else { continue };
            for control in controls(self) {
                if !control.has(*start) {
                    continue;
                }
                let mut asked = control.asked(self, &cost).map_err(refused)?;
                asked.figures = vec![Target::RangeUsed, Target::Linearity];
                let anew = control.read_anew(self, &document, asked);
                let end = |value: f64| -> Result<SlotEnd> {
                    let mut values = [f64::NAN; 2];
                    let drawn = BTreeMap::from([(*start, value)]);
                    let built = anew.build(drawn, &mut values)?;
                    let [range_used, linearity] =
                        values.map(|value| Some(value).filter(|value| value.is_finite()));
                    Ok(match built {
                        Ok(()) => SlotEnd {
                            range_used,
                            linearity,
                            failure: None,
                        },
                        Err(failure) => SlotEnd {
                            range_used: None,
                            linearity: None,
                            failure: Some(failure.text),
                        },
                    })
                };
                let [low, high] = slot.ends.map(end);
                all.push(SlotEvaluation {
                    slot: slot.clone(),
                    control: control.subject.name().to_owned(),
                    ends: [low.map_err(refused)?, high.map_err(refused)?],
                });
            }
        }
        Ok(all)
    }
}
