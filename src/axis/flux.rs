//! The flux density at the sensor of an axis, along directions of its package, by the angle of the pivot.

use nalgebra::{Matrix3, Point3, SVector, Vector3};

use crate::axis::Axis;
#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::magnet::{ActiveArea, FieldSource};
use crate::observer;

/// How exact the mean over an active area is, as a share of the mean of |B|: beyond what figures of a curve are
/// followed to.
const AREA_TOLERANCE: f64 = 1e-11;

/// What is read at each point along each direction, with its size, and whether it has a value.
type Readings<const N: usize> = (Vec<(SVector<f64, N>, f64)>, Vec<bool>);

/// A place where the flux density counts, and the directions along which, among the magnets.
struct Eye<const N: usize> {
    point: Point3<f64>,
    directions: [Vector3<f64>; N],
}

impl<const N: usize> Eye<N> {
    fn along(&self, field: &Vector3<f64>) -> SVector<f64, N> {
        SVector::from(self.directions.map(|direction| field.dot(&direction)))
    }
}

/// A vector that turns about an axis: still + cos(angle) cos + sin(angle) sin (Rodrigues, textbook).
struct Swing {
    still: Vector3<f64>,
    cos: Vector3<f64>,
    sin: Vector3<f64>,
}

impl Swing {
    /// Of a vector, about an axis of length one.
    fn of(vector: Vector3<f64>, axis: &Vector3<f64>) -> Self {
        let still = axis * axis.dot(&vector);
        Self {
            still,
            cos: vector - still,
            sin: axis.cross(&vector),
        }
    }

    fn at(&self, sin: f64, cos: f64) -> Vector3<f64> {
        self.still + self.cos * cos + self.sin * sin
    }
}

/// How an [`Eye`] goes round the pivot.
struct EyePath<const N: usize> {
    point: Swing,
    directions: [Swing; N],
}

impl<const N: usize> EyePath<N> {
    fn at(&self, sin: f64, cos: f64) -> Eye<N> {
        Eye {
            point: Point3::from(self.point.at(sin, cos)),
            directions: self
                .directions
                .each_ref()
                .map(|direction| direction.at(sin, cos)),
        }
    }
}

/// How an [`Eye`] changes for a change of angle.
struct Pass<const N: usize> {
    motion: Vector3<f64>,
    swings: [Vector3<f64>; N],
}

impl<const N: usize> Pass<N> {
    fn slopes(
        &self,
        eye: &Eye<N>,
        field: &Vector3<f64>,
        gradient: &Matrix3<f64>,
    ) -> SVector<f64, N> {
        let carried = eye.along(&(gradient * self.motion));
        carried + SVector::from(self.swings.map(|swing| field.dot(&swing)))
    }
}

impl Axis {
    /// Flux densities along directions of the package, T, at an angle of the pivot.
    ///
    /// # Errors
    /// If the angle is not finite or beyond a full turn; [`Error::OnEdge`] if the active point meets an edge of a
    /// magnet; of a sensor with an active area as [`ActiveArea::mean_field`], [`Error::AreaCut`] above all;
    /// [`Error::BehindPlate`] if it reads inside a plate, [`Error::ThroughPlate`] if a magnet runs into one.
    pub(super) fn flux_along<const N: usize>(
        &self,
        angle: f64,
        directions: &[Vector3<f64>; N],
    ) -> Result<SVector<f64, N>> {
        self.check_pivot(angle)?;
        if let Some(area) = self.area() {
            return Ok(self.mean_fluxes(area, &[angle], directions)?[0]);
        }
        let mut flux = SVector::zeros();
        for eye in self.eyes_at(angle, &self.active_point(), directions) {
            flux += eye.along(&self.source().field_at(&eye.point)?);
        }
        Ok(flux)
    }

