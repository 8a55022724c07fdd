//! How far a four-bar can move, and where it locks.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::Vector2;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, choices};
use crate::linkage::planar::four_bar::in_line::signed_least;
use crate::linkage::planar::four_bar::place::{Lengths, place};
use crate::linkage::planar::four_bar::{Branch, FourBar, FourBarPose, Links};
use crate::linkage::{Range, angle_opposite, check_angle};
use crate::units::DEG;

/// The least transmission angle of a linkage that shall not bind, rad: 40 degrees (H. Alt 1932; K. H. Hunt; Norton,
/// *Design of Machinery*, sec. 3.3; from memory). Texts that count to 180 degrees say 40 to 140.
pub const TRANSMISSION_LIMIT: f64 = 40.0 * DEG;
/// The least transmission angle of a good linkage, rad: 45 degrees (same sources).
pub const TRANSMISSION_GOOD: f64 = 45.0 * DEG;

/// What a four-bar can do, by which of its links can turn around.
///
/// With shortest and longest link s and l, the others p and q: where s + l < p + q (Grashof) the shortest turns around
/// against all others, and its place gives the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
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

choices!(FourBarClass, "class of four-bar", {
    CrankRocker => "crank-rocker",
    DoubleCrank => "double-crank",
    DoubleRocker => "double-rocker",
    RockerCrank => "rocker-crank",
    TripleRocker => "triple-rocker",
    ChangePoint => "change point",
});

/// Class of a four-bar, and by how much it is in it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Grashof {
    /// What can turn around.
    pub class: FourBarClass,
    /// p + q - s - l, m: positive where a link can turn around, negative where none can, zero at the change point. Link
    /// lengths that are off by more than this together may change the class.
    pub margin: f64,
}

/// Which two links are in line, and so whose travel ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum DeadCenterKind {
    /// Coupler and rocker in line: the rocker cannot be driven from the crank, and the crank can go no farther, except
    /// at a change point.
    InputLimit,
    /// Crank and coupler in line: the rocker holds without torque at the crank, and can go no farther, except at a
    /// change point.
    OutputLimit,
}

