//! How much field the angle sensors of a stick see, all over its gate.

use nalgebra::Vector3;

use crate::axis::channel::PACKAGE;
use crate::axis::grid::even_angles;
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
    /// Looked for on a grid of half a degree, from 21 to 201 angles of each axis, that ends at the border of the gate,
    /// and followed from the best position there by halved steps, along the border too: where the field is smooth over
    /// two degrees, as of magnets that keep clear of the sensor, to a millionth of what it changes by.
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
        let in_plane = |field: &Vector3<f64>| sensor.in_plane(field);
        let lines = self.travel().map(|[low, high]| {
            let cells = ((high - low) / STEP).ceil() as usize;
            even_angles([low, high], (cells + 1).clamp(POINTS[0], POINTS[1]))
        });
        let mut positions = Vec::new();
        for &outer in &lines[0] {
            observer::check()?;
            for [low, high] in self.stretches(GimbalAxis::Inner, outer)? {
                let between = lines[1].iter().copied();
                let between = between.filter(|&inner| low < inner && inner < high);
                let all = [low, high].into_iter().chain(between);
                positions.extend(all.map(|inner| [outer, inner]));
            }
        }
        let axes = PACKAGE.map(|axis| axis());
        let turned = Turned::each(&positions);
        let (fields, valid) = self.fluxes_along(axis, &turned, &axes, &|_| true);
        observer::check()?;
        if let Some(bad) = valid.iter().position(|valid| !valid) {
            self.field_of(axis, positions[bad])?;
        }
        let seen = || positions.iter().copied().zip(fields.iter().map(in_plane));
        let least = seen().min_by(|a, b| a.1.total_cmp(&b.1));
        let greatest = seen().max_by(|a, b| a.1.total_cmp(&b.1));
        let (Some(least), Some((place, greatest))) = (least, greatest) else {
            return Ok(None);
        };
        let steps = lines.map(|line| line[1] - line[0]);
        let field = |angles| Ok(in_plane(&self.field_of(axis, angles)?));
        let most = self.followed((place, -greatest), steps, |angles| Ok(-field(angles)?))?;
        Ok(Some([self.followed(least, steps, field)?, -most]))
    }

    /// The angles of one axis that the gate allows while the other is held.
    fn stretches(&self, free: GimbalAxis, held: f64) -> Result<Vec<[f64; 2]>> {
        let spec = self.spec();
        let stretches = spec.gimbal.gate_stretches(&spec.gate, free, held)?;
        Ok(stretches.into_iter().collect())
    }

    /// The least of a quantity about a position where it is known: by steps to the eight neighbors, and to where their
    /// lines meet the border of the gate, which are halved where none of them has less.
    fn followed(
        &self,
        (mut place, mut least): ([f64; 2], f64),
        mut steps: [f64; 2],
        quantity: impl Fn([f64; 2]) -> Result<f64>,
    ) -> Result<f64> {
        for _ in 0..HALVINGS {
            steps = steps.map(|step| 0.5 * step);
            for _ in 0..MOVES {
                observer::check()?;
                let center = place;
                let nearby = |at: f64, step: f64| [at - step, at, at + step];
                let [outer, inner] = [0, 1].map(|i| nearby(center[i], steps[i]));
                let mut around = Vec::new();
                for outer in outer {
                    for [low, high] in self.stretches(GimbalAxis::Inner, outer)? {
                        let within = inner
                            .into_iter()
                            .filter(|inner| (low..=high).contains(inner));
                        around.extend(within.chain([low, high]).map(|inner| [outer, inner]));
                    }
                }
                for inner in inner {
                    let ends = self.stretches(GimbalAxis::Outer, inner)?;
                    around.extend(ends.as_flattened().iter().map(|&outer| [outer, inner]));
                }
                for there in around {
                    let value = quantity(there)?;
                    if value < least {
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
}
