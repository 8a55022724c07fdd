//! Whether the parts of a stick keep clear of each other all over the gate.

use nalgebra::{Point3, Vector3};

use crate::axis::clearance::{MAX_CLEARANCE, TOUCHING};
use crate::axis::grid::even_angles;
use crate::axis::stick::motion::{Carrier, Eye, Path, Turned};
use crate::axis::stick::readings::grid;
use crate::axis::stick::two_axis::{CarriedMagnets, TwoAxis};
use crate::error::{Error, Result};
use crate::linkage::{Gate, GimbalAxis};
use crate::magnet::{AnySource, FieldSource, Magnet, MagnetGroup};
use crate::observer;
use crate::units::UM;

/// To what the least distances are found, m: far below what is printed.
const TOLERANCE: f64 = 10.0 * UM;
/// Half the width of a gate on which only one axis turns, rad: no part goes a nanometer for it.
const STILL: f64 = 1e-10;
/// Positions along each axis at which magnets that come near each other are looked at.
const LOOKS: usize = 21;

impl TwoAxis {
    /// Least distance of the center of each sensor's face from any magnet or plate over the whole gate, the outer
    /// sensor first, m; 100 m where there is no body.
    ///
    /// Found by branch and bound: nowhere in the gate is it less by more than 10 micrometers. Magnets that the gimbal
    /// moves against each other are first kept apart as the balls around them, in the same way; those whose balls meet
    /// are looked at on a grid of 21 by 21 positions. Magnets of a superposed group are no solids and left out.
    ///
    /// # Errors
    /// [`Error::TwoAxisCollision`] if the face or the active point of a sensor reaches into a magnet or a plate, or a
    /// magnet into another; [`Error::NotConverged`] if it takes too long.
    pub fn clearance(&self) -> Result<[f64; 2]> {
        self.check_magnets()?;
        let [outer, inner] = Self::AXES.map(|axis| self.sensor_clearance(axis));
        Ok([outer?, inner?])
    }

    fn sensor_clearance(&self, axis: GimbalAxis) -> Result<f64> {
        let mut clearance = MAX_CLEARANCE;
        for (number, source) in self.spec().magnets.iter().enumerate() {
            let face = self.face(axis, source.carrier);
            let active = self.eye(axis, source.carrier);
            let deep = self.spec().sensor(axis).sensor.depth() > 0.0;
            let nearest = self.least_distance(&face, |point| source.magnets.distance(point))?;
            clearance = clearance.min(nearest.0);
            let mut all = vec![nearest];
            if deep {
                all.push(self.least_distance(active, |point| source.magnets.distance(point))?);
            }
            for (distance, [outer, inner]) in all {
                if distance < -TOUCHING {
                    return Err(Error::TwoAxisCollision {
                        part: format!("the sensor of the {axis} axis"),
                        other: format!("magnets {number} (counted from 0)"),
                        outer,
                        inner,
                        overlap: -distance,
                    });
                }
            }
        }
        Ok(clearance)
    }

    /// The least of a distance over the gate, and where. `distance` is from something that stands still to a point, and
    /// so changes by no more than the way of that point.
    fn least_distance(
        &self,
        eye: &Eye,
        distance: impl Fn(&Point3<f64>) -> Result<f64>,
    ) -> Result<(f64, [f64; 2])> {
        // An error of the distance cannot arise: points of a rig are finite. If one does, it is found at neutral.
        let neutral = Turned::of([0.0; 2]);
        distance(&eye.at(&neutral).0)?;
        let look = |center: [f64; 2], half: [f64; 2]| {
            let turned = Turned::of(center);
            let value =
                distance(&eye.at(&turned).0).map_or(MAX_CLEARANCE, |d| d.min(MAX_CLEARANCE));
            [value, value - eye.moves(&turned, half)]
        };
        let spec = self.spec();
        let gate = self.gate_of(eye.path())?;
        let gate = gate.as_ref().unwrap_or(&spec.gate);
        spec.gimbal
            .least_over_gate(gate, "clearance of the sensor", TOLERANCE, look)
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
        let center = |magnet: &Magnet| Point3::from(magnet.pose().translation.vector);
        let path = Path::new(carriers[1], carriers[0]);
        let eye = Eye::new(path, &self.spec().gimbal, center(two), Vector3::z());
        let reach = one.radius() + two.radius();
        let apart = |point: &Point3<f64>| Ok(nalgebra::distance(point, &center(one)) - reach);
        let (least, nearest) = self.least_distance(&eye, apart)?;
        if least > TOLERANCE {
            return Ok(());
        }
        let along = |axis: usize, moves: bool| {
            if moves {
                even_angles(self.travel()[axis], LOOKS)
            } else {
                vec![0.0]
            }
        };
        let mut positions = grid(
            &along(0, path.has(GimbalAxis::Outer)),
            &along(1, path.has(GimbalAxis::Inner)),
        );
        let both = path.has(GimbalAxis::Outer) && path.has(GimbalAxis::Inner);
        if both {
            let allowed = self.allowed(&positions)?;
            let mut allowed = allowed.into_iter();
            positions.retain(|_| allowed.next().unwrap_or(false));
        }
        positions.push(nearest);
        for [outer, inner] in positions {
            observer::check()?;
            let moved = [(one, carriers[0]), (two, carriers[1])]
                .map(|(magnet, carrier)| magnet.moved(&self.motion_at(carrier, outer, inner)?));
            let [first, second] = moved;
            match MagnetGroup::new([first?, second?]) {
                Err(Error::GroupOverlap { depth, .. }) => {
                    let [part, other] =
                        numbers.map(|number| format!("magnets {number} (counted from 0)"));
                    return Err(Error::TwoAxisCollision {
                        part,
                        other,
                        outer,
                        inner,
                        overlap: depth,
                    });
                }
                Err(error) => return Err(error),
                Ok(_) => {}
            }
        }
        Ok(())
    }
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
