//! What moves: the pivots of a control, the bodies that turn on them, and points fixed to those bodies.

use std::fmt;
use std::str::FromStr;

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Unit, UnitQuaternion, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::linkage::{
    AnyTransmission, BallRod, Branch, CenteredFourBar, FixedRatio, FourBar, Pivot, Transfer,
    Transfers, Transmission,
};
use crate::stored::stored_by_its_constructor;

/// A control and what belongs to it lies within this, m.
const REACH: f64 = 10.0;

/// How much two directions that should be one may differ, and two places, m: more than rounding, less than anything
/// that is built.
const SAME_DIRECTION: f64 = 1e-6;
const SAME_PLACE: f64 = 1e-6;

/// Distance of a point from a pivot, m.
pub(super) fn distance(pivot: &Pivot, point: &Point3<f64>) -> f64 {
    pivot.direction().cross(&(point - pivot.point())).norm()
}

pub(super) fn check_place(quantity: &'static str, point: &Point3<f64>) -> Result<()> {
    for coordinate in &point.coords {
        within(quantity, *coordinate, -REACH, REACH, "m")?;
    }
    Ok(())
}

/// How the part that the hand or foot works is borne.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Bearing {
    /// On one pivot: a lever, a pedal, a crank.
    Single(Pivot),
    /// In a gimbal: a ring turns about `outer` and carries the lever, which turns about `inner`.
    Gimbal {
        /// Fixed in the ground.
        outer: Pivot,
        /// Where the ring carries it when both angles are zero.
        inner: Pivot,
    },
}

impl Bearing {
    /// How many angles describe the position: 1 or 2.
    #[must_use]
    pub fn axes(&self) -> usize {
        match self {
            Self::Single(_) => 1,
            Self::Gimbal { .. } => 2,
        }
    }
}

/// A body of the control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Body {
    /// What stands still.
    Ground,
    /// The outer ring of a gimbal.
    Ring,
    /// What the hand or foot holds.
    Lever,
    /// One of the bodies that the lever drives, by its number from 0.
    Driven(usize),
}

impl fmt::Display for Body {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ground => f.write_str("ground"),
            Self::Ring => f.write_str("ring"),
            Self::Lever => f.write_str("lever"),
            Self::Driven(number) => write!(f, "driven {number}"),
        }
    }
}

impl FromStr for Body {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let number = text
            .strip_prefix("driven ")
            .and_then(|rest| rest.parse().ok());
        match (text, number) {
            ("ground", _) => Ok(Self::Ground),
            ("ring", _) => Ok(Self::Ring),
            ("lever", _) => Ok(Self::Lever),
            (_, Some(number)) => Ok(Self::Driven(number)),
            _ => Err(Error::NotAChoice {
                quantity: "body",
                given: text.to_owned(),
                choices: "ground, ring, lever, driven 0, driven 1, ...".to_owned(),
            }),
        }
    }
}

/// A point fixed to a body, given where it is when all angles are zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anchor {
    body: Body,
    point: Point3<f64>,
}

stored_by_its_constructor!(Anchor {
    body: Body,
    point: Point3<f64>
} => Self::new(body, point));

impl Anchor {
    /// A point (m, within 10 m) of a body.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(body: Body, point: Point3<f64>) -> Result<Self> {
        check_place("coordinate of an anchor", &point)?;
        Ok(Self { body, point })
    }

    /// The body.
    #[must_use]
    pub fn body(&self) -> Body {
        self.body
    }

    /// The point when all angles are zero, m.
    #[must_use]
    pub fn point(&self) -> Point3<f64> {
        self.point
    }
}

/// A matrix times a vector, term by term. The library's product of any two sizes stays a call with loops in it here,
/// which took a sixth of a force curve.
#[inline(always)]
fn times(m: &Matrix3<f64>, v: &Vector3<f64>) -> Vector3<f64> {
    let row = |i: usize| m[(i, 0)] * v.x + m[(i, 1)] * v.y + m[(i, 2)] * v.z;
    Vector3::new(row(0), row(1), row(2))
}

/// How far a body has turned and moved: x = rotation p + shift.
#[derive(Debug, Clone, Copy)]
struct Placed {
    rotation: Matrix3<f64>,
    shift: Vector3<f64>,
}

