//! What pulls, presses, weighs and rubs on a control: each gives its share of the energy and of its first and second derivative by the angles.

use nalgebra::{Point3, Vector3};
use serde::Serialize;

use crate::error::{Error, Result, finite, within};
use crate::feel::body::{Anchor, Body, Moved, Scene, Turned};
use crate::feel::cam::Cam;
use crate::magnet::{FieldSource, MagnetGroup, interaction_energy, pull};
use crate::spring::{LineSpring, LinearSpringState, LinearTorsionSpring};

/// Closer than this to where a force jumps, a position counts as being there, m and rad: a thousand roundings of a meter, and nothing that can be felt.
pub(super) const AT_JUMP: f64 = 1e-12;
/// Closer than this two anchors coincide, m: a spring between them has no direction.
const COINCIDE: f64 = 1e-6;
/// Step of the differences that give the stiffness of magnets, rad: their torque is known to 1e-9, so the stiffness to about 1e-5 of torque per rad; the
/// error of the second-order difference is (step / width of the detent)^2, less than that.
const MAGNET_STEP: f64 = 1e-4;

/// Energy of a control and its derivatives by the N angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Load<const N: usize> {
    /// J.
    pub(super) energy: f64,
    /// First derivatives, N m: the torque on the control is their opposite.
    pub(super) slope: [f64; N],
    /// Second derivatives, N m/rad.
    pub(super) bend: [[f64; N]; N],
}

impl<const N: usize> Load<N> {
    pub(super) const ZERO: Self = Self {
        energy: 0.0,
        slope: [0.0; N],
        bend: [[0.0; N]; N],
    };

    /// Adds an energy U(s) of a quantity s: its value, U' and U'', and the derivatives of s.
    #[inline(always)]
    fn add(&mut self, [energy, by, twice]: [f64; 3], first: &[f64; N], second: &[[f64; N]; N]) {
        self.energy += energy;
        for i in 0..N {
            self.slope[i] += by * first[i];
            for j in 0..N {
                // In this order, so that the matrix is symmetric to the last bit.
                self.bend[i][j] += twice * (first[i] * first[j]) + by * second[i][j];
            }
        }
    }

    /// Adds what acts along the line between two points, as it does at the length `meant` for their distance; where a force jumps, the limit for `side`.
    #[inline(always)]
    pub(super) fn add_line(
        &mut self,
        law: &AlongLine,
        [a, b]: &[Moved<N>; 2],
        side: &[f64; N],
        meant: impl Fn(f64) -> f64,
    ) -> Result<()> {
        let span = Span::of(a, b)?;
        let growing: f64 = (0..N).map(|i| span.first[i] * side[i]).sum();
        let pulled = law.at(meant(span.length), growing >= 0.0)?;
        self.add(
            [pulled.energy, pulled.tension, pulled.stiffness],
            &span.first,
            &span.second,
        );
        Ok(())
    }

    /// The same for an energy of the angle of one body.
    fn add_turned(&mut self, energy: [f64; 3], turned: &Turned) {
        let (mut first, mut second) = ([0.0; N], [[0.0; N]; N]);
        first[turned.axis] = turned.transfer.ratio;
        second[turned.axis][turned.axis] = turned.transfer.curvature;
        self.add(energy, &first, &second);
    }
}

/// A spring held with preload between collars, so that it works both ways: tension = +-F0 + k (L - L0), with the sign of L - L0.
///
/// The usual way to give pedals a breakout force: whichever way its ends move, the same spring is pressed further. At L0 the force jumps by twice the
/// preload, and the energy F0 |L - L0| + k (L - L0)^2 / 2 has a kink.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CapturedSpring {
    neutral_length: f64,
    preload: f64,
    rate: f64,
    stroke: f64,
}

