//! How a four-bar moves: velocities and accelerations, points of the coupler, forces, and the rocker as the input.

use nalgebra::{Point2, Vector2};
use serde::{Deserialize, Serialize};

use crate::error::{Result, within};
use crate::linkage::planar::four_bar::place::{Lengths, place};
use crate::linkage::planar::four_bar::{Branch, FourBar, FourBarPose, Links, dead_center};
use crate::linkage::{check_angle, check_motion, until_stopped};

/// The farthest a point of the coupler may lie from the crank joint, m.
const MAX_OFFSET: f64 = 3.0;

/// Angular velocities (rad/s) and accelerations (rad/s^2).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FourBarMotion {
    /// Angular velocity of the coupler, rad/s.
    pub coupler_velocity: f64,
    /// Angular acceleration of the coupler, rad/s^2.
    pub coupler_acceleration: f64,
    /// Angular velocity of the rocker, rad/s.
    pub rocker_velocity: f64,
    /// Angular acceleration of the rocker, rad/s^2.
    pub rocker_acceleration: f64,
}

/// How a point moves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PointMotion {
    /// Where it is, m.
    pub position: Point2<f64>,
    /// Its velocity, m/s.
    pub velocity: Vector2<f64>,
    /// Its acceleration, m/s^2.
    pub acceleration: Vector2<f64>,
}

/// Points at many crank angles, in their order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct CouplerCurve {
    /// Where the point is, m; NaN where the linkage does not close.
    pub points: Vec<Point2<f64>>,
    /// Whether the linkage closes.
    pub valid: Vec<bool>,
}

impl FourBar {
    /// Angular velocities and accelerations of coupler and rocker, from those of the crank (rad/s, rad/s^2).
    ///
    /// # Errors
    /// As [`FourBar::transfer`], and [`Error::OutOfRange`](crate::Error::OutOfRange) for a velocity beyond 1e6 rad/s or
    /// an acceleration beyond 1e12 rad/s^2.
    ///
    /// # References
    /// Norton, *Design of Machinery*, ch. 6 and 7.
    pub fn motion(
        &self,
        crank_angle: f64,
        branch: Branch,
        velocity: f64,
        acceleration: f64,
    ) -> Result<FourBarMotion> {
        let links = self.links(crank_angle, branch)?;
        links.motion(crank_angle, velocity, acceleration)
    }

    /// Torque at the rocker for a torque of 1 at the crank, without friction: the inverse of the ratio of angular
    /// velocities.
    ///
    /// Zero where coupler and rocker are in line, and growing without bound toward the other dead centers, as in a
    /// toggle clamp: there fingers and parts are crushed with little effort at the crank.
    ///
    /// # Errors
    /// As [`FourBar::pose`], and [`Error::DeadCenter`](crate::Error::DeadCenter) where crank and coupler are in line.
    pub fn mechanical_advantage(&self, crank_angle: f64, branch: Branch) -> Result<f64> {
        let links = self.links(crank_angle, branch)?;
        let advantage = -links.cross / links.arm.perp(&links.coupler);
        if advantage.is_finite() {
            Ok(advantage)
        } else {
            Err(dead_center("mechanical advantage", crank_angle))
        }
    }

    /// Where a point of the coupler is, m: `along` the coupler from the crank joint toward the rocker joint, and
    /// `across`, to the left of that direction (m).
    ///
    /// # Errors
    /// As [`FourBar::pose`], and [`Error::OutOfRange`](crate::Error::OutOfRange) for a point more than 3 m off.
    pub fn coupler_point(
        &self,
        crank_angle: f64,
        branch: Branch,
        along: f64,
        across: f64,
    ) -> Result<Point2<f64>> {
        check_offset(along, across)?;
        let links = self.links(crank_angle, branch)?;
        Ok(Point2::from(links.arm + links.offset(along, across)))
    }

    /// The path of a point of the coupler, at many crank angles; see [`FourBar::coupler_point`].
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a point more than 3 m off. Angles at which the linkage does
    /// not close are marked.
    pub fn coupler_curve(
        &self,
        crank_angles: &[f64],
        branch: Branch,
        along: f64,
        across: f64,
    ) -> Result<CouplerCurve> {
        check_offset(along, across)?;
        let point = |angle: &f64| self.coupler_point(*angle, branch, along, across).ok();
        let found: Vec<_> = until_stopped(crank_angles).map(point).collect();
        let none = Point2::new(f64::NAN, f64::NAN);
        Ok(CouplerCurve {
            valid: found.iter().map(Option::is_some).collect(),
            points: found
                .into_iter()
                .map(|point| point.unwrap_or(none))
                .collect(),
        })
    }

