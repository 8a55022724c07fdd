//! What carries a part, and how a sensor moves as seen from what carries magnets.

use nalgebra::{Point3, Vector3};

use crate::error::choices;
use crate::linkage::{Gimbal, GimbalAxis, Pivot};

/// What carries a magnet or a sensor of a [`TwoAxis`](crate::axis::TwoAxis).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Carrier {
    /// The frame: it stands still.
    Frame,
    /// The outer body, the ring of a gimbal: it turns with the outer axis.
    Ring,
    /// The inner body, the stick: it turns with both.
    Stick,
}

choices!(Carrier, "carrier", {
    Frame => "frame",
    Ring => "ring",
    Stick => "stick",
});

/// One turn of a sensor as seen from the magnets.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Turn {
    axis: GimbalAxis,
    /// 1, or -1 where the magnets turn and not the sensor.
    sign: f64,
}

/// The turns of what one carrier holds as seen from another, in the order in which they act.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Path([Option<Turn>; 2]);

impl Path {
    pub(super) fn new(of: Carrier, seen_from: Carrier) -> Self {
        let turn = |axis, sign| Some(Turn { axis, sign });
        let (outer, inner) = (GimbalAxis::Outer, GimbalAxis::Inner);
        Self(match (of, seen_from) {
            (Carrier::Frame, Carrier::Frame)
            | (Carrier::Ring, Carrier::Ring)
            | (Carrier::Stick, Carrier::Stick) => [None, None],
            (Carrier::Ring, Carrier::Frame) => [turn(outer, 1.0), None],
            (Carrier::Frame, Carrier::Ring) => [turn(outer, -1.0), None],
            (Carrier::Stick, Carrier::Ring) => [turn(inner, 1.0), None],
            (Carrier::Ring, Carrier::Stick) => [turn(inner, -1.0), None],
            (Carrier::Stick, Carrier::Frame) => [turn(inner, 1.0), turn(outer, 1.0)],
            (Carrier::Frame, Carrier::Stick) => [turn(outer, -1.0), turn(inner, -1.0)],
        })
    }

    /// Whether the two move against each other when this axis turns.
    pub(super) fn has(&self, axis: GimbalAxis) -> bool {
        self.0.iter().flatten().any(|turn| turn.axis == axis)
    }
}

/// Sines and cosines of the two angles.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turned {
    outer: [f64; 2],
    inner: [f64; 2],
}

impl Turned {
    pub(super) fn of([outer, inner]: [f64; 2]) -> Self {
        let both = |angle: f64| <[f64; 2]>::from(angle.sin_cos());
        Self {
            outer: both(outer),
            inner: both(inner),
        }
    }

    /// Of many pairs. On a grid one angle stays from row to row.
    pub(super) fn each(angles: &[[f64; 2]]) -> Vec<Self> {
        let mut last: Option<([f64; 2], Self)> = None;
        let turned = |&[outer, inner]: &[f64; 2]| {
            let turned = match last {
                Some((before, turned)) if before[0].to_bits() == outer.to_bits() => Self {
                    inner: inner.sin_cos().into(),
                    ..turned
                },
                _ => Self::of([outer, inner]),
            };
            last = Some(([outer, inner], turned));
            turned
        };
        angles.iter().map(turned).collect()
    }

    #[inline]
    fn about(&self, turn: Turn) -> [f64; 2] {
        let [sine, cosine] = match turn.axis {
            GimbalAxis::Outer => self.outer,
            GimbalAxis::Inner => self.inner,
        };
        [turn.sign * sine, cosine]
    }
}

/// A vector that turns about an axis, by parts: along it, across it, and a right angle further.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Swept {
    along: Vector3<f64>,
    across: Vector3<f64>,
    ahead: Vector3<f64>,
}

impl Swept {
    #[inline]
    fn new(axis: &Vector3<f64>, vector: &Vector3<f64>) -> Self {
        let along = axis * axis.dot(vector);
        Self {
            along,
            across: vector - along,
            ahead: axis.cross(vector),
        }
    }

    #[inline]
    fn at(&self, [sine, cosine]: [f64; 2]) -> Vector3<f64> {
        self.along + self.across * cosine + self.ahead * sine
    }
}

/// A point of a sensor with its sensitive direction, as seen from what carries some magnets.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Eye {
    path: Path,
    neutral: (Point3<f64>, Vector3<f64>),
    first: Option<First>,
    then: Option<(Turn, Pivot)>,
}

#[derive(Debug, Clone, PartialEq)]
struct First {
    turn: Turn,
    about: Pivot,
    point: Swept,
    direction: Swept,
}

impl Eye {
    pub(super) fn new(
        path: Path,
        gimbal: &Gimbal,
        point: Point3<f64>,
        direction: Vector3<f64>,
    ) -> Self {
        let spec = gimbal.spec();
        let pivot = |turn: Turn| match turn.axis {
            GimbalAxis::Outer => spec.outer,
            GimbalAxis::Inner => spec.inner,
        };
        let [first, then] = path.0;
        let first = first.map(|turn| {
            let about = pivot(turn);
            let axis = about.direction();
            First {
                turn,
                about,
                point: Swept::new(&axis, &(point - about.point())),
                direction: Swept::new(&axis, &direction),
            }
        });
        Self {
            path,
            neutral: (point, direction),
            first,
            then: then.map(|turn| (turn, pivot(turn))),
        }
    }

    pub(super) fn path(&self) -> Path {
        self.path
    }

    /// Where it is when the gimbal has turned, and the direction there.
    #[inline]
    pub(super) fn at(&self, turned: &Turned) -> (Point3<f64>, Vector3<f64>) {
        let Some(first) = &self.first else {
            return self.neutral;
        };
        let by = turned.about(first.turn);
        let point = first.about.point() + first.point.at(by);
        let direction = first.direction.at(by);
        let Some((turn, about)) = &self.then else {
            return (point, direction);
        };
        let by = turned.about(*turn);
        let axis = about.direction();
        (
            about.point() + Swept::new(&axis, &(point - about.point())).at(by),
            Swept::new(&axis, &direction).at(by),
        )
    }

    /// How far its point may be from where it is at a position (rad), m, within `half` of it (each angle by itself):
    /// no farther for a radian about an axis than its distance from that.
    pub(super) fn moves(&self, turned: &Turned, half: [f64; 2]) -> f64 {
        let Some(first) = &self.first else {
            return 0.0;
        };
        let share = |turn: Turn| match turn.axis {
            GimbalAxis::Outer => half[0],
            GimbalAxis::Inner => half[1],
        };
        let radius = |pivot: &Pivot, point: &Point3<f64>| {
            pivot.direction().cross(&(point - pivot.point())).norm()
        };
        // What acts last turns what the first has turned at the center of the cell; then the first goes its way, whose
        // length the last one leaves alone.
        let mut way = radius(&first.about, &self.neutral.0) * share(first.turn);
        if let Some((turn, about)) = &self.then {
            let between = first.about.point() + first.point.at(turned.about(first.turn));
            way += radius(about, &between) * share(*turn);
        }
        way
    }
}
