//! Two pedals coupled through one center crank.

mod loads;
mod reach;
mod transmission;

pub use loads::{PadPose, PedalLoads};
pub use reach::{PedalEnd, PedalFigures, PedalLimit, PedalLimitKind, PedalReach};
pub use transmission::PedalTransmission;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, choices, parts_within, within};
use crate::linkage::{Arm, BallRod, Range, Transfer, Transfers};
use crate::numeric::direction::unit;
use crate::units::MM;
use crate::written::{coordinates, debug_as_call};

/// A part of the pair that turns by an angle of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PedalMember {
    /// The left pedal.
    Left,
    /// The right pedal.
    Right,
    /// The center crank.
    Crank,
}

choices!(PedalMember, "member", {
    Left => "left",
    Right => "right",
    Crank => "crank",
});

/// One of the two feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FootSide {
    /// On the left pedal.
    Left,
    /// On the right pedal.
    Right,
}

impl FootSide {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

choices!(FootSide, "foot", {
    Left => "left",
    Right => "right",
});

impl From<FootSide> for PedalMember {
    fn from(foot: FootSide) -> Self {
        match foot {
            FootSide::Left => Self::Left,
            FootSide::Right => Self::Right,
        }
    }
}

/// A pedal: an arm on its hinge that carries the rod's joint and the pad.
///
/// The hinge may stand at the floor, hang from above or be canted; all places are those at neutral.
///
/// # Example
/// ```
/// use yokewright::linkage::{Arm, Pedal};
/// use yokewright::nalgebra::{Point3, Vector3};
/// use yokewright::units::{DEG, MM};
///
/// // Hinged at the floor about y, the rod's joint 90 mm up, the pad at twice that; the foot pushes forward.
/// let arm = Arm::new(Point3::origin(), Vector3::y(), Point3::new(0.0, 0.0, 90.0 * MM))?;
/// let pedal = Pedal::new(arm, Point3::new(0.0, 0.0, 180.0 * MM), Vector3::x())?;
/// assert!((pedal.pad_radius() - 180.0 * MM).abs() < 1e-15);
/// let stopped = pedal.with_stops(-15.0 * DEG, 15.0 * DEG)?;
/// assert!(stopped.stops().is_some_and(|stops| stops.length() > 29.9 * DEG));
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StoredPedal")]
pub struct Pedal {
    arm: Arm,
    pad: Point3<f64>,
    push: Vector3<f64>,
    stops: Option<Range>,
}

/// A pedal as it is read back.
#[derive(Deserialize)]
#[serde(rename = "Pedal")]
struct StoredPedal {
    arm: Arm,
    pad: Point3<f64>,
    push: Vector3<f64>,
    stops: Option<Range>,
}

impl TryFrom<StoredPedal> for Pedal {
    type Error = Error;

    fn try_from(stored: StoredPedal) -> Result<Self> {
        let pedal = Self::new(stored.arm, stored.pad, stored.push)?;
        match stored.stops {
            Some(Range { lower, upper }) => pedal.with_stops(lower, upper),
            None => Ok(pedal),
        }
    }
}

debug_as_call!(Pedal, |self, f| {
    let (pad, push) = (coordinates(self.pad), coordinates(self.push));
    write!(f, "Pedal::new({:?}, {pad}, {push})?", self.arm)?;
    match self.stops {
        Some(Range { lower, upper }) => write!(f, ".with_stops({lower:?}, {upper:?})?"),
        None => Ok(()),
    }
});

impl Pedal {
    /// A pedal whose hinge and rod joint are those of `arm`, with the middle of its pad (m), and the direction (any
    /// length, fixed in space) in which the foot pushes it.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the pad is beyond 10 m or not 10 mm to 2 m from the hinge's
    /// axis; [`Error::NoDirection`]; [`Error::OutOfRange`] if the push does not turn the pedal at neutral (less than a
    /// tenth of it along the pad's way).
    pub fn new(arm: Arm, pad: Point3<f64>, push: Vector3<f64>) -> Result<Self> {
        parts_within(["pad x", "pad y", "pad z"], pad.iter(), -10.0, 10.0, "m")?;
        let push = unit("direction of the push", &push)?;
        let pedal = Self {
            arm,
            pad,
            push,
            stops: None,
        };
        let radius = pedal.pad_radius();
        within("pad from the hinge", radius, 10.0 * MM, 2.0, "m")?;
        let share = pedal.advance(0.0).abs() / radius;
        let name = "share of the push along the way of the pad";
        within(name, share, 0.1, 1.0 + 1e-9, "(no unit)")?;
        Ok(pedal)
    }

