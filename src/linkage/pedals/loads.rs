//! The way of the foot and the forces between the feet.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::check_angle;
use crate::linkage::pedals::{FootSide, PedalPair};

/// The largest force of a foot, N; in an emergency a foot presses with some kilonewtons.
const FOOT: f64 = 1e4;
/// What the errors call it.
const NAME: &str = "pedal pair";

/// Where a pad is and how it got there from neutral.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PadPose {
    /// Middle of the pad, m.
    pub point: Point3<f64>,
    /// Way along the circle about the hinge, m, signed as the hinge's angle.
    pub arc: f64,
    /// Straight distance from neutral, m.
    pub chord: f64,
    /// How far it has gone along the push, m.
    pub advance: f64,
    /// How far it goes along the push for a small turn, m/rad.
    pub advance_per_angle: f64,
}

/// What one foot's push does, the other foot holding still; without friction and weight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalLoads {
    /// Torque of the push about the pushed pedal's hinge, N m.
    pub torque: f64,
    /// Force in the rod of the pushed pedal, N: positive pulls, negative pushes.
    pub rod_force: f64,
    /// Torque of that rod on the crank, N m.
    pub crank_torque: f64,
    /// Force in the rod of the other pedal, N.
    pub other_rod_force: f64,
    /// Torque of its rod on the other pedal about its hinge, N m.
    pub other_torque: f64,
    /// Push of the other foot, along its own push direction, that holds still, N; negative if it would have to pull.
    pub other_force: f64,
    /// Force of the crank's bearings on the crank, N.
    pub crank_reaction: Vector3<f64>,
}

impl PedalPair {
    /// Where the pad of a pedal is at an angle of its hinge (rad).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond two turns either way.
    pub fn pad(&self, foot: FootSide, angle: f64) -> Result<PadPose> {
        check_angle("angle of the pedal", angle)?;
        let pedal = self.pedal(foot);
        let point = pedal.arm().carried(&pedal.pad(), angle);
        let radius = pedal.pad_radius();
        Ok(PadPose {
            point,
            arc: radius * angle,
            chord: 2.0 * radius * (0.5 * angle).sin().abs(),
            advance: (point - pedal.pad()).dot(&pedal.push()),
            advance_per_angle: pedal.advance(angle),
        })
    }

    /// Forces when one foot pushes with a force (N, along its pedal's push direction) with its pedal at an angle (rad),
    /// and the other foot holds still.
    ///
    /// Virtual work: the sum of push times advance is zero. A foot that presses in an emergency passes a kilonewton:
    /// take such a force to see what rods, ball joints, crank and bearings have to stand, with both feet pushing
    /// against each other. For simulators only.
    ///
    /// # Errors
    /// As [`PedalPair::pose`] and [`BallRod::loads`](crate::linkage::BallRod::loads); [`Error::OutOfRange`] for a force
    /// beyond 10 kN; [`Error::DeadCenter`] where the other pad moves square to its push, so that no push holds it.
    pub fn loads(&self, foot: FootSide, angle: f64, force: f64) -> Result<PedalLoads> {
        within("force of the foot", force, -FOOT, FOOT, "N")?;
        let other = foot.other();
        let pose = self.pose(foot.into(), angle)?;
        let torque = force * self.pedal(foot).advance(angle);
        let driving = self.side(foot).to_crank.loads(angle, torque)?;
        let crank = pose.crank.angle;
        let driven = self
            .side(other)
            .to_pedal
            .loads(crank, driving.output_torque)?;
        let held = self.pedal(other);
        let advance = held.advance(pose.of(other.into()).angle);
        /// Share of the pad's radius below which the push is square to the way.
        const SQUARE: f64 = 1e-6;
        if advance.abs() < SQUARE * held.pad_radius() {
            return Err(Error::DeadCenter {
                linkage: NAME,
                quantity: "force on the other foot",
                angle,
            });
        }
        Ok(PedalLoads {
            torque,
            rod_force: driving.rod_force,
            crank_torque: driving.output_torque,
            other_rod_force: driven.rod_force,
            other_torque: driven.output_torque,
            other_force: -driven.output_torque / advance,
            crank_reaction: driving.output_reaction + driven.input_reaction,
        })
    }
}
