//! How far the pair goes, what stops it first, and how alike the two pedals are.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices, counted};
use crate::linkage::pedals::{FootSide, PedalMember, PedalPair, Side};
use crate::linkage::{Assembly, Range, RodLimit};
use crate::numeric::spacing::spaced;

/// What ends the travel, apart from whose it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum PedalLimitKind {
    /// A stop.
    Stop,
    /// The rod points at the pivot of the crank or at the hinge of the pedal.
    Lock,
    /// The ball joint on the pedal is at its rated swivel.
    PedalSwivel,
    /// The ball joint on the crank is at its rated swivel.
    CrankSwivel,
}

choices!(PedalLimitKind, "limit of a pedal", {
    Stop => "stop",
    Lock => "lock",
    PedalSwivel => "pedal swivel",
    CrankSwivel => "crank swivel",
});

/// What ends the travel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalLimit {
    /// What it is.
    pub kind: PedalLimitKind,
    /// At which pedal (its stop, its rod, its rod's joints), or at the crank.
    pub member: PedalMember,
}

impl fmt::Display for PedalLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.member, self.kind)
    }
}

/// One end of the travel: all three angles, and what is reached there first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalEnd {
    /// Left pedal, rad.
    pub left: f64,
    /// Right pedal, rad.
    pub right: f64,
    /// Center crank, rad.
    pub crank: f64,
    /// What ends the travel.
    pub limit: PedalLimit,
}

impl PedalEnd {
    /// The angle of one member, rad.
    #[must_use]
    pub fn of(&self, member: PedalMember) -> f64 {
        match member {
            PedalMember::Left => self.left,
            PedalMember::Right => self.right,
            PedalMember::Crank => self.crank,
        }
    }
}

/// Both ends of the travel, by the sign of the crank's angle; `None` where nothing ends it within a turn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalReach {
    /// With the crank turned in the negative sense.
    pub lower: Option<PedalEnd>,
    /// With the crank turned in the positive sense.
    pub upper: Option<PedalEnd>,
}

/// The pair in figures over its travel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct PedalFigures {
    /// Angles of the left pedal, rad.
    pub left: Range,
    /// Angles of the right pedal, rad.
    pub right: Range,
    /// Angles of the crank, rad: what a sensor on its pivot sees.
    pub crank: Range,
    /// Advance of the left pad along its push, m.
    pub left_advance: Range,
    /// Advance of the right pad along its push, m.
    pub right_advance: Range,
    /// Crank per left pedal at neutral.
    pub crank_ratio: f64,
    /// Least and greatest crank per left pedal over the travel.
    pub crank_ratios: Range,
    /// Right per left pedal at neutral.
    pub other_ratio: f64,
    /// Least and greatest right per left pedal over the travel.
    pub other_ratios: Range,
    /// How much the left pad with the crank on one side and the right pad with the crank equally far on the other
    /// differ at most in their advance, m, as far as both sides go: zero for a mirrored pair.
    pub asymmetry: f64,
    /// How much the mean of both pads' advances leaves zero at most, m: one foot comes back less (negative) or more
    /// (positive) than the other goes.
    pub mean_advance: Range,
}

impl PedalPair {
    /// Where the travel ends, and what ends it: a stop, a lock or the swivel of a ball joint, whichever comes first.
    ///
    /// A lock is where a rod points at the hinge or at the crank's pivot: in one sense of driving it cannot go on, in
    /// the other it can go two ways. Locks and stops follow in closed form; for swivel see
    /// [`BallRod::reach`](crate::linkage::BallRod::reach).
    #[must_use]
    pub fn reach(&self) -> PedalReach {
        let of_feet = FootSide::ALL.map(|foot| self.side(foot).ends());
        PedalReach {
            lower: self.end(-1.0, &of_feet),
            upper: self.end(1.0, &of_feet),
        }
    }

