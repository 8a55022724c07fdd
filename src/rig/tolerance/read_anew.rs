//! The general way to build a control: other numbers in the file, read and evaluated as the design itself is.

use std::collections::BTreeMap;

use crate::axis::{BuildFailure, Buildable, Builds, FigureName, PreparedDesign, Unbuilt};
use crate::error::{Error, Result};
use crate::linkage::GimbalAxis;
use crate::observer;
use crate::rig::control::{NamedAxis, NamedStick, Place, read_axis, read_stick};
use crate::rig::design_error::{DesignError, Mistakes, Problem};
use crate::rig::document::Document;
use crate::rig::keys::{AXIS, STICK};
use crate::rig::numbers::{MetNumber, Numbers, Reached};
use crate::rig::parts::Parts;
use crate::rig::tolerance::builds::Asked;
use crate::rig::tolerance::figures::figure_name;
use crate::rig::tolerance::inputs::{Inputs, beyond};
use crate::rig::tolerance::subject::Subject;

/// Builds between two looks at the request to stop.
const BETWEEN_LOOKS: usize = 16;

/// Where a control stands in the file: by its number in its list.
#[derive(Debug, Clone, Copy)]
pub(super) enum ControlPlace {
    Axis(usize),
    OfStick(usize, GimbalAxis),
    Stick(usize),
}

/// A control that is read anew for each build.
pub(super) struct ReadAnew<'a> {
    pub(super) document: &'a Document<'a>,
    pub(super) met: &'a BTreeMap<usize, MetNumber>,
    /// What is read for each build.
    pub(super) reads: Reached,
    pub(super) place: ControlPlace,
    pub(super) asked: Asked,
}

/// What one reading gives: an axis, or a stick with both of its.
enum Control {
    Axis(Box<NamedAxis>),
    Stick(Box<NamedStick>),
}

impl<'a> ReadAnew<'a> {
    fn inputs(&self) -> Inputs<'a, '_> {
        Inputs {
            met: self.met,
            reached: &self.reads,
        }
    }

    /// The control with other numbers, each in the unit of its key, by where they begin in the text.
    fn read(&self, drawn: BTreeMap<usize, f64>) -> std::result::Result<Control, DesignError> {
        let numbers = Numbers::of_build(drawn, &self.reads);
        let root = self.document.root(&numbers);
        let mut mistakes = Mistakes::default();
        let parts = Parts::read(&root, &mut mistakes);
        mistakes.done()?;
        let (kind, number) = match self.place {
            ControlPlace::Axis(number) => (AXIS, number),
            ControlPlace::OfStick(number, _) | ControlPlace::Stick(number) => (STICK, number),
        };
        let section = root.list(kind)?.into_iter().nth(number);
        let section = section.ok_or_else(|| root.missing(kind))??;
        Ok(match self.place {
            ControlPlace::Axis(_) => {
                Control::Axis(Box::new(read_axis(&section, &parts, &Place::Alone)?))
            }
            ControlPlace::OfStick(..) | ControlPlace::Stick(_) => {
                Control::Stick(Box::new(read_stick(&section, &parts)?.0))
            }
        })
    }

    /// Figures of a build with these numbers.
    pub(super) fn build(
        &self,
        drawn: BTreeMap<usize, f64>,
        values: &mut [f64],
    ) -> Result<std::result::Result<(), BuildFailure>> {
        let control = match self.read(drawn) {
            Ok(control) => control,
            Err(error) => return Ok(Err(refused(&error))),
        };
        let subject = match (&control, self.place) {
            (Control::Axis(axis), _) => Subject::Axis(axis),
            (Control::Stick(stick), ControlPlace::OfStick(_, axis)) => {
                Subject::OfStick(stick, axis)
            }
            (Control::Stick(stick), _) => Subject::Stick(stick),
        };
        match self.asked.figures_of(subject, values) {
            Ok(()) => Ok(Ok(())),
            Err(Unbuilt::Stopped) => Err(Error::Stopped),
            Err(Unbuilt::Failed(failure)) => Ok(Err(failure)),
        }
    }
}

/// What keeps a build from being read.
fn refused(error: &DesignError) -> BuildFailure {
    match &*error.problem {
        Problem::Refused(reason) => BuildFailure {
            text: error.to_string(),
            ..BuildFailure::of(reason)
        },
        _ => BuildFailure {
            reason: format!("{} not allowed", error.key),
            text: error.to_string(),
        },
    }
}

impl Buildable for ReadAnew<'_> {
    fn figures(&self) -> Vec<FigureName> {
        self.asked
            .figures
            .iter()
            .map(|target| figure_name(*target))
            .collect()
    }

    fn nominal(&self, input: &str) -> Result<f64> {
        Ok(self.inputs().number(input)?.1.value)
    }

    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>> {
        let known = self.inputs();
        let numbers = inputs.iter().map(|input| known.number(input));
        Ok(Box::new(Readings {
            control: self,
            numbers: numbers.collect::<Result<_>>()?,
        }))
    }
}

struct Readings<'a> {
    control: &'a ReadAnew<'a>,
    numbers: Vec<(usize, &'a MetNumber)>,
}

impl PreparedDesign for Readings<'_> {
    fn build(&self, builds: &mut Builds) -> Result<()> {
        let mut values = vec![f64::NAN; self.control.asked.figures.len()];
        for build in 0..builds.count() {
            if build % BETWEEN_LOOKS == 0 {
                observer::check()?;
            }
            let drawn = builds.inputs().iter().map(|column| column[build]);
            let drawn: Vec<f64> = drawn.collect();
            let numbers = self.numbers.iter().zip(&drawn);
            let off = numbers
                .clone()
                .find_map(|((_, number), value)| beyond(number, *value));
            values.fill(f64::NAN);
            let made = match off {
                Some(failure) => Err(failure),
                None => {
                    let drawn = numbers.map(|((start, _), value)| (*start, *value));
                    self.control.build(drawn.collect(), &mut values)?
                }
            };
            match made {
                Ok(()) => {
                    for (column, value) in builds.figures_mut().into_iter().zip(&values) {
                        column[build] = *value;
                    }
                }
                Err(failure) => builds.fail(build, failure),
            }
        }
        Ok(())
    }
}
