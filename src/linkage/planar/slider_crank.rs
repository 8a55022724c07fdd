//! The slider-crank: a push rod from a crank to something that slides.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Point2, Vector2};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::{
    Branch, Range, angle_opposite, check_angle, check_length, check_motion, until_stopped, wrapped,
};
use crate::stored::stored_by_its_constructor;
use crate::written::debug_as_call;

const NAME: &str = "slider-crank";
/// The farthest a slide may pass the pivot, or a slide position may be asked for, m.
const MAX_OFFSET: f64 = 6.0;

/// A slider-crank: a crank turns about a pivot, a rod joins its end to a slide.
///
/// Frame: origin at the crank pivot, the slide moves along x on the line y = offset. The crank angle counts from x,
/// counterclockwise; the slide position is the x of the rod's end on the slide. On the open branch the rod points
/// forward, toward +x, from crank to slide; on the crossed branch backward.
///
/// # Example
/// ```
/// use yokewright::linkage::{Branch, SliderCrank};
/// use yokewright::units::{DEG, MM};
///
/// // A lever of 40 mm pushes a slide potentiometer through a 100 mm rod.
/// let slider = SliderCrank::new(40.0 * MM, 100.0 * MM, 0.0)?;
/// let transfer = slider.transfer(90.0 * DEG, Branch::Open)?;
/// assert!((transfer.position - (100.0_f64.powi(2) - 40.0_f64.powi(2)).sqrt() * MM).abs() < 1e-12);
/// assert!((transfer.ratio + 40.0 * MM).abs() < 1e-12); // upright, the crank pulls the slide straight back
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// R. L. Norton, *Design of Machinery*, McGraw-Hill, sec. 4.6, 6.7, 7.3 (offset slider-crank).
#[derive(Clone, Copy, PartialEq)]
pub struct SliderCrank {
    crank: f64,
    rod: f64,
    offset: f64,
}

stored_by_its_constructor!(SliderCrank {
    crank: f64,
    rod: f64,
    offset: f64
} => Self::new(crank, rod, offset));

/// A slide position and how it follows the crank angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SlideTransfer {
    /// Slide position, m.
    pub position: f64,
    /// First derivative of the position by the crank angle, m/rad: the lever arm on which a force on the slide turns
    /// the crank.
    pub ratio: f64,
    /// Second derivative of the position by the crank angle, m/rad^2.
    pub curvature: f64,
}

/// Slide positions at many crank angles, in their order, with first and second derivative.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SlideTransfers {
    /// Slide position, m; NaN where there is none.
    pub position: Vec<f64>,
    /// First derivative of the position by the crank angle, m/rad.
    pub ratio: Vec<f64>,
    /// Second derivative of the position by the crank angle, m/rad^2.
    pub curvature: Vec<f64>,
    /// Whether the rod reaches the slide there and the position has derivatives.
    pub valid: Vec<bool>,
}

/// A slider-crank at one crank angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SliderCrankPose {
    /// How it is put together.
    pub branch: Branch,
    /// Crank angle, rad.
    pub crank_angle: f64,
    /// Direction from the crank joint to the slide, rad.
    pub rod_angle: f64,
    /// Acute angle between the rod and the perpendicular to the slide, 0 to pi/2 rad: small where the rod presses the
    /// slide against its guide.
    pub transmission_angle: f64,
    /// End of the crank, m.
    pub crank_joint: Point2<f64>,
    /// End of the rod on the slide, m.
    pub slide_joint: Point2<f64>,
}

/// How a slider-crank moves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SliderCrankMotion {
    /// Angular velocity of the rod, rad/s.
    pub rod_velocity: f64,
    /// Angular acceleration of the rod, rad/s^2.
    pub rod_acceleration: f64,
    /// Velocity of the slide, m/s.
    pub slide_velocity: f64,
    /// Acceleration of the slide, m/s^2.
    pub slide_acceleration: f64,
}

/// A crank in line with its rod, where the slide turns back and no force on it turns the crank.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SlideDeadCenter {
    /// Whether crank and rod lie one after the other (`true`) or folded over one another.
    pub stretched: bool,
    /// Where all parts are.
    pub pose: SliderCrankPose,
}

/// Parts as vectors.
struct Parts {
    arm: Vector2<f64>,
    rod: Vector2<f64>,
}

