//! What every study of builds rests on: tolerances resolved against a design, drawn, and built.

use crate::axis::tolerance::buildable::{Buildable, Builds, FigureName, PreparedDesign, place};
use crate::axis::tolerance::draws::{Draws, Sampling};
use crate::axis::tolerance::target::YieldTarget;
use crate::axis::tolerance::tolerance_of::{Tolerance, TolerancedAs};
use crate::error::{Result, counted, finite};
use crate::parallel;

/// Builds drawn and built at a time. What is summed over them is summed batch by batch in their order, so that neither
/// threads nor pieces of a study change a bit of it. Of the usual 10,000 builds every core then has several.
pub(super) const BATCH: u64 = 1024;
/// Most tolerances of a study.
const MAX_TOLERANCES: usize = 1000;

/// An input with all that moves it.
struct Input {
    nominal: f64,
    /// Tolerance, factor and kind, in the order in which they act.
    moves: Vec<(usize, f64, TolerancedAs)>,
}

impl Input {
    fn of(design: &dyn Buildable, name: &str) -> Result<Self> {
        let nominal = design.nominal(name)?;
        Ok(Self {
            nominal: finite("value of an input in the design", nominal, "(its unit)")?,
            moves: Vec::new(),
        })
    }
}

/// Tolerances resolved against a design.
pub(super) struct Plan<'a> {
    pub(super) tolerances: Vec<Tolerance>,
    pub(super) input_names: Vec<String>,
    pub(super) figures: Vec<FigureName>,
    inputs: Vec<Input>,
    draws: Draws,
    /// From which stream of numbers each tolerance is drawn.
    streams: Vec<usize>,
    assembly: Box<dyn PreparedDesign + 'a>,
}

/// From which matrix of numbers each tolerance is drawn, where there are several.
pub(super) trait FromMatrix: Fn(usize) -> usize {}
impl<F: Fn(usize) -> usize> FromMatrix for F {}

impl<'a> Plan<'a> {
    pub(super) fn new(
        design: &'a dyn Buildable,
        tolerances: &[Tolerance],
        // Inputs that may have other values than those of the design.
        varied: &[String],
        (seed, sampling): (u64, Sampling),
        builds: u64,
        matrices: usize,
    ) -> Result<Self> {
        let draws = |count| Draws::new(seed, sampling, count, builds, matrices);
        Self::of_draws(
            design,
            tolerances,
            varied,
            draws,
            (0..tolerances.len()).collect(),
        )
    }

    /// Of numbers that several designs share, each tolerance from the stream of its number among theirs.
    pub(super) fn drawn_from(
        design: &'a dyn Buildable,
        tolerances: &[Tolerance],
        draws: Draws,
        streams: Vec<usize>,
    ) -> Result<Self> {
        Self::of_draws(design, tolerances, &[], |_| Ok(draws), streams)
    }

    fn of_draws(
        design: &'a dyn Buildable,
        tolerances: &[Tolerance],
        varied: &[String],
        draws: impl FnOnce(usize) -> Result<Draws>,
        streams: Vec<usize>,
    ) -> Result<Self> {
        counted(
            "tolerances of a study",
            tolerances.len(),
            [1, MAX_TOLERANCES],
        )?;
        let mut input_names: Vec<String> = Vec::new();
        let mut inputs: Vec<Input> = Vec::new();
        for input in varied {
            input_names.push(input.clone());
            inputs.push(Input::of(design, input)?);
        }
        for (number, tolerance) in tolerances.iter().enumerate() {
            for effect in tolerance.effects() {
                let known = input_names.iter().position(|name| *name == effect.input);
                let at = match known {
                    Some(at) => at,
                    None => {
                        let nominal = design.nominal(&effect.input)?;
                        input_names.push(effect.input.clone());
                        inputs.push(Input {
                            nominal: finite(
                                "value of an input in the design",
                                nominal,
                                "(its unit)",
                            )?,
                            moves: Vec::new(),
                        });
                        inputs.len() - 1
                    }
                };
                let moves = &mut inputs[at].moves;
                moves.push((number, effect.factor, effect.toleranced_as));
                moves.sort_by_key(|(_, _, how)| match how {
                    TolerancedAs::Value => 0,
                    TolerancedAs::Share => 1,
                    TolerancedAs::Departure => 2,
                });
            }
        }
        Ok(Self {
            assembly: design.assembly(&input_names)?,
            tolerances: tolerances.to_vec(),
            figures: design.figures(),
            draws: draws(tolerances.len())?,
            streams,
            input_names,
            inputs,
        })
    }

    /// The same draws of other tolerances, which move the same inputs: what a tolerance does is then seen without the
    /// chance of other builds.
    pub(super) fn draw_instead(&mut self, number: usize, tolerance: Tolerance) {
        self.tolerances[number] = tolerance;
    }