impl CapturedSpring {
    /// `neutral_length`: distance of the two ends at which the spring sits on both collars (m, 1e-6 to 10). `preload`: force there (N, 0 to 1e5).
    /// `rate`: N/m, 0 to 1e7. `stroke`: how far it may go either way before it is solid (m, 0 to 10).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(neutral_length: f64, preload: f64, rate: f64, stroke: f64) -> Result<Self> {
        Ok(Self {
            neutral_length: within(
                "neutral length of a captured spring",
                neutral_length,
                COINCIDE,
                10.0,
                "m",
            )?,
            preload: within("preload of a captured spring", preload, 0.0, 1e5, "N")?,
            rate: within("rate of a captured spring", rate, 0.0, 1e7, "N/m")?,
            stroke: within("stroke of a captured spring", stroke, 0.0, 10.0, "m")?,
        })
    }

    /// Distance of the ends at which it sits on both collars, m.
    #[must_use]
    pub fn neutral_length(&self) -> f64 {
        self.neutral_length
    }

    /// Force there, N.
    #[must_use]
    pub fn preload(&self) -> f64 {
        self.preload
    }

    /// Rate, N/m.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// How far it goes either way, m.
    #[must_use]
    pub fn stroke(&self) -> f64 {
        self.stroke
    }
}

/// What acts along the line between two anchors.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum AlongLine {
    /// A spring, cord or strut.
    Spring(LineSpring),
    /// A spring between collars that works both ways.
    Captured(CapturedSpring),
}

impl From<LineSpring> for AlongLine {
    fn from(spring: LineSpring) -> Self {
        Self::Spring(spring)
    }
}

impl From<CapturedSpring> for AlongLine {
    fn from(spring: CapturedSpring) -> Self {
        Self::Captured(spring)
    }
}

/// Tension, its derivative, energy and state at a length.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pulled {
    pub(super) tension: f64,
    pub(super) stiffness: f64,
    pub(super) energy: f64,
    pub(super) state: LinearSpringState,
}

impl AlongLine {
    /// Length at which the force jumps.
    pub(super) fn jump(&self) -> Option<f64> {
        match self {
            Self::Spring(spring) => spring_jump(spring),
            Self::Captured(captured) => (captured.preload > 0.0).then_some(captured.neutral_length),
        }
    }

    /// Shortest and longest length that it stands or has a force at, m.
    pub(super) fn length_range(&self) -> [f64; 2] {
        match self {
            Self::Spring(spring) => spring.length_range(),
            Self::Captured(captured) => {
                let (length, stroke) = (captured.neutral_length, captured.stroke);
                [length - stroke, length + stroke]
            }
        }
    }

    /// The length nearest to a given one at which there is a force at all.
    pub(super) fn nearest(&self, length: f64) -> f64 {
        match self {
            Self::Spring(LineSpring::Table(table)) => {
                let [shortest, longest] = table.length_range();
                length.clamp(shortest, longest)
            }
            _ => length,
        }
    }

    /// `side`: where the force jumps, whether the length is meant from above (or else from below).
    pub(super) fn at(&self, length: f64, above: bool) -> Result<Pulled> {
        match self {
            Self::Spring(spring) => {
                let meant = match spring_jump(spring) {
                    Some(jump) if (length - jump).abs() <= AT_JUMP => {
                        if above {
                            jump.next_up()
                        } else {
                            jump.next_down()
                        }
                    }
                    _ => length,
                };
                let response = spring.response(meant)?;
                Ok(Pulled {
                    tension: response.tension,
                    stiffness: response.stiffness,
                    energy: response.energy,
                    state: response.state,
                })
            }
            Self::Captured(captured) => {
                let by = length - captured.neutral_length;
                let sign = side_of(by, above);
                Ok(Pulled {
                    tension: sign * captured.preload + captured.rate * by,
                    stiffness: captured.rate,
                    energy: captured.preload * by.abs() + 0.5 * captured.rate * by * by,
                    state: if by > captured.stroke || by < -captured.stroke {
                        LinearSpringState::Solid
                    } else {
                        LinearSpringState::Working
                    },
                })
            }
        }
    }
}

/// Length at which the force of a spring jumps: where the initial tension sets in.
fn spring_jump(spring: &LineSpring) -> Option<f64> {
    match spring {
        LineSpring::Straight(straight) if straight.spec().initial_tension > 0.0 => {
            Some(straight.spec().free_length)
        }
        _ => None,
    }
}

