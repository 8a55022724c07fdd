//! A control under its springs and weights: energy first, and from it torque, force at the hand, and stiffness.

use std::f64::consts::PI;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, counted, finite, within};
use crate::feel::body::{Bearing, Body, Drive, Scene, check_place, distance, pivot_of};
use crate::feel::elements::{Element, Load};
use crate::spring::LinearSpringState;
use crate::stored::stored_as_spec;

/// Standard gravity, m/s^2, downward along -z; exact by definition (3rd CGPM, 1901).
pub const GRAVITY: Vector3<f64> = Vector3::new(0.0, 0.0, -9.806_65);

/// A grip nearer to a pivot than this cannot turn it, m.
const LEAST_ARM: f64 = 1e-3;
/// How far beyond its travel a control may be asked about, rad: the rounding of angles given in degrees.
const SLACK_OF_TRAVEL: f64 = 1e-12;
/// Most bodies and elements that make sense.
const MOST: usize = 1000;

/// What a control is made of; [`Control::new`] checks it.
///
/// All points are given where they are with every angle at zero, in one right-handed frame in m. Angle 0 is that of the
/// only pivot or of the outer one of a gimbal, angle 1 that of the inner one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlSpec {
    /// What bears the lever.
    pub bearing: Bearing,
    /// Least and greatest value of each angle, at its stops, rad, within half a turn.
    pub travel: Vec<[f64; 2]>,
    /// Where the hand or foot works on the lever, m.
    pub grip: Point3<f64>,
    /// Bodies that the lever (or the ring) drives, each by one before it.
    pub driven: Vec<Drive>,
    /// What acts on it.
    pub elements: Vec<Element>,
    /// Acceleration of gravity, m/s^2, each component within 100; as a rule [`GRAVITY`].
    pub gravity: Vector3<f64>,
}

impl ControlSpec {
    /// A control on which nothing acts yet but gravity.
    #[must_use]
    pub fn new(bearing: Bearing, travel: Vec<[f64; 2]>, grip: Point3<f64>) -> Self {
        Self {
            bearing,
            travel,
            grip,
            driven: Vec::new(),
            elements: Vec::new(),
            gravity: GRAVITY,
        }
    }
}

/// A stick, a pedal or a lever with all that pulls, presses and weighs on it.
///
/// Each element gives its energy U(q) at the angles q; the torque on the control is -dU/dq, the stiffness d2U/dq2, both
/// in closed form (the stiffness of magnets by differences of their exact torque). Where a force jumps, as at a
/// breakout, nothing is smeared: there are two values, one from either side.
///
/// The force at the grip is what the hand has to apply there, along the way the grip goes; positive towards greater
/// angles. Friction comes in with [`centering`](Self::centering).
///
/// # Caution
/// Springs under load throw parts into eyes and trap fingers. What carries a foot must stand an emergency press of over
/// a kilonewton. For simulators only.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::feel::{Anchor, Bearing, Body, Control, ControlSpec, Element, GRAVITY};
/// use yokewright::linkage::Pivot;
/// use yokewright::spring::{LineSpring, LinearSpring, LinearSpringSpec, SpringAction};
/// use yokewright::units::{DEG, MM};
///
/// // A stick 400 mm long; two springs pull at it to the left and to the right, 60 mm above the pivot.
/// let spring = LinearSpring::new(LinearSpringSpec {
///     rate: 500.0,
///     free_length: 80.0 * MM,
///     initial_tension: 0.0,
///     action: SpringAction::Above,
///     shortest: None,
///     longest: None,
/// })?;
/// let high = 60.0 * MM;
/// let pull_to = |y: f64| {
///     let on_stick = Anchor::new(Body::Lever, Point3::new(0.0, 0.0, high))?;
///     let on_frame = Anchor::new(Body::Ground, Point3::new(0.0, y, high))?;
///     Ok::<_, yokewright::Error>(Element::line(LineSpring::from(spring), on_stick, on_frame))
/// };
/// let stick = Control::new(ControlSpec {
///     bearing: Bearing::Single(Pivot::new(Point3::origin(), Vector3::x())?),
///     travel: vec![[-15.0 * DEG, 15.0 * DEG]],
///     grip: Point3::new(0.0, 0.0, 400.0 * MM),
///     driven: vec![],
///     elements: vec![pull_to(-120.0 * MM)?, pull_to(120.0 * MM)?],
///     gravity: GRAVITY,
/// })?;
/// let center = stick.state(&[0.0])?;
/// assert!(center.torque[0].abs() < 1e-12);
/// // The springs pull at right angles to the stick, so that their tension does not add to 2 k r^2.
/// let expected = 2.0 * 500.0 * high * high;
/// assert!((center.stiffness[0][0] - expected).abs() < 1e-9);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// Virtual work; a force from the gradient of a potential (textbook).
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    spec: ControlSpec,
}