impl Placed {
    const STILL: Self = Self {
        rotation: Matrix3::new(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0),
        shift: Vector3::new(0.0, 0.0, 0.0),
    };

    /// Turned about the pivot by an angle.
    fn turned(pivot: &Pivot, angle: f64) -> Self {
        let axis = Unit::new_unchecked(pivot.direction());
        let rotation = Rotation3::from_axis_angle(&axis, angle).into_inner();
        let shift = pivot.point().coords - times(&rotation, &pivot.point().coords);
        Self { rotation, shift }
    }

    fn point(&self, point: &Point3<f64>) -> Vector3<f64> {
        times(&self.rotation, &point.coords) + self.shift
    }
}

/// A body that turns on a pivot of its own, driven by another one through a transmission.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Drive {
    pivot: Pivot,
    by: Body,
    transmission: AnyTransmission,
}

impl Drive {
    /// A body on `pivot` that follows the angle of `by` through any transmission;
    /// [`Control::new`](crate::feel::Control::new) checks that it sits on both pivots.
    ///
    /// The input angle of a planar transmission grows with the angle of `by`. The two pivots must then be parallel; if
    /// they point opposite ways, an output that turns the same way as the input turns the body by negative angles.
    #[must_use]
    pub fn new(pivot: Pivot, by: Body, transmission: impl Into<AnyTransmission>) -> Self {
        Self {
            pivot,
            by,
            transmission: transmission.into(),
        }
    }

    /// A body on `pivot` that follows the angle of `by` in proportion.
    ///
    /// # Errors
    /// As [`FixedRatio::new`].
    pub fn ratio(pivot: Pivot, by: Body, ratio: f64) -> Result<Self> {
        Ok(Self::new(pivot, by, FixedRatio::new(ratio)?))
    }

    /// A body that a rod with two ball joints drives: it turns on the pivot of the rod's output arm. The pivot of the
    /// input arm must be that of `by`.
    ///
    /// # Errors
    /// As [`Pivot::new`], for the output pivot.
    pub fn ball_rod(by: Body, rod: BallRod) -> Result<Self> {
        let output = rod.output();
        let pivot = Pivot::new(output.pivot(), output.direction())?;
        Ok(Self::new(pivot, by, rod))
    }

    /// A body on `pivot` that a planar four-bar drives; `neutral`: its crank angle, rad, when the angle of `by` is
    /// zero.
    ///
    /// # Errors
    /// As [`FourBar::transfer`] at the neutral.
    pub fn four_bar(
        pivot: Pivot,
        by: Body,
        linkage: FourBar,
        branch: Branch,
        neutral: f64,
    ) -> Result<Self> {
        linkage.transfer(neutral, branch)?;
        let centered = CenteredFourBar::new(linkage, branch, neutral)?;
        Ok(Self::new(pivot, by, centered))
    }

    /// Where the driven body turns.
    #[must_use]
    pub fn pivot(&self) -> Pivot {
        self.pivot
    }

    /// What drives it.
    #[must_use]
    pub fn by(&self) -> Body {
        self.by
    }

    /// How.
    #[must_use]
    pub fn transmission(&self) -> &AnyTransmission {
        &self.transmission
    }

    /// Checks that the transmission fits the pivots of both bodies.
    pub(super) fn check(&self, driver: &Pivot) -> Result<()> {
        let [input, output] = self.transmission.pivots();
        let names = [
            [
                "difference between the directions of a transmission's input pivot and that of the body that drives it",
                "distance of a transmission's input pivot from that of the body that drives it",
            ],
            [
                "difference between the directions of a transmission's output pivot and that of the driven body",
                "distance of a transmission's output pivot from that of the driven body",
            ],
        ];
        let both = [(input, driver), (output, &self.pivot)];
        for ((own, pivot), [direction, place]) in both.into_iter().zip(names) {
            let Some(own) = own else { continue };
            let off = (own.direction() - pivot.direction()).norm();
            within(direction, off, 0.0, SAME_DIRECTION, "(no unit)")?;
            within(place, distance(pivot, &own.point()), 0.0, SAME_PLACE, "m")?;
        }
        if self.transmission.is_planar() {
            let skew = driver.direction().cross(&self.pivot.direction()).norm();
            within(
                "sine of the angle between the two pivots of a planar transmission",
                skew,
                0.0,
                SAME_DIRECTION,
                "(no unit)",
            )?;
        }
        Ok(())
    }

