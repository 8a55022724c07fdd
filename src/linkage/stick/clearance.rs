//! How near the stick and the grip come to what stands around them.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, within};
use crate::linkage::Obstacle;
use crate::linkage::masked::Masked;
use crate::linkage::stick::branch_and_bound::{Look, Sought, least};
use crate::linkage::stick::cell::{Around, Slide};
use crate::linkage::stick::gate::{Gate, Region};
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
            Ok(self.nearest_at(checked(outer, inner)?, obstacles)?.distance)
        })?;
        Ok(Masked::of(rows, f64::NAN))
    }

    /// The least distance between the stick (with its grip) and any of the obstacles over a whole gate.
    ///
    /// Nowhere in the gate is the true distance smaller by more than `tolerance` (m): a branch-and-bound search,
    /// resting on planes that part the stick from what is convex, and on the fact that a point of the stick moves by no
    /// more than its distance from an axis for each radian about it. At each position the distance is exact to
    /// rounding.
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
        let region = self.region(gate)?;
        let surroundings = Surroundings {
            gimbal: self,
            region: &region,
            parts: self.parts().collect(),
            obstacles,
        };
        let found = least("clearance of the stick", &region, tolerance, &surroundings)?;
        self.nearest_at(found.angles, obstacles)
    }

    fn nearest_at(&self, angles: [f64; 2], obstacles: &[Obstacle]) -> Result<Clearance> {
        let motion = self.turned(angles).both;
        let all = self.parts().flat_map(|part| {
            let [from, to] = part.neutral.map(|end| motion * end);
            obstacles.iter().enumerate().map(move |(number, obstacle)| {
                let nearest = obstacle.nearest(&from, &to);
                Clearance {
                    distance: nearest.distance - part.radius,
                    angles,
                    obstacle: number,
                    part: part.name,
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

    /// The straight pieces and the grip.
    fn parts(&self) -> impl Iterator<Item = Part> + '_ {
        let piece = |(number, ends): (usize, &[Point3<f64>])| Part {
            name: StickPart::Piece(number),
            neutral: [ends[0], ends[1]],
            radius: self.spec.stick_radius,
        };
        let grip = Part {
            name: StickPart::Grip,
            neutral: [self.grip(); 2],
            radius: self.spec.grip_radius,
        };
        self.spec
            .stick
            .windows(2)
            .enumerate()
            .map(piece)
            .chain([grip])
    }
}

/// Everything within a radius of a straight line that moves with the stick; a ball where the line is a point.
struct Part {
    name: StickPart,
    /// The ends of the line at neutral.
    neutral: [Point3<f64>; 2],
    radius: f64,
}

/// What stands around a stick.
struct Surroundings<'a> {
    gimbal: &'a Gimbal,
    region: &'a Region<'a>,
    parts: Vec<Part>,
    obstacles: &'a [Obstacle],
}

/// A part of the stick and an obstacle, and what their distance does not fall below in a cell.
#[derive(Clone, Copy)]
struct Pair {
    part: usize,
    obstacle: usize,
    floor: f64,
}

impl Sought for Surroundings<'_> {
    type Parts = Vec<Pair>;

    fn whole(&self) -> Vec<Pair> {
        let pairs = |part| {
            let obstacles = 0..self.obstacles.len();
            obstacles.map(move |obstacle| Pair {
                part,
                obstacle,
                floor: f64::NEG_INFINITY,
            })
        };
        (0..self.parts.len()).flat_map(pairs).collect()
    }

    fn value(&self, angles: [f64; 2], pairs: &Vec<Pair>) -> f64 {
        let motion = self.gimbal.turned(angles).both;
        let distances = pairs.iter().map(|pair| {
            let part = &self.parts[pair.part];
            let [from, to] = part.neutral.map(|end| motion * end);
            self.obstacles[pair.obstacle].nearest(&from, &to).distance - part.radius
        });
        distances.fold(f64::INFINITY, f64::min)
    }

    fn look(
        &self,
        center: [f64; 2],
        half: [f64; 2],
        pairs: &Vec<Pair>,
        limit: f64,
    ) -> (Look, Vec<Pair>) {
        let around = Around::new(self.gimbal, self.region, center, half);
        let mut seen = Look {
            value: f64::INFINITY,
            floor: f64::INFINITY,
            lowest: None,
        };
        let mut left = Vec::new();
        for pair in pairs.iter().filter(|pair| pair.floor < limit) {
            let (part, obstacle) = (&self.parts[pair.part], &self.obstacles[pair.obstacle]);
            let [from, to] = part.neutral.map(|end| around.moved(&end));
            let nearest = obstacle.nearest(&from, &to);
            seen.value = seen.value.min(nearest.distance - part.radius);
            let (floor, slopes) = part.floor(&around, obstacle, &nearest, limit);
            let floor = floor.max(pair.floor);
            if floor >= limit {
                continue;
            }
            if floor < seen.floor {
                seen.floor = floor;
                seen.lowest = Some([0, 1].map(|i| center[i] - half[i].copysign(slopes[i])));
            }
            left.push(Pair { floor, ..*pair });
        }
        (seen, left)
    }
}

/// Where a straight piece is cut beside its nearest point, as parts of it: either way.
const CUTS: [f64; 4] = [-0.25, -1.0 / 16.0, 1.0 / 16.0, 0.25];
/// A gap between the center lines so small, m, has no direction.
const TOUCHING: f64 = 1e-9;

impl Part {
    /// What its distance from an obstacle does not fall below in a cell, m, as far as it matters below a limit; and how
    /// the nearest point's distance changes by either angle, m/rad.
    ///
    /// No point moves by more than its way. For small cells this is better: a plane square to the gap keeps what is
    /// convex on its side, so that no point of the other side is nearer than it is to the plane, and of a straight
    /// piece one of the ends is nearest to that. Beside the nearest point of a piece its ends are nothing to go by; it
    /// is then cut there, and every cut has its own plane.
    fn floor(
        &self,
        around: &Around<'_>,
        obstacle: &Obstacle,
        nearest: &Nearest,
        limit: f64,
    ) -> (f64, [f64; 2]) {
        // Once the center lines meet it falls no further.
        let deepest = -self.radius - obstacle.padding();
        let [from, to] = self.neutral;
        let way = around.way(&from).max(around.way(&to));
        let plain = (nearest.distance - way - self.radius).max(deepest);
        if nearest.distance + obstacle.padding() < TOUCHING {
            return (plain, [0.0; 2]);
        }
        let slide = self.plane(around, obstacle, nearest, [from, to]);
        let whole = plain.max(slide.floor);
        let along = to - from;
        if whole >= limit || along == Vector3::zeros() {
            return (whole, slide.slopes);
        }
        let moved = self.neutral.map(|end| around.moved(&end));
        let along_moved = moved[1] - moved[0];
        let at = along_moved.dot(&(nearest.on_line - moved[0])) / along_moved.norm_squared();
        let cuts = CUTS.map(|cut| at + cut);
        let inside = cuts.into_iter().filter(|cut| (0.0..1.0).contains(cut));
        let (mut start, mut cut_floor) = (0.0, f64::INFINITY);
        for end in inside.chain([1.0]) {
            let ends = [start, end];
            let near = at.clamp(start, end);
            start = end;
            let point = moved[0] + along_moved * near;
            let there = obstacle.nearest(&point, &point);
            if there.distance + obstacle.padding() < TOUCHING {
                return (whole, slide.slopes);
            }
            let ends = ends.map(|share| from + along * share);
            let floor = self.plane(around, obstacle, &there, ends).floor;
            cut_floor = cut_floor.min(floor);
            if cut_floor <= whole {
                break;
            }
        }
        (whole.max(cut_floor), slide.slopes)
    }

    /// The distance of a straight line, given by its ends at neutral, from the plane through an obstacle square to a
    /// gap.
    fn plane(
        &self,
        around: &Around<'_>,
        obstacle: &Obstacle,
        nearest: &Nearest,
        ends: [Point3<f64>; 2],
    ) -> Slide {
        let across = nearest.gap.normalize();
        let plane = across.dot(&(nearest.on_line - nearest.gap).coords);
        let off = plane + obstacle.padding() + self.radius;
        let [one, other] = ends.map(|end| around.slide(&across, &end));
        let lower = if one.floor <= other.floor { one } else { other };
        Slide {
            value: lower.value - off,
            floor: lower.floor - off,
            ..lower
        }
    }
}
