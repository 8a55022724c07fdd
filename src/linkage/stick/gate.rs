//! The gate: where a stick may be.

use std::f64::consts::PI;

use nalgebra::{Point2, Unit, UnitQuaternion, Vector2, Vector3};
use serde::{Deserialize, Serialize};

#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, ascending, counted, within};
use crate::linkage::stick::gimbal::{Gimbal, checked, out_of_reach};
use crate::stored::stored_by_its_constructor;
use crate::units::DEG;

/// Smallest and largest tilt of a round gate, rad.
const TILT_RANGE: [f64; 2] = [0.1 * DEG, 80.0 * DEG];
/// Corners of a polygon.
const CORNERS: [usize; 2] = [3, 100];
/// Least distance between sides of a polygon that do not follow each other, rad.
const LEAST_GAP: f64 = 1e-9;
/// Steps toward the inside of a round gate, of which each takes off most of what is too much.
const STEPS_IN: usize = 50;
/// What rounding may take from a position that lies exactly on the edge, rad.
const EDGE: f64 = 1e-12;

/// The limits of a stick's two angles.
///
/// # Example
/// ```
/// use yokewright::linkage::{Gate, Gimbal, GimbalSpec, Pivot};
/// use yokewright::nalgebra::{Point3, Vector3};
/// use yokewright::units::{DEG, MM};
///
/// let gimbal = Gimbal::new(GimbalSpec {
///     outer: Pivot::new(Point3::origin(), Vector3::y())?,
///     inner: Pivot::new(Point3::origin(), Vector3::x())?,
///     stick: vec![Point3::origin(), Point3::new(0.0, 0.0, 400.0 * MM)],
///     stick_radius: 10.0 * MM,
///     grip_radius: 50.0 * MM,
/// })?;
/// // In its corner a square hole lets the stick tilt farther than a round one.
/// let (round, angles) = (Gate::round(20.0 * DEG)?, [-20.0 * DEG, 20.0 * DEG]);
/// let square = Gate::square(angles, angles)?;
/// assert!(gimbal.allows(&square, 18.0 * DEG, 18.0 * DEG)?);
/// assert!(!gimbal.allows(&round, 18.0 * DEG, 18.0 * DEG)?);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    shape: GateShape,
}

stored_by_its_constructor!(Gate {
    shape: GateShape
} => match shape {
    GateShape::Round { tilt } => Self::round(tilt),
    GateShape::Square { outer, inner } => Self::square(outer, inner),
    GateShape::Polygon { corners } => Self::polygon(corners),
});

/// Shape of a gate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum GateShape {
    /// A round hole about the stick: the total tilt goes up to `tilt` (rad) in every direction.
    Round {
        /// Greatest tilt, rad.
        tilt: f64,
    },
    /// Each axis by itself between two stops (rad).
    Square {
        /// Least and greatest outer angle.
        outer: [f64; 2],
        /// Least and greatest inner angle.
        inner: [f64; 2],
    },
    /// Inside a polygon in the plane of outer and inner angle (rad).
    Polygon {
        /// Corners (outer, inner) in order around.
        corners: Vec<[f64; 2]>,
    },
}

impl Gate {
    /// A round gate: every position in which the stick (its first straight piece) has tilted by no more than `tilt`
    /// (rad) from neutral, and that can be reached from there without leaving the gate.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the tilt is not within 0.1 to 80 degrees.
    pub fn round(tilt: f64) -> Result<Self> {
        let [min, max] = TILT_RANGE;
        let tilt = within("tilt of the gate", tilt, min, max, "rad")?;
        Ok(Self {
            shape: GateShape::Round { tilt },
        })
    }

    /// A square gate: outer and inner angle each between a least and a greatest value (rad).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond half a turn, [`Error::NotAscending`] for
    /// limits that do not go upward.
    pub fn square(outer: [f64; 2], inner: [f64; 2]) -> Result<Self> {
        checked(outer[0], inner[0])?;
        checked(outer[1], inner[1])?;
        ascending("outer angle of the gate", outer, "rad")?;
        ascending("inner angle of the gate", inner, "rad")?;
        Ok(Self {
            shape: GateShape::Square { outer, inner },
        })
    }

