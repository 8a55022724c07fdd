//! What pulls, presses, weighs and rubs on a control: each gives its share of the energy and of its first and second
//! derivative by the angles.

mod breakout;
mod circle;
mod friction;
mod line;
mod load;
mod magnets;
mod many;

pub use breakout::Breakout;
pub use friction::{Friction, friction_torque};
pub use line::{AlongLine, CapturedSpring};
pub use magnets::MagnetPair;

pub(super) use circle::Between;
pub(super) use line::{AT_JUMP, Pulled, Span, apart};
pub(super) use load::Load;
pub(super) use many::Many;

use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::feel::body::{Anchor, Body, Scene};
use crate::feel::cam::Cam;
use crate::feel::elements::friction::Rubbing;
use crate::feel::elements::line::side_of;
use crate::feel::elements::magnets::MAGNET_STEP;
use crate::spring::LinearTorsionSpring;
/// One thing that acts on a control.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum Element {
    /// A spring, cord, strut or captured spring between two anchors: any that becomes an [`AlongLine`]. A compression
    /// spring does by its [`line_spring`](crate::spring::CompressionSpring::line_spring), which may fail.
    Line {
        /// What acts.
        law: AlongLine,
        /// One end.
        a: Anchor,
        /// The other end.
        b: Anchor,
    },
    /// A torsion spring between a body and what bears it; its angle is that of the body.
    Torsion {
        /// What acts.
        spring: LinearTorsionSpring,
        /// On which body.
        body: Body,
    },
    /// A preloaded stop in the middle.
    Breakout(Breakout),
    /// A sprung follower on a cam or a row of detents.
    Cam(Cam),
    /// A mass at a point: grip, cranked extension, pedal.
    Mass {
        /// kg, 0 to 1000.
        mass: f64,
        /// Where its center is.
        at: Anchor,
    },
    /// Magnets that attract or repel each other.
    Magnets(MagnetPair),
    /// Moment of inertia of a body about its own pivot, beside the masses at points, kg m^2, 0 to 1000.
    Inertia {
        /// Whose.
        body: Body,
        /// kg m^2.
        moment: f64,
    },
    /// A damper whose torque grows with the speed of a body.
    Damper {
        /// On which body.
        body: Body,
        /// Torque for a speed, N m s/rad, 0 to 1e4.
        damping: f64,
    },
    /// Coulomb friction.
    Friction(Friction),
}

impl Element {
    /// A spring, cord, strut or captured spring between two anchors.
    #[must_use]
    pub fn line(law: impl Into<AlongLine>, a: Anchor, b: Anchor) -> Self {
        Self::Line {
            law: law.into(),
            a,
            b,
        }
    }

    /// The ends of what acts along a line; `None` for everything else.
    #[must_use]
    pub fn anchors(&self) -> Option<[Anchor; 2]> {
        match self {
            Self::Line { a, b, .. } => Some([*a, *b]),
            _ => None,
        }
    }

    /// Every body it names.
    pub(super) fn bodies(&self) -> [Option<Body>; 2] {
        match self {
            Self::Line { a, b, .. } => [Some(a.body()), Some(b.body())],
            Self::Torsion { body, .. } | Self::Inertia { body, .. } | Self::Damper { body, .. } => {
                [Some(*body), None]
            }
            Self::Breakout(breakout) => [Some(breakout.body), None],
            Self::Cam(cam) => [Some(cam.body()), None],
            Self::Mass { at, .. } => [Some(at.body()), None],
            Self::Magnets(pair) => pair.bodies().map(Some),
            Self::Friction(friction) => match friction.place {
                Rubbing::Bearing(body) => [Some(body), None],
                Rubbing::Rod(a, b) => [Some(a.body()), Some(b.body())],
            },
        }
    }

    /// Whether it acts on the angle of a body, which the ground does not have.
    pub(super) fn needs_a_pivot(&self) -> bool {
        match self {
            Self::Torsion { .. }
            | Self::Breakout(_)
            | Self::Cam(_)
            | Self::Inertia { .. }
            | Self::Damper { .. } => true,
            Self::Friction(friction) => friction.body().is_some(),
            Self::Line { .. } | Self::Mass { .. } | Self::Magnets(_) => false,
        }
    }