debug_as_call!(SliderCrank, |self, f| {
    write!(
        f,
        "SliderCrank::new({:?}, {:?}, {:?})?",
        self.crank, self.rod, self.offset
    )
});

impl SliderCrank {
    /// A crank and a rod of the given lengths (m), and the y of the slide's line of travel (m, positive to the left of
    /// +x).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if a length is not within 0.1 mm to 3 m, or the offset not within
    /// 6 m either way. [`Error::NeverCloses`] if crank and rod together do not reach the slide.
    pub fn new(crank: f64, rod: f64, offset: f64) -> Result<Self> {
        let slider = Self {
            crank: check_length("crank", crank)?,
            rod: check_length("rod", rod)?,
            offset: within("offset of the slide", offset, -MAX_OFFSET, MAX_OFFSET, "m")?,
        };
        let gap = offset.abs() - (crank + rod);
        if gap > slider.rounding() {
            return Err(Error::NeverCloses { linkage: NAME, gap });
        }
        Ok(slider)
    }

    /// Length of the crank, m.
    #[must_use]
    pub fn crank(&self) -> f64 {
        self.crank
    }

    /// Length of the rod, m.
    #[must_use]
    pub fn rod(&self) -> f64 {
        self.rod
    }

    /// The y of the line along which the slide travels, m.
    #[must_use]
    pub fn offset(&self) -> f64 {
        self.offset
    }

    /// All angles and joints at a crank angle (rad).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an angle beyond two turns either way; [`Error::CannotClose`] where the rod does not
    /// reach the slide.
    pub fn pose(&self, crank_angle: f64, branch: Branch) -> Result<SliderCrankPose> {
        let parts = self.parts(crank_angle, branch)?;
        Ok(self.pose_of(&parts, crank_angle, branch))
    }

    fn pose_of(
        &self,
        Parts { arm, rod }: &Parts,
        crank_angle: f64,
        branch: Branch,
    ) -> SliderCrankPose {
        SliderCrankPose {
            branch,
            crank_angle,
            rod_angle: rod.y.atan2(rod.x),
            transmission_angle: rod.x.abs().atan2(rod.y.abs()),
            crank_joint: Point2::from(*arm),
            slide_joint: Point2::new(arm.x + rod.x, self.offset),
        }
    }

    /// Slide position (m) with its first and second derivative by the crank angle.
    ///
    /// # Errors
    /// As [`SliderCrank::pose`], and [`Error::DeadCenter`] where the rod stands across the slide.
    pub fn transfer(&self, crank_angle: f64, branch: Branch) -> Result<SlideTransfer> {
        let parts = self.parts(crank_angle, branch)?;
        let [_, [ratio, curvature]] = parts.derivatives(crank_angle)?;
        Ok(SlideTransfer {
            position: parts.arm.x + parts.rod.x,
            ratio,
            curvature,
        })
    }

    /// Slide positions with first and second derivative at many crank angles (rad); angles where
    /// [`SliderCrank::transfer`] would return an error are NaN and marked.
    #[must_use]
    pub fn transfers(&self, crank_angles: &[f64], branch: Branch) -> SlideTransfers {
        let transfer = |angle: &f64| self.transfer(*angle, branch).ok();
        let found: Vec<_> = until_stopped(crank_angles).map(transfer).collect();
        let part = |part: fn(&SlideTransfer) -> f64| {
            let value = |found: &Option<SlideTransfer>| found.as_ref().map_or(f64::NAN, part);
            found.iter().map(value).collect()
        };
        SlideTransfers {
            position: part(|transfer| transfer.position),
            ratio: part(|transfer| transfer.ratio),
            curvature: part(|transfer| transfer.curvature),
            valid: found.iter().map(Option::is_some).collect(),
        }
    }

