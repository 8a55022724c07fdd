//! How much field the angle sensors of a stick see, all over its gate.

use nalgebra::Vector3;

use crate::axis::channel::PACKAGE;
use crate::axis::grid::even_angles;
use crate::axis::stick::fields::grid;
use crate::axis::stick::motion::Turned;
use crate::axis::stick::two_axis::TwoAxis;
use crate::error::Result;
use crate::hall::Sensor;
use crate::linkage::GimbalAxis;
use crate::observer;
use crate::units::DEG;

/// Steps of the grid on which the least and the greatest are looked for first: half a degree or so, within these
/// numbers of points.
const STEP: f64 = 0.5 * DEG;
const POINTS: [usize; 2] = [21, 201];
/// How often the step is halved about the best position of the grid: to a millionth of it.
const HALVINGS: usize = 20;
/// Moves at one step; more only follow a crest that leads away from the best position of the grid.
const MOVES: usize = 16;

impl TwoAxis {
    /// Least and greatest flux density in the plane of each angle sensor anywhere in the gate, the outer one first, T;
    /// none of another sensor, whose output does not depend on it.
    ///
    /// Looked for on a grid of half a degree, from 21 to 201 angles of each axis, and followed from the best position
    /// there by halved steps: where the field is smooth over two degrees, as of magnets that keep clear of the sensor,
    /// to a millionth of what it changes by.
    ///
    /// # Errors
    /// As [`TwoAxis::field_at`], anywhere in the gate.
    pub fn field_ranges(&self) -> Result<[Option<[f64; 2]>; 2]> {
        let [outer, inner] = Self::AXES.map(|axis| self.field_range(axis));
        Ok([outer?, inner?])
    }

    fn field_range(&self, axis: GimbalAxis) -> Result<Option<[f64; 2]>> {
        let Sensor::Angle(sensor) = self.channel(axis).sensor() else {
            return Ok(None);
        };
        let plane = sensor.spec().directions;
        let in_plane = |field: &Vector3<f64>| field.dot(&plane[0]).hypot(field.dot(&plane[1]));
        let [outer, inner] = self.travel().map(|[low, high]| {
            let cells = ((high - low) / STEP).ceil() as usize;
            even_angles([low, high], (cells + 1).clamp(POINTS[0], POINTS[1]))
        });
        let all = grid(&outer, &inner);
        let allowed = self.allowed(&all)?;
        let inside = all.iter().zip(allowed).filter(|(_, allowed)| *allowed);
        let positions: Vec<[f64; 2]> = inside.map(|(angles, _)| *angles).collect();
        let axes = PACKAGE.map(|axis| axis());
        let turned = Turned::each(&positions);
        let (fields, valid) = self.fluxes_along(axis, &turned, &axes, &|_| true);
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            self.field_at(positions[bad][0], positions[bad][1])?;
        }
        let seen = || positions.iter().copied().zip(fields.iter().map(in_plane));
        let steps = [&outer, &inner].map(|line| line[1] - line[0]);
        let at = |angles: [f64; 2]| -> Result<Option<f64>> {
            if self.allowed(&[angles])? != [true] {
                return Ok(None);
            }
            Ok(Some(in_plane(&self.field_of(axis, angles)?)))
        };
        let least = seen().min_by(|a, b| a.1.total_cmp(&b.1));
        let greatest = seen().max_by(|a, b| a.1.total_cmp(&b.1));
        let (Some(least), Some(greatest)) = (least, greatest) else {
            return Ok(None);
        };
        Ok(Some([
            followed(least, steps, at)?,
            -followed((greatest.0, -greatest.1), steps, |angles| {
                Ok(at(angles)?.map(|field| -field))
            })?,
        ]))
    }
}

/// The least of a quantity about a position where it is known, by steps to the eight neighbors that are halved where
/// none of them has less.
fn followed(
    (mut place, mut least): ([f64; 2], f64),
    mut steps: [f64; 2],
    at: impl Fn([f64; 2]) -> Result<Option<f64>>,
) -> Result<f64> {
    for _ in 0..HALVINGS {
        steps = steps.map(|step| 0.5 * step);
        for _ in 0..MOVES {
            observer::check()?;
            let center = place;
            for (i, j) in (0..9).map(|cell| (cell / 3, cell % 3)) {
                let there = [
                    center[0] + (f64::from(i) - 1.0) * steps[0],
                    center[1] + (f64::from(j) - 1.0) * steps[1],
                ];
                if let Some(value) = at(there)?
                    && value < least
                {
                    (place, least) = (there, value);
                }
            }
            if place == center {
                break;
            }
        }
    }
    Ok(least)
}
