//! A lever: a grip or pad on a pivot or a slide.

mod stop;

pub use stop::{Stop, StopLoad, StoppedTravel};

use std::f64::consts::PI;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Result, ascending, within};
use crate::linkage::masked::Masked;
use crate::linkage::pivot::{Pivot, placed};
use crate::numeric::direction::unit;
use crate::stored::stored_by_its_constructor;
use crate::units::MM;

/// Distances of a grip from its pivot, m.
const RADIUS_RANGE: [f64; 2] = [1.0 * MM, 10.0];
/// The longest slide to one side, m.
const LONGEST_SLIDE: f64 = 2.0;
/// The strongest push that is plausible, N; a foot in an emergency presses with a little over 1 kN.
const MAX_PUSH: f64 = 1e5;

/// What a lever moves on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum LeverGuide {
    /// It turns; positions are angles, rad.
    Pivot(Pivot),
    /// It slides along a direction (of length 1); positions are distances, m.
    Slide(Vector3<f64>),
}

/// A lever, pedal or slide with its grip or pad, and the travel it is meant to have. Position zero is neutral.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Lever, Pivot};
/// use yokewright::units::{DEG, MM};
///
/// // An airbrake lever, 250 mm from its pivot, that swings 20 degrees to either side.
/// let pivot = Pivot::new(Point3::origin(), Vector3::y())?;
/// let lever = Lever::pivoted(pivot, Point3::new(0.0, 0.0, 250.0 * MM), [-20.0 * DEG, 20.0 * DEG])?;
/// assert!((lever.path_length() - 174.5 * MM).abs() < 0.1 * MM);
/// assert!((lever.chord() - 171.0 * MM).abs() < 0.1 * MM);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    guide: LeverGuide,
    grip: Point3<f64>,
    travel: [f64; 2],
}

stored_by_its_constructor!(Lever {
    guide: LeverGuide,
    grip: Point3<f64>,
    travel: [f64; 2]
} => match guide {
    LeverGuide::Pivot(pivot) => Self::pivoted(pivot, grip, travel),
    LeverGuide::Slide(direction) => Self::sliding(direction, grip, travel),
});

impl Lever {
    /// A lever on a pivot with the grip at a point (m) at neutral, and its least and greatest angle (rad), which hold
    /// zero.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the grip is
    /// not 1 mm to 10 m from the axis, or the travel does not go from within minus half a turn to 0 on to half a turn;
    /// [`Error::NotAscending`](crate::Error::NotAscending) for a travel of nothing.
    pub fn pivoted(pivot: Pivot, grip: Point3<f64>, travel: [f64; 2]) -> Result<Self> {
        let grip = placed("grip of the lever", grip)?;
        let [min, max] = RADIUS_RANGE;
        within(
            "distance of the grip from the pivot",
            pivot.radius(&grip),
            min,
            max,
            "m",
        )?;
        Ok(Self {
            guide: LeverGuide::Pivot(pivot),
            grip,
            travel: travel_within(travel, PI, "rad")?,
        })
    }

    /// A slide along a direction (of any length) with the grip at a point (m) at neutral, and its least and greatest
    /// position (m), which hold zero.
    ///
    /// # Errors
    /// [`Error::NoDirection`](crate::Error::NoDirection) for a zero direction,
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the travel
    /// does not go from within minus 2 m to 0 on to 2 m; [`Error::NotAscending`](crate::Error::NotAscending) for a
    /// travel of nothing.
    pub fn sliding(direction: Vector3<f64>, grip: Point3<f64>, travel: [f64; 2]) -> Result<Self> {
        Ok(Self {
            guide: LeverGuide::Slide(unit("direction of the slide", &direction)?),
            grip: placed("grip of the lever", grip)?,
            travel: travel_within(travel, LONGEST_SLIDE, "m")?,
        })
    }

    /// What it moves on.
    #[must_use]
    pub fn guide(&self) -> LeverGuide {
        self.guide
    }

