//! How far a four-bar can move, and where it locks.

use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::fmt;

use serde::Serialize;

use super::place::{Lengths, place};
use super::{Branch, FourBar, FourBarPose};
use crate::error::{Error, Result};
use crate::linkage::{Travel, angle_opposite, check_angle};
use crate::units::DEG;

/// The least transmission angle of a linkage that shall not bind, rad: 40 degrees (H. Alt 1932; K. H. Hunt; Norton, *Design of Machinery*,
/// sec. 3.3; from memory). Texts that count to 180 degrees say 40 to 140.
pub const TRANSMISSION_LIMIT: f64 = 40.0 * DEG;
/// The least transmission angle of a good linkage, rad: 45 degrees (same sources).
pub const TRANSMISSION_GOOD: f64 = 45.0 * DEG;

/// What a four-bar can do, by which of its links can turn around.
///
/// With shortest and longest link s and l, the others p and q: where s + l < p + q (Grashof) the shortest turns around against all others, and
/// its place gives the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum FourBarClass {
    /// The crank is shortest: it turns around, the rocker swings.
    CrankRocker,
    /// The ground is shortest: crank and rocker turn around.
    DoubleCrank,
    /// The coupler is shortest: crank and rocker swing, the coupler turns around.
    DoubleRocker,
    /// The rocker is shortest: the crank swings, the rocker turns around.
    RockerCrank,
    /// s + l > p + q: no link turns around.
    TripleRocker,
    /// s + l = p + q: all links can lie in one line, where the branches meet and it is up to chance which one follows.
    ChangePoint,
}

impl fmt::Display for FourBarClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::CrankRocker => "crank-rocker",
            Self::DoubleCrank => "double-crank",
            Self::DoubleRocker => "double-rocker",
            Self::RockerCrank => "rocker-crank",
            Self::TripleRocker => "triple-rocker",
            Self::ChangePoint => "change point",
        })
    }
}

/// Class of a four-bar, and by how much it is in it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Grashof {
    /// What can turn around.
    pub class: FourBarClass,
    /// p + q - s - l, m: positive where a link can turn around, negative where none can, zero at the change point. Link lengths that are off by
    /// more than this together may change the class.
    pub margin: f64,
}

/// Which two links are in line, and so whose travel ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub enum DeadCenterKind {
    /// Coupler and rocker in line: the crank can go no farther, and the rocker cannot be driven from it.
    InputLimit,
    /// Crank and coupler in line: the rocker can go no farther, and holds without torque at the crank.
    OutputLimit,
}

/// A position in which two links are in line: a toggle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DeadCenter {
    /// Which links are in line.
    pub kind: DeadCenterKind,
    /// Whether they lie one after the other (`true`) or folded over one another.
    pub stretched: bool,
    /// Where all links are. At an input limit the branches meet; the pose is given as open.
    pub pose: FourBarPose,
}

impl FourBar {
    /// Which links can turn around, and by how much.
    ///
    /// A margin smaller than the rounding of the lengths is zero.
    ///
    /// # References
    /// F. Grashof, *Theoretische Maschinenlehre*, 1883; Norton, *Design of Machinery*, sec. 2.13.
    #[must_use]
    pub fn grashof(&self) -> Grashof {
        let Lengths {
            ground,
            crank,
            coupler,
            rocker,
        } = self.lengths;
        let mut sorted = [ground, crank, coupler, rocker];
        sorted.sort_by(f64::total_cmp);
        let [shortest, p, q, longest] = sorted;
        let margin = (p + q) - (shortest + longest);
        let (class, margin) = if margin.abs() <= self.lengths.rounding() {
            (FourBarClass::ChangePoint, 0.0)
        } else if margin < 0.0 {
            (FourBarClass::TripleRocker, margin)
        } else if ground == shortest {
            (FourBarClass::DoubleCrank, margin)
        } else if crank == shortest {
            (FourBarClass::CrankRocker, margin)
        } else if rocker == shortest {
            (FourBarClass::RockerCrank, margin)
        } else {
            (FourBarClass::DoubleRocker, margin)
        };
        Grashof { class, margin }
    }

    /// The crank angles at which the linkage closes, the same on both branches: one or two stretches, or the full turn.
    ///
    /// Two stretches, mirror images, are separate circuits: to come from one to the other the linkage must be taken apart. Where a stretch
    /// passes the angle pi it is given beyond it, from less than pi to more.
    #[must_use]
    pub fn crank_travel(&self) -> Vec<Travel> {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        // The diagonal grows with |angle| from |d - a| to d + a and must stay between |b - c| and b + c.
        let (shortest, longest) = ((b - c).abs(), b + c);
        let limit = |diagonal, otherwise| angle_opposite(diagonal, a, d).unwrap_or(otherwise);
        // A limit that roundings cannot tell from the end of the diagonal's range is none.
        let rounding = self.lengths.rounding();
        let least = (shortest > (d - a).abs() + rounding).then(|| limit(shortest, PI));
        let most = (longest + rounding < d + a).then(|| limit(longest, 0.0));
        let stretch = |from, to| Travel { from, to };
        match (least, most) {
            (None, None) => vec![Travel::FULL_TURN],
            (None, Some(most)) => vec![stretch(-most, most)],
            (Some(least), None) => vec![stretch(least, TAU - least)],
            (Some(least), Some(most)) => vec![stretch(-most, -least), stretch(least, most)],
        }
    }

