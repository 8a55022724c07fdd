//! What varies in a design file, and what of it reaches one control.

use std::collections::BTreeMap;

use crate::axis::{BuildFailure, Tolerance, TolerancedAs};
use crate::error::Result;
use crate::names;
use crate::rig::design::Design;
use crate::rig::numbers::{MetNumber, Reached};

/// A tolerance of the file, with the numbers that it moves by where they begin in the text.
pub(super) struct Varied {
    pub(super) tolerance: Tolerance,
    moves: Vec<usize>,
}

impl Varied {
    /// All of a design: those of numbers in the order of the file, then the common causes.
    pub(super) fn all(design: &Design) -> Result<Vec<Self>> {
        let own = design.met().iter().filter_map(|(start, number)| {
            let tolerance = number.tolerance.as_ref()?;
            let distribution = tolerance.distribution().clone();
            let varied = Tolerance::of(&number.name, distribution, TolerancedAs::Value);
            Some(varied.map(|tolerance| Self {
                tolerance,
                moves: vec![*start],
            }))
        });
        let causes = design.causes().iter().map(|cause| {
            let effects = cause
                .moves()
                .iter()
                .map(|input| (input, 1.0, TolerancedAs::Share));
            let distribution = cause.distribution().clone();
            Ok(Self {
                tolerance: Tolerance::common(cause.name(), distribution, effects)?,
                moves: cause.starts().to_vec(),
            })
        });
        own.chain(causes).collect()
    }

    /// What of it reaches a control, if anything does.
    pub(super) fn reaching(&self, reached: &Reached) -> Result<Option<Tolerance>> {
        let spec = self.tolerance.spec();
        let effects = spec.effects.iter().zip(&self.moves);
        let effects = effects.filter(|(_, start)| reached.numbers.contains(start));
        let effects: Vec<_> = effects.map(|(effect, _)| effect.clone()).collect();
        if effects.is_empty() {
            return Ok(None);
        }
        Tolerance::new(crate::axis::ToleranceSpec {
            effects,
            ..spec.clone()
        })
        .map(Some)
    }
}

/// The numbers that reach one control.
#[derive(Clone, Copy)]
pub(super) struct Inputs<'a, 'r> {
    pub(super) met: &'a BTreeMap<usize, MetNumber>,
    pub(super) reached: &'r Reached,
}

impl<'a> Inputs<'a, '_> {
    /// A number by its name, and where it begins in the text.
    ///
    /// # Errors
    /// If no number of that name reaches the control.
    pub(super) fn number(&self, name: &str) -> Result<(usize, &'a MetNumber)> {
        let known = self.met.iter().map(|(start, number)| (*start, number));
        let known: Vec<(usize, &MetNumber)> = known
            .filter(|(start, _)| self.reached.numbers.contains(start))
            .collect();
        let found = names::find("number of the design file", name, &known, |(_, number)| {
            &number.name
        })?;
        Ok(*found)
    }
}

/// Why a build cannot be in which a number has this value, in the unit of its key, if so: the key may not hold it.
pub(super) fn beyond(number: &MetNumber, value: f64) -> Option<BuildFailure> {
    let key = &number.key;
    (!key.holds(value)).then(|| {
        let (name, allowed) = (&number.name, key.allowed_text());
        BuildFailure {
            reason: format!("{name} out of range"),
            text: format!("{name} = {value}: not allowed; give {allowed}"),
        }
    })
}