/// The sign of a distance from a jump; on the jump itself, that of the side meant.
fn side_of(distance: f64, above: bool) -> f64 {
    if distance > AT_JUMP || (distance >= -AT_JUMP && above) {
        1.0
    } else {
        -1.0
    }
}

/// A spring that holds a body against a stop in the middle, as a preloaded roller in a notch or a pair of preloaded plungers do.
///
/// Torque on the body = -+(T0 + k |a|), against its angle a from the center: it jumps at the center, where the energy T0 |a| + k a^2 / 2 has a kink.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Breakout {
    body: Body,
    preload: f64,
    rate: f64,
    center: f64,
}

impl Breakout {
    /// On `body`, with a torque of `preload` (N m, 0 to 1e5) on leaving `center` (rad, -pi to pi) that grows by `rate` (N m/rad, 0 to 1e5).
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn new(body: Body, preload: f64, rate: f64, center: f64) -> Result<Self> {
        use std::f64::consts::PI;
        Ok(Self {
            body,
            preload: within("preload of a breakout", preload, 0.0, 1e5, "N m")?,
            rate: within("rate of a breakout", rate, 0.0, 1e5, "N m/rad")?,
            center: within("center of a breakout", center, -PI, PI, "rad")?,
        })
    }

    /// The body.
    #[must_use]
    pub fn body(&self) -> Body {
        self.body
    }

    /// Torque on leaving the center, N m.
    #[must_use]
    pub fn preload(&self) -> f64 {
        self.preload
    }

    /// Growth of the torque, N m/rad.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Angle of the body at which the torque jumps, rad.
    #[must_use]
    pub fn center(&self) -> f64 {
        self.center
    }
}

/// Magnets on one body and magnets on another: a detent without contact.
#[derive(Debug, Clone, PartialEq)]
pub struct MagnetPair {
    first: Body,
    by: MagnetGroup,
    second: Body,
    on: MagnetGroup,
}

impl MagnetPair {
    /// Magnets `by` on the body `first` and `on` on the body `second`, all placed as they stand when every angle is zero.
    #[must_use]
    pub fn new(first: Body, by: MagnetGroup, second: Body, on: MagnetGroup) -> Self {
        Self {
            first,
            by,
            second,
            on,
        }
    }

    /// The two bodies.
    #[must_use]
    pub fn bodies(&self) -> [Body; 2] {
        [self.first, self.second]
    }

    /// Magnets on the first and on the second body.
    #[must_use]
    pub fn magnets(&self) -> [&MagnetGroup; 2] {
        [&self.by, &self.on]
    }

    /// First derivatives of the energy by the angles.
    fn slope<const N: usize>(&self, scene: &Scene<N>) -> Result<[f64; N]> {
        let (first, second) = (scene.of(self.first), scene.of(self.second));
        let by = self.by.moved(&first.isometry())?;
        let on = self.on.moved(&second.isometry())?;
        let action = pull(&by, &on, Point3::origin())?;
        let mut slope = [0.0; N];
        for (axis, slope) in slope.iter_mut().enumerate() {
            // What the force and the torque about the origin do when the two bodies move; each feels the opposite of the other.
            let spin = second.spin[axis] - first.spin[axis];
            let slide = second.slide[axis] - first.slide[axis];
            *slope = -(spin.dot(&action.torque) + slide.dot(&action.force));
        }
        Ok(slope)
    }

    fn energy<const N: usize>(&self, scene: &Scene<N>) -> Result<f64> {
        let by = self.by.moved(&scene.of(self.first).isometry())?;
        let on = self.on.moved(&scene.of(self.second).isometry())?;
        interaction_energy(&by, &on)
    }
}

/// Where friction acts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
enum Rubbing {
    /// In the bearing of a body.
    Bearing(Body),
    /// In the joints at both ends of a rod, spring or strut between two anchors.
    Rod(Anchor, Anchor),
}

