//! The planar four-bar in closed form.

mod batch;
mod in_line;
mod limits;
mod motion;
mod place;

pub use batch::{BranchAngles, BranchTrack, FourBarColumns, FourBarSolutions};
pub use limits::{
    DeadCenter, DeadCenterKind, FourBarClass, Grashof, TRANSMISSION_GOOD, TRANSMISSION_LIMIT,
};
pub use motion::{CouplerCurve, FourBarMotion, PointMotion};

use nalgebra::{Point2, Vector2};
use serde::{Deserialize, Serialize};

use self::place::{Lengths, Placed, place};
use crate::error::{Error, Result, choices};
use crate::linkage::{Transfer, check_angle, check_length};
use crate::written::debug_as_call;

/// What errors call it.
const NAME: &str = "four-bar";

/// Which of the two ways a linkage is put together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Branch {
    /// Of a four-bar: the rocker joint lies to the left of the line from the crank joint to the rocker pivot. With the
    /// crank at a small angle to a ground line that points to the right, coupler and rocker do not cross the crank. Of
    /// a slider-crank: the rod points forward along the slide.
    Open,
    /// The other way.
    Crossed,
}

impl Branch {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Open => Self::Crossed,
            Self::Crossed => Self::Open,
        }
    }

    /// The branch on whose side a signed value lies.
    pub(in crate::linkage) fn of(side: f64) -> Self {
        if side < 0.0 {
            Self::Crossed
        } else {
            Self::Open
        }
    }

    /// A value to the left for the open, to the right for the crossed branch.
    pub(in crate::linkage) fn side(self, value: f64) -> f64 {
        match self {
            Self::Open => value,
            Self::Crossed => -value,
        }
    }
}

choices!(Branch, "branch", {
    Open => "open",
    Crossed => "crossed",
});

/// A planar four-bar: crank (the input) and rocker (the output) turn about pivots in the ground, a coupler joins their
/// ends.
///
/// Frame: origin at the crank pivot, x along the ground line to the rocker pivot. All angles count from x,
/// counterclockwise; results lie in [-pi, pi] unless a method says that they are continuous. Which of the two
/// assemblies is meant is said with a [`Branch`] at each call; [`CenteredFourBar`](crate::linkage::CenteredFourBar)
/// keeps one, with angles that count from the centered control.
///
/// The closure residual, |crank + coupler - ground - rocker| with the angles returned, stays below 2e-15 of the sum of
/// the lengths, also beside dead centers: to first order the joints are off by no more than 12 and the directions by 4
/// times half a unit in the last place of 1 (1.1e-16). The angle itself is ill-conditioned there: it moves with the
/// square root of an error in a length.
///
/// # Example
/// ```
/// use yokewright::linkage::{Branch, FourBar};
/// use yokewright::units::{DEG, MM};
///
/// // From a pedal crank to the pivot of a sensor.
/// let bar = FourBar::new(100.0 * MM, 40.0 * MM, 120.0 * MM, 80.0 * MM)?;
/// let pose = bar.pose(40.0 * DEG, Branch::Open)?;
/// assert!((pose.rocker_angle / DEG - 57.32).abs() < 0.01);
/// let transfer = bar.transfer(40.0 * DEG, Branch::Open)?;
/// assert!((transfer.ratio - 0.27992).abs() < 1e-5);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// R. L. Norton, *Design of Machinery*, McGraw-Hill, ch. 4, 6, 7 (position, velocity, acceleration; the closed form
/// here is the meeting of two circles, see `place.rs`). Toggle and transmission angle: same, sec. 3.3 and 4.
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Lengths", into = "Lengths")]
pub struct FourBar {
    lengths: Lengths,
}

impl TryFrom<Lengths> for FourBar {
    type Error = Error;

    fn try_from(lengths: Lengths) -> Result<Self> {
        Self::new(
            lengths.ground,
            lengths.crank,
            lengths.coupler,
            lengths.rocker,
        )
    }
}

impl From<FourBar> for Lengths {
    fn from(four_bar: FourBar) -> Self {
        four_bar.lengths
    }
}

