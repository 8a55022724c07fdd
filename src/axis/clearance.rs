//! What comes near what over the throw of an axis.

use nalgebra::{Isometry3, Point3};

use crate::axis::Axis;
use crate::axis::curve::least;
use crate::axis::grid::grid_angles;
use crate::axis::passing::Swing;
use crate::error::{Error, Result};
use crate::magnet::{AnySource, FieldSource, MagnetGroup, MagnetsOverPlate};
use crate::observer;

/// Overlap of sensor and magnet below which they count as touching and not as colliding, m: far above rounding, far
/// below anything printed.
pub(super) const TOUCHING: f64 = 1e-9;

/// More than any distance within an axis, m; where there is no body at all, this counts as its distance.
pub(super) const MAX_CLEARANCE: f64 = 100.0;

/// Angles between two looks at the request to stop: some milliseconds, with many magnets.
const BLOCK: usize = 256;

/// Least distance of the center of the package face from a magnet, or from a plate that goes with the magnets, over
/// the throw, m, followed from a grid.
///
/// # Errors
/// [`Error::Collision`] if the face or the active area runs into a magnet or such a plate anywhere,
/// [`Error::ThroughPlate`] if a magnet runs into a plate that goes with the sensor.
pub(super) fn clearance(axis: &Axis) -> Result<f64> {
    let angle = grid_angles(axis);
    let driven = axis.pivots_at(&angle);
    let points = Points::of(axis);
    let (mut face, mut active) = (Vec::new(), Vec::new());
    for (i, &angle) in angle.iter().enumerate() {
        if i % BLOCK == 0 {
            observer::check()?;
        }
        // Work that was stopped is shorter; why a drive refuses an angle the call for one knows.
        let pivot = driven.angles.get(i).filter(|_| driven.valid[i]);
        let (to_face, to_active) = match pivot {
            Some(pivot) => points.distances(*pivot, angle)?,
            None => axis.distances_at(angle)?,
        };
        face.push(to_face);
        active.push(to_active);
    }
    // All are followed, so that nothing meets a magnet or a plate between two places of the grid.
    let gaps = angle.iter().map(|&angle| axis.plate_gap_at(angle));
    let gaps: Option<Vec<f64>> = gaps.collect::<Result<_>>()?;
    if let Some(gaps) = gaps {
        least(&angle, &gaps, |angle| {
            Ok(axis.plate_gap_at(angle)?.unwrap_or(f64::INFINITY))
        })?;
    }
    let distances = |angle: f64| points.distances(axis.pivot_at(angle)?.angle, angle);
    least(&angle, &active, |angle| Ok(distances(angle)?.1))?;
    let nearest = least(&angle, &face, |angle| Ok(distances(angle)?.0))?;
    Ok(nearest.value)
}

/// The points of a sensor that must stay out of all bodies, as they go among the magnets.
struct Points<'a> {
    axis: &'a Axis,
    face: Swing,
    outline: Vec<Swing>,
}

impl<'a> Points<'a> {
    fn of(axis: &'a Axis) -> Self {
        let (pivot, turn) = (axis.spec().pivot, axis.turn_of_sensor());
        let going = |point: Point3<f64>| {
            let mut swing = Swing::of(axis.spec().sensor_pose * point - pivot, &turn);
            swing.still += pivot.coords;
            swing
        };
        let outline = axis.channel().outline().into_iter();
        Self {
            face: going(Point3::origin()),
            outline: outline.map(going).collect(),
            axis,
        }
    }

    /// As [`Axis::distances_at`], where the angle of the pivot is known.
    fn distances(&self, pivot: f64, angle: f64) -> Result<(f64, f64)> {
        let (sin, cos) = pivot.sin_cos();
        let source = self.axis.source();
        let distance = |point: &Swing| source.distance(&Point3::from(point.at(sin, cos)));
        let face = distance(&self.face)?.min(MAX_CLEARANCE);
        // What reads at the center of the face is the same.
        let mut active = if self.outline.is_empty() {
            face
        } else {
            MAX_CLEARANCE
        };
        for point in &self.outline {
            active = active.min(distance(point)?);
        }
        let nearest = face.min(active);
        if nearest < -TOUCHING {
            let pose = self.axis.sensor_among_magnets(pivot);
            let (part, point) = self.axis.nearest_part(&pose, face <= active)?;
            return Err(Error::Collision {
                part,
                other: nearest_body(source, &point)?,
                angle_deg: angle / crate::units::DEG,
                overlap: -nearest,
            });
        }
        Ok((face, active))
    }
}

