//! How the points of a sensor's package go past a source of field, and what they meet there.

use nalgebra::{Isometry3, Point3, SVector, Vector3};

use crate::axis::channel::{Channel, Marked};
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::magnet::{ActiveArea, AnySource, FieldSource};
use crate::numeric::direction::turning;
use crate::observer;

/// How exact the mean over an active area is, as a share of the mean of |B|: beyond what figures of a curve are
/// followed to.
const AREA_TOLERANCE: f64 = 1e-11;

/// What is read at each point along each direction, with its size, and whether it has a value.
pub(super) type Readings<const N: usize> = Marked<(SVector<f64, N>, f64)>;

/// A place where the flux density counts, and the directions along which, among the magnets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Eye<const N: usize> {
    pub(super) point: Point3<f64>,
    pub(super) directions: [Vector3<f64>; N],
}

impl<const N: usize> Eye<N> {
    pub(super) fn along(&self, field: &Vector3<f64>) -> SVector<f64, N> {
        SVector::from(self.directions.map(|direction| field.dot(&direction)))
    }
}

/// A vector that turns about an axis: still + cos(angle) cos + sin(angle) sin (Rodrigues, textbook).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Swing {
    pub(super) still: Vector3<f64>,
    cos: Vector3<f64>,
    sin: Vector3<f64>,
}

impl Swing {
    /// Of a vector, about an axis of length one.
    #[inline]
    pub(super) fn of(vector: Vector3<f64>, axis: &Vector3<f64>) -> Self {
        let [still, cos, sin] = turning(vector, axis);
        Self { still, cos, sin }
    }

    #[inline]
    pub(super) fn at(&self, sin: f64, cos: f64) -> Vector3<f64> {
        self.still + self.cos * cos + self.sin * sin
    }
}

/// A sensor that goes past one source of field.
pub(super) trait Passing {
    /// Where the control stands: what its places are told apart by.
    type At: Copy;

    fn channel(&self) -> &Channel;

    /// In the frame of what carries it.
    fn source(&self) -> &AnySource;

    /// Refuses a place that is none.
    fn check(&self, at: Self::At) -> Result<()>;

    /// The sensor's package as seen from what carries the source.
    fn package_at(&self, at: Self::At) -> Isometry3<f64>;

    /// How many eyes a point of the package has: itself, and its mirror image in a plate that goes with the sensor.
    fn eyes_of_a_point(&self) -> usize;

    /// The eyes of a point of the package at a place.
    fn eyes_at<const N: usize>(
        &self,
        at: Self::At,
        point: &Point3<f64>,
        directions: &[Vector3<f64>; N],
    ) -> impl Iterator<Item = Eye<N>>;