    /// The values of the tolerances, a column for each, for the builds from `first` on.
    pub(super) fn causes(&self, first: u64, count: usize, from: impl FromMatrix) -> Vec<Vec<f64>> {
        let drawn = self
            .tolerances
            .iter()
            .enumerate()
            .map(|(number, tolerance)| {
                let mut values = vec![0.0; count];
                let stream = self.streams[number];
                self.draws.fill(from(number), stream, first, &mut values);
                tolerance.distribution().quantiles(&mut values);
                values
            });
        drawn.collect()
    }

    /// The values of the inputs that these causes make.
    pub(super) fn inputs(&self, causes: &[Vec<f64>], count: usize) -> Vec<Vec<f64>> {
        self.inputs_about(&[], causes, count)
    }

    /// The same about a design with other values of the first inputs, those that are varied.
    fn inputs_about(&self, varied: &[f64], causes: &[Vec<f64>], count: usize) -> Vec<Vec<f64>> {
        let moved = self.inputs.iter().enumerate().map(|(at, input)| {
            let nominal = varied.get(at).copied().unwrap_or(input.nominal);
            let mut values = vec![nominal; count];
            for &(cause, factor, how) in &input.moves {
                let drawn = values.iter_mut().zip(&causes[cause]);
                match how {
                    TolerancedAs::Value => drawn.for_each(|(value, x)| *value = factor * x),
                    TolerancedAs::Share => drawn.for_each(|(value, x)| *value *= 1.0 + factor * x),
                    TolerancedAs::Departure => drawn.for_each(|(value, x)| *value += factor * x),
                }
            }
            values
        });
        moved.collect()
    }

    /// Builds of inputs that are known.
    pub(super) fn built(&self, inputs: Vec<Vec<f64>>, count: usize) -> Result<Builds> {
        let mut builds = Builds::new(inputs, count, self.figures.len());
        self.assembly.build(&mut builds)?;
        Ok(builds)
    }

    /// The builds from `first` on.
    pub(super) fn build(&self, first: u64, count: usize, from: impl FromMatrix) -> Result<Builds> {
        self.built(self.inputs(&self.causes(first, count, from), count), count)
    }

    /// The builds from `first` on of a design with other values of the inputs that are varied.
    pub(super) fn build_about(&self, varied: &[f64], first: u64, count: usize) -> Result<Builds> {
        let causes = self.causes(first, count, |_| 0);
        self.built(self.inputs_about(varied, &causes, count), count)
    }

    /// The design itself.
    pub(super) fn nominal(&self) -> Result<Builds> {
        self.nominal_about(&[])
    }

    /// The design itself with other values of the inputs that are varied.
    pub(super) fn nominal_about(&self, varied: &[f64]) -> Result<Builds> {
        let inputs = self.inputs.iter().enumerate();
        let inputs = inputs
            .map(|(at, input)| vec![varied.get(at).copied().unwrap_or(input.nominal)])
            .collect();
        self.built(inputs, 1)
    }

    /// By how much each of the first builds misses what it misses most, as [`Judge::misses`].
    pub(super) fn misses(&self, judge: &Judge, builds: u64) -> Result<Vec<f64>> {
        let batches: Vec<u64> = (0..builds.div_ceil(BATCH))
            .map(|batch| batch * BATCH)
            .collect();
        let parts = parallel::map(&batches, |&first| {
            let count = BATCH.min(builds - first) as usize;
            Ok(judge.misses(&self.build(first, count, |_| 0)?))
        })?;
        Ok(parts.into_iter().collect::<Result<Vec<_>>>()?.concat())
    }

    pub(super) fn replicate_of(&self, build: u64) -> Option<usize> {
        self.draws.replicate_of(build)
    }
}

/// Targets with the place of their figure.
pub(super) struct Judge {
    pub(super) targets: Vec<(usize, YieldTarget)>,
}

impl Judge {
    pub(super) fn new(targets: &[YieldTarget], figures: &[FigureName]) -> Result<Self> {
        let resolved = targets.iter().map(|target| {
            let at = place("figure of a build", target.figure(), figures, |figure| {
                &figure.name
            })?;
            Ok((at, target.clone()))
        });
        Ok(Self {
            targets: resolved.collect::<Result<_>>()?,
        })
    }

    /// By how much each build misses what it misses most; zero or less if it meets all, infinite if it cannot be.
    pub(super) fn misses(&self, builds: &Builds) -> Vec<f64> {
        let mut worst = vec![f64::NEG_INFINITY; builds.count()];
        for (figure, target) in &self.targets {
            for (worst, value) in worst.iter_mut().zip(&builds.figures()[*figure]) {
                *worst = worst.max(target.miss(*value));
            }
        }
        for failed in builds.failures().keys() {
            worst[*failed] = f64::INFINITY;
        }
        worst
    }
}