/// A four-bar at one crank angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FourBarPose {
    /// How it is put together.
    pub branch: Branch,
    /// Crank angle as given, rad.
    pub crank_angle: f64,
    /// Direction from the crank joint to the rocker joint, rad.
    pub coupler_angle: f64,
    /// Direction from the rocker pivot to the rocker joint, rad.
    pub rocker_angle: f64,
    /// Acute angle between the lines of coupler and rocker, 0 to pi/2 rad. Texts that give it from 0 to 180 degrees
    /// mean the same mechanism by 140 and by 40 degrees; the acute angle says in either case how well the coupler
    /// pushes the rocker.
    pub transmission_angle: f64,
    /// End of the crank, m.
    pub crank_joint: Point2<f64>,
    /// End of the rocker, m.
    pub rocker_joint: Point2<f64>,
}

/// Links as vectors, with what the derivatives need.
#[derive(Debug, Clone, Copy)]
pub(in crate::linkage) struct Links {
    pub(in crate::linkage) arm: Vector2<f64>,
    pub(in crate::linkage) coupler: Vector2<f64>,
    pub(in crate::linkage) rocker: Vector2<f64>,
    /// Cross product of coupler and rocker, m^2: zero at a dead center.
    pub(in crate::linkage) cross: f64,
}

debug_as_call!(FourBar, |self, f| {
    let Lengths {
        ground,
        crank,
        coupler,
        rocker,
    } = self.lengths;
    write!(
        f,
        "FourBar::new({ground:?}, {crank:?}, {coupler:?}, {rocker:?})?"
    )
});

impl FourBar {
    /// A four-bar of the given lengths (m): ground, crank, coupler, rocker.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if a length is not within 0.1 mm to 3 m. [`Error::NeverCloses`] if
    /// the longest is longer than the others together.
    pub fn new(ground: f64, crank: f64, coupler: f64, rocker: f64) -> Result<Self> {
        let lengths = Lengths {
            ground: check_length("ground link", ground)?,
            crank: check_length("crank", crank)?,
            coupler: check_length("coupler", coupler)?,
            rocker: check_length("rocker", rocker)?,
        };
        let gap = lengths.gap();
        if gap > lengths.rounding() {
            return Err(Error::NeverCloses { linkage: NAME, gap });
        }
        Ok(Self { lengths })
    }

    /// Of lengths that need not be possible, for a search on its way to some that are.
    pub(in crate::linkage) fn unchecked(
        ground: f64,
        crank: f64,
        coupler: f64,
        rocker: f64,
    ) -> Self {
        let lengths = Lengths {
            ground,
            crank,
            coupler,
            rocker,
        };
        Self { lengths }
    }

    /// Cosine of the angle between coupler and rocker, seen from their joint; beyond 1 where they do not meet.
    pub(in crate::linkage) fn transmission_cosine(&self, crank_angle: f64) -> f64 {
        let (sin, cos) = crank_angle.sin_cos();
        let diagonal = place(&self.lengths, [cos, sin]).f;
        let (b, c) = (self.lengths.coupler, self.lengths.rocker);
        (b * b + c * c - diagonal * diagonal) / (2.0 * b * c)
    }

    /// Distance of the pivots, m.
    #[must_use]
    pub fn ground(&self) -> f64 {
        self.lengths.ground
    }

    /// Length of the crank, the input, m.
    #[must_use]
    pub fn crank(&self) -> f64 {
        self.lengths.crank
    }

    /// Length of the coupler, m.
    #[must_use]
    pub fn coupler(&self) -> f64 {
        self.lengths.coupler
    }

    /// Length of the rocker, the output, m.
    #[must_use]
    pub fn rocker(&self) -> f64 {
        self.lengths.rocker
    }

    /// Link ratios K1, K2, K3 of Freudenstein's equation K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker).
    ///
    /// With a, b, c, d for crank, coupler, rocker, ground: d/a, d/c, (a^2 - b^2 + c^2 + d^2) / (2 a c).
    ///
    /// # References
    /// F. Freudenstein, Trans. ASME 77 (1955) 853.
    #[must_use]
    pub fn freudenstein(&self) -> [f64; 3] {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        let k3 = (a * a - b * b + c * c + d * d) / (2.0 * a * c);
        [d / a, d / c, k3]
    }

