//! A four-bar as built in: one branch, angles from the centered control.

use std::f64::consts::TAU;

use nalgebra::{Point2, Rotation2, Vector2};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::{
    Branch, FourBar, FourBarPose, Range, Transfer, Transfers, Transmission, TransmissionEnd,
    TransmissionReach, check_angle, until_stopped,
};
use crate::written::{coordinates, debug_as_call};

/// The farthest a joint may lie from the origin of a drawing, m.
const MAX_COORDINATE: f64 = 10.0;

/// A four-bar as it is built in: put together one way, with angles that count from the pose in which the control is
/// centered.
///
/// Turns are positive counterclockwise in the drawing, for the crank and for the rocker.
///
/// # Example
/// ```
/// use nalgebra::Point2;
/// use yokewright::linkage::CenteredFourBar;
/// use yokewright::units::{DEG, MM};
///
/// // Joints as read from a drawing of the centered trainer: crank pivot, crank joint, rocker joint, rocker pivot.
/// let at = |x: f64, y: f64| Point2::new(x * MM, y * MM);
/// let built = CenteredFourBar::from_joints(at(0.0, 0.0), at(0.0, 50.0), at(120.0, 40.0), at(120.0, 10.0))?;
/// let transfer = built.transfer(0.0)?;
/// assert!(transfer.angle.abs() < 1e-12);
/// assert!((transfer.ratio - 5.0 / 3.0).abs() < 0.2);
/// assert!(built.travel().upper > 20.0 * DEG);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Stored")]
pub struct CenteredFourBar {
    linkage: FourBar,
    branch: Branch,
    crank_center: f64,
    rocker_center: f64,
    crank_pivot: Point2<f64>,
    ground_angle: f64,
    /// How far the crank can turn, if anything limits it.
    #[serde(skip)]
    limits: Option<Range>,
}

/// A four-bar as it is read back; where its rocker is centered follows.
#[derive(Deserialize)]
#[serde(rename = "CenteredFourBar")]
struct Stored {
    linkage: FourBar,
    branch: Branch,
    crank_center: f64,
    crank_pivot: Point2<f64>,
    ground_angle: f64,
}

impl TryFrom<Stored> for CenteredFourBar {
    type Error = Error;

    fn try_from(stored: Stored) -> Result<Self> {
        let centered = Self::new(stored.linkage, stored.branch, stored.crank_center)?;
        centered.drawn_at(stored.crank_pivot, stored.ground_angle)
    }
}

debug_as_call!(CenteredFourBar, |self, f| {
    let Self {
        linkage,
        branch,
        crank_center,
        crank_pivot,
        ground_angle,
        ..
    } = self;
    write!(
        f,
        "CenteredFourBar::new({linkage:?}, Branch::{branch:?}, {crank_center:?})?"
    )?;
    if *crank_pivot != Point2::origin() || *ground_angle != 0.0 {
        write!(
            f,
            ".drawn_at({}, {ground_angle:?})?",
            coordinates(*crank_pivot)
        )?;
    }
    Ok(())
});

impl CenteredFourBar {
    /// A linkage whose crank is centered at `crank_center` (rad, from the ground line); the rocker is centered where it
    /// then is.
    ///
    /// # Errors
    /// As [`FourBar::pose`].
    pub fn new(linkage: FourBar, branch: Branch, crank_center: f64) -> Result<Self> {
        let pose = linkage.pose(crank_center, branch)?;
        let stretches = linkage.stretches();
        let around = stretches.iter().find_map(|stretch| {
            let center = stretch.turned_into(crank_center)?;
            Some(Range {
                lower: stretch.lower - center,
                upper: stretch.upper - center,
            })
        });
        // A center that a rounding puts beyond a limit has no way to go.
        let nowhere = Range {
            lower: 0.0,
            upper: 0.0,
        };
        Ok(Self {
            linkage,
            branch,
            crank_center,
            rocker_center: pose.rocker_angle,
            crank_pivot: Point2::origin(),
            ground_angle: 0.0,
            limits: (!stretches.is_empty()).then(|| around.unwrap_or(nowhere)),
        })
    }

    /// The linkage whose joints are at these points of a drawing (m) when the control is centered. Lengths, branch and
    /// all angles follow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] or [`Error::NotFinite`] for a coordinate beyond 10 m, and as [`FourBar::new`] for the
    /// lengths. [`Error::DeadCenter`] if the crank joint lies on the rocker pivot.
    pub fn from_joints(
        crank_pivot: Point2<f64>,
        crank_joint: Point2<f64>,
        rocker_joint: Point2<f64>,
        rocker_pivot: Point2<f64>,
    ) -> Result<Self> {
        for joint in [crank_joint, rocker_joint, rocker_pivot] {
            check_joint(&joint)?;
        }
        let ground = rocker_pivot - crank_pivot;
        let (crank, coupler) = (crank_joint - crank_pivot, rocker_joint - crank_joint);
        let rocker = rocker_joint - rocker_pivot;
        let linkage = FourBar::new(ground.norm(), crank.norm(), coupler.norm(), rocker.norm())?;
        let branch = Branch::of((rocker_pivot - crank_joint).perp(&coupler));
        let from_ground = |link: &Vector2<f64>| ground.perp(link).atan2(ground.dot(link));
        let centered = Self::new(linkage, branch, from_ground(&crank))?;
        centered.drawn_at(crank_pivot, ground.y.atan2(ground.x))
    }