    /// Where the grip is at neutral, m.
    #[must_use]
    pub fn grip(&self) -> Point3<f64> {
        self.grip
    }

    /// Least and greatest position: rad on a pivot, m on a slide.
    #[must_use]
    pub fn travel(&self) -> [f64; 2] {
        self.travel
    }

    /// Where the grip is (m) at a position (rad or m).
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the position
    /// lies outside the travel.
    pub fn grip_at(&self, position: f64) -> Result<Point3<f64>> {
        self.on_travel(position)?;
        Ok(self.moved(&self.grip, position))
    }

    /// Where the grip is (m) at many positions (rad or m): NaN and marked where [`Lever::grip_at`] would return an
    /// error.
    #[must_use]
    pub fn grips_at(&self, positions: &[f64]) -> Masked<Point3<f64>> {
        let rows = positions.iter().map(|&position| self.grip_at(position));
        Masked::of(rows, Point3::new(f64::NAN, f64::NAN, f64::NAN))
    }

    /// How far the grip goes along its path over the travel, m.
    #[must_use]
    pub fn path_length(&self) -> f64 {
        let [lower, upper] = self.travel;
        match self.guide {
            LeverGuide::Pivot(pivot) => pivot.radius(&self.grip) * (upper - lower),
            LeverGuide::Slide(_) => upper - lower,
        }
    }

    /// Straight from one end of the travel to the other, m.
    #[must_use]
    pub fn chord(&self) -> f64 {
        let [from, to] = self.travel.map(|position| self.moved(&self.grip, position));
        nalgebra::distance(&from, &to)
    }

    /// A force (N) of the given magnitude on the grip along its path at a position (rad or m): toward greater positions
    /// if positive.
    ///
    /// # Errors
    /// [`Error::NotFinite`](crate::Error::NotFinite) or [`Error::OutOfRange`](crate::Error::OutOfRange) if the position
    /// lies outside the travel or the magnitude beyond 100 kN.
    pub fn push(&self, position: f64, magnitude: f64) -> Result<Vector3<f64>> {
        let grip = self.grip_at(position)?;
        within("push", magnitude, -MAX_PUSH, MAX_PUSH, "N")?;
        Ok(self.way(&grip).normalize() * magnitude)
    }

    pub(super) fn on_travel(&self, position: f64) -> Result<()> {
        let [min, max] = self.travel;
        within("position of the lever", position, min, max, self.unit())?;
        Ok(())
    }

    /// Unit of its positions.
    pub(super) fn unit(&self) -> &'static str {
        match self.guide {
            LeverGuide::Pivot(_) => "rad",
            LeverGuide::Slide(_) => "m",
        }
    }

    /// Where a point of the lever is when it has moved by a position.
    pub(super) fn moved(&self, point: &Point3<f64>, position: f64) -> Point3<f64> {
        match self.guide {
            LeverGuide::Pivot(pivot) => pivot.turn(position) * point,
            LeverGuide::Slide(direction) => point + direction * position,
        }
    }

    /// Which way a point of the lever moves, and by how much for one unit of position.
    pub(super) fn way(&self, point: &Point3<f64>) -> Vector3<f64> {
        match self.guide {
            LeverGuide::Pivot(pivot) => pivot.direction().cross(&(point - pivot.point())),
            LeverGuide::Slide(direction) => direction,
        }
    }

    /// The point about which reactions of the guide are given: of the pivot, or the grip at neutral.
    pub(super) fn reference(&self) -> Point3<f64> {
        match self.guide {
            LeverGuide::Pivot(pivot) => pivot.point(),
            LeverGuide::Slide(_) => self.grip,
        }
    }
}

fn travel_within(travel: [f64; 2], most: f64, unit: &'static str) -> Result<[f64; 2]> {
    let [lower, upper] = travel;
    within("lower end of the travel", lower, -most, 0.0, unit)?;
    within("upper end of the travel", upper, 0.0, most, unit)?;
    ascending("travel of the lever", travel, unit)
}
