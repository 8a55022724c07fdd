//! How near the stick and the grip come to what stands around them.

use nalgebra::Point3;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, within};
use crate::linkage::Obstacle;
use crate::linkage::masked::Masked;
use crate::linkage::stick::branch_and_bound::{Look, least};
use crate::linkage::stick::gate::Gate;
use crate::linkage::stick::gimbal::{Gimbal, checked};
use crate::linkage::stick::obstacle::Nearest;
use crate::units::{MM, UM};

/// To what a clearance may be asked for, m.
const TOLERANCE_RANGE: [f64; 2] = [1.0 * UM, 10.0 * MM];
/// How many obstacles may stand around a stick.
const OBSTACLES: [usize; 2] = [1, 1000];

/// A part of the stick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum StickPart {
    /// The straight piece of this number, counted from 0 at the gimbal.
    Piece(usize),
    /// The ball about the grip point.
    Grip,
}

/// The least distance between the stick and its obstacles, and where it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Clearance {
    /// Distance between the surfaces, m. Zero or less: they collide. A negative value tells how deep only until the
    /// center line of the stick is in the obstacle; from there on it stays.
    pub distance: f64,
    /// Outer and inner angle at which it is that small, rad.
    pub angles: [f64; 2],
    /// Which obstacle, counted from 0.
    pub obstacle: usize,
    /// Which part of the stick.
    pub part: StickPart,
    /// The point of the stick's center line that is nearest, m.
    pub stick_point: Point3<f64>,
    /// The point of the obstacle that is nearest, m; for a capsule on its center line.
    pub obstacle_point: Point3<f64>,
}

impl Clearance {
    /// Whether stick and obstacle touch or overlap.
    #[must_use]
    pub fn collides(&self) -> bool {
        self.distance <= 0.0
    }
}