    /// All angles and joints at a crank angle (rad).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an angle beyond two turns either way. [`Error::CannotClose`] where the links do not
    /// meet, with the gap (less than some roundings counts as meeting). [`Error::DeadCenter`] if the crank joint
    /// coincides with the rocker pivot, where the rocker may point anywhere.
    pub fn pose(&self, crank_angle: f64, branch: Branch) -> Result<FourBarPose> {
        let links = self.links(crank_angle, branch)?;
        Ok(self.pose_of(&links, crank_angle, branch))
    }

    fn pose_of(&self, links: &Links, crank_angle: f64, branch: Branch) -> FourBarPose {
        let Links {
            arm,
            coupler,
            rocker,
            cross,
        } = *links;
        FourBarPose {
            branch,
            crank_angle,
            coupler_angle: coupler.y.atan2(coupler.x),
            rocker_angle: rocker.y.atan2(rocker.x),
            transmission_angle: cross.abs().atan2(coupler.dot(&rocker).abs()),
            crank_joint: arm.into(),
            rocker_joint: Point2::new(self.lengths.ground, 0.0) + rocker,
        }
    }

    /// Rocker angle (rad) with its first and second derivative by the crank angle.
    ///
    /// The first derivative is the ratio of angular velocities and, without friction, of torques: crank torque =
    /// ratio * rocker torque.
    ///
    /// # Errors
    /// As [`FourBar::pose`], and [`Error::DeadCenter`] where coupler and rocker are in line.
    pub fn transfer(&self, crank_angle: f64, branch: Branch) -> Result<Transfer> {
        let links = self.links(crank_angle, branch)?;
        let [_, [ratio, curvature]] = links.derivatives(crank_angle)?;
        Ok(Transfer {
            angle: links.rocker.y.atan2(links.rocker.x),
            ratio,
            curvature,
        })
    }

    /// The links as vectors.
    pub(in crate::linkage) fn links(&self, crank_angle: f64, branch: Branch) -> Result<Links> {
        let placed = self.placed(crank_angle)?;
        let [coupler, rocker] = placed.links(branch.side(placed.h)).map(Vector2::from);
        Ok(Links {
            arm: placed.arm.into(),
            coupler,
            rocker,
            cross: branch.side(placed.h * placed.f),
        })
    }

    fn placed(&self, crank_angle: f64) -> Result<Placed> {
        check_angle("crank angle", crank_angle)?;
        let (sin, cos) = crank_angle.sin_cos();
        let placed = place(&self.lengths, [cos, sin]);
        placed.check(&self.lengths, NAME, "rocker angle", crank_angle)?;
        Ok(placed)
    }
}

impl Links {
    /// First and second derivative by the crank angle of the coupler angle and of the rocker angle.
    ///
    /// The closure arm + coupler = ground + rocker, differentiated once and twice and multiplied by coupler or rocker,
    /// which removes one unknown.
    pub(in crate::linkage) fn derivatives(&self, crank_angle: f64) -> Result<[[f64; 2]; 2]> {
        let (arm, coupler, rocker) = (&self.arm, &self.coupler, &self.rocker);
        let inverse = 1.0 / self.cross;
        let first = [-arm.perp(rocker) * inverse, -arm.perp(coupler) * inverse];
        let [squared_b, squared_c] = first.map(|ratio| ratio * ratio);
        let dot = coupler.dot(rocker);
        let second = [
            (arm.dot(rocker) + squared_b * dot - squared_c * rocker.norm_squared()) * inverse,
            (arm.dot(coupler) + squared_b * coupler.norm_squared() - squared_c * dot) * inverse,
        ];
        let all = [[first[0], second[0]], [first[1], second[1]]];
        if all.as_flattened().iter().all(|value| value.is_finite()) {
            Ok(all)
        } else {
            Err(dead_center("ratio of the angles", crank_angle))
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