    /// The same pedal with stops at these angles of the hinge (rad), on either side of neutral.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] unless the lower is within -pi to 0 and the upper within 0 to pi;
    /// [`Error::NotAscending`] if both are 0.
    pub fn with_stops(&self, lower: f64, upper: f64) -> Result<Self> {
        let stops = Some(stops("pedal stops", lower, upper)?);
        Ok(Self { stops, ..*self })
    }

    /// Hinge and rod joint.
    #[must_use]
    pub fn arm(&self) -> Arm {
        self.arm
    }

    /// Middle of the pad at neutral, m.
    #[must_use]
    pub fn pad(&self) -> Point3<f64> {
        self.pad
    }

    /// Direction in which the foot pushes, of length 1.
    #[must_use]
    pub fn push(&self) -> Vector3<f64> {
        self.push
    }

    /// Angles of the stops, rad.
    #[must_use]
    pub fn stops(&self) -> Option<Range> {
        self.stops
    }

    /// Distance of the pad from the hinge's axis, m.
    #[must_use]
    pub fn pad_radius(&self) -> f64 {
        self.arm
            .direction()
            .cross(&(self.pad - self.arm.pivot()))
            .norm()
    }

    /// Its mirror image in the plane y = 0. A hinge keeps the y of its direction and turns x and z round, so that the
    /// same angle is the mirrored motion.
    ///
    /// # Errors
    /// As [`Pedal::new`]; none is to be expected.
    pub fn mirrored(&self) -> Result<Self> {
        let arm = self.arm.mirrored()?;
        let push = Vector3::new(self.push.x, -self.push.y, self.push.z);
        let pad = Point3::new(self.pad.x, -self.pad.y, self.pad.z);
        Ok(Self {
            stops: self.stops,
            ..Self::new(arm, pad, push)?
        })
    }

    /// How far the pad goes along the push for a small turn at an angle of the hinge (rad), m/rad.
    fn advance(&self, angle: f64) -> f64 {
        let pad = self.arm.carried(&self.pad, angle);
        let way = self.arm.direction().cross(&(pad - self.arm.pivot()));
        way.dot(&self.push)
    }
}

fn stops(quantity: &'static str, lower: f64, upper: f64) -> Result<Range> {
    use std::f64::consts::PI;
    // First, so that a pair the wrong way round is told as that.
    ascending(quantity, [lower, upper], "rad")?;
    within(quantity, lower, -PI, 0.0, "rad")?;
    within(quantity, upper, 0.0, PI, "rad")?;
    Ok(Range { lower, upper })
}

/// A pedal with its rod to the crank, driven from either end.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Side {
    pedal: Pedal,
    to_crank: BallRod,
    to_pedal: BallRod,
}

impl Side {
    fn new(pedal: Pedal, crank: Arm) -> Result<Self> {
        let to_crank = BallRod::new(pedal.arm, crank)?;
        Ok(Self {
            pedal,
            to_crank,
            to_pedal: to_crank.reversed()?,
        })
    }
}

/// Two pedals, each with a ball-joint rod to an arm of one center crank: press one, and the other comes back.
///
/// Frame of the examples and of [`mirrored`](Self::mirrored): x forward, y to the left, z up, right-handed; the plane y
/// = 0 is the middle of the rig. [`new`](Self::new) takes any arrangement in any frame. All angles are zero at neutral.
/// With hinges along +y a pedal that swings forward above its hinge turns by a positive angle; with a crank along +z a
/// positive angle is to the left, as seen from above counterclockwise.
///
/// For simulators only. What carries a foot's force is structure: in an emergency a foot presses with more than a
/// kilonewton, and both feet may press against each other through the crank.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Arm, PedalMember, Pedal, PedalPair};
/// use yokewright::units::{DEG, MM};
///
/// // Pedals hinged at the floor 120 mm to either side; rods from 90 mm up the pedal to a crank of 45 mm behind them.
/// let at = |x: f64, y: f64, z: f64| Point3::new(x * MM, y * MM, z * MM);
/// let hinge = Arm::new(at(0.0, 120.0, 0.0), Vector3::y(), at(0.0, 70.0, 90.0))?;
/// let left = Pedal::new(hinge, at(-10.0, 120.0, 180.0), Vector3::x())?.with_stops(-15.0 * DEG, 15.0 * DEG)?;
/// let crank = Arm::new(at(-150.0, 0.0, 90.0), Vector3::z(), at(-150.0, 45.0, 90.0))?;
/// let pair = PedalPair::mirrored(left, crank)?;
///
/// let pose = pair.pose(PedalMember::Left, 10.0 * DEG)?;
/// assert!(pose.crank.angle < -18.0 * DEG && pose.right.angle < -9.0 * DEG);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "PedalPairSpec", into = "PedalPairSpec")]
pub struct PedalPair {
    left: Side,
    right: Side,
    crank: [Arm; 2],
    crank_stops: Option<Range>,
}

