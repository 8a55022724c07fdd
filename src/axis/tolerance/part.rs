//! Any value that is stored by serde as a design: a spring, a linkage, a pair of pedals, a feel.

use std::fmt;

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::axis::tolerance::buildable::{
    Buildable, Builds, FigureName, PreparedDesign, Unbuilt, check_names,
};
use crate::axis::tolerance::stored_tree::StoredTree;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, counted};

type Judged<P> = dyn Fn(&P, &mut [f64]) -> Result<()> + Send + Sync;

/// A part whose numbers are inputs by their paths in its stored form, such as `outer_diameter` or `left.pad.0`: each
/// build is read back through the checks of the part, so that no build is what a constructor refuses.
///
/// A choice among kinds (an enum) has no name of its own in a path.
///
/// # Example
/// ```
/// use yokewright::axis::{FigureName, PartDesign, Tolerance, YieldDemand, YieldTarget, study_yield};
/// use yokewright::magnet::Cylinder;
/// use yokewright::nalgebra::{Isometry3, Vector3};
/// use yokewright::units::MM;
///
/// let disc = Cylinder::new(10.0 * MM, 4.0 * MM, Vector3::z(), Isometry3::identity())?;
/// let design = PartDesign::new(&disc, [FigureName::new("length", "m")], |disc: &Cylinder, figures| {
///     figures[0] = disc.length();
///     Ok(())
/// })?;
/// let demand = YieldDemand {
///     targets: vec![YieldTarget::within("length", 3.9 * MM, 4.1 * MM)?],
///     ..YieldDemand::new(vec![Tolerance::plus_minus("length", 0.1 * MM)?])
/// };
/// // Two standard deviations either way.
/// assert!((study_yield(&design, &demand)?.share() - 0.9545).abs() < 0.01);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub struct PartDesign<P> {
    tree: StoredTree,
    figures: Vec<FigureName>,
    judged: Box<Judged<P>>,
}

impl<P> fmt::Debug for PartDesign<P> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("PartDesign")
            .field("figures", &self.figures)
            .finish_non_exhaustive()
    }
}

impl<P: Serialize + DeserializeOwned> PartDesign<P> {
    /// A part, the figures of a build of it, and what computes them; a figure that is left NaN has no value, an error
    /// is a build that cannot be.
    ///
    /// # Errors
    /// [`Error::NotStored`] for a part that cannot be stored; [`Error::NameTaken`] for two figures of one name;
    /// [`Error::Count`] without figures.
    pub fn new(
        part: &P,
        figures: impl IntoIterator<Item = FigureName>,
        judged: impl Fn(&P, &mut [f64]) -> Result<()> + Send + Sync + 'static,
    ) -> Result<Self> {
        let figures: Vec<FigureName> = figures.into_iter().collect();
        counted("figures of a build", figures.len(), [1, 1000])?;
        check_names("figure", figures.iter().map(|figure| figure.name.as_str()))?;
        Ok(Self {
            tree: StoredTree::of(part)?,
            figures,
            judged: Box::new(judged),
        })
    }
}

impl<P: Serialize + DeserializeOwned> Buildable for PartDesign<P> {
    fn figures(&self) -> Vec<FigureName> {
        self.figures.clone()
    }

    fn nominal(&self, input: &str) -> Result<f64> {
        Ok(self.tree.value(self.tree.number(input)?))
    }

    fn assembly(&self, inputs: &[String]) -> Result<Box<dyn PreparedDesign + '_>> {
        let numbers = inputs.iter().map(|input| self.tree.number(input));
        Ok(Box::new(Parts {
            design: self,
            numbers: numbers.collect::<Result<_>>()?,
        }))
    }
}

struct Parts<'a, P> {
    design: &'a PartDesign<P>,
    numbers: Vec<usize>,
}

impl<P: Serialize + DeserializeOwned> PreparedDesign for Parts<'_, P> {
    fn build(&self, builds: &mut Builds) -> Result<()> {
        let all: Vec<usize> = (0..builds.count()).collect();
        builds.each_of(&all, |inputs, figures| {
            let changed = self.numbers.iter().copied().zip(inputs.iter().copied());
            let part: P = self.design.tree.with(changed).map_err(Unbuilt::Failed)?;
            (self.design.judged)(&part, figures)?;
            Ok(())
        })
    }
}
