//! Groups of magnets, by superposition.

use nalgebra::{Isometry3, Matrix3, Point3, SMatrix, Vector3};

use crate::error::{Result, counted};
use crate::magnet::shape::overlap;
use crate::magnet::source::check_body;
use crate::magnet::{FieldColumns, FieldSource, Fields, Gradients, Magnet};
use crate::observer;
use crate::stored::stored_by_its_constructor;
use crate::written::debug_as_call;

/// The most magnets in one group.
const MAX_MAGNETS: usize = 10_000;
/// Magnets between two looks at whether to stop: a millisecond or two for one stretch of points.
const BETWEEN_CHECKS: usize = 64;

/// Magnets that act together; their fields add up.
///
/// Superposition is exact for the rigid polarization assumed here: the magnets do not weaken one another.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Block, FieldSource, MagnetGroup};
/// use yokewright::units::MM;
///
/// // Two bars side by side, poles reversed: between them the fields cancel.
/// let size = Vector3::new(4.0, 4.0, 10.0) * MM;
/// let bar = |x: f64, j: f64| {
///     Block::new(size, Vector3::new(0.0, 0.0, j), Isometry3::translation(x, 0.0, 0.0))
/// };
/// let pair = MagnetGroup::new([bar(-5.0 * MM, 1.2)?, bar(5.0 * MM, -1.2)?])?;
/// assert!(pair.field_at(&Point3::new(0.0, 0.0, 8.0 * MM))?.z.abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, PartialEq)]
pub struct MagnetGroup {
    magnets: Vec<Magnet>,
    superposed: bool,
}

debug_as_call!(MagnetGroup, |self, f| {
    let how = if self.superposed { "superposed" } else { "new" };
    write!(f, "MagnetGroup::{how}({:?})?", self.magnets)
});

impl MagnetGroup {
    /// A group of 1 to 10,000 magnets. Groups among them become part of one flat list.
    ///
    /// No two magnets can be in one place, so those that reach into each other are refused; touching is fine, also if
    /// rounding makes them seem to overlap by 1e-9 of their size. For a field built of parts that overlap see
    /// [`MagnetGroup::superposed`].
    ///
    /// Only neighbors are compared, found by sorting along the longest extent of the group: some microseconds a pair
    /// of blocks, some milliseconds where a round magnet reaches into the hollow of another or stands askew beside it.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) if there are none or too many,
    /// [`Error::GroupOverlap`](crate::Error::GroupOverlap) if two reach into each other (other than two of one
    /// superposed group).
    pub fn new<M: Into<Self>>(magnets: impl IntoIterator<Item = M>) -> Result<Self> {
        let parts: Vec<Self> = magnets.into_iter().map(Into::into).collect();
        // Those of a superposed part may overlap each other.
        let part_of = |(number, part): (usize, &Self)| {
            let part_or_none = part.superposed.then_some(number);
            std::iter::repeat_n(part_or_none, part.magnets.len())
        };
        let part_of: Vec<Option<usize>> = parts.iter().enumerate().flat_map(part_of).collect();
        let group = Self::join(parts)?;
        overlap::check(&group.magnets, |i, k| {
            part_of[i].is_some() && part_of[i] == part_of[k]
        })?;
        Ok(group)
    }

    /// A group whose magnets may reach into each other; their fields, pulls and energies add up all the same.
    ///
    /// The polarization then adds up where they overlap: a disc and a thinner one in it, polarized the other way, are
    /// a ring. What such parts weigh, and how far a point is from their surface, says nothing of the solid that they
    /// stand for.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) if there are none or more than 10,000.
    pub fn superposed<M: Into<Self>>(magnets: impl IntoIterator<Item = M>) -> Result<Self> {
        let group = Self::join(magnets.into_iter().map(Into::into).collect())?;
        Ok(Self {
            superposed: true,
            ..group
        })
    }

    fn join(parts: Vec<Self>) -> Result<Self> {
        let superposed = parts.iter().any(|part| part.superposed);
        let magnets: Vec<Magnet> = parts.into_iter().flat_map(|part| part.magnets).collect();
        counted("magnets in the group", magnets.len(), [1, MAX_MAGNETS])?;
        Ok(Self {
            magnets,
            superposed,
        })
    }

    /// The group with other magnets, as many, one for each.
    pub(crate) fn with_members(&self, magnets: Vec<Magnet>) -> Self {
        Self {
            magnets,
            superposed: self.superposed,
        }
    }