/// What a pedal pair is made of.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PedalPairSpec {
    /// The left pedal.
    pub left: Pedal,
    /// The right pedal.
    pub right: Pedal,
    /// The arm of the crank for the left rod.
    pub left_crank: Arm,
    /// The arm of the crank for the right rod.
    pub right_crank: Arm,
    /// Angles of the stops of the crank, rad, on either side of neutral.
    pub crank_stops: Option<Range>,
}

impl TryFrom<PedalPairSpec> for PedalPair {
    type Error = Error;

    fn try_from(spec: PedalPairSpec) -> Result<Self> {
        let pair = Self::new(spec.left, spec.right, spec.left_crank, spec.right_crank)?;
        match spec.crank_stops {
            Some(Range { lower, upper }) => pair.with_crank_stops(lower, upper),
            None => Ok(pair),
        }
    }
}

impl From<PedalPair> for PedalPairSpec {
    fn from(pair: PedalPair) -> Self {
        Self {
            left: pair.left.pedal,
            right: pair.right.pedal,
            left_crank: pair.crank[0],
            right_crank: pair.crank[1],
            crank_stops: pair.crank_stops,
        }
    }
}

/// The pair in one position: three angles, each with its derivatives by the one that was given.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalPose {
    /// Left pedal.
    pub left: Transfer,
    /// Right pedal.
    pub right: Transfer,
    /// Center crank: what a sensor on its pivot reads.
    pub crank: Transfer,
}

impl PedalPose {
    /// The angle of one member with its derivatives.
    #[must_use]
    pub fn of(&self, member: PedalMember) -> Transfer {
        match member {
            PedalMember::Left => self.left,
            PedalMember::Right => self.right,
            PedalMember::Crank => self.crank,
        }
    }
}

/// The pair in many positions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalPoses {
    /// Left pedal.
    pub left: Transfers,
    /// Right pedal.
    pub right: Transfers,
    /// Center crank.
    pub crank: Transfers,
    /// Whether all three have an angle there.
    pub valid: Vec<bool>,
}

impl PedalPoses {
    fn into_of(self, member: PedalMember) -> Transfers {
        match member {
            PedalMember::Left => self.left,
            PedalMember::Right => self.right,
            PedalMember::Crank => self.crank,
        }
    }
}

debug_as_call!(PedalPair, |self, f| {
    let ([left, right], [left_crank, right_crank]) =
        (FootSide::ALL.map(|foot| self.pedal(foot)), self.crank);
    let mirrored = Self::mirrored(left, left_crank).map(|pair| Self {
        crank_stops: self.crank_stops,
        ..pair
    });
    if mirrored == Ok(*self) {
        write!(f, "PedalPair::mirrored({left:?}, {left_crank:?})?")?;
    } else {
        write!(
            f,
            "PedalPair::new({left:?}, {right:?}, {left_crank:?}, {right_crank:?})?"
        )?;
    }
    match self.crank_stops {
        Some(Range { lower, upper }) => write!(f, ".with_crank_stops({lower:?}, {upper:?})?"),
        None => Ok(()),
    }
});

impl PedalPair {
    /// Two pedals and the two arms of the crank, which must sit on the same pivot, with directions alike.
    ///
    /// # Errors
    /// As [`BallRod::new`] and [`BallRod::reversed`], for either rod; [`Error::OutOfRange`] if the crank arms are not
    /// on the same axis to within a micrometer and a microradian.
    pub fn new(left: Pedal, right: Pedal, left_crank: Arm, right_crank: Arm) -> Result<Self> {
        left_crank
            .check_shared_pivot("mismatch of the pivots of the two crank arms", &right_crank)?;
        Ok(Self {
            left: Side::new(left, left_crank)?,
            right: Side::new(right, right_crank)?,
            crank: [left_crank, right_crank],
            crank_stops: None,
        })
    }

