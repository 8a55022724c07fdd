//! The rod with a ball joint at each end, between arms on two pivots that stand anyhow in space.

mod batch;
mod figures;
mod kernel;
mod lanes;
mod loads;
mod locks;
mod reach;
mod search;
mod transmission;
mod turns;

pub use batch::{BallRodAngles, BallRodColumns};
pub use figures::BallRodFigures;
pub(crate) use lanes::{RodInput, RodLanes, Turn};
pub use loads::{OutputShift, RodLoads};
pub use reach::{RodEnd, RodLimit, RodReach};
pub use search::{ArmLengths, BallRodDemand, BallRodDesign, FreeArm, search_ball_rods};

use std::f64::consts::TAU;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Hint, Result, choices, within};
use crate::linkage::ball_rod::kernel::{Input, Kernel, Loop};
use crate::linkage::ball_rod::locks::Lock;
use crate::linkage::ball_rod::turns::Turns;
use crate::linkage::{Arm, Range, Transfer, wrapped};
use crate::written::debug_as_call;

/// The shortest and the longest rod, m.
const ROD: [f64; 2] = [1e-4, 10.0];
/// What the errors call it.
pub(super) const NAME: &str = "ball-joint rod";

/// The two ways in which the same arms and rod can be put together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Assembly {
    /// As it stands at neutral.
    Neutral,
    /// With the output arm on the other side of the rod; to get there the rod has to be taken off.
    Other,
}

choices!(Assembly, "assembly", {
    Neutral => "neutral",
    Other => "other",
});

/// What a ball-joint rod is put together from; [`BallRod::put_together`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BallRodSpec {
    /// The arm that drives.
    pub input: Arm,
    /// The arm that is driven.
    pub output: Arm,
    /// Distance between the centers of the ball joints, m; none: as they are apart where the arms were given.
    pub rod_length: Option<f64>,
    /// Input angle at which it is put together, rad from where the input arm was given, -2 pi to 2 pi. It takes the
    /// place of input zero in all that is said of neutral.
    pub start: f64,
    /// `Neutral` with the output arm as near as may be to where it was given, `Other` on the other side of the rod.
    pub assembly: Assembly,
}

impl BallRodSpec {
    /// Put together where the arms are given.
    #[must_use]
    pub fn new(input: Arm, output: Arm) -> Self {
        Self {
            input,
            output,
            rod_length: None,
            start: 0.0,
            assembly: Assembly::Neutral,
        }
    }
}

/// Two arms on two pivots, coupled by a rod with a ball joint at each end: a spatial four-bar of the type RSSR.
///
/// The arms are given where they stand at neutral; both angles are zero there. The rod is as long as the joints are
/// apart at neutral, unless another length is set with [`with_rod_length`](Self::with_rod_length). Each pivot's angle
/// is positive by the right-hand rule about its own direction.
///
/// The closed form and its accuracy: the rod closes to some 1e-15 (1 + b / L) of the size of the linkage, b the output
/// arm and L the rod, also next to a lock. There the output angle itself is only known to about the square root of
/// that: a rounding of the input angle moves it so much. At the ends that [`travel`](Self::travel) gives, both roots
/// are one, and the output angle has its digits again.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Arm, BallRod};
/// use yokewright::units::{DEG, MM};
///
/// // A pedal that swings about y pushes a crank that turns about z.
/// let pedal = Arm::new(Point3::origin(), Vector3::y(), Point3::new(0.0, 0.0, 100.0 * MM))?;
/// let pivot = Point3::new(200.0 * MM, -60.0 * MM, 100.0 * MM);
/// let crank = Arm::new(pivot, Vector3::z(), pivot + Vector3::y() * (50.0 * MM))?;
/// let rod = BallRod::new(pedal, crank)?;
/// // 100 mm of pedal on 50 mm of crank: about twice the angle, and the other way round by the right-hand rule.
/// let at = rod.transfer(0.0)?;
/// assert!(at.angle == 0.0 && (at.ratio + 2.0).abs() < 1e-9);
/// let travel = rod.travel().expect("it locks somewhere");
/// assert!(travel.lower < -20.0 * DEG && travel.upper > 20.0 * DEG);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// J. M. McCarthy and G. S. Soh, *Geometric Design of Linkages*, 2nd ed., Springer 2011, app. A: A cos psi + B sin psi
/// = C.
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "BallRodSpec", into = "BallRodSpec")]
pub struct BallRod {
    pub(super) input: Arm,
    pub(super) output: Arm,
    pub(super) rod: f64,
    pub(super) kernel: Kernel,
    /// Which root the neutral position is: 1 or -1.
    pub(super) side: f64,
    /// Input angle at which it is put together, rad.
    start: f64,
    pub(super) locks: Option<[Lock; 2]>,
    turns: Turns,
}