    /// Whether its magnets may overlap: made by [`MagnetGroup::superposed`], or with a part that was.
    #[must_use]
    pub fn is_superposed(&self) -> bool {
        self.superposed
    }

    /// Volume of the material, m3; `None` of a superposed group, whose parts are no solids.
    #[must_use]
    pub fn volume(&self) -> Option<f64> {
        let volumes = self.magnets.iter().map(Magnet::volume);
        (!self.superposed).then(|| volumes.sum())
    }

    /// Mean of the centers of the magnets, each weighted by its volume, m: the center of mass of magnets of one
    /// density.
    #[must_use]
    pub fn center(&self) -> Point3<f64> {
        center(&self.magnets)
    }

    /// The magnets, in the order given.
    #[must_use]
    pub fn magnets(&self) -> &[Magnet] {
        &self.magnets
    }

    /// Adds up what `add` gives of each magnet.
    fn each<V>(
        &self,
        points: &[Point3<f64>],
        values: &mut [V],
        add: impl Fn(&Magnet, &[Point3<f64>], &mut [V]),
    ) {
        for some in self.magnets.chunks(BETWEEN_CHECKS) {
            // A stop leaves values that nobody gets to see.
            if observer::check().is_err() {
                return;
            }
            for magnet in some {
                add(magnet, points, values);
            }
        }
    }

    fn sum<const C: usize>(
        &self,
        of: impl Fn(&Magnet) -> Result<SMatrix<f64, 3, C>>,
    ) -> Result<SMatrix<f64, 3, C>> {
        let mut sum = SMatrix::zeros();
        for magnet in &self.magnets {
            sum += of(magnet)?;
        }
        Ok(sum)
    }
}

/// The sums over the magnets. Polarization is that of the magnet that the point lies in; of a superposed group the
/// sum of all of them.
impl FieldSource for MagnetGroup {
    fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.sum(|magnet| magnet.field_at(point))
    }

    fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        self.sum(|magnet| magnet.gradient_at(point))
    }

    fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.sum(|magnet| magnet.h_at(point))
    }

    fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.sum(|magnet| magnet.polarization_at(point))
    }

    fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        let distances = self.magnets.iter().map(|magnet| magnet.distance(point));
        distances
            .reduce(|a, b| Ok(a?.min(b?)))
            .unwrap_or(Ok(f64::INFINITY))
    }

    fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        let magnets = self.magnets.iter().map(|magnet| magnet.moved(motion));
        Ok(self.with_members(magnets.collect::<Result<_>>()?))
    }

    fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| {
            self.each(points, values, Magnet::add_fields)
        })
    }

    fn fields_into(&self, points: &[Point3<f64>], columns: FieldColumns<'_>) -> Result<()> {
        columns.collect(points, |points, values| {
            self.each(points, values, Magnet::add_fields)
        })
    }

    fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        Gradients::collect(points, |points, values| {
            self.each(points, values, Magnet::add_gradients)
        })
    }

    fn hs_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::strengths(points, |points, values| {
            self.each(points, values, Magnet::add_strengths)
        })
    }

    fn polarizations_at(&self, points: &[Point3<f64>]) -> Fields {
        Fields::collect(points, |points, values| {
            self.each(points, values, Magnet::add_polarizations)
        })
    }

    fn bodies(&self) -> usize {
        self.magnets.len()
    }

    fn body_distance(&self, body: usize, point: &Point3<f64>) -> Result<f64> {
        check_body(body, self.magnets.len())?;
        self.magnets[body].distance(point)
    }
}

/// See [`MagnetGroup::center`]; of one magnet its own center, to the last digit.
pub(super) fn center(magnets: &[Magnet]) -> Point3<f64> {
    let center = |magnet: &Magnet| magnet.pose().translation.vector;
    let Some(first) = magnets.first().map(center) else {
        return Point3::origin();
    };
    let (mut sum, mut volume) = (Vector3::zeros(), 0.0);
    for magnet in magnets {
        sum += magnet.volume() * (center(magnet) - first);
        volume += magnet.volume();
    }
    Point3::from(first + sum / volume)
}

impl<M: Into<Magnet>> From<M> for MagnetGroup {
    fn from(magnet: M) -> Self {
        Self {
            magnets: vec![magnet.into()],
            superposed: false,
        }
    }
}

stored_by_its_constructor!(MagnetGroup {
    magnets: Vec<Magnet>,
    is_superposed: bool
} => if is_superposed {
    Self::superposed(magnets)
} else {
    Self::new(magnets)
});