/// A position in which two links are in line: a toggle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct DeadCenter {
    /// Which links are in line.
    pub kind: DeadCenterKind,
    /// Whether they lie one after the other (`true`) or folded over one another.
    pub stretched: bool,
    /// Where all links are. At an input limit and at a change point the branches meet; the pose is given as open.
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
        let (class, margin) = if self.lengths.sums().contains(&0.0) {
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
    /// Two stretches, mirror images, are separate circuits: to come from one to the other the linkage must be taken
    /// apart. Where a stretch passes the angle pi it is given beyond it, from less than pi to more. With equal crank
    /// and ground, and equal coupler and rocker, the branches end at 0, where the crank joint lies on the rocker pivot
    /// and the rocker may point anywhere: the whole turn is then given as 0 to 2 pi.
    #[must_use]
    pub fn crank_travel(&self) -> Vec<Range> {
        let stretches = self.stretches();
        if stretches.is_empty() {
            vec![Range::FULL_TURN]
        } else {
            stretches
        }
    }

    /// The stretches within which the crank must stay; none if it turns around.
    pub(in crate::linkage) fn stretches(&self) -> Vec<Range> {
        let stretch = |from, to| Range {
            lower: from,
            upper: to,
        };
        if let Some(angle) = self.lengths.only_angle() {
            return vec![stretch(angle, angle)];
        }
        // The diagonal grows with |angle| from |d - a| to d + a and must stay between |b - c| and b + c.
        let least = match self.input_limit(false) {
            InLine::BothWays(least) => Some(least),
            _ => self.lengths.passes_rocker_pivot().then_some(0.0),
        };
        let most = match self.input_limit(true) {
            InLine::BothWays(most) => Some(most),
            _ => None,
        };
        match (least, most) {
            (None, None) => Vec::new(),
            (None, Some(most)) => vec![stretch(-most, most)],
            (Some(least), None) => vec![stretch(least, TAU - least)],
            (Some(least), Some(most)) => {
                vec![stretch(-most, 0.0 - least), stretch(least, most)]
            }
        }
    }

    /// The rocker angles that each stretch of [`FourBar::crank_travel`] gives on a branch, in the same order.
    ///
    /// Continuous, so that a stretch may reach beyond pi. Its ends are dead centers: either kind can end the travel of
    /// the rocker. It is the full turn where the rocker follows the crank around.
    #[must_use]
    pub fn rocker_travel(&self, branch: Branch) -> Vec<Range> {
        let stretches = self.stretches();
        let Lengths { ground, crank, .. } = self.lengths;
        if stretches.is_empty() && crank > ground {
            return vec![Range::FULL_TURN];
        }
        let dead_centers = self.dead_centers();
        let on_pivot = |stretch: &Range, end: f64| {
            self.lengths.passes_rocker_pivot() && (end == 0.0 || stretch.length() == TAU)
        };
        let travel = |stretch: Range| {
            // Extremes are where the rocker turns back, at change points, where it may do so on either branch, and at
            // the ends.
            let turning = dead_centers.iter().filter_map(|dead| {
                let angle = stretch.turned_into(dead.pose.crank_angle)?;
                // So are all links at a change point.
                let at_limit = dead.pose.transmission_angle == 0.0;
                (at_limit || dead.pose.branch == branch)
                    .then(|| self.rocker_near(angle, branch, at_limit))
            });
            let ends = [(stretch.lower, -FRAC_PI_2), (stretch.upper, FRAC_PI_2)];
            let ends = ends.map(|(end, diagonal)| {
                if on_pivot(&stretch, end) {
                    // The diagonal vanishes square to the ground line, coupler and rocker square to it.
                    diagonal + branch.side(FRAC_PI_2)
                } else {
                    self.rocker_near(end, branch, !stretches.is_empty())
                }
            });
            Range::over(turning.chain(ends))
        };
        self.crank_travel().into_iter().map(travel).collect()
    }

    /// The continuous rocker angle; at a limit in line with the coupler, which the height over the diagonal, there the
    /// root of a rounding, would not tell.
    fn rocker_near(&self, crank_angle: f64, branch: Branch, at_limit: bool) -> f64 {
        let [_, rocker] = self.beside_diagonal(crank_angle);
        let rocker = match at_limit {
            true if rocker > FRAC_PI_2 => PI,
            true => 0.0,
            false => rocker,
        };
        self.diagonal_angle(crank_angle) + branch.side(rocker)
    }

    /// Coupler and rocker angle (rad) without jumps while the crank turns, also beyond pi and over several turns; in
    /// line where the links miss each other.
    ///
    /// Coupler and rocker stay on one side of the diagonal, whose direction is continuous in the crank angle.
    pub(in crate::linkage) fn continuous_angles(
        &self,
        crank_angle: f64,
        branch: Branch,
    ) -> [f64; 2] {
        let diagonal = self.diagonal_angle(crank_angle);
        self.beside_diagonal(crank_angle)
            .map(|angle| diagonal + branch.side(angle))
    }

    fn beside_diagonal(&self, crank_angle: f64) -> [f64; 2] {
        let (sin, cos) = crank_angle.sin_cos();
        place(&self.lengths, [cos, sin]).beside_diagonal()
    }

    /// Direction of the diagonal: it swings where the crank is shorter than the ground and turns with the crank where
    /// it is longer. Where the crank joint passes over the rocker pivot it turns by half a turn in each turn of the
    /// crank, and begins anew.
    fn diagonal_angle(&self, crank_angle: f64) -> f64 {
        let Lengths {
            ground: d,
            crank: a,
            ..
        } = self.lengths;
        if self.lengths.passes_rocker_pivot() {
            return 0.5 * (crank_angle - TAU * (crank_angle / TAU).floor()) - FRAC_PI_2;
        }
        let (sin, cos) = crank_angle.sin_cos();
        if a < d - self.lengths.rounding() {
            (-a * sin).atan2(d - a * cos)
        } else {
            crank_angle - PI + (d * sin).atan2(a - d * cos)
        }
    }

    /// All positions in which two links are in line.
    ///
    /// Where all four are, both kinds come together. Not among them is the crank joint on the rocker pivot, where the
    /// pose is not determined, and what is in line in every pose: a rocker joint that rests on the crank pivot.
    #[must_use]
    pub fn dead_centers(&self) -> Vec<DeadCenter> {
        let mut found = Vec::new();
        let mut add = |kind, stretched, pose: Option<FourBarPose>| {
            found.extend(pose.map(|pose| DeadCenter {
                kind,
                stretched,
                pose,
            }));
        };
        for stretched in [true, false] {
            let kind = DeadCenterKind::InputLimit;
            match self.input_limit(stretched) {
                InLine::Nowhere => (),
                InLine::Once(angle) => add(kind, stretched, self.in_one_line(angle)),
                InLine::BothWays(angle) => {
                    for angle in [angle, -angle] {
                        add(kind, stretched, Some(self.at_input_limit(angle, stretched)));
                    }
                }
            }
        }
        for stretched in [true, false] {
            let kind = DeadCenterKind::OutputLimit;
            // The crank points at the rocker joint unless a longer coupler leads back over the pivot.
            let back = !stretched && self.coupler() > self.crank();
            let turned = |angle: f64| angle - PI.copysign(angle);
            match self.output_limit(stretched) {
                InLine::Nowhere => (),
                InLine::Once(to_joint) => {
                    let angle = if back { PI - to_joint } else { to_joint };
                    add(kind, stretched, self.in_one_line(angle));
                }
                InLine::BothWays(to_joint) => {
                    for to_joint in [to_joint, -to_joint] {
                        let angle = if back { turned(to_joint) } else { to_joint };
                        // The coupler points at the joint unless the crank reaches beyond. One that points up belongs
                        // to the open branch.
                        let points = stretched || back;
                        let up = if points { to_joint } else { turned(to_joint) };
                        add(kind, stretched, self.pose(angle, Branch::of(up)).ok());
                    }
                }
            }
        }
        found
    }

    /// At which crank angles coupler and rocker are in line.
    fn input_limit(&self, stretched: bool) -> InLine {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        let [s1, s2, s3] = self.lengths.sums();
        let (short_of, diagonal, change) = if stretched {
            (s1, b + c, PI)
        } else {
            (-signed_least(s2, s3), (b - c).abs(), 0.0)
        };
        if short_of > 0.0 {
            InLine::Nowhere
        } else if short_of < 0.0 {
            match self.lengths.only_angle() {
                Some(angle) => InLine::Once(angle),
                None => InLine::both_ways(angle_opposite(diagonal, a, d)),
            }
        } else {
            InLine::Once(change)
        }
    }

    /// At which directions of the rocker joint, seen from the crank pivot, crank and coupler are in line.
    fn output_limit(&self, stretched: bool) -> InLine {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        let [s1, s2, s3] = self.lengths.sums();
        let (short_of, reach) = if stretched {
            (s2, a + b)
        } else {
            (-signed_least(s1, s3), (a - b).abs())
        };
        // Folded with the rocker joint on the crank pivot.
        if short_of > 0.0 || reach <= self.lengths.rounding() {
            return InLine::Nowhere;
        }
        // In one line the joint lies ahead, unless a rocker that points back is longer than the ground.
        let ahead = self.lengths.only_angle().is_some() && !stretched || c <= d;
        let in_one_line = InLine::Once(if ahead { 0.0 } else { PI });
        if short_of < 0.0 && self.lengths.only_angle().is_none() {
            InLine::both_ways(angle_opposite(c, reach, d))
        } else if short_of == 0.0 && stretched {
            InLine::Once(0.0)
        } else {
            in_one_line
        }
    }

    fn at_input_limit(&self, crank_angle: f64, stretched: bool) -> FourBarPose {
        let (sin, cos) = crank_angle.sin_cos();
        let placed = place(&self.lengths, [cos, sin]);
        let [coupler, rocker] = placed.links_in_line(&self.lengths, stretched);
        let links = Links {
            arm: placed.arm.into(),
            coupler: coupler.into(),
            rocker: rocker.into(),
            cross: 0.0,
        };
        self.pose_of(&links, crank_angle, Branch::Open)
    }

    /// The pose with all links in one line, the crank at 0 or at pi; none where the crank joint lies on the rocker
    /// pivot.
    fn in_one_line(&self, crank_angle: f64) -> Option<FourBarPose> {
        let Lengths {
            ground: d,
            crank: a,
            coupler: b,
            rocker: c,
        } = self.lengths;
        if self.lengths.passes_rocker_pivot() && crank_angle == 0.0 {
            return None;
        }
        let arm = if crank_angle == 0.0 { a } else { -a };
        // The rocker points the way in which the coupler fits best.
        let coupler_for = |rocker: f64| d + rocker - arm;
        let misfit = |rocker: f64| (coupler_for(rocker).abs() - b).abs();
        let rocker = if misfit(c) < misfit(-c) { c } else { -c };
        let coupler = b.copysign(coupler_for(rocker));
        let along = |length: f64| Vector2::new(length, 0.0);
        let links = Links {
            arm: along(arm),
            coupler: along(coupler),
            rocker: along(rocker),
            cross: 0.0,
        };
        Some(self.pose_of(&links, crank_angle, Branch::Open))
    }

    /// The least transmission angle (rad) while the crank moves from one angle to another, on either branch.
    ///
    /// Below 40 degrees friction in the joints begins to lock the linkage ([`TRANSMISSION_LIMIT`]); 45 degrees is good
    /// ([`TRANSMISSION_GOOD`]).
    ///
    /// A travel may be a single angle, and may end where the crank joint lies on the rocker pivot, with coupler and
    /// rocker folded over one another.
    ///
    /// # Errors
    /// [`Error::NotAscending`] if `from` is above `to`; [`Error::CannotClose`] if the linkage cannot go there;
    /// [`Error::DeadCenter`] if the crank joint passes over the rocker pivot on the way.
    pub fn min_transmission_angle(&self, from: f64, to: f64) -> Result<f64> {
        check_angle("start of the travel", from)?;
        check_angle("end of the travel", to)?;
        if from > to {
            return Err(Error::NotAscending {
                quantity: "travel of the crank",
                lower: from,
                upper: to,
                unit: "rad",
            });
        }
        // The diagonal, and with it the angle, is monotonic between multiples of pi.
        let turning = (-4..=4).map(|half_turns| f64::from(half_turns) * PI);
        let inner = turning.filter(|angle| from < *angle && *angle < to);
        let mut least = FRAC_PI_2;
        for angle in [from, to].into_iter().chain(inner) {
            let at_end = from < to && (angle == from || angle == to);
            let here = match self.pose(angle, Branch::Open) {
                Err(Error::DeadCenter { .. }) if at_end => 0.0,
                pose => pose?.transmission_angle,
            };
            least = least.min(here);
        }
        Ok(least)
    }
}

/// At which angles two links are in line.
enum InLine {
    Nowhere,
    /// At 0 or pi, with all others.
    Once(f64),
    /// At an angle between 0 and pi and at its mirror image.
    BothWays(f64),
}

impl InLine {
    /// An angle of a triangle, if there is one.
    fn both_ways(angle: Option<f64>) -> Self {
        angle.map_or(Self::Nowhere, Self::BothWays)
    }
}