    /// The rocker angles that each stretch of [`FourBar::crank_travel`] gives on a branch, in the same order.
    ///
    /// Continuous, so that a stretch may reach beyond pi. Its ends are dead centers: either kind can end the travel of the rocker. At a change
    /// point with equal ground and crank, where the rocker can stay or turn, it is the full turn.
    #[must_use]
    pub fn rocker_travel(&self, branch: Branch) -> Vec<Travel> {
        let dead_centers = self.dead_centers();
        let travel = |stretch: Travel| {
            if stretch == Travel::FULL_TURN && self.crank() >= self.ground() {
                return Travel::FULL_TURN;
            }
            // Extremes are where the rocker turns back and at the ends. At a change point it may do so, on either branch, on the ground line.
            let turning = dead_centers
                .iter()
                .filter(|dead| {
                    dead.kind == DeadCenterKind::OutputLimit && dead.pose.branch == branch
                })
                .map(|dead| dead.pose.crank_angle);
            let looks = turning
                .chain([0.0, PI])
                .filter_map(|angle| stretch.turned_into(angle));
            Travel::over(
                looks
                    .chain([stretch.from, stretch.to])
                    .map(|crank_angle| self.continuous_angles(crank_angle, branch)[1]),
            )
        };
        self.crank_travel().into_iter().map(travel).collect()
    }

    /// Coupler and rocker angle (rad) without jumps while the crank turns, also beyond pi and over several turns; in line where the links miss each
    /// other.
    ///
    /// The direction of the diagonal is continuous in the crank angle: it swings where the crank is shorter than the ground and turns with the
    /// crank where it is longer. Coupler and rocker stay on one side of it.
    pub(in crate::linkage) fn continuous_angles(
        &self,
        crank_angle: f64,
        branch: Branch,
    ) -> [f64; 2] {
        let Lengths {
            ground: d,
            crank: a,
            ..
        } = self.lengths;
        let (sin, cos) = crank_angle.sin_cos();
        let placed = place(&self.lengths, [cos, sin]);
        let diagonal = if a < d {
            (-a * sin).atan2(d - a * cos)
        } else {
            crank_angle - PI + (d * sin).atan2(a - d * cos)
        };
        placed
            .beside_diagonal()
            .map(|angle| diagonal + branch.side(angle))
    }

    /// All positions in which two links are in line.
    #[must_use]
    pub fn dead_centers(&self) -> Vec<DeadCenter> {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        let input = [(true, b + c), (false, (b - c).abs())].map(|(stretched, diagonal)| {
            both_ways(angle_opposite(diagonal, a, d)).map(move |crank_angle| {
                (
                    DeadCenterKind::InputLimit,
                    stretched,
                    crank_angle,
                    Branch::Open,
                )
            })
        });
        // The diagonal is now that from the crank pivot to the rocker joint.
        let output = [(true, a + b), (false, (a - b).abs())].map(|(stretched, diagonal)| {
            both_ways(angle_opposite(c, diagonal, d)).map(move |to_joint| {
                // The crank points at the rocker joint unless a longer coupler leads back over the pivot; the coupler does unless the crank
                // reaches beyond. A coupler that points up belongs to the open branch.
                let turned = to_joint - PI.copysign(to_joint);
                let (crank_angle, up) = match (stretched, b > a) {
                    (true, _) => (to_joint, to_joint),
                    (false, true) => (turned, to_joint),
                    (false, false) => (to_joint, turned),
                };
                (
                    DeadCenterKind::OutputLimit,
                    stretched,
                    crank_angle,
                    Branch::of(up),
                )
            })
        });
        let all = input
            .into_iter()
            .flatten()
            .chain(output.into_iter().flatten());
        // A pose is refused only where the crank joint meets the rocker pivot.
        let posed = all.filter_map(|(kind, stretched, crank_angle, branch)| {
            let pose = self.pose(crank_angle, branch).ok()?;
            Some(DeadCenter {
                kind,
                stretched,
                pose,
            })
        });
        posed.collect()
    }

    /// The least transmission angle (rad) while the crank moves from one angle to another, on either branch.
    ///
    /// Below 40 degrees friction in the joints begins to lock the linkage ([`TRANSMISSION_LIMIT`]); 45 degrees is good
    /// ([`TRANSMISSION_GOOD`]).
    ///
    /// # Errors
    /// [`Error::NotAscending`] unless `from` is below `to`; [`Error::CannotClose`] if the linkage cannot go there.
    pub fn least_transmission_angle(&self, from: f64, to: f64) -> Result<f64> {
        check_angle("start of the travel", from)?;
        check_angle("end of the travel", to)?;
        if from >= to {
            return Err(Error::NotAscending {
                quantity: "travel of the crank",
                lower: from,
                upper: to,
                unit: "rad",
            });
        }
        // The diagonal, and with it the angle, is monotonic between multiples of pi.
        let turning = (-4..=4).map(|half_turns| f64::from(half_turns) * PI);
        let inner = turning.filter(|angle| (from..to).contains(angle));
        let mut least = FRAC_PI_2;
        for angle in [from, to].into_iter().chain(inner) {
            least = self
                .pose(angle, Branch::Open)?
                .transmission_angle
                .min(least);
        }
        Ok(least)
    }
}

/// An angle and its mirror image, which is the same for 0 and pi.
fn both_ways(angle: Option<f64>) -> impl Iterator<Item = f64> {
    let mirrored = angle.filter(|angle| *angle > 0.0 && *angle < PI);
    angle.into_iter().chain(mirrored.map(|angle| -angle))
}