debug_as_call!(BallRod, |self, f| {
    let Self { input, output, .. } = self;
    if Self::new(*input, *output) == Ok(*self) {
        return write!(f, "BallRod::new({input:?}, {output:?})?");
    }
    let BallRodSpec {
        rod_length,
        start,
        assembly,
        ..
    } = self.spec();
    write!(
        f,
        "BallRod::put_together(BallRodSpec {{ rod_length: {rod_length:?}, start: {start:?}, \
         assembly: Assembly::{assembly:?}, \
         ..BallRodSpec::new({input:?}, {output:?}) }})?"
    )
});

impl BallRod {
    /// A rod between the joints of two arms, as long as they are apart.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] if the rod would not be 0.1 mm to 10 m long, or if it points at the axis of the output
    /// pivot (within a millionth of the output arm): there the linkage locks, so such a place cannot be its neutral.
    /// Also if a ball joint is beyond its rated swivel at neutral.
    pub fn new(input: Arm, output: Arm) -> Result<Self> {
        Self::put_together(BallRodSpec::new(input, output))
    }

    /// The same arms with a rod of another length, m, put together the same way.
    ///
    /// Angles keep their zero, where the arms were given; so with the new rod the output at input zero is no longer
    /// zero.
    ///
    /// # Errors
    /// As [`BallRod::new`]; [`Error::CannotClose`] if the rod is too short or too long at input zero.
    pub fn with_rod_length(&self, length: f64) -> Result<Self> {
        Self::put_together(BallRodSpec {
            rod_length: Some(length),
            ..self.spec()
        })
    }

    /// A rod as its spec says.
    ///
    /// # Errors
    /// As [`BallRod::new`]; [`Error::CannotClose`] if the rod is too short or too long at the start,
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a start beyond two pi.
    pub fn put_together(spec: BallRodSpec) -> Result<Self> {
        let mut this = Self::closing(spec)?;
        this.locks = this.kernel.locks(this.start)?;
        Ok(this)
    }

    /// A rod that closes at its start, wherever it locks.
    ///
    /// # Errors
    /// As [`BallRod::put_together`].
    pub(crate) fn closing(spec: BallRodSpec) -> Result<Self> {
        let BallRodSpec {
            input,
            output,
            rod_length,
            start,
            assembly,
        } = spec;
        let [least, most] = ROD;
        let rod = rod_length.unwrap_or_else(|| (input.joint() - output.joint()).norm());
        within("rod length", rod, least, most, "m")?;
        let kernel = Kernel::new(&input, &output, rod);
        let neutral = kernel.at::<false>(Input::new(checked(start)?));
        let side = match assembly {
            Assembly::Neutral => neutral.near_side(),
            Assembly::Other => -neutral.near_side(),
        };
        let this = Self {
            input,
            output,
            rod,
            kernel,
            side,
            start,
            locks: None,
            turns: Turns::new(&kernel, side, start),
        };
        this.check(start, &neutral)?;
        let lever = output.length() * neutral.root() / rod;
        Arm::lever(
            "effective arm of the rod about the output pivot at neutral",
            lever,
            output.length(),
        )?;
        this.check_swivels_at_start()?;
        Ok(this)
    }

    /// The same arms and rod, taken apart and put together at an input angle (rad, -2 pi to 2 pi), as at neutral or the
    /// other way. The angle may lie in any of the [`stretches`](Self::stretches); each arm's angle is counted as
    /// before, and the start of the new linkage is there.
    ///
    /// # Errors
    /// As [`put_together`](Self::put_together).
    pub fn assembled_at(&self, angle: f64, assembly: Assembly) -> Result<Self> {
        let side = match assembly {
            Assembly::Neutral => self.side,
            Assembly::Other => -self.side,
        };
        checked(angle)?;
        Self::put_together(self.spec_at(angle, side))
    }

    /// What it is put together from.
    #[must_use]
    pub fn spec(&self) -> BallRodSpec {
        self.spec_at(self.start, self.side)
    }