    /// Velocities and accelerations of rod and slide, from angular velocity (rad/s) and acceleration (rad/s^2) of the
    /// crank.
    ///
    /// # Errors
    /// As [`SliderCrank::transfer`], and [`Error::OutOfRange`] for a velocity beyond 1e6 rad/s or an acceleration
    /// beyond 1e12 rad/s^2.
    pub fn motion(
        &self,
        crank_angle: f64,
        branch: Branch,
        velocity: f64,
        acceleration: f64,
    ) -> Result<SliderCrankMotion> {
        check_motion(velocity, acceleration)?;
        let parts = self.parts(crank_angle, branch)?;
        let [rod, slide] = parts.derivatives(crank_angle)?;
        let second =
            |[first, second]: [f64; 2]| first * acceleration + second * velocity * velocity;
        Ok(SliderCrankMotion {
            rod_velocity: rod[0] * velocity,
            rod_acceleration: second(rod),
            slide_velocity: slide[0] * velocity,
            slide_acceleration: second(slide),
        })
    }

    /// Force of the slide along x for a torque of 1 at the crank, without friction, 1/m: torque = force *
    /// [`SlideTransfer::ratio`].
    ///
    /// It grows without bound toward a dead center; mind fingers there.
    ///
    /// # Errors
    /// As [`SliderCrank::transfer`], and [`Error::DeadCenter`] where crank and rod are in line.
    pub fn force_ratio(&self, crank_angle: f64, branch: Branch) -> Result<f64> {
        let force = 1.0 / self.transfer(crank_angle, branch)?.ratio;
        if force.is_finite() {
            Ok(force)
        } else {
            Err(dead_center("force ratio", crank_angle))
        }
    }

    /// The two poses that a slide position (m) leaves: first the one with the crank joint to the left of the line from
    /// the pivot to the slide, then the other.
    ///
    /// Each says of which branch it is.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a position beyond 6 m, [`Error::OutOfReach`] for one that crank and rod cannot reach,
    /// with the gap, [`Error::DeadCenter`] for a slide joint on the pivot.
    pub fn driven_by_slide(&self, position: f64) -> Result<[SliderCrankPose; 2]> {
        within("slide position", position, -MAX_OFFSET, MAX_OFFSET, "m")?;
        let reach = position.hypot(self.offset);
        let gap = (reach - (self.crank + self.rod)).max((self.crank - self.rod).abs() - reach);
        if gap > self.rounding() {
            return Err(Error::OutOfReach {
                linkage: NAME,
                position,
                gap,
            });
        }
        if reach <= self.rounding() {
            return Err(dead_center(
                "crank angle for a slide joint on the pivot",
                0.0,
            ));
        }
        let to_slide = self.offset.atan2(position);
        // In line, where a rounding would leave no triangle.
        let folded = if self.crank < self.rod { PI } else { 0.0 };
        let in_line = if reach > self.rod { 0.0 } else { folded };
        let off = angle_opposite(self.rod, reach, self.crank).unwrap_or(in_line);
        let slide = Vector2::new(position, self.offset);
        Ok([to_slide + off, to_slide - off].map(|angle| {
            let crank_angle = wrapped(angle);
            let (sin, cos) = crank_angle.sin_cos();
            let arm = Vector2::new(cos, sin) * self.crank;
            let rod = slide - arm;
            self.pose_of(&Parts { arm, rod }, crank_angle, Branch::of(rod.x))
        }))
    }

    /// The crank angles at which the rod reaches the slide, the same on both branches: one or two stretches, or the
    /// full turn.
    #[must_use]
    pub fn crank_travel(&self) -> Vec<Range> {
        let (r, l, e) = (self.crank, self.rod, self.offset);
        let rounding = self.rounding();
        if e.abs() >= r + l - rounding {
            let angle = FRAC_PI_2.copysign(e);
            return vec![Range {
                lower: angle,
                upper: angle,
            }];
        }
        // The crank joint may lie no farther than the rod's length above or below the line of the slide. A limit that
        // roundings cannot tell from the top of the crank's circle is none.
        let upper = (r - (e + l) > rounding).then(|| ((e + l) / r).asin());
        let lower = (r + (e - l) > rounding).then(|| ((e - l) / r).asin());
        let stretch = |from, to| Range {
            lower: from,
            upper: to,
        };
        match (lower, upper) {
            (None, None) => vec![Range::FULL_TURN],
            (None, Some(upper)) => vec![stretch(-PI - upper, upper)],
            (Some(lower), None) => vec![stretch(lower, PI - lower)],
            (Some(lower), Some(upper)) => {
                vec![stretch(lower, upper), stretch(PI - upper, PI - lower)]
            }
        }
    }