    /// The same linkage with its crank pivot at a point of a drawing (m) and its ground line in a direction there
    /// (rad).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] or [`Error::NotFinite`] for a coordinate beyond 10 m or an angle beyond
    /// two turns.
    pub fn drawn_at(self, crank_pivot: Point2<f64>, ground_angle: f64) -> Result<Self> {
        check_joint(&crank_pivot)?;
        check_angle("direction of the ground line", ground_angle)?;
        Ok(Self {
            crank_pivot,
            ground_angle,
            ..self
        })
    }

    /// The lengths.
    #[must_use]
    pub fn linkage(&self) -> FourBar {
        self.linkage
    }

    /// How it is put together.
    #[must_use]
    pub fn branch(&self) -> Branch {
        self.branch
    }

    /// Angle of the centered crank from the ground line, rad.
    #[must_use]
    pub fn crank_center(&self) -> f64 {
        self.crank_center
    }

    /// Angle of the centered rocker from the ground line, rad.
    #[must_use]
    pub fn rocker_center(&self) -> f64 {
        self.rocker_center
    }

    /// Direction of the ground line in the drawing, from crank pivot to rocker pivot, rad; zero if there is no drawing.
    #[must_use]
    pub fn ground_angle(&self) -> f64 {
        self.ground_angle
    }

    /// Where the crank pivot is in the drawing, m; the origin if there is no drawing.
    #[must_use]
    pub fn crank_pivot(&self) -> Point2<f64> {
        self.crank_pivot
    }

    /// Turn of the rocker (rad) for a turn of the crank from its center (rad), with first and second derivative.
    ///
    /// The turn of the rocker is continuous: it does not jump by a whole turn, wherever the rocker points.
    ///
    /// # Errors
    /// As [`FourBar::transfer`], for the crank angle from the ground line;
    /// [`Error::OutOfRange`] where the linkage would close, but the crank cannot get there
    /// from its center.
    pub fn transfer(&self, turn: f64) -> Result<Transfer> {
        let crank_angle = self.crank_center + turn;
        let transfer = self.linkage.transfer(crank_angle, self.branch)?;
        self.check_turn(turn)?;
        let turned = |crank_angle| self.linkage.continuous_angles(crank_angle, self.branch)[1];
        let whole = turned(crank_angle) - turned(self.crank_center);
        let angle = transfer.angle - self.rocker_center;
        // The continuous angle only counts the turns, so that no rounding of it enters.
        let turns = ((whole - angle) / TAU).round();
        Ok(Transfer {
            angle: angle + turns * TAU,
            ..transfer
        })
    }

    /// Turns of the rocker for many turns of the crank, with first and second derivative; NaN and marked where
    /// [`CenteredFourBar::transfer`] would return an error.
    #[must_use]
    pub fn transfers(&self, turns: &[f64]) -> Transfers {
        until_stopped(turns)
            .map(|turn| self.transfer(*turn).ok())
            .collect()
    }

    /// All angles, from the ground line, and joints, in the frame of the linkage, at a turn of the crank from its
    /// center (rad).
    ///
    /// # Errors
    /// As [`FourBar::pose`]; [`Error::OutOfRange`] where the linkage would close, but the
    /// crank cannot get there from its center.
    pub fn pose(&self, turn: f64) -> Result<FourBarPose> {
        let pose = self.linkage.pose(self.crank_center + turn, self.branch)?;
        self.check_turn(turn)?;
        Ok(pose)
    }

    /// Whether a turn stays within what limits the crank.
    fn check_turn(&self, turn: f64) -> Result<()> {
        if let Some(Range {
            lower: from,
            upper: to,
        }) = self.limits
        {
            within("turn of the crank from its center", turn, from, to, "rad")?;
        }
        Ok(())
    }

    /// The four joints in the drawing, m: crank pivot, crank joint, rocker joint, rocker pivot.
    ///
    /// # Errors
    /// As [`CenteredFourBar::pose`].
    pub fn joints(&self, turn: f64) -> Result<[Point2<f64>; 4]> {
        let pose = self.pose(turn)?;
        let turned = Rotation2::new(self.ground_angle);
        let rocker_pivot = Point2::new(self.linkage.ground(), 0.0);
        let joints = [
            Point2::origin(),
            pose.crank_joint,
            pose.rocker_joint,
            rocker_pivot,
        ];
        Ok(joints.map(|joint| self.crank_pivot + turned * joint.coords))
    }

    /// How far the crank can turn from its center without being taken apart, rad.
    #[must_use]
    pub fn travel(&self) -> Range {
        self.limits.unwrap_or(Range::FULL_TURN)
    }
}

impl Transmission for CenteredFourBar {
    fn transfer(&self, turn: f64) -> Result<Transfer> {
        self.transfer(turn)
    }

    fn transfers(&self, turns: &[f64]) -> Transfers {
        self.transfers(turns)
    }

    /// Where coupler and rocker come in line, or the crank joint on the rocker pivot.
    fn reach(&self) -> TransmissionReach {
        let end = |input: f64| TransmissionEnd {
            input,
            limit: "lock".to_owned(),
        };
        TransmissionReach {
            lower: self.limits.map(|limits| end(limits.lower)),
            upper: self.limits.map(|limits| end(limits.upper)),
        }
    }

    fn is_planar(&self) -> bool {
        true
    }
}

fn check_joint(joint: &Point2<f64>) -> Result<()> {
    for value in joint.iter() {
        within(
            "coordinate of a joint",
            *value,
            -MAX_COORDINATE,
            MAX_COORDINATE,
            "m",
        )?;
    }
    Ok(())
}