    /// Whether the driven angle counts the other way than the output of the transmission.
    fn opposed(&self, driver: &Pivot) -> bool {
        self.transmission.is_planar() && driver.direction().dot(&self.pivot.direction()) < 0.0
    }

    /// The driven angle for the angle of a driver on that pivot.
    fn transfer(&self, driver: &Pivot, angle: f64) -> Result<Transfer> {
        let at = self.transmission.transfer(angle)?;
        if self.opposed(driver) {
            return Transfer::new(-at.angle, -at.ratio, -at.curvature);
        }
        Ok(at)
    }

    /// The same at many angles; NaN where it is refused.
    pub(super) fn transfers(&self, driver: &Pivot, angles: &[f64]) -> Transfers {
        let mut at = self.transmission.transfers(angles);
        if self.opposed(driver) {
            for column in [&mut at.angles, &mut at.ratios, &mut at.curvatures] {
                column.iter_mut().for_each(|value| *value = -*value);
            }
        }
        at
    }
}

/// The angle of a body about its own pivot, as it depends on one of the angles of the control.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turned {
    /// Which angle of the control.
    pub(super) axis: usize,
    pub(super) transfer: Transfer,
}

/// How a body moves with the N angles of the control, at one position: x_i = spin_i x x + slide_i.
#[derive(Debug, Clone, Copy)]
pub(super) struct Motion<const N: usize> {
    placed: Placed,
    pub(super) spin: [Vector3<f64>; N],
    pub(super) slide: [Vector3<f64>; N],
    /// Second derivative of the angle of a driven body, about its pivot: the same two vectors for one of the angles.
    curl: Option<(usize, Vector3<f64>, Vector3<f64>)>,
    turned: Option<Turned>,
}

/// A point fixed to a body: where it is, and its derivatives by the angles.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moved<const N: usize> {
    pub(super) at: Vector3<f64>,
    pub(super) first: [Vector3<f64>; N],
    pub(super) second: [[Vector3<f64>; N]; N],
}

impl<const N: usize> Motion<N> {
    const STILL: Self = Self {
        placed: Placed::STILL,
        spin: [Vector3::new(0.0, 0.0, 0.0); N],
        slide: [Vector3::new(0.0, 0.0, 0.0); N],
        curl: None,
        turned: None,
    };

    /// Turning about the pivot by an angle of the control.
    #[inline]
    fn turning(pivot: &Pivot, turned: Turned) -> Self {
        let Transfer {
            angle,
            ratio,
            curvature,
        } = turned.transfer;
        let mut motion = Self {
            placed: Placed::turned(pivot, angle),
            turned: Some(turned),
            ..Self::STILL
        };
        let spin = pivot.direction();
        let slide = -spin.cross(&pivot.point().coords);
        motion.spin[turned.axis] = spin * ratio;
        motion.slide[turned.axis] = slide * ratio;
        if curvature != 0.0 {
            motion.curl = Some((turned.axis, spin * curvature, slide * curvature));
        }
        motion
    }

    /// Carried by a body that turns with the angle before.
    fn carried(mut self, by: &Self) -> Self {
        let outer = by.placed;
        let carry = |v: &Vector3<f64>| times(&outer.rotation, v);
        let own = self.placed;
        let [x, y, z] = [0, 1, 2].map(|i| carry(&own.rotation.column(i).into()));
        self.placed = Placed {
            rotation: Matrix3::from_columns(&[x, y, z]),
            shift: carry(&own.shift) + outer.shift,
        };
        for axis in 0..N {
            self.spin[axis] = carry(&self.spin[axis]);
            // The slide of a point at the origin, seen after the carrying motion.
            self.slide[axis] = carry(&self.slide[axis]) - self.spin[axis].cross(&outer.shift);
            self.spin[axis] += by.spin[axis];
            self.slide[axis] += by.slide[axis];
        }
        self
    }

