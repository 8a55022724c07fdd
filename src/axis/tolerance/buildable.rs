//! What can be built many times: a design with named inputs, and the figures that a build of it has.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, finite};
use crate::names;
use crate::observer;

/// Builds between two looks at the request to stop.
const BETWEEN_LOOKS: usize = 64;

/// A figure of a build: its name and its SI unit.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FigureName {
    /// The name, which targets and results use.
    pub name: String,
    /// Its SI unit.
    pub unit: String,
}

impl FigureName {
    /// A figure of this name and unit.
    pub fn new(name: impl Into<String>, unit: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            unit: unit.into(),
        }
    }
}

impl fmt::Display for FigureName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.name, self.unit)
    }
}

/// A design that a tolerance study builds many times over: numbers in, figures out, or the reason why such a build
/// cannot be.
///
/// [`ControlDesign`](crate::axis::ControlDesign) is a control from hand to count,
/// [`PartDesign`](crate::axis::PartDesign)
/// any value that is stored by serde, such as a spring or a pair of pedals, [`FormulaDesign`] a closure.
pub trait Buildable: Sync {
    /// The figures of a build.
    fn figures(&self) -> Vec<FigureName>;

    /// The value that an input has in the design, in its SI unit.
    ///
    /// # Errors
    /// If it has no such input: [`Error::UnknownName`].
    fn nominal(&self, input: &str) -> Result<f64>;

    /// Makes ready to build with other values of these inputs.
    ///
    /// # Errors
    /// As [`Buildable::nominal`].
    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>>;
}

/// A design made ready to be built with other values of some inputs.
pub trait PreparedDesign: Sync {
    /// Builds all of a batch. Each build depends on its own values alone, so that the batches change nothing.
    ///
    /// # Errors
    /// [`Error::Stopped`], or what makes every build impossible to judge; what is wrong with one build is told with
    /// [`Builds::fail`].
    fn build(&self, builds: &mut Builds) -> Result<()>;
}

/// A batch of builds: the values of the inputs, and room for the figures.
#[derive(Debug, Clone)]
pub struct Builds {
    inputs: Vec<Vec<f64>>,
    figures: Vec<Vec<f64>>,
    failures: BTreeMap<usize, BuildFailure>,
    count: usize,
}

/// Why a build has no figures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BuildFailure {
    /// In few words, what is wrong: builds that fail alike are counted by it.
    pub reason: String,
    /// All of it.
    pub text: String,
}

impl BuildFailure {
    /// The reason that an error stands for.
    #[must_use]
    pub fn of(error: &Error) -> Self {
        let reason = match error {
            Error::Collision { .. }
            | Error::TwoAxisCollision { .. }
            | Error::Overlap { .. }
            | Error::GroupOverlap { .. }
            | Error::ThroughPlate { .. }
            | Error::BehindPlate { .. }
            | Error::AreaCut { .. }
            | Error::OnEdge { .. } => "parts collide".to_owned(),
            Error::CannotClose { .. } | Error::NeverCloses { .. } | Error::OutOfReach { .. } => {
                "cannot be assembled".to_owned()
            }
            Error::BeyondReach { .. } | Error::DeadCenter { .. } => "locks".to_owned(),
            Error::OutOfRange { quantity, .. }
            | Error::NotAscending { quantity, .. }
            | Error::NotFinite { quantity, .. } => format!("{quantity} out of range"),
            Error::Absent { quantity, .. } => format!("no {quantity}"),
            _ => "no figures".to_owned(),
        };
        Self {
            reason,
            text: error.to_string(),
        }
    }
}

/// What keeps one build from having figures.
pub(crate) enum Unbuilt {
    /// The whole study shall stop.
    Stopped,
    /// This build cannot be.
    Failed(BuildFailure),
}

impl From<Error> for Unbuilt {
    fn from(error: Error) -> Self {
        match error {
            Error::Stopped => Self::Stopped,
            error => Self::Failed(BuildFailure::of(&error)),
        }
    }
}