stored_as_spec!(Control, ControlSpec);

/// What acts along a line between two anchors, at one position of the control.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct SpringOperatingPoint {
    /// Number of the element among those of the control.
    pub element: usize,
    /// Distance of the anchors, m.
    pub length: f64,
    /// Force that pulls the ends together, N.
    pub tension: f64,
    /// Whether it is slack, works, or is past a limit.
    pub state: LinearSpringState,
}

/// A control at one position.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ControlState {
    /// The angles, rad.
    pub angles: Vec<f64>,
    /// Energy of springs, weights and magnets, J.
    pub energy: f64,
    /// Torque of all that acts, about each pivot, N m: -dU/dq.
    pub torque: Vec<f64>,
    /// d2U/dq2, N m/rad; what is not on the diagonal couples the axes of a gimbal.
    pub stiffness: Vec<Vec<f64>>,
    /// Force at the grip that holds each angle, N, along the way that the grip goes when only that angle grows.
    pub force: Vec<f64>,
    /// The least force at the grip that holds all angles at once, as a vector, N.
    pub hold: Vector3<f64>,
    /// Distance of the grip from each pivot, m: its way for a radian.
    pub arm: Vec<f64>,
    /// Where the grip is, m.
    pub grip: Point3<f64>,
    /// What the springs do.
    pub lines: Vec<SpringOperatingPoint>,
}

/// From which side a position is approached; the answers differ only where a force jumps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ApproachSide {
    /// From greater angles.
    Above,
    /// From smaller angles.
    Below,
}

impl ApproachSide {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::Above => 1.0,
            Self::Below => -1.0,
        }
    }
}

impl Control {
    /// Checks a control.
    ///
    /// # Errors
    /// [`Error::Count`] for a number of travels other than that of the angles, or more than a thousand bodies or
    /// elements; [`Error::NotFinite`], [`Error::OutOfRange`] for a value outside the range named in [`ControlSpec`] or
    /// [`Element`], a grip nearer than 1 mm to a pivot, or two anchors that coincide, or a linkage that does not sit on
    /// the pivot of what drives it; [`Error::NotAscending`] for a travel that does not go upward; [`Error::NotAChoice`]
    /// for a body that this control does not have or that cannot do what is asked of it. And what the elements refuse
    /// with all angles at zero.
    pub fn new(spec: ControlSpec) -> Result<Self> {
        let axes = spec.bearing.axes();
        counted("travels of the control", spec.travel.len(), [axes; 2])?;
        for [least, greatest] in &spec.travel {
            within("travel of the control", *least, -PI, PI, "rad")?;
            within("travel of the control", *greatest, -PI, PI, "rad")?;
            ascending("travel of the control", [*least, *greatest], "rad")?;
        }
        check_place("coordinate of the grip", &spec.grip)?;
        let pivots = match spec.bearing {
            Bearing::Single(pivot) => vec![pivot],
            Bearing::Gimbal { outer, inner } => vec![outer, inner],
        };
        for pivot in &pivots {
            let arm = distance(pivot, &spec.grip);
            within(
                "distance of the grip from the pivot",
                arm,
                LEAST_ARM,
                20.0,
                "m",
            )?;
        }
        for component in &spec.gravity {
            within("component of gravity", *component, -100.0, 100.0, "m/s^2")?;
        }
        counted("driven bodies", spec.driven.len(), [0, MOST])?;
        counted("elements of the control", spec.elements.len(), [0, MOST])?;
        for (number, drive) in spec.driven.iter().enumerate() {
            // The inner angle of a gimbal turns about a pivot that itself moves: what it drives would hang on both
            // angles.
            let possible = match drive.by() {
                Body::Ground => false,
                Body::Ring => axes == 2,
                Body::Lever => axes == 1,
                Body::Driven(before) => before < number,
            };
            if !possible {
                return Err(unknown_body(
                    "body that drives another",
                    drive.by(),
                    axes,
                    number,
                ));
            }
            drive.check(&pivot_of(&spec.bearing, &spec.driven, drive.by()))?;
        }
        for element in &spec.elements {
            element.check()?;
            for body in element.bodies().into_iter().flatten() {
                let possible = match body {
                    Body::Ground => !element.needs_a_pivot(),
                    Body::Ring => axes == 2,
                    Body::Lever => true,
                    Body::Driven(number) => number < spec.driven.len(),
                };
                if !possible {
                    return Err(unknown_body(
                        "body of an element",
                        body,
                        axes,
                        spec.driven.len(),
                    ));
                }
            }
        }
        let control = Self { spec };
        match axes {
            1 => control.load([0.0], [1.0]).map(|_| ())?,
            _ => control.load([0.0; 2], [1.0; 2]).map(|_| ())?,
        }
        Ok(control)
    }