    /// The slide positions (m) that each stretch of [`SliderCrank::crank_travel`] gives on a branch, in the same order.
    #[must_use]
    pub fn slide_travel(&self, branch: Branch) -> Vec<Range> {
        let dead_centers = self.dead_centers();
        let turning = dead_centers
            .iter()
            .filter(|dead| dead.pose.branch == branch);
        let travel = |stretch: Range| {
            let inner = turning
                .clone()
                .map(|dead| dead.pose.crank_angle)
                .filter_map(|angle| stretch.turned_into(angle));
            let looks = inner.chain([stretch.lower, stretch.upper]);
            Range::over(looks.map(|angle| self.placed(angle, branch).slide()))
        };
        self.crank_travel().into_iter().map(travel).collect()
    }

    /// All positions in which crank and rod are in line.
    #[must_use]
    pub fn dead_centers(&self) -> Vec<SlideDeadCenter> {
        let (r, l, e) = (self.crank, self.rod, self.offset);
        let mut found = Vec::new();
        for (stretched, reach) in [(true, r + l), (false, r - l)] {
            let rounding = self.rounding();
            let past = reach.abs() - e.abs();
            // Folded with the slide joint on the crank pivot they are in line at every crank angle.
            if past < -rounding || reach.abs() <= rounding {
                continue;
            }
            let square = (reach - e) * (reach + e);
            let (root, count) = if past <= rounding {
                (0.0, 1)
            } else {
                (square.sqrt(), 2)
            };
            for position in [root, -root].into_iter().take(count) {
                // A longer rod leads back over the pivot.
                let crank_angle = (e * reach.signum()).atan2(position * reach.signum());
                let along = if stretched {
                    position
                } else {
                    -position * reach.signum()
                };
                if let Ok(pose) = self.pose(crank_angle, Branch::of(along)) {
                    found.push(SlideDeadCenter { stretched, pose });
                }
            }
        }
        found
    }

    fn parts(&self, crank_angle: f64, branch: Branch) -> Result<Parts> {
        check_angle("crank angle", crank_angle)?;
        let parts = self.placed(crank_angle, branch);
        let gap = parts.rod.y.abs() - self.rod;
        if gap > self.slack() {
            return Err(Error::CannotClose {
                linkage: NAME,
                angle: crank_angle,
                gap,
            });
        }
        Ok(parts)
    }

    /// Crank and rod; a rod that does not reach the slide stands across it.
    fn placed(&self, crank_angle: f64, branch: Branch) -> Parts {
        let (sin, cos) = crank_angle.sin_cos();
        let arm = Vector2::new(cos, sin) * self.crank;
        let y = self.offset - arm.y;
        let square = (self.rod - y) * (self.rod + y);
        let x = branch.side(square.max(0.0).sqrt());
        Parts {
            arm,
            rod: Vector2::new(x, y),
        }
    }

    /// By how little lengths may differ and still count as equal, m: some roundings of the longest.
    fn rounding(&self) -> f64 {
        2.0 * f64::EPSILON * (self.crank + self.rod + self.offset.abs())
    }

    /// By how little the rod may miss the slide at a crank angle and still count as reaching it, m:
    /// [`rounding`](Self::rounding), and as much again for the height of the crank joint.
    fn slack(&self) -> f64 {
        2.0 * self.rounding()
    }
}

impl Parts {
    fn slide(&self) -> f64 {
        self.arm.x + self.rod.x
    }

    /// First and second derivative by the crank angle of the rod angle and of the slide position.
    fn derivatives(&self, crank_angle: f64) -> Result<[[f64; 2]; 2]> {
        let Self { arm, rod } = self;
        // The height of the slide does not change: arm.x + rod.x * rate = 0, and once more.
        let rate = -arm.x / rod.x;
        let rate_change = (arm.y + rod.y * rate * rate) / rod.x;
        let slide = -arm.y - rod.y * rate;
        let slide_change = -arm.x - rod.x * rate * rate - rod.y * rate_change;
        let all = [[rate, rate_change], [slide, slide_change]];
        if all.as_flattened().iter().all(|value| value.is_finite()) {
            Ok(all)
        } else {
            Err(dead_center("ratio of slide to crank", crank_angle))
        }
    }
}

fn dead_center(quantity: &'static str, angle: f64) -> Error {
    Error::DeadCenter {
        linkage: NAME,
        quantity,
        angle,
    }
}
