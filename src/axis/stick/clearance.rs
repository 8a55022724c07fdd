//! Whether the parts of a stick keep clear of each other all over the gate.

use std::cell::RefCell;

use nalgebra::Point3;

use crate::axis::clearance::{MAX_CLEARANCE, TOUCHING};
use crate::axis::passing::Eye;
use crate::axis::stick::motion::{Carrier, Path, Turned, Way};
use crate::axis::stick::two_axis::{CarriedMagnets, TwoAxis};
use crate::error::{Error, Result};
use crate::hall::Sensor;
use crate::linkage::{Gate, GimbalAxis};
use crate::magnet::{AnySource, FieldSource, Magnet, MagnetGroup, separation};
use crate::observer;
use crate::units::UM;

/// To what the least distances are found, m: far below what is printed.
const TOLERANCE: f64 = 10.0 * UM;
/// Distances that are only to be positive count as this if they are more, m: the search ends where all that is left is
/// above zero. The same for those that are to be more than the tolerance.
const CLEAR: f64 = TOLERANCE;
const APART: f64 = 3.0 * TOLERANCE;
/// Half the width of a gate on which only one axis turns, rad: no part goes a nanometer for it.
const STILL: f64 = 1e-10;

impl TwoAxis {
    /// Least distance of the center of each sensor's face from any magnet or plate over the whole gate, the outer
    /// sensor first, m; 100 m where there is no body.
    ///
    /// Found by branch and bound: nowhere in the gate is it less by more than 10 micrometers. Magnets that the gimbal
    /// moves against each other are kept apart in the same way: nowhere in the gate does one reach into another by more
    /// than 10 micrometers, whatever lies between two positions. Magnets of a superposed group are no solids and left
    /// out.
    ///
    /// # Errors
    /// [`Error::TwoAxisCollision`] if the face or what reads of a sensor reaches into a magnet or a plate, or a
    /// magnet into another; [`Error::NotConverged`] if it takes too long.
    pub fn clearance(&self) -> Result<[f64; 2]> {
        self.check_magnets()?;
        let [outer, inner] = Self::AXES.map(|axis| self.sensor_clearance(axis, MAX_CLEARANCE));
        Ok([outer?, inner?])
    }

    /// Refuses what [`TwoAxis::clearance`] refuses, without finding how much is left.
    pub(super) fn check_clear(&self) -> Result<()> {
        self.check_magnets()?;
        for axis in Self::AXES {
            self.sensor_clearance(axis, CLEAR)?;
        }
        Ok(())
    }

    /// More than `most` counts as that.
    fn sensor_clearance(&self, axis: GimbalAxis, most: f64) -> Result<f64> {
        let mut clearance = most;
        for (number, source) in self.spec().magnets.iter().enumerate() {
            for (part, way) in self.parts(axis, source.carrier).enumerate() {
                let distance = |point: &Point3<f64>| source.magnets.distance(point);
                let nearest = self.least_distance(&way, distance, most)?;
                if part == 0 {
                    clearance = clearance.min(nearest.0);
                }
                clear_of(axis, number, nearest)?;
            }
        }
        Ok(clearance)
    }

    /// Refuses a sensor that stands inside a magnet or a plate at neutral.
    pub(super) fn check_standing(&self) -> Result<()> {
        let neutral = Turned::of([0.0; 2]);
        for axis in Self::AXES {
            for (number, source) in self.spec().magnets.iter().enumerate() {
                for way in self.parts(axis, source.carrier) {
                    let distance = source.magnets.distance(&way.at(&neutral).point)?;
                    clear_of(axis, number, (distance, [0.0; 2]))?;
                }
            }
        }
        Ok(())
    }

    /// What of a sensor must stay out of all bodies as seen from a carrier: the center of its face first. A
    /// potentiometer on its shaft has no such place.
    fn parts(&self, axis: GimbalAxis, from: Carrier) -> impl Iterator<Item = Way<0>> {
        let (sensor, channel) = (self.spec().sensor(axis), self.channel(axis));
        let points = if matches!(sensor.sensor, Sensor::Potentiometer(_)) {
            Vec::new()
        } else {
            let mut points = channel.outline();
            points.insert(0, Point3::origin());
            points
        };
        let path = Path::new(sensor.carrier, from);
        points.into_iter().map(move |point| {
            let neutral = Eye {
                point: sensor.pose * point,
                directions: [],
            };
            Way::new(path, &self.spec().gimbal, neutral)
        })
    }

    /// The least of a distance over the gate, and where. `distance` is from something that stands still to a point, and
    /// so changes by no more than the way of that point. More than `most` counts as that, and need not be told apart.
    fn least_distance(
        &self,
        way: &Way<0>,
        distance: impl Fn(&Point3<f64>) -> Result<f64>,
        most: f64,
    ) -> Result<(f64, [f64; 2])> {
        // An error of the distance cannot arise: points of a rig are finite. If one does, it is found at neutral.
        let neutral = Turned::of([0.0; 2]);
        distance(&way.at(&neutral).point)?;
        let look = |center: [f64; 2], half: [f64; 2]| {
            let turned = Turned::of(center);
            let value = distance(&way.at(&turned).point).unwrap_or(MAX_CLEARANCE);
            [value, value - way.moves(&turned, half)].map(|distance| distance.min(most))
        };
        self.least_along(way.path(), "clearance of the sensor", look)
    }