    /// What it was made of.
    #[must_use]
    pub fn spec(&self) -> &ControlSpec {
        &self.spec
    }

    /// How many angles describe its position: 1 or 2.
    #[must_use]
    pub fn axes(&self) -> usize {
        self.spec.bearing.axes()
    }

    /// The same control with other elements.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn with_elements(&self, elements: Vec<Element>) -> Result<Self> {
        Self::new(ControlSpec {
            elements,
            ..self.spec.clone()
        })
    }

    /// Energy, torque, stiffness and force at the angles given (rad, one for each axis).
    ///
    /// Where a force jumps these are the limits from above.
    ///
    /// # Errors
    /// [`Error::LengthMismatch`] for a wrong number of angles; [`Error::NotFinite`], [`Error::OutOfRange`] for an angle
    /// beyond the stops, a spring off its table, anchors that coincide, or a grip on the pivot; what a linkage or
    /// magnets refuse.
    pub fn state(&self, angles: &[f64]) -> Result<ControlState> {
        self.state_from(angles, ApproachSide::Above)
    }

    /// The same, where a force jumps with the limits from the side given, in every angle.
    ///
    /// # Errors
    /// As [`state`](Self::state).
    pub fn state_from(&self, angles: &[f64], side: ApproachSide) -> Result<ControlState> {
        self.check_angles(angles)?;
        match *angles {
            [first] => self.state_at([first], [side.sign()]),
            [first, second] => self.state_at([first, second], [side.sign(); 2]),
            _ => Err(count_of_angles(angles.len(), self.axes())),
        }
    }

    pub(super) fn check_angles(&self, angles: &[f64]) -> Result<()> {
        if angles.len() != self.axes() {
            return Err(count_of_angles(angles.len(), self.axes()));
        }
        for (angle, travel) in angles.iter().zip(&self.spec.travel) {
            check_angle(*angle, travel)?;
        }
        Ok(())
    }

    fn state_at<const N: usize>(&self, q: [f64; N], side: [f64; N]) -> Result<ControlState> {
        let scene = self.scene(q)?;
        let mut load = self.load_in(&scene, side)?;
        self.add_differences(q, &mut load)?;
        let grip = scene.of(Body::Lever).point(&self.spec.grip);
        let mut lines = Vec::new();
        for (number, element) in self.spec.elements.iter().enumerate() {
            if let Some((length, pulled)) = element.pulled(&scene, &side)? {
                lines.push(SpringOperatingPoint {
                    element: number,
                    length,
                    tension: pulled.tension,
                    state: pulled.state,
                });
            }
        }
        let mut arm = Vec::with_capacity(N);
        for way in &grip.first {
            arm.push(check_arm(way.norm())?);
        }
        let force = load.slope.iter().zip(&arm).map(|(slope, arm)| slope / arm);
        Ok(ControlState {
            angles: q.to_vec(),
            energy: load.energy,
            torque: load.slope.iter().map(|slope| -slope).collect(),
            stiffness: load.bend.iter().map(|row| row.to_vec()).collect(),
            force: force.collect(),
            hold: least_force(&grip.first, &load.slope)?,
            arm,
            grip: Point3::from(grip.at),
            lines,
        })
    }

    pub(super) fn scene<const N: usize>(&self, q: [f64; N]) -> Result<Scene<N>> {
        Scene::new(&self.spec.bearing, &self.spec.driven, q)
    }

    /// Energy and derivatives, without the stiffness of magnets.
    pub(super) fn load<const N: usize>(&self, q: [f64; N], side: [f64; N]) -> Result<Load<N>> {
        self.load_in(&self.scene(q)?, side)
    }

    /// Energy and derivatives with the stiffness of magnets.
    pub(super) fn load_with_stiffness<const N: usize>(
        &self,
        q: [f64; N],
        side: [f64; N],
    ) -> Result<Load<N>> {
        let mut load = self.load(q, side)?;
        self.add_differences(q, &mut load)?;
        Ok(load)
    }

    fn load_in<const N: usize>(&self, scene: &Scene<N>, side: [f64; N]) -> Result<Load<N>> {
        let mut load = Load::ZERO;
        for element in &self.spec.elements {
            element.add(scene, &self.spec.gravity, &side, &mut load)?;
        }
        finite("energy of the control", load.energy, "J")?;
        Ok(load)
    }

    /// The stiffness of magnets.
    pub(super) fn add_differences<const N: usize>(
        &self,
        q: [f64; N],
        load: &mut Load<N>,
    ) -> Result<()> {
        for element in &self.spec.elements {
            element.add_stiffness_by_differences(q, |q| self.scene(q), load)?;
        }
        Ok(())
    }
}