    fn spec_at(&self, start: f64, side: f64) -> BallRodSpec {
        let near = self.kernel.at::<false>(Input::new(start)).near_side();
        BallRodSpec {
            input: self.input,
            output: self.output,
            rod_length: Some(self.rod),
            start,
            assembly: if side == near {
                Assembly::Neutral
            } else {
                Assembly::Other
            },
        }
    }

    /// The arm that drives.
    #[must_use]
    pub fn input(&self) -> Arm {
        self.input
    }

    /// The arm that is driven.
    #[must_use]
    pub fn output(&self) -> Arm {
        self.output
    }

    /// Distance between the centers of the ball joints, m.
    #[must_use]
    pub fn rod_length(&self) -> f64 {
        self.rod
    }

    /// Input angle, rad, at which the linkage is put together: zero, except for a reversed one with a rod of another
    /// length.
    #[must_use]
    pub fn start(&self) -> f64 {
        self.start
    }

    /// The same linkage driven from its other end: put together as this one is at its start, each arm's angle counted
    /// as before.
    ///
    /// # Errors
    /// As [`BallRod::new`], for the input pivot: where the rod points at it at the start, the output cannot drive the
    /// input.
    pub fn reversed(&self) -> Result<Self> {
        let start = self.output_angle(self.start, Assembly::Neutral)?;
        let back = Kernel::new(&self.output, &self.input, self.rod).at::<false>(Input::new(start));
        // The root that is the input angle at which this one is put together.
        let off = |side: f64| wrapped(back.half(side).angle() - self.start).abs();
        let near = back.near_side();
        let assembly = if off(near) <= off(-near) {
            Assembly::Neutral
        } else {
            Assembly::Other
        };
        Self::put_together(BallRodSpec {
            input: self.output,
            output: self.input,
            rod_length: Some(self.rod),
            start,
            assembly,
        })
    }

    /// Output angle, ratio and its change at an input angle (rad, -2 pi to 2 pi), on the way from neutral.
    ///
    /// The angle is a continuous function of the input from lock to lock, also when it grows beyond half a turn. With
    /// the loop equation F(theta, psi) = 0, ratio = -F_theta / F_psi and curvature = -(F_theta theta + 2 F_theta psi
    /// ratio + F_psi psi ratio^2) / F_psi.
    ///
    /// # Errors
    /// [`Error::CannotClose`] where the rod cannot reach, with how much it misses; [`Error::DeadCenter`] exactly at a
    /// lock, where the ratio is infinite, or with the input joint on the axis of the output pivot;
    /// [`Error::OutOfRange`] or [`Error::NotFinite`] for an angle beyond two pi, or beyond a lock where the linkage
    /// would close again.
    pub fn transfer(&self, angle: f64) -> Result<Transfer> {
        let (input, at) = self.reachable(angle)?;
        let half = at.half(self.side);
        let (ratio, curvature) = self
            .kernel
            .derivatives::<false>(input, &at, half, self.side);
        if !curvature.is_finite() {
            return Err(Error::DeadCenter {
                linkage: NAME,
                quantity: "ratio",
                angle,
            });
        }
        Ok(Transfer {
            angle: self.turns.unwrapped(&self.kernel, angle, &at, half.angle()),
            ratio,
            curvature,
        })
    }

    /// Output angle, rad, at an input angle (rad, -2 pi to 2 pi), put together one way or the other.
    ///
    /// Put together as at neutral, the angle is that of [`transfer`](Self::transfer), and there is one at a lock too.
    /// Put together the other way it is between -pi and pi, and wherever the rod reaches.
    ///
    /// # Errors
    /// As [`BallRod::transfer`], except at a lock.
    pub fn output_angle(&self, angle: f64, assembly: Assembly) -> Result<f64> {
        match assembly {
            Assembly::Neutral => {
                let (_, at) = self.reachable(angle)?;
                let output = at.half(self.side).angle();
                Ok(self.turns.unwrapped(&self.kernel, angle, &at, output))
            }
            Assembly::Other => {
                let (_, at) = self.closed(angle)?;
                Ok(at.half(-self.side).angle())
            }
        }
    }

    /// The input angles, rad, from the lock below to the lock above neutral; `None` if the input turns all the way
    /// round.
    ///
    /// At a lock the rod points at the axis of the output pivot, and the input can go no further. These are zeros of
    /// R^2 - C^2, a trigonometric polynomial of degree two; between its extremes, found as eigenvalues, each is
    /// bracketed and found to the last bits. A place where both assemblies meet without the input being stopped (a
    /// change point, as in a parallelogram) counts as a lock: there the output may go either way. Where the input joint
    /// comes to lie on the axis of the output pivot, the travel ends 1e-8 rad before.
    #[must_use]
    pub fn travel(&self) -> Option<Range> {
        self.locks.map(|[from, to]| Range {
            lower: from.angle,
            upper: to.angle,
        })
    }