    /// The usual arrangement: the left pedal and the left arm of the crank, and their mirror images in the plane y = 0.
    ///
    /// # Errors
    /// As [`PedalPair::new`]; [`Error::OutOfRange`] if the pivot of the crank does not lie in the plane, so that its
    /// image would be another one.
    pub fn mirrored(left: Pedal, left_crank: Arm) -> Result<Self> {
        let image = left_crank.mirrored()?;
        // Seen in the mirror a crank in the plane turns the other way round; both arms count the same way.
        let right_crank = image.turned_round()?;
        left_crank.check_shared_pivot(
            "distance of the pivot of the crank from the plane y = 0",
            &right_crank,
        )?;
        Self::new(left, left.mirrored()?, left_crank, right_crank)
    }

    /// The same pair with stops at these angles of the crank (rad), on either side of neutral.
    ///
    /// # Errors
    /// As [`Pedal::with_stops`].
    pub fn with_crank_stops(&self, lower: f64, upper: f64) -> Result<Self> {
        let crank_stops = Some(stops("crank stops", lower, upper)?);
        Ok(Self {
            crank_stops,
            ..*self
        })
    }

    /// A pedal.
    #[must_use]
    pub fn pedal(&self, foot: FootSide) -> Pedal {
        self.side(foot).pedal
    }

    /// The arm of the crank to which a pedal's rod goes.
    #[must_use]
    pub fn crank_arm(&self, foot: FootSide) -> Arm {
        self.crank[foot as usize]
    }

    /// The rod of a pedal, driven by the pedal.
    #[must_use]
    pub fn rod(&self, foot: FootSide) -> BallRod {
        self.side(foot).to_crank
    }

    /// Angles of the stops of the crank, rad.
    #[must_use]
    pub fn crank_stops(&self) -> Option<Range> {
        self.crank_stops
    }

    fn side(&self, foot: FootSide) -> &Side {
        match foot {
            FootSide::Left => &self.left,
            FootSide::Right => &self.right,
        }
    }

    /// All three angles, given one of them (rad), with derivatives by the given one. Stops and swivel do not count
    /// here; [`reach`](Self::reach) says what they allow.
    ///
    /// # Errors
    /// As [`BallRod::transfer`], for the rods on the way.
    pub fn pose(&self, given: PedalMember, angle: f64) -> Result<PedalPose> {
        let own = Transfer::identity(angle);
        let other = |foot: FootSide, crank: &Transfer| -> Result<Transfer> {
            Ok(crank.then(&self.side(foot).to_pedal.transfer(crank.angle)?))
        };
        Ok(match given {
            PedalMember::Crank => PedalPose {
                left: other(FootSide::Left, &own)?,
                right: other(FootSide::Right, &own)?,
                crank: own,
            },
            PedalMember::Left => {
                let crank = self.left.to_crank.transfer(angle)?;
                PedalPose {
                    left: own,
                    right: other(FootSide::Right, &crank)?,
                    crank,
                }
            }
            PedalMember::Right => {
                let crank = self.right.to_crank.transfer(angle)?;
                PedalPose {
                    left: other(FootSide::Left, &crank)?,
                    right: own,
                    crank,
                }
            }
        })
    }

    /// [`pose`](Self::pose) for many angles (rad): the fast path. Where it would return an error the row is NaN and
    /// marked.
    #[must_use]
    pub fn poses(&self, given: PedalMember, angles: &[f64]) -> PedalPoses {
        let own = Transfers::identity(angles);
        let pedal = |foot: FootSide, crank: &Transfers| {
            crank.then(&self.side(foot).to_pedal.transfers(&crank.angles))
        };
        let (mut left, mut right, mut crank) = match given {
            PedalMember::Crank => (
                pedal(FootSide::Left, &own),
                pedal(FootSide::Right, &own),
                own,
            ),
            PedalMember::Left => {
                let crank = self.left.to_crank.transfers(angles);
                (own, pedal(FootSide::Right, &crank), crank)
            }
            PedalMember::Right => {
                let crank = self.right.to_crank.transfers(angles);
                (pedal(FootSide::Left, &crank), own, crank)
            }
        };
        let all = |i: usize| left.valid[i] && right.valid[i] && crank.valid[i];
        // One that was stopped may be shorter.
        let count = left
            .valid
            .len()
            .min(right.valid.len())
            .min(crank.valid.len());
        let valid: Vec<bool> = (0..count).map(all).collect();
        for member in [&mut left, &mut right, &mut crank] {
            member.blank_where_not(&valid);
        }
        PedalPoses {
            left,
            right,
            crank,
            valid,
        }
    }
}