    /// [`Axis::flux_along`] at many angles; NaN and marked where it would return an error.
    pub(super) fn fluxes_along<const N: usize>(
        &self,
        angles: &[f64],
        directions: &[Vector3<f64>; N],
    ) -> (Vec<SVector<f64, N>>, Vec<bool>) {
        let none = || SVector::repeat(f64::NAN);
        let Some(area) = self.area() else {
            let (flux, mut valid) = self.fluxes(angles, &[self.active_point()], directions);
            for (valid, angle) in valid.iter_mut().zip(angles) {
                *valid &= self.check_pivot(*angle).is_ok();
            }
            let rows = flux.into_iter().zip(&valid);
            let flux = rows.map(|((flux, _), &valid)| if valid { flux } else { none() });
            return (flux.collect(), valid);
        };
        if let Ok(flux) = self.mean_fluxes(area, angles, directions) {
            let valid = vec![true; flux.len()];
            return (flux, valid);
        }
        // One that has none stops the others, so each by itself.
        let one = |angle: &f64| match self.mean_fluxes(area, &[*angle], directions) {
            Ok(flux) => (flux[0], true),
            Err(_) => (none(), false),
        };
        angles.iter().map(one).unzip()
    }

    /// Change of the flux densities along directions of the package for a change of the pivot's angle, T/rad, exact:
    /// the field is carried past the sensor with its gradient and turned against it.
    ///
    /// # Errors
    /// As [`Axis::flux_along`].
    pub(super) fn flux_slope_along<const N: usize>(
        &self,
        angle: f64,
        directions: &[Vector3<f64>; N],
    ) -> Result<SVector<f64, N>> {
        self.check_pivot(angle)?;
        if let Some(area) = self.area() {
            return Ok(self.mean_slopes(area, &[angle], directions)?[0]);
        }
        let mut slopes = SVector::zeros();
        for eye in self.eyes_at(angle, &self.active_point(), directions) {
            let field = self.source().field_at(&eye.point)?;
            let gradient = self.source().gradient_at(&eye.point)?;
            slopes += self.pass(&eye).slopes(&eye, &field, &gradient);
        }
        Ok(slopes)
    }

    /// Means of the flux densities over the active area at the angles, T, or the error of the first that has none.
    fn mean_fluxes<const N: usize>(
        &self,
        area: &ActiveArea,
        angles: &[f64],
        directions: &[Vector3<f64>; N],
    ) -> Result<Vec<SVector<f64, N>>> {
        let named = ("mean flux density over the active area", "T");
        self.means(area, angles, directions, named, Self::fluxes)
    }

    /// [`Axis::mean_fluxes`] for a change of angle, T/rad.
    fn mean_slopes<const N: usize>(
        &self,
        area: &ActiveArea,
        angles: &[f64],
        directions: &[Vector3<f64>; N],
    ) -> Result<Vec<SVector<f64, N>>> {
        let named = ("change of the mean flux density", "T/rad");
        self.means(area, angles, directions, named, Self::slopes)
    }

    fn means<const N: usize>(
        &self,
        area: &ActiveArea,
        angles: &[f64],
        directions: &[Vector3<f64>; N],
        named: (&'static str, &'static str),
        readings: impl Fn(&Self, &[f64], &[Point3<f64>], &[Vector3<f64>; N]) -> Readings<N>,
    ) -> Result<Vec<SVector<f64, N>>> {
        for &angle in angles {
            observer::check()?;
            self.check_pivot(angle)?;
            area.moved(&self.sensor_among_magnets(angle))?
                .check_uncut(self.source())?;
        }
        let means = area.means(angles.len(), AREA_TOLERANCE, named, |wanted, points| {
            let angles: Vec<_> = wanted.iter().map(|&i| angles[i]).collect();
            let (values, valid) = readings(self, &angles, points, directions);
            if let Some(bad) = valid.iter().position(|valid| !valid) {
                // The call for one point knows the reason.
                let (angle, point) = (angles[bad / points.len()], points[bad % points.len()]);
                for eye in self.eyes_at(angle, &point, directions) {
                    self.source().field_at(&eye.point)?;
                }
            }
            Ok(values)
        })?;
        Ok(means.into_iter().map(|mean| mean.value).collect())
    }