    /// A gate of any outline: a polygon of 3 to 100 corners (outer, inner), in rad and in order around, whose sides do
    /// not cross.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for an angle beyond half a turn or sides that cross or touch
    /// (whose distance is told), [`Error::Count`] for the number of corners.
    pub fn polygon(corners: Vec<[f64; 2]>) -> Result<Self> {
        let count = counted("corners of the gate", corners.len(), CORNERS)?;
        for &[outer, inner] in &corners {
            checked(outer, inner)?;
        }
        let sides: Vec<_> = sides(&corners).collect();
        for (i, one) in sides.iter().enumerate() {
            for (j, other) in sides.iter().enumerate().skip(i + 1) {
                let gap = if j == i + 1 || (i == 0 && j + 1 == count) {
                    // Neighbors share a corner and must not fold back: their free ends stay clear.
                    let (far, side, near, back) = if j == i + 1 {
                        (other[1], one, one[0], other)
                    } else {
                        (other[0], one, one[1], other)
                    };
                    from_side(far, side).min(from_side(near, back))
                } else {
                    apart(one, other)
                };
                within(
                    "distance between sides of the gate",
                    gap,
                    LEAST_GAP,
                    4.0 * PI,
                    "rad",
                )?;
            }
        }
        Ok(Self {
            shape: GateShape::Polygon { corners },
        })
    }

    /// Its shape.
    #[must_use]
    pub fn shape(&self) -> &GateShape {
        &self.shape
    }
}

impl Gimbal {
    /// Whether the gate allows a position (rad); its edge is allowed.
    ///
    /// # Errors
    /// As [`Gimbal::grip_at`], and if the gate is round and the gimbal cannot tilt that far in every direction.
    pub fn allows(&self, gate: &Gate, outer: f64, inner: f64) -> Result<bool> {
        let angles = checked(outer, inner)?;
        Ok(self.region(gate)?.contains(angles))
    }

    /// Which of many positions (rad) the gate allows: `false` too where an angle is not finite or lies beyond half a
    /// turn.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] if there are not as many inner as outer angles, and if the gate is round and the
    /// gimbal cannot tilt that far in every direction.
    pub fn allowed(&self, gate: &Gate, outer: &[f64], inner: &[f64]) -> Result<Vec<bool>> {
        let region = self.region(gate)?;
        let rows = self.each(outer, inner, |[outer, inner]| {
            Ok(region.contains(checked(outer, inner)?))
        })?;
        Ok(rows.into_iter().map(|row| row.unwrap_or(false)).collect())
    }

    pub(in crate::linkage::stick) fn region<'a>(&'a self, gate: &'a Gate) -> Result<Region<'a>> {
        let bounds = match &gate.shape {
            GateShape::Round { tilt } => [[-PI, PI], self.round_inner_range(*tilt)?],
            GateShape::Square { outer, inner } => [*outer, *inner],
            GateShape::Polygon { corners } => [0, 1].map(|axis| {
                let angles = corners.iter().map(|corner| corner[axis]);
                angles.fold([PI, -PI], |[low, high], x| [low.min(x), high.max(x)])
            }),
        };
        let sides = match &gate.shape {
            GateShape::Polygon { corners } => half_planes(corners),
            _ => Vec::new(),
        };
        Ok(Region {
            gimbal: self,
            shape: &gate.shape,
            bounds,
            sides,
        })
    }

    /// Inner angles at which a cone about the neutral stick has its least and greatest angle from the outer axis.
    fn round_inner_range(&self, tilt: f64) -> Result<[f64; 2]> {
        let (outer, stick) = (self.spec.outer.direction(), self.stick_direction());
        // Refuses a stick along the inner axis.
        self.angles_for_direction(stick)?;
        let swing = self.swing(Vector3::zeros(), stick);
        let [nearest, farthest] = {
            let [low, high] = swing.reach();
            [high, low].map(|cosine| cosine.clamp(-1.0, 1.0).acos())
        };
        let neutral = outer.angle(&stick);
        // Reaching the end of what the inner axis can do would fold the gate over.
        let most = (neutral - nearest).min(farthest - neutral) * (1.0 - 1e-9);
        if tilt > most {
            return Err(out_of_reach("tilt of the gate", tilt, [0.0, most], "rad"));
        }
        let end = |angle: f64| swing.inner_for(angle.cos()).unwrap_or(0.0);
        let (one, two) = (end(neutral - tilt), end(neutral + tilt));
        Ok([one.min(two), one.max(two)])
    }
}

/// The positions of a gimbal that a gate allows.
pub(in crate::linkage::stick) struct Region<'a> {
    pub(in crate::linkage::stick) gimbal: &'a Gimbal,
    shape: &'a GateShape,
    /// Least and greatest outer angle, and inner angle, that any of them has. For a round gate the outer ones are
    /// wider: half a turn.
    pub(in crate::linkage::stick) bounds: [[f64; 2]; 2],
    /// Of a convex polygon, each side: a function of the angles that is zero along it and negative inside. Its slopes,
    /// and what is added.
    sides: Vec<([f64; 2], f64)>,
}