    /// All input angles, rad, at which the rod closes, the same for both assemblies: first the stretch that holds the
    /// start, then the other one if there are two, or the full turn.
    ///
    /// From one stretch to the other the linkage must be taken apart; [`assembled_at`](Self::assembled_at) puts it
    /// together there. A change point, where both assemblies meet without the input being stopped, ends the
    /// [`travel`](Self::travel) but not a stretch.
    ///
    /// # Errors
    /// [`Error::NotConverged`]; none is to be expected.
    pub fn stretches(&self) -> Result<Vec<Range>> {
        self.kernel.stretches(self.start)
    }

    /// Both joints, m, at an input angle: on the input arm and on the output arm.
    ///
    /// # Errors
    /// As [`BallRod::output_angle`].
    pub fn joints(&self, angle: f64) -> Result<[Point3<f64>; 2]> {
        let output = self.output_angle(angle, Assembly::Neutral)?;
        Ok(self.joints_between(angle, output))
    }

    pub(super) fn joints_between(&self, input: f64, output: f64) -> [Point3<f64>; 2] {
        [
            self.input.carried(&self.input.joint(), input),
            self.output.carried(&self.output.joint(), output),
        ]
    }

    /// From the output joint to the input joint, m.
    pub(super) fn rod_between(&self, input: f64, output: f64) -> Vector3<f64> {
        let [a, b] = self.joints_between(input, output);
        a - b
    }

    /// The loop equation where it closes; at a lock the two roots are one, whatever rounding leaves of their
    /// difference.
    fn closed(&self, angle: f64) -> Result<(Input, Loop)> {
        let input = Input::new(checked(angle)?);
        let mut at = self.kernel.at::<false>(input);
        self.check(angle, &at)?;
        let locks = self.locks.iter().flatten();
        if locks
            .into_iter()
            .any(|lock| lock.double && lock.angle == angle)
        {
            at.square = 0.0;
        }
        Ok((input, at))
    }

    /// The same, on the way from the start.
    pub(super) fn reachable(&self, angle: f64) -> Result<(Input, Loop)> {
        let closed = self.closed(angle)?;
        match self.travel() {
            Some(Range {
                lower: min,
                upper: max,
            }) if !(min..=max).contains(&angle) => Err(Error::OutOfRange {
                quantity: "input angle between the locks that can be reached from neutral",
                value: angle,
                min,
                max,
                unit: "rad",
                hint: Hint::None,
            }),
            _ => Ok(closed),
        }
    }

    fn check(&self, angle: f64, at: &Loop) -> Result<()> {
        if self.kernel.closes(at) {
            return Ok(());
        }
        if !self.kernel.definite(at) {
            return Err(Error::DeadCenter {
                linkage: NAME,
                quantity: "output angle",
                angle,
            });
        }
        // The joint's circle comes no nearer than `near` to the input joint, and goes no farther than `far`.
        let output = &self.output;
        let d = self.input.carried(&self.input.joint(), angle) - output.foot();
        let along = d.dot(&output.direction());
        let across = (d - output.direction() * along).norm();
        let near = along.hypot(across - output.length());
        let far = along.hypot(across + output.length());
        Err(Error::CannotClose {
            linkage: NAME,
            angle,
            gap: (near - self.rod).max(self.rod - far).max(0.0),
        })
    }

    /// Whether an output angle may need turns added to what the arc tangent gives.
    pub(super) fn winds(&self) -> bool {
        self.turns.matter()
    }
}

/// The turns that a rod is told of, with room for the rounding of what drives it: one that stands still at a whole turn
/// is not beyond it.
pub(super) const TURN: f64 = TAU * (1.0 + 1e-9);

fn checked(angle: f64) -> Result<f64> {
    if angle.abs() <= TURN {
        return Ok(angle);
    }
    within("input angle", angle, -TAU, TAU, "rad")
}

impl TryFrom<BallRodSpec> for BallRod {
    type Error = Error;

    fn try_from(spec: BallRodSpec) -> Result<Self> {
        Self::put_together(spec)
    }
}

impl From<BallRod> for BallRodSpec {
    fn from(rod: BallRod) -> Self {
        rod.spec()
    }
}