    /// The angle about its own pivot; `None` for the ground.
    pub(super) fn turned(&self) -> Option<Turned> {
        self.turned
    }

    /// Where the body stands.
    pub(super) fn isometry(&self) -> Isometry3<f64> {
        let rotation = Rotation3::from_matrix_unchecked(self.placed.rotation);
        Isometry3::from_parts(
            self.placed.shift.into(),
            UnitQuaternion::from_rotation_matrix(&rotation),
        )
    }

    // Always: through memory the result takes longer than to work it out.
    #[inline(always)]
    pub(super) fn point(&self, point: &Point3<f64>) -> Moved<N> {
        let zero = Vector3::zeros();
        let mut moved = Moved {
            at: point.coords,
            first: [zero; N],
            second: [[zero; N]; N],
        };
        if self.turned.is_none() {
            return moved;
        }
        let at = self.placed.point(point);
        moved.at = at;
        for axis in 0..N {
            moved.first[axis] = self.spin[axis].cross(&at) + self.slide[axis];
        }
        for i in 0..N {
            for j in i..N {
                // The outer angle turns what the inner one does, never the other way round.
                moved.second[i][j] = self.spin[i].cross(&moved.first[j]);
                moved.second[j][i] = moved.second[i][j];
            }
        }
        if let Some((axis, spin, slide)) = self.curl {
            moved.second[axis][axis] += spin.cross(&at) + slide;
        }
        moved
    }
}

/// All bodies of a control at one position.
#[derive(Debug, Clone)]
pub(super) struct Scene<const N: usize> {
    lever: Motion<N>,
    /// The ring of a gimbal; driven bodies after it.
    others: Vec<Motion<N>>,
    rings: usize,
}

/// The pivot on which a body that drives another turns; that of the lever for one that there is not.
pub(super) fn pivot_of(bearing: &Bearing, driven: &[Drive], body: Body) -> Pivot {
    let before = match body {
        Body::Driven(number) => driven.get(number).map(Drive::pivot),
        _ => None,
    };
    before.unwrap_or(match bearing {
        Bearing::Single(pivot) | Bearing::Gimbal { outer: pivot, .. } => *pivot,
    })
}

impl<const N: usize> Scene<N> {
    /// The bodies at the angles `q`; each of `driven` must be driven by one before it.
    #[inline]
    pub(super) fn new(bearing: &Bearing, driven: &[Drive], q: [f64; N]) -> Result<Self> {
        let direct = |axis: usize| Turned {
            axis,
            transfer: Transfer {
                angle: q[axis],
                ratio: 1.0,
                curvature: 0.0,
            },
        };
        let mut scene = match bearing {
            Bearing::Single(pivot) => Self {
                lever: Motion::turning(pivot, direct(0)),
                others: Vec::new(),
                rings: 0,
            },
            Bearing::Gimbal { outer, inner } => {
                let ring = Motion::turning(outer, direct(0));
                Self {
                    lever: Motion::turning(inner, direct(N - 1)).carried(&ring),
                    others: vec![ring],
                    rings: 1,
                }
            }
        };
        for drive in driven {
            let Some(Turned { axis, transfer }) = scene.of(drive.by).turned() else {
                continue;
            };
            let next = drive.transfer(&pivot_of(bearing, driven, drive.by), transfer.angle)?;
            let transfer = transfer.then(&next);
            let motion = Motion::turning(&drive.pivot, Turned { axis, transfer });
            scene.others.push(motion);
        }
        Ok(scene)
    }

    #[inline]
    pub(super) fn of(&self, body: Body) -> &Motion<N> {
        let still = &const { Motion::STILL };
        match body {
            Body::Ground => still,
            Body::Lever => &self.lever,
            // `Control::new` has made sure that the body exists.
            Body::Ring => self.others.first().unwrap_or(still),
            Body::Driven(number) => self.others.get(self.rings + number).unwrap_or(still),
        }
    }

    #[inline(always)]
    pub(super) fn point(&self, anchor: &Anchor) -> Moved<N> {
        self.of(anchor.body).point(&anchor.point)
    }
}