    fn end(&self, sense: f64, of_feet: &[Vec<(f64, PedalLimitKind)>; 2]) -> Option<PedalEnd> {
        let mut ends: Vec<(f64, PedalLimit)> = Vec::new();
        if let Some(Range {
            lower: from,
            upper: to,
        }) = self.crank_stops
        {
            let limit = PedalLimit {
                kind: PedalLimitKind::Stop,
                member: PedalMember::Crank,
            };
            ends.push((if sense > 0.0 { to } else { from }, limit));
        }
        for (foot, found) in FootSide::ALL.into_iter().zip(of_feet) {
            let member = foot.into();
            let found = found.iter().filter(|(crank, _)| crank * sense > 0.0);
            ends.extend(found.map(|&(crank, kind)| (crank, PedalLimit { kind, member })));
        }
        let (crank, limit) = ends
            .into_iter()
            .min_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))?;
        let angle = |foot: FootSide| {
            let rod = &self.side(foot).to_pedal;
            rod.output_angle(crank, Assembly::Neutral).ok()
        };
        Some(PedalEnd {
            left: angle(FootSide::Left)?,
            right: angle(FootSide::Right)?,
            crank,
            limit,
        })
    }

    /// Ranges, ratios and likeness of both sides over the travel, from this many evenly spaced angles of the crank (3
    /// to 100 000).
    ///
    /// # Errors
    /// [`Error::Count`]; [`Error::OutOfRange`] if nothing ends the travel on one side: then give it stops.
    pub fn figures(&self, points: usize) -> Result<PedalFigures> {
        counted("points of the pedal figures", points, [3, 100_000])?;
        let PedalReach { lower, upper } = self.reach();
        let (Some(lower), Some(upper)) = (lower, upper) else {
            let full = std::f64::consts::TAU;
            return Err(Error::OutOfRange {
                quantity: "travel of the crank without a stop",
                value: full,
                min: 0.0,
                max: full,
                unit: "rad",
                hint: crate::error::Hint::None,
            });
        };
        // A ratio is infinite exactly at a lock; just inside it is as large as it gets.
        let angles = spaced([lower.crank, upper.crank], points - 1).collect::<Vec<_>>();
        let poses = self.poses(PedalMember::Crank, &angles);
        let rows = || (0..points).filter(|i| poses.valid[*i]);
        let advance = |foot: FootSide, angle: f64| {
            let pedal = self.pedal(foot);
            (pedal.arm().carried(&pedal.pad(), angle) - pedal.pad()).dot(&pedal.push())
        };
        let advances = |i: usize| {
            [
                advance(FootSide::Left, poses.left.angles[i]),
                advance(FootSide::Right, poses.right.angles[i]),
            ]
        };
        let neutral = self.pose(PedalMember::Left, 0.0)?;
        let ends = [lower, upper];
        let common = upper.crank.min(-lower.crank);
        let one: Vec<f64> = spaced([-common, common], points - 1).collect();
        let (there, back) = (self.poses(PedalMember::Crank, &one), {
            let turned: Vec<f64> = one.iter().map(|angle| -angle).collect();
            self.poses(PedalMember::Crank, &turned)
        });
        let asymmetry = (0..points)
            .filter(|i| there.valid[*i] && back.valid[*i])
            .map(|i| {
                let left = advance(FootSide::Left, there.left.angles[i]);
                (left - advance(FootSide::Right, back.right.angles[i])).abs()
            })
            .fold(0.0, f64::max);
        Ok(PedalFigures {
            left: Range::over(ends.iter().map(|end| end.left)),
            right: Range::over(ends.iter().map(|end| end.right)),
            crank: Range::over(ends.iter().map(|end| end.crank)),
            left_advance: Range::over(ends.iter().map(|end| advance(FootSide::Left, end.left))),
            right_advance: Range::over(ends.iter().map(|end| advance(FootSide::Right, end.right))),
            crank_ratio: neutral.crank.ratio,
            crank_ratios: Range::over(rows().map(|i| 1.0 / poses.left.ratios[i])),
            other_ratio: neutral.right.ratio,
            other_ratios: Range::over(rows().map(|i| poses.right.ratios[i] / poses.left.ratios[i])),
            asymmetry,
            mean_advance: Range::over(rows().map(|i| {
                let [left, right] = advances(i);
                0.5 * (left + right)
            })),
        })
    }
}

impl Side {
    /// Angles of the crank at which this pedal, its rod or its joints end the travel.
    fn ends(&self) -> Vec<(f64, PedalLimitKind)> {
        /// How well an angle must come back through the rod to count as reached; next to a lock the root of a rounding.
        const SAME: f64 = 1e-6;
        let mut ends = Vec::new();
        if let Some(Range {
            lower: from,
            upper: to,
        }) = self.to_pedal.travel()
        {
            ends.extend([from, to].map(|crank| (crank, PedalLimitKind::Lock)));
        }
        let reach = self.to_crank.reach();
        let of_rod = [reach.lower, reach.upper].into_iter().flatten().map(|end| {
            let kind = match end.limit {
                RodLimit::Lock => PedalLimitKind::Lock,
                RodLimit::InputSwivel => PedalLimitKind::PedalSwivel,
                RodLimit::OutputSwivel => PedalLimitKind::CrankSwivel,
            };
            (end.input, kind)
        });
        let stops = self.pedal.stops.into_iter().flat_map(
            |Range {
                 lower: from,
                 upper: to,
             }| { [from, to].map(|pedal| (pedal, PedalLimitKind::Stop)) },
        );
        for (pedal, kind) in of_rod.chain(stops) {
            let Ok(crank) = self.to_crank.output_angle(pedal, Assembly::Neutral) else {
                continue;
            };
            // Where the crank has turned back on the way, its lock comes first.
            let back = self.to_pedal.output_angle(crank, Assembly::Neutral);
            if back.is_ok_and(|back| (back - pedal).abs() <= SAME) {
                ends.push((crank, kind));
            }
        }
        ends
    }
}