pub(super) fn check_arm(arm: f64) -> Result<f64> {
    within(
        "distance of the grip from the pivot",
        arm,
        LEAST_ARM,
        f64::MAX,
        "m",
    )
}

pub(super) fn check_angle(angle: f64, [least, greatest]: &[f64; 2]) -> Result<()> {
    finite("angle of the control", angle, "rad")?;
    if angle < least - SLACK_OF_TRAVEL || angle > greatest + SLACK_OF_TRAVEL {
        within("angle of the control", angle, *least, *greatest, "rad")?;
    }
    Ok(())
}

fn count_of_angles(given: usize, axes: usize) -> Error {
    Error::Count {
        quantity: "angles of the control",
        count: given,
        min: axes,
        max: axes,
    }
}

fn unknown_body(quantity: &'static str, body: Body, axes: usize, driven: usize) -> Error {
    let mut choices = vec![Body::Lever.to_string()];
    if quantity == "body that drives another" && axes == 2 {
        choices = vec![Body::Ring.to_string()];
    } else if axes == 2 {
        choices.push(Body::Ring.to_string());
    }
    choices.extend((0..driven).map(|number| Body::Driven(number).to_string()));
    Error::NotAChoice {
        quantity,
        given: body.to_string(),
        choices: choices.join(", "),
    }
}

/// The shortest force vector with the given torques: J (J^T J)^-1 t.
fn least_force<const N: usize>(
    ways: &[Vector3<f64>; N],
    torques: &[f64; N],
) -> Result<Vector3<f64>> {
    if N == 1 {
        return Ok(ways[0] * (torques[0] / ways[0].norm_squared()));
    }
    let [a, b] = [ways[0], ways[N - 1]];
    let (aa, ab, bb) = (a.norm_squared(), a.dot(&b), b.norm_squared());
    // Twice the area between the two ways of the grip: zero if it goes the same way with both angles.
    let determinant = aa * bb - ab * ab;
    let sine = (determinant / (aa * bb)).max(0.0).sqrt();
    within(
        "sine of the angle between the ways of the grip with the two axes",
        sine,
        1e-6,
        1.0 + 1e-9,
        "(no unit)",
    )?;
    let (first, second) = (torques[0], torques[N - 1]);
    let share = [
        (bb * first - ab * second) / determinant,
        (aa * second - ab * first) / determinant,
    ];
    Ok(a * share[0] + b * share[1])
}