    /// The same of many points, place by place; those of a point lie side by side.
    fn eyes<const N: usize>(
        &self,
        at: &[Self::At],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Vec<Eye<N>>;

    /// Flux densities along directions of the package, T, at a place; the mean over an active area.
    ///
    /// # Errors
    /// If the place is none; [`Error::OnEdge`] if the active point meets an edge of a magnet; of a sensor with an
    /// active area as [`ActiveArea::mean_field`], [`Error::AreaCut`] above all; [`Error::BehindPlate`] if it reads
    /// inside a plate, [`Error::ThroughPlate`] if a magnet runs into one.
    fn flux_along<const N: usize>(
        &self,
        at: Self::At,
        directions: &[Vector3<f64>; N],
    ) -> Result<SVector<f64, N>> {
        self.check(at)?;
        if let Some(area) = self.channel().area() {
            return Ok(self.mean_fluxes(area, &[at], directions)?[0]);
        }
        let mut flux = SVector::zeros();
        for eye in self.eyes_at(at, &self.channel().active_point(), directions) {
            flux += eye.along(&self.source().field_at(&eye.point)?);
        }
        Ok(flux)
    }

    /// [`Passing::flux_along`] at many places; NaN and marked where it would return an error.
    fn fluxes_along<const N: usize>(
        &self,
        at: &[Self::At],
        directions: &[Vector3<f64>; N],
    ) -> Marked<SVector<f64, N>> {
        let Some(area) = self.channel().area() else {
            return self.point_fluxes(at, directions);
        };
        if let Ok(flux) = self.mean_fluxes(area, at, directions) {
            let valid = vec![true; flux.len()];
            return (flux, valid);
        }
        // One that has none stops the others, so each by itself.
        let one = |at: &Self::At| match self.mean_fluxes(area, &[*at], directions) {
            Ok(flux) => (flux[0], true),
            Err(_) => (SVector::repeat(f64::NAN), false),
        };
        at.iter().map(one).unzip()
    }

    /// [`Passing::fluxes_along`] at the active point.
    fn point_fluxes<const N: usize>(
        &self,
        at: &[Self::At],
        directions: &[Vector3<f64>; N],
    ) -> Marked<SVector<f64, N>> {
        let eyes = self.eyes(at, &[self.channel().active_point()], directions);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source().fields_at(&places);
        let of_a_point = self.eyes_of_a_point();
        let flux = eyes
            .chunks_exact(of_a_point)
            .zip(fields.values.chunks_exact(of_a_point))
            .map(|(eyes, fields)| {
                let eyes = eyes.iter().zip(fields);
                eyes.map(|(eye, field)| eye.along(field)).sum()
            });
        let valid = fields.valid.chunks_exact(of_a_point).zip(at);
        let valid = valid.map(|(has, at)| has.iter().all(|has| *has) && self.check(*at).is_ok());
        let row = |(flux, valid)| match valid {
            true => (flux, true),
            false => (SVector::repeat(f64::NAN), false),
        };
        flux.zip(valid).map(row).unzip()
    }

    /// Means of the flux densities over the active area at the places, T, or the error of the first that has none.
    fn mean_fluxes<const N: usize>(
        &self,
        area: &ActiveArea,
        at: &[Self::At],
        directions: &[Vector3<f64>; N],
    ) -> Result<Vec<SVector<f64, N>>> {
        let named = ("mean flux density over the active area", "T");
        self.means(area, at, directions, named, Self::fluxes)
    }

    /// Means over the active area of what `readings` tells of points of the package, place by place.
    fn means<const N: usize>(
        &self,
        area: &ActiveArea,
        at: &[Self::At],
        directions: &[Vector3<f64>; N],
        named: (&'static str, &'static str),
        readings: impl Fn(&Self, &[Self::At], &[Point3<f64>], &[Vector3<f64>; N]) -> Readings<N>,
    ) -> Result<Vec<SVector<f64, N>>> {
        for &at in at {
            observer::check()?;
            self.check(at)?;
            area.moved(&self.package_at(at))?
                .check_uncut(self.source())?;
        }
        let means = area.means(at.len(), AREA_TOLERANCE, named, |wanted, points| {
            let at: Vec<_> = wanted.iter().map(|&i| at[i]).collect();
            let (values, valid) = readings(self, &at, points, directions);
            if let Some(bad) = valid.iter().position(|valid| !valid) {
                // The call for one point knows the reason.
                let (at, point) = (at[bad / points.len()], points[bad % points.len()]);
                for eye in self.eyes_at(at, &point, directions) {
                    self.source().field_at(&eye.point)?;
                }
            }
            Ok(values)
        })?;
        Ok(means.into_iter().map(|mean| mean.value).collect())
    }

    /// Flux densities with the size of the field, T, at points of the package, place by place.
    fn fluxes<const N: usize>(
        &self,
        at: &[Self::At],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Readings<N> {
        let eyes = self.eyes(at, points, directions);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source().fields_at(&places);
        let flux = eyes.iter().zip(&fields.values);
        let flux = flux.map(|(eye, field)| (eye.along(field), field.norm()));
        self.summed(flux.collect(), fields.valid)
    }

    /// A reading of each point from those of its eyes.
    fn summed<const N: usize>(
        &self,
        of_eyes: Vec<(SVector<f64, N>, f64)>,
        valid: Vec<bool>,
    ) -> Readings<N> {
        let eyes = self.eyes_of_a_point();
        if eyes == 1 {
            return (of_eyes, valid);
        }
        let sum = |of_point: &[(SVector<f64, N>, f64)]| {
            let none = (SVector::zeros(), 0.0);
            let pairs = of_point.iter();
            pairs.fold(none, |(sum, size), (one, there)| (sum + one, size + there))
        };
        (
            of_eyes.chunks_exact(eyes).map(sum).collect(),
            valid
                .chunks_exact(eyes)
                .map(|of_point| of_point.iter().all(|valid| *valid))
                .collect(),
        )
    }
}