    /// Checks what no constructor of its own has checked; [`Control::new`](crate::feel::Control::new) does it for all
    /// its elements.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for a mass, a moment of inertia or a damping outside its range;
    /// [`Error::SameBody`] for a spring, a rod or magnets with both ends on one body.
    pub fn check(&self) -> Result<()> {
        let apart = |what: &'static str, [a, b]: [Body; 2]| {
            if a == b {
                let body = a.to_string();
                return Err(Error::SameBody { what, body });
            }
            Ok(())
        };
        match self {
            Self::Mass { mass, .. } => within("mass", *mass, 0.0, 1000.0, "kg").map(|_| ()),
            Self::Inertia { moment, .. } => {
                within("moment of inertia", *moment, 0.0, 1000.0, "kg m^2").map(|_| ())
            }
            Self::Damper { damping, .. } => {
                within("damping", *damping, 0.0, 1e4, "N m s/rad").map(|_| ())
            }
            Self::Line { a, b, .. } => apart("spring", [a.body(), b.body()]),
            Self::Magnets(pair) => apart("pair of magnets", pair.bodies()),
            Self::Friction(friction) => friction.anchors().map_or(Ok(()), |ends| {
                apart("rod whose joints rub", ends.map(|end| end.body()))
            }),
            Self::Torsion { .. } | Self::Breakout(_) | Self::Cam(_) => Ok(()),
        }
    }

    /// Whether the force may jump somewhere.
    pub(super) fn jumps(&self) -> bool {
        match self {
            Self::Line { law, .. } => law.jump().is_some(),
            Self::Breakout(breakout) => breakout.preload > 0.0,
            _ => false,
        }
    }

    /// How far the control is from where the force of this element jumps, in its own quantity; `None` if it never does.
    pub(super) fn distance_from_jump<const N: usize>(&self, scene: &Scene<N>) -> Option<f64> {
        match self {
            Self::Line { law, a, b } => {
                let jump = law.jump()?;
                Some((scene.point(b).at - scene.point(a).at).norm() - jump)
            }
            Self::Breakout(breakout) if breakout.preload > 0.0 => {
                let turned = scene.of(breakout.body).turned()?;
                Some(turned.transfer.angle - breakout.center)
            }
            _ => None,
        }
    }

    /// Adds its energy and its derivatives; where a force jumps, the limit for `side`, the direction that the position
    /// is approached against: +1 in every angle means from above; 0: that angle is held.
    pub(super) fn add<const N: usize>(
        &self,
        scene: &Scene<N>,
        gravity: &Vector3<f64>,
        side: &[f64; N],
        load: &mut Load<N>,
    ) -> Result<()> {
        match self {
            Self::Line { law, a, b } => {
                let ends = [scene.point(a), scene.point(b)];
                load.add_line(law, &ends, side, |length| length)?;
            }
            Self::Torsion { body, .. } => self.add_turned(*body, scene, side, load)?,
            Self::Breakout(breakout) => self.add_turned(breakout.body, scene, side, load)?,
            Self::Cam(cam) => self.add_turned(cam.body(), scene, side, load)?,
            Self::Mass { mass, at } => {
                let weight = gravity * *mass;
                let point = scene.point(at);
                load.energy -= weight.dot(&point.at);
                for i in 0..N {
                    load.slope[i] -= weight.dot(&point.first[i]);
                    for j in 0..N {
                        load.bend[i][j] -= weight.dot(&point.second[i][j]);
                    }
                }
            }
            Self::Magnets(pair) => {
                load.energy += pair.energy(scene)?;
                let slope = pair.slope(scene)?;
                for (sum, slope) in load.slope.iter_mut().zip(slope) {
                    *sum += slope;
                }
            }
            Self::Inertia { .. } | Self::Damper { .. } | Self::Friction(_) => {}
        }
        Ok(())
    }

    fn add_turned<const N: usize>(
        &self,
        body: Body,
        scene: &Scene<N>,
        side: &[f64; N],
        load: &mut Load<N>,
    ) -> Result<()> {
        if let Some(turned) = scene.of(body).turned() {
            let above = side[turned.axis] * turned.transfer.ratio >= 0.0;
            let held = self.held(turned.transfer.angle, above)?;
            load.add_turned(held.unwrap_or_default(), &turned);
        }
        Ok(())
    }

    /// Energy and its two derivatives by the angle of the body that it acts on, where the torque jumps as from above or
    /// from below; `None` of what does not act on an angle.
    pub(super) fn held(&self, angle: f64, above: bool) -> Result<Option<[f64; 3]>> {
        Ok(match self {
            Self::Torsion { spring, .. } => {
                let held = spring.response(angle)?;
                Some([held.energy, held.torque, held.stiffness])
            }
            Self::Breakout(breakout) => {
                let by = angle - breakout.center;
                let sign = side_of(by, above);
                let energy = breakout.preload * by.abs() + 0.5 * breakout.rate * by * by;
                let torque = sign * breakout.preload + breakout.rate * by;
                Some([energy, torque, breakout.rate])
            }
            Self::Cam(cam) => Some(cam.energy(angle)?),
            _ => None,
        })
    }

    /// Adds to the stiffness what [`add`](Self::add) leaves out: that of magnets, by differences of their torque over
    /// +-1e-4 rad.
    pub(super) fn add_stiffness_by_differences<const N: usize>(
        &self,
        q: [f64; N],
        place: impl Fn([f64; N]) -> Result<Scene<N>>,
        load: &mut Load<N>,
    ) -> Result<()> {
        let Self::Magnets(pair) = self else {
            return Ok(());
        };
        for i in 0..N {
            let at = |step: f64| {
                let mut moved = q;
                moved[i] += step;
                pair.slope(&place(moved)?)
            };
            let (before, after) = (at(-MAGNET_STEP)?, at(MAGNET_STEP)?);
            for j in 0..N {
                let bend = (after[j] - before[j]) / (2.0 * MAGNET_STEP);
                // Half to each of the two places of a symmetric matrix, so that it stays symmetric.
                load.bend[i][j] += 0.5 * bend;
                load.bend[j][i] += 0.5 * bend;
            }
        }
        Ok(())
    }

    /// Moment of inertia about one angle while only that one moves, and its derivative by the angle.
    pub(super) fn inertia<const N: usize>(&self, scene: &Scene<N>, axis: usize) -> [f64; 2] {
        match self {
            Self::Mass { mass, at } => {
                let point = scene.point(at);
                let (first, second) = (point.first[axis], point.second[axis][axis]);
                [mass * first.norm_squared(), 2.0 * mass * first.dot(&second)]
            }
            Self::Inertia { body, moment } => on_axis(scene, *body, axis)
                .map_or([0.0; 2], |[ratio, curvature]| {
                    [moment * ratio * ratio, 2.0 * moment * ratio * curvature]
                }),
            _ => [0.0; 2],
        }
    }

    /// Damping of one angle, N m s/rad.
    pub(super) fn damping<const N: usize>(&self, scene: &Scene<N>, axis: usize) -> f64 {
        match self {
            Self::Damper { body, damping } => {
                on_axis(scene, *body, axis).map_or(0.0, |[ratio, _]| damping * ratio * ratio)
            }
            _ => 0.0,
        }
    }

    /// Coulomb friction against one angle, N m.
    pub(super) fn friction<const N: usize>(&self, scene: &Scene<N>, axis: usize) -> Result<f64> {
        match self {
            Self::Friction(friction) => friction.torque_on(scene, axis),
            _ => Ok(0.0),
        }
    }

    /// Length and state of what acts along a line, and its tension; `None` for everything else.
    pub(super) fn pulled<const N: usize>(
        &self,
        scene: &Scene<N>,
        side: &[f64; N],
    ) -> Result<Option<(f64, Pulled)>> {
        let Self::Line { law, a, b } = self else {
            return Ok(None);
        };
        let span = Span::of(&scene.point(a), &scene.point(b))?;
        let growing: f64 = (0..N).map(|i| span.first[i] * side[i]).sum();
        Ok(Some((span.length, law.at(span.length, growing >= 0.0)?)))
    }
}

/// Derivatives of the angle of a body by one angle of the control, if it depends on that one.
fn on_axis<const N: usize>(scene: &Scene<N>, body: Body, axis: usize) -> Option<[f64; 2]> {
    let turned = scene.of(body).turned()?;
    (turned.axis == axis).then_some([turned.transfer.ratio, turned.transfer.curvature])
}