/// Coulomb friction: a torque that opposes motion, whatever its speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Friction {
    place: Rubbing,
    torque: f64,
}

impl Friction {
    /// Friction torque (N m, 0 to 1e4) in the bearing of a body; in a gimbal the lever's is that of the inner pivot.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn in_bearing(body: Body, torque: f64) -> Result<Self> {
        Self::at(Rubbing::Bearing(body), torque)
    }

    /// Friction torque (N m, 0 to 1e4) in each of the two ball joints (or hooks, or eyes) of a rod (or spring) between two anchors.
    ///
    /// What slides is the turning of the rod against each body across the line of the rod; about that line the rod is free.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn in_joints(a: Anchor, b: Anchor, torque: f64) -> Result<Self> {
        Self::at(Rubbing::Rod(a, b), torque)
    }

    fn at(place: Rubbing, torque: f64) -> Result<Self> {
        let torque = within("friction torque", torque, 0.0, 1e4, "N m")?;
        Ok(Self { place, torque })
    }

    /// Friction torque in the bearing or in each joint, N m.
    #[must_use]
    pub fn torque(&self) -> f64 {
        self.torque
    }

    /// The body whose bearing it is; `None` for the joints of a rod.
    #[must_use]
    pub fn body(&self) -> Option<Body> {
        match self.place {
            Rubbing::Bearing(body) => Some(body),
            Rubbing::Rod(..) => None,
        }
    }

    /// The ends of the rod; `None` for a bearing.
    #[must_use]
    pub fn anchors(&self) -> Option<[Anchor; 2]> {
        match self.place {
            Rubbing::Bearing(_) => None,
            Rubbing::Rod(a, b) => Some([a, b]),
        }
    }

    /// Torque against one angle while only that one moves.
    fn torque_on<const N: usize>(&self, scene: &Scene<N>, axis: usize) -> Result<f64> {
        match self.place {
            Rubbing::Bearing(body) => {
                let turned = scene.of(body).turned().filter(|turned| turned.axis == axis);
                Ok(turned.map_or(0.0, |turned| self.torque * turned.transfer.ratio.abs()))
            }
            Rubbing::Rod(a, b) => {
                let (from, to) = (scene.point(&a), scene.point(&b));
                let way = to.at - from.at;
                let length = apart(way.norm())?;
                let along = way / length;
                // How fast the rod turns across its own line.
                let rod = along.cross(&(to.first[axis] - from.first[axis])) / length;
                let slips = [a, b].map(|end| {
                    let slip = scene.of(end.body()).spin[axis] - rod;
                    (slip - along * slip.dot(&along)).norm()
                });
                Ok(self.torque * (slips[0] + slips[1]))
            }
        }
    }
}

/// Coulomb friction torque of a plain bearing, N m: coefficient (0 to 2) times radius (m, 0 to 0.5) times load (N, 0 to 1e6).
///
/// # Errors
/// [`Error::NotFinite`], [`Error::OutOfRange`].
///
/// # Example
/// ```
/// let torque = yokewright::feel::friction_torque(0.15, 0.004, 60.0)?;
/// assert!((torque - 0.036).abs() < 1e-15);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Coulomb's law for a bolt in a bearing with play (textbook).
pub fn friction_torque(coefficient: f64, radius: f64, load: f64) -> Result<f64> {
    within(
        "coefficient of friction",
        coefficient,
        0.0,
        2.0,
        "(no unit)",
    )?;
    within("radius of a bearing", radius, 0.0, 0.5, "m")?;
    within("load of a bearing", load, 0.0, 1e6, "N")?;
    Ok(coefficient * radius * load)
}

