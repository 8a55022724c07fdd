//! The flux density at the sensor of an axis, along directions of its package, by the angle of the pivot.

use nalgebra::{Isometry3, Matrix3, Point3, SVector, Vector3};

use crate::axis::Axis;
use crate::axis::channel::Channel;
use crate::axis::passing::{Eye, Passing, Readings, Swing};
use crate::error::Result;
use crate::magnet::{ActiveArea, AnySource, FieldSource};

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

/// By the angle of the pivot, rad.
impl Passing for Axis {
    type At = f64;

    fn channel(&self) -> &Channel {
        self.channel()
    }

    fn source(&self) -> &AnySource {
        self.source()
    }

    fn check(&self, angle: f64) -> Result<()> {
        self.check_pivot(angle)
    }

    fn package_at(&self, angle: f64) -> Isometry3<f64> {
        self.sensor_among_magnets(angle)
    }

    fn eyes_of_a_point(&self) -> usize {
        1 + usize::from(self.opposite().is_some())
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
}

impl Axis {
    /// Change of the flux densities along directions of the package for a change of the pivot's angle, T/rad, exact:
    /// the field is carried past the sensor with its gradient and turned against it.
    ///
    /// # Errors
    /// As [`Passing::flux_along`].
    pub(super) fn flux_slope_along<const N: usize>(
        &self,
        angle: f64,
        directions: &[Vector3<f64>; N],
    ) -> Result<SVector<f64, N>> {
        self.check_pivot(angle)?;
        if let Some(area) = self.channel().area() {
            return Ok(self.mean_slopes(area, &[angle], directions)?[0]);
        }
        let mut slopes = SVector::zeros();
        for eye in self.eyes_at(angle, &self.channel().active_point(), directions) {
            let field = self.source().field_at(&eye.point)?;
            let gradient = self.source().gradient_at(&eye.point)?;
            slopes += self.pass(&eye).slopes(&eye, &field, &gradient);
        }
        Ok(slopes)
    }

    /// [`Passing::mean_fluxes`] for a change of angle, T/rad.
    fn mean_slopes<const N: usize>(
        &self,
        area: &ActiveArea,
        angles: &[f64],
        directions: &[Vector3<f64>; N],
    ) -> Result<Vec<SVector<f64, N>>> {
        let named = ("change of the mean flux density", "T/rad");
        self.means(area, angles, directions, named, Self::slopes)
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

    /// Turning the magnets one way is turning the sensor the other.
    fn pass<const N: usize>(&self, eye: &Eye<N>) -> Pass<N> {
        let turn = self.turn_of_sensor();
        Pass {
            motion: turn.cross(&(eye.point - self.spec().pivot)),
            swings: eye.directions.map(|direction| turn.cross(&direction)),
        }
    }
}