    /// The least of a quantity over all of the gate that matters on a path, and where; `look` as
    /// [`Gimbal::least_over_gate`](crate::linkage::Gimbal).
    fn least_along(
        &self,
        path: Path,
        quantity: &'static str,
        look: impl Fn([f64; 2], [f64; 2]) -> [f64; 2],
    ) -> Result<(f64, [f64; 2])> {
        let spec = self.spec();
        let gate = self.gate_of(path)?;
        let gate = gate.as_ref().unwrap_or(&spec.gate);
        spec.gimbal.least_over_gate(gate, quantity, TOLERANCE, look)
    }

    /// Where only one axis moves the parts against each other, a gate on which only that one turns, over all that the
    /// true gate lets it: the other would cost time and change nothing.
    fn gate_of(&self, path: Path) -> Result<Option<Gate>> {
        let [outer, inner] = Self::AXES.map(|axis| path.has(axis));
        if outer && inner {
            return Ok(None);
        }
        let still = [-STILL, STILL];
        let [over_outer, over_inner] = self.travel();
        Gate::square(
            if outer { over_outer } else { still },
            if inner { over_inner } else { still },
        )
        .map(Some)
    }

    /// Refuses magnets that reach into each other.
    fn check_magnets(&self) -> Result<()> {
        let solid: Vec<Option<&MagnetGroup>> = self.spec().magnets.iter().map(solid).collect();
        for (i, first) in solid.iter().enumerate() {
            for (k, second) in solid.iter().enumerate().skip(i + 1) {
                let (Some(first), Some(second)) = (first, second) else {
                    continue;
                };
                let carriers = [i, k].map(|number| self.spec().magnets[number].carrier);
                for one in first.magnets() {
                    for two in second.magnets() {
                        observer::check()?;
                        self.check_pair([one, two], carriers, [i, k])?;
                    }
                }
            }
        }
        Ok(())
    }

    fn check_pair(
        &self,
        [one, two]: [&Magnet; 2],
        carriers: [Carrier; 2],
        numbers: [usize; 2],
    ) -> Result<()> {
        // As seen from the larger one, since the turns move the smaller one by less.
        if two.radius() > one.radius() {
            let [a, b] = carriers;
            let [i, k] = numbers;
            return self.check_pair([two, one], [b, a], [k, i]);
        }
        let center = |magnet: &Magnet| Point3::from(magnet.pose().translation.vector);
        let path = Path::new(carriers[1], carriers[0]);
        let neutral = Eye {
            point: center(two),
            directions: [],
        };
        let way = Way::new(path, &self.spec().gimbal, neutral);
        let reach = one.radius() + two.radius();
        let balls = |point: &Point3<f64>| Ok(nalgebra::distance(point, &center(one)) - reach);
        if self.least_distance(&way, balls, APART)?.0 > TOLERANCE {
            return Ok(());
        }
        let failed = RefCell::new(None);
        let look = |angles: [f64; 2], half: [f64; 2]| {
            let apart = self
                .apart([one, two], carriers, angles)
                .unwrap_or_else(|error| {
                    failed.borrow_mut().get_or_insert(error);
                    MAX_CLEARANCE
                });
            // Its center goes so far, and every other point by its own turn about it farther.
            let turns = Self::AXES.into_iter().zip(half);
            let turn: f64 = turns
                .map(|(axis, half)| if path.has(axis) { half } else { 0.0 })
                .sum();
            let moves = way.moves(&Turned::of(angles), half) + two.radius() * turn;
            [apart, apart - moves].map(|distance| distance.min(CLEAR))
        };
        let (least, [outer, inner]) = self.least_along(path, "gap between two magnets", look)?;
        if let Some(error) = failed.into_inner() {
            return Err(error);
        }
        if least < -TOUCHING {
            let [part, other] = numbers.map(|number| format!("magnets {number} (counted from 0)"));
            return Err(Error::TwoAxisCollision {
                part,
                other,
                outer,
                inner,
                overlap: -least,
            });
        }
        Ok(())
    }

    /// How far apart two magnets stand at least at a position, m; negative where they reach into each other.
    fn apart(
        &self,
        [one, two]: [&Magnet; 2],
        carriers: [Carrier; 2],
        [outer, inner]: [f64; 2],
    ) -> Result<f64> {
        let [first, second] = carriers.map(|carrier| self.motion_at(carrier, outer, inner));
        separation(one, &two.moved(&(first?.inverse() * second?))?)
    }
}

/// Refuses a distance (m) of a sensor from the magnets of a source, with where, at which they reach into each other.
fn clear_of(
    axis: GimbalAxis,
    number: usize,
    (distance, [outer, inner]): (f64, [f64; 2]),
) -> Result<()> {
    if distance >= -TOUCHING {
        return Ok(());
    }
    Err(Error::TwoAxisCollision {
        part: format!("the sensor of the {axis} axis"),
        other: format!("magnets {number} (counted from 0)"),
        outer,
        inner,
        overlap: -distance,
    })
}

/// The magnets of a source that are solids.
fn solid(source: &CarriedMagnets) -> Option<&MagnetGroup> {
    let group = match &source.magnets {
        AnySource::Magnets(group) => group,
        AnySource::OverPlate(over) => over.magnets(),
        AnySource::Empty | AnySource::Custom(_) => return None,
    };
    (!group.is_superposed()).then_some(group)
}