/// What of a source of field is nearest to a point, by name.
fn nearest_body(source: &AnySource, point: &Point3<f64>) -> Result<String> {
    match source {
        AnySource::Magnets(group) => nearest_magnet(group, point),
        AnySource::OverPlate(over) => {
            if over.plate().distance(point)? < over.magnets().distance(point)? {
                Ok("the plate".to_owned())
            } else {
                nearest_magnet(over.magnets(), point)
            }
        }
        AnySource::Empty | AnySource::Custom(_) => Ok("a body of the source of field".to_owned()),
    }
}

fn nearest_magnet(group: &MagnetGroup, point: &Point3<f64>) -> Result<String> {
    let distances = group.magnets().iter().map(|magnet| magnet.distance(point));
    let distances: Vec<f64> = distances.collect::<Result<_>>()?;
    let nearest = (0..distances.len()).min_by(|&a, &b| distances[a].total_cmp(&distances[b]));
    Ok(magnet_name(nearest.unwrap_or(0), distances.len()))
}

/// What a magnet of so many is called.
pub(super) fn magnet_name(index: usize, count: usize) -> String {
    if count == 1 {
        "the magnet".to_owned()
    } else {
        format!("magnet {index} of {count}")
    }
}

impl Axis {
    /// Refuses a sensor that reaches into the plate that goes with it.
    pub(super) fn check_over_own_plate(&self) -> Result<()> {
        let Some(over) = self.opposite() else {
            return Ok(());
        };
        for point in self
            .channel()
            .outline()
            .into_iter()
            .chain([Point3::origin()])
        {
            let height = over.plate().distance(&(self.spec().sensor_pose * point))?;
            if height < -TOUCHING {
                return Err(Error::BehindPlate { depth: -height });
            }
        }
        Ok(())
    }

    /// The gap between the magnets and a plate that goes with the sensor, m.
    ///
    /// # Errors
    /// [`Error::ThroughPlate`] if a magnet runs into it.
    pub(super) fn plate_gap_at(&self, angle: f64) -> Result<Option<f64>> {
        if self.opposite().is_none() {
            return Ok(None);
        }
        self.plate_gap_at_pivot(self.pivot_at(angle)?.angle)
    }

    pub(super) fn plate_gap_at_pivot(&self, angle: f64) -> Result<Option<f64>> {
        let gap = |over: &MagnetsOverPlate| {
            let plate = over.plate().moved(&self.sensor_turned(angle))?;
            plate.gap(over.magnets())
        };
        self.opposite().map(gap).transpose()
    }

    /// Distances of the center of the package face, and of what of the sensor reads, from the nearest body at `angle`,
    /// m.
    ///
    /// # Errors
    /// [`Error::Collision`] if either lies inside one.
    pub(super) fn distances_at(&self, angle: f64) -> Result<(f64, f64)> {
        let pivot = self.pivot_at(angle)?.angle;
        Points::of(self).distances(pivot, angle)
    }

    /// The center of the face, or that point of what reads which is nearest to a body, with what it is.
    fn nearest_part(
        &self,
        pose: &Isometry3<f64>,
        face: bool,
    ) -> Result<(&'static str, Point3<f64>)> {
        if face {
            return Ok(("the face of the sensor's package", pose * Point3::origin()));
        }
        let part = self.channel().outlined();
        let points = self.channel().outline().into_iter().map(|point| {
            let point = pose * point;
            Ok((self.source().distance(&point)?, point))
        });
        let points: Vec<(f64, Point3<f64>)> = points.collect::<Result<_>>()?;
        let nearest = points.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
        Ok((part, nearest.map_or(Point3::origin(), |(_, point)| point)))
    }
}