    /// Flux densities with the size of the field, T, at points of the package, angle by angle.
    fn fluxes<const N: usize>(
        &self,
        angles: &[f64],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Readings<N> {
        let eyes = self.eyes(angles, points, directions);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source().fields_at(&places);
        let flux = eyes.iter().zip(&fields.values);
        let flux = flux.map(|(eye, field)| (eye.along(field), field.norm()));
        self.summed(flux.collect(), fields.valid)
    }

    /// Change of flux density with the size of its terms, T/rad, at points of the package, angle by angle.
    fn slopes<const N: usize>(
        &self,
        angles: &[f64],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Readings<N> {
        let eyes = self.eyes(angles, points, directions);
        let places: Vec<_> = eyes.iter().map(|eye| eye.point).collect();
        let fields = self.source().fields_at(&places);
        let gradients = self.source().gradients_at(&places);
        let slopes = eyes.iter().zip(fields.values.iter().zip(&gradients.values));
        let slopes = slopes.map(|(eye, (field, gradient))| {
            let pass = self.pass(eye);
            let size = (gradient * pass.motion).norm() + field.norm();
            (pass.slopes(eye, field, gradient), size)
        });
        let valid = fields.valid.iter().zip(&gradients.valid);
        self.summed(slopes.collect(), valid.map(|(a, b)| *a && *b).collect())
    }

    /// A reading of each point from those of its eyes.
    fn summed<const N: usize>(
        &self,
        of_eyes: Vec<(SVector<f64, N>, f64)>,
        valid: Vec<bool>,
    ) -> Readings<N> {
        if self.opposite().is_none() {
            return (of_eyes, valid);
        }
        let sum = |pair: &[(SVector<f64, N>, f64)]| (pair[0].0 + pair[1].0, pair[0].1 + pair[1].1);
        (
            of_eyes.chunks_exact(2).map(sum).collect(),
            valid
                .chunks_exact(2)
                .map(|pair| pair[0] && pair[1])
                .collect(),
        )
    }

    /// Where a point of the package reads the field of what the magnets' side carries, as the pivot turns: there, and
    /// for the images in a plate that goes with the sensor at its mirror image.
    fn eye_paths<const N: usize>(
        &self,
        point: &Point3<f64>,
        directions: &[Vector3<f64>; N],
    ) -> impl Iterator<Item = EyePath<N>> {
        let sensor = &self.spec().sensor_pose;
        // All that is read follows the remanence.
        let share = self.remanence_share();
        let own = (
            sensor * point,
            directions.map(|direction| sensor * direction * share),
        );
        let image = self.opposite().map(|over| {
            let opposite = |direction| over.plate().opposite(&own.0, &direction);
            let (point, _) = opposite(Vector3::zeros());
            (point, own.1.map(|direction| opposite(direction).1))
        });
        let path = |(point, directions): (Point3<f64>, [Vector3<f64>; N])| {
            let pivot = self.spec().pivot;
            let mut point = Swing::of(point - pivot, &self.turn_of_sensor());
            point.still += pivot.coords;
            EyePath {
                point,
                directions: directions.map(|v| Swing::of(v, &self.turn_of_sensor())),
            }
        };
        std::iter::once(own).chain(image).map(path)
    }

    fn eyes_at<const N: usize>(
        &self,
        angle: f64,
        point: &Point3<f64>,
        directions: &[Vector3<f64>; N],
    ) -> impl Iterator<Item = Eye<N>> {
        let (sin, cos) = angle.sin_cos();
        let paths = self.eye_paths(point, directions);
        paths.map(move |path| path.at(sin, cos))
    }

    fn eyes<const N: usize>(
        &self,
        angles: &[f64],
        points: &[Point3<f64>],
        directions: &[Vector3<f64>; N],
    ) -> Vec<Eye<N>> {
        let paths = points.iter();
        let paths: Vec<_> = paths
            .flat_map(|point| self.eye_paths(point, directions))
            .collect();
        let mut eyes = Vec::with_capacity(angles.len() * paths.len());
        for angle in angles {
            let (sin, cos) = angle.sin_cos();
            eyes.extend(paths.iter().map(|path| path.at(sin, cos)));
        }
        eyes
    }

    /// Turning the magnets one way is turning the sensor the other.
    fn pass<const N: usize>(&self, eye: &Eye<N>) -> Pass<N> {
        let turn = self.turn_of_sensor();
        Pass {
            motion: turn.cross(&(eye.point - self.spec().pivot)),
            swings: eye.directions.map(|direction| turn.cross(&direction)),
        }
    }
}
