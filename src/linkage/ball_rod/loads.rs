//! Forces through a ball-joint rod, and what play and a wrong length of it do to the output.

use std::f64::consts::{FRAC_PI_2, TAU};

use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::ball_rod::NAME;
use crate::linkage::{Arm, BallRod};

/// The largest torque at a pivot, N m: a foot's kilonewtons on half a meter.
const TORQUE: f64 = 1e4;
/// The largest play or error of a rod's length, m.
const SLACK: f64 = 0.02;

/// Forces in a ball-joint rod and at its pivots, without friction and weight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct RodLoads {
    /// Force along the rod, N: positive pulls, negative pushes (and may buckle it).
    pub rod_force: f64,
    /// Torque of the rod on the output arm about its pivot, N m: the torque put in over the ratio.
    pub output_torque: f64,
    /// Force of the input pivot's bearings on the arm, N.
    pub input_reaction: Vector3<f64>,
    /// Force of the output pivot's bearings on the arm, N, if what the output drives takes off a pure torque.
    pub output_reaction: Vector3<f64>,
    /// Moment of the input bearings on the arm about the pivot's point, N m: square to the axis.
    pub input_moment: Vector3<f64>,
    /// Moment of the output bearings on the arm about the pivot's point, N m: square to the axis.
    pub output_moment: Vector3<f64>,
}

/// A small shift of the output, by first order and exactly.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct OutputShift {
    /// Slope times cause, rad.
    pub first_order: f64,
    /// From solving the linkage anew, rad.
    pub exact: f64,
}

impl BallRod {
    /// Transmission angle, rad, at an input angle (rad): from 0, where the rod points at the output pivot and cannot
    /// turn it, to pi/2, where it pulls square to the arm. Its sine is the share of the rod's force that turns the
    /// output arm.
    ///
    /// # Errors
    /// As [`BallRod::output_angle`].
    pub fn transmission_angle(&self, angle: f64) -> Result<f64> {
        let (_, at) = self.reachable(angle)?;
        Ok((at.root() / self.rod).min(1.0).asin())
    }

    /// The least transmission angle over a travel (rad): at its ends, or at an extreme of S^2 between them.
    pub(in crate::linkage) fn min_transmission_angle(&self, [low, high]: [f64; 2]) -> Result<f64> {
        let places = self.kernel.discriminant().derivative().root_places();
        let places = places.ok_or(Error::NotConverged {
            quantity: "least transmission angle of the ball-joint rod",
            reached: f64::INFINITY,
            wanted: f64::EPSILON,
            unit: "rad",
        })?;
        let turns = |place: f64| [place - TAU, place];
        let inside = places.into_iter().flat_map(turns);
        let inside = inside.filter(|place| (low..=high).contains(place));
        let mut least = FRAC_PI_2;
        for angle in [low, high].into_iter().chain(inside) {
            least = least.min(self.transmission_angle(angle)?);
        }
        Ok(least)
    }

    /// Forces with a torque on the input arm (N m, about its axis by the right-hand rule) at an input angle (rad), the
    /// output held by what it drives.
    ///
    /// Virtual work: torque = rod force times the effective arm, on either side. For simulators only; a foot in an
    /// emergency presses with more than a kilonewton, and what carries it has to be designed for that.
    ///
    /// # Errors
    /// As [`BallRod::transfer`]; [`Error::DeadCenter`] where the rod points at the input pivot, so that no force of it
    /// could hold the torque; [`Error::OutOfRange`] for a torque beyond 10 kN m.
    pub fn loads(&self, angle: f64, torque: f64) -> Result<RodLoads> {
        within("input torque", torque, -TORQUE, TORQUE, "N m")?;
        let transfer = self.transfer(angle)?;
        let lever = self.output_lever(angle)?;
        let input_lever = lever * transfer.ratio;
        let no_lever = |_| Error::DeadCenter {
            linkage: NAME,
            quantity: "rod force",
            angle,
        };
        Arm::lever("effective arm", input_lever, self.input.length()).map_err(no_lever)?;
        let rod_force = torque / input_lever;
        let [a, b] = self.joints_between(angle, transfer.angle);
        // Force of a pulling rod on the output arm.
        let pull = (a - b) * (rod_force / self.rod);
        let bearing = |arm: &Arm, joint: nalgebra::Point3<f64>, reaction: Vector3<f64>| {
            let moment = (joint - arm.pivot()).cross(&reaction);
            moment - arm.direction() * arm.direction().dot(&moment)
        };
        Ok(RodLoads {
            rod_force,
            output_torque: rod_force * lever,
            input_reaction: pull,
            output_reaction: -pull,
            input_moment: bearing(&self.input, a, pull),
            output_moment: bearing(&self.output, b, -pull),
        })
    }

    /// How the output angle follows the rod length at a fixed input angle (rad), rad/m.
    ///
    /// # Errors
    /// As [`BallRod::transfer`].
    pub fn output_per_length(&self, angle: f64) -> Result<f64> {
        self.transfer(angle)?;
        Ok(-1.0 / self.output_lever(angle)?)
    }

    /// What an error of the rod length (m, positive for a rod too long) does to the output at a fixed input angle
    /// (rad).
    ///
    /// # Errors
    /// As [`BallRod::transfer`], also for the rod of the other length; [`Error::OutOfRange`] for an error beyond 20 mm.
    pub fn length_error(&self, angle: f64, error: f64) -> Result<OutputShift> {
        within("error of the rod length", error, -SLACK, SLACK, "m")?;
        let slope = self.output_per_length(angle)?;
        Ok(OutputShift {
            first_order: slope * error,
            exact: self.output_with(error, angle)? - self.output_with(0.0, angle)?,
        })
    }

    /// Backlash at the output, from end to end, at a fixed input angle (rad): how far play lets it move.
    ///
    /// `play`: how far (m) the balls may leave the centers of their sockets along the rod to either side, both joints
    /// added up: the rod acts as if it were so much longer or shorter.
    ///
    /// # Errors
    /// As [`BallRod::length_error`].
    pub fn backlash(&self, angle: f64, play: f64) -> Result<OutputShift> {
        within("play of the ball joints", play, 0.0, SLACK, "m")?;
        let slope = self.output_per_length(angle)?;
        let [short, long] = [
            self.output_with(-play, angle)?,
            self.output_with(play, angle)?,
        ];
        Ok(OutputShift {
            first_order: 2.0 * slope.abs() * play,
            exact: (long - short).abs(),
        })
    }

    fn output_with(&self, longer: f64, angle: f64) -> Result<f64> {
        let changed = self.with_rod_length(self.rod + longer)?;
        Ok(changed.transfer(angle)?.angle)
    }

    /// Torque on the output arm per pull of the rod, m.
    fn output_lever(&self, angle: f64) -> Result<f64> {
        let (_, at) = self.reachable(angle)?;
        Ok(-self.side * self.output.length() * at.root() / self.rod)
    }
}