impl Gimbal {
    /// The least distance between the stick (with its grip) and any of the obstacles at one position (rad).
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`], and [`Error::Count`] if there is no obstacle.
    pub fn clearance_at(
        &self,
        outer: f64,
        inner: f64,
        obstacles: &[Obstacle],
    ) -> Result<Clearance> {
        counted("obstacles", obstacles.len(), OBSTACLES)?;
        self.nearest_at(checked(outer, inner)?, obstacles)
    }

    /// Least distances (m) at many outer and inner angles (rad); NaN and marked where [`Gimbal::clearance_at`] would
    /// refuse the angles.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles, [`Error::Count`] if there is no
    /// obstacle.
    pub fn clearances_at(
        &self,
        outer: &[f64],
        inner: &[f64],
        obstacles: &[Obstacle],
    ) -> Result<Masked<f64>> {
        counted("obstacles", obstacles.len(), OBSTACLES)?;
        let rows = self.each(outer, inner, |[outer, inner]| {
            Ok(self
                .look_around(checked(outer, inner)?, [0.0; 2], obstacles)
                .value)
        })?;
        Ok(Masked::of(rows, f64::NAN))
    }

    /// The least distance between the stick (with its grip) and any of the obstacles over a whole gate.
    ///
    /// Nowhere in the gate is the true distance smaller by more than `tolerance` (m): a branch-and-bound search,
    /// resting on the fact that a point of the stick moves by no more than its distance from an axis for each radian
    /// about it. At each position the distance is exact to rounding.
    ///
    /// # Caution
    /// A hand between stick and panel needs room beyond the grip's own; some 25 mm for fingers is common practice.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the tolerance is not within 1 micrometre to 10 mm or if the
    /// gate is round and the gimbal cannot tilt that far in every direction, [`Error::Count`] if there is no obstacle,
    /// [`Error::NotConverged`] if the search takes too long.
    pub fn clearance(
        &self,
        gate: &Gate,
        obstacles: &[Obstacle],
        tolerance: f64,
    ) -> Result<Clearance> {
        counted("obstacles", obstacles.len(), OBSTACLES)?;
        let [min, max] = TOLERANCE_RANGE;
        within("tolerance of the clearance", tolerance, min, max, "m")?;
        let found = least(
            "clearance of the stick",
            &self.region(gate)?,
            tolerance,
            |center, half| self.look_around(center, half, obstacles),
        )?;
        self.nearest_at(found.angles, obstacles)
    }

    /// The distance at the center of a cell and how small it may be within it: for each part and obstacle, what the
    /// part can move is taken off.
    fn look_around(&self, center: [f64; 2], half: [f64; 2], obstacles: &[Obstacle]) -> Look {
        let mut seen = Look {
            value: f64::INFINITY,
            floor: f64::INFINITY,
            lowest: None,
        };
        for (_, [from, to], radius, neutral) in self.parts(center) {
            // First about the outer axis, where it stands at the center's inner angle, then about the inner one.
            // Distances from a line are greatest at the ends of a straight piece.
            let ends = [(from, neutral[0]), (to, neutral[1])];
            let moves = ends.map(|(there, neutral)| {
                self.spec.outer.radius(&there) * half[0]
                    + self.spec.inner.radius(&neutral) * half[1]
            });
            for obstacle in obstacles {
                let nearest = obstacle.nearest(&from, &to);
                // Once the center lines meet it falls no further.
                let deepest = -radius - obstacle.padding();
                let lowest = lowest_of_piece([from, to], moves, &nearest, obstacle);
                seen.value = seen.value.min(nearest.distance - radius);
                seen.floor = seen.floor.min((lowest - radius).max(deepest));
            }
        }
        seen
    }

    fn nearest_at(&self, angles: [f64; 2], obstacles: &[Obstacle]) -> Result<Clearance> {
        let all = self
            .parts(angles)
            .flat_map(|(part, [from, to], radius, _)| {
                obstacles.iter().enumerate().map(move |(number, obstacle)| {
                    let nearest = obstacle.nearest(&from, &to);
                    Clearance {
                        distance: nearest.distance - radius,
                        angles,
                        obstacle: number,
                        part,
                        stick_point: nearest.on_line,
                        obstacle_point: nearest.on_line - nearest.gap,
                    }
                })
            });
        let least = all.min_by(|a, b| a.distance.total_cmp(&b.distance));
        least.ok_or(Error::Count {
            quantity: "obstacles",
            count: obstacles.len(),
            min: OBSTACLES[0],
            max: OBSTACLES[1],
        })
    }

    /// Straight pieces and grip at a position: which, their ends there, their radius, and their ends at neutral.
    fn parts(
        &self,
        angles: [f64; 2],
    ) -> impl Iterator<Item = (StickPart, [Point3<f64>; 2], f64, [Point3<f64>; 2])> + '_ {
        let motion = self.turned(angles).both;
        let moved = move |ends: [Point3<f64>; 2]| ends.map(|end| motion * end);
        let piece = move |(number, ends): (usize, &[Point3<f64>])| {
            let ends = [ends[0], ends[1]];
            (
                StickPart::Piece(number),
                moved(ends),
                self.spec.stick_radius,
                ends,
            )
        };
        let ball = [self.grip(); 2];
        let grip = (StickPart::Grip, moved(ball), self.spec.grip_radius, ball);
        self.spec
            .stick
            .windows(2)
            .enumerate()
            .map(piece)
            .chain([grip])
    }
}

/// How far along a straight piece, from its nearest point to the end that moves more, a second look is taken.
const BESIDE: f64 = 1.0 / 16.0;

/// What the distance of a piece from an obstacle does not fall below, m, when its ends move by so much.
///
/// The points between move by no more than in proportion. Beside the pivot a piece hardly moves, and where that is its
/// nearest point the far end is nothing to go by: the distance from what is convex is convex along a straight line, so
/// that beyond a second point it grows at least as from the nearest one to that.
fn lowest_of_piece(
    [from, to]: [Point3<f64>; 2],
    moves: [f64; 2],
    nearest: &Nearest,
    obstacle: &Obstacle,
) -> f64 {
    let plain = nearest.distance - moves[0].max(moves[1]);
    let ([still, far], [least, most]) = if moves[0] <= moves[1] {
        ([from, to], moves)
    } else {
        ([to, from], [moves[1], moves[0]])
    };
    let length = (far - still).norm();
    if !(most > 2.0 * least && length > 0.0) {
        return plain;
    }
    // As parts of the piece, from the end that moves less.
    let at = ((nearest.on_line - still).norm() / length).min(1.0);
    let second = at + BESIDE * (1.0 - at);
    if second <= at || at > 1.0 - 2.0 * BESIDE {
        return plain;
    }
    let point = still + (far - still) * second;
    let there = obstacle.nearest(&point, &point).distance;
    let at_far = there + (there - nearest.distance) / (second - at) * (1.0 - second);
    let up_to_second = nearest.distance - (least + (most - least) * second);
    plain.max(up_to_second.min(at_far - most))
}