impl Builds {
    /// Of columns of inputs, all as long as there are builds; with room for so many figures.
    pub(crate) fn new(inputs: Vec<Vec<f64>>, count: usize, figures: usize) -> Self {
        Self {
            inputs,
            figures: vec![vec![f64::NAN; count]; figures],
            failures: BTreeMap::new(),
            count,
        }
    }

    /// How many builds there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.count
    }

    /// The values of the inputs that the assembly was made for, in their order: a column for each, as long as there are
    /// builds.
    #[must_use]
    pub fn inputs(&self) -> &[Vec<f64>] {
        &self.inputs
    }

    /// The figures of the design in their order, to be written: a column for each, NaN where a build has none.
    #[must_use]
    pub fn figures_mut(&mut self) -> Vec<&mut [f64]> {
        self.figures.iter_mut().map(Vec::as_mut_slice).collect()
    }

    /// Marks a build as one that cannot be, whatever its figures say.
    pub fn fail(&mut self, build: usize, failure: BuildFailure) {
        self.failures.insert(build, failure);
    }

    /// Takes one build after the other: its inputs, and its figures to be written, NaN at first.
    ///
    /// # Errors
    /// [`Error::Stopped`].
    pub fn each(&mut self, one: impl Fn(&[f64], &mut [f64]) -> Result<()>) -> Result<()> {
        let all: Vec<usize> = (0..self.count).collect();
        self.each_of(&all, |inputs, figures| Ok(one(inputs, figures)?))
    }

    /// [`Builds::each`] of some of them.
    pub(super) fn each_of(
        &mut self,
        builds: &[usize],
        one: impl Fn(&[f64], &mut [f64]) -> std::result::Result<(), Unbuilt>,
    ) -> Result<()> {
        let mut inputs = vec![0.0; self.inputs.len()];
        let mut figures = vec![f64::NAN; self.figures.len()];
        for (done, &build) in builds.iter().enumerate() {
            if done % BETWEEN_LOOKS == 0 {
                observer::check()?;
            }
            for (value, column) in inputs.iter_mut().zip(&self.inputs) {
                *value = column[build];
            }
            figures.fill(f64::NAN);
            match one(&inputs, &mut figures) {
                Ok(()) => {}
                Err(Unbuilt::Stopped) => return Err(Error::Stopped),
                Err(Unbuilt::Failed(failure)) => {
                    figures.fill(f64::NAN);
                    self.fail(build, failure);
                }
            }
            for (column, value) in self.figures.iter_mut().zip(&figures) {
                column[build] = *value;
            }
        }
        Ok(())
    }

    pub(crate) fn figures(&self) -> &[Vec<f64>] {
        &self.figures
    }

    pub(crate) fn failures(&self) -> &BTreeMap<usize, BuildFailure> {
        &self.failures
    }
}

/// What a closure computes: from the inputs to the figures, both in the order of their names.
type Formula = dyn Fn(&[f64], &mut [f64]) -> Result<()> + Send + Sync;

/// A closure as a design: whatever has numbers for inputs and figures.
///
/// # Example
/// ```
/// use yokewright::axis::{FigureName, FormulaDesign, Tolerance, YieldDemand, YieldTarget, study_yield};
///
/// let stack = FormulaDesign::new(
///     [("plate", 5e-3), ("washer", 1e-3)],
///     [FigureName::new("height", "m")],
///     |x, y| {
///         y[0] = x[0] + x[1];
///         Ok(())
///     },
/// )?;
/// let tolerances = [("plate", 0.08e-3), ("washer", 0.06e-3)];
/// let tolerances = tolerances.map(|(input, p)| Tolerance::plus_minus(input, p));
/// let study = study_yield(&stack, &YieldDemand {
///     targets: vec![YieldTarget::within("height", 5.9e-3, 6.1e-3)?],
///     ..YieldDemand::new(tolerances.into_iter().collect::<Result<_, _>>()?)
/// })?;
/// // Two standard deviations of 0.05 mm either way: 95.45 %.
/// assert!((study.share() - 0.9545).abs() < 0.01);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub struct FormulaDesign {
    inputs: Vec<(String, f64)>,
    figures: Vec<FigureName>,
    formula: Box<Formula>,
}

