//! What varies from build to build, and which inputs of a design it moves.

use serde::{Deserialize, Serialize};

use crate::axis::tolerance::distribution::Distribution;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, counted, within};
use crate::stored::stored_as_spec;

/// Most inputs that one cause moves.
const MAX_EFFECTS: usize = 1000;
/// Largest factor of an effect.
const MAX_FACTOR: f64 = 1e9;

/// What a drawn value does to an input.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum TolerancedAs {
    /// It is added to the value of the design, in the unit of the input.
    #[default]
    Departure,
    /// The value of the design changes by this share of itself: 0.01 is one percent more.
    Share,
    /// It is the value, whatever the design has.
    Value,
}

choices!(TolerancedAs, "effect of a tolerance", {
    Departure => "departure",
    Share => "share",
    Value => "value",
});

/// One input that a tolerance moves.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToleranceEffect {
    /// The input, by the name or the path that the design knows it by.
    pub input: String,
    /// What the drawn value is multiplied by first.
    pub factor: f64,
    /// What it then does to the input.
    #[serde(default)]
    pub toleranced_as: TolerancedAs,
}

/// The parts of a [`Tolerance`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToleranceSpec {
    /// What varies, in words that results name it by.
    pub name: String,
    /// How it is spread.
    pub distribution: Distribution,
    /// What it moves.
    pub effects: Vec<ToleranceEffect>,
}

/// Something that differs from build to build: a dimension with its plus-minus, or one cause that moves several inputs
/// together, as the scale of a printer moves all printed lengths and a batch of magnets all polarizations.
///
/// What moves one input together adds up: first one that gives its value, then all shares, then all departures.
///
/// # Example
/// ```
/// use yokewright::axis::{Distribution, Tolerance, TolerancedAs};
/// use yokewright::units::MM;
///
/// let gap = Tolerance::plus_minus("gap", 0.3 * MM)?;
/// let printer = Tolerance::common(
///     "printer scale",
///     Distribution::plus_minus(0.0, 0.005)?,
///     ["arm", "gap"].map(|input| (input, 1.0, TolerancedAs::Share)),
/// )?;
/// assert_eq!((gap.effects().len(), printer.effects().len()), (1, 2));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    spec: ToleranceSpec,
}

stored_as_spec!(Tolerance, ToleranceSpec);

impl Tolerance {
    /// Checks a tolerance.
    ///
    /// # Errors
    /// [`Error::Count`] for no effect or more than 1000; [`Error::NotFinite`] or [`Error::OutOfRange`] for a factor
    /// that is zero or beyond 1e9.
    pub fn new(spec: ToleranceSpec) -> Result<Self> {
        counted(
            "effects of a tolerance",
            spec.effects.len(),
            [1, MAX_EFFECTS],
        )?;
        counted(
            "letters of the name of a tolerance",
            spec.name.len(),
            [1, 200],
        )?;
        for effect in &spec.effects {
            let factor = effect.factor;
            let least = f64::MIN_POSITIVE;
            within(
                "factor of an effect",
                factor.abs(),
                least,
                MAX_FACTOR,
                "(no unit)",
            )?;
        }
        Ok(Self { spec })
    }

    /// An input of its own, named by it.
    ///
    /// # Errors
    /// As [`Tolerance::new`].
    pub fn of(
        input: impl Into<String>,
        distribution: Distribution,
        toleranced_as: TolerancedAs,
    ) -> Result<Self> {
        let input = input.into();
        Self::new(ToleranceSpec {
            name: input.clone(),
            distribution,
            effects: vec![ToleranceEffect {
                input,
                factor: 1.0,
                toleranced_as,
            }],
        })
    }

    /// An input with its plus-minus about the value of the design, in the unit of the input: as
    /// [`Distribution::plus_minus`], twice the standard deviation.
    ///
    /// # Errors
    /// As [`Tolerance::new`] and [`Distribution::new`].
    pub fn plus_minus(input: impl Into<String>, plus_minus: f64) -> Result<Self> {
        let distribution = Distribution::plus_minus(0.0, plus_minus)?;
        Self::of(input, distribution, TolerancedAs::Departure)
    }

    /// The same where the plus-minus is a share of the value of the design.
    ///
    /// # Errors
    /// As [`Tolerance::new`] and [`Distribution::new`].
    pub fn plus_minus_share(input: impl Into<String>, plus_minus: f64) -> Result<Self> {
        let distribution = Distribution::plus_minus(0.0, plus_minus)?;
        Self::of(input, distribution, TolerancedAs::Share)
    }

    /// One cause that moves several inputs, each with a factor.
    ///
    /// # Errors
    /// As [`Tolerance::new`].
    pub fn common<I: Into<String>>(
        name: impl Into<String>,
        distribution: Distribution,
        effects: impl IntoIterator<Item = (I, f64, TolerancedAs)>,
    ) -> Result<Self> {
        let effects = effects
            .into_iter()
            .map(|(input, factor, toleranced_as)| ToleranceEffect {
                input: input.into(),
                factor,
                toleranced_as,
            });
        Self::new(ToleranceSpec {
            name: name.into(),
            distribution,
            effects: effects.collect(),
        })
    }

    /// The same that many times as wide, about the same mean.
    ///
    /// # Errors
    /// As [`Distribution::scaled`].
    pub fn scaled(&self, factor: f64) -> Result<Self> {
        Self::new(ToleranceSpec {
            distribution: self.spec.distribution.scaled(factor)?,
            ..self.spec.clone()
        })
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &ToleranceSpec {
        &self.spec
    }

    /// What varies.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.spec.name
    }

    /// How it is spread.
    #[must_use]
    pub fn distribution(&self) -> &Distribution {
        &self.spec.distribution
    }

    /// What it moves.
    #[must_use]
    pub fn effects(&self) -> &[ToleranceEffect] {
        &self.spec.effects
    }
}