/// One thing that acts on a control.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Element {
    /// A spring, cord, strut or captured spring between two anchors.
    Line {
        /// What acts.
        law: AlongLine,
        /// One end.
        a: Anchor,
        /// The other end.
        b: Anchor,
    },
    /// A torsion spring between a body and what bears it; its angle is that of the body.
    Twist {
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
            Self::Twist { body, .. } | Self::Inertia { body, .. } | Self::Damper { body, .. } => {
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
            Self::Twist { .. }
            | Self::Breakout(_)
            | Self::Cam(_)
            | Self::Inertia { .. }
            | Self::Damper { .. } => true,
            Self::Friction(friction) => friction.body().is_some(),
            Self::Line { .. } | Self::Mass { .. } | Self::Magnets(_) => false,
        }
    }

    /// Checks what no constructor of its own has checked; [`Control::new`](crate::feel::Control::new) does it for all its elements.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`] for a mass, a moment of inertia or a damping outside its range; [`Error::SameBody`] for a spring, a rod or magnets
    /// with both ends on one body.
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
            Self::Twist { .. } | Self::Breakout(_) | Self::Cam(_) => Ok(()),
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

    /// Adds its energy and its derivatives; where a force jumps, the limit for `side`, the direction that the position is approached against: +1 in
    /// every angle means from above.
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
            Self::Twist { spring, body } => {
                if let Some(turned) = scene.of(*body).turned() {
                    let held = spring.response(turned.transfer.angle)?;
                    load.add_turned([held.energy, held.torque, held.stiffness], &turned);
                }
            }
            Self::Breakout(breakout) => {
                if let Some(turned) = scene.of(breakout.body).turned() {
                    let by = turned.transfer.angle - breakout.center;
                    let sign = side_of(by, side[turned.axis] * turned.transfer.ratio >= 0.0);
                    let energy = breakout.preload * by.abs() + 0.5 * breakout.rate * by * by;
                    let torque = sign * breakout.preload + breakout.rate * by;
                    load.add_turned([energy, torque, breakout.rate], &turned);
                }
            }
            Self::Cam(cam) => {
                if let Some(turned) = scene.of(cam.body()).turned() {
                    load.add_turned(cam.energy(turned.transfer.angle)?, &turned);
                }
            }
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

    /// Adds to the stiffness what [`add`](Self::add) leaves out: that of magnets, by differences of their torque over +-1e-4 rad.
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

    pub(super) fn is_line(&self) -> bool {
        matches!(self, Self::Line { .. })
    }

    /// Distance of the anchors of what acts along a line; `None` for everything else.
    pub(super) fn length<const N: usize>(&self, scene: &Scene<N>) -> Result<Option<f64>> {
        let Self::Line { a, b, .. } = self else {
            return Ok(None);
        };
        apart((scene.point(b).at - scene.point(a).at).norm()).map(Some)
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

/// The length of the line between two points, and its derivatives.
struct Span<const N: usize> {
    length: f64,
    first: [f64; N],
    second: [[f64; N]; N],
}

impl<const N: usize> Span<N> {
    #[inline(always)]
    fn of(a: &Moved<N>, b: &Moved<N>) -> Result<Self> {
        let way = b.at - a.at;
        let length = apart(way.norm())?;
        let inverse = 1.0 / length;
        let along = way * inverse;
        let mut span = Self {
            length,
            first: [0.0; N],
            second: [[0.0; N]; N],
        };
        for i in 0..N {
            span.first[i] = along.dot(&(b.first[i] - a.first[i]));
        }
        for i in 0..N {
            for j in i..N {
                let across = (b.first[i] - a.first[i]).dot(&(b.first[j] - a.first[j]))
                    - span.first[i] * span.first[j];
                let second = across * inverse + along.dot(&(b.second[i][j] - a.second[i][j]));
                span.second[i][j] = second;
                span.second[j][i] = second;
            }
        }
        Ok(span)
    }
}

/// The distance of two anchors, or the error that they coincide.
#[inline]
pub(super) fn apart(length: f64) -> Result<f64> {
    if (COINCIDE..f64::INFINITY).contains(&length) {
        return Ok(length);
    }
    finite("distance of two anchors", length, "m")?;
    Err(Error::OutOfRange {
        quantity: "distance of the two anchors of a spring or rod (they coincide, so it pulls nowhere)",
        value: length,
        min: COINCIDE,
        max: 10.0,
        unit: "m",
        hint: crate::error::Hint::None,
    })
}