/// A function of the two angles that is nowhere positive in the gate, about a position.
pub(in crate::linkage::stick) struct Limit {
    pub(in crate::linkage::stick) value: f64,
    pub(in crate::linkage::stick) slopes: [f64; 2],
    /// Bound of its second derivatives.
    pub(in crate::linkage::stick) bend: f64,
}

impl Region<'_> {
    /// The limits that cut a cell of positions within `half` of `center`; of a polygon with a corner turned in, none.
    pub(in crate::linkage::stick) fn limits(&self, center: [f64; 2], half: [f64; 2]) -> Vec<Limit> {
        let all = match self.shape {
            GateShape::Round { tilt } => {
                // The cosine of the tilt is smooth, also at neutral, and no second derivative of a turned unit vector
                // is longer than one.
                let stick = self.gimbal.stick_direction();
                let turned = self.gimbal.turned(center);
                let moved = turned.both.rotation * stick;
                let axes = [
                    self.gimbal.spec.outer.direction(),
                    turned.outer.rotation * self.gimbal.spec.inner.direction(),
                ];
                vec![Limit {
                    value: (tilt + EDGE).cos() - stick.dot(&moved),
                    slopes: axes.map(|axis| -stick.dot(&axis.cross(&moved))),
                    bend: 1.0,
                }]
            }
            GateShape::Square { .. } => Vec::new(),
            GateShape::Polygon { .. } => {
                let limit = |&([outer, inner], add): &([f64; 2], f64)| Limit {
                    value: outer * center[0] + inner * center[1] + add - EDGE,
                    slopes: [outer, inner],
                    bend: 0.0,
                };
                self.sides.iter().map(limit).collect()
            }
        };
        let cuts = |limit: &Limit| {
            let rise = limit.slopes[0].abs() * half[0] + limit.slopes[1].abs() * half[1];
            limit.value + rise + 0.5 * limit.bend * (half[0] + half[1]).powi(2) > 0.0
        };
        all.into_iter().filter(cuts).collect()
    }

    pub(in crate::linkage::stick) fn contains(&self, angles: [f64; 2]) -> bool {
        let within_bounds = angles
            .iter()
            .zip(&self.bounds)
            .all(|(x, [low, high])| (low - EDGE..=high + EDGE).contains(x));
        within_bounds
            && match self.shape {
                GateShape::Round { tilt } => self.gimbal.tilt_of(angles) <= tilt + EDGE,
                GateShape::Square { .. } => true,
                GateShape::Polygon { corners } => {
                    encloses(corners, angles)
                        || sides(corners).any(|side| from_side(angles, &side) <= EDGE)
                }
            }
    }

    /// Whether no position within `half` of `center` (each angle by itself) is allowed; may be false for a cell that
    /// only comes close.
    pub(in crate::linkage::stick) fn misses(&self, center: [f64; 2], half: [f64; 2]) -> bool {
        match self.shape {
            // No direction turns by more than the angles do.
            GateShape::Round { tilt } => {
                self.gimbal.tilt_of(center) - half[0] - half[1] > tilt + EDGE
            }
            GateShape::Square { .. } => false,
            GateShape::Polygon { corners } => {
                let reach = half[0].hypot(half[1]) + EDGE;
                !encloses(corners, center)
                    && sides(corners).all(|side| from_side(center, &side) > reach)
            }
        }
    }

    /// An allowed position near the one given: itself, if it is allowed.
    pub(in crate::linkage::stick) fn bring_in(&self, angles: [f64; 2]) -> [f64; 2] {
        if self.contains(angles) {
            return angles;
        }
        match self.shape {
            GateShape::Round { tilt } => {
                // Straight toward neutral, along which the tilt is nearly proportional: a few steps.
                let mut share = 1.0;
                for _ in 0..STEPS_IN {
                    let inside = angles.map(|angle| share * angle);
                    let reached = self.gimbal.tilt_of(inside);
                    if reached <= tilt + EDGE {
                        return inside;
                    }
                    share *= tilt / reached;
                }
                [0.0; 2]
            }
            GateShape::Square { .. } => {
                let [outer, inner] = self.bounds;
                [
                    angles[0].clamp(outer[0], outer[1]),
                    angles[1].clamp(inner[0], inner[1]),
                ]
            }
            GateShape::Polygon { corners } => {
                let point = Point2::from(angles);
                let nearest = sides(corners)
                    .map(|side| on_side(angles, &side))
                    .min_by(|a, b| (a - point).norm().total_cmp(&(b - point).norm()));
                nearest.unwrap_or(point).into()
            }
        }
    }

    /// Positions around the edge, at most `step` (rad) apart: in angle along straight limits, in direction around a
    /// round one.
    pub(in crate::linkage::stick) fn edge(&self, step: f64) -> Vec<[f64; 2]> {
        let corners = match self.shape {
            GateShape::Round { tilt } => return self.round_edge(*tilt, step),
            GateShape::Square {
                outer: [o1, o2],
                inner: [i1, i2],
            } => &vec![[*o1, *i1], [*o2, *i1], [*o2, *i2], [*o1, *i2]],
            GateShape::Polygon { corners } => corners,
        };
        let pieces = sides(corners).flat_map(|[from, to]| {
            let (from, to) = (Point2::from(from), Point2::from(to));
            let count = (nalgebra::distance(&from, &to) / step).ceil().max(1.0);
            (0..count as usize).map(move |i| (from + (to - from) * (i as f64 / count)).into())
        });
        pieces.collect()
    }

    fn round_edge(&self, tilt: f64, step: f64) -> Vec<[f64; 2]> {
        let stick = self.gimbal.stick_direction();
        let axis = Unit::new_unchecked(stick);
        let outer = self.gimbal.spec.outer.direction();
        // The first position is one to which the outer axis alone turns a stick that is square to it.
        let aside = Unit::new_normalize(outer - stick * stick.dot(&outer));
        let first = UnitQuaternion::from_axis_angle(&aside, tilt) * stick;
        let count = (2.0 * PI * tilt.sin() / step).ceil().max(4.0);
        let around = |i: usize| {
            let turn = UnitQuaternion::from_axis_angle(&axis, 2.0 * PI * i as f64 / count);
            self.gimbal.angles_for_direction(turn * first).ok()
        };
        // `region` has made sure that every direction of the cone can be reached.
        (0..count as usize).filter_map(around).collect()
    }
}