    /// Position, velocity and acceleration of a point of the coupler, from angular velocity (rad/s) and acceleration
    /// (rad/s^2) of the crank; see [`FourBar::coupler_point`].
    ///
    /// # Errors
    /// As [`FourBar::motion`] and [`FourBar::coupler_point`].
    pub fn coupler_point_motion(
        &self,
        crank_angle: f64,
        branch: Branch,
        [along, across]: [f64; 2],
        velocity: f64,
        acceleration: f64,
    ) -> Result<PointMotion> {
        check_offset(along, across)?;
        let links = self.links(crank_angle, branch)?;
        let motion = links.motion(crank_angle, velocity, acceleration)?;
        let offset = links.offset(along, across);
        let turning = |arm: &Vector2<f64>, velocity: f64, acceleration: f64| {
            (
                left_of(arm) * velocity,
                left_of(arm) * acceleration - arm * (velocity * velocity),
            )
        };
        let (v_crank, a_crank) = turning(&links.arm, velocity, acceleration);
        let (v_offset, a_offset) = turning(
            &offset,
            motion.coupler_velocity,
            motion.coupler_acceleration,
        );
        Ok(PointMotion {
            position: Point2::from(links.arm + offset),
            velocity: v_crank + v_offset,
            acceleration: a_crank + a_offset,
        })
    }

    /// The two poses that a rocker angle (rad) leaves, when the rocker drives the crank.
    ///
    /// First the one with the crank joint to the right of the line from the rocker joint to the crank pivot, then the
    /// other; each says of which branch it is.
    ///
    /// # Errors
    /// As [`FourBar::pose`], with the rocker angle in place of the crank angle.
    pub fn driven_by_rocker(&self, rocker_angle: f64) -> Result<[FourBarPose; 2]> {
        check_angle("rocker angle", rocker_angle)?;
        let (sin, cos) = rocker_angle.sin_cos();
        // Seen in a mirror that swaps the pivots, the rocker is the crank.
        let mirrored = Lengths {
            crank: self.lengths.rocker,
            rocker: self.lengths.crank,
            ..self.lengths
        };
        let placed = place(&mirrored, [-cos, sin]);
        placed.check(
            &mirrored,
            "four-bar driven by its rocker",
            "crank angle",
            rocker_angle,
        )?;
        let rocker = Vector2::new(cos, sin) * self.lengths.rocker;
        Ok(Branch::ALL.map(|side| {
            let [coupler, arm] = placed.links(side.side(placed.h));
            let (coupler, arm) = (
                Vector2::new(coupler[0], -coupler[1]),
                Vector2::new(-arm[0], arm[1]),
            );
            let cross = coupler.perp(&rocker);
            let links = Links {
                arm,
                coupler,
                rocker,
                cross,
            };
            let pose = self.pose_of(&links, arm.y.atan2(arm.x), Branch::of(cross));
            FourBarPose {
                rocker_angle,
                ..pose
            }
        }))
    }
}

impl Links {
    fn motion(&self, crank_angle: f64, velocity: f64, acceleration: f64) -> Result<FourBarMotion> {
        check_motion(velocity, acceleration)?;
        let [coupler, rocker] = self.derivatives(crank_angle)?;
        let second =
            |[ratio, curvature]: [f64; 2]| ratio * acceleration + curvature * velocity * velocity;
        Ok(FourBarMotion {
            coupler_velocity: coupler[0] * velocity,
            coupler_acceleration: second(coupler),
            rocker_velocity: rocker[0] * velocity,
            rocker_acceleration: second(rocker),
        })
    }

    /// From the crank joint to a point of the coupler.
    fn offset(&self, along: f64, across: f64) -> Vector2<f64> {
        let direction = self.coupler.normalize();
        direction * along + left_of(&direction) * across
    }
}

fn left_of(v: &Vector2<f64>) -> Vector2<f64> {
    Vector2::new(-v.y, v.x)
}

fn check_offset(along: f64, across: f64) -> Result<()> {
    within(
        "offset along the coupler",
        along,
        -MAX_OFFSET,
        MAX_OFFSET,
        "m",
    )?;
    within(
        "offset across the coupler",
        across,
        -MAX_OFFSET,
        MAX_OFFSET,
        "m",
    )?;
    Ok(())
}
