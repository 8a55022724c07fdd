//! What carries a part, and how a sensor moves as seen from what carries magnets.

use nalgebra::{Point3, Vector3};

use crate::axis::passing::{Eye, Swing};
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

    /// Whether the two stand alike to each other at two positions.
    pub(super) fn is_alike(&self, one: &Turned, other: &Turned) -> bool {
        let mut turns = self.0.iter().flatten();
        turns.all(|turn| one.about(*turn) == other.about(*turn))
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

/// How a point of a sensor's package and directions there move as seen from what carries some magnets.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way<const N: usize> {
    path: Path,
    neutral: Eye<N>,
    first: Option<First<N>>,
    then: Option<(Turn, Pivot)>,
}

#[derive(Debug, Clone, PartialEq)]
struct First<const N: usize> {
    turn: Turn,
    about: Pivot,
    point: Swing,
    directions: [Swing; N],
}

impl<const N: usize> Way<N> {
    /// From where they are at neutral.
    pub(super) fn new(path: Path, gimbal: &Gimbal, neutral: Eye<N>) -> Self {
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
                point: Swing::of(neutral.point - about.point(), &axis),
                directions: neutral.directions.map(|v| Swing::of(v, &axis)),
            }
        });
        Self {
            path,
            neutral,
            first,
            then: then.map(|turn| (turn, pivot(turn))),
        }
    }

    pub(super) fn path(&self) -> Path {
        self.path
    }

    /// Where the point is when the gimbal has turned, and the directions there.
    #[inline]
    pub(super) fn at(&self, turned: &Turned) -> Eye<N> {
        let Some(first) = &self.first else {
            return self.neutral;
        };
        let [sin, cos] = turned.about(first.turn);
        let point = first.about.point() + first.point.at(sin, cos);
        let directions = first.directions.map(|direction| direction.at(sin, cos));
        let Some((turn, about)) = &self.then else {
            return Eye { point, directions };
        };
        let [sin, cos] = turned.about(*turn);
        let axis = about.direction();
        let turn = |v: Vector3<f64>| Swing::of(v, &axis).at(sin, cos);
        Eye {
            point: about.point() + turn(point - about.point()),
            directions: directions.map(turn),
        }
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
        let mut way = radius(&first.about, &self.neutral.point) * share(first.turn);
        if let Some((turn, about)) = &self.then {
            let [sin, cos] = turned.about(first.turn);
            let between = first.about.point() + first.point.at(sin, cos);
            way += radius(about, &between) * share(*turn);
        }
        way
    }
}