type Side = [[f64; 2]; 2];

fn sides(corners: &[[f64; 2]]) -> impl Iterator<Item = Side> + '_ {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(from, to)| [*from, *to])
}

/// The sides of a convex polygon as functions that are negative inside; none if a corner is turned in.
fn half_planes(corners: &[[f64; 2]]) -> Vec<([f64; 2], f64)> {
    let around = sides(corners)
        .map(|[a, b]| a[0] * b[1] - a[1] * b[0])
        .sum::<f64>();
    let planes: Vec<_> = sides(corners)
        .map(|[from, to]| {
            let along = [to[0] - from[0], to[1] - from[1]];
            let length = along[0].hypot(along[1]).copysign(around);
            let normal = [along[1] / length, -along[0] / length];
            (normal, -(normal[0] * from[0] + normal[1] * from[1]))
        })
        .collect();
    let outside = |([outer, inner], add): &([f64; 2], f64)| {
        let mut values = corners.iter().map(|[x, y]| outer * x + inner * y + add);
        values.any(|value| value > EDGE)
    };
    if planes.iter().any(outside) {
        Vec::new()
    } else {
        planes
    }
}

fn on_side(angles: [f64; 2], [from, to]: &Side) -> Point2<f64> {
    let (point, from, to) = (Point2::from(angles), Point2::from(*from), Point2::from(*to));
    let along: Vector2<f64> = to - from;
    let squared = along.norm_squared();
    if squared == 0.0 {
        return from;
    }
    from + along * (along.dot(&(point - from)) / squared).clamp(0.0, 1.0)
}

fn from_side(angles: [f64; 2], side: &Side) -> f64 {
    nalgebra::distance(&Point2::from(angles), &on_side(angles, side))
}

/// Distance of two sides, zero if they cross.
fn apart(one: &Side, other: &Side) -> f64 {
    let left_of = |[from, to]: &Side, point: [f64; 2]| {
        let (along, r) = (
            [to[0] - from[0], to[1] - from[1]],
            [point[0] - from[0], point[1] - from[1]],
        );
        along[0] * r[1] > along[1] * r[0]
    };
    let parts = |a: &Side, b: &Side| left_of(a, b[0]) != left_of(a, b[1]);
    if parts(one, other) && parts(other, one) {
        return 0.0;
    }
    let ends = other.iter().map(|&end| from_side(end, one));
    ends.chain(one.iter().map(|&end| from_side(end, other)))
        .fold(f64::INFINITY, f64::min)
}

/// Whether a polygon holds a point, by the number of sides that a line from it to the right crosses.
fn encloses(corners: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let crossed = sides(corners).filter(|[from, to]| {
        (from[1] > y) != (to[1] > y)
            && x < from[0] + (to[0] - from[0]) * (y - from[1]) / (to[1] - from[1])
    });
    crossed.count() % 2 == 1
}