impl fmt::Debug for FormulaDesign {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("FormulaDesign")
            .field("inputs", &self.inputs)
            .field("figures", &self.figures)
            .finish_non_exhaustive()
    }
}

impl FormulaDesign {
    /// Inputs with their values in the design, figures, and what computes them. A figure that is left NaN has no value;
    /// an error is a build that cannot be.
    ///
    /// # Errors
    /// [`Error::NotFinite`] for a value; [`Error::NameTaken`] for two inputs or figures of one name; [`Error::Count`]
    /// without figures.
    pub fn new<I: Into<String>>(
        inputs: impl IntoIterator<Item = (I, f64)>,
        figures: impl IntoIterator<Item = FigureName>,
        formula: impl Fn(&[f64], &mut [f64]) -> Result<()> + Send + Sync + 'static,
    ) -> Result<Self> {
        let inputs: Vec<(String, f64)> = inputs
            .into_iter()
            .map(|(name, v)| (name.into(), v))
            .collect();
        let figures: Vec<FigureName> = figures.into_iter().collect();
        for (_, value) in &inputs {
            finite("value of an input in the design", *value, "(its unit)")?;
        }
        counted("figures of a build", figures.len(), [1, 1000])?;
        check_names("input", inputs.iter().map(|(name, _)| name.as_str()))?;
        check_names("figure", figures.iter().map(|figure| figure.name.as_str()))?;
        Ok(Self {
            inputs,
            figures,
            formula: Box::new(formula),
        })
    }

    fn place(&self, input: &str) -> Result<usize> {
        place("input of the design", input, &self.inputs, |(name, _)| name)
    }
}

/// Refuses a name that is given twice.
pub(super) fn check_names<'a>(
    quantity: &'static str,
    names: impl Iterator<Item = &'a str>,
) -> Result<()> {
    let mut known = std::collections::BTreeSet::new();
    for name in names {
        if !known.insert(name) {
            return Err(Error::NameTaken {
                quantity,
                name: name.to_owned(),
            });
        }
    }
    Ok(())
}

/// Where a name stands among those that there are.
///
/// # Errors
/// [`Error::UnknownName`] with the nearest ones.
pub(super) fn place<T>(
    quantity: &'static str,
    name: &str,
    all: &[T],
    name_of: impl Fn(&T) -> &str,
) -> Result<usize> {
    let numbered: Vec<(usize, &T)> = all.iter().enumerate().collect();
    Ok(names::find(quantity, name, &numbered, |(_, one)| name_of(one))?.0)
}

impl Buildable for FormulaDesign {
    fn figures(&self) -> Vec<FigureName> {
        self.figures.clone()
    }

    fn nominal(&self, input: &str) -> Result<f64> {
        Ok(self.inputs[self.place(input)?].1)
    }

    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>> {
        let places = inputs.iter().map(|input| self.place(input));
        Ok(Box::new(Calculation {
            design: self,
            places: places.collect::<Result<_>>()?,
        }))
    }
}

struct Calculation<'a> {
    design: &'a FormulaDesign,
    /// Where each input stands in the formula.
    places: Vec<usize>,
}

impl PreparedDesign for Calculation<'_> {
    fn build(&self, builds: &mut Builds) -> Result<()> {
        let nominal: Vec<f64> = self.design.inputs.iter().map(|(_, value)| *value).collect();
        builds.each(|given, figures| {
            let mut inputs = nominal.clone();
            for (place, value) in self.places.iter().zip(given) {
                inputs[*place] = *value;
            }
            (self.design.formula)(&inputs, figures)
        })
    }
}
